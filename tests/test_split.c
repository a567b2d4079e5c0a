/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The growth of an end gap told apart into bore and ring. Figures are worked by hand from the
 * readings: gauge G has a standard uncertainty common to its readings of c = 0.002 mm (U/2) and one
 * of its own of o = sqrt(0.001^2 + 0.001^2 / 12) mm, F (feelers) of its own of f = 0.01 / sqrt(12)
 * and common 0.003. With the same gauge both times what is common cancels in a growth.
 */
#include "te_shop_text.h"

#include <math.h>
#include <string.h>

#include "topend/wear.h"

#define READINGS "inspection,feature,reading,position,direction,instrument,item\n"
#define PARTS    "part,kind,engine,fitted_hours,removed_hours,hours_before\n"

static const double pi = 3.14159265358979323846, own2 = 1e-6 + 1e-6 / 12, leaf2 = 1e-4 / 12;

static const te_shop_file base[] = {
    {"engines.csv", "engine,model\nE1,M\nE2,M\n"},
    {"limits.csv", "model,quantity,unit,new_min,new_max,service_max,source\n"
                   "M,end_gap,mm,,,0.9,invented\n"},
    {"instruments.csv", "instrument,resolution,expanded_uncertainty,repeatability\n"
                        "G,0.001,0.004,0.001\nF,0.01,0.006,\n"},
    {"parts.csv", PARTS "C1,cylinder,E1,0,,\nR1,ring_set,E1,0,,5\n"},
    {"inspections.csv", "inspection,engine,date,hours,temperature\nA,E1,2026-01-01,50,20\n"
                        "B,E1,2026-02-01,120,20\nC,E1,2026-03-01,250,20\nD,E1,2026-03-02,250,20\n"},
    {NULL, NULL},
};

typedef struct bench {
    te_made_shop made;
    te_history history;
} bench;

static void make(bench *b, const te_shop_file *files)
{
    *b = (bench){0};
    te_made_read(&b->made, base, files);
    uint32_t engine = te_made_engine(&b->made, "E1");
    assert_int_equal(te_history_make(&b->history, b->made.shop, NULL, engine), TE_OK);
}

static void clear(bench *b)
{
    te_history_free(&b->history);
    te_made_free(&b->made);
}

static const te_series *find(const bench *b, te_quantity quantity)
{
    for (size_t i = 0; i < b->history.series_count; i++)
        if (b->history.series[i].quantity == quantity)
            return &b->history.series[i];
    fail_msg("there is no such series");
    return NULL;
}

/* Of the end gap; the answer. */
static te_split_answer split_of(te_gap_split *split, const bench *b)
{
    return te_gap_split_of(split, &b->history, find(b, TE_Q_END_GAP));
}

static te_gap_split good_split(const char *readings)
{
    const te_shop_file files[] = {{"readings.csv", readings}, {NULL, NULL}};
    te_gap_split split;
    bench b;
    make(&b, files);
    assert_int_equal(split_of(&split, &b), TE_SPLIT_GOOD);
    clear(&b);
    return split;
}

/* ---- figures ------------------------------------------------------------------------------ */

/* The gap grows 0.12, the bore 0.010 thrust and 0.006 pin: 0.008 in the mean, pi 0.008 = 0.025133
 * of gap; the ring's face wears (0.12 - 0.025133) / (2 pi) = 0.015099. Variances: gap 2 f^2; mean
 * of two differences (4 o^2) / 4 = o^2, times pi^2; ring (2 f^2 + pi^2 o^2) / (2 pi)^2. */
static void growth_by_hand(void **state)
{
    (void)state;
    te_gap_split s = good_split(
        READINGS "A,end_gap,0.30,20,,F,1\nA,bore,66.010,20,thrust,G,\nA,bore,66.008,20,pin,G,\n"
                 "B,end_gap,0.39,20,,F,1\nB,bore,66.090,20,thrust,G,\nB,bore,66.090,20,pin,G,\n"
                 "C,end_gap,0.42,20,,F,1\nC,bore,66.020,20,thrust,G,\nC,bore,66.014,20,pin,G,\n");
    assert_near(s.hours_from, 55, 1e-9);
    assert_near(s.hours_to, 255, 1e-9);
    assert_near(s.position, 20, 0);
    assert_int_equal(s.directions, 2);
    assert_true(s.stated);
    assert_near(s.growth, 0.12, 1e-12);
    assert_near(s.u_growth, sqrt(2 * leaf2), 1e-12);
    assert_near(s.from_bore, pi * 0.008, 1e-12);
    assert_near(s.u_from_bore, pi * sqrt(own2), 1e-12);
    assert_near(s.ring_wear, (0.12 - pi * 0.008) / (2 * pi), 1e-12);
    assert_near(s.u_ring_wear, sqrt(2 * leaf2 + pi * pi * own2) / (2 * pi), 1e-12);
    assert_near(s.ring_wear, 0.015099, 5e-7); /* as in the comment */
}

