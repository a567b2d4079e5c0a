/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The second-harmonic oval of diameters: exact ovals, noise, and what does not determine one. */
#include "te_test.h"

#include <math.h>

#include "topend/fit.h"

static const double degree = 3.14159265358979323846 / 180;

enum { MOST = 24 };

/* Diameters of an oval of mean m, ovality o and long axis (degrees):
 * m + o/2 cos 2 (theta - axis). */
static void draw(double *diameter, const double *direction, size_t count, double m, double o,
                 double axis)
{
    for (size_t i = 0; i < count; i++)
        diameter[i] = m + o / 2 * cos(2 * (direction[i] - axis) * degree);
}

/* The difference of two directions of a diameter, which repeat after half a turn. */
static double apart(double a, double b)
{
    double d = fmod(fabs(a - b), 180);
    return fmin(d, 180 - d);
}

static void an_exact_oval_is_found(void **state)
{
    (void)state;
    static const double sets[][4] = {{0, 45, 90, 135}, {0, 60, 120, 30}, {10, 20, 100, 170}};
    for (size_t s = 0; s < 3; s++)
        for (size_t count = 3; count <= 4; count++)
            for (int axis = 0; axis < 180; axis += 15) {
                double diameter[4];
                te_oval oval;
                draw(diameter, sets[s], count, 66.012, 0.03, axis);
                assert_int_equal(te_oval_fit(&oval, sets[s], diameter, count), TE_OK);
                assert_near(oval.mean, 66.012, 1e-12);
                assert_near(oval.ovality, 0.03, 2e-12);
                assert_near(oval.a, 0.015 * cos(2 * axis * degree), 1e-12);
                assert_near(oval.b, 0.015 * sin(2 * axis * degree), 1e-12);
                /* 1e-12 mm of a or b turn the axis by 1e-12 / 0.03 radians, 2e-9 degrees */
                assert_near(apart(oval.long_axis, axis), 0, 1e-8);
                assert_true(oval.long_axis >= 0 && oval.long_axis < 180);
            }
}

/* Worked by hand: 0, 45 and 90 degrees, 66.03, 66.00 and 66.01 mm. At 0 and 90 b has no part:
 * mean 66.02, a 0.01; at 45 it is mean + b: b = -0.02. Ovality 2 sqrt(0.0001 + 0.0004); long axis
 * atan2(-0.02, 0.01) / 2 = -31.7175 degrees, which is 148.2825. */
static void a_case_by_hand(void **state)
{
    (void)state;
    static const double direction[] = {0, 45, 90}, diameter[] = {66.03, 66.00, 66.01};
    te_oval oval;
    assert_int_equal(te_oval_fit(&oval, direction, diameter, 3), TE_OK);
    assert_near(oval.mean, 66.02, 1e-12);
    assert_near(oval.a, 0.01, 1e-12);
    assert_near(oval.b, -0.02, 1e-12);
    assert_near(oval.ovality, 2 * sqrt(0.0005), 1e-12);
    assert_near(oval.long_axis, 148.282525588539, 1e-8);
}

/* Alike on both sides of 0: the axis is there but for rounding, and a hair below 0 is not told as 180,
 * which is no direction. */
static void an_axis_a_hair_below_0_stays_below_180(void **state)
{
    (void)state;
    for (int side = 1; side < 90; side++) {
        const double direction[] = {0, side, 180 - side}, diameter[] = {66.02, 66.00, 66.00};
        te_oval oval;
        assert_int_equal(te_oval_fit(&oval, direction, diameter, 3), TE_OK);
        assert_near(apart(oval.long_axis, 0), 0, 1e-8);
        assert_true(oval.long_axis >= 0 && oval.long_axis < 180);
    }
}

/* Nothing is read of more than memory holds. */
static void a_count_past_all_memory_is_refused(void **state)
{
    (void)state;
    const double direction[] = {0, 60, 120}, diameter[] = {66, 66, 66};
    te_oval oval;
    assert_int_equal(te_oval_fit(&oval, direction, diameter, SIZE_MAX / 8), TE_ERR_DOMAIN);
}

