/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * What to replace on three engines of the sample shop: every figure was computed from the CSV
 * files by a Python script that follows docs/method.md and shares nothing with the library. It
 * tries every set of parts; the comments show the arithmetic in short. A size as read is taken to
 * 20 degrees with c = (1 + 11.5e-6 (T - 20)) / (1 + a (T - 20)), a = 11e-6 for cylinders, 18.5e-6
 * for pistons.
 */
#include "options_kit.h"

static void open_sample(bench *b, const char *inspection)
{
    *b = (bench){.wish = {.hone = TE_HONE, .hours = NAN}};
    te_problems_init(&b->made.problems);
    assert_int_equal(
        te_shop_open(&b->made.shop, &b->made.problems, TE_TEST_ROOT "/sample-data", TE_FILE_EVERY),
        TE_OK);
    b->made.tables = te_shop_tables(b->made.shop);
    bench_make(b, inspection);
}

/* ---- what a set would measure ---------------------------------------------------------------- */

typedef struct figure {
    const char *quantity, *item;
    double low, u_low, high, u_high;
    te_outcome outcome;
} figure;

static void expect_figures(bench *b, const char *name, const figure *figures, size_t count)
{
    look_at(b, name);
    for (size_t i = 0; i < count; i++) {
        const figure *f = &figures[i];
        const te_finding *is = finding_of(b, f->quantity, f->item);
        print_message("  %s: %s %s\n", name, f->quantity, f->item);
        assert_true(is->interval.stated);
        assert_near_rel(is->interval.low, f->low, 1e-9);
        assert_near_rel(is->interval.high, f->high, 1e-9);
        assert_near_rel(is->interval.u_low, f->u_low, 1e-8);
        assert_near_rel(is->interval.u_high, f->u_high, 1e-8);
        assert_int_equal(is->outcome, f->outcome);
    }
}

#define EXPECT(bench, name, ...)                                   \
    expect_figures((bench), (name), (const figure[]){__VA_ARGS__}, \
                   sizeof((const figure[]){__VA_ARGS__}) / sizeof(figure))

/* ---- what comes of it ------------------------------------------------------------------------ */

typedef struct outlook {
    const char *name;
    te_verdict_value verdict;
    size_t failing;
    double left, earliest;
    const char *first, *item;
    te_rate_basis basis;
    size_t engines, told, untold, unbounded, by_model;
    double price, price_per_100h;
} outlook;

static void expect_outlook(const bench *b, const outlook *o)
{
    const te_option *is = option_named(b, o->name);
    const te_lasting *l = &is->lasting;
    print_message("  %s\n", o->name);
    assert_int_equal(is->verdict, o->verdict);
    assert_int_equal(is->failing, o->failing);
    assert_false(is->refused);
    assert_near(l->left, o->left, 1e-9 * (1 + o->left));
    assert_near(l->earliest, o->earliest, 1e-9 * (1 + o->earliest));
    assert_string_equal(te_shop_quantity_name(b->made.shop, l->quantity), o->first);
    assert_string_equal(te_shop_text(b->made.shop, l->item), o->item);
    assert_int_equal(l->basis, o->basis);
    assert_int_equal(l->engines, o->engines);
    assert_int_equal(l->told, o->told);
    assert_int_equal(l->untold, o->untold);
    assert_int_equal(l->unbounded, o->unbounded);
    assert_int_equal(l->by_model, o->by_model);
    assert_true(l->bounded);
    assert_near(is->price, o->price, 1e-12);
    if (isnan(o->price_per_100h))
        assert_true(isnan(is->price_per_100h));
    else
        assert_near(is->price_per_100h, o->price_per_100h, 1e-9 * (1 + o->price_per_100h));
}

static void expect_outlooks(const bench *b, const outlook *outlooks, size_t count)
{
    assert_int_equal(b->options.count, count);
    for (size_t i = 0; i < count; i++) {
        te_option wanted = set_named(b, outlooks[i].name);
        assert_memory_equal(b->options.items[i].candidate, wanted.candidate,
                            sizeof wanted.candidate); /* in that order */
        expect_outlook(b, &outlooks[i]);
    }
}

