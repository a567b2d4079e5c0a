/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The blocks of a document, one below the other, and what must stay together on a page. */
#include <math.h>
#include <stdio.h>

#include "sheet.h"

static const double body = 9.5, note = 8.0; /* sizes of letters */
static const double indent = 14.0;          /* of an entry of a list */
static const double bullet = 3.0;           /* across */

static const char *chars(const struct sheet *sheet, uint32_t index)
{
    return te_document_chars(sheet->document, index);
}

static double width_of(const struct sheet *sheet)
{
    return sheet->right - sheet->left;
}

/* ---- looks ---- */

static struct look look_of(const te_block *block)
{
    bool quiet = block->weight == TE_WEIGHT_QUIET;
    return (struct look){.size = quiet ? note : body,
                         .bold = te_pdf_is_bold(block->weight),
                         .tint = te_pdf_tint(block->weight)};
}

static struct look heading_look(const te_block *block)
{
    double size = block->level <= 1 ? 19.0 : block->level == 2 ? 13.0 : 10.5;
    return (struct look){.size = size, .bold = true, .tight = true, .tint = te_pdf_ink};
}

static const struct look caption_look = {.size = 8.0, .tint = {0.36, 0.36, 0.36}};

/* ---- flowing text ---- */

/* How many of the next lines to draw on this page: not one alone at its foot, nor one alone on the
 * next page. `used` is their height. */
static int lines_here(double *used, const struct lines *lines, double room)
{
    PangoLayoutIter *iter = pango_layout_iter_copy(lines->iter);
    int count = 0;
    double last = 0.0;
    bool more = true;
    *used = 0.0;
    while (more) {
        int top = 0, bottom = 0;
        pango_layout_iter_get_line_yrange(iter, &top, &bottom);
        double height = (double)(bottom - top) / PANGO_SCALE;
        if (*used + height > room) {
            break;
        }
        *used += height;
        last = height;
        count++;
        more = pango_layout_iter_next_line(iter);
    }
    if (more && count >= 2 && pango_layout_iter_at_last_line(iter)) {
        count--;
        *used -= last;
    }
    pango_layout_iter_free(iter);
    return count;
}

static void flow_layout(struct sheet *sheet, PangoLayout *layout, const struct look *look, double x)
{
    const double hair = 0.01; /* sums of heights differ in their last digits */
    struct lines lines;
    bool single = pango_layout_get_line_count(layout) == 1;
    te_pdf_lines_start(&lines, layout);
    while (lines.more) {
        double room = 0.0;
        int count = lines_here(&room, &lines, te_pdf_room(sheet));
        if (!sheet->fresh && (count == 0 || (count == 1 && !single && !lines.begun))) {
            te_pdf_turn(sheet);
            continue;
        }
        sheet->y += te_pdf_lines(sheet, &lines, look, x, sheet->y, room + hair, true);
        sheet->fresh = false;
        if (lines.more) {
            te_pdf_turn(sheet);
        }
    }
    te_pdf_lines_end(&lines);
}

void te_pdf_flow(struct sheet *sheet, const struct look *look, const char *text, double x)
{
    PangoLayout *layout = te_pdf_layout(sheet, look, text, sheet->right - x);
    flow_layout(sheet, layout, look, x);
    g_object_unref(layout);
}

/* ---- what must stay together ---- */

static double lines_need(struct sheet *sheet, const struct look *look, const char *text, double x,
                         int most)
{
    te_pdf_set(sheet, sheet->scratch, look, text, sheet->right - x);
    int count = pango_layout_get_line_count(sheet->scratch);
    return te_pdf_height_of(sheet->scratch, count == most + 1 ? count : most);
}

static double space_before(const te_block *block)
{
    static const double heading[] = {0.0, 0.0, 20.0, 13.0};
    switch (block->kind) {
    case TE_BLOCK_HEADING: return heading[block->level > 3 ? 3 : block->level];
    case TE_BLOCK_PARAGRAPH: return 6.0;
    case TE_BLOCK_ITEM:
    case TE_BLOCK_LINK: return 3.0;
    case TE_BLOCK_VERDICT: return 12.0;
    case TE_BLOCK_TABLE: return 8.0;
    case TE_BLOCK_FIGURE: return 12.0;
    case TE_BLOCK_SIGNATURE: return 8.0;
    case TE_BLOCK_PAGE: break;
    }
    return 0.0;
}

static double verdict_height(struct sheet *sheet, const te_block *block);
static double signature_height(struct sheet *sheet, const te_block *block);

