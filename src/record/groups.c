/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Repeats of one measurement brought beside each other. */
#include <math.h>
#include <stdlib.h>

#include "internal.h"
#include "sort.h"

/* Positions (mm) and directions (degrees) nearer than this are the same place; the small rest
 * lets a written difference of exactly 0.001 count as alike in binary. */
static const double alike = 0.001 + 1e-9;
static const double half_turn = 180.0; /* degrees */

/* ---- places that are alike ---- */

/* The class of a place: the lowest number of the run of alike ones that holds it. */
static double class_of(const double *classes, size_t count, double place)
{
    size_t low = 0;
    size_t high = count;
    while (low + 1 < high) {
        size_t middle = low + (high - low) / 2;
        if (classes[middle] <= place) {
            low = middle;
        } else {
            high = middle;
        }
    }
    return count == 0 ? place : classes[low];
}

/* Reduces sorted places to the first of each run of alike ones. */
static size_t make_classes(double *places, size_t count)
{
    size_t kept = 0;
    for (size_t i = 0; i < count; i++) {
        if (kept == 0 || places[i] - places[kept - 1] > alike) {
            places[kept++] = places[i];
        }
    }
    return kept;
}

static double place_of(const te_setup *setup, bool direction)
{
    double place = direction ? setup->direction : setup->position;
    /* A diameter is the same after half a turn. */
    return direction && place >= half_turn - alike ? 0.0 : place;
}

static te_reading *reading_at(te_shop *shop, uint32_t at)
{
    return &shop->readings.items[shop->by_inspection[at]];
}

static void move_reading(te_shop *shop, te_reading *reading, double place, bool direction)
{
    te_setup moved = *reading->setup;
    *(direction ? &moved.direction : &moved.position) = place;
    const te_setup *held = te_setups_intern(&shop->setups, &moved);
    if (held == NULL) {
        shop->out_of_memory = true;
        return;
    }
    reading->setup = held;
}

/* Gives alike places of one inspection the same number, so that from here on equal means alike. */
static void snap_places(te_shop *shop, const te_inspection *inspection, double *scratch,
                        bool direction)
{
    size_t count = 0;
    uint32_t end = inspection->first_reading + inspection->reading_count;
    for (uint32_t i = inspection->first_reading; i < end; i++) {
        double place = place_of(reading_at(shop, i)->setup, direction);
        if (!isnan(place)) {
            scratch[count++] = place;
        }
    }
    te_sort_numbers(scratch, count);
    count = make_classes(scratch, count);
    for (uint32_t i = inspection->first_reading; i < end; i++) {
        te_reading *reading = reading_at(shop, i);
        double place = place_of(reading->setup, direction);
        if (!isnan(place)) {
            move_reading(shop, reading, class_of(scratch, count, place), direction);
        }
    }
}

static bool may_snap(const te_shop *shop, const te_inspection *inspection)
{
    uint32_t end = inspection->first_reading + inspection->reading_count;
    for (uint32_t i = inspection->first_reading; i < end; i++) {
        const te_setup *setup = shop->readings.items[shop->by_inspection[i]].setup;
        if (te_setup_held(setup)->snaps) {
            return true;
        }
    }
    return false;
}

/* ---- the order of an inspection ---- */

/* A reading's place in the order, as two numbers: its feature, item and part, then its position, direction,
 * instrument and number. */
struct group_key {
    uint64_t what, where;
};

static int by_group(const void *left, const void *right)
{
    const struct group_key *a = left;
    const struct group_key *b = right;
    if (a->what != b->what) {
        return a->what < b->what ? -1 : 1;
    }
    return (a->where > b->where) - (a->where < b->where);
}

/* By insertion where there are few, and most of them in order as the plan is. */
static void sort_keys(struct group_key *keys, size_t count)
{
    enum { FEW = 100 };
    if (count > FEW) {
        qsort(keys, count, sizeof *keys, by_group);
        return;
    }
    for (size_t i = 1; i < count; i++) {
        struct group_key key = keys[i];
        size_t at = i;
        for (; at > 0 && by_group(&keys[at - 1], &key) > 0; at--) {
            keys[at] = keys[at - 1];
        }
        keys[at] = key;
    }
}

static void sort_inspection(te_shop *shop, const te_inspection *inspection, struct group_key *keys)
{
    uint32_t *order = shop->by_inspection + inspection->first_reading;
    for (uint32_t i = 0; i < inspection->reading_count; i++) {
        const te_reading *r = &shop->readings.items[order[i]];
        const struct held_setup *held = te_setup_held(r->setup);
        keys[i] = (struct group_key){(uint64_t)held->feature_rank << 32 | r->part,
                                     (uint64_t)held->place_rank << 32 | order[i]};
    }
    sort_keys(keys, inspection->reading_count);
    for (uint32_t i = 0; i < inspection->reading_count; i++) {
        order[i] = (uint32_t)keys[i].where;
    }
}

/* ---- ranks of the setups ---- */

static int compare_ids(uint32_t a, uint32_t b)
{
    return (a > b) - (a < b);
}

static int by_feature(const void *left, const void *right)
{
    const struct held_setup *const *a = left;
    const struct held_setup *const *b = right;
    int order = compare_ids((*a)->setup.feature, (*b)->setup.feature);
    return order != 0 ? order : compare_ids((*a)->setup.item, (*b)->setup.item);
}

