/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * A part's own hours through engines and stays, and the hours of a series. Figures are sums of the
 * hours in each test's files. Points are written by their hours of the series: "0a 10r 60" is an
 * assumed point at 0 h, one at 10 h that is not fitted, and one at 60 h.
 */
#include "te_shop_text.h"

#include <math.h>
#include <string.h>

#include "due_ways.h"
#include "series.h"

#define PARTS    "part,kind,engine,fitted_hours,removed_hours,hours_before\n"
#define VISITS   "inspection,engine,date,hours,state\n"
#define READINGS "inspection,feature,part,item,reading\n"

enum { ROWS_MOST = 4 };

/* No as-new limits: no assumed points but where a test adds them. */
static const te_shop_file base[] = {
    {"engines.csv", "engine,model\nE1,M\nE2,M\nE3,M\nE4,M\n"},
    {"limits.csv", "model,quantity,unit,service_max,source\nM,bore,mm,66.9,invented\n"
                   "M,skirt,mm,66.9,invented\nM,skirt_clearance,mm,0.9,invented\n"
                   "M,end_gap,mm,0.9,invented\nM,side_clearance,mm,0.9,invented\n"},
    {"inspections.csv", VISITS "Y,E3,2026-01-01,1,\n"}, /* a shop has a reading */
    {"readings.csv", READINGS "Y,squish,,,1.2\n"},
    {NULL, NULL},
};

/* ---- own hours ---------------------------------------------------------------------------- */

/* A part's time at some engine hours; own NAN: on no common axis. */
typedef struct time_case {
    long line;
    const char *part, *engine;
    double hours, own, joined, fitted;
    bool unknown, original;
} time_case;

static void expect_times(const te_made_shop *made, const time_case *cases, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        const time_case *c = &cases[i];
        te_part_time time;
        te_id part = te_shop_find_text(made->shop, c->part);
        assert_int_not_equal(part, 0);
        te_part_time_at(&time, made->shop, part, te_made_engine(made, c->engine), c->hours);
        bool own = isnan(c->own) ? isnan(time.own) : te_near(time.own, c->own, 1e-9);
        if (!own || !te_near(time.joined, c->joined, 1e-9) ||
            !te_near(time.fitted, c->fitted, 1e-9) || time.unknown != c->unknown ||
            time.original != c->original)
            fail_msg(
                "case of line %ld: own %.9g, joined %.9g, fitted %.9g, unknown %d, original %d",
                c->line, time.own, time.joined, time.fitted, time.unknown, time.original);
    }
}

static void try_times(const char *parts, const char *visits, const char *readings,
                      const time_case *cases, size_t count)
{
    const te_shop_file files[] = {{"parts.csv", parts},
                                  {visits ? "inspections.csv" : NULL, visits},
                                  {"readings.csv", readings},
                                  {NULL, NULL}};
    te_made_shop made;
    te_made_read(&made, base, files);
    expect_times(&made, cases, count);
    te_made_free(&made);
}

static void own_hours_count_hours_before(void **state)
{
    (void)state;
    const time_case cases[] = {
        {__LINE__, "C1", "E1", 40, 12.5, 40, 40, false, false},
        {__LINE__, "C1", "E1", 100, 72.5, 40, 40, false, false},
        {__LINE__, "K1", "E1", 100, 75, 25, 25, false, false}, /* blank: 0 before */
    };
    try_times(PARTS "C1,cylinder,E1,40,,12.5\nK1,piston,E1,25,,\n", NULL, NULL, cases, 3);
}

static void original_part_counts_from_0(void **state)
{
    (void)state;
    static const char visits[] = VISITS "A,E1,2026-01-01,70,\n";
    static const char readings[] = READINGS "A,bore,,,66.01\n";
    const time_case cases[] = {{__LINE__, "E1/cylinder", "E1", 70, 70, 0, 0, false, true}};
    try_times(PARTS, visits, readings, cases, 1);
}

/* Every order of up to four rows. */
static void try_orders(const char *const *rows, size_t count, const time_case *cases,
                       size_t case_count)
{
    size_t order[ROWS_MOST] = {0}, tried = 0;
    assert_true(count <= ROWS_MOST);
    for (size_t code = 0; code < 256; code++) {
        bool used[ROWS_MOST] = {false}, each_once = true;
        for (size_t i = 0; i < count; i++) {
            order[i] = (code >> (2 * i)) & 3;
            each_once = each_once && order[i] < count && !used[order[i]];
            used[order[i]] = true;
        }
        if (!each_once || code >> (2 * count))
            continue;
        te_grown parts = {0};
        te_grown_add(&parts, "%s", PARTS);
        for (size_t i = 0; i < count; i++)
            te_grown_add(&parts, "%s\n", rows[order[i]]);
        try_times(parts.text, NULL, NULL, cases, case_count);
        te_grown_free(&parts);
        tried++;
    }
    assert_int_equal(tried, count == 2 ? 2 : count == 3 ? 6 : 24);
}

/* 100 h on E1, 60 on E2, back on E1. At the hours of a change the part is on both. */
static void moved_and_back_in_any_order_of_rows(void **state)
{
    (void)state;
    static const char *const rows[] = {"K1,piston,E1,0,100,0", "K1,piston,E2,30,90,100",
                                       "K1,piston,E1,150,,160"};
    const time_case cases[] = {
        {__LINE__, "K1", "E1", 60, 60, 0, 0, false, false},
        {__LINE__, "K1", "E1", 100, 100, 0, 0, false, false},
        {__LINE__, "K1", "E2", 30, 100, 30, 30, false, false},
        {__LINE__, "K1", "E2", 90, 160, 30, 30, false, false},
        {__LINE__, "K1", "E1", 150, 160, 150, 150, false, false},
        {__LINE__, "K1", "E1", 210.5, 220.5, 150, 150, false, false},
    };
    try_orders(rows, 3, cases, sizeof cases / sizeof *cases);
}

/* Three rows without a gap are one stay with the first one's 7 h before; the later ones' blank
 * hours_before is not asked. */
static void touching_stays_are_one(void **state)
{
    (void)state;
    static const char *const rows[] = {"K1,piston,E1,20,100,7", "K1,piston,E1,100,180.5,",
                                       "K1,piston,E1,180.5,,"};
    const time_case cases[] = {
        {__LINE__, "K1", "E1", 50, 37, 20, 20, false, false},
        {__LINE__, "K1", "E1", 100, 87, 20, 20, false, false},
        {__LINE__, "K1", "E1", 130, 117, 20, 20, false, false},
        {__LINE__, "K1", "E1", 300, 287, 20, 20, false, false},
    };
    try_orders(rows, 3, cases, sizeof cases / sizeof *cases);
}

