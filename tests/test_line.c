/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Straight lines and the hours at which their bounds meet a limit: published worked examples,
 * results made with R, and properties.
 */
#include "te_test.h"

#include <gsl/gsl_errno.h>
#include <gsl/gsl_linalg.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "topend/line.h"

enum { MOST = 16, MANY = 30 };

#define COUNT(array) (sizeof(array) / sizeof *(array))

static void diagonal(double *v, const double *u, size_t n)
{
    memset(v, 0, n * n * sizeof *v);
    for (size_t i = 0; i < n; i++)
        v[i * n + i] = u[i] * u[i];
}

static te_line generalised(const double *t, const double *y, const double *v, size_t n, double at)
{
    te_line line;
    assert_int_equal(te_line_fit_generalised(&line, t, y, v, n, at), TE_OK);
    return line;
}

static te_line ordinary(const double *t, const double *y, size_t n, double at)
{
    te_line line;
    assert_int_equal(te_line_fit_ordinary(&line, t, y, n, at), TE_OK);
    return line;
}

static double meets(const te_line *line, double limit, bool upper, double quantile)
{
    double hours = 0;
    te_line_meets(&hours, line, limit, upper, quantile);
    return hours;
}

/* ---- published ---------------------------------------------------------------------------- */

/* ISO/TS 28037:2010, 6.3 example 1: known equal uncertainties. a is the level at 0. */
static void published_equal_weights(void **state)
{
    (void)state;
    const double x[] = {1, 2, 3, 4, 5, 6};
    const double y[] = {3.3, 5.6, 7.1, 9.3, 10.7, 12.1};
    const double u[] = {0.5, 0.5, 0.5, 0.5, 0.5, 0.5};
    double v[36];
    diagonal(v, u, 6);
    te_line line = generalised(x, y, v, 6, 0);
    assert_near(line.level, 1.86666666666667, 1e-13);
    assert_near(line.rate, 1.75714285714286, 1e-13);
    assert_near(sqrt(line.var_level), 0.465474668125631, 1e-14);
    assert_near(sqrt(line.var_rate), 0.119522860933439, 1e-14);
    assert_near(line.covariance, -0.050, 1e-14);
    assert_near(line.chi2, 1.665, 5e-4); /* as printed */
    assert_int_equal(line.freedom, 4);
    assert_near(line.scale, 1, 0); /* chi2 / 4 is below 1 */
    /* forward: u of the line at 3.5, without the example's u(x): (a, b) covariance alone */
    double at35 = sqrt(line.var_level + 2 * 3.5 * line.covariance + 3.5 * 3.5 * line.var_rate);
    assert_near(te_line_bound(&line, 3.5, 1) - te_line_bound(&line, 3.5, 0), at35, 1e-13);
    /* inverse at y = 10.5 */
    assert_near(meets(&line, 10.5, true, 0), 4.91327913279133, 1e-12);
}

/* ISO/TS 28037:2010, 6.3 example 2: unequal weights. */
static void published_unequal_weights(void **state)
{
    (void)state;
    const double x[] = {1, 2, 3, 4, 5, 6};
    const double y[] = {3.2, 4.3, 7.6, 8.6, 11.7, 12.8};
    const double u[] = {0.5, 0.5, 0.5, 1, 1, 1};
    double v[36];
    diagonal(v, u, 6);
    te_line line = generalised(x, y, v, 6, 0);
    assert_near(line.level, 0.885232067510549, 1e-13);
    assert_near(line.rate, 2.05696202531646, 1e-13);
    /* chi2 / nu = 4.13080 / 4 is above 1: the unscaled uncertainties times its root */
    assert_near(line.chi2, 4.13080, 5e-6);
    assert_near(line.scale, line.chi2 / 4, 1e-15);
    assert_near(sqrt(line.var_level / line.scale), 0.529708143508836, 1e-14);
    assert_near(sqrt(line.var_rate / line.scale), 0.177892016741205, 1e-14);
    assert_near(line.covariance / line.scale, -0.0822784810126582, 1e-15);
}

