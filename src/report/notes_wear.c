/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Notes on wear: what to mind about a series, and where builds differ. */
#include <math.h>

#include "notes.h"
#include "wear_words.h"

/* ---- a series ---- */

struct wearing {
    te_buffer *lines;
    const te_shop *shop;
    const te_history *history;
    const te_series *series;
};

static void put_note(const struct wearing *t, const char *text)
{
    te_notes_next(t->lines);
    te_buffer_text(t->lines, text);
}

static void put_scatter(const struct wearing *t)
{
    const te_series *series = t->series;
    te_buffer *line = t->lines;
    if (!(series->chance < TE_REMARKABLE)) {
        return;
    }
    te_notes_next(line);
    te_buffer_text(line, "SCATTER: the points lie farther from a straight line than their "
                         "uncertainty explains (chance ");
    te_put_probability(line, series->chance);
    te_buffer_text(line, "): a change of use, a slip, or an uncertainty stated too small; U is "
                         "widened by a factor of ");
    te_put_number(line, sqrt(series->line.scale), 3);
    te_buffer_text(line, ". If the last build wears faster than the line (see topend compare), the "
                         "limit comes sooner than told here");
}

static void put_projection_note(const struct wearing *t)
{
    const te_series *series = t->series;
    if (isnan(series->service) || series->method == TE_RATE_NONE) {
        return;
    }
    if (series->met) {
        if (!(series->at_limit <= series->hours_last)) {
            put_note(t, "the last value itself is at its limit or past it: for `due` nothing is "
                        "left");
        }
        return;
    }
    if (isnan(series->at_limit)) {
        put_note(t, isnan(series->at_limit_earliest)
                        ? "the rate does not lead to the limit within 100000 h"
                        : "the rate as estimated does not lead to the limit; as steep as it may "
                          "be, it does");
    }
}

static void put_method(const struct wearing *t)
{
    const te_series *series = t->series;
    if (series->method == TE_RATE_NONE) {
        put_note(t, series->point_count == 1
                        ? "measured once: a rate needs a second inspection, or as-new limits and "
                          "a part that was new at 0 h"
                        : "all at the same hours: no rate");
    } else if (series->singular) {
        put_note(t, "nearly all of the uncertainty is common to the points: fitted without it");
    } else if (series->method == TE_RATE_ORDINARY) {
        put_note(t, series->line.freedom == 0
                        ? "an uncertainty is not stated in instruments.csv and there are two "
                          "points only: nothing tells how wrong the rate may be"
                        : "an uncertainty is not stated in instruments.csv: the scatter about the "
                          "line stands for it");
    }
}

static void put_left_out(const struct wearing *t)
{
    te_buffer *line = t->lines;
    if (t->series->dropped == 0) {
        return;
    }
    te_notes_next(line);
    te_put_count(line, t->series->dropped);
    te_buffer_text(line, t->series->dropped == 1 ? " earlier measurement is"
                                                 : " earlier measurements are");
    te_buffer_text(line, t->series->second_kind != TE_KIND_NONE
                             ? " left out: before these parts came together again"
                             : " left out: before an unknown history");
}

static bool has_run_in(const struct wearing *t)
{
    const te_point *points = &t->history->points[t->series->first_point];
    for (uint32_t i = 0; i < t->series->point_count; i++) {
        if (!points[i].fitted && !points[i].assumed) {
            return true;
        }
    }
    return false;
}

/* Where the growth of a gap comes from. */
static void put_split(const struct wearing *t)
{
    te_gap_split split;
    te_buffer *line = t->lines;
    if (te_gap_split_of(&split, t->history, t->shop, t->series) != TE_SPLIT_GOOD) {
        return;
    }
    te_notes_next(line);
    te_buffer_text(line, "from ");
    te_put_hours(line, split.hours_from);
    te_buffer_text(line, " to ");
    te_put_hours(line, split.hours_to);
    te_buffer_text(line, " the gap grew by ");
    te_put_fixed(line, split.growth, 4);
    te_buffer_text(line, " mm: ");
    te_put_fixed(line, split.from_bore, 4);
    te_buffer_text(line, " from the bore at ");
    te_put_number(line, split.position, 6);
    te_buffer_text(line, " mm, the rest from the ring, ");
    te_put_fixed(line, split.ring_wear, 4);
    te_buffer_text(line, " mm off its face");
    if (split.stated) {
        te_buffer_text(line, " (U ");
        te_put_fixed(line, 2.0 * split.u_ring_wear, 4);
        te_buffer_text(line, ")");
    }
}

