/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Every figure of many random shops: all within the drawing, no text over another, no two kinds of
 * data told apart by their tone alone, words for who cannot see it.
 */
#include "chart_kit.h"

#include <stdlib.h>

enum { ROUNDS = 80, TEXTS_MOST = 4000 };

/* ---- what must hold for any figure ---- */

struct box {
    double left, top, right, bottom;
    const char *text;
};

/* A letter is at most 0.6 of its height wide, rises 0.75 and falls 0.22 of it. */
static struct box box_of_text(const te_drawing *drawing, const te_mark *mark)
{
    te_place at = place_of(drawing, mark);
    const char *text = te_drawing_chars(drawing, mark->text);
    double width = 0.6 * mark->size * (double)te_text_width((te_slice){text, strlen(text)});
    double before = mark->anchor == TE_ANCHOR_START ? 0 : mark->anchor == TE_ANCHOR_END ? 1 : 0.5;
    double start = -before * width;
    double end = start + width;
    double rise = 0.75 * mark->size;
    double fall = 0.22 * mark->size;
    if (mark->upright)
        return (struct box){at.x - rise, at.y - end, at.x + fall, at.y - start, text};
    return (struct box){at.x + start, at.y - rise, at.x + end, at.y + fall, text};
}

static void check_inside(const te_drawing *drawing, const struct box *box)
{
    const double rounding = 1e-6;
    if (!(box->left >= -rounding && box->top >= -rounding &&
          box->right <= drawing->width + rounding && box->bottom <= drawing->height + rounding))
        fail_msg("\"%s\": %s at %g %g to %g %g leaves %g x %g",
                 te_drawing_chars(drawing, drawing->title), box->text, box->left, box->top,
                 box->right, box->bottom, drawing->width, drawing->height);
}

static bool overlap(const struct box *a, const struct box *b)
{
    const double rounding = 1e-6;
    return a->left < b->right - rounding && b->left < a->right - rounding &&
           a->top < b->bottom - rounding && b->top < a->bottom - rounding;
}

static void check_texts(const te_drawing *drawing)
{
    static struct box boxes[TEXTS_MOST];
    size_t count = 0;
    for (size_t i = 0; i < drawing->mark_count; i++) {
        const te_mark *mark = &drawing->marks[i];
        if (mark->kind != TE_MARK_TEXT)
            continue;
        assert_true(count < TEXTS_MOST);
        assert_true(mark->size >= 8 && mark->size <= 10);
        boxes[count] = box_of_text(drawing, mark);
        assert_true(boxes[count].text[0] != '\0');
        check_inside(drawing, &boxes[count]);
        for (size_t j = 0; j < count; j++) {
            if (overlap(&boxes[j], &boxes[count]))
                fail_msg("\"%s\": \"%s\" and \"%s\" overlap",
                         te_drawing_chars(drawing, drawing->title), boxes[j].text,
                         boxes[count].text);
        }
        count++;
    }
    assert_true(count > 0);
}

static void check_places(const te_drawing *drawing)
{
    for (size_t i = 0; i < drawing->mark_count; i++) {
        const te_mark *mark = &drawing->marks[i];
        double reach = mark->kind == TE_MARK_SPOT ? mark->size / 2 : 0;
        for (uint32_t j = 0; j < mark->place_count; j++) {
            te_place at = drawing->places[mark->first_place + j];
            struct box box = {at.x - reach, at.y - reach, at.x + reach, at.y + reach,
                              note_of(drawing, mark)};
            check_inside(drawing, &box);
        }
    }
}

/* What is seen of a mark in black and white. */
static bool looks_alike(const te_mark *a, const te_mark *b)
{
    if (a->kind != b->kind)
        return false;
    switch (a->kind) {
    case TE_MARK_LINE: return a->stroke == b->stroke;
    case TE_MARK_AREA: return a->stroke == b->stroke && a->fill == b->fill;
    case TE_MARK_SPOT: return a->spot == b->spot;
    case TE_MARK_TEXT: return false;
    }
    return false;
}

static void check_tones(const te_drawing *drawing)
{
    for (size_t i = 0; i < drawing->mark_count; i++) {
        const te_mark *a = &drawing->marks[i];
        for (size_t j = 0; j < i && a->note != 0; j++) {
            const te_mark *b = &drawing->marks[j];
            if (b->note != 0 && looks_alike(a, b) && a->tone != b->tone)
                fail_msg("\"%s\" and \"%s\" differ by tone alone", note_of(drawing, a),
                         note_of(drawing, b));
        }
    }
}

static void check_figure(const te_drawing *drawing)
{
    assert_false(drawing->failed);
    assert_near(drawing->width, 480, 0);
    assert_true(drawing->height > 60 && drawing->height < 500);
    assert_true(strlen(te_drawing_chars(drawing, drawing->title)) > 5);
    assert_true(strlen(te_drawing_chars(drawing, drawing->description)) > 60);
    assert_true(notes_with(drawing, NULL, NULL) > 0);
    check_texts(drawing);
    check_places(drawing);
    check_tones(drawing);
}

