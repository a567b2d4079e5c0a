/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The engine, the inspection, the parts and what was found on them. */
#include <math.h>
#include <string.h>

#include "report_parts.h"
#include "topend/chart.h"

/* ---- engine and inspection ---- */

static void put_text_fact(struct making *m, const char *name, te_id text)
{
    te_buffer_safe(&m->line, te_shop_text(m->shop, text));
    te_report_fact(m, name);
}

static void put_temperature(struct making *m)
{
    if (isnan(m->inspection->temperature)) {
        te_buffer_text(&m->line, "not read");
    } else {
        te_put_number(&m->line, m->inspection->temperature, 6);
        te_buffer_text(&m->line, " °C");
    }
    if (!isnan(m->inspection->temperature_uncertainty)) {
        te_buffer_text(&m->line, ", standard uncertainty ");
        te_put_number(&m->line, m->inspection->temperature_uncertainty, 6);
        te_buffer_text(&m->line, " K");
    }
    te_report_fact(m, "Temperature");
}

static void put_facts(struct making *m)
{
    static const char *const states[] = {"", ", as found", ", as built"};
    te_document_heading(m->document, 2, "Engine and inspection");
    te_document_table(m->document, "");
    te_document_column(m->document, "What", "", false);
    te_document_column(m->document, "As recorded", "", false);
    put_text_fact(m, "Workshop", m->tables->name);
    put_text_fact(m, "Address", m->tables->address);
    put_text_fact(m, "Engine", m->engine->id);
    put_text_fact(m, "Model", m->tables->models[m->engine->model].id);
    put_text_fact(m, "Note on the engine", m->engine->note);
    te_buffer_safe(&m->line, te_shop_text(m->shop, m->inspection->id));
    te_buffer_text(&m->line, states[m->inspection->state]);
    te_report_fact(m, "Inspection");
    te_put_date(&m->line, m->inspection->date);
    te_report_fact(m, "Date");
    te_put_number(&m->line, m->inspection->hours, 9);
    te_report_fact(m, "Engine hours");
    put_temperature(m);
    put_text_fact(m, "Measured by", m->inspection->by);
    put_text_fact(m, "Note on the inspection", m->inspection->note);
    te_put_rule(&m->line, m->tables);
    te_report_fact(m, "Decision rule");
    te_put_date(&m->line, m->of->made);
    te_buffer_text(&m->line, ", by topend ");
    te_buffer_safe(&m->line, m->of->version);
    te_report_fact(m, "Report made");
}

/* ---- parts ---- */

static void put_own_hours(struct making *m, const te_verdict *verdict)
{
    te_part_time time;
    te_part_time_at(&time, m->shop, verdict->part, m->inspection->engine, m->inspection->hours);
    if (verdict->kind == TE_KIND_OTHER && time.original) {
        return; /* no part of its own: what was measured of the engine */
    }
    if (isnan(time.own)) {
        te_buffer_text(&m->line, "unknown");
        return;
    }
    te_put_tenths(&m->line, time.own);
    te_buffer_text(&m->line, time.unknown    ? " since its first reading; unknown before"
                             : time.original ? " if never changed"
                                             : "");
}

/* A row of the table of parts; the reason is the text put together. */
static void put_part_row(struct making *m, const te_buffer *part, const te_buffer *kind,
                         te_weight weight, const char *verdict)
{
    m->document->failed = m->document->failed || part->failed || kind->failed;
    te_document_cell(m->document, TE_WEIGHT_PLAIN, part->length == 0 ? "" : part->bytes);
    te_document_cell(m->document, TE_WEIGHT_PLAIN, kind->length == 0 ? "" : kind->bytes);
    te_document_cell(m->document, TE_WEIGHT_PLAIN, "");
    te_document_cell(m->document, weight, verdict);
    te_report_cell(m, TE_WEIGHT_PLAIN);
}

