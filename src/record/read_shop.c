/* SPDX-License-Identifier: GPL-3.0-or-later */
/* shop.csv, engines.csv, models.csv */
#include <math.h>
#include <stdio.h>

#include "table.h"

/* ---- shop.csv ---- */

enum { SHOP_KEY, SHOP_VALUE };

enum shop_key { KEY_NAME, KEY_ADDRESS, KEY_CONFIDENCE, KEY_RULE, KEY_CURRENCY, KEY_DATE_ORDER };
static const char *const shop_keys[] = {"name", "address",  "confidence",
                                        "rule", "currency", "date_order"};
enum { SHOP_KEYS = sizeof shop_keys / sizeof *shop_keys };

static void take_shop_value(struct te_table *table, enum shop_key key)
{
    static const struct te_range confidence = {0.5, 1.0, false, true, "from 0.5 to below 1"};
    static const char *const rules[] = {"guarded", "simple"};
    static const char *const orders[] = {"dmy", "mdy"};
    te_tables *t = &table->shop->tables;
    double number = 0.0;
    int choice = 0;
    switch (key) {
    case KEY_NAME: t->name = te_cell_text(table, SHOP_VALUE); break;
    case KEY_ADDRESS: t->address = te_cell_text(table, SHOP_VALUE); break;
    case KEY_CURRENCY: t->currency = te_cell_text(table, SHOP_VALUE); break;
    case KEY_CONFIDENCE:
        number = te_cell_number(table, SHOP_VALUE, &confidence);
        t->confidence = isnan(number) ? t->confidence : number;
        break;
    case KEY_RULE:
        choice = te_cell_choice(table, SHOP_VALUE, rules, 2, 0);
        t->rule = choice == 1 ? TE_RULE_SIMPLE : TE_RULE_GUARDED;
        break;
    case KEY_DATE_ORDER:
        choice = te_cell_choice(table, SHOP_VALUE, orders, 2, -1);
        t->date_order = choice == 0 ? TE_DATE_DMY : choice == 1 ? TE_DATE_MDY : TE_DATE_NONE;
        break;
    }
}

static void read_shop_row(struct te_table *table)
{
    te_slice key = te_cell(table, SHOP_KEY);
    char shown[TE_SHOWN];
    if (key.length == 0) {
        return;
    }
    for (int i = 0; i < SHOP_KEYS; i++) {
        if (!te_text_same_word(key, shop_keys[i])) {
            continue;
        }
        if ((table->shop->seen_keys & (1U << i)) != 0) {
            te_row_error(table, SHOP_KEY, "keep one of them", "%s stands twice", shop_keys[i]);
        }
        table->shop->seen_keys |= 1U << i;
        take_shop_value(table, (enum shop_key)i);
        return;
    }
    const char *near_name = te_nearest(key, shop_keys, SHOP_KEYS);
    char remedy[TE_PROBLEM_TEXT];
    (void)snprintf(remedy, sizeof remedy, "%s%s",
                   near_name != NULL ? "the nearest known key is " : "take it out",
                   near_name != NULL ? near_name : "");
    table->scope = TE_SCOPE_NONE;
    te_row_warning(table, SHOP_KEY, remedy, "\"%s\" is not known and is not read",
                   te_cell_shown(shown, key));
}

const struct te_schema te_schema_shop = {
    .file = "shop.csv",
    .bit = TE_FILE_SHOP,
    .columns = {[SHOP_KEY] = {"key", TE_COLUMN_REQUIRED},
                [SHOP_VALUE] = {"value", TE_COLUMN_REQUIRED | TE_COLUMN_DIGITS}},
    .row = read_shop_row,
};

/* ---- engines.csv ---- */

enum { ENGINE_ID, ENGINE_MODEL, ENGINE_NOTE };

static void read_engine_row(struct te_table *table)
{
    te_shop *shop = table->shop;
    te_engine engine = {.id = te_cell_text(table, ENGINE_ID), .origin = table->origin};
    char shown[TE_SHOWN];
    if (engine.id == 0) {
        return;
    }
    if (te_id_map_get(&shop->engine_of, engine.id) != TE_NO_INDEX) {
        te_row_error(table, ENGINE_ID, "keep one row for each engine", "%s stands twice",
                     te_cell_shown(shown, te_cell(table, ENGINE_ID)));
        return;
    }
    table->scope = TE_SCOPE_ENGINE;
    table->scope_id = engine.id;
    engine.note = te_cell_text(table, ENGINE_NOTE);
    engine.model = te_shop_model(shop, te_cell_text(table, ENGINE_MODEL), table->origin);
    if (!VECTOR_ROOM(&shop->engines) ||
        !te_id_map_set(&shop->engine_of, engine.id, (uint32_t)shop->engines.count)) {
        shop->out_of_memory = true;
        return;
    }
    if (engine.model != TE_NO_INDEX) {
        shop->models.items[engine.model].has_engine = true;
    }
    shop->engines.items[shop->engines.count++] = engine;
}

