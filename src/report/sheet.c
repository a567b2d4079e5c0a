/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What is to be measured: the places in their order, and the name of the inspection to come. */
#include "topend/sheet.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "record/vector.h"
#include "sheet_parts.h"

enum { NAME_MOST = 64 * 1024 /* bytes in a cell, docs/file-formats.md */ };

void te_sheet_free(te_sheet *sheet)
{
    if (sheet != NULL) {
        free(sheet->inspection);
        free(sheet->places);
        *sheet = (te_sheet){0};
    }
}

/* ---- the name ---- */

static bool is_control(uint32_t code)
{
    return code < 0x20 || (code >= 0x7f && code < 0xa0);
}

bool te_sheet_is_comment(const char *text)
{
    te_slice rest = {text + 1, text[0] == '\0' ? 0 : strlen(text + 1)};
    bool blank = rest.length == 0 || te_text_trim(rest).bytes != rest.bytes;
    return text[0] == '#' && blank;
}

/* True when a file gives the name back as it is. */
static bool comes_back(const char *name)
{
    te_slice text = {name, strlen(name)};
    te_slice trimmed = te_text_trim(text);
    if (text.length == 0 || text.length > NAME_MOST || trimmed.length != text.length) {
        return false;
    }
    for (size_t i = 0; i < text.length;) {
        uint32_t code = 0;
        size_t length = te_utf8_decode(&code, name + i, text.length - i);
        if (length == 0 || is_control(code)) {
            return false;
        }
        i += length;
    }
    return !te_sheet_is_comment(name);
}

static bool make_name(te_sheet *sheet, const te_shop *shop, const te_sheet_order *order)
{
    te_buffer name = {0};
    if (order->inspection != NULL) {
        te_buffer_text(&name, order->inspection);
    } else {
        te_buffer_text(&name, te_shop_text(shop, te_shop_tables(shop)->engines[order->engine].id));
        te_buffer_text(&name, "-");
        te_put_date(&name, order->today);
    }
    if (name.bytes == NULL && !name.failed) {
        name.bytes = calloc(1, 1);
    }
    if (name.failed || name.bytes == NULL) {
        te_buffer_free(&name);
        return false;
    }
    sheet->inspection = name.bytes;
    return true;
}

static te_sheet_answer judge_name(te_sheet *sheet, const te_shop *shop)
{
    te_id id = te_shop_find_text(shop, sheet->inspection);
    uint32_t at = id == 0 ? TE_NO_INDEX : te_shop_find_inspection(shop, id);
    if (!comes_back(sheet->inspection)) {
        return TE_SHEET_NAME_UNFIT;
    }
    if (at == TE_NO_INDEX) {
        return TE_SHEET_MADE;
    }
    const te_inspection *inspection = &te_shop_tables(shop)->inspections[at];
    sheet->declared = inspection->engine == sheet->engine && inspection->reading_count == 0;
    return sheet->declared ? TE_SHEET_MADE : TE_SHEET_NAME_TAKEN;
}

/* ---- the places ---- */

static bool add_place(te_sheet *sheet, const te_sheet_place *place)
{
    if (!te_vector_reserve(&sheet->places, &sheet->place_capacity, sheet->place_count + 1,
                           sizeof *sheet->places)) {
        return false;
    }
    sheet->places[sheet->place_count++] = *place;
    return true;
}

static bool take_plan(te_sheet *sheet, const te_tables *tables, const te_model *model)
{
    sheet->planned = true;
    for (uint32_t i = 0; i < model->plan_count; i++) {
        const te_plan *row = &tables->plan[model->first_plan + i];
        te_sheet_place place = {.feature = row->feature,
                                .item = row->item,
                                .position = row->position,
                                .direction = row->direction,
                                .repeats = row->repeats == 0 ? 1 : row->repeats,
                                .instrument = row->instrument,
                                .last = TE_NO_INDEX};
        if (!add_place(sheet, &place)) {
            return false;
        }
    }
    return true;
}

/* The engine's last inspection that has readings. */
static uint32_t last_with_readings(const te_tables *tables, const te_engine *engine)
{
    for (uint32_t i = engine->inspection_count; i > 0; i--) {
        uint32_t at = tables->by_engine[engine->first_inspection + i - 1];
        if (tables->inspections[at].reading_count > 0) {
            return at;
        }
    }
    return TE_NO_INDEX;
}

/* A group of repeats: where it first stands in the files, and where in by_inspection. */
struct group {
    uint32_t reading, first, end;
};

