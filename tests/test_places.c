/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Which places of the plan a quantity lacks, in random inspections: against the plain way, which holds
 * every reading against every place that belongs to the quantity.
 */
#include "te_shop_text.h"

#include <math.h>

#include "topend/judge.h"

static const te_shop_file base[] = {
    {"engines.csv", "engine,model\nE1,M\n"},
    {"models.csv", "model\nM\n"},
    {"limits.csv", "model,quantity,unit,service_max,source\nM,bore,mm,66.100,invented\n"},
    {"parts.csv", "part,kind,engine,fitted_hours\nX1,other,E1,0\nX2,other,E1,0\n"},
    {"inspections.csv", "inspection,engine,date,hours,temperature\nI0,E1,2026-03-18,90,20\n"
                        "I1,E1,2026-04-18,100,20\n"},
    {NULL, NULL},
};

/* ---- a random plan and random readings --------------------------------------------------- */

static const struct {
    const char *feature;
    double size;
    const char *items[3];
    bool directed, own;
} features[] = {
    {"bore", 66.01, {"", "", ""}, true, false},
    {"skirt", 65.93, {"", "", ""}, true, false},
    {"end_gap", 0.3, {"1", "2", ""}, false, false},
    {"side_clearance", 0.05, {"1", "2", ""}, false, false},
    {"pin", 15.996, {"", "", ""}, false, false},
    {"pin_bore", 16.005, {"left", "right", ""}, false, false},
    {"squish", 5, {"x", "y", ""}, false, true},
    {"port_width", 5, {"", "", ""}, true, true},
};

enum { FEATURES = sizeof features / sizeof *features };

/* Feature, item, height and direction: alike often enough, and on both sides of what is near. */
static void add_place(te_grown *out, te_random *random, size_t feature)
{
    static const char *const positions[] = {"10", "10.4", "10.5", "10.6", "60", ""};
    static const char *const directions[] = {"thrust", "pin", "1", "1.1", "179.2", "89", ""};
    te_grown_add(out, ",%s,%s,%s,%s", features[feature].feature,
                 features[feature].items[te_random_below(random, 3)],
                 positions[te_random_below(random, 6)],
                 features[feature].directed ? directions[te_random_below(random, 7)] : "");
}

static void random_shop(te_grown *plan, te_grown *readings, te_random *random)
{
    static const char *const parts[] = {"", "X1", "X2"};
    te_grown_add(plan, "model,feature,item,position,direction\n");
    te_grown_add(readings, "inspection,feature,item,position,direction,part,reading\n");
    for (size_t i = 0; i < FEATURES; i++) {
        for (size_t n = te_random_below(random, 4); n > 0; n--) {
            te_grown_add(plan, "M");
            add_place(plan, random, i);
            te_grown_add(plan, "\n");
        }
        for (size_t n = te_random_below(random, 6); n > 0; n--) {
            te_grown_add(readings, "I%zu", te_random_below(random, 2));
            add_place(readings, random, i);
            te_grown_add(readings, ",%s,%.3f\n",
                         features[i].own ? parts[te_random_below(random, 3)] : "",
                         features[i].size + 0.001 * (double)te_random_below(random, 3));
        }
    }
}

/* ---- the plain way ----------------------------------------------------------------------- */

/* docs/method.md, "Places": within half a millimetre and a degree; a blank covers every one. */
static bool covers(const te_plan *plan, const te_observation *x)
{
    double apart = fabs(plan->direction - x->direction);
    bool position = isnan(plan->position) || fabs(plan->position - x->position) <= 0.5 + 1e-9;
    bool direction = isnan(plan->direction) || fmin(apart, fabs(180 - apart)) <= 1 + 1e-9;
    return x->feature == plan->feature && (plan->item == 0 || plan->item == x->item) && position &&
           direction && (isnan(plan->direction) || !isnan(x->direction));
}

static bool asks(const te_plan *plan, const te_measured *measured)
{
    const te_quantity_info *info = te_quantity_info_of(measured->quantity);
    bool own = measured->quantity >= TE_Q_OWN;
    bool item = plan->item == 0 || plan->item == measured->item;
    if (own)
        return plan->feature == measured->quantity && item;
    return plan->feature == info->second_feature ||
           (plan->feature == info->feature && (item || info->items == TE_ITEMS_NONE));
}

