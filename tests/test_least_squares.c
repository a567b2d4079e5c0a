/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * te_least_squares against the certified values of the NIST Statistical Reference Datasets
 * (tests/data/strd), against published worked examples, and against itself.
 */
#include "te_test.h"

#include "topend/fit.h"

#include <gsl/gsl_errno.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { MAX_ROWS = 96, MAX_TERMS = 11, MAX_PREDICTORS = 6 };

/* What te_least_squares gives, with room for the largest case here. */
typedef struct fit {
    double beta[MAX_TERMS];
    double covariance[MAX_TERMS * MAX_TERMS];
    double rss;
} fit;

static te_status fit_rows(fit *out, const double *design, const double *y, size_t rows,
                          size_t columns)
{
    return te_least_squares(out->beta, out->covariance, &out->rss, design, y, rows, columns);
}

/* The straight line a + b x through rows points. */
static te_status fit_line(fit *out, const double *x, const double *y, size_t rows)
{
    double design[2 * MAX_ROWS];
    assert_in_range(rows, 0, MAX_ROWS);
    for (size_t i = 0; i < rows; i++) {
        design[2 * i] = 1;
        design[2 * i + 1] = x[i];
    }
    return fit_rows(out, design, y, rows, 2);
}

/*
 * The straight line through points of known standard uncertainties: rows divided by them. chi2 is
 * the fit's rss then, and the covariance is taken back to the unscaled (X' V^-1 X)^-1.
 */
static void fit_line_known_u(fit *out, const double *x, const double *y, const double *u,
                             size_t rows)
{
    double design[2 * MAX_ROWS], whitened[MAX_ROWS];
    assert_in_range(rows, 3, MAX_ROWS);
    for (size_t i = 0; i < rows; i++) {
        design[2 * i] = 1 / u[i];
        design[2 * i + 1] = x[i] / u[i];
        whitened[i] = y[i] / u[i];
    }
    assert_int_equal(fit_rows(out, design, whitened, rows, 2), TE_OK);
    for (size_t k = 0; k < 4; k++)
        out->covariance[k] *= (double)(rows - 2) / out->rss;
}

/* ---- NIST StRD -------------------------------------------------------------------------- */

typedef struct dataset {
    size_t rows, terms;
    double design[MAX_ROWS * MAX_TERMS];
    double y[MAX_ROWS];
    double beta[MAX_TERMS], sd[MAX_TERMS];
    double residual_sd, residual_ss;
} dataset;

/* A column of the design: predictor x1, x2, ... to a power; power 0 is the constant. */
typedef struct term {
    size_t predictor;
    unsigned power;
} term;

/* Reads "1", "x", "x3" or "x^2". */
static bool parse_term(term *out, const char *text)
{
    *out = (term){.predictor = 1, .power = 1};
    if (strcmp(text, "1") == 0) {
        out->power = 0;
        return true;
    }
    if (*text++ != 'x')
        return false;
    char *end = NULL;
    if (*text == '^') {
        out->power = (unsigned)strtoul(text + 1, &end, 10);
        text = end;
    } else if (*text) {
        out->predictor = strtoul(text, &end, 10);
        text = end;
    }
    return !*text && out->predictor >= 1 && out->predictor <= MAX_PREDICTORS && out->power >= 1;
}

/* In long double, so that a power is rounded once. */
static double term_value(term t, const double *predictors)
{
    long double value = 1;
    for (unsigned k = 0; k < t.power; k++)
        value *= predictors[t.predictor - 1];
    return (double)value;
}

/* Takes a number off the front of *text; false when none stands there. */
static bool take_number(char **text, double *value)
{
    char *end;
    *value = strtod(*text, &end);
    bool found = end != *text;
    *text = end;
    return found;
}

static bool is_blank(const char *text)
{
    return text[strspn(text, " \n")] == '\0';
}

/* Reads one observation, y and its predictors; false for anything else. */
static bool parse_observation(dataset *set, const term *terms, char *line)
{
    double predictors[MAX_PREDICTORS] = {0};
    size_t count = 0;
    if (set->rows == MAX_ROWS || !take_number(&line, &set->y[set->rows]))
        return false;
    while (count < MAX_PREDICTORS && take_number(&line, &predictors[count]))
        count++;
    if (count == 0 || !is_blank(line))
        return false;
    for (size_t j = 0; j < set->terms; j++)
        set->design[set->rows * set->terms + j] = term_value(terms[j], predictors);
    set->rows++;
    return true;
}

/* Reads "TERM ESTIMATE SD"; false for anything else. */
static bool parse_coefficient(dataset *set, term *terms, char *text)
{
    char *numbers = strchr(text, ' ');
    if (!numbers || set->terms == MAX_TERMS)
        return false;
    *numbers++ = '\0';
    size_t j = set->terms++;
    return parse_term(&terms[j], text) && take_number(&numbers, &set->beta[j]) &&
           take_number(&numbers, &set->sd[j]) && is_blank(numbers);
}

