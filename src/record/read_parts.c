/* SPDX-License-Identifier: GPL-3.0-or-later */
/* parts.csv, inspections.csv, condition.csv */
#include <math.h>

#include "table.h"

/* The engine that a cell names; the row's problems then touch that engine alone. */
static uint32_t engine_cell(struct te_table *table, int column)
{
    te_slice cell = te_cell(table, column);
    char shown[TE_SHOWN];
    if (cell.length == 0) {
        return TE_NO_INDEX;
    }
    uint32_t engine = te_cell_find(&table->engine, table, &table->shop->engine_of, cell);
    if (engine == TE_NO_INDEX && (table->shop->failed_files & TE_FILE_ENGINES) != 0) {
        return TE_NO_INDEX;
    }
    if (engine == TE_NO_INDEX) {
        te_row_error(table, column, "add it to engines.csv, or correct the name",
                     "there is no engine \"%s\"", te_cell_shown(shown, cell));
        return TE_NO_INDEX;
    }
    table->scope = TE_SCOPE_ENGINE;
    table->scope_id = table->shop->engines.items[engine].id;
    return engine;
}

/* ---- parts.csv ---- */

enum {
    PART_ID,
    PART_KIND,
    PART_ENGINE,
    PART_FITTED,
    PART_REMOVED,
    PART_BEFORE,
    PART_OVERSIZE,
    PART_NOTE
};

/* Hours, or `?` for a history that is not known (then counted from 0). */
static double hours_or_unknown(struct te_table *table, int column, bool *unknown)
{
    if (te_cell_is(table, column, "?")) {
        *unknown = true;
        return 0.0;
    }
    double hours = te_cell_number(table, column, &te_range_not_negative);
    return isnan(hours) ? 0.0 : hours;
}

/* A part's name that is a kind's word, or another kind's original part, would be taken for that. */
static void check_part_name(struct te_table *table, te_kind kind)
{
    te_slice name = te_cell(table, PART_ID);
    te_slice tail = name;
    for (size_t i = 0; i < name.length; i++) {
        if (name.bytes[i] == '/') {
            tail = (te_slice){name.bytes + i + 1, name.length - i - 1};
        }
    }
    te_kind meant = te_kind_find(tail);
    bool whole = tail.length == name.length;
    if (meant != TE_KIND_NONE && (whole || meant != kind)) {
        te_row_error(table, PART_ID, "give the part a name of its own",
                     whole ? "the name is the word of a kind"
                           : "the name is that of an original part of another kind");
    }
}

static void read_part_row(struct te_table *table)
{
    te_shop *shop = table->shop;
    te_stay stay = {.origin = table->origin};
    stay.engine = engine_cell(table, PART_ENGINE);
    stay.part = te_cell_text(table, PART_ID);
    stay.kind = te_cell_kind(table, PART_KIND);
    check_part_name(table, stay.kind);
    stay.fitted_hours = hours_or_unknown(table, PART_FITTED, &stay.unknown_history);
    stay.removed_hours = te_cell_number(table, PART_REMOVED, &te_range_not_negative);
    stay.hours_before = hours_or_unknown(table, PART_BEFORE, &stay.unknown_history);
    double oversize = te_cell_number(table, PART_OVERSIZE, &te_range_not_negative);
    stay.oversize = isnan(oversize) ? 0.0 : oversize;
    stay.note = te_cell_text(table, PART_NOTE);
    if (stay.removed_hours < stay.fitted_hours) {
        te_row_error(table, PART_REMOVED, "check both hours", "it is removed before it is fitted");
    }
    if (isnan(stay.removed_hours)) {
        stay.removed_hours = INFINITY;
    }
    if (stay.part == 0 || stay.kind == TE_KIND_NONE || stay.engine == TE_NO_INDEX ||
        table->row_bad) {
        return;
    }
    if (!VECTOR_ROOM(&shop->stays)) {
        shop->out_of_memory = true;
        return;
    }
    shop->stays.items[shop->stays.count++] = stay;
}

const struct te_schema te_schema_parts = {
    .file = "parts.csv",
    .bit = TE_FILE_PARTS,
    .columns = {[PART_ID] = {"part", TE_COLUMN_REQUIRED},
                [PART_KIND] = {"kind", TE_COLUMN_REQUIRED},
                [PART_ENGINE] = {"engine", TE_COLUMN_REQUIRED},
                [PART_FITTED] = {"fitted_hours", TE_COLUMN_REQUIRED | TE_COLUMN_GROUPED},
                [PART_REMOVED] = {"removed_hours", TE_COLUMN_GROUPED},
                [PART_BEFORE] = {"hours_before", TE_COLUMN_GROUPED},
                [PART_OVERSIZE] = {"oversize", TE_COLUMN_DIGITS},
                [PART_NOTE] = {"note", 0}},
    .row = read_part_row,
};

/* ---- inspections.csv ---- */

enum {
    INSP_ID,
    INSP_ENGINE,
    INSP_DATE,
    INSP_HOURS,
    INSP_STATE,
    INSP_TEMPERATURE,
    INSP_TEMPERATURE_U,
    INSP_BY,
    INSP_NOTE
};

