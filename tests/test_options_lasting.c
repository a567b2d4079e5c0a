/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * How long sets of parts last, which are told, and boring, from small shops. No materials, so that
 * values are the readings, and no as-new limits but where they are named: no point at 0 h. A
 * reading with G has a variance of 3e-6 mm^2 of its own and 4e-6 in common with all of G, so that
 * a rate over 100 h has u^2 = 6e-10. N states no uncertainty.
 *
 * Hours at the earliest by Python: the least d with
 *   L - y - r d = q sqrt(v + 2 c d + w d^2), q = NormalDist().inv_cdf(0.95)
 * for the level y with variance v, the rate r with variance w, and their covariance c.
 */
#include "options_kit.h"

#define PARTS     "part,kind,engine,fitted_hours,removed_hours,oversize\n"
#define VISITS    "inspection,engine,date,hours\n"
#define READINGS  "inspection,feature,part,item,position,direction,reading,instrument\n"
#define LIMITS    "model,quantity,item,unit,new_min,new_max,service_min,service_max,required,source\n"
#define CONDITION "inspection,part,finding,severity\n"
#define SPARES    "spare,kind,model,feature,item,size,tolerance,unit,oversize,price\n"
#define PLAN      "model,feature,item,position,direction\n"

#define BORE "M,bore,,mm,,,,66.10,no,invented\n"
#define CY   "CY,cylinder,M,bore,,66.01,0.01,mm,,90\n"

static const te_shop_file base[] = {
    {"engines.csv", "engine,model\nE1,M\nE2,M\nE3,M\n"},
    {"models.csv", "model,reborable\nM,\n"},
    {"instruments.csv", "instrument,resolution,expanded_uncertainty\nG,0.006,0.004\nN,0.006,\n"},
    {"limits.csv", LIMITS BORE},
    {"inspections.csv", VISITS "A,E1,2026-01-01,100\nB,E1,2026-02-01,200\n"
                               "A2,E2,2026-01-01,100\nB2,E2,2026-02-01,200\n"
                               "A3,E3,2026-01-01,100\nB3,E3,2026-02-01,200\n"},
    {"spares.csv", SPARES CY},
    {NULL, NULL},
};

#define FILES(...)                   ((const te_shop_file[]){__VA_ARGS__, {NULL, NULL}})
#define OPEN(bench, inspection, ...) bench_open((bench), base, FILES(__VA_ARGS__), (inspection))

/* Rates of 2e-4 (at 66.04 now), 2e-4 and 3e-4. */
#define E1 "A,bore,,,,,66.02,G\nB,bore,,,,,66.04,G\n"
#define E2 "A2,bore,,,,,66.02,G\nB2,bore,,,,,66.04,G\n"
#define E3 "A3,bore,,,,,66.02,G\nB3,bore,,,,,66.05,G\n"

/* ---- where the rate is from ------------------------------------------------------------------ */

/* Kept by its own series: 0.06 / 2e-4, with v = 7e-6, c = 3e-8, w = 6e-10. A new cylinder: 0.09 /
 * 2e-4, v = 0.01^2 / 3, c = 0, the same w. E2 and E3 do not matter. */
static void by_the_engine(void **state)
{
    (void)state;
    bench b;
    OPEN(&b, "B", {"readings.csv", READINGS E1 E2 E3});
    const te_lasting *kept = &option_named(&b, "-")->lasting;
    const te_lasting *fresh = &option_named(&b, "CY")->lasting;
    expect_lasting(kept, "bore", 300, 238.72168192071, 1e-6, b.made.shop);
    expect_lasting(fresh, "bore", 450, 362.83684857728, 1e-6, b.made.shop);
    assert_int_equal(kept->basis, TE_RATE_ENGINE);
    assert_int_equal(fresh->basis, TE_RATE_ENGINE);
    assert_int_equal(fresh->engines, 1);
    assert_int_equal(fresh->by_model, 0);
    assert_true(kept->bounded && fresh->bounded);
    assert_int_equal(fresh->told, 1);
    assert_int_equal(fresh->untold + fresh->unbounded, 0);
    assert_near(option_named(&b, "CY")->price_per_100h, 90 / 362.83684857728 * 100, 1e-6);
    assert_near(option_named(&b, "-")->price_per_100h, 0, 0);
    bench_close(&b);
}

/* E1 was measured once. 2.5e-4 with w = 6.9e-9 by E2 and E3 (2e-4 and 3e-4 with 6e-10 each: Q = 25
 * / 3, b^2 = 4.4e-9): 0.06 / 2.5e-4 with v = 7e-6, 0.09 / 2.5e-4 with v = 0.01^2 / 3. */
