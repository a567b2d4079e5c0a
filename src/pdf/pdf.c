/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The whole file: made in memory, and looked at before it is handed out. */
#include <cairo-pdf.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "sheet.h"

static const double mm = 72.0 / 25.4;

/* ---- what a sheet needs ---- */

static void set_paper(struct sheet *sheet, te_pdf_paper paper)
{
    const double side = 16.0 * mm, above = 16.0 * mm, below = 21.0 * mm;
    bool letter = paper == TE_PDF_LETTER;
    sheet->width = letter ? 8.5 * 72.0 : 210.0 * mm;
    sheet->height = letter ? 11.0 * 72.0 : 297.0 * mm;
    sheet->left = side;
    sheet->right = sheet->width - side;
    sheet->top = above;
    sheet->bottom = sheet->height - below;
}

/* Without hyphens where a word is broken: they would become a part of a name or a figure. Ligatures
 * are left out so that every letter can be selected and searched; digits have one width. */
static void set_attributes(struct sheet *sheet)
{
    sheet->attributes = pango_attr_list_new();
    pango_attr_list_insert(sheet->attributes, pango_attr_insert_hyphens_new(FALSE));
    pango_attr_list_insert(sheet->attributes, pango_attr_font_features_new("tnum=1,liga=0,clig=0"));
}

/* Metrics that no screen rounds, and a language that is not the environment's. */
static void set_context(struct sheet *sheet)
{
    PangoFontMap *map = pango_cairo_font_map_new();
    cairo_font_options_t *options = cairo_font_options_create();
    cairo_font_options_set_hint_style(options, CAIRO_HINT_STYLE_NONE);
    cairo_font_options_set_hint_metrics(options, CAIRO_HINT_METRICS_OFF);
    sheet->context = pango_font_map_create_context(map);
    g_object_unref(map); /* the context holds it */
    pango_cairo_context_set_font_options(sheet->context, options);
    pango_cairo_context_set_resolution(sheet->context, 72.0);
    pango_context_set_round_glyph_positions(sheet->context, FALSE);
    pango_context_set_language(sheet->context, pango_language_from_string("en"));
    pango_context_set_base_dir(sheet->context, PANGO_DIRECTION_LTR);
    cairo_font_options_destroy(options);
    sheet->regular = pango_font_description_from_string("DejaVu Sans");
    sheet->bold = pango_font_description_from_string("DejaVu Sans Bold");
    sheet->scratch = pango_layout_new(sheet->context);
}

/* Where no font is, pango still lists families and sets texts; it is the glyphs that are missing, of
 * every letter. */
static bool has_fonts(struct sheet *sheet)
{
    const struct look look = {.size = 10.0};
    te_pdf_set(sheet, sheet->scratch, &look, "A0", -1.0);
    if (sheet->status == TE_ERR_GLYPH) {
        *sheet->missing = (te_pdf_missing){0};
    }
    return sheet->status == TE_OK;
}

/* ---- metadata ---- */

static te_status set_date(cairo_surface_t *surface, const te_document *document)
{
    char text[80]; /* as much as any six numbers take */
    struct tm parts;
    time_t seconds = (time_t)document->time;
    if (!document->has_time) {
        return TE_OK;
    }
    if (gmtime_r(&seconds, &parts) == NULL || parts.tm_year < 1 - 1900 ||
        parts.tm_year > 9999 - 1900) {
        return TE_ERR_DOMAIN;
    }
    (void)snprintf(text, sizeof text, "%04d-%02d-%02dT%02d:%02d:%02dZ", parts.tm_year + 1900,
                   parts.tm_mon + 1, parts.tm_mday, parts.tm_hour, parts.tm_min, parts.tm_sec);
    cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_CREATE_DATE, text);
    cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_MOD_DATE, text);
    return TE_OK;
}

static void set_word(cairo_surface_t *surface, cairo_pdf_metadata_t which,
                     const te_document *document, uint32_t index)
{
    if (index != 0) {
        cairo_pdf_surface_set_metadata(surface, which, te_document_chars(document, index));
    }
}

static te_status set_metadata(cairo_surface_t *surface, const te_document *document)
{
    cairo_pdf_surface_restrict_to_version(surface, CAIRO_PDF_VERSION_1_5);
    set_word(surface, CAIRO_PDF_METADATA_TITLE, document, document->title);
    set_word(surface, CAIRO_PDF_METADATA_SUBJECT, document, document->subject);
    set_word(surface, CAIRO_PDF_METADATA_CREATOR, document, document->producer);
    return set_date(surface, document);
}

