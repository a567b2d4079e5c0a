/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The very same row in two readings files counts once. */
#include <stdlib.h>
#include <string.h>

#include "hash.h"
#include "internal.h"

/* A row of a readings file: its values stand side by side in the table. */
struct row_ref {
    uint32_t first;
    uint32_t count;
    uint64_t hash;
};

/* What a reading says, number by number, without the place where it stands. Setups are held once. */
enum { WORDS = 5 };

static void take_words(uint64_t words[WORDS], const te_reading *r)
{
    const uint64_t all[WORDS] = {
        te_setup_held(r->setup)->hash, r->inspection, r->part, r->repeat, te_hash_bits(r->value),
    };
    memcpy(words, all, sizeof all);
}

static uint64_t hash_row(const te_reading *r, uint32_t count)
{
    uint64_t hash = 0;
    uint64_t words[WORDS];
    for (uint32_t i = 0; i < count; i++) {
        take_words(words, &r[i]);
        for (size_t j = 0; j < WORDS; j++) {
            hash = te_hash_mix(hash, words[j]);
        }
    }
    return hash;
}

/* Of rows of one hash: whether they are the same is not left to it. */
static bool same_row(const te_reading *readings, const struct row_ref *a, const struct row_ref *b)
{
    bool same = a->count == b->count;
    uint64_t left[WORDS];
    uint64_t right[WORDS];
    for (uint32_t i = 0; i < a->count && same; i++) {
        take_words(left, &readings[a->first + i]);
        take_words(right, &readings[b->first + i]);
        same = memcmp(left, right, sizeof left) == 0 &&
               readings[a->first + i].setup == readings[b->first + i].setup;
    }
    return same;
}

static int by_hash(const void *left, const void *right)
{
    const struct row_ref *a = left;
    const struct row_ref *b = right;
    if (a->hash != b->hash) {
        return a->hash < b->hash ? -1 : 1;
    }
    return (a->first > b->first) - (a->first < b->first);
}

static size_t collect_rows(struct row_ref *rows, const te_shop *shop)
{
    const te_reading *readings = shop->readings.items;
    size_t count = 0;
    for (size_t i = 0; i < shop->readings.count; i++) {
        bool same = i > 0 && readings[i].line == readings[i - 1].line &&
                    readings[i].file == readings[i - 1].file;
        if (same) {
            rows[count - 1].count++;
        } else {
            rows[count++] = (struct row_ref){(uint32_t)i, 1, 0};
        }
    }
    for (size_t i = 0; i < count; i++) {
        rows[i].hash = hash_row(&readings[rows[i].first], rows[i].count);
    }
    return count;
}

static void drop_row(te_shop *shop, const struct row_ref *row, const struct row_ref *kept)
{
    te_reading *reading = &shop->readings.items[row->first];
    const te_reading *original = &shop->readings.items[kept->first];
    uint32_t engine = shop->inspections.items[reading->inspection].engine;
    struct place_of place = te_place_engine(shop, TE_WARNING, te_reading_origin(reading), "",
                                            engine);
    te_shop_problem(shop, &place, "delete one of the two",
                    "the same row stands in %s, line %u: it counts once",
                    shop->files.items[original->file], (unsigned)original->line);
    for (uint32_t i = 0; i < row->count; i++) {
        reading[i].dropped = 1;
    }
}

void te_shop_drop_copies(te_shop *shop)
{
    const te_reading *readings = shop->readings.items;
    size_t count = shop->readings.count;
    if (count == 0 || readings[0].file == readings[count - 1].file) {
        return;
    }
    struct row_ref *rows = calloc(count, sizeof *rows);
    if (rows == NULL) {
        shop->out_of_memory = true;
        return;
    }
    size_t row_count = collect_rows(rows, shop);
    qsort(rows, row_count, sizeof *rows, by_hash);
    size_t run = 0; /* first of the rows of one hash */
    for (size_t i = 0; i < row_count; i++) {
        run = rows[run].hash == rows[i].hash ? run : i;
        /* Rows alike stand together in order of files: one of an earlier file decides. */
        uint16_t file = readings[rows[i].first].file;
        for (size_t j = run; readings[rows[j].first].file != file; j++) {
            if (same_row(readings, &rows[j], &rows[i])) {
                drop_row(shop, &rows[i], &rows[j]);
                break;
            }
        }
    }
    free(rows);
}
