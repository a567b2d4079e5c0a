/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Linear forms: against published worked examples of the propagation of uncertainty, and against
 * their own rules on random forms. A pool holds observations of any unit; the forms of one test
 * carry the partial derivatives of the example as their coefficients.
 */
#include "te_test.h"

#include <float.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "topend/form.h"

enum { MOST = 20, SOURCES = 6 };

/* An observation with a value, an own uncertainty and effects of common sources. */
static uint32_t observe(te_observations *pool, double value, double u_own, const te_effect *effects,
                        size_t count)
{
    te_observation x = {.value = value, .u_own = u_own, .stated = true};
    assert_int_equal(te_observations_add(pool, &x, effects, count), TE_OK);
    return (uint32_t)(pool->count - 1);
}

static te_source other(uint64_t index)
{
    return te_source_make(TE_SOURCE_OTHER, index);
}

static void add_term(te_form *form, uint32_t observation, double coefficient)
{
    te_form term = te_form_make(observation, coefficient);
    assert_int_equal(te_form_add(form, form, &term), TE_OK);
}

static double u_of(const te_observations *pool, const te_form *form)
{
    return sqrt(te_form_variance(pool, form));
}

static double correlation(const te_observations *pool, const te_form *a, const te_form *b)
{
    return te_form_covariance(pool, a, b) / (u_of(pool, a) * u_of(pool, b));
}

/* ---- published examples ------------------------------------------------------------------ */

/*
 * JCGM 100:2008, H.1, the end gauge, first-order terms, in nm. Recipe:
 *   l_S = 50.000623 mm, u = 25 nm; d = 215 nm with 5.8 (repeats), 3.9 and 6.7 (comparator);
 *   l = l_S + d - l_S (dalpha theta + alpha_S dtheta), theta = -0.1, alpha_S = 11.5e-6,
 *   u(dalpha) = 1e-6 / sqrt 3, u(dtheta) = 0.05 / sqrt 3.
 * Published: contributions 25, 9.7, 2.9 and 16.6 nm, l = 50.000838 mm, u = 32 nm.
 */
static void the_end_gauge_of_gum_h1(void **state)
{
    (void)state;
    te_observations pool = {0};
    const double length = 50.000623e6;
    const te_effect standard[] = {
        {te_source_make(TE_SOURCE_MATERIAL, 1), -length * -0.1 * 1e-6 / sqrt(3)},
        {te_source_make(TE_SOURCE_TEMPERATURE, 1), -length * 11.5e-6 * 0.05 / sqrt(3)},
    };
    const te_effect comparator[] = {{other(1), 3.9}, {other(2), 6.7}};
    te_form l = te_form_make(observe(&pool, length, 25, standard, 2), 1);
    te_form d = te_form_make(observe(&pool, 215, 5.8, comparator, 2), 1);
    assert_near(u_of(&pool, &d), 9.7, 0.05);
    assert_int_equal(te_form_add(&l, &l, &d), TE_OK);
    assert_near(te_form_value(&pool, &l), 50.000838e6, 0.5);
    assert_near(u_of(&pool, &l), 31.66, 0.005);
    assert_near(u_of(&pool, &l), 32, 0.5);

    te_component parts[6];
    assert_int_equal(te_form_explain(parts, 6, &pool, &l), 6);
    const double published[] = {25, 5.8, 2.9, 16.6, 3.9, 6.7};
    for (size_t i = 0; i < 6; i++)
        assert_near(fabs(parts[i].effect), published[i], 0.05);
    assert_true(parts[0].own && parts[1].own && !parts[2].own);
    assert_int_equal(parts[1].observation, 1);
    assert_int_equal(te_source_kind_of(parts[2].source), TE_SOURCE_MATERIAL);
    assert_int_equal(te_source_kind_of(parts[3].source), TE_SOURCE_TEMPERATURE);
    te_observations_free(&pool);
}

