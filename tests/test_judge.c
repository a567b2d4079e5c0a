/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * te_judge and te_conformity: probabilities against published figures and normal tables, every
 * status at its border, and the uncertainty that would decide, tried out.
 */
#include "te_test.h"

#include <math.h>
#include <string.h>

#include "topend/judge.h"

/* A value with one uncertainty, without leaves. */
static te_interval exactly(double value, double u)
{
    return (te_interval){.low = value,
                         .high = value,
                         .u_low = u,
                         .u_high = u,
                         .stated = true,
                         .low_least = value,
                         .low_most = value,
                         .high_least = value,
                         .high_most = value};
}

static te_interval between(double low, double high, double u)
{
    return (te_interval){.low = low,
                         .high = high,
                         .u_low = u,
                         .u_high = u,
                         .stated = true,
                         .low_least = low,
                         .low_most = low,
                         .high_least = high,
                         .high_most = high};
}

static te_interval not_stated(te_interval x)
{
    x.stated = false;
    return x;
}

static te_judgement judge(te_interval x, te_bounds bounds, te_rule rule, double confidence)
{
    te_judgement j;
    assert_int_equal(te_judge(&j, &x, &bounds, rule, confidence), TE_OK);
    return j;
}

#define NONE           NAN
#define UP_TO(most)    ((te_bounds){NONE, NONE, NONE, (most)})
#define DOWN_TO(least) ((te_bounds){NONE, NONE, (least), NONE})

static void expect(te_judgement j, te_outcome outcome, int line)
{
    if (j.outcome != outcome)
        fail_msg("case of line %d: %s, expected %s", line, te_outcome_name(j.outcome),
                 te_outcome_name(outcome));
}

/* ---- probabilities ----------------------------------------------------------------------- */

/* JCGM 106:2012, the breakdown voltage of a diode: upper limit -5.40 V, -5.47 V measured with
 * u 0.05 V: Phi(1.4) = 0.919243. */
static void the_conformity_of_the_diode(void **state)
{
    (void)state;
    te_interval x = exactly(-5.47, 0.05);
    assert_near(te_conformity(&x, NONE, -5.40), 0.919243, 5e-7);
    /* the same in the mirror */
    x = exactly(5.47, 0.05);
    assert_near(te_conformity(&x, 5.40, NONE), 0.919243, 5e-7);
}

/* JCGM 106:2012, the speed limit: 100 km/h, u 2 % of the reading: 99.9 % sure of an excess from
 * 106.6 (107) km/h; exactly 100 / (1 - 3.0902 x 0.02) = 106.588. */
static void the_speed_alarm(void **state)
{
    (void)state;
    te_interval x = exactly(106.6, 0.02 * 106.6);
    assert_true(te_conformity(&x, 100, NONE) >= 0.999);
    x = exactly(106.5, 0.02 * 106.5);
    assert_true(te_conformity(&x, 100, NONE) < 0.999);
    double alarm = 100 / (1 - 0.02 * 3.0902);
    x = exactly(alarm, 0.02 * alarm);
    assert_near(te_conformity(&x, 100, NONE), 0.999, 1e-6);
}

/*
 * JCGM 106:2012, the global risks of a resistor: limits 1499.8 to 1500.2, process 1500 with
 * standard deviation 0.12, u 0.04. A value y is accepted inside the limits less a guard band w. The
 * probability that eta is measured within them is the conformity of eta to them, so that
 *   consumer's risk = integral over eta outside the limits of f(eta) P(accepted | eta)
 *   producer's risk = integral over eta inside of f(eta) (1 - P(accepted | eta)).
 * Published for w = 0: 1.9 % and 3.7 % (1.894, 3.721 recomputed); for w = 0.08: 0.05 % and 24.8 %
 * (0.0469, 24.77). Midpoint rule in steps of 1e-4 over 8 standard deviations.
 */
static void the_global_risks_of_the_resistor(void **state)
{
    (void)state;
    static const struct {
        double guard, consumer, producer;
    } cases[] = {{0, 0.01894, 0.03721}, {0.08, 0.000469, 0.2477}};
    for (size_t i = 0; i < 2; i++) {
        const double step = 1e-4, sd = 0.12, root = 2.50662827463100050;
        double consumer = 0, producer = 0;
        for (int k = -9600; k < 9600; k++) {
            double eta = (k + 0.5) * step, f = exp(-eta * eta / (2 * sd * sd)) / (sd * root);
            te_interval x = exactly(eta, 0.04);
            double accepted = te_conformity(&x, -0.2 + cases[i].guard, 0.2 - cases[i].guard) * f *
                              step;
            if (fabs(eta) > 0.2)
                consumer += accepted;
            else
                producer += f * step - accepted;
        }
        assert_near(consumer, cases[i].consumer, 5e-4 * cases[i].consumer + 5e-7);
        assert_near(producer, cases[i].producer, 5e-4 * cases[i].producer);
    }
}

/* Both limits: one minus the two tails, each with its own value and uncertainty. Phi(1) =
 * 0.841344746, Phi(2) = 0.977249868 (tables): 1 - 0.158655254 - 0.022750132. */
