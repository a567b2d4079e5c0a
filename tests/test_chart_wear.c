/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Figures of wear: their notes are the figures of the series and of the builds. */
#include "chart_kit.h"

/* One engine, all parts new at 0 h, pistons changed at 100 and 200 h; values are the readings. */
static const te_shop_file base[] = {
    {"engines.csv", "engine,model\nE1,M\n"},
    {"models.csv", "model,run_in_hours\nM,5\n"},
    {"limits.csv", "model,quantity,unit,new_min,new_max,service_min,service_max\n"
                   "M,bore,mm,66.000,66.020,,66.100\nM,skirt,mm,65.920,65.940,65.870,\n"},
    {"instruments.csv", "instrument,unit,resolution,expanded_uncertainty\nBG,mm,0.001,0.004\n"
                        "MIC,mm,0.001,0.002\n"},
    {"parts.csv", "part,kind,engine,fitted_hours,removed_hours\nC1,cylinder,E1,0,\n"
                  "K1,piston,E1,0,100\nK2,piston,E1,100,200\nK3,piston,E1,200,\n"},
    {"inspections.csv", "inspection,engine,date,hours,state,temperature\n"
                        "I1,E1,2021-03-14,2,found,20\nI2,E1,2022-03-14,100,found,20\n"
                        "I3,E1,2023-03-14,200,found,20\nI4,E1,2024-03-14,290,found,20\n"},
    {"readings.csv", "inspection,feature,position,direction,reading,instrument\n"
                     "I1,bore,10,thrust,66.018,BG\nI2,bore,10,thrust,66.032,BG\n"
                     "I3,bore,10,thrust,66.047,BG\nI4,bore,10,thrust,66.0605,BG\n"
                     "I2,skirt,12,thrust,65.921,MIC\nI3,skirt,12,thrust,65.917,MIC\n"
                     "I4,skirt,12,thrust,65.9265,MIC\n"},
    {NULL, NULL},
};

static const te_series *series_of(const chart_desk *d, const char *quantity, const char *part)
{
    for (size_t i = 0; i < d->history.series_count; i++) {
        const te_series *s = &d->history.series[i];
        if (strcmp(te_shop_quantity_name(d->made.shop, s->quantity), quantity) == 0 &&
            strcmp(te_shop_text(d->made.shop, s->part), part) == 0)
            return s;
    }
    fail_msg("no series %s of %s", quantity, part);
    return NULL;
}

static const te_series *open_trend(chart_desk *d, const te_shop_file *changes, const char *quantity,
                                   const char *part)
{
    desk_open(d, base, changes);
    desk_follow(d);
    const te_series *series = series_of(d, quantity, part);
    assert_true(te_chart_trend(&d->drawing, d->made.shop, &d->history, series));
    assert_false(d->drawing.failed);
    return series;
}

static const te_mark *spot_of_point(const chart_desk *d, const te_point *point, const char *unit)
{
    char value[TE_NUMBER_SIZE];
    char u[TE_NUMBER_SIZE];
    char hours[TE_NUMBER_SIZE];
    char note[160];
    if (point->stated)
        (void)snprintf(note, sizeof note, "%s %s, U %s, at %s h", figure_of(value, point->value),
                       unit, figure_of(u, 2 * point->u), figure_of(hours, point->hours));
    else
        (void)snprintf(note, sizeof note, "%s %s, U not stated, at %s h",
                       figure_of(value, point->value), unit, figure_of(hours, point->hours));
    assert_int_equal(notes_with(&d->drawing, note, NULL), 1);
    return mark_with(&d->drawing, note);
}

/* ---- trend ---- */

