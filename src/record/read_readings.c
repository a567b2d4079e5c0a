/* SPDX-License-Identifier: GPL-3.0-or-later */
/* readings.csv and readings/, plan.csv, spares.csv */
#include <math.h>

#include "readings.h"

uint32_t te_row_find_inspection(struct te_table *table, te_slice cell)
{
    return te_cell_find(&table->inspection, table, &table->shop->inspection_of, cell);
}

uint32_t te_row_inspection(struct te_table *table, int column)
{
    te_shop *shop = table->shop;
    te_slice cell = te_cell(table, column);
    char shown[TE_SHOWN];
    if (cell.length == 0) {
        return TE_NO_INDEX;
    }
    uint32_t at = te_row_find_inspection(table, cell);
    if (at == TE_NO_INDEX && (shop->failed_files & TE_FILE_INSPECTIONS) != 0) {
        return TE_NO_INDEX;
    }
    if (at == TE_NO_INDEX) {
        te_row_error(table, column, "add it to inspections.csv, or correct the name",
                     "there is no inspection \"%s\"", te_cell_shown(shown, cell));
        return TE_NO_INDEX;
    }
    uint32_t engine = shop->inspections.items[at].engine;
    if (engine != TE_NO_INDEX) {
        table->scope = TE_SCOPE_ENGINE;
        table->scope_id = shop->engines.items[engine].id;
    }
    return at;
}

uint32_t te_row_model(struct te_table *table, te_id id)
{
    te_shop *shop = table->shop;
    uint32_t at = te_shop_model(shop, id, table->origin);
    bool known = at != TE_NO_INDEX &&
                 (shop->models.items[at].declared || shop->models.items[at].has_engine);
    table->scope = known ? TE_SCOPE_MODEL : TE_SCOPE_ALL;
    table->scope_id = known ? id : 0;
    return at;
}

/* ---- readings ---- */

static const struct te_range position_range = {0.0, 1e22, false, false, "a distance, not below 0"};

const struct te_range *te_value_range(const te_setup *setup)
{
    bool signed_value = setup->feature >= TE_Q_OWN || !isnan(setup->zero);
    static const struct te_range unsigned_value = {0.0, 1e22, false, false,
                                                   "not below 0 where no zero is given"};
    return signed_value ? &te_range_any : &unsigned_value;
}

void te_reading_set(te_reading *reading, double value, unsigned decimals, int column)
{
    enum { DECIMALS_MOST = 15 }; /* that te_number_fixed writes */
    reading->value = te_unit_to_mm(value, reading->setup->unit);
    reading->decimals = (decimals > DECIMALS_MOST ? DECIMALS_MOST : decimals) & 15U;
    reading->repeat = (unsigned)(column - READ_VALUE_1 + 1) & 7U;
}

static void add_values(struct te_table *table, te_reading *reading)
{
    te_shop *shop = table->shop;
    const te_setup *setup = reading->setup;
    for (int column = READ_VALUE_1; column <= READ_VALUE_5; column++) {
        unsigned decimals = 0;
        if (te_cell(table, column).length == 0) {
            continue;
        }
        double value = te_cell_figure(table, column, setup->unit, te_value_range(setup), &decimals);
        if (isnan(value)) {
            continue;
        }
        te_reading_set(reading, value, decimals, column);
        if (!isnan(setup->no_go) && setup->no_go <= reading->value) {
            te_row_error(table, READ_NO_GO, "write the leaf that does not enter",
                         "no_go is not above the reading");
        }
        if (!VECTOR_ROOM(&shop->readings) || shop->readings.count >= TE_READINGS_MOST) {
            shop->out_of_memory = true;
            return;
        }
        shop->readings.items[shop->readings.count++] = *reading;
    }
}

/* The setup that the row tells; NULL when no value can be read with it, after a report. */
static const te_setup *read_setup(struct te_table *table)
{
    te_shop *shop = table->shop;
    te_setup setup = {.feature = te_cell_quantity(table, READ_FEATURE, true)};
    if (setup.feature == TE_Q_NONE) {
        return NULL;
    }
    setup.item = te_cell_item(table, READ_ITEM, setup.feature);
    setup.unit = te_cell_unit(&setup.unit_text, table, READ_UNIT, setup.feature);
    te_unit beside = te_unit_is_inch(setup.unit) ? TE_UNIT_IN : TE_UNIT_MM;
    setup.position = te_cell_length(table, READ_POSITION, beside, &position_range);
    setup.direction = te_cell_direction(table, READ_DIRECTION);
    setup.zero = te_cell_length(table, READ_ZERO, beside, &te_range_any);
    setup.no_go = te_cell_length(table, READ_NO_GO, setup.unit, te_value_range(&setup));
    setup.instrument = te_cell_text(table, READ_INSTRUMENT);
    setup.note = te_cell_text(table, READ_NOTE);
    if (setup.feature >= TE_Q_OWN) {
        shop->own.items[setup.feature - TE_Q_OWN].in_readings = true;
    }
    const te_setup *held = te_setups_intern(&shop->setups, &setup);
    shop->out_of_memory = shop->out_of_memory || held == NULL;
    return held;
}

