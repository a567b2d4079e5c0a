/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Readings against their limits' neighbourhood, against their repeats and their gauge's unit. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "internal.h"

static const double nearest_limit_share = 0.10; /* a size further from every limit is a slip */
static const double repeats_apart_most = 0.5;   /* mm; repeats further apart are not repeats */

double te_reading_size(const te_reading *reading)
{
    return te_size_of(reading);
}

/* An oversize is written as the limit is: mm, or inches where the limit is in in or thou. */
static double oversize_mm(double oversize, te_unit unit)
{
    return te_unit_is_inch(unit) ? te_unit_to_mm(oversize, TE_UNIT_IN) : oversize;
}

static void shift_limit(te_limit *limit, double oversize)
{
    double shift = oversize_mm(oversize, limit->unit);
    limit->new_min += shift;
    limit->new_max += shift;
    limit->service_min += shift;
    limit->service_max += shift;
}

bool te_shop_oversize_limit(te_limit *limit, const te_shop *shop, uint32_t model,
                            te_quantity quantity, te_id item, double oversize)
{
    uint32_t at = model == TE_NO_INDEX ? TE_NO_INDEX : te_shop_limit(shop, model, quantity, item);
    if (at == TE_NO_INDEX) {
        return false;
    }
    *limit = shop->limits.items[at];
    if (te_quantity_is(quantity, TE_TRAIT_OVERSIZE)) {
        shift_limit(limit, oversize);
    }
    return true;
}

double te_shop_part_oversize(const te_shop *shop, const te_inspection *inspection, te_id part)
{
    uint32_t stay = te_shop_stay(shop, part, inspection->engine, inspection->hours);
    return stay == TE_NO_INDEX ? 0.0 : shop->stays.items[stay].oversize;
}

bool te_shop_part_limit(te_limit *limit, const te_shop *shop, const te_inspection *inspection,
                        te_quantity quantity, te_id item, te_id part)
{
    bool moves = te_quantity_is(quantity, TE_TRAIT_OVERSIZE);
    double oversize = moves ? te_shop_part_oversize(shop, inspection, part) : 0.0;
    return te_shop_oversize_limit(limit, shop, shop->engines.items[inspection->engine].model,
                                  quantity, item, oversize);
}

bool te_limit_as_new(double *least, double *most, const te_limit *limit)
{
    bool from_zero = limit->quantity < TE_Q_OWN && !te_quantity_is(limit->quantity, TE_TRAIT_SIZE);
    *least = isnan(limit->new_min) && from_zero ? 0.0 : limit->new_min;
    *most = limit->new_max;
    return *most >= *least; /* false also when a limit is absent */
}

const te_limit *te_shop_reading_limit(struct limit_memo *memo, const te_shop *shop,
                                      const te_reading *reading)
{
    const te_setup *setup = reading->setup;
    bool same = memo->asked && memo->inspection == reading->inspection &&
                memo->part == reading->part && memo->feature == setup->feature &&
                memo->item == setup->item;
    if (!same) {
        memo->asked = true;
        memo->inspection = reading->inspection;
        memo->feature = setup->feature;
        memo->item = setup->item;
        memo->part = reading->part;
        memo->limited = te_shop_part_limit(&memo->limit, shop,
                                           &shop->inspections.items[reading->inspection],
                                           setup->feature, setup->item, reading->part);
    }
    return memo->limited ? &memo->limit : NULL;
}

static struct place_of reading_place(const te_shop *shop, te_severity severity,
                                     const te_reading *reading, const char *column)
{
    uint32_t engine = shop->inspections.items[reading->inspection].engine;
    return te_place_engine(shop, severity, te_reading_origin(reading), column, engine);
}

const char *te_reading_column(const te_reading *reading)
{
    static const char *const columns[] = {"reading", "reading_2", "reading_3", "reading_4",
                                          "reading_5"};
    return columns[reading->repeat - 1];
}

