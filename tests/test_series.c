/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Series: assumed points, run-in, sides, limits, rates and when they meet a limit, worked by hand
 * or by the R recipe below; one history for several engines; and what must not change a figure.
 *
 * A series is named "quantity[item] part+part side". Points are written by their hours of the
 * series: "0a 10r* 60p" is an assumed point at 0 h, one at 10 h within the run-in that is not
 * fitted, and one at 60 h with places missing that is.
 *
 * R recipe of every figure that names it; t, y, V and the rest stand at the test:
 *   own <- 0.001^2 + 0.001^2/12; common <- 0.002^2        # G: repeatability, resolution; U/2
 *   gls <- function(t, y, V, at) { X <- cbind(1, t-at); W <- solve(V); C <- solve(t(X) %*% W %*% X)
 *     b <- C %*% t(X) %*% W %*% y; r <- y - X %*% b; chi2 <- c(t(r) %*% W %*% r)
 *     nu <- length(t)-2; list(level=b[1], rate=b[2], C=C, chi2=chi2,
 *                             s=if (nu > 0) max(1, chi2/nu) else 1) }
 *   meet <- function(f, L, q, at) uniroot(function(h) f$level + f$rate*(h-at) +
 *     q*sqrt(f$s*c(c(1,h-at) %*% f$C %*% c(1,h-at))) - L, c(at, 1e5), tol=1e-11)$root
 */
#include "te_shop_text.h"

#include <gsl/gsl_errno.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "due_ways.h"

#define PARTS    "part,kind,engine,fitted_hours,removed_hours,hours_before,oversize\n"
#define LIMITS   "model,quantity,unit,new_min,new_max,service_min,service_max,source\n"
#define READINGS "inspection,feature,reading,instrument,direction,item,part,position,unit\n"
#define VISITS   "inspection,engine,date,hours,state,temperature\n"

/* G states its uncertainty; N has none; R states no resolution. No material is given, so values are
 * as read and temperature adds nothing. */
static const te_shop_file base[] = {
    {"engines.csv", "engine,model\nE1,M\nE2,N\nE3,M\n"},
    {"models.csv", "model,run_in_hours\nM,\nN,30\n"},
    {"limits.csv", LIMITS "M,bore,mm,,,,66.1,invented\n"},
    {"instruments.csv", "instrument,resolution,expanded_uncertainty,repeatability\n"
                        "G,0.001,0.004,0.001\nN,0.001,,0.001\nR,,0.004,0.001\n"},
    {"parts.csv", PARTS "C1,cylinder,E1,0,,,\n"},
    {"inspections.csv",
     VISITS "A0,E1,2026-01-01,0,,20\nA10,E1,2026-01-10,10,,20\nA60,E1,2026-02-01,60,,20\n"
            "A160,E1,2026-03-01,160,,20\nA260,E1,2026-04-01,260,,20\nA360,E1,2026-05-01,360,,20\n"
            "B5,E2,2026-06-01,5,,20\nB45,E2,2026-07-01,45,,20\nB95,E2,2026-08-01,95,,20\n"
            "D10,E3,2026-01-01,10,,20\nD20,E3,2026-02-01,20,,20\n"},
    {NULL, NULL},
};

/* standard uncertainty of one reading with G: own and common */
static const double own2 = 1e-6 + 1e-6 / 12, common2 = 4e-6;

typedef struct bench {
    te_made_shop made;
    te_history history;
} bench;

static void make(bench *b, const te_shop_file *files, const char *engine)
{
    *b = (bench){0};
    te_made_read(&b->made, base, files);
    assert_int_equal(
        te_history_make(&b->history, b->made.shop, NULL, te_made_engine(&b->made, engine)), TE_OK);
    assert_true(due_ways_agree(b->made.shop, te_made_engine(&b->made, engine)));
}

/* The history of E1; NULL: as in base. */
static void run(bench *b, const char *limits, const char *parts, const char *readings)
{
    te_shop_file files[4] = {{"readings.csv", readings}};
    size_t count = 1;
    if (limits)
        files[count++] = (te_shop_file){"limits.csv", limits};
    if (parts)
        files[count++] = (te_shop_file){"parts.csv", parts};
    files[count] = (te_shop_file){NULL, NULL};
    make(b, files, "E1");
}

static void clear(bench *b)
{
    te_history_free(&b->history);
    te_made_free(&b->made);
}

static void write_name(char *out, size_t size, const te_shop *shop, const te_series *s)
{
    const char *item = te_shop_text(shop, s->item);
    int written = snprintf(out, size, "%s%s%s%s %s%s%s %s",
                           te_shop_quantity_name(shop, s->quantity), *item ? "[" : "", item,
                           *item ? "]" : "", te_shop_text(shop, s->part), s->second_part ? "+" : "",
                           te_shop_text(shop, s->second_part), te_side_name(s->side));
    assert_true(written > 0 && (size_t)written < size);
}

static const te_series *find(const bench *b, const char *name)
{
    for (size_t i = 0; i < b->history.series_count; i++) {
        char is[128];
        write_name(is, sizeof is, b->made.shop, &b->history.series[i]);
        if (strcmp(is, name) == 0)
            return &b->history.series[i];
    }
    return NULL;
}

static void write_points(char *out, size_t size, const bench *b, const te_series *s)
{
    size_t used = 0;
    out[0] = '\0';
    for (uint32_t i = 0; i < s->point_count; i++) {
        const te_point *p = &b->history.points[s->first_point + i];
        int added = snprintf(out + used, size - used, "%s%.9g%s%s%s%s", i ? " " : "", p->hours,
                             p->assumed ? "a" : "", p->partial ? "p" : "", p->run_in ? "r" : "",
                             p->fitted ? "" : "*");
        used += (size_t)added;
        assert_true(used < size);
    }
}

/* Fails unless there is a series with these points. */
static const te_series *expect_points(const bench *b, const char *name, const char *points,
                                      long line)
{
    char is[128];
    const te_series *s = find(b, name);
    if (!s) {
        fail_msg("line %ld: there is no series %s", line, name);
        return NULL;
    }
    write_points(is, sizeof is, b, s);
    if (strcmp(is, points) != 0)
        fail_msg("line %ld: %s is %s, expected %s", line, name, is, points);
    return s;
}

static const te_point *point(const bench *b, const te_series *s, size_t i)
{
    assert_true(i < s->point_count);
    return &b->history.points[s->first_point + i];
}

/* ---- the assumed point -------------------------------------------------------------------- */

static const char new_bore[] = LIMITS "M,bore,mm,66.000,66.020,,66.1,invented\n";

/* The middle 66.010 with u 0.020 / sqrt(12); then 0.012 mm in 60 h, 0.078 mm left. R: t = c(0, 60),
 * y = c(66.010, 66.022), V = diag(c(0.02^2/12, own + common)), meet(f, 66.1, qnorm(.95), 60). */
static void assumed_point_by_hand(void **state)
{
    (void)state;
    bench b;
    run(&b, new_bore, NULL, READINGS "A60,bore,66.022,G,,,\n");
    const te_series *s = expect_points(&b, "bore C1 high", "0a 60", __LINE__);
    const te_point *p = point(&b, s, 0);
    assert_near(p->value, 66.010, 1e-12);
    assert_near(te_form_value(&b.history.pool, &p->form), 66.010, 1e-12);
    assert_near(p->u, 0.020 / sqrt(12), 1e-13);
    assert_true(p->stated);
    assert_int_equal(p->inspection, TE_NO_INDEX);
    assert_int_equal(p->engine, te_made_engine(&b.made, "E1"));
    assert_near(p->engine_hours, 0, 0);
    assert_near(p[1].u, sqrt(own2 + common2), 1e-15);
    assert_near(te_form_covariance(&b.history.pool, &p->form, &p[1].form), 0, 0);
    assert_true(s->assumed);
    assert_int_equal(s->fitted_count, 2);
    assert_int_equal(s->method, TE_RATE_GENERALISED);
    assert_near(s->hours_first, 0, 0);
    assert_near(s->hours_last, 60, 0);
    assert_near(s->value_last, 66.022, 1e-12);
    assert_near(s->line.level, 66.022, 1e-11);
    assert_near(s->line.rate, 0.0002, 1e-14);
    assert_near(sqrt(s->line.var_rate), 0.000103301966565, 1e-14);
    assert_near(sqrt(s->line.var_level), sqrt(own2 + common2), 1e-14);
    assert_true(isnan(te_line_chance(&s->line)));
    assert_near(s->at_limit, 450, 1e-7);
    assert_near(s->at_limit_earliest, 266.770395166, 1e-7);
    assert_false(s->met);
    clear(&b);
}

/* The observation of an assumed point names what it stands for. */
static void assumed_point_is_an_observation(void **state)
{
    (void)state;
    bench b;
    run(&b, LIMITS "M,end_gap,mm,0.2,0.4,,0.8,i\n",
        PARTS "C1,cylinder,E1,20,,,\nR1,ring_set,E1,20,,,\n", READINGS "A60,end_gap,0.35,G,,2,\n");
    const te_series *s = expect_points(&b, "end_gap[2] R1 high", "0a 40", __LINE__);
    assert_near(point(&b, s, 0)->engine_hours, 20, 0);
    const te_observation *x = &b.history.pool.items[point(&b, s, 0)->form.observation[0]];
    assert_int_equal(x->reading, TE_NO_INDEX);
    assert_int_equal(x->feature, TE_Q_END_GAP);
    assert_int_equal(x->part, te_shop_find_text(b.made.shop, "R1"));
    assert_int_equal(x->item, te_shop_find_text(b.made.shop, "2"));
    assert_int_equal(x->instrument, 0);
    assert_int_equal(x->effect_count, 0);
    assert_near(x->raw, 0.3, 1e-12);
    assert_true(isnan(x->go) && isnan(x->no_go) && isnan(x->zero) && isnan(x->position) &&
                isnan(x->direction));
    clear(&b);
}

/* Of a pair it stands at the later fitting, on the engine where that was. */
static void assumed_point_of_a_pair(void **state)
{
    (void)state;
    const te_shop_file files[] = {
        {"limits.csv", LIMITS "N,skirt_clearance,mm,0.04,0.10,,0.16,i\n"},
        {"models.csv", "model\nM\nN\n"},
        {"parts.csv", PARTS "C1,cylinder,E2,15,,,\nK1,piston,E2,15,,,\n"},
        {"readings.csv", READINGS "B45,bore,66.02,G,,,\nB45,skirt,65.95,G,,,\n"},
        {NULL, NULL}};
    bench b;
    make(&b, files, "E2");
    const te_series *s = expect_points(&b, "skirt_clearance C1+K1 high", "0a 30", __LINE__);
    assert_near(point(&b, s, 0)->engine_hours, 15, 0);
    assert_int_equal(point(&b, s, 0)->engine, te_made_engine(&b.made, "E2"));
    clear(&b);
}

typedef struct point_case {
    int line;
    const char *limits, *parts, *readings, *series, *points;
    double value, u; /* of the assumed point */
} point_case;

static void try_points(const point_case *cases, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        const point_case *c = &cases[i];
        te_grown limits = {0}, parts = {0}, readings = {0};
        bench b;
        te_grown_add(&limits, LIMITS "%s", c->limits);
        te_grown_add(&parts, PARTS "%s", c->parts);
        te_grown_add(&readings, READINGS "%s", c->readings);
        run(&b, limits.text, parts.text, readings.text);
        const te_series *s = expect_points(&b, c->series, c->points, c->line);
        if (strchr(c->points, 'a') && (!te_near(point(&b, s, 0)->value, c->value, 1e-12) ||
                                       !te_near(point(&b, s, 0)->u, c->u, 1e-13)))
            fail_msg("case of line %d: assumed %.12g with u %.12g", c->line, point(&b, s, 0)->value,
                     point(&b, s, 0)->u);
        clear(&b);
        te_grown_free(&limits);
        te_grown_free(&parts);
        te_grown_free(&readings);
    }
}

static const char every_part[] = "C1,cylinder,E1,0,,,\nK1,piston,E1,0,,,\nR1,ring_set,E1,0,,,\n"
                                 "P1,pin,E1,0,,,\nS1,small_end_bearing,E1,0,,,\nB1,rod,E1,0,,,\n";

