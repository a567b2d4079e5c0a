/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Verdicts and their reasons, from small shops. An assessment is written a verdict a line:
 *
 *   E1/cylinder do_not_reuse: bore=beyond, within 1, no_condition
 *
 * with the reasons in their order; a part with conditions alone, without a reading, has a star. The
 * gauge is fine (U 0.0002 mm), so that statuses are as the figures say; 66.10 at a limit of 66.10
 * is undecided.
 */
#include "te_shop_text.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "topend/judge.h"

static const te_shop_file base[] = {
    {"engines.csv", "engine,model\nE1,M\n"},
    {"models.csv", "model\nM\n"},
    {"instruments.csv", "instrument,resolution,expanded_uncertainty,repeatability\n"
                        "G,0.0001,0.0002,0.0001\n"},
    {"inspections.csv", "inspection,engine,date,hours,temperature\n"
                        "I1,E1,2026-04-18,100,20\nI2,E1,2026-05-18,110,20\n"},
    {NULL, NULL},
};

#define LIMITS    "model,quantity,item,unit,new_min,new_max,service_min,service_max,required,source\n"
#define BORE      "M,bore,,mm,66.00,66.02,,66.10,yes,invented\n"
#define SKIRT     "M,skirt,,mm,65.94,65.96,65.90,,yes,invented\n"
#define CLEARANCE "M,skirt_clearance,,mm,,,0.03,0.16,yes,invented\n"
#define FIT       LIMITS BORE SKIRT CLEARANCE
#define READINGS  "inspection,feature,part,item,position,direction,reading,no_go,instrument\n"
#define GOOD      "I1,bore,,,10,thrust,66.01,,G\nI1,skirt,,,,,65.95,,G\n"
#define CONDITION "inspection,part,finding,severity\n"
#define PLAN      "model,feature,item,position,direction\n"

typedef struct verdict_case {
    int line;
    const char *limits, *readings, *condition, *plan; /* the last two may be NULL */
    bool damaged;
    const char *expected;
} verdict_case;

static void write_quantity(te_grown *out, const te_shop *shop, const te_measured *m)
{
    te_grown_add(out, "%s", te_shop_quantity_name(shop, m->quantity));
    if (m->item)
        te_grown_add(out, "[%s]", te_shop_text(shop, m->item));
}

static void write_reason(te_grown *out, const te_made_shop *made, const te_assessment *a,
                         te_reason r)
{
    switch (r.kind) {
    case TE_REASON_FINDING:
        write_quantity(out, made->shop, &a->findings[r.index].measured);
        te_grown_add(out, "=%s", te_outcome_name(a->findings[r.index].outcome));
        return;
    case TE_REASON_CONDITION:
        te_grown_add(out, "condition %s",
                     te_shop_text(made->shop, made->tables->conditions[r.index].finding));
        return;
    case TE_REASON_KIND_UNMEASURED:
        te_grown_add(out, "unmeasured %s", te_kind_name((te_kind)r.index));
        return;
    case TE_REASON_OWN_UNMEASURED:
        te_grown_add(out, "unmeasured %s", te_shop_quantity_name(made->shop, r.index));
        return;
    case TE_REASON_NOTHING_JUDGED:
        assert_int_equal(r.index, 0);
        te_grown_add(out, "nothing_judged");
        return;
    case TE_REASON_BY_PAIRS:
        assert_int_equal(r.index, 0);
        te_grown_add(out, "by_pairs");
        return;
    case TE_REASON_PART:
        te_grown_add(out, "part %s", te_shop_text(made->shop, a->verdicts[r.index].part));
        return;
    case TE_REASON_DAMAGED:
        assert_int_equal(r.index, 0);
        te_grown_add(out, "damaged");
        return;
    case TE_REASON_WITHIN: te_grown_add(out, "within %u", (unsigned)r.index); return;
    case TE_REASON_TIGHT_UNJUDGED:
        te_grown_add(out, "tight ");
        write_quantity(out, made->shop, &a->findings[r.index].measured);
        return;
    case TE_REASON_UNLIMITED:
        te_grown_add(out, "unlimited ");
        write_quantity(out, made->shop, &a->findings[r.index].measured);
        return;
    case TE_REASON_NO_CONDITION:
        assert_int_equal(r.index, 0);
        te_grown_add(out, "no_condition");
        return;
    }
    fail_msg("a reason without a name: %d", (int)r.kind);
}

static void write_verdicts(te_grown *out, const te_made_shop *made, const te_assessment *a)
{
    for (size_t i = 0; i < a->verdict_count; i++) {
        const te_verdict *v = &a->verdicts[i];
        bool last = i + 1 == a->verdict_count;
        assert_int_equal(v->kind == TE_KIND_NONE, last);
        te_grown_add(out, "%s%s %s:", last ? "assembly" : te_shop_text(made->shop, v->part),
                     last || v->measured ? "" : "*", te_verdict_name(v->verdict));
        for (uint32_t r = 0; r < v->reason_count; r++) {
            te_grown_add(out, r ? ", " : " ");
            write_reason(out, made, a, a->reasons[v->first_reason + r]);
        }
        te_grown_add(out, "\n");
    }
}

/* What holds of every assessment. */
static void look_at(const te_assessment *a)
{
    size_t reasons = 0;
    for (size_t i = 0; i < a->finding_count; i++) {
        const te_finding *f = &a->findings[i];
        assert_true(i == 0 || f[-1].measured.quantity <= f->measured.quantity);
        if (!f->computed) {
            assert_int_equal(f->outcome, TE_MISSING);
            assert_true(isnan(f->judgement.p_within) && isnan(f->judgement.u_needed));
        }
        assert_int_equal(f->measured.second_part != 0, f->measured.second_kind != TE_KIND_NONE);
    }
    size_t effects = 0;
    for (size_t i = 0; i < a->pool.count; i++) {
        assert_int_equal(a->pool.items[i].first_effect, effects);
        effects += a->pool.items[i].effect_count;
    }
    assert_int_equal(a->pool.effect_count, effects);
    for (size_t i = 0; i < a->verdict_count; i++) {
        assert_int_equal(a->verdicts[i].first_reason, reasons);
        reasons += a->verdicts[i].reason_count;
    }
    assert_int_equal(a->reason_count, reasons);
    assert_ptr_equal(te_assessment_assembly(a), &a->verdicts[a->verdict_count - 1]);
    assert_null(te_assessment_part(a, TE_KIND_NONE));
}

static void read_case(te_made_shop *made, const verdict_case *c)
{
    te_shop_file changes[5] = {{"limits.csv", c->limits}, {"readings.csv", c->readings}};
    size_t count = 2;
    if (c->condition)
        changes[count++] = (te_shop_file){"condition.csv", c->condition};
    if (c->plan)
        changes[count++] = (te_shop_file){"plan.csv", c->plan};
    te_made_read(made, base, changes);
}

/* Assesses an inspection of a shop and compares what its verdicts say; frees the shop. */
static void expect_verdicts(te_assessment *a, te_made_shop *made, uint32_t inspection, bool damaged,
                            const char *name, const char *expected)
{
    te_grown is = {0};
    assert_int_equal(te_assess(a, made->shop, inspection, damaged), TE_OK);
    look_at(a);
    write_verdicts(&is, made, a);
    if (strcmp(is.text, expected) != 0)
        fail_msg("%s is\n%sexpected\n%s", name, is.text, expected);
    te_grown_free(&is);
    te_made_free(made);
}

static void try_cases(const verdict_case *cases, size_t count)
{
    te_assessment a = {0}; /* the same for all: each result replaces the one before */
    for (size_t i = 0; i < count; i++) {
        te_made_shop made;
        char name[32];
        (void)snprintf(name, sizeof name, "case of line %d", cases[i].line);
        read_case(&made, &cases[i]);
        expect_verdicts(&a, &made, 0, cases[i].damaged, name, cases[i].expected);
    }
    te_assessment_free(&a);
}

#define TRY(cases) try_cases((cases), sizeof(cases) / sizeof *(cases))

/* ---- findings ---------------------------------------------------------------------------- */

