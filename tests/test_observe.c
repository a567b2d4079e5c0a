/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * From readings to observations: every expected number is worked by hand, or by the formula that
 * the test's comment gives. Figures with more than ten digits were computed with 30.
 */
#include "te_shop_text.h"

#include <math.h>
#include <string.h>

#include "topend/measure.h"

static const double tolerance = 1e-12;
static const double pi = 3.14159265358979323846;

/* The shop that the tests vary: a cylinder of high-silicon aluminium 18.5e-6, a piston of
 * aluminium 22e-6, rings of cast iron 11e-6, pin and rod of steel 11.5e-6; inspected at 9 degrees,
 * 11 below the reference. */
static const te_shop_file base[] = {
    {"engines.csv", "engine,model\nE1,M\n"},
    {"models.csv",
     "model,cylinder_material,piston_material,ring_material,pin_material,rod_material\n"
     "M,aluminium_high_si,aluminium,cast_iron,steel,steel\n"},
    {"limits.csv", "model,quantity,unit,new_min,new_max,service_max,source\n"
                   "M,bore,mm,66.000,66.020,66.100,invented\n"},
    {"inspections.csv", "inspection,engine,date,hours,temperature\nI1,E1,2026-04-18,100,9\n"},
    {"readings.csv", "inspection,feature,reading,instrument\nI1,bore,66.010,\n"},
    {NULL, NULL},
};

/* Without materials nothing moves with the temperature. */
#define NO_MATERIALS               \
    {                              \
        "models.csv", "model\nM\n" \
    }

typedef struct bench {
    te_made_shop made;
    te_observations pool;
} bench;

static void observe(bench *b, const char *inspection, const te_shop_file *changes)
{
    *b = (bench){0};
    te_made_read(&b->made, base, changes);
    uint32_t row = te_made_inspection(&b->made, inspection);
    assert_int_equal(te_observe(&b->pool, b->made.shop, row), TE_OK);
}

static void clear(bench *b)
{
    te_observations_free(&b->pool);
    te_made_free(&b->made);
}

/* The observation whose first reading stands on a line of readings.csv. */
static const te_observation *at_line(const bench *b, uint32_t line)
{
    for (size_t i = 0; i < b->pool.count; i++)
        if (b->made.tables->readings[b->pool.items[i].reading].line == line)
            return &b->pool.items[i];
    fail_msg("no observation starts on line %u", (unsigned)line);
    return NULL;
}

/* What a source does to an observation in all; 0 when it does nothing. */
static double effect_of(const bench *b, const te_observation *x, te_source source)
{
    double sum = 0;
    for (uint32_t i = 0; i < x->effect_count; i++) {
        const te_effect *e = &b->pool.effects[x->first_effect + i];
        sum += e->source == source ? e->effect : 0;
    }
    return sum;
}

/* The sum over the sources of a kind; the tests know how many there are. */
static double effects_of_kind(const bench *b, const te_observation *x, te_source_kind kind)
{
    double sum = 0;
    for (uint32_t i = 0; i < x->effect_count; i++) {
        const te_effect *e = &b->pool.effects[x->first_effect + i];
        sum += te_source_kind_of(e->source) == kind ? e->effect : 0;
    }
    return sum;
}

static size_t count_kind(const bench *b, const te_observation *x, te_source_kind kind)
{
    size_t count = 0;
    for (uint32_t i = 0; i < x->effect_count; i++)
        count += te_source_kind_of(b->pool.effects[x->first_effect + i].source) == kind;
    return count;
}

/* The source of a kind that an observation has; fails when there is none. */
static te_source source_of(const bench *b, const te_observation *x, te_source_kind kind)
{
    for (uint32_t i = 0; i < x->effect_count; i++) {
        te_source source = b->pool.effects[x->first_effect + i].source;
        if (te_source_kind_of(source) == kind)
            return source;
    }
    fail_msg("no source of kind %d", (int)kind);
    return 0;
}

/* ---- temperature of sizes ---------------------------------------------------------------- */

/* x = r (1 + a_g (T-20)) / (1 + a_p (T-20)), T-20 = -11; effects: temperature x (a_g - a_p) 1 K,
 * scale x (T-20) a_g/10, material -x (T-20) a_p/10. */
static void each_material_and_scale_is_corrected(void **state)
{
    (void)state;
    static const struct {
        const char *material, *expansion; /* of the instrument; blank: steel */
        double part, scale, expected;
    } cases[] = {
        {"aluminium", "", 22e-6, 11.5e-6, 66.0176260004921190928},
        {"aluminium_high_si", "", 18.5e-6, 11.5e-6, 66.0150838045542267852},
        {"cast_iron", "", 11e-6, 11.5e-6, 66.0096369010650288685},
        {"steel", "", 11.5e-6, 11.5e-6, 66.010},
        {"2e-5", "", 2e-5, 11.5e-6, 66.0161732931244873872},
        {"aluminium_high_si", "9e-6", 18.5e-6, 9e-6, 66.0168994490378792084},
        {"aluminium_high_si", "0", 18.5e-6, 0, 66.0234357691790279322},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        char models[128], instruments[128];
        (void)snprintf(models, sizeof models, "model,cylinder_material\nM,%s\n", cases[i].material);
        (void)snprintf(instruments, sizeof instruments,
                       "instrument,resolution,expanded_uncertainty,expansion\nBG,0.001,0.004,%s\n",
                       cases[i].expansion);
        const te_shop_file changes[] = {
            {"models.csv", models},
            {"instruments.csv", instruments},
            {"readings.csv", "inspection,feature,reading,instrument\nI1,bore,66.010,BG\n"},
            {NULL, NULL}};
        bench b;
        observe(&b, "I1", changes);
        const te_observation *x = at_line(&b, 2);
        const double value = cases[i].expected;
        assert_near(x->value, value, tolerance);
        assert_near(x->raw, 66.010, 0);
        assert_near(effects_of_kind(&b, x, TE_SOURCE_TEMPERATURE),
                    value * (cases[i].scale - cases[i].part), tolerance);
        te_source scale = te_source_make(TE_SOURCE_SCALE, te_shop_find_text(b.made.shop, "BG"));
        assert_near(effect_of(&b, x, scale), value * -11 * cases[i].scale / 10, tolerance);
        assert_near(effects_of_kind(&b, x, TE_SOURCE_MATERIAL), value * 11 * cases[i].part / 10,
                    tolerance);
        clear(&b);
    }
}

