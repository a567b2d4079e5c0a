/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * docs/method.md, "What it would measure", once more and from the beginning: the files of a shop in
 * which the parts of a set were fitted and measured. What is kept stands there as it was read; a new
 * size is a reading by a gauge of its own, whose calibration is the size's uncertainty. Assessing
 * that shop must give what the program predicts. Nothing here is taken from src/rebuild.
 */
#ifndef TE_BRUTE_DOCS_H
#define TE_BRUTE_DOCS_H

#include "brute_files.h"

#include "topend/judge.h"

enum { NEW_GAUGES_MOST = 64, AT_MOST = 24 };

static const double docs_pi = 3.14159265358979323846;

/* No uncertainty and no resolution to speak of: a gauge must have some. */
static const double negligible = 1e-9;

/* ---- sets -------------------------------------------------------------------------------------- */

/* What is fitted of a kind. */
typedef struct fitted {
    bool is, by_limits, rebored;
    const char *spare; /* of the rebored cylinder the piston that it is bored for */
} fitted;

typedef struct parts_set {
    fitted of[PART_KINDS];
} parts_set;

/* A new size. */
typedef struct size {
    double value, u, least, most; /* the last three when stated */
    bool stated;
} size;

static inline double spare_oversize(const engine_case *e, const char *spare)
{
    double oversize = 0;
    for (size_t i = 0; i < e->spare_count; i++) {
        if (is_word(e->spares[i].name, spare) && !isnan(e->spares[i].oversize))
            oversize = e->spares[i].oversize;
    }
    return oversize;
}

/* As written. A cylinder by the limits is a standard one; another part suits the cylinder of the
 * set. */
static inline double set_oversize(const engine_case *e, const parts_set *set, te_kind kind)
{
    const fitted *f = &set->of[kind];
    if (!f->is)
        return e->oversize[kind];
    if (!f->by_limits)
        return spare_oversize(e, f->spare);
    return kind == TE_KIND_CYLINDER ? 0 : set_oversize(e, set, TE_KIND_CYLINDER);
}

/* ---- limits in mm ------------------------------------------------------------------------------ */

static inline bool find_limit(double at[4], const engine_case *e, const char *quantity,
                              const char *item, double oversize)
{
    const bounds *found = NULL;
    for (size_t i = 0; i < e->limit_count; i++) {
        const bounds *l = &e->limits[i];
        bool mine = is_word(l->quantity, quantity);
        if (mine && (is_word(l->item, item) || (found == NULL && l->item[0] == '\0')))
            found = l;
    }
    for (size_t i = 0; i < 4 && found != NULL; i++) {
        double written = found->at[i] + (is_oversized(quantity) ? oversize : 0);
        at[i] = found->inches ? written * mm_per_inch : written;
    }
    return found != NULL;
}

/* The as-new limits; from 0 where that is the perfect value. */
static inline bool as_new_range(double *least, double *most, const engine_case *e,
                                const char *quantity, const char *item, double oversize)
{
    static const char *const never_zero[] = {"bore", "skirt", "pin", "pin_bore", "small_end_bore"};
    double at[4];
    const feature_of *f = feature_named(quantity);
    bool from_zero = f == NULL || !f->own;
    if (!find_limit(at, e, quantity, item, oversize))
        return false;
    for (size_t i = 0; i < 5; i++)
        from_zero = from_zero && !is_word(quantity, never_zero[i]);
    *least = isnan(at[NEW_MIN]) && from_zero ? 0 : at[NEW_MIN];
    *most = at[NEW_MAX];
    return !isnan(*least) && !isnan(*most) && *least <= *most;
}

static inline double bore_middle(const engine_case *e, double oversize)
{
    double least, most;
    return as_new_range(&least, &most, e, "bore", "", oversize) ? (least + most) / 2 : NAN;
}

/* ---- sizes of new parts ------------------------------------------------------------------------ */

