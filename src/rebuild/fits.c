/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How a new piston or ring suits the bore as measured. */
#include <math.h>

#include "rebuilding.h"
#include "record/vector.h"

static const double pi = 3.14159265358979323846;

const char *te_fit_answer_name(te_fit_answer answer)
{
    static const char *const names[] = {"as_new",    "within",   "too_tight",
                                        "too_loose", "no_limit", "unknown"};
    return names[answer];
}

/* The least clearance or gap allowed: the service limit, else the as-new one; 0 where there is none:
 * parts that touch seize whatever the limits. */
static double least_of(const te_limit *limit, bool known)
{
    double least = !known ? NAN : !isnan(limit->service_min) ? limit->service_min : limit->new_min;
    return isnan(least) ? 0.0 : least;
}

/* Not above 0 is too tight, also where 0 is the least. */
static bool is_tight(double tight, double least)
{
    return tight < least - te_same_length || tight <= te_same_length;
}

static te_fit_answer answer_for(double tight, double loose, const te_limit *limit, bool known)
{
    if (isnan(tight) || isnan(loose)) {
        return TE_FIT_UNKNOWN;
    }
    if (is_tight(tight, least_of(limit, known))) {
        return TE_FIT_TIGHT;
    }
    if (!known) {
        return TE_FIT_NO_LIMIT;
    }
    double most = isnan(limit->service_max) ? limit->new_max : limit->service_max;
    bool below_new = tight < limit->new_min - te_same_length; /* false without a limit */
    bool above_new = loose > limit->new_max + te_same_length;
    bool limited = !isnan(limit->new_min) || !isnan(limit->service_min) || !isnan(most);
    if (loose > most + te_same_length) {
        return TE_FIT_LOOSE;
    }
    return !limited                                          ? TE_FIT_NO_LIMIT
           : below_new || above_new || isnan(limit->new_max) ? TE_FIT_WITHIN
                                                             : TE_FIT_AS_NEW;
}

/* ---- pistons ---- */

static te_status add_piston(te_options *options, const struct rebuilding *r, uint32_t candidate,
                            const te_interval *bore)
{
    struct size skirt;
    const struct choice choice = {.of = {[TE_KIND_PISTON] = &options->candidates[candidate]}};
    bool known = te_new_size(&skirt, r, &choice, TE_KIND_PISTON, TE_Q_SKIRT, 0) && skirt.stated;
    te_piston_fit fit = {.candidate = candidate,
                         .tight = known ? te_without_dust(bore->low - skirt.most) : NAN,
                         .loose = known ? te_without_dust(bore->high - skirt.least) : NAN};
    fit.answer = answer_for(fit.tight, fit.loose, &options->clearance, options->has_clearance);
    if (!te_vector_reserve(&options->pistons, &options->piston_capacity, options->piston_count + 1,
                           sizeof *options->pistons)) {
        return TE_ERR_MEMORY;
    }
    options->pistons[options->piston_count++] = fit;
    return TE_OK;
}

/* ---- rings ---- */

static te_status add_gap(te_options *options, const struct rebuilding *r, uint32_t candidate,
                         te_id item, double position)
{
    struct size gap;
    te_limit limit;
    struct bore_there there;
    const te_observations *pool = &options->base.pool;
    const struct choice choice = {.of = {[TE_KIND_RING_SET] = &options->candidates[candidate]}};
    double middle = te_new_bore_middle(r, te_choice_oversize(r, &choice, TE_KIND_RING_SET));
    te_bore_at(&there, pool, position);
    bool known = te_new_size(&gap, r, &choice, TE_KIND_RING_SET, TE_Q_END_GAP, item) &&
                 gap.stated && !isnan(middle) && there.any;
    te_gap_fit fit = {.candidate = candidate,
                      .item = item,
                      .position = position,
                      .at_position = there.gauged,
                      .least = NAN,
                      .most = NAN};
    if (known) {
        double mean = there.gauged ? te_form_value(pool, &there.form) : NAN;
        double least = there.gauged ? mean : pool->items[there.least].value;
        double most = there.gauged ? mean : pool->items[there.most].value;
        fit.least = te_without_dust(gap.least + pi * (least - middle));
        fit.most = te_without_dust(gap.most + pi * (most - middle));
    }
    bool limited = te_shop_oversize_limit(&limit, r->shop, r->model_index, TE_Q_END_GAP, item, 0.0);
    fit.answer = answer_for(fit.least, fit.most, &limit, limited);
    if (!te_vector_reserve(&options->gaps, &options->gap_capacity, options->gap_count + 1,
                           sizeof *options->gaps)) {
        return TE_ERR_MEMORY;
    }
    options->gaps[options->gap_count++] = fit;
    return TE_OK;
}