/*
 * JCGM 100:2008, H.2, resistance and reactance from means of five simultaneous sets. Set k is a
 * common source of the three means, with the effect (q_k - mean) / sqrt(n (n - 1)): their
 * products sum to equation (17), the covariance of two means. The forms are the linearised
 *   R = V/I cos phi, X = V/I sin phi, Z = V/I.
 * Published: means 4.9990 V (u 0.0032), 19.6610 mA (0.0095), 1.04446 rad (0.00075), r(V,I) -0.36,
 * r(V,phi) 0.86, r(I,phi) -0.65; R 127.732 (0.071), X 219.847 (0.295), Z 254.260 (0.236) ohm,
 * r(R,X) -0.588, r(R,Z) -0.485, r(X,Z) 0.993.
 */
static void the_correlated_means_of_gum_h2(void **state)
{
    (void)state;
    enum { SETS = 5, INPUTS = 3 };
    static const double data[INPUTS][SETS] = {
        {5.007, 4.994, 5.005, 4.990, 4.999},
        {19.663e-3, 19.639e-3, 19.640e-3, 19.685e-3, 19.678e-3},
        {1.0456, 1.0438, 1.0468, 1.0428, 1.0433},
    };
    te_observations pool = {0};
    double mean[INPUTS];
    te_form input[INPUTS];
    for (size_t q = 0; q < INPUTS; q++) {
        te_effect sets[SETS];
        mean[q] = 0;
        for (size_t k = 0; k < SETS; k++)
            mean[q] += data[q][k] / SETS;
        for (size_t k = 0; k < SETS; k++)
            sets[k] = (te_effect){other(k), (data[q][k] - mean[q]) / sqrt(SETS * (SETS - 1.0))};
        input[q] = te_form_make(observe(&pool, mean[q], 0, sets, SETS), 1);
    }
    assert_near(u_of(&pool, &input[0]), 0.0032, 0.00005);
    assert_near(u_of(&pool, &input[1]), 0.0095e-3, 0.00005e-3);
    assert_near(u_of(&pool, &input[2]), 0.00075, 0.000005);
    assert_near(correlation(&pool, &input[0], &input[1]), -0.36, 0.005);
    assert_near(correlation(&pool, &input[0], &input[2]), 0.86, 0.005);
    assert_near(correlation(&pool, &input[1], &input[2]), -0.65, 0.005);

    const double v = mean[0], i = mean[1], phi = mean[2];
    const double z = v / i, r = z * cos(phi), x = z * sin(phi);
    const double derivative[3][INPUTS] = {
        {r / v, -r / i, -x}, {x / v, -x / i, r}, {z / v, -z / i, 0}};
    te_form out[3];
    for (size_t f = 0; f < 3; f++) {
        out[f] = (te_form){0};
        for (size_t q = 0; q < INPUTS; q++)
            add_term(&out[f], (uint32_t)q, derivative[f][q]);
    }
    assert_near(r, 127.732, 0.0005);
    assert_near(x, 219.847, 0.0005);
    assert_near(z, 254.260, 0.0005);
    assert_near(u_of(&pool, &out[0]), 0.071, 0.0005);
    assert_near(u_of(&pool, &out[1]), 0.2956, 0.00005);
    assert_near(u_of(&pool, &out[2]), 0.236, 0.0005);
    assert_near(correlation(&pool, &out[0], &out[1]), -0.588, 0.0005);
    assert_near(correlation(&pool, &out[0], &out[2]), -0.485, 0.0005);
    assert_near(correlation(&pool, &out[1], &out[2]), 0.993, 0.0005);
    te_observations_free(&pool);
}

/*
 * The coefficients of a line a + b x through points of known standard uncertainties are linear in
 * the y: with w = 1/u^2, D = sum w sum w x^2 - (sum w x)^2,
 *   a = sum w_k (sum w x^2 - x_k sum w x) / D y_k, b = sum w_k (x_k sum w - sum w x) / D y_k.
 */
