/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The table of quantities against the table of the design. */
#include "te_test.h"

#include <string.h>

#include "topend/quantity.h"

static te_slice slice(const char *text)
{
    return (te_slice){text, strlen(text)};
}

/* Name, kinds, and whether a gauge reads it, in the order of every output. */
static const struct {
    const char *name;
    te_kind kind, second;
    bool read, variant, clear, fit;
    te_items items;
} expected[] = {
    {"bore", TE_KIND_CYLINDER, TE_KIND_NONE, true, false, false, false, TE_ITEMS_NONE},
    {"out_of_round", TE_KIND_CYLINDER, TE_KIND_NONE, false, false, false, false, TE_ITEMS_NONE},
    {"taper", TE_KIND_CYLINDER, TE_KIND_NONE, false, false, false, false, TE_ITEMS_NONE},
    {"out_of_round_overall", TE_KIND_CYLINDER, TE_KIND_NONE, false, true, false, false,
     TE_ITEMS_NONE},
    {"taper_ends", TE_KIND_CYLINDER, TE_KIND_NONE, false, true, false, false, TE_ITEMS_NONE},
    {"skirt", TE_KIND_PISTON, TE_KIND_NONE, true, false, false, false, TE_ITEMS_NONE},
    {"skirt_clearance", TE_KIND_CYLINDER, TE_KIND_PISTON, false, false, true, true, TE_ITEMS_NONE},
    {"skirt_clearance_thrust", TE_KIND_CYLINDER, TE_KIND_PISTON, false, true, true, true,
     TE_ITEMS_NONE},
    {"end_gap", TE_KIND_RING_SET, TE_KIND_NONE, true, false, true, true, TE_ITEMS_RING},
    {"side_clearance", TE_KIND_RING_SET, TE_KIND_PISTON, true, false, true, false, TE_ITEMS_RING},
    {"pin", TE_KIND_PIN, TE_KIND_NONE, true, false, false, false, TE_ITEMS_NONE},
    {"pin_bore", TE_KIND_PISTON, TE_KIND_NONE, true, false, false, false, TE_ITEMS_BOSS},
    {"pin_clearance", TE_KIND_PISTON, TE_KIND_PIN, false, false, true, false, TE_ITEMS_BOSS},
    {"small_end_play", TE_KIND_SMALL_END_BEARING, TE_KIND_NONE, true, false, true, false,
     TE_ITEMS_NONE},
    {"small_end_bore", TE_KIND_ROD, TE_KIND_NONE, true, false, false, false, TE_ITEMS_NONE},
    {"small_end_clearance", TE_KIND_ROD, TE_KIND_PIN, false, false, true, false, TE_ITEMS_NONE},
};

static void the_table_is_that_of_the_design(void **state)
{
    (void)state;
    assert_int_equal(TE_Q_OWN, sizeof expected / sizeof *expected);
    for (te_quantity q = 0; q < TE_Q_OWN; q++) {
        const te_quantity_info *info = te_quantity_info_of(q);
        assert_string_equal(info->name, expected[q].name);
        assert_int_equal(info->kind, expected[q].kind);
        assert_int_equal(info->second_kind, expected[q].second);
        assert_int_equal(info->items, expected[q].items);
        assert_int_equal(te_quantity_is(q, TE_TRAIT_READ), expected[q].read);
        assert_int_equal(te_quantity_is(q, TE_TRAIT_VARIANT), expected[q].variant);
        assert_int_equal(te_quantity_is(q, TE_TRAIT_CLEAR), expected[q].clear);
        assert_int_equal(te_quantity_is(q, TE_TRAIT_FIT), expected[q].fit);
    }
}

/* Only bore and skirt move with an oversize, only the end gap is corrected as a gap, and only the
 * sizes are range-checked. */
