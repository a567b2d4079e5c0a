/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "topend/shop.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "internal.h"

enum { FIRST_MAP = 64 };

bool te_id_map_set(struct id_map *map, te_id id, uint32_t row)
{
    size_t before = map->capacity;
    if (!te_vector_reserve(&map->rows, &map->capacity, (size_t)id + FIRST_MAP, sizeof *map->rows)) {
        return false;
    }
    for (size_t i = before; i < map->capacity; i++) {
        map->rows[i] = 0;
    }
    map->rows[id] = row + 1;
    return true;
}

uint32_t te_id_map_get(const struct id_map *map, te_id id)
{
    return id < map->capacity && map->rows[id] != 0 ? map->rows[id] - 1 : TE_NO_INDEX;
}

te_id te_shop_intern(te_shop *shop, te_slice text)
{
    te_id id = 0;
    if (text.length > 0 && !te_names_intern(&id, &shop->names, text)) {
        shop->out_of_memory = true;
        return 0;
    }
    return id;
}

te_id te_shop_intern_folded(te_shop *shop, te_slice text)
{
    char small[128];
    char *folded = text.length < sizeof small ? small : malloc(text.length + 1);
    if (folded == NULL) {
        shop->out_of_memory = true;
        return 0;
    }
    memcpy(folded, text.bytes, text.length);
    te_text_fold(folded, text.length);
    te_id id = te_shop_intern(shop, (te_slice){folded, text.length});
    if (folded != small) {
        free(folded);
    }
    return id;
}

te_quantity te_shop_own_feature(te_shop *shop, te_slice name, te_origin origin)
{
    te_own own = {.name = te_shop_intern_folded(shop, name), .origin = origin};
    uint32_t at = te_id_map_get(&shop->own_of, own.name);
    if (at != TE_NO_INDEX || shop->out_of_memory) {
        return shop->out_of_memory ? TE_Q_NONE : TE_Q_OWN + at;
    }
    at = (uint32_t)shop->own.count;
    if (!VECTOR_ROOM(&shop->own) || !te_id_map_set(&shop->own_of, own.name, at)) {
        shop->out_of_memory = true;
        return TE_Q_NONE;
    }
    shop->own.items[shop->own.count++] = own;
    return TE_Q_OWN + at;
}

uint32_t te_shop_model(te_shop *shop, te_id id, te_origin origin)
{
    te_model model = {.id = id, .origin = origin, .run_in_hours = NAN, .inspect_every_hours = NAN};
    uint32_t at = te_id_map_get(&shop->model_of, id);
    if (at != TE_NO_INDEX || id == 0) {
        return at;
    }
    for (int kind = 0; kind < TE_KIND_NONE; kind++) {
        model.expansion[kind] = NAN;
    }
    at = (uint32_t)shop->models.count;
    if (!VECTOR_ROOM(&shop->models) || !te_id_map_set(&shop->model_of, id, at)) {
        shop->out_of_memory = true;
        return TE_NO_INDEX;
    }
    shop->models.items[shop->models.count++] = model;
    return at;
}

static void copy_cut(char *out, size_t size, const char *text)
{
    size_t length = strlen(text);
    length = length < size ? length : size - 1;
    memcpy(out, text, length);
    out[length] = '\0';
}

void te_shop_problem_list(te_shop *shop, const struct place_of *place, const char *remedy,
                          const char *format, va_list arguments)
{
    te_problem problem = {.severity = place->severity,
                          .scope = place->scope,
                          .scope_id = place->scope_id,
                          .line = place->origin.line};
    const char *file = place->origin.file < shop->files.count
                           ? shop->files.items[place->origin.file]
                           : "";
    copy_cut(problem.file, sizeof problem.file, file);
    copy_cut(problem.column, sizeof problem.column, place->column);
    copy_cut(problem.remedy, sizeof problem.remedy, remedy);
    (void)vsnprintf(problem.what, sizeof problem.what, format, arguments);
    te_problems_add(shop->problems, &problem);
}

void te_shop_problem(te_shop *shop, const struct place_of *place, const char *remedy,
                     const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    te_shop_problem_list(shop, place, remedy, format, arguments);
    va_end(arguments);
}

struct place_of te_place_engine(const te_shop *shop, te_severity severity, te_origin origin,
                                const char *column, uint32_t engine)
{
    bool known = engine != TE_NO_INDEX;
    return (struct place_of){.severity = severity,
                             .origin = origin,
                             .column = column,
                             .scope = known ? TE_SCOPE_ENGINE : TE_SCOPE_ALL,
                             .scope_id = known ? shop->engines.items[engine].id : 0};
}

void te_shop_free(te_shop *shop)
{
    if (shop == NULL) {
        return;
    }
    for (size_t i = 0; i < shop->files.count; i++) {
        free(shop->files.items[i]);
    }
    void *blocks[] = {
        shop->files.items,        shop->engines.items,     shop->models.items,
        shop->limits.items,       shop->instruments.items, shop->stays.items,
        shop->inspections.items,  shop->readings.items,    shop->conditions.items,
        shop->spares.items,       shop->plan.items,        shop->own.items,
        shop->by_engine,          shop->by_inspection,     shop->by_part,
        shop->first_of_part,      shop->engine_of.rows,    shop->model_of.rows,
        shop->inspection_of.rows, shop->own_of.rows,       shop->instrument_of.rows,
        shop->originals,
    };
    for (size_t i = 0; i < sizeof blocks / sizeof *blocks; i++) {
        free(blocks[i]);
    }
    te_setups_free(&shop->setups);
    te_names_free(&shop->names);
    free(shop);
}

