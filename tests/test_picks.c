/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Which readings make a quantity, in random inspections: against the plain way, which looks at every
 * reading for every question and keeps nothing.
 */
#include "te_shop_text.h"

#include <math.h>
#include <string.h>

#include "topend/measure.h"

enum { MOST = 200 }; /* quantities */

static const te_shop_file base[] = {
    {"engines.csv", "engine,model\nE1,M\n"},
    {"models.csv", "model,cylinder_material,piston_material,ring_material\n"
                   "M,cast_iron,aluminium,cast_iron\n"},
    {"limits.csv", "model,quantity,unit,service_max,source\nM,bore,mm,66.100,invented\n"
                   "M,out_of_round_overall,mm,0.05,invented\nM,taper_ends,mm,0.05,invented\n"
                   "M,skirt_clearance_thrust,mm,0.2,invented\n"},
    {"parts.csv", "part,kind,engine,fitted_hours\nX1,other,E1,0\nX2,other,E1,0\n"},
    {"instruments.csv", "instrument,resolution,expanded_uncertainty,repeatability,set_with\n"
                        "BG,0.001,0.004,0.001,A1\nA1,0.001,0.004,0.001,\nA2,0.001,0.004,0.001,\n"
                        "VAGUE,0.001,0.008,0.001,\n"},
    {"inspections.csv", "inspection,engine,date,hours,temperature\nI1,E1,2026-04-18,100,24\n"},
    {NULL, NULL},
};

/* ---- random readings --------------------------------------------------------------------- */

static const char *any_of(te_random *random, const char *const *words, size_t count)
{
    return words[te_random_below(random, count)];
}

#define ANY_OF(words) any_of(random, (words), sizeof(words) / sizeof *(words))

/* Values come in steps, so that many are ties; places are alike, nearly alike, or not given. */
static void add_reading(te_grown *out, te_random *random, const char *feature, const char *item,
                        double size)
{
    static const char *const positions[] = {"10", "10.0004", "28", "28.002", "60", "60", ""};
    static const char *const directions[] = {"thrust", "pin", "pin", "0.0005",  "0.0015",
                                             "45",     "135", "",    "179.9999"};
    static const char *const gauges[] = {"BG", "BG", "A1", "A2", "VAGUE", ""};
    static const char *const parts[] = {"", "X1", "X2", "E1/other"};
    bool own = strncmp(feature, "own", 3) == 0;
    bool placed = strcmp(feature, "bore") == 0 || strcmp(feature, "skirt") == 0;
    const char *position = placed ? ANY_OF(positions) : "";
    const char *direction = placed ? ANY_OF(directions) : "";
    const char *gauge = ANY_OF(gauges);
    double value = size + 0.002 * (double)te_random_below(random, 4);
    for (size_t repeats = 1 + te_random_below(random, 2); repeats > 0; repeats--)
        te_grown_add(out, "I1,%s,%s,%s,%s,%s,%.4f,%s\n", feature, own ? ANY_OF(parts) : "", item,
                     position, direction, value, gauge);
}

static void random_readings(te_grown *out, te_random *random)
{
    static const struct {
        const char *feature;
        double size;
        const char *items[4];
        size_t item_count;
        size_t most;
    } features[] = {
        {"bore", 66.01, {""}, 1, 30},
        {"skirt", 65.93, {""}, 1, 6},
        {"end_gap", 0.3, {"2", "1", "10", ""}, 4, 6},
        {"side_clearance", 0.05, {"2", "1", ""}, 3, 4},
        {"pin", 15.996, {""}, 1, 4},
        {"pin_bore", 16.005, {"right", "left", ""}, 3, 6},
        {"small_end_play", 0.01, {""}, 1, 3},
        {"small_end_bore", 20.01, {""}, 1, 3},
        {"own_b", 3, {"", "x", "y"}, 3, 6},
        {"own_a", 5, {""}, 1, 6},
    };
    te_grown_add(out, "inspection,feature,part,item,position,direction,reading,instrument\n");
    for (size_t i = 0; i < sizeof features / sizeof *features; i++)
        for (size_t n = te_random_below(random, features[i].most + 1); n > 0; n--)
            add_reading(out, random, features[i].feature,
                        any_of(random, features[i].items, features[i].item_count),
                        features[i].size);
}

