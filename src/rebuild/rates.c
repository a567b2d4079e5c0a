/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Rates of several parts or engines brought together. */
#include <math.h>
#include <stdlib.h>

#include "rebuilding.h"
#include "record/vector.h"

const char *te_rate_basis_name(te_rate_basis basis)
{
    static const char *const names[] = {"none", "engine", "model"};
    return names[basis];
}

/* ---- pooling ---- */

/* All alike: the scatter holds both what differs between the members and their uncertainty. */
static void pool_alike(te_pooled_rate *pooled, const double *rates, size_t count)
{
    double n = (double)count;
    double mean = 0.0;
    double squares = 0.0;
    for (size_t i = 0; i < count; i++) {
        mean += rates[i] / n;
    }
    for (size_t i = 0; i < count; i++) {
        squares += (rates[i] - mean) * (rates[i] - mean);
    }
    double variance = count > 1 ? squares / (n - 1.0) : NAN;
    *pooled = (te_pooled_rate){.rate = mean,
                               .u = sqrt(variance + variance / n),
                               .between = sqrt(variance),
                               .members = count};
}

/* Sums with the weights 1 / (u^2 + between). */
struct weighted {
    double weights, squares; /* sum of w, of w^2 */
    double mean, chi2;       /* of the rates; sum of w (rate - mean)^2 */
};

static struct weighted weigh(const double *rates, const double *u, size_t count, double between)
{
    struct weighted s = {0.0, 0.0, 0.0, 0.0};
    for (size_t i = 0; i < count; i++) {
        double w = 1.0 / (u[i] * u[i] + between);
        s.weights += w;
        s.squares += w * w;
        s.mean += w * rates[i];
    }
    s.mean /= s.weights;
    for (size_t i = 0; i < count; i++) {
        double rest = rates[i] - s.mean;
        s.chi2 += rest * rest / (u[i] * u[i] + between);
    }
    return s;
}

static bool all_known(const double *u, size_t count)
{
    bool known = true;
    for (size_t i = 0; i < count; i++) {
        known = known && u[i] > 0.0; /* false when it is not known; 0 would weigh without end */
    }
    return known;
}

void te_rates_pool(te_pooled_rate *pooled, const double *rates, const double *u, size_t count)
{
    if (count < 2) {
        *pooled = (te_pooled_rate){
            .rate = count == 1 ? rates[0] : NAN, .u = count == 1 ? u[0] : NAN, .members = count};
        return;
    }
    if (!all_known(u, count)) {
        pool_alike(pooled, rates, count);
        return;
    }
    struct weighted fixed = weigh(rates, u, count, 0.0);
    double excess = fixed.chi2 - (double)(count - 1);
    double between = excess > 0.0 ? excess / (fixed.weights - fixed.squares / fixed.weights) : 0.0;
    struct weighted random = weigh(rates, u, count, between);
    *pooled = (te_pooled_rate){.rate = random.mean,
                               .u = sqrt(1.0 / random.weights + between),
                               .between = sqrt(between),
                               .members = count};
    if (!isfinite(pooled->rate) || !isfinite(pooled->u)) {
        pool_alike(pooled, rates, count); /* weights too far apart for the arithmetic */
    }
}

/* ---- the parts of one engine ---- */

static bool is_wanted(const te_history *history, const te_series *series, te_quantity quantity,
                      te_id item, te_side side)
{
    return series->engine == history->engine && series->method != TE_RATE_NONE &&
           series->quantity == quantity && series->item == item && series->side == side;
}

te_status te_engine_rate(te_pooled_rate *pooled, const te_history *history, te_quantity quantity,
                         te_id item, te_side side)
{
    size_t count = 0;
    double *rates = malloc(2 * (history->series_count + 1) * sizeof *rates);
    if (rates == NULL) {
        return TE_ERR_MEMORY;
    }
    double *u = rates + history->series_count + 1;
    for (size_t i = 0; i < history->series_count; i++) {
        const te_series *series = &history->series[i];
        if (is_wanted(history, series, quantity, item, side)) {
            rates[count] = series->line.rate;
            u[count++] = sqrt(series->line.var_rate);
        }
    }
    te_rates_pool(pooled, rates, u, count);
    free(rates);
    return TE_OK;
}

/* ---- the engines of a model ---- */

/* The rate of one engine, for pooling. */
struct member {
    te_quantity quantity;
    te_id item;
    te_side side;
    uint32_t engine;
    double rate, u;
};

struct pooling {
    te_model_rates *out;
    const te_shop *shop;
    const te_problems *problems; /* NULL without errors */
    te_history history;
    VECTOR(struct member) members;
};

