/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "topend/number.h"

#include <math.h>
#include <stdbool.h>
#include <stdio.h>
#include <string.h>

/* Powers of ten that a double holds exactly. */
static const double exact_power[] = {1e0,  1e1,  1e2,  1e3,  1e4,  1e5,  1e6,  1e7,
                                     1e8,  1e9,  1e10, 1e11, 1e12, 1e13, 1e14, 1e15,
                                     1e16, 1e17, 1e18, 1e19, 1e20, 1e21, 1e22};
enum {
    LARGEST_POWER = 22,
    MOST_DIGITS = 15,   /* every 15-digit integer is below 2^53 */
    EXPONENT_CAP = 9999 /* beyond any range; keeps the sum from overflowing */
};

static bool is_digit(char c)
{
    return c >= '0' && c <= '9';
}

/* Length of a sign at the start; `minus` tells which. */
static size_t skip_sign(bool *minus, te_slice text)
{
    static const char minus_sign[] = "\xe2\x88\x92"; /* U+2212 */
    *minus = false;
    if (text.length >= 3 && memcmp(text.bytes, minus_sign, 3) == 0) {
        *minus = true;
        return 3;
    }
    if (text.length >= 1 && (text.bytes[0] == '-' || text.bytes[0] == '+')) {
        *minus = text.bytes[0] == '-';
        return 1;
    }
    return 0;
}

/* Says why a text is not a number: what stands at `at` is no digit, no mark and no exponent. */
static te_number_fault name_fault(te_slice text, size_t at, bool marked)
{
    static const char *const spacers[] = {" ", "'", "\xc2\xa0", "\xe2\x80\xaf", "\xe2\x80\x99"};
    char c = text.bytes[at];
    if ((c == '.' || c == ',') && marked) {
        return TE_NUMBER_TWO_MARKS;
    }
    for (size_t i = 0; i < sizeof spacers / sizeof *spacers; i++) {
        size_t length = strlen(spacers[i]);
        bool digit_after = at + length < text.length && is_digit(text.bytes[at + length]);
        if (digit_after && memcmp(text.bytes + at, spacers[i], length) == 0) {
            return TE_NUMBER_GROUPED;
        }
    }
    return TE_NUMBER_NOT_A_NUMBER;
}

/* The digits of a number while they are read. */
struct digits {
    uint64_t integer;     /* all digits as one integer, as long as they fit */
    unsigned significant; /* digits from the first that is not 0 */
    unsigned decimals;
    bool any; /* also zeros in front */
    char mark;
};

static size_t read_digits(struct digits *d, te_slice text, size_t at)
{
    for (; at < text.length; at++) {
        char c = text.bytes[at];
        if (is_digit(c)) {
            d->any = true;
            d->decimals += d->mark != 0;
            if (d->significant > 0 || c != '0') {
                d->significant++;
                d->integer = d->significant <= MOST_DIGITS ? d->integer * 10 + (uint64_t)(c - '0')
                                                           : d->integer;
            }
        } else if ((c == '.' || c == ',') && d->mark == 0) {
            d->mark = c;
        } else {
            break;
        }
    }
    return at;
}

/* Reads an exponent at `at`; returns the end, or `at` when there is none. */
static size_t read_exponent(int *exponent, te_slice text, size_t at)
{
    size_t end = at + 1;
    bool minus = false;
    int value = 0;
    if (at >= text.length || (text.bytes[at] != 'e' && text.bytes[at] != 'E')) {
        return at;
    }
    end += skip_sign(&minus, (te_slice){text.bytes + end, text.length - end});
    size_t first = end;
    for (; end < text.length && is_digit(text.bytes[end]); end++) {
        value = value < EXPONENT_CAP ? value * 10 + (text.bytes[end] - '0') : value;
    }
    if (end == first) {
        return at;
    }
    *exponent = minus ? -value : value;
    return end;
}

/* integer * 10^power with one rounding; false when the power is out of reach. */
static bool scale_exactly(double *value, uint64_t integer, int power)
{
    while (integer != 0 && integer % 10 == 0 && power < 0) {
        integer /= 10;
        power++;
    }
    if (integer == 0) {
        *value = 0.0;
        return true;
    }
    if (power > LARGEST_POWER || power < -LARGEST_POWER) {
        return false;
    }
    *value = power >= 0 ? (double)integer * exact_power[power]
                        : (double)integer / exact_power[-power];
    return *value <= 1e22;
}

