/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One series: its points, its rate, and when it meets its limit. */
#include "series.h"

#include <gsl/gsl_cdf.h>
#include <math.h>
#include <stdlib.h>

#include "record/vector.h"

/* A limit is met within this (mm): decimal figures that are equal count as equal. */
static const double at_limit = 1e-9;

/* An as-new size without a tolerance is taken as known to this (mm): what counts as a tie. A
 * variance of 0 would leave the fit without a weight for it. */
static const double least_u = 1e-9;

const char *te_side_name(te_side side)
{
    return side == TE_SIDE_LOW ? "low" : "high";
}

/* A series while it is made. */
struct making {
    te_history *history;
    const te_shop *shop;
    const te_tables *tables;
    const struct entry *entries;
    size_t count;
    const te_model *model; /* of the last inspection's engine */
    te_limit limit;
    bool has_limit;
};

/* ---- points ---- */

static te_status add_point(struct making *m, const te_point *point)
{
    te_history *history = m->history;
    if (!te_vector_reserve(&history->points, &history->point_capacity, history->point_count + 1,
                           sizeof *history->points)) {
        return TE_ERR_MEMORY;
    }
    history->points[history->point_count++] = *point;
    return TE_OK;
}

/* The middle and the span of the as-new limits; one-sided ones reach from 0 where that is the
 * perfect value. False when there are none to start from. */
static bool as_new_range(double *middle, double *span, const te_limit *limit, te_quantity quantity)
{
    bool from_zero = quantity < TE_Q_OWN && !te_quantity_is(quantity, TE_TRAIT_SIZE);
    double least = isnan(limit->new_min) && from_zero ? 0.0 : limit->new_min;
    *middle = (least + limit->new_max) / 2.0;
    *span = limit->new_max - least;
    return *span >= 0.0; /* false also when a limit is absent */
}

/* Engine and hours at which every part that the quantity rests on was new; false when there was no
 * such time. */
static bool new_place(uint32_t *engine, double *hours, const struct making *m)
{
    const struct entry *last = &m->entries[m->count - 1];
    if (last->unknown) {
        return false;
    }
    if (last->second_part != 0) {
        *engine = last->engine;
        *hours = last->start;
        return te_part_starts_new(m->shop, last->part, last->engine, last->start) &&
               te_part_starts_new(m->shop, last->second_part, last->engine, last->start);
    }
    if (!te_part_new_place(engine, hours, m->shop, last->part, last->engine)) {
        return false;
    }
    return last->quantity != TE_Q_END_GAP || te_cylinder_new_at(m->shop, *engine, *hours);
}

/* The assumed point of a part that was new and not measured then: one more reading, with nothing in
 * common with any other (JCGM 100, 4.3.7: rectangular over the as-new limits). */
static te_status add_assumed(struct making *m)
{
    const struct entry *first = &m->entries[0];
    double middle = NAN;
    double span = NAN;
    te_point point = {.inspection = TE_NO_INDEX, .stated = true, .assumed = true, .fitted = true};
    bool measured_new = first->hours <= TE_SAME_HOURS;
    if (measured_new || !m->has_limit ||
        !as_new_range(&middle, &span, &m->limit, first->quantity) ||
        !new_place(&point.engine, &point.engine_hours, m)) {
        return TE_OK;
    }
    const te_measured *measured = &m->history->quantities.items[first->measured];
    te_observation x = {
        .value = middle,
        .u_own = fmax(span / sqrt(12.0), least_u),
        .stated = true,
        .go = NAN,
        .no_go = NAN,
        .raw = middle,
        .zero = NAN,
        .repeats = 1,
        .reading = TE_NO_INDEX,
        .feature = measured->quantity,
        .part = measured->part,
        .item = measured->item,
        .position = NAN,
        .direction = NAN,
    };
    te_observations *pool = &m->history->pool;
    if (te_observations_add(pool, &x, NULL, 0) != TE_OK) {
        return TE_ERR_MEMORY;
    }
    point.form = te_form_make((uint32_t)(pool->count - 1), 1.0);
    point.value = middle;
    point.u = x.u_own;
    return add_point(m, &point);
}

