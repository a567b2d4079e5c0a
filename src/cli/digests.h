/* SPDX-License-Identifier: GPL-3.0-or-later */
/* SHA-256 digests of the files of a shop, taken while they are read. */
#ifndef TOPEND_CLI_DIGESTS_H
#define TOPEND_CLI_DIGESTS_H

#include "topend/report.h"

struct one;

/* Start with all zero. */
struct digests {
    struct one *items;
    size_t count, capacity;
    bool failed;
};

/* A te_watch's `seen`; the context is a struct digests. */
void digests_see(void *context, const char *name, const char *bytes, size_t length);

/* The digests of what was seen, to be freed by the caller with free(); the names are the digests'.
 * False when memory was out. */
bool digests_finish(te_digest **list, struct digests *digests);

void digests_free(struct digests *digests);

#endif
