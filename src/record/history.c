/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Which part was on an engine when. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "internal.h"

static int by_engine_kind_hours(const void *left, const void *right)
{
    const te_stay *a = left;
    const te_stay *b = right;
    if (a->engine != b->engine) {
        return a->engine < b->engine ? -1 : 1;
    }
    if (a->kind != b->kind) {
        return a->kind < b->kind ? -1 : 1;
    }
    if (a->fitted_hours < b->fitted_hours || a->fitted_hours > b->fitted_hours) {
        return a->fitted_hours < b->fitted_hours ? -1 : 1;
    }
    if (a->removed_hours < b->removed_hours || a->removed_hours > b->removed_hours) {
        return a->removed_hours < b->removed_hours ? -1 : 1;
    }
    return (a->origin.line > b->origin.line) - (a->origin.line < b->origin.line);
}

/* An engine has one part of a kind: one that is still on it comes off when the next is fitted. */
static void end_open_stay(te_shop *shop, te_stay *earlier, const te_stay *later)
{
    bool replaced = earlier->engine == later->engine && earlier->kind == later->kind &&
                    earlier->kind != TE_KIND_OTHER && isinf(earlier->removed_hours) &&
                    later->fitted_hours > earlier->fitted_hours;
    if (!replaced) {
        return;
    }
    char hours[TE_NUMBER_SIZE];
    struct place_of place = te_place_engine(shop, TE_WARNING, earlier->origin, "removed_hours",
                                            earlier->engine);
    earlier->removed_hours = later->fitted_hours;
    (void)te_number_format(hours, later->fitted_hours, 9);
    te_shop_problem(shop, &place, "write it down",
                    "blank, but %s was fitted at %s h: taken as removed then",
                    te_names_text(&shop->names, later->part), hours);
}

/* Two parts of a kind at the same time: told at the row whose removal is missing, else at the
 * later one. */
static void check_overlap(te_shop *shop, const te_stay *earlier, const te_stay *later)
{
    if (earlier->engine != later->engine || earlier->kind != later->kind ||
        earlier->kind == TE_KIND_OTHER || later->fitted_hours >= earlier->removed_hours) {
        return;
    }
    bool open = isinf(earlier->removed_hours);
    const te_stay *wrong = open ? earlier : later;
    struct place_of place = te_place_engine(shop, TE_ERROR, wrong->origin,
                                            open ? "removed_hours" : "fitted_hours", wrong->engine);
    te_shop_problem(shop, &place, "correct the hours of fitting and removal",
                    "%s is on the engine at the same time as %s of line %u",
                    te_names_text(&shop->names, wrong->part),
                    te_names_text(&shop->names, open ? later->part : earlier->part),
                    (unsigned)(open ? later->origin.line : earlier->origin.line));
}

/* An engine does not run without the part: hours between one that came off and the next are a slip in one of the
 * two, and what was measured would be taken for the wrong one's. */
static void check_hole(te_shop *shop, const te_stay *earlier, const te_stay *later)
{
    if (earlier->engine != later->engine || earlier->kind != later->kind ||
        earlier->kind == TE_KIND_OTHER ||
        later->fitted_hours <= earlier->removed_hours + TE_SAME_HOURS) {
        return;
    }
    char from[TE_NUMBER_SIZE];
    char to[TE_NUMBER_SIZE];
    struct place_of place = te_place_engine(shop, TE_WARNING, later->origin, "fitted_hours",
                                            later->engine);
    (void)te_number_format(from, earlier->removed_hours, 9);
    (void)te_number_format(to, later->fitted_hours, 9);
    te_shop_problem(shop, &place, "correct the hours of one of them, or add the part between",
                    "the engine has no %s from %s to %s h, after %s of line %u",
                    te_kind_name(later->kind), from, to, te_names_text(&shop->names, earlier->part),
                    (unsigned)earlier->origin.line);
}

