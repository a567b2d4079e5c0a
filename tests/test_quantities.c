/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Which readings make a quantity. A form is written by the lines of readings.csv that stand in
 * it: "+2 -5" is the reading of line 2 less that of line 5.
 */
#include "te_shop_text.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "topend/measure.h"

/* BG and A1 to A3 are alike; VAGUE has twice their expanded uncertainty. No material is given, so
 * values are as read. */
static const te_shop_file base[] = {
    {"engines.csv", "engine,model\nE1,M\n"},
    {"models.csv", "model\nM\n"},
    {"limits.csv", "model,quantity,unit,service_max,source\nM,bore,mm,66.100,invented\n"},
    {"instruments.csv", "instrument,resolution,expanded_uncertainty,repeatability\n"
                        "BG,0.001,0.004,0.001\nA3,0.001,0.004,0.001\nA1,0.001,0.004,0.001\n"
                        "A2,0.001,0.004,0.001\nVAGUE,0.001,0.008,0.001\n"},
    {"inspections.csv", "inspection,engine,date,hours,temperature\nI1,E1,2026-04-18,100,20\n"},
    {NULL, NULL},
};

/* The variants are computed only where a limit names them. */
static const char with_variants[] =
    "model,quantity,unit,service_max,source\nM,bore,mm,66.100,invented\n"
    "M,out_of_round_overall,mm,0.05,invented\nM,taper_ends,mm,0.05,invented\n"
    "M,skirt_clearance_thrust,mm,0.2,invented\n";

typedef struct bench {
    te_made_shop made;
    te_observations pool;
    te_quantities list;
} bench;

static void measure(bench *b, const char *limits, const char *readings)
{
    const te_shop_file changes[] = {
        {"readings.csv", readings}, {limits ? "limits.csv" : NULL, limits}, {NULL, NULL}};
    *b = (bench){0};
    te_made_read(&b->made, base, changes);
    assert_int_equal(te_observe(&b->pool, b->made.shop, 0), TE_OK);
    assert_int_equal(te_quantities_make(&b->list, &b->pool, 0, b->made.shop,
                                        &te_shop_tables(b->made.shop)->inspections[0]),
                     TE_OK);
}

static void clear(bench *b)
{
    te_quantities_free(&b->list);
    te_observations_free(&b->pool);
    te_made_free(&b->made);
}

static const te_measured *find(const bench *b, const char *name, const char *item)
{
    for (size_t i = 0; i < b->list.count; i++) {
        const te_measured *m = &b->list.items[i];
        if (strcmp(te_shop_quantity_name(b->made.shop, m->quantity), name) == 0 &&
            strcmp(te_shop_text(b->made.shop, m->item), item) == 0)
            return m;
    }
    return NULL;
}

static void write_form(char *out, size_t size, const bench *b, const te_form *form)
{
    size_t used = 0;
    out[0] = '\0';
    for (size_t i = 0; i < form->count; i++) {
        const te_observation *x = &b->pool.items[form->observation[i]];
        unsigned line = b->made.tables->readings[x->reading].line;
        assert_near(fabs(form->coefficient[i]), 1, 0);
        int added = snprintf(out + used, size - used, "%s%c%u", i ? " " : "",
                             form->coefficient[i] > 0 ? '+' : '-', line);
        used += (size_t)added;
        assert_true(used < size);
    }
}

/* Fails unless a quantity has these forms; low NULL: it must not be there. */
static void expect_forms(const bench *b, const char *name, const char *item, const char *low,
                         const char *high, int line)
{
    char is_low[64], is_high[64];
    const te_measured *m = find(b, name, item);
    if (!low) {
        if (m)
            fail_msg("case of line %d: %s is there", line, name);
        return;
    }
    if (!m) {
        fail_msg("case of line %d: %s is not there", line, name);
        return;
    }
    write_form(is_low, sizeof is_low, b, &m->low);
    write_form(is_high, sizeof is_high, b, &m->high);
    if (strcmp(is_low, low) != 0 || strcmp(is_high, high) != 0)
        fail_msg("case of line %d: %s is %s | %s, expected %s | %s", line, name, is_low, is_high,
                 low, high);
}

/* ---- every quantity ---------------------------------------------------------------------- */

