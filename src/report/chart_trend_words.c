/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The words of the figure of a series: title, description, legend. */
#include <math.h>

#include "chart_trend.h"

const struct chart_sample te_trend_earliest = {
    .tone = TE_TONE_LIMIT, .spotted = true, .spot = TE_SPOT_TRIANGLE};
const struct chart_sample te_trend_best = {
    .tone = TE_TONE_INK, .spotted = true, .spot = TE_SPOT_CROSS};
const char te_trend_earliest_words[] = "earliest at the limit: ";
const char te_trend_best_words[] = "line at the limit: ";

static size_t count_of(const struct trend *t, te_spot spot)
{
    size_t count = 0;
    for (uint32_t i = 0; i < t->series->point_count; i++) {
        count += te_trend_spot(&t->points[i]) == spot ? 1 : 0;
    }
    return count;
}

static void explain_points(struct trend *t)
{
    const struct {
        te_spot spot;
        const char *words;
    } kinds[] = {{TE_SPOT_DISC, "measured"},
                 {TE_SPOT_RING, t->series->assumed ? "assumed as new, not measured"
                                                   : "assumed as new, not measured, not fitted"},
                 {TE_SPOT_SQUARE, "not fitted: run-in or places missing"}};
    static const struct chart_sample bar = {.tone = TE_TONE_MUTED, .barred = true};
    bool stated = false;
    for (size_t i = 0; i < sizeof kinds / sizeof *kinds; i++) {
        struct chart_sample sample = {.tone = TE_TONE_INK, .spotted = true, .spot = kinds[i].spot};
        if (count_of(t, kinds[i].spot) > 0) {
            te_buffer_text(&t->chart.words, kinds[i].words);
            te_chart_legend(&t->chart, &sample);
        }
    }
    for (uint32_t i = 0; i < t->series->point_count; i++) {
        stated = stated || t->points[i].stated;
    }
    te_buffer_text(&t->chart.words, stated ? "expanded uncertainty U (k = 2)" : "");
    if (stated) {
        te_chart_legend(&t->chart, &bar);
    }
}

static void explain_line(struct trend *t)
{
    static const struct chart_sample line = {.tone = TE_TONE_INK, .stroke = TE_STROKE_PLAIN};
    static const struct chart_sample band = {
        .area = true, .tone = TE_TONE_MUTED, .fill = TE_FILL_LIGHT, .stroke = TE_STROKE_HAIR};
    struct chart *chart = &t->chart;
    if (t->series->method == TE_RATE_NONE) {
        return;
    }
    te_buffer_text(&chart->words, "fitted line");
    te_chart_legend(chart, &line);
    if (!isnan(t->quantile)) {
        te_buffer_text(&chart->words, te_trend_is_high(t)
                                          ? "up to its upper bound at confidence "
                                          : "down to its lower bound at confidence ");
        te_put_number(&chart->words, t->confidence, 6);
        te_chart_legend(chart, &band);
    }
}

/* With its mark where it has one, else as a remark of its own. */
static void explain_meeting(struct trend *t, double hours, const struct chart_sample *look,
                            const char *words, bool marked)
{
    struct chart *chart = &t->chart;
    if (isnan(hours) || te_trend_is_marked(t, hours) != marked) {
        return;
    }
    te_buffer_text(&chart->words, words);
    if (words == te_trend_earliest_words) { /* hours that are not to be passed */
        te_put_tenths_down(&chart->words, hours);
        te_buffer_text(&chart->words, " h");
    } else {
        te_put_hours(&chart->words, hours);
    }
    if (marked) {
        te_chart_legend(chart, look);
        return;
    }
    bool now = hours <= t->series->hours_last;
    te_buffer_text(&chart->words, now ? ", where the last point stands" : ", not on this chart");
    te_chart_remark(chart);
}

static void explain_remarks(struct trend *t)
{
    const te_series *series = t->series;
    if (series->met) {
        te_buffer_text(&t->chart.words, "The limit is reached already at ");
        te_put_hours(&t->chart.words, series->hours_last);
        te_buffer_text(&t->chart.words, ".");
        te_chart_remark(&t->chart);
    } else {
        explain_meeting(t, series->at_limit_earliest, &te_trend_earliest, te_trend_earliest_words,
                        false);
        explain_meeting(t, series->at_limit, &te_trend_best, te_trend_best_words, false);
    }
    if (series->method == TE_RATE_NONE) {
        te_buffer_text(&t->chart.words, "No rate yet: no line is drawn.");
        te_chart_remark(&t->chart);
    }
}