/* Each feature takes the material of its own part; play, side clearance and features of the
 * user's own are left as read. */
static void each_feature_takes_its_own_part(void **state)
{
    (void)state;
    static const te_shop_file changes[] = {
        {"limits.csv", "model,quantity,unit,service_max,source\n"
                       "M,bore,mm,66.100,invented\nM,skirt,mm,66.1,invented\n"
                       "M,pin,mm,16.1,invented\nM,squish,mm,2,invented\n"},
        {"readings.csv", "inspection,feature,item,reading\n"
                         "I1,bore,,66.010\nI1,skirt,,65.950\nI1,pin,,16.002\n"
                         "I1,pin_bore,left,16.002\nI1,small_end_bore,,16.002\n"
                         "I1,side_clearance,1,0.05\nI1,small_end_play,,0.02\n"
                         "I1,squish,,1.1\n"},
        {NULL, NULL}};
    bench b;
    observe(&b, "I1", changes);
    const double steel = 1 + 11.5e-6 * -11;
    assert_near(at_line(&b, 2)->value, 66.0150838045542267852, tolerance);
    assert_near(at_line(&b, 3)->value, 65.9576190688146531461, tolerance);
    assert_near(at_line(&b, 4)->value, 16.002, tolerance);
    assert_near(at_line(&b, 5)->value, 16.002 * steel / (1 + 22e-6 * -11), tolerance);
    assert_near(at_line(&b, 6)->value, 16.002, tolerance);
    for (uint32_t line = 7; line <= 9; line++) {
        assert_near(at_line(&b, line)->value, at_line(&b, line)->raw, 0);
        assert_int_equal(at_line(&b, line)->effect_count, 0);
    }
    clear(&b);
}

/* Readings without an instrument share one steel scale; with two, each has its own. */
static void scales_are_common_to_an_instrument(void **state)
{
    (void)state;
    static const te_shop_file changes[] = {
        {"instruments.csv", "instrument,expanded_uncertainty\nBG,0.004\nMIC,0.004\n"},
        {"readings.csv", "inspection,feature,position,reading,instrument\n"
                         "I1,bore,10,66.010,\nI1,bore,20,66.010,\n"
                         "I1,bore,30,66.010,BG\nI1,bore,40,66.010,MIC\n"},
        {NULL, NULL}};
    bench b;
    observe(&b, "I1", changes);
    te_source none = source_of(&b, at_line(&b, 2), TE_SOURCE_SCALE);
    assert_true(none == te_source_make(TE_SOURCE_SCALE, 0));
    assert_true(none == source_of(&b, at_line(&b, 3), TE_SOURCE_SCALE));
    assert_true(none != source_of(&b, at_line(&b, 4), TE_SOURCE_SCALE));
    assert_true(source_of(&b, at_line(&b, 4), TE_SOURCE_SCALE) !=
                source_of(&b, at_line(&b, 5), TE_SOURCE_SCALE));
    te_source material = source_of(&b, at_line(&b, 2), TE_SOURCE_MATERIAL);
    assert_true(material == source_of(&b, at_line(&b, 5), TE_SOURCE_MATERIAL));
    clear(&b);
}

/* The scale at the end of the set_with chain expands, not the gauge read: MIC 9e-6, BG 20e-6. */
static void the_scale_is_that_at_the_end_of_the_chain(void **state)
{
    (void)state;
    static const te_shop_file changes[] = {
        {"instruments.csv", "instrument,expansion,set_with\nBG,20e-6,MIC\nMIC,9e-6,\n"},
        {"readings.csv", "inspection,feature,reading,instrument\nI1,bore,66.010,BG\n"},
        {NULL, NULL}};
    bench b;
    observe(&b, "I1", changes);
    const te_observation *x = at_line(&b, 2);
    assert_near(x->value, 66.0168994490378792084, tolerance);
    te_source scale = te_source_make(TE_SOURCE_SCALE, te_shop_find_text(b.made.shop, "MIC"));
    assert_near(effect_of(&b, x, scale), x->value * -11 * 0.9e-6, tolerance);
    assert_int_equal(count_kind(&b, x, TE_SOURCE_SCALE), 1);
    clear(&b);
}

/* Blank: no correction, u(T) = 5/sqrt 3, and expansions have no lever. At 20 degrees with a given
 * 0.5 K likewise, but for u(T); by default it is 1 K; a given 0 has no effect at all. */
static void the_temperature_may_be_blank_or_known_better(void **state)
{
    (void)state;
    static const struct {
        const char *cells;
        double u;
    } cases[] = {{",", 2.88675134594812882}, {"20,0.5", 0.5}, {"20,", 1}, {"20,0", 0}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        char inspections[160];
        (void)snprintf(inspections, sizeof inspections,
                       "inspection,engine,date,hours,temperature,temperature_uncertainty\n"
                       "I1,E1,2026-04-18,100,%s\n",
                       cases[i].cells);
        const te_shop_file changes[] = {{"inspections.csv", inspections}, {NULL, NULL}};
        bench b;
        observe(&b, "I1", changes);
        const te_observation *x = at_line(&b, 2);
        assert_near(x->value, 66.010, 0);
        assert_int_equal(x->effect_count, cases[i].u > 0 ? 1 : 0);
        assert_near(effects_of_kind(&b, x, TE_SOURCE_TEMPERATURE), 66.010 * -7e-6 * cases[i].u,
                    tolerance);
        assert_near(x->u, 66.010 * 7e-6 * cases[i].u, tolerance);
        clear(&b);
    }
}

