/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "topend/text.h"

#include <stdio.h>
#include <string.h>

static size_t sequence_length(unsigned char lead)
{
    if (lead < 0x80) {
        return 1;
    }
    if (lead >= 0xc2 && lead <= 0xdf) {
        return 2;
    }
    if (lead >= 0xe0 && lead <= 0xef) {
        return 3;
    }
    return lead >= 0xf0 && lead <= 0xf4 ? 4 : 0;
}

size_t te_utf8_decode(uint32_t *code, const char *text, size_t length)
{
    static const uint32_t least[5] = {0, 0, 0x80, 0x800, 0x10000};
    unsigned char lead = (unsigned char)text[0];
    size_t size = sequence_length(lead);
    if (size == 0 || size > length) {
        return 0;
    }
    uint32_t value = size == 1 ? lead : lead & (0x7fU >> size);
    for (size_t i = 1; i < size; i++) {
        unsigned char next = (unsigned char)text[i];
        if ((next & 0xc0) != 0x80) {
            return 0;
        }
        value = value << 6 | (next & 0x3f);
    }
    bool surrogate = value >= 0xd800 && value <= 0xdfff;
    if (value < least[size] || surrogate || value > 0x10ffff) {
        return 0;
    }
    *code = value;
    return size;
}

static bool is_blank_code(uint32_t code)
{
    return code == ' ' || (code >= '\t' && code <= '\r') || code == 0xa0 || code == 0x2007 ||
           code == 0x202f || code == 0xfeff;
}

/* The length of the blank at the end of a text, 0 when it ends otherwise. */
static size_t blank_at_end(te_slice text)
{
    for (size_t size = 1; size <= 3 && size <= text.length; size++) {
        uint32_t code = 0;
        const char *at = text.bytes + text.length - size;
        if (te_utf8_decode(&code, at, size) == size) {
            return is_blank_code(code) ? size : 0;
        }
    }
    return 0;
}

te_slice te_text_trim(te_slice text)
{
    while (text.length > 0) {
        uint32_t code = 0;
        size_t size = te_utf8_decode(&code, text.bytes, text.length);
        if (size == 0 || !is_blank_code(code)) {
            break;
        }
        text.bytes += size;
        text.length -= size;
    }
    for (size_t size = 1; text.length > 0 && size > 0;) {
        size = blank_at_end(text);
        text.length -= size;
    }
    return text;
}

/* Two-byte letters only, so that the length stays; dotted capital I (U+0130) is left alone, it has
 * no one-letter lower case outside Turkish. */
static uint32_t fold_code(uint32_t code)
{
    static const struct {
        uint32_t first, last, lower; /* the small letter of the first */
    } blocks[] = {
        {0xc0, 0xd6, 0xe0},    {0xd8, 0xde, 0xf8},    {0x178, 0x178, 0xff},  {0x386, 0x386, 0x3ac},
        {0x388, 0x38a, 0x3ad}, {0x38c, 0x38c, 0x3cc}, {0x38e, 0x38f, 0x3cd}, {0x391, 0x3a1, 0x3b1},
        {0x3a3, 0x3ab, 0x3c3}, {0x400, 0x40f, 0x450}, {0x410, 0x42f, 0x430}, {0x4c0, 0x4c0, 0x4cf},
    };
    for (size_t i = 0; i < sizeof blocks / sizeof *blocks; i++) {
        if (code >= blocks[i].first && code <= blocks[i].last) {
            return blocks[i].lower + (code - blocks[i].first);
        }
    }
    /* Elsewhere capital and small letter take turns. */
    bool even_upper = (code >= 0x100 && code <= 0x12e) || (code >= 0x132 && code <= 0x136) ||
                      (code >= 0x14a && code <= 0x176) || (code >= 0x460 && code <= 0x480) ||
                      (code >= 0x48a && code <= 0x4be) || (code >= 0x4d0 && code <= 0x52e);
    bool odd_upper = (code >= 0x139 && code <= 0x147) || (code >= 0x179 && code <= 0x17d) ||
                     (code >= 0x4c1 && code <= 0x4cd);
    bool upper = (even_upper && code % 2 == 0) || (odd_upper && code % 2 == 1);
    return upper ? code + 1 : code;
}

void te_text_fold(char *text, size_t length)
{
    for (size_t i = 0; i < length;) {
        uint32_t code = 0;
        size_t size = te_utf8_decode(&code, text + i, length - i);
        if (size == 1 && text[i] >= 'A' && text[i] <= 'Z') {
            text[i] = (char)(text[i] + ('a' - 'A'));
        } else if (size == 2) {
            uint32_t folded = fold_code(code);
            text[i] = (char)(0xc0 | folded >> 6);
            text[i + 1] = (char)(0x80 | (folded & 0x3f));
        }
        i += size == 0 ? 1 : size;
    }
}

bool te_text_same_word(te_slice a, const char *b)
{
    for (size_t i = 0; i < a.length; i++) {
        char ca = a.bytes[i];
        char cb = b[i];
        ca = (char)(ca >= 'A' && ca <= 'Z' ? ca + ('a' - 'A') : ca);
        cb = (char)(cb >= 'A' && cb <= 'Z' ? cb + ('a' - 'A') : cb);
        if (ca != cb || cb == '\0') {
            return false;
        }
    }
    return b[a.length] == '\0';
}

