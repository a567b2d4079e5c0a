/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The bore as a map: a row a height from the deck down, a column a direction. */
#include <math.h>

#include "chart_parts.h"

enum { HEIGHTS_MOST = 14, DIRECTIONS_MOST = 10 };

static const double heights_label_most = 110.0;
static const double cell_padding = 4.0; /* left and right of a value */
static const double cell_widest = 110.0;
static const double row_height = 18.0;
static const double row_height_limit = 26.0; /* with a second line */

/* How far a value is from the as-new middle to its service limit. */
enum nearness { NEAR_NEW, NEAR_BETWEEN, NEAR_LIMIT, PAST_LIMIT, NEARNESSES };

static const double between_from = 1.0 / 3.0; /* shares of the way where the fill changes */
static const double limit_from = 2.0 / 3.0;

struct map {
    struct chart chart;
    struct bore bore;
    double left, cell_width, cell_height;
    bool any[NEARNESSES];
    bool several; /* a place has more than one observation */
};

/* Within this (mm) a value is at its limit, which is inside, as it is judged. */
static const double at_limit = 1e-9;

static enum nearness nearness_of(const struct bore *bore, double value)
{
    const te_bounds *limits = &bore->limits;
    if (value > limits->service_max + at_limit || value < limits->service_min - at_limit) {
        return PAST_LIMIT;
    }
    double up = (value - bore->middle) / (limits->service_max - bore->middle);
    double down = (bore->middle - value) / (bore->middle - limits->service_min);
    double share = fmax(up, down); /* of a number and NAN the number */
    return share >= limit_from ? NEAR_LIMIT : share >= between_from ? NEAR_BETWEEN : NEAR_NEW;
}

static void put_value(te_buffer *buffer, const struct bore *bore, const struct bore_cell *cell)
{
    if (isnan(bore->middle)) {
        te_put_value(buffer, cell->largest->value, "mm");
    } else {
        double deviation = cell->largest->value - bore->middle;
        te_buffer_text(buffer, deviation >= 0.00005 ? "+" : "");
        te_put_value(buffer, deviation, "mm");
    }
    te_buffer_text(buffer, cell->count > 1 ? "*" : "");
}

/* ---- sizes ---- */

static void measure_cells(struct map *map)
{
    te_buffer *words = &map->chart.words;
    const struct bore *bore = &map->bore;
    double widest = te_chart_width_of("thrust", TE_CHART_SMALL);
    for (size_t i = 0; i < bore->height_count * bore->direction_count; i++) {
        const struct bore_cell *cell = &bore->cells[i];
        if (cell->largest != NULL) {
            words->length = 0;
            put_value(words, bore, cell);
            widest = fmax(widest, te_chart_width_of(te_chart_text(words), TE_CHART_SMALL));
            map->any[nearness_of(bore, cell->largest->value)] = true;
            map->several = map->several || cell->count > 1;
        }
    }
    for (size_t i = 0; i < bore->direction_count; i++) {
        words->length = 0;
        te_bore_put_direction(words, bore->directions[i]);
        widest = fmax(widest, te_chart_width_of(te_chart_text(words), TE_CHART_SMALL));
    }
    words->length = 0;
    map->cell_width = widest + 2.0 * cell_padding;
    map->cell_height = map->any[PAST_LIMIT] ? row_height_limit : row_height;
}

static void measure(struct map *map)
{
    te_buffer *words = &map->chart.words;
    double widest = 0.0;
    for (size_t i = 0; i < map->bore.height_count; i++) {
        words->length = 0;
        te_bore_put_height(words, map->bore.heights[i]);
        widest = fmax(widest, te_chart_width_of(te_chart_text(words), TE_CHART_SMALL));
    }
    words->length = 0;
    map->left = TE_CHART_MARGIN + fmin(widest, heights_label_most) + 6.0;
    measure_cells(map);
    double room = TE_CHART_WIDTH - TE_CHART_MARGIN - map->left;
    double share = room / (double)map->bore.direction_count;
    map->cell_width = fmin(fmax(map->cell_width, fmin(share, cell_widest)), share);
}