/* Height of what must not be parted at the start of a block; with a heading, what follows it. */
static double lead(struct sheet *sheet, size_t i)
{
    enum { LINES = 2 };
    const te_block *block = &sheet->document->blocks[i];
    struct look look = look_of(block);
    const char *text = chars(sheet, block->text);
    switch (block->kind) {
    case TE_BLOCK_HEADING:
        look = heading_look(block);
        return lines_need(sheet, &look, text, sheet->left, LINES);
    case TE_BLOCK_PARAGRAPH: return lines_need(sheet, &look, text, sheet->left, LINES);
    case TE_BLOCK_ITEM:
    case TE_BLOCK_LINK: return lines_need(sheet, &look, text, sheet->left + indent, LINES);
    case TE_BLOCK_VERDICT: return verdict_height(sheet, block);
    case TE_BLOCK_TABLE: return te_pdf_table_lead(sheet, block->index);
    case TE_BLOCK_FIGURE:
        return te_pdf_figure_height(sheet, &sheet->document->figures[block->index]) +
               lines_need(sheet, &caption_look, text, sheet->left, LINES);
    case TE_BLOCK_SIGNATURE: return signature_height(sheet, block);
    case TE_BLOCK_PAGE: break;
    }
    return 0.0;
}

/* Height of a block's start and, after headings, of what they head. */
static double kept_together(struct sheet *sheet, size_t first)
{
    enum { HEADINGS = 4 }; /* more of them in a row head nothing */
    double height = 0.0;
    for (size_t i = first; i < sheet->document->block_count && i < first + HEADINGS; i++) {
        const te_block *block = &sheet->document->blocks[i];
        height += (i > first ? space_before(block) : 0.0) + lead(sheet, i);
        if (block->kind != TE_BLOCK_HEADING) {
            break;
        }
    }
    return height;
}

/* ---- headings, paragraphs, lists ---- */

static void flow_heading(struct sheet *sheet, const te_block *block)
{
    const double below[] = {0.0, 6.0, 4.0, 1.0};
    struct look look = heading_look(block);
    unsigned level = block->level < 1 ? 1 : block->level > 3 ? 3 : block->level;
    const char *text = chars(sheet, block->text);
    te_pdf_outline(sheet, level, text, sheet->y);
    te_pdf_flow(sheet, &look, text, sheet->left);
    if (level == 1) {
        sheet->y += 5.0;
        te_pdf_rule(sheet, sheet->left, sheet->y, width_of(sheet), 1.2, te_pdf_ink);
    } else if (level == 2) {
        sheet->y += 2.5;
        te_pdf_rule(sheet, sheet->left, sheet->y, width_of(sheet), 0.6, te_pdf_faint);
    }
    sheet->y += below[level];
}

static void flow_paragraph(struct sheet *sheet, const te_block *block)
{
    struct look look = look_of(block);
    te_pdf_flow(sheet, &look, chars(sheet, block->text), sheet->left);
}

static void flow_entry(struct sheet *sheet, const te_block *block, const char *text)
{
    struct look look = look_of(block);
    if (sheet->drawing) {
        te_pdf_colour(sheet, look.tint);
        cairo_new_path(sheet->cr);
        cairo_arc(sheet->cr, sheet->left + indent / 2.0, sheet->y + look.size * 0.72, bullet / 2.0,
                  0.0, 2.0 * G_PI);
        cairo_fill(sheet->cr);
    }
    te_pdf_flow(sheet, &look, text, sheet->left + indent);
}

/* Paper has no links: the target is read. */
static void flow_link(struct sheet *sheet, const te_block *block)
{
    te_buffer line = {0};
    te_buffer_text(&line, chars(sheet, block->text));
    if (block->more != 0) {
        te_buffer_text(&line, " (");
        te_buffer_text(&line, chars(sheet, block->more));
        te_buffer_text(&line, ")");
    }
    if (line.failed) {
        sheet->status = TE_ERR_MEMORY;
    } else {
        flow_entry(sheet, block, line.length == 0 ? "" : line.bytes);
    }
    te_buffer_free(&line);
}

/* ---- the verdict ---- */

enum { VERDICT_PAD = 11, VERDICT_SIGN = 26, VERDICT_GAP = 12, VERDICT_BELOW = 4 };

static struct look verdict_look(const te_block *block)
{
    return (struct look){
        .size = 17.0, .bold = true, .tight = true, .tint = te_pdf_tint(block->weight)};
}

static const struct look subject_look = {.size = 9.5, .tint = {0.08, 0.08, 0.08}};

static double verdict_left(const struct sheet *sheet)
{
    return sheet->left + VERDICT_PAD + VERDICT_SIGN + VERDICT_GAP;
}