static void check_pair(te_shop *shop, const te_stay *first, const te_stay *second)
{
    struct place_of place = te_place_engine(shop, TE_ERROR, second->origin, "kind", second->engine);
    if (first->kind != second->kind) {
        te_shop_problem(shop, &place, "a part has one kind: correct it, or rename the part",
                        "line %u says that it is a %s", (unsigned)first->origin.line,
                        te_kind_name(first->kind));
    } else if (isinf(first->removed_hours) && isinf(second->removed_hours) &&
               first->engine != second->engine) {
        place.severity = TE_WARNING;
        place.column = "part";
        te_shop_problem(shop, &place, "give the hours at which it was removed from one of them",
                        "%s is in two places: it is still on the engine of line %u",
                        te_names_text(&shop->names, second->part), (unsigned)first->origin.line);
    }
}

/* Own hours at which a stay ends. */
static double own_end(const te_stay *stay)
{
    return stay->hours_before + stay->removed_hours - stay->fitted_hours;
}

/* A part that comes back brings its hours with it: stays that claim the same own hours are a slip,
 * most often a blank hours_before. True when it was told. */
static bool check_own_hours(te_shop *shop, const te_stay *first, const te_stay *second)
{
    const double slack = 0.01; /* h: hours are seldom written finer */
    bool apart = own_end(first) <= second->hours_before + slack ||
                 own_end(second) <= first->hours_before + slack;
    bool told = first->unknown_history || second->unknown_history || first->kind != second->kind ||
                (isinf(own_end(first)) && isinf(own_end(second)));
    bool one_stay = first->engine == second->engine &&
                    (fabs(first->removed_hours - second->fitted_hours) <= TE_SAME_HOURS ||
                     fabs(second->removed_hours - first->fitted_hours) <= TE_SAME_HOURS);
    if (apart || told || one_stay) {
        return false;
    }
    char hours[TE_NUMBER_SIZE];
    struct place_of place = te_place_engine(shop, TE_WARNING, second->origin, "hours_before",
                                            second->engine);
    (void)te_number_format(hours, second->hours_before, 9);
    te_shop_problem(shop, &place, "write the part's own hours before this stay",
                    "%s starts here at %s h of its own, hours that it also has in line %u",
                    te_names_text(&shop->names, second->part), hours, (unsigned)first->origin.line);
    return true;
}

static int by_line(const void *left, const void *right)
{
    const te_stay *const *a = left;
    const te_stay *const *b = right;
    return ((*a)->origin.line > (*b)->origin.line) - ((*a)->origin.line < (*b)->origin.line);
}

/* Where the rows of each part begin; behind the last one all end. */
static void count_parts(te_shop *shop)
{
    uint32_t *first = shop->first_of_part;
    for (size_t i = 0; i < shop->stays.count; i++) {
        first[shop->stays.items[i].part + 1]++;
    }
    for (size_t i = 0; i < shop->parts_end; i++) {
        first[i + 1] += first[i];
    }
}

/* The rows of each part beside each other, in the order of the file. */
static void order_parts(te_shop *shop, const te_stay **rows)
{
    uint32_t *next = shop->by_part; /* its place for the part's next row, until all have theirs */
    const uint32_t *first = shop->first_of_part;
    for (size_t i = 0; i < shop->stays.count; i++) {
        const te_stay *stay = &shop->stays.items[i];
        rows[first[stay->part] + next[first[stay->part]]++] = stay;
    }
    for (size_t part = 0; part < shop->parts_end; part++) {
        size_t count = first[part + 1] - first[part];
        if (count > 1) {
            qsort(rows + first[part], count, sizeof *rows, by_line);
        }
    }
    for (size_t i = 0; i < shop->stays.count; i++) {
        shop->by_part[i] = (uint32_t)(rows[i] - shop->stays.items);
    }
}

static void index_parts(te_shop *shop)
{
    size_t count = shop->stays.count;
    const te_stay **rows = calloc(count + 1, sizeof *rows);
    shop->parts_end = shop->names.count;
    shop->first_of_part = calloc(shop->parts_end + 1, sizeof *shop->first_of_part);
    shop->by_part = calloc(count + 1, sizeof *shop->by_part);
    if (rows == NULL || shop->first_of_part == NULL || shop->by_part == NULL) {
        shop->out_of_memory = true;
    } else {
        count_parts(shop);
        order_parts(shop, rows);
    }
    free(rows);
}

