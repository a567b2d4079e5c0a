/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Rows brought together: limits and plan with their model, inspections with their engine,
 * readings and conditions with their inspection. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "internal.h"

/* ---- models ---- */

static int by_model_limit(const void *left, const void *right)
{
    const te_limit *a = left;
    const te_limit *b = right;
    if (a->model != b->model) {
        return a->model < b->model ? -1 : 1;
    }
    return (a->origin.line > b->origin.line) - (a->origin.line < b->origin.line);
}

static int by_model_plan(const void *left, const void *right)
{
    const te_plan *a = left;
    const te_plan *b = right;
    if (a->model != b->model) {
        return a->model < b->model ? -1 : 1;
    }
    return (a->origin.line > b->origin.line) - (a->origin.line < b->origin.line);
}

static struct place_of model_place(const te_shop *shop, te_severity severity, te_origin origin,
                                   const char *column, uint32_t model)
{
    return (struct place_of){severity, origin, column, TE_SCOPE_MODEL,
                             shop->models.items[model].id};
}

/* Told once for a model, at its first row. */
static void report_unknown_model(te_shop *shop, te_origin origin, uint32_t model, bool scoped)
{
    const unsigned vouchers = TE_FILE_ENGINES | TE_FILE_LIMITS | TE_FILE_MODELS;
    if ((shop->failed_files & vouchers) != 0) {
        return;
    }
    struct place_of place = model_place(shop, TE_ERROR, origin, "model", model);
    place.scope = scoped ? TE_SCOPE_MODEL : TE_SCOPE_ALL; /* meant for any engine */
    te_shop_problem(shop, &place, "correct the name, or add the model to models.csv",
                    "the model \"%s\" is not known",
                    te_names_text(&shop->names, shop->models.items[model].id));
}

/* What makes two rows twins, copied out so that the comparison needs no context. */
struct twin_key {
    uint32_t owner, model; /* a limit's owner is its model, a spare's its name */
    te_quantity quantity;
    te_id item;
    uint32_t row;
};

static int compare_twins(const struct twin_key *a, const struct twin_key *b)
{
    const uint32_t left[] = {a->owner, a->model, a->quantity, a->item};
    const uint32_t right[] = {b->owner, b->model, b->quantity, b->item};
    for (size_t i = 0; i < sizeof left / sizeof *left; i++) {
        if (left[i] != right[i]) {
            return left[i] < right[i] ? -1 : 1;
        }
    }
    return 0;
}

static int by_twin(const void *left, const void *right)
{
    const struct twin_key *a = left;
    const struct twin_key *b = right;
    int order = compare_twins(a, b);
    return order != 0 ? order : (a->row > b->row) - (a->row < b->row);
}

static void report_twin_limit(te_shop *shop, uint32_t first, uint32_t row)
{
    const te_limit *limit = &shop->limits.items[row];
    struct place_of place = model_place(shop, TE_ERROR, limit->origin, "quantity", limit->model);
    te_shop_problem(shop, &place, "keep one of them", "the same quantity and item stand in line %u",
                    (unsigned)shop->limits.items[first].origin.line);
}

/* A spare may have several rows, one a feature; the same feature twice is a slip. */
static void report_twin_spare(te_shop *shop, uint32_t first, uint32_t row)
{
    const te_spare *spare = &shop->spares.items[row];
    struct place_of place = te_place_spare(shop, TE_ERROR, spare, "spare");
    (void)first;
    te_shop_problem(shop, &place, "keep one of them", "%s stands twice",
                    te_names_text(&shop->names, spare->id));
}

/* Sorts the keys and reports each row that has a twin before it. */
static void report_twins(te_shop *shop, struct twin_key *keys, size_t count,
                         void (*report)(te_shop *shop, uint32_t first, uint32_t row))
{
    size_t first = 0;
    if (count > 1) {
        qsort(keys, count, sizeof *keys, by_twin);
    }
    for (size_t i = 1; i < count; i++) {
        if (compare_twins(&keys[first], &keys[i]) == 0) {
            report(shop, keys[first].row, keys[i].row);
        } else {
            first = i;
        }
    }
}

