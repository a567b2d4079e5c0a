/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Rates of several parts or engines brought together: against the recipe of the paper done with 40
 * decimal digits, a published example, properties; then the rates of a model from small shops. All
 * figures but the published ones are invented.
 */
#include "shop_kit.h"
#include "te_shop_text.h"

#include <math.h>

#include "topend/rebuild.h"

#define COUNT(array) (sizeof(array) / sizeof *(array))

enum { MOST = 13 };

/* ---- against the recipe ---------------------------------------------------------------------- */

/* Python, with D = decimal.Decimal and getcontext().prec = 40 (R. DerSimonian, N. Laird, Control.
 * Clin. Trials 7 (1986) 177; u of one more member: Higgins and others 2009, 4.1):
 *   w = [1/x**2 for x in u]; S1 = sum(w); S2 = sum(x*x for x in w)
 *   m = sum(a*b for a, b in zip(w, y))/S1
 *   Q = sum(a*(b-m)**2 for a, b in zip(w, y))
 *   b2 = max(D(0), (Q-(len(y)-1))/(S1-S2/S1))
 *   w = [1/(x**2+b2) for x in u]; m = sum(a*b for a, b in zip(w, y))/sum(w)
 *   m, (1/sum(w)+b2).sqrt(), b2.sqrt()
 */
typedef struct set {
    const char *name;
    size_t count;
    double rates[MOST], u[MOST];
    double rate, u_more, between;
} set;

static const set sets[] = {
    {"one alone is taken as it is", 1, {2.5e-4}, {3e-5}, 2.5e-4, 3e-5, 0},
    /* by hand: equal weights; Q = 2, b^2 = (2 - 1) u^2, u^2 = (1e-8 + 1e-8) / 2 + 1e-8 */
    {"two of equal weight", 2, {2e-4, 4e-4}, {1e-4, 1e-4}, 3e-4, 1.414213562373095e-4, 1e-4},
    /* Q = 0.2 is below 1: no variance between them; u^2 = 1 / (1e8 + 0.25e8) */
    {"two alike", 2, {2e-4, 3e-4}, {1e-4, 2e-4}, 2.2e-4, 8.944271909999159e-5, 0},
    {"two apart",
     2,
     {1e-4, 5e-4},
     {1e-4, 2e-4},
     2.625e-4,
     3.059309562630104e-4,
     2.345207879911715e-4},
    {"three apart",
     3,
     {1.1e-4, 1.6e-4, 4.2e-4},
     {2e-5, 3e-5, 5e-5},
     2.226860653266916e-4,
     1.419628060149901e-4,
     1.216985058075467e-4},
    {"three alike, falling",
     3,
     {-6.1e-5, -5.8e-5, -6.3e-5},
     {9e-6, 1.4e-5, 2.2e-5},
     -6.042738622419036e-5,
     7.158609622329648e-6,
     0},
    {"six apart",
     6,
     {9.4e-5, 3.36e-4, 3.72e-4, 1.28e-4, 1.86e-4, 1.57e-4},
     {1.6e-5, 9.7e-5, 8e-5, 1.5e-5, 2.8e-5, 2.8e-5},
     1.658706599956474e-4,
     5.518070060817674e-5,
     4.910492833881623e-5},
    {"six of both signs",
     6,
     {9.4e-5, 3.36e-4, -3.72e-5, 1.28e-4, 1.86e-4, 1.57e-4},
     {1.6e-4, 9.7e-4, 8e-5, 1.5e-4, 2.8e-5, 2.8e-4},
     1.137133319483016e-4,
     8.81691505056778e-5,
     6.994720557117475e-5},
};

static void sets_as_the_recipe_has_them(void **state)
{
    (void)state;
    for (size_t i = 0; i < COUNT(sets); i++) {
        const set *s = &sets[i];
        te_pooled_rate is;
        print_message("  %s\n", s->name);
        te_rates_pool(&is, s->rates, s->u, s->count);
        assert_int_equal(is.members, s->count);
        assert_near_rel(is.rate, s->rate, 1e-13);
        assert_near_rel(is.u, s->u_more, 1e-13);
        /* A difference of Q and k - 1: digits are lost where they are near each other. */
        assert_near(is.between, s->between, 1e-12 * s->u_more);
    }
}