/* Gauges changed between: what was common is no longer, 2 f^2 + 0.003^2 + 0.002^2 for the gap (F,
 * then G with o^2); bore 2 o^2 + c^2 + c^2, for H is like G. G is common to the gap at C and the
 * bore at A: the ring's form has +1 and +pi of it, so (1 + pi)^2 c^2 in place of c^2 + pi^2 c^2. */
static void common_errors_that_do_not_cancel(void **state)
{
    (void)state;
    const te_shop_file files[] = {
        {"instruments.csv", "instrument,resolution,expanded_uncertainty,repeatability\n"
                            "G,0.001,0.004,0.001\nH,0.001,0.004,0.001\nF,0.01,0.006,\n"},
        {"readings.csv", READINGS "A,end_gap,0.30,20,,F,1\nA,bore,66.010,20,thrust,G,\n"
                                  "C,end_gap,0.42,20,,G,1\nC,bore,66.020,20,thrust,H,\n"},
        {NULL, NULL}};
    const double c2 = 4e-6, gap = leaf2 + 9e-6 + own2 + c2, bore = 2 * own2 + 2 * c2;
    te_gap_split s;
    bench b;
    make(&b, files);
    assert_int_equal(split_of(&s, &b), TE_SPLIT_GOOD);
    assert_near(s.u_growth, sqrt(gap), 1e-12);
    assert_near(s.u_from_bore, pi * sqrt(bore), 1e-12);
    /* ring: gap - pi bore, twice the covariance of gap (+G) and -pi bore (-pi times -G) on top */
    assert_near(s.u_ring_wear, sqrt(gap + pi * pi * bore + 2 * pi * c2) / (2 * pi), 1e-12);
    clear(&b);
}

/* A gap that shrank, in a bore that did: signs are kept. */
static void growth_is_signed(void **state)
{
    (void)state;
    te_gap_split s = good_split(READINGS "A,end_gap,0.42,20,,F,1\nA,bore,66.020,20,thrust,G,\n"
                                         "C,end_gap,0.30,20,,F,1\nC,bore,66.010,20,thrust,G,\n");
    assert_near(s.growth, -0.12, 1e-12);
    assert_near(s.from_bore, -pi * 0.01, 1e-12);
    assert_near(s.ring_wear, (-0.12 + pi * 0.01) / (2 * pi), 1e-12);
    assert_int_equal(s.directions, 1);
}

/* One of the four readings without an uncertainty. */
static void not_stated_when_a_reading_is_not(void **state)
{
    (void)state;
    static const char *const readings[] = {
        READINGS "A,end_gap,0.30,20,,,1\nA,bore,66.010,20,thrust,G,\n"
                 "C,end_gap,0.42,20,,F,1\nC,bore,66.020,20,thrust,G,\n",
        READINGS "A,end_gap,0.30,20,,F,1\nA,bore,66.010,20,thrust,,\n"
                 "C,end_gap,0.42,20,,F,1\nC,bore,66.020,20,thrust,G,\n",
        READINGS "A,end_gap,0.30,20,,F,1\nA,bore,66.010,20,thrust,G,\n"
                 "C,end_gap,0.42,20,,F,1\nC,bore,66.020,20,thrust,,\n"};
    for (size_t i = 0; i < 3; i++) {
        te_gap_split s = good_split(readings[i]);
        assert_false(s.stated);
        assert_near(s.from_bore, pi * 0.01, 1e-12);
    }
}

/* A direction taken once only has no part; neither has another height, another direction, or the
 * second of two readings in one direction within half a millimetre. */
