/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Units, and what every text from a file goes through: trimmed, compared, made safe to show. */
#include "fuzz.h"

#include <math.h>
#include <string.h>

#include "topend/text.h"
#include "topend/unit.h"

static void look_at_unit(te_slice text)
{
    te_unit unit = te_unit_find(text);
    if (unit == TE_UNIT_OWN) {
        return;
    }
    double mm = te_unit_to_mm(1.0, unit);
    MUST(mm == 1.0 || mm == 0.001 || mm == 25.4 || mm == 0.0254);
    MUST(te_unit_is_inch(unit) == (mm == 25.4 || mm == 0.0254));
    MUST(text.length == 0 || (text.length >= 2 && text.length <= 4));
}

/* No control character, no bidirectional one, nothing that is not UTF-8. */
static void look_at_safe(const char *text, size_t length)
{
    for (size_t i = 0; i < length;) {
        uint32_t code = 0;
        size_t size = te_utf8_decode(&code, text + i, length - i);
        MUST(size > 0);
        MUST(code >= 0x20 && !(code >= 0x7f && code <= 0x9f));
        MUST(!(code >= 0x202a && code <= 0x202e) && !(code >= 0x2066 && code <= 0x2069));
        i += size;
    }
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    const te_slice whole = {(const char *)data, size};
    const te_slice text = te_text_trim(whole);
    const te_slice again = te_text_trim(text);
    MUST(text.length <= size);
    MUST(again.length == text.length && again.bytes == text.bytes);
    look_at_unit(text);
    char least[1];
    size_t needed = te_text_safe(least, sizeof least, text);
    char *safe = malloc(needed + 1);
    MUST(safe != NULL);
    MUST(te_text_safe(safe, needed + 1, text) == needed && strlen(safe) == needed);
    look_at_safe(safe, needed);
    /* What is safe stays as it is. */
    MUST(te_text_safe(least, sizeof least, (te_slice){safe, needed}) == needed);
    free(safe);
    return 0;
}
