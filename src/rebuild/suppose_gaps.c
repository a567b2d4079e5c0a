/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What rests on two parts of which one may be new: end gaps in a bore, side clearances in a groove. */
#include <math.h>

#include "record/vector.h"
#include "supposing.h"

static const double pi = 3.14159265358979323846;

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
    te_draft_add(s, x, s->bench->effects, effects);
}

/* ---- end gaps ---- */

/* A place at which a ring's gap is measured. */
struct gap_place {
    te_id item;
    double position;
    double direction;
};

static te_observation gap_at(const struct gap_place *place, te_id part)
{
    te_observation x = te_observation_untaken(TE_Q_END_GAP, place->item, part);
    x.position = place->position;
    x.direction = place->direction;
    return x;
}

/* The gap of a new ring, less what it rests on the bore; false when nothing tells it. */
static bool new_gap(te_observation *x, struct size *gap, const struct supposing *s,
                    const struct gap_place *place)
{
    double middle = te_new_bore_middle(s->r, te_choice_oversize(s->r, s->choice, TE_KIND_RING_SET));
    bool known = te_new_size(gap, s->r, s->choice, TE_KIND_RING_SET, TE_Q_END_GAP, place->item);
    *x = gap_at(place, s->supposed.inspection.part[TE_KIND_RING_SET]);
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
static void gap_in_old_bore(struct supposing *s, const struct gap_place *place)
{
    te_observation x;
    struct size gap;
    te_form forms[2];
    size_t count = bore_forms(forms, s->base, place->position, 1.0);
    if (count == 0 || !new_gap(&x, &gap, s, place)) {
        return;
    }
    const te_effect effect = {te_size_source(TE_Q_END_GAP, place->item), gap.u};
    for (size_t i = 0; i < count; i++) {
        te_observation one = x;
        add_derived(s, &one, &forms[i], &effect, 1);
    }
}

/* A new ring in a new cylinder. */
static void gap_in_new_bore(struct supposing *s, const struct gap_place *place)
{
    te_observation x;
    struct size gap;
    struct size bore;
    if (!new_gap(&x, &gap, s, place) ||
        !te_new_size(&bore, s->r, s->choice, TE_KIND_CYLINDER, TE_Q_BORE, 0)) {
        return;
    }
    const te_effect effects[] = {{te_size_source(TE_Q_END_GAP, place->item), gap.u},
                                 {te_size_source(TE_Q_BORE, 0), pi * bore.u}};
    x.value += pi * bore.value;
    x.stated = x.stated && bore.stated;
    te_draft_add(s, &x, effects, 2);
}

void te_draft_new_gap(struct supposing *s, te_id item, double position, double direction)
{
    const struct gap_place place = {item, position, direction};
    if (te_part_for(s, TE_KIND_CYLINDER) != NULL) {
        gap_in_new_bore(s, &place);
    } else {
        gap_in_old_bore(s, &place);
    }
}

void te_draft_old_gap(struct supposing *s, uint32_t at)
{
    const te_observation *gap = &s->base->items[at];
    te_form forms[2];
    struct size bore;
    size_t count = bore_forms(forms, s->base, gap->position, -1.0);
    if (!te_new_size(&bore, s->r, s->choice, TE_KIND_CYLINDER, TE_Q_BORE, 0)) {
        return;
    }
    const te_effect effect = {te_size_source(TE_Q_BORE, 0), pi * bore.u};
    te_form own = te_form_make(at, 1.0);
    const struct gap_place place = {gap->item, gap->position, gap->direction};
    for (size_t i = 0; i < count && s->status == TE_OK; i++) {
        te_observation x = gap_at(&place, gap->part);
        te_form sum;
        double shift = te_form_value(s->base, &forms[i]) + pi * bore.value;
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

void te_draft_half_new(struct supposing *s, const te_observation *measured)
{
    struct size size = {.stated = false};
    te_limit limit;
    double least = NAN;
    double most = NAN;
    const te_candidate *rings = te_part_for(s, TE_KIND_RING_SET);
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
    double tightest = isnan(measured->go) ? measured->value : measured->go;
    double widest = isnan(measured->no_go) ? measured->value : measured->no_go;
    te_observation x = *measured;
    x.reading = TE_NO_INDEX;
    x.part = s->supposed.inspection.part[TE_KIND_RING_SET];
    x.go = fmin(least, tightest);
    x.no_go = fmax(most, widest); /* of one that is not a number the other */
    x.value = x.go + (x.no_go - x.go) / 2.0;
    x.u_own = (x.no_go - x.go) / sqrt(12.0);
    /* Else it rests on what is not stated. */
    x.stated = measured->stated || (least <= tightest && most >= widest);
    te_draft_add(s, &x, NULL, 0);
}
