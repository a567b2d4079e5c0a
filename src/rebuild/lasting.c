/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How long a set of parts lasts: hours until the first service limit. */
#include <math.h>

#include "rebuilding.h"

struct counting {
    te_lasting *out;
    const struct rebuilding *r;
    const struct choice *choice;
    const te_history *history;
    te_model_rates *rates;
};

/* What one quantity tells. */
struct told {
    te_quantity quantity;
    te_id item;
    te_kind kind, second_kind;
    te_side side;
    te_rate_basis basis;
    size_t engines;
    double best, earliest; /* hours from the inspection; NAN: never, or not known */
    bool bounded;          /* `earliest` is known: NAN means never */
};

static bool stays(const struct counting *c, te_kind kind)
{
    return kind >= TE_KIND_OTHER || c->choice->of[kind] == NULL;
}

/* ---- adding up ---- */

static void add_untold(struct counting *c, te_quantity quantity, te_id item)
{
    if (c->out->untold++ == 0) {
        c->out->untold_quantity = quantity;
        c->out->untold_item = item;
    }
}

static void add_told(struct counting *c, const struct told *t)
{
    te_lasting *out = c->out;
    double first = t->bounded ? t->earliest : t->best;
    out->told++;
    out->unbounded += !t->bounded;
    out->by_model += t->basis == TE_RATE_MODEL;
    out->left = fmin(out->left, t->best); /* of one that is not a number the other */
    if (!isnan(first) && !(out->earliest <= first)) {
        out->earliest = first;
        out->quantity = t->quantity;
        out->item = t->item;
        out->kind = t->kind;
        out->second_kind = t->second_kind;
        out->side = t->side;
        out->basis = t->basis;
        out->engines = t->engines;
        out->bounded = t->bounded;
    }
}

/* A series that rests on fewer places than plan.csv names does not tell it all. */
static void add_series(struct counting *c, const struct told *t, const te_series *series)
{
    add_told(c, t);
    if (series->partial && !series->met) {
        add_untold(c, t->quantity, t->item);
    }
}

/* ---- what was followed so far ---- */

/* Hours of a series at the inspection; NAN when its parts were not together since its last point. */
static double hours_now(const struct counting *c, const te_series *series)
{
    const te_inspection *inspection = c->r->inspection;
    const te_point *last = &c->history->points[series->last_fitted];
    for (uint32_t i = 0; i < series->point_count; i++) {
        const te_point *p = &c->history->points[series->first_point + i];
        if (p->inspection == c->r->options->inspection) {
            return p->hours;
        }
    }
    if (series->second_kind == TE_KIND_NONE) {
        te_part_time time;
        te_part_time_at(&time, c->r->shop, series->part, inspection->engine, inspection->hours);
        return time.own;
    }
    const te_id parts[] = {series->part, series->second_part};
    for (size_t i = 0; i < 2; i++) {
        te_part_time time;
        te_part_time_at(&time, c->r->shop, parts[i], inspection->engine, inspection->hours);
        if (last->engine != inspection->engine ||
            time.fitted > last->engine_hours + TE_SAME_HOURS) {
            return NAN;
        }
    }
    return series->hours_last + (inspection->hours - last->engine_hours);
}

/* False when the series tells nothing of its limit: without a rate only that it may be met. */
static bool told_by_series(struct told *t, const struct counting *c, const te_series *series)
{
    double now = hours_now(c, series);
    bool rate = series->method != TE_RATE_NONE;
    if (isnan(now) || (!rate && !series->met && isnan(series->at_limit_earliest))) {
        return false;
    }
    t->basis = TE_RATE_ENGINE;
    t->engines = 1;
    t->bounded = series->met || !isnan(series->at_limit_earliest) ||
                 (rate && !isnan(series->line.var_rate));
    t->best = isnan(series->at_limit) ? NAN : fmax(series->at_limit - now, 0.0);
    t->earliest = isnan(series->at_limit_earliest) ? NAN
                                                   : fmax(series->at_limit_earliest - now, 0.0);
    return true;
}