static inline bool spare_size(size *s, const engine_case *e, const char *spare, const char *feature,
                              const char *item)
{
    const shelf *found = NULL;
    for (size_t i = 0; i < e->spare_count; i++) {
        const shelf *row = &e->spares[i];
        bool mine = is_word(row->name, spare) && row->feature != NULL &&
                    is_word(row->feature, feature) && !isnan(row->size);
        if (mine && (is_word(row->item, item) || (found == NULL && row->item[0] == '\0')))
            found = row;
    }
    if (found == NULL)
        return false;
    *s = (size){.value = found->size, .stated = !isnan(found->tolerance)};
    s->u = s->stated ? found->tolerance / sqrt(3) : 0;
    s->least = found->size - found->tolerance;
    s->most = found->size + found->tolerance;
    return true;
}

static inline bool limit_size(size *s, const engine_case *e, const char *feature, const char *item,
                              double oversize)
{
    double least, most;
    if (!as_new_range(&least, &most, e, feature, item, oversize))
        return false;
    *s = (size){(least + most) / 2, (most - least) / sqrt(12), least, most, true};
    return true;
}

/* Skirt of a spare piston: of its row, else by the limits. */
static inline bool piston_skirt(size *s, const engine_case *e, const char *piston)
{
    return spare_size(s, e, piston, "skirt", "") ||
           limit_size(s, e, "skirt", "", spare_oversize(e, piston));
}

/* What the cylinder is bored to for a piston; NAN: it cannot be told. */
static inline double finished_bore(const engine_case *e, const char *piston)
{
    size skirt;
    double at[4];
    if (!piston_skirt(&skirt, e, piston) || !find_limit(at, e, "skirt_clearance", "", 0))
        return NAN;
    return skirt.value + (at[NEW_MIN] + at[NEW_MAX]) / 2;
}

static inline bool bored_size(size *s, const engine_case *e, const char *piston)
{
    double least, most;
    *s = (size){.value = finished_bore(e, piston)};
    s->stated = as_new_range(&least, &most, e, "bore", "", spare_oversize(e, piston));
    if (s->stated) {
        s->u = (most - least) / sqrt(12);
        s->least = s->value - (most - least) / 2;
        s->most = s->value + (most - least) / 2;
    }
    return true;
}

static inline bool new_size(size *s, const engine_case *e, const parts_set *set, te_kind kind,
                            const char *feature, const char *item)
{
    const fitted *f = &set->of[kind];
    if (f->rebored && is_word(feature, "bore"))
        return bored_size(s, e, f->spare);
    if (!f->by_limits && !f->rebored && spare_size(s, e, f->spare, feature, item))
        return true;
    return limit_size(s, e, feature, item, set_oversize(e, set, kind));
}

/* ---- sums of readings that stay ---------------------------------------------------------------- */

/* A sum over the observations of the engine as measured. */
typedef struct combo {
    double c[ROWS_MOST];
} combo;

static inline double combo_value(const te_observations *pool, const combo *k)
{
    double sum = 0;
    for (size_t i = 0; i < pool->count; i++)
        sum += k->c[i] * pool->items[i].value;
    return sum;
}

static inline bool combo_stated(const te_observations *pool, const combo *k)
{
    for (size_t i = 0; i < pool->count; i++) {
        if (k->c[i] != 0.0 && !pool->items[i].stated)
            return false;
    }
    return true;
}

/* The covariance of two readings by what they have in common. */
static inline double common(const te_observations *pool, size_t i, size_t j)
{
    double sum = 0;
    const te_observation *x = &pool->items[i], *y = &pool->items[j];
    for (uint32_t a = 0; a < x->effect_count; a++)
        for (uint32_t b = 0; b < y->effect_count; b++) {
            const te_effect *p = &pool->effects[x->first_effect + a];
            const te_effect *q = &pool->effects[y->first_effect + b];
            sum += p->source == q->source ? p->effect * q->effect : 0;
        }
    return sum;
}