#define EXPECT_ALL(bench, ...)                               \
    expect_outlooks((bench), (const outlook[]){__VA_ARGS__}, \
                    sizeof((const outlook[]){__VA_ARGS__}) / sizeof(outlook))

/* ---- which spare suits ----------------------------------------------------------------------- */

static void expect_piston(const bench *b, const char *name, double tight, double loose,
                          te_fit_answer answer)
{
    uint32_t candidate = candidate_of(b, name);
    size_t seen = 0;
    for (size_t i = 0; i < b->options.piston_count; i++) {
        const te_piston_fit *fit = &b->options.pistons[i];
        if (fit->candidate != candidate)
            continue;
        seen++;
        assert_near(fit->tight, tight, 1e-11);
        assert_near(fit->loose, loose, 1e-11);
        assert_int_equal(fit->answer, answer);
    }
    assert_int_equal(seen, 1);
}

/* Both rings, at 60 mm, where the bore was gauged. */
static void expect_gaps(const bench *b, const char *name, double least, double most,
                        te_fit_answer answer)
{
    uint32_t candidate = candidate_of(b, name);
    size_t seen = 0;
    for (size_t i = 0; i < b->options.gap_count; i++) {
        const te_gap_fit *fit = &b->options.gaps[i];
        if (fit->candidate != candidate)
            continue;
        seen++;
        assert_true(fit->at_position);
        assert_near(fit->position, 60, 0.5);
        assert_near(fit->least, least, 1e-11);
        assert_near(fit->most, most, 1e-11);
        assert_int_equal(fit->answer, answer);
    }
    assert_int_equal(seen, 2);
}

static void expect_rebore(const bench *b, double largest)
{
    const te_rebore *rebore = &b->options.rebore;
    assert_int_equal(rebore->answer, TE_REBORE_OFFERED);
    assert_near(rebore->largest, largest, 1e-11);
    assert_near(rebore->hone, 0.02, 0);
    assert_near(rebore->oversize, 0.25, 0);
    const te_candidate *rebored = &b->options.candidates[candidate_of(b, "rebored/cylinder")];
    assert_true(rebored->rebored && !rebored->spare);
    assert_int_equal(rebored->piston, candidate_of(b, "PK-25"));
    assert_near(rebored->bore, 66.26, 1e-11); /* 66.18 + (0.06 + 0.10) / 2 */
    assert_near(rebored->clearance, 0.08, 1e-12);
    assert_near(rebored->price, 0, 0);
}

/* ---- PS-01, healthy -------------------------------------------------------------------------- */

/* 20.5 degrees; bores 66.011 c and 66.0295 c. PK-A: 66.0110165 - 65.930, 66.0295165 - 65.920.
 * Rings: the bore at 60 mm is (66.014 c + 66.011 c) / 2 = 66.0125165, so 0.25 + pi (66.0125165 -
 * 66.01) and 0.40 + ...; those of the first oversize are for 66.26. */
static void healthy_which_spare_suits(void **state)
{
    (void)state;
    bench b;
    open_sample(&b, "PS-01-2026-03");
    assert_int_equal(b.options.piston_count, 4);
    expect_piston(&b, "PK-A", 0.081016502659, 0.109516507284, TE_FIT_WITHIN);
    expect_piston(&b, "PK-B", 0.071016502659, 0.099516507284, TE_FIT_AS_NEW);
    expect_piston(&b, "PK-C", 0.048016502659, 0.072516507284, TE_FIT_TIGHT);
    expect_piston(&b, "PK-25", -0.173983497341, -0.145483492716, TE_FIT_TIGHT);
    assert_int_equal(b.options.gap_count, 4);
    expect_gaps(&b, "RS-STD", 0.257905827445, 0.407905827445, TE_FIT_WITHIN);
    expect_gaps(&b, "RS-25", -0.527492335952, -0.377492335952, TE_FIT_TIGHT);
    expect_rebore(&b, 66.0295165072842);
    bench_close(&b);
}