static void check_twins(te_shop *shop)
{
    size_t limits = shop->limits.count;
    size_t spares = shop->spares.count;
    struct twin_key *keys = calloc((limits > spares ? limits : spares) + 1, sizeof *keys);
    if (keys == NULL) {
        shop->out_of_memory = true;
        return;
    }
    for (size_t i = 0; i < limits; i++) {
        const te_limit *limit = &shop->limits.items[i];
        keys[i] = (struct twin_key){limit->model, limit->model, limit->quantity, limit->item,
                                    (uint32_t)i};
    }
    report_twins(shop, keys, limits, report_twin_limit);
    for (size_t i = 0; i < spares; i++) {
        const te_spare *spare = &shop->spares.items[i];
        keys[i] = (struct twin_key){spare->id, spare->model, spare->feature, spare->item,
                                    (uint32_t)i};
    }
    report_twins(shop, keys, spares, report_twin_spare);
    free(keys);
}

static void index_limits(te_shop *shop)
{
    te_limit *limits = shop->limits.items;
    if (shop->limits.count > 1) {
        qsort(limits, shop->limits.count, sizeof *limits, by_model_limit);
    }
    for (size_t i = shop->limits.count; i > 0; i--) {
        te_model *model = &shop->models.items[limits[i - 1].model];
        model->first_limit = (uint32_t)(i - 1);
        model->limit_count++;
    }
}

static void index_plan(te_shop *shop)
{
    te_plan *plan = shop->plan.items;
    if (shop->plan.count > 1) {
        qsort(plan, shop->plan.count, sizeof *plan, by_model_plan);
    }
    for (size_t i = shop->plan.count; i > 0; i--) {
        te_model *model = &shop->models.items[plan[i - 1].model];
        model->first_plan = (uint32_t)(i - 1);
        model->plan_count++;
    }
}

/* True when an engine has a model that is blank or that no other file knows: a row for a model
 * without an engine may then be meant for that one, which is not judged anyway. */
static bool an_engine_lacks_its_model(const te_shop *shop)
{
    for (size_t i = 0; i < shop->engines.count; i++) {
        uint32_t at = shop->engines.items[i].model;
        if (at == TE_NO_INDEX ||
            (!shop->models.items[at].declared && shop->models.items[at].limit_count == 0)) {
            return true;
        }
    }
    return false;
}

/* The model of an engine for which models.csv has no row; NULL: each has one. */
static const te_model *model_not_declared(const te_shop *shop)
{
    for (size_t i = 0; i < shop->engines.count; i++) {
        uint32_t at = shop->engines.items[i].model;
        if (at != TE_NO_INDEX && !shop->models.items[at].declared) {
            return &shop->models.items[at];
        }
    }
    return NULL;
}

static void tell_idle_model(te_shop *shop, const struct place_of *place, const te_model *lacking)
{
    if (lacking == NULL) {
        te_shop_problem(shop, place, "check the name", "no engine and no limit names it");
        return;
    }
    te_shop_problem(shop, place, "correct this one or the engine's, or give that model a row too",
                    "no engine and no limit names it, and an engine's model has no row: %s",
                    te_names_text(&shop->names, lacking->id));
}

/* A model is known when models.csv, an engine or a limit vouches for it besides the row itself. */
static void check_models(te_shop *shop)
{
    bool any_declared = false;
    bool explained = an_engine_lacks_its_model(shop);
    const te_model *lacking = model_not_declared(shop);
    for (size_t i = 0; i < shop->models.count; i++) {
        const te_model *model = &shop->models.items[i];
        any_declared = any_declared || model->declared;
        if (model->declared && !model->has_engine && model->limit_count == 0) {
            /* Where an engine lacks its row, this one is meant for it: its materials would be lost. */
            struct place_of place = model_place(shop, lacking != NULL ? TE_ERROR : TE_WARNING,
                                                model->origin, "model", (uint32_t)i);
            place.scope = lacking != NULL ? TE_SCOPE_ALL : place.scope;
            tell_idle_model(shop, &place, lacking);
        }
        bool vouched = model->declared || model->has_engine;
        if (!vouched && model->limit_count > 0) {
            report_unknown_model(shop, shop->limits.items[model->first_limit].origin, (uint32_t)i,
                                 explained);
        } else if (!vouched && model->plan_count > 0) {
            report_unknown_model(shop, shop->plan.items[model->first_plan].origin, (uint32_t)i,
                                 explained);
        }
    }
    for (size_t i = 0; i < shop->engines.count; i++) {
        const te_engine *engine = &shop->engines.items[i];
        if (engine->model == TE_NO_INDEX) {
            continue;
        }
        const te_model *model = &shop->models.items[engine->model];
        if (!model->declared && model->limit_count == 0) {
            report_unknown_model(shop, engine->origin, engine->model, true);
        } else if (!model->declared && any_declared) {
            struct place_of place = model_place(shop, TE_WARNING, engine->origin, "model",
                                                engine->model);
            te_shop_problem(shop, &place, "check the name, or add the model to models.csv",
                            "models.csv has no row for it: no temperature correction");
        }
    }
}