/* One inspection with everything; the values are worked from its figures by hand. */
static void every_quantity_by_hand(void **state)
{
    (void)state;
    static const char readings[] = "inspection,feature,part,item,position,direction,reading\n"
                                   "I1,bore,,,10,thrust,66.030\n"   /* 2 */
                                   "I1,bore,,,10,pin,66.010\n"      /* 3 */
                                   "I1,bore,,,60,thrust,66.020\n"   /* 4 */
                                   "I1,bore,,,60,pin,66.012\n"      /* 5 */
                                   "I1,skirt,,,,,65.950\n"          /* 6 */
                                   "I1,skirt,,,,pin,65.952\n"       /* 7 */
                                   "I1,end_gap,,2,,,0.35\n"         /* 8 */
                                   "I1,end_gap,,1,,,0.30\n"         /* 9 */
                                   "I1,side_clearance,,1,,,0.05\n"  /* 10 */
                                   "I1,pin,,,5,,16.000\n"           /* 11 */
                                   "I1,pin,,,25,,16.002\n"          /* 12 */
                                   "I1,pin_bore,,right,,,16.012\n"  /* 13 */
                                   "I1,pin_bore,,left,,,16.010\n"   /* 14 */
                                   "I1,small_end_play,,,,,0.02\n"   /* 15 */
                                   "I1,small_end_bore,,,,,16.020\n" /* 16 */
                                   "I1,Squish,,,,,1.1\n"            /* 17 */
                                   "I1,squish,,,,pin,1.3\n"         /* 18 */
                                   "I1,end_gap,,1,60,,0.28\n";      /* 19 */
    static const struct {
        const char *name, *item;
        te_kind kind, second;
        const char *low, *high;
        double value_low, value_high;
    } expected[] = {
        {"bore", "", TE_KIND_CYLINDER, TE_KIND_NONE, "+3", "+2", 66.010, 66.030},
        {"out_of_round", "", TE_KIND_CYLINDER, TE_KIND_NONE, "+2 -3", "+2 -3", 0.020, 0.020},
        {"taper", "", TE_KIND_CYLINDER, TE_KIND_NONE, "+2 -4", "+2 -4", 0.010, 0.010},
        /* thrust 66.030 less pin 66.010, not pin 66.012 less thrust 66.020 */
        {"out_of_round_overall", "", TE_KIND_CYLINDER, TE_KIND_NONE, "+2 -3", "+2 -3", 0.020,
         0.020},
        /* top 66.030 less bottom 66.012 */
        {"taper_ends", "", TE_KIND_CYLINDER, TE_KIND_NONE, "+2 -5", "+2 -5", 0.018, 0.018},
        {"skirt", "", TE_KIND_PISTON, TE_KIND_NONE, "+6", "+7", 65.950, 65.952},
        {"skirt_clearance", "", TE_KIND_CYLINDER, TE_KIND_PISTON, "+3 -7", "+2 -6", 0.058, 0.080},
        {"skirt_clearance_thrust", "", TE_KIND_CYLINDER, TE_KIND_PISTON, "+4 -7", "+2 -6", 0.068,
         0.080},
        {"end_gap", "1", TE_KIND_RING_SET, TE_KIND_NONE, "+19", "+9", 0.28, 0.30},
        {"end_gap", "2", TE_KIND_RING_SET, TE_KIND_NONE, "+8", "+8", 0.35, 0.35},
        {"side_clearance", "1", TE_KIND_RING_SET, TE_KIND_PISTON, "+10", "+10", 0.05, 0.05},
        {"pin", "", TE_KIND_PIN, TE_KIND_NONE, "+11", "+12", 16.000, 16.002},
        {"pin_bore", "left", TE_KIND_PISTON, TE_KIND_NONE, "+14", "+14", 16.010, 16.010},
        {"pin_bore", "right", TE_KIND_PISTON, TE_KIND_NONE, "+13", "+13", 16.012, 16.012},
        {"pin_clearance", "left", TE_KIND_PISTON, TE_KIND_PIN, "+14 -12", "+14 -11", 0.008, 0.010},
        {"pin_clearance", "right", TE_KIND_PISTON, TE_KIND_PIN, "+13 -12", "+13 -11", 0.010, 0.012},
        {"small_end_play", "", TE_KIND_SMALL_END_BEARING, TE_KIND_NONE, "+15", "+15", 0.02, 0.02},
        {"small_end_bore", "", TE_KIND_ROD, TE_KIND_NONE, "+16", "+16", 16.020, 16.020},
        {"small_end_clearance", "", TE_KIND_ROD, TE_KIND_PIN, "+16 -12", "+16 -11", 0.018, 0.020},
        {"squish", "", TE_KIND_OTHER, TE_KIND_NONE, "+17", "+18", 1.1, 1.3},
    };
    bench b;
    measure(&b, with_variants, readings);
    assert_int_equal(b.list.count, sizeof expected / sizeof *expected);
    for (size_t i = 0; i < b.list.count; i++) {
        const te_measured *m = &b.list.items[i];
        char part[64];
        /* in the order of the table, items by number and side */
        assert_string_equal(te_shop_quantity_name(b.made.shop, m->quantity), expected[i].name);
        assert_string_equal(te_shop_text(b.made.shop, m->item), expected[i].item);
        assert_int_equal(m->kind, expected[i].kind);
        assert_int_equal(m->second_kind, expected[i].second);
        (void)snprintf(part, sizeof part, "E1/%s", te_kind_name(m->kind));
        assert_string_equal(te_shop_text(b.made.shop, m->part), part);
        if (m->second_kind == TE_KIND_NONE) {
            assert_int_equal(m->second_part, 0);
        } else {
            (void)snprintf(part, sizeof part, "E1/%s", te_kind_name(m->second_kind));
            assert_string_equal(te_shop_text(b.made.shop, m->second_part), part);
        }
        expect_forms(&b, expected[i].name, expected[i].item, expected[i].low, expected[i].high,
                     __LINE__);
        assert_near(te_form_value(&b.pool, &m->low), expected[i].value_low, 1e-12);
        assert_near(te_form_value(&b.pool, &m->high), expected[i].value_high, 1e-12);
    }
    clear(&b);
}