static void each_status_makes_its_verdict(void **state)
{
    (void)state;
    const verdict_case cases[] = {
        {__LINE__, FIT, READINGS GOOD, NULL, NULL, false,
         "E1/cylinder reuse: within 1, no_condition\n"
         "E1/piston reuse: within 1, no_condition\n"
         "assembly reuse: within 3, no_condition\n"},
        /* serviceable is as good as as_new */
        {__LINE__, FIT, READINGS "I1,bore,,,,,66.05,,G\nI1,skirt,,,,,65.92,,G\n", NULL, NULL, false,
         "E1/cylinder reuse: within 1, no_condition\n"
         "E1/piston reuse: within 1, no_condition\n"
         "assembly reuse: within 3, no_condition\n"},
        {__LINE__, FIT, READINGS "I1,bore,,,,,66.15,,G\nI1,skirt,,,,,65.95,,G\n", NULL, NULL, false,
         "E1/cylinder do_not_reuse: bore=beyond, no_condition\n"
         "E1/piston reuse: within 1, no_condition\n"
         "assembly do_not_reuse: bore=beyond, skirt_clearance=beyond, within 1, no_condition\n"},
        {__LINE__, FIT, READINGS "I1,bore,,,,,66.10,,G\nI1,skirt,,,,,65.95,,G\n", NULL, NULL, false,
         "E1/cylinder measure_again: bore=undecided, no_condition\n"
         "E1/piston reuse: within 1, no_condition\n"
         "assembly measure_again: bore=undecided, within 2, no_condition\n"},
        /* below the as-new limit, where there is no service limit */
        {__LINE__, FIT, READINGS "I1,bore,,,,,65.99,,G\nI1,skirt,,,,,65.95,,G\n", NULL, NULL, false,
         "E1/cylinder incomplete: bore=outside_new, no_condition\n"
         "E1/piston reuse: within 1, no_condition\n"
         "assembly incomplete: bore=outside_new, within 2, no_condition\n"},
        /* not stated: no gauge named */
        {__LINE__, FIT, READINGS "I1,bore,,,,,66.05,,\nI1,skirt,,,,,65.95,,G\n", NULL, NULL, false,
         "E1/cylinder measure_again: bore=undecided, no_condition\n"
         "E1/piston reuse: within 1, no_condition\n"
         "assembly measure_again: bore=undecided, skirt_clearance=undecided, within 1, "
         "no_condition\n"},
        /* both parts good, the pair not */
        {__LINE__, FIT, READINGS "I1,bore,,,,,66.09,,G\nI1,skirt,,,,,65.91,,G\n", NULL, NULL, false,
         "E1/cylinder reuse: within 1, no_condition\n"
         "E1/piston reuse: within 1, no_condition\n"
         "assembly do_not_reuse: skirt_clearance=beyond, within 2, no_condition\n"},
        /* the gravest first, whatever the order of the quantities */
        {__LINE__, FIT, READINGS "I1,bore,,,,,66.10,,G\nI1,skirt,,,,,65.89,,G\n", NULL, NULL, false,
         "E1/cylinder measure_again: bore=undecided, no_condition\n"
         "E1/piston do_not_reuse: skirt=beyond, no_condition\n"
         "assembly do_not_reuse: skirt=beyond, skirt_clearance=beyond, bore=undecided, "
         "no_condition\n"},
        /* a fit at zero is beyond without any limit */
        {__LINE__, LIMITS BORE, READINGS "I1,bore,,,,,66.01,,G\nI1,skirt,,,,,66.01,,G\n", NULL,
         NULL, false,
         "E1/cylinder reuse: within 1, no_condition\n"
         "E1/piston do_not_reuse: skirt_clearance=beyond, by_pairs, tight skirt_clearance, "
         "no_condition\n"
         "assembly do_not_reuse: skirt_clearance=beyond, within 1, unlimited skirt, tight "
         "skirt_clearance, "
         "no_condition\n"},
    };
    TRY(cases);
}

/* A part without a limit of its own is judged by its pairs, one without either not at all. */
static void parts_by_their_own_by_pairs_or_not_at_all(void **state)
{
    (void)state;
    const verdict_case cases[] = {
        {__LINE__, LIMITS CLEARANCE, READINGS GOOD, NULL, NULL, false,
         "E1/cylinder reuse: by_pairs, within 1, no_condition\n"
         "E1/piston reuse: by_pairs, within 1, no_condition\n"
         "assembly reuse: within 1, unlimited bore, unlimited skirt, no_condition\n"},
        {__LINE__, LIMITS CLEARANCE, READINGS "I1,bore,,,,,66.2,,G\nI1,skirt,,,,,65.95,,G\n", NULL,
         NULL, false,
         "E1/cylinder do_not_reuse: skirt_clearance=beyond, by_pairs, no_condition\n"
         "E1/piston do_not_reuse: skirt_clearance=beyond, by_pairs, no_condition\n"
         "assembly do_not_reuse: skirt_clearance=beyond, unlimited bore, unlimited skirt, "
         "no_condition\n"},
        /* own limits, and a pair that is worse: the part goes by its own */
        {__LINE__, LIMITS SKIRT CLEARANCE, READINGS "I1,bore,,,,,66.2,,G\nI1,skirt,,,,,65.95,,G\n",
         NULL, NULL, false,
         "E1/cylinder do_not_reuse: skirt_clearance=beyond, by_pairs, no_condition\n"
         "E1/piston reuse: within 1, no_condition\n"
         "assembly do_not_reuse: skirt_clearance=beyond, within 1, unlimited bore, no_condition\n"},
        /* a measured part of which nothing is judged holds the assembly back, and is named */
        {__LINE__, LIMITS BORE, READINGS "I1,bore,,,,,66.01,,G\nI1,pin,,,,,16,,G\n", NULL, NULL,
         false,
         "E1/cylinder reuse: within 1, no_condition\n"
         "E1/pin incomplete: nothing_judged, no_condition\n"
         "assembly incomplete: part E1/pin, within 1, unlimited pin, no_condition\n"},
        /* it is not named where the assembly is as bad by itself */
        {__LINE__, LIMITS BORE, READINGS "I1,bore,,,,,66.10,,G\nI1,pin,,,,,16,,G\n", NULL, NULL,
         false,
         "E1/cylinder measure_again: bore=undecided, no_condition\n"
         "E1/pin incomplete: nothing_judged, no_condition\n"
         "assembly measure_again: bore=undecided, unlimited pin, no_condition\n"},
        /* nothing has a limit */
        {__LINE__, LIMITS "M,bore,,mm,,,,66.1,no,invented\n", READINGS "I1,pin,,,,,16,,G\n", NULL,
         NULL, false,
         "E1/pin incomplete: nothing_judged, no_condition\n"
         "assembly incomplete: nothing_judged, no_condition\n"},
    };
    TRY(cases);
}

static void side_clearance_is_the_ring_sets_and_measures_the_piston(void **state)
{
    (void)state;
#define SIDE "M,side_clearance,,mm,,,,0.10,yes,invented\n"
    const verdict_case cases[] = {
        {__LINE__, LIMITS SIDE, READINGS "I1,side_clearance,,1,,,0.05,,G\n", NULL, NULL, false,
         "E1/piston reuse: by_pairs, within 1, tight side_clearance[1], no_condition\n"
         "E1/ring_set reuse: within 1, tight side_clearance[1], no_condition\n"
         "assembly reuse: within 1, tight side_clearance[1], no_condition\n"},
        /* the piston by its own limit then, without the ring's gap beside it */
        {__LINE__, LIMITS SIDE SKIRT,
         READINGS "I1,side_clearance,,1,,,0.15,,G\nI1,skirt,,,,,65.95,,G\n", NULL, NULL, false,
         "E1/piston reuse: within 1, no_condition\n"
         "E1/ring_set do_not_reuse: side_clearance[1]=beyond, tight side_clearance[1], "
         "no_condition\n"
         "assembly do_not_reuse: side_clearance[1]=beyond, within 1, tight side_clearance[1], "
         "no_condition\n"},
        /* it makes a required skirt missing: the piston is measured */
        {__LINE__, LIMITS SIDE SKIRT, READINGS "I1,side_clearance,,1,,,0.05,,G\n", NULL, NULL,
         false,
         "E1/piston incomplete: skirt=missing, no_condition\n"
         "E1/ring_set reuse: within 1, tight side_clearance[1], no_condition\n"
         "assembly incomplete: skirt=missing, within 1, tight side_clearance[1], no_condition\n"},
    };
    TRY(cases);
}

/* Too tight is not judged where a clearance or gap has neither an as-new nor a service minimum. */
static void too_tight_is_said_not_to_be_judged(void **state)
{
    (void)state;
#define UPPER_ONLY "M,skirt_clearance,,mm,,,,0.16,yes,invented\n"
#define NEW_MIN    "M,skirt_clearance,,mm,0.03,,,0.16,yes,invented\n"
    const verdict_case cases[] = {
        {__LINE__, LIMITS BORE UPPER_ONLY, READINGS GOOD, NULL, NULL, false,
         "E1/cylinder reuse: within 1, no_condition\n"
         "E1/piston reuse: by_pairs, within 1, tight skirt_clearance, no_condition\n"
         "assembly reuse: within 2, unlimited skirt, tight skirt_clearance, no_condition\n"},
        /* of a gap that is missing nothing was judged at all */
        {__LINE__, LIMITS "M,end_gap,,mm,,,,0.60,yes,invented\n",
         READINGS "I1,end_gap,,1,,,0.30,,G\n", NULL, PLAN "M,end_gap,2,,\n", false,
         "E1/ring_set incomplete: end_gap[2]=missing, within 1, tight end_gap[1], no_condition\n"
         "assembly incomplete: end_gap[2]=missing, within 1, tight end_gap[1], no_condition\n"},
        {__LINE__, LIMITS BORE NEW_MIN, READINGS GOOD, NULL, NULL, false,
         "E1/cylinder reuse: within 1, no_condition\n"
         "E1/piston reuse: by_pairs, within 1, no_condition\n"
         "assembly reuse: within 2, unlimited skirt, no_condition\n"},
    };
    TRY(cases);
}

/* ---- what is missing --------------------------------------------------------------------- */