static void a_trend_tells_every_point_by_its_kind(void **state)
{
    (void)state;
    chart_desk d;
    const te_series *series = open_trend(&d, NULL, "bore", "C1");
    assert_int_equal(series->point_count, 5);
    for (uint32_t i = 0; i < series->point_count; i++) {
        const te_point *p = &d.history.points[series->first_point + i];
        const te_mark *mark = spot_of_point(&d, p, "mm");
        assert_int_equal(mark->kind, TE_MARK_SPOT);
        assert_int_equal(mark->spot, p->assumed     ? TE_SPOT_RING
                                     : p->hours < 5 ? TE_SPOT_SQUARE
                                                    : TE_SPOT_DISC);
    }
    assert_int_equal(texts_with(&d.drawing, "not fitted: run-in or places missing"), 1);
    assert_int_equal(texts_with(&d.drawing, "assumed as new, not measured, not fitted"), 1);
    desk_clear(&d);
    series = open_trend(&d, NULL, "skirt", "K1");
    assert_true(series->assumed);
    const te_mark *ring = spot_of_point(&d, &d.history.points[series->first_point], "mm");
    assert_int_equal(ring->spot, TE_SPOT_RING);
    assert_non_null(strstr(note_of(&d.drawing, ring), "assumed as new, not measured"));
    assert_int_equal(texts_with(&d.drawing, "assumed as new, not measured"), 1);
    desk_clear(&d);
}

static void a_trend_tells_its_line(void **state)
{
    (void)state;
    chart_desk d;
    char rate[TE_NUMBER_SIZE];
    char level[TE_NUMBER_SIZE];
    char note[160];
    const te_series *series = open_trend(&d, NULL, "bore", "C1");
    (void)snprintf(note, sizeof note, "rate %s mm per hour, level %s at 290 h",
                   figure_of(rate, series->line.rate), figure_of(level, series->line.level));
    const te_mark *line = mark_with(&d.drawing, note);
    assert_int_equal(line->kind, TE_MARK_LINE);
    assert_int_equal(line->stroke, TE_STROKE_PLAIN);
    desk_clear(&d);
}

/* Scales read back from the points: value at a place, hours at a place. */
struct back {
    double hours, x, per_hour;
    double value, y, per_unit;
};

static struct back scales_of(const chart_desk *d, const te_series *series)
{
    const te_point *p = &d->history.points[series->first_point];
    const te_point *q = &p[series->point_count - 1];
    te_place a = place_of(&d->drawing, spot_of_point(d, p, "mm"));
    te_place b = place_of(&d->drawing, spot_of_point(d, q, "mm"));
    return (struct back){p->hours, a.x, (b.x - a.x) / (q->hours - p->hours),
                         p->value, a.y, (b.y - a.y) / (q->value - p->value)};
}

static void the_limit_is_met_where_the_series_says(void **state)
{
    (void)state;
    chart_desk d;
    char hours[TE_NUMBER_SIZE];
    char note[80];
    const te_series *series = open_trend(&d, NULL, "bore", "C1");
    struct back at = scales_of(&d, series);
    assert_true(series->at_limit_earliest < series->at_limit && series->at_limit < 800);
    (void)snprintf(note, sizeof note, "line at the limit: %s h",
                   figure_of(hours, series->at_limit));
    te_place best = place_of(&d.drawing, mark_with(&d.drawing, note));
    (void)snprintf(note, sizeof note, "earliest at the limit: %s h",
                   figure_of(hours, series->at_limit_earliest));
    const te_mark *mark = mark_with(&d.drawing, note);
    te_place earliest = place_of(&d.drawing, mark);
    te_place limit = place_of(&d.drawing, mark_with(&d.drawing, "service limit max 66.1 mm"));
    assert_near(best.x, at.x + (series->at_limit - at.hours) * at.per_hour, 1e-6);
    assert_near(earliest.x, at.x + (series->at_limit_earliest - at.hours) * at.per_hour, 1e-6);
    assert_near(best.y, limit.y, 1e-9);
    assert_near(earliest.y, limit.y, 1e-9);
    assert_near(limit.y, at.y + (66.1 - at.value) * at.per_unit, 1e-6);
    assert_true(at.per_unit < 0 && at.per_hour > 0);
    assert_int_equal(mark->spot, TE_SPOT_TRIANGLE);
    assert_int_equal(texts_with(&d.drawing, "not reached"), 0);
    desk_clear(&d);
}