static int by_place(const void *left, const void *right)
{
    const struct held_setup *const *a = left;
    const struct held_setup *const *b = right;
    const te_setup *x = &(*a)->setup;
    const te_setup *y = &(*b)->setup;
    int order = te_number_order(x->position, y->position);
    order = order != 0 ? order : te_number_order(x->direction, y->direction);
    return order != 0 ? order : compare_ids(x->instrument, y->instrument);
}

/* The setups that there are, in a list for the caller to free; NULL when out of memory. */
static struct held_setup **list_setups(const te_shop *shop)
{
    size_t count = shop->setups.count;
    struct held_setup **list = calloc(count + 1, sizeof *list);
    for (size_t i = 0; list != NULL && i < count; i++) {
        list[i] = te_setups_at(&shop->setups, i);
    }
    return list;
}

/* Ranks the setups, equal ones alike. False when out of memory. */
static bool rank_setups(te_shop *shop)
{
    size_t count = shop->setups.count;
    struct held_setup **sorted = list_setups(shop);
    uint32_t rank = 0;
    if (sorted == NULL) {
        return false;
    }
    qsort(sorted, count, sizeof(struct held_setup *), by_feature);
    for (size_t i = 0; i < count; i++) {
        rank += i > 0 && by_feature(&sorted[i - 1], &sorted[i]) != 0;
        sorted[i]->feature_rank = rank;
    }
    rank = 0;
    qsort(sorted, count, sizeof(struct held_setup *), by_place);
    for (size_t i = 0; i < count; i++) {
        rank += i > 0 && by_place(&sorted[i - 1], &sorted[i]) != 0;
        sorted[i]->place_rank = rank;
    }
    free(sorted);
    return true;
}

/* Marks the setups with a place that may become another's; false: nearly always there is none. */
static bool mark_alike(struct held_setup **setups, double *places, size_t count, bool direction)
{
    size_t kept = 0;
    size_t distinct = 0;
    for (size_t i = 0; i < count; i++) {
        double place = place_of(&setups[i]->setup, direction);
        if (!isnan(place)) {
            places[kept++] = place;
        }
    }
    te_sort_numbers(places, kept);
    for (size_t i = 0; i < kept; i++) {
        if (distinct == 0 || places[i] > places[distinct - 1]) {
            places[distinct++] = places[i];
        }
    }
    bool any = false;
    bool found = false;
    for (size_t i = 1; i < distinct; i++) {
        any = any || places[i] - places[i - 1] <= alike;
    }
    for (size_t i = 0; i < count; i++) {
        double place = direction ? setups[i]->setup.direction : setups[i]->setup.position;
        bool turns = direction && place >= half_turn - alike;
        setups[i]->snaps = setups[i]->snaps || any || turns;
        found = found || setups[i]->snaps;
    }
    return found;
}

/* Brings alike places of each inspection together. False when out of memory. */
static bool snap_setups(te_shop *shop)
{
    size_t count = shop->setups.count;
    struct held_setup **list = list_setups(shop);
    double *all = calloc(count + 1, sizeof *all);
    double *places = calloc(te_shop_most_readings(shop), sizeof *places);
    bool ready = list != NULL && all != NULL && places != NULL;
    bool any = ready && mark_alike(list, all, count, false);
    any = (ready && mark_alike(list, all, count, true)) || any;
    for (size_t i = 0; any && i < shop->inspections.count; i++) {
        const te_inspection *inspection = &shop->inspections.items[i];
        if (may_snap(shop, inspection)) {
            snap_places(shop, inspection, places, false);
            snap_places(shop, inspection, places, true);
        }
    }
    free(list);
    free(all);
    free(places);
    return ready;
}

static void sort_share(te_shop *shop, size_t first, size_t end)
{
    struct group_key *keys = calloc(te_shop_most_readings(shop), sizeof *keys);
    if (keys == NULL) {
        shop->out_of_memory = true;
        return;
    }
    for (size_t i = first; i < end; i++) {
        sort_inspection(shop, &shop->inspections.items[i], keys);
    }
    free(keys);
}

void te_shop_group_readings(te_shop *shop)
{
    if (!snap_setups(shop) || !rank_setups(shop)) {
        shop->out_of_memory = true;
        return;
    }
    te_shop_share(shop, sort_share);
}

static bool is_same_group(const te_reading *a, const te_reading *b)
{
    const te_setup *x = a->setup;
    const te_setup *y = b->setup;
    return a->part == b->part && (x == y || (x->feature == y->feature && x->item == y->item &&
                                             x->instrument == y->instrument &&
                                             te_number_order(x->position, y->position) == 0 &&
                                             te_number_order(x->direction, y->direction) == 0));
}

uint32_t te_shop_group_end(const te_shop *shop, const te_inspection *inspection, uint32_t first)
{
    const te_reading *a = &shop->readings.items[shop->by_inspection[first]];
    uint32_t end = inspection->first_reading + inspection->reading_count;
    uint32_t i = first + 1;
    while (i < end && is_same_group(a, &shop->readings.items[shop->by_inspection[i]])) {
        i++;
    }
    return i;
}
