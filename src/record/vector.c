/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "vector.h"

#include <stdint.h>
#include <stdlib.h>
#include <string.h>

bool te_vector_reserve(void *items, size_t *capacity, size_t needed, size_t size)
{
    if (needed <= *capacity) {
        return true;
    }
    size_t wanted = *capacity < 8 ? 8 : *capacity * 2;
    if (wanted < needed) {
        wanted = needed;
    }
    if (wanted > SIZE_MAX / size) {
        return false;
    }
    /* The caller's pointer has some object type: it is copied as bytes, not punned. */
    void *old = NULL;
    memcpy(&old, items, sizeof old);
    void *grown = realloc(old, wanted * size);
    if (grown == NULL) {
        return false;
    }
    memcpy(items, &grown, sizeof grown);
    *capacity = wanted;
    return true;
}
