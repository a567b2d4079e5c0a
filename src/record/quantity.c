/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "topend/quantity.h"

/* The table's short words, spelled out for this file only. */
#define READ     TE_TRAIT_READ
#define SIZE     TE_TRAIT_SIZE
#define GAP      TE_TRAIT_GAP
#define OVERSIZE TE_TRAIT_OVERSIZE
#define FIT      TE_TRAIT_FIT
#define CLEAR    TE_TRAIT_CLEAR
#define VARIANT  TE_TRAIT_VARIANT
#define OWNED    TE_TRAIT_OWNED

static const te_quantity_info known[TE_Q_OWN] = {
#define TE_QUANTITY(symbol, name, kind, second, feature, feature2, items, traits, forms) \
    {name,                                                                               \
     TE_KIND_##kind,                                                                     \
     TE_KIND_##second,                                                                   \
     TE_Q_##feature,                                                                     \
     TE_Q_##feature2,                                                                    \
     TE_ITEMS_##items,                                                                   \
     (unsigned)(traits)},
#include "topend/quantity.def"
#undef TE_QUANTITY
};

static const te_quantity_info own = {
    NULL, TE_KIND_OTHER, TE_KIND_NONE, TE_Q_NONE, TE_Q_NONE, TE_ITEMS_ANY, TE_TRAIT_READ,
};

static const char *const kind_names[TE_KIND_NONE] = {
    "cylinder", "piston", "ring_set", "pin", "small_end_bearing", "rod", "head", "other",
};

const te_quantity_info *te_quantity_info_of(te_quantity quantity)
{
    return quantity < TE_Q_OWN ? &known[quantity] : &own;
}

bool te_quantity_is(te_quantity quantity, unsigned trait)
{
    return (te_quantity_info_of(quantity)->traits & trait) != 0;
}

bool te_quantity_same_items(te_quantity a, te_quantity b)
{
    te_items of_a = te_quantity_info_of(a)->items;
    bool same = a < TE_Q_OWN && b < TE_Q_OWN && of_a != TE_ITEMS_NONE &&
                of_a == te_quantity_info_of(b)->items;
    return same || a == b;
}

te_quantity te_quantity_find(te_slice word)
{
    for (te_quantity q = 0; q < TE_Q_OWN; q++) {
        if (te_text_same_word(word, known[q].name)) {
            return q;
        }
    }
    return TE_Q_NONE;
}

const char *te_kind_name(te_kind kind)
{
    return kind_names[kind];
}

te_kind te_kind_find(te_slice word)
{
    for (int kind = 0; kind < TE_KIND_NONE; kind++) {
        if (te_text_same_word(word, kind_names[kind])) {
            return (te_kind)kind;
        }
    }
    return TE_KIND_NONE;
}
