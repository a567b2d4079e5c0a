/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The support code itself: a comparison that cannot fail would hide every fault behind it. */
#include "te_test.h"

#include <math.h>
#include <stdlib.h>

static void near_includes_its_borders(void **state)
{
    (void)state;
    assert_true(te_near(66.25, 66.0, 0.25));
    assert_true(te_near(65.75, 66.0, 0.25));
    assert_false(te_near(66.25, 66.0, 0.2499999999));
    assert_true(te_near(2.385, 2.385, 0));
    assert_true(te_near(0.0, -0.0, 0));
}

static void near_compares_in_double(void **state)
{
    (void)state;
    assert_false(te_near(66.0, 66.0 + 1e-12, 1e-13));
    assert_true(te_near(66.0, 66.0 + 1e-12, 2e-12));
}

static void near_is_never_true_of_nan(void **state)
{
    (void)state;
    assert_false(te_near(NAN, 1, 1));
    assert_false(te_near(1, NAN, 1));
    assert_false(te_near(NAN, NAN, 1));
    assert_false(te_near(NAN, NAN, INFINITY));
    assert_false(te_near(1, 1, NAN));
    assert_false(te_near(1, 1, -1e-9));
}

static void near_takes_infinities_apart(void **state)
{
    (void)state;
    assert_true(te_near(INFINITY, INFINITY, 0));
    assert_false(te_near(INFINITY, -INFINITY, INFINITY));
    assert_false(te_near(INFINITY, 1e308, INFINITY));
    assert_false(te_near(1, INFINITY, 1));
}

/* First outputs for seed 1234567 as the algorithm's published examples give them. */
static void generator_gives_the_published_numbers(void **state)
{
    (void)state;
    static const uint64_t published[] = {
        UINT64_C(6457827717110365317), UINT64_C(3203168211198807973), UINT64_C(9817491932198370423),
        UINT64_C(4593380528125082431), UINT64_C(16408922859458223821)};
    te_random random = {.state = 1234567};
    for (size_t i = 0; i < sizeof published / sizeof *published; i++)
        assert_true(te_random_bits(&random) == published[i]);
}

static void same_seed_same_numbers(void **state)
{
    (void)state;
    te_random a = te_random_start(42), b = te_random_start(42), c = {.state = a.state + 1};
    uint64_t first = te_random_bits(&a);
    assert_true(first == te_random_bits(&b));
    assert_true(first != te_random_bits(&c));
}

static void uniform_numbers_stay_in_range(void **state)
{
    (void)state;
    te_random random = te_random_start(7);
    for (size_t i = 0; i < 100000; i++) {
        double u = te_random_unit(&random), v = te_random_between(&random, -3.5, 2.25);
        assert_true(u >= 0 && u < 1);
        assert_true(v >= -3.5 && v < 2.25);
        assert_true(te_random_below(&random, 7) < 7);
    }
}

/* Moments of 200000 normal deviates, each allowed five standard errors. */
static void normal_deviates_have_normal_moments(void **state)
{
    (void)state;
    te_random random = te_random_start(20260418);
    const double n = 200000;
    double m1 = 0, m2 = 0, m3 = 0, m4 = 0, beyond = 0;
    for (size_t i = 0; i < (size_t)n; i++) {
        double z = te_random_normal(&random), z2 = z * z;
        m1 += z / n;
        m2 += z2 / n;
        m3 += z2 * z / n;
        m4 += z2 * z2 / n;
        beyond += (fabs(z) > 1.959963984540054) / n;
    }
    assert_near(m1, 0, 5 * sqrt(1 / n));
    assert_near(m2, 1, 5 * sqrt(2 / n));
    /* Var z = 1, Var z^2 = 2; Var z^3 = E z^6 = 15, Var z^4 = E z^8 - 9 = 96. */
    assert_near(m3, 0, 5 * sqrt(15 / n));
    assert_near(m4, 3, 5 * sqrt(96 / n));
    assert_near(beyond, 0.05, 5 * sqrt(0.05 * 0.95 / n));
}

static int without_multiplier(void **state)
{
    (void)state;
    return unsetenv("TE_TEST_MULTIPLIER");
}

static void rounds_follow_the_multiplier(void **state)
{
    (void)state;
    assert_int_equal(te_test_rounds(40), 40);
    assert_int_equal(setenv("TE_TEST_MULTIPLIER", "2.5", 1), 0);
    assert_int_equal(te_test_rounds(40), 100);
    assert_int_equal(setenv("TE_TEST_MULTIPLIER", "0.001", 1), 0);
    assert_int_equal(te_test_rounds(40), 1);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(near_includes_its_borders),
        cmocka_unit_test(near_compares_in_double),
        cmocka_unit_test(near_is_never_true_of_nan),
        cmocka_unit_test(near_takes_infinities_apart),
        cmocka_unit_test(generator_gives_the_published_numbers),
        cmocka_unit_test(same_seed_same_numbers),
        cmocka_unit_test(uniform_numbers_stay_in_range),
        cmocka_unit_test(normal_deviates_have_normal_moments),
        cmocka_unit_test_setup_teardown(rounds_follow_the_multiplier, without_multiplier,
                                        without_multiplier),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