static void a_part_without_a_material_is_left_as_read(void **state)
{
    (void)state;
    static const te_shop_file changes[] = {NO_MATERIALS, {NULL, NULL}};
    bench b;
    observe(&b, "I1", changes);
    assert_near(at_line(&b, 2)->value, 66.010, 0);
    assert_int_equal(at_line(&b, 2)->effect_count, 0);
    clear(&b);
}

/* ---- the end gap ------------------------------------------------------------------------- */

/*
 * x = r - pi D (a_c - a_r)(T-20): r 0.30, a_c - a_r = 7.5e-6, T-20 = -11, so + 8.25e-5 pi D.
 * D: the middle of the as-new bore 66.010; with an oversize of 0.5 mm 66.510; without as-new limits
 * the largest bore of the inspection, corrected: 66.02 -> 66.0250845747109537; without a bore
 * reading none, and no correction.
 */
static void the_gap_is_corrected_at_its_diameter(void **state)
{
    (void)state;
    static const te_shop_file middle[] = {
        {"readings.csv", "inspection,feature,item,reading\nI1,end_gap,1,0.30\n"}, {NULL, NULL}};
    static const te_shop_file oversize[] = {
        {"parts.csv", "part,kind,engine,fitted_hours,oversize\nC1,cylinder,E1,0,0.5\n"},
        {"readings.csv", "inspection,feature,item,reading\nI1,end_gap,1,0.30\n"},
        {NULL, NULL}};
    static const te_shop_file largest[] = {
        {"limits.csv",
         "model,quantity,unit,new_max,service_max,source\nM,bore,mm,66.5,66.7,invented\n"},
        {"readings.csv", "inspection,feature,item,position,reading\nI1,end_gap,1,,0.30\n"
                         "I1,bore,,10,66.010\nI1,bore,,20,66.020\nI1,bore,,30,66.000\n"},
        {NULL, NULL}};
    static const te_shop_file none[] = {
        {"limits.csv", "model,quantity,unit,service_max,source\nM,bore,mm,66.7,invented\n"},
        {"readings.csv", "inspection,feature,item,reading\nI1,end_gap,1,0.30\n"},
        {NULL, NULL}};
    static const struct {
        const te_shop_file *changes;
        double diameter, expected;
    } cases[] = {{middle, 66.010, 0.317108563812735636},
                 {oversize, 66.510, 0.317238154509696215},
                 {largest, 66.0250845747109536791, 0.30 + 8.25e-5 * pi * 66.0250845747109536791},
                 {none, 0, 0.30}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        bench b;
        observe(&b, "I1", cases[i].changes);
        const te_observation *x = at_line(&b, 2);
        const double round = pi * cases[i].diameter;
        assert_near(x->value, cases[i].expected, tolerance);
        assert_near(effects_of_kind(&b, x, TE_SOURCE_TEMPERATURE), -round * 7.5e-6, tolerance);
        /* cylinder and ring pull against each other: 11 pi D (1.85e-6 - 1.1e-6) */
        assert_near(effects_of_kind(&b, x, TE_SOURCE_MATERIAL), 11 * round * (1.85e-6 - 1.1e-6),
                    tolerance);
        assert_int_equal(count_kind(&b, x, TE_SOURCE_MATERIAL), round > 0 ? 2 : 0);
        assert_int_equal(count_kind(&b, x, TE_SOURCE_SCALE), 0);
        assert_near(x->u, round * sqrt(pow(7.5e-6, 2) + pow(11 * 1.85e-6, 2) + pow(11 * 1.1e-6, 2)),
                    tolerance);
        clear(&b);
    }
}

/* Ring and cylinder of one material are one source, which cancels; the gap does not move, and its
 * leaves neither. */
static void a_gap_in_a_cylinder_of_its_own_material_does_not_move(void **state)
{
    (void)state;
    static const te_shop_file changes[] = {
        {"models.csv", "model,cylinder_material,ring_material\nM,cast_iron,cast_iron\n"},
        {"readings.csv", "inspection,feature,item,reading,no_go\nI1,end_gap,1,0.30,0.35\n"},
        {NULL, NULL}};
    bench b;
    observe(&b, "I1", changes);
    const te_observation *x = at_line(&b, 2);
    assert_near(x->value, 0.325, tolerance);
    assert_near(x->u, 0.05 / sqrt(12), tolerance);
    clear(&b);
}

/* The leaves are taken to 20 degrees as the value is: 0.30 and 0.35 in a gap, by the shift of the
 * first case above; 66.01 and 66.02 in a bore, by its factor. */
static void leaves_move_with_the_value(void **state)
{
    (void)state;
    static const te_shop_file changes[] = {
        {"readings.csv", "inspection,feature,item,reading,no_go\nI1,end_gap,1,0.30,0.35\n"
                         "I1,bore,,66.010,66.020\n"},
        {NULL, NULL}};
    bench b;
    observe(&b, "I1", changes);
    const te_observation *gap = at_line(&b, 2), *bore = at_line(&b, 3);
    assert_near(gap->value, 0.342108563812735636, tolerance);
    assert_near(gap->go, 0.317108563812735636, tolerance);
    assert_near(gap->no_go, 0.367108563812735636, tolerance);
    assert_near(bore->go, 66.0150838045542267852, tolerance);
    assert_near(bore->no_go, 66.0250845747109536791, tolerance);
    assert_near(bore->value, (bore->go + bore->no_go) / 2, tolerance);
    clear(&b);
}

