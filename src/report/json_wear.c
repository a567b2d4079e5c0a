/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Series, builds and due dates as JSON. */
#include <math.h>

#include "json.h"
#include "wear_words.h"

static json_t *engine_name(const te_shop *shop, uint32_t engine)
{
    return te_json_id(shop, te_shop_tables(shop)->engines[engine].id);
}

static void put_truth(struct te_json_object *object, const char *key, bool value)
{
    te_json_put(object, key, json_boolean(value));
}

/* The members that tell which quantity of which part is meant. */
static void put_key(struct te_json_object *object, const te_shop *shop, const te_history *history,
                    const te_series *series)
{
    te_measured subject = te_series_subject(series);
    te_buffer kinds = {0};
    te_write_kinds(&kinds, &subject);
    te_json_put(object, "engine", engine_name(shop, history->engine));
    te_json_put(object, "part",
                te_json_parts(shop, series->part, series->second_part, series->second_kind));
    te_json_put(object, "kind", te_json_buffer(&kinds));
    te_json_put(object, "quantity", json_string(te_shop_quantity_name(shop, series->quantity)));
    te_json_put(object, "item", te_json_id(shop, series->item));
    te_json_put(object, "unit", json_string(te_series_unit(shop, history, series)));
    te_json_put(object, "side", json_string(te_side_name(series->side)));
}

/* ---- trend ---- */

static json_t *make_point(const te_shop *shop, const te_history *history, const te_point *point)
{
    const te_tables *tables = te_shop_tables(shop);
    struct te_json_object object = {.json = json_object()};
    te_id inspection = point->assumed ? 0 : tables->inspections[point->inspection].id;
    const char *role = point->assumed ? "assumed" : "measured";
    te_json_put(&object, "inspection", te_json_id(shop, inspection));
    te_json_put(&object, "engine", engine_name(shop, point->engine));
    te_json_put(&object, "engine_hours", te_json_number(point->engine_hours));
    te_json_put(&object, "hours", te_json_number(point->hours));
    te_json_put(&object, "value", te_json_number(point->value));
    te_json_put_number(&object, "u", point->stated, point->u);
    te_json_put(&object, "role", json_string(role));
    put_truth(&object, "fitted", point->fitted);
    te_json_put(&object, "readings", te_json_readings(shop, &history->pool, &point->form));
    return te_json_whole(&object);
}

static json_t *make_points(const te_shop *shop, const te_history *history, const te_series *series)
{
    json_t *list = json_array();
    for (uint32_t i = 0; i < series->point_count && list != NULL; i++) {
        list = te_json_appended(
            list, make_point(shop, history, &history->points[series->first_point + i]));
    }
    return list;
}

static json_t *make_split(const te_history *history, const te_series *series)
{
    te_gap_split split;
    if (te_gap_split_of(&split, history, series) != TE_SPLIT_GOOD) {
        return json_null();
    }
    struct te_json_object object = {.json = json_object()};
    te_json_put(&object, "hours_from", te_json_number(split.hours_from));
    te_json_put(&object, "hours_to", te_json_number(split.hours_to));
    te_json_put(&object, "position", te_json_number(split.position));
    te_json_put(&object, "directions", json_integer((json_int_t)split.directions));
    te_json_put(&object, "gap_growth", te_json_number(split.growth));
    te_json_put_number(&object, "u_gap_growth", split.stated, split.u_growth);
    te_json_put(&object, "from_bore", te_json_number(split.from_bore));
    te_json_put_number(&object, "u_from_bore", split.stated, split.u_from_bore);
    te_json_put(&object, "radial_ring_wear", te_json_number(split.ring_wear));
    te_json_put_number(&object, "u_radial_ring_wear", split.stated, split.u_ring_wear);
    return te_json_whole(&object);
}

static void put_rate(struct te_json_object *object, const te_series *series)
{
    static const char *const methods[] = {"none", "generalised", "ordinary"};
    bool fitted = series->method != TE_RATE_NONE;
    bool generalised = series->method == TE_RATE_GENERALISED;
    const te_line *line = &series->line;
    te_json_put(object, "method", json_string(methods[series->method]));
    te_json_put_number(object, "rate", fitted, line->rate);
    te_json_put(object, "u_rate", te_json_number(te_series_u_rate(series)));
    te_json_put_number(object, "level", fitted, line->level);
    te_json_put(object, "u_level", te_json_number(te_series_u_level(series)));
    te_json_put_number(object, "chi2", generalised, line->chi2);
    te_json_put(object, "nu", fitted ? json_integer((json_int_t)line->freedom) : json_null());
    te_json_put(object, "p_chi2", te_json_number(te_line_chance(&series->line)));
    te_json_put_number(object, "variance_scale", generalised, line->scale);
}

