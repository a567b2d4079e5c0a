/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * When an engine is due, from small shops. No materials, so that values are the readings. The gauge
 * N states no uncertainty: two points have a rate and no interval, and the hours at the limit are
 * those of the straight line through them. G has a resolution of 0.006 mm (a variance of 3e-6 mm^2
 * that each reading has of its own) and a calibration of 0.004 / 2 mm.
 */
#include "te_shop_text.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "due_ways.h"

#define PARTS     "part,kind,engine,fitted_hours,removed_hours,hours_before\n"
#define VISITS    "inspection,engine,date,hours,state\n"
#define READINGS  "inspection,feature,part,item,reading,instrument\n"
#define LIMITS    "model,quantity,item,unit,new_min,new_max,service_min,service_max,required,source\n"
#define CONDITION "inspection,part,finding,severity\n"

#define BORE      "M,bore,,mm,,,,66.10,no,invented\n"
#define SKIRT     "M,skirt,,mm,,,65.80,,no,invented\n"
#define CLEARANCE "M,skirt_clearance,,mm,,,,0.20,no,invented\n"

#define TWO_VISITS VISITS "A,E1,2026-01-01,100,\nB,E1,2026-02-01,200,\n"

static const te_shop_file base[] = {
    {"engines.csv", "engine,model\nE1,M\nE2,M\n"},
    {"instruments.csv", "instrument,unit,resolution,expanded_uncertainty\n"
                        "G,mm,0.006,0.004\nN,mm,0.006,\n"},
    {"limits.csv", LIMITS BORE SKIRT},
    {"parts.csv", PARTS},
    {"inspections.csv", TWO_VISITS},
    {"readings.csv", READINGS "A,bore,,,66.02,N\nB,bore,,,66.04,N\n"},
    {NULL, NULL},
};

/* A shop and when one of its engines is due. */
typedef struct bench {
    te_made_shop made;
    te_history history, alone;
    te_assessment assessment;
    te_due due;
} bench;

static void look_at(bench *b, const char *engine)
{
    uint32_t at = te_made_engine(&b->made, engine);
    assert_true(due_both_ways(&b->due, &b->history, &b->alone, &b->assessment, b->made.shop, at));
}

static void open_bench(bench *b, const te_shop_file *changes)
{
    *b = (bench){0};
    te_made_read(&b->made, base, changes);
    look_at(b, "E1");
}

static void close_bench(bench *b)
{
    te_assessment_free(&b->assessment);
    te_history_free(&b->history);
    te_history_free(&b->alone);
    te_made_free(&b->made);
}

/* `bore of E1/cylinder best 500 in 300`: what decides, the basis, engine hours, hours left. */
static void write_due(te_grown *out, const bench *b)
{
    const te_due *due = &b->due;
    if (due->quantity != TE_Q_NONE) {
        te_grown_add(out, "%s%s of %s", te_shop_quantity_name(b->made.shop, due->quantity),
                     te_shop_text(b->made.shop, due->item), te_shop_text(b->made.shop, due->part));
        if (due->second_kind != TE_KIND_NONE)
            te_grown_add(out, "+%s", te_shop_text(b->made.shop, due->second_part));
        te_grown_add(out, " ");
    }
    te_grown_add(out, "%s %.9g in %.9g%s", te_due_basis_name(due->basis), due->due_hours,
                 due->hours_left, due->met ? " met" : "");
}

static void expect_due(const bench *b, int line, const char *expected)
{
    te_grown is = {0};
    write_due(&is, b);
    if (strcmp(is.text, expected) != 0)
        fail_msg("line %d is due: %s; expected %s", line, is.text, expected);
    te_grown_free(&is);
}

static void try_due(int line, const te_shop_file *changes, const char *expected)
{
    bench b;
    open_bench(&b, changes);
    expect_due(&b, line, expected);
    close_bench(&b);
}

/* With these readings, and the base's other files. */
static void try_readings(int line, const char *readings, const char *expected)
{
    const te_shop_file files[] = {{"readings.csv", readings}, {NULL, NULL}};
    try_due(line, files, expected);
}

/* ---- which series decides ----------------------------------------------------------------- */

/* The bore grows by 0.0002 mm/h and reaches 66.10 at 200 + 0.06 / 0.0002 = 500 h. The skirt shrinks
 * by 0.0004 and reaches 65.80 at 200 + 0.1 / 0.0004 = 450 h; by 0.0003 from 65.905, at 550 h. */
static void the_smallest_over_the_fitted_parts(void **state)
{
    (void)state;
    try_readings(__LINE__,
                 READINGS "A,bore,,,66.02,N\nB,bore,,,66.04,N\nA,skirt,,,65.94,N\n"
                          "B,skirt,,,65.90,N\n",
                 "skirt of E1/piston best 450 in 250");
    try_readings(__LINE__,
                 READINGS "A,bore,,,66.02,N\nB,bore,,,66.04,N\nA,skirt,,,65.935,N\n"
                          "B,skirt,,,65.905,N\n",
                 "bore of E1/cylinder best 500 in 300");
}

/* R: q <- qnorm(.95); r <- .03/100
 *   f <- function(d) 66.05 + r*d + q*sqrt(3e-6 + .002^2 + 2*(3e-6/100)*d + 2*3e-6/100^2*d^2) - 66.1
 *   200 + uniroot(f, c(0,1e4), tol=1e-13)$root
 * The best estimate would be 366.7 h. */
static void the_earliest_hours_where_there_is_an_interval(void **state)
{
    (void)state;
    try_readings(__LINE__, READINGS "A,bore,,,66.02,G\nB,bore,,,66.05,G\n",
                 "bore of E1/cylinder earliest 338.296767 in 138.296767");
}

/* Three points not stated have the scatter about their line. R: t <- c(100,150,200)
 *   y <- c(66.020,66.036,66.050); m <- lm(y ~ I(t-200)); V <- vcov(m); b <- coef(m); q <- qt(.95,1)
 *   f <- function(d) b[1]+b[2]*d + q*sqrt(V[1,1]+2*V[1,2]*d+V[2,2]*d^2) - 66.1
 *   200 + uniroot(f, c(0,1e4), tol=1e-13)$root
 * The best estimate would be 365.6 h. */
static void three_points_not_stated_have_an_interval(void **state)
{
    (void)state;
    const te_shop_file files[] = {
        {"inspections.csv",
         VISITS "A,E1,2026-01-01,100,\nC,E1,2026-01-15,150,\nB,E1,2026-02-01,200,\n"},
        {"readings.csv", READINGS "A,bore,,,66.020,N\nC,bore,,,66.036,N\nB,bore,,,66.050,N\n"},
        {NULL, NULL}};
    try_due(__LINE__, files, "bore of E1/cylinder earliest 322.481582 in 122.481582");
}

/* The bore at 338.3 h at the earliest; the skirt at best at 200 + 0.12 / 0.001 = 320 h, then with
 * 0.11 / 0.0006 after 183.3 h, that is at 383.3 h. */
static void a_best_estimate_is_compared_with_earliest_hours(void **state)
{
    (void)state;
    try_readings(__LINE__,
                 READINGS "A,bore,,,66.02,G\nB,bore,,,66.05,G\nA,skirt,,,66.02,N\n"
                          "B,skirt,,,65.92,N\n",
                 "skirt of E1/piston best 320 in 120");
    try_readings(__LINE__,
                 READINGS "A,bore,,,66.02,G\nB,bore,,,66.05,G\nA,skirt,,,65.97,N\n"
                          "B,skirt,,,65.91,N\n",
                 "bore of E1/cylinder earliest 338.296767 in 138.296767");
}

