/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the fuzz targets share. Each is a function that is fed with any bytes: by libFuzzer (tests/fuzz/run),
 * or by replay.c with the files of tests/fuzz/corpus. */
#ifndef TE_FUZZ_H
#define TE_FUZZ_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>

/* The name is libFuzzer's. */
int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

/* What must hold whatever is fed; both libFuzzer and the replay take an abort for a find. */
#define MUST(condition)                                                                          \
    do {                                                                                         \
        if (!(condition)) {                                                                      \
            (void)fprintf(stderr, "%s:%d: does not hold: %s\n", __FILE__, __LINE__, #condition); \
            abort();                                                                             \
        }                                                                                        \
    } while (0)

#endif