static te_status add_measured(struct making *m, te_side side)
{
    te_status status = TE_OK;
    const te_observations *pool = &m->history->pool;
    for (size_t i = 0; i < m->count && status == TE_OK; i++) {
        const struct entry *entry = &m->entries[i];
        const te_measured *measured = &m->history->quantities.items[entry->measured];
        const te_form *form = side == TE_SIDE_LOW ? &measured->low : &measured->high;
        te_point point = {
            .hours = entry->hours,
            .engine_hours = entry->engine_hours,
            .value = te_form_value(pool, form),
            .u = sqrt(te_form_variance(pool, form)),
            .form = *form,
            .engine = entry->engine,
            .inspection = entry->inspection,
            .stated = te_form_stated(pool, form),
            .fitted = true,
        };
        status = add_point(m, &point);
    }
    return status;
}

/* Points before run_in_hours are not fitted, as long as two distinct hours remain. */
static void leave_out_run_in(const struct making *m, te_point *points, size_t count)
{
    double run_in = m->model->run_in_hours - TE_SAME_HOURS;
    size_t first = 0;
    while (first < count && points[first].hours < run_in) { /* false without run-in hours */
        first++;
    }
    if (first == count || !(points[count - 1].hours - points[first].hours > TE_SAME_HOURS)) {
        return;
    }
    for (size_t i = 0; i < first; i++) {
        points[i].fitted = false;
    }
}

/* ---- rate ---- */

/* The fitted points as arrays; they stand at the end of the series. */
static te_status fit_points(te_series *series, const te_observations *pool, const te_point *points,
                            size_t count)
{
    bool stated = true;
    double *block = malloc(count * (count + 2) * sizeof *block);
    if (block == NULL) {
        return TE_ERR_MEMORY;
    }
    double *hours = block;
    double *values = block + count;
    double *covariance = block + 2 * count;
    for (size_t i = 0; i < count; i++) {
        hours[i] = points[i].hours;
        values[i] = points[i].value;
        stated = stated && points[i].stated;
    }
    te_status status = TE_ERR_SINGULAR;
    if (stated) {
        for (size_t i = 0; i < count; i++) {
            for (size_t j = 0; j <= i; j++) {
                double c = te_form_covariance(pool, &points[i].form, &points[j].form);
                covariance[i * count + j] = c;
                covariance[j * count + i] = c;
            }
        }
        status = te_line_fit_generalised(&series->line, hours, values, covariance, count,
                                         series->hours_last);
        series->method = TE_RATE_GENERALISED;
        series->singular = status == TE_ERR_SINGULAR;
    }
    if (status == TE_ERR_SINGULAR) {
        status = te_line_fit_ordinary(&series->line, hours, values, count, series->hours_last);
        series->method = TE_RATE_ORDINARY;
    }
    free(block);
    return status;
}

static te_status find_rate(te_series *series, const te_history *history)
{
    const te_point *points = &history->points[series->first_point];
    size_t skipped = series->point_count - series->fitted_count;
    const te_point *first = &points[skipped];
    const te_point *last = &points[series->point_count - 1];
    series->hours_first = first->hours;
    series->hours_last = last->hours;
    series->value_last = last->value;
    series->assumed = first->assumed;
    series->chance = NAN;
    if (series->point_count > TE_SERIES_POINTS) {
        return TE_ERR_FULL;
    }
    if (!(last->hours - first->hours > TE_SAME_HOURS)) {
        return TE_OK;
    }
    te_status status = fit_points(series, &history->pool, first, series->fitted_count);
    if (status != TE_OK) {
        series->method = TE_RATE_NONE;
        return status;
    }
    series->chance = te_line_chance(&series->line);
    return TE_OK;
}

/* ---- projection ---- */

static bool is_past(const te_series *series, double value)
{
    double sign = series->side == TE_SIDE_HIGH ? 1.0 : -1.0;
    return sign * (value - series->service) >= -at_limit;
}

static double capped(double hours)
{
    return hours <= TE_HOURS_MOST ? hours : NAN;
}

