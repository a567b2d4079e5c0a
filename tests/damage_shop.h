/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Shops as tables of cells, for tests that damage them: random ones by a seed, and how they are spelt as files. */
#ifndef TE_DAMAGE_SHOP_H
#define TE_DAMAGE_SHOP_H

#include "te_shop_text.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { CELL = 48, COLUMNS = 14, ROWS = 40, TABLES = 12 };

typedef struct table {
    const char *name;     /* of the file */
    size_t columns, rows; /* row 0 is the header */
    char cell[ROWS][COLUMNS][CELL];
} table;

/* How files are spelt. */
typedef struct spelling {
    char delimiter, mark;
    const char *end; /* of a line */
    bool bom, quoted, latin1, utf16;
} spelling;

typedef struct shop_tables {
    table tables[TABLES];
    size_t count;
    spelling as;
} shop_tables;

static table *table_named(shop_tables *s, const char *name)
{
    for (size_t i = 0; i < s->count; i++) {
        if (strcmp(s->tables[i].name, name) == 0)
            return &s->tables[i];
    }
    return NULL;
}

/* Adds a row of cells cut at '|'; a table that is not there begins with it. */
static void add_row(shop_tables *s, const char *name, const char *row)
{
    table *t = table_named(s, name);
    if (t == NULL) {
        assert_true(s->count < TABLES);
        t = &s->tables[s->count++];
        *t = (table){.name = name};
    }
    assert_true(t->rows < ROWS);
    size_t column = 0;
    for (const char *at = row;; at++) {
        size_t length = strcspn(at, "|");
        assert_true(length < CELL && column < COLUMNS);
        memcpy(t->cell[t->rows][column++], at, length);
        at += length;
        if (*at == '\0')
            break;
    }
    t->columns = t->rows == 0 ? column : t->columns;
    assert_true(column <= t->columns);
    t->rows++;
}

static bool is_figure(const char *cell)
{
    const char *at = cell + (*cell == '-');
    size_t digits = strspn(at, "0123456789");
    size_t rest = at[digits] == '.' ? strspn(at + digits + 1, "0123456789") : 0;
    return digits > 0 && at[digits + (rest > 0 ? rest + 1 : 0)] == '\0';
}

static void put_cell_text(te_grown *out, const char *cell, const spelling *as)
{
    char text[CELL];
    (void)snprintf(text, sizeof text, "%s", cell);
    char *point = is_figure(text) ? strchr(text, '.') : NULL;
    if (point != NULL)
        *point = as->mark;
    bool quotes = as->quoted || strchr(text, as->delimiter) != NULL || strchr(text, '"') != NULL;
    te_grown_add(out, quotes ? "\"%s\"" : "%s", text);
}

/* A table as the bytes of a file; free them. */
static char *spell_table(size_t *length, const table *t, const spelling *as)
{
    te_grown out = {0};
    te_grown_add(&out, "%s", as->bom ? "\xef\xbb\xbf" : "");
    for (size_t r = 0; r < t->rows; r++) {
        for (size_t c = 0; c < t->columns; c++) {
            te_grown_add(&out, "%.*s", c > 0, &as->delimiter);
            put_cell_text(&out, t->cell[r][c], as);
        }
        te_grown_add(&out, "%s", as->end);
    }
    *length = out.length;
    if (!as->utf16)
        return out.text;
    char *wide = malloc(2 * out.length + 2); /* all of it is ASCII */
    assert_non_null(wide);
    memcpy(wide, "\xff\xfe", 2);
    for (size_t i = 0; i < out.length; i++) {
        wide[2 + 2 * i] = out.text[i];
        wide[3 + 2 * i] = '\0';
    }
    *length = 2 * out.length + 2;
    te_grown_free(&out);
    return wide;
}

/* ---- random shops ---- */

static double between(te_random *random, double low, double high)
{
    return low + (high - low) * te_random_unit(random);
}

