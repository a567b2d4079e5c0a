/* SPDX-License-Identifier: GPL-3.0-or-later */
/* An inspection as it would be with other parts: the readings of the parts that stay, and for each new
 * part a reading of its size at every place that would be measured. */
#include <math.h>
#include <stdlib.h>

#include "rebuilding.h"
#include "record/vector.h"

static const double pi = 3.14159265358979323846;

/* One set while its observations are put together. */
struct supposing {
    const struct rebuilding *r;
    const struct choice *choice;
    struct bench *bench;
    const te_observations *base;
    te_observations *drafts; /* not yet in the order of an inspection */
    te_supposed supposed;
    te_status status;
};

void te_bench_free(struct bench *bench)
{
    te_observations_free(&bench->drafts);
    free(bench->order);
    free(bench->components);
    free(bench->effects);
    *bench = (struct bench){.order = NULL};
}

static const te_candidate *part_for(const struct supposing *s, te_kind kind)
{
    return kind < TE_KIND_OTHER ? s->choice->of[kind] : NULL;
}

/* ---- drafts ---- */

static void add(struct supposing *s, const te_observation *x, const te_effect *effects,
                size_t count)
{
    if (s->status == TE_OK) {
        s->status = te_observations_add(s->drafts, x, effects, count);
    }
}

/* What an observation has in common with others; a pool without any effect has no array. */
static const te_effect *effects_of(const te_observations *pool, const te_observation *x)
{
    return x->effect_count == 0 ? NULL : &pool->effects[x->first_effect];
}

static void keep(struct supposing *s, const te_observation *x)
{
    add(s, x, effects_of(s->base, x), x->effect_count);
}

/* An observation that nobody took. */
static te_observation blank(te_quantity feature, te_id item, te_id part)
{
    return (te_observation){.feature = feature,
                            .item = item,
                            .part = part,
                            .go = NAN,
                            .no_go = NAN,
                            .zero = NAN,
                            .position = NAN,
                            .direction = NAN,
                            .repeats = 1,
                            .reading = TE_NO_INDEX};
}

/* A size is one error common to all its places. */
static te_source size_source(te_quantity feature, te_id item)
{
    return te_source_make(TE_SOURCE_OTHER, (uint64_t)feature << 32 | item);
}

static bool alike(double a, double b)
{
    return (isnan(a) && isnan(b)) || fabs(a - b) <= 0.0;
}

/* ---- a value that rests on readings that stay ---- */

static bool reserve_components(struct supposing *s, size_t count)
{
    struct bench *b = s->bench;
    bool room = te_vector_reserve(&b->components, &b->component_capacity, count,
                                  sizeof *b->components) &&
                te_vector_reserve(&b->effects, &b->effect_capacity, count + 2, sizeof *b->effects);
    s->status = room ? s->status : TE_ERR_MEMORY;
    return room;
}

/* Adds x plus a form over the readings that stay: what the readings have in common with others they
 * keep. Effects of new sizes stand in `more`. */
static void add_derived(struct supposing *s, te_observation *x, const te_form *form,
                        const te_effect *more, size_t more_count)
{
    size_t count = te_form_explain(NULL, 0, s->base, form);
    if (!reserve_components(s, count)) {
        return;
    }
    (void)te_form_explain(s->bench->components, count, s->base, form);
    double own = x->u_own * x->u_own;
    size_t effects = 0;
    for (size_t i = 0; i < count; i++) {
        const te_component *c = &s->bench->components[i];
        if (c->own) {
            own += c->effect * c->effect;
        } else {
            s->bench->effects[effects++] = (te_effect){c->source, c->effect};
        }
    }
    for (size_t i = 0; i < more_count; i++) {
        s->bench->effects[effects++] = more[i];
    }
    x->value += te_form_value(s->base, form);
    x->u_own = sqrt(own);
    x->stated = x->stated && te_form_stated(s->base, form);
    add(s, x, s->bench->effects, effects);
}

/* ---- end gaps ---- */

/* The gap of a new ring, less what it rests on the bore; false when nothing tells it. */
static bool new_gap(te_observation *x, struct size *gap, const struct supposing *s, te_id item)
{
    double middle = te_new_bore_middle(s->r, te_choice_oversize(s->r, s->choice, TE_KIND_RING_SET));
    bool known = te_new_size(gap, s->r, s->choice, TE_KIND_RING_SET, TE_Q_END_GAP, item);
    *x = blank(TE_Q_END_GAP, item, s->supposed.inspection.part[TE_KIND_RING_SET]);
    x->value = gap->value - pi * middle;
    x->stated = gap->stated;
    return known && !isnan(middle);
}