static inline double combo_variance(const te_observations *pool, const combo *k)
{
    double sum = 0;
    for (size_t i = 0; i < pool->count; i++) {
        if (k->c[i] == 0.0)
            continue;
        sum += k->c[i] * k->c[i] * pool->items[i].u_own * pool->items[i].u_own;
        for (size_t j = 0; j < pool->count; j++)
            sum += k->c[j] != 0.0 ? k->c[i] * k->c[j] * common(pool, i, j) : 0;
    }
    return sum;
}

/* ---- the engine as it would be ----------------------------------------------------------------- */

/* The second shop while it is written. */
typedef struct rewriting {
    const engine_case *e;
    const parts_set *set;
    const te_shop *shop;
    const te_observations *base; /* the engine as measured */
    files *out;
    char gauges[NEW_GAUGES_MOST][NAME]; /* that were written */
    size_t gauge_count, own_gauges;
    /* What the set covers, counted by the test. */
    bool half_new, gap_gauged, gap_by_ends, gap_both_new, old_gap, below_zero, unstated, exact,
        own_feature, form, gap_along;
} rewriting;

static inline bool is_new(const rewriting *w, te_kind kind)
{
    return kind < PART_KINDS && w->set->of[kind].is;
}

static inline void name_new(char name[NAME], te_kind kind)
{
    (void)snprintf(name, NAME, "N%d", (int)kind);
}

/* The name of a gauge of its own for an uncertainty, written once. */
static inline const char *gauge_for(rewriting *w, const char *name, double u, bool stated)
{
    for (size_t i = 0; i < w->gauge_count; i++) {
        if (is_word(w->gauges[i], name))
            return w->gauges[i];
    }
    assert_true(w->gauge_count < NEW_GAUGES_MOST);
    char *mine = w->gauges[w->gauge_count++];
    (void)snprintf(mine, NAME, "%s", name);
    te_grown_add(&w->out->instruments, "%s,", mine);
    add_number(&w->out->instruments, negligible);
    add_number(&w->out->instruments, stated ? fmax(2 * u, negligible) : NAN);
    te_grown_add(&w->out->instruments, ",\n");
    return mine;
}

/* A reading that the docs predict. */
typedef struct foretold {
    const char *feature, *item, *part, *gauge;
    double position, direction, value, no_go;
} foretold;

static inline void write_foretold(rewriting *w, const foretold *x)
{
    te_grown *out = &w->out->readings;
    te_grown_add(out, "B,%s,%s,%s,%s", x->feature, x->part, x->item, x->gauge);
    add_number(out, x->position);
    add_number(out, x->direction);
    add_number(out, x->value);
    te_grown_add(out, ",,");
    add_number(out, x->no_go);
    bool negative = x->value < 0 && !feature_named(x->feature)->own;
    w->below_zero = w->below_zero || negative;
    te_grown_add(out, negative ? ",0\n" : ",\n");
}

/* ---- places and items -------------------------------------------------------------------------- */

typedef struct spots {
    double position[AT_MOST], direction[AT_MOST];
    size_t count;
} spots;

static inline bool alike(double a, double b)
{
    return (isnan(a) && isnan(b)) || fabs(a - b) < 1e-6;
}

static inline void add_spot(spots *s, double position, double direction)
{
    for (size_t i = 0; i < s->count; i++) {
        if (alike(s->position[i], position) && alike(s->direction[i], direction))
            return;
    }
    assert_true(s->count < AT_MOST);
    s->position[s->count] = position;
    s->direction[s->count++] = direction;
}

