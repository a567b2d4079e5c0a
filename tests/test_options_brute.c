/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Every option of random engines against the engine built: a second shop in which the new parts are
 * fitted and measured as docs/method.md, "What it would measure", says. Its readings come from
 * arithmetic of this file's own, its findings from te_assess.
 */
#include <math.h>
#include <string.h>

#include "options_kit.h"

enum { LIMITS = 24, PLACES = 32, SPARES = 24, ROUNDS = 500 };
enum { KINDS_FITTED = TE_KIND_SMALL_END_BEARING + 1 };

static const double circle = 3.14159265358979323846;

static const char *const kind_names[] = {"cylinder", "piston", "ring_set", "pin",
                                         "small_end_bearing"};

/* ---- a shop in numbers ---- */

typedef struct limit {
    const char *quantity, *item;
    double new_min, new_max, service_min, service_max; /* NAN: blank */
    bool optional;
} limit;

/* A row of readings.csv, or, without a reading, of plan.csv. */
typedef struct place {
    const char *feature, *item;
    double position, direction, reading, no_go; /* NAN: blank */
    const char *gauge;
} place;

typedef struct spare {
    char name[32];
    int kind;
    const char *feature, *item; /* feature "": no size */
    double size, tolerance, oversize, price;
} spare;

typedef struct engine {
    limit limits[LIMITS];
    size_t limit_count;
    place plan[PLACES];
    size_t plan_count;
    place readings[PLACES];
    size_t reading_count;
    spare spares[SPARES];
    size_t spare_count;
    double oversize; /* of cylinder and piston that are in; 0: none */
    int reject;      /* kind; -1: none */
    bool reborable, simple;
} engine;

typedef struct covered {
    size_t options, findings, refused, rebored, old_rings_new_bore, half_new, simple;
    size_t new_rings_old_bore, rejects, not_reuse, by_ends;
} covered;

/* ---- random engines ---- */

static bool chance(te_random *random, size_t one_in)
{
    return te_random_below(random, one_in) == 0;
}

static double pick(te_random *random, double low, double high)
{
    return round(te_random_between(random, low, high) * 1e4) / 1e4;
}

static double blank_at_times(te_random *random, double value, size_t one_in)
{
    return chance(random, one_in) ? NAN : value;
}

static void add_limit(engine *e, te_random *random, const char *quantity, const char *item,
                      limit by)
{
    if (chance(random, 8)) {
        return;
    }
    assert_true(e->limit_count < LIMITS);
    limit *l = &e->limits[e->limit_count++];
    *l = by;
    l->quantity = quantity;
    l->item = item;
    l->new_min = blank_at_times(random, by.new_min, 10);
    l->new_max = blank_at_times(random, by.new_max, 10);
    l->service_min = blank_at_times(random, by.service_min, 4);
    l->service_max = blank_at_times(random, by.service_max, 6);
    if (isnan(l->new_max) && isnan(l->service_max) && isnan(l->service_min)) {
        *l = by;
        l->quantity = quantity;
        l->item = item;
    }
    l->optional = chance(random, 5);
}

/* As-new limits from a random start, and service limits about them. */
static limit around(te_random *random, double start, double span, double below, double above)
{
    limit l = {.new_min = round((start + pick(random, 0, span / 2)) * 1e4) / 1e4};
    l.new_max = round((l.new_min + pick(random, span / 2, span)) * 1e4) / 1e4;
    l.service_min = round((l.new_min - pick(random, 0, below)) * 1e4) / 1e4;
    l.service_max = round((l.new_max + pick(random, 0.2 * above, above)) * 1e4) / 1e4;
    l.service_min = below > 0 ? l.service_min : NAN;
    l.service_max = above > 0 ? l.service_max : NAN;
    return l;
}

static void random_limits(engine *e, te_random *random)
{
    add_limit(e, random, "bore", "", around(random, 66.0, 0.02, 0.02, 0.12));
    add_limit(e, random, "skirt", "", around(random, 65.92, 0.02, 0.07, 0.02));
    add_limit(e, random, "skirt_clearance", "", around(random, 0.05, 0.05, 0.03, 0.12));
    add_limit(e, random, "end_gap", "", around(random, 0.25, 0.15, 0.1, 0.6));
    add_limit(e, random, "side_clearance", "", around(random, 0.03, 0.04, 0.02, 0.08));
    add_limit(e, random, "pin", "", around(random, 15.99, 0.008, 0.02, 0.01));
    add_limit(e, random, "pin_bore", "", around(random, 16.0, 0.008, 0.01, 0.03));
    add_limit(e, random, "pin_clearance", "", around(random, 0.002, 0.02, 0.002, 0.03));
    add_limit(e, random, "small_end_play", "", around(random, 0.01, 0.03, 0.01, 0.06));
    if (chance(random, 4)) {
        add_limit(e, random, "end_gap", "1", around(random, 0.27, 0.15, 0.1, 0.6));
    }
    if (chance(random, 4)) {
        add_limit(e, random, "side_clearance", "2", around(random, 0.02, 0.04, 0.01, 0.08));
    }
    if (chance(random, 4)) {
        add_limit(e, random, "pin_bore", "left", around(random, 16.001, 0.008, 0.01, 0.03));
    }
    if (chance(random, 3)) {
        add_limit(e, random, "squish", "", around(random, 0.8, 0.3, 0.2, 0.3));
    }
}

static place *add_reading(engine *e, const char *feature, const char *item, double position,
                          double direction, double reading, const char *gauge)
{
    assert_true(e->reading_count < PLACES);
    place *p = &e->readings[e->reading_count++];
    *p = (place){feature, item, position, direction, reading, NAN, gauge};
    return p;
}

