/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A part's own hours, through engines and stays. */
#include <math.h>
#include <string.h>

#include "series.h"

static bool same_hours(double a, double b)
{
    return fabs(a - b) <= TE_SAME_HOURS;
}

/* A part's rows, and where one of them begins when touching stays are one. */
struct rows {
    const te_shop *shop;
    const te_stay *stays;
    const uint32_t *of_part;
    size_t count;
};

static struct rows rows_of(const te_shop *shop, te_id part)
{
    struct rows rows = {.shop = shop, .stays = te_shop_tables(shop)->stays};
    rows.of_part = te_shop_part_stays(&rows.count, shop, part);
    return rows;
}

static const te_stay *row_at(const struct rows *rows, size_t i)
{
    return &rows->stays[rows->of_part[i]];
}

/* Off and back at the same hours is one stay: its first row. */
static const te_stay *first_of_stay(const struct rows *rows, const te_stay *stay)
{
    for (size_t i = 0; i < rows->count; i++) {
        const te_stay *before = row_at(rows, i);
        if (before->engine == stay->engine && before->fitted_hours < stay->fitted_hours &&
            same_hours(before->removed_hours, stay->fitted_hours)) {
            stay = before;
            i = SIZE_MAX; /* look again from the first row: the order of the file is free */
        }
    }
    return stay;
}

/* ---- the first reading of a part ---- */

static bool reads_part(const te_tables *tables, const te_inspection *inspection, te_id part)
{
    for (uint32_t i = 0; i < inspection->reading_count; i++) {
        const te_reading *reading =
            &tables->readings[tables->by_inspection[inspection->first_reading + i]];
        te_kind second = te_quantity_info_of(reading->setup->feature)->second_kind;
        if (reading->part == part || (reading->setup->feature < TE_Q_OWN &&
                                      second != TE_KIND_NONE && inspection->part[second] == part)) {
            return true;
        }
    }
    return false;
}

/* Engine hours of the first reading of a part within a stay's rows; INFINITY without one. */
static double first_reading(const te_shop *shop, te_id part, uint32_t engine, double from,
                            double to)
{
    const te_tables *tables = te_shop_tables(shop);
    const te_engine *e = &tables->engines[engine];
    for (uint32_t i = 0; i < e->inspection_count; i++) {
        const te_inspection *inspection =
            &tables->inspections[tables->by_engine[e->first_inspection + i]];
        if (inspection->hours >= from && inspection->hours <= to &&
            reads_part(tables, inspection, part)) {
            return inspection->hours;
        }
    }
    return INFINITY;
}

/* ---- unknown history ---- */

/* The first row of the file that says `?`; NULL when none does. A later one adds nothing to what is
 * not known already. */
static const te_stay *first_unknown(const struct rows *rows)
{
    for (size_t i = 0; i < rows->count; i++) {
        if (row_at(rows, i)->unknown_history) {
            return first_of_stay(rows, row_at(rows, i));
        }
    }
    return NULL;
}

/* Hours that the part ran by its stays from the unknown one up to some hours of a later one, in the
 * order of the file. What stands in hours_before is not asked: it has no known beginning. */
static double run_hours(const struct rows *rows, const te_stay *unknown, const te_stay *stay,
                        double hours)
{
    double sum = 0.0;
    const te_stay *whole = first_of_stay(rows, stay);
    for (size_t i = 0; i < rows->count; i++) {
        const te_stay *row = row_at(rows, i);
        uint32_t line = first_of_stay(rows, row)->origin.line;
        if (line >= unknown->origin.line && line < whole->origin.line) {
            sum += row->removed_hours - row->fitted_hours;
        }
    }
    return sum + (hours - whole->fitted_hours);
}

/* The first reading of a part since its history was lost. */
struct reading_of_part {
    const te_stay *stay; /* during which it was taken; NULL: none was */
    double hours;        /* of that engine */
};

/* In the earliest stay of the file that has one, at its earliest hours. */
static struct reading_of_part find_first_reading(const struct rows *rows, const te_stay *unknown)
{
    struct reading_of_part found = {NULL, 0.0};
    for (size_t i = 0; i < rows->count; i++) {
        const te_stay *row = row_at(rows, i);
        const te_stay *whole = first_of_stay(rows, row);
        double hours = whole->origin.line < unknown->origin.line
                           ? INFINITY
                           : first_reading(rows->shop, row->part, row->engine, row->fitted_hours,
                                           row->removed_hours);
        bool earlier = found.stay == NULL || whole->origin.line < found.stay->origin.line ||
                       (whole == found.stay && hours < found.hours);
        if (!isinf(hours) && earlier) {
            found = (struct reading_of_part){whole, hours};
        }
    }
    return found;
}