static te_number_fault parse_any(te_number *number, te_slice text)
{
    struct digits d = {0};
    bool minus = false;
    int exponent = 0;
    double value = 0.0;
    if (text.length == 0) {
        return TE_NUMBER_EMPTY;
    }
    size_t start = skip_sign(&minus, text);
    size_t at = read_digits(&d, text, start);
    if (!d.any) {
        return TE_NUMBER_NOT_A_NUMBER;
    }
    size_t mantissa_end = at;
    at = read_exponent(&exponent, text, at);
    if (at < text.length) {
        return name_fault(text, at, d.mark != 0);
    }
    if (d.mark != 0 && d.decimals == 0) {
        return TE_NUMBER_MARK_AT_END;
    }
    if (text.bytes[start] == '0' && start + 1 < mantissa_end && is_digit(text.bytes[start + 1])) {
        return TE_NUMBER_LEADING_ZERO;
    }
    if (at > mantissa_end && (exponent == 0 || d.significant == 0)) {
        return TE_NUMBER_EXPONENT;
    }
    if (d.significant > MOST_DIGITS) {
        return TE_NUMBER_TOO_LONG;
    }
    int power = exponent - (d.decimals > EXPONENT_CAP ? EXPONENT_CAP : (int)d.decimals);
    if (!scale_exactly(&value, d.integer, power)) {
        return TE_NUMBER_RANGE;
    }
    number->value = minus && value != 0.0 ? -value : value;
    number->mark = d.mark;
    number->decimals = d.decimals;
    number->exponent = exponent;
    return TE_NUMBER_GOOD;
}

/* Reads digits, a point and digits, which nearly every reading is; false: see for yourself. Both numbers of the
 * division are exact, so that it rounds once, as scale_exactly does. */
static bool parse_plain(te_number *number, te_slice text)
{
    uint64_t integer = 0;
    size_t at = 0;
    if (text.length > MOST_DIGITS) {
        return false;
    }
    for (; at < text.length && is_digit(text.bytes[at]); at++) {
        integer = integer * 10 + (uint64_t)(text.bytes[at] - '0');
    }
    size_t whole = at;
    bool marked = whole > 0 && at + 1 < text.length && text.bytes[at] == '.';
    if (!marked || (whole > 1 && text.bytes[0] == '0')) {
        return false;
    }
    for (at++; at < text.length && is_digit(text.bytes[at]); at++) {
        integer = integer * 10 + (uint64_t)(text.bytes[at] - '0');
    }
    unsigned decimals = (unsigned)(text.length - whole - 1);
    *number = (te_number){
        .value = (double)integer / exact_power[decimals], .mark = '.', .decimals = decimals};
    return at == text.length;
}

te_number_fault te_number_parse(te_number *number, te_slice text)
{
    te_number plain;
    if (parse_plain(&plain, text)) {
        *number = plain;
        return TE_NUMBER_GOOD;
    }
    return parse_any(number, text);
}
/* Digits and decimal exponent of a value, by printf's %e; the mark, which the locale chooses, is
 * passed over. */
static int split_value(char *figures, double value, int digits)
{
    char text[64];
    size_t kept = 0;
    (void)snprintf(text, sizeof text, "%.*e", digits - 1, fabs(value));
    const char *exponent = strchr(text, 'e');
    for (const char *c = text; c < exponent; c++) {
        if (is_digit(*c)) {
            figures[kept++] = *c;
        }
    }
    figures[kept] = '\0';
    int power = 0;
    for (const char *c = exponent + 2; *c != '\0'; c++) {
        power = power * 10 + (*c - '0');
    }
    return exponent[1] == '-' ? -power : power;
}

static size_t put_exponent(char *out, size_t length, int power)
{
    int written = snprintf(out + length, TE_NUMBER_SIZE - length, "e%c%02d", power < 0 ? '-' : '+',
                           power < 0 ? -power : power);
    return length + (size_t)written;
}