/* Within 1e-6 h is touching; a minute is not, and another engine is another stay. */
static void stays_that_do_not_touch_are_apart(void **state)
{
    (void)state;
    const time_case nearly[] = {{__LINE__, "K1", "E1", 150, 150, 0, 0, false, false}};
    const time_case apart[] = {{__LINE__, "K1", "E1", 150, 149.98, 100.02, 100.02, false, false}};
    const time_case moved[] = {{__LINE__, "K1", "E2", 150, 155, 100, 100, false, false}};
    try_times(PARTS "K1,piston,E1,0,100,\nK1,piston,E1,100.0000005,,55\n", NULL, NULL, nearly, 1);
    try_times(PARTS "K1,piston,E1,0,100,\nK1,piston,E1,100.02,,100\n", NULL, NULL, apart, 1);
    try_times(PARTS "K1,piston,E1,0,100,\nK1,piston,E2,100,,105\n", NULL, NULL, moved, 1);
}

/* ---- unknown history ---------------------------------------------------------------------- */

static const char skirt_at_50[] = READINGS "A,skirt,K1,,65.95\nB,skirt,K1,,65.94\n";
static const char visits_50_80[] = VISITS "A,E1,2026-01-01,50,\nB,E1,2026-02-01,80,\n";

/* `?` in fitted_hours: on from 0 h; in hours_before: on from 20 h. Both count from the first
 * reading, at 50 h. */
static void unknown_history_counts_from_the_first_reading(void **state)
{
    (void)state;
    const time_case fitted[] = {
        {__LINE__, "K1", "E1", 50, 0, 50, 0, true, false},
        {__LINE__, "K1", "E1", 80, 30, 50, 0, true, false},
    };
    const time_case before[] = {
        {__LINE__, "K1", "E1", 50, 0, 50, 20, true, false},
        {__LINE__, "K1", "E1", 80, 30, 50, 20, true, false},
    };
    try_times(PARTS "K1,piston,E1,?,,\n", visits_50_80, skirt_at_50, fitted, 2);
    try_times(PARTS "K1,piston,E1,20,,?\n", visits_50_80, skirt_at_50, before, 2);
    try_times(PARTS "K1,piston,E1,?,,17\n", visits_50_80, skirt_at_50, fitted, 2);
}

/* First reading at 60 h of E1; then 40 h more there, 50 h on E2, and back. hours_before of the
 * later rows is not asked. A pair counts from the reading in the first stay only. */
static void unknown_history_goes_through_engines(void **state)
{
    (void)state;
    static const char visits[] = VISITS "A,E1,2026-01-01,60,\n";
    static const char readings[] = READINGS "A,skirt,K1,,65.95\n";
    const time_case cases[] = {
        {__LINE__, "K1", "E1", 60, 0, 60, 0, true, false},
        {__LINE__, "K1", "E1", 100, 40, 60, 0, true, false},
        {__LINE__, "K1", "E2", 30, 40, 30, 30, true, false},
        {__LINE__, "K1", "E2", 80, 90, 30, 30, true, false},
        {__LINE__, "K1", "E1", 150, 90, 150, 150, true, false},
        {__LINE__, "K1", "E1", 170, 110, 150, 150, true, false},
    };
    try_times(PARTS "K1,piston,E1,?,100,\nK1,piston,E2,30,80,700\nK1,piston,E1,150,,\n", visits,
              readings, cases, sizeof cases / sizeof *cases);
}

/* The first reading comes 15 h after the part went on E2: what it ran before is not counted. */
static void first_reading_on_another_engine(void **state)
{
    (void)state;
    static const char visits[] = VISITS "A,E2,2026-01-01,45,\n";
    static const char readings[] = READINGS "A,skirt,K1,,65.95\n";
    const time_case cases[] = {
        {__LINE__, "K1", "E2", 45, 0, 45, 30, true, false},
        {__LINE__, "K1", "E2", 80, 35, 45, 30, true, false},
        {__LINE__, "K1", "E1", 160, 45, 150, 150, true, false},
    };
    try_times(PARTS "K1,piston,E1,?,100,\nK1,piston,E2,30,80,\nK1,piston,E1,150,,\n", visits,
              readings, cases, 3);
}

/* Lost on E2: rows before it, and readings during them, stand on no common axis. The second `?`
 * adds nothing. */
static void nothing_is_known_before_an_unknown_row(void **state)
{
    (void)state;
    static const char visits[] = VISITS "A,E1,2026-01-01,60,\nB,E2,2026-02-01,40,\n";
    static const char readings[] = READINGS "A,skirt,K1,,65.95\nB,skirt,K1,,65.94\n";
    static const char parts[] = PARTS
        "K1,piston,E1,0,100,\nK1,piston,E2,30,80,?\nK1,piston,E1,150,,?\n";
    const time_case cases[] = {
        {__LINE__, "K1", "E1", 60, NAN, 0, 0, true, false},
        {__LINE__, "K1", "E2", 40, 0, 40, 30, true, false},
        {__LINE__, "K1", "E2", 80, 40, 40, 30, true, false},
        {__LINE__, "K1", "E1", 160, 50, 150, 150, true, false},
    };
    try_times(parts, visits, readings, cases, 4);
}

/* Read as it was fitted, and as it came off. */
static void readings_at_either_end_of_a_stay_count(void **state)
{
    (void)state;
    static const char readings[] = READINGS "A,skirt,K1,,65.95\nB,skirt,K1,,65.94\n";
    const time_case fitted[] = {{__LINE__, "K1", "E1", 65, 15, 50, 50, true, false}};
    const time_case removed[] = {{__LINE__, "K1", "E2", 17, 7, 10, 10, true, false}};
    try_times(PARTS "K1,piston,E1,50,,?\n", VISITS "A,E1,2026-01-01,50,\nB,E1,2026-02-01,60,\n",
              readings, fitted, 1);
    try_times(PARTS "K1,piston,E1,20,50,?\nK1,piston,E2,10,,\n",
              VISITS "A,E1,2026-01-01,50,\nB,E2,2026-02-01,15,\n", readings, removed, 1);
}

