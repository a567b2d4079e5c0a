/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Random engines with spares on the shelf, as numbers and as the files of a shop: what
 * test_options_brute.c tries sets of parts on. All lengths are in mm unless a name says otherwise. */
#ifndef TE_BRUTE_SHOP_H
#define TE_BRUTE_SHOP_H

#include "te_shop_text.h"

#include <math.h>
#include <string.h>

#include "topend/quantity.h"

enum {
    PART_KINDS = TE_KIND_OTHER, /* kinds that may be replaced */
    ROWS_MOST = 64,
    LIMITS_MOST = 32,
    SPARES_MOST = 64,
    PLACES_MOST = 64,
    SEEN_MOST = 16,
    GAUGES = 4,
    NAME = 32
};

static const double mm_per_inch = 25.4;

/* A row of readings.csv. Of a feature of the user's own the kind tells whose it is. */
typedef struct taken {
    te_kind kind;
    const char *feature, *item;
    double position, direction; /* NAN: blank */
    double size[3];             /* the zero added */
    int repeats;
    double no_go, zero; /* NAN: blank */
    int gauge;          /* -1: none */
} taken;

/* A row of limits.csv. */
typedef struct bounds {
    const char *quantity, *item;
    double at[4]; /* new_min, new_max, service_min, service_max as written; NAN: blank */
    bool inches, required;
} bounds;

enum { NEW_MIN, NEW_MAX, SERVICE_MIN, SERVICE_MAX };

/* A row of spares.csv. */
typedef struct shelf {
    char name[NAME];
    te_kind kind;
    const char *feature, *item; /* feature NULL: blank */
    double size, tolerance, oversize, price;
} shelf;

/* A row of plan.csv. */
typedef struct place {
    const char *feature, *item;
    double position, direction;
} place;

/* A row of condition.csv. */
typedef struct seen {
    te_kind kind;
    const char *severity;
    bool earlier; /* at the inspection before */
} seen;

typedef struct gauge {
    double resolution, expanded, repeatability; /* NAN: blank */
    bool on_first;                              /* set with gauge 0 */
} gauge;

typedef struct engine_case {
    bool rateless; /* without hours: no rates, so that hours are told without them */
    bool simple, declared, inches, reborable, earlier, piston_changed;
    double confidence, hone;
    char part[PART_KINDS][NAME]; /* names; of the original part ENGINE/KIND */
    bool listed[PART_KINDS];     /* in parts.csv */
    double oversize[PART_KINDS]; /* as written */
    double wear[TE_KIND_NONE];   /* how far the parts of a kind are gone */
    taken rows[ROWS_MOST];
    size_t row_count;
    bounds limits[LIMITS_MOST];
    size_t limit_count;
    shelf spares[SPARES_MOST];
    size_t spare_count;
    place plan[PLACES_MOST];
    size_t plan_count;
    seen conditions[SEEN_MOST];
    size_t condition_count;
    gauge gauges[GAUGES];
} engine_case;

#include <stdlib.h>
static inline bool known_bug(const char *name)
{
    const char *all = getenv("BRUTE_KNOWN");
    return all && strstr(all, name);
}

static inline bool is_word(const char *a, const char *b)
{
    return strcmp(a, b) == 0;
}

/* ---- what there is to measure ------------------------------------------------------------------ */

typedef struct feature_of {
    const char *name;
    te_kind kind;
    double fresh, gone; /* sizes of one as new and of one that is done */
    const char *items[2];
    size_t one_in; /* it is measured on one engine in so many */
    bool own;
} feature_of;