static void required_and_not_computed_is_missing(void **state)
{
    (void)state;
#define ROUND         "M,out_of_round,,mm,,,,0.05,yes,invented\n"
#define ROUND_FREE    "M,out_of_round,,mm,,,,0.05,no,invented\n"
#define PIN           "M,pin,,mm,,,15.98,,yes,invented\n"
#define PIN_FREE      "M,pin,,mm,,,15.98,,no,invented\n"
#define PIN_CLEARANCE "M,pin_clearance,,mm,,,0.001,0.03,yes,invented\n"
    const verdict_case cases[] = {
        {__LINE__, FIT ROUND, READINGS GOOD, NULL, NULL, false,
         "E1/cylinder incomplete: out_of_round=missing, within 1, no_condition\n"
         "E1/piston reuse: within 1, no_condition\n"
         "assembly incomplete: out_of_round=missing, within 3, no_condition\n"},
        {__LINE__, FIT ROUND_FREE, READINGS GOOD, NULL, NULL, false,
         "E1/cylinder reuse: within 1, no_condition\n"
         "E1/piston reuse: within 1, no_condition\n"
         "assembly reuse: within 3, no_condition\n"},
        /* a kind with required limits and no reading, named once */
        {__LINE__, FIT PIN PIN_CLEARANCE, READINGS GOOD, NULL, NULL, false,
         "E1/cylinder reuse: within 1, no_condition\n"
         "E1/piston reuse: within 1, no_condition\n"
         "assembly incomplete: unmeasured pin, within 3, no_condition\n"},
        {__LINE__, FIT PIN_FREE, READINGS GOOD, NULL, NULL, false,
         "E1/cylinder reuse: within 1, no_condition\n"
         "E1/piston reuse: within 1, no_condition\n"
         "assembly reuse: within 3, no_condition\n"},
        /* both parts of the pair read, but not its second feature */
        {__LINE__, FIT PIN_CLEARANCE, READINGS GOOD "I1,pin,,,,,16,,G\n", NULL, NULL, false,
         "E1/cylinder reuse: within 1, no_condition\n"
         "E1/piston reuse: within 1, no_condition\n"
         "E1/pin incomplete: pin_clearance=missing, by_pairs, no_condition\n"
         "assembly incomplete: pin_clearance=missing, within 3, unlimited pin, no_condition\n"},
        /* no reading at all */
        {__LINE__, FIT, READINGS "I2,bore,,,,,66.01,,G\n", NULL, NULL, false,
         "assembly incomplete: unmeasured cylinder, unmeasured piston, nothing_judged, "
         "no_condition\n"},
    };
    TRY(cases);
}

/* A blank-item limit expects the items that limits, plan or readings of its family name. */
static void items_of_a_family_are_expected(void **state)
{
    (void)state;
#define GAP       "M,end_gap,,mm,,,0.20,0.60,yes,invented\n"
#define GAP_2     "M,end_gap,2,mm,,,0.20,0.60,no,invented\n"
#define SIDE_FREE "M,side_clearance,,mm,,,0.01,0.10,no,invented\n"
#define BOSS      "M,pin_bore,,mm,,,15.90,16.10,yes,invented\n"
    const verdict_case cases[] = {
        {__LINE__, LIMITS GAP, READINGS "I1,end_gap,,1,,,0.30,,G\n", NULL, NULL, false,
         "E1/ring_set reuse: within 1, no_condition\n"
         "assembly reuse: within 1, no_condition\n"},
        /* a reading of another quantity of the family names ring 2 */
        {__LINE__, LIMITS GAP SIDE_FREE,
         READINGS "I1,end_gap,,1,,,0.30,,G\nI1,side_clearance,,2,,,0.05,,G\n", NULL, NULL, false,
         "E1/piston reuse: by_pairs, within 1, no_condition\n"
         "E1/ring_set incomplete: end_gap[2]=missing, within 2, no_condition\n"
         "assembly incomplete: end_gap[2]=missing, within 2, no_condition\n"},
        /* the plan names it */
        {__LINE__, LIMITS GAP, READINGS "I1,end_gap,,1,,,0.30,,G\n", NULL, PLAN "M,end_gap,2,,\n",
         false,
         "E1/ring_set incomplete: end_gap[2]=missing, within 1, no_condition\n"
         "assembly incomplete: end_gap[2]=missing, within 1, no_condition\n"},
        /* a limit of the family names it, for another quantity */
        {__LINE__, LIMITS GAP "M,side_clearance,2,mm,,,0.01,0.10,no,invented\n",
         READINGS "I1,end_gap,,1,,,0.30,,G\n", NULL, NULL, false,
         "E1/ring_set incomplete: end_gap[2]=missing, within 1, no_condition\n"
         "assembly incomplete: end_gap[2]=missing, within 1, no_condition\n"},
        /* ring 2 has a row of its own, which does not require it */
        {__LINE__, LIMITS GAP GAP_2, READINGS "I1,end_gap,,1,,,0.30,,G\n", NULL, NULL, false,
         "E1/ring_set reuse: within 1, no_condition\n"
         "assembly reuse: within 1, no_condition\n"},
        /* no item is named anywhere: one is expected */
        {__LINE__, LIMITS GAP SIDE_FREE, READINGS "I1,side_clearance,,,,,0.05,,G\n", NULL, NULL,
         false,
         "E1/piston reuse: by_pairs, within 1, no_condition\n"
         "E1/ring_set incomplete: end_gap=missing, within 1, no_condition\n"
         "assembly incomplete: end_gap=missing, within 1, no_condition\n"},
        /* bosses are another family than rings */
        {__LINE__, LIMITS BOSS SIDE_FREE,
         READINGS "I1,pin_bore,,left,,,16,,G\nI1,side_clearance,,1,,,0.05,,G\n", NULL, NULL, false,
         "E1/piston reuse: within 1, no_condition\n"
         "E1/ring_set reuse: within 1, no_condition\n"
         "assembly reuse: within 2, no_condition\n"},
    };
    TRY(cases);
}

static void required_features_of_the_users_own(void **state)
{
    (void)state;
#define SQUISH    "M,squish,,mm,,,0.8,1.6,yes,invented\n"
#define SQUISH_AB "M,squish,a,mm,,,0.8,1.6,yes,invented\nM,squish,b,mm,,,0.8,1.6,yes,invented\n"
    const verdict_case cases[] = {
        {__LINE__, LIMITS BORE SQUISH, READINGS "I1,bore,,,,,66.01,,G\n", NULL, NULL, false,
         "E1/cylinder reuse: within 1, no_condition\n"
         "assembly incomplete: unmeasured squish, within 1, no_condition\n"},
        /* told once, though it has two rows */
        {__LINE__, LIMITS BORE SQUISH_AB, READINGS "I1,bore,,,,,66.01,,G\n", NULL, NULL, false,
         "E1/cylinder reuse: within 1, no_condition\n"
         "assembly incomplete: unmeasured squish, within 1, no_condition\n"},
        {__LINE__, LIMITS SQUISH, READINGS "I1,squish,,,,,1.2,,G\n", NULL, NULL, false,
         "E1/other reuse: within 1, no_condition\n"
         "assembly reuse: within 1, no_condition\n"},
        /* it belongs to the part that its reading names */
        {__LINE__, LIMITS SQUISH, READINGS "I1,squish,E1/head,,,,1.7,,G\n", NULL, NULL, false,
         "E1/head do_not_reuse: squish=beyond, no_condition\n"
         "assembly do_not_reuse: squish=beyond, no_condition\n"},
        /* ENGINE/other has another reading */
        {__LINE__, LIMITS SQUISH, READINGS "I1,flatness,,,,,0.02,,G\n", NULL, NULL, false,
         "E1/other incomplete: squish=missing, unlimited flatness, no_condition\n"
         "assembly incomplete: squish=missing, unlimited flatness, no_condition\n"},
        {__LINE__, LIMITS SQUISH_AB, READINGS "I1,squish,,a,,,1.2,,G\n", NULL, NULL, false,
         "E1/other incomplete: squish[b]=missing, within 1, no_condition\n"
         "assembly incomplete: squish[b]=missing, within 1, no_condition\n"},
    };
    TRY(cases);
}

/* A limit that is not required is asked for where readings at the planned places would give it: then a
 * value does not pass by not being measured. */
#define NOT_REQUIRED(quantity, item) LIMITS SKIRT "M," quantity "," item ",mm,,,,0.50,no,invented\n"
#define SKIRT_ALONE                  READINGS "I1,skirt,,,,,65.95,,G\n"
#define BORE_AT(height, direction)   "I1,bore,,," height "," direction ",66.01,,G\n"
#define PASSES                                  \
    "E1/piston reuse: within 1, no_condition\n" \
    "assembly reuse: within 1, no_condition\n"
#define PASSES_WITH_BORE                                                                       \
    "E1/cylinder incomplete: nothing_judged, no_condition\n"                                   \
    "E1/piston reuse: within 1, no_condition\n"                                                \
    "assembly incomplete: part E1/cylinder, within 1, unlimited bore, tight skirt_clearance, " \
    "no_condition\n"
#define LACKS(kind)                             \
    "E1/piston reuse: within 1, no_condition\n" \
    "assembly incomplete: unmeasured " kind ", within 1, no_condition\n"
#define LACKS_FORM(quantity)                                                       \
    "E1/cylinder incomplete: " quantity "=missing, unlimited bore, no_condition\n" \
    "E1/piston reuse: within 1, no_condition\n"                                    \
    "assembly incomplete: " quantity                                               \
    "=missing, within 1, unlimited bore, tight skirt_clearance, no_condition\n"
