/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Reasons in words: quantity, value, limit and source. */
#include <math.h>
#include <stdio.h>

#include "put.h"

void te_write_parts(te_buffer *buffer, const te_shop *shop, const te_measured *measured)
{
    te_buffer_safe(buffer, te_shop_text(shop, measured->part));
    if (measured->second_kind != TE_KIND_NONE) {
        te_buffer_text(buffer, "+");
        te_buffer_safe(buffer, te_shop_text(shop, measured->second_part));
    }
}

void te_write_kinds(te_buffer *buffer, const te_measured *measured)
{
    te_buffer_text(buffer, te_kind_name(measured->kind));
    if (measured->second_kind != TE_KIND_NONE) {
        te_buffer_text(buffer, "+");
        te_buffer_text(buffer, te_kind_name(measured->second_kind));
    }
}

const char *te_finding_unit(const te_shop *shop, const te_assessment *assessment,
                            const te_finding *finding)
{
    const te_tables *tables = te_shop_tables(shop);
    if (finding->measured.quantity < TE_Q_OWN) {
        return "mm";
    }
    if (finding->computed) {
        const te_observation *x = &assessment->pool.items[finding->measured.low.observation[0]];
        if (x->reading != TE_NO_INDEX) {
            const te_reading *reading = &tables->readings[x->reading];
            return reading->setup->unit == TE_UNIT_OWN
                       ? te_shop_text(shop, reading->setup->unit_text)
                       : "mm";
        }
    }
    bool own = finding->has_limit && finding->limit.unit == TE_UNIT_OWN;
    return own ? te_shop_text(shop, finding->limit.unit_text) : "mm";
}

static void put_name(te_buffer *buffer, const te_shop *shop, const te_finding *finding)
{
    te_put_quantity(buffer, shop, finding->measured.quantity, finding->measured.item);
}

static void put_with_unit(te_buffer *buffer, double value, const char *unit)
{
    te_put_value(buffer, value, unit);
    te_buffer_text(buffer, " ");
    te_buffer_safe(buffer, unit);
}

static void put_limit(te_buffer *buffer, double limit, const char *unit)
{
    te_put_number(buffer, limit, 9);
    te_buffer_text(buffer, " ");
    te_buffer_safe(buffer, unit);
}

static void put_source(te_buffer *buffer, const te_shop *shop, const te_finding *finding)
{
    te_buffer_text(buffer, " (");
    if (finding->limit.source != 0) {
        te_buffer_safe(buffer, te_shop_text(shop, finding->limit.source));
    } else {
        te_buffer_text(buffer, "source of the limit not given");
    }
    te_buffer_text(buffer, ")");
}

void te_put_range(te_buffer *buffer, double least, double most)
{
    enum { DIGITS = 7 };
    if (!isnan(least) && !isnan(most)) {
        te_put_number(buffer, least, DIGITS);
        te_buffer_text(buffer, least < 0.0 || most < 0.0 ? " to " : "-");
        te_put_number(buffer, most, DIGITS);
    } else if (!isnan(least)) {
        te_buffer_text(buffer, "min ");
        te_put_number(buffer, least, DIGITS);
    } else if (!isnan(most)) {
        te_buffer_text(buffer, "max ");
        te_put_number(buffer, most, DIGITS);
    }
}

void te_put_rule(te_buffer *buffer, const te_tables *tables)
{
    if (tables->simple_for_lack) {
        te_buffer_text(buffer, "NO INSTRUMENT IS DECLARED: values are compared with the limits as "
                               "they are (rule simple), whatever their uncertainty.");
    } else if (tables->rule == TE_RULE_SIMPLE) {
        te_buffer_text(buffer, "Rule simple: values are compared with the limits as they are, "
                               "whatever their uncertainty.");
    } else {
        te_buffer_text(buffer, "Rule guarded: a value passes when it is within its service limits "
                               "with a probability of ");
        te_put_number(buffer, tables->confidence, 6);
        te_buffer_text(buffer, " or more.");
    }
}

/* The side that decides: the one on which the value is nearer to its limit, or past it, in units
 * of its uncertainty. */
struct side {
    double value, u, limit;
    bool upper;
};

static struct side deciding_side(const te_finding *finding, bool service)
{
    const te_interval *x = &finding->interval;
    double most = service ? finding->limit.service_max : finding->limit.new_max;
    double least = service ? finding->limit.service_min : finding->limit.new_min;
    if (!service) { /* only the sides without a service limit are compared with as-new */
        most = isnan(finding->limit.service_max) ? most : NAN;
        least = isnan(finding->limit.service_min) ? least : NAN;
    }
    double u_high = x->stated && x->u_high > 0.0 ? x->u_high : 1.0;
    double u_low = x->stated && x->u_low > 0.0 ? x->u_low : 1.0;
    double upper = isnan(most) ? INFINITY : (most - x->high) / u_high;
    double lower = isnan(least) ? INFINITY : (x->low - least) / u_low;
    return upper <= lower ? (struct side){x->high, x->u_high, most, true}
                          : (struct side){x->low, x->u_low, least, false};
}

