/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Sets of parts tried one after the other, and those that are worth telling. */
#include <math.h>
#include <stdlib.h>

#include "rebuilding.h"
#include "record/vector.h"

/* Hours that are no gain (h): a meter hardly shows them, and no rate is known so well. */
static const double no_gain = 1.0;

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

/* Sets are numbered: of each kind the digit 0 keeps the part, the others are its candidates. */
struct digits {
    size_t radix[KINDS]; /* candidates and 1 */
    size_t stride[KINDS];
    size_t sets;
};

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

static size_t digit_of(const struct digits *d, size_t set, int kind)
{
    return set / d->stride[kind] % d->radix[kind];
}

bool te_option_is_good(const te_option *option)
{
    return option->verdict == TE_REUSE && !(option->lasting.earliest <= 0.0);
}

/* ---- one set ---- */

/* A set and what came of it. */
struct trial {
    bool tried;      /* else it is not possible, or cannot gain anything over a set within it */
    unsigned levers; /* kinds of which another part could better it, bits 1 << te_kind */
    te_option option;
};

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
        size_t digit = kind < KINDS ? digit_of(d, set, kind) : 0;
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
static size_t count_failing(const te_assessment *assessment, const te_tables *tables)
{
    const te_verdict *assembly = te_assessment_assembly(assessment);
    size_t failing = 0;
    for (uint32_t i = 0; i < assembly->reason_count; i++) {
        const te_reason *reason = &assessment->reasons[assembly->first_reason + i];
        switch (reason->kind) {
        case TE_REASON_CONDITION:
            failing += tables->conditions[reason->index].severity == TE_REJECT;
            break;
        case TE_REASON_FINDING:
        case TE_REASON_KIND_UNMEASURED:
        case TE_REASON_OWN_UNMEASURED:
        case TE_REASON_NOTHING_JUDGED:
        case TE_REASON_DAMAGED: failing++; break;
        case TE_REASON_PART: /* counted below, also where it is no worse than the values */
        case TE_REASON_BY_PAIRS:
        case TE_REASON_WITHIN:
        case TE_REASON_TIGHT_UNJUDGED:
        case TE_REASON_NO_CONDITION: break;
        }
    }
    for (size_t i = 0; i + 1 < assessment->verdict_count; i++) {
        const te_verdict *part = &assessment->verdicts[i];
        failing += part->measured && part->verdict != TE_REUSE;
    }
    return failing;
}

/* ---- what could better a set ---- */

enum { EVERY_KIND = (1 << KINDS) - 1 };

/* Kinds that a value rests on; none for what no option replaces. */
static unsigned kinds_of(te_quantity quantity, te_kind kind, te_kind second)
{
    unsigned kinds = 1U << kind;
    kinds |= second == TE_KIND_NONE ? 0 : 1U << second;
    kinds |= quantity == TE_Q_END_GAP ? 1U << TE_KIND_CYLINDER : 0;
    return kinds & EVERY_KIND;
}

static unsigned levers_of_reason(const te_reason *reason, const te_assessment *assessment)
{
    switch (reason->kind) {
    case TE_REASON_FINDING: {
        const te_finding *finding = &assessment->findings[reason->index];
        const te_measured *m = &finding->measured;
        /* What was not computed may be predicted with any other part: which, is not looked into. */
        return finding->computed ? kinds_of(m->quantity, m->kind, m->second_kind) : EVERY_KIND;
    }
    case TE_REASON_KIND_UNMEASURED:
    case TE_REASON_CONDITION:
    case TE_REASON_OWN_UNMEASURED:
    case TE_REASON_NOTHING_JUDGED:
    case TE_REASON_PART: return EVERY_KIND;
    case TE_REASON_DAMAGED:
    case TE_REASON_BY_PAIRS:
    case TE_REASON_WITHIN:
    case TE_REASON_TIGHT_UNJUDGED:
    case TE_REASON_NO_CONDITION: break;
    }
    return 0;
}

