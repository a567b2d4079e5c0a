/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The parts on the engine now, what was read last time, and the limits: what a row asks for. */
#include <math.h>
#include <string.h>

#include "sheet_parts.h"

/* A reading stands at the place within these, as for the places of plan.csv in a verdict. */
static const double near_position = 0.5 + 1e-9;  /* mm */
static const double near_direction = 1.0 + 1e-9; /* degrees */
static const double half_turn = 180.0;           /* directions of a diameter repeat after it */

/* ---- parts ---- */

void te_sheet_find_parts(te_sheet *sheet, const te_shop *shop)
{
    size_t count = 0;
    const te_stay *stays = te_shop_engine_stays(&count, shop, sheet->engine);
    for (int kind = 0; kind < TE_KIND_NONE; kind++) {
        sheet->parts[kind] = (te_sheet_part){.on = TE_SHEET_ON_ORIGINAL};
    }
    for (size_t i = 0; i < count; i++) {
        te_sheet_part *part = &sheet->parts[stays[i].kind];
        if (stays[i].kind == TE_KIND_OTHER) {
            continue;
        }
        if (isinf(stays[i].removed_hours)) {
            *part = (te_sheet_part){TE_SHEET_ON_NAMED, stays[i].part, stays[i].oversize};
        } else if (part->on != TE_SHEET_ON_NAMED) {
            part->on = TE_SHEET_ON_NONE;
        }
    }
}

void te_sheet_put_original(te_buffer *buffer, const te_shop *shop, uint32_t engine, te_kind kind)
{
    te_buffer_text(buffer, te_shop_text(shop, te_shop_tables(shop)->engines[engine].id));
    te_buffer_text(buffer, "/");
    te_buffer_text(buffer, te_kind_name(kind));
}

/* The id of the original part of a kind; 0 when the shop has never met it. */
static te_id original_of(bool *failed, const te_shop *shop, uint32_t engine, te_kind kind)
{
    te_buffer text = {0};
    te_sheet_put_original(&text, shop, engine, kind);
    te_id id = text.failed ? 0 : te_shop_find_text(shop, text.bytes);
    *failed = *failed || text.failed;
    te_buffer_free(&text);
    return id;
}

/* What is being made. */
struct finding {
    te_sheet *sheet;
    const te_shop *shop;
    const te_tables *tables;
    te_observations pool; /* of the inspection looked at */
    te_date today;
    bool failed; /* memory ran out */
};

/* The kind of a part, also of an original one. */
static te_kind kind_of(struct finding *f, te_id part)
{
    size_t count = 0;
    const uint32_t *rows = te_shop_part_stays(&count, f->shop, part);
    if (count > 0) {
        return f->tables->stays[rows[0]].kind;
    }
    for (int kind = 0; kind < TE_KIND_OTHER; kind++) {
        if (original_of(&f->failed, f->shop, f->sheet->engine, (te_kind)kind) == part) {
            return (te_kind)kind;
        }
    }
    return TE_KIND_OTHER;
}

/* A part of kind `other`: an engine may have several, and each has rows of its own or none. */
static bool other_is_on(const struct finding *f, te_id part)
{
    size_t count = 0;
    size_t rows = 0;
    const te_stay *stays = te_shop_engine_stays(&count, f->shop, f->sheet->engine);
    (void)te_shop_part_stays(&rows, f->shop, part);
    for (size_t i = 0; i < count; i++) {
        if (stays[i].part == part && isinf(stays[i].removed_hours)) {
            return true;
        }
    }
    return rows == 0;
}

/* True when a part that the engine had is on it now. */
static bool is_on_now(const struct finding *f, te_id part, te_kind kind)
{
    const te_sheet_part *now = &f->sheet->parts[kind];
    if (kind == TE_KIND_OTHER) {
        return other_is_on(f, part);
    }
    return now->on == TE_SHEET_ON_ORIGINAL || (now->on == TE_SHEET_ON_NAMED && now->part == part);
}

