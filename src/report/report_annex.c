/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the figures rest on: condition, instruments, and in the annex each reading and file. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "report_parts.h"

void te_report_conditions(struct making *m)
{
    te_buffer lines = {0};
    te_document_heading(m->document, 2, "Condition");
    te_notes_condition(&lines, m->shop, m->assessment);
    if (lines.length == 0) {
        te_document_paragraph(m->document, TE_WEIGHT_PLAIN,
                              "None recorded. Sizes do not show cracks.");
    }
    te_report_notes(m, &lines);
}

/* ---- instruments ---- */

static void put_figure_cell(struct making *m, double value)
{
    if (!isnan(value)) {
        te_put_number(&m->line, value, 9);
    }
    te_report_cell(m, TE_WEIGHT_PLAIN);
}

static void put_text_cell(struct making *m, te_id text)
{
    te_buffer_safe(&m->line, te_shop_text(m->shop, text));
    te_report_cell(m, TE_WEIGHT_PLAIN);
}

static void put_date_cell(struct making *m, te_date date)
{
    if (date != TE_NO_DATE) {
        te_put_date(&m->line, date);
    }
    te_report_cell(m, TE_WEIGHT_PLAIN);
}

static void put_instrument(struct making *m, const te_instrument *gauge)
{
    bool past = gauge->due != TE_NO_DATE && gauge->due < m->inspection->date;
    put_text_cell(m, gauge->id);
    put_text_cell(m, gauge->description);
    put_figure_cell(m, gauge->resolution);
    put_figure_cell(m, gauge->expanded_uncertainty);
    put_figure_cell(m, gauge->repeatability);
    put_text_cell(m, gauge->set_with);
    put_date_cell(m, gauge->calibrated);
    if (gauge->due != TE_NO_DATE) {
        te_put_date(&m->line, gauge->due);
        te_buffer_text(&m->line, past ? ", PAST DUE at the inspection" : "");
    }
    te_report_cell(m, past ? TE_WEIGHT_WARNING : TE_WEIGHT_PLAIN);
}

/* The gauges that were used and what they were set with, each once. */
static size_t find_instruments(const te_instrument **list, size_t capacity, const struct making *m)
{
    size_t count = 0;
    te_date day = m->inspection->date;
    for (size_t i = 0; i < m->assessment->pool.count; i++) {
        const te_observation *x = &m->assessment->pool.items[i];
        const te_instrument *gauge = te_shop_gauge(m->shop, x->instrument, day);
        for (; gauge != NULL; gauge = te_shop_gauge(m->shop, gauge->set_with, day)) {
            bool known = false;
            for (size_t j = 0; j < count; j++) {
                known = known || list[j] == gauge;
            }
            if (!known && count < capacity) {
                list[count++] = gauge;
            }
        }
    }
    return count;
}

void te_report_instruments(struct making *m)
{
    const te_instrument **list = calloc(m->tables->instrument_count + 1, sizeof *list);
    if (list == NULL) {
        m->document->failed = true;
        return;
    }
    size_t count = find_instruments(list, m->tables->instrument_count, m);
    te_document_heading(m->document, 2, "Instruments");
    if (count == 0) {
        te_document_paragraph(m->document, TE_WEIGHT_PLAIN, "None declared in instruments.csv.");
        free(list);
        return;
    }
    te_document_table(m->document, "Lengths in mm. U: expanded uncertainty of the calibration "
                                   "(k = 2). Repeatability: as a standard deviation.");
    te_document_column(m->document, "Instrument", "", false);
    te_document_column(m->document, "Description", "", false);
    te_document_column(m->document, "Resolution", "", true);
    te_document_column(m->document, "U", "", true);
    te_document_column(m->document, "Repeatability", "", true);
    te_document_column(m->document, "Set with", "", false);
    te_document_column(m->document, "Calibrated", "", false);
    te_document_column(m->document, "Due", "", false);
    for (size_t i = 0; i < count; i++) {
        put_instrument(m, list[i]);
    }
    free(list);
}

/* ---- readings ---- */

static bool uses(const te_form *form, uint32_t observation)
{
    for (size_t i = 0; i < form->count; i++) {
        if (form->observation[i] == observation) {
            return true;
        }
    }
    return false;
}

