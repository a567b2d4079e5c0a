/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Texts: set by pango as plain text, never as markup, and none without a glyph for it. */
#include <string.h>

#include "sheet.h"

/* All are told apart in grey too: the more it matters, the darker and the bolder. */
const struct tint te_pdf_ink = {0.08, 0.08, 0.08};
const struct tint te_pdf_muted = {0.36, 0.36, 0.36};
const struct tint te_pdf_faint = {0.72, 0.72, 0.72};
const struct tint te_pdf_shade = {0.93, 0.93, 0.93};

struct tint te_pdf_tint(te_weight weight)
{
    switch (weight) {
    case TE_WEIGHT_QUIET: return te_pdf_muted;
    case TE_WEIGHT_GOOD: return (struct tint){0.05, 0.36, 0.16};
    case TE_WEIGHT_WARNING: return (struct tint){0.50, 0.30, 0.00};
    case TE_WEIGHT_BAD: return (struct tint){0.62, 0.06, 0.08};
    case TE_WEIGHT_PLAIN:
    case TE_WEIGHT_STRONG: break;
    }
    return te_pdf_ink;
}

bool te_pdf_is_bold(te_weight weight)
{
    return weight == TE_WEIGHT_STRONG || weight == TE_WEIGHT_WARNING || weight == TE_WEIGHT_BAD;
}

/* ---- glyphs ---- */

/* The first character without a glyph. */
static uint32_t unknown_character(PangoLayout *layout)
{
    PangoLayoutIter *iter = pango_layout_get_iter(layout);
    uint32_t found = 0;
    do {
        const PangoLayoutRun *run = pango_layout_iter_get_run_readonly(iter);
        for (int i = 0; run != NULL && found == 0 && i < run->glyphs->num_glyphs; i++) {
            PangoGlyph glyph = run->glyphs->glyphs[i].glyph;
            bool is_unknown = glyph != PANGO_GLYPH_EMPTY && (glyph & PANGO_GLYPH_UNKNOWN_FLAG) != 0;
            found = is_unknown ? glyph & ~(uint32_t)PANGO_GLYPH_UNKNOWN_FLAG : 0;
        }
    } while (found == 0 && pango_layout_iter_next_run(iter));
    pango_layout_iter_free(iter);
    return found;
}

size_t te_pdf_cut(const char *text, size_t most)
{
    size_t length = strnlen(text, most + 1);
    if (length <= most) {
        return length;
    }
    length = most;
    while (length > 0 && ((unsigned char)text[length] & 0xC0U) == 0x80) {
        length--;
    }
    return length;
}

/* The text from a little before the character on, as far as there is room for it. */
static void copy_around(te_pdf_missing *missing, const char *text)
{
    enum { BEFORE = 40 };
    char wanted[8] = "";
    (void)g_unichar_to_utf8(missing->character, wanted);
    const char *at = missing->character == 0 ? NULL : strstr(text, wanted);
    const char *start = at != NULL && at - text > BEFORE ? at - BEFORE : text;
    while (start > text && ((unsigned char)*start & 0xC0U) == 0x80) {
        start--;
    }
    size_t length = te_pdf_cut(start, sizeof missing->text - 1);
    memcpy(missing->text, start, length);
    missing->text[length] = '\0';
}

static void check_glyphs(struct sheet *sheet, PangoLayout *layout, const char *text)
{
    if (sheet->status != TE_OK || pango_layout_get_unknown_glyphs_count(layout) == 0) {
        return;
    }
    sheet->status = TE_ERR_GLYPH;
    sheet->missing->character = unknown_character(layout);
    copy_around(sheet->missing, text);
}

/* ---- long words ---- */

/* The next place, from `start` on, where a text may be cut without parting a letter from its marks. */
static const char *place_to_cut(const char *start)
{
    const gunichar joiner = 0x200D;
    for (const char *c = start; *c != '\0'; c = g_utf8_next_char(c)) {
        bool is_start = ((unsigned char)*c & 0xC0U) != 0x80;
        gunichar code = is_start ? g_utf8_get_char(c) : joiner;
        gunichar before = is_start ? g_utf8_get_char(g_utf8_prev_char(c)) : joiner;
        if (code != joiner && before != joiner && !g_unichar_ismark(code)) {
            return c;
        }
    }
    return NULL;
}

/* pango looks at all that is left of a word to break off a line: a word of 100 kB would take a
 * minute. A change of language that changes no glyph has it look at a piece at a time. Returns the
 * attributes of a text; the caller unrefs them. */