void te_shop_link_models(te_shop *shop)
{
    index_limits(shop);
    index_plan(shop);
    check_models(shop);
    check_twins(shop);
}

/* ---- inspections ---- */

/* What orders inspections, copied out so that the comparison needs no context. */
struct inspection_key {
    double hours;
    uint32_t engine;
    te_date date;
    uint32_t row;
};

static int by_engine_hours(const void *left, const void *right)
{
    const struct inspection_key *a = left;
    const struct inspection_key *b = right;
    if (a->engine != b->engine) {
        return a->engine < b->engine ? -1 : 1;
    }
    if (a->hours < b->hours || a->hours > b->hours) {
        return a->hours < b->hours ? -1 : 1;
    }
    if (a->date != b->date) {
        return a->date < b->date ? -1 : 1;
    }
    return (a->row > b->row) - (a->row < b->row);
}

static size_t conflicts_of(const te_shop *shop, const te_engine *engine, uint32_t row)
{
    const te_inspection *self = &shop->inspections.items[row];
    size_t conflicts = 0;
    for (uint32_t i = 0; i < engine->inspection_count; i++) {
        const te_inspection *other =
            &shop->inspections.items[shop->by_engine[engine->first_inspection + i]];
        conflicts += (other->hours < self->hours && other->date > self->date) ||
                     (other->hours > self->hours && other->date < self->date);
    }
    return conflicts;
}

/* With more inspections than this the others are not asked which of two is wrong: that would take
 * time by their square. */
enum { ASKED_MOST = 1000 };

/* No engine runs more than 24 hours a day, both days counted whole: a digit too many, or a wrong
 * date. `a` has the fewer hours. */
static void check_pace(te_shop *shop, const te_inspection *a, const te_inspection *b)
{
    const double hours_of_day = 24.0;
    if (a->date == TE_NO_DATE || b->date == TE_NO_DATE || a->date > b->date) {
        return;
    }
    double most = hours_of_day * ((double)b->date - (double)a->date + 1.0);
    if (b->hours - a->hours > most) {
        struct place_of place = te_place_engine(shop, TE_WARNING, b->origin, "hours", b->engine);
        te_shop_problem(shop, &place, "check the hours and the date",
                        "more hours than there are in the days since line %u",
                        (unsigned)a->origin.line);
    }
}

/* Hours that fall with date: told at the inspection that contradicts most of the others; where
 * two contradict each other alone, at the one of the later date. */
static void check_hours(te_shop *shop, const te_engine *engine)
{
    for (uint32_t i = 0; i + 1 < engine->inspection_count; i++) {
        uint32_t low = shop->by_engine[engine->first_inspection + i];
        uint32_t high = shop->by_engine[engine->first_inspection + i + 1];
        const te_inspection *a = &shop->inspections.items[low];
        const te_inspection *b = &shop->inspections.items[high];
        if (a->date <= b->date || b->date == TE_NO_DATE || !(a->hours < b->hours)) {
            check_pace(shop, a, b);
            continue;
        }
        bool at_b = engine->inspection_count <= ASKED_MOST &&
                    conflicts_of(shop, engine, high) > conflicts_of(shop, engine, low);
        const te_inspection *wrong = at_b ? b : a;
        const te_inspection *other = at_b ? a : b;
        struct place_of place = te_place_engine(shop, TE_ERROR, wrong->origin, "hours",
                                                wrong->engine);
        te_shop_problem(shop, &place, "correct the hours or the date",
                        "the hours fall with date: compare with line %u",
                        (unsigned)other->origin.line);
    }
}

