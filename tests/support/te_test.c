/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "te_test.h"

#include <inttypes.h>
#include <math.h>
#include <stdlib.h>

/* The seed last started, for the message of a failure; the tests of a program run one by one. */
static struct {
    bool started;
    uint64_t seed;
} last_seed;

bool te_near(double actual, double expected, double tolerance)
{
    if (isnan(actual) || isnan(expected) || !(tolerance >= 0))
        return false;
    if (isinf(actual) || isinf(expected))
        return actual == expected;
    return fabs(actual - expected) <= tolerance;
}

void te_assert_near(double actual, double expected, double tolerance, const char *expression,
                    const char *file, int line)
{
    if (te_near(actual, expected, tolerance))
        return;
    print_error("%s\n  is       %.17g\n  expected %.17g\n  differs  %.3g, allowed %.3g\n",
                expression, actual, expected, fabs(actual - expected), tolerance);
    if (last_seed.started)
        print_error("  seed     %" PRIu64 " (the last one started)\n", last_seed.seed);
    _fail(file, line);
}

void te_assert_near_rel(double actual, double expected, double fraction, const char *expression,
                        const char *file, int line)
{
    te_assert_near(actual, expected, fraction * fabs(expected), expression, file, line);
}

te_random te_random_start(uint64_t seed)
{
    const char *asked = getenv("TE_TEST_SEED");
    if (asked) {
        char *end;
        seed = strtoull(asked, &end, 10);
        if (end == asked || *end)
            fail_msg("TE_TEST_SEED is no whole number: %s", asked);
    }
    last_seed.started = true;
    last_seed.seed = seed;
    print_message("seed %" PRIu64 "\n", seed);
    return (te_random){.state = seed};
}

uint64_t te_random_bits(te_random *random)
{
    random->state += UINT64_C(0x9e3779b97f4a7c15);
    uint64_t z = random->state;
    z = (z ^ (z >> 30)) * UINT64_C(0xbf58476d1ce4e5b9);
    z = (z ^ (z >> 27)) * UINT64_C(0x94d049bb133111eb);
    return z ^ (z >> 31);
}

double te_random_unit(te_random *random)
{
    return (double)(te_random_bits(random) >> 11) * 0x1p-53;
}

double te_random_between(te_random *random, double low, double high)
{
    return low + (high - low) * te_random_unit(random);
}

size_t te_random_below(te_random *random, size_t count)
{
    /* The bias of the remainder, count / 2^64, is of no account here. */
    return (size_t)(te_random_bits(random) % count);
}

double te_random_normal(te_random *random)
{
    /* Box and Muller 1958; 1 - u is in (0, 1], so the logarithm is finite. */
    const double two_pi = 6.283185307179586;
    double radius = sqrt(-2 * log(1 - te_random_unit(random)));
    return radius * cos(two_pi * te_random_unit(random));
}

size_t te_test_rounds(size_t base)
{
    const char *asked = getenv("TE_TEST_MULTIPLIER");
    if (!asked)
        return base;
    char *end;
    double multiplier = strtod(asked, &end);
    if (end == asked || *end || !(multiplier > 0) || isinf(multiplier))
        fail_msg("TE_TEST_MULTIPLIER is no positive number: %s", asked);
    double rounds = (double)base * multiplier;
    return rounds < 1 ? 1 : (size_t)rounds;
}
