/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "spans.h"

void te_find_spans(struct feature_spans *spans, const te_observations *pool, uint32_t first,
                   uint32_t end)
{
    *spans = (struct feature_spans){.own = {0, 0}};
    for (uint32_t i = first; i < end; i++) {
        te_quantity feature = pool->items[i].feature;
        struct span *span = feature < TE_Q_OWN ? &spans->known[feature] : &spans->own;
        span->first = span->end == 0 ? i : span->first;
        span->end = i + 1;
    }
}

/* The first observation of the span whose feature is not below this one. */
static uint32_t first_from(const te_observations *pool, struct span span, te_quantity feature)
{
    while (span.first < span.end) {
        uint32_t middle = span.first + (span.end - span.first) / 2;
        if (pool->items[middle].feature < feature) {
            span.first = middle + 1;
        } else {
            span.end = middle;
        }
    }
    return span.first;
}

struct span te_span_of_feature(const struct feature_spans *spans, const te_observations *pool,
                               te_quantity feature)
{
    if (feature < TE_Q_OWN) {
        return spans->known[feature];
    }
    uint32_t first = first_from(pool, spans->own, feature);
    return (struct span){first,
                         first_from(pool, (struct span){first, spans->own.end}, feature + 1)};
}