static bool is_past(const struct side *side)
{
    return side->upper ? side->value > side->limit : side->value < side->limit;
}

static void put_against(te_buffer *buffer, const struct side *side, const char *limit_words,
                        const char *unit)
{
    bool past = is_past(side);
    const char *relation = side->upper ? (past ? " is above the " : " is not above the ")
                                       : (past ? " is below the " : " is not below the ");
    put_with_unit(buffer, side->value, unit);
    te_buffer_text(buffer, relation);
    te_buffer_text(buffer, limit_words);
    te_buffer_text(buffer, " ");
    put_limit(buffer, side->limit, unit);
}

static void put_beyond(te_buffer *buffer, const te_shop *shop, const te_finding *finding,
                       const char *unit)
{
    if (finding->judgement.touching) {
        put_with_unit(buffer, finding->interval.low, unit);
        te_buffer_text(buffer, " is not above 0: the parts touch");
        return;
    }
    struct side side = deciding_side(finding, true);
    put_against(buffer, &side, "service limit", unit);
    if (!is_past(&side)) {
        te_buffer_text(buffer, ", but with this uncertainty it is hardly within both limits");
    }
    if (!isnan(finding->judgement.p_within) && te_shop_tables(shop)->rule == TE_RULE_GUARDED) {
        te_buffer_text(buffer, ", conformity probability ");
        te_put_probability(buffer, finding->judgement.p_within);
    }
    put_source(buffer, shop, finding);
}

/* The largest number of two digits that is not above a positive value: what is said to be enough
 * must be. */
static double rounded_down(double value)
{
    double step = pow(10.0, floor(log10(value)) - 1.0);
    return floor(value / step + 1e-9) * step;
}

static void put_needed(te_buffer *buffer, const te_finding *finding, const struct side *side,
                       const char *unit)
{
    if (isnan(finding->judgement.u_needed)) {
        te_buffer_text(buffer, "; the value lies at the limit: no gauge would decide");
        return;
    }
    te_buffer_text(buffer, "; a standard uncertainty of ");
    te_put_number(buffer, rounded_down(finding->judgement.u_needed), 2);
    te_buffer_text(buffer, " ");
    te_buffer_safe(buffer, unit);
    te_buffer_text(buffer, " (U ");
    te_put_number(buffer, 2.0 * rounded_down(finding->judgement.u_needed), 2);
    te_buffer_text(buffer, ") or less would decide");
    if (finding->interval.stated) {
        te_buffer_text(buffer, ", it is ");
        te_put_number(buffer, side->u, 2);
        te_buffer_text(buffer, " (U ");
        te_put_number(buffer, 2.0 * side->u, 2);
        te_buffer_text(buffer, ")");
    }
}

static void put_undecided(te_buffer *buffer, const te_shop *shop, const te_finding *finding,
                          const char *unit)
{
    bool by_service = !finding->judgement.by_new;
    struct side side = deciding_side(finding, by_service);
    put_against(buffer, &side, by_service ? "service limit" : "as-new limit", unit);
    if (te_shop_tables(shop)->rule == TE_RULE_SIMPLE) {
        te_buffer_text(buffer, ", which lies between the two leaves");
    } else if (!finding->interval.stated) {
        te_buffer_text(buffer, ", but its uncertainty is not stated");
        put_needed(buffer, finding, &side, unit);
    } else {
        double p = by_service ? finding->judgement.p_within
                              : te_conformity(&finding->interval, side.upper ? NAN : side.limit,
                                              side.upper ? side.limit : NAN);
        te_buffer_text(buffer, ", but too near for its uncertainty: conformity probability ");
        te_put_probability(buffer, p);
        put_needed(buffer, finding, &side, unit);
    }
    put_source(buffer, shop, finding);
}

static void put_missing(te_buffer *buffer, const te_shop *shop, const te_assessment *assessment,
                        const te_finding *finding)
{
    if (!finding->computed) {
        te_buffer_text(buffer, "a limit asks for it, but it was not measured");
        te_quantity quantity = finding->measured.quantity;
        te_quantity feature = quantity < TE_Q_OWN ? te_quantity_info_of(quantity)->feature
                                                  : quantity;
        if (te_assessment_reads(assessment, feature)) {
            te_buffer_text(buffer, " at the places that it needs");
        }
        return;
    }
    te_put_count(buffer, finding->places_missing);
    te_buffer_text(buffer, finding->places_missing == 1 ? " place" : " places");
    te_buffer_text(buffer, " of plan.csv not measured: ");
    const te_plan *plan = &te_shop_tables(shop)->plan[finding->place_missing];
    te_put_place(buffer, shop, plan->feature, plan->item, plan->position, plan->direction);
    te_buffer_text(buffer, finding->places_missing > 1 ? " and others" : "");
}

