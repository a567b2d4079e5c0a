/* SPDX-License-Identifier: GPL-3.0-or-later */
/* JSON by jansson, a tree of one inspection at a time; all that is not ASCII is escaped, so that
 * no character of the files can act on a terminal. */
#include <jansson.h>
#include <math.h>
#include <stdlib.h>

#include "put.h"

#define DUMP_FLAGS (JSON_ENSURE_ASCII | JSON_REAL_PRECISION(9) | JSON_COMPACT)

static json_t *number_or_null(double value)
{
    return isnan(value) ? json_null() : json_real(value == 0.0 ? 0.0 : value);
}

static json_t *text_of_id(const te_shop *shop, te_id id)
{
    return id == 0 ? json_null() : json_string(te_shop_text(shop, id));
}

/* The text of a buffer; NULL, which jansson takes as a failure, when memory ran out. */
static json_t *text_of_buffer(te_buffer *buffer)
{
    json_t *text = buffer->failed ? NULL : json_stringn(buffer->length == 0 ? "" : buffer->bytes,
                                                        buffer->length);
    te_buffer_free(buffer);
    return text;
}

static json_t *date_or_null(te_date date)
{
    char text[11];
    te_date_format(text, date);
    return date == TE_NO_DATE ? json_null() : json_string(text);
}

static json_t *make_readings(const te_shop *shop, const te_assessment *assessment,
                             const te_form *form)
{
    const te_tables *tables = te_shop_tables(shop);
    json_t *list = json_array();
    for (size_t i = 0; i < form->count; i++) {
        const te_observation *x = &assessment->pool.items[form->observation[i]];
        te_origin origin = tables->readings[x->reading].origin;
        json_t *entry = json_pack("{s:s, s:I, s:o, s:o}", "file", tables->files[origin.file],
                                  "line", (json_int_t)origin.line, "coefficient",
                                  json_real(form->coefficient[i]), "value",
                                  number_or_null(x->value));
        if (entry == NULL || json_array_append_new(list, entry) != 0) {
            json_decref(list);
            return NULL;
        }
    }
    return list;
}

/* Sets a new value; false when either could not be made. */
static bool set(json_t *object, const char *key, json_t *value)
{
    return json_object_set_new(object, key, value) == 0;
}

static bool set_numbers(json_t *object, const te_finding *finding)
{
    const te_interval *x = &finding->interval;
    const te_limit *limit = &finding->limit;
    bool stated = finding->computed && x->stated;
    return set(object, "low", number_or_null(finding->computed ? x->low : NAN)) &&
           set(object, "u_low", number_or_null(stated ? x->u_low : NAN)) &&
           set(object, "high", number_or_null(finding->computed ? x->high : NAN)) &&
           set(object, "u_high", number_or_null(stated ? x->u_high : NAN)) &&
           set(object, "new_min", number_or_null(finding->has_limit ? limit->new_min : NAN)) &&
           set(object, "new_max", number_or_null(finding->has_limit ? limit->new_max : NAN)) &&
           set(object, "service_min",
               number_or_null(finding->has_limit ? limit->service_min : NAN)) &&
           set(object, "service_max",
               number_or_null(finding->has_limit ? limit->service_max : NAN)) &&
           set(object, "p_within",
               number_or_null(finding->computed ? finding->judgement.p_within : NAN));
}

static bool set_inspection(json_t *object, const te_shop *shop, const te_inspection *inspection)
{
    const te_tables *tables = te_shop_tables(shop);
    return set(object, "engine", text_of_id(shop, tables->engines[inspection->engine].id)) &&
           set(object, "inspection", text_of_id(shop, inspection->id)) &&
           set(object, "date", date_or_null(inspection->date)) &&
           set(object, "hours", number_or_null(inspection->hours));
}

static json_t *make_finding(const te_shop *shop, const te_assessment *assessment,
                            const te_finding *finding)
{
    const te_inspection *inspection =
        &te_shop_tables(shop)->inspections[assessment->inspection];
    te_buffer parts = {0};
    te_buffer kinds = {0};
    json_t *object = json_object();
    te_write_parts(&parts, shop, &finding->measured);
    te_write_kinds(&kinds, &finding->measured);
    json_t *part = text_of_buffer(&parts);
    json_t *kind = text_of_buffer(&kinds);
    const char *name = te_shop_quantity_name(shop, finding->measured.quantity);
    const char *unit = te_finding_unit(shop, assessment, finding);
    /* & where a value is made already: the object takes it over whatever happened before. */
    bool made =
        set_inspection(object, shop, inspection) & set(object, "part", part) &
        set(object, "kind", kind) && set(object, "quantity", json_string(name)) &&
        set(object, "item", text_of_id(shop, finding->measured.item)) &&
        set(object, "unit", json_string(unit)) && set_numbers(object, finding) &&
        set(object, "status", json_string(te_outcome_name(finding->outcome))) &&
        set(object, "source", text_of_id(shop, finding->has_limit ? finding->limit.source : 0)) &&
        set(object, "readings_low", make_readings(shop, assessment, &finding->measured.low)) &&
        set(object, "readings_high", make_readings(shop, assessment, &finding->measured.high));
    if (!made) {
        json_decref(object);
        return NULL;
    }
    return object;
}

static json_t *make_reasons(const te_shop *shop, const te_assessment *assessment,
                            const te_verdict *verdict)
{
    json_t *list = json_array();
    for (uint32_t i = 0; i < verdict->reason_count; i++) {
        te_buffer text = {0};
        te_write_reason(&text, shop, assessment,
                        &assessment->reasons[verdict->first_reason + i]);
        if (json_array_append_new(list, text_of_buffer(&text)) != 0) {
            json_decref(list);
            return NULL;
        }
    }
    return list;
}

