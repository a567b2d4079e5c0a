/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Options in words. */
#include "options_words.h"

#include <math.h>

#include "notes.h"

const te_candidate *te_option_part(const te_options *options, const te_option *option, te_kind kind)
{
    uint32_t at = option->candidate[kind];
    return at == TE_NO_INDEX ? NULL : &options->candidates[at];
}

void te_put_option_kinds(te_buffer *buffer, const te_option *option)
{
    bool any = false;
    for (int kind = 0; kind < TE_KIND_NONE; kind++) {
        if (option->candidate[kind] != TE_NO_INDEX) {
            te_buffer_text(buffer, any ? "+" : "");
            te_buffer_text(buffer, te_kind_name((te_kind)kind));
            any = true;
        }
    }
}

void te_put_option_parts(te_buffer *buffer, const te_options_told *told, const te_option *option)
{
    bool any = false;
    for (int kind = 0; kind < TE_KIND_NONE; kind++) {
        const te_candidate *part = te_option_part(told->options, option, (te_kind)kind);
        if (part != NULL) {
            te_buffer_text(buffer, any ? "+" : "");
            te_buffer_safe(buffer, te_shop_text(told->shop, part->part));
            any = true;
        }
    }
}

void te_put_option(te_buffer *buffer, const te_options_told *told, const te_option *option)
{
    bool any = false;
    for (int kind = 0; kind < TE_KIND_NONE; kind++) {
        const te_candidate *part = te_option_part(told->options, option, (te_kind)kind);
        if (part == NULL) {
            continue;
        }
        te_buffer_text(buffer, any ? ", " : "");
        if (part->rebored) {
            te_buffer_text(buffer, "bore the cylinder");
        } else if (!part->spare) {
            te_buffer_text(buffer, "new ");
            te_put_words(buffer, te_kind_name(part->kind));
        } else {
            te_put_part(buffer, told->shop, part->kind, part->part);
        }
        any = true;
    }
    te_buffer_text(buffer, any ? "" : "keep everything");
}

void te_put_price(te_buffer *buffer, const te_shop *shop, double price)
{
    enum { HUNDREDTHS = 2 };
    te_put_fixed(buffer, price, HUNDREDTHS);
    const char *currency = te_shop_text(shop, te_shop_tables(shop)->currency);
    te_buffer_text(buffer, currency[0] == '\0' ? "" : " ");
    te_buffer_safe(buffer, currency);
}

static void put_mm(te_buffer *buffer, double value)
{
    te_put_value(buffer, value, "mm");
    te_buffer_text(buffer, " mm");
}

/* ---- notes ---- */

static void note_refused(te_buffer *lines, const te_option *option)
{
    if (option->refused) {
        te_notes_next(lines);
        te_buffer_text(lines, "REFUSED, it may seize: at the tight end of the tolerances the skirt "
                              "clearance is ");
        put_mm(lines, option->tight);
        te_buffer_text(lines, ", the least is ");
        put_mm(lines, option->least);
    }
}

/* What speaks against it; of a value its status and name, the figures stand in the findings. */
static void note_reasons(te_buffer *lines, const te_options_told *told,
                         const te_assessment *assessment)
{
    const te_verdict *assembly = te_assessment_assembly(assessment);
    for (uint32_t i = 0; i < assembly->reason_count; i++) {
        const te_reason *reason = &assessment->reasons[assembly->first_reason + i];
        bool seen = reason->kind == TE_REASON_CONDITION; /* a watch too */
        if (!seen && !te_reason_is_against(told->shop, reason)) {
            continue;
        }
        te_notes_next(lines);
        if (reason->kind == TE_REASON_FINDING) {
            const te_finding *finding = &assessment->findings[reason->index];
            te_put_words(lines, te_outcome_name(finding->outcome));
            te_buffer_text(lines, ": ");
            te_put_quantity(lines, told->shop, finding->measured.quantity, finding->measured.item);
        } else {
            te_write_reason(lines, told->shop, assessment, reason);
        }
    }
}