static bool counts(const te_observation *x, const te_measured *measured)
{
    const te_quantity_info *info = te_quantity_info_of(measured->quantity);
    if (measured->quantity >= TE_Q_OWN)
        return x->item == measured->item && x->part == measured->part;
    return info->items == TE_ITEMS_NONE || x->feature != info->feature || x->item == measured->item;
}

static uint32_t missing_plainly(uint32_t *first, const te_tables *tables,
                                const te_observations *pool, size_t from,
                                const te_measured *measured)
{
    uint32_t missing = 0;
    *first = TE_NO_INDEX;
    for (uint32_t i = 0; i < tables->plan_count; i++) {
        bool covered = !asks(&tables->plan[i], measured);
        for (size_t j = from; j < pool->count && !covered; j++)
            covered = covers(&tables->plan[i], &pool->items[j]) &&
                      counts(&pool->items[j], measured);
        if (!covered && missing++ == 0)
            *first = i;
    }
    return missing;
}

/* ---- the two against each other ---------------------------------------------------------- */

/* How many values had all their places, and how many lacked some. */
typedef struct tally {
    size_t whole, lacking;
} tally;

/* An inspection whose observations are the pool's from some index on. */
typedef struct inspected {
    const te_tables *tables;
    const te_observations *pool;
    uint32_t from;
    const te_places *places;
} inspected;

static void try_quantity(tally *seen, const inspected *x, const te_measured *measured)
{
    uint32_t first = 0, first_plainly = 0;
    uint32_t missing = te_places_missing(&first, x->places, measured);
    assert_int_equal(missing,
                     missing_plainly(&first_plainly, x->tables, x->pool, x->from, measured));
    assert_int_equal(first, first_plainly);
    seen->whole += missing == 0;
    seen->lacking += missing > 0;
}

/* The second inspection's, behind those of the first in one pool: what was measured, and what is only
 * supposed, of which nothing may have been read. */
static void try_shop(tally *seen, te_places *places, te_random *random)
{
    te_grown plan = {0}, readings = {0};
    te_made_shop made;
    te_observations pool = {0};
    te_quantities list = {0};
    random_shop(&plan, &readings, random);
    const te_shop_file changes[] = {
        {"plan.csv", plan.text}, {"readings.csv", readings.text}, {NULL, NULL}};
    te_made_read(&made, base, changes);
    assert_int_equal(te_observe(&pool, made.shop, 0), TE_OK);
    const inspected x = {made.tables, &pool, (uint32_t)pool.count, places};
    assert_int_equal(te_observe(&pool, made.shop, 1), TE_OK);
    assert_int_equal(
        te_quantities_make(&list, &pool, x.from, made.shop, &made.tables->inspections[1]), TE_OK);
    assert_int_equal(te_places_make(places, &pool, x.from, (uint32_t)pool.count, made.shop, 0),
                     TE_OK);
    for (size_t i = 0; i < list.count; i++)
        try_quantity(seen, &x, &list.items[i]);
    for (te_quantity q = 0; q < TE_Q_OWN; q++)
        if (te_quantity_info_of(q)->items == TE_ITEMS_NONE)
            try_quantity(seen, &x, &(te_measured){.quantity = q});
    te_quantities_free(&list);
    te_observations_free(&pool);
    te_grown_free(&plan);
    te_grown_free(&readings);
    te_made_free(&made);
}

static void places_are_those_of_the_plain_way(void **state)
{
    (void)state;
    te_random random = te_random_start(20260422);
    te_places places = {0}; /* one for all: nothing of an inspection is left to the next */
    tally seen = {0};
    for (size_t round = 0; round < te_test_rounds(600); round++)
        try_shop(&seen, &places, &random);
    assert_true(seen.whole > 200 && seen.lacking > 200);
    te_places_free(&places);
    assert_null(places.open);
    te_places_free(&places);
    te_places_free(NULL);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(places_are_those_of_the_plain_way),
    };
    return cmocka_run_group_tests_name("places", tests, NULL, NULL);
}
