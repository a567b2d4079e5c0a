/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A drawing painted by cairo; what a tone or stroke looks like is told apart in grey too. */
#include <math.h>

#include "sheet.h"

static const double hatch_apart = 5.0; /* points; drawing.h */
static const double light = 0.16;      /* how much of a tone a light tint covers */

static const struct tint tones[] = {
    {0.08, 0.08, 0.08}, /* ink */
    {0.36, 0.36, 0.36}, /* muted */
    {0.80, 0.80, 0.80}, /* faint */
    {0.14, 0.36, 0.60}, /* second */
    {0.66, 0.08, 0.10}, /* limit */
    {1.00, 1.00, 1.00}, /* paper */
};

struct brush {
    double width;
    double dashes[2];
    int dash_count;
};

static const struct brush brushes[] = {
    {0.0, {0.0, 0.0}, 0}, {0.5, {0.0, 0.0}, 0}, {1.0, {0.0, 0.0}, 0},
    {1.8, {0.0, 0.0}, 0}, {1.2, {5.0, 3.0}, 2}, {1.2, {1.2, 2.4}, 2},
};

/* ---- size ---- */

/* Never larger than drawn; smaller where the page, with a line of caption, is too small. */
static double scale_of(const struct sheet *sheet, const te_drawing *drawing)
{
    const double caption = 24.0;
    double across = (sheet->right - sheet->left) / drawing->width;
    double down = (te_pdf_full(sheet) - caption) / drawing->height;
    return fmin(1.0, fmin(across, down));
}

double te_pdf_figure_height(const struct sheet *sheet, const te_drawing *drawing)
{
    return drawing->height * scale_of(sheet, drawing);
}

/* ---- lines and areas ---- */

static void set_brush(struct sheet *sheet, te_stroke stroke)
{
    const struct brush *brush = &brushes[stroke];
    cairo_set_line_width(sheet->cr, brush->width);
    cairo_set_dash(sheet->cr, brush->dashes, brush->dash_count, 0.0);
}

static void trace(struct sheet *sheet, const te_drawing *drawing, const te_mark *mark)
{
    const te_place *places = drawing->places + mark->first_place;
    cairo_new_path(sheet->cr);
    for (uint32_t i = 0; i < mark->place_count; i++) {
        cairo_line_to(sheet->cr, places[i].x, places[i].y);
    }
}

static void paint_line(struct sheet *sheet, const te_drawing *drawing, const te_mark *mark)
{
    if (mark->stroke != TE_STROKE_NONE) {
        set_brush(sheet, mark->stroke);
        trace(sheet, drawing, mark);
        cairo_stroke(sheet->cr);
    }
}

/* Lines at 45 degrees over the bounds of the path, seen through the path. */
static void hatch(struct sheet *sheet)
{
    cairo_t *cr = sheet->cr;
    const double step = hatch_apart * G_SQRT2;
    const double most = 1e5; /* lines: an area of a thousand pages */
    double left = 0.0, top = 0.0, right = 0.0, bottom = 0.0;
    cairo_save(cr);
    cairo_clip(cr);
    cairo_clip_extents(cr, &left, &top, &right, &bottom);
    double height = bottom - top;
    set_brush(sheet, TE_STROKE_PLAIN);
    /* All hatches of a figure share one grid, so that neighbours meet. */
    double first = floor((left + top) / step) * step - top - height;
    int count = (int)fmin(ceil((right - first) / step), most);
    for (int i = 0; i < count; i++) {
        double x = first + step * i;
        cairo_move_to(cr, x, bottom);
        cairo_line_to(cr, x + height, top);
    }
    cairo_stroke(cr);
    cairo_restore(cr);
}

static void paint_area(struct sheet *sheet, const te_drawing *drawing, const te_mark *mark)
{
    struct tint tint = tones[mark->tone];
    trace(sheet, drawing, mark);
    cairo_close_path(sheet->cr);
    if (mark->fill == TE_FILL_SOLID) {
        cairo_fill(sheet->cr);
    } else if (mark->fill == TE_FILL_LIGHT) {
        cairo_set_source_rgba(sheet->cr, tint.red, tint.green, tint.blue, light);
        cairo_fill(sheet->cr);
        te_pdf_colour(sheet, tint);
    } else if (mark->fill == TE_FILL_HATCH) {
        hatch(sheet);
    }
    if (mark->stroke != TE_STROKE_NONE) {
        trace(sheet, drawing, mark);
        cairo_close_path(sheet->cr);
        set_brush(sheet, mark->stroke);
        cairo_stroke(sheet->cr);
    }
    cairo_new_path(sheet->cr);
}

/* ---- spots ---- */