/* The forms pi times the bore at a height, or where it was not gauged there of its ends: then the gap
 * is given at least and at most. */
static size_t bore_forms(te_form forms[2], const te_observations *base, double position,
                         double sign)
{
    struct bore_there there;
    te_bore_at(&there, base, position);
    if (!there.any) {
        return 0;
    }
    if (there.gauged) {
        forms[0] = te_form_scale(&there.form, sign * pi);
        return 1;
    }
    forms[0] = te_form_make(there.least, sign * pi);
    forms[1] = te_form_make(there.most, sign * pi);
    return 2;
}

/* A new ring in the cylinder that stays. */
static void gap_in_old_bore(struct supposing *s, te_id item, double position)
{
    te_observation x;
    struct size gap;
    te_form forms[2];
    size_t count = bore_forms(forms, s->base, position, 1.0);
    if (count == 0 || !new_gap(&x, &gap, s, item)) {
        return;
    }
    const te_effect effect = {size_source(TE_Q_END_GAP, item), gap.u};
    x.position = position;
    for (size_t i = 0; i < count; i++) {
        te_observation one = x;
        add_derived(s, &one, &forms[i], &effect, 1);
    }
}

/* A new ring in a new cylinder. */
static void gap_in_new_bore(struct supposing *s, te_id item, double position)
{
    te_observation x;
    struct size gap;
    struct size bore;
    if (!new_gap(&x, &gap, s, item) ||
        !te_new_size(&bore, s->r, s->choice, TE_KIND_CYLINDER, TE_Q_BORE, 0)) {
        return;
    }
    const te_effect effects[] = {{size_source(TE_Q_END_GAP, item), gap.u},
                                 {size_source(TE_Q_BORE, 0), pi * bore.u}};
    x.position = position;
    x.value += pi * bore.value;
    x.stated = x.stated && bore.stated;
    add(s, &x, effects, 2);
}

/* A ring that stays, in a new cylinder: its gap as measured, less the bore that it was measured in. */
static void old_gap_in_new_bore(struct supposing *s, uint32_t at)
{
    const te_observation *gap = &s->base->items[at];
    te_form forms[2];
    struct size bore;
    size_t count = bore_forms(forms, s->base, gap->position, -1.0);
    if (!te_new_size(&bore, s->r, s->choice, TE_KIND_CYLINDER, TE_Q_BORE, 0)) {
        return;
    }
    const te_effect effect = {size_source(TE_Q_BORE, 0), pi * bore.u};
    te_form own = te_form_make(at, 1.0);
    for (size_t i = 0; i < count && s->status == TE_OK; i++) {
        te_observation x = blank(TE_Q_END_GAP, gap->item, gap->part);
        te_form sum;
        double shift = te_form_value(s->base, &forms[i]) + pi * bore.value;
        x.position = gap->position;
        x.value = pi * bore.value;
        x.stated = bore.stated;
        x.go = gap->go + shift;
        x.no_go = gap->no_go + shift;
        s->status = te_form_add(&sum, &own, &forms[i]);
        if (s->status == TE_OK) {
            add_derived(s, &x, &sum, &effect, 1);
        }
    }
}

/* ---- side clearance ---- */

/* One of ring and groove is new: how much of the wear was whose is not known. The clearance then lies
 * between as new and as measured, like a value between two leaves. */
static void half_new_side_clearance(struct supposing *s, const te_observation *measured)
{
    struct size size = {.stated = false};
    te_limit limit;
    double least = NAN;
    double most = NAN;
    const te_candidate *rings = part_for(s, TE_KIND_RING_SET);
    bool known = rings != NULL && te_new_size(&size, s->r, s->choice, TE_KIND_RING_SET,
                                              TE_Q_SIDE_CLEARANCE, measured->item);
    if (known && size.stated) {
        least = size.least;
        most = size.most;
    } else if (!te_shop_oversize_limit(&limit, s->r->shop, s->r->model_index, TE_Q_SIDE_CLEARANCE,
                                       measured->item, 0.0) ||
               !te_limit_as_new(&least, &most, &limit)) {
        least = 0.0;
        most = NAN;
    }
    double widest = isnan(measured->no_go) ? measured->value : measured->no_go;
    te_observation x = *measured;
    x.reading = TE_NO_INDEX;
    x.part = s->supposed.inspection.part[TE_KIND_RING_SET];
    x.go = fmin(least, widest);
    x.no_go = fmax(most, widest); /* of one that is not a number the other */
    x.value = x.go + (x.no_go - x.go) / 2.0;
    x.u_own = (x.no_go - x.go) / sqrt(12.0);
    x.stated = measured->stated || most >= widest; /* else it rests on what is not stated */
    add(s, &x, NULL, 0);
}