/* What the part ran before its history was lost is not asked, known or not. */
static void an_earlier_stay_without_end_does_not_matter(void **state)
{
    (void)state;
    static const char visits[] = VISITS "A,E2,2026-01-01,40,\n";
    static const char readings[] = READINGS "A,skirt,K1,,65.95\n";
    const time_case cases[] = {{__LINE__, "K1", "E2", 70, 30, 40, 30, true, false}};
    try_times(PARTS "K1,piston,E1,0,,\nK1,piston,E2,30,80,?\n", visits, readings, cases, 1);
}

/* E1's row has no end: nobody knows how long the part ran there. */
static void a_stay_without_end_tells_nothing_of_later_ones(void **state)
{
    (void)state;
    const time_case cases[] = {
        {__LINE__, "K1", "E1", 80, 30, 50, 0, true, false},
        {__LINE__, "K1", "E2", 40, NAN, 30, 30, true, false},
    };
    try_times(PARTS "K1,piston,E1,?,,\nK1,piston,E2,30,,\n", visits_50_80, skirt_at_50, cases, 2);
}

/* Off and back at 70 h: one stay, also for the first reading in it. */
static void touching_stays_are_one_with_unknown_history(void **state)
{
    (void)state;
    const time_case cases[] = {
        {__LINE__, "K1", "E1", 60, 10, 50, 10, true, false},
        {__LINE__, "K1", "E1", 80, 30, 50, 10, true, false},
    };
    const time_case second_says[] = {
        {__LINE__, "K1", "E1", 60, 10, 50, 10, true, false},
        {__LINE__, "K1", "E1", 80, 30, 50, 10, true, false},
    };
    try_times(PARTS "K1,piston,E1,10,70,?\nK1,piston,E1,70,,\n", visits_50_80, skirt_at_50, cases,
              2);
    try_times(PARTS "K1,piston,E1,10,70,\nK1,piston,E1,70,,?\n", visits_50_80, skirt_at_50,
              second_says, 2);
}

/* A ring set's side clearance reads the piston too; a bore does not, nor does a condition. */
static void side_clearance_is_a_reading_of_the_piston(void **state)
{
    (void)state;
    static const char visits[] = VISITS "A,E1,2026-01-01,20,\nB,E1,2026-02-01,30,\n"
                                        "C,E1,2026-03-01,50,\n";
    static const char readings[] = READINGS "A,bore,,,66.01\nB,side_clearance,R1,1,0.05\n"
                                            "C,skirt,K1,,65.95\n";
    const time_case cases[] = {
        {__LINE__, "K1", "E1", 50, 20, 30, 0, true, false},
        {__LINE__, "R1", "E1", 50, 20, 30, 0, true, false},
        {__LINE__, "C1", "E1", 50, 30, 20, 0, true, false},
    };
    try_times(PARTS "C1,cylinder,E1,?,,\nK1,piston,E1,?,,\nR1,ring_set,E1,?,,\n", visits, readings,
              cases, 3);
}

/* A reading of the part that went before, or outside the stay, is none of this one's. */
static void readings_of_other_parts_do_not_count(void **state)
{
    (void)state;
    static const char visits[] = VISITS "A,E1,2026-01-01,40,found\nB,E1,2026-02-01,40,built\n"
                                        "C,E1,2026-03-01,90,\n";
    static const char readings[] = READINGS "A,skirt,,,65.95\nC,skirt,,,65.94\n";
    const time_case cases[] = {
        {__LINE__, "K2", "E1", 90, 0, 90, 40, true, false},
        {__LINE__, "K1", "E1", 40, 0, 40, 0, true, false},
    };
    try_times(PARTS "K1,piston,E1,?,40,\nK2,piston,E1,40,,?\n", visits, readings, cases, 2);
}

/* ---- the axis of a series ----------------------------------------------------------------- */

typedef struct bench {
    te_made_shop made;
    te_history history;
} bench;

static void make(bench *b, const te_shop_file *files, const char *engine)
{
    *b = (bench){0};
    te_made_read(&b->made, base, files);
    assert_int_equal(
        te_history_make(&b->history, b->made.shop, NULL, te_made_engine(&b->made, engine)), TE_OK);
    assert_true(due_ways_agree(b->made.shop, te_made_engine(&b->made, engine)));
}

static void clear(bench *b)
{
    te_history_free(&b->history);
    te_made_free(&b->made);
}

/* The series of a quantity of a part or pair ("C1+K1"); NULL when there is none. */
static const te_series *find(const bench *b, const char *quantity, const char *parts)
{
    for (size_t i = 0; i < b->history.series_count; i++) {
        const te_series *s = &b->history.series[i];
        char name[64];
        (void)snprintf(name, sizeof name, "%s%s%s", te_shop_text(b->made.shop, s->part),
                       s->second_part ? "+" : "", te_shop_text(b->made.shop, s->second_part));
        if (strcmp(te_shop_quantity_name(b->made.shop, s->quantity), quantity) == 0 &&
            strcmp(name, parts) == 0)
            return s;
    }
    return NULL;
}

static void write_points(char *out, size_t size, const bench *b, const te_series *s)
{
    size_t used = 0;
    out[0] = '\0';
    for (uint32_t i = 0; i < s->point_count; i++) {
        const te_point *p = &b->history.points[s->first_point + i];
        int added = snprintf(out + used, size - used, "%s%.9g%s%s", i ? " " : "", p->hours,
                             p->assumed ? "a" : "", p->fitted ? "" : "r");
        used += (size_t)added;
        assert_true(used < size);
    }
}

/* Fails unless a series has these points, and so many measurements on no common axis. */
static const te_series *expect_points(const bench *b, const char *quantity, const char *parts,
                                      const char *points, unsigned dropped, int line)
{
    char is[128];
    const te_series *s = find(b, quantity, parts);
    if (!s) {
        fail_msg("line %d: there is no series %s of %s", line, quantity, parts);
        return NULL;
    }
    write_points(is, sizeof is, b, s);
    if (strcmp(is, points) != 0 || s->dropped != dropped)
        fail_msg("line %d: %s of %s is %s and %u dropped, expected %s and %u", line, quantity,
                 parts, is, (unsigned)s->dropped, points, dropped);
    return s;
}

