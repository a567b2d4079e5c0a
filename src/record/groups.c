/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Repeats of one measurement brought beside each other. */
#include <math.h>
#include <stdlib.h>

#include "internal.h"

/* Positions (mm) and directions (degrees) nearer than this are the same place; the small rest
 * lets a written difference of exactly 0.001 count as alike in binary. */
static const double alike = 0.001 + 1e-9;
static const double half_turn = 180.0; /* degrees */

/* A reading's key, copied out so that the comparison needs no context. */
struct group_key {
    te_quantity feature;
    te_id part, item, instrument;
    double position, direction;
    uint32_t reading;
};

static int compare_ids(uint32_t a, uint32_t b)
{
    return (a > b) - (a < b);
}

static int by_group(const void *left, const void *right)
{
    const struct group_key *a = left;
    const struct group_key *b = right;
    const int orders[] = {
        compare_ids(a->feature, b->feature),
        compare_ids(a->item, b->item),
        compare_ids(a->part, b->part),
        te_number_order(a->position, b->position),
        te_number_order(a->direction, b->direction),
        compare_ids(a->instrument, b->instrument),
        compare_ids(a->reading, b->reading),
    };
    for (size_t i = 0; i < sizeof orders / sizeof *orders; i++) {
        if (orders[i] != 0) {
            return orders[i];
        }
    }
    return 0;
}

static int by_number(const void *left, const void *right)
{
    const double *a = left;
    const double *b = right;
    return te_number_order(*a, *b);
}

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

static double *place_member(te_reading *reading, bool direction)
{
    return direction ? &reading->direction : &reading->position;
}

/* Gives alike places of one inspection the same number, so that from here on equal means alike. */
static void snap_places(te_shop *shop, const te_inspection *inspection, double *scratch,
                        bool direction)
{
    size_t count = 0;
    for (uint32_t i = 0; i < inspection->reading_count; i++) {
        te_reading *reading =
            &shop->readings.items[shop->by_inspection[inspection->first_reading + i]];
        double place = *place_member(reading, direction);
        if (direction && place >= half_turn - alike) {
            place = 0.0; /* a diameter is the same after half a turn */
            reading->direction = place;
        }
        if (!isnan(place)) {
            scratch[count++] = place;
        }
    }
    qsort(scratch, count, sizeof *scratch, by_number);
    count = make_classes(scratch, count);
    for (uint32_t i = 0; i < inspection->reading_count; i++) {
        te_reading *reading =
            &shop->readings.items[shop->by_inspection[inspection->first_reading + i]];
        double *place = place_member(reading, direction);
        *place = isnan(*place) ? *place : class_of(scratch, count, *place);
    }
}

static void sort_inspection(te_shop *shop, const te_inspection *inspection, struct group_key *keys)
{
    uint32_t *order = shop->by_inspection + inspection->first_reading;
    for (uint32_t i = 0; i < inspection->reading_count; i++) {
        const te_reading *r = &shop->readings.items[order[i]];
        keys[i] = (struct group_key){r->feature,  r->part,      r->item, r->instrument,
                                     r->position, r->direction, order[i]};
    }
    qsort(keys, inspection->reading_count, sizeof *keys, by_group);
    for (uint32_t i = 0; i < inspection->reading_count; i++) {
        order[i] = keys[i].reading;
    }
}

void te_shop_group_readings(te_shop *shop)
{
    uint32_t most = 1;
    for (size_t i = 0; i < shop->inspections.count; i++) {
        uint32_t count = shop->inspections.items[i].reading_count;
        most = count > most ? count : most;
    }
    double *places = calloc(most, sizeof *places);
    struct group_key *keys = calloc(most, sizeof *keys);
    if (places == NULL || keys == NULL) {
        shop->out_of_memory = true;
        goto done;
    }
    for (size_t i = 0; i < shop->inspections.count; i++) {
        const te_inspection *inspection = &shop->inspections.items[i];
        if (inspection->reading_count > 0) {
            snap_places(shop, inspection, places, false);
            snap_places(shop, inspection, places, true);
            sort_inspection(shop, inspection, keys);
        }
    }
done:
    free(places);
    free(keys);
}

uint32_t te_shop_group_end(const te_shop *shop, const te_inspection *inspection, uint32_t first)
{
    const te_reading *a = &shop->readings.items[shop->by_inspection[first]];
    uint32_t end = inspection->first_reading + inspection->reading_count;
    uint32_t i = first + 1;
    for (; i < end; i++) {
        const te_reading *b = &shop->readings.items[shop->by_inspection[i]];
        bool same = a->feature == b->feature && a->item == b->item && a->part == b->part &&
                    a->instrument == b->instrument &&
                    te_number_order(a->position, b->position) == 0 &&
                    te_number_order(a->direction, b->direction) == 0;
        if (!same) {
            break;
        }
    }
    return i;
}
