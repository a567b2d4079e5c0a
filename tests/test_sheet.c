/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The measuring sheet: which places in which order, what a row asks for, last time's values, the
 * files that come back, the document and its sketch. All figures are invented.
 */
#include "te_shop_text.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "topend/sheet.h"

static const te_date day = 20727; /* 2026-10-01 */

/* One inspection at 30 degrees and one at 20; the piston was changed between them. */
static const te_shop_file base[] = {
    {"engines.csv", "engine,model\nE1,M\nE2,M\nE3,N\n"},
    {"models.csv", "model,piston_material\nM,aluminium\nN,\n"},
    {"limits.csv", "model,quantity,item,unit,new_min,new_max,service_min,service_max,source\n"
                   "M,bore,,mm,66.000,66.020,,66.100,invented\n"
                   "M,skirt,,mm,65.920,65.940,65.870,,invented\n"
                   "M,end_gap,,mm,0.25,0.40,,0.80,invented\n"
                   "M,compression,,kPa,,,700,,invented\n"
                   "N,bore,,mm,66,66.02,,66.1,invented\n"},
    {"instruments.csv", "instrument,unit,resolution,expanded_uncertainty,repeatability,set_with\n"
                        "MIC,mm,0.001,0.002,0.001,\nBG,mm,0.001,0.002,0.001,MIC\n"
                        "FEEL,,,0.004,,\nMICIN,in,0.0001,0.0001,0.00004,\nCG,kPa,10,30,10,\n"},
    {"parts.csv", "part,kind,engine,fitted_hours,removed_hours,oversize\n"
                  "K1,piston,E1,0,150,\nK2,piston,E1,150,,0.25\nH1,head,E1,0,,\n"
                  "C2,cylinder,E2,0,90,\n"},
    {"inspections.csv", "inspection,engine,date,hours,state,temperature\n"
                        "I1,E1,2026-02-01,100,found,30\nI2,E1,2026-06-01,200,found,20\n"},
    {"readings.csv", "inspection,feature,part,item,position,direction,reading,reading_2,no_go,"
                     "zero,instrument\n"
                     "I1,skirt,,,12,thrust,65.930,65.932,,,MIC\n"
                     "I1,end_gap,,1,60,,0.30,,0.35,,FEEL\n"
                     "I2,bore,,,60,pin,0.011,,,66.000,BG\n"
                     "I2,bore,,,10,thrust,0.021,0.023,,66.000,BG\n"
                     "I2,bore,,,10,thrust,0.022,,,66.000,BG\n"
                     "I2,bore,,,10,pin,0.016,0.018,,66.000,BG\n"},
    {"plan.csv", "model,feature,item,position,direction,repeats,instrument\n"
                 "M,bore,,10.5,thrust,3,BG\nM,end_gap,1,60,,,FEEL\nM,skirt,,12,0,2,MIC\n"
                 "M,bore,,10,pin,,BG\nM,compression,,,,5,CG\n"},
    {NULL, NULL},
};

/* The shop without a plan. */
static const te_shop_file no_plan[] = {
    {"plan.csv", "model,feature\n"},
    {NULL, NULL},
};

typedef struct bench {
    te_made_shop made;
    te_sheet sheet;
} bench;

static te_sheet_answer make(bench *b, const char *engine, const char *inspection)
{
    te_sheet_order order = {te_made_engine(&b->made, engine), inspection, day};
    assert_int_equal(te_sheet_make(&b->sheet, b->made.shop, &order), TE_OK);
    assert_non_null(b->sheet.inspection);
    return b->sheet.answer;
}

static void read_shop(bench *b, const te_shop_file *changes)
{
    *b = (bench){0};
    te_made_read(&b->made, base, changes);
}

static void start(bench *b, const te_shop_file *changes, const char *engine)
{
    read_shop(b, changes);
    assert_int_equal(make(b, engine, NULL), TE_SHEET_MADE);
}

static void clear(bench *b)
{
    te_sheet_free(&b->sheet);
    te_sheet_free(NULL);
    te_made_free(&b->made);
}

static char *csv_of(const bench *b)
{
    te_buffer out = {0};
    const char *name = NULL;
    assert_int_equal(te_sheet_csv(&out, &name, &b->sheet, b->made.shop), TE_SHEET_SOUND);
    assert_false(out.failed);
    assert_null(name);
    return out.bytes;
}

static char *row_of(const bench *b)
{
    te_buffer out = {0};
    const char *name = NULL;
    assert_int_equal(te_sheet_inspection_row(&out, &name, &b->sheet, b->made.shop), TE_SHEET_SOUND);
    assert_false(out.failed);
    return out.bytes;
}

/* Places as text: `feature item position direction xrepeats instrument`, one a line. */
static void expect_places(const bench *b, const char *expected)
{
    te_grown text = {0};
    for (size_t i = 0; i < b->sheet.place_count; i++) {
        const te_sheet_place *p = &b->sheet.places[i];
        te_grown_add(&text, "%s %s %g %g x%u %s\n", te_shop_quantity_name(b->made.shop, p->feature),
                     te_shop_text(b->made.shop, p->item), p->position, p->direction, p->repeats,
                     te_shop_text(b->made.shop, p->instrument));
    }
    assert_string_equal(text.text, expected);
    te_grown_free(&text);
}

/* ---- places ------------------------------------------------------------------------------ */

static void plan_in_its_order(void **state)
{
    (void)state;
    bench b;
    start(&b, NULL, "E1");
    assert_true(b.sheet.planned);
    expect_places(&b, "bore  10.5 0 x3 BG\nend_gap 1 60 nan x1 FEEL\nskirt  12 0 x2 MIC\n"
                      "bore  10 90 x1 BG\ncompression  nan nan x5 CG\n");
    clear(&b);
}

/* The order of the file, not of heights and directions; the two rows alike are three repeats. */
static void last_inspection_in_file_order(void **state)
{
    (void)state;
    bench b;
    start(&b, no_plan, "E1");
    assert_false(b.sheet.planned);
    assert_int_equal(b.sheet.follows, te_made_inspection(&b.made, "I2"));
    expect_places(&b, "bore  60 90 x1 BG\nbore  10 0 x3 BG\nbore  10 90 x2 BG\n");
    clear(&b);
}

/* An inspection of condition alone has no places: the one before is followed. */
static void inspection_without_readings_is_passed_over(void **state)
{
    (void)state;
    static const te_shop_file changes[] = {
        {"plan.csv", "model,feature\n"},
        {"inspections.csv", "inspection,engine,date,hours,state\nI1,E1,2026-02-01,100,found\n"
                            "I2,E1,2026-06-01,200,found\nI3,E1,2026-07-01,210,found\n"},
        {"condition.csv", "inspection,part,finding,severity\nI3,cylinder,scored,watch\n"},
        {NULL, NULL}};
    bench b;
    start(&b, changes, "E1");
    assert_int_equal(b.sheet.follows, te_made_inspection(&b.made, "I2"));
    assert_int_equal(b.sheet.place_count, 3);
    clear(&b);
}

static void nothing_to_go_by(void **state)
{
    (void)state;
    bench b;
    read_shop(&b, NULL);
    assert_int_equal(make(&b, "E3", NULL), TE_SHEET_NOTHING);
    assert_int_equal(b.sheet.place_count, 0);
    assert_string_equal(b.sheet.inspection, "E3-2026-10-01");
    assert_int_equal(make(&b, "E2", NULL), TE_SHEET_MADE); /* planned, never inspected */
    assert_int_equal(b.sheet.place_count, 5);
    assert_int_equal(b.sheet.places[0].last, TE_NO_INDEX);
    clear(&b);
}

