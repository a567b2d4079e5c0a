/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * A sketch of where to measure: the cylinder cut open, its directions from above, the piston. It is
 * not to scale; heights of one part stand in their order and in proportion to each other.
 */
#include <math.h>
#include <stdlib.h>

#include "chart_parts.h"
#include "record/vector.h"
#include "sheet_parts.h"

enum {
    LINES_MOST = 40, /* in one panel */
    RINGS_MOST = 4,
    CIRCLE_STEPS = 48
};

static const double pi = 3.14159265358979323846;
static const double alike = 0.001; /* mm, degrees: readings nearer than this are of one place */
static const double half_turn = 180.0;

/* Points, from the left of a panel and from the top of what is drawn in it. */
static const double cylinder_width = 190.0;
static const double view_width = 160.0;
static const double piston_width = 116.0;
static const double depth = 150.0;     /* of the panels */
static const double label_step = 10.0; /* between neighbouring labels */
static const double label_drop = 2.8;  /* from the middle of small letters to their baseline */

/* A height or a direction. */
struct spot {
    double at;      /* mm or degrees */
    bool self, gap; /* of the part itself; of a ring's end gap */
    bool inch;      /* its row is in inches */
};

struct spots {
    struct spot *items;
    size_t count, capacity;
};

struct sketch {
    struct chart chart;
    const te_sheet *sheet;
    struct spots heights, directions, skirts;
    te_id rings[RINGS_MOST];
    size_t ring_count;
    bool more_rings;
    bool unnamed; /* a line has no name for lack of room */
    bool failed;
    double left; /* of the panel */
    double top;  /* of what is drawn */
};

/* ---- what there is to draw ---- */

/* Adds a place to a rising list, or joins it with one that is alike. */
static void add_spot(struct sketch *s, struct spots *list, struct spot spot)
{
    size_t at = 0;
    while (at < list->count && list->items[at].at < spot.at - alike) {
        at++;
    }
    if (at < list->count && fabs(list->items[at].at - spot.at) <= alike) {
        list->items[at].self = list->items[at].self || spot.self;
        list->items[at].gap = list->items[at].gap || spot.gap;
        return;
    }
    if (!te_vector_reserve(&list->items, &list->capacity, list->count + 1, sizeof *list->items)) {
        s->failed = true;
        return;
    }
    for (size_t i = list->count++; i > at; i--) {
        list->items[i] = list->items[i - 1];
    }
    list->items[at] = spot;
}

static void add_ring(struct sketch *s, te_id item)
{
    for (size_t i = 0; i < s->ring_count; i++) {
        if (s->rings[i] == item) {
            return;
        }
    }
    s->more_rings = s->more_rings || s->ring_count == RINGS_MOST;
    if (s->ring_count < RINGS_MOST) {
        s->rings[s->ring_count++] = item;
    }
}

static void collect(struct sketch *s)
{
    for (size_t i = 0; i < s->sheet->place_count; i++) {
        const te_sheet_place *place = &s->sheet->places[i];
        bool bore = place->feature == TE_Q_BORE;
        bool gap = place->feature == TE_Q_END_GAP;
        bool skirt = place->feature == TE_Q_SKIRT;
        bool inch = te_unit_is_inch(place->unit);
        if (!isnan(place->position) && (bore || gap)) {
            add_spot(s, &s->heights, (struct spot){place->position, bore, gap, inch});
        }
        if (!isnan(place->position) && skirt) {
            add_spot(s, &s->skirts, (struct spot){place->position, true, false, inch});
        }
        if (!isnan(place->direction)) {
            bool round = place->direction >= half_turn - alike;
            add_spot(s, &s->directions,
                     (struct spot){round ? 0.0 : place->direction, true, false, false});
        }
        if (place->item != 0 && (gap || place->feature == TE_Q_SIDE_CLEARANCE)) {
            add_ring(s, place->item);
        }
    }
}

/* True for the lines that are drawn when there are more than there is room for. */
static bool is_kept(size_t i, size_t count)
{
    return count <= LINES_MOST || i * LINES_MOST / count != (i + 1) * LINES_MOST / count;
}

