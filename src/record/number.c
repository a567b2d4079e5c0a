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
    if (at < text.length) {
        return false;
    }
    unsigned decimals = (unsigned)(text.length - whole - 1);
    number->value = (double)integer / exact_power[decimals];
    number->mark = '.';
    number->decimals = decimals;
    number->exponent = 0;
    return true;
}

te_number_fault te_number_parse(te_number *number, te_slice text)
{
    return parse_plain(number, text) ? TE_NUMBER_GOOD : parse_any(number, text);
}

/* magnitude * 10^scale to the nearest whole number, which is certain although the product is rounded:
 * both factors are doubles, and below 2^52 so is the middle between two whole numbers; rounding keeps
 * order, so that a product that stands on one side of the middle stood there before. False for one in
 * the middle, which may have come from either side, and for what is out of reach. */
static bool round_product(uint64_t *whole, double magnitude, int scale)
{
    const double most = 0x1p52;
    const double middle = 0.5;
    if (scale < 0 || scale > LARGEST_POWER || !(magnitude * exact_power[scale] < most)) {
        return false;
    }
    double product = magnitude * exact_power[scale];
    int64_t below = (int64_t)product;
    double rest = product - (double)below;
    *whole = (uint64_t)below + (rest > middle);
    return rest < middle || rest > middle;
}

/* The largest p with 10^p <= 2^b, for b of any double. b * log10(2) is 5e-6 off at most, and but for 0
 * never so near a whole number: the nearest up to b = 2135 is 485 * log10(2) = 146 - 4.5e-4. */
static int power_of_ten_below(int b)
{
    const int log10_of_2 = 30103;
    const int unit = 100000;
    const int lift = 400; /* to be positive: division rounds towards 0 */
    return (b * log10_of_2 + lift * unit) / unit - lift;
}

/* The digits of a magnitude as one whole number, and the power of ten of the first. False where that is
 * not certain, as where 9 digits begin below 1e-14, and where more than asked for stand before the
 * mark. */
static bool split_quickly(uint64_t *figures, int *power, double magnitude, int digits)
{
    enum { FRACTION_BITS = 52, BIAS = 1023 };
    uint64_t bits = 0;
    memcpy(&bits, &magnitude, sizeof bits);
    *power = power_of_ten_below((int)(bits >> FRACTION_BITS) - BIAS);
    /* Once more where a power of ten lies between the power of two and the magnitude, or where the
     * magnitude is rounded up to one. */
    for (; round_product(figures, magnitude, digits - 1 - *power); ++*power) {
        if ((double)*figures < exact_power[digits]) {
            return true;
        }
    }
    return false;
}

/* The same by printf's %e, for any double, which takes ten times as long; the mark, which the locale
 * chooses, is passed over. */
static void split_by_printf(uint64_t *figures, int *power, double magnitude, int digits)
{
    char text[64];
    (void)snprintf(text, sizeof text, "%.*e", digits - 1, magnitude);
    const char *exponent = strchr(text, 'e');
    *figures = 0;
    for (const char *c = text; c < exponent; c++) {
        *figures = is_digit(*c) ? *figures * 10 + (uint64_t)(*c - '0') : *figures;
    }
    *power = 0;
    for (const char *c = exponent + 2; *c != '\0'; c++) {
        *power = *power * 10 + (*c - '0');
    }
    *power = exponent[1] == '-' ? -*power : *power;
}

/* Writes the last `count` digits of a number in front of `end`; returns the number without them. */
static uint64_t put_digits(char *end, uint64_t number, int count)
{
    static const char pairs[] = "00010203040506070809101112131415161718192021222324"
                                "25262728293031323334353637383940414243444546474849"
                                "50515253545556575859606162636465666768697071727374"
                                "75767778798081828384858687888990919293949596979899";
    for (; count >= 2; count -= 2) {
        end -= 2;
        memcpy(end, pairs + number % 100 * 2, 2);
        number /= 100;
    }
    if (count == 1) {
        end[-1] = (char)('0' + number % 10);
        number /= 10;
    }
    return number;
}

