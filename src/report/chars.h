/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Terminated texts one behind the other, named by where they begin; the one at 0 is empty. */
#ifndef TOPEND_REPORT_CHARS_H
#define TOPEND_REPORT_CHARS_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/* Appends a text, made safe to show, and returns where it begins; 0 for an empty one, and when
 * memory runs out, which sets `failed`. */
uint32_t te_chars_add(char **chars, size_t *count, size_t *capacity, bool *failed,
                      const char *text);

#endif