/* True when all that a value of an earlier inspection rests on is on the engine now. */
static bool rests_on_now(struct finding *f, const te_observation *x,
                         const te_inspection *inspection)
{
    const te_quantity_info *info = te_quantity_info_of(x->feature);
    te_kind kind = x->feature < TE_Q_OWN ? info->kind : kind_of(f, x->part);
    bool on = is_on_now(f, x->part, kind);
    if (info->second_kind != TE_KIND_NONE) { /* a feature of the user's own has none */
        on = on && is_on_now(f, inspection->part[info->second_kind], info->second_kind);
    }
    if ((info->traits & TE_TRAIT_GAP) != 0) { /* the gap closes or opens with the bore */
        on = on && is_on_now(f, inspection->part[TE_KIND_CYLINDER], TE_KIND_CYLINDER);
    }
    return on;
}

/* The part to name for a feature of the user's own: the one that was read, or the one of its kind
 * that took its place. A row without a part would be one of the engine as a whole. */
static te_id part_to_name(struct finding *f, te_id read)
{
    te_kind kind = kind_of(f, read);
    size_t rows = 0;
    (void)te_shop_part_stays(&rows, f->shop, read);
    if (kind == TE_KIND_OTHER) {
        return rows > 0 && other_is_on(f, read) ? read : 0;
    }
    switch (f->sheet->parts[kind].on) {
    case TE_SHEET_ON_NAMED: return f->sheet->parts[kind].part;
    case TE_SHEET_ON_ORIGINAL: return original_of(&f->failed, f->shop, f->sheet->engine, kind);
    case TE_SHEET_ON_NONE: break;
    }
    return 0;
}

/* ---- limits ---- */

static void find_limit(te_sheet_place *place, const struct finding *f)
{
    const te_quantity_info *info = te_quantity_info_of(place->feature);
    bool shifts = place->feature < TE_Q_OWN && (info->traits & TE_TRAIT_OVERSIZE) != 0;
    te_inspection now = {.engine = f->sheet->engine, .hours = 0.0};
    te_id part = 0;
    if (shifts && f->sheet->parts[info->kind].on == TE_SHEET_ON_NONE) {
        return; /* which size the part to come has is not known */
    }
    if (shifts && f->sheet->parts[info->kind].on == TE_SHEET_ON_NAMED) {
        size_t count = 0;
        const te_stay *stays = te_shop_engine_stays(&count, f->shop, f->sheet->engine);
        part = f->sheet->parts[info->kind].part;
        for (size_t i = 0; i < count; i++) {
            bool open = stays[i].part == part && isinf(stays[i].removed_hours);
            now.hours = open ? stays[i].fitted_hours : now.hours;
        }
    }
    place->has_limit = te_shop_part_limit(&place->limit, f->shop, &now, place->feature, place->item,
                                          part);
}

/* ---- what a row asks for ---- */

static void ask_as_last(te_sheet_place *place, const struct finding *f, const te_observation *x)
{
    const te_reading *reading = &f->tables->readings[x->reading];
    place->no_go = !isnan(x->no_go);
    place->zero = !isnan(x->zero);
    place->unit = (te_unit)reading->setup->unit;
    place->unit_text = reading->setup->unit_text;
}

static void ask_by_gauge(te_sheet_place *place, const te_instrument *gauge)
{
    bool size = te_quantity_is(place->feature, TE_TRAIT_SIZE);
    bool other_unit = gauge->unit == TE_UNIT_OWN;
    place->no_go = isnan(gauge->resolution) && !size && !other_unit;
    place->zero = gauge->set_with != 0;
    if (!other_unit || place->feature >= TE_Q_OWN) {
        place->unit = gauge->unit;
        place->unit_text = gauge->unit_text;
    }
}

/* What a place that no inspection has read asks for. */
static void ask_first(te_sheet_place *place, const struct finding *f)
{
    const te_instrument *gauge = te_shop_gauge(f->shop, place->instrument, f->today);
    if (gauge != NULL) {
        ask_by_gauge(place, gauge);
    }
    if (place->has_limit && place->limit.unit == TE_UNIT_OWN) { /* the reading's must be the same */
        place->unit = TE_UNIT_OWN;
        place->unit_text = place->limit.unit_text;
        place->no_go = false;
    }
}

static void ask_again(te_sheet_place *place, const struct finding *f, const te_observation *x)
{
    const te_instrument *gauge = te_shop_gauge(f->shop, place->instrument, f->today);
    ask_as_last(place, f, x);
    if (gauge != NULL && x->instrument != place->instrument && place->unit != TE_UNIT_OWN) {
        ask_by_gauge(place, gauge);
    }
}