/* Rings, by leaves or plainly. */
static void random_gaps(engine *e, te_random *random, const char *feature, double position,
                        double least, double most)
{
    static const char *const rings[] = {"1", "2"};
    bool leaves = chance(random, 2);
    double direction = isnan(position) || chance(random, 2) ? NAN : chance(random, 2) ? 90 : 0;
    for (int i = 0; i < 2; i++) {
        place *p = add_reading(e, feature, rings[i], position, direction, pick(random, least, most),
                               leaves && chance(random, 3) ? "" : "FE");
        p->no_go = leaves ? p->reading + 0.05 : NAN;
    }
}

static void random_bores(engine *e, te_random *random)
{
    double worn = pick(random, 66.005, 66.08) + e->oversize;
    for (int i = 0; i < 4; i++) {
        add_reading(e, "bore", "", i < 2 ? 10 : 60, i % 2 ? 90 : 0,
                    worn + pick(random, -0.01, 0.01), "BG");
    }
}

static void random_readings(engine *e, te_random *random)
{
    const char *gauge = chance(random, 10) ? "" : "MI";
    if (!chance(random, 8)) {
        random_bores(e, random);
    }
    if (!chance(random, 8)) {
        add_reading(e, "skirt", "", 12, 0, pick(random, 65.89, 65.94) + e->oversize, gauge);
    }
    if (!chance(random, 8)) {
        double position = chance(random, 4) ? NAN : chance(random, 3) ? 30 : 10;
        random_gaps(e, random, "end_gap", position, 0.3, 0.9);
    }
    if (!chance(random, 8)) {
        random_gaps(e, random, "side_clearance", NAN, 0.03, 0.1);
    }
    if (!chance(random, 6)) {
        add_reading(e, "pin", "", NAN, NAN, pick(random, 15.98, 15.998), "MI");
    }
    if (!chance(random, 6)) {
        add_reading(e, "pin_bore", "left", NAN, NAN, pick(random, 16.0, 16.02), "BG");
        add_reading(e, "pin_bore", "right", NAN, NAN, pick(random, 16.0, 16.02), "BG");
    }
    if (!chance(random, 6)) {
        add_reading(e, "small_end_play", "", NAN, NAN, pick(random, 0.015, 0.07), "FE");
    }
    if (chance(random, 4) || e->reading_count == 0) {
        add_reading(e, "squish", "", NAN, NAN, pick(random, 0.7, 1.3), "FE");
    }
}

/* The bore's places and those of the others that were read; at times one more was planned. */
static void random_plan(engine *e, te_random *random)
{
    if (chance(random, 2)) {
        return;
    }
    for (int i = 0; i < 4; i++) {
        e->plan[e->plan_count++] = (place){"bore", "", i < 2 ? 10 : 60, i % 2 ? 90 : 0, NAN,
                                           NAN,    ""};
    }
    for (size_t i = 0; i < e->reading_count; i++) {
        if (strcmp(e->readings[i].feature, "bore") != 0 && !chance(random, 6)) {
            e->plan[e->plan_count] = e->readings[i];
            e->plan[e->plan_count++].reading = NAN;
        }
    }
    if (chance(random, 3)) {
        e->plan[e->plan_count++] = (place){"end_gap", "1", 60, NAN, NAN, NAN, ""};
    }
    if (chance(random, 6)) {
        e->plan[e->plan_count++] = (place){"skirt", "", 20, 0, NAN, NAN, ""};
    }
}

static void add_size(engine *e, te_random *random, const spare *of, const char *feature,
                     const char *item, double least, double most, double tolerance)
{
    assert_true(e->spare_count < SPARES);
    spare *s = &e->spares[e->spare_count++];
    *s = *of;
    s->feature = feature;
    s->item = item;
    /* No limit has such a digit, and no difference of two sizes: an exact size at its limit passes,
     * one that is measured, however well, does not. */
    s->size = pick(random, least, most) + 1e-5 * (s->kind + 2);
    s->tolerance = chance(random, 6) ? 0.0 : blank_at_times(random, tolerance, 6);
}

static void random_sizes(engine *e, te_random *random, const spare *s)
{
    size_t before = e->spare_count;
    double o = s->oversize;
    bool given = !chance(random, 6);
    if (s->kind == TE_KIND_CYLINDER && given) {
        add_size(e, random, s, "bore", "", 66.0 + o, 66.02 + o, pick(random, 0.002, 0.01));
    }
    if (s->kind == TE_KIND_PISTON && given) {
        add_size(e, random, s, "skirt", "", 65.915 + o, 65.945 + o, pick(random, 0.002, 0.01));
    }
    if (s->kind == TE_KIND_PISTON && chance(random, 2)) {
        add_size(e, random, s, "pin_bore", chance(random, 2) ? "left" : "", 16.0, 16.008, 0.002);
    }
    if (s->kind == TE_KIND_RING_SET && chance(random, 2)) {
        add_size(e, random, s, "end_gap", chance(random, 3) ? "1" : "", 0.25, 0.4, 0.03);
    }
    if (s->kind == TE_KIND_RING_SET && chance(random, 2)) {
        add_size(e, random, s, "side_clearance", chance(random, 3) ? "2" : "", 0.03, 0.06, 0.01);
    }
    if (s->kind == TE_KIND_PIN && given) {
        add_size(e, random, s, "pin", "", 15.99, 16.0, 0.002);
    }
    if (s->kind == TE_KIND_SMALL_END_BEARING && given) {
        add_size(e, random, s, "small_end_play", "", 0.01, 0.04, 0.005);
    }
    if (e->spare_count == before) {
        e->spares[e->spare_count++] = *s;
    }
}

static void random_spares(engine *e, te_random *random)
{
    static const size_t most[] = {2, 3, 2, 1, 1};
    for (int kind = 0; kind < KINDS_FITTED; kind++) {
        size_t count = te_random_below(random, most[kind] + 1);
        for (size_t i = 0; i < count; i++) {
            spare s = {.kind = kind, .feature = "", .item = "", .size = NAN, .tolerance = NAN};
            (void)snprintf(s.name, sizeof s.name, "S%d%zu", kind, i);
            bool sized = kind <= TE_KIND_RING_SET;
            s.oversize = sized ? e->oversize + (chance(random, 2) ? 0.25 : 0.0) : 0.0;
            s.oversize = sized && chance(random, 8) ? 0.5 : s.oversize;
            s.price = blank_at_times(random, round(te_random_between(random, 5, 90)), 8);
            random_sizes(e, random, &s);
        }
    }
}