void te_notes_series(te_buffer *lines, const te_shop *shop, const te_history *history,
                     const te_series *series)
{
    const struct wearing wearing = {lines, shop, history, series};
    const struct wearing *t = &wearing;
    put_scatter(t);
    put_projection_note(t);
    put_method(t);
    if (series->assumed) {
        put_note(t, "ASSUMED: as new at 0 h, in the middle of the as-new limits, not measured");
    }
    if (series->original) {
        put_note(t, "only if never changed: parts.csv has no row for it");
    }
    if (series->unknown) {
        put_note(t, "history unknown: hours count from its first reading");
    }
    if (has_run_in(t)) {
        put_note(t, "run-in: what was measured before run_in_hours is shown, not fitted");
    }
    put_left_out(t);
    if (!series->fitted_now) {
        put_note(t, "no longer on the engine");
    }
    put_split(t);
}

/* ---- builds ---- */

struct building {
    te_buffer *lines;
    const te_shop *shop;
    const te_history *history;
    const te_builds *builds;
};

static const te_series *series_of(const struct building *c, const te_build_wear *row)
{
    return &c->history->series[row->series];
}

static bool is_remarkable(const te_build_wear *row)
{
    return row->p_holm < TE_REMARKABLE; /* false for NAN */
}

/* True for a rate that leads to the side's limit. */
static bool is_wear(const te_series *series, double rate)
{
    return series->side == TE_SIDE_HIGH ? rate > 0.0 : rate < 0.0;
}

/* The round number that a probability is below: once in 20, 100, 1000 ... */
static void put_chance(te_buffer *line, double p)
{
    static const struct {
        double below;
        const char *words;
    } steps[] = {{1e-6, "1000000"}, {1e-4, "10000"}, {1e-3, "1000"}, {1e-2, "100"}};
    const char *words = "20"; /* TE_REMARKABLE */
    for (size_t i = sizeof steps / sizeof *steps; i > 0; i--) {
        words = p < steps[i - 1].below ? steps[i - 1].words : words;
    }
    te_buffer_text(line, "; chance alone would show such a difference less than once in ");
    te_buffer_text(line, words);
}

/* What is compared, in words: faster or slower wear, or where one of the two is no wear at all
 * only that they differ. */
static void put_comparison(te_buffer *line, const te_build_wear *row, bool both_wear)
{
    if (both_wear) {
        te_buffer_text(line, " ");
        te_put_number(line, row->ratio, 2);
        te_buffer_text(line, " times as fast as the build before: ");
    } else {
        te_buffer_text(line, " otherwise than the build before: ");
    }
}

static void put_statement(const struct building *c, const te_build_wear *row)
{
    const te_series *series = series_of(c, row);
    const char *unit = te_series_unit(c->shop, c->history, series);
    te_measured subject = te_series_subject(series);
    bool both_wear = is_wear(series, row->rate) && is_wear(series, row->before);
    te_buffer *line = c->lines;
    te_notes_next(line);
    te_buffer_text(line, "build ");
    te_put_count(line, row->build);
    te_buffer_text(line, both_wear ? " wears " : " changes ");
    te_put_quantity(line, c->shop, series->quantity, series->item);
    te_buffer_text(line, " of ");
    te_write_parts(line, c->shop, &subject);
    put_comparison(line, row, both_wear);
    te_put_value(line, row->rate * TE_RATE_HOURS, unit);
    te_buffer_text(line, " against ");
    te_put_value(line, row->before * TE_RATE_HOURS, unit);
    te_buffer_text(line, " ");
    te_buffer_safe(line, unit);
    te_buffer_text(line, "/100 h");
    put_chance(line, row->p_holm);
}

/* Of a quantity with limits on both sides the side that its wear leads to tells it all. */
static bool is_told_by_other_side(const struct building *c, const te_build_wear *row)
{
    const te_series *mine = series_of(c, row);
    for (size_t i = 0; i < c->builds->wear_count; i++) {
        const te_build_wear *other = &c->builds->wears[i];
        const te_series *theirs = series_of(c, other);
        if (other->build == row->build && theirs->side != mine->side &&
            theirs->quantity == mine->quantity && theirs->item == mine->item &&
            theirs->part == mine->part && theirs->second_part == mine->second_part &&
            is_remarkable(other) && is_wear(theirs, other->rate)) {
            return !is_wear(mine, row->rate);
        }
    }
    return false;
}

void te_notes_builds(te_buffer *lines, const te_shop *shop, const te_history *history,
                     const te_builds *builds)
{
    const struct building c = {lines, shop, history, builds};
    for (size_t i = 0; i < builds->wear_count; i++) {
        const te_build_wear *row = &builds->wears[i];
        if (is_remarkable(row) && !is_told_by_other_side(&c, row)) {
            put_statement(&c, row);
        }
    }
}

bool te_builds_are_compared(const te_builds *builds)
{
    for (size_t i = 0; i < builds->wear_count; i++) {
        if (!isnan(builds->wears[i].p_same)) {
            return true;
        }
    }
    return false;
}

const char te_no_build_differs[] =
    "No build wears faster or slower than the one before by more than chance explains.";
