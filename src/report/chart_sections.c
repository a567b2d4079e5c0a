/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Sections of the bore: at each height a circle, and what was gauged with its deviations
 * exaggerated. */
#include <math.h>
#include <stdlib.h>

#include "chart_parts.h"

enum {
    HEIGHTS_MOST = 6,
    DIRECTIONS_MOST = 40,
    A_ROW = 3, /* sections beside each other */
    CURVE_STEPS = 72
};

static const double pi = 3.14159265358979323846;
static const double degree = 3.14159265358979323846 / 180.0;

static const double circle_radius = 34.0;  /* of the reference circle, points */
static const double deviation_most = 14.0; /* that the largest deviation is drawn, points */
static const double axis_reach = 50.0;     /* half the length of the direction marks */
static const double tile_width = (TE_CHART_WIDTH - 2.0 * TE_CHART_MARGIN) / A_ROW;
static const double tile_height = 144.0;
static const double factor_most = 100000.0;

/* An oval through two points is drawn only where they are at least this far from being one
 * direction (degrees): from nearer ones it would be guessed. */
static const double oval_least = 45.0;

struct sections {
    struct chart chart;
    struct bore bore;
    te_bore_oval *ovals;
    size_t oval_count;
    double reference; /* diameter of the circle, mm */
    double factor;    /* of the exaggeration */
    double scale;     /* points a mm of radius, the factor included */
    bool two, fitted; /* sections of two directions, of more */
};

/* ---- out of round at a height ---- */

/* The largest difference between readings of two directions at a height; NAN with one direction. */
static double out_of_round(const struct bore *bore, double height)
{
    const te_observation *most = NULL;
    const te_observation *least = NULL;
    double widest = NAN;
    for (size_t i = 0; i < bore->pool->count; i++) {
        const te_observation *x = &bore->pool->items[i];
        if (te_bore_is_placed(x) && !(x->position < height) && !(x->position > height)) {
            most = most == NULL || x->value > most->value ? x : most;
            least = least == NULL || x->value < least->value ? x : least;
        }
    }
    for (size_t i = 0; most != NULL && i < bore->pool->count; i++) {
        const te_observation *x = &bore->pool->items[i];
        if (te_bore_is_placed(x) && !(x->position < height) && !(x->position > height)) {
            bool off_most = x->direction < most->direction || x->direction > most->direction;
            bool off_least = x->direction < least->direction || x->direction > least->direction;
            widest = off_most ? fmax(widest, most->value - x->value) : widest;
            widest = off_least ? fmax(widest, x->value - least->value) : widest;
        }
    }
    return widest;
}

static size_t directions_at(const struct bore *bore, size_t height)
{
    size_t count = 0;
    for (size_t j = 0; j < bore->direction_count; j++) {
        count += te_bore_cell(bore, height, j)->largest != NULL ? 1 : 0;
    }
    return count;
}

static bool has_section(const struct bore *bore)
{
    for (size_t i = 0; i < bore->height_count; i++) {
        if (!isnan(out_of_round(bore, bore->heights[i]))) {
            return true;
        }
    }
    return false;
}

/* ---- curves ---- */

/* The oval of a height: fitted to three or more directions, or laid through two. */
static bool oval_at(te_oval *oval, const struct sections *s, size_t height)
{
    const struct bore *bore = &s->bore;
    for (size_t i = 0; i < s->oval_count; i++) {
        bool here = !(s->ovals[i].position < bore->heights[height]) &&
                    !(s->ovals[i].position > bore->heights[height]);
        if (here) {
            *oval = s->ovals[i].oval;
            return true;
        }
    }
    const te_observation *pair[2] = {NULL, NULL};
    for (size_t j = 0; j < bore->direction_count; j++) {
        const te_observation *x = te_bore_cell(bore, height, j)->largest;
        pair[1] = x != NULL && pair[0] != NULL && pair[1] == NULL ? x : pair[1];
        pair[0] = x != NULL && pair[0] == NULL ? x : pair[0];
    }
    if (directions_at(bore, height) != 2 || pair[0] == NULL || pair[1] == NULL) {
        return false;
    }
    double turn = (pair[1]->direction - pair[0]->direction) * degree;
    if (fabs(sin(turn)) < sin(oval_least * degree)) {
        return false;
    }
    double start = pair[0]->direction * degree;
    double half = (pair[0]->value - pair[1]->value) / (1.0 - cos(2.0 * turn));
    *oval = (te_oval){
        .mean = pair[0]->value - half, .a = half * cos(2.0 * start), .b = half * sin(2.0 * start)};
    return true;
}

