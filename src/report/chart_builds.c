/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The rates of builds beside each other: a bar a build, with its expanded uncertainty. */
#include <math.h>

#include "chart_parts.h"
#include "wear_words.h"

enum { BUILDS_MOST = 12 };

static const double label_widest = 128.0;
static const double row_height = 26.0;
static const double bar_height = 11.0;

struct rates {
    struct chart chart;
    const te_history *history;
    const te_build_wear *wears; /* the rows shown */
    size_t count, more;         /* more: earlier ones, not shown */
    const te_series *series;    /* of the last row */
    const char *unit;
    struct chart_scale x;
    double left, right, top, bottom;
    bool stated, unstated, assumed;
};

static const te_series *series_of(const struct rates *r, size_t row)
{
    return &r->history->series[r->wears[row].series];
}

/* The rows that follow one of the same quantity, item and side. */
static size_t rows_of_place(const te_history *history, const te_builds *builds, size_t wear)
{
    const te_series *first = &history->series[builds->wears[wear].series];
    size_t end = wear + 1;
    for (; end < builds->wear_count; end++) {
        const te_series *next = &history->series[builds->wears[end].series];
        bool same = next->quantity == first->quantity && next->item == first->item &&
                    next->side == first->side && next->kind == first->kind &&
                    (next->kind != TE_KIND_OTHER || next->part == first->part);
        if (!same) {
            break;
        }
    }
    return end - wear;
}

static double rate_of(const te_build_wear *row)
{
    return row->rate * TE_RATE_HOURS;
}

static double u_of(const te_build_wear *row)
{
    return row->stated ? row->u_rate * TE_RATE_HOURS : NAN;
}

/* ---- words of a row ---- */

static void put_name(te_buffer *words, const struct rates *r, size_t row)
{
    te_measured subject = te_series_subject(series_of(r, row));
    te_buffer_text(words, "build ");
    te_put_count(words, r->wears[row].build);
    te_buffer_text(words, ": ");
    te_write_parts(words, r->chart.shop, &subject);
}

static void put_hours(te_buffer *words, const te_build_wear *row)
{
    te_put_tenths(words, row->hours_from);
    te_buffer_text(words, " to ");
    te_put_hours(words, row->hours_to);
}

static void put_rate(te_buffer *words, const struct rates *r, const te_build_wear *row)
{
    te_put_value(words, rate_of(row), r->unit);
}

static void put_u(te_buffer *words, const struct rates *r, const te_build_wear *row)
{
    if (row->stated) {
        te_buffer_text(words, "U ");
        te_put_value(words, 2.0 * u_of(row), r->unit);
    } else {
        te_buffer_text(words, "U not stated");
    }
}

static double width_of(te_buffer *words)
{
    double width = te_chart_width_of(te_chart_text(words), TE_CHART_SMALL);
    words->length = 0;
    return width;
}

/* ---- sizes ---- */

static void measure(struct rates *r)
{
    te_buffer *words = &r->chart.words;
    double name = 0.0;
    double figure = 0.0;
    double low = 0.0;
    double high = 0.0;
    for (size_t i = 0; i < r->count; i++) {
        const te_build_wear *row = &r->wears[i];
        double bar = row->stated ? 2.0 * u_of(row) : 0.0;
        low = fmin(low, rate_of(row) - bar);
        high = fmax(high, rate_of(row) + bar);
        put_name(words, r, i);
        name = fmax(name, width_of(words));
        put_hours(words, row);
        name = fmax(name, width_of(words));
        put_rate(words, r, row);
        figure = fmax(figure, width_of(words));
        put_u(words, r, row);
        figure = fmax(figure, width_of(words));
        r->stated = r->stated || row->stated;
        r->unstated = r->unstated || !row->stated;
        r->assumed = r->assumed || row->assumed;
    }
    r->left = TE_CHART_MARGIN + fmin(name, label_widest) + 10.0;
    r->right = TE_CHART_WIDTH - TE_CHART_MARGIN - figure - 12.0;
    r->x = te_chart_scale(low, high, r->left, r->right, low < 0.0 ? 8.0 : 0.0,
                          high > 0.0 ? 8.0 : 0.0);
    te_chart_steps_across(&r->x);
}

