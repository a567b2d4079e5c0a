/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file write_options.h  Options, what to replace, as CSV, JSON and a document for text. */
#ifndef TOPEND_WRITE_OPTIONS_H
#define TOPEND_WRITE_OPTIONS_H

#include "topend/document.h"
#include "topend/rebuild.h"

#ifdef __cplusplus
extern "C" {
#endif

/** The options of an inspection, and what their findings are made from. All is borrowed. */
typedef struct te_options_told {
    const te_shop *shop;
    const te_problems *problems; /**< as they were given to te_options_make */
    const te_options *options;
    te_wish wish; /**< likewise */
} te_options_told;

/** The header row of te_write_options_csv.
 * @param[in,out] buffer receives it
 */
void te_write_options_header(te_buffer *buffer);

/** One CSV row an option.
 * @param[in,out] buffer receives the rows; fails when memory runs out
 * @param[in] told what is written
 */
void te_write_options_csv(te_buffer *buffer, const te_options_told *told);

/** The header row of te_write_options_findings_csv.
 * @param[in,out] buffer receives it
 */
void te_write_options_findings_header(te_buffer *buffer);

/** One CSV row a predicted finding of each option.
 * @param[in,out] buffer receives the rows; fails when memory runs out
 * @param[in] told what is written
 */
void te_write_options_findings_csv(te_buffer *buffer, const te_options_told *told);

/** The whole JSON document of an inspection's options, with what they are predicted to measure.
 * @param[in,out] buffer receives it; fails when memory runs out
 * @param[in] told what is written
 * @param[in] version of the program
 */
void te_write_options_json(te_buffer *buffer, const te_options_told *told, const char *version);

/** The options as a document: what is the least to replace, the options, what fits the bore.
 * @param[in,out] document all zero; fails when memory runs out
 * @param[in] told what is written
 * @param[in] version of the program
 */
void te_options_document(te_document *document, const te_options_told *told, const char *version);

#ifdef __cplusplus
}
#endif
#endif
