/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A table: its header on every page, its rows whole; only a row higher than a page is parted, by
 * lines. */
#include <math.h>
#include <stdlib.h>

#include "sheet.h"

static const double above = 2.6, below = 2.8; /* a row's text, to its lines */

static const struct look caption_look = {.size = 8.0, .tint = {0.36, 0.36, 0.36}};

/* A table being drawn. */
struct table {
    struct sheet *sheet;
    const te_table *table;
    const struct plan *plan;
    const te_column *columns;
    double top; /* where its part on this page begins: lines down its sides */
};

static bool begin(struct table *t, struct sheet *sheet, uint32_t index)
{
    const te_table *table = &sheet->document->tables[index];
    *t = (struct table){.sheet = sheet, .table = table};
    t->columns = sheet->document->columns + table->first_column;
    t->plan = te_pdf_plan(sheet, index);
    return t->plan != NULL;
}

static const te_cell *cell_at(const struct table *t, uint32_t row, uint32_t column)
{
    size_t at = (size_t)row * t->table->column_count + column;
    return &t->sheet->document->cells[t->table->first_cell + at];
}

static double text_width(const struct table *t, uint32_t column)
{
    return t->plan->widths[column] - 2.0 * t->plan->pad;
}

static double row_height(const struct table *t, uint32_t row)
{
    return (double)t->plan->heights[row] + above + below;
}

/* A header that would fill much of every page stands once only. */
static bool head_repeats(const struct table *t)
{
    return t->plan->head < 0.4 * te_pdf_full(t->sheet);
}

static double head_height(const struct table *t)
{
    return t->plan->head + above + below;
}

/* What a page holds below a repeated header. */
static double row_room(const struct table *t)
{
    return te_pdf_full(t->sheet) - (head_repeats(t) ? head_height(t) : 0.0);
}

/* ---- lines ---- */

static void begin_part(struct table *t)
{
    t->top = t->sheet->y;
}

/* The lines around the boxes of the part on this page. */
static void end_part(struct table *t)
{
    struct sheet *sheet = t->sheet;
    double x = sheet->left;
    if (!t->table->boxes || !sheet->drawing) {
        return;
    }
    te_pdf_colour(sheet, te_pdf_ink);
    cairo_set_line_width(sheet->cr, 0.6);
    for (uint32_t i = 0; i <= t->table->column_count; i++) {
        cairo_move_to(sheet->cr, x, t->top);
        cairo_line_to(sheet->cr, x, sheet->y);
        x += i < t->table->column_count ? t->plan->widths[i] : 0.0;
    }
    cairo_move_to(sheet->cr, sheet->left, t->top);
    cairo_line_to(sheet->cr, sheet->left + t->plan->width, t->top);
    cairo_stroke(sheet->cr);
}

static void rule_below(const struct table *t, bool strong)
{
    struct tint tint = strong || t->table->boxes ? te_pdf_ink : te_pdf_faint;
    double thick = strong ? 0.9 : t->table->boxes ? 0.6 : 0.4;
    te_pdf_rule(t->sheet, t->sheet->left, t->sheet->y, t->plan->width, thick, tint);
}

/* ---- header ---- */

static void shade_head(const struct table *t)
{
    if (t->sheet->drawing) {
        te_pdf_colour(t->sheet, te_pdf_shade);
        cairo_rectangle(t->sheet->cr, t->sheet->left, t->sheet->y, t->plan->width, head_height(t));
        cairo_fill(t->sheet->cr);
    }
}

/* Titles stand at the foot of the header. */
static void draw_head(struct table *t)
{
    struct sheet *sheet = t->sheet;
    double x = sheet->left;
    shade_head(t);
    for (uint32_t i = 0; i < t->table->column_count; i++) {
        struct look look = te_pdf_head_look(t->plan, &t->columns[i]);
        te_pdf_set_head(sheet, &t->columns[i], &look, text_width(t, i));
        double lower = t->plan->head - te_pdf_height(sheet->scratch);
        te_pdf_draw(sheet, sheet->scratch, &look, x + t->plan->pad, sheet->y + above + lower);
        x += t->plan->widths[i];
    }
    sheet->y += head_height(t);
    sheet->fresh = false;
    rule_below(t, true);
}

static void turn(struct table *t)
{
    end_part(t);
    te_pdf_turn(t->sheet);
    begin_part(t);
    if (head_repeats(t)) {
        draw_head(t);
    }
}

/* ---- rows ---- */

/* A text that fits its column stands on one line, whatever rounding does to widths. */
static void draw_cell(const struct table *t, uint32_t row, uint32_t i, double x, double y)
{
    struct sheet *sheet = t->sheet;
    const te_cell *cell = cell_at(t, row, i);
    struct size size = t->plan->cells[(size_t)row * t->table->column_count + i];
    struct look look = te_pdf_cell_look(t->plan, &t->columns[i], cell->weight);
    double width = text_width(t, i);
    if (cell->text == 0) {
        return;
    }
    const char *text = te_document_chars(sheet->document, cell->text);
    if ((double)size.width <= width) {
        te_pdf_set(sheet, sheet->scratch, &look, text, -1.0);
        x += look.right ? width - (double)size.width : 0.0;
    } else {
        te_pdf_set(sheet, sheet->scratch, &look, text, width);
    }
    if (t->table->boxes) { /* amid the lines, as what is written beside it will be */
        y += fmax(0.0, 0.5 * ((double)t->plan->heights[row] - te_pdf_height(sheet->scratch)));
    }
    te_pdf_draw(sheet, sheet->scratch, &look, x, y);
}

