/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The sets of parts of an inspection while they are tried: options.c tries them, choose.c tells which
 * are worth trying and telling. */
#ifndef TOPEND_REBUILD_TRIALS_H
#define TOPEND_REBUILD_TRIALS_H

#include "rebuilding.h"

/* Sets are numbered: of each kind the digit 0 keeps the part, the others are its candidates. */
struct digits {
    size_t radix[KINDS]; /* candidates and 1 */
    size_t stride[KINDS];
    size_t sets;
};

size_t te_digit_of(const struct digits *d, size_t set, int kind);

/* A set and what came of it. */
struct trial {
    bool tried;      /* else it is not possible, or cannot gain anything over a set within it */
    unsigned levers; /* kinds of which another part could better it, bits 1 << te_kind */
    te_option option;
};

/* Kinds of which another part could better a set: of one that may go back those that what is first to
 * meet its limit rests on; of another those of what speaks against it. */
unsigned te_levers_of(const te_option *option, const te_assessment *assessment);

/* True when some set within it is bettered by none of the parts that it fits besides: what speaks
 * against that set, or ends its hours, is then still there. */
bool te_set_is_idle(const struct trial *trials, const struct digits *d, size_t set);

/* Puts those that are worth telling into the options, in their order. */
te_status te_choose_options(te_options *out, const struct trial *trials, const struct digits *d,
                            const te_wish *wish);

#endif
