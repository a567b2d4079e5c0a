/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file measure.h  From readings to observations at 20 degrees Celsius, and to quantities. */
#ifndef TOPEND_MEASURE_H
#define TOPEND_MEASURE_H

#include "topend/fit.h"
#include "topend/form.h"
#include "topend/shop.h"

#ifdef __cplusplus
extern "C" {
#endif

/** Reference temperature of lengths, degrees Celsius (ISO 1:2022). */
#define TE_REFERENCE_TEMPERATURE 20.0

/** Turns the readings of an inspection into observations: repeats averaged, corrected to 20
 * degrees Celsius, with their uncertainties by source (docs/method.md, "From a reading to an
 * observation").
 * @param[in,out] pool receives the observations of the inspection, one a measurement, in the order
 *   of by_inspection
 * @param[in] shop the shop
 * @param[in] inspection index of an inspection whose engine no error touches
 * @return TE_OK, TE_ERR_MEMORY, or TE_ERR_DOMAIN when a number is not finite
 */
te_status te_observe(te_observations *pool, const te_shop *shop, uint32_t inspection);

/** An observation that nobody took, of a size that is supposed: no reading, gauge, leaves or place.
 * @param[in] feature what it is of
 * @param[in] item its item, 0 for none
 * @param[in] part its part
 * @return its value, uncertainty and stated are left to the caller
 */
te_observation te_observation_untaken(te_quantity feature, te_id item, te_id part);

/** A quantity of one inspection. */
typedef struct te_measured {
    te_quantity quantity;
    te_id item;
    te_id part, second_part; /**< second_part 0 when it rests on one part */
    te_kind kind, second_kind;
    te_form low, high; /**< upper limits judge high, lower limits low */
} te_measured;

/** The quantities of an inspection. Start with all zero. */
typedef struct te_quantities {
    te_measured *items;
    size_t count, capacity;
    te_work work; /**< the maker's own */
} te_quantities;

/** Frees what a list holds and leaves it empty.
 * @param[in,out] list may be NULL
 */
void te_quantities_free(te_quantities *list);

/** Computes every quantity that the readings of an inspection allow, in the order of quantity.def,
 * then the features of the user's own in the order in which they were read; the variants only
 * where a limit of the model names them.
 * @param[in,out] list the quantities are added to it
 * @param[in] pool holds the observations of the inspection from @p first on, to its end, in the order
 *   in which te_observe adds them
 * @param[in] first index of the inspection's first observation
 * @param[in] shop the shop
 * @param[in] inspection one of the shop's, or a copy of one with other parts
 * @return TE_OK or TE_ERR_MEMORY
 */
te_status te_quantities_make(te_quantities *list, const te_observations *pool, uint32_t first,
                             const te_shop *shop, const te_inspection *inspection);

/** The order of items by their words: 1, 2 ... 10, or left, right.
 * @param[in] a terminated
 * @param[in] b terminated
 * @return below 0: a comes first; 0: the same word; above 0: b does
 */
int te_item_compare(const char *a, const char *b);

/** Adds copies of quantities whose observations were copied to the beginning of another pool.
 * @param[in,out] list the quantities are added to it
 * @param[in] items the quantities
 * @param[in] count their number
 * @param[in] first where the observations of their forms began in the pool that they were copied from
 * @return TE_OK, TE_ERR_MEMORY
 */
te_status te_quantities_copy(te_quantities *list, const te_measured *items, size_t count,
                             uint32_t first);

/** Heights nearer than this (mm) are one place: where a feature is planned and where it was read. The
 * small rest lets a written difference of exactly 0.5 count in binary. */
#define TE_SAME_HEIGHT (0.5 + 1e-9)

/** True for a bore reading at a height.
 * @param[in] observation any
 * @param[in] position mm below the deck; NAN: false
 */
bool te_bore_is_at(const te_observation *observation, double position);

/** The first bore reading at a height in a direction; directions are alike within 0.001 degrees.
 * @param[in] pool where it is
 * @param[in] first index of the first observation looked at
 * @param[in] end index behind the last
 * @param[in] position mm below the deck
 * @param[in] direction degrees; NAN is alike to none
 * @return index into the pool, or TE_NO_INDEX
 */
uint32_t te_bore_find(const te_observations *pool, uint32_t first, uint32_t end, double position,
                      double direction);

/** The oval of the bore at one height. */
typedef struct te_bore_oval {
    double position; /**< mm below the deck */
    size_t directions;
    te_oval oval;
} te_bore_oval;

/** Ovals of the bore at every height with three or more directions; a height with more than 64
 * readings has none.
 * @param[out] ovals from the top down, to be freed with free(); NULL when there is none
 * @param[out] count of @p ovals
 * @param[in] pool observations
 * @param[in] first index of the inspection's first observation; its last is the pool's last
 * @return TE_OK, TE_ERR_MEMORY
 */
te_status te_bore_ovals(te_bore_oval **ovals, size_t *count, const te_observations *pool,
                        uint32_t first);

#ifdef __cplusplus
}
#endif
#endif
