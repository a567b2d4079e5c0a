/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Readings in bulk: rows that are plain to see and hold nothing new are read without going cell by cell through
 * all that could be wrong with them, by several threads where there are many. A row is left to the long way, which
 * knows what to say, unless all of it is clear: the inspection is known; its feature, place and gauge stand the
 * same in a good row before it; the values are numbers in range. So every message, and every new name, comes
 * from the long way alone, and in the order of the rows. */
#ifndef TOPEND_RECORD_PLAIN_ROWS_H
#define TOPEND_RECORD_PLAIN_ROWS_H

#include "table.h"

/* For one file. NULL when out of memory. */
struct plain_rows *te_plain_rows_new(unsigned threads, char delimiter);

/* Readings that were taken stand in the shop's list only now. NULL is nothing. */
void te_plain_rows_end(struct plain_rows *plain);

/* Takes rows from the window at `*at` on, up to the first that is not clear: gives their readings a place in the
 * shop's list and moves `*at` and `*line` behind them. TE_ERR_MEMORY. */
te_status te_plain_rows_take(struct plain_rows *plain, struct te_table *table,
                             const struct te_stream *stream, size_t *at, uint32_t *line);

#endif