static void by_the_model(void **state)
{
    (void)state;
    bench b;
    OPEN(&b, "B",
         {"readings.csv",
          READINGS "B,bore,,,,,66.04,G\nA2,bore,,,,,66.02,G\nB2,bore,,,,,66.04,G\n" E3});
    const te_lasting *kept = &option_named(&b, "-")->lasting;
    expect_lasting(kept, "bore", 240, 154.034851045650, 1e-5, b.made.shop);
    expect_lasting(&option_named(&b, "CY")->lasting, "bore", 360, 229.136282239060, 1e-5,
                   b.made.shop);
    assert_int_equal(kept->basis, TE_RATE_MODEL);
    assert_int_equal(kept->engines, 2);
    assert_int_equal(kept->by_model, 1);
    assert_int_equal(kept->told, 1);
    assert_true(kept->bounded);
    bench_close(&b);
}

/* One engine does not tell what differs: a best estimate, 0.06 / 3e-4, and no bound; no price an
 * hour. */
static void by_one_other_engine(void **state)
{
    (void)state;
    bench b;
    OPEN(&b, "B", {"readings.csv", READINGS "B,bore,,,,,66.04,G\n" E3});
    const te_option *kept = option_named(&b, "-");
    expect_lasting(&kept->lasting, "bore", 200, 200, 1e-6, b.made.shop);
    assert_false(kept->lasting.bounded);
    assert_int_equal(kept->lasting.unbounded, 1);
    assert_int_equal(kept->lasting.engines, 1);
    assert_true(isnan(kept->price_per_100h));
    bench_close(&b);
}

static void by_none(void **state)
{
    (void)state;
    bench b;
    OPEN(&b, "B", {"readings.csv", READINGS "B,bore,,,,,66.04,G\n"});
    const te_lasting *kept = &option_named(&b, "-")->lasting;
    assert_true(isnan(kept->left) && isnan(kept->earliest));
    assert_int_equal(kept->quantity, TE_Q_NONE);
    assert_int_equal(kept->basis, TE_RATE_UNKNOWN);
    assert_int_equal(kept->told, 0);
    assert_int_equal(kept->untold, 1);
    assert_int_equal(kept->untold_quantity, TE_Q_BORE);
    bench_close(&b);
}

/* Without a stated uncertainty two points have a rate and no interval: 0.06 / 2e-4. */
static void a_series_without_an_interval(void **state)
{
    (void)state;
    bench b;
    OPEN(&b, "B", {"shop.csv", "key,value\nrule,simple\n"},
         {"readings.csv", READINGS "A,bore,,,,,66.02,N\nB,bore,,,,,66.04,N\n"});
    const te_lasting *kept = &option_named(&b, "-")->lasting;
    expect_lasting(kept, "bore", 300, 300, 1e-6, b.made.shop);
    assert_false(kept->bounded);
    assert_int_equal(kept->unbounded, 1);
    bench_close(&b);
}

/* The rate of the model has an uncertainty, the reading has none: 0.06 / 2.5e-4, and no bound. */
static void a_value_without_uncertainty_has_no_bound(void **state)
{
    (void)state;
    bench b;
    OPEN(&b, "B", {"shop.csv", "key,value\nrule,simple\n"},
         {"readings.csv", READINGS "B,bore,,,,,66.04,N\n" E2 E3});
    const te_lasting *kept = &option_named(&b, "-")->lasting;
    expect_lasting(kept, "bore", 240, 240, 1e-6, b.made.shop);
    assert_false(kept->bounded);
    assert_int_equal(kept->unbounded, 1);
    bench_close(&b);
}

/* At the limit, 0 h are left without any rate. */
static void a_value_at_its_limit_needs_no_rate(void **state)
{
    (void)state;
    bench b;
    OPEN(&b, "B", {"readings.csv", READINGS "B,bore,,,,,66.10,G\n"});
    const te_lasting *kept = &option_named(&b, "-")->lasting;
    expect_lasting(kept, "bore", 0, 0, 0, b.made.shop);
    assert_int_equal(kept->untold, 0);
    assert_true(kept->bounded);
    bench_close(&b);
}

/* A rate that leads away from the limit: no hours by the best estimate. */
static void a_rate_that_leads_away(void **state)
{
    (void)state;
    bench b;
    OPEN(&b, "B", {"readings.csv", READINGS "A,bore,,,,,66.06,G\nB,bore,,,,,66.01,G\n"});
    const te_lasting *kept = &option_named(&b, "-")->lasting;
    assert_true(isnan(kept->left) && isnan(kept->earliest));
    assert_int_equal(kept->told, 1);
    assert_int_equal(kept->untold + kept->unbounded, 0);
    bench_close(&b);
}

#define SKIRT "M,skirt,,mm,,,65.80,,no,invented\n"

