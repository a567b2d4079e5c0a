/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Text from files: UTF-8, trimming, folding, likeness, safe to show, width. */
#include "te_test.h"

#include <string.h>

#include "topend/text.h"

static te_slice slice(const char *text)
{
    return (te_slice){text, strlen(text)};
}

/* Encoding after RFC 3629, section 3, for comparison. */
static size_t encode(char out[4], uint32_t code)
{
    if (code < 0x80) {
        out[0] = (char)code;
        return 1;
    }
    size_t size = code < 0x800 ? 2 : code < 0x10000 ? 3 : 4;
    static const unsigned lead[5] = {0, 0, 0xc0, 0xe0, 0xf0};
    for (size_t i = size; i > 1; i--) {
        out[i - 1] = (char)(0x80 | (code & 0x3f));
        code >>= 6;
    }
    out[0] = (char)(lead[size] | code);
    return size;
}

static void every_code_point_is_decoded(void **state)
{
    (void)state;
    for (uint32_t code = 0; code <= 0x10ffff; code++) {
        char bytes[4];
        uint32_t decoded = 0xdeadbeef;
        size_t size = encode(bytes, code);
        bool surrogate = code >= 0xd800 && code <= 0xdfff;
        assert_int_equal(te_utf8_decode(&decoded, bytes, size), surrogate ? 0 : size);
        assert_int_equal(decoded, surrogate ? 0xdeadbeef : code);
        /* Cut short it is nothing. */
        if (size > 1)
            assert_int_equal(te_utf8_decode(&decoded, bytes, size - 1), 0);
    }
}

static void broken_sequences_are_refused(void **state)
{
    (void)state;
    static const char *const broken[] = {
        "\x80",
        "\xbf",
        "\xc0\x80",
        "\xc1\xbf",
        "\xe0\x80\xaf",
        "\xe0\x9f\xbf",
        "\xf0\x80\x80\xaf",
        "\xf0\x8f\xbf\xbf",
        "\xf4\x90\x80\x80",
        "\xf5\x80\x80\x80",
        "\xff",
        "\xfe",
        "\xed\xa0\x80",
        "\xed\xbf\xbf",
        "\xc3(",
        "\xe2\x82(",
        "\xf0\x9f\x92(",
        "\xe2(\xa1",
    };
    for (size_t i = 0; i < sizeof broken / sizeof *broken; i++) {
        uint32_t code = 0xdeadbeef;
        assert_int_equal(te_utf8_decode(&code, broken[i], strlen(broken[i])), 0);
        assert_int_equal(code, 0xdeadbeef);
    }
}

/* Any bytes: a sequence that is accepted encodes back to the same bytes. */
static void what_is_decoded_encodes_back(void **state)
{
    (void)state;
    te_random random = te_random_start(0x51f15e5);
    size_t accepted = 0;
    for (size_t i = 0; i < te_test_rounds(200000); i++) {
        char bytes[4], again[4];
        for (size_t j = 0; j < sizeof bytes; j++)
            bytes[j] = (char)(te_random_bits(&random) |
                              (te_random_below(&random, 3) > 0 ? 0x80 : 0));
        uint32_t code = 0;
        size_t size = te_utf8_decode(&code, bytes, 1 + te_random_below(&random, 4));
        if (size > 0) {
            accepted++;
            assert_int_equal(encode(again, code), size);
            assert_memory_equal(again, bytes, size);
        }
    }
    assert_true(accepted > 0);
}

