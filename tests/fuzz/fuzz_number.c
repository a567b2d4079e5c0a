/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Numbers: what is read is the double that the C library reads, and comes back from what is written. */
#include "fuzz.h"

#include <math.h>
#include <string.h>

#include "topend/number.h"

/* The number as strtod spells it: a point, a plain minus. False when it is too long. */
static bool spell(char *out, size_t capacity, te_slice text)
{
    size_t used = 0;
    for (size_t i = 0; i < text.length; i++) {
        bool minus = i + 3 <= text.length && memcmp(text.bytes + i, "\xe2\x88\x92", 3) == 0;
        if (used + 1 >= capacity) {
            return false;
        }
        out[used++] = (char)(minus ? '-' : text.bytes[i] == ',' ? '.' : text.bytes[i]);
        i += minus ? 2 : 0;
    }
    out[used] = '\0';
    return true;
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    const te_slice text = {(const char *)data, size};
    char spelt[256];
    char written[TE_NUMBER_SIZE];
    te_number number;
    te_number again;
    if (te_number_parse(&number, text) != TE_NUMBER_GOOD) {
        return 0;
    }
    MUST(isfinite(number.value));
    if (spell(spelt, sizeof spelt, text)) {
        char *end = NULL;
        double expected = strtod(spelt, &end); /* no locale is set: a point */
        MUST(*end == '\0');
        MUST(!(number.value < expected) && !(number.value > expected));
    }
    size_t length = te_number_format(written, number.value, 15);
    MUST(length > 0 && length < sizeof written && strlen(written) == length);
    MUST(strtod(written, NULL) == number.value || number.decimals > 0 || number.exponent != 0);
    if (te_number_parse(&again, (te_slice){written, length}) == TE_NUMBER_GOOD) {
        MUST(!(again.value < number.value) && !(again.value > number.value));
    }
    if (fabs(number.value) < 1e15) {
        char fixed[TE_FIXED_SIZE];
        length = te_number_fixed(fixed, number.value, 4);
        MUST(length < sizeof fixed && strlen(fixed) == length);
        MUST(fabs(strtod(fixed, NULL) - number.value) <= 0.5001e-4 + fabs(number.value) * 1e-15);
    }
    return 0;
}
