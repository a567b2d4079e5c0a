/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One interval against its limits. docs/method.md, "Judging", has the rules in words. */
#include <gsl/gsl_cdf.h>
#include <math.h>

#include "topend/judge.h"

enum { HALVINGS = 60 }; /* a double's 53 bits, and some to spare */

/* Decimal figures that are equal may differ by their rounding to binary (66.02 - 66.01 is not
 * 0.01): within this (mm), as for ties, a value is at its limit, which is inside. */
static const double at_limit = 1e-9;

static bool above(double value, double limit)
{
    return value > limit + at_limit; /* false when there is no limit */
}

static bool below(double value, double limit)
{
    return value < limit - at_limit;
}

/* Probability that a normal value lies at or below a limit; when u is 0, certain one way. */
static double at_most(double value, double u, double limit)
{
    if (u > 0.0) {
        return gsl_cdf_ugaussian_P((limit - value) / u);
    }
    return above(value, limit) ? 0.0 : 1.0;
}

/* A lower limit is an upper one in the mirror. */
static double at_least(double value, double u, double limit)
{
    return at_most(-value, u, -limit);
}

/* One limit is computed as its own probability, so that small ones keep their digits. */
static double conformity_at(const te_interval *x, double u_low, double u_high, double least,
                            double most)
{
    if (isnan(most)) {
        return isnan(least) ? 1.0 : at_least(x->low, u_low, least);
    }
    double upper = at_most(x->high, u_high, most);
    return isnan(least) ? upper : fmax(upper + at_least(x->low, u_low, least) - 1.0, 0.0);
}

double te_conformity(const te_interval *interval, double least, double most)
{
    return conformity_at(interval, interval->u_low, interval->u_high, least, most);
}

static bool plainly_inside(const te_interval *x, double least, double most)
{
    return !below(x->low, least) && !above(x->high, most);
}

/* By its leaves: inside when all that it can be is, outside when none is. A NAN limit is none:
 * comparisons with it are false. */
static te_truth inside_by_leaves(const te_interval *x, double least, double most)
{
    te_truth upper = {above(x->high_least, most)  ? TE_NO
                      : above(x->high_most, most) ? TE_CANNOT_TELL
                                                  : TE_YES};
    te_truth lower = {below(x->low_most, least)    ? TE_NO
                      : below(x->low_least, least) ? TE_CANNOT_TELL
                                                   : TE_YES};
    return te_truth_and(upper, lower);
}

/* Largest factor on the uncertainties at which the limits decide: p at least the confidence for a
 * value inside, at most its complement for one outside. 0 when none does. */
static double deciding_factor(const te_interval *x, double u_low, double u_high, double least,
                              double most, double confidence)
{
    bool inside = plainly_inside(x, least, most);
    double decided = 0.0;
    double open = 1.0;
    for (int i = 0; i < HALVINGS; i++) {
        double middle = decided + (open - decided) / 2.0;
        double p = conformity_at(x, u_low * middle, u_high * middle, least, most);
        bool decides = inside ? p >= confidence : p <= 1.0 - confidence;
        decided = decides ? middle : decided;
        open = decides ? open : middle;
    }
    return decided;
}

/* How many uncertainties a limit is away; one that is absent, or whose value is certain, leaves no doubt. */
static double distance_to(double apart, double u)
{
    return isnan(apart) || !(u > 0.0) ? INFINITY : apart / u;
}

/* The standard uncertainty that would decide. Where none is stated, one for both values: the
 * search starts from the width at which every limit is open. */
static double uncertainty_needed(const te_interval *x, double least, double most, double confidence)
{
    /* Ten times the farther distance leaves every confidence above 0.54 open; below that the
     * search ends at its start, which is wide enough to say "any gauge". */
    double widest = 10.0 * fmax(isnan(most) ? 0.0 : fabs(most - x->high),
                                isnan(least) ? 0.0 : fabs(x->low - least));
    double u_low = x->stated ? x->u_low : widest;
    double u_high = x->stated ? x->u_high : widest;
    double factor = deciding_factor(x, u_low, u_high, least, most, confidence);
    bool above = distance_to(most - x->high, u_high) <= distance_to(x->low - least, u_low);
    double needed = factor * (above ? u_high : u_low);
    return needed > 0.0 ? needed : NAN; /* at its limit no uncertainty decides a value */
}

