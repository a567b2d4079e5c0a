/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The series of an engine: which inspections bear on it, and which values belong together. */
#include <gsl/gsl_cdf.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

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
    free(history->work.block);
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
    if (!te_vector_reserve(&out->first_observation, &out->first_capacity, out->inspection_count + 1,
                           sizeof *out->first_observation)) {
        return TE_ERR_MEMORY;
    }
    for (size_t i = 0; i < out->inspection_count && status == TE_OK; i++) {
        uint32_t row = out->inspections[i];
        size_t before = out->quantities.count;
        out->first_observation[i] = (uint32_t)out->pool.count;
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
    return status;
}

/* ---- groups ---- */

/* Items in the order of their words: 1, 2 ... 10 or left, right. */
static int compare_items(const struct entry *a, const struct entry *b)
{
    if (a->item == b->item) {
        return 0;
    }
    bool numbers = a->word[0] >= '0' && a->word[0] <= '9' && b->word[0] >= '0' && b->word[0] <= '9';
    size_t m = strlen(a->word);
    size_t n = strlen(b->word);
    return numbers && m != n ? (m < n ? -1 : 1) : strcmp(a->word, b->word);
}

static int compare_groups(const struct entry *a, const struct entry *b)
{
    if (a->quantity != b->quantity) {
        return a->quantity < b->quantity ? -1 : 1;
    }
    int items = compare_items(a, b);
    if (items != 0) {
        return items;
    }
    if (a->part != b->part) {
        return a->part < b->part ? -1 : 1;
    }
    return (a->second_part > b->second_part) - (a->second_part < b->second_part);
}

static int by_group(const void *left, const void *right)
{
    const struct entry *a = left;
    const struct entry *b = right;
    int order = compare_groups(a, b);
    return order != 0 ? order : (a->measured > b->measured) - (a->measured < b->measured);
}

/* Own hours are sums and carry rounding: they are compared by whole steps of what counts as the
 * same, so that the date decides where a part left one engine and went on another. */
static int compare_hours(double a, double b)
{
    double m = round(a / TE_SAME_HOURS);
    double n = round(b / TE_SAME_HOURS);
    return (m > n) - (m < n);
}

/* Entries of one group in order of hours, date, file. */
static int by_hours(const struct entry *a, const struct entry *b)
{
    int order = compare_hours(a->hours, b->hours);
    order = order != 0 ? order : (a->date > b->date) - (a->date < b->date);
    return order != 0 ? order : (a->inspection > b->inspection) - (a->inspection < b->inspection);
}

/* Groups in the order of their first inspection, each in that order. */
static int by_output(const void *left, const void *right)
{
    const struct entry *a = left;
    const struct entry *b = right;
    if (a->quantity != b->quantity) {
        return a->quantity < b->quantity ? -1 : 1;
    }
    int order = compare_items(a, b);
    order = order != 0 ? order : (a->ordinal > b->ordinal) - (a->ordinal < b->ordinal);
    return order != 0 ? order : by_hours(a, b);
}

/* Most entries are in order already: an engine's parts go on one after the other. */
static void sort_unless_sorted(struct entry *entries, size_t count,
                               int (*compare)(const void *, const void *))
{
    for (size_t i = 1; i < count; i++) {
        if (compare(&entries[i - 1], &entries[i]) > 0) {
            qsort(entries, count, sizeof *entries, compare);
            return;
        }
    }
}

/* The last entry of a group: of a pair the last in order of date, for it counts its hours anew when it
 * comes together again; of a part by its own hours, which go on from engine to engine. */
static const struct entry *last_of(const struct entry *entries, size_t count)
{
    const struct entry *last = &entries[count - 1];
    for (size_t i = 0; i < count && last->second_part == 0; i++) {
        const struct entry *e = &entries[i];
        last = !isnan(e->hours) && (isnan(last->hours) || by_hours(e, last) > 0) ? e : last;
    }
    return last;
}