static const verdict_case planned[] = {
    /* not planned, not asked for */
    {__LINE__, NOT_REQUIRED("taper", ""), SKIRT_ALONE, NULL, NULL, false, PASSES},
    {__LINE__, NOT_REQUIRED("squish", ""), SKIRT_ALONE, NULL, PLAN "M,skirt,,,\n", false, PASSES},
    {__LINE__, NOT_REQUIRED("squish", ""), SKIRT_ALONE, NULL, PLAN "M,squish,,,\n", false,
     LACKS("squish")},
    /* two heights in a direction give a taper, two directions at a height do not */
    {__LINE__, NOT_REQUIRED("taper", ""), SKIRT_ALONE, NULL,
     PLAN "M,bore,,10,thrust\nM,bore,,10,pin\n", false, PASSES},
    {__LINE__, NOT_REQUIRED("taper", ""), SKIRT_ALONE, NULL,
     PLAN "M,bore,,10,thrust\nM,bore,,60,thrust\n", false, LACKS("cylinder")},
    {__LINE__, NOT_REQUIRED("taper", ""), SKIRT_ALONE BORE_AT("10", "thrust"), NULL,
     PLAN "M,bore,,10,thrust\nM,bore,,60,thrust\n", false, LACKS_FORM("taper")},
    {__LINE__, NOT_REQUIRED("taper", ""), SKIRT_ALONE BORE_AT("10", "thrust"), NULL,
     PLAN "M,bore,,10,thrust\nM,bore,,60,pin\n", false, PASSES_WITH_BORE},
    {__LINE__, NOT_REQUIRED("out_of_round", ""), SKIRT_ALONE BORE_AT("10", "thrust"), NULL,
     PLAN "M,bore,,10,thrust\nM,bore,,10,pin\n", false, LACKS_FORM("out_of_round")},
    {__LINE__, NOT_REQUIRED("out_of_round", ""), SKIRT_ALONE BORE_AT("10", "thrust"), NULL,
     PLAN "M,bore,,10,thrust\nM,bore,,60,pin\n", false, PASSES_WITH_BORE},
    {__LINE__, NOT_REQUIRED("taper_ends", ""), SKIRT_ALONE BORE_AT("10", ""), NULL,
     PLAN "M,bore,,10,\nM,bore,,60,\n", false, LACKS_FORM("taper_ends")},
    {__LINE__, NOT_REQUIRED("taper_ends", ""), SKIRT_ALONE BORE_AT("10", ""), NULL,
     PLAN "M,bore,,10,\nM,bore,,10,pin\n", false, PASSES_WITH_BORE},
    {__LINE__, NOT_REQUIRED("out_of_round_overall", ""), SKIRT_ALONE BORE_AT("10", "thrust"), NULL,
     PLAN "M,bore,,10,thrust\nM,bore,,60,pin\n", false, LACKS_FORM("out_of_round_overall")},
    {__LINE__, NOT_REQUIRED("out_of_round_overall", ""), SKIRT_ALONE BORE_AT("10", "thrust"), NULL,
     PLAN "M,bore,,10,thrust\nM,bore,,60,thrust\n", false, PASSES_WITH_BORE},
    /* whatever stands before them in the plan */
    {__LINE__, NOT_REQUIRED("taper", ""), SKIRT_ALONE, NULL,
     PLAN "M,skirt,,,\nM,bore,,10,thrust\nM,bore,,60,thrust\n", false, LACKS("cylinder")},
    /* heights and directions are one within 0.001 */
    {__LINE__, NOT_REQUIRED("out_of_round", ""), SKIRT_ALONE, NULL,
     PLAN "M,bore,,0,thrust\nM,bore,,0.001,pin\n", false, LACKS("cylinder")},
    {__LINE__, NOT_REQUIRED("out_of_round", ""), SKIRT_ALONE, NULL,
     PLAN "M,bore,,0,thrust\nM,bore,,0.0012,pin\n", false, PASSES},
    {__LINE__, NOT_REQUIRED("taper", ""), SKIRT_ALONE, NULL,
     PLAN "M,bore,,0,thrust\nM,bore,,0.001,thrust\n", false, PASSES},
    {__LINE__, NOT_REQUIRED("taper", ""), SKIRT_ALONE, NULL,
     PLAN "M,bore,,0,thrust\nM,bore,,0.0012,thrust\n", false, LACKS("cylinder")},
    /* out of round wants directions that are told */
    {__LINE__, NOT_REQUIRED("out_of_round", ""), SKIRT_ALONE, NULL,
     PLAN "M,bore,,10,\nM,bore,,10,pin\n", false, PASSES},
    {__LINE__, NOT_REQUIRED("skirt_clearance_thrust", ""), SKIRT_ALONE, NULL,
     PLAN "M,bore,,10,thrust\n", false, PASSES},
    /* a pair wants both of its features planned */
    {__LINE__, NOT_REQUIRED("skirt_clearance", ""), SKIRT_ALONE, NULL, PLAN "M,skirt,,,\n", false,
     PASSES},
    {__LINE__, NOT_REQUIRED("skirt_clearance", ""), SKIRT_ALONE, NULL,
     PLAN "M,skirt,,,\nM,bore,,,\n", false, LACKS("cylinder")},
    {__LINE__, NOT_REQUIRED("skirt_clearance_thrust", ""), SKIRT_ALONE, NULL,
     PLAN "M,skirt,,,\nM,bore,,10,pin\n", false, PASSES},
    {__LINE__, NOT_REQUIRED("skirt_clearance_thrust", ""), SKIRT_ALONE, NULL,
     PLAN "M,skirt,,,\nM,bore,,10,thrust\n", false, LACKS("cylinder")},
    /* a row without an item plans any */
    {__LINE__, NOT_REQUIRED("end_gap", "2"), SKIRT_ALONE, NULL, PLAN "M,end_gap,,,\n", false,
     LACKS("ring_set")},
    {__LINE__, NOT_REQUIRED("end_gap", "2"), SKIRT_ALONE, NULL, PLAN "M,end_gap,1,,\n", false,
     PASSES},
    /* items: those that the plan names */
    {__LINE__, NOT_REQUIRED("end_gap", ""), SKIRT_ALONE "I1,end_gap,,1,,,0.30,,G\n", NULL,
     PLAN "M,end_gap,1,,\nM,end_gap,2,,\n", false,
     "E1/piston reuse: within 1, no_condition\n"
     "E1/ring_set incomplete: end_gap[2]=missing, within 1, tight end_gap[1], no_condition\n"
     "assembly incomplete: end_gap[2]=missing, within 2, tight end_gap[1], no_condition\n"},
    {__LINE__, NOT_REQUIRED("end_gap", "2"), SKIRT_ALONE "I1,end_gap,,1,,,0.30,,G\n", NULL,
     PLAN "M,end_gap,1,,\n", false,
     "E1/piston reuse: within 1, no_condition\n"
     "E1/ring_set incomplete: nothing_judged, tight end_gap[1], no_condition\n"
     "assembly incomplete: part E1/ring_set, within 1, unlimited end_gap[1], no_condition\n"},
    {__LINE__, NOT_REQUIRED("end_gap", ""), SKIRT_ALONE "I1,end_gap,,1,,,0.30,,G\n", NULL,
     PLAN "M,end_gap,1,,\nM,side_clearance,2,,\n", false,
     "E1/piston reuse: within 1, no_condition\n"
     "E1/ring_set reuse: within 1, tight end_gap[1], no_condition\n"
     "assembly reuse: within 2, tight end_gap[1], no_condition\n"},
};

static void the_plan_asks_for_what_it_would_give(void **state)
{
    (void)state;
    TRY(planned);
}

/* What would pass on fewer places than the plan names is missing; what does not pass stays. */
static void the_plan_names_the_places(void **state)
{
    (void)state;
#define TWO       PLAN "M,bore,,10,thrust\nM,bore,,60,thrust\n"
#define ONE_PLACE PLAN "M,bore,,10,thrust\n"
#define GOOD_PARTS                                                                         \
    "E1/cylinder reuse: within 1, no_condition\nE1/piston reuse: within 1, no_condition\n" \
    "assembly reuse: within 3, no_condition\n"
#define NO_BORE                                            \
    "E1/cylinder incomplete: bore=missing, no_condition\n" \
    "E1/piston reuse: within 1, no_condition\n"            \
    "assembly incomplete: bore=missing, skirt_clearance=missing, within 1, no_condition\n"
    const verdict_case cases[] = {
        {__LINE__, FIT, READINGS GOOD, NULL, TWO, false, NO_BORE},
        {__LINE__, FIT, READINGS GOOD "I1,bore,,,60,thrust,66.01,,G\n", NULL, TWO, false,
         GOOD_PARTS},
        {__LINE__, FIT, READINGS "I1,bore,,,10,thrust,66.15,,G\nI1,skirt,,,,,65.95,,G\n", NULL, TWO,
         false,
         "E1/cylinder do_not_reuse: bore=beyond, no_condition\n"
         "E1/piston reuse: within 1, no_condition\n"
         "assembly do_not_reuse: bore=beyond, skirt_clearance=beyond, within 1, no_condition\n"},
        {__LINE__, FIT, READINGS "I1,bore,,,10,thrust,66.10,,G\nI1,skirt,,,,,65.95,,G\n", NULL, TWO,
         false,
         "E1/cylinder measure_again: bore=undecided, no_condition\n"
         "E1/piston reuse: within 1, no_condition\n"
         "assembly measure_again: bore=undecided, skirt_clearance=missing, within 1, "
         "no_condition\n"},
        /* not required makes no difference to a place that is missing */
        {__LINE__, LIMITS SKIRT "M,bore,,mm,,,,66.10,no,invented\n", READINGS GOOD, NULL, TWO,
         false,
         "E1/cylinder incomplete: bore=missing, no_condition\n"
         "E1/piston reuse: within 1, no_condition\n"
         "assembly incomplete: bore=missing, within 1, tight skirt_clearance, no_condition\n"},
        /* within 0.5 mm and 1 degree, no further; a direction repeats after half a turn */
        {__LINE__, FIT, READINGS "I1,bore,,,10.5,1,66.01,,G\nI1,skirt,,,,,65.95,,G\n", NULL,
         ONE_PLACE, false, GOOD_PARTS},
        {__LINE__, FIT, READINGS "I1,bore,,,9.5,179,66.01,,G\nI1,skirt,,,,,65.95,,G\n", NULL,
         ONE_PLACE, false, GOOD_PARTS},
        {__LINE__, FIT, READINGS "I1,bore,,,10.51,0,66.01,,G\nI1,skirt,,,,,65.95,,G\n", NULL,
         ONE_PLACE, false, NO_BORE},
        {__LINE__, FIT, READINGS "I1,bore,,,10,1.01,66.01,,G\nI1,skirt,,,,,65.95,,G\n", NULL,
         ONE_PLACE, false, NO_BORE},
        {__LINE__, FIT, READINGS "I1,bore,,,10,178.9,66.01,,G\nI1,skirt,,,,,65.95,,G\n", NULL,
         ONE_PLACE, false, NO_BORE},
        {__LINE__, FIT, READINGS "I1,bore,,,10,,66.01,,G\nI1,skirt,,,,,65.95,,G\n", NULL, ONE_PLACE,
         false, NO_BORE},
        {__LINE__, FIT, READINGS "I1,bore,,,,thrust,66.01,,G\nI1,skirt,,,,,65.95,,G\n", NULL,
         ONE_PLACE, false, NO_BORE},
        /* a plan that leaves the place open asks for any reading */
        {__LINE__, FIT, READINGS GOOD, NULL, PLAN "M,bore,,,\nM,skirt,,,\n", false, GOOD_PARTS},
        /* each boss needs its places, and its clearance the pin's as well */
        {__LINE__, LIMITS BOSS PIN PIN_CLEARANCE,
         READINGS "I1,pin_bore,,left,,,16.01,,G\nI1,pin_bore,,right,5,,16.01,,G\n"
                  "I1,pin,,,20,,16,,G\n",
         NULL, PLAN "M,pin_bore,right,25,\nM,pin,,20,\n", false,
         "E1/piston incomplete: pin_bore[right]=missing, within 1, no_condition\n"
         "E1/pin reuse: within 1, no_condition\n"
         "assembly incomplete: pin_bore[right]=missing, pin_clearance[right]=missing, within 3, "
         "no_condition\n"},
        {__LINE__, LIMITS BOSS PIN PIN_CLEARANCE,
         READINGS "I1,pin_bore,,left,,,16.01,,G\nI1,pin,,,10,,16,,G\n", NULL, PLAN "M,pin,,20,\n",
         false,
         "E1/piston reuse: within 1, no_condition\n"
         "E1/pin incomplete: pin=missing, no_condition\n"
         "assembly incomplete: pin=missing, pin_clearance[left]=missing, within 1, "
         "no_condition\n"},
        /* a place without an item is asked of every boss, and by its own reading */
        {__LINE__, LIMITS BOSS,
         READINGS "I1,pin_bore,,left,25,,16.01,,G\n"
                  "I1,pin_bore,,right,5,,16.01,,G\n",
         NULL, PLAN "M,pin_bore,,25,\n", false,
         "E1/piston incomplete: pin_bore[right]=missing, within 1, no_condition\n"
         "assembly incomplete: pin_bore[right]=missing, within 1, no_condition\n"},
        /* features of the user's own have places too */
        {__LINE__, LIMITS SQUISH, READINGS "I1,squish,,,,thrust,1.2,,G\n", NULL,
         PLAN "M,squish,,,thrust\nM,squish,,,pin\n", false,
         "E1/other incomplete: squish=missing, no_condition\n"
         "assembly incomplete: squish=missing, no_condition\n"},
    };
    TRY(cases);
}

