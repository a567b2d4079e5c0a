/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A series over the hours: points, line, one-sided band, limit, and where they meet. */
#include <math.h>

#include "chart_trend.h"

enum { BAND_STEPS = 48 };

static const double plot_right = TE_CHART_WIDTH - 24.0;
static const double plot_height = 170.0;
static const double unit_widest = 80.0;

/* A limit is met within this (mm, or the feature's own unit), as the series' own is. */
static const double at_limit = 1e-9;

/* Hours shown reach to where the limit is met, but no farther than this many times the hours
 * measured: else the points would fall into one column. */
static const double most_ahead = 3.0;
static const double margin_ahead = 0.06; /* of the hours shown, beyond the last thing shown */

/* A limit so far away that the points would be left less than this share of the axis is told in
 * words instead. */
static const double least_share = 1.0 / 40.0;

bool te_trend_is_high(const struct trend *t)
{
    return t->series->side == TE_SIDE_HIGH;
}

/* ---- ranges ---- */

double te_trend_last_hours(const struct trend *t)
{
    return t->points[t->series->point_count - 1].hours;
}

static bool is_near(const struct trend *t, double hours)
{
    double first = t->points[0].hours;
    return hours <= first + most_ahead * (te_trend_last_hours(t) - first);
}

static void find_hours(struct trend *t)
{
    double first = t->points[0].hours;
    double last = te_trend_last_hours(t);
    double to = last;
    double from = first <= 0.5 * last || !(last - first > TE_SAME_HOURS) ? fmin(0.0, first) : first;
    if (is_near(t, t->series->at_limit)) {
        to = fmax(to, t->series->at_limit);
    }
    if (is_near(t, t->series->at_limit_earliest)) {
        to = fmax(to, t->series->at_limit_earliest);
    }
    to = to - from > TE_SAME_HOURS ? to : from + 1.0;
    double pad = from > 0.0 ? 10.0 : 6.0;
    t->x = te_chart_scale(from, to, t->left, plot_right, pad,
                          margin_ahead * (plot_right - t->left) + 6.0);
    t->x.low = from > 0.0 ? fmax(t->x.low, 0.0) : t->x.low;
    te_chart_steps_across(&t->x);
}

static void find_values(struct trend *t)
{
    double low = INFINITY;
    double high = -INFINITY;
    double service = t->series->service;
    for (uint32_t i = 0; i < t->series->point_count; i++) {
        const te_point *p = &t->points[i];
        double bar = p->stated ? 2.0 * p->u : 0.0;
        low = fmin(low, p->value - bar);
        high = fmax(high, p->value + bar);
    }
    double span = high - low;
    double wider = fmax(high, service) - fmin(low, service); /* of a number and NAN the number */
    t->limited = !isnan(service) && (!(span > 0.0) || span >= wider * least_share);
    if (t->limited) {
        low = fmin(low, service);
        high = fmax(high, service);
    }
    /* Room for the words of the limit, beyond it. */
    bool words = !isnan(service);
    double above = words && te_trend_is_high(t) ? 17.0 : 8.0;
    double below = words && !te_trend_is_high(t) ? 17.0 : 8.0;
    t->y = te_chart_scale(low, high, t->bottom, t->top, below, above);
    te_chart_steps_down(&t->y);
}

/* ---- line and band ---- */

static double hours_of_step(const struct trend *t, size_t step)
{
    double from = t->series->hours_first;
    return from + (t->x.high - from) * (double)step / BAND_STEPS;
}

static void draw_band(struct trend *t)
{
    te_place places[2 * (BAND_STEPS + 1)];
    size_t count = 0;
    if (isnan(t->quantile)) {
        return;
    }
    for (size_t i = 0; i <= BAND_STEPS; i++) {
        double hours = hours_of_step(t, i);
        double line = te_line_bound(&t->series->line, hours, 0.0);
        places[count++] = (te_place){te_chart_at(&t->x, hours), te_chart_within(&t->y, line)};
    }
    for (size_t i = BAND_STEPS + 1; i > 0; i--) {
        double hours = hours_of_step(t, i - 1);
        double bound = te_line_bound(&t->series->line, hours, t->quantile);
        places[count++] = (te_place){te_chart_at(&t->x, hours), te_chart_within(&t->y, bound)};
    }
    te_drawing_area(t->chart.drawing, TE_TONE_MUTED, TE_FILL_LIGHT, TE_STROKE_HAIR, places, count,
                    NULL);
}