/* Reads a line before the data; false for anything else. */
static bool parse_certified(dataset *set, term *terms, double *rows, char *line)
{
    if (*line == '#')
        return true;
    char *rest = strchr(line, ' ');
    if (!rest)
        return false;
    *rest++ = '\0';
    if (strcmp(line, "beta") == 0)
        return parse_coefficient(set, terms, rest);
    double *value = strcmp(line, "residual_sd") == 0   ? &set->residual_sd
                    : strcmp(line, "residual_ss") == 0 ? &set->residual_ss
                    : strcmp(line, "rows") == 0        ? rows
                                                       : NULL;
    return value && take_number(&rest, value) && is_blank(rest);
}

static void load(dataset *set, const char *name)
{
    char path[4096], line[256];
    term terms[MAX_TERMS];
    size_t number = 0;
    double rows = 0;
    bool in_data = false;

    snprintf(path, sizeof path, "%s/strd/%s.txt", TE_TEST_DATA, name);
    FILE *file = fopen(path, "r");
    if (!file)
        fail_msg("cannot open %s", path);
    *set = (dataset){.residual_sd = NAN, .residual_ss = NAN};
    while (fgets(line, sizeof line, file)) {
        number++;
        if (strncmp(line, "data ", 5) == 0)
            in_data = true;
        else if (!(in_data ? parse_observation(set, terms, line)
                           : parse_certified(set, terms, &rows, line)))
            fail_msg("%s:%zu: not understood: %s", path, number, line);
    }
    assert_int_equal(ferror(file), 0);
    assert_int_equal(fclose(file), 0);
    assert_true(set->terms > 0 && set->rows > 0);
    assert_near((double)set->rows, rows, 0);
    assert_true(set->residual_sd >= 0 && set->residual_ss >= 0);
}

/*
 * Correct decimal digits: -log10 of the relative error, of the absolute one where the certified
 * value is 0. At most 15, which is what NIST certifies; 0 for what is not finite.
 */
static double digits(double actual, double certified)
{
    if (!isfinite(actual))
        return 0;
    double error = fabs(actual - certified);
    if (certified != 0)
        error /= fabs(certified);
    return error > 1e-15 ? -log10(error) : 15;
}

static void assert_digits(const char *set, const char *what, size_t index, double actual,
                          double certified, double least)
{
    double reached = digits(actual, certified);
    if (reached >= least)
        return;
    print_error("%s, %s %zu\n  is        %.17g\n  certified %.17g\n", set, what, index, actual,
                certified);
    fail_msg("%.1f digits, %.1f asked", reached, least);
}

/*
 * Digits asked of the worst coefficient, the worst standard deviation of one, and the residual
 * standard deviation. Each is a digit or more below what a fit by singular value decomposition with
 * balanced columns (GSL 2.7.1, x86-64) was measured to reach, the comment behind it: the margin is
 * for other processors, fused multiply-add and other libraries. Wampler1 and Wampler2 are exact
 * polynomials: their standard deviations are certified 0, so those figures are absolute.
 */
typedef struct demand {
    const char *name;
    double beta, sd, residual_sd;
} demand;

static void strd(void **state)
{
    const demand *asked = *state;
    dataset set;
    fit got;
    load(&set, asked->name);
    assert_int_equal(fit_rows(&got, set.design, set.y, set.rows, set.terms), TE_OK);
    for (size_t j = 0; j < set.terms; j++) {
        double sd = sqrt(got.covariance[j * set.terms + j]);
        assert_digits(asked->name, "coefficient", j, got.beta[j], set.beta[j], asked->beta);
        assert_digits(asked->name, "its standard deviation", j, sd, set.sd[j], asked->sd);
    }
    double residual_sd = sqrt(got.rss / (double)(set.rows - set.terms));
    assert_digits(asked->name, "residual standard deviation", 0, residual_sd, set.residual_sd,
                  asked->residual_sd);
    /* The square has twice the relative error of its root: log10(2) digits fewer. */
    if (set.residual_ss > 0)
        assert_digits(asked->name, "residual sum of squares", 0, got.rss, set.residual_ss,
                      asked->residual_sd - log10(2));
}

/* ---- Published worked examples ------------------------------------------------------------ */

/* ISO/TS 28037:2010, 6.3, example 1: equal known u(y) = 0.5. */
static void line_with_equal_known_uncertainties(void **state)
{
    (void)state;
    const double x[] = {1, 2, 3, 4, 5, 6}, y[] = {3.3, 5.6, 7.1, 9.3, 10.7, 12.1};
    const double u[] = {0.5, 0.5, 0.5, 0.5, 0.5, 0.5};
    fit got;
    fit_line_known_u(&got, x, y, u, 6);
    assert_near_rel(got.beta[0], 1.86666666666667, 1e-13);
    assert_near_rel(got.beta[1], 1.75714285714286, 1e-13);
    assert_near_rel(sqrt(got.covariance[0]), 0.465474668125631, 1e-12);
    assert_near_rel(sqrt(got.covariance[3]), 0.119522860933439, 1e-12);
    assert_near(got.covariance[1], -0.050, 0.0005);
    assert_near(got.rss, 1.665, 0.0005);
}