static void healthy_what_sets_would_measure(void **state)
{
    (void)state;
    bench b;
    open_sample(&b, "PS-01-2026-03");
    EXPECT(&b, "-",
           {"bore", "", 66.01101650266, 0.001798058632, 66.02951650728, 0.001798059232,
            TE_SERVICEABLE},
           {"skirt_clearance", "", 0.088747229275, 0.001749865289, 0.1072472339, 0.001749868115,
            TE_SERVICEABLE},
           {"end_gap", "1", 0.425, 0.014571662, 0.425, 0.014571662, TE_SERVICEABLE},
           {"end_gap", "2", 0.375, 0.014571662, 0.375, 0.014571662, TE_AS_NEW});
    /* 0.325 + pi (66.0125165 - 66.01); side clearance between 0.04 and the larger of 0.08 and the
     * leaf that did not enter, 0.07: 0.06, 0.04 / sqrt(12) */
    EXPECT(
        &b, "RS-STD",
        {"end_gap", "1", 0.332905827445, 0.04363519158, 0.332905827445, 0.04363519158, TE_AS_NEW},
        {"end_gap", "2", 0.332905827445, 0.04363519158, 0.332905827445, 0.04363519158, TE_AS_NEW},
        {"side_clearance", "1", 0.06, 0.01154700538, 0.06, 0.01154700538, TE_AS_NEW},
        {"side_clearance", "2", 0.06, 0.01154700538, 0.06, 0.01154700538, TE_AS_NEW});
    /* 0 to 0.020: 0.010, 0.020 / sqrt(12) */
    EXPECT(&b, "SB-16",
           {"small_end_play", "", 0.01, 0.005773502692, 0.01, 0.005773502692, TE_AS_NEW});
    /* 66.0110165 - 65.960: 0.051 at a least of 0.050, and 0.048 at the tight end */
    EXPECT(&b, "PK-C",
           {"skirt_clearance", "", 0.05101650265922, 0.002496600658, 0.06951650728421,
            0.00249660109, TE_UNDECIDED});
    bench_close(&b);
}

/* Keeping everything comes first. At the earliest the small-end play is first (its line through
 * 0.010, 0.014, 0.018), by the best estimates the clearance; with a new bearing the squish is. */
static void healthy_may_keep_everything(void **state)
{
    (void)state;
    bench b;
    open_sample(&b, "PS-01-2026-03");
    EXPECT_ALL(&b,
               {"-", TE_REUSE, 0, 478.5960319856, 349.6286393697, "small_end_play", "",
                TE_RATE_ENGINE, 1, 26, 0, 0, 0, 0, 0},
               {"SB-16", TE_REUSE, 0, 478.5960319856, 351.9771707841, "squish", "left",
                TE_RATE_ENGINE, 1, 26, 0, 0, 0, 12.6, 3.57977762363});
    assert_int_equal(b.options.good, 2);
    assert_int_equal(b.options.rejected, 0);
    assert_int_equal(b.options.rejected_other, 0);
    /* Two cylinders with five pistons and the rebored one with its own; rings, pin, bearing, head:
     * (2 * 5 + 1) * 3 * 2 * 2 * 2 */
    assert_int_equal(b.options.looked_at, 264);
    bench_close(&b);
}

/* ---- PS-02, a worn bore ---------------------------------------------------------------------- */

/* 17.5 degrees; bores 66.033 c and 66.132 c. The bore at 60 mm is (66.0405 c + 66.033 c) / 2. */
static void worn_which_spare_suits(void **state)
{
    (void)state;
    bench b;
    open_sample(&b, "PS-02-2026-04");
    expect_piston(&b, "PK-A", 0.102917456480, 0.211917332727, TE_FIT_LOOSE);
    expect_piston(&b, "PK-B", 0.092917456480, 0.201917332727, TE_FIT_LOOSE);
    expect_piston(&b, "PK-C", 0.069917456480, 0.174917332727, TE_FIT_WITHIN);
    expect_piston(&b, "PK-25", -0.152082543520, -0.043082667273, TE_FIT_TIGHT);
    expect_gaps(&b, "RS-STD", 0.333778270641, 0.483778270641, TE_FIT_WITHIN);
    expect_gaps(&b, "RS-25", -0.451619892756, -0.301619892756, TE_FIT_TIGHT);
    expect_rebore(&b, 66.13191733272666);
    bench_close(&b);
}