/* Kelvin, standard. No thermometer of a workshop is worse; the decimals of hours or of a temperature written with a
 * comma land in this cell. */
static const double thermometer_most = 3.0;

static void read_temperature(struct te_table *table, te_inspection *inspection)
{
    static const struct te_range workshop = {-30.0, 50.0, false, false,
                                             "from -30 to 50 degrees Celsius (Fahrenheit?)"};
    inspection->temperature = te_cell_number(table, INSP_TEMPERATURE, &workshop);
    inspection->temperature_uncertainty = te_cell_number(table, INSP_TEMPERATURE_U,
                                                         &te_range_not_negative);
    if (inspection->temperature_uncertainty > thermometer_most) {
        te_row_warning(table, INSP_TEMPERATURE_U, "is there a decimal comma before it?",
                       "an uncertainty above 3 K is large");
    }
    if (te_cell(table, INSP_TEMPERATURE).length == 0) {
        te_row_warning(
            table, INSP_TEMPERATURE, "read the thermometer next time",
            "no temperature: sizes are not corrected, an error of 5 K either way is allowed for");
    }
}

static void read_inspection_row(struct te_table *table)
{
    static const char *const states[] = {"found", "built"};
    te_shop *shop = table->shop;
    te_inspection inspection = {.origin = table->origin};
    char shown[TE_SHOWN];
    inspection.engine = engine_cell(table, INSP_ENGINE);
    inspection.id = te_cell_text(table, INSP_ID);
    inspection.date = te_cell_date(table, INSP_DATE);
    inspection.hours = te_cell_number(table, INSP_HOURS, &te_range_not_negative);
    int state = te_cell_choice(table, INSP_STATE, states, 2, -1);
    inspection.state = (te_state)(state + 1);
    read_temperature(table, &inspection);
    inspection.by = te_cell_text(table, INSP_BY);
    inspection.note = te_cell_text(table, INSP_NOTE);
    if (inspection.id == 0) {
        return;
    }
    if (te_id_map_get(&shop->inspection_of, inspection.id) != TE_NO_INDEX) {
        te_row_error(table, INSP_ID, "give each inspection a name of its own", "%s stands twice",
                     te_cell_shown(shown, te_cell(table, INSP_ID)));
        return;
    }
    if (!VECTOR_ROOM(&shop->inspections) ||
        !te_id_map_set(&shop->inspection_of, inspection.id, (uint32_t)shop->inspections.count)) {
        shop->out_of_memory = true;
        return;
    }
    shop->inspections.items[shop->inspections.count++] = inspection;
}

const struct te_schema te_schema_inspections = {
    .file = "inspections.csv",
    .bit = TE_FILE_INSPECTIONS,
    .columns = {[INSP_ID] = {"inspection", TE_COLUMN_REQUIRED},
                [INSP_ENGINE] = {"engine", TE_COLUMN_REQUIRED},
                [INSP_DATE] = {"date", TE_COLUMN_REQUIRED},
                [INSP_HOURS] = {"hours", TE_COLUMN_REQUIRED | TE_COLUMN_GROUPED},
                [INSP_STATE] = {"state", 0},
                [INSP_TEMPERATURE] = {"temperature", 0},
                [INSP_TEMPERATURE_U] = {"temperature_uncertainty", TE_COLUMN_DIGITS},
                [INSP_BY] = {"by", 0},
                [INSP_NOTE] = {"note", 0}},
    .row = read_inspection_row,
};

/* ---- condition.csv ---- */

enum { COND_INSPECTION, COND_PART, COND_FINDING, COND_SEVERITY };

static void read_condition_row(struct te_table *table)
{
    static const char *const severities[] = {"note", "watch", "reject"};
    te_shop *shop = table->shop;
    te_condition condition = {.origin = table->origin, .kind = TE_KIND_NONE};
    condition.inspection = te_row_inspection(table, COND_INSPECTION);
    te_slice part = te_cell(table, COND_PART);
    condition.kind = te_kind_find(part);
    condition.part = condition.kind == TE_KIND_NONE ? te_cell_text(table, COND_PART) : 0;
    condition.finding = te_cell_text(table, COND_FINDING);
    int severity = te_cell_choice(table, COND_SEVERITY, severities, 3, -1);
    condition.severity = severity < 0 ? TE_REJECT : (te_finding_severity)severity;
    if (condition.inspection == TE_NO_INDEX || part.length == 0) {
        return;
    }
    if (!VECTOR_ROOM(&shop->conditions)) {
        shop->out_of_memory = true;
        return;
    }
    shop->conditions.items[shop->conditions.count++] = condition;
}

const struct te_schema te_schema_condition = {
    .file = "condition.csv",
    .bit = TE_FILE_CONDITION,
    .columns = {[COND_INSPECTION] = {"inspection", TE_COLUMN_REQUIRED},
                [COND_PART] = {"part", TE_COLUMN_REQUIRED},
                [COND_FINDING] = {"finding", TE_COLUMN_REQUIRED},
                [COND_SEVERITY] = {"severity", TE_COLUMN_REQUIRED}},
    .row = read_condition_row,
};