/* ---- last time ---- */

static bool is_near(double place, double read, double most, double period)
{
    double apart = fabs(place - read);
    if (period > 0.0 && apart > period / 2.0) {
        apart = fabs(period - apart);
    }
    return isnan(place) || apart <= most; /* false when the reading has no such place */
}

static bool reads(const te_observation *x, const te_sheet_place *place)
{
    return x->feature == place->feature && (place->item == 0 || x->item == place->item) &&
           is_near(place->position, x->position, near_position, 0.0) &&
           is_near(place->direction, x->direction, near_direction, half_turn);
}

/* How far a reading is from what is asked for, in four steps of which the first weighs most: part,
 * item, place, instrument. */
static double distance(const te_observation *x, const te_sheet_place *place)
{
    const double step = 100.0;
    double apart = 0.0;
    double across = fabs(x->direction - place->direction);
    across = across > half_turn / 2.0 ? half_turn - across : across;
    if (isnan(place->position)) {
        apart += isnan(x->position) ? 0.0 : 1.0;
    } else {
        apart += fabs(x->position - place->position) / near_position;
    }
    if (isnan(place->direction)) {
        apart += isnan(x->direction) ? 0.0 : 1.0;
    } else {
        apart += across / near_direction;
    }
    double part = place->part != 0 && x->part != place->part ? 1.0 : 0.0;
    double item = x->item != place->item ? 1.0 : 0.0;
    double instrument = x->instrument != place->instrument ? 1.0 : 0.0;
    return ((part * step + item) * step + apart) * step + instrument;
}

/* Of readings as near as each other the one that stands first in the files. */
static bool is_nearer(const te_observation *x, const te_observation *found,
                      const te_sheet_place *place)
{
    double more = distance(x, place) - distance(found, place);
    return more < 0.0 || (!(more > 0.0) && x->reading < found->reading);
}

static const te_observation *nearest(const struct finding *f, const te_sheet_place *place)
{
    const te_observation *found = NULL;
    for (size_t i = 0; i < f->pool.count; i++) {
        const te_observation *x = &f->pool.items[i];
        if (!reads(x, place)) {
            continue;
        }
        if (found == NULL || is_nearer(x, found, place)) {
            found = x;
        }
    }
    return found;
}

/* Looks for the places that no later inspection has read; returns how many are left. */
static size_t look_at(struct finding *f, uint32_t inspection)
{
    size_t left = 0;
    for (size_t i = 0; i < f->sheet->place_count; i++) {
        te_sheet_place *place = &f->sheet->places[i];
        const te_observation *x = place->last == TE_NO_INDEX ? nearest(f, place) : NULL;
        left += place->last == TE_NO_INDEX && x == NULL;
        if (x == NULL) {
            continue;
        }
        place->last = inspection;
        place->last_value = x->value;
        place->last_on_now = rests_on_now(f, x, &f->tables->inspections[inspection]);
        place->part = place->feature >= TE_Q_OWN ? part_to_name(f, x->part) : 0;
        ask_again(place, f, x);
    }
    return left;
}

te_status te_sheet_find_last(te_sheet *sheet, const te_shop *shop, te_date today)
{
    struct finding f = {
        .sheet = sheet, .shop = shop, .tables = te_shop_tables(shop), .today = today};
    const te_engine *engine = &f.tables->engines[sheet->engine];
    te_status status = TE_OK;
    size_t left = sheet->place_count;
    for (uint32_t i = engine->inspection_count; status == TE_OK && i > 0 && left > 0; i--) {
        uint32_t at = f.tables->by_engine[engine->first_inspection + i - 1];
        f.pool.count = 0;
        f.pool.effect_count = 0;
        status = te_observe(&f.pool, shop, at);
        left = status == TE_OK ? look_at(&f, at) : left;
    }
    for (size_t i = 0; status == TE_OK && i < sheet->place_count; i++) {
        te_sheet_place *place = &sheet->places[i];
        find_limit(place, &f);
        if (place->last == TE_NO_INDEX) {
            ask_first(place, &f);
        }
    }
    te_observations_free(&f.pool);
    return f.failed && status == TE_OK ? TE_ERR_MEMORY : status;
}