/* Writes figures with the mark after `whole` of them (0 or less: leading zeros). */
static size_t put_figures(char *out, size_t length, const char *figures, int whole)
{
    int count = (int)strlen(figures);
    if (whole <= 0) {
        out[length++] = '0';
        out[length++] = '.';
        for (int i = whole; i < 0; i++) {
            out[length++] = '0';
        }
    }
    for (int i = 0; i < count; i++) {
        if (i == whole && whole > 0) {
            out[length++] = '.';
        }
        out[length++] = figures[i];
    }
    for (int i = count; i < whole; i++) {
        out[length++] = '0';
    }
    out[length] = '\0';
    return length;
}

/* What no caller should ask for, told rather than made up. */
static size_t put_not_finite(char *out, double value)
{
    const char *word = isnan(value) ? "nan" : value < 0.0 ? "-inf" : "inf";
    size_t length = strlen(word);
    memcpy(out, word, length + 1);
    return length;
}

size_t te_number_format(char out[TE_NUMBER_SIZE], double value, int digits)
{
    if (!isfinite(value)) {
        return put_not_finite(out, value);
    }
    char figures[32] = "";
    size_t length = 0;
    if (value == 0.0) {
        out[0] = '0';
        out[1] = '\0';
        return 1;
    }
    int power = split_value(figures, value, digits);
    for (size_t last = strlen(figures); last > 1 && figures[last - 1] == '0'; last--) {
        figures[last - 1] = '\0';
    }
    if (value < 0.0) {
        out[length++] = '-';
    }
    if (power < -5 || power >= digits) {
        length = put_figures(out, length, figures, 1);
        return put_exponent(out, length, power);
    }
    return put_figures(out, length, figures, power + 1);
}

/* Digits of a magnitude with decimals, as printf rounds it; false when that is not certain. printf
 * works the digits out in full, which takes a third of the time of a whole report. Here the magnitude
 * is scaled to a whole number: below 1e9 the product is off by less than 1e-7, so that it is certain
 * unless it stands within a millionth of a half. */
static bool fixed_quickly(char text[TE_FIXED_SIZE], double magnitude, int decimals)
{
    static const double scales[] = {1.0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6};
    enum { DECIMALS_MOST = sizeof scales / sizeof *scales - 1, DIGITS_MOST = 10 };
    const double most = 1e9;
    const double doubt = 1e-6;
    if ((unsigned)decimals > DECIMALS_MOST || !(magnitude * scales[decimals] < most)) {
        return false;
    }
    double scaled = magnitude * scales[decimals];
    double whole = floor(scaled);
    if (fabs(scaled - whole - 0.5) < doubt) {
        return false;
    }
    uint32_t rest = (uint32_t)(scaled - whole > 0.5 ? whole + 1.0 : whole);
    char digits[DIGITS_MOST + 2];
    int count = 0;
    while (rest > 0 || count <= decimals) {
        digits[count++] = (char)('0' + rest % 10);
        rest /= 10;
    }
    size_t length = 0;
    while (count > 0) {
        text[length++] = digits[--count];
        if (count == decimals && decimals > 0) {
            text[length++] = '.';
        }
    }
    text[length] = '\0';
    return true;
}

size_t te_number_fixed(char out[TE_FIXED_SIZE], double value, int decimals)
{
    if (!isfinite(value)) {
        return put_not_finite(out, value);
    }
    char text[TE_FIXED_SIZE];
    size_t length = 0;
    bool all_zero = true;
    if (!fixed_quickly(text, fabs(value), decimals)) {
        (void)snprintf(text, sizeof text, "%.*f", decimals, fabs(value));
    }
    for (const char *c = text; *c != '\0'; c++) {
        all_zero = all_zero && (*c == '0' || !is_digit(*c));
    }
    if (value < 0.0 && !all_zero) {
        out[length++] = '-';
    }
    bool mark_done = false;
    for (const char *c = text; *c != '\0'; c++) {
        if (is_digit(*c)) {
            out[length++] = *c;
        } else if (!mark_done) {
            out[length++] = '.';
            mark_done = true;
        }
    }
    out[length] = '\0';
    return length;
}

int te_number_order(double a, double b)
{
    if (isnan(a) || isnan(b)) {
        return (isnan(a) != 0) - (isnan(b) != 0);
    }
    return (a > b) - (a < b);
}
