/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The series of an engine: which inspections bear on it, and what was measured at each. */
#include <gsl/gsl_cdf.h>
#include <math.h>
#include <stdlib.h>

#include "record/vector.h"
#include "series.h"

struct making {
    struct workshop workshop;
    te_history *out;
    const te_shop *shop;
    const te_tables *tables;
    const te_problems *problems; /* NULL when no error touches any engine */
    struct entry *entries;
    size_t entry_count;
    uint32_t last; /* inspections after this one are not looked at; TE_NO_INDEX: all are */
};

void te_history_free(te_history *history)
{
    if (history == NULL) {
        return;
    }
    te_observations_free(&history->pool);
    te_quantities_free(&history->quantities);
    te_places_free(&history->places);
    free(history->points);
    free(history->series);
    free(history->inspections);
    free(history->first_observation);
    free(history->first_quantity);
    free(history->work.block);
    free(history->group_work.block);
    free(history->fit_work.block);
    free(history->covariance_work.block);
    *history = (te_history){0};
}

static void empty(te_history *history, uint32_t engine)
{
    history->engine = engine;
    history->pool.count = 0;
    history->pool.effect_count = 0;
    history->quantities.count = 0;
    history->point_count = 0;
    history->series_count = 0;
    history->inspection_count = 0;
    history->left_out = 0;
    history->lost = 0;
}

/* ---- which inspections ---- */

static te_status add_inspections(struct making *m, uint32_t engine, double from, double to)
{
    te_history *out = m->out;
    const te_engine *e = &m->tables->engines[engine];
    for (uint32_t i = 0; i < e->inspection_count; i++) {
        uint32_t row = m->tables->by_engine[e->first_inspection + i];
        double hours = m->tables->inspections[row].hours;
        if (!(hours >= from && hours <= to)) {
            continue;
        }
        if (!te_vector_reserve(&out->inspections, &out->inspection_capacity,
                               out->inspection_count + 1, sizeof *out->inspections)) {
            return TE_ERR_MEMORY;
        }
        out->inspections[out->inspection_count++] = row;
    }
    return TE_OK;
}

/* The inspections of other engines while the part of a stay was on them; once for its stays. */
static te_status add_part_elsewhere(struct making *m, const te_stay *here)
{
    size_t count = 0;
    te_status status = TE_OK;
    te_id part = here->part;
    const uint32_t *rows = te_shop_part_stays(&count, m->shop, part);
    for (size_t i = 0; i < count; i++) {
        const te_stay *stay = &m->tables->stays[rows[i]];
        if (stay->engine == m->out->engine && stay < here) {
            return TE_OK;
        }
    }
    if (count > 1 && m->problems != NULL && te_part_touched(m->shop, m->problems, part)) {
        m->out->left_out++;
        return TE_OK;
    }
    for (size_t i = 0; i < count && status == TE_OK; i++) {
        const te_stay *stay = &m->tables->stays[rows[i]];
        if (stay->engine != m->out->engine) {
            status = add_inspections(m, stay->engine, stay->fitted_hours, stay->removed_hours);
        }
    }
    return status;
}

/* What orders inspections, copied out so that the comparison needs no context. */
struct dated {
    te_date date;
    double hours;
    uint32_t row;
};

static int by_date(const void *left, const void *right)
{
    const struct dated *a = left;
    const struct dated *b = right;
    if (a->date != b->date) {
        return a->date < b->date ? -1 : 1;
    }
    if (a->hours < b->hours || a->hours > b->hours) {
        return a->hours < b->hours ? -1 : 1;
    }
    return (a->row > b->row) - (a->row < b->row);
}

static te_status sort_inspections(struct making *m)
{
    te_history *out = m->out;
    size_t kept = 0;
    struct dated *dated = calloc(out->inspection_count + 1, sizeof *dated);
    if (dated == NULL) {
        return TE_ERR_MEMORY;
    }
    for (size_t i = 0; i < out->inspection_count; i++) {
        const te_inspection *row = &m->tables->inspections[out->inspections[i]];
        dated[i] = (struct dated){row->date, row->hours, out->inspections[i]};
    }
    if (out->inspection_count > 1) {
        qsort(dated, out->inspection_count, sizeof *dated, by_date);
    }
    for (size_t i = 0; i < out->inspection_count; i++) {
        if (kept == 0 || out->inspections[kept - 1] != dated[i].row) {
            out->inspections[kept++] = dated[i].row;
        }
    }
    out->inspection_count = kept;
    free(dated);
    return TE_OK;
}

