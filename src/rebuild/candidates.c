/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The parts that could be fitted: each spare of the model, else a new part by the as-new limits; and the
 * cylinder bored for the next oversize. */
#include <math.h>

#include "rebuilding.h"
#include "record/vector.h"

static te_status add(te_options *options, const te_candidate *candidate)
{
    if (!te_vector_reserve(&options->candidates, &options->candidate_capacity,
                           options->candidate_count + 1, sizeof *options->candidates)) {
        return TE_ERR_MEMORY;
    }
    options->candidates[options->candidate_count++] = *candidate;
    return TE_OK;
}

/* ---- which kinds ---- */

/* A kind is looked at when it was measured or seen, or should have been. */
static bool is_looked_at(const te_assessment *base, te_kind kind)
{
    const te_verdict *assembly = te_assessment_assembly(base);
    if (te_assessment_part(base, kind) != NULL) {
        return true;
    }
    for (uint32_t i = 0; i < assembly->reason_count; i++) {
        const te_reason *reason = &base->reasons[assembly->first_reason + i];
        if (reason->kind == TE_REASON_KIND_UNMEASURED && reason->index == (uint32_t)kind) {
            return true;
        }
    }
    return false;
}

unsigned te_rejected_kinds(te_id *other, const struct rebuilding *r)
{
    unsigned rejected = 0;
    const te_engine *engine = &r->tables->engines[r->inspection->engine];
    *other = 0;
    for (uint32_t i = 0; i < engine->inspection_count; i++) {
        uint32_t row = r->tables->by_engine[engine->first_inspection + i];
        const te_inspection *then = &r->tables->inspections[row];
        for (uint32_t j = 0; j < then->condition_count; j++) {
            const te_condition *seen = &r->tables->conditions[then->first_condition + j];
            if (!te_shop_reject_stands(r->shop, r->inspection, seen)) {
                continue;
            }
            if (seen->kind < TE_KIND_OTHER) {
                rejected |= 1U << seen->kind;
            } else {
                *other = seen->part;
            }
        }
        if (row == r->options->inspection) {
            break; /* what was seen later does not count */
        }
    }
    return rejected;
}

/* ---- spares ---- */

static bool is_listed(const te_options *options, te_kind kind, te_id part)
{
    for (size_t i = 0; i < options->candidate_count; i++) {
        if (options->candidates[i].kind == kind && options->candidates[i].part == part) {
            return true;
        }
    }
    return false;
}

/* What any row of a spare says of its oversize and price: rows that differ are errors. */
static te_candidate make_spare(const struct rebuilding *r, te_kind kind, te_id part)
{
    te_candidate spare = {
        .kind = kind, .part = part, .spare = true, .piston = TE_NO_INDEX, .price = NAN};
    for (size_t i = 0; i < r->tables->spare_count; i++) {
        const te_spare *row = &r->tables->spares[i];
        if (te_is_row_of(r, row, part)) {
            spare.oversize = isnan(row->oversize) ? spare.oversize : row->oversize;
            spare.price = isnan(row->price) ? spare.price : row->price;
        }
    }
    return spare;
}

static te_status list_kind(te_options *options, const struct rebuilding *r, te_kind kind)
{
    te_status status = TE_OK;
    size_t before = options->candidate_count;
    for (size_t i = 0; i < r->tables->spare_count && status == TE_OK; i++) {
        const te_spare *row = &r->tables->spares[i];
        if (row->kind == kind && row->model == r->model_index &&
            !is_listed(options, kind, row->id)) {
            te_candidate spare = make_spare(r, kind, row->id);
            status = add(options, &spare);
        }
    }
    if (status == TE_OK && options->candidate_count == before) {
        const te_candidate as_new = {
            .kind = kind, .part = r->tables->new_part[kind], .piston = TE_NO_INDEX, .price = NAN};
        status = add(options, &as_new);
    }
    return status;
}

/* ---- boring ---- */

/* NAN also when a planned place was not gauged: there it may be larger. */
static double largest_bore(const te_assessment *base)
{
    const te_finding *bore = te_assessment_finding(base, TE_Q_BORE);
    bool whole = bore != NULL && bore->computed && bore->places_missing == 0;
    return whole ? bore->interval.high : NAN;
}

/* The middle of the as-new skirt clearance; NAN without both ends. */
static double as_new_clearance(const te_options *options)
{
    const te_limit *clearance = &options->clearance;
    return options->has_clearance ? (clearance->new_min + clearance->new_max) / 2.0 : NAN;
}