/* The rings and where their gaps are measured: what the set as it would be holds. */
static te_status add_gaps(te_options *options, const struct rebuilding *r, struct bench *bench,
                          te_assessment *supposed, uint32_t candidate)
{
    const struct choice choice = {.of = {[TE_KIND_RING_SET] = &options->candidates[candidate]}};
    te_status status = te_suppose(supposed, bench, r, &choice);
    for (size_t i = 0; i < supposed->pool.count && status == TE_OK; i++) {
        const te_observation *x = &supposed->pool.items[i];
        const te_observation *before = i > 0 ? x - 1 : NULL;
        bool again = before != NULL && before->feature == x->feature && before->item == x->item;
        if (x->feature == TE_Q_END_GAP && !again) {
            status = add_gap(options, r, candidate, x->item, x->position);
        }
    }
    return status;
}

te_status te_find_fits(te_options *options, const struct rebuilding *r)
{
    struct bench bench = {.order = NULL};
    te_assessment supposed = {0};
    const te_finding *bore = te_assessment_finding(&options->base, TE_Q_BORE);
    bool gauged = bore != NULL && bore->computed;
    te_status status = TE_OK;
    options->piston_count = 0;
    options->gap_count = 0;
    for (uint32_t i = 0; i < options->candidate_count && status == TE_OK && gauged; i++) {
        te_kind kind = options->candidates[i].kind;
        if (kind == TE_KIND_PISTON) {
            status = add_piston(options, r, i, &bore->interval);
        } else if (kind == TE_KIND_RING_SET) {
            status = add_gaps(options, r, &bench, &supposed, i);
        }
    }
    te_assessment_free(&supposed);
    te_bench_free(&bench);
    return status;
}

/* ---- a set ---- */

/* What a new part's size may be larger or smaller; 0 for one that stays or whose tolerance is not
 * known. */
static double tolerance_of(const struct rebuilding *r, const struct choice *choice, te_kind kind,
                           te_quantity feature)
{
    struct size size;
    bool known = choice->of[kind] != NULL && te_new_size(&size, r, choice, kind, feature, 0) &&
                 size.stated;
    return known ? size.most - size.value : 0.0;
}

bool te_is_too_tight(double *tight, double *least, const struct rebuilding *r,
                     const struct choice *choice, const te_assessment *assessment)
{
    const te_finding *clearance = te_assessment_finding(assessment, TE_Q_SKIRT_CLEARANCE);
    bool fitted = choice->of[TE_KIND_CYLINDER] != NULL || choice->of[TE_KIND_PISTON] != NULL;
    if (!fitted || clearance == NULL || !clearance->computed) {
        return false; /* what was measured is judged as it is */
    }
    *least = least_of(&r->options->clearance, r->options->has_clearance);
    *tight = te_without_dust(clearance->interval.low -
                             tolerance_of(r, choice, TE_KIND_CYLINDER, TE_Q_BORE) -
                             tolerance_of(r, choice, TE_KIND_PISTON, TE_Q_SKIRT));
    return is_tight(*tight, *least);
}
