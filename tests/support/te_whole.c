/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "te_whole.h"

#include <math.h>
#include <stdlib.h>

#include "topend/report.h"
#include "topend/sheet.h"
#include "topend/write_options.h"
#include "topend/write_wear.h"

static const char version[] = "0.0.0";
static const te_date today = 20561; /* 2026-04-18 */
static const te_text_style style = {.width = 80};

const char *te_whole_name(te_whole_form form)
{
    static const char *const names[TE_WHOLE_FORMS] = {
        "problems",     "findings.csv",  "verdicts.csv", "assess.json", "assess.txt",
        "explanation",  "trend.csv",     "trend.json",   "trend.txt",   "compare.csv",
        "compare.json", "compare.txt",   "due.csv",      "due.json",    "due.txt",
        "options.csv",  "predicted.csv", "options.json", "options.txt", "report.txt",
        "report.html",  "sheet.csv",     "sheet.html",   "index.html",
    };
    return names[form];
}

/* All that is made on the way. */
struct making {
    te_whole *out;
    unsigned forms;
    te_whole_look *look;
    void *context;
    te_shop *shop;
    te_problems problems;
    const te_tables *tables;
    te_assessment assessment, due_assessment;
    te_history history, due_history;
    te_builds builds;
    te_options options;
    te_model_rates *rates; /* by model */
    te_due *dues;          /* by engine */
    te_index_entry *entries;
    te_status status; /* the first that was not good */
};

/* Nothing more is wanted once memory ran out. */
static bool wants(struct making *m, te_whole_form form)
{
    for (int i = 0; i < TE_WHOLE_FORMS; i++) {
        m->status = m->out->of[i].failed ? TE_ERR_MEMORY : m->status;
    }
    return m->status == TE_OK && (m->forms >> form & 1U) != 0;
}

static te_buffer *of(const struct making *m, te_whole_form form)
{
    return &m->out->of[form];
}

static bool good(struct making *m, te_status status)
{
    m->status = m->status == TE_OK ? status : m->status;
    return m->status == TE_OK;
}

/* ---- assess ---- */

static void explain(struct making *m)
{
    for (te_quantity q = 0; q < TE_Q_OWN + m->tables->own_count; q++) {
        if (wants(m, TE_WHOLE_EXPLANATION)) {
            (void)te_write_explanation(of(m, TE_WHOLE_EXPLANATION), m->shop, &m->assessment, q,
                                       &style);
        }
    }
}

static void assess(struct making *m, uint32_t inspection)
{
    if (!good(m, te_assess(&m->assessment, m->shop, inspection, false))) {
        return;
    }
    if (m->look != NULL) {
        m->look(m->context, m->shop, &m->assessment);
    }
    if (wants(m, TE_WHOLE_FINDINGS_CSV)) {
        te_write_findings_csv(of(m, TE_WHOLE_FINDINGS_CSV), m->shop, &m->assessment);
    }
    if (wants(m, TE_WHOLE_VERDICTS_CSV)) {
        te_write_verdicts_csv(of(m, TE_WHOLE_VERDICTS_CSV), m->shop, &m->assessment);
    }
    if (wants(m, TE_WHOLE_ASSESS_JSON)) {
        te_write_json_inspection(of(m, TE_WHOLE_ASSESS_JSON), m->shop, &m->assessment,
                                 m->out->inspections == 0);
    }
    if (wants(m, TE_WHOLE_ASSESS_TEXT)) {
        te_write_text_inspection(of(m, TE_WHOLE_ASSESS_TEXT), m->shop, &m->assessment, &style);
        te_write_text_summary(of(m, TE_WHOLE_ASSESS_TEXT), m->shop, &m->assessment, &style);
    }
    explain(m);
    m->out->inspections++;
}

/* ---- options ---- */

static const te_wish wish = {.hone = TE_HONE, .hours = NAN};