/* PK-C hides the wear: the clearance passes, the bore does not. */
static void worn_with_a_larger_piston(void **state)
{
    (void)state;
    bench b;
    open_sample(&b, "PS-02-2026-04");
    EXPECT(&b, "PK-C",
           {"bore", "", 66.03291745648, 0.001719163418, 66.13191733273, 0.001719224601, TE_BEYOND},
           {"out_of_round", "", 0.05199993499824, 0.0006922186866, 0.05199993499824,
            0.0006922186866, TE_BEYOND},
           {"taper", "", 0.09149988562187, 0.0006922187525, 0.09149988562187, 0.0006922187525,
            TE_BEYOND},
           /* 0.003 / sqrt(3) */
           {"skirt", "", 65.96, 0.001732050808, 65.96, 0.001732050808, TE_AS_NEW},
           {"skirt_clearance", "", 0.07291745648006, 0.002440393996, 0.1719173327267,
            0.002440437098, TE_SERVICEABLE},
           {"end_gap", "1", 0.675, 0.014571662, 0.675, 0.014571662, TE_SERVICEABLE},
           /* 0.04 to the leaf of 0.09, 0.05 / sqrt(12); 0.04 to 0.08 */
           {"side_clearance", "1", 0.065, 0.01443375673, 0.065, 0.01443375673, TE_AS_NEW},
           {"side_clearance", "2", 0.06, 0.01154700538, 0.06, 0.01154700538, TE_AS_NEW},
           {"pin_bore", "left", 16.005, 0.001732050808, 16.005, 0.001732050808, TE_AS_NEW},
           {"pin_clearance", "right", 0.0125, 0.002141859325, 0.0125, 0.002141859325, TE_AS_NEW});
    bench_close(&b);
}

static void worn_with_a_rebored_cylinder(void **state)
{
    (void)state;
    bench b;
    open_sample(&b, "PS-02-2026-04");
    EXPECT(&b, "rebored/cylinder+PK-25+RS-25",
           /* 0.020 / sqrt(12); 0.005 / sqrt(3); the root of the sum of the squares */
           {"bore", "", 66.26, 0.005773502692, 66.26, 0.005773502692, TE_AS_NEW},
           {"skirt", "", 66.18, 0.002886751346, 66.18, 0.002886751346, TE_AS_NEW},
           {"skirt_clearance", "", 0.08, 0.006454972244, 0.08, 0.006454972244, TE_AS_NEW},
           /* 0.325 + pi (66.26 - 66.26); sqrt(0.15^2 + pi^2 0.02^2) / sqrt(12) */
           {"end_gap", "1", 0.325, 0.04694663793, 0.325, 0.04694663793, TE_AS_NEW},
           {"end_gap", "2", 0.325, 0.04694663793, 0.325, 0.04694663793, TE_AS_NEW},
           {"side_clearance", "1", 0.06, 0.01154700538, 0.06, 0.01154700538, TE_AS_NEW},
           {"out_of_round", "", 0.005, 0.002886751346, 0.005, 0.002886751346, TE_AS_NEW},
           {"taper", "", 0.005, 0.002886751346, 0.005, 0.002886751346, TE_AS_NEW});
    /* 0.675 + pi (66.26 - 66.0366675), and the standard rings 0.325 + pi 0.25 */
    EXPECT(
        &b, "rebored/cylinder+PK-25",
        {"end_gap", "1", 1.376619892756, 0.02386017121, 1.376619892756, 0.02386017121, TE_BEYOND},
        {"end_gap", "2", 1.326619892756, 0.02386017121, 1.326619892756, 0.02386017121, TE_BEYOND});
    EXPECT(
        &b, "rebored/cylinder+PK-25+RS-STD",
        {"end_gap", "1", 1.110398163397, 0.04694663793, 1.110398163397, 0.04694663793, TE_BEYOND});
    bench_close(&b);
}