/* A figure is either drawn or the drawing is as it was. */
static size_t take(chart_desk *d, bool drawn)
{
    const te_drawing nothing = {0};
    if (drawn)
        check_figure(&d->drawing);
    else
        assert_memory_equal(&d->drawing, &nothing, sizeof nothing);
    te_drawing_free(&d->drawing);
    assert_memory_equal(&d->drawing, &nothing, sizeof nothing);
    return drawn ? 1 : 0;
}

enum { MAP, PROFILE, SECTIONS, TREND, BUILDS, CHARTS };

static void draw_all(chart_desk *d, size_t drawn[CHARTS])
{
    const te_shop *shop = d->made.shop;
    for (uint32_t i = 0; i < d->made.tables->inspection_count; i++) {
        desk_judge(d, i);
        drawn[MAP] += take(d, te_chart_bore_map(&d->drawing, shop, &d->assessment));
        drawn[PROFILE] += take(d, te_chart_bore_profile(&d->drawing, shop, &d->assessment));
        drawn[SECTIONS] += take(d, te_chart_bore_sections(&d->drawing, shop, &d->assessment));
    }
    desk_follow(d);
    for (size_t i = 0; i < d->history.series_count; i++)
        drawn[TREND] += take(d,
                             te_chart_trend(&d->drawing, shop, &d->history, &d->history.series[i]));
    for (size_t i = 0; i < d->builds.wear_count; i++)
        drawn[BUILDS] += take(d, te_chart_builds(&d->drawing, shop, &d->history, &d->builds, i));
}

/* ---- random shops ---- */

struct making {
    te_random random;
    te_grown limits, instruments, parts, inspections, readings;
    char part[200], unit[48];
    double scale; /* of the feature of the user's own */
    double wear;  /* mm an hour */
    size_t inspections_count, heights, directions;
};

static bool chance(struct making *m, double probability)
{
    return te_random_unit(&m->random) < probability;
}

static void make_name(struct making *m, char *out, size_t size)
{
    static const char *const pieces[] = {"Pump ", "ä", "汽缸", "x", "-", "Ж", "long", "_", "7"};
    size_t pick = 1 + te_random_below(&m->random, chance(m, 0.3) ? 40 : 3);
    (void)snprintf(out, size, "N");
    for (size_t i = 0; i < pick; i++) {
        const char *piece = pieces[te_random_below(&m->random, sizeof pieces / sizeof *pieces)];
        size_t used = strlen(out);
        if (used + strlen(piece) + 2 < size)
            (void)snprintf(out + used, size - used, "%s", piece);
    }
    (void)snprintf(out + strlen(out), size - strlen(out), "k");
}

static void put_limit(struct making *m, double probability, double value)
{
    te_grown_add(&m->limits, ",");
    if (chance(m, probability))
        te_grown_add(&m->limits, value >= 1e5 || value <= -1e5 ? "%.1f" : "%.8f", value);
}

static void make_limits(struct making *m)
{
    double far = chance(m, 0.2) ? 3.0 : 0.1;
    te_grown_add(&m->limits, "model,quantity,unit,new_min,new_max,service_min,service_max\n");
    te_grown_add(&m->limits, "M,bore,mm");
    put_limit(m, 0.7, 66.0);
    put_limit(m, 0.7, 66.02);
    put_limit(m, 0.3, 65.95);
    put_limit(m, 0.7, 66.0 + far);
    te_grown_add(&m->limits, "\nM,skirt,mm");
    put_limit(m, 0.7, 65.92);
    put_limit(m, 0.7, 65.94);
    put_limit(m, 0.7, 65.87);
    put_limit(m, 0.2, 65.99);
    te_grown_add(&m->limits, "\nM,press,%s", m->unit);
    put_limit(m, 0.5, 1.1 * m->scale);
    put_limit(m, 0.5, 1.3 * m->scale);
    put_limit(m, 0.5, 0.4 * m->scale);
    put_limit(m, 0.3, 70.0 * m->scale);
    te_grown_add(&m->limits, "\n");
}

static void make_reading(struct making *m, size_t inspection, const char *feature, double position,
                         double direction, double value, const char *instrument)
{
    te_grown_add(&m->readings, "I%zu,%s,", inspection, feature);
    if (!isnan(position))
        te_grown_add(&m->readings, "%g", position);
    te_grown_add(&m->readings, ",");
    if (!isnan(direction))
        te_grown_add(&m->readings, "%g", direction);
    te_grown_add(&m->readings, value >= 1e5 || value <= -1e5 ? ",%.1f,%s,%s\n" : ",%.8f,%s,%s\n",
                 value, strcmp(feature, "press") == 0 ? m->unit : "mm", instrument);
}

