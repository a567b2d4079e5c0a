/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the files of the report share. */
#ifndef TOPEND_REPORT_REPORT_PARTS_H
#define TOPEND_REPORT_REPORT_PARTS_H

#include "notes.h"
#include "pieces.h"
#include "put.h"
#include "topend/report.h"

/* A report while it is made. */
struct making {
    te_document *document;
    const te_report *of;
    const te_shop *shop;
    const te_tables *tables;
    const te_assessment *assessment;
    const te_inspection *inspection;
    const te_engine *engine;
    te_buffer line; /* the text that is being put together */
};

/* Hand the text put together on, and empty it. */
void te_report_paragraph(struct making *m, te_weight weight);
void te_report_item(struct making *m, te_weight weight);
void te_report_cell(struct making *m, te_weight weight);

/* A row of a table of two columns: the value is the text put together. */
void te_report_fact(struct making *m, const char *name);

/* Lines of notes as the entries of a list; frees them. */
void te_report_notes(struct making *m, te_buffer *lines);

/* How an outcome is meant. */
te_weight te_weight_of_outcome(te_outcome outcome);

/* True for a series of what is on the engine at the inspection; its name and its parts. */
bool te_report_shows(const struct making *m, const te_series *series);
void te_report_series_name(struct making *m, const te_series *series);
void te_report_series_parts(struct making *m, const te_series *series);

/* The cells that begin a row on a series: its name, with a unit that is not mm, and its parts. */
void te_report_series_cells(struct making *m, const te_series *series, const char *unit);

/* ---- the parts, in order ---- */

void te_report_front(struct making *m);      /* report_front.c: verdict, reasons, what to do next */
void te_report_inspection(struct making *m); /* report_findings.c: engine, inspection, parts */
void te_report_findings(struct making *m);   /* report_findings.c: quantities, the bore */
void te_report_trends(struct making *m);     /* report_wear.c */
void te_report_builds(struct making *m);     /* report_wear.c */
void te_report_conditions(struct making *m); /* report_annex.c: what was seen */
void te_report_instruments(struct making *m); /* report_annex.c */
void te_report_annex(struct making *m);       /* report_annex.c: readings, files */

#endif