static void two_limits_subtract_two_tails(void **state)
{
    (void)state;
    te_interval x = between(10, 12, 1);
    x.u_high = 3;
    assert_near(te_conformity(&x, 8, 15), 0.818594614, 5e-10);
    assert_near(te_conformity(&x, 8, NONE), 0.977249868, 5e-10);
    assert_near(te_conformity(&x, NONE, 15), 0.841344746, 5e-10);
    assert_near(te_conformity(&x, NONE, NONE), 1, 0);
    /* limits that lie the wrong side of both values: not below 0 */
    assert_near(te_conformity(&x, 13, 9), 0, 0);
    /* a tail keeps its digits: Phi(-10) = 7.61985302416e-24 */
    x = exactly(10, 1);
    assert_near_rel(te_conformity(&x, NONE, 0), 7.61985302416e-24, 1e-11);
}

/* ---- guarded ----------------------------------------------------------------------------- */

/* One-sided normal deviates of the tables, to 4 decimals. */
static const struct {
    double confidence, z;
} table[] = {{0.80, 0.8416}, {0.90, 1.2816}, {0.95, 1.6449}, {0.99, 2.3263}, {0.999, 3.0902}};

/* On each side of an upper and a lower limit, half a unit of the table's last digit decides. */
static void the_guard_band_is_that_of_the_tables(void **state)
{
    (void)state;
    const double half = 0.5e-4, limit = 66.1, u = 0.004;
    for (size_t i = 0; i < sizeof table / sizeof *table; i++) {
        const double c = table[i].confidence, z = table[i].z;
        for (int side = -1; side <= 1; side += 2) {
            te_bounds b = side > 0 ? UP_TO(limit) : DOWN_TO(limit);
            expect(judge(exactly(limit - side * (z + half) * u, u), b, TE_RULE_GUARDED, c),
                   TE_SERVICEABLE, __LINE__);
            expect(judge(exactly(limit - side * (z - half) * u, u), b, TE_RULE_GUARDED, c),
                   TE_UNDECIDED, __LINE__);
            expect(judge(exactly(limit + side * (z - half) * u, u), b, TE_RULE_GUARDED, c),
                   TE_UNDECIDED, __LINE__);
            expect(judge(exactly(limit + side * (z + half) * u, u), b, TE_RULE_GUARDED, c),
                   TE_BEYOND, __LINE__);
            te_judgement j = judge(exactly(limit - side * z * u, u), b, TE_RULE_GUARDED, c);
            assert_near(j.p_within, c, 2e-5);
        }
    }
}

/* An upper limit judges high, a lower one low. */
static void each_limit_judges_its_own_value(void **state)
{
    (void)state;
    const te_interval x = between(66.00, 66.09, 0.001);
    expect(judge(x, UP_TO(66.05), TE_RULE_GUARDED, 0.95), TE_BEYOND, __LINE__);
    expect(judge(x, UP_TO(66.10), TE_RULE_GUARDED, 0.95), TE_SERVICEABLE, __LINE__);
    expect(judge(x, DOWN_TO(66.05), TE_RULE_GUARDED, 0.95), TE_BEYOND, __LINE__);
    expect(judge(x, DOWN_TO(65.99), TE_RULE_GUARDED, 0.95), TE_SERVICEABLE, __LINE__);
    expect(judge(x, UP_TO(66.05), TE_RULE_SIMPLE, 0.95), TE_BEYOND, __LINE__);
    expect(judge(x, DOWN_TO(66.05), TE_RULE_SIMPLE, 0.95), TE_BEYOND, __LINE__);
}

/* With two limits the tails add: 1.7 u from each (tails 0.0446 each) is not 95 %, 2 u is
 * (0.0455 in all). A window narrower than the uncertainty allows is beyond for any value: at its
 * middle, half width 0.06 u, 2 Phi(0.06) - 1 = 0.0478. */
static void two_limits_share_the_doubt(void **state)
{
    (void)state;
    const te_bounds wide = {NONE, NONE, -1.7, 1.7}, wider = {NONE, NONE, -2, 2};
    const te_bounds narrow = {NONE, NONE, -0.06, 0.06}, less = {NONE, NONE, -0.065, 0.065};
    expect(judge(exactly(0, 1), wide, TE_RULE_GUARDED, 0.95), TE_UNDECIDED, __LINE__);
    expect(judge(exactly(0, 1), wider, TE_RULE_GUARDED, 0.95), TE_SERVICEABLE, __LINE__);
    expect(judge(exactly(0, 1), narrow, TE_RULE_GUARDED, 0.95), TE_BEYOND, __LINE__);
    expect(judge(exactly(0, 1), less, TE_RULE_GUARDED, 0.95), TE_UNDECIDED, __LINE__);
    assert_near(judge(exactly(0, 1), wider, TE_RULE_GUARDED, 0.95).p_within, 0.954499736, 5e-10);
}