/* What is known of the time of a part whose history is not: own hours since its first reading, NAN
 * before that history was lost or after a stay that has not ended; in the stay of that reading a
 * pair counts from it too. */
static void take_unknown(te_part_time *time, const struct rows *rows, const te_stay *unknown,
                         const te_stay *stay, double hours)
{
    struct reading_of_part first = find_first_reading(rows, unknown);
    double origin = first.stay == NULL ? 0.0 : run_hours(rows, unknown, first.stay, first.hours);
    double own = run_hours(rows, unknown, stay, hours) - origin;
    bool later = first_of_stay(rows, stay)->origin.line >= unknown->origin.line;
    time->unknown = true;
    time->own = later && isfinite(own) ? own : NAN;
    if (first.stay != NULL && first.stay == first_of_stay(rows, stay)) {
        time->joined = first.hours;
    }
}

/* ---- the answers ---- */

void te_part_time_at(te_part_time *time, const te_shop *shop, te_id part, uint32_t engine,
                     double hours)
{
    struct rows rows = rows_of(shop, part);
    uint32_t at = te_shop_stay(shop, part, engine, hours);
    if (at == TE_NO_INDEX) { /* the original part: on the engine from 0 h */
        *time = (te_part_time){.own = hours, .original = true};
        return;
    }
    const te_stay *stay = &rows.stays[at];
    const te_stay *unknown = first_unknown(&rows);
    const te_stay *first = first_of_stay(&rows, stay);
    *time = (te_part_time){.own = first->hours_before + hours - first->fitted_hours,
                           .joined = first->fitted_hours,
                           .fitted = first->fitted_hours};
    if (unknown != NULL) {
        take_unknown(time, &rows, unknown, stay, hours);
    }
}

bool te_part_starts_new(const te_shop *shop, te_id part, uint32_t engine, double hours)
{
    te_part_time time;
    te_part_time_at(&time, shop, part, engine, hours);
    return !time.unknown && same_hours(time.own, 0.0);
}

bool te_part_new_place(uint32_t *engine, double *hours, const te_shop *shop, te_id part,
                       uint32_t last_engine)
{
    struct rows rows = rows_of(shop, part);
    *engine = last_engine;
    *hours = 0.0;
    if (first_unknown(&rows) != NULL) {
        return false;
    }
    bool any = rows.count == 0; /* the original part */
    for (size_t i = 0; i < rows.count && !any; i++) {
        const te_stay *row = row_at(&rows, i);
        if (same_hours(row->hours_before, 0.0) && first_of_stay(&rows, row) == row) {
            *engine = row->engine;
            *hours = row->fitted_hours;
            any = true;
        }
    }
    return any;
}

/* True when a cylinder is the one that an engine came with: no row, and its name is the engine's. */
static bool is_original_of(const te_shop *shop, te_id cylinder, uint32_t engine)
{
    size_t count = 0;
    const char *name = te_shop_text(shop, cylinder);
    const char *of = te_shop_text(shop, te_shop_tables(shop)->engines[engine].id);
    size_t length = strlen(of);
    (void)te_shop_part_stays(&count, shop, cylinder);
    return count == 0 && strncmp(name, of, length) == 0 && name[length] == '/' &&
           strcmp(name + length + 1, te_kind_name(TE_KIND_CYLINDER)) == 0;
}

bool te_cylinder_new_at(bool *original, const te_shop *shop, te_id cylinder, uint32_t engine,
                        double hours)
{
    size_t count = 0;
    const te_stay *stays = te_shop_engine_stays(&count, shop, engine);
    *original = false;
    double first = INFINITY;
    for (size_t i = 0; i < count; i++) {
        const te_stay *stay = &stays[i];
        if (stay->kind != TE_KIND_CYLINDER) {
            continue;
        }
        first = fmin(first, stay->fitted_hours);
        if (stay->fitted_hours <= hours + TE_SAME_HOURS &&
            stay->removed_hours > hours + TE_SAME_HOURS) {
            return stay->part == cylinder && te_part_starts_new(shop, cylinder, engine, hours);
        }
    }
    *original = is_original_of(shop, cylinder, engine);
    return *original && first > hours + TE_SAME_HOURS && same_hours(hours, 0.0);
}

