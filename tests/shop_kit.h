/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Shops made in memory for the tests of the record layer, and their problems as text. */
#ifndef TE_SHOP_KIT_H
#define TE_SHOP_KIT_H

#include "te_test.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "topend/shop.h"

enum { KIT_FILES = 24, KIT_TEXT = 16384 };

typedef struct kit {
    te_input inputs[KIT_FILES];
    size_t count;
    te_problems problems;
    te_shop *shop;
    te_status status;
    const te_tables *t;
} kit;

/* Adds a file, or puts another in its place; bytes are borrowed until kit_read. */
static inline void kit_put(kit *k, const char *name, const char *bytes, size_t length)
{
    size_t at = 0;
    while (at < k->count && strcmp(k->inputs[at].name, name) != 0)
        at++;
    assert_true(at < KIT_FILES);
    k->inputs[at] = (te_input){name, bytes, length};
    k->count = at == k->count ? at + 1 : k->count;
}

static inline void kit_text(kit *k, const char *name, const char *text)
{
    kit_put(k, name, text, strlen(text));
}

/* An invented shop whose readings are the given bytes. */
static inline kit kit_with_readings(const char *bytes, size_t length)
{
    kit k = {.count = 0};
    kit_text(&k, "engines.csv", "engine,model\nPS-61,Birch 54\n");
    kit_text(&k, "limits.csv",
             "model,quantity,unit,new_min,new_max,service_max,source\n"
             "Birch 54,bore,mm,54.000,54.018,54.090,leaf 2\n");
    kit_text(&k, "inspections.csv",
             "inspection,engine,date,hours,temperature\nM-1,PS-61,2025-01-31,73.9,20.3\n");
    kit_put(&k, "readings.csv", bytes, length);
    return k;
}

static inline void kit_read_files(kit *k, unsigned files)
{
    te_problems_init(&k->problems);
    k->status = te_shop_read(&k->shop, &k->problems, k->inputs, k->count, files);
    assert_non_null(k->shop);
    k->t = te_shop_tables(k->shop);
}

static inline void kit_read(kit *k)
{
    kit_read_files(k, TE_FILE_EVERY);
}

static inline void kit_free(kit *k)
{
    te_shop_free(k->shop);
    te_problems_free(&k->problems);
    *k = (kit){0};
}

/* A problem in the form that design and users know: FILE:LINE: COLUMN: error: what; remedy */
static inline size_t kit_problem(char *out, size_t size, const te_problem *problem)
{
    char line[16] = "";
    if (problem->line > 0)
        (void)snprintf(line, sizeof line, ":%u", (unsigned)problem->line);
    int length = snprintf(out, size, "%s%s: %s%s%s: %s; %s\n", problem->file, line, problem->column,
                          problem->column[0] ? ": " : "",
                          problem->severity == TE_ERROR ? "error" : "warning", problem->what,
                          problem->remedy);
    assert_true(length > 0 && (size_t)length < size);
    return (size_t)length;
}

/* All problems, one a line. */
static inline const char *kit_problems(const te_problems *problems)
{
    static char text[KIT_TEXT];
    size_t used = 0;
    text[0] = '\0';
    for (size_t i = 0; i < problems->count; i++)
        used += kit_problem(text + used, sizeof text - used, &problems->items[i]);
    return text;
}

/* The list is exactly that, and the status follows from it. */
static inline void kit_expect(const kit *k, const char *expected)
{
    assert_string_equal(kit_problems(&k->problems), expected);
    assert_int_equal(k->status, k->problems.errors > 0 ? TE_ERR_DATA : TE_OK);
}

static inline te_id kit_id(const kit *k, const char *text)
{
    te_id id = te_shop_find_text(k->shop, text);
    if (id == 0)
        fail_msg("no cell holds \"%s\"", text);
    return id;
}

static inline const te_inspection *kit_inspection(const kit *k, const char *name)
{
    uint32_t at = te_shop_find_inspection(k->shop, kit_id(k, name));
    assert_int_not_equal(at, TE_NO_INDEX);
    return &k->t->inspections[at];
}

static inline uint32_t kit_engine(const kit *k, const char *name)
{
    uint32_t at = te_shop_find_engine(k->shop, kit_id(k, name));
    assert_int_not_equal(at, TE_NO_INDEX);
    return at;
}

/* The n-th reading (from 0) of a line of a file. */
static inline const te_reading *kit_reading(const kit *k, const char *file, unsigned line,
                                            unsigned n)
{
    for (size_t i = 0; i < k->t->reading_count; i++) {
        const te_reading *r = &k->t->readings[i];
        if (r->line == line && strcmp(k->t->files[r->file], file) == 0 && n-- == 0)
            return r;
    }
    fail_msg("%s:%u has no such reading", file, line);
    return NULL;
}

/* The part that a reading ended up with, as text. */
static inline const char *kit_part(const kit *k, const char *file, unsigned line)
{
    return te_shop_text(k->shop, kit_reading(k, file, line, 0)->part);
}

#endif
