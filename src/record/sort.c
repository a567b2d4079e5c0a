/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "sort.h"

#include <stdlib.h>

enum { FEW = 100 /* numbers, for which qsort's calls take longer than insertion */ };

static int by_number(const void *left, const void *right)
{
    const double *a = left;
    const double *b = right;
    return (*a > *b) - (*a < *b);
}

void te_sort_numbers(double *numbers, size_t count)
{
    if (count > FEW) {
        qsort(numbers, count, sizeof *numbers, by_number);
        return;
    }
    for (size_t i = 1; i < count; i++) {
        double number = numbers[i];
        size_t at = i;
        for (; at > 0 && numbers[at - 1] > number; at--) {
            numbers[at] = numbers[at - 1];
        }
        numbers[at] = number;
    }
}