/* The skirt was not measured at B (200 h). By its readings at 50 and 100 h it shrinks by 4e-4 and
 * reaches 65.80 at 100 + 0.10 / 4e-4 = 350 h: 150 h from B. A new piston does away with that. */
static void what_was_not_measured_counts_by_its_series(void **state)
{
    (void)state;
    bench b;
    OPEN(&b, "B", {"limits.csv", LIMITS BORE SKIRT},
         {"inspections.csv",
          VISITS "Z,E1,2025-12-01,50\nA,E1,2026-01-01,100\nB,E1,2026-02-01,200\n"},
         {"condition.csv", CONDITION "B,piston,streaks,watch\n"},
         {"readings.csv", READINGS E1 "Z,skirt,,,,,65.92,G\nA,skirt,,,,,65.90,G\n"});
    const te_lasting *kept = &option_named(&b, "-")->lasting;
    assert_near(kept->left, 150, 1e-6);
    assert_int_equal(kept->told, 2);
    assert_int_equal(kept->quantity, TE_Q_SKIRT);
    assert_true(kept->earliest < 150);
    look_at(&b, "new/piston");
    assert_null(find_finding(&b, "skirt", ""));
    bench_close(&b);
}

/* Of two planned places one was read: its rate is told, but that is not all of the skirt. */
static void a_series_at_too_few_places_does_not_tell_all(void **state)
{
    (void)state;
    bench b;
    for (int planned = 1; planned <= 2; planned++) {
        OPEN(&b, "B", {"limits.csv", LIMITS BORE SKIRT},
             {"plan.csv",
              planned == 1 ? PLAN "M,skirt,,12,\n" : PLAN "M,skirt,,12,\nM,skirt,,40,\n"},
             {"inspections.csv",
              VISITS "Z,E1,2025-12-01,50\nA,E1,2026-01-01,100\nB,E1,2026-02-01,200\n"},
             {"condition.csv", CONDITION "B,piston,streaks,watch\n"},
             {"readings.csv", READINGS E1 "Z,skirt,,,12,,65.92,G\nA,skirt,,,12,,65.90,G\n"});
        const te_lasting *kept = &option_named(&b, "-")->lasting;
        assert_near(kept->left, 150, 1e-6);
        assert_int_equal(kept->told, 2);
        assert_int_equal(kept->untold, planned - 1);
        if (planned == 2) {
            assert_int_equal(kept->untold_quantity, TE_Q_SKIRT);
        }
        bench_close(&b);
    }
}

/* The piston came off at 150 h: what was known of its skirt tells nothing of the one that is in. */
static void series_of_a_part_that_came_off_do_not_count(void **state)
{
    (void)state;
    bench b;
    OPEN(&b, "B", {"limits.csv", LIMITS BORE SKIRT},
         {"parts.csv", PARTS "K1,piston,E1,0,150,\nK2,piston,E1,150,,\n"},
         {"inspections.csv",
          VISITS "Z,E1,2025-12-01,50\nA,E1,2026-01-01,100\nB,E1,2026-02-01,200\n"},
         {"readings.csv", READINGS E1 "Z,skirt,,,,,65.92,G\nA,skirt,,,,,65.90,G\n"});
    expect_lasting(&option_named(&b, "-")->lasting, "bore", 300, 238.72168192071, 1e-6,
                   b.made.shop);
    assert_int_equal(option_named(&b, "-")->lasting.told, 1);
    bench_close(&b);
}

/* What came later does not count: at A (100 h) the bore has one reading and the others tell
 * 2.5e-4. */
static void an_earlier_inspection_does_not_know_the_later_ones(void **state)
{
    (void)state;
    bench b;
    OPEN(&b, "A", {"readings.csv", READINGS "A,bore,,,,,66.02,G\nB,bore,,,,,66.09,G\n"});
    /* the model is this engine alone, by all of its inspections: 7e-4, no bound */
    expect_lasting(&option_named(&b, "-")->lasting, "bore", 0.08 / 7e-4, 0.08 / 7e-4, 1e-6,
                   b.made.shop);
    assert_int_equal(option_named(&b, "-")->lasting.basis, TE_RATE_MODEL);
    bench_close(&b);
}

/* ---- so many hours
 * ------------------------------------------------------------------------------ */

static void try_hours(bench *b, double hours, const char *expected, int line)
{
    b->wish.hours = hours;
    bench_make(b, "B");
    expect_options(b, line, expected);
}

#define PIN  "M,pin,,mm,,,15.90,,no,invented\n"
#define PINS "A,pin,,,,,15.99,G\nB,pin,,,,,15.98,G\n" /* 0.08 / 1e-4: 800 h */

