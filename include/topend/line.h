/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file line.h  A straight line through measured points, and when it meets a limit.
 *
 * Life cycle: fit with te_line_fit_generalised or te_line_fit_ordinary, ask for the quantile, then
 * for the hours at which the line or its bound meets a limit.  A te_line is a plain value; all
 * functions are thread-safe.
 */
#ifndef TOPEND_LINE_H
#define TOPEND_LINE_H

#include <stdbool.h>
#include <stddef.h>

#include "topend/number.h"
#include "topend/status.h"

#ifdef __cplusplus
extern "C" {
#endif

/** y(t) = level + rate (t - at), with the covariance of level and rate. */
typedef struct te_line {
    double at;         /**< hours at which level stands */
    double level;      /**< in the points' unit */
    double rate;       /**< signed slope, in the points' unit per hour */
    double var_level;  /**< variance of level, scaled; NAN: no interval is known */
    double var_rate;   /**< variance of rate, scaled; NAN likewise */
    double covariance; /**< of level and rate, scaled; NAN likewise */
    double chi2;       /**< generalised: r' V^-1 r of the residuals; ordinary: NAN */
    double scale;      /**< factor that the three variances above contain: chi2 / freedom where that
                            is above 1, else 1; ordinary: residual sum of squares / freedom */
    size_t freedom;    /**< points less 2 */
    bool generalised;  /**< fitted with a covariance matrix: quantiles are normal */
} te_line;

/** Fits a line by generalised least squares: minimises r' V^-1 r (ISO/TS 28037:2010, clause 9;
 * A. C. Aitken, Proc. R. Soc. Edinburgh 55 (1936) 42).  V is brought to unit diagonal, decomposed by
 * pivoted Cholesky (GSL), and hours and values are whitened with it; the two whitened columns are
 * then made orthogonal.  Where chi2 / (n - 2) is above 1 the covariance is multiplied by it (R. T.
 * Birge, Phys. Rev. 40 (1932) 207): the points then scatter more than V says.
 *
 * The result has about six correct digits at worst: with a V whose smallest pivot is below 1e-10 of
 * its largest the answer is TE_ERR_SINGULAR.
 * @param[out] line untouched unless TE_OK
 * @param[in] hours @p count hours, finite, any order
 * @param[in] value @p count values, finite
 * @param[in] covariance V, count x count, row-major, symmetric, diagonal above 0
 * @param[in] count at least 2
 * @param[in] at hours at which level is wanted, finite
 * @return TE_OK; TE_ERR_DOMAIN: fewer than two points, or a number that is not finite or a diagonal
 *   not above 0; TE_ERR_SINGULAR: all hours alike (within 1e-6 h), or V is singular or nearly so;
 *   TE_ERR_MEMORY
 */
te_status te_line_fit_generalised(te_line *line, const double *hours, const double *value,
                                  const double *covariance, size_t count, double at);

/** Fits a line by ordinary least squares; the scatter about the line stands for the uncertainty
 * (ISO/TS 28037:2010, annex E; N. R. Draper, H. Smith, Applied Regression Analysis, 3rd ed. 1998,
 * section 1.4).  With two points, or points that lie on the line exactly (residuals of 1e-9), there is
 * no interval: the variances are NAN.
 * @param[out] line untouched unless TE_OK
 * @param[in] hours as in te_line_fit_generalised
 * @param[in] value as in te_line_fit_generalised
 * @param[in] count at least 2
 * @param[in] at as in te_line_fit_generalised
 * @return TE_OK; TE_ERR_DOMAIN, TE_ERR_SINGULAR (hours alike) as in te_line_fit_generalised
 */
te_status te_line_fit_ordinary(te_line *line, const double *hours, const double *value,
                               size_t count, double at);

/** Quantile for a one-sided bound of the line: normal for a generalised fit, Student t with
 * `freedom` degrees for an ordinary one.
 * @param[in] line fitted
 * @param[in] confidence in [0.5, 1)
 * @return 0 or above; NAN when the line has no interval or the confidence is outside its range
 */
double te_line_quantile(const te_line *line, double confidence);

/** Probability that a chi2 as large as the line's or larger comes by chance, when V is right.
 * @param[in] line fitted, or all zero
 * @return 0 to 1; NAN for an ordinary fit, without freedom or a fit
 */
double te_line_chance(const te_line *line);

/** The value of the line, or of its bound, at given hours: y + quantile * u(y).
 * @param[in] line fitted
 * @param[in] hours any
 * @param[in] quantile 0 for the line itself, negative for a lower bound
 * @return in the points' unit
 */
double te_line_bound(const te_line *line, double hours, double quantile);

/** The first hours, not before line->at, at which the line (quantile 0) or its one-sided bound
 * meets a limit: the solution of |limit - y(t)| = quantile * u(y(t)) on the near side (E. C.
 * Fieller, J. R. Stat. Soc. B 16 (1954) 175; Draper and Smith, section 3.2).
 *
 * 1. The bound y + q u is convex, so that a limit not yet met is met once or never.
 * 2. It is never met where rate + q u(rate) leads away from the limit or along it.
 * 3. No interval is cut at a confidence that the rate does not reach: the earliest hours are one
 *    end of Fieller's set, which exists also when the other end does not.
 * @param[out] hours line->at when the limit is met there; NAN when it is never met
 * @param[in] line fitted
 * @param[in] limit finite
 * @param[in] upper the limit is an upper one, to be met from below; else a lower one, from above
 * @param[in] quantile 0 or above, or NAN: then the answer is NAN
 */
void te_line_meets(double *hours, const te_line *line, double limit, bool upper, double quantile);

#ifdef __cplusplus
}
#endif
#endif
