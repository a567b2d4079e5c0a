/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The quantities of an inspection against limits and plan. */
#include "findings.h"

#include <math.h>

#include "record/vector.h"

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

static bool is_of_measured(const te_observation *x, const te_measured *measured)
{
    return x->feature == measured->quantity && x->item == measured->item &&
           (x->feature < TE_Q_OWN || x->part == measured->part);
}

static void widen_by(te_interval *x, const te_observation *o)
{
    double least = isnan(o->no_go) ? o->value : o->go;
    double most = isnan(o->no_go) ? o->value : o->no_go;
    x->high_least = least > x->high_least ? least : x->high_least;
    x->high_most = most > x->high_most ? most : x->high_most;
    x->low_least = least < x->low_least ? least : x->low_least;
    x->low_most = most < x->low_most ? most : x->low_most;
}

/* A quantity that is read directly: each of its readings, not only the extreme one, passes an upper
 * limit by its no_go leaf and a lower one by its go leaf; one without leaves by its value. They stand
 * about the extreme one. */
static void widen_by_leaves(te_interval *x, const te_observations *pool,
                            const te_measured *measured)
{
    uint32_t extreme = measured->low.observation[0];
    for (uint32_t i = extreme; i < pool->count && is_of_measured(&pool->items[i], measured); i++) {
        widen_by(x, &pool->items[i]);
    }
    for (uint32_t i = extreme; i > 0 && is_of_measured(&pool->items[i - 1], measured); i--) {
        widen_by(x, &pool->items[i - 1]);
    }
}

