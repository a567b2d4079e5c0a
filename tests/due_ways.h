/* SPDX-License-Identifier: GPL-3.0-or-later */
/* When an engine is due, by its whole history and by what te_history_make_due makes of it: the answers are the
 * same. */
#ifndef TOPEND_TESTS_DUE_WAYS_H
#define TOPEND_TESTS_DUE_WAYS_H

#include <math.h>
#include <stdbool.h>

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

/* False: the ways differ, or one cannot be gone. Both histories are made anew. */
static inline bool due_both_ways(te_due *due, te_history *whole, te_history *alone,
                                 const te_shop *shop, uint32_t engine,
                                 const te_assessment *assessment)
{
    te_due other;
    bool made = te_history_make(whole, shop, NULL, engine) == TE_OK &&
                te_history_make_due(alone, shop, NULL, engine) == TE_OK;
    if (!made) {
        return false;
    }
    te_due_make(due, whole, assessment, shop);
    te_due_make(&other, alone, assessment, shop);
    return due_same(due, &other);
}

/* The same with all that it takes, of an engine that can be done. */
static inline bool due_ways_agree(const te_shop *shop, uint32_t engine)
{
    te_due due;
    te_history whole = {0};
    te_history alone = {0};
    te_assessment assessment = {0};
    uint32_t last = te_shop_last_inspection(shop, engine);
    bool inspected = last != TE_NO_INDEX;
    bool agree = !inspected || te_assess(&assessment, shop, last, false) == TE_OK;
    agree = agree &&
            due_both_ways(&due, &whole, &alone, shop, engine, inspected ? &assessment : NULL);
    te_assessment_free(&assessment);
    te_history_free(&alone);
    te_history_free(&whole);
    return agree;
}

#endif
