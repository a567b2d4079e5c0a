/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A document as text within a width. */
#include "document_text.h"

#include <string.h>

#include "topend/document.h"

struct page {
    te_buffer *out;
    const te_document *document;
    const te_text_style *style;
};

enum te_colour te_document_colour(te_weight weight)
{
    switch (weight) {
    case TE_WEIGHT_PLAIN:
    case TE_WEIGHT_QUIET: break;
    case TE_WEIGHT_STRONG: return TE_BOLD;
    case TE_WEIGHT_GOOD: return TE_GREEN;
    case TE_WEIGHT_WARNING: return TE_YELLOW;
    case TE_WEIGHT_BAD: return TE_RED;
    }
    return TE_PLAIN;
}

static const char *chars(const struct page *page, uint32_t index)
{
    return te_document_chars(page->document, index);
}

static void set_colour(const struct page *page, enum te_colour colour)
{
    if (colour != TE_PLAIN) {
        te_put_colour(page->out, page->style, colour);
    }
}

static void end_colour(const struct page *page, enum te_colour colour)
{
    if (colour != TE_PLAIN) {
        te_put_colour(page->out, page->style, TE_PLAIN);
    }
}

/* Lines of a text in a colour, the first after `first`, the others as far in. */
static void put_lines(const struct page *page, const char *text, const char *first,
                      enum te_colour colour)
{
    size_t indent = strlen(first);
    te_slice rest = {text, strlen(text)};
    te_buffer_text(page->out, first);
    do {
        size_t next = 0;
        size_t length = te_put_fitting(&next, rest, page->style->width - indent);
        set_colour(page, colour);
        te_buffer_add(page->out, rest.bytes, length);
        end_colour(page, colour);
        te_buffer_text(page->out, "\n");
        rest = (te_slice){rest.bytes + next, rest.length - next};
        te_put_spaces(page->out, rest.length > 0 ? indent : 0);
    } while (rest.length > 0);
}

static void put_rule(const struct page *page, char with, size_t length)
{
    for (size_t i = 0; i < length; i++) {
        te_buffer_add(page->out, &with, 1);
    }
}

/* ---- blocks ---- */

/* As long as the widest line of the heading. */
static void put_heading(const struct page *page, const te_block *block)
{
    const char *text = chars(page, block->text);
    size_t width = te_text_width((te_slice){text, strlen(text)});
    put_lines(page, text, "", TE_BOLD);
    if (block->level <= 2) {
        put_rule(page, block->level <= 1 ? '=' : '-',
                 width < page->style->width ? width : page->style->width);
        te_buffer_text(page->out, "\n");
    }
}

/* A line of the verdict's frame, filled up. */
static void put_framed(const struct page *page, const char *text, enum te_colour colour,
                       size_t width)
{
    te_slice rest = {text, strlen(text)};
    while (rest.length > 0) {
        size_t next = 0;
        size_t length = te_put_fitting(&next, rest, width);
        size_t used = te_text_width((te_slice){rest.bytes, length});
        te_buffer_text(page->out, "| ");
        set_colour(page, colour);
        te_buffer_add(page->out, rest.bytes, length);
        end_colour(page, colour);
        te_put_spaces(page->out, used < width ? width - used : 0);
        te_buffer_text(page->out, " |\n");
        rest = (te_slice){rest.bytes + next, rest.length - next};
    }
}

static size_t fitting_width(const char *text, size_t most)
{
    size_t width = te_text_width((te_slice){text, strlen(text)});
    return width < most ? width : most;
}

static void put_verdict(const struct page *page, const te_block *block)
{
    enum { FRAME = 4, WIDEST = 76 };
    size_t most = page->style->width - FRAME;
    most = most < WIDEST ? most : WIDEST;
    size_t verdict = fitting_width(chars(page, block->text), most);
    size_t subject = fitting_width(chars(page, block->more), most);
    size_t width = verdict > subject ? verdict : subject;
    for (int line = 0; line < 2; line++) {
        te_buffer_text(page->out, "+");
        put_rule(page, '-', width + 2);
        te_buffer_text(page->out, "+\n");
        if (line == 0) {
            put_framed(page, chars(page, block->text), te_document_colour(block->weight), width);
            put_framed(page, chars(page, block->more), TE_PLAIN, width);
        }
    }
}

