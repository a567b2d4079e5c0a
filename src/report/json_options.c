/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Options as JSON. */
#include <math.h>

#include "json.h"
#include "notes.h"
#include "options_words.h"

static json_t *part_name(const te_options_told *told, uint32_t candidate)
{
    return te_json_id(told->shop, told->options->candidates[candidate].part);
}

/* ---- an option ---- */

static json_t *make_fitted(const te_options_told *told, const te_option *option)
{
    json_t *list = json_array();
    for (int kind = 0; kind < TE_KIND_NONE && list != NULL; kind++) {
        const te_candidate *part = te_option_part(told->options, option, (te_kind)kind);
        struct te_json_object object = {.json = NULL};
        if (part == NULL) {
            continue;
        }
        object.json = json_object();
        te_json_put(&object, "kind", json_string(te_kind_name(part->kind)));
        te_json_put(&object, "part", te_json_id(told->shop, part->part));
        te_json_put(&object, "on_the_shelf", json_boolean(part->spare));
        te_json_put(&object, "oversize", te_json_number(part->oversize));
        te_json_put(&object, "price", te_json_number(part->price));
        te_json_put_number(&object, "bore_to", part->rebored, part->bore);
        list = te_json_appended(list, te_json_whole(&object));
    }
    return list;
}

static json_t *make_notes(const te_options_told *told, const te_option *option,
                          const te_assessment *assessment)
{
    json_t *list = json_array();
    te_buffer lines = {0};
    te_slice line;
    te_notes_option(&lines, told, option, assessment);
    for (size_t at = 0; list != NULL && te_notes_take(&line, &lines, &at);) {
        list = te_json_appended(list, json_stringn(line.bytes, line.length));
    }
    if (lines.failed) {
        json_decref(list);
        list = NULL;
    }
    te_buffer_free(&lines);
    return list;
}

static json_t *quantity_name(const te_options_told *told, te_quantity quantity)
{
    return quantity == TE_Q_NONE ? json_null()
                                 : json_string(te_shop_quantity_name(told->shop, quantity));
}

static void put_lasting(struct te_json_object *object, const te_options_told *told,
                        const te_lasting *l)
{
    bool first = l->quantity != TE_Q_NONE;
    te_json_put(object, "hours_left", te_json_number(l->left));
    te_json_put(object, "hours_left_earliest", te_json_number(l->earliest));
    te_json_put(object, "first_quantity", quantity_name(told, l->quantity));
    te_json_put(object, "first_item", te_json_id(told->shop, l->item));
    te_json_put(object, "first_side", first ? json_string(te_side_name(l->side)) : json_null());
    te_json_put(object, "rate_basis", json_string(te_rate_basis_name(l->basis)));
    te_json_put(object, "rate_engines", json_integer((json_int_t)l->engines));
    te_json_put(object, "bounded", json_boolean(l->bounded));
    te_json_put(object, "values_told", json_integer((json_int_t)l->told));
    te_json_put(object, "values_untold", json_integer((json_int_t)l->untold));
    te_json_put(object, "values_unbounded", json_integer((json_int_t)l->unbounded));
}

static json_t *make_option(const te_options_told *told, size_t at, const te_assessment *assessment)
{
    const te_option *option = &told->options->items[at];
    bool any = option->worst_quantity != TE_Q_NONE;
    struct te_json_object object = {.json = json_object()};
    te_json_put(&object, "option", json_integer((json_int_t)at + 1));
    te_json_put(&object, "fitted", make_fitted(told, option));
    te_json_put(&object, "verdict", json_string(te_verdict_name(option->verdict)));
    te_json_put(&object, "refused", json_boolean(option->refused));
    te_json_put(&object, "worst_quantity", quantity_name(told, option->worst_quantity));
    te_json_put(&object, "worst_item", te_json_id(told->shop, option->worst_item));
    te_json_put(&object, "worst_status",
                any ? json_string(te_outcome_name(option->worst)) : json_null());
    put_lasting(&object, told, &option->lasting);
    te_json_put(&object, "price", te_json_number(option->price));
    te_json_put(&object, "price_per_100h", te_json_number(option->price_per_100h));
    te_json_put(&object, "notes", make_notes(told, option, assessment));
    te_json_put(&object, "findings", te_json_findings(told->shop, assessment));
    return te_json_whole(&object);
}

