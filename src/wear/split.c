/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The growth of an end gap told apart into bore and ring. */
#include <math.h>

#include "topend/wear.h"

static const double pi = 3.14159265358979323846;

/* A ring's wear has two terms of the gap and two for each direction; all must fit a form. */
enum { DIRECTIONS_MOST = (TE_FORM_TERMS - 2) / 2 };

/* The observations of an inspection that the history looked at. */
struct span {
    uint32_t first, end;
};

static struct span observations_of(const te_history *history, uint32_t inspection)
{
    struct span span = {0, 0};
    for (size_t i = 0; i < history->inspection_count; i++) {
        if (history->inspections[i] == inspection) {
            span = (struct span){history->first_observation[i], history->first_observation[i + 1]};
        }
    }
    return span;
}

static uint32_t find_bore(const te_observations *pool, struct span span, double position,
                          double direction)
{
    return te_bore_find(pool, span.first, span.end, position, direction);
}

/* Adds c * x to a form; counts forms that are full. DIRECTIONS_MOST leaves none. */
static void add_term(te_form *form, size_t *full, uint32_t observation, double coefficient)
{
    te_form term = te_form_make(observation, coefficient);
    *full += te_form_add(form, form, &term) != TE_OK;
}

/* Growth of the mean diameter at a height, over the directions taken both times. */
static size_t bore_growth(te_form *growth, size_t *full, const te_observations *pool,
                          struct span before, struct span after, double position)
{
    uint32_t pairs[DIRECTIONS_MOST][2];
    size_t count = 0;
    for (uint32_t i = after.first; i < after.end && count < DIRECTIONS_MOST; i++) {
        const te_observation *x = &pool->items[i];
        bool here = te_bore_is_at(x, position) &&
                    find_bore(pool, after, position, x->direction) == i; /* once a direction */
        uint32_t earlier = here ? find_bore(pool, before, position, x->direction) : TE_NO_INDEX;
        if (earlier != TE_NO_INDEX) {
            pairs[count][0] = earlier;
            pairs[count++][1] = i;
        }
    }
    *growth = (te_form){.count = 0};
    for (size_t i = 0; i < count; i++) {
        add_term(growth, full, pairs[i][1], 1.0 / (double)count);
        add_term(growth, full, pairs[i][0], -1.0 / (double)count);
    }
    return count;
}

/* First and last measured point; false when they are not at two times. */
static bool ends_of(const te_point **first, const te_point **last, const te_history *history,
                    const te_series *series)
{
    const te_point *points = &history->points[series->first_point];
    *first = points[0].assumed ? points + 1 : points;
    *last = &points[series->point_count - 1];
    return (*last)->hours - (*first)->hours > TE_SAME_HOURS;
}

/* The forms of a gap's growth, of the share of the bore in it, and of the ring's radial wear; how many
 * directions the share rests on, 0 when it cannot be told. */
static size_t make_forms(te_form *gap, te_form *share, te_form *ring, const te_history *history,
                         const te_point *first, const te_point *last, double position)
{
    te_form bore;
    size_t full = 0;
    size_t directions = bore_growth(&bore, &full, &history->pool,
                                    observations_of(history, first->inspection),
                                    observations_of(history, last->inspection), position);
    te_form minus = te_form_scale(&first->form, -1.0);
    te_form less = te_form_scale(&bore, -pi);
    *share = te_form_scale(&bore, pi);
    full += te_form_add(gap, &last->form, &minus) != TE_OK;
    full += te_form_add(ring, gap, &less) != TE_OK;
    *ring = te_form_scale(ring, 1.0 / (2.0 * pi));
    return full == 0 ? directions : 0;
}

te_split_answer te_gap_split_of(te_gap_split *split, const te_history *history,
                                const te_series *series)
{
    const te_observations *pool = &history->pool;
    const te_point *first = NULL;
    const te_point *last = NULL;
    te_form gap;
    te_form share;
    te_form ring;
    if (series->quantity != TE_Q_END_GAP) {
        return TE_SPLIT_NOT_GAP;
    }
    if (!ends_of(&first, &last, history, series)) {
        return TE_SPLIT_ONE;
    }
    double position = pool->items[last->form.observation[0]].position;
    double before = pool->items[first->form.observation[0]].position;
    if (!(fabs(position - before) <= TE_SAME_HEIGHT)) { /* also when one is not given */
        return TE_SPLIT_POSITION;
    }
    size_t directions = make_forms(&gap, &share, &ring, history, first, last, position);
    if (directions == 0) {
        return TE_SPLIT_NO_BORE;
    }
    *split = (te_gap_split){
        .hours_from = first->hours,
        .hours_to = last->hours,
        .position = position,
        .growth = te_form_value(pool, &gap),
        .u_growth = sqrt(te_form_variance(pool, &gap)),
        .from_bore = te_form_value(pool, &share),
        .u_from_bore = sqrt(te_form_variance(pool, &share)),
        .ring_wear = te_form_value(pool, &ring),
        .u_ring_wear = sqrt(te_form_variance(pool, &ring)),
        .stated = te_form_stated(pool, &ring),
        .directions = directions,
    };
    return TE_SPLIT_GOOD;
}
