/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * A drawing as SVG. Colours and strokes are classes of the page's style sheet: a tone sets the
 * current colour, all else paints with that, so that dark, light and print need no second drawing.
 */
#include <math.h>

#include "html.h"
#include "put.h"

enum { TONES = TE_TONE_PAPER + 1 };

static const char *const tone_classes[] = {"ink", "muted", "faint", "second", "limit", "paper"};
static const char *const stroke_classes[] = {"",        " hair",   " plain",
                                             " strong", " dashed", " dotted"};
static const double px_in_point = 96.0 / 72.0; /* CSS Values and Units, absolute lengths */
static const double hatch_apart = 5.0;         /* points; drawing.h */

/* ---- attributes ---- */

/* A length to a hundredth, without needless zeros. What is past a million is far off any page. */
static void put_length(te_buffer *svg, double value)
{
    const double most = 1e6;
    size_t start = svg->length;
    te_put_fixed(svg, fmin(fmax(value, -most), most), 2);
    while (!svg->failed && svg->length > start && svg->bytes[svg->length - 1] == '0') {
        svg->bytes[--svg->length] = '\0';
    }
    if (!svg->failed && svg->length > start && svg->bytes[svg->length - 1] == '.') {
        svg->bytes[--svg->length] = '\0';
    }
}

static void put_attribute(te_buffer *svg, const char *name, double value)
{
    te_buffer_text(svg, " ");
    te_buffer_text(svg, name);
    te_buffer_text(svg, "=\"");
    put_length(svg, value);
    te_buffer_text(svg, "\"");
}

static void put_points(te_buffer *svg, const te_place *places, size_t count)
{
    te_buffer_text(svg, " points=\"");
    for (size_t i = 0; i < count; i++) {
        te_buffer_text(svg, i == 0 ? "" : " ");
        put_length(svg, places[i].x);
        te_buffer_text(svg, ",");
        put_length(svg, places[i].y);
    }
    te_buffer_text(svg, "\"");
}

static void put_id(te_buffer *svg, size_t number, const char *what)
{
    te_buffer_text(svg, "figure-");
    te_put_count(svg, number);
    te_buffer_text(svg, "-");
    te_buffer_text(svg, what);
}

static void put_classes(te_buffer *svg, const te_mark *mark, const char *fill)
{
    te_buffer_text(svg, " class=\"");
    te_buffer_text(svg, tone_classes[mark->tone]);
    te_buffer_text(svg, stroke_classes[mark->stroke]);
    te_buffer_text(svg, fill);
    te_buffer_text(svg, "\"");
}

/* Ends an element, its note within. */
static void put_end(te_buffer *svg, const te_drawing *drawing, const te_mark *mark,
                    const char *element)
{
    if (mark->note == 0) {
        te_buffer_text(svg, "/>\n");
        return;
    }
    te_buffer_text(svg, "><title>");
    te_html_escape(svg, te_drawing_chars(drawing, mark->note));
    te_buffer_text(svg, "</title></");
    te_buffer_text(svg, element);
    te_buffer_text(svg, ">\n");
}

/* ---- marks ---- */

static void put_line(te_buffer *svg, const te_drawing *drawing, const te_mark *mark)
{
    te_buffer_text(svg, "<polyline");
    put_classes(svg, mark, "");
    put_points(svg, drawing->places + mark->first_place, mark->place_count);
    put_end(svg, drawing, mark, "polyline");
}

static void put_area(te_buffer *svg, const te_drawing *drawing, const te_mark *mark, size_t number)
{
    static const char *const fills[] = {"", " solid", " light", ""};
    te_buffer_text(svg, "<polygon");
    put_classes(svg, mark, fills[mark->fill]);
    if (mark->fill == TE_FILL_HATCH) {
        te_buffer_text(svg, " fill=\"url(#");
        put_id(svg, number, tone_classes[mark->tone]);
        te_buffer_text(svg, ")\"");
    }
    put_points(svg, drawing->places + mark->first_place, mark->place_count);
    put_end(svg, drawing, mark, "polygon");
}

static void put_circle(te_buffer *svg, const te_drawing *drawing, const te_mark *mark, te_place at)
{
    te_buffer_text(svg, "<circle");
    put_classes(svg, mark, mark->spot == TE_SPOT_DISC ? " solid" : " plain hollow");
    put_attribute(svg, "cx", at.x);
    put_attribute(svg, "cy", at.y);
    put_attribute(svg, "r", mark->size / 2.0);
    put_end(svg, drawing, mark, "circle");
}

static void put_polygon_spot(te_buffer *svg, const te_drawing *drawing, const te_mark *mark,
                             const te_place *corners, size_t count)
{
    te_buffer_text(svg, "<polygon");
    put_classes(svg, mark, mark->spot == TE_SPOT_SQUARE ? " plain hollow" : " solid");
    put_points(svg, corners, count);
    put_end(svg, drawing, mark, "polygon");
}

static void put_cross(te_buffer *svg, const te_drawing *drawing, const te_mark *mark, te_place at)
{
    double half = mark->size / 2.0;
    /* One line there and back: one element, so that it has one note. */
    const te_place ends[] = {
        {at.x - half, at.y}, {at.x + half, at.y}, at, {at.x, at.y - half}, {at.x, at.y + half}};
    te_buffer_text(svg, "<polyline");
    put_classes(svg, mark, " strong");
    put_points(svg, ends, sizeof ends / sizeof *ends);
    put_end(svg, drawing, mark, "polyline");
}

