/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A small plot of a series in characters: values over hours, the rate, the limit. */
#ifndef TOPEND_REPORT_PLOT_H
#define TOPEND_REPORT_PLOT_H

#include "topend/write_wear.h"

enum {
    TE_PLOT_COLUMNS = 28,
    TE_PLOT_ROWS = 7,
    TE_PLOT_LABEL = 9,                                   /* of the values, before the axis */
    TE_PLOT_WIDTH = TE_PLOT_LABEL + 1 + TE_PLOT_COLUMNS, /* with the axis */
    TE_PLOT_LINES = TE_PLOT_ROWS + 2                     /* with the axis and the hours */
};

/* What a place of the plot shows; where two fall together the later in this list. */
enum te_plot_mark {
    TE_MARK_NONE,
    TE_MARK_RATE,
    TE_MARK_LIMIT,
    TE_MARK_EARLIEST,
    TE_MARK_RUN_IN,
    TE_MARK_ASSUMED,
    TE_MARK_MEASURED,
    TE_MARKS
};

typedef struct te_plot {
    unsigned char marks[TE_PLOT_ROWS][TE_PLOT_COLUMNS]; /* te_plot_mark; row 0 is the top */
    double top, bottom;                                 /* values of the first and last row */
    double from, to;                                    /* hours of the first and last column */
    bool single;                                        /* all points are at `from` */
} te_plot;

/* The sign of a mark, in one column: its shape alone tells it from the others. */
const char *te_plot_sign(enum te_plot_mark mark, bool utf8);

/* Plots a series. */
void te_plot_make(te_plot *plot, const te_history *history, const te_series *series);

/* Line 0 to TE_PLOT_LINES - 1 of a plot, without an end of line. */
void te_plot_line(te_buffer *buffer, const te_plot *plot, size_t line, const char *unit, bool utf8);

#endif
