/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Where the observations of a feature stand, so that nobody looks for them among all. */
#ifndef TOPEND_MEASURE_SPANS_H
#define TOPEND_MEASURE_SPANS_H

#include "topend/form.h"

/* Observations that stand beside each other in the pool. */
struct span {
    uint32_t first, end;
};

/* The spans of an inspection's observations, which are in the order of te_observe; behind them may
 * stand some of quantities that no reading is of. */
struct feature_spans {
    struct span known[TE_Q_OWN]; /* of each known feature; empty where it was not read */
    struct span own;             /* of all features of the user's own, in their order */
};

void te_find_spans(struct feature_spans *spans, const te_observations *pool, uint32_t first,
                   uint32_t end);

/* The span of a feature; empty where it was not read. */
struct span te_span_of_feature(const struct feature_spans *spans, const te_observations *pool,
                               te_quantity feature);

#endif