/* A part's rows against each other: one kind, one place, one clock. Own hours are held against the
 * row before, and against the one that ends highest so far. */
static void check_places(te_shop *shop)
{
    const te_stay *highest = NULL;
    for (size_t i = 1; i < shop->stays.count; i++) {
        const te_stay *first = &shop->stays.items[shop->by_part[i - 1]];
        const te_stay *second = &shop->stays.items[shop->by_part[i]];
        if (first->part != second->part) {
            highest = NULL;
            continue;
        }
        bool higher = highest == NULL || own_end(first) > own_end(highest);
        highest = higher ? first : highest;
        check_pair(shop, first, second);
        if (!check_own_hours(shop, first, second) && highest != first) {
            (void)check_own_hours(shop, highest, second);
        }
    }
}

static void index_engines(te_shop *shop)
{
    for (size_t i = shop->stays.count; i > 0; i--) {
        te_engine *engine = &shop->engines.items[shop->stays.items[i - 1].engine];
        engine->first_stay = (uint32_t)(i - 1);
        engine->stay_count++;
    }
}

void te_shop_check_stays(te_shop *shop)
{
    if (shop->stays.count > 1) {
        qsort(shop->stays.items, shop->stays.count, sizeof *shop->stays.items,
              by_engine_kind_hours);
        for (size_t i = 1; i < shop->stays.count; i++) {
            end_open_stay(shop, &shop->stays.items[i - 1], &shop->stays.items[i]);
            check_overlap(shop, &shop->stays.items[i - 1], &shop->stays.items[i]);
            check_hole(shop, &shop->stays.items[i - 1], &shop->stays.items[i]);
        }
    }
    index_engines(shop);
    index_parts(shop);
    if (!shop->out_of_memory) {
        check_places(shop);
    }
}

/* Hours at which the original part of a kind came off: INFINITY without a row of that kind. */
static double original_until(const te_shop *shop, uint32_t engine, te_kind kind)
{
    size_t count = 0;
    const te_stay *stays = te_shop_engine_stays(&count, shop, engine);
    for (size_t i = 0; i < count; i++) {
        if (stays[i].kind == kind) {
            return stays[i].fitted_hours;
        }
    }
    return INFINITY;
}

/* ---- original parts ---- */

static te_id make_original(te_shop *shop, te_id engine, const char *kind)
{
    const char *name = te_names_text(&shop->names, engine);
    size_t name_length = strlen(name);
    size_t kind_length = strlen(kind);
    char *text = malloc(name_length + 1 + kind_length + 1);
    if (text == NULL) {
        shop->out_of_memory = true;
        return 0;
    }
    memcpy(text, name, name_length + 1);
    text[name_length] = '/';
    memcpy(text + name_length + 1, kind, kind_length + 1);
    te_id id = te_shop_intern(shop, (te_slice){text, name_length + 1 + kind_length});
    free(text);
    return id;
}

static bool has_no_row(const te_shop *shop, te_id part)
{
    size_t rows = 0;
    (void)te_shop_part_stays(&rows, shop, part);
    return part != 0 && rows == 0;
}

/* True when a reading or a condition names a part that parts.csv does not: it may be an original one. */
static bool any_has_no_row(const te_shop *shop)
{
    bool any = false;
    for (size_t i = 0; i < shop->readings.count && shop->parts_named && !any; i++) {
        any = has_no_row(shop, shop->readings.items[i].part);
    }
    for (size_t i = 0; i < shop->conditions.count && !any; i++) {
        any = has_no_row(shop, shop->conditions.items[i].part);
    }
    return any;
}