/* Ring 2 reaches 0.80 at 200 + 0.3 / 0.002 = 350 h, ring 1 later. */
static void the_item_is_told(void **state)
{
    (void)state;
    const te_shop_file files[] = {{"limits.csv", LIMITS "M,end_gap,,mm,,,,0.80,no,invented\n"},
                                  {"readings.csv",
                                   READINGS "A,end_gap,,1,0.40,N\nB,end_gap,,1,0.45,N\n"
                                            "A,end_gap,,2,0.30,N\nB,end_gap,,2,0.50,N\n"},
                                  {NULL, NULL}};
    bench b;
    open_bench(&b, files);
    expect_due(&b, __LINE__, "end_gap2 of E1/ring_set best 350 in 150");
    assert_near(b.due.limit, 0.8, 0);
    assert_int_equal(b.due.side, TE_SIDE_HIGH);
    assert_int_equal(b.due.measured, te_made_inspection(&b.made, "B"));
    assert_int_equal(b.due.kind, TE_KIND_RING_SET);
    assert_int_equal(b.due.second_kind, TE_KIND_NONE);
    close_bench(&b);
}

/* 0.10 grows to 0.15 in 100 h: 0.20 at 300 h. A pair has no engine hours of its own. */
static void a_pair_decides_as_well(void **state)
{
    (void)state;
    const te_shop_file files[] = {{"limits.csv", LIMITS CLEARANCE},
                                  {"parts.csv", PARTS "C1,cylinder,E1,50,,7\nK1,piston,E1,60,,9\n"},
                                  {"readings.csv",
                                   READINGS "A,bore,,,66.02,N\nA,skirt,,,65.92,N\n"
                                            "B,bore,,,66.05,N\nB,skirt,,,65.90,N\n"},
                                  {NULL, NULL}};
    bench b;
    open_bench(&b, files);
    expect_due(&b, __LINE__, "skirt_clearance of C1+K1 best 300 in 100");
    assert_int_equal(b.due.kind, TE_KIND_CYLINDER);
    assert_int_equal(b.due.second_kind, TE_KIND_PISTON);
    close_bench(&b);
}

/* ---- met already -------------------------------------------------------------------------- */

/* Least squares: 66.095, 66.085, 66.101 at 100, 150, 200 h lie about 66.0967 at 200 h, below the
 * limit; the last value itself is past it. 66.08, 66.16, 66.09: about 66.115, the value is below. */
static void nothing_is_left_where_value_or_line_is_past_the_limit(void **state)
{
    (void)state;
    static const char *const readings[] = {
        READINGS "A,bore,,,66.095,N\nC,bore,,,66.085,N\nB,bore,,,66.101,N\n",
        READINGS "A,bore,,,66.08,N\nC,bore,,,66.16,N\nB,bore,,,66.09,N\n"};
    for (size_t i = 0; i < 2; i++) {
        const te_shop_file files[] = {
            {"inspections.csv",
             VISITS "A,E1,2026-01-01,100,\nC,E1,2026-01-15,150,\nB,E1,2026-02-01,200,\n"},
            {"readings.csv", readings[i]},
            {NULL, NULL}};
        try_due(__LINE__, files, "bore of E1/cylinder earliest 200 in 0 met");
    }
    /* a lone point has no line; that it is past its limit tells all */
    const te_shop_file lone[] = {{"readings.csv", READINGS "B,bore,,,66.11,N\n"}, {NULL, NULL}};
    bench b;
    open_bench(&b, lone);
    expect_due(&b, __LINE__, "bore of E1/cylinder earliest 200 in 0 met");
    assert_int_equal(b.due.untold, 0);
    close_bench(&b);
}

/* ---- the model's interval ----------------------------------------------------------------- */

static void try_interval(int line, const char *models, const char *readings, const char *expected)
{
    const te_shop_file files[] = {{"models.csv", models}, {"readings.csv", readings}, {NULL, NULL}};
    try_due(line, files, expected);
}

static void not_later_than_inspect_every_hours(void **state)
{
    (void)state;
    static const char bore[] = READINGS "A,bore,,,66.02,N\nB,bore,,,66.04,N\n";
    try_interval(__LINE__, "model,inspect_every_hours\nM,150\n", bore, "interval 350 in 150");
    try_interval(__LINE__, "model,inspect_every_hours\nM,299\n", bore, "interval 499 in 299");
    try_interval(__LINE__, "model,inspect_every_hours\nM,301\n", bore,
                 "bore of E1/cylinder best 500 in 300");
    try_interval(__LINE__, "model,inspect_every_hours\nM,\n", bore,
                 "bore of E1/cylinder best 500 in 300");
    /* when no series tells anything */
    try_interval(__LINE__, "model,inspect_every_hours\nM,150\n", READINGS "B,bore,,,66.04,N\n",
                 "interval 350 in 150");
}

/* Where the interval decides nothing of a series is told. */
static void an_interval_has_no_part(void **state)
{
    (void)state;
    const te_shop_file files[] = {
        {"models.csv", "model,inspect_every_hours\nM,150\n"},
        {"readings.csv", READINGS "A,bore,,,66.02,N\nB,bore,,,66.04,N\nB,skirt,,,65.9,N\n"},
        {NULL, NULL}};
    bench b;
    open_bench(&b, files);
    assert_int_equal(b.due.basis, TE_DUE_INTERVAL);
    assert_int_equal(b.due.quantity, TE_Q_NONE);
    assert_int_equal(b.due.part, 0);
    assert_int_equal(b.due.second_part, 0);
    assert_int_equal(b.due.item, 0);
    assert_int_equal(b.due.kind, TE_KIND_NONE);
    assert_int_equal(b.due.second_kind, TE_KIND_NONE);
    assert_false(b.due.original);
    assert_false(b.due.assumed);
    assert_true(isnan(b.due.limit));
    assert_int_equal(b.due.measured, TE_NO_INDEX);
    assert_false(b.due.scatter);
    /* the skirt has one point, and of the bore's rate the uncertainty is not known */
    assert_int_equal(b.due.untold, 2);
    close_bench(&b);
}

/* ---- what cannot be told ------------------------------------------------------------------ */

static void one_point_cannot_tell(void **state)
{
    (void)state;
    const te_shop_file files[] = {
        {"readings.csv", READINGS "B,bore,,,66.04,N\nB,skirt,,,65.9,N\nB,squish,,,1.2,N\n"},
        {NULL, NULL}};
    bench b;
    open_bench(&b, files);
    expect_due(&b, __LINE__, "cannot_tell nan in nan");
    assert_true(isnan(b.due.due_hours));
    assert_true(isnan(b.due.hours_left));
    assert_int_equal(b.due.untold, 2); /* squish has no limit */
    assert_int_not_equal(b.due.inspection, TE_NO_INDEX);
    assert_false(te_due_is_over(&b.due));
    close_bench(&b);
}

/* A rate that leads nowhere tells all when it is known how wrong it may be: by G -0.0001 +- 1.645 *
 * sqrt(6e-6) / 100 per hour is below 0. */
