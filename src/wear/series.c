/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One series: its points, its rate, and when it meets its limit. */
#include "series.h"

#include <math.h>

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

/* Where and when the parts of a quantity were new. */
struct beginning {
    bool is; /* there was such a time */
    uint32_t engine;
    double hours;
    bool original; /* a part of them has no row in parts.csv */
};

/* A series while it is made. */
struct making {
    struct workshop *workshop;
    te_history *history;
    const te_shop *shop;
    const struct entry *entries;
    size_t count;
    const te_model *model; /* of the last inspection's engine */
    te_limit limit;
    bool has_limit;
    double as_new_least, as_new_most; /* of the limit, when there is a beginning */
    struct beginning beginning;       /* none when there is a point of it, or no as-new limit */
};

/* ---- points ---- */

/* A new point; there is room for it. */
static te_point *add_point(struct making *m)
{
    te_point *point = &m->history->points[m->history->point_count++];
    point->assumed = false;
    point->partial = false;
    point->run_in = false;
    point->fitted = false;
    return point;
}

/* Engine and hours at which every part that the quantity rests on was new. */
static struct beginning find_beginning(const struct making *m)
{
    const struct entry *last = &m->entries[m->count - 1];
    struct beginning b = {.engine = last->engine, .hours = last->start, .original = last->original};
    if (last->unknown) {
        return b;
    }
    if (last->second_part != 0) {
        b.is = te_part_starts_new(m->shop, last->part, last->engine, last->start) &&
               te_part_starts_new(m->shop, last->second_part, last->engine, last->start);
        return b;
    }
    b.is = te_part_new_place(&b.engine, &b.hours, m->shop, last->part, last->engine);
    if (b.is && last->quantity == TE_Q_END_GAP) {
        bool cylinder = false;
        b.is = te_cylinder_new_at(&cylinder, m->shop, last->cylinder, b.engine, b.hours);
        b.original = b.original || (b.is && cylinder);
    }
    return b;
}

/* The assumed point of a part that was new and not measured then: one more reading, with nothing in
 * common with any other (JCGM 100, 4.3.7: rectangular over the as-new limits). */
static te_status add_assumed(struct making *m, te_series *series)
{
    if (!m->beginning.is) {
        return TE_OK;
    }
    series->original = m->beginning.original;
    const te_measured *measured = &m->history->quantities.items[m->entries[0].measured];
    double middle = (m->as_new_least + m->as_new_most) / 2.0;
    te_observation x = te_observation_untaken(measured->quantity, measured->item, measured->part);
    x.value = middle;
    x.raw = middle;
    x.u_own = fmax((m->as_new_most - m->as_new_least) / sqrt(12.0), least_u);
    x.stated = true;
    te_observations *pool = &m->history->pool;
    if (te_observations_add(pool, &x, NULL, 0) != TE_OK) {
        return TE_ERR_MEMORY;
    }
    te_point *point = add_point(m);
    point->hours = 0.0;
    point->engine_hours = m->beginning.hours;
    point->value = middle;
    point->u = x.u_own;
    point->form = te_form_make((uint32_t)(pool->count - 1), 1.0);
    point->engine = m->beginning.engine;
    point->inspection = TE_NO_INDEX;
    point->stated = true;
    point->assumed = true;
    return TE_OK;
}

