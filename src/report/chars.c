/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "chars.h"

#include <string.h>

#include "record/vector.h"
#include "topend/text.h"

uint32_t te_chars_add(char **chars, size_t *count, size_t *capacity, bool *failed, const char *text)
{
    char none[1];
    te_slice slice = {text, strlen(text)};
    size_t length = te_text_safe(none, sizeof none, slice);
    size_t start = *count == 0 ? 1 : *count; /* the empty text stands at 0 */
    if (*failed || length == 0) {
        return 0;
    }
    if (length > UINT32_MAX - start - 1 ||
        !te_vector_reserve(chars, capacity, start + length + 1, 1)) {
        *failed = true;
        return 0;
    }
    (*chars)[0] = '\0';
    (void)te_text_safe(*chars + start, length + 1, slice);
    *count = start + length + 1;
    return (uint32_t)start;
}
