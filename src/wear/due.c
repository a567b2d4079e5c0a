/* SPDX-License-Identifier: GPL-3.0-or-later */
/* When an engine is due. */
#include <math.h>
#include <stdlib.h>

#include "series.h"

/* What is asked of an engine's parts. */
struct asking {
    const te_shop *shop;
    const te_tables *tables;
    const te_history *history;
    uint32_t engine;
    struct found_parts found;
};

const char *te_due_basis_name(te_due_basis basis)
{
    static const char *const names[] = {"cannot_tell", "earliest", "best", "interval"};
    return names[basis];
}

static te_outcome worst_of(const te_assessment *assessment)
{
    te_outcome worst = TE_NO_LIMIT;
    for (size_t i = 0; i < assessment->finding_count; i++) {
        te_outcome outcome = assessment->findings[i].outcome;
        worst = te_outcome_rank(outcome) < te_outcome_rank(worst) ? outcome : worst;
    }
    return worst;
}

static bool is_part_on(struct asking *a, te_id part, te_kind kind)
{
    return te_find_on_now(&a->found, a->shop, part, kind, a->engine);
}

static bool is_part_on_since(struct asking *a, te_id part, te_kind kind, double hours)
{
    return te_find_on_since(&a->found, a->shop, part, kind, a->engine, hours);
}

/* True when the parts of a series are on the engine now, wherever they were measured last. */
static bool is_on(struct asking *a, const te_series *series)
{
    if (series->original && series->engine != a->engine) {
        return false; /* an original part is on the engine that it is named after, and no other */
    }
    return is_part_on(a, series->part, series->kind) &&
           (series->second_kind == TE_KIND_NONE ||
            is_part_on(a, series->second_part, series->second_kind));
}

/* A gap was measured in a cylinder; in another it says nothing. */
static bool is_in_its_cylinder(struct asking *a, const te_series *series)
{
    return series->cylinder == 0 || is_part_on(a, series->cylinder, TE_KIND_CYLINDER);
}

/* A pair counts its time together: one that parted since its last point has begun anew, here or on
 * another engine, and has no point of that time. */
static bool is_together_since(struct asking *a, const te_series *series, const te_point *last)
{
    return series->second_kind == TE_KIND_NONE ||
           (last->engine == a->engine &&
            is_part_on_since(a, series->part, series->kind, last->engine_hours) &&
            is_part_on_since(a, series->second_part, series->second_kind, last->engine_hours));
}