/* ---- last time --------------------------------------------------------------------------- */

static void last_values_by_hand(void **state)
{
    (void)state;
    bench b;
    start(&b, NULL, "E1");
    const te_sheet_place *p = b.sheet.places;
    uint32_t i1 = te_made_inspection(&b.made, "I1");
    uint32_t i2 = te_made_inspection(&b.made, "I2");
    /* 10.5 is read at 10: mean of 0.021, 0.023, 0.022 on 66, at 20 degrees as read */
    assert_int_equal(p[0].last, i2);
    assert_near(p[0].last_value, 66.022, 1e-9);
    assert_true(p[0].last_on_now);
    /* the middle of the leaves 0.30 and 0.35; no material: as read */
    assert_int_equal(p[1].last, i1);
    assert_near(p[1].last_value, 0.325, 1e-9);
    assert_true(p[1].last_on_now); /* the ring set is the original one still */
    /* at 30 degrees, steel against aluminium: 65.931 (1 + 11.5e-6 10) / (1 + 22e-6 10) */
    assert_int_equal(p[2].last, i1);
    assert_near(p[2].last_value, 65.931 * 1.000115 / 1.00022, 1e-9);
    assert_false(p[2].last_on_now); /* K1 came off at 150 h */
    assert_near(p[3].last_value, 66.017, 1e-9);
    assert_int_equal(p[4].last, TE_NO_INDEX);
    clear(&b);
}

/* Half a millimetre and one degree are near, a little more is not; 179.5 is near 0. Of two near
 * ones the nearer; of two as near the one with the planned gauge. */
static void what_is_near(void **state)
{
    (void)state;
    static const te_shop_file changes[] = {
        {"readings.csv", "inspection,feature,position,direction,reading,instrument\n"
                         "I2,bore,10,thrust,66.010,\nI2,bore,10.3,179.6,66.011,\n"
                         "I2,bore,40,20,66.020,\nI2,bore,70,20,66.030,BG\n"
                         "I2,bore,70,20,66.031,MIC\nI2,bore,70,20,66.032,\n"},
        {"plan.csv", "model,feature,position,direction,instrument\n"
                     "M,bore,10.4,0,\nM,bore,9.5,0,\nM,bore,9.4,0,\nM,bore,40,21,\n"
                     "M,bore,40,21.1,\nM,bore,70,20,MIC\nM,bore,,20.9,BG\n"},
        {NULL, NULL}};
    static const double expected[] = {66.011, 66.010, NAN, 66.020, NAN, 66.031, 66.030};
    bench b;
    start(&b, changes, "E1");
    for (size_t i = 0; i < sizeof expected / sizeof *expected; i++) {
        const te_sheet_place *p = &b.sheet.places[i];
        assert_int_equal(p->last == TE_NO_INDEX, isnan(expected[i]));
        if (!isnan(expected[i]))
            assert_near(p->last_value, expected[i], 1e-9);
    }
    clear(&b);
}

/* Where a row leaves something open, what was read without it stands for it before what was read with
 * it; a feature of the user's own is that of the same part. */
static void the_nearest_has_no_more_than_asked(void **state)
{
    (void)state;
    static const te_shop_file planned[] = {
        {"readings.csv", "inspection,feature,item,position,direction,reading\n"
                         "I2,bore,,10,thrust,66.010\nI2,bore,,10,,66.011\n"
                         "I2,bore,,10,pin,66.012\nI2,bore,,,,66.013\nI2,bore,,70,,66.014\n"
                         "I2,knock,1,,,7\nI2,knock,,,,8\nI2,knock,2,,,9\n"},
        {"plan.csv", "model,feature,item,position,direction\n"
                     "M,bore,,10,\nM,bore,,,\nM,bore,,,90\nM,knock,,,\nM,knock,2,,\n"},
        {NULL, NULL}};
    static const double expected[] = {66.011, 66.013, 66.012, 8, 9};
    static const te_shop_file followed[] = {
        {"plan.csv", "model,feature\n"},
        {"parts.csv", "part,kind,engine,fitted_hours\nX1,other,E1,0\nX2,other,E1,0\n"},
        {"readings.csv", "inspection,feature,part,reading\nI2,lift,X1,0.2\nI2,lift,X2,0.3\n"},
        {NULL, NULL}};
    bench b;
    start(&b, planned, "E1");
    for (size_t i = 0; i < sizeof expected / sizeof *expected; i++)
        assert_near(b.sheet.places[i].last_value, expected[i], 1e-9);
    clear(&b);
    start(&b, followed, "E1");
    assert_int_equal(b.sheet.place_count, 2);
    assert_near(b.sheet.places[0].last_value, 0.2, 1e-9);
    assert_near(b.sheet.places[1].last_value, 0.3, 1e-9);
    assert_string_equal(te_shop_text(b.made.shop, b.sheet.places[1].part), "X2");
    clear(&b);
}

/* A gap rests on the cylinder too, a side clearance on the piston: the ring set stayed, they did
 * not. */
static void last_time_with_another_partner(void **state)
{
    (void)state;
    static const te_shop_file changes[] = {
        {"parts.csv", "part,kind,engine,fitted_hours,removed_hours\nC1,cylinder,E1,0,150\n"
                      "C2,cylinder,E1,150,\nK1,piston,E1,0,150\nK2,piston,E1,150,\n"
                      "R1,ring_set,E1,0,\n"},
        {"inspections.csv", "inspection,engine,date,hours\nI1,E1,2026-02-01,100\n"
                            "I2,E1,2026-06-01,200\n"},
        {"readings.csv", "inspection,feature,item,reading\nI1,end_gap,1,0.30\n"
                         "I1,side_clearance,1,0.05\nI1,end_gap,2,0.30\nI2,end_gap,2,0.31\n"},
        {"plan.csv", "model,feature,item\nM,end_gap,1\nM,side_clearance,1\nM,end_gap,2\n"},
        {NULL, NULL}};
    bench b;
    start(&b, changes, "E1");
    assert_false(b.sheet.places[0].last_on_now);
    assert_false(b.sheet.places[1].last_on_now);
    assert_true(b.sheet.places[2].last_on_now);
    clear(&b);
}

/* The rings came off, or all that a value rests on is on still. */
static void last_time_of_parts_that_stay(void **state)
{
    (void)state;
    for (int stays = 0; stays < 2; stays++) {
        const te_shop_file changes[] = {
            {"parts.csv", stays ? "part,kind,engine,fitted_hours,removed_hours\nR1,ring_set,E1,0,\n"
                                  "K1,piston,E1,0,\n"
                                : "part,kind,engine,fitted_hours,removed_hours\n"
                                  "R1,ring_set,E1,0,150\nR2,ring_set,E1,150,\nK1,piston,E1,0,\n"},
            {"readings.csv",
             "inspection,feature,item,reading\nI1,end_gap,1,0.30\nI1,side_clearance,1,0.05\n"},
            {"plan.csv", "model,feature,item\nM,end_gap,1\nM,side_clearance,1\n"},
            {NULL, NULL}};
        bench b;
        start(&b, changes, "E1");
        assert_int_equal(b.sheet.places[0].last_on_now, stays);
        assert_int_equal(b.sheet.places[1].last_on_now, stays);
        clear(&b);
    }
}

