/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The rules of what to replace, one small shop each: which parts, what they would measure, which
 * are refused. No materials, so that values are the readings; G is fine (U 0.0002 mm), so that
 * statuses are as the figures say, and W is coarse.
 */
#include "options_kit.h"

#define PARTS     "part,kind,engine,fitted_hours,removed_hours,oversize\n"
#define VISITS    "inspection,engine,date,hours,state\n"
#define READINGS  "inspection,feature,part,item,position,direction,reading,no_go,instrument\n"
#define LIMITS    "model,quantity,item,unit,new_min,new_max,service_min,service_max,required,source\n"
#define CONDITION "inspection,part,finding,severity\n"
#define SPARES    "spare,kind,model,feature,item,size,tolerance,unit,oversize,price\n"
#define PLAN      "model,feature,item,position,direction\n"

#define BORE      "M,bore,,mm,66.00,66.02,,66.10,no,invented\n"
#define SKIRT     "M,skirt,,mm,65.92,65.94,65.87,,no,invented\n"
#define CLEARANCE "M,skirt_clearance,,mm,0.06,0.10,0.05,0.18,no,invented\n"
#define GAP       "M,end_gap,,mm,0.25,0.40,0.20,0.80,no,invented\n"
#define SIDE      "M,side_clearance,,mm,0.04,0.08,0.03,0.15,no,invented\n"

static const te_shop_file base[] = {
    {"engines.csv", "engine,model\nE1,M\n"},
    {"models.csv", "model,reborable\nM,\n"},
    {"instruments.csv",
     "instrument,resolution,expanded_uncertainty\nG,0.0001,0.0002\nW,0.006,0.004\n"},
    {"limits.csv", LIMITS BORE SKIRT CLEARANCE GAP SIDE},
    {"inspections.csv", VISITS "A,E1,2026-01-01,100,\nB,E1,2026-02-01,200,\n"},
    {"readings.csv", READINGS "A,skirt,,,,,65.93,,G\nB,bore,,,10,thrust,66.03,,G\n"
                              "B,skirt,,,,,65.92,,G\n"},
    {NULL, NULL},
};

#define FILES(...)                   ((const te_shop_file[]){__VA_ARGS__, {NULL, NULL}})
#define OPEN(bench, inspection, ...) bench_open((bench), base, FILES(__VA_ARGS__), (inspection))

static bool every_option_replaces(const bench *b, te_kind kind)
{
    for (size_t i = 0; i < b->options.count; i++) {
        if ((b->options.items[i].replaced >> kind & 1U) == 0)
            return false;
    }
    return b->options.count > 0;
}

/* ---- rejected -------------------------------------------------------------------------------- */

/* Two cylinders and two pistons make four sets, of which two keep the piston. */
static void a_rejected_part_is_never_kept(void **state)
{
    (void)state;
    bench b;
    OPEN(&b, "B", {"condition.csv", CONDITION "B,piston,seized,reject\n"});
    assert_int_equal(b.options.rejected, 1U << TE_KIND_PISTON);
    assert_int_equal(b.options.looked_at, 2);
    assert_true(every_option_replaces(&b, TE_KIND_PISTON));
    /* What was seen on the part that is replaced counts no more. */
    assert_int_equal(option_named(&b, "new/piston")->verdict, TE_REUSE);
    bench_close(&b);
    OPEN(&b, "B", {"condition.csv", CONDITION "B,piston,streaks,watch\n"});
    assert_int_equal(b.options.rejected, 0);
    assert_int_equal(b.options.looked_at, 4);
    assert_non_null(find_option(&b, "-"));
    bench_close(&b);
}

/* K1 stays, or comes off at 150 h for K2. */
static void a_reject_stands_until_the_part_comes_off(void **state)
{
    (void)state;
    static const struct {
        const char *parts;
        bool rejected;
    } cases[] = {
        {PARTS "K1,piston,E1,0,,\n", true},
        {PARTS "K1,piston,E1,0,150,\nK1,piston,E1,150,,\n", true}, /* off and back on at once */
        {PARTS "K1,piston,E1,0,150,\nK2,piston,E1,150,,\n", false},
        {PARTS "K1,piston,E1,0,120,\nK1,piston,E1,160,,\n", false}, /* off for a while */
        {PARTS "K1,piston,E1,0,100,\nK2,piston,E1,100,,\n", false},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        bench b;
        print_message("  case %zu\n", i);
        OPEN(&b, "B", {"parts.csv", cases[i].parts},
             {"inspections.csv", VISITS "A,E1,2026-01-01,100,found\nB,E1,2026-02-01,200,found\n"},
             {"condition.csv", CONDITION "A,K1,cracked,reject\n"});
        assert_int_equal(b.options.rejected, cases[i].rejected ? 1U << TE_KIND_PISTON : 0);
        assert_int_equal(find_option(&b, "-") == NULL, cases[i].rejected);
        assert_int_equal(every_option_replaces(&b, TE_KIND_PISTON), cases[i].rejected);
        bench_close(&b);
    }
}