/* By the service limits: true when they settle the outcome. */
static bool settled_by_service(te_judgement *j, const te_interval *x, const te_bounds *b,
                               te_rule rule, double confidence)
{
    bool guarded = rule == TE_RULE_GUARDED;
    te_truth inside;
    if (guarded && x->stated) {
        inside.is = j->p_within <= 1.0 - confidence ? TE_NO
                    : j->p_within < confidence      ? TE_CANNOT_TELL
                                                    : TE_YES;
    } else if (guarded) {
        inside.is = plainly_inside(x, b->service_min, b->service_max) ? TE_CANNOT_TELL : TE_NO;
    } else {
        inside = inside_by_leaves(x, b->service_min, b->service_max);
    }
    if (inside.is == TE_NO) {
        j->outcome = TE_BEYOND;
    } else if (inside.is == TE_CANNOT_TELL) {
        j->outcome = TE_UNDECIDED;
        j->u_needed = guarded ? uncertainty_needed(x, b->service_min, b->service_max, confidence)
                              : NAN;
    }
    return inside.is != TE_YES;
}

/* By the as-new limits on the sides that have no service limit. */
static bool settled_by_new(te_judgement *j, const te_interval *x, const te_bounds *b, te_rule rule,
                           double confidence)
{
    double least = isnan(b->service_min) ? b->new_min : NAN;
    double most = isnan(b->service_max) ? b->new_max : NAN;
    if (plainly_inside(x, least, most)) {
        return false;
    }
    bool doubtful = rule == TE_RULE_GUARDED && x->stated &&
                    te_conformity(x, least, most) > 1.0 - confidence;
    j->by_new = true;
    j->outcome = doubtful ? TE_UNDECIDED : TE_OUTSIDE_NEW;
    j->u_needed = doubtful ? uncertainty_needed(x, least, most, confidence) : NAN;
    return true;
}

static bool is_finite_interval(const te_interval *x)
{
    bool values = isfinite(x->low) && isfinite(x->high) && isfinite(x->low_least) &&
                  isfinite(x->low_most) && isfinite(x->high_least) && isfinite(x->high_most);
    bool uncertainties = isfinite(x->u_low) && isfinite(x->u_high) && x->u_low >= 0.0 &&
                         x->u_high >= 0.0;
    return values && (uncertainties || !x->stated);
}

te_status te_judge(te_judgement *judgement, const te_interval *interval, const te_bounds *bounds,
                   te_rule rule, double confidence)
{
    bool service = !isnan(bounds->service_min) || !isnan(bounds->service_max);
    bool as_new = !isnan(bounds->new_min) || !isnan(bounds->new_max);
    te_judgement j = {.outcome = TE_NO_LIMIT, .p_within = NAN, .u_needed = NAN};
    if (!is_finite_interval(interval) || !(confidence >= 0.5 && confidence < 1.0)) {
        return TE_ERR_DOMAIN;
    }
    if (service && interval->stated) {
        j.p_within = te_conformity(interval, bounds->service_min, bounds->service_max);
    }
    if (interval->never_at_zero && interval->low <= at_limit) {
        j.outcome = TE_BEYOND;
        j.touching = true;
    } else if (!(service && settled_by_service(&j, interval, bounds, rule, confidence)) &&
               !settled_by_new(&j, interval, bounds, rule, confidence)) {
        bool new_size = as_new && plainly_inside(interval, bounds->new_min, bounds->new_max);
        j.outcome = new_size ? TE_AS_NEW : service ? TE_SERVICEABLE : TE_NO_LIMIT;
    }
    *judgement = j;
    return TE_OK;
}
