/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Builds: where one begins, what wore within it, and how it compares with the one before. Shops are
 * made from text; no materials, so that values are the readings. G and H have a resolution of 0.006
 * mm, a variance of 0.006^2 / 12 = 3e-6 mm^2 that each reading has of its own; their calibrations,
 * 0.004 / 2 and 0.010 / 2 mm, are common to all readings. N states nothing.
 */
#include "te_shop_text.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "topend/wear.h"

#define PARTS    "part,kind,engine,fitted_hours,removed_hours,hours_before\n"
#define VISITS   "inspection,engine,date,hours,state\n"
#define READINGS "inspection,feature,part,item,reading,instrument\n"
#define LIMITS   "model,quantity,item,unit,new_min,new_max,service_min,service_max,source\n"

#define OWN_VARIANCE 3e-6 /* mm^2 */

static const te_shop_file base[] = {
    {"engines.csv", "engine,model\nE1,M\nE2,M\n"},
    {"instruments.csv", "instrument,unit,resolution,expanded_uncertainty,calibrated\n"
                        "G,mm,0.006,0.004,\nH,mm,0.006,0.010,\nN,mm,0.006,,\n"},
    {"limits.csv", LIMITS "M,bore,,mm,66.00,66.02,,66.20,invented\n"
                          "M,skirt,,mm,65.93,65.95,65.80,,invented\n"
                          "M,end_gap,,mm,0.20,0.30,,0.90,invented\n"
                          "M,pin,,mm,,,15.95,,invented\n"},
    {"parts.csv", PARTS},
    {"inspections.csv", VISITS "A,E1,2026-01-01,10,\n"},
    {"readings.csv", READINGS "A,squish,,,1.2,\n"},
    {NULL, NULL},
};

/* A shop, the history of one of its engines and its builds. */
typedef struct bench {
    te_made_shop made;
    te_history history;
    te_builds builds;
} bench;

static void look_at(bench *b, const char *engine)
{
    uint32_t at = te_made_engine(&b->made, engine);
    assert_int_equal(te_history_make(&b->history, b->made.shop, NULL, at), TE_OK);
    assert_int_equal(te_builds_make(&b->builds, &b->history, b->made.shop), TE_OK);
}

static void open_bench(bench *b, const char *parts, const char *visits, const char *readings)
{
    const te_shop_file files[] = {{"parts.csv", parts},
                                  {visits ? "inspections.csv" : NULL, visits},
                                  {"readings.csv", readings},
                                  {NULL, NULL}};
    *b = (bench){0};
    te_made_read(&b->made, base, files);
    look_at(b, "E1");
}

static void close_bench(bench *b)
{
    te_builds_free(&b->builds);
    te_history_free(&b->history);
    te_made_free(&b->made);
}

static const te_series *series_of(const bench *b, const te_build_wear *row)
{
    return &b->history.series[row->series];
}

/* The row of a quantity and item within a build; of any part and side. */
static const te_build_wear *row_of(const bench *b, const char *quantity, const char *item,
                                   uint32_t build)
{
    for (size_t i = 0; i < b->builds.wear_count; i++) {
        const te_build_wear *row = &b->builds.wears[i];
        const te_series *series = series_of(b, row);
        if (row->build == build &&
            strcmp(te_shop_quantity_name(b->made.shop, series->quantity), quantity) == 0 &&
            strcmp(te_shop_text(b->made.shop, series->item), item) == 0)
            return row;
    }
    fail_msg("no row of %s %s in build %u", quantity, item, (unsigned)build);
    return NULL;
}

static void write_part(te_grown *out, const bench *b, const te_series *series)
{
    te_grown_add(out, " %s", te_shop_text(b->made.shop, series->part));
    if (series->second_kind != TE_KIND_NONE)
        te_grown_add(out, "+%s", te_shop_text(b->made.shop, series->second_part));
}

/* A row a line: quantity, parts, side, build, hours, wear in tenths of a micrometre; `a` where it
 * begins at the assumed point, `?` where not stated, `~` where it is compared with a build before. */
static void write_rows(te_grown *out, const bench *b)
{
    te_grown_add(out, "%s", "");
    for (size_t i = 0; i < b->builds.wear_count; i++) {
        const te_build_wear *row = &b->builds.wears[i];
        const te_series *series = series_of(b, row);
        te_grown_add(out, "%s%s", te_shop_quantity_name(b->made.shop, series->quantity),
                     te_shop_text(b->made.shop, series->item));
        write_part(out, b, series);
        te_grown_add(out, " %s %u: %g to %g: %.0f%s%s%s\n", te_side_name(series->side),
                     (unsigned)row->build, row->hours_from, row->hours_to, row->wear * 1e4,
                     row->assumed ? "a" : "", row->stated ? "" : "?",
                     isnan(row->before) ? "" : "~");
    }
}

static void expect_rows(const bench *b, int line, const char *expected)
{
    te_grown is = {0};
    write_rows(&is, b);
    if (strcmp(is.text, expected) != 0)
        fail_msg("rows of line %d are\n%sexpected\n%s", line, is.text, expected);
    te_grown_free(&is);
}

static void try_rows(int line, const char *parts, const char *visits, const char *readings,
                     const char *expected)
{
    bench b;
    open_bench(&b, parts, visits, readings);
    expect_rows(&b, line, expected);
    close_bench(&b);
}

/* ---- where a build begins ----------------------------------------------------------------- */

/* An inspection before all changes of parts, so that none is in doubt; `other` parts are named. */
static void try_starts(int line, const char *parts, const char *expected)
{
    bench b;
    te_grown is = {0};
    open_bench(&b, parts, NULL, READINGS "A,squish,,,1.2,\n");
    for (size_t i = 0; i < b.builds.build_count; i++)
        te_grown_add(&is, "%s%g", i > 0 ? " " : "", b.builds.starts[i]);
    if (strcmp(is.text, expected) != 0)
        fail_msg("builds of line %d start at %s, expected %s", line, is.text, expected);
    te_grown_free(&is);
    close_bench(&b);
}

static void an_engine_without_a_fitting_has_one_build(void **state)
{
    (void)state;
    try_starts(__LINE__, PARTS, "0");
    try_starts(__LINE__, PARTS "K1,piston,E2,70,,\n", "0"); /* on another engine */
}

static void what_was_fitted_at_0_begins_none_of_its_own(void **state)
{
    (void)state;
    try_starts(__LINE__, PARTS "C1,cylinder,E1,0,,\nK1,piston,E1,0,,\n", "0");
    try_starts(__LINE__, PARTS "C1,cylinder,E1,?,,\n", "0"); /* from 0 h, history unknown */
}

