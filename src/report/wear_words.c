/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "wear_words.h"

#include <math.h>

const char *te_series_unit(const te_shop *shop, const te_history *history, const te_series *series)
{
    const te_tables *tables = te_shop_tables(shop);
    if (series->quantity < TE_Q_OWN) {
        return "mm";
    }
    const te_point *last = &history->points[series->first_point + series->point_count - 1];
    const te_observation *x = &history->pool.items[last->form.observation[0]];
    const te_reading *reading = &tables->readings[x->reading];
    return reading->setup->unit == TE_UNIT_OWN ? te_shop_text(shop, reading->setup->unit_text)
                                               : "mm";
}

te_measured te_series_subject(const te_series *series)
{
    return (te_measured){.quantity = series->quantity,
                         .item = series->item,
                         .part = series->part,
                         .second_part = series->second_part,
                         .kind = series->kind,
                         .second_kind = series->second_kind};
}

te_measured te_due_subject(const te_due *due)
{
    return (te_measured){.quantity = due->quantity,
                         .item = due->item,
                         .part = due->part,
                         .second_part = due->second_part,
                         .kind = due->kind,
                         .second_kind = due->second_kind};
}

bool te_series_is_told(const te_history *history, const te_series *series, te_quantity only)
{
    return series->engine == history->engine && (only == TE_Q_NONE || series->quantity == only);
}

double te_series_u_rate(const te_series *series)
{
    return series->method == TE_RATE_NONE ? NAN : sqrt(series->line.var_rate);
}

double te_series_u_level(const te_series *series)
{
    return series->method == TE_RATE_NONE ? NAN : sqrt(series->line.var_level);
}

const char *te_due_worst_name(const te_due *due)
{
    return due->inspection == TE_NO_INDEX ? "" : te_outcome_name(due->worst);
}

const char *te_due_verdict_name(const te_due *due)
{
    return due->inspection == TE_NO_INDEX ? "" : te_verdict_name(due->verdict);
}
