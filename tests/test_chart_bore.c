/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Figures of the bore: their notes are the assessment's figures, their fills and words the limits. */
#include "chart_kit.h"

#include <stdlib.h>

/* Without materials and at 20 degrees values are the readings. As new 66.010, limit 66.100: thirds
 * of the way at 66.040 and 66.070. */
static const te_shop_file base[] = {
    {"engines.csv", "engine,model\nE1,M\n"},
    {"limits.csv", "model,quantity,unit,new_min,new_max,service_min,service_max\n"
                   "M,bore,mm,66.000,66.020,,66.100\n"},
    {"instruments.csv", "instrument,unit,resolution,expanded_uncertainty\nBG,mm,0.001,0.004\n"
                        "BX,mm,0.01,\n"},
    {"parts.csv", "part,kind,engine,fitted_hours\nC1,cylinder,E1,0\n"},
    {"inspections.csv", "inspection,engine,date,hours,state,temperature\n"
                        "I1,E1,2026-03-14,215.5,found,20\n"},
    {"readings.csv", "inspection,feature,position,direction,reading,instrument\n"
                     "I1,bore,10,thrust,66.026,BG\nI1,bore,10,pin,66.043,BG\n"
                     "I1,bore,28,thrust,66.1035,BG\nI1,bore,28,pin,66.082,BG\n"
                     "I1,bore,60,thrust,66.0155,BG\nI1,bore,60,pin,66.0115,BX\n"},
    {NULL, NULL},
};

static const char readings_head[] = "inspection,feature,position,direction,reading,instrument\n";

static void open_judged(chart_desk *d, const te_shop_file *changes)
{
    desk_open(d, base, changes);
    desk_judge(d, te_made_inspection(&d->made, "I1"));
}

static bool is_placed(const te_observation *x)
{
    return x->feature == TE_Q_BORE && !isnan(x->position) && !isnan(x->direction);
}

/* Value and expanded uncertainty of an observation, as every note of it begins. */
static const char *start_of(char out[96], const te_observation *x)
{
    char value[TE_NUMBER_SIZE];
    char u[TE_NUMBER_SIZE];
    if (x->stated)
        (void)snprintf(out, 96, "%s mm, U %s,", figure_of(value, x->value), figure_of(u, 2 * x->u));
    else
        (void)snprintf(out, 96, "%s mm, U not stated,", figure_of(value, x->value));
    return out;
}

static const te_finding *finding_of(const chart_desk *d, te_quantity quantity)
{
    for (size_t i = 0; i < d->assessment.finding_count; i++) {
        if (d->assessment.findings[i].measured.quantity == quantity)
            return &d->assessment.findings[i];
    }
    fail_msg("no such finding");
    return NULL;
}

typedef bool chart_maker(te_drawing *, const te_shop *, const te_assessment *);

static void notes_tell_every_reading(chart_maker *make, size_t marks_each)
{
    chart_desk d;
    open_judged(&d, NULL);
    assert_true(make(&d.drawing, d.made.shop, &d.assessment));
    assert_false(d.drawing.failed);
    size_t told = 0;
    for (size_t i = 0; i < d.assessment.pool.count; i++) {
        const te_observation *x = &d.assessment.pool.items[i];
        char start[96];
        if (is_placed(x)) {
            assert_int_equal(notes_with(&d.drawing, start_of(start, x), NULL), marks_each);
            told++;
        }
    }
    assert_int_equal(told, 6);
    desk_clear(&d);
}

static void the_map_tells_every_reading(void **state)
{
    (void)state;
    notes_tell_every_reading(te_chart_bore_map, 1);
}

static void the_profile_tells_every_reading(void **state)
{
    (void)state;
    notes_tell_every_reading(te_chart_bore_profile, 1);
}

static void the_sections_tell_every_reading_at_both_ends(void **state)
{
    (void)state;
    notes_tell_every_reading(te_chart_bore_sections, 2);
}

/* ---- map ---- */

