/* SPDX-License-Identifier: GPL-3.0-or-later */
/* An inspection as it would be with other parts: the readings of the parts that stay, and for each new
 * part a reading of its size at every place that would be measured. */
#include <math.h>
#include <stdlib.h>

#include "record/vector.h"
#include "supposing.h"

void te_bench_free(struct bench *bench)
{
    te_observations_free(&bench->drafts);
    free(bench->order);
    free(bench->components);
    free(bench->effects);
    *bench = (struct bench){.order = NULL};
}

const te_candidate *te_part_for(const struct supposing *s, te_kind kind)
{
    return kind < TE_KIND_OTHER ? s->choice->of[kind] : NULL;
}

/* ---- drafts ---- */

void te_draft_add(struct supposing *s, const te_observation *x, const te_effect *effects,
                  size_t count)
{
    if (s->status == TE_OK) {
        s->status = te_observations_add(s->drafts, x, effects, count);
    }
}

/* What an observation has in common with others; a pool without any effect has no array. */
const te_effect *te_effects_of(const te_observations *pool, const te_observation *x)
{
    return x->effect_count == 0 ? NULL : &pool->effects[x->first_effect];
}

static void keep(struct supposing *s, const te_observation *x)
{
    te_draft_add(s, x, te_effects_of(s->base, x), x->effect_count);
}

/* A size is one error common to all its places. */
te_source te_size_source(te_quantity feature, te_id item)
{
    return te_source_make(TE_SOURCE_OTHER, (uint64_t)feature << 32 | item);
}

/* ---- readings that stay ---- */

static void take_reading(struct supposing *s, uint32_t at)
{
    const te_observation *x = &s->base->items[at];
    bool rings = te_part_for(s, TE_KIND_RING_SET) != NULL;
    bool piston = te_part_for(s, TE_KIND_PISTON) != NULL;
    if (x->feature == TE_Q_SIDE_CLEARANCE && rings != piston) {
        te_draft_half_new(s, x);
        return;
    }
    te_kind kind = x->feature < TE_Q_OWN ? te_quantity_info_of(x->feature)->kind
                                         : te_inspection_kind_of(s->r->inspection, x->part);
    const te_candidate *part = te_part_for(s, kind);
    if (x->feature >= TE_Q_OWN && part != NULL && part->rebored) {
        te_observation same = *x; /* of the part that is bored, under its new name */
        same.part = s->supposed.inspection.part[kind];
        te_draft_add(s, &same, te_effects_of(s->base, x), x->effect_count);
        return;
    }
    if (part != NULL || (x->feature == TE_Q_SIDE_CLEARANCE && piston)) {
        return;
    }
    if (x->feature == TE_Q_END_GAP && te_part_for(s, TE_KIND_CYLINDER) != NULL) {
        te_draft_old_gap(s, at);
        return;
    }
    keep(s, x);
}

/* ---- the order of an inspection ---- */

static int compare_drafts(const te_observation *a, const te_observation *b)
{
    const int orders[] = {
        (a->feature > b->feature) - (a->feature < b->feature),
        (a->item > b->item) - (a->item < b->item),
        (a->part > b->part) - (a->part < b->part),
        te_number_order(a->position, b->position),
        te_number_order(a->direction, b->direction),
    };
    for (size_t i = 0; i < sizeof orders / sizeof *orders; i++) {
        if (orders[i] != 0) {
            return orders[i];
        }
    }
    return 0;
}

/* Copies the drafts in the order in which te_observe gives them. They are nearly in order already:
 * the readings that stay are. */
static void copy_in_order(struct supposing *s, te_observations *pool)
{
    size_t count = s->drafts->count;
    struct bench *b = s->bench;
    if (s->status != TE_OK ||
        !te_vector_reserve(&b->order, &b->order_capacity, count + 1, sizeof *b->order)) {
        s->status = s->status != TE_OK ? s->status : TE_ERR_MEMORY;
        return;
    }
    const te_observation *items = s->drafts->items;
    for (size_t i = 0; i < count; i++) {
        size_t at = i;
        for (; at > 0 && compare_drafts(&items[b->order[at - 1]], &items[i]) > 0; at--) {
            b->order[at] = b->order[at - 1];
        }
        b->order[at] = (uint32_t)i;
    }
    for (size_t i = 0; i < count && s->status == TE_OK; i++) {
        const te_observation *x = &items[b->order[i]];
        s->status = te_observations_add(pool, x, te_effects_of(s->drafts, x), x->effect_count);
    }
}