bool te_limit_is_near(const te_limit *limit, double size)
{
    const double limits[] = {limit->new_min, limit->new_max, limit->service_min,
                             limit->service_max};
    bool any = false;
    bool near_one = false;
    for (size_t i = 0; i < sizeof limits / sizeof *limits; i++) {
        any = any || !isnan(limits[i]);
        near_one = near_one || fabs(size - limits[i]) <= nearest_limit_share * fabs(limits[i]);
    }
    return near_one || !any;
}

/* What is known already while readings are checked in order. */
struct checking {
    te_shop *shop;
    struct limit_memo limit;
    const te_setup *sound; /* its gauge has a fitting unit at this inspection; NULL: not known */
};

/* A size that is refused is not looked at for slips as well. */
static void refuse_size(te_shop *shop, te_reading *reading, const char *remedy, const char *format)
{
    struct place_of place = reading_place(shop, TE_ERROR, reading, te_reading_column(reading));
    reading->dropped = 1;
    te_shop_problem(shop, &place, remedy, format,
                    te_quantity_info_of(reading->setup->feature)->name);
}

static void check_size(struct checking *c, te_reading *reading)
{
    double size = te_size_of(reading);
    if ((te_setup_held(reading->setup)->traits & TE_TRAIT_SIZE) == 0) {
        return;
    }
    if (!(size > 0.0)) {
        refuse_size(c->shop, reading, "check the reading and the zero", "a %s must be above 0");
        return;
    }
    const te_limit *limit = te_shop_reading_limit(&c->limit, c->shop, reading);
    if (limit != NULL && !te_limit_is_near(limit, size)) {
        refuse_size(c->shop, reading, "check the unit, the decimal mark and the zero",
                    "the %s is more than 10 %% away from its nearest limit");
    }
}

/* True when the instrument's figures cannot be those of the reading's unit. One that names no unit
 * is taken to be in the reading's. */
static bool gauge_differs(const te_instrument *gauge, const te_reading *reading)
{
    bool states = !isnan(gauge->resolution) || !isnan(gauge->expanded_uncertainty) ||
                  !isnan(gauge->repeatability);
    bool own = reading->setup->unit == TE_UNIT_OWN;
    bool gauge_own = gauge->unit == TE_UNIT_OWN;
    return states && gauge->unit_given &&
           (own != gauge_own || (own && gauge->unit_text != reading->setup->unit_text));
}

/* The instrument of a reading and all that it is set with have the reading's sort of unit. */
static void check_gauge_units(struct checking *c, const te_reading *reading)
{
    te_shop *shop = c->shop;
    const te_setup *setup = reading->setup;
    if (c->sound != NULL && c->sound->instrument == setup->instrument &&
        c->sound->unit == setup->unit && c->sound->unit_text == setup->unit_text) {
        return;
    }
    te_date date = shop->inspections.items[reading->inspection].date;
    const te_instrument *gauge = te_shop_gauge(shop, reading->setup->instrument, date);
    for (; gauge != NULL; gauge = te_shop_gauge(shop, gauge->set_with, date)) {
        if (gauge_differs(gauge, reading)) {
            struct place_of place = reading_place(shop, TE_ERROR, reading, "instrument");
            te_shop_problem(shop, &place, "correct the unit here or in instruments.csv",
                            "%s has another unit (instruments.csv, line %u)",
                            te_names_text(&shop->names, gauge->id), (unsigned)gauge->origin.line);
            return;
        }
    }
    c->sound = setup;
}

