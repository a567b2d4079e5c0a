/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The sheet that is being written: pages, a cursor, and what text is set with.
 *
 * A document is walked twice with the same code: once only to measure, which tells the number of
 * pages and whether every character has a glyph, then to draw. Lengths are points (1/72 inch) from
 * the top left corner. The first failure sticks in `status`; what comes after it has no effect.
 */
#ifndef TOPEND_PDF_SHEET_H
#define TOPEND_PDF_SHEET_H

#include <pango/pangocairo.h>

#include "topend/pdf.h"

struct tint {
    double red, green, blue;
};

/* How a text is set. */
struct look {
    double size; /* points */
    bool bold;
    bool right; /* against the right end of its width */
    bool tight; /* lines close to each other: tables, figures */
    struct tint tint;
};

/* The natural size of a cell. */
struct size {
    float width, height;
};

/* How a table is laid out; made in the first walk. */
struct plan {
    bool made;
    double size;        /* of its letters */
    double pad;         /* left and right of a cell's text */
    double width;       /* of the whole table */
    double head;        /* height of its header */
    double *widths;     /* by column, padding included */
    struct size *cells; /* of each text on one line */
    float *heights;     /* by row */
};

struct sheet {
    const te_document *document;
    te_pdf_missing *missing;
    te_status status;
    double width, height;            /* of the paper */
    double left, top, right, bottom; /* of what stands between the margins */
    cairo_surface_t *surface;
    cairo_t *cr;
    PangoContext *context;
    PangoFontDescription *regular, *bold;
    PangoAttrList *attributes;
    PangoLayout *scratch; /* for texts that are measured, or set at once */
    struct plan *plans;   /* by table */
    bool drawing;         /* the second walk */
    unsigned page, pages;
    double y;
    bool fresh;      /* nothing stands on this page yet */
    int outlines[4]; /* the last entry of the outline, by level of heading */
};

extern const struct tint te_pdf_ink, te_pdf_muted, te_pdf_faint, te_pdf_shade;

/* ---- text.c ---- */

/* The colour of a weight; its letters are bold when te_pdf_is_bold. */
struct tint te_pdf_tint(te_weight weight);
bool te_pdf_is_bold(te_weight weight);

/* Sets a text into a layout, in lines of a width; a width below 0 is one line of any length. Fails
 * the sheet when a character has no glyph. */
void te_pdf_set(struct sheet *sheet, PangoLayout *layout, const struct look *look, const char *text,
                double width);

/* A layout of its own with a text in it; the caller unrefs it. */
PangoLayout *te_pdf_layout(struct sheet *sheet, const struct look *look, const char *text,
                           double width);

/* The length of a text, at most `most` bytes, cut at a whole character. */
size_t te_pdf_cut(const char *text, size_t most);

double te_pdf_width(PangoLayout *layout);
double te_pdf_height(PangoLayout *layout);

/* Height of the first lines of a layout, at most `most`. */
double te_pdf_height_of(PangoLayout *layout, int most);

/* The lines of a layout, drawn some at a time. */
struct lines {
    PangoLayoutIter *iter;
    bool begun; /* a line was drawn */
    bool more;  /* a line is left */
};

void te_pdf_lines_start(struct lines *lines, PangoLayout *layout);
void te_pdf_lines_end(struct lines *lines);

/* Draws the next lines that fit into `room`, at least one when `force`. Returns their height. */
double te_pdf_lines(struct sheet *sheet, struct lines *lines, const struct look *look, double x,
                    double y, double room, bool force);

/* Draws a whole layout with its top at y. */
void te_pdf_draw(struct sheet *sheet, PangoLayout *layout, const struct look *look, double x,
                 double y);

/* ---- page.c ---- */

void te_pdf_colour(struct sheet *sheet, struct tint tint);
void te_pdf_rule(struct sheet *sheet, double x, double y, double width, double thick,
                 struct tint tint);
void te_pdf_space(struct sheet *sheet, double height); /* none at the top of a page */
void te_pdf_need(struct sheet *sheet, double height);  /* turns the page unless it is there */
void te_pdf_turn(struct sheet *sheet);                 /* ends this page and begins another */
void te_pdf_finish_page(struct sheet *sheet);          /* ends the last page */
double te_pdf_room(const struct sheet *sheet);         /* left on this page */
double te_pdf_full(const struct sheet *sheet);         /* on an empty page */
void te_pdf_outline(struct sheet *sheet, unsigned level, const char *text, double y);

/* ---- blocks.c, table.c, plan.c, figure.c ---- */

/* Walks the whole document. */
void te_pdf_walk(struct sheet *sheet);

/* Draws a text from the cursor on, over as many pages as it takes. */
void te_pdf_flow(struct sheet *sheet, const struct look *look, const char *text, double x);

void te_pdf_table(struct sheet *sheet, uint32_t index);
double te_pdf_table_lead(struct sheet *sheet, uint32_t index); /* what must not be parted */

const struct plan *te_pdf_plan(struct sheet *sheet, uint32_t index);
void te_pdf_plans_free(struct sheet *sheet);
struct look te_pdf_cell_look(const struct plan *plan, const te_column *column, te_weight weight);
/* Sets a column's title and unit into the scratch layout. */
void te_pdf_set_head(struct sheet *sheet, const te_column *column, const struct look *look,
                     double width);
struct look te_pdf_head_look(const struct plan *plan, const te_column *column);

/* The figure at a place, no wider and higher than given; returns its height. */
double te_pdf_figure_height(const struct sheet *sheet, const te_drawing *drawing);
void te_pdf_figure(struct sheet *sheet, const te_drawing *drawing, double y);

#endif