/* ---- the plain way ----------------------------------------------------------------------- */

/* An inspection, and what one pick is among. */
typedef struct plain {
    const te_shop *shop;
    const te_inspection *inspection;
    const te_observations *pool;
    te_quantity feature;
    te_id item, part;
    bool any_item, any_part, placed;
    double position, direction; /* NAN: any */
} plain;

/* Which places a second pick may be from. */
typedef enum other_place { ANYWHERE, OTHER_POSITION, OTHER_DIRECTION } other_place;

static bool is_in(const plain *p, const te_observation *x)
{
    const double alike = 0.001 + 1e-9;
    return x->feature == p->feature && (p->any_item || x->item == p->item) &&
           (p->any_part || x->part == p->part) &&
           !(p->placed && (isnan(x->position) || isnan(x->direction))) &&
           (isnan(p->position) || fabs(x->position - p->position) <= alike) &&
           (isnan(p->direction) || fabs(x->direction - p->direction) <= alike);
}

/* docs/method.md, "Ties": the larger uncertainty, then by position, direction, instrument, row. */
static bool goes_before(const plain *p, uint32_t a, uint32_t b)
{
    const te_observation *x = &p->pool->items[a], *y = &p->pool->items[b];
    if (fabs(x->u - y->u) > 1e-12 * fmax(x->u, y->u))
        return x->u > y->u;
    if (te_number_order(x->position, y->position) != 0)
        return te_number_order(x->position, y->position) < 0;
    if (te_number_order(x->direction, y->direction) != 0)
        return te_number_order(x->direction, y->direction) < 0;
    int gauges = strcmp(te_shop_text(p->shop, x->instrument), te_shop_text(p->shop, y->instrument));
    return gauges != 0 ? gauges < 0 : x->reading < y->reading;
}

static bool is_elsewhere(const te_observation *x, const te_observation *from, other_place place)
{
    return place == ANYWHERE ||
           (place == OTHER_POSITION ? te_number_order(x->position, from->position)
                                    : te_number_order(x->direction, from->direction)) != 0;
}

/* The extreme one but `without`, NO_INDEX for none, at another place than that. */
static uint32_t pick(const plain *p, double sign, uint32_t without, other_place place)
{
    double extreme = -INFINITY;
    uint32_t best = TE_NO_INDEX;
    for (int pass = 0; pass < 2; pass++)
        for (uint32_t i = 0; i < p->pool->count; i++) {
            const te_observation *x = &p->pool->items[i];
            if (!is_in(p, x) || i == without ||
                (without != TE_NO_INDEX && !is_elsewhere(x, &p->pool->items[without], place)))
                continue;
            if (pass == 0)
                extreme = fmax(extreme, sign * x->value);
            else if (sign * x->value >= extreme - 1e-9 &&
                     (best == TE_NO_INDEX || goes_before(p, i, best)))
                best = i;
        }
    return best;
}

static bool difference(te_form *form, uint32_t high, uint32_t low)
{
    if (high == TE_NO_INDEX || low == TE_NO_INDEX)
        return false;
    te_form minus = te_form_make(low, -1);
    *form = te_form_make(high, 1);
    assert_int_equal(te_form_add(form, form, &minus), TE_OK);
    return true;
}

static bool range(te_form *form, const plain *p, other_place place)
{
    uint32_t high = pick(p, 1, TE_NO_INDEX, ANYWHERE);
    if (high == TE_NO_INDEX)
        return false;
    uint32_t elsewhere = pick(p, -1, high, place), low = pick(p, -1, high, ANYWHERE);
    if (elsewhere == TE_NO_INDEX)
        return false;
    bool alike = p->pool->items[high].value - p->pool->items[low].value <= 1e-9;
    return difference(form, high, alike ? elsewhere : low);
}

