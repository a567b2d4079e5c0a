/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file number.h  Decimal numbers and dates as the shop's files spell them, in any locale. */
#ifndef TOPEND_NUMBER_H
#define TOPEND_NUMBER_H

#include <stddef.h>
#include <stdint.h>

#include "topend/status.h"
#include "topend/text.h"

#ifdef __cplusplus
extern "C" {
#endif

/** What is wrong with a number cell. */
typedef enum te_number_fault {
    TE_NUMBER_GOOD = 0,
    TE_NUMBER_EMPTY,        /**< no characters */
    TE_NUMBER_NOT_A_NUMBER, /**< letters, hex, nan, inf, a unit, a date */
    TE_NUMBER_TWO_MARKS,    /**< more than one decimal mark, or grouping by marks */
    TE_NUMBER_GROUPED,      /**< grouping by spaces or apostrophes */
    TE_NUMBER_LEADING_ZERO, /**< such as 006 */
    TE_NUMBER_TOO_LONG,     /**< more than 15 significant digits: a double cannot hold them */
    TE_NUMBER_RANGE,        /**< not 0 and outside 1e-22 to 1e22, or with more than 22 decimals */
    TE_NUMBER_MARK_AT_END,  /**< a decimal mark without a digit after it */
    TE_NUMBER_EXPONENT /**< an exponent that changes nothing, such as 65.8E0: a digit was lost */
} te_number_fault;

/** A number as read. */
typedef struct te_number {
    double value;
    char mark;         /**< '.' or ',' or 0 when there is none */
    unsigned decimals; /**< digits after the mark */
    int exponent;      /**< the exponent as written, capped at 9999; 0 when there is none */
} te_number;

/** Reads a decimal number: optional sign (`+`, `-` or U+2212), digits with at most one mark
 * (`.` or `,`), optional exponent.  The result is the double nearest to the written value: at most
 * 15 digits and a power of ten up to 22 are both exact in a double, so one rounding is made
 * (D. Goldberg, What every computer scientist should know about floating-point arithmetic, 1991,
 * section on binary to decimal conversion; W. D. Clinger, PLDI 1990).
 * @param[out] number the result; untouched on a fault
 * @param[in] text trimmed UTF-8
 * @return TE_NUMBER_GOOD or the fault
 */
te_number_fault te_number_parse(te_number *number, te_slice text);

/** Bytes that te_number_format needs. */
#define TE_NUMBER_SIZE 32

/** Writes a number with a decimal point in any locale, like printf's %g: without trailing zeros,
 * with an exponent when it is below -5 or not below @p digits.  Minus zero is written `0`.
 * @param[out] out receives a terminated string of less than TE_NUMBER_SIZE bytes
 * @param[in] value finite
 * @param[in] digits significant digits, 1 to 17
 * @return the length
 */
size_t te_number_format(char out[TE_NUMBER_SIZE], double value, int digits);

/** Bytes that te_number_fixed needs for values below 1e15. */
#define TE_FIXED_SIZE 48

/** Writes a number with a given count of decimals and a decimal point in any locale; a value that
 * rounds to zero is written without a sign.
 * @param[out] out receives a terminated string
 * @param[in] value finite, magnitude below 1e15
 * @param[in] decimals 0 to 15
 * @return the length
 */
size_t te_number_fixed(char out[TE_FIXED_SIZE], double value, int decimals);

/** Orders two numbers of which either may be absent: absent ones, NAN, come last.
 * @param[in] a any
 * @param[in] b any
 * @return below, at or above 0
 */
int te_number_order(double a, double b);

/** Hours nearer than this are the same (h): a hundredth of a second; hours are written to 0.01 h at
 * the finest, and differences of them carry rounding of 1e-11 h at most. */
#define TE_SAME_HOURS 1e-6

/** A calendar day as days since 1970-01-01 (proleptic Gregorian); TE_NO_DATE when absent. */
typedef int32_t te_date;
#define TE_NO_DATE INT32_MIN

/** How dates of the form 04/18/2026 are ordered. */
typedef enum te_date_order { TE_DATE_NONE = 0, TE_DATE_DMY, TE_DATE_MDY } te_date_order;

/** What is wrong with a date cell. */
typedef enum te_date_fault {
    TE_DATE_GOOD = 0,
    TE_DATE_FORM,         /**< not one of the forms */
    TE_DATE_ORDER,        /**< 04/18/2026 without a date_order */
    TE_DATE_CALENDAR,     /**< no such day, or a year outside 1900 to 2199 */
    TE_DATE_ORDER_DMY_MDY /**< with that date_order there is no such month or day */
} te_date_fault;

/** Reads `2026-04-18`, `2026/04/18`, `18.04.2026`, and with an order `18/04/2026` or `04/18/2026`.
 * @param[out] date untouched on a fault
 * @param[in] text trimmed
 * @param[in] order for the forms with slashes and the year last
 * @return TE_DATE_GOOD or the fault
 */
te_date_fault te_date_parse(te_date *date, te_slice text, te_date_order order);

/** Writes a day as `2026-04-18`.
 * @param[out] out receives 10 characters and a terminator; empty for TE_NO_DATE
 * @param[in] date years 1900 to 2199, or TE_NO_DATE
 */
void te_date_format(char out[11], te_date date);

#ifdef __cplusplus
}
#endif
#endif