/* Where the line is at the limit nothing is left, whatever the rate; without a line the last value
 * tells. */
static void project(te_series *series, double confidence)
{
    bool upper = series->side == TE_SIDE_HIGH;
    bool rate = series->method != TE_RATE_NONE;
    series->at_limit = NAN;
    series->at_limit_earliest = NAN;
    if (isnan(series->service)) {
        return;
    }
    bool value_past = is_past(series, series->value_last);
    bool line_past = rate ? is_past(series, series->line.level) : value_past;
    series->met = value_past || line_past;
    if (line_past) {
        series->at_limit = series->hours_last;
        series->at_limit_earliest = series->hours_last;
    } else if (rate) {
        te_line_meets(&series->at_limit, &series->line, series->service, upper, 0.0);
        series->at_limit = capped(series->at_limit);
        te_line_meets(&series->at_limit_earliest, &series->line, series->service, upper,
                      te_line_quantile(&series->line, confidence));
        series->at_limit_earliest = capped(series->at_limit_earliest);
    }
}

/* ---- the series ---- */

static te_status add_side(struct making *m, te_side side)
{
    te_history *history = m->history;
    const struct entry *last = &m->entries[m->count - 1];
    const te_measured *measured = &history->quantities.items[last->measured];
    te_series series = {
        .quantity = measured->quantity,
        .item = measured->item,
        .part = measured->part,
        .second_part = measured->second_part,
        .kind = measured->kind,
        .second_kind = measured->second_kind,
        .side = side,
        .engine = last->engine,
        .inspection = last->inspection,
        .first_point = (uint32_t)history->point_count,
        .unknown = last->unknown,
        .original = last->original,
        .dropped = last->dropped,
        .has_limit = m->has_limit,
        .limit = m->limit,
    };
    series.service = !m->has_limit         ? NAN
                     : side == TE_SIDE_LOW ? m->limit.service_min
                                           : m->limit.service_max;
    series.fitted_now = te_part_on_now(m->shop, series.part, series.kind, series.engine) &&
                        (series.second_kind == TE_KIND_NONE ||
                         te_part_on_now(m->shop, series.second_part, series.second_kind,
                                        series.engine));
    te_status status = add_assumed(m);
    if (status == TE_OK) {
        status = add_measured(m, side);
    }
    if (status != TE_OK) {
        return status;
    }
    te_point *points = &history->points[series.first_point];
    series.point_count = (uint32_t)(history->point_count - series.first_point);
    leave_out_run_in(m, points, series.point_count);
    for (uint32_t i = 0; i < series.point_count; i++) {
        series.fitted_count += points[i].fitted;
    }
    status = find_rate(&series, history);
    if (status != TE_OK || !te_vector_reserve(&history->series, &history->series_capacity,
                                              history->series_count + 1, sizeof series)) {
        return status != TE_OK ? status : TE_ERR_MEMORY;
    }
    project(&series, m->tables->confidence);
    history->series[history->series_count++] = series;
    return TE_OK;
}

te_status te_series_add(te_history *history, const te_shop *shop, const struct entry *entries,
                        size_t count)
{
    struct making m = {
        .history = history,
        .shop = shop,
        .tables = te_shop_tables(shop),
        .entries = entries,
        .count = count,
        .limit = {.new_min = NAN, .new_max = NAN, .service_min = NAN, .service_max = NAN}};
    const struct entry *last = &entries[count - 1];
    const te_measured *measured = &history->quantities.items[last->measured];
    m.model = &m.tables->models[m.tables->engines[last->engine].model];
    m.has_limit = te_shop_part_limit(&m.limit, shop, &m.tables->inspections[last->inspection],
                                     measured->quantity, measured->item, measured->part);
    bool low = !isnan(m.limit.service_min);
    bool high = !isnan(m.limit.service_max);
    if (!low && !high) {
        low = measured->quantity == TE_Q_SKIRT || measured->quantity == TE_Q_PIN;
        high = !low;
    }
    te_status status = low ? add_side(&m, TE_SIDE_LOW) : TE_OK;
    return status == TE_OK && high ? add_side(&m, TE_SIDE_HIGH) : status;
}