static const limit *limit_of(const engine *e, const char *quantity, const char *item)
{
    const limit *general = NULL;
    for (size_t i = 0; i < e->limit_count; i++) {
        const limit *l = &e->limits[i];
        if (strcmp(l->quantity, quantity) == 0 && strcmp(l->item, item) == 0) {
            return l;
        }
        general = strcmp(l->quantity, quantity) == 0 && l->item[0] == '\0' ? l : general;
    }
    return general;
}

static bool any_of(const place *places, size_t count, const char *feature)
{
    bool any = false;
    for (size_t i = 0; i < count; i++) {
        any = any || strcmp(places[i].feature, feature) == 0;
    }
    return any;
}

/* The form of a new cylinder is that of the as-new limits, which no reading could show: where its
 * readings would not be stated or not tell a form, such limits are left out. */
static void random_form_limits(engine *e, te_random *random)
{
    const limit *bore = limit_of(e, "bore", "");
    bool told = bore != NULL && !isnan(bore->new_min) && !isnan(bore->new_max);
    bool read = any_of(e->readings, e->reading_count, "bore") || e->plan_count > 0;
    bool stated = true;
    for (size_t i = 0; i < e->spare_count; i++) {
        const spare *s = &e->spares[i];
        stated = stated && (strcmp(s->feature, "bore") != 0 || !isnan(s->tolerance));
    }
    double most = told && read && stated ? 0.01 : NAN;
    limit by = {.new_min = NAN, .new_max = most, .service_min = NAN, .service_max = 0.04};
    add_limit(e, random, "out_of_round", "", by);
    by.service_max = pick(random, 0.02, 0.05);
    add_limit(e, random, "taper", "", by);
}

/* At times a height, or one reading of it, was left out. */
static void leave_out(engine *e, te_random *random)
{
    size_t heights = e->plan_count > 0 && chance(random, 6) ? 1 + te_random_below(random, 2) : 0;
    if (heights > 0 && any_of(e->readings, 4, "bore")) {
        e->reading_count -= heights;
        memmove(e->readings, e->readings + heights, e->reading_count * sizeof *e->readings);
    }
}

static void random_engine(engine *e, te_random *random)
{
    *e = (engine){.reject = chance(random, 5) ? (int)te_random_below(random, KINDS_FITTED) : -1,
                  .reborable = !chance(random, 3),
                  .simple = chance(random, 3),
                  .oversize = chance(random, 4) ? 0.25 : 0.0};
    random_limits(e, random);
    random_readings(e, random);
    random_plan(e, random);
    leave_out(e, random);
    random_spares(e, random);
    random_form_limits(e, random);
}

/* ---- as text ---- */

static void put_number(te_grown *out, double number)
{
    if (isnan(number)) {
        te_grown_add(out, ",");
    } else {
        te_grown_add(out, ",%.13g", number);
    }
}

typedef struct texts {
    te_grown limits, models, plan, readings, instruments, spares, parts, conditions;
} texts;

static void free_texts(texts *t)
{
    te_grown *const all[] = {&t->limits,      &t->models, &t->plan,  &t->readings,
                             &t->instruments, &t->spares, &t->parts, &t->conditions};
    for (size_t i = 0; i < sizeof all / sizeof *all; i++) {
        te_grown_free(all[i]);
    }
}

static void write_model(texts *t, const engine *e)
{
    te_grown_add(&t->models, "model,reborable\nM,%s\n", e->reborable ? "yes" : "no");
    te_grown_add(&t->limits, "model,quantity,item,unit,new_min,new_max,service_min,service_max,"
                             "required,source\n");
    for (size_t i = 0; i < e->limit_count; i++) {
        const limit *l = &e->limits[i];
        te_grown_add(&t->limits, "M,%s,%s,mm", l->quantity, l->item);
        put_number(&t->limits, l->new_min);
        put_number(&t->limits, l->new_max);
        put_number(&t->limits, l->service_min);
        put_number(&t->limits, l->service_max);
        te_grown_add(&t->limits, ",%s,invented\n", l->optional ? "no" : "yes");
    }
    te_grown_add(&t->plan, "model,feature,item,position,direction\n");
    for (size_t i = 0; i < e->plan_count; i++) {
        te_grown_add(&t->plan, "M,%s,%s", e->plan[i].feature, e->plan[i].item);
        put_number(&t->plan, e->plan[i].position);
        put_number(&t->plan, e->plan[i].direction);
        te_grown_add(&t->plan, "\n");
    }
}

static void write_spares(texts *t, const engine *e)
{
    te_grown_add(&t->spares, "spare,kind,model,feature,item,size,tolerance,oversize,price\n");
    for (size_t i = 0; i < e->spare_count; i++) {
        const spare *s = &e->spares[i];
        te_grown_add(&t->spares, "%s,%s,M,%s,%s", s->name, kind_names[s->kind], s->feature,
                     s->item);
        put_number(&t->spares, s->size);
        put_number(&t->spares, s->tolerance);
        put_number(&t->spares, s->oversize > 0 ? s->oversize : NAN);
        put_number(&t->spares, s->price);
        te_grown_add(&t->spares, "\n");
    }
}

static void write_heads(texts *t)
{
    te_grown_add(&t->instruments, "instrument,unit,resolution,expanded_uncertainty\n"
                                  "MI,mm,0.001,0.003\nBG,mm,0.001,0.004\nFE,mm,0.01,0.01\n");
    te_grown_add(&t->readings, "inspection,feature,item,position,direction,reading,no_go,zero,"
                               "instrument\n");
    te_grown_add(&t->parts, "part,kind,engine,fitted_hours,oversize\n");
    te_grown_add(&t->conditions, "inspection,part,finding,severity\n");
}