/* ISO/TS 28037:2010, annex E: unknown equal uncertainties, the residuals tell. */
static void published_unknown_weights(void **state)
{
    (void)state;
    const double x[] = {1, 2, 3, 4, 5, 6};
    const double y[] = {3.014, 5.225, 7.004, 9.061, 11.201, 12.762};
    te_line line = ordinary(x, y, 6, 0);
    assert_near(line.level, 1.172, 1e-12);
    assert_near(line.rate, 1.96357142857143, 1e-13);
    assert_near(sqrt(line.var_level), 0.158875093196181, 1e-13);
    assert_near(sqrt(line.var_rate), 0.0407953578791729, 1e-14);
    assert_near(line.covariance, -0.00582491428571429, 1e-14);
    assert_near(line.scale * 4, 0.116498, 1e-6);
    assert_true(isnan(line.chi2));
    assert_true(isnan(te_line_chance(&line)));
}

/* The first hours at which the upper bound of a rising line meets a level are the lower end of
 * Fieller's interval; turned round (hours negative) the line falls, and the lower bound gives the
 * upper end. `extra` times the residual variance is added where a new observation is meant. */
static void fieller(double *low, double *high, const double *x, const double *y, size_t n,
                    double level, double confidence, double extra)
{
    double turned[MOST];
    for (size_t i = 0; i < n; i++)
        turned[i] = -x[i];
    te_line line = ordinary(x, y, n, x[0]);
    te_line back = ordinary(turned, y, n, turned[n - 1]);
    double one_sided = 1 - (1 - confidence) / 2;
    line.var_level += extra * line.scale;
    back.var_level += extra * back.scale;
    *low = meets(&line, level, true, te_line_quantile(&line, one_sided));
    *high = -meets(&back, level, false, te_line_quantile(&back, one_sided));
}

/* F. A. Graybill, H. K. Iyer, Regression Analysis (1994), chapter 6; figures as tested in the R
 * package investr. */
static void published_fieller(void **state)
{
    (void)state;
    const double temperature[] = {96, 98, 100, 102, 104, 106, 108, 110};
    const double shown[] = {95.71, 98.16, 99.52, 102.09, 103.79, 106.18, 108.14, 110.21};
    const double minutes[] = {0, 10, 20, 30, 40, 50, 60, 70, 80, 90, 100};
    const double chamber[] = {206.36, 225.52, 252.18, 289.33, 318.11, 349.49,
                              383.03, 410.70, 444.40, 469.14, 501.16};
    const double days[] = {2, 4, 6, 8, 10, 12, 14, 16, 18, 20, 22, 24, 26, 28};
    const double crystal[] = {.08,  1.12, 4.43,  4.98,  4.92,  7.18,  5.57,
                              8.40, 8.81, 10.81, 11.16, 10.12, 13.12, 15.04};
    double low, high;
    fieller(&low, &high, minutes, chamber, COUNT(minutes), 400, 0.99, 0);
    assert_near(low, 65.070894, 1e-5);
    assert_near(high, 68.025832, 1e-5);
    fieller(&low, &high, days, crystal, COUNT(days), 5, 0.90, 0);
    assert_near(low, 8.650259, 1e-6);
    assert_near(high, 11.047896, 1e-6);
    fieller(&low, &high, days, crystal, COUNT(days), 5, 0.95, 1);
    assert_near(low, 4.931325, 1e-6);
    assert_near(high, 14.685857, 1e-6);
    fieller(&low, &high, temperature, shown, COUNT(shown), 104, 0.95, 1);
    assert_near(low, 103.404051, 1e-6);
    assert_near(high, 104.589459, 1e-6);
    fieller(&low, &high, temperature, shown, COUNT(shown), 100, 0.90, 1);
    assert_near(low, 99.629403, 1e-6);
    assert_near(high, 100.588503, 1e-6);
}

/* Where the slope is not significant Fieller's set is no interval: here g = 66. A line that may
 * fall as well as rise meets a level above it, but tells nothing of when at the latest. */
static void published_no_slope(void **state)
{
    (void)state;
    const double x[] = {1, 2, 3, 4, 5, 6};
    const double y[] = {3.0, 3.2, 2.9, 3.1, 3.0, 3.15};
    te_line line = ordinary(x, y, 6, 6);
    double t = te_line_quantile(&line, 0.975);
    double g = t * t * line.var_rate / (line.rate * line.rate);
    assert_near(g, 66.4, 0.05);
    double earliest = meets(&line, 4, true, t);
    assert_true(earliest > 6);
    assert_near(te_line_bound(&line, earliest, t), 4, 1e-9);
    /* and so does its lower bound a level below: both before the line itself, if it ever does */
    assert_true(meets(&line, 2, false, t) > 6);
    assert_true(isnan(meets(&line, 2, false, 0)));
}

