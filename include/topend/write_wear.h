/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file write_wear.h  Series, builds and due dates as text, CSV and JSON, written to memory. */
#ifndef TOPEND_WRITE_WEAR_H
#define TOPEND_WRITE_WEAR_H

#include "topend/wear.h"
#include "topend/write.h"

#ifdef __cplusplus
extern "C" {
#endif

/* ---- trend ---- */

/** The header row of te_write_trend_csv.
 * @param[in,out] buffer receives it
 */
void te_write_trend_header(te_buffer *buffer);

/** One CSV row a series whose last inspection is on the history's engine.
 * @param[in,out] buffer receives the rows
 * @param[in] shop the shop
 * @param[in] history made by te_history_make
 * @param[in] only this quantity; TE_Q_NONE: all
 * @return how many rows were written
 */
size_t te_write_trend_csv(te_buffer *buffer, const te_shop *shop, const te_history *history,
                          te_quantity only);

/** Opens the JSON document of series.
 * @param[in,out] buffer receives it
 * @param[in] shop the shop
 * @param[in] version of the program
 */
void te_write_trend_json_start(te_buffer *buffer, const te_shop *shop, const char *version);

/** The series of an engine as JSON, with their points and the readings of each.
 * @param[in,out] buffer receives them
 * @param[in] shop the shop
 * @param[in] history made by te_history_make
 * @param[in] only as in te_write_trend_csv
 * @param[in] before how many series the document has already
 * @return how many were written
 */
size_t te_write_trend_json(te_buffer *buffer, const te_shop *shop, const te_history *history,
                           te_quantity only, size_t before);

/** What stands above all series in text: what is fitted, and the marks of the plots.
 * @param[in,out] buffer receives it
 * @param[in] shop the shop
 * @param[in] style layout
 */
void te_write_trend_text_start(te_buffer *buffer, const te_shop *shop, const te_text_style *style);

/** The series of an engine in text, each with a small plot beside it.
 * @param[in,out] buffer receives it
 * @param[in] shop the shop
 * @param[in] history made by te_history_make
 * @param[in] only as in te_write_trend_csv
 * @param[in] style layout; the plots are plain ASCII unless it has utf8
 * @return how many series were written
 */
size_t te_write_trend_text(te_buffer *buffer, const te_shop *shop, const te_history *history,
                           te_quantity only, const te_text_style *style);

/* ---- compare ---- */

/** The header row of te_write_compare_csv.
 * @param[in,out] buffer receives it
 */
void te_write_compare_header(te_buffer *buffer);

/** One CSV row a quantity and build.
 * @param[in,out] buffer receives the rows
 * @param[in] shop the shop
 * @param[in] history of the engine
 * @param[in] builds made by te_builds_make from it
 */
void te_write_compare_csv(te_buffer *buffer, const te_shop *shop, const te_history *history,
                          const te_builds *builds);

/** The whole JSON document of an engine's builds.
 * @param[in,out] buffer receives it
 * @param[in] shop the shop
 * @param[in] history of the engine
 * @param[in] builds made by te_builds_make from it
 * @param[in] version of the program
 */
void te_write_compare_json(te_buffer *buffer, const te_shop *shop, const te_history *history,
                           const te_builds *builds, const char *version);

/** The builds side by side in text: first, in words, where one wears faster or slower than the one
 * before by more than chance, then the figures.
 * @param[in,out] buffer receives it
 * @param[in] shop the shop
 * @param[in] history of the engine
 * @param[in] builds made by te_builds_make from it
 * @param[in] style layout
 */
void te_write_compare_text(te_buffer *buffer, const te_shop *shop, const te_history *history,
                           const te_builds *builds, const te_text_style *style);

/* ---- due ---- */

/** The header row of te_write_due_csv.
 * @param[in,out] buffer receives it
 */
void te_write_due_header(te_buffer *buffer);

/** One CSV row an engine.
 * @param[in,out] buffer receives the rows
 * @param[in] shop the shop
 * @param[in] list in the order of output
 * @param[in] count of @p list
 */
void te_write_due_csv(te_buffer *buffer, const te_shop *shop, const te_due *list, size_t count);

/** The whole JSON document of the engines.
 * @param[in,out] buffer receives it
 * @param[in] shop the shop
 * @param[in] list in the order of output
 * @param[in] count of @p list
 * @param[in] version of the program
 */
void te_write_due_json(te_buffer *buffer, const te_shop *shop, const te_due *list, size_t count,
                       const char *version);

/** The engines in text, a line each, and what the marks mean.
 * @param[in,out] buffer receives it
 * @param[in] shop the shop
 * @param[in] list in the order of output
 * @param[in] count of @p list
 * @param[in] style layout
 */
void te_write_due_text(te_buffer *buffer, const te_shop *shop, const te_due *list, size_t count,
                       const te_text_style *style);

#ifdef __cplusplus
}
#endif
#endif
