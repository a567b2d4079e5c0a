/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The bore over its height: diameters to the right, depths downward, the deck at the top. */
#include <math.h>
#include <string.h>

#include "chart_parts.h"

enum { HEIGHTS_MOST = 40, LINES_MOST = 5 };

static const double plot_left = 62.0;
static const double plot_right = TE_CHART_WIDTH - 22.0;
static const double plot_height = 170.0;

/* A limit so far away that the readings would be left less than this share of the axis is told in
 * words instead. */
static const double least_share = 1.0 / 40.0;

static const double apart_most =
    3.0; /* points of one height stand below each other by this, points */

/* All of a height's points together take no more than this share of the way to the next height. */
static const double apart_share = 0.6;

/* Lines of one figure differ in dashes and spots. */
static const struct chart_sample lines[LINES_MOST] = {
    {.tone = TE_TONE_INK, .stroke = TE_STROKE_PLAIN, .spotted = true, .spot = TE_SPOT_DISC},
    {.tone = TE_TONE_INK, .stroke = TE_STROKE_DASHED, .spotted = true, .spot = TE_SPOT_RING},
    {.tone = TE_TONE_INK, .stroke = TE_STROKE_DOTTED, .spotted = true, .spot = TE_SPOT_TRIANGLE},
    {.tone = TE_TONE_INK, .stroke = TE_STROKE_HAIR, .spotted = true, .spot = TE_SPOT_SQUARE},
    {.tone = TE_TONE_INK, .stroke = TE_STROKE_DASHED, .spotted = true, .spot = TE_SPOT_CROSS},
};

struct profile {
    struct chart chart;
    struct bore bore;
    struct chart_scale x, y;
    double top, bottom;
    double apart;  /* of the points of one height */
    bool stated;   /* a bar is shown */
    bool unstated; /* a point has none */
};

/* ---- ranges ---- */

static bool is_line(const struct bore *bore, size_t direction)
{
    size_t points = 0;
    for (size_t i = 0; i < bore->height_count; i++) {
        points += te_bore_cell(bore, i, direction)->largest != NULL ? 1 : 0;
    }
    return points >= 2;
}

static bool has_line(const struct bore *bore)
{
    for (size_t j = 0; j < bore->direction_count; j++) {
        if (is_line(bore, j)) {
            return true;
        }
    }
    return false;
}

static void widen(double *low, double *high, double value)
{
    if (!isnan(value)) {
        *low = fmin(*low, value);
        *high = fmax(*high, value);
    }
}

/* Takes a limit into the range where that leaves the readings room enough. */
static void widen_far(double *low, double *high, double value, double span)
{
    double wider = fmax(*high, value) - fmin(*low, value); /* of a number and NAN the number */
    if (!(span < wider * least_share)) {
        widen(low, high, value);
    }
}

static void find_ranges(struct profile *p)
{
    const struct bore *bore = &p->bore;
    double low = INFINITY;
    double high = -INFINITY;
    for (size_t i = 0; i < bore->height_count * bore->direction_count; i++) {
        const te_observation *x = bore->cells[i].largest;
        if (x != NULL) {
            double bar = x->stated ? 2.0 * x->u : 0.0;
            widen(&low, &high, x->value - bar);
            widen(&low, &high, x->value + bar);
            p->stated = p->stated || x->stated;
            p->unstated = p->unstated || !x->stated;
        }
    }
    double span = high - low > 0.0 ? high - low : INFINITY;
    if (!isnan(bore->middle)) {
        widen_far(&low, &high, bore->limits.new_min, span);
        widen_far(&low, &high, bore->limits.new_max, span);
    }
    widen_far(&low, &high, bore->limits.service_min, span);
    widen_far(&low, &high, bore->limits.service_max, span);
    p->x = te_chart_scale(low, high, plot_left, plot_right, 12.0, 12.0);
    te_chart_steps_across(&p->x);
    double deepest = fmax(bore->heights[bore->height_count - 1], 0.0);
    double shallowest = fmin(bore->heights[0], 0.0);
    p->y = te_chart_scale(shallowest, deepest, p->top, p->bottom, 0.0, 14.0);
    te_chart_steps_down(&p->y);
    p->apart = apart_most;
    for (size_t i = 1; i < bore->height_count; i++) {
        double gap = te_chart_at(&p->y, bore->heights[i]) -
                     te_chart_at(&p->y, bore->heights[i - 1]);
        p->apart = fmin(p->apart, apart_share * gap / (double)bore->direction_count);
    }
}

/* ---- ground ---- */