static void put_reading(texts *t, const place *p, double zero)
{
    te_grown_add(&t->readings, "I1,%s,%s", p->feature, p->item);
    put_number(&t->readings, p->position);
    put_number(&t->readings, p->direction);
    put_number(&t->readings, isnan(zero) ? p->reading : p->reading - zero);
    put_number(&t->readings, isnan(zero) ? p->no_go : p->no_go - zero);
    put_number(&t->readings, zero);
    te_grown_add(&t->readings, ",%s\n", p->gauge);
}

static void put_part(texts *t, const char *name, int kind, double oversize)
{
    te_grown_add(&t->parts, "%s,%s,E1,0", name, kind_names[kind]);
    put_number(&t->parts, oversize > 0 ? oversize : NAN);
    te_grown_add(&t->parts, "\n");
}

/* The parts and conditions of the kinds that stay. */
static void write_kept(texts *t, const engine *e, unsigned replaced)
{
    for (int kind = 0; kind <= TE_KIND_RING_SET; kind++) {
        if (e->oversize > 0 && (replaced >> kind & 1U) == 0) {
            char name[8];
            (void)snprintf(name, sizeof name, "OLD%d", kind);
            put_part(t, name, kind, e->oversize);
        }
    }
    if (e->reject >= 0 && (replaced >> e->reject & 1U) == 0) {
        te_grown_add(&t->conditions, "I1,%s,cracked,reject\n", kind_names[e->reject]);
    }
}

static void read_texts(te_made_shop *made, const texts *t, const engine *e)
{
    const te_shop_file files[] = {
        {"engines.csv", "engine,model\nE1,M\n"},
        {"inspections.csv", "inspection,engine,date,hours,temperature,temperature_uncertainty\n"
                            "I1,E1,2025-03-01,100,20,0\n"},
        {"shop.csv", e->simple ? "key,value\nrule,simple\n" : "key,value\nrule,guarded\n"},
        {"models.csv", t->models.text},
        {"limits.csv", t->limits.text},
        {"plan.csv", t->plan.text},
        {"readings.csv", t->readings.text},
        {"instruments.csv", t->instruments.text},
        {"spares.csv", t->spares.text},
        {"parts.csv", t->parts.text},
        {"condition.csv", t->conditions.text},
        {NULL, NULL},
    };
    te_made_read(made, files, NULL);
}

static void write_base(texts *t, const engine *e)
{
    write_model(t, e);
    write_spares(t, e);
    write_heads(t);
    write_kept(t, e, 0);
    for (size_t i = 0; i < e->reading_count; i++) {
        put_reading(t, &e->readings[i], NAN);
    }
}

/* ---- the engine as an option would leave it ---- */

/* What is fitted of a kind. */
typedef struct fitted {
    bool is_new, rebored;
    const spare *row; /* one of the spare's rows; NULL: by the limits */
    double oversize, price;
} fitted;

typedef struct build {
    const engine *e;
    const te_observations *pool; /* of the base */
    fitted of[KINDS_FITTED];
    unsigned replaced;
    texts texts;
    size_t gauges;
    double least_bore, most_skirt; /* NAN: none */
    covered *covered;
} build;

typedef struct size {
    bool known, stated;
    double value, half, u;
} size;

/* The as-new limits of a feature, moved; false where they tell no size. */
static bool as_new(const engine *e, double ends[2], const char *feature, const char *item,
                   double oversize)
{
    const limit *l = limit_of(e, feature, item);
    bool moved = strcmp(feature, "bore") == 0 || strcmp(feature, "skirt") == 0;
    bool clear = strcmp(feature, "end_gap") == 0 || strcmp(feature, "side_clearance") == 0 ||
                 strcmp(feature, "small_end_play") == 0;
    if (l == NULL || isnan(l->new_max) || (isnan(l->new_min) && !clear)) {
        return false;
    }
    ends[0] = (isnan(l->new_min) ? 0.0 : l->new_min) + (moved ? oversize : 0.0);
    ends[1] = l->new_max + (moved ? oversize : 0.0);
    return true;
}

static const spare *size_row(const engine *e, const char *name, const char *feature,
                             const char *item)
{
    const spare *general = NULL;
    for (size_t i = 0; i < e->spare_count; i++) {
        const spare *s = &e->spares[i];
        if (strcmp(s->name, name) != 0 || strcmp(s->feature, feature) != 0) {
            continue;
        }
        if (strcmp(s->item, item) == 0) {
            return s;
        }
        general = s->item[0] == '\0' ? s : general;
    }
    return general;
}

static size new_size(const build *b, int kind, const char *feature, const char *item)
{
    const fitted *part = &b->of[kind];
    double ends[2];
    bool limited = as_new(b->e, ends, feature, item, part->oversize);
    double half = limited ? (ends[1] - ends[0]) / 2 : 0.0;
    if (part->rebored && strcmp(feature, "bore") == 0) {
        const limit *c = limit_of(b->e, "skirt_clearance", "");
        size skirt = new_size(b, TE_KIND_PISTON, "skirt", "");
        assert_true(c != NULL && skirt.known);
        return (size){true, limited, skirt.value + (c->new_min + c->new_max) / 2, half,
                      half / sqrt(3)};
    }
    const spare *row = part->row == NULL ? NULL : size_row(b->e, part->row->name, feature, item);
    if (row != NULL) {
        double t = isnan(row->tolerance) ? 0.0 : row->tolerance;
        return (size){true, !isnan(row->tolerance), row->size, t, t / sqrt(3)};
    }
    return (size){limited, limited, limited ? (ends[0] + ends[1]) / 2 : NAN, half, half / sqrt(3)};
}

