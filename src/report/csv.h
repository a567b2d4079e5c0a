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

void te_csv_comma(te_buffer *buffer);

/* part,kind,quantity,item */
void te_csv_subject(te_buffer *buffer, const te_shop *shop, const te_measured *measured);

/* A row of a finding. */
void te_csv_finding(te_buffer *buffer, const te_shop *shop, const te_assessment *assessment,
                    const te_finding *finding);

/* engine,inspection,date,hours */
void te_csv_inspection(te_buffer *buffer, const te_shop *shop, uint32_t index);

#endif