/* Nothing is known of the uncertainty: inside is undecided, outside is beyond, no probability. */
static void what_is_not_stated_is_not_passed(void **state)
{
    (void)state;
    const te_interval inside = not_stated(exactly(66.0, 0)), outside = not_stated(exactly(66.2, 0));
    te_judgement j = judge(inside, UP_TO(66.1), TE_RULE_GUARDED, 0.95);
    expect(j, TE_UNDECIDED, __LINE__);
    assert_true(isnan(j.p_within));
    j = judge(outside, UP_TO(66.1), TE_RULE_GUARDED, 0.95);
    expect(j, TE_BEYOND, __LINE__);
    assert_true(isnan(j.p_within) && isnan(j.u_needed));
    /* one that is not stated may have any uncertainty in it, even no number */
    te_interval x = inside;
    x.u_low = x.u_high = NAN;
    expect(judge(x, UP_TO(66.1), TE_RULE_GUARDED, 0.95), TE_UNDECIDED, __LINE__);
    /* as-new limits alone are compared plainly */
    const te_bounds as_new = {65.9, 66.1, NONE, NONE};
    expect(judge(inside, as_new, TE_RULE_GUARDED, 0.95), TE_AS_NEW, __LINE__);
    expect(judge(outside, as_new, TE_RULE_GUARDED, 0.95), TE_OUTSIDE_NEW, __LINE__);
}

/* Without uncertainty the value decides, and at the limit is inside, also by a difference of two
 * decimal figures (66.01 - 66.00 - 0.01 is about 5e-15). */
static void without_uncertainty_the_value_decides(void **state)
{
    (void)state;
    te_judgement j = judge(exactly(66.1, 0), UP_TO(66.1), TE_RULE_GUARDED, 0.95);
    expect(j, TE_SERVICEABLE, __LINE__);
    assert_near(j.p_within, 1, 0);
    j = judge(exactly(66.1000001, 0), UP_TO(66.1), TE_RULE_GUARDED, 0.95);
    expect(j, TE_BEYOND, __LINE__);
    assert_near(j.p_within, 0, 0);
    expect(judge(exactly(66.1, 0), DOWN_TO(66.1), TE_RULE_GUARDED, 0.95), TE_SERVICEABLE, __LINE__);
    expect(judge(exactly(66.0999999, 0), DOWN_TO(66.1), TE_RULE_GUARDED, 0.95), TE_BEYOND,
           __LINE__);
    const double difference = 66.01 - 66.00;
    assert_true(difference > 0.01);
    expect(judge(exactly(difference, 0), UP_TO(0.01), TE_RULE_GUARDED, 0.95), TE_SERVICEABLE,
           __LINE__);
    expect(judge(exactly(-difference, 0), DOWN_TO(-0.01), TE_RULE_GUARDED, 0.95), TE_SERVICEABLE,
           __LINE__);
}

/* ---- as-new limits ----------------------------------------------------------------------- */

static void the_statuses_by_their_limits(void **state)
{
    (void)state;
    /* bore: new 66.00 to 66.02, service to 66.10; u 0.001, so 0.00164 decide */
    const te_bounds bore = {66.00, 66.02, NONE, 66.10};
    const struct {
        double low, high, u;
        te_outcome guarded, simple;
        int line;
    } cases[] = {
        {66.00, 66.02, 0.001, TE_AS_NEW, TE_AS_NEW, __LINE__},
        {66.01, 66.0201, 0.001, TE_SERVICEABLE, TE_SERVICEABLE, __LINE__},
        {66.01, 66.099, 0.001, TE_UNDECIDED, TE_SERVICEABLE, __LINE__},
        {66.01, 66.10, 0.001, TE_UNDECIDED, TE_SERVICEABLE, __LINE__},
        {66.01, 66.101, 0.001, TE_UNDECIDED, TE_BEYOND, __LINE__},
        {66.01, 66.102, 0.001, TE_BEYOND, TE_BEYOND, __LINE__},
        /* the lower as-new limit has no service limit: plainly outside, but one in doubt */
        {65.99, 66.01, 0.001, TE_OUTSIDE_NEW, TE_OUTSIDE_NEW, __LINE__},
        {65.9985, 66.01, 0.001, TE_UNDECIDED, TE_OUTSIDE_NEW, __LINE__},
        /* beyond on one side comes before outside_new on the other, undecided likewise */
        {65.99, 66.102, 0.001, TE_BEYOND, TE_BEYOND, __LINE__},
        {65.99, 66.099, 0.001, TE_UNDECIDED, TE_OUTSIDE_NEW, __LINE__},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        te_interval x = between(cases[i].low, cases[i].high, cases[i].u);
        expect(judge(x, bore, TE_RULE_GUARDED, 0.95), cases[i].guarded, cases[i].line);
        te_judgement j = judge(x, bore, TE_RULE_SIMPLE, 0.95);
        expect(j, cases[i].simple, cases[i].line);
        assert_true(!isnan(j.p_within)); /* given under either rule */
        if (cases[i].guarded == cases[i].simple)
            expect(judge(not_stated(x), bore, TE_RULE_SIMPLE, 0.95), cases[i].simple,
                   cases[i].line);
    }
}

/* Only as-new limits: outside them by more than the doubt of the tables is outside_new. */
static void outside_new_is_guarded_by_the_tables(void **state)
{
    (void)state;
    const double half = 0.5e-4, u = 0.001;
    const te_bounds b = {NONE, 0.02, NONE, NONE};
    for (size_t i = 0; i < sizeof table / sizeof *table; i++) {
        const double c = table[i].confidence, z = table[i].z;
        expect(judge(exactly(0.02 + (z + half) * u, u), b, TE_RULE_GUARDED, c), TE_OUTSIDE_NEW,
               __LINE__);
        expect(judge(exactly(0.02 + (z - half) * u, u), b, TE_RULE_GUARDED, c), TE_UNDECIDED,
               __LINE__);
        expect(judge(exactly(0.02 + (z - half) * u, u), b, TE_RULE_SIMPLE, c), TE_OUTSIDE_NEW,
               __LINE__);
        te_judgement j = judge(exactly(0.02, u), b, TE_RULE_GUARDED, c);
        expect(j, TE_AS_NEW, __LINE__);
        assert_true(isnan(j.p_within)); /* no service limit */
    }
}