/* The same, without reading the cells again when a good row had the very same. */
static const te_setup *row_setup(struct te_table *table)
{
    te_slice cells[TE_SETUP_CELLS];
    te_setup_cells(cells, table);
    const te_setup *setup = te_known_find(&table->last_known, &table->known, cells);
    if (setup == NULL) {
        setup = read_setup(table);
        bool kept = setup == NULL || table->row_bad || te_known_add(&table->known, cells, setup);
        table->shop->out_of_memory = table->shop->out_of_memory || !kept;
    }
    return setup;
}

static void read_reading_row(struct te_table *table)
{
    te_reading reading = {.line = table->origin.line, .file = table->origin.file};
    reading.inspection = te_row_inspection(table, READ_INSPECTION);
    reading.setup = row_setup(table);
    if (reading.setup == NULL) {
        return;
    }
    reading.part = te_cell_text(table, READ_PART);
    size_t before = table->shop->readings.count;
    add_values(table, &reading);
    /* A row with an error is told once: its values would only be blamed again further on. */
    if (table->row_bad || reading.inspection == TE_NO_INDEX) {
        table->shop->readings.count = before;
    }
}

const struct te_schema te_schema_readings = {
    .file = "readings.csv",
    .bit = TE_FILE_READINGS,
    .columns = {[READ_INSPECTION] = {"inspection", TE_COLUMN_REQUIRED},
                [READ_FEATURE] = {"feature", TE_COLUMN_REQUIRED},
                [READ_PART] = {"part", 0},
                [READ_ITEM] = {"item", 0},
                [READ_POSITION] = {"position", 0},
                [READ_DIRECTION] = {"direction", 0},
                [READ_VALUE_1] = {"reading", TE_COLUMN_REQUIRED | TE_COLUMN_DIGITS},
                [READ_VALUE_2] = {"reading_2", TE_COLUMN_DIGITS},
                [READ_VALUE_3] = {"reading_3", TE_COLUMN_DIGITS},
                [READ_VALUE_4] = {"reading_4", TE_COLUMN_DIGITS},
                [READ_VALUE_5] = {"reading_5", TE_COLUMN_DIGITS},
                [READ_NO_GO] = {"no_go", TE_COLUMN_DIGITS},
                [READ_ZERO] = {"zero", TE_COLUMN_DIGITS},
                [READ_UNIT] = {"unit", 0},
                [READ_INSTRUMENT] = {"instrument", 0},
                [READ_NOTE] = {"note", 0}},
    .row = read_reading_row,
};

/* ---- plan.csv ---- */

enum {
    PLAN_MODEL,
    PLAN_FEATURE,
    PLAN_ITEM,
    PLAN_POSITION,
    PLAN_DIRECTION,
    PLAN_REPEATS,
    PLAN_INSTRUMENT
};

static void read_plan_row(struct te_table *table)
{
    static const struct te_range repeats = {1.0, 5.0, false, false, "from 1 to 5"};
    te_shop *shop = table->shop;
    te_plan plan = {.origin = table->origin, .repeats = 1};
    te_id model = te_cell_text(table, PLAN_MODEL);
    if (model == 0) {
        return;
    }
    plan.model = te_row_model(table, model);
    plan.feature = te_cell_quantity(table, PLAN_FEATURE, true);
    if (plan.model == TE_NO_INDEX || plan.feature == TE_Q_NONE) {
        return;
    }
    plan.item = te_cell_item(table, PLAN_ITEM, plan.feature);
    plan.position = te_cell_number(table, PLAN_POSITION, &position_range);
    plan.direction = te_cell_direction(table, PLAN_DIRECTION);
    double count = te_cell_number(table, PLAN_REPEATS, &repeats);
    if (!isnan(count) && count != floor(count)) {
        te_row_error(table, PLAN_REPEATS, "write 1, 2, 3, 4 or 5", "it is not a whole number");
    }
    plan.repeats = isnan(count) ? 1 : (unsigned)count;
    plan.instrument = te_cell_text(table, PLAN_INSTRUMENT);
    if (!VECTOR_ROOM(&shop->plan)) {
        shop->out_of_memory = true;
        return;
    }
    shop->plan.items[shop->plan.count++] = plan;
    if (plan.feature >= TE_Q_OWN) {
        shop->own.items[plan.feature - TE_Q_OWN].in_plan = true;
    }
}