/* ---- limits and parts -------------------------------------------------------------------- */

static void limits_of_the_part_on_now(void **state)
{
    (void)state;
    bench b;
    start(&b, NULL, "E1");
    const te_sheet_place *p = b.sheet.places;
    assert_true(p[0].has_limit);
    assert_near(p[0].limit.new_max, 66.020, 1e-9);
    assert_near(p[0].limit.service_max, 66.100, 1e-9);
    assert_near(p[2].limit.new_min, 65.920 + 0.25, 1e-9); /* K2 is 0.25 over */
    assert_near(p[2].limit.service_min, 65.870 + 0.25, 1e-9);
    assert_true(isnan(p[2].limit.service_max));
    assert_near(p[4].limit.service_min, 700, 0);
    assert_int_equal(b.sheet.parts[TE_KIND_PISTON].on, TE_SHEET_ON_NAMED);
    assert_string_equal(te_shop_text(b.made.shop, b.sheet.parts[TE_KIND_PISTON].part), "K2");
    assert_near(b.sheet.parts[TE_KIND_PISTON].oversize, 0.25, 0);
    assert_int_equal(b.sheet.parts[TE_KIND_CYLINDER].on, TE_SHEET_ON_ORIGINAL);
    clear(&b);
    /* E2's cylinder is off: the size of the one to come is not known, its gaps' limits are */
    start(&b, NULL, "E2");
    assert_int_equal(b.sheet.parts[TE_KIND_CYLINDER].on, TE_SHEET_ON_NONE);
    assert_false(b.sheet.places[0].has_limit);
    assert_true(b.sheet.places[1].has_limit);
    clear(&b);
}

/* K1 came off and went back, bored piston and all: the limits are those of the stay that lasts. */
static void limits_of_a_part_that_came_back(void **state)
{
    (void)state;
    static const te_shop_file changes[] = {
        {"parts.csv", "part,kind,engine,fitted_hours,removed_hours,hours_before,oversize\n"
                      "K1,piston,E1,0,120,,\nK2,piston,E1,120,150,,\nK1,piston,E1,150,,120,0.25\n"},
        {NULL, NULL}};
    bench b;
    start(&b, changes, "E1");
    assert_string_equal(te_shop_text(b.made.shop, b.sheet.parts[TE_KIND_PISTON].part), "K1");
    assert_near(b.sheet.places[2].limit.new_min, 65.920 + 0.25, 1e-9);
    assert_true(b.sheet.places[2].last_on_now);
    clear(&b);
}

static void what_rows_ask_for(void **state)
{
    (void)state;
    static const te_shop_file changes[] = {
        {"plan.csv", "model,feature,item,position,direction,repeats,instrument\n"
                     "M,bore,,10,thrust,1,BG\n"  /* read with it: a zero */
                     "M,bore,,10,thrust,1,MIC\n" /* another: no zero */
                     "M,skirt,,12,0,1,MICIN\n"   /* another: inches */
                     "M,end_gap,1,60,,1,FEEL\n"  /* leaves */
                     "M,end_gap,2,60,,1,FEEL\n"  /* never read: it has no resolution */
                     "M,bore,,90,thrust,1,BG\n"  /* never read: it is set with another */
                     "M,compression,,,,1,CG\n"   /* never read: the limit's unit */
                     "M,bore,,60,pin,1,\n"       /* no gauge named: as last time */
                     "M,pin,,,,1,UNDECLARED\n"},
        {NULL, NULL}};
    static const struct {
        bool no_go, zero;
        const char *unit;
    } expected[] = {{false, true, ""},     {false, false, ""}, {false, false, "in"},
                    {true, false, ""},     {true, false, ""},  {false, true, ""},
                    {false, false, "kPa"}, {false, true, ""},  {false, false, ""}};
    bench b;
    start(&b, changes, "E1");
    for (size_t i = 0; i < sizeof expected / sizeof *expected; i++) {
        const te_sheet_place *p = &b.sheet.places[i];
        assert_int_equal(p->no_go, expected[i].no_go);
        assert_int_equal(p->zero, expected[i].zero);
        const char *unit = p->unit == TE_UNIT_OWN  ? te_shop_text(b.made.shop, p->unit_text)
                           : p->unit == TE_UNIT_IN ? "in"
                                                   : "";
        assert_string_equal(unit, expected[i].unit);
    }
    clear(&b);
}

/* A gauge without a resolution is leaves only where leaves measure: not for a size, nor in a unit of the
 * user's own. What was read in such a unit is asked for in it, whatever gauge is planned now. */
static void rows_for_gauges_of_other_units(void **state)
{
    (void)state;
    static const te_shop_file changes[] = {
        {"instruments.csv", "instrument,unit,resolution,expanded_uncertainty\n"
                            "FEEL,,,0.004\nCG,kPa,10,30\nCH,kPa,,30\nFQ,Hz,,\n"},
        {"readings.csv", "inspection,feature,reading,unit,instrument\n"
                         "I2,compression,760,kPa,CG\nI2,bore,66.01,,\n"},
        {"plan.csv", "model,feature,position,instrument\nM,compression,,CH\nM,bore,90,FEEL\n"
                     "M,knock,,FQ\nM,squish,,FEEL\nM,squish,3,\n"},
        {NULL, NULL}};
    static const char *const units[] = {"kPa", "", "Hz", "", ""};
    bench b;
    start(&b, changes, "E1");
    for (size_t i = 0; i < sizeof units / sizeof *units; i++) {
        const te_sheet_place *p = &b.sheet.places[i];
        const char *unit = p->unit == TE_UNIT_OWN ? te_shop_text(b.made.shop, p->unit_text) : "";
        assert_string_equal(unit, units[i]);
        assert_int_equal(p->no_go, i == 3);
        assert_false(p->zero);
    }
    clear(&b);
}

/* A feature of the user's own belongs to the part that its row names. */
static void own_features_name_their_part(void **state)
{
    (void)state;
    static const te_shop_file changes[] = {
        {"plan.csv", "model,feature\n"},
        {"parts.csv", "part,kind,engine,fitted_hours,removed_hours\nH1,head,E1,0,150\n"
                      "H2,head,E1,150,\nX1,other,E1,0,\nX2,other,E1,0,160\n"
                      "B1,rod,E1,0,150\n"},
        {"inspections.csv", "inspection,engine,date,hours\nI1,E1,2026-02-01,100\n"},
        {"readings.csv", "inspection,feature,part,reading\nI1,flatness,H1,0.02\n"
                         "I1,squish,,1.0\nI1,crown,E1/piston,5\nI1,lift,X1,0.2\n"
                         "I1,stud,X2,8\nI1,bend,B1,0.01\n"},
        {NULL, NULL}};
    static const char *const expected[] = {"H2", "", "E1/piston", "X1", "", ""};
    static const bool on_now[] = {false, true, true, true, false, false};
    bench b;
    start(&b, changes, "E1");
    assert_int_equal(b.sheet.place_count, 6);
    for (size_t i = 0; i < 6; i++) {
        assert_string_equal(te_shop_text(b.made.shop, b.sheet.places[i].part), expected[i]);
        assert_int_equal(b.sheet.places[i].last_on_now, on_now[i]);
    }
    char *csv = csv_of(&b);
    assert_non_null(strstr(csv, "inspection,feature,part,reading,instrument,note\n"
                                "E1-2026-10-01,flatness,H2,,,\n"));
    free(csv);
    clear(&b);
}