/* It is told whether an as-new limit settled it, so that the right limit can be named. */
static void which_limits_settled_it(void **state)
{
    (void)state;
    const te_bounds bore = {66.00, 66.02, NONE, 66.10};
    assert_true(judge(exactly(65.99, 0.001), bore, TE_RULE_GUARDED, 0.95).by_new);
    assert_true(judge(exactly(65.9985, 0.001), bore, TE_RULE_GUARDED, 0.95).by_new);
    assert_true(judge(exactly(65.99, 0.001), bore, TE_RULE_SIMPLE, 0.95).by_new);
    assert_false(judge(exactly(66.01, 0.001), bore, TE_RULE_GUARDED, 0.95).by_new);
    assert_false(judge(exactly(66.05, 0.001), bore, TE_RULE_GUARDED, 0.95).by_new);
    assert_false(judge(exactly(66.10, 0.001), bore, TE_RULE_GUARDED, 0.95).by_new);
    assert_false(judge(between(65.99, 66.2, 0.001), bore, TE_RULE_GUARDED, 0.95).by_new);
}

/* Plain comparisons: a decimal figure at its limit is inside, 1e-9 and no more is forgiven. */
static void at_the_limit_is_inside(void **state)
{
    (void)state;
    const double sum = 0.1 + 0.2; /* a little above 0.3 */
    expect(judge(exactly(sum, 0.1), UP_TO(0.3), TE_RULE_SIMPLE, 0.95), TE_SERVICEABLE, __LINE__);
    expect(judge(exactly(-sum, 0.1), DOWN_TO(-0.3), TE_RULE_SIMPLE, 0.95), TE_SERVICEABLE,
           __LINE__);
    expect(judge(exactly(0.3 + 1.1e-9, 0.1), UP_TO(0.3), TE_RULE_SIMPLE, 0.95), TE_BEYOND,
           __LINE__);
    expect(judge(exactly(sum, 0.1), (te_bounds){NONE, 0.3, NONE, 0.5}, TE_RULE_SIMPLE, 0.95),
           TE_AS_NEW, __LINE__);
    expect(
        judge(exactly(0.3 + 1.1e-9, 0.1), (te_bounds){NONE, 0.3, NONE, 0.5}, TE_RULE_SIMPLE, 0.95),
        TE_SERVICEABLE, __LINE__);
}

static void without_limits_there_is_nothing_to_judge(void **state)
{
    (void)state;
    const te_bounds none = {NONE, NONE, NONE, NONE};
    te_interval x = exactly(5, 1);
    te_judgement j = judge(x, none, TE_RULE_GUARDED, 0.95);
    expect(j, TE_NO_LIMIT, __LINE__);
    assert_true(isnan(j.p_within) && isnan(j.u_needed));
    expect(judge(not_stated(x), none, TE_RULE_SIMPLE, 0.95), TE_NO_LIMIT, __LINE__);
}

/* A fit that is not above zero is beyond whatever the limits; without the trait it is not. */
static void a_fit_at_zero_is_beyond(void **state)
{
    (void)state;
    const te_bounds none = {NONE, NONE, NONE, NONE};
    const double values[] = {0, -0.01, 1e-9};
    for (size_t i = 0; i < 3; i++) {
        te_interval x = exactly(values[i], 0.1);
        expect(judge(x, none, TE_RULE_GUARDED, 0.95), TE_NO_LIMIT, __LINE__);
        x.never_at_zero = true;
        expect(judge(x, none, TE_RULE_GUARDED, 0.95), TE_BEYOND, __LINE__);
        expect(judge(x, UP_TO(5), TE_RULE_GUARDED, 0.95), TE_BEYOND, __LINE__);
        expect(judge(not_stated(x), UP_TO(5), TE_RULE_SIMPLE, 0.95), TE_BEYOND, __LINE__);
    }
    te_interval x = between(-0.01, 0.05, 0.001);
    x.never_at_zero = true;
    te_judgement j = judge(x, UP_TO(0.2), TE_RULE_GUARDED, 0.95);
    expect(j, TE_BEYOND, __LINE__);
    assert_near(j.p_within, 1, 1e-12); /* still given: it is about the limits */
    x = between(0.01, 0.05, 0.001);
    x.never_at_zero = true;
    expect(judge(x, UP_TO(0.2), TE_RULE_GUARDED, 0.95), TE_SERVICEABLE, __LINE__);
}

/* ---- leaves ------------------------------------------------------------------------------ */

/* 0.30 enters, 0.35 does not. An upper limit: below 0.30 beyond, from 0.35 passed, between
 * undecided, which no uncertainty would mend; a lower one in the mirror. */
