/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * What every unit test includes: cmocka behind the headers that it needs first, comparisons of
 * doubles in double, and random numbers from a seed that can be asked for again.
 *
 * Environment:
 *   TE_TEST_MULTIPLIER  scales the rounds of the property tests (2.5: two and a half times as many)
 *   TE_TEST_SEED        the seed of every generator, in place of the one in the test
 */
#ifndef TE_TEST_H
#define TE_TEST_H

/* cmocka 1.1.5 uses what these five declare and includes none of them itself. */
/* clang-format off */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <cmocka.h>
/* clang-format on */

#include <stdbool.h>

/*
 * True when actual lies within tolerance of expected, borders included. Never for a NaN, in any of
 * the three; equal infinities are near, an infinity and a number are not. cmocka's own
 * assert_float_equal compares in float, too coarse for micrometres in 66 mm.
 */
bool te_near(double actual, double expected, double tolerance);

/* Fails the test, and prints both values to 17 digits, unless te_near(). */
#define assert_near(actual, expected, tolerance) \
    te_assert_near((actual), (expected), (tolerance), #actual, __FILE__, __LINE__)

/*
 * The same with the tolerance as a fraction of |expected|. An expected 0 is met by 0 alone: use
 * assert_near there.
 */
#define assert_near_rel(actual, expected, fraction) \
    te_assert_near_rel((actual), (expected), (fraction), #actual, __FILE__, __LINE__)

/* What the two macros call. */
void te_assert_near(double actual, double expected, double tolerance, const char *expression,
                    const char *file, int line);
void te_assert_near_rel(double actual, double expected, double fraction, const char *expression,
                        const char *file, int line);

/* SplitMix64 (Steele, Lea and Flood 2014): one word of state, any seed is a good one. */
typedef struct te_random {
    uint64_t state;
} te_random;

/*
 * A generator started from seed, or from TE_TEST_SEED when that is set. The seed is printed, and
 * again by a failing assert_near, so that a failure can be had once more.
 */
te_random te_random_start(uint64_t seed);

/* 64 random bits. */
uint64_t te_random_bits(te_random *random);

/* Uniform in [0, 1), in steps of 2^-53. */
double te_random_unit(te_random *random);

/* Uniform in [low, high). */
double te_random_between(te_random *random, double low, double high);

/* 0 to count - 1; count is not 0. */
size_t te_random_below(te_random *random, size_t count);

/* Normal deviate, mean 0 and variance 1. */
double te_random_normal(te_random *random);

/* base times TE_TEST_MULTIPLIER, at least 1. A multiplier that is no positive number fails. */
size_t te_test_rounds(size_t base);

#endif
