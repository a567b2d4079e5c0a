/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Findings and verdicts as CSV. */
#include <math.h>

#include "csv.h"

void te_write_findings_header(te_buffer *buffer)
{
    te_buffer_text(buffer, "engine,inspection,date,hours,part,kind,quantity,item,unit,low,u_low,"
                           "high,u_high,new_min,new_max,service_min,service_max,p_within,status,"
                           "source\n");
}

static void put_numbers(te_buffer *buffer, const te_finding *finding)
{
    const te_interval *x = &finding->interval;
    bool stated = finding->computed && x->stated;
    const double numbers[] = {
        finding->computed ? x->low : NAN,
        stated ? x->u_low : NAN,
        finding->computed ? x->high : NAN,
        stated ? x->u_high : NAN,
        finding->has_limit ? finding->limit.new_min : NAN,
        finding->has_limit ? finding->limit.new_max : NAN,
        finding->has_limit ? finding->limit.service_min : NAN,
        finding->has_limit ? finding->limit.service_max : NAN,
        finding->computed ? finding->judgement.p_within : NAN,
    };
    te_csv_numbers(buffer, numbers, sizeof numbers / sizeof *numbers);
}

void te_csv_subject(te_buffer *buffer, const te_shop *shop, const te_measured *measured)
{
    size_t start = buffer->length;
    te_write_parts(buffer, shop, measured);
    te_csv_finish(buffer, start);
    te_csv_comma(buffer);
    te_write_kinds(buffer, measured); /* words of the program's own */
    te_csv_comma(buffer);
    te_csv_text(buffer, te_shop_quantity_name(shop, measured->quantity));
    te_csv_comma(buffer);
    te_csv_text(buffer, te_shop_text(shop, measured->item));
}

static void put_finding(te_buffer *buffer, const te_shop *shop, const te_assessment *assessment,
                        const te_finding *finding)
{
    te_csv_subject(buffer, shop, &finding->measured);
    te_csv_comma(buffer);
    te_csv_text(buffer, te_finding_unit(shop, assessment, finding));
    put_numbers(buffer, finding);
    te_csv_comma(buffer);
    te_buffer_text(buffer, te_outcome_name(finding->outcome));
    te_csv_comma(buffer);
    te_csv_text(buffer, finding->has_limit ? te_shop_text(shop, finding->limit.source) : "");
    te_buffer_add(buffer, "\n", 1);
}

void te_csv_findings(te_buffer *buffer, te_buffer *front, const te_shop *shop,
                     const te_assessment *assessment)
{
    te_csv_inspection(front, shop, assessment->inspection);
    te_csv_comma(front);
    buffer->failed = buffer->failed || front->failed;
    for (size_t i = 0; i < assessment->finding_count; i++) {
        te_buffer_add(buffer, front->bytes, front->length);
        put_finding(buffer, shop, assessment, &assessment->findings[i]);
    }
}

void te_write_findings_csv(te_buffer *buffer, const te_shop *shop, const te_assessment *assessment)
{
    te_buffer front = {0};
    te_csv_findings(buffer, &front, shop, assessment);
    te_buffer_free(&front);
}

void te_write_verdicts_header(te_buffer *buffer)
{
    te_buffer_text(buffer, "engine,inspection,date,hours,part,kind,verdict,reasons\n");
}

static void put_reasons(te_buffer *buffer, const te_shop *shop, const te_assessment *assessment,
                        const te_verdict *verdict)
{
    size_t start = buffer->length;
    for (uint32_t i = 0; i < verdict->reason_count; i++) {
        te_buffer_text(buffer, i > 0 ? "; " : "");
        te_write_reason(buffer, shop, assessment, &assessment->reasons[verdict->first_reason + i]);
    }
    te_csv_finish(buffer, start);
}

void te_write_verdicts_csv(te_buffer *buffer, const te_shop *shop, const te_assessment *assessment)
{
    for (size_t i = 0; i < assessment->verdict_count; i++) {
        const te_verdict *verdict = &assessment->verdicts[i];
        bool assembly = verdict->kind == TE_KIND_NONE;
        te_csv_inspection(buffer, shop, assessment->inspection);
        te_csv_comma(buffer);
        te_csv_text(buffer, assembly ? "assembly" : te_shop_text(shop, verdict->part));
        te_csv_comma(buffer);
        te_csv_text(buffer, assembly ? "" : te_kind_name(verdict->kind));
        te_csv_comma(buffer);
        te_buffer_text(buffer, te_verdict_name(verdict->verdict));
        te_csv_comma(buffer);
        put_reasons(buffer, shop, assessment, verdict);
        te_buffer_text(buffer, "\n");
    }
}