static bool chance(te_random *random, size_t in)
{
    return te_random_below(random, in) == 0;
}

static void add_reading(shop_tables *s, const char *file, const char *format, double value)
{
    char row[256];
    char figure[32];
    (void)snprintf(figure, sizeof figure, "%.3f", value);
    const char *at = strstr(format, "$");
    assert_non_null(at);
    (void)snprintf(row, sizeof row, "%.*s%s%s", (int)(at - format), format, figure, at + 1);
    add_row(s, file, row);
}

/* Readings of one inspection, at every place of the plan; worn in millimetres. */
static void add_inspection(shop_tables *s, te_random *random, const char *file, const char *id,
                           double worn, bool pass)
{
    static const char *const places[] = {"10||thrust", "10||pin", "40||thrust", "40||pin"};
    char row[128];
    for (size_t i = 0; i < 4; i++) {
        (void)snprintf(row, sizeof row, "%s|bore||%.2s|%s|$||||BG|", id, places[i], places[i] + 4);
        add_reading(s, file, row, 66.01 + worn * (i < 2 ? 1.0 : 0.4) + between(random, 0, 0.004));
    }
    (void)snprintf(row, sizeof row, "%s|skirt||12||$||||MI|", id);
    add_reading(s, file, row, 65.93 - worn * (pass ? 0.2 : between(random, 0.1, 1.2)));
    for (int ring = 1; ring <= 2; ring++) {
        double gap = pass ? 0.35 : round(between(random, 0.25, 0.95) * 100) / 100; /* leaves */
        (void)snprintf(row, sizeof row, "%s|end_gap|%d|40||$||%.3f|||", id, ring, gap + 0.05);
        add_reading(s, file, row, gap);
    }
    (void)snprintf(row, sizeof row, "%s|pin||||$||||MI|", id);
    add_reading(s, file, row, 15.996 - (pass ? 0.001 : between(random, 0, 0.024)));
    /* A dial that was set to 30 mm: a cylinder's flange, the user's own feature. */
    (void)snprintf(row, sizeof row, "%s|flange||||$|||30|DI|", id);
    add_reading(s, file, row, pass ? 0.01 : between(random, -0.05, 0.3));
}