static void keep_larger(te_form *best, bool *any, const plain *p, const te_form *form)
{
    double more = te_form_value(p->pool, form) - (*any ? te_form_value(p->pool, best) : -INFINITY);
    bool wins = more > 1e-9;
    if (*any && fabs(more) <= 1e-9) {
        double u = sqrt(te_form_variance(p->pool, form));
        double v = sqrt(te_form_variance(p->pool, best));
        wins = fabs(u - v) > 1e-12 * fmax(u, v)
                   ? u > v
                   : goes_before(p, form->observation[0], best->observation[0]);
    }
    if (wins)
        *best = *form;
    *any = true;
}

/* The largest range over the heights, or over the directions, of the placed readings of the bore. */
static bool form_of_bore(te_form *best, plain p, bool by_height)
{
    bool any = false;
    double last = -INFINITY;
    p.feature = TE_Q_BORE;
    p.placed = true;
    for (;;) {
        double next = INFINITY;
        for (size_t i = 0; i < p.pool->count; i++) {
            const te_observation *x = &p.pool->items[i];
            double place = by_height ? x->position : x->direction;
            if (is_in(&p, x) && place > last && place < next)
                next = place;
        }
        if (isinf(next))
            return any;
        plain at = p;
        te_form form;
        *(by_height ? &at.position : &at.direction) = next;
        if (range(&form, &at, by_height ? OTHER_DIRECTION : OTHER_POSITION))
            keep_larger(best, &any, &p, &form);
        last = next;
    }
}

static bool overall(te_form *best, plain p)
{
    plain along = p, across = p;
    te_form one, other;
    bool any = false;
    along.feature = across.feature = TE_Q_BORE;
    along.placed = across.placed = true;
    along.direction = 0;
    across.direction = 90;
    if (!difference(&one, pick(&along, 1, TE_NO_INDEX, ANYWHERE),
                    pick(&across, -1, TE_NO_INDEX, ANYWHERE)) ||
        !difference(&other, pick(&across, 1, TE_NO_INDEX, ANYWHERE),
                    pick(&along, -1, TE_NO_INDEX, ANYWHERE)))
        return false;
    keep_larger(best, &any, &p, &one);
    keep_larger(best, &any, &p, &other);
    return true;
}

static bool ends(te_form *form, plain p)
{
    p.feature = TE_Q_BORE;
    p.placed = true;
    plain top = p, bottom = p;
    for (size_t i = 0; i < p.pool->count; i++)
        if (is_in(&p, &p.pool->items[i])) {
            top.position = fmin(top.position, p.pool->items[i].position);
            bottom.position = fmax(bottom.position, p.pool->items[i].position);
        }
    return top.position < bottom.position && difference(form, pick(&top, 1, TE_NO_INDEX, ANYWHERE),
                                                        pick(&bottom, -1, TE_NO_INDEX, ANYWHERE));
}

static bool clearance(te_form *low, te_form *high, plain p, const te_quantity_info *info,
                      double direction)
{
    plain hole = p, shaft = p;
    hole.feature = info->feature;
    hole.direction = direction;
    hole.any_item = info->items == TE_ITEMS_NONE;
    shaft.feature = info->second_feature;
    return difference(low, pick(&hole, -1, TE_NO_INDEX, ANYWHERE),
                      pick(&shaft, 1, TE_NO_INDEX, ANYWHERE)) &&
           difference(high, pick(&hole, 1, TE_NO_INDEX, ANYWHERE),
                      pick(&shaft, -1, TE_NO_INDEX, ANYWHERE));
}

static bool extremes(te_form *low, te_form *high, const plain *p)
{
    uint32_t smallest = pick(p, -1, TE_NO_INDEX, ANYWHERE);
    if (smallest == TE_NO_INDEX)
        return false;
    *low = te_form_make(smallest, 1);
    *high = te_form_make(pick(p, 1, TE_NO_INDEX, ANYWHERE), 1);
    return true;
}

