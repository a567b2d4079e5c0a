/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The header row of a file: which column stands where, and what is none. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "table.h"

size_t te_schema_columns(const struct te_schema *schema)
{
    size_t count = 0;
    while (schema->columns[count].name != NULL) {
        count++;
    }
    return count;
}

int te_schema_find(const struct te_schema *schema, te_slice cell)
{
    for (int i = 0; schema->columns[i].name != NULL; i++) {
        if (te_text_same_word(cell, schema->columns[i].name)) {
            return i;
        }
    }
    return -1;
}

/* Columns that no result rests on. */
static bool is_remark(const char *name)
{
    static const char *const remarks[] = {"note", "source", "description", "by"};
    for (size_t i = 0; i < sizeof remarks / sizeof *remarks; i++) {
        if (strcmp(name, remarks[i]) == 0) {
            return true;
        }
    }
    return false;
}

/* The absent column that a header cell is a misspelling of; NULL for none. */
static const char *absent_column_like(const struct te_table *table, te_slice cell)
{
    const char *words[TE_COLUMNS_MOST];
    size_t count = 0;
    for (size_t i = 0; i < te_schema_columns(table->schema); i++) {
        if (table->cell_of[i] < 0) {
            words[count++] = table->schema->columns[i].name;
        }
    }
    return te_nearest(cell, words, count);
}

/* True when a header cell is two absent columns' names with a character or none between them: a delimiter
 * was damaged. */
static bool is_two_columns(const struct te_table *table, te_slice cell)
{
    for (size_t i = 0; i < te_schema_columns(table->schema); i++) {
        const char *first = table->schema->columns[i].name;
        size_t length = strlen(first);
        bool begins = table->cell_of[i] < 0 && cell.length > length &&
                      te_text_same_word((te_slice){cell.bytes, length}, first);
        for (size_t skip = length; begins && skip <= length + 1 && skip < cell.length; skip++) {
            const te_slice rest = {cell.bytes + skip, cell.length - skip};
            int second = te_schema_find(table->schema, rest);
            if (second >= 0 && table->cell_of[second] < 0) {
                return true;
            }
        }
    }
    return false;
}

/* True when a header cell and the next, or the one before, are one absent column's name that a delimiter has
 * cut, in place of one of its characters or between two. */
static bool is_half_column(const struct te_table *table, size_t at)
{
    for (size_t first = at > 0 ? at - 1 : 0; first <= at && first + 1 < table->cell_count;
         first++) {
        te_slice a = table->cells[first];
        te_slice b = table->cells[first + 1];
        char joined[128];
        if (a.length == 0 || b.length == 0 || a.length + b.length >= sizeof joined) {
            continue;
        }
        memcpy(joined, a.bytes, a.length);
        memcpy(joined + a.length, b.bytes, b.length);
        te_text_fold(joined, a.length + b.length);
        joined[a.length + b.length] = '\0';
        for (size_t i = 0; i < te_schema_columns(table->schema); i++) {
            if (table->cell_of[i] < 0 &&
                te_text_distance(joined, table->schema->columns[i].name) <= 1) {
                return true;
            }
        }
    }
    return false;
}

/* A column of the user's own is not read; but a known one that is lost by a slip would be a limit or
 * an uncertainty less. */
static void report_unknown_column(struct te_table *table, size_t at)
{
    te_slice cell = table->cells[at];
    char shown[TE_SHOWN];
    char remedy[TE_PROBLEM_TEXT];
    const char *like = absent_column_like(table, cell);
    (void)te_cell_shown(shown, cell);
    if (like != NULL && !is_remark(like)) {
        (void)snprintf(remedy, sizeof remedy,
                       "write %s, or give a column of your own a name less like it", like);
        te_row_error(table, -1, remedy, "the column \"%s\" is not known", shown);
        table->header_bad = true;
    } else if (!te_is_own_name(cell) || is_two_columns(table, cell) || is_half_column(table, at)) {
        te_row_error(table, -1, "write the column's name; one of your own begins with a letter",
                     "\"%s\" is no name of a column", shown);
        table->header_bad = true;
    } else {
        (void)snprintf(remedy, sizeof remedy, "%s%s",
                       like != NULL ? "the nearest known column is " : "take it out, or use note",
                       like != NULL ? like : "");
        te_row_warning(table, -1, remedy, "the column \"%s\" is not known and is not read", shown);
    }
}

static void take_header_cell(struct te_table *table, int at, te_slice cell)
{
    int column = te_schema_find(table->schema, cell);
    if (column < 0) {
        return; /* told when all known ones are found */
    }
    if (table->cell_of[column] >= 0) {
        te_row_error(table, column, "keep one of them", "the column stands twice in the header");
        table->header_bad = true;
    } else {
        table->cell_of[column] = at;
    }
}

/* Columns are missing: says which, or that the row is a title. */
static void check_header(struct te_table *table, size_t known)
{
    if (known == 0) {
        te_row_error(table, -1,
                     "the first row must be the header row: delete a title row, or add the header",
                     "this row holds none of the column names of %s", table->schema->file);
        table->header_bad = true;
        return;
    }
    for (int i = 0; i < (int)te_schema_columns(table->schema); i++) {
        if ((table->schema->columns[i].traits & TE_COLUMN_REQUIRED) != 0 && table->cell_of[i] < 0) {
            te_row_error(table, i, "add the column", "the header row lacks this column");
            table->header_bad = true;
        }
    }
}

/* Holds the header row for a row that is to be added to the file; see te_tables. */
static void keep_header(const struct te_table *table)
{
    te_shop *shop = table->shop;
    size_t length = 0;
    size_t used = 0;
    for (size_t i = 0; i < table->header_width; i++) {
        length += table->cells[i].length + 1;
    }
    char *text = malloc(length + 1);
    if (text == NULL) {
        shop->out_of_memory = true;
        return;
    }
    for (size_t i = 0; i < table->header_width; i++) {
        for (size_t j = 0; j < table->cells[i].length; j++) {
            char c = table->cells[i].bytes[j];
            text[used++] = (char)(c == '\n' ? ' ' : c);
        }
        text[used++] = '\n';
    }
    shop->tables.inspection_header = te_shop_intern(shop, (te_slice){text, used});
    free(text);
}

void te_table_take_header(struct te_table *table)
{
    size_t known = 0;
    table->header_done = true;
    for (size_t i = 0; i < table->cell_count; i++) {
        known += te_schema_find(table->schema, table->cells[i]) >= 0;
        table->header_width = table->cells[i].length > 0 ? i + 1 : table->header_width;
    }
    for (size_t i = 0; known > 0 && i < table->cell_count; i++) {
        if (table->cells[i].length > 0) {
            take_header_cell(table, (int)i, table->cells[i]);
        } else {
            table->nameless[i / 8] |= (unsigned char)(1U << i % 8);
            table->any_nameless = true;
        }
    }
    for (size_t i = 0; known > 0 && i < table->cell_count; i++) {
        if (table->cells[i].length > 0 && te_schema_find(table->schema, table->cells[i]) < 0) {
            report_unknown_column(table, i);
        }
    }
    table->narrow = table->header_width <= 4;
    check_header(table, known);
    if (table->schema->bit == TE_FILE_INSPECTIONS && !table->header_bad) {
        keep_header(table);
    }
}