/* ISO/TS 28037:2010, 6.3, example 2: unequal known u(y). */
static void line_with_unequal_known_uncertainties(void **state)
{
    (void)state;
    const double x[] = {1, 2, 3, 4, 5, 6}, y[] = {3.2, 4.3, 7.6, 8.6, 11.7, 12.8};
    const double u[] = {0.5, 0.5, 0.5, 1, 1, 1};
    fit got;
    fit_line_known_u(&got, x, y, u, 6);
    assert_near_rel(got.beta[0], 0.885232067510549, 1e-12);
    assert_near_rel(got.beta[1], 2.05696202531646, 1e-12);
    assert_near_rel(sqrt(got.covariance[0]), 0.529708143508836, 1e-12);
    assert_near_rel(sqrt(got.covariance[3]), 0.177892016741205, 1e-12);
    assert_near_rel(got.covariance[1], -0.0822784810126582, 1e-12);
    assert_near(got.rss, 4.13080, 0.000005);
}

/* ISO/TS 28037:2010, annex E: equal unknown u(y), found from the residuals. */
static void line_with_unknown_uncertainty(void **state)
{
    (void)state;
    const double x[] = {1, 2, 3, 4, 5, 6}, y[] = {3.014, 5.225, 7.004, 9.061, 11.201, 12.762};
    fit got;
    assert_int_equal(fit_line(&got, x, y, 6), TE_OK);
    assert_near(got.beta[0], 1.172, 1e-12);
    assert_near_rel(got.beta[1], 1.96357142857143, 1e-13);
    assert_near_rel(sqrt(got.covariance[0]), 0.158875093196181, 1e-12);
    assert_near_rel(sqrt(got.covariance[3]), 0.0407953578791729, 1e-12);
    assert_near_rel(got.covariance[1], -0.00582491428571429, 1e-12);
    assert_near_rel(got.rss, 0.116498285714286, 1e-12);
}

/*
 * JCGM 100:2008 (GUM), H.3: the correction of a thermometer as a line in t - 20 degrees, and the
 * correction at 30 degrees. Without the covariance u(30) would be 0.0073.
 */
static void gum_h3_thermometer(void **state)
{
    (void)state;
    const double t[] = {21.521, 22.012, 22.512, 23.003, 23.507, 23.999,
                        24.513, 25.002, 25.503, 26.010, 26.511};
    const double b[] = {-0.171, -0.169, -0.166, -0.159, -0.164, -0.165,
                        -0.156, -0.157, -0.159, -0.161, -0.160};
    double x[11];
    fit got;
    for (size_t i = 0; i < 11; i++)
        x[i] = t[i] - 20;
    assert_int_equal(fit_line(&got, x, b, 11), TE_OK);
    const double *c = got.covariance;
    assert_near(got.beta[0], -0.1712, 0.00005);
    assert_near(got.beta[1], 0.00218, 0.000005);
    assert_near(sqrt(c[0]), 0.0029, 0.00005);
    assert_near(sqrt(c[3]), 0.00067, 0.000005);
    assert_near(c[1] / sqrt(c[0] * c[3]), -0.930, 0.0005);
    assert_near(sqrt(got.rss / 9), 0.0035, 0.00005);
    assert_near(got.beta[0] + 10 * got.beta[1], -0.1494, 0.00005);
    assert_near(sqrt(c[0] + 20 * c[1] + 100 * c[3]), 0.0041, 0.00005);
}

/*
 * Longley's employment on GNP and population, with first-order autoregressive errors at the
 * correlation of the plain fit's residuals: the rows made independent by Prais and Winsten's
 * transformation, then ordinary least squares. R gives the expected values:
 *   g <- lm(Employed ~ GNP + Population, longley); r <- residuals(g); cor(r[-1], r[-16])
 *   nlme::gls(Employed ~ GNP + Population, longley, correlation = corAR1(0.31041, fixed = TRUE))
 */