/* 238.7 h and 362.8 h at the earliest. */
static void sets_that_last_so_long(void **state)
{
    (void)state;
    bench b;
    OPEN(&b, "B", {"readings.csv", READINGS E1});
    try_hours(&b, 238.7, "- reuse; CY reuse", __LINE__);
    try_hours(&b, 238.8, "CY reuse", __LINE__);
    try_hours(&b, 362.8, "CY reuse", __LINE__);
    try_hours(&b, 362.9, "", __LINE__);
    try_hours(&b, NAN, "- reuse; CY reuse", __LINE__);
    bench_close(&b);
}

/* A best estimate is no bound, and what has no rate may end at once: also beside a bore that is
 * bound. */
static void without_a_bound_none_is_known_to_last(void **state)
{
    (void)state;
    static const char *const readings[] = {READINGS "B,bore,,,,,66.04,G\n" E3,
                                           READINGS "B,bore,,,,,66.04,G\n",
                                           READINGS E1 "B,pin,,,,,15.98,G\n"};
    for (size_t i = 0; i < 3; i++) {
        bench b;
        OPEN(&b, "B", {"limits.csv", LIMITS BORE PIN},
             {"spares.csv", SPARES CY "PN,pin,M,pin,,15.995,0.002,mm,,9\n"},
             {"readings.csv", readings[i]});
        assert_int_equal(option_named(&b, "-")->verdict, TE_REUSE);
        try_hours(&b, 1, "", __LINE__);
        assert_int_equal(b.options.good, 0);
        bench_close(&b);
    }
}

/* Neither limits nor a spare tell the size of a new pin: its limit is not predicted. That is no
 * reason to hold that it lasts. */
static void a_part_of_unknown_size_is_not_known_to_last(void **state)
{
    (void)state;
    bench b;
    OPEN(&b, "B", {"limits.csv", LIMITS BORE PIN},
         {"readings.csv", READINGS E1 "B,pin,,,,,15.98,G\n"});
    try_hours(&b, 1, "", __LINE__);
    bench_close(&b);
}

/* ---- which are told
 * ------------------------------------------------------------------------------ */

/* The bore is first, with or without a new pin. A new cylinder is worth its hours; that with a pin
 * is not: the bore of 450 h is still first. */
static void parts_that_gain_nothing_are_left_out(void **state)
{
    (void)state;
    bench b;
    OPEN(&b, "B", {"limits.csv", LIMITS BORE PIN}, {"readings.csv", READINGS E1 PINS},
         {"spares.csv", SPARES CY "PN,pin,M,pin,,15.995,0.002,mm,,9\n"});
    assert_int_equal(b.options.looked_at, 4);
    expect_options(&b, __LINE__, "- reuse; CY reuse");
    bench_close(&b);
}

/* The pin is first (0.02 / 1.5e-4: 133 h). With a new one (0.095 / 1.5e-4: 633 h) the bore is, at
 * 300 h, and only then a new cylinder is worth it. */
static void parts_that_gain_are_told(void **state)
{
    (void)state;
    bench b;
    OPEN(&b, "B", {"limits.csv", LIMITS BORE PIN},
         {"readings.csv", READINGS E1 "A,pin,,,,,15.935,G\nB,pin,,,,,15.92,G\n"},
         {"spares.csv", SPARES CY "PN,pin,M,pin,,15.995,0.002,mm,,9\n"});
    expect_options(&b, __LINE__, "- reuse; PN reuse; CY+PN reuse");
    assert_near(option_named(&b, "-")->lasting.left, 0.02 / 1.5e-4, 1e-6);
    assert_near(option_named(&b, "PN")->lasting.left, 300, 1e-6);
    assert_near(option_named(&b, "CY+PN")->lasting.left, 450, 1e-6);
    bench_close(&b);
}

/* Beside 66.04 in, which by the model lasts 154.03 h at the earliest, new cylinders of 66.0397 and
 * 66.0395: by the same arithmetic 154.82 h and 155.34 h. */
static void an_hour_is_no_gain(void **state)
{
    (void)state;
    static const struct {
        const char *size;
        const char *expected;
    } cases[] = {{"66.0397", "- reuse"}, {"66.0395", "- reuse; CZ reuse"}};
    for (size_t i = 0; i < 2; i++) {
        bench b;
        te_grown spares = {0};
        /* A spare as uncertain as the reading: a variance of 7e-6. */
        te_grown_add(&spares, "%sCZ,cylinder,M,bore,,%s,0.00458257569,mm,,90\n", SPARES,
                     cases[i].size);
        OPEN(&b, "B", {"spares.csv", spares.text},
             {"readings.csv", READINGS "B,bore,,,,,66.04,G\n" E2 E3});
        expect_options(&b, __LINE__, cases[i].expected);
        bench_close(&b);
        te_grown_free(&spares);
    }
}

/* Cylinders that do alike are all told, by price; the one without a price is last; of equal price
 * the one that stands first in spares.csv. */
