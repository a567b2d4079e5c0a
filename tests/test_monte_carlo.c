/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The uncertainty of quantities against a simulation of the measurement (JCGM 101): every source of
 * error is drawn, the readings are made with it, the quantities are computed from them by the plain
 * arithmetic of this file, and their scatter over many draws is compared with what the forms say.
 *
 * The readings: a bore by a gauge BG that is set with the micrometer MIC, at two heights in two
 * directions, with one zero for thrust and another for pin; the skirt by MIC; an end gap by
 * feelers; at 9 degrees; cylinder, piston and ring of different materials. They lie so far apart
 * (0.025 mm at least, 8 standard uncertainties) that no error changes which are extreme.
 */
#include "te_shop_text.h"

#include <math.h>
#include <string.h>

#include "topend/measure.h"

static const double pi = 3.14159265358979323846;

static const te_shop_file files[] = {
    {"engines.csv", "engine,model\nE1,M\n"},
    {"models.csv", "model,cylinder_material,piston_material,ring_material\n"
                   "M,aluminium_high_si,aluminium,cast_iron\n"},
    {"limits.csv", "model,quantity,unit,new_min,new_max,service_max,source\n"
                   "M,bore,mm,66.00,66.02,66.30,invented\n"},
    {"instruments.csv",
     "instrument,resolution,expanded_uncertainty,repeatability,expansion,set_with\n"
     "BG,0.002,0.003,0.0012,,MIC\nMIC,0.001,0.002,0.0008,10e-6,\nFG,,0.004,0.001,,\n"},
    {"inspections.csv", "inspection,engine,date,hours,temperature,temperature_uncertainty\n"
                        "I1,E1,2026-04-18,100,9,0.8\n"},
    {"readings.csv", "inspection,feature,item,position,direction,reading,reading_2,no_go,zero,"
                     "instrument\n"
                     "I1,bore,,10,thrust,0.180,,,66.00,BG\n"
                     "I1,bore,,60,thrust,0.110,,,66.00,BG\n"
                     "I1,bore,,10,pin,-0.030,-0.030,,66.05,BG\n"
                     "I1,bore,,60,pin,0.015,,,66.05,BG\n"
                     "I1,skirt,,,thrust,65.900,65.900,,,MIC\n"
                     "I1,skirt,,,pin,65.940,,,,MIC\n"
                     "I1,end_gap,1,,,0.30,,0.31,,FG\n"},
    {NULL, NULL},
};

enum {
    BORE_LOW,
    BORE_HIGH,
    OUT_OF_ROUND,
    TAPER,
    CLEARANCE_LOW,
    CLEARANCE_HIGH,
    END_GAP,
    QUANTITIES
};

/* ---- the simulation ---------------------------------------------------------------------- */

/* One draw of everything that is common to readings. Half of an expanded uncertainty is a standard
 * one; expansions are known to a tenth. */
typedef struct nature {
    double above;                         /* true temperature less 20 */
    double scale, cylinder, piston, ring; /* expansions, per kelvin */
    double mic, bg, feelers;              /* errors of calibration */
    double set_thrust, set_pin;           /* errors of the two settings of BG */
} nature;

/* An error of resolution: anything within half a step. */
static double rounding(te_random *random, double step)
{
    return te_random_between(random, -step / 2, step / 2);
}

static nature draw_nature(te_random *random)
{
    nature n;
    n.above = 9 - 20 + 0.8 * te_random_normal(random);
    n.scale = 10e-6 * (1 + 0.1 * te_random_normal(random));
    n.cylinder = 18.5e-6 * (1 + 0.1 * te_random_normal(random));
    n.piston = 22e-6 * (1 + 0.1 * te_random_normal(random));
    n.ring = 11e-6 * (1 + 0.1 * te_random_normal(random));
    n.mic = 0.001 * te_random_normal(random);
    n.bg = 0.0015 * te_random_normal(random);
    n.feelers = 0.002 * te_random_normal(random);
    n.set_thrust = 0.0012 * te_random_normal(random) + rounding(random, 0.002);
    n.set_pin = 0.0012 * te_random_normal(random) + rounding(random, 0.002);
    return n;
}