/* The band's outline is the line one way and its bound at the shop's confidence the other. */
static void the_band_is_one_sided(void **state)
{
    (void)state;
    static const char *const parts[][2] = {{"bore", "C1"}, {"skirt", "K3"}};
    for (size_t k = 0; k < 2; k++) {
        chart_desk d;
        const te_series *series = open_trend(&d, NULL, parts[k][0], parts[k][1]);
        struct back at = scales_of(&d, series);
        double quantile = te_line_quantile(&series->line, d.made.tables->confidence);
        quantile = series->side == TE_SIDE_HIGH ? quantile : -quantile;
        assert_near(quantile, k == 0 ? 1.6448536 : -1.6448536, 1e-6);
        size_t places = 0;
        for (size_t i = 0; i < d.drawing.mark_count; i++) {
            const te_mark *m = &d.drawing.marks[i];
            if (m->kind != TE_MARK_AREA || m->place_count < 10)
                continue;
            for (uint32_t j = 0; j < m->place_count / 2; j++) {
                const te_place *p = &d.drawing.places[m->first_place];
                te_place line = p[j];
                te_place bound = p[m->place_count - 1 - j];
                double hours = at.hours + (line.x - at.x) / at.per_hour;
                double level = te_line_bound(&series->line, hours, 0);
                double far = te_line_bound(&series->line, hours, quantile);
                assert_near(line.x, bound.x, 1e-9);
                if (hours <= series->at_limit_earliest) { /* beyond it the border may cut */
                    assert_near(line.y, at.y + (level - at.value) * at.per_unit, 1e-6);
                    assert_near(bound.y, at.y + (far - at.value) * at.per_unit, 1e-6);
                    places++;
                }
            }
        }
        assert_true(places > 10);
        assert_int_equal(texts_with(&d.drawing, k == 0 ? "upper bound at confidence 0.95"
                                                       : "lower bound at confidence 0.95"),
                         1);
        desk_clear(&d);
    }
}

static void a_limit_that_is_met_is_said_so(void **state)
{
    (void)state;
    static const te_shop_file changes[] = {
        {"limits.csv", "model,quantity,unit,service_max\nM,bore,mm,66.055\n"}, {NULL, NULL}};
    chart_desk d;
    const te_series *series = open_trend(&d, changes, "bore", "C1");
    assert_true(series->met);
    assert_int_equal(texts_with(&d.drawing, "service limit max 66.055 mm, reached already"), 1);
    assert_int_equal(texts_with(&d.drawing, "The limit is reached already at 290 h."), 1);
    assert_int_equal(texts_with(&d.drawing, "not reached"), 0);
    assert_int_equal(notes_with(&d.drawing, "line at the limit", NULL), 0);
    desk_clear(&d);
}

/* Past the limit and coming back: the line never meets it, and yet nothing may say "not reached". */
static void a_value_past_the_limit_is_never_called_not_reached(void **state)
{
    (void)state;
    static const te_shop_file changes[] = {
        {"limits.csv", "model,quantity,unit,service_max\nM,bore,mm,66.02\n"},
        {"readings.csv", "inspection,feature,position,direction,reading,instrument\n"
                         "I2,bore,10,thrust,66.060,BG\nI3,bore,10,thrust,66.045,BG\n"
                         "I4,bore,10,thrust,66.032,BG\n"},
        {NULL, NULL}};
    chart_desk d;
    (void)open_trend(&d, changes, "bore", "C1");
    assert_int_equal(texts_with(&d.drawing, ", reached already"), 1);
    assert_int_equal(texts_with(&d.drawing, "not reached"), 0);
    desk_clear(&d);
}

static void a_far_crossing_is_told_in_words(void **state)
{
    (void)state;
    static const te_shop_file changes[] = {{"limits.csv",
                                            "model,quantity,unit,new_min,new_max,service_max\n"
                                            "M,bore,mm,66.000,66.020,66.400\n"},
                                           {NULL, NULL}};
    chart_desk d;
    const te_series *series = open_trend(&d, changes, "bore", "C1");
    assert_true(series->at_limit_earliest > 900);
    assert_int_equal(texts_with(&d.drawing, "limit not reached on this chart"), 1);
    assert_int_equal(texts_with(&d.drawing, " h, not on this chart"), 2);
    struct back at = scales_of(&d, series);
    for (size_t i = 0; i < d.drawing.mark_count; i++) {
        const te_mark *m = &d.drawing.marks[i];
        for (uint32_t j = 0; j < m->place_count && m->kind != TE_MARK_TEXT; j++) {
            double x = d.drawing.places[m->first_place + j].x;
            assert_true(at.hours + (x - at.x) / at.per_hour < 3 * 290 + 100);
        }
    }
    desk_clear(&d);
}

