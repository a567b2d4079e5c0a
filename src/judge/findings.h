/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Steps of te_assess, for the files of this folder only. */
#ifndef TOPEND_JUDGE_FINDINGS_H
#define TOPEND_JUDGE_FINDINGS_H

#include "measure/spans.h"
#include "topend/judge.h"

/* An item that a row of limits.csv or plan.csv names. */
struct named {
    te_quantity quantity;
    te_id item;
};

/* An assessment while it is made. */
struct assessing {
    te_assessment *out;
    const te_shop *shop;
    const te_tables *tables;
    const te_inspection *inspection;
    const te_model *model;
    const te_supposed *supposed; /* NULL: the parts are those measured */
    uint32_t *seen; /* rows of condition.csv: the inspection's, then earlier rejects that stand */
    size_t seen_count, seen_capacity;
    struct feature_spans spans; /* of the observations */
    struct named *named;
    size_t named_count;
    uint32_t *own, *pairs, *all; /* findings, while verdicts are made */
    bool measured[TE_KIND_NONE]; /* kinds of which a part has a reading */
    bool other_measured;         /* ENGINE/other has a reading */
    bool damaged;
};

/* Judges the computed quantities, then adds the required ones that could not be computed. */
te_status te_make_findings(struct assessing *a);

/* Verdicts on the parts and the assembly, with their reasons. */
te_status te_make_verdicts(struct assessing *a);

/* True when a part of that kind is not the one measured. */
bool te_is_supposed(const struct assessing *a, te_kind kind);

/* The kind of a reading's part. */
te_kind te_kind_of_observation(const struct assessing *a, const te_observation *x);

/* True when the places that plan.csv names would give the quantity; item 0: any of its items. */
bool te_plan_asks(const struct assessing *a, te_quantity quantity, te_id item);

/* True when an inspection lacks something without the limit's quantity: it is required, or planned. */
bool te_limit_is_wanted(const struct assessing *a, const te_limit *limit);

#endif