/* An upper as-new limit alone reaches from 0 for form, gaps, clearances and plays: its half, and
 * the limit over sqrt(12). Sizes and features of one's own have no such point; nor has a lower
 * limit alone. */
static void one_sided_as_new_limits(void **state)
{
    (void)state;
    static const char round_bore[] = "A60,bore,66.021,G,thrust,,,10\nA60,bore,66.010,G,pin,,,10\n";
    static const char pair[] = "A60,bore,66.021,G,,,\nA60,skirt,65.95,G,,,\n";
    static const char pin[] = "A60,pin_bore,16.01,G,,left,\nA60,pin,16.0,G,,,\n"
                              "A60,small_end_bore,16.02,G,,,\n";
    const point_case cases[] = {
        {__LINE__, "M,out_of_round,mm,,0.03,,0.06,i\n", every_part, round_bore,
         "out_of_round C1 high", "0a 60", 0.015, 0.03 / sqrt(12)},
        {__LINE__, "M,skirt_clearance,mm,,0.10,,0.16,i\n", every_part, pair,
         "skirt_clearance C1+K1 high", "0a 60", 0.05, 0.10 / sqrt(12)},
        {__LINE__, "M,end_gap,mm,,0.40,,0.80,i\n", every_part, "A60,end_gap,0.3,G,,1,\n",
         "end_gap[1] R1 high", "0a 60", 0.20, 0.40 / sqrt(12)},
        {__LINE__, "M,side_clearance,mm,,0.06,,0.10,i\n", every_part,
         "A60,side_clearance,0.05,G,,1,\n", "side_clearance[1] R1+K1 high", "0a 60", 0.03,
         0.06 / sqrt(12)},
        {__LINE__, "M,small_end_play,mm,,0.02,,0.05,i\n", every_part,
         "A60,small_end_play,0.02,G,,,\n", "small_end_play S1 high", "0a 60", 0.01,
         0.02 / sqrt(12)},
        {__LINE__, "M,pin_clearance,mm,,0.012,,0.05,i\n", every_part, pin,
         "pin_clearance[left] K1+P1 high", "0a 60", 0.006, 0.012 / sqrt(12)},
        {__LINE__, "M,small_end_clearance,mm,,0.03,,0.05,i\n", every_part, pin,
         "small_end_clearance B1+P1 high", "0a 60", 0.015, 0.03 / sqrt(12)},
        {__LINE__, "M,bore,mm,,66.02,,66.1,i\n", every_part, round_bore, "bore C1 high", "60", 0,
         0},
        {__LINE__, "M,skirt,mm,,65.97,65.9,,i\n", every_part, pair, "skirt K1 low", "60", 0, 0},
        {__LINE__, "M,pin,mm,,16.0,15.9,,i\n", every_part, pin, "pin P1 low", "60", 0, 0},
        {__LINE__, "M,pin_bore,mm,,16.02,,16.1,i\n", every_part, pin, "pin_bore[left] K1 high",
         "60", 0, 0},
        {__LINE__, "M,small_end_bore,mm,,16.03,,16.1,i\n", every_part, pin,
         "small_end_bore B1 high", "60", 0, 0},
        {__LINE__, "M,wobble,mm,,0.5,,1,i\n", "", "A60,wobble,0.4,G,,,\n", "wobble E1/other high",
         "60", 0, 0},
        {__LINE__, "M,end_gap,mm,0.2,,,0.80,i\n", every_part, "A60,end_gap,0.3,G,,1,\n",
         "end_gap[1] R1 high", "60", 0, 0},
        {__LINE__, "M,bore,mm,66,,,66.1,i\n", every_part, round_bore, "bore C1 high", "60", 0, 0},
        {__LINE__, "M,end_gap,mm,,,,0.80,i\n", every_part, "A60,end_gap,0.3,G,,1,\n",
         "end_gap[1] R1 high", "60", 0, 0},
    };
    try_points(cases, sizeof cases / sizeof *cases);
}

/* Both limits: sizes and features of one's own as well, on both sides. */
static void two_sided_as_new_limits(void **state)
{
    (void)state;
    const point_case cases[] = {
        {__LINE__, "M,skirt,mm,65.93,65.97,65.9,,i\n", every_part, "A60,skirt,65.94,G,,,\n",
         "skirt K1 low", "0a 60", 65.95, 0.04 / sqrt(12)},
        {__LINE__, "M,wobble,kPa,-1,4,,9,i\n", "", "A60,wobble,3,G,,,,,kPa\n",
         "wobble E1/other high", "0a 60", 1.5, 5 / sqrt(12)},
        {__LINE__, "M,end_gap,mm,0.2,0.4,0.15,0.8,i\n", every_part, "A60,end_gap,0.3,G,,1,\n",
         "end_gap[1] R1 low", "0a 60", 0.3, 0.2 / sqrt(12)},
        {__LINE__, "M,end_gap,mm,0.2,0.4,0.15,0.8,i\n", every_part, "A60,end_gap,0.3,G,,1,\n",
         "end_gap[1] R1 high", "0a 60", 0.3, 0.2 / sqrt(12)},
        /* without a tolerance: known to a nanometre */
        {__LINE__, "M,bore,mm,66.01,66.01,,66.1,i\n", every_part, "A60,bore,66.022,G,,,\n",
         "bore C1 high", "0a 60", 66.01, 1e-9},
    };
    try_points(cases, sizeof cases / sizeof *cases);
}

/* Used, unknown, or measured when new: none. */
static void no_assumed_point_of_a_part_that_was_not_new(void **state)
{
    (void)state;
    static const char limits[] = "M,bore,mm,66.000,66.020,,66.1,i\n";
    static const char at_60[] = "A60,bore,66.022,G,,,\n";
    const point_case cases[] = {
        {__LINE__, limits, "C1,cylinder,E1,0,,0.5,\n", at_60, "bore C1 high", "60.5", 0, 0},
        {__LINE__, limits, "C1,cylinder,E1,?,,,\n", at_60, "bore C1 high", "0", 0, 0},
        {__LINE__, limits, "C1,cylinder,E1,10,,?,\n", at_60, "bore C1 high", "0", 0, 0},
        {__LINE__, limits, "C1,cylinder,E1,0,,,\n", "A0,bore,66.011,G,,,\nA60,bore,66.022,G,,,\n",
         "bore C1 high", "0 60", 0, 0},
        {__LINE__, limits, "C1,cylinder,E1,60,,,\n", "A60,bore,66.022,G,,,C1\n", "bore C1 high",
         "0", 0, 0},
        /* off and back: one stay, used when it began, whatever its second row says */
        {__LINE__, limits, "C1,cylinder,E1,0,40,5,\nC1,cylinder,E1,40,,,\n", at_60, "bore C1 high",
         "65", 0, 0},
        /* the original part; and one that came back with its hours */
        {__LINE__, limits, "", at_60, "bore E1/cylinder high", "0a 60", 66.01, 0.02 / sqrt(12)},
        {__LINE__, limits, "C1,cylinder,E1,100,,30,\nC1,cylinder,E1,10,40,0,\n",
         "A160,bore,66.022,G,,,\n", "bore C1 high", "0a 90", 66.01, 0.02 / sqrt(12)},
    };
    try_points(cases, sizeof cases / sizeof *cases);
}

/* Nothing is assumed where limits.csv has no row. */
static void without_a_limit(void **state)
{
    (void)state;
    bench b;
    run(&b, NULL, NULL, READINGS "A60,skirt,65.94,G,,,\nA160,skirt,65.93,G,,,\n");
    const te_series *s = expect_points(&b, "skirt E1/piston low", "60 160", __LINE__);
    assert_false(s->has_limit);
    assert_true(isnan(s->service) && isnan(s->at_limit) && isnan(s->at_limit_earliest));
    assert_false(s->met);
    assert_near(s->line.rate, -0.0001, 1e-14);
    clear(&b);
}

static void pairs_only_when_both_were_new(void **state)
{
    (void)state;
    static const char limits[] = "M,skirt_clearance,mm,0.04,0.10,,0.16,i\n";
    static const char pair[] = "A60,bore,66.021,G,,,\nA60,skirt,65.95,G,,,\n";
    const double u = 0.06 / sqrt(12);
    const point_case cases[] = {
        {__LINE__, limits, "C1,cylinder,E1,0,,,\nK1,piston,E1,0,,,\n", pair,
         "skirt_clearance C1+K1 high", "0a 60", 0.07, u},
        {__LINE__, limits, "C1,cylinder,E1,10,,,\nK1,piston,E1,10,,,\n", pair,
         "skirt_clearance C1+K1 high", "0a 50", 0.07, u},
        {__LINE__, limits, "", pair, "skirt_clearance E1/cylinder+E1/piston high", "0a 60", 0.07,
         u},
        {__LINE__, limits, "C1,cylinder,E1,0,,,\nK1,piston,E1,10,,,\n", pair,
         "skirt_clearance C1+K1 high", "50", 0, 0},
        {__LINE__, limits, "C1,cylinder,E1,10,,,\nK1,piston,E1,0,,,\n", pair,
         "skirt_clearance C1+K1 high", "50", 0, 0},
        {__LINE__, limits, "C1,cylinder,E1,0,,,\nK1,piston,E1,0,,3,\n", pair,
         "skirt_clearance C1+K1 high", "60", 0, 0},
        {__LINE__, limits, "C1,cylinder,E1,0,,3,\nK1,piston,E1,0,,,\n", pair,
         "skirt_clearance C1+K1 high", "60", 0, 0},
        {__LINE__, limits, "C1,cylinder,E1,0,,,\nK1,piston,E1,0,,?,\n", pair,
         "skirt_clearance C1+K1 high", "0", 0, 0},
        {__LINE__, limits, "K1,piston,E1,10,,,\n", pair, "skirt_clearance E1/cylinder+K1 high",
         "50", 0, 0},
        /* together again at 40 h */
        {__LINE__, limits,
         "C1,cylinder,E1,0,,,\nK1,piston,E1,0,20,,\nK2,piston,E1,20,40,,\nK1,piston,E1,40,,20,\n",
         pair, "skirt_clearance C1+K1 high", "20", 0, 0},
    };
    try_points(cases, sizeof cases / sizeof *cases);
}

static void a_gap_only_when_the_cylinder_was_new_too(void **state)
{
    (void)state;
    static const char limits[] = "M,end_gap,mm,0.2,0.4,,0.8,i\n";
    static const char gap[] = "A160,end_gap,0.35,G,,1,R1\n";
    const double u = 0.2 / sqrt(12);
    const char *name = "end_gap[1] R1 high";
    const point_case cases[] = {
        {__LINE__, limits, "R1,ring_set,E1,10,,,\nC1,cylinder,E1,10,,,\n", gap, name, "0a 150", 0.3,
         u},
        {__LINE__, limits, "R1,ring_set,E1,0,,,\n", gap, name, "0a 160", 0.3, u},
        {__LINE__, limits, "R1,ring_set,E1,10,,,\n", gap, name, "150", 0, 0},
        {__LINE__, limits, "R1,ring_set,E1,10,,,\nC1,cylinder,E1,0,,,\n", gap, name, "150", 0, 0},
        {__LINE__, limits, "R1,ring_set,E1,10,,,\nC1,cylinder,E1,10,,4,\n", gap, name, "150", 0, 0},
        {__LINE__, limits, "R1,ring_set,E1,10,,,\nC1,cylinder,E1,10,,?,\n", gap, name, "150", 0, 0},
        {__LINE__, limits, "R1,ring_set,E1,10,,2,\nC1,cylinder,E1,10,,,\n", gap, name, "152", 0, 0},
        /* measured in another cylinder than the one that it ran in from the first, new or not */
        {__LINE__, limits, "R1,ring_set,E1,10,,,\nC1,cylinder,E1,10,50,,\nC2,cylinder,E1,50,,77,\n",
         gap, name, "150", 0, 0},
        {__LINE__, limits, "R1,ring_set,E1,10,,,\nC1,cylinder,E1,10,50,,\nC2,cylinder,E1,50,,,\n",
         gap, name, "150", 0, 0},
        /* two original parts */
        {__LINE__, limits, "", "A160,end_gap,0.35,G,,1,\n", "end_gap[1] E1/ring_set high", "0a 160",
         0.3, u},
        /* new on E2 with a new cylinder, and both came here; or only the ring set did; or the
         * cylinder had run */
        {__LINE__, limits,
         "R1,ring_set,E2,3,43,,\nC9,cylinder,E2,3,43,,\nR1,ring_set,E1,100,,40,\n"
         "C9,cylinder,E1,100,,40,\n",
         gap, name, "0a 100", 0.3, u},
        {__LINE__, limits, "R1,ring_set,E2,3,43,,\nC9,cylinder,E2,3,,,\nR1,ring_set,E1,100,,40,\n",
         gap, name, "100", 0, 0},
        {__LINE__, limits,
         "R1,ring_set,E2,3,43,,\nC9,cylinder,E2,0,43,,\nR1,ring_set,E1,100,,40,\n"
         "C9,cylinder,E1,100,,43,\n",
         gap, name, "100", 0, 0},
    };
    try_points(cases, sizeof cases / sizeof *cases);
}