static void line_forms(te_form *a, te_form *b, const double *x, const double *u, size_t count)
{
    double s = 0, sx = 0, sxx = 0;
    for (size_t k = 0; k < count; k++) {
        double w = 1 / (u[k] * u[k]);
        s += w;
        sx += w * x[k];
        sxx += w * x[k] * x[k];
    }
    *a = (te_form){0};
    *b = (te_form){0};
    for (size_t k = 0; k < count; k++) {
        double w = 1 / (u[k] * u[k]) / (s * sxx - sx * sx);
        add_term(a, (uint32_t)k, w * (sxx - x[k] * sx));
        add_term(b, (uint32_t)k, w * (x[k] * s - sx));
    }
}

/*
 * JCGM 100:2008, H.3, the calibration of a thermometer: eleven corrections over the temperature
 * less 20 degrees, with one standard deviation s for all (0.0035, from their residuals).
 * Published: y1 = -0.1712 (0.0029), y2 = 0.00218 (0.00067), r = -0.930; predicted at 30 degrees
 * -0.1494 (0.0041), for which a dropped covariance would give 0.0073.
 */
static void the_thermometer_of_gum_h3(void **state)
{
    (void)state;
    enum { POINTS = 11 };
    static const double t[POINTS] = {21.521, 22.012, 22.512, 23.003, 23.507, 23.999,
                                     24.513, 25.002, 25.503, 26.010, 26.511};
    static const double b[POINTS] = {-0.171, -0.169, -0.166, -0.159, -0.164, -0.165,
                                     -0.156, -0.157, -0.159, -0.161, -0.160};
    te_observations pool = {0};
    double x[POINTS], one[POINTS], squares = 0;
    te_form y1, y2;
    for (size_t k = 0; k < POINTS; k++) {
        x[k] = t[k] - 20;
        one[k] = 1;
        observe(&pool, b[k], 1, NULL, 0);
    }
    line_forms(&y1, &y2, x, one, POINTS);
    for (size_t k = 0; k < POINTS; k++) {
        double rest = b[k] - te_form_value(&pool, &y1) - te_form_value(&pool, &y2) * x[k];
        squares += rest * rest;
    }
    const double s = sqrt(squares / (POINTS - 2));
    assert_near(s, 0.0035, 0.00005);
    for (size_t k = 0; k < POINTS; k++)
        pool.items[k].u_own = s;
    assert_near(te_form_value(&pool, &y1), -0.1712, 0.00005);
    assert_near(u_of(&pool, &y1), 0.0029, 0.00005);
    assert_near(te_form_value(&pool, &y2), 0.00218, 0.000005);
    assert_near(u_of(&pool, &y2), 0.00067, 0.000005);
    assert_near(correlation(&pool, &y1, &y2), -0.930, 0.0005);
    te_form predicted = te_form_scale(&y2, 30 - 20);
    assert_int_equal(te_form_add(&predicted, &predicted, &y1), TE_OK);
    assert_int_equal(predicted.count, POINTS);
    assert_near(te_form_value(&pool, &predicted), -0.1494, 0.00005);
    assert_near(u_of(&pool, &predicted), 0.0041, 0.00005);
    te_observations_free(&pool);
}

/*
 * ISO/TS 28037:2010, 6.3, examples 1 and 2: x = 1 to 6.
 *   equal u 0.5:   a 1.867 (0.465), b 1.757 (0.120), cov -0.050
 *   u 0.5 and 1.0: a 0.885 (0.530), b 2.057 (0.178), cov -0.082
 * The digits beyond the published ones are the recomputed values of two independent programs.
 */