static void worn_with_a_new_cylinder(void **state)
{
    (void)state;
    bench b;
    open_sample(&b, "PS-02-2026-04");
    EXPECT(&b, "CY-66", {"bore", "", 66.01, 0.005773502692, 66.01, 0.005773502692, TE_AS_NEW},
           {"skirt_clearance", "", 0.09934653040203, 0.005937875569, 0.09934653040203,
            0.005937875569, TE_AS_NEW},
           /* 0.675 - pi 66.0366675 + pi 66.01 */
           {"end_gap", "1", 0.591221729359, 0.02386017121, 0.591221729359, 0.02386017121,
            TE_SERVICEABLE},
           {"end_gap", "2", 0.541221729359, 0.02386017121, 0.541221729359, 0.02386017121,
            TE_SERVICEABLE},
           {"side_clearance", "1", 0.085, 0.003511884584, 0.085, 0.003511884584, TE_SERVICEABLE},
           {"out_of_round", "", 0.005, 0.002886751346, 0.005, 0.002886751346, TE_AS_NEW});
    EXPECT(&b, "CY-66+RS-STD",
           {"end_gap", "1", 0.325, 0.04694663793, 0.325, 0.04694663793, TE_AS_NEW},
           {"side_clearance", "1", 0.065, 0.01443375673, 0.065, 0.01443375673, TE_AS_NEW});
    /* 0.325 + pi (66.0366675 - 66.26): rings that do not go in */
    EXPECT(&b, "RS-25",
           {"end_gap", "1", -0.3766198927564, 0.04362324637, -0.3766198927564, 0.04362324637,
            TE_BEYOND});
    bench_close(&b);
}

/* What may go back is a new or a rebored cylinder; the piston that hides the wear is told, and not
 * recommended. Rates are those of this engine: out_of_round 1.337e-4 with 4.92e-5, so
 * 0.025 / 1.337e-4 = 186.98 h. */
static void worn_needs_a_cylinder(void **state)
{
    (void)state;
    bench b;
    open_sample(&b, "PS-02-2026-04");
    EXPECT_ALL(
        &b,
        {"rebored/cylinder+PK-25+RS-25", TE_REUSE, 0, 186.9755978367, 111.0236605373,
         "out_of_round", "", TE_RATE_ENGINE, 1, 22, 0, 0, 0, 65.8, 59.2666461199},
        {"CY-66", TE_REUSE, 0, 137.7936586231, 108.0998664213, "end_gap", "1", TE_RATE_ENGINE, 1,
         22, 0, 0, 0, 128, 118.409026984},
        {"CY-66+RS-STD", TE_REUSE, 0, 186.9755978367, 111.0236605373, "out_of_round", "",
         TE_RATE_ENGINE, 1, 22, 0, 0, 0, 146.2, 131.683642291},
        {"-", TE_DO_NOT_REUSE, 5, 0, 0, "bore", "", TE_RATE_ENGINE, 1, 22, 0, 0, 0, 0, NAN},
        {"PK-C", TE_DO_NOT_REUSE, 4, 0, 0, "bore", "", TE_RATE_ENGINE, 1, 22, 0, 0, 0, 43, NAN},
        {"rebored/cylinder+PK-25", TE_DO_NOT_REUSE, 3, 0, 0, "end_gap", "1", TE_RATE_ENGINE, 1, 22,
         0, 0, 0, 46, NAN});
    assert_int_equal(b.options.good, 3);
    assert_int_equal(b.options.looked_at, 132);
    bench_close(&b);
}

/* ---- PS-04, rejected rings, measured in inches ----------------------------------------------- */

/* 22 degrees; bores (2.6 - 0.0005) 25.4 c and (2.6 + 0.0009) 25.4 c; at 60 mm the mean of 2.59965
 * and 2.5995 in. */
