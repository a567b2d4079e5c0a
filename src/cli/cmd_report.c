/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <limits.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

#include "cli.h"
#include "clock.h"
#include "digests.h"
#include "file_out.h"
#include "pdf_module.h"
#include "progress.h"

/* One run of the command. */
struct run {
    struct session s;
    struct digests seen;
    te_digest *digests;
    te_options options;    /* with the assessment and the history that all else rests on */
    te_model_rates *rates; /* by model: made when one is needed, kept for the next engine */
    te_builds builds;
    te_due due;
    int64_t now; /* seconds since 1970-01-01, UTC */
    bool not_good;
};

/* ---- what it is written as ---- */

enum form { FORM_HTML, FORM_PDF, FORM_TEXT, FORM_JSON, FORM_CSV, FORMS };

static const char *const endings[FORMS] = {".html", ".pdf", ".txt", ".json", ".csv"};

/* The form that the ending of a file's name picks. False after a message. */
static bool form_of(enum form *form, const char *path)
{
    char shown[SHOWN_SIZE];
    size_t length = strlen(path);
    for (int i = 0; i < FORMS; i++) {
        size_t tail = strlen(endings[i]);
        if (length > tail && strcmp(path + length - tail, endings[i]) == 0) {
            *form = (enum form)i;
            return true;
        }
    }
    (void)fail("\"%s\": end the name in .html, .pdf, .txt, .json or .csv", show(shown, path));
    return false;
}

/* ---- one report ---- */

static const te_wish any_hours = {.hone = TE_HONE, .hours = NAN};

/* The results that a report rests on; false after a message. */
static bool find_results(struct run *run, uint32_t inspection)
{
    const te_tables *tables = run->s.tables;
    te_options *options = &run->options;
    uint32_t model = tables->engines[tables->inspections[inspection].engine].model;
    te_status status = te_options_make(options, &run->rates[model], run->s.shop, &run->s.problems,
                                       inspection, &any_hours);
    if (status == TE_OK) {
        status = te_builds_make(&run->builds, &options->history, run->s.shop);
    }
    if (!session_done(&run->s, inspection, status)) {
        return false;
    }
    session_tell_left_out(&run->s, &options->history);
    run->due = (te_due){.inspection = TE_NO_INDEX};
    if (inspection ==
        te_shop_last_inspection(run->s.shop, tables->inspections[inspection].engine)) {
        te_due_make(&run->due, &options->history, &options->base, run->s.shop);
    }
    return true;
}

static bool make_document(te_document *document, struct run *run)
{
    te_problems told;
    if (!session_told_warnings(&told, &run->s)) {
        return false;
    }
    const te_options_told options = {.shop = run->s.shop,
                                     .problems = &run->s.problems,
                                     .options = &run->options,
                                     .wish = any_hours};
    const te_report report = {
        .shop = run->s.shop,
        .assessment = &run->options.base,
        .history = &run->options.history,
        .options = &options,
        .builds = &run->builds,
        .due = run->due.inspection == TE_NO_INDEX ? NULL : &run->due,
        .digests = run->digests,
        .digest_count = run->seen.count,
        .problems = &told,
        .version = TOPEND_VERSION,
        .made = clock_day(run->now),
    };
    document->has_time = true;
    document->time = run->now;
    te_report_make(document, &report);
    te_problems_free(&told);
    if (!te_document_is_whole(document)) {
        (void)fail("out of memory");
        return false;
    }
    return true;
}

/* Writes a document in the form asked for; false after a message. */
static bool write_document(te_buffer *buffer, const te_document *document, enum form form,
                           te_pdf_paper paper)
{
    const te_text_style style = {.width = 80, .utf8 = true};
    if (form == FORM_PDF) {
        return pdf_write(buffer, document, paper);
    }
    if (form == FORM_HTML) {
        te_document_html(buffer, document);
    } else {
        te_document_text(buffer, document, &style);
    }
    return true;
}

/* The report of the results found, in memory; false after a message. */
static bool write_form(te_buffer *buffer, struct run *run, enum form form)
{
    te_document document = {0};
    bool good = true;
    switch (form) {
    case FORM_CSV:
        te_write_findings_header(buffer);
        te_write_findings_csv(buffer, run->s.shop, &run->options.base);
        break;
    case FORM_JSON:
        te_write_json_start(buffer, run->s.shop, TOPEND_VERSION);
        te_write_json_inspection(buffer, run->s.shop, &run->options.base, true);
        te_write_json_end(buffer);
        break;
    default:
        good = make_document(&document, run) &&
               write_document(buffer, &document, form, run->s.options->paper);
        break;
    }
    te_document_free(&document);
    if (good && buffer->failed) {
        (void)fail("out of memory");
        good = false;
    }
    return good;
}