static void add_measured(struct making *m, te_side side)
{
    const te_observations *pool = &m->history->pool;
    for (size_t i = 0; i < m->count; i++) {
        const struct entry *entry = &m->entries[i];
        const te_measured *measured = &m->history->quantities.items[entry->measured];
        const te_form *form = side == TE_SIDE_LOW ? &measured->low : &measured->high;
        te_point *point = add_point(m);
        point->hours = entry->hours;
        point->engine_hours = entry->engine_hours;
        point->value = te_form_value(pool, form);
        point->u = te_form_uncertainty(pool, form);
        point->form = *form;
        point->engine = entry->engine;
        point->inspection = entry->inspection;
        point->stated = te_form_stated(pool, form);
        point->partial = entry->partial;
    }
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

/* The fitted points as arrays, in one block that the history keeps. */
struct fit_arrays {
    double *hours, *values, *covariance;
    const te_form **forms;
    size_t count;
    bool stated;
};

static te_status gather(struct fit_arrays *fit, const te_series *series, te_history *history)
{
    const te_point *points = &history->points[series->first_point];
    size_t n = series->fitted_count;
    size_t size = n * ((n + 2) * sizeof *fit->hours + sizeof *fit->forms);
    if (!te_vector_reserve(&history->fit_work.block, &history->fit_work.capacity, size, 1)) {
        return TE_ERR_MEMORY;
    }
    *fit = (struct fit_arrays){.hours = history->fit_work.block, .stated = true};
    fit->values = fit->hours + n;
    fit->covariance = fit->values + n;
    fit->forms = (const te_form **)(fit->covariance + n * n);
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
                                 te_history *history)
{
    size_t n = fit->count;
    te_status status = te_form_covariances(fit->covariance, &history->covariance_work,
                                           &history->pool, fit->forms, n);
    if (status != TE_OK) {
        return status;
    }
    series->method = TE_RATE_GENERALISED;
    status = te_line_fit_generalised(&series->line, fit->hours, fit->values, fit->covariance, n,
                                     series->hours_last);
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

static te_status find_rate(te_series *series, te_history *history)
{
    struct fit_arrays fit = {.count = 0};
    if (series->fitted_count > TE_SERIES_POINTS) {
        return TE_ERR_FULL;
    }
    bool distinct = series->hours_last - series->hours_first > TE_SAME_HOURS;
    if (series->fitted_count < 2 || !distinct) {
        return TE_OK;
    }
    te_status status = gather(&fit, series, history);
    if (status == TE_OK && fit.stated) {
        status = fit_generalised(series, &fit, history);
    } else if (status == TE_OK) {
        series->method = TE_RATE_ORDINARY;
        status = te_line_fit_ordinary(&series->line, fit.hours, fit.values, fit.count,
                                      series->hours_last);
    }
    if (status != TE_OK) {
        series->method = TE_RATE_NONE;
    }
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
static void project(te_series *series, const te_point *points, const struct workshop *workshop)
{
    bool upper = series->side == TE_SIDE_HIGH;
    bool rate = series->method != TE_RATE_NONE;
    const te_point *last = &points[series->point_count - 1];
    const te_point *last_fitted = &points[series->last_fitted - series->first_point];
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
        double quantile = series->line.generalised
                              ? workshop->quantile
                              : te_line_quantile(&series->line, workshop->tables->confidence);
        series->at_limit_earliest = te_line_reaches(&series->line, series->service, upper,
                                                    quantile);
    } else if (point_is_past(series, last_fitted, workshop->quantile)) {
        series->at_limit_earliest = series->hours_last;
    }
}

/* ---- the series ---- */

static bool is_on_now(const struct making *m, te_id part, te_kind kind, uint32_t engine)
{
    return te_find_on_now(&m->workshop->found, m->shop, part, kind, engine);
}

/* True when all parts of a series are on its engine still, a gap's in the same cylinder. */
static bool is_fitted_now(const struct making *m, const te_series *s)
{
    return is_on_now(m, s->part, s->kind, s->engine) &&
           (s->second_kind == TE_KIND_NONE ||
            is_on_now(m, s->second_part, s->second_kind, s->engine)) &&
           (s->cylinder == 0 || is_on_now(m, s->cylinder, TE_KIND_CYLINDER, s->engine));
}

static void start_series(te_series *series, const struct making *m, te_side side)
{
    const te_history *history = m->history;
    const struct entry *last = &m->entries[m->count - 1];
    const te_measured *measured = &history->quantities.items[last->measured];
    *series = (te_series){
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
        .at_limit = NAN,
        .at_limit_earliest = NAN,
    };
    series->service = !m->has_limit         ? NAN
                      : side == TE_SIDE_LOW ? m->limit.service_min
                                            : m->limit.service_max;
    series->fitted_now = is_fitted_now(m, series);
}

/* True when each value is one reading, or one difference: then both sides have the same points. */
static bool has_same_sides(const struct making *m)
{
    bool same = true;
    for (size_t i = 0; i < m->count && same; i++) {
        const te_measured *x = &m->history->quantities.items[m->entries[i].measured];
        same = te_form_is_same(&x->low, &x->high);
    }
    return same;
}

/* The rate of a series that has the same points. */
static void take_rate(te_series *series, const te_series *twin)
{
    series->method = twin->method;
    series->line = twin->line;
    series->singular = twin->singular;
}

/* The series is made in its place. `twin`: the one before has the same points. */
static te_status add_side(struct making *m, te_side side, bool twin)
{
    te_history *history = m->history;
    if (!te_vector_reserve(&history->series, &history->series_capacity, history->series_count + 1,
                           sizeof *history->series) ||
        !te_vector_reserve(&history->points, &history->point_capacity,
                           history->point_count + m->count + 1, sizeof *history->points)) {
        return TE_ERR_MEMORY;
    }
    te_series *series = &history->series[history->series_count];
    start_series(series, m, side);
    te_status status = add_assumed(m, series);
    if (status != TE_OK) {
        return status;
    }
    add_measured(m, side);
    te_point *points = &history->points[series->first_point];
    series->point_count = (uint32_t)(history->point_count - series->first_point);
    choose_fitted(m, series, points);
    if (twin) {
        take_rate(series, series - 1);
    } else {
        status = find_rate(series, history);
    }
    if (status == TE_OK) {
        project(series, points, m->workshop);
        history->series_count++;
    }
    return status;
}

/* A series that has its names alone. */
static te_status add_named(struct making *m)
{
    te_history *history = m->history;
    if (!te_vector_reserve(&history->series, &history->series_capacity, history->series_count + 1,
                           sizeof *history->series)) {
        return TE_ERR_MEMORY;
    }
    m->has_limit = false;
    start_series(&history->series[history->series_count++], m, TE_SIDE_HIGH);
    return TE_OK;
}

/* True when the parts of the entries are on the history's engine. */
static bool is_of_now(struct making *m)
{
    const te_history *history = m->history;
    const te_measured *measured = &history->quantities.items[m->entries[m->count - 1].measured];
    return te_find_measured_on_now(&m->workshop->found, m->shop, measured, history->engine);
}

/* The limit of a group, and where its parts were new when that tells their size. */
static void find_limit(struct making *m)
{
    const struct entry *last = &m->entries[m->count - 1];
    const te_measured *measured = &m->history->quantities.items[last->measured];
    const te_tables *tables = m->workshop->tables;
    m->model = &tables->models[tables->engines[last->engine].model];
    m->has_limit = te_shop_part_limit(&m->limit, m->shop, &tables->inspections[last->inspection],
                                      measured->quantity, measured->item, measured->part);
    bool measured_new = m->entries[0].hours <= TE_SAME_HOURS;
    if (!measured_new && m->has_limit &&
        te_limit_as_new(&m->as_new_least, &m->as_new_most, &m->limit)) {
        m->beginning = find_beginning(m);
    }
}

te_status te_series_add(struct workshop *workshop, const struct entry *entries, size_t count)
{
    struct making m = {
        .workshop = workshop,
        .history = workshop->out,
        .shop = workshop->shop,
        .entries = entries,
        .count = count,
        .limit = {.new_min = NAN, .new_max = NAN, .service_min = NAN, .service_max = NAN}};
    if (workshop->due_alone && !is_of_now(&m)) {
        return add_named(&m);
    }
    find_limit(&m);
    bool low = !isnan(m.limit.service_min);
    bool high = !isnan(m.limit.service_max);
    if (!low && !high) {
        if (workshop->due_alone) {
            return add_named(&m);
        }
        te_quantity quantity = entries[count - 1].quantity;
        low = quantity == TE_Q_SKIRT || quantity == TE_Q_PIN;
        high = !low;
    }
    te_status status = low ? add_side(&m, TE_SIDE_LOW, false) : TE_OK;
    bool twins = low && high && has_same_sides(&m);
    return status == TE_OK && high ? add_side(&m, TE_SIDE_HIGH, twins) : status;
}
