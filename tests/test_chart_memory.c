/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Memory that runs out while a figure is drawn: at the first allocation, at the second, and so on
 * until the figure is made.  Each time the drawing says that it failed, and is freed clean (the
 * address sanitizer's build looks for what is lost).  The linker hands this program's allocations
 * to the functions below (--wrap).
 */
#include "chart_kit.h"

#include <stdlib.h>

static size_t left = SIZE_MAX; /* allocations that still succeed */

/* Names that the linker gives. NOLINTBEGIN(bugprone-reserved-identifier,cert-dcl*) */
void *__real_malloc(size_t size);
void *__real_calloc(size_t count, size_t size);
void *__real_realloc(void *old, size_t size);
void *__wrap_malloc(size_t size);
void *__wrap_calloc(size_t count, size_t size);
void *__wrap_realloc(void *old, size_t size);
/* NOLINTEND(bugprone-reserved-identifier,cert-dcl*) */

static bool may_have(void)
{
    if (left == SIZE_MAX)
        return true;
    left -= left > 0 ? 1 : 0;
    return left > 0;
}

void *__wrap_malloc(size_t size)
{
    return may_have() ? __real_malloc(size) : NULL;
}

void *__wrap_calloc(size_t count, size_t size)
{
    return may_have() ? __real_calloc(count, size) : NULL;
}

void *__wrap_realloc(void *old, size_t size)
{
    return may_have() ? __real_realloc(old, size) : NULL;
}

enum { MAP, PROFILE, SECTIONS, TREND, BUILDS, CHARTS };

static bool draw(chart_desk *d, int chart)
{
    const te_shop *shop = d->made.shop;
    switch (chart) {
    case MAP: return te_chart_bore_map(&d->drawing, shop, &d->assessment);
    case PROFILE: return te_chart_bore_profile(&d->drawing, shop, &d->assessment);
    case SECTIONS: return te_chart_bore_sections(&d->drawing, shop, &d->assessment);
    case TREND: return te_chart_trend(&d->drawing, shop, &d->history, &d->history.series[0]);
    default: return te_chart_builds(&d->drawing, shop, &d->history, &d->builds, 0);
    }
}

/* Long ids and many marks, so that every buffer grows more than once. */
static void open_large(chart_desk *d)
{
    static const te_shop_file files[] = {
        {"engines.csv", "engine,model\nE1,M\n"},
        {"limits.csv", "model,quantity,unit,new_min,new_max,service_max\n"
                       "M,bore,mm,66.000,66.020,66.100\n"},
        {"instruments.csv", "instrument,unit,resolution,expanded_uncertainty\nBG,mm,0.001,0.004\n"},
        {"parts.csv", "part,kind,engine,fitted_hours,removed_hours\n"
                      "a cylinder of a name so long that every title of it is cut somewhere,"
                      "cylinder,E1,0,\nK1,piston,E1,0,100\nK2,piston,E1,100,\n"},
        {"inspections.csv", "inspection,engine,date,hours,state,temperature\n"
                            "I1,E1,2022-03-14,100,found,20\nI2,E1,2023-03-14,200,found,20\n"},
        {"readings.csv",
         "inspection,feature,position,direction,reading,instrument\n"
         "I1,bore,10,thrust,66.026,BG\nI2,bore,10,thrust,66.043,BG\nI2,bore,10,pin,66.041,BG\n"
         "I2,bore,10,45,66.042,BG\nI2,bore,28,thrust,66.1035,BG\nI2,bore,28,pin,66.082,BG\n"
         "I2,bore,40,thrust,66.0155,BG\nI2,bore,60,pin,66.0115,BG\nI2,bore,,,66.011,BG\n"},
        {NULL, NULL},
    };
    desk_open(d, files, NULL);
    desk_judge(d, te_made_inspection(&d->made, "I2"));
    desk_follow(d);
}

static void a_figure_without_memory_fails_clean(void **state)
{
    (void)state;
    chart_desk d;
    open_large(&d);
    for (int chart = 0; chart < CHARTS; chart++) {
        bool failed = true;
        size_t failures = 0;
        assert_true(draw(&d, chart));
        size_t marks = d.drawing.mark_count;
        size_t chars = d.drawing.char_count;
        te_drawing_free(&d.drawing);
        for (size_t n = 1; failed; n++) {
            left = n;
            bool drawn = draw(&d, chart);
            left = SIZE_MAX;
            assert_true(drawn);
            failed = d.drawing.failed;
            failures += failed ? 1 : 0;
            assert_true(failed || (d.drawing.mark_count == marks && d.drawing.char_count == chars));
            te_drawing_free(&d.drawing);
            assert_null(d.drawing.chars);
            assert_false(d.drawing.failed);
        }
        assert_true(failures > 10);
    }
    desk_clear(&d);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_figure_without_memory_fails_clean),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
