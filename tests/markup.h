/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * A strict reading of the markup that the writers make: every element closed in order, every
 * attribute quoted and once, no character that ought to be a reference, no id twice. Stricter than
 * HTML asks for: what passes can be read in one way only.
 */
#ifndef MARKUP_H
#define MARKUP_H

#include "te_test.h"

#include <string.h>

enum { MARKUP_DEPTH = 32, MARKUP_NAME = 32, MARKUP_IDS = 4096 };

struct markup {
    const char *at;
    char open[MARKUP_DEPTH][MARKUP_NAME]; /* elements that are not closed yet */
    size_t depth;
    const char *ids[MARKUP_IDS]; /* where each value begins */
    size_t id_count;
    size_t element_count;
};

static void markup_reference(struct markup *m)
{
    static const char *const known[] = {"&amp;", "&lt;", "&gt;", "&quot;", "&#39;"};
    for (size_t i = 0; i < sizeof known / sizeof *known; i++) {
        if (strncmp(m->at, known[i], strlen(known[i])) == 0) {
            m->at += strlen(known[i]);
            return;
        }
    }
    fail_msg("no reference: %.40s", m->at);
}

static void markup_name(struct markup *m, char name[MARKUP_NAME])
{
    size_t length = strspn(m->at,
                           "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789-");
    assert_in_range(length, 1, MARKUP_NAME - 1);
    memcpy(name, m->at, length);
    name[length] = '\0';
    m->at += length;
}

static void markup_id(struct markup *m, const char *value)
{
    size_t length = strcspn(value, "\"") + 1;
    assert_true(m->id_count < MARKUP_IDS);
    for (size_t i = 0; i < m->id_count; i++) {
        assert_int_not_equal(strncmp(m->ids[i], value, length), 0);
    }
    m->ids[m->id_count++] = value;
}

static void markup_attributes(struct markup *m)
{
    char names[16][MARKUP_NAME];
    size_t count = 0;
    while (*m->at == ' ') {
        m->at++;
        assert_true(count < 16);
        markup_name(m, names[count]);
        for (size_t i = 0; i < count; i++) {
            assert_string_not_equal(names[i], names[count]);
        }
        assert_int_equal(strncmp(m->at, "=\"", 2), 0);
        m->at += 2;
        if (strcmp(names[count], "id") == 0) {
            markup_id(m, m->at);
        }
        while (*m->at != '"') {
            bool plain = *m->at == '\'' && strcmp(names[count], "content") == 0; /* of a policy */
            assert_true(*m->at != '\0' && *m->at != '<' && *m->at != '>');
            assert_true(plain || *m->at != '\'');
            *m->at == '&' ? markup_reference(m) : (void)m->at++;
        }
        m->at++;
        count++;
    }
}

static void markup_open(struct markup *m)
{
    char name[MARKUP_NAME];
    m->at++;
    markup_name(m, name);
    m->element_count++;
    markup_attributes(m);
    bool closed = *m->at == '/';
    m->at += closed;
    assert_int_equal(*m->at, '>');
    m->at++;
    if (closed || strcmp(name, "meta") == 0 || strcmp(name, "hr") == 0 ||
        strcmp(name, "wbr") == 0) {
        return;
    }
    assert_true(m->depth < MARKUP_DEPTH);
    memcpy(m->open[m->depth++], name, sizeof name);
    if (strcmp(name, "style") == 0) {
        m->at = strstr(m->at, "</");
        assert_non_null(m->at);
    }
}

static void markup_close(struct markup *m)
{
    char name[MARKUP_NAME];
    m->at += 2;
    markup_name(m, name);
    assert_true(m->depth > 0);
    assert_string_equal(m->open[--m->depth], name);
    assert_int_equal(*m->at, '>');
    m->at++;
}

/* Fails the test when a text is not well formed; returns how many elements it has. */
static size_t assert_well_formed(const char *text)
{
    struct markup m = {.at = text};
    if (strncmp(text, "<!doctype html>", 15) == 0) {
        m.at += 15;
    }
    while (*m.at != '\0') {
        if (m.at[0] == '<' && m.at[1] == '/') {
            markup_close(&m);
        } else if (*m.at == '<') {
            markup_open(&m);
        } else if (*m.at == '&') {
            markup_reference(&m);
        } else {
            assert_true(*m.at != '>' && *m.at != '"' && *m.at != '\'');
            m.at++;
        }
    }
    assert_int_equal(m.depth, 0);
    return m.element_count;
}

#endif