static void variants_only_where_a_limit_names_them(void **state)
{
    (void)state;
    static const char readings[] = "inspection,feature,position,direction,reading\n"
                                   "I1,bore,10,thrust,66.030\nI1,bore,60,pin,66.012\n"
                                   "I1,skirt,,,65.950\n";
    bench b;
    measure(&b, NULL, readings);
    assert_null(find(&b, "out_of_round_overall", ""));
    assert_null(find(&b, "taper_ends", ""));
    assert_null(find(&b, "skirt_clearance_thrust", ""));
    clear(&b);
    measure(&b, with_variants, readings);
    assert_non_null(find(&b, "out_of_round_overall", ""));
    assert_non_null(find(&b, "taper_ends", ""));
    assert_non_null(find(&b, "skirt_clearance_thrust", ""));
    clear(&b);
}

/* ---- what cannot be computed, and which readings count ----------------------------------- */

typedef struct pick_case {
    int line;
    const char *readings, *quantity, *low, *high; /* low NULL: not there */
} pick_case;

static void try_picks(const pick_case *cases, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        te_grown readings = {0};
        bench b;
        te_grown_add(&readings,
                     "inspection,feature,position,direction,reading,reading_2,instrument\n%s",
                     cases[i].readings);
        measure(&b, with_variants, readings.text);
        expect_forms(&b, cases[i].quantity, "", cases[i].low, cases[i].high, cases[i].line);
        clear(&b);
        te_grown_free(&readings);
    }
}