static void none_gives_none(void **state)
{
    (void)state;
    te_pooled_rate is;
    te_rates_pool(&is, NULL, NULL, 0);
    assert_true(isnan(is.rate) && isnan(is.u));
    assert_int_equal(is.members, 0);
}

/* Mean 3e-4, s^2 = (4 + 1 + 9) / 2 e-8 = 7e-8, u^2 = s^2 + s^2 / 3. One that is not known is
 * enough. */
static void unknown_uncertainties_weigh_alike(void **state)
{
    (void)state;
    const double rates[] = {1e-4, 2e-4, 6e-4};
    const double u[][3] = {{NAN, NAN, NAN}, {1e-6, NAN, 1e-4}};
    for (size_t i = 0; i < COUNT(u); i++) {
        te_pooled_rate is;
        te_rates_pool(&is, rates, u[i], 3);
        assert_near_rel(is.rate, 3e-4, 1e-14);
        assert_near_rel(is.between, sqrt(7e-8), 1e-14);
        assert_near_rel(is.u, sqrt(7e-8 * 4 / 3), 1e-14);
        assert_int_equal(is.members, 3);
    }
}

static void one_unknown_has_a_rate_alone(void **state)
{
    (void)state;
    const double rate = -2e-4;
    const double u = NAN;
    te_pooled_rate is;
    te_rates_pool(&is, &rate, &u, 1);
    assert_near(is.rate, -2e-4, 0);
    assert_true(isnan(is.u));
    assert_int_equal(is.members, 1);
}

/* One of 0 would weigh without end: all weigh alike. Mean 2e-4, s^2 = 2e-8, u^2 = s^2 + s^2 / 2. */
static void an_uncertainty_of_0_weighs_alike(void **state)
{
    (void)state;
    const double rates[] = {1e-4, 3e-4};
    const double u[] = {0, 1e-4};
    te_pooled_rate is;
    te_rates_pool(&is, rates, u, 2);
    assert_near_rel(is.rate, 2e-4, 1e-14);
    assert_near_rel(is.between, sqrt(2e-8), 1e-14);
    assert_near_rel(is.u, sqrt(3e-8), 1e-14);
    assert_int_equal(is.members, 2);
}

/* ---- published ------------------------------------------------------------------------------- */

/* Thirteen trials (G. A. Colditz and others, JAMA 271 (1994) 698): cases and others with the
 * treatment, and without. The logarithm of the relative risk has by the method of moments the mean
 * -0.7141 with the standard error 0.1787, and a variance of 0.3088 between the trials. */
static void published_trials(void **state)
{
    (void)state;
    static const double t[MOST][4] = {
        {4, 119, 11, 128},       {6, 300, 29, 274},        {3, 228, 11, 209},
        {62, 13536, 248, 12619}, {33, 5036, 47, 5761},     {180, 1361, 372, 1079},
        {8, 2537, 10, 619},      {505, 87886, 499, 87892}, {29, 7470, 45, 7232},
        {17, 1699, 65, 1600},    {186, 50448, 141, 27197}, {5, 2493, 3, 2338},
        {27, 16886, 29, 17825},
    };
    double y[MOST];
    double u[MOST];
    for (size_t i = 0; i < MOST; i++) {
        double with = t[i][0] + t[i][1];
        double without = t[i][2] + t[i][3];
        y[i] = log(t[i][0] / with / (t[i][2] / without));
        u[i] = sqrt(1 / t[i][0] - 1 / with + 1 / t[i][2] - 1 / without);
    }
    te_pooled_rate is;
    te_rates_pool(&is, y, u, MOST);
    assert_near(is.rate, -0.7141, 0.00005);
    assert_near(is.between * is.between, 0.3088, 0.00005);
    assert_near(sqrt(is.u * is.u - is.between * is.between), 0.1787, 0.00005);
}

/* ---- properties ------------------------------------------------------------------------------ */

static size_t draw(te_random *random, double *rates, double *u)
{
    size_t count = 2 + te_random_below(random, 7);
    double spread = te_random_between(random, 0, 3) * 1e-4;
    for (size_t i = 0; i < count; i++) {
        u[i] = 1e-4 * exp(te_random_between(random, -2, 2));
        rates[i] = 2e-4 + spread * te_random_normal(random) + u[i] * te_random_normal(random);
    }
    return count;
}