static te_verdict_value fit_of(const te_assessment *assessment)
{
    const te_finding *clearance = te_assessment_finding(assessment, TE_Q_SKIRT_CLEARANCE);
    return clearance == NULL ? TE_REUSE : te_verdict_of(clearance->outcome);
}

static bool has_bad_cylinder(const te_assessment *assessment)
{
    const te_verdict *cylinder = te_assessment_part(assessment, TE_KIND_CYLINDER);
    return cylinder != NULL && cylinder->verdict == TE_DO_NOT_REUSE;
}

/* A larger piston brings a worn bore's clearance within limits: it hides the wear. */
static void note_hidden(te_buffer *lines, const te_options_told *told, const te_option *option,
                        const te_assessment *assessment)
{
    bool mended = fit_of(&told->options->base) != TE_REUSE && fit_of(assessment) == TE_REUSE;
    if (mended && !option->refused && option->candidate[TE_KIND_CYLINDER] == TE_NO_INDEX &&
        has_bad_cylinder(assessment)) {
        te_notes_next(lines);
        te_buffer_text(lines,
                       "it only hides the wear: the skirt clearance comes within limits, the "
                       "cylinder does not");
    }
}

static void note_parts(te_buffer *lines, const te_options_told *told, const te_option *option)
{
    for (int kind = 0; kind < TE_KIND_NONE; kind++) {
        const te_candidate *part = te_option_part(told->options, option, (te_kind)kind);
        if (part != NULL && part->rebored) {
            te_notes_next(lines);
            te_buffer_text(lines, "bore and hone to ");
            put_mm(lines, part->bore);
            te_buffer_text(lines, " for ");
            te_buffer_safe(lines,
                           te_shop_text(told->shop, told->options->candidates[part->piston].part));
            te_buffer_text(lines, ", measure that piston first; the work is not in the price");
        } else if (part != NULL && !part->spare) {
            te_notes_next(lines);
            te_buffer_text(lines, "no ");
            te_put_words(lines, te_kind_name(part->kind));
            te_buffer_text(lines, " in spares.csv: predicted by the as-new limits");
        }
    }
}

/* True when a part of one kind is new and of the other not, and their common reading was taken. */
static bool is_half_new(const te_option *option, const te_assessment *base, te_quantity quantity)
{
    const te_quantity_info *info = te_quantity_info_of(quantity);
    bool first = option->candidate[info->kind] != TE_NO_INDEX;
    bool second = option->candidate[info->second_kind] != TE_NO_INDEX;
    return first != second && te_assessment_reads(base, quantity);
}

/* Features of the user's own that are of no part: they were read with the parts that come off. */
static void note_old_readings(te_buffer *lines, const te_options_told *told,
                              const te_option *option)
{
    const te_assessment *base = &told->options->base;
    bool any = false;
    if (is_half_new(option, base, TE_Q_SIDE_CLEARANCE)) {
        te_notes_next(lines);
        te_buffer_text(lines, "side clearance lies between as new and as measured: measure it with "
                              "the new part");
    }
    for (size_t i = 0; i < base->finding_count && option->parts > 0; i++) {
        const te_finding *finding = &base->findings[i];
        if (finding->measured.quantity < TE_Q_OWN || finding->measured.kind != TE_KIND_OTHER ||
            !finding->computed) {
            continue;
        }
        if (!any) {
            te_notes_next(lines);
        }
        te_buffer_text(lines, any ? ", " : "measured with the old parts, measure again: ");
        te_put_quantity(lines, told->shop, finding->measured.quantity, finding->measured.item);
        any = true;
    }
}

static void note_count(te_buffer *lines, size_t count, const char *one, const char *many)
{
    te_put_count(lines, count);
    te_buffer_text(lines, count == 1 ? one : many);
}