/* ---- calibrations and settings ----------------------------------------------------------- */

/* Half of the expanded uncertainty of the latest calibration not after the inspection; of the
 * earliest, with a warning, where all are later. Readings under one calibration share it, also
 * over inspections; those under another do not. */
static void a_reading_takes_the_calibration_of_its_day(void **state)
{
    (void)state;
    static const te_shop_file changes[] = {
        NO_MATERIALS,
        {"inspections.csv", "inspection,engine,date,hours,temperature\n"
                            "I0,E1,2023-12-31,10,20\nI1,E1,2024-01-01,20,20\n"
                            "I2,E1,2025-01-31,30,20\nI3,E1,2025-02-01,40,20\n"},
        {"instruments.csv", "instrument,expanded_uncertainty,calibrated\n"
                            "BG,0.006,2025-02-01\nBG,0.004,2024-01-01\n"},
        {"readings.csv", "inspection,feature,reading,instrument\n"
                         "I0,bore,66.010,BG\nI1,bore,66.010,BG\n"
                         "I2,bore,66.010,BG\nI3,bore,66.010,BG\n"},
        {NULL, NULL}};
    static const double half[] = {0.002, 0.002, 0.002, 0.003};
    te_made_shop made;
    te_observations pool = {0};
    te_made_read(&made, base, changes);
    for (uint32_t i = 0; i < 4; i++) {
        assert_int_equal(te_observe(&pool, made.shop, i), TE_OK);
        assert_int_equal(pool.items[i].effect_count, 1);
        assert_near(pool.effects[i].effect, half[i], tolerance);
        assert_int_equal(te_source_kind_of(pool.effects[i].source), TE_SOURCE_CALIBRATION);
    }
    assert_true(pool.effects[0].source == pool.effects[1].source);
    assert_true(pool.effects[1].source == pool.effects[2].source);
    assert_true(pool.effects[2].source != pool.effects[3].source);
    assert_int_equal(made.problems.warnings, 1);
    assert_non_null(strstr(made.problems.items[0].what, "of 2024-01-01, after the inspection"));
    te_observations_free(&pool);
    te_made_free(&made);
}

/*
 * BG is set with MIC, MIC with BLOCK: U 0.004, 0.006 and 0.002. A bore by BG has the common
 * effects 0.002, 0.003, 0.001 and BG's setting; a skirt by MIC has 0.003, 0.001 and MIC's setting.
 * Own: BG repeatability 0.002, resolution 0.001; MIC 0.001, 0.001. In the clearance MIC and BLOCK
 * cancel:
 *   var = 2 (0.002^2 + 0.001^2/12) + 2 (0.001^2 + 0.001^2/12) + 0.002^2
 * with each of repeatability and resolution once as own and once as the setting's.
 */
static void the_setter_cancels_in_a_clearance(void **state)
{
    (void)state;
    static const te_shop_file changes[] = {
        NO_MATERIALS,
        {"instruments.csv", "instrument,resolution,expanded_uncertainty,repeatability,set_with\n"
                            "BG,0.001,0.004,0.002,MIC\nMIC,0.001,0.006,0.001,BLOCK\n"
                            "BLOCK,,0.002,,\n"},
        {"readings.csv", "inspection,feature,reading,instrument\n"
                         "I1,bore,66.010,BG\nI1,skirt,65.950,MIC\n"},
        {NULL, NULL}};
    bench b;
    observe(&b, "I1", changes);
    const te_observation *bore = at_line(&b, 2), *skirt = at_line(&b, 3);
    const double setting_bg = 0.002 * 0.002 + 0.001 * 0.001 / 12;
    const double setting_mic = 0.001 * 0.001 + 0.001 * 0.001 / 12;
    assert_int_equal(bore->effect_count, 4);
    assert_int_equal(skirt->effect_count, 3);
    assert_near(bore->u_own, sqrt(setting_bg), tolerance);
    assert_near(bore->u, sqrt(4e-6 + 9e-6 + 1e-6 + 2 * setting_bg), tolerance);
    assert_near(skirt->u, sqrt(9e-6 + 1e-6 + 2 * setting_mic), tolerance);
    assert_true(bore->stated && skirt->stated);
    te_form plus = te_form_make((uint32_t)(bore - b.pool.items), 1);
    te_form minus = te_form_make((uint32_t)(skirt - b.pool.items), -1), clearance;
    assert_int_equal(te_form_add(&clearance, &plus, &minus), TE_OK);
    assert_near(te_form_value(&b.pool, &clearance), 0.060, tolerance);
    assert_near(te_form_variance(&b.pool, &clearance), 4e-6 + 2 * setting_bg + 2 * setting_mic,
                tolerance * tolerance);
    clear(&b);
}

/*
 * Readings of an instrument with a zero share a setting, sqrt(0.002^2 + 0.001^2/12), with those of
 * the same zero in the same inspection; without zero and set_with there is none. A repeatability
 * or a resolution that is not given counts as 0.
 */
