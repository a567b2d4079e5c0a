/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file unit.h  Units of length.  1 in = 25.4 mm exactly (ISO 80000-3:2019, annex on units). */
#ifndef TOPEND_UNIT_H
#define TOPEND_UNIT_H

#include <stdbool.h>

#include "topend/text.h"

#ifdef __cplusplus
extern "C" {
#endif

typedef enum te_unit {
    TE_UNIT_MM = 0,
    TE_UNIT_UM,
    TE_UNIT_IN,
    TE_UNIT_THOU, /**< 0.001 in */
    TE_UNIT_OWN   /**< any other text: only for features of the user's own; not converted */
} te_unit;

/** Recognises a unit of length, without regard to case; `um` also with U+00B5 or U+03BC.
 * @param[in] text trimmed; blank is mm
 * @return the unit, TE_UNIT_OWN for any other text
 */
te_unit te_unit_find(te_slice text);

/** Converts a length to mm; a value in a unit of the user's own is returned as it is.
 * @param[in] value in @p unit
 * @param[in] unit any
 * @return mm; the error is at most one rounding
 */
double te_unit_to_mm(double value, te_unit unit);

/** True for `in` and `thou`: positions, zeros and oversizes beside them are in inches.
 * @param[in] unit any
 */
bool te_unit_is_inch(te_unit unit);

#ifdef __cplusplus
}
#endif
#endif
