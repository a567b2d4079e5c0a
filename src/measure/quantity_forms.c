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
    return (struct subset){
        .feature = TE_Q_BORE, .any_item = true, .direction = NAN, .position = NAN, .placed = true};
}

/* a - b; false when either is absent. */
static bool difference_of(te_form *form, uint32_t a, uint32_t b)
{
    if (a == TE_NO_INDEX || b == TE_NO_INDEX) {
        return false;
    }
    te_form_set(form, a, 1.0);
    return te_form_add_term(form, b, -1.0) == TE_OK;
}

bool te_forms_extremes(te_form *low, te_form *high, const struct view *view)
{
    struct subset subset = all_of(view->quantity, view);
    uint32_t smallest = TE_NO_INDEX;
    uint32_t largest = TE_NO_INDEX;
    if (!te_pick_ends(&smallest, &largest, view, &subset)) {
        return false;
    }
    te_form_set(low, smallest, 1.0);
    te_form_set(high, largest, 1.0);
    return true;
}

static bool finish_largest(te_form *low, te_form *high, const te_form *best)
{
    *low = *best;
    *high = *best;
    return best->count > 0;
}

bool te_forms_out_of_round(te_form *low, te_form *high, const struct view *view)
{
    struct subset subset = placed_bore();
    te_form best = {.count = 0};
    te_form candidate = {.count = 0};
    struct view height = *view;
    struct span bore = te_span_of(view, TE_Q_BORE);
    for (uint32_t i = bore.first; i < bore.end; i = height.end) {
        /* Observations of one height stand together. */
        const te_observation *x = &view->pool->items[i];
        height.first = i;
        height.end = i + 1;
        while (height.end < bore.end && view->pool->items[height.end].position <= x->position) {
            height.end++;
        }
        if (te_pick_difference(&candidate, &height, &subset, TE_PLACE_DIRECTION)) {
            te_keep_larger(&best, view, &candidate);
        }
    }
    return finish_largest(low, high, &best);
}

bool te_forms_taper(te_form *low, te_form *high, const struct view *view)
{
    struct subset subset = placed_bore();
    te_form best = {.count = 0};
    te_pick_along(&best, view, &subset);
    return finish_largest(low, high, &best);
}

bool te_forms_out_of_round_overall(te_form *low, te_form *high, const struct view *view)
{
    struct subset along = placed_bore();
    struct subset across = placed_bore();
    te_form best = {.count = 0};
    te_form other = {.count = 0};
    along.direction = thrust;
    across.direction = pin;
    if (!difference_of(&best, te_pick(view, &along, true), te_pick(view, &across, false))) {
        return false;
    }
    /* Where one of a direction is there, so is the other. */
    (void)difference_of(&other, te_pick(view, &across, true), te_pick(view, &along, false));
    te_keep_larger(&best, view, &other);
    *low = best;
    *high = best;
    return true;
}

bool te_forms_taper_ends(te_form *low, te_form *high, const struct view *view)
{
    struct subset top = placed_bore();
    struct subset bottom = placed_bore();
    struct subset any = placed_bore();
    struct span bore = te_span_of(view, TE_Q_BORE);
    for (uint32_t i = bore.first; i < bore.end; i++) {
        const te_observation *x = &view->pool->items[i];
        if (te_in_subset(&any, x)) {
            top.position = fmin(top.position, x->position);
            bottom.position = fmax(bottom.position, x->position);
        }
    }
    if (!(top.position < bottom.position)) {
        return false;
    }
    bool made = difference_of(high, te_pick(view, &top, true), te_pick(view, &bottom, false));
    *low = *high;
    return made;
}

static bool clearance_of(te_form *low, te_form *high, const struct view *view, double direction)
{
    struct subset hole = all_of(view->info->feature, view);
    struct subset shaft = all_of(view->info->second_feature, view);
    hole.direction = direction;
    hole.any_item = view->info->items == TE_ITEMS_NONE;
    shaft.any_item = true;
    uint32_t hole_smallest = TE_NO_INDEX;
    uint32_t hole_largest = TE_NO_INDEX;
    uint32_t shaft_smallest = TE_NO_INDEX;
    uint32_t shaft_largest = TE_NO_INDEX;
    /* Of each, both ends are there or none. */
    (void)te_pick_ends(&hole_smallest, &hole_largest, view, &hole);
    (void)te_pick_ends(&shaft_smallest, &shaft_largest, view, &shaft);
    (void)difference_of(low, hole_smallest, shaft_largest);
    return difference_of(high, hole_largest, shaft_smallest);
}

bool te_forms_clearance(te_form *low, te_form *high, const struct view *view)
{
    return clearance_of(low, high, view, NAN);
}

bool te_forms_clearance_thrust(te_form *low, te_form *high, const struct view *view)
{
    return clearance_of(low, high, view, thrust);
}