static void places_decide_what_can_be_computed(void **state)
{
    (void)state;
    static const char one_direction[] =
        "I1,bore,10,thrust,66.02,,BG\nI1,bore,60,thrust,66.01,,BG\n";
    static const char one_height[] = "I1,bore,10,thrust,66.02,,BG\nI1,bore,10,pin,66.01,,BG\n";
    static const char apart[] = "I1,bore,10,thrust,66.02,,BG\nI1,bore,60,pin,66.01,,BG\n";
    static const char pin_larger[] = "I1,bore,10,thrust,66.01,,BG\nI1,bore,10,pin,66.02,,BG\n";
    static const char growing[] = "I1,bore,10,thrust,66.01,,BG\nI1,bore,60,thrust,66.02,,BG\n";
    static const char degrees[] = "I1,bore,10,0,66.02,,BG\nI1,bore,10,90,66.01,,BG\n";
    static const char oblique[] = "I1,bore,10,45,66.02,,BG\nI1,bore,10,135,66.01,,BG\n"
                                  "I1,skirt,,,65.9,,BG\n";
    /* lines 2 to 4: without a place, without a direction, without a height */
    static const char unplaced[] = "I1,bore,,,66.05,,BG\nI1,bore,20,,65.99,,BG\n"
                                   "I1,bore,,pin,66.06,,BG\nI1,bore,10,thrust,66.02,,BG\n"
                                   "I1,bore,10,pin,66.01,,BG\nI1,bore,60,thrust,66.00,,BG\n"
                                   "I1,skirt,,,65.9,,BG\n";
    static const char thrust_only[] = "I1,bore,,thrust,66.05,,BG\nI1,bore,10,pin,66.09,,BG\n"
                                      "I1,skirt,,,65.9,,BG\n";
    const pick_case cases[] = {
        {__LINE__, one_direction, "out_of_round", NULL, NULL},
        {__LINE__, one_direction, "out_of_round_overall", NULL, NULL},
        {__LINE__, one_direction, "taper", "+2 -3", "+2 -3"},
        {__LINE__, one_direction, "taper_ends", "+2 -3", "+2 -3"},
        {__LINE__, one_height, "out_of_round", "+2 -3", "+2 -3"},
        {__LINE__, one_height, "taper", NULL, NULL},
        {__LINE__, one_height, "taper_ends", NULL, NULL},
        {__LINE__, apart, "out_of_round", NULL, NULL},
        {__LINE__, apart, "taper", NULL, NULL},
        {__LINE__, apart, "out_of_round_overall", "+2 -3", "+2 -3"},
        {__LINE__, apart, "taper_ends", "+2 -3", "+2 -3"},
        {__LINE__, apart, "skirt_clearance", NULL, NULL},
        {__LINE__, apart, "skirt", NULL, NULL},
        {__LINE__, pin_larger, "out_of_round", "+3 -2", "+3 -2"},
        {__LINE__, pin_larger, "out_of_round_overall", "+3 -2", "+3 -2"},
        {__LINE__, growing, "taper", "+3 -2", "+3 -2"},
        {__LINE__, growing, "taper_ends", "+2 -3", "+2 -3"}, /* signed */
        {__LINE__, degrees, "out_of_round_overall", "+2 -3", "+2 -3"},
        {__LINE__, oblique, "out_of_round", "+2 -3", "+2 -3"},
        {__LINE__, oblique, "out_of_round_overall", NULL, NULL},
        {__LINE__, oblique, "skirt_clearance", "+3 -4", "+2 -4"},
        {__LINE__, oblique, "skirt_clearance_thrust", NULL, NULL},
        {__LINE__, unplaced, "bore", "+3", "+4"},
        {__LINE__, unplaced, "out_of_round", "+5 -6", "+5 -6"},
        {__LINE__, unplaced, "taper", "+5 -7", "+5 -7"},
        {__LINE__, unplaced, "out_of_round_overall", "+5 -6", "+5 -6"},
        {__LINE__, unplaced, "taper_ends", "+5 -7", "+5 -7"},
        {__LINE__, unplaced, "skirt_clearance", "+3 -8", "+4 -8"},
        {__LINE__, unplaced, "skirt_clearance_thrust", "+7 -8", "+5 -8"},
        {__LINE__, thrust_only, "skirt_clearance_thrust", "+2 -4", "+2 -4"},
    };
    try_picks(cases, sizeof cases / sizeof *cases);
}

/* ---- ties -------------------------------------------------------------------------------- */

static void ties_of_readings(void **state)
{
    (void)state;
    const pick_case cases[] = {
        /* the largest standard uncertainty */
        {__LINE__, "I1,bore,10,thrust,66.01,,BG\nI1,bore,60,thrust,66.01,,VAGUE\n", "bore", "+3",
         "+3"},
        /* a mean of two repeats is surer than one reading */
        {__LINE__, "I1,bore,10,thrust,66.01,66.01,BG\nI1,bore,60,thrust,66.01,,BG\n", "bore", "+3",
         "+3"},
        /* no instrument states nothing and has no uncertainty of its own */
        {__LINE__, "I1,bore,10,thrust,66.01,,\nI1,bore,60,thrust,66.01,,BG\n", "bore", "+3", "+3"},
        /* the lower position, though read later; a blank one last */
        {__LINE__, "I1,bore,60,thrust,66.01,,BG\nI1,bore,10,thrust,66.01,,BG\n", "bore", "+3",
         "+3"},
        {__LINE__, "I1,bore,,thrust,66.01,,BG\nI1,bore,60,thrust,66.01,,BG\n", "bore", "+3", "+3"},
        /* then the direction, a blank one last */
        {__LINE__, "I1,bore,10,pin,66.01,,BG\nI1,bore,10,45,66.01,,BG\n", "bore", "+3", "+3"},
        {__LINE__, "I1,bore,10,,66.01,,BG\nI1,bore,10,pin,66.01,,BG\n", "bore", "+3", "+3"},
        /* position before direction */
        {__LINE__, "I1,bore,60,thrust,66.01,,BG\nI1,bore,10,pin,66.01,,BG\n", "bore", "+3", "+3"},
        /* then the instrument's name */
        {__LINE__, "I1,bore,10,pin,66.01,,A3\nI1,bore,10,pin,66.01,,A1\nI1,bore,10,pin,66.01,,A2\n",
         "bore", "+3", "+3"},
        /* a tie is within 1e-9 mm, and no more */
        {__LINE__, "I1,bore,60,thrust,66.010000001,,BG\nI1,bore,10,thrust,66.01,,BG\n", "bore",
         "+3", "+3"},
        {__LINE__, "I1,bore,60,thrust,66.010000003,,BG\nI1,bore,10,thrust,66.01,,BG\n", "bore",
         "+3", "+2"},
        /* in a clearance on both sides: the vague bore, the higher of two alike skirts by place */
        {__LINE__,
         "I1,bore,10,thrust,66.01,,BG\nI1,bore,60,thrust,66.01,,VAGUE\n"
         "I1,skirt,20,,65.9,,BG\nI1,skirt,10,,65.9,,BG\n",
         "skirt_clearance", "+3 -5", "+3 -5"},
    };
    try_picks(cases, sizeof cases / sizeof *cases);
}

