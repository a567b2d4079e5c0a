/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The setups of a file's rows by their cells as written. Rows of one plan repeat some tens of setups: the cells
 * are read as numbers and words when they are met for the first time, and compared after that. */
#ifndef TOPEND_RECORD_KNOWN_SETUPS_H
#define TOPEND_RECORD_KNOWN_SETUPS_H

#include "topend/shop.h"
#include "vector.h"

enum { TE_SETUP_CELLS = 9 };

struct known_setup;

struct known_setups {
    VECTOR(struct known_setup) items;
    VECTOR(char) keys; /* the cells of each, one after the other */
    uint32_t *slots;   /* open addressing; 0 is free, else index + 1 */
};

/* The setup that was added for the same cells; NULL: none. `last` is 0 at first and tells the next call what was
 * found. Any number of threads may look, each with a `last` of its own. */
const te_setup *te_known_find(uint32_t *last, const struct known_setups *known,
                              const te_slice cells[TE_SETUP_CELLS]);

/* Adds one, of a row without a problem, unless there are very many; false when out of memory. */
bool te_known_add(struct known_setups *known, const te_slice cells[TE_SETUP_CELLS],
                  const te_setup *setup);

void te_known_free(struct known_setups *known);

#endif
