/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The list of problems: what is kept, counted, ordered, and what it touches. */
#include "te_test.h"

#include <stdlib.h>
#include <string.h>

#include "topend/problem.h"

static te_problem problem(te_severity severity, const char *file, uint32_t line, const char *what)
{
    te_problem p = {.severity = severity, .scope = TE_SCOPE_NONE, .line = line};
    snprintf(p.file, sizeof p.file, "%s", file);
    snprintf(p.column, sizeof p.column, "reading");
    snprintf(p.what, sizeof p.what, "%s", what);
    snprintf(p.remedy, sizeof p.remedy, "mend it");
    return p;
}

static void a_problem_is_kept_as_given(void **state)
{
    (void)state;
    te_problems list;
    te_problems_init(&list);
    te_problem p = problem(TE_ERROR, "readings/april.csv", 217, "\"66..4\" is no number");
    te_problems_add(&list, &p);
    assert_int_equal(list.count, 1);
    assert_int_equal(list.errors, 1);
    assert_int_equal(list.warnings, 0);
    assert_string_equal(list.items[0].file, "readings/april.csv");
    assert_string_equal(list.items[0].what, "\"66..4\" is no number");
    assert_string_equal(list.items[0].remedy, "mend it");
    assert_string_equal(list.items[0].column, "reading");
    assert_int_equal(list.items[0].line, 217);
    assert_false(list.touches_all || list.out_of_memory);
    te_problems_free(&list);
    assert_int_equal(list.count, 0);
    assert_null(list.items);
    te_problems_free(&list);
    te_problems_free(NULL);
}

static void texts_are_made_safe(void **state)
{
    (void)state;
    te_problems list;
    te_problems_init(&list);
    te_problem p = problem(TE_WARNING, "a\x1b[2Jb.csv", 3, "x\r\nFAKE:1: \xe2\x80\xae\xff");
    memcpy(p.column, "c\tx", 4);
    memcpy(p.remedy, "\a!", 3);
    te_problems_add(&list, &p);
    assert_string_equal(list.items[0].file, "a\\x1B[2Jb.csv");
    assert_string_equal(list.items[0].what, "x\\x0D\\x0AFAKE:1: \\u{202E}\\xFF");
    assert_string_equal(list.items[0].column, "c\\x09x");
    assert_string_equal(list.items[0].remedy, "\\x07!");
    te_problems_free(&list);
}

/* A text of 255 controls grows fourfold: it is cut, and still terminated. */
static void growing_texts_are_cut(void **state)
{
    (void)state;
    te_problems list;
    te_problems_init(&list);
    te_problem p = problem(TE_ERROR, "f", 1, "");
    memset(p.what, '\x02', sizeof p.what - 1);
    memset(p.file, '\x03', sizeof p.file - 1);
    te_problems_add(&list, &p);
    te_problems_add(&list, &p);
    assert_int_equal(strlen(list.items[0].what), 252); /* 63 escapes of 4 */
    assert_int_equal(strlen(list.items[0].file), 252);
    assert_int_equal(list.file_count, 1);
    te_problems_free(&list);
}

static void fifty_of_a_file_are_kept_and_all_counted(void **state)
{
    (void)state;
    te_problems list;
    te_problems_init(&list);
    for (unsigned i = 1; i <= 73; i++) {
        te_problem p = problem(TE_ERROR, "readings.csv", i, "e");
        te_problem w = problem(TE_WARNING, "readings.csv", i, "w");
        te_problem other = problem(TE_ERROR, "parts.csv", i, "o");
        te_problems_add(&list, &p);
        te_problems_add(&list, &w);
        if (i <= 12)
            te_problems_add(&list, &other);
    }
    assert_int_equal(list.errors, 85);
    assert_int_equal(list.warnings, 73);
    assert_int_equal(list.count, 50 + 50 + 12);
    assert_int_equal(list.file_count, 2);
    assert_string_equal(list.files[0].file, "readings.csv");
    assert_int_equal(list.files[0].errors, 73);
    assert_int_equal(list.files[0].warnings, 73);
    assert_int_equal(list.files[1].errors, 12);
    assert_int_equal(list.files[1].warnings, 0);
    te_problems_free(&list);
}