static void only_directions_taken_both_times(void **state)
{
    (void)state;
    te_gap_split s = good_split(
        READINGS
        "A,end_gap,0.30,20,,F,1\nA,bore,66.010,20,thrust,G,\nA,bore,66.008,20,pin,G,\n"
        "A,bore,66.000,60,45,G,\nA,bore,66.000,,45,G,\nA,bore,66.0,20,,G,\n"
        "C,end_gap,0.42,20,,F,1\nC,bore,66.020,20,thrust,G,\nC,bore,66.050,20.3,thrust,G,\n"
        "C,bore,66.090,20,45,G,\nC,bore,66.09,20,,G,\n");
    assert_int_equal(s.directions, 1);
    assert_near(s.from_bore, pi * 0.01, 1e-12);
    assert_near(s.u_from_bore, pi * sqrt(2 * own2), 1e-12);
}

/* Half a millimetre is the same height, for the bore and for the gap; the last is told. */
static void half_a_millimetre_is_the_same_height(void **state)
{
    (void)state;
    te_gap_split s = good_split(READINGS "A,end_gap,0.30,20,,F,1\nA,bore,66.010,20.9,thrust,G,\n"
                                         "C,end_gap,0.42,20.4,,F,1\nC,bore,66.020,19.9,0,G,\n");
    assert_near(s.position, 20.4, 0);
    assert_near(s.from_bore, pi * 0.01, 1e-12);
    te_gap_split edge = good_split(READINGS "A,end_gap,0.30,20,,F,1\nA,bore,66.010,21,thrust,G,\n"
                                            "C,end_gap,0.42,20.5,,F,1\nC,bore,66.020,20,0,G,\n");
    assert_near(edge.from_bore, pi * 0.01, 1e-12);
}

/* Directions within 0.001 degrees are alike. */
static void alike_directions(void **state)
{
    (void)state;
    te_gap_split s = good_split(
        READINGS
        "A,end_gap,0.30,20,,F,1\nA,bore,66.010,20,45,G,\nA,bore,66.010,20,75,G,\n"
        "C,end_gap,0.42,20,,F,1\nC,bore,66.020,20,45.0009,G,\nC,bore,66.090,20,75.0011,G,\n");
    assert_int_equal(s.directions, 1);
    assert_near(s.from_bore, pi * 0.01, 1e-12);
}

/* A form holds 16 terms: two of the gap and seven directions. Of eight, the first seven in order of
 * direction (0, 20 ... 120) grew by 0.010 each; the eighth by 0.5. */
static void seven_directions_at_most(void **state)
{
    (void)state;
    te_grown readings = {0};
    te_grown_add(&readings, READINGS "A,end_gap,0.30,20,,F,1\nC,end_gap,0.42,20,,F,1\n");
    for (int i = 0; i < 8; i++) {
        te_grown_add(&readings, "A,bore,66.010,20,%d,G,\n", 20 * i);
        te_grown_add(&readings, "C,bore,%s,20,%d,G,\n", i < 7 ? "66.020" : "66.510", 20 * i);
    }
    te_gap_split s = good_split(readings.text);
    assert_int_equal(s.directions, 7);
    assert_near(s.from_bore, pi * 0.01, 1e-12);
    assert_near(s.u_from_bore, pi * sqrt(2 * own2 / 7), 1e-12);
    te_grown_free(&readings);
}

/* Between the measured points, the first one before the run-in included, not from the assumed. */
static void from_the_first_measured_point(void **state)
{
    (void)state;
    const te_shop_file files[] = {
        {"models.csv", "model,run_in_hours\nM,60\n"},
        {"limits.csv", "model,quantity,unit,new_min,new_max,service_max,source\n"
                       "M,end_gap,mm,0.2,0.3,0.9,invented\n"},
        {"parts.csv", PARTS "C1,cylinder,E1,0,,\nR1,ring_set,E1,0,,\n"},
        {"readings.csv", READINGS "A,end_gap,0.30,20,,F,1\nA,bore,66.010,20,thrust,G,\n"
                                  "B,end_gap,0.32,20,,F,1\nC,end_gap,0.42,20,,F,1\n"
                                  "C,bore,66.020,20,thrust,G,\n"},
        {NULL, NULL}};
    te_gap_split s;
    bench b;
    make(&b, files);
    const te_series *series = find(&b, TE_Q_END_GAP);
    assert_true(b.history.points[series->first_point].assumed);
    assert_int_equal(series->fitted_count, 2);
    assert_int_equal(split_of(&s, &b), TE_SPLIT_GOOD);
    assert_near(s.hours_from, 50, 1e-9);
    assert_near(s.growth, 0.12, 1e-12);
    clear(&b);
}

/* ---- why not ------------------------------------------------------------------------------ */

