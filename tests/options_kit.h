/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The options of an inspection, asked for by the names of their parts: `PK-A+RS-STD`, in the order
 * of the kinds; `-` keeps everything. */
#ifndef TE_OPTIONS_KIT_H
#define TE_OPTIONS_KIT_H

#include "te_shop_text.h"

#include <math.h>
#include <string.h>

#include "topend/rebuild.h"

/* A shop and the options of one of its inspections. */
typedef struct bench {
    te_made_shop made;
    te_model_rates rates;
    te_options options;
    te_wish wish;
    te_assessment assessment; /* of the set that was looked at last */
} bench;

/* Makes the options of an inspection, with bench.wish. */
static inline void bench_make(bench *b, const char *inspection)
{
    uint32_t row = te_made_inspection(&b->made, inspection);
    assert_int_equal(
        te_options_make(&b->options, &b->rates, b->made.shop, &b->made.problems, row, &b->wish),
        TE_OK);
}

static inline void bench_open(bench *b, const te_shop_file *base, const te_shop_file *changes,
                              const char *inspection)
{
    *b = (bench){.wish = {.hone = TE_HONE, .hours = NAN}};
    te_made_read(&b->made, base, changes);
    bench_make(b, inspection);
}

static inline void bench_close(bench *b)
{
    te_assessment_free(&b->assessment);
    te_options_free(&b->options);
    te_model_rates_free(&b->rates);
    te_made_free(&b->made);
}

static inline const char *candidate_name(const bench *b, const te_candidate *candidate)
{
    return te_shop_text(b->made.shop, candidate->part);
}

/* The index of a candidate; fails when there is none. */
static inline uint32_t candidate_of(const bench *b, const char *name)
{
    for (uint32_t i = 0; i < b->options.candidate_count; i++) {
        if (strcmp(candidate_name(b, &b->options.candidates[i]), name) == 0)
            return i;
    }
    fail_msg("%s is no candidate", name);
    return TE_NO_INDEX;
}

static inline bool is_candidate(const bench *b, const char *name)
{
    for (size_t i = 0; i < b->options.candidate_count; i++) {
        if (strcmp(candidate_name(b, &b->options.candidates[i]), name) == 0)
            return true;
    }
    return false;
}

/* A set by its name, told or not: only its candidates are filled in. */
static inline te_option set_named(const bench *b, const char *name)
{
    te_option option = {.replaced = 0};
    for (int kind = 0; kind < TE_KIND_NONE; kind++)
        option.candidate[kind] = TE_NO_INDEX;
    while (strcmp(name, "-") != 0 && *name) {
        char one[64];
        size_t length = strcspn(name, "+");
        assert_true(length < sizeof one);
        memcpy(one, name, length);
        one[length] = '\0';
        uint32_t at = candidate_of(b, one);
        te_kind kind = b->options.candidates[at].kind;
        option.candidate[kind] = at;
        option.replaced |= 1U << kind;
        option.parts++;
        name += length + (name[length] == '+');
    }
    return option;
}

/* The option of that name; NULL when it is not told. */
static inline const te_option *find_option(const bench *b, const char *name)
{
    te_option wanted = set_named(b, name);
    for (size_t i = 0; i < b->options.count; i++) {
        if (memcmp(b->options.items[i].candidate, wanted.candidate, sizeof wanted.candidate) == 0)
            return &b->options.items[i];
    }
    return NULL;
}

/* The same, and it must be told. */
static inline const te_option *option_named(const bench *b, const char *name)
{
    const te_option *option = find_option(b, name);
    if (option == NULL)
        fail_msg("the option %s is not told", name);
    return option;
}

static inline void write_option(te_grown *out, const bench *b, const te_option *option)
{
    const char *before = "";
    if (option->parts == 0)
        te_grown_add(out, "-");
    for (int kind = 0; kind < TE_KIND_NONE; kind++) {
        uint32_t at = option->candidate[kind];
        if (at == TE_NO_INDEX)
            continue;
        te_grown_add(out, "%s%s", before, candidate_name(b, &b->options.candidates[at]));
        before = "+";
    }
}

/* All options in order, `- do_not_reuse; PK-A reuse`. */
static inline void expect_options(const bench *b, int line, const char *expected)
{
    te_grown is = {0};
    te_grown_add(&is, "%s", "");
    for (size_t i = 0; i < b->options.count; i++) {
        te_grown_add(&is, "%s", i > 0 ? "; " : "");
        write_option(&is, b, &b->options.items[i]);
        te_grown_add(&is, " %s", te_verdict_name(b->options.items[i].verdict));
    }
    if (strcmp(is.text, expected) != 0)
        fail_msg("line %d gives the options\n%s\nexpected\n%s", line, is.text, expected);
    te_grown_free(&is);
}

/* Looks at a set, told or not: bench.assessment. */
static inline void look_at(bench *b, const char *name)
{
    te_option option = set_named(b, name);
    assert_int_equal(
        te_option_assess(&b->assessment, &b->options, b->made.shop, &b->made.problems, &option),
        TE_OK);
}

static inline const te_finding *find_finding(const bench *b, const char *quantity, const char *item)
{
    for (size_t i = 0; i < b->assessment.finding_count; i++) {
        const te_finding *f = &b->assessment.findings[i];
        if (strcmp(te_shop_quantity_name(b->made.shop, f->measured.quantity), quantity) == 0 &&
            strcmp(te_shop_text(b->made.shop, f->measured.item), item) == 0)
            return f;
    }
    return NULL;
}

/* Of the set that was looked at last; it must be computed. */
static inline const te_finding *finding_of(const bench *b, const char *quantity, const char *item)
{
    const te_finding *found = find_finding(b, quantity, item);
    if (found == NULL || !found->computed)
        fail_msg("there is no %s %s", quantity, item);
    return found;
}

static inline void expect_lasting(const te_lasting *is, const char *quantity, double left,
                                  double earliest, double tolerance, const te_shop *shop)
{
    assert_near(is->left, left, tolerance);
    assert_near(is->earliest, earliest, tolerance);
    assert_string_equal(te_shop_quantity_name(shop, is->quantity), quantity);
}

#endif
