/* SPDX-License-Identifier: GPL-3.0-or-later */
/* From readings to observations: means, corrections to 20 degrees Celsius, uncertainties by
 * source.  The formulas and their clauses stand in docs/method.md. */
#include <math.h>
#include <string.h>

#include "pool.h"
#include "record/vector.h"
#include "topend/measure.h"

static const double pi = 3.14159265358979323846;

/* Steel, where an instrument's expansion is not given: typical handbook figure, per kelvin. */
static const double steel_expansion = 11.5e-6;

/* Expansion coefficients are known to about a tenth (relative standard uncertainty). */
static const double expansion_share = 0.1;

/* Standard uncertainty of a temperature that was read, when the inspection does not say: 1 K. */
static const double read_temperature_u = 1.0;

/* A temperature that was not read: 20 degrees give or take 5 K, rectangular (JCGM 100, 4.3.7). */
static const double unread_half_width = 5.0;

/* Zeros nearer than this (mm) are one setting. */
static const double same_zero = 1e-9;

/* Degrees of freedom from which a pooled standard deviation stands by itself. */
enum { POOL_ENOUGH = 5 };

/* Sources besides the calibrations of a chain: setting, temperature, scale, two materials. */
enum { OTHER_SOURCES = 5 };

/* Scatter of the repeats of one feature with one instrument. */
struct scatter_pool {
    te_quantity feature;
    te_id instrument;
    double squares;
    size_t freedom;
};

/* Repeats of one measurement: readings up to `end`. */
struct group {
    uint32_t end;
    double mean;
};

/* A gauge set to a size: one error of setting for all readings taken so. */
struct setting {
    te_id instrument;
    double zero;
    uint32_t reading; /* the first one; names the source */
};

struct observing {
    const te_shop *shop;
    const te_tables *tables;
    const te_inspection *inspection;
    uint32_t row;
    const te_model *model;
    double above;         /* temperature less 20, in kelvin; 0 when it was not read */
    double temperature_u; /* standard, in kelvin */
    te_observations *pool;
    uint32_t first;       /* the inspection's first observation */
    struct group *groups; /* of the feature at hand */
    size_t group_count;
    struct scatter_pool *scatters; /* likewise */
    size_t scatter_count;
    struct setting *settings;
    size_t setting_count;
    te_effect *effects; /* of the observation at hand; room for every instrument and the others */
    size_t effect_count, effects_most;
    /* The gauge of the observation at hand; while the next is taken with the same one, the effects of
     * its chain, which stand first, stay. */
    te_id instrument;
    const te_instrument *gauge, *last_of_chain; /* NULL for none */
    bool chain_stated;
    size_t chain_count;
    bool gap_looked_up; /* gap_diameter was looked for: the first gap asks for it */
    double gap_diameter;
};

static const te_reading *reading_at(const struct observing *o, uint32_t at)
{
    return &o->tables->readings[o->tables->by_inspection[at]];
}

/* ---- repeats ---- */

static double group_mean(const struct observing *o, uint32_t first, uint32_t end)
{
    double sum = 0.0;
    for (uint32_t i = first; i < end; i++) {
        sum += te_reading_size(reading_at(o, i));
    }
    return sum / (double)(end - first);
}

static struct scatter_pool *scatter_of(const struct observing *o, const te_reading *reading)
{
    for (size_t i = 0; i < o->scatter_count; i++) {
        struct scatter_pool *pool = &o->scatters[i];
        if (pool->feature == reading->setup->feature &&
            pool->instrument == reading->setup->instrument) {
            return pool;
        }
    }
    return NULL;
}

static void add_scatter(struct observing *o, uint32_t first, const struct group *group)
{
    const te_reading *reading = reading_at(o, first);
    struct scatter_pool *pool = scatter_of(o, reading);
    if (pool == NULL) {
        pool = &o->scatters[o->scatter_count++];
        *pool = (struct scatter_pool){reading->setup->feature, reading->setup->instrument, 0.0, 0};
    }
    for (uint32_t i = first; i < group->end; i++) {
        double rest = te_reading_size(reading_at(o, i)) - group->mean;
        pool->squares += rest * rest;
    }
    pool->freedom += group->end - first - 1;
}