static void each_fitting_begins_a_build(void **state)
{
    (void)state;
    try_starts(__LINE__, PARTS "K1,piston,E1,57.5,,\n", "0 57.5");
    try_starts(__LINE__, PARTS "K1,piston,E1,0,57.5,\nK2,piston,E1,57.5,,\nC2,cylinder,E1,91,,\n",
               "0 57.5 91");
    try_starts(__LINE__, PARTS "F1,other,E1,57.5,,\nF2,other,E1,91,,\n", "0 57.5 91");
}

static void a_part_that_comes_off_begins_none(void **state)
{
    (void)state;
    try_starts(__LINE__, PARTS "F1,other,E1,0,57.5,\n", "0");
    /* back after a gap is a fitting, at the hours of the return */
    try_starts(__LINE__, PARTS "K1,piston,E1,0,57.5,\nK1,piston,E1,91,,57.5\n", "0 91");
}

static void off_and_back_at_the_same_hours_is_none(void **state)
{
    (void)state;
    try_starts(__LINE__, PARTS "K1,piston,E1,0,57.5,\nK1,piston,E1,57.5,,\n", "0");
    try_starts(__LINE__, PARTS "K1,piston,E1,0,57.5,\nK1,piston,E1,57.5000005,,\n", "0");
    try_starts(__LINE__, PARTS "K1,piston,E1,0,57.5,\nK1,piston,E1,57.51,,\n", "0 57.51");
    /* twice */
    try_starts(__LINE__, PARTS "K1,piston,E1,20,57.5,\nK1,piston,E1,57.5,91,\nK1,piston,E1,91,,\n",
               "0 20");
    /* while another part is fitted there */
    try_starts(__LINE__, PARTS "K1,piston,E1,0,57.5,\nK1,piston,E1,57.5,,\nR2,ring_set,E1,57.5,,\n",
               "0 57.5");
    /* another part of its kind at the same hours is a change */
    try_starts(__LINE__, PARTS "K1,piston,E1,0,57.5,\nK2,piston,E1,57.5,,\n", "0 57.5");
    /* from another engine it is a fitting */
    try_starts(__LINE__, PARTS "K1,piston,E2,0,57.5,\nK1,piston,E1,57.5,,57.5\n", "0 57.5");
}

static void parts_fitted_at_one_time_begin_one_build(void **state)
{
    (void)state;
    try_starts(__LINE__,
               PARTS "C2,cylinder,E1,57.5,,\nK2,piston,E1,57.5,,\nR2,ring_set,E1,57.5,,\n",
               "0 57.5");
    try_starts(__LINE__, PARTS "C2,cylinder,E1,57.5,,\nK2,piston,E1,57.5000005,,\n", "0 57.5");
    try_starts(__LINE__, PARTS "C2,cylinder,E1,57.5,,\nK2,piston,E1,57.6,,\n", "0 57.5 57.6");
}

/* All orders of three rows. */
static void rows_may_stand_in_any_order(void **state)
{
    (void)state;
    static const char *const rows[] = {"K1,piston,E1,0,57.5,\n", "K2,piston,E1,57.5,91,\n",
                                       "K3,piston,E1,91,,\n"};
    static const size_t orders[][3] = {{0, 1, 2}, {0, 2, 1}, {1, 0, 2},
                                       {1, 2, 0}, {2, 0, 1}, {2, 1, 0}};
    for (size_t i = 0; i < sizeof orders / sizeof *orders; i++) {
        te_grown parts = {0};
        te_grown_add(&parts, "%s", PARTS);
        for (size_t j = 0; j < 3; j++)
            te_grown_add(&parts, "%s", rows[orders[i][j]]);
        try_starts(__LINE__, parts.text, "0 57.5 91");
        te_grown_free(&parts);
    }
}

/* ---- an inspection at a change ------------------------------------------------------------ */

#define CHANGE "K1,piston,E1,0,100,\nK2,piston,E1,100,,\n" /* of the piston; the cylinder stays */

static void one_without_a_state_closes_a_build_and_opens_the_next(void **state)
{
    (void)state;
    try_rows(__LINE__, PARTS CHANGE,
             VISITS "A,E1,2026-01-01,40,\nB,E1,2026-02-01,100,\nC,E1,2026-03-01,160,\n",
             READINGS "A,bore,,,66.011,G\nB,bore,,,66.0234,G\nC,bore,,,66.031,G\n",
             "bore E1/cylinder high 1: 40 to 100: 124\n"
             "bore E1/cylinder high 2: 100 to 160: 76~\n");
}

/* Four of the cylinder: 66.011 at 40 h, two at 100 h (66.0234 and 66.027), 66.031 at 160 h. */
static void try_states(int line, const char *first, const char *second, const char *expected)
{
    te_grown visits = {0};
    te_grown_add(&visits,
                 VISITS "A,E1,2026-01-01,40,\nB,E1,2026-02-01,100,%s\nC,E1,2026-02-01,100,%s\n"
                        "D,E1,2026-03-01,160,\n",
                 first, second);
    try_rows(line, PARTS CHANGE, visits.text,
             READINGS "A,bore,,,66.011,G\nB,bore,,,66.0234,G\nC,bore,,,66.027,G\n"
                      "D,bore,,,66.031,G\n",
             expected);
    te_grown_free(&visits);
}

static void found_closes_and_built_opens_in_either_order(void **state)
{
    (void)state;
    try_states(__LINE__, "found", "built",
               "bore E1/cylinder high 1: 40 to 100: 124\n"
               "bore E1/cylinder high 2: 100 to 160: 40~\n");
    try_states(__LINE__, "built", "found",
               "bore E1/cylinder high 1: 40 to 100: 160\n"
               "bore E1/cylinder high 2: 100 to 160: 76~\n");
}

static void no_state_takes_the_place_that_is_left(void **state)
{
    (void)state;
    try_states(__LINE__, "found", "", /* the one without opens */
               "bore E1/cylinder high 1: 40 to 100: 124\n"
               "bore E1/cylinder high 2: 100 to 160: 40~\n");
    try_states(__LINE__, "", "found",
               "bore E1/cylinder high 1: 40 to 100: 160\n"
               "bore E1/cylinder high 2: 100 to 160: 76~\n");
    try_states(__LINE__, "built", "", /* the one without closes */
               "bore E1/cylinder high 1: 40 to 100: 160\n"
               "bore E1/cylinder high 2: 100 to 160: 76~\n");
    try_states(__LINE__, "", "built",
               "bore E1/cylinder high 1: 40 to 100: 124\n"
               "bore E1/cylinder high 2: 100 to 160: 40~\n");
}

