/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "topend/line.h"

#include <gsl/gsl_blas.h>
#include <gsl/gsl_cdf.h>
#include <gsl/gsl_linalg.h>
#include <math.h>
#include <stdint.h>
#include <stdlib.h>

/* Least pivot of a covariance with unit diagonal. Solving with it loses up to a factor of its
 * inverse in accuracy: 2.2e-16 / 1e-10 leaves about six digits. */
static const double least_pivot = 1e-10;

/* Residuals (mm, or the feature's own unit) below this are rounding: what counts as a tie. */
static const double no_scatter = 1e-9;

static bool all_finite(const double *numbers, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        if (!isfinite(numbers[i])) {
            return false;
        }
    }
    return true;
}

static te_status check_points(const double *hours, const double *value, size_t count, double at)
{
    if (count < 2 || !isfinite(at) || !all_finite(hours, count) || !all_finite(value, count)) {
        return TE_ERR_DOMAIN;
    }
    double least = hours[0];
    double most = hours[0];
    for (size_t i = 1; i < count; i++) {
        least = fmin(least, hours[i]);
        most = fmax(most, hours[i]);
    }
    return most - least > TE_SAME_HOURS ? TE_OK : TE_ERR_SINGULAR;
}

/* The fit of whitened columns: ones, hours less `at`, values less an origin that keeps the digits
 * that matter (66.012 less 66.015). The columns are overwritten. */
static void fit_whitened(te_line *line, gsl_vector *ones, gsl_vector *hours, gsl_vector *values)
{
    double ww = 0.0;
    double ws = 0.0;
    double wq = 0.0;
    double ss = 0.0;
    double sq = 0.0;
    double rest = 0.0;
    gsl_blas_ddot(ones, ones, &ww);
    gsl_blas_ddot(ones, hours, &ws);
    gsl_blas_ddot(ones, values, &wq);
    double lean = ws / ww; /* the share of the ones in the hours */
    double mean = wq / ww;
    gsl_blas_daxpy(-lean, ones, hours);
    gsl_blas_daxpy(-mean, ones, values);
    gsl_blas_ddot(hours, hours, &ss);
    gsl_blas_ddot(hours, values, &sq);
    line->rate = sq / ss;
    line->level = mean - lean * line->rate;
    line->var_rate = 1.0 / ss;
    line->var_level = 1.0 / ww + lean * lean / ss;
    line->covariance = -lean / ss;
    gsl_blas_daxpy(-line->rate, hours, values);
    gsl_blas_ddot(values, values, &rest);
    line->chi2 = rest;
}

static void scale_variances(te_line *line, double factor)
{
    line->scale = factor;
    line->var_level *= factor;
    line->var_rate *= factor;
    line->covariance *= factor;
}

/* ---- generalised ---- */

/* Memory of one fit. GSL's own allocators call its error handler; views on ours do not. */
struct fit_room {
    double *matrix; /* by rows; behind it in one block the scale and the three columns */
    size_t *order;
    double *scale, *ones, *hours, *values;
};

static bool make_room(struct fit_room *room, size_t count)
{
    enum { COLUMNS = 4 };
    *room = (struct fit_room){0};
    if (count > SIZE_MAX / sizeof(double) / (count + COLUMNS)) {
        return false;
    }
    room->matrix = malloc(count * (count + COLUMNS) * sizeof *room->matrix);
    room->order = malloc(count * sizeof *room->order);
    if (room->matrix == NULL || room->order == NULL) {
        return false;
    }
    room->scale = room->matrix + count * count;
    room->ones = room->scale + count;
    room->hours = room->ones + count;
    room->values = room->hours + count;
    return true;
}

static te_status fill_covariance(struct fit_room *room, const double *covariance, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        double variance = covariance[i * count + i];
        if (!(variance > 0.0)) {
            return TE_ERR_DOMAIN;
        }
        room->scale[i] = sqrt(variance);
    }
    for (size_t i = 0; i < count; i++) {
        for (size_t j = 0; j < count; j++) {
            double unit = covariance[i * count + j] / room->scale[i] / room->scale[j];
            room->matrix[i * count + j] = i == j ? 1.0 : unit;
        }
    }
    return TE_OK;
}

