/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * A table as text: columns within a width, their cells wrapped; where not even the longest words
 * fit beside each other, each row as lines `title: value`.
 */
#include <stdlib.h>
#include <string.h>

#include "document_text.h"

enum {
    GAP = 2,   /* between columns */
    BOX = 8,   /* an empty box to write in */
    INDENT = 4 /* of what belongs to a row, in lines */
};

struct table {
    te_buffer *out;
    const te_document *document;
    const te_table *table;
    const te_text_style *style;
    const te_column *columns;
    te_buffer *heads; /* title and unit, one a column */
    te_slice *rests;  /* what of a row's cells is still to be written */
    size_t *widths;
    size_t *most; /* widths that the columns would fill */
};

static const te_cell *cell_at(const struct table *t, uint32_t row, uint32_t column)
{
    size_t first = t->table->first_cell + (size_t)row * t->table->column_count;
    return &t->document->cells[first + column];
}

static te_slice text_at(const struct table *t, uint32_t row, uint32_t column)
{
    const char *text = te_document_chars(t->document, cell_at(t, row, column)->text);
    return (te_slice){text, strlen(text)};
}

static bool is_box(const struct table *t, uint32_t row, uint32_t column)
{
    return t->table->boxes && cell_at(t, row, column)->text == 0;
}

static te_slice head_of(const struct table *t, uint32_t column)
{
    const te_buffer *head = &t->heads[column];
    return (te_slice){head->length == 0 ? "" : head->bytes, head->length};
}

static void put_head_text(const struct table *t, uint32_t i)
{
    const te_column *column = &t->columns[i];
    te_buffer_text(&t->heads[i], te_document_chars(t->document, column->title));
    if (column->unit != 0) {
        te_buffer_text(&t->heads[i], column->title == 0 ? "(" : " (");
        te_buffer_text(&t->heads[i], te_document_chars(t->document, column->unit));
        te_buffer_text(&t->heads[i], ")");
    }
    t->out->failed = t->out->failed || t->heads[i].failed;
}

/* ---- widths ---- */

static size_t more_of(size_t a, size_t b)
{
    return a > b ? a : b;
}

static size_t longest_word(te_slice text)
{
    size_t longest = 0;
    for (size_t i = 0; i < text.length;) {
        const char *space = memchr(text.bytes + i, ' ', text.length - i);
        size_t length = space == NULL ? text.length - i : (size_t)(space - text.bytes) - i;
        longest = more_of(longest, te_text_width((te_slice){text.bytes + i, length}));
        i += length + 1;
    }
    return longest;
}

static size_t less_of(size_t a, size_t b)
{
    return a < b ? a : b;
}

/* The width that the cells of a column fill, and in `least` what it needs: a word longer than `word` may be
 * cut to keep columns beside each other, a figure never. */
static size_t measure(const struct table *t, uint32_t column, size_t word, size_t *least)
{
    size_t most = 0;
    *least = less_of(longest_word(head_of(t, column)), word);
    for (uint32_t row = 0; row < t->table->row_count; row++) {
        te_slice text = text_at(t, row, column);
        size_t width = is_box(t, row, column) ? BOX : te_text_width(text);
        size_t longest = is_box(t, row, column) ? BOX : longest_word(text);
        *least = more_of(*least, t->columns[column].number ? longest : less_of(longest, word));
        most = more_of(most, width);
    }
    return most;
}

/* Gives what is left of the line to the columns that lack most; false when not even the least
 * widths fit. */
static bool share_width(const struct table *t)
{
    uint32_t count = t->table->column_count;
    size_t used = (size_t)GAP * (count - 1);
    for (uint32_t i = 0; i < count; i++) {
        used += t->widths[i];
    }
    if (used > t->style->width) {
        return false;
    }
    for (size_t left = t->style->width - used; left > 0; left--) {
        uint32_t neediest = 0;
        double need = 1.0;
        for (uint32_t i = 0; i < count; i++) {
            double lack = (double)t->most[i] / (double)more_of(t->widths[i], 1);
            if (lack > need) {
                need = lack;
                neediest = i;
            }
        }
        if (need <= 1.0) {
            break;
        }
        t->widths[neediest]++;
    }
    return true;
}

static bool find_widths(const struct table *t)
{
    static const size_t words[] = {32, 16}; /* a file's name with its line; a long word */
    uint32_t count = t->table->column_count;
    bool fits = false;
    for (size_t try = 0; !fits && try < sizeof words / sizeof *words; try++) {
        for (uint32_t i = 0; i < count; i++) {
            t->most[i] = measure(t, i, words[try], &t->widths[i]);
        }
        fits = share_width(t);
    }
    /* Heads on one line are the last wish. */
    for (uint32_t i = 0; i < count; i++) {
        t->most[i] = more_of(t->most[i], te_text_width(head_of(t, i)));
    }
    return fits && share_width(t);
}

/* ---- columns ---- */

/* One line of one cell, in its column's width. */
static void put_piece(const struct table *t, uint32_t column, enum te_colour colour)
{
    te_slice *rest = &t->rests[column];
    size_t next = 0;
    size_t length = te_put_fitting(&next, *rest, t->widths[column]);
    size_t used = te_text_width((te_slice){rest->bytes, length});
    size_t blank = used < t->widths[column] ? t->widths[column] - used : 0;
    bool right = t->columns[column].number;
    bool coloured = colour != TE_PLAIN && length > 0;
    te_put_spaces(t->out, right ? blank : 0);
    if (coloured) {
        te_put_colour(t->out, t->style, colour);
    }
    te_buffer_add(t->out, rest->bytes, length);
    if (coloured) {
        te_put_colour(t->out, t->style, TE_PLAIN);
    }
    te_put_spaces(t->out, right ? 0 : blank);
    *rest = (te_slice){rest->bytes + next, rest->length - next};
}