/* Of two as found the later row closes, of two as built the earlier opens. */
static void the_first_of_two_alike_opens_and_the_last_closes(void **state)
{
    (void)state;
    bench b;
    open_bench(&b, PARTS CHANGE,
               VISITS "A,E1,2026-01-01,40,\nB,E1,2026-02-01,100,found\nC,E1,2026-02-01,100,found\n",
               READINGS "A,bore,,,66.011,G\nB,bore,,,66.0234,G\nC,bore,,,66.027,G\n");
    expect_rows(&b, __LINE__, "bore E1/cylinder high 1: 40 to 100: 160\n");
    close_bench(&b);
    try_states(__LINE__, "built", "built",
               "bore E1/cylinder high 1: 40 to 100: 160\n"
               "bore E1/cylinder high 2: 100 to 160: 76~\n");
}

static void found_or_built_alone_does_both(void **state)
{
    (void)state;
    static const char *const states[] = {"found", "built"};
    for (size_t i = 0; i < 2; i++) {
        te_grown visits = {0};
        te_grown_add(&visits,
                     VISITS "A,E1,2026-01-01,40,\nB,E1,2026-02-01,100,%s\nC,E1,2026-03-01,160,\n",
                     states[i]);
        try_rows(__LINE__, PARTS CHANGE, visits.text,
                 READINGS "A,bore,,,66.011,G\nB,bore,,,66.0234,G\nC,bore,,,66.031,G\n",
                 "bore E1/cylinder high 1: 40 to 100: 124\n"
                 "bore E1/cylinder high 2: 100 to 160: 76~\n");
        te_grown_free(&visits);
    }
}

/* Where no part changes, a state means nothing: the first of two opens, the last closes. */
static void a_state_away_from_a_change_means_nothing(void **state)
{
    (void)state;
    try_rows(__LINE__, PARTS,
             VISITS "A,E1,2026-01-01,40,found\nB,E1,2026-01-01,40,built\n"
                    "C,E1,2026-02-01,100,found\nD,E1,2026-02-01,100,built\n",
             READINGS "A,bore,,,66.011,G\nB,bore,,,66.012,G\nC,bore,,,66.0234,G\n"
                      "D,bore,,,66.027,G\n",
             "bore E1/cylinder high 1: 40 to 100: 160\n");
}

/* The part that comes off is measured as found, the one that goes on as built: neither has a row in
 * the other's build. */
static void a_changed_part_belongs_to_its_own_builds(void **state)
{
    (void)state;
    try_rows(__LINE__, PARTS CHANGE,
             VISITS "A,E1,2026-01-01,40,\nB,E1,2026-02-01,100,found\nC,E1,2026-02-01,100,built\n"
                    "D,E1,2026-03-01,160,\n",
             READINGS "A,skirt,,,65.93,G\nB,skirt,,,65.92,G\nC,skirt,,,65.945,G\n"
                      "D,skirt,,,65.9375,G\n",
             "skirt K1 low 1: 40 to 100: -100\n"
             "skirt K2 low 2: 100 to 160: -75~\n");
}

/* K1 is measured when it comes off and when it goes back on: it did not run between. */
static void a_part_does_not_wear_while_it_is_off(void **state)
{
    (void)state;
    try_rows(__LINE__,
             PARTS "K1,piston,E1,0,100,5\nK2,piston,E1,100,200,5\nK1,piston,E1,200,,105\n",
             VISITS "A,E1,2026-01-01,40,\nB,E1,2026-02-01,100,found\nC,E1,2026-03-01,200,built\n"
                    "D,E1,2026-04-01,260,\n",
             READINGS "A,skirt,,,65.94,G\nB,skirt,,,65.93,G\nC,skirt,,,65.929,G\n"
                      "D,skirt,,,65.92,G\n",
             "skirt K1 low 1: 40 to 100: -100\n"
             "skirt K1 low 3: 200 to 260: -90\n");
}

/* ---- wear and rate ------------------------------------------------------------------------ */

/* u^2(wear) = 2 own variances: the calibration of G cancels. 66.0235 - 66.0120 in 63.75 h. */
static void the_common_error_of_one_gauge_cancels(void **state)
{
    (void)state;
    bench b;
    open_bench(&b, PARTS, VISITS "A,E1,2026-01-01,17.5,\nB,E1,2026-02-01,81.25,\n",
               READINGS "A,bore,,,66.0120,G\nB,bore,,,66.0235,G\n");
    const te_build_wear *row = row_of(&b, "bore", "", 1);
    assert_near(row->hours_from, 17.5, 0);
    assert_near(row->hours_to, 81.25, 0);
    assert_true(row->stated);
    assert_false(row->assumed);
    assert_near(row->wear, 0.0115, 1e-12);
    assert_near(row->u_wear, sqrt(2 * OWN_VARIANCE), 1e-12);
    assert_near(row->rate, 0.0115 / 63.75, 1e-14);
    assert_near(row->u_rate, sqrt(2 * OWN_VARIANCE) / 63.75, 1e-14);
    close_bench(&b);
}

/* Two gauges have two errors: 2 own variances, (0.004 / 2)^2 and (0.010 / 2)^2. */
static void the_errors_of_two_gauges_stay(void **state)
{
    (void)state;
    bench b;
    open_bench(&b, PARTS, VISITS "A,E1,2026-01-01,17.5,\nB,E1,2026-02-01,81.25,\n",
               READINGS "A,bore,,,66.0120,G\nB,bore,,,66.0235,H\n");
    const te_build_wear *row = row_of(&b, "bore", "", 1);
    assert_near(row->wear, 0.0115, 1e-12);
    assert_near(row->u_wear, sqrt(2 * OWN_VARIANCE + 0.002 * 0.002 + 0.005 * 0.005), 1e-12);
    close_bench(&b);
}

/* A new calibration between the two is another error: (0.004 / 2)^2 and (0.003 / 2)^2. */
static void a_new_calibration_is_another_error(void **state)
{
    (void)state;
    const te_shop_file files[] = {
        {"instruments.csv", "instrument,unit,resolution,expanded_uncertainty,calibrated\n"
                            "G,mm,0.006,0.004,2025-12-01\nG,mm,0.006,0.003,2026-01-15\n"},
        {"inspections.csv", VISITS "A,E1,2026-01-01,17.5,\nB,E1,2026-02-01,81.25,\n"},
        {"readings.csv", READINGS "A,bore,,,66.0120,G\nB,bore,,,66.0235,G\n"},
        {NULL, NULL}};
    bench b = {0};
    te_made_read(&b.made, base, files);
    look_at(&b, "E1");
    const te_build_wear *row = row_of(&b, "bore", "", 1);
    assert_near(row->u_wear, sqrt(2 * OWN_VARIANCE + 0.002 * 0.002 + 0.0015 * 0.0015), 1e-12);
    close_bench(&b);
}

/* A clearance is four readings: the bore grew by 0.0115, the skirt shrank by 0.0045; both gauges'
 * errors cancel, 4 own variances stay. The wear of the skirt is negative. */
