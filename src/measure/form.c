/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "topend/form.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "pool.h"
#include "record/vector.h"

static const unsigned kind_shift = 60;

te_source te_source_make(te_source_kind kind, uint64_t index)
{
    return (uint64_t)kind << kind_shift | index;
}

te_source_kind te_source_kind_of(te_source source)
{
    return (te_source_kind)(source >> kind_shift);
}

uint64_t te_source_index(te_source source)
{
    return source & ((UINT64_C(1) << kind_shift) - 1);
}

/* True when a source stands twice among an observation's effects, which are few. */
static bool has_source_twice(const te_effect *effects, size_t count)
{
    for (size_t i = 1; i < count; i++) {
        for (size_t j = 0; j < i; j++) {
            if (effects[j].source == effects[i].source) {
                return true;
            }
        }
    }
    return false;
}

/* The standard uncertainty of the pool's last observation, which has these effects. Nearly always each
 * source stands once, and nothing need be summed by source. */
static double uncertainty_of_last(const te_observations *pool, const te_effect *effects,
                                  size_t count)
{
    const te_observation *x = &pool->items[pool->count - 1];
    if (has_source_twice(effects, count)) {
        te_form alone = te_form_make((uint32_t)(pool->count - 1), 1.0);
        return sqrt(te_form_variance(pool, &alone));
    }
    double sum = x->u_own * x->u_own;
    for (size_t i = 0; i < count; i++) {
        sum += effects[i].effect * effects[i].effect;
    }
    return sqrt(fmax(sum, 0.0)); /* also when it is no number */
}

te_observation *te_observations_next(te_observations *pool, size_t effects)
{
    bool room = te_vector_reserve(&pool->items, &pool->capacity, pool->count + 1,
                                  sizeof *pool->items) &&
                te_vector_reserve(&pool->effects, &pool->effect_capacity,
                                  pool->effect_count + effects, sizeof *pool->effects);
    return room ? &pool->items[pool->count] : NULL;
}

void te_observations_keep(te_observations *pool, const te_effect *effects, size_t count)
{
    te_observation *next = &pool->items[pool->count];
    next->first_effect = (uint32_t)pool->effect_count;
    next->effect_count = (uint32_t)count;
    if (count > 0) {
        memcpy(pool->effects + pool->effect_count, effects, count * sizeof *effects);
    }
    pool->effect_count += count;
    pool->count++;
    next->u = uncertainty_of_last(pool, effects, count);
}

te_status te_observations_add(te_observations *pool, const te_observation *observation,
                              const te_effect *effects, size_t count)
{
    te_observation *next = te_observations_next(pool, count);
    if (next == NULL) {
        return TE_ERR_MEMORY;
    }
    *next = *observation;
    te_observations_keep(pool, effects, count);
    return TE_OK;
}

te_status te_observations_copy(te_observations *pool, const te_observations *from, uint32_t first,
                               uint32_t end)
{
    for (uint32_t i = first; i < end; i++) {
        const te_observation *x = &from->items[i];
        te_observation *next = te_observations_next(pool, x->effect_count);
        if (next == NULL) {
            return TE_ERR_MEMORY;
        }
        *next = *x;
        next->first_effect = (uint32_t)pool->effect_count;
        if (x->effect_count > 0) {
            memcpy(pool->effects + pool->effect_count, from->effects + x->first_effect,
                   x->effect_count * sizeof *from->effects);
        }
        pool->effect_count += x->effect_count;
        pool->count++;
    }
    return TE_OK;
}

void te_observations_free(te_observations *pool)
{
    if (pool == NULL) {
        return;
    }
    free(pool->items);
    free(pool->effects);
    free(pool->work.block);
    *pool = (te_observations){0};
}

te_form te_form_make(uint32_t observation, double coefficient)
{
    te_form form = {.count = 0};
    te_form_set(&form, observation, coefficient);
    return form;
}

void te_form_set(te_form *form, uint32_t observation, double coefficient)
{
    form->count = 1;
    form->observation[0] = observation;
    form->coefficient[0] = coefficient;
}

te_status te_form_add_term(te_form *form, uint32_t observation, double coefficient)
{
    size_t at = 0;
    while (at < form->count && form->observation[at] != observation) {
        at++;
    }
    if (at == TE_FORM_TERMS) {
        return TE_ERR_FULL;
    }
    if (at == form->count) {
        form->observation[at] = observation;
        form->coefficient[at] = 0.0;
        form->count++;
    }
    form->coefficient[at] += coefficient;
    return TE_OK;
}

te_status te_form_add(te_form *sum, const te_form *a, const te_form *b)
{
    te_form result = *a;
    for (size_t i = 0; i < b->count; i++) {
        if (te_form_add_term(&result, b->observation[i], b->coefficient[i]) != TE_OK) {
            return TE_ERR_FULL;
        }
    }
    *sum = result;
    return TE_OK;
}

te_form te_form_scale(const te_form *form, double factor)
{
    te_form scaled = *form;
    for (size_t i = 0; i < scaled.count; i++) {
        scaled.coefficient[i] *= factor;
    }
    return scaled;
}

bool te_form_is_same(const te_form *a, const te_form *b)
{
    bool same = a->count == b->count;
    for (size_t i = 0; i < a->count && same; i++) {
        same = a->observation[i] == b->observation[i] &&
               fabs(a->coefficient[i] - b->coefficient[i]) <= 0.0;
    }
    return same;
}

double te_without_dust(double value)
{
    const double dust = 1e-12;
    return fabs(value) <= dust ? 0.0 : value;
}

double te_form_value(const te_observations *pool, const te_form *form)
{
    double value = 0.0;
    for (size_t i = 0; i < form->count; i++) {
        value += form->coefficient[i] * pool->items[form->observation[i]].value;
    }
    return value;
}