/* Errors past the fifty touch what they touch all the same. */
static void uncounted_errors_still_touch(void **state)
{
    (void)state;
    te_problems list;
    te_problems_init(&list);
    for (uint32_t i = 1; i <= 60; i++) {
        te_problem p = problem(TE_ERROR, "readings.csv", i, "e");
        p.scope = TE_SCOPE_ENGINE;
        p.scope_id = 1000 - 7 * i;
        te_problems_add(&list, &p);
        te_problems_add(&list, &p);
    }
    assert_int_equal(list.touched_count, 60);
    for (uint32_t i = 1; i <= 60; i++) {
        assert_true(te_problems_touch(&list, TE_SCOPE_ENGINE, 1000 - 7 * i));
        assert_false(te_problems_touch(&list, TE_SCOPE_MODEL, 1000 - 7 * i));
        assert_false(te_problems_touch(&list, TE_SCOPE_ENGINE, 999 - 7 * i));
    }
    assert_false(list.touches_all);
    te_problem p = problem(TE_ERROR, "readings.csv", 99, "e");
    p.scope = TE_SCOPE_ALL;
    te_problems_add(&list, &p);
    assert_true(list.touches_all);
    assert_int_equal(list.touched_count, 60);
    te_problems_free(&list);
}

static void warnings_touch_nothing(void **state)
{
    (void)state;
    te_problems list;
    te_problems_init(&list);
    static const te_scope scopes[] = {TE_SCOPE_ALL, TE_SCOPE_ENGINE, TE_SCOPE_MODEL,
                                      TE_SCOPE_INSTRUMENT, TE_SCOPE_NONE};
    for (size_t i = 0; i < sizeof scopes / sizeof *scopes; i++) {
        te_problem p = problem(TE_WARNING, "f", 1, "w");
        p.scope = scopes[i];
        p.scope_id = 23;
        te_problems_add(&list, &p);
    }
    assert_false(list.touches_all);
    assert_int_equal(list.touched_count, 0);
    te_problems_free(&list);
}

/* Scopes in any order, against a plain table. */
static void every_scope_is_found_again(void **state)
{
    (void)state;
    te_random random = te_random_start(0x5c09e);
    bool seen[3][64] = {{false}};
    te_problems list;
    te_problems_init(&list);
    for (size_t i = 0; i < 150; i++) {
        size_t scope = te_random_below(&random, 3), id = te_random_below(&random, 64);
        te_problem p = problem(TE_ERROR, "f", 1, "e");
        p.scope = (te_scope)(TE_SCOPE_ENGINE + (int)scope);
        p.scope_id = (uint32_t)id;
        te_problems_add(&list, &p);
        seen[scope][id] = true;
        for (size_t s = 0; s < 3; s++)
            for (size_t j = 0; j < 64; j++)
                assert_int_equal(
                    te_problems_touch(&list, (te_scope)(TE_SCOPE_ENGINE + (int)s), (uint32_t)j),
                    seen[s][j]);
    }
    te_problems_free(&list);
}

static void problems_are_ordered_by_file_line_and_finding(void **state)
{
    (void)state;
    static const struct {
        const char *file;
        uint32_t line;
        const char *what;
    } given[] = {{"limits.csv", 9, "d"},   {"engines.csv", 4, "f"}, {"limits.csv", 2, "b"},
                 {"limits.csv", 2, "c"},   {"engines.csv", 0, "e"}, {"limits.csv", 0, "a"},
                 {"engines.csv", 11, "h"}, {"engines.csv", 4, "g"}};
    te_problems list;
    te_problems_init(&list);
    te_problems_sort(&list);
    for (size_t i = 0; i < sizeof given / sizeof *given; i++) {
        te_problem p = problem(TE_ERROR, given[i].file, given[i].line, given[i].what);
        te_problems_add(&list, &p);
    }
    te_problems_sort(&list);
    for (size_t i = 0; i < list.count; i++)
        assert_int_equal(list.items[i].what[0], 'a' + (int)i);
    assert_int_equal(list.count, 8);
    te_problems_free(&list);
}