static void a_pair_wears_as_one_form_of_four_readings(void **state)
{
    (void)state;
    bench b;
    open_bench(&b, PARTS, VISITS "A,E1,2026-01-01,17.5,\nB,E1,2026-02-01,81.25,\n",
               READINGS "A,bore,,,66.0120,G\nB,bore,,,66.0235,G\n"
                        "A,skirt,,,65.9360,H\nB,skirt,,,65.9315,H\n");
    const te_build_wear *row = row_of(&b, "skirt_clearance", "", 1);
    assert_near(row->wear, 0.0160, 1e-12);
    assert_near(row->u_wear, sqrt(4 * OWN_VARIANCE), 1e-12);
    row = row_of(&b, "skirt", "", 1);
    assert_near(row->wear, -0.0045, 1e-12);
    assert_near(row->rate, -0.0045 / 63.75, 1e-14);
    assert_near(row->u_rate, sqrt(2 * OWN_VARIANCE) / 63.75, 1e-14);
    close_bench(&b);
}

/* Only the first and the last point of a build count, also what was measured during run-in. */
static void a_build_goes_from_its_first_point_to_its_last(void **state)
{
    (void)state;
    const te_shop_file files[] = {
        {"models.csv", "model,run_in_hours\nM,50\n"},
        {"inspections.csv", VISITS "A,E1,2026-01-01,10,\nB,E1,2026-02-01,60,\n"
                                   "C,E1,2026-03-01,90,\nD,E1,2026-04-01,140,\n"},
        {"readings.csv", READINGS "A,bore,,,66.011,G\nB,bore,,,66.1,G\nC,bore,,,66.02,G\n"
                                  "D,bore,,,66.0234,G\n"},
        {NULL, NULL}};
    bench b = {0};
    te_made_read(&b.made, base, files);
    look_at(&b, "E1");
    expect_rows(&b, __LINE__, "bore E1/cylinder high 1: 10 to 140: 124\n");
    close_bench(&b);
}

/* ---- the assumed point -------------------------------------------------------------------- */

/* The middle of 66.00 and 66.02, u = 0.02 / sqrt(12), nothing in common with G: its calibration,
 * 0.002, does not cancel. */
static void a_new_part_measured_once_wears_from_the_assumed_point(void **state)
{
    (void)state;
    bench b;
    open_bench(&b, PARTS "C1,cylinder,E1,0,,\n", VISITS "A,E1,2026-01-01,62.5,\n",
               READINGS "A,bore,,,66.0235,G\n");
    const te_build_wear *row = row_of(&b, "bore", "", 1);
    double u = sqrt(0.02 * 0.02 / 12 + OWN_VARIANCE + 0.002 * 0.002);
    assert_true(row->assumed);
    assert_true(row->stated);
    assert_near(row->hours_from, 0, 0);
    assert_near(row->wear, 0.0135, 1e-12);
    assert_near(row->u_wear, u, 1e-12);
    assert_near(row->rate, 0.0135 / 62.5, 1e-14);
    assert_near(row->u_rate, u / 62.5, 1e-14);
    close_bench(&b);
}

static void two_measured_points_need_no_assumed_one(void **state)
{
    (void)state;
    try_rows(__LINE__, PARTS "C1,cylinder,E1,0,,\n",
             VISITS "A,E1,2026-01-01,62.5,\nB,E1,2026-02-01,100,\n",
             READINGS "A,bore,,,66.0235,G\nB,bore,,,66.025,G\n",
             "bore C1 high 1: 62.5 to 100: 15\n");
    /* two at the same hours are one time: from the assumed point to the later */
    try_rows(__LINE__, PARTS "C1,cylinder,E1,0,,\n",
             VISITS "A,E1,2026-01-01,62.5,\nB,E1,2026-02-01,62.5,\n",
             READINGS "A,bore,,,66.0235,G\nB,bore,,,66.025,G\n",
             "bore C1 high 1: 0 to 62.5: 150a\n");
}

static void the_assumed_point_serves_its_own_build_alone(void **state)
{
    (void)state;
    /* new at 0 h, in the first build; measured once, in the second */
    try_rows(__LINE__, PARTS "C1,cylinder,E1,0,,\nK1,piston,E1,0,100,\nK2,piston,E1,100,,\n",
             VISITS "A,E1,2026-01-01,150,\n", READINGS "A,bore,,,66.0235,G\n", "");
    /* once in each: the second has one point only, which the first build does not lend */
    try_rows(__LINE__, PARTS "C1,cylinder,E1,0,,\nK1,piston,E1,0,100,\nK2,piston,E1,100,,\n",
             VISITS "A,E1,2026-01-01,50,\nB,E1,2026-02-01,150,\n",
             READINGS "A,bore,,,66.0235,G\nB,bore,,,66.03,G\n", "bore C1 high 1: 0 to 50: 135a\n");
    /* fitted new at 100 h: it begins the second build there */
    try_rows(__LINE__, PARTS "C2,cylinder,E1,100,,\n", VISITS "A,E1,2026-01-01,150,\n",
             READINGS "A,bore,,,66.0235,G\n", "bore C2 high 2: 100 to 150: 135a\n");
    /* measured at the very end of its first build: it closes that, and opens nothing alone */
    try_rows(__LINE__, PARTS "C1,cylinder,E1,0,,\nK1,piston,E1,0,100,\nK2,piston,E1,100,,\n",
             VISITS "A,E1,2026-01-01,100,\n", READINGS "A,bore,,,66.0235,G\n",
             "bore C1 high 1: 0 to 100: 135a\n");
}

static void a_used_part_has_no_assumed_point(void **state)
{
    (void)state;
    try_rows(__LINE__, PARTS "C2,cylinder,E1,100,,30\n", VISITS "A,E1,2026-01-01,150,\n",
             READINGS "A,bore,,,66.0235,G\n", "");
    try_rows(__LINE__, PARTS "C2,cylinder,E1,?,,\n", VISITS "A,E1,2026-01-01,150,\n",
             READINGS "A,bore,,,66.0235,G\n", "");
    /* new on the other engine: its assumed point stands there */
    try_rows(__LINE__, PARTS "C2,cylinder,E2,0,30,\nC2,cylinder,E1,0,,30\n",
             VISITS "A,E1,2026-01-01,150,\n", READINGS "A,bore,,,66.0235,G\n", "");
}

/* ---- builds without points ---------------------------------------------------------------- */

#define PISTONS \
    PARTS       \
    "K1,piston,E1,0,100,\nK2,piston,E1,100,200,\nK3,piston,E1,200,,\n"

