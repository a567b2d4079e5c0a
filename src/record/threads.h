/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef TOPEND_RECORD_THREADS_H
#define TOPEND_RECORD_THREADS_H

#include <stddef.h>

enum { TE_THREADS_MOST = 16 };

/* Does `work` for each of `count` items of `size` bytes, TE_THREADS_MOST at most, and waits for all: the first on
 * this thread, each other on one of its own, or on this one too where none can be started. */
void te_threads_run(void *(*work)(void *item), void *items, size_t size, unsigned count);

#endif