static void prices_order_the_options(void **state)
{
    (void)state;
    bench b;
    OPEN(&b, "B", {"condition.csv", CONDITION "B,cylinder,scored,reject\n"},
         {"readings.csv", READINGS E1},
         {"spares.csv",
          SPARES "C0,cylinder,M,bore,,66.01,0.01,mm,,\nC1,cylinder,M,bore,,66.01,0.01,mm,,95\n"
                 "C2,cylinder,M,bore,,66.01,0.01,mm,,90\nC3,cylinder,M,bore,,66.01,0.01,mm,,95\n"});
    expect_options(&b, __LINE__, "C2 reuse; C1 reuse; C3 reuse; C0 reuse");
    assert_true(isnan(option_named(&b, "C0")->price));
    assert_true(isnan(option_named(&b, "C0")->price_per_100h));
    assert_near(option_named(&b, "C1")->price, 95, 0);
    bench_close(&b);
}

/* Bore and clearance grow by 4e-4. C1 alone lasts 75 h (0.15 to 0.18), with K 125 h (the bore
 * 66.05 to 66.10); C2 alone 175 h (0.11 to 0.18), with K 225 h. C2 costs less than C1 and K
 * together, of which it has one kind only: C1+K is left out, unless C2 costs more. */
static void a_cheaper_set_of_fewer_kinds_outdoes(void **state)
{
    (void)state;
    static const struct {
        const char *price, *expected;
    } cases[] = {
        {"90", "C2 reuse; C1 reuse; C2+K reuse; - do_not_reuse"},
        {"140", "C1 reuse; C1+K reuse; C2 reuse; C2+K reuse; - do_not_reuse"},
    };
    for (size_t i = 0; i < 2; i++) {
        bench b;
        te_grown spares = {0};
        te_grown_add(
            &spares,
            "%sC1,cylinder,M,bore,,66.05,0.002,mm,,95\nC2,cylinder,M,bore,,66.01,0.002,mm,,%s\n"
            "K,piston,M,skirt,,65.93,0.002,mm,,40\n",
            SPARES, cases[i].price);
        OPEN(&b, "B", {"limits.csv", LIMITS BORE "M,skirt_clearance,,mm,,,0.05,0.18,no,invented\n"},
             {"spares.csv", spares.text},
             {"readings.csv", READINGS "A,bore,,,,,66.11,G\nB,bore,,,,,66.15,G\n"
                                       "A,skirt,,,,,65.90,G\nB,skirt,,,,,65.90,G\n"});
        expect_options(&b, __LINE__, cases[i].expected);
        assert_near(option_named(&b, "C1")->lasting.left, 75, 1e-6);
        assert_near(option_named(&b, "C2+K")->lasting.left, 225, 1e-6);
        bench_close(&b);
        te_grown_free(&spares);
    }
}

/* Bore and pin are beyond. */
static void of_those_that_may_not_the_cheaper_are_told(void **state)
{
    (void)state;
    bench b;
    OPEN(&b, "B", {"limits.csv", LIMITS BORE PIN},
         {"readings.csv", READINGS "A,bore,,,,,66.10,G\nB,bore,,,,,66.15,G\nA,pin,,,,,15.89,G\n"
                                   "B,pin,,,,,15.88,G\n"},
         {"spares.csv",
          SPARES CY "PN,pin,M,pin,,15.995,0.002,mm,,9\nPM,pin,M,pin,,15.995,0.002,mm,,120\n"});
    /* PN alone mends the pin: fewer reasons than keeping. PM is dearer than CY+PN; CY alone is
     * cheaper. */
    expect_options(&b, __LINE__,
                   "CY+PN reuse; CY+PM reuse; - do_not_reuse; PN do_not_reuse; CY do_not_reuse");
    bench_close(&b);
}

/* ---- too many
 * ------------------------------------------------------------------------------------- */

/* 400 cylinders and 400 pins: 401 * 401 sets are more than 100,000. */
static void too_many_sets_are_not_tried(void **state)
{
    (void)state;
    bench b;
    te_grown spares = {0};
    te_grown_add(&spares, "%s", SPARES);
    for (int i = 0; i < 400; i++)
        te_grown_add(&spares,
                     "C%d,cylinder,M,bore,,66.01,0.01,mm,,9\nP%d,pin,M,pin,,15.99,0.002,mm,,9\n", i,
                     i);
    OPEN(&b, "B", {"limits.csv", LIMITS BORE PIN}, {"spares.csv", spares.text},
         {"readings.csv", READINGS E1 PINS});
    assert_true(b.options.too_many);
    assert_int_equal(b.options.count, 0);
    assert_int_equal(b.options.good, 0);
    assert_int_equal(b.options.looked_at, 0);
    bench_close(&b);
    te_grown_free(&spares);
}

