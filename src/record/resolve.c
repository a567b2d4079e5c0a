/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The part of each reading and condition, and the parts of each inspection. */
#include <math.h>

#include "internal.h"

/* An inspection while its parts are resolved. */
struct resolving {
    te_shop *shop;
    te_inspection *inspection;
    te_id checked; /* the part that was looked up last, and what was found */
    te_kind checked_kind;
    bool checked_on;
};

static struct place_of place_at(const struct resolving *r, te_origin origin, const char *column)
{
    return te_place_engine(r->shop, TE_ERROR, origin, column, r->inspection->engine);
}

static bool part_is_on(te_kind *kind, struct resolving *r, te_id part)
{
    if (r->checked != part) {
        r->checked_on = te_shop_part_is_on(&r->checked_kind, r->shop, r->inspection, part);
        r->checked = part;
    }
    *kind = r->checked_kind;
    return r->checked_on;
}

/* The kind of a named part that is on the engine; TE_KIND_NONE after a report. */
static te_kind named_kind(struct resolving *r, te_origin origin, te_id part)
{
    te_kind kind = TE_KIND_NONE;
    struct place_of place = place_at(r, origin, "part");
    if (part_is_on(&kind, r, part)) {
        return kind;
    }
    const char *name = te_names_text(&r->shop->names, part);
    if (kind == TE_KIND_NONE) {
        te_shop_problem(r->shop, &place, "add it to parts.csv, or correct the name",
                        "there is no part \"%s\"", name);
    } else {
        te_shop_problem(r->shop, &place, "correct the name, or the hours in parts.csv",
                        "%s is not on the engine at this inspection", name);
    }
    return TE_KIND_NONE;
}

/* A reading that names its part: the part becomes the inspection's for its kind. */
static void take_named(struct resolving *r, const te_reading *reading)
{
    te_kind kind = named_kind(r, te_reading_origin(reading), reading->part);
    struct place_of place = place_at(r, te_reading_origin(reading), "part");
    if (kind == TE_KIND_NONE) {
        return;
    }
    te_kind wanted = te_quantity_info_of(reading->setup->feature)->kind;
    if (reading->setup->feature < TE_Q_OWN && kind != wanted) {
        te_shop_problem(r->shop, &place, "name the part that was measured",
                        "%s is a %s, but %s is measured on a %s",
                        te_names_text(&r->shop->names, reading->part), te_kind_name(kind),
                        te_quantity_info_of(reading->setup->feature)->name, te_kind_name(wanted));
        return;
    }
    te_id *held = &r->inspection->part[kind];
    if (*held != 0 && *held != reading->part && kind != TE_KIND_OTHER) {
        te_shop_problem(r->shop, &place, "make two inspections of it, one found and one built",
                        "two parts of one kind in an inspection: %s and %s",
                        te_names_text(&r->shop->names, *held),
                        te_names_text(&r->shop->names, reading->part));
        return;
    }
    *held = kind == TE_KIND_OTHER ? *held : reading->part;
}

/* The part of a kind that no reading names; reports when it cannot be told. */
static te_id part_of_kind(struct resolving *r, te_kind kind, te_origin origin, const char *column)
{
    te_id part = r->inspection->part[kind];
    if (part != 0) {
        return part;
    }
    struct place_of place = place_at(r, origin, column);
    switch (te_shop_part_by_history(&part, r->shop, r->inspection, kind)) {
    case TE_ON_ONE: return part;
    case TE_ON_CHANGE:
        te_shop_problem(r->shop, &place,
                        "name the part, or give the inspection's state (found or built)",
                        "parts of kind %s change at these hours", te_kind_name(kind));
        break;
    case TE_ON_NONE:
        te_shop_problem(r->shop, &place, "name the part, or complete parts.csv",
                        "parts.csv has no %s on the engine at these hours", te_kind_name(kind));
        break;
    }
    return 0;
}

static void resolve_reading(struct resolving *r, te_reading *reading)
{
    const te_quantity_info *info = te_quantity_info_of(reading->setup->feature);
    const te_reading *all = r->shop->readings.items;
    bool again = reading->repeat > 1 && reading > all && reading[-1].file == reading->file &&
                 reading[-1].line == reading->line;
    if (again) { /* of one row with the value before it, which was told */
        reading->part = reading[-1].part;
        return;
    }
    if (reading->part == 0) {
        reading->part = part_of_kind(r, info->kind, te_reading_origin(reading), "part");
    }
    if (reading->setup->feature < TE_Q_OWN && r->inspection->part[info->kind] == 0) {
        r->inspection->part[info->kind] = reading->part;
    }
    /* Side clearance measures the piston too. */
    te_kind second = info->second_kind;
    if (second != TE_KIND_NONE && r->inspection->part[second] == 0) {
        r->inspection->part[second] = part_of_kind(r, second, te_reading_origin(reading), "part");
    }
}

static void resolve_condition(struct resolving *r, te_condition *condition)
{
    if (condition->kind == TE_KIND_NONE) {
        condition->kind = named_kind(r, condition->origin, condition->part);
        if (condition->kind == TE_KIND_NONE) {
            condition->part = 0;
        }
    } else {
        condition->part = part_of_kind(r, condition->kind, condition->origin, "part");
    }
}

/* What is left: known by the history without a doubt, or left at 0. */
static void fill_other_kinds(struct resolving *r)
{
    for (int kind = 0; kind < TE_KIND_NONE; kind++) {
        te_id part = 0;
        if (r->inspection->part[kind] == 0 &&
            te_shop_part_by_history(&part, r->shop, r->inspection, (te_kind)kind) == TE_ON_ONE) {
            r->inspection->part[kind] = part;
        }
    }
}

static void resolve_inspection(te_shop *shop, te_inspection *inspection)
{
    struct resolving r = {.shop = shop, .inspection = inspection};
    uint32_t first = inspection->first_reading;
    uint32_t end = first + inspection->reading_count;
    for (uint32_t i = first; i < end; i++) {
        const te_reading *reading = &shop->readings.items[shop->by_inspection[i]];
        if (reading->part != 0 && reading->repeat == 1) {
            take_named(&r, reading);
        }
    }
    for (uint32_t i = first; i < end; i++) {
        resolve_reading(&r, &shop->readings.items[shop->by_inspection[i]]);
    }
    fill_other_kinds(&r);
    for (uint32_t i = 0; i < inspection->condition_count; i++) {
        resolve_condition(&r, &shop->conditions.items[inspection->first_condition + i]);
    }
}

static void resolve_share(te_shop *shop, size_t first, size_t end)
{
    for (size_t i = first; i < end; i++) {
        te_inspection *inspection = &shop->inspections.items[i];
        if (inspection->engine != TE_NO_INDEX && !isnan(inspection->hours)) {
            resolve_inspection(shop, inspection);
        }
    }
}

void te_shop_resolve_parts(te_shop *shop)
{
    te_shop_name_originals(shop);
    if (!shop->out_of_memory) {
        te_shop_share(shop, resolve_share);
    }
}