static const feature_of features[] = {
    {"bore", TE_KIND_CYLINDER, 66.004, 66.115, {"", NULL}, 1, false},
    {"skirt", TE_KIND_PISTON, 65.937, 65.860, {"", NULL}, 1, false},
    {"end_gap", TE_KIND_RING_SET, 0.27, 0.85, {"1", "2"}, 1, false},
    {"side_clearance", TE_KIND_RING_SET, 0.035, 0.17, {"1", "2"}, 2, false},
    {"pin", TE_KIND_PIN, 16.000, 15.983, {"", NULL}, 3, false},
    {"pin_bore", TE_KIND_PISTON, 16.004, 16.023, {"left", "right"}, 3, false},
    {"small_end_play", TE_KIND_SMALL_END_BEARING, 0.012, 0.068, {"", NULL}, 4, false},
    {"small_end_bore", TE_KIND_ROD, 16.022, 16.048, {"", NULL}, 5, false},
    {"squish", TE_KIND_OTHER, 0.85, 1.7, {"", NULL}, 4, true},
    {"dome", TE_KIND_PISTON, 5.03, 4.75, {"", NULL}, 4, true},
    {"chamfer", TE_KIND_PISTON, 0.52, 0.85, {"a", "b"}, 6, true},
    {"ridge", TE_KIND_CYLINDER, 0.12, 0.34, {"", NULL}, 6, true},
    {"land", TE_KIND_RING_SET, 2.01, 1.90, {"", NULL}, 8, true},
    {"flat", TE_KIND_HEAD, 0.01, 0.07, {"", NULL}, 8, true},
};
enum { FEATURES = sizeof features / sizeof *features };

static inline const feature_of *feature_named(const char *name)
{
    for (size_t i = 0; i < FEATURES; i++) {
        if (is_word(features[i].name, name))
            return &features[i];
    }
    return NULL;
}

/* A quantity with limits, and the kinds that it rests on. */
typedef struct quantity_of {
    const char *name;
    te_kind kind, second;
    double at[4];
    const char *item; /* that may have a row of its own; NULL: none may */
    size_t one_in;
} quantity_of;

static const quantity_of quantities[] = {
    {"bore", TE_KIND_CYLINDER, TE_KIND_NONE, {66.00, 66.02, 65.99, 66.10}, NULL, 1},
    {"out_of_round", TE_KIND_CYLINDER, TE_KIND_NONE, {0.001, 0.01, NAN, 0.03}, NULL, 2},
    {"taper", TE_KIND_CYLINDER, TE_KIND_NONE, {0.002, 0.01, NAN, 0.04}, NULL, 2},
    {"out_of_round_overall", TE_KIND_CYLINDER, TE_KIND_NONE, {NAN, 0.02, NAN, 0.05}, NULL, 6},
    {"taper_ends", TE_KIND_CYLINDER, TE_KIND_NONE, {-0.008, 0.01, -0.03, 0.04}, NULL, 6},
    {"skirt", TE_KIND_PISTON, TE_KIND_NONE, {65.92, 65.94, 65.87, 65.96}, NULL, 1},
    {"skirt_clearance", TE_KIND_CYLINDER, TE_KIND_PISTON, {0.06, 0.10, 0.05, 0.18}, NULL, 1},
    {"skirt_clearance_thrust", TE_KIND_CYLINDER, TE_KIND_PISTON, {0.05, 0.11, 0.04, 0.20}, NULL, 5},
    {"end_gap", TE_KIND_RING_SET, TE_KIND_NONE, {0.25, 0.40, 0.20, 0.80}, "2", 1},
    {"side_clearance", TE_KIND_RING_SET, TE_KIND_PISTON, {0.04, 0.08, 0.03, 0.15}, "2", 1},
    {"pin", TE_KIND_PIN, TE_KIND_NONE, {15.995, 16.0, 15.985, 16.002}, NULL, 1},
    {"pin_bore", TE_KIND_PISTON, TE_KIND_NONE, {16.003, 16.009, 16.001, 16.02}, "left", 1},
    {"pin_clearance", TE_KIND_PISTON, TE_KIND_PIN, {0.004, 0.014, 0.002, 0.03}, "right", 2},
    {"small_end_play", TE_KIND_SMALL_END_BEARING, TE_KIND_NONE, {0.01, 0.03, 0.005, 0.06}, NULL, 1},
    {"small_end_bore", TE_KIND_ROD, TE_KIND_NONE, {16.02, 16.03, 16.015, 16.045}, NULL, 1},
    {"small_end_clearance", TE_KIND_ROD, TE_KIND_PIN, {0.02, 0.035, 0.015, 0.055}, NULL, 2},
    {"squish", TE_KIND_OTHER, TE_KIND_NONE, {0.8, 1.2, 0.6, 1.5}, NULL, 2},
    {"dome", TE_KIND_PISTON, TE_KIND_NONE, {4.95, 5.05, 4.8, 5.2}, NULL, 2},
    {"chamfer", TE_KIND_PISTON, TE_KIND_NONE, {0.45, 0.55, 0.4, 0.8}, "b", 2},
    {"ridge", TE_KIND_CYLINDER, TE_KIND_NONE, {0.1, 0.2, 0.05, 0.3}, NULL, 2},
    {"land", TE_KIND_RING_SET, TE_KIND_NONE, {1.99, 2.02, 1.92, 2.05}, NULL, 2},
    {"flat", TE_KIND_HEAD, TE_KIND_NONE, {0.0, 0.03, NAN, 0.06}, NULL, 2},
};
enum { QUANTITIES = sizeof quantities / sizeof *quantities };

