/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Units of length. */
#include "te_test.h"

#include <string.h>

#include "topend/unit.h"

static te_unit find(const char *text)
{
    return te_unit_find((te_slice){text, strlen(text)});
}

static void units_are_found_by_their_words(void **state)
{
    (void)state;
    static const struct {
        const char *text;
        te_unit unit;
    } cases[] = {
        {"", TE_UNIT_MM},          {"mm", TE_UNIT_MM},        {"MM", TE_UNIT_MM},
        {"um", TE_UNIT_UM},        {"Um", TE_UNIT_UM},        {"\xc2\xb5m", TE_UNIT_UM},
        {"\xce\xbcm", TE_UNIT_UM}, {"\xc2\xb5M", TE_UNIT_UM}, {"in", TE_UNIT_IN},
        {"In", TE_UNIT_IN},        {"thou", TE_UNIT_THOU},    {"THOU", TE_UNIT_THOU},
        {"cm", TE_UNIT_OWN},       {"inch", TE_UNIT_OWN},     {"\"", TE_UNIT_OWN},
        {"m", TE_UNIT_OWN},        {"mm ", TE_UNIT_OWN},      {"kPa", TE_UNIT_OWN},
        {"\xb5m", TE_UNIT_OWN},    {"\xce\xbc", TE_UNIT_OWN},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++)
        if (find(cases[i].text) != cases[i].unit)
            fail_msg("%s: %d", cases[i].text, (int)find(cases[i].text));
}

static void lengths_become_millimetres(void **state)
{
    (void)state;
    assert_near(te_unit_to_mm(66.412, TE_UNIT_MM), 66.412, 0);
    assert_near(te_unit_to_mm(347.25, TE_UNIT_UM), 0.34725, 0);
    assert_near(te_unit_to_mm(1.0, TE_UNIT_IN), 25.4, 0);
    assert_near(te_unit_to_mm(2.6147, TE_UNIT_IN), 66.41338, 1e-14);
    assert_near(te_unit_to_mm(13.5, TE_UNIT_THOU), 0.3429, 1e-16);
    assert_near(te_unit_to_mm(-0.7, TE_UNIT_THOU), -0.01778, 1e-17);
    assert_near(te_unit_to_mm(874.25, TE_UNIT_OWN), 874.25, 0);
}

/* Against long double: at most one unit in the last place for a chain of two roundings. */
static void conversions_lose_at_most_a_rounding(void **state)
{
    (void)state;
    te_random random = te_random_start(0x254);
    for (size_t i = 0; i < te_test_rounds(100000); i++) {
        double x = te_random_between(&random, -3, 3000);
        assert_near_rel(te_unit_to_mm(x, TE_UNIT_UM), (double)((long double)x / 1000), 1.2e-16);
        assert_near_rel(te_unit_to_mm(x, TE_UNIT_IN), (double)((long double)x * 127 / 5), 2.3e-16);
        assert_near_rel(te_unit_to_mm(x, TE_UNIT_THOU), (double)((long double)x * 127 / 5000),
                        3.4e-16);
    }
}

static void inches_are_told_apart(void **state)
{
    (void)state;
    assert_true(te_unit_is_inch(TE_UNIT_IN));
    assert_true(te_unit_is_inch(TE_UNIT_THOU));
    assert_false(te_unit_is_inch(TE_UNIT_MM));
    assert_false(te_unit_is_inch(TE_UNIT_UM));
    assert_false(te_unit_is_inch(TE_UNIT_OWN));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(units_are_found_by_their_words),
        cmocka_unit_test(lengths_become_millimetres),
        cmocka_unit_test(conversions_lose_at_most_a_rounding),
        cmocka_unit_test(inches_are_told_apart),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