static void a_build_without_two_points_has_no_row(void **state)
{
    (void)state;
    bench b;
    open_bench(&b, PISTONS,
               VISITS "A,E1,2026-01-01,20,\nB,E1,2026-02-01,90,\nC,E1,2026-03-01,150,\n"
                      "D,E1,2026-04-01,220,\nF,E1,2026-05-01,290,\n",
               READINGS "A,bore,,,66.01,N\nB,bore,,,66.02,N\nC,bore,,,66.025,N\n"
                        "D,bore,,,66.03,N\nF,bore,,,66.06,N\n");
    /* the third build is not compared with the first */
    expect_rows(&b, __LINE__,
                "bore E1/cylinder high 1: 20 to 90: 100?\n"
                "bore E1/cylinder high 3: 220 to 290: 300?\n");
    const te_build_wear *row = row_of(&b, "bore", "", 3);
    assert_true(isnan(row->ratio));
    assert_true(isnan(row->before));
    assert_true(isnan(row->p_same));
    assert_true(isnan(row->p_holm));
    close_bench(&b);
}

/* A gap is one of its cylinder too: what was measured in another than the last is left out. */
static void a_gap_in_another_cylinder_is_not_counted(void **state)
{
    (void)state;
    try_rows(__LINE__, PARTS "R1,ring_set,E1,0,,12\nC1,cylinder,E1,0,100,\nC2,cylinder,E1,100,,\n",
             VISITS "A,E1,2026-01-01,20,\nB,E1,2026-02-01,90,\nC,E1,2026-03-01,120,\n"
                    "D,E1,2026-04-01,170,\n",
             READINGS "A,end_gap,,1,0.30,G\nB,end_gap,,1,0.37,G\nC,end_gap,,1,0.33,G\n"
                      "D,end_gap,,1,0.35,G\n",
             "end_gap1 R1 high 2: 120 to 170: 200\n");
}

/* Planned at two heights: the point of one height is no end, be it the first, or the last. */
static void a_point_with_places_missing_is_not_counted(void **state)
{
    (void)state;
    const te_shop_file files[] = {
        {"plan.csv", "model,feature,position\nM,bore,10\nM,bore,50\n"},
        {"inspections.csv", VISITS "A,E1,2026-01-01,10,\nB,E1,2026-02-01,60,\n"
                                   "C,E1,2026-03-01,90,\nD,E1,2026-04-01,140,\n"},
        {"readings.csv", "inspection,feature,position,reading,instrument\n"
                         "A,bore,10,66.1,G\nB,bore,10,66.011,G\nB,bore,50,66.010,G\n"
                         "C,bore,10,66.020,G\nC,bore,50,66.015,G\nD,bore,50,66.1,G\n"},
        {NULL, NULL}};
    bench b = {0};
    te_made_read(&b.made, base, files);
    look_at(&b, "E1");
    assert_near(row_of(&b, "bore", "", 1)->hours_from, 60, 0);
    assert_near(row_of(&b, "bore", "", 1)->hours_to, 90, 0);
    assert_near(row_of(&b, "bore", "", 1)->wear, 0.009, 1e-12);
    close_bench(&b);
}

static void points_of_another_engine_are_not_counted(void **state)
{
    (void)state;
    static const char parts[] = PARTS
        "K1,piston,E2,0,90,5\nK1,piston,E1,120,,95\nK0,piston,E1,0,120,\n";
    static const char visits[] = VISITS "A,E2,2026-01-01,30,\nB,E2,2026-02-01,80,\n"
                                        "C,E1,2026-03-01,130,\nD,E1,2026-04-01,180,\n";
    static const char readings[] = READINGS "A,skirt,,,65.94,G\nB,skirt,,,65.93,G\n"
                                            "C,skirt,,,65.92,G\nD,skirt,,,65.9,G\n";
    bench b;
    open_bench(&b, parts, visits, readings);
    expect_rows(&b, __LINE__, "skirt K1 low 2: 130 to 180: -200\n");
    /* the other engine has its own two, although the part was last measured elsewhere */
    look_at(&b, "E2");
    assert_int_equal(b.builds.build_count, 1);
    expect_rows(&b, __LINE__, "skirt K1 low 1: 30 to 80: -100\n");
    close_bench(&b);
}

/* ---- compared with the build before ------------------------------------------------------- */

static void ring_set_is_compared_with_ring_set(void **state)
{
    (void)state;
    bench b;
    open_bench(&b,
               PARTS "R1,ring_set,E1,0,100,12\nR2,ring_set,E1,100,200,12\nR3,ring_set,E1,200,,12\n",
               VISITS "A,E1,2026-01-01,20,\nB,E1,2026-02-01,90,\nC,E1,2026-03-01,120,\n"
                      "D,E1,2026-04-01,170,\nF,E1,2026-05-01,210,\nH,E1,2026-06-01,290,\n",
               READINGS "A,end_gap,,1,0.30,G\nA,end_gap,,2,0.31,G\n"
                        "B,end_gap,,1,0.37,G\nB,end_gap,,2,0.33,G\n"
                        "C,end_gap,,1,0.28,G\nC,end_gap,,2,0.32,G\n"
                        "D,end_gap,,1,0.405,G\nD,end_gap,,2,0.345,G\n"
                        "F,end_gap,,2,0.30,G\nH,end_gap,,2,0.38,G\n");
    expect_rows(&b, __LINE__,
                "end_gap1 R1 high 1: 20 to 90: 700\n"
                "end_gap1 R2 high 2: 120 to 170: 1250~\n"
                "end_gap2 R1 high 1: 20 to 90: 200\n"
                "end_gap2 R2 high 2: 120 to 170: 250~\n"
                "end_gap2 R3 high 3: 210 to 290: 800~\n");
    /* ring 1: 0.07 in 70 h, then 0.125 in 50 h; ring 2: 0.025 in 50 h, then 0.08 in 80 h */
    assert_near(row_of(&b, "end_gap", "1", 2)->ratio, 2.5, 1e-10);
    assert_near(row_of(&b, "end_gap", "1", 2)->before, 0.001, 1e-13);
    assert_near(row_of(&b, "end_gap", "2", 3)->ratio, 2, 1e-10);
    assert_near(row_of(&b, "end_gap", "2", 3)->before, 0.0005, 1e-13);
    assert_true(isnan(row_of(&b, "end_gap", "1", 1)->ratio));
    close_bench(&b);
}

/* With limits on both sides each part has two series; a part that comes back stands after the one
 * between, and each side is compared with its own. */