/* Where the line enters or leaves the values shown, hours are moved to that place. */
static double clipped_hours(const struct trend *t, double hours)
{
    const te_line *line = &t->series->line;
    double value = te_line_bound(line, hours, 0.0);
    double border = value > t->y.high ? t->y.high : t->y.low;
    if (te_chart_holds(&t->y, value) || !(fabs(line->rate) > 0.0)) {
        return hours;
    }
    return line->at + (border - line->level) / line->rate;
}

static void draw_line(struct trend *t)
{
    const te_series *series = t->series;
    double from = clipped_hours(t, series->hours_first);
    double to = clipped_hours(t, t->x.high);
    if (!te_chart_holds(&t->x, from) || !te_chart_holds(&t->x, to) || !(to > from)) {
        return;
    }
    const te_place places[] = {
        {te_chart_at(&t->x, from), te_chart_within(&t->y, te_line_bound(&series->line, from, 0.0))},
        {te_chart_at(&t->x, to), te_chart_within(&t->y, te_line_bound(&series->line, to, 0.0))}};
    te_buffer note = {0};
    te_buffer_text(&note, "rate ");
    te_put_number(&note, series->line.rate, 9);
    te_buffer_text(&note, " ");
    te_buffer_safe(&note, t->unit);
    te_buffer_text(&note, " per hour, level ");
    te_put_number(&note, series->line.level, 9);
    te_buffer_text(&note, " at ");
    te_put_number(&note, series->hours_last, 9);
    te_buffer_text(&note, " h");
    te_drawing_path(t->chart.drawing, TE_TONE_INK, TE_STROKE_PLAIN, places, 2,
                    te_chart_text(&note));
    t->chart.words.failed = t->chart.words.failed || note.failed;
    te_buffer_free(&note);
}

/* ---- limit ---- */

static bool is_shown(const struct trend *t, double hours)
{
    return t->limited && te_chart_holds(&t->x, hours);
}

/* True where the limit is met at a time to come that is on the chart. */
bool te_trend_is_marked(const struct trend *t, double hours)
{
    return is_shown(t, hours) && hours > t->series->hours_last;
}

/* True when the series or any of its points is at the limit or past it. */
bool te_trend_is_met(const struct trend *t)
{
    bool met = t->series->met;
    for (uint32_t i = 0; i < t->series->point_count; i++) {
        double value = t->points[i].value;
        met = met || (te_trend_is_high(t) ? value >= t->series->service - at_limit
                                          : value <= t->series->service + at_limit);
    }
    return met;
}

void te_trend_put_limit(te_buffer *words, const struct trend *t)
{
    te_buffer_text(words, te_trend_is_high(t) ? "service limit max " : "service limit min ");
    te_put_number(words, t->series->service, 9);
    te_buffer_text(words, " ");
    te_buffer_safe(words, t->unit);
}

static void draw_limit(struct trend *t)
{
    struct chart *chart = &t->chart;
    const te_series *series = t->series;
    if (isnan(series->service)) {
        return;
    }
    double y = te_chart_within(&t->y, series->service);
    te_trend_put_limit(&chart->words, t);
    if (t->limited) {
        const te_place ends[] = {{t->left, y}, {plot_right, y}};
        te_drawing_path(chart->drawing, TE_TONE_LIMIT, TE_STROKE_STRONG, ends, 2,
                        te_chart_text(&chart->words));
    }
    bool crossed = is_shown(t, series->at_limit) || is_shown(t, series->at_limit_earliest);
    if (!t->limited) {
        te_buffer_text(&chart->words, series->service > t->y.high ? ", above this chart ↑"
                                                                  : ", below this chart ↓");
    } else if (te_trend_is_met(t)) {
        te_buffer_text(&chart->words, ", reached already");
    } else if (!crossed && series->method != TE_RATE_NONE) {
        te_buffer_text(&chart->words, ", limit not reached on this chart →");
    }
    double baseline = te_trend_is_high(t) ? t->top + 10.0 : t->bottom - 5.0;
    if (t->limited) {
        baseline = te_trend_is_high(t) ? y - 5.0 : y + 11.0;
    }
    te_chart_cut(&chart->words, 0, plot_right - t->left - 8.0, TE_CHART_SMALL);
    te_chart_say(chart, TE_TONE_LIMIT, TE_ANCHOR_START, (te_place){t->left + 4.0, baseline},
                 TE_CHART_SMALL);
}

/* The cross is tall to stand out from the limit. */
static void draw_meeting(struct trend *t, double hours, const struct chart_sample *look,
                         const char *words)
{
    double size = look->spot == TE_SPOT_CROSS ? 12.0 : 7.0;
    if (!te_trend_is_marked(t, hours)) {
        return;
    }
    te_place at = {te_chart_at(&t->x, hours), te_chart_at(&t->y, t->series->service)};
    te_buffer note = {0};
    te_buffer_text(&note, words);
    te_put_number(&note, hours, 9);
    te_buffer_text(&note, " h");
    te_drawing_line(t->chart.drawing, TE_TONE_LIMIT, TE_STROKE_HAIR, at,
                    (te_place){at.x, t->bottom});
    te_drawing_spot(t->chart.drawing, look->tone, look->spot, at, size, te_chart_text(&note));
    t->chart.words.failed = t->chart.words.failed || note.failed;
    te_buffer_free(&note);
}

