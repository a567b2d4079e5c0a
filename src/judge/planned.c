/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Which limits plan.csv asks for: those of quantities that readings at its places would give. Without
 * that, a value that may be left unjudged (required: no) would pass by not being measured. */
#include <math.h>

#include "findings.h"

static const double alike = 0.001; /* mm, degrees: one height, one direction (te_quantities_make) */

static const te_plan *row_of(const struct assessing *a, uint32_t i)
{
    return &a->tables->plan[a->model->first_plan + i];
}

static bool is_same(double x, double y)
{
    return fabs(x - y) <= alike; /* false where either is blank */
}

static bool is_other(double x, double y)
{
    return fabs(x - y) > alike;
}

/* A feature's row that is, for one with items, of the item; 0: of any. */
static bool is_of(const te_plan *plan, te_quantity feature, te_id item)
{
    return plan->feature == feature && (item == 0 || plan->item == 0 || plan->item == item);
}

static bool has_row(const struct assessing *a, te_quantity feature, te_id item)
{
    for (uint32_t i = 0; i < a->model->plan_count; i++) {
        if (is_of(row_of(a, i), feature, item)) {
            return true;
        }
    }
    return false;
}

static bool has_direction(const struct assessing *a, te_quantity feature, double direction)
{
    for (uint32_t i = 0; i < a->model->plan_count; i++) {
        const te_plan *plan = row_of(a, i);
        if (plan->feature == feature && is_same(plan->direction, direction)) {
            return true;
        }
    }
    return false;
}

/* Two planned places of the bore that a quantity of its form takes the difference of. */
static bool makes_form(te_quantity quantity, const te_plan *x, const te_plan *y)
{
    switch (quantity) {
    case TE_Q_OUT_OF_ROUND:
        return is_same(x->position, y->position) && is_other(x->direction, y->direction);
    case TE_Q_TAPER:
        return is_other(x->position, y->position) && is_same(x->direction, y->direction);
    default: return is_other(x->position, y->position); /* TE_Q_TAPER_ENDS */
    }
}

static bool has_form(const struct assessing *a, te_quantity quantity)
{
    for (uint32_t i = 1; i < a->model->plan_count; i++) {
        for (uint32_t j = 0; j < i; j++) {
            const te_plan *x = row_of(a, i);
            const te_plan *y = row_of(a, j);
            if (x->feature == TE_Q_BORE && y->feature == TE_Q_BORE && makes_form(quantity, x, y)) {
                return true;
            }
        }
    }
    return false;
}

bool te_plan_asks(const struct assessing *a, te_quantity quantity, te_id item)
{
    const te_quantity_info *info = te_quantity_info_of(quantity);
    if (quantity >= TE_Q_OWN) {
        return has_row(a, quantity, item);
    }
    bool features = has_row(a, info->feature, item) &&
                    (info->second_feature == TE_Q_NONE || has_row(a, info->second_feature, 0));
    switch (quantity) {
    case TE_Q_OUT_OF_ROUND:
    case TE_Q_TAPER:
    case TE_Q_TAPER_ENDS: return features && has_form(a, quantity);
    case TE_Q_OUT_OF_ROUND_OVERALL:
        return has_direction(a, TE_Q_BORE, 0.0) && has_direction(a, TE_Q_BORE, 90.0);
    case TE_Q_SKIRT_CLEARANCE_THRUST: return features && has_direction(a, TE_Q_BORE, 0.0);
    default: return features;
    }
}

bool te_limit_is_wanted(const struct assessing *a, const te_limit *limit)
{
    return limit->required || te_plan_asks(a, limit->quantity, limit->item);
}