static int by_reading(const void *left, const void *right)
{
    const struct group *a = left;
    const struct group *b = right;
    return (a->reading > b->reading) - (a->reading < b->reading);
}

static bool take_group(te_sheet *sheet, const te_tables *tables, const struct group *group)
{
    const te_reading *reading = &tables->readings[group->reading];
    te_sheet_place place = {.feature = reading->setup->feature,
                            .item = reading->setup->item,
                            .position = reading->setup->position,
                            .direction = reading->setup->direction,
                            .repeats = group->end - group->first,
                            .instrument = reading->setup->instrument,
                            .part = reading->part,
                            .last = TE_NO_INDEX};
    return add_place(sheet, &place);
}

static bool take_inspection(te_sheet *sheet, const te_shop *shop, uint32_t at)
{
    const te_tables *tables = te_shop_tables(shop);
    const te_inspection *inspection = &tables->inspections[at];
    uint32_t end = inspection->first_reading + inspection->reading_count;
    struct group *groups = calloc((size_t)inspection->reading_count + 1, sizeof *groups);
    size_t count = 0;
    bool done = groups != NULL;
    sheet->follows = at;
    for (uint32_t first = inspection->first_reading; done && first < end;) {
        uint32_t next = te_shop_group_end(shop, inspection, first);
        groups[count++] = (struct group){tables->by_inspection[first], first, next};
        first = next;
    }
    if (count > 1) {
        qsort(groups, count, sizeof *groups, by_reading);
    }
    for (size_t i = 0; done && i < count; i++) {
        done = take_group(sheet, tables, &groups[i]);
    }
    free(groups);
    return done;
}

te_status te_sheet_make(te_sheet *sheet, const te_shop *shop, const te_sheet_order *order)
{
    const te_tables *tables = te_shop_tables(shop);
    const te_engine *engine = &tables->engines[order->engine];
    const te_model *model = engine->model == TE_NO_INDEX ? NULL : &tables->models[engine->model];
    bool planned = model != NULL && model->plan_count > 0;
    uint32_t last = last_with_readings(tables, engine);
    te_sheet_free(sheet);
    sheet->engine = order->engine;
    sheet->follows = TE_NO_INDEX;
    if (!make_name(sheet, shop, order)) {
        return TE_ERR_MEMORY;
    }
    sheet->answer = !planned && last == TE_NO_INDEX ? TE_SHEET_NOTHING : judge_name(sheet, shop);
    if (sheet->answer != TE_SHEET_MADE) {
        return TE_OK;
    }
    bool taken = planned ? take_plan(sheet, tables, model) : take_inspection(sheet, shop, last);
    if (!taken) {
        return TE_ERR_MEMORY;
    }
    te_sheet_find_parts(sheet, shop);
    return te_sheet_find_last(sheet, shop, order->today);
}

/* ---- for the writers ---- */

unsigned te_sheet_rows(const te_sheet_place *place)
{
    return (place->repeats + TE_SHEET_REPEATS - 1) / TE_SHEET_REPEATS;
}

unsigned te_sheet_row_repeats(const te_sheet_place *place, unsigned row)
{
    unsigned left = place->repeats - row * TE_SHEET_REPEATS;
    return left < TE_SHEET_REPEATS ? left : TE_SHEET_REPEATS;
}

struct sheet_needs te_sheet_needs(const te_sheet *sheet)
{
    struct sheet_needs needs = {.repeats = 1};
    for (size_t i = 0; i < sheet->place_count; i++) {
        const te_sheet_place *place = &sheet->places[i];
        unsigned repeats = te_sheet_row_repeats(place, 0);
        needs.part = needs.part || place->part != 0;
        needs.item = needs.item || place->item != 0;
        needs.position = needs.position || !isnan(place->position);
        needs.direction = needs.direction || !isnan(place->direction);
        needs.no_go = needs.no_go || place->no_go;
        needs.zero = needs.zero || place->zero;
        needs.unit = needs.unit || place->unit != TE_UNIT_MM;
        needs.repeats = repeats > needs.repeats ? repeats : needs.repeats;
    }
    return needs;
}

const char *te_sheet_unit(const te_sheet_place *place, const te_shop *shop)
{
    static const char *const words[] = {"", "um", "in", "thou"};
    return place->unit == TE_UNIT_OWN ? te_shop_text(shop, place->unit_text) : words[place->unit];
}

double te_sheet_beside(const te_sheet_place *place, double mm)
{
    return te_unit_is_inch(place->unit) ? mm / te_unit_to_mm(1.0, TE_UNIT_IN) : mm;
}