/* A gauge whose calibration is all that is not known of a reading. */
static void put_gauge(build *b, char name[16], const size *s)
{
    (void)snprintf(name, 16, "N%zu", ++b->gauges);
    te_grown_add(&b->texts.instruments, "%s,mm,0.000000000001", name);
    if (s->stated && 2 * s->u < 1e-5)
        te_grown_add(&b->texts.instruments, ",0.000000000001");
    else
        put_number(&b->texts.instruments, s->stated ? 2 * s->u : NAN);
    te_grown_add(&b->texts.instruments, "\n");
}

static void note_size(build *b, const place *p)
{
    if (strcmp(p->feature, "bore") == 0) {
        b->least_bore = fmin(b->least_bore, p->reading);
    }
    if (strcmp(p->feature, "skirt") == 0) {
        b->most_skirt = fmax(b->most_skirt, p->reading);
    }
}

/* ---- the bore that a gap was or would be measured in ---- */

static bool is_bore(const te_observation *x)
{
    return x->feature == TE_Q_BORE;
}

/* Up to two forms: the mean at the height, else the least and the most. */
static size_t bore_there(const te_observations *pool, double position, te_form forms[2])
{
    te_form sum = {.count = 0};
    uint32_t least = TE_NO_INDEX;
    uint32_t most = TE_NO_INDEX;
    for (uint32_t i = 0; i < pool->count; i++) {
        const te_observation *x = &pool->items[i];
        te_form one = te_form_make(i, 1.0);
        if (!is_bore(x)) {
            continue;
        }
        least = least == TE_NO_INDEX || x->value < pool->items[least].value ? i : least;
        most = most == TE_NO_INDEX || x->value > pool->items[most].value ? i : most;
        if (fabs(x->position - position) <= 0.5) {
            assert_int_equal(te_form_add(&sum, &sum, &one), TE_OK);
        }
    }
    if (sum.count > 0) {
        forms[0] = te_form_scale(&sum, 1.0 / (double)sum.count);
        return 1;
    }
    if (least == TE_NO_INDEX) {
        return 0;
    }
    forms[0] = te_form_make(least, 1.0);
    forms[1] = te_form_make(most, 1.0);
    return 2;
}

/* A gap has a gauge of its own, set to 10 mm: it may come out below 0. */
static void put_gap(build *b, const place *at, const size *gap)
{
    char gauge[16];
    place p = *at;
    put_gauge(b, gauge, gap);
    p.gauge = gauge;
    p.reading = isnan(p.no_go) ? gap->value : p.reading;
    put_reading(&b->texts, &p, 10);
}

/* A new ring at a place, in the old bore or a new one. */
static void put_new_gap(build *b, const place *at)
{
    double ends[2];
    te_form forms[2];
    size gap = new_size(b, TE_KIND_RING_SET, "end_gap", at->item);
    place p = *at;
    p.no_go = NAN;
    if (!gap.known || !as_new(b->e, ends, "bore", "", b->of[TE_KIND_RING_SET].oversize)) {
        return;
    }
    double middle = (ends[0] + ends[1]) / 2;
    if (b->of[TE_KIND_CYLINDER].is_new) {
        size bore = new_size(b, TE_KIND_CYLINDER, "bore", "");
        gap.value += circle * (bore.value - middle);
        gap.u = hypot(gap.u, circle * bore.u);
        gap.stated = gap.stated && bore.stated;
        if (bore.known) {
            put_gap(b, &p, &gap);
        }
        return;
    }
    size_t count = bore_there(b->pool, at->position, forms);
    b->covered->new_rings_old_bore += count > 0;
    b->covered->by_ends += count > 1;
    for (size_t i = 0; i < count; i++) {
        size one = gap;
        one.value += circle * (te_form_value(b->pool, &forms[i]) - middle);
        one.u = hypot(gap.u, circle * sqrt(te_form_variance(b->pool, &forms[i])));
        one.stated = gap.stated && te_form_stated(b->pool, &forms[i]);
        put_gap(b, &p, &one);
    }
}

/* A ring that stays, in a new cylinder: moved by the change of the circumference. */
static void put_old_gap(build *b, const te_made_shop *base, const place *old)
{
    te_form forms[2];
    uint32_t at = TE_NO_INDEX;
    size bore = new_size(b, TE_KIND_CYLINDER, "bore", "");
    for (uint32_t i = 0; i < b->pool->count; i++) {
        const te_observation *x = &b->pool->items[i];
        bool same = x->feature == TE_Q_END_GAP &&
                    strcmp(te_shop_text(base->shop, x->item), old->item) == 0;
        at = same ? i : at;
    }
    assert_true(at != TE_NO_INDEX);
    size_t count = bore.known ? bore_there(b->pool, old->position, forms) : 0;
    b->covered->old_rings_new_bore += count > 0;
    for (size_t i = 0; i < count; i++) {
        place p = *old;
        te_form own = te_form_make(at, 1.0);
        te_form change = te_form_scale(&forms[i], -circle);
        double shift = circle * (bore.value - te_form_value(b->pool, &forms[i]));
        double step = isnan(old->no_go) ? 0.0 : old->no_go - old->reading;
        assert_int_equal(te_form_add(&own, &own, &change), TE_OK);
        double variance = te_form_variance(b->pool, &own) + circle * circle * bore.u * bore.u;
        size gap = {.value = old->reading + shift,
                    .u = sqrt(fmax(0.0, variance - step * step / 12)),
                    .stated = bore.stated && te_form_stated(b->pool, &own)};
        p.reading = old->reading + shift;
        p.no_go = old->no_go + shift;
        put_gap(b, &p, &gap);
    }
}

/* ---- side clearance with one of ring and groove new ---- */