static inline const quantity_of *quantity_named(const char *name)
{
    for (size_t i = 0; i < QUANTITIES; i++) {
        if (is_word(quantities[i].name, name))
            return &quantities[i];
    }
    fail_msg("%s is no quantity of these shops", name);
    return NULL;
}

/* ---- chance ---------------------------------------------------------------------------------- */

static inline bool chance(te_random *random, size_t one_in)
{
    return te_random_below(random, one_in) == 0;
}

static inline double round_to(double value, double step)
{
    return round(value / step) * step;
}

static inline double pick_mm(te_random *random, double low, double high)
{
    return round_to(te_random_between(random, low, high), 1e-4);
}

/* ---- readings ---------------------------------------------------------------------------------- */

static inline double oversize_mm(const engine_case *e, double written)
{
    return e->inches ? written * mm_per_inch : written;
}

static inline bool is_oversized(const char *feature)
{
    return is_word(feature, "bore") || is_word(feature, "skirt");
}

/* A size of a part in use: bores are told apart to a millionth of a mm, so that none ties. */
static inline double worn_size(const engine_case *e, te_random *random, const feature_of *f)
{
    double gone = e->wear[f->kind] * te_random_between(random, 0.1, 1.0);
    double shift = is_oversized(f->name) ? oversize_mm(e, e->oversize[f->kind]) : 0;
    double step = is_word(f->name, "bore") ? 1e-6 : 1e-4;
    return round_to(f->fresh + shift + gone * (f->gone - f->fresh), step);
}

static inline taken *add_row(engine_case *e, te_random *random, const feature_of *f,
                             const char *item)
{
    assert_true(e->row_count < ROWS_MOST);
    taken *r = &e->rows[e->row_count++];
    *r = (taken){.kind = f->kind,
                 .feature = f->name,
                 .item = item,
                 .position = NAN,
                 .direction = NAN,
                 .no_go = NAN,
                 .zero = NAN,
                 .gauge = chance(random, 15) ? -1 : (int)te_random_below(random, GAUGES - 1)};
    r->repeats = chance(random, 3) ? 1 + (int)te_random_below(random, 3) : 1;
    double size = worn_size(e, random, f);
    for (int i = 0; i < r->repeats; i++)
        r->size[i] = i ? size + pick_mm(random, -0.002, 0.002) : size;
    return r;
}

/* A row by feelers, often. */
static inline taken *add_leaves(engine_case *e, te_random *random, const feature_of *f,
                                const char *item, double width)
{
    taken *r = add_row(e, random, f, item);
    if (chance(random, 2)) {
        r->repeats = 1;
        r->gauge = chance(random, 3) ? -1 : GAUGES - 1;
        r->no_go = r->size[0] + width;
    }
    return r;
}

static inline void add_bore(engine_case *e, te_random *random)
{
    static const double heights[] = {10, 30, 60}, directions[] = {0, 90, 45, 135};
    size_t height_count = 1 + te_random_below(random, 3);
    size_t direction_count = 1 + te_random_below(random, 4);
    bool no_heights = chance(random, 8), no_directions = chance(random, 8);
    bool dial = chance(random, 2);
    int main_gauge = (int)te_random_below(random, GAUGES - 1);
    for (size_t h = 0; h < (no_heights ? 1 : height_count); h++)
        for (size_t d = 0; d < (no_directions ? 1 : direction_count); d++) {
            taken *r = add_row(e, random, feature_named("bore"), "");
            r->position = no_heights ? NAN : heights[h];
            r->direction = no_directions ? NAN : directions[d];
            r->gauge = chance(random, 6) ? r->gauge : main_gauge;
            r->zero = dial ? 66.05 : NAN;
        }
}

