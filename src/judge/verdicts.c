/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Verdicts: the worst of what was found, with every reason named. */
#include <math.h>
#include <stdlib.h>

#include "findings.h"
#include "record/vector.h"

static te_status add_reason(struct assessing *a, te_verdict *verdict, te_reason_kind kind,
                            uint32_t index)
{
    te_assessment *out = a->out;
    if (!te_vector_reserve(&out->reasons, &out->reason_capacity, out->reason_count + 1,
                           sizeof *out->reasons)) {
        return TE_ERR_MEMORY;
    }
    out->reasons[out->reason_count++] = (te_reason){kind, index};
    verdict->reason_count++;
    return TE_OK;
}

static te_verdict_value worse_of(te_verdict_value a, te_verdict_value b)
{
    return a < b ? a : b;
}

static bool is_of(const te_verdict *verdict, te_id part, te_kind kind)
{
    bool same = verdict->part == part;
    return same &&
           verdict->kind == kind; /* GCOVR_EXCL_BR_LINE: parts without a name alone differ so */
}

/* The findings that a verdict looks at, in their order. */
struct share {
    const uint32_t *findings;
    size_t count;
};

/* Room for three lists of findings. What was listed before is not needed by now. */
static te_status make_lists(struct assessing *a)
{
    te_assessment *out = a->out;
    size_t most = out->finding_count;
    if (!te_vector_reserve(&out->work.block, &out->work.capacity, 3 * most * sizeof *a->own, 1)) {
        return TE_ERR_MEMORY;
    }
    a->own = out->work.block;
    a->pairs = a->own + most;
    a->all = a->pairs + most;
    for (size_t i = 0; i < most; i++) {
        a->all[i] = (uint32_t)i;
    }
    return TE_OK;
}

/* Lists a part's findings: those of its own, and those of pairs that it is one of. */
static void list_shares(struct share *own, struct share *pairs, const struct assessing *a,
                        const te_verdict *verdict)
{
    *own = (struct share){a->own, 0};
    *pairs = (struct share){a->pairs, 0};
    for (size_t i = 0; i < a->out->finding_count; i++) {
        const te_measured *m = &a->out->findings[i].measured;
        bool pair = m->second_kind != TE_KIND_NONE;
        bool first = is_of(verdict, m->part, m->kind);
        bool owned = first && (!pair || te_quantity_is(m->quantity, TE_TRAIT_OWNED));
        if (owned) {
            a->own[own->count++] = (uint32_t)i;
        }
        if ((first && !owned) || (pair && is_of(verdict, m->second_part, m->second_kind))) {
            a->pairs[pairs->count++] = (uint32_t)i;
        }
    }
}

/* What a share of the findings comes to. */
struct tally {
    te_verdict_value worst;
    bool judged; /* a finding has limits; missing ones count */
    uint32_t within;
};

static struct tally tally_of(const struct assessing *a, const struct share *share)
{
    struct tally t = {.worst = TE_REUSE};
    for (size_t i = 0; i < share->count; i++) {
        const te_finding *finding = &a->out->findings[share->findings[i]];
        t.worst = worse_of(t.worst, te_verdict_of(finding->outcome));
        t.judged = t.judged || finding->outcome != TE_NO_LIMIT;
        t.within += finding->outcome == TE_AS_NEW || finding->outcome == TE_SERVICEABLE;
    }
    return t;
}

/* Reasons of the findings that do not pass, the gravest first; when all pass there is none. */
static te_status name_findings(struct assessing *a, te_verdict *verdict, const struct share *share,
                               const struct tally *tally)
{
    te_status status = TE_OK;
    for (int grave = (int)tally->worst; grave < TE_REUSE; grave++) {
        for (size_t i = 0; i < share->count && status == TE_OK; i++) {
            uint32_t at = share->findings[i];
            if (te_verdict_of(a->out->findings[at].outcome) == (te_verdict_value)grave) {
                status = add_reason(a, verdict, TE_REASON_FINDING, at);
            }
        }
    }
    return status;
}

/* What was seen on a part that would be replaced concerns nothing, unless it is only worked on. */
static bool concerns(const struct assessing *a, const te_condition *condition,
                     const te_verdict *verdict)
{
    bool gone = te_is_supposed(a, condition->kind) &&
                (a->supposed->worked_on >> condition->kind & 1U) == 0;
    return !gone &&
           (verdict->kind == TE_KIND_NONE || is_of(verdict, condition->part, condition->kind));
}