/* Massart 1997, example 7, and DIN 32645, as tested in the R package chemCal: symmetric intervals
 * there, x0 -+ t se; the best estimate is the same. */
static void published_inverse(void **state)
{
    (void)state;
    const double x[] = {0, 10, 20, 30, 40, 50};
    const double y[] = {4.0, 21.2, 44.6, 61.8, 78.0, 105.2};
    te_line line = ordinary(x, y, 6, 0);
    assert_near(meets(&line, 15, true, 0), 6.093810, 1e-6);
    assert_near(meets(&line, 90, true, 0), 43.93983, 1e-5);
}

/* ---- made with R ---------------------------------------------------------------------------- */

/*
 * Five inspections with two calibrations of a gauge and a temperature in common, R 4.2.2:
 *   t <- c(61.5, 118.4, 118.4, 236.9, 331.5); own <- c(0.0011, 0.0008, 0.0009, 0.0008, 0.0013)
 *   g1 <- c(.0014,.0014,.0014,0,0); g2 <- c(0,0,0,.0016,.0016)
 *   tm <- c(.0003,-.0004,-.0004,.0006,.0002)
 *   V <- diag(own^2) + g1%o%g1 + g2%o%g2 + tm%o%tm
 *   X <- cbind(1, t - 331.5); W <- solve(V); C <- solve(t(X)%*%W%*%X); b <- C%*%t(X)%*%W%*%y
 *   chi2 <- t(y-X%*%b)%*%W%*%(y-X%*%b); s <- max(1, chi2/3)
 *   f <- function(h, q, L) {x <- c(1, h-331.5); sum(x*b) + q*sqrt(s*t(x)%*%C%*%x) - L}
 *   uniroot(f, c(331.5, 1e4), q = qnorm(.95), L = 66.1, tol = 1e-12)
 */
static const double r_hours[] = {61.5, 118.4, 118.4, 236.9, 331.5};

static void r_covariance(double v[25])
{
    const double own[] = {0.0011, 0.0008, 0.0009, 0.0008, 0.0013};
    const double common[3][5] = {{0.0014, 0.0014, 0.0014, 0, 0},
                                 {0, 0, 0, 0.0016, 0.0016},
                                 {0.0003, -0.0004, -0.0004, 0.0006, 0.0002}};
    diagonal(v, own, 5);
    for (size_t s = 0; s < 3; s++)
        for (size_t i = 0; i < 25; i++)
            v[i] += common[s][i / 5] * common[s][i % 5];
}

static void r_rising(void **state)
{
    (void)state;
    const double y[] = {66.0142, 66.0228, 66.0223, 66.0317, 66.0461};
    double v[25];
    r_covariance(v);
    te_line line = generalised(r_hours, y, v, 5, 331.5);
    assert_near(line.level, 66.0468244259989, 1e-12);
    assert_near_rel(line.rate, 1.23824219520896e-04, 1e-10);
    assert_near_rel(line.chi2, 6.36108912779955, 1e-9);
    assert_near_rel(line.scale, 2.12036304259985, 1e-9);
    assert_near_rel(sqrt(line.var_level / line.scale), 1.92504478374822e-03, 1e-10);
    assert_near_rel(sqrt(line.var_rate / line.scale), 9.82666006980254e-06, 1e-10);
    assert_near_rel(line.covariance / line.scale, 1.52770937739434e-08, 1e-9);
    assert_near_rel(te_line_chance(&line), 9.53047653621716e-02, 1e-9);
    assert_near_rel(meets(&line, 66.1, true, te_line_quantile(&line, 0.95)), 664.94586064361442,
                    1e-9);
    assert_near_rel(meets(&line, 66.1, true, te_line_quantile(&line, 0.99)), 633.410219161244,
                    1e-9);
    assert_near_rel(meets(&line, 66.1, true, 0), 760.94404743128678, 1e-10);
}

