/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Dates as the files spell them. */
#include "te_test.h"

#include <string.h>

#include "topend/number.h"

static te_date_fault parse(te_date *date, const char *text, te_date_order order)
{
    return te_date_parse(date, (te_slice){text, strlen(text)}, order);
}

/* Day numbers from another source: Python's datetime.date. */
static void known_days_have_their_number(void **state)
{
    (void)state;
    static const struct {
        const char *text;
        te_date date;
    } cases[] = {
        {"1900-01-01", -25567}, {"1968-02-29", -672},  {"1970-01-01", 0},     {"2000-02-29", 11016},
        {"2026-04-18", 20561},  {"2100-02-28", 47540}, {"2199-12-31", 84005},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        te_date date = TE_NO_DATE;
        char out[11];
        assert_int_equal(parse(&date, cases[i].text, TE_DATE_NONE), TE_DATE_GOOD);
        assert_int_equal(date, cases[i].date);
        te_date_format(out, date);
        assert_string_equal(out, cases[i].text);
    }
}

/* Every day of the calendar once, in order, in each of the spellings. */
static void each_day_follows_the_one_before(void **state)
{
    (void)state;
    static const int days[] = {31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
    te_date expected = -25567;
    for (int year = 1900; year <= 2199; year++) {
        bool leap = (year % 4 == 0 && year % 100 != 0) || year % 400 == 0;
        for (int month = 1; month <= 12; month++) {
            int last = days[month - 1] + (month == 2 && leap);
            for (int day = 1; day <= last; day++, expected++) {
                char text[6][32], out[11];
                snprintf(text[0], 32, "%04d-%02d-%02d", year, month, day);
                snprintf(text[1], 32, "%04d/%02d/%02d", year, month, day);
                snprintf(text[2], 32, "%02d.%02d.%04d", day, month, year);
                snprintf(text[3], 32, "%d.%d.%d", day, month, year);
                snprintf(text[4], 32, "%02d/%02d/%04d", day, month, year);
                snprintf(text[5], 32, "%02d/%02d/%04d", month, day, year);
                for (size_t i = 0; i < sizeof text / sizeof *text; i++) {
                    te_date date = TE_NO_DATE;
                    te_date_order order = i == 4   ? TE_DATE_DMY
                                          : i == 5 ? TE_DATE_MDY
                                                   : TE_DATE_NONE;
                    if (parse(&date, text[i], order) != TE_DATE_GOOD || date != expected)
                        fail_msg("%s: %d, not %d", text[i], (int)date, (int)expected);
                }
                te_date_format(out, expected);
                assert_string_equal(out, text[0]);
            }
            te_date date = TE_NO_DATE;
            char past[32];
            snprintf(past, sizeof past, "%04d-%02d-%02d", year, month, last + 1);
            assert_int_equal(parse(&date, past, TE_DATE_NONE), TE_DATE_CALENDAR);
            assert_int_equal(date, TE_NO_DATE);
        }
    }
    assert_int_equal(expected, 84006);
}

static void other_texts_have_their_fault(void **state)
{
    (void)state;
    static const struct {
        const char *text;
        te_date_order order;
        te_date_fault fault;
    } cases[] = {
        {"", TE_DATE_NONE, TE_DATE_FORM},
        {"-", TE_DATE_NONE, TE_DATE_FORM},
        {"20260418", TE_DATE_NONE, TE_DATE_FORM},
        {"2026-04", TE_DATE_NONE, TE_DATE_FORM},
        {"2026-4-18", TE_DATE_NONE, TE_DATE_FORM},
        {"26-04-18", TE_DATE_NONE, TE_DATE_FORM},
        {"18.04.26", TE_DATE_NONE, TE_DATE_FORM},
        {"18-04-2026", TE_DATE_NONE, TE_DATE_FORM},
        {"2026.04.18", TE_DATE_NONE, TE_DATE_FORM},
        {"2026-04/18", TE_DATE_NONE, TE_DATE_FORM},
        {"2026-04-18 00:00:00", TE_DATE_NONE, TE_DATE_FORM},
        {"2026-04-18T00:00", TE_DATE_NONE, TE_DATE_FORM},
        {"2026-04-18-", TE_DATE_NONE, TE_DATE_FORM},
        {"18. April 2026", TE_DATE_NONE, TE_DATE_FORM},
        {"46130", TE_DATE_NONE, TE_DATE_FORM}, /* a spreadsheet's day number */
        {"+2026-04-18", TE_DATE_NONE, TE_DATE_FORM},
        {"02026-04-18", TE_DATE_NONE, TE_DATE_FORM},
        {"018.04.2026", TE_DATE_NONE, TE_DATE_FORM},
        {"99999999999-01-01", TE_DATE_NONE, TE_DATE_FORM},
        {"04/18/26", TE_DATE_MDY, TE_DATE_FORM},
        {"04/18/2026", TE_DATE_NONE, TE_DATE_ORDER},
        {"04/05/2026", TE_DATE_NONE, TE_DATE_ORDER},
        {"04/18/2026", TE_DATE_DMY, TE_DATE_ORDER_DMY_MDY},
        {"18/04/2026", TE_DATE_MDY, TE_DATE_ORDER_DMY_MDY},
        {"02/30/2026", TE_DATE_MDY, TE_DATE_CALENDAR},
        {"2026-02-29", TE_DATE_NONE, TE_DATE_CALENDAR},
        {"2100-02-29", TE_DATE_NONE, TE_DATE_CALENDAR},
        {"2026-13-01", TE_DATE_NONE, TE_DATE_CALENDAR},
        {"2026-00-10", TE_DATE_NONE, TE_DATE_CALENDAR},
        {"2026-04-00", TE_DATE_NONE, TE_DATE_CALENDAR},
        {"2026-04-31", TE_DATE_NONE, TE_DATE_CALENDAR},
        {"1899-12-31", TE_DATE_NONE, TE_DATE_CALENDAR},
        {"2200-01-01", TE_DATE_NONE, TE_DATE_CALENDAR},
        {"31.06.2025", TE_DATE_NONE, TE_DATE_CALENDAR},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        te_date date = 4711;
        te_date_fault fault = parse(&date, cases[i].text, cases[i].order);
        if (fault != cases[i].fault)
            fail_msg("%s: fault %d, not %d", cases[i].text, (int)fault, (int)cases[i].fault);
        assert_int_equal(date, 4711);
    }
}

static void the_order_is_obeyed(void **state)
{
    (void)state;
    te_date dmy = 0, mdy = 0, iso = 0;
    assert_int_equal(parse(&dmy, "07/03/2026", TE_DATE_DMY), TE_DATE_GOOD);
    assert_int_equal(parse(&mdy, "07/03/2026", TE_DATE_MDY), TE_DATE_GOOD);
    assert_int_equal(parse(&iso, "2026/03/07", TE_DATE_MDY), TE_DATE_GOOD);
    assert_int_equal(dmy, iso);
    assert_int_equal(mdy - dmy, 118); /* 7 March to 3 July */
}

static void no_date_is_written_empty(void **state)
{
    (void)state;
    char out[11] = "x";
    te_date_format(out, TE_NO_DATE);
    assert_string_equal(out, "");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(known_days_have_their_number),
        cmocka_unit_test(each_day_follows_the_one_before),
        cmocka_unit_test(other_texts_have_their_fault),
        cmocka_unit_test(the_order_is_obeyed),
        cmocka_unit_test(no_date_is_written_empty),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
