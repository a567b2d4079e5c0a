/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "topend/drawing.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "chars.h"
#include "record/vector.h"

void te_drawing_start(te_drawing *drawing, double width, double height, const char *title,
                      const char *description)
{
    bool sound = isfinite(width) && isfinite(height) && width > 0.0 && height > 0.0;
    *drawing = (te_drawing){.width = width, .height = height, .failed = !sound};
    drawing->title = te_chars_add(&drawing->chars, &drawing->char_count, &drawing->char_capacity,
                                  &drawing->failed, title);
    drawing->description = te_chars_add(&drawing->chars, &drawing->char_count,
                                        &drawing->char_capacity, &drawing->failed, description);
}

void te_drawing_free(te_drawing *drawing)
{
    if (drawing != NULL) {
        free(drawing->marks);
        free(drawing->places);
        free(drawing->chars);
        *drawing = (te_drawing){0};
    }
}

static uint32_t add_chars(te_drawing *drawing, const char *text)
{
    return te_chars_add(&drawing->chars, &drawing->char_count, &drawing->char_capacity,
                        &drawing->failed, text == NULL ? "" : text);
}

/* Copies the places of a mark and adds it. */
static void add_mark(te_drawing *drawing, te_mark mark, const te_place *places, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        drawing->failed = drawing->failed || !isfinite(places[i].x) || !isfinite(places[i].y);
    }
    if (drawing->failed ||
        !te_vector_reserve(&drawing->places, &drawing->place_capacity, drawing->place_count + count,
                           sizeof *drawing->places) ||
        !te_vector_reserve(&drawing->marks, &drawing->mark_capacity, drawing->mark_count + 1,
                           sizeof *drawing->marks)) {
        drawing->failed = true;
        return;
    }
    mark.first_place = (uint32_t)drawing->place_count;
    mark.place_count = (uint32_t)count;
    memcpy(drawing->places + drawing->place_count, places, count * sizeof *places);
    drawing->place_count += count;
    drawing->marks[drawing->mark_count++] = mark;
}

void te_drawing_line(te_drawing *drawing, te_tone tone, te_stroke stroke, te_place from,
                     te_place to)
{
    const te_place places[] = {from, to};
    te_drawing_path(drawing, tone, stroke, places, 2, NULL);
}

void te_drawing_path(te_drawing *drawing, te_tone tone, te_stroke stroke, const te_place *places,
                     size_t count, const char *note)
{
    te_mark mark = {.kind = TE_MARK_LINE, .tone = tone, .stroke = stroke};
    mark.note = add_chars(drawing, note);
    add_mark(drawing, mark, places, count);
}

void te_drawing_area(te_drawing *drawing, te_tone tone, te_fill fill, te_stroke stroke,
                     const te_place *places, size_t count, const char *note)
{
    te_mark mark = {.kind = TE_MARK_AREA, .tone = tone, .fill = fill, .stroke = stroke};
    mark.note = add_chars(drawing, note);
    add_mark(drawing, mark, places, count);
}

void te_drawing_box(te_drawing *drawing, te_tone tone, te_fill fill, te_stroke stroke,
                    te_place corner, double width, double height, const char *note)
{
    const te_place places[] = {
        corner,
        {corner.x + width, corner.y},
        {corner.x + width, corner.y + height},
        {corner.x, corner.y + height},
    };
    te_drawing_area(drawing, tone, fill, stroke, places, 4, note);
}

void te_drawing_spot(te_drawing *drawing, te_tone tone, te_spot spot, te_place at, double size,
                     const char *note)
{
    te_mark mark = {.kind = TE_MARK_SPOT, .tone = tone, .spot = spot, .size = size};
    mark.note = add_chars(drawing, note);
    add_mark(drawing, mark, &at, 1);
}

void te_drawing_text(te_drawing *drawing, te_tone tone, te_anchor anchor, te_place at, double size,
                     const char *text)
{
    te_mark mark = {.kind = TE_MARK_TEXT, .tone = tone, .anchor = anchor, .size = size};
    mark.text = add_chars(drawing, text);
    add_mark(drawing, mark, &at, 1);
}

te_mark *te_drawing_last(te_drawing *drawing)
{
    bool any = !drawing->failed && drawing->mark_count > 0;
    return any ? &drawing->marks[drawing->mark_count - 1] : NULL;
}

const char *te_drawing_chars(const te_drawing *drawing, uint32_t index)
{
    return index < drawing->char_count ? drawing->chars + index : "";
}
