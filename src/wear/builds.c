/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Builds: the engine hours between two fittings, and the wear within each. */
#include <gsl/gsl_cdf.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "record/vector.h"
#include "series.h"

struct making {
    te_builds *out;
    const te_history *history;
    const te_shop *shop;
    const te_tables *tables;
};

void te_builds_free(te_builds *builds)
{
    if (builds != NULL) {
        free(builds->starts);
        free(builds->wears);
        *builds = (te_builds){0};
    }
}

/* ---- fitting events ---- */

static int by_value(const void *left, const void *right)
{
    const double *a = left;
    const double *b = right;
    return (*a > *b) - (*a < *b);
}

/* Off and back at the same hours is no event of its own, but other parts may have one there. */
static bool is_continued(const te_stay *stays, size_t count, const te_stay *stay)
{
    for (size_t i = 0; i < count; i++) {
        if (stays[i].part == stay->part && stays[i].fitted_hours < stay->fitted_hours &&
            fabs(stays[i].removed_hours - stay->fitted_hours) <= TE_SAME_HOURS) {
            return true;
        }
    }
    return false;
}

/* An engine begins at 0 h; every fitting after that begins a build. */
static te_status find_builds(struct making *m)
{
    size_t count = 0;
    te_builds *out = m->out;
    const te_stay *stays = te_shop_engine_stays(&count, m->shop, m->history->engine);
    if (!te_vector_reserve(&out->starts, &out->build_capacity, count + 1, sizeof *out->starts)) {
        return TE_ERR_MEMORY;
    }
    out->starts[0] = 0.0;
    size_t found = 1;
    for (size_t i = 0; i < count; i++) {
        if (!is_continued(stays, count, &stays[i])) {
            out->starts[found++] = stays[i].fitted_hours;
        }
    }
    qsort(out->starts, found, sizeof *out->starts, by_value);
    out->build_count = 0;
    for (size_t i = 0; i < found; i++) {
        bool same = out->build_count > 0 &&
                    out->starts[i] - out->starts[out->build_count - 1] <= TE_SAME_HOURS;
        if (!same) {
            out->starts[out->build_count++] = out->starts[i];
        }
    }
    return TE_OK;
}

/* ---- wear within a build ---- */

struct build {
    uint32_t number; /* from 1 */
    double from, to; /* engine hours; the last runs on */
};

static struct build build_at(const te_builds *builds, size_t i)
{
    double to = i + 1 < builds->build_count ? builds->starts[i + 1] : INFINITY;
    return (struct build){(uint32_t)i + 1, builds->starts[i], to};
}

static bool is_near(double a, double b)
{
    return fabs(a - b) <= TE_SAME_HOURS;
}

static te_state state_of(const struct making *m, const te_point *point)
{
    return point->assumed ? TE_STATE_BUILT : m->tables->inspections[point->inspection].state;
}

/* Of the points where a build begins the one as built is its first, of those where it ends the one
 * as found its last; both are open to a point of no state or, alone, of the other. */
static int fitness(const struct making *m, const te_point *point, te_state wanted)
{
    te_state state = state_of(m, point);
    return state == wanted ? 2 : state == TE_STATE_NONE ? 1 : 0;
}

/* The first and last measured points of a series within a build; NULL where there is none. One that
 * was measured at fewer places than planned compares with no other. */
static void find_ends(const te_point **first, const te_point **last, const struct making *m,
                      const te_series *series, const struct build *build)
{
    *first = NULL;
    *last = NULL;
    for (uint32_t i = 0; i < series->point_count; i++) {
        const te_point *p = &m->history->points[series->first_point + i];
        bool here = !p->assumed && !p->partial && p->engine == m->history->engine &&
                    p->engine_hours >= build->from - TE_SAME_HOURS &&
                    p->engine_hours <= build->to + TE_SAME_HOURS;
        if (!here) {
            continue;
        }
        bool opens = *first == NULL || p->engine_hours < (*first)->engine_hours - TE_SAME_HOURS ||
                     (is_near(p->engine_hours, (*first)->engine_hours) &&
                      is_near(p->engine_hours, build->from) &&
                      fitness(m, p, TE_STATE_BUILT) > fitness(m, *first, TE_STATE_BUILT));
        bool closes = *last == NULL || p->engine_hours > (*last)->engine_hours + TE_SAME_HOURS ||
                      (is_near(p->engine_hours, (*last)->engine_hours) &&
                       (!is_near(p->engine_hours, build->to) ||
                        fitness(m, p, TE_STATE_FOUND) >= fitness(m, *last, TE_STATE_FOUND)));
        *first = opens ? p : *first;
        *last = closes ? p : *last;
    }
}

