/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Dates: what is read is a day of the calendar and comes back from what is written. The first byte picks
 * the order of day and month. */
#include "fuzz.h"

#include <string.h>

#include "topend/number.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    static const te_date_order orders[] = {TE_DATE_NONE, TE_DATE_DMY, TE_DATE_MDY};
    char written[11];
    te_date date;
    te_date again;
    if (size == 0) {
        return 0;
    }
    const te_slice text = {(const char *)data + 1, size - 1};
    if (te_date_parse(&date, text, orders[data[0] % 3]) != TE_DATE_GOOD) {
        return 0;
    }
    te_date_format(written, date);
    MUST(strlen(written) == 10);
    long year = strtol(written, NULL, 10);
    long month = strtol(written + 5, NULL, 10);
    long day = strtol(written + 8, NULL, 10);
    MUST(year >= 1900 && year <= 2199 && month >= 1 && month <= 12 && day >= 1 && day <= 31);
    MUST(te_date_parse(&again, (te_slice){written, 10}, TE_DATE_NONE) == TE_DATE_GOOD);
    MUST(again == date);
    MUST(size >= 9); /* a digit or two each, two marks, and a year of four */
    return 0;
}
