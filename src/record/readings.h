/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Rows of readings: what reading them cell by cell and in bulk have in common. */
#ifndef TOPEND_RECORD_READINGS_H
#define TOPEND_RECORD_READINGS_H

#include "table.h"

/* Columns of te_schema_readings. */
enum {
    READ_INSPECTION,
    READ_FEATURE,
    READ_PART,
    READ_ITEM,
    READ_POSITION,
    READ_DIRECTION,
    READ_VALUE_1,
    READ_VALUE_2,
    READ_VALUE_3,
    READ_VALUE_4,
    READ_VALUE_5,
    READ_NO_GO,
    READ_ZERO,
    READ_UNIT,
    READ_INSTRUMENT,
    READ_NOTE
};

/* Of a shop: their indices have 32 bits, and the last two are no index. */
#define TE_READINGS_MOST (UINT32_MAX - 1)

/* The cells of the row that make a setup; what differs between rows most often stands first. */
static inline void te_setup_cells(te_slice cells[TE_SETUP_CELLS], const struct te_table *table)
{
    static const int columns[TE_SETUP_CELLS] = {READ_POSITION, READ_DIRECTION,  READ_FEATURE,
                                                READ_ITEM,     READ_NO_GO,      READ_ZERO,
                                                READ_UNIT,     READ_INSTRUMENT, READ_NOTE};
    for (int i = 0; i < TE_SETUP_CELLS; i++) {
        cells[i] = te_cell(table, columns[i]);
    }
}

/* A negative reading is a deviation from a zero, or belongs to a feature of the user's own. */
const struct te_range *te_value_range(const te_setup *setup);

bool te_in_range(double value, const struct te_range *range);

/* Puts a value as written, in the unit of the reading's setup, from a column of values. */
void te_reading_set(te_reading *reading, double value, unsigned decimals, int column);

/* The inspection of that name, or TE_NO_INDEX; remembers it, for rows of one mostly stand together. */
uint32_t te_row_find_inspection(struct te_table *table, te_slice cell);

#endif
