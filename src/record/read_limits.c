/* SPDX-License-Identifier: GPL-3.0-or-later */
/* limits.csv, instruments.csv */
#include <math.h>

#include "table.h"

/* ---- limits.csv ---- */

enum {
    LIMIT_MODEL,
    LIMIT_QUANTITY,
    LIMIT_ITEM,
    LIMIT_UNIT,
    LIMIT_NEW_MIN,
    LIMIT_NEW_MAX,
    LIMIT_SERVICE_MIN,
    LIMIT_SERVICE_MAX,
    LIMIT_REQUIRED,
    LIMIT_SOURCE
};

/* NAN never compares true: an absent limit contradicts nothing. */
static void check_order(struct te_table *table, const te_limit *limit)
{
    const struct {
        int column;
        double low, high;
        const char *words;
    } pairs[] = {
        {LIMIT_NEW_MIN, limit->new_min, limit->new_max, "new_min is above new_max"},
        {LIMIT_SERVICE_MIN, limit->service_min, limit->service_max,
         "service_min is above service_max"},
        {LIMIT_SERVICE_MAX, limit->new_max, limit->service_max, "new_max is above service_max"},
        {LIMIT_SERVICE_MIN, limit->service_min, limit->new_min, "service_min is above new_min"},
        {LIMIT_SERVICE_MAX, limit->new_min, limit->service_max, "new_min is above service_max"},
        {LIMIT_SERVICE_MIN, limit->service_min, limit->new_max, "service_min is above new_max"},
    };
    for (size_t i = 0; i < sizeof pairs / sizeof *pairs; i++) {
        if (pairs[i].low > pairs[i].high) {
            te_row_error(table, pairs[i].column, "check both limits", "%s", pairs[i].words);
            return;
        }
    }
}

/* No size of a small engine's top end is a metre, no clearance, gap, play or deviation 10 mm: a unit or
 * an exponent is wrong, and the limit would pass all. */
static void check_magnitude(struct te_table *table, const te_limit *limit)
{
    const double values[] = {limit->new_min, limit->new_max, limit->service_min,
                             limit->service_max};
    bool own = limit->quantity >= TE_Q_OWN; /* may be a size */
    bool size = own || te_quantity_is(limit->quantity, TE_TRAIT_SIZE);
    double most = size ? 1000.0 : 10.0; /* mm */
    for (int i = 0; i < 4 && limit->unit != TE_UNIT_OWN; i++) {
        if (fabs(values[i]) > most) {
            te_row_error(table, LIMIT_NEW_MIN + i, "check the figure and the unit",
                         "a limit of %s is above %s mm",
                         own ? "a feature of your own" : te_quantity_info_of(limit->quantity)->name,
                         size ? "1000" : "10");
            return;
        }
    }
}

/* How far a part may wear from new is little beside its size, and no more than some clearances: past that
 * a digit or a mark is wrong. With a service limit that far off everything would pass, or nothing. */
static void check_wear_allowed(struct te_table *table, const te_limit *limit)
{
    const double most_apart =
        0.5; /* mm, of a size; bores of small engines are let go at 0.1 to 0.2 */
    const double most_times = 10.0;
    const double service[] = {limit->service_min, limit->service_max};
    if (table->row_bad || limit->quantity >= TE_Q_OWN) {
        return;
    }
    bool size = te_quantity_is(limit->quantity, TE_TRAIT_SIZE);
    for (int i = 0; size && i < 2; i++) {
        double apart = fmin(fabs(service[i] - limit->new_min), fabs(service[i] - limit->new_max));
        if (apart > most_apart) {
            te_row_warning(table, LIMIT_SERVICE_MIN + i, "check the digits and the mark",
                           "it is more than 0.5 mm from the as-new limits of the row");
        }
    }
    if (!size && limit->service_max > most_times * limit->new_max && limit->new_max > 0.0) {
        te_row_warning(table, LIMIT_SERVICE_MAX, "check the digits and the mark",
                       "it is more than ten times new_max");
    }
}

static void add_limit(struct te_table *table, const te_limit *limit)
{
    te_shop *shop = table->shop;
    if (!VECTOR_ROOM(&shop->limits)) {
        shop->out_of_memory = true;
        return;
    }
    shop->limits.items[shop->limits.count++] = *limit;
    if (limit->quantity >= TE_Q_OWN) {
        shop->own.items[limit->quantity - TE_Q_OWN].in_limits = true;
    }
}

static void read_limit_row(struct te_table *table)
{
    static const char *const yes_no[] = {"no", "yes"};
    te_limit limit = {.origin = table->origin};
    te_id model = te_cell_text(table, LIMIT_MODEL);
    if (model == 0) {
        return;
    }
    limit.model = te_row_model(table, model);
    limit.quantity = te_cell_quantity(table, LIMIT_QUANTITY, false);
    if (limit.model == TE_NO_INDEX || limit.quantity == TE_Q_NONE) {
        return;
    }
    limit.item = te_cell_item(table, LIMIT_ITEM, limit.quantity);
    limit.unit = te_cell_unit(&limit.unit_text, table, LIMIT_UNIT, limit.quantity);
    limit.new_min = te_cell_length(table, LIMIT_NEW_MIN, limit.unit, &te_range_any);
    limit.new_max = te_cell_length(table, LIMIT_NEW_MAX, limit.unit, &te_range_any);
    limit.service_min = te_cell_length(table, LIMIT_SERVICE_MIN, limit.unit, &te_range_any);
    limit.service_max = te_cell_length(table, LIMIT_SERVICE_MAX, limit.unit, &te_range_any);
    limit.required = te_cell_choice(table, LIMIT_REQUIRED, yes_no, 2, 1) != 0;
    limit.source = te_cell_text(table, LIMIT_SOURCE);
    check_order(table, &limit);
    check_magnitude(table, &limit);
    check_wear_allowed(table, &limit);
    if (!table->row_bad && isnan(limit.new_min) && isnan(limit.new_max) &&
        isnan(limit.service_min) && isnan(limit.service_max)) {
        te_row_warning(table, -1, "give at least one, or delete the row",
                       "the row holds no limit: the quantity will not be judged");
    }
    if (limit.source == 0) {
        te_row_warning(table, LIMIT_SOURCE, "name the manual and page that it comes from",
                       "the limit has no source");
    }
    add_limit(table, &limit);
}

