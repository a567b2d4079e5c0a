/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "quantity_forms.h"

#include <math.h>

static const double thrust = 0.0, pin = 90.0; /* degrees */

static struct subset all_of(te_quantity feature, const struct view *view)
{
    return (struct subset){.feature = feature,
                           .item = view->item,
                           .part = view->part,
                           .direction = NAN,
                           .position = NAN};
}

/* The bore readings that form is judged by: those with a height and a direction. */
static struct subset placed_bore(void)
{
    return (struct subset){.feature = TE_Q_BORE,
                           .any_item = true,
                           .direction = NAN,
                           .position = NAN,
                           .placed = true};
}

/* a - b; false when either is absent. */
static bool difference_of(te_form *form, uint32_t a, uint32_t b)
{
    if (a == TE_NO_INDEX || b == TE_NO_INDEX) {
        return false;
    }
    te_form minus = te_form_make(b, -1.0);
    *form = te_form_make(a, 1.0);
    return te_form_add(form, form, &minus) == TE_OK;
}

bool te_forms_extremes(te_form *low, te_form *high, const struct view *view)
{
    te_quantity feature = view->quantity;
    struct subset subset = all_of(feature, view);
    uint32_t smallest = te_pick(view, &subset, false);
    uint32_t largest = te_pick(view, &subset, true);
    if (smallest == TE_NO_INDEX) {
        return false;
    }
    *low = te_form_make(smallest, 1.0);
    *high = te_form_make(largest, 1.0);
    return true;
}

/* The largest difference over all places of one sort: at each height over the directions, or
 * along each direction over the heights. */
static bool largest_difference(te_form *low, te_form *high, const struct view *view,
                               enum te_place differ)
{
    struct subset subset = placed_bore();
    double last = NAN;
    bool by_height = differ == TE_PLACE_DIRECTION;
    te_form best = {.count = 0};
    for (;;) {
        /* The next place after the last one, in order of size: no list has to be kept. */
        double next = NAN;
        struct subset any = placed_bore();
        for (uint32_t i = view->first; i < view->end; i++) {
            const te_observation *x = &view->pool->items[i];
            double place = by_height ? x->position : x->direction;
            if (te_in_subset(&any, x) && !(place <= last) && !(place >= next)) {
                next = place;
            }
        }
        if (isnan(next)) {
            break;
        }
        te_form candidate;
        subset.position = by_height ? next : NAN;
        subset.direction = by_height ? NAN : next;
        if (te_pick_difference(&candidate, view, &subset, differ)) {
            te_keep_larger(&best, view, &candidate);
        }
        last = next;
    }
    *low = best;
    *high = best;
    return best.count > 0;
}

bool te_forms_out_of_round(te_form *low, te_form *high, const struct view *view)
{
    return largest_difference(low, high, view, TE_PLACE_DIRECTION);
}

bool te_forms_taper(te_form *low, te_form *high, const struct view *view)
{
    return largest_difference(low, high, view, TE_PLACE_POSITION);
}

bool te_forms_out_of_round_overall(te_form *low, te_form *high, const struct view *view)
{
    struct subset along = placed_bore();
    struct subset across = placed_bore();
    te_form best = {.count = 0};
    te_form other;
    along.direction = thrust;
    across.direction = pin;
    if (!difference_of(&best, te_pick(view, &along, true), te_pick(view, &across, false)) ||
        !difference_of(&other, te_pick(view, &across, true), te_pick(view, &along, false))) {
        return false;
    }
    te_keep_larger(&best, view, &other);
    *low = best;
    *high = best;
    return true;
}

bool te_forms_taper_ends(te_form *low, te_form *high, const struct view *view)
{
    struct subset top = placed_bore();
    struct subset bottom = placed_bore();
    for (uint32_t i = view->first; i < view->end; i++) {
        const te_observation *x = &view->pool->items[i];
        struct subset any = placed_bore();
        if (te_in_subset(&any, x)) {
            top.position = fmin(top.position, x->position);
            bottom.position = fmax(bottom.position, x->position);
        }
    }
    if (!(top.position < bottom.position) ||
        !difference_of(high, te_pick(view, &top, true), te_pick(view, &bottom, false))) {
        return false;
    }
    *low = *high;
    return true;
}

static bool clearance_of(te_form *low, te_form *high, const struct view *view, double direction)
{
    struct subset hole = all_of(view->info->feature, view);
    struct subset shaft = all_of(view->info->second_feature, view);
    hole.direction = direction;
    hole.any_item = view->info->items == TE_ITEMS_NONE;
    shaft.any_item = true;
    return difference_of(low, te_pick(view, &hole, false), te_pick(view, &shaft, true)) &&
           difference_of(high, te_pick(view, &hole, true), te_pick(view, &shaft, false));
}

bool te_forms_clearance(te_form *low, te_form *high, const struct view *view)
{
    return clearance_of(low, high, view, NAN);
}

bool te_forms_clearance_thrust(te_form *low, te_form *high, const struct view *view)
{
    return clearance_of(low, high, view, thrust);
}
