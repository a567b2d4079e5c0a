/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The bore by places: what its map, its profile and its sections are drawn from. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "chart_parts.h"

/* The places of the largest and the smallest reading, and of the two that a quantity rests on. */
enum { KEPT = 4 };

bool te_bore_is_placed(const te_observation *observation)
{
    return observation->feature == TE_Q_BORE && !isnan(observation->position) &&
           !isnan(observation->direction);
}

void te_bore_free(struct bore *bore)
{
    free(bore->heights);
    free(bore->directions);
    free(bore->cells);
    *bore = (struct bore){0};
}

static int by_value(const void *left, const void *right)
{
    const double *a = left;
    const double *b = right;
    return (*a > *b) - (*a < *b);
}

static size_t without_repeats(double *values, size_t count)
{
    size_t kept = 0;
    for (size_t i = 0; i < count; i++) {
        if (kept == 0 || values[i] > values[kept - 1]) {
            values[kept++] = values[i];
        }
    }
    return kept;
}

/* True when i is one of `picks` numbers spread evenly over 0 to count - 1. */
static bool is_spread(size_t i, size_t count, size_t picks)
{
    if (picks < 2) {
        return i == 0;
    }
    size_t gaps = picks - 1;
    size_t k = (i * gaps + count - 2) / (count - 1); /* the first pick not below i */
    return k * (count - 1) / gaps == i;
}

static bool is_wanted(const double *values, size_t i, size_t count, size_t picks,
                      const double keep[KEPT])
{
    bool wanted = is_spread(i, count, picks);
    for (size_t k = 0; k < KEPT; k++) {
        wanted = wanted || !(values[i] < keep[k] || values[i] > keep[k]);
    }
    return wanted;
}

/* Keeps at most `most` of many values: those that must be, and as many as fit spread evenly. */
static size_t thin_out(double *values, size_t count, size_t most, const double keep[KEPT])
{
    size_t picks = most;
    size_t wanted = count;
    if (count <= most) {
        return count;
    }
    for (; wanted > most; picks--) {
        wanted = 0;
        for (size_t i = 0; i < count; i++) {
            wanted += is_wanted(values, i, count, picks, keep) ? 1 : 0;
        }
    }
    size_t kept = 0;
    for (size_t i = 0; i < count; i++) {
        if (is_wanted(values, i, count, picks + 1, keep)) {
            values[kept++] = values[i];
        }
    }
    return kept;
}

static void look_over(struct bore *bore)
{
    for (size_t i = 0; i < bore->pool->count; i++) {
        const te_observation *x = &bore->pool->items[i];
        if (x->feature != TE_Q_BORE) {
            continue;
        }
        bore->part = x->part;
        if (!te_bore_is_placed(x)) {
            bool larger = bore->unplaced == NULL || x->value > bore->unplaced->value;
            bore->unplaced = larger ? x : bore->unplaced;
            bore->unplaced_count++;
            continue;
        }
        bool largest = bore->largest == NULL || x->value > bore->largest->value;
        bool smallest = bore->smallest == NULL || x->value < bore->smallest->value;
        bore->largest = largest ? x : bore->largest;
        bore->smallest = smallest ? x : bore->smallest;
        bore->heights[bore->placed_count] = x->position;
        bore->directions[bore->placed_count++] = x->direction;
    }
}

static void find_limits(struct bore *bore, const te_assessment *assessment)
{
    bore->limits = (te_bounds){NAN, NAN, NAN, NAN};
    for (size_t i = 0; i < assessment->finding_count; i++) {
        const te_finding *finding = &assessment->findings[i];
        if (finding->measured.quantity == TE_Q_BORE && finding->has_limit) {
            const te_limit *limit = &finding->limit;
            bore->limits = (te_bounds){limit->new_min, limit->new_max, limit->service_min,
                                       limit->service_max};
        }
    }
    bore->middle = (bore->limits.new_min + bore->limits.new_max) / 2.0;
}

