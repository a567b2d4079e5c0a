/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Picking the extreme observations of a quantity. */
#ifndef TOPEND_MEASURE_PICK_H
#define TOPEND_MEASURE_PICK_H

#include "spans.h"
#include "topend/measure.h"

/* A member of a subset: an observation and what members may be sorted by. */
struct member {
    double direction;
    uint32_t observation;
};

/* What a quantity is made from. */
struct view {
    const te_shop *shop;
    const te_observations *pool;
    uint32_t first, end;      /* the inspection's observations */
    const struct span *known; /* where those of each known feature stand: no other is looked at */
    struct member *members;   /* room for every observation, used within a pick */
    const te_quantity_info *info;
    te_quantity quantity;
    te_id item;
    te_id part; /* for a feature of the user's own, which several parts may have; else 0 */
};

/* A set of observations of the view. */
struct subset {
    te_quantity feature;
    te_id item;
    bool any_item;
    te_id part;       /* 0: any */
    double direction; /* NAN: any */
    double position;  /* NAN: any */
    bool placed;      /* only with both a position and a direction */
};

enum te_place { TE_PLACE_NONE, TE_PLACE_POSITION, TE_PLACE_DIRECTION };

/* Values nearer than this (mm) are a tie. */
extern const double te_pick_tie;

/* True when the observation is in the subset. */
bool te_in_subset(const struct subset *subset, const te_observation *x);

/* The observations of the view that may be of a feature. */
struct span te_span_of(const struct view *view, te_quantity feature);

/* Index of the smallest or largest observation of a subset, ties by the order of the method notes;
 * TE_NO_INDEX when there is none. */
uint32_t te_pick(const struct view *view, const struct subset *subset, bool largest);

/* Both of them; false when there is none. */
bool te_pick_ends(uint32_t *smallest, uint32_t *largest, const struct view *view,
                  const struct subset *subset);

/* largest less smallest over a subset, of two places that differ in `differ`; false when there are
 * no two. */
bool te_pick_difference(te_form *form, const struct view *view, const struct subset *subset,
                        enum te_place differ);

/* The same along each direction of a placed subset, of two heights: keeps the largest
 * (te_keep_larger). */
void te_pick_along(te_form *best, const struct view *view, const struct subset *subset);

/* Keeps the larger of two differences; ties by their uncertainty, then by the order of their first
 * terms. `best` without terms is none yet. */
void te_keep_larger(te_form *best, const struct view *view, const te_form *candidate);

#endif
