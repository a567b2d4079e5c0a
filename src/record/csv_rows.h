/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Rows of a CSV text, by libcsv, with the line numbers that libcsv does not keep. */
#ifndef TOPEND_RECORD_CSV_ROWS_H
#define TOPEND_RECORD_CSV_ROWS_H

#include <stdbool.h>
#include <stdint.h>

#include "stream.h"
#include "topend/status.h"
#include "topend/text.h"

enum {
    TE_CSV_CELL_MOST = 64 * 1024, /* bytes in a cell */
    TE_CSV_COLUMNS_MOST = 1000
};

enum te_csv_fault {
    TE_CSV_STRAY_QUOTE, /* a quote inside an unquoted cell, or text after a closing quote */
    TE_CSV_OPEN_QUOTE,  /* no closing quote before the end of the text */
    TE_CSV_SWALLOWED,   /* a quoted cell that looks like rows */
    TE_CSV_CELL_TOO_LONG,
    TE_CSV_TOO_MANY_COLUMNS,
    TE_CSV_NUL
};

/* Called in order of the lines. Cells are trimmed and valid during the call only.
 * `row` returns TE_OK to go on; anything else ends the reading with that status. */
struct te_csv_sink {
    te_status (*row)(void *context, const te_slice *cells, size_t count, uint32_t line);
    void (*fault)(void *context, enum te_csv_fault fault, uint32_t line);
    void (*comment)(void *context, te_slice text, uint32_t line); /* NULL: comments are not told */
    /* Takes plain lines (plain_line.h) in bulk: called between rows, moves on behind the lines that it took. It
     * need not take any. NULL: all lines go to `row`. Ends the reading as that does. */
    te_status (*lines)(void *context, const struct te_stream *stream, size_t *at, uint32_t *line);
    void *context;
    const bool *narrow; /* the file has four columns at most: two delimiters look like a row */
    bool by_libcsv;     /* every row by libcsv: what the short way is held to by the tests */
};

/* Reads the rows of `text` from line `first_line` on. After a fault the reading goes on with the
 * line after the one on which the faulty row began, so that every row of trouble is told in one
 * run; after 50 faults it ends. */
te_status te_csv_read(const struct te_csv_sink *sink, te_slice text, char delimiter,
                      uint32_t first_line);

/* The same of a text of any length, from byte `start` of its first window on. No more of it is held than a
 * window, or a row where one is longer. Also TE_ERR_IO and TE_ERR_DATA, as the stream's status. */
te_status te_csv_read_stream(const struct te_csv_sink *sink, struct te_stream *stream, size_t start,
                             char delimiter, uint32_t first_line);

/* The next physical line of `text` at `*at`, its end (LF, CRLF or lone CR) included;
 * moves `*at` behind it. */
te_slice te_csv_line(te_slice text, size_t *at);

/* A line without its end. */
te_slice te_csv_line_body(te_slice line);

/* True when a row that begins with this line is a comment: `#` alone in its first cell or `#` and
 * a space. A quoted comment is told by its first cell instead. */
bool te_csv_is_comment(te_slice line, char delimiter);

#endif