static void r_falling(void **state)
{
    (void)state;
    const double y[] = {65.9312, 65.9288, 65.9292, 65.9221, 65.9203};
    double v[25];
    r_covariance(v);
    te_line line = generalised(r_hours, y, v, 5, 331.5);
    assert_near(line.level, 65.9202151633977, 1e-12);
    assert_near_rel(line.rate, -3.73551218045276e-05, 1e-10);
    assert_near_rel(line.chi2, 1.97381937626408, 1e-9);
    assert_near(line.scale, 1, 0);
    assert_near_rel(meets(&line, 65.87, false, te_line_quantile(&line, 0.95)), 1220.07515787452,
                    1e-9);
    assert_near_rel(meets(&line, 65.87, false, 0), 1675.76448026222, 1e-9);
}

/* lm(y ~ I(t - 331.5)); the bound by predict(..., se.fit = TRUE) and qt(.95, 3), uniroot. */
static void r_ordinary(void **state)
{
    (void)state;
    const double y[] = {66.0142, 66.0228, 66.0223, 66.0317, 66.0461};
    te_line line = ordinary(r_hours, y, 5, 331.5);
    assert_near(line.level, 66.0448314434124, 1e-12);
    assert_near_rel(line.rate, 1.10087527898408e-04, 1e-10);
    assert_near_rel(sqrt(line.var_level), 1.75375473090633e-03, 1e-9);
    assert_near_rel(sqrt(line.var_rate), 9.43718394563361e-06, 1e-9);
    assert_near_rel(line.covariance, 1.40857993206803e-08, 1e-9);
    assert_near_rel(line.scale, 4.23922817808772e-06, 1e-9);
    assert_near_rel(meets(&line, 66.1, true, te_line_quantile(&line, 0.95)), 720.506599430763,
                    1e-9);
    assert_near_rel(meets(&line, 66.1, true, 0), 832.633576534531, 1e-10);
}

/*
 * Correlated errors without a gauge: the years of Longley (NIST StRD), R 4.2.2 and nlme 3.1-162:
 *   gls(Employed ~ Year, longley, corAR1(0.31041, ~Year, fixed = TRUE), method = "ML")
 * gives -1324.8797063445 and 0.7112832431412, standard errors 129.4083661645 and 0.0662102659717,
 * which are scaled by chi2 / 14 although that is what Birge's ratio would do, too.
 */
static void r_autocorrelated(void **state)
{
    (void)state;
    const double employed[] = {60.323, 61.122, 60.171, 61.187, 63.221, 63.639, 64.989, 63.761,
                               66.019, 67.857, 68.169, 66.513, 68.655, 69.564, 69.331, 70.551};
    double year[16], v[256];
    for (size_t i = 0; i < 16; i++)
        year[i] = 1947 + (double)i;
    for (int i = 0; i < 256; i++)
        v[i] = pow(0.31041, abs(i / 16 - i % 16));
    te_line line = generalised(year, employed, v, 16, 1962);
    double factor = line.chi2 / 14 / line.scale; /* chi2 / 14 is below 1: not scaled by us */
    assert_near_rel(line.level, 70.6580166985365281, 1e-13);
    assert_near_rel(line.rate, 0.711283243141202, 1e-11);
    assert_near_rel(sqrt(line.var_rate * factor), 0.0662102659716927, 1e-11);
    assert_near_rel(sqrt(line.var_level * factor), 0.5919945981900029, 1e-11);
    assert_near_rel(line.covariance * factor, 0.0328784949003200, 1e-11);
    assert_near_rel(line.chi2, 12.9327547202815367, 1e-11);
    assert_near_rel(line.level - 1962 * line.rate, -1324.879706344502665, 1e-11);
}

/* ---- special cases -------------------------------------------------------------------------- */