/* ---- the name ---------------------------------------------------------------------------- */

static void names(void **state)
{
    (void)state;
    static const te_shop_file changes[] = {
        {"inspections.csv", "inspection,engine,date,hours,state\nI1,E1,2026-02-01,100,found\n"
                            "I2,E1,2026-06-01,200,found\nE1-2026-10-01,E1,2026-10-01,210,\n"
                            "OTHER,E2,2026-10-01,5,\n"},
        {NULL, NULL}};
    static const struct {
        const char *name;
        te_sheet_answer answer;
        bool declared;
    } cases[] = {{"I3", TE_SHEET_MADE, false},
                 {"I2", TE_SHEET_NAME_TAKEN, false},
                 {"OTHER", TE_SHEET_NAME_TAKEN, false},
                 {NULL, TE_SHEET_MADE, true},
                 {"", TE_SHEET_NAME_UNFIT, false},
                 {" I3", TE_SHEET_NAME_UNFIT, false},
                 {"I3\xc2\xa0", TE_SHEET_NAME_UNFIT, false},
                 {"#", TE_SHEET_NAME_UNFIT, false},
                 {"# I3", TE_SHEET_NAME_UNFIT, false},
                 {"#3", TE_SHEET_MADE, false},
                 {"a\nb", TE_SHEET_NAME_UNFIT, false},
                 {"a\xff", TE_SHEET_NAME_UNFIT, false},
                 {"a\x7f", TE_SHEET_NAME_UNFIT, false},
                 {"a\xc2\x85", TE_SHEET_NAME_UNFIT, false},
                 {"a\xc2\xb5", TE_SHEET_MADE, false},
                 {"E1", TE_SHEET_MADE, false},
                 {"a b, c", TE_SHEET_MADE, false}};
    bench b;
    read_shop(&b, changes);
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        te_sheet_answer answer = make(&b, "E1", cases[i].name);
        if (answer != cases[i].answer || b.sheet.declared != cases[i].declared)
            fail_msg("case %zu: %d, declared %d", i, (int)answer, (int)b.sheet.declared);
    }
    clear(&b);
}

/* ---- files ------------------------------------------------------------------------------- */

static const te_shop_file semicolons[] = {
    {"inspections.csv", "Engine;Inspection;date;hours;state;temperature;Ort\n"
                        "E1;I1;2026-02-01;100,5;found;30\nE1;I2;2026-06-01;200;found;20,5\n"},
    {"readings.csv", "inspection;feature;item;position;direction;reading;unit;instrument\n"
                     "I1;skirt;;0,47;thrust;2,5958;in;MICIN\nI2;bore;;10,5;45,5;66,021;;MIC\n"},
    {"plan.csv", "model,feature\n"},
    {NULL, NULL},
};

static const te_shop_file tabs[] = {
    {"inspections.csv", "inspection\tengine\tdate\thours\nI2\tE1\t2026-06-01\t200.5\n"},
    {"readings.csv", "inspection\tfeature\tposition\tdirection\treading\tinstrument\n"
                     "I2\tbore\t10.5\t45.5\t66.021\tMIC\n"},
    {"plan.csv", "model,feature\n"},
    {NULL, NULL},
};

static void expect_files(const te_shop_file *changes, const char *csv, const char *row)
{
    bench b;
    start(&b, changes, "E1");
    char *text = csv_of(&b);
    assert_string_equal(text, csv);
    free(text);
    text = row_of(&b);
    assert_string_equal(text, row);
    free(text);
    clear(&b);
}

static void files_by_hand(void **state)
{
    (void)state;
    expect_files(NULL,
                 "inspection,feature,item,position,direction,reading,reading_2,reading_3,"
                 "reading_4,reading_5,no_go,zero,unit,instrument,note\n"
                 "E1-2026-10-01,bore,,10.5,thrust,,,,,,,,,BG,\n"
                 "E1-2026-10-01,end_gap,1,60,,,,,,,,,,FEEL,\n"
                 "E1-2026-10-01,skirt,,12,thrust,,,,,,,,,MIC,\n"
                 "E1-2026-10-01,bore,,10,pin,,,,,,,,,BG,\n"
                 "E1-2026-10-01,compression,,,,,,,,,,,kPa,CG,\n",
                 "inspection,engine,date,hours,state,temperature\nE1-2026-10-01,E1,,,,\n");
    expect_files(semicolons,
                 "inspection;feature;position;direction;reading;instrument;note\n"
                 "E1-2026-10-01;bore;10,5;45,5;;MIC;\n",
                 "Engine;Inspection;date;hours;state;temperature;Ort\n"
                 "E1;E1-2026-10-01;;;;;\n");
    expect_files(tabs,
                 "inspection\tfeature\tposition\tdirection\treading\tinstrument\tnote\n"
                 "E1-2026-10-01\tbore\t10.5\t45.5\t\tMIC\t\n",
                 "inspection\tengine\tdate\thours\nE1-2026-10-01\tE1\t\t\n");
}

/* Positions stand in inches beside a reading in inches, with the shop's decimal comma. */
static void inches_in_their_dialect(void **state)
{
    (void)state;
    static const te_shop_file changes[] = {
        {"inspections.csv", "inspection;engine;date;hours\nI1;E1;2026-02-01;100\n"},
        {"readings.csv", "inspection;feature;position;direction;reading;unit;instrument\n"
                         "I1;skirt;0,47;thrust;2,5958;in;MICIN\n"},
        {"plan.csv", "model,feature\n"},
        {NULL, NULL}};
    bench b;
    start(&b, changes, "E1");
    char *csv = csv_of(&b);
    assert_string_equal(csv, "inspection;feature;position;direction;reading;unit;instrument;note\n"
                             "E1-2026-10-01;skirt;0,47;thrust;;in;MICIN;\n");
    free(csv);
    clear(&b);
}

/* The dialect of most files of readings; of as many the first; without one that of inspections;
 * a comma as mark where most files with semicolons or tabs have it. */
static void dialects(void **state)
{
    (void)state;
    static const char comma[] = "inspection,feature,reading\nI1,squish,1.5\n";
    static const char semicolon[] = "inspection;feature;reading\nI1;squish;1,5\n";
    static const char point[] = "inspection;feature;reading\nI1;squish;1.5\n";
    static const char whole[] = "inspection\tfeature\treading\nI1\tsquish\t1\n";
    static const struct {
        const char *first, *second, *third;
        te_dialect expected;
    } cases[] = {{comma, semicolon, semicolon, {';', ','}}, {comma, semicolon, comma, {',', '.'}},
                 {comma, semicolon, NULL, {',', '.'}},      {semicolon, comma, NULL, {';', ','}},
                 {point, point, semicolon, {';', '.'}},     {whole, NULL, NULL, {'\t', '.'}},
                 {whole, whole, semicolon, {'\t', ','}},    {NULL, NULL, NULL, {',', '.'}}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        const char *const texts[] = {cases[i].first, cases[i].second, cases[i].third};
        static const char *const file_names[] = {"readings/1.csv", "readings/2.csv",
                                                 "readings/3.csv"};
        te_input inputs[3];
        te_shop *shop = NULL;
        te_problems problems;
        size_t count = 0;
        for (; count < 3 && texts[count]; count++)
            inputs[count] = (te_input){file_names[count], texts[count], strlen(texts[count])};
        te_problems_init(&problems);
        (void)te_shop_read(&shop, &problems, inputs, count, TE_FILE_READINGS);
        assert_non_null(shop);
        te_dialect is = te_shop_tables(shop)->dialect;
        if (is.delimiter != cases[i].expected.delimiter ||
            is.decimal_mark != cases[i].expected.decimal_mark)
            fail_msg("case %zu: '%c' '%c'", i, is.delimiter, is.decimal_mark);
        te_shop_free(shop);
        te_problems_free(&problems);
    }
}

