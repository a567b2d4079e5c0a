/* SPDX-License-Identifier: GPL-3.0-or-later */
/* When an engine is due. */
#include <math.h>
#include <stdlib.h>

#include "series.h"

const char *te_due_basis_name(te_due_basis basis)
{
    static const char *const names[] = {"cannot_tell", "earliest", "best", "interval"};
    return names[basis];
}

/* The graver an outcome, the lower its rank; what has no limit says the least. */
static int rank_of(te_outcome outcome)
{
    switch (outcome) {
    case TE_BEYOND: return 0;
    case TE_UNDECIDED: return 1;
    case TE_MISSING: return 2;
    case TE_OUTSIDE_NEW: return 3;
    case TE_SERVICEABLE: return 4;
    case TE_AS_NEW: return 5;
    case TE_NO_LIMIT: break;
    }
    return 6;
}

static te_outcome worst_of(const te_assessment *assessment)
{
    te_outcome worst = TE_NO_LIMIT;
    for (size_t i = 0; i < assessment->finding_count; i++) {
        te_outcome outcome = assessment->findings[i].outcome;
        worst = rank_of(outcome) < rank_of(worst) ? outcome : worst;
    }
    return worst;
}

/* True when the parts of a series are on the engine now, wherever they were measured last. */
static bool is_on(const te_series *series, const te_shop *shop, uint32_t engine)
{
    if (series->original && series->engine != engine) {
        return false; /* an original part is on the engine that it is named after, and no other */
    }
    return te_part_on_now(shop, series->part, series->kind, engine) &&
           (series->second_kind == TE_KIND_NONE ||
            te_part_on_now(shop, series->second_part, series->second_kind, engine));
}

/* A service limit that stands for the series' quantity at all. */
static bool is_judged(const te_series *series)
{
    return !isnan(series->service);
}

/* Engine hours at which a series reaches an hour of its own. Between its last point and now the part
 * may have been off: its present stay then tells. */
static double engine_hours_at(const te_series *series, const te_history *history,
                              const te_shop *shop, double hours)
{
    const te_point *last = &history->points[series->first_point + series->point_count - 1];
    double direct = last->engine_hours + (hours - series->hours_last);
    if (series->second_kind != TE_KIND_NONE) {
        return direct; /* a pair's hours are of one time together */
    }
    size_t count = 0;
    const te_stay *stays = te_shop_engine_stays(&count, shop, history->engine);
    for (size_t i = 0; i < count; i++) {
        const te_stay *stay = &stays[i];
        bool later = last->engine != history->engine ||
                     last->engine_hours < stay->fitted_hours - TE_SAME_HOURS;
        if (stay->part == series->part && isinf(stay->removed_hours) && later) {
            te_part_time time;
            te_part_time_at(&time, shop, series->part, history->engine, stay->fitted_hours);
            return isnan(time.own) ? direct : stay->fitted_hours + (hours - time.own);
        }
    }
    return direct;
}

static void take_series(te_due *due, const te_series *series, double hours, te_due_basis basis)
{
    due->basis = basis;
    due->due_hours = hours;
    due->quantity = series->quantity;
    due->item = series->item;
    due->part = series->part;
    due->second_part = series->second_part;
    due->kind = series->kind;
    due->second_kind = series->second_kind;
    due->assumed = series->assumed;
    due->original = series->original;
    due->met = series->met;
}

static void look_at_series(te_due *due, const te_history *history, const te_shop *shop)
{
    for (size_t i = 0; i < history->series_count; i++) {
        const te_series *series = &history->series[i];
        if (!is_judged(series) || !is_on(series, shop, history->engine)) {
            continue;
        }
        bool bounded = !isnan(series->at_limit_earliest);
        double hours = bounded ? series->at_limit_earliest : series->at_limit;
        if (series->met) { /* also by its last value alone, where the line runs below */
            bounded = true;
            hours = series->hours_last;
        }
        if (isnan(hours)) {
            due->untold += series->method == TE_RATE_NONE;
            continue;
        }
        double at = engine_hours_at(series, history, shop, hours);
        if (due->basis == TE_DUE_CANNOT_TELL || at < due->due_hours) {
            take_series(due, series, at, bounded ? TE_DUE_EARLIEST : TE_DUE_BEST);
        }
    }
}