/* A hollow shape hides what runs below it. */
static void fill_hollow(struct sheet *sheet, te_tone tone)
{
    te_pdf_colour(sheet, tones[TE_TONE_PAPER]);
    cairo_fill_preserve(sheet->cr);
    te_pdf_colour(sheet, tones[tone]);
    set_brush(sheet, TE_STROKE_PLAIN);
    cairo_stroke(sheet->cr);
}

static void paint_cross(struct sheet *sheet, te_place at, double half)
{
    set_brush(sheet, TE_STROKE_STRONG);
    cairo_move_to(sheet->cr, at.x - half, at.y);
    cairo_line_to(sheet->cr, at.x + half, at.y);
    cairo_move_to(sheet->cr, at.x, at.y - half);
    cairo_line_to(sheet->cr, at.x, at.y + half);
    cairo_stroke(sheet->cr);
}

static void paint_spot(struct sheet *sheet, const te_drawing *drawing, const te_mark *mark)
{
    cairo_t *cr = sheet->cr;
    te_place at = drawing->places[mark->first_place];
    double half = mark->size / 2.0;
    cairo_new_path(cr);
    switch (mark->spot) {
    case TE_SPOT_DISC:
        cairo_arc(cr, at.x, at.y, half, 0.0, 2.0 * G_PI);
        cairo_fill(cr);
        break;
    case TE_SPOT_RING:
        cairo_arc(cr, at.x, at.y, half, 0.0, 2.0 * G_PI);
        cairo_close_path(cr);
        fill_hollow(sheet, mark->tone);
        break;
    case TE_SPOT_SQUARE:
        cairo_rectangle(cr, at.x - half, at.y - half, mark->size, mark->size);
        fill_hollow(sheet, mark->tone);
        break;
    case TE_SPOT_TRIANGLE:
        cairo_move_to(cr, at.x, at.y - half);
        cairo_line_to(cr, at.x + half, at.y + half);
        cairo_line_to(cr, at.x - half, at.y + half);
        cairo_fill(cr);
        break;
    case TE_SPOT_CROSS: paint_cross(sheet, at, half); break;
    }
}

/* ---- texts ---- */

static void set_text(struct sheet *sheet, const te_drawing *drawing, const te_mark *mark)
{
    const double least = 1.0; /* point: no font is asked for at nothing */
    struct look look = {.size = fmax(mark->size, least),
                        .bold = mark->bold,
                        .tight = true,
                        .tint = tones[mark->tone]};
    te_pdf_set(sheet, sheet->scratch, &look, te_drawing_chars(drawing, mark->text), -1.0);
}

static void paint_text(struct sheet *sheet, const te_drawing *drawing, const te_mark *mark)
{
    static const double before[] = {0.0, 0.5, 1.0}; /* of its width stands before its point */
    te_place at = drawing->places[mark->first_place];
    set_text(sheet, drawing, mark);
    cairo_save(sheet->cr);
    cairo_translate(sheet->cr, at.x, at.y);
    if (mark->upright) {
        cairo_rotate(sheet->cr, -G_PI / 2.0);
    }
    cairo_move_to(sheet->cr, -before[mark->anchor] * te_pdf_width(sheet->scratch), 0.0);
    pango_cairo_show_layout_line(sheet->cr, pango_layout_get_line_readonly(sheet->scratch, 0));
    cairo_restore(sheet->cr);
}

/* ---- the whole ---- */

static void paint_mark(struct sheet *sheet, const te_drawing *drawing, const te_mark *mark)
{
    te_pdf_colour(sheet, tones[mark->tone]);
    switch (mark->kind) {
    case TE_MARK_LINE: paint_line(sheet, drawing, mark); break;
    case TE_MARK_AREA: paint_area(sheet, drawing, mark); break;
    case TE_MARK_SPOT: paint_spot(sheet, drawing, mark); break;
    case TE_MARK_TEXT: paint_text(sheet, drawing, mark); break;
    }
}

void te_pdf_figure(struct sheet *sheet, const te_drawing *drawing, double y)
{
    if (!sheet->drawing) {
        for (size_t i = 0; i < drawing->mark_count; i++) {
            if (drawing->marks[i].kind == TE_MARK_TEXT) {
                set_text(sheet, drawing, &drawing->marks[i]); /* to check its glyphs */
            }
        }
        return;
    }
    double scale = scale_of(sheet, drawing);
    cairo_save(sheet->cr);
    cairo_translate(sheet->cr, sheet->left, y);
    cairo_scale(sheet->cr, scale, scale);
    for (size_t i = 0; i < drawing->mark_count; i++) {
        paint_mark(sheet, drawing, &drawing->marks[i]);
    }
    cairo_restore(sheet->cr);
}