/* ---- there and back ---------------------------------------------------------------------- */

/* The end of a cell, quotes taken into account. */
static const char *cell_end(const char *at, char delimiter)
{
    bool quoted = false;
    for (; *at && (quoted || (*at != delimiter && *at != '\n')); at++)
        quoted = *at == '"' ? !quoted : quoted;
    return at;
}

enum { CELLS_MOST = 32, CELL_MOST = 64 };

/* What is written into a blank cell. */
static const char *figure_for(const char *title, const char *feature)
{
    bool bore = strcmp(feature, "bore") == 0;
    bool gap = strcmp(feature, "end_gap") == 0;
    if (strncmp(title, "reading", 7) == 0)
        return bore                             ? "0.021"
               : gap                            ? "0.30"
               : strcmp(feature, "skirt") == 0  ? "65.931"
               : strcmp(feature, "squish") == 0 ? "1.05"
                                                : "820";
    if (strcmp(title, "no_go") == 0)
        return gap ? "0.35" : "";
    if (strcmp(title, "zero") == 0)
        return bore ? "66.000" : "";
    return strcmp(title, "date") == 0          ? "2026-10-01"
           : strcmp(title, "hours") == 0       ? "250.5"
           : strcmp(title, "state") == 0       ? "found"
           : strcmp(title, "temperature") == 0 ? "20.5"
                                               : "";
}

/* Fills the blank cells of a file in, as a hand would in a spreadsheet. */
static char *fill_in(const char *csv, te_dialect dialect)
{
    static char titles[CELLS_MOST][CELL_MOST];
    te_grown out = {0};
    char feature[CELL_MOST] = "";
    size_t row = 0, column = 0;
    for (const char *at = csv; *at;) {
        const char *end = cell_end(at, dialect.delimiter);
        int length = (int)(end - at);
        assert_true(column < CELLS_MOST);
        if (row == 0)
            (void)snprintf(titles[column], CELL_MOST, "%.*s", length, at);
        if (row > 0 && strcmp(titles[column], "feature") == 0)
            (void)snprintf(feature, CELL_MOST, "%.*s", length, at);
        te_grown_add(&out, "%.*s", length, at);
        for (const char *c = length == 0 ? figure_for(titles[column], feature) : ""; *c; c++)
            te_grown_add(&out, "%c", *c == '.' ? dialect.decimal_mark : *c);
        te_grown_add(&out, "%.1s", end);
        column = *end == '\n' ? 0 : column + 1;
        row += *end == '\n';
        at = *end ? end + 1 : end;
    }
    return out.text;
}

static const char *file_text(const te_shop_file *files, const char *name)
{
    for (; files && files->name; files++) {
        if (strcmp(files->name, name) == 0)
            return files->text;
    }
    return NULL;
}

/* Fills a sheet in, adds it and its row to the shop, and reads that: an error fails the test. */
static void there_and_back(const te_shop_file *changes, const char *engine, size_t rows)
{
    bench b;
    te_made_shop again;
    te_grown inspections = {0};
    te_shop_file more[16] = {{NULL, NULL}};
    size_t count = 0;
    start(&b, changes, engine);
    te_dialect dialect = b.made.tables->dialect;
    te_dialect of_row = {b.made.tables->inspection_delimiter, '.'};
    of_row.decimal_mark = of_row.delimiter == ',' ? '.' : dialect.decimal_mark;
    char *csv = csv_of(&b);
    char *row = row_of(&b);
    char *filled = fill_in(csv, dialect);
    char *filled_row = fill_in(row, of_row);
    const char *old = file_text(changes, "inspections.csv");
    te_grown_add(&inspections, "%s%s", old ? old : file_text(base, "inspections.csv"),
                 strchr(filled_row, '\n') + 1);
    for (; changes && changes->name; changes++)
        more[count++] = *changes;
    more[count++] = (te_shop_file){"inspections.csv", inspections.text};
    more[count++] = (te_shop_file){"readings/new.csv", filled};
    te_made_read(&again, base, more);
    uint32_t at = te_made_inspection(&again, b.sheet.inspection);
    const te_inspection *made = &again.tables->inspections[at];
    assert_int_equal(made->engine, te_made_engine(&again, engine));
    uint32_t groups = 0;
    uint32_t end = made->first_reading + made->reading_count;
    for (uint32_t i = made->first_reading; i < end; i = te_shop_group_end(again.shop, made, i))
        groups++;
    assert_int_equal(groups, rows);
    te_made_free(&again);
    te_grown_free(&inspections);
    free(csv);
    free(row);
    free(filled);
    free(filled_row);
    clear(&b);
}

static void filled_in_it_comes_back(void **state)
{
    (void)state;
    static const te_shop_file bought[] = {
        {"parts.csv", "part,kind,engine,fitted_hours\nH1,head,E1,0\n"}, {NULL, NULL}};
    there_and_back(NULL, "E1", 5);
    there_and_back(bought, "E2", 5); /* never measured before */
}

static void every_dialect_comes_back(void **state)
{
    (void)state;
    static const te_shop_file plan[] = {
        {"inspections.csv", "inspection;engine;date;hours;state;temperature\n"
                            "I1;E1;2026-02-01;100,5;found;30\nI2;E1;2026-06-01;200;found;20\n"},
        {"readings.csv", "inspection;feature;part;item;position;direction;reading;reading_2;"
                         "no_go;zero;instrument\nI1;end_gap;;1;60;;0,30;;0,35;;FEEL\n"
                         "I2;bore;;;10,5;thrust;0,021;0,023;;66,000;BG\n"
                         "I2;squish;H1;;;45,5;1,05;;;;MIC\n"},
        {NULL, NULL}};
    static const te_shop_file tab_file[] = {
        {"readings.csv", "inspection\tfeature\titem\tposition\tdirection\treading\tno_go\tzero\t"
                         "instrument\nI1\tend_gap\t1\t60\t\t0,30\t0,35\t\tFEEL\n"
                         "I2\tbore\t\t10,5\t45,5\t0,021\t\t66,000\tBG\n"},
        {"plan.csv", "model,feature\n"},
        {NULL, NULL}};
    there_and_back(plan, "E1", 5);
    there_and_back(tab_file, "E1", 1);
}

/* Seven repeats need two rows: one of five and one of two. */
static void many_repeats_take_rows(void **state)
{
    (void)state;
    static const te_shop_file changes[] = {
        {"readings.csv", "inspection,feature,position,direction,reading,reading_2,reading_3,"
                         "reading_4,reading_5,zero,instrument\n"
                         "I2,bore,10,pin,0.01,0.01,0.01,0.01,0.01,66,BG\n"
                         "I2,bore,10,pin,0.01,0.01,,,,66,BG\n"},
        {"plan.csv", "model,feature\n"},
        {NULL, NULL}};
    bench b;
    start(&b, changes, "E1");
    assert_int_equal(b.sheet.place_count, 1);
    assert_int_equal(b.sheet.places[0].repeats, 7);
    char *csv = csv_of(&b);
    assert_string_equal(csv, "inspection,feature,position,direction,reading,reading_2,reading_3,"
                             "reading_4,reading_5,zero,instrument,note\n"
                             "E1-2026-10-01,bore,10,pin,,,,,,,BG,\n"
                             "E1-2026-10-01,bore,10,pin,,,,,,,BG,\n");
    free(csv);
    clear(&b);
    there_and_back(changes, "E1", 1);
}