/* Kinds that have required limits and were not measured. */
static void put_unmeasured_kinds(struct making *m)
{
    const te_verdict *assembly = te_assessment_assembly(m->assessment);
    for (uint32_t i = 0; i < assembly->reason_count; i++) {
        const te_reason *reason = &m->assessment->reasons[assembly->first_reason + i];
        if (reason->kind == TE_REASON_KIND_UNMEASURED) {
            te_buffer none = {0};
            te_buffer kind = {0};
            te_put_words(&kind, te_kind_name((te_kind)reason->index));
            te_buffer_text(&m->line, "not measured, though limits are required");
            put_part_row(m, &none, &kind, TE_WEIGHT_WARNING, "incomplete");
            te_buffer_free(&kind);
        }
    }
}

/* Parts that are good alone may not fit each other: the pair quantities that do not pass. */
static void put_fits(struct making *m)
{
    static const char *const words[] = {"do not reuse together", "measure again", "incomplete",
                                        "reuse"};
    for (size_t i = 0; i < m->assessment->finding_count; i++) {
        const te_finding *finding = &m->assessment->findings[i];
        te_verdict_value verdict = te_verdict_of(finding->outcome);
        if (finding->measured.second_kind == TE_KIND_NONE || verdict == TE_REUSE) {
            continue;
        }
        te_buffer parts = {0};
        te_buffer kind = {0};
        te_write_parts(&parts, m->shop, &finding->measured);
        te_buffer_text(&kind, "fit");
        te_put_words(&m->line, te_outcome_name(finding->outcome));
        te_buffer_text(&m->line, ": ");
        te_put_quantity(&m->line, m->shop, finding->measured.quantity, finding->measured.item);
        put_part_row(m, &parts, &kind, te_weight_of_verdict(verdict), words[verdict]);
        te_buffer_free(&parts);
        te_buffer_free(&kind);
    }
}

static void put_parts(struct making *m)
{
    te_document_heading(m->document, 2, "Parts");
    te_document_table(m->document, "");
    te_document_column(m->document, "Part", "", false);
    te_document_column(m->document, "Kind", "", false);
    te_document_column(m->document, "Own hours", "h", false);
    te_document_column(m->document, "Verdict", "", false);
    te_document_column(m->document, "Why", "", false);
    for (size_t i = 0; i + 1 < m->assessment->verdict_count; i++) {
        const te_verdict *verdict = &m->assessment->verdicts[i];
        te_buffer_safe(&m->line, te_shop_text(m->shop, verdict->part));
        te_report_cell(m, TE_WEIGHT_PLAIN);
        te_put_words(&m->line, te_kind_name(verdict->kind));
        te_report_cell(m, TE_WEIGHT_PLAIN);
        put_own_hours(m, verdict);
        te_report_cell(m, TE_WEIGHT_PLAIN);
        te_put_words(&m->line, te_verdict_name(verdict->verdict));
        te_report_cell(m, te_weight_of_verdict(verdict->verdict));
        for (uint32_t j = 0; j < verdict->reason_count; j++) {
            te_buffer_text(&m->line, j > 0 ? "; " : "");
            te_write_reason(&m->line, m->shop, m->assessment,
                            &m->assessment->reasons[verdict->first_reason + j]);
        }
        te_report_cell(m, TE_WEIGHT_PLAIN);
    }
    put_unmeasured_kinds(m);
    put_fits(m);
}

void te_report_inspection(struct making *m)
{
    put_facts(m);
    if (m->assessment->verdict_count > 1) {
        put_parts(m);
    }
}

/* ---- findings ---- */

static void start_findings(struct making *m)
{
    te_document_table(m->document,
                      "Lengths in mm at 20 °C. U: expanded uncertainty (k = 2). p: probability of "
                      "being within the service limits.");
    te_document_column(m->document, "Quantity", "", false);
    te_document_column(m->document, "Part", "", false);
    te_document_column(m->document, "Low", "", true);
    te_document_column(m->document, "High", "", true);
    te_document_column(m->document, "U", "", true);
    te_document_column(m->document, "As new", "", true);
    te_document_column(m->document, "Service", "", true);
    te_document_column(m->document, "p", "", true);
    te_document_column(m->document, "Status", "", false);
    te_document_column(m->document, "Source of the limits", "", false);
}

static void put_value_cell(struct making *m, bool there, double value, const char *unit)
{
    if (there) {
        te_put_value(&m->line, value, unit);
    }
    te_report_cell(m, TE_WEIGHT_PLAIN);
}