static void longley_with_correlated_errors(void **state)
{
    (void)state;
    enum { ROWS = 16 };
    dataset set;
    fit got;
    double design[3 * ROWS], y[ROWS], r[ROWS];
    load(&set, "Longley");
    assert_int_equal(set.rows, ROWS);
    for (size_t i = 0; i < ROWS; i++) {
        const double *row = &set.design[i * set.terms];
        design[3 * i] = 1;
        design[3 * i + 1] = row[2] / 1000;
        design[3 * i + 2] = row[5] / 1000;
        y[i] = set.y[i] / 1000;
    }
    assert_int_equal(fit_rows(&got, design, y, ROWS, 3), TE_OK);
    double m0 = 0, m1 = 0;
    for (size_t i = 0; i < ROWS; i++) {
        const double *row = &design[3 * i];
        r[i] = y[i] - got.beta[0] * row[0] - got.beta[1] * row[1] - got.beta[2] * row[2];
        m0 += i + 1 < ROWS ? r[i] / (ROWS - 1) : 0;
        m1 += i > 0 ? r[i] / (ROWS - 1) : 0;
    }
    double s01 = 0, s00 = 0, s11 = 0;
    for (size_t i = 1; i < ROWS; i++) {
        s01 += (r[i - 1] - m0) * (r[i] - m1);
        s00 += (r[i - 1] - m0) * (r[i - 1] - m0);
        s11 += (r[i] - m1) * (r[i] - m1);
    }
    assert_near(s01 / sqrt(s00 * s11), 0.310409, 5e-7);

    const double rho = 0.31041;
    for (size_t i = ROWS; i-- > 0;) {
        double own = i > 0 ? 1 : sqrt(1 - rho * rho);
        for (size_t j = 0; j < 3; j++)
            design[3 * i + j] = own * design[3 * i + j] - (i > 0 ? rho * design[3 * i - 3 + j] : 0);
        y[i] = own * y[i] - (i > 0 ? rho * y[i - 1] : 0);
    }
    assert_int_equal(fit_rows(&got, design, y, ROWS, 3), TE_OK);
    assert_near_rel(got.beta[0], 94.8988949, 1e-8);
    assert_near_rel(got.beta[1], 0.0673894957, 1e-8);
    assert_near_rel(got.beta[2], -0.474274095, 1e-8);
    assert_near_rel(sqrt(got.covariance[0]), 13.9447726, 1e-8);
    assert_near_rel(sqrt(got.covariance[4]), 0.0107033902, 1e-8);
    assert_near_rel(sqrt(got.covariance[8]), 0.153385474, 1e-8);
}

/* ---- Limit cases -------------------------------------------------------------------------- */

static void exact_line_is_recovered(void **state)
{
    (void)state;
    const double x[] = {0, 61.3, 118.7, 240.2, 355.9};
    double y[5];
    fit got;
    for (size_t i = 0; i < 5; i++)
        y[i] = 66.0127 + 2.385e-4 * x[i];
    assert_int_equal(fit_line(&got, x, y, 5), TE_OK);
    assert_near_rel(got.beta[0], 66.0127, 1e-14);
    assert_near_rel(got.beta[1], 2.385e-4, 1e-11);
    assert_near(got.rss, 0, 1e-25);
    for (size_t k = 0; k < 4; k++)
        assert_near(got.covariance[k], 0, 1e-25);
}

static void two_points_give_their_line(void **state)
{
    (void)state;
    const double design[] = {1, 61.3, 1, 240.2}, y[] = {66.0127, 66.0581};
    double beta[2], rss;
    assert_int_equal(te_least_squares(beta, NULL, &rss, design, y, 2, 2), TE_OK);
    double slope = (66.0581 - 66.0127) / (240.2 - 61.3);
    assert_near_rel(beta[1], slope, 1e-10);
    assert_near_rel(beta[0], 66.0127 - slope * 61.3, 1e-13);
    assert_near(rss, 0, 1e-24);
}

static void one_column_is_the_mean(void **state)
{
    (void)state;
    const double design[] = {1, 1, 1, 1}, y[] = {54.012, 54.018, 54.013, 54.021};
    fit got;
    assert_int_equal(fit_rows(&got, design, y, 4, 1), TE_OK);
    assert_near_rel(got.beta[0], 54.016, 1e-15);
    /* Deviations -4, 2, -3, 5 um. */
    assert_near_rel(got.rss, 54e-6, 1e-9);
    assert_near_rel(got.covariance[0], 54e-6 / 3 / 4, 1e-9);
}

static void outputs_not_wanted_may_be_null(void **state)
{
    (void)state;
    const double design[] = {1, 0, 1, 1, 1, 2, 1, 3}, y[] = {2.1, 3.9, 6.2, 7.7};
    double alone[2];
    fit all;
    assert_int_equal(fit_rows(&all, design, y, 4, 2), TE_OK);
    assert_int_equal(te_least_squares(alone, NULL, NULL, design, y, 4, 2), TE_OK);
    assert_near(alone[0], all.beta[0], 0);
    assert_near(alone[1], all.beta[1], 0);
}

/* A design of columns columns, row by row, that is refused as not determining the answer. */
typedef struct dependent_case {
    const char *name;
    size_t rows, columns;
    double design[20];
} dependent_case;

