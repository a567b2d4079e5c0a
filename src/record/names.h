/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Interned texts: one copy of each, named by a number. */
#ifndef TOPEND_RECORD_NAMES_H
#define TOPEND_RECORD_NAMES_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "topend/text.h"

/* Where a text is looked for. The hash tells most texts apart without a look at them. */
struct name_slot {
    uint32_t held; /* id + 1; 0: free */
    uint32_t hash;
};

struct names {
    char *bytes; /* every text, terminated, one after the other */
    size_t used, capacity;
    uint32_t *offsets; /* by id */
    size_t count, offset_capacity;
    struct name_slot *slots; /* open addressing, a power of two */
    size_t slot_count;
};

/* Makes the table with the empty text as id 0. */
bool te_names_init(struct names *names);
void te_names_free(struct names *names);

/* The id of a text, made when new; false when out of memory. */
bool te_names_intern(uint32_t *id, struct names *names, te_slice text);

/* The id of a text or 0. */
uint32_t te_names_find(const struct names *names, te_slice text);

static inline const char *te_names_text(const struct names *names, uint32_t id)
{
    return names->bytes + names->offsets[id];
}

#endif
