/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file report.h  The inspection report and the page that lists several, as documents. */
#ifndef TOPEND_REPORT_H
#define TOPEND_REPORT_H

#include "topend/document.h"
#include "topend/wear.h"
#include "topend/write_options.h"

#ifdef __cplusplus
extern "C" {
#endif

/** The digest of a file that was read. */
typedef struct te_digest {
    const char *file; /**< as in te_tables.files */
    char sha256[65];  /**< 64 digits of hexadecimal, terminated */
} te_digest;

/** What a report is made of. All is borrowed. */
typedef struct te_report {
    const te_shop *shop;
    const te_assessment *assessment; /**< of the inspection reported */
    const te_history *history;       /**< of its engine, made until that inspection */
    const te_builds *builds;         /**< made from history */
    const te_due *due;               /**< NULL: it is not the engine's last inspection */
    const te_options_told *options;  /**< of the inspection; NULL: the report does not tell any */
    const te_digest *digests;        /**< of the files read, in their order */
    size_t digest_count;
    const te_problems *problems; /**< warnings on the files that bear on the engine; NULL: none */
    const char *version;         /**< of the program */
    te_date made;                /**< the day the report is made */
} te_report;

/** Makes the report: the verdict and what to do next, then what they rest on, down to the readings.
 * @param[in,out] document all zero; fails when memory runs out
 * @param[in] report what it is made of
 */
void te_report_make(te_document *document, const te_report *report);

/** One report among several. */
typedef struct te_index_entry {
    uint32_t engine;
    uint32_t inspection; /**< TE_NO_INDEX: there is no report of it */
    bool skipped; /**< for errors in the files touch the engine; else it was never inspected */
    te_verdict_value verdict;
    const te_due *due;  /**< of the engine; borrowed */
    const char *target; /**< name of the report's file, in the same folder; borrowed */
} te_index_entry;

/** Makes the page that lists reports, in the order given.
 * @param[in,out] document all zero; fails when memory runs out
 * @param[in] shop the shop
 * @param[in] entries one an engine
 * @param[in] count of @p entries
 * @param[in] version of the program
 * @param[in] made the day it is made
 */
void te_index_make(te_document *document, const te_shop *shop, const te_index_entry *entries,
                   size_t count, const char *version, te_date made);

#ifdef __cplusplus
}
#endif
#endif