static void rows_go_by_side_then_build(void **state)
{
    (void)state;
    const te_shop_file files[] = {
        {"limits.csv", LIMITS "M,skirt,,mm,65.93,65.95,65.80,66.00,invented\n"},
        {"parts.csv",
         PARTS "K1,piston,E1,0,100,\nK2,piston,E1,100,200,12\nK1,piston,E1,200,,100\n"},
        {"inspections.csv", VISITS "A,E1,2026-01-01,20,\nB,E1,2026-02-01,90,\n"
                                   "C,E1,2026-03-01,120,\nD,E1,2026-04-01,170,\n"
                                   "F,E1,2026-05-01,210,\nH,E1,2026-06-01,290,\n"},
        {"readings.csv", "inspection,feature,position,reading,instrument\n"
                         "A,skirt,10,65.940,G\nA,skirt,30,65.945,G\n"
                         "B,skirt,10,65.930,G\nB,skirt,30,65.944,G\n"
                         "C,skirt,10,65.941,G\nC,skirt,30,65.950,G\n"
                         "D,skirt,10,65.938,G\nD,skirt,30,65.948,G\n"
                         "F,skirt,10,65.930,G\nF,skirt,30,65.943,G\n"
                         "H,skirt,10,65.926,G\nH,skirt,30,65.938,G\n"},
        {NULL, NULL}};
    bench b = {0};
    te_made_read(&b.made, base, files);
    look_at(&b, "E1");
    expect_rows(&b, __LINE__,
                "skirt K1 low 1: 20 to 90: -100\n"
                "skirt K2 low 2: 120 to 170: -30~\n"
                "skirt K1 low 3: 210 to 290: -40~\n"
                "skirt K1 high 1: 20 to 90: -10\n"
                "skirt K2 high 2: 120 to 170: -20~\n"
                "skirt K1 high 3: 210 to 290: -50~\n");
    close_bench(&b);
}

/* A pair is compared with the pair before, whichever of the two was changed. */
static void a_pair_is_compared_with_the_pair_before(void **state)
{
    (void)state;
    try_rows(__LINE__, PARTS "C1,cylinder,E1,0,,5\nK1,piston,E1,0,100,5\nK2,piston,E1,100,,5\n",
             VISITS "A,E1,2026-01-01,20,\nB,E1,2026-02-01,90,\nC,E1,2026-03-01,120,\n"
                    "D,E1,2026-04-01,170,\n",
             READINGS "A,bore,,,66.01,G\nA,skirt,,,65.94,G\nB,bore,,,66.02,G\nB,skirt,,,65.935,G\n"
                      "C,bore,,,66.02,G\nC,skirt,,,65.95,G\nD,bore,,,66.03,G\nD,skirt,,,65.945,G\n",
             "bore C1 high 1: 20 to 90: 100\n"
             "bore C1 high 2: 120 to 170: 100~\n"
             "skirt K1 low 1: 20 to 90: -50\n"
             "skirt K2 low 2: 120 to 170: -50~\n"
             "skirt_clearance C1+K1 high 1: 20 to 90: 150\n"
             "skirt_clearance C1+K2 high 2: 120 to 170: 150~\n");
}

/* Of kind `other` an engine has any number: only the same part is compared. */
static void other_parts_are_compared_with_themselves(void **state)
{
    (void)state;
    bench b;
    open_bench(&b, PARTS "F1,other,E1,0,,\nF2,other,E1,0,100,\nF3,other,E1,100,,\n",
               VISITS "A,E1,2026-01-01,20,\nB,E1,2026-02-01,90,\nC,E1,2026-03-01,120,\n"
                      "D,E1,2026-04-01,170,\n",
               READINGS "A,play,F1,,0.30,G\nA,play,F2,,0.10,G\nB,play,F1,,0.37,G\n"
                        "B,play,F2,,0.24,G\nC,play,F1,,0.38,G\nC,play,F3,,0.10,G\n"
                        "D,play,F1,,0.505,G\nD,play,F3,,0.15,G\n");
    expect_rows(&b, __LINE__,
                "play F1 high 1: 20 to 90: 700\n"
                "play F1 high 2: 120 to 170: 1250~\n"
                "play F2 high 1: 20 to 90: 1400\n"
                "play F3 high 2: 120 to 170: 500\n");
    assert_near(row_of(&b, "play", "", 2)->ratio, 2.5, 1e-10);
    close_bench(&b);
}

/* ---- ratio -------------------------------------------------------------------------------- */

static void three_of_a_bore(bench *b, const char *first, const char *second, const char *third,
                            const char *gauge)
{
    te_grown readings = {0};
    te_grown_add(&readings, READINGS "A,bore,,,%s,%s\nB,bore,,,%s,%s\nC,bore,,,%s,%s\n", first,
                 gauge, second, gauge, third, gauge);
    open_bench(b, PARTS CHANGE,
               VISITS "A,E1,2026-01-01,20,\nB,E1,2026-02-01,100,\nC,E1,2026-03-01,180,\n",
               readings.text);
    te_grown_free(&readings);
}

static void a_rate_of_zero_before_gives_no_ratio(void **state)
{
    (void)state;
    bench b;
    three_of_a_bore(&b, "66.0200", "66.0200", "66.0300", "G");
    const te_build_wear *row = row_of(&b, "bore", "", 2);
    assert_near(row_of(&b, "bore", "", 1)->rate, 0, 0);
    assert_near(row->before, 0, 0);
    assert_true(isnan(row->ratio));
    assert_true(row->p_same < 1.0); /* the difference has a meaning */
    close_bench(&b);
}

static void a_negative_rate_before_gives_a_negative_ratio(void **state)
{
    (void)state;
    bench b;
    three_of_a_bore(&b, "66.0240", "66.0200", "66.0300", "G");
    assert_near(row_of(&b, "bore", "", 2)->ratio, -2.5, 1e-9);
    assert_near(row_of(&b, "bore", "", 2)->before, -0.004 / 80, 1e-14);
    close_bench(&b);
}

/* ---- by chance ---------------------------------------------------------------------------- */

/* The middle reading is in both builds. R:
 *   x <- c(66.0120, 66.0235, 66.0518); t <- c(17.5, 81.25, 163); h <- diff(t); r <- diff(x)/h
 *   u <- sqrt(3e-6*(1/h[2]^2 + (1/h[1]+1/h[2])^2 + 1/h[1]^2)); 2*pnorm(-abs(r[2]-r[1])/u)
 * Without the covariance it would be 0.00066784. */
static void a_point_in_both_builds_is_one_reading(void **state)
{
    (void)state;
    bench b;
    open_bench(&b, PARTS "K1,piston,E1,0,81.25,\nK2,piston,E1,81.25,,\n",
               VISITS "A,E1,2026-01-01,17.5,\nB,E1,2026-02-01,81.25,\nC,E1,2026-03-01,163,\n",
               READINGS "A,bore,,,66.0120,G\nB,bore,,,66.0235,G\nC,bore,,,66.0518,G\n");
    const te_build_wear *row = row_of(&b, "bore", "", 2);
    assert_near_rel(row->p_same, 0.00523582597077937, 1e-8);
    assert_near(row->p_holm, row->p_same, 0); /* the only one */
    assert_near_rel(row->ratio, 1.91902672516995, 1e-10);
    assert_near_rel(row->before, 0.0115 / 63.75, 1e-10);
    close_bench(&b);
}