static void blanks_of_both_ends_are_trimmed(void **state)
{
    (void)state;
    static const struct {
        const char *text, *trimmed;
    } cases[] = {
        {"", ""},
        {" \t\r\n\v\f", ""},
        {"  66.412  ", "66.412"},
        {"\xc2\xa0"
         "66.412\xc2\xa0\xe2\x80\xaf",
         "66.412"},
        {"\xe2\x80\x87\xef\xbb\xbfPS-47 B\xe2\x80\x87", "PS-47 B"},
        {"\xc2\xa0\xc2\xa0", ""},
        {"a\xc2\xa0"
         "b",
         "a\xc2\xa0"
         "b"},
        {"\xe2\x82\xac 7.35", "\xe2\x82\xac 7.35"}, /* begins like a blank of three bytes */
        {"7.35 \xe2\x82\xac", "7.35 \xe2\x82\xac"},
        {"\xc3\xa0 \xc3\xa0", "\xc3\xa0 \xc3\xa0"}, /* a with grave ends in A0 */
        {"x\xe2\x80\x8b", "x\xe2\x80\x8b"},         /* zero-width space is no blank here */
        {"x\xa0", "x\xa0"},                         /* not UTF-8: kept */
        {"\xa0x", "\xa0x"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        te_slice got = te_text_trim(slice(cases[i].text));
        assert_int_equal(got.length, strlen(cases[i].trimmed));
        assert_memory_equal(got.bytes, cases[i].trimmed, got.length);
        assert_true(got.bytes >= cases[i].text &&
                    got.bytes + got.length <= cases[i].text + strlen(cases[i].text));
    }
    assert_int_equal(te_text_trim((te_slice){NULL, 0}).length, 0);
}

static void capitals_become_small(void **state)
{
    (void)state;
    static const struct {
        const char *text, *folded;
    } cases[] = {
        {"Big-End SIDE play 7", "big-end side play 7"},
        {"\xc3\x84\xc3\x96\xc3\x9c\xc3\x9f \xc3\x98\xc3\x9e",
         "\xc3\xa4\xc3\xb6\xc3\xbc\xc3\x9f \xc3\xb8\xc3\xbe"},
        {"\xc3\x97\xc3\xb7", "\xc3\x97\xc3\xb7"}, /* the signs between the letters */
        {"\xc4\x8c\xc4\x8d\xc5\xbd\xc5\x81\xc5\x90", "\xc4\x8d\xc4\x8d\xc5\xbe\xc5\x82\xc5\x91"},
        {"\xc5\xb8", "\xc3\xbf"}, /* Y with diaeresis: the small one is Latin-1 */
        {"\xc4\xb0\xc4\xb1\xc4\xb8\xc5\x89\xc5\xbf", "\xc4\xb0\xc4\xb1\xc4\xb8\xc5\x89\xc5\xbf"},
        {"\xce\x91\xce\xa9\xce\x86\xce\x8f\xce\xaa\xce\xbc",
         "\xce\xb1\xcf\x89\xce\xac\xcf\x8e\xcf\x8a\xce\xbc"},
        {"\xd0\x80\xd0\x90\xd0\xaf\xd2\x90\xd3\x80", "\xd1\x90\xd0\xb0\xd1\x8f\xd2\x91\xd3\x8f"},
        {"\xe2\x84\xa6 \xf0\x90\x90\x80", "\xe2\x84\xa6 \xf0\x90\x90\x80"}, /* not two bytes long */
        {"A\xff"
         "B\xc3",
         "a\xff"
         "b\xc3"}, /* broken bytes are passed over */
        {"\xc2\xb5m", "\xc2\xb5m"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        char text[64];
        size_t length = strlen(cases[i].text);
        memcpy(text, cases[i].text, length + 1);
        te_text_fold(text, length);
        assert_string_equal(text, cases[i].folded);
    }
}

/* What is folded once stays: no small letter is moved on. */
static void folding_twice_is_folding_once(void **state)
{
    (void)state;
    for (uint32_t code = 1; code < 0x800; code++) {
        char once[5] = "", twice[5] = "";
        size_t size = encode(once, code);
        te_text_fold(once, size);
        uint32_t folded = 0;
        assert_int_equal(te_utf8_decode(&folded, once, size), size);
        memcpy(twice, once, size);
        te_text_fold(twice, size);
        assert_memory_equal(twice, once, size);
    }
}

static void words_are_the_same_without_regard_to_ascii_case(void **state)
{
    (void)state;
    assert_true(te_text_same_word(slice("Ring_Set"), "ring_set"));
    assert_true(te_text_same_word(slice(""), ""));
    assert_false(te_text_same_word(slice("ring_se"), "ring_set"));
    assert_false(te_text_same_word(slice("ring_sets"), "ring_set"));
    assert_false(te_text_same_word((te_slice){"rod\0", 4}, "rod"));
    assert_false(te_text_same_word(slice("\xc3\x84"), "\xc3\xa4"));
    assert_false(te_text_same_word(slice("[n"), "{n"));
    assert_true(te_text_same_word((te_slice){"pinhole", 3}, "PIN"));
}

static void distance_counts_single_slips(void **state)
{
    (void)state;
    static const struct {
        const char *a, *b;
        size_t distance;
    } cases[] = {
        {"", "", 0},
        {"", "skirt", 5},
        {"skirt", "skirt", 0},
        {"skrit", "skirt", 1},
        {"skirtt", "skirt", 1},
        {"skit", "skirt", 1},
        {"skist", "skirt", 1},
        {"kitten", "sitting", 3},
        {"ca", "abc", 3}, /* not 2: no edit between */
        {"end_gap", "gap_end", 6},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        assert_int_equal(te_text_distance(cases[i].a, cases[i].b), cases[i].distance);
        assert_int_equal(te_text_distance(cases[i].b, cases[i].a), cases[i].distance);
    }
    char long_word[66];
    memset(long_word, 'q', sizeof long_word);
    long_word[64] = '\0';
    assert_true(te_text_distance(long_word, "q") == SIZE_MAX);
    assert_true(te_text_distance("q", long_word) == SIZE_MAX);
    long_word[63] = '\0';
    assert_int_equal(te_text_distance(long_word, "q"), 62);
}

static void distance_is_a_bounded_measure(void **state)
{
    (void)state;
    te_random random = te_random_start(0xd15a);
    for (size_t i = 0; i < te_test_rounds(3000); i++) {
        char a[13] = "", b[13] = "";
        size_t m = te_random_below(&random, 13), n = te_random_below(&random, 13);
        for (size_t j = 0; j < m; j++)
            a[j] = (char)('a' + te_random_below(&random, 3));
        for (size_t j = 0; j < n; j++)
            b[j] = (char)('a' + te_random_below(&random, 3));
        size_t d = te_text_distance(a, b);
        assert_int_equal(d, te_text_distance(b, a));
        assert_true(d >= (m > n ? m - n : n - m) && d <= (m > n ? m : n));
        assert_true((d == 0) == (strcmp(a, b) == 0));
    }
}

static void unsafe_characters_are_shown_as_text(void **state)
{
    (void)state;
    static const struct {
        const char *text, *safe;
    } cases[] = {
        {"MIC-75 \xc2\xb5m \xe2\x82\xac", "MIC-75 \xc2\xb5m \xe2\x82\xac"},
        {"a\x1b[31mb", "a\\x1B[31mb"},
        {"\a\b\t\n\r\x7f", "\\x07\\x08\\x09\\x0A\\x0D\\x7F"},
        {"\xc2\x9b"
         "2J",
         "\\u{009B}2J"},
        {"\xe2\x80\xae"
         "abc\xe2\x80\xac",
         "\\u{202E}abc\\u{202C}"},
        {"\xe2\x81\xa6x\xe2\x81\xa9\xe2\x80\x8e\xd8\x9c", "\\u{2066}x\\u{2069}\\u{200E}\\u{061C}"},
        {"a\xe2\x80\xa8"
         "b\xe2\x80\xa9"
         "c",
         "a\\u{2028}b\\u{2029}c"},
        {"\xff\xfe PS", "\\xFF\\xFE PS"},
        {"\xed\xa0\x80", "\\xED\\xA0\\x80"},
        {"\xf3\xa0\x81\x81", "\\u{E0041}"},
        {"\xef\xbb\xbfx", "\\u{FEFF}x"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        char out[128];
        assert_int_equal(te_text_safe(out, sizeof out, slice(cases[i].text)),
                         strlen(cases[i].safe));
        assert_string_equal(out, cases[i].safe);
    }
    char out[16];
    assert_int_equal(te_text_safe(out, sizeof out, (te_slice){"x\0y", 3}), 6);
    assert_string_equal(out, "x\\x00y");
}

static void safe_text_is_cut_at_a_whole_character(void **state)
{
    (void)state;
    static const char text[] = "7\xc2\xb5\xe2\x82\xac\x1b!";
    static const char safe[] = "7\xc2\xb5\xe2\x82\xac\\x1B!";
    static const size_t kept[] = {0, 0, 1, 1, 3, 3, 3, 6, 6, 6, 6, 10, 11, 11};
    for (size_t size = 1; size < sizeof kept / sizeof *kept; size++) {
        char out[32];
        memset(out, '#', sizeof out);
        assert_int_equal(te_text_safe(out, size, slice(text)), 11);
        assert_int_equal(strlen(out), kept[size]);
        assert_memory_equal(out, safe, kept[size]);
        assert_int_equal(out[size], '#');
    }
}

/* Whatever the bytes, the result is UTF-8 without controls, and making it safe again changes
 * nothing. */
static void safe_text_is_safe(void **state)
{
    (void)state;
    te_random random = te_random_start(0x5afe7e87);
    for (size_t i = 0; i < te_test_rounds(20000); i++) {
        char bytes[12], out[128], again[128];
        for (size_t j = 0; j < sizeof bytes; j++)
            bytes[j] = (char)te_random_bits(&random);
        size_t length = te_text_safe(out, sizeof out, (te_slice){bytes, sizeof bytes});
        assert_int_equal(strlen(out), length);
        for (size_t at = 0; at < length;) {
            uint32_t code = 0;
            size_t size = te_utf8_decode(&code, out + at, length - at);
            assert_true(size > 0 && code >= 0x20 && (code < 0x7f || code > 0x9f));
            at += size;
        }
        te_text_safe(again, sizeof again, (te_slice){out, length});
        assert_string_equal(again, out);
    }
}

static void width_counts_columns(void **state)
{
    (void)state;
    assert_int_equal(te_text_width(slice("")), 0);
    assert_int_equal(te_text_width(slice("PS-47")), 5);
    assert_int_equal(te_text_width(slice("\xc3\x98 66 \xc2\xb5m")), 7);
    assert_int_equal(te_text_width(slice("e\xcc\x81")), 1);
    assert_int_equal(te_text_width(slice("\xe6\xb6\x88\xe9\x98\xb2")), 4);
    assert_int_equal(te_text_width(slice("\xf0\x9f\x9a\x92")), 2);
    assert_int_equal(te_text_width(slice("a\xff"
                                         "b")),
                     3);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_code_point_is_decoded),
        cmocka_unit_test(broken_sequences_are_refused),
        cmocka_unit_test(what_is_decoded_encodes_back),
        cmocka_unit_test(blanks_of_both_ends_are_trimmed),
        cmocka_unit_test(capitals_become_small),
        cmocka_unit_test(folding_twice_is_folding_once),
        cmocka_unit_test(words_are_the_same_without_regard_to_ascii_case),
        cmocka_unit_test(distance_counts_single_slips),
        cmocka_unit_test(distance_is_a_bounded_measure),
        cmocka_unit_test(unsafe_characters_are_shown_as_text),
        cmocka_unit_test(safe_text_is_cut_at_a_whole_character),
        cmocka_unit_test(safe_text_is_safe),
        cmocka_unit_test(width_counts_columns),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
