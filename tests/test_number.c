/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Decimal numbers: the grammar, exact values, and writing them, in any locale. */
#include "te_test.h"

#include <float.h>
#include <locale.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "topend/number.h"

static te_number_fault parse(te_number *number, const char *text)
{
    return te_number_parse(number, (te_slice){text, strlen(text)});
}

static void good_numbers_have_their_value(void **state)
{
    (void)state;
    static const struct {
        const char *text;
        double value;
        char mark;
        unsigned decimals;
        int exponent;
    } cases[] = {
        {"66", 66.0, 0, 0, 0},
        {"66.412", 66.412, '.', 3, 0},
        {"66,412", 66.412, ',', 3, 0},
        {"+0.0173", 0.0173, '.', 4, 0},
        {"-0.0173", -0.0173, '.', 4, 0},
        {"\xe2\x88\x92"
         "2.385",
         -2.385, '.', 3, 0},
        {".25", 0.25, '.', 2, 0},
        {",25", 0.25, ',', 2, 0},
        {"0", 0.0, 0, 0, 0},
        {"0.000", 0.0, '.', 3, 0},
        {"0.006", 0.006, '.', 3, 0},
        {"11.5e-6", 11.5e-6, '.', 1, -6},
        {"2,10E\xe2\x88\x92"
         "03",
         2.10e-3, ',', 2, -3},
        {"5.4E+01", 54.0, '.', 1, 1},
        {"1e22", 1e22, 0, 0, 22},
        {"1e-22", 1e-22, 0, 0, -22},
        {"123456789012345", 123456789012345.0, 0, 0, 0},
        {"0.000123456789012345", 0.000123456789012345, '.', 18, 0},
        {"999999999999999e7", 999999999999999e7, 0, 0, 7},
        {"66.4120000000000", 66.412, '.', 13, 0},
        {"0.00000000000000000000010", 1e-22, '.', 23,
         0}, /* its zero at the end takes none of the 22 */
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        te_number number = {0};
        assert_int_equal(parse(&number, cases[i].text), TE_NUMBER_GOOD);
        assert_near(number.value, cases[i].value, 0);
        assert_int_equal(number.mark, cases[i].mark);
        assert_int_equal(number.decimals, cases[i].decimals);
        assert_int_equal(number.exponent, cases[i].exponent);
    }
}

static void zero_has_no_sign(void **state)
{
    (void)state;
    te_number number = {.value = 1};
    assert_int_equal(parse(&number, "-0.00"), TE_NUMBER_GOOD);
    assert_true(number.value == 0.0 && !signbit(number.value));
}

