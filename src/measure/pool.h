/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Observations made where they stay: they are large, and te_observations_add copies them. */
#ifndef TOPEND_MEASURE_POOL_H
#define TOPEND_MEASURE_POOL_H

#include "topend/form.h"

/* Room for one more observation, behind the last, and for so many effects of it; NULL when memory runs out. It
 * holds anything, and is one of the pool's only when it is kept. */
te_observation *te_observations_next(te_observations *pool, size_t effects);

/* Keeps the next observation, all of which is set but for its effects, no more than asked for, and u. */
void te_observations_keep(te_observations *pool, const te_effect *effects, size_t count);

#endif