static te_status add_seen(struct assessing *a, uint32_t row)
{
    if (!te_vector_reserve(&a->seen, &a->seen_capacity, a->seen_count + 1, sizeof *a->seen)) {
        return TE_ERR_MEMORY;
    }
    a->seen[a->seen_count++] = row;
    return TE_OK;
}

/* A part that was rejected and has not come off since is no better for having been measured again. */
static te_status add_standing(struct assessing *a, const te_inspection *then)
{
    te_status status = TE_OK;
    for (uint32_t i = 0; i < then->condition_count && status == TE_OK; i++) {
        uint32_t row = then->first_condition + i;
        if (te_shop_reject_stands(a->shop, a->inspection, &a->tables->conditions[row])) {
            status = add_seen(a, row);
        }
    }
    return status;
}

static te_status list_seen(struct assessing *a)
{
    const te_engine *engine = &a->tables->engines[a->inspection->engine];
    te_status status = TE_OK;
    for (uint32_t i = 0; i < a->inspection->condition_count && status == TE_OK; i++) {
        status = add_seen(a, a->inspection->first_condition + i);
    }
    const uint32_t *rows = &a->tables->by_engine[engine->first_inspection];
    for (uint32_t i = 0; i < engine->inspection_count; i++) { /* GCOVR_EXCL_BR_LINE: ends before */
        const te_inspection *then = &a->tables->inspections[rows[i]];
        if (status != TE_OK || then->id == a->inspection->id) {
            break; /* what is seen later does not count */
        }
        status = add_standing(a, then);
    }
    return status;
}

static const te_condition *condition_at(const struct assessing *a, size_t i)
{
    return &a->tables->conditions[a->seen[i]];
}

static te_status name_conditions(struct assessing *a, te_verdict *verdict,
                                 te_finding_severity severity)
{
    te_status status = TE_OK;
    for (size_t i = 0; i < a->seen_count && status == TE_OK; i++) {
        const te_condition *condition = condition_at(a, i);
        if (concerns(a, condition, verdict) && condition->severity == severity) {
            status = add_reason(a, verdict, TE_REASON_CONDITION, a->seen[i]);
        }
    }
    return status;
}

static bool is_rejected(const struct assessing *a, const te_verdict *verdict)
{
    for (size_t i = 0; i < a->seen_count; i++) {
        const te_condition *condition = condition_at(a, i);
        if (concerns(a, condition, verdict) && condition->severity == TE_REJECT) {
            return true;
        }
    }
    return false;
}

/* Written down at this inspection: that is what tells that somebody looked. */
static bool has_condition(const struct assessing *a, const te_verdict *verdict)
{
    for (uint32_t i = 0; i < a->inspection->condition_count; i++) {
        if (concerns(a, condition_at(a, i), verdict)) {
            return true;
        }
    }
    return false;
}

/* Somebody read it, and nothing says whether it is good: a limit may have been forgotten. */
static bool is_unlimited(const te_finding *finding)
{
    te_quantity quantity = finding->measured.quantity;
    return finding->outcome == TE_NO_LIMIT &&
           te_quantity_is(quantity, TE_TRAIT_READ); /* as one's own are */
}

static bool is_open_below(const te_finding *finding)
{
    return te_quantity_is(finding->measured.quantity, TE_TRAIT_CLEAR) &&
           (!finding->has_limit ||
            (isnan(finding->limit.new_min) && isnan(finding->limit.service_min)));
}

/* What the verdict does not cover, and what it rests on when it is good. */
static te_status name_reach(struct assessing *a, te_verdict *verdict, const struct share *share,
                            const struct tally *tally)
{
    te_status status = TE_OK;
    if (tally->within > 0) {
        status = add_reason(a, verdict, TE_REASON_WITHIN, tally->within);
    }
    if (status == TE_OK) {
        status = name_conditions(a, verdict, TE_WATCH);
    }
    for (size_t i = 0; i < share->count && status == TE_OK; i++) {
        uint32_t at = share->findings[i];
        const te_finding *finding = &a->out->findings[at];
        if (!finding->computed) {
            continue;
        }
        if (is_unlimited(finding) && tally->judged) { /* else nothing was judged, which is told */
            status = add_reason(a, verdict, TE_REASON_UNLIMITED, at);
        } else if (is_open_below(finding)) {
            status = add_reason(a, verdict, TE_REASON_TIGHT_UNJUDGED, at);
        }
    }
    if (status == TE_OK && !has_condition(a, verdict)) {
        status = add_reason(a, verdict, TE_REASON_NO_CONDITION, 0);
    }
    return status;
}