/* Of one that may go back what is first to meet its limit; of another what speaks against it. */
static unsigned levers_of(const te_option *option, const te_assessment *assessment)
{
    const te_verdict *assembly = te_assessment_assembly(assessment);
    const te_lasting *l = &option->lasting;
    unsigned levers = option->refused ? 1U << TE_KIND_CYLINDER | 1U << TE_KIND_PISTON : 0;
    if (option->verdict == TE_REUSE && (l->untold > 0 || l->told == 0)) {
        return EVERY_KIND;
    }
    if (option->verdict == TE_REUSE) {
        return l->quantity == TE_Q_NONE ? 0 : kinds_of(l->quantity, l->kind, l->second_kind);
    }
    for (size_t i = 0; i + 1 < assessment->verdict_count; i++) {
        const te_verdict *part = &assessment->verdicts[i];
        bool bad = part->measured && part->verdict != TE_REUSE;
        levers |= bad && part->verdict == TE_INCOMPLETE ? EVERY_KIND
                  : bad                                 ? 1U << part->kind & EVERY_KIND
                                                        : 0;
    }
    for (uint32_t i = 0; i < assembly->reason_count; i++) {
        levers |= levers_of_reason(&assessment->reasons[assembly->first_reason + i], assessment);
    }
    return levers;
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
    option->failing = count_failing(assessment, r->tables);
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

/* ---- which are worth telling ---- */

/* Hours for comparing: without end where no limit is approached, below all where nothing tells. */
static double hours_of(const te_option *option)
{
    const te_lasting *l = &option->lasting;
    return l->told == 0 ? -1.0 : isnan(l->earliest) ? INFINITY : l->earliest;
}

/* It is known to last, every limit of it by a bound. */
static bool lasts(const te_option *option, double hours)
{
    const te_lasting *l = &option->lasting;
    bool known = l->told > 0 && l->untold == 0 && l->unbounded == 0;
    return isnan(hours) || (known && !(l->earliest < hours - TE_SAME_HOURS));
}

/* What a set gains over one that fits fewer of the same parts: that it lasts as long as is wanted; a
 * better verdict; fewer reasons against it; where both may go back, hours. */
static bool gains(const te_option *more, const te_option *fewer, double wanted)
{
    if (!lasts(fewer, wanted) && lasts(more, wanted)) {
        return true;
    }
    if (more->verdict != fewer->verdict) {
        return more->verdict > fewer->verdict;
    }
    if (more->verdict != TE_REUSE) {
        return more->failing < fewer->failing;
    }
    return hours_of(more) > hours_of(fewer) + no_gain ||
           more->lasting.untold < fewer->lasting.untold;
}

/* The set without the parts of some of its kinds. */
static size_t set_without(const struct digits *d, size_t set, unsigned kinds)
{
    for (int kind = 0; kind < KINDS; kind++) {
        if ((kinds >> kind & 1U) != 0) {
            set -= digit_of(d, set, kind) * d->stride[kind];
        }
    }
    return set;
}

/* True when every set within it that was tried gives less. */
static bool is_worth_it(const struct trial *trials, const struct digits *d, size_t set,
                        double wanted)
{
    const te_option *option = &trials[set].option;
    for (unsigned left = option->replaced; left != 0; left = (left - 1) & option->replaced) {
        const struct trial *within = &trials[set_without(d, set, left)];
        if (within->tried && !gains(option, &within->option, wanted)) {
            return false;
        }
    }
    return true;
}

/* True when some set within it is bettered by none of the parts that it fits besides: what speaks
 * against that set, or ends its hours, is then still there. */
static bool is_idle(const struct trial *trials, const struct digits *d, size_t set)
{
    unsigned replaced = trials[set].option.replaced;
    for (unsigned left = replaced; left != 0; left = (left - 1) & replaced) {
        const struct trial *within = &trials[set_without(d, set, left)];
        if (within->tried && (within->levers & left) == 0) {
            return true;
        }
    }
    return false;
}

/* Puts prices that are not known last. */
static int compare_prices(double a, double b)
{
    if (isnan(a) || isnan(b)) {
        return (isnan(a) != 0) - (isnan(b) != 0);
    }
    return (a > b) - (a < b);
}

static int compare_costs(const te_option *a, const te_option *b)
{
    int price = compare_prices(a->price, b->price);
    return price != 0 ? price : (a->parts > b->parts) - (a->parts < b->parts);
}

/* The cheapest that may go back; NULL when none may. */
static const te_option *cheapest_good(const struct trial *trials, size_t count)
{
    const te_option *best = NULL;
    for (size_t i = 0; i < count; i++) {
        const te_option *option = &trials[i].option;
        if (trials[i].tried && option->verdict == TE_REUSE &&
            (best == NULL || compare_costs(option, best) < 0)) {
            best = option;
        }
    }
    return best;
}

static int by_rank(const void *left, const void *right)
{
    const te_option *a = left;
    const te_option *b = right;
    if (a->verdict != b->verdict) {
        return a->verdict > b->verdict ? -1 : 1;
    }
    int cost = compare_costs(a, b);
    for (int kind = 0; kind < KINDS && cost == 0; kind++) {
        cost = (a->candidate[kind] > b->candidate[kind]) -
               (a->candidate[kind] < b->candidate[kind]);
    }
    return cost;
}

/* True when a set of fewer kinds of parts, other spares perhaps, may go back too, for no more money and
 * as long. */
static bool is_outdone(const struct trial *trials, const struct digits *d, const te_option *option,
                       double wanted)
{
    for (size_t i = 0; i < d->sets && option->verdict == TE_REUSE; i++) {
        const te_option *other = &trials[i].option;
        bool fewer = (other->replaced & ~option->replaced) == 0 &&
                     other->replaced != option->replaced;
        if (trials[i].tried && fewer && other->verdict == TE_REUSE &&
            compare_prices(other->price, option->price) <= 0 && !gains(option, other, wanted)) {
            return true;
        }
    }
    return false;
}

static te_status choose(te_options *out, const struct trial *trials, const struct digits *d,
                        const te_wish *wish)
{
    const te_option *good = cheapest_good(trials, d->sets);
    for (size_t set = 0; set < d->sets; set++) {
        const te_option *option = &trials[set].option;
        bool cheap = good == NULL || option->verdict == TE_REUSE || set == 0 ||
                     compare_costs(option, good) < 0;
        if (!trials[set].tried || !cheap || !lasts(option, wish->hours) ||
            !is_worth_it(trials, d, set, wish->hours) ||
            is_outdone(trials, d, option, wish->hours)) {
            continue;
        }
        if (!te_vector_reserve(&out->items, &out->capacity, out->count + 1, sizeof *out->items)) {
            return TE_ERR_MEMORY;
        }
        out->items[out->count++] = *option;
        out->good += te_option_is_good(option);
    }
    if (out->count > 1) {
        qsort(out->items, out->count, sizeof *out->items, by_rank);
    }
    return TE_OK;
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
        bool idle = isnan(wanted) && is_idle(trials, d, set); /* hours asked for: all may matter */
        if (possible && !idle) {
            status = try_set(&trial->option, r, &bench, &assessment, rates);
            trial->tried = true;
            trial->levers = status == TE_OK ? levers_of(&trial->option, &assessment) : 0;
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
    return status != TE_OK ? status : choose(options, options->work, &d, wish);
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
