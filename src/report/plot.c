/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "plot.h"

#include <math.h>
#include <string.h>

#include "put.h"

/* The hours shown reach to where the line meets the limit, but no farther than this many times the
 * hours measured: else the points would fall into one column. */
static const double most_ahead = 2.0;

const char *te_plot_sign(enum te_plot_mark mark, bool utf8)
{
    static const char *const plain[TE_MARKS] = {" ", ".", "=", "^", "r", "a", "o"};
    static const char *const shaped[TE_MARKS] = {" ", "·", "═", "▲", "□", "○", "●"};
    return utf8 ? shaped[mark] : plain[mark];
}

static void widen(te_plot *plot, double value)
{
    plot->top = fmax(plot->top, value);
    plot->bottom = fmin(plot->bottom, value);
}

static void find_ranges(te_plot *plot, const te_point *points, const te_series *series)
{
    const te_point *last = &points[series->point_count - 1];
    plot->from = points[0].hours;
    plot->to = last->hours;
    plot->top = last->value;
    plot->bottom = last->value;
    for (uint32_t i = 0; i < series->point_count; i++) {
        widen(plot, points[i].value);
    }
    if (!isnan(series->service)) {
        widen(plot, series->service);
    }
    double most = plot->from + (1.0 + most_ahead) * (last->hours - plot->from);
    if (!isnan(series->at_limit)) {
        plot->to = fmax(plot->to, fmin(series->at_limit, most));
    } else if (series->at_limit_earliest <= most) {
        plot->to = fmax(plot->to, series->at_limit_earliest);
    }
    plot->single = !(plot->to - plot->from > TE_SAME_HOURS);
    plot->to = plot->single ? plot->from + 1.0 : plot->to;
    if (!(plot->top > plot->bottom)) {
        double half = fmax(fabs(plot->top) * 1e-6, 1e-6);
        plot->top += half;
        plot->bottom -= half;
    }
}

static void mark(te_plot *plot, double hours, double value, enum te_plot_mark what)
{
    double x = (hours - plot->from) / (plot->to - plot->from) * (TE_PLOT_COLUMNS - 1);
    double y = (plot->top - value) / (plot->top - plot->bottom) * (TE_PLOT_ROWS - 1);
    /* lround turns halves away from 0, so that the ends are open. */
    bool inside = x > -0.5 && x < TE_PLOT_COLUMNS - 0.5 && y > -0.5 && y < TE_PLOT_ROWS - 0.5;
    if (inside) {
        unsigned char *cell = &plot->marks[lround(y)][lround(x)];
        *cell = *cell < what ? (unsigned char)what : *cell;
    }
}

static double hours_of_column(const te_plot *plot, size_t column)
{
    return plot->from + (plot->to - plot->from) * (double)column / (TE_PLOT_COLUMNS - 1);
}

void te_plot_make(te_plot *plot, const te_history *history, const te_series *series)
{
    const te_point *points = &history->points[series->first_point];
    memset(plot, 0, sizeof *plot);
    find_ranges(plot, points, series);
    for (size_t i = 0; i < TE_PLOT_COLUMNS; i++) {
        double hours = hours_of_column(plot, i);
        if (!isnan(series->service)) {
            mark(plot, hours, series->service, TE_MARK_LIMIT);
        }
        if (series->method != TE_RATE_NONE && hours >= series->hours_first - TE_SAME_HOURS) {
            mark(plot, hours, te_line_bound(&series->line, hours, 0.0), TE_MARK_RATE);
        }
    }
    if (!isnan(series->at_limit_earliest)) {
        mark(plot, series->at_limit_earliest, series->service, TE_MARK_EARLIEST);
    }
    for (uint32_t i = 0; i < series->point_count; i++) {
        enum te_plot_mark what = points[i].assumed  ? TE_MARK_ASSUMED
                                 : points[i].fitted ? TE_MARK_MEASURED
                                                    : TE_MARK_RUN_IN;
        mark(plot, points[i].hours, points[i].value, what);
    }
}

static void put_label(te_buffer *buffer, const te_plot *plot, size_t row, const char *unit)
{
    size_t start = buffer->length;
    if (row == 0 || row == TE_PLOT_ROWS - 1) {
        te_put_short_value(buffer, row == 0 ? plot->top : plot->bottom, unit, TE_PLOT_LABEL - 1);
    }
    te_buffer_text(buffer, " ");
    te_put_padding(buffer, start, TE_PLOT_LABEL, true);
}

static void put_hours(te_buffer *buffer, const te_plot *plot)
{
    size_t start = buffer->length;
    te_put_number(buffer, round(plot->from * 10.0) / 10.0, 7);
    te_buffer_text(buffer, plot->single ? " h" : "");
    if (plot->single) {
        return;
    }
    te_put_padding(buffer, start, TE_PLOT_COLUMNS / 2, false);
    start = buffer->length;
    te_put_number(buffer, round(plot->to * 10.0) / 10.0, 7);
    te_buffer_text(buffer, " h");
    te_put_padding(buffer, start, TE_PLOT_COLUMNS - TE_PLOT_COLUMNS / 2, true);
}

void te_plot_line(te_buffer *buffer, const te_plot *plot, size_t line, const char *unit, bool utf8)
{
    if (line < TE_PLOT_ROWS) {
        size_t start = buffer->length;
        put_label(buffer, plot, line, unit);
        te_buffer_text(buffer, utf8 ? "│" : "|");
        for (size_t i = 0; i < TE_PLOT_COLUMNS; i++) {
            te_buffer_text(buffer, te_plot_sign((enum te_plot_mark)plot->marks[line][i], utf8));
        }
        te_put_trim(buffer, start);
        return;
    }
    te_put_spaces(buffer, TE_PLOT_LABEL);
    if (line == TE_PLOT_ROWS) {
        te_buffer_text(buffer, utf8 ? "└" : "+");
        for (size_t i = 0; i < TE_PLOT_COLUMNS; i++) {
            te_buffer_text(buffer, utf8 ? "─" : "-");
        }
        return;
    }
    te_put_spaces(buffer, 1);
    put_hours(buffer, plot);
}