static json_t *make_verdict(const te_shop *shop, const te_assessment *assessment,
                            const te_verdict *verdict)
{
    const char *word = te_verdict_name(verdict->verdict);
    if (verdict->kind == TE_KIND_NONE) {
        return json_pack("{s:s, s:o}", "verdict", word, "reasons",
                         make_reasons(shop, assessment, verdict));
    }
    return json_pack("{s:o, s:s, s:s, s:o}", "part", text_of_id(shop, verdict->part), "kind",
                     te_kind_name(verdict->kind), "verdict", word, "reasons",
                     make_reasons(shop, assessment, verdict));
}

static json_t *make_conditions(const te_shop *shop, const te_inspection *inspection)
{
    static const char *const severities[] = {"note", "watch", "reject"};
    const te_tables *tables = te_shop_tables(shop);
    json_t *list = json_array();
    for (uint32_t i = 0; i < inspection->condition_count; i++) {
        const te_condition *row = &tables->conditions[inspection->first_condition + i];
        json_t *entry = json_pack("{s:o, s:s, s:o, s:s}", "part", text_of_id(shop, row->part),
                                  "kind", te_kind_name(row->kind), "finding",
                                  text_of_id(shop, row->finding), "severity",
                                  severities[row->severity]);
        if (entry == NULL || json_array_append_new(list, entry) != 0) {
            json_decref(list);
            return NULL;
        }
    }
    return list;
}

static json_t *make_findings(const te_shop *shop, const te_assessment *assessment)
{
    json_t *list = json_array();
    for (size_t i = 0; i < assessment->finding_count; i++) {
        json_t *finding = make_finding(shop, assessment, &assessment->findings[i]);
        if (json_array_append_new(list, finding) != 0) {
            json_decref(list);
            return NULL;
        }
    }
    return list;
}

static json_t *make_verdicts(const te_shop *shop, const te_assessment *assessment)
{
    json_t *list = json_array();
    for (size_t i = 0; i + 1 < assessment->verdict_count; i++) {
        json_t *verdict = make_verdict(shop, assessment, &assessment->verdicts[i]);
        if (json_array_append_new(list, verdict) != 0) {
            json_decref(list);
            return NULL;
        }
    }
    return list;
}

/* Every member is set whatever happened before it (&, not &&): the object takes over what was
 * made for it, so that nothing is left behind when one could not be made. */
static json_t *make_inspection(const te_shop *shop, const te_assessment *assessment)
{
    const te_tables *tables = te_shop_tables(shop);
    const te_inspection *inspection = &tables->inspections[assessment->inspection];
    const te_engine *engine = &tables->engines[inspection->engine];
    json_t *object = json_object();
    json_t *findings = make_findings(shop, assessment);
    json_t *verdicts = make_verdicts(shop, assessment);
    const te_verdict *assembly = te_assessment_assembly(assessment);
    bool made = set(object, "inspection", text_of_id(shop, inspection->id)) &
                set(object, "engine", text_of_id(shop, tables->engines[inspection->engine].id)) &
                set(object, "model", text_of_id(shop, tables->models[engine->model].id)) &
                set(object, "date", date_or_null(inspection->date)) &
                set(object, "hours", number_or_null(inspection->hours)) &
                set(object, "temperature", number_or_null(inspection->temperature)) &
                set(object, "findings", findings) &
                set(object, "condition", make_conditions(shop, inspection)) &
                set(object, "verdicts", verdicts) &
                set(object, "assembly", make_verdict(shop, assessment, assembly));
    if (!made) {
        json_decref(object);
        return NULL;
    }
    return object;
}

static int append(const char *bytes, size_t size, void *context)
{
    te_buffer *buffer = context;
    te_buffer_add(buffer, bytes, size);
    return buffer->failed ? -1 : 0;
}

static void dump(te_buffer *buffer, json_t *value, size_t flags)
{
    if (value == NULL || json_dump_callback(value, append, buffer, DUMP_FLAGS | flags) != 0) {
        buffer->failed = true;
    }
    json_decref(value);
}

void te_write_json_start(te_buffer *buffer, const te_shop *shop, const char *version)
{
    const te_tables *tables = te_shop_tables(shop);
    char tool[64] = "topend ";
    for (size_t i = 0, at = 7; version[i] != '\0' && at + 1 < sizeof tool; i++, at++) {
        tool[at] = version[i];
        tool[at + 1] = '\0';
    }
    te_buffer_text(buffer, "{\"tool\":");
    dump(buffer, json_string(tool), JSON_ENCODE_ANY);
    te_buffer_text(buffer, ",\"rule\":");
    dump(buffer, json_string(tables->rule == TE_RULE_SIMPLE ? "simple" : "guarded"),
         JSON_ENCODE_ANY);
    te_buffer_text(buffer, ",\"confidence\":");
    dump(buffer, json_real(tables->confidence), JSON_ENCODE_ANY);
    te_buffer_text(buffer, ",\"inspections\":[");
}

void te_write_json_inspection(te_buffer *buffer, const te_shop *shop,
                              const te_assessment *assessment, bool first)
{
    te_buffer_text(buffer, first ? "\n" : ",\n");
    dump(buffer, make_inspection(shop, assessment), 0);
}

void te_write_json_end(te_buffer *buffer)
{
    te_buffer_text(buffer, "\n]}\n");
}
