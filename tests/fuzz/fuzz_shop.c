/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * A whole shop from memory, through every result and every writer. The bytes are files one behind the
 * other: each begins with the byte 0x1e and one that picks its name. What is not among them is as in a
 * small sound shop, so that a fuzzed file of readings goes all the way. Reports and sheets, which are as
 * much work as all else, are written for one input in sixteen, by its bytes.
 */
#include "fuzz.h"

#include <gsl/gsl_errno.h>
#include <jansson.h>
#include <math.h>
#include <string.h>

#include "../due_ways.h"
#include "record/csv_rows.h"
#include "te_whole.h"
#include "topend/text.h"

#define INPUT(name, text)            \
    {                                \
        name, text, sizeof(text) - 1 \
    }

static const te_input usual[] = {
    INPUT("engines.csv", "engine,model\nE1,M\n"),
    INPUT("models.csv", "model,cylinder_material,piston_material,reborable,inspect_every_hours\n"
                        "M,aluminium,18e-6,yes,100\n"),
    INPUT("limits.csv",
          "model,quantity,item,unit,new_min,new_max,service_min,service_max,required\n"
          "M,bore,,mm,66,66.02,,66.1,yes\nM,taper,,mm,,0.01,,0.05,no\n"
          "M,skirt,,mm,65.92,65.94,65.87,,yes\n"
          "M,skirt_clearance,,mm,0.06,0.1,0.05,0.18,yes\n"
          "M,end_gap,,mm,0.25,0.4,0.2,0.8,no\n"),
    INPUT("instruments.csv", "instrument,resolution,expanded_uncertainty,set_with\nMI,0.001,0.002,"
                             "\nBG,0.001,0.004,MI\n"),
    INPUT("inspections.csv", "inspection,engine,date,hours,state,temperature\n"
                             "I1,E1,2025-02-01,50,found,21\nI2,E1,2025-06-01,110,,19\n"),
    INPUT("readings.csv", "inspection,feature,item,position,direction,reading,no_go,instrument\n"
                          "I1,bore,,10,thrust,66.021,,BG\nI1,bore,,40,pin,66.012,,BG\n"
                          "I1,skirt,,12,,65.915,,MI\nI2,bore,,10,thrust,66.041,,BG\n"
                          "I2,end_gap,1,10,,0.6,0.65,\nI2,skirt,,12,,65.905,,MI\n"),
};

static const char *const names[] = {
    "engines.csv",    "models.csv",     "limits.csv",    "instruments.csv", "inspections.csv",
    "readings.csv",   "parts.csv",      "condition.csv", "spares.csv",      "plan.csv",
    "readings/b.csv", "readings/a.csv", "shop.csv",      "other.csv",
};

enum { MOST = 24, USUAL = sizeof usual / sizeof *usual, NAMES = sizeof names / sizeof *names };

/* Cuts the bytes into files; those of the sound shop that are not among them follow. */
static size_t cut(te_input *inputs, const char *bytes, size_t size)
{
    size_t count = 0;
    for (size_t at = 0; at + 2 <= size && count + USUAL < MOST;) {
        const char *next = memchr(bytes + at + 2, 0x1e, size - at - 2);
        size_t end = next == NULL ? size : (size_t)(next - bytes);
        const char *name = names[(unsigned char)bytes[at + 1] % NAMES];
        bool twice = false;
        for (size_t i = 0; i < count; i++) {
            twice = twice || inputs[i].name == name;
        }
        if (!twice) {
            inputs[count++] = (te_input){name, bytes + at + 2, end - at - 2};
        }
        at = end;
    }
    size_t given = count;
    for (size_t i = 0; i < USUAL; i++) {
        bool there = false;
        for (size_t j = 0; j < given; j++) {
            there = there || strcmp(inputs[j].name, usual[i].name) == 0;
        }
        if (!there) {
            inputs[count++] = usual[i];
        }
    }
    return count;
}

/* ---- what must hold of an assessment ---- */

static bool is_bad(te_outcome outcome)
{
    return outcome == TE_BEYOND || outcome == TE_UNDECIDED || outcome == TE_MISSING ||
           outcome == TE_OUTSIDE_NEW;
}

