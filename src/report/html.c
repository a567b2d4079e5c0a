/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A document as one HTML file: no script, nothing from outside, one style sheet of its own. */
#include "html.h"

#include "put.h"

/* Neighbours of one kind that share an element. */
enum group { NO_GROUP = 0, LIST, LINKS, SIGNATURES };

struct page {
    te_buffer *out;
    const te_document *document;
    enum group open;
    unsigned level; /* of the last heading */
};

static const char *chars(const struct page *page, uint32_t index)
{
    return te_document_chars(page->document, index);
}

/* ---- head ---- */

static void put_meta(const struct page *page, const char *name, uint32_t content)
{
    if (content != 0) {
        te_buffer_text(page->out, "<meta name=\"");
        te_buffer_text(page->out, name);
        te_buffer_text(page->out, "\" content=\"");
        te_html_escape(page->out, chars(page, content));
        te_buffer_text(page->out, "\">\n");
    }
}

static void put_head(const struct page *page)
{
    te_buffer_text(page->out, "<!doctype html>\n<html lang=\"en\">\n<head>\n"
                              "<meta charset=\"utf-8\">\n"
                              "<meta http-equiv=\"Content-Security-Policy\" content=\""
                              "default-src 'none'; base-uri 'none'; form-action 'none'; "
                              "style-src 'sha256-");
    te_buffer_text(page->out, te_html_style_hash);
    te_buffer_text(page->out, "'\">\n"
                              "<meta name=\"viewport\" "
                              "content=\"width=device-width, initial-scale=1\">\n"
                              "<meta name=\"color-scheme\" content=\"light dark\">\n"
                              "<meta name=\"referrer\" content=\"no-referrer\">\n");
    put_meta(page, "generator", page->document->producer);
    put_meta(page, "description", page->document->subject);
    te_buffer_text(page->out, "<title>");
    te_html_escape(page->out, chars(page, page->document->title));
    te_buffer_text(page->out, "</title>\n<style>");
    te_html_style(page->out);
    te_buffer_text(page->out, "</style>\n</head>\n<body>\n");
}

/* ---- blocks ---- */

static void put_text(const struct page *page, uint32_t text)
{
    te_html_escape(page->out, chars(page, text));
}

/* Opens an element, with a class when it has one. */
static void put_open(const struct page *page, const char *element, const char *name)
{
    te_buffer_text(page->out, "<");
    te_buffer_text(page->out, element);
    if (*name != '\0') {
        te_buffer_text(page->out, " class=\"");
        te_buffer_text(page->out, name);
        te_buffer_text(page->out, "\"");
    }
    te_buffer_text(page->out, ">");
}

/* Levels go down one at a time, and the title is the only one of level 1. */
static void put_heading(struct page *page, const te_block *block)
{
    unsigned most = page->level < 3 ? page->level + 1 : 3;
    unsigned level = block->level < 2 ? 2 : block->level > most ? most : block->level;
    const char *element = level == 2 ? "h2>" : "h3>";
    te_buffer_text(page->out, "<");
    te_buffer_text(page->out, element);
    put_text(page, block->text);
    te_buffer_text(page->out, "</");
    te_buffer_text(page->out, element);
    te_buffer_text(page->out, "\n");
    page->level = level;
}

static void put_paragraph(const struct page *page, const te_block *block)
{
    put_open(page, "p", te_html_weight(block->weight));
    put_text(page, block->text);
    te_buffer_text(page->out, "</p>\n");
}

static void put_item(const struct page *page, const te_block *block)
{
    put_open(page, "li", te_html_weight(block->weight));
    put_text(page, block->text);
    te_buffer_text(page->out, "</li>\n");
}

static void put_link(const struct page *page, const te_block *block)
{
    const char *target = chars(page, block->more);
    bool is_link = te_html_is_relative(target);
    put_open(page, "li", te_html_weight(block->weight));
    if (is_link) {
        te_buffer_text(page->out, "<a href=\"");
        te_html_percent(page->out, target);
        te_buffer_text(page->out, "\">");
    }
    put_text(page, block->text);
    te_buffer_text(page->out, is_link ? "</a></li>\n" : "</li>\n");
}

