/* SPDX-License-Identifier: GPL-3.0-or-later */
/* When an engine is due, by its whole history and by what te_history_make_due makes of it: the answers are the
 * same. */
#ifndef TOPEND_TESTS_DUE_WAYS_H
#define TOPEND_TESTS_DUE_WAYS_H

#include <math.h>
#include <stdbool.h>

#include "topend/judge.h"
#include "topend/wear.h"

static inline bool due_same_number(double a, double b)
{
    return (a >= b && a <= b) || (isnan(a) && isnan(b));
}

static inline bool due_same(const te_due *a, const te_due *b)
{
    return a->engine == b->engine && a->inspection == b->inspection && a->basis == b->basis &&
           due_same_number(a->due_hours, b->due_hours) &&
           due_same_number(a->hours_left, b->hours_left) && a->quantity == b->quantity &&
           a->item == b->item && a->part == b->part && a->second_part == b->second_part &&
           a->kind == b->kind && a->second_kind == b->second_kind && a->side == b->side &&
           due_same_number(a->limit, b->limit) && a->measured == b->measured &&
           a->assumed == b->assumed && a->original == b->original && a->met == b->met &&
           a->scatter == b->scatter && a->condemned_part == b->condemned_part &&
           a->condemned_kind == b->condemned_kind && a->condemned == b->condemned &&
           a->changed == b->changed && a->no_meter == b->no_meter && a->untold == b->untold &&
           a->unmeasured == b->unmeasured && a->left_out == b->left_out && a->worst == b->worst &&
           a->verdict == b->verdict;
}

/* True when two assessments of one inspection come to the same. */
static inline bool due_same_assessment(const te_assessment *a, const te_assessment *b)
{
    bool same = a->inspection == b->inspection && a->finding_count == b->finding_count &&
                a->verdict_count == b->verdict_count && a->reason_count == b->reason_count &&
                a->pool.count == b->pool.count && a->quantities.count == b->quantities.count;
    for (size_t i = 0; same && i < a->finding_count; i++) {
        const te_finding *x = &a->findings[i];
        const te_finding *y = &b->findings[i];
        same = x->outcome == y->outcome && x->computed == y->computed &&
               x->places_missing == y->places_missing &&
               x->measured.quantity == y->measured.quantity &&
               x->measured.item == y->measured.item && x->measured.part == y->measured.part &&
               (!x->computed || (due_same_number(x->interval.low, y->interval.low) &&
                                 due_same_number(x->interval.high, y->interval.high) &&
                                 due_same_number(x->interval.u_low, y->interval.u_low) &&
                                 due_same_number(x->interval.u_high, y->interval.u_high)));
    }
    for (size_t i = 0; same && i < a->verdict_count; i++) {
        same = a->verdicts[i].verdict == b->verdicts[i].verdict &&
               a->verdicts[i].part == b->verdicts[i].part;
    }
    return same;
}

/* Judges the engine's last inspection both ways, anew and by what the history measured; false: they differ. */
static inline bool due_assess_both_ways(te_assessment *anew, const te_history *history,
                                        const te_shop *shop, uint32_t inspection)
{
    te_assessment taken = {0};
    bool same = te_assess(anew, shop, inspection, false) == TE_OK &&
                te_history_assess(&taken, history, shop, inspection, false) == TE_OK &&
                due_same_assessment(anew, &taken);
    te_assessment_free(&taken);
    return same;
}

/* False: the ways differ, or one cannot be gone. Histories and assessment are made anew. */
static inline bool due_both_ways(te_due *due, te_history *whole, te_history *alone,
                                 te_assessment *assessment, const te_shop *shop, uint32_t engine)
{
    te_due other;
    uint32_t last = te_shop_last_inspection(shop, engine);
    bool inspected = last != TE_NO_INDEX;
    bool made = te_history_make(whole, shop, NULL, engine) == TE_OK &&
                te_history_make_due(alone, shop, NULL, engine) == TE_OK &&
                (!inspected || due_assess_both_ways(assessment, alone, shop, last));
    if (!made) {
        return false;
    }
    te_due_make(due, whole, inspected ? assessment : NULL, shop);
    te_due_make(&other, alone, inspected ? assessment : NULL, shop);
    return due_same(due, &other);
}

/* The same with all that it takes, of an engine that can be done. */
static inline bool due_ways_agree(const te_shop *shop, uint32_t engine)
{
    te_due due;
    te_history whole = {0};
    te_history alone = {0};
    te_assessment assessment = {0};
    bool agree = due_both_ways(&due, &whole, &alone, &assessment, shop, engine);
    te_assessment_free(&assessment);
    te_history_free(&alone);
    te_history_free(&whole);
    return agree;
}

#endif