void te_shop_name_originals(te_shop *shop)
{
    size_t count = shop->engines.count * TE_KIND_NONE;
    bool all = any_has_no_row(shop);
    shop->originals = calloc(count + 1, sizeof *shop->originals);
    shop->out_of_memory = shop->out_of_memory || shop->originals == NULL;
    for (size_t i = 0; i < count && !shop->out_of_memory; i++) {
        uint32_t engine = (uint32_t)(i / TE_KIND_NONE);
        te_kind kind = (te_kind)(i % TE_KIND_NONE);
        if (all || kind == TE_KIND_OTHER || original_until(shop, engine, kind) > 0.0) {
            shop->originals[i] = make_original(shop, shop->engines.items[engine].id,
                                               te_kind_name(kind));
        }
    }
}

/* The name of an engine's original part of a kind; 0 where nobody can mean it. */
static te_id original_part(const te_shop *shop, uint32_t engine, te_kind kind)
{
    return shop->originals[engine * (size_t)TE_KIND_NONE + kind];
}

/* The parts that may be meant at certain hours. */
struct candidates {
    te_id part[4];
    bool before[4], after[4]; /* it is on the engine just before, just after those hours */
    size_t count;
};

static void add_candidate(struct candidates *c, te_id part, bool before, bool after)
{
    for (size_t i = 0; i < c->count; i++) {
        if (c->part[i] == part) { /* off and back at the same hours is one stay */
            c->before[i] = c->before[i] || before;
            c->after[i] = c->after[i] || after;
            return;
        }
    }
    if (c->count < sizeof c->part / sizeof *c->part) {
        c->part[c->count] = part;
        c->before[c->count] = before;
        c->after[c->count] = after;
        c->count++;
    }
}

static enum te_on_engine choose(te_id *part, const struct candidates *c, te_state state)
{
    size_t matches = 0;
    if (c->count == 0) {
        return TE_ON_NONE;
    }
    *part = c->part[0];
    if (c->count == 1) { /* one that came off and has no follower is not what was built */
        return state == TE_STATE_BUILT && !c->after[0] ? TE_ON_NONE : TE_ON_ONE;
    }
    for (size_t i = 0; i < c->count; i++) {
        bool fits = (state == TE_STATE_FOUND && c->before[i]) ||
                    (state == TE_STATE_BUILT && c->after[i]);
        if (fits) {
            *part = c->part[i];
            matches++;
        }
    }
    return matches == 1 ? TE_ON_ONE : TE_ON_CHANGE;
}

enum te_on_engine te_shop_part_by_history(te_id *part, const te_shop *shop,
                                          const te_inspection *inspection, te_kind kind)
{
    struct candidates c = {.count = 0};
    double hours = inspection->hours;
    *part = 0;
    if (inspection->engine == TE_NO_INDEX || isnan(hours)) {
        return TE_ON_NONE;
    }
    if (kind == TE_KIND_OTHER) {
        *part = original_part(shop, inspection->engine, kind);
        return TE_ON_ONE;
    }
    double until = original_until(shop, inspection->engine, kind);
    if (until > 0.0 && hours <= until) {
        add_candidate(&c, original_part(shop, inspection->engine, kind), true, hours < until);
    }
    size_t count = 0;
    const te_stay *stays = te_shop_engine_stays(&count, shop, inspection->engine);
    for (size_t i = 0; i < count; i++) {
        const te_stay *stay = &stays[i];
        if (stay->kind == kind && stay->fitted_hours <= hours && hours <= stay->removed_hours) {
            add_candidate(&c, stay->part, stay->fitted_hours < hours, hours < stay->removed_hours);
        }
    }
    return choose(part, &c, inspection->state);
}

/* The kind of which a text is the original part, TE_KIND_NONE when it is none. */
static te_kind original_kind(const te_shop *shop, uint32_t engine, te_id part)
{
    for (int kind = 0; kind < TE_KIND_NONE; kind++) {
        if (original_part(shop, engine, (te_kind)kind) == part) {
            return (te_kind)kind;
        }
    }
    return TE_KIND_NONE;
}

/* Looks for the part among the stays of its engine; the usual case, without a text made. */
static bool stays_on(te_kind *kind, const te_shop *shop, const te_inspection *inspection,
                     te_id part)
{
    bool on = false;
    size_t count = 0;
    const te_stay *stays = te_shop_engine_stays(&count, shop, inspection->engine);
    for (size_t i = 0; i < count; i++) {
        const te_stay *stay = &stays[i];
        bool covers = stay->fitted_hours <= inspection->hours &&
                      inspection->hours <= stay->removed_hours;
        if (stay->part == part && !on) {
            *kind = stay->kind;
            on = covers;
        }
    }
    return on;
}