/* Those of plan.csv; without any there, those measured; without those, nowhere. */
static inline spots find_spots(const engine_case *e, const char *feature, const char *item)
{
    spots s = {.count = 0};
    for (size_t i = 0; i < e->plan_count; i++) {
        const place *p = &e->plan[i];
        if (is_word(p->feature, feature) && (p->item[0] == '\0' || is_word(p->item, item)))
            add_spot(&s, p->position, p->direction);
    }
    bool planned = s.count > 0;
    for (size_t i = 0; i < e->row_count && !planned; i++) {
        const taken *r = &e->rows[i];
        if (is_word(r->feature, feature) && is_word(r->item, item))
            add_spot(&s, r->position, r->direction);
    }
    if (s.count == 0)
        add_spot(&s, NAN, NAN);
    return s;
}

/* Rings are those of gaps and side clearances, bosses those of pin bores and pin clearances. */
static inline bool same_family(const char *a, const char *b)
{
    static const char *const families[][2] = {{"end_gap", "side_clearance"},
                                              {"pin_bore", "pin_clearance"}};
    bool same = is_word(a, b);
    for (size_t i = 0; i < 2; i++) {
        bool x = is_word(a, families[i][0]) || is_word(a, families[i][1]);
        bool y = is_word(b, families[i][0]) || is_word(b, families[i][1]);
        same = same || (x && y);
    }
    return same;
}

typedef struct names {
    const char *of[8];
    size_t count;
} names;

static inline void add_name(names *n, const char *feature, const char *named, const char *item)
{
    if (named == NULL || item[0] == '\0' || !same_family(feature, named))
        return;
    for (size_t i = 0; i < n->count; i++) {
        if (is_word(n->of[i], item))
            return;
    }
    assert_true(n->count < 8);
    n->of[n->count++] = item;
}

/* The items that limits, plan, readings or the spare name; if none, one without a name. */
static inline names find_items(const rewriting *w, te_kind kind, const char *feature)
{
    names n = {.count = 0};
    const engine_case *e = w->e;
    const fitted *f = &w->set->of[kind];
    for (size_t i = 0; i < e->limit_count; i++)
        add_name(&n, feature, e->limits[i].quantity, e->limits[i].item);
    for (size_t i = 0; i < e->plan_count; i++)
        add_name(&n, feature, e->plan[i].feature, e->plan[i].item);
    for (size_t i = 0; i < e->row_count; i++)
        add_name(&n, feature, e->rows[i].feature, e->rows[i].item);
    for (size_t i = 0; i < e->spare_count && !f->by_limits && !f->rebored; i++) {
        if (is_word(e->spares[i].name, f->spare))
            add_name(&n, feature, e->spares[i].feature, e->spares[i].item);
    }
    if (n.count == 0)
        n.of[n.count++] = "";
    return n;
}

/* ---- end gaps ---------------------------------------------------------------------------------- */

static inline bool is_bore(const rewriting *w, size_t i)
{
    return w->base->items[i].feature == TE_Q_BORE;
}

/* pi times the bore at a height, `sign` before it: its mean over the directions, else its ends. How
 * many sums: 0 where the bore was not measured. */
static inline size_t bore_sums(combo k[2], rewriting *w, double position, double sign)
{
    size_t there = 0, least = ROWS_MOST, most = ROWS_MOST;
    k[0] = k[1] = (combo){{0}};
    for (size_t i = 0; i < w->base->count; i++) {
        const te_observation *x = &w->base->items[i];
        if (!is_bore(w, i))
            continue;
        there += fabs(x->position - position) <= 0.5;
        least = least == ROWS_MOST || x->value < w->base->items[least].value ? i : least;
        most = most == ROWS_MOST || x->value > w->base->items[most].value ? i : most;
    }
    for (size_t i = 0; i < w->base->count && there > 0; i++) {
        if (is_bore(w, i) && fabs(w->base->items[i].position - position) <= 0.5)
            k[0].c[i] = sign * docs_pi / (double)there;
    }
    w->gap_gauged = w->gap_gauged || there > 0;
    w->gap_by_ends = w->gap_by_ends || (there == 0 && least != ROWS_MOST);
    if (there > 0 || least == ROWS_MOST)
        return there > 0;
    k[0].c[least] = sign * docs_pi;
    k[1].c[most] = sign * docs_pi;
    return 2;
}