static void write_options(struct making *m)
{
    const te_options_told told = {
        .shop = m->shop, .problems = &m->problems, .options = &m->options, .wish = wish};
    if (wants(m, TE_WHOLE_OPTIONS_CSV)) {
        te_write_options_csv(of(m, TE_WHOLE_OPTIONS_CSV), &told);
    }
    if (wants(m, TE_WHOLE_OPTIONS_FINDINGS_CSV)) {
        te_write_options_findings_csv(of(m, TE_WHOLE_OPTIONS_FINDINGS_CSV), &told);
    }
    if (wants(m, TE_WHOLE_OPTIONS_JSON)) {
        te_write_options_json(of(m, TE_WHOLE_OPTIONS_JSON), &told, version);
    }
    if (wants(m, TE_WHOLE_OPTIONS_TEXT)) {
        te_document document = {0};
        te_options_document(&document, &told, version);
        te_document_text(of(m, TE_WHOLE_OPTIONS_TEXT), &document, &style);
        te_document_free(&document);
    }
}

static bool make_options(struct making *m, uint32_t inspection)
{
    uint32_t model = m->tables->engines[m->tables->inspections[inspection].engine].model;
    return good(m, te_options_make(&m->options, &m->rates[model], m->shop, &m->problems, inspection,
                                   &wish));
}

/* ---- report ---- */

static void write_document(struct making *m, te_whole_form form, const te_document *document)
{
    if (!te_document_is_whole(document)) {
        (void)good(m, TE_ERR_MEMORY);
    } else if (form == TE_WHOLE_REPORT_TEXT) {
        te_document_text(of(m, form), document, &style);
    } else {
        te_document_html(of(m, form), document);
    }
}

static void report(struct making *m, const te_due *due)
{
    static const te_digest digests[] = {{"engines.csv", "00"}};
    const te_options_told told = {
        .shop = m->shop, .problems = &m->problems, .options = &m->options, .wish = wish};
    const te_report all = {
        .shop = m->shop,
        .assessment = &m->options.base,
        .history = &m->options.history,
        .builds = &m->builds,
        .due = due,
        .options = &told,
        .digests = digests,
        .digest_count = 1,
        .problems = &m->problems,
        .version = version,
        .made = today,
    };
    te_document document = {0};
    if (good(m, te_builds_make(&m->builds, &m->options.history, m->shop))) {
        te_report_make(&document, &all);
        if (wants(m, TE_WHOLE_REPORT_TEXT)) {
            write_document(m, TE_WHOLE_REPORT_TEXT, &document);
        }
        if (wants(m, TE_WHOLE_REPORT_HTML)) {
            write_document(m, TE_WHOLE_REPORT_HTML, &document);
        }
    }
    te_document_free(&document);
}

/* ---- sheet ---- */

static void sheet(struct making *m, uint32_t engine)
{
    te_sheet made = {.engine = 0};
    te_document document = {0};
    const char *name = NULL;
    const te_sheet_order order = {.engine = engine, .today = today};
    if (!good(m, te_sheet_make(&made, m->shop, &order)) || made.answer != TE_SHEET_MADE) {
        goto done;
    }
    if (wants(m, TE_WHOLE_SHEET_CSV)) {
        (void)te_sheet_csv(of(m, TE_WHOLE_SHEET_CSV), &name, &made, m->shop);
        (void)te_sheet_inspection_row(of(m, TE_WHOLE_SHEET_CSV), &name, &made, m->shop);
    }
    if (wants(m, TE_WHOLE_SHEET_HTML)) {
        te_sheet_document(&document, &made, m->shop, version);
        write_document(m, TE_WHOLE_SHEET_HTML, &document);
    }
done:
    te_document_free(&document);
    te_sheet_free(&made);
}

/* ---- an engine ---- */