static void single_traits_belong_to_few(void **state)
{
    (void)state;
    for (te_quantity q = 0; q < TE_Q_OWN; q++) {
        bool size = q == TE_Q_BORE || q == TE_Q_SKIRT || q == TE_Q_PIN || q == TE_Q_PIN_BORE ||
                    q == TE_Q_SMALL_END_BORE;
        assert_int_equal(te_quantity_is(q, TE_TRAIT_SIZE), size);
        assert_int_equal(te_quantity_is(q, TE_TRAIT_OVERSIZE), q == TE_Q_BORE || q == TE_Q_SKIRT);
        assert_int_equal(te_quantity_is(q, TE_TRAIT_GAP), q == TE_Q_END_GAP);
        assert_int_equal(te_quantity_is(q, TE_TRAIT_OWNED), q == TE_Q_SIDE_CLEARANCE);
    }
}

/* What a quantity is made from is read from a gauge, on the kind that it rests on. */
static void quantities_are_made_from_readings(void **state)
{
    (void)state;
    for (te_quantity q = 0; q < TE_Q_OWN; q++) {
        const te_quantity_info *info = te_quantity_info_of(q);
        assert_true(te_quantity_is(info->feature, TE_TRAIT_READ));
        assert_int_equal(te_quantity_info_of(info->feature)->kind, info->kind);
        if (te_quantity_is(q, TE_TRAIT_READ))
            assert_int_equal(info->feature, q);
        if (info->second_feature != TE_Q_NONE) {
            assert_true(te_quantity_is(info->second_feature, TE_TRAIT_READ));
            assert_int_equal(te_quantity_info_of(info->second_feature)->kind, info->second_kind);
        }
    }
}

static void words_lead_to_quantities(void **state)
{
    (void)state;
    for (te_quantity q = 0; q < TE_Q_OWN; q++)
        assert_int_equal(te_quantity_find(slice(te_quantity_info_of(q)->name)), q);
    assert_int_equal(te_quantity_find(slice("Skirt_CLEARANCE_thrust")),
                     TE_Q_SKIRT_CLEARANCE_THRUST);
    assert_int_equal(te_quantity_find(slice("skirt_clearance_")), TE_Q_NONE);
    assert_int_equal(te_quantity_find(slice("")), TE_Q_NONE);
    assert_int_equal(te_quantity_find(slice("squish")), TE_Q_NONE);
}

static void features_of_the_users_own_are_readings_of_other_parts(void **state)
{
    (void)state;
    const te_quantity_info *info = te_quantity_info_of(TE_Q_OWN + 37);
    assert_null(info->name);
    assert_int_equal(info->kind, TE_KIND_OTHER);
    assert_int_equal(info->second_kind, TE_KIND_NONE);
    assert_int_equal(info->items, TE_ITEMS_ANY);
    assert_int_equal(info->traits, TE_TRAIT_READ);
}

static void words_lead_to_kinds(void **state)
{
    (void)state;
    static const char *const words[] = {"cylinder",          "piston", "ring_set", "pin",
                                        "small_end_bearing", "rod",    "head",     "other"};
    assert_int_equal(TE_KIND_NONE, sizeof words / sizeof *words);
    for (int kind = 0; kind < TE_KIND_NONE; kind++) {
        assert_string_equal(te_kind_name((te_kind)kind), words[kind]);
        assert_int_equal(te_kind_find(slice(words[kind])), kind);
    }
    assert_int_equal(te_kind_find(slice("RING_set")), TE_KIND_RING_SET);
    assert_int_equal(te_kind_find(slice("rings")), TE_KIND_NONE);
    assert_int_equal(te_kind_find(slice("")), TE_KIND_NONE);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_table_is_that_of_the_design),
        cmocka_unit_test(single_traits_belong_to_few),
        cmocka_unit_test(quantities_are_made_from_readings),
        cmocka_unit_test(words_lead_to_quantities),
        cmocka_unit_test(features_of_the_users_own_are_readings_of_other_parts),
        cmocka_unit_test(words_lead_to_kinds),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