/* A series of more than 1,000 points. */
static void a_series_too_long_is_refused(void **state)
{
    (void)state;
    bench b = {.wish = {.hone = TE_HONE, .hours = NAN}};
    te_grown visits = {0};
    te_grown readings = {0};
    te_grown_add(&visits, "%s", VISITS);
    te_grown_add(&readings, "%s", READINGS);
    for (int i = 0; i <= TE_SERIES_POINTS; i++) {
        te_grown_add(&visits, "V%d,E1,%d-%02d-%02d,%d\n", i, 2000 + i / 300, 1 + i / 25 % 12,
                     1 + i % 25, 10 + i);
        te_grown_add(&readings, "V%d,bore,,,,,66.02,G\n", i);
    }
    te_made_read(&b.made, base,
                 FILES({"inspections.csv", visits.text}, {"readings.csv", readings.text}));
    assert_int_equal(te_options_make(&b.options, &b.rates, b.made.shop, &b.made.problems,
                                     te_made_inspection(&b.made, "V1000"), &b.wish),
                     TE_ERR_FULL);
    bench_make(&b, "V999"); /* a thousand are not too many, and the object still serves */
    assert_non_null(find_option(&b, "-"));
    bench_close(&b);
    te_grown_free(&visits);
    te_grown_free(&readings);
}

/* ---- boring
 * ---------------------------------------------------------------------------------------- */

#define FIT                                              \
    LIMITS "M,bore,,mm,66.00,66.02,,66.10,no,invented\n" \
           "M,skirt_clearance,,mm,0.06,0.10,0.05,0.18,no,invented\n"
#define OVERSIZES                                         \
    SPARES "K25,piston,M,skirt,,66.18,0.005,mm,0.25,40\n" \
           "K50,piston,M,skirt,,66.43,0.005,mm,0.50,41\n"
#define REBORABLE "model,reborable\nM,yes\n"

static void open_worn(bench *b, const char *model, const char *bore, const char *limits,
                      const char *spares)
{
    te_grown readings = {0};
    te_grown_add(&readings, "%sB,bore,,,10,thrust,%s,G\nB,skirt,,,,,65.93,G\n", READINGS, bore);
    OPEN(b, "B", {"models.csv", model}, {"limits.csv", limits}, {"spares.csv", spares},
         {"readings.csv", readings.text});
    te_grown_free(&readings);
}

static void boring_only_where_the_model_says_so(void **state)
{
    (void)state;
    static const char *const models[] = {"model,reborable\nM,no\n", "model,reborable\nM,\n"};
    for (size_t i = 0; i < 2; i++) {
        bench b;
        open_worn(&b, models[i], "66.12", FIT, OVERSIZES);
        assert_int_equal(b.options.rebore.answer, TE_REBORE_NOT_SAID);
        assert_false(is_candidate(&b, "rebored/cylinder"));
        bench_close(&b);
    }
}

/* 66.18 + 0.08 = 66.26. The bore of 66.24 is cleaned up with an allowance of 0.02, and not with
 * 0.0201: then 66.43 + 0.08 = 66.51 is next. 66.50 is too worn for both. */
static void the_honing_allowance_moves_the_oversize(void **state)
{
    (void)state;
    bench b;
    open_worn(&b, REBORABLE, "66.24", FIT, OVERSIZES);
    assert_int_equal(b.options.rebore.answer, TE_REBORE_OFFERED);
    assert_near(b.options.rebore.oversize, 0.25, 0);
    assert_near(b.options.rebore.largest, 66.24, 1e-12);
    b.wish.hone = 0.0201;
    bench_make(&b, "B");
    assert_int_equal(b.options.rebore.answer, TE_REBORE_OFFERED);
    assert_near(b.options.rebore.oversize, 0.5, 0);
    assert_near(b.options.rebore.hone, 0.0201, 0);
    assert_near(b.options.candidates[candidate_of(&b, "rebored/cylinder")].bore, 66.51, 1e-9);
    b.wish.hone = 0.28;
    bench_make(&b, "B");
    assert_int_equal(b.options.rebore.answer, TE_REBORE_TOO_WORN);
    assert_false(is_candidate(&b, "rebored/cylinder"));
    bench_close(&b);
}

