/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file form.h  Linear forms over observations: the one structure that carries a value, its
 * uncertainty, its covariance with any other and its explanation.
 *
 * An observation is a measured size at 20 degrees Celsius with an uncertainty of its own and its
 * share in common sources of error.  A form is sum(c_i * x_i).  With u_i the own standard
 * uncertainties and e_is the effect of source s on x_i (sensitivity times standard uncertainty),
 *
 *     value(f)  = sum_i c_i x_i
 *     cov(f, g) = sum_i c_i d_i u_i^2 + sum_s (sum_i c_i e_is) (sum_i d_i e_is)
 *     var(f)    = cov(f, f)
 *
 * which is JCGM 100:2008 (GUM) equation (16) with the input covariances written by their sources
 * (F.1.2.3).  What is common to the readings of a form cancels or adds by itself.
 */
#ifndef TOPEND_FORM_H
#define TOPEND_FORM_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "topend/quantity.h"
#include "topend/status.h"

#ifdef __cplusplus
extern "C" {
#endif

/** What a common source is; the upper bits of a source's key. */
typedef enum te_source_kind {
    TE_SOURCE_CALIBRATION = 1, /**< index: row of te_tables.instruments */
    TE_SOURCE_SETTING,         /**< index: first reading taken with that setting */
    TE_SOURCE_TEMPERATURE,     /**< index: inspection */
    TE_SOURCE_MATERIAL,        /**< index: bits of the expansion coefficient */
    TE_SOURCE_SCALE,           /**< index: te_id of the instrument that expands, 0 for none */
    TE_SOURCE_OTHER            /**< index: the caller's own */
} te_source_kind;

/** A source of error common to several observations; equal keys are the same source. */
typedef uint64_t te_source;

/** Makes a key.
 * @param[in] kind what it is
 * @param[in] index below 2^60
 */
te_source te_source_make(te_source_kind kind, uint64_t index);
/** The kind of a source.
 * @param[in] source made by te_source_make
 */
te_source_kind te_source_kind_of(te_source source);
/** The index of a source.
 * @param[in] source made by te_source_make
 */
uint64_t te_source_index(te_source source);

/** Effect of one source on one observation: sensitivity times standard uncertainty, signed, in the
 * observation's unit. */
typedef struct te_effect {
    te_source source;
    double effect;
} te_effect;

/** One measured size: the mean of its repeats, taken to 20 degrees Celsius. */
typedef struct te_observation {
    double value;     /**< at 20 degrees Celsius; mm or the feature's own unit */
    double u_own;     /**< standard uncertainty that it shares with no other */
    double u;         /**< standard uncertainty with all common sources */
    bool stated;      /**< its uncertainty is known in full */
    double go, no_go; /**< the widest pair of leaves, at 20 degrees Celsius; NAN without one */
    double raw;       /**< mean of the repeats before the correction */
    double zero;      /**< the size that the gauge was set to; NAN without one */
    double scatter;   /**< standard deviation of one reading that u_own rests on */
    double step;      /**< resolution, or no_go - go, that u_own rests on; 0 when unknown */
    unsigned repeats; /**< number of readings in the mean */
    uint32_t reading; /**< the first of them, index into te_tables.readings */
    te_quantity feature;
    uint32_t part, item, instrument; /**< te_id */
    double position, direction;      /**< NAN when absent; alike places have equal numbers */
    uint32_t first_effect, effect_count;
} te_observation;

/** Memory to work in, kept from one call to the next.  Start with all zero; free the block. */
typedef struct te_work {
    void *block;
    size_t capacity;
} te_work;

/** Observations and their effects; forms refer to them by index.  Start with all zero; free with
 * te_observations_free.  Thread-safe while nobody adds to it. */
typedef struct te_observations {
    te_observation *items;
    size_t count, capacity;
    te_effect *effects;
    size_t effect_count, effect_capacity;
    te_work work; /**< te_observe's own */
} te_observations;

/** Adds an observation.
 * @param[in,out] pool receives a copy
 * @param[in] observation first_effect, effect_count and u are set by the call
 * @param[in] effects its common sources, copied; several of one source are summed in use
 * @param[in] count number of @p effects
 * @return TE_OK or TE_ERR_MEMORY; its index is then pool->count - 1
 */
te_status te_observations_add(te_observations *pool, const te_observation *observation,
                              const te_effect *effects, size_t count);

/** Adds copies of observations of another pool, with their effects.
 * @param[in,out] pool another one than @p from
 * @param[in] from holds them
 * @param[in] first index of the first
 * @param[in] end behind the last
 * @return TE_OK, TE_ERR_MEMORY
 */
te_status te_observations_copy(te_observations *pool, const te_observations *from, uint32_t first,
                               uint32_t end);

/** Frees what a pool holds and leaves it empty.
 * @param[in,out] pool may be NULL
 */
void te_observations_free(te_observations *pool);

/** Most terms of a form: the difference of two wear figures of a clearance has eight. */
#define TE_FORM_TERMS 16

/** sum(coefficient[i] * observation[i].value); a plain value, copied freely; all zero is the form
 * 0. No observation stands in it twice. */
typedef struct te_form {
    size_t count;
    uint32_t observation[TE_FORM_TERMS];
    double coefficient[TE_FORM_TERMS];
} te_form;

/** The form c * x.
 * @param[in] observation index into the pool
 * @param[in] coefficient c, dimensionless
 */
te_form te_form_make(uint32_t observation, double coefficient);

/** Makes a form c * x of any form, as te_form_make does, without copying one: its other terms, which
 * nobody reads, stay as they were.
 * @param[out] form the form
 * @param[in] observation as in te_form_make
 * @param[in] coefficient as in te_form_make
 */
void te_form_set(te_form *form, uint32_t observation, double coefficient);

/** The sum of two forms.
 * @param[out] sum may be @p a or @p b
 * @param[in] a over the same pool
 * @param[in] b over the same pool
 * @return TE_OK, or TE_ERR_FULL when the sum has more than TE_FORM_TERMS terms
 */
te_status te_form_add(te_form *sum, const te_form *a, const te_form *b);

/** Adds c * x to a form.
 * @param[in,out] form any
 * @param[in] observation index into the pool
 * @param[in] coefficient c
 * @return TE_OK, or TE_ERR_FULL, the form left as it was, when it would have more than
 *   TE_FORM_TERMS terms
 */
te_status te_form_add_term(te_form *form, uint32_t observation, double coefficient);

/** A form times a number.
 * @param[in] form any
 * @param[in] factor finite
 */
te_form te_form_scale(const te_form *form, double factor);

/** True when two forms have the same terms, in the same order.
 * @param[in] a any
 * @param[in] b any, over the same pool
 */
bool te_form_is_same(const te_form *a, const te_form *b);

/** A difference of equal sizes is 0, whatever binary rounding leaves of it: a value below 1e-12, a
 * thousandth of a tie.
 * @param[in] value mm or the feature's own unit
 * @return 0 or the value
 */
double te_without_dust(double value);

/** The value of a form.
 * @param[in] pool where its observations are
 * @param[in] form any
 * @return in the observations' unit
 */
double te_form_value(const te_observations *pool, const te_form *form);

/** The variance of a form, not below 0.
 * @param[in] pool where its observations are
 * @param[in] form any
 * @return in the square of the observations' unit
 */
double te_form_variance(const te_observations *pool, const te_form *form);

/** The standard uncertainty of a form: the square root of its variance, which for one observation
 * alone is known already.
 * @param[in] pool where its observations are
 * @param[in] form any
 * @return in the observations' unit
 */
double te_form_uncertainty(const te_observations *pool, const te_form *form);

/** The covariance of two forms over one pool.
 * @param[in] pool where their observations are
 * @param[in] a any
 * @param[in] b any
 * @return in the square of the observations' unit
 */
double te_form_covariance(const te_observations *pool, const te_form *a, const te_form *b);

/** The covariances of many forms with each other: each to the last bit that of te_form_covariance of
 * the later one with the earlier, and found without going through their effects for each pair.
 * @param[out] matrix count x count, row-major, symmetric; the variances on its diagonal
 * @param[in,out] work grown as needed
 * @param[in] pool where the forms' observations are
 * @param[in] forms all over the pool
 * @param[in] count of @p forms
 * @return TE_OK or TE_ERR_MEMORY
 */
te_status te_form_covariances(double *matrix, te_work *work, const te_observations *pool,
                              const te_form *const *forms, size_t count);

/** True when every observation of a form is stated (a form without terms is).
 * @param[in] pool where its observations are
 * @param[in] form any
 */
bool te_form_stated(const te_observations *pool, const te_form *form);

/** One component of a form's uncertainty. */
typedef struct te_component {
    bool own;             /**< of one observation alone; else of a common source */
    uint32_t observation; /**< when own */
    te_source source;     /**< when not */
    double effect;        /**< signed contribution to the standard uncertainty */
} te_component;

/** Explains a form's uncertainty: the variance is the sum of the squares of the effects.
 * @param[out] components receives the own ones in order of the terms, then the common ones in
 *   order of appearance; may be NULL when @p capacity is 0
 * @param[in] capacity of @p components
 * @param[in] pool where its observations are
 * @param[in] form any
 * @return how many there are, also when they do not fit
 */
size_t te_form_explain(te_component *components, size_t capacity, const te_observations *pool,
                       const te_form *form);

#ifdef __cplusplus
}
#endif
#endif
