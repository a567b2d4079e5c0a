/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Which sets of parts are worth trying, and which of those tried are worth telling. */
#include <math.h>
#include <stdlib.h>

#include "record/vector.h"
#include "trials.h"

/* Hours that are no gain (h): a meter hardly shows them, and no rate is known so well. */
static const double no_gain = 1.0;

bool te_option_is_good(const te_option *option)
{
    return option->verdict == TE_REUSE && !(option->lasting.earliest <= 0.0);
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
    case TE_REASON_UNLIMITED:
    case TE_REASON_NO_CONDITION: break;
    }
    return 0;
}

unsigned te_levers_of(const te_option *option, const te_assessment *assessment)
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
            set -= te_digit_of(d, set, kind) * d->stride[kind];
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

bool te_set_is_idle(const struct trial *trials, const struct digits *d, size_t set)
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

/* Prices that are not known come last. */
static int compare_costs(const te_option *a, const te_option *b)
{
    int price = te_number_order(a->price, b->price);
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
            te_number_order(other->price, option->price) <= 0 && !gains(option, other, wanted)) {
            return true;
        }
    }
    return false;
}

te_status te_choose_options(te_options *out, const struct trial *trials, const struct digits *d,
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