static void look(void *context, const te_shop *shop, const te_assessment *a)
{
    const te_tables *tables = te_shop_tables(shop);
    const te_inspection *inspection = &tables->inspections[a->inspection];
    const te_verdict *assembly = te_assessment_assembly(a);
    size_t judged = 0;
    (void)context;
    for (size_t i = 0; i < a->finding_count; i++) {
        const te_finding *f = &a->findings[i];
        MUST(assembly->verdict != TE_REUSE || !is_bad(f->outcome));
        MUST(f->outcome != TE_BEYOND || assembly->verdict == TE_DO_NOT_REUSE);
        judged += f->outcome == TE_AS_NEW || f->outcome == TE_SERVICEABLE;
        if (f->computed && !isnan(f->judgement.p_within)) {
            MUST(f->judgement.p_within >= 0.0 && f->judgement.p_within <= 1.0);
        }
        if (f->computed) {
            MUST(isfinite(f->interval.low) && isfinite(f->interval.high));
            MUST(!f->interval.stated || (f->interval.u_low >= 0.0 && f->interval.u_high >= 0.0));
        }
    }
    for (uint32_t i = 0; i < inspection->condition_count; i++) {
        MUST(tables->conditions[inspection->first_condition + i].severity != TE_REJECT ||
             assembly->verdict == TE_DO_NOT_REUSE);
    }
    for (size_t i = 0; i + 1 < a->verdict_count; i++) {
        const te_verdict *part = &a->verdicts[i];
        MUST(!part->measured || assembly->verdict != TE_REUSE || part->verdict == TE_REUSE);
    }
    MUST(assembly->verdict != TE_REUSE || judged > 0);
    bool last = te_shop_last_inspection(shop, inspection->engine) == a->inspection;
    MUST(!last || due_ways_agree(shop, inspection->engine));
}

/* ---- what must hold of what is written ---- */

struct width {
    size_t columns, rows;
};

static te_status take_row(void *context, const te_slice *cells, size_t count, uint32_t line)
{
    struct width *width = context;
    (void)cells;
    (void)line;
    width->columns = width->rows++ == 0 ? count : width->columns;
    MUST(count == width->columns);
    return TE_OK;
}

static void take_fault(void *context, enum te_csv_fault fault, uint32_t line)
{
    (void)context;
    (void)line;
    MUST(fault == TE_CSV_SWALLOWED); /* a name of the user's that holds line breaks and commas */
}

static void look_at_csv(const te_buffer *csv)
{
    struct width width = {0, 0};
    const struct te_csv_sink sink = {.row = take_row, .fault = take_fault, .context = &width};
    MUST(te_csv_read(&sink, (te_slice){csv->bytes, csv->length}, ',', 1) == TE_OK);
}

static void look_at_json(const te_buffer *json)
{
    json_error_t error;
    json_t *root = json_loadb(json->bytes, json->length, JSON_REJECT_DUPLICATES, &error);
    MUST(root != NULL);
    json_decref(root);
}

/* UTF-8 without control characters but the end of a line. */
static void look_at_text(const te_buffer *text)
{
    for (size_t i = 0; i < text->length;) {
        uint32_t code = 0;
        size_t size = te_utf8_decode(&code, text->bytes + i, text->length - i);
        MUST(size > 0);
        MUST(code == '\n' || (code >= 0x20 && !(code >= 0x7f && code <= 0x9f)));
        i += size;
    }
}

static void look_at_all(const te_whole *whole)
{
    static const te_whole_form tables[] = {TE_WHOLE_FINDINGS_CSV, TE_WHOLE_VERDICTS_CSV,
                                           TE_WHOLE_TREND_CSV,    TE_WHOLE_COMPARE_CSV,
                                           TE_WHOLE_DUE_CSV,      TE_WHOLE_OPTIONS_CSV};
    static const te_whole_form texts[] = {
        TE_WHOLE_PROBLEMS,     TE_WHOLE_ASSESS_TEXT, TE_WHOLE_EXPLANATION,  TE_WHOLE_TREND_TEXT,
        TE_WHOLE_COMPARE_TEXT, TE_WHOLE_DUE_TEXT,    TE_WHOLE_OPTIONS_TEXT, TE_WHOLE_REPORT_TEXT,
        TE_WHOLE_REPORT_HTML,  TE_WHOLE_SHEET_HTML};
    for (size_t i = 0; i < sizeof tables / sizeof *tables; i++) {
        if (whole->of[tables[i]].length > 0) {
            look_at_csv(&whole->of[tables[i]]);
        }
    }
    for (size_t i = 0; i < sizeof texts / sizeof *texts; i++) {
        look_at_text(&whole->of[texts[i]]);
    }
    look_at_json(&whole->of[TE_WHOLE_ASSESS_JSON]);
    look_at_json(&whole->of[TE_WHOLE_DUE_JSON]);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    te_input inputs[MOST];
    te_whole whole;
    unsigned sum = 0;
    gsl_set_error_handler_off();
    for (size_t i = 0; i < size; i++) {
        sum = sum * 31 + data[i];
    }
    unsigned forms = sum % 16 == 0 ? TE_WHOLE_ALL : TE_WHOLE_ALL & ~TE_WHOLE_DEAR;
    size_t count = cut(inputs, (const char *)data, size);
    te_status status = te_whole_make(&whole, inputs, count, forms, look, NULL);
    MUST(status == TE_OK || status == TE_ERR_DATA || status == TE_ERR_FULL);
    MUST((status == TE_ERR_DATA) == (whole.errors > 0));
    if (status == TE_OK) {
        look_at_all(&whole);
    } else if (status == TE_ERR_DATA) {
        MUST(whole.of[TE_WHOLE_PROBLEMS].length > 0);
        look_at_text(&whole.of[TE_WHOLE_PROBLEMS]);
    }
    te_whole_free(&whole);
    return 0;
}
