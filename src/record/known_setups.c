/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "known_setups.h"

#include <stdlib.h>
#include <string.h>

#include "hash.h"

enum {
    KNOWN_MOST = 4096, /* more are no plan's: they would only take memory */
    SLOTS = 2 * KNOWN_MOST,
    LENGTH_BITS = 7,
    CELL_MOST = (1 << LENGTH_BITS) - 1 /* bytes of a cell that is kept */
};

struct known_setup {
    const te_setup *setup;
    uint32_t hash;
    uint32_t key;     /* offset into the keys */
    uint32_t next;    /* index + 1 of the one that was added after it: a plan repeats itself */
    uint64_t lengths; /* of its cells, see pack_lengths */
};

/* The lengths of the cells in one number, seven bits each; false: one is too long. */
static bool pack_lengths(uint64_t *lengths, const te_slice cells[TE_SETUP_CELLS])
{
    size_t all = 0;
    *lengths = 0;
    for (int i = 0; i < TE_SETUP_CELLS; i++) {
        *lengths = *lengths << LENGTH_BITS | (cells[i].length & CELL_MOST);
        all |= cells[i].length;
    }
    return all <= CELL_MOST;
}

/* The cells are as long as those of `one`: are they the same? */
static bool same_cells(const struct known_setups *known, const struct known_setup *one,
                       const te_slice cells[TE_SETUP_CELLS])
{
    const char *key = known->keys.items + one->key;
    for (int i = 0; i < TE_SETUP_CELLS; i++) {
        size_t length = cells[i].length;
        if (length > 0 && memcmp(key, cells[i].bytes, length) != 0) {
            return false;
        }
        key += length;
    }
    return true;
}

static uint32_t hash_of(const te_slice cells[TE_SETUP_CELLS])
{
    uint64_t hash = TE_HASH_START;
    for (int i = 0; i < TE_SETUP_CELLS; i++) {
        hash = te_hash_text(te_hash_text(hash, cells[i]), (te_slice){"\n", 1});
    }
    return (uint32_t)(hash ^ hash >> 32);
}

/* The slot that holds the cells, or the free one where they belong. */
static uint32_t *slot_of(const struct known_setups *known, const te_slice cells[TE_SETUP_CELLS],
                         uint64_t lengths, uint32_t hash)
{
    size_t at = hash % SLOTS;
    for (; known->slots[at] != 0; at = (at + 1) % SLOTS) {
        const struct known_setup *one = &known->items.items[known->slots[at] - 1];
        if (one->hash == hash && one->lengths == lengths && same_cells(known, one, cells)) {
            break;
        }
    }
    return &known->slots[at];
}

static bool is_one(const struct known_setups *known, uint32_t number, uint64_t lengths,
                   const te_slice cells[TE_SETUP_CELLS])
{
    const struct known_setup *one = &known->items.items[number - 1];
    return one->lengths == lengths && same_cells(known, one, cells);
}

/* The one after the last row's is tried first, then the last row's own: a repeat. */
static uint32_t guess(uint32_t last, const struct known_setups *known, uint64_t lengths,
                      const te_slice cells[TE_SETUP_CELLS])
{
    uint32_t next = last == 0 ? 0 : known->items.items[last - 1].next;
    if (next != 0 && is_one(known, next, lengths, cells)) {
        return next;
    }
    return last != 0 && is_one(known, last, lengths, cells) ? last : 0;
}

const te_setup *te_known_find(uint32_t *last, const struct known_setups *known,
                              const te_slice cells[TE_SETUP_CELLS])
{
    uint64_t lengths = 0;
    if (known->slots == NULL || !pack_lengths(&lengths, cells)) {
        return NULL;
    }
    uint32_t found = guess(*last, known, lengths, cells);
    if (found == 0) {
        found = *slot_of(known, cells, lengths, hash_of(cells));
    }
    *last = found != 0 ? found : *last;
    return found == 0 ? NULL : known->items.items[found - 1].setup;
}

bool te_known_add(struct known_setups *known, const te_slice cells[TE_SETUP_CELLS],
                  const te_setup *setup)
{
    struct known_setup one = {setup, hash_of(cells), (uint32_t)known->keys.count, 0, 0};
    if (known->items.count >= KNOWN_MOST || !pack_lengths(&one.lengths, cells)) {
        return true;
    }
    known->slots = known->slots == NULL ? calloc(SLOTS, sizeof *known->slots) : known->slots;
    bool room = known->slots != NULL && VECTOR_ROOM(&known->items) &&
                te_vector_reserve(&known->keys.items, &known->keys.capacity,
                                  known->keys.count + TE_SETUP_CELLS * CELL_MOST, 1);
    if (!room) {
        return false;
    }
    uint32_t *slot = slot_of(known, cells, one.lengths, one.hash);
    for (int i = 0; i < TE_SETUP_CELLS; i++) {
        memcpy(known->keys.items + known->keys.count, cells[i].bytes, cells[i].length);
        known->keys.count += cells[i].length;
    }
    if (known->items.count > 0) {
        known->items.items[known->items.count - 1].next = (uint32_t)known->items.count + 1;
    }
    known->items.items[known->items.count++] = one;
    *slot = (uint32_t)known->items.count;
    return true;
}

void te_known_free(struct known_setups *known)
{
    free(known->items.items);
    free(known->keys.items);
    free(known->slots);
    *known = (struct known_setups){.slots = NULL};
}