/* P V P' = L D L' by pivoted Cholesky, which calls no handler on a matrix that is not positive
 * definite; its pivots fall, so the last ones tell (N. J. Higham, Accuracy and Stability of Numerical
 * Algorithms, 2nd ed. 2002, 10.3). */
static te_status decompose(struct fit_room *room, size_t count)
{
    gsl_permutation order = {count, room->order};
    gsl_matrix_view v = gsl_matrix_view_array(room->matrix, count, count);
    if (gsl_linalg_pcholesky_decomp(&v.matrix, &order) != 0) {
        return TE_ERR_SINGULAR;
    }
    for (size_t i = 0; i < count; i++) {
        double pivot = room->matrix[i * count + i];
        if (!(pivot >= least_pivot)) { /* also when it is no number */
            return TE_ERR_SINGULAR;
        }
    }
    return TE_OK;
}

/* Columns in pivot order, divided by the points' uncertainties. */
static void fill_columns(struct fit_room *room, const double *hours, const double *value,
                         double origin, double at, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        size_t from = room->order[i];
        room->ones[i] = 1.0 / room->scale[from];
        room->hours[i] = (hours[from] - at) / room->scale[from];
        room->values[i] = (value[from] - origin) / room->scale[from];
    }
}

/* D^-1/2 L^-1 of a column that is in pivot order. */
static gsl_vector_view whiten(double *column, const struct fit_room *room, size_t count)
{
    gsl_vector_view view = gsl_vector_view_array(column, count);
    gsl_matrix_const_view v = gsl_matrix_const_view_array(room->matrix, count, count);
    gsl_blas_dtrsv(CblasLower, CblasNoTrans, CblasUnit, &v.matrix, &view.vector);
    for (size_t i = 0; i < count; i++) {
        column[i] /= sqrt(room->matrix[i * count + i]);
    }
    return view;
}

te_status te_line_fit_generalised(te_line *line, const double *hours, const double *value,
                                  const double *covariance, size_t count, double at)
{
    struct fit_room room = {0};
    te_line fit = {.at = at, .generalised = true};
    te_status status = check_points(hours, value, count, at);
    if (status != TE_OK) {
        return status;
    }
    fit.freedom = count - 2;
    if (!all_finite(covariance, count * count)) {
        return TE_ERR_DOMAIN;
    }
    status = TE_ERR_MEMORY;
    if (!make_room(&room, count)) {
        goto done;
    }
    status = fill_covariance(&room, covariance, count);
    if (status == TE_OK) {
        status = decompose(&room, count);
    }
    if (status != TE_OK) {
        goto done;
    }
    double origin = value[count - 1];
    fill_columns(&room, hours, value, origin, at, count);
    gsl_vector_view ones = whiten(room.ones, &room, count);
    gsl_vector_view hours_column = whiten(room.hours, &room, count);
    gsl_vector_view values = whiten(room.values, &room, count);
    fit_whitened(&fit, &ones.vector, &hours_column.vector, &values.vector);
    fit.level += origin;
    fit.chi2 = fit.freedom > 0 ? fit.chi2 : 0.0; /* two points: what is left is rounding */
    double birge = fit.freedom > 0 ? fit.chi2 / (double)fit.freedom : 0.0;
    scale_variances(&fit, birge > 1.0 ? birge : 1.0);
    bool sound = isfinite(fit.level) && isfinite(fit.rate) && isfinite(fit.var_level) &&
                 isfinite(fit.var_rate);
    status = sound ? TE_OK : TE_ERR_SINGULAR;
    if (sound) {
        *line = fit;
    }
done:
    free(room.matrix);
    free(room.order);
    return status;
}

/* ---- ordinary ---- */

