/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Steps of te_options_make, for the files of this folder only. */
#ifndef TOPEND_REBUILD_REBUILDING_H
#define TOPEND_REBUILD_REBUILDING_H

#include "topend/rebuild.h"

/* The kinds of parts that options replace: all but `other`, of which an engine has several. */
enum { KINDS = TE_KIND_OTHER };

/* Lengths (mm) nearer than this are equal, as in every plain comparison. */
extern const double te_same_length;

/* Options while they are made. */
struct rebuilding {
    const te_options *options; /* candidates, base and history are made before the sets are tried */
    const te_shop *shop;
    const te_tables *tables;
    const te_inspection *inspection;
    uint32_t model_index;
    const te_model *model;
    const te_problems *problems;
};

/* ---- sizes.c ---- */

/* True for a row of spares.csv that is of a part, for this model. */
bool te_is_row_of(const struct rebuilding *r, const te_spare *row, te_id part);

/* What is known of a value of a new part. */
struct size {
    double value;
    double least, most; /* the ends of its tolerance or of the as-new limits */
    double u;           /* standard; rectangular over them (JCGM 100, 4.3.7) */
    bool stated;        /* least, most and u are known; else NAN and 0 */
};

/* A set of parts: of each kind the one to fit, NULL for the part that stays. */
struct choice {
    const te_candidate *of[KINDS];
};

/* The oversize of the part chosen of a kind, which is a new one, as written. Without a spare it suits its
 * cylinder. */
double te_choice_oversize(const struct rebuilding *r, const struct choice *choice, te_kind kind);

/* The size of a feature of a part to be fitted: of its spare, else of the as-new limits. False when
 * nothing tells it. */
bool te_new_size(struct size *size, const struct rebuilding *r, const struct choice *choice,
                 te_kind kind, te_quantity feature, te_id item);

/* The middle of the as-new bore of an oversize; NAN when it is not known. */
double te_new_bore_middle(const struct rebuilding *r, double oversize);

/* The bore that a ring gap at a height is measured in, as gauged. */
struct bore_there {
    te_form form;         /* the mean over the directions gauged at that height, when `gauged` */
    uint32_t least, most; /* else the smallest and the largest bore of all */
    bool gauged;
    bool any; /* some bore was gauged */
};
void te_bore_at(struct bore_there *there, const te_observations *pool, double position);

/* ---- suppose.c ---- */

/* Memory for te_suppose that is kept from set to set. Start with all zero. */
struct bench {
    te_observations drafts;
    uint32_t *order;
    size_t order_capacity;
    te_component *components;
    size_t component_capacity;
    te_effect *effects;
    size_t effect_capacity;
};
void te_bench_free(struct bench *bench);

/* What an inspection would find with a set of parts. */
te_status te_suppose(te_assessment *assessment, struct bench *bench, const struct rebuilding *r,
                     const struct choice *choice);

/* ---- candidates.c ---- */

/* Lists the parts that could be fitted, and whether the cylinder can be bored. */
te_status te_list_candidates(te_options *options, const struct rebuilding *r, double hone);

/* Kinds whose part was rejected and has not come off since; `other`: such a part of kind other. */
unsigned te_rejected_kinds(te_id *other, const struct rebuilding *r);

/* ---- fits.c ---- */

/* Each piston and each ring set in the bore as measured. */
te_status te_find_fits(te_options *options, const struct rebuilding *r);

/* True when pistons and bores of a set may seize at the ends of their tolerances: `tight` and the
 * `least` clearance allowed. */
bool te_is_too_tight(double *tight, double *least, const struct rebuilding *r,
                     const struct choice *choice, const te_assessment *assessment);

/* ---- lasting.c ---- */

/* How long a set lasts. */
te_status te_find_lasting(te_lasting *lasting, const struct rebuilding *r,
                          const struct choice *choice, const te_assessment *assessment,
                          te_model_rates *rates);

/* ---- rates.c ---- */

/* Pools the rates of one engine's parts for a quantity. */
te_status te_engine_rate(te_pooled_rate *pooled, const te_history *history, te_quantity quantity,
                         te_id item, te_side side);

#endif