static void put_finding(te_buffer *buffer, const te_shop *shop, const te_assessment *assessment,
                        const te_finding *finding)
{
    const char *unit = te_finding_unit(shop, assessment, finding);
    te_put_words(buffer, te_outcome_name(finding->outcome));
    te_buffer_text(buffer, ": ");
    put_name(buffer, shop, finding);
    te_buffer_text(buffer, ": ");
    switch (finding->outcome) {
    case TE_MISSING: put_missing(buffer, shop, assessment, finding); break;
    case TE_BEYOND: put_beyond(buffer, shop, finding, unit); break;
    case TE_UNDECIDED: put_undecided(buffer, shop, finding, unit); break;
    case TE_OUTSIDE_NEW: {
        struct side side = deciding_side(finding, false);
        put_against(buffer, &side, "as-new limit", unit);
        te_buffer_text(buffer, " and there is no service limit");
        put_source(buffer, shop, finding);
        break;
    }
    case TE_AS_NEW:
    case TE_SERVICEABLE:
    case TE_NO_LIMIT: te_put_value(buffer, finding->interval.high, unit); break;
    }
}

static void put_condition(te_buffer *buffer, const te_shop *shop, const te_assessment *assessment,
                          const te_condition *condition)
{
    te_buffer_text(buffer, te_severity_name(condition->severity));
    te_buffer_text(buffer, ": ");
    te_buffer_safe(buffer, te_shop_text(shop, condition->finding));
    te_buffer_text(buffer, " (");
    te_put_part(buffer, shop, condition->kind, condition->part);
    if (condition->inspection != assessment->inspection) {
        te_buffer_text(buffer, "; seen at ");
        te_buffer_safe(
            buffer,
            te_shop_text(shop, te_shop_tables(shop)->inspections[condition->inspection].id));
        te_buffer_text(buffer, ", and by parts.csv still on");
    }
    te_buffer_text(buffer, ")");
}

/* The assembly's other reasons tell why a part is worse, but for one that has nothing to judge. */
static void put_part_verdict(te_buffer *buffer, const te_shop *shop,
                             const te_assessment *assessment, const te_verdict *verdict)
{
    te_put_part(buffer, shop, verdict->kind, verdict->part);
    te_buffer_text(buffer, ": ");
    te_put_words(buffer, te_verdict_name(verdict->verdict));
    for (uint32_t i = 0; i < verdict->reason_count; i++) {
        if (assessment->reasons[verdict->first_reason + i].kind == TE_REASON_NOTHING_JUDGED) {
            te_buffer_text(buffer, ", no value of it has a limit");
        }
    }
}

void te_write_reason(te_buffer *buffer, const te_shop *shop, const te_assessment *assessment,
                     const te_reason *reason)
{
    const te_tables *tables = te_shop_tables(shop);
    switch (reason->kind) {
    case TE_REASON_FINDING:
        put_finding(buffer, shop, assessment, &assessment->findings[reason->index]);
        break;
    case TE_REASON_CONDITION:
        put_condition(buffer, shop, assessment, &tables->conditions[reason->index]);
        break;
    case TE_REASON_KIND_UNMEASURED:
        te_buffer_text(buffer, "not measured: ");
        te_put_words(buffer, te_kind_name((te_kind)reason->index));
        te_buffer_text(buffer, ", which the limits or the plan ask for");
        break;
    case TE_REASON_OWN_UNMEASURED:
        te_buffer_text(buffer, "not measured: ");
        te_buffer_safe(buffer, te_shop_quantity_name(shop, reason->index));
        te_buffer_text(buffer, ", which the limits or the plan ask for");
        break;
    case TE_REASON_NOTHING_JUDGED:
        te_buffer_text(buffer, "nothing was judged: no value of it has a limit");
        break;
    case TE_REASON_BY_PAIRS:
        te_buffer_text(buffer, "judged by its fit alone: no value of its own has a limit");
        break;
    case TE_REASON_PART:
        put_part_verdict(buffer, shop, assessment, &assessment->verdicts[reason->index]);
        break;
    case TE_REASON_DAMAGED:
        te_buffer_text(buffer, "rows that could not be read may concern this engine");
        break;
    case TE_REASON_WITHIN:
        te_put_count(buffer, reason->index);
        te_buffer_text(buffer, reason->index == 1 ? " value is" : " values are");
        te_buffer_text(buffer, " within limits");
        break;
    case TE_REASON_TIGHT_UNJUDGED:
        put_name(buffer, shop, &assessment->findings[reason->index]);
        te_buffer_text(buffer, ": no lower limit was given, too tight was not judged");
        break;
    case TE_REASON_UNLIMITED:
        put_name(buffer, shop, &assessment->findings[reason->index]);
        te_buffer_text(buffer, ": no limit was given, it was not judged");
        break;
    case TE_REASON_NO_CONDITION:
        te_buffer_text(buffer, "no condition recorded: sizes do not show cracks");
        break;
    }
}