static int by_member(const void *left, const void *right)
{
    const struct member *a = left;
    const struct member *b = right;
    const uint32_t x[] = {a->quantity, a->item, (uint32_t)a->side, a->engine};
    const uint32_t y[] = {b->quantity, b->item, (uint32_t)b->side, b->engine};
    for (size_t i = 0; i < sizeof x / sizeof *x; i++) {
        if (x[i] != y[i]) {
            return x[i] < y[i] ? -1 : 1;
        }
    }
    return 0;
}

static bool same_rate(const struct member *a, const struct member *b)
{
    return a->quantity == b->quantity && a->item == b->item && a->side == b->side;
}

static bool has_member(const struct pooling *p, const te_series *series, uint32_t engine)
{
    const struct member wanted = {series->quantity, series->item, series->side, engine, 0.0, 0.0};
    for (size_t i = p->members.count; i > 0 && p->members.items[i - 1].engine == engine; i--) {
        if (same_rate(&p->members.items[i - 1], &wanted)) {
            return true;
        }
    }
    return false;
}

/* One member a quantity, of all the parts of the engine. */
static te_status add_engine(struct pooling *p, uint32_t engine)
{
    te_status status = TE_OK;
    for (size_t i = 0; i < p->history.series_count && status == TE_OK; i++) {
        const te_series *series = &p->history.series[i];
        te_pooled_rate pooled;
        if (series->method == TE_RATE_NONE || has_member(p, series, engine)) {
            continue;
        }
        status = te_engine_rate(&pooled, &p->history, series->quantity, series->item, series->side);
        if (status != TE_OK || pooled.members == 0) {
            continue;
        }
        if (!VECTOR_ROOM(&p->members)) {
            return TE_ERR_MEMORY;
        }
        p->members.items[p->members.count++] = (struct member){
            series->quantity, series->item, series->side, engine, pooled.rate, pooled.u};
    }
    return status;
}

static te_status look_at_engine(struct pooling *p, uint32_t engine)
{
    if (p->problems != NULL && te_shop_engine_touched(p->shop, p->problems, engine)) {
        p->out->left_out++;
        return TE_OK;
    }
    te_status status = te_history_make(&p->history, p->shop, p->problems, engine);
    if (status == TE_ERR_FULL) {
        p->out->left_out++;
        return TE_OK;
    }
    return status != TE_OK ? status : add_engine(p, engine);
}

static te_status pool_members(struct pooling *p)
{
    te_model_rates *out = p->out;
    size_t count = p->members.count;
    double *rates = malloc(2 * (count + 1) * sizeof *rates);
    if (rates == NULL ||
        !te_vector_reserve(&out->items, &out->capacity, count + 1, sizeof *out->items)) {
        free(rates);
        return TE_ERR_MEMORY;
    }
    double *u = rates + count + 1;
    if (count > 1) {
        qsort(p->members.items, count, sizeof *p->members.items, by_member);
    }
    for (size_t first = 0, end = 0; first < count; first = end) {
        const struct member *m = &p->members.items[first];
        for (end = first; end < count && same_rate(m, &p->members.items[end]); end++) {
            rates[end - first] = p->members.items[end].rate;
            u[end - first] = p->members.items[end].u;
        }
        te_model_rate *rate = &out->items[out->count++];
        *rate = (te_model_rate){.quantity = m->quantity, .item = m->item, .side = m->side};
        te_rates_pool(&rate->pooled, rates, u, end - first);
        if (rate->pooled.members < 2) {
            rate->pooled.u = NAN; /* one engine does not tell what differs between engines */
        }
    }
    free(rates);
    return TE_OK;
}

te_status te_model_rates_make(te_model_rates *rates, const te_shop *shop,
                              const te_problems *problems, uint32_t model)
{
    const te_tables *tables = te_shop_tables(shop);
    bool errors = problems != NULL && problems->errors > 0;
    struct pooling p = {.out = rates, .shop = shop, .problems = errors ? problems : NULL};
    te_status status = TE_OK;
    rates->made = false;
    rates->model = model;
    rates->count = 0;
    rates->left_out = 0;
    for (uint32_t i = 0; i < tables->engine_count && status == TE_OK; i++) {
        if (tables->engines[i].model == model) {
            status = look_at_engine(&p, i);
        }
    }
    if (status == TE_OK) {
        status = pool_members(&p);
    }
    rates->made = status == TE_OK;
    te_history_free(&p.history);
    free(p.members.items);
    return status;
}

void te_model_rates_free(te_model_rates *rates)
{
    if (rates != NULL) {
        free(rates->items);
        *rates = (te_model_rates){0};
    }
}