static void a_later_reject_does_not_count(void **state)
{
    (void)state;
    bench b;
    OPEN(&b, "A", {"condition.csv", CONDITION "B,piston,seized,reject\n"});
    assert_int_equal(b.options.rejected, 0);
    assert_non_null(find_option(&b, "-"));
    bench_close(&b);
}

/* The pin was never read: its kind is looked at since it was rejected. */
static void a_rejected_kind_that_was_not_read_is_looked_at(void **state)
{
    (void)state;
    bench b;
    OPEN(&b, "B", {"condition.csv", CONDITION "A,pin,blued,reject\n"});
    assert_int_equal(b.options.rejected, 1U << TE_KIND_PIN);
    assert_true(is_candidate(&b, "new/pin"));
    assert_true(every_option_replaces(&b, TE_KIND_PIN));
    bench_close(&b);
}

static void a_rejected_part_of_kind_other_leaves_no_option(void **state)
{
    (void)state;
    bench b;
    OPEN(&b, "B", {"parts.csv", PARTS "X1,other,E1,0,,\n"},
         {"condition.csv", CONDITION "A,X1,torn,reject\n"});
    assert_string_equal(te_shop_text(b.made.shop, b.options.rejected_other), "X1");
    assert_int_equal(b.options.count, 0);
    assert_int_equal(b.options.looked_at, 0);
    assert_int_equal(b.options.good, 0);
    bench_close(&b);
}

static void a_rejected_part_of_kind_other_that_came_off(void **state)
{
    (void)state;
    bench b;
    OPEN(&b, "B", {"parts.csv", PARTS "X1,other,E1,0,150,\nX2,other,E1,150,,\n"},
         {"inspections.csv", VISITS "A,E1,2026-01-01,100,found\nB,E1,2026-02-01,200,found\n"},
         {"condition.csv", CONDITION "A,X1,torn,reject\n"});
    assert_int_equal(b.options.rejected_other, 0);
    assert_non_null(find_option(&b, "-"));
    bench_close(&b);
}

/* ---- which kinds ----------------------------------------------------------------------------- */

/* Rings have a required limit and no reading; the rod has neither. */
static void a_kind_with_a_required_limit_is_looked_at(void **state)
{
    (void)state;
    bench b;
    OPEN(&b, "B",
         {"limits.csv",
          LIMITS BORE SKIRT CLEARANCE "M,end_gap,,mm,0.25,0.40,0.20,0.80,yes,invented\n"});
    assert_true(is_candidate(&b, "new/ring_set"));
    assert_false(is_candidate(&b, "new/rod"));
    assert_int_equal(option_named(&b, "-")->verdict, TE_INCOMPLETE);
    assert_int_equal(option_named(&b, "new/ring_set")->verdict, TE_REUSE);
    bench_close(&b);
    OPEN(&b, "B", {"limits.csv", LIMITS BORE SKIRT CLEARANCE GAP});
    assert_false(is_candidate(&b, "new/ring_set"));
    bench_close(&b);
}

/* A spare of another model is none; a kind with a spare has no new part besides. */
static void spares_of_the_model_are_the_choice(void **state)
{
    (void)state;
    bench b;
    OPEN(&b, "B", {"models.csv", "model,reborable\nM,\nM2,\n"},
         {"spares.csv", SPARES "PK,piston,M,skirt,,65.93,0.005,mm,,40\n"
                               "CX,cylinder,M2,bore,,66.01,0.005,mm,,90\n"});
    assert_true(is_candidate(&b, "PK"));
    assert_false(is_candidate(&b, "new/piston"));
    assert_false(is_candidate(&b, "CX"));
    assert_true(is_candidate(&b, "new/cylinder"));
    bench_close(&b);
}

/* ---- kept as measured ------------------------------------------------------------------------ */

/* 66.099 by a coarse gauge at a limit of 66.10. */
static void undecided_is_kept_only_to_measure_again(void **state)
{
    (void)state;
    bench b;
    OPEN(&b, "B",
         {"readings.csv", READINGS "B,bore,,,10,thrust,66.099,,W\nB,skirt,,,,,65.93,,G\n"});
    assert_int_equal(option_named(&b, "-")->verdict, TE_MEASURE_AGAIN);
    assert_int_equal(option_named(&b, "-")->worst, TE_UNDECIDED);
    assert_int_equal(option_named(&b, "-")->worst_quantity, TE_Q_BORE);
    assert_int_equal(option_named(&b, "new/cylinder")->verdict, TE_REUSE);
    bench_close(&b);
}

/* ---- a piston that may seize ----------------------------------------------------------------- */

/* The clearance passes with both: (66.03 - skirt - 0.05) over tolerance / sqrt(3) is more than
 * 1.645. The tight end of T is 66.03 - 65.9703 - 0.010. It is told for its price. */
