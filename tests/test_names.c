/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Interned texts. */
#include "te_test.h"

#include <stdlib.h>
#include <string.h>

#include "names.h"

static te_slice slice(const char *text)
{
    return (te_slice){text, strlen(text)};
}

static uint32_t intern(struct names *names, const char *text)
{
    uint32_t id = UINT32_MAX;
    assert_true(te_names_intern(&id, names, slice(text)));
    return id;
}

static void equal_texts_have_one_id(void **state)
{
    (void)state;
    struct names names;
    assert_true(te_names_init(&names));
    uint32_t a = intern(&names, "PS-47"), b = intern(&names, "ps-47"), c = intern(&names, "PS-4");
    assert_int_not_equal(a, 0);
    assert_int_not_equal(a, b);
    assert_int_not_equal(a, c);
    assert_int_equal(intern(&names, "PS-47"), a);
    assert_int_equal(te_names_find(&names, slice("ps-47")), b);
    assert_int_equal(te_names_find(&names, slice("PS-471")), 0);
    assert_int_equal(te_names_find(&names, slice("PS")), 0);
    assert_string_equal(te_names_text(&names, c), "PS-4");
    te_names_free(&names);
    assert_null(names.bytes);
    te_names_free(&names);
}

static void the_empty_text_is_id_0(void **state)
{
    (void)state;
    struct names names;
    assert_true(te_names_init(&names));
    assert_int_equal(names.count, 1);
    assert_int_equal(intern(&names, ""), 0);
    uint32_t id = 9;
    assert_true(te_names_intern(&id, &names, (te_slice){NULL, 0}));
    assert_int_equal(id, 0);
    assert_int_equal(te_names_find(&names, (te_slice){NULL, 0}), 0);
    assert_string_equal(te_names_text(&names, 0), "");
    te_names_free(&names);
}

static void a_slice_is_not_read_past_its_end(void **state)
{
    (void)state;
    struct names names;
    uint32_t id = 0, again = 0;
    assert_true(te_names_init(&names));
    assert_true(te_names_intern(&id, &names, (te_slice){"MIC-75 of hall 3", 6}));
    assert_string_equal(te_names_text(&names, id), "MIC-75");
    assert_true(te_names_intern(&again, &names, (te_slice){"MIC-75,next", 6}));
    assert_int_equal(again, id);
    te_names_free(&names);
}

/* Many texts: ids in order of first sight, every text found again, no growth for old ones. */
static void a_hundred_thousand_texts(void **state)
{
    (void)state;
    enum { COUNT = 100000 };
    te_random random = te_random_start(0x1d5);
    struct names names;
    assert_true(te_names_init(&names));
    for (uint32_t i = 1; i <= COUNT; i++) {
        char text[32];
        snprintf(text, sizeof text, "P%x-%u", (unsigned)(i * 2654435761U), (unsigned)i);
        assert_int_equal(intern(&names, text), i);
    }
    size_t used = names.used;
    for (size_t k = 0; k < te_test_rounds(200000); k++) {
        uint32_t i = 1 + (uint32_t)te_random_below(&random, COUNT);
        char text[32];
        snprintf(text, sizeof text, "P%x-%u", (unsigned)(i * 2654435761U), (unsigned)i);
        assert_int_equal(intern(&names, text), i);
        assert_string_equal(te_names_text(&names, i), text);
        text[0] = 'Q';
        assert_int_equal(te_names_find(&names, slice(text)), 0);
    }
    assert_int_equal(names.used, used);
    assert_int_equal(names.count, COUNT + 1);
    te_names_free(&names);
}

/* Texts that begin alike, and share slots often enough: none is taken for another. */
static void beginnings_of_a_text_are_other_texts(void **state)
{
    (void)state;
    enum { LONGEST = 3000 };
    struct names names;
    char text[LONGEST + 1];
    for (size_t i = 0; i < LONGEST; i++)
        text[i] = (char)('a' + i % 23);
    assert_true(te_names_init(&names));
    for (uint32_t length = LONGEST; length > 0; length--) {
        uint32_t id = 0;
        assert_int_equal(te_names_find(&names, (te_slice){text, length}), 0);
        assert_true(te_names_intern(&id, &names, (te_slice){text, length}));
        assert_int_equal(id, LONGEST - length + 1);
    }
    for (uint32_t length = LONGEST; length > 0; length--)
        assert_int_equal(te_names_find(&names, (te_slice){text, length}), LONGEST - length + 1);
    te_names_free(&names);
}

static void long_texts_are_kept_whole(void **state)
{
    (void)state;
    struct names names;
    uint32_t id = 0;
    size_t length = 65536;
    char *text = malloc(length);
    assert_non_null(text);
    for (size_t i = 0; i < length; i++)
        text[i] = (char)('!' + (i * 31 + i / 7) % 90);
    assert_true(te_names_init(&names));
    assert_true(te_names_intern(&id, &names, (te_slice){text, length}));
    assert_int_equal(strlen(te_names_text(&names, id)), length);
    assert_memory_equal(te_names_text(&names, id), text, length);
    assert_int_equal(te_names_find(&names, (te_slice){text, length - 1}), 0);
    te_names_free(&names);
    free(text);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(equal_texts_have_one_id),
        cmocka_unit_test(the_empty_text_is_id_0),
        cmocka_unit_test(a_slice_is_not_read_past_its_end),
        cmocka_unit_test(a_hundred_thousand_texts),
        cmocka_unit_test(beginnings_of_a_text_are_other_texts),
        cmocka_unit_test(long_texts_are_kept_whole),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