static void swap(double *values, size_t a, size_t b)
{
    double kept = values[a];
    values[a] = values[b];
    values[b] = kept;
}

static void assert_same(const te_pooled_rate *is, const te_pooled_rate *expected, double scale,
                        double shift)
{
    double most = 1e-10 * expected->u * fabs(scale);
    assert_near(is->rate, scale * expected->rate + shift, most);
    assert_near(is->u, fabs(scale) * expected->u, most);
    /* A square root of what may be 0 but for rounding. */
    assert_near(is->between * is->between, pow(scale * expected->between, 2), most * is->u);
    assert_int_equal(is->members, expected->members);
}

static void pooling_is_of_a_kind(void **state)
{
    (void)state;
    te_random random = te_random_start(20260512);
    size_t rounds = te_test_rounds(2000);
    size_t apart = 0;
    for (size_t round = 0; round < rounds; round++) {
        double y[MOST];
        double u[MOST];
        double z[MOST];
        double v[MOST];
        double weights = 0;
        double least = INFINITY;
        double most = -INFINITY;
        te_pooled_rate first;
        te_pooled_rate again;
        size_t count = draw(&random, y, u);
        te_rates_pool(&first, y, u, count);
        for (size_t i = 0; i < count; i++) {
            z[i] = -3.5 * y[i] + 1e-3;
            v[i] = 3.5 * u[i];
            weights += 1 / (u[i] * u[i]);
            least = fmin(least, y[i]);
            most = fmax(most, y[i]);
        }
        te_rates_pool(&again, z, v, count);
        assert_same(&again, &first, -3.5, 1e-3);
        for (size_t i = count - 1; i > 0; i--) {
            size_t with = te_random_below(&random, i + 1);
            swap(y, i, with);
            swap(u, i, with);
        }
        te_rates_pool(&again, y, u, count);
        assert_same(&again, &first, 1, 0);
        assert_true(first.between >= 0 && first.u >= first.between);
        assert_true(first.u >=
                    sqrt(1 / weights) * (1 - 1e-12)); /* what the mean alone would have */
        assert_true(first.rate >= least && first.rate <= most);
        apart += first.between > 0;
    }
    assert_true(apart > rounds / 5 && apart < rounds); /* both ways were drawn */
}

/* ---- the engines of a model ------------------------------------------------------------------ */

/* No materials and no as-new limits: values are the readings, and there is no point at 0 h. A
 * reading with G has a variance of 0.006^2 / 12 = 3e-6 mm^2 of its own, so that a rate over 100 h
 * has u^2 = 2 * 3e-6 / 100^2 = 6e-10; the calibration is common and goes out. N states none. */
#define VISITS   "inspection,engine,date,hours\n"
#define READINGS "inspection,feature,part,item,reading,instrument\n"
#define LIMITS   "model,quantity,item,unit,service_min,service_max,required,source\n"
#define PARTS    "part,kind,engine,fitted_hours,removed_hours\n"

static const te_shop_file base[] = {
    {"engines.csv", "engine,model\nE1,M\nE2,M\nE3,M\nX1,X\nX2,X\n"},
    {"instruments.csv", "instrument,unit,resolution,expanded_uncertainty\n"
                        "G,mm,0.006,0.004\nN,mm,0.006,\n"},
    {"limits.csv", LIMITS "M,bore,,mm,,66.10,no,invented\nX,bore,,mm,,66.10,no,invented\n"},
    {"inspections.csv", VISITS "A1,E1,2026-01-01,100\nB1,E1,2026-02-01,200\n"
                               "A2,E2,2026-01-01,100\nB2,E2,2026-02-01,200\n"
                               "A3,E3,2026-01-01,100\nB3,E3,2026-02-01,200\n"
                               "AX,X1,2026-01-01,100\nBX,X1,2026-02-01,200\n"},
    {NULL, NULL},
};

/* Rates 2e-4 and 3e-4. */
#define E1 "A1,bore,,,66.02,G\nB1,bore,,,66.04,G\n"
#define E2 "A2,bore,,,66.02,G\nB2,bore,,,66.05,G\n"

typedef struct bench {
    te_made_shop made;
    te_model_rates rates;
} bench;

