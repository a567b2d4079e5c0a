/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file fit.h  Least squares, and the oval that several directions show. */
#ifndef TOPEND_FIT_H
#define TOPEND_FIT_H

#include <stddef.h>

#include "topend/status.h"

#ifdef __cplusplus
extern "C" {
#endif

/** Ordinary least squares y = X b + e by singular value decomposition of the column-balanced X
 * (GSL, gsl_multifit_linear; G. H. Golub, C. Reinsch, Numer. Math. 14 (1970) 403).
 * Measured on the NIST StRD linear sets: 12 digits on Norris and Pontius, 11 on Longley, 7 on the
 * ill-conditioned Filip.  Thread-safe.
 * @param[out] beta @p columns coefficients
 * @param[out] covariance @p columns x @p columns, row-major, scaled by rss / (rows - columns); all
 *   0 when rows equals columns; may be NULL
 * @param[out] rss residual sum of squares, in the square of y's unit; may be NULL
 * @param[in] design X, rows x columns, row-major, finite
 * @param[in] y @p rows values, finite
 * @param[in] rows at least @p columns
 * @param[in] columns at least 1
 * @return TE_OK; TE_ERR_DOMAIN: too few rows, none at all, or a number that is not finite;
 *   TE_ERR_SINGULAR: the columns do not determine the coefficients; TE_ERR_MEMORY
 */
te_status te_least_squares(double *beta, double *covariance, double *rss, const double *design,
                           const double *y, size_t rows, size_t columns);

/** A second-harmonic oval: d(theta) = mean + a cos 2 theta + b sin 2 theta. */
typedef struct te_oval {
    double mean;      /**< mean diameter, mm */
    double a, b;      /**< mm */
    double ovality;   /**< largest less smallest diameter, 2 sqrt(a^2 + b^2), mm */
    double long_axis; /**< direction of the largest diameter, degrees in [0, 180) */
} te_oval;

/** Fits an oval to diameters in several directions.  A gauge with two contacts cannot see lobes of
 * an odd number; the fit does not either.
 * @param[out] oval the fit
 * @param[in] direction degrees
 * @param[in] diameter mm
 * @param[in] count at least 3, of at least 3 distinct directions
 * @return as te_least_squares
 */
te_status te_oval_fit(te_oval *oval, const double *direction, const double *diameter, size_t count);

#ifdef __cplusplus
}
#endif
#endif
