/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Bytes of a file to UTF-8. */
#include "te_test.h"

#include <stdlib.h>
#include <string.h>

#include "encoding.h"

typedef struct decoded {
    te_status status;
    te_slice text;
    char *owned;
    enum te_encoding encoding;
    size_t bad_line;
} decoded;

/* From a copy of just the length given, so that a read past the end shows. */
static decoded decode(const char *bytes, size_t length, char **copy)
{
    decoded d = {.bad_line = 99};
    *copy = malloc(length + (length == 0));
    assert_non_null(*copy);
    memcpy(*copy, bytes, length);
    d.status = te_decode(&d.text, &d.owned, &d.encoding, &d.bad_line, (te_slice){*copy, length});
    return d;
}

typedef struct encoding_case {
    const char *bytes;
    size_t length;
    const char *text;
    enum te_encoding encoding;
} encoding_case;

#define BYTES(literal) literal, sizeof(literal) - 1

static void texts_are_recognised(void **state)
{
    (void)state;
    static const encoding_case cases[] = {
        {BYTES(""), "", TE_ENCODING_UTF8},
        {BYTES("key,value\n"), "key,value\n", TE_ENCODING_UTF8},
        {BYTES("\xc3\x98 66 \xc2\xb5m"), "\xc3\x98 66 \xc2\xb5m", TE_ENCODING_UTF8},
        {BYTES("\xef\xbb\xbfkey"), "key", TE_ENCODING_UTF8},
        {BYTES("\xef\xbb\xbf\xef\xbb\xbf\"key\""), "\"key\"", TE_ENCODING_UTF8},
        {BYTES("\xef\xbb\xbf"), "", TE_ENCODING_UTF8},
        {BYTES("a,b\r\n\x1a"), "a,b\r\n", TE_ENCODING_UTF8},
        {BYTES("Pr\xfc"
               "fung \xb5m \x80 \x84x\x93"),
         "Pr\xc3\xbc"
         "fung \xc2\xb5m \xe2\x82\xac \xe2\x80\x9ex\xe2\x80\x9c",
         TE_ENCODING_CP1252},
        {BYTES("\xef\xbb\xbf"
               "gr\xfcn"),
         "\xc3\xaf\xc2\xbb\xc2\xbfgr\xc3\xbcn", TE_ENCODING_CP1252},
        {BYTES("\xff\xfe"
               "k\0;\0\xd8\0\r\0\n\0"),
         "k;\xc3\x98\r\n", TE_ENCODING_UTF16},
        {BYTES("\xfe\xff"
               "\0k\0;\0\xd8\0\r\0\n"),
         "k;\xc3\x98\r\n", TE_ENCODING_UTF16},
        {BYTES("\xff\xfe\x3d\xd8\x92\xde"), "\xf0\x9f\x9a\x92", TE_ENCODING_UTF16},
        {BYTES("\xff\xfe\xff\xfe"
               "k\0"),
         "k", TE_ENCODING_UTF16},
        {BYTES("\xff\xfe"), "", TE_ENCODING_UTF16},
        {BYTES("\xff\xfe"
               "a\0\x1a\0"),
         "a", TE_ENCODING_UTF16},
        {BYTES("\xed\xa0\x80"), "\xc3\xad\xc2\xa0\xe2\x82\xac", TE_ENCODING_CP1252},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        char *copy = NULL;
        decoded d = decode(cases[i].bytes, cases[i].length, &copy);
        assert_int_equal(d.status, TE_OK);
        assert_int_equal(d.encoding, cases[i].encoding);
        assert_int_equal(d.text.length, strlen(cases[i].text));
        assert_memory_equal(d.text.bytes, cases[i].text, d.text.length);
        assert_int_equal(d.owned == NULL, d.encoding == TE_ENCODING_UTF8);
        free(d.owned);
        free(copy);
    }
}

