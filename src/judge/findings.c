/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The quantities of an inspection against limits and plan. */
#include "findings.h"

#include <math.h>

#include "record/vector.h"

/* A reading stands at a planned place within this (degrees), and within TE_SAME_HEIGHT. */
static const double near_direction = 1.0 + 1e-9;
static const double half_turn = 180.0; /* directions of a diameter repeat after it */

te_kind te_kind_of_observation(const struct assessing *a, const te_observation *x)
{
    if (x->feature < TE_Q_OWN) {
        return te_quantity_info_of(x->feature)->kind;
    }
    return te_inspection_kind_of(a->inspection, x->part);
}

/* ---- what is judged ---- */

/* Least and most that a form can be when each leaf stands in for its reading. */
static void leaf_range(double *least, double *most, const te_observations *pool,
                       const te_form *form)
{
    *least = 0.0;
    *most = 0.0;
    for (size_t i = 0; i < form->count; i++) {
        const te_observation *x = &pool->items[form->observation[i]];
        double c = form->coefficient[i];
        double go = isnan(x->no_go) ? x->value : x->go;
        double no_go = isnan(x->no_go) ? x->value : x->no_go;
        *least += c * (c > 0.0 ? go : no_go);
        *most += c * (c > 0.0 ? no_go : go);
    }
}

/* A quantity that is read directly: each of its readings, not only the extreme one, passes an upper
 * limit by its no_go leaf and a lower one by its go leaf; one without leaves by its value. */
static void widen_by_leaves(te_interval *x, const te_observations *pool,
                            const te_measured *measured)
{
    for (size_t i = 0; i < pool->count; i++) {
        const te_observation *o = &pool->items[i];
        bool mine = o->feature == measured->quantity && o->item == measured->item &&
                    (o->feature < TE_Q_OWN || o->part == measured->part);
        if (mine) {
            double least = isnan(o->no_go) ? o->value : o->go;
            double most = isnan(o->no_go) ? o->value : o->no_go;
            x->high_least = fmax(x->high_least, least);
            x->high_most = fmax(x->high_most, most);
            x->low_least = fmin(x->low_least, least);
            x->low_most = fmin(x->low_most, most);
        }
    }
}

static te_interval make_interval(const te_observations *pool, const te_measured *measured)
{
    te_interval x = {
        .low = te_without_dust(te_form_value(pool, &measured->low)),
        .high = te_without_dust(te_form_value(pool, &measured->high)),
        .u_low = sqrt(te_form_variance(pool, &measured->low)),
        .u_high = sqrt(te_form_variance(pool, &measured->high)),
        .stated = te_form_stated(pool, &measured->low) && te_form_stated(pool, &measured->high),
        .never_at_zero = te_quantity_is(measured->quantity, TE_TRAIT_FIT),
    };
    leaf_range(&x.low_least, &x.low_most, pool, &measured->low);
    leaf_range(&x.high_least, &x.high_most, pool, &measured->high);
    widen_by_leaves(&x, pool, measured);
    return x;
}

/* ---- the plan ---- */

static bool is_near(double planned, double place, double most, double period)
{
    if (isnan(planned)) {
        return true;
    }
    double apart = fabs(planned - place);
    if (period > 0.0 && apart > period / 2.0) {
        apart = fabs(period - apart);
    }
    return apart <= most; /* false when the reading has no such place */
}

static bool covers(const te_plan *plan, const te_observation *x)
{
    return x->feature == plan->feature && (plan->item == 0 || plan->item == x->item) &&
           is_near(plan->position, x->position, TE_SAME_HEIGHT, 0.0) &&
           is_near(plan->direction, x->direction, near_direction, half_turn);
}

/* True when the planned place belongs to the quantity. */
static bool asks_for(const te_plan *plan, const te_measured *measured)
{
    const te_quantity_info *info = te_quantity_info_of(measured->quantity);
    if (measured->quantity >= TE_Q_OWN) {
        return plan->feature == measured->quantity &&
               (plan->item == 0 || plan->item == measured->item);
    }
    if (plan->feature == info->second_feature) {
        return true;
    }
    bool item = plan->item == 0 || info->items == TE_ITEMS_NONE || plan->item == measured->item;
    return plan->feature == info->feature && item;
}

/* A reading counts for the quantity's item, where it has items. */
static bool counts_for(const te_observation *x, const te_measured *measured)
{
    const te_quantity_info *info = te_quantity_info_of(measured->quantity);
    if (measured->quantity >= TE_Q_OWN) {
        return x->item == measured->item && x->part == measured->part;
    }
    return info->items == TE_ITEMS_NONE || x->feature != info->feature || x->item == measured->item;
}