static double oval_diameter(const te_oval *oval, double angle)
{
    return oval->mean + oval->a * cos(2.0 * angle) + oval->b * sin(2.0 * angle);
}

/* Seen from the deck: thrust to the right, angles against the clock. */
static te_place place_of(const struct sections *s, te_place middle, double diameter, double angle)
{
    double radius = circle_radius + (diameter - s->reference) / 2.0 * s->scale;
    return (te_place){middle.x + radius * cos(angle), middle.y - radius * sin(angle)};
}

/* ---- scale ---- */

static void find_scale(struct sections *s)
{
    const struct bore *bore = &s->bore;
    double sum = 0.0;
    size_t count = 0;
    double most = 0.0;
    for (size_t i = 0; i < bore->height_count * bore->direction_count; i++) {
        const te_observation *x = bore->cells[i].largest;
        sum += x != NULL ? x->value : 0.0;
        count += x != NULL ? 1 : 0;
    }
    s->reference = isnan(bore->middle) ? sum / (double)count : bore->middle;
    for (size_t i = 0; i < bore->height_count; i++) {
        te_oval oval;
        for (size_t j = 0; j < bore->direction_count; j++) {
            const te_observation *x = te_bore_cell(bore, i, j)->largest;
            most = x != NULL ? fmax(most, fabs(x->value - s->reference)) : most;
        }
        if (oval_at(&oval, s, i)) {
            most = fmax(most, fabs(oval.mean - s->reference) + hypot(oval.a, oval.b));
        }
        s->two = s->two || directions_at(bore, i) == 2;
        s->fitted = s->fitted || directions_at(bore, i) > 2;
    }
    double plain = circle_radius / (s->reference / 2.0); /* points a mm, not exaggerated */
    double wanted = deviation_most / (most / 2.0 * plain);
    s->factor = wanted > factor_most ? factor_most : te_chart_round_down(wanted);
    s->scale = plain * s->factor;
}

/* ---- one section ---- */

static void draw_directions(struct sections *s, te_place middle)
{
    struct chart *chart = &s->chart;
    te_drawing_line(chart->drawing, TE_TONE_FAINT, TE_STROKE_PLAIN,
                    (te_place){middle.x - axis_reach, middle.y},
                    (te_place){middle.x + axis_reach, middle.y});
    te_drawing_line(chart->drawing, TE_TONE_FAINT, TE_STROKE_PLAIN,
                    (te_place){middle.x, middle.y - axis_reach},
                    (te_place){middle.x, middle.y + axis_reach});
    te_buffer_text(&chart->words, "thrust");
    te_chart_say(chart, TE_TONE_MUTED, TE_ANCHOR_START,
                 (te_place){middle.x + axis_reach + 2.0, middle.y + 2.8}, TE_CHART_SMALL);
    te_buffer_text(&chart->words, "pin");
    te_chart_say(chart, TE_TONE_MUTED, TE_ANCHOR_START,
                 (te_place){middle.x + 3.0, middle.y - axis_reach + 4.0}, TE_CHART_SMALL);
}

static void draw_circle(struct sections *s, te_place middle)
{
    te_place places[CURVE_STEPS + 1];
    for (size_t i = 0; i <= CURVE_STEPS; i++) {
        double angle = 2.0 * pi * (double)i / CURVE_STEPS;
        places[i] = place_of(s, middle, s->reference, angle);
    }
    te_drawing_path(s->chart.drawing, TE_TONE_MUTED, TE_STROKE_DOTTED, places, CURVE_STEPS + 1,
                    NULL);
}