/* An assumed point that rests on the cylinder being the original one says so; without it the
 * cylinder's age has no part in the figures. */
static void a_gap_assumed_in_an_original_cylinder(void **state)
{
    (void)state;
    static const char limits[] = LIMITS "M,end_gap,mm,0.2,0.4,,0.8,i\n";
    static const char gap[] = READINGS "A160,end_gap,0.35,G,,1,R1\n";
    bench b;
    run(&b, limits, PARTS "R1,ring_set,E1,0,,,\n", gap);
    assert_true(expect_points(&b, "end_gap[1] R1 high", "0a 160", __LINE__)->original);
    clear(&b);
    run(&b, limits, PARTS "R1,ring_set,E1,10,,,\n", gap);
    assert_false(expect_points(&b, "end_gap[1] R1 high", "150", __LINE__)->original);
    clear(&b);
    run(&b, limits, PARTS "R1,ring_set,E1,0,,,\nC1,cylinder,E1,0,,,\n", gap);
    assert_false(expect_points(&b, "end_gap[1] R1 high", "0a 160", __LINE__)->original);
    clear(&b);
}

/* ---- run-in ------------------------------------------------------------------------------- */

typedef struct run_in_case {
    long line;
    const char *run_in, *limits, *parts, *readings, *points;
    size_t fitted;
    bool assumed;
    double hours_first;
} run_in_case;

static void run_in_is_shown_not_fitted(void **state)
{
    (void)state;
    static const char used[] = PARTS "C1,cylinder,E1,0,,5,\n",
                      as_new[] = PARTS "C1,cylinder,E1,0,,,\n";
    static const char three[] = READINGS "A10,bore,66.01,G,,,\nA60,bore,66.02,G,,,\n"
                                         "A160,bore,66.03,G,,,\n";
    static const char two[] = READINGS "A10,bore,66.01,G,,,\nA60,bore,66.02,G,,,\n";
    static const char one[] = READINGS "A60,bore,66.02,G,,,\n";
    const run_in_case cases[] = {
        {__LINE__, "20", NULL, used, three, "15r* 65 165", 2, false, 65},
        {__LINE__, "15", NULL, used, three, "15 65 165", 3, false, 15},
        {__LINE__, "15.01", NULL, used, three, "15r* 65 165", 2, false, 65},
        {__LINE__, "0", NULL, used, three, "15 65 165", 3, false, 15},
        {__LINE__, "", NULL, used, three, "15 65 165", 3, false, 15},
        /* fewer than two distinct hours would remain */
        {__LINE__, "66", NULL, used, three, "15r 65r 165", 3, false, 15},
        {__LINE__, "500", NULL, used, three, "15r 65r 165r", 3, false, 15},
        {__LINE__, "20", NULL, used, two, "15r 65", 2, false, 15},
        /* the assumed point too */
        {__LINE__, "20", new_bore, as_new, three, "0ar* 10r* 60 160", 2, false, 60},
        {__LINE__, "5", new_bore, as_new, three, "0ar* 10 60 160", 3, false, 10},
        {__LINE__, "20", new_bore, as_new, one, "0ar 60", 2, true, 0},
        {__LINE__, "0", new_bore, as_new, one, "0a 60", 2, true, 0},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        const run_in_case *c = &cases[i];
        te_grown models = {0};
        te_grown_add(&models, "model,run_in_hours\nM,%s\nN,\n", c->run_in);
        const te_shop_file files[] = {{"models.csv", models.text},
                                      {"parts.csv", c->parts},
                                      {"readings.csv", c->readings},
                                      {c->limits ? "limits.csv" : NULL, c->limits},
                                      {NULL, NULL}};
        bench b;
        make(&b, files, "E1");
        const te_series *s = expect_points(&b, "bore C1 high", c->points, c->line);
        if (s->fitted_count != c->fitted || s->assumed != c->assumed ||
            !te_near(s->hours_first, c->hours_first, 1e-9))
            fail_msg("case of line %ld: fitted %u, assumed %d, from %.9g", c->line,
                     (unsigned)s->fitted_count, s->assumed, s->hours_first);
        clear(&b);
        te_grown_free(&models);
    }
}

/* Two at 60 h: one distinct hour beyond the run-in, so all are fitted. */
static void run_in_counts_distinct_hours(void **state)
{
    (void)state;
    const te_shop_file files[] = {
        {"models.csv", "model,run_in_hours\nM,20\nN,\n"},
        {"inspections.csv", VISITS "A,E1,2026-01-01,10,,20\nB,E1,2026-02-01,60,found,20\n"
                                   "C,E1,2026-02-02,60,built,20\n"},
        {"readings.csv", READINGS "A,bore,66.01,G,,,\nB,bore,66.02,G,,,\nC,bore,66.021,G,,,\n"},
        {NULL, NULL}};
    bench b;
    make(&b, files, "E1");
    expect_points(&b, "bore C1 high", "10r 60 60", __LINE__);
    clear(&b);
}

/* The rate is that of the fitted points: 0.010 in 100 h, not 0.030 in 150. */
static void run_in_has_no_part_in_the_rate(void **state)
{
    (void)state;
    const te_shop_file files[] = {{"models.csv", "model,run_in_hours\nM,20\nN,\n"},
                                  {"readings.csv", READINGS
                                   "A10,bore,66.00,N,,,\nA60,bore,66.02,G,,,\nA160,bore,66.03,G,,,"
                                   "\n"},
                                  {NULL, NULL}};
    bench b;
    make(&b, files, "E1");
    const te_series *s = expect_points(&b, "bore C1 high", "10r* 60 160", __LINE__);
    assert_near(s->line.rate, 0.0001, 1e-14);
    assert_int_equal(s->method, TE_RATE_GENERALISED); /* though the first is not stated */
    assert_near(s->at_limit, 160 + 700, 1e-6);
    clear(&b);
}

/* ---- places missing ----------------------------------------------------------------------- */

static const char two_heights[] = "model,feature,position,direction\nM,bore,10,thrust\n"
                                  "M,bore,40,thrust\n";
#define FULL(visit, high, low) \
    visit ",bore," high ",G,thrust,,,10\n" visit ",bore," low ",G,thrust,,,40\n"

typedef struct place_case {
    long line;
    const char *run_in, *limits, *readings, *points;
    bool partial;
    double rate; /* NAN: none */
} place_case;

/* A point at one of two planned heights is shown, not fitted, while two distinct hours remain; then
 * it is, and the run-in last. Slopes are those of the fitted points: of two, or of three equally
 * far apart the last less the first. */
static void points_with_places_missing(void **state)
{
    (void)state;
    static const char one_between[] = FULL(
        "A60", "66.01", "66.00") "A160,bore,66.09,G,thrust,,,10\n" FULL("A260", "66.03", "66");
    static const char one_last[] = FULL("A60", "66.01", "66.00")
        FULL("A160", "66.02", "66") "A260,bore,66.05,G,thrust,,,10\n";
    static const char one_full[] = FULL("A60", "66.01", "66.00") "A260,bore,66.03,G,thrust,,,10\n";
    static const char early[] = FULL(
        "A10", "66.00", "65.99") "A60,bore,66.01,G,thrust,,,10\nA160,bore,66.03,G,thrust,,,10\n";
    static const char used[] = "M,bore,mm,,,,66.5,i\n";
    const place_case cases[] = {
        {__LINE__, "", used, one_between, "65 165p* 265", false, 0.02 / 200},
        {__LINE__, "", used, one_last, "65 165 265p*", false, 0.01 / 100},
        {__LINE__, "", used, one_full, "65 265p", true, 0.02 / 200},
        {__LINE__, "20", used, early, "15r* 65p 165p", true, 0.02 / 100},
        {__LINE__, "70", used, one_full, "65r 265p", true, 0.02 / 200},
        {__LINE__, "70", used, one_between, "65r* 165p 265", true, -0.06 / 100},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        const place_case *c = &cases[i];
        te_grown models = {0}, limits = {0}, readings = {0};
        te_grown_add(&models, "model,run_in_hours\nM,%s\nN,\n", c->run_in);
        te_grown_add(&limits, LIMITS "%s", c->limits);
        te_grown_add(&readings, READINGS "%s", c->readings);
        const te_shop_file files[] = {{"models.csv", models.text},
                                      {"limits.csv", limits.text},
                                      {"readings.csv", readings.text},
                                      {"plan.csv", two_heights},
                                      {"parts.csv", PARTS "C1,cylinder,E1,0,,5,\n"},
                                      {NULL, NULL}};
        bench b;
        make(&b, files, "E1");
        const te_series *s = expect_points(&b, "bore C1 high", c->points, c->line);
        if (s->partial != c->partial || !te_near(s->line.rate, c->rate, 1e-12))
            fail_msg("case of line %ld: partial %d, rate %.12g", c->line, s->partial, s->line.rate);
        clear(&b);
        te_grown_free(&models);
        te_grown_free(&limits);
        te_grown_free(&readings);
    }
}

/* Hours, value and index of the last fitted point, where the last is not; but the limit is met by
 * the last. */
static void the_last_point_with_a_place_missing(void **state)
{
    (void)state;
    te_shop_file files[] = {{"readings.csv",
                             READINGS FULL("A60", "66.01", "66.00")
                                 FULL("A160", "66.02", "66") "A260,bore,66.05,G,thrust,,,10\n"},
                            {"plan.csv", two_heights},
                            {NULL, NULL}};
    bench b;
    make(&b, files, "E1");
    const te_series *s = expect_points(&b, "bore C1 high", "60 160 260p*", __LINE__);
    assert_near(s->hours_last, 160, 1e-9);
    assert_near(s->value_last, 66.02, 1e-12);
    assert_int_equal(s->last_fitted, s->first_point + 1);
    assert_int_equal(s->inspection, te_made_inspection(&b.made, "A260"));
    assert_near(s->at_limit, 160 + 800, 1e-6);
    assert_false(s->met);
    clear(&b);
    files[0].text = READINGS FULL("A60", "66.01", "66.00")
        FULL("A160", "66.02", "66") "A260,bore,66.1,G,thrust,,,10\n";
    make(&b, files, "E1");
    s = expect_points(&b, "bore C1 high", "60 160 260p*", __LINE__);
    assert_true(s->met);
    assert_near(s->at_limit, 160, 1e-9);
    assert_near(s->at_limit_earliest, 160, 1e-9);
    clear(&b);
    /* the last fitted one is past the limit, a later one with places missing is not */
    files[0].text = READINGS FULL("A60", "66.00", "66.00") FULL("A10", "66.05", "66")
        FULL("A160", "66.1", "66") "A260,bore,66.05,G,thrust,,,10\n";
    make(&b, files, "E1");
    s = expect_points(&b, "bore C1 high", "10 60 160 260p*", __LINE__);
    assert_true(s->met);
    assert_near(s->at_limit_earliest, 160, 1e-9);
    clear(&b);
}

/* ---- sides and limits --------------------------------------------------------------------- */

static void side_names(void **state)
{
    (void)state;
    assert_string_equal(te_side_name(TE_SIDE_LOW), "low");
    assert_string_equal(te_side_name(TE_SIDE_HIGH), "high");
}