static void put_half_new(build *b, const place *old)
{
    double ends[2] = {0.0, NAN};
    place p = *old;
    bool rings = b->of[TE_KIND_RING_SET].is_new;
    size s = {.known = false};
    if (!as_new(b->e, ends, "side_clearance", old->item, 0.0)) {
        ends[0] = 0.0;
        ends[1] = NAN;
    }
    if (rings) {
        s = new_size(b, TE_KIND_RING_SET, "side_clearance", old->item);
    }
    if (s.known && s.stated) {
        ends[0] = s.value - s.half;
        ends[1] = s.value + s.half;
    }
    double measured = isnan(old->no_go) ? old->reading : old->no_go;
    p.reading = fmin(ends[0], old->reading);
    p.no_go = fmax(ends[1], measured);
    p.gauge = "";
    put_reading(&b->texts, &p, NAN);
    b->covered->half_new++;
}

/* ---- readings of new parts ---- */

typedef struct feature {
    const char *name;
    int kind;
    const char *partner;  /* of the same items; "": no items */
    const char *items[3]; /* of that family */
} feature;

static const feature features[] = {
    {"bore", TE_KIND_CYLINDER, "", {""}},
    {"skirt", TE_KIND_PISTON, "", {""}},
    {"end_gap", TE_KIND_RING_SET, "side_clearance", {"1", "2"}},
    {"side_clearance", TE_KIND_RING_SET, "end_gap", {"1", "2"}},
    {"pin", TE_KIND_PIN, "", {""}},
    {"pin_bore", TE_KIND_PISTON, "pin_clearance", {"left", "right"}},
    {"small_end_play", TE_KIND_SMALL_END_BEARING, "", {""}},
};

static const feature *feature_named(const char *name)
{
    for (size_t i = 0; i < sizeof features / sizeof *features; i++) {
        if (strcmp(features[i].name, name) == 0) {
            return &features[i];
        }
    }
    return NULL;
}

static bool names(const feature *f, const char *item, const char *quantity, const char *named)
{
    return strcmp(item, named) == 0 &&
           (strcmp(quantity, f->name) == 0 || strcmp(quantity, f->partner) == 0);
}

/* Whether limits, plan, readings or the spare name an item. */
static bool is_named(const build *b, const feature *f, const char *item)
{
    const engine *e = b->e;
    const spare *row = b->of[f->kind].row;
    bool named = false;
    for (size_t i = 0; i < e->limit_count; i++) {
        named = named || names(f, item, e->limits[i].quantity, e->limits[i].item);
    }
    for (size_t i = 0; i < e->plan_count; i++) {
        named = named || names(f, item, e->plan[i].feature, e->plan[i].item);
    }
    for (size_t i = 0; i < e->reading_count; i++) {
        named = named || names(f, item, e->readings[i].feature, e->readings[i].item);
    }
    for (size_t i = 0; i < e->spare_count && row != NULL; i++) {
        named = named || (strcmp(e->spares[i].name, row->name) == 0 &&
                          names(f, item, e->spares[i].feature, e->spares[i].item));
    }
    return named;
}

static void put_new_reading(build *b, const feature *f, const place *at, const size *s,
                            const char *gauge)
{
    if (strcmp(f->name, "end_gap") == 0) {
        put_new_gap(b, at);
        return;
    }
    place p = *at;
    p.reading = s->value;
    p.no_go = NAN;
    p.gauge = gauge;
    note_size(b, &p);
    put_reading(&b->texts, &p, NAN);
}

/* An item of a feature, at the plan's places, else where it was measured, else nowhere. */
static void put_item(build *b, const feature *f, const char *item)
{
    char gauge[16];
    const engine *e = b->e;
    const place *const lists[] = {e->plan, e->readings};
    const size_t counts[] = {e->plan_count, e->reading_count};
    size s = new_size(b, f->kind, f->name, item);
    bool any = false;
    if (!s.known) {
        return;
    }
    put_gauge(b, gauge, &s);
    for (int l = 0; l < 2 && !any; l++) {
        for (size_t i = 0; i < counts[l]; i++) {
            const place *p = &lists[l][i];
            if (strcmp(p->feature, f->name) == 0 && strcmp(p->item, item) == 0) {
                put_new_reading(b, f, p, &s, gauge);
                any = true;
            }
        }
    }
    if (!any) {
        const place nowhere = {f->name, item, NAN, NAN, NAN, NAN, ""};
        put_new_reading(b, f, &nowhere, &s, gauge);
    }
}

static void put_feature(build *b, const feature *f)
{
    bool any = false;
    bool side = strcmp(f->name, "side_clearance") == 0;
    if (!b->of[f->kind].is_new || (side && !b->of[TE_KIND_PISTON].is_new)) {
        return;
    }
    for (int i = 0; i < 2 && f->partner[0] != '\0'; i++) {
        if (is_named(b, f, f->items[i])) {
            put_item(b, f, f->items[i]);
            any = true;
        }
    }
    if (!any) {
        put_item(b, f, "");
    }
}

static void put_old_reading(build *b, const te_made_shop *base, const place *p)
{
    const feature *f = feature_named(p->feature);
    bool piston = b->of[TE_KIND_PISTON].is_new;
    bool rings = b->of[TE_KIND_RING_SET].is_new;
    if (strcmp(p->feature, "side_clearance") == 0 && piston != rings) {
        put_half_new(b, p);
    } else if (f != NULL && b->of[f->kind].is_new) {
        return;
    } else if (strcmp(p->feature, "end_gap") == 0 && b->of[TE_KIND_CYLINDER].is_new) {
        put_old_gap(b, base, p);
    } else {
        note_size(b, p);
        put_reading(&b->texts, p, NAN);
    }
}

/* ---- the parts of an option ---- */

static const spare *spare_named(const engine *e, const char *name)
{
    for (size_t i = 0; i < e->spare_count; i++) {
        if (strcmp(e->spares[i].name, name) == 0) {
            return &e->spares[i];
        }
    }
    return NULL;
}