const te_tables *te_shop_tables(const te_shop *shop)
{
    return &shop->tables;
}

const char *te_shop_text(const te_shop *shop, te_id id)
{
    return te_names_text(&shop->names, id);
}

te_id te_shop_find_text(const te_shop *shop, const char *text)
{
    return te_names_find(&shop->names, (te_slice){text, strlen(text)});
}

uint32_t te_shop_find_inspection(const te_shop *shop, te_id id)
{
    return te_id_map_get(&shop->inspection_of, id);
}

uint32_t te_shop_find_engine(const te_shop *shop, te_id id)
{
    return te_id_map_get(&shop->engine_of, id);
}

uint32_t te_shop_last_inspection(const te_shop *shop, uint32_t engine)
{
    const te_engine *e = &shop->tables.engines[engine];
    return e->inspection_count == 0
               ? TE_NO_INDEX
               : shop->tables.by_engine[e->first_inspection + e->inspection_count - 1];
}

te_origin te_reading_origin(const te_reading *reading)
{
    return (te_origin){.line = reading->line, .file = (uint16_t)reading->file};
}

const char *te_shop_quantity_name(const te_shop *shop, te_quantity quantity)
{
    if (quantity < TE_Q_OWN) {
        return te_quantity_info_of(quantity)->name;
    }
    return te_shop_text(shop, shop->own.items[quantity - TE_Q_OWN].name);
}

te_kind te_inspection_kind_of(const te_inspection *inspection, te_id part)
{
    for (int kind = 0; kind < TE_KIND_OTHER; kind++) {
        if (inspection->part[kind] == part) {
            return (te_kind)kind;
        }
    }
    return TE_KIND_OTHER;
}

const char *te_severity_name(te_finding_severity severity)
{
    static const char *const names[] = {"note", "watch", "reject"};
    return names[severity];
}

uint32_t te_shop_limit(const te_shop *shop, uint32_t model, te_quantity quantity, te_id item)
{
    const te_model *m = &shop->models.items[model];
    uint32_t general = TE_NO_INDEX;
    for (uint32_t i = m->first_limit; i < m->first_limit + m->limit_count; i++) {
        const te_limit *limit = &shop->limits.items[i];
        if (limit->quantity != quantity) {
            continue;
        }
        if (limit->item == item) {
            return i;
        }
        general = limit->item == 0 ? i : general;
    }
    return general;
}

uint32_t te_shop_calibration(const te_shop *shop, te_id instrument, te_date date)
{
    uint32_t first = te_id_map_get(&shop->instrument_of, instrument);
    if (first == TE_NO_INDEX) {
        return TE_NO_INDEX;
    }
    size_t low = first; /* the rows up to here are the instrument's, and not later but the first */
    size_t high = shop->instruments.count;
    while (low + 1 < high) {
        size_t middle = low + (high - low) / 2;
        const te_instrument *row = &shop->instruments.items[middle];
        if (row->id == instrument && row->calibrated <= date) {
            low = middle;
        } else {
            high = middle;
        }
    }
    return (uint32_t)low;
}

const te_instrument *te_shop_gauge(const te_shop *shop, te_id instrument, te_date date)
{
    uint32_t row = te_shop_calibration(shop, instrument, date);
    return row == TE_NO_INDEX ? NULL : &shop->instruments.items[row];
}

/* True when an error touches the gauge or one that it is set with. */
static bool gauge_touched(const te_shop *shop, const te_problems *problems, te_id instrument,
                          te_date date)
{
    while (instrument != 0) {
        if (te_problems_touch(problems, TE_SCOPE_INSTRUMENT, instrument)) {
            return true;
        }
        const te_instrument *gauge = te_shop_gauge(shop, instrument, date);
        instrument = gauge == NULL ? 0 : gauge->set_with;
    }
    return false;
}

static bool gauges_touched(const te_shop *shop, const te_problems *problems, uint32_t engine)
{
    const te_engine *e = &shop->engines.items[engine];
    for (uint32_t i = 0; i < e->inspection_count; i++) {
        const te_inspection *inspection =
            &shop->inspections.items[shop->by_engine[e->first_inspection + i]];
        te_id last = 0;
        for (uint32_t j = 0; j < inspection->reading_count; j++) {
            const te_reading *reading =
                &shop->readings.items[shop->by_inspection[inspection->first_reading + j]];
            te_id instrument = reading->setup->instrument;
            if (instrument != last && gauge_touched(shop, problems, instrument, inspection->date)) {
                return true;
            }
            last = instrument;
        }
    }
    return false;
}

bool te_shop_engine_touched(const te_shop *shop, const te_problems *problems, uint32_t engine)
{
    const te_engine *e = &shop->engines.items[engine];
    /* The pairs are in order of their scope: instruments stand last. */
    bool any_gauge = problems->touched_count > 0 &&
                     problems->touched[2 * problems->touched_count - 2] == TE_SCOPE_INSTRUMENT;
    return te_problems_touch(problems, TE_SCOPE_ENGINE, e->id) || e->model == TE_NO_INDEX ||
           te_problems_touch(problems, TE_SCOPE_MODEL, shop->models.items[e->model].id) ||
           (any_gauge && gauges_touched(shop, problems, engine));
}