static void a_tight_end_below_the_least_is_refused(void **state)
{
    (void)state;
    bench b;
    OPEN(&b, "B", {"limits.csv", LIMITS BORE CLEARANCE},
         {"condition.csv", CONDITION "B,piston,seized,reject\n"},
         {"spares.csv", SPARES "T,piston,M,skirt,,65.9703,0.010,mm,,40\n"
                               "R,piston,M,skirt,,65.9703,0.009,mm,,41\n"});
    const te_option *tight = option_named(&b, "T");
    const te_option *right = option_named(&b, "R");
    look_at(&b, "T");
    assert_int_equal(finding_of(&b, "skirt_clearance", "")->outcome, TE_SERVICEABLE);
    assert_true(tight->refused);
    assert_int_equal(tight->verdict, TE_DO_NOT_REUSE);
    assert_near(tight->tight, 0.0497, 1e-9);
    assert_near(tight->least, 0.05, 1e-12);
    assert_int_equal(tight->failing, 1);
    assert_true(isnan(tight->price_per_100h));
    assert_int_equal(b.options.pistons[0].answer, TE_FIT_TIGHT);
    assert_false(right->refused);
    assert_int_equal(right->verdict, TE_REUSE);
    assert_int_equal(b.options.pistons[1].answer, TE_FIT_WITHIN);
    assert_near(b.options.pistons[1].tight, 0.0507, 1e-9);
    bench_close(&b);
}

/* Both tolerances count: 66.01 - 0.006 - (65.945 + 0.010) = 0.049. */
static void a_new_cylinder_and_piston_at_their_tight_ends(void **state)
{
    (void)state;
    bench b;
    OPEN(&b, "B", {"condition.csv", CONDITION "B,piston,seized,reject\nB,cylinder,scored,reject\n"},
         {"spares.csv", SPARES "K,piston,M,skirt,,65.945,0.010,mm,,40\n"
                               "C,cylinder,M,bore,,66.01,0.006,mm,,90\n"});
    assert_true(option_named(&b, "C+K")->refused);
    assert_near(option_named(&b, "C+K")->tight, 0.049, 1e-9);
    bench_close(&b);
}

/* The as-new limit counts where there is no service limit, and 0 where there is none at all. What
 * was measured is judged as it is: keeping is not refused. */
static void the_least_clearance(void **state)
{
    (void)state;
    static const struct {
        const char *limit;
        double size, least;
        bool refused;
    } cases[] = {
        {"M,skirt_clearance,,mm,0.06,0.10,,0.18,no,invented\n", 65.97, 0.06, true},
        {"M,skirt_clearance,,mm,0.06,0.10,0.04,0.18,no,invented\n", 65.97, 0.04, false},
        {"M,skirt_clearance,,mm,,,,0.18,no,invented\n", 65.97, 0, false},
        {"M,skirt_clearance,,mm,,,,0.18,no,invented\n", 66.025, 0, true}, /* 0.005 - 0.005 */
        {"", 66.0249, 0, false},
        {"", 66.025, 0, true},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        bench b;
        te_grown limits = {0};
        te_grown spares = {0};
        print_message("  case %zu\n", i);
        te_grown_add(&limits, "%s%s", LIMITS BORE, cases[i].limit);
        te_grown_add(&spares, "%sK,piston,M,skirt,,%.4f,0.005,mm,,40\n", SPARES, cases[i].size);
        OPEN(&b, "B", {"limits.csv", limits.text}, {"spares.csv", spares.text},
             {"condition.csv", CONDITION "B,piston,seized,reject\n"});
        const te_option *k = option_named(&b, "K");
        assert_int_equal(k->refused, cases[i].refused);
        if (k->refused)
            assert_near(k->least, cases[i].least, 1e-12);
        assert_int_equal(b.options.pistons[0].answer == TE_FIT_TIGHT, cases[i].refused);
        bench_close(&b);
        te_grown_free(&limits);
        te_grown_free(&spares);
    }
}

/* 66.00 - 65.96 is below the least, and decided: keeping does not reuse it, but nobody refused a
 * part. */
static void keeping_is_not_refused(void **state)
{
    (void)state;
    bench b;
    OPEN(&b, "B", {"readings.csv", READINGS "B,bore,,,10,thrust,66.00,,G\nB,skirt,,,,,65.96,,G\n"});
    assert_false(option_named(&b, "-")->refused);
    assert_int_equal(option_named(&b, "-")->verdict, TE_DO_NOT_REUSE);
    bench_close(&b);
}

/* ---- sizes of new parts ---------------------------------------------------------------------- */

static void a_size_without_tolerance_is_not_stated(void **state)
{
    (void)state;
    bench b;
    OPEN(&b, "B", {"condition.csv", CONDITION "B,piston,seized,reject\n"},
         {"spares.csv", SPARES "K,piston,M,skirt,,65.93,,mm,,40\n"});
    look_at(&b, "K");
    const te_finding *skirt = finding_of(&b, "skirt", "");
    assert_near(skirt->interval.low, 65.93, 1e-12);
    assert_false(skirt->interval.stated);
    assert_int_equal(skirt->outcome, TE_UNDECIDED);
    assert_int_equal(option_named(&b, "K")->verdict, TE_MEASURE_AGAIN);
    assert_int_equal(b.options.pistons[0].answer, TE_FIT_UNKNOWN);
    bench_close(&b);
}