static void fit(build *b, const bench *k, const te_option *option)
{
    for (int kind = 0; kind < KINDS_FITTED; kind++) {
        uint32_t at = option->candidate[kind];
        fitted *f = &b->of[kind];
        *f = (fitted){.oversize = kind <= TE_KIND_RING_SET ? b->e->oversize : 0.0};
        if (at == TE_NO_INDEX) {
            continue;
        }
        const char *name = candidate_name(k, &k->options.candidates[at]);
        f->is_new = true;
        f->rebored = strcmp(name, "rebored/cylinder") == 0;
        f->row = spare_named(b->e, name);
        f->price = f->rebored ? 0.0 : f->row == NULL ? NAN : f->row->price;
        b->replaced |= 1U << kind;
    }
    fitted *cylinder = &b->of[TE_KIND_CYLINDER];
    const spare *piston = b->of[TE_KIND_PISTON].row;
    assert_true(!cylinder->rebored || piston != NULL);
    if (cylinder->is_new) {
        cylinder->oversize = cylinder->rebored       ? piston->oversize
                             : cylinder->row != NULL ? cylinder->row->oversize
                                                     : 0.0;
    }
    for (int kind = TE_KIND_PISTON; kind < KINDS_FITTED; kind++) {
        fitted *f = &b->of[kind];
        if (f->is_new) {
            f->oversize = f->row != NULL ? f->row->oversize : cylinder->oversize;
        }
    }
}

static void write_build(build *b, const te_made_shop *base)
{
    write_model(&b->texts, b->e);
    write_spares(&b->texts, b->e);
    write_heads(&b->texts);
    write_kept(&b->texts, b->e, b->replaced);
    for (int kind = 0; kind < KINDS_FITTED; kind++) {
        char name[8];
        (void)snprintf(name, sizeof name, "NEW%d", kind);
        if (b->of[kind].is_new) {
            put_part(&b->texts, name, kind, b->of[kind].oversize);
        }
    }
    for (size_t i = 0; i < b->e->reading_count; i++) {
        put_old_reading(b, base, &b->e->readings[i]);
    }
    for (size_t i = 0; i < sizeof features / sizeof *features; i++) {
        put_feature(b, &features[i]);
    }
}

/* ---- comparing ---- */

static const te_finding *same_finding(const te_assessment *in, const te_shop *shop,
                                      const te_finding *as, const te_shop *as_shop)
{
    for (size_t i = 0; i < in->finding_count; i++) {
        const te_finding *f = &in->findings[i];
        if (f->measured.quantity == as->measured.quantity &&
            strcmp(te_shop_text(shop, f->measured.item),
                   te_shop_text(as_shop, as->measured.item)) == 0) {
            return f;
        }
    }
    return NULL;
}

static bool near_u(double a, double b)
{
    return fabs(a - b) <= 1e-6 * fmax(a, b) + 1e-10;
}

static bool alike(const te_finding *a, const te_finding *b, bool values)
{
    const te_interval *x = &a->interval;
    const te_interval *y = &b->interval;
    if (a->outcome != b->outcome || a->computed != b->computed ||
        a->places_missing != b->places_missing) {
        return false;
    }
    if (!a->computed || !values) {
        return true;
    }
    return te_near(x->low, y->low, 1e-7) && te_near(x->high, y->high, 1e-7) &&
           x->stated == y->stated &&
           (!x->stated || (near_u(x->u_low, y->u_low) && near_u(x->u_high, y->u_high)));
}

static void print_texts(const char *title, const texts *t)
{
    (void)fprintf(stderr, "%s\n%s\n%s\n%s\n%s\n%s\n%s\n%s\n%s\n", title, t->models.text,
                  t->limits.text, t->plan.text, t->readings.text, t->instruments.text,
                  t->spares.text, t->parts.text, t->conditions.text);
}

static void print_findings(const te_assessment *a, const te_shop *shop)
{
    for (size_t i = 0; i < a->finding_count; i++) {
        const te_finding *f = &a->findings[i];
        const te_interval *x = &f->interval;
        (void)fprintf(stderr, "%u %s: %s missing %u, %.9f %.9f u %.9g %.9g stated %d\n",
                      f->measured.quantity, te_shop_text(shop, f->measured.item),
                      te_outcome_name(f->outcome), f->places_missing, x->low, x->high, x->u_low,
                      x->u_high, x->stated);
    }
}

/* The first thing in which the two differ; NULL when they agree. */
static const char *difference(const build *b, const bench *k, const te_assessment *built,
                              const te_shop *shop)
{
    const te_assessment *told = &k->assessment;
    if (told->finding_count != built->finding_count) {
        return "the number of findings";
    }
    for (size_t i = 0; i < told->finding_count; i++) {
        const te_finding *f = &told->findings[i];
        const te_finding *other = same_finding(built, shop, f, k->made.shop);
        bool form = f->measured.quantity == TE_Q_OUT_OF_ROUND || f->measured.quantity == TE_Q_TAPER;
        const limit *l = !form
                             ? NULL
                             : limit_of(b->e, te_quantity_info_of(f->measured.quantity)->name, "");
        bool by_limits = l != NULL && !isnan(l->new_max) && b->of[TE_KIND_CYLINDER].is_new;
        if (other == NULL || !alike(f, other, !by_limits)) {
            return te_quantity_info_of(f->measured.quantity)->name != NULL
                       ? te_quantity_info_of(f->measured.quantity)->name
                       : "a feature of one's own";
        }
        b->covered->findings++;
    }
    return te_assessment_assembly(told)->verdict != te_assessment_assembly(built)->verdict
               ? "the verdict"
               : NULL;
}

/* Whether the tight end is under the least clearance; known is false too near to tell. */
static bool seizes(const build *b, bool *known)
{
    const limit *l = limit_of(b->e, "skirt_clearance", "");
    double least = l == NULL ? NAN : isnan(l->service_min) ? l->new_min : l->service_min;
    double tight = b->least_bore - b->most_skirt;
    bool piston = b->of[TE_KIND_PISTON].is_new;
    bool cylinder = b->of[TE_KIND_CYLINDER].is_new;
    least = isnan(least) ? 0.0 : least;
    tight -= cylinder ? new_size(b, TE_KIND_CYLINDER, "bore", "").half : 0.0;
    tight -= piston ? new_size(b, TE_KIND_PISTON, "skirt", "").half : 0.0;
    *known = !(fabs(tight - least) < 1e-8);
    return (piston || cylinder) && tight < least;
}