static void the_lines_of_iso_28037(void **state)
{
    (void)state;
    enum { POINTS = 6 };
    static const struct {
        double y[POINTS], u[POINTS], a, u_a, b, u_b, covariance;
    } cases[] = {
        {{3.3, 5.6, 7.1, 9.3, 10.7, 12.1},
         {0.5, 0.5, 0.5, 0.5, 0.5, 0.5},
         1.86666666666667,
         0.465474668125631,
         1.75714285714286,
         0.119522860933439,
         -0.05},
        {{3.2, 4.3, 7.6, 8.6, 11.7, 12.8},
         {0.5, 0.5, 0.5, 1, 1, 1},
         0.885232067510549,
         0.529708143508836,
         2.05696202531646,
         0.177892016741205,
         -0.0822784810126582},
    };
    static const double x[POINTS] = {1, 2, 3, 4, 5, 6};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        te_observations pool = {0};
        te_form a, b;
        for (size_t k = 0; k < POINTS; k++)
            observe(&pool, cases[i].y[k], cases[i].u[k], NULL, 0);
        line_forms(&a, &b, x, cases[i].u, POINTS);
        assert_near_rel(te_form_value(&pool, &a), cases[i].a, 1e-13);
        assert_near_rel(u_of(&pool, &a), cases[i].u_a, 1e-13);
        assert_near_rel(te_form_value(&pool, &b), cases[i].b, 1e-13);
        assert_near_rel(u_of(&pool, &b), cases[i].u_b, 1e-13);
        assert_near_rel(te_form_covariance(&pool, &a, &b), cases[i].covariance, 1e-12);
        te_observations_free(&pool);
    }
}

/*
 * JCGM 100:2008, 5.2.2, example: ten resistors of 1000 ohm, calibrated against one standard of
 * u = 100 mohm, in series: u = 10 x 100 mohm = 1 ohm, not 0.32 ohm as without their correlation.
 * JCGM 101:2008, 9.2: the sum of four independent standard normals has u = 2.00.
 */
static void sums_with_and_without_a_common_standard(void **state)
{
    (void)state;
    te_observations pool = {0};
    te_form chain = {0}, apart = {0}, four = {0};
    const te_effect standard = {other(1), 0.1};
    for (uint32_t k = 0; k < 10; k++)
        add_term(&chain, observe(&pool, 1000, 0, &standard, 1), 1);
    for (uint64_t k = 0; k < 10; k++) {
        const te_effect own_standard = {other(2 + k), 0.1};
        add_term(&apart, observe(&pool, 1000, 0, &own_standard, 1), 1);
    }
    for (int k = 0; k < 4; k++)
        add_term(&four, observe(&pool, 0, 1, NULL, 0), 1);
    assert_near(te_form_value(&pool, &chain), 10000, 0);
    assert_near(u_of(&pool, &chain), 1, 1e-14);
    assert_near(u_of(&pool, &apart), 0.32, 0.005);
    assert_near(u_of(&pool, &four), 2, 0);
    te_observations_free(&pool);
}

/* ---- the algebra ------------------------------------------------------------------------- */

/* Two readings of one gauge, own u 3 and 4, common 12: their difference keeps 5, their sum has
 * sqrt(9 + 16 + 24^2). */
static void a_common_error_cancels_in_a_difference_and_doubles_in_a_sum(void **state)
{
    (void)state;
    te_observations pool = {0};
    const te_effect gauge = {te_source_make(TE_SOURCE_CALIBRATION, 0), 12};
    te_form a = te_form_make(observe(&pool, 100, 3, &gauge, 1), 1);
    te_form b = te_form_make(observe(&pool, 60, 4, &gauge, 1), 1);
    te_form minus = te_form_scale(&b, -1), difference, sum;
    assert_int_equal(te_form_add(&difference, &a, &minus), TE_OK);
    assert_int_equal(te_form_add(&sum, &a, &b), TE_OK);
    assert_near(te_form_value(&pool, &difference), 40, 0);
    assert_near(te_form_value(&pool, &sum), 160, 0);
    assert_near(te_form_variance(&pool, &difference), 25, 0);
    assert_near(te_form_variance(&pool, &sum), 25 + 576, 0);
    assert_near(te_form_covariance(&pool, &a, &b), 144, 0);
    assert_near(te_form_covariance(&pool, &a, &difference), 9, 0);
    assert_near(pool.items[0].u, sqrt(9 + 144), 1e-15);

    te_component parts[3];
    assert_int_equal(te_form_explain(parts, 3, &pool, &difference), 3);
    assert_near(parts[2].effect, 0, 0);
    assert_int_equal(te_form_explain(parts, 3, &pool, &sum), 3);
    assert_near(parts[2].effect, 24, 0);
    te_observations_free(&pool);
}