static void a_rate_away_from_the_limit_cannot_tell(void **state)
{
    (void)state;
    static const char *const readings[] = {READINGS "A,bore,,,66.05,N\nB,bore,,,66.04,N\n",
                                           READINGS "A,bore,,,66.05,G\nB,bore,,,66.04,G\n"};
    for (size_t i = 0; i < 2; i++) {
        const te_shop_file files[] = {{"readings.csv", readings[i]}, {NULL, NULL}};
        bench b;
        open_bench(&b, files);
        expect_due(&b, __LINE__, "cannot_tell nan in nan");
        assert_int_equal(b.due.untold, i == 0 ? 1 : 0);
        close_bench(&b);
    }
}

/* u = sqrt(3e-6 + 0.002^2) = 0.00265: 66.097 + 1.645 u = 66.1014 may be past 66.10 already, 66.095
 * cannot (66.0994). Without an uncertainty nobody knows. */
static void a_lone_value_near_its_limit_may_be_past_it(void **state)
{
    (void)state;
    try_readings(__LINE__, READINGS "B,bore,,,66.097,G\n", "bore of E1/cylinder earliest 200 in 0");
    try_readings(__LINE__, READINGS "B,bore,,,66.095,G\n", "cannot_tell nan in nan");
    try_readings(__LINE__, READINGS "B,bore,,,66.097,N\n", "cannot_tell nan in nan");
    try_readings(__LINE__, READINGS "B,skirt,,,65.803,G\n", "skirt of E1/piston earliest 200 in 0");
    try_readings(__LINE__, READINGS "B,skirt,,,65.805,G\n", "cannot_tell nan in nan");
}

/* Rates and limits of another model's engine, and points with places left out, may not tell all. */
static void what_does_not_tell_all_is_counted(void **state)
{
    (void)state;
    const te_shop_file other_model[] = {
        {"engines.csv", "engine,model\nE1,M\nE2,M2\n"},
        {"limits.csv", LIMITS BORE SKIRT "M2,skirt,,mm,,,65.80,,no,invented\n"},
        {"parts.csv", PARTS "K1,piston,E2,0,100,\nK1,piston,E1,50,,100\n"},
        {"inspections.csv", VISITS "P,E2,2026-01-01,20,\nQ,E2,2026-02-01,100,\n"
                                   "B,E1,2026-03-01,80,\n"},
        {"readings.csv", READINGS "P,skirt,,,65.94,G\nQ,skirt,,,65.90,G\nB,squish,,,1.2,N\n"},
        {NULL, NULL}};
    const te_shop_file places[] = {{"plan.csv", "model,feature,position\nM,bore,10\nM,bore,50\n"},
                                   {"readings.csv",
                                    "inspection,feature,position,reading,instrument\n"
                                    "A,bore,10,66.02,G\nB,bore,10,66.04,G\n"},
                                   {NULL, NULL}};
    const te_shop_file *const shops[] = {other_model, places};
    for (size_t i = 0; i < 2; i++) {
        bench b;
        open_bench(&b, shops[i]);
        assert_int_equal(b.due.basis, TE_DUE_EARLIEST); /* told, but not all */
        assert_int_equal(b.due.untold, 1);
        close_bench(&b);
    }
}

/* Inspected on two days, always at 0 h. One day may be a new engine's. */
static void without_an_hour_meter_it_cannot_tell(void **state)
{
    (void)state;
    static const struct {
        const char *visits;
        bool no_meter;
    } given[] = {
        {VISITS "A,E1,2026-01-01,0,\nB,E1,2026-02-01,0,\n", true},
        {VISITS "A,E1,2026-01-01,0,\nB,E1,2026-01-01,0,\n", false},
        {VISITS "A,E1,2026-01-01,0,\nB,E1,2026-02-01,0.1,\n", false},
        {VISITS "A,E1,2026-01-01,7,\nB,E1,2026-02-01,7,\n", false},
    };
    for (size_t i = 0; i < sizeof given / sizeof *given; i++) {
        const te_shop_file files[] = {{"models.csv", "model,inspect_every_hours\nM,150\n"},
                                      {"inspections.csv", given[i].visits},
                                      {"readings.csv", READINGS "A,squish,,,1.2,N\n"
                                                                "B,squish,,,1.2,N\n"},
                                      {NULL, NULL}};
        bench b;
        open_bench(&b, files);
        assert_int_equal(b.due.no_meter, given[i].no_meter);
        assert_int_equal(b.due.basis, given[i].no_meter ? TE_DUE_CANNOT_TELL : TE_DUE_INTERVAL);
        close_bench(&b);
    }
}

static void without_a_service_limit_nothing_is_told(void **state)
{
    (void)state;
    const te_shop_file files[] = {{"limits.csv", LIMITS "M,bore,,mm,66.0,66.05,,,no,invented\n"},
                                  {NULL, NULL}};
    try_due(__LINE__, files, "cannot_tell nan in nan");
}

static void an_engine_never_inspected_cannot_tell(void **state)
{
    (void)state;
    const te_shop_file files[] = {{"models.csv", "model,inspect_every_hours\nM,150\n"},
                                  {NULL, NULL}};
    bench b;
    open_bench(&b, files);
    look_at(&b, "E2");
    assert_int_equal(b.due.engine, 1);
    assert_int_equal(b.due.inspection, TE_NO_INDEX);
    expect_due(&b, __LINE__, "cannot_tell nan in nan");
    assert_int_equal(b.due.quantity, TE_Q_NONE);
    assert_int_equal(b.due.worst, TE_NO_LIMIT);
    assert_int_equal(b.due.verdict, TE_INCOMPLETE);
    assert_false(b.due.condemned);
    assert_false(te_due_is_over(&b.due));
    close_bench(&b);
}

/* A part of it is left out for errors: what the others say is not enough, and no interval helps. */
static void a_part_left_out_cannot_tell(void **state)
{
    (void)state;
    const te_shop_file files[] = {{"models.csv", "model,inspect_every_hours\nM,150\n"},
                                  {NULL, NULL}};
    bench b;
    open_bench(&b, files);
    expect_due(&b, __LINE__, "interval 350 in 150");
    b.history.left_out = 1;
    te_due_make(&b.due, &b.history, &b.assessment, b.made.shop);
    expect_due(&b, __LINE__, "cannot_tell nan in nan");
    assert_int_equal(b.due.left_out, 1);
    assert_int_equal(b.due.inspection, te_made_inspection(&b.made, "B"));
    close_bench(&b);
}

/* Inspected, and not a thing was measured: nothing is told, and nothing is looked for. */
static void an_inspection_without_readings_tells_nothing(void **state)
{
    (void)state;
    const te_shop_file files[] = {{"inspections.csv", TWO_VISITS "Z,E2,2026-02-01,200,\n"},
                                  {"readings.csv", READINGS "Z,bore,,,66.02,N\n"},
                                  {NULL, NULL}};
    bench b;
    open_bench(&b, files);
    expect_due(&b, __LINE__, "cannot_tell nan in nan");
    assert_int_equal(b.history.quantities.count, 0);
    assert_int_equal(b.due.inspection, te_made_inspection(&b.made, "B"));
    close_bench(&b);
}

/* What was measured before a part's history was lost has no place on its axis: of a part that is on, one quantity
 * more is not covered; of one that is off, nothing is wanted. */