static void make_bore(struct making *m, size_t inspection, double grown)
{
    double scatter = chance(m, 0.1) ? 0 : te_random_between(&m->random, 0.0005, 0.02);
    for (size_t h = 0; h < m->heights; h++) {
        for (size_t j = 0; j < m->directions; j++) {
            double turn = floor(180.0 / (double)m->directions) * (double)j;
            bool unplaced = chance(m, 0.03);
            double value = 66.01 + grown + scatter * te_random_normal(&m->random);
            if (chance(m, 0.9))
                make_reading(m, inspection, "bore", unplaced ? NAN : 5.0 + 1.25 * (double)h, turn,
                             value, chance(m, 0.95) ? "BG" : "BX");
        }
    }
    if (m->heights == 0 && chance(m, 0.5))
        make_reading(m, inspection, "bore", NAN, NAN, 66.01, "BG");
}

static void make_inspections(struct making *m)
{
    double hours = 0;
    te_grown_add(&m->inspections, "inspection,engine,date,hours,state,temperature\n");
    te_grown_add(&m->readings, "inspection,feature,position,direction,reading,unit,instrument\n");
    te_grown_add(&m->parts, "part,kind,engine,fitted_hours,removed_hours\n%s,cylinder,E,0,\n",
                 m->part);
    double fitted = 0;
    for (size_t i = 0; i < m->inspections_count; i++) {
        hours += chance(m, 0.1) ? 0 : te_random_between(&m->random, 0.1, 300);
        hours = floor(hours * 10) / 10;
        te_grown_add(&m->inspections, "I%zu,E,20%02zu-%02zu-11,%.1f,found,20\n", i, 10 + i / 12,
                     1 + i % 12, hours);
        make_bore(m, i, m->wear * hours);
        make_reading(m, i, "skirt", 12, 0, 65.93 - m->wear * hours, "MIC");
        make_reading(m, i, "press", NAN, NAN, m->scale * te_random_between(&m->random, 0.3, 1.5),
                     "CG");
        if (chance(m, 0.3) && hours > fitted) {
            te_grown_add(&m->parts, "K%zu%s,piston,E,%.1f,%.1f\n", i, m->part, fitted, hours);
            fitted = hours;
        }
    }
    te_grown_add(&m->parts, "K%s,piston,E,%.1f,\n", m->part, fitted);
}

static void make_shop(struct making *m)
{
    static const double scales[] = {1e-4, 1, 700, 1e6, 1e9};
    make_name(m, m->part, sizeof m->part);
    make_name(m, m->unit, sizeof m->unit);
    m->scale = scales[te_random_below(&m->random, 5)];
    m->wear = chance(m, 0.2) ? 0 : te_random_between(&m->random, -0.00005, 0.0003);
    m->inspections_count = 1 + te_random_below(&m->random, chance(m, 0.1) ? 20 : 5);
    m->heights = te_random_below(&m->random, chance(m, 0.1) ? 45 : 6);
    m->directions = 1 + te_random_below(&m->random, chance(m, 0.1) ? 40 : 6);
    make_limits(m);
    te_grown_add(&m->instruments,
                 "instrument,unit,resolution,expanded_uncertainty\nBG,mm,0.001,%s\n"
                 "BX,mm,0.001,0.01\nMIC,mm,0.001,%s\nCG,%s,,\n",
                 chance(m, 0.7) ? "0.004" : "", chance(m, 0.7) ? "0.002" : "", m->unit);
    make_inspections(m);
}

static void free_making(struct making *m)
{
    te_grown_free(&m->limits);
    te_grown_free(&m->instruments);
    te_grown_free(&m->parts);
    te_grown_free(&m->inspections);
    te_grown_free(&m->readings);
}

static void any_shop_gives_clear_figures(void **state)
{
    (void)state;
    te_random random = te_random_start(0xc4a275);
    size_t drawn[CHARTS] = {0};
    size_t rounds = te_test_rounds(ROUNDS);
    for (size_t i = 0; i < rounds; i++) {
        chart_desk d;
        struct making m = {.random = {te_random_bits(&random)}};
        make_shop(&m);
        const te_shop_file files[] = {
            {"engines.csv", "engine,model\nE,M\n"},
            {"models.csv", "model,run_in_hours\nM,5\n"},
            {"limits.csv", m.limits.text},
            {"instruments.csv", m.instruments.text},
            {"parts.csv", m.parts.text},
            {"inspections.csv", m.inspections.text},
            {"readings.csv", m.readings.text},
            {NULL, NULL},
        };
        desk_open(&d, files, NULL);
        draw_all(&d, drawn);
        desk_clear(&d);
        free_making(&m);
    }
    for (size_t i = 0; i < CHARTS; i++)
        assert_true(drawn[i] > rounds / 10); /* the generator reaches every chart */
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(any_shop_gives_clear_figures),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