/* An oversize of 0.25 moves bore and skirt; a new part without a spare suits the cylinder it goes
 * with: 65.93 + 0.25, rings for 66.26 in 66.28: 0.325 + pi 0.02. A new cylinder is a standard one. */
static void new_parts_suit_the_cylinder(void **state)
{
    (void)state;
    bench b;
    OPEN(&b, "B", {"parts.csv", PARTS "C1,cylinder,E1,0,,0.25\nK1,piston,E1,0,,0.25\n"},
         {"readings.csv", READINGS "B,bore,,,10,thrust,66.28,,G\nB,skirt,,,,,66.17,,G\n"
                                   "B,end_gap,,1,10,,0.45,,G\n"});
    look_at(&b, "new/piston");
    assert_near(finding_of(&b, "skirt", "")->interval.low, 66.18, 1e-9);
    assert_int_equal(finding_of(&b, "skirt", "")->outcome, TE_AS_NEW);
    look_at(&b, "new/cylinder");
    assert_near(finding_of(&b, "bore", "")->interval.low, 66.01, 1e-9);
    look_at(&b, "new/ring_set");
    assert_near(finding_of(&b, "end_gap", "1")->interval.low, 0.325 + 0.02 * acos(-1), 1e-9);
    bench_close(&b);
}

/* With a standard cylinder from the shelf the new piston and rings are standard. */
static void new_parts_suit_the_cylinder_from_the_shelf(void **state)
{
    (void)state;
    bench b;
    OPEN(&b, "B", {"parts.csv", PARTS "C1,cylinder,E1,0,,0.25\nK1,piston,E1,0,,0.25\n"},
         {"readings.csv", READINGS "B,bore,,,10,thrust,66.28,,G\nB,skirt,,,,,66.17,,G\n"
                                   "B,end_gap,,1,10,,0.45,,G\n"},
         {"spares.csv", SPARES "CY,cylinder,M,bore,,66.01,0.01,mm,,90\n"});
    look_at(&b, "CY+new/piston+new/ring_set");
    assert_near(finding_of(&b, "bore", "")->interval.low, 66.01, 1e-9);
    assert_near(finding_of(&b, "skirt", "")->interval.low, 65.93, 1e-9);
    assert_near(finding_of(&b, "end_gap", "1")->interval.low, 0.325, 1e-9);
    assert_int_equal(finding_of(&b, "bore", "")->outcome, TE_AS_NEW);
    assert_int_equal(finding_of(&b, "skirt", "")->outcome, TE_AS_NEW);
    bench_close(&b);
}

/* Ring 2 has a size of its own; ring 1 the general one; their tolerances 0.03 and 0.06. */
static void the_row_of_an_item_beats_the_general_one(void **state)
{
    (void)state;
    bench b;
    OPEN(&b, "B",
         {"readings.csv", READINGS "B,bore,,,10,thrust,66.01,,G\nB,end_gap,,1,10,,0.45,,G\n"
                                   "B,end_gap,,2,10,,0.45,,G\n"},
         {"spares.csv", SPARES "RS,ring_set,M,end_gap,2,0.36,0.06,mm,,9\n"
                               "RS,ring_set,M,end_gap,,0.30,0.03,mm,,9\n"});
    look_at(&b, "RS");
    assert_near(finding_of(&b, "end_gap", "1")->interval.low, 0.30, 1e-9);
    assert_near(finding_of(&b, "end_gap", "2")->interval.low, 0.36, 1e-9);
    /* beside pi times the bore's own 0.0001^2 / 12 + 0.0001^2 */
    double bore = 3.14159265358979 * sqrt(1e-8 / 12 + 1e-8);
    assert_near(finding_of(&b, "end_gap", "1")->interval.u_low, hypot(0.03 / sqrt(3), bore), 1e-9);
    assert_near(finding_of(&b, "end_gap", "2")->interval.u_low, hypot(0.06 / sqrt(3), bore), 1e-9);
    bench_close(&b);
}

/* ---- end gaps
 * ------------------------------------------------------------------------------------ */