/* Writes the report of an inspection to a file; false after a message. */
static bool report_one(struct run *run, uint32_t inspection, const char *path, enum form form)
{
    te_buffer buffer = {0};
    bool good = find_results(run, inspection) && write_form(&buffer, run, form) &&
                file_out_write(path, buffer.bytes, buffer.length);
    te_buffer_free(&buffer);
    run->not_good = run->not_good ||
                    (good && te_assessment_assembly(&run->options.base)->verdict != TE_REUSE);
    return good;
}

/* ---- one inspection ---- */

static int report_chosen(struct run *run)
{
    uint32_t inspection = TE_NO_INDEX;
    enum form form = FORM_HTML;
    const char *path = run->s.options->output;
    bool chosen = !session_is_sound(&run->s) ||
                  session_inspection(&inspection, &run->s, "--engine or --all");
    if (inspection != TE_NO_INDEX) {
        session_tell_none(&run->s);
        session_tell_history(&run->s, run->s.tables->inspections[inspection].engine);
    }
    if (!session_problems(&run->s) || !session_is_sound(&run->s) || !chosen ||
        !form_of(&form, path) || !file_out_allowed(path, run->s.options->folder) ||
        session_skips(&run->s, run->s.tables->inspections[inspection].engine) ||
        !report_one(run, inspection, path, form)) {
        return EXIT_FAILED;
    }
    return session_exit(&run->s, !run->not_good);
}

/* ---- all engines ---- */

/* A list of reports under way. */
struct listing {
    te_index_entry *entries;
    te_due *dues; /* of the engines, for the order */
    char **targets;
    size_t count;
};

static const char index_name[] = "index.html";

enum { NAME_MOST = 200 }; /* file systems hold 255 bytes */

/* A file's name for an engine: letters, digits, - and _ as they are, all else by its bytes; and the
 * first letter of an engine that would take the place of the list. Of a long one the beginning, with
 * its place among the engines behind ~, which stands in no other name. */
static char *target_of(const char *id, uint32_t engine, enum form form)
{
    static const char digits[] = "0123456789ABCDEF";
    size_t length = strlen(id);
    char *name = malloc(3 * length + 24);
    size_t used = 0;
    bool as_list = strcasecmp(id, "index") == 0;
    if (name == NULL) {
        return NULL;
    }
    for (size_t i = 0; i < length; i++) {
        unsigned char c = (unsigned char)id[i];
        bool plain = (c >= '0' && c <= '9') || (c >= 'A' && c <= 'Z') || (c >= 'a' && c <= 'z') ||
                     c == '-' || c == '_';
        if (plain && !(as_list && i == 0)) {
            name[used++] = (char)c;
        } else {
            name[used++] = '=';
            name[used++] = digits[c >> 4];
            name[used++] = digits[c & 15];
        }
    }
    if (used > NAME_MOST) {
        (void)snprintf(name + NAME_MOST, 24, "~%u%s", engine + 1, endings[form]);
    } else {
        (void)snprintf(name + used, 24, "%s", endings[form]);
    }
    return name;
}

static bool write_into(const char *folder, const char *name, const te_buffer *buffer)
{
    char path[PATH_MAX];
    char shown[SHOWN_SIZE];
    int length = snprintf(path, sizeof path, "%s/%s", folder, name);
    if (length < 0 || (size_t)length >= sizeof path) {
        (void)fail("the path of \"%s\" is too long", show(shown, name));
        return false;
    }
    return file_out_write(path, buffer->bytes, buffer->length);
}

/* The report of an engine's last inspection; false after a message. */
static bool write_listed(struct run *run, struct listing *list, uint32_t last, const char *id)
{
    te_buffer buffer = {0};
    te_index_entry *entry = &list->entries[list->count];
    char *target = target_of(id, entry->engine, FORM_HTML);
    list->targets[list->count] = target;
    entry->inspection = last;
    entry->target = target;
    if (target == NULL) {
        (void)fail("out of memory");
    }
    bool good = target != NULL && find_results(run, last) && write_form(&buffer, run, FORM_HTML) &&
                write_into(run->s.options->output, target, &buffer);
    te_buffer_free(&buffer);
    if (good) {
        entry->verdict = te_assessment_assembly(&run->options.base)->verdict;
        list->dues[list->count] = run->due;
    }
    return good;
}

/* An entry without a report. */
static te_index_entry *add_entry(struct listing *list, uint32_t at)
{
    te_index_entry *entry = &list->entries[list->count];
    *entry = (te_index_entry){.engine = at, .inspection = TE_NO_INDEX};
    list->dues[list->count] = (te_due){.engine = at,
                                       .inspection = TE_NO_INDEX,
                                       .due_hours = NAN,
                                       .hours_left = NAN,
                                       .quantity = TE_Q_NONE};
    return entry;
}