/* The later of two fitted, whichever it is: 60 h. The parts themselves have hours of their own. */
static void a_pair_counts_from_the_later_fitting(void **state)
{
    (void)state;
    static const char visits[] = VISITS "A,E1,2026-01-01,80,\nB,E1,2026-02-01,150,\n";
    static const char readings[] = READINGS "A,bore,,,66.01\nA,skirt,,,65.95\n"
                                            "B,bore,,,66.02\nB,skirt,,,65.94\n";
    const te_shop_file piston_later[] = {
        {"parts.csv", PARTS "C1,cylinder,E1,10,,5\nK1,piston,E1,60,,1000\n"},
        {"inspections.csv", visits},
        {"readings.csv", readings},
        {NULL, NULL}};
    const te_shop_file cylinder_later[] = {
        {"parts.csv", PARTS "K1,piston,E1,10,,5\nC1,cylinder,E1,60,,1000\n"},
        {"inspections.csv", visits},
        {"readings.csv", readings},
        {NULL, NULL}};
    bench b;
    make(&b, piston_later, "E1");
    expect_points(&b, "skirt_clearance", "C1+K1", "20 90", 0, __LINE__);
    expect_points(&b, "bore", "C1", "75 145", 0, __LINE__);
    expect_points(&b, "skirt", "K1", "1020 1090", 0, __LINE__);
    clear(&b);
    make(&b, cylinder_later, "E1");
    expect_points(&b, "skirt_clearance", "C1+K1", "20 90", 0, __LINE__);
    clear(&b);
}

/* An original cylinder with a piston fitted at 60 h, and two original parts. */
static void a_pair_with_an_original_part(void **state)
{
    (void)state;
    const te_shop_file files[] = {
        {"parts.csv", PARTS "K1,piston,E1,60,,\n"},
        {"inspections.csv", VISITS "A,E1,2026-01-01,40,\nB,E1,2026-02-01,80,\n"},
        {"readings.csv", READINGS "A,bore,,,66.01\nA,skirt,,,65.95\nB,bore,,,66.02\n"
                                  "B,skirt,,,65.94\n"},
        {NULL, NULL}};
    bench b;
    make(&b, files, "E1");
    const te_series *pair = expect_points(&b, "skirt_clearance", "E1/cylinder+K1", "20", 0,
                                          __LINE__);
    assert_true(pair->original);
    assert_true(pair->fitted_now);
    const te_series *old = expect_points(&b, "skirt_clearance", "E1/cylinder+E1/piston", "40", 0,
                                         __LINE__);
    assert_true(old->original);
    assert_false(old->fitted_now);
    assert_true(expect_points(&b, "bore", "E1/cylinder", "40 80", 0, __LINE__)->original);
    clear(&b);
}

static void a_part_with_an_original_second(void **state)
{
    (void)state;
    const te_shop_file files[] = {{"parts.csv", PARTS "C1,cylinder,E1,30,,\n"},
                                  {"inspections.csv", VISITS "A,E1,2026-01-01,80,\n"},
                                  {"readings.csv", READINGS "A,bore,,,66.01\nA,skirt,,,65.95\n"},
                                  {NULL, NULL}};
    bench b;
    make(&b, files, "E1");
    assert_true(expect_points(&b, "skirt_clearance", "C1+E1/piston", "50", 0, __LINE__)->original);
    assert_false(expect_points(&b, "bore", "C1", "50", 0, __LINE__)->original);
    clear(&b);
}

/* A part with a row is not original, nor unknown. */
static void a_part_with_a_row_is_not_original(void **state)
{
    (void)state;
    const te_shop_file files[] = {{"parts.csv", PARTS "K1,piston,E1,60,,\n"},
                                  {"inspections.csv", VISITS "B,E1,2026-02-01,80,\n"},
                                  {"readings.csv", READINGS "B,skirt,,,65.94\n"},
                                  {NULL, NULL}};
    bench b;
    make(&b, files, "E1");
    assert_false(expect_points(&b, "skirt", "K1", "20", 0, __LINE__)->original);
    assert_false(find(&b, "skirt", "K1")->unknown);
    clear(&b);
}

/* K1 makes room for K2 from 100 to 200 h. */
static const char parted[] = PARTS "C1,cylinder,E1,0,,\nK1,piston,E1,0,100,\n"
                                   "K2,piston,E1,100,200,\nK1,piston,E1,200,,100\n";

static void a_pair_together_again_has_only_the_points_since(void **state)
{
    (void)state;
    const te_shop_file files[] = {
        {"parts.csv", parted},
        {"inspections.csv", VISITS "A,E1,2026-01-01,50,\nB,E1,2026-02-01,100,found\n"
                                   "C,E1,2026-02-02,100,built\nD,E1,2026-03-01,150,\n"
                                   "E,E1,2026-04-01,200,built\nF,E1,2026-05-01,260,\n"},
        {"readings.csv", READINGS "A,bore,,,66.01\nA,skirt,,,65.95\nB,bore,,,66.02\n"
                                  "B,skirt,,,65.94\nC,bore,,,66.02\nC,skirt,,,65.96\n"
                                  "D,bore,,,66.03\nD,skirt,,,65.95\nE,bore,,,66.04\n"
                                  "E,skirt,,,65.94\nF,bore,,,66.05\nF,skirt,,,65.93\n"},
        {NULL, NULL}};
    bench b;
    make(&b, files, "E1");
    const te_series *again = expect_points(&b, "skirt_clearance", "C1+K1", "0 60", 2, __LINE__);
    assert_true(again->fitted_now);
    const te_series *gone = expect_points(&b, "skirt_clearance", "C1+K2", "0 50", 0, __LINE__);
    assert_false(gone->fitted_now);
    expect_points(&b, "bore", "C1", "50 100 100 150 200 260", 0, __LINE__);
    assert_true(expect_points(&b, "skirt", "K1", "50 100 100 160", 0, __LINE__)->fitted_now);
    assert_false(expect_points(&b, "skirt", "K2", "0 50", 0, __LINE__)->fitted_now);
    clear(&b);
}

/* Off and back at the same hours is not parting. */
static void a_pair_off_and_back_has_not_parted(void **state)
{
    (void)state;
    const te_shop_file files[] = {
        {"parts.csv", PARTS "C1,cylinder,E1,0,,\nK1,piston,E1,0,100,\nK1,piston,E1,100,,\n"},
        {"inspections.csv", VISITS "A,E1,2026-01-01,50,\nB,E1,2026-02-01,150,\n"},
        {"readings.csv", READINGS "A,bore,,,66.01\nA,skirt,,,65.95\nB,bore,,,66.02\n"
                                  "B,skirt,,,65.94\n"},
        {NULL, NULL}};
    bench b;
    make(&b, files, "E1");
    expect_points(&b, "skirt_clearance", "C1+K1", "50 150", 0, __LINE__);
    clear(&b);
}

/* Both go from E1, where the pair began at 10 h, to E2, where it begins at 10 h again: parted all
 * the same. Seen from either engine. */