static void bad_numbers_have_their_fault(void **state)
{
    (void)state;
    static const struct {
        const char *text;
        te_number_fault fault;
    } cases[] = {
        {"", TE_NUMBER_EMPTY},
        {"-", TE_NUMBER_NOT_A_NUMBER},
        {".", TE_NUMBER_NOT_A_NUMBER},
        {"abc", TE_NUMBER_NOT_A_NUMBER},
        {"nan", TE_NUMBER_NOT_A_NUMBER},
        {"NaN", TE_NUMBER_NOT_A_NUMBER},
        {"inf", TE_NUMBER_NOT_A_NUMBER},
        {"-Infinity", TE_NUMBER_NOT_A_NUMBER},
        {"0x1A", TE_NUMBER_NOT_A_NUMBER},
        {"0x1.8p3", TE_NUMBER_NOT_A_NUMBER},
        {"66.412 mm", TE_NUMBER_NOT_A_NUMBER},
        {"66.412mm", TE_NUMBER_NOT_A_NUMBER},
        {"2026-04-18", TE_NUMBER_NOT_A_NUMBER},
        {"1/2", TE_NUMBER_NOT_A_NUMBER},
        {"2 1/8", TE_NUMBER_GROUPED},
        {"#DIV/0!", TE_NUMBER_NOT_A_NUMBER},
        {"5e", TE_NUMBER_NOT_A_NUMBER},
        {"5e+", TE_NUMBER_NOT_A_NUMBER},
        {"e5", TE_NUMBER_NOT_A_NUMBER},
        {"5e3.5", TE_NUMBER_NOT_A_NUMBER},
        {"--5", TE_NUMBER_NOT_A_NUMBER},
        {"+-5", TE_NUMBER_NOT_A_NUMBER},
        {"- 5", TE_NUMBER_NOT_A_NUMBER},
        {"5-", TE_NUMBER_NOT_A_NUMBER},
        {"(5)", TE_NUMBER_NOT_A_NUMBER},
        {"5%", TE_NUMBER_NOT_A_NUMBER},
        {"\xd9\xa5", TE_NUMBER_NOT_A_NUMBER}, /* a digit of another script */
        {"66.4.12", TE_NUMBER_TWO_MARKS},
        {"66,4,12", TE_NUMBER_TWO_MARKS},
        {"1.234,5", TE_NUMBER_TWO_MARKS},
        {"1,234.5", TE_NUMBER_TWO_MARKS},
        {"66..4", TE_NUMBER_TWO_MARKS},
        {"1 234", TE_NUMBER_GROUPED},
        {"1'234.5", TE_NUMBER_GROUPED},
        {"1\xc2\xa0"
         "234",
         TE_NUMBER_GROUPED},
        {"1\xe2\x80\xaf"
         "234,5",
         TE_NUMBER_GROUPED},
        {"1\xe2\x80\x99"
         "234",
         TE_NUMBER_GROUPED},
        {"006", TE_NUMBER_LEADING_ZERO},
        {"-06.5", TE_NUMBER_LEADING_ZERO},
        {"00", TE_NUMBER_LEADING_ZERO},
        {"00.5", TE_NUMBER_LEADING_ZERO},
        {"1234567890123456", TE_NUMBER_TOO_LONG},
        {"0.1234567890123456", TE_NUMBER_TOO_LONG},
        {"66.41200000000000", TE_NUMBER_TOO_LONG},
        {"1e400", TE_NUMBER_RANGE},
        {"1e-400", TE_NUMBER_RANGE},
        {"1.1e22", TE_NUMBER_RANGE},
        {"9e-23", TE_NUMBER_RANGE},
        {"0.000000000000000000000101", TE_NUMBER_RANGE},
        {"1e23", TE_NUMBER_RANGE},
        {"1e99999999999999999999", TE_NUMBER_RANGE},
        {"66.", TE_NUMBER_MARK_AT_END},
        {"66,", TE_NUMBER_MARK_AT_END},
        {"0e400", TE_NUMBER_EXPONENT},
        {"65.8E0", TE_NUMBER_EXPONENT},
        {"1e-00", TE_NUMBER_EXPONENT},
        {"0,0E5", TE_NUMBER_EXPONENT},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        te_number number = {77.125, 'q', 42, 7};
        te_number_fault fault = parse(&number, cases[i].text);
        if (fault != cases[i].fault)
            fail_msg("%s: fault %d, not %d", cases[i].text, (int)fault, (int)cases[i].fault);
        assert_near(number.value, 77.125, 0);
        assert_int_equal(number.mark, 'q');
    }
}

static void a_number_does_not_read_past_its_end(void **state)
{
    (void)state;
    te_number number = {0};
    static const char text[] = "12\xe2\x88";
    assert_int_equal(te_number_parse(&number, (te_slice){"66.4127", 5}), TE_NUMBER_GOOD);
    assert_near(number.value, 66.41, 0);
    assert_int_equal(te_number_parse(&number, (te_slice){"1e5", 2}), TE_NUMBER_NOT_A_NUMBER);
    assert_int_equal(te_number_parse(&number, (te_slice){text, 4}), TE_NUMBER_NOT_A_NUMBER);
    /* from bytes with nothing behind them */
    static const char *const ends[] = {"1 ",  "1'", "1\xc2\xa0", "1\xe2\x80\xaf", "1e",
                                       "1e-", "-",  "1.",        "\xe2\x88\x92"};
    for (size_t i = 0; i < sizeof ends / sizeof *ends; i++) {
        size_t length = strlen(ends[i]);
        char *bytes = malloc(length);
        assert_non_null(bytes);
        memcpy(bytes, ends[i],
               length); /* NOLINT(bugprone-not-null-terminated-result): on purpose */
        assert_int_equal(te_number_parse(&number, (te_slice){bytes, length}),
                         strcmp(ends[i], "1.") == 0 ? TE_NUMBER_MARK_AT_END
                                                    : TE_NUMBER_NOT_A_NUMBER);
        free(bytes);
    }
    char *long_zeros = malloc(1 << 16);
    assert_non_null(long_zeros);
    memset(long_zeros, '0', 1 << 16);
    assert_int_equal(te_number_parse(&number, (te_slice){long_zeros, 1 << 16}),
                     TE_NUMBER_LEADING_ZERO);
    long_zeros[1] = '.';
    long_zeros[(1 << 16) - 1] = '7';
    assert_int_equal(te_number_parse(&number, (te_slice){long_zeros, 1 << 16}), TE_NUMBER_RANGE);
    free(long_zeros);
}