/* In a difference the second pick is never the first's reading: where all are alike it is the next
 * in the order, in another direction or height. */
static void differences_of_alike_readings(void **state)
{
    (void)state;
    static const char square[] = "I1,bore,10,thrust,66.01,,BG\nI1,bore,10,pin,66.01,,BG\n"
                                 "I1,bore,60,thrust,66.01,,BG\nI1,bore,60,pin,66.01,,BG\n";
    const pick_case cases[] = {
        {__LINE__, square, "out_of_round", "+2 -3", "+2 -3"},
        {__LINE__, square, "taper", "+2 -4", "+2 -4"},
        {__LINE__, square, "out_of_round_overall", "+2 -3", "+2 -3"},
        {__LINE__, square, "taper_ends", "+2 -4", "+2 -4"},
        /* the second is in another direction, though the first's place has a vaguer reading */
        {__LINE__,
         "I1,bore,10,thrust,66.01,,VAGUE\nI1,bore,10,thrust,66.01,,BG\nI1,bore,10,pin,66.01,,BG\n",
         "out_of_round", "+2 -4", "+2 -4"},
        {__LINE__,
         "I1,bore,10,thrust,66.01,,VAGUE\nI1,bore,10,thrust,66.01,,BG\n"
         "I1,bore,60,thrust,66.01,,BG\n",
         "taper", "+2 -4", "+2 -4"},
        /* one place read by two gauges is no second direction */
        {__LINE__, "I1,bore,10,thrust,66.02,,VAGUE\nI1,bore,10,thrust,66.01,,BG\n", "out_of_round",
         NULL, NULL},
        /* with a second direction the range is that of all readings at the height */
        {__LINE__,
         "I1,bore,10,thrust,66.03,,VAGUE\nI1,bore,10,thrust,66.01,,BG\nI1,bore,10,pin,66.02,,BG\n",
         "out_of_round", "+2 -3", "+2 -3"},
        /* of two alike smallest the vaguer */
        {__LINE__, "I1,bore,10,0,66.03,,BG\nI1,bore,10,60,66.01,,BG\nI1,bore,10,120,66.01,,VAGUE\n",
         "out_of_round", "+2 -4", "+2 -4"},
    };
    try_picks(cases, sizeof cases / sizeof *cases);
}

static void ties_of_differences(void **state)
{
    (void)state;
    const pick_case cases[] = {
        /* 0.010 at both heights: by the order of the larger reading, the lower position */
        {__LINE__,
         "I1,bore,60,thrust,66.02,,BG\nI1,bore,60,pin,66.01,,BG\n"
         "I1,bore,10,thrust,66.03,,BG\nI1,bore,10,pin,66.02,,BG\n",
         "out_of_round", "+4 -5", "+4 -5"},
        /* the larger uncertainty: two gauges do not cancel, one does */
        {__LINE__,
         "I1,bore,10,thrust,66.02,,BG\nI1,bore,10,pin,66.01,,BG\n"
         "I1,bore,60,thrust,66.03,,BG\nI1,bore,60,pin,66.02,,A1\n",
         "out_of_round", "+4 -5", "+4 -5"},
        /* a vague gauge that cancels is no larger uncertainty of the difference, but its reading
         * is the one that counts then: both differences have BG's and VAGUE's own scatter alike */
        {__LINE__,
         "I1,bore,10,thrust,66.02,,BG\nI1,bore,10,pin,66.01,,BG\n"
         "I1,bore,60,thrust,66.03,,VAGUE\nI1,bore,60,pin,66.02,,VAGUE\n",
         "out_of_round", "+4 -5", "+4 -5"},
        /* a larger difference comes first whatever the uncertainties */
        {__LINE__,
         "I1,bore,10,thrust,66.0200001,,BG\nI1,bore,10,pin,66.01,,BG\n"
         "I1,bore,60,thrust,66.03,,VAGUE\nI1,bore,60,pin,66.02,,A1\n",
         "out_of_round", "+2 -3", "+2 -3"},
        /* taper alike in both directions: by the direction of the larger reading */
        {__LINE__,
         "I1,bore,10,pin,66.02,,BG\nI1,bore,60,pin,66.01,,BG\n"
         "I1,bore,10,thrust,66.02,,BG\nI1,bore,60,thrust,66.01,,BG\n",
         "taper", "+4 -5", "+4 -5"},
        /* overall, both ways 0.010: the larger reading at the lower position, the pin's */
        {__LINE__,
         "I1,bore,10,pin,66.02,,BG\nI1,bore,60,thrust,66.02,,BG\n"
         "I1,bore,30,pin,66.01,,BG\nI1,bore,70,thrust,66.01,,BG\n",
         "out_of_round_overall", "+2 -5", "+2 -5"},
    };
    try_picks(cases, sizeof cases / sizeof *cases);
}