void te_trend_explain(struct trend *t)
{
    static const struct chart_sample limit = {.tone = TE_TONE_LIMIT, .stroke = TE_STROKE_STRONG};
    const te_series *series = t->series;
    explain_points(t);
    explain_line(t);
    if (t->limited) {
        te_buffer_text(&t->chart.words, "service limit");
        te_chart_legend(&t->chart, &limit);
    }
    explain_meeting(t, series->at_limit_earliest, &te_trend_earliest, te_trend_earliest_words,
                    true);
    explain_meeting(t, series->at_limit, &te_trend_best, te_trend_best_words, true);
    te_chart_legend_end(&t->chart);
    explain_remarks(t);
}

static void put_counts(te_buffer *description, const struct trend *t)
{
    te_put_count(description, count_of(t, TE_SPOT_DISC));
    te_buffer_text(description, " measured");
    if (count_of(t, TE_SPOT_RING) > 0) {
        te_buffer_text(description, ", 1 assumed as new and not measured");
    }
    if (count_of(t, TE_SPOT_SQUARE) > 0) {
        te_buffer_text(description, ", ");
        te_put_count(description, count_of(t, TE_SPOT_SQUARE));
        te_buffer_text(description, " measured and not fitted (run-in or places missing)");
    }
    bool once = !(te_trend_last_hours(t) - t->points[0].hours > TE_SAME_HOURS);
    te_buffer_text(description, once ? ", at " : ", from ");
    te_put_hours(description, t->points[0].hours);
    if (!once) {
        te_buffer_text(description, " to ");
        te_put_hours(description, te_trend_last_hours(t));
    }
    te_buffer_text(description, ".");
}

static void put_value(te_buffer *description, const struct trend *t, double value)
{
    te_put_value(description, value, t->unit);
    te_buffer_text(description, " ");
    te_buffer_safe(description, t->unit);
}

static void put_extremes(te_buffer *description, const struct trend *t)
{
    double least = INFINITY;
    double most = -INFINITY;
    for (uint32_t i = 0; i < t->series->point_count; i++) {
        least = fmin(least, t->points[i].value);
        most = fmax(most, t->points[i].value);
    }
    te_buffer_text(description, " The least value is ");
    put_value(description, t, least);
    te_buffer_text(description, ", the most ");
    put_value(description, t, most);
    te_buffer_text(description, ".");
}

static void put_projection(te_buffer *description, const struct trend *t)
{
    const te_series *series = t->series;
    if (series->method != TE_RATE_NONE) {
        te_buffer_text(description, " The fitted line changes by ");
        put_value(description, t, series->line.rate * TE_RATE_HOURS);
        te_buffer_text(description, " per 100 h.");
    }
    if (!isnan(series->service)) {
        te_buffer_text(description, " There is a ");
        te_trend_put_limit(description, t);
        te_buffer_text(description, te_trend_is_met(t) ? ", reached already." : ".");
    }
    if (series->met) {
        return;
    }
    if (!isnan(series->at_limit)) {
        te_buffer_text(description, " The line reaches it at ");
        te_put_hours(description, series->at_limit);
        te_buffer_text(description, ".");
    }
    if (!isnan(series->at_limit_earliest)) {
        te_buffer_text(description, " At the earliest it is reached at ");
        te_put_tenths_down(description, series->at_limit_earliest);
        te_buffer_text(description, " h.");
    }
}

void te_trend_begin(struct trend *t)
{
    te_buffer title = {0};
    te_buffer description = {0};
    te_chart_put_series(&title, t->chart.shop, t->series, t->unit);
    te_buffer_text(&description, "Values over the hours of the ");
    te_buffer_text(&description, t->series->second_kind == TE_KIND_NONE ? "part. " : "pair. ");
    put_counts(&description, t);
    put_extremes(&description, t);
    put_projection(&description, t);
    te_chart_begin(&t->chart, &title, &description);
}
