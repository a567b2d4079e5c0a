/* SPDX-License-Identifier: GPL-3.0-or-later */
/* SHA-256 digests of the very bytes that a shop is read from. */
#include "digests.h"

#include <sha2.h>
#include <stdlib.h>
#include <string.h>

/* A digest under way. */
struct one {
    char *name;
    SHA2_CTX state;
};

/* Makes room for one more digest; false when memory is out. */
static bool grow(struct digests *digests)
{
    if (digests->count < digests->capacity) {
        return true;
    }
    size_t capacity = digests->capacity == 0 ? 16 : 2 * digests->capacity;
    struct one *items = realloc(digests->items, capacity * sizeof *items);
    if (items == NULL) {
        return false;
    }
    digests->items = items;
    digests->capacity = capacity;
    return true;
}

static struct one *begin(struct digests *digests, const char *name)
{
    if (!grow(digests)) {
        return NULL;
    }
    char *own_name = strdup(name);
    if (own_name == NULL) {
        return NULL;
    }
    struct one *one = &digests->items[digests->count++];
    one->name = own_name;
    SHA256Init(&one->state);
    return one;
}

void digests_see(void *context, const char *name, const char *bytes, size_t length)
{
    struct digests *digests = context;
    size_t count = digests->count;
    bool goes_on = count > 0 && strcmp(digests->items[count - 1].name, name) == 0;
    struct one *last = goes_on ? &digests->items[count - 1] : begin(digests, name);
    if (last == NULL) {
        digests->failed = true;
    } else if (length > 0) {
        SHA256Update(&last->state, (const uint8_t *)bytes, length);
    }
}

bool digests_finish(te_digest **list, struct digests *digests)
{
    te_digest *made = calloc(digests->count + 1, sizeof *made);
    *list = NULL;
    if (made == NULL || digests->failed) {
        free(made);
        return false;
    }
    for (size_t i = 0; i < digests->count; i++) {
        SHA2_CTX state = digests->items[i].state;
        made[i].file = digests->items[i].name;
        (void)SHA256End(&state, made[i].sha256);
    }
    *list = made;
    return true;
}

void digests_free(struct digests *digests)
{
    for (size_t i = 0; i < digests->count; i++) {
        free(digests->items[i].name);
    }
    free(digests->items);
    *digests = (struct digests){0};
}
