/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file quantity.h  Part kinds and quantities: their words and what each rests on. */
#ifndef TOPEND_QUANTITY_H
#define TOPEND_QUANTITY_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "topend/text.h"

#ifdef __cplusplus
extern "C" {
#endif

/** Kinds of part, in the order in which verdicts are given. */
typedef enum te_kind {
    TE_KIND_CYLINDER = 0,
    TE_KIND_PISTON,
    TE_KIND_RING_SET,
    TE_KIND_PIN,
    TE_KIND_SMALL_END_BEARING,
    TE_KIND_ROD,
    TE_KIND_HEAD,
    TE_KIND_OTHER,
    TE_KIND_NONE /**< no kind; also the number of kinds */
} te_kind;

/** A quantity or a feature: one of the list below, or TE_Q_OWN + n for the n-th feature of the
 * user's own (te_tables.own). */
typedef uint32_t te_quantity;

/** The quantities that the program knows; see quantity.def. */
enum te_known_quantity {
#define TE_QUANTITY(symbol, name, kind, second, feature, feature2, items, traits, forms) \
    TE_Q_##symbol,
#include "topend/quantity.def"
#undef TE_QUANTITY
    TE_Q_OWN, /**< the first feature of the user's own; also the number of known quantities */
    TE_Q_NONE = 0x7fffffff
};

/** Which items a quantity has. */
typedef enum te_items { TE_ITEMS_NONE = 0, TE_ITEMS_RING, TE_ITEMS_BOSS, TE_ITEMS_ANY } te_items;

/** Traits of a quantity; see quantity.def. */
enum te_trait {
    TE_TRAIT_READ = 1,
    TE_TRAIT_SIZE = 2,
    TE_TRAIT_GAP = 4,
    TE_TRAIT_OVERSIZE = 8,
    TE_TRAIT_FIT = 16,
    TE_TRAIT_CLEAR = 32,
    TE_TRAIT_VARIANT = 64,
    TE_TRAIT_OWNED = 128
};

/** What the table says of a quantity. */
typedef struct te_quantity_info {
    const char *name;
    te_kind kind;
    te_kind second_kind; /**< TE_KIND_NONE when it rests on one part */
    te_quantity feature;
    te_quantity second_feature; /**< TE_Q_NONE when it rests on one feature */
    te_items items;
    unsigned traits; /**< te_trait, joined by or */
} te_quantity_info;

/** What is known of a quantity; for a feature of the user's own the kind is TE_KIND_OTHER, the
 * name NULL and the traits TE_TRAIT_READ.
 * @param[in] quantity any value but TE_Q_NONE
 * @return a static description, never NULL
 */
const te_quantity_info *te_quantity_info_of(te_quantity quantity);

/** True when the quantity has a trait.
 * @param[in] quantity any value but TE_Q_NONE
 * @param[in] trait one of te_trait
 */
bool te_quantity_is(te_quantity quantity, unsigned trait);

/** True when the items of two quantities are the same things: rings, pin bosses, or those of one
 * feature of the user's own.
 * @param[in] a any value but TE_Q_NONE
 * @param[in] b any value but TE_Q_NONE
 */
bool te_quantity_same_items(te_quantity a, te_quantity b);

/** Finds a known quantity by its word, without regard to case.
 * @param[in] word trimmed
 * @return the quantity, or TE_Q_NONE
 */
te_quantity te_quantity_find(te_slice word);

/** The word of a kind (`ring_set`).
 * @param[in] kind not TE_KIND_NONE
 * @return a static string
 */
const char *te_kind_name(te_kind kind);

/** Finds a kind by its word, without regard to case.
 * @param[in] word trimmed
 * @return the kind, or TE_KIND_NONE
 */
te_kind te_kind_find(te_slice word);

#ifdef __cplusplus
}
#endif
#endif