static void make_interval(te_interval *x, const te_observations *pool, const te_measured *measured)
{
    const te_form *low = &measured->low;
    const te_form *high = &measured->high;
    bool one = te_form_is_same(low, high); /* as of form, and of what was read once */
    x->low = te_without_dust(te_form_value(pool, low));
    x->u_low = te_form_uncertainty(pool, low);
    leaf_range(&x->low_least, &x->low_most, pool, low);
    x->stated = te_form_stated(pool, low) && (one || te_form_stated(pool, high));
    x->never_at_zero = te_quantity_is(measured->quantity, TE_TRAIT_FIT);
    if (one) {
        x->high = x->low;
        x->u_high = x->u_low;
        x->high_least = x->low_least;
        x->high_most = x->low_most;
    } else {
        x->high = te_without_dust(te_form_value(pool, high));
        x->u_high = te_form_uncertainty(pool, high);
        leaf_range(&x->high_least, &x->high_most, pool, high);
    }
    if (te_quantity_is(measured->quantity, TE_TRAIT_READ)) {
        widen_by_leaves(x, pool, measured);
    }
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

/* Room for one more finding, behind the last; NULL when memory runs out. It is made there: findings
 * are large. */
static te_finding *next_finding(struct assessing *a)
{
    te_assessment *out = a->out;
    if (!te_vector_reserve(&out->findings, &out->finding_capacity, out->finding_count + 1,
                           sizeof *out->findings)) {
        return NULL;
    }
    return &out->findings[out->finding_count];
}

/* Keeps the finding that was made, and the order of the quantities: one that is missing stands where it
 * would be. */
static void keep_finding(struct assessing *a)
{
    te_finding *findings = a->out->findings;
    size_t at = a->out->finding_count++;
    te_quantity quantity = findings[at].measured.quantity;
    if (at == 0 || findings[at - 1].measured.quantity <= quantity) {
        return;
    }
    te_finding kept = findings[at];
    for (; at > 0 && findings[at - 1].measured.quantity > quantity; at--) {
        findings[at] = findings[at - 1];
    }
    findings[at] = kept;
}

static te_status judge_measured(struct assessing *a, const te_measured *measured)
{
    te_bounds bounds = {NAN, NAN, NAN, NAN};
    te_finding *finding = next_finding(a);
    if (finding == NULL) {
        return TE_ERR_MEMORY;
    }
    finding->measured = *measured;
    finding->computed = true;
    make_interval(&finding->interval, &a->out->pool, measured);
    finding->limit = (te_limit){.model = 0};
    finding->has_limit = find_limit(&finding->limit, a, measured->quantity, measured->item,
                                    measured->part);
    if (finding->has_limit) {
        bounds = (te_bounds){finding->limit.new_min, finding->limit.new_max,
                             finding->limit.service_min, finding->limit.service_max};
    }
    te_status status = te_judge(&finding->judgement, &finding->interval, &bounds, a->tables->rule,
                                a->tables->confidence);
    if (status != TE_OK) { /* GCOVR_EXCL_BR_LINE: no file holds a figure that is not finite */
        return status;
    }
    finding->places_missing = te_places_missing(&finding->place_missing, &a->out->places, measured);
    finding->outcome = finding->judgement.outcome;
    bool passes = finding->outcome == TE_AS_NEW || finding->outcome == TE_SERVICEABLE;
    if (passes && finding->places_missing > 0) {
        finding->outcome = TE_MISSING;
    }
    keep_finding(a);
    return TE_OK;
}

/* ---- what is missing ---- */

/* A quantity that a limit or the plan asks for. */
struct wanted {
    const te_limit *limit;
    te_id part; /* with kind: whose quantity it is */
    te_kind kind;
};

/* The first finding that is not of a quantity before this one. */
static size_t first_of_quantity(const te_assessment *out, te_quantity quantity)
{
    size_t low = 0;
    size_t high = out->finding_count;
    while (low < high) {
        size_t middle = low + (high - low) / 2;
        if (out->findings[middle].measured.quantity < quantity) {
            low = middle + 1;
        } else {
            high = middle;
        }
    }
    return low;
}

static bool is_found(const struct assessing *a, const struct wanted *w, te_id item)
{
    const te_assessment *out = a->out;
    te_quantity quantity = w->limit->quantity;
    for (size_t i = first_of_quantity(out, quantity); i < out->finding_count; i++) {
        const te_measured *m = &out->findings[i].measured;
        if (m->quantity != quantity) {
            break;
        }
        if (m->item == item && m->part == w->part) {
            return true;
        }
    }
    return false;
}

static te_status add_missing(struct assessing *a, const struct wanted *w, te_id item)
{
    const te_quantity_info *info = te_quantity_info_of(w->limit->quantity);
    bool pair = info->second_kind != TE_KIND_NONE;
    te_finding *finding = next_finding(a);
    if (finding == NULL) {
        return TE_ERR_MEMORY;
    }
    *finding = (te_finding){
        .measured = {.quantity = w->limit->quantity,
                     .item = item,
                     .kind = w->kind,
                     .second_kind = info->second_kind,
                     .part = w->part,
                     .second_part = pair ? a->inspection->part[info->second_kind] : 0},
        .outcome = TE_MISSING,
        .place_missing = TE_NO_INDEX,
        .judgement = {.outcome = TE_NO_LIMIT, .p_within = NAN, .u_needed = NAN}};
    finding->has_limit = find_limit(&finding->limit, a, w->limit->quantity, item, w->part);
    keep_finding(a);
    return TE_OK;
}

static te_status expect_one(struct assessing *a, const struct wanted *w, te_id item)
{
    return is_found(a, w, item) ? TE_OK : add_missing(a, w, item);
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

/* An item that a row or a reading of a quantity names. */
static void expect_item(struct expected *e, te_quantity quantity, te_id item)
{
    te_quantity limited = e->wanted->limit->quantity;
    if (!te_quantity_same_items(quantity, limited) || e->status != TE_OK) {
        return;
    }
    e->any = true;
    if (!is_found(e->a, e->wanted, item) &&
        (e->wanted->limit->required || te_plan_asks(e->a, limited, item)) &&
        !has_own_row(e->a, limited, item)) {
        e->status = add_missing(e->a, e->wanted, item);
    }
}

/* Lists the rows that name an item, once for all that ask: of the limits, then of the plan. */
static te_status list_named(struct assessing *a)
{
    te_assessment *out = a->out;
    size_t most = (size_t)a->model->limit_count + a->model->plan_count;
    if (!te_vector_reserve(&out->work.block, &out->work.capacity, most * sizeof *a->named, 1)) {
        return TE_ERR_MEMORY;
    }
    a->named = out->work.block;
    for (uint32_t i = 0; i < a->model->limit_count; i++) {
        const te_limit *limit = &a->tables->limits[a->model->first_limit + i];
        if (limit->item != 0) {
            a->named[a->named_count++] = (struct named){limit->quantity, limit->item};
        }
    }
    for (uint32_t i = 0; i < a->model->plan_count; i++) {
        const te_plan *plan = &a->tables->plan[a->model->first_plan + i];
        if (plan->item != 0) {
            a->named[a->named_count++] = (struct named){plan->feature, plan->item};
        }
    }
    return TE_OK;
}

/* The items of readings. What was read of the very quantity is found; the readings of an item stand
 * together. */
static void expect_read_items(struct expected *e)
{
    const te_observations *pool = &e->a->out->pool;
    te_quantity limited = e->wanted->limit->quantity;
    bool own = limited >= TE_Q_OWN;
    struct span span = own ? te_span_of_feature(&e->a->spans, pool, limited)
                           : (struct span){0, (uint32_t)pool->count};
    const te_observation *last = NULL;
    for (uint32_t i = span.first; i < span.end; i++) {
        const te_observation *x = &pool->items[i];
        if (x->item == 0 ||
            (last != NULL && last->item == x->item && last->feature == x->feature)) {
            continue;
        }
        if (x->feature == limited && (!own || x->part == e->wanted->part)) {
            e->any = true;
        } else {
            expect_item(e, x->feature, x->item);
            last = x;
        }
    }
}

/* The items that limits, plan or readings name; if none, one without a name. */
static te_status expect_items(struct assessing *a, const struct wanted *wanted)
{
    struct expected e = {.a = a, .wanted = wanted};
    for (size_t i = 0; i < a->named_count; i++) {
        expect_item(&e, a->named[i].quantity, a->named[i].item);
    }
    expect_read_items(&e);
    return e.status != TE_OK || e.any ? e.status : expect_one(a, wanted, 0);
}

static te_status expect(struct assessing *a, const struct wanted *wanted)
{
    te_items items = te_quantity_info_of(wanted->limit->quantity)->items;
    bool one = items == TE_ITEMS_NONE || wanted->limit->item != 0;
    return one ? expect_one(a, wanted, wanted->limit->item) : expect_items(a, wanted);
}

/* A feature of the user's own belongs to the parts that its readings name, else to ENGINE/other
 * when that has a reading. */
static te_status expect_own(struct assessing *a, const te_limit *limit)
{
    te_status status = TE_OK;
    te_id last = 0; /* the part whose readings these are: they stand beside each other */
    struct span span = te_span_of_feature(&a->spans, &a->out->pool, limit->quantity);
    for (uint32_t i = span.first; i < span.end && status == TE_OK; i++) {
        const te_observation *x = &a->out->pool.items[i];
        if (x->part != last) {
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
    const te_observations *pool = &a->out->pool;
    te_status status = te_places_make(&a->out->places, pool, 0, (uint32_t)pool->count, a->shop,
                                      (uint32_t)(a->model - a->tables->models));
    te_find_spans(&a->spans, pool, 0, (uint32_t)pool->count);
    mark_measured(a);
    for (size_t i = 0; i < a->out->quantities.count && status == TE_OK; i++) {
        status = judge_measured(a, &a->out->quantities.items[i]);
    }
    status = status == TE_OK ? list_named(a) : status;
    for (uint32_t i = 0; i < a->model->limit_count && status == TE_OK; i++) {
        status = check_wanted(a, &a->tables->limits[a->model->first_limit + i]);
    }
    return status;
}