static void dependent_columns_are_refused(void **state)
{
    (void)state;
    static const dependent_case cases[] = {
        {"a single point, repeated", 4, 2, {1, 61.3, 1, 61.3, 1, 61.3, 1, 61.3}},
        {"a column of zeros", 4, 2, {1, 0, 1, 0, 1, 0, 1, 0}},
        {"nothing but zeros", 3, 1, {0, 0, 0}},
        {"a column twice", 4, 3, {1, 2.385, 2.385, 1, 3.1, 3.1, 1, 4.7, 4.7, 1, 9.2, 9.2}},
        {"a column thrice another", 4, 2, {0.1, 0.3, 0.7, 2.1, 1.3, 3.9, 2.9, 8.7}},
        {"a sum of two others", 4, 3, {1, 2.25, 3.25, 1, 4.5, 5.5, 1, 7.125, 8.125, 1, 9, 10}},
        {"a parabola at two places", 4, 3, {1, 2, 4, 1, 2, 4, 1, 5, 25, 1, 5, 25}},
        {"very unlike scales", 4, 3, {1e8, 1, 1e-8, 1e8, 2, 1e-8, 1e8, 5, 1e-8, 1e8, 7, 1e-8}},
    };
    const double y[] = {1.3, 2.9, 4.1, 7.7};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        const dependent_case *c = &cases[i];
        fit got;
        te_status status = fit_rows(&got, c->design, y, c->rows, c->columns);
        if (status != TE_ERR_SINGULAR)
            fail_msg("%s: status %d", c->name, (int)status);
    }
}

/* The other side of the refusal: columns of unlike scales that do determine the answer. */
static void unlike_scales_are_no_dependence(void **state)
{
    (void)state;
    const double design[] = {1e8, 1, 2e-8, 1e8, 2, 1e-8, 1e8, 5, 3e-8, 1e8, 7, 5e-8, 1e8, 9, 4e-8};
    double y[5];
    fit got;
    for (size_t i = 0; i < 5; i++)
        y[i] = 3e-8 * design[3 * i] - 2.5 * design[3 * i + 1] + 7e8 * design[3 * i + 2];
    assert_int_equal(fit_rows(&got, design, y, 5, 3), TE_OK);
    assert_near_rel(got.beta[0], 3e-8, 1e-12);
    assert_near_rel(got.beta[1], -2.5, 1e-12);
    assert_near_rel(got.beta[2], 7e8, 1e-12);
}

static void what_is_not_finite_is_refused(void **state)
{
    (void)state;
    const double bad[] = {NAN, INFINITY, -INFINITY};
    for (size_t k = 0; k < 3; k++) {
        for (size_t place = 0; place < 12; place++) {
            double design[] = {1, 0.5, 1, 1.5, 1, 3.5, 1, 4}, y[] = {1, 2, 4, 5};
            fit got;
            assert_int_equal(fit_rows(&got, design, y, 4, 2), TE_OK);
            *(place < 8 ? &design[place] : &y[place - 8]) = bad[k];
            assert_int_equal(fit_rows(&got, design, y, 4, 2), TE_ERR_DOMAIN);
        }
    }
}

/* Finite numbers whose squares or quotients are not: no figure is better than one that overflowed. */
static void what_overflows_is_refused(void **state)
{
    (void)state;
    const double ones[] = {1, 1, 1}, far[] = {1e200, -1e200, 1e200};
    const double dust[] = {1e-300, 1e-300}, large[] = {1e300, 1e300};
    const double huge[] = {1.7e308, 1e308, 1e308, -1.7e308, 1e308, 1.2e308, 3e307, 9e307, 1e308};
    const double y[] = {1, 2, 3};
    fit got;
    assert_int_equal(fit_rows(&got, ones, far, 3, 1), TE_ERR_SINGULAR);
    assert_int_equal(fit_rows(&got, dust, large, 2, 1), TE_ERR_SINGULAR);
    assert_int_equal(fit_rows(&got, huge, y, 3, 3), TE_ERR_SINGULAR);
}

/* Nothing is read of a design that no memory holds. */
static void sizes_past_all_memory_are_refused(void **state)
{
    (void)state;
    const double design[] = {1, 0.5}, y[] = {1, 2};
    double beta[2];
    assert_int_equal(te_least_squares(beta, NULL, NULL, design, y, SIZE_MAX, 2), TE_ERR_DOMAIN);
}

static void too_few_rows_are_refused(void **state)
{
    (void)state;
    const double design[] = {1, 0.5, 0.25, 1, 1.5, 2.25}, y[] = {1, 2};
    fit got;
    assert_int_equal(fit_rows(&got, design, y, 2, 3), TE_ERR_DOMAIN);
    assert_int_equal(fit_rows(&got, design, y, 1, 2), TE_ERR_DOMAIN);
}