static inline void write_gap(rewriting *w, foretold *x, double variance, bool stated)
{
    char name[NAME];
    (void)snprintf(name, NAME, "gap-%zu", w->own_gauges++);
    x->feature = "end_gap";
    x->part = "";
    x->gauge = gauge_for(w, name, sqrt(variance), stated);
    w->gap_along = w->gap_along || !isnan(x->direction);
    write_foretold(w, x);
}

/* The gap of a new ring in a bore in the middle of the as-new limits, and that middle. */
static inline bool gap_as_sold(size *gap, double *middle, const rewriting *w, const char *item)
{
    *middle = bore_middle(w->e, set_oversize(w->e, w->set, TE_KIND_RING_SET));
    return new_size(gap, w->e, w->set, TE_KIND_RING_SET, "end_gap", item) && !isnan(*middle);
}

static inline void new_ring_in_old_bore(rewriting *w, const char *item, double position,
                                        double direction)
{
    size gap;
    double middle;
    combo k[2];
    size_t count = bore_sums(k, w, position, 1);
    if (!gap_as_sold(&gap, &middle, w, item))
        return;
    for (size_t i = 0; i < count; i++) {
        foretold x = {.item = item, .position = position, .direction = direction, .no_go = NAN};
        x.value = gap.value + combo_value(w->base, &k[i]) - docs_pi * middle;
        write_gap(w, &x, gap.u * gap.u + combo_variance(w->base, &k[i]),
                  gap.stated && combo_stated(w->base, &k[i]));
    }
}

static inline void new_ring_in_new_bore(rewriting *w, const char *item, double position,
                                        double direction)
{
    size gap, bore;
    double middle;
    if (!gap_as_sold(&gap, &middle, w, item) ||
        !new_size(&bore, w->e, w->set, TE_KIND_CYLINDER, "bore", ""))
        return;
    foretold x = {.item = item, .position = position, .direction = direction, .no_go = NAN};
    x.value = gap.value + docs_pi * (bore.value - middle);
    write_gap(w, &x, gap.u * gap.u + docs_pi * docs_pi * bore.u * bore.u,
              gap.stated && bore.stated);
    w->gap_both_new = true;
}

static inline void old_ring_in_new_bore(rewriting *w, size_t at)
{
    size bore;
    combo k[2];
    const te_observation *gap = &w->base->items[at];
    size_t count = bore_sums(k, w, gap->position, -1);
    if (!new_size(&bore, w->e, w->set, TE_KIND_CYLINDER, "bore", ""))
        return;
    for (size_t i = 0; i < count; i++) {
        double width = gap->no_go - gap->go;
        k[i].c[at] = 1;
        foretold x = {.item = te_shop_text(w->shop, gap->item),
                      .position = gap->position,
                      .direction = gap->direction,
                      .no_go = NAN};
        x.value = combo_value(w->base, &k[i]) + docs_pi * bore.value;
        double variance = combo_variance(w->base, &k[i]) + docs_pi * docs_pi * bore.u * bore.u;
        if (!isnan(width)) { /* the leaves keep their width, which is not the gauge's then */
            x.value -= width / 2;
            x.no_go = x.value + width;
            variance = fmax(variance - width * width / 12, 0);
        }
        write_gap(w, &x, variance, bore.stated && combo_stated(w->base, &k[i]));
        w->old_gap = true;
    }
}

/* ---- side clearance ---------------------------------------------------------------------------- */