static te_status name_damage(struct assessing *a, te_verdict *verdict)
{
    if (!a->damaged) {
        return TE_OK;
    }
    verdict->verdict = worse_of(verdict->verdict, TE_INCOMPLETE);
    return add_reason(a, verdict, TE_REASON_DAMAGED, 0);
}

static te_status judge_part(struct assessing *a, te_verdict *verdict)
{
    struct share of_own;
    struct share of_pairs;
    list_shares(&of_own, &of_pairs, a, verdict);
    struct tally own = tally_of(a, &of_own);
    struct tally pairs = tally_of(a, &of_pairs);
    bool by_pairs = !own.judged && pairs.judged;
    const struct share *share = by_pairs ? &of_pairs : &of_own;
    const struct tally *tally = by_pairs ? &pairs : &own;
    te_status status = name_conditions(a, verdict, TE_REJECT);
    verdict->verdict = by_pairs ? pairs.worst : own.judged ? own.worst : TE_INCOMPLETE;
    if (status == TE_OK) {
        status = name_findings(a, verdict, share, tally);
    }
    if (status == TE_OK && !own.judged) {
        status = add_reason(a, verdict, by_pairs ? TE_REASON_BY_PAIRS : TE_REASON_NOTHING_JUDGED,
                            0);
    }
    if (is_rejected(a, verdict)) {
        verdict->verdict = TE_DO_NOT_REUSE;
    }
    if (status == TE_OK) {
        status = name_damage(a, verdict);
    }
    return status != TE_OK ? status : name_reach(a, verdict, share, tally);
}

/* ---- which parts get a verdict ---- */

static te_status add_part(struct assessing *a, te_id part, te_kind kind, bool measured)
{
    te_assessment *out = a->out;
    for (size_t i = 0; i < out->verdict_count; i++) {
        if (is_of(&out->verdicts[i], part, kind)) {
            out->verdicts[i].measured |= measured;
            return TE_OK;
        }
    }
    if (!te_vector_reserve(&out->verdicts, &out->verdict_capacity, out->verdict_count + 2,
                           sizeof *out->verdicts)) {
        return TE_ERR_MEMORY;
    }
    size_t at = out->verdict_count;
    for (; at > 0 && out->verdicts[at - 1].kind > kind; at--) {
        out->verdicts[at] = out->verdicts[at - 1];
    }
    out->verdicts[at] = (te_verdict){.part = part, .kind = kind, .measured = measured};
    out->verdict_count++;
    return TE_OK;
}

static te_status list_parts(struct assessing *a)
{
    te_status status = TE_OK;
    for (size_t i = 0; i < a->out->pool.count && status == TE_OK; i++) {
        const te_observation *x = &a->out->pool.items[i];
        te_kind second = te_quantity_info_of(x->feature)->second_kind;
        status = add_part(a, x->part, te_kind_of_observation(a, x), true);
        if (status == TE_OK && second != TE_KIND_NONE) {
            status = add_part(a, a->inspection->part[second], second, true);
        }
    }
    for (size_t i = 0; i < a->seen_count && status == TE_OK; i++) {
        const te_condition *condition = condition_at(a, i);
        if (!te_is_supposed(a, condition->kind)) {
            status = add_part(a, condition->part, condition->kind, false);
        }
    }
    return status;
}

/* ---- the assembly ---- */

/* True when an earlier row that is asked for has the same quantity, for another item. */
static bool is_told(const struct assessing *a, uint32_t row)
{
    const te_limit *limits = &a->tables->limits[a->model->first_limit];
    for (uint32_t i = 0; i < row; i++) {
        if (te_limit_is_wanted(a, &limits[i]) && limits[i].quantity == limits[row].quantity) {
            return true;
        }
    }
    return false;
}