/* ---- walks ---- */

/* cairo goes on after a failed write, and tells no one: `failed` sticks in the buffer. */
static cairo_status_t take_bytes(void *closure, const unsigned char *bytes, unsigned length)
{
    te_buffer *buffer = closure;
    te_buffer_add(buffer, (const char *)bytes, length);
    return buffer->failed ? CAIRO_STATUS_WRITE_ERROR : CAIRO_STATUS_SUCCESS;
}

static void walk(struct sheet *sheet, bool drawing)
{
    sheet->drawing = drawing;
    sheet->page = 1;
    sheet->y = sheet->top;
    sheet->fresh = true;
    te_pdf_walk(sheet);
    te_pdf_finish_page(sheet);
}

static te_status status_of(cairo_status_t status)
{
    return status == CAIRO_STATUS_SUCCESS     ? TE_OK
           : status == CAIRO_STATUS_NO_MEMORY ? TE_ERR_MEMORY
                                              : TE_ERR_IO;
}

static void draw(struct sheet *sheet, te_buffer *file)
{
    sheet->surface = cairo_pdf_surface_create_for_stream(take_bytes, file, sheet->width,
                                                         sheet->height);
    sheet->cr = cairo_create(sheet->surface);
    te_status dated = set_metadata(sheet->surface, sheet->document);
    if (dated == TE_OK) {
        walk(sheet, true);
    }
    te_status drawn = status_of(cairo_status(sheet->cr));
    cairo_destroy(sheet->cr);
    cairo_surface_finish(sheet->surface);
    te_status finished = status_of(cairo_surface_status(sheet->surface));
    cairo_surface_destroy(sheet->surface);
    const te_status all[] = {dated, drawn, finished};
    for (size_t i = 0; i < sizeof all / sizeof *all && sheet->status == TE_OK; i++) {
        sheet->status = all[i];
    }
}

/* True when a file has both ends. */
static bool is_whole(const te_buffer *file)
{
    static const char first[] = "%PDF-", last[] = "%%EOF\n";
    const size_t head = sizeof first - 1, tail = sizeof last - 1;
    return file->length > head + tail && memcmp(file->bytes, first, head) == 0 &&
           memcmp(file->bytes + file->length - tail, last, tail) == 0;
}

static void make(struct sheet *sheet, te_buffer *file)
{
    walk(sheet, false);
    unsigned counted = sheet->pages = sheet->page;
    if (sheet->status == TE_OK) {
        draw(sheet, file);
    }
    if (file->failed) {
        sheet->status = TE_ERR_MEMORY;
    }
    if (sheet->status == TE_OK && (!is_whole(file) || sheet->page != counted)) {
        sheet->status = TE_ERR_IO;
    }
}

static void free_sheet(struct sheet *sheet)
{
    te_pdf_plans_free(sheet);
    g_object_unref(sheet->scratch);
    g_object_unref(sheet->context);
    pango_font_description_free(sheet->regular);
    pango_font_description_free(sheet->bold);
    pango_attr_list_unref(sheet->attributes);
}

te_status te_document_pdf(te_buffer *out, te_pdf_missing *missing, const te_document *document,
                          te_pdf_paper paper)
{
    te_pdf_missing none;
    te_buffer file = {0};
    struct sheet sheet = {.document = document, .missing = missing == NULL ? &none : missing};
    if (!te_document_is_whole(document)) {
        return TE_ERR_MEMORY;
    }
    *sheet.missing = (te_pdf_missing){0};
    sheet.plans = calloc(document->table_count + 1, sizeof *sheet.plans);
    if (sheet.plans == NULL) {
        return TE_ERR_MEMORY;
    }
    set_paper(&sheet, paper);
    set_attributes(&sheet);
    set_context(&sheet);
    if (has_fonts(&sheet)) {
        make(&sheet, &file);
    }
    free_sheet(&sheet);
    if (sheet.status == TE_OK) {
        te_buffer_add(out, file.bytes, file.length);
        sheet.status = out->failed ? TE_ERR_MEMORY : TE_OK;
    }
    te_buffer_free(&file);
    return sheet.status;
}
