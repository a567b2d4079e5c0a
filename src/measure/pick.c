/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "pick.h"

#include <math.h>
#include <string.h>

const double te_pick_tie = 1e-9;

/* Uncertainties nearer than this share are equal: they differ by rounding alone. */
static const double same_share = 1e-12;

/* The same direction or position: those of an inspection are snapped, given ones are not. */
static const double same_place = 0.001 + 1e-9;

static bool is_place(double wanted, double place)
{
    return isnan(wanted) || fabs(wanted - place) <= same_place;
}

bool te_in_subset(const struct subset *subset, const te_observation *x)
{
    bool item = subset->any_item || x->item == subset->item;
    bool part = subset->part == 0 || x->part == subset->part;
    bool placed = !subset->placed || (!isnan(x->position) && !isnan(x->direction));
    return x->feature == subset->feature && item && part && placed &&
           is_place(subset->direction, x->direction) && is_place(subset->position, x->position);
}

static int compare_uncertainty(double a, double b)
{
    double margin = same_share * fmax(a, b);
    return a > b + margin ? -1 : b > a + margin ? 1 : 0;
}

/* The order in which tied observations are taken; below 0 when a comes first. */
static int compare_ties(const struct view *view, uint32_t a, uint32_t b)
{
    const te_observation *x = &view->pool->items[a];
    const te_observation *y = &view->pool->items[b];
    const int orders[] = {
        compare_uncertainty(x->u, y->u),
        te_number_order(x->position, y->position),
        te_number_order(x->direction, y->direction),
        strcmp(te_shop_text(view->shop, x->instrument), te_shop_text(view->shop, y->instrument)),
        (x->reading > y->reading) - (x->reading < y->reading),
    };
    for (size_t i = 0; i < sizeof orders / sizeof *orders; i++) {
        if (orders[i] != 0) {
            return orders[i];
        }
    }
    return 0;
}

static bool differs(const te_observation *a, const te_observation *b, enum te_place place)
{
    switch (place) {
    case TE_PLACE_POSITION: return te_number_order(a->position, b->position) != 0;
    case TE_PLACE_DIRECTION: return te_number_order(a->direction, b->direction) != 0;
    case TE_PLACE_NONE: break;
    }
    return true;
}

/* Picks among the subset without `without` and, when `differ` is not NONE, only where the place
 * differs from that of `without`. */
static uint32_t pick_without(const struct view *view, const struct subset *subset, bool largest,
                             uint32_t without, enum te_place differ)
{
    double sign = largest ? 1.0 : -1.0;
    double extreme = -INFINITY;
    uint32_t best = TE_NO_INDEX;
    for (int pass = 0; pass < 2; pass++) {
        for (uint32_t i = view->first; i < view->end; i++) {
            const te_observation *x = &view->pool->items[i];
            bool barred = i == without || !te_in_subset(subset, x) ||
                          (without != TE_NO_INDEX &&
                           !differs(x, &view->pool->items[without], differ));
            if (barred) {
                continue;
            }
            if (pass == 0) {
                extreme = fmax(extreme, sign * x->value);
            } else if (sign * x->value >= extreme - te_pick_tie &&
                       (best == TE_NO_INDEX || compare_ties(view, i, best) < 0)) {
                best = i;
            }
        }
    }
    return best;
}

uint32_t te_pick(const struct view *view, const struct subset *subset, bool largest)
{
    return pick_without(view, subset, largest, TE_NO_INDEX, TE_PLACE_NONE);
}

bool te_pick_difference(te_form *form, const struct view *view, const struct subset *subset,
                        enum te_place differ)
{
    uint32_t high = te_pick(view, subset, true);
    if (high == TE_NO_INDEX) {
        return false;
    }
    /* Two places must be there at all; where every value is alike, the second is taken from
     * another place, else from wherever the smallest is. */
    uint32_t elsewhere = pick_without(view, subset, false, high, differ);
    uint32_t low = pick_without(view, subset, false, high, TE_PLACE_NONE);
    if (elsewhere == TE_NO_INDEX || low == TE_NO_INDEX) {
        return false;
    }
    double range = view->pool->items[high].value - view->pool->items[low].value;
    low = range <= te_pick_tie ? elsewhere : low;
    te_form minus = te_form_make(low, -1.0);
    *form = te_form_make(high, 1.0);
    return te_form_add(form, form, &minus) == TE_OK;
}

void te_keep_larger(te_form *best, const struct view *view, const te_form *candidate)
{
    if (best->count == 0) {
        *best = *candidate;
        return;
    }
    double old_value = te_form_value(view->pool, best);
    double new_value = te_form_value(view->pool, candidate);
    if (fabs(new_value - old_value) > te_pick_tie) {
        if (new_value > old_value) {
            *best = *candidate;
        }
        return;
    }
    int order = compare_uncertainty(sqrt(te_form_variance(view->pool, candidate)),
                                    sqrt(te_form_variance(view->pool, best)));
    if (order == 0) {
        order = compare_ties(view, candidate->observation[0], best->observation[0]);
    }
    if (order < 0) {
        *best = *candidate;
    }
}
