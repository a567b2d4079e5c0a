/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Pages: where one ends, its foot, the outline. */
#include <cairo-pdf.h>
#include <stdio.h>
#include <string.h>

#include "sheet.h"

void te_pdf_colour(struct sheet *sheet, struct tint tint)
{
    cairo_set_source_rgb(sheet->cr, tint.red, tint.green, tint.blue);
}

void te_pdf_rule(struct sheet *sheet, double x, double y, double width, double thick,
                 struct tint tint)
{
    if (!sheet->drawing) {
        return;
    }
    te_pdf_colour(sheet, tint);
    cairo_set_line_width(sheet->cr, thick);
    cairo_move_to(sheet->cr, x, y);
    cairo_line_to(sheet->cr, x + width, y);
    cairo_stroke(sheet->cr);
}

double te_pdf_room(const struct sheet *sheet)
{
    return sheet->bottom - sheet->y;
}

double te_pdf_full(const struct sheet *sheet)
{
    return sheet->bottom - sheet->top;
}

/* ---- foot ---- */

/* The title, cut where it is too long for the foot: it stands whole at the head of the document. */
static void draw_foot_title(struct sheet *sheet, const struct look *look, double y, double width)
{
    enum { MOST = 400 }; /* bytes: more than fit, less than weighs on every page */
    char text[MOST + 1];
    const char *title = te_document_chars(sheet->document, sheet->document->title);
    size_t length = te_pdf_cut(title, MOST);
    memcpy(text, title, length);
    text[length] = '\0';
    PangoLayout *layout = pango_layout_new(sheet->context);
    pango_layout_set_ellipsize(layout, PANGO_ELLIPSIZE_END);
    te_pdf_set(sheet, layout, look, text, width);
    te_pdf_draw(sheet, layout, look, sheet->left, y);
    g_object_unref(layout);
}

static void draw_foot(struct sheet *sheet)
{
    const double below = 12.0, between = 12.0;
    const struct look look = {.size = 7.5, .tight = true, .tint = te_pdf_muted};
    char text[48];
    double y = sheet->bottom + below;
    double width = sheet->right - sheet->left;
    (void)snprintf(text, sizeof text, "Page %u of %u", sheet->page, sheet->pages);
    te_pdf_set(sheet, sheet->scratch, &look, text, -1.0);
    double number = te_pdf_width(sheet->scratch);
    te_pdf_rule(sheet, sheet->left, y, width, 0.5, te_pdf_faint);
    te_pdf_draw(sheet, sheet->scratch, &look, sheet->right - number, y + 5.0);
    draw_foot_title(sheet, &look, y + 5.0, width - number - between);
}

/* ---- pages ---- */

void te_pdf_finish_page(struct sheet *sheet)
{
    draw_foot(sheet);
    if (sheet->drawing) {
        char label[16];
        (void)snprintf(label, sizeof label, "%u", sheet->page);
        cairo_pdf_surface_set_page_label(sheet->surface, label);
        cairo_show_page(sheet->cr);
    }
}

void te_pdf_turn(struct sheet *sheet)
{
    te_pdf_finish_page(sheet);
    sheet->page++;
    sheet->y = sheet->top;
    sheet->fresh = true;
}

void te_pdf_space(struct sheet *sheet, double height)
{
    if (!sheet->fresh) {
        sheet->y += height;
    }
}

void te_pdf_need(struct sheet *sheet, double height)
{
    if (!sheet->fresh && height > te_pdf_room(sheet)) {
        te_pdf_turn(sheet);
    }
}

/* ---- outline ---- */

void te_pdf_outline(struct sheet *sheet, unsigned level, const char *text, double y)
{
    char target[64];
    if (!sheet->drawing || *text == '\0') {
        return;
    }
    level = level < 1 ? 1 : level > 3 ? 3 : level;
    (void)snprintf(target, sizeof target, "page=%u pos=[%d %d]", sheet->page, (int)sheet->left,
                   (int)y);
    int id = cairo_pdf_surface_add_outline(sheet->surface, sheet->outlines[level - 1], text, target,
                                           level < 3 ? CAIRO_PDF_OUTLINE_FLAG_OPEN
                                                     : (cairo_pdf_outline_flags_t)0);
    for (unsigned below = level; below <= 3; below++) {
        sheet->outlines[below] = id; /* a level that was left out has this one's entry */
    }
}