/* The value is the nearest double: the C library's strtod rounds correctly too. */
static void values_are_the_nearest_doubles(void **state)
{
    (void)state;
    te_random random = te_random_start(0x0dd5);
    for (size_t i = 0; i < te_test_rounds(300000); i++) {
        char text[64];
        size_t used = 0, digits = 1 + te_random_below(&random, 15);
        size_t point = te_random_below(&random, digits + 1);
        if (te_random_below(&random, 2) == 1)
            text[used++] = '-';
        if (point == 0)
            text[used++] = '0';
        for (size_t j = 0; j < digits; j++) {
            if (j == point)
                text[used++] = '.';
            bool lead = j == 0 && point > 1;
            text[used++] = (char)('0' + (lead ? 1 + te_random_below(&random, 9)
                                              : te_random_below(&random, 10)));
        }
        text[used] = '\0';
        double expected = strtod(text, NULL);
        if (te_random_below(&random, 3) == 0 && expected != 0.0) /* an exponent of 0 is a fault */
            snprintf(text + used, sizeof text - used, "e%s%d",
                     te_random_below(&random, 2) == 1 ? "-" : "",
                     1 + (int)te_random_below(&random, 7));
        te_number number = {0};
        te_number_fault fault = parse(&number, text);
        expected = strtod(text, NULL);
        if (fault != TE_NUMBER_GOOD || number.value != expected)
            fail_msg("%s: fault %d, %.17g, not %.17g", text, (int)fault, number.value, expected);
    }
}

/* What no caller should ask for is told, whole, in both ways of writing. */
static void what_is_not_finite_is_told(void **state)
{
    (void)state;
    static const struct {
        double value;
        const char *word;
    } cases[] = {{NAN, "nan"}, {INFINITY, "inf"}, {-INFINITY, "-inf"}};
    for (size_t i = 0; i < 3; i++) {
        char out[TE_FIXED_SIZE] = "################";
        assert_int_equal(te_number_format(out, cases[i].value, 9), strlen(cases[i].word));
        assert_string_equal(out, cases[i].word);
        assert_int_equal(te_number_fixed(out, cases[i].value, 4), strlen(cases[i].word));
        assert_string_equal(out, cases[i].word);
    }
}

static void formatted_numbers_are_those_of_printf(void **state)
{
    (void)state;
    te_random random = te_random_start(0xf0a7);
    for (size_t i = 0; i < te_test_rounds(100000); i++) {
        char out[TE_NUMBER_SIZE], expected[64];
        int digits = 1 + (int)te_random_below(&random, 17);
        double value = te_random_between(&random, -10, 10) *
                       pow(10, te_random_between(&random, -3, 14));
        if (fabs(value) < 1e-4)
            continue; /* printf writes an exponent from there on, we one place later */
        size_t length = te_number_format(out, value, digits);
        snprintf(expected, sizeof expected, "%.*g", digits, value);
        assert_string_equal(out, expected);
        assert_int_equal(length, strlen(expected));
    }
}

static void seventeen_digits_round_trip(void **state)
{
    (void)state;
    te_random random = te_random_start(0x17);
    for (size_t i = 0; i < te_test_rounds(100000); i++) {
        char out[TE_NUMBER_SIZE];
        uint64_t bits = te_random_bits(&random);
        double value;
        memcpy(&value, &bits, sizeof value);
        if (!isfinite(value))
            continue;
        te_number_format(out, value, 17);
        assert_near(strtod(out, NULL), value, 0);
    }
}

