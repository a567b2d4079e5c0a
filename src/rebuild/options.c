/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Sets of parts tried one after the other. */
#include <math.h>
#include <stdlib.h>

#include "record/vector.h"
#include "trials.h"

void te_options_free(te_options *options)
{
    if (options == NULL) {
        return;
    }
    free(options->candidates);
    free(options->items);
    free(options->pistons);
    free(options->gaps);
    free(options->work);
    te_assessment_free(&options->base);
    te_history_free(&options->history);
    *options = (te_options){0};
}

/* ---- the sets, as numbers ---- */

static bool make_digits(struct digits *d, const te_options *options)
{
    *d = (struct digits){.sets = 1};
    for (int kind = 0; kind < KINDS; kind++) {
        d->radix[kind] = 1;
        for (size_t i = 0; i < options->candidate_count; i++) {
            d->radix[kind] += options->candidates[i].kind == (te_kind)kind;
        }
        if (d->radix[kind] > TE_OPTIONS_MOST / d->sets) {
            return false;
        }
        d->stride[kind] = d->sets;
        d->sets *= d->radix[kind];
    }
    return true;
}

size_t te_digit_of(const struct digits *d, size_t set, int kind)
{
    return set / d->stride[kind] % d->radix[kind];
}

/* ---- one set ---- */

/* The candidate that a digit stands for; 0 for none. */
static uint32_t candidate_at(const te_options *options, int kind, size_t digit)
{
    size_t seen = 0;
    for (uint32_t i = 0; i < options->candidate_count && digit > 0; i++) {
        seen += options->candidates[i].kind == (te_kind)kind;
        if (seen == digit) {
            return i;
        }
    }
    return TE_NO_INDEX;
}

static void read_set(te_option *option, const te_options *options, const struct digits *d,
                     size_t set)
{
    for (int kind = 0; kind < TE_KIND_NONE; kind++) {
        size_t digit = kind < KINDS ? te_digit_of(d, set, kind) : 0;
        option->candidate[kind] = candidate_at(options, kind, digit);
        option->replaced |= digit == 0 ? 0 : 1U << kind;
        option->parts += digit != 0;
    }
}

static struct choice choice_of(const te_options *options, const te_option *option)
{
    struct choice choice = {.of = {NULL}};
    for (int kind = 0; kind < KINDS; kind++) {
        uint32_t at = option->candidate[kind];
        choice.of[kind] = at == TE_NO_INDEX ? NULL : &options->candidates[at];
    }
    return choice;
}

static bool is_possible(const te_options *options, const te_option *option)
{
    uint32_t cylinder = option->candidate[TE_KIND_CYLINDER];
    bool bored = cylinder != TE_NO_INDEX && options->candidates[cylinder].rebored;
    bool matched = !bored ||
                   options->candidates[cylinder].piston == option->candidate[TE_KIND_PISTON];
    return (options->rejected & ~option->replaced) == 0 && options->rejected_other == 0 && matched;
}

/* Of outcomes alike the one that is least sure to be within. */
static bool is_worse(const te_finding *a, const te_finding *b)
{
    int x = te_outcome_rank(a->outcome);
    int y = te_outcome_rank(b->outcome);
    double p = a->computed && !isnan(a->judgement.p_within) ? a->judgement.p_within : 1.0;
    double q = b->computed && !isnan(b->judgement.p_within) ? b->judgement.p_within : 1.0;
    return x != y ? x < y : p < q;
}

static void find_worst(te_option *option, const te_assessment *assessment)
{
    const te_finding *worst = NULL;
    for (size_t i = 0; i < assessment->finding_count; i++) {
        const te_finding *finding = &assessment->findings[i];
        worst = worst == NULL || is_worse(finding, worst) ? finding : worst;
    }
    option->worst_quantity = worst == NULL ? TE_Q_NONE : worst->measured.quantity;
    option->worst_item = worst == NULL ? 0 : worst->measured.item;
    option->worst = worst == NULL ? TE_NO_LIMIT : worst->outcome;
}

/* What speaks against the assembly: values, parts, and what was not measured. A better set has fewer. */
static size_t count_failing(const te_assessment *assessment, const te_shop *shop)
{
    const te_verdict *assembly = te_assessment_assembly(assessment);
    size_t failing = 0;
    for (uint32_t i = 0; i < assembly->reason_count; i++) {
        const te_reason *reason = &assessment->reasons[assembly->first_reason + i];
        /* Parts are counted below, also where they are no worse than their values. */
        failing += reason->kind != TE_REASON_PART && te_reason_is_against(shop, reason);
    }
    for (size_t i = 0; i + 1 < assessment->verdict_count; i++) {
        const te_verdict *part = &assessment->verdicts[i];
        failing += part->measured && part->verdict != TE_REUSE;
    }
    return failing;
}