static void refuses_what_is_no_line(void **state)
{
    (void)state;
    const double t[] = {100, 200, 300};
    const double y[] = {1, 2, 4};
    const double same[] = {100, 100 + 5e-7, 100};
    const double bad[] = {1, NAN, 2};
    double v[9] = {1, 0, 0, 0, 1, 0, 0, 0, 1};
    te_line line = {.level = 7};
    assert_int_equal(te_line_fit_generalised(&line, t, y, v, 1, 0), TE_ERR_DOMAIN);
    assert_int_equal(te_line_fit_generalised(&line, t, y, v, 0, 0), TE_ERR_DOMAIN);
    assert_int_equal(te_line_fit_generalised(&line, same, y, v, 3, 0), TE_ERR_SINGULAR);
    assert_int_equal(te_line_fit_generalised(&line, t, bad, v, 3, 0), TE_ERR_DOMAIN);
    assert_int_equal(te_line_fit_generalised(&line, bad, y, v, 3, 0), TE_ERR_DOMAIN);
    assert_int_equal(te_line_fit_generalised(&line, t, y, v, 3, INFINITY), TE_ERR_DOMAIN);
    v[4] = 0;
    assert_int_equal(te_line_fit_generalised(&line, t, y, v, 3, 0), TE_ERR_DOMAIN);
    v[4] = NAN;
    assert_int_equal(te_line_fit_generalised(&line, t, y, v, 3, 0), TE_ERR_DOMAIN);
    assert_int_equal(te_line_fit_ordinary(&line, t, y, 1, 0), TE_ERR_DOMAIN);
    assert_int_equal(te_line_fit_ordinary(&line, same, y, 3, 0), TE_ERR_SINGULAR);
    assert_int_equal(te_line_fit_ordinary(&line, t, bad, 3, 0), TE_ERR_DOMAIN);
    assert_near(line.level, 7, 0); /* untouched */
}

/* Two readings that share all of their error are one reading; nearly all: nearly one. GSL's default
 * handler is left in place for this one test: it would end the program, and must not be called. */
static void refuses_singular_covariance(void **state)
{
    (void)state;
    const double t[] = {100, 200, 300};
    const double y[] = {1, 2, 4};
    const double one[] = {1, 1, 0, 1, 1, 0, 0, 0, 1};
    const double indefinite[] = {1, 2, 0, 2, 1, 0, 0, 0, 1};
    te_line line;
    gsl_error_handler_t *ours = gsl_set_error_handler(NULL);
    assert_int_equal(te_line_fit_generalised(&line, t, y, one, 3, 0), TE_ERR_SINGULAR);
    assert_int_equal(te_line_fit_generalised(&line, t, y, indefinite, 3, 0), TE_ERR_SINGULAR);
    for (int digits = 16; digits >= 11; digits--) {
        const double rest = pow(10, -digits);
        double v[] = {1, 1 - rest, 0, 1 - rest, 1, 0, 0, 0, 1};
        assert_int_equal(te_line_fit_generalised(&line, t, y, v, 3, 0), TE_ERR_SINGULAR);
    }
    (void)gsl_set_error_handler(ours);
}

/* Near the border six digits are left. With V = [1 r 0; r 1 0; 0 0 1] the first two points differ
 * by 1 with variance 2 (1 - r), so that they fix the rate as r goes to 1. */
static void nearly_singular_keeps_six_digits(void **state)
{
    (void)state;
    const double t[] = {100, 200, 300};
    const double y[] = {66.011, 66.012, 66.0145};
    for (int digits = 9; digits >= 1; digits--) {
        const double rest = pow(10, -digits);
        const double r = 1 - rest;
        const double v[] = {1, r, 0, r, 1, 0, 0, 0, 1};
        te_line line = generalised(t, y, v, 3, 300);
        /* by hand: residual of the second difference y1 - 2 y2 + y3 has variance 6 - 4 r; the
         * rate is (y2 - y1)/100 plus its covariance with that times the second difference */
        double second = y[0] - 2 * y[1] + y[2];
        double expected = (y[1] - y[0]) / 100 + 3 * (1 - r) / (6 - 4 * r) * second / 100;
        assert_near_rel(line.rate, expected, 1e-6);
        assert_near_rel(line.chi2, second * second / (6 - 4 * r), 1e-6);
    }
}

