/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What is to be minded, in sentences: one a line, safe to show, without an end at the last. Texts
 * and documents lay them out. */
#ifndef TOPEND_REPORT_NOTES_H
#define TOPEND_REPORT_NOTES_H

#include "put.h"
#include "topend/wear.h"

/* Begins the next line of a text of lines. */
void te_notes_next(te_buffer *lines);

/* The line that begins at `*at`, without its end; moves `*at` to the next. False at the end. */
bool te_notes_take(te_slice *line, const te_buffer *lines, size_t *at);

/* Lines in one, with `; ` between them. */
void te_notes_join(te_buffer *buffer, const te_buffer *lines);

/* Lines as the entries of a list. */
void te_put_notes(te_buffer *buffer, const te_buffer *lines, size_t width);

/* ---- of an assessment ---- */

/* The ovals fitted to the bore. */
void te_notes_shape(te_buffer *lines, const te_assessment *assessment);

/* The conditions recorded. */
void te_notes_condition(te_buffer *lines, const te_shop *shop, const te_assessment *assessment);

/* What the figures rest on without its having been measured. */
void te_notes_assumed(te_buffer *lines, const te_shop *shop, const te_assessment *assessment);

/* The cautions, from 0; NULL after the last. */
const char *te_caution(size_t at);

/* ---- of wear ---- */

/* What to mind about a series. */
void te_notes_series(te_buffer *lines, const te_shop *shop, const te_history *history,
                     const te_series *series);

/* When an engine is due, by what, and what that does not cover: the first line is the answer. */
void te_notes_due(te_buffer *lines, const te_shop *shop, const te_due *due);

/* Where a build differs from the one before by more than chance explains. */
void te_notes_builds(te_buffer *lines, const te_shop *shop, const te_history *history,
                     const te_builds *builds);

/* What the tests of builds leave open: that none differs, and how many could not be tested. */
void te_notes_no_build(te_buffer *lines, const te_builds *builds);

#endif