/* ---- new parts ---- */

/* A feature of a part to be fitted, with one of its items. */
struct feature_of {
    te_kind kind;
    te_quantity feature;
    te_id item;
};

/* Adds one reading of a new part at a place; of two alike places one. */
static void add_place(struct supposing *s, const struct feature_of *f, const struct size *size,
                      double position, double direction)
{
    te_observation x = blank(f->feature, f->item, s->supposed.inspection.part[f->kind]);
    for (size_t i = 0; i < s->drafts->count; i++) {
        const te_observation *other = &s->drafts->items[i];
        if (other->feature == x.feature && other->item == x.item && other->part == x.part &&
            alike(other->position, position) && alike(other->direction, direction)) {
            return;
        }
    }
    x.position = position;
    x.direction = direction;
    if (f->feature == TE_Q_END_GAP) {
        if (part_for(s, TE_KIND_CYLINDER) != NULL) {
            gap_in_new_bore(s, f->item, position);
        } else {
            gap_in_old_bore(s, f->item, position);
        }
        return;
    }
    const te_effect effect = {size_source(f->feature, f->item), size->u};
    x.value = size->value;
    x.stated = size->stated;
    add(s, &x, &effect, 1);
}

/* The places of plan.csv; without any those that were measured; without any one that is nowhere. */
static void add_places(struct supposing *s, const struct feature_of *f)
{
    struct size size;
    bool planned = false;
    bool measured = false;
    const te_model *model = s->r->model;
    if (!te_new_size(&size, s->r, s->choice, f->kind, f->feature, f->item)) {
        return;
    }
    for (uint32_t i = 0; i < model->plan_count; i++) {
        const te_plan *plan = &s->r->tables->plan[model->first_plan + i];
        if (plan->feature == f->feature && (plan->item == 0 || plan->item == f->item)) {
            add_place(s, f, &size, plan->position, plan->direction);
            planned = true;
        }
    }
    for (size_t i = 0; i < s->base->count && !planned; i++) {
        const te_observation *x = &s->base->items[i];
        if (x->feature == f->feature && x->item == f->item) {
            add_place(s, f, &size, x->position, x->direction);
            measured = true;
        }
    }
    if (!planned && !measured) {
        add_place(s, f, &size, NAN, NAN);
    }
}

static bool has_draft(const struct supposing *s, const struct feature_of *f)
{
    te_id part = s->supposed.inspection.part[f->kind];
    for (size_t i = 0; i < s->drafts->count; i++) {
        const te_observation *x = &s->drafts->items[i];
        if (x->feature == f->feature && x->item == f->item && x->part == part) {
            return true;
        }
    }
    return false;
}

/* Adds the item that a row names; true when it names one that the feature has. */
static bool add_item(struct supposing *s, const struct feature_of *f, te_quantity named, te_id item)
{
    struct feature_of one = *f;
    if (named == TE_Q_NONE || item == 0 || !te_quantity_same_items(named, f->feature)) {
        return false;
    }
    one.item = item;
    if (!has_draft(s, &one)) {
        add_places(s, &one);
    }
    return true;
}

/* The items that limits, plan, readings or the spare name; if none, one without a name. */
static void add_feature(struct supposing *s, te_kind kind, te_quantity feature)
{
    struct feature_of f = {kind, feature, 0};
    const te_tables *tables = s->r->tables;
    const te_model *model = s->r->model;
    bool any = false;
    if (te_quantity_info_of(feature)->items == TE_ITEMS_NONE) {
        add_places(s, &f);
        return;
    }
    for (uint32_t i = 0; i < model->limit_count; i++) {
        const te_limit *limit = &tables->limits[model->first_limit + i];
        any = add_item(s, &f, limit->quantity, limit->item) || any;
    }
    for (uint32_t i = 0; i < model->plan_count; i++) {
        const te_plan *plan = &tables->plan[model->first_plan + i];
        any = add_item(s, &f, plan->feature, plan->item) || any;
    }
    for (size_t i = 0; i < s->base->count; i++) {
        any = add_item(s, &f, s->base->items[i].feature, s->base->items[i].item) || any;
    }
    for (size_t i = 0; i < tables->spare_count; i++) {
        const te_spare *row = &tables->spares[i];
        bool mine = row->id == s->choice->of[kind]->part && row->model == s->r->model_index;
        any = (mine && add_item(s, &f, row->feature, row->item)) || any;
    }
    if (!any) {
        add_places(s, &f);
    }
}