/* ---- cells ---- */

static const struct chart_sample fills[NEARNESSES] = {
    {.area = true, .tone = TE_TONE_MUTED, .stroke = TE_STROKE_HAIR, .fill = TE_FILL_NONE},
    {.area = true, .tone = TE_TONE_MUTED, .stroke = TE_STROKE_HAIR, .fill = TE_FILL_LIGHT},
    {.area = true, .tone = TE_TONE_INK, .stroke = TE_STROKE_HAIR, .fill = TE_FILL_HATCH},
    {.area = true, .tone = TE_TONE_LIMIT, .stroke = TE_STROKE_PLAIN, .fill = TE_FILL_SOLID},
};

/* The value in the middle of its cell; in a hatched one on a ground of its own. */
static void write_value(struct map *map, const struct bore_cell *cell, te_place middle)
{
    struct chart *chart = &map->chart;
    enum nearness near = nearness_of(&map->bore, cell->largest->value);
    te_tone tone = near == PAST_LIMIT ? TE_TONE_PAPER : TE_TONE_INK;
    double y = middle.y + 2.8;
    put_value(&chart->words, &map->bore, cell);
    te_chart_cut(&chart->words, 0, map->cell_width - 2.0, TE_CHART_SMALL);
    if (near == NEAR_LIMIT) {
        double width = te_chart_width_of(te_chart_text(&chart->words), TE_CHART_SMALL) + 2.0;
        te_drawing_box(chart->drawing, TE_TONE_PAPER, TE_FILL_SOLID, TE_STROKE_NONE,
                       (te_place){middle.x - width / 2.0, middle.y - 5.5}, width, 11.0, NULL);
    }
    if (near == PAST_LIMIT) {
        y = middle.y - 2.0;
    }
    te_chart_say(chart, tone, TE_ANCHOR_MIDDLE, (te_place){middle.x, y}, TE_CHART_SMALL);
    if (near == PAST_LIMIT) {
        te_buffer_text(&chart->words, "limit");
        te_chart_say(chart, tone, TE_ANCHOR_MIDDLE, (te_place){middle.x, y + 10.0}, TE_CHART_SMALL);
        te_mark *last = te_drawing_last(chart->drawing);
        if (last != NULL) {
            last->bold = true;
        }
    }
}

static void draw_cell(struct map *map, const struct bore_cell *cell, te_place corner)
{
    struct chart *chart = &map->chart;
    te_place middle = {corner.x + map->cell_width / 2.0, corner.y + map->cell_height / 2.0};
    if (cell->largest == NULL) {
        te_drawing_box(chart->drawing, TE_TONE_FAINT, TE_FILL_NONE, TE_STROKE_HAIR, corner,
                       map->cell_width, map->cell_height, NULL);
        te_buffer_text(&chart->words, "–");
        te_chart_say(chart, TE_TONE_MUTED, TE_ANCHOR_MIDDLE, (te_place){middle.x, middle.y + 2.8},
                     TE_CHART_SMALL);
        return;
    }
    const struct chart_sample *fill = &fills[nearness_of(&map->bore, cell->largest->value)];
    te_buffer note = {0};
    te_bore_put_note(&note, &map->bore, cell);
    te_drawing_box(chart->drawing, fill->tone, fill->fill, fill->stroke, corner, map->cell_width,
                   map->cell_height, te_chart_text(&note));
    chart->words.failed = chart->words.failed || note.failed;
    te_buffer_free(&note);
    write_value(map, cell, middle);
}

/* Places not measured first: their faint outline lies below that of the others. */
static void draw_row(struct map *map, size_t height)
{
    for (int measured = 0; measured < 2; measured++) {
        for (size_t j = 0; j < map->bore.direction_count; j++) {
            const struct bore_cell *cell = te_bore_cell(&map->bore, height, j);
            te_place corner = {map->left + (double)j * map->cell_width, map->chart.y};
            if ((cell->largest != NULL) == (measured == 1)) {
                draw_cell(map, cell, corner);
            }
        }
    }
}

