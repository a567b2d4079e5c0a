/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Series, builds and due dates as CSV. */
#include <math.h>

#include "csv.h"
#include "wear_words.h"

static void put_counted(te_buffer *buffer, size_t count)
{
    te_csv_comma(buffer);
    te_put_count(buffer, count);
}

/* engine,part,kind,quantity,item,unit,side */
static void put_key(te_buffer *buffer, const te_shop *shop, const te_history *history,
                    const te_series *series)
{
    te_measured subject = te_series_subject(series);
    te_csv_text(buffer, te_shop_text(shop, te_shop_tables(shop)->engines[history->engine].id));
    te_csv_comma(buffer);
    te_csv_subject(buffer, shop, &subject);
    te_csv_comma(buffer);
    te_csv_text(buffer, te_series_unit(shop, history, series));
    te_csv_comma(buffer);
    te_buffer_text(buffer, te_side_name(series->side));
}

/* ---- trend ---- */

void te_write_trend_header(te_buffer *buffer)
{
    te_buffer_text(buffer, "engine,part,kind,quantity,item,unit,side,points,assumed_points,"
                           "hours_first,hours_last,value_last,rate,u_rate,level,u_level,chi2,nu,"
                           "limit,hours_at_limit,hours_at_limit_earliest,hours_left,"
                           "hours_left_earliest\n");
}

static void put_series(te_buffer *buffer, const te_shop *shop, const te_history *history,
                       const te_series *series)
{
    bool fitted = series->method != TE_RATE_NONE;
    const te_line *line = &series->line;
    const double before[] = {
        series->hours_first,
        series->hours_last,
        series->value_last,
        fitted ? line->rate : NAN,
        te_series_u_rate(series),
        fitted ? line->level : NAN,
        te_series_u_level(series),
        series->method == TE_RATE_GENERALISED ? line->chi2 : NAN,
        fitted ? (double)line->freedom : NAN,
    };
    const double after[] = {
        series->service,
        series->at_limit,
        series->at_limit_earliest,
        series->at_limit - series->hours_last,
        series->at_limit_earliest - series->hours_last,
    };
    put_key(buffer, shop, history, series);
    put_counted(buffer, series->fitted_count);
    put_counted(buffer, series->assumed ? 1 : 0);
    te_csv_numbers(buffer, before, sizeof before / sizeof *before);
    te_csv_numbers(buffer, after, sizeof after / sizeof *after);
    te_buffer_text(buffer, "\n");
}

size_t te_write_trend_csv(te_buffer *buffer, const te_shop *shop, const te_history *history,
                          te_quantity only)
{
    size_t written = 0;
    for (size_t i = 0; i < history->series_count; i++) {
        if (te_series_is_told(history, &history->series[i], only)) {
            put_series(buffer, shop, history, &history->series[i]);
            written++;
        }
    }
    return written;
}

/* ---- compare ---- */

void te_write_compare_header(te_buffer *buffer)
{
    te_buffer_text(buffer, "engine,part,kind,quantity,item,unit,side,build,hours_from,hours_to,"
                           "wear,u_wear,rate_per_100h,u_rate_per_100h,rate_ratio_to_last,p_same,"
                           "p_holm\n");
}

void te_write_compare_csv(te_buffer *buffer, const te_shop *shop, const te_history *history,
                          const te_builds *builds)
{
    for (size_t i = 0; i < builds->wear_count; i++) {
        const te_build_wear *row = &builds->wears[i];
        const double numbers[] = {
            row->hours_from,
            row->hours_to,
            row->wear,
            row->stated ? row->u_wear : NAN,
            row->rate * TE_RATE_HOURS,
            row->stated ? row->u_rate * TE_RATE_HOURS : NAN,
            row->ratio,
            row->p_same,
            row->p_holm,
        };
        put_key(buffer, shop, history, &history->series[row->series]);
        put_counted(buffer, row->build);
        te_csv_numbers(buffer, numbers, sizeof numbers / sizeof *numbers);
        te_buffer_text(buffer, "\n");
    }
}

/* ---- due ---- */

void te_write_due_header(te_buffer *buffer)
{
    te_buffer_text(buffer, "engine,model,inspection,date,hours,worst_status,verdict,deciding_part,"
                           "deciding_quantity,item,hours_left,due_hours,basis\n");
}

/* engine,model,inspection,date,hours,worst_status,verdict */
static void put_last_inspection(te_buffer *buffer, const te_shop *shop, const te_due *due)
{
    const te_tables *tables = te_shop_tables(shop);
    const te_engine *engine = &tables->engines[due->engine];
    bool any = due->inspection != TE_NO_INDEX;
    const te_inspection *inspection = any ? &tables->inspections[due->inspection] : NULL;
    te_csv_text(buffer, te_shop_text(shop, engine->id));
    te_csv_comma(buffer);
    te_csv_text(buffer, te_shop_text(shop, tables->models[engine->model].id));
    te_csv_comma(buffer);
    te_csv_text(buffer, any ? te_shop_text(shop, inspection->id) : "");
    te_csv_comma(buffer);
    te_put_date(buffer, any ? inspection->date : TE_NO_DATE);
    te_csv_comma(buffer);
    te_csv_number(buffer, any ? inspection->hours : NAN);
    te_csv_comma(buffer);
    te_buffer_text(buffer, te_due_worst_name(due));
    te_csv_comma(buffer);
    te_buffer_text(buffer, te_due_verdict_name(due));
}

static void put_due(te_buffer *buffer, const te_shop *shop, const te_due *due)
{
    bool series = due->quantity != TE_Q_NONE;
    te_measured subject = te_due_subject(due);
    put_last_inspection(buffer, shop, due);
    te_csv_comma(buffer);
    size_t start = buffer->length;
    if (series) {
        te_write_parts(buffer, shop, &subject);
    }
    te_csv_finish(buffer, start);
    te_csv_comma(buffer);
    te_csv_text(buffer, series ? te_shop_quantity_name(shop, due->quantity) : "");
    te_csv_comma(buffer);
    te_csv_text(buffer, te_shop_text(shop, due->item));
    const double numbers[] = {due->hours_left, due->due_hours};
    te_csv_numbers(buffer, numbers, 2);
    te_csv_comma(buffer);
    te_buffer_text(buffer, te_due_basis_name(due->basis));
    te_buffer_text(buffer, "\n");
}

void te_write_due_csv(te_buffer *buffer, const te_shop *shop, const te_due *list, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        put_due(buffer, shop, &list[i]);
    }
}