/* Of two pistons of 0.25 the smaller (66.15 + 0.08) does not clean 66.22 up. */
static void each_piston_has_its_own_bore(void **state)
{
    (void)state;
    bench b;
    open_worn(&b, REBORABLE, "66.22", FIT,
              SPARES "KS,piston,M,skirt,,66.15,0.005,mm,0.25,40\n"
                     "KL,piston,M,skirt,,66.18,0.005,mm,0.25,41\n"
                     "KX,piston,M,skirt,,66.19,0.005,mm,0.25,42\n");
    double bores[2] = {0};
    size_t count = 0;
    for (size_t i = 0; i < b.options.candidate_count; i++) {
        const te_candidate *c = &b.options.candidates[i];
        if (!c->rebored)
            continue;
        assert_true(count < 2);
        bores[count++] = c->bore;
        assert_near(c->bore - b.options.candidates[c->piston].oversize, 66.01, 0.02);
    }
    assert_int_equal(count, 2);
    assert_near(bores[0], 66.26, 1e-9);
    assert_near(bores[1], 66.27, 1e-9);
    /* Two sets of a rebored cylinder and its piston; the cylinder kept or new with four pistons. */
    assert_int_equal(b.options.looked_at, 2 + 2 * 4);
    for (size_t i = 0; i < b.options.count; i++) {
        const te_option *o = &b.options.items[i];
        uint32_t cylinder = o->candidate[TE_KIND_CYLINDER];
        if (cylinder != TE_NO_INDEX && b.options.candidates[cylinder].rebored)
            assert_int_equal(o->candidate[TE_KIND_PISTON], b.options.candidates[cylinder].piston);
    }
    bench_close(&b);
}

/* An oversize of 0.25 is in: the next is 0.50. */
static void boring_goes_to_a_larger_oversize(void **state)
{
    (void)state;
    bench b;
    OPEN(&b, "B", {"models.csv", REBORABLE}, {"limits.csv", FIT}, {"spares.csv", OVERSIZES},
         {"parts.csv", PARTS "C1,cylinder,E1,0,,0.25\n"},
         {"readings.csv", READINGS "B,bore,,,10,thrust,66.20,G\nB,skirt,,,,,66.17,G\n"});
    assert_int_equal(b.options.rebore.answer, TE_REBORE_OFFERED);
    assert_near(b.options.rebore.oversize, 0.5, 0);
    bench_close(&b);
}

static void why_boring_is_not_offered(void **state)
{
    (void)state;
    bench b;
    open_worn(&b, REBORABLE, "66.12", FIT, SPARES "K0,piston,M,skirt,,65.93,0.005,mm,,40\n");
    assert_int_equal(b.options.rebore.answer, TE_REBORE_NO_PISTON);
    bench_close(&b);
    open_worn(&b, REBORABLE, "66.12",
              LIMITS "M,bore,,mm,66.00,66.02,,66.10,no,invented\n"
                     "M,skirt_clearance,,mm,0.06,,0.05,0.18,no,invented\n",
              OVERSIZES);
    assert_int_equal(b.options.rebore.answer, TE_REBORE_NO_CLEARANCE);
    bench_close(&b);
    OPEN(&b, "B", {"models.csv", REBORABLE}, {"limits.csv", FIT}, {"spares.csv", OVERSIZES},
         {"readings.csv", READINGS "B,skirt,,,,,65.93,G\n"});
    assert_int_equal(b.options.rebore.answer, TE_REBORE_NO_BORE);
    assert_true(isnan(b.options.rebore.largest));
    bench_close(&b);
    OPEN(&b, "B", {"models.csv", REBORABLE}, {"limits.csv", FIT}, {"spares.csv", OVERSIZES},
         {"plan.csv", PLAN "M,bore,,10,thrust\nM,bore,,60,thrust\n"},
         {"readings.csv", READINGS "B,bore,,,10,thrust,66.12,G\nB,skirt,,,,,65.93,G\n"});
    assert_int_equal(b.options.rebore.answer, TE_REBORE_NO_BORE);
    assert_false(is_candidate(&b, "rebored/cylinder"));
    bench_close(&b);
}

static size_t conditions_of(const te_assessment *a, const te_verdict *verdict)
{
    size_t count = 0;
    for (uint32_t i = 0; i < verdict->reason_count; i++)
        count += a->reasons[verdict->first_reason + i].kind == TE_REASON_CONDITION;
    return count;
}

/* What was seen on a cylinder counts for it when it is bored, and for no other cylinder. */
static void what_was_seen_stays_on_a_bored_cylinder(void **state)
{
    (void)state;
    static const struct {
        const char *set;
        size_t of_assembly;
    } cases[] = {{"-", 2}, {"rebored/cylinder+K25", 1}, {"new/cylinder", 1}, {"K25", 1}};
    bench b;
    OPEN(&b, "B", {"models.csv", REBORABLE}, {"limits.csv", FIT}, {"spares.csv", OVERSIZES},
         {"condition.csv", CONDITION "B,cylinder,light marks,watch\nB,piston,streaks,watch\n"},
         {"readings.csv", READINGS "B,bore,,,10,thrust,66.12,G\nB,skirt,,,,,65.93,G\n"});
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        print_message("  %s\n", cases[i].set);
        look_at(&b, cases[i].set);
        assert_int_equal(conditions_of(&b.assessment, te_assessment_assembly(&b.assessment)),
                         cases[i].of_assembly);
    }
    bench_close(&b);
}