bool te_shop_part_is_on(te_kind *kind, const te_shop *shop, const te_inspection *inspection,
                        te_id part)
{
    *kind = TE_KIND_NONE;
    if (stays_on(kind, shop, inspection, part)) {
        return true;
    }
    te_kind original = original_kind(shop, inspection->engine, part);
    if (original != TE_KIND_NONE) {
        double until = original_until(shop, inspection->engine, original);
        *kind = original;
        return original == TE_KIND_OTHER || (until > 0.0 && inspection->hours <= until);
    }
    size_t count = 0;
    const uint32_t *rows = te_shop_part_stays(&count, shop, part);
    *kind = *kind == TE_KIND_NONE && count > 0 ? shop->stays.items[rows[0]].kind : *kind;
    return false;
}

const te_stay *te_shop_engine_stays(size_t *count, const te_shop *shop, uint32_t engine)
{
    const te_engine *row = &shop->engines.items[engine];
    const te_stay *stays = shop->stays.items;
    *count = stays == NULL ? 0
                           : row->stay_count; /* for gcc's analyzer: without stays there is none */
    return stays == NULL ? NULL : stays + row->first_stay;
}

const uint32_t *te_shop_part_stays(size_t *count, const te_shop *shop, te_id part)
{
    bool known = part < shop->parts_end; /* those made later, for original parts, have no row */
    const uint32_t *first = shop->first_of_part + (known ? part : 0);
    *count = known ? first[1] - first[0] : 0;
    return shop->by_part + first[0];
}

uint32_t te_shop_stay(const te_shop *shop, te_id part, uint32_t engine, double hours)
{
    uint32_t found = TE_NO_INDEX;
    const te_engine *row = &shop->engines.items[engine];
    for (uint32_t i = row->first_stay; i < row->first_stay + row->stay_count; i++) {
        const te_stay *stay = &shop->stays.items[i];
        if (stay->part == part && stay->fitted_hours <= hours && hours <= stay->removed_hours) {
            found = i;
        }
    }
    return found;
}

bool te_shop_other_is_on(const te_shop *shop, const te_inspection *inspection, te_id part)
{
    size_t rows = 0;
    (void)te_shop_part_stays(&rows, shop, part);
    return rows == 0 ||
           te_shop_stay(shop, part, inspection->engine, inspection->hours) != TE_NO_INDEX;
}

bool te_shop_on_since(const te_shop *shop, const te_inspection *inspection, te_id part,
                      te_kind kind, double hours)
{
    bool on = kind == TE_KIND_OTHER ? te_shop_other_is_on(shop, inspection, part)
                                    : inspection->part[kind] == part;
    uint32_t at = te_shop_stay(shop, part, inspection->engine, inspection->hours);
    if (!on || at == TE_NO_INDEX) {
        return on; /* an original part has been on from the first hour */
    }
    const te_stay *stays = shop->stays.items;
    double fitted = stays[at].fitted_hours;
    /* Rows of one kind stand in the order of their hours. */
    for (size_t i = at; i > 0 && stays[i - 1].engine == inspection->engine; i--) {
        bool touches = stays[i - 1].part == part &&
                       fabs(stays[i - 1].removed_hours - fitted) <= TE_SAME_HOURS;
        fitted = touches ? fmin(fitted, stays[i - 1].fitted_hours) : fitted;
    }
    return fitted <= hours + TE_SAME_HOURS;
}

bool te_shop_reject_stands(const te_shop *shop, const te_inspection *inspection,
                           const te_condition *condition)
{
    double hours = shop->inspections.items[condition->inspection].hours;
    return condition->severity == TE_REJECT && condition->kind != TE_KIND_NONE &&
           te_shop_on_since(shop, inspection, condition->part, condition->kind, hours);
}