/* Marks what is not on the axis of a group: what stands before an unknown history, of a pair that
 * parted and came together again what was before, and a gap in another cylinder, whose wear is none
 * of the ring's. Entries stand in order of date. */
static void keep_last_period(struct entry *entries, size_t count)
{
    const struct entry *last = last_of(entries, count);
    for (size_t i = 0; i < count; i++) {
        bool same = last->second_part == 0 ||
                    (entries[i].engine == last->engine &&
                     fabs(entries[i].start - last->start) <= TE_SAME_HOURS);
        same = same && entries[i].cylinder == last->cylinder;
        entries[i].hours = same ? entries[i].hours : NAN;
    }
}

static size_t group_end(const struct entry *entries, size_t first, size_t count)
{
    size_t end = first + 1;
    while (end < count && compare_groups(&entries[first], &entries[end]) == 0) {
        end++;
    }
    return end;
}

/* A group without any entry on its axis has no series that could tell of it. */
static void count_lost(struct making *m, const struct entry *last)
{
    const te_measured *measured = &m->out->quantities.items[last->measured];
    uint32_t engine = m->out->engine;
    struct found_parts *found = &m->workshop.found;
    m->out->lost += te_find_on_now(found, m->shop, last->part, measured->kind, engine) &&
                    (measured->second_kind == TE_KIND_NONE ||
                     te_find_on_now(found, m->shop, last->second_part, measured->second_kind,
                                    engine));
}

static void group_entries(struct making *m)
{
    size_t kept = 0;
    sort_unless_sorted(m->entries, m->entry_count, by_group);
    for (size_t first = 0; first < m->entry_count;) {
        size_t end = group_end(m->entries, first, m->entry_count);
        keep_last_period(m->entries + first, end - first);
        uint32_t dropped = 0;
        for (size_t i = first; i < end; i++) {
            dropped += isnan(m->entries[i].hours) ? 1 : 0;
        }
        if (dropped == end - first) {
            count_lost(m, &m->entries[end - 1]);
        }
        for (size_t i = first; i < end; i++) {
            m->entries[i].ordinal = m->entries[first].measured;
            m->entries[i].dropped = dropped;
        }
        first = end;
    }
    for (size_t i = 0; i < m->entry_count; i++) {
        if (!isnan(m->entries[i].hours)) {
            if (kept != i) {
                m->entries[kept] = m->entries[i];
            }
            kept++;
        }
    }
    m->entry_count = kept;
    sort_unless_sorted(m->entries, kept, by_output);
}

static te_status make(te_history *history, const te_shop *shop, const te_problems *problems,
                      uint32_t engine, uint32_t last)
{
    bool errors = problems != NULL && problems->errors > 0;
    const te_tables *tables = te_shop_tables(shop);
    struct making m = {.workshop = {.out = history,
                                    .shop = shop,
                                    .tables = tables,
                                    .quantile = gsl_cdf_ugaussian_Pinv(tables->confidence)},
                       .out = history,
                       .shop = shop,
                       .tables = tables,
                       .problems = errors ? problems : NULL,
                       .last = last};
    empty(history, engine);
    te_status status = find_inspections(&m);
    if (status == TE_OK) {
        cut_inspections(&m);
        status = make_entries(&m);
    }
    if (status != TE_OK) {
        return status;
    }
    group_entries(&m);
    for (size_t first = 0; first < m.entry_count && status == TE_OK;) {
        size_t end = group_end(m.entries, first, m.entry_count);
        status = te_series_add(&m.workshop, m.entries + first, end - first);
        first = end;
    }
    return status;
}

te_status te_history_make(te_history *history, const te_shop *shop, const te_problems *problems,
                          uint32_t engine)
{
    return make(history, shop, problems, engine, TE_NO_INDEX);
}

te_status te_history_make_until(te_history *history, const te_shop *shop,
                                const te_problems *problems, uint32_t last)
{
    return make(history, shop, problems, te_shop_tables(shop)->inspections[last].engine, last);
}