static inline void add_gaps(engine_case *e, te_random *random)
{
    static const double positions[] = {60, 30, 45, 60.3, 10};
    const feature_of *f = feature_named("end_gap");
    size_t rings = 1 + te_random_below(random, 2);
    bool unnamed = chance(random, 8);
    for (size_t i = 0; i < (unnamed ? 1 : rings); i++) {
        taken *r = add_leaves(e, random, f, unnamed ? "" : f->items[i], 0.05);
        r->position = chance(random, 3) ? NAN : positions[te_random_below(random, 5)];
        r->direction = chance(random, 12) && !known_bug("gapdir") ? 45 : NAN;
    }
}

static inline void add_readings_of(engine_case *e, te_random *random, const feature_of *f)
{
    if (is_word(f->name, "bore")) {
        add_bore(e, random);
        return;
    }
    if (is_word(f->name, "end_gap")) {
        add_gaps(e, random);
        return;
    }
    bool leaves = is_word(f->name, "side_clearance") || is_word(f->name, "small_end_play");
    size_t items = f->items[1] == NULL ? 1 : 1 + te_random_below(random, 2);
    size_t places = chance(random, 3) ? 2 : 1;
    for (size_t i = 0; i < items; i++)
        for (size_t p = 0; p < places; p++) {
            taken *r = leaves ? add_leaves(e, random, f, f->items[i], 0.01)
                              : add_row(e, random, f, f->items[i]);
            r->position = places > 1 ? 5.0 + 15.0 * (double)p : NAN;
            r->direction = is_word(f->name, "skirt") && places > 1 ? 90 : NAN;
        }
}

static inline void add_readings(engine_case *e, te_random *random)
{
    for (int kind = 0; kind < TE_KIND_NONE; kind++)
        e->wear[kind] = chance(random, 3) ? 1.1 : 0.3;
    for (size_t i = 0; i < FEATURES; i++) {
        const feature_of *f = &features[i];
        bool taken_here = f->one_in == 1 ? !chance(random, 10) : chance(random, f->one_in);
        if (taken_here)
            add_readings_of(e, random, f);
    }
    if (e->row_count == 0)
        add_bore(e, random);
}

static inline bool has_readings_of(const engine_case *e, te_kind kind)
{
    for (size_t i = 0; i < e->row_count; i++) {
        bool groove = is_word(e->rows[i].feature, "side_clearance") && kind == TE_KIND_PISTON;
        if (e->rows[i].kind == kind || groove)
            return true;
    }
    return false;
}

/* ---- limits ------------------------------------------------------------------------------------ */

static inline void blank_some(bounds *l, te_random *random)
{
    static const unsigned blanked[] = {1U << SERVICE_MIN,
                                       1U << SERVICE_MAX,
                                       1U << NEW_MIN,
                                       1U << NEW_MAX,
                                       1U << NEW_MIN | 1U << NEW_MAX,
                                       1U << SERVICE_MIN | 1U << SERVICE_MAX};
    unsigned out = chance(random, 2) ? 0 : blanked[te_random_below(random, 6)];
    for (unsigned i = 0; i < 4; i++)
        l->at[i] = out >> i & 1U ? NAN : l->at[i];
}

static inline void add_limit(engine_case *e, te_random *random, const quantity_of *q,
                             const char *item)
{
    assert_true(e->limit_count < LIMITS_MOST);
    bounds *l = &e->limits[e->limit_count++];
    *l = (bounds){.quantity = q->name, .item = item, .required = chance(random, 2)};
    l->inches = e->inches && is_oversized(q->name);
    double closer = item[0] ? 0.2 : te_random_between(random, -0.3, 0.3);
    for (size_t i = 0; i < 4; i++) {
        double mm = q->at[i];
        mm += i >= SERVICE_MIN ? closer * (q->at[i - SERVICE_MIN] - q->at[i]) : 0;
        if (i == SERVICE_MAX && isnan(mm))
            mm = q->at[i];
        mm = round_to(mm, 1e-4);
        l->at[i] = l->inches ? round_to(mm / mm_per_inch, 1e-5) : mm;
    }
    blank_some(l, random);
}

static inline void add_limits(engine_case *e, te_random *random)
{
    for (size_t i = 0; i < QUANTITIES; i++) {
        const quantity_of *q = &quantities[i];
        bool both = has_readings_of(e, q->kind) &&
                    (q->second == TE_KIND_NONE || has_readings_of(e, q->second));
        bool wanted = both ? q->one_in == 1 ? !chance(random, 5) : chance(random, q->one_in)
                           : chance(random, 16);
        if (wanted)
            add_limit(e, random, q, "");
        if (wanted && q->item != NULL && chance(random, 4))
            add_limit(e, random, q, q->item);
    }
    if (e->limit_count == 0)
        add_limit(e, random, &quantities[0], "");
}

