/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Work on many engines or inspections by several threads: what it says and writes comes out in order, the same
 * bytes however many there are. */
#ifndef TOPEND_CLI_CREW_H
#define TOPEND_CLI_CREW_H

#include "cli.h"

struct crew {
    size_t count;     /* items, in the order in which they come out */
    const char *what; /* what they are, for a terminal: "engines" */
    void *shared;     /* what all may read, and write for their items alone */

    /* What a thread works with: so many bytes, at first 0, and what frees what they hold in the end. */
    size_t worker_size;
    void (*clear)(void *worker);

    /* Does one item. Writes to `s`: its buffer, its extra, its counts; says by session_say. False after a
     * message: all ends with it. */
    bool (*work)(struct session *s, void *shared, void *worker, size_t item);
};

/* How many threads may work: what --threads says, else one a processor. */
unsigned crew_threads(const struct options *options);

/* Does all items. What they write goes to standard output by way of the session's buffer, in order, as it comes;
 * what they leave in `extra` is added to the session's. False after a message. */
bool crew_run(struct session *session, const struct crew *crew);

#endif