uint32_t te_places_missing(uint32_t *first, const te_observations *pool, size_t from, size_t to,
                           const te_shop *shop, uint32_t model, const te_measured *measured)
{
    const te_tables *tables = te_shop_tables(shop);
    const te_model *m = &tables->models[model];
    uint32_t missing = 0;
    *first = TE_NO_INDEX;
    for (uint32_t i = 0; i < m->plan_count; i++) {
        const te_plan *plan = &tables->plan[m->first_plan + i];
        bool covered = !asks_for(plan, measured);
        for (size_t j = from; j < to && !covered; j++) {
            const te_observation *x = &pool->items[j];
            covered = covers(plan, x) && counts_for(x, measured);
        }
        if (!covered) {
            *first = missing == 0 ? m->first_plan + i : *first;
            missing++;
        }
    }
    return missing;
}

/* ---- findings ---- */

/* The limits of a quantity of a part, with the part's oversize added. */
static bool find_limit(te_limit *limit, const struct assessing *a, te_quantity quantity, te_id item,
                       te_id part)
{
    te_kind kind = te_quantity_info_of(quantity)->kind;
    if (te_is_supposed(a, kind)) {
        return te_shop_oversize_limit(limit, a->shop, (uint32_t)(a->model - a->tables->models),
                                      quantity, item, a->supposed->oversize[kind]);
    }
    return te_shop_part_limit(limit, a->shop, a->inspection, quantity, item, part);
}

/* Keeps the order of the quantities: one that is missing stands where it would be. */
static te_status add_finding(struct assessing *a, const te_finding *finding)
{
    te_assessment *out = a->out;
    if (!te_vector_reserve(&out->findings, &out->finding_capacity, out->finding_count + 1,
                           sizeof *out->findings)) {
        return TE_ERR_MEMORY;
    }
    size_t at = out->finding_count++;
    for (; at > 0 && out->findings[at - 1].measured.quantity > finding->measured.quantity; at--) {
        out->findings[at] = out->findings[at - 1];
    }
    out->findings[at] = *finding;
    return TE_OK;
}

static te_status judge_measured(struct assessing *a, const te_measured *measured)
{
    te_finding finding = {.measured = *measured, .computed = true};
    te_bounds bounds = {NAN, NAN, NAN, NAN};
    finding.interval = make_interval(&a->out->pool, measured);
    finding.has_limit = find_limit(&finding.limit, a, measured->quantity, measured->item,
                                   measured->part);
    if (finding.has_limit) {
        bounds = (te_bounds){finding.limit.new_min, finding.limit.new_max,
                             finding.limit.service_min, finding.limit.service_max};
    }
    te_status status = te_judge(&finding.judgement, &finding.interval, &bounds, a->tables->rule,
                                a->tables->confidence);
    if (status != TE_OK) { /* GCOVR_EXCL_BR_LINE: no file holds a figure that is not finite */
        return status;
    }
    uint32_t model = a->tables->engines[a->inspection->engine].model;
    finding.places_missing = te_places_missing(&finding.place_missing, &a->out->pool, 0,
                                               a->out->pool.count, a->shop, model, measured);
    finding.outcome = finding.judgement.outcome;
    bool passes = finding.outcome == TE_AS_NEW || finding.outcome == TE_SERVICEABLE;
    if (passes && finding.places_missing > 0) {
        finding.outcome = TE_MISSING;
    }
    return add_finding(a, &finding);
}

/* A quantity that a limit or the plan asks for. */
struct wanted {
    const te_limit *limit;
    te_id part; /* with kind: whose quantity it is */
    te_kind kind;
};

static bool is_found(const struct assessing *a, const struct wanted *w, te_id item)
{
    for (size_t i = 0; i < a->out->finding_count; i++) {
        const te_measured *m = &a->out->findings[i].measured;
        if (m->quantity == w->limit->quantity && m->item == item && m->part == w->part) {
            return true;
        }
    }
    return false;
}

static te_status add_missing(struct assessing *a, const struct wanted *w, te_id item)
{
    const te_quantity_info *info = te_quantity_info_of(w->limit->quantity);
    te_finding finding = {.outcome = TE_MISSING,
                          .place_missing = TE_NO_INDEX,
                          .judgement = {.outcome = TE_NO_LIMIT, .p_within = NAN, .u_needed = NAN}};
    if (is_found(a, w, item)) {
        return TE_OK;
    }
    finding.measured = (te_measured){
        .quantity = w->limit->quantity,
        .item = item,
        .kind = w->kind,
        .second_kind = info->second_kind,
        .part = w->part,
        .second_part = info->second_kind == TE_KIND_NONE ? 0
                                                         : a->inspection->part[info->second_kind],
    };
    finding.has_limit = find_limit(&finding.limit, a, w->limit->quantity, item, w->part);
    return add_finding(a, &finding);
}

/* ---- items that a limit without an item expects ---- */