static size_t least_of(size_t a, size_t b)
{
    return a < b ? a : b;
}

/* Copies a text with one byte for each character; false when it is longer than that. */
static bool copy_characters(char *out, size_t *count, size_t most, const char *text)
{
    *count = 0;
    for (; *text != '\0'; text++) {
        bool goes_on = ((unsigned char)*text & 0xc0U) == 0x80;
        if (!goes_on && *count == most) {
            return false;
        }
        if (!goes_on) {
            out[(*count)++] = *text;
        }
    }
    return true;
}

size_t te_text_distance(const char *first, const char *second)
{
    enum { LONGEST = 63 };
    char a[LONGEST];
    char b[LONGEST];
    size_t m = 0;
    size_t n = 0;
    size_t row[3][LONGEST + 1];
    if (!copy_characters(a, &m, LONGEST, first) || !copy_characters(b, &n, LONGEST, second)) {
        return SIZE_MAX;
    }
    for (size_t j = 0; j <= n; j++) {
        row[0][j] = j;
    }
    for (size_t i = 1; i <= m; i++) {
        size_t *now = row[i % 3];
        const size_t *last = row[(i + 2) % 3];
        const size_t *before = row[(i + 1) % 3];
        now[0] = i;
        for (size_t j = 1; j <= n; j++) {
            now[j] = least_of(last[j - 1] + (a[i - 1] != b[j - 1]),
                              least_of(last[j], now[j - 1]) + 1);
            bool swapped = i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1];
            if (swapped) {
                now[j] = least_of(now[j], before[j - 2] + 1);
            }
        }
    }
    return row[m % 3][n];
}

static bool is_unsafe_code(uint32_t code)
{
    return code < 0x20 || (code >= 0x7f && code <= 0x9f) || code == 0x61c || code == 0x200e ||
           code == 0x200f || (code >= 0x2028 && code <= 0x202e) ||
           (code >= 0x2066 && code <= 0x2069) || code == 0xfeff ||
           (code >= 0xe0000 && code <= 0xe007f);
}

/* How many bytes from one on are printable ASCII, which nearly all text is: they are safe, and a
 * column each. */
static size_t plain_run(te_slice text, size_t from)
{
    size_t at = from;
    while (at < text.length && text.bytes[at] >= ' ' && text.bytes[at] <= '~') {
        at++;
    }
    return at - from;
}

size_t te_text_safe(char *out, size_t size, te_slice text)
{
    size_t total = 0;
    size_t kept = 0;
    bool room = true;
    for (size_t i = 0; i < text.length;) {
        size_t run = plain_run(text, i);
        if (run > 0) {
            size_t fits = !room ? 0 : run < size - kept ? run : size - 1 - kept;
            memcpy(out + kept, text.bytes + i, fits);
            kept += fits;
            room = fits == run;
            total += run;
            i += run;
            continue;
        }
        uint32_t code = 0;
        char escape[16];
        size_t step = te_utf8_decode(&code, text.bytes + i, text.length - i);
        const char *piece = text.bytes + i;
        size_t length = step;
        if (step == 0 || is_unsafe_code(code)) {
            unsigned byte = (unsigned char)text.bytes[i];
            int written = step <= 1 ? snprintf(escape, sizeof escape, "\\x%02X", byte)
                                    : snprintf(escape, sizeof escape, "\\u{%04X}", (unsigned)code);
            piece = escape;
            length = (size_t)written;
        }
        room = room && kept + length < size;
        if (room) {
            memcpy(out + kept, piece, length);
            kept += length;
        }
        total += length;
        i += step == 0 ? 1 : step;
    }
    out[kept] = '\0';
    return total;
}

static size_t code_width(uint32_t code)
{
    bool combining = (code >= 0x300 && code <= 0x36f) || (code >= 0x200b && code <= 0x200d) ||
                     (code >= 0x20d0 && code <= 0x20ff) || (code >= 0xfe00 && code <= 0xfe0f);
    bool wide = (code >= 0x1100 && code <= 0x115f) || (code >= 0x2e80 && code <= 0xa4cf) ||
                (code >= 0xac00 && code <= 0xd7a3) || (code >= 0xf900 && code <= 0xfaff) ||
                (code >= 0xfe30 && code <= 0xfe6f) || (code >= 0xff00 && code <= 0xff60) ||
                (code >= 0x1f300 && code <= 0x1f9ff) || (code >= 0x20000 && code <= 0x3fffd);
    return combining ? 0 : wide ? 2 : 1;
}

size_t te_text_width(te_slice text)
{
    size_t width = 0;
    for (size_t i = 0; i < text.length;) {
        size_t run = plain_run(text, i);
        if (run > 0) {
            width += run;
            i += run;
            continue;
        }
        uint32_t code = 0;
        size_t size = te_utf8_decode(&code, text.bytes + i, text.length - i);
        width += size == 0 ? 1 : code_width(code);
        i += size == 0 ? 1 : size;
    }
    return width;
}