/* ---- rows ---- */

static const struct chart_sample plain_bar = {
    .area = true, .tone = TE_TONE_INK, .fill = TE_FILL_LIGHT, .stroke = TE_STROKE_PLAIN};
static const struct chart_sample assumed_bar = {
    .area = true, .tone = TE_TONE_INK, .fill = TE_FILL_HATCH, .stroke = TE_STROKE_PLAIN};

static void put_note(te_buffer *note, const struct rates *r, const te_build_wear *row)
{
    te_chart_put_figures(note, rate_of(row), u_of(row), r->unit);
    te_buffer_text(note, ", per 100 h, build ");
    te_put_count(note, row->build);
    te_buffer_text(note, ", from ");
    te_put_number(note, row->hours_from, 9);
    te_buffer_text(note, " to ");
    te_put_number(note, row->hours_to, 9);
    te_buffer_text(note, row->assumed ? " h, from an assumed as-new value" : " h");
}

static void draw_bar(struct rates *r, const te_build_wear *row, double middle)
{
    struct chart *chart = &r->chart;
    double zero = te_chart_within(&r->x, 0.0);
    double end = te_chart_at(&r->x, rate_of(row));
    const struct chart_sample *look = row->assumed ? &assumed_bar : &plain_bar;
    te_buffer note = {0};
    put_note(&note, r, row);
    te_drawing_box(chart->drawing, look->tone, look->fill, look->stroke,
                   (te_place){fmin(zero, end), middle - bar_height / 2.0}, fabs(end - zero),
                   bar_height, te_chart_text(&note));
    chart->words.failed = chart->words.failed || note.failed;
    te_buffer_free(&note);
    if (row->stated) {
        double bar = 2.0 * u_of(row);
        te_chart_bar(chart, TE_TONE_INK, (te_place){te_chart_at(&r->x, rate_of(row) - bar), middle},
                     (te_place){te_chart_at(&r->x, rate_of(row) + bar), middle});
    }
}

static void draw_row(struct rates *r, size_t row)
{
    struct chart *chart = &r->chart;
    const te_build_wear *wear = &r->wears[row];
    double middle = r->top + ((double)row + 0.5) * row_height;
    double upper = middle - 2.0;
    double lower = middle + 8.5;
    put_name(&chart->words, r, row);
    te_chart_cut(&chart->words, 0, r->left - TE_CHART_MARGIN - 8.0, TE_CHART_SMALL);
    te_chart_say(chart, TE_TONE_INK, TE_ANCHOR_START, (te_place){TE_CHART_MARGIN, upper},
                 TE_CHART_SMALL);
    put_hours(&chart->words, wear);
    te_chart_cut(&chart->words, 0, r->left - TE_CHART_MARGIN - 8.0, TE_CHART_SMALL);
    te_chart_say(chart, TE_TONE_MUTED, TE_ANCHOR_START, (te_place){TE_CHART_MARGIN, lower},
                 TE_CHART_SMALL);
    draw_bar(r, wear, middle);
    put_rate(&chart->words, r, wear);
    te_chart_say(chart, TE_TONE_INK, TE_ANCHOR_END,
                 (te_place){TE_CHART_WIDTH - TE_CHART_MARGIN, upper}, TE_CHART_SMALL);
    put_u(&chart->words, r, wear);
    te_chart_say(chart, TE_TONE_MUTED, TE_ANCHOR_END,
                 (te_place){TE_CHART_WIDTH - TE_CHART_MARGIN, lower}, TE_CHART_SMALL);
}

/* ---- words ---- */