/* Has the quantity, which has a row without an item, one for that very item too? */
static bool has_own_row(const struct assessing *a, te_quantity quantity, te_id item)
{
    uint32_t at = te_shop_limit(a->shop, (uint32_t)(a->model - a->tables->models), quantity, item);
    return a->tables->limits[at].item == item;
}

struct expected {
    struct assessing *a;
    const struct wanted *wanted;
    bool any; /* some item was named */
    te_status status;
};

static void expect_item(struct expected *e, te_quantity quantity, te_id item)
{
    te_quantity limited = e->wanted->limit->quantity;
    if (item == 0 || !te_quantity_same_items(quantity, limited) || e->status != TE_OK) {
        return;
    }
    e->any = true;
    bool asked = e->wanted->limit->required || te_plan_asks(e->a, limited, item);
    if (asked && !has_own_row(e->a, limited, item)) {
        e->status = add_missing(e->a, e->wanted, item);
    }
}

/* The items that limits, plan or readings name; if none, one without a name. */
static te_status expect_items(struct assessing *a, const struct wanted *wanted)
{
    struct expected e = {.a = a, .wanted = wanted};
    for (uint32_t i = 0; i < a->model->limit_count; i++) {
        const te_limit *other = &a->tables->limits[a->model->first_limit + i];
        expect_item(&e, other->quantity, other->item);
    }
    for (uint32_t i = 0; i < a->model->plan_count; i++) {
        const te_plan *plan = &a->tables->plan[a->model->first_plan + i];
        expect_item(&e, plan->feature, plan->item);
    }
    for (size_t i = 0; i < a->out->pool.count; i++) {
        const te_observation *x = &a->out->pool.items[i];
        expect_item(&e, x->feature, x->item);
    }
    return e.status != TE_OK || e.any ? e.status : add_missing(a, wanted, 0);
}

static te_status expect(struct assessing *a, const struct wanted *wanted)
{
    te_items items = te_quantity_info_of(wanted->limit->quantity)->items;
    bool one = items == TE_ITEMS_NONE || wanted->limit->item != 0;
    return one ? add_missing(a, wanted, wanted->limit->item) : expect_items(a, wanted);
}

/* A feature of the user's own belongs to the parts that its readings name, else to ENGINE/other
 * when that has a reading. */
static te_status expect_own(struct assessing *a, const te_limit *limit)
{
    te_status status = TE_OK;
    te_id last = 0; /* the part whose readings these are: they stand beside each other */
    for (size_t i = 0; i < a->out->pool.count && status == TE_OK; i++) {
        const te_observation *x = &a->out->pool.items[i];
        if (x->feature == limit->quantity && x->part != last) {
            struct wanted wanted = {limit, x->part, te_kind_of_observation(a, x)};
            status = expect(a, &wanted);
            last = x->part;
        }
    }
    if (last != 0 || !a->other_measured) {
        return status;
    }
    struct wanted wanted = {limit, a->inspection->part[TE_KIND_OTHER], TE_KIND_OTHER};
    return expect(a, &wanted);
}

/* A limit that is asked for, whose parts have readings, but whose quantity could not be computed. */
static te_status check_wanted(struct assessing *a, const te_limit *limit)
{
    const te_quantity_info *info = te_quantity_info_of(limit->quantity);
    if (!te_limit_is_wanted(a, limit)) {
        return TE_OK;
    }
    if (limit->quantity >= TE_Q_OWN) {
        return expect_own(a, limit);
    }
    bool parts = a->measured[info->kind] &&
                 (info->second_kind == TE_KIND_NONE || a->measured[info->second_kind]);
    struct wanted wanted = {limit, a->inspection->part[info->kind], info->kind};
    return parts ? expect(a, &wanted) : TE_OK;
}

static void mark_measured(struct assessing *a)
{
    for (size_t i = 0; i < a->out->pool.count; i++) {
        const te_observation *x = &a->out->pool.items[i];
        const te_quantity_info *info = te_quantity_info_of(x->feature);
        a->measured[te_kind_of_observation(a, x)] = true;
        a->other_measured = a->other_measured || x->part == a->inspection->part[TE_KIND_OTHER];
        if (info->second_kind != TE_KIND_NONE) {
            a->measured[info->second_kind] = true; /* side clearance measures the piston too */
        }
    }
}

te_status te_make_findings(struct assessing *a)
{
    te_status status = TE_OK;
    mark_measured(a);
    for (size_t i = 0; i < a->out->quantities.count && status == TE_OK; i++) {
        status = judge_measured(a, &a->out->quantities.items[i]);
    }
    for (uint32_t i = 0; i < a->model->limit_count && status == TE_OK; i++) {
        status = check_wanted(a, &a->tables->limits[a->model->first_limit + i]);
    }
    return status;
}
