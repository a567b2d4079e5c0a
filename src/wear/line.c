/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "topend/line.h"

#include <gsl/gsl_cdf.h>
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
        least = hours[i] < least ? hours[i] : least;
        most = hours[i] > most ? hours[i] : most;
    }
    return most - least > TE_SAME_HOURS ? TE_OK : TE_ERR_SINGULAR;
}

static void scale_variances(te_line *line, double factor)
{
    line->scale = factor;
    line->var_level *= factor;
    line->var_rate *= factor;
    line->covariance *= factor;
}

/* ---- generalised ---- */

/* A series has a few points: the matrix is small, and what a library does around its arithmetic (views,
 * checks, a call for each column) would be several times the arithmetic. */

/* Memory of one fit. */
struct fit_room {
    double *v; /* the matrix, row-major; only its lower triangle is used */
    double *scale;
    double *ones, *hours, *values; /* the columns */
    size_t *order;
};

enum { COLUMNS = 4, FEW = 12 };

/* Fits of few points, nearly all, need no memory of the heap. */
struct few {
    double numbers[FEW * (FEW + COLUMNS)];
    size_t order[FEW];
};

static bool make_room(struct fit_room *room, struct few *few, size_t count)
{
    bool many = count > FEW;
    if (many && count > SIZE_MAX / sizeof(double) / (count + COLUMNS)) {
        return false;
    }
    room->v = many ? malloc(count * (count + COLUMNS) * sizeof *room->v) : few->numbers;
    room->order = many ? malloc(count * sizeof *room->order) : few->order;
    if (room->v == NULL || room->order == NULL) {
        return false;
    }
    room->scale = room->v + count * count;
    room->ones = room->scale + count;
    room->hours = room->ones + count;
    room->values = room->hours + count;
    return true;
}

static void free_room(struct fit_room *room, const struct few *few)
{
    if (room->v != few->numbers) {
        free(room->v);
    }
    if (room->order != few->order) {
        free(room->order);
    }
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
        for (size_t j = 0; j < i; j++) {
            room->v[i * count + j] = covariance[i * count + j] / room->scale[i] / room->scale[j];
        }
        room->v[i * count + i] = 1.0;
        room->order[i] = i;
    }
    return TE_OK;
}

static void swap(double *a, double *b)
{
    double kept = *a;
    *a = *b;
    *b = kept;
}

/* Exchanges two rows and the same two columns, first < second, of the lower triangle. */
static void exchange(struct fit_room *room, size_t count, size_t first, size_t second)
{
    double *v = room->v;
    size_t kept = room->order[first];
    room->order[first] = room->order[second];
    room->order[second] = kept;
    for (size_t k = 0; k < first; k++) {
        swap(&v[first * count + k], &v[second * count + k]);
    }
    swap(&v[first * count + first], &v[second * count + second]);
    for (size_t k = first + 1; k < second; k++) {
        swap(&v[k * count + first], &v[second * count + k]);
    }
    for (size_t k = second + 1; k < count; k++) {
        swap(&v[k * count + first], &v[k * count + second]);
    }
}

static size_t largest_pivot(const struct fit_room *room, size_t count, size_t from)
{
    size_t largest = from;
    for (size_t i = from + 1; i < count; i++) {
        largest = room->v[i * count + i] > room->v[largest * count + largest] ? i : largest;
    }
    return largest;
}

/* P V P' = L D L' by outer products, the largest pivot first: they fall, so that the last ones tell
 * whether V is positive definite (N. J. Higham, Accuracy and Stability of Numerical Algorithms, 2nd ed.
 * 2002, 10.3). Their roots take their place. */
static te_status decompose(struct fit_room *room, size_t count)
{
    double *v = room->v;
    for (size_t k = 0; k < count; k++) {
        size_t largest = largest_pivot(room, count, k);
        if (largest != k) {
            exchange(room, count, k, largest);
        }
        double pivot = v[k * count + k];
        if (!(pivot >= least_pivot)) { /* also when it is no number */
            return TE_ERR_SINGULAR;
        }
        double inverse = 1.0 / pivot;
        for (size_t i = k + 1; i < count; i++) {
            double factor = -inverse * v[i * count + k];
            for (size_t j = k + 1; j <= i; j++) {
                v[i * count + j] += v[j * count + k] * factor;
            }
        }
        for (size_t i = k + 1; i < count; i++) {
            v[i * count + k] *= inverse;
        }
        v[k * count + k] = sqrt(pivot);
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
static void whiten(double *column, const struct fit_room *room, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        for (size_t j = 0; j < i; j++) {
            column[i] -= room->v[i * count + j] * column[j];
        }
    }
    for (size_t i = 0; i < count; i++) {
        column[i] /= room->v[i * count + i];
    }
}

static double dot(const double *a, const double *b, size_t count)
{
    double sum = 0.0;
    for (size_t i = 0; i < count; i++) {
        sum += a[i] * b[i];
    }
    return sum;
}

static void take_off(double *column, double factor, const double *other, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        column[i] -= factor * other[i];
    }
}

/* The fit of whitened columns: ones, hours less `at`, values less an origin that keeps the digits
 * that matter (66.012 less 66.015). The columns are overwritten. */
static void fit_whitened(te_line *line, const struct fit_room *room, size_t count)
{
    double ww = dot(room->ones, room->ones, count);
    double lean = dot(room->ones, room->hours, count) / ww; /* share of the ones in the hours */
    double mean = dot(room->ones, room->values, count) / ww;
    take_off(room->hours, lean, room->ones, count);
    take_off(room->values, mean, room->ones, count);
    double ss = dot(room->hours, room->hours, count);
    line->rate = dot(room->hours, room->values, count) / ss;
    line->level = mean - lean * line->rate;
    line->var_rate = 1.0 / ss;
    line->var_level = 1.0 / ww + lean * lean / ss;
    line->covariance = -lean / ss;
    take_off(room->values, line->rate, room->hours, count);
    line->chi2 = dot(room->values, room->values, count);
}

te_status te_line_fit_generalised(te_line *line, const double *hours, const double *value,
                                  const double *covariance, size_t count, double at)
{
    struct few few;
    struct fit_room room = {.v = NULL};
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
    if (!make_room(&room, &few, count)) {
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
    whiten(room.ones, &room, count);
    whiten(room.hours, &room, count);
    whiten(room.values, &room, count);
    fit_whitened(&fit, &room, count);
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
    free_room(&room, &few);
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
