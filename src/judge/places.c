/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Which places of plan.csv were measured. */
#include <math.h>
#include <stdlib.h>

#include "measure/spans.h"
#include "record/vector.h"
#include "topend/judge.h"

/* A reading stands at a planned place within this (degrees), and within TE_SAME_HEIGHT. */
static const double near_direction = 1.0 + 1e-9;
static const double half_turn = 180.0; /* directions of a diameter repeat after it */

void te_places_free(te_places *places)
{
    if (places != NULL) {
        free(places->open);
        *places = (te_places){0};
    }
}

static bool is_near(double planned, double place, double most, double period)
{
    if (isnan(planned)) {
        return true;
    }
    double apart = fabs(planned - place);
    if (period > 0.0 && apart > period / 2.0) {
        apart = fabs(period - apart);
    }
    return apart <= most; /* false when the reading has no such place */
}

static bool covers(const te_plan *plan, const te_observation *x)
{
    bool item = plan->item == 0 || plan->item == x->item;
    bool height = is_near(plan->position, x->position, TE_SAME_HEIGHT, 0.0);
    bool direction = is_near(plan->direction, x->direction, near_direction, half_turn);
    bool place = height && direction;
    return x->feature == plan->feature && item && place; /* GCOVR_EXCL_BR_LINE: of one feature */
}

/* ---- an inspection ---- */

/* Readings of one feature that count for the same quantities: those of an item, and for a feature of
 * the user's own of a part. They stand together. */
static bool count_alike(const te_observation *a, const te_observation *b)
{
    return a->item == b->item && (a->feature < TE_Q_OWN || a->part == b->part);
}

/* Behind the readings that count like the first one of the span. Most features have one item, and that
 * of one part: then the last one tells it. */
static uint32_t end_of_alike(const te_observations *pool, struct span span)
{
    const te_observation *first = &pool->items[span.first];
    uint32_t end = span.end;
    if (!count_alike(first, &pool->items[end - 1])) {
        for (end = span.first + 1; count_alike(first, &pool->items[end]);) {
            end++;
        }
    }
    return end;
}

static bool is_covered(const te_plan *plan, const te_observations *pool, struct span span)
{
    bool covered = false;
    for (uint32_t i = span.first; i < span.end && !covered; i++) {
        covered = covers(plan, &pool->items[i]);
    }
    return covered;
}

/* True when whoever asks for the place has it: of the readings that count alike there is one that
 * covers it, whichever the item and the part, as far as it is planned for them. */
static bool is_closed(const te_plan *plan, const te_observations *pool, struct span span)
{
    bool any = false;
    while (span.first < span.end) {
        struct span alike = {span.first, end_of_alike(pool, span)};
        bool asked = plan->item == 0 || plan->item == pool->items[span.first].item;
        if (asked && !is_covered(plan, pool, alike)) {
            return false;
        }
        any = any || asked;
        span.first = alike.end;
    }
    return any;
}

te_status te_places_make(te_places *places, const te_observations *pool, uint32_t from, uint32_t to,
                         const te_shop *shop, uint32_t model)
{
    const te_tables *tables = te_shop_tables(shop);
    const te_model *m = &tables->models[model];
    struct feature_spans spans;
    places->pool = pool;
    places->plan = tables->plan;
    places->open_count = 0;
    if (m->plan_count == 0) {
        return TE_OK;
    }
    if (!te_vector_reserve(&places->open, &places->open_capacity, m->plan_count,
                           sizeof *places->open)) {
        return TE_ERR_MEMORY;
    }
    te_find_spans(&spans, pool, from, to);
    for (uint32_t i = m->first_plan; i < m->first_plan + m->plan_count; i++) {
        const te_plan *plan = &tables->plan[i];
        struct span span = te_span_of_feature(&spans, pool, plan->feature);
        if (!is_closed(plan, pool, span)) {
            places->open[places->open_count++] = (te_open_place){i, span.first, span.end};
        }
    }
    return TE_OK;
}

/* ---- a quantity of it ---- */

/* True when the planned place belongs to the quantity. */
static bool asks_for(const te_plan *plan, const te_measured *measured)
{
    const te_quantity_info *info = te_quantity_info_of(measured->quantity);
    if (measured->quantity >= TE_Q_OWN) {
        return plan->feature == measured->quantity &&
               (plan->item == 0 || plan->item == measured->item);
    }
    if (plan->feature == info->second_feature) {
        return true;
    }
    bool item = plan->item == 0 || info->items == TE_ITEMS_NONE || plan->item == measured->item;
    return plan->feature == info->feature && item;
}

/* A reading counts for the quantity's item, where it has items. */
static bool counts_for(const te_observation *x, const te_measured *measured)
{
    const te_quantity_info *info = te_quantity_info_of(measured->quantity);
    if (measured->quantity >= TE_Q_OWN) {
        return x->item == measured->item && x->part == measured->part;
    }
    bool any = info->items == TE_ITEMS_NONE || x->feature != info->feature; /* GCOVR_EXCL_BR_LINE */
    return any || x->item == measured->item; /* GCOVR_EXCL_BR_LINE: see tests/test_places.c */
}

static bool is_missing(const te_places *places, const te_open_place *open,
                       const te_measured *measured)
{
    const te_plan *plan = &places->plan[open->plan];
    bool missing = asks_for(plan, measured);
    for (uint32_t i = open->first; i < open->end && missing; i++) {
        const te_observation *x = &places->pool->items[i];
        missing = !(covers(plan, x) && counts_for(x, measured));
    }
    return missing;
}

uint32_t te_places_missing(uint32_t *first, const te_places *places, const te_measured *measured)
{
    uint32_t missing = 0;
    *first = TE_NO_INDEX;
    for (size_t i = 0; i < places->open_count; i++) {
        if (is_missing(places, &places->open[i], measured)) {
            *first = missing == 0 ? places->open[i].plan : *first;
            missing++;
        }
    }
    return missing;
}