/* Lists the groups of one feature, whose readings stand together, and pools their scatter. */
static void list_groups(struct observing *o, uint32_t first)
{
    uint32_t end = o->inspection->first_reading + o->inspection->reading_count;
    te_quantity feature = reading_at(o, first)->setup->feature;
    o->group_count = 0;
    o->scatter_count = 0;
    while (first < end && reading_at(o, first)->setup->feature == feature) {
        struct group *group = &o->groups[o->group_count++];
        group->end = te_shop_group_end(o->shop, o->inspection, first);
        group->mean = group_mean(o, first, group->end);
        add_scatter(o, first, group);
        first = group->end;
    }
}

/* Standard deviation of one reading: the pooled one when it rests on enough, else not less than
 * the instrument's repeatability. */
static double reading_scatter(const struct observing *o, const te_reading *reading,
                              const te_instrument *gauge)
{
    const struct scatter_pool *pool = scatter_of(o, reading);
    double known = gauge == NULL || isnan(gauge->repeatability) ? 0.0 : gauge->repeatability;
    if (pool == NULL || pool->freedom == 0) {
        return known;
    }
    double pooled = sqrt(pool->squares / (double)pool->freedom);
    return pool->freedom >= POOL_ENOUGH ? pooled : fmax(pooled, known);
}

/* ---- common sources ---- */

static void add_effect(struct observing *o, te_source source, double effect)
{
    if (effect != 0.0) {
        o->effects[o->effect_count++] = (te_effect){source, effect};
    }
}

static const te_instrument *gauge_of(const struct observing *o, te_id instrument)
{
    return te_shop_gauge(o->shop, instrument, o->inspection->date);
}

/* Follows set_with from the gauge to the end of its chain: adds the calibrations' effects, and
 * tells whether all are stated. */
static void follow_chain(struct observing *o)
{
    o->last_of_chain = o->gauge;
    o->chain_stated = o->gauge != NULL;
    for (const te_instrument *gauge = o->gauge; gauge != NULL;
         gauge = gauge_of(o, gauge->set_with)) {
        size_t row = (size_t)(gauge - o->tables->instruments);
        if (isnan(gauge->expanded_uncertainty)) {
            o->chain_stated = false;
        } else {
            add_effect(o, te_source_make(TE_SOURCE_CALIBRATION, row),
                       gauge->expanded_uncertainty / 2.0);
        }
        o->last_of_chain = gauge;
    }
}

/* Starts the effects of an observation with those of its gauge's chain. Without a gauge there are
 * none, as at the beginning. */
static void take_gauge(struct observing *o, te_id instrument)
{
    o->effect_count = o->chain_count;
    if (instrument != o->instrument) {
        o->instrument = instrument;
        o->gauge = gauge_of(o, instrument);
        o->effect_count = 0;
        follow_chain(o);
        o->chain_count = o->effect_count;
    }
}

/* The setting that a reading shares; its index names the source. */
static uint32_t setting_of(struct observing *o, const te_reading *reading, uint32_t index)
{
    for (size_t i = 0; i < o->setting_count; i++) {
        const struct setting *s = &o->settings[i];
        bool same = (isnan(s->zero) && isnan(reading->setup->zero)) ||
                    fabs(s->zero - reading->setup->zero) <= same_zero;
        if (s->instrument == reading->setup->instrument && same) {
            return s->reading;
        }
    }
    o->settings[o->setting_count++] = (struct setting){reading->setup->instrument,
                                                       reading->setup->zero, index};
    return index;
}

static void add_setting(struct observing *o, const te_reading *reading, uint32_t index,
                        const te_instrument *gauge)
{
    if (gauge == NULL || (gauge->set_with == 0 && isnan(reading->setup->zero))) {
        return;
    }
    double repeatability = isnan(gauge->repeatability) ? 0.0 : gauge->repeatability;
    double resolution = isnan(gauge->resolution) ? 0.0 : gauge->resolution;
    double u = sqrt(repeatability * repeatability + resolution * resolution / 12.0);
    if (u > 0.0) {
        add_effect(o, te_source_make(TE_SOURCE_SETTING, setting_of(o, reading, index)), u);
    }
}

/* The same coefficient is the same material: its bits name the source. */
static te_source material_source(double expansion)
{
    uint64_t bits = 0;
    memcpy(&bits, &expansion, sizeof bits);
    return te_source_make(TE_SOURCE_MATERIAL, bits >> 4);
}

/* ---- temperature ---- */

static double at_reference(double size, double scale, double part, double above)
{
    return size * (1.0 + scale * above) / (1.0 + part * above);
}

