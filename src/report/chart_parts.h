/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the charts share: words that fit, rows of a legend, scales and axes, the bore by places. */
#ifndef TOPEND_REPORT_CHART_PARTS_H
#define TOPEND_REPORT_CHART_PARTS_H

#include "put.h"
#include "topend/chart.h"

#define TE_CHART_WIDTH  480.0
#define TE_CHART_MARGIN 4.0 /* nothing but grounds comes nearer to the edge */
#define TE_CHART_TITLE  10.0
#define TE_CHART_LABEL  9.0
#define TE_CHART_SMALL  8.0
#define TE_CHART_LINE   12.0 /* from one line of small text to the next */
#define TE_CHART_SPOT   5.5

/* Width of a letter over its height, at the most for a usual sans serif in running text. */
#define TE_CHART_LETTER 0.6

/* ---- chart_words.c: a figure while it is drawn ---- */

struct chart {
    te_drawing *drawing;
    const te_shop *shop;
    te_buffer words; /* the text that is put together */
    double y;        /* all above is used */
    double legend;   /* where the next entry of the legend begins */
};

/* Starts the figure and writes its title at the top. Both texts are freed. */
void te_chart_begin(struct chart *chart, te_buffer *title, te_buffer *description);

/* Ends the figure below what is used; a failure of the words is one of the figure. */
void te_chart_end(struct chart *chart);

/* Width of a text in points, as estimated. */
double te_chart_width_of(const char *text, double size);

/* Cuts what was written since `start` to a width, with an ellipsis. */
void te_chart_cut(te_buffer *buffer, size_t start, double width, double size);

/* Writes the words, cut to what the figure has room for, and empties them. */
void te_chart_say(struct chart *chart, te_tone tone, te_anchor anchor, te_place at, double size);

/* Writes the words as muted small text over the whole width, in as many lines as it takes. */
void te_chart_remark(struct chart *chart);

/* What stands before the words of an entry of the legend. */
struct chart_sample {
    te_tone tone;
    te_stroke stroke; /* a line; with a fill the outline of the area */
    te_fill fill;
    bool area, spotted, barred;
    te_spot spot;
};

/* Adds an entry with the words as text; begins a new row when the last one is full. */
void te_chart_legend(struct chart *chart, const struct chart_sample *sample);

/* Ends the legend's last row. */
void te_chart_legend_end(struct chart *chart);

/* `66.0295 mm, U 0.0032`: a value and its expanded uncertainty, to the digits of the CSV; u is NAN
 * when it is not stated. */
void te_chart_put_figures(te_buffer *buffer, double value, double u, const char *unit);

/* A title: a quantity with the side that is followed, its unit, its parts. */
void te_chart_put_series(te_buffer *buffer, const te_shop *shop, const te_series *series,
                         const char *unit);

/* A buffer's text; "" when nothing was written. */
const char *te_chart_text(const te_buffer *buffer);

/* ---- chart_axes.c ---- */

/* Values against places along a line; `from` is where `low` stands. */
struct chart_scale {
    double low, high;
    double from, to;
    double step; /* from tick to tick */
};

/* A scale whose ends lie beyond the values by some points; values that are all alike get room on
 * both sides. */
struct chart_scale te_chart_scale(double low, double high, double from, double to, double pad_low,
                                  double pad_high);

/* Where a value stands. */
double te_chart_at(const struct chart_scale *scale, double value);

/* The same, held within the scale. */
double te_chart_within(const struct chart_scale *scale, double value);

/* True when a value stands on the scale. */
bool te_chart_holds(const struct chart_scale *scale, double value);

/* Chooses the step (1, 2, 5 times a power of ten) so that the labels do not touch. */
void te_chart_steps_across(struct chart_scale *scale);
void te_chart_steps_down(struct chart_scale *scale);

/* Width of the widest label. */
double te_chart_label_width(const struct chart_scale *scale);

/* The largest of 1, 2, 5 times a power of ten that is not above a positive value. */
double te_chart_round_down(double value);

/* Grid and labels of a horizontal axis below a plot, of a vertical one left of it. */
void te_chart_axis_across(struct chart *chart, const struct chart_scale *scale, double top,
                          double bottom);
void te_chart_axis_down(struct chart *chart, const struct chart_scale *scale, double left,
                        double right);

/* A bar of uncertainty with its end marks, between two places alike in x or y. */
void te_chart_bar(struct chart *chart, te_tone tone, te_place a, te_place b);

/* ---- chart_bore.c ---- */

/* The observations of one place: repeats are one observation. */
struct bore_cell {
    const te_observation *largest; /* NULL: none */
    size_t count;
};

/* The bore by places. Where there are more heights or directions than a figure has room for, those
 * of the largest and the smallest reading are among the ones kept, and those that the quantity
 * shown rests on. */
struct bore {
    const te_observations *pool;
    te_quantity shown;            /* the bore, its out of round or its taper */
    double *heights, *directions; /* rising */
    size_t height_count, direction_count;
    size_t heights_more, directions_more; /* not kept */
    struct bore_cell *cells;              /* a row a height */
    const te_observation *largest, *smallest;
    const te_observation *unplaced; /* the largest of those without a height or direction */
    size_t placed_count, unplaced_count;
    te_bounds limits; /* of the bore, with the part's oversize; NAN where there is none */
    double middle;    /* of the as-new limits, or NAN */
    te_id part;
};

/* Collects the bore with at most so many heights and directions, 5 or more; false when memory runs
 * out. `placed_count` may be 0. */
bool te_bore_collect(struct bore *bore, const te_assessment *assessment, te_quantity shown,
                     size_t heights_most, size_t directions_most);
void te_bore_free(struct bore *bore);

const struct bore_cell *te_bore_cell(const struct bore *bore, size_t height, size_t direction);

/* True for an observation of the bore with a height and a direction. */
bool te_bore_is_placed(const te_observation *observation);

/* `thrust`, `pin` or `45°`. */
void te_bore_put_direction(te_buffer *buffer, double direction);
/* `10 mm below deck`. */
void te_bore_put_height(te_buffer *buffer, double height);
/* What a mark of an observation says. */
void te_bore_put_note(te_buffer *buffer, const struct bore *bore, const struct bore_cell *cell);
/* The end of a title, `: C1`; the start of a description. */
void te_bore_put_part(te_buffer *title, const te_shop *shop, const struct bore *bore);
void te_bore_put_range(te_buffer *description, const struct bore *bore);
/* Says which readings the figure does not show. */
void te_bore_remark_left_out(struct chart *chart, const struct bore *bore);

#endif