static void empty_sizes_are_refused(void **state)
{
    (void)state;
    const double design[] = {1, 0.5}, y[] = {1, 2};
    fit got;
    assert_int_equal(fit_rows(&got, design, y, 0, 0), TE_ERR_DOMAIN);
    assert_int_equal(fit_rows(&got, design, y, 2, 0), TE_ERR_DOMAIN);
    assert_int_equal(fit_rows(&got, design, y, 0, 1), TE_ERR_DOMAIN);
}

/* ---- Properties, on random designs --------------------------------------------------------- */

enum { ROUNDS = 200 };

/* A constant, columns of unlike scales, and a y that they do not explain. */
typedef struct problem {
    size_t rows, columns;
    double design[20 * 5], y[20];
} problem;

static void random_problem(problem *p, te_random *random)
{
    p->columns = 1 + te_random_below(random, 5);
    p->rows = p->columns + 3 + te_random_below(random, 20 - 5 - 3 + 1);
    double scale[5];
    for (size_t j = 0; j < p->columns; j++)
        scale[j] = pow(10, te_random_between(random, -3, 3));
    for (size_t i = 0; i < p->rows; i++) {
        for (size_t j = 0; j < p->columns; j++)
            p->design[i * p->columns + j] = j == 0 ? 1 : scale[j] * te_random_normal(random);
        p->y[i] = te_random_between(random, 50, 70);
    }
}

static void fit_problem(fit *out, const problem *p)
{
    assert_int_equal(fit_rows(out, p->design, p->y, p->rows, p->columns), TE_OK);
}

/* Standard deviation of coefficient j, the natural unit to compare it in. */
static double sd_of(const fit *f, size_t j, size_t columns)
{
    return sqrt(f->covariance[j * columns + j]);
}

/*
 * Inverts the symmetric positive definite matrix a of order n in place by Gauss-Jordan elimination
 * without exchanges: an independent way to the answer, in long double.
 */
static void invert(long double *a, size_t n)
{
    for (size_t k = 0; k < n; k++) {
        long double pivot = 1 / a[k * n + k];
        a[k * n + k] = 1;
        for (size_t j = 0; j < n; j++)
            a[k * n + j] *= pivot;
        for (size_t i = 0; i < n; i++) {
            if (i == k)
                continue;
            long double factor = a[i * n + k];
            a[i * n + k] = 0;
            for (size_t j = 0; j < n; j++)
                a[i * n + j] -= factor * a[k * n + j];
        }
    }
}

/* The normal equations (X'X) beta = X'y. */
static void fit_by_normal_equations(fit *out, const problem *p)
{
    size_t n = p->columns;
    long double normal[25] = {0}, right[5] = {0}, beta[5] = {0}, rss = 0;
    for (size_t i = 0; i < p->rows; i++) {
        const double *row = &p->design[i * n];
        for (size_t j = 0; j < n; j++) {
            right[j] += (long double)row[j] * p->y[i];
            for (size_t k = 0; k < n; k++)
                normal[j * n + k] += (long double)row[j] * row[k];
        }
    }
    invert(normal, n);
    for (size_t j = 0; j < n; j++) {
        for (size_t k = 0; k < n; k++)
            beta[j] += normal[j * n + k] * right[k];
        out->beta[j] = (double)beta[j];
    }
    for (size_t i = 0; i < p->rows; i++) {
        long double residual = p->y[i];
        for (size_t j = 0; j < n; j++)
            residual -= beta[j] * p->design[i * n + j];
        rss += residual * residual;
    }
    out->rss = (double)rss;
    for (size_t k = 0; k < n * n; k++)
        out->covariance[k] = (double)(normal[k] * rss / (long double)(p->rows - n));
}

static void normal_equations_agree(void **state)
{
    (void)state;
    te_random random = te_random_start(1);
    for (size_t round = te_test_rounds(ROUNDS); round-- > 0;) {
        problem p;
        fit got, other;
        random_problem(&p, &random);
        fit_problem(&got, &p);
        fit_by_normal_equations(&other, &p);
        assert_near_rel(got.rss, other.rss, 1e-9);
        for (size_t j = 0; j < p.columns; j++) {
            double u = sd_of(&other, j, p.columns);
            assert_near(got.beta[j], other.beta[j], 1e-9 * (u + fabs(other.beta[j])));
            for (size_t k = 0; k < p.columns; k++)
                assert_near(got.covariance[j * p.columns + k], other.covariance[j * p.columns + k],
                            1e-8 * u * sd_of(&other, k, p.columns));
        }
    }
}

static void covariance_is_symmetric_and_positive(void **state)
{
    (void)state;
    te_random random = te_random_start(2);
    for (size_t round = te_test_rounds(ROUNDS); round-- > 0;) {
        problem p;
        fit got;
        random_problem(&p, &random);
        fit_problem(&got, &p);
        for (size_t j = 0; j < p.columns; j++) {
            assert_true(got.covariance[j * p.columns + j] > 0);
            for (size_t k = 0; k < j; k++) {
                double product = sd_of(&got, j, p.columns) * sd_of(&got, k, p.columns);
                double cjk = got.covariance[j * p.columns + k];
                assert_near(cjk, got.covariance[k * p.columns + j], 1e-12 * product);
                assert_true(fabs(cjk) < product);
            }
        }
    }
}