/* ---- spares ------------------------------------------------------------------------------------ */

static inline shelf *add_spare(engine_case *e, te_kind kind, size_t number, double oversize,
                               double price)
{
    assert_true(e->spare_count < SPARES_MOST);
    shelf *s = &e->spares[e->spare_count++];
    *s = (shelf){.kind = kind, .item = "", .size = NAN, .tolerance = NAN};
    (void)snprintf(s->name, sizeof s->name, "S%d-%zu", (int)kind, number);
    s->oversize = oversize;
    s->price = price;
    return s;
}

/* Sizes of spares, exact ones too, and differences of them are never at a limit: there the smallest
 * uncertainty would make a doubt of a pass. */
static const double off_grid = 3e-6;

/* One row more for the spare before it, with a size near that of one as new. */
static inline void give_size(engine_case *e, te_random *random, const feature_of *f,
                             const char *item, bool first)
{
    shelf *s = &e->spares[e->spare_count - 1];
    if (!first) {
        assert_true(e->spare_count < SPARES_MOST);
        e->spares[e->spare_count] = *s;
        s = &e->spares[e->spare_count++];
        s->price = NAN; /* one row tells it */
    }
    double span = fabs(f->gone - f->fresh);
    double oversize = isnan(s->oversize) ? 0 : s->oversize;
    double shift = is_oversized(f->name) ? oversize_mm(e, oversize) : 0;
    s->feature = f->name;
    s->item = item;
    s->size = pick_mm(random, f->fresh + shift - 0.2 * span, f->fresh + shift + 0.2 * span);
    s->size = fmax(s->size, 0.001) + off_grid * (double)(f - features + 1);
    s->tolerance = chance(random, 6)   ? NAN
                   : chance(random, 6) ? 0
                                       : pick_mm(random, 0.0, 0.1 * span);
}

static inline bool wants_size(const engine_case *e, te_random *random, const feature_of *f)
{
    bool read = false;
    for (size_t i = 0; i < e->row_count; i++)
        read = read || is_word(e->rows[i].feature, f->name);
    return read ? !chance(random, 3) : chance(random, 12);
}

static inline void size_spare(engine_case *e, te_random *random, te_kind kind)
{
    bool first = true;
    for (size_t i = 0; i < FEATURES; i++) {
        const feature_of *f = &features[i];
        if (f->kind != kind || !wants_size(e, random, f))
            continue;
        bool by_item = f->items[1] != NULL && chance(random, 3);
        give_size(e, random, f, by_item ? f->items[0] : "", first);
        first = false;
        if (by_item && chance(random, 2))
            give_size(e, random, f, chance(random, 2) ? f->items[1] : "", false);
    }
}

static inline void add_spares(engine_case *e, te_random *random)
{
    static const size_t most[PART_KINDS] = {3, 5, 3, 2, 2, 2, 2};
    for (int kind = 0; kind < PART_KINDS; kind++) {
        size_t count = chance(random, 3) ? 0 : te_random_below(random, most[kind]);
        for (size_t i = 0; i < count; i++) {
            double step = e->inches ? 0.01 : 0.25;
            bool sized = kind <= TE_KIND_RING_SET;
            double oversize = !sized || chance(random, 3)
                                  ? NAN
                                  : e->oversize[kind] + step * (double)te_random_below(random, 3);
            double price = chance(random, 8) ? NAN : (double)te_random_below(random, 40) / 2;
            add_spare(e, (te_kind)kind, i, oversize, price);
            size_spare(e, random, (te_kind)kind);
        }
    }
}

/* ---- the plan ----------------------------------------------------------------------------------- */

static inline bool is_planned(const engine_case *e, const place *p)
{
    for (size_t i = 0; i < e->plan_count; i++) {
        const place *o = &e->plan[i];
        bool here = (isnan(o->position) && isnan(p->position)) ||
                    fabs(o->position - p->position) < 1e-6;
        bool along = (isnan(o->direction) && isnan(p->direction)) ||
                     fabs(o->direction - p->direction) < 1e-6;
        if (is_word(o->feature, p->feature) && is_word(o->item, p->item) && here && along)
            return true;
    }
    return false;
}