/* A size: the scale of the instrument expands against the part. */
static void correct_size(struct observing *o, te_observation *x, te_kind kind,
                         const te_instrument *last)
{
    double part = o->model->expansion[kind];
    double scale = last == NULL || isnan(last->expansion) ? steel_expansion : last->expansion;
    te_id scale_id = last == NULL ? x->instrument : last->id;
    if (isnan(part)) {
        return;
    }
    x->value = at_reference(x->value, scale, part, o->above);
    x->go = at_reference(x->go, scale, part, o->above);
    x->no_go = at_reference(x->no_go, scale, part, o->above);
    add_effect(o, te_source_make(TE_SOURCE_TEMPERATURE, o->row),
               x->value * (scale - part) * o->temperature_u);
    add_effect(o, te_source_make(TE_SOURCE_SCALE, scale_id),
               x->value * o->above * expansion_share * scale);
    add_effect(o, material_source(part), -x->value * o->above * expansion_share * part);
}

/* Diameter that an end gap is measured at: the middle of the as-new bore of this cylinder, else
 * the largest bore of the inspection; NAN when neither is known. */
static double find_gap_diameter(const struct observing *o)
{
    te_limit limit;
    double largest = NAN;
    te_id cylinder = o->inspection->part[TE_KIND_CYLINDER];
    if (te_shop_part_limit(&limit, o->shop, o->inspection, TE_Q_BORE, 0, cylinder) &&
        !isnan(limit.new_min) && !isnan(limit.new_max)) {
        return (limit.new_min + limit.new_max) / 2.0;
    }
    for (size_t i = o->first; i < o->pool->count; i++) {
        if (o->pool->items[i].feature == TE_Q_BORE) {
            largest = fmax(largest, o->pool->items[i].value);
        }
    }
    return largest;
}

/* Bores stand before the gaps: what is found for the first gap holds for all of them. */
static double gap_diameter(struct observing *o)
{
    if (!o->gap_looked_up) {
        o->gap_diameter = find_gap_diameter(o);
        o->gap_looked_up = true;
    }
    return o->gap_diameter;
}

/* A gap: it closes as the ring expands and opens as the cylinder does. */
static void correct_gap(struct observing *o, te_observation *x)
{
    double cylinder = o->model->expansion[TE_KIND_CYLINDER];
    double ring = o->model->expansion[TE_KIND_RING_SET];
    double round = pi * gap_diameter(o);
    if (isnan(cylinder) || isnan(ring) || isnan(round)) {
        return;
    }
    double shift = -round * (cylinder - ring) * o->above;
    x->value += shift;
    x->go += shift;
    x->no_go += shift;
    add_effect(o, te_source_make(TE_SOURCE_TEMPERATURE, o->row),
               -round * (cylinder - ring) * o->temperature_u);
    add_effect(o, material_source(cylinder), -round * o->above * expansion_share * cylinder);
    add_effect(o, material_source(ring), round * o->above * expansion_share * ring);
}

/* ---- the observation ---- */

/* The widest pair of leaves among the repeats. */
static void take_leaves(const struct observing *o, te_observation *x, uint32_t first, uint32_t end)
{
    x->go = NAN;
    x->no_go = NAN;
    for (uint32_t i = first; i < end; i++) {
        const te_reading *reading = reading_at(o, i);
        double zero = isnan(reading->setup->zero) ? 0.0 : reading->setup->zero;
        double width = reading->setup->no_go - reading->value;
        if (!isnan(width) && !(width <= x->no_go - x->go)) {
            x->go = zero + reading->value;
            x->no_go = zero + reading->setup->no_go;
        }
    }
}

/* All of an observation but what the common sources do to it. */
static void start_observation(te_observation *x, const struct observing *o, uint32_t first,
                              const struct group *group)
{
    const te_reading *reading = reading_at(o, first);
    const te_setup *setup = reading->setup;
    const te_instrument *gauge = o->gauge;
    x->value = group->mean;
    x->raw = group->mean;
    x->zero = setup->zero;
    x->repeats = group->end - first;
    x->reading = o->tables->by_inspection[first];
    x->feature = setup->feature;
    x->part = reading->part;
    x->item = setup->item;
    x->instrument = setup->instrument;
    x->position = setup->position;
    x->direction = setup->direction;
    x->scatter = reading_scatter(o, reading, gauge);
    take_leaves(o, x, first, group->end);
    double resolution = gauge == NULL || isnan(gauge->resolution) ? 0.0 : gauge->resolution;
    x->step = isnan(x->no_go) ? resolution : x->no_go - x->go;
    double n = (double)x->repeats;
    x->u_own = sqrt(x->scatter * x->scatter / n + x->step * x->step / 12.0);
}

