/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "clock.h"

#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "cli.h"

bool clock_take(int64_t *now)
{
    const char *text = getenv("SOURCE_DATE_EPOCH");
    te_number number = {0};
    *now = (int64_t)time(NULL);
    if (text == NULL || text[0] == '\0') {
        return true;
    }
    const double most = 7258118399.0; /* the end of 2199, as far as te_date_format goes */
    bool good = strspn(text, "0123456789") == strlen(text) &&
                te_number_parse(&number, (te_slice){text, strlen(text)}) == TE_NUMBER_GOOD &&
                number.value <= most;
    if (!good) {
        (void)fail("SOURCE_DATE_EPOCH is not a number of seconds");
        return false;
    }
    *now = (int64_t)number.value;
    return true;
}

te_date clock_day(int64_t seconds)
{
    enum { SECONDS_OF_DAY = 86400 };
    return (te_date)(seconds / SECONDS_OF_DAY);
}