static void write_names(te_grown *out, const bench *b)
{
    char name[128];
    for (size_t i = 0; i < b->history.series_count; i++) {
        write_name(name, sizeof name, b->made.shop, &b->history.series[i]);
        te_grown_add(out, "%s%s", i ? "; " : "", name);
    }
}

static void expect_series(const bench *b, const char *names, int line)
{
    te_grown is = {0};
    te_grown_add(&is, "%s", "");
    write_names(&is, b);
    if (strcmp(is.text, names) != 0)
        fail_msg("line %d: the series are %s, expected %s", line, is.text, names);
    te_grown_free(&is);
}

/* By the service limits; without any, low for skirt and pin, else high. */
static void sides_follow_the_service_limits(void **state)
{
    (void)state;
    static const struct {
        int line;
        const char *limits, *readings, *series;
    } cases[] = {
        {__LINE__, LIMITS "M,bore,mm,,,,66.1,i\n", "A60,bore,66,G,,,\n", "bore C1 high"},
        {__LINE__, LIMITS "M,bore,mm,,,65.9,,i\n", "A60,bore,66,G,,,\n", "bore C1 low"},
        {__LINE__, LIMITS "M,bore,mm,,,65.9,66.1,i\n", "A60,bore,66,G,,,\n",
         "bore C1 low; bore C1 high"},
        {__LINE__, LIMITS "M,bore,mm,65.9,66.1,,,i\n", "A60,bore,66,G,,,\n", "bore C1 high"},
        {__LINE__, NULL, "A60,skirt,65.9,G,,,\n", "skirt E1/piston low"},
        {__LINE__, LIMITS "M,skirt,mm,,,,66,i\n", "A60,skirt,65.9,G,,,\n", "skirt E1/piston high"},
        {__LINE__, NULL, "A60,pin,16,G,,,\n", "pin E1/pin low"},
        {__LINE__, NULL, "A60,pin_bore,16,G,,right,\n", "pin_bore[right] E1/piston high"},
        {__LINE__, NULL, "A60,end_gap,0.3,G,,2,\n", "end_gap[2] E1/ring_set high"},
        {__LINE__, NULL, "A60,squish,1.1,G,,,\n", "squish E1/other high"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        te_grown readings = {0};
        bench b;
        te_grown_add(&readings, READINGS "%s", cases[i].readings);
        run(&b, cases[i].limits, NULL, readings.text);
        expect_series(&b, cases[i].series, cases[i].line);
        clear(&b);
        te_grown_free(&readings);
    }
}

/* Low follows the smallest reading to the lower limit, high the largest to the upper. */
static void each_side_has_its_values_and_limit(void **state)
{
    (void)state;
    bench b;
    run(&b, LIMITS "M,end_gap,mm,,,0.20,0.90,i\n", PARTS "R1,ring_set,E1,0,,5,\n",
        READINGS "A60,end_gap,0.30,G,0,1,\nA60,end_gap,0.34,G,90,1,\n"
                 "A160,end_gap,0.29,G,0,1,\nA160,end_gap,0.40,G,90,1,\n");
    const te_series *low = expect_points(&b, "end_gap[1] R1 low", "65 165", __LINE__);
    const te_series *high = expect_points(&b, "end_gap[1] R1 high", "65 165", __LINE__);
    assert_near(low->service, 0.20, 0);
    assert_near(high->service, 0.90, 0);
    assert_near(low->value_last, 0.29, 1e-12);
    assert_near(high->value_last, 0.40, 1e-12);
    assert_near(low->at_limit, 165 + 0.09 / 0.0001, 1e-6);
    assert_near(high->at_limit, 165 + 0.50 / 0.0006, 1e-6);
    clear(&b);
}

/* Where each value is one reading both sides are the same points and share a rate; else not. Each is as
 * it would be alone. */
static void a_side_is_as_it_would_be_alone(void **state)
{
    (void)state;
    static const char parts[] = PARTS "R1,ring_set,E1,0,,5,\n";
    static const char *const readings[] = {
        READINGS "A10,end_gap,0.30,G,0,1,\nA60,end_gap,0.31,G,0,1,\nA160,end_gap,0.34,G,0,1,\n",
        READINGS "A10,end_gap,0.30,G,0,1,\nA60,end_gap,0.31,G,0,1,\nA160,end_gap,0.34,G,0,1,\n"
                 "A60,end_gap,0.32,G,90,1,\n"};
    for (size_t i = 0; i < 2; i++) {
        bench both, low, high;
        run(&both, LIMITS "M,end_gap,mm,,,0.20,0.90,i\n", parts, readings[i]);
        run(&low, LIMITS "M,end_gap,mm,,,0.20,,i\n", parts, readings[i]);
        run(&high, LIMITS "M,end_gap,mm,,,,0.90,i\n", parts, readings[i]);
        assert_int_equal(both.history.series_count, 2);
        for (size_t side = 0; side < 2; side++) {
            const te_series *s = &both.history.series[side];
            const te_series *alone = (side == 0 ? &low : &high)->history.series;
            assert_int_equal(s->side, alone->side);
            assert_int_equal(s->method, TE_RATE_GENERALISED);
            assert_int_equal(s->method, alone->method);
            assert_near(s->line.rate, alone->line.rate, 0);
            assert_near(s->line.var_rate, alone->line.var_rate, 0);
            assert_near(s->line.level, alone->line.level, 0);
            assert_near(te_line_chance(&s->line), te_line_chance(&alone->line), 0);
            assert_true(te_near(s->at_limit, alone->at_limit, 0) ||
                        (isnan(s->at_limit) && isnan(alone->at_limit)));
        }
        bool same = te_near(both.history.series[0].line.rate, both.history.series[1].line.rate, 0);
        assert_true(same == (i == 0));
        clear(&both);
        clear(&low);
        clear(&high);
    }
}

/* K1 went from E1 (model M) to E2 (model N): limits, run-in and engine are those of N. */
static void limits_are_those_of_the_last_inspection(void **state)
{
    (void)state;
    const te_shop_file files[] = {
        {"limits.csv", LIMITS "M,skirt,mm,65.96,65.98,65.80,,m\nN,skirt,mm,65.94,65.96,65.85,,n\n"},
        {"parts.csv", PARTS "K1,piston,E1,0,100,,\nK1,piston,E2,0,,100,\n"},
        {"readings.csv", READINGS "A10,skirt,65.95,G,,,\nA60,skirt,65.94,G,,,\n"
                                  "B5,skirt,65.935,G,,,\nB45,skirt,65.93,G,,,\n"},
        {NULL, NULL}};
    bench b;
    make(&b, files, "E1");
    const te_series *s = expect_points(&b, "skirt K1 low", "0ar* 10r* 60 105 145", __LINE__);
    assert_int_equal(s->engine, te_made_engine(&b.made, "E2"));
    assert_int_equal(s->inspection, te_made_inspection(&b.made, "B45"));
    assert_string_equal(te_shop_text(b.made.shop, s->limit.source), "n");
    assert_near(s->service, 65.85, 0);
    assert_near(point(&b, s, 0)->value, 65.95, 1e-12);
    assert_int_equal(point(&b, s, 0)->engine, te_made_engine(&b.made, "E1"));
    assert_true(s->fitted_now);
    clear(&b);
}

static void limits_move_with_the_oversize(void **state)
{
    (void)state;
    bench b;
    run(&b, LIMITS "M,bore,mm,66.000,66.020,,66.100,i\n", PARTS "C2,cylinder,E1,0,,,0.25\n",
        READINGS "A60,bore,66.272,G,,,\n");
    const te_series *s = expect_points(&b, "bore C2 high", "0a 60", __LINE__);
    assert_near(s->service, 66.350, 1e-12);
    assert_near(s->limit.new_max, 66.270, 1e-12);
    assert_near(point(&b, s, 0)->value, 66.260, 1e-12);
    assert_near(s->at_limit, 60 + 0.078 / 0.0002, 1e-6);
    clear(&b);
}

/* ---- the rate ----------------------------------------------------------------------------- */

static const char used_bore[] = PARTS "C1,cylinder,E1,0,,5,\n"; /* no assumed point */

/* R: t = c(65, 165, 265), y = c(66.012, 66.018, 66.030), V = diag(3)*own + common; chi2 / 1 is
 * above 1 and scales the variances. pchisq(chi2, 1, lower.tail=FALSE). */
static void three_points_by_r(void **state)
{
    (void)state;
    bench b;
    run(&b, new_bore, used_bore,
        READINGS "A60,bore,66.012,G,,,\nA160,bore,66.018,G,,,\nA260,bore,66.030,G,,,\n");
    const te_series *s = expect_points(&b, "bore C1 high", "65 165 265", __LINE__);
    assert_int_equal(s->method, TE_RATE_GENERALISED);
    assert_false(s->singular);
    assert_near(s->line.rate, 9e-5, 1e-14);
    assert_near(s->line.level, 66.029, 1e-11);
    assert_near(sqrt(s->line.var_rate), 1.73205080757e-05, 1e-15);
    assert_near(sqrt(s->line.var_level), 0.00521093524752, 1e-12);
    assert_near(s->line.chi2, 5.53846153846, 1e-8);
    assert_int_equal(s->line.freedom, 1);
    assert_near(te_line_chance(&s->line), 0.0186029299011, 1e-10);
    assert_near(s->at_limit, 1053.88888889, 1e-6);
    assert_near(s->at_limit_earliest, 826.14236469, 1e-6);
    clear(&b);
}

/* The same, with G calibrated anew before the last inspection: V = diag(3)*own +
 * common*outer(c(1,1,2), c(1,1,2), "=="). */
static void a_new_calibration_does_tilt_the_line(void **state)
{
    (void)state;
    const te_shop_file files[] = {
        {"instruments.csv", "instrument,resolution,expanded_uncertainty,repeatability,calibrated\n"
                            "G,0.001,0.004,0.001,2025-01-01\nG,0.001,0.004,0.001,2026-03-15\n"},
        {"limits.csv", new_bore},
        {"parts.csv", used_bore},
        {"readings.csv", READINGS "A60,bore,66.012,G,,,\nA160,bore,66.018,G,,,\n"
                                  "A260,bore,66.030,G,,,\n"},
        {NULL, NULL}};
    bench b;
    make(&b, files, "E1");
    const te_series *s = expect_points(&b, "bore C1 high", "65 165 265", __LINE__);
    assert_near(s->line.rate, 7.3448275862e-05, 1e-14);
    assert_near(s->line.level, 66.0278965517, 1e-9);
    assert_near(sqrt(s->line.var_rate), 1.88964258743e-05, 1e-15);
    assert_near(s->line.chi2, 2.4827586207, 1e-8);
    assert_near(te_line_chance(&s->line), 0.115100215832, 1e-10);
    assert_near(s->at_limit_earliest, 927.913908072, 1e-6);
    clear(&b);
}

/* R: meet(f, 66.1, qnorm(.8), 265) of the three points. */
static void the_shops_confidence_counts(void **state)
{
    (void)state;
    const te_shop_file files[] = {{"shop.csv", "key,value\nconfidence,0.8\n"},
                                  {"parts.csv", used_bore},
                                  {"readings.csv",
                                   READINGS "A60,bore,66.012,G,,,\nA160,bore,66.018,G,,,\n"
                                            "A260,bore,66.030,G,,,\n"},
                                  {NULL, NULL}};
    bench b;
    make(&b, files, "E1");
    const te_series *s = expect_points(&b, "bore C1 high", "65 165 265", __LINE__);
    assert_near(s->at_limit, 1053.88888889, 1e-6);
    assert_near(s->at_limit_earliest, 922.822401143, 1e-6);
    clear(&b);
}

/* R: lm(y ~ I(t-265)), vcov of it, meet with qt(.95, 1). Any one point that is not stated will do:
 * without an instrument, without an expanded uncertainty, without a resolution. */
static void a_point_not_stated_makes_it_ordinary(void **state)
{
    (void)state;
    static const char *const readings[] = {
        READINGS "A60,bore,66.012,,,,\nA160,bore,66.018,G,,,\nA260,bore,66.030,G,,,\n",
        READINGS "A60,bore,66.012,G,,,\nA160,bore,66.018,N,,,\nA260,bore,66.030,G,,,\n",
        READINGS "A60,bore,66.012,G,,,\nA160,bore,66.018,G,,,\nA260,bore,66.030,R,,,\n"};
    for (size_t i = 0; i < 3; i++) {
        bench b;
        run(&b, NULL, used_bore, readings[i]);
        const te_series *s = expect_points(&b, "bore C1 high", "65 165 265", __LINE__);
        assert_int_equal(s->method, TE_RATE_ORDINARY);
        assert_false(s->singular);
        assert_int_equal(point(&b, s, i)->stated, false);
        assert_near(s->line.rate, 9e-5, 1e-14);
        assert_near(s->line.level, 66.029, 1e-11);
        assert_near(sqrt(s->line.var_rate), 1.73205080758e-05, 1e-14);
        assert_near(sqrt(s->line.var_level), 0.00223606797751, 1e-11);
        assert_true(isnan(s->line.chi2));
        assert_true(isnan(te_line_chance(&s->line)));
        assert_near(s->at_limit, 1053.88888889, 1e-6);
        assert_near(s->at_limit_earliest, 561.728228622, 1e-6);
        clear(&b);
    }
}

/* Two points that are not stated: 0.010 in 100 h, 0.07 left; no interval. The assumed point is
 * stated but its partner is not. */
static void two_points_not_stated_have_no_interval(void **state)
{
    (void)state;
    bench b;
    run(&b, NULL, used_bore, READINGS "A60,bore,66.02,,,,\nA160,bore,66.03,,,,\n");
    const te_series *s = expect_points(&b, "bore C1 high", "65 165", __LINE__);
    assert_int_equal(s->method, TE_RATE_ORDINARY);
    assert_near(s->line.rate, 0.0001, 1e-14);
    assert_true(isnan(s->line.var_rate));
    assert_near(s->at_limit, 165 + 700, 1e-6);
    assert_true(isnan(s->at_limit_earliest));
    clear(&b);
    run(&b, new_bore, NULL, READINGS "A60,bore,66.022,N,,,\n");
    s = expect_points(&b, "bore C1 high", "0a 60", __LINE__);
    assert_int_equal(s->method, TE_RATE_ORDINARY);
    assert_near(s->at_limit, 450, 1e-7);
    assert_true(isnan(s->at_limit_earliest));
    clear(&b);
}

/* S shares c = 0.1 mm among its readings and has 0.3 nm of its own, too little to be told apart:
 * each point gets 1e-9 of its variance more. Three points on a line, 100 h apart: with an own
 * variance o in all, u^2(rate) = o / 20000 and u^2(level) = c^2 + (1/3 + 1/2) o. Against 0.1 mm the
 * growth of the bound with the hours is nothing: it meets 66.5 after
 * (0.468 - 1.644854 0.1) / 0.0001 h. */
static void a_singular_covariance_is_widened(void **state)
{
    (void)state;
    const te_shop_file files[] = {
        {"instruments.csv", "instrument,resolution,expanded_uncertainty\nS,0.000001,0.2\n"},
        {"limits.csv", LIMITS "M,bore,mm,,,,66.5,i\n"},
        {"parts.csv", used_bore},
        {"readings.csv", READINGS "A60,bore,66.012,S,,,\nA160,bore,66.022,S,,,\n"
                                  "A260,bore,66.032,S,,,\n"},
        {NULL, NULL}};
    const double o = 1e-12 / 12 + 1e-9 * (0.01 + 1e-12 / 12);
    bench b;
    make(&b, files, "E1");
    const te_series *s = expect_points(&b, "bore C1 high", "65 165 265", __LINE__);
    assert_true(s->singular);
    assert_int_equal(s->method, TE_RATE_GENERALISED);
    assert_near(s->line.rate, 1e-4, 1e-9);
    assert_near(s->line.level, 66.032, 1e-6);
    assert_near_rel(sqrt(s->line.var_rate), sqrt(o / 20000), 1e-5);
    assert_near_rel(sqrt(s->line.var_level), sqrt(0.01 + o * 5 / 6), 1e-6);
    assert_near(s->at_limit, 265 + 4680, 0.05);
    assert_near(s->at_limit_earliest, 265 + (0.468 - 0.1644854) / 0.0001, 0.05);
    clear(&b);
}

static void one_point_has_no_rate(void **state)
{
    (void)state;
    bench b;
    run(&b, NULL, used_bore, READINGS "A60,bore,66.012,G,,,\n");
    const te_series *s = expect_points(&b, "bore C1 high", "65", __LINE__);
    assert_int_equal(s->method, TE_RATE_NONE);
    assert_near(s->hours_first, 65, 1e-12);
    assert_near(s->hours_last, 65, 1e-12);
    assert_near(s->value_last, 66.012, 1e-12);
    assert_true(isnan(s->at_limit) && isnan(s->at_limit_earliest) &&
                isnan(te_line_chance(&s->line)));
    assert_false(s->met);
    assert_near(s->service, 66.1, 0);
    clear(&b);
}

/* Two inspections at 60 h, the file in the wrong order: the later date is last; of one date the
 * later row is. */
static void points_at_the_same_hours_go_by_date(void **state)
{
    (void)state;
    static const char later_first[] = VISITS "L,E1,2026-03-05,60,built,20\n"
                                             "F,E1,2026-03-02,60,found,20\n";
    static const char one_date[] = VISITS "F,E1,2026-03-02,60,found,20\n"
                                          "L,E1,2026-03-02,60,built,20\n";
    static const char *const visits[] = {later_first, one_date};
    for (size_t i = 0; i < 2; i++) {
        const te_shop_file files[] = {
            {"inspections.csv", visits[i]},
            {"readings.csv", READINGS "L,bore,66.05,G,,,\nF,bore,66.04,G,,,\n"},
            {NULL, NULL}};
        bench b;
        make(&b, files, "E1");
        const te_series *s = expect_points(&b, "bore C1 high", "60 60", __LINE__);
        assert_int_equal(s->method, TE_RATE_NONE);
        assert_near(s->value_last, 66.05, 1e-12);
        assert_int_equal(s->inspection, te_made_inspection(&b.made, "L"));
        assert_int_equal(point(&b, s, 0)->inspection, te_made_inspection(&b.made, "F"));
        assert_int_equal(b.history.inspections[0], te_made_inspection(&b.made, "F"));
        assert_int_equal(b.history.inspections[1], te_made_inspection(&b.made, "L"));
        clear(&b);
    }
}

/* K1 leaves E1 with 130.4 - 30.1 h, a sum just above 100.3, and is read on E2 at 100.3 + 0: the
 * same hours, so that the later date is last; with the dates the other way round, E1's. */
static void own_hours_are_the_same_within_rounding(void **state)
{
    (void)state;
    static const struct {
        const char *visits, *last;
    } cases[] = {{VISITS "A,E1,2026-01-01,130.4,,20\nB,E2,2026-02-01,0,,20\n", "B"},
                 {VISITS "A,E1,2026-02-01,130.4,,20\nB,E2,2026-01-01,0,,20\n", "A"}};
    assert_true(130.4 - 30.1 > 100.3);
    for (size_t i = 0; i < 2; i++) {
        const te_shop_file files[] = {
            {"parts.csv", PARTS "K1,piston,E1,30.1,130.4,,\nK1,piston,E2,0,,100.3,\n"},
            {"inspections.csv", cases[i].visits},
            {"readings.csv", READINGS "A,skirt,65.95,G,,,\nB,skirt,65.94,G,,,\n"},
            {NULL, NULL}};
        bench b;
        make(&b, files, "E1");
        const te_series *s = expect_points(&b, "skirt K1 low", "100.3 100.3", __LINE__);
        assert_int_equal(s->inspection, te_made_inspection(&b.made, cases[i].last));
        assert_int_equal(s->method, TE_RATE_NONE);
        clear(&b);
    }
}

/* ---- the limit ---------------------------------------------------------------------------- */

typedef struct limit_case {
    long line;
    const char *limits, *readings;
    bool met;
    double best, earliest; /* NAN: none */
} limit_case;

static bool same_or_both_none(double is, double expected, double tolerance)
{
    return isnan(expected) ? isnan(is) : te_near(is, expected, tolerance);
}

static void try_limits(const limit_case *cases, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        const limit_case *c = &cases[i];
        te_grown readings = {0};
        bench b;
        te_grown_add(&readings, READINGS "%s", c->readings);
        run(&b, c->limits, used_bore, readings.text);
        assert_int_equal(b.history.series_count, 1);
        const te_series *s = &b.history.series[0];
        if (s->met != c->met || !same_or_both_none(s->at_limit, c->best, 1e-5) ||
            !same_or_both_none(s->at_limit_earliest, c->earliest, 1e-5))
            fail_msg("case of line %ld: met %d, at %.12g, earliest %.12g", c->line, s->met,
                     s->at_limit, s->at_limit_earliest);
        clear(&b);
        te_grown_free(&readings);
    }
}

