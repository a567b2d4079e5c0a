/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Lines that are rows to see: no quote, no lone CR, no NUL. Nearly every row is such a line, and it is cut at its
 * delimiters where it stands: libcsv calls back for each cell, and its copy would be copied again, which takes
 * three times as long. What is not plain is left to libcsv; the two are held to each other by tests/csv_ways.h
 * and the fuzzers. */
#ifndef TOPEND_RECORD_PLAIN_LINE_H
#define TOPEND_RECORD_PLAIN_LINE_H

#include <stdbool.h>

#include "topend/text.h"

/* The bytes that mean something in a row: delimiter, quote, line ends and NUL. */
struct plain_marks {
    bool special[256];
    char delimiter;
};

void te_plain_marks(struct plain_marks *marks, char delimiter);

/* Cuts the line of `text` at `at` into trimmed cells, for which there is room for TE_CSV_COLUMNS_MOST. False: the
 * line is not plain, not whole, blank, or may be a comment. `next` receives the place behind it. */
bool te_plain_cut(te_slice *cells, size_t *count, size_t *next, te_slice text, size_t at,
                  const struct plain_marks *marks);

#endif