const struct te_schema te_schema_limits = {
    .file = "limits.csv",
    .bit = TE_FILE_LIMITS,
    .columns = {[LIMIT_MODEL] = {"model", TE_COLUMN_REQUIRED},
                [LIMIT_QUANTITY] = {"quantity", TE_COLUMN_REQUIRED},
                [LIMIT_ITEM] = {"item", 0},
                [LIMIT_UNIT] = {"unit", TE_COLUMN_REQUIRED},
                [LIMIT_NEW_MIN] = {"new_min", TE_COLUMN_DIGITS},
                [LIMIT_NEW_MAX] = {"new_max", TE_COLUMN_DIGITS},
                [LIMIT_SERVICE_MIN] = {"service_min", TE_COLUMN_DIGITS},
                [LIMIT_SERVICE_MAX] = {"service_max", TE_COLUMN_DIGITS},
                [LIMIT_REQUIRED] = {"required", 0},
                [LIMIT_SOURCE] = {"source", 0}},
    .row = read_limit_row,
};

/* ---- instruments.csv ---- */

enum {
    GAUGE_ID,
    GAUGE_DESCRIPTION,
    GAUGE_UNIT,
    GAUGE_RESOLUTION,
    GAUGE_UNCERTAINTY,
    GAUGE_REPEATABILITY,
    GAUGE_EXPANSION,
    GAUGE_SET_WITH,
    GAUGE_CALIBRATED,
    GAUGE_DUE
};

/* A spreadsheet that shows two decimals saves 0.0005 as 0.00: the gauge would repeat without any error. */
static double repeatability_cell(struct te_table *table, const te_instrument *gauge)
{
    unsigned decimals = 0;
    double value = te_cell_figure(table, GAUGE_REPEATABILITY, gauge->unit, &te_range_not_negative,
                                  &decimals);
    double grain = te_unit_to_mm(pow(10.0, -(double)decimals), gauge->unit);
    if (value == 0.0 && grain > gauge->resolution * (1 + 1e-9)) { /* false without a resolution */
        te_row_warning(
            table, GAUGE_REPEATABILITY, "write it out, or leave the cell blank",
            "a repeatability of 0 with fewer decimals than the resolution may be rounded");
    }
    return te_unit_to_mm(value, gauge->unit);
}

static void read_instrument_row(struct te_table *table)
{
    static const struct te_range expansion = {0.0, 1e-3, false, true,
                                              "per kelvin, such as 11.5e-6"};
    te_shop *shop = table->shop;
    te_instrument gauge = {.id = te_cell_text(table, GAUGE_ID), .origin = table->origin};
    if (gauge.id == 0) {
        return;
    }
    table->scope = TE_SCOPE_INSTRUMENT;
    table->scope_id = gauge.id;
    gauge.description = te_cell_text(table, GAUGE_DESCRIPTION);
    /* Any unit is a gauge's own affair: TE_Q_OWN lets it pass. */
    gauge.unit = te_cell_unit(&gauge.unit_text, table, GAUGE_UNIT, TE_Q_OWN);
    gauge.unit_given = te_cell(table, GAUGE_UNIT).length > 0;
    gauge.resolution = te_cell_length(table, GAUGE_RESOLUTION, gauge.unit, &te_range_positive);
    gauge.expanded_uncertainty = te_cell_length(table, GAUGE_UNCERTAINTY, gauge.unit,
                                                &te_range_positive);
    gauge.repeatability = repeatability_cell(table, &gauge);
    gauge.expansion = te_cell_number(table, GAUGE_EXPANSION, &expansion);
    gauge.set_with = te_cell_text(table, GAUGE_SET_WITH);
    gauge.calibrated = te_cell_date(table, GAUGE_CALIBRATED);
    gauge.due = te_cell_date(table, GAUGE_DUE);
    if (gauge.due != TE_NO_DATE && gauge.calibrated != TE_NO_DATE && gauge.due < gauge.calibrated) {
        te_row_error(table, GAUGE_DUE, "check both dates", "due is before calibrated");
    }
    if (!VECTOR_ROOM(&shop->instruments)) {
        shop->out_of_memory = true;
        return;
    }
    shop->instruments.items[shop->instruments.count++] = gauge;
}

const struct te_schema te_schema_instruments = {
    .file = "instruments.csv",
    .bit = TE_FILE_INSTRUMENTS,
    .columns = {[GAUGE_ID] = {"instrument", TE_COLUMN_REQUIRED},
                [GAUGE_DESCRIPTION] = {"description", 0},
                [GAUGE_UNIT] = {"unit", 0},
                [GAUGE_RESOLUTION] = {"resolution", TE_COLUMN_DIGITS},
                [GAUGE_UNCERTAINTY] = {"expanded_uncertainty", TE_COLUMN_DIGITS},
                [GAUGE_REPEATABILITY] = {"repeatability", TE_COLUMN_DIGITS},
                [GAUGE_EXPANSION] = {"expansion", 0},
                [GAUGE_SET_WITH] = {"set_with", 0},
                [GAUGE_CALIBRATED] = {"calibrated", 0},
                [GAUGE_DUE] = {"due", 0}},
    .row = read_instrument_row,
};