static const char lower_bore[] = LIMITS "M,bore,mm,,,65.9,,i\n";

/* Three unstated points 66.06, 66.07, 66.11 have a line of 66.105 at the last: both past 66.1. With
 * 66.08, 66.14, 66.09 the line ends at 66.1083 (mean 66.1033, slope 0.01 / 200): past, the value is
 * not. */
static void met_by_the_value_or_by_the_line(void **state)
{
    (void)state;
    const limit_case cases[] = {
        {__LINE__, NULL, "A60,bore,66.06,,,,\nA160,bore,66.07,,,,\nA260,bore,66.11,,,,\n", true,
         265, 265},
        {__LINE__, NULL, "A60,bore,66.08,,,,\nA160,bore,66.14,,,,\nA260,bore,66.09,,,,\n", true,
         265, 265},
        {__LINE__, NULL, "A60,bore,66.00,,,,\nA260,bore,66.09,,,,\n", false, 265 + 0.01 / 0.00045,
         NAN},
        /* exactly at the limit is met, a micrometre below is not */
        {__LINE__, NULL, "A60,bore,66.0,,,,\nA260,bore,66.1,,,,\n", true, 265, 265},
        {__LINE__, NULL, "A60,bore,66.0,,,,\nA260,bore,66.099,,,,\n", false, 265 + 0.001 / 0.000495,
         NAN},
        /* a falling line past the limit: nothing is left, whatever the rate */
        {__LINE__, NULL, "A60,bore,66.15,,,,\nA260,bore,66.12,,,,\n", true, 265, 265},
        /* without a rate the value tells */
        {__LINE__, NULL, "A60,bore,66.1,G,,,\n", true, 65, 65},
        {__LINE__, NULL, "A60,bore,66.099,,,,\n", false, NAN, NAN},
        /* or its own bound: u = sqrt(5.083e-6) = 0.002255, 1.645 u = 0.003709 */
        {__LINE__, NULL, "A60,bore,66.0963,G,,,\n", false, NAN, 65},
        {__LINE__, NULL, "A60,bore,66.0962,G,,,\n", false, NAN, NAN},
        {__LINE__, NULL, "A60,bore,66.099,N,,,\n", false, NAN, NAN}, /* not stated */
        {__LINE__, lower_bore, "A60,bore,65.9037,G,,,\n", false, NAN, 65},
        {__LINE__, lower_bore, "A60,bore,65.9038,G,,,\n", false, NAN, NAN},
        /* a lower limit mirrored */
        {__LINE__, lower_bore, "A60,bore,66.0,,,,\nA260,bore,65.9,,,,\n", true, 265, 265},
        {__LINE__, lower_bore, "A60,bore,66.0,,,,\nA260,bore,65.91,,,,\n", false,
         265 + 0.01 / 0.00045, NAN},
        {__LINE__, lower_bore, "A60,bore,65.85,,,,\n", true, 65, 65},
    };
    try_limits(cases, sizeof cases / sizeof *cases);
}

/* 66.1 - 65.9 is some 1e-14 below 0.2: decimal figures that are equal count as equal. */
static void met_within_a_nanometre(void **state)
{
    (void)state;
    bench b;
    assert_true(66.1 - 65.9 < 0.2);
    run(&b, LIMITS "M,skirt_clearance,mm,,,,0.2,i\n", NULL,
        READINGS "A60,bore,66.1,G,,,\nA60,skirt,65.9,G,,,\n");
    const te_series *s = find(&b, "skirt_clearance C1+E1/piston high");
    assert_true(s->met);
    assert_near(s->at_limit, 60, 0);
    assert_near(s->at_limit_earliest, 60, 0);
    clear(&b);
}