static void settings_go_by_instrument_inspection_and_zero(void **state)
{
    (void)state;
    static const te_shop_file changes[] = {
        NO_MATERIALS,
        {"inspections.csv", "inspection,engine,date,hours,temperature\n"
                            "I1,E1,2026-04-18,100,20\nI2,E1,2026-05-18,110,20\n"},
        {"instruments.csv", "instrument,resolution,expanded_uncertainty,repeatability\n"
                            "BG,0.001,0.004,0.002\nB2,0.001,0.004,0.002\nR,0.003,0.004,\n"
                            "S,,0.004,0.002\n"},
        {"readings.csv", "inspection,feature,position,reading,zero,instrument\n"
                         "I1,bore,10,0.010,66,BG\nI1,bore,20,-0.01,66,BG\n"
                         "I1,bore,30,-0.04,66.05,BG\nI1,bore,40,66.01,,BG\n"
                         "I1,bore,50,0.010,66,B2\nI1,bore,60,0.010,66,R\n"
                         "I1,bore,70,0.010,66,S\nI2,bore,10,0.010,66,BG\n"},
        {NULL, NULL}};
    bench b;
    observe(&b, "I1", changes);
    assert_near(at_line(&b, 2)->value, 66.010, tolerance);
    assert_near(at_line(&b, 3)->value, 65.990, tolerance);
    assert_near(at_line(&b, 4)->value, 66.010, tolerance);
    assert_near(at_line(&b, 2)->zero, 66, 0);
    assert_true(isnan(at_line(&b, 5)->zero));
    te_source first = source_of(&b, at_line(&b, 2), TE_SOURCE_SETTING);
    assert_true(first == source_of(&b, at_line(&b, 3), TE_SOURCE_SETTING));
    assert_true(first != source_of(&b, at_line(&b, 4), TE_SOURCE_SETTING));
    assert_true(first != source_of(&b, at_line(&b, 6), TE_SOURCE_SETTING));
    assert_int_equal(count_kind(&b, at_line(&b, 5), TE_SOURCE_SETTING), 0);
    const double u = sqrt(0.002 * 0.002 + 0.001 * 0.001 / 12);
    assert_near(effect_of(&b, at_line(&b, 3), first), u, tolerance);
    assert_near(effects_of_kind(&b, at_line(&b, 4), TE_SOURCE_SETTING), u, tolerance);
    assert_near(effects_of_kind(&b, at_line(&b, 7), TE_SOURCE_SETTING), 0.003 / sqrt(12),
                tolerance);
    assert_near(effects_of_kind(&b, at_line(&b, 8), TE_SOURCE_SETTING), 0.002, tolerance);

    uint32_t second = te_made_inspection(&b.made, "I2");
    assert_int_equal(te_observe(&b.pool, b.made.shop, second), TE_OK);
    const te_observation *later = &b.pool.items[b.pool.count - 1];
    assert_int_equal(b.made.tables->readings[later->reading].line, 9);
    assert_true(first != source_of(&b, later, TE_SOURCE_SETTING));
    clear(&b);
}

/* ---- scatter ----------------------------------------------------------------------------- */

/*
 * Repeats 66.010 and 66.014: mean 66.012, squares 2 x 0.002^2 = 8e-6, one degree of freedom, pooled
 * sqrt(8e-6) = 0.00282843. k such pairs have the same pooled s and k degrees of freedom. s is:
 * without repeats the repeatability; with 1 to 4 the larger; from 5 the pooled, also a smaller one.
 * u_own^2 = s^2/2 for a pair (no resolution here).
 */
static void scatter_goes_by_degrees_of_freedom(void **state)
{
    (void)state;
    const double pooled = sqrt(8e-6);
    static const char *const repeatability[] = {"", "0.001", "0.005"};
    static const double known[] = {0, 0.001, 0.005};
    for (int pairs = 0; pairs <= 6; pairs++)
        for (size_t r = 0; r < 3; r++) {
            char instruments[128];
            te_grown readings = {0};
            (void)snprintf(instruments, sizeof instruments,
                           "instrument,expanded_uncertainty,repeatability\nBG,0.004,%s\n",
                           repeatability[r]);
            te_grown_add(&readings, "inspection,feature,position,reading,reading_2,instrument\n"
                                    "I1,bore,0,66.020,,BG\n");
            for (int i = 1; i <= pairs; i++)
                te_grown_add(&readings, "I1,bore,%d,66.010,66.014,BG\n", 10 * i);
            const te_shop_file changes[] = {NO_MATERIALS,
                                            {"instruments.csv", instruments},
                                            {"readings.csv", readings.text},
                                            {NULL, NULL}};
            bench b;
            observe(&b, "I1", changes);
            double s = pairs == 0 ? known[r] : pairs < 5 ? fmax(pooled, known[r]) : pooled;
            assert_near(at_line(&b, 2)->u_own, s, tolerance);
            assert_near(at_line(&b, 2)->scatter, s, tolerance);
            assert_int_equal(at_line(&b, 2)->repeats, 1);
            for (int i = 1; i <= pairs; i++) {
                const te_observation *x = at_line(&b, (uint32_t)(2 + i));
                assert_near(x->value, 66.012, tolerance);
                assert_near(x->u_own, s / sqrt(2), tolerance);
                assert_int_equal(x->repeats, 2);
            }
            clear(&b);
            te_grown_free(&readings);
        }
}

/* Repeats in columns and in rows are one mean; they are pooled by feature and instrument: the
 * bore's 66.010 66.013 66.016 (squares 18e-6, 2 degrees) and 66.020 66.022 (2e-6, 1 degree) give
 * sqrt(20e-6 / 3); the skirt by the same gauge and the bore by another have their own. */