static void two_points(void **state)
{
    (void)state;
    const double t[] = {0, 118.4};
    const double y[] = {66.01, 66.0225};
    const double u[] = {0.00577, 0.0016};
    double v[4];
    diagonal(v, u, 2);
    te_line line = generalised(t, y, v, 2, 118.4);
    assert_int_equal(line.freedom, 0);
    assert_near(line.level, 66.0225, 1e-12);
    assert_near_rel(line.rate, 0.0125 / 118.4, 1e-9);
    assert_near_rel(line.var_rate, (u[0] * u[0] + u[1] * u[1]) / 118.4 / 118.4, 1e-12);
    assert_near_rel(line.covariance, u[1] * u[1] / 118.4, 1e-12);
    assert_near(line.chi2, 0, 1e-18);
    assert_true(isnan(te_line_chance(&line)));
    te_line plain = ordinary(t, y, 2, 118.4);
    assert_near_rel(plain.rate, 0.0125 / 118.4, 1e-9);
    assert_true(isnan(plain.var_rate) && isnan(plain.var_level) && isnan(plain.covariance));
    assert_true(isnan(te_line_quantile(&plain, 0.95)));
    assert_true(isnan(meets(&plain, 66.1, true, NAN)));
    assert_near_rel(meets(&plain, 66.1, true, 0), 118.4 + 0.0775 / (0.0125 / 118.4), 1e-9);
}

static void quantiles(void **state)
{
    (void)state;
    te_line line = {.generalised = true, .var_rate = 1, .freedom = 3};
    assert_near(te_line_quantile(&line, 0.95), 1.6448536269514722, 1e-12);
    assert_near(te_line_quantile(&line, 0.5), 0, 1e-15);
    assert_true(isnan(te_line_quantile(&line, 0.49)));
    assert_true(isnan(te_line_quantile(&line, 1)));
    line.generalised = false; /* R: qt(0.95, 3), qt(0.99, 1) */
    assert_near(te_line_quantile(&line, 0.95), 2.3533634348018264, 1e-12);
    line.freedom = 1;
    assert_near(te_line_quantile(&line, 0.99), 31.820515953773958, 1e-10);
}

static void limits_met_and_never_met(void **state)
{
    (void)state;
    te_line line = {.at = 200,
                    .level = 5,
                    .rate = 0.02,
                    .var_level = 0.04,
                    .var_rate = 1e-6,
                    .covariance = 1e-4,
                    .generalised = true};
    assert_near(meets(&line, 5, true, 0), 200, 0);    /* met where it stands */
    assert_near(meets(&line, 4, true, 0), 200, 0);    /* and past it */
    assert_near(meets(&line, 5.3, true, 2), 200, 0);  /* its bound is past it */
    assert_near(meets(&line, 4.7, false, 2), 200, 0); /* likewise the lower one */
    assert_near(meets(&line, 6, true, 0), 250, 1e-9);
    assert_true(isnan(meets(&line, 4, false, 0))); /* leads away */
    assert_true(isnan(meets(&line, 4, false, 2)));
    line.rate = 0.002; /* two deviations of the rate: the bound may be level or fall */
    assert_true(isnan(meets(&line, 4, false, 2)));
    assert_true(meets(&line, 4, false, 2.01) > 200);
    line.rate = 0;
    assert_true(isnan(meets(&line, 6, true, 0)));
    assert_true(meets(&line, 6, true, 2) > 200);
    line.var_rate = 0;
    line.covariance = 0;
    assert_true(isnan(meets(&line, 6, true, 2)));
}

/* ---- properties ----------------------------------------------------------------------------- */

typedef struct made {
    size_t n;
    double t[MOST], y[MOST], v[MOST * MOST];
} made;

/* Points with own and common errors of a micrometre or so. */
static made make_points(te_random *random)
{
    made m = {.n = 2 + te_random_below(random, 7)};
    double common[3][MOST];
    double rate = te_random_between(random, -2e-4, 2e-4);
    for (size_t i = 0; i < m.n; i++) {
        m.t[i] = te_random_between(random, 0, 500);
        m.y[i] = 66 + rate * m.t[i] + 0.002 * te_random_normal(random);
        for (size_t s = 0; s < 3; s++)
            common[s][i] = 0.002 * te_random_normal(random);
    }
    for (size_t i = 0; i < m.n * m.n; i++) {
        double own = te_random_between(random, 3e-4, 3e-3);
        m.v[i] = i / m.n == i % m.n ? own * own : 0;
        for (size_t s = 0; s < 3; s++)
            m.v[i] += common[s][i / m.n] * common[s][i % m.n];
    }
    return m;
}

static void print_points(const made *m)
{
    for (size_t i = 0; i < m->n; i++)
        print_message("%.17g %.17g\n", m->t[i], m->y[i]);
}