static void bytes_that_are_no_text_are_refused_at_their_line(void **state)
{
    (void)state;
    static const struct {
        const char *bytes;
        size_t length, line;
        enum te_encoding encoding;
    } cases[] = {
        {BYTES("\x81"), 1, TE_ENCODING_CP1252},
        {BYTES("a\nb\nc\x8d\n"), 3, TE_ENCODING_CP1252},
        {BYTES("a\r\nb\r\n\x8f"), 3, TE_ENCODING_CP1252},
        {BYTES("a\rb\r\x90"), 3, TE_ENCODING_CP1252},
        {BYTES("a\rb\r\n\xfc\r\x9d"), 4, TE_ENCODING_CP1252},
        {BYTES("\xff\xfe"
               "a\0\n\0\x00\xdc"
               "b\0"),
         2, TE_ENCODING_UTF16},
        {BYTES("\xff\xfe"
               "a\0\n\0\n\0b"),
         3, TE_ENCODING_UTF16},
        {BYTES("\xfe\xff"
               "\0a\xd8\x3d"),
         1, TE_ENCODING_UTF16},
        {BYTES("\xfe\xff"
               "\0a\0\n\xdc\0\0b"),
         2, TE_ENCODING_UTF16},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        char *copy = NULL;
        decoded d = decode(cases[i].bytes, cases[i].length, &copy);
        assert_int_equal(d.status, TE_ERR_DATA);
        assert_int_equal(d.bad_line, cases[i].line);
        assert_int_equal(d.encoding, cases[i].encoding);
        assert_null(d.owned);
        free(copy);
    }
}

/* Every byte of Windows-1252 by the table of the Encoding Standard (whatwg.org, index-windows-1252),
 * but with the five bytes that have no character refused. */
static void the_upper_half_of_windows_1252(void **state)
{
    (void)state;
    static const uint32_t codes[32] = {
        0x20ac, 0,      0x201a, 0x0192, 0x201e, 0x2026, 0x2020, 0x2021, 0x02c6, 0x2030, 0x0160,
        0x2039, 0x0152, 0,      0x017d, 0,      0,      0x2018, 0x2019, 0x201c, 0x201d, 0x2022,
        0x2013, 0x2014, 0x02dc, 0x2122, 0x0161, 0x203a, 0x0153, 0,      0x017e, 0x0178};
    for (unsigned byte = 0x80; byte <= 0xff; byte++) {
        char bytes[2] = {(char)byte, 'x'};
        char *copy = NULL;
        decoded d = decode(bytes, 2, &copy);
        uint32_t code = byte < 0xa0 ? codes[byte - 0x80] : byte, got = 0;
        assert_int_equal(d.status, code == 0 ? TE_ERR_DATA : TE_OK);
        if (code != 0) {
            size_t size = te_utf8_decode(&got, d.text.bytes, d.text.length);
            assert_int_equal(got, code);
            assert_int_equal(d.text.length, size + 1);
        }
        free(d.owned);
        free(copy);
    }
}

/* Any bytes give UTF-8 or an error, never anything else. */
static void what_comes_out_is_utf8(void **state)
{
    (void)state;
    te_random random = te_random_start(0xec0de);
    for (size_t i = 0; i < te_test_rounds(20000); i++) {
        char bytes[24], *copy = NULL;
        size_t length = te_random_below(&random, sizeof bytes + 1);
        for (size_t j = 0; j < length; j++)
            bytes[j] = (char)te_random_bits(&random);
        if (length >= 2 && te_random_below(&random, 2) == 1)
            /* NOLINTNEXTLINE(bugprone-not-null-terminated-result): bytes, no string */
            memcpy(bytes, te_random_below(&random, 2) == 1 ? "\xff\xfe" : "\xfe\xff", 2);
        decoded d = decode(bytes, length, &copy);
        assert_true(d.status == TE_OK || d.status == TE_ERR_DATA);
        for (size_t at = 0; d.status == TE_OK && at < d.text.length;) {
            uint32_t code = 0;
            size_t size = te_utf8_decode(&code, d.text.bytes + at, d.text.length - at);
            assert_int_not_equal(size, 0);
            at += size;
        }
        free(d.owned);
        free(copy);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(texts_are_recognised),
        cmocka_unit_test(bytes_that_are_no_text_are_refused_at_their_line),
        cmocka_unit_test(the_upper_half_of_windows_1252),
        cmocka_unit_test(what_comes_out_is_utf8),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
