/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef TOPEND_RECORD_SORT_H
#define TOPEND_RECORD_SORT_H

#include <stddef.h>

/* Sorts numbers, none of them NAN, upwards. */
void te_sort_numbers(double *numbers, size_t count);

#endif