static void the_map_fills_by_the_way_to_the_limit(void **state)
{
    (void)state;
    static const struct {
        const char *note;
        te_fill fill;
    } cells[] = {
        {"66.026 mm", TE_FILL_NONE},   /* 18 % */
        {"66.043 mm", TE_FILL_LIGHT},  /* 37 % */
        {"66.082 mm", TE_FILL_HATCH},  /* 80 % */
        {"66.1035 mm", TE_FILL_SOLID}, /* past */
    };
    chart_desk d;
    open_judged(&d, NULL);
    assert_true(te_chart_bore_map(&d.drawing, d.made.shop, &d.assessment));
    for (size_t i = 0; i < sizeof cells / sizeof *cells; i++)
        assert_int_equal(mark_with(&d.drawing, cells[i].note)->fill, cells[i].fill);
    assert_int_equal(texts_with(&d.drawing, "+0.0935"), 1);
    assert_int_equal(texts_with(&d.drawing, "10 mm below deck"), 1);
    assert_int_equal(texts_with(&d.drawing, "thrust"), 1);
    size_t limits = 0;
    for (size_t i = 0; i < d.drawing.mark_count; i++) {
        const te_mark *mark = &d.drawing.marks[i];
        limits += mark->kind == TE_MARK_TEXT &&
                  strcmp(te_drawing_chars(&d.drawing, mark->text), "limit") == 0;
    }
    assert_int_equal(limits, 1);
    assert_near(mark_with(&d.drawing, "deviation 0.0935 mm")->place_count, 4, 0);
    desk_clear(&d);
}

/* At the limit is inside, as it is judged, whatever the last binary digit of the mean. */
static void the_map_takes_the_limit_itself_as_inside(void **state)
{
    (void)state;
    static const te_shop_file changes[] = {
        {"readings.csv", "inspection,feature,position,direction,reading,reading_2,instrument\n"
                         "I1,bore,10,thrust,66.099,66.101,BG\n"
                         "I1,bore,20,thrust,66.1,66.1,BG\n"
                         "I1,bore,30,thrust,66.1001,66.1001,BG\n"},
        {NULL, NULL}};
    chart_desk d;
    open_judged(&d, changes);
    assert_true(te_chart_bore_map(&d.drawing, d.made.shop, &d.assessment));
    assert_int_equal(mark_with(&d.drawing, "at 10 mm")->fill, TE_FILL_HATCH);
    assert_int_equal(mark_with(&d.drawing, "at 20 mm")->fill, TE_FILL_HATCH);
    assert_int_equal(mark_with(&d.drawing, "at 30 mm")->fill, TE_FILL_SOLID);
    desk_clear(&d);
}

/* Rows from the deck down, columns by direction. */
static void the_map_lies_as_the_bore_does(void **state)
{
    (void)state;
    chart_desk d;
    open_judged(&d, NULL);
    assert_true(te_chart_bore_map(&d.drawing, d.made.shop, &d.assessment));
    te_place top = place_of(&d.drawing, mark_with(&d.drawing, "66.026 mm"));
    te_place beside = place_of(&d.drawing, mark_with(&d.drawing, "66.043 mm"));
    te_place below = place_of(&d.drawing, mark_with(&d.drawing, "66.1035 mm"));
    assert_near(top.y, beside.y, 1e-9);
    assert_true(beside.x > top.x + 30);
    assert_near(top.x, below.x, 1e-9);
    assert_true(below.y > top.y + 10);
    desk_clear(&d);
}

static void the_map_without_limits_shows_readings(void **state)
{
    (void)state;
    static const te_shop_file changes[] = {
        {"limits.csv", "model,quantity,unit,new_max,service_max\nM,skirt,mm,66,67\n"},
        {NULL, NULL}};
    chart_desk d;
    open_judged(&d, changes);
    assert_true(te_chart_bore_map(&d.drawing, d.made.shop, &d.assessment));
    assert_int_equal(texts_with(&d.drawing, "66.1035"), 1);
    assert_int_equal(texts_with(&d.drawing, "There is no service limit"), 1);
    assert_int_equal(notes_with(&d.drawing, NULL, "deviation"), 0);
    for (size_t i = 0; i < d.drawing.mark_count; i++)
        assert_true(d.drawing.marks[i].kind != TE_MARK_AREA ||
                    d.drawing.marks[i].fill == TE_FILL_NONE);
    desk_clear(&d);
}

/* A lower limit alone: the way leads down. */
static void the_map_fills_toward_a_lower_limit(void **state)
{
    (void)state;
    static const te_shop_file changes[] = {{"limits.csv",
                                            "model,quantity,unit,new_min,new_max,service_min\n"
                                            "M,bore,mm,66.190,66.210,66.020\n"},
                                           {NULL, NULL}};
    chart_desk d;
    open_judged(&d, changes);
    assert_true(te_chart_bore_map(&d.drawing, d.made.shop, &d.assessment));
    assert_int_equal(mark_with(&d.drawing, "66.0155 mm")->fill, TE_FILL_SOLID);
    assert_int_equal(mark_with(&d.drawing, "66.026 mm")->fill, TE_FILL_HATCH);
    assert_int_equal(mark_with(&d.drawing, "66.1035 mm")->fill, TE_FILL_LIGHT);
    desk_clear(&d);
}

