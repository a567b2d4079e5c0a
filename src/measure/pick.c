/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "pick.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

const double te_pick_tie = 1e-9;

/* Uncertainties nearer than this share are equal: they differ by rounding alone. */
static const double same_share = 1e-12;

/* The same direction or position: those of an inspection are snapped, given ones are not. */
static const double same_place = 0.001 + 1e-9;

/* ---- subsets ---- */

static bool is_place(double wanted, double place)
{
    return isnan(wanted) || fabs(wanted - place) <= same_place;
}

bool te_in_subset(const struct subset *subset, const te_observation *x)
{
    return x->feature == subset->feature && (subset->any_item || x->item == subset->item) &&
           (subset->part == 0 || x->part == subset->part) &&
           (!subset->placed || (!isnan(x->position) && !isnan(x->direction))) &&
           is_place(subset->direction, x->direction) && is_place(subset->position, x->position);
}

struct span te_span_of(const struct view *view, te_quantity feature)
{
    struct span span = {view->first, view->end};
    if (feature < TE_Q_OWN) {
        const struct span *known = &view->known[feature];
        span.first = known->first > span.first ? known->first : span.first;
        span.end = known->end < span.end ? known->end : span.end;
    }
    return span;
}

/* Lists the members of a subset once, for all that is picked from it; returns how many. */
static size_t list_members(const struct view *view, const struct subset *subset)
{
    size_t count = 0;
    struct span span = te_span_of(view, subset->feature);
    for (uint32_t i = span.first; i < span.end; i++) {
        const te_observation *x = &view->pool->items[i];
        if (te_in_subset(subset, x)) {
            view->members[count++] = (struct member){x->direction, i};
        }
    }
    return count;
}

/* ---- ties ---- */

static int compare_uncertainty(double a, double b)
{
    double margin = same_share * (a > b ? a : b);
    return a > b + margin ? -1 : b > a + margin ? 1 : 0;
}

static int compare_instruments(const te_shop *shop, te_id a, te_id b)
{
    return a == b ? 0 : strcmp(te_shop_text(shop, a), te_shop_text(shop, b));
}

/* The order in which tied observations are taken; below 0 when a comes first. */
static int compare_ties(const struct view *view, uint32_t a, uint32_t b)
{
    const te_observation *x = &view->pool->items[a];
    const te_observation *y = &view->pool->items[b];
    int order = compare_uncertainty(x->u, y->u);
    order = order != 0 ? order : te_number_order(x->position, y->position);
    order = order != 0 ? order : te_number_order(x->direction, y->direction);
    order = order != 0 ? order : compare_instruments(view->shop, x->instrument, y->instrument);
    return order != 0 ? order : (x->reading > y->reading) - (x->reading < y->reading);
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

/* ---- picks ---- */

/* Some members of a subset, and which of them is wanted. */
struct choice {
    const struct member *members;
    size_t count;
    bool largest;
};

/* Picks among the members without `without` and, when `differ` is not NONE, only where the place
 * differs from that of `without`. */
static uint32_t pick_without(const struct view *view, const struct choice *among, uint32_t without,
                             enum te_place differ)
{
    const te_observation *items = view->pool->items;
    double sign = among->largest ? 1.0 : -1.0;
    double extreme = -INFINITY;
    uint32_t best = TE_NO_INDEX;
    for (int pass = 0; pass < 2; pass++) {
        for (size_t k = 0; k < among->count; k++) {
            uint32_t i = among->members[k].observation;
            double value = sign * items[i].value;
            bool near = pass == 0 ? value > extreme : value >= extreme - te_pick_tie;
            if (!near || i == without ||
                (without != TE_NO_INDEX && !differs(&items[i], &items[without], differ))) {
                continue;
            }
            if (pass == 0) {
                extreme = value;
            } else if (best == TE_NO_INDEX || compare_ties(view, i, best) < 0) {
                best = i;
            }
        }
    }
    return best;
}

static uint32_t pick(const struct view *view, const struct member *members, size_t count,
                     bool largest)
{
    const struct choice among = {members, count, largest};
    if (count == 1) {
        return members[0].observation; /* most features are read in one place */
    }
    return pick_without(view, &among, TE_NO_INDEX, TE_PLACE_NONE);
}

uint32_t te_pick(const struct view *view, const struct subset *subset, bool largest)
{
    return pick(view, view->members, list_members(view, subset), largest);
}

bool te_pick_ends(uint32_t *smallest, uint32_t *largest, const struct view *view,
                  const struct subset *subset)
{
    size_t count = list_members(view, subset);
    *smallest = pick(view, view->members, count, false);
    *largest = pick(view, view->members, count, true);
    return *smallest != TE_NO_INDEX;
}

/* Two places must be there at all; where every value is alike, the second is taken from another
 * place, else from wherever the smallest is. */
static bool take_difference(te_form *form, const struct view *view, const struct member *members,
                            size_t count, enum te_place differ)
{
    const te_observation *items = view->pool->items;
    const struct choice smallest = {members, count, false};
    uint32_t high = pick(view, members, count, true);
    uint32_t low = high == TE_NO_INDEX ? TE_NO_INDEX
                                       : pick_without(view, &smallest, high, TE_PLACE_NONE);
    if (low == TE_NO_INDEX) {
        return false;
    }
    bool alike = items[high].value - items[low].value <= te_pick_tie;
    if (alike || !differs(&items[low], &items[high], differ)) {
        uint32_t elsewhere = pick_without(view, &smallest, high, differ);
        if (elsewhere == TE_NO_INDEX) {
            return false;
        }
        low = alike ? elsewhere : low;
    }
    te_form_set(form, high, 1.0);
    return te_form_add_term(form, low, -1.0) == TE_OK;
}

bool te_pick_difference(te_form *form, const struct view *view, const struct subset *subset,
                        enum te_place differ)
{
    return take_difference(form, view, view->members, list_members(view, subset), differ);
}

static int by_direction(const void *left, const void *right)
{
    const struct member *a = left;
    const struct member *b = right;
    if (a->direction < b->direction || a->direction > b->direction) {
        return a->direction < b->direction ? -1 : 1;
    }
    return (a->observation > b->observation) - (a->observation < b->observation);
}

void te_pick_along(te_form *best, const struct view *view, const struct subset *subset)
{
    struct member *members = view->members;
    size_t count = list_members(view, subset);
    te_form candidate = {.count = 0};
    if (count > 1) { /* sorted, so that all directions together cost no more than a sort */
        qsort(members, count, sizeof *members, by_direction);
    }
    size_t from = 0;
    size_t to = 0;
    for (size_t i = 0; i < count; i++) {
        double direction = members[i].direction;
        if (i > 0 && members[i - 1].direction >= direction) {
            continue; /* this direction was looked at */
        }
        while (direction - members[from].direction > same_place) {
            from++;
        }
        while (to < count && members[to].direction - direction <= same_place) {
            to++;
        }
        if (take_difference(&candidate, view, members + from, to - from, TE_PLACE_POSITION)) {
            te_keep_larger(best, view, &candidate);
        }
    }
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
    int order = compare_uncertainty(te_form_uncertainty(view->pool, candidate),
                                    te_form_uncertainty(view->pool, best));
    if (order == 0) {
        order = compare_ties(view, candidate->observation[0], best->observation[0]);
    }
    if (order < 0) {
        *best = *candidate;
    }
}