/* True when what was measured is as it was then: worn since, but in the same place. */
static bool holds_now(struct asking *a, const te_series *series)
{
    return is_in_its_cylinder(a, series) &&
           is_together_since(a, series, &a->history->points[series->last_fitted]);
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
    const te_point *last = &history->points[series->last_fitted];
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

double te_series_engine_hours(const te_history *history, const te_shop *shop,
                              const te_series *series, double hours)
{
    struct asking a = {.shop = shop, .history = history, .engine = history->engine};
    bool on = series->point_count > 0 && is_on(&a, series) && holds_now(&a, series);
    return on ? engine_hours_at(series, history, shop, hours) : NAN;
}

static void take_series(te_due *due, const te_series *series, double hours, te_due_basis basis)
{
    due->basis = basis;
    due->due_hours = hours;
    due->side = series->side;
    due->limit = series->service;
    due->measured = series->inspection;
    due->scatter = te_line_chance(&series->line) < TE_REMARKABLE;
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

/* True when a series of a part now on tells nothing of its limit, or may not tell it all: no rate, no
 * uncertainty of it, places left out, limits of another model. */
static bool is_untold(const te_series *series, const te_tables *tables, uint32_t engine)
{
    bool bounded = series->method != TE_RATE_NONE && !isnan(series->line.var_rate);
    bool other_model = tables->engines[series->engine].model != tables->engines[engine].model;
    return !series->met && (!bounded || series->partial || other_model);
}

static void look_at_series(te_due *due, struct asking *a)
{
    const te_history *history = a->history;
    for (size_t i = 0; i < history->series_count; i++) {
        const te_series *series = &history->series[i];
        if (!is_judged(series) || !is_on(a, series)) {
            continue;
        }
        bool here = holds_now(a, series);
        due->untold += !here || is_untold(series, a->tables, a->engine);
        bool bounded = !isnan(series->at_limit_earliest);
        double hours = bounded ? series->at_limit_earliest : series->at_limit;
        if (!here || isnan(hours)) {
            continue;
        }
        double at = engine_hours_at(series, history, a->shop, hours);
        if (due->basis == TE_DUE_CANNOT_TELL || at < due->due_hours) {
            take_series(due, series, at, bounded ? TE_DUE_EARLIEST : TE_DUE_BEST);
        }
    }
}

/* ---- what stands beside the hours ---- */

static void condemn(te_due *due, te_id part, te_kind kind)
{
    if (!due->condemned) {
        due->condemned = true;
        due->condemned_part = part;
        due->condemned_kind = kind;
    }
}

/* A value that the last inspection found beyond its limit, of parts still on. */
static void look_at_findings(te_due *due, struct asking *a, const te_assessment *assessment,
                             double hours)
{
    for (size_t i = 0; i < assessment->finding_count; i++) {
        const te_finding *finding = &assessment->findings[i];
        const te_measured *m = &finding->measured;
        if (finding->outcome == TE_BEYOND && is_part_on_since(a, m->part, m->kind, hours) &&
            (m->second_kind == TE_KIND_NONE ||
             is_part_on_since(a, m->second_part, m->second_kind, hours))) {
            condemn(due, m->part, m->kind);
        }
    }
}

/* A part that any inspection of the engine rejected and that has not come off since. */
static void look_at_rejects(te_due *due, struct asking *a)
{
    const te_tables *tables = a->tables;
    const te_engine *e = &tables->engines[a->engine];
    for (uint32_t i = 0; i < e->inspection_count; i++) {
        const te_inspection *inspection =
            &tables->inspections[tables->by_engine[e->first_inspection + i]];
        for (uint32_t j = 0; j < inspection->condition_count; j++) {
            const te_condition *row = &tables->conditions[inspection->first_condition + j];
            if (row->severity == TE_REJECT &&
                is_part_on_since(a, row->part, row->kind, inspection->hours)) {
                condemn(due, row->part, row->kind);
            }
        }
    }
}

/* True when the model requires a limit of a kind's own quantities. */
static bool is_required(const te_tables *tables, uint32_t engine, te_kind kind)
{
    const te_model *model = &tables->models[tables->engines[engine].model];
    for (uint32_t i = 0; i < model->limit_count; i++) {
        const te_limit *limit = &tables->limits[model->first_limit + i];
        if (limit->required && limit->quantity < TE_Q_OWN &&
            te_quantity_info_of(limit->quantity)->kind == kind) {
            return true;
        }
    }
    return false;
}

static bool was_read(const te_history *history, te_id part)
{
    for (size_t i = 0; i < history->series_count; i++) {
        if (history->series[i].part == part || history->series[i].second_part == part) {
            return true;
        }
    }
    return false;
}

/* Parts that were fitted at the last inspection's hours or later and were not in it, and parts that
 * were never measured. */
static void look_at_parts(te_due *due, const te_history *history, const te_shop *shop)
{
    size_t count = 0;
    const te_tables *tables = te_shop_tables(shop);
    const te_inspection *last = &tables->inspections[due->inspection];
    const te_stay *stays = te_shop_engine_stays(&count, shop, history->engine);
    for (size_t i = 0; i < count; i++) {
        const te_stay *stay = &stays[i];
        if (!isinf(stay->removed_hours) || stay->kind == TE_KIND_OTHER) {
            continue;
        }
        bool later = stay->fitted_hours >= last->hours - TE_SAME_HOURS;
        due->changed = due->changed || (later && last->part[stay->kind] != stay->part);
        due->unmeasured += is_required(tables, history->engine, stay->kind) &&
                           !was_read(history, stay->part);
    }
}

/* Inspected on several days, always at 0 h: no hours are counted. */
static bool has_no_meter(const te_tables *tables, const te_engine *engine)
{
    const uint32_t *rows = tables->by_engine + engine->first_inspection;
    const te_inspection *first = &tables->inspections[rows[0]];
    const te_inspection *last = &tables->inspections[rows[engine->inspection_count - 1]];
    return last->hours <= TE_SAME_HOURS && first->date != last->date;
}

static void take_interval(te_due *due, double at)
{
    bool sooner = due->basis == TE_DUE_CANNOT_TELL || at < due->due_hours;
    if (!isnan(at) && sooner) {
        take_series(due,
                    &(te_series){.quantity = TE_Q_NONE,
                                 .kind = TE_KIND_NONE,
                                 .second_kind = TE_KIND_NONE,
                                 .service = NAN,
                                 .inspection = TE_NO_INDEX},
                    at, TE_DUE_INTERVAL);
    }
}

static te_due nothing_told(uint32_t engine)
{
    return (te_due){
        .engine = engine,
        .inspection = TE_NO_INDEX,
        .due_hours = NAN,
        .hours_left = NAN,
        .quantity = TE_Q_NONE,
        .kind = TE_KIND_NONE,
        .second_kind = TE_KIND_NONE,
        .condemned_kind = TE_KIND_NONE,
        .limit = NAN,
        .measured = TE_NO_INDEX,
        .worst = TE_NO_LIMIT,
        .verdict = TE_INCOMPLETE,
    };
}

void te_due_make(te_due *due, const te_history *history, const te_assessment *assessment,
                 const te_shop *shop)
{
    const te_tables *tables = te_shop_tables(shop);
    const te_engine *engine = &tables->engines[history->engine];
    struct asking a = {
        .shop = shop, .tables = tables, .history = history, .engine = history->engine};
    *due = nothing_told(history->engine);
    if (engine->inspection_count == 0 || assessment == NULL) {
        return;
    }
    due->inspection = te_shop_last_inspection(shop, history->engine);
    due->worst = worst_of(assessment);
    due->verdict = te_assessment_assembly(assessment)->verdict;
    double hours = tables->inspections[due->inspection].hours;
    look_at_rejects(due, &a);
    look_at_findings(due, &a, assessment, hours);
    due->no_meter = has_no_meter(tables, engine);
    due->left_out = history->left_out;
    if (due->left_out > 0 || due->no_meter) {
        return; /* a part's history is not known in full, or no hours are */
    }
    look_at_parts(due, history, shop);
    look_at_series(due, &a);
    due->untold += history->lost;
    take_interval(due, hours + tables->models[engine->model].inspect_every_hours);
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