static void follow(struct making *m, uint32_t engine)
{
    if (!good(m, te_history_make(&m->history, m->shop, &m->problems, engine))) {
        return;
    }
    if (wants(m, TE_WHOLE_TREND_CSV)) {
        (void)te_write_trend_csv(of(m, TE_WHOLE_TREND_CSV), m->shop, &m->history, TE_Q_NONE);
    }
    if (wants(m, TE_WHOLE_TREND_JSON)) {
        te_buffer *json = of(m, TE_WHOLE_TREND_JSON);
        te_write_trend_json_start(json, m->shop, version);
        (void)te_write_trend_json(json, m->shop, &m->history, TE_Q_NONE, 0);
        te_write_json_end(json);
    }
    if (wants(m, TE_WHOLE_TREND_TEXT)) {
        (void)te_write_trend_text(of(m, TE_WHOLE_TREND_TEXT), m->shop, &m->history, TE_Q_NONE,
                                  &style);
    }
    if (!good(m, te_builds_make(&m->builds, &m->history, m->shop))) {
        return;
    }
    if (wants(m, TE_WHOLE_COMPARE_CSV)) {
        te_write_compare_csv(of(m, TE_WHOLE_COMPARE_CSV), m->shop, &m->history, &m->builds);
    }
    if (wants(m, TE_WHOLE_COMPARE_JSON)) {
        te_write_compare_json(of(m, TE_WHOLE_COMPARE_JSON), m->shop, &m->history, &m->builds,
                              version);
    }
    if (wants(m, TE_WHOLE_COMPARE_TEXT)) {
        te_write_compare_text(of(m, TE_WHOLE_COMPARE_TEXT), m->shop, &m->history, &m->builds,
                              &style);
    }
}

/* As the program does it. */
static bool make_due(struct making *m, uint32_t at, bool inspected)
{
    te_history *history = &m->due_history;
    bool made = good(m, te_history_make_due(history, m->shop, &m->problems, at));
    if (made && inspected) {
        uint32_t last = te_shop_last_inspection(m->shop, at);
        made = good(m, te_history_assess(&m->due_assessment, history, m->shop, last, false));
    }
    if (made) {
        te_due_make(&m->dues[at], history, inspected ? &m->due_assessment : NULL, m->shop);
    }
    return made;
}

static void do_engine(struct making *m, uint32_t at)
{
    const te_engine *engine = &m->tables->engines[at];
    te_due *due = &m->dues[at];
    te_index_entry *entry = &m->entries[at];
    follow(m, at);
    for (uint32_t i = 0; i < engine->inspection_count && m->status == TE_OK; i++) {
        uint32_t inspection = m->tables->by_engine[engine->first_inspection + i];
        assess(m, inspection);
        if (m->status == TE_OK && make_options(m, inspection)) {
            write_options(m);
        }
    }
    if (m->status != TE_OK) {
        return;
    }
    bool inspected = engine->inspection_count > 0;
    if (!make_due(m, at, inspected)) {
        return;
    }
    *entry = (te_index_entry){
        .engine = at, .inspection = due->inspection, .due = due, .target = "target.html"};
    if (inspected) {
        entry->verdict = te_assessment_assembly(&m->options.base)->verdict;
        if (wants(m, TE_WHOLE_REPORT_TEXT) || wants(m, TE_WHOLE_REPORT_HTML)) {
            report(m, due);
        }
    }
    sheet(m, at);
}

/* ---- the shop ---- */

static void begin(struct making *m)
{
    if (wants(m, TE_WHOLE_FINDINGS_CSV)) {
        te_write_findings_header(of(m, TE_WHOLE_FINDINGS_CSV));
    }
    if (wants(m, TE_WHOLE_VERDICTS_CSV)) {
        te_write_verdicts_header(of(m, TE_WHOLE_VERDICTS_CSV));
    }
    if (wants(m, TE_WHOLE_ASSESS_JSON)) {
        te_write_json_start(of(m, TE_WHOLE_ASSESS_JSON), m->shop, version);
    }
    if (wants(m, TE_WHOLE_ASSESS_TEXT)) {
        te_write_text_start(of(m, TE_WHOLE_ASSESS_TEXT), m->shop, &style);
    }
    if (wants(m, TE_WHOLE_TREND_CSV)) {
        te_write_trend_header(of(m, TE_WHOLE_TREND_CSV));
    }
    if (wants(m, TE_WHOLE_TREND_TEXT)) {
        te_write_trend_text_start(of(m, TE_WHOLE_TREND_TEXT), m->shop, &style);
    }
    if (wants(m, TE_WHOLE_COMPARE_CSV)) {
        te_write_compare_header(of(m, TE_WHOLE_COMPARE_CSV));
    }
    if (wants(m, TE_WHOLE_OPTIONS_CSV)) {
        te_write_options_header(of(m, TE_WHOLE_OPTIONS_CSV));
    }
    if (wants(m, TE_WHOLE_OPTIONS_FINDINGS_CSV)) {
        te_write_options_findings_header(of(m, TE_WHOLE_OPTIONS_FINDINGS_CSV));
    }
}