static void what_stands_before_a_lost_history_is_not_covered(void **state)
{
    (void)state;
    static const struct {
        const char *parts;
        size_t lost;
    } cases[] = {
        {PARTS "C1,cylinder,E1,0,120,\nC1,cylinder,E1,120,150,\nC1,cylinder,E1,160,,?\n", 1},
        {PARTS "C1,cylinder,E1,0,120,\nC1,cylinder,E1,150,180,?\nC2,cylinder,E1,180,,\n", 0},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        const te_shop_file files[] = {
            {"parts.csv", cases[i].parts},
            {"readings.csv", READINGS "A,bore,,,66.02,N\nB,skirt,,,65.9,N\n"},
            {NULL, NULL}};
        bench b;
        open_bench(&b, files);
        assert_int_equal(b.history.lost, cases[i].lost);
        assert_int_equal(b.alone.lost, cases[i].lost);
        assert_int_equal(b.due.untold, 1 + cases[i].lost); /* the skirt has no rate */
        close_bench(&b);
    }
}

/* ---- which parts are on it ---------------------------------------------------------------- */

/* The skirt would be due at 200 + 0.02 / 0.0002 = 300 h, the bore is at 500 h. */
#define WORN_SKIRT \
    READINGS       \
    "A,bore,,,66.02,N\nB,bore,,,66.04,N\nA,skirt,,,65.84,N\nB,skirt,,,65.82,N\n"

static void try_parts(int line, const char *limits, const char *parts, const char *expected)
{
    const te_shop_file files[] = {
        {"limits.csv", limits},
        {"parts.csv", parts},
        {"inspections.csv", VISITS "A,E1,2026-01-01,100,\nB,E1,2026-02-01,200,found\n"},
        {"readings.csv", WORN_SKIRT},
        {NULL, NULL}};
    try_due(line, files, expected);
}

static void a_part_that_came_off_does_not_count(void **state)
{
    (void)state;
    try_parts(__LINE__, LIMITS BORE SKIRT, PARTS "K1,piston,E1,20,,5\n",
              "skirt of K1 best 300 in 100");
    try_parts(__LINE__, LIMITS BORE SKIRT, PARTS "K1,piston,E1,20,200,5\n",
              "bore of E1/cylinder best 500 in 300");
    try_parts(__LINE__, LIMITS BORE SKIRT, PARTS "K1,piston,E1,20,200,5\nK2,piston,E1,200,,\n",
              "bore of E1/cylinder best 500 in 300");
    /* the original one, when another is fitted */
    try_parts(__LINE__, LIMITS BORE SKIRT, PARTS, "skirt of E1/piston best 300 in 100");
    try_parts(__LINE__, LIMITS BORE SKIRT, PARTS "K2,piston,E1,200,,\n",
              "bore of E1/cylinder best 500 in 300");
}

/* 0.18 grows to 0.22: met at 200 h, until one of the two comes off. */
static void a_pair_counts_while_both_are_on(void **state)
{
    (void)state;
    try_parts(__LINE__, LIMITS CLEARANCE, PARTS "C1,cylinder,E1,20,,5\nK1,piston,E1,20,,5\n",
              "skirt_clearance of C1+K1 earliest 200 in 0 met");
    try_parts(__LINE__, LIMITS CLEARANCE,
              PARTS "C1,cylinder,E1,20,,5\nK1,piston,E1,20,200,5\nK2,piston,E1,200,,\n",
              "cannot_tell nan in nan");
    try_parts(__LINE__, LIMITS CLEARANCE,
              PARTS "C1,cylinder,E1,20,200,5\nC2,cylinder,E1,200,,\nK1,piston,E1,20,,5\n",
              "cannot_tell nan in nan");
}

/* The gap grows from 0.30 to 0.50 in 100 h, 0.80 comes at 350 h: but in the cylinder that it was
 * measured in. */
static void a_gap_counts_in_its_cylinder(void **state)
{
    (void)state;
    static const char *const parts[] = {PARTS, PARTS "C2,cylinder,E1,200,,\n",
                                        PARTS "C1,cylinder,E1,20,,5\n",
                                        PARTS "C1,cylinder,E1,20,200,5\nC2,cylinder,E1,200,,\n"};
    for (size_t i = 0; i < 8; i++) {
        bool stated = i >= 4, changed = i % 2 == 1;
        const te_shop_file files[] = {
            {"limits.csv", LIMITS "M,end_gap,,mm,,,,0.80,no,invented\n"},
            {"parts.csv", parts[i % 4]},
            {"inspections.csv", VISITS "A,E1,2026-01-01,100,\nB,E1,2026-02-01,200,found\n"},
            {"readings.csv", stated ? READINGS "A,end_gap,,1,0.30,G\nB,end_gap,,1,0.50,G\n"
                                    : READINGS "A,end_gap,,1,0.30,N\nB,end_gap,,1,0.50,N\n"},
            {NULL, NULL}};
        bench b;
        open_bench(&b, files);
        assert_int_equal(b.due.basis, changed  ? TE_DUE_CANNOT_TELL
                                      : stated ? TE_DUE_EARLIEST
                                               : TE_DUE_BEST);
        if (!changed && !stated)
            expect_due(&b, __LINE__, "end_gap1 of E1/ring_set best 350 in 150");
        assert_int_equal(b.due.untold, changed || !stated ? 1 : 0);
        close_bench(&b);
    }
}

/* The engine's meter when a series reaches an hour of its own; none for a part that is off. */
static void a_series_hour_is_an_hour_of_the_engine(void **state)
{
    (void)state;
    static const char *const parts[] = {PARTS "K1,piston,E1,20,,5\n",
                                        PARTS "K1,piston,E1,20,200,5\n"};
    for (size_t i = 0; i < 2; i++) {
        const te_shop_file files[] = {
            {"limits.csv", LIMITS SKIRT},
            {"parts.csv", parts[i]},
            {"inspections.csv", VISITS "A,E1,2026-01-01,100,\nB,E1,2026-02-01,200,found\n"},
            {"readings.csv", READINGS "A,skirt,,,65.84,N\nB,skirt,,,65.82,N\n"},
            {NULL, NULL}};
        bench b;
        open_bench(&b, files);
        assert_int_equal(b.history.series_count, 1);
        double at = te_series_engine_hours(&b.history, b.made.shop, &b.history.series[0], 300.25);
        if (i == 0)
            assert_near(at, 315.25, 1e-9); /* 185 own hours are 200 of the engine */
        else
            assert_true(isnan(at));
        close_bench(&b);
    }
}

/* K1 wore by 0.0005 mm/h on E2, from 65.94 at 20 h to 65.90 at 100 h: 65.80 at 300 own hours. It
 * came to E1 at 50 h with 100 h: at 50 + 200 h. */
static void a_part_from_another_engine_counts_by_its_own_hours(void **state)
{
    (void)state;
    const te_shop_file files[] = {
        {"parts.csv", PARTS "K1,piston,E2,0,100,\nK1,piston,E1,50,,100\n"},
        {"inspections.csv", VISITS "P,E2,2026-01-01,20,\nQ,E2,2026-02-01,100,\n"
                                   "B,E1,2026-03-01,80,\n"},
        {"readings.csv", READINGS "P,skirt,,,65.94,N\nQ,skirt,,,65.90,N\nB,squish,,,1.2,N\n"},
        {NULL, NULL}};
    bench b;
    open_bench(&b, files);
    expect_due(&b, __LINE__, "skirt of K1 best 250 in 170");
    look_at(&b, "E2"); /* it is there no more */
    expect_due(&b, __LINE__, "cannot_tell nan in nan");
    close_bench(&b);
}