static void put_projection(struct te_json_object *object, const te_series *series)
{
    te_json_put(object, "limit", te_json_number(series->service));
    te_json_put(object, "hours_at_limit", te_json_number(series->at_limit));
    te_json_put(object, "hours_at_limit_earliest", te_json_number(series->at_limit_earliest));
    te_json_put(object, "hours_left", te_json_number(series->at_limit - series->hours_last));
    te_json_put(object, "hours_left_earliest",
                te_json_number(series->at_limit_earliest - series->hours_last));
    put_truth(object, "limit_met", series->met);
}

static json_t *make_series(const te_shop *shop, const te_history *history, const te_series *series)
{
    struct te_json_object object = {.json = json_object()};
    put_key(&object, shop, history, series);
    te_json_put(&object, "points_fitted", json_integer((json_int_t)series->fitted_count));
    te_json_put(&object, "assumed_points", json_integer(series->assumed ? 1 : 0));
    te_json_put(&object, "hours_first", te_json_number(series->hours_first));
    te_json_put(&object, "hours_last", te_json_number(series->hours_last));
    te_json_put(&object, "value_last", te_json_number(series->value_last));
    put_rate(&object, series);
    put_projection(&object, series);
    te_json_put(&object, "source", te_json_id(shop, series->has_limit ? series->limit.source : 0));
    put_truth(&object, "history_unknown", series->unknown);
    put_truth(&object, "only_if_never_changed", series->original);
    put_truth(&object, "places_missing", series->partial);
    put_truth(&object, "error_mostly_common", series->singular);
    put_truth(&object, "fitted_now", series->fitted_now);
    te_json_put(&object, "left_out", json_integer((json_int_t)series->dropped));
    te_json_put(&object, "gap_split", make_split(history, series));
    te_json_put(&object, "points", make_points(shop, history, series));
    return te_json_whole(&object);
}

void te_write_trend_json_start(te_buffer *buffer, const te_shop *shop, const char *version)
{
    te_json_head(buffer, shop, version);
    te_buffer_text(buffer, ",\"series\":[");
}

size_t te_write_trend_json(te_buffer *buffer, const te_shop *shop, const te_history *history,
                           te_quantity only, size_t before)
{
    size_t written = 0;
    for (size_t i = 0; i < history->series_count; i++) {
        if (te_series_is_told(history, &history->series[i], only)) {
            te_buffer_text(buffer, before + written == 0 ? "\n" : ",\n");
            te_json_dump(buffer, make_series(shop, history, &history->series[i]), 0);
            written++;
        }
    }
    return written;
}

/* ---- compare ---- */

static json_t *make_build(const te_builds *builds, size_t i)
{
    struct te_json_object object = {.json = json_object()};
    bool ended = i + 1 < builds->build_count;
    te_json_put(&object, "build", json_integer((json_int_t)i + 1));
    te_json_put(&object, "hours_from", te_json_number(builds->starts[i]));
    te_json_put_number(&object, "hours_to", ended, ended ? builds->starts[i + 1] : NAN);
    return te_json_whole(&object);
}

static json_t *make_wear(const te_shop *shop, const te_history *history, const te_build_wear *row)
{
    struct te_json_object object = {.json = json_object()};
    put_key(&object, shop, history, &history->series[row->series]);
    te_json_put(&object, "build", json_integer((json_int_t)row->build));
    te_json_put(&object, "hours_from", te_json_number(row->hours_from));
    te_json_put(&object, "hours_to", te_json_number(row->hours_to));
    put_truth(&object, "from_assumed", row->assumed);
    te_json_put(&object, "wear", te_json_number(row->wear));
    te_json_put_number(&object, "u_wear", row->stated, row->u_wear);
    te_json_put(&object, "rate_per_100h", te_json_number(row->rate * TE_RATE_HOURS));
    te_json_put_number(&object, "u_rate_per_100h", row->stated, row->u_rate * TE_RATE_HOURS);
    te_json_put(&object, "rate_ratio_to_last", te_json_number(row->ratio));
    te_json_put(&object, "p_same", te_json_number(row->p_same));
    te_json_put(&object, "p_holm", te_json_number(row->p_holm));
    return te_json_whole(&object);
}