/* A fleet with an error in every row: 400,000 errors that touch 40,000 engines. With a scope sought
 * row by row this would take some 10^10 steps. */
static void many_errors_touch_many_engines(void **state)
{
    (void)state;
    te_problems list;
    te_problems_init(&list);
    for (uint32_t i = 0; i < 400000; i++) {
        te_problem p = problem(TE_ERROR, "readings.csv", i + 1, "e");
        p.scope = TE_SCOPE_ENGINE;
        p.scope_id = 1 + i / 10;
        te_problems_add(&list, &p);
    }
    assert_int_equal(list.touched_count, 40000);
    assert_int_equal(list.errors, 400000);
    te_problems_free(&list);
}

/* Every status has a text of its own, and an unknown one has one too. */
static void statuses_have_texts(void **state)
{
    static const te_status all[] = {TE_OK,         TE_ERR_MEMORY,   TE_ERR_IO,   TE_ERR_DATA,
                                    TE_ERR_DOMAIN, TE_ERR_SINGULAR, TE_ERR_FULL, TE_ERR_GLYPH};
    (void)state;
    for (size_t i = 0; i < sizeof all / sizeof *all; i++) {
        for (size_t j = 0; j < i; j++) {
            assert_string_not_equal(te_status_text(all[i]), te_status_text(all[j]));
        }
        assert_string_not_equal(te_status_text(all[i]), te_status_text((te_status)-99));
    }
    assert_string_equal(te_status_text((te_status)-99), "unknown status");
}

/* Files named in whatever order: each has its own count, and its rank is when it was first named. */
static void many_files_are_counted_apart(void **state)
{
    (void)state;
    enum { FILES = 1009, ROUNDS = 3 }; /* a prime: every step goes through all of them */
    static const size_t steps[ROUNDS] = {1, FILES - 1, 400};
    for (size_t first = 0; first < ROUNDS; first++) {
        te_problems list;
        te_problems_init(&list);
        for (size_t round = 0; round < ROUNDS; round++) {
            for (size_t i = 0; i < FILES; i++) {
                size_t file = i * steps[(first + round) % ROUNDS] % FILES;
                char name[32];
                snprintf(name, sizeof name, "readings/%zu.csv", file);
                te_problem p = problem(round == 1 ? TE_WARNING : TE_ERROR, name, 1, "bad");
                te_problems_add(&list, &p);
            }
        }
        assert_int_equal(list.file_count, FILES);
        for (size_t i = 0; i < FILES; i++) {
            char name[32];
            snprintf(name, sizeof name, "readings/%zu.csv", i * steps[first] % FILES);
            assert_string_equal(list.files[i].file, name);
            assert_int_equal(list.files[i].errors, 2);
            assert_int_equal(list.files[i].warnings, 1);
        }
        for (size_t i = 0; i < list.count; i++) {
            assert_string_equal(list.items[i].file, list.files[list.items[i].file_rank].file);
        }
        te_problems_free(&list);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(statuses_have_texts),
        cmocka_unit_test(a_problem_is_kept_as_given),
        cmocka_unit_test(texts_are_made_safe),
        cmocka_unit_test(growing_texts_are_cut),
        cmocka_unit_test(fifty_of_a_file_are_kept_and_all_counted),
        cmocka_unit_test(uncounted_errors_still_touch),
        cmocka_unit_test(warnings_touch_nothing),
        cmocka_unit_test(every_scope_is_found_again),
        cmocka_unit_test(problems_are_ordered_by_file_line_and_finding),
        cmocka_unit_test(many_files_are_counted_apart),
        cmocka_unit_test(many_errors_touch_many_engines),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