static const te_series *find_series(const struct counting *c, const te_measured *m, te_side side)
{
    for (size_t i = 0; i < c->history->series_count; i++) {
        const te_series *s = &c->history->series[i];
        bool here = s->cylinder == 0 || s->cylinder == c->r->inspection->part[TE_KIND_CYLINDER];
        if (s->quantity == m->quantity && s->item == m->item && s->part == m->part &&
            s->second_part == m->second_part && s->side == side && here) {
            return s;
        }
    }
    return NULL;
}

/* ---- what begins anew ---- */

static const te_model_rate *find_model_rate(const te_model_rates *rates, te_quantity quantity,
                                            te_id item, te_side side)
{
    for (size_t i = 0; i < rates->count; i++) {
        const te_model_rate *rate = &rates->items[i];
        if (rate->quantity == quantity && rate->item == item && rate->side == side) {
            return rate;
        }
    }
    return NULL;
}

/* The rate seen on this engine, else on the model's others; members 0: on none. */
static te_status find_rate(te_pooled_rate *rate, struct told *t, struct counting *c)
{
    te_status status = te_engine_rate(rate, c->history, t->quantity, t->item, t->side);
    t->basis = TE_RATE_ENGINE;
    t->engines = 1;
    if (status != TE_OK || rate->members > 0) {
        return status;
    }
    if (!c->rates->made || c->rates->model != c->r->model_index) {
        status = te_model_rates_make(c->rates, c->r->shop, c->r->problems, c->r->model_index);
    }
    const te_model_rate *of_model = status == TE_OK
                                        ? find_model_rate(c->rates, t->quantity, t->item, t->side)
                                        : NULL;
    if (of_model != NULL) {
        *rate = of_model->pooled;
        t->basis = TE_RATE_MODEL;
        t->engines = of_model->pooled.members;
    }
    return status;
}

/* A line from the value as predicted, with the rate; the two have no error in common. */
static void project(struct told *t, const te_interval *x, double limit, const te_pooled_rate *rate,
                    double confidence)
{
    bool upper = t->side == TE_SIDE_HIGH;
    double value = upper ? x->high : x->low;
    double u = upper ? x->u_high : x->u_low;
    const te_line line = {.level = value,
                          .rate = rate->rate,
                          .var_level = u * u,
                          .var_rate = rate->u * rate->u,
                          .generalised = true};
    t->bounded = x->stated && !isnan(rate->u);
    t->best = NAN;
    t->earliest = NAN;
    if ((upper ? value - limit : limit - value) >= -te_same_length) {
        t->best = 0.0;
        t->earliest = 0.0;
        t->bounded = true;
        return;
    }
    t->best = te_line_reaches(&line, limit, upper, 0.0);
    if (t->bounded) {
        t->earliest = te_line_reaches(&line, limit, upper, te_line_quantile(&line, confidence));
    }
}

/* ---- one limit of one quantity ---- */

static te_status count_side(struct counting *c, const te_finding *finding, te_side side,
                            double limit)
{
    const te_measured *m = &finding->measured;
    struct told t = {.quantity = m->quantity,
                     .item = m->item,
                     .kind = m->kind,
                     .second_kind = m->second_kind,
                     .side = side};
    bool kept = stays(c, m->kind) && (m->second_kind == TE_KIND_NONE || stays(c, m->second_kind)) &&
                (m->quantity != TE_Q_END_GAP || stays(c, TE_KIND_CYLINDER));
    const te_series *series = kept ? find_series(c, m, side) : NULL;
    if (series != NULL && series->method != TE_RATE_NONE && told_by_series(&t, c, series)) {
        add_series(c, &t, series);
        return TE_OK;
    }
    te_pooled_rate rate;
    te_status status = find_rate(&rate, &t, c);
    if (status != TE_OK) {
        return status;
    }
    if (rate.members > 0) {
        project(&t, &finding->interval, limit, &rate, c->r->tables->confidence);
        add_told(c, &t);
    } else if (series != NULL && told_by_series(&t, c, series)) {
        add_series(c, &t,
                   series); /* met, or its last value's bound is: no rate is needed for that */
    } else {
        add_untold(c, m->quantity, m->item);
    }
    return TE_OK;
}