/* Of ring and groove one is new: between as new and as measured, like two leaves. */
static inline void half_new_groove(rewriting *w, const te_observation *x)
{
    size s = {.stated = false};
    double least = 0, most = 0, a, b;
    const char *item = te_shop_text(w->shop, x->item);
    const fitted *rings = &w->set->of[TE_KIND_RING_SET];
    bool sold = rings->is && !rings->by_limits &&
                spare_size(&s, w->e, rings->spare, "side_clearance", item) && s.stated;
    if (sold) {
        least = s.least;
        most = s.most;
    } else if (as_new_range(&a, &b, w->e, "side_clearance", item, 0)) {
        least = a;
        most = b;
    }
    double measured = isnan(x->no_go) ? x->value : x->no_go;
    foretold y = {"side_clearance", item,         "",    "",
                  x->position,      x->direction, least, fmax(most, measured)};
    if (y.no_go - y.value < 1e-7) { /* no pair of leaves */
        y.no_go = NAN;
        y.gauge = gauge_for(w, "exact", 0, true);
    }
    write_foretold(w, &y);
    w->half_new = true;
}

/* ---- new parts --------------------------------------------------------------------------------- */

static inline void write_new_item(rewriting *w, te_kind kind, const feature_of *f, const char *item)
{
    size s;
    char part[NAME], name[NAME];
    spots at = find_spots(w->e, f->name, item);
    if (!new_size(&s, w->e, w->set, kind, f->name, item))
        return;
    name_new(part, kind);
    (void)snprintf(name, NAME, "%s-%s", f->name, item);
    for (size_t i = 0; i < at.count; i++) {
        if (is_word(f->name, "end_gap")) {
            (is_new(w, TE_KIND_CYLINDER) ? new_ring_in_new_bore : new_ring_in_old_bore)(
                w, item, at.position[i], at.direction[i]);
            continue;
        }
        foretold x = {f->name,
                      item,
                      f->own ? part : "",
                      gauge_for(w, name, s.u, s.stated),
                      at.position[i],
                      at.direction[i],
                      s.value,
                      NAN};
        write_foretold(w, &x);
        w->unstated = w->unstated || !s.stated;
        w->exact = w->exact || (s.stated && s.u == 0.0);
        w->own_feature = w->own_feature || f->own;
    }
}

/* A feature of the user's own is read again where it was, or where the spare tells it. */
static inline bool is_read_again(const rewriting *w, te_kind kind, const feature_of *f)
{
    const fitted *new = &w->set->of[kind];
    for (size_t i = 0; i < w->e->row_count; i++) {
        if (is_word(w->e->rows[i].feature, f->name))
            return true;
    }
    for (size_t i = 0; i < w->e->spare_count && !new->by_limits && !new->rebored; i++) {
        const shelf *s = &w->e->spares[i];
        if (is_word(s->name, new->spare) && s->feature != NULL && is_word(s->feature, f->name))
            return true;
    }
    return false;
}

static inline void write_new_part(rewriting *w, te_kind kind)
{
    char name[NAME];
    name_new(name, kind);
    write_part(w->out, name, kind, "0,", set_oversize(w->e, w->set, kind));
    for (size_t i = 0; i < FEATURES; i++) {
        const feature_of *f = &features[i];
        bool half = is_word(f->name, "side_clearance") && !is_new(w, TE_KIND_PISTON);
        if (f->kind != kind || half || (f->own && !is_read_again(w, kind, f)))
            continue;
        names items = find_items(w, kind, f->name);
        for (size_t j = 0; j < items.count; j++)
            write_new_item(w, kind, f, items.of[j]);
    }
}

/* ---- what stays -------------------------------------------------------------------------------- */

/* The observation that a row became: repeats stand in one row. */
static inline size_t observation_of(const rewriting *w, const taken *r)
{
    for (size_t i = 0; i < w->base->count; i++) {
        const te_observation *x = &w->base->items[i];
        if (is_word(te_shop_quantity_name(w->shop, x->feature), r->feature) &&
            is_word(te_shop_text(w->shop, x->item), r->item) && alike(x->position, r->position) &&
            alike(x->direction, r->direction))
            return i;
    }
    fail_msg("a row of %s is no observation", r->feature);
    return 0;
}

