/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A part's own hours, through engines and stays. */
#include <math.h>

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

/* Off and back at the same hours is one stay: its first row. `unknown`: a row of it says `?`. */
static const te_stay *first_of_stay(bool *unknown, const struct rows *rows, const te_stay *stay)
{
    *unknown = stay->unknown_history;
    for (size_t i = 0; i < rows->count; i++) {
        const te_stay *before = row_at(rows, i);
        if (before->engine == stay->engine && before->fitted_hours < stay->fitted_hours &&
            same_hours(before->removed_hours, stay->fitted_hours)) {
            stay = before;
            *unknown = *unknown || stay->unknown_history;
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
        te_kind second = te_quantity_info_of(reading->feature)->second_kind;
        if (reading->part == part || (reading->feature < TE_Q_OWN && second != TE_KIND_NONE &&
                                      inspection->part[second] == part)) {
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

/* The last row of the file that says `?`; NULL when none does. */
static const te_stay *last_unknown(const struct rows *rows)
{
    const te_stay *last = NULL;
    for (size_t i = 0; i < rows->count; i++) {
        last = row_at(rows, i)->unknown_history ? row_at(rows, i) : last;
    }
    return last;
}

/* Own hours on a scale that all rows from the unknown one on share, with an origin of its own: the
 * later rows as they are written, the unknown one backwards from the next. */
static double scale_hours(const struct rows *rows, const te_stay *unknown, const te_stay *stay,
                          double hours)
{
    const te_stay *next = NULL;
    if (stay != unknown) {
        return stay->hours_before + hours - stay->fitted_hours;
    }
    for (size_t i = rows->count; i > 0 && row_at(rows, i - 1)->origin.line > unknown->origin.line;
         i--) {
        next = row_at(rows, i - 1);
    }
    if (next == NULL || isinf(unknown->removed_hours)) {
        return hours;
    }
    return next->hours_before - (unknown->removed_hours - hours);
}

/* Own hours of a part whose history is unknown: since its first reading. */
static double hours_since_reading(const struct rows *rows, const te_stay *unknown,
                                  const te_stay *stay, double hours)
{
    double origin = INFINITY;
    if (stay->origin.line < unknown->origin.line) {
        return NAN;
    }
    for (size_t i = 0; i < rows->count; i++) {
        const te_stay *row = row_at(rows, i);
        if (row->origin.line >= unknown->origin.line) {
            double first = first_reading(rows->shop, row->part, row->engine, row->fitted_hours,
                                         row->removed_hours);
            origin = isinf(first) ? origin : fmin(origin, scale_hours(rows, unknown, row, first));
        }
    }
    return isinf(origin) ? 0.0 : scale_hours(rows, unknown, stay, hours) - origin;
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
    const te_stay *unknown = last_unknown(&rows);
    bool unknown_stay = false;
    const te_stay *first = first_of_stay(&unknown_stay, &rows, stay);
    *time = (te_part_time){
        .unknown = unknown != NULL, .joined = first->fitted_hours, .fitted = first->fitted_hours};
    if (unknown == NULL) {
        time->own = first->hours_before + hours - first->fitted_hours;
        return;
    }
    time->own = hours_since_reading(&rows, unknown, stay, hours);
    if (unknown_stay) {
        double reading = first_reading(shop, part, engine, first->fitted_hours,
                                       stay->removed_hours);
        time->joined = isinf(reading) ? first->fitted_hours : reading;
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
    if (last_unknown(&rows) != NULL) {
        return false;
    }
    bool any = rows.count == 0; /* the original part */
    for (size_t i = 0; i < rows.count && !any; i++) {
        bool unknown = false;
        const te_stay *row = row_at(&rows, i);
        if (same_hours(row->hours_before, 0.0) && first_of_stay(&unknown, &rows, row) == row) {
            *engine = row->engine;
            *hours = row->fitted_hours;
            any = true;
        }
    }
    return any;
}

bool te_cylinder_new_at(const te_shop *shop, uint32_t engine, double hours)
{
    size_t count = 0;
    const te_stay *stays = te_shop_engine_stays(&count, shop, engine);
    double first = INFINITY;
    for (size_t i = 0; i < count; i++) {
        const te_stay *stay = &stays[i];
        if (stay->kind != TE_KIND_CYLINDER) {
            continue;
        }
        first = fmin(first, stay->fitted_hours);
        if (stay->fitted_hours <= hours + TE_SAME_HOURS &&
            stay->removed_hours > hours + TE_SAME_HOURS) {
            return te_part_starts_new(shop, stay->part, engine, hours);
        }
    }
    return first > hours + TE_SAME_HOURS && same_hours(hours, 0.0);
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
    size_t rows = 0;
    (void)te_shop_part_stays(&rows, shop, part);
    return !any_row && rows == 0 && isinf(original_until(stays, count, kind));
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
