/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One copy of each setup of a shop's readings: a fleet has millions of readings and some hundred setups. */
#ifndef TOPEND_RECORD_SETUPS_H
#define TOPEND_RECORD_SETUPS_H

#include "topend/shop.h"
#include "vector.h"

/* A setup as it is held; te_reading.setup points to its first member. */
struct held_setup {
    te_setup setup;
    uint64_t hash;
    unsigned traits;       /* of its feature */
    uint32_t feature_rank; /* by feature and item, as te_setups_rank left it */
    uint32_t place_rank;   /* by position, direction and instrument, likewise */
    bool snaps;            /* its place is not that of every setup alike (groups.c) */
};

struct setups {
    VECTOR(struct held_setup *) blocks; /* setups do not move once they are made */
    size_t count;
    struct held_setup **slots; /* open addressing, a power of two */
    size_t slot_count;
};

/* The copy of a setup, made when new; NULL when out of memory. */
const te_setup *te_setups_intern(struct setups *setups, const te_setup *setup);

/* The n-th setup that was made. */
struct held_setup *te_setups_at(const struct setups *setups, size_t n);

static inline const struct held_setup *te_setup_held(const te_setup *setup)
{
    return (const struct held_setup *)setup;
}

void te_setups_free(struct setups *setups);

#endif