/* An engine that errors touch is listed, not left out. */
static void list_skipped(struct listing *list, uint32_t at)
{
    add_entry(list, at)->skipped = true;
    list->count++;
}

/* An engine's entry, with its report where there can be one; false after a message. */
static bool list_engine(struct run *run, struct listing *list, uint32_t at)
{
    const te_engine *engine = &run->s.tables->engines[at];
    const te_index_entry *entry = add_entry(list, at);
    bool good = true;
    session_tell_none(&run->s);
    session_tell_history(&run->s, at);
    if (engine->inspection_count > 0) {
        uint32_t last = te_shop_last_inspection(run->s.shop, at);
        good = write_listed(run, list, last, te_shop_text(run->s.shop, engine->id));
    }
    run->not_good = run->not_good || entry->inspection == TE_NO_INDEX || entry->verdict != TE_REUSE;
    list->count++;
    return good;
}

/* The entries in the order in which the engines are due; false when memory is out. */
static bool sort_listing(struct listing *list, size_t engines)
{
    te_index_entry *sorted = calloc(list->count + 1, sizeof *sorted);
    size_t *at = calloc(engines + 1, sizeof *at);
    bool good = sorted != NULL && at != NULL;
    for (size_t i = 0; good && i < list->count; i++) {
        at[list->entries[i].engine] = i;
    }
    te_due_sort(list->dues, good ? list->count : 0);
    for (size_t i = 0; good && i < list->count; i++) {
        sorted[i] = list->entries[at[list->dues[i].engine]];
        sorted[i].due = &list->dues[i];
    }
    free(at);
    if (good) {
        free(list->entries);
        list->entries = sorted;
    } else {
        free(sorted);
    }
    return good;
}

static bool write_index(struct run *run, struct listing *list)
{
    te_document document = {.has_time = true, .time = run->now};
    te_buffer buffer = {0};
    bool good = sort_listing(list, run->s.tables->engine_count);
    te_index_make(&document, run->s.shop, list->entries, good ? list->count : 0, TOPEND_VERSION,
                  clock_day(run->now));
    te_document_html(&buffer, &document);
    good = good && !buffer.failed;
    if (!good) {
        (void)fail("out of memory");
    }
    good = good && write_into(run->s.options->output, index_name, &buffer);
    te_buffer_free(&buffer);
    te_document_free(&document);
    return good;
}

static bool make_listing(struct listing *list, size_t engines)
{
    list->entries = calloc(engines + 1, sizeof *list->entries);
    list->dues = calloc(engines + 1, sizeof *list->dues);
    list->targets = calloc(engines + 1, sizeof *list->targets);
    if (list->entries == NULL || list->dues == NULL || list->targets == NULL) {
        (void)fail("out of memory");
        return false;
    }
    return true;
}

static void free_listing(struct listing *list)
{
    for (size_t i = 0; i < list->count; i++) {
        free(list->targets[i]);
    }
    free(list->targets);
    free(list->dues);
    free(list->entries);
}

static int report_all(struct run *run)
{
    struct listing list = {.count = 0};
    size_t engines = run->s.tables->engine_count;
    bool good = session_problems(&run->s) && session_is_sound(&run->s) &&
                file_out_allowed(run->s.options->output, run->s.options->folder) &&
                make_listing(&list, engines) && file_out_folder(run->s.options->output);
    for (uint32_t i = 0; good && i < engines; i++) {
        progress_show(i, engines, "engines");
        if (session_skips(&run->s, i)) {
            list_skipped(&list, i);
        } else {
            good = list_engine(run, &list, i);
        }
    }
    progress_show(engines, engines, "engines");
    progress_end();
    good = good && write_index(run, &list);
    free_listing(&list);
    return good ? session_exit(&run->s, !run->not_good) : EXIT_FAILED;
}

int cmd_report(const struct options *options)
{
    struct run run = {.not_good = false};
    const te_watch watch = {.seen = digests_see, .context = &run.seen};
    int code = EXIT_FAILED;
    if (options->output == NULL) {
        return fail("report needs -o FILE, or with --all -o DIR");
    }
    if (!clock_take(&run.now) || !session_open_watched(&run.s, options, TE_FILE_EVERY, &watch)) {
        goto done;
    }
    run.rates = calloc(run.s.tables->model_count + 1, sizeof *run.rates);
    if (run.rates == NULL || !digests_finish(&run.digests, &run.seen)) {
        (void)fail("out of memory");
        goto done;
    }
    code = options->all ? report_all(&run) : report_chosen(&run);
done:
    free(run.digests);
    digests_free(&run.seen);
    te_builds_free(&run.builds);
    te_options_free(&run.options);
    for (size_t i = 0; run.rates != NULL && i < run.s.tables->model_count; i++) {
        te_model_rates_free(&run.rates[i]);
    }
    free(run.rates);
    session_close(&run.s);
    return code;
}