static void residuals_are_orthogonal_to_columns(void **state)
{
    (void)state;
    te_random random = te_random_start(3);
    for (size_t round = te_test_rounds(ROUNDS); round-- > 0;) {
        problem p;
        fit got;
        random_problem(&p, &random);
        fit_problem(&got, &p);
        long double rss = 0, dot[5] = {0}, length[5] = {0};
        for (size_t i = 0; i < p.rows; i++) {
            const double *row = &p.design[i * p.columns];
            long double residual = p.y[i];
            for (size_t j = 0; j < p.columns; j++)
                residual -= (long double)got.beta[j] * row[j];
            rss += residual * residual;
            for (size_t j = 0; j < p.columns; j++) {
                dot[j] += residual * row[j];
                length[j] += (long double)row[j] * row[j];
            }
        }
        assert_near_rel(got.rss, (double)rss, 1e-10);
        for (size_t j = 0; j < p.columns; j++)
            assert_near((double)(dot[j] / sqrtl(length[j] * rss)), 0, 1e-10);
    }
}

static void order_of_rows_does_not_matter(void **state)
{
    (void)state;
    te_random random = te_random_start(4);
    for (size_t round = te_test_rounds(ROUNDS); round-- > 0;) {
        problem p;
        fit before, after;
        random_problem(&p, &random);
        fit_problem(&before, &p);
        for (size_t i = p.rows - 1; i > 0; i--) {
            size_t k = te_random_below(&random, i + 1);
            double y = p.y[i];
            p.y[i] = p.y[k];
            p.y[k] = y;
            for (size_t j = 0; j < p.columns; j++) {
                double x = p.design[i * p.columns + j];
                p.design[i * p.columns + j] = p.design[k * p.columns + j];
                p.design[k * p.columns + j] = x;
            }
        }
        fit_problem(&after, &p);
        assert_near_rel(after.rss, before.rss, 1e-10);
        for (size_t j = 0; j < p.columns; j++) {
            assert_near(after.beta[j], before.beta[j], 1e-10 * sd_of(&before, j, p.columns));
            assert_near_rel(sd_of(&after, j, p.columns), sd_of(&before, j, p.columns), 1e-10);
        }
    }
}

/* In other units: column j times s gives beta_j / s; y times s gives beta times s. */
static void units_change_nothing_else(void **state)
{
    (void)state;
    te_random random = te_random_start(5);
    for (size_t round = te_test_rounds(ROUNDS); round-- > 0;) {
        problem p;
        fit before, after;
        random_problem(&p, &random);
        fit_problem(&before, &p);
        double factor[5], y_factor = pow(10, te_random_between(&random, -4, 4));
        for (size_t j = 0; j < p.columns; j++)
            factor[j] = pow(10, te_random_between(&random, -4, 4));
        for (size_t i = 0; i < p.rows; i++) {
            p.y[i] *= y_factor;
            for (size_t j = 0; j < p.columns; j++)
                p.design[i * p.columns + j] *= factor[j];
        }
        fit_problem(&after, &p);
        assert_near_rel(after.rss, before.rss * y_factor * y_factor, 1e-10);
        for (size_t j = 0; j < p.columns; j++) {
            double ratio = y_factor / factor[j], u = sd_of(&before, j, p.columns);
            assert_near(after.beta[j] / ratio, before.beta[j], 1e-10 * u);
            assert_near_rel(sd_of(&after, j, p.columns), ratio * u, 1e-10);
        }
    }
}

/* What the columns explain, added to y, moves the coefficients and nothing else. */
static void shift_along_columns_moves_coefficients(void **state)
{
    (void)state;
    te_random random = te_random_start(6);
    for (size_t round = te_test_rounds(ROUNDS); round-- > 0;) {
        problem p;
        fit before, after;
        double shift[5];
        random_problem(&p, &random);
        fit_problem(&before, &p);
        for (size_t j = 0; j < p.columns; j++)
            shift[j] = sd_of(&before, j, p.columns) * te_random_normal(&random);
        for (size_t i = 0; i < p.rows; i++)
            for (size_t j = 0; j < p.columns; j++)
                p.y[i] += shift[j] * p.design[i * p.columns + j];
        fit_problem(&after, &p);
        assert_near_rel(after.rss, before.rss, 1e-10);
        for (size_t j = 0; j < p.columns; j++) {
            double u = sd_of(&before, j, p.columns);
            assert_near(after.beta[j], before.beta[j] + shift[j], 1e-10 * u);
            assert_near_rel(sd_of(&after, j, p.columns), u, 1e-10);
        }
    }
}