/* ---- what a new cylinder is not measured for ---- */

/* The form of a new part is not a size of it: it is what the as-new limits say, as at the beginning of
 * a series. */
static void suppose_form(struct supposing *s, te_assessment *out, te_quantity quantity)
{
    struct size size;
    te_measured *measured = NULL;
    te_kind kind = te_quantity_info_of(quantity)->kind;
    te_quantities *list = &out->quantities;
    if (s->status != TE_OK || !te_new_size(&size, s->r, s->choice, kind, quantity, 0)) {
        return;
    }
    te_observation x = te_observation_untaken(quantity, 0, s->supposed.inspection.part[kind]);
    const te_effect effect = {te_size_source(quantity, 0), size.u};
    x.value = size.value;
    x.stated = size.stated;
    s->status = te_observations_add(&out->pool, &x, &effect, 1);
    for (size_t i = 0; i < list->count; i++) {
        measured = list->items[i].quantity == quantity ? &list->items[i] : measured;
    }
    if (s->status == TE_OK && measured == NULL) {
        if (!te_vector_reserve(&list->items, &list->capacity, list->count + 1,
                               sizeof *list->items)) {
            s->status = TE_ERR_MEMORY;
            return;
        }
        measured = &list->items[list->count++];
        *measured = (te_measured){
            .quantity = quantity, .part = x.part, .kind = kind, .second_kind = TE_KIND_NONE};
    }
    if (s->status == TE_OK) {
        measured->low = te_form_make((uint32_t)(out->pool.count - 1), 1.0);
        measured->high = measured->low;
    }
}

static void suppose_forms(struct supposing *s, te_assessment *out)
{
    for (te_quantity q = 0; q < TE_Q_OWN; q++) {
        const te_quantity_info *info = te_quantity_info_of(q);
        bool form = (info->traits & TE_TRAIT_READ) == 0 && info->second_kind == TE_KIND_NONE;
        if (form && te_part_for(s, info->kind) != NULL) {
            suppose_form(s, out, q);
        }
    }
}

/* ---- the set ---- */

static void fit_parts(struct supposing *s)
{
    s->supposed.inspection = *s->r->inspection;
    for (int kind = 0; kind < KINDS; kind++) {
        const te_candidate *part = s->choice->of[kind];
        if (part != NULL) {
            s->supposed.inspection.part[kind] = part->part;
            s->supposed.replaced |= 1U << kind;
            s->supposed.worked_on |= part->rebored ? 1U << kind : 0;
            s->supposed.oversize[kind] = te_choice_oversize(s->r, s->choice, (te_kind)kind);
        }
    }
}

te_status te_suppose(te_assessment *assessment, struct bench *bench, const struct rebuilding *r,
                     const struct choice *choice)
{
    struct supposing s = {.r = r,
                          .choice = choice,
                          .bench = bench,
                          .base = &r->options->base.pool,
                          .drafts = &bench->drafts};
    bench->drafts.count = 0;
    bench->drafts.effect_count = 0;
    assessment->inspection = r->options->inspection;
    assessment->pool.count = 0;
    assessment->pool.effect_count = 0;
    assessment->quantities.count = 0;
    fit_parts(&s);
    for (uint32_t i = 0; i < s.base->count; i++) {
        take_reading(&s, i);
    }
    for (int kind = 0; kind < KINDS; kind++) {
        if (choice->of[kind] != NULL) {
            te_draft_part(&s, (te_kind)kind);
        }
    }
    copy_in_order(&s, &assessment->pool);
    if (s.status == TE_OK) {
        s.status = te_quantities_make(&assessment->quantities, &assessment->pool, 0, r->shop,
                                      &s.supposed.inspection);
    }
    suppose_forms(&s, assessment);
    bool damaged = r->problems != NULL && r->problems->touches_all;
    return s.status != TE_OK ? s.status
                             : te_assess_supposed(assessment, r->shop, &s.supposed, damaged);
}
