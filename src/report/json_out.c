/* SPDX-License-Identifier: GPL-3.0-or-later */
/* JSON by jansson, a tree of one inspection at a time; all that is not ASCII is escaped, and so is
 * DEL, so that no character of the files can act on a terminal. */
#include <jansson.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

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
    json_t *text = buffer->failed
                       ? NULL
                       : json_stringn(buffer->length == 0 ? "" : buffer->bytes, buffer->length);
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
        /* A file may be named by bytes that are not UTF-8: its name goes out as it is shown. */
        te_buffer file = {0};
        te_buffer_safe(&file, tables->files[origin.file]);
        json_t *entry = json_pack(
            "{s:o, s:I, s:o, s:o}", "file", text_of_buffer(&file), "line", (json_int_t)origin.line,
            "coefficient", json_real(form->coefficient[i]), "value", number_or_null(x->value));
        if (entry == NULL || json_array_append_new(list, entry) != 0) {
            json_decref(list);
            return NULL;
        }
    }
    return list;
}

/* An object while it is filled: the first failure sticks, and every value is taken over whatever
 * happened before, so that nothing is left behind. */
struct object {
    json_t *json;
    bool failed;
};

static void put(struct object *object, const char *key, json_t *value)
{
    if (json_object_set_new(object->json, key, value) != 0) {
        object->failed = true;
    }
}

static void put_number(struct object *object, const char *key, bool there, double value)
{
    put(object, key, number_or_null(there ? value : NAN));
}

/* The object, or NULL when a part of it could not be made. */
static json_t *whole(struct object *object)
{
    if (object->failed) {
        json_decref(object->json);
        return NULL;
    }
    return object->json;
}

static void put_numbers(struct object *object, const te_finding *finding)
{
    const te_interval *x = &finding->interval;
    const te_limit *limit = &finding->limit;
    bool computed = finding->computed;
    bool stated = computed && x->stated;
    put_number(object, "low", computed, x->low);
    put_number(object, "u_low", stated, x->u_low);
    put_number(object, "high", computed, x->high);
    put_number(object, "u_high", stated, x->u_high);
    put_number(object, "new_min", finding->has_limit, limit->new_min);
    put_number(object, "new_max", finding->has_limit, limit->new_max);
    put_number(object, "service_min", finding->has_limit, limit->service_min);
    put_number(object, "service_max", finding->has_limit, limit->service_max);
    put_number(object, "p_within", computed, finding->judgement.p_within);
}

/* The parts as they are written in the files: JSON escapes what is not safe to show. */
static json_t *make_parts(const te_shop *shop, const te_measured *measured)
{
    te_buffer parts = {0};
    te_buffer_text(&parts, te_shop_text(shop, measured->part));
    if (measured->second_kind != TE_KIND_NONE) {
        te_buffer_text(&parts, "+");
        te_buffer_text(&parts, te_shop_text(shop, measured->second_part));
    }
    return text_of_buffer(&parts);
}

static json_t *make_finding(const te_shop *shop, const te_assessment *assessment,
                            const te_finding *finding)
{
    const te_tables *tables = te_shop_tables(shop);
    const te_inspection *inspection = &tables->inspections[assessment->inspection];
    te_buffer kinds = {0};
    struct object object = {.json = json_object()};
    te_write_kinds(&kinds, &finding->measured);
    put(&object, "engine", text_of_id(shop, tables->engines[inspection->engine].id));
    put(&object, "inspection", text_of_id(shop, inspection->id));
    put(&object, "date", date_or_null(inspection->date));
    put(&object, "hours", number_or_null(inspection->hours));
    put(&object, "part", make_parts(shop, &finding->measured));
    put(&object, "kind", text_of_buffer(&kinds));
    put(&object, "quantity", json_string(te_shop_quantity_name(shop, finding->measured.quantity)));
    put(&object, "item", text_of_id(shop, finding->measured.item));
    put(&object, "unit", json_string(te_finding_unit(shop, assessment, finding)));
    put_numbers(&object, finding);
    put(&object, "status", json_string(te_outcome_name(finding->outcome)));
    put(&object, "source", text_of_id(shop, finding->has_limit ? finding->limit.source : 0));
    put(&object, "readings_low", make_readings(shop, assessment, &finding->measured.low));
    put(&object, "readings_high", make_readings(shop, assessment, &finding->measured.high));
    return whole(&object);
}

static json_t *make_reasons(const te_shop *shop, const te_assessment *assessment,
                            const te_verdict *verdict)
{
    json_t *list = json_array();
    for (uint32_t i = 0; i < verdict->reason_count; i++) {
        te_buffer text = {0};
        te_write_reason(&text, shop, assessment, &assessment->reasons[verdict->first_reason + i]);
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
    const te_tables *tables = te_shop_tables(shop);
    json_t *list = json_array();
    for (uint32_t i = 0; i < inspection->condition_count; i++) {
        const te_condition *row = &tables->conditions[inspection->first_condition + i];
        json_t *entry = json_pack("{s:o, s:s, s:o, s:s}", "part", text_of_id(shop, row->part),
                                  "kind", te_kind_name(row->kind), "finding",
                                  text_of_id(shop, row->finding), "severity",
                                  te_severity_name(row->severity));
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

static json_t *make_inspection(const te_shop *shop, const te_assessment *assessment)
{
    const te_tables *tables = te_shop_tables(shop);
    const te_inspection *inspection = &tables->inspections[assessment->inspection];
    const te_engine *engine = &tables->engines[inspection->engine];
    struct object object = {.json = json_object()};
    put(&object, "inspection", text_of_id(shop, inspection->id));
    put(&object, "engine", text_of_id(shop, engine->id));
    put(&object, "model", text_of_id(shop, tables->models[engine->model].id));
    put(&object, "date", date_or_null(inspection->date));
    put(&object, "hours", number_or_null(inspection->hours));
    put(&object, "temperature", number_or_null(inspection->temperature));
    put(&object, "findings", make_findings(shop, assessment));
    put(&object, "condition", make_conditions(shop, inspection));
    put(&object, "verdicts", make_verdicts(shop, assessment));
    put(&object, "assembly", make_verdict(shop, assessment, te_assessment_assembly(assessment)));
    return whole(&object);
}

static int append(const char *bytes, size_t size, void *context)
{
    te_buffer *buffer = context;
    /* jansson leaves DEL as it is; it can stand in a string only. */
    for (const char *del = memchr(bytes, 0x7f, size); del != NULL;
         del = memchr(bytes, 0x7f, size)) {
        size_t before = (size_t)(del - bytes);
        te_buffer_add(buffer, bytes, before);
        te_buffer_text(buffer, "\\u007f");
        bytes += before + 1;
        size -= before + 1;
    }
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