/*
 * Statistics of the estimate: with y = X beta + N(0, sigma^2), z^2 = (beta_0 - true)^2 / cov_00 is
 * the square of a Student t with rows - columns degrees of freedom, of mean nu / (nu - 2) and, at
 * nu = 10, variance 2 nu^2 (nu - 1) / ((nu - 2)^2 (nu - 4)) = 4.6875. Five
 * standard errors are allowed.
 */
static void covariance_covers_the_scatter(void **state)
{
    (void)state;
    enum { ROWS = 12, NU = ROWS - 2 };
    te_random random = te_random_start(7);
    const double rounds = (double)te_test_rounds(20000);
    double x[ROWS], y[ROWS], mean = 0;
    fit got;
    for (size_t round = 0; round < (size_t)rounds; round++) {
        for (size_t i = 0; i < ROWS; i++) {
            x[i] = 37.5 * (double)i;
            y[i] = 66.0127 + 2.385e-4 * x[i] + 0.0031 * te_random_normal(&random);
        }
        assert_int_equal(fit_line(&got, x, y, ROWS), TE_OK);
        double off = got.beta[1] - 2.385e-4;
        mean += off * off / got.covariance[3] / rounds;
    }
    assert_near(mean, NU / (NU - 2.0), 5 * sqrt(4.6875 / rounds));
}

int main(void)
{
    /* As every program that links the library does: its functions return what GSL reports. */
    gsl_set_error_handler_off();

    static demand demands[] = {
        /* asked: beta, sd, residual       measured */
        {"Norris", 10, 12, 12},      /* 12.3 14.1 14.2 */
        {"Pontius", 10, 11.5, 11.5}, /* 12.1 13.1 13.1 */
        {"NoInt1", 13, 13, 13},      /* 14.7 14.8 15.0 */
        {"NoInt2", 13, 13, 13},      /* 15.0 14.9 15.0 */
        {"Longley", 10, 12, 12},     /* 11.6 13.4 14.1 */
        {"Filip", 6.5, 6.5, 7.5},    /*  7.5  7.7  8.8 */
        {"Wampler1", 8, 8, 8},       /*  9.2  9.2  9.2 */
        {"Wampler2", 11, 12, 12},    /* 12.5 13.8 13.8 */
        {"Wampler3", 8, 12, 12},     /*  9.2 13.4 13.5 */
        {"Wampler4", 6.5, 12, 13},   /*  7.9 13.2 14.8 */
        {"Wampler5", 4.5, 12, 13},   /*  5.9 13.2 14.8 */
    };
    enum { SETS = sizeof demands / sizeof *demands };
    struct CMUnitTest sets[SETS];
    for (size_t i = 0; i < SETS; i++)
        sets[i] = (struct CMUnitTest){
            .name = demands[i].name, .test_func = strd, .initial_state = &demands[i]};

    const struct CMUnitTest examples[] = {
        cmocka_unit_test(line_with_equal_known_uncertainties),
        cmocka_unit_test(line_with_unequal_known_uncertainties),
        cmocka_unit_test(line_with_unknown_uncertainty),
        cmocka_unit_test(gum_h3_thermometer),
        cmocka_unit_test(longley_with_correlated_errors),
    };
    const struct CMUnitTest limits[] = {
        cmocka_unit_test(exact_line_is_recovered),
        cmocka_unit_test(two_points_give_their_line),
        cmocka_unit_test(one_column_is_the_mean),
        cmocka_unit_test(outputs_not_wanted_may_be_null),
        cmocka_unit_test(dependent_columns_are_refused),
        cmocka_unit_test(unlike_scales_are_no_dependence),
        cmocka_unit_test(what_is_not_finite_is_refused),
        cmocka_unit_test(what_overflows_is_refused),
        cmocka_unit_test(sizes_past_all_memory_are_refused),
        cmocka_unit_test(too_few_rows_are_refused),
        cmocka_unit_test(empty_sizes_are_refused),
    };
    const struct CMUnitTest properties[] = {
        cmocka_unit_test(normal_equations_agree),
        cmocka_unit_test(covariance_is_symmetric_and_positive),
        cmocka_unit_test(residuals_are_orthogonal_to_columns),
        cmocka_unit_test(order_of_rows_does_not_matter),
        cmocka_unit_test(units_change_nothing_else),
        cmocka_unit_test(shift_along_columns_moves_coefficients),
        cmocka_unit_test(covariance_covers_the_scatter),
    };
    int failed = cmocka_run_group_tests_name("NIST StRD", sets, NULL, NULL);
    failed += cmocka_run_group_tests_name("published examples", examples, NULL, NULL);
    failed += cmocka_run_group_tests_name("limit cases", limits, NULL, NULL);
    failed += cmocka_run_group_tests_name("properties", properties, NULL, NULL);
    return failed != 0;
}