static void small_numbers_are_written_out_to_five_zeros(void **state)
{
    (void)state;
    static const struct {
        double value;
        int digits;
        const char *text;
    } cases[] = {
        {0.0, 9, "0"},
        {-0.0, 9, "0"},
        {66.412, 9, "66.412"},
        {-0.0173, 9, "-0.0173"},
        {2.5e-5, 9, "0.000025"},
        {2.5e-6, 9, "2.5e-06"},
        {1e9, 9, "1e+09"},
        {123456789, 9, "123456789"},
        {999999999.5, 9, "1e+09"},
        {120000, 9, "120000"},
        {0.1, 17, "0.10000000000000001"},
        {9.9999, 2, "10"},
        {DBL_MAX, 17, "1.7976931348623157e+308"},
        {DBL_MIN, 17, "2.2250738585072014e-308"},
        {-5e-324, 1, "-5e-324"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        char out[TE_NUMBER_SIZE];
        assert_int_equal(te_number_format(out, cases[i].value, cases[i].digits),
                         strlen(cases[i].text));
        assert_string_equal(out, cases[i].text);
    }
}

static void fixed_numbers_have_their_decimals(void **state)
{
    (void)state;
    static const struct {
        double value;
        int decimals;
        const char *text;
    } cases[] = {
        {66.4127, 3, "66.413"},
        {-0.0173, 2, "-0.02"},
        {-0.0004, 3, "0.000"},
        {-0.4, 0, "0"},
        {0.0, 2, "0.00"},
        {-0.0, 2, "0.00"},
        {118.4, 0, "118"},
        {-999999999999999.0, 1, "-999999999999999.0"},
        {0.1, 15, "0.100000000000000"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        char out[TE_FIXED_SIZE];
        assert_int_equal(te_number_fixed(out, cases[i].value, cases[i].decimals),
                         strlen(cases[i].text));
        assert_string_equal(out, cases[i].text);
    }
}

/* The build makes two locales for the tests and sets LOCPATH: one that writes a decimal comma, and one whose mark
 * takes two bytes. */
static bool set_comma_locale(void)
{
    char probe[8] = "";
    if (setlocale(LC_ALL, "de_DE.UTF-8") != NULL) {
        snprintf(probe, sizeof probe, "%.1f", 0.5);
    }
    return probe[1] == ',';
}

static void the_locale_changes_nothing(void **state)
{
    (void)state;
    char out[TE_NUMBER_SIZE], fixed[TE_FIXED_SIZE];
    te_number number = {0};
    assert_true(set_comma_locale());
    te_number_format(out, -66.412, 9);
    te_number_fixed(fixed, 66.412, 4);
    te_number_fault fault = parse(&number, "66.412");
    setlocale(LC_ALL, "C");
    assert_string_equal(out, "-66.412");
    assert_string_equal(fixed, "66.4120");
    assert_int_equal(fault, TE_NUMBER_GOOD);
    assert_near(number.value, 66.412, 0);
}

/* Where printf writes the mark in two bytes it is still one mark. */
static void a_mark_of_two_bytes_is_one_mark(void **state)
{
    (void)state;
    char probe[8] = "", out[TE_NUMBER_SIZE], fixed[TE_FIXED_SIZE];
    assert_non_null(setlocale(LC_ALL, "ps_AF.UTF-8"));
    snprintf(probe, sizeof probe, "%.1f", 0.5);
    te_number_format(out, -66.412, 9);
    te_number_fixed(fixed, 12345678901.25, 2); /* past what is written without printf */
    setlocale(LC_ALL, "C");
    assert_int_equal(strlen(probe), 4);
    assert_string_equal(out, "-66.412");
    assert_string_equal(fixed, "12345678901.25");
}

/* What te_number_format promises, by printf: %g, but with five zeros after the mark. */
static void format_by_printf(char out[64], double value, int digits)
{
    char scientific[64];
    (void)snprintf(scientific, sizeof scientific, "%.*e", digits - 1, value);
    long power = strtol(strchr(scientific, 'e') + 1, NULL, 10);
    (void)snprintf(out, 64, "%.*g", digits, value);
    if (power == -5) {
        (void)snprintf(out, 64, "%.*f", digits + 4, value);
        for (size_t last = strlen(out); out[last - 1] == '0'; last--)
            out[last - 1] = '\0';
    }
}

/* A number of one of the kinds that may be rounded wrongly. */
static double number_of_kind(te_random *random, size_t kind, int digits)
{
    uint64_t bits = te_random_bits(random);
    double short_one = (double)te_random_below(random, 10000000);
    int power = (int)te_random_below(random, 44) - 22;
    double value = 0.0;
    switch (kind) {
    case 0: /* any bits, denormals too */ memcpy(&value, &bits, sizeof value); return value;
    case 1: /* as read from a file: 66.0135 */
        return short_one / pow(10.0, (double)te_random_below(random, 8));
    case 2: /* a power of ten and what stands beside it */ value = pow(10.0, power); break;
    case 3: /* a power of two */ value = ldexp(1.0, 4 * power); break;
    case 4: /* in the middle between two of so many digits, exactly where that can be */
        value = (floor(te_random_unit(random) * pow(10.0, digits)) + 0.5) * pow(10.0, power);
        break;
    case 5: /* a tie in binary: whole numbers by a power of two */
        return ldexp((double)(bits >> (12 + te_random_below(random, 50))), power - 10);
    case 6: /* nines that are rounded up to a power of ten */
        value = pow(10.0, power) * (1.0 - pow(10.0, -(double)te_random_below(random, 18)));
        break;
    default: /* what is measured and worked out */
        return te_random_normal(random) * pow(10.0, te_random_between(random, -12.0, 12.0));
    }
    return bits % 3 == 0 ? value : nextafter(value, bits % 3 == 1 ? INFINITY : 0.0);
}

/* Digits worked out without printf are printf's, for every double and every number of digits. */
static void every_digit_is_that_of_printf(void **state)
{
    (void)state;
    te_random random = te_random_start(0xd161f5);
    size_t tried = 0;
    for (size_t i = 0; i < te_test_rounds(400000); i++) {
        int digits = i % 2 == 0 ? 9 : 1 + (int)te_random_below(&random, 17);
        double value = number_of_kind(&random, i / 2 % 8, digits);
        char out[TE_NUMBER_SIZE], wanted[64];
        if (!isfinite(value) || value == 0.0)
            continue;
        tried++;
        size_t length = te_number_format(out, value, digits);
        format_by_printf(wanted, value, digits);
        assert_int_equal(length, strlen(out));
        if (strcmp(out, wanted) != 0)
            fail_msg("%.17g to %d digits: %s, not %s", value, digits, out, wanted);
    }
    assert_true(tried > te_test_rounds(400000) / 10 * 9);
}

/* The quick way must round as printf does, ties and what stands beside them included. */
static void fixed_rounds_as_printf(void **state)
{
    (void)state;
    te_random random = te_random_start(0xf17ed);
    for (size_t i = 0; i < te_test_rounds(300000); i++) {
        int decimals = (int)te_random_below(&random, 9);
        double size = pow(10.0, te_random_between(&random, -8.0, 11.0));
        double value = te_random_between(&random, -1.0, 1.0) * size;
        if (i % 3 == 0) { /* at a half of the last digit, or next to it */
            double step = pow(10.0, -decimals);
            value = (floor(value / step) + 0.5) * step;
            value = i % 2 == 0 ? nextafter(value, i % 4 == 0 ? INFINITY : -INFINITY) : value;
        }
        char out[TE_FIXED_SIZE];
        char wanted[TE_FIXED_SIZE];
        (void)snprintf(wanted, sizeof wanted, "%.*f", decimals, value);
        bool zero = strpbrk(wanted, "123456789") == NULL;
        size_t length = te_number_fixed(out, value, decimals);
        assert_int_equal(length, strlen(out));
        if (strcmp(out, zero && wanted[0] == '-' ? wanted + 1 : wanted) != 0)
            fail_msg("%.17g with %d decimals: %s, not %s", value, decimals, out, wanted);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(good_numbers_have_their_value),
        cmocka_unit_test(zero_has_no_sign),
        cmocka_unit_test(bad_numbers_have_their_fault),
        cmocka_unit_test(a_number_does_not_read_past_its_end),
        cmocka_unit_test(every_digit_is_that_of_printf),
        cmocka_unit_test(fixed_rounds_as_printf),
        cmocka_unit_test(values_are_the_nearest_doubles),
        cmocka_unit_test(what_is_not_finite_is_told),
        cmocka_unit_test(formatted_numbers_are_those_of_printf),
        cmocka_unit_test(seventeen_digits_round_trip),
        cmocka_unit_test(small_numbers_are_written_out_to_five_zeros),
        cmocka_unit_test(fixed_numbers_have_their_decimals),
        cmocka_unit_test(the_locale_changes_nothing),
        cmocka_unit_test(a_mark_of_two_bytes_is_one_mark),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
