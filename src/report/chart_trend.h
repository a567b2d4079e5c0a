/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The figure of a series while it is drawn, for its two files. */
#ifndef TOPEND_REPORT_CHART_TREND_H
#define TOPEND_REPORT_CHART_TREND_H

#include "chart_parts.h"
#include "wear_words.h"

struct trend {
    struct chart chart;
    const te_history *history;
    const te_series *series;
    const te_point *points;
    const char *unit;
    double confidence, quantile; /* quantile: signed to the limit's side; NAN: no band */
    struct chart_scale x, y;
    double left, top, bottom;
    bool limited; /* the limit is on the chart */
};

/* ---- chart_trend.c ---- */

/* True when the upper limit is followed. */
bool te_trend_is_high(const struct trend *trend);

/* Hours of the last point. */
double te_trend_last_hours(const struct trend *trend);

/* True where the limit is met at a time to come that is on the chart. */
bool te_trend_is_marked(const struct trend *trend, double hours);

/* True when the series or any of its points is at the limit or past it. */
bool te_trend_is_met(const struct trend *trend);

/* The shape of a point by its kind. */
te_spot te_trend_spot(const te_point *point);

/* `service limit max 66.1 mm` */
void te_trend_put_limit(te_buffer *words, const struct trend *trend);

/* ---- chart_trend_words.c ---- */

/* Where the bound, and where the line, meets the limit. */
extern const struct chart_sample te_trend_earliest, te_trend_best;
extern const char te_trend_earliest_words[], te_trend_best_words[];

/* Starts the figure with its title and description. */
void te_trend_begin(struct trend *trend);

/* The legend and what could not be drawn. */
void te_trend_explain(struct trend *trend);

#endif