/* Two gauges at a place are two observations, three repeats are one. */
static void the_largest_of_a_place_is_shown_and_noted(void **state)
{
    (void)state;
    static const te_shop_file changes[] = {
        {"readings.csv", "inspection,feature,position,direction,reading,instrument\n"
                         "I1,bore,10,thrust,66.026,BG\nI1,bore,10,thrust,66.028,BG\n"
                         "I1,bore,10,thrust,66.024,BX\nI1,bore,10,pin,66.015,BG\n"},
        {NULL, NULL}};
    chart_desk d;
    open_judged(&d, changes);
    assert_true(te_chart_bore_map(&d.drawing, d.made.shop, &d.assessment));
    assert_int_equal(notes_with(&d.drawing, "66.027 mm", "the largest of 2 observations"), 1);
    assert_int_equal(notes_with(&d.drawing, "66.024 mm", NULL), 0);
    assert_int_equal(texts_with(&d.drawing, "+0.0170*"), 1);
    assert_int_equal(texts_with(&d.drawing, "* the largest of several observations"), 1);
    desk_clear(&d);
}

static void readings_without_a_place_are_told(void **state)
{
    (void)state;
    static const te_shop_file changes[] = {
        {"readings.csv", "inspection,feature,position,direction,reading,instrument\n"
                         "I1,bore,10,thrust,66.026,BG\nI1,bore,,,66.091,BG\n"
                         "I1,bore,20,,66.011,BG\n"},
        {NULL, NULL}};
    chart_desk d;
    open_judged(&d, changes);
    assert_true(te_chart_bore_map(&d.drawing, d.made.shop, &d.assessment));
    assert_int_equal(notes_with(&d.drawing, "66.0", NULL), 1);
    assert_int_equal(texts_with(&d.drawing, "2 readings without a height or a direction"), 1);
    te_drawing_free(&d.drawing);
    assert_false(te_chart_bore_profile(&d.drawing, d.made.shop, &d.assessment));
    assert_false(te_chart_bore_sections(&d.drawing, d.made.shop, &d.assessment));
    assert_null(d.drawing.marks);
    assert_false(d.drawing.failed);
    desk_clear(&d);
}

static void nothing_to_show_is_no_figure(void **state)
{
    (void)state;
    static const te_shop_file changes[] = {
        {"readings.csv", "inspection,feature,position,direction,reading,instrument\n"
                         "I1,bore,,thrust,66.026,BG\nI1,skirt,12,thrust,65.93,BG\n"},
        {"limits.csv", "model,quantity,unit,service_max\nM,bore,mm,66.1\nM,skirt,mm,66\n"},
        {NULL, NULL}};
    chart_desk d;
    open_judged(&d, changes);
    assert_false(te_chart_bore_map(&d.drawing, d.made.shop, &d.assessment));
    assert_false(te_chart_bore_profile(&d.drawing, d.made.shop, &d.assessment));
    assert_false(te_chart_bore_sections(&d.drawing, d.made.shop, &d.assessment));
    assert_int_equal(d.drawing.mark_count, 0);
    assert_int_equal(d.drawing.char_count, 0);
    desk_clear(&d);
}

/* ---- profile ---- */

static double x_of(const te_drawing *drawing, const char *note)
{
    return place_of(drawing, mark_with(drawing, note)).x;
}