te_status te_line_fit_ordinary(te_line *line, const double *hours, const double *value,
                               size_t count, double at)
{
    te_status status = check_points(hours, value, count, at);
    if (status != TE_OK) {
        return status;
    }
    double n = (double)count;
    double mean_hours = 0.0;
    double mean_value = 0.0;
    double origin = value[count - 1];
    for (size_t i = 0; i < count; i++) {
        mean_hours += (hours[i] - at) / n;
        mean_value += (value[i] - origin) / n;
    }
    double ss = 0.0;
    double sq = 0.0;
    for (size_t i = 0; i < count; i++) {
        double lever = hours[i] - at - mean_hours;
        ss += lever * lever;
        sq += lever * (value[i] - origin - mean_value);
    }
    te_line fit = {.at = at, .rate = sq / ss, .chi2 = NAN, .freedom = count - 2};
    double rest = 0.0;
    for (size_t i = 0; i < count; i++) {
        double residual = value[i] - origin - mean_value - fit.rate * (hours[i] - at - mean_hours);
        rest += residual * residual;
    }
    fit.level = origin + (mean_value - mean_hours * fit.rate);
    fit.var_rate = 1.0 / ss;
    fit.var_level = 1.0 / n + mean_hours * mean_hours / ss;
    fit.covariance = -mean_hours / ss;
    /* Points that lie on a line exactly tell no more of their scatter than two do: on the steps of
     * a coarse gauge that is common. */
    bool tells = fit.freedom > 0 && rest > no_scatter * no_scatter * n;
    scale_variances(&fit, tells ? rest / (double)fit.freedom : NAN);
    if (!isfinite(fit.level) || !isfinite(fit.rate)) {
        return TE_ERR_SINGULAR;
    }
    *line = fit;
    return TE_OK;
}

/* ---- bounds ---- */

double te_line_quantile(const te_line *line, double confidence)
{
    bool sound = confidence >= 0.5 && confidence < 1.0 && !isnan(line->var_rate);
    if (!sound) {
        return NAN;
    }
    return line->generalised ? gsl_cdf_ugaussian_Pinv(confidence)
                             : gsl_cdf_tdist_Pinv(confidence, (double)line->freedom);
}

double te_line_chance(const te_line *line)
{
    if (!line->generalised || line->freedom == 0) {
        return NAN;
    }
    return gsl_cdf_chisq_Q(line->chi2, (double)line->freedom);
}

double te_line_bound(const te_line *line, double hours, double quantile)
{
    double d = hours - line->at;
    double y = line->level + line->rate * d;
    if (!(fabs(quantile) > 0.0)) {
        return y + quantile; /* 0, or NAN */
    }
    double variance = line->var_level + 2.0 * line->covariance * d + line->var_rate * d * d;
    return y + quantile * sqrt(fmax(variance, 0.0));
}

void te_line_meets(double *hours, const te_line *line, double limit, bool upper, double quantile)
{
    /* A lower limit is the upper one of the line turned over, with the same covariance. */
    double gap = upper ? limit - line->level : line->level - limit;
    double rate = upper ? line->rate : -line->rate;
    bool plain = !(quantile > 0.0); /* without a bound its variances need not be known */
    double q2 = plain ? 0.0 : quantile * quantile;
    double var_level = plain ? 0.0 : line->var_level;
    double var_rate = plain ? 0.0 : line->var_rate;
    double covariance = plain ? 0.0 : line->covariance;
    *hours = NAN;
    if (isnan(quantile)) {
        return;
    }
    if (gap <= quantile * sqrt(var_level)) {
        *hours = line->at;
        return;
    }
    if (!(rate + quantile * sqrt(var_rate) > 0.0)) {
        return;
    }
    /* (gap - rate d)^2 = q^2 (var_level + 2 covariance d + var_rate d^2), that is
     * a d^2 + 2 b d + c = 0 with c above 0. The wanted root is the smallest above 0. It and b^2 - a c
     * are written so that nothing is subtracted from its like: without a bound b^2 is a c. */
    double a = rate * rate - q2 * var_rate;
    double b = -(gap * rate + q2 * covariance);
    double c = gap * gap - q2 * var_level;
    double spread = rate * rate * var_level + 2.0 * rate * gap * covariance + gap * gap * var_rate;
    double common = var_level * var_rate - covariance * covariance;
    double root = sqrt(q2 * fmax(spread - q2 * common, 0.0));
    double d = b <= 0.0 ? c / (root - b) : -(root + b) / a;
    *hours = isfinite(d) && d >= 0.0 ? line->at + d : NAN;
}