/* True when what the last inspection condemned is still on the engine: a value beyond its limit or a
 * `reject` of parts that were not changed since. */
static bool verdict_stands(const te_assessment *assessment, const te_shop *shop, uint32_t engine)
{
    const te_tables *tables = te_shop_tables(shop);
    const te_inspection *inspection = &tables->inspections[assessment->inspection];
    for (size_t i = 0; i < assessment->finding_count; i++) {
        const te_finding *finding = &assessment->findings[i];
        const te_measured *m = &finding->measured;
        if (finding->outcome == TE_BEYOND && te_part_on_now(shop, m->part, m->kind, engine) &&
            (m->second_kind == TE_KIND_NONE ||
             te_part_on_now(shop, m->second_part, m->second_kind, engine))) {
            return true;
        }
    }
    for (uint32_t i = 0; i < inspection->condition_count; i++) {
        const te_condition *row = &tables->conditions[inspection->first_condition + i];
        if (row->severity == TE_REJECT && te_part_on_now(shop, row->part, row->kind, engine)) {
            return true;
        }
    }
    return false;
}

void te_due_make(te_due *due, const te_history *history, const te_assessment *assessment,
                 const te_shop *shop)
{
    const te_tables *tables = te_shop_tables(shop);
    const te_engine *engine = &tables->engines[history->engine];
    *due = (te_due){
        .engine = history->engine,
        .inspection = TE_NO_INDEX,
        .due_hours = NAN,
        .hours_left = NAN,
        .quantity = TE_Q_NONE,
        .kind = TE_KIND_NONE,
        .second_kind = TE_KIND_NONE,
        .worst = TE_NO_LIMIT,
        .verdict = TE_INCOMPLETE,
    };
    if (engine->inspection_count == 0 || assessment == NULL) {
        return;
    }
    due->inspection = tables->by_engine[engine->first_inspection + engine->inspection_count - 1];
    due->worst = worst_of(assessment);
    due->verdict = te_assessment_assembly(assessment)->verdict;
    due->condemned = verdict_stands(assessment, shop, history->engine);
    double hours = tables->inspections[due->inspection].hours;
    double interval = hours + tables->models[engine->model].inspect_every_hours;
    if (history->left_out > 0) {
        return; /* a part's history is not known in full */
    }
    look_at_series(due, history, shop);
    bool sooner = due->basis == TE_DUE_CANNOT_TELL || interval < due->due_hours;
    if (!isnan(interval) && sooner) {
        size_t untold = due->untold;
        take_series(
            due,
            &(te_series){.quantity = TE_Q_NONE, .kind = TE_KIND_NONE, .second_kind = TE_KIND_NONE},
            interval, TE_DUE_INTERVAL);
        due->untold = untold;
    }
    due->hours_left = due->due_hours - hours;
}

bool te_due_is_over(const te_due *due)
{
    return due->condemned || due->hours_left <= 0.0;
}

static int by_urgency(const void *left, const void *right)
{
    const te_due *a = left;
    const te_due *b = right;
    bool a_told = a->basis != TE_DUE_CANNOT_TELL;
    bool b_told = b->basis != TE_DUE_CANNOT_TELL;
    if (a_told != b_told) {
        return a_told ? 1 : -1;
    }
    if (a->condemned != b->condemned) {
        return a->condemned ? -1 : 1;
    }
    if (a_told && (a->hours_left < b->hours_left || a->hours_left > b->hours_left)) {
        return a->hours_left < b->hours_left ? -1 : 1;
    }
    return (a->engine > b->engine) - (a->engine < b->engine);
}

void te_due_sort(te_due *list, size_t count)
{
    if (count > 1) {
        qsort(list, count, sizeof *list, by_urgency);
    }
}