static void leaves_pass_or_leave_undecided(void **state)
{
    (void)state;
    const te_interval x = {.low = 0.325,
                           .high = 0.325,
                           .u_low = 0.0144,
                           .u_high = 0.0144,
                           .stated = true,
                           .low_least = 0.30,
                           .low_most = 0.35,
                           .high_least = 0.30,
                           .high_most = 0.35};
    const struct {
        te_bounds bounds;
        te_outcome outcome;
        int line;
    } cases[] = {
        {UP_TO(0.36), TE_SERVICEABLE, __LINE__},
        {UP_TO(0.35), TE_SERVICEABLE, __LINE__},
        {UP_TO(0.349), TE_UNDECIDED, __LINE__},
        {UP_TO(0.31), TE_UNDECIDED, __LINE__},
        {UP_TO(0.30), TE_UNDECIDED, __LINE__},
        {UP_TO(0.299), TE_BEYOND, __LINE__},
        {DOWN_TO(0.29), TE_SERVICEABLE, __LINE__},
        {DOWN_TO(0.30), TE_SERVICEABLE, __LINE__},
        {DOWN_TO(0.301), TE_UNDECIDED, __LINE__},
        {DOWN_TO(0.35), TE_UNDECIDED, __LINE__},
        {DOWN_TO(0.351), TE_BEYOND, __LINE__},
        {{NONE, NONE, 0.30, 0.35}, TE_SERVICEABLE, __LINE__},
        {{NONE, NONE, 0.31, 0.36}, TE_UNDECIDED, __LINE__},
        {{NONE, NONE, 0.10, 0.299}, TE_BEYOND, __LINE__},
        {{NONE, NONE, 0.36, 0.40}, TE_BEYOND, __LINE__},
        /* as-new limits are compared with the value */
        {{NONE, 0.33, NONE, 0.40}, TE_AS_NEW, __LINE__},
        {{NONE, 0.32, NONE, 0.40}, TE_SERVICEABLE, __LINE__},
        {{NONE, 0.32, NONE, NONE}, TE_OUTSIDE_NEW, __LINE__},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        te_judgement j = judge(x, cases[i].bounds, TE_RULE_SIMPLE, 0.95);
        expect(j, cases[i].outcome, cases[i].line);
        assert_true(isnan(j.u_needed));
        expect(judge(not_stated(x), cases[i].bounds, TE_RULE_SIMPLE, 0.95), cases[i].outcome,
               cases[i].line);
    }
    /* guarded goes by the uncertainty alone: (0.34 - 0.325) / 0.0144 = 1.04 */
    expect(judge(x, UP_TO(0.36), TE_RULE_GUARDED, 0.95), TE_SERVICEABLE, __LINE__);
    expect(judge(x, UP_TO(0.34), TE_RULE_GUARDED, 0.95), TE_UNDECIDED, __LINE__);
}

/* ---- the uncertainty that would decide ---------------------------------------------------- */

/* Judges x again with its uncertainties scaled so that the larger part is u_needed times f. */
static te_outcome again(te_interval x, double scale, te_bounds b, double confidence)
{
    x.u_low *= scale;
    x.u_high *= scale;
    return judge(x, b, TE_RULE_GUARDED, confidence).outcome;
}

/* A little less than u_needed decides, a little more does not. */
static void try_needed(te_interval x, te_bounds b, double confidence, bool passes)
{
    te_judgement j = judge(x, b, TE_RULE_GUARDED, confidence);
    expect(j, TE_UNDECIDED, __LINE__);
    assert_true(!isnan(j.u_needed));
    assert_true(j.u_needed > 0);
    if (!x.stated) {
        x.stated = true;
        x.u_low = x.u_high = j.u_needed;
    }
    double scale = j.u_needed / x.u_high;
    te_outcome with_less = again(x, scale * (1 - 1e-6), b, confidence);
    assert_int_equal(with_less == TE_SERVICEABLE || with_less == TE_AS_NEW, passes);
    assert_int_not_equal(with_less, TE_UNDECIDED);
    assert_int_equal(again(x, scale * (1 + 1e-6), b, confidence), TE_UNDECIDED);
}

/* 0.1 from the limit at 95 %: 0.1 / 1.644854. */
static void the_uncertainty_needed_is_the_distance_over_z(void **state)
{
    (void)state;
    te_judgement j = judge(exactly(66.0, 0.1), UP_TO(66.1), TE_RULE_GUARDED, 0.95);
    expect(j, TE_UNDECIDED, __LINE__);
    assert_near(j.u_needed, 0.1 / 1.6448536, 1e-8);
    j = judge(exactly(66.2, 0.1), UP_TO(66.1), TE_RULE_GUARDED, 0.95);
    expect(j, TE_UNDECIDED, __LINE__);
    assert_near(j.u_needed, 0.1 / 1.6448536, 1e-8);
    j = judge(not_stated(exactly(66.0, 0)), UP_TO(66.1), TE_RULE_GUARDED, 0.95);
    assert_near(j.u_needed, 0.1 / 1.6448536, 1e-8);
    /* decided ones need none, and at the limit none would do */
    assert_true(isnan(judge(exactly(66, 0.01), UP_TO(66.1), TE_RULE_GUARDED, 0.95).u_needed));
    assert_true(isnan(judge(exactly(66.1, 0.01), UP_TO(66.1), TE_RULE_GUARDED, 0.95).u_needed));
    j = judge(not_stated(exactly(66.1, 0)), UP_TO(66.1), TE_RULE_GUARDED, 0.95);
    expect(j, TE_UNDECIDED, __LINE__);
    assert_true(isnan(j.u_needed));
    j = judge(not_stated(exactly(66.1 + 5e-10, 0)), UP_TO(66.1), TE_RULE_GUARDED, 0.95);
    expect(j, TE_UNDECIDED, __LINE__);
    assert_true(isnan(j.u_needed));
}

