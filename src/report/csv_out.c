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
    for (size_t i = 0; i < sizeof numbers / sizeof *numbers; i++) {
        te_csv_comma(buffer);
        te_csv_number(buffer, numbers[i]);
    }
}

void te_csv_finding(te_buffer *buffer, const te_shop *shop, const te_assessment *assessment,
                    const te_finding *finding)
{
    te_buffer parts = {0};
    te_buffer kinds = {0};
    te_write_parts(&parts, shop, &finding->measured);
    te_write_kinds(&kinds, &finding->measured);
    buffer->failed = buffer->failed || parts.failed || kinds.failed;
    te_csv_inspection(buffer, shop, assessment->inspection);
    te_csv_comma(buffer);
    te_csv_cell(buffer, parts.length == 0 ? "" : parts.bytes);
    te_csv_comma(buffer);
    te_csv_cell(buffer, kinds.length == 0 ? "" : kinds.bytes);
    te_csv_comma(buffer);
    te_csv_text(buffer, te_shop_quantity_name(shop, finding->measured.quantity));
    te_csv_comma(buffer);
    te_csv_text(buffer, te_shop_text(shop, finding->measured.item));
    te_csv_comma(buffer);
    te_csv_text(buffer, te_finding_unit(shop, assessment, finding));
    put_numbers(buffer, finding);
    te_csv_comma(buffer);
    te_buffer_text(buffer, te_outcome_name(finding->outcome));
    te_csv_comma(buffer);
    te_csv_text(buffer, finding->has_limit ? te_shop_text(shop, finding->limit.source) : "");
    te_buffer_text(buffer, "\n");
    te_buffer_free(&parts);
    te_buffer_free(&kinds);
}

void te_write_findings_csv(te_buffer *buffer, const te_shop *shop, const te_assessment *assessment)
{
    for (size_t i = 0; i < assessment->finding_count; i++) {
        te_csv_finding(buffer, shop, assessment, &assessment->findings[i]);
    }
}

void te_write_verdicts_header(te_buffer *buffer)
{
    te_buffer_text(buffer, "engine,inspection,date,hours,part,kind,verdict,reasons\n");
}

void te_write_verdicts_csv(te_buffer *buffer, const te_shop *shop, const te_assessment *assessment)
{
    for (size_t i = 0; i < assessment->verdict_count; i++) {
        const te_verdict *verdict = &assessment->verdicts[i];
        bool assembly = verdict->kind == TE_KIND_NONE;
        te_buffer reasons = {0};
        for (uint32_t j = 0; j < verdict->reason_count; j++) {
            te_buffer_text(&reasons, j > 0 ? "; " : "");
            te_write_reason(&reasons, shop, assessment,
                            &assessment->reasons[verdict->first_reason + j]);
        }
        buffer->failed = buffer->failed || reasons.failed;
        te_csv_inspection(buffer, shop, assessment->inspection);
        te_csv_comma(buffer);
        te_csv_text(buffer, assembly ? "assembly" : te_shop_text(shop, verdict->part));
        te_csv_comma(buffer);
        te_csv_text(buffer, assembly ? "" : te_kind_name(verdict->kind));
        te_csv_comma(buffer);
        te_buffer_text(buffer, te_verdict_name(verdict->verdict));
        te_csv_comma(buffer);
        te_csv_cell(buffer, reasons.length == 0 ? "" : reasons.bytes);
        te_buffer_text(buffer, "\n");
        te_buffer_free(&reasons);
    }
}
