/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The time that documents are made at. */
#ifndef TOPEND_CLI_CLOCK_H
#define TOPEND_CLI_CLOCK_H

#include <stdbool.h>
#include <stdint.h>

#include "topend/number.h"

/* The seconds since 1970-01-01, UTC, that SOURCE_DATE_EPOCH gives, so that output repeats; else those
 * of now. False after a message. */
bool clock_take(int64_t *now);

/* The day of those seconds, in UTC. */
te_date clock_day(int64_t seconds);

#endif