static void the_uncertainty_needed_decides(void **state)
{
    (void)state;
    te_random random = te_random_start(106);
    size_t undecided = 0;
    for (size_t round = 0; round < te_test_rounds(20000); round++) {
        const double confidence = te_random_between(&random, 0.6, 0.999);
        const double low = te_random_between(&random, -3, 3);
        te_interval x = between(low, low + te_random_unit(&random), 1);
        x.u_low = x.u_high = te_random_between(&random, 0.05, 2);
        const double least = te_random_between(&random, -4, 0), most = least + 4;
        te_bounds b = round % 3 == 0   ? UP_TO(most)
                      : round % 3 == 1 ? DOWN_TO(least)
                                       : (te_bounds){NONE, NONE, least, most};
        bool inside = !(x.high > b.service_max) && !(x.low < b.service_min);
        if (round % 5 == 0) {
            x.u_low = x.u_high = 0;
            x = not_stated(x);
        }
        if (judge(x, b, TE_RULE_GUARDED, confidence).outcome == TE_UNDECIDED) {
            undecided++;
            try_needed(x, b, confidence, inside);
        }
    }
    assert_true(undecided > 1000);
}

/* With two uncertainties both are scaled; what is told is that of the nearer limit. */
static void the_uncertainty_needed_scales_both(void **state)
{
    (void)state;
    te_interval x = between(0, 1, 1);
    x.u_low = 0.2;
    x.u_high = 0.4;
    const te_bounds b = {NONE, NONE, -1, 1.5};
    te_judgement j = judge(x, b, TE_RULE_GUARDED, 0.95);
    expect(j, TE_UNDECIDED, __LINE__);
    /* (1.5 - 1)/0.4 = 1.25 is nearer than 1/0.2 = 5, whose tail is nothing: 0.5 / 1.6448536 */
    assert_near(j.u_needed, 0.5 / 1.6448536, 1e-8);
    assert_int_equal(again(x, j.u_needed / 0.4 * (1 - 1e-6), b, 0.95), TE_SERVICEABLE);
    assert_int_equal(again(x, j.u_needed / 0.4 * (1 + 1e-6), b, 0.95), TE_UNDECIDED);
}

/* Of one limit alone, and of one whose value is certain, the other's uncertainty does not count. z of 0.95:
 * qnorm(0.95) = 1.6448536269514722. */
static void the_uncertainty_needed_is_that_of_the_limit_in_doubt(void **state)
{
    (void)state;
    const double z = 1.6448536269514722;
    te_interval x = between(10, 12, 1);
    x.u_high = 3;
    assert_near_rel(judge(x, DOWN_TO(9), TE_RULE_GUARDED, 0.95).u_needed, 1 / z, 1e-12);
    assert_near_rel(judge(x, UP_TO(13), TE_RULE_GUARDED, 0.95).u_needed, 1 / z, 1e-12);
    /* 1 away at u 1 is nearer than 4 at u 3: what is told is below 1, where that of the other is above */
    double needed = judge(x, (te_bounds){NONE, NONE, 9, 16}, TE_RULE_GUARDED, 0.95).u_needed;
    assert_true(needed > 0.4 && needed < 1);
    /* equally near: the upper one's; 2 / qnorm(0.995) = 0.7764490 */
    x = between(0, 1, 1);
    x.u_low = 0.5;
    assert_near(judge(x, (te_bounds){NONE, NONE, -1, 3}, TE_RULE_GUARDED, 0.99).u_needed, 0.7764490,
                1e-7);
    /* a value that is certain, near its limit or at it */
    x = between(10, 12, 1);
    x.u_low = 0;
    assert_near_rel(judge(x, (te_bounds){NONE, NONE, 9.95, 13}, TE_RULE_GUARDED, 0.95).u_needed,
                    1 / z, 1e-12);
    assert_near_rel(judge(x, (te_bounds){NONE, NONE, 10, 13}, TE_RULE_GUARDED, 0.95).u_needed,
                    1 / z, 1e-12);
    x = between(10, 12, 1);
    x.u_high = 0;
    assert_near_rel(judge(x, (te_bounds){NONE, NONE, 9, 12.05}, TE_RULE_GUARDED, 0.95).u_needed,
                    1 / z, 1e-12);
}

/* At the confidence itself a value passes, at its complement it is refused. */
static void at_the_confidence_itself(void **state)
{
    (void)state;
    const te_bounds as_new = {NONE, 66.1, NONE, NONE};
    size_t passed = 0, refused = 0;
    for (int i = 0; i < 4000; i++) {
        te_interval x = exactly(66.0 + i * 5e-5, 0.05);
        double p = te_conformity(&x, NONE, 66.1);
        if (p > 0.5) {
            expect(judge(x, UP_TO(66.1), TE_RULE_GUARDED, p), TE_SERVICEABLE, __LINE__);
            passed++;
        } else if (x.high > 66.1 + 1e-6 &&
                   1.0 - (1.0 - p) == p) { /* where the complement is exact */
            expect(judge(x, UP_TO(66.1), TE_RULE_GUARDED, 1.0 - p), TE_BEYOND, __LINE__);
            expect(judge(x, as_new, TE_RULE_GUARDED, 1.0 - p), TE_OUTSIDE_NEW, __LINE__);
            refused++;
        }
    }
    /* of both the refusal comes first: a value at its limit, at one in two */
    expect(judge(exactly(66.1, 0.05), UP_TO(66.1), TE_RULE_GUARDED, 0.5), TE_BEYOND, __LINE__);
    assert_true(passed > 1000 && refused > 50);
}