static void a_pair_that_moves_together_counts_as_parted(void **state)
{
    (void)state;
    const te_shop_file files[] = {
        {"parts.csv", PARTS "C1,cylinder,E1,10,100,\nK1,piston,E1,10,100,\n"
                            "C1,cylinder,E2,10,,90\nK1,piston,E2,10,,90\n"},
        {"inspections.csv", VISITS "A,E1,2026-01-01,50,\nB,E2,2026-02-01,30,\n"
                                   "C,E2,2026-03-01,70,\n"},
        {"readings.csv", READINGS "A,bore,,,66.01\nA,skirt,,,65.95\nB,bore,,,66.02\n"
                                  "B,skirt,,,65.94\nC,bore,,,66.03\nC,skirt,,,65.93\n"},
        {NULL, NULL}};
    static const char *const engines[] = {"E1", "E2"};
    for (size_t i = 0; i < 2; i++) {
        bench b;
        make(&b, files, engines[i]);
        const te_series *s = expect_points(&b, "skirt_clearance", "C1+K1", "20 60", 1, __LINE__);
        assert_int_equal(s->engine, te_made_engine(&b.made, "E2"));
        assert_true(s->fitted_now);
        expect_points(&b, "bore", "C1", "40 110 150", 0, __LINE__);
        expect_points(&b, "skirt", "K1", "40 110 150", 0, __LINE__);
        clear(&b);
    }
}

/* C1 with an unknown history, first read at 30 h: a pair counts from that, or from the fitting of
 * K1 where that is later. */
static void a_pair_with_an_unknown_part(void **state)
{
    (void)state;
    static const char visits[] = VISITS "A,E1,2026-01-01,30,\nB,E1,2026-02-01,90,\n"
                                        "C,E1,2026-03-01,150,\n";
    static const char readings[] = READINGS "A,bore,,,66.01\nB,bore,,,66.02\nB,skirt,,,65.95\n"
                                            "C,bore,,,66.03\nC,skirt,,,65.94\n";
    te_shop_file files[] = {{"parts.csv", PARTS "C1,cylinder,E1,?,,\nK1,piston,E1,10,,\n"},
                            {"inspections.csv", visits},
                            {"readings.csv", readings},
                            {NULL, NULL}};
    bench b;
    make(&b, files, "E1");
    assert_true(expect_points(&b, "skirt_clearance", "C1+K1", "60 120", 0, __LINE__)->unknown);
    assert_true(expect_points(&b, "bore", "C1", "0 60 120", 0, __LINE__)->unknown);
    assert_false(expect_points(&b, "skirt", "K1", "80 140", 0, __LINE__)->unknown);
    clear(&b);
    files[0].text = PARTS "C1,cylinder,E1,?,,\nK1,piston,E1,60,,\n";
    make(&b, files, "E1");
    expect_points(&b, "skirt_clearance", "C1+K1", "30 90", 0, __LINE__);
    clear(&b);
    files[0].text = PARTS "C1,cylinder,E1,10,,\nK1,piston,E1,?,,\n"; /* read first at 90 h */
    make(&b, files, "E1");
    assert_true(expect_points(&b, "skirt_clearance", "C1+K1", "0 60", 0, __LINE__)->unknown);
    clear(&b);
}

/* The first reading was taken on E1; on E2 the pair counts from its fitting. */
static void an_unknown_part_in_a_later_stay(void **state)
{
    (void)state;
    const te_shop_file files[] = {
        {"parts.csv", PARTS "C1,cylinder,E1,?,100,\nC1,cylinder,E2,20,,\nK1,piston,E2,5,,\n"},
        {"inspections.csv", VISITS "A,E1,2026-01-01,50,\nB,E2,2026-02-01,30,\n"},
        {"readings.csv", READINGS "A,bore,,,66.01\nB,bore,,,66.02\nB,skirt,,,65.95\n"},
        {NULL, NULL}};
    bench b;
    make(&b, files, "E2");
    expect_points(&b, "skirt_clearance", "C1+K1", "10", 0, __LINE__);
    expect_points(&b, "bore", "C1", "0 60", 0, __LINE__);
    clear(&b);
}

/* Two readings before the row that says `?`, two since. */
static void measurements_before_an_unknown_row_are_dropped(void **state)
{
    (void)state;
    const te_shop_file files[] = {
        {"parts.csv", PARTS "C1,cylinder,E1,0,60,\nC1,cylinder,E2,?,,\n"},
        {"inspections.csv", VISITS "A,E1,2026-01-01,20,\nB,E1,2026-02-01,50,\n"
                                   "C,E2,2026-03-01,5,\nD,E2,2026-04-01,45,\n"},
        {"readings.csv", READINGS "A,bore,,,66.01\nB,bore,,,66.02\nC,bore,,,66.03\n"
                                  "D,bore,,,66.04\n"},
        {NULL, NULL}};
    bench b;
    make(&b, files, "E2");
    assert_true(expect_points(&b, "bore", "C1", "0 40", 2, __LINE__)->unknown);
    clear(&b);
}

/* A gap is measured in a cylinder but counts the ring set's hours; side clearance is a pair's. */
static void a_gap_has_the_ring_sets_hours(void **state)
{
    (void)state;
    const te_shop_file files[] = {
        {"parts.csv", PARTS "R1,ring_set,E1,20,,3\nC1,cylinder,E1,60,,\nK1,piston,E1,50,,\n"},
        {"inspections.csv", VISITS "A,E1,2026-01-01,70,\nB,E1,2026-02-01,120,\n"},
        {"readings.csv", READINGS "A,end_gap,,1,0.30\nA,side_clearance,,1,0.05\n"
                                  "B,end_gap,,1,0.32\nB,side_clearance,,1,0.06\n"},
        {NULL, NULL}};
    bench b;
    make(&b, files, "E1");
    expect_points(&b, "end_gap", "R1", "53 103", 0, __LINE__);
    expect_points(&b, "side_clearance", "R1+K1", "20 70", 0, __LINE__);
    clear(&b);
}