static void make_rates(bench *b, const char *engine)
{
    uint32_t at = te_made_engine(&b->made, engine);
    uint32_t model = b->made.tables->engines[at].model;
    assert_int_equal(te_model_rates_make(&b->rates, b->made.shop, &b->made.problems, model), TE_OK);
    assert_true(b->rates.made);
    assert_int_equal(b->rates.model, model);
}

static void open_bench(bench *b, const te_shop_file *changes)
{
    *b = (bench){0};
    te_made_read(&b->made, base, changes);
    make_rates(b, "E1");
}

static void close_bench(bench *b)
{
    te_model_rates_free(&b->rates);
    assert_null(b->rates.items);
    te_made_free(&b->made);
}

static const te_model_rate *find_rate(const te_model_rates *rates, const te_shop *shop,
                                      te_quantity quantity, const char *item, te_side side)
{
    const te_model_rate *found = NULL;
    for (size_t i = 0; i < rates->count; i++) {
        const te_model_rate *r = &rates->items[i];
        if (r->quantity == quantity && r->side == side &&
            strcmp(te_shop_text(shop, r->item), item) == 0) {
            assert_null(found); /* each once */
            found = r;
        }
    }
    return found;
}

static const te_pooled_rate *bore_of(const bench *b)
{
    const te_model_rate *r = find_rate(&b->rates, b->made.shop, TE_Q_BORE, "", TE_SIDE_HIGH);
    assert_non_null(r);
    return &r->pooled;
}

/* Q = 2 (0.5e-4)^2 / 6e-10 = 25 / 3, b^2 = (25 / 3 - 1) 6e-10 = 4.4e-9,
 * u^2 = (6e-10 + 4.4e-9) / 2 + 4.4e-9 = 6.9e-9. */
static void engines_are_the_members(void **state)
{
    (void)state;
    bench b;
    open_bench(&b, (te_shop_file[]){{"readings.csv", READINGS E1 E2}, {NULL, NULL}});
    assert_int_equal(b.rates.count, 1);
    assert_int_equal(b.rates.left_out, 0);
    assert_int_equal(bore_of(&b)->members, 2);
    assert_near_rel(bore_of(&b)->rate, 2.5e-4, 1e-9);
    assert_near_rel(bore_of(&b)->between, sqrt(4.4e-9), 1e-8);
    assert_near_rel(bore_of(&b)->u, sqrt(6.9e-9), 1e-8);
    close_bench(&b);
}

static void one_engine_does_not_tell_what_differs(void **state)
{
    (void)state;
    bench b;
    open_bench(&b, (te_shop_file[]){{"readings.csv", READINGS E1}, {NULL, NULL}});
    assert_int_equal(bore_of(&b)->members, 1);
    assert_near_rel(bore_of(&b)->rate, 2e-4, 1e-9);
    assert_true(isnan(bore_of(&b)->u));
    close_bench(&b);
}

/* Two cylinders of E1 have 2e-4 and 4e-4: b^2 = (2 (1e-4)^2 / 6e-10 - 1) 6e-10 = 1.94e-8, so that
 * E1 has 3e-4 with u^2 = (6e-10 + 1.94e-8) / 2 + 1.94e-8 = 2.94e-8. E2 has 1e-4 with 6e-10.
 * Together
 *   w = 1 / 2.94e-8, 1 / 6e-10;  m = (3e-4 w1 + 1e-4 w2) / (w1 + w2) = 1.04e-4
 *   Q = (2e-4)^2 / (2.94e-8 + 6e-10) = 4 / 3;  b^2 = (1 / 3) / (2 / (2.94e-8 + 6e-10)) = 5e-9
 *   w = 1 / 3.44e-8, 1 / 5.6e-9: m = 1e-4 + 2e-4 5.6 / 40 = 1.28e-4
 *   u^2 = 34.4 * 5.6 / 40 e-9 + 5e-9 = 9.816e-9
 * Three members at once would give about 2.33e-4. */