/* Places that are alike within 0.001 are one. */
static void alike_places_are_one(void **state)
{
    (void)state;
    const pick_case cases[] = {
        {__LINE__, "I1,bore,10,0,66.02,,BG\nI1,bore,10.001,90.001,66.01,,BG\n", "out_of_round",
         "+2 -3", "+2 -3"},
        {__LINE__, "I1,bore,10,0,66.02,,BG\nI1,bore,10.0021,90,66.01,,BG\n", "out_of_round", NULL,
         NULL},
        {__LINE__, "I1,bore,10,0.001,66.02,,BG\nI1,bore,60,89.999,66.01,,BG\n",
         "out_of_round_overall", "+2 -3", "+2 -3"},
        {__LINE__, "I1,bore,10,0.01,66.02,,BG\nI1,bore,60,90,66.01,,BG\n", "out_of_round_overall",
         NULL, NULL},
    };
    try_picks(cases, sizeof cases / sizeof *cases);
}

/* ---- items and features of the user's own ------------------------------------------------- */

static void items_stand_in_the_order_of_their_numbers(void **state)
{
    (void)state;
    static const char readings[] = "inspection,feature,item,reading\nI1,end_gap,10,0.31\n"
                                   "I1,end_gap,2,0.32\nI1,end_gap,,0.33\nI1,end_gap,1,0.34\n";
    static const char *const order[] = {"", "1", "2", "10"};
    bench b;
    measure(&b, NULL, readings);
    assert_int_equal(b.list.count, 4);
    for (size_t i = 0; i < 4; i++)
        assert_string_equal(te_shop_text(b.made.shop, b.list.items[i].item), order[i]);
    clear(&b);
}

/* Each boss has its own clearance with the one pin; without a pin there is none. */
static void a_clearance_takes_its_own_boss(void **state)
{
    (void)state;
    static const char bosses[] = "inspection,feature,item,reading\nI1,pin_bore,left,16.02\n"
                                 "I1,pin_bore,right,16.03\n";
    bench b;
    measure(&b, NULL, bosses);
    assert_null(find(&b, "pin_clearance", "left"));
    clear(&b);
    te_grown with_pin = {0};
    te_grown_add(&with_pin, "%sI1,pin,,16.00\n", bosses);
    measure(&b, NULL, with_pin.text);
    expect_forms(&b, "pin_clearance", "left", "+2 -4", "+2 -4", __LINE__);
    expect_forms(&b, "pin_clearance", "right", "+3 -4", "+3 -4", __LINE__);
    clear(&b);
    te_grown_free(&with_pin);
}

/* A feature of the user's own: one for each part and item, in the order in which features were
 * read, printed in lower case; on a named part it is of that part's kind. */
