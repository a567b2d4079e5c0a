/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Instruments: their calibrations in order of date, and what they are set with. */
#include <stdlib.h>

#include "internal.h"

static int by_id_date(const void *left, const void *right)
{
    const te_instrument *a = left;
    const te_instrument *b = right;
    if (a->id != b->id) {
        return a->id < b->id ? -1 : 1;
    }
    if (a->calibrated != b->calibrated) {
        return a->calibrated < b->calibrated ? -1 : 1; /* without a date: the oldest */
    }
    return (a->origin.line > b->origin.line) - (a->origin.line < b->origin.line);
}

static struct place_of gauge_place(te_severity severity, const te_instrument *gauge,
                                   const char *column)
{
    return (struct place_of){severity, gauge->origin, column, TE_SCOPE_INSTRUMENT, gauge->id};
}

static void index_instruments(te_shop *shop)
{
    te_instrument *rows = shop->instruments.items;
    size_t count = shop->instruments.count;
    if (count > 1) {
        qsort(rows, count, sizeof *rows, by_id_date);
    }
    for (size_t i = 0; i < count; i++) {
        bool first = i == 0 || rows[i - 1].id != rows[i].id;
        if (first && !te_id_map_set(&shop->instrument_of, rows[i].id, (uint32_t)i)) {
            shop->out_of_memory = true;
            return;
        }
        if (!first && rows[i - 1].calibrated == rows[i].calibrated) {
            struct place_of place = gauge_place(TE_ERROR, &rows[i], "calibrated");
            te_shop_problem(shop, &place, "keep one, or give each its own date of calibration",
                            "the same instrument and date stand in line %u",
                            (unsigned)rows[i - 1].origin.line);
        }
    }
}

/* Rows waiting for the chain of the instrument that they are set with to end. */
struct waiting {
    size_t *first; /* by row of the instrument waited for: 1 + the row that waits, 0 for none */
    size_t *next;  /* by row: 1 + the next that waits for the same */
    size_t *rows;  /* by first row of an instrument: how many of its rows wait */
    size_t *ready; /* first rows of instruments whose chains end */
    size_t ready_count;
};

static void start_waiting(struct waiting *w, const te_shop *shop)
{
    const te_instrument *rows = shop->instruments.items;
    size_t count = shop->instruments.count;
    for (size_t i = 0; i < count; i++) {
        uint32_t self = te_id_map_get(&shop->instrument_of, rows[i].id);
        uint32_t other = te_id_map_get(&shop->instrument_of, rows[i].set_with);
        if (rows[i].set_with != 0 && other != TE_NO_INDEX) {
            w->next[i] = w->first[other];
            w->first[other] = i + 1;
            w->rows[self]++;
        }
    }
    for (size_t i = 0; i < count; i++) {
        if (te_id_map_get(&shop->instrument_of, rows[i].id) == i && w->rows[i] == 0) {
            w->ready[w->ready_count++] = i;
        }
    }
}

/* Marks the instruments whose chains end, from the ends backwards (A. B. Kahn, Comm. ACM 5 (1962)
 * 558); what is left is on a circle or leads to one. False when out of memory. */
static bool mark_ending_chains(const te_shop *shop, bool *ends)
{
    size_t count = shop->instruments.count;
    size_t *block = calloc(4 * count + 1, sizeof *block);
    if (block == NULL) {
        return false;
    }
    struct waiting w = {block, block + count, block + 2 * count, block + 3 * count, 0};
    start_waiting(&w, shop);
    for (size_t done = 0; done < w.ready_count; done++) {
        size_t at = w.ready[done];
        ends[at] = true;
        for (size_t row = w.first[at]; row > 0; row = w.next[row - 1]) {
            uint32_t self = te_id_map_get(&shop->instrument_of,
                                          shop->instruments.items[row - 1].id);
            if (--w.rows[self] == 0) {
                w.ready[w.ready_count++] = self;
            }
        }
    }
    free(block);
    return true;
}

static void check_set_with(te_shop *shop)
{
    te_instrument *rows = shop->instruments.items;
    size_t count = shop->instruments.count;
    bool *ends = calloc(count + 1, sizeof *ends);
    if (ends == NULL || !mark_ending_chains(shop, ends)) {
        shop->out_of_memory = true;
        free(ends);
        return;
    }
    for (size_t i = 0; i < count; i++) {
        struct place_of place = gauge_place(TE_ERROR, &rows[i], "set_with");
        uint32_t next = te_id_map_get(&shop->instrument_of, rows[i].set_with);
        if (rows[i].set_with != 0 && next == TE_NO_INDEX) {
            te_shop_problem(shop, &place, "add it to instruments.csv, or correct the name",
                            "there is no instrument \"%s\"",
                            te_names_text(&shop->names, rows[i].set_with));
        } else if (rows[i].set_with != 0 && !ends[next]) {
            te_shop_problem(shop, &place,
                            "name the instrument whose size it takes over, and no circle",
                            "the instruments are set with each other in a circle");
            rows[i].set_with = 0; /* so that whoever follows a chain comes to its end */
        }
    }
    free(ends);
}

void te_shop_link_instruments(te_shop *shop)
{
    index_instruments(shop);
    if (!shop->out_of_memory) {
        check_set_with(shop);
    }
}