/* A limit asked for of a kind without readings; each kind and each own feature is named once. */
static te_status name_unmeasured(struct assessing *a, te_verdict *verdict, bool *any)
{
    bool told[TE_KIND_NONE] = {false};
    te_status status = TE_OK;
    for (uint32_t i = 0; i < a->model->limit_count && status == TE_OK; i++) {
        const te_limit *limit = &a->tables->limits[a->model->first_limit + i];
        const te_quantity_info *info = te_quantity_info_of(limit->quantity);
        if (!te_limit_is_wanted(a, limit)) {
            continue;
        }
        if (limit->quantity >= TE_Q_OWN) {
            struct span read = te_span_of_feature(&a->spans, &a->out->pool, limit->quantity);
            if (!a->other_measured && read.first == read.end && !is_told(a, i)) {
                *any = true;
                status = add_reason(a, verdict, TE_REASON_OWN_UNMEASURED, limit->quantity);
            }
            continue;
        }
        const te_kind kinds[] = {info->kind, info->second_kind};
        for (size_t k = 0; k < 2 && status == TE_OK; k++) {
            if (kinds[k] != TE_KIND_NONE && !a->measured[kinds[k]] && !told[kinds[k]]) {
                told[kinds[k]] = true;
                *any = true;
                status = add_reason(a, verdict, TE_REASON_KIND_UNMEASURED, (uint32_t)kinds[k]);
            }
        }
    }
    return status;
}

static te_status name_parts(struct assessing *a, te_verdict *verdict, te_verdict_value findings)
{
    te_status status = TE_OK;
    for (size_t i = 0; i + 1 < a->out->verdict_count && status == TE_OK; i++) {
        te_verdict_value part = a->out->verdicts[i].verdict;
        if (!a->out->verdicts[i].measured) {
            continue; /* its conditions count, its lack of readings does not */
        }
        verdict->verdict = worse_of(verdict->verdict, part);
        if (part < findings) {
            status = add_reason(a, verdict, TE_REASON_PART, (uint32_t)i);
        }
    }
    return status;
}

static te_status judge_assembly(struct assessing *a, te_verdict *verdict)
{
    const struct share share = {a->all, a->out->finding_count};
    struct tally all = tally_of(a, &share);
    bool unmeasured = false;
    te_verdict_value findings = is_rejected(a, verdict) ? TE_DO_NOT_REUSE : all.worst;
    te_status status = name_conditions(a, verdict, TE_REJECT);
    if (status == TE_OK) {
        status = name_findings(a, verdict, &share, &all);
    }
    if (status == TE_OK) {
        status = name_unmeasured(a, verdict, &unmeasured);
    }
    if (status == TE_OK && !all.judged) {
        status = add_reason(a, verdict, TE_REASON_NOTHING_JUDGED, 0);
    }
    verdict->verdict = worse_of(findings, unmeasured || !all.judged ? TE_INCOMPLETE : TE_REUSE);
    if (status == TE_OK) {
        status = name_parts(a, verdict, verdict->verdict);
    }
    if (status == TE_OK) {
        status = name_damage(a, verdict);
    }
    return status != TE_OK ? status : name_reach(a, verdict, &share, &all);
}

static te_status judge_seen(struct assessing *a)
{
    te_assessment *out = a->out;
    te_status status = make_lists(a);
    if (status == TE_OK) {
        status = list_seen(a);
    }
    if (status == TE_OK) {
        status = list_parts(a);
    }
    for (size_t i = 0; i < out->verdict_count && status == TE_OK; i++) {
        out->verdicts[i].first_reason = (uint32_t)out->reason_count;
        status = judge_part(a, &out->verdicts[i]);
    }
    if (status != TE_OK || !te_vector_reserve(&out->verdicts, &out->verdict_capacity,
                                              out->verdict_count + 1, sizeof *out->verdicts)) {
        return TE_ERR_MEMORY;
    }
    te_verdict *assembly = &out->verdicts[out->verdict_count++];
    *assembly = (te_verdict){.kind = TE_KIND_NONE, .first_reason = (uint32_t)out->reason_count};
    return judge_assembly(a, assembly);
}

te_status te_make_verdicts(struct assessing *a)
{
    te_status status = judge_seen(a);
    free(a->seen);
    a->seen = NULL;
    return status;
}