static void begin(struct rates *r)
{
    te_buffer title = {0};
    te_buffer description = {0};
    te_put_quantity(&title, r->chart.shop, r->series->quantity, r->series->item);
    te_buffer_text(&title, ", ");
    te_buffer_text(&title, te_side_name(r->series->side));
    te_buffer_text(&title, ": change per 100 h in each build, ");
    te_buffer_safe(&title, r->unit);
    te_buffer_text(&description, "A bar for each build, as long as its change per 100 hours.");
    for (size_t i = 0; i < r->count; i++) {
        te_buffer_text(&description, " In ");
        put_name(&description, r, i);
        te_buffer_text(&description, ", ");
        put_hours(&description, &r->wears[i]);
        te_buffer_text(&description, ": ");
        put_rate(&description, r, &r->wears[i]);
        te_buffer_text(&description, " ");
        te_buffer_safe(&description, r->unit);
        te_buffer_text(&description, ", ");
        put_u(&description, r, &r->wears[i]);
        te_buffer_text(&description, r->wears[i].assumed ? ", from an assumed as-new value." : ".");
    }
    te_chart_begin(&r->chart, &title, &description);
}

static void explain(struct rates *r)
{
    static const struct chart_sample bar = {.tone = TE_TONE_INK, .barred = true};
    struct chart *chart = &r->chart;
    te_buffer_text(&chart->words, "between two measurements");
    te_chart_legend(chart, &plain_bar);
    if (r->assumed) {
        te_buffer_text(&chart->words, "from an assumed as-new value");
        te_chart_legend(chart, &assumed_bar);
    }
    if (r->stated) {
        te_buffer_text(&chart->words, "expanded uncertainty U (k = 2)");
        te_chart_legend(chart, &bar);
    }
    te_chart_legend_end(chart);
    if (r->more > 0) {
        te_buffer_text(&chart->words, "and ");
        te_put_count(&chart->words, r->more);
        te_buffer_text(&chart->words, r->more == 1 ? " more build, earlier, not shown"
                                                   : " more builds, earlier, not shown");
        te_chart_remark(chart);
    }
}

static void draw(struct rates *r)
{
    struct chart *chart = &r->chart;
    begin(r);
    measure(r);
    r->top = chart->y + 2.0;
    r->bottom = r->top + (double)r->count * row_height;
    te_chart_axis_across(chart, &r->x, r->top, r->bottom);
    for (size_t i = 0; i < r->count; i++) {
        draw_row(r, i);
    }
    double zero = te_chart_within(&r->x, 0.0);
    te_drawing_line(chart->drawing, TE_TONE_INK, TE_STROKE_PLAIN, (te_place){zero, r->top},
                    (te_place){zero, r->bottom});
    te_buffer_safe(&chart->words, r->unit);
    te_buffer_text(&chart->words, " per 100 h of the engine");
    double room = r->right - r->left;
    te_chart_cut(&chart->words, 0, room, TE_CHART_SMALL);
    te_chart_say(chart, TE_TONE_MUTED, TE_ANCHOR_MIDDLE,
                 (te_place){(r->left + r->right) / 2.0, r->bottom + 23.0}, TE_CHART_SMALL);
    chart->y = r->bottom + 28.0;
    explain(r);
    te_chart_end(chart);
}

bool te_chart_builds(te_drawing *drawing, const te_shop *shop, const te_history *history,
                     const te_builds *builds, size_t wear)
{
    size_t count = wear < builds->wear_count ? rows_of_place(history, builds, wear) : 0;
    if (count < 2) {
        return false;
    }
    size_t more = count > BUILDS_MOST ? count - BUILDS_MOST : 0;
    struct rates r = {.chart = {.drawing = drawing, .shop = shop},
                      .history = history,
                      .wears = &builds->wears[wear + more],
                      .count = count - more,
                      .more = more};
    r.series = series_of(&r, r.count - 1);
    r.unit = te_series_unit(shop, history, r.series);
    draw(&r);
    return true;
}