/* A feature of the user's own is a part's when its readings or the spare's rows say so. */
static bool is_own_of(const struct supposing *s, te_kind kind, te_quantity feature)
{
    for (size_t i = 0; i < s->base->count; i++) {
        const te_observation *x = &s->base->items[i];
        if (x->feature == feature && te_inspection_kind_of(s->r->inspection, x->part) == kind) {
            return true;
        }
    }
    for (size_t i = 0; i < s->r->tables->spare_count; i++) {
        const te_spare *row = &s->r->tables->spares[i];
        if (row->id == s->choice->of[kind]->part && row->model == s->r->model_index &&
            row->feature == feature) {
            return true;
        }
    }
    return false;
}

static void add_new_part(struct supposing *s, te_kind kind)
{
    for (te_quantity q = 0; q < TE_Q_OWN; q++) {
        const te_quantity_info *info = te_quantity_info_of(q);
        bool half_new = q == TE_Q_SIDE_CLEARANCE && part_for(s, TE_KIND_PISTON) == NULL;
        if ((info->traits & TE_TRAIT_READ) != 0 && info->kind == kind && !half_new) {
            add_feature(s, kind, q);
        }
    }
    bool bored = s->choice->of[kind]->rebored; /* all but its bore stays as it was */
    for (uint32_t i = 0; i < s->r->tables->own_count && !bored; i++) {
        if (is_own_of(s, kind, TE_Q_OWN + i)) {
            add_feature(s, kind, TE_Q_OWN + i);
        }
    }
}

/* ---- readings that stay ---- */

static void take_reading(struct supposing *s, uint32_t at)
{
    const te_observation *x = &s->base->items[at];
    bool rings = part_for(s, TE_KIND_RING_SET) != NULL;
    bool piston = part_for(s, TE_KIND_PISTON) != NULL;
    if (x->feature == TE_Q_SIDE_CLEARANCE && rings != piston) {
        half_new_side_clearance(s, x);
        return;
    }
    te_kind kind = x->feature < TE_Q_OWN ? te_quantity_info_of(x->feature)->kind
                                         : te_inspection_kind_of(s->r->inspection, x->part);
    if (x->feature >= TE_Q_OWN && part_for(s, kind) != NULL && part_for(s, kind)->rebored) {
        te_observation same = *x; /* of the part that is bored, under its new name */
        same.part = s->supposed.inspection.part[kind];
        add(s, &same, effects_of(s->base, x), x->effect_count);
        return;
    }
    if (part_for(s, kind) != NULL || (x->feature == TE_Q_SIDE_CLEARANCE && piston)) {
        return;
    }
    if (x->feature == TE_Q_END_GAP && part_for(s, TE_KIND_CYLINDER) != NULL) {
        old_gap_in_new_bore(s, at);
        return;
    }
    keep(s, x);
}

/* ---- the order of an inspection ---- */

static int compare_places(double a, double b)
{
    if (isnan(a) || isnan(b)) {
        return (isnan(a) != 0) - (isnan(b) != 0);
    }
    return (a > b) - (a < b);
}

static int compare_drafts(const te_observation *a, const te_observation *b)
{
    const int orders[] = {
        (a->feature > b->feature) - (a->feature < b->feature),
        (a->item > b->item) - (a->item < b->item),
        (a->part > b->part) - (a->part < b->part),
        compare_places(a->position, b->position),
        compare_places(a->direction, b->direction),
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
        s->status = te_observations_add(pool, x, effects_of(s->drafts, x), x->effect_count);
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
    te_observation x = blank(quantity, 0, s->supposed.inspection.part[kind]);
    const te_effect effect = {size_source(quantity, 0), size.u};
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
        if (form && part_for(s, info->kind) != NULL) {
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
            add_new_part(&s, (te_kind)kind);
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