/* All x are one linear scale of the values; bars are 2 u long on it. */
static void the_profile_is_to_scale(void **state)
{
    (void)state;
    chart_desk d;
    open_judged(&d, NULL);
    assert_true(te_chart_bore_profile(&d.drawing, d.made.shop, &d.assessment));
    double at26 = x_of(&d.drawing, "66.026 mm");
    double per_mm = (x_of(&d.drawing, "66.1035 mm") - at26) / 0.0775;
    assert_true(per_mm > 0);
    assert_near(x_of(&d.drawing, "66.043 mm"), at26 + 0.017 * per_mm, 1e-6);
    assert_near(x_of(&d.drawing, "66.0115 mm"), at26 - 0.0145 * per_mm, 1e-6);
    assert_near(x_of(&d.drawing, "service limit max 66.1 mm"), at26 + 0.074 * per_mm, 1e-6);
    const te_mark *as_new = mark_with(&d.drawing, "as new from 66 to 66.02 mm");
    const te_place *corner = &d.drawing.places[as_new->first_place];
    assert_near(corner[0].x, at26 - 0.026 * per_mm, 1e-6);
    assert_near(corner[1].x, at26 - 0.006 * per_mm, 1e-6);
    size_t bars = 0;
    double u = d.assessment.pool.items[0].u;
    for (size_t i = 0; i < d.drawing.mark_count; i++) {
        const te_mark *m = &d.drawing.marks[i];
        const te_place *p = &d.drawing.places[m->first_place];
        if (m->kind == TE_MARK_LINE && m->place_count == 2 && m->stroke == TE_STROKE_PLAIN &&
            fabs(p[1].x - p[0].x - 4 * u * per_mm) < 1e-6)
            bars++;
    }
    assert_int_equal(bars, 5); /* BX has no stated uncertainty */
    assert_int_equal(texts_with(&d.drawing, "Points without a bar: U is not stated."), 1);
    desk_clear(&d);
}

/* Each direction has a shape of its own, whatever the tones. */
static void directions_differ_in_shape(void **state)
{
    (void)state;
    te_grown readings = {0};
    static const int turns[] = {0, 30, 60, 90, 140};
    te_grown_add(&readings, "%s", readings_head);
    for (int h = 10; h <= 60; h += 10) {
        for (size_t j = 0; j < 5; j++)
            te_grown_add(&readings, "I1,bore,%d,%d,%.3f,BG\n", h, turns[j],
                         66.02 + 0.001 * (double)j + 0.0003 * h);
    }
    const te_shop_file changes[] = {{"readings.csv", readings.text}, {NULL, NULL}};
    chart_desk d;
    open_judged(&d, changes);
    assert_true(te_chart_bore_profile(&d.drawing, d.made.shop, &d.assessment));
    unsigned seen = 0;
    for (size_t j = 0; j < 5; j++) {
        static const char *const words[] = {"thrust direction", "30 degrees", "60 degrees",
                                            "pin direction", "140 degrees"};
        size_t spots = 0;
        te_spot shape = TE_SPOT_DISC;
        for (size_t i = 0; i < d.drawing.mark_count; i++) {
            const te_mark *m = &d.drawing.marks[i];
            bool mine = m->kind == TE_MARK_SPOT && strstr(note_of(&d.drawing, m), words[j]);
            assert_true(!mine || spots == 0 || m->spot == shape);
            shape = mine ? m->spot : shape;
            spots += mine ? 1 : 0;
        }
        assert_int_equal(spots, 6);
        assert_int_equal(seen & 1U << shape, 0);
        seen |= 1U << shape;
    }
    desk_clear(&d);
    te_grown_free(&readings);
}

static void a_far_limit_is_told_in_words(void **state)
{
    (void)state;
    static const te_shop_file changes[] = {
        {"limits.csv", "model,quantity,unit,service_min,service_max\nM,bore,mm,66.0,71\n"},
        {NULL, NULL}};
    chart_desk d;
    open_judged(&d, changes);
    assert_true(te_chart_bore_profile(&d.drawing, d.made.shop, &d.assessment));
    assert_int_equal(texts_with(&d.drawing, "service limit max 71 mm, to the right"), 1);
    assert_int_equal(notes_with(&d.drawing, "service limit max", NULL), 0);
    assert_int_equal(notes_with(&d.drawing, "service limit min 66 mm", NULL), 1);
    desk_clear(&d);
}

/* ---- sections ---- */

static void the_sections_tell_the_out_of_round(void **state)
{
    (void)state;
    chart_desk d;
    char figure[TE_NUMBER_SIZE];
    char words[64];
    open_judged(&d, NULL);
    assert_true(te_chart_bore_sections(&d.drawing, d.made.shop, &d.assessment));
    const te_finding *found = finding_of(&d, TE_Q_OUT_OF_ROUND);
    (void)snprintf(words, sizeof words, "out of round %s mm, at 28 mm",
                   figure_of(figure, found->interval.high));
    assert_near(found->interval.high, 0.0215, 1e-9);
    assert_int_equal(notes_with(&d.drawing, words, NULL), 1);
    assert_int_equal(notes_with(&d.drawing, "out of round 0.017 mm, at 10 mm", NULL), 1);
    assert_int_equal(texts_with(&d.drawing, "lobes of an odd number"), 1);
    desk_clear(&d);
}