static void put_verdict(const struct page *page, const te_block *block)
{
    te_buffer_text(page->out, "<p class=\"verdict ");
    te_buffer_text(page->out, te_html_weight(block->weight));
    te_buffer_text(page->out, "\"><strong>");
    put_text(page, block->text);
    te_buffer_text(page->out, "</strong> <span>");
    put_text(page, block->more);
    te_buffer_text(page->out, "</span></p>\n");
}

/* What scrolls can be reached by keyboard, and says what it is. */
static void put_figure(const struct page *page, const te_block *block)
{
    const te_drawing *drawing = &page->document->figures[block->index];
    te_buffer_text(page->out, "<figure>\n<div class=\"scroll\" role=\"group\" tabindex=\"0\" "
                              "aria-label=\"Figure: ");
    te_html_escape(page->out, te_drawing_chars(drawing, drawing->title));
    te_buffer_text(page->out, "\">\n");
    te_drawing_svg(page->out, drawing, (size_t)block->index + 1);
    te_buffer_text(page->out, "</div>\n");
    if (block->text != 0) {
        te_buffer_text(page->out, "<figcaption>");
        put_text(page, block->text);
        te_buffer_text(page->out, "</figcaption>\n");
    }
    te_buffer_text(page->out, "</figure>\n");
}

static void put_signature(const struct page *page, const te_block *block)
{
    te_buffer_text(page->out, "<p>");
    put_text(page, block->text);
    te_buffer_text(page->out, "</p>\n");
}

static void put_block(struct page *page, const te_block *block)
{
    switch (block->kind) {
    case TE_BLOCK_HEADING: put_heading(page, block); break;
    case TE_BLOCK_PARAGRAPH: put_paragraph(page, block); break;
    case TE_BLOCK_ITEM: put_item(page, block); break;
    case TE_BLOCK_VERDICT: put_verdict(page, block); break;
    case TE_BLOCK_LINK: put_link(page, block); break;
    case TE_BLOCK_TABLE:
        te_html_table(page->out, page->document, &page->document->tables[block->index]);
        break;
    case TE_BLOCK_FIGURE: put_figure(page, block); break;
    case TE_BLOCK_SIGNATURE: put_signature(page, block); break;
    case TE_BLOCK_PAGE: te_buffer_text(page->out, "<hr class=\"page\">\n"); break;
    }
}

/* ---- the whole ---- */

static enum group group_of(te_block_kind kind)
{
    return kind == TE_BLOCK_ITEM        ? LIST
           : kind == TE_BLOCK_LINK      ? LINKS
           : kind == TE_BLOCK_SIGNATURE ? SIGNATURES
                                        : NO_GROUP;
}

/* Closes the group that is open and opens another. */
static void turn_to(struct page *page, enum group group)
{
    static const char *const opens[] = {"", "<ul>\n", "<ul class=\"links\">\n",
                                        "<div class=\"signatures\">\n"};
    static const char *const closes[] = {"", "</ul>\n", "</ul>\n", "</div>\n"};
    if (page->open != group) {
        te_buffer_text(page->out, closes[page->open]);
        te_buffer_text(page->out, opens[group]);
        page->open = group;
    }
}

/* The heading that a document begins with, or its title; true when it was the former. */
static bool put_title(struct page *page)
{
    const te_document *document = page->document;
    const te_block *first = document->block_count == 0 ? NULL : &document->blocks[0];
    bool is_block = first != NULL && first->kind == TE_BLOCK_HEADING && first->level <= 1;
    te_buffer_text(page->out, "<header>\n<h1>");
    put_text(page, is_block ? first->text : document->title);
    te_buffer_text(page->out, "</h1>\n</header>\n");
    page->level = 1;
    return is_block;
}

void te_document_html(te_buffer *buffer, const te_document *document)
{
    if (!te_document_is_whole(document)) {
        buffer->failed = true;
        return;
    }
    struct page page = {.out = buffer, .document = document};
    put_head(&page);
    size_t i = put_title(&page) ? 1 : 0;
    te_buffer_text(buffer, "<main>\n");
    for (; i < document->block_count; i++) {
        turn_to(&page, group_of(document->blocks[i].kind));
        put_block(&page, &document->blocks[i]);
    }
    turn_to(&page, NO_GROUP);
    te_buffer_text(buffer, "</main>\n</body>\n</html>\n");
}