/* A source named twice for one observation (a bore and a ring of one material) is one source. */
static void effects_of_one_source_are_summed(void **state)
{
    (void)state;
    te_observations pool = {0};
    const te_effect twice[] = {{other(7), 5}, {other(8), 1}, {other(7), -2}};
    te_form x = te_form_make(observe(&pool, 1, 0, twice, 3), 2);
    te_component parts[4];
    assert_near(te_form_variance(&pool, &x), 4 * (9 + 1), 1e-15);
    assert_int_equal(te_form_explain(parts, 4, &pool, &x), 3);
    assert_near(parts[0].effect, 0, 0);
    assert_near(parts[1].effect, 6, 0);
    assert_near(parts[2].effect, 2, 0);
    te_observations_free(&pool);
}

static void the_empty_form_is_zero_and_stated(void **state)
{
    (void)state;
    te_observations pool = {0};
    te_form none = {0}, x = te_form_make(observe(&pool, 5, 2, NULL, 0), 1), sum;
    assert_near(te_form_value(&pool, &none), 0, 0);
    assert_near(te_form_variance(&pool, &none), 0, 0);
    assert_near(te_form_covariance(&pool, &none, &x), 0, 0);
    assert_true(te_form_stated(&pool, &none));
    assert_int_equal(te_form_explain(NULL, 0, &pool, &none), 0);
    assert_int_equal(te_form_add(&sum, &none, &x), TE_OK);
    assert_near(te_form_value(&pool, &sum), 5, 0);
    te_observations_free(&pool);
}

static void a_form_is_stated_when_all_its_observations_are(void **state)
{
    (void)state;
    te_observations pool = {0};
    te_observation known = {.value = 1, .stated = true}, unknown = {.value = 2};
    assert_int_equal(te_observations_add(&pool, &known, NULL, 0), TE_OK);
    assert_int_equal(te_observations_add(&pool, &unknown, NULL, 0), TE_OK);
    te_form a = te_form_make(0, 1), b = te_form_make(1, -1), both;
    assert_int_equal(te_form_add(&both, &a, &b), TE_OK);
    assert_true(te_form_stated(&pool, &a));
    assert_false(te_form_stated(&pool, &b));
    assert_false(te_form_stated(&pool, &both));
    te_observations_free(&pool);
}

/* Sixteen terms fit, a seventeenth is refused and leaves the sum alone; one that the form has
 * already is no new term. */
static void terms_are_capped_and_merged(void **state)
{
    (void)state;
    te_observations pool = {0};
    te_form sum = {0};
    for (uint32_t i = 0; i <= TE_FORM_TERMS; i++)
        observe(&pool, i + 1.0, 1, NULL, 0);
    for (uint32_t i = 0; i < TE_FORM_TERMS; i++)
        add_term(&sum, i, 1);
    te_form extra = te_form_make(TE_FORM_TERMS, 1), again = te_form_make(3, 1), result = sum;
    assert_int_equal(te_form_add(&result, &sum, &extra), TE_ERR_FULL);
    assert_memory_equal(&result, &sum, sizeof sum);
    assert_int_equal(te_form_add(&result, &extra, &sum), TE_ERR_FULL);
    assert_memory_equal(&result, &sum, sizeof sum);
    assert_int_equal(te_form_add(&sum, &sum, &again), TE_OK);
    assert_int_equal(sum.count, TE_FORM_TERMS);
    /* 1 + 2 + ... + 16 and the 4 again; fifteen own variances of 1 and one of 2^2 */
    assert_near(te_form_value(&pool, &sum), 136 + 4, 0);
    assert_near(te_form_variance(&pool, &sum), 15 + 4, 0);
    te_form minus = te_form_scale(&sum, -1), nothing;
    assert_int_equal(te_form_add(&nothing, &sum, &minus), TE_OK);
    assert_near(te_form_value(&pool, &nothing), 0, 0);
    assert_near(te_form_variance(&pool, &nothing), 0, 0);
    te_observations_free(&pool);
}