static void parts_of_an_engine_are_pooled_first(void **state)
{
    (void)state;
    bench b;
    open_bench(&b,
               (te_shop_file[]){{"parts.csv", PARTS "C1,cylinder,E1,0,210\nC2,cylinder,E1,210,\n"},
                                {"inspections.csv", VISITS "A1,E1,2026-01-01,100\n"
                                                           "B1,E1,2026-02-01,200\n"
                                                           "C,E1,2026-03-01,300\n"
                                                           "D,E1,2026-04-01,400\n"
                                                           "A2,E2,2026-01-01,100\n"
                                                           "B2,E2,2026-02-01,200\n"},
                                {"readings.csv", READINGS E1 "C,bore,,,66.02,G\nD,bore,,,66.06,G\n"
                                                             "A2,bore,,,66.02,G\n"
                                                             "B2,bore,,,66.03,G\n"},
                                {NULL, NULL}});
    assert_int_equal(bore_of(&b)->members, 2);
    assert_near_rel(bore_of(&b)->between, sqrt(5e-9), 1e-8);
    assert_near_rel(bore_of(&b)->rate, 1.28e-4, 1e-9);
    assert_near_rel(bore_of(&b)->u, sqrt(9.816e-9), 1e-8);
    close_bench(&b);
}

/* 2e-4, 4e-4 and 6e-4 by the gauge that states none: s = 2e-4, u^2 = s^2 + s^2 / 3. */
static void engines_without_uncertainty(void **state)
{
    (void)state;
    bench b;
    open_bench(&b, (te_shop_file[]){{"readings.csv", READINGS "A1,bore,,,66.02,N\n"
                                                              "B1,bore,,,66.04,N\n"
                                                              "A2,bore,,,66.02,N\n"
                                                              "B2,bore,,,66.06,N\n"
                                                              "A3,bore,,,66.02,N\n"
                                                              "B3,bore,,,66.08,N\n"},
                                    {NULL, NULL}});
    assert_int_equal(bore_of(&b)->members, 3);
    assert_near_rel(bore_of(&b)->rate, 4e-4, 1e-9);
    assert_near_rel(bore_of(&b)->u, sqrt(16e-8 / 3), 1e-9);
    close_bench(&b);
}

/* X1 wears three times as fast. A second run on the same rates replaces them. */
static void engines_of_another_model_do_not_count(void **state)
{
    (void)state;
    bench b;
    open_bench(&b, (te_shop_file[]){{"readings.csv", READINGS E1 E2 "AX,bore,,,66.02,G\n"
                                                                    "BX,bore,,,66.08,G\n"},
                                    {NULL, NULL}});
    assert_int_equal(bore_of(&b)->members, 2);
    assert_near_rel(bore_of(&b)->rate, 2.5e-4, 1e-9);
    make_rates(&b, "X1");
    assert_int_equal(b.rates.count, 1);
    assert_int_equal(bore_of(&b)->members, 1);
    assert_near_rel(bore_of(&b)->rate, 6e-4, 1e-9);
    close_bench(&b);
}

/* Ring 1 and ring 2, upwards to one limit and downwards to the other, are four rates. */
static void items_and_sides_are_kept_apart(void **state)
{
    (void)state;
    bench b;
    open_bench(&b,
               (te_shop_file[]){{"limits.csv", LIMITS "M,side_clearance,,mm,0.02,0.15,no,invented\n"
                                                      "X,bore,,mm,,66.10,no,invented\n"},
                                {"readings.csv", READINGS "A1,side_clearance,,1,0.04,G\n"
                                                          "B1,side_clearance,,1,0.06,G\n"
                                                          "A1,side_clearance,,2,0.04,G\n"
                                                          "B1,side_clearance,,2,0.05,G\n"
                                                          "A2,side_clearance,,1,0.04,G\n"
                                                          "B2,side_clearance,,1,0.06,G\n"},
                                {NULL, NULL}});
    assert_int_equal(b.rates.count, 4);
    for (te_side side = TE_SIDE_LOW; side <= TE_SIDE_HIGH; side++) {
        const te_model_rate *one = find_rate(&b.rates, b.made.shop, TE_Q_SIDE_CLEARANCE, "1", side);
        const te_model_rate *two = find_rate(&b.rates, b.made.shop, TE_Q_SIDE_CLEARANCE, "2", side);
        assert_true(one != NULL && two != NULL);
        assert_int_equal(one->pooled.members, 2);
        assert_near_rel(one->pooled.rate, 2e-4, 1e-9);
        assert_near(one->pooled.between, 0, 0);
        assert_near_rel(one->pooled.u, sqrt(3e-10), 1e-8); /* two of 6e-10 */
        assert_int_equal(two->pooled.members, 1);
        assert_near_rel(two->pooled.rate, 1e-4, 1e-9);
    }
    close_bench(&b);
}