static void put_link(const struct page *page, const te_block *block)
{
    te_buffer line = {0};
    te_buffer_text(&line, chars(page, block->text));
    te_buffer_text(&line, ": ");
    te_buffer_text(&line, chars(page, block->more));
    if (line.failed) {
        page->out->failed = true;
    } else {
        put_lines(page, line.bytes, "- ", te_document_colour(block->weight));
    }
    te_buffer_free(&line);
}

static void put_figure(const struct page *page, const te_block *block)
{
    const te_drawing *drawing = &page->document->figures[block->index];
    const char *title = te_drawing_chars(drawing, drawing->title);
    te_buffer line = {0};
    te_buffer_text(&line, "[Figure: ");
    te_buffer_text(&line, *title == '\0' ? chars(page, block->text) : title);
    te_buffer_text(&line, ". ");
    te_buffer_text(&line, te_drawing_chars(drawing, drawing->description));
    te_put_trim(&line, 0);
    te_buffer_text(&line, "]");
    if (line.failed) {
        page->out->failed = true;
    } else {
        put_lines(page, line.bytes, "", TE_PLAIN);
    }
    te_buffer_free(&line);
}

static void put_signature(const struct page *page, const te_block *block)
{
    enum { LINE = 40 };
    te_buffer_text(page->out, "\n");
    put_rule(page, '_', LINE);
    te_buffer_text(page->out, "\n");
    put_lines(page, chars(page, block->text), "", TE_PLAIN);
}

static void put_block(const struct page *page, const te_block *block)
{
    enum te_colour colour = te_document_colour(block->weight);
    switch (block->kind) {
    case TE_BLOCK_HEADING: put_heading(page, block); break;
    case TE_BLOCK_PARAGRAPH: put_lines(page, chars(page, block->text), "", colour); break;
    case TE_BLOCK_ITEM: put_lines(page, chars(page, block->text), "- ", colour); break;
    case TE_BLOCK_VERDICT: put_verdict(page, block); break;
    case TE_BLOCK_LINK: put_link(page, block); break;
    case TE_BLOCK_TABLE:
        te_document_text_table(page->out, page->document, &page->document->tables[block->index],
                               page->style);
        break;
    case TE_BLOCK_FIGURE: put_figure(page, block); break;
    case TE_BLOCK_SIGNATURE: put_signature(page, block); break;
    case TE_BLOCK_PAGE: break;
    }
}

/* Blocks stand apart by an empty line, entries of one list do not; a heading of the second level
 * by two. */
static void put_gap(const struct page *page, const te_block *last, const te_block *block)
{
    bool entries = block->kind == TE_BLOCK_ITEM || block->kind == TE_BLOCK_LINK;
    bool same = entries && last->kind == block->kind;
    bool chapter = block->kind == TE_BLOCK_HEADING && block->level == 2;
    te_buffer_text(page->out, same ? "" : chapter ? "\n\n" : "\n");
}

void te_document_text(te_buffer *buffer, const te_document *document, const te_text_style *style)
{
    enum { NARROWEST = 60 }; /* te_text_style.width */
    te_text_style own = *style;
    own.width = own.width < NARROWEST ? NARROWEST : own.width;
    struct page page = {.out = buffer, .document = document, .style = &own};
    if (!te_document_is_whole(document)) {
        buffer->failed = true;
        return;
    }
    const te_block *last = NULL;
    for (size_t i = 0; i < document->block_count; i++) {
        const te_block *block = &document->blocks[i];
        if (block->kind == TE_BLOCK_PAGE) {
            continue;
        }
        if (last != NULL) {
            put_gap(&page, last, block);
        }
        put_block(&page, block);
        last = block;
    }
}