/* R1 ran in C1 to 100 h, then in C2: what was measured in C1 is no wear of the ring in C2. */
static void a_gap_in_another_cylinder_is_left_out(void **state)
{
    (void)state;
    te_shop_file files[] = {
        {"parts.csv", PARTS "R1,ring_set,E1,0,,\nC1,cylinder,E1,0,100,\nC2,cylinder,E1,100,,\n"},
        {"inspections.csv", VISITS "A,E1,2026-01-01,50,\nB,E1,2026-02-01,100,found\n"
                                   "C,E1,2026-02-02,100,built\nD,E1,2026-03-01,170,\n"},
        {"readings.csv", READINGS "A,end_gap,,1,0.30\nB,end_gap,,1,0.32\nC,end_gap,,1,0.40\n"
                                  "D,end_gap,,1,0.41\n"},
        {NULL, NULL}};
    bench b;
    make(&b, files, "E1");
    const te_series *s = expect_points(&b, "end_gap", "R1", "100 170", 2, __LINE__);
    assert_int_equal(s->cylinder, te_shop_find_text(b.made.shop, "C2"));
    assert_true(s->fitted_now);
    clear(&b);
    files[0].text = PARTS "R1,ring_set,E1,0,,\nC1,cylinder,E1,0,100,\nC2,cylinder,E1,100,200,\n";
    make(&b, files, "E1"); /* C2 came off later */
    s = expect_points(&b, "end_gap", "R1", "100 170", 2, __LINE__);
    assert_false(s->fitted_now);
    clear(&b);
}

/* K1 was on E2 from 30 to 90 h, borders included; what E2 read of its own pistons before and after
 * is not K1's, and an inspection of a third engine has no part. */
static void a_part_takes_its_readings_from_every_engine(void **state)
{
    (void)state;
    const te_shop_file files[] = {
        {"parts.csv", PARTS "K1,piston,E1,0,100,\nK1,piston,E2,30,90,100\nK1,piston,E1,150,,160\n"
                            "K8,piston,E2,0,30,\nK9,piston,E2,90,,\n"},
        {"inspections.csv", VISITS "A,E1,2026-01-01,60,\nO,E2,2026-01-05,20,\n"
                                   "B,E2,2026-02-01,30,built\nC,E2,2026-03-01,90,found\n"
                                   "P,E2,2026-03-05,95,\nD,E1,2026-04-01,170,\n"
                                   "Z,E3,2026-02-02,50,\n"},
        {"readings.csv", READINGS "A,skirt,,,65.95\nO,skirt,,,65.96\nB,skirt,,,65.94\n"
                                  "C,skirt,,,65.93\nP,skirt,,,65.96\nD,skirt,,,65.92\n"
                                  "Z,skirt,,,65.90\n"},
        {NULL, NULL}};
    bench b;
    make(&b, files, "E1");
    const te_series *s = expect_points(&b, "skirt", "K1", "60 100 160 180", 0, __LINE__);
    const te_point *p = &b.history.points[s->first_point];
    assert_near(p[1].engine_hours, 30, 0);
    assert_int_equal(p[1].engine, te_made_engine(&b.made, "E2"));
    assert_near(p[3].engine_hours, 170, 0);
    assert_int_equal(p[3].engine, te_made_engine(&b.made, "E1"));
    assert_int_equal(p[3].inspection, te_made_inspection(&b.made, "D"));
    assert_int_equal(s->inspection, te_made_inspection(&b.made, "D"));
    assert_null(find(&b, "skirt", "K8"));
    assert_null(find(&b, "skirt", "K9"));
    assert_null(find(&b, "skirt", "E3/piston"));
    assert_int_equal(b.history.inspection_count, 4); /* in order of date */
    static const char *const order[] = {"A", "B", "C", "D"};
    for (size_t i = 0; i < 4; i++)
        assert_int_equal(b.history.inspections[i], te_made_inspection(&b.made, order[i]));
    clear(&b);
}

/* ---- what is new -------------------------------------------------------------------------- */

static const char who_is_new[] = PARTS
    "C1,cylinder,E1,40,100,\nC2,cylinder,E1,100,,5\nK1,piston,E1,?,,\n"
    "C3,cylinder,E2,10,50,\nC4,cylinder,E2,70,90,\nC5,cylinder,E2,90,,\n"
    "K2,piston,E2,30,,60\nK2,piston,E1,200,,12\nC6,cylinder,E3,0,0,\nC8,cylinder,E4,0,,\n";

static void parts_that_start_new(void **state)
{
    (void)state;
    const te_shop_file files[] = {{"parts.csv", who_is_new}, {NULL, NULL}};
    te_made_shop made;
    te_made_read(&made, base, files);
    uint32_t e1 = te_made_engine(&made, "E1"), engine = 0;
    double hours = 0;
    te_id c1 = te_shop_find_text(made.shop, "C1"), k1 = te_shop_find_text(made.shop, "K1");
    assert_true(te_part_starts_new(made.shop, c1, e1, 40));
    assert_false(te_part_starts_new(made.shop, c1, e1, 40.01));
    assert_false(te_part_starts_new(made.shop, te_shop_find_text(made.shop, "C2"), e1, 100));
    assert_false(te_part_starts_new(made.shop, k1, e1, 0));
    assert_true(te_part_new_place(&engine, &hours, made.shop, c1, te_made_engine(&made, "E2")));
    assert_int_equal(engine, e1);
    assert_near(hours, 40, 0);
    assert_false(te_part_new_place(&engine, &hours, made.shop, k1, e1));
    assert_false(
        te_part_new_place(&engine, &hours, made.shop, te_shop_find_text(made.shop, "K2"), e1));
    te_made_free(&made);
}

/* A note holds the name of E3's original cylinder, which no inspection has. */
static void cylinders_that_are_new_at_some_hours(void **state)
{
    (void)state;
    const te_shop_file files[] = {
        {"parts.csv", who_is_new},
        {"engines.csv", "engine,model,note\nE1,M,E1/cylinder\nE2,M,\nE3,M,E3/cylinder\nE4,M,\n"},
        {NULL, NULL}};
    static const struct {
        long line;
        const char *engine, *cylinder;
        double hours;
        bool is_new, original;
    } cases[] = {
        {__LINE__, "E1", "C1", 40, true, false},
        {__LINE__, "E1", "C1", 60, false, false},
        {__LINE__, "E1", "C2", 40, false, false},  /* C1 is on */
        {__LINE__, "E1", "C2", 100, false, false}, /* goes on with 5 h before */
        {__LINE__, "E1", "C1", 100, false, false}, /* comes off */
        {__LINE__, "E1", "E1/cylinder", 0, true, true},
        {__LINE__, "E1", "E1/cylinder", 20, false, true}, /* used */
        {__LINE__, "E1", "C1", 0, false, false},          /* not on yet */
        {__LINE__, "E2", "C3", 60, false, false},         /* off */
        {__LINE__, "E2", "C5", 90, true, false},          /* goes on as C4 comes off */
        {__LINE__, "E2", "C4", 90, false, false},
        {__LINE__, "E4", "C8", 0, true, false},
        {__LINE__, "E4", "C5", 0, false, false}, /* C8 is on, new as it is */
        {__LINE__, "E3", "C6", 0, false, false}, /* came off at once */
        {__LINE__, "E3", "E3/cylinder", 0, false, true},
    };
    te_made_shop made;
    te_made_read(&made, base, files);
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        bool original = !cases[i].original;
        te_id cylinder = te_shop_find_text(made.shop, cases[i].cylinder);
        assert_int_not_equal(cylinder, 0);
        bool is_new = te_cylinder_new_at(&original, made.shop, cylinder,
                                         te_made_engine(&made, cases[i].engine), cases[i].hours);
        if (is_new != cases[i].is_new || original != cases[i].original)
            fail_msg("case of line %ld: new %d, original %d", cases[i].line, is_new, original);
    }
    te_made_free(&made);
}

