/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <stdbool.h>

#include "topend/number.h"

enum { FIRST_YEAR = 1900, LAST_YEAR = 2199 };
enum { EPOCH = 719468 }; /* the day_number of 1970-01-01, counted from 1 March of year 0 */

/* Three groups of digits with one separator between them. */
struct date_parts {
    int value[3];
    size_t digits[3];
    char separator;
};

static bool split_date(struct date_parts *parts, te_slice text)
{
    size_t group = 0;
    *parts = (struct date_parts){0};
    for (size_t i = 0; i < text.length; i++) {
        char c = text.bytes[i];
        if (c >= '0' && c <= '9') {
            parts->digits[group]++;
            if (parts->digits[group] > 4) {
                return false;
            }
            parts->value[group] = parts->value[group] * 10 + (c - '0');
        } else if (group < 2 && (c == '-' || c == '/' || c == '.') &&
                   (parts->separator == 0 || parts->separator == c)) {
            parts->separator = c;
            group++;
        } else {
            return false;
        }
    }
    return group == 2;
}

static bool is_leap(int year)
{
    return (year % 4 == 0 && year % 100 != 0) || year % 400 == 0;
}

static int days_in_month(int year, int month)
{
    static const int days[] = {31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
    return days[month - 1] + (month == 2 && is_leap(year));
}

/* Day number of a date, by counting from 1 March of year 0 so that the leap day is the last of its
 * year: L. M. Meeus, Astronomical Algorithms, ch. 7, in integer form. */
static te_date day_number(int year, int month, int day)
{
    int y = month <= 2 ? year - 1 : year;
    int m = month <= 2 ? month + 9 : month - 3;
    int days = 365 * y + y / 4 - y / 100 + y / 400 + (153 * m + 2) / 5 + day - 1;
    return days - EPOCH;
}

static te_date_fault make_date(te_date *date, int year, int month, int day)
{
    bool possible = year >= FIRST_YEAR && year <= LAST_YEAR && month >= 1 && month <= 12;
    if (!possible || day < 1 || day > days_in_month(year, month)) {
        return TE_DATE_CALENDAR;
    }
    *date = day_number(year, month, day);
    return TE_DATE_GOOD;
}

te_date_fault te_date_parse(te_date *date, te_slice text, te_date_order order)
{
    struct date_parts p;
    if (!split_date(&p, text)) {
        return TE_DATE_FORM;
    }
    bool year_first = p.digits[0] == 4 && p.digits[1] == 2 && p.digits[2] == 2;
    bool year_last = p.digits[2] == 4 && p.digits[0] >= 1 && p.digits[0] <= 2 && p.digits[1] >= 1 &&
                     p.digits[1] <= 2;
    if (year_first && p.separator != '.') {
        return make_date(date, p.value[0], p.value[1], p.value[2]);
    }
    if (year_last && p.separator == '.') {
        return make_date(date, p.value[2], p.value[1], p.value[0]);
    }
    if (!year_last || p.separator != '/') {
        return TE_DATE_FORM;
    }
    if (order == TE_DATE_NONE) {
        return TE_DATE_ORDER;
    }
    int month = order == TE_DATE_MDY ? p.value[0] : p.value[1];
    int day = order == TE_DATE_MDY ? p.value[1] : p.value[0];
    te_date_fault fault = make_date(date, p.value[2], month, day);
    return fault == TE_DATE_CALENDAR && month > 12 ? TE_DATE_ORDER_DMY_MDY : fault;
}

/* Writes a number that has so many digits, with zeros in front. */
static void put_digits(char *out, int count, int value)
{
    for (int i = count - 1; i >= 0; i--) {
        out[i] = (char)('0' + value % 10);
        value /= 10;
    }
}

void te_date_format(char out[11], te_date date)
{
    out[0] = '\0';
    if (date == TE_NO_DATE) {
        return;
    }
    /* day_number backwards, in years that begin with March: a century has 36524.25 days, a year of it
     * 365.25, and a month 153 / 5, counted from the first. */
    int days = date + EPOCH;
    int century = (4 * days + 3) / 146097;
    int of_century = days - 146097 * century / 4;
    int year = (4 * of_century + 3) / 1461;
    int of_year = of_century - 1461 * year / 4;
    int month = (5 * of_year + 2) / 153;
    int day = of_year - (153 * month + 2) / 5 + 1;
    put_digits(out, 4, 100 * century + year + (month >= 10));
    put_digits(out + 5, 2, month < 10 ? month + 3 : month - 9);
    put_digits(out + 8, 2, day);
    out[4] = out[7] = '-';
    out[10] = '\0';
}
