/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Hashes of texts, and of records of numbers. */
#ifndef TOPEND_RECORD_HASH_H
#define TOPEND_RECORD_HASH_H

#include <math.h>
#include <stdint.h>
#include <string.h>

#include "topend/text.h"

/* FNV-1a, 64 bits (G. Fowler, L. C. Noll, K.-P. Vo; IETF draft-eastlake-fnv): a text behind what was hashed, at
 * first TE_HASH_START. */
#define TE_HASH_START 0xcbf29ce484222325U

static inline uint64_t te_hash_text(uint64_t hash, te_slice text)
{
    for (size_t i = 0; i < text.length; i++) {
        hash = (hash ^ (unsigned char)text.bytes[i]) * 0x100000001b3U;
    }
    return hash;
}

static inline uint64_t te_hash_mix(uint64_t hash, uint64_t value)
{
    /* splitmix64's finaliser (S. Vigna; public domain reference code) */
    hash ^= value + 0x9e3779b97f4a7c15U;
    hash = (hash ^ hash >> 30) * 0xbf58476d1ce4e5b9U;
    hash = (hash ^ hash >> 27) * 0x94d049bb133111ebU;
    return hash ^ hash >> 31;
}

/* The slots of a table with open addressing for so many, as a power of two: at least two each. */
static inline unsigned te_hash_slot_bits(size_t count)
{
    unsigned bits = 4;
    while (((size_t)1 << bits) < 2 * count) {
        bits++;
    }
    return bits;
}

/* The bits of a number, one pattern for each value. */
static inline uint64_t te_hash_bits(double number)
{
    uint64_t bits = 0;
    double value = number + 0.0; /* no minus zero */
    memcpy(&bits, &value, sizeof bits);
    return isnan(number) ? UINT64_MAX : bits; /* all NANs alike; no number has these bits */
}

#endif
