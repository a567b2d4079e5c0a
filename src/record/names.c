/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "names.h"

#include <stdlib.h>
#include <string.h>

#include "hash.h"
#include "vector.h"

enum { FIRST_SLOTS = 256 };

static uint32_t hash_of(te_slice text)
{
    uint64_t hash = te_hash_text(TE_HASH_START, text);
    return (uint32_t)(hash ^ hash >> 32);
}

/* The slot that holds the text, or the free one where it belongs. */
static struct name_slot *slot_of(const struct names *names, te_slice text, uint32_t hash)
{
    size_t mask = names->slot_count - 1;
    size_t at = hash & mask;
    for (; names->slots[at].held != 0; at = (at + 1) & mask) {
        if (names->slots[at].hash != hash) {
            continue;
        }
        const char *held = te_names_text(names, names->slots[at].held - 1);
        if (strncmp(held, text.bytes, text.length) == 0 && held[text.length] == '\0') {
            break;
        }
    }
    return &names->slots[at];
}

void te_names_free(struct names *names)
{
    free(names->bytes);
    free(names->offsets);
    free(names->slots);
    *names = (struct names){0};
}

static bool grow_slots(struct names *names)
{
    size_t count = names->slot_count * 2;
    struct name_slot *wider = calloc(count, sizeof *wider);
    if (wider == NULL) {
        return false;
    }
    for (size_t i = 0; i < names->slot_count; i++) {
        size_t at = names->slots[i].hash & (count - 1);
        if (names->slots[i].held == 0) {
            continue;
        }
        while (wider[at].held != 0) {
            at = (at + 1) & (count - 1);
        }
        wider[at] = names->slots[i];
    }
    free(names->slots);
    names->slots = wider;
    names->slot_count = count;
    return true;
}

static bool append_text(struct names *names, te_slice text)
{
    if (names->used + text.length + 1 > UINT32_MAX ||
        !te_vector_reserve(&names->bytes, &names->capacity, names->used + text.length + 1, 1) ||
        !te_vector_reserve(&names->offsets, &names->offset_capacity, names->count + 1,
                           sizeof *names->offsets)) {
        return false;
    }
    names->offsets[names->count++] = (uint32_t)names->used;
    memcpy(names->bytes + names->used, text.bytes, text.length);
    names->used += text.length;
    names->bytes[names->used++] = '\0';
    return true;
}

bool te_names_init(struct names *names)
{
    *names = (struct names){0};
    names->slots = calloc(FIRST_SLOTS, sizeof *names->slots);
    names->slot_count = FIRST_SLOTS;
    return names->slots != NULL && append_text(names, (te_slice){"", 0});
}

bool te_names_intern(uint32_t *id, struct names *names, te_slice text)
{
    if (text.length == 0) {
        *id = 0;
        return true;
    }
    if (names->count * 2 >= names->slot_count && !grow_slots(names)) {
        return false;
    }
    uint32_t hash = hash_of(text);
    struct name_slot *slot = slot_of(names, text, hash);
    if (slot->held == 0) {
        if (!append_text(names, text)) {
            return false;
        }
        *slot = (struct name_slot){(uint32_t)names->count, hash};
    }
    *id = slot->held - 1;
    return true;
}

uint32_t te_names_find(const struct names *names, te_slice text)
{
    uint32_t held = text.length == 0 ? 0 : slot_of(names, text, hash_of(text))->held;
    return held == 0 ? 0 : held - 1;
}