/* The gap is measured at 60 mm, the bore was gauged at 10 mm: its ends 66.03 and 66.05 count. */
static void a_gap_where_the_bore_was_not_gauged(void **state)
{
    (void)state;
    bench b;
    double pi = acos(-1);
    OPEN(&b, "B",
         {"readings.csv", READINGS "B,bore,,,10,thrust,66.03,,G\nB,bore,,,10,pin,66.05,,G\n"
                                   "B,end_gap,,1,60,,0.40,,G\n"});
    look_at(&b, "new/ring_set");
    assert_near(finding_of(&b, "end_gap", "1")->interval.low, 0.325 + pi * 0.02, 1e-9);
    assert_near(finding_of(&b, "end_gap", "1")->interval.high, 0.325 + pi * 0.04, 1e-9);
    assert_int_equal(b.options.gap_count, 1);
    assert_false(b.options.gaps[0].at_position);
    assert_near(b.options.gaps[0].least, 0.25 + pi * 0.02, 1e-9);
    assert_near(b.options.gaps[0].most, 0.40 + pi * 0.04, 1e-9);
    assert_int_equal(b.options.gaps[0].answer, TE_FIT_WITHIN);
    /* the ring that stays, in a new cylinder of 66.01 */
    look_at(&b, "new/cylinder");
    assert_near(finding_of(&b, "end_gap", "1")->interval.low, 0.40 - pi * 0.04, 1e-9);
    assert_near(finding_of(&b, "end_gap", "1")->interval.high, 0.40 - pi * 0.02, 1e-9);
    bench_close(&b);
}

/* Within half a millimetre of 10 mm the bore counts, at 10.6 mm not: (66.03 + 66.05) / 2. */
static void a_gap_takes_the_mean_at_its_height(void **state)
{
    (void)state;
    bench b;
    double pi = acos(-1);
    OPEN(&b, "B",
         {"readings.csv", READINGS "B,bore,,,10.5,thrust,66.03,,G\nB,bore,,,10,pin,66.05,,G\n"
                                   "B,bore,,,10.6,45,66.20,,G\n"
                                   "B,end_gap,,1,10,,0.40,,G\n"});
    look_at(&b, "new/ring_set");
    assert_true(b.options.gaps[0].at_position);
    assert_near(finding_of(&b, "end_gap", "1")->interval.low, 0.325 + pi * 0.03, 1e-9);
    assert_near(finding_of(&b, "end_gap", "1")->interval.high, 0.325 + pi * 0.03, 1e-9);
    bench_close(&b);
}

/* Bores without a direction count each; one place read twice is one. */
static void a_gap_where_no_direction_is_known(void **state)
{
    (void)state;
    bench b;
    double pi = acos(-1);
    OPEN(&b, "B",
         {"readings.csv", READINGS "B,bore,,,10,,66.03,,G\nB,bore,,,10.4,,66.05,,G\n"
                                   "B,bore,,,10.4,,66.05,,G\nB,end_gap,,1,10,,0.40,,G\n"});
    look_at(&b, "new/ring_set");
    assert_true(b.options.gaps[0].at_position);
    assert_near(finding_of(&b, "end_gap", "1")->interval.low, 0.325 + pi * 0.03, 1e-9);
    assert_near(finding_of(&b, "end_gap", "1")->interval.high, 0.325 + pi * 0.03, 1e-9);
    bench_close(&b);
}

/* A gap and a mean over more than fifteen directions is no form: the ends of the bore count then, as
 * where it was not gauged. */
static void a_gap_in_a_bore_of_many_directions(void **state)
{
    (void)state;
    double pi = acos(-1);
    for (int directions = 15; directions <= 16; directions++) {
        bench b;
        te_grown text = {0};
        te_grown_add(&text, READINGS "B,end_gap,,1,10,,0.40,,G\n");
        for (int i = 0; i < directions; i++)
            te_grown_add(&text, "B,bore,,,10,%d,66.0%d,,G\n", 11 * i, i == 0 ? 3 : 5);
        OPEN(&b, "B", {"readings.csv", text.text});
        look_at(&b, "new/ring_set");
        bool mean = directions == 15;
        double low = mean ? (0.02 + 14 * 0.04) / 15 : 0.02;
        double high = mean ? low : 0.04;
        assert_int_equal(b.options.gaps[0].at_position, mean);
        assert_near(finding_of(&b, "end_gap", "1")->interval.low, 0.325 + pi * low, 1e-9);
        assert_near(finding_of(&b, "end_gap", "1")->interval.high, 0.325 + pi * high, 1e-9);
        bench_close(&b);
        te_grown_free(&text);
    }
}

/* The plan wants the gap in a direction: rings, cylinder or both new, it is not missing there. */
static void a_gap_is_where_the_plan_wants_it(void **state)
{
    (void)state;
    bench b;
    OPEN(&b, "B", {"limits.csv", LIMITS BORE "M,end_gap,,mm,0.25,0.40,0.20,0.80,yes,invented\n"},
         {"plan.csv", PLAN "M,bore,,10,thrust\nM,end_gap,1,10,pin\nM,end_gap,1,10,thrust\n"},
         {"readings.csv", READINGS "B,bore,,,10,thrust,66.031,,G\nB,end_gap,,1,10,pin,0.845,,G\n"
                                   "B,end_gap,,1,10,thrust,0.78,,G\n"});
    assert_int_equal(option_named(&b, "-")->verdict, TE_DO_NOT_REUSE);
    assert_int_equal(option_named(&b, "new/ring_set")->verdict, TE_REUSE);
    static const char *const sets[] = {"new/ring_set", "new/cylinder", "new/cylinder+new/ring_set"};
    for (size_t i = 0; i < sizeof sets / sizeof *sets; i++) {
        look_at(&b, sets[i]);
        size_t gaps = 0;
        for (size_t k = 0; k < b.assessment.pool.count; k++) {
            const te_observation *x = &b.assessment.pool.items[k];
            if (x->feature == TE_Q_END_GAP) {
                assert_near(x->position, 10, 0);
                assert_near(x->direction, gaps == 0 ? 0 : 90, 0);
                gaps++;
            }
        }
        assert_int_equal(gaps, 2);
        assert_int_not_equal(finding_of(&b, "end_gap", "1")->outcome, TE_MISSING);
    }
    bench_close(&b);
}