/* Measured again on E1 at 70 h, 120 own: through 65.94 at 20 and 65.89 at 120 own hours, so that
 * 65.80 comes at 120 + 0.09 / 0.0005 = 300 own hours, 250 h of E1. */
static void a_part_measured_since_it_came_counts_from_there(void **state)
{
    (void)state;
    const te_shop_file files[] = {
        {"parts.csv", PARTS "K1,piston,E2,0,100,\nK1,piston,E1,50,,100\n"},
        {"inspections.csv", VISITS "P,E2,2026-01-01,20,\nB,E1,2026-03-01,70,\n"},
        {"readings.csv", READINGS "P,skirt,,,65.94,N\nB,skirt,,,65.89,N\n"},
        {NULL, NULL}};
    try_due(__LINE__, files, "skirt of K1 best 250 in 180");
}

/* K1 reaches 65.80 at 300 own hours. Off from 100 to 150 h: 50 h later than had it stayed on, also when
 * a cylinder is fitted meanwhile. Off and back at 100 h adds nothing. Off twice, for 20 and 30 h. */
static void a_part_that_was_off_counts_by_its_own_hours(void **state)
{
    (void)state;
    static const struct {
        const char *parts, *expected;
    } given[] = {
        {PARTS "K1,piston,E1,0,100,\nK1,piston,E1,150,,100\n", "skirt of K1 best 350 in 190"},
        {PARTS "K1,piston,E1,0,100,\nK1,piston,E1,150,,100\nC2,cylinder,E1,120,,\n",
         "skirt of K1 best 350 in 190"},
        {PARTS "K1,piston,E1,0,100,\nK1,piston,E1,100,,\n", "skirt of K1 best 300 in 140"},
        {PARTS "K1,piston,E1,0,70,\nK1,piston,E1,90,110,70\nK1,piston,E1,140,,90\n",
         "skirt of K1 best 350 in 190"},
    };
    for (size_t i = 0; i < sizeof given / sizeof *given; i++) {
        const te_shop_file files[] = {
            {"parts.csv", given[i].parts},
            {"inspections.csv", VISITS "P,E1,2026-01-01,20,\nQ,E1,2026-02-01,60,\n"
                                       "B,E1,2026-03-01,160,\n"},
            {"readings.csv", READINGS "P,skirt,,,65.94,N\nQ,skirt,,,65.92,N\nB,squish,,,1.2,N\n"},
            {NULL, NULL}};
        try_due(__LINE__, files, given[i].expected);
    }
}

/* The hours of a pair are those together, whatever its parts ran before: 0.10 grows by 0.0005 mm/h
 * from 20 to 60 h and reaches 0.20 at 60 + 0.08 / 0.0005 = 220 h. The cylinder was off and back. */
static void a_pair_has_no_hours_of_its_own_parts(void **state)
{
    (void)state;
    const te_shop_file files[] = {
        {"limits.csv", LIMITS CLEARANCE},
        {"parts.csv", PARTS "C1,cylinder,E1,5,100,9\nC1,cylinder,E1,100,,\nK1,piston,E1,5,,3\n"},
        {"inspections.csv", VISITS "P,E1,2026-01-01,20,\nQ,E1,2026-02-01,60,\n"
                                   "B,E1,2026-03-01,160,\n"},
        {"readings.csv", READINGS "P,bore,,,66.02,N\nP,skirt,,,65.92,N\nQ,bore,,,66.03,N\n"
                                  "Q,skirt,,,65.91,N\nB,squish,,,1.2,N\n"},
        {NULL, NULL}};
    try_due(__LINE__, files, "skirt_clearance of C1+K1 best 220 in 60");
}

/* K1 ran in the original cylinder of E2 up to the limit of their clearance, then came to E1, which
 * also has an original cylinder: that is another pair. */
static void an_original_part_is_on_its_own_engine_only(void **state)
{
    (void)state;
    const te_shop_file files[] = {
        {"limits.csv", LIMITS CLEARANCE},
        {"parts.csv", PARTS "K1,piston,E2,0,100,\nK1,piston,E1,50,,100\n"},
        {"inspections.csv", VISITS "P,E2,2026-01-01,20,\nQ,E2,2026-02-01,90,\n"
                                   "B,E1,2026-03-01,80,\n"},
        {"readings.csv", READINGS "P,bore,,,66.02,N\nP,skirt,,,65.94,N\nQ,bore,,,66.08,N\n"
                                  "Q,skirt,,,65.90,N\nB,squish,,,1.2,N\n"},
        {NULL, NULL}};
    try_due(__LINE__, files, "cannot_tell nan in nan");
}

/* ---- hours left --------------------------------------------------------------------------- */

/* The skirt reaches 65.80 at 60 + 0.06 / 0.002 = 90 h; the engine was last seen at 130 h. */
static void hours_left_may_be_negative(void **state)
{
    (void)state;
    const te_shop_file files[] = {
        {"inspections.csv", VISITS "A,E1,2026-01-01,20,\nB,E1,2026-02-01,60,\n"
                                   "C,E1,2026-03-01,130,\n"},
        {"readings.csv", READINGS "A,skirt,,,65.94,N\nB,skirt,,,65.86,N\nC,squish,,,1.2,N\n"},
        {NULL, NULL}};
    bench b;
    open_bench(&b, files);
    expect_due(&b, __LINE__, "skirt of E1/piston best 90 in -40");
    assert_int_equal(b.due.side, TE_SIDE_LOW);
    assert_near(b.due.limit, 65.8, 0);
    assert_int_equal(b.due.measured, te_made_inspection(&b.made, "B"));
    assert_int_equal(b.due.inspection, te_made_inspection(&b.made, "C"));
    assert_true(te_due_is_over(&b.due));
    close_bench(&b);
}

static void an_engine_is_over_when_nothing_is_left(void **state)
{
    (void)state;
    static const struct {
        double left;
        bool condemned, over;
    } given[] = {{0.1, false, false}, {0.0, false, true},  {-2.5, false, true},
                 {90, true, true},    {NAN, false, false}, {NAN, true, true}};
    for (size_t i = 0; i < sizeof given / sizeof *given; i++) {
        te_due due = {.hours_left = given[i].left, .condemned = given[i].condemned};
        assert_int_equal(te_due_is_over(&due), given[i].over);
    }
}

/* ---- marks -------------------------------------------------------------------------------- */

/* 66.01 at 0 h, u = 0.02 / sqrt(12), and 66.04 at 120 h by G. R: s2 <- 3e-6; v <- s2 + .002^2
 *   h <- 120; q <- qnorm(.95)
 *   f <- function(d) 66.04 + .03/h*d + q*sqrt(v + 2*v/h*d + (v + .02^2/12)/h^2*d^2) - 66.1
 *   120 + uniroot(f, c(0,1e4), tol=1e-13)$root */