static void draw_as_new(struct profile *p)
{
    const te_bounds *limits = &p->bore.limits;
    double left = te_chart_within(&p->x, limits->new_min);
    double right = te_chart_within(&p->x, limits->new_max);
    if (isnan(p->bore.middle) || !(right > left)) {
        return;
    }
    te_buffer note = {0};
    te_buffer_text(&note, "as new from ");
    te_put_number(&note, limits->new_min, 9);
    te_buffer_text(&note, " to ");
    te_put_number(&note, limits->new_max, 9);
    te_buffer_text(&note, " mm");
    te_drawing_box(p->chart.drawing, TE_TONE_MUTED, TE_FILL_LIGHT, TE_STROKE_NONE,
                   (te_place){left, p->top}, right - left, p->bottom - p->top,
                   te_chart_text(&note));
    p->chart.words.failed = p->chart.words.failed || note.failed;
    te_buffer_free(&note);
}

/* A limit as a line with its words in a row of their own above the plot. */
static void draw_limit(struct profile *p, const char *name, double limit, double baseline)
{
    struct chart *chart = &p->chart;
    if (isnan(limit)) {
        return;
    }
    bool shown = te_chart_holds(&p->x, limit);
    double x = te_chart_within(&p->x, limit);
    te_buffer_text(&chart->words, name);
    te_put_number(&chart->words, limit, 9);
    te_buffer_text(&chart->words, " mm");
    if (!shown) {
        te_buffer_text(&chart->words, limit > p->x.high ? ", to the right of this chart →"
                                                        : ", to the left of this chart");
    } else {
        const te_place ends[] = {{x, p->top - 3.0}, {x, p->bottom}};
        te_drawing_path(chart->drawing, TE_TONE_LIMIT, TE_STROKE_STRONG, ends, 2,
                        te_chart_text(&chart->words));
    }
    bool right = x > (plot_left + plot_right) / 2.0;
    te_chart_say(chart, TE_TONE_LIMIT, right ? TE_ANCHOR_END : TE_ANCHOR_START,
                 (te_place){right ? x + 4.0 : x - 4.0, baseline}, TE_CHART_SMALL);
}

static void draw_ground(struct profile *p)
{
    struct chart *chart = &p->chart;
    draw_as_new(p);
    te_chart_axis_across(chart, &p->x, p->top, p->bottom);
    te_chart_axis_down(chart, &p->y, plot_left, plot_right);
    double deck = te_chart_at(&p->y, 0.0);
    te_drawing_line(chart->drawing, TE_TONE_INK, TE_STROKE_PLAIN, (te_place){plot_left, deck},
                    (te_place){plot_right, deck});
    te_buffer_text(&chart->words, "mm below deck");
    te_place side = {TE_CHART_MARGIN + 9.0, (p->top + p->bottom) / 2.0};
    te_drawing_text(chart->drawing, TE_TONE_MUTED, TE_ANCHOR_MIDDLE, side, TE_CHART_SMALL,
                    te_chart_text(&chart->words));
    te_mark *last = te_drawing_last(chart->drawing);
    if (last != NULL) {
        last->upright = true;
    }
    chart->words.length = 0;
    te_buffer_text(&chart->words, "diameter at 20 °C, mm");
    te_chart_say(chart, TE_TONE_MUTED, TE_ANCHOR_MIDDLE,
                 (te_place){(plot_left + plot_right) / 2.0, p->bottom + 23.0}, TE_CHART_SMALL);
}

/* ---- lines ---- */

static te_place place_of(const struct profile *p, size_t height, size_t direction)
{
    const te_observation *x = te_bore_cell(&p->bore, height, direction)->largest;
    double row = (double)direction - ((double)p->bore.direction_count - 1.0) / 2.0;
    return (te_place){te_chart_at(&p->x, x->value),
                      te_chart_at(&p->y, x->position) + row * p->apart};
}

static void draw_points(struct profile *p, size_t direction)
{
    struct chart *chart = &p->chart;
    for (size_t i = 0; i < p->bore.height_count; i++) {
        const struct bore_cell *cell = te_bore_cell(&p->bore, i, direction);
        if (cell->largest == NULL) {
            continue;
        }
        te_place at = place_of(p, i, direction);
        const te_observation *x = cell->largest;
        if (x->stated) {
            te_place low = {te_chart_at(&p->x, x->value - 2.0 * x->u), at.y};
            te_place high = {te_chart_at(&p->x, x->value + 2.0 * x->u), at.y};
            te_chart_bar(chart, TE_TONE_MUTED, low, high);
        }
        te_buffer note = {0};
        te_bore_put_note(&note, &p->bore, cell);
        te_drawing_spot(chart->drawing, lines[direction].tone, lines[direction].spot, at,
                        TE_CHART_SPOT, te_chart_text(&note));
        chart->words.failed = chart->words.failed || note.failed;
        te_buffer_free(&note);
    }
}