static void not_a_gap(void **state)
{
    (void)state;
    const te_shop_file files[] = {{"readings.csv", READINGS "A,bore,66.010,20,thrust,G,\n"
                                                            "C,bore,66.020,20,thrust,G,\n"},
                                  {NULL, NULL}};
    te_gap_split s;
    bench b;
    make(&b, files);
    assert_int_equal(te_gap_split_of(&s, &b.history, find(&b, TE_Q_BORE)), TE_SPLIT_NOT_GAP);
    clear(&b);
}

static const char as_new[] = "model,quantity,unit,new_min,new_max,service_max,source\n"
                             "M,end_gap,mm,0.2,0.3,0.9,invented\n";
static const char new_parts[] = PARTS "C1,cylinder,E1,0,,\nR1,ring_set,E1,0,,\n";
static const char two_cylinders[] = PARTS "C1,cylinder,E1,0,100,\nC2,cylinder,E1,100,,\n"
                                          "R1,ring_set,E1,0,,5\n";
/* Each answer; parts and limits NULL: as in base. */
static const struct {
    int line;
    te_split_answer answer;
    const char *limits, *parts, *readings;
} answer_cases[] = {
    {__LINE__, TE_SPLIT_ONE, NULL, NULL, "A,end_gap,0.30,20,,F,1\nA,bore,66.010,20,thrust,G,\n"},
    /* the assumed point does not count, nor do two at the same hours */
    {__LINE__, TE_SPLIT_ONE, as_new, new_parts,
     "A,end_gap,0.30,20,,F,1\nA,bore,66.010,20,thrust,G,\n"},
    {__LINE__, TE_SPLIT_ONE, NULL, NULL,
     "C,end_gap,0.30,20,,F,1\nC,bore,66.010,20,thrust,G,\n"
     "D,end_gap,0.32,20,,F,1\nD,bore,66.020,20,thrust,G,\n"},
    /* in another cylinder: not of the series */
    {__LINE__, TE_SPLIT_ONE, NULL, two_cylinders,
     "A,end_gap,0.30,20,,F,1\nA,bore,66.010,20,thrust,G,\n"
     "C,end_gap,0.42,20,,F,1\nC,bore,66.020,20,thrust,G,\n"},
    {__LINE__, TE_SPLIT_GOOD, NULL, two_cylinders,
     "B,end_gap,0.30,20,,F,1\nB,bore,66.010,20,thrust,G,\n"
     "C,end_gap,0.42,20,,F,1\nC,bore,66.020,20,thrust,G,\n"},
    {__LINE__, TE_SPLIT_POSITION, NULL, NULL,
     "A,end_gap,0.30,20,,F,1\nA,bore,66.010,20,thrust,G,\n"
     "C,end_gap,0.42,20.6,,F,1\nC,bore,66.020,20,thrust,G,\n"},
    {__LINE__, TE_SPLIT_POSITION, NULL, NULL,
     "A,end_gap,0.30,,,F,1\nA,bore,66.010,20,thrust,G,\n"
     "C,end_gap,0.42,20,,F,1\nC,bore,66.020,20,thrust,G,\n"},
    {__LINE__, TE_SPLIT_POSITION, NULL, NULL,
     "A,end_gap,0.30,20,,F,1\nA,bore,66.010,20,thrust,G,\n"
     "C,end_gap,0.42,,,F,1\nC,bore,66.020,20,thrust,G,\n"},
    {__LINE__, TE_SPLIT_POSITION, NULL, NULL,
     "A,end_gap,0.30,,,F,1\nA,bore,66.010,,thrust,G,\n"
     "C,end_gap,0.42,,,F,1\nC,bore,66.020,,thrust,G,\n"},
    /* no bore before, after, at that height, in one direction, with a direction */
    {__LINE__, TE_SPLIT_NO_BORE, NULL, NULL,
     "A,end_gap,0.30,20,,F,1\nC,end_gap,0.42,20,,F,1\n"
     "C,bore,66.020,20,thrust,G,\n"},
    {__LINE__, TE_SPLIT_NO_BORE, NULL, NULL,
     "A,end_gap,0.30,20,,F,1\nC,end_gap,0.42,20,,F,1\n"
     "A,bore,66.020,20,thrust,G,\n"},
    {__LINE__, TE_SPLIT_NO_BORE, NULL, NULL,
     "A,end_gap,0.30,20,,F,1\nA,bore,66.010,20.6,thrust,G,\n"
     "C,end_gap,0.42,20,,F,1\nC,bore,66.020,20,thrust,G,\n"},
    {__LINE__, TE_SPLIT_NO_BORE, NULL, NULL,
     "A,end_gap,0.30,20,,F,1\nA,bore,66.010,20,thrust,G,\n"
     "C,end_gap,0.42,20,,F,1\nC,bore,66.020,19.4,thrust,G,\n"},
    {__LINE__, TE_SPLIT_NO_BORE, NULL, NULL,
     "A,end_gap,0.30,20,,F,1\nA,bore,66.010,20,thrust,G,\n"
     "C,end_gap,0.42,20,,F,1\nC,bore,66.020,20,pin,G,\n"},
    {__LINE__, TE_SPLIT_NO_BORE, NULL, NULL,
     "A,end_gap,0.30,20,,F,1\nA,bore,66.010,20,,G,\n"
     "C,end_gap,0.42,20,,F,1\nC,bore,66.020,20,,G,\n"},
    {__LINE__, TE_SPLIT_NO_BORE, NULL, NULL,
     "A,end_gap,0.30,20,,F,1\nA,skirt,65.950,20,thrust,G,\n"
     "C,end_gap,0.42,20,,F,1\nC,bore,66.020,20,thrust,G,\n"},
    {__LINE__, TE_SPLIT_NO_BORE, NULL, NULL,
     "A,end_gap,0.30,20,,F,1\nA,squish,1.010,20,thrust,G,\n"
     "C,end_gap,0.42,20,,F,1\nC,squish,1.020,20,thrust,G,\n"},
};