/* The bore to finish to for a piston: its skirt and the middle of the as-new clearance. NAN for a spare
 * that is no larger than what is in, or without a size. */
static double finished_bore(const te_options *options, const struct rebuilding *r,
                            const te_candidate *piston)
{
    struct size skirt;
    const struct choice choice = {.of = {[TE_KIND_PISTON] = piston}};
    double now = te_shop_part_oversize(r->shop, r->inspection,
                                       r->inspection->part[TE_KIND_CYLINDER]);
    if (piston->kind != TE_KIND_PISTON || !piston->spare || !(piston->oversize > now) ||
        !te_new_size(&skirt, r, &choice, TE_KIND_PISTON, TE_Q_SKIRT, 0)) {
        return NAN;
    }
    return skirt.value + as_new_clearance(options);
}

/* True when a finished bore takes all of the worn one away; false for NAN. */
static bool cleans_up(const te_options *options, double bore)
{
    return bore >= options->rebore.largest + options->rebore.hone - te_same_length;
}

/* The smallest oversize of a piston whose finished bore takes all of the worn one away. */
static te_rebore_answer find_oversize(double *oversize, const te_options *options,
                                      const struct rebuilding *r)
{
    te_rebore_answer answer = TE_REBORE_NO_PISTON;
    for (size_t i = 0; i < options->candidate_count; i++) {
        const te_candidate *piston = &options->candidates[i];
        double bore = finished_bore(options, r, piston);
        if (isnan(bore)) {
            continue;
        }
        bool cleans = cleans_up(options, bore);
        if (cleans && (answer != TE_REBORE_OFFERED || piston->oversize < *oversize)) {
            *oversize = piston->oversize;
            answer = TE_REBORE_OFFERED;
        } else if (answer == TE_REBORE_NO_PISTON) {
            answer = TE_REBORE_TOO_WORN;
        }
    }
    return answer;
}

static te_rebore_answer ask_rebore(double *oversize, const te_options *options,
                                   const struct rebuilding *r)
{
    *oversize = NAN;
    if (!r->model->reborable) {
        return TE_REBORE_NOT_SAID;
    }
    if ((options->rejected >> TE_KIND_CYLINDER & 1U) != 0) {
        return TE_REBORE_REJECTED;
    }
    if (isnan(options->rebore.largest)) {
        return TE_REBORE_NO_BORE;
    }
    return isnan(as_new_clearance(options)) ? TE_REBORE_NO_CLEARANCE
                                            : find_oversize(oversize, options, r);
}

/* The cylinder bored for each piston of that oversize. */
static te_status list_rebored(te_options *options, const struct rebuilding *r)
{
    te_status status = TE_OK;
    uint32_t listed = (uint32_t)options->candidate_count;
    for (uint32_t i = 0; i < listed && status == TE_OK; i++) {
        const te_candidate *piston = &options->candidates[i];
        double bore = finished_bore(options, r, piston);
        if (cleans_up(options, bore) && !(piston->oversize > options->rebore.oversize)) {
            const te_candidate rebored = {
                .kind = TE_KIND_CYLINDER,
                .part = r->tables->rebored,
                .rebored = true,
                .piston = i,
                .oversize = piston->oversize,
                .bore = bore,
                .clearance = as_new_clearance(options),
            };
            status = add(options, &rebored);
        }
    }
    return status;
}

te_status te_list_candidates(te_options *options, const struct rebuilding *r, double hone)
{
    te_status status = TE_OK;
    options->candidate_count = 0;
    options->has_clearance = te_shop_oversize_limit(&options->clearance, r->shop, r->model_index,
                                                    TE_Q_SKIRT_CLEARANCE, 0, 0.0);
    for (int kind = 0; kind < KINDS && status == TE_OK; kind++) {
        bool rejected = (options->rejected >> kind & 1U) != 0; /* perhaps not seen this time */
        if (rejected || is_looked_at(&options->base, (te_kind)kind)) {
            status = list_kind(options, r, (te_kind)kind);
        }
    }
    options->rebore = (te_rebore){.largest = largest_bore(&options->base), .hone = hone};
    options->rebore.answer = ask_rebore(&options->rebore.oversize, options, r);
    if (status == TE_OK && options->rebore.answer == TE_REBORE_OFFERED) {
        status = list_rebored(options, r);
    }
    return status;
}