/* Limits in inches take an oversize in inches: 2.6055 in + 0.003 in = 2.6085 in, limits at 2.598 +
 * 0.010. */
static void an_oversize_in_inches(void **state)
{
    (void)state;
    bench b;
    OPEN(&b, "B", {"models.csv", REBORABLE},
         {"limits.csv", LIMITS "M,bore,,in,2.5980,2.5990,,2.6020,no,invented\n"
                               "M,skirt,,in,2.5950,2.5960,2.5930,,no,invented\n"
                               "M,skirt_clearance,,in,0.002,0.004,0.0015,0.007,no,invented\n"},
         {"spares.csv", SPARES "K10,piston,M,skirt,,2.6055,0.0002,in,0.010,40\n"},
         {"readings.csv", READINGS "B,bore,,,10,thrust,66.12,G\nB,skirt,,,,,65.92,G\n"});
    assert_int_equal(b.options.rebore.answer, TE_REBORE_OFFERED);
    assert_near(b.options.rebore.oversize, 0.01, 0);
    look_at(&b, "rebored/cylinder+K10");
    assert_near(finding_of(&b, "bore", "")->interval.low, 2.6085 * 25.4, 1e-9);
    assert_near(finding_of(&b, "bore", "")->limit.new_max, 2.6090 * 25.4, 1e-9);
    assert_int_equal(finding_of(&b, "bore", "")->outcome, TE_AS_NEW);
    assert_int_equal(finding_of(&b, "skirt", "")->outcome, TE_AS_NEW);
    assert_near(finding_of(&b, "skirt_clearance", "")->interval.low, 0.003 * 25.4, 1e-9);
    bench_close(&b);
}

/* The bore without as-new limits has nothing that the hone keeps: not stated, to be measured. */
static void a_rebored_bore_without_as_new_limits(void **state)
{
    (void)state;
    bench b;
    open_worn(&b, REBORABLE, "66.12",
              LIMITS BORE "M,skirt_clearance,,mm,0.06,0.10,0.05,0.18,no,invented\n", OVERSIZES);
    look_at(&b, "rebored/cylinder+K25");
    assert_near(finding_of(&b, "bore", "")->interval.low, 66.26, 1e-9);
    assert_false(finding_of(&b, "bore", "")->interval.stated);
    assert_int_equal(finding_of(&b, "bore", "")->outcome, TE_UNDECIDED);
    bench_close(&b);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(by_the_engine),
        cmocka_unit_test(by_the_model),
        cmocka_unit_test(by_one_other_engine),
        cmocka_unit_test(by_none),
        cmocka_unit_test(a_series_without_an_interval),
        cmocka_unit_test(a_value_without_uncertainty_has_no_bound),
        cmocka_unit_test(a_value_at_its_limit_needs_no_rate),
        cmocka_unit_test(a_rate_that_leads_away),
        cmocka_unit_test(what_was_not_measured_counts_by_its_series),
        cmocka_unit_test(a_series_at_too_few_places_does_not_tell_all),
        cmocka_unit_test(series_of_a_part_that_came_off_do_not_count),
        cmocka_unit_test(an_earlier_inspection_does_not_know_the_later_ones),
        cmocka_unit_test(sets_that_last_so_long),
        cmocka_unit_test(without_a_bound_none_is_known_to_last),
        cmocka_unit_test(a_part_of_unknown_size_is_not_known_to_last),
        cmocka_unit_test(parts_that_gain_nothing_are_left_out),
        cmocka_unit_test(parts_that_gain_are_told),
        cmocka_unit_test(an_hour_is_no_gain),
        cmocka_unit_test(prices_order_the_options),
        cmocka_unit_test(a_cheaper_set_of_fewer_kinds_outdoes),
        cmocka_unit_test(of_those_that_may_not_the_cheaper_are_told),
        cmocka_unit_test(too_many_sets_are_not_tried),
        cmocka_unit_test(a_series_too_long_is_refused),
        cmocka_unit_test(boring_only_where_the_model_says_so),
        cmocka_unit_test(the_honing_allowance_moves_the_oversize),
        cmocka_unit_test(each_piston_has_its_own_bore),
        cmocka_unit_test(boring_goes_to_a_larger_oversize),
        cmocka_unit_test(why_boring_is_not_offered),
        cmocka_unit_test(what_was_seen_stays_on_a_bored_cylinder),
        cmocka_unit_test(an_oversize_in_inches),
        cmocka_unit_test(a_rebored_bore_without_as_new_limits),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