/* The quantities whose value rests on a reading. */
static void put_uses(struct making *m, uint32_t observation)
{
    for (size_t i = 0; i < m->assessment->finding_count; i++) {
        const te_finding *finding = &m->assessment->findings[i];
        bool low = finding->computed && uses(&finding->measured.low, observation);
        bool high = finding->computed && uses(&finding->measured.high, observation);
        if (low || high) {
            te_buffer_text(&m->line, m->line.length > 0 ? "; " : "");
            te_put_quantity(&m->line, m->shop, finding->measured.quantity, finding->measured.item);
            te_buffer_text(&m->line, low && high ? "" : low ? " low" : " high");
        }
    }
    te_report_cell(m, TE_WEIGHT_QUIET);
}

/* Where the repeats of an observation stand in the files. */
static void put_origins(struct making *m, uint32_t first, uint32_t end)
{
    te_origin before = {.line = 0};
    for (uint32_t i = first; i < end; i++) {
        te_origin origin = te_reading_origin(&m->tables->readings[m->tables->by_inspection[i]]);
        if (i == first || origin.file != before.file) {
            te_buffer_text(&m->line, i == first ? "" : ", ");
            te_put_origin(&m->line, m->shop, origin);
        } else if (origin.line != before.line) {
            te_buffer_text(&m->line, ", ");
            te_put_count(&m->line, origin.line);
        }
        before = origin;
    }
    te_report_cell(m, TE_WEIGHT_PLAIN);
}

/* The repeats as they were read, with their leaves. */
static void put_repeats(struct making *m, uint32_t first, uint32_t end)
{
    for (uint32_t i = first; i < end; i++) {
        const te_reading *reading = &m->tables->readings[m->tables->by_inspection[i]];
        te_buffer_text(&m->line, i == first ? "" : "; ");
        te_put_number(&m->line, reading->value, 9);
        if (!isnan(reading->setup->no_go)) {
            te_buffer_text(&m->line, " goes, ");
            te_put_number(&m->line, reading->setup->no_go, 9);
            te_buffer_text(&m->line, " does not");
        }
    }
    te_report_cell(m, TE_WEIGHT_PLAIN);
}

static void put_reading(struct making *m, uint32_t observation, uint32_t first, uint32_t end)
{
    enum { DECIMALS = 6 };
    const te_observation *x = &m->assessment->pool.items[observation];
    put_origins(m, first, end);
    te_put_place(&m->line, m->shop, x->feature, x->item, x->position, x->direction);
    te_report_cell(m, TE_WEIGHT_PLAIN);
    put_text_cell(m, x->part);
    put_text_cell(m, x->instrument);
    put_figure_cell(m, x->zero);
    put_repeats(m, first, end);
    te_put_fixed(&m->line, x->value - x->raw, DECIMALS);
    te_report_cell(m, TE_WEIGHT_PLAIN);
    te_put_fixed(&m->line, x->value, DECIMALS);
    te_report_cell(m, TE_WEIGHT_PLAIN);
    te_put_fixed(&m->line, x->u, DECIMALS);
    te_buffer_text(&m->line, x->stated ? "" : " (not stated in full)");
    te_report_cell(m, TE_WEIGHT_PLAIN);
    put_uses(m, observation);
}

static void put_readings(struct making *m)
{
    te_document_heading(m->document, 3, "Readings");
    te_document_table(m->document,
                      "Lengths in mm, others in the feature's own unit. Correction: from the "
                      "temperature of the inspection to 20 °C. u: standard uncertainty.");
    te_document_column(m->document, "File and line", "", false);
    te_document_column(m->document, "Place", "", false);
    te_document_column(m->document, "Part", "", false);
    te_document_column(m->document, "Gauge", "", false);
    te_document_column(m->document, "Zero", "", true);
    te_document_column(m->document, "Read", "", true);
    te_document_column(m->document, "Correction", "", true);
    te_document_column(m->document, "At 20 °C", "", true);
    te_document_column(m->document, "u", "", true);
    te_document_column(m->document, "Used in", "", false);
    uint32_t end = m->inspection->first_reading + m->inspection->reading_count;
    uint32_t observation = 0; /* te_observe makes one a group of repeats, in this order */
    for (uint32_t first = m->inspection->first_reading; first < end; observation++) {
        uint32_t next = te_shop_group_end(m->shop, m->inspection, first);
        put_reading(m, observation, first, next);
        first = next;
    }
}