static void an_assumed_point_is_marked(void **state)
{
    (void)state;
    static const char *const parts[] = {PARTS "C1,cylinder,E1,0,,\n", PARTS};
    static const char *const expected[] = {"bore of C1 earliest 291.265592 in 171.265592",
                                           "bore of E1/cylinder earliest 291.265592 in 171.265592"};
    for (size_t i = 0; i < 2; i++) {
        const te_shop_file files[] = {
            {"limits.csv", LIMITS "M,bore,,mm,66.00,66.02,,66.10,no,invented\n"},
            {"parts.csv", parts[i]},
            {"inspections.csv", VISITS "A,E1,2026-01-01,120,\n"},
            {"readings.csv", READINGS "A,bore,,,66.04,G\n"},
            {NULL, NULL}};
        bench b;
        open_bench(&b, files);
        expect_due(&b, __LINE__, expected[i]);
        assert_true(b.due.assumed);
        assert_int_equal(b.due.original, i == 1);
        close_bench(&b);
    }
}

static void what_was_measured_twice_is_not_marked(void **state)
{
    (void)state;
    const te_shop_file files[] = {{"parts.csv", PARTS "C1,cylinder,E1,0,,12\n"}, {NULL, NULL}};
    bench b;
    open_bench(&b, files);
    expect_due(&b, __LINE__, "bore of C1 best 500 in 300");
    assert_false(b.due.assumed);
    assert_false(b.due.original);
    close_bench(&b);
}

/* ---- condemned parts ---------------------------------------------------------------------- */

typedef struct condemned_case {
    int line;
    const char *limits, *parts, *readings, *condition;
    bool condemned;
} condemned_case;

static void try_condemned(const condemned_case *cases, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        const condemned_case *c = &cases[i];
        const te_shop_file files[] = {
            {"limits.csv", c->limits},
            {"parts.csv", c->parts},
            {"inspections.csv", VISITS "A,E1,2026-01-01,100,\nB,E1,2026-02-01,200,found\n"},
            {"readings.csv", c->readings},
            {"condition.csv", c->condition ? c->condition : CONDITION},
            {NULL, NULL}};
        bench b;
        open_bench(&b, files);
        if (b.due.condemned != c->condemned)
            fail_msg("case of line %d: condemned %d", c->line, b.due.condemned);
        close_bench(&b);
    }
}

#define TRY_CONDEMNED(cases) try_condemned((cases), sizeof(cases) / sizeof *(cases))

static void a_value_beyond_condemns_until_the_part_is_changed(void **state)
{
    (void)state;
#define WORN READINGS "B,bore,,,66.15,G\n"
    const condemned_case cases[] = {
        {__LINE__, LIMITS BORE, PARTS, WORN, NULL, true},
        {__LINE__, LIMITS BORE, PARTS "C2,cylinder,E1,200,,\n", WORN, NULL, false},
        {__LINE__, LIMITS BORE, PARTS "C1,cylinder,E1,0,,\n", WORN, NULL, true},
        {__LINE__, LIMITS BORE, PARTS "C1,cylinder,E1,0,200,\n", WORN, NULL, false},
        {__LINE__, LIMITS BORE, PARTS "C1,cylinder,E1,0,200,\nC1,cylinder,E1,200,,\n", WORN, NULL,
         true},
        /* another part's change does not help */
        {__LINE__, LIMITS BORE, PARTS "C1,cylinder,E1,0,,\nK2,piston,E1,200,,\n", WORN, NULL, true},
        /* undecided is not beyond */
        {__LINE__, LIMITS BORE, PARTS, READINGS "B,bore,,,66.10,G\n", NULL, false},
        /* an earlier inspection's findings are past */
        {__LINE__, LIMITS BORE, PARTS, READINGS "A,bore,,,66.15,G\nB,bore,,,66.02,G\n", NULL,
         false},
    };
    TRY_CONDEMNED(cases);
}

static void a_fit_beyond_condemns_until_either_is_changed(void **state)
{
    (void)state;
#define LOOSE READINGS "B,bore,,,66.08,G\nB,skirt,,,65.84,G\n"
    const condemned_case cases[] = {
        {__LINE__, LIMITS CLEARANCE, PARTS, LOOSE, NULL, true},
        {__LINE__, LIMITS CLEARANCE, PARTS "K2,piston,E1,200,,\n", LOOSE, NULL, false},
        {__LINE__, LIMITS CLEARANCE, PARTS "C2,cylinder,E1,200,,\n", LOOSE, NULL, false},
        {__LINE__, LIMITS CLEARANCE, PARTS "R2,ring_set,E1,200,,\n", LOOSE, NULL, true},
    };
    TRY_CONDEMNED(cases);
}

static void a_reject_condemns_until_the_part_is_changed(void **state)
{
    (void)state;
#define SOUND READINGS "B,bore,,,66.02,G\n"
    const condemned_case cases[] = {
        {__LINE__, LIMITS BORE, PARTS, SOUND, CONDITION "B,piston,scored,reject\n", true},
        {__LINE__, LIMITS BORE, PARTS "K1,piston,E1,0,,\n", SOUND, CONDITION "B,K1,scored,reject\n",
         true},
        {__LINE__, LIMITS BORE, PARTS "K1,piston,E1,0,200,\nK2,piston,E1,200,,\n", SOUND,
         CONDITION "B,K1,scored,reject\n", false},
        {__LINE__, LIMITS BORE, PARTS "K1,piston,E1,0,200,\nK2,piston,E1,200,,\n", SOUND,
         CONDITION "B,piston,scored,reject\n", false},
        {__LINE__, LIMITS BORE, PARTS, SOUND, CONDITION "B,piston,scored,watch\n", false},
        {__LINE__, LIMITS BORE, PARTS, SOUND, CONDITION "B,piston,scored,note\n", false},
        /* whenever it was written */
        {__LINE__, LIMITS BORE, PARTS, SOUND, CONDITION "A,piston,scored,reject\n", true},
        {__LINE__, LIMITS BORE, PARTS "K2,piston,E1,150,,\n", SOUND,
         CONDITION "A,piston,scored,reject\n", false},
        /* mended: it came off and went back later; off and back at once mends nothing */
        {__LINE__, LIMITS BORE, PARTS "K1,piston,E1,0,150,\nK1,piston,E1,160,,150\n", SOUND,
         CONDITION "A,K1,scored,reject\n", false},
        {__LINE__, LIMITS BORE, PARTS "K1,piston,E1,0,150,\nK1,piston,E1,150,,\n", SOUND,
         CONDITION "A,K1,scored,reject\n", true},
        /* the last of several rows */
        {__LINE__, LIMITS BORE, PARTS, SOUND,
         CONDITION "B,piston,dull,note\nB,cylinder,nicked,watch\nB,ring_set,stuck,reject\n", true},
    };
    TRY_CONDEMNED(cases);
}

/* The first that was condemned is named: rejects before values. */
static void the_condemned_part_is_named(void **state)
{
    (void)state;
    const te_shop_file files[] = {
        {"parts.csv", PARTS "K1,piston,E1,0,,\n"},
        {"readings.csv", READINGS "B,bore,,,66.15,G\n"},
        {"condition.csv", CONDITION "B,ring_set,stuck,watch\nB,K1,scored,reject\n"},
        {NULL, NULL}};
    bench b;
    open_bench(&b, files);
    assert_true(b.due.condemned);
    assert_int_equal(b.due.condemned_kind, TE_KIND_PISTON);
    assert_string_equal(te_shop_text(b.made.shop, b.due.condemned_part), "K1");
    close_bench(&b);
    open_bench(&b, NULL);
    assert_int_equal(b.due.condemned_kind, TE_KIND_NONE);
    assert_int_equal(b.due.condemned_part, 0);
    close_bench(&b);
}

