/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The order of the report, and what its parts share. */
#include "topend/report.h"

#include "options_words.h"
#include "report_parts.h"

/* ---- shared ---- */

void te_report_paragraph(struct making *m, te_weight weight)
{
    te_piece_paragraph(m->document, weight, &m->line);
}

void te_report_item(struct making *m, te_weight weight)
{
    te_piece_item(m->document, weight, &m->line);
}

void te_report_cell(struct making *m, te_weight weight)
{
    te_piece_cell(m->document, weight, &m->line);
}

void te_report_fact(struct making *m, const char *name)
{
    if (m->line.length > 0) {
        te_document_cell(m->document, TE_WEIGHT_PLAIN, name);
        te_report_cell(m, TE_WEIGHT_PLAIN);
    }
}

void te_report_notes(struct making *m, te_buffer *lines)
{
    te_slice line;
    m->document->failed = m->document->failed || lines->failed;
    for (size_t at = 0; te_notes_take(&line, lines, &at);) {
        te_buffer_add(&m->line, line.bytes, line.length);
        te_report_item(m, TE_WEIGHT_PLAIN);
    }
    te_buffer_free(lines);
}

te_weight te_weight_of_outcome(te_outcome outcome)
{
    switch (outcome) {
    case TE_BEYOND: return TE_WEIGHT_BAD;
    case TE_MISSING:
    case TE_UNDECIDED:
    case TE_OUTSIDE_NEW: return TE_WEIGHT_WARNING;
    case TE_AS_NEW:
    case TE_SERVICEABLE: return TE_WEIGHT_GOOD;
    case TE_NO_LIMIT: break;
    }
    return TE_WEIGHT_PLAIN;
}

/* ---- the report ---- */

static void start(struct making *m)
{
    te_buffer title = {0};
    te_buffer_text(&title, "Inspection report: ");
    te_buffer_safe(&title, te_shop_text(m->shop, m->engine->id));
    te_document_heading(m->document, 1, title.failed ? "" : title.bytes);
    te_buffer_text(&title, ", "); /* loose pages are told apart by what stands at their foot */
    te_buffer_safe(&title, te_shop_text(m->shop, m->inspection->id));
    te_buffer_text(&title, " of ");
    te_put_date(&title, m->inspection->date);
    te_buffer_text(&m->line, "Inspection ");
    te_buffer_safe(&m->line, te_shop_text(m->shop, m->inspection->id));
    te_piece_start(m->document, &title, &m->line, m->of->version);
    m->line.length = 0;
    te_buffer_free(&title);
}

static void put_assumed(struct making *m)
{
    te_buffer lines = {0};
    te_document_heading(m->document, 2, "What was assumed");
    te_notes_assumed(&lines, m->shop, m->assessment);
    te_report_notes(m, &lines);
}

static void put_signatures(struct making *m)
{
    te_document_heading(m->document, 2, "Signatures");
    te_document_signature(m->document, "Measured by, date");
    te_document_signature(m->document,
                          "Decided by, date (where the law asks for one: a licensed technician)");
}

void te_report_make(te_document *document, const te_report *report)
{
    struct making m = {.document = document,
                       .of = report,
                       .shop = report->shop,
                       .tables = te_shop_tables(report->shop),
                       .assessment = report->assessment};
    m.inspection = &m.tables->inspections[report->assessment->inspection];
    m.engine = &m.tables->engines[m.inspection->engine];
    start(&m);
    te_report_front(&m);
    te_report_inspection(&m);
    te_report_findings(&m);
    te_report_trends(&m);
    te_report_builds(&m);
    if (report->options != NULL) {
        te_piece_options(document, report->options, 2);
    }
    te_report_conditions(&m);
    te_report_instruments(&m);
    put_assumed(&m);
    te_piece_cautions(document);
    put_signatures(&m);
    te_report_annex(&m);
    document->failed = document->failed || m.line.failed;
    te_buffer_free(&m.line);
}