static void blank_row_is_an_error(void **state)
{
    (void)state;
    te_input inputs[16];
    te_shop *shop = NULL;
    te_problems problems;
    size_t count = 0;
    bench b;
    start(&b, no_plan, "E1");
    char *csv = csv_of(&b);
    for (const te_shop_file *file = base; file->name; file++)
        inputs[count++] = (te_input){file->name, file->text, strlen(file->text)};
    te_grown inspections = {0};
    te_grown_add(&inspections, "%sE1-2026-10-01,E1,2026-10-01,250,found,20\n",
                 file_text(base, "inspections.csv"));
    for (size_t i = 0; i < count; i++) {
        if (strcmp(inputs[i].name, "inspections.csv") == 0)
            inputs[i] = (te_input){inputs[i].name, inspections.text, inspections.length};
    }
    inputs[count++] = (te_input){"readings/new.csv", csv, strlen(csv)};
    te_problems_init(&problems);
    assert_int_equal(te_shop_read(&shop, &problems, inputs, count, TE_FILE_EVERY), TE_ERR_DATA);
    assert_int_equal(problems.errors, 3); /* one a row */
    for (size_t i = 0; i < problems.count; i++) {
        const te_problem *p = &problems.items[i];
        if (p->severity != TE_ERROR)
            continue;
        assert_string_equal(p->file, "readings/new.csv");
        assert_string_equal(p->column, "reading");
        assert_string_equal(p->remedy, "measure it, or delete the row");
    }
    te_shop_free(shop);
    te_problems_free(&problems);
    te_grown_free(&inspections);
    free(csv);
    clear(&b);
}

/* ---- names that are not plain ------------------------------------------------------------ */

/* Quotes, delimiters, a line break, blanks inside: as they are, both ways. */
static void odd_names_come_back(void **state)
{
    (void)state;
    static const te_shop_file changes[] = {
        {"engines.csv", "engine,model\n\"E, \"\"1\"\" ; #\",\"M\"\"\t2\"\n"},
        {"models.csv", "model\n\"M\"\"\t2\"\n"},
        {"limits.csv", "model,quantity,unit,service_max,source\n\"M\"\"\t2\",bore,mm,66.1,x\n"},
        {"parts.csv", "part,kind,engine,fitted_hours\n"},
        {"instruments.csv", "instrument,resolution,expanded_uncertainty\n"
                            "\"MIC\nline, two\",0.001,0.002\n"},
        {"inspections.csv", "inspection,engine,date,hours,state,temperature\n"
                            "I1,\"E, \"\"1\"\" ; #\",2026-02-01,100,found,20\n"},
        {"readings.csv", "inspection,feature,item,reading,instrument\n"
                         "I1,squish,\"a;b, c\"\"\",1,\"MIC\nline, two\"\n"},
        {"plan.csv", "model,feature\n"},
        {NULL, NULL}};
    there_and_back(changes, "E, \"1\" ; #", 1);
}

static void expect_fault(const te_shop_file *changes, const char *inspection, te_sheet_fault in_csv,
                         te_sheet_fault in_row, const char *blamed)
{
    bench b;
    te_buffer out = {0};
    const char *name = NULL;
    read_shop(&b, changes);
    const char *engine = te_shop_text(b.made.shop, b.made.tables->engines[0].id);
    assert_int_equal(make(&b, engine, inspection), TE_SHEET_MADE);
    assert_int_equal(te_sheet_csv(&out, &name, &b.sheet, b.made.shop), in_csv);
    if (in_csv != TE_SHEET_SOUND) {
        assert_string_equal(name, blamed);
        assert_int_equal(out.length, 0);
    }
    te_buffer_free(&out);
    assert_int_equal(te_sheet_inspection_row(&out, &name, &b.sheet, b.made.shop), in_row);
    if (in_row != TE_SHEET_SOUND) {
        assert_string_equal(name, blamed);
        assert_int_equal(out.length, 0);
    }
    te_buffer_free(&out);
    te_document document = {0}; /* a printed sheet can be had all the same */
    te_sheet_document(&document, &b.sheet, b.made.shop, "0");
    assert_true(te_document_is_whole(&document));
    te_document_free(&document);
    clear(&b);
}

/* A spreadsheet would compute such a name; an apostrophe before it would make it another. */
static void formulas_are_refused(void **state)
{
    (void)state;
    static const te_shop_file gauge[] = {
        {"readings.csv", "inspection,feature,reading,instrument\nI2,squish,1,=1+1\n"},
        {"plan.csv", "model,feature\n"},
        {NULL, NULL}};
    static const te_shop_file engine[] = {{"engines.csv", "engine,model\n+E1,M\nE1,M\nE2,M\n"},
                                          {NULL, NULL}};
    expect_fault(gauge, NULL, TE_SHEET_FORMULA, TE_SHEET_SOUND, "=1+1");
    expect_fault(engine, NULL, TE_SHEET_FORMULA, TE_SHEET_FORMULA, "+E1-2026-10-01");
    expect_fault(engine, "N1", TE_SHEET_SOUND, TE_SHEET_FORMULA, "+E1");
    expect_fault(NULL, "-N1", TE_SHEET_FORMULA, TE_SHEET_FORMULA, "-N1");
}

static void lost_names_are_refused(void **state)
{
    (void)state;
    static const te_shop_file torn[] = {
        /* sound in a file with semicolons */
        {"instruments.csv", "instrument;resolution\n\"A\nb,c,d,e\";0,001\n"},
        {"readings.csv", "inspection,feature,reading\nI2,squish,1\n"},
        {"plan.csv", "model;feature;instrument\nM;squish;\"A\nb,c,d,e\"\n"},
        {NULL, NULL}};
    static const te_shop_file comment[] = {
        /* an engine's name that may not begin a row */
        {"engines.csv", "model,engine\nM,# 1\nM,E1\nM,E2\n"},
        {"inspections.csv", "hours,engine,inspection,date\n100,E1,I1,2026-02-01\n"
                            "200,E1,I2,2026-06-01\n"},
        {NULL, NULL}};
    static const te_shop_file first[] = {{"engines.csv", "model,engine\nM,# 1\nM,E1\nM,E2\n"},
                                         {"inspections.csv",
                                          "\"engine\",inspection,date,hours\nE1,I1,2026-02-01,100\n"
                                          "E1,I2,2026-06-01,200\n"},
                                         {NULL, NULL}};
    expect_fault(torn, NULL, TE_SHEET_LOST, TE_SHEET_SOUND, "A\nb,c,d,e");
    expect_fault(comment, "N1", TE_SHEET_SOUND, TE_SHEET_SOUND, NULL);
    expect_fault(first, "N1", TE_SHEET_SOUND, TE_SHEET_LOST, "# 1");
}

/* ---- the document ------------------------------------------------------------------------ */