/* Another gauge for the last reading: its calibration and that of G stay, each by 1/h of the second
 * build. R: as above with u <- sqrt(3e-6*(...) + (0.002/h[2])^2 + (0.005/h[2])^2) */
static void a_gauge_that_is_changed_between_builds_counts(void **state)
{
    (void)state;
    bench b;
    open_bench(&b, PARTS "K1,piston,E1,0,81.25,\nK2,piston,E1,81.25,,\n",
               VISITS "A,E1,2026-01-01,17.5,\nB,E1,2026-02-01,81.25,\nC,E1,2026-03-01,163,\n",
               READINGS "A,bore,,,66.0120,G\nB,bore,,,66.0235,G\nC,bore,,,66.0518,H\n");
    assert_near_rel(row_of(&b, "bore", "", 2)->p_same, 0.0615667192304239, 1e-8);
    close_bench(&b);
}

/* Four readings of two parts, nothing shared but the calibration, which cancels in each. R:
 *   h <- c(70, 50); 2*pnorm(-abs(0.0075/50 - 0.0035/70)/sqrt(2*3e-6*sum(1/h^2))) */
static void parts_without_a_common_point_are_compared_by_all_four(void **state)
{
    (void)state;
    bench b;
    open_bench(&b, PARTS "R1,ring_set,E1,0,100,12\nR2,ring_set,E1,100,,12\n",
               VISITS "A,E1,2026-01-01,20,\nB,E1,2026-02-01,90,\nC,E1,2026-03-01,120,\n"
                      "D,E1,2026-04-01,170,\n",
               READINGS "A,end_gap,,1,0.30,G\nB,end_gap,,1,0.3035,G\nC,end_gap,,1,0.28,G\n"
                        "D,end_gap,,1,0.2875,G\n");
    assert_near_rel(row_of(&b, "end_gap", "1", 2)->p_same, 0.0967081260884051, 1e-8);
    close_bench(&b);
}

static void what_is_not_stated_has_no_probability(void **state)
{
    (void)state;
    bench b;
    three_of_a_bore(&b, "66.0120", "66.0200", "66.0300", "N");
    const te_build_wear *row = row_of(&b, "bore", "", 2);
    assert_false(row->stated);
    assert_near(row->ratio, 1.25, 1e-9);
    assert_true(isnan(row->p_same));
    assert_true(isnan(row->p_holm));
    close_bench(&b);
    /* either of the two is enough */
    static const char *const gauges[][3] = {{"N", "G", "G"}, {"G", "G", "N"}, {"G", "N", "G"}};
    static const bool stated[][2] = {{false, true}, {true, false}, {false, false}};
    for (size_t i = 0; i < 3; i++) {
        te_grown readings = {0};
        te_grown_add(&readings,
                     READINGS "A,bore,,,66.01,%s\nB,bore,,,66.02,%s\nC,bore,,,66.05,%s\n",
                     gauges[i][0], gauges[i][1], gauges[i][2]);
        open_bench(&b, PARTS CHANGE,
                   VISITS "A,E1,2026-01-01,20,\nB,E1,2026-02-01,100,\nC,E1,2026-03-01,180,\n",
                   readings.text);
        assert_int_equal(row_of(&b, "bore", "", 1)->stated, stated[i][0]);
        assert_int_equal(row_of(&b, "bore", "", 2)->stated, stated[i][1]);
        assert_true(isnan(row_of(&b, "bore", "", 2)->p_same));
        assert_true(isnan(row_of(&b, "bore", "", 2)->p_holm));
        te_grown_free(&readings);
        close_bench(&b);
    }
}

/* ---- many comparisons --------------------------------------------------------------------- */

/* Two rings alike make ties; the fifth of eight would fall below the fourth; three are capped. R:
 *   y <- rbind(c(66.01,66.0180,66.0438,66.0793), c(.3,.3096,.3355,.3635), c(.3,.3096,.3355,.3635),
 *              c(.01,.026,.0568,.0841)); h <- c(80,100,100); p <- c()
 *   for (i in 1:4) { r <- diff(y[i,])/h; for (k in 2:3) { j <- k-1
 *     u <- sqrt(3e-6*(1/h[k]^2 + (1/h[k]+1/h[j])^2 + 1/h[j]^2))
 *     p <- c(p, 2*pnorm(-abs(r[k]-r[j])/u)) } }
 *   cbind(p, p.adjust(p, "holm")) */
static void p_is_adjusted_over_all_rows(void **state)
{
    (void)state;
    static const struct {
        const char *quantity, *item;
        uint32_t build;
        double p, holm;
    } expected[] = {
        {"bore", "", 2, 0.000954802072206957, 0.00763841657765566},
        {"bore", "", 3, 0.022236016687872701, 0.11118008343936350},
        {"end_gap", "1", 2, 0.003657790644165386, 0.02560453450915770},
        {"end_gap", "1", 3, 0.620617946437700185, 1},
        {"end_gap", "2", 2, 0.003657790644165386, 0.02560453450915770},
        {"end_gap", "2", 3, 0.620617946437700185, 1},
        {"small_end_play", "", 2, 0.023939414835458979, 0.11118008343936350},
        {"small_end_play", "", 3, 0.409395486209916892, 1},
    };
    bench b;
    open_bench(&b, PISTONS,
               VISITS "A,E1,2026-01-01,20,\nB,E1,2026-02-01,100,\nC,E1,2026-03-01,200,\n"
                      "D,E1,2026-04-01,300,\n",
               READINGS
               "A,bore,,,66.01,G\nB,bore,,,66.018,G\nC,bore,,,66.0438,G\nD,bore,,,66.0793,G\n"
               "A,end_gap,,1,0.3,G\nB,end_gap,,1,0.3096,G\nC,end_gap,,1,0.3355,G\n"
               "D,end_gap,,1,0.3635,G\n"
               "A,end_gap,,2,0.3,G\nB,end_gap,,2,0.3096,G\nC,end_gap,,2,0.3355,G\n"
               "D,end_gap,,2,0.3635,G\n"
               "A,small_end_play,,,0.01,G\nB,small_end_play,,,0.026,G\n"
               "C,small_end_play,,,0.0568,G\nD,small_end_play,,,0.0841,G\n"
               /* without an uncertainty: it is none of the eight */
               "A,pin,,,15.999,N\nB,pin,,,15.998,N\nC,pin,,,15.996,N\nD,pin,,,15.991,N\n");
    assert_int_equal(b.builds.wear_count, 15);
    for (size_t i = 0; i < sizeof expected / sizeof *expected; i++) {
        const te_build_wear *row = row_of(&b, expected[i].quantity, expected[i].item,
                                          expected[i].build);
        assert_near_rel(row->p_same, expected[i].p, 1e-8);
        assert_near_rel(row->p_holm, expected[i].holm, 1e-8);
    }
    assert_true(isnan(row_of(&b, "pin", "", 3)->p_holm));
    close_bench(&b);
}