static void features_of_the_users_own(void **state)
{
    (void)state;
    static const te_shop_file changes[] = {
        {"parts.csv", "part,kind,engine,fitted_hours\nH1,head,E1,0\nC1,cylinder,E1,0\n"
                      "X1,other,E1,0\nX2,other,E1,0\n"},
        {"readings.csv", "inspection,feature,part,item,reading,unit\n"
                         "I1,Squish,H1,,1.2,mm\nI1,leak,,a,30,kPa\nI1,leak,,b,20,kPa\n"
                         "I1,squish,C1,,1.1,mm\nI1,leak,,a,40,kPa\nI1,squish,X2,,1.3,mm\n"
                         "I1,squish,X1,,-1.4,mm\n"},
        {NULL, NULL}};
    static const struct {
        const char *name, *part, *item;
        te_kind kind;
        double low, high;
    } expected[] = {
        {"squish", "H1", "", TE_KIND_HEAD, 1.2, 1.2},
        {"squish", "C1", "", TE_KIND_CYLINDER, 1.1, 1.1},
        {"squish", "X1", "", TE_KIND_OTHER, -1.4, -1.4},
        {"squish", "X2", "", TE_KIND_OTHER, 1.3, 1.3},
        {"leak", "E1/other", "a", TE_KIND_OTHER, 35, 35}, /* two rows are repeats: their mean */
        {"leak", "E1/other", "b", TE_KIND_OTHER, 20, 20},
    };
    bench b = {0};
    te_made_read(&b.made, base, changes);
    assert_int_equal(te_observe(&b.pool, b.made.shop, 0), TE_OK);
    assert_int_equal(te_quantities_make(&b.list, &b.pool, 0, b.made.shop,
                                        &te_shop_tables(b.made.shop)->inspections[0]),
                     TE_OK);
    assert_int_equal(b.list.count, 6);
    for (size_t i = 0; i < 6; i++) {
        const te_measured *found = NULL;
        for (size_t k = 0; k < 6; k++) {
            const te_measured *m = &b.list.items[k];
            if (strcmp(te_shop_quantity_name(b.made.shop, m->quantity), expected[i].name) == 0 &&
                strcmp(te_shop_text(b.made.shop, m->part), expected[i].part) == 0 &&
                strcmp(te_shop_text(b.made.shop, m->item), expected[i].item) == 0)
                found = m;
        }
        assert_non_null(found);
        assert_int_equal(found->kind, expected[i].kind);
        assert_int_equal(found->second_kind, TE_KIND_NONE);
        assert_near(te_form_value(&b.pool, &found->low), expected[i].low, 1e-12);
        assert_near(te_form_value(&b.pool, &found->high), expected[i].high, 1e-12);
        /* squish was read first */
        bool is_squish = strcmp(te_shop_quantity_name(b.made.shop, b.list.items[i].quantity),
                                "squish") == 0;
        assert_int_equal(is_squish, i < 4);
    }
    clear(&b);
}

/* A named part is carried into the quantity, and into the pair that it makes. */
static void quantities_carry_their_parts(void **state)
{
    (void)state;
    static const te_shop_file changes[] = {
        {"parts.csv", "part,kind,engine,fitted_hours\nC1,cylinder,E1,0\nK1,piston,E1,0\n"},
        {"readings.csv", "inspection,feature,part,reading\nI1,bore,,66.01\nI1,skirt,K1,65.9\n"},
        {NULL, NULL}};
    bench b = {0};
    te_made_read(&b.made, base, changes);
    assert_int_equal(te_observe(&b.pool, b.made.shop, 0), TE_OK);
    assert_int_equal(te_quantities_make(&b.list, &b.pool, 0, b.made.shop,
                                        &te_shop_tables(b.made.shop)->inspections[0]),
                     TE_OK);
    const te_measured *m = find(&b, "skirt_clearance", "");
    assert_non_null(m);
    assert_string_equal(te_shop_text(b.made.shop, m->part), "C1");
    assert_string_equal(te_shop_text(b.made.shop, m->second_part), "K1");
    clear(&b);
}

/* No readings, no quantities; a later inspection's stand behind another's in the same pool. */
static void only_the_inspections_own_readings_count(void **state)
{
    (void)state;
    static const te_shop_file changes[] = {
        {"inspections.csv", "inspection,engine,date,hours,temperature\n"
                            "I1,E1,2026-04-18,100,20\nI2,E1,2026-05-18,110,20\n"
                            "I3,E1,2026-06-18,120,20\n"},
        {"readings.csv", "inspection,feature,reading\nI1,bore,66.01\nI2,skirt,65.9\n"},
        {NULL, NULL}};
    bench b = {0};
    te_made_read(&b.made, base, changes);
    assert_int_equal(te_observe(&b.pool, b.made.shop, 0), TE_OK);
    uint32_t first = (uint32_t)b.pool.count;
    assert_int_equal(te_observe(&b.pool, b.made.shop, 1), TE_OK);
    assert_int_equal(te_quantities_make(&b.list, &b.pool, first, b.made.shop,
                                        &te_shop_tables(b.made.shop)->inspections[1]),
                     TE_OK);
    assert_int_equal(b.list.count, 1);
    assert_int_equal(b.list.items[0].quantity, TE_Q_SKIRT);
    first = (uint32_t)b.pool.count;
    assert_int_equal(te_observe(&b.pool, b.made.shop, 2), TE_OK);
    assert_int_equal(te_quantities_make(&b.list, &b.pool, first, b.made.shop,
                                        &te_shop_tables(b.made.shop)->inspections[2]),
                     TE_OK);
    assert_int_equal(b.list.count, 1);
    clear(&b);
    te_quantities_free(NULL);
}