/* A known quantity of an item. */
static bool make_plainly(te_measured *out, plain p, te_quantity quantity)
{
    const te_quantity_info *info = te_quantity_info_of(quantity);
    bool made = false;
    switch (quantity) {
    case TE_Q_OUT_OF_ROUND: made = form_of_bore(&out->high, p, true); break;
    case TE_Q_TAPER: made = form_of_bore(&out->high, p, false); break;
    case TE_Q_OUT_OF_ROUND_OVERALL: made = overall(&out->high, p); break;
    case TE_Q_TAPER_ENDS: made = ends(&out->high, p); break;
    case TE_Q_SKIRT_CLEARANCE_THRUST: return clearance(&out->low, &out->high, p, info, 0);
    default:
        if (info->second_feature != TE_Q_NONE)
            return clearance(&out->low, &out->high, p, info, NAN);
        p.feature = quantity;
        p.any_item = info->items == TE_ITEMS_NONE;
        return extremes(&out->low, &out->high, &p);
    }
    out->low = out->high;
    return made;
}

static int compare_words(const te_shop *shop, te_id a, te_id b)
{
    const char *x = te_shop_text(shop, a), *y = te_shop_text(shop, b);
    bool numbers = x[0] >= '0' && x[0] <= '9' && y[0] >= '0' && y[0] <= '9';
    if (numbers && strlen(x) != strlen(y))
        return strlen(x) < strlen(y) ? -1 : 1;
    return strcmp(x, y);
}

/* The items of a feature that were read, in the order of their words. */
static size_t list_items(te_id *items, const plain *p, te_quantity feature)
{
    size_t count = 0;
    for (size_t i = 0; i < p->pool->count; i++) {
        const te_observation *x = &p->pool->items[i];
        size_t at = 0;
        while (at < count && compare_words(p->shop, items[at], x->item) < 0)
            at++;
        if (x->feature != feature || (at < count && items[at] == x->item))
            continue;
        memmove(items + at + 1, items + at, (count - at) * sizeof *items);
        items[at] = x->item;
        assert_true(++count < MOST);
    }
    return count;
}

static size_t make_known_plainly(te_measured *out, plain p)
{
    size_t count = 0;
    for (te_quantity q = 0; q < TE_Q_OWN; q++) {
        te_id items[MOST] = {0};
        const te_quantity_info *info = te_quantity_info_of(q);
        size_t item_count = info->items == TE_ITEMS_NONE ? 1 : list_items(items, &p, info->feature);
        for (size_t i = 0; i < item_count; i++) {
            p.item = items[i];
            out[count] = (te_measured){.quantity = q,
                                       .item = items[i],
                                       .kind = info->kind,
                                       .second_kind = info->second_kind,
                                       .part = p.inspection->part[info->kind]};
            if (info->second_kind != TE_KIND_NONE)
                out[count].second_part = p.inspection->part[info->second_kind];
            count += make_plainly(&out[count], p, q);
        }
    }
    return count;
}

/* Those of the user's own, one an item and part, in the order of their first readings. */
static size_t make_own_plainly(te_measured *out, plain p, size_t count)
{
    for (size_t i = 0; i < p.pool->count; i++) {
        const te_observation *x = &p.pool->items[i];
        bool made = x->feature < TE_Q_OWN;
        for (size_t j = 0; j < i; j++) {
            const te_observation *y = &p.pool->items[j];
            made = made || (y->feature == x->feature && y->item == x->item && y->part == x->part);
        }
        if (made)
            continue;
        p.feature = x->feature;
        p.item = x->item;
        p.part = x->part;
        p.any_item = p.any_part = false;
        out[count] = (te_measured){.quantity = x->feature,
                                   .item = x->item,
                                   .kind = te_inspection_kind_of(p.inspection, x->part),
                                   .second_kind = TE_KIND_NONE,
                                   .part = x->part};
        assert_true(extremes(&out[count].low, &out[count].high, &p));
        assert_true(++count < MOST);
    }
    return count;
}

/* ---- the two against each other ---------------------------------------------------------- */

static void expect_same(const te_measured *made, const te_measured *plainly)
{
    assert_int_equal(made->quantity, plainly->quantity);
    assert_int_equal(made->item, plainly->item);
    assert_int_equal(made->kind, plainly->kind);
    assert_int_equal(made->second_kind, plainly->second_kind);
    assert_int_equal(made->part, plainly->part);
    assert_int_equal(made->second_part, plainly->second_part);
    assert_true(te_form_is_same(&made->low, &plainly->low));
    assert_true(te_form_is_same(&made->high, &plainly->high));
}