const struct te_schema te_schema_engines = {
    .file = "engines.csv",
    .bit = TE_FILE_ENGINES,
    .columns = {[ENGINE_ID] = {"engine", TE_COLUMN_REQUIRED},
                [ENGINE_MODEL] = {"model", TE_COLUMN_REQUIRED},
                [ENGINE_NOTE] = {"note", 0}},
    .row = read_engine_row,
};

/* ---- models.csv ---- */

enum {
    MODEL_ID,
    MODEL_CYLINDER,
    MODEL_PISTON,
    MODEL_RING,
    MODEL_PIN,
    MODEL_ROD,
    MODEL_RUN_IN,
    MODEL_EVERY,
    MODEL_REBORABLE,
    MODEL_NOTE
};

/* Linear expansion per kelvin near 20 degrees Celsius, typical figures of materials handbooks;
 * docs/method.md says where each comes from and that they are to be checked. */
static const struct {
    const char *word;
    double expansion;
} materials[] = {
    {"aluminium", 22e-6}, {"aluminium_high_si", 18.5e-6}, {"cast_iron", 11e-6}, {"steel", 11.5e-6}};

/* No solid of an engine expands by more than this per kelvin: a larger number is a slip of unit. */
static const struct te_range expansion_range = {0.0, 1e-3, false, true,
                                                "a material's word or per kelvin, such as 22e-6"};

static double material_cell(struct te_table *table, int column)
{
    const char *words[sizeof materials / sizeof *materials];
    te_slice cell = te_cell(table, column);
    char shown[TE_SHOWN];
    for (size_t i = 0; i < sizeof materials / sizeof *materials; i++) {
        words[i] = materials[i].word;
        if (te_text_same_word(cell, materials[i].word)) {
            return materials[i].expansion;
        }
    }
    bool number = cell.length == 0 || (cell.bytes[0] >= '0' && cell.bytes[0] <= '9') ||
                  cell.bytes[0] == '.' || cell.bytes[0] == '-' || cell.bytes[0] == '+';
    if (number) {
        return te_cell_number(table, column, &expansion_range);
    }
    const char *near_name = te_nearest(cell, words, sizeof words / sizeof *words);
    te_row_error(table, column,
                 "write aluminium, aluminium_high_si, cast_iron, steel, or a number per kelvin",
                 "\"%s\" is not a known material%s%s", te_cell_shown(shown, cell),
                 near_name != NULL ? ", the nearest is " : "", near_name != NULL ? near_name : "");
    return NAN;
}

static void read_model_row(struct te_table *table)
{
    static const char *const yes_no[] = {"no", "yes"};
    static const struct {
        int column;
        te_kind kind;
    } kinds[] = {{MODEL_CYLINDER, TE_KIND_CYLINDER},
                 {MODEL_PISTON, TE_KIND_PISTON},
                 {MODEL_RING, TE_KIND_RING_SET},
                 {MODEL_PIN, TE_KIND_PIN},
                 {MODEL_ROD, TE_KIND_ROD}};
    te_shop *shop = table->shop;
    te_id id = te_cell_text(table, MODEL_ID);
    char shown[TE_SHOWN];
    if (id == 0) {
        return;
    }
    table->scope = TE_SCOPE_MODEL;
    table->scope_id = id;
    uint32_t at = te_shop_model(shop, id, table->origin);
    if (at == TE_NO_INDEX) {
        return;
    }
    te_model *model = &shop->models.items[at];
    if (model->declared) {
        te_row_error(table, MODEL_ID, "keep one row for each model", "%s stands twice",
                     te_cell_shown(shown, te_cell(table, MODEL_ID)));
        return;
    }
    model->declared = true;
    model->origin = table->origin;
    for (size_t i = 0; i < sizeof kinds / sizeof *kinds; i++) {
        model->expansion[kinds[i].kind] = material_cell(table, kinds[i].column);
    }
    model->run_in_hours = te_cell_number(table, MODEL_RUN_IN, &te_range_not_negative);
    model->inspect_every_hours = te_cell_number(table, MODEL_EVERY, &te_range_not_negative);
    model->reborable = te_cell_choice(table, MODEL_REBORABLE, yes_no, 2, 0) == 1;
    model->note = te_cell_text(table, MODEL_NOTE);
}

const struct te_schema te_schema_models = {
    .file = "models.csv",
    .bit = TE_FILE_MODELS,
    .columns = {[MODEL_ID] = {"model", TE_COLUMN_REQUIRED},
                [MODEL_CYLINDER] = {"cylinder_material", 0},
                [MODEL_PISTON] = {"piston_material", 0},
                [MODEL_RING] = {"ring_material", 0},
                [MODEL_PIN] = {"pin_material", 0},
                [MODEL_ROD] = {"rod_material", 0},
                [MODEL_RUN_IN] = {"run_in_hours", TE_COLUMN_GROUPED},
                [MODEL_EVERY] = {"inspect_every_hours", TE_COLUMN_GROUPED},
                [MODEL_REBORABLE] = {"reborable", 0},
                [MODEL_NOTE] = {"note", 0}},
    .row = read_model_row,
};
