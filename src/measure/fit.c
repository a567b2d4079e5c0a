/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "topend/fit.h"

#include <gsl/gsl_errno.h>
#include <gsl/gsl_multifit.h>
#include <math.h>
#include <stdbool.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

static const double pi = 3.14159265358979323846;
static const double degree = 3.14159265358979323846 / 180.0;

static bool all_finite(const double *numbers, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        if (!isfinite(numbers[i])) {
            return false;
        }
    }
    return true;
}

/* What GSL needs for one fit beside the caller's numbers. */
struct fit_room {
    double *results; /* the coefficients, then their covariance */
    gsl_multifit_linear_workspace *work;
};

/* GSL's allocator calls its error handler when memory runs out, and the handler is not ours to
 * touch: where the caller has left the default, that ends the program, which is what GSL promises
 * then. The caller's cells are few, so this is the rare case of the rare case. */
static bool make_room(struct fit_room *room, size_t rows, size_t columns)
{
    room->results = calloc(columns + 1, columns * sizeof *room->results);
    if (room->results == NULL) {
        return false;
    }
    room->work = gsl_multifit_linear_alloc(rows, columns);
    return room->work != NULL;
}

static void free_room(struct fit_room *room)
{
    free(room->results);
    gsl_multifit_linear_free(room->work);
}

static te_status solve(double *chisq, struct fit_room *room, const double *design, const double *y,
                       size_t rows, size_t columns)
{
    size_t rank = 0;
    gsl_matrix_const_view x = gsl_matrix_const_view_array(design, rows, columns);
    gsl_vector_const_view values = gsl_vector_const_view_array(y, rows);
    gsl_vector_view beta = gsl_vector_view_array(room->results, columns);
    gsl_matrix_view covariance = gsl_matrix_view_array(room->results + columns, columns, columns);
    /* Singular values below the machine's rounding, relative to the largest, are none. */
    int status = gsl_multifit_linear_tsvd(&x.matrix, &values.vector, GSL_DBL_EPSILON, &beta.vector,
                                          &covariance.matrix, chisq, &rank, room->work);
    if (status != GSL_SUCCESS) {
        return status == GSL_ENOMEM ? TE_ERR_MEMORY : TE_ERR_SINGULAR;
    }
    bool finite = all_finite(room->results, columns) && isfinite(*chisq);
    return rank == columns && finite ? TE_OK : TE_ERR_SINGULAR;
}

te_status te_least_squares(double *beta, double *covariance, double *rss, const double *design,
                           const double *y, size_t rows, size_t columns)
{
    struct fit_room room = {0};
    double chisq = 0.0;
    bool sound = columns > 0 && rows >= columns && columns <= SIZE_MAX / rows;
    if (!sound || !all_finite(design, rows * columns) || !all_finite(y, rows)) {
        return TE_ERR_DOMAIN;
    }
    te_status status = TE_ERR_MEMORY;
    if (!make_room(&room, rows, columns)) {
        goto done;
    }
    status = solve(&chisq, &room, design, y, rows, columns);
    if (status != TE_OK) {
        goto done;
    }
    memcpy(beta, room.results, columns * sizeof *beta);
    for (size_t i = 0; covariance != NULL && i < columns * columns; i++) {
        covariance[i] = rows > columns ? room.results[columns + i] : 0.0;
    }
    if (rss != NULL) {
        *rss = chisq;
    }
done:
    free_room(&room);
    return status;
}

/* Directions nearer than this (degrees) are one; a diameter repeats after half a turn. */
static const double same_direction = 1e-6;
static const double half_turn = 180.0;

static bool is_another(double a, double b)
{
    return !(fabs(remainder(a - b, half_turn)) <= same_direction); /* also when one is no number */
}

/* Whether there are three directions is counted, not left to the fit: rounding gives the third
 * singular value of two directions a rest that may pass for one. */
static bool has_three_directions(const double *direction, size_t count)
{
    size_t second = 1;
    while (second < count && !is_another(direction[second], direction[0])) {
        second++;
    }
    for (size_t i = second + 1; i < count; i++) {
        if (is_another(direction[i], direction[0]) && is_another(direction[i], direction[second])) {
            return true;
        }
    }
    return false;
}

te_status te_oval_fit(te_oval *oval, const double *direction, const double *diameter, size_t count)
{
    enum { COLUMNS = 3 };
    double beta[COLUMNS];
    if (count < COLUMNS || count > SIZE_MAX / (COLUMNS * sizeof(double))) {
        return TE_ERR_DOMAIN;
    }
    if (!has_three_directions(direction, count)) {
        return TE_ERR_SINGULAR;
    }
    double *design = malloc(count * COLUMNS * sizeof *design);
    if (design == NULL) {
        return TE_ERR_MEMORY;
    }
    for (size_t i = 0; i < count; i++) {
        design[i * COLUMNS] = 1.0;
        design[i * COLUMNS + 1] = cos(2.0 * direction[i] * degree);
        design[i * COLUMNS + 2] = sin(2.0 * direction[i] * degree);
    }
    te_status status = te_least_squares(beta, NULL, NULL, design, diameter, count, COLUMNS);
    free(design);
    if (status != TE_OK) {
        return status;
    }
    double axis = atan2(beta[2], beta[1]) / 2.0;
    axis = axis < 0.0 ? axis + pi : axis;
    *oval = (te_oval){
        .mean = beta[0],
        .a = beta[1],
        .b = beta[2],
        .ovality = 2.0 * hypot(beta[1], beta[2]),
        .long_axis = axis >= pi ? 0.0 : axis / degree,
    };
    return TE_OK;
}
