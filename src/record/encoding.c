/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "encoding.h"

#include <errno.h>
#include <iconv.h>
#include <stdbool.h>
#include <stdlib.h>
#include <string.h>

/* UTF-8 takes at most three bytes for a byte of Windows-1252 and for two of UTF-16. */
enum { WIDEST = 3 };

static const char utf8_mark[] = "\xef\xbb\xbf";

/* How many bytes from one on are ASCII, by the block as far as that goes. */
static size_t ascii_run(te_slice bytes, size_t from)
{
    enum { WORDS = 8 };
    const uint64_t high_bits = 0x8080808080808080U;
    size_t at = from;
    uint64_t block[WORDS];
    for (; at + sizeof block <= bytes.length; at += sizeof block) {
        uint64_t all = 0;
        memcpy(block, bytes.bytes + at, sizeof block);
        for (int i = 0; i < WORDS; i++) {
            all |= block[i];
        }
        if ((all & high_bits) != 0) {
            break;
        }
    }
    while (at < bytes.length && (unsigned char)bytes.bytes[at] < 0x80) {
        at++;
    }
    return at - from;
}

size_t te_utf8_sound(te_slice bytes)
{
    size_t at = 0;
    while (at < bytes.length) {
        uint32_t code = 0;
        size_t plain = ascii_run(bytes, at);
        if (plain > 0) {
            at += plain;
            continue;
        }
        size_t size = te_utf8_decode(&code, bytes.bytes + at, bytes.length - at);
        if (size == 0) {
            break;
        }
        at += size;
    }
    return at;
}

static size_t line_at(const char *bytes, size_t offset)
{
    size_t line = 1;
    for (size_t i = 0; i < offset; i++) {
        bool pair = i + 1 < offset && bytes[i + 1] == '\n';
        bool end = bytes[i] == '\n' || (bytes[i] == '\r' && !pair);
        line += end;
    }
    return line;
}

static te_status convert(te_slice *text, char **owned, size_t *bad_line, te_slice bytes,
                         const char *from)
{
    te_status status = TE_OK;
    iconv_t converter = iconv_open("UTF-8", from);
    if (converter == (iconv_t)-1) { /* GCOVR_EXCL_BR_LINE: within the C library, see tests/faults */
        return errno == ENOMEM ? TE_ERR_MEMORY : TE_ERR_DATA; /* GCOVR_EXCL_BR_LINE: likewise */
    }
    size_t room = bytes.length * WIDEST + 1;
    char *out = malloc(room);
    if (out == NULL) {
        status = TE_ERR_MEMORY;
        goto done;
    }
    char *in = (char *)(uintptr_t)bytes.bytes; /* iconv takes it without const and only reads */
    char *end = out;
    size_t left = bytes.length;
    if (iconv(converter, &in, &left, &end, &room) == (size_t)-1) {
        *bad_line = line_at(out, (size_t)(end - out));
        status = TE_ERR_DATA;
        goto done;
    }
    *text = (te_slice){out, (size_t)(end - out)};
    /* glibc on s390x lets half of a surrogate pair through. */
    size_t sound = te_utf8_sound(*text);
    if (sound < text->length) { /* GCOVR_EXCL_BR_LINE: there alone */
        *bad_line = line_at(out, sound);
        *text = bytes;
        status = TE_ERR_DATA;
        goto done;
    }
    *owned = out;
    out = NULL;
done:
    free(out);
    iconv_close(converter);
    return status;
}

te_slice te_text_without_marks(te_slice text)
{
    while (text.length >= 3 && memcmp(text.bytes, utf8_mark, 3) == 0) {
        text.bytes += 3;
        text.length -= 3;
    }
    return text;
}

te_status te_decode(te_slice *text, char **owned, enum te_encoding *encoding, size_t *bad_line,
                    te_slice bytes)
{
    bool little = bytes.length >= 2 && memcmp(bytes.bytes, "\xff\xfe", 2) == 0;
    bool big = bytes.length >= 2 && memcmp(bytes.bytes, "\xfe\xff", 2) == 0;
    te_status status = TE_OK;
    *text = bytes;
    *owned = NULL;
    *bad_line = 0;
    *encoding = TE_ENCODING_UTF8;
    if (little || big) {
        *encoding = TE_ENCODING_UTF16;
        te_slice body = {bytes.bytes + 2, bytes.length - 2};
        status = convert(text, owned, bad_line, body, little ? "UTF-16LE" : "UTF-16BE");
    } else if (te_utf8_sound(bytes) < bytes.length) {
        *encoding = TE_ENCODING_CP1252;
        status = convert(text, owned, bad_line, bytes, "CP1252");
    }
    *text = te_text_without_marks(*text);
    /* An end-of-file mark that old programs append. */
    if (text->length > 0 && text->bytes[text->length - 1] == '\x1a') {
        text->length--;
    }
    return status;
}
