/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Growing arrays.  Capacity doubles, so adding a row costs no allocation of its own. */
#ifndef TOPEND_RECORD_VECTOR_H
#define TOPEND_RECORD_VECTOR_H

#include <stdbool.h>
#include <stddef.h>

/* An array of T; all zero is an empty one. */
#define VECTOR(T)        \
    struct {             \
        T *items;        \
        size_t count;    \
        size_t capacity; \
    }

/* Makes room for `needed` items of `size` bytes; false leaves the array as it was. */
bool te_vector_reserve(void *items, size_t *capacity, size_t needed, size_t size);

/* Room for one more item at the end; the item is not written. */
#define VECTOR_ROOM(v) \
    te_vector_reserve(&(v)->items, &(v)->capacity, (v)->count + 1, sizeof *(v)->items)

#endif