static inline void add_place(engine_case *e, const place *p)
{
    if (e->plan_count < PLACES_MOST && !is_planned(e, p))
        e->plan[e->plan_count++] = *p;
}

/* The places that were measured, mostly; some that were not. */
static inline void add_plan(engine_case *e, te_random *random)
{
    size_t left_out = 2 + te_random_below(random, 12);
    for (size_t i = 0; i < e->row_count; i++) {
        const taken *r = &e->rows[i];
        place p = {r->feature, r->item, r->position, r->direction};
        if (chance(random, left_out))
            continue;
        p.item = chance(random, 4) ? "" : p.item;
        p.position = chance(random, 10) ? NAN : p.position;
        add_place(e, &p);
    }
    for (size_t i = 0; i < FEATURES; i++) {
        const feature_of *f = &features[i];
        place p = {f->name, f->items[te_random_below(random, f->items[1] ? 2 : 1)], NAN, NAN};
        if (f->own || !chance(random, has_readings_of(e, f->kind) ? 10 : 20))
            continue;
        p.position = chance(random, 2) ? 30 : NAN;
        p.direction = chance(random, 3) && !(known_bug("gapdir") && is_word(f->name, "end_gap")) ? 90 : NAN;
        add_place(e, &p);
    }
}

/* ---- what was seen ------------------------------------------------------------------------------ */

static inline void add_conditions(engine_case *e, te_random *random)
{
    static const char *const severities[] = {"note", "watch", "reject"};
    size_t count = chance(random, 2) ? 0 : te_random_below(random, 4);
    for (size_t i = 0; i < count; i++) {
        size_t grave = te_random_below(random, 3);
        te_kind kind = (te_kind)te_random_below(random, PART_KINDS);
        e->conditions[e->condition_count++] = (seen){kind, severities[grave],
                                                     e->earlier && chance(random, 2)};
    }
    if (chance(random, 30)) {
        const char *severity = severities[1 + te_random_below(random, 2)];
        e->conditions[e->condition_count++] = (seen){TE_KIND_OTHER, severity, false};
    }
}

/* ---- the engine -------------------------------------------------------------------------------- */

static inline void name_parts(engine_case *e, te_random *random)
{
    bool bored = chance(random, 4);
    double step = e->inches ? 0.01 : 0.25;
    for (int kind = 0; kind < PART_KINDS; kind++) {
        bool oversized = kind <= TE_KIND_RING_SET && bored && !chance(random, 10);
        e->oversize[kind] = oversized ? step : 0;
        e->listed[kind] = oversized || chance(random, 2);
        if (e->listed[kind])
            (void)snprintf(e->part[kind], NAME, "P%d-1", kind);
        else
            (void)snprintf(e->part[kind], NAME, "E1/%s", te_kind_name((te_kind)kind));
    }
    e->piston_changed = e->listed[TE_KIND_PISTON] && !e->rateless && chance(random, 3);
}

static inline void add_gauges(engine_case *e, te_random *random)
{
    for (size_t i = 0; i < GAUGES; i++)
        e->gauges[i] = (gauge){chance(random, 2) ? 0.001 : 0.0001,
                               chance(random, 8) ? NAN : pick_mm(random, 0.0005, 0.008),
                               chance(random, 3) ? NAN : pick_mm(random, 0.0002, 0.002),
                               i > 0 && chance(random, 2)};
    e->gauges[GAUGES - 1].resolution = NAN; /* leaves */
}

static inline void make_case(engine_case *e, te_random *random)
{
    static const double confidences[] = {0.95, 0.95, 0.9, 0.99};
    *e = (engine_case){.rateless = chance(random, 2)};
    e->inches = chance(random, 6);
    e->declared = !chance(random, 12);
    e->simple = !e->declared || chance(random, 4);
    e->reborable = chance(random, 2);
    e->earlier = !e->rateless && chance(random, 2);
    e->confidence = confidences[te_random_below(random, 4)];
    e->hone = chance(random, 3) ? 0.02 : round_to(te_random_between(random, 0, 0.2), 1e-3);
    name_parts(e, random);
    add_gauges(e, random);
    add_readings(e, random);
    add_limits(e, random);
    add_spares(e, random);
    if (chance(random, 2))
        add_plan(e, random);
    add_conditions(e, random);
}

#endif