static void draw_line(struct profile *p, size_t direction)
{
    te_place places[HEIGHTS_MOST];
    size_t count = 0;
    for (size_t i = 0; i < p->bore.height_count; i++) {
        if (te_bore_cell(&p->bore, i, direction)->largest != NULL) {
            places[count++] = place_of(p, i, direction);
        }
    }
    if (count < 2) {
        return;
    }
    te_put_direction(&p->chart.words, p->bore.directions[direction]);
    te_drawing_path(p->chart.drawing, lines[direction].tone, lines[direction].stroke, places, count,
                    te_chart_text(&p->chart.words));
    p->chart.words.length = 0;
}

/* ---- the whole ---- */

static void write_legend(struct profile *p)
{
    static const struct chart_sample bar = {.tone = TE_TONE_MUTED, .barred = true};
    static const struct chart_sample as_new = {
        .area = true, .tone = TE_TONE_MUTED, .fill = TE_FILL_LIGHT};
    static const struct chart_sample limit = {.tone = TE_TONE_LIMIT, .stroke = TE_STROKE_STRONG};
    struct chart *chart = &p->chart;
    const te_bounds *limits = &p->bore.limits;
    for (size_t j = 0; j < p->bore.direction_count; j++) {
        te_put_direction(&chart->words, p->bore.directions[j]);
        te_chart_legend(chart, &lines[j]);
    }
    if (p->stated) {
        te_buffer_text(&chart->words, "expanded uncertainty U (k = 2)");
        te_chart_legend(chart, &bar);
    }
    if (!isnan(p->bore.middle)) {
        te_buffer_text(&chart->words, "as new, ");
        te_put_number(&chart->words, limits->new_min, 9);
        te_buffer_text(&chart->words, " to ");
        te_put_number(&chart->words, limits->new_max, 9);
        te_buffer_text(&chart->words, " mm");
        te_chart_legend(chart, &as_new);
    }
    if (!isnan(limits->service_min) || !isnan(limits->service_max)) {
        te_buffer_text(&chart->words, "service limit");
        te_chart_legend(chart, &limit);
    }
    te_chart_legend_end(chart);
    te_buffer_text(&chart->words, p->bore.direction_count > 1
                                      ? "Points of one height are drawn a little below each other."
                                      : "");
    te_buffer_text(&chart->words, p->unstated ? " Points without a bar: U is not stated." : "");
    if (chart->words.length > 0) {
        te_chart_remark(chart);
    }
}

static void begin(struct profile *p)
{
    te_buffer title = {0};
    te_buffer description = {0};
    te_buffer_text(&title, "Profile of the bore, mm");
    te_bore_put_part(&title, p->chart.shop, &p->bore);
    te_buffer_text(&description, "The diameter of the bore over its height, the deck at the top, a "
                                 "line for each direction. ");
    te_bore_put_range(&description, &p->bore);
    te_chart_begin(&p->chart, &title, &description);
}

static void draw(struct profile *p)
{
    const te_bounds *limits = &p->bore.limits;
    bool both = !isnan(limits->service_min) && !isnan(limits->service_max);
    begin(p);
    double first = p->chart.y + 8.0;
    p->top = p->chart.y + (both ? 26.0 : 15.0);
    p->bottom = p->top + plot_height;
    find_ranges(p);
    draw_ground(p);
    draw_limit(p, "service limit max ", limits->service_max, first);
    draw_limit(p, "service limit min ", limits->service_min, both ? first + 11.0 : first);
    for (size_t j = 0; j < p->bore.direction_count; j++) {
        draw_line(p, j);
    }
    for (size_t j = 0; j < p->bore.direction_count; j++) {
        draw_points(p, j);
    }
    p->chart.y = p->bottom + 28.0;
    write_legend(p);
    te_bore_remark_left_out(&p->chart, &p->bore);
    te_chart_end(&p->chart);
}

bool te_chart_bore_profile(te_drawing *drawing, const te_shop *shop,
                           const te_assessment *assessment)
{
    struct profile p = {.chart = {.drawing = drawing, .shop = shop}};
    bool collected = te_bore_collect(&p.bore, assessment, TE_Q_TAPER, HEIGHTS_MOST, LINES_MOST);
    bool any = collected && has_line(&p.bore);
    if (any) {
        draw(&p);
    }
    drawing->failed = drawing->failed || !collected;
    te_bore_free(&p.bore);
    return !collected || any;
}