/* ---- words ---- */

static void put_height(te_buffer *words, const struct spot *spot)
{
    const double inch = 25.4; /* mm */
    te_put_number(words, spot->inch ? spot->at / inch : spot->at, spot->inch ? 3 : 5);
    te_buffer_text(words, spot->inch ? " in" : " mm");
}

static void put_name(te_buffer *words, double direction)
{
    if (fabs(direction) <= alike) {
        te_buffer_text(words, "thrust");
    } else if (fabs(direction - half_turn / 2.0) <= alike) {
        te_buffer_text(words, "pin");
    } else {
        te_put_number(words, direction, 4);
        te_buffer_text(words, "°");
    }
}

static void say(struct sketch *s, te_anchor anchor, double x, double y, double room)
{
    te_chart_cut(&s->chart.words, 0, room, TE_CHART_SMALL);
    te_chart_say(&s->chart, TE_TONE_INK, anchor, (te_place){s->left + x, s->top + y},
                 TE_CHART_SMALL);
}

static void head_panel(struct sketch *s, const char *text)
{
    const double above = 12.0;
    te_buffer_text(&s->chart.words, text);
    te_chart_say(&s->chart, TE_TONE_MUTED, TE_ANCHOR_START, (te_place){s->left, s->top - above},
                 TE_CHART_LABEL);
}

/* ---- lines ---- */

static void draw_line(struct sketch *s, te_tone tone, te_stroke stroke, te_place from, te_place to)
{
    te_drawing_line(s->chart.drawing, tone, stroke, (te_place){s->left + from.x, s->top + from.y},
                    (te_place){s->left + to.x, s->top + to.y});
}

static void draw_box(struct sketch *s, te_tone tone, te_fill fill, te_stroke stroke,
                     te_place corner, double width, double height)
{
    te_drawing_box(s->chart.drawing, tone, fill, stroke,
                   (te_place){s->left + corner.x, s->top + corner.y}, width, height, NULL);
}

static void draw_circle(struct sketch *s, te_tone tone, te_stroke stroke, te_place middle,
                        double radius)
{
    te_place places[CIRCLE_STEPS];
    for (size_t i = 0; i < CIRCLE_STEPS; i++) {
        double angle = 2.0 * pi * (double)i / CIRCLE_STEPS;
        places[i] = (te_place){s->left + middle.x + radius * cos(angle),
                               s->top + middle.y - radius * sin(angle)};
    }
    te_drawing_area(s->chart.drawing, tone, TE_FILL_NONE, stroke, places, CIRCLE_STEPS, NULL);
}

/* Two arrow heads that point at each other's walls: a gauge across. */
static void draw_across(struct sketch *s, te_stroke stroke, double from, double to, double y)
{
    const double head = 4.0;
    const double half = 2.2;
    draw_line(s, TE_TONE_INK, stroke, (te_place){from, y}, (te_place){to, y});
    for (int side = 0; side < 2; side++) {
        double tip = side == 0 ? from : to;
        double tail = side == 0 ? from + head : to - head;
        const te_place places[] = {{s->left + tail, s->top + y - half},
                                   {s->left + tip, s->top + y},
                                   {s->left + tail, s->top + y + half}};
        te_drawing_area(s->chart.drawing, TE_TONE_INK, TE_FILL_SOLID, TE_STROKE_HAIR, places, 3,
                        NULL);
    }
}

/* ---- the cylinder ---- */

static const double wall = 14.0;
static const double inside = 70.0;

static void draw_cylinder_walls(struct sketch *s)
{
    double right = wall + inside;
    draw_box(s, TE_TONE_MUTED, TE_FILL_HATCH, TE_STROKE_PLAIN, (te_place){0.0, 0.0}, wall, depth);
    draw_box(s, TE_TONE_MUTED, TE_FILL_HATCH, TE_STROKE_PLAIN, (te_place){right, 0.0}, wall, depth);
    draw_line(s, TE_TONE_INK, TE_STROKE_STRONG, (te_place){0.0, 0.0},
              (te_place){right + wall, 0.0});
}