static const te_table *table_with(const te_document *document, const char *title)
{
    for (size_t i = 0; i < document->table_count; i++) {
        const te_table *table = &document->tables[i];
        for (uint32_t j = 0; j < table->column_count; j++) {
            const te_column *column = &document->columns[table->first_column + j];
            if (strcmp(te_document_chars(document, column->title), title) == 0)
                return table;
        }
    }
    fail_msg("no table has a column \"%s\"", title);
    return NULL;
}

/* A row of a table, its cells joined by `|`. */
static void expect_row(const te_document *document, const te_table *table, uint32_t row,
                       const char *expected)
{
    te_grown text = {0};
    assert_true(row < table->row_count);
    for (uint32_t i = 0; i < table->column_count; i++) {
        const te_cell *cell =
            &document->cells[table->first_cell + (size_t)row * table->column_count + i];
        te_grown_add(&text, "%s%s", i ? "|" : "", te_document_chars(document, cell->text));
    }
    assert_string_equal(text.text, expected);
    te_grown_free(&text);
}

static void document_by_hand(void **state)
{
    (void)state;
    bench b;
    te_document document = {0};
    start(&b, NULL, "E1");
    te_sheet_document(&document, &b.sheet, b.made.shop, "0");
    assert_true(te_document_is_whole(&document));
    assert_string_equal(te_document_chars(&document, document.title), "Measuring sheet: E1");
    assert_int_equal(document.figure_count, 1);
    const te_table *places = table_with(&document, "What and where");
    assert_true(places->boxes);
    assert_int_equal(places->row_count, 6); /* there is room for three readings in a row */
    expect_row(&document, places, 0,
               "1|bore at 10.5 mm, thrust|BG|66.0220|66 to 66.02|max 66.1|||||–");
    expect_row(&document, places, 1,
               "2|end_gap 1 at 60 mm|FEEL|0.3250 on 2026-02-01|0.25 to 0.4|max 0.8|–||–|–|");
    expect_row(&document, places, 2,
               "3|skirt at 12 mm, thrust|MIC|65.9241 on 2026-02-01, another part|"
               "66.17 to 66.19|min 66.12|–|||–|–");
    expect_row(&document, places, 4, "5|compression|CG (kPa)|none|none|min 700|–||||–");
    expect_row(&document, places, 5, "5|its readings 4 to 5|–|–|–|–|–|||–|–");
    const te_table *parts = table_with(&document, "On the engine now");
    expect_row(&document, parts, 0, "cylinder|the original, if never changed|");
    expect_row(&document, parts, 1, "piston|K2, oversize 0.25|");
    const te_table *eye = table_with(&document, "Reject");
    expect_row(&document, eye, 0, "cylinder||||");
    assert_true(eye->boxes);
    te_document_free(&document);
    clear(&b);
}

/* A reading in inches has its limits and last value in inches. */
static void inches_are_shown_as_inches(void **state)
{
    (void)state;
    static const te_shop_file changes[] = {
        {"parts.csv", "part,kind,engine,fitted_hours\n"},
        {"inspections.csv", "inspection,engine,date,hours\nI1,E1,2026-02-01,100\n"},
        {"models.csv", "model\nM\nN\n"},
        {"limits.csv", "model,quantity,unit,service_min,source\nM,skirt,in,2.5935,invented\n"
                       "N,skirt,in,2.5935,invented\n"},
        {"readings.csv", "inspection,feature,position,direction,reading,unit,instrument\n"
                         "I1,skirt,0.47,thrust,2.5958,in,MICIN\n"},
        {"plan.csv", "model,feature\n"},
        {NULL, NULL}};
    bench b;
    te_document document = {0};
    start(&b, changes, "E1");
    te_sheet_document(&document, &b.sheet, b.made.shop, "0");
    assert_true(te_document_is_whole(&document));
    expect_row(&document, table_with(&document, "What and where"), 0,
               "1|skirt at 0.47 in, thrust|MICIN (in)|2.5958|none|min 2.5935|");
    te_document_free(&document);
    clear(&b);
}

static void hostile_names_are_text(void **state)
{
    (void)state;
    static const te_shop_file changes[] = {
        {"engines.csv", "engine,model,note\n<b>E\x1b[31m</b>,M,\"a\nb\"\n"},
        {"parts.csv", "part,kind,engine,fitted_hours\n"},
        {"inspections.csv", "inspection,engine,date,hours\n"
                            "<script>,<b>E\x1b[31m</b>,2026-02-01,100\n"},
        {"readings.csv", "inspection,feature,item,reading\n<script>,sq&uish,<i>,1\n"},
        {"plan.csv", "model,feature\n"},
        {NULL, NULL}};
    bench b;
    te_document document = {0};
    te_buffer html = {0};
    read_shop(&b, changes);
    assert_int_equal(make(&b, "<b>E\x1b[31m</b>", NULL), TE_SHEET_NAME_UNFIT);
    assert_int_equal(make(&b, "<b>E\x1b[31m</b>", "<script>2"), TE_SHEET_MADE);
    te_sheet_document(&document, &b.sheet, b.made.shop, "0");
    assert_true(te_document_is_whole(&document));
    te_document_html(&html, &document);
    assert_false(html.failed);
    assert_null(strstr(html.bytes, "<script"));
    assert_null(strstr(html.bytes, "<b>"));
    assert_null(strstr(html.bytes, "<i>"));
    assert_null(strchr(html.bytes, '\x1b'));
    te_buffer_free(&html);
    te_document_free(&document);
    clear(&b);
}

/* ---- the sketch -------------------------------------------------------------------------- */

struct box {
    double left, top, right, bottom;
    const char *text;
};

/* A letter is at most 0.6 of its height wide, rises 0.75 and falls 0.22 of it. */
static struct box box_of_text(const te_drawing *drawing, const te_mark *mark)
{
    const char *text = te_drawing_chars(drawing, mark->text);
    te_place at = drawing->places[mark->first_place];
    double width = 0.6 * mark->size * (double)te_text_width((te_slice){text, strlen(text)});
    double left = at.x - (mark->anchor == TE_ANCHOR_START ? 0.0
                          : mark->anchor == TE_ANCHOR_END ? width
                                                          : width / 2);
    return (struct box){left, at.y - 0.75 * mark->size, left + width, at.y + 0.22 * mark->size,
                        text};
}

static void check_inside(const te_drawing *drawing, double x, double y, const char *text)
{
    const double rounding = 1e-6;
    if (!(x >= -rounding && x <= drawing->width + rounding && y >= -rounding &&
          y <= drawing->height + rounding))
        fail_msg("%s at %g %g leaves %g x %g", text, x, y, drawing->width, drawing->height);
}

static void check_texts_apart(const struct box *boxes, size_t count)
{
    const double rounding = 1e-6;
    for (size_t i = 0; i < count; i++) {
        for (size_t j = 0; j < i; j++) {
            const struct box *a = &boxes[i], *b = &boxes[j];
            if (a->left < b->right - rounding && b->left < a->right - rounding &&
                a->top < b->bottom - rounding && b->top < a->bottom - rounding)
                fail_msg("\"%s\" and \"%s\" overlap", a->text, b->text);
        }
    }
}