/* Two engines of one model, planned in full; verdicts of all sorts among them. */
static void make_shop(shop_tables *s, te_random *random)
{
    static const spelling spellings[] = {{',', '.', "\n", false, false, false, false},
                                         {';', ',', "\r\n", true, false, false, false},
                                         {'\t', ',', "\r\n", false, false, false, true},
                                         {',', '.', "\r\n", false, true, false, false},
                                         {';', '.', "\n", false, false, false, false},
                                         {',', '.', "\n", false, false, false, false}};
    *s = (shop_tables){.as = spellings[te_random_below(random, 6)]};
    bool own = chance(random, 2);
    bool more = chance(random, 2);
    bool simple = chance(random, 4);
    add_row(s, "shop.csv", "key|value");
    add_row(s, "shop.csv", "name|Valley brigade (invented)");
    add_row(s, "shop.csv", simple ? "rule|simple" : "rule|guarded");
    add_row(s, "shop.csv", "confidence|0.95");
    add_row(s, "engines.csv", "engine|model|note");
    add_row(s, "engines.csv", "PS-01|Alder 66|");
    add_row(s, "engines.csv", "PS-02|Alder 66|spare pump");
    add_row(s, "models.csv", "model|cylinder_material|piston_material|ring_material|reborable");
    add_row(s, "models.csv", "Alder 66|aluminium|aluminium_high_si|cast_iron|no");
    add_row(s, "limits.csv",
            "model|quantity|item|unit|new_min|new_max|service_min|service_max|required|source");
    add_row(s, "limits.csv", "Alder 66|bore||mm|66.000|66.020||66.100|yes|sheet 7");
    add_row(s, "limits.csv", "Alder 66|out_of_round||mm||0.010||0.030|yes|sheet 7");
    add_row(s, "limits.csv", "Alder 66|taper||mm||0.010||0.050|yes|sheet 7");
    add_row(s, "limits.csv", "Alder 66|skirt||mm|65.920|65.940|65.870||yes|sheet 7");
    add_row(s, "limits.csv", "Alder 66|skirt_clearance||mm|0.060|0.100|0.050|0.180|yes|sheet 7");
    add_row(s, "limits.csv", "Alder 66|end_gap||mm|0.25|0.40|0.20|0.80|yes|sheet 7");
    add_row(s, "limits.csv", "Alder 66|pin||mm|15.994|15.998|15.980||yes|sheet 8");
    add_row(s, "limits.csv", "Alder 66|flange||mm|30.000|30.050||30.100|no|sheet 8");
    add_row(s, "instruments.csv",
            "instrument|description|unit|resolution|expanded_uncertainty|"
            "repeatability|set_with|calibrated|due");
    add_row(s, "instruments.csv", "MI|micrometer|mm|0.001|0.002|0.0005||2025-01-10|2027-01-10");
    add_row(s, "instruments.csv", "BG|bore gauge|mm|0.001|0.004|0.001|MI|2025-01-10|2027-01-10");
    add_row(s, "instruments.csv", "DI|dial indicator|mm|0.01|0.006|0.002||2025-01-10|2027-01-10");
    add_row(s, "parts.csv", "part|kind|engine|fitted_hours|removed_hours|hours_before|oversize");
    add_row(s, "parts.csv", "K-101|piston|PS-01|0|120||");
    add_row(s, "parts.csv", "K-102|piston|PS-01|120|||");
    add_row(s, "parts.csv", own ? "C-7|cylinder|PS-02|0|||" : "R-3|ring_set|PS-02|0|||");
    add_row(s, "inspections.csv",
            "inspection|engine|date|hours|state|temperature|temperature_uncertainty|by");
    add_row(s, "inspections.csv", "PS-01-a|PS-01|2026-02-01|95.5|found|19|1|");
    add_row(s, "inspections.csv", "PS-01-b|PS-01|2026-06-01|180|found|21.5|1|");
    add_row(s, "inspections.csv", "PS-02-a|PS-02|2026-06-02|240|found|20||");
    add_row(s, "condition.csv", "inspection|part|finding|severity");
    add_row(s, "condition.csv", "PS-01-b|piston|scuffed|watch");
    if (chance(random, 2))
        add_row(s, "condition.csv",
                own ? "PS-02-a|C-7|scored|reject" : "PS-02-a|piston|seized|reject");
    add_row(s, "plan.csv", "model|feature|item|position|direction|repeats|instrument");
    static const char *const planned[] = {"bore||10|thrust", "bore||10|pin", "bore||40|thrust",
                                          "bore||40|pin",    "skirt||12|",   "end_gap|1|40|",
                                          "end_gap|2|40|",   "pin|||",       "flange|||"};
    for (size_t i = 0; i < sizeof planned / sizeof *planned; i++) {
        char row[64];
        (void)snprintf(row, sizeof row, "Alder 66|%s|1|", planned[i]);
        add_row(s, "plan.csv", row);
    }
    static const char header[] =
        "inspection|feature|item|position|direction|reading|reading_2|no_go|zero|instrument|note";
    const char *last = more ? "readings/ps-02.csv" : "readings.csv";
    add_row(s, "readings.csv", header);
    add_inspection(s, random, "readings.csv", "PS-01-a", between(random, 0, 0.05), true);
    add_inspection(s, random, "readings.csv", "PS-01-b", between(random, 0.02, 0.11),
                   chance(random, 2));
    if (more)
        add_row(s, last, header);
    add_inspection(s, random, last, "PS-02-a", between(random, 0.0, 0.12), chance(random, 3));
}

#endif