void te_write_compare_json(te_buffer *buffer, const te_shop *shop, const te_history *history,
                           const te_builds *builds, const char *version)
{
    json_t *list = json_array();
    for (size_t i = 0; i < builds->build_count && list != NULL; i++) {
        list = te_json_appended(list, make_build(builds, i));
    }
    te_json_head(buffer, shop, version);
    te_buffer_text(buffer, ",\"engine\":");
    te_json_dump(buffer, engine_name(shop, history->engine), JSON_ENCODE_ANY);
    te_buffer_text(buffer, ",\"builds\":");
    te_json_dump(buffer, list, 0);
    te_buffer_text(buffer, ",\"wear\":[");
    for (size_t i = 0; i < builds->wear_count; i++) {
        te_buffer_text(buffer, i == 0 ? "\n" : ",\n");
        te_json_dump(buffer, make_wear(shop, history, &builds->wears[i]), 0);
    }
    te_write_json_end(buffer);
}

/* ---- due ---- */

static json_t *make_due(const te_shop *shop, const te_due *due)
{
    const te_tables *tables = te_shop_tables(shop);
    const te_engine *engine = &tables->engines[due->engine];
    bool any = due->inspection != TE_NO_INDEX;
    bool series = due->quantity != TE_Q_NONE;
    const te_inspection *inspection = any ? &tables->inspections[due->inspection] : NULL;
    te_id measured = due->measured == TE_NO_INDEX ? 0 : tables->inspections[due->measured].id;
    struct te_json_object object = {.json = json_object()};
    te_json_put(&object, "engine", te_json_id(shop, engine->id));
    te_json_put(&object, "model", te_json_id(shop, tables->models[engine->model].id));
    te_json_put(&object, "inspection", te_json_id(shop, any ? inspection->id : 0));
    te_json_put(&object, "date", te_json_date(any ? inspection->date : TE_NO_DATE));
    te_json_put_number(&object, "hours", any, any ? inspection->hours : NAN);
    te_json_put(&object, "worst_status", any ? json_string(te_due_worst_name(due)) : json_null());
    te_json_put(&object, "verdict", any ? json_string(te_due_verdict_name(due)) : json_null());
    te_json_put(&object, "deciding_part",
                series ? te_json_parts(shop, due->part, due->second_part, due->second_kind)
                       : json_null());
    te_json_put(&object, "deciding_quantity",
                series ? json_string(te_shop_quantity_name(shop, due->quantity)) : json_null());
    te_json_put(&object, "item", te_json_id(shop, due->item));
    te_json_put(&object, "side", series ? json_string(te_side_name(due->side)) : json_null());
    te_json_put(&object, "limit", te_json_number(due->limit));
    te_json_put(&object, "measured_in", te_json_id(shop, measured));
    te_json_put(&object, "hours_left", te_json_number(due->hours_left));
    te_json_put(&object, "due_hours", te_json_number(due->due_hours));
    te_json_put(&object, "basis", json_string(te_due_basis_name(due->basis)));
    put_truth(&object, "assumed", due->assumed);
    put_truth(&object, "only_if_never_changed", due->original);
    put_truth(&object, "scatter", due->scatter);
    put_truth(&object, "condemned_part_on", due->condemned);
    te_json_put(&object, "condemned_part", te_json_id(shop, due->condemned_part));
    put_truth(&object, "changed_since", due->changed);
    put_truth(&object, "no_hour_meter", due->no_meter);
    te_json_put(&object, "quantities_untold", json_integer((json_int_t)due->untold));
    te_json_put(&object, "parts_unmeasured", json_integer((json_int_t)due->unmeasured));
    te_json_put(&object, "parts_left_out", json_integer((json_int_t)due->left_out));
    return te_json_whole(&object);
}

void te_write_due_json(te_buffer *buffer, const te_shop *shop, const te_due *list, size_t count,
                       const char *version)
{
    te_json_head(buffer, shop, version);
    te_buffer_text(buffer, ",\"engines\":[");
    for (size_t i = 0; i < count; i++) {
        te_buffer_text(buffer, i == 0 ? "\n" : ",\n");
        te_json_dump(buffer, make_due(shop, &list[i]), 0);
    }
    te_write_json_end(buffer);
}
