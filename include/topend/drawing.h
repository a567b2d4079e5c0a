/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file drawing.h  A figure as a list of marks, painted by whoever writes it.
 *
 * A chart draws itself once, into a te_drawing; the SVG painter of the HTML writer and the cairo
 * painter of the PDF writer replay the same marks, so that both show the same figures.  Colour is
 * never the only carrier: lines differ in their dashes, areas in their hatching, points in their
 * shape, and words stand beside them.
 *
 * Life cycle: zero a te_drawing, te_drawing_start, add marks, hand it to a document or free it with
 * te_drawing_free.  Coordinates are in points (1/72 inch) from the top left corner, x to the right,
 * y down.  The first failure sticks (failed); what is added to a failed drawing is dropped.
 */
#ifndef TOPEND_DRAWING_H
#define TOPEND_DRAWING_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#ifdef __cplusplus
extern "C" {
#endif

/** What a mark stands for; each writer has a colour for it, light and dark. */
typedef enum te_tone {
    TE_TONE_INK = 0, /**< data, axes, text */
    TE_TONE_MUTED,   /**< labels of axes, notes */
    TE_TONE_FAINT,   /**< grid lines, empty cells */
    TE_TONE_SECOND,  /**< a second row of data */
    TE_TONE_LIMIT,   /**< limits, and what is past them */
    TE_TONE_PAPER    /**< the ground: hides what is below it */
} te_tone;

/** How a line is drawn. */
typedef enum te_stroke {
    TE_STROKE_NONE = 0,
    TE_STROKE_HAIR,   /**< 0.5 points */
    TE_STROKE_PLAIN,  /**< 1 point */
    TE_STROKE_STRONG, /**< 1.8 points */
    TE_STROKE_DASHED, /**< 1.2 points, dashes 5 3 */
    TE_STROKE_DOTTED  /**< 1.2 points, dashes 1.2 2.4 */
} te_stroke;

/** How an area is filled. */
typedef enum te_fill {
    TE_FILL_NONE = 0,
    TE_FILL_SOLID,
    TE_FILL_LIGHT, /**< a light tint of the tone */
    TE_FILL_HATCH  /**< lines of the tone, 45 degrees, 5 points apart */
} te_fill;

/** The shape of a point. */
typedef enum te_spot {
    TE_SPOT_DISC = 0, /**< filled: measured */
    TE_SPOT_RING,     /**< hollow circle: assumed */
    TE_SPOT_SQUARE,   /**< hollow square: run-in */
    TE_SPOT_TRIANGLE, /**< filled, pointing up */
    TE_SPOT_CROSS     /**< an upright cross */
} te_spot;

/** Where a text stands against its point. */
typedef enum te_anchor { TE_ANCHOR_START = 0, TE_ANCHOR_MIDDLE, TE_ANCHOR_END } te_anchor;

typedef enum te_mark_kind {
    TE_MARK_LINE = 0, /**< an open polyline */
    TE_MARK_AREA,     /**< a closed polygon: fill, then stroke */
    TE_MARK_SPOT,     /**< a shape of `size` across at its one point */
    TE_MARK_TEXT      /**< text whose baseline passes through its one point */
} te_mark_kind;

typedef struct te_place {
    double x, y;
} te_place;

typedef struct te_mark {
    te_mark_kind kind;
    te_tone tone;
    te_stroke stroke;     /**< lines and areas */
    te_fill fill;         /**< areas */
    te_spot spot;         /**< spots */
    te_anchor anchor;     /**< texts */
    double size;          /**< of a text: its height; of a spot: across; points */
    bool bold;            /**< texts */
    bool upright;         /**< texts: reads from the bottom up */
    uint32_t first_place; /**< index into te_drawing.places */
    uint32_t place_count;
    uint32_t text; /**< index into te_drawing.chars of a terminated text; texts only */
    uint32_t
        note; /**< likewise: what the mark says, with its figures, as `1.2 mm at 3 h`; 0: none */
} te_mark;

typedef struct te_drawing {
    double width, height; /**< points */
    uint32_t title;       /**< index into chars: a short name */
    uint32_t description; /**< index into chars: what it shows, for who cannot see it */
    te_mark *marks;       /**< the first is painted first */
    size_t mark_count, mark_capacity;
    te_place *places;
    size_t place_count, place_capacity;
    char *chars; /**< terminated texts, safe to show; the one at 0 is empty */
    size_t char_count, char_capacity;
    bool failed; /**< memory ran out, or a place is not finite */
} te_drawing;

/** Sets the size and the words of an empty drawing.
 * @param[in,out] drawing all zero
 * @param[in] width points, above 0
 * @param[in] height points, above 0
 * @param[in] title a short name, terminated; made safe to show
 * @param[in] description what the figure shows, in sentences; likewise
 */
void te_drawing_start(te_drawing *drawing, double width, double height, const char *title,
                      const char *description);

/** Frees what a drawing holds and leaves it empty.
 * @param[in,out] drawing may be NULL
 */
void te_drawing_free(te_drawing *drawing);

/** Adds a straight line.
 * @param[in,out] drawing the drawing
 * @param[in] tone of it
 * @param[in] stroke of it
 * @param[in] from one end, points
 * @param[in] to the other
 */
void te_drawing_line(te_drawing *drawing, te_tone tone, te_stroke stroke, te_place from,
                     te_place to);

/** Adds a polyline.
 * @param[in,out] drawing the drawing
 * @param[in] tone of it
 * @param[in] stroke of it
 * @param[in] places copied; points
 * @param[in] count of @p places, at least 2
 * @param[in] note what it says; NULL for none
 */
void te_drawing_path(te_drawing *drawing, te_tone tone, te_stroke stroke, const te_place *places,
                     size_t count, const char *note);

/** Adds a polygon.
 * @param[in,out] drawing the drawing
 * @param[in] tone of fill and outline
 * @param[in] fill of it
 * @param[in] stroke of its outline
 * @param[in] places copied; points
 * @param[in] count of @p places, at least 3
 * @param[in] note what it says; NULL for none
 */
void te_drawing_area(te_drawing *drawing, te_tone tone, te_fill fill, te_stroke stroke,
                     const te_place *places, size_t count, const char *note);

/** Adds a rectangle as an area.
 * @param[in,out] drawing the drawing
 * @param[in] tone of fill and outline
 * @param[in] fill of it
 * @param[in] stroke of its outline
 * @param[in] corner the top left one, points
 * @param[in] width points, not below 0
 * @param[in] height points, not below 0
 * @param[in] note what it says; NULL for none
 */
void te_drawing_box(te_drawing *drawing, te_tone tone, te_fill fill, te_stroke stroke,
                    te_place corner, double width, double height, const char *note);

/** Adds a point.
 * @param[in,out] drawing the drawing
 * @param[in] tone of it
 * @param[in] spot its shape
 * @param[in] at its middle, points
 * @param[in] size across, points
 * @param[in] note what it says; NULL for none
 */
void te_drawing_spot(te_drawing *drawing, te_tone tone, te_spot spot, te_place at, double size,
                     const char *note);

/** Adds a text.
 * @param[in,out] drawing the drawing
 * @param[in] tone of it
 * @param[in] anchor which end stands at @p at
 * @param[in] at a place on its baseline, points
 * @param[in] size height of the letters, points
 * @param[in] text terminated; made safe to show
 */
void te_drawing_text(te_drawing *drawing, te_tone tone, te_anchor anchor, te_place at, double size,
                     const char *text);

/** The last mark, to be changed (bold, upright).
 * @param[in,out] drawing the drawing
 * @return borrowed until the next mark is added; NULL when there is none or the drawing failed
 */
te_mark *te_drawing_last(te_drawing *drawing);

/** A text of a drawing.
 * @param[in] drawing the drawing
 * @param[in] index te_mark.text, te_mark.note, te_drawing.title or .description
 * @return borrowed, terminated
 */
const char *te_drawing_chars(const te_drawing *drawing, uint32_t index);

#ifdef __cplusplus
}
#endif
#endif
