/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file write.h  Results as text, CSV and JSON, written to memory. */
#ifndef TOPEND_WRITE_H
#define TOPEND_WRITE_H

#include "topend/judge.h"

#ifdef __cplusplus
extern "C" {
#endif

/** Bytes that grow.  Start with all zero.  The first failure sticks: writes need no checks, the
 * end does (failed). */
typedef struct te_buffer {
    char *bytes; /**< terminated when length is above 0 */
    size_t length, capacity;
    bool failed; /**< memory ran out; the bytes are not complete */
} te_buffer;

/** Frees what a buffer holds and leaves it empty.
 * @param[in,out] buffer may be NULL
 */
void te_buffer_free(te_buffer *buffer);

/** Appends bytes as they are.
 * @param[in,out] buffer the buffer
 * @param[in] bytes may be NULL when @p length is 0
 * @param[in] length bytes
 */
void te_buffer_add(te_buffer *buffer, const char *bytes, size_t length);

/** Appends a terminated string as it is.
 * @param[in,out] buffer the buffer
 * @param[in] text terminated
 */
void te_buffer_text(te_buffer *buffer, const char *text);

/** Appends text from the files, made safe to show (te_text_safe).
 * @param[in,out] buffer the buffer
 * @param[in] text terminated
 */
void te_buffer_safe(te_buffer *buffer, const char *text);

/** One reason of a verdict in words, in one line without an end.
 * @param[in,out] buffer receives the text, safe to show
 * @param[in] shop the shop
 * @param[in] assessment the assessment that made it
 * @param[in] reason one of its reasons
 */
void te_write_reason(te_buffer *buffer, const te_shop *shop, const te_assessment *assessment,
                     const te_reason *reason);

/** The name of a finding's parts (`C1+K1`) or kinds (`cylinder+piston`) or a verdict's subject.
 * @param[in,out] buffer receives the text
 * @param[in] shop the shop
 * @param[in] measured the quantity
 */
void te_write_parts(te_buffer *buffer, const te_shop *shop, const te_measured *measured);
/** See te_write_parts.
 * @param[in,out] buffer receives the text
 * @param[in] measured the quantity
 */
void te_write_kinds(te_buffer *buffer, const te_measured *measured);

/** The unit that a quantity's values are in: mm, or the text of a unit of the user's own.
 * @param[in] shop the shop
 * @param[in] assessment the assessment
 * @param[in] finding one of its findings
 * @return borrowed
 */
const char *te_finding_unit(const te_shop *shop, const te_assessment *assessment,
                            const te_finding *finding);

/** The header row of te_write_findings_csv.
 * @param[in,out] buffer receives it
 */
void te_write_findings_header(te_buffer *buffer);
/** One CSV row a finding.
 * @param[in,out] buffer receives the rows
 * @param[in] shop the shop
 * @param[in] assessment made by te_assess
 */
void te_write_findings_csv(te_buffer *buffer, const te_shop *shop, const te_assessment *assessment);
/** The header row of te_write_verdicts_csv.
 * @param[in,out] buffer receives it
 */
void te_write_verdicts_header(te_buffer *buffer);
/** One CSV row a verdict; the assembly's part is `assembly`.
 * @param[in,out] buffer receives the rows
 * @param[in] shop the shop
 * @param[in] assessment made by te_assess
 */
void te_write_verdicts_csv(te_buffer *buffer, const te_shop *shop, const te_assessment *assessment);

/** Opens the JSON document.
 * @param[in,out] buffer receives it
 * @param[in] shop the shop
 * @param[in] version of the program
 */
void te_write_json_start(te_buffer *buffer, const te_shop *shop, const char *version);
/** One inspection of the JSON document; a tree of one inspection at a time is in memory.
 * @param[in,out] buffer receives it
 * @param[in] shop the shop
 * @param[in] assessment made by te_assess
 * @param[in] first the first inspection of the document
 */
void te_write_json_inspection(te_buffer *buffer, const te_shop *shop,
                              const te_assessment *assessment, bool first);
/** Closes the JSON document.
 * @param[in,out] buffer receives it
 */
void te_write_json_end(te_buffer *buffer);

/** How text is laid out. */
typedef struct te_text_style {
    size_t width; /**< columns, at least 60 */
    bool colour;  /**< with escape sequences of ECMA-48 */
    bool utf8;    /**< plots may use shapes and lines outside ASCII */
} te_text_style;

/** What stands above all inspections: the rule, and that there is no instrument.
 * @param[in,out] buffer receives it
 * @param[in] shop the shop
 * @param[in] style layout
 */
void te_write_text_start(te_buffer *buffer, const te_shop *shop, const te_text_style *style);
/** One inspection: verdict, parts, findings, condition, what was assumed.
 * @param[in,out] buffer receives it
 * @param[in] shop the shop
 * @param[in] assessment made by te_assess
 * @param[in] style layout
 */
void te_write_text_inspection(te_buffer *buffer, const te_shop *shop,
                              const te_assessment *assessment, const te_text_style *style);
/** One line for one inspection: engine, inspection, verdict and what decides it; for a list at the
 * end of a text on several.
 * @param[in,out] buffer receives it
 * @param[in] shop the shop
 * @param[in] assessment made by te_assess
 * @param[in] style layout
 */
void te_write_text_summary(te_buffer *buffer, const te_shop *shop, const te_assessment *assessment,
                           const te_text_style *style);

/** That a text is of less than all engines: those that errors touch are not in it. Nothing when there is none.
 * @param[in,out] buffer receives it
 * @param[in] shop the shop
 * @param[in] problems filled when the shop was made
 * @param[in] style layout
 */
void te_write_left_out(te_buffer *buffer, const te_shop *shop, const te_problems *problems,
                       const te_text_style *style);

/** The cautions that end every text.
 * @param[in,out] buffer receives it
 * @param[in] style layout
 */
void te_write_cautions(te_buffer *buffer, const te_text_style *style);

/** Every reading, correction and component of uncertainty of a quantity.
 * @param[in,out] buffer receives it
 * @param[in] shop the shop
 * @param[in] assessment made by te_assess
 * @param[in] quantity all its items are explained
 * @param[in] style layout
 * @return how many findings were explained
 */
size_t te_write_explanation(te_buffer *buffer, const te_shop *shop, const te_assessment *assessment,
                            te_quantity quantity, const te_text_style *style);

/** Problems, one a line: `FILE:LINE: COLUMN: error: what is wrong; what to do`, then how many more
 * a file has.
 * @param[in,out] buffer receives the lines
 * @param[in] problems sorted
 */
void te_write_problems(te_buffer *buffer, const te_problems *problems);

#ifdef __cplusplus
}
#endif
#endif