static void check_sketch(const te_drawing *drawing)
{
    enum { TEXTS_MOST = 200 };
    struct box boxes[TEXTS_MOST];
    size_t texts = 0;
    assert_false(drawing->failed);
    assert_true(drawing->mark_count > 0);
    for (size_t i = 0; i < drawing->place_count; i++)
        check_inside(drawing, drawing->places[i].x, drawing->places[i].y, "a mark");
    for (size_t i = 0; i < drawing->mark_count; i++) {
        if (drawing->marks[i].kind != TE_MARK_TEXT)
            continue;
        assert_true(texts < TEXTS_MOST);
        boxes[texts] = box_of_text(drawing, &drawing->marks[i]);
        check_inside(drawing, boxes[texts].left, boxes[texts].top, boxes[texts].text);
        check_inside(drawing, boxes[texts].right, boxes[texts].bottom, boxes[texts].text);
        texts++;
    }
    check_texts_apart(boxes, texts);
}

static bool says(const te_drawing *drawing, const char *text)
{
    for (size_t i = 0; i < drawing->mark_count; i++) {
        const te_mark *mark = &drawing->marks[i];
        if (mark->kind == TE_MARK_TEXT && strcmp(te_drawing_chars(drawing, mark->text), text) == 0)
            return true;
    }
    return false;
}

static void sketch_by_hand(void **state)
{
    (void)state;
    static const char *const words[] = {"deck", "10 mm",  "10.5 mm", "60 mm: ring gap", "thrust",
                                        "pin",  "ring 1", "12 mm",   "lower edge"};
    bench b;
    te_drawing drawing = {0};
    start(&b, NULL, "E1");
    assert_true(te_sheet_sketch(&drawing, &b.sheet, b.made.shop));
    check_sketch(&drawing);
    for (size_t i = 0; i < sizeof words / sizeof *words; i++) {
        if (!says(&drawing, words[i]))
            fail_msg("it does not say \"%s\"", words[i]);
    }
    assert_string_equal(te_drawing_chars(&drawing, drawing.description),
                        "Below the deck: 10 mm (bore), 10.5 mm (bore) and 60 mm (ring gap). "
                        "Directions, seen from above: thrust and pin. On the skirt, above its "
                        "lower edge: 12 mm. Rings: 1.");
    te_drawing_free(&drawing);
    clear(&b);
}

static void nothing_to_sketch(void **state)
{
    (void)state;
    static const te_shop_file changes[] = {
        {"plan.csv", "model,feature,item,position\nM,pin,,5\nM,pin_bore,left,\nM,squish,a,3\n"},
        {NULL, NULL}};
    bench b;
    te_drawing drawing = {0};
    te_document document = {0};
    start(&b, changes, "E1");
    assert_false(te_sheet_sketch(&drawing, &b.sheet, b.made.shop));
    assert_int_equal(drawing.mark_count, 0);
    te_sheet_document(&document, &b.sheet, b.made.shop, "0");
    assert_true(te_document_is_whole(&document));
    assert_int_equal(document.figure_count, 0);
    te_document_free(&document);
    te_drawing_free(&drawing);
    clear(&b);
}

/* A plan of places drawn by chance: whatever it is, the sketch is sound and the file comes back. */
static void sketches_of_any_plan(void **state)
{
    (void)state;
    te_random random = te_random_start(20261001);
    static const char *const features[] = {"bore", "bore", "end_gap", "skirt", "side_clearance"};
    for (size_t round = 0; round < te_test_rounds(60); round++) {
        te_grown plan = {0};
        bench b;
        te_drawing drawing = {0};
        size_t rows = 1 + te_random_below(&random, 60);
        double scale = pow(10.0, te_random_between(&random, -2, 4));
        te_grown_add(&plan, "model,feature,item,position,direction\n");
        for (size_t i = 0; i < rows; i++) {
            const char *feature = features[te_random_below(&random, 5)];
            bool ring = feature[0] == 'e' || strcmp(feature, "side_clearance") == 0;
            te_grown_add(&plan, "M,%s,%.0u,", feature, ring ? (unsigned)(1 + i % 6) : 0);
            if (te_random_below(&random, 8) > 0)
                te_grown_add(&plan, "%.3f", te_random_unit(&random) * scale);
            if (!ring && te_random_below(&random, 8) > 0)
                te_grown_add(&plan, ",%.2f\n", te_random_unit(&random) * 179.99);
            else
                te_grown_add(&plan, ",%s\n", ring ? "" : "pin");
        }
        const te_shop_file changes[] = {{"plan.csv", plan.text}, {NULL, NULL}};
        start(&b, changes, "E1");
        if (te_sheet_sketch(&drawing, &b.sheet, b.made.shop))
            check_sketch(&drawing);
        te_drawing_free(&drawing);
        clear(&b);
        te_grown_free(&plan);
    }
}

static void thousand_places(void **state)
{
    (void)state;
    enum { PLACES = 1000 };
    te_grown plan = {0};
    bench b;
    te_document document = {0};
    te_drawing drawing = {0};
    te_grown_add(&plan, "model,feature,position,direction,instrument\n");
    for (int i = 0; i < PLACES; i++)
        te_grown_add(&plan, "M,bore,%d,%d,BG\n", 1 + i / 20, i % 20 * 9);
    const te_shop_file changes[] = {{"plan.csv", plan.text}, {NULL, NULL}};
    start(&b, changes, "E1");
    assert_int_equal(b.sheet.place_count, PLACES);
    te_sheet_document(&document, &b.sheet, b.made.shop, "0");
    assert_true(te_document_is_whole(&document));
    assert_int_equal(table_with(&document, "What and where")->row_count, PLACES);
    assert_true(te_sheet_sketch(&drawing, &b.sheet, b.made.shop));
    check_sketch(&drawing);
    te_drawing_free(&drawing);
    te_document_free(&document);
    clear(&b);
    there_and_back(changes, "E1", PLACES);
    te_grown_free(&plan);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(plan_in_its_order),
        cmocka_unit_test(last_inspection_in_file_order),
        cmocka_unit_test(inspection_without_readings_is_passed_over),
        cmocka_unit_test(nothing_to_go_by),
        cmocka_unit_test(last_values_by_hand),
        cmocka_unit_test(what_is_near),
        cmocka_unit_test(the_nearest_has_no_more_than_asked),
        cmocka_unit_test(last_time_with_another_partner),
        cmocka_unit_test(last_time_of_parts_that_stay),
        cmocka_unit_test(limits_of_the_part_on_now),
        cmocka_unit_test(limits_of_a_part_that_came_back),
        cmocka_unit_test(what_rows_ask_for),
        cmocka_unit_test(rows_for_gauges_of_other_units),
        cmocka_unit_test(own_features_name_their_part),
        cmocka_unit_test(names),
        cmocka_unit_test(files_by_hand),
        cmocka_unit_test(inches_in_their_dialect),
        cmocka_unit_test(dialects),
        cmocka_unit_test(filled_in_it_comes_back),
        cmocka_unit_test(every_dialect_comes_back),
        cmocka_unit_test(many_repeats_take_rows),
        cmocka_unit_test(blank_row_is_an_error),
        cmocka_unit_test(odd_names_come_back),
        cmocka_unit_test(formulas_are_refused),
        cmocka_unit_test(lost_names_are_refused),
        cmocka_unit_test(document_by_hand),
        cmocka_unit_test(inches_are_shown_as_inches),
        cmocka_unit_test(hostile_names_are_text),
        cmocka_unit_test(sketch_by_hand),
        cmocka_unit_test(nothing_to_sketch),
        cmocka_unit_test(sketches_of_any_plan),
        cmocka_unit_test(thousand_places),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
