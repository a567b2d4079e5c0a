/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <stdbool.h>
#include <stdio.h>

#include "topend/number.h"

enum { FIRST_YEAR = 1900, LAST_YEAR = 2199 };

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
    const int epoch = 719468; /* the same count for 1970-01-01 */
    return days - epoch;
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

void te_date_format(char out[11], te_date date)
{
    out[0] = '\0';
    if (date == TE_NO_DATE) {
        return;
    }
    int year = 1970 + date / 366;
    while (day_number(year + 1, 1, 1) <= date) {
        year++;
    }
    while (day_number(year, 1, 1) > date) {
        year--;
    }
    int month = 1;
    while (month < 12 && day_number(year, month + 1, 1) <= date) {
        month++;
    }
    int day = date - day_number(year, month, 1) + 1;
    unsigned y = (unsigned)year % 10000U;
    (void)snprintf(out, 11, "%04u-%02u-%02u", y, (unsigned)month % 100U, (unsigned)day % 100U);
}