/* Where a value stands among rising ones; `count` when it is not there. */
static size_t index_of(const double *values, size_t count, double value)
{
    const double *found = bsearch(&value, values, count, sizeof *values, by_value);
    return found == NULL ? count : (size_t)(found - values);
}

static void fill_cells(struct bore *bore)
{
    for (size_t i = 0; i < bore->pool->count; i++) {
        const te_observation *x = &bore->pool->items[i];
        if (!te_bore_is_placed(x)) {
            continue;
        }
        size_t height = index_of(bore->heights, bore->height_count, x->position);
        size_t direction = index_of(bore->directions, bore->direction_count, x->direction);
        if (height == bore->height_count || direction == bore->direction_count) {
            continue;
        }
        struct bore_cell *cell = &bore->cells[height * bore->direction_count + direction];
        cell->largest = cell->largest == NULL || x->value > cell->largest->value ? x
                                                                                 : cell->largest;
        cell->count++;
    }
}

static const te_form *form_of(const te_assessment *assessment, te_quantity quantity)
{
    for (size_t i = 0; i < assessment->finding_count; i++) {
        const te_finding *finding = &assessment->findings[i];
        if (finding->measured.quantity == quantity && finding->computed) {
            return &finding->measured.high;
        }
    }
    return NULL;
}

static void choose(struct bore *bore, const te_assessment *assessment, size_t heights_most,
                   size_t directions_most)
{
    const te_observation *kept[KEPT] = {bore->largest, bore->smallest, bore->largest,
                                        bore->smallest};
    const te_form *form = form_of(assessment, bore->shown);
    double at[KEPT];
    double along[KEPT];
    for (size_t k = 0; form != NULL && k < form->count && k < 2; k++) {
        const te_observation *x = &bore->pool->items[form->observation[k]];
        kept[2 + k] = te_bore_is_placed(x) ? x : kept[2 + k];
    }
    for (size_t k = 0; k < KEPT; k++) {
        at[k] = kept[k]->position;
        along[k] = kept[k]->direction;
    }
    qsort(bore->heights, bore->placed_count, sizeof *bore->heights, by_value);
    qsort(bore->directions, bore->placed_count, sizeof *bore->directions, by_value);
    size_t heights = without_repeats(bore->heights, bore->placed_count);
    size_t directions = without_repeats(bore->directions, bore->placed_count);
    bore->height_count = thin_out(bore->heights, heights, heights_most, at);
    bore->direction_count = thin_out(bore->directions, directions, directions_most, along);
    bore->heights_more = heights - bore->height_count;
    bore->directions_more = directions - bore->direction_count;
}

bool te_bore_collect(struct bore *bore, const te_assessment *assessment, te_quantity shown,
                     size_t heights_most, size_t directions_most)
{
    size_t count = assessment->pool.count;
    *bore = (struct bore){.pool = &assessment->pool, .shown = shown};
    bore->heights = malloc((count + 1) * sizeof *bore->heights);
    bore->directions = malloc((count + 1) * sizeof *bore->directions);
    bore->cells = calloc(heights_most * directions_most, sizeof *bore->cells);
    if (bore->heights == NULL || bore->directions == NULL || bore->cells == NULL) {
        return false;
    }
    find_limits(bore, assessment);
    look_over(bore);
    if (bore->placed_count > 0) {
        choose(bore, assessment, heights_most, directions_most);
        fill_cells(bore);
    }
    return true;
}

const struct bore_cell *te_bore_cell(const struct bore *bore, size_t height, size_t direction)
{
    return &bore->cells[height * bore->direction_count + direction];
}

/* ---- words ---- */

void te_bore_put_direction(te_buffer *buffer, double direction)
{
    const double same = 0.001; /* degrees within which readings are of one direction */
    if (fabs(direction) <= same) {
        te_buffer_text(buffer, "thrust");
    } else if (fabs(direction - 90.0) <= same) {
        te_buffer_text(buffer, "pin");
    } else {
        te_put_number(buffer, direction, 6);
        te_buffer_text(buffer, "°");
    }
}

void te_bore_put_height(te_buffer *buffer, double height)
{
    te_put_number(buffer, height, 6);
    te_buffer_text(buffer, " mm below deck");
}

