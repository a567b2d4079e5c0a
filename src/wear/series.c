/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One series: its points, its rate, and when it meets its limit. */
#include "series.h"

#include <gsl/gsl_cdf.h>
#include <math.h>
#include <stdlib.h>

#include "record/vector.h"

/* A limit is met within this (mm, or the feature's own unit): decimal figures that are equal count
 * as equal. */
static const double limit_tolerance = 1e-9;

/* Share of its variance that a point gets as one more error of its own where nearly all is common to
 * the points: it brings the pivots of V to where ten times six digits are left (line.c). */
static const double least_own_share = 1e-9;

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

/* Engine and hours at which every part that the quantity rests on was new; false when there was no
 * such time. `original`: a part of them has no row in parts.csv. */
static bool new_place(uint32_t *engine, double *hours, bool *original, const struct making *m)
{
    const struct entry *last = &m->entries[m->count - 1];
    *original = last->original;
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
    bool cylinder = false;
    bool new_there = last->quantity != TE_Q_END_GAP ||
                     te_cylinder_new_at(&cylinder, m->shop, last->cylinder, *engine, *hours);
    *original = *original || (new_there && cylinder);
    return new_there;
}

/* The assumed point of a part that was new and not measured then: one more reading, with nothing in
 * common with any other (JCGM 100, 4.3.7: rectangular over the as-new limits). */
static te_status add_assumed(struct making *m, te_series *series)
{
    const struct entry *first = &m->entries[0];
    double least = NAN;
    double most = NAN;
    te_point point = {.inspection = TE_NO_INDEX, .stated = true, .assumed = true};
    bool measured_new = first->hours <= TE_SAME_HOURS;
    bool original = false;
    if (measured_new || !m->has_limit || !te_limit_as_new(&least, &most, &m->limit) ||
        !new_place(&point.engine, &point.engine_hours, &original, m)) {
        return TE_OK;
    }
    series->original = original;
    const te_measured *measured = &m->history->quantities.items[first->measured];
    double middle = (least + most) / 2.0;
    te_observation x = te_observation_untaken(measured->quantity, measured->item, measured->part);
    x.value = middle;
    x.raw = middle;
    x.u_own = fmax((most - least) / sqrt(12.0), least_u);
    x.stated = true;
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
            .partial = entry->partial,
        };
        status = add_point(m, &point);
    }
    return status;
}

/* Fits the points but those that are left out; true when they stand at two distinct hours. Points
 * are in order of hours. */
static bool choose_points(te_point *points, size_t count, bool run_in_out, bool partial_out)
{
    const te_point *first = NULL;
    const te_point *last = NULL;
    for (size_t i = 0; i < count; i++) {
        te_point *p = &points[i];
        p->fitted = !(run_in_out && p->run_in) && !(partial_out && p->partial);
        first = p->fitted && first == NULL ? p : first;
        last = p->fitted ? p : last;
    }
    return first != NULL && last->hours - first->hours > TE_SAME_HOURS;
}

/* What was run-in, and what was measured at fewer places than planned, is shown and not fitted, as
 * long as two distinct hours remain: first the places are given up, then the run-in. */
static void choose_fitted(const struct making *m, te_series *series, te_point *points)
{
    size_t count = series->point_count;
    for (size_t i = 0; i < count; i++) { /* false without run-in hours */
        points[i].run_in = points[i].hours < m->model->run_in_hours - TE_SAME_HOURS;
    }
    if (!choose_points(points, count, true, true) && !choose_points(points, count, true, false)) {
        (void)choose_points(points, count, false, false);
    }
    bool any = false;
    for (uint32_t i = 0; i < series->point_count; i++) {
        const te_point *p = &points[i];
        if (!p->fitted) {
            continue;
        }
        series->hours_first = any ? series->hours_first : p->hours;
        series->assumed = series->assumed || p->assumed;
        series->partial = series->partial || p->partial;
        series->last_fitted = series->first_point + i;
        series->fitted_count++;
        any = true;
    }
    series->hours_last = points[series->last_fitted - series->first_point].hours;
    series->value_last = points[series->last_fitted - series->first_point].value;
}

/* ---- rate ---- */

/* The fitted points as arrays, in one block. */
struct fit_arrays {
    double *block;
    double *hours, *values, *covariance;
    const te_form **forms;
    size_t count;
    bool stated;
};

static te_status gather(struct fit_arrays *fit, const te_series *series, const te_point *points)
{
    size_t n = series->fitted_count;
    *fit = (struct fit_arrays){.stated = true};
    fit->block = malloc(n * (n + 2) * sizeof *fit->block);
    fit->forms = malloc(n * sizeof *fit->forms);
    if (fit->block == NULL || fit->forms == NULL) {
        return TE_ERR_MEMORY;
    }
    fit->hours = fit->block;
    fit->values = fit->block + n;
    fit->covariance = fit->block + 2 * n;
    for (uint32_t i = 0; i < series->point_count; i++) {
        if (points[i].fitted) {
            fit->hours[fit->count] = points[i].hours;
            fit->values[fit->count] = points[i].value;
            fit->forms[fit->count++] = &points[i].form;
            fit->stated = fit->stated && points[i].stated;
        }
    }
    return TE_OK;
}