/* The count of places without a reading and the first of them, by its row of the plan. */
static void missing_places_are_counted(void **state)
{
    (void)state;
    const verdict_case c = {__LINE__,
                            FIT,
                            READINGS GOOD,
                            NULL,
                            PLAN
                            "M,bore,,10,thrust\nM,bore,,30,thrust\nM,bore,,60,pin\nM,skirt,,,pin\n",
                            false,
                            NULL};
    te_made_shop made;
    te_assessment a = {0};
    read_case(&made, &c);
    assert_int_equal(te_assess(&a, made.shop, 0, false), TE_OK);
    assert_int_equal(a.finding_count, 3);
    const uint32_t missing[] = {2, 1, 3}, first[] = {1, 3, 1};
    for (size_t i = 0; i < 3; i++) {
        assert_int_equal(a.findings[i].outcome, TE_MISSING);
        assert_true(a.findings[i].computed);
        assert_int_equal(a.findings[i].places_missing, missing[i]);
        assert_int_equal(a.findings[i].place_missing, first[i]);
    }
    /* what it would be, were the places read */
    assert_int_equal(a.findings[0].judgement.outcome, TE_AS_NEW);
    te_assessment_free(&a);
    te_made_free(&made);
}

/* ---- conditions and damage --------------------------------------------------------------- */

static void conditions_count_for_their_part(void **state)
{
    (void)state;
    const verdict_case cases[] = {
        {__LINE__, FIT, READINGS GOOD, CONDITION "I1,cylinder,scored,reject\n", NULL, false,
         "E1/cylinder do_not_reuse: condition scored, within 1\n"
         "E1/piston reuse: within 1, no_condition\n"
         "assembly do_not_reuse: condition scored, within 3\n"},
        /* by the part's own name */
        {__LINE__, FIT, READINGS GOOD, CONDITION "I1,E1/piston,scuffed,watch\n", NULL, false,
         "E1/cylinder reuse: within 1, no_condition\n"
         "E1/piston reuse: within 1, condition scuffed\n"
         "assembly reuse: within 3, condition scuffed\n"},
        {__LINE__, FIT, READINGS GOOD, CONDITION "I1,piston,light carbon,note\n", NULL, false,
         "E1/cylinder reuse: within 1, no_condition\n"
         "E1/piston reuse: within 1\n"
         "assembly reuse: within 3\n"},
        /* a reject before the findings, a watch after them */
        {__LINE__, FIT, READINGS "I1,bore,,,,,66.10,,G\nI1,skirt,,,,,65.95,,G\n",
         CONDITION "I1,cylinder,dull,watch\nI1,cylinder,scored,reject\n"
                   "I1,cylinder,flaking,reject\n",
         NULL, false,
         "E1/cylinder do_not_reuse: condition scored, condition flaking, bore=undecided, "
         "condition dull\n"
         "E1/piston reuse: within 1, no_condition\n"
         "assembly do_not_reuse: condition scored, condition flaking, bore=undecided, within 2, "
         "condition dull\n"},
        /* a part without a reading: its own verdict, and no weight but a reject's */
        {__LINE__, FIT, READINGS GOOD, CONDITION "I1,head,sooty,watch\n", NULL, false,
         "E1/cylinder reuse: within 1, no_condition\n"
         "E1/piston reuse: within 1, no_condition\n"
         "E1/head* incomplete: nothing_judged, condition sooty\n"
         "assembly reuse: within 3, condition sooty\n"},
        {__LINE__, FIT, READINGS GOOD, CONDITION "I1,head,cracked,reject\n", NULL, false,
         "E1/cylinder reuse: within 1, no_condition\n"
         "E1/piston reuse: within 1, no_condition\n"
         "E1/head* do_not_reuse: condition cracked, nothing_judged\n"
         "assembly do_not_reuse: condition cracked, within 3\n"},
        /* no reading at all, but a reject */
        {__LINE__, LIMITS BORE, READINGS "I2,bore,,,,,66.01,,G\n", CONDITION "I1,rod,bent,reject\n",
         NULL, false,
         "E1/rod* do_not_reuse: condition bent, nothing_judged\n"
         "assembly do_not_reuse: condition bent, unmeasured cylinder, nothing_judged\n"},
    };
    TRY(cases);
}

/* Two parts of kind other: what is read on one says nothing of the other, in limits, leaves, plan and findings. */
static void features_of_ones_own_belong_to_one_part(void **state)
{
    (void)state;
#define HEADS "part,kind,engine,fitted_hours,removed_hours\nV,other,E1,0,\nW,other,E1,0,\n"
    static const struct {
        const char *name, *limits, *readings, *plan, *condition, *expected;
    } cases[] = {
        {"values", SQUISH, "I1,squish,V,,,,1.2,,G\nI1,squish,W,,,,1.7,,G\n", "", "",
         "V reuse: within 1, no_condition\n"
         "W do_not_reuse: squish=beyond, no_condition\n"
         "assembly do_not_reuse: squish=beyond, within 1, no_condition\n"},
        {"conditions", SQUISH, "I1,squish,V,,,,1.2,,G\nI1,squish,W,,,,1.3,,G\n", "",
         "I1,W,cracked,reject\n",
         "V reuse: within 1, no_condition\n"
         "W do_not_reuse: condition cracked, within 1\n"
         "assembly do_not_reuse: condition cracked, within 2\n"},
        {"places of the plan", SQUISH,
         "I1,squish,V,a,10,,1.2,,G\nI1,squish,V,a,20,,1.2,,G\nI1,squish,W,a,10,,1.2,,G\n"
         "I1,squish,W,b,10,,1.2,,G\n",
         "M,squish,a,10,\nM,squish,a,20,\n", "",
         "V incomplete: squish[b]=missing, within 1, no_condition\n"
         "W incomplete: squish[a]=missing, within 1, no_condition\n"
         "assembly incomplete: squish[a]=missing, squish[b]=missing, within 2, no_condition\n"},
        {"items of the plan", SQUISH, "I1,squish,V,a,10,,1.2,,G\nI1,squish,V,b,20,,1.2,,G\n",
         "M,squish,a,10,\nM,squish,b,10,\n", "",
         "V incomplete: squish[b]=missing, within 1, no_condition\n"
         "assembly incomplete: squish[b]=missing, within 1, no_condition\n"},
        {"items of the limits", SQUISH_AB,
         "I1,squish,V,a,,,1.2,,G\nI1,squish,V,b,,,1.2,,G\nI1,squish,W,b,,,1.2,,G\n", "", "",
         "V reuse: within 2, no_condition\n"
         "W incomplete: squish[a]=missing, within 1, no_condition\n"
         "assembly incomplete: squish[a]=missing, within 3, no_condition\n"},
        {"a plan without an item", SQUISH,
         "I1,squish,V,a,10,,1.2,,G\nI1,squish,V,a,20,,1.2,,G\nI1,squish,V,b,10,,1.2,,G\n",
         "M,squish,,10,\nM,squish,,20,\n", "",
         "V incomplete: squish[b]=missing, within 1, no_condition\n"
         "assembly incomplete: squish[b]=missing, within 1, no_condition\n"},
        {"a part of a known kind", SQUISH_AB, "I1,squish,E1/piston,b,,,1.2,,G\n", "", "",
         "E1/piston incomplete: squish[a]=missing, within 1, no_condition\n"
         "assembly incomplete: squish[a]=missing, within 1, no_condition\n"},
        {"another feature on each", SQUISH "M,lift,,mm,,,,0.5,yes,invented\n",
         "I1,squish,V,,,,1.2,,G\nI1,lift,W,,,,0.2,,G\n", "", "",
         "V reuse: within 1, no_condition\n"
         "W reuse: within 1, no_condition\n"
         "assembly reuse: within 2, no_condition\n"},
    };
    te_assessment a = {0};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        te_made_shop made;
        te_grown texts[4] = {{0}};
        te_grown_add(&texts[0], "%s%s", LIMITS, cases[i].limits);
        te_grown_add(&texts[1], "%s%s", READINGS, cases[i].readings);
        te_grown_add(&texts[2], "%s%s", PLAN, cases[i].plan);
        te_grown_add(&texts[3], "%s%s", CONDITION, cases[i].condition);
        te_shop_file changes[6] = {{"limits.csv", texts[0].text},
                                   {"readings.csv", texts[1].text},
                                   {"plan.csv", texts[2].text},
                                   {"condition.csv", texts[3].text},
                                   {"parts.csv", HEADS}};
        te_made_read(&made, base, changes);
        expect_verdicts(&a, &made, 0, false, cases[i].name, cases[i].expected);
        for (size_t t = 0; t < 4; t++)
            te_grown_free(&texts[t]);
    }
    te_assessment_free(&a);
}