static void draw_curve(struct sections *s, size_t height, te_place middle, const char *note)
{
    te_place places[CURVE_STEPS];
    te_oval oval;
    if (!oval_at(&oval, s, height)) {
        return;
    }
    for (size_t i = 0; i < CURVE_STEPS; i++) {
        double angle = 2.0 * pi * (double)i / CURVE_STEPS;
        places[i] = place_of(s, middle, oval_diameter(&oval, angle), angle);
    }
    te_drawing_area(s->chart.drawing, TE_TONE_INK, TE_FILL_NONE, TE_STROKE_PLAIN, places,
                    CURVE_STEPS, note);
}

/* A diameter is two points of the outline, half a turn apart. */
static void draw_points(struct sections *s, size_t height, te_place middle)
{
    struct chart *chart = &s->chart;
    for (size_t j = 0; j < s->bore.direction_count; j++) {
        const struct bore_cell *cell = te_bore_cell(&s->bore, height, j);
        if (cell->largest == NULL) {
            continue;
        }
        te_buffer note = {0};
        te_bore_put_note(&note, &s->bore, cell);
        for (int side = 0; side < 2; side++) {
            double angle = cell->largest->direction * degree + side * pi;
            te_drawing_spot(chart->drawing, TE_TONE_INK, TE_SPOT_DISC,
                            place_of(s, middle, cell->largest->value, angle), 4.0,
                            te_chart_text(&note));
        }
        chart->words.failed = chart->words.failed || note.failed;
        te_buffer_free(&note);
    }
}

static void put_round(te_buffer *words, const struct sections *s, size_t height, bool exactly)
{
    double widest = out_of_round(&s->bore, s->bore.heights[height]);
    if (isnan(widest)) {
        te_buffer_text(words, "one direction only");
        return;
    }
    te_buffer_text(words, "out of round ");
    if (exactly) {
        te_put_number(words, widest, 9);
    } else {
        te_put_fixed(words, widest, 4);
    }
    te_buffer_text(words, " mm");
}

static void put_curve_note(te_buffer *note, const struct sections *s, size_t height)
{
    te_oval oval;
    put_round(note, s, height, true);
    te_buffer_text(note, ", at ");
    te_bore_put_height(note, s->bore.heights[height]);
    if (directions_at(&s->bore, height) > 2 && oval_at(&oval, s, height)) {
        te_buffer_text(note, ", fitted oval ");
        te_put_number(note, oval.ovality, 9);
        te_buffer_text(note, " mm, long axis at ");
        te_put_number(note, oval.long_axis, 9);
        te_buffer_text(note, " degrees");
    }
}

static void draw_section(struct sections *s, size_t height, te_place corner)
{
    struct chart *chart = &s->chart;
    te_place middle = {corner.x + tile_width / 2.0 - 10.0, corner.y + 70.0};
    te_buffer note = {0};
    put_curve_note(&note, s, height);
    te_bore_put_height(&chart->words, s->bore.heights[height]);
    te_chart_cut(&chart->words, 0, tile_width - 8.0, TE_CHART_LABEL);
    te_chart_say(chart, TE_TONE_INK, TE_ANCHOR_MIDDLE, (te_place){middle.x, corner.y + 10.0},
                 TE_CHART_LABEL);
    draw_directions(s, middle);
    draw_circle(s, middle);
    draw_curve(s, height, middle, te_chart_text(&note));
    draw_points(s, height, middle);
    put_round(&chart->words, s, height, false);
    te_chart_cut(&chart->words, 0, tile_width - 8.0, TE_CHART_SMALL);
    te_chart_say(chart, TE_TONE_INK, TE_ANCHOR_MIDDLE, (te_place){middle.x, corner.y + 131.0},
                 TE_CHART_SMALL);
    chart->words.failed = chart->words.failed || note.failed;
    te_buffer_free(&note);
}

/* ---- the whole ---- */

