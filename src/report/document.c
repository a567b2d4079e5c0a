/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "topend/document.h"

#include <stdlib.h>

#include "chars.h"
#include "record/vector.h"

static uint32_t add_chars(te_document *document, const char *text)
{
    return te_chars_add(&document->chars, &document->char_count, &document->char_capacity,
                        &document->failed, text);
}

void te_document_start(te_document *document, const char *title, const char *subject,
                       const char *producer)
{
    document->title = add_chars(document, title);
    document->subject = add_chars(document, subject);
    document->producer = add_chars(document, producer);
}

void te_document_free(te_document *document)
{
    if (document == NULL) {
        return;
    }
    for (size_t i = 0; i < document->figure_count; i++) {
        te_drawing_free(&document->figures[i]);
    }
    free(document->figures);
    free(document->blocks);
    free(document->tables);
    free(document->columns);
    free(document->cells);
    free(document->chars);
    *document = (te_document){0};
}

/* ---- tables ---- */

static te_table *last_table(te_document *document)
{
    return document->table_count == 0 ? NULL : &document->tables[document->table_count - 1];
}

/* A row that is not whole would move every figure below it into another column. */
bool te_document_is_whole(const te_document *document)
{
    if (document->failed || document->table_count == 0) {
        return !document->failed;
    }
    const te_table *table = &document->tables[document->table_count - 1];
    size_t cells = document->cell_count - table->first_cell;
    return table->column_count > 0 && cells == (size_t)table->row_count * table->column_count;
}

/* ---- blocks ---- */

static void add_block(te_document *document, te_block block)
{
    document->failed = !te_document_is_whole(document);
    if (document->failed ||
        !te_vector_reserve(&document->blocks, &document->block_capacity, document->block_count + 1,
                           sizeof *document->blocks)) {
        document->failed = true;
        return;
    }
    document->blocks[document->block_count++] = block;
}

void te_document_heading(te_document *document, unsigned level, const char *text)
{
    te_block block = {.kind = TE_BLOCK_HEADING, .level = level};
    block.text = add_chars(document, text);
    add_block(document, block);
}

void te_document_paragraph(te_document *document, te_weight weight, const char *text)
{
    te_block block = {.kind = TE_BLOCK_PARAGRAPH, .weight = weight};
    block.text = add_chars(document, text);
    add_block(document, block);
}

void te_document_item(te_document *document, te_weight weight, const char *text)
{
    te_block block = {.kind = TE_BLOCK_ITEM, .weight = weight};
    block.text = add_chars(document, text);
    add_block(document, block);
}

void te_document_verdict(te_document *document, te_weight weight, const char *verdict,
                         const char *subject)
{
    te_block block = {.kind = TE_BLOCK_VERDICT, .weight = weight};
    block.text = add_chars(document, verdict);
    block.more = add_chars(document, subject);
    add_block(document, block);
}

void te_document_link(te_document *document, te_weight weight, const char *text, const char *target)
{
    te_block block = {.kind = TE_BLOCK_LINK, .weight = weight};
    block.text = add_chars(document, text);
    block.more = add_chars(document, target);
    add_block(document, block);
}

void te_document_table(te_document *document, const char *caption)
{
    te_block block = {.kind = TE_BLOCK_TABLE, .index = (uint32_t)document->table_count};
    te_table table = {.first_column = (uint32_t)document->column_count,
                      .first_cell = (uint32_t)document->cell_count};
    table.caption = add_chars(document, caption);
    add_block(document, block);
    if (document->failed ||
        !te_vector_reserve(&document->tables, &document->table_capacity, document->table_count + 1,
                           sizeof *document->tables)) {
        document->failed = true;
        return;
    }
    document->tables[document->table_count++] = table;
}

void te_document_column(te_document *document, const char *title, const char *unit, bool number)
{
    te_table *table = last_table(document);
    te_column column = {.number = number};
    column.title = add_chars(document, title);
    column.unit = add_chars(document, unit);
    if (document->failed || table == NULL || table->first_cell != document->cell_count ||
        !te_vector_reserve(&document->columns, &document->column_capacity,
                           document->column_count + 1, sizeof *document->columns)) {
        document->failed = true;
        return;
    }
    document->columns[document->column_count++] = column;
    table->column_count++;
}

void te_document_cell(te_document *document, te_weight weight, const char *text)
{
    te_cell cell = {.weight = weight};
    cell.text = add_chars(document, text);
    te_table *table = last_table(document);
    if (document->failed || table == NULL ||
        !te_vector_reserve(&document->cells, &document->cell_capacity, document->cell_count + 1,
                           sizeof *document->cells)) {
        document->failed = true;
        return;
    }
    document->cells[document->cell_count++] = cell;
    size_t cells = document->cell_count - table->first_cell;
    table->row_count = table->column_count == 0 ? 0 : (uint32_t)(cells / table->column_count);
}

void te_document_boxes(te_document *document)
{
    te_table *table = last_table(document);
    if (table != NULL) {
        table->boxes = true;
    }
}

/* ---- others ---- */

void te_document_figure(te_document *document, te_drawing *drawing, const char *caption)
{
    te_block block = {.kind = TE_BLOCK_FIGURE, .index = (uint32_t)document->figure_count};
    block.text = add_chars(document, caption);
    document->failed = document->failed || drawing->failed;
    if (document->failed ||
        !te_vector_reserve(&document->figures, &document->figure_capacity,
                           document->figure_count + 1, sizeof *document->figures)) {
        document->failed = true;
        te_drawing_free(drawing);
        return;
    }
    document->figures[document->figure_count++] = *drawing;
    *drawing = (te_drawing){0};
    add_block(document, block);
}

void te_document_signature(te_document *document, const char *label)
{
    te_block block = {.kind = TE_BLOCK_SIGNATURE};
    block.text = add_chars(document, label);
    add_block(document, block);
}

void te_document_page(te_document *document)
{
    add_block(document, (te_block){.kind = TE_BLOCK_PAGE});
}

const char *te_document_chars(const te_document *document, uint32_t index)
{
    return index < document->char_count ? document->chars + index : "";
}
