/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <stdlib.h>

#include "findings.h"

static void empty(te_assessment *assessment)
{
    assessment->pool.count = 0;
    assessment->pool.effect_count = 0;
    assessment->quantities.count = 0;
    assessment->finding_count = 0;
    assessment->verdict_count = 0;
    assessment->reason_count = 0;
}

te_status te_assess(te_assessment *assessment, const te_shop *shop, uint32_t inspection,
                    bool damaged)
{
    const te_tables *tables = te_shop_tables(shop);
    struct assessing a = {.out = assessment,
                          .shop = shop,
                          .tables = tables,
                          .inspection = &tables->inspections[inspection],
                          .damaged = damaged};
    empty(assessment);
    assessment->inspection = inspection;
    te_status status = te_observe(&assessment->pool, shop, inspection);
    if (status != TE_OK) {
        return status;
    }
    a.model = &tables->models[tables->engines[a.inspection->engine].model];
    status = te_quantities_make(&assessment->quantities, &assessment->pool, 0, shop, inspection);
    if (status == TE_OK) {
        status = te_make_findings(&a);
    }
    return status != TE_OK ? status : te_make_verdicts(&a);
}

void te_assessment_free(te_assessment *assessment)
{
    if (assessment == NULL) {
        return;
    }
    te_observations_free(&assessment->pool);
    te_quantities_free(&assessment->quantities);
    free(assessment->findings);
    free(assessment->verdicts);
    free(assessment->reasons);
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