/* A height and its name right of the wall, below the name before it. */
static void draw_height(struct sketch *s, const struct spot *spot, double y, double *name)
{
    const double leader = 8.0;
    double edge = wall + inside + wall;
    double at = fmax(y, *name + label_step);
    draw_across(s, spot->self ? TE_STROKE_PLAIN : TE_STROKE_DASHED, wall, wall + inside, y);
    if (at > depth) {
        s->unnamed = true;
        return;
    }
    draw_line(s, TE_TONE_MUTED, TE_STROKE_HAIR, (te_place){edge, y}, (te_place){edge + leader, at});
    put_height(&s->chart.words, spot);
    te_buffer_text(&s->chart.words, !spot->gap ? "" : spot->self ? " + ring gap" : ": ring gap");
    say(s, TE_ANCHOR_START, edge + leader + 2.0, at + label_drop,
        cylinder_width - edge - leader - 4.0);
    *name = at;
}

static void draw_cylinder(struct sketch *s)
{
    const double lowest = 12.0; /* the wall goes on below the last height */
    size_t count = s->heights.count;
    double most = s->heights.items[count - 1].at;
    double name = 0.0;
    head_panel(s, "Cylinder, cut open");
    draw_cylinder_walls(s);
    te_buffer_text(&s->chart.words, "deck");
    say(s, TE_ANCHOR_START, wall + inside + wall + 10.0, label_drop, cylinder_width);
    for (size_t i = 0; i < count; i++) {
        const struct spot *spot = &s->heights.items[i];
        double y = most > 0.0 ? spot->at / most * (depth - lowest) : 0.0;
        s->unnamed = s->unnamed || !is_kept(i, count);
        if (is_kept(i, count)) {
            draw_height(s, spot, y, &name);
        }
    }
    s->left += cylinder_width;
}

/* ---- from above ---- */

static const double view_radius = 46.0;
static const double line_reach = 51.0;
static const double name_reach = 54.0;

/* Where names stand that were written. */
struct names {
    struct name_box {
        double left, right, baseline;
    } boxes[LINES_MOST];
    size_t count;
};

static bool is_free(const struct names *names, const struct name_box *box)
{
    const double gap = 2.0;
    for (size_t i = 0; i < names->count; i++) {
        const struct name_box *other = &names->boxes[i];
        if (box->left < other->right + gap && other->left < box->right + gap &&
            fabs(box->baseline - other->baseline) < TE_CHART_SMALL) {
            return false;
        }
    }
    return names->count < LINES_MOST;
}

/* Names a direction at the end of its line, where that stands over no other name. */
static void name_direction(struct sketch *s, struct names *names, te_place middle, double direction)
{
    const double slant = 0.3; /* cosine below which a name stands above its line */
    double angle = direction * pi / half_turn;
    te_anchor anchor = cos(angle) > slant    ? TE_ANCHOR_START
                       : cos(angle) < -slant ? TE_ANCHOR_END
                                             : TE_ANCHOR_MIDDLE;
    put_name(&s->chart.words, direction);
    double width = te_chart_width_of(te_chart_text(&s->chart.words), TE_CHART_SMALL);
    double share = anchor == TE_ANCHOR_START ? 0.0 : anchor == TE_ANCHOR_END ? 1.0 : 0.5;
    double x = middle.x + name_reach * cos(angle);
    double y = middle.y - name_reach * sin(angle) + (anchor == TE_ANCHOR_MIDDLE ? 0.0 : label_drop);
    struct name_box box = {x - share * width, x + (1.0 - share) * width, y};
    if (is_free(names, &box)) {
        names->boxes[names->count++] = box;
        say(s, anchor, x, y, width);
    } else {
        s->chart.words.length = 0;
        s->unnamed = true;
    }
}