/* A feature of the user's own is read and limited in one unit. */
static void check_own_unit(struct checking *c, const te_reading *reading, const te_reading *before)
{
    te_shop *shop = c->shop;
    const te_limit *limit = te_shop_reading_limit(&c->limit, shop, reading);
    struct place_of place = reading_place(shop, TE_ERROR, reading, "unit");
    bool own = reading->setup->unit == TE_UNIT_OWN;
    if (limit != NULL) {
        bool limit_own = limit->unit == TE_UNIT_OWN;
        if (own != limit_own || (own && limit->unit_text != reading->setup->unit_text)) {
            te_shop_problem(shop, &place, "write both in the same unit",
                            "the limit of this feature has another unit (limits.csv, line %u)",
                            (unsigned)limit->origin.line);
            return;
        }
    }
    bool same_feature = before != NULL && before->setup->feature == reading->setup->feature;
    bool before_own = same_feature && before->setup->unit == TE_UNIT_OWN;
    if (same_feature &&
        (own != before_own || (own && before->setup->unit_text != reading->setup->unit_text))) {
        te_shop_problem(shop, &place, "write both in the same unit",
                        "the unit differs from that of the same feature in line %u",
                        (unsigned)before->line);
    }
}

static void give_no_go(te_shop *shop, te_reading *reading, double no_go)
{
    te_setup setup = *reading->setup;
    setup.no_go = no_go;
    const te_setup *held = te_setups_intern(&shop->setups, &setup);
    if (held == NULL) {
        shop->out_of_memory = true;
        return;
    }
    reading->setup = held;
    if (no_go <= reading->value) {
        struct place_of place = reading_place(shop, TE_ERROR, reading, te_reading_column(reading));
        te_shop_problem(shop, &place, "give the leaf that does not enter",
                        "the no_go of its repeats is not above this reading");
    }
}

/* Repeats share one no_go: a row that has none takes the group's. */
static void share_no_go(te_shop *shop, const uint32_t *group, uint32_t count)
{
    double no_go = NAN;
    for (uint32_t i = 0; i < count && isnan(no_go); i++) {
        no_go = shop->readings.items[group[i]].setup->no_go;
    }
    for (uint32_t i = 0; i < count && !isnan(no_go); i++) {
        te_reading *reading = &shop->readings.items[group[i]];
        if (isnan(reading->setup->no_go)) {
            give_no_go(shop, reading, no_go);
        }
    }
}

/* The column in which a repeat differs from the first as repeats must not; NULL: in none. */
static const char *differing_column(const te_reading *first, const te_reading *reading)
{
    const te_setup *a = first->setup;
    const te_setup *b = reading->setup;
    if (isnan(a->zero) != isnan(b->zero) || a->zero < b->zero || a->zero > b->zero) {
        return "zero";
    }
    if (a->no_go < b->no_go || a->no_go > b->no_go) {
        return "no_go";
    }
    bool apart = b->unit != TE_UNIT_OWN &&
                 fabs(te_size_of(reading) - te_size_of(first)) > repeats_apart_most;
    return apart ? te_reading_column(reading) : NULL;
}

static void report_repeat(te_shop *shop, const te_reading *first, const te_reading *reading,
                          const char *column)
{
    struct place_of place = reading_place(shop, TE_ERROR, reading, column);
    unsigned line = (unsigned)first->line;
    if (strcmp(column, "zero") == 0) {
        te_shop_problem(shop, &place, "set the gauge once for all repeats, or name another",
                        "the zero differs from that of the repeat in line %u", line);
    } else if (strcmp(column, "no_go") == 0) {
        te_shop_problem(shop, &place, "repeats share one no_go: write the leaf that holds for all",
                        "the no_go differs from that of the repeat in line %u", line);
    } else {
        te_shop_problem(shop, &place, "check both; give different places a position",
                        "it is more than 0.5 mm from its repeat, %s in line %u",
                        te_reading_column(first), line);
    }
}

static void check_repeats(te_shop *shop, const uint32_t *group, uint32_t count)
{
    const te_reading *first = &shop->readings.items[group[0]];
    for (uint32_t i = 1; i < count; i++) {
        const te_reading *reading = &shop->readings.items[group[i]];
        const char *column = differing_column(first, reading);
        if (column != NULL) {
            report_repeat(shop, first, reading, column);
            return;
        }
    }
}