/* ---- what the hours do not cover ---------------------------------------------------------- */

static void a_part_fitted_since_the_last_inspection_is_told(void **state)
{
    (void)state;
    static const struct {
        const char *parts, *state;
        bool changed;
    } given[] = {
        {PARTS "K1,piston,E1,0,,\n", "", false},
        {PARTS "K1,piston,E1,0,,\nR2,ring_set,E1,210,,\n", "", true},
        {PARTS "K1,piston,E1,0,200,\nK2,piston,E1,200,,\n", "found", true},
        {PARTS "K1,piston,E1,0,200,\nK2,piston,E1,200,,\n", "built", false},
        {PARTS "K1,piston,E1,0,210,\n", "", false}, /* nothing went on */
        {PARTS "F1,other,E1,210,,\n", "", false},
    };
    for (size_t i = 0; i < sizeof given / sizeof *given; i++) {
        te_grown visits = {0};
        te_grown_add(&visits, VISITS "A,E1,2026-01-01,100,\nB,E1,2026-02-01,200,%s\n",
                     given[i].state);
        const te_shop_file files[] = {
            {"parts.csv", given[i].parts},
            {"inspections.csv", visits.text},
            {"readings.csv", READINGS "B,bore,,,66.02,G\nB,skirt,,,65.9,G\n"},
            {NULL, NULL}};
        bench b;
        open_bench(&b, files);
        if (b.due.changed != given[i].changed)
            fail_msg("case %zu: changed %d", i, b.due.changed);
        te_grown_free(&visits);
        close_bench(&b);
    }
}

/* What was on at the inspection is no change, although no one measured it then: fitted at 0 h, or
 * before an inspection as built. As found, or without a state, it went on afterwards. */
static void a_part_not_measured_is_no_part_changed(void **state)
{
    (void)state;
    static const struct {
        const char *parts, *visits;
        bool changed;
    } given[] = {
        {PARTS "K1,piston,E1,0,,\n", VISITS "B,E1,2026-02-01,0,\n", false},
        {PARTS "K1,piston,E1,0,200,\nK2,piston,E1,200,,\n", VISITS "B,E1,2026-02-01,200,built\n",
         false},
        {PARTS "K1,piston,E1,0,200,\nK2,piston,E1,200,,\n", VISITS "B,E1,2026-02-01,200,found\n",
         true},
        {PARTS "K1,piston,E1,0,200,\nK2,piston,E1,200,,\n", VISITS "B,E1,2026-02-01,200,\n", true},
    };
    for (size_t i = 0; i < sizeof given / sizeof *given; i++) {
        const te_shop_file files[] = {{"parts.csv", given[i].parts},
                                      {"inspections.csv", given[i].visits},
                                      {"readings.csv", READINGS "B,bore,,,66.02,G\n"},
                                      {NULL, NULL}};
        bench b;
        open_bench(&b, files);
        if (b.due.changed != given[i].changed)
            fail_msg("case %zu: changed %d", i, b.due.changed);
        close_bench(&b);
    }
}

/* Of kinds with a required limit. K2 was never read; K1 was, whenever that was. */
static void a_part_never_measured_is_told(void **state)
{
    (void)state;
#define REQUIRED "M,skirt,,mm,,,65.80,,yes,invented\n"
    static const struct {
        const char *limits, *parts;
        size_t unmeasured;
    } given[] = {
        {LIMITS REQUIRED, PARTS "K1,piston,E1,0,,\n", 0},
        {LIMITS REQUIRED, PARTS "K1,piston,E1,0,150,\nK2,piston,E1,150,,\n", 1},
        {LIMITS SKIRT, PARTS "K1,piston,E1,0,150,\nK2,piston,E1,150,,\n", 0},
        {LIMITS REQUIRED, PARTS "K1,piston,E1,0,150,\nK2,piston,E1,150,180,\n", 0}, /* off */
        {LIMITS REQUIRED "M,pin,,mm,,,15.9,,yes,x\n",
         PARTS "K1,piston,E1,0,150,\nK2,piston,E1,150,,\nP2,pin,E1,150,,\n", 2},
        {LIMITS REQUIRED, PARTS "K1,piston,E1,0,,\nR2,ring_set,E1,150,,\n", 0},
    };
    for (size_t i = 0; i < sizeof given / sizeof *given; i++) {
        const te_shop_file files[] = {
            {"limits.csv", given[i].limits},
            {"parts.csv", given[i].parts},
            {"readings.csv", READINGS "A,skirt,,,65.9,G\nB,bore,,,66.02,G\n"},
            {NULL, NULL}};
        bench b;
        open_bench(&b, files);
        if (b.due.unmeasured != given[i].unmeasured)
            fail_msg("case %zu: unmeasured %zu", i, b.due.unmeasured);
        close_bench(&b);
    }
}

/* About the line of least squares, 66.0433 to 66.0633, the points lie at -0.0033, 0.0067, -0.0033:
 * chi2 = 6.667e-5 / 3e-6 = 22.2 with 1 degree of freedom, far beyond 3.84. */
static void scatter_of_what_decides_is_told(void **state)
{
    (void)state;
    static const char *const middle[] = {"66.06", "66.051"};
    for (size_t i = 0; i < 2; i++) {
        te_grown readings = {0};
        te_grown_add(&readings, READINGS "A,bore,,,66.04,G\nC,bore,,,%s,G\nB,bore,,,66.06,G\n",
                     middle[i]);
        const te_shop_file files[] = {
            {"inspections.csv",
             VISITS "A,E1,2026-01-01,100,\nC,E1,2026-01-15,150,\nB,E1,2026-02-01,200,\n"},
            {"readings.csv", readings.text},
            {NULL, NULL}};
        bench b;
        open_bench(&b, files);
        assert_int_equal(b.due.quantity, TE_Q_BORE);
        assert_int_equal(b.due.scatter, i == 0);
        te_grown_free(&readings);
        close_bench(&b);
    }
}

/* ---- the last inspection ------------------------------------------------------------------ */