/* C1 went from E1 to E2 at 250 h: its series is that of E2, where it was measured last, and counts
 * once: 66.02 at 100 h of its own, 66.04 at 200 h, 66.07 at 350 h. */
static void a_part_that_moved_counts_where_it_is(void **state)
{
    (void)state;
    bench b;
    open_bench(&b, (te_shop_file[]){{"parts.csv",
                                     "part,kind,engine,fitted_hours,removed_hours,hours_before\n"
                                     "C1,cylinder,E1,0,250,\nC1,cylinder,E2,0,,250\n"},
                                    {"inspections.csv", VISITS "A1,E1,2026-01-01,100\n"
                                                               "B1,E1,2026-02-01,200\n"
                                                               "A2,E2,2026-06-01,100\n"},
                                    {"readings.csv", READINGS E1 "A2,bore,,,66.07,G\n"},
                                    {NULL, NULL}});
    assert_int_equal(bore_of(&b)->members, 1);
    assert_near_rel(bore_of(&b)->rate, 2e-4, 1e-9);
    close_bench(&b);
}

/* An engine with one inspection has no rate: it is no member. */
static void an_engine_without_a_rate_is_no_member(void **state)
{
    (void)state;
    bench b;
    open_bench(&b,
               (te_shop_file[]){{"readings.csv", READINGS E1 "A2,bore,,,66.02,G\n"}, {NULL, NULL}});
    assert_int_equal(bore_of(&b)->members, 1);
    close_bench(&b);
}

/* E2 has a reading that is no number. E1 and E3 are pooled, E2 is counted as left out. */
static void engines_with_errors_are_left_out(void **state)
{
    (void)state;
    kit k = {.count = 0};
    te_model_rates rates = {0};
    for (const te_shop_file *file = base; file->name; file++)
        kit_text(&k, file->name, file->text);
    kit_text(&k, "readings.csv",
             READINGS E1 E2 "A2,skirt,,,0x41,G\nA3,bore,,,66.02,G\nB3,bore,,,66.05,G\n");
    kit_read(&k);
    assert_int_equal(k.status, TE_ERR_DATA);
    uint32_t model = k.t->engines[kit_engine(&k, "E1")].model;
    assert_int_equal(te_model_rates_make(&rates, k.shop, &k.problems, model), TE_OK);
    assert_int_equal(rates.left_out, 1);
    const te_model_rate *bore = find_rate(&rates, k.shop, TE_Q_BORE, "", TE_SIDE_HIGH);
    assert_non_null(bore);
    assert_int_equal(bore->pooled.members, 2);
    assert_near_rel(bore->pooled.rate, 2.5e-4, 1e-9);
    te_model_rates_free(&rates);
    kit_free(&k);
}

/* ---- words ----------------------------------------------------------------------------------- */

static void words_of_a_basis(void **state)
{
    (void)state;
    assert_string_equal(te_rate_basis_name(TE_RATE_UNKNOWN), "none");
    assert_string_equal(te_rate_basis_name(TE_RATE_ENGINE), "engine");
    assert_string_equal(te_rate_basis_name(TE_RATE_MODEL), "model");
    te_model_rates_free(NULL);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(sets_as_the_recipe_has_them),
        cmocka_unit_test(none_gives_none),
        cmocka_unit_test(unknown_uncertainties_weigh_alike),
        cmocka_unit_test(one_unknown_has_a_rate_alone),
        cmocka_unit_test(an_uncertainty_of_0_weighs_alike),
        cmocka_unit_test(published_trials),
        cmocka_unit_test(pooling_is_of_a_kind),
        cmocka_unit_test(engines_are_the_members),
        cmocka_unit_test(one_engine_does_not_tell_what_differs),
        cmocka_unit_test(parts_of_an_engine_are_pooled_first),
        cmocka_unit_test(engines_without_uncertainty),
        cmocka_unit_test(engines_of_another_model_do_not_count),
        cmocka_unit_test(items_and_sides_are_kept_apart),
        cmocka_unit_test(a_part_that_moved_counts_where_it_is),
        cmocka_unit_test(an_engine_without_a_rate_is_no_member),
        cmocka_unit_test(engines_with_errors_are_left_out),
        cmocka_unit_test(words_of_a_basis),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