/* The mean of repeats: each has its scatter; the step of the display is common to them. */
static double mean_error(te_random *random, double scatter, int repeats, double step)
{
    double sum = 0;
    for (int i = 0; i < repeats; i++)
        sum += scatter * te_random_normal(random);
    return sum / repeats + rounding(random, step);
}

static double bore_error(te_random *random, const nature *n, double setting, int repeats)
{
    return n->mic + n->bg + setting + mean_error(random, 0.0012, repeats, 0.002);
}

static double at_20(const nature *n, double size, double expansion)
{
    return size * (1 + n->scale * n->above) / (1 + expansion * n->above);
}

static double larger(double a, double b)
{
    return a > b ? a : b;
}

static double smaller(double a, double b)
{
    return a < b ? a : b;
}

/* Measures once more and computes the quantities. */
static void simulate(double out[QUANTITIES], te_random *random)
{
    const nature n = draw_nature(random);
    const double thrust_10 = at_20(&n, 66.180 + bore_error(random, &n, n.set_thrust, 1),
                                   n.cylinder);
    const double thrust_60 = at_20(&n, 66.110 + bore_error(random, &n, n.set_thrust, 1),
                                   n.cylinder);
    const double pin_10 = at_20(&n, 66.020 + bore_error(random, &n, n.set_pin, 2), n.cylinder);
    const double pin_60 = at_20(&n, 66.065 + bore_error(random, &n, n.set_pin, 1), n.cylinder);
    const double skirt_a = at_20(&n, 65.900 + n.mic + mean_error(random, 0.0008, 2, 0.001),
                                 n.piston);
    const double skirt_b = at_20(&n, 65.940 + n.mic + mean_error(random, 0.0008, 1, 0.001),
                                 n.piston);
    const double gap = 0.305 + n.feelers + mean_error(random, 0.001, 1, 0.01) -
                       pi * 66.01 * (n.cylinder - n.ring) * n.above;

    out[BORE_LOW] = smaller(smaller(thrust_10, thrust_60), smaller(pin_10, pin_60));
    out[BORE_HIGH] = larger(larger(thrust_10, thrust_60), larger(pin_10, pin_60));
    out[OUT_OF_ROUND] = larger(fabs(thrust_10 - pin_10), fabs(thrust_60 - pin_60));
    out[TAPER] = larger(fabs(thrust_10 - thrust_60), fabs(pin_10 - pin_60));
    out[CLEARANCE_LOW] = out[BORE_LOW] - larger(skirt_a, skirt_b);
    out[CLEARANCE_HIGH] = out[BORE_HIGH] - smaller(skirt_a, skirt_b);
    out[END_GAP] = gap;
}

/* ---- the comparison ---------------------------------------------------------------------- */

static te_form form_of(const te_quantities *list, te_quantity quantity, bool high)
{
    for (size_t i = 0; i < list->count; i++)
        if (list->items[i].quantity == quantity)
            return high ? list->items[i].high : list->items[i].low;
    fail_msg("no quantity %u", (unsigned)quantity);
    return (te_form){0};
}

typedef struct bench {
    te_made_shop made;
    te_observations pool;
    te_quantities list;
    te_form forms[QUANTITIES];
    double value[QUANTITIES], u[QUANTITIES];
} bench;

static void set_up(bench *b)
{
    *b = (bench){0};
    te_made_read(&b->made, files, NULL);
    assert_int_equal(te_observe(&b->pool, b->made.shop, 0), TE_OK);
    assert_int_equal(te_quantities_make(&b->list, &b->pool, 0, b->made.shop,
                                        &te_shop_tables(b->made.shop)->inspections[0]),
                     TE_OK);
    b->forms[BORE_LOW] = form_of(&b->list, TE_Q_BORE, false);
    b->forms[BORE_HIGH] = form_of(&b->list, TE_Q_BORE, true);
    b->forms[OUT_OF_ROUND] = form_of(&b->list, TE_Q_OUT_OF_ROUND, true);
    b->forms[TAPER] = form_of(&b->list, TE_Q_TAPER, true);
    b->forms[CLEARANCE_LOW] = form_of(&b->list, TE_Q_SKIRT_CLEARANCE, false);
    b->forms[CLEARANCE_HIGH] = form_of(&b->list, TE_Q_SKIRT_CLEARANCE, true);
    b->forms[END_GAP] = form_of(&b->list, TE_Q_END_GAP, true);
    for (size_t q = 0; q < QUANTITIES; q++) {
        b->value[q] = te_form_value(&b->pool, &b->forms[q]);
        b->u[q] = sqrt(te_form_variance(&b->pool, &b->forms[q]));
    }
}