/* Three unstated points 66.00, 66.00, 66.105 have a line of 66.0875 at the last, with a slope of
 * 0.105 / 200, that meets 66.1 later: the value is past the limit all the same, nothing is left. */
static void a_value_past_the_limit_below_the_line(void **state)
{
    (void)state;
    bench b;
    run(&b, NULL, used_bore,
        READINGS "A60,bore,66.00,,,,\nA160,bore,66.00,,,,\nA260,bore,66.105,,,,\n");
    const te_series *s = find(&b, "bore C1 high");
    assert_true(s->met);
    assert_near(s->line.level, 66.0875, 1e-9);
    assert_near(s->at_limit, 265, 1e-9);
    assert_near(s->at_limit_earliest, 265, 1e-9);
    clear(&b);
}

/* Two points of G: R with t = c(65, 165), V = diag(2)*own + common and, falling, y and the limit
 * with their signs changed. A line that leads away has no best estimate: its bound may meet the
 * limit (66.020, 66.0195 and 66.03) or not (66.06, 66.02: the rate is 27 times its uncertainty). */
static void rates_towards_the_limit_and_away(void **state)
{
    (void)state;
    static const char near_bore[] = LIMITS "M,bore,mm,,,,66.03,i\n";
    const limit_case cases[] = {
        {__LINE__, LIMITS "M,bore,mm,,,65.9,,i\n", "A60,bore,65.94,G,,,\nA160,bore,65.93,G,,,\n",
         false, 465, 389.79765926},
        {__LINE__, near_bore, "A60,bore,66.020,G,,,\nA160,bore,66.0195,G,,,\n", false, NAN,
         623.040682917},
        {__LINE__, NULL, "A60,bore,66.06,G,,,\nA160,bore,66.02,G,,,\n", false, NAN, NAN},
        {__LINE__, lower_bore, "A60,bore,65.94,G,,,\nA160,bore,65.98,G,,,\n", false, NAN, NAN},
    };
    try_limits(cases, sizeof cases / sizeof *cases);
}

/* Exactly representable: rate 1 from 100 at 165 h (65 + 100); so to 1e5 h it is 99935. */
static void nothing_is_given_beyond_100000_hours(void **state)
{
    (void)state;
    const limit_case cases[] = {
        {__LINE__, LIMITS "M,wear,mm,,,,999.35,i\n", "A60,wear,0,,,,\nA160,wear,1,,,,\n", false,
         1e5 - 5, NAN},
        {__LINE__, LIMITS "M,wear,mm,,,,999.40,i\n", "A60,wear,0,,,,\nA160,wear,1,,,,\n", false,
         1e5, NAN},
        {__LINE__, LIMITS "M,wear,mm,,,,999.41,i\n", "A60,wear,0,,,,\nA160,wear,1,,,,\n", false,
         NAN, NAN},
        /* no slope; the bound gains 1.645 sqrt(2 own) / 100 = 2.42e-5 an hour: 165,000 h */
        {__LINE__, LIMITS "M,bore,mm,,,,70,i\n", "A60,bore,66,G,,,\nA160,bore,66,G,,,\n", false,
         NAN, NAN},
        /* the bound meets it before: R, y = c(66.0, 66.00005), limit 66.1, on E1 from 5 h */
        {__LINE__, NULL, "A60,bore,66,G,,,\nA160,bore,66.00005,G,,,\n", false, NAN, 4158.13354964},
    };
    try_limits(cases, sizeof cases / sizeof *cases);
}

/* ---- what is on, order, memory ------------------------------------------------------------ */

static void fitted_now_tells_what_is_on_still(void **state)
{
    (void)state;
    static const struct {
        long line;
        const char *parts;
        bool cylinder, piston, pair;
    } cases[] = {
        {__LINE__, PARTS "C1,cylinder,E1,0,,,\nK1,piston,E1,0,,,\n", true, true, true},
        {__LINE__, PARTS "C1,cylinder,E1,0,60,,\nK1,piston,E1,0,,,\n", false, true, false},
        {__LINE__, PARTS "C1,cylinder,E1,0,,,\nK1,piston,E1,0,160,,\n", true, false, false},
        {__LINE__, PARTS "C1,cylinder,E1,0,60,,\nC1,cylinder,E1,80,,60,\nK1,piston,E1,0,60,,\n",
         true, false, false},
        {__LINE__, PARTS "C1,cylinder,E1,0,60,,\nC1,cylinder,E2,0,,60,\nK1,piston,E1,0,,,\n", false,
         true, false},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        bench b;
        run(&b, NULL, cases[i].parts, READINGS "A60,bore,66.02,G,,,\nA60,skirt,65.95,G,,,\n");
        if (find(&b, "bore C1 high")->fitted_now != cases[i].cylinder ||
            find(&b, "skirt K1 low")->fitted_now != cases[i].piston ||
            find(&b, "skirt_clearance C1+K1 high")->fitted_now != cases[i].pair)
            fail_msg("case of line %ld", cases[i].line);
        clear(&b);
    }
}

/* An original part is on until a part of its kind has a row; `other` always. */
static void original_parts_are_on_until_one_has_a_row(void **state)
{
    (void)state;
    static const char readings[] = READINGS "A60,bore,66.02,G,,,\nA60,skirt,65.95,G,,,\n"
                                            "A60,squish,1.1,G,,,\n";
    bench b;
    run(&b, NULL, PARTS "K1,piston,E1,100,,,\nX1,other,E1,20,,,\n", readings);
    assert_true(find(&b, "bore E1/cylinder high")->fitted_now);
    assert_false(find(&b, "skirt E1/piston low")->fitted_now);
    assert_true(find(&b, "squish E1/other high")->fitted_now);
    assert_false(find(&b, "skirt_clearance E1/cylinder+E1/piston high")->fitted_now);
    clear(&b);
}

/* E1's original piston went on E2 later: it has a row, though none on E1. */
static void an_original_part_that_went_elsewhere_is_off(void **state)
{
    (void)state;
    bench b;
    run(&b, NULL, PARTS "E1/piston,piston,E2,10,,60,\n", READINGS "A60,skirt,65.95,G,,,\n");
    const te_series *s = expect_points(&b, "skirt E1/piston low", "60", __LINE__);
    assert_int_equal(s->engine, te_made_engine(&b.made, "E1"));
    assert_false(s->fitted_now);
    clear(&b);
}

/* By quantity, item as a number, first inspection (C1 came before C2, though it sorts after in
 * the file), side. */
static void series_stand_in_order(void **state)
{
    (void)state;
    bench b;
    run(&b, LIMITS "M,bore,mm,,,65.9,66.1,i\n",
        PARTS "C2,cylinder,E1,100,,,\nC1,cylinder,E1,0,100,,\nR1,ring_set,E1,0,,,\n",
        READINGS "A160,end_gap,0.3,G,,1,\nA60,pin_bore,16,G,,right,\nA60,pin_bore,16,G,,left,\n"
                 "A60,end_gap,0.3,G,,10,\nA60,end_gap,0.3,G,,2,\nA160,bore,66,G,,,\n"
                 "A60,bore,66,G,,,\nA260,end_gap,0.3,G,,1,\nA10,end_gap,0.3,G,,2,\n");
    expect_series(&b,
                  "bore C1 low; bore C1 high; bore C2 low; bore C2 high; end_gap[1] R1 high; "
                  "end_gap[2] R1 high; end_gap[10] R1 high; pin_bore[left] E1/piston high; "
                  "pin_bore[right] E1/piston high",
                  __LINE__);
    expect_points(&b, "end_gap[1] R1 high", "160 260", __LINE__);
    expect_points(&b, "end_gap[2] R1 high", "10 60", __LINE__);
    assert_int_equal(find(&b, "bore C2 low")->kind, TE_KIND_CYLINDER);
    assert_int_equal(find(&b, "bore C2 low")->second_kind, TE_KIND_NONE);
    clear(&b);
}

/* Points stand in order of hours, whatever the order of the files. */
static void points_stand_in_order_of_hours(void **state)
{
    (void)state;
    const te_shop_file files[] = {
        {"inspections.csv", VISITS "C,E1,2026-03-01,160,,20\nA,E1,2026-01-01,10,,20\n"
                                   "B,E1,2026-02-01,60,,20\n"},
        {"readings.csv", READINGS "B,bore,66.02,G,,,\nC,bore,66.03,G,,,\nA,bore,66.01,G,,,\n"},
        {NULL, NULL}};
    bench b;
    make(&b, files, "E1");
    const te_series *s = expect_points(&b, "bore C1 high", "10 60 160", __LINE__);
    assert_near(s->value_last, 66.03, 1e-12);
    assert_near(point(&b, s, 0)->value, 66.01, 1e-12);
    clear(&b);
}

static bool alike(double a, double b)
{
    return isnan(a) ? isnan(b) : !(a < b) && !(a > b) && !isnan(b);
}

/* The very same figures, to the last bit. */
static void expect_same_history(const te_history *a, const te_history *b)
{
    assert_int_equal(a->engine, b->engine);
    assert_int_equal(a->series_count, b->series_count);
    assert_int_equal(a->point_count, b->point_count);
    assert_int_equal(a->inspection_count, b->inspection_count);
    assert_int_equal(a->pool.count, b->pool.count);
    assert_int_equal(a->pool.effect_count, b->pool.effect_count);
    assert_int_equal(a->quantities.count, b->quantities.count);
    assert_int_equal(a->left_out, b->left_out);
    for (size_t i = 0; i < a->inspection_count; i++) {
        assert_int_equal(a->inspections[i], b->inspections[i]);
        assert_int_equal(a->first_observation[i], b->first_observation[i]);
    }
    assert_int_equal(a->first_observation[a->inspection_count],
                     b->first_observation[b->inspection_count]);
    for (size_t i = 0; i < a->point_count; i++) {
        const te_point *p = &a->points[i], *q = &b->points[i];
        assert_true(alike(p->hours, q->hours) && alike(p->value, q->value) && alike(p->u, q->u));
        assert_int_equal(p->inspection, q->inspection);
    }
    for (size_t i = 0; i < a->series_count; i++) {
        const te_series *s = &a->series[i], *t = &b->series[i];
        assert_int_equal(s->quantity, t->quantity);
        assert_int_equal(s->first_point, t->first_point);
        assert_true(alike(s->line.rate, t->line.rate) && alike(s->line.chi2, t->line.chi2) &&
                    alike(s->at_limit, t->at_limit) &&
                    alike(s->at_limit_earliest, t->at_limit_earliest));
    }
}

/* E3 has so many inspections from 30 h on; E1 and E2 have two points and an assumed one a side. */
static void many_points(bench *b, unsigned count, const char *instrument, const char *run_in,
                        const char *parts)
{
    te_grown visits = {0}, readings = {0};
    te_grown_add(&visits, "%s", base[5].text);
    te_grown_add(&readings, READINGS "A60,bore,66.02,G,,,\nA160,bore,66.03,G,,,\n"
                                     "B45,bore,66.02,G,,,\nB95,bore,66.021,G,,,\n");
    for (unsigned i = 0; i < count; i++) {
        te_grown_add(&visits, "M%u,E3,2026-09-01,%u,,20\n", i, 30 + i);
        te_grown_add(&readings, "M%u,bore,66.%02u,%s,,,\n", i, i % 3, instrument);
    }
    const te_shop_file files[] = {
        {"parts.csv", parts},
        {"limits.csv", LIMITS "M,bore,mm,66,66.02,65,66.1,i\nN,bore,mm,66,66.02,65,66.2,i\n"},
        {"models.csv", run_in},
        {"inspections.csv", visits.text},
        {"readings.csv", readings.text},
        {NULL, NULL}};
    *b = (bench){0};
    te_made_read(&b->made, base, files);
    te_grown_free(&visits);
    te_grown_free(&readings);
}

static const char two_cylinders[] = PARTS "C1,cylinder,E1,20,,,\nC2,cylinder,E2,0,,,\n";