static void order_inspections(te_shop *shop)
{
    size_t count = shop->inspections.count;
    size_t kept = 0;
    struct inspection_key *keys = calloc(count + 1, sizeof *keys);
    shop->by_engine = calloc(count + 1, sizeof *shop->by_engine);
    if (keys == NULL || shop->by_engine == NULL) {
        shop->out_of_memory = true;
        goto done;
    }
    for (size_t i = 0; i < count; i++) {
        const te_inspection *inspection = &shop->inspections.items[i];
        double hours = isnan(inspection->hours) ? 0.0 : inspection->hours;
        if (inspection->engine != TE_NO_INDEX) {
            keys[kept++] = (struct inspection_key){hours, inspection->engine, inspection->date,
                                                   (uint32_t)i};
        }
    }
    if (kept > 1) {
        qsort(keys, kept, sizeof *keys, by_engine_hours);
    }
    for (size_t i = kept; i > 0; i--) {
        te_engine *engine = &shop->engines.items[keys[i - 1].engine];
        shop->by_engine[i - 1] = keys[i - 1].row;
        engine->first_inspection = (uint32_t)(i - 1);
        engine->inspection_count++;
    }
    for (size_t i = 0; i < shop->engines.count; i++) {
        check_hours(shop, &shop->engines.items[i]);
    }
done:
    free(keys);
}

/* Counts the readings of each inspection, and tells whether they stand in order already. Looks, too, whether one
 * names its part. */
static bool count_readings(te_shop *shop)
{
    te_inspection *inspections = shop->inspections.items;
    uint32_t start = 0;
    uint32_t before = 0;
    bool ordered = true;
    for (size_t i = 0; i < shop->readings.count; i++) {
        const te_reading *reading = &shop->readings.items[i];
        inspections[reading->inspection].reading_count += reading->dropped == 0;
        ordered = ordered && reading->dropped == 0 && reading->inspection >= before;
        shop->parts_named = shop->parts_named || reading->part != 0;
        before = reading->inspection;
    }
    for (size_t i = 0; i < shop->inspections.count; i++) {
        inspections[i].first_reading = start;
        start += inspections[i].reading_count;
    }
    return ordered;
}

/* Where each reading goes: those of an inspection stand together, in order of reading; copies come last. */
static void plan_order(te_shop *shop)
{
    te_inspection *inspections = shop->inspections.items;
    uint32_t copies = 0;
    for (size_t i = 0; i < shop->inspections.count; i++) {
        copies += inspections[i].reading_count;
        inspections[i].reading_count = 0;
    }
    for (size_t i = 0; i < shop->readings.count; i++) {
        const te_reading *reading = &shop->readings.items[i];
        te_inspection *inspection = &inspections[reading->inspection];
        uint32_t at = reading->dropped != 0
                          ? copies++
                          : inspection->first_reading + inspection->reading_count++;
        shop->by_inspection[at] = (uint32_t)i;
    }
}

/* Moves the readings to where they go, in place: what looks at an inspection then looks at one stretch of
 * memory, in whatever order the rows were written. */
static void move_readings(te_shop *shop)
{
    te_reading *readings = shop->readings.items;
    uint32_t *from =
        shop->by_inspection; /* each is to come from there; afterwards it is where it is */
    for (uint32_t i = 0; i < shop->readings.count; i++) {
        te_reading first = readings[i];
        uint32_t at = i;
        while (from[at] != i) { /* round the circle that i is in */
            uint32_t next = from[at];
            readings[at] = readings[next];
            from[at] = at;
            at = next;
        }
        readings[at] = first;
        from[at] = at;
    }
}

static void index_readings(te_shop *shop)
{
    shop->by_inspection = calloc(shop->readings.count + 1, sizeof *shop->by_inspection);
    if (shop->by_inspection == NULL) {
        shop->out_of_memory = true;
        return;
    }
    if (!count_readings(shop)) {
        plan_order(shop);
        move_readings(shop);
        return;
    }
    for (size_t i = 0; i < shop->readings.count; i++) {
        shop->by_inspection[i] = (uint32_t)i;
    }
}

static int by_inspection_line(const void *left, const void *right)
{
    const te_condition *a = left;
    const te_condition *b = right;
    if (a->inspection != b->inspection) {
        return a->inspection < b->inspection ? -1 : 1;
    }
    return (a->origin.line > b->origin.line) - (a->origin.line < b->origin.line);
}

static void index_conditions(te_shop *shop)
{
    te_condition *conditions = shop->conditions.items;
    if (shop->conditions.count > 1) {
        qsort(conditions, shop->conditions.count, sizeof *conditions, by_inspection_line);
    }
    for (size_t i = shop->conditions.count; i > 0; i--) {
        te_inspection *inspection = &shop->inspections.items[conditions[i - 1].inspection];
        inspection->first_condition = (uint32_t)(i - 1);
        inspection->condition_count++;
    }
}

void te_shop_link_inspections(te_shop *shop)
{
    order_inspections(shop);
    if (!shop->out_of_memory) {
        index_readings(shop);
        index_conditions(shop);
    }
}
