/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Cells of CSV outputs. */
#ifndef TOPEND_REPORT_CSV_H
#define TOPEND_REPORT_CSV_H

#include "put.h"

/* Makes a cell of what was written since `start`, safe to show: quoted where needed, formulas
 * disarmed. */
void te_csv_finish(te_buffer *buffer, size_t start);

/* A cell of text from the files. */
void te_csv_text(te_buffer *buffer, const char *text);

/* A number to 9 significant digits; empty for NAN. */
void te_csv_number(te_buffer *buffer, double value);

/* The same, a comma before each. */
void te_csv_numbers(te_buffer *buffer, const double *numbers, size_t count);

void te_csv_comma(te_buffer *buffer);

/* part,kind,quantity,item */
void te_csv_subject(te_buffer *buffer, const te_shop *shop, const te_measured *measured);

/* A row a finding. All begin with what stands in `front`, to which the inspection is added. */
void te_csv_findings(te_buffer *buffer, te_buffer *front, const te_shop *shop,
                     const te_assessment *assessment);

/* engine,inspection,date,hours */
void te_csv_inspection(te_buffer *buffer, const te_shop *shop, uint32_t index);

#endif