static void the_result_may_be_either_operand(void **state)
{
    (void)state;
    te_observations pool = {0};
    te_form a = te_form_make(observe(&pool, 2, 1, NULL, 0), 1);
    te_form b = te_form_make(observe(&pool, 3, 1, NULL, 0), 10);
    te_form into_b = b;
    assert_int_equal(te_form_add(&into_b, &a, &into_b), TE_OK);
    assert_near(te_form_value(&pool, &into_b), 32, 0);
    assert_int_equal(te_form_add(&a, &a, &a), TE_OK);
    assert_near(te_form_value(&pool, &a), 4, 0);
    assert_int_equal(a.count, 1);
    te_observations_free(&pool);
}

static void explain_counts_what_does_not_fit(void **state)
{
    (void)state;
    te_observations pool = {0};
    const te_effect effects[] = {{other(1), 1}, {other(2), 2}};
    te_form x = te_form_make(observe(&pool, 1, 3, effects, 2), 1);
    te_component parts[3] = {{.effect = -1}, {.effect = -1}, {.effect = -1}};
    assert_int_equal(te_form_explain(NULL, 0, &pool, &x), 3);
    assert_int_equal(te_form_explain(parts, 2, &pool, &x), 3);
    assert_near(parts[1].effect, 1, 0);
    assert_near(parts[2].effect, -1, 0);
    te_observations_free(&pool);
}

static void a_source_keeps_its_kind_and_index(void **state)
{
    (void)state;
    const uint64_t indices[] = {0, 1, UINT32_MAX, (UINT64_C(1) << 60) - 1};
    for (int kind = TE_SOURCE_CALIBRATION; kind <= TE_SOURCE_OTHER; kind++)
        for (size_t i = 0; i < sizeof indices / sizeof *indices; i++) {
            te_source source = te_source_make((te_source_kind)kind, indices[i]);
            assert_int_equal(te_source_kind_of(source), kind);
            assert_true(te_source_index(source) == indices[i]);
        }
}

static void freeing_empties_and_takes_null(void **state)
{
    (void)state;
    te_observations pool = {0};
    const te_effect effect = {other(1), 1};
    observe(&pool, 1, 1, &effect, 1);
    te_observations_free(&pool);
    assert_int_equal(pool.count, 0);
    assert_null(pool.items);
    assert_null(pool.effects);
    te_observations_free(&pool);
    te_observations_free(NULL);
}

/* ---- random forms ------------------------------------------------------------------------ */

/* A pool beside the matrix of its effects: own uncertainties and effects by observation and
 * source, from which the covariance is computed the long way. */
typedef struct world {
    te_observations pool;
    double value[MOST], own[MOST], effect[MOST][SOURCES];
} world;

static world random_world(te_random *random)
{
    world w = {0};
    for (size_t i = 0; i < MOST; i++) {
        te_effect effects[SOURCES];
        size_t count = 0;
        w.value[i] = te_random_between(random, -100, 100);
        w.own[i] = te_random_below(random, 4) == 0 ? 0 : te_random_between(random, 0, 3);
        for (size_t s = 0; s < SOURCES; s++)
            if (te_random_below(random, 2) == 0) {
                w.effect[i][s] = te_random_between(random, -5, 5);
                effects[count++] = (te_effect){other(s), w.effect[i][s]};
            }
        observe(&w.pool, w.value[i], w.own[i], effects, count);
    }
    return w;
}

static te_form random_form(te_random *random, size_t terms)
{
    te_form form = {0};
    for (size_t i = 0; i < terms; i++)
        add_term(&form, (uint32_t)te_random_below(random, MOST), te_random_between(random, -2, 2));
    return form;
}