/* The slack of a comparison, 1e-9 mm, is inside too. */
static void at_the_end_of_the_slack(void **state)
{
    (void)state;
    expect(judge(exactly(1e-9, 0), UP_TO(0), TE_RULE_SIMPLE, 0.95), TE_SERVICEABLE, __LINE__);
    expect(judge(exactly(1.001e-9, 0), UP_TO(0), TE_RULE_SIMPLE, 0.95), TE_BEYOND, __LINE__);
    expect(judge(exactly(-1e-9, 0), DOWN_TO(0), TE_RULE_SIMPLE, 0.95), TE_SERVICEABLE, __LINE__);
    expect(judge(exactly(-1.001e-9, 0), DOWN_TO(0), TE_RULE_SIMPLE, 0.95), TE_BEYOND, __LINE__);
}

/* As-new limits without service limits: what would make it surely outside. */
static void the_uncertainty_needed_for_outside_new(void **state)
{
    (void)state;
    const te_bounds b = {NONE, 0.02, NONE, NONE};
    te_judgement j = judge(exactly(0.021, 0.001), b, TE_RULE_GUARDED, 0.95);
    expect(j, TE_UNDECIDED, __LINE__);
    assert_near(j.u_needed, 0.001 / 1.6448536, 1e-10);
    expect(judge(exactly(0.021, j.u_needed * (1 - 1e-6)), b, TE_RULE_GUARDED, 0.95), TE_OUTSIDE_NEW,
           __LINE__);
    expect(judge(exactly(0.021, j.u_needed * (1 + 1e-6)), b, TE_RULE_GUARDED, 0.95), TE_UNDECIDED,
           __LINE__);
}

/* ---- refusals, properties, words ---------------------------------------------------------- */

static void numbers_that_are_not_finite_are_refused(void **state)
{
    (void)state;
    const double bad[] = {NAN, INFINITY, -INFINITY};
    const te_bounds b = UP_TO(66.1);
    for (size_t i = 0; i < 3; i++)
        for (size_t member = 0; member < 8; member++) {
            te_interval x = exactly(66, 0.001);
            double *const members[] = {&x.low,       &x.high,     &x.u_low,      &x.u_high,
                                       &x.low_least, &x.low_most, &x.high_least, &x.high_most};
            te_judgement j = {.outcome = TE_BEYOND, .p_within = -7};
            *members[member] = bad[i];
            assert_int_equal(te_judge(&j, &x, &b, TE_RULE_GUARDED, 0.95), TE_ERR_DOMAIN);
            assert_int_equal(te_judge(&j, &x, &b, TE_RULE_SIMPLE, 0.95), TE_ERR_DOMAIN);
            assert_int_equal(j.outcome, TE_BEYOND);
            assert_near(j.p_within, -7, 0);
        }
    te_interval x = exactly(66, -0.001);
    te_judgement j;
    assert_int_equal(te_judge(&j, &x, &b, TE_RULE_GUARDED, 0.95), TE_ERR_DOMAIN);
    x = exactly(66, 0.001);
    x.u_high = -0.001;
    assert_int_equal(te_judge(&j, &x, &b, TE_RULE_GUARDED, 0.95), TE_ERR_DOMAIN);
    x = exactly(66, 0.001);
    const double confidences[] = {0, 0.499, 1, 1.5, -1, NAN, INFINITY};
    for (size_t i = 0; i < sizeof confidences / sizeof *confidences; i++)
        assert_int_equal(te_judge(&j, &x, &b, TE_RULE_GUARDED, confidences[i]), TE_ERR_DOMAIN);
    assert_int_equal(te_judge(&j, &x, &b, TE_RULE_GUARDED, 0.5), TE_OK);
}

static bool passes(te_outcome outcome)
{
    return outcome == TE_AS_NEW || outcome == TE_SERVICEABLE;
}