/* Rings of the first oversize do not go into 66.03: 0.40 - pi 0.23; standard ones gape in 66.28. */
static void rings_of_the_wrong_oversize(void **state)
{
    (void)state;
    bench b;
    double pi = acos(-1);
    static const char spares[] = SPARES "R0,ring_set,M,,,,,mm,,9\nR25,ring_set,M,,,,,mm,0.25,9\n";
    OPEN(&b, "B",
         {"readings.csv", READINGS "B,bore,,,10,thrust,66.03,,G\nB,end_gap,,1,10,,0.4,,G\n"},
         {"spares.csv", spares});
    assert_int_equal(b.options.gap_count, 2);
    assert_int_equal(b.options.gaps[0].answer, TE_FIT_WITHIN);
    assert_near(b.options.gaps[1].most, 0.40 - pi * 0.23, 1e-9);
    assert_int_equal(b.options.gaps[1].answer, TE_FIT_TIGHT);
    bench_close(&b);
    OPEN(&b, "B", {"parts.csv", PARTS "C1,cylinder,E1,0,,0.25\n"},
         {"readings.csv", READINGS "B,bore,,,10,thrust,66.28,,G\nB,end_gap,,1,10,,0.4,,G\n"},
         {"spares.csv", spares});
    assert_near(b.options.gaps[0].least, 0.25 + pi * 0.27, 1e-9);
    assert_int_equal(b.options.gaps[0].answer, TE_FIT_LOOSE);
    assert_int_equal(b.options.gaps[1].answer, TE_FIT_WITHIN);
    bench_close(&b);
}

/* ---- side clearance
 * -------------------------------------------------------------------------------- */

#define LEAVES                                                     \
    READINGS "B,bore,,,10,thrust,66.03,,G\nB,skirt,,,,,65.93,,G\n" \
             "B,end_gap,,1,10,,0.40,,G\nB,side_clearance,,1,,,0.10,0.11,\n"

/* Of ring and groove one is new: between 0.04 and the leaf that did not enter. The spare's own size
 * is the as-new one: from 0.045. Both new: the new size. */
static void side_clearance_half_new(void **state)
{
    (void)state;
    bench b;
    OPEN(&b, "B", {"readings.csv", LEAVES},
         {"spares.csv", SPARES "RS,ring_set,M,,,,,mm,,9\n"
                               "RX,ring_set,M,side_clearance,1,0.050,0.005,mm,,9\n"});
    static const struct {
        const char *set;
        double value, width;
    } cases[] = {
        {"-", 0.105, 0.01},    {"RS", 0.075, 0.07},           {"new/piston", 0.075, 0.07},
        {"RX", 0.0775, 0.065}, {"new/piston+RS", 0.06, 0.04}, {"new/piston+RX", 0.05, 0.01},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        print_message("  %s\n", cases[i].set);
        look_at(&b, cases[i].set);
        const te_finding *side = finding_of(&b, "side_clearance", "1");
        assert_near(side->interval.low, cases[i].value, 1e-9);
        assert_near(side->interval.high, cases[i].value, 1e-9);
        assert_near(side->interval.u_high, cases[i].width / sqrt(12), 1e-9);
        assert_true(side->interval.stated);
    }
    bench_close(&b);
}

/* Measured between 0.02 and 0.03, under the least as-new 0.04: from the leaf that entered to the
 * largest as-new 0.08. That lower end rests on the reading, which states its step only with a leaf. */
static void side_clearance_half_new_below_as_new(void **state)
{
    (void)state;
    static const struct {
        const char *leaves;
        double least;
        bool stated;
    } cases[] = {{"0.02,0.03", 0.02, true}, {"0.03,", 0.03, false}, {"0.05,", 0.04, true}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        bench b;
        te_grown readings = {0};
        te_grown_add(&readings, "%sB,bore,,,10,thrust,66.03,,G\nB,side_clearance,,1,,,%s,\n",
                     READINGS, cases[i].leaves);
        OPEN(&b, "B", {"readings.csv", readings.text});
        look_at(&b, "new/ring_set");
        const te_finding *side = finding_of(&b, "side_clearance", "1");
        assert_near(side->interval.low, (cases[i].least + 0.08) / 2, 1e-9);
        assert_int_equal(side->interval.stated, cases[i].stated);
        bench_close(&b);
        te_grown_free(&readings);
    }
}