static void repeats_are_pooled_by_feature_and_instrument(void **state)
{
    (void)state;
    static const te_shop_file changes[] = {
        NO_MATERIALS,
        {"instruments.csv", "instrument,expanded_uncertainty,repeatability\nBG,0.004,\n"
                            "B2,0.004,0.0005\n"},
        {"readings.csv", "inspection,feature,position,direction,reading,reading_2,instrument\n"
                         "I1,bore,10,thrust,66.010,66.013,BG\n"
                         "I1,bore,20,thrust,66.020,66.022,BG\n"
                         "I1,skirt,,,65.950,65.951,BG\n"
                         "I1,bore,10,thrust,66.030,,B2\n"
                         "I1,bore,10.0005,0,66.016,,BG\n"},
        {NULL, NULL}};
    bench b;
    observe(&b, "I1", changes);
    assert_int_equal(b.pool.count, 4);
    const te_observation *x = at_line(&b, 2);
    assert_int_equal(x->repeats, 3);
    assert_near(x->value, 66.013, tolerance);
    assert_near(x->scatter, sqrt(20e-6 / 3), tolerance);
    assert_near(x->u_own, sqrt(20e-6 / 3 / 3), tolerance);
    assert_near(at_line(&b, 3)->u_own, sqrt(20e-6 / 3 / 2), tolerance);
    assert_near(at_line(&b, 4)->u_own, sqrt(0.5e-6 / 2), tolerance);
    assert_near(at_line(&b, 5)->u_own, 0.0005, tolerance);
    clear(&b);
}

/* u_own^2 = s^2/n + resolution^2/12: three repeats without scatter, repeatability 0.003, resolution
 * 0.01: 3e-6 + 1e-4/12. */
static void resolution_is_not_averaged_away(void **state)
{
    (void)state;
    static const te_shop_file changes[] = {
        NO_MATERIALS,
        {"instruments.csv",
         "instrument,resolution,expanded_uncertainty,repeatability\nBG,0.01,0.004,0.003\n"},
        {"readings.csv", "inspection,feature,reading,reading_2,reading_3,instrument\n"
                         "I1,bore,66.01,66.01,66.01,BG\n"},
        {NULL, NULL}};
    bench b;
    observe(&b, "I1", changes);
    assert_near(at_line(&b, 2)->u_own, sqrt(3e-6 + 1e-4 / 12), tolerance);
    assert_near(at_line(&b, 2)->step, 0.01, tolerance);
    clear(&b);
}

/* ---- go and no-go, and what is stated ----------------------------------------------------- */

/* The middle of the leaves; (no_go - go)^2/12 stands in place of the resolution, with the
 * instrument's repeatability (0.004) where there is one. Repeats 0.30 and 0.28 share the no_go
 * 0.35: middles 0.325 and 0.315, mean 0.32, pooled s sqrt(2 x 0.005^2) with one degree, the widest
 * pair 0.28 to 0.35. */
static void leaves_give_their_middle_and_their_step(void **state)
{
    (void)state;
    static const te_shop_file changes[] = {
        NO_MATERIALS,
        {"instruments.csv", "instrument,resolution,expanded_uncertainty,repeatability\n"
                            "FG,0.01,0.006,0.004\n"},
        {"readings.csv", "inspection,feature,item,reading,reading_2,no_go,instrument\n"
                         "I1,end_gap,1,0.30,,0.35,\nI1,end_gap,2,0.30,,0.35,FG\n"
                         "I1,side_clearance,1,0.30,0.28,0.35,FG\n"},
        {NULL, NULL}};
    bench b;
    observe(&b, "I1", changes);
    const te_observation *bare = at_line(&b, 2), *gauged = at_line(&b, 3), *two = at_line(&b, 4);
    assert_near(bare->value, 0.325, tolerance);
    assert_near(bare->u_own, 0.05 / sqrt(12), tolerance);
    assert_near(bare->u, 0.05 / sqrt(12), tolerance);
    assert_true(bare->stated);
    assert_near(gauged->u_own, sqrt(16e-6 + 0.0025 / 12), tolerance);
    assert_near(gauged->u, sqrt(16e-6 + 0.0025 / 12 + 9e-6), tolerance);
    assert_true(gauged->stated);
    assert_near(two->value, 0.32, tolerance);
    assert_near(two->go, 0.28, tolerance);
    assert_near(two->no_go, 0.35, tolerance);
    assert_near(two->u_own, sqrt(50e-6 / 2 + 0.0049 / 12), tolerance);
    clear(&b);
}

/* Stated: every instrument of the chain has an expanded_uncertainty, and there is a resolution or a
 * no_go; a go / no-go pair without an instrument states its own step. */
static void what_is_stated(void **state)
{
    (void)state;
    static const te_shop_file changes[] = {
        NO_MATERIALS,
        {"instruments.csv", "instrument,resolution,expanded_uncertainty,set_with\n"
                            "FULL,0.001,0.004,\nNO_U,0.001,,\nNO_R,,0.004,\n"
                            "ON_FULL,0.001,0.004,FULL\nON_NO_U,0.001,0.004,NO_U\n"
                            "ON_ON,0.001,0.004,ON_NO_U\nON_NO_R,0.001,0.004,NO_R\n"},
        {"readings.csv", "inspection,feature,position,reading,no_go,instrument\n"
                         "I1,bore,10,66.01,,FULL\nI1,bore,20,66.01,,NO_U\n"
                         "I1,bore,30,66.01,,NO_R\nI1,bore,40,66.01,66.02,NO_R\n"
                         "I1,bore,50,66.01,66.02,NO_U\nI1,bore,60,66.01,,ON_FULL\n"
                         "I1,bore,70,66.01,,ON_NO_U\nI1,bore,80,66.01,,ON_ON\n"
                         "I1,bore,90,66.01,,ON_NO_R\nI1,bore,100,66.01,,\n"
                         "I1,bore,110,66.01,66.02,\nI1,bore,120,66.01,,UNKNOWN\n"
                         "I1,bore,130,66.01,66.02,UNKNOWN\n"},
        {NULL, NULL}};
    static const bool stated[] = {true,  false, false, true, false, true, false,
                                  false, true,  false, true, false, false};
    bench b;
    observe(&b, "I1", changes);
    assert_int_equal(b.pool.count, 13);
    for (uint32_t i = 0; i < 13; i++)
        if (at_line(&b, i + 2)->stated != stated[i])
            fail_msg("line %u", (unsigned)i + 2);
    clear(&b);
}

