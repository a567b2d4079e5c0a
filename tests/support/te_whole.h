/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A shop in memory, and all that the program could be asked for of it, in every form: for tests that
 * hold the whole library to something, be it fed with anything or short of memory. */
#ifndef TE_WHOLE_H
#define TE_WHOLE_H

#include "topend/judge.h"
#include "topend/write.h"

/* What is written, each into a buffer of its own. */
typedef enum te_whole_form {
    TE_WHOLE_PROBLEMS,
    TE_WHOLE_FINDINGS_CSV,
    TE_WHOLE_VERDICTS_CSV,
    TE_WHOLE_ASSESS_JSON,
    TE_WHOLE_ASSESS_TEXT,
    TE_WHOLE_EXPLANATION,
    TE_WHOLE_TREND_CSV,
    TE_WHOLE_TREND_JSON,
    TE_WHOLE_TREND_TEXT,
    TE_WHOLE_COMPARE_CSV,
    TE_WHOLE_COMPARE_JSON, /* one document an engine */
    TE_WHOLE_COMPARE_TEXT,
    TE_WHOLE_DUE_CSV,
    TE_WHOLE_DUE_JSON,
    TE_WHOLE_DUE_TEXT,
    TE_WHOLE_OPTIONS_CSV,
    TE_WHOLE_OPTIONS_FINDINGS_CSV,
    TE_WHOLE_OPTIONS_JSON, /* one document an inspection */
    TE_WHOLE_OPTIONS_TEXT,
    TE_WHOLE_REPORT_TEXT, /* of the last inspection of each engine */
    TE_WHOLE_REPORT_HTML, /* likewise; with all figures */
    TE_WHOLE_SHEET_CSV,
    TE_WHOLE_SHEET_HTML,
    TE_WHOLE_INDEX_HTML,
    TE_WHOLE_FORMS
} te_whole_form;

#define TE_WHOLE_ALL ((1U << TE_WHOLE_FORMS) - 1)
/* The dear ones: a report and a sheet with figures are as much work as all else together. */
#define TE_WHOLE_DEAR \
    (1U << TE_WHOLE_REPORT_TEXT | 1U << TE_WHOLE_REPORT_HTML | 1U << TE_WHOLE_SHEET_HTML)

/* Looks at each assessment while it is there. */
typedef void te_whole_look(void *context, const te_shop *shop, const te_assessment *assessment);

typedef struct te_whole {
    te_buffer of[TE_WHOLE_FORMS];
    size_t errors, warnings; /* in the files */
    size_t engines, inspections;
} te_whole;

/*
 * Reads a shop from memory and writes the forms asked for (bits 1 << te_whole_form) of all its engines
 * and inspections. With an error in the files only the problems are written. `look` may be NULL.
 *
 * Returns TE_OK; TE_ERR_DATA with an error in the files; TE_ERR_MEMORY; another status of an engine that
 * cannot be done (a series too long), told in words in no form. Free with te_whole_free whatever comes back.
 */
te_status te_whole_make(te_whole *whole, const te_input *inputs, size_t count, unsigned forms,
                        te_whole_look *look, void *context);

/* The name of a form, for messages. */
const char *te_whole_name(te_whole_form form);

void te_whole_free(te_whole *whole);

#endif