/* K1 went on at 50 h, off and back at 100; K2 came off; K3 came back at 200 h. */
static void parts_that_are_on_since_some_hours(void **state)
{
    (void)state;
    const te_shop_file files[] = {{"parts.csv", PARTS
                                   "K1,piston,E1,50,100,\nK1,piston,E1,100,,\nK2,piston,E2,0,90,\n"
                                   "K3,piston,E3,10,60,\nK3,piston,E3,200,,50\n"},
                                  {NULL, NULL}};
    static const struct {
        long line;
        const char *part, *engine;
        double hours;
        bool on;
    } cases[] = {{__LINE__, "K1", "E1", 49.9, false}, {__LINE__, "K1", "E1", 50, true},
                 {__LINE__, "K1", "E1", 300, true},   {__LINE__, "K1", "E2", 300, false},
                 {__LINE__, "K2", "E2", 50, false},   {__LINE__, "K3", "E3", 50, false},
                 {__LINE__, "K3", "E3", 200, true}};
    te_made_shop made;
    te_made_read(&made, base, files);
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++)
        if (te_part_on_since(made.shop, te_shop_find_text(made.shop, cases[i].part), TE_KIND_PISTON,
                             te_made_engine(&made, cases[i].engine), cases[i].hours) != cases[i].on)
            fail_msg("case of line %ld", cases[i].line);
    te_made_free(&made);
}

/* ---- errors ------------------------------------------------------------------------------- */

/* An error on E2 (a piston on a cylinder's feature) touches K1 and K2, which were there, and no
 * other part of E1. Reads with errors, so not by te_made_read. */
static void broken_shop(te_made_shop *made, const char *parts)
{
    const te_shop_file files[] = {
        base[0],
        base[1],
        {"parts.csv", parts},
        {"inspections.csv", VISITS "A,E1,2026-01-01,50,\nB,E2,2026-02-01,30,\n"
                                   "C,E1,2026-03-01,170,\n"},
        {"readings.csv", READINGS "A,bore,,,66.01\nA,skirt,,,65.95\nB,bore,K1,,66.02\n"
                                  "C,bore,,,66.03\nC,skirt,,,65.93\n"}};
    te_input inputs[5];
    for (size_t i = 0; i < 5; i++)
        inputs[i] = (te_input){files[i].name, files[i].text, strlen(files[i].text)};
    *made = (te_made_shop){0};
    te_problems_init(&made->problems);
    assert_int_equal(te_shop_read(&made->shop, &made->problems, inputs, 5, TE_FILE_EVERY),
                     TE_ERR_DATA);
    made->tables = te_shop_tables(made->shop);
    assert_true(te_shop_engine_touched(made->shop, &made->problems, te_made_engine(made, "E2")));
    assert_false(te_shop_engine_touched(made->shop, &made->problems, te_made_engine(made, "E1")));
}

static void parts_that_errors_touch_are_left_out(void **state)
{
    (void)state;
    bench b = {0};
    broken_shop(&b.made, PARTS "C1,cylinder,E1,0,,\nK1,piston,E1,0,60,\nK1,piston,E2,20,80,60\n"
                               "K2,piston,E1,60,,\n");
    assert_int_equal(
        te_history_make(&b.history, b.made.shop, &b.made.problems, te_made_engine(&b.made, "E1")),
        TE_OK);
    assert_int_equal(b.history.left_out, 1);
    assert_null(find(&b, "skirt", "K1"));
    assert_null(find(&b, "skirt_clearance", "C1+K1"));
    expect_points(&b, "bore", "C1", "50 170", 0, __LINE__);
    expect_points(&b, "skirt", "K2", "110", 0, __LINE__);
    expect_points(&b, "skirt_clearance", "C1+K2", "110", 0, __LINE__);
    assert_int_equal(b.history.inspection_count, 2); /* E2's is not looked at */
    assert_int_equal(
        te_history_make(&b.history, b.made.shop, &b.made.problems, te_made_engine(&b.made, "E3")),
        TE_OK);
    assert_int_equal(b.history.left_out, 0); /* of E3; not those of E1 any more */
    clear(&b);
}

/* Two stays on E1 with one on E2 between: one part. */
static void a_part_left_out_counts_once(void **state)
{
    (void)state;
    bench b = {0};
    broken_shop(&b.made, PARTS "C1,cylinder,E1,0,,\nK1,piston,E1,0,60,\nK1,piston,E2,20,80,60\n"
                               "K2,piston,E1,60,100,\nK1,piston,E1,100,,120\n");
    assert_int_equal(
        te_history_make(&b.history, b.made.shop, &b.made.problems, te_made_engine(&b.made, "E1")),
        TE_OK);
    assert_int_equal(b.history.left_out, 1);
    clear(&b);
}

/* A part that was never elsewhere is not touched, also one with two rows here. */
static void errors_elsewhere_leave_the_others_alone(void **state)
{
    (void)state;
    bench b = {0};
    broken_shop(&b.made, PARTS "K1,piston,E2,20,80,60\nK2,piston,E1,0,100,\n"
                               "K2,piston,E1,120,,100\n");
    assert_int_equal(
        te_history_make(&b.history, b.made.shop, &b.made.problems, te_made_engine(&b.made, "E1")),
        TE_OK);
    assert_int_equal(b.history.left_out, 0);
    expect_points(&b, "skirt", "K2", "50 150", 0, __LINE__);
    clear(&b);
}