/* By the rule `simple` 0.04 to 0.11 is undecided at a limit of 0.10 between, and passes one of
 * 0.11. */
static void side_clearance_half_new_by_the_simple_rule(void **state)
{
    (void)state;
    static const struct {
        const char *most;
        te_outcome outcome;
    } cases[] = {{"0.10", TE_UNDECIDED}, {"0.11", TE_AS_NEW}};
    for (size_t i = 0; i < 2; i++) {
        bench b;
        te_grown limits = {0};
        te_grown_add(&limits, "%sM,side_clearance,,mm,0.04,0.08,0.03,%s,no,invented\n",
                     LIMITS BORE SKIRT GAP, cases[i].most);
        OPEN(&b, "B", {"shop.csv", "key,value\nrule,simple\n"}, {"limits.csv", limits.text},
             {"readings.csv", LEAVES});
        look_at(&b, "new/ring_set");
        assert_int_equal(finding_of(&b, "side_clearance", "1")->outcome, cases[i].outcome);
        bench_close(&b);
        te_grown_free(&limits);
    }
}

/* ---- features of the user's own
 * --------------------------------------------------------------------- */

#define CROWN LIMITS "M,crown,,mm,5.0,5.2,4.8,,no,invented\n"

/* A crown was read on the piston: a new one has the middle of the as-new limits, or its spare's
 * size. The squish was read on the engine's `other`: it stays. */
static void own_features_of_a_part_and_of_other(void **state)
{
    (void)state;
    bench b;
    OPEN(&b, "B", {"parts.csv", PARTS "K1,piston,E1,0,,\n"},
         {"limits.csv", CROWN "M,squish,,mm,0.9,1.1,0.8,1.3,no,invented\n"},
         {"readings.csv", READINGS "B,crown,K1,,,,4.9,,G\nB,squish,,,,,1.25,,G\n"},
         {"spares.csv", SPARES "KA,piston,M,,,,,mm,,40\nKB,piston,M,crown,,5.04,0.02,mm,,40\n"});
    look_at(&b, "KA");
    assert_near(finding_of(&b, "crown", "")->interval.low, 5.1, 1e-9);
    assert_near(finding_of(&b, "crown", "")->interval.u_low, 0.2 / sqrt(12), 1e-9);
    assert_near(finding_of(&b, "squish", "")->interval.low, 1.25, 1e-9);
    look_at(&b, "KB");
    assert_near(finding_of(&b, "crown", "")->interval.low, 5.04, 1e-9);
    assert_near(finding_of(&b, "crown", "")->interval.u_low, 0.02 / sqrt(3), 1e-9);
    look_at(&b, "-");
    assert_near(finding_of(&b, "crown", "")->interval.low, 4.9, 1e-9);
    bench_close(&b);
}

/* Nobody read the crown on the old piston: the spare's row says that it is the piston's. */
static void own_feature_that_only_the_spare_names(void **state)
{
    (void)state;
    bench b;
    OPEN(&b, "B", {"limits.csv", CROWN SKIRT},
         {"readings.csv", READINGS "A,crown,,,,,4.9,,G\nB,skirt,,,,,65.93,,G\n"},
         {"spares.csv", SPARES "KB,piston,M,crown,,5.04,0.02,mm,,40\nKC,piston,M,,,,,mm,,40\n"});
    look_at(&b, "KB");
    assert_near(finding_of(&b, "crown", "")->interval.low, 5.04, 1e-9);
    look_at(&b, "KC");
    assert_null(find_finding(&b, "crown", ""));
    bench_close(&b);
}

/* What neither spare nor limits tell is not predicted; where it is required it is missing. */
static void what_nothing_tells_is_missing(void **state)
{
    (void)state;
    bench b;
    OPEN(&b, "B", {"limits.csv", LIMITS BORE SKIRT "M,pin_bore,,mm,,,,16.03,yes,invented\n"},
         {"readings.csv", READINGS "B,bore,,,10,thrust,66.03,,G\nB,skirt,,,,,65.93,,G\n"
                                   "B,pin_bore,,left,,,16.005,,G\n"});
    look_at(&b, "new/piston");
    const te_finding *boss = find_finding(&b, "pin_bore", "left");
    boss = boss == NULL ? find_finding(&b, "pin_bore", "") : boss;
    assert_non_null(boss);
    assert_false(boss->computed);
    assert_int_equal(boss->outcome, TE_MISSING);
    assert_int_equal(te_assessment_assembly(&b.assessment)->verdict, TE_INCOMPLETE);
    bench_close(&b);
}

/* ---- places
 * ------------------------------------------------------------------------------------------ */