static PangoAttrList *attributes_of(const struct sheet *sheet, const char *text)
{
    enum { PIECE = 500 };
    PangoAttrList *attributes = NULL;
    const char *word = text;
    for (const char *c = text; *c != '\0'; c++) {
        if (*c == ' ') {
            word = c + 1;
        }
        const char *cut = c - word >= PIECE ? place_to_cut(c) : NULL;
        if (cut == NULL) {
            continue;
        }
        attributes = attributes != NULL ? attributes : pango_attr_list_copy(sheet->attributes);
        PangoAttribute *piece = pango_attr_language_new(pango_language_from_string("en-x-piece"));
        const char *end = place_to_cut(cut + strnlen(cut, PIECE));
        piece->start_index = (guint)(cut - text);
        piece->end_index = end == NULL ? PANGO_ATTR_INDEX_TO_TEXT_END : (guint)(end - text);
        pango_attr_list_insert(attributes, piece);
        if (end == NULL) {
            break;
        }
        word = c = end;
    }
    return attributes != NULL ? attributes : pango_attr_list_ref(sheet->attributes);
}

/* ---- layouts ---- */

void te_pdf_set(struct sheet *sheet, PangoLayout *layout, const struct look *look, const char *text,
                double width)
{
    const float tight = 1.12F, loose = 1.25F; /* of the font's own distance between lines */
    PangoFontDescription *font = look->bold ? sheet->bold : sheet->regular;
    pango_font_description_set_absolute_size(font, look->size * PANGO_SCALE);
    pango_layout_set_font_description(layout, font);
    PangoAttrList *attributes = attributes_of(sheet, text);
    pango_layout_set_attributes(layout, attributes);
    pango_attr_list_unref(attributes);
    pango_layout_set_wrap(layout, PANGO_WRAP_WORD_CHAR);
    pango_layout_set_auto_dir(layout, FALSE);
    pango_layout_set_alignment(layout, look->right ? PANGO_ALIGN_RIGHT : PANGO_ALIGN_LEFT);
    pango_layout_set_line_spacing(layout, look->tight ? tight : loose);
    pango_layout_set_width(layout, width < 0.0 ? -1 : (int)(width * PANGO_SCALE));
    pango_layout_set_text(layout, text, -1);
    check_glyphs(sheet, layout, text);
}

PangoLayout *te_pdf_layout(struct sheet *sheet, const struct look *look, const char *text,
                           double width)
{
    PangoLayout *layout = pango_layout_new(sheet->context);
    te_pdf_set(sheet, layout, look, text, width);
    return layout;
}

double te_pdf_width(PangoLayout *layout)
{
    PangoRectangle logical;
    pango_layout_get_extents(layout, NULL, &logical);
    return (double)logical.width / PANGO_SCALE;
}

/* ---- lines ---- */

void te_pdf_lines_start(struct lines *lines, PangoLayout *layout)
{
    *lines = (struct lines){.iter = pango_layout_get_iter(layout), .more = true};
}

void te_pdf_lines_end(struct lines *lines)
{
    pango_layout_iter_free(lines->iter);
    *lines = (struct lines){0};
}

static double line_height(PangoLayoutIter *iter)
{
    int top = 0, bottom = 0;
    pango_layout_iter_get_line_yrange(iter, &top, &bottom);
    return (double)(bottom - top) / PANGO_SCALE;
}

double te_pdf_height_of(PangoLayout *layout, int most)
{
    struct lines lines;
    double height = 0.0;
    te_pdf_lines_start(&lines, layout);
    for (int i = 0; lines.more && i < most; i++) {
        height += line_height(lines.iter);
        lines.more = pango_layout_iter_next_line(lines.iter);
    }
    te_pdf_lines_end(&lines);
    return height;
}

double te_pdf_height(PangoLayout *layout)
{
    return te_pdf_height_of(layout, G_MAXINT);
}

static void draw_line(struct sheet *sheet, PangoLayoutIter *iter, const struct look *look, double x,
                      double y)
{
    PangoRectangle logical;
    int top = 0, bottom = 0;
    pango_layout_iter_get_line_extents(iter, NULL, &logical);
    pango_layout_iter_get_line_yrange(iter, &top, &bottom);
    double baseline = (double)(pango_layout_iter_get_baseline(iter) - top) / PANGO_SCALE;
    te_pdf_colour(sheet, look->tint);
    cairo_move_to(sheet->cr, x + (double)logical.x / PANGO_SCALE, y + baseline);
    pango_cairo_show_layout_line(sheet->cr, pango_layout_iter_get_line_readonly(iter));
}

double te_pdf_lines(struct sheet *sheet, struct lines *lines, const struct look *look, double x,
                    double y, double room, bool force)
{
    double used = 0.0;
    while (lines->more) {
        double height = line_height(lines->iter);
        if (used + height > room && !(force && used == 0.0)) {
            break;
        }
        if (sheet->drawing) {
            draw_line(sheet, lines->iter, look, x, y + used);
        }
        used += height;
        lines->begun = true;
        lines->more = pango_layout_iter_next_line(lines->iter);
    }
    return used;
}

void te_pdf_draw(struct sheet *sheet, PangoLayout *layout, const struct look *look, double x,
                 double y)
{
    struct lines lines;
    if (!sheet->drawing) {
        return;
    }
    te_pdf_lines_start(&lines, layout);
    (void)te_pdf_lines(sheet, &lines, look, x, y, G_MAXDOUBLE, true);
    te_pdf_lines_end(&lines);
}