static void rejected_which_spare_suits(void **state)
{
    (void)state;
    bench b;
    open_sample(&b, "PS-04-2026-04");
    expect_piston(&b, "PK-A", 0.097366025847, 0.142926061407, TE_FIT_WITHIN);
    expect_piston(&b, "PK-B", 0.087366025847, 0.132926061407, TE_FIT_WITHIN);
    expect_piston(&b, "PK-C", 0.064366025847, 0.105926061407, TE_FIT_WITHIN);
    expect_piston(&b, "PK-25", -0.157633974153, -0.112073938593, TE_FIT_TIGHT);
    expect_gaps(&b, "RS-STD", 0.310541719214, 0.460541719214, TE_FIT_WITHIN);
    expect_gaps(&b, "RS-25", -0.474856444183, -0.324856444183, TE_FIT_TIGHT);
    expect_rebore(&b, 66.06292606140664);
    bench_close(&b);
}

static void rejected_what_sets_would_measure(void **state)
{
    (void)state;
    bench b;
    open_sample(&b, "PS-04-2026-04");
    EXPECT(
        &b, "RS-STD",
        {"skirt_clearance", "", 0.1203687025884, 0.002374189983, 0.1559287381476, 0.002374198484,
         TE_SERVICEABLE},
        {"end_gap", "1", 0.3855417192141, 0.0439099583, 0.3855417192141, 0.0439099583, TE_AS_NEW},
        /* 0.04 to 0.0035 in = 0.0889 */
        {"side_clearance", "1", 0.06445, 0.01411621408, 0.06445, 0.01411621408, TE_AS_NEW},
        {"side_clearance", "2", 0.06, 0.01154700538, 0.06, 0.01154700538, TE_AS_NEW});
    EXPECT(&b, "PK-A+RS-STD",
           {"skirt_clearance", "", 0.1023660258474, 0.003774856569, 0.1379260614066, 0.003774863027,
            TE_SERVICEABLE});
    /* 16.005 - 0.6297 in */
    EXPECT(&b, "PK-B+RS-STD",
           {"skirt_clearance", "", 0.09236602584744, 0.003774856569, 0.1279260614066,
            0.003774863027, TE_SERVICEABLE},
           {"pin_clearance", "left", 0.01062, 0.00238104345, 0.01062, 0.00238104345, TE_AS_NEW});
    EXPECT(&b, "CY-66+RS-STD",
           {"skirt_clearance", "", 0.103002676741, 0.006024556547, 0.103002676741, 0.006024556547,
            TE_SERVICEABLE},
           {"end_gap", "2", 0.325, 0.04694663793, 0.325, 0.04694663793, TE_AS_NEW});
    bench_close(&b);
}

/* The history of the rings is not known and the engine was measured once: no part of it tells how
 * fast a gap or a side clearance grows (two rings, two limits each: eight values by the model, of
 * the five engines that tell). Every option has new rings. */
static void rejected_rings_are_in_no_option(void **state)
{
    (void)state;
    bench b;
    open_sample(&b, "PS-04-2026-04");
    EXPECT_ALL(&b,
               {"RS-STD", TE_REUSE, 0, 130.6140484504, 95.27675033363, "skirt_clearance", "",
                TE_RATE_ENGINE, 1, 22, 0, 0, 8, 18.2, 19.1022468087},
               {"PK-A+RS-STD", TE_REUSE, 0, 228.299101544, 172.7824457608, "skirt_clearance", "",
                TE_RATE_ENGINE, 1, 22, 0, 0, 8, 59.7, 34.5521211586},
               {"PK-B+RS-STD", TE_REUSE, 0, 281.0832895365, 197.7051087052, "end_gap", "1",
                TE_RATE_MODEL, 5, 22, 0, 0, 8, 59.7, 30.1964882906},
               {"PK-C+RS-STD", TE_REUSE, 0, 281.0832895365, 197.7051087052, "end_gap", "1",
                TE_RATE_MODEL, 5, 22, 0, 0, 8, 61.2, 30.9551940265},
               {"rebored/cylinder+PK-25+RS-25", TE_REUSE, 0, 384.2956283244, 227.7608718715,
                "end_gap", "1", TE_RATE_MODEL, 5, 22, 0, 0, 8, 65.8, 28.8899491205},
               {"CY-66+RS-STD", TE_REUSE, 0, 384.2956283244, 227.7608718715, "end_gap", "1",
                TE_RATE_MODEL, 5, 22, 0, 0, 8, 146.2, 64.1901301126});
    assert_int_equal(b.options.rejected, 1U << TE_KIND_RING_SET);
    assert_int_equal(b.options.looked_at, 88); /* of 132 those with one of the two ring sets */
    bench_close(&b);
}

