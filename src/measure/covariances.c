/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The covariances of many forms. Their sources are numbered, so that a pair of forms is a sum over the
 * sources of one with the effects of the other at hand by number. */
#include <string.h>

#include "record/hash.h"
#include "record/vector.h"
#include "topend/form.h"

/* A form's effect of one source. */
struct share {
    double effect;
    uint32_t source; /* its number */
};

/* Of a form: which shares are its own, in the order in which the sources first stand in its terms. */
struct shares_of {
    size_t first;
    size_t end[TE_FORM_TERMS]; /* of each term: behind those that it is the first to have */
};

/* While they are numbered. Effects are no more than shares, nor those than sources. */
struct numbering {
    struct share *shares;
    size_t share_count;
    te_source *sources; /* by number */
    size_t *last;       /* of each source: behind its last share */
    double *row;        /* of each source: the effect on the form at hand */
    uint32_t source_count;
    struct shares_of *of;
    uint32_t *slots; /* a hash table: number + 1, 0 for none */
    unsigned slot_bits;
};

static size_t count_effects(const te_observations *pool, const te_form *const *forms, size_t count)
{
    size_t effects = 0;
    for (size_t i = 0; i < count; i++) {
        for (size_t j = 0; j < forms[i]->count; j++) {
            effects += pool->items[forms[i]->observation[j]].effect_count;
        }
    }
    return effects;
}

/* The next piece of a block. */
static void *take(char **block, size_t size)
{
    char *taken = *block;
    *block += size;
    return taken;
}

static bool make_room(struct numbering *n, te_work *work, size_t effects, size_t count)
{
    n->slot_bits = te_hash_slot_bits(effects);
    size_t slots = ((size_t)1 << n->slot_bits) * sizeof *n->slots;
    size_t size = effects *
                      (sizeof *n->shares + sizeof *n->sources + sizeof *n->last + sizeof *n->row) +
                  count * sizeof *n->of + slots;
    if (!te_vector_reserve(&work->block, &work->capacity, size, 1)) {
        return false;
    }
    char *block = work->block; /* the widest members first, so that all are aligned */
    n->shares = take(&block, effects * sizeof *n->shares);
    n->sources = take(&block, effects * sizeof *n->sources);
    n->row = take(&block, effects * sizeof *n->row);
    n->last = take(&block, effects * sizeof *n->last);
    n->of = take(&block, count * sizeof *n->of);
    n->slots = take(&block, slots);
    memset(n->slots, 0, slots);
    return true;
}

/* The number of a source; a new one is the next. */
static uint32_t number_of(struct numbering *n, te_source source)
{
    size_t mask = ((size_t)1 << n->slot_bits) - 1;
    size_t slot = (size_t)(source * UINT64_C(0x9e3779b97f4a7c15) >> (64 - n->slot_bits));
    while (n->slots[slot] != 0 && n->sources[n->slots[slot] - 1] != source) {
        slot = (slot + 1) & mask;
    }
    if (n->slots[slot] == 0) {
        n->sources[n->source_count] = source;
        n->last[n->source_count] = 0;
        n->row[n->source_count] = 0.0;
        n->slots[slot] = ++n->source_count;
    }
    return n->slots[slot] - 1;
}

/* Lists the shares of a form: each source once. */
static void list_shares(struct numbering *n, struct shares_of *of, const te_observations *pool,
                        const te_form *form)
{
    of->first = n->share_count;
    for (size_t i = 0; i < form->count; i++) {
        const te_observation *x = &pool->items[form->observation[i]];
        for (uint32_t j = 0; j < x->effect_count; j++) {
            const te_effect *effect = &pool->effects[x->first_effect + j];
            double share = form->coefficient[i] * effect->effect;
            uint32_t source = number_of(n, effect->source);
            if (n->last[source] > of->first) { /* of this form */
                n->shares[n->last[source] - 1].effect += share;
            } else {
                n->shares[n->share_count++] = (struct share){share, source};
                n->last[source] = n->share_count;
            }
        }
        of->end[i] = n->share_count;
    }
}

/* The sum of te_form_covariance, in its order, with the row of effects on b. */
static double covariance(const struct numbering *n, const te_observations *pool, const te_form *a,
                         const struct shares_of *of_a, const te_form *b)
{
    double sum = 0.0;
    size_t k = of_a->first;
    for (size_t i = 0; i < a->count; i++) {
        for (size_t j = 0; j < b->count; j++) {
            if (a->observation[i] == b->observation[j]) {
                double u = pool->items[a->observation[i]].u_own;
                sum += a->coefficient[i] * b->coefficient[j] * u * u;
            }
        }
        for (; k < of_a->end[i]; k++) {
            sum += n->shares[k].effect * n->row[n->shares[k].source];
        }
    }
    return sum;
}

te_status te_form_covariances(double *matrix, te_work *work, const te_observations *pool,
                              const te_form *const *forms, size_t count)
{
    struct numbering n = {.share_count = 0};
    if (!make_room(&n, work, count_effects(pool, forms, count), count)) {
        return TE_ERR_MEMORY;
    }
    for (size_t i = 0; i < count; i++) {
        list_shares(&n, &n.of[i], pool, forms[i]);
    }
    for (size_t j = 0; j < count; j++) {
        size_t end = j + 1 < count ? n.of[j + 1].first : n.share_count;
        for (size_t k = n.of[j].first; k < end; k++) {
            n.row[n.shares[k].source] = n.shares[k].effect;
        }
        for (size_t i = j; i < count; i++) {
            double c = covariance(&n, pool, forms[i], &n.of[i], forms[j]);
            matrix[i * count + j] = c;
            matrix[j * count + i] = c;
        }
        for (size_t k = n.of[j].first; k < end; k++) {
            n.row[n.shares[k].source] = 0.0;
        }
    }
    return TE_OK;
}