/* c' V d with the covariance matrix of the observations written out. */
static double covariance_the_long_way(const world *w, const te_form *a, const te_form *b)
{
    double sum = 0;
    for (size_t i = 0; i < a->count; i++)
        for (size_t j = 0; j < b->count; j++) {
            size_t x = a->observation[i], y = b->observation[j];
            double v = x == y ? w->own[x] * w->own[x] : 0;
            for (size_t s = 0; s < SOURCES; s++)
                v += w->effect[x][s] * w->effect[y][s];
            sum += a->coefficient[i] * v * b->coefficient[j];
        }
    return sum;
}

static void random_forms_obey_their_rules(void **state)
{
    (void)state;
    te_random random = te_random_start(20260418);
    for (size_t round = 0; round < te_test_rounds(400); round++) {
        world w = random_world(&random);
        te_form a = random_form(&random, te_random_below(&random, 6));
        te_form b = random_form(&random, te_random_below(&random, 6));
        te_form c = random_form(&random, 1 + te_random_below(&random, 5));
        double p = te_random_between(&random, -3, 3), q = te_random_between(&random, -3, 3);
        te_form pa = te_form_scale(&a, p), qb = te_form_scale(&b, q), mix;
        assert_int_equal(te_form_add(&mix, &pa, &qb), TE_OK);
        /* values of about 100, covariances of about 1000: rounding stays under these */
        const double near_value = 1e-11, near_square = 1e-10;
        assert_near(te_form_value(&w.pool, &mix),
                    p * te_form_value(&w.pool, &a) + q * te_form_value(&w.pool, &b), near_value);
        assert_near(te_form_covariance(&w.pool, &a, &b), te_form_covariance(&w.pool, &b, &a),
                    near_square);
        assert_near(te_form_covariance(&w.pool, &mix, &c),
                    p * te_form_covariance(&w.pool, &a, &c) +
                        q * te_form_covariance(&w.pool, &b, &c),
                    near_square);
        assert_near(te_form_variance(&w.pool, &mix),
                    p * p * te_form_variance(&w.pool, &a) + q * q * te_form_variance(&w.pool, &b) +
                        2 * p * q * te_form_covariance(&w.pool, &a, &b),
                    near_square);
        assert_near(te_form_covariance(&w.pool, &a, &c), covariance_the_long_way(&w, &a, &c),
                    near_square);
        double product = te_form_variance(&w.pool, &a) * te_form_variance(&w.pool, &c);
        double squared = pow(te_form_covariance(&w.pool, &a, &c), 2);
        assert_true(squared <= product * (1 + 1e-12) + near_square);

        te_component parts[MOST + SOURCES];
        size_t count = te_form_explain(parts, MOST + SOURCES, &w.pool, &mix);
        double squares = 0;
        assert_true(count <= MOST + SOURCES);
        for (size_t i = 0; i < count; i++)
            squares += parts[i].effect * parts[i].effect;
        assert_near(squares, te_form_variance(&w.pool, &mix), near_square);
        te_observations_free(&w.pool);
    }
}

/* ---- the short ways ---------------------------------------------------------------------- */

/* Few sources or many, some of them twice for one observation. */
static void random_pool(te_observations *pool, te_random *random)
{
    const size_t sources = te_random_below(random, 3) == 0 ? 40 : 1 + te_random_below(random, 8);
    for (size_t i = 0; i < MOST; i++) {
        te_effect effects[40];
        size_t count = te_random_below(random, sources + 1);
        for (size_t j = 0; j < count; j++)
            effects[j] = (te_effect){other(te_random_below(random, sources)),
                                     te_random_between(random, -5, 5)};
        observe(pool, te_random_between(random, -100, 100), te_random_between(random, 0, 3),
                effects, count);
    }
}

/* One observation alone, as most forms are, or several. */
static te_form any_form(te_random *random)
{
    te_form alone = te_form_make((uint32_t)te_random_below(random, MOST), 1);
    return te_random_below(random, 3) == 0
               ? alone
               : random_form(random, te_random_below(random, TE_FORM_TERMS + 1));
}

