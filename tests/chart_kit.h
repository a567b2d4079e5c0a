/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Figures and the shops that they are drawn from, for the tests of the charts. */
#ifndef TE_CHART_KIT_H
#define TE_CHART_KIT_H

#include "te_shop_text.h"

#include <math.h>
#include <string.h>

#include "topend/chart.h"

/* A shop, what was made from it, and a figure. */
typedef struct chart_desk {
    te_made_shop made;
    te_assessment assessment;
    te_history history;
    te_builds builds;
    te_drawing drawing;
} chart_desk;

static inline void desk_open(chart_desk *d, const te_shop_file *base, const te_shop_file *changes)
{
    *d = (chart_desk){0};
    te_made_read(&d->made, base, changes);
}

static inline void desk_judge(chart_desk *d, uint32_t inspection)
{
    assert_int_equal(te_assess(&d->assessment, d->made.shop, inspection, false), TE_OK);
}

static inline void desk_follow(chart_desk *d)
{
    assert_int_equal(te_history_make(&d->history, d->made.shop, NULL, 0), TE_OK);
    assert_int_equal(te_builds_make(&d->builds, &d->history, d->made.shop), TE_OK);
}

static inline void desk_clear(chart_desk *d)
{
    te_drawing_free(&d->drawing);
    te_builds_free(&d->builds);
    te_history_free(&d->history);
    te_assessment_free(&d->assessment);
    te_made_free(&d->made);
}

/* A number as the CSV outputs write it. */
static inline const char *figure_of(char out[TE_NUMBER_SIZE], double value)
{
    (void)te_number_format(out, value, 9);
    return out;
}

static inline const char *note_of(const te_drawing *drawing, const te_mark *mark)
{
    return te_drawing_chars(drawing, mark->note);
}

/* How many marks have a note that begins with a text, or with NULL contains another. */
static inline size_t notes_with(const te_drawing *drawing, const char *start, const char *part)
{
    size_t count = 0;
    for (size_t i = 0; i < drawing->mark_count; i++) {
        const char *note = note_of(drawing, &drawing->marks[i]);
        bool begins = start == NULL || strncmp(note, start, strlen(start)) == 0;
        bool holds = part == NULL || strstr(note, part) != NULL;
        count += *note != '\0' && begins && holds ? 1 : 0;
    }
    return count;
}

/* The first mark whose note holds a text; fails the test when there is none. */
static inline const te_mark *mark_with(const te_drawing *drawing, const char *part)
{
    for (size_t i = 0; i < drawing->mark_count; i++) {
        if (strstr(note_of(drawing, &drawing->marks[i]), part) != NULL)
            return &drawing->marks[i];
    }
    fail_msg("no mark says \"%s\"", part);
    return NULL;
}

/* How many texts of a figure hold a text. */
static inline size_t texts_with(const te_drawing *drawing, const char *part)
{
    size_t count = 0;
    for (size_t i = 0; i < drawing->mark_count; i++) {
        const te_mark *mark = &drawing->marks[i];
        if (mark->kind == TE_MARK_TEXT && strstr(te_drawing_chars(drawing, mark->text), part))
            count++;
    }
    return count;
}

static inline te_place place_of(const te_drawing *drawing, const te_mark *mark)
{
    return drawing->places[mark->first_place];
}

#endif