static double price_of(const te_options *options, const te_option *option)
{
    double price = 0.0;
    for (int kind = 0; kind < KINDS; kind++) {
        uint32_t at = option->candidate[kind];
        price += at == TE_NO_INDEX ? 0.0 : options->candidates[at].price;
    }
    return price;
}

static te_status try_set(te_option *option, const struct rebuilding *r, struct bench *bench,
                         te_assessment *assessment, te_model_rates *rates)
{
    const struct choice choice = choice_of(r->options, option);
    te_status status = te_suppose(assessment, bench, r, &choice);
    if (status != TE_OK) {
        return status;
    }
    option->verdict = te_assessment_assembly(assessment)->verdict;
    option->failing = count_failing(assessment, r->shop);
    find_worst(option, assessment);
    option->refused = te_is_too_tight(&option->tight, &option->least, r, &choice, assessment);
    if (option->refused) {
        option->verdict = TE_DO_NOT_REUSE;
        option->failing++;
    }
    status = te_find_lasting(&option->lasting, r, &choice, assessment, rates);
    option->price = price_of(r->options, option);
    option->price_per_100h = NAN;
    if (option->verdict == TE_REUSE && option->lasting.bounded && option->lasting.earliest > 0.0) {
        option->price_per_100h = option->price / option->lasting.earliest * 100.0;
    }
    return status;
}

static te_status try_all(te_options *out, const struct rebuilding *r, te_model_rates *rates,
                         const struct digits *d, double wanted)
{
    struct bench bench = {.order = NULL};
    te_assessment assessment = {0};
    te_status status = TE_OK;
    if (!te_vector_reserve(&out->work, &out->work_capacity, d->sets, sizeof(struct trial))) {
        return TE_ERR_MEMORY;
    }
    struct trial *trials = out->work;
    for (size_t set = 0; set < d->sets && status == TE_OK; set++) {
        struct trial *trial = &trials[set];
        *trial = (struct trial){.tried = false};
        read_set(&trial->option, out, d, set);
        bool possible = is_possible(out, &trial->option);
        out->looked_at += possible;
        bool idle = isnan(wanted) &&
                    te_set_is_idle(trials, d, set); /* hours asked for: all may matter */
        if (possible && !idle) {
            status = try_set(&trial->option, r, &bench, &assessment, rates);
            trial->tried = true;
            trial->levers = status == TE_OK ? te_levers_of(&trial->option, &assessment) : 0;
        }
    }
    te_assessment_free(&assessment);
    te_bench_free(&bench);
    return status;
}

/* ---- the options ---- */

static struct rebuilding start(const te_options *options, const te_shop *shop,
                               const te_problems *problems, uint32_t inspection)
{
    const te_tables *tables = te_shop_tables(shop);
    struct rebuilding r = {.options = options,
                           .shop = shop,
                           .tables = tables,
                           .inspection = &tables->inspections[inspection],
                           .problems = problems};
    r.model_index = tables->engines[r.inspection->engine].model;
    r.model = &tables->models[r.model_index];
    return r;
}

te_status te_options_make(te_options *options, te_model_rates *rates, const te_shop *shop,
                          const te_problems *problems, uint32_t inspection, const te_wish *wish)
{
    struct digits d;
    const struct rebuilding r = start(options, shop, problems, inspection);
    bool damaged = problems != NULL && problems->touches_all;
    options->inspection = inspection;
    options->count = 0;
    options->looked_at = 0;
    options->good = 0;
    te_status status = te_assess(&options->base, shop, inspection, damaged);
    if (status == TE_OK) {
        status = te_history_make_until(&options->history, shop, problems, inspection);
    }
    if (status == TE_OK) {
        options->rejected = te_rejected_kinds(&options->rejected_other, &r);
        status = te_list_candidates(options, &r, wish->hone);
    }
    if (status == TE_OK) {
        status = te_find_fits(options, &r);
    }
    if (status != TE_OK) {
        return status;
    }
    options->too_many = !make_digits(&d, options);
    if (options->too_many) {
        return TE_OK;
    }
    status = try_all(options, &r, rates, &d, wish->hours);
    return status != TE_OK ? status : te_choose_options(options, options->work, &d, wish);
}

te_status te_option_assess(te_assessment *assessment, const te_options *options,
                           const te_shop *shop, const te_problems *problems,
                           const te_option *option)
{
    struct bench bench = {.order = NULL};
    const struct rebuilding r = start(options, shop, problems, options->inspection);
    const struct choice choice = choice_of(options, option);
    te_status status = te_suppose(assessment, &bench, &r, &choice);
    te_bench_free(&bench);
    return status;
}