/* ---- units ------------------------------------------------------------------------------- */

/*
 * One inspection written in four units: 2.5988 in = 2598.8 thou = 66.00952 mm = 66009.52 um. zero
 * and position are in inches on rows in in or thou, else in mm: 2.6 in = 66.04 mm, 0.5 in =
 * 12.7 mm, and a dial of -0.0012 in = -1.2 thou = -0.03048 mm = -30.48 um. The gauge's resolution
 * of 0.00005 in = 0.05 thou = 0.00127 mm, its U of 0.0002 in = 0.00508 mm.
 */
static void the_unit_changes_nothing(void **state)
{
    (void)state;
    static const struct {
        const char *readings, *instruments;
    } cases[] = {
        {"I1,bore,12.7,-0.03048,66.04,mm,BG\nI1,bore,25.4,66.00952,,mm,BG\n",
         "BG,mm,0.00127,0.00508\n"},
        {"I1,bore,12.7,-30.48,66.04,um,BG\nI1,bore,25.4,66009.52,,um,BG\n", "BG,um,1.27,5.08\n"},
        {"I1,bore,0.5,-0.0012,2.6,in,BG\nI1,bore,1,2.5988,,in,BG\n", "BG,in,0.00005,0.0002\n"},
        {"I1,bore,0.5,-1.2,2.6,thou,BG\nI1,bore,1,2598.8,,thou,BG\n", "BG,thou,0.05,0.2\n"},
        {"I1,bore,12.7,-30.48,66.04,\302\265m,BG\nI1,bore,25.4,66009.52,,\316\274m,BG\n",
         "BG,thou,0.05,0.2\n"},
        {"I1,bore,12.7,-0.03048,66.04,,BG\nI1,bore,1,2598.8,,thou,BG\n", "BG,,0.00127,0.00508\n"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        char readings[256], instruments[128];
        (void)snprintf(readings, sizeof readings,
                       "inspection,feature,position,reading,zero,unit,instrument\n%s",
                       cases[i].readings);
        (void)snprintf(instruments, sizeof instruments,
                       "instrument,unit,resolution,expanded_uncertainty\n%s", cases[i].instruments);
        const te_shop_file changes[] = {NO_MATERIALS,
                                        {"readings.csv", readings},
                                        {"instruments.csv", instruments},
                                        {NULL, NULL}};
        bench b;
        observe(&b, "I1", changes);
        const te_observation *dial = at_line(&b, 2), *plain = at_line(&b, 3);
        assert_near(dial->value, 66.00952, tolerance);
        assert_near(dial->zero, 66.04, tolerance);
        assert_near(dial->position, 12.7, tolerance);
        assert_near(plain->value, 66.00952, tolerance);
        assert_near(plain->position, 25.4, tolerance);
        assert_near(plain->u_own, 0.00127 / sqrt(12), tolerance);
        assert_near(plain->u, sqrt(0.00254 * 0.00254 + 0.00127 * 0.00127 / 12), tolerance);
        assert_near(dial->u, sqrt(0.00254 * 0.00254 + 2 * 0.00127 * 0.00127 / 12), tolerance);
        clear(&b);
    }
}

/* ---- the pool ---------------------------------------------------------------------------- */

/* A second inspection is added behind the first; its own temperature is another source. */
static void inspections_stand_behind_each_other(void **state)
{
    (void)state;
    static const te_shop_file changes[] = {
        {"inspections.csv", "inspection,engine,date,hours,temperature\n"
                            "I1,E1,2026-04-18,100,9\nI2,E1,2026-05-18,110,9\n"},
        {"readings.csv", "inspection,feature,reading\nI2,bore,66.030\nI1,bore,66.010\n"},
        {NULL, NULL}};
    bench b;
    observe(&b, "I1", changes);
    assert_int_equal(te_observe(&b.pool, b.made.shop, te_made_inspection(&b.made, "I2")), TE_OK);
    assert_int_equal(b.pool.count, 2);
    assert_near(b.pool.items[0].raw, 66.010, 0);
    assert_near(b.pool.items[1].raw, 66.030, 0);
    assert_true(source_of(&b, &b.pool.items[0], TE_SOURCE_TEMPERATURE) !=
                source_of(&b, &b.pool.items[1], TE_SOURCE_TEMPERATURE));
    assert_true(source_of(&b, &b.pool.items[0], TE_SOURCE_MATERIAL) ==
                source_of(&b, &b.pool.items[1], TE_SOURCE_MATERIAL));
    clear(&b);
}

/* An inspection of an engine that does not exist is refused, not guessed at. */
static void an_unknown_engine_is_refused(void **state)
{
    (void)state;
    te_input inputs[5];
    te_shop *shop = NULL;
    te_problems problems;
    te_observations pool = {0};
    for (size_t i = 0; i < 5; i++)
        inputs[i] = (te_input){base[i].name, base[i].text, strlen(base[i].text)};
    static const char lost[] = "inspection,engine,date,hours\nI1,E9,2026-04-18,100\n";
    inputs[3] = (te_input){"inspections.csv", lost, sizeof lost - 1};
    te_problems_init(&problems);
    assert_int_equal(te_shop_read(&shop, &problems, inputs, 5, TE_FILE_EVERY), TE_ERR_DATA);
    assert_int_equal(te_observe(&pool, shop, 0), TE_ERR_DOMAIN);
    assert_int_equal(pool.count, 0);
    te_observations_free(&pool);
    te_shop_free(shop);
    te_problems_free(&problems);
}

/* ---- one feature beside others ------------------------------------------------------------- */

enum { FEATURES = 5 };

/* Repeats scatter, gauges change from row to row, some are set to a size, some are not declared. */
static void add_rows(te_grown *out, te_random *random, size_t feature)
{
    static const struct {
        const char *name;
        double size;
    } features[FEATURES] = {{"bore", 66.01},
                            {"skirt", 65.93},
                            {"pin", 15.996},
                            {"small_end_bore", 20.01},
                            {"squish", 1.1}};
    static const char *const gauges[] = {"GA", "GA", "GB", "GC", "none", ""};
    for (size_t n = 1 + te_random_below(random, 7); n > 0; n--) {
        size_t gauge = te_random_below(random, 6);
        bool zero = gauge == 2;
        double size = features[feature].size - (zero ? floor(features[feature].size) : 0);
        for (size_t repeats = 1 + te_random_below(random, 3); repeats > 0; repeats--)
            te_grown_add(out, "I1,%s,%zu,%.3f,%.0f,%s\n", features[feature].name, n,
                         size + 0.002 * te_random_unit(random),
                         zero ? floor(features[feature].size) : 0, gauges[gauge]);
    }
}

static void observe_rows(bench *b, const char *rows)
{
    te_grown readings = {0};
    te_grown_add(&readings, "inspection,feature,position,reading,zero,instrument\n%s", rows);
    const te_shop_file changes[] = {
        {"instruments.csv", "instrument,resolution,expanded_uncertainty,repeatability,set_with\n"
                            "GA,0.001,0.002,0.001,\nGB,0.001,0.003,,GA\nGC,0.01,,0.002,\n"},
        {"readings.csv", readings.text},
        {NULL, NULL}};
    observe(b, "I1", changes);
    te_grown_free(&readings);
}

/* A source is named by rows of its own shop: what must be the same is its kind and its effect. */
static void expect_alike(const bench *a, const te_observation *x, const bench *b,
                         const te_observation *y)
{
    const double figures[][2] = {{x->value, y->value}, {x->u_own, y->u_own},
                                 {x->u, y->u},         {x->scatter, y->scatter},
                                 {x->raw, y->raw},     {x->step, y->step}};
    for (size_t i = 0; i < sizeof figures / sizeof *figures; i++)
        assert_near(figures[i][0], figures[i][1], 0);
    assert_int_equal(x->repeats, y->repeats);
    assert_true(x->stated == y->stated);
    assert_int_equal(x->effect_count, y->effect_count);
    for (uint32_t i = 0; i < x->effect_count; i++) {
        const te_effect *e = &a->pool.effects[x->first_effect + i];
        const te_effect *f = &b->pool.effects[y->first_effect + i];
        assert_int_equal(te_source_kind_of(e->source), te_source_kind_of(f->source));
        assert_near(e->effect, f->effect, 0);
    }
}

/* What was read before it with other gauges, or the same, leaves nothing behind: a feature is observed
 * as it is alone. */
static void a_feature_is_observed_as_it_is_alone(void **state)
{
    (void)state;
    te_random random = te_random_start(20260423);
    size_t seen = 0;
    for (size_t round = 0; round < te_test_rounds(150); round++) {
        te_grown rows[FEATURES] = {{0}}, every = {0};
        bench all, alone;
        for (size_t i = 0; i < FEATURES; i++) {
            add_rows(&rows[i], &random, i);
            te_grown_add(&every, "%s", rows[i].text);
        }
        observe_rows(&all, every.text);
        size_t at = 0;
        for (size_t i = 0; i < FEATURES; i++) {
            observe_rows(&alone, rows[i].text);
            for (size_t j = 0; j < alone.pool.count; j++)
                expect_alike(&all, &all.pool.items[at++], &alone, &alone.pool.items[j]);
            seen += alone.pool.count;
            clear(&alone);
            te_grown_free(&rows[i]);
        }
        assert_int_equal(at, all.pool.count);
        clear(&all);
        te_grown_free(&every);
    }
    assert_true(seen > te_test_rounds(150) * 5);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(each_material_and_scale_is_corrected),
        cmocka_unit_test(each_feature_takes_its_own_part),
        cmocka_unit_test(scales_are_common_to_an_instrument),
        cmocka_unit_test(the_scale_is_that_at_the_end_of_the_chain),
        cmocka_unit_test(the_temperature_may_be_blank_or_known_better),
        cmocka_unit_test(a_part_without_a_material_is_left_as_read),
        cmocka_unit_test(the_gap_is_corrected_at_its_diameter),
        cmocka_unit_test(a_gap_in_a_cylinder_of_its_own_material_does_not_move),
        cmocka_unit_test(leaves_move_with_the_value),
        cmocka_unit_test(a_reading_takes_the_calibration_of_its_day),
        cmocka_unit_test(the_setter_cancels_in_a_clearance),
        cmocka_unit_test(settings_go_by_instrument_inspection_and_zero),
        cmocka_unit_test(scatter_goes_by_degrees_of_freedom),
        cmocka_unit_test(repeats_are_pooled_by_feature_and_instrument),
        cmocka_unit_test(resolution_is_not_averaged_away),
        cmocka_unit_test(leaves_give_their_middle_and_their_step),
        cmocka_unit_test(what_is_stated),
        cmocka_unit_test(the_unit_changes_nothing),
        cmocka_unit_test(inspections_stand_behind_each_other),
        cmocka_unit_test(an_unknown_engine_is_refused),
        cmocka_unit_test(a_feature_is_observed_as_it_is_alone),
    };
    return cmocka_run_group_tests_name("observe", tests, NULL, NULL);
}