/* The height of both texts, each in lines of the box. */
static double verdict_text(double *first, struct sheet *sheet, const te_block *block)
{
    double width = sheet->right - VERDICT_PAD - verdict_left(sheet);
    struct look look = verdict_look(block);
    te_pdf_set(sheet, sheet->scratch, &look, chars(sheet, block->text), width);
    *first = te_pdf_height(sheet->scratch);
    if (block->more == 0) {
        return *first;
    }
    te_pdf_set(sheet, sheet->scratch, &subject_look, chars(sheet, block->more), width);
    return *first + te_pdf_height(sheet->scratch);
}

static double verdict_height(struct sheet *sheet, const te_block *block)
{
    double first = 0.0;
    double text = verdict_text(&first, sheet, block);
    return fmax(text, VERDICT_SIGN) + 2.0 * VERDICT_PAD;
}

/* A shape for who sees no colours: a tick in a circle, a mark in a triangle, a cross in a square. */
static void draw_sign(struct sheet *sheet, te_weight weight, double x, double y)
{
    const double a = VERDICT_SIGN;
    cairo_t *cr = sheet->cr;
    te_pdf_colour(sheet, te_pdf_tint(weight));
    cairo_save(cr);
    cairo_translate(cr, x, y);
    cairo_set_line_width(cr, 2.2);
    cairo_set_line_cap(cr, CAIRO_LINE_CAP_ROUND);
    cairo_set_line_join(cr, CAIRO_LINE_JOIN_ROUND);
    cairo_new_path(cr);
    if (weight == TE_WEIGHT_BAD) {
        cairo_rectangle(cr, 1.1, 1.1, a - 2.2, a - 2.2);
        cairo_move_to(cr, 0.3 * a, 0.3 * a);
        cairo_line_to(cr, 0.7 * a, 0.7 * a);
        cairo_move_to(cr, 0.7 * a, 0.3 * a);
        cairo_line_to(cr, 0.3 * a, 0.7 * a);
    } else if (weight == TE_WEIGHT_GOOD) {
        cairo_arc(cr, a / 2.0, a / 2.0, a / 2.0 - 1.1, 0.0, 2.0 * G_PI);
        cairo_close_path(cr);
        cairo_move_to(cr, 0.28 * a, 0.52 * a);
        cairo_line_to(cr, 0.44 * a, 0.68 * a);
        cairo_line_to(cr, 0.73 * a, 0.34 * a);
    } else {
        cairo_move_to(cr, a / 2.0, 1.1);
        cairo_line_to(cr, a - 1.1, a - 1.6);
        cairo_line_to(cr, 1.1, a - 1.6);
        cairo_close_path(cr);
        cairo_move_to(cr, a / 2.0, 0.38 * a);
        cairo_line_to(cr, a / 2.0, 0.62 * a);
        cairo_move_to(cr, a / 2.0, 0.77 * a);
        cairo_line_to(cr, a / 2.0, 0.775 * a);
    }
    cairo_stroke(cr);
    cairo_restore(cr);
}

static void draw_verdict_box(struct sheet *sheet, te_weight weight, double height)
{
    const double bar = 5.0;
    const double dashes[] = {5.0, 3.0};
    if (!sheet->drawing) {
        return;
    }
    cairo_new_path(sheet->cr);
    cairo_rectangle(sheet->cr, sheet->left, sheet->y, width_of(sheet), height);
    cairo_set_source_rgb(sheet->cr, 0.97, 0.97, 0.97);
    cairo_fill_preserve(sheet->cr);
    te_pdf_colour(sheet, te_pdf_tint(weight));
    cairo_set_line_width(sheet->cr, weight == TE_WEIGHT_BAD ? 2.4 : 1.2);
    cairo_set_dash(sheet->cr, dashes, weight == TE_WEIGHT_WARNING ? 2 : 0, 0.0);
    cairo_stroke(sheet->cr);
    cairo_set_dash(sheet->cr, NULL, 0, 0.0);
    cairo_rectangle(sheet->cr, sheet->left, sheet->y, bar, height);
    cairo_fill(sheet->cr);
    draw_sign(sheet, weight, sheet->left + bar / 2.0 + VERDICT_PAD,
              sheet->y + (height - VERDICT_SIGN) / 2.0);
}