/* The assumed point of a series where it stands within the build. */
static const te_point *assumed_of(const struct making *m, const te_series *series,
                                  const struct build *build)
{
    const te_point *p = &m->history->points[series->first_point];
    bool here = p->assumed && p->engine == m->history->engine &&
                p->engine_hours >= build->from - TE_SAME_HOURS && p->engine_hours < build->to;
    return here ? p : NULL;
}

static te_status add_wear(struct making *m, uint32_t series, const struct build *build,
                          const te_point *first, const te_point *last)
{
    te_builds *out = m->out;
    const te_observations *pool = &m->history->pool;
    te_form minus = te_form_scale(&first->form, -1.0);
    te_form wear;
    double hours = last->hours - first->hours; /* of the part: it may have been off in between */
    if (te_form_add(&wear, &last->form, &minus) != TE_OK ||
        !te_vector_reserve(&out->wears, &out->wear_capacity, out->wear_count + 1,
                           sizeof *out->wears)) {
        return TE_ERR_MEMORY; /* a form of two points has room: they have two terms each */
    }
    te_build_wear *row = &out->wears[out->wear_count++];
    *row = (te_build_wear){
        .series = series,
        .build = build->number,
        .hours_from = first->engine_hours,
        .hours_to = last->engine_hours,
        .assumed = first->assumed,
        .stated = first->stated && last->stated,
        .wear = te_without_dust(te_form_value(pool, &wear)),
        .u_wear = sqrt(te_form_variance(pool, &wear)),
        .rate_form = te_form_scale(&wear, 1.0 / hours),
        .ratio = NAN,
        .before = NAN,
        .p_same = NAN,
        .p_holm = NAN,
    };
    row->rate = row->wear / hours;
    row->u_rate = row->u_wear / hours;
    return TE_OK;
}

/* True when the parts of a series ran on the engine within the build. */
static bool runs_within(const struct making *m, const te_series *series, const struct build *build)
{
    uint32_t engine = m->history->engine;
    return te_part_runs_within(m->shop, series->part, series->kind, engine, build->from,
                               build->to) &&
           (series->second_kind == TE_KIND_NONE ||
            te_part_runs_within(m->shop, series->second_part, series->second_kind, engine,
                                build->from, build->to));
}

/* Measured points at two hours, else the assumed one and a measured one. */
static te_status measure_build(struct making *m, uint32_t at, const struct build *build)
{
    const te_series *series = &m->history->series[at];
    const te_point *first = NULL;
    const te_point *last = NULL;
    find_ends(&first, &last, m, series, build);
    if (last == NULL || !runs_within(m, series, build)) {
        return TE_OK;
    }
    if (!(last->hours - first->hours > TE_SAME_HOURS)) {
        first = assumed_of(m, series, build);
    }
    if (first == NULL || !(last->hours - first->hours > TE_SAME_HOURS)) {
        return TE_OK;
    }
    return add_wear(m, at, build, first, last);
}

/* ---- one build against the one before ---- */

/* What successive builds have in common: the engine has one part of each kind but `other`. */
static bool is_same_place(const te_series *a, const te_series *b)
{
    return a->quantity == b->quantity && a->item == b->item && a->side == b->side &&
           a->kind == b->kind && (a->kind != TE_KIND_OTHER || a->part == b->part);
}

/* First row of the same place, so that rows of one place can be brought together. Series stand in
 * order of quantity and item, so that it is not far. */
