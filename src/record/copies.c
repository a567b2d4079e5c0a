/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The very same row in two readings files counts once. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "internal.h"

/* A row of a readings file: its values stand side by side in the table. */
struct row_ref {
    uint32_t first;
    uint32_t count;
    uint64_t hash;
};

static uint64_t mix(uint64_t hash, uint64_t value)
{
    /* splitmix64's finaliser (S. Vigna; public domain reference code) */
    hash ^= value + 0x9e3779b97f4a7c15U;
    hash = (hash ^ hash >> 30) * 0xbf58476d1ce4e5b9U;
    hash = (hash ^ hash >> 27) * 0x94d049bb133111ebU;
    return hash ^ hash >> 31;
}

static uint64_t mix_number(uint64_t hash, double number)
{
    uint64_t bits = 0;
    double value = isnan(number) ? -1e300 : number + 0.0; /* all NANs alike, no minus zero */
    memcpy(&bits, &value, sizeof bits);
    return mix(hash, bits);
}

static uint64_t hash_row(const te_reading *r, uint32_t count)
{
    uint64_t hash = mix(r->inspection, r->feature);
    const uint64_t words[] = {r->part, r->item, r->instrument, r->unit, r->unit_text, r->note};
    const double numbers[] = {r->no_go, r->zero, r->position, r->direction};
    for (size_t i = 0; i < sizeof words / sizeof *words; i++) {
        hash = mix(hash, words[i]);
    }
    for (size_t i = 0; i < sizeof numbers / sizeof *numbers; i++) {
        hash = mix_number(hash, numbers[i]);
    }
    for (uint32_t i = 0; i < count; i++) {
        hash = mix_number(mix(hash, r[i].repeat), r[i].value);
    }
    return hash;
}

static bool same_number(double a, double b)
{
    return (isnan(a) && isnan(b)) || (!(a < b) && !(a > b) && !isnan(a) && !isnan(b));
}

static bool same_cells(const te_reading *a, const te_reading *b)
{
    return a->inspection == b->inspection && a->feature == b->feature && a->part == b->part &&
           a->item == b->item && a->instrument == b->instrument && a->unit == b->unit &&
           a->unit_text == b->unit_text && a->note == b->note && a->repeat == b->repeat &&
           same_number(a->value, b->value) && same_number(a->no_go, b->no_go) &&
           same_number(a->zero, b->zero) && same_number(a->position, b->position) &&
           same_number(a->direction, b->direction);
}

static bool same_row(const te_reading *readings, const struct row_ref *a, const struct row_ref *b)
{
    if (a->hash != b->hash || a->count != b->count) {
        return false;
    }
    for (uint32_t i = 0; i < a->count; i++) {
        if (!same_cells(&readings[a->first + i], &readings[b->first + i])) {
            return false;
        }
    }
    return true;
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
        bool same = i > 0 && readings[i].origin.line == readings[i - 1].origin.line &&
                    readings[i].origin.file == readings[i - 1].origin.file;
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
    struct place_of place = te_place_engine(shop, TE_WARNING, reading->origin, "", engine);
    te_shop_problem(shop, &place, "delete one of the two",
                    "the same row stands in %s, line %u: it counts once",
                    shop->files.items[original->origin.file], (unsigned)original->origin.line);
    for (uint32_t i = 0; i < row->count; i++) {
        reading[i].dropped = 1;
    }
}

void te_shop_drop_copies(te_shop *shop)
{
    const te_reading *readings = shop->readings.items;
    size_t count = shop->readings.count;
    if (count == 0 || readings[0].origin.file == readings[count - 1].origin.file) {
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
        uint16_t file = readings[rows[i].first].origin.file;
        for (size_t j = run; readings[rows[j].first].origin.file != file; j++) {
            if (same_row(readings, &rows[j], &rows[i])) {
                drop_row(shop, &rows[i], &rows[j]);
                break;
            }
        }
    }
    free(rows);
}