static te_status count_finding(struct counting *c, const te_finding *finding)
{
    te_status status = TE_OK;
    if (!finding->computed || !finding->has_limit) {
        return TE_OK; /* told by count_unpredicted, or by the series */
    }
    if (!isnan(finding->limit.service_min)) {
        status = count_side(c, finding, TE_SIDE_LOW, finding->limit.service_min);
    }
    if (status == TE_OK && !isnan(finding->limit.service_max)) {
        status = count_side(c, finding, TE_SIDE_HIGH, finding->limit.service_max);
    }
    return status;
}

/* ---- what was not measured this time ---- */

static bool is_found(const te_assessment *assessment, const te_series *series)
{
    for (size_t i = 0; i < assessment->finding_count; i++) {
        const te_finding *finding = &assessment->findings[i];
        const te_measured *m = &finding->measured;
        if (finding->computed && m->quantity == series->quantity && m->item == series->item &&
            m->part == series->part && m->second_part == series->second_part) {
            return true;
        }
    }
    return false;
}

/* True for a part that is on at the inspection and stays. */
static bool is_in(const struct counting *c, te_kind kind, te_id part)
{
    if (kind == TE_KIND_NONE) {
        return true;
    }
    return kind == TE_KIND_OTHER
               ? te_shop_other_is_on(c->r->shop, c->r->inspection, part)
               : c->choice->of[kind] == NULL && c->r->inspection->part[kind] == part;
}

/* Parts that stay and were followed before still reach their limits. */
static void count_unmeasured(struct counting *c, const te_assessment *assessment)
{
    for (size_t i = 0; i < c->history->series_count; i++) {
        const te_series *s = &c->history->series[i];
        struct told t = {.quantity = s->quantity,
                         .item = s->item,
                         .kind = s->kind,
                         .second_kind = s->second_kind,
                         .side = s->side};
        bool here = !isnan(s->service) && is_in(c, s->kind, s->part) &&
                    is_in(c, s->second_kind, s->second_part) &&
                    (s->cylinder == 0 || is_in(c, TE_KIND_CYLINDER, s->cylinder));
        if (!here || is_found(assessment, s)) {
            continue;
        }
        if (told_by_series(&t, c, s)) {
            add_series(c, &t, s);
        } else {
            add_untold(c, s->quantity, s->item);
        }
    }
}

static bool is_predicted(const te_assessment *assessment, const te_measured *m)
{
    for (size_t i = 0; i < assessment->finding_count; i++) {
        const te_finding *finding = &assessment->findings[i];
        if (finding->computed && finding->measured.quantity == m->quantity &&
            finding->measured.item == m->item && finding->measured.kind == m->kind) {
            return true;
        }
    }
    return false;
}

/* What was measured against a service limit, and rests on a new part whose size nobody knows, is not
 * known to last. */
static void count_unpredicted(struct counting *c, const te_assessment *assessment)
{
    const te_assessment *base = &c->r->options->base;
    for (size_t i = 0; i < base->finding_count; i++) {
        const te_finding *finding = &base->findings[i];
        bool limited = finding->computed && finding->has_limit &&
                       (!isnan(finding->limit.service_min) || !isnan(finding->limit.service_max));
        if (limited && !is_predicted(assessment, &finding->measured)) {
            add_untold(c, finding->measured.quantity, finding->measured.item);
        }
    }
}

te_status te_find_lasting(te_lasting *lasting, const struct rebuilding *r,
                          const struct choice *choice, const te_assessment *assessment,
                          te_model_rates *rates)
{
    struct counting c = {
        .out = lasting, .r = r, .choice = choice, .history = &r->options->history, .rates = rates};
    te_status status = TE_OK;
    *lasting = (te_lasting){
        .left = NAN, .earliest = NAN, .quantity = TE_Q_NONE, .untold_quantity = TE_Q_NONE};
    for (size_t i = 0; i < assessment->finding_count && status == TE_OK; i++) {
        status = count_finding(&c, &assessment->findings[i]);
    }
    if (status == TE_OK) {
        count_unpredicted(&c, assessment);
        count_unmeasured(&c, assessment);
    }
    return status;
}