/* With the factor that the figure states, radii are radii: worked back from the places. */
static void the_sections_keep_the_stated_factor(void **state)
{
    (void)state;
    chart_desk d;
    open_judged(&d, NULL);
    assert_true(te_chart_bore_sections(&d.drawing, d.made.shop, &d.assessment));
    const char *title = te_drawing_chars(&d.drawing, d.drawing.title);
    const char *stated = strstr(title, "deviations shown ");
    assert_non_null(stated);
    double factor = strtod(stated + strlen("deviations shown "), NULL);
    assert_true(factor >= 2);
    size_t pairs = 0;
    for (size_t i = 0; i + 1 < d.drawing.mark_count; i++) {
        const te_mark *m = &d.drawing.marks[i];
        if (m->kind != TE_MARK_SPOT || m->note == 0)
            continue;
        const char *note = note_of(&d.drawing, m);
        if (strcmp(note, note_of(&d.drawing, &d.drawing.marks[i + 1])) != 0)
            continue;
        te_place a = place_of(&d.drawing, m);
        te_place b = place_of(&d.drawing, &d.drawing.marks[i + 1]);
        double across = hypot(a.x - b.x, a.y - b.y);
        double per_mm = 2 * 34.0 / 66.01; /* the circle of the as-new middle, 34 points of radius */
        assert_near(across, per_mm * (66.01 + factor * (strtod(note, NULL) - 66.01)), 1e-6);
        bool upright = strstr(note, "pin") != NULL;
        assert_near(upright ? a.x - b.x : a.y - b.y, 0, 1e-9);
        pairs++;
    }
    assert_int_equal(pairs, 6);
    desk_clear(&d);
}

static void three_directions_give_the_fitted_oval(void **state)
{
    (void)state;
    static const te_shop_file changes[] = {
        {"readings.csv", "inspection,feature,position,direction,reading,instrument\n"
                         "I1,bore,10,0,66.020,BG\nI1,bore,10,45,66.032,BG\n"
                         "I1,bore,10,90,66.016,BG\nI1,bore,10,135,66.011,BG\n"},
        {NULL, NULL}};
    chart_desk d;
    char figure[TE_NUMBER_SIZE];
    te_bore_oval *ovals = NULL;
    size_t count = 0;
    open_judged(&d, changes);
    assert_int_equal(te_bore_ovals(&ovals, &count, &d.assessment.pool, 0), TE_OK);
    assert_int_equal(count, 1);
    assert_true(te_chart_bore_sections(&d.drawing, d.made.shop, &d.assessment));
    const te_mark *curve = mark_with(&d.drawing, "fitted oval");
    assert_int_equal(curve->kind, TE_MARK_AREA);
    assert_non_null(strstr(note_of(&d.drawing, curve), figure_of(figure, ovals->oval.ovality)));
    assert_non_null(strstr(note_of(&d.drawing, curve), figure_of(figure, ovals->oval.long_axis)));
    free(ovals);
    desk_clear(&d);
}

/* From two directions 20 degrees apart no curve is drawn. */
static void near_directions_give_no_curve(void **state)
{
    (void)state;
    static const te_shop_file changes[] = {
        {"readings.csv", "inspection,feature,position,direction,reading,instrument\n"
                         "I1,bore,10,0,66.020,BG\nI1,bore,10,20,66.012,BG\n"},
        {NULL, NULL}};
    chart_desk d;
    open_judged(&d, changes);
    assert_true(te_chart_bore_sections(&d.drawing, d.made.shop, &d.assessment));
    for (size_t i = 0; i < d.drawing.mark_count; i++)
        assert_int_not_equal(d.drawing.marks[i].kind, TE_MARK_AREA);
    assert_int_equal(notes_with(&d.drawing, "66.02 mm", NULL), 2);
    assert_int_equal(texts_with(&d.drawing, "out of round 0.0080 mm"), 1);
    desk_clear(&d);
}

/* ---- many ---- */