static void touching_rows_of_unknown_history_in_any_order(void **state)
{
    (void)state;
    const time_case cases[] = {
        {__LINE__, "K1", "E1", 60, 10, 50, 10, true, false},
        {__LINE__, "K1", "E1", 80, 30, 50, 10, true, false},
    };
    try_times(PARTS "K1,piston,E1,70,,\nK1,piston,E1,10,70,?\n", visits_50_80, skirt_at_50, cases,
              2);
}
static void touching_rows_where_the_second_says_it(void **state)
{
    (void)state;
    const time_case cases[] = {
        {__LINE__, "K1", "E1", 60, 10, 50, 10, true, false},
        {__LINE__, "K1", "E1", 80, 30, 50, 10, true, false},
    };
    try_times(PARTS "K1,piston,E1,70,,?\nK1,piston,E1,10,70,\n", visits_50_80, skirt_at_50, cases,
              2);
}

/* ---- what was found before --------------------------------------------------------------- */

/* A list with one error, which touches an engine. */
static void touch_engine(te_problems *problems, const te_made_shop *made, const char *engine)
{
    const te_problem problem = {.severity = TE_ERROR,
                                .scope = TE_SCOPE_ENGINE,
                                .scope_id = te_shop_find_text(made->shop, engine)};
    te_problems_init(problems);
    te_problems_add(problems, &problem);
}

/* Whatever was asked for before, the answer is that of a search of its own. */
static void what_was_found_is_what_a_search_finds(void **state)
{
    (void)state;
    const te_shop_file files[] = {{"parts.csv", who_is_new}, {NULL, NULL}};
    static const double hours[] = {0, 40, 60, 90, 100, 250, INFINITY};
    static const struct {
        const char *name;
        te_kind kind;
    } parts[] = {{"C1", TE_KIND_CYLINDER}, {"C2", TE_KIND_CYLINDER}, {"C3", TE_KIND_CYLINDER},
                 {"C5", TE_KIND_CYLINDER}, {"K1", TE_KIND_PISTON},   {"K2", TE_KIND_PISTON}};
    te_made_shop made;
    te_problems problems;
    te_made_read(&made, base, files);
    touch_engine(&problems, &made, "E2");
    te_random random = te_random_start(1066);
    struct found_parts found = {.now = {{.is = false}}};
    size_t on_now = 0, touched_parts = 0;
    for (size_t round = 0; round < te_test_rounds(2000); round++) {
        size_t at = te_random_below(&random, sizeof parts / sizeof *parts);
        te_id part = te_shop_find_text(made.shop, parts[at].name);
        te_kind kind = parts[at].kind;
        uint32_t engine = te_made_engine(&made, te_random_below(&random, 2) ? "E1" : "E2");
        double when = hours[te_random_below(&random, 7)];
        te_part_time time;
        te_part_time_at(&time, made.shop, part, engine, when);
        const te_part_time *again = te_find_time(&found, made.shop, part, kind, engine, when);
        assert_true(isnan(time.own) ? isnan(again->own) : te_near(again->own, time.own, 0));
        assert_near(again->joined, time.joined, 0);
        assert_near(again->fitted, time.fitted, 0);
        assert_true(again->unknown == time.unknown && again->original == time.original);

        bool now = te_find_on_now(&found, made.shop, part, kind, engine);
        assert_true(now == te_part_on_now(made.shop, part, kind, engine));
        assert_true(te_find_on_since(&found, made.shop, part, kind, engine, when) ==
                    te_part_on_since(made.shop, part, kind, engine, when));
        bool touched = te_find_touched(&found, made.shop, &problems, part, kind);
        assert_true(touched == te_part_touched(made.shop, &problems, part));
        on_now += now;
        touched_parts += touched;
    }
    assert_true(on_now > 100 && touched_parts > 100);
    te_problems_free(&problems);
    te_made_free(&made);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(own_hours_count_hours_before),
        cmocka_unit_test(original_part_counts_from_0),
        cmocka_unit_test(moved_and_back_in_any_order_of_rows),
        cmocka_unit_test(touching_stays_are_one),
        cmocka_unit_test(stays_that_do_not_touch_are_apart),
        cmocka_unit_test(unknown_history_counts_from_the_first_reading),
        cmocka_unit_test(unknown_history_goes_through_engines),
        cmocka_unit_test(first_reading_on_another_engine),
        cmocka_unit_test(nothing_is_known_before_an_unknown_row),
        cmocka_unit_test(readings_at_either_end_of_a_stay_count),
        cmocka_unit_test(an_earlier_stay_without_end_does_not_matter),
        cmocka_unit_test(a_stay_without_end_tells_nothing_of_later_ones),
        cmocka_unit_test(touching_stays_are_one_with_unknown_history),
        cmocka_unit_test(touching_rows_of_unknown_history_in_any_order),
        cmocka_unit_test(touching_rows_where_the_second_says_it),
        cmocka_unit_test(side_clearance_is_a_reading_of_the_piston),
        cmocka_unit_test(readings_of_other_parts_do_not_count),
        cmocka_unit_test(a_pair_counts_from_the_later_fitting),
        cmocka_unit_test(a_pair_with_an_original_part),
        cmocka_unit_test(a_part_with_an_original_second),
        cmocka_unit_test(a_part_with_a_row_is_not_original),
        cmocka_unit_test(a_pair_together_again_has_only_the_points_since),
        cmocka_unit_test(a_pair_off_and_back_has_not_parted),
        cmocka_unit_test(a_pair_that_moves_together_counts_as_parted),
        cmocka_unit_test(a_pair_with_an_unknown_part),
        cmocka_unit_test(an_unknown_part_in_a_later_stay),
        cmocka_unit_test(measurements_before_an_unknown_row_are_dropped),
        cmocka_unit_test(a_gap_has_the_ring_sets_hours),
        cmocka_unit_test(a_gap_in_another_cylinder_is_left_out),
        cmocka_unit_test(a_part_takes_its_readings_from_every_engine),
        cmocka_unit_test(parts_that_start_new),
        cmocka_unit_test(cylinders_that_are_new_at_some_hours),
        cmocka_unit_test(parts_that_are_on_since_some_hours),
        cmocka_unit_test(parts_that_errors_touch_are_left_out),
        cmocka_unit_test(a_part_left_out_counts_once),
        cmocka_unit_test(errors_elsewhere_leave_the_others_alone),
        cmocka_unit_test(what_was_found_is_what_a_search_finds),
    };
    return cmocka_run_group_tests_name("hours", tests, NULL, NULL);
}