/* By its leaves each part's own: W's gap reaches past the limit, V's does not. */
static void leaves_belong_to_one_part(void **state)
{
    (void)state;
    const te_shop_file changes[] = {
        {"limits.csv", "model,quantity,unit,service_max,source\nM,squish,mm,1.3,invented\n"},
        {"instruments.csv", "instrument\n"},
        {"parts.csv", HEADS},
        {"readings.csv",
         "inspection,feature,part,reading,no_go\nI1,squish,V,1.0,1.2\nI1,squish,W,1.0,1.5\n"},
        {NULL, NULL}};
    te_made_shop made;
    te_assessment a = {0};
    te_made_read(&made, base, changes);
    assert_int_equal(te_assess(&a, made.shop, 0, false), TE_OK);
    assert_int_equal(a.finding_count, 2);
    assert_int_equal(a.findings[0].outcome, TE_SERVICEABLE);
    assert_near(a.findings[0].interval.high_most, 1.2, 1e-12);
    assert_int_equal(a.findings[1].outcome, TE_UNDECIDED);
    assert_near(a.findings[1].interval.high_most, 1.5, 1e-12);
    te_assessment_free(&a);
    te_made_free(&made);
}

/* Of one part all its readings: the leaf that did not enter, 0.55, is past 0.53, though the larger value is not. */
static void leaves_of_every_reading_of_ones_own(void **state)
{
    (void)state;
    const te_shop_file changes[] = {
        {"limits.csv", "model,quantity,unit,service_max,source\nM,squish,mm,0.53,invented\n"},
        {"instruments.csv", "instrument\n"},
        {"parts.csv", HEADS},
        {"readings.csv",
         "inspection,feature,part,position,reading,no_go\nI1,squish,V,10,0.45,0.55\n"
         "I1,squish,V,20,0.52,\nI1,squish,W,10,0.1,0.9\n"},
        {NULL, NULL}};
    te_made_shop made;
    te_assessment a = {0};
    te_made_read(&made, base, changes);
    assert_int_equal(te_assess(&a, made.shop, 0, false), TE_OK);
    assert_int_equal(a.finding_count, 2);
    assert_int_equal(a.findings[0].outcome, TE_UNDECIDED);
    assert_near(a.findings[0].interval.high_most, 0.55, 1e-12);
    te_assessment_free(&a);
    te_made_free(&made);
}

/* A condition of a part that is not known is an error of its engine; judged all the same, it counts for nothing. */
static void a_condition_of_no_part_counts_for_nothing(void **state)
{
    (void)state;
    static const te_input inputs[] = {
#define TEXT(name, text) {name, text, sizeof(text) - 1}
        TEXT("engines.csv", "engine,model\nE1,M\n"),
        TEXT("limits.csv", LIMITS BORE),
        TEXT("inspections.csv",
             "inspection,engine,date,hours,temperature\nI1,E1,2026-04-18,100,20\n"
             "I2,E1,2026-05-18,110,20\n"),
        TEXT("readings.csv", "inspection,feature,reading\nI2,bore,66.01\n"),
        TEXT("condition.csv", CONDITION "I1,nobody,cracked,reject\n"),
#undef TEXT
    };
    te_shop *shop = NULL;
    te_problems problems;
    te_assessment a = {0};
    te_problems_init(&problems);
    assert_int_equal(te_shop_read(&shop, &problems, inputs, 5, TE_FILE_EVERY), TE_ERR_DATA);
    assert_int_equal(te_assess(&a, shop, 1, true), TE_OK);
    assert_int_equal(te_assessment_assembly(&a)->verdict, TE_INCOMPLETE);
    te_assessment_free(&a);
    te_shop_free(shop);
    te_problems_free(&problems);
}

/* Heights within 0.5 mm are one, that too. */
static void half_a_millimetre_is_the_planned_height(void **state)
{
    (void)state;
    const verdict_case cases[] = {
        {__LINE__, LIMITS BORE, READINGS "I1,bore,,,10.5,,66.01,,G\n", NULL, PLAN "M,bore,,10,\n",
         false,
         "E1/cylinder reuse: within 1, no_condition\n"
         "assembly reuse: within 1, no_condition\n"},
        {__LINE__, LIMITS BORE, READINGS "I1,bore,,,10.51,,66.01,,G\n", NULL, PLAN "M,bore,,10,\n",
         false,
         "E1/cylinder incomplete: bore=missing, no_condition\n"
         "assembly incomplete: bore=missing, no_condition\n"},
    };
    TRY(cases);
}

/* Which kinds lack readings: either of a pair. Limits without any reading are told all the same. */
static void kinds_without_readings_are_named(void **state)
{
    (void)state;
    const verdict_case cases[] = {
        {__LINE__, LIMITS CLEARANCE, READINGS "I1,bore,,,,,66.01,,G\n", NULL, NULL, false,
         "E1/cylinder incomplete: nothing_judged, no_condition\n"
         "assembly incomplete: unmeasured piston, nothing_judged, no_condition\n"},
        {__LINE__, LIMITS CLEARANCE, READINGS "I1,skirt,,,,,65.95,,G\n", NULL, NULL, false,
         "E1/piston incomplete: nothing_judged, no_condition\n"
         "assembly incomplete: unmeasured cylinder, nothing_judged, no_condition\n"},
        {__LINE__, FIT, READINGS "I2,bore,,,,,66.01,,G\n", NULL, NULL, false,
         "assembly incomplete: unmeasured cylinder, unmeasured piston, nothing_judged, "
         "no_condition\n"},
        /* the rows of an own feature stand first, and are told once */
        {__LINE__, LIMITS SQUISH_AB BORE, READINGS "I1,bore,,,,,66.01,,G\n", NULL, NULL, false,
         "E1/cylinder reuse: within 1, no_condition\n"
         "assembly incomplete: unmeasured squish, within 1, no_condition\n"},
        /* what is missing stands before what was computed */
        {__LINE__, LIMITS SKIRT "M,pin_bore,,mm,16,16.01,,16.05,yes,invented\n",
         READINGS "I1,pin_bore,,left,,,16.005,,G\n", NULL, NULL, false,
         "E1/piston incomplete: skirt=missing, within 1, no_condition\n"
         "assembly incomplete: skirt=missing, within 1, no_condition\n"},
        /* an item that the first limit of all names, for its family */
        {__LINE__,
         LIMITS
         "M,side_clearance,3,mm,,,,0.2,yes,invented\nM,end_gap,,mm,0.1,0.4,,0.8,yes,invented\n",
         READINGS "I1,end_gap,,1,,,0.30,,G\n", NULL, NULL, false,
         "E1/ring_set incomplete: end_gap[3]=missing, within 1, no_condition\n"
         "assembly incomplete: end_gap[3]=missing, unmeasured piston, within 1, no_condition\n"},
    };
    TRY(cases);
}