static void one_point_has_no_line(void **state)
{
    (void)state;
    static const te_shop_file changes[] = {
        {"limits.csv", "model,quantity,unit,service_max\nM,bore,mm,66.1\n"},
        {"readings.csv", "inspection,feature,position,direction,reading,instrument\n"
                         "I3,bore,10,thrust,66.047,BG\n"},
        {NULL, NULL}};
    chart_desk d;
    const te_series *series = open_trend(&d, changes, "bore", "C1");
    assert_int_equal(series->method, TE_RATE_NONE);
    assert_int_equal(texts_with(&d.drawing, "No rate yet: no line is drawn."), 1);
    assert_int_equal(texts_with(&d.drawing, "fitted line"), 0);
    assert_int_equal(texts_with(&d.drawing, "not reached"), 0);
    (void)spot_of_point(&d, &d.history.points[series->first_point], "mm");
    desk_clear(&d);
}

static void a_unit_of_the_users_own_is_kept(void **state)
{
    (void)state;
    static const te_shop_file changes[] = {
        {"limits.csv", "model,quantity,unit,service_min\nM,compression,kPa,700\n"},
        {"instruments.csv", "instrument,unit,resolution,expanded_uncertainty\nCG,kPa,10,30\n"},
        {"readings.csv", "inspection,feature,position,direction,reading,unit,instrument\n"
                         "I2,compression,,,905,kPa,CG\nI3,compression,,,861.5,kPa,CG\n"
                         "I4,compression,,,822,kPa,\n"},
        {NULL, NULL}};
    chart_desk d;
    const te_series *series = open_trend(&d, changes, "compression", "E1/other");
    for (uint32_t i = 0; i < series->point_count; i++)
        (void)spot_of_point(&d, &d.history.points[series->first_point + i], "kPa");
    assert_int_equal(notes_with(&d.drawing, NULL, "U not stated"), 1);
    assert_true(texts_with(&d.drawing, "kPa") >= 2);
    desk_clear(&d);
}

static void an_empty_series_is_no_figure(void **state)
{
    (void)state;
    chart_desk d;
    desk_open(&d, base, NULL);
    desk_follow(&d);
    te_series none = d.history.series[0];
    none.point_count = 0;
    assert_false(te_chart_trend(&d.drawing, d.made.shop, &d.history, &none));
    assert_int_equal(d.drawing.char_count, 0);
    desk_clear(&d);
}

/* ---- builds ---- */

static size_t first_row(const chart_desk *d, const char *quantity)
{
    for (size_t i = 0; i < d->builds.wear_count; i++) {
        const te_series *s = &d->history.series[d->builds.wears[i].series];
        if (strcmp(te_shop_quantity_name(d->made.shop, s->quantity), quantity) == 0)
            return i;
    }
    fail_msg("no build tells of %s", quantity);
    return 0;
}

/* The bar of a row: its note, and that it begins at zero and ends at the rate. */
static void check_bar(const chart_desk *d, const te_build_wear *row, double zero, double per_unit)
{
    char rate[TE_NUMBER_SIZE];
    char u[TE_NUMBER_SIZE];
    char note[160];
    (void)snprintf(note, sizeof note, "%s mm, U %s, per 100 h, build %u,",
                   figure_of(rate, row->rate * 100), figure_of(u, 2 * row->u_rate * 100),
                   (unsigned)row->build);
    assert_int_equal(notes_with(&d->drawing, note, NULL), 1);
    const te_mark *bar = mark_with(&d->drawing, note);
    assert_int_equal(bar->fill, row->assumed ? TE_FILL_HATCH : TE_FILL_LIGHT);
    const te_place *p = &d->drawing.places[bar->first_place];
    double near = row->rate < 0 ? p[1].x : p[0].x;
    double far = row->rate < 0 ? p[0].x : p[1].x;
    assert_near(near, zero, 1e-6);
    assert_near(far - near, row->rate * 100 * per_unit, 1e-6);
}