/* The bound at the hours told is the limit, and before them it is not met. */
static void bound_meets_limit_first(void **state)
{
    (void)state;
    te_random random = te_random_start(20261125);
    size_t met = 0;
    for (size_t round = 0; round < te_test_rounds(2000); round++) {
        made m = make_points(&random);
        te_line line;
        if (te_line_fit_generalised(&line, m.t, m.y, m.v, m.n, 500) != TE_OK)
            continue;
        bool upper = te_random_below(&random, 2) == 1;
        double limit = 66 + te_random_between(&random, -0.1, 0.1);
        double q = te_line_quantile(&line, te_random_between(&random, 0.5, 0.999));
        double sign = upper ? 1 : -1;
        double hours = meets(&line, limit, upper, q);
        double far = isnan(hours) ? 1e7 : hours;
        for (size_t i = 0; i < 50; i++) {
            double before = 500 + (far - 500) * (double)i / 50;
            double room = sign * (limit - te_line_bound(&line, before, sign * q));
            if (before < far && !(room > -1e-10)) {
                print_points(&m);
                fail_msg("met at %.17g before %.17g", before, far);
            }
        }
        if (!isnan(hours) && hours > 500) {
            double scale = fmax(fabs(limit - line.level), 1e-6);
            assert_near(te_line_bound(&line, hours, sign * q), limit, 1e-8 * scale + 1e-12);
            met++;
        }
    }
    assert_true(met > te_test_rounds(2000) / 8);
}

/* Order of the points, an origin of hours and of values, and a turn of the sign change nothing. */
static void invariances(void **state)
{
    (void)state;
    te_random random = te_random_start(331);
    for (size_t round = 0; round < te_test_rounds(500); round++) {
        made m = make_points(&random);
        te_line a, b;
        if (te_line_fit_generalised(&a, m.t, m.y, m.v, m.n, 500) != TE_OK)
            continue;
        made turned = {.n = m.n};
        for (size_t i = 0; i < m.n; i++) {
            turned.t[i] = m.t[m.n - 1 - i] + 1000;
            turned.y[i] = -m.y[m.n - 1 - i] + 5;
            for (size_t j = 0; j < m.n; j++)
                turned.v[i * m.n + j] = m.v[(m.n - 1 - i) * m.n + m.n - 1 - j];
        }
        assert_int_equal(te_line_fit_generalised(&b, turned.t, turned.y, turned.v, m.n, 1500),
                         TE_OK);
        double u_rate = sqrt(a.var_rate);
        double u_level = sqrt(a.var_level);
        assert_near(b.rate, -a.rate, 1e-6 * u_rate);
        assert_near(b.level, 5 - a.level, 1e-6 * u_level);
        assert_near_rel(b.var_rate, a.var_rate, 1e-6);
        assert_near_rel(b.var_level, a.var_level, 1e-6);
        double hours = meets(&a, 66.1, true, 1.645);
        double again = meets(&b, 5 - 66.1, false, 1.645);
        assert_int_equal(isnan(hours), isnan(again));
        if (!isnan(hours) && hours < 1e5)
            assert_near_rel(again - 1000, hours, 1e-4);
    }
}

/* An error common to all points moves the level and leaves the rate and its uncertainty alone. */
static void common_error_leaves_rate(void **state)
{
    (void)state;
    te_random random = te_random_start(66);
    for (size_t round = 0; round < te_test_rounds(500); round++) {
        made m = make_points(&random);
        te_line a, b;
        if (te_line_fit_generalised(&a, m.t, m.y, m.v, m.n, 500) != TE_OK)
            continue;
        double v[MOST * MOST];
        for (size_t i = 0; i < m.n * m.n; i++)
            v[i] = m.v[i] + 0.003 * 0.003;
        if (te_line_fit_generalised(&b, m.t, m.y, v, m.n, 500) != TE_OK)
            continue;
        assert_near(b.rate, a.rate, 1e-6 * sqrt(a.var_rate));
        assert_near_rel(b.var_rate, a.var_rate, 1e-6);
        assert_near_rel(b.chi2 + 1, a.chi2 + 1, 1e-6);
        assert_near_rel(b.var_level / b.scale, a.var_level / a.scale + 0.003 * 0.003, 1e-6);
    }
}