/* With the assumed point 1,000 are fitted; one more is refused, stated or not. Of 1,002 two may be
 * within the run-in: the assumed one and that at 30 h. */
static void more_than_1000_points_are_refused(void **state)
{
    (void)state;
    bench b;
    many_points(&b, 999, "", "model\nM\nN\n", two_cylinders);
    assert_int_equal(te_history_make(&b.history, b.made.shop, NULL, te_made_engine(&b.made, "E3")),
                     TE_OK);
    assert_int_equal(b.history.series_count, 2);
    assert_int_equal(b.history.series[0].fitted_count, 1000);
    assert_int_equal(b.history.series[0].method, TE_RATE_ORDINARY);
    clear(&b);
    many_points(&b, 1001, "", "model,run_in_hours\nM,31\nN,\n", two_cylinders);
    assert_int_equal(te_history_make(&b.history, b.made.shop, NULL, te_made_engine(&b.made, "E3")),
                     TE_OK);
    assert_int_equal(b.history.series[0].point_count, 1002);
    assert_int_equal(b.history.series[0].fitted_count, 1000);
    clear(&b);
    static const char *const instruments[] = {"", "G"};
    for (size_t i = 0; i < 2; i++) {
        many_points(&b, 1000, instruments[i], "model\nM\nN\n", two_cylinders);
        assert_int_equal(
            te_history_make(&b.history, b.made.shop, NULL, te_made_engine(&b.made, "E3")),
            TE_ERR_FULL);
        assert_int_equal(
            te_history_make_due(&b.history, b.made.shop, NULL, te_made_engine(&b.made, "E3")),
            TE_ERR_FULL);
        clear(&b);
    }
}

/* What is due is told all the same where the part of too many points is off. */
static void more_than_1000_points_of_a_part_that_is_off(void **state)
{
    (void)state;
    bench b;
    many_points(&b, 1000, "G", "model\nM\nN\n",
                PARTS "C1,cylinder,E1,20,,,\nC2,cylinder,E2,0,,,\nC3,cylinder,E3,5000,,,\n");
    uint32_t engine = te_made_engine(&b.made, "E3");
    assert_int_equal(te_history_make(&b.history, b.made.shop, NULL, engine), TE_ERR_FULL);
    assert_int_equal(te_history_make_due(&b.history, b.made.shop, NULL, engine), TE_OK);
    assert_int_equal(b.history.series_count, 1);
    const te_series *s = &b.history.series[0];
    assert_int_equal(s->point_count, 0);
    assert_int_equal(s->method, TE_RATE_NONE);
    assert_false(s->has_limit);
    assert_true(isnan(s->at_limit) && isnan(s->at_limit_earliest));
    assert_true(isnan(te_series_engine_hours(&b.history, b.made.shop, s, 100.0)));
    clear(&b);
}

/* One history for all engines, also after one that failed, gives what a fresh one does. */
static void a_history_is_made_anew(void **state)
{
    (void)state;
    static const char *const engines[] = {"E1", "E2", "E3", "E1", "E3", "E2"};
    te_history fresh = {0};
    bench b;
    many_points(&b, 1000, "", "model\nM\nN\n", two_cylinders);
    for (size_t i = 0; i < sizeof engines / sizeof *engines; i++) {
        uint32_t engine = te_made_engine(&b.made, engines[i]);
        bool full = strcmp(engines[i], "E3") == 0;
        assert_int_equal(te_history_make(&b.history, b.made.shop, NULL, engine),
                         full ? TE_ERR_FULL : TE_OK);
        if (full)
            continue;
        assert_int_equal(te_history_make(&fresh, b.made.shop, NULL, engine), TE_OK);
        assert_int_equal(fresh.series_count, 2);
        assert_int_equal(fresh.point_count, 6);
        expect_same_history(&b.history, &fresh);
        te_history_free(&fresh);
    }
    clear(&b);
}

/* As it stood at A160: what came later is not looked at; nor is the limit it had by then. */
static void a_history_until_an_inspection(void **state)
{
    (void)state;
    te_shop_file files[] = {{"parts.csv", used_bore},
                            {"readings.csv",
                             READINGS "A60,bore,66.012,G,,,\nA160,bore,66.018,G,,,\n"
                                      "A260,bore,66.050,G,,,\nA360,squish,1.2,G,,,\n"},
                            {NULL, NULL}};
    bench b;
    make(&b, files, "E1");
    expect_points(&b, "bore C1 high", "65 165 265", __LINE__);
    assert_int_equal(
        te_history_make_until(&b.history, b.made.shop, NULL, te_made_inspection(&b.made, "A160")),
        TE_OK);
    expect_series(&b, "bore C1 high", __LINE__);
    const te_series *s = expect_points(&b, "bore C1 high", "65 165", __LINE__);
    assert_int_equal(b.history.engine, te_made_engine(&b.made, "E1"));
    assert_near(s->line.rate, 0.006 / 100, 1e-13);
    assert_near(s->value_last, 66.018, 1e-12);
    assert_int_equal(s->inspection, te_made_inspection(&b.made, "A160"));
    assert_int_equal(
        te_history_make_until(&b.history, b.made.shop, NULL, te_made_inspection(&b.made, "A360")),
        TE_OK);
    expect_series(&b, "bore C1 high; squish E1/other high", __LINE__);
    clear(&b);
}

/* What a history measured is judged as if it were measured anew; so is an inspection that it did not look at. */
static void inspections_are_judged_by_what_a_history_measured(void **state)
{
    (void)state;
    static const char *const names[] = {"A60", "A160", "A260", "A360"};
    te_shop_file files[] = {{"readings.csv",
                             READINGS "A60,bore,66.012,G,,,\nA160,bore,66.018,G,,,\n"
                                      "A160,squish,1.3,G,,,\nA160,bore,66.020,N,,,\n"
                                      "A260,bore,66.050,G,,,\nA360,squish,1.2,G,,,\n"},
                            {NULL, NULL}};
    bench b;
    te_assessment anew = {0};
    make(&b, files, "E1");
    for (size_t until = 0; until < 4; until++) {
        uint32_t last = te_made_inspection(&b.made, names[until]);
        assert_int_equal(te_history_make_until(&b.history, b.made.shop, NULL, last), TE_OK);
        for (size_t i = 0; i < 4; i++) {
            uint32_t at = te_made_inspection(&b.made, names[i]);
            assert_true(due_assess_both_ways(&anew, &b.history, b.made.shop, at));
            assert_true(anew.quantities.count > 0);
        }
    }
    te_assessment_free(&anew);
    clear(&b);
}

static void an_engine_without_inspections_has_no_series(void **state)
{
    (void)state;
    const te_shop_file files[] = {{"engines.csv", "engine,model\nE1,M\nE2,N\nE3,M\nE4,M\n"},
                                  {"readings.csv", READINGS "A60,bore,66.02,G,,,\n"},
                                  {NULL, NULL}};
    bench b;
    make(&b, files, "E4");
    assert_int_equal(b.history.series_count, 0);
    assert_int_equal(b.history.inspection_count, 0);
    assert_int_equal(b.history.first_observation[0], 0);
    clear(&b);
}

static void freeing_leaves_it_empty(void **state)
{
    (void)state;
    te_history zero = {0};
    te_history_free(NULL);
    te_history_free(&zero);
    assert_null(zero.points);
    bench b;
    run(&b, NULL, NULL, READINGS "A60,bore,66.02,G,,,\n");
    assert_int_equal(b.history.series_count, 1);
    te_history_free(&b.history);
    assert_int_equal(b.history.series_count, 0);
    assert_int_equal(b.history.point_count, 0);
    assert_null(b.history.series);
    assert_null(b.history.work.block);
    te_history_free(&b.history); /* twice is as good as once */
    clear(&b);
}

/* ---- what must not change a figure -------------------------------------------------------- */

enum { ROWS = 160, ROW = 96 };

typedef struct table {
    char row[ROWS][ROW];
    size_t count;
} table;

#if defined(__GNUC__)
__attribute__((format(printf, 2, 3)))
#endif
static void
add(table *t, const char *format, ...)
{
    va_list arguments;
    assert_true(t->count < ROWS);
    va_start(arguments, format);
    int length = vsnprintf(t->row[t->count++], ROW, format, arguments);
    va_end(arguments);
    assert_true(length > 0 && length < ROW);
}

typedef struct random_shop {
    table parts, visits, readings;
    bool unknown; /* K1's history: its rows stay in their order */
    bool run_in;
} random_shop;

static double tenth(te_random *random, double low, double high)
{
    return round(te_random_between(random, low, high) * 10) / 10;
}

static bool one_in(te_random *random, size_t n)
{
    return te_random_below(random, n) == 0;
}

/* Every feature once or more, worn by some micrometres an hour. */
static void add_readings(random_shop *s, te_random *random, const char *visit, double hours)
{
    static const struct {
        const char *feature, *item;
        double size, rate;
    } features[] = {{"bore", "", 66.01, 1e-4},
                    {"skirt", "", 65.95, -5e-5},
                    {"end_gap", "1", 0.30, 5e-4},
                    {"end_gap", "2", 0.31, 4e-4},
                    {"side_clearance", "1", 0.04, 6e-5}};
    for (size_t i = 0; i < sizeof features / sizeof *features; i++) {
        size_t repeats = 1 + te_random_below(random, 3);
        bool twice = i == 0 && one_in(random, 2);
        const char *gauge = one_in(random, 12) ? "" : one_in(random, 4) ? "H" : "G";
        for (size_t d = 0; d < (twice ? 2 : 1); d++)
            for (size_t n = 0; n < repeats; n++)
                add(&s->readings, "%s,%s,%s,%s,%.4f,%s", visit, features[i].feature,
                    features[i].item, i == 0 ? (d ? "pin" : "thrust") : "",
                    features[i].size + features[i].rate * hours + 0.002 * te_random_unit(random),
                    gauge);
    }
}

/* `shift` is added to all hours of E1. K1 runs on E1, on E2, and on E1 again; E1's cylinder and
 * ring set may have run before. */
static void draw_shop(random_shop *s, uint64_t seed, double shift)
{
    te_random random = {seed};
    memset(s, 0, sizeof *s);
    double first = tenth(&random, 1, 30), off = first + tenth(&random, 40, 90);
    double on = off + tenth(&random, 60, 120), e2_on = tenth(&random, 5, 30);
    double e2_off = e2_on + tenth(&random, 40, 80), end = on + tenth(&random, 80, 200);
    double before = one_in(&random, 2) ? 0 : tenth(&random, 1, 50);
    double used = one_in(&random, 2) ? 0 : tenth(&random, 1, 50);
    s->unknown = one_in(&random, 3);
    s->run_in = one_in(&random, 2);
    add(&s->parts, "K1,piston,E1,%.1f,%.1f,%s", first + shift, off + shift, s->unknown ? "?" : "0");
    add(&s->parts, "K1,piston,E2,%.1f,%.1f,%.1f", e2_on, e2_off, off - first);
    add(&s->parts, "K1,piston,E1,%.1f,,%.1f", on + shift, off - first + e2_off - e2_on);
    add(&s->parts, "K2,piston,E1,%.1f,%.1f,%.1f", off + shift, on + shift, before);
    add(&s->parts, "K9,piston,E2,0,%.1f,", e2_on);
    add(&s->parts, "C1,cylinder,E1,%.1f,,%.1f", first + shift, used);
    add(&s->parts, "C2,cylinder,E2,0,,");
    add(&s->parts, "R1,ring_set,E1,%.1f,%.1f,%.1f", first + shift, on + shift, used);
    add(&s->parts, "R2,ring_set,E1,%.1f,,0", on + shift);
    add(&s->parts, "R9,ring_set,E2,0,,");
    const struct {
        const char *id, *engine, *date, *state;
        double hours;
    } visits[] = {{"A1", "E1", "2026-01-01", "", first + tenth(&random, 1, 20)},
                  {"A2", "E1", "2026-02-01", "found", off},
                  {"A3", "E1", "2026-02-02", "built", off},
                  {"A4", "E1", "2026-03-01", "", off + tenth(&random, 20, 50)},
                  {"A5", "E1", "2026-08-01", "found", on},
                  {"A6", "E1", "2026-08-02", "built", on},
                  {"A7", "E1", "2026-09-01", "", on + tenth(&random, 20, 70)},
                  {"A8", "E1", "2026-10-01", "", end},
                  {"B1", "E2", "2026-04-01", "built", e2_on},
                  {"B2", "E2", "2026-05-01", "", e2_on + tenth(&random, 10, 30)},
                  {"B3", "E2", "2026-06-01", "found", e2_off}};
    for (size_t i = 0; i < sizeof visits / sizeof *visits; i++) {
        bool here = strcmp(visits[i].engine, "E1") == 0;
        if (one_in(&random, 6)) /* not inspected then */
            continue;
        add(&s->visits, "%s,%s,%s,%.1f,%s,20", visits[i].id, visits[i].engine, visits[i].date,
            visits[i].hours + (here ? shift : 0), visits[i].state);
        add_readings(s, &random, visits[i].id, visits[i].hours);
    }
}