static void builds_tell_their_rates(void **state)
{
    (void)state;
    static const char *const quantities[] = {"bore", "skirt"}; /* rising, falling */
    for (size_t k = 0; k < 2; k++) {
        chart_desk d;
        desk_open(&d, base, NULL);
        desk_follow(&d);
        size_t first = first_row(&d, quantities[k]);
        assert_true(te_chart_builds(&d.drawing, d.made.shop, &d.history, &d.builds, first));
        const te_build_wear *row = &d.builds.wears[first];
        assert_true(k == 0 ? row->rate > 0 : row->rate < 0);
        char note[40];
        (void)snprintf(note, sizeof note, "build %u,", (unsigned)row->build);
        const te_place *p = &d.drawing.places[mark_with(&d.drawing, note)->first_place];
        double zero = k == 0 ? p[0].x : p[1].x;
        double per_unit = (p[1].x - p[0].x) / fabs(row->rate * 100);
        for (size_t i = 0; i < 3; i++)
            check_bar(&d, &d.builds.wears[first + i], zero, per_unit);
        assert_int_equal(notes_with(&d.drawing, NULL, "per 100 h, build"), 3);
        desk_clear(&d);
    }
}

static void one_build_is_no_comparison(void **state)
{
    (void)state;
    static const te_shop_file changes[] = {
        {"parts.csv", "part,kind,engine,fitted_hours\nC1,cylinder,E1,0\nK1,piston,E1,0\n"},
        {NULL, NULL}};
    chart_desk d;
    desk_open(&d, base, changes);
    desk_follow(&d);
    size_t first = first_row(&d, "bore");
    assert_false(te_chart_builds(&d.drawing, d.made.shop, &d.history, &d.builds, first));
    assert_false(
        te_chart_builds(&d.drawing, d.made.shop, &d.history, &d.builds, d.builds.wear_count));
    assert_int_equal(d.drawing.mark_count, 0);
    desk_clear(&d);
}

/* Of 30 builds the last are shown, the others counted. */
static void many_builds_are_counted(void **state)
{
    (void)state;
    te_grown parts = {0};
    te_grown inspections = {0};
    te_grown readings = {0};
    te_grown_add(&parts, "part,kind,engine,fitted_hours,removed_hours\nC1,cylinder,E1,0,\n");
    te_grown_add(&inspections, "inspection,engine,date,hours,state,temperature\n");
    te_grown_add(&readings, "inspection,feature,position,direction,reading,instrument\n");
    for (int i = 0; i < 30; i++) {
        te_grown_add(&parts, "K%d,piston,E1,%d,%d\n", i, 10 * i, 10 * i + 10);
        te_grown_add(&inspections, "I%d,E1,20%02d-01-01,%d,found,20\n", i, i, 10 * i + 10);
        te_grown_add(&readings, "I%d,bore,10,thrust,66.0%02d,BG\n", i, i + 20);
    }
    const te_shop_file changes[] = {{"parts.csv", parts.text},
                                    {"inspections.csv", inspections.text},
                                    {"readings.csv", readings.text},
                                    {NULL, NULL}};
    chart_desk d;
    desk_open(&d, base, changes);
    desk_follow(&d);
    size_t first = first_row(&d, "bore");
    assert_true(te_chart_builds(&d.drawing, d.made.shop, &d.history, &d.builds, first));
    assert_int_equal(notes_with(&d.drawing, NULL, "per 100 h, build 30,"), 1);
    assert_int_equal(notes_with(&d.drawing, NULL, "per 100 h, build 2,"), 0);
    size_t shown = notes_with(&d.drawing, NULL, "per 100 h, build ");
    char words[40];
    (void)snprintf(words, sizeof words, "and %zu more builds", 30 - shown);
    assert_int_equal(texts_with(&d.drawing, words), 1);
    desk_clear(&d);
    te_grown_free(&parts);
    te_grown_free(&inspections);
    te_grown_free(&readings);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_trend_tells_every_point_by_its_kind),
        cmocka_unit_test(a_trend_tells_its_line),
        cmocka_unit_test(the_limit_is_met_where_the_series_says),
        cmocka_unit_test(the_band_is_one_sided),
        cmocka_unit_test(a_limit_that_is_met_is_said_so),
        cmocka_unit_test(a_value_past_the_limit_is_never_called_not_reached),
        cmocka_unit_test(a_far_crossing_is_told_in_words),
        cmocka_unit_test(one_point_has_no_line),
        cmocka_unit_test(a_unit_of_the_users_own_is_kept),
        cmocka_unit_test(an_empty_series_is_no_figure),
        cmocka_unit_test(builds_tell_their_rates),
        cmocka_unit_test(one_build_is_no_comparison),
        cmocka_unit_test(many_builds_are_counted),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