/* ---- points ---- */

te_spot te_trend_spot(const te_point *point)
{
    return point->assumed ? TE_SPOT_RING : point->fitted ? TE_SPOT_DISC : TE_SPOT_SQUARE;
}

static void draw_points(struct trend *t)
{
    for (uint32_t i = 0; i < t->series->point_count; i++) {
        const te_point *p = &t->points[i];
        te_place at = {te_chart_at(&t->x, p->hours), te_chart_at(&t->y, p->value)};
        if (p->stated) {
            te_chart_bar(&t->chart, TE_TONE_MUTED,
                         (te_place){at.x, te_chart_at(&t->y, p->value - 2.0 * p->u)},
                         (te_place){at.x, te_chart_at(&t->y, p->value + 2.0 * p->u)});
        }
        te_buffer note = {0};
        te_chart_put_figures(&note, p->value, p->stated ? p->u : NAN, t->unit);
        te_buffer_text(&note, ", at ");
        te_put_number(&note, p->hours, 9);
        te_buffer_text(&note, p->assumed ? " h, assumed as new, not measured" : " h");
        te_buffer_text(&note, p->fitted    ? ""
                              : p->assumed ? ", not fitted"
                                           : ", not fitted (run-in or places missing)");
        te_drawing_spot(t->chart.drawing, TE_TONE_INK, te_trend_spot(p), at, TE_CHART_SPOT + 0.5,
                        te_chart_text(&note));
        t->chart.words.failed = t->chart.words.failed || note.failed;
        te_buffer_free(&note);
    }
}

/* ---- the whole ---- */

static void draw_axes(struct trend *t)
{
    struct chart *chart = &t->chart;
    const te_series *series = t->series;
    te_chart_axis_across(chart, &t->x, t->top, t->bottom);
    te_chart_axis_down(chart, &t->y, t->left, plot_right);
    te_buffer_safe(&chart->words, t->unit);
    te_chart_cut(&chart->words, 0, unit_widest, TE_CHART_SMALL);
    te_chart_say(chart, TE_TONE_MUTED, TE_ANCHOR_START, (te_place){TE_CHART_MARGIN, t->top - 7.0},
                 TE_CHART_SMALL);
    te_buffer_text(&chart->words, series->unknown ? "hours since the first reading"
                                  : series->second_kind == TE_KIND_NONE
                                      ? "own hours of the part"
                                      : "hours of the pair together");
    te_buffer_text(&chart->words, ", h");
    te_chart_say(chart, TE_TONE_MUTED, TE_ANCHOR_MIDDLE,
                 (te_place){(t->left + plot_right) / 2.0, t->bottom + 23.0}, TE_CHART_SMALL);
}

static void draw(struct trend *t)
{
    te_trend_begin(t);
    t->top = t->chart.y + 17.0;
    t->bottom = t->top + plot_height;
    find_values(t);
    t->left = TE_CHART_MARGIN + te_chart_label_width(&t->y) + 8.0;
    find_hours(t);
    if (t->series->method != TE_RATE_NONE) {
        double quantile = te_line_quantile(&t->series->line, t->confidence);
        t->quantile = te_trend_is_high(t) ? quantile : -quantile;
        draw_band(t);
    }
    draw_axes(t);
    draw_limit(t);
    if (t->series->method != TE_RATE_NONE) {
        draw_line(t);
    }
    draw_meeting(t, t->series->at_limit_earliest, &te_trend_earliest, te_trend_earliest_words);
    draw_meeting(t, t->series->at_limit, &te_trend_best, te_trend_best_words);
    draw_points(t);
    t->chart.y = t->bottom + 28.0;
    te_trend_explain(t);
    te_chart_end(&t->chart);
}

bool te_chart_trend(te_drawing *drawing, const te_shop *shop, const te_history *history,
                    const te_series *series)
{
    struct trend t = {.chart = {.drawing = drawing, .shop = shop},
                      .history = history,
                      .series = series,
                      .confidence = te_shop_tables(shop)->confidence,
                      .quantile = NAN};
    if (series->point_count == 0) {
        return false;
    }
    t.points = &history->points[series->first_point];
    t.unit = te_series_unit(shop, history, series);
    draw(&t);
    return true;
}