/* ---- rates of the model ---------------------------------------------------------------------- */

typedef struct model_figure {
    te_quantity quantity;
    const char *item;
    te_side side;
    double rate, u, between;
    size_t members;
} model_figure;

/* Series by generalised least squares with the covariance of gauges, settings, temperatures and
 * materials; an engine's parts pooled first. */
static void rates_of_the_model(void **state)
{
    (void)state;
    static const model_figure figures[] = {
        {TE_Q_BORE, "", TE_SIDE_HIGH, 0.0001659527904402, 5.514376111217e-05, 4.905397663933e-05,
         6},
        {TE_Q_END_GAP, "1", TE_SIDE_HIGH, 0.001236027591755, 0.0004735392212246, 0.0004197908404264,
         5},
        {TE_Q_END_GAP, "2", TE_SIDE_LOW, 0.001077502603903, 0.0004644337849163, 0.0004105747375551,
         5},
        {TE_Q_SKIRT, "", TE_SIDE_LOW, -6.982638316265e-05, 7.234830768506e-06, 0, 6},
        {TE_Q_PIN, "", TE_SIDE_LOW, -5.905772103333e-06, 3.265748242025e-06, 0, 6},
        {TE_Q_SMALL_END_PLAY, "", TE_SIDE_HIGH, 4.740599471161e-05, 5.974082371305e-06, 0, 6},
        {TE_Q_SIDE_CLEARANCE, "1", TE_SIDE_HIGH, 0.0001311870406574, 1.434591343391e-05, 0, 5},
        {TE_Q_SKIRT_CLEARANCE, "", TE_SIDE_HIGH, 0.0002343532776728, 7.158910647068e-05,
         6.406346244072e-05, 6},
        {TE_Q_OUT_OF_ROUND, "", TE_SIDE_HIGH, 3.335390414955e-05, 1.339442809136e-05,
         1.121613091899e-05, 6},
        {TE_Q_PIN_BORE, "left", TE_SIDE_HIGH, 1.150353287543e-05, 5.128752008283e-06, 0, 6},
    };
    bench b;
    open_sample(&b, "PS-01-2026-03");
    uint32_t model = b.made.tables->engines[te_made_engine(&b.made, "PS-01")].model;
    assert_int_equal(te_model_rates_make(&b.rates, b.made.shop, &b.made.problems, model), TE_OK);
    assert_int_equal(b.rates.left_out, 0);
    for (size_t i = 0; i < sizeof figures / sizeof *figures; i++) {
        const model_figure *f = &figures[i];
        size_t seen = 0;
        for (size_t j = 0; j < b.rates.count; j++) {
            const te_model_rate *r = &b.rates.items[j];
            if (r->quantity != f->quantity || r->side != f->side ||
                strcmp(te_shop_text(b.made.shop, r->item), f->item) != 0)
                continue;
            seen++;
            assert_near_rel(r->pooled.rate, f->rate, 1e-8);
            assert_near_rel(r->pooled.u, f->u, 1e-8);
            assert_near(r->pooled.between, f->between, 1e-8 * f->u);
            assert_int_equal(r->pooled.members, f->members);
        }
        assert_int_equal(seen, 1);
    }
    bench_close(&b);
}

/* ---- an earlier inspection ------------------------------------------------------------------- */