static void draw_row(struct table *t, uint32_t row)
{
    struct sheet *sheet = t->sheet;
    double x = sheet->left;
    for (uint32_t i = 0; i < t->table->column_count && sheet->drawing; i++) {
        draw_cell(t, row, i, x + t->plan->pad, sheet->y + above);
        x += t->plan->widths[i];
    }
    sheet->y += row_height(t, row);
    sheet->fresh = false;
    rule_below(t, row + 1 == t->table->row_count);
}

/* ---- a row higher than a page ---- */

/* The lines of each cell that fit on this page; true when some are left. */
static bool draw_some(struct table *t, struct lines *cells, uint32_t row)
{
    struct sheet *sheet = t->sheet;
    double x = sheet->left;
    double most = 0.0;
    bool more = false;
    for (uint32_t i = 0; i < t->table->column_count; i++) {
        struct look look = te_pdf_cell_look(t->plan, &t->columns[i], cell_at(t, row, i)->weight);
        double room = te_pdf_room(sheet) - above - below;
        double used = te_pdf_lines(sheet, &cells[i], &look, x + t->plan->pad, sheet->y + above,
                                   room, true);
        most = fmax(most, used);
        more = more || cells[i].more;
        x += t->plan->widths[i];
    }
    sheet->y += most + above + below;
    sheet->fresh = false;
    return more;
}

static void draw_parted_row(struct table *t, uint32_t row)
{
    struct sheet *sheet = t->sheet;
    uint32_t count = t->table->column_count;
    struct lines *cells = calloc(count, sizeof *cells);
    if (cells == NULL) {
        sheet->status = TE_ERR_MEMORY;
        return;
    }
    for (uint32_t i = 0; i < count; i++) {
        const te_cell *cell = cell_at(t, row, i);
        struct look look = te_pdf_cell_look(t->plan, &t->columns[i], cell->weight);
        PangoLayout *layout = te_pdf_layout(
            sheet, &look, te_document_chars(sheet->document, cell->text), text_width(t, i));
        te_pdf_lines_start(&cells[i], layout);
        g_object_unref(layout); /* the lines hold it */
    }
    while (draw_some(t, cells, row)) {
        turn(t);
    }
    for (uint32_t i = 0; i < count; i++) {
        te_pdf_lines_end(&cells[i]);
    }
    free(cells);
    rule_below(t, row + 1 == t->table->row_count);
}

/* ---- the whole ---- */

/* The header that fits on no page with a row below it: its titles as lines. */
static void flow_long_head(struct table *t)
{
    for (uint32_t i = 0; i < t->table->column_count; i++) {
        struct look look = te_pdf_head_look(t->plan, &t->columns[i]);
        look.right = false;
        te_pdf_flow(t->sheet, &look, te_document_chars(t->sheet->document, t->columns[i].title),
                    t->sheet->left);
        te_pdf_flow(t->sheet, &look, te_document_chars(t->sheet->document, t->columns[i].unit),
                    t->sheet->left);
    }
}

double te_pdf_table_lead(struct sheet *sheet, uint32_t index)
{
    struct table t;
    if (!begin(&t, sheet, index)) {
        return 0.0;
    }
    double height = 0.0;
    if (t.table->caption != 0) {
        te_pdf_set(sheet, sheet->scratch, &caption_look,
                   te_document_chars(sheet->document, t.table->caption),
                   sheet->right - sheet->left);
        height = te_pdf_height(sheet->scratch) + 3.0;
    }
    height += head_height(&t);
    for (uint32_t row = 0; row < 2 && row < t.table->row_count; row++) {
        height += row_height(&t, row);
    }
    return height;
}

/* What a row needs below it on this page: the last one is not left alone on a page of its own. */
static double room_needed(const struct table *t, uint32_t row)
{
    enum { FEW = 3 }; /* rows that need not be parted at all */
    double height = row_height(t, row);
    uint32_t count = t->table->row_count;
    if (height > row_room(t)) {
        return 0.25 * te_pdf_full(t->sheet);
    }
    if (count > FEW && row + 2 == count && height + row_height(t, row + 1) <= row_room(t)) {
        height += row_height(t, row + 1);
    }
    return height;
}

static void draw_rows(struct table *t)
{
    struct sheet *sheet = t->sheet;
    for (uint32_t row = 0; row < t->table->row_count && sheet->status == TE_OK; row++) {
        bool parted = row_height(t, row) > row_room(t);
        if (room_needed(t, row) > te_pdf_room(sheet)) {
            turn(t);
        }
        if (parted) {
            draw_parted_row(t, row);
        } else {
            draw_row(t, row);
        }
    }
}

void te_pdf_table(struct sheet *sheet, uint32_t index)
{
    struct table t;
    if (!begin(&t, sheet, index)) {
        return;
    }
    if (t.table->caption != 0) {
        te_pdf_flow(sheet, &caption_look, te_document_chars(sheet->document, t.table->caption),
                    sheet->left);
        sheet->y += 3.0;
    }
    if (!head_repeats(&t)) {
        flow_long_head(&t);
    }
    begin_part(&t);
    if (head_repeats(&t)) {
        draw_head(&t);
    }
    draw_rows(&t);
    end_part(&t);
}