static te_status find_inspections(struct making *m)
{
    size_t count = 0;
    const te_stay *stays = te_shop_engine_stays(&count, m->shop, m->out->engine);
    te_status status = add_inspections(m, m->out->engine, -INFINITY, INFINITY);
    for (size_t i = 0; i < count && status == TE_OK; i++) {
        status = add_part_elsewhere(m, &stays[i]);
    }
    return status != TE_OK ? status : sort_inspections(m);
}

/* Inspections stand in order of date. */
static void cut_inspections(struct making *m)
{
    te_history *out = m->out;
    for (size_t i = 0; i < out->inspection_count; i++) {
        if (out->inspections[i] == m->last) {
            out->inspection_count = i + 1;
        }
    }
}

/* ---- entries ---- */

static bool is_left_out(struct making *m, te_id part, te_kind kind)
{
    return m->problems != NULL && part != 0 &&
           te_find_touched(&m->workshop.found, m->shop, m->problems, part, kind);
}

static void place_entry(struct entry *entry, struct making *m, const te_measured *measured)
{
    const te_part_time *first = te_find_time(&m->workshop.found, m->shop, measured->part,
                                             measured->kind, entry->engine, entry->engine_hours);
    entry->hours = first->own;
    entry->unknown = first->unknown;
    entry->original = first->original;
    if (measured->second_kind == TE_KIND_NONE) {
        return;
    }
    const te_part_time *second = te_find_time(&m->workshop.found, m->shop, measured->second_part,
                                              measured->second_kind, entry->engine,
                                              entry->engine_hours);
    entry->start = fmax(first->joined, second->joined);
    entry->hours = entry->engine_hours - entry->start;
    entry->unknown = entry->unknown || second->unknown;
    entry->original = entry->original || second->original;
}

static void add_entry(struct making *m, uint32_t at, uint32_t row)
{
    const te_measured *measured = &m->out->quantities.items[at];
    const te_inspection *inspection = &m->tables->inspections[row];
    uint32_t place = TE_NO_INDEX;
    if (is_left_out(m, measured->part, measured->kind) ||
        (measured->second_kind != TE_KIND_NONE &&
         is_left_out(m, measured->second_part, measured->second_kind))) {
        return;
    }
    struct entry *entry = &m->entries[m->entry_count++];
    *entry = (struct entry){
        .measured = at,
        .inspection = row,
        .quantity = measured->quantity,
        .part = measured->part,
        .second_part = measured->second_part,
        .item = measured->item,
        .word = te_shop_text(m->shop, measured->item),
        .engine = inspection->engine,
        .date = inspection->date,
        .engine_hours = inspection->hours,
        .partial = te_places_missing(&place, &m->out->places, measured) > 0,
    };
    if (measured->quantity == TE_Q_END_GAP) {
        entry->cylinder = inspection->part[TE_KIND_CYLINDER];
    }
    place_entry(entry, m, measured);
}

/* Observes an inspection, and lists its quantities; its observations are the pool's last. */
static te_status measure(struct making *m, uint32_t row)
{
    te_history *out = m->out;
    const te_inspection *inspection = &m->tables->inspections[row];
    uint32_t first = (uint32_t)out->pool.count;
    te_status status = te_observe(&out->pool, m->shop, row);
    if (status == TE_OK) {
        status = te_quantities_make(&out->quantities, &out->pool, first, m->shop, inspection);
    }
    if (status == TE_OK) {
        status = te_places_make(&out->places, &out->pool, first, (uint32_t)out->pool.count, m->shop,
                                m->tables->engines[inspection->engine].model);
    }
    return status;
}