static void put_box(const struct table *t, size_t width)
{
    te_buffer_text(t->out, "[");
    te_put_spaces(t->out, width - 2);
    te_buffer_text(t->out, "]");
}

static bool has_rest(const struct table *t)
{
    for (uint32_t i = 0; i < t->table->column_count; i++) {
        if (t->rests[i].length > 0) {
            return true;
        }
    }
    return false;
}

/* The head row when `row` is NULL. */
static void put_row(const struct table *t, const uint32_t *row)
{
    uint32_t count = t->table->column_count;
    for (uint32_t i = 0; i < count; i++) {
        t->rests[i] = row == NULL ? head_of(t, i) : text_at(t, *row, i);
    }
    bool first = true;
    do {
        size_t start = t->out->length;
        for (uint32_t i = 0; i < count; i++) {
            te_put_spaces(t->out, i == 0 ? 0 : GAP);
            if (row != NULL && first && is_box(t, *row, i)) {
                put_box(t, t->widths[i]);
            } else {
                put_piece(t, i,
                          row == NULL ? TE_BOLD : te_document_colour(cell_at(t, *row, i)->weight));
            }
        }
        te_put_trim(t->out, start);
        te_buffer_text(t->out, "\n");
        first = false;
    } while (has_rest(t));
}

static void put_rule(const struct table *t)
{
    for (uint32_t i = 0; i < t->table->column_count; i++) {
        te_put_spaces(t->out, i == 0 ? 0 : GAP);
        for (size_t j = 0; j < t->widths[i]; j++) {
            te_buffer_text(t->out, "-");
        }
    }
    te_buffer_text(t->out, "\n");
}

static void put_columns(const struct table *t)
{
    put_row(t, NULL);
    put_rule(t);
    for (uint32_t row = 0; row < t->table->row_count; row++) {
        put_row(t, &row);
    }
}

/* ---- lines ---- */

/* A text within the width from `indent` on. */
static void put_text(const struct table *t, te_slice rest, size_t indent)
{
    do {
        size_t next = 0;
        size_t length = te_put_fitting(&next, rest, t->style->width - indent);
        te_put_spaces(t->out, indent);
        te_buffer_add(t->out, rest.bytes, length);
        te_buffer_text(t->out, "\n");
        rest = (te_slice){rest.bytes + next, rest.length - next};
    } while (rest.length > 0);
}

static void put_labelled(const struct table *t, uint32_t row, uint32_t column)
{
    te_slice value = text_at(t, row, column);
    bool box = is_box(t, row, column);
    te_buffer line = {0};
    if (value.length == 0 && !box) {
        return;
    }
    te_buffer_add(&line, head_of(t, column).bytes, head_of(t, column).length);
    te_buffer_text(&line, line.length == 0 ? "" : ": ");
    te_buffer_add(&line, value.bytes, value.length);
    te_buffer_text(&line, box ? "[      ]" : "");
    if (line.failed) {
        t->out->failed = true;
    } else {
        put_text(t, (te_slice){line.bytes, line.length}, column == 0 ? 0 : INDENT);
    }
    te_buffer_free(&line);
}

static void put_as_lines(const struct table *t)
{
    for (uint32_t row = 0; row < t->table->row_count; row++) {
        te_buffer_text(t->out, row == 0 ? "" : "\n");
        for (uint32_t i = 0; i < t->table->column_count; i++) {
            put_labelled(t, row, i);
        }
    }
}

/* ---- the whole ---- */

static void put_table(const struct table *t)
{
    const char *caption = te_document_chars(t->document, t->table->caption);
    if (*caption != '\0') {
        put_text(t, (te_slice){caption, strlen(caption)}, 0);
        te_buffer_text(t->out, "\n");
    }
    for (uint32_t i = 0; i < t->table->column_count; i++) {
        put_head_text(t, i);
    }
    if (t->out->failed) {
        return;
    }
    if (find_widths(t)) {
        put_columns(t);
    } else {
        put_as_lines(t);
    }
}

void te_document_text_table(te_buffer *buffer, const te_document *document, const te_table *table,
                            const te_text_style *style)
{
    struct table t = {.out = buffer, .document = document, .table = table, .style = style};
    size_t count = table->column_count;
    if (count == 0) {
        return;
    }
    t.columns = document->columns + table->first_column;
    t.heads = calloc(count, sizeof *t.heads);
    t.rests = calloc(count, sizeof *t.rests);
    t.widths = calloc(count, sizeof *t.widths);
    t.most = calloc(count, sizeof *t.most);
    if (t.heads == NULL || t.rests == NULL || t.widths == NULL || t.most == NULL) {
        buffer->failed = true;
    } else {
        put_table(&t);
    }
    for (size_t i = 0; t.heads != NULL && i < count; i++) {
        te_buffer_free(&t.heads[i]);
    }
    free(t.heads);
    free(t.rests);
    free(t.widths);
    free(t.most);
}
