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

/* A factor in words: no power of ten for one of hundreds. */
static void put_times(te_buffer *line, double factor, int digits)
{
    if (factor >= 99.5) {
        te_put_fixed(line, factor, 0);
    } else {
        te_put_number(line, factor, digits);
    }
}

static void put_scatter(const struct wearing *t)
{
    const te_series *series = t->series;
    te_buffer *line = t->lines;
    double chance = te_line_chance(&series->line);
    if (!(chance < TE_REMARKABLE)) {
        return;
    }
    te_notes_next(line);
    te_buffer_text(line, "SCATTER: the points lie farther from a straight line than their "
                         "uncertainty explains (chance ");
    te_put_probability(line, chance);
    te_buffer_text(line, "): a part changed and not written down, a change of use, a slip, or an "
                         "uncertainty stated too small; U is widened by a factor of ");
    put_times(line, sqrt(series->line.scale), 3);
    te_buffer_text(line, ". If the last build wears faster than the line (see topend compare), the "
                         "limit comes sooner than told here");
}

static void put_projection_note(const struct wearing *t)
{
    const te_series *series = t->series;
    if (isnan(series->service) || series->method == TE_RATE_NONE || series->met) {
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
                          "parts that were all new at 0 h (for a gap the cylinder too)"
                        : "all at the same hours: no rate");
    } else if (series->singular) {
        put_note(t, "nearly all of the uncertainty is common to the points: the rest is widened to "
                    "fit a line");
    } else if (series->method == TE_RATE_ORDINARY) {
        put_note(t,
                 isnan(series->line.var_rate)
                     ? "an uncertainty is not stated in instruments.csv, and the points lie on a "
                       "line: nothing tells how wrong the rate may be"
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
                         : t->series->unknown ? " left out: before an unknown history"
                                              : " left out: in another cylinder");
}

/* What is shown and not fitted. */
static void put_shown_only(const struct wearing *t)
{
    bool run_in = false;
    bool partial = false;
    const te_point *points = &t->history->points[t->series->first_point];
    for (uint32_t i = 0; i < t->series->point_count; i++) {
        bool shown = !points[i].fitted && !points[i].assumed;
        run_in = run_in || (shown && points[i].run_in);
        partial = partial || (shown && points[i].partial);
    }
    if (run_in) {
        put_note(t,
                 "run-in: what was measured before run_in_hours is shown, the rate leaves it out");
    }
    if (partial) {
        put_note(t, "what was measured at fewer places than plan.csv names is shown, the rate "
                    "leaves it out");
    }
    if (t->series->partial) {
        put_note(t, "PLACES MISSING: a point was measured at fewer places than plan.csv names; the "
                    "rate may be wrong either way");
    }
}

/* Where the growth of a gap comes from. */
static void put_split(const struct wearing *t)
{
    te_gap_split split;
    te_buffer *line = t->lines;
    if (te_gap_split_of(&split, t->history, t->series) != TE_SPLIT_GOOD) {
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

/* The direction in which a quantity wears: up, or down for the sizes of a skirt or a pin; 0 for form,
 * which may get better, and for features of the user's own. */
static double wear_direction(te_quantity quantity)
{
    switch (quantity) {
    case TE_Q_SKIRT:
    case TE_Q_PIN: return -1.0;
    case TE_Q_BORE:
    case TE_Q_END_GAP:
    case TE_Q_PIN_BORE:
    case TE_Q_SMALL_END_BORE: return 1.0;
    default: return 0.0;
    }
}

/* Metal does not grow back: a step against wear by more than its uncertainty. */
static void put_backwards(const struct wearing *t)
{
    const double k = 2.0; /* expanded uncertainty */
    const te_observations *pool = &t->history->pool;
    const te_point *points = &t->history->points[t->series->first_point];
    double direction = wear_direction(t->series->quantity);
    for (uint32_t i = 1; i < t->series->point_count; i++) {
        te_form minus = te_form_scale(&points[i - 1].form, -1.0);
        te_form step;
        if (points[i - 1].assumed || points[i - 1].partial || points[i].partial ||
            !points[i].stated || !points[i - 1].stated ||
            te_form_add(&step, &points[i].form, &minus) != TE_OK) {
            continue;
        }
        double back = -direction * te_form_value(pool, &step);
        if (back > k * sqrt(te_form_variance(pool, &step))) {
            te_notes_next(t->lines);
            te_buffer_text(t->lines, "BACKWARDS: from ");
            te_put_hours(t->lines, points[i - 1].hours);
            te_buffer_text(t->lines, " to ");
            te_put_hours(t->lines, points[i].hours);
            te_buffer_text(t->lines, " it went against wear by ");
            te_put_value(t->lines, back, "mm");
            te_buffer_text(t->lines,
                           " mm, more than its uncertainty: a slip, another part, another "
                           "place? Nothing here can be trusted until that is mended");
        }
    }
}

void te_notes_series(te_buffer *lines, const te_shop *shop, const te_history *history,
                     const te_series *series)
{
    const struct wearing wearing = {lines, shop, history, series};
    const struct wearing *t = &wearing;
    put_backwards(t);
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
    put_shown_only(t);
    put_left_out(t);
    if (!series->fitted_now) {
        bool together = series->second_kind != TE_KIND_NONE || series->cylinder != 0;
        put_note(t, together ? "no longer together on the engine" : "no longer on the engine");
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
    te_buffer_text(line,
                   "; where no reading is a slip, chance alone would show such a difference less "
                   "than once in ");
    te_buffer_text(line, words);
}

/* What is compared, in words: faster or slower wear, or where one of the two is no wear at all
 * only that they differ. */
static void put_comparison(te_buffer *line, const te_build_wear *row, bool both_wear)
{
    if (both_wear) {
        te_buffer_text(line, " wears ");
        put_times(line, row->ratio, 2);
        te_buffer_text(line, " times as fast as in the build before: ");
    } else {
        te_buffer_text(line, " changes otherwise than in the build before: ");
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
    te_buffer_text(line, ": ");
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

static bool any_differs(const te_builds *builds)
{
    for (size_t i = 0; i < builds->wear_count; i++) {
        if (is_remarkable(&builds->wears[i])) {
            return true;
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

void te_notes_no_build(te_buffer *lines, const te_builds *builds)
{
    size_t tested = 0;
    size_t untested = 0;
    for (size_t i = 0; i < builds->wear_count; i++) {
        const te_build_wear *row = &builds->wears[i];
        tested += isnan(row->p_same) ? 0 : 1;
        untested += isnan(row->p_same) && !isnan(row->before) ? 1 : 0;
    }
    if (tested > 0 && !any_differs(builds)) {
        te_notes_next(lines);
        te_buffer_text(lines, "Of ");
        te_put_count(lines, tested);
        te_buffer_text(lines, tested == 1 ? " difference" : " differences");
        te_buffer_text(lines, " between a build and the one before that could be tested, none is "
                              "more than chance explains.");
    }
    if (untested > 0) {
        te_notes_next(lines);
        te_put_count(lines, untested);
        te_buffer_text(lines, untested == 1 ? " difference" : " differences");
        te_buffer_text(lines, " could not be tested, for an uncertainty is not stated in "
                              "instruments.csv: look at the ratios.");
    }
}
