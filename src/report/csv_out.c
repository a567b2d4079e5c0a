/* SPDX-License-Identifier: GPL-3.0-or-later */
/* CSV: comma-delimited, decimal point, 9 significant digits; text that a spreadsheet would run as
 * a formula is disarmed by a leading apostrophe, numbers never are. */
#include <math.h>
#include <string.h>

#include "put.h"

enum { DIGITS = 9 };

/* ---- cells ---- */

static bool runs_as_formula(const char *text)
{
    return text[0] != '\0' && strchr("=+-@\t\r", text[0]) != NULL;
}

static bool needs_quotes(const char *text, size_t length)
{
    return strpbrk(text, ",\"\r\n;\t") != NULL ||
           (length > 0 && (text[0] == ' ' || text[length - 1] == ' '));
}

/* Text that is already safe to show. */
static void put_cell(te_buffer *buffer, const char *text)
{
    size_t length = strlen(text);
    bool quotes = needs_quotes(text, length);
    te_buffer_text(buffer, quotes ? "\"" : "");
    te_buffer_text(buffer, runs_as_formula(text) ? "'" : "");
    for (size_t i = 0; i < length; i++) {
        te_buffer_text(buffer, text[i] == '"' ? "\"" : "");
        te_buffer_add(buffer, text + i, 1);
    }
    te_buffer_text(buffer, quotes ? "\"" : "");
}

static void put_text(te_buffer *buffer, const char *text)
{
    te_buffer safe = {0};
    te_buffer_safe(&safe, text);
    buffer->failed = buffer->failed || safe.failed;
    put_cell(buffer, safe.length == 0 ? "" : safe.bytes);
    te_buffer_free(&safe);
}

static void put_number(te_buffer *buffer, double value)
{
    if (!isnan(value)) {
        te_put_number(buffer, value, DIGITS);
    }
}

static void comma(te_buffer *buffer)
{
    te_buffer_add(buffer, ",", 1);
}

/* ---- rows ---- */

static void put_inspection(te_buffer *buffer, const te_shop *shop, uint32_t index)
{
    const te_tables *tables = te_shop_tables(shop);
    const te_inspection *inspection = &tables->inspections[index];
    put_text(buffer, te_shop_text(shop, tables->engines[inspection->engine].id));
    comma(buffer);
    put_text(buffer, te_shop_text(shop, inspection->id));
    comma(buffer);
    te_put_date(buffer, inspection->date);
    comma(buffer);
    put_number(buffer, inspection->hours);
}

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
        comma(buffer);
        put_number(buffer, numbers[i]);
    }
}

static void put_finding(te_buffer *buffer, const te_shop *shop, const te_assessment *assessment,
                        const te_finding *finding)
{
    te_buffer parts = {0};
    te_buffer kinds = {0};
    te_write_parts(&parts, shop, &finding->measured);
    te_write_kinds(&kinds, &finding->measured);
    buffer->failed = buffer->failed || parts.failed || kinds.failed;
    put_inspection(buffer, shop, assessment->inspection);
    comma(buffer);
    put_cell(buffer, parts.length == 0 ? "" : parts.bytes);
    comma(buffer);
    put_cell(buffer, kinds.length == 0 ? "" : kinds.bytes);
    comma(buffer);
    put_text(buffer, te_shop_quantity_name(shop, finding->measured.quantity));
    comma(buffer);
    put_text(buffer, te_shop_text(shop, finding->measured.item));
    comma(buffer);
    put_text(buffer, te_finding_unit(shop, assessment, finding));
    put_numbers(buffer, finding);
    comma(buffer);
    te_buffer_text(buffer, te_outcome_name(finding->outcome));
    comma(buffer);
    put_text(buffer, finding->has_limit ? te_shop_text(shop, finding->limit.source) : "");
    te_buffer_text(buffer, "\n");
    te_buffer_free(&parts);
    te_buffer_free(&kinds);
}

void te_write_findings_csv(te_buffer *buffer, const te_shop *shop, const te_assessment *assessment)
{
    for (size_t i = 0; i < assessment->finding_count; i++) {
        put_finding(buffer, shop, assessment, &assessment->findings[i]);
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
        put_inspection(buffer, shop, assessment->inspection);
        comma(buffer);
        put_text(buffer, assembly ? "assembly" : te_shop_text(shop, verdict->part));
        comma(buffer);
        put_text(buffer, assembly ? "" : te_kind_name(verdict->kind));
        comma(buffer);
        te_buffer_text(buffer, te_verdict_name(verdict->verdict));
        comma(buffer);
        put_cell(buffer, reasons.length == 0 ? "" : reasons.bytes);
        te_buffer_text(buffer, "\n");
        te_buffer_free(&reasons);
    }
}