/* ---- ovals of the bore ------------------------------------------------------------------- */

/* Heights with three directions or more; readings without a height or a direction, or of another
 * feature, have no part. At 20 mm: 66.03, 66.00 and 66.01 at 0, 45 and 90 degrees give mean 66.02,
 * a 0.01, b -0.02 (at 0 and 90 b has no part; at 45 it is mean + b). */
static void ovals_at_each_height_with_three_directions(void **state)
{
    (void)state;
    static const char readings[] = "inspection,feature,position,direction,reading\n"
                                   "I1,bore,60,0,66.02\nI1,bore,60,90,66.01\n"
                                   "I1,bore,20,0,66.03\nI1,bore,20,45,66.00\n"
                                   "I1,bore,20,90,66.01\nI1,bore,20,,66.09\n"
                                   "I1,bore,10,0,66.02\nI1,bore,10,60,66.02\n"
                                   "I1,bore,10,120,66.02\nI1,bore,10,150,66.02\n"
                                   "I1,bore,,30,66.05\nI1,bore,,,66.05\n"
                                   "I1,skirt,20,30,65.9\nI1,skirt,20,60,65.9\nI1,skirt,20,0,65.9\n";
    te_bore_oval *ovals = NULL;
    size_t count = 0;
    bench b;
    measure(&b, NULL, readings);
    assert_int_equal(te_bore_ovals(&ovals, &count, &b.pool, 0), TE_OK);
    assert_int_equal(count, 2);
    assert_near(ovals[0].position, 10, 0);
    assert_int_equal(ovals[0].directions, 4);
    assert_near(ovals[0].oval.mean, 66.02, 1e-12);
    assert_near(ovals[0].oval.ovality, 0, 1e-12);
    assert_near(ovals[1].position, 20, 0);
    assert_int_equal(ovals[1].directions, 3);
    assert_near(ovals[1].oval.mean, 66.02, 1e-12);
    assert_near(ovals[1].oval.ovality, 2 * sqrt(0.0005), 1e-12);
    free(ovals);
    clear(&b);
}

/* The deepest height has the readings without a height behind it; they are none of its. */
static void the_deepest_oval_takes_no_stray_readings(void **state)
{
    (void)state;
    static const char two[] = "inspection,feature,position,direction,reading\n"
                              "I1,bore,20,0,66.03\nI1,bore,20,90,66.01\nI1,bore,,45,66.00\n";
    static const char three[] = "inspection,feature,position,direction,reading\n"
                                "I1,bore,20,0,66.03\nI1,bore,20,45,66.00\nI1,bore,20,90,66.01\n"
                                "I1,bore,,135,66.09\n";
    te_bore_oval *ovals = NULL;
    size_t count = 0;
    bench b;
    measure(&b, NULL, two);
    assert_int_equal(te_bore_ovals(&ovals, &count, &b.pool, 0), TE_OK);
    assert_int_equal(count, 0);
    assert_null(ovals);
    clear(&b);
    measure(&b, NULL, three);
    assert_int_equal(te_bore_ovals(&ovals, &count, &b.pool, 0), TE_OK);
    assert_int_equal(count, 1);
    assert_int_equal(ovals[0].directions, 3);
    assert_near(ovals[0].oval.mean, 66.02, 1e-12);
    free(ovals);
    clear(&b);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_quantity_by_hand),
        cmocka_unit_test(variants_only_where_a_limit_names_them),
        cmocka_unit_test(places_decide_what_can_be_computed),
        cmocka_unit_test(ties_of_readings),
        cmocka_unit_test(differences_of_alike_readings),
        cmocka_unit_test(ties_of_differences),
        cmocka_unit_test(alike_places_are_one),
        cmocka_unit_test(items_stand_in_the_order_of_their_numbers),
        cmocka_unit_test(a_clearance_takes_its_own_boss),
        cmocka_unit_test(features_of_the_users_own),
        cmocka_unit_test(quantities_carry_their_parts),
        cmocka_unit_test(only_the_inspections_own_readings_count),
        cmocka_unit_test(ovals_at_each_height_with_three_directions),
        cmocka_unit_test(the_deepest_oval_takes_no_stray_readings),
    };
    return cmocka_run_group_tests_name("quantities", tests, NULL, NULL);
}