/* Narrower limits, a greater uncertainty or confidence never make a pass of what was none. */
static void doubt_never_passes(void **state)
{
    (void)state;
    te_random random = te_random_start(95);
    size_t compared = 0;
    for (size_t round = 0; round < te_test_rounds(50000); round++) {
        const double low = te_random_between(&random, -2, 2);
        te_interval x = between(low, low + te_random_unit(&random),
                                te_random_between(&random, 0, 1));
        double new_min = te_random_between(&random, -1.5, 0), new_max = new_min + 1.5;
        te_bounds b = {new_min, new_max, new_min - te_random_unit(&random),
                       new_max + te_random_unit(&random)};
        double *const members[] = {&b.new_min, &b.new_max, &b.service_min, &b.service_max};
        for (size_t k = 0; k < 4; k++)
            if (te_random_below(&random, 3) == 0)
                *members[k] = NAN;
        x.stated = te_random_below(&random, 4) > 0;
        x.never_at_zero = te_random_below(&random, 4) == 0;
        te_rule rule = te_random_below(&random, 2) == 0 ? TE_RULE_GUARDED : TE_RULE_SIMPLE;
        const double confidence = te_random_between(&random, 0.5, 0.999);
        te_outcome was = judge(x, b, rule, confidence).outcome;
        if (passes(was) || was == TE_NO_LIMIT)
            continue;
        compared++;
        te_bounds tighter = b;
        const double by = te_random_unit(&random) * 0.7;
        tighter.new_min += by;
        tighter.new_max -= by;
        tighter.service_min += by;
        tighter.service_max -= by;
        assert_false(passes(judge(x, tighter, rule, confidence).outcome));
        te_interval vaguer = x;
        vaguer.u_low *= 1 + te_random_unit(&random);
        vaguer.u_high *= 1 + te_random_unit(&random);
        te_outcome now = judge(vaguer, b, rule, confidence).outcome;
        assert_false(passes(now));
        vaguer = x;
        vaguer.stated = false;
        assert_false(passes(judge(vaguer, b, rule, confidence).outcome));
        assert_false(passes(judge(x, b, rule, confidence + (1 - confidence) / 2).outcome));
    }
    assert_true(compared > 5000);
}

static void and_is_kleenes(void **state)
{
    (void)state;
    static const enum te_truth_value expected[3][3] = {
        [TE_NO] = {[TE_NO] = TE_NO, [TE_YES] = TE_NO, [TE_CANNOT_TELL] = TE_NO},
        [TE_YES] = {[TE_NO] = TE_NO, [TE_YES] = TE_YES, [TE_CANNOT_TELL] = TE_CANNOT_TELL},
        [TE_CANNOT_TELL] =
            {[TE_NO] = TE_NO, [TE_YES] = TE_CANNOT_TELL, [TE_CANNOT_TELL] = TE_CANNOT_TELL},
    };
    static const enum te_truth_value values[] = {TE_NO, TE_YES, TE_CANNOT_TELL};
    for (size_t i = 0; i < 3; i++)
        for (size_t k = 0; k < 3; k++) {
            te_truth both = te_truth_and((te_truth){values[i]}, (te_truth){values[k]});
            assert_int_equal(both.is, expected[values[i]][values[k]]);
        }
}

static void outcomes_have_their_rank(void **state)
{
    (void)state;
    static const te_outcome gravest_first[] = {TE_BEYOND,      TE_UNDECIDED,   TE_MISSING,
                                               TE_OUTSIDE_NEW, TE_SERVICEABLE, TE_AS_NEW,
                                               TE_NO_LIMIT};
    for (int i = 0; i < 7; i++)
        assert_int_equal(te_outcome_rank(gravest_first[i]), i);
}

static void the_words(void **state)
{
    (void)state;
    static const char *const outcomes[] = {"missing", "beyond",      "undecided", "outside_new",
                                           "as_new",  "serviceable", "no_limit"};
    static const char *const verdicts[] = {"do_not_reuse", "measure_again", "incomplete", "reuse"};
    for (int i = TE_MISSING; i <= TE_NO_LIMIT; i++)
        assert_string_equal(te_outcome_name((te_outcome)i), outcomes[i]);
    for (int i = TE_DO_NOT_REUSE; i <= TE_REUSE; i++)
        assert_string_equal(te_verdict_name((te_verdict_value)i), verdicts[i]);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_conformity_of_the_diode),
        cmocka_unit_test(the_speed_alarm),
        cmocka_unit_test(the_global_risks_of_the_resistor),
        cmocka_unit_test(two_limits_subtract_two_tails),
        cmocka_unit_test(the_guard_band_is_that_of_the_tables),
        cmocka_unit_test(each_limit_judges_its_own_value),
        cmocka_unit_test(two_limits_share_the_doubt),
        cmocka_unit_test(what_is_not_stated_is_not_passed),
        cmocka_unit_test(without_uncertainty_the_value_decides),
        cmocka_unit_test(the_statuses_by_their_limits),
        cmocka_unit_test(outside_new_is_guarded_by_the_tables),
        cmocka_unit_test(which_limits_settled_it),
        cmocka_unit_test(at_the_limit_is_inside),
        cmocka_unit_test(without_limits_there_is_nothing_to_judge),
        cmocka_unit_test(a_fit_at_zero_is_beyond),
        cmocka_unit_test(leaves_pass_or_leave_undecided),
        cmocka_unit_test(the_uncertainty_needed_is_the_distance_over_z),
        cmocka_unit_test(the_uncertainty_needed_decides),
        cmocka_unit_test(the_uncertainty_needed_scales_both),
        cmocka_unit_test(the_uncertainty_needed_for_outside_new),
        cmocka_unit_test(numbers_that_are_not_finite_are_refused),
        cmocka_unit_test(doubt_never_passes),
        cmocka_unit_test(and_is_kleenes),
        cmocka_unit_test(the_uncertainty_needed_is_that_of_the_limit_in_doubt),
        cmocka_unit_test(at_the_confidence_itself),
        cmocka_unit_test(at_the_end_of_the_slack),
        cmocka_unit_test(outcomes_have_their_rank),
        cmocka_unit_test(the_words),
    };
    return cmocka_run_group_tests_name("judge", tests, NULL, NULL);
}