static inline void write_kept(rewriting *w, const taken *r)
{
    size_t at = observation_of(w, r);
    bool groove = is_word(r->feature, "side_clearance");
    bool rings = is_new(w, TE_KIND_RING_SET), piston = is_new(w, TE_KIND_PISTON);
    if (groove && rings != piston) {
        half_new_groove(w, &w->base->items[at]);
    } else if (is_new(w, r->kind)) {
        return;
    } else if (is_word(r->feature, "end_gap") && is_new(w, TE_KIND_CYLINDER)) {
        old_ring_in_new_bore(w, at);
    } else {
        write_taken(w->out, "B", part_cell(w->e, r), r, 0);
    }
}

/* ---- form -------------------------------------------------------------------------------------- */

static inline bool is_form(const char *quantity)
{
    return is_word(quantity, "out_of_round") || is_word(quantity, "taper") ||
           is_word(quantity, "out_of_round_overall") || is_word(quantity, "taper_ends");
}

/* The form of a new cylinder is what the as-new limits say, where they say it. */
static inline bool form_by_limits(size *s, const engine_case *e, const parts_set *set,
                                  const char *quantity)
{
    return set->of[TE_KIND_CYLINDER].is && is_form(quantity) && limit_size(s, e, quantity, "", 0);
}

/* True when plan.csv asks for bores that nothing predicts: then the form lacks places too. */
static inline bool lacks_bores(const rewriting *w)
{
    size s;
    bool planned = false;
    for (size_t i = 0; i < w->e->plan_count; i++)
        planned = planned || is_word(w->e->plan[i].feature, "bore");
    return planned && !new_size(&s, w->e, w->set, TE_KIND_CYLINDER, "bore", "");
}

/* Readings cannot have such a form: in the second shop it is a feature of the user's own, with the
 * limits of the form, read on the cylinder. */
static inline void write_limits_again(rewriting *w)
{
    size s;
    char name[NAME], part[NAME];
    name_new(part, TE_KIND_CYLINDER);
    for (size_t i = 0; i < w->e->limit_count; i++) {
        const bounds *l = &w->e->limits[i];
        bool form = form_by_limits(&s, w->e, w->set, l->quantity);
        (void)snprintf(name, NAME, "%s%s", form ? "as_new_" : "", l->quantity);
        write_limit(w->out, l, name);
        if (form) {
            te_grown_add(&w->out->readings, "B,%s,%s,,%s,,,%.15g,,,,\n", name, part,
                         gauge_for(w, name, s.u, true), s.value);
            if (lacks_bores(w))
                te_grown_add(&w->out->plan, "M,%s,,99,\n", name);
            w->form = true;
        }
    }
}

/* ---- the second shop --------------------------------------------------------------------------- */

static inline void write_again(rewriting *w)
{
    const engine_case *e = w->e;
    files *f = w->out;
    write_heads(f);
    write_model(f, e);
    te_grown_add(&f->shop, "rule,%s\n", e->simple ? "simple" : "guarded");
    write_gauges(f, e);
    write_visit(f, e, "B", "2026-02-01", 150);
    write_limits_again(w);
    for (int kind = 0; kind < PART_KINDS; kind++) {
        if (w->set->of[kind].is)
            write_new_part(w, (te_kind)kind);
        else if (e->listed[kind])
            write_part(f, e->part[kind], (te_kind)kind, "0,", e->oversize[kind]);
    }
    write_part(f, "X1", TE_KIND_OTHER, "0,", 0);
    for (size_t i = 0; i < e->row_count; i++)
        write_kept(w, &e->rows[i]);
    for (size_t i = 0; i < e->condition_count; i++) {
        const seen *c = &e->conditions[i];
        if (!c->earlier && !is_new(w, c->kind))
            write_seen(f, e, c);
    }
    write_plan(f, e);
}

#endif