/* An assessment tells of its own inspection, not of what a longer one left in its memory. */
static void what_was_read_is_found(void **state)
{
    (void)state;
    const te_shop_file changes[] = {
        {"limits.csv", FIT},
        {"readings.csv",
         READINGS "I1,bore,,,,,66.01,,G\nI1,skirt,,,,,65.95,,G\nI1,squish,,,,,1.2,,G\n"
                  "I2,bore,,,,,66.01,,G\n"},
        {NULL, NULL}};
    te_made_shop made;
    te_assessment a = {0};
    te_made_read(&made, base, changes);
    assert_int_equal(te_assess(&a, made.shop, 0, false), TE_OK);
    assert_true(te_assessment_reads(&a, TE_Q_BORE));
    assert_true(te_assessment_reads(&a, TE_Q_SKIRT));
    assert_true(te_assessment_reads(&a, TE_Q_OWN));
    assert_false(te_assessment_reads(&a, TE_Q_PIN));
    assert_non_null(te_assessment_finding(&a, TE_Q_OWN));
    assert_null(te_assessment_finding(&a, TE_Q_PIN));
    assert_int_equal(te_assessment_part(&a, TE_KIND_PISTON)->kind, TE_KIND_PISTON);
    assert_null(te_assessment_part(&a, TE_KIND_RING_SET));
    assert_int_equal(te_assess(&a, made.shop, 1, false), TE_OK);
    look_at(&a);
    assert_true(te_assessment_reads(&a, TE_Q_BORE));
    assert_false(te_assessment_reads(&a, TE_Q_SKIRT));
    assert_false(te_assessment_reads(&a, TE_Q_OWN));
    assert_null(te_assessment_finding(&a, TE_Q_SKIRT));
    assert_null(te_assessment_finding(&a, TE_Q_OWN));
    assert_null(te_assessment_part(&a, TE_KIND_PISTON));
    te_assessment_free(&a);
    const te_assessment nothing = {0};
    assert_memory_equal(&a, &nothing, sizeof a);
    te_made_free(&made);
}

/* What an earlier inspection rejected stands until the part comes off. */
#define SECOND "I2,bore,,,10,thrust,66.01,,G\nI2,skirt,,,,,65.95,,G\n"
static const struct reject_case {
    const char *name, *parts, *condition, *expected;
} rejects[] = {
    {"original parts", "part,kind,engine,fitted_hours,removed_hours\n", "I1,piston,crack,reject\n",
     "E1/cylinder reuse: within 1, no_condition\n"
     "E1/piston do_not_reuse: condition crack, within 1, no_condition\n"
     "assembly do_not_reuse: condition crack, within 3, no_condition\n"},
    {"a watch is of its day", "part,kind,engine,fitted_hours,removed_hours\n",
     "I1,piston,scuffed,watch\n",
     "E1/cylinder reuse: within 1, no_condition\n"
     "E1/piston reuse: within 1, no_condition\n"
     "assembly reuse: within 3, no_condition\n"},
    {"seen later", "part,kind,engine,fitted_hours,removed_hours\n", "I3,piston,crack,reject\n",
     "E1/cylinder reuse: within 1, no_condition\n"
     "E1/piston reuse: within 1, no_condition\n"
     "assembly reuse: within 3, no_condition\n"},
    {"changed since",
     "part,kind,engine,fitted_hours,removed_hours\nP1,piston,E1,0,105\nP2,piston,E1,105,\n",
     "I1,P1,crack,reject\n",
     "E1/cylinder reuse: within 1, no_condition\n"
     "P2 reuse: within 1, no_condition\n"
     "assembly reuse: within 3, no_condition\n"},
    {"off and on again since",
     "part,kind,engine,fitted_hours,removed_hours,hours_before\nP1,piston,E1,0,105,\n"
     "P2,piston,E1,105,106,\nP1,piston,E1,106,,105\n",
     "I1,P1,crack,reject\n",
     "E1/cylinder reuse: within 1, no_condition\n"
     "P1 reuse: within 1, no_condition\n"
     "assembly reuse: within 3, no_condition\n"},
    {"off and on at the same hours",
     "part,kind,engine,fitted_hours,removed_hours\nP1,piston,E1,0,105\n"
     "P1,piston,E1,105,\n",
     "I1,P1,crack,reject\n",
     "E1/cylinder reuse: within 1, no_condition\n"
     "P1 do_not_reuse: condition crack, within 1, no_condition\n"
     "assembly do_not_reuse: condition crack, within 3, no_condition\n"},
    {"bored since",
     "part,kind,engine,fitted_hours,removed_hours,oversize\nC,cylinder,E1,0,105,\n"
     "C,cylinder,E1,105,,0.01\n",
     "I1,C,cracked liner,reject\n",
     "C do_not_reuse: condition cracked liner, within 1, no_condition\n"
     "E1/piston reuse: within 1, no_condition\n"
     "assembly do_not_reuse: condition cracked liner, within 3, no_condition\n"},
    {"of a part that was not measured since", "part,kind,engine,fitted_hours,removed_hours\n",
     "I1,rod,bent,reject\n",
     "E1/cylinder reuse: within 1, no_condition\n"
     "E1/piston reuse: within 1, no_condition\n"
     "E1/rod* do_not_reuse: condition bent, nothing_judged, no_condition\n"
     "assembly do_not_reuse: condition bent, within 3, no_condition\n"},
    {"of kind other", "part,kind,engine,fitted_hours,removed_hours\nV,other,E1,0,\n",
     "I1,V,worn,reject\n",
     "E1/cylinder reuse: within 1, no_condition\n"
     "E1/piston reuse: within 1, no_condition\n"
     "V* do_not_reuse: condition worn, nothing_judged, no_condition\n"
     "assembly do_not_reuse: condition worn, within 3, no_condition\n"},
    {"the second row of the first inspection", "part,kind,engine,fitted_hours,removed_hours\n",
     "I1,cylinder,clean,note\nI0,cylinder,clean,note\nI0,piston,crack,reject\n",
     "E1/cylinder reuse: within 1, no_condition\n"
     "E1/piston do_not_reuse: condition crack, within 1, no_condition\n"
     "assembly do_not_reuse: condition crack, within 3, no_condition\n"},
    {"the inspection in between", "part,kind,engine,fitted_hours,removed_hours\n",
     "I0,cylinder,clean,note\nI1,cylinder,clean,note\nI1,piston,crack,reject\n",
     "E1/cylinder reuse: within 1, no_condition\n"
     "E1/piston do_not_reuse: condition crack, within 1, no_condition\n"
     "assembly do_not_reuse: condition crack, within 3, no_condition\n"},
    {"several parts that were not measured", "part,kind,engine,fitted_hours,removed_hours\n",
     "I2,rod,straight,note\nI2,pin,blue,note\nI2,pin,pitted,note\n",
     "E1/cylinder reuse: within 1, no_condition\n"
     "E1/piston reuse: within 1, no_condition\n"
     "E1/pin* incomplete: nothing_judged\n"
     "E1/rod* incomplete: nothing_judged\n"
     "assembly reuse: within 3\n"},
    {"of kind other, off since", "part,kind,engine,fitted_hours,removed_hours\nV,other,E1,0,105\n",
     "I1,V,worn,reject\n",
     "E1/cylinder reuse: within 1, no_condition\n"
     "E1/piston reuse: within 1, no_condition\n"
     "assembly reuse: within 3, no_condition\n"},
    {"and what is seen now beside it", "part,kind,engine,fitted_hours,removed_hours\n",
     "I1,piston,crack,reject\nI2,piston,crack seen again,reject\nI2,piston,clean,note\n",
     "E1/cylinder reuse: within 1, no_condition\n"
     "E1/piston do_not_reuse: condition crack seen again, condition crack, within 1\n"
     "assembly do_not_reuse: condition crack seen again, condition crack, within 3\n"},
};

static void a_reject_stands_until_the_part_comes_off(void **state)
{
    (void)state;
    static const te_shop_file later = {
        "inspections.csv",
        "inspection,engine,date,hours,temperature\nI1,E1,2026-04-18,100,20\n"
        "I2,E1,2026-05-18,110,20\nI3,E1,2026-06-18,120,20\nI0,E1,2026-03-18,90,20\n"};
    te_assessment a = {0};
    for (size_t i = 0; i < sizeof rejects / sizeof *rejects; i++) {
        te_made_shop made;
        te_grown condition = {0};
        te_grown_add(&condition, "%s%s", CONDITION, rejects[i].condition);
        te_shop_file changes[6] = {{"limits.csv", FIT},
                                   {"readings.csv", READINGS SECOND},
                                   {"parts.csv", rejects[i].parts},
                                   {"condition.csv", condition.text},
                                   later};
        te_made_read(&made, base, changes);
        expect_verdicts(&a, &made, 1, false, rejects[i].name, rejects[i].expected);
        te_grown_free(&condition);
    }
    te_assessment_free(&a);
}

static void damage_leaves_nothing_better_than_incomplete(void **state)
{
    (void)state;
    const verdict_case cases[] = {
        {__LINE__, FIT, READINGS GOOD, NULL, NULL, true,
         "E1/cylinder incomplete: damaged, within 1, no_condition\n"
         "E1/piston incomplete: damaged, within 1, no_condition\n"
         "assembly incomplete: part E1/cylinder, part E1/piston, damaged, within 3, "
         "no_condition\n"},
        {__LINE__, FIT, READINGS "I1,bore,,,,,66.15,,G\nI1,skirt,,,,,65.90,,G\n", NULL, NULL, true,
         "E1/cylinder do_not_reuse: bore=beyond, damaged, no_condition\n"
         "E1/piston measure_again: skirt=undecided, damaged, no_condition\n"
         "assembly do_not_reuse: bore=beyond, skirt_clearance=beyond, skirt=undecided, damaged, "
         "no_condition\n"},
    };
    TRY(cases);
}

/* ---- what a finding carries --------------------------------------------------------------- */

/* Feelers: the middle is judged by its leaves under the simple rule, which holds where there is no
 * instrument. Gap 0.30 to 0.35: 0.60 is far, 0.32 between, 0.25 past. */
