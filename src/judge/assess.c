/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <stdlib.h>

#include "findings.h"

bool te_is_supposed(const struct assessing *a, te_kind kind)
{
    return a->supposed != NULL && (a->supposed->replaced & (1U << kind)) != 0;
}

/* Findings and verdicts of what was measured. */
static te_status judge_all(struct assessing *a)
{
    te_assessment *out = a->out;
    out->finding_count = 0;
    out->verdict_count = 0;
    out->reason_count = 0;
    a->tables = te_shop_tables(a->shop);
    a->model = &a->tables->models[a->tables->engines[a->inspection->engine].model];
    te_status status = te_make_findings(a);
    return status != TE_OK ? status : te_make_verdicts(a);
}

static void empty(te_assessment *assessment, uint32_t inspection)
{
    assessment->pool.count = 0;
    assessment->pool.effect_count = 0;
    assessment->quantities.count = 0;
    assessment->inspection = inspection;
}

te_status te_assess(te_assessment *assessment, const te_shop *shop, uint32_t inspection,
                    bool damaged)
{
    const te_inspection *row = &te_shop_tables(shop)->inspections[inspection];
    struct assessing a = {.out = assessment, .shop = shop, .inspection = row, .damaged = damaged};
    empty(assessment, inspection);
    te_status status = te_observe(&assessment->pool, shop, inspection);
    if (status == TE_OK) {
        status = te_quantities_make(&assessment->quantities, &assessment->pool, 0, shop, row);
    }
    return status != TE_OK ? status : judge_all(&a);
}

te_status te_assess_taken(te_assessment *assessment, const te_shop *shop, uint32_t inspection,
                          const te_taken *taken, bool damaged)
{
    const te_inspection *row = &te_shop_tables(shop)->inspections[inspection];
    struct assessing a = {.out = assessment, .shop = shop, .inspection = row, .damaged = damaged};
    empty(assessment, inspection);
    te_status status = te_observations_copy(&assessment->pool, taken->pool, taken->first,
                                            taken->end);
    if (status == TE_OK) {
        status = te_quantities_copy(&assessment->quantities, taken->quantities, taken->count,
                                    taken->first);
    }
    return status != TE_OK ? status : judge_all(&a);
}

te_status te_assess_supposed(te_assessment *assessment, const te_shop *shop,
                             const te_supposed *supposed, bool damaged)
{
    struct assessing a = {.out = assessment,
                          .shop = shop,
                          .inspection = &supposed->inspection,
                          .supposed = supposed,
                          .damaged = damaged};
    return judge_all(&a);
}

void te_assessment_free(te_assessment *assessment)
{
    if (assessment == NULL) {
        return;
    }
    te_observations_free(&assessment->pool);
    te_quantities_free(&assessment->quantities);
    te_places_free(&assessment->places);
    free(assessment->findings);
    free(assessment->verdicts);
    free(assessment->reasons);
    free(assessment->work.block);
    *assessment = (te_assessment){0};
}

const te_verdict *te_assessment_assembly(const te_assessment *assessment)
{
    return &assessment->verdicts[assessment->verdict_count - 1];
}

bool te_assessment_reads(const te_assessment *assessment, te_quantity feature)
{
    for (size_t i = 0; i < assessment->pool.count; i++) {
        if (assessment->pool.items[i].feature == feature) {
            return true;
        }
    }
    return false;
}

const te_finding *te_assessment_finding(const te_assessment *assessment, te_quantity quantity)
{
    for (size_t i = 0; i < assessment->finding_count; i++) {
        if (assessment->findings[i].measured.quantity == quantity) {
            return &assessment->findings[i];
        }
    }
    return NULL;
}

const te_verdict *te_assessment_part(const te_assessment *assessment, te_kind kind)
{
    for (size_t i = 0; i + 1 < assessment->verdict_count; i++) {
        if (assessment->verdicts[i].kind == kind) {
            return &assessment->verdicts[i];
        }
    }
    return NULL;
}

bool te_reason_is_against(const te_shop *shop, const te_reason *reason)
{
    switch (reason->kind) { /* GCOVR_EXCL_BR_LINE: each has a case */
    case TE_REASON_CONDITION:
        return te_shop_tables(shop)->conditions[reason->index].severity == TE_REJECT;
    case TE_REASON_FINDING:
    case TE_REASON_KIND_UNMEASURED:
    case TE_REASON_OWN_UNMEASURED:
    case TE_REASON_NOTHING_JUDGED:
    case TE_REASON_PART:
    case TE_REASON_DAMAGED: return true;
    case TE_REASON_BY_PAIRS:
    case TE_REASON_WITHIN:
    case TE_REASON_TIGHT_UNJUDGED:
    case TE_REASON_UNLIMITED:
    case TE_REASON_NO_CONDITION: break;
    }
    return false;
}