static void draw_directions(struct sketch *s, te_place middle)
{
    struct names names = {.count = 0};
    size_t count = s->directions.count;
    for (size_t i = 0; i < count; i++) {
        double angle = s->directions.items[i].at * pi / half_turn;
        te_place out = {line_reach * cos(angle), line_reach * sin(angle)};
        s->unnamed = s->unnamed || !is_kept(i, count);
        if (is_kept(i, count)) {
            draw_line(s, TE_TONE_INK, TE_STROKE_PLAIN,
                      (te_place){middle.x - out.x, middle.y + out.y},
                      (te_place){middle.x + out.x, middle.y - out.y});
        }
    }
    for (int others = 0; others < 2; others++) { /* thrust and pin are named first */
        for (size_t i = 0; i < count; i++) {
            double direction = s->directions.items[i].at;
            bool other = fabs(direction) > alike && fabs(direction - half_turn / 2.0) > alike;
            if (other == (others == 1) && is_kept(i, count)) {
                name_direction(s, &names, middle, direction);
            }
        }
    }
}

static void draw_view(struct sketch *s)
{
    const double pin_half = 5.0;
    const double pin_reach = 38.0;
    te_place middle = {78.0, 72.0};
    head_panel(s, "From above");
    draw_box(s, TE_TONE_FAINT, TE_FILL_SOLID, TE_STROKE_HAIR,
             (te_place){middle.x - pin_half, middle.y - pin_reach}, 2.0 * pin_half,
             2.0 * pin_reach);
    draw_circle(s, TE_TONE_INK, TE_STROKE_STRONG, middle, view_radius);
    draw_directions(s, middle);
    te_buffer_text(&s->chart.words, "grey: where the pin lies");
    say(s, TE_ANCHOR_MIDDLE, middle.x, middle.y + view_radius + 20.0, view_width);
    s->left += view_width;
}

/* ---- the piston ---- */

static const double piston_side = 52.0;
static const double piston_low = 132.0; /* the lower edge */
static const double piston_label = 58.0;

static void draw_rings(struct sketch *s)
{
    const double first = 14.0;
    const double groove = 3.0;
    for (size_t i = 0; i < s->ring_count; i++) {
        double y = first + (double)i * (label_step + 1.0);
        draw_box(s, TE_TONE_INK, TE_FILL_SOLID, TE_STROKE_NONE, (te_place){0.0, y - groove / 2.0},
                 piston_side, groove);
        te_buffer_text(&s->chart.words, "ring ");
        te_buffer_safe(&s->chart.words, te_shop_text(s->chart.shop, s->rings[i]));
        say(s, TE_ANCHOR_START, piston_label, y + label_drop, piston_width - piston_label);
    }
    s->unnamed = s->unnamed || s->more_rings;
}

/* Heights of the skirt, from its lower edge up; each name above the one before. */
static void draw_skirts(struct sketch *s)
{
    const double highest = 42.0; /* below the pin */
    const double names_end = 64.0;
    double name = piston_low;
    size_t count = s->skirts.count;
    for (size_t i = 0; i < count; i++) {
        const struct spot *spot = &s->skirts.items[i];
        double most = s->skirts.items[count - 1].at;
        double y = piston_low - (most > 0.0 ? spot->at / most * highest : 0.0);
        double at = fmin(y, name - label_step);
        s->unnamed = s->unnamed || at < names_end || !is_kept(i, count);
        if (!is_kept(i, count)) {
            continue;
        }
        draw_across(s, TE_STROKE_PLAIN, 0.0, piston_side, y);
        if (at >= names_end) {
            draw_line(s, TE_TONE_MUTED, TE_STROKE_HAIR, (te_place){piston_side, y},
                      (te_place){piston_label - 1.0, at});
            put_height(&s->chart.words, spot);
            say(s, TE_ANCHOR_START, piston_label, at + label_drop, piston_width - piston_label);
            name = at;
        }
    }
}

static void draw_piston(struct sketch *s)
{
    const double pin_radius = 9.0;
    head_panel(s, "Piston, along the pin");
    draw_box(s, TE_TONE_MUTED, TE_FILL_LIGHT, TE_STROKE_PLAIN, (te_place){0.0, 0.0}, piston_side,
             piston_low);
    draw_circle(s, TE_TONE_MUTED, TE_STROKE_PLAIN, (te_place){piston_side / 2.0, 72.0}, pin_radius);
    draw_line(s, TE_TONE_INK, TE_STROKE_STRONG, (te_place){0.0, piston_low},
              (te_place){piston_side, piston_low});
    draw_rings(s);
    if (s->skirts.count > 0) {
        te_buffer_text(&s->chart.words, "lower edge");
        say(s, TE_ANCHOR_START, piston_label, piston_low + label_drop, piston_width - piston_label);
        draw_skirts(s);
    }
    s->left += piston_width;
}