const struct te_schema te_schema_plan = {
    .file = "plan.csv",
    .bit = TE_FILE_PLAN,
    .columns = {[PLAN_MODEL] = {"model", TE_COLUMN_REQUIRED},
                [PLAN_FEATURE] = {"feature", TE_COLUMN_REQUIRED},
                [PLAN_ITEM] = {"item", 0},
                [PLAN_POSITION] = {"position", 0},
                [PLAN_DIRECTION] = {"direction", 0},
                [PLAN_REPEATS] = {"repeats", 0},
                [PLAN_INSTRUMENT] = {"instrument", 0}},
    .row = read_plan_row,
};

/* ---- spares.csv ---- */

enum {
    SPARE_ID,
    SPARE_KIND,
    SPARE_MODEL,
    SPARE_FEATURE,
    SPARE_ITEM,
    SPARE_SIZE,
    SPARE_TOLERANCE,
    SPARE_UNIT,
    SPARE_OVERSIZE,
    SPARE_PRICE,
    SPARE_NOTE
};

static void read_spare_sizes(struct te_table *table, te_spare *spare)
{
    te_id unit_text = 0;
    spare->item = te_cell_item(table, SPARE_ITEM, spare->feature);
    spare->unit = te_cell_unit(&unit_text, table, SPARE_UNIT,
                               spare->feature == TE_Q_NONE ? 0 : spare->feature);
    spare->size = te_cell_length(table, SPARE_SIZE, spare->unit, &te_range_positive);
    spare->tolerance = te_cell_length(table, SPARE_TOLERANCE, spare->unit, &te_range_not_negative);
    spare->oversize = te_cell_number(table, SPARE_OVERSIZE, &te_range_not_negative);
    spare->price = te_cell_number(table, SPARE_PRICE, &te_range_not_negative);
    if (!isnan(spare->size) && te_cell(table, SPARE_FEATURE).length == 0) {
        te_row_error(table, SPARE_FEATURE, "name the feature that the size is of",
                     "a size without a feature");
    }
}

static void read_spare_row(struct te_table *table)
{
    te_shop *shop = table->shop;
    te_spare spare = {.origin = table->origin};
    spare.id = te_cell_text(table, SPARE_ID);
    spare.model = te_id_map_get(&shop->model_of, te_cell_text(table, SPARE_MODEL));
    bool known = spare.model != TE_NO_INDEX; /* what is wrong here may be fitted to its engines */
    table->scope = known ? TE_SCOPE_MODEL : TE_SCOPE_ALL;
    table->scope_id = known ? shop->models.items[spare.model].id : 0;
    spare.kind = te_cell_kind(table, SPARE_KIND);
    if (!known && te_cell(table, SPARE_MODEL).length > 0) {
        char shown[TE_SHOWN];
        te_row_error(table, SPARE_MODEL, "add it to models.csv, or correct the name",
                     "there is no model \"%s\"", te_cell_shown(shown, te_cell(table, SPARE_MODEL)));
    }
    spare.feature = te_cell_quantity(table, SPARE_FEATURE, true);
    read_spare_sizes(table, &spare);
    spare.note = te_cell_text(table, SPARE_NOTE);
    if (spare.id == 0) {
        return;
    }
    if (!VECTOR_ROOM(&shop->spares)) {
        shop->out_of_memory = true;
        return;
    }
    shop->spares.items[shop->spares.count++] = spare;
}

const struct te_schema te_schema_spares = {
    .file = "spares.csv",
    .bit = TE_FILE_SPARES,
    .columns = {[SPARE_ID] = {"spare", TE_COLUMN_REQUIRED},
                [SPARE_KIND] = {"kind", TE_COLUMN_REQUIRED},
                [SPARE_MODEL] = {"model", TE_COLUMN_REQUIRED},
                [SPARE_FEATURE] = {"feature", 0},
                [SPARE_ITEM] = {"item", 0},
                [SPARE_SIZE] = {"size", TE_COLUMN_DIGITS},
                [SPARE_TOLERANCE] = {"tolerance", TE_COLUMN_DIGITS},
                [SPARE_UNIT] = {"unit", 0},
                [SPARE_OVERSIZE] = {"oversize", TE_COLUMN_DIGITS},
                [SPARE_PRICE] = {"price", TE_COLUMN_GROUPED},
                [SPARE_NOTE] = {"note", 0}},
    .row = read_spare_row,
};