/* How often each quantity was there. */
typedef struct tally {
    size_t known[TE_Q_OWN], own;
} tally;

static void try_inspection(tally *seen, te_quantities *list, te_random *random)
{
    static te_measured plainly[MOST];
    te_grown readings = {0};
    te_made_shop made;
    te_observations pool = {0};
    random_readings(&readings, random);
    const te_shop_file changes[] = {{"readings.csv", readings.text}, {NULL, NULL}};
    te_made_read(&made, base, changes);
    const te_inspection *inspection = &made.tables->inspections[0];
    assert_int_equal(te_observe(&pool, made.shop, 0), TE_OK);
    list->count = 0;
    assert_int_equal(te_quantities_make(list, &pool, 0, made.shop, inspection), TE_OK);

    const plain p = {.shop = made.shop,
                     .inspection = inspection,
                     .pool = &pool,
                     .any_item = true,
                     .any_part = true,
                     .position = NAN,
                     .direction = NAN};
    size_t count = make_own_plainly(plainly, p, make_known_plainly(plainly, p));
    assert_int_equal(list->count, count);
    for (size_t i = 0; i < count; i++) {
        expect_same(&list->items[i], &plainly[i]);
        if (plainly[i].quantity < TE_Q_OWN)
            seen->known[plainly[i].quantity]++;
        else
            seen->own++;
    }
    te_observations_free(&pool);
    te_grown_free(&readings);
    te_made_free(&made);
}

static void quantities_are_those_of_the_plain_way(void **state)
{
    (void)state;
    te_random random = te_random_start(20260421);
    te_quantities list = {0}; /* one for all: nothing of an inspection is left to the next */
    tally seen = {0};
    for (size_t round = 0; round < te_test_rounds(400); round++)
        try_inspection(&seen, &list, &random);
    for (te_quantity q = 0; q < TE_Q_OWN; q++)
        assert_true(seen.known[q] > 20);
    assert_true(seen.own > 20);
    te_quantities_free(&list);
}

/* More readings in directions and at heights of their own than could be looked through for each. */
static void many_places_are_sorted(void **state)
{
    (void)state;
    enum { COUNT = 20000 };
    te_grown readings = {0};
    te_made_shop made;
    te_observations pool = {0};
    te_quantities list = {0};
    te_grown_add(&readings, "inspection,feature,position,direction,reading\n");
    for (int i = 0; i < COUNT / 2;
         i++) { /* two heights a direction; that of 45 degrees opens most */
        te_grown_add(&readings, "I1,bore,10.0,%.4f,%.3f\n", 0.015 * i, i == 3000 ? 66.03 : 66.01);
        te_grown_add(&readings, "I1,bore,11.0,%.4f,66.010\n", 0.015 * i);
    }
    const te_shop_file changes[] = {{"readings.csv", readings.text}, {NULL, NULL}};
    te_made_read(&made, base, changes);
    assert_int_equal(te_observe(&pool, made.shop, 0), TE_OK);
    assert_int_equal(te_quantities_make(&list, &pool, 0, made.shop, made.tables->inspections),
                     TE_OK);
    assert_int_equal(pool.count, COUNT);
    assert_int_equal(list.items[2].quantity, TE_Q_TAPER);
    const te_form *taper = &list.items[2].high;
    assert_near(te_form_value(&pool, taper), 0.02, 1e-6);
    assert_near(pool.items[taper->observation[0]].direction, 45, 0);
    assert_near(pool.items[taper->observation[1]].direction, 45, 0);
    te_quantities_free(&list);
    te_observations_free(&pool);
    te_grown_free(&readings);
    te_made_free(&made);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(quantities_are_those_of_the_plain_way),
        cmocka_unit_test(many_places_are_sorted),
    };
    return cmocka_run_group_tests_name("picks", tests, NULL, NULL);
}