/* ---- points of the rates ---- */

/* The readings of a form, with the sign that each has in it. */
static void put_form_origins(struct making *m, const te_form *form)
{
    for (size_t i = 0; i < form->count; i++) {
        const te_observation *x = &m->of->history->pool.items[form->observation[i]];
        te_origin origin = te_reading_origin(&m->tables->readings[x->reading]);
        te_buffer_text(&m->line, i == 0 ? "" : " ");
        te_buffer_text(&m->line, form->coefficient[i] < 0.0 ? "- " : i == 0 ? "" : "+ ");
        te_put_origin(&m->line, m->shop, origin);
    }
    te_report_cell(m, TE_WEIGHT_QUIET);
}

static void put_point(struct making *m, const te_series *series, const te_point *point)
{
    enum { DIGITS = 9 };
    te_report_series_cells(m, series, "mm");
    te_put_number(&m->line, point->hours, DIGITS);
    te_report_cell(m, TE_WEIGHT_PLAIN);
    te_put_number(&m->line, point->value, DIGITS);
    te_report_cell(m, TE_WEIGHT_PLAIN);
    if (point->stated) {
        te_put_number(&m->line, point->u, DIGITS);
    }
    te_report_cell(m, TE_WEIGHT_PLAIN);
    te_buffer_text(&m->line, point->fitted    ? "yes"
                             : point->run_in  ? "no: run-in"
                             : point->partial ? "no: places missing"
                                              : "no");
    te_report_cell(m, TE_WEIGHT_PLAIN);
    if (point->assumed) {
        te_document_cell(m->document, TE_WEIGHT_PLAIN, "ASSUMED as new");
        te_document_cell(m->document, TE_WEIGHT_QUIET, "middle of the as-new limits");
        return;
    }
    put_text_cell(m, m->tables->inspections[point->inspection].id);
    put_form_origins(m, &point->form);
}

static void start_points(struct making *m)
{
    te_document_heading(m->document, 3, "Points of the rates");
    te_document_table(m->document, "Each with the first reading of what it is made of. u: standard "
                                   "uncertainty; empty where it is not stated.");
    te_document_column(m->document, "Quantity", "", false);
    te_document_column(m->document, "Part", "", false);
    te_document_column(m->document, "Hours", "", true);
    te_document_column(m->document, "Value", "", true);
    te_document_column(m->document, "u", "", true);
    te_document_column(m->document, "In the rate", "", false);
    te_document_column(m->document, "Inspection", "", false);
    te_document_column(m->document, "Readings", "", false);
}

static void put_points(struct making *m)
{
    const te_history *history = m->of->history;
    bool any = false;
    for (size_t i = 0; i < history->series_count; i++) {
        const te_series *series = &history->series[i];
        if (!te_report_shows(m, series) || series->method == TE_RATE_NONE) {
            continue;
        }
        if (!any) {
            start_points(m);
            any = true;
        }
        for (uint32_t j = 0; j < series->point_count; j++) {
            put_point(m, series, &history->points[series->first_point + j]);
        }
    }
}

/* ---- files ---- */

static void put_files(struct making *m)
{
    te_document_heading(m->document, 3, "Files");
    te_document_table(m->document, "The files read, and the SHA-256 digest of their bytes.");
    te_document_column(m->document, "File", "", false);
    te_document_column(m->document, "SHA-256", "", false);
    for (size_t i = 0; i < m->of->digest_count; i++) {
        te_document_cell(m->document, TE_WEIGHT_PLAIN, m->of->digests[i].file);
        te_document_cell(m->document, TE_WEIGHT_QUIET, m->of->digests[i].sha256);
    }
}

void te_report_annex(struct making *m)
{
    te_document_page(m->document);
    te_document_heading(m->document, 2, "Annex: what the figures rest on");
    if (m->inspection->reading_count > 0) {
        put_readings(m);
    }
    put_points(m);
    if (m->of->digest_count > 0) {
        put_files(m);
    }
}