/* What the step-down comes to, without an order: of all p not above one's own, the largest product
 * with the number of those that are not below it. */
static double holm_by_definition(const te_builds *builds, double p)
{
    double adjusted = 0.0;
    for (size_t i = 0; i < builds->wear_count; i++) {
        double other = builds->wears[i].p_same;
        double count = 0.0;
        if (isnan(other) || other > p)
            continue;
        for (size_t j = 0; j < builds->wear_count; j++)
            count += builds->wears[j].p_same >= other ? 1.0 : 0.0;
        adjusted = fmax(adjusted, fmin(1.0, count * other));
    }
    return adjusted;
}

/* Random wear of four rings, on a grid so coarse that ties are common. */
static void adjusted_p_are_those_of_the_definition(void **state)
{
    (void)state;
    te_random random = te_random_start(0x40c3);
    size_t rounds = te_test_rounds(30);
    size_t compared = 0;
    for (size_t round = 0; round < rounds; round++) {
        te_grown readings = {0};
        te_grown_add(&readings, "%s", READINGS);
        for (int ring = 1; ring <= 4; ring++) {
            unsigned gap = 300;
            for (const char *visit = "ABCD"; *visit != '\0'; visit++) {
                te_grown_add(&readings, "%c,end_gap,,%d,0.%u,G\n", *visit, ring, gap);
                gap += (unsigned)te_random_below(&random, 9);
            }
        }
        bench b;
        open_bench(&b, PISTONS,
                   VISITS "A,E1,2026-01-01,20,\nB,E1,2026-02-01,100,\nC,E1,2026-03-01,200,\n"
                          "D,E1,2026-04-01,300,\n",
                   readings.text);
        for (size_t i = 0; i < b.builds.wear_count; i++) {
            const te_build_wear *row = &b.builds.wears[i];
            bool untested = isnan(row->p_same);
            assert_true(untested == (bool)isnan(row->p_holm));
            if (untested)
                continue;
            assert_near_rel(row->p_holm, holm_by_definition(&b.builds, row->p_same), 1e-12);
            assert_true(row->p_holm >= row->p_same && row->p_holm <= 1.0);
            compared++;
        }
        te_grown_free(&readings);
        close_bench(&b);
    }
    assert_int_equal(compared, 8 * rounds);
}

/* ---- life cycle --------------------------------------------------------------------------- */

static void each_result_replaces_the_one_before(void **state)
{
    (void)state;
    bench b;
    open_bench(&b, PISTONS,
               VISITS "A,E1,2026-01-01,20,\nB,E1,2026-02-01,90,\nC,E2,2026-01-01,15,\n"
                      "D,E2,2026-02-01,55,\n",
               READINGS
               "A,bore,,,66.011,G\nB,bore,,,66.0234,G\nC,bore,,,66.01,G\nD,bore,,,66.015,G\n");
    assert_int_equal(b.builds.build_count, 3);
    expect_rows(&b, __LINE__, "bore E1/cylinder high 1: 20 to 90: 124\n");
    look_at(&b, "E2");
    assert_int_equal(b.builds.build_count, 1);
    expect_rows(&b, __LINE__, "bore E2/cylinder high 1: 15 to 55: 50\n");
    te_builds_free(&b.builds);
    assert_null(b.builds.starts);
    assert_null(b.builds.wears);
    assert_int_equal(b.builds.build_count, 0);
    assert_int_equal(b.builds.wear_count, 0);
    te_builds_free(NULL);
    close_bench(&b);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(an_engine_without_a_fitting_has_one_build),
        cmocka_unit_test(what_was_fitted_at_0_begins_none_of_its_own),
        cmocka_unit_test(each_fitting_begins_a_build),
        cmocka_unit_test(a_part_that_comes_off_begins_none),
        cmocka_unit_test(off_and_back_at_the_same_hours_is_none),
        cmocka_unit_test(parts_fitted_at_one_time_begin_one_build),
        cmocka_unit_test(rows_may_stand_in_any_order),
        cmocka_unit_test(one_without_a_state_closes_a_build_and_opens_the_next),
        cmocka_unit_test(found_closes_and_built_opens_in_either_order),
        cmocka_unit_test(no_state_takes_the_place_that_is_left),
        cmocka_unit_test(the_first_of_two_alike_opens_and_the_last_closes),
        cmocka_unit_test(found_or_built_alone_does_both),
        cmocka_unit_test(a_state_away_from_a_change_means_nothing),
        cmocka_unit_test(a_changed_part_belongs_to_its_own_builds),
        cmocka_unit_test(a_part_does_not_wear_while_it_is_off),
        cmocka_unit_test(the_common_error_of_one_gauge_cancels),
        cmocka_unit_test(the_errors_of_two_gauges_stay),
        cmocka_unit_test(a_new_calibration_is_another_error),
        cmocka_unit_test(a_pair_wears_as_one_form_of_four_readings),
        cmocka_unit_test(a_build_goes_from_its_first_point_to_its_last),
        cmocka_unit_test(a_new_part_measured_once_wears_from_the_assumed_point),
        cmocka_unit_test(two_measured_points_need_no_assumed_one),
        cmocka_unit_test(the_assumed_point_serves_its_own_build_alone),
        cmocka_unit_test(a_used_part_has_no_assumed_point),
        cmocka_unit_test(a_build_without_two_points_has_no_row),
        cmocka_unit_test(a_gap_in_another_cylinder_is_not_counted),
        cmocka_unit_test(a_point_with_places_missing_is_not_counted),
        cmocka_unit_test(points_of_another_engine_are_not_counted),
        cmocka_unit_test(ring_set_is_compared_with_ring_set),
        cmocka_unit_test(rows_go_by_side_then_build),
        cmocka_unit_test(a_pair_is_compared_with_the_pair_before),
        cmocka_unit_test(other_parts_are_compared_with_themselves),
        cmocka_unit_test(a_rate_of_zero_before_gives_no_ratio),
        cmocka_unit_test(a_negative_rate_before_gives_a_negative_ratio),
        cmocka_unit_test(a_point_in_both_builds_is_one_reading),
        cmocka_unit_test(a_gauge_that_is_changed_between_builds_counts),
        cmocka_unit_test(parts_without_a_common_point_are_compared_by_all_four),
        cmocka_unit_test(what_is_not_stated_has_no_probability),
        cmocka_unit_test(p_is_adjusted_over_all_rows),
        cmocka_unit_test(adjusted_p_are_those_of_the_definition),
        cmocka_unit_test(each_result_replaces_the_one_before),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