/* Writes `count` figures with the mark behind `whole` of them. */
static size_t put_figures(char *out, uint64_t figures, int count, int whole)
{
    size_t length = (size_t)whole;
    if (count > whole) {
        length = (size_t)count + 1;
        figures = put_digits(out + length, figures, count - whole);
        out[whole] = '.';
    }
    (void)put_digits(out + whole, figures, whole);
    out[length] = '\0';
    return length;
}

static size_t put_exponent(char *out, int power)
{
    int size = power < 0 ? -power : power;
    size_t length = 0;
    out[length++] = 'e';
    out[length++] = power < 0 ? '-' : '+';
    if (size >= 100) {
        out[length++] = (char)('0' + size / 100);
    }
    out[length++] = (char)('0' + size / 10 % 10);
    out[length++] = (char)('0' + size % 10);
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
    if (value == 0.0) {
        out[0] = '0';
        out[1] = '\0';
        return 1;
    }
    uint64_t figures = 0;
    int power = 0;
    int count = digits;
    if (!split_quickly(&figures, &power, fabs(value), digits)) {
        split_by_printf(&figures, &power, fabs(value), digits);
    }
    bool exponent = power < -5 || power >= digits;
    int whole = exponent || power < 0 ? 1 : power + 1;
    if (count - 4 >= whole && figures % 10000 == 0) { /* most numbers of files are short */
        figures /= 10000;
        count -= 4;
    }
    for (; count > whole && figures % 10 == 0; count--) {
        figures /= 10;
    }
    int zeros = exponent || power >= 0 ? 0 : -power; /* in front of them */
    size_t length = value < 0.0;
    out[0] = '-';
    length += put_figures(out + length, figures, count + zeros, whole);
    return length + (exponent ? put_exponent(out + length, power) : 0);
}

/* Digits of a magnitude with decimals, by printf; the mark, which the locale chooses, is passed over. */
static size_t fix_by_printf(char out[TE_FIXED_SIZE], double magnitude, int decimals)
{
    char text[TE_FIXED_SIZE];
    size_t length = 0;
    bool mark_done = false;
    (void)snprintf(text, sizeof text, "%.*f", decimals, magnitude);
    for (const char *c = text; *c != '\0'; c++) {
        if (is_digit(*c)) {
            out[length++] = *c;
        } else if (!mark_done) { /* GCOVR_EXCL_BR_LINE: a mark of two bytes */
            out[length++] = '.';
            mark_done = true;
        }
    }
    out[length] = '\0';
    return length;
}

/* The same without printf; 0 where that is not certain. */
static size_t fix_quickly(char out[TE_FIXED_SIZE], double magnitude, int decimals)
{
    uint64_t figures = 0;
    int count = decimals + 1;
    bool many = count > LARGEST_POWER;                           /* which nobody asks for */
    if (many || !round_product(&figures, magnitude, decimals)) { /* GCOVR_EXCL_BR_LINE */
        return 0;
    }
    while ((double)figures >= exact_power[count]) {
        count++;
    }
    return put_figures(out, figures, count, count - decimals);
}

size_t te_number_fixed(char out[TE_FIXED_SIZE], double value, int decimals)
{
    if (!isfinite(value)) {
        return put_not_finite(out, value);
    }
    char text[TE_FIXED_SIZE];
    size_t length = fix_quickly(text, fabs(value), decimals);
    if (length == 0) {
        length = fix_by_printf(text, fabs(value), decimals);
    }
    bool minus = value < 0.0 && strpbrk(text, "123456789") != NULL;
    out[0] = '-';
    memcpy(out + minus, text, length + 1);
    return minus + length;
}

int te_number_order(double a, double b)
{
    if (isnan(a) || isnan(b)) {
        return (isnan(a) != 0) - (isnan(b) != 0);
    }
    return (a > b) - (a < b);
}