/* Measures every inspection and makes an entry of each quantity. */
static te_status make_entries(struct making *m)
{
    te_history *out = m->out;
    te_status status = TE_OK;
    size_t firsts = out->inspection_count + 1;
    if (!te_vector_reserve(&out->first_observation, &out->first_capacity, firsts,
                           sizeof *out->first_observation) ||
        !te_vector_reserve(&out->first_quantity, &out->first_quantity_capacity, firsts,
                           sizeof *out->first_quantity)) {
        return TE_ERR_MEMORY;
    }
    for (size_t i = 0; i < out->inspection_count && status == TE_OK; i++) {
        uint32_t row = out->inspections[i];
        size_t before = out->quantities.count;
        out->first_observation[i] = (uint32_t)out->pool.count;
        out->first_quantity[i] = (uint32_t)before;
        status = measure(m, row);
        size_t needed = (out->quantities.count + 1) * sizeof *m->entries;
        if (status != TE_OK ||
            !te_vector_reserve(&out->work.block, &out->work.capacity, needed, 1)) {
            return status != TE_OK ? status : TE_ERR_MEMORY;
        }
        m->entries = out->work.block;
        for (size_t j = before; j < out->quantities.count; j++) {
            add_entry(m, (uint32_t)j, row);
        }
    }
    out->first_observation[out->inspection_count] = (uint32_t)out->pool.count;
    out->first_quantity[out->inspection_count] = (uint32_t)out->quantities.count;
    return status;
}

static te_status make_series(struct making *m)
{
    struct groups groups;
    te_status status = te_entries_group(&groups, &m->workshop, m->entries, m->entry_count);
    for (size_t i = 0; status == TE_OK && i < groups.count; i++) {
        const struct group *group = &groups.items[i];
        if (group->count > 0) {
            status = te_series_add(&m->workshop, groups.entries + group->first, group->count);
        }
    }
    return status;
}

/* Inspections after `last` are not looked at; TE_NO_INDEX: all are. */
static te_status make(struct making *m, const te_problems *problems, uint32_t engine, uint32_t last)
{
    bool errors = problems != NULL && problems->errors > 0;
    m->out = m->workshop.out;
    m->shop = m->workshop.shop;
    m->tables = te_shop_tables(m->shop);
    m->workshop.tables = m->tables;
    m->workshop.quantile = gsl_cdf_ugaussian_Pinv(m->tables->confidence);
    m->problems = errors ? problems : NULL;
    m->last = last;
    empty(m->out, engine);
    te_status status = find_inspections(m);
    if (status == TE_OK) {
        cut_inspections(m);
        status = make_entries(m);
    }
    return status == TE_OK ? make_series(m) : status;
}

te_status te_history_make(te_history *history, const te_shop *shop, const te_problems *problems,
                          uint32_t engine)
{
    struct making m = {.workshop = {.out = history, .shop = shop}};
    return make(&m, problems, engine, TE_NO_INDEX);
}

te_status te_history_make_until(te_history *history, const te_shop *shop,
                                const te_problems *problems, uint32_t last)
{
    struct making m = {.workshop = {.out = history, .shop = shop}};
    return make(&m, problems, te_shop_tables(shop)->inspections[last].engine, last);
}

te_status te_history_make_due(te_history *history, const te_shop *shop, const te_problems *problems,
                              uint32_t engine)
{
    struct making m = {.workshop = {.out = history, .shop = shop, .due_alone = true}};
    return make(&m, problems, engine, TE_NO_INDEX);
}

te_status te_history_assess(te_assessment *assessment, const te_history *history,
                            const te_shop *shop, uint32_t inspection, bool damaged)
{
    for (size_t i = history->inspection_count; i > 0; i--) {
        uint32_t first = history->first_quantity[i - 1];
        size_t count = history->first_quantity[i] - first;
        const te_taken taken = {
            .pool = &history->pool,
            .first = history->first_observation[i - 1],
            .end = history->first_observation[i],
            .quantities = count == 0 ? NULL : history->quantities.items + first,
            .count = count,
        };
        if (history->inspections[i - 1] == inspection) {
            return te_assess_taken(assessment, shop, inspection, &taken, damaged);
        }
    }
    return te_assess(assessment, shop, inspection, damaged);
}