static void leaves_reach_the_judgement(void **state)
{
    (void)state;
    static const struct {
        const char *limit;
        te_outcome outcome;
    } cases[] = {{"0.60", TE_SERVICEABLE},
                 {"0.35", TE_SERVICEABLE},
                 {"0.32", TE_UNDECIDED},
                 {"0.25", TE_BEYOND}};
    for (size_t i = 0; i < 4; i++) {
        char limits[128];
        (void)snprintf(limits, sizeof limits,
                       "model,quantity,unit,service_max,source\nM,end_gap,mm,%s,invented\n",
                       cases[i].limit);
        const te_shop_file changes[] = {
            {"limits.csv", limits},
            {"instruments.csv", "instrument\n"},
            {"readings.csv", "inspection,feature,item,reading,no_go\nI1,end_gap,1,0.30,0.35\n"},
            {NULL, NULL}};
        te_made_shop made;
        te_assessment a = {0};
        te_made_read(&made, base, changes);
        assert_true(made.tables->simple_for_lack);
        assert_int_equal(te_assess(&a, made.shop, 0, false), TE_OK);
        assert_int_equal(a.finding_count, 1);
        assert_int_equal(a.findings[0].outcome, cases[i].outcome);
        assert_near(a.findings[0].interval.high, 0.325, 1e-12);
        assert_near(a.findings[0].interval.high_least, 0.30, 1e-12);
        assert_near(a.findings[0].interval.high_most, 0.35, 1e-12);
        te_assessment_free(&a);
        te_made_free(&made);
    }
}

/* Beside a gap of leaves another is plain; the leaves of the one that is not the extreme count too. Those of
 * another ring, which lie far off, do not. */
static void leaves_of_every_reading_count(void **state)
{
    (void)state;
    static const struct {
        const char *limits, *leaves, *plain;
        te_outcome outcome;
    } cases[] = {
        /* the leaf that did not enter, 0.55, is past 0.53, though the larger value 0.52 is not */
        {",0.53", "0.45,0.55", "0.52", TE_UNDECIDED},
        {",0.56", "0.45,0.55", "0.52", TE_SERVICEABLE},
        /* 0.51 is past 0.50 whatever the leaves 0.40 and 0.64 of the larger value leave open */
        {",0.50", "0.40,0.64", "0.51", TE_BEYOND},
        {",0.51", "0.40,0.64", "0.49", TE_UNDECIDED},
        /* the same downwards: 0.45 entered, under 0.47, though the smaller value 0.48 is not */
        {"0.47,", "0.45,0.55", "0.48", TE_UNDECIDED},
        {"0.44,", "0.45,0.55", "0.48", TE_SERVICEABLE},
        {"0.50,", "0.36,0.60", "0.49", TE_BEYOND},
        {"0.49,", "0.36,0.60", "0.51", TE_UNDECIDED},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        te_grown limits = {0};
        te_grown readings = {0};
        te_grown_add(&limits,
                     "model,quantity,item,unit,service_min,service_max,source\n"
                     "M,end_gap,1,mm,%s,invented\n",
                     cases[i].limits);
        te_grown_add(&readings,
                     "inspection,feature,item,position,reading,no_go\nI1,end_gap,1,10,%s\n"
                     "I1,end_gap,1,60,%s,\nI1,end_gap,2,10,0.05,2\nI1,side_clearance,1,,0.01,3\n",
                     cases[i].leaves, cases[i].plain);
        const te_shop_file changes[] = {{"limits.csv", limits.text},
                                        {"instruments.csv", "instrument\n"},
                                        {"readings.csv", readings.text},
                                        {NULL, NULL}};
        te_made_shop made;
        te_assessment a = {0};
        te_made_read(&made, base, changes);
        assert_int_equal(te_assess(&a, made.shop, 0, false), TE_OK);
        if (a.findings[0].outcome != cases[i].outcome)
            fail_msg("case %zu: %s", i, te_outcome_name(a.findings[0].outcome));
        te_assessment_free(&a);
        te_made_free(&made);
        te_grown_free(&limits);
        te_grown_free(&readings);
    }
}

/* In a clearance the leaves stand against each other: bore 66.00 to 66.02 by plug gauge, skirt
 * 65.95 exactly: 0.05 to 0.07; a skirt between 65.94 and 65.96 makes it 0.04 to 0.08. */
static void leaves_of_a_difference_stand_against_each_other(void **state)
{
    (void)state;
    static const char *const skirts[] = {"I1,skirt,65.95,\n", "I1,skirt,65.94,65.96\n"};
    static const double least[] = {0.05, 0.04}, most[] = {0.07, 0.08};
    for (size_t i = 0; i < 2; i++) {
        char readings[160];
        (void)snprintf(readings, sizeof readings,
                       "inspection,feature,reading,no_go\nI1,bore,66.00,66.02\n%s", skirts[i]);
        const te_shop_file changes[] = {
            {"limits.csv", FIT}, {"readings.csv", readings}, {NULL, NULL}};
        te_made_shop made;
        te_assessment a = {0};
        te_made_read(&made, base, changes);
        assert_int_equal(te_assess(&a, made.shop, 0, false), TE_OK);
        const te_interval *x = &a.findings[2].interval;
        assert_int_equal(a.findings[2].measured.quantity, TE_Q_SKIRT_CLEARANCE);
        assert_true(x->never_at_zero);
        assert_near(x->low_least, least[i], 1e-12);
        assert_near(x->low_most, most[i], 1e-12);
        assert_near(x->high, 0.06, 1e-12);
        te_assessment_free(&a);
        te_made_free(&made);
    }
}

/* The limits of a bore and a skirt move with their part's oversize, those of the clearance not. */
static void limits_move_with_the_oversize(void **state)
{
    (void)state;
    static const te_shop_file changes[] = {
        {"limits.csv", FIT},
        {"parts.csv", "part,kind,engine,fitted_hours,oversize\nC1,cylinder,E1,0,0.5\n"
                      "K1,piston,E1,0,0.5\n"},
        {"readings.csv",
         "inspection,feature,reading,instrument\nI1,bore,66.51,G\nI1,skirt,66.45,G\n"},
        {NULL, NULL}};
    te_made_shop made;
    te_assessment a = {0};
    te_made_read(&made, base, changes);
    assert_int_equal(te_assess(&a, made.shop, 0, false), TE_OK);
    assert_int_equal(a.finding_count, 3);
    assert_near(a.findings[0].limit.new_min, 66.50, 1e-12);
    assert_near(a.findings[0].limit.service_max, 66.60, 1e-12);
    assert_near(a.findings[1].limit.service_min, 66.40, 1e-12);
    assert_near(a.findings[2].limit.service_max, 0.16, 0);
    for (size_t i = 0; i < 3; i++)
        assert_true(a.findings[i].has_limit && a.findings[i].outcome >= TE_AS_NEW);
    te_assessment_free(&a);
    te_made_free(&made);
}

/* One assessment used for one inspection after another holds the last alone. */
static void an_assessment_is_replaced(void **state)
{
    (void)state;
    static const te_shop_file changes[] = {{"limits.csv", FIT},
                                           {"readings.csv", READINGS GOOD "I2,bore,,,,,66.15,,G\n"},
                                           {NULL, NULL}};
    te_made_shop made;
    te_assessment a = {0};
    te_grown text[3] = {{0}, {0}, {0}};
    te_made_read(&made, base, changes);
    const uint32_t order[] = {0, 1, 0};
    for (size_t i = 0; i < 3; i++) {
        assert_int_equal(te_assess(&a, made.shop, order[i], false), TE_OK);
        assert_int_equal(a.inspection, order[i]);
        write_verdicts(&text[i], &made, &a);
    }
    assert_string_equal(text[0].text, text[2].text);
    assert_string_equal(text[1].text,
                        "E1/cylinder do_not_reuse: bore=beyond, no_condition\n"
                        "assembly do_not_reuse: bore=beyond, unmeasured piston, no_condition\n");
    for (size_t i = 0; i < 3; i++)
        te_grown_free(&text[i]);
    te_assessment_free(&a);
    te_assessment_free(NULL);
    te_made_free(&made);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(each_status_makes_its_verdict),
        cmocka_unit_test(parts_by_their_own_by_pairs_or_not_at_all),
        cmocka_unit_test(side_clearance_is_the_ring_sets_and_measures_the_piston),
        cmocka_unit_test(too_tight_is_said_not_to_be_judged),
        cmocka_unit_test(required_and_not_computed_is_missing),
        cmocka_unit_test(items_of_a_family_are_expected),
        cmocka_unit_test(required_features_of_the_users_own),
        cmocka_unit_test(the_plan_asks_for_what_it_would_give),
        cmocka_unit_test(the_plan_names_the_places),
        cmocka_unit_test(missing_places_are_counted),
        cmocka_unit_test(conditions_count_for_their_part),
        cmocka_unit_test(features_of_ones_own_belong_to_one_part),
        cmocka_unit_test(leaves_belong_to_one_part),
        cmocka_unit_test(leaves_of_every_reading_of_ones_own),
        cmocka_unit_test(a_condition_of_no_part_counts_for_nothing),
        cmocka_unit_test(half_a_millimetre_is_the_planned_height),
        cmocka_unit_test(kinds_without_readings_are_named),
        cmocka_unit_test(what_was_read_is_found),
        cmocka_unit_test(a_reject_stands_until_the_part_comes_off),
        cmocka_unit_test(damage_leaves_nothing_better_than_incomplete),
        cmocka_unit_test(leaves_reach_the_judgement),
        cmocka_unit_test(leaves_of_every_reading_count),
        cmocka_unit_test(leaves_of_a_difference_stand_against_each_other),
        cmocka_unit_test(limits_move_with_the_oversize),
        cmocka_unit_test(an_assessment_is_replaced),
    };
    return cmocka_run_group_tests_name("verdicts", tests, NULL, NULL);
}