static void draw_cells(struct map *map)
{
    struct chart *chart = &map->chart;
    const struct bore *bore = &map->bore;
    for (size_t j = 0; j < bore->direction_count; j++) {
        double x = map->left + ((double)j + 0.5) * map->cell_width;
        te_bore_put_direction(&chart->words, bore->directions[j]);
        te_chart_cut(&chart->words, 0, map->cell_width - 2.0, TE_CHART_SMALL);
        te_chart_say(chart, TE_TONE_MUTED, TE_ANCHOR_MIDDLE, (te_place){x, chart->y + 9.0},
                     TE_CHART_SMALL);
    }
    chart->y += 13.0;
    for (size_t i = 0; i < bore->height_count; i++) {
        te_bore_put_height(&chart->words, bore->heights[i]);
        te_chart_cut(&chart->words, 0, heights_label_most, TE_CHART_SMALL);
        te_place at = {map->left - 6.0, chart->y + map->cell_height / 2.0 + 2.8};
        te_chart_say(chart, TE_TONE_MUTED, TE_ANCHOR_END, at, TE_CHART_SMALL);
        draw_row(map, i);
        chart->y += map->cell_height;
    }
    chart->y += 5.0;
}

/* ---- words ---- */

static void explain_fills(struct map *map)
{
    static const char *const words[NEARNESSES] = {
        "less than 1/3 of the way to the service limit", "1/3 to 2/3 of the way",
        "more than 2/3 of the way", "past the service limit"};
    struct chart *chart = &map->chart;
    const te_bounds *limits = &map->bore.limits;
    bool limited = !isnan(limits->service_max) || !isnan(limits->service_min);
    bool shares = limited && !isnan(map->bore.middle);
    for (int i = 0; i < NEARNESSES; i++) {
        if (shares || (limited && i == PAST_LIMIT)) {
            te_buffer_text(&chart->words, words[i]);
            te_chart_legend(chart, &fills[i]);
        }
    }
    te_chart_legend_end(chart);
    if (!limited) {
        te_buffer_text(&chart->words, "There is no service limit of the bore: no cell is filled.");
        te_chart_remark(chart);
    } else if (!shares) {
        te_buffer_text(&chart->words, "Without as-new limits on both sides the way to the service "
                                      "limit has no start: only what is past it is filled.");
        te_chart_remark(chart);
    } else {
        te_buffer_text(&chart->words, "Fills go by the value alone; the verdict weighs its "
                                      "uncertainty too.");
        te_chart_remark(chart);
    }
    if (map->several) {
        te_buffer_text(&chart->words, "* the largest of several observations at the place");
        te_chart_remark(chart);
    }
}

static void begin(struct map *map)
{
    te_buffer title = {0};
    te_buffer description = {0};
    const struct bore *bore = &map->bore;
    bool middle = !isnan(bore->middle);
    te_buffer_text(&title, "Map of the bore, ");
    te_buffer_text(&title, middle ? "deviation in mm from " : "diameter in mm");
    if (middle) {
        te_put_number(&title, bore->middle, 9);
        te_buffer_text(&title, " mm (as new)");
    }
    te_bore_put_part(&title, map->chart.shop, bore);
    te_buffer_text(&description, "A table with a row for each height of the bore, from the deck "
                                 "down, and a column for each direction. ");
    te_bore_put_range(&description, bore);
    te_chart_begin(&map->chart, &title, &description);
}

bool te_chart_bore_map(te_drawing *drawing, const te_shop *shop, const te_assessment *assessment)
{
    struct map map = {.chart = {.drawing = drawing, .shop = shop}};
    bool collected = te_bore_collect(&map.bore, assessment, TE_Q_BORE, HEIGHTS_MOST,
                                     DIRECTIONS_MOST);
    bool any = map.bore.placed_count > 0;
    if (collected && any) {
        begin(&map);
        measure(&map);
        draw_cells(&map);
        explain_fills(&map);
        te_bore_remark_left_out(&map.chart, &map.bore);
        te_chart_end(&map.chart);
    }
    drawing->failed = drawing->failed || !collected;
    te_bore_free(&map.bore);
    return !collected || any;
}