/* V^-1 x by GSL's Cholesky, without pivots. */
static void solve(double *x, const double *v, size_t n)
{
    double copy[MANY * MANY];
    memcpy(copy, v, n * n * sizeof *copy);
    gsl_matrix_view matrix = gsl_matrix_view_array(copy, n, n);
    gsl_vector_view vector = gsl_vector_view_array(x, n);
    assert_int_equal(gsl_linalg_cholesky_decomp1(&matrix.matrix), 0);
    assert_int_equal(gsl_linalg_cholesky_svx(&matrix.matrix, &vector.vector), 0);
}

static double dot(const double *x, const double *y, size_t n)
{
    double sum = 0;
    for (size_t i = 0; i < n; i++)
        sum += x[i] * y[i];
    return sum;
}

/* The line by the normal equations X'V^-1 X b = X'V^-1 y, as a textbook has them, of few points and of
 * many. */
static void normal_equations_by_gsl(void **state)
{
    (void)state;
    te_random random = te_random_start(28037);
    for (size_t round = 0; round < te_test_rounds(300); round++) {
        size_t n = 3 + te_random_below(&random, MANY - 2);
        double t[MANY], y[MANY], common[MANY], own[MANY], one[MANY], by_t[MANY], rest[MANY],
            weighted[MANY], v[MANY * MANY] = {0};
        for (size_t i = 0; i < n; i++) {
            t[i] = te_random_between(&random, -400, 0) + (i == 0 ? -100 : 0);
            y[i] = 0.03 * te_random_normal(&random);
            common[i] = 2e-3 * te_random_normal(&random);
            own[i] = te_random_between(&random, 5e-4, 3e-3);
        }
        for (size_t i = 0; i < n * n; i++)
            v[i] = common[i / n] * common[i % n] + (i / n == i % n ? own[i / n] * own[i / n] : 0);
        for (size_t i = 0; i < n; i++) {
            one[i] = 1;
            by_t[i] = t[i];
        }
        solve(one, v, n);
        solve(by_t, v, n);
        double ww = 0;
        for (size_t i = 0; i < n; i++)
            ww += one[i];
        double ws = dot(one, t, n), ss = dot(by_t, t, n), wq = dot(one, y, n), sq = dot(by_t, y, n),
               determinant = ww * ss - ws * ws;
        double rate = (ww * sq - ws * wq) / determinant, level = (ss * wq - ws * sq) / determinant;
        for (size_t i = 0; i < n; i++)
            rest[i] = weighted[i] = y[i] - level - rate * t[i];
        solve(weighted, v, n);
        double chi2 = dot(rest, weighted, n), scale = fmax(1, chi2 / (double)(n - 2));

        te_line line = generalised(t, y, v, n, 0);
        assert_near(line.rate, rate, 1e-8 * sqrt(ww / determinant));
        assert_near(line.level, level, 1e-8 * sqrt(ss / determinant));
        assert_near_rel(line.chi2, chi2, 1e-8);
        assert_near_rel(line.var_rate, scale * ww / determinant, 1e-8);
        assert_near_rel(line.var_level, scale * ss / determinant, 1e-8);
        assert_near(line.covariance, -scale * ws / determinant,
                    1e-8 * scale * sqrt(ww * ss) / determinant);
    }
}

int main(void)
{
    gsl_set_error_handler_off();
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(published_equal_weights),
        cmocka_unit_test(published_unequal_weights),
        cmocka_unit_test(published_unknown_weights),
        cmocka_unit_test(published_fieller),
        cmocka_unit_test(published_no_slope),
        cmocka_unit_test(published_inverse),
        cmocka_unit_test(r_rising),
        cmocka_unit_test(r_falling),
        cmocka_unit_test(r_ordinary),
        cmocka_unit_test(r_autocorrelated),
        cmocka_unit_test(refuses_what_is_no_line),
        cmocka_unit_test(refuses_singular_covariance),
        cmocka_unit_test(nearly_singular_keeps_six_digits),
        cmocka_unit_test(two_points),
        cmocka_unit_test(quantiles),
        cmocka_unit_test(limits_met_and_never_met),
        cmocka_unit_test(bound_meets_limit_first),
        cmocka_unit_test(invariances),
        cmocka_unit_test(common_error_leaves_rate),
        cmocka_unit_test(normal_equations_by_gsl),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