static void a_round_bore_has_no_ovality(void **state)
{
    (void)state;
    static const double direction[] = {0, 30, 60, 90, 120, 150};
    static const double diameter[] = {66, 66, 66, 66, 66, 66};
    te_oval oval;
    assert_int_equal(te_oval_fit(&oval, direction, diameter, 6), TE_OK);
    assert_near(oval.mean, 66, 1e-12);
    assert_near(oval.ovality, 0, 1e-12);
    assert_true(oval.long_axis >= 0 && oval.long_axis < 180);
}

/* Lobes of an odd number do not show in diameters; of those that do, four lobes are not the oval:
 * over evenly spread directions cos 4 theta is orthogonal to all three columns. */
static void four_lobes_leave_the_oval_alone(void **state)
{
    (void)state;
    double direction[12], diameter[12];
    te_oval oval;
    for (size_t i = 0; i < 12; i++)
        direction[i] = 15.0 * (double)i;
    draw(diameter, direction, 12, 66, 0.02, 40);
    for (size_t i = 0; i < 12; i++)
        diameter[i] += 0.01 * cos(4 * direction[i] * degree);
    assert_int_equal(te_oval_fit(&oval, direction, diameter, 12), TE_OK);
    assert_near(oval.mean, 66, 1e-12);
    assert_near(oval.ovality, 0.02, 1e-12);
    assert_near(oval.long_axis, 40, 1e-8);
}

/*
 * Noise of s = 2 um on n = 24 evenly spread directions: a and b have the standard uncertainty
 * s sqrt(2/n), the mean s / sqrt n. Over many draws their means are the true ones within 4
 * standard errors, their standard deviations within 4 of theirs, s / sqrt(2 (N - 1)).
 */
static void noise_spreads_the_oval_as_it_should(void **state)
{
    (void)state;
    te_random random = te_random_start(662);
    const double s = 0.002, true_a = 0.01 * cos(100 * degree), true_b = 0.01 * sin(100 * degree);
    const size_t rounds = te_test_rounds(4000);
    double sum[3] = {0}, squares[3] = {0};
    double direction[MOST], diameter[MOST];
    for (size_t i = 0; i < MOST; i++)
        direction[i] = 180.0 / MOST * (double)i;
    for (size_t round = 0; round < rounds; round++) {
        te_oval oval;
        draw(diameter, direction, MOST, 66, 0.02, 50);
        for (size_t i = 0; i < MOST; i++)
            diameter[i] += s * te_random_normal(&random);
        assert_int_equal(te_oval_fit(&oval, direction, diameter, MOST), TE_OK);
        const double rest[] = {oval.mean - 66, oval.a - true_a, oval.b - true_b};
        for (size_t k = 0; k < 3; k++) {
            sum[k] += rest[k];
            squares[k] += rest[k] * rest[k];
        }
    }
    const double n = (double)rounds;
    const double u[] = {s / sqrt(MOST), s * sqrt(2.0 / MOST), s * sqrt(2.0 / MOST)};
    for (size_t k = 0; k < 3; k++) {
        assert_near(sum[k] / n, 0, 4 * u[k] / sqrt(n));
        assert_near(sqrt(squares[k] / n), u[k], 4 * u[k] / sqrt(2 * n));
    }
}

static void too_few_directions_are_refused(void **state)
{
    (void)state;
    te_oval oval = {.mean = -1};
    static const double equal[][4] = {
        {0, 0, 0, 0}, {45, 45, 45, 45}, {90, 90, 90, 90}, {33, 33, 33, 33}};
    static const double diameter[] = {66.01, 66.02, 66.03, 66.02};
    for (size_t i = 0; i < 4; i++)
        for (size_t count = 3; count <= 4; count++)
            assert_int_equal(te_oval_fit(&oval, equal[i], diameter, count), TE_ERR_SINGULAR);
    static const double three[] = {0, 60, 120};
    for (size_t count = 0; count < 3; count++)
        assert_int_equal(te_oval_fit(&oval, three, diameter, count), TE_ERR_DOMAIN);
    assert_near(oval.mean, -1, 0);
}

