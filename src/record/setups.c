/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "setups.h"

#include <stdlib.h>

#include "hash.h"

enum {
    BLOCK_SETUPS = 64,
    FIRST_SLOTS = 64,
    WORDS = 10 /* numbers of a setup */
};

static void take_words(uint64_t words[WORDS], const te_setup *s)
{
    const uint64_t all[WORDS] = {
        te_hash_bits(s->no_go),
        te_hash_bits(s->zero),
        te_hash_bits(s->position),
        te_hash_bits(s->direction),
        s->feature,
        s->item,
        s->instrument,
        s->unit,
        s->unit_text,
        s->note,
    };
    memcpy(words, all, sizeof all);
}

static uint64_t hash_of(const te_setup *setup)
{
    uint64_t hash = 0;
    uint64_t words[WORDS];
    take_words(words, setup);
    for (size_t i = 0; i < WORDS; i++) {
        hash = te_hash_mix(hash, words[i]);
    }
    return hash;
}

static bool same_setup(const te_setup *a, const te_setup *b)
{
    uint64_t left[WORDS];
    uint64_t right[WORDS];
    take_words(left, a);
    take_words(right, b);
    return memcmp(left, right, sizeof left) == 0;
}

/* The slot that holds the setup, or the free one where it belongs. */
static struct held_setup **slot_of(const struct setups *setups, const te_setup *setup,
                                   uint64_t hash)
{
    size_t mask = setups->slot_count - 1;
    size_t at = (size_t)hash & mask;
    for (; setups->slots[at] != NULL; at = (at + 1) & mask) {
        const struct held_setup *held = setups->slots[at];
        if (held->hash == hash && same_setup(&held->setup, setup)) {
            break;
        }
    }
    return &setups->slots[at];
}

static bool grow_slots(struct setups *setups)
{
    size_t count = setups->slot_count == 0 ? FIRST_SLOTS : 2 * setups->slot_count;
    struct held_setup **wider = calloc(count, sizeof *wider);
    if (wider == NULL) {
        return false;
    }
    free(setups->slots);
    setups->slots = wider;
    setups->slot_count = count;
    for (size_t i = 0; i < setups->count; i++) {
        struct held_setup *held = te_setups_at(setups, i);
        *slot_of(setups, &held->setup, held->hash) = held;
    }
    return true;
}

struct held_setup *te_setups_at(const struct setups *setups, size_t n)
{
    return &setups->blocks.items[n / BLOCK_SETUPS][n % BLOCK_SETUPS];
}

const te_setup *te_setups_intern(struct setups *setups, const te_setup *setup)
{
    uint64_t hash = hash_of(setup);
    if (setups->count * 2 >= setups->slot_count && !grow_slots(setups)) {
        return NULL;
    }
    struct held_setup **slot = slot_of(setups, setup, hash);
    if (*slot != NULL) {
        return &(*slot)->setup;
    }
    if (setups->count == BLOCK_SETUPS * setups->blocks.count) {
        struct held_setup *block = VECTOR_ROOM(&setups->blocks)
                                       ? calloc(BLOCK_SETUPS, sizeof *block)
                                       : NULL;
        if (block == NULL) {
            return NULL;
        }
        setups->blocks.items[setups->blocks.count++] = block;
    }
    *slot = te_setups_at(setups, setups->count++);
    **slot = (struct held_setup){
        .setup = *setup, .hash = hash, .traits = te_quantity_info_of(setup->feature)->traits};
    return &(*slot)->setup;
}

void te_setups_free(struct setups *setups)
{
    for (size_t i = 0; i < setups->blocks.count; i++) {
        free(setups->blocks.items[i]);
    }
    free(setups->blocks.items);
    free(setups->slots);
    *setups = (struct setups){.count = 0};
}