static void status_and_verdict_are_those_of_the_last_inspection(void **state)
{
    (void)state;
    static const struct {
        const char *limits, *readings;
        te_outcome worst;
        te_verdict_value verdict;
    } given[] = {
#define AS_NEW_BORE "M,bore,,mm,66.00,66.03,,66.10,no,invented\n"
        {LIMITS AS_NEW_BORE, READINGS "A,bore,,,66.2,G\nB,bore,,,66.02,G\n", TE_AS_NEW, TE_REUSE},
        {LIMITS AS_NEW_BORE SKIRT, READINGS "B,bore,,,66.02,G\nB,skirt,,,65.9,G\n", TE_SERVICEABLE,
         TE_REUSE},
        /* below as-new and no service limit on that side */
        {LIMITS AS_NEW_BORE SKIRT, READINGS "B,bore,,,65.95,G\nB,skirt,,,65.9,G\n", TE_OUTSIDE_NEW,
         TE_INCOMPLETE},
        /* a required taper that one height does not tell; it is graver than outside_new */
        {LIMITS AS_NEW_BORE "M,taper,,mm,,,,0.05,yes,invented\n", READINGS "B,bore,,,65.95,G\n",
         TE_MISSING, TE_INCOMPLETE},
        {LIMITS AS_NEW_BORE SKIRT "M,taper,,mm,,,,0.05,yes,invented\n",
         READINGS "B,bore,,,66.02,G\nB,skirt,,,65.8,G\n", TE_UNDECIDED, TE_MEASURE_AGAIN},
        {LIMITS AS_NEW_BORE SKIRT, READINGS "B,bore,,,66.10,G\nB,skirt,,,65.7,G\n", TE_BEYOND,
         TE_DO_NOT_REUSE},
        {LIMITS AS_NEW_BORE, READINGS "B,skirt,,,65.9,G\n", TE_NO_LIMIT, TE_INCOMPLETE},
    };
    for (size_t i = 0; i < sizeof given / sizeof *given; i++) {
        const te_shop_file files[] = {
            {"limits.csv", given[i].limits}, {"readings.csv", given[i].readings}, {NULL, NULL}};
        bench b;
        open_bench(&b, files);
        assert_int_equal(b.due.engine, 0);
        assert_int_equal(b.due.inspection, te_made_inspection(&b.made, "B"));
        if (b.due.worst != given[i].worst || b.due.verdict != given[i].verdict)
            fail_msg("case %zu: %s, %s", i, te_outcome_name(b.due.worst),
                     te_verdict_name(b.due.verdict));
        close_bench(&b);
    }
}

static void each_basis_has_its_word(void **state)
{
    (void)state;
    assert_string_equal(te_due_basis_name(TE_DUE_CANNOT_TELL), "cannot_tell");
    assert_string_equal(te_due_basis_name(TE_DUE_EARLIEST), "earliest");
    assert_string_equal(te_due_basis_name(TE_DUE_BEST), "best");
    assert_string_equal(te_due_basis_name(TE_DUE_INTERVAL), "interval");
}

/* ---- order -------------------------------------------------------------------------------- */

static te_due due_of(uint32_t engine, te_due_basis basis, double left, bool condemned)
{
    return (te_due){.engine = engine, .basis = basis, .hours_left = left, .condemned = condemned};
}

/* The wanted order; engines as in the file settle ties. */
static const struct {
    uint32_t engine;
    te_due_basis basis;
    double left;
    bool condemned;
} urgency[] = {
    {6, TE_DUE_CANNOT_TELL, NAN, true},  {2, TE_DUE_CANNOT_TELL, NAN, false},
    {5, TE_DUE_CANNOT_TELL, NAN, false}, {1, TE_DUE_BEST, 120, true},
    {0, TE_DUE_INTERVAL, 400, true},     {7, TE_DUE_EARLIEST, -30.5, false},
    {4, TE_DUE_INTERVAL, 0, false},      {3, TE_DUE_EARLIEST, 55, false},
    {8, TE_DUE_BEST, 55, false},         {9, TE_DUE_EARLIEST, 55.25, false},
};
enum { URGENCY = sizeof urgency / sizeof *urgency };

static void engines_go_by_urgency_whatever_their_order(void **state)
{
    (void)state;
    te_random random = te_random_start(0xd0e);
    size_t rounds = te_test_rounds(500);
    for (size_t round = 0; round < rounds; round++) {
        te_due list[URGENCY] = {0};
        for (size_t i = 0; i < URGENCY; i++) { /* inside-out shuffle */
            size_t at = te_random_below(&random, i + 1);
            list[i] = list[at];
            list[at] = due_of(urgency[i].engine, urgency[i].basis, urgency[i].left,
                              urgency[i].condemned);
        }
        te_due_sort(list, URGENCY);
        for (size_t i = 0; i < URGENCY; i++)
            assert_int_equal(list[i].engine, urgency[i].engine);
    }
}

static void no_engine_and_one_need_no_order(void **state)
{
    (void)state;
    te_due one = due_of(3, TE_DUE_BEST, 5, false);
    te_due_sort(NULL, 0);
    te_due_sort(&one, 1);
    assert_int_equal(one.engine, 3);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_smallest_over_the_fitted_parts),
        cmocka_unit_test(the_earliest_hours_where_there_is_an_interval),
        cmocka_unit_test(three_points_not_stated_have_an_interval),
        cmocka_unit_test(a_best_estimate_is_compared_with_earliest_hours),
        cmocka_unit_test(the_item_is_told),
        cmocka_unit_test(a_pair_decides_as_well),
        cmocka_unit_test(nothing_is_left_where_value_or_line_is_past_the_limit),
        cmocka_unit_test(not_later_than_inspect_every_hours),
        cmocka_unit_test(an_interval_has_no_part),
        cmocka_unit_test(one_point_cannot_tell),
        cmocka_unit_test(a_rate_away_from_the_limit_cannot_tell),
        cmocka_unit_test(a_lone_value_near_its_limit_may_be_past_it),
        cmocka_unit_test(what_does_not_tell_all_is_counted),
        cmocka_unit_test(without_an_hour_meter_it_cannot_tell),
        cmocka_unit_test(without_a_service_limit_nothing_is_told),
        cmocka_unit_test(an_engine_never_inspected_cannot_tell),
        cmocka_unit_test(a_part_left_out_cannot_tell),
        cmocka_unit_test(an_inspection_without_readings_tells_nothing),
        cmocka_unit_test(what_stands_before_a_lost_history_is_not_covered),
        cmocka_unit_test(a_part_that_came_off_does_not_count),
        cmocka_unit_test(a_pair_counts_while_both_are_on),
        cmocka_unit_test(a_gap_counts_in_its_cylinder),
        cmocka_unit_test(a_series_hour_is_an_hour_of_the_engine),
        cmocka_unit_test(a_part_from_another_engine_counts_by_its_own_hours),
        cmocka_unit_test(a_part_measured_since_it_came_counts_from_there),
        cmocka_unit_test(a_part_that_was_off_counts_by_its_own_hours),
        cmocka_unit_test(a_pair_has_no_hours_of_its_own_parts),
        cmocka_unit_test(an_original_part_is_on_its_own_engine_only),
        cmocka_unit_test(hours_left_may_be_negative),
        cmocka_unit_test(an_engine_is_over_when_nothing_is_left),
        cmocka_unit_test(an_assumed_point_is_marked),
        cmocka_unit_test(what_was_measured_twice_is_not_marked),
        cmocka_unit_test(a_value_beyond_condemns_until_the_part_is_changed),
        cmocka_unit_test(a_fit_beyond_condemns_until_either_is_changed),
        cmocka_unit_test(a_reject_condemns_until_the_part_is_changed),
        cmocka_unit_test(the_condemned_part_is_named),
        cmocka_unit_test(a_part_fitted_since_the_last_inspection_is_told),
        cmocka_unit_test(a_part_not_measured_is_no_part_changed),
        cmocka_unit_test(a_part_never_measured_is_told),
        cmocka_unit_test(scatter_of_what_decides_is_told),
        cmocka_unit_test(status_and_verdict_are_those_of_the_last_inspection),
        cmocka_unit_test(each_basis_has_its_word),
        cmocka_unit_test(engines_go_by_urgency_whatever_their_order),
        cmocka_unit_test(no_engine_and_one_need_no_order),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