/* What is summed by source first, or once for many forms, is what te_form_covariance gives for each
 * pair, to the last bit: nothing that rests on it may depend on the way. */
static void sums_by_source_are_those_by_pairs(void **state)
{
    (void)state;
    enum { FORMS = 9 };
    te_random random = te_random_start(20260419);
    te_work work = {0};
    for (size_t round = 0; round < te_test_rounds(300); round++) {
        te_observations pool = {0};
        te_form forms[FORMS];
        const te_form *list[FORMS];
        double matrix[FORMS * FORMS];
        size_t count = te_random_below(&random, FORMS + 1);
        random_pool(&pool, &random);
        for (size_t i = 0; i < count; i++) {
            forms[i] = any_form(&random);
            list[i] = &forms[i];
        }
        assert_int_equal(te_form_covariances(matrix, &work, &pool, list, count), TE_OK);
        for (size_t i = 0; i < count; i++) {
            double variance = te_form_covariance(&pool, &forms[i], &forms[i]);
            assert_near(te_form_variance(&pool, &forms[i]), variance, 0);
            assert_near(te_form_uncertainty(&pool, &forms[i]), sqrt(variance), 0);
            for (size_t j = 0; j <= i; j++) {
                double plain = te_form_covariance(&pool, &forms[i], &forms[j]);
                assert_near(matrix[i * count + j], plain, 0);
                assert_near(matrix[j * count + i], plain, 0);
            }
        }
        te_observations_free(&pool);
    }
    free(work.block);
}

static void a_term_is_added_as_its_form_is(void **state)
{
    (void)state;
    te_random random = te_random_start(20260420);
    for (size_t round = 0; round < te_test_rounds(300); round++) {
        te_form a = random_form(&random, te_random_below(&random, TE_FORM_TERMS + 1)), b = a;
        uint32_t observation = (uint32_t)te_random_below(&random, MOST);
        double coefficient = te_random_between(&random, -2, 2);
        te_form term = te_form_make(observation, coefficient), set;
        assert_int_equal(te_form_add_term(&a, observation, coefficient),
                         te_form_add(&b, &b, &term));
        assert_true(te_form_is_same(&a, &b));
        te_form_set(&set, observation, coefficient);
        assert_true(te_form_is_same(&set, &term));
        assert_true(a.count == 1 || !te_form_is_same(&a, &term));
        set.coefficient[0] = 3;
        assert_false(te_form_is_same(&set, &term));
        set = te_form_make(observation + 1, coefficient);
        assert_false(te_form_is_same(&set, &term));
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_end_gauge_of_gum_h1),
        cmocka_unit_test(the_correlated_means_of_gum_h2),
        cmocka_unit_test(the_thermometer_of_gum_h3),
        cmocka_unit_test(the_lines_of_iso_28037),
        cmocka_unit_test(sums_with_and_without_a_common_standard),
        cmocka_unit_test(a_common_error_cancels_in_a_difference_and_doubles_in_a_sum),
        cmocka_unit_test(effects_of_one_source_are_summed),
        cmocka_unit_test(the_empty_form_is_zero_and_stated),
        cmocka_unit_test(a_form_is_stated_when_all_its_observations_are),
        cmocka_unit_test(terms_are_capped_and_merged),
        cmocka_unit_test(the_result_may_be_either_operand),
        cmocka_unit_test(explain_counts_what_does_not_fit),
        cmocka_unit_test(a_source_keeps_its_kind_and_index),
        cmocka_unit_test(freeing_empties_and_takes_null),
        cmocka_unit_test(random_forms_obey_their_rules),
        cmocka_unit_test(sums_by_source_are_those_by_pairs),
        cmocka_unit_test(a_term_is_added_as_its_form_is),
    };
    return cmocka_run_group_tests_name("form", tests, NULL, NULL);
}