/* PS-02 at 260 h: piston and rings that came off then, and nothing that was measured later. */
static void earlier_has_the_parts_of_then(void **state)
{
    (void)state;
    bench b;
    open_sample(&b, "PS-02-2024-05");
    EXPECT_ALL(&b,
               {"-", TE_REUSE, 0, 115.5, 89.75739439309, "end_gap", "1", TE_RATE_ENGINE, 1, 22, 0,
                0, 0, 0, 0},
               {"RS-STD", TE_REUSE, 0, 132.0002986526, 119.3207824065, "taper", "", TE_RATE_ENGINE,
                1, 22, 0, 0, 0, 18.2, 15.253000888},
               {"rebored/cylinder+PK-25+RS-25", TE_REUSE, 0, 313.5, 252.2986107613, "end_gap", "1",
                TE_RATE_ENGINE, 1, 22, 0, 0, 0, 65.8, 26.0802070219},
               {"CY-66", TE_REUSE, 0, 140.3129663675, 110.4837980934, "end_gap", "1",
                TE_RATE_ENGINE, 1, 22, 0, 0, 0, 128, 115.854091015},
               {"CY-66+RS-STD", TE_REUSE, 0, 313.5, 252.2986107613, "end_gap", "1", TE_RATE_ENGINE,
                1, 22, 0, 0, 0, 146.2, 57.9472076992});
    look_at(&b, "-");
    assert_string_equal(te_shop_text(b.made.shop, finding_of(&b, "skirt", "")->measured.part),
                        "PS02-K1");
    bench_close(&b);
}

/* ---- one object for all ---------------------------------------------------------------------- */

static void write_all(te_grown *out, const bench *b)
{
    const te_options *o = &b->options;
    te_grown_add(out, "%u %zu %zu %u %u %d %.17g\n", o->inspection, o->looked_at, o->good,
                 o->rejected, o->rejected_other, (int)o->rebore.answer, o->rebore.largest);
    for (size_t i = 0; i < o->count; i++) {
        const te_option *x = &o->items[i];
        write_option(out, b, x);
        te_grown_add(out, " %d %zu %.17g %.17g %.17g %.17g %zu %zu\n", (int)x->verdict, x->failing,
                     x->lasting.left, x->lasting.earliest, x->price, x->price_per_100h,
                     x->lasting.told, x->lasting.by_model);
    }
    for (size_t i = 0; i < o->piston_count; i++)
        te_grown_add(out, "%u %.17g %d\n", o->pistons[i].candidate, o->pistons[i].tight,
                     (int)o->pistons[i].answer);
    for (size_t i = 0; i < o->gap_count; i++)
        te_grown_add(out, "%u %.17g %d\n", o->gaps[i].candidate, o->gaps[i].most,
                     (int)o->gaps[i].answer);
}

static void one_object_serves_every_inspection(void **state)
{
    (void)state;
    bench kept;
    open_sample(&kept, "PS-01-2026-03");
    for (uint32_t i = (uint32_t)kept.made.tables->inspection_count; i-- > 0;) {
        const char *name = te_shop_text(kept.made.shop, kept.made.tables->inspections[i].id);
        bench fresh;
        te_grown is = {0};
        te_grown expected = {0};
        open_sample(&fresh, name);
        bench_make(&kept, name);
        write_all(&is, &kept);
        write_all(&expected, &fresh);
        assert_true(kept.options.count > 0);
        assert_string_equal(is.text, expected.text);
        te_grown_free(&is);
        te_grown_free(&expected);
        bench_close(&fresh);
    }
    bench_close(&kept);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(healthy_which_spare_suits),
        cmocka_unit_test(healthy_what_sets_would_measure),
        cmocka_unit_test(healthy_may_keep_everything),
        cmocka_unit_test(worn_which_spare_suits),
        cmocka_unit_test(worn_with_a_larger_piston),
        cmocka_unit_test(worn_with_a_rebored_cylinder),
        cmocka_unit_test(worn_with_a_new_cylinder),
        cmocka_unit_test(worn_needs_a_cylinder),
        cmocka_unit_test(rejected_which_spare_suits),
        cmocka_unit_test(rejected_what_sets_would_measure),
        cmocka_unit_test(rejected_rings_are_in_no_option),
        cmocka_unit_test(rates_of_the_model),
        cmocka_unit_test(earlier_has_the_parts_of_then),
        cmocka_unit_test(one_object_serves_every_inspection),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
