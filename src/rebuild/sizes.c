/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Sizes of new parts: of the spare, else of the as-new limits. */
#include <math.h>

#include "rebuilding.h"

const double te_same_length = 1e-9;

double te_choice_oversize(const struct rebuilding *r, const struct choice *choice, te_kind kind)
{
    const te_candidate *part = choice->of[kind];
    const te_candidate *cylinder = choice->of[TE_KIND_CYLINDER];
    if (part->spare || kind == TE_KIND_CYLINDER) {
        return part->oversize;
    }
    if (cylinder != NULL) {
        return cylinder->oversize; /* without a spare a new cylinder is a standard one */
    }
    return te_shop_part_oversize(r->shop, r->inspection, r->inspection->part[TE_KIND_CYLINDER]);
}

bool te_is_row_of(const struct rebuilding *r, const te_spare *row, te_id part)
{
    return row->id == part && row->model == r->model_index;
}

/* The spare's row for a feature and item, else the one without an item. */
static const te_spare *find_row(const struct rebuilding *r, te_id part, te_quantity feature,
                                te_id item)
{
    const te_spare *general = NULL;
    for (size_t i = 0; i < r->tables->spare_count; i++) {
        const te_spare *row = &r->tables->spares[i];
        bool fits = te_is_row_of(r, row, part) && row->feature == feature && !isnan(row->size);
        if (fits && row->item == item) {
            return row;
        }
        general = fits && row->item == 0 ? row : general;
    }
    return general;
}

static void take_range(struct size *size, double least, double most)
{
    *size = (struct size){.value = least + (most - least) / 2.0,
                          .least = least,
                          .most = most,
                          .u = (most - least) / sqrt(12.0),
                          .stated = true};
}

static void take_row(struct size *size, const te_spare *row)
{
    double t = row->tolerance;
    *size = (struct size){.value = row->size,
                          .least = row->size - t,
                          .most = row->size + t,
                          .u = isnan(t) ? 0.0 : t / sqrt(3.0),
                          .stated = !isnan(t)};
}

/* The bore after boring: as long as the hone keeps the span of the as-new limits about it. */
static void take_bored(struct size *size, const te_candidate *cylinder, const te_limit *limit,
                       bool known)
{
    double least = NAN;
    double most = NAN;
    bool range = known && te_limit_as_new(&least, &most, limit);
    double half = range ? (most - least) / 2.0 : NAN;
    *size = (struct size){.value = cylinder->bore,
                          .least = cylinder->bore - half,
                          .most = cylinder->bore + half,
                          .u = range ? half / sqrt(3.0) : 0.0,
                          .stated = range};
}

bool te_new_size(struct size *size, const struct rebuilding *r, const struct choice *choice,
                 te_kind kind, te_quantity feature, te_id item)
{
    te_limit limit;
    double least = NAN;
    double most = NAN;
    const te_candidate *part = choice->of[kind];
    const te_spare *row = part->spare ? find_row(r, part->part, feature, item) : NULL;
    bool known = te_shop_oversize_limit(&limit, r->shop, r->model_index, feature, item,
                                        te_choice_oversize(r, choice, kind));
    if (part->rebored && feature == TE_Q_BORE) {
        take_bored(size, part, &limit, known);
        return true;
    }
    if (row != NULL) {
        take_row(size, row);
        return true;
    }
    if (!known || !te_limit_as_new(&least, &most, &limit)) {
        return false;
    }
    take_range(size, least, most);
    return true;
}

double te_new_bore_middle(const struct rebuilding *r, double oversize)
{
    te_limit limit;
    double least = NAN;
    double most = NAN;
    if (!te_shop_oversize_limit(&limit, r->shop, r->model_index, TE_Q_BORE, 0, oversize) ||
        !te_limit_as_new(&least, &most, &limit)) {
        return NAN;
    }
    return least + (most - least) / 2.0;
}

/* ---- the bore at a height ---- */

/* Each direction counts once; where none is known each reading does. */
static bool counts_at(const te_observations *pool, uint32_t at, double position)
{
    const te_observation *x = &pool->items[at];
    return te_bore_is_at(x, position) &&
           (isnan(x->direction) ||
            te_bore_find(pool, 0, (uint32_t)pool->count, position, x->direction) == at);
}

static bool mean_at(te_form *form, const te_observations *pool, double position)
{
    bool room = true;
    *form = (te_form){.count = 0};
    for (uint32_t i = 0; i < pool->count && room; i++) {
        if (counts_at(pool, i, position)) {
            te_form term = te_form_make(i, 1.0);
            /* One term is left for the gap itself. */
            room = form->count + 1 < TE_FORM_TERMS && te_form_add(form, form, &term) == TE_OK;
        }
    }
    if (!room || form->count == 0) {
        return false;
    }
    *form = te_form_scale(form, 1.0 / (double)form->count);
    return true;
}

void te_bore_at(struct bore_there *there, const te_observations *pool, double position)
{
    *there = (struct bore_there){.least = TE_NO_INDEX, .most = TE_NO_INDEX};
    for (uint32_t i = 0; i < pool->count; i++) {
        const te_observation *x = &pool->items[i];
        if (x->feature != TE_Q_BORE) {
            continue;
        }
        bool least = !there->any || x->value < pool->items[there->least].value;
        bool most = !there->any || x->value > pool->items[there->most].value;
        there->least = least ? i : there->least;
        there->most = most ? i : there->most;
        there->any = true;
    }
    there->gauged = mean_at(&there->form, pool, position);
}