/* Of 40 heights and 36 directions what matters is kept and the rest counted. */
static void many_places_keep_the_extremes(void **state)
{
    (void)state;
    te_grown readings = {0};
    chart_desk d;
    char start[96];
    te_grown_add(&readings, "%s", readings_head);
    for (int h = 1; h <= 40; h++) {
        for (int t = 0; t < 180; t += 5) {
            double value = 66.02 + (h == 23 && t == 65 ? 0.05 : 0) -
                           (h == 31 && t == 125 ? 0.01 : 0);
            te_grown_add(&readings, "I1,bore,%d,%d,%.3f,BG\n", h, t, value);
        }
    }
    const te_shop_file changes[] = {{"readings.csv", readings.text}, {NULL, NULL}};
    open_judged(&d, changes);
    const te_finding *bore = finding_of(&d, TE_Q_BORE);
    const te_observation *most = &d.assessment.pool.items[bore->measured.high.observation[0]];
    const te_observation *least = &d.assessment.pool.items[bore->measured.low.observation[0]];
    chart_maker *const makers[] = {te_chart_bore_map, te_chart_bore_profile,
                                   te_chart_bore_sections};
    for (size_t i = 0; i < 3; i++) {
        assert_true(makers[i](&d.drawing, d.made.shop, &d.assessment));
        assert_true(notes_with(&d.drawing, start_of(start, most), NULL) > 0);
        assert_true(notes_with(&d.drawing, start_of(start, least), NULL) > 0);
        assert_int_equal(texts_with(&d.drawing, i == 2 ? "more heights, not shown"
                                                       : "more directions, not shown"),
                         1);
        te_drawing_free(&d.drawing);
    }
    desk_clear(&d);
    te_grown_free(&readings);
}

/* Only two of 40 heights, and one of 20 directions at them, were gauged twice: they are shown. */
static void what_a_quantity_rests_on_is_kept(void **state)
{
    (void)state;
    te_grown readings = {0};
    chart_desk d;
    te_grown_add(&readings, "%s", readings_head);
    for (int h = 1; h <= 40; h++)
        te_grown_add(&readings, "I1,bore,%d,%d,66.0%02d,BG\n", h, 4 * h, h);
    te_grown_add(&readings, "I1,bore,17,150,66.021,BG\nI1,bore,19,150,66.0215,BG\n");
    const te_shop_file changes[] = {{"readings.csv", readings.text}, {NULL, NULL}};
    open_judged(&d, changes);
    assert_true(te_chart_bore_profile(&d.drawing, d.made.shop, &d.assessment));
    assert_int_equal(notes_with(&d.drawing, "66.021 mm", "150 degrees"), 1);
    assert_int_equal(notes_with(&d.drawing, "150 degrees", NULL), 1); /* the line */
    te_drawing_free(&d.drawing);
    assert_true(te_chart_bore_sections(&d.drawing, d.made.shop, &d.assessment));
    assert_int_equal(notes_with(&d.drawing, "66.021 mm", "150 degrees"), 2);
    desk_clear(&d);
    te_grown_free(&readings);
}

/* A place that is no number makes the figure fail, and a failed one is freed like any other. */
static void a_failed_figure_is_freed(void **state)
{
    (void)state;
    chart_desk d;
    open_judged(&d, NULL);
    d.assessment.pool.items[2].value = INFINITY;
    assert_true(te_chart_bore_profile(&d.drawing, d.made.shop, &d.assessment));
    assert_true(d.drawing.failed);
    te_drawing_free(&d.drawing);
    assert_null(d.drawing.marks);
    assert_false(d.drawing.failed);
    desk_clear(&d);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_map_tells_every_reading),
        cmocka_unit_test(the_profile_tells_every_reading),
        cmocka_unit_test(the_sections_tell_every_reading_at_both_ends),
        cmocka_unit_test(the_map_fills_by_the_way_to_the_limit),
        cmocka_unit_test(the_map_takes_the_limit_itself_as_inside),
        cmocka_unit_test(the_map_lies_as_the_bore_does),
        cmocka_unit_test(the_map_without_limits_shows_readings),
        cmocka_unit_test(the_map_fills_toward_a_lower_limit),
        cmocka_unit_test(the_largest_of_a_place_is_shown_and_noted),
        cmocka_unit_test(readings_without_a_place_are_told),
        cmocka_unit_test(nothing_to_show_is_no_figure),
        cmocka_unit_test(the_profile_is_to_scale),
        cmocka_unit_test(directions_differ_in_shape),
        cmocka_unit_test(a_far_limit_is_told_in_words),
        cmocka_unit_test(the_sections_tell_the_out_of_round),
        cmocka_unit_test(the_sections_keep_the_stated_factor),
        cmocka_unit_test(three_directions_give_the_fitted_oval),
        cmocka_unit_test(near_directions_give_no_curve),
        cmocka_unit_test(many_places_keep_the_extremes),
        cmocka_unit_test(what_a_quantity_rests_on_is_kept),
        cmocka_unit_test(a_failed_figure_is_freed),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
