/* SPDX-License-Identifier: GPL-3.0-or-later */
/* An inspection as it would be with other parts, while it is put together: suppose.c puts it together,
 * suppose_parts.c drafts the readings of new parts, suppose_gaps.c what two parts have in common. */
#ifndef TOPEND_REBUILD_SUPPOSING_H
#define TOPEND_REBUILD_SUPPOSING_H

#include "rebuilding.h"

/* One set while its observations are put together. */
struct supposing {
    const struct rebuilding *r;
    const struct choice *choice;
    struct bench *bench;
    const te_observations *base;
    te_observations *drafts; /* not yet in the order of an inspection */
    te_supposed supposed;
    te_status status;
};

/* The part to fit for a kind; NULL when the one that is in stays. */
const te_candidate *te_part_for(const struct supposing *s, te_kind kind);

/* ---- drafts ---- */

/* Adds a draft; the first failure sticks. */
void te_draft_add(struct supposing *s, const te_observation *x, const te_effect *effects,
                  size_t count);

/* What an observation has in common with others; a pool without any effect has no array. */
const te_effect *te_effects_of(const te_observations *pool, const te_observation *x);

/* A size is one error common to all its places. */
te_source te_size_source(te_quantity feature, te_id item);

/* ---- suppose_parts.c ---- */

/* Drafts the readings of a part to be fitted. */
void te_draft_part(struct supposing *s, te_kind kind);

/* ---- suppose_gaps.c ---- */

/* Drafts the gap of a new ring at a place. */
void te_draft_new_gap(struct supposing *s, te_id item, double position, double direction);

/* A ring that stays, in a new cylinder: its gap as measured, less the bore that it was measured in.
 * `at` is its reading. */
void te_draft_old_gap(struct supposing *s, uint32_t at);

/* One of ring and groove is new: how much of the wear was whose is not known. The clearance then lies
 * between as new and as measured, like a value between two leaves. */
void te_draft_half_new(struct supposing *s, const te_observation *measured);

#endif