/* A new cylinder is taken to be gauged at every place of the plan: nothing is missing of it. */
static void new_parts_are_measured_as_planned(void **state)
{
    (void)state;
    bench b;
    OPEN(&b, "B", {"plan.csv", PLAN "M,bore,,10,thrust\nM,bore,,60,thrust\n"});
    assert_int_equal(option_named(&b, "-")->worst, TE_MISSING);
    look_at(&b, "new/cylinder");
    size_t places = 0;
    for (size_t i = 0; i < b.assessment.pool.count; i++)
        places += b.assessment.pool.items[i].feature == TE_Q_BORE;
    assert_int_equal(places, 2);
    assert_int_equal(finding_of(&b, "bore", "")->outcome, TE_AS_NEW);
    assert_near(finding_of(&b, "bore", "")->interval.u_high, 0.02 / sqrt(12), 1e-9);
    bench_close(&b);
}

/* The old one was gauged at 28 mm too, which is not planned: the new one is not. */
static void new_parts_are_not_measured_beside_the_plan(void **state)
{
    (void)state;
    bench b;
    OPEN(&b, "B", {"plan.csv", PLAN "M,bore,,10,thrust\n"},
         {"readings.csv", READINGS "B,bore,,,10,thrust,66.03,,G\nB,bore,,,28,thrust,66.05,,G\n"});
    look_at(&b, "new/cylinder");
    size_t places = 0;
    for (size_t i = 0; i < b.assessment.pool.count; i++)
        places += b.assessment.pool.items[i].feature == TE_Q_BORE;
    assert_int_equal(places, 1);
    bench_close(&b);
}

/* Form of a new cylinder: by its as-new limits. Without them by its readings, which are alike. */
static void form_of_a_new_cylinder(void **state)
{
    (void)state;
    static const char readings[] = READINGS
        "B,bore,,,10,thrust,66.09,,G\nB,bore,,,10,pin,66.03,,G\n";
    bench b;
    OPEN(&b, "B", {"limits.csv", LIMITS BORE "M,out_of_round,,mm,,0.010,,0.030,no,invented\n"},
         {"readings.csv", readings});
    look_at(&b, "new/cylinder");
    assert_near(finding_of(&b, "out_of_round", "")->interval.high, 0.005, 1e-12);
    assert_near(finding_of(&b, "out_of_round", "")->interval.u_high, 0.01 / sqrt(12), 1e-9);
    bench_close(&b);
    OPEN(&b, "B", {"limits.csv", LIMITS BORE "M,out_of_round,,mm,,,,0.030,no,invented\n"},
         {"readings.csv", readings});
    look_at(&b, "new/cylinder");
    assert_near(finding_of(&b, "out_of_round", "")->interval.high, 0, 0);
    assert_near(finding_of(&b, "out_of_round", "")->interval.u_high, 0, 1e-12);
    bench_close(&b);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_rejected_part_is_never_kept),
        cmocka_unit_test(a_reject_stands_until_the_part_comes_off),
        cmocka_unit_test(a_later_reject_does_not_count),
        cmocka_unit_test(a_rejected_kind_that_was_not_read_is_looked_at),
        cmocka_unit_test(a_rejected_part_of_kind_other_leaves_no_option),
        cmocka_unit_test(a_rejected_part_of_kind_other_that_came_off),
        cmocka_unit_test(a_kind_with_a_required_limit_is_looked_at),
        cmocka_unit_test(spares_of_the_model_are_the_choice),
        cmocka_unit_test(undecided_is_kept_only_to_measure_again),
        cmocka_unit_test(a_tight_end_below_the_least_is_refused),
        cmocka_unit_test(a_new_cylinder_and_piston_at_their_tight_ends),
        cmocka_unit_test(the_least_clearance),
        cmocka_unit_test(keeping_is_not_refused),
        cmocka_unit_test(a_size_without_tolerance_is_not_stated),
        cmocka_unit_test(new_parts_suit_the_cylinder),
        cmocka_unit_test(new_parts_suit_the_cylinder_from_the_shelf),
        cmocka_unit_test(the_row_of_an_item_beats_the_general_one),
        cmocka_unit_test(a_gap_where_the_bore_was_not_gauged),
        cmocka_unit_test(a_gap_takes_the_mean_at_its_height),
        cmocka_unit_test(a_gap_where_no_direction_is_known),
        cmocka_unit_test(a_gap_in_a_bore_of_many_directions),
        cmocka_unit_test(a_gap_is_where_the_plan_wants_it),
        cmocka_unit_test(rings_of_the_wrong_oversize),
        cmocka_unit_test(side_clearance_half_new),
        cmocka_unit_test(side_clearance_half_new_below_as_new),
        cmocka_unit_test(side_clearance_half_new_by_the_simple_rule),
        cmocka_unit_test(own_features_of_a_part_and_of_other),
        cmocka_unit_test(own_feature_that_only_the_spare_names),
        cmocka_unit_test(what_nothing_tells_is_missing),
        cmocka_unit_test(new_parts_are_measured_as_planned),
        cmocka_unit_test(new_parts_are_not_measured_beside_the_plan),
        cmocka_unit_test(form_of_a_new_cylinder),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