static void answers(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof answer_cases / sizeof *answer_cases; i++) {
        te_grown readings = {0};
        te_grown_add(&readings, READINGS "%s", answer_cases[i].readings);
        te_shop_file files[4] = {{"readings.csv", readings.text}};
        size_t count = 1;
        if (answer_cases[i].limits)
            files[count++] = (te_shop_file){"limits.csv", answer_cases[i].limits};
        if (answer_cases[i].parts)
            files[count++] = (te_shop_file){"parts.csv", answer_cases[i].parts};
        te_gap_split s;
        bench b;
        make(&b, files);
        te_split_answer answer = split_of(&s, &b);
        if (answer != answer_cases[i].answer)
            fail_msg("case of line %d: answer %d, expected %d", answer_cases[i].line, (int)answer,
                     (int)answer_cases[i].answer);
        clear(&b);
        te_grown_free(&readings);
    }
}

/* The ring set and its cylinder went on E2 together: bore readings of either engine are found. */
static void through_engines_in_one_cylinder(void **state)
{
    (void)state;
    const te_shop_file files[] = {
        {"parts.csv", PARTS "C1,cylinder,E1,0,100,\nR1,ring_set,E1,0,100,5\n"
                            "C1,cylinder,E2,10,,100\nR1,ring_set,E2,10,,105\n"},
        {"inspections.csv", "inspection,engine,date,hours,temperature\nA,E1,2026-01-01,50,20\n"
                            "B,E2,2026-02-01,40,20\n"},
        {"readings.csv", READINGS "A,end_gap,0.30,20,,F,1\nA,bore,66.010,20,thrust,G,\n"
                                  "B,end_gap,0.42,20,,F,1\nB,bore,66.020,20,thrust,G,\n"},
        {NULL, NULL}};
    te_gap_split s;
    bench b;
    make(&b, files);
    assert_int_equal(split_of(&s, &b), TE_SPLIT_GOOD);
    assert_near(s.hours_from, 55, 1e-9);
    assert_near(s.hours_to, 135, 1e-9);
    assert_near(s.from_bore, pi * 0.01, 1e-12);
    clear(&b);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(growth_by_hand),
        cmocka_unit_test(common_errors_that_do_not_cancel),
        cmocka_unit_test(growth_is_signed),
        cmocka_unit_test(not_stated_when_a_reading_is_not),
        cmocka_unit_test(only_directions_taken_both_times),
        cmocka_unit_test(half_a_millimetre_is_the_same_height),
        cmocka_unit_test(alike_directions),
        cmocka_unit_test(seven_directions_at_most),
        cmocka_unit_test(from_the_first_measured_point),
        cmocka_unit_test(not_a_gap),
        cmocka_unit_test(answers),
        cmocka_unit_test(through_engines_in_one_cylinder),
    };
    return cmocka_run_group_tests_name("split", tests, NULL, NULL);
}