/* First engine hours at which a part of a kind has a row; the original one is on until then. */
static double original_until(const te_stay *stays, size_t count, te_kind kind)
{
    double until = INFINITY;
    for (size_t i = 0; i < count; i++) {
        until = stays[i].kind == kind ? fmin(until, stays[i].fitted_hours) : until;
    }
    return kind == TE_KIND_OTHER ? INFINITY : until;
}

bool te_part_runs_within(const te_shop *shop, te_id part, te_kind kind, uint32_t engine,
                         double from, double to)
{
    size_t count = 0;
    bool any_row = false;
    const te_stay *stays = te_shop_engine_stays(&count, shop, engine);
    for (size_t i = 0; i < count; i++) {
        const te_stay *stay = &stays[i];
        any_row = any_row || stay->part == part;
        if (stay->part == part && stay->fitted_hours < to - TE_SAME_HOURS &&
            stay->removed_hours > from + TE_SAME_HOURS) {
            return true;
        }
    }
    return !any_row && from + TE_SAME_HOURS < original_until(stays, count, kind);
}

bool te_part_on_now(const te_shop *shop, te_id part, te_kind kind, uint32_t engine)
{
    size_t count = 0;
    bool any_row = false;
    const te_stay *stays = te_shop_engine_stays(&count, shop, engine);
    for (size_t i = 0; i < count; i++) {
        any_row = any_row || stays[i].part == part;
        if (stays[i].part == part && isinf(stays[i].removed_hours)) {
            return true;
        }
    }
    if (any_row || !isinf(original_until(stays, count, kind))) {
        return false;
    }
    (void)te_shop_part_stays(&count, shop, part);
    return count == 0;
}

bool te_part_on_since(const te_shop *shop, te_id part, te_kind kind, uint32_t engine, double hours)
{
    struct found_parts found = {.now = {{.is = false}}};
    return te_find_on_since(&found, shop, part, kind, engine, hours);
}

bool te_part_touched(const te_shop *shop, const te_problems *problems, te_id part)
{
    struct rows rows = rows_of(shop, part);
    for (size_t i = 0; i < rows.count; i++) {
        if (te_shop_engine_touched(shop, problems, row_at(&rows, i)->engine)) {
            return true;
        }
    }
    return false;
}

/* ---- what was found before ---- */

const te_part_time *te_find_time(struct found_parts *found, const te_shop *shop, te_id part,
                                 te_kind kind, uint32_t engine, double hours)
{
    struct found_time *f = &found->time[kind];
    bool same = f->is && f->part == part && f->engine == engine && f->hours >= hours &&
                f->hours <= hours;
    if (!same) {
        te_part_time_at(&f->time, shop, part, engine, hours);
        f->is = true;
        f->part = part;
        f->engine = engine;
        f->hours = hours;
    }
    return &f->time;
}

bool te_find_on_now(struct found_parts *found, const te_shop *shop, te_id part, te_kind kind,
                    uint32_t engine)
{
    struct found_now *f = &found->now[kind];
    if (!f->is || f->part != part || f->engine != engine) {
        *f = (struct found_now){true, part, engine, te_part_on_now(shop, part, kind, engine)};
    }
    return f->on;
}

bool te_find_measured_on_now(struct found_parts *found, const te_shop *shop,
                             const te_measured *measured, uint32_t engine)
{
    return te_find_on_now(found, shop, measured->part, measured->kind, engine) &&
           (measured->second_kind == TE_KIND_NONE ||
            te_find_on_now(found, shop, measured->second_part, measured->second_kind, engine));
}

bool te_find_on_since(struct found_parts *found, const te_shop *shop, te_id part, te_kind kind,
                      uint32_t engine, double hours)
{
    return te_find_on_now(found, shop, part, kind, engine) &&
           te_find_time(found, shop, part, kind, engine, INFINITY)->fitted <= hours + TE_SAME_HOURS;
}

bool te_find_touched(struct found_parts *found, const te_shop *shop, const te_problems *problems,
                     te_id part, te_kind kind)
{
    struct found_touched *f = &found->touched[kind];
    if (!f->is || f->part != part) {
        *f = (struct found_touched){true, part, te_part_touched(shop, problems, part)};
    }
    return f->touched;
}
