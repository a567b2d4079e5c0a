/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * A table. On a narrow screen each row of a wide one becomes a block of labelled values: the label
 * of a cell is its attribute data-label, and roles say what display: block hides from some readers.
 */
#include <string.h>

#include "html.h"
#include "put.h"

struct table {
    te_buffer *out;
    const te_document *document;
    const te_table *table;
    const te_column *columns;
    te_html_fit fit;
};

static const char *chars(const struct table *t, uint32_t index)
{
    return te_document_chars(t->document, index);
}

/* ---- attributes ---- */

static void put_role(const struct table *t, const char *role)
{
    if (te_html_is_wide(&t->fit)) {
        te_buffer_text(t->out, " role=\"");
        te_buffer_text(t->out, role);
        te_buffer_text(t->out, "\"");
    }
}

/* A class attribute of up to two words. */
static void put_class(te_buffer *out, const char *first, const char *second)
{
    if (*first == '\0' && *second == '\0') {
        return;
    }
    te_buffer_text(out, " class=\"");
    te_buffer_text(out, first);
    te_buffer_text(out, *first != '\0' && *second != '\0' ? " " : "");
    te_buffer_text(out, second);
    te_buffer_text(out, "\"");
}

/* ---- head ---- */

static void put_column_head(const struct table *t, const te_column *column)
{
    const char *title = chars(t, column->title);
    const char *unit = chars(t, column->unit);
    bool heads = *title != '\0' || *unit != '\0'; /* an empty header heads nothing */
    te_buffer_text(t->out, heads ? "<th scope=\"col\"" : "<td");
    put_role(t, heads ? "columnheader" : "cell");
    put_class(t->out, column->number ? "number" : "", te_html_is_long(title) ? "long" : "");
    te_buffer_text(t->out, ">");
    te_html_escape(t->out, title);
    if (*unit != '\0') {
        te_buffer_text(t->out, " <span class=\"unit\">");
        te_html_escape(t->out, unit);
        te_buffer_text(t->out, "</span>");
    }
    te_buffer_text(t->out, heads ? "</th>" : "</td>");
}

static void put_head(const struct table *t)
{
    te_buffer_text(t->out, "<thead");
    put_role(t, "rowgroup");
    te_buffer_text(t->out, "><tr");
    put_role(t, "row");
    te_buffer_text(t->out, ">");
    for (uint32_t i = 0; i < t->table->column_count; i++) {
        put_column_head(t, &t->columns[i]);
    }
    te_buffer_text(t->out, "</tr></thead>\n");
}

/* ---- body ---- */

static void put_label(const struct table *t, const te_column *column)
{
    te_buffer_text(t->out, " data-label=\"");
    te_html_escape(t->out, chars(t, column->title));
    if (column->unit != 0) {
        te_buffer_text(t->out, " (");
        te_html_escape(t->out, chars(t, column->unit));
        te_buffer_text(t->out, ")");
    }
    te_buffer_text(t->out, "\"");
}

/* A long word, or a name that a line might be broken at its hyphen. */
static const char *class_of(const char *text)
{
    size_t length = strlen(text);
    bool one_part = strchr(text, ' ') == NULL &&
                    te_html_part(text, length, te_html_is_prose(text)) == length;
    return te_html_is_long(text) ? "long" : one_part && strchr(text, '-') != NULL ? "name" : "";
}

/* A word; a long one says where it may be broken, if it must. */
static void put_word(te_buffer *out, const char *word, size_t length, bool prose)
{
    while (length > 0) {
        size_t part = te_html_part(word, length, prose);
        te_html_escape_bytes(out, word, part);
        word += part;
        length -= part;
        te_buffer_text(out, length > 0 ? "<wbr>" : "");
    }
}

static void put_words(te_buffer *out, const char *text)
{
    bool prose = te_html_is_prose(text);
    while (*text != '\0') {
        size_t length = strcspn(text, " ");
        size_t space = strspn(text + length, " ");
        put_word(out, text, length, prose);
        te_buffer_add(out, text + length, space);
        text += length + space;
    }
}

static void put_cell(const struct table *t, const te_cell *cell, uint32_t i)
{
    const te_column *column = &t->columns[i];
    const char *text = chars(t, cell->text);
    bool heads = i == 0 && cell->text != 0;
    te_buffer_text(t->out, heads ? "<th scope=\"row\"" : "<td");
    put_role(t, heads ? "rowheader" : "cell");
    put_class(t->out, column->number ? "number" : class_of(text), te_html_weight(cell->weight));
    if (te_html_is_wide(&t->fit) && i > 0) {
        put_label(t, column);
    }
    te_buffer_text(t->out, ">");
    if (column->number) {
        te_html_escape(t->out, text);
    } else {
        put_words(t->out, text);
    }
    te_buffer_text(t->out, heads ? "</th>" : "</td>");
}

static void put_rows(const struct table *t)
{
    const te_cell *cell = t->document->cells + t->table->first_cell;
    te_buffer_text(t->out, "<tbody");
    put_role(t, "rowgroup");
    te_buffer_text(t->out, ">\n");
    for (uint32_t row = 0; row < t->table->row_count; row++) {
        te_buffer_text(t->out, "<tr");
        put_role(t, "row");
        te_buffer_text(t->out, ">");
        for (uint32_t i = 0; i < t->table->column_count; i++) {
            put_cell(t, cell++, i);
        }
        te_buffer_text(t->out, "</tr>\n");
    }
    te_buffer_text(t->out, "</tbody>\n");
}

void te_html_table(te_buffer *buffer, const te_document *document, const te_table *table)
{
    struct table t = {.out = buffer, .document = document, .table = table};
    t.columns = document->columns + table->first_column;
    t.fit = te_html_fit_of(document, table);
    te_buffer_text(buffer, "<table");
    put_role(&t, "table");
    te_buffer_text(buffer, " class=\"");
    te_html_fit_classes(buffer, &t.fit);
    te_buffer_text(buffer, table->boxes ? " boxes\">\n" : "\">\n");
    if (table->caption != 0) {
        te_buffer_text(buffer, "<caption>");
        te_html_escape(buffer, chars(&t, table->caption));
        te_buffer_text(buffer, "</caption>\n");
    }
    put_head(&t);
    put_rows(&t);
    te_buffer_text(buffer, "</table>\n");
}