static void put_range_cell(struct making *m, const te_finding *finding, double least, double most)
{
    if (finding->has_limit) {
        te_put_range(&m->line, least, most);
    }
    te_report_cell(m, TE_WEIGHT_PLAIN);
}

static void put_name_cells(struct making *m, const te_finding *finding, const char *unit)
{
    te_put_quantity(&m->line, m->shop, finding->measured.quantity, finding->measured.item);
    if (strcmp(unit, "mm") != 0) {
        te_buffer_text(&m->line, " (");
        te_buffer_safe(&m->line, unit);
        te_buffer_text(&m->line, ")");
    }
    te_report_cell(m, TE_WEIGHT_PLAIN);
    te_write_parts(&m->line, m->shop, &finding->measured);
    te_report_cell(m, TE_WEIGHT_PLAIN);
}

static void put_finding(struct making *m, const te_finding *finding)
{
    const char *unit = te_finding_unit(m->shop, m->assessment, finding);
    const te_interval *x = &finding->interval;
    const te_limit *limit = &finding->limit;
    put_name_cells(m, finding, unit);
    put_value_cell(m, finding->computed, x->low, unit);
    put_value_cell(m, finding->computed, x->high, unit);
    if (finding->computed && !x->stated) {
        te_buffer_text(&m->line, "not stated");
        te_report_cell(m, TE_WEIGHT_PLAIN);
    } else {
        put_value_cell(m, finding->computed, 2.0 * fmax(x->u_low, x->u_high), unit);
    }
    put_range_cell(m, finding, limit->new_min, limit->new_max);
    put_range_cell(m, finding, limit->service_min, limit->service_max);
    if (finding->computed && !isnan(finding->judgement.p_within)) {
        te_put_probability(&m->line, finding->judgement.p_within);
    }
    te_report_cell(m, TE_WEIGHT_PLAIN);
    te_put_words(&m->line, te_outcome_name(finding->outcome));
    te_report_cell(m, te_weight_of_outcome(finding->outcome));
    if (finding->has_limit) {
        te_buffer_safe(&m->line,
                       limit->source == 0 ? "not given" : te_shop_text(m->shop, limit->source));
    }
    te_report_cell(m, TE_WEIGHT_QUIET);
}

/* ---- the bore ---- */

typedef bool (*bore_chart)(te_drawing *drawing, const te_shop *shop,
                           const te_assessment *assessment);

static void put_bore_chart(struct making *m, bore_chart draw, const char *caption)
{
    te_drawing drawing = {0};
    if (draw(&drawing, m->shop, m->assessment) || drawing.failed) {
        te_document_figure(m->document, &drawing, caption);
    }
    te_drawing_free(&drawing);
}

static bool has_bore(const struct making *m)
{
    for (size_t i = 0; i < m->assessment->pool.count; i++) {
        if (m->assessment->pool.items[i].feature == TE_Q_BORE) {
            return true;
        }
    }
    return false;
}

static void put_bore(struct making *m)
{
    te_buffer lines = {0};
    if (!has_bore(m)) {
        return;
    }
    te_document_heading(m->document, 2, "The bore");
    put_bore_chart(m, te_chart_bore_map, "Every place gauged, from the deck down");
    put_bore_chart(m, te_chart_bore_profile, "The bore over its height, with its limits");
    put_bore_chart(m, te_chart_bore_sections,
                   "Out of round at each height. A gauge with two contacts does not see lobes of "
                   "an odd number");
    te_notes_shape(&lines, m->assessment);
    if (lines.length > 0) {
        te_document_paragraph(m->document, TE_WEIGHT_PLAIN,
                              "Ovals fitted where three or more directions were gauged:");
    }
    te_report_notes(m, &lines);
}

void te_report_findings(struct making *m)
{
    if (m->assessment->finding_count > 0) {
        te_document_heading(m->document, 2, "Findings");
        start_findings(m);
    }
    for (size_t i = 0; i < m->assessment->finding_count; i++) {
        put_finding(m, &m->assessment->findings[i]);
    }
    put_bore(m);
}