/* Any number of diameters along two directions, in any order, do not make an oval. */
static void two_directions_are_refused(void **state)
{
    (void)state;
    te_random random = te_random_start(90);
    for (size_t round = 0; round < te_test_rounds(5000); round++) {
        double pair[2], direction[MOST], diameter[MOST];
        te_oval oval = {.mean = -1};
        size_t count = 3 + te_random_below(&random, 6);
        pair[0] = (double)te_random_below(&random, 180);
        pair[1] = round % 4 == 0 ? 90 : (double)te_random_below(&random, 180);
        pair[0] = round % 8 == 0 ? 0 : pair[0];
        for (size_t i = 0; i < count; i++) {
            direction[i] = pair[te_random_below(&random, 2)];
            diameter[i] = te_random_between(&random, 65.9, 66.1);
        }
        te_status status = te_oval_fit(&oval, direction, diameter, count);
        if (status != TE_ERR_SINGULAR)
            print_error("%zu diameters along %g and %g degrees\n", count, pair[0], pair[1]);
        assert_int_equal(status, TE_ERR_SINGULAR);
        assert_near(oval.mean, -1, 0);
    }
}

static void numbers_that_are_not_finite_are_refused(void **state)
{
    (void)state;
    const double bad[] = {NAN, INFINITY, -INFINITY};
    for (size_t i = 0; i < 3; i++) {
        double direction[] = {0, 60, 120}, diameter[] = {66, 66.01, 66.02};
        te_oval oval;
        diameter[i] = bad[i];
        assert_int_equal(te_oval_fit(&oval, direction, diameter, 3), TE_ERR_DOMAIN);
        diameter[i] = 66;
        direction[i] = bad[i];
        assert_int_equal(te_oval_fit(&oval, direction, diameter, 3), TE_ERR_DOMAIN);
    }
}

/* Turning the gauge's zero by any angle turns the axis by it and changes nothing else; the axis
 * stays in [0, 180). */
static void the_long_axis_turns_with_the_directions(void **state)
{
    (void)state;
    te_random random = te_random_start(180);
    for (size_t round = 0; round < te_test_rounds(2000); round++) {
        double direction[MOST], turned[MOST], diameter[MOST];
        size_t count = 3 + te_random_below(&random, MOST - 3);
        double turn = te_random_between(&random, -180, 180);
        te_oval first, second;
        for (size_t i = 0; i < count; i++) {
            direction[i] = 180 * ((double)i + te_random_between(&random, 0, 0.5)) / (double)count;
            turned[i] = direction[i] + turn;
            diameter[i] = te_random_between(&random, 65.9, 66.1);
        }
        assert_int_equal(te_oval_fit(&first, direction, diameter, count), TE_OK);
        assert_int_equal(te_oval_fit(&second, turned, diameter, count), TE_OK);
        assert_near(second.mean, first.mean, 1e-10);
        assert_near(second.ovality, first.ovality, 1e-10);
        /* the axis of a nearly round bore is nearly free */
        double free_by = 1e-7 + 1e-8 / first.ovality;
        assert_near(apart(second.long_axis, first.long_axis + turn + 360), 0, free_by);
        assert_true(second.long_axis >= 0 && second.long_axis < 180);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(an_exact_oval_is_found),
        cmocka_unit_test(a_case_by_hand),
        cmocka_unit_test(an_axis_a_hair_below_0_stays_below_180),
        cmocka_unit_test(a_count_past_all_memory_is_refused),
        cmocka_unit_test(a_round_bore_has_no_ovality),
        cmocka_unit_test(four_lobes_leave_the_oval_alone),
        cmocka_unit_test(noise_spreads_the_oval_as_it_should),
        cmocka_unit_test(too_few_directions_are_refused),
        cmocka_unit_test(two_directions_are_refused),
        cmocka_unit_test(numbers_that_are_not_finite_are_refused),
        cmocka_unit_test(the_long_axis_turns_with_the_directions),
    };
    return cmocka_run_group_tests_name("oval", tests, NULL, NULL);
}