/* Every two repeats, not only each with the first. */
static void check_spread(te_shop *shop, const uint32_t *group, uint32_t count)
{
    uint32_t low = group[0];
    uint32_t high = group[0];
    for (uint32_t i = 1; i < count; i++) {
        double size = te_size_of(&shop->readings.items[group[i]]);
        low = size < te_size_of(&shop->readings.items[low]) ? group[i] : low;
        high = size > te_size_of(&shop->readings.items[high]) ? group[i] : high;
    }
    const te_reading *first = &shop->readings.items[group[0]];
    double below = te_size_of(first) - te_size_of(&shop->readings.items[low]);
    double above = te_size_of(&shop->readings.items[high]) - te_size_of(first);
    bool told = below > repeats_apart_most || above > repeats_apart_most;
    if (!told && first->setup->unit != TE_UNIT_OWN && below + above > repeats_apart_most) {
        const te_reading *last = &shop->readings.items[low > high ? low : high];
        struct place_of place = reading_place(shop, TE_ERROR, last, te_reading_column(last));
        te_shop_problem(shop, &place, "check both; give different places a position",
                        "repeats of one measurement are more than 0.5 mm apart");
    }
}

static void check_group(struct checking *c, const uint32_t *group, uint32_t count,
                        const te_reading **before)
{
    if (count > 1) {
        check_repeats(c->shop, group, count);
        check_spread(c->shop, group, count);
    }
    for (uint32_t i = 0; i < count; i++) {
        te_reading *reading = &c->shop->readings.items[group[i]];
        check_size(c, reading);
        if (reading->repeat == 1) {
            check_gauge_units(c, reading);
        }
        if (reading->setup->feature >= TE_Q_OWN) {
            check_own_unit(c, reading, *before);
        }
        *before = reading;
    }
}

static void check_share(te_shop *shop, size_t first, size_t end)
{
    struct checking c = {.shop = shop};
    for (size_t i = first; i < end; i++) {
        const te_inspection *inspection = &shop->inspections.items[i];
        const te_reading *before = NULL;
        uint32_t last = inspection->first_reading + inspection->reading_count;
        c.sound = NULL;
        for (uint32_t at = inspection->first_reading;
             inspection->engine != TE_NO_INDEX && at < last;) {
            uint32_t next = te_shop_group_end(shop, inspection, at);
            check_group(&c, shop->by_inspection + at, next - at, &before);
            at = next;
        }
    }
}

static void share_every_no_go(te_shop *shop)
{
    for (size_t i = 0; i < shop->inspections.count; i++) {
        const te_inspection *inspection = &shop->inspections.items[i];
        uint32_t last = inspection->first_reading + inspection->reading_count;
        for (uint32_t at = inspection->first_reading;
             inspection->engine != TE_NO_INDEX && at < last;) {
            uint32_t next = te_shop_group_end(shop, inspection, at);
            share_no_go(shop, shop->by_inspection + at, next - at);
            at = next;
        }
    }
}

/* How a feature was read: with a no_go, and without one. */
enum { WITH_NO_GO = 1, WITHOUT_NO_GO = 2 };

/* There is one to share where a feature was read both ways. */
static bool any_no_go_to_share(te_shop *shop)
{
    bool any = false;
    unsigned char *ways = calloc((size_t)TE_Q_OWN + shop->own.count, 1);
    if (ways == NULL) {
        shop->out_of_memory = true;
        return false;
    }
    for (size_t i = 0; i < shop->setups.count && !any; i++) {
        const te_setup *setup = &te_setups_at(&shop->setups, i)->setup;
        ways[setup->feature] |= isnan(setup->no_go) ? WITHOUT_NO_GO : WITH_NO_GO;
        any = ways[setup->feature] == (WITH_NO_GO | WITHOUT_NO_GO);
    }
    free(ways);
    return any;
}

void te_shop_check_readings(te_shop *shop)
{
    if (any_no_go_to_share(shop)) {
        share_every_no_go(shop);
    }
    te_shop_share(shop, check_share);
}