static void end(struct making *m)
{
    size_t count = m->tables->engine_count;
    if (wants(m, TE_WHOLE_INDEX_HTML)) {
        te_document document = {0};
        te_index_make(&document, m->shop, m->entries, count, version, today);
        write_document(m, TE_WHOLE_INDEX_HTML, &document);
        te_document_free(&document);
    }
    te_due_sort(m->dues, m->status == TE_OK ? count : 0);
    if (wants(m, TE_WHOLE_DUE_CSV)) {
        te_write_due_header(of(m, TE_WHOLE_DUE_CSV));
        te_write_due_csv(of(m, TE_WHOLE_DUE_CSV), m->shop, m->dues, count);
    }
    if (wants(m, TE_WHOLE_DUE_JSON)) {
        te_write_due_json(of(m, TE_WHOLE_DUE_JSON), m->shop, m->dues, count, version);
    }
    if (wants(m, TE_WHOLE_DUE_TEXT)) {
        te_write_due_text(of(m, TE_WHOLE_DUE_TEXT), m->shop, m->dues, count, &style);
    }
    if (wants(m, TE_WHOLE_ASSESS_JSON)) {
        te_write_json_end(of(m, TE_WHOLE_ASSESS_JSON));
    }
    if (wants(m, TE_WHOLE_ASSESS_TEXT)) {
        te_write_cautions(of(m, TE_WHOLE_ASSESS_TEXT), &style);
    }
}

static void do_shop(struct making *m)
{
    m->tables = te_shop_tables(m->shop);
    m->out->engines = m->tables->engine_count;
    m->rates = calloc(m->tables->model_count + 1, sizeof *m->rates);
    m->dues = calloc(m->tables->engine_count + 1, sizeof *m->dues);
    m->entries = calloc(m->tables->engine_count + 1, sizeof *m->entries);
    if (m->rates == NULL || m->dues == NULL || m->entries == NULL) {
        m->status = TE_ERR_MEMORY;
        return;
    }
    begin(m);
    for (uint32_t i = 0; i < m->tables->engine_count && m->status == TE_OK; i++) {
        do_engine(m, i);
    }
    end(m);
}

static void close(struct making *m)
{
    for (size_t i = 0; m->rates != NULL && i < m->tables->model_count; i++) {
        te_model_rates_free(&m->rates[i]);
    }
    free(m->rates);
    free(m->dues);
    free(m->entries);
    te_options_free(&m->options);
    te_builds_free(&m->builds);
    te_history_free(&m->history);
    te_history_free(&m->due_history);
    te_assessment_free(&m->assessment);
    te_assessment_free(&m->due_assessment);
    te_problems_free(&m->problems);
    te_shop_free(m->shop);
}

te_status te_whole_make(te_whole *whole, const te_input *inputs, size_t count, unsigned forms,
                        te_whole_look *look, void *context)
{
    struct making m = {.out = whole, .forms = forms, .look = look, .context = context};
    *whole = (te_whole){.errors = 0};
    te_problems_init(&m.problems);
    te_status status = te_shop_read(&m.shop, &m.problems, inputs, count, TE_FILE_EVERY);
    whole->errors = m.problems.errors;
    whole->warnings = m.problems.warnings;
    if (status != TE_ERR_MEMORY && (forms >> TE_WHOLE_PROBLEMS & 1U) != 0) {
        te_write_problems(&whole->of[TE_WHOLE_PROBLEMS], &m.problems);
    }
    if (good(&m, status)) {
        do_shop(&m);
    }
    for (int i = 0; i < TE_WHOLE_FORMS; i++) {
        m.status = whole->of[i].failed ? TE_ERR_MEMORY : m.status;
    }
    close(&m);
    return m.status;
}

void te_whole_free(te_whole *whole)
{
    for (int i = 0; i < TE_WHOLE_FORMS; i++) {
        te_buffer_free(&whole->of[i]);
    }
    *whole = (te_whole){.errors = 0};
}