static void write_legend(struct sections *s)
{
    static const struct chart_sample circle = {.tone = TE_TONE_MUTED, .stroke = TE_STROKE_DOTTED};
    static const struct chart_sample curve = {.tone = TE_TONE_INK, .stroke = TE_STROKE_PLAIN};
    static const struct chart_sample gauged = {
        .tone = TE_TONE_INK, .spotted = true, .spot = TE_SPOT_DISC};
    struct chart *chart = &s->chart;
    te_buffer_text(&chart->words, "gauged");
    te_chart_legend(chart, &gauged);
    te_buffer_text(&chart->words, s->two && s->fitted ? "oval fitted, or laid through two points"
                                  : s->two            ? "oval laid through the points"
                                                      : "fitted oval");
    te_chart_legend(chart, &curve);
    te_buffer_text(&chart->words, isnan(s->bore.middle) ? "circle of the mean, "
                                                        : "circle of the as-new middle, ");
    te_put_fixed(&chart->words, s->reference, 4);
    te_buffer_text(&chart->words, " mm");
    te_chart_legend(chart, &circle);
    te_chart_legend_end(chart);
}

static void write_remarks(struct sections *s)
{
    struct chart *chart = &s->chart;
    te_buffer_text(&chart->words, "Deviations shown ");
    te_put_number(&chart->words, s->factor, 9);
    te_buffer_text(&chart->words, " times as large as the circle's scale. Out of round: the "
                                  "largest less the smallest diameter at the height. Degrees "
                                  "count from thrust to pin.");
    te_chart_remark(chart);
    te_buffer_text(&chart->words,
                   s->two
                       ? "Two directions do not tell a shape: the curve between them is assumed. "
                         "A gauge with two contacts cannot see lobes of an odd number."
                       : "A gauge with two contacts cannot see lobes of an odd number, and the "
                         "fitted oval does not show them.");
    te_chart_remark(chart);
}

static void begin(struct sections *s)
{
    te_buffer title = {0};
    te_buffer description = {0};
    te_buffer_text(&title, "Sections of the bore, deviations shown ");
    te_put_number(&title, s->factor, 9);
    te_buffer_text(&title, " times");
    te_bore_put_part(&title, s->chart.shop, &s->bore);
    te_buffer_text(&description, "At each height a circle and the outline of the bore, its "
                                 "deviations from the circle exaggerated ");
    te_put_number(&description, s->factor, 9);
    te_buffer_text(&description, " times. ");
    te_bore_put_range(&description, &s->bore);
    for (size_t i = 0; i < s->bore.height_count; i++) {
        te_buffer_text(&description, " At ");
        te_bore_put_height(&description, s->bore.heights[i]);
        te_buffer_text(&description, ": ");
        put_round(&description, s, i, false);
        te_buffer_text(&description, ".");
    }
    te_chart_begin(&s->chart, &title, &description);
}

static void draw(struct sections *s)
{
    struct chart *chart = &s->chart;
    size_t count = s->bore.height_count;
    find_scale(s);
    begin(s);
    for (size_t i = 0; i < count; i++) {
        te_place corner = {TE_CHART_MARGIN + (double)(i % A_ROW) * tile_width, chart->y};
        draw_section(s, i, corner);
        chart->y += i % A_ROW == A_ROW - 1 || i + 1 == count ? tile_height : 0.0;
    }
    chart->y -= 6.0;
    write_legend(s);
    write_remarks(s);
    te_bore_remark_left_out(chart, &s->bore);
    te_chart_end(chart);
}

bool te_chart_bore_sections(te_drawing *drawing, const te_shop *shop,
                            const te_assessment *assessment)
{
    struct sections s = {.chart = {.drawing = drawing, .shop = shop}};
    bool sound = te_bore_collect(&s.bore, assessment, TE_Q_OUT_OF_ROUND, HEIGHTS_MOST,
                                 DIRECTIONS_MOST) &&
                 te_bore_ovals(&s.ovals, &s.oval_count, s.bore.pool, 0) == TE_OK;
    bool any = sound && has_section(&s.bore);
    if (any) {
        draw(&s);
    }
    drawing->failed = drawing->failed || !sound;
    free(s.ovals);
    te_bore_free(&s.bore);
    return !sound || any;
}
