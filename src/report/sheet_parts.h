/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the files of the measuring sheet share. */
#ifndef TOPEND_REPORT_SHEET_PARTS_H
#define TOPEND_REPORT_SHEET_PARTS_H

#include "put.h"
#include "topend/sheet.h"

/* ---- sheet_last.c ---- */

/* Finds the parts on the engine now. */
void te_sheet_find_parts(te_sheet *sheet, const te_shop *shop);

/* Finds last time's values, and by them and the instruments what each row asks for. A place of an
 * earlier inspection holds in `part` the part that was read. */
te_status te_sheet_find_last(te_sheet *sheet, const te_shop *shop, te_date today);

/* The text of the original part of a kind, `ENGINE/kind`. */
void te_sheet_put_original(te_buffer *buffer, const te_shop *shop, uint32_t engine, te_kind kind);

/* ---- for the writers (sheet.c) ---- */

/* True for a text that makes a comment of the row that begins with it. */
bool te_sheet_is_comment(const char *text);

/* Rows that a place takes, and the repeats of one of them, from 0. */
unsigned te_sheet_rows(const te_sheet_place *place);
unsigned te_sheet_row_repeats(const te_sheet_place *place, unsigned row);

/* What the places of a sheet need, together. */
struct sheet_needs {
    bool part, item, position, direction, no_go, zero, unit;
    unsigned repeats; /* the most of a row */
};
struct sheet_needs te_sheet_needs(const te_sheet *sheet);

/* The word of a unit as a row names it; "" for mm. */
const char *te_sheet_unit(const te_sheet_place *place, const te_shop *shop);

/* A length in the unit that stands beside a row's reading (mm, or inches). */
double te_sheet_beside(const te_sheet_place *place, double mm);

#endif