/* ---- the whole ---- */

static void list_spots(te_buffer *text, const char *before, const struct spots *list,
                       void (*put)(te_buffer *words, const struct spot *spot))
{
    for (size_t i = 0; i < list->count; i++) {
        te_buffer_text(text, i == 0 ? before : i + 1 == list->count ? " and " : ", ");
        put(text, &list->items[i]);
    }
    te_buffer_text(text, list->count > 0 ? ". " : "");
}

static void put_height_words(te_buffer *words, const struct spot *spot)
{
    put_height(words, spot);
    te_buffer_text(words, !spot->gap    ? " (bore)"
                          : !spot->self ? " (ring gap)"
                                        : " (bore and ring gap)");
}

static void put_direction_words(te_buffer *words, const struct spot *spot)
{
    put_name(words, spot->at);
}

static void begin(struct sketch *s)
{
    te_buffer title = {0};
    te_buffer description = {0};
    const te_engine *engine = &te_shop_tables(s->chart.shop)->engines[s->sheet->engine];
    te_buffer_text(&title, "Where to measure: ");
    te_buffer_safe(&title, te_shop_text(s->chart.shop, engine->id));
    list_spots(&description, "Below the deck: ", &s->heights, put_height_words);
    list_spots(&description, "Directions, seen from above: ", &s->directions, put_direction_words);
    list_spots(&description, "On the skirt, above its lower edge: ", &s->skirts, put_height);
    for (size_t i = 0; i < s->ring_count; i++) {
        te_buffer_text(&description, i == 0 ? "Rings: " : ", ");
        te_buffer_safe(&description, te_shop_text(s->chart.shop, s->rings[i]));
    }
    te_buffer_text(&description, s->more_rings ? " and more." : s->ring_count > 0 ? "." : "");
    te_chart_begin(&s->chart, &title, &description);
}

static void write_remarks(struct sketch *s)
{
    te_buffer *words = &s->chart.words;
    te_buffer_text(words, "Not to scale.");
    te_buffer_text(words,
                   s->heights.count > 0 ? " Bore and ring gap: heights from the deck down." : "");
    te_buffer_text(words, s->skirts.count > 0 ? " Skirt: from its lower edge up." : "");
    te_buffer_text(words, s->directions.count > 0
                              ? " Thrust: across the pin; pin: along it; degrees: from thrust "
                                "towards pin, as drawn."
                              : "");
    te_buffer_text(words, s->unnamed ? " There is no room to name them all: see the table." : "");
    te_chart_remark(&s->chart);
}

static void draw(struct sketch *s)
{
    const double heads = 22.0; /* the panels' names */
    begin(s);
    s->left = TE_CHART_MARGIN;
    s->top = s->chart.y + heads;
    if (s->heights.count > 0) {
        draw_cylinder(s);
    }
    if (s->directions.count > 0) {
        draw_view(s);
    }
    if (s->skirts.count > 0 || s->ring_count > 0) {
        draw_piston(s);
    }
    s->chart.y = s->top + depth + 6.0;
    write_remarks(s);
    te_chart_end(&s->chart);
}

bool te_sheet_sketch(te_drawing *drawing, const te_sheet *sheet, const te_shop *shop)
{
    struct sketch s = {.chart = {.drawing = drawing, .shop = shop}, .sheet = sheet};
    collect(&s);
    bool any = s.heights.count + s.directions.count + s.skirts.count + s.ring_count > 0;
    if (any && !s.failed) {
        draw(&s);
    }
    drawing->failed = drawing->failed || s.failed;
    free(s.heights.items);
    free(s.directions.items);
    free(s.skirts.items);
    return any || s.failed;
}