void te_bore_put_note(te_buffer *buffer, const struct bore *bore, const struct bore_cell *cell)
{
    const te_observation *x = cell->largest;
    te_chart_put_figures(buffer, x->value, x->stated ? x->u : NAN, "mm");
    if (!isnan(bore->middle)) {
        te_buffer_text(buffer, ", deviation ");
        te_put_number(buffer, x->value - bore->middle, 9);
        te_buffer_text(buffer, " mm");
    }
    te_buffer_text(buffer, ", at ");
    te_bore_put_height(buffer, x->position);
    te_buffer_text(buffer, ", ");
    te_put_direction(buffer, x->direction);
    if (cell->count > 1) {
        te_buffer_text(buffer, ", the largest of ");
        te_put_count(buffer, cell->count);
        te_buffer_text(buffer, " observations");
    }
}

void te_bore_put_part(te_buffer *title, const te_shop *shop, const struct bore *bore)
{
    te_buffer_text(title, ": ");
    te_buffer_safe(title, te_shop_text(shop, bore->part));
}

static void put_limit(te_buffer *buffer, const char *words, double limit)
{
    if (!isnan(limit)) {
        te_buffer_text(buffer, words);
        te_put_number(buffer, limit, 9);
        te_buffer_text(buffer, " mm.");
    }
}

static void put_place(te_buffer *buffer, const te_observation *x)
{
    te_put_fixed(buffer, x->value, 4);
    te_buffer_text(buffer, " mm at ");
    te_bore_put_height(buffer, x->position);
    te_buffer_text(buffer, " (");
    te_put_direction(buffer, x->direction);
    te_buffer_text(buffer, ")");
}

void te_bore_put_range(te_buffer *description, const struct bore *bore)
{
    size_t heights = bore->height_count + bore->heights_more;
    size_t directions = bore->direction_count + bore->directions_more;
    te_put_count(description, heights);
    te_buffer_text(description, heights == 1 ? " height, " : " heights, ");
    te_put_count(description, directions);
    te_buffer_text(description, directions == 1 ? " direction" : " directions");
    te_buffer_text(description, ". The least diameter is ");
    put_place(description, bore->smallest);
    te_buffer_text(description, ", the most ");
    put_place(description, bore->largest);
    te_buffer_text(description, ".");
    if (!isnan(bore->middle)) {
        te_buffer_text(description, " As new it is from ");
        te_put_number(description, bore->limits.new_min, 9);
        put_limit(description, " to ", bore->limits.new_max);
    }
    put_limit(description, " The lower service limit is ", bore->limits.service_min);
    put_limit(description, " The upper service limit is ", bore->limits.service_max);
}

static void put_more(te_buffer *words, size_t count, const char *one, const char *many)
{
    if (count > 0) {
        te_buffer_text(words, words->length > 0 ? " and " : "and ");
        te_put_count(words, count);
        te_buffer_text(words, " more ");
        te_buffer_text(words, count == 1 ? one : many);
    }
}

void te_bore_remark_left_out(struct chart *chart, const struct bore *bore)
{
    te_buffer *words = &chart->words;
    put_more(words, bore->heights_more, "height", "heights");
    put_more(words, bore->directions_more, "direction", "directions");
    if (words->length > 0) {
        te_buffer_text(words, ", not shown. Shown are the largest and the smallest reading");
        te_buffer_text(words, bore->shown == TE_Q_OUT_OF_ROUND ? " and the greatest out of round."
                              : bore->shown == TE_Q_TAPER      ? " and the greatest taper."
                                                               : ".");
        te_chart_remark(chart);
    }
    if (bore->unplaced_count > 0) {
        te_put_count(words, bore->unplaced_count);
        te_buffer_text(words, bore->unplaced_count == 1
                                  ? " reading without a height or a direction is not shown: "
                                  : " readings without a height or a direction are not shown, the "
                                    "largest of them ");
        te_put_fixed(words, bore->unplaced->value, 4);
        te_buffer_text(words, " mm.");
        te_chart_remark(chart);
    }
}