/* Sum over the terms of the effect of one source, weighted by the coefficients. */
static double effect_of(const te_observations *pool, const te_form *form, te_source source)
{
    double sum = 0.0;
    for (size_t i = 0; i < form->count; i++) {
        const te_observation *x = &pool->items[form->observation[i]];
        for (uint32_t j = 0; j < x->effect_count; j++) {
            const te_effect *effect = &pool->effects[x->first_effect + j];
            sum += effect->source == source ? form->coefficient[i] * effect->effect : 0.0;
        }
    }
    return sum;
}

/* True when the source does not stand in the form before effect j of term i: each source is taken
 * at its first appearance, so that no list of sources has to be kept. */
static bool appears_first(const te_observations *pool, const te_form *form, size_t i, uint32_t j)
{
    te_source source = pool->effects[pool->items[form->observation[i]].first_effect + j].source;
    for (size_t k = 0; k <= i; k++) {
        const te_observation *x = &pool->items[form->observation[k]];
        uint32_t end = k == i ? j : x->effect_count;
        for (uint32_t l = 0; l < end; l++) {
            if (pool->effects[x->first_effect + l].source == source) {
                return false;
            }
        }
    }
    return true;
}

double te_form_covariance(const te_observations *pool, const te_form *a, const te_form *b)
{
    double sum = 0.0;
    for (size_t i = 0; i < a->count; i++) {
        const te_observation *x = &pool->items[a->observation[i]];
        for (size_t j = 0; j < b->count; j++) {
            if (a->observation[i] == b->observation[j]) {
                sum += a->coefficient[i] * b->coefficient[j] * x->u_own * x->u_own;
            }
        }
        for (uint32_t j = 0; j < x->effect_count; j++) {
            if (appears_first(pool, a, i, j)) {
                te_source source = pool->effects[x->first_effect + j].source;
                sum += effect_of(pool, a, source) * effect_of(pool, b, source);
            }
        }
    }
    return sum;
}

/* ---- the variance ---- */

/* A form's common sources, each once, with the form's effect of each; room for those of a few terms,
 * which have some six each. */
struct shares {
    te_effect effects[64];
    size_t end[TE_FORM_TERMS]; /* of each term: behind the sources that it is the first to have */
    size_t count;
};

/* Where a source stands among the shares; their count when it does not. Observations have their sources
 * in one order: where it is likely to stand is looked at first. */
static size_t find_share(const struct shares *shares, te_source source, size_t likely)
{
    if (likely < shares->count && shares->effects[likely].source == source) {
        return likely;
    }
    size_t at = 0;
    while (at < shares->count && shares->effects[at].source != source) {
        at++;
    }
    return at;
}

/* Sums a form's effects by source; false when they are too many. */
static bool sum_shares(struct shares *shares, const te_observations *pool, const te_form *form)
{
    shares->count = 0;
    for (size_t i = 0; i < form->count; i++) {
        const te_observation *x = &pool->items[form->observation[i]];
        size_t at = 0;
        if (x->effect_count > sizeof shares->effects / sizeof *shares->effects - shares->count) {
            return false;
        }
        for (uint32_t j = 0; j < x->effect_count; j++, at++) {
            const te_effect *effect = &pool->effects[x->first_effect + j];
            double share = form->coefficient[i] * effect->effect;
            at = find_share(shares, effect->source, at);
            if (at < shares->count) {
                shares->effects[at].effect += share;
            } else {
                shares->effects[shares->count++] = (te_effect){effect->source, share};
            }
        }
        shares->end[i] = shares->count;
    }
    return true;
}

double te_form_variance(const te_observations *pool, const te_form *form)
{
    struct shares shares;
    double sum = 0.0;
    size_t k = 0;
    if (!sum_shares(&shares, pool, form)) {
        return fmax(te_form_covariance(pool, form, form), 0.0);
    }
    for (size_t i = 0; i < form->count; i++) {
        double u = pool->items[form->observation[i]].u_own;
        sum += form->coefficient[i] * form->coefficient[i] * u * u;
        for (; k < shares.end[i]; k++) {
            sum += shares.effects[k].effect * shares.effects[k].effect;
        }
    }
    return fmax(sum, 0.0); /* also when it is no number */
}

double te_form_uncertainty(const te_observations *pool, const te_form *form)
{
    bool alone = form->count == 1 && !(form->coefficient[0] < 1.0 || form->coefficient[0] > 1.0);
    return alone ? pool->items[form->observation[0]].u : sqrt(te_form_variance(pool, form));
}

bool te_form_stated(const te_observations *pool, const te_form *form)
{
    for (size_t i = 0; i < form->count; i++) {
        if (!pool->items[form->observation[i]].stated) {
            return false;
        }
    }
    return true;
}

size_t te_form_explain(te_component *components, size_t capacity, const te_observations *pool,
                       const te_form *form)
{
    size_t count = 0;
    for (size_t i = 0; i < form->count; i++, count++) {
        const te_observation *x = &pool->items[form->observation[i]];
        if (count < capacity) {
            components[count] = (te_component){.own = true,
                                               .observation = form->observation[i],
                                               .effect = form->coefficient[i] * x->u_own};
        }
    }
    for (size_t i = 0; i < form->count; i++) {
        const te_observation *x = &pool->items[form->observation[i]];
        for (uint32_t j = 0; j < x->effect_count; j++) {
            te_source source = pool->effects[x->first_effect + j].source;
            if (!appears_first(pool, form, i, j)) {
                continue;
            }
            if (count < capacity) {
                components[count] = (te_component){.source = source,
                                                   .effect = effect_of(pool, form, source)};
            }
            count++;
        }
    }
    return count;
}
