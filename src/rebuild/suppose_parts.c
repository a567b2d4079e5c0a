/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The readings of a part to be fitted: of each of its features one at every place that would be
 * measured. */
#include <math.h>

#include "supposing.h"

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
    te_observation x = te_observation_untaken(f->feature, f->item,
                                              s->supposed.inspection.part[f->kind]);
    for (size_t i = 0; i < s->drafts->count; i++) {
        const te_observation *other = &s->drafts->items[i];
        if (other->feature == x.feature && other->item == x.item && other->part == x.part &&
            te_number_order(other->position, position) == 0 &&
            te_number_order(other->direction, direction) == 0) {
            return;
        }
    }
    x.position = position;
    x.direction = direction;
    if (f->feature == TE_Q_END_GAP) {
        te_draft_new_gap(s, f->item, position, direction);
        return;
    }
    const te_effect effect = {te_size_source(f->feature, f->item), size->u};
    x.value = size->value;
    x.stated = size->stated;
    te_draft_add(s, &x, &effect, 1);
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
        bool mine = te_is_row_of(s->r, row, s->choice->of[kind]->part);
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
        if (te_is_row_of(s->r, row, s->choice->of[kind]->part) && row->feature == feature) {
            return true;
        }
    }
    return false;
}

void te_draft_part(struct supposing *s, te_kind kind)
{
    for (te_quantity q = 0; q < TE_Q_OWN; q++) {
        const te_quantity_info *info = te_quantity_info_of(q);
        bool half_new = q == TE_Q_SIDE_CLEARANCE && te_part_for(s, TE_KIND_PISTON) == NULL;
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