static te_status fit_generalised(te_series *series, const struct fit_arrays *fit,
                                 const te_observations *pool)
{
    size_t n = fit->count;
    for (size_t i = 0; i < n; i++) {
        for (size_t j = 0; j <= i; j++) {
            double c = te_form_covariance(pool, fit->forms[i], fit->forms[j]);
            fit->covariance[i * n + j] = c;
            fit->covariance[j * n + i] = c;
        }
    }
    series->method = TE_RATE_GENERALISED;
    te_status status = te_line_fit_generalised(&series->line, fit->hours, fit->values,
                                               fit->covariance, n, series->hours_last);
    if (status != TE_ERR_SINGULAR) {
        return status;
    }
    series->singular = true;
    for (size_t i = 0; i < n; i++) {
        fit->covariance[i * n + i] *= 1.0 + least_own_share;
    }
    return te_line_fit_generalised(&series->line, fit->hours, fit->values, fit->covariance, n,
                                   series->hours_last);
}

static te_status find_rate(te_series *series, const te_history *history)
{
    struct fit_arrays fit = {0};
    const te_point *points = &history->points[series->first_point];
    series->chance = NAN;
    if (series->fitted_count > TE_SERIES_POINTS) {
        return TE_ERR_FULL;
    }
    bool distinct = series->hours_last - series->hours_first > TE_SAME_HOURS;
    if (series->fitted_count < 2 || !distinct) {
        return TE_OK;
    }
    te_status status = gather(&fit, series, points);
    if (status == TE_OK && fit.stated) {
        status = fit_generalised(series, &fit, &history->pool);
    } else if (status == TE_OK) {
        series->method = TE_RATE_ORDINARY;
        status = te_line_fit_ordinary(&series->line, fit.hours, fit.values, fit.count,
                                      series->hours_last);
    }
    if (status == TE_OK) {
        series->chance = te_line_chance(&series->line);
    } else {
        series->method = TE_RATE_NONE;
    }
    free(fit.block);
    free(fit.forms);
    return status;
}

/* ---- projection ---- */

static bool is_past(const te_series *series, double value)
{
    double sign = series->side == TE_SIDE_HIGH ? 1.0 : -1.0;
    return sign * (value - series->service) >= -limit_tolerance;
}

double te_line_reaches(const te_line *line, double limit, bool upper, double quantile)
{
    double hours = NAN;
    te_line_meets(&hours, line, limit, upper, quantile);
    return hours <= TE_HOURS_MOST ? hours : NAN;
}

/* True when a point's value is at the limit or past it; with a quantile, when its bound is. */
static bool point_is_past(const te_series *series, const te_point *point, double quantile)
{
    double sign = series->side == TE_SIDE_HIGH ? 1.0 : -1.0;
    return is_past(series, point->value + sign * quantile * (point->stated ? point->u : 0.0));
}

/* Where the line or the last value is at the limit nothing is left, whatever the rate. Without a
 * line the last value's own bound tells whether anything is. */
static void project(te_series *series, const te_point *points, double confidence)
{
    bool upper = series->side == TE_SIDE_HIGH;
    bool rate = series->method != TE_RATE_NONE;
    const te_point *last = &points[series->point_count - 1];
    const te_point *last_fitted = &points[series->last_fitted - series->first_point];
    series->at_limit = NAN;
    series->at_limit_earliest = NAN;
    if (isnan(series->service)) {
        return;
    }
    series->met = point_is_past(series, last, 0.0) || point_is_past(series, last_fitted, 0.0) ||
                  (rate && is_past(series, series->line.level));
    if (series->met) {
        series->at_limit = series->hours_last;
        series->at_limit_earliest = series->hours_last;
    } else if (rate) {
        series->at_limit = te_line_reaches(&series->line, series->service, upper, 0.0);
        series->at_limit_earliest = te_line_reaches(&series->line, series->service, upper,
                                                    te_line_quantile(&series->line, confidence));
    } else if (point_is_past(series, last_fitted, gsl_cdf_ugaussian_Pinv(confidence))) {
        series->at_limit_earliest = series->hours_last;
    }
}

/* ---- the series ---- */

/* True when all parts of a series are on its engine still, a gap's in the same cylinder. */
static bool is_fitted_now(const struct making *m, const te_series *s)
{
    return te_part_on_now(m->shop, s->part, s->kind, s->engine) &&
           (s->second_kind == TE_KIND_NONE ||
            te_part_on_now(m->shop, s->second_part, s->second_kind, s->engine)) &&
           (s->cylinder == 0 || te_part_on_now(m->shop, s->cylinder, TE_KIND_CYLINDER, s->engine));
}

static te_series start_series(const struct making *m, te_side side)
{
    const te_history *history = m->history;
    const struct entry *last = &m->entries[m->count - 1];
    const te_measured *measured = &history->quantities.items[last->measured];
    te_series series = {
        .quantity = measured->quantity,
        .item = measured->item,
        .part = measured->part,
        .second_part = measured->second_part,
        .kind = measured->kind,
        .second_kind = measured->second_kind,
        .cylinder = last->cylinder,
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
    series.fitted_now = is_fitted_now(m, &series);
    return series;
}

static te_status add_side(struct making *m, te_side side)
{
    te_history *history = m->history;
    te_series series = start_series(m, side);
    te_status status = add_assumed(m, &series);
    if (status == TE_OK) {
        status = add_measured(m, side);
    }
    if (status != TE_OK) {
        return status;
    }
    te_point *points = &history->points[series.first_point];
    series.point_count = (uint32_t)(history->point_count - series.first_point);
    choose_fitted(m, &series, points);
    status = find_rate(&series, history);
    if (status != TE_OK || !te_vector_reserve(&history->series, &history->series_capacity,
                                              history->series_count + 1, sizeof series)) {
        return status != TE_OK ? status : TE_ERR_MEMORY;
    }
    project(&series, points, m->tables->confidence);
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