static void note_hours(te_buffer *lines, const te_options_told *told, const te_option *option)
{
    const te_lasting *l = &option->lasting;
    if (l->untold > 0) {
        te_notes_next(lines);
        te_buffer_text(lines, "its hours do not cover ");
        te_put_quantity(lines, told->shop, l->untold_quantity, l->untold_item);
        if (l->untold > 1) {
            te_buffer_text(lines, " and ");
            note_count(lines, l->untold - 1, " more value", " more values");
        }
        te_buffer_text(lines, ": no rate was seen, or not at every planned place");
    }
    if (l->unbounded > 0) {
        te_notes_next(lines);
        note_count(lines, l->unbounded, " value has a best estimate without any margin",
                   " values have a best estimate without any margin");
    }
    if (l->by_model > 0) {
        te_notes_next(lines);
        note_count(lines, l->by_model, " rate is that of the model, over the engines of the shop",
                   " rates are those of the model, over the engines of the shop");
    }
}

void te_notes_option(te_buffer *lines, const te_options_told *told, const te_option *option,
                     const te_assessment *assessment)
{
    note_refused(lines, option);
    note_hidden(lines, told, option, assessment);
    note_reasons(lines, told, assessment);
    note_parts(lines, told, option);
    note_old_readings(lines, told, option);
    note_hours(lines, told, option);
}

/* ---- boring ---- */

static void put_offered(te_buffer *buffer, const te_options_told *told)
{
    const te_rebore *rebore = &told->options->rebore;
    bool any = false;
    te_buffer_text(buffer, "Oversize ");
    te_put_number(buffer, rebore->oversize, 6);
    te_buffer_text(buffer, " is the smallest that cleans up the bore (largest ");
    put_mm(buffer, rebore->largest);
    te_buffer_text(buffer, ", ");
    put_mm(buffer, rebore->hone);
    te_buffer_text(buffer, " for the hone): finish to ");
    for (size_t i = 0; i < told->options->candidate_count; i++) {
        const te_candidate *cylinder = &told->options->candidates[i];
        if (cylinder->rebored) {
            te_buffer_text(buffer, any ? ", or to " : "");
            put_mm(buffer, cylinder->bore);
            te_buffer_text(buffer, " for ");
            te_buffer_safe(
                buffer, te_shop_text(told->shop, told->options->candidates[cylinder->piston].part));
            te_buffer_text(buffer, " (clearance ");
            put_mm(buffer, cylinder->clearance);
            te_buffer_text(buffer, ")");
            any = true;
        }
    }
    te_buffer_text(buffer, ". Measure the piston first, and bore to what it measures.");
}

void te_put_rebore(te_buffer *buffer, const te_options_told *told)
{
    switch (told->options->rebore.answer) {
    case TE_REBORE_OFFERED: put_offered(buffer, told); break;
    case TE_REBORE_NOT_SAID:
        te_buffer_text(buffer, "models.csv does not say that this cylinder may be bored (a plated "
                               "bore never is).");
        break;
    case TE_REBORE_REJECTED:
        te_buffer_text(buffer, "The cylinder was rejected: boring does not mend what was seen.");
        break;
    case TE_REBORE_NO_BORE:
        te_buffer_text(buffer, "The bore was not measured, or not at every place of plan.csv.");
        break;
    case TE_REBORE_NO_CLEARANCE:
        te_buffer_text(buffer, "limits.csv has no as-new skirt clearance to bore for.");
        break;
    case TE_REBORE_NO_PISTON:
        te_buffer_text(buffer, "spares.csv has no piston of a larger oversize with a known size.");
        break;
    case TE_REBORE_TOO_WORN:
        te_buffer_text(buffer, "No oversize in spares.csv cleans up this bore (largest ");
        put_mm(buffer, told->options->rebore.largest);
        te_buffer_text(buffer, ", ");
        put_mm(buffer, told->options->rebore.hone);
        te_buffer_text(buffer, " for the hone).");
        break;
    }
}
