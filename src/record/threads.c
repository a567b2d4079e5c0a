/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "threads.h"

#include <pthread.h>
#include <stdbool.h>

void te_threads_run(void *(*work)(void *item), void *items, size_t size, unsigned count)
{
    pthread_t threads[TE_THREADS_MOST];
    bool started[TE_THREADS_MOST] = {false};
    for (unsigned i = 1; i < count; i++) {
        started[i] = pthread_create(&threads[i], NULL, work, (char *)items + i * size) == 0;
    }
    for (unsigned i = 0; i < count; i++) {
        if (!started[i]) {
            (void)work((char *)items + i * size);
        }
    }
    for (unsigned i = 1; i < count; i++) {
        if (started[i]) {
            (void)pthread_join(threads[i], NULL);
        }
    }
}