static te_status observe_group(struct observing *o, uint32_t first, const struct group *group)
{
    const te_reading *reading = reading_at(o, first);
    const te_quantity_info *info = te_quantity_info_of(reading->setup->feature);
    te_observation *x = te_observations_next(o->pool, o->effects_most);
    if (x == NULL) {
        return TE_ERR_MEMORY;
    }
    take_gauge(o, reading->setup->instrument);
    const te_instrument *gauge = o->gauge;
    start_observation(x, o, first, group);
    add_setting(o, reading, x->reading, gauge);
    bool own_step = !isnan(x->no_go);
    bool resolved = own_step || (gauge != NULL && !isnan(gauge->resolution));
    x->stated = (o->chain_stated && resolved) || (reading->setup->instrument == 0 && own_step);
    if ((info->traits & TE_TRAIT_SIZE) != 0) {
        correct_size(o, x, info->kind, o->last_of_chain);
    } else if ((info->traits & TE_TRAIT_GAP) != 0) {
        correct_gap(o, x);
    }
    if (!isfinite(x->value) || !isfinite(x->u_own)) {
        return TE_ERR_DOMAIN;
    }
    te_observations_keep(o->pool, o->effects, o->effect_count);
    return TE_OK;
}

static te_status observe_all(struct observing *o)
{
    uint32_t end = o->inspection->first_reading + o->inspection->reading_count;
    te_status status = TE_OK;
    for (uint32_t first = o->inspection->first_reading; first < end && status == TE_OK;) {
        list_groups(o, first);
        for (size_t i = 0; i < o->group_count && status == TE_OK; i++) {
            status = observe_group(o, first, &o->groups[i]);
            first = o->groups[i].end;
        }
    }
    return status;
}

/* Room that the pool keeps for the next inspection. */
static bool make_room(struct observing *o)
{
    te_observations *pool = o->pool;
    size_t count = (size_t)o->inspection->reading_count;
    size_t effects = o->tables->instrument_count + OTHER_SOURCES;
    size_t size = count * (sizeof *o->groups + sizeof *o->scatters + sizeof *o->settings) +
                  effects * sizeof *o->effects;
    if (!te_vector_reserve(&pool->work.block, &pool->work.capacity, size, 1)) {
        return false;
    }
    o->effects = pool->work.block;
    o->effects_most = effects;
    o->scatters = (struct scatter_pool *)(o->effects + effects);
    o->settings = (struct setting *)(o->scatters + count);
    o->groups = (struct group *)(o->settings + count);
    return true;
}

static void take_temperature(struct observing *o)
{
    double temperature = o->inspection->temperature;
    double stated = o->inspection->temperature_uncertainty;
    if (isnan(temperature)) {
        o->above = 0.0;
        o->temperature_u = unread_half_width / sqrt(3.0);
        return;
    }
    o->above = temperature - TE_REFERENCE_TEMPERATURE;
    o->temperature_u = isnan(stated) ? read_temperature_u : stated;
}

te_status te_observe(te_observations *pool, const te_shop *shop, uint32_t inspection)
{
    const te_tables *tables = te_shop_tables(shop);
    const te_inspection *row = &tables->inspections[inspection];
    struct observing o = {.shop = shop,
                          .tables = tables,
                          .inspection = row,
                          .row = inspection,
                          .pool = pool,
                          .first = (uint32_t)pool->count};
    if (row->engine == TE_NO_INDEX || tables->engines[row->engine].model == TE_NO_INDEX) {
        return TE_ERR_DOMAIN;
    }
    o.model = &tables->models[tables->engines[row->engine].model];
    take_temperature(&o);
    return make_room(&o) ? observe_all(&o) : TE_ERR_MEMORY;
}

te_observation te_observation_untaken(te_quantity feature, te_id item, te_id part)
{
    return (te_observation){.feature = feature,
                            .item = item,
                            .part = part,
                            .go = NAN,
                            .no_go = NAN,
                            .zero = NAN,
                            .position = NAN,
                            .direction = NAN,
                            .repeats = 1,
                            .reading = TE_NO_INDEX};
}