static size_t first_of_place(const struct making *m, size_t at)
{
    const te_build_wear *wears = m->out->wears;
    const te_series *mine = &m->history->series[wears[at].series];
    size_t first = at;
    for (size_t i = at; i > 0; i--) {
        const te_series *other = &m->history->series[wears[i - 1].series];
        if (other->quantity != mine->quantity || other->item != mine->item) {
            break;
        }
        first = is_same_place(other, mine) ? i - 1 : first;
    }
    return first;
}

/* Brings the rows of one place together, in order of build: insertion, for they are few and nearly
 * in order. */
static void order_rows(struct making *m)
{
    te_build_wear *wears = m->out->wears;
    for (size_t i = 1; i < m->out->wear_count; i++) {
        size_t to = first_of_place(m, i);
        if (to == i) {
            continue;
        }
        const te_series *mine = &m->history->series[wears[i].series];
        while (to < i && is_same_place(&m->history->series[wears[to].series], mine) &&
               wears[to].build <= wears[i].build) {
            to++;
        }
        te_build_wear row = wears[i];
        memmove(wears + to + 1, wears + to, (i - to) * sizeof *wears);
        wears[to] = row;
    }
}

/* Two-sided normal test of the difference of two rates, which may share a point. */
static void compare_rows(const struct making *m, te_build_wear *row, const te_build_wear *before)
{
    te_form minus = te_form_scale(&before->rate_form, -1.0);
    te_form difference;
    row->before = before->rate;
    row->ratio = fabs(before->rate) > 0.0 ? row->rate / before->rate : NAN;
    if (!row->stated || !before->stated ||
        te_form_add(&difference, &row->rate_form, &minus) != TE_OK) {
        return;
    }
    double u = sqrt(te_form_variance(&m->history->pool, &difference));
    double d = te_form_value(&m->history->pool, &difference);
    if (u > 0.0) {
        row->p_same = 2.0 * gsl_cdf_ugaussian_Q(fabs(d) / u);
    }
}

static void compare_builds(struct making *m)
{
    te_builds *out = m->out;
    for (size_t i = 1; i < out->wear_count; i++) {
        te_build_wear *row = &out->wears[i];
        const te_build_wear *before = &out->wears[i - 1];
        if (before->build + 1 == row->build &&
            is_same_place(&m->history->series[row->series], &m->history->series[before->series])) {
            compare_rows(m, row, before);
        }
    }
}

struct ranked {
    double p;
    size_t row;
};

static int by_p(const void *left, const void *right)
{
    const struct ranked *a = left;
    const struct ranked *b = right;
    if (a->p < b->p || a->p > b->p) {
        return a->p < b->p ? -1 : 1;
    }
    return (a->row > b->row) - (a->row < b->row);
}

/* Step-down: the i-th smallest of n times n - i + 1, never below the one before, at most 1. */
static te_status adjust(te_builds *out)
{
    size_t count = 0;
    double least = 0.0;
    struct ranked *ranked = calloc(out->wear_count + 1, sizeof *ranked);
    if (ranked == NULL) {
        return TE_ERR_MEMORY;
    }
    for (size_t i = 0; i < out->wear_count; i++) {
        if (!isnan(out->wears[i].p_same)) {
            ranked[count++] = (struct ranked){out->wears[i].p_same, i};
        }
    }
    qsort(ranked, count, sizeof *ranked, by_p);
    for (size_t i = 0; i < count; i++) {
        least = fmax(least, fmin(1.0, ranked[i].p * (double)(count - i)));
        out->wears[ranked[i].row].p_holm = least;
    }
    free(ranked);
    return TE_OK;
}

te_status te_builds_make(te_builds *builds, const te_history *history, const te_shop *shop)
{
    struct making m = {
        .out = builds, .history = history, .shop = shop, .tables = te_shop_tables(shop)};
    builds->wear_count = 0;
    te_status status = find_builds(&m);
    for (uint32_t i = 0; i < history->series_count; i++) {
        for (size_t b = 0; b < builds->build_count && status == TE_OK; b++) {
            struct build build = build_at(builds, b);
            status = measure_build(&m, i, &build);
        }
    }
    if (status != TE_OK) {
        return status;
    }
    order_rows(&m);
    compare_builds(&m);
    return adjust(builds);
}