static void tear_down(bench *b)
{
    te_quantities_free(&b->list);
    te_observations_free(&b->pool);
    te_made_free(&b->made);
}

/* Tolerances, for N draws of (nearly) normal quantities:
 *   a mean                 5 u / sqrt N
 *   a standard deviation   5 u / sqrt(2 N), and 0.2 % of u for what the forms leave out: products
 *                          of two errors, as of an expansion and the temperature: in the clearance
 *                          66 mm x 0.8 K x (2.2e-6 and 1.85e-6 /K), 0.15 um beside u = 3.2 um,
 *                          (0.15/3.2)^2 / 2 = 0.11 %; in the gap 0.31 um beside 6.2 um, 0.12 %
 *   a covariance           5 u_a u_b sqrt((1 + r^2) / N), and 0.4 % of u_a u_b likewise
 * The readings' own errors of resolution are rectangular, which makes the scatter of the standard
 * deviation smaller. */
static void the_scatter_is_what_the_forms_say(void **state)
{
    (void)state;
    bench b;
    te_random random = te_random_start(20260418);
    const size_t draws = te_test_rounds(200000);
    const double n = (double)draws;
    double sum[QUANTITIES] = {0}, products[QUANTITIES][QUANTITIES] = {{0}};
    set_up(&b);
    for (size_t i = 0; i < draws; i++) {
        double x[QUANTITIES];
        simulate(x, &random);
        for (size_t q = 0; q < QUANTITIES; q++) {
            x[q] -= b.value[q];
            sum[q] += x[q];
            for (size_t p = 0; p <= q; p++)
                products[q][p] += x[q] * x[p];
        }
    }
    for (size_t q = 0; q < QUANTITIES; q++) {
        assert_near(sum[q] / n, 0, 5 * b.u[q] / sqrt(n));
        double sd = sqrt((products[q][q] - sum[q] * sum[q] / n) / (n - 1));
        assert_near(sd, b.u[q], b.u[q] * (5 / sqrt(2 * n) + 0.002));
        for (size_t p = 0; p < q; p++) {
            double covariance = (products[q][p] - sum[q] * sum[p] / n) / (n - 1);
            double expected = te_form_covariance(&b.pool, &b.forms[q], &b.forms[p]);
            double both = b.u[q] * b.u[p], r = expected / both;
            assert_near(covariance, expected, both * (5 * sqrt((1 + r * r) / n) + 0.004));
        }
    }
    tear_down(&b);
}

/* The comparison above would tell: each source alone, dropped, would move some standard uncertainty
 * by more than its tolerance of about 1 %. */
static void every_source_matters(void **state)
{
    (void)state;
    bench b;
    double least_gain = 1;
    set_up(&b);
    for (size_t e = 0; e < b.pool.effect_count; e++) {
        const te_source source = b.pool.effects[e].source;
        double gain = 0;
        for (size_t q = 0; q < QUANTITIES; q++) {
            te_component parts[32];
            size_t count = te_form_explain(parts, 32, &b.pool, &b.forms[q]);
            assert_true(count <= 32);
            for (size_t i = 0; i < count; i++)
                if (!parts[i].own && parts[i].source == source)
                    gain = fmax(gain, 1 - sqrt(1 - pow(parts[i].effect / b.u[q], 2)));
        }
        least_gain = fmin(least_gain, gain);
    }
    assert_true(least_gain > 0.012);
    /* and correlation matters: without it the clearance would be surer or less sure than it is */
    const double apart = sqrt(pow(b.pool.items[b.forms[CLEARANCE_LOW].observation[0]].u, 2) +
                              pow(b.pool.items[b.forms[CLEARANCE_LOW].observation[1]].u, 2));
    assert_true(fabs(apart / b.u[CLEARANCE_LOW] - 1) > 0.05);
    tear_down(&b);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_scatter_is_what_the_forms_say),
        cmocka_unit_test(every_source_matters),
    };
    return cmocka_run_group_tests_name("monte_carlo", tests, NULL, NULL);
}