static void flow_verdict(struct sheet *sheet, const te_block *block)
{
    double first = 0.0;
    struct look look = verdict_look(block);
    double text = verdict_text(&first, sheet, block);
    double height = fmax(text, VERDICT_SIGN) + 2.0 * VERDICT_PAD;
    if (height > te_pdf_full(sheet)) { /* no box holds it: it runs over pages */
        te_pdf_flow(sheet, &look, chars(sheet, block->text), sheet->left);
        te_pdf_flow(sheet, &subject_look, chars(sheet, block->more), sheet->left);
        return;
    }
    double x = verdict_left(sheet), width = sheet->right - VERDICT_PAD - x;
    double y = sheet->y + (height - text) / 2.0;
    draw_verdict_box(sheet, block->weight, height);
    te_pdf_set(sheet, sheet->scratch, &look, chars(sheet, block->text), width);
    te_pdf_draw(sheet, sheet->scratch, &look, x, y);
    te_pdf_set(sheet, sheet->scratch, &subject_look, chars(sheet, block->more), width);
    te_pdf_draw(sheet, sheet->scratch, &subject_look, x, y + first);
    sheet->y += height + VERDICT_BELOW;
    sheet->fresh = false;
}

/* ---- figures ---- */

static void flow_figure(struct sheet *sheet, const te_block *block)
{
    const te_drawing *drawing = &sheet->document->figures[block->index];
    te_pdf_figure(sheet, drawing, sheet->y);
    sheet->y += te_pdf_figure_height(sheet, drawing);
    sheet->fresh = false;
    if (block->text != 0) {
        te_pdf_flow(sheet, &caption_look, chars(sheet, block->text), sheet->left);
    }
}

/* ---- signatures ---- */

enum { SIGNATURE_ROOM = 34, SIGNATURE_GAP = 28 };

static double signature_height(struct sheet *sheet, const te_block *block)
{
    double width = (width_of(sheet) - SIGNATURE_GAP) / 2.0;
    te_pdf_set(sheet, sheet->scratch, &caption_look, chars(sheet, block->text), width);
    return SIGNATURE_ROOM + te_pdf_height(sheet->scratch);
}

/* One line to sign on at the left or right of the page; returns its height. */
static double draw_signature(struct sheet *sheet, const te_block *block, double x)
{
    double width = (width_of(sheet) - SIGNATURE_GAP) / 2.0;
    double y = sheet->y + SIGNATURE_ROOM;
    te_pdf_set(sheet, sheet->scratch, &caption_look, chars(sheet, block->text), width);
    te_pdf_rule(sheet, x, y - 2.0, width, 0.7, te_pdf_ink);
    te_pdf_draw(sheet, sheet->scratch, &caption_look, x, y);
    return SIGNATURE_ROOM + te_pdf_height(sheet->scratch);
}

/* Two neighbours stand side by side; returns how many blocks were taken. */
static size_t flow_signatures(struct sheet *sheet, size_t i)
{
    const te_block *block = &sheet->document->blocks[i];
    bool pair = i + 1 < sheet->document->block_count && block[1].kind == TE_BLOCK_SIGNATURE;
    double height = signature_height(sheet, block);
    height = pair ? fmax(height, signature_height(sheet, block + 1)) : height;
    if (height > te_pdf_full(sheet)) {
        te_pdf_flow(sheet, &caption_look, chars(sheet, block->text), sheet->left);
        return 1;
    }
    te_pdf_need(sheet, height);
    (void)draw_signature(sheet, block, sheet->left);
    if (pair) {
        double x = sheet->left + (width_of(sheet) + SIGNATURE_GAP) / 2.0;
        (void)draw_signature(sheet, block + 1, x);
    }
    sheet->y += height;
    sheet->fresh = false;
    return pair ? 2 : 1;
}

/* ---- the whole ---- */

/* Returns how many blocks were taken. */
static size_t flow_block(struct sheet *sheet, size_t i)
{
    const te_block *block = &sheet->document->blocks[i];
    switch (block->kind) {
    case TE_BLOCK_HEADING: flow_heading(sheet, block); break;
    case TE_BLOCK_PARAGRAPH: flow_paragraph(sheet, block); break;
    case TE_BLOCK_ITEM: flow_entry(sheet, block, chars(sheet, block->text)); break;
    case TE_BLOCK_LINK: flow_link(sheet, block); break;
    case TE_BLOCK_VERDICT: flow_verdict(sheet, block); break;
    case TE_BLOCK_TABLE: te_pdf_table(sheet, block->index); break;
    case TE_BLOCK_FIGURE: flow_figure(sheet, block); break;
    case TE_BLOCK_SIGNATURE: return flow_signatures(sheet, i);
    case TE_BLOCK_PAGE:
        if (!sheet->fresh) {
            te_pdf_turn(sheet);
        }
        break;
    }
    return 1;
}

void te_pdf_walk(struct sheet *sheet)
{
    for (size_t i = 0; i < sheet->document->block_count && sheet->status == TE_OK;) {
        te_pdf_space(sheet, space_before(&sheet->document->blocks[i]));
        te_pdf_need(sheet, fmin(kept_together(sheet, i), te_pdf_full(sheet)));
        i += flow_block(sheet, i);
    }
}