static json_t *make_options(const te_options_told *told)
{
    json_t *list = json_array();
    te_assessment assessment = {0};
    for (size_t i = 0; i < told->options->count && list != NULL; i++) {
        te_status status = te_option_assess(&assessment, told->options, told->shop, told->problems,
                                            &told->options->items[i]);
        list = te_json_appended(list, status == TE_OK ? make_option(told, i, &assessment) : NULL);
    }
    te_assessment_free(&assessment);
    return list;
}

/* ---- what fits ---- */

static json_t *make_pistons(const te_options_told *told)
{
    json_t *list = json_array();
    for (size_t i = 0; i < told->options->piston_count && list != NULL; i++) {
        const te_piston_fit *fit = &told->options->pistons[i];
        struct te_json_object object = {.json = json_object()};
        te_json_put(&object, "part", part_name(told, fit->candidate));
        te_json_put(&object, "clearance_tight", te_json_number(fit->tight));
        te_json_put(&object, "clearance_loose", te_json_number(fit->loose));
        te_json_put(&object, "fit", json_string(te_fit_answer_name(fit->answer)));
        list = te_json_appended(list, te_json_whole(&object));
    }
    return list;
}

static json_t *make_gaps(const te_options_told *told)
{
    json_t *list = json_array();
    for (size_t i = 0; i < told->options->gap_count && list != NULL; i++) {
        const te_gap_fit *fit = &told->options->gaps[i];
        struct te_json_object object = {.json = json_object()};
        te_json_put(&object, "part", part_name(told, fit->candidate));
        te_json_put(&object, "item", te_json_id(told->shop, fit->item));
        te_json_put(&object, "position", te_json_number(fit->position));
        te_json_put(&object, "bore_gauged_there", json_boolean(fit->at_position));
        te_json_put(&object, "gap_least", te_json_number(fit->least));
        te_json_put(&object, "gap_most", te_json_number(fit->most));
        te_json_put(&object, "fit", json_string(te_fit_answer_name(fit->answer)));
        list = te_json_appended(list, te_json_whole(&object));
    }
    return list;
}

static json_t *make_rebore(const te_options_told *told)
{
    const te_rebore *rebore = &told->options->rebore;
    te_buffer words = {0};
    struct te_json_object object = {.json = json_object()};
    bool offered = rebore->answer == TE_REBORE_OFFERED;
    te_put_rebore(&words, told);
    te_json_put(&object, "offered", json_boolean(offered));
    te_json_put(&object, "why", te_json_buffer(&words));
    te_json_put(&object, "largest_bore", te_json_number(rebore->largest));
    te_json_put(&object, "hone", te_json_number(rebore->hone));
    te_json_put_number(&object, "oversize", offered, rebore->oversize);
    return te_json_whole(&object);
}

void te_write_options_json(te_buffer *buffer, const te_options_told *told, const char *version)
{
    const te_tables *tables = te_shop_tables(told->shop);
    const te_inspection *inspection = &tables->inspections[told->options->inspection];
    const te_engine *engine = &tables->engines[inspection->engine];
    struct te_json_object object = {.json = json_object()};
    te_json_put(&object, "inspection", te_json_id(told->shop, inspection->id));
    te_json_put(&object, "engine", te_json_id(told->shop, engine->id));
    te_json_put(&object, "model", te_json_id(told->shop, tables->models[engine->model].id));
    te_json_put(&object, "date", te_json_date(inspection->date));
    te_json_put(&object, "hours", te_json_number(inspection->hours));
    te_json_put(&object, "hours_wanted", te_json_number(told->wish.hours));
    te_json_put(&object, "currency", te_json_id(told->shop, tables->currency));
    te_json_put(&object, "sets_looked_at", json_integer((json_int_t)told->options->looked_at));
    te_json_put(&object, "options", make_options(told));
    te_json_put(&object, "pistons", make_pistons(told));
    te_json_put(&object, "rings", make_gaps(told));
    te_json_put(&object, "boring", make_rebore(told));
    te_json_head(buffer, told->shop, version);
    te_buffer_text(buffer, ",\"rebuild\":\n");
    te_json_dump(buffer, te_json_whole(&object), 0);
    te_buffer_text(buffer, "}\n");
}