static void assert_part_rules(const build *b, const te_option *option)
{
    double price = 0.0;
    for (int kind = 0; kind < KINDS_FITTED; kind++) {
        price += b->of[kind].is_new ? b->of[kind].price : 0.0;
    }
    assert_true(isnan(price) ? isnan(option->price) : te_near(option->price, price, 1e-9));
    assert_true(b->e->reject < 0 || b->of[b->e->reject].is_new);
    assert_int_equal(option->replaced, b->replaced);
    if (b->of[TE_KIND_CYLINDER].rebored) {
        double most = 0.0;
        for (size_t i = 0; i < b->e->reading_count; i++) {
            const place *p = &b->e->readings[i];
            most = strcmp(p->feature, "bore") == 0 ? fmax(most, p->reading) : most;
        }
        assert_true(b->e->reborable);
        assert_true(new_size(b, TE_KIND_CYLINDER, "bore", "").value >= most + TE_HONE - 1e-8);
        assert_true(b->of[TE_KIND_CYLINDER].oversize > b->e->oversize);
    }
}

static void count_option(const build *b, const te_option *option)
{
    covered *c = b->covered;
    c->options++;
    c->refused += option->refused;
    c->rebored += b->of[TE_KIND_CYLINDER].rebored;
    c->simple += b->e->simple;
    c->rejects += b->e->reject >= 0;
    c->not_reuse += option->verdict != TE_REUSE;
}

/* What is wrong with an option's own verdict; NULL when nothing is. */
static const char *wrong_verdict(const build *b, const te_option *option,
                                 const te_assessment *built)
{
    bool known = false;
    bool seized = seizes(b, &known);
    te_verdict_value expected = option->refused ? TE_DO_NOT_REUSE
                                                : te_assessment_assembly(built)->verdict;
    if (known && seized != option->refused) {
        return "what is refused";
    }
    return option->verdict == expected ? NULL : "the verdict of the option";
}

static void compare_option(bench *k, const engine *e, const te_option *option, covered *c,
                           const texts *base)
{
    build b = {
        .e = e, .pool = &k->options.base.pool, .covered = c, .least_bore = NAN, .most_skirt = NAN};
    te_made_shop made;
    te_assessment built = {0};
    te_observations pool = {0};
    assert_int_equal(te_observe(&pool, k->made.shop, 0), TE_OK);
    b.pool = &pool;
    fit(&b, k, option);
    write_build(&b, &k->made);
    read_texts(&made, &b.texts, e);
    assert_int_equal(te_assess(&built, made.shop, 0, false), TE_OK);
    assert_int_equal(
        te_option_assess(&k->assessment, &k->options, k->made.shop, &k->made.problems, option),
        TE_OK);
    const char *differs = difference(&b, k, &built, made.shop);
    differs = differs != NULL ? differs : wrong_verdict(&b, option, &built);
    if (differs != NULL) {
        print_texts("--- base", base);
        print_texts("--- built", &b.texts);
        print_findings(&k->assessment, k->made.shop);
        print_findings(&built, made.shop);
        fail_msg("the option %zu differs in %s", (size_t)(option - k->options.items), differs);
    }
    assert_part_rules(&b, option);
    count_option(&b, option);
    te_observations_free(&pool);
    te_assessment_free(&built);
    te_made_free(&made);
    free_texts(&b.texts);
}

static void assert_order(const te_options *options)
{
    for (size_t i = 1; i < options->count; i++) {
        const te_option *a = &options->items[i - 1];
        const te_option *b = &options->items[i];
        assert_true(a->verdict >= b->verdict);
        if (a->verdict == b->verdict) {
            bool same = (isnan(a->price) && isnan(b->price)) || te_near(a->price, b->price, 1e-9);
            assert_true(same || isnan(b->price) || a->price < b->price);
            assert_true(!same || a->parts <= b->parts);
        }
    }
}

static void compare_engine(const engine *e, covered *c)
{
    texts t = {.limits = {0}};
    bench k = {.wish = {.hone = TE_HONE, .hours = NAN}};
    write_base(&t, e);
    read_texts(&k.made, &t, e);
    bench_make(&k, "I1");
    assert_false(k.options.too_many);
    for (size_t i = 0; i < k.options.count; i++) {
        compare_option(&k, e, &k.options.items[i], c, &t);
    }
    assert_order(&k.options);
    bench_close(&k);
    free_texts(&t);
}

static void options_are_the_engine_built(void **state)
{
    te_random random = te_random_start(20260714);
    covered c = {0};
    (void)state;
    for (size_t round = 0; round < te_test_rounds(ROUNDS); round++) {
        engine e;
        random_engine(&e, &random);
        compare_engine(&e, &c);
    }
    print_message(
        "%zu options, %zu findings; refused %zu, rebored %zu, old rings in a new bore %zu, "
        "half-new %zu, simple %zu, new rings in the old bore %zu (by its ends %zu), "
        "rejects %zu, not reuse %zu\n",
        c.options, c.findings, c.refused, c.rebored, c.old_rings_new_bore, c.half_new, c.simple,
        c.new_rings_old_bore, c.by_ends, c.rejects, c.not_reuse);
    assert_true(c.options > 0 && c.findings > c.options);
    assert_true(c.refused > 0 && c.rebored > 0 && c.old_rings_new_bore > 0);
    assert_true(c.half_new > 0 && c.simple > 0 && c.rejects > 0 && c.not_reuse > 0);
    assert_true(c.new_rings_old_bore > 0 && c.by_ends > 0);
    assert_true(c.not_reuse < c.options);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(options_are_the_engine_built)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