/* Another order of the rows; those that begin with `kept` stay in theirs. */
static void shuffle(table *t, te_random *random, const char *kept)
{
    static table held;
    size_t next = 0;
    held.count = 0;
    for (size_t i = 0; kept && i < t->count; i++)
        if (strncmp(t->row[i], kept, strlen(kept)) == 0)
            memcpy(held.row[held.count++], t->row[i], ROW);
    for (size_t i = t->count; i > 1; i--) {
        char row[ROW];
        size_t j = te_random_below(random, i);
        memcpy(row, t->row[i - 1], ROW);
        memcpy(t->row[i - 1], t->row[j], ROW);
        memcpy(t->row[j], row, ROW);
    }
    for (size_t i = 0; kept && i < t->count; i++)
        if (strncmp(t->row[i], kept, strlen(kept)) == 0)
            memcpy(t->row[i], held.row[next++], ROW);
}

static void write_table(te_grown *out, const char *head, const table *t)
{
    te_grown_add(out, "%s\n", head);
    for (size_t i = 0; i < t->count; i++)
        te_grown_add(out, "%s\n", t->row[i]);
}

static void read_shop(bench *b, const random_shop *s)
{
    te_grown parts = {0}, visits = {0}, readings = {0};
    write_table(&parts, "part,kind,engine,fitted_hours,removed_hours,hours_before", &s->parts);
    write_table(&visits, "inspection,engine,date,hours,state,temperature", &s->visits);
    write_table(&readings, "inspection,feature,item,direction,reading,instrument", &s->readings);
    const te_shop_file files[] = {
        {"models.csv", s->run_in ? "model,run_in_hours\nM,15\nN,15\n" : "model\nM\nN\n"},
        {"limits.csv", LIMITS "M,bore,mm,66,66.02,,66.1,i\nM,skirt,mm,65.94,65.96,65.9,,i\n"
                              "M,skirt_clearance,mm,,0.1,,0.16,i\nM,end_gap,mm,0.2,0.4,0.1,0.8,i\n"
                              "M,out_of_round,mm,,0.02,,0.05,i\nN,bore,mm,66,66.02,,66.1,i\n"},
        {"instruments.csv", "instrument,resolution,expanded_uncertainty,repeatability,set_with\n"
                            "H,0.001,0.003,0.001,\nG,0.001,0.004,0.001,H\n"},
        {"parts.csv", parts.text},
        {"inspections.csv", visits.text},
        {"readings.csv", readings.text},
        {NULL, NULL}};
    make(b, files, "E1");
    te_grown_free(&parts);
    te_grown_free(&visits);
    te_grown_free(&readings);
}

static bool close_to(double a, double b)
{
    return (isnan(a) && isnan(b)) || te_near(a, b, 1e-7 * fabs(b) + 1e-13);
}

static bool same_point(const bench *a, const te_point *p, const bench *b, const te_point *q,
                       double shift)
{
    bool here = p->engine == a->history.engine;
    bool inspection = p->assumed == q->assumed;
    if (inspection && !p->assumed)
        inspection =
            strcmp(te_shop_text(a->made.shop, a->made.tables->inspections[p->inspection].id),
                   te_shop_text(b->made.shop, b->made.tables->inspections[q->inspection].id)) == 0;
    return inspection && te_near(p->hours, q->hours, 1e-9) &&
           te_near(p->engine_hours + (here ? shift : 0), q->engine_hours, 1e-9) &&
           te_near(p->value, q->value, 1e-11) && close_to(p->u, q->u) && p->stated == q->stated &&
           p->fitted == q->fitted && p->engine == q->engine;
}

/* Every figure of a series; `shift` is what E1's hours of b have more than a's. */
static bool same_series(const bench *a, const te_series *s, const bench *b, const te_series *t,
                        double shift)
{
    bool same = s->point_count == t->point_count && s->fitted_count == t->fitted_count &&
                s->dropped == t->dropped && s->assumed == t->assumed && s->unknown == t->unknown &&
                s->original == t->original && s->fitted_now == t->fitted_now &&
                s->singular == t->singular && s->method == t->method && s->met == t->met &&
                s->engine == t->engine && s->kind == t->kind && s->second_kind == t->second_kind;
    for (uint32_t i = 0; same && i < s->point_count; i++)
        same = same_point(a, point(a, s, i), b, point(b, t, i), shift);
    same = same && close_to(s->hours_first, t->hours_first) &&
           close_to(s->hours_last, t->hours_last) && close_to(s->value_last, t->value_last) &&
           close_to(s->service, t->service) &&
           close_to(te_line_chance(&s->line), te_line_chance(&t->line)) &&
           close_to(s->at_limit, t->at_limit) &&
           close_to(s->at_limit_earliest, t->at_limit_earliest);
    return same && (s->method == TE_RATE_NONE || (te_near(s->line.rate, t->line.rate, 1e-12) &&
                                                  te_near(s->line.level, t->line.level, 1e-10) &&
                                                  close_to(s->line.var_rate, t->line.var_rate)));
}

/* What the random shops had, so that the tests are known to have tried it. */
typedef struct tally {
    size_t series, generalised, ordinary, assumed, unknown, dropped, run_in;
} tally;

static void compare(tally *seen, const bench *a, const bench *b, double shift)
{
    assert_int_equal(a->history.series_count, b->history.series_count);
    for (size_t i = 0; i < a->history.series_count; i++) {
        char name[128];
        const te_series *s = &a->history.series[i];
        write_name(name, sizeof name, a->made.shop, s);
        const te_series *t = find(b, name);
        if (!t || (!(shift > 0 && s->original) && !same_series(a, s, b, t, shift)))
            fail_msg("%s is not the same: rate %.12g and %.12g", name, s->line.rate,
                     t ? t->line.rate : NAN);
        assert_ptr_equal(t, &b->history.series[i]); /* in the same order */
        seen->series++;
        seen->generalised += s->method == TE_RATE_GENERALISED;
        seen->ordinary += s->method == TE_RATE_ORDINARY;
        seen->assumed += s->assumed;
        seen->unknown += s->unknown;
        seen->dropped += s->dropped > 0;
        seen->run_in += s->fitted_count < s->point_count;
    }
}

static void expect_seen(const tally *seen)
{
    print_message("series %zu: generalised %zu, ordinary %zu, assumed %zu, unknown %zu, dropped "
                  "%zu, run-in %zu\n",
                  seen->series, seen->generalised, seen->ordinary, seen->assumed, seen->unknown,
                  seen->dropped, seen->run_in);
    assert_true(seen->generalised && seen->ordinary && seen->assumed && seen->unknown &&
                seen->dropped && seen->run_in);
}

/* The rows of a part with an unknown history keep their order, which has a meaning. */
static void order_of_rows_changes_nothing(void **state)
{
    (void)state;
    static random_shop s;
    te_random random = te_random_start(20261127);
    tally seen = {0};
    for (size_t i = te_test_rounds(40); i > 0; i--) {
        bench a, b;
        draw_shop(&s, te_random_bits(&random), 0);
        read_shop(&a, &s);
        shuffle(&s.parts, &random, s.unknown ? "K1," : NULL);
        shuffle(&s.visits, &random, NULL);
        shuffle(&s.readings, &random, NULL);
        read_shop(&b, &s);
        compare(&seen, &a, &b, 0);
        clear(&a);
        clear(&b);
    }
    expect_seen(&seen);
}

/* An engine whose meter stood elsewhere from the start wears as fast. */
static void a_shift_of_the_meter_changes_no_rate(void **state)
{
    (void)state;
    static random_shop s;
    te_random random = te_random_start(20261128);
    tally seen = {0};
    for (size_t i = te_test_rounds(40); i > 0; i--) {
        bench a, b;
        uint64_t seed = te_random_bits(&random);
        double shift = tenth(&random, 1, 500);
        draw_shop(&s, seed, 0);
        read_shop(&a, &s);
        draw_shop(&s, seed, shift);
        read_shop(&b, &s);
        compare(&seen, &a, &b, shift);
        clear(&a);
        clear(&b);
    }
    expect_seen(&seen);
}

int main(void)
{
    gsl_set_error_handler_off();
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(assumed_point_by_hand),
        cmocka_unit_test(assumed_point_is_an_observation),
        cmocka_unit_test(assumed_point_of_a_pair),
        cmocka_unit_test(one_sided_as_new_limits),
        cmocka_unit_test(two_sided_as_new_limits),
        cmocka_unit_test(no_assumed_point_of_a_part_that_was_not_new),
        cmocka_unit_test(without_a_limit),
        cmocka_unit_test(pairs_only_when_both_were_new),
        cmocka_unit_test(a_gap_only_when_the_cylinder_was_new_too),
        cmocka_unit_test(a_gap_assumed_in_an_original_cylinder),
        cmocka_unit_test(run_in_is_shown_not_fitted),
        cmocka_unit_test(run_in_counts_distinct_hours),
        cmocka_unit_test(run_in_has_no_part_in_the_rate),
        cmocka_unit_test(points_with_places_missing),
        cmocka_unit_test(the_last_point_with_a_place_missing),
        cmocka_unit_test(side_names),
        cmocka_unit_test(sides_follow_the_service_limits),
        cmocka_unit_test(each_side_has_its_values_and_limit),
        cmocka_unit_test(a_side_is_as_it_would_be_alone),
        cmocka_unit_test(limits_are_those_of_the_last_inspection),
        cmocka_unit_test(limits_move_with_the_oversize),
        cmocka_unit_test(three_points_by_r),
        cmocka_unit_test(a_new_calibration_does_tilt_the_line),
        cmocka_unit_test(the_shops_confidence_counts),
        cmocka_unit_test(a_point_not_stated_makes_it_ordinary),
        cmocka_unit_test(two_points_not_stated_have_no_interval),
        cmocka_unit_test(a_singular_covariance_is_widened),
        cmocka_unit_test(one_point_has_no_rate),
        cmocka_unit_test(points_at_the_same_hours_go_by_date),
        cmocka_unit_test(own_hours_are_the_same_within_rounding),
        cmocka_unit_test(met_by_the_value_or_by_the_line),
        cmocka_unit_test(met_within_a_nanometre),
        cmocka_unit_test(a_value_past_the_limit_below_the_line),
        cmocka_unit_test(rates_towards_the_limit_and_away),
        cmocka_unit_test(nothing_is_given_beyond_100000_hours),
        cmocka_unit_test(fitted_now_tells_what_is_on_still),
        cmocka_unit_test(original_parts_are_on_until_one_has_a_row),
        cmocka_unit_test(an_original_part_that_went_elsewhere_is_off),
        cmocka_unit_test(series_stand_in_order),
        cmocka_unit_test(points_stand_in_order_of_hours),
        cmocka_unit_test(more_than_1000_points_are_refused),
        cmocka_unit_test(more_than_1000_points_of_a_part_that_is_off),
        cmocka_unit_test(a_history_is_made_anew),
        cmocka_unit_test(a_history_until_an_inspection),
        cmocka_unit_test(inspections_are_judged_by_what_a_history_measured),
        cmocka_unit_test(an_engine_without_inspections_has_no_series),
        cmocka_unit_test(freeing_leaves_it_empty),
        cmocka_unit_test(order_of_rows_changes_nothing),
        cmocka_unit_test(a_shift_of_the_meter_changes_no_rate),
    };
    return cmocka_run_group_tests_name("series", tests, NULL, NULL);
}