static void put_spot(te_buffer *svg, const te_drawing *drawing, const te_mark *mark)
{
    te_place at = drawing->places[mark->first_place];
    double half = mark->size / 2.0;
    const te_place square[] = {{at.x - half, at.y - half},
                               {at.x + half, at.y - half},
                               {at.x + half, at.y + half},
                               {at.x - half, at.y + half}};
    const te_place triangle[] = {
        {at.x, at.y - half}, {at.x + half, at.y + half}, {at.x - half, at.y + half}};
    switch (mark->spot) {
    case TE_SPOT_DISC:
    case TE_SPOT_RING: put_circle(svg, drawing, mark, at); break;
    case TE_SPOT_SQUARE: put_polygon_spot(svg, drawing, mark, square, 4); break;
    case TE_SPOT_TRIANGLE: put_polygon_spot(svg, drawing, mark, triangle, 3); break;
    case TE_SPOT_CROSS: put_cross(svg, drawing, mark, at); break;
    }
}

static void put_text(te_buffer *svg, const te_drawing *drawing, const te_mark *mark)
{
    static const char *const anchors[] = {"", " text-anchor=\"middle\"", " text-anchor=\"end\""};
    te_place at = drawing->places[mark->first_place];
    te_buffer_text(svg, "<text");
    put_classes(svg, mark, "");
    put_attribute(svg, "x", at.x);
    put_attribute(svg, "y", at.y);
    put_attribute(svg, "font-size", mark->size);
    te_buffer_text(svg, anchors[mark->anchor]);
    te_buffer_text(svg, mark->bold ? " font-weight=\"700\"" : "");
    if (mark->upright) {
        te_buffer_text(svg, " transform=\"rotate(-90 ");
        put_length(svg, at.x);
        te_buffer_text(svg, " ");
        put_length(svg, at.y);
        te_buffer_text(svg, ")\"");
    }
    te_buffer_text(svg, ">");
    te_html_escape(svg, te_drawing_chars(drawing, mark->text));
    te_buffer_text(svg, "</text>\n");
}

static void put_mark(te_buffer *svg, const te_drawing *drawing, const te_mark *mark, size_t number)
{
    switch (mark->kind) {
    case TE_MARK_LINE: put_line(svg, drawing, mark); break;
    case TE_MARK_AREA: put_area(svg, drawing, mark, number); break;
    case TE_MARK_SPOT: put_spot(svg, drawing, mark); break;
    case TE_MARK_TEXT: put_text(svg, drawing, mark); break;
    }
}

/* ---- the whole ---- */

/* A hatch in each tone that one is drawn in. */
static void put_hatches(te_buffer *svg, const te_drawing *drawing, size_t number)
{
    bool used[TONES] = {false};
    for (size_t i = 0; i < drawing->mark_count; i++) {
        const te_mark *mark = &drawing->marks[i];
        bool hatch = mark->kind == TE_MARK_AREA && mark->fill == TE_FILL_HATCH;
        if (!hatch || used[mark->tone]) {
            continue;
        }
        used[mark->tone] = true;
        te_buffer_text(svg, "<pattern id=\"");
        put_id(svg, number, tone_classes[mark->tone]);
        te_buffer_text(svg, "\" patternUnits=\"userSpaceOnUse\" "
                            "patternTransform=\"rotate(45)\"");
        put_attribute(svg, "width", hatch_apart);
        put_attribute(svg, "height", hatch_apart);
        te_buffer_text(svg, "><polyline class=\"");
        te_buffer_text(svg, tone_classes[mark->tone]);
        te_buffer_text(svg, " plain\" points=\"0,0 0,");
        put_length(svg, hatch_apart);
        te_buffer_text(svg, "\"/></pattern>\n");
    }
}

static void put_start(te_buffer *svg, const te_drawing *drawing, size_t number)
{
    te_buffer_text(svg, "<svg class=\"drawing\" viewBox=\"0 0 ");
    put_length(svg, drawing->width);
    te_buffer_text(svg, " ");
    put_length(svg, drawing->height);
    te_buffer_text(svg, "\"");
    put_attribute(svg, "width", drawing->width * px_in_point);
    put_attribute(svg, "height", drawing->height * px_in_point);
    te_buffer_text(svg, " role=\"img\" aria-labelledby=\"");
    put_id(svg, number, "title");
    te_buffer_text(svg, " ");
    put_id(svg, number, "description");
    te_buffer_text(svg, "\">\n<title id=\"");
    put_id(svg, number, "title");
    te_buffer_text(svg, "\">");
    te_html_escape(svg, te_drawing_chars(drawing, drawing->title));
    te_buffer_text(svg, "</title>\n<desc id=\"");
    put_id(svg, number, "description");
    te_buffer_text(svg, "\">");
    te_html_escape(svg, te_drawing_chars(drawing, drawing->description));
    te_buffer_text(svg, "</desc>\n");
}

void te_drawing_svg(te_buffer *buffer, const te_drawing *drawing, size_t number)
{
    if (drawing->failed) {
        buffer->failed = true;
        return;
    }
    put_start(buffer, drawing, number);
    put_hatches(buffer, drawing, number);
    for (size_t i = 0; i < drawing->mark_count; i++) {
        put_mark(buffer, drawing, &drawing->marks[i], number);
    }
    te_buffer_text(buffer, "</svg>\n");
}
