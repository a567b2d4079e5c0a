/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Assessments as JSON, a tree of one inspection at a time. */
#include "json.h"

static void put_numbers(struct te_json_object *object, const te_finding *finding)
{
    const te_interval *x = &finding->interval;
    const te_limit *limit = &finding->limit;
    bool computed = finding->computed;
    bool stated = computed && x->stated;
    te_json_put_number(object, "low", computed, x->low);
    te_json_put_number(object, "u_low", stated, x->u_low);
    te_json_put_number(object, "high", computed, x->high);
    te_json_put_number(object, "u_high", stated, x->u_high);
    te_json_put_number(object, "new_min", finding->has_limit, limit->new_min);
    te_json_put_number(object, "new_max", finding->has_limit, limit->new_max);
    te_json_put_number(object, "service_min", finding->has_limit, limit->service_min);
    te_json_put_number(object, "service_max", finding->has_limit, limit->service_max);
    te_json_put_number(object, "p_within", computed, finding->judgement.p_within);
}

static json_t *make_finding(const te_shop *shop, const te_assessment *assessment,
                            const te_finding *finding)
{
    const te_tables *tables = te_shop_tables(shop);
    const te_inspection *inspection = &tables->inspections[assessment->inspection];
    const te_measured *m = &finding->measured;
    te_buffer kinds = {0};
    struct te_json_object object = {.json = json_object()};
    te_write_kinds(&kinds, m);
    te_json_put(&object, "engine", te_json_id(shop, tables->engines[inspection->engine].id));
    te_json_put(&object, "inspection", te_json_id(shop, inspection->id));
    te_json_put(&object, "date", te_json_date(inspection->date));
    te_json_put(&object, "hours", te_json_number(inspection->hours));
    te_json_put(&object, "part", te_json_parts(shop, m->part, m->second_part, m->second_kind));
    te_json_put(&object, "kind", te_json_buffer(&kinds));
    te_json_put(&object, "quantity",
                json_string(te_shop_quantity_name(shop, finding->measured.quantity)));
    te_json_put(&object, "item", te_json_id(shop, finding->measured.item));
    te_json_put(&object, "unit", json_string(te_finding_unit(shop, assessment, finding)));
    put_numbers(&object, finding);
    te_json_put(&object, "status", json_string(te_outcome_name(finding->outcome)));
    te_json_put(&object, "source",
                te_json_id(shop, finding->has_limit ? finding->limit.source : 0));
    te_json_put(&object, "readings_low",
                te_json_readings(shop, &assessment->pool, &finding->measured.low));
    te_json_put(&object, "readings_high",
                te_json_readings(shop, &assessment->pool, &finding->measured.high));
    return te_json_whole(&object);
}

static json_t *make_reasons(const te_shop *shop, const te_assessment *assessment,
                            const te_verdict *verdict)
{
    json_t *list = json_array();
    for (uint32_t i = 0; i < verdict->reason_count; i++) {
        te_buffer text = {0};
        te_write_reason(&text, shop, assessment, &assessment->reasons[verdict->first_reason + i]);
        list = te_json_appended(list, te_json_buffer(&text));
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
    return json_pack("{s:o, s:s, s:s, s:o}", "part", te_json_id(shop, verdict->part), "kind",
                     te_kind_name(verdict->kind), "verdict", word, "reasons",
                     make_reasons(shop, assessment, verdict));
}

static json_t *make_conditions(const te_shop *shop, const te_inspection *inspection)
{
    const te_tables *tables = te_shop_tables(shop);
    json_t *list = json_array();
    for (uint32_t i = 0; i < inspection->condition_count; i++) {
        const te_condition *row = &tables->conditions[inspection->first_condition + i];
        json_t *entry = json_pack("{s:o, s:s, s:o, s:s}", "part", te_json_id(shop, row->part),
                                  "kind", te_kind_name(row->kind), "finding",
                                  te_json_id(shop, row->finding), "severity",
                                  te_severity_name(row->severity));
        list = te_json_appended(list, entry);
    }
    return list;
}

json_t *te_json_findings(const te_shop *shop, const te_assessment *assessment)
{
    json_t *list = json_array();
    for (size_t i = 0; i < assessment->finding_count; i++) {
        list = te_json_appended(list, make_finding(shop, assessment, &assessment->findings[i]));
    }
    return list;
}

static json_t *make_verdicts(const te_shop *shop, const te_assessment *assessment)
{
    json_t *list = json_array();
    for (size_t i = 0; i + 1 < assessment->verdict_count; i++) {
        list = te_json_appended(list, make_verdict(shop, assessment, &assessment->verdicts[i]));
    }
    return list;
}

static json_t *make_inspection(const te_shop *shop, const te_assessment *assessment)
{
    const te_tables *tables = te_shop_tables(shop);
    const te_inspection *inspection = &tables->inspections[assessment->inspection];
    const te_engine *engine = &tables->engines[inspection->engine];
    struct te_json_object object = {.json = json_object()};
    te_json_put(&object, "inspection", te_json_id(shop, inspection->id));
    te_json_put(&object, "engine", te_json_id(shop, engine->id));
    te_json_put(&object, "model", te_json_id(shop, tables->models[engine->model].id));
    te_json_put(&object, "date", te_json_date(inspection->date));
    te_json_put(&object, "hours", te_json_number(inspection->hours));
    te_json_put(&object, "temperature", te_json_number(inspection->temperature));
    te_json_put(&object, "findings", te_json_findings(shop, assessment));
    te_json_put(&object, "condition", make_conditions(shop, inspection));
    te_json_put(&object, "verdicts", make_verdicts(shop, assessment));
    te_json_put(&object, "assembly",
                make_verdict(shop, assessment, te_assessment_assembly(assessment)));
    return te_json_whole(&object);
}

void te_write_json_start(te_buffer *buffer, const te_shop *shop, const char *version)
{
    te_json_head(buffer, shop, version);
    te_buffer_text(buffer, ",\"inspections\":[");
}

void te_write_json_inspection(te_buffer *buffer, const te_shop *shop,
                              const te_assessment *assessment, bool first)
{
    te_buffer_text(buffer, first ? "\n" : ",\n");
    te_json_dump(buffer, make_inspection(shop, assessment), 0);
}

void te_write_json_end(te_buffer *buffer)
{
    te_buffer_text(buffer, "\n]}\n");
}
