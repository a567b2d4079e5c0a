/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

#include "cli.h"
#include "clock.h"
#include "file_out.h"
#include "pdf_module.h"
#include "topend/sheet.h"

/* One run of the command. */
struct run {
    struct session s;
    te_sheet sheet;
    int64_t now; /* seconds since 1970-01-01, UTC */
};

/* False after a message when there is nothing to make a sheet of. */
static bool tell_answer(const struct run *run)
{
    char shown[SHOWN_SIZE];
    char engine[SHOWN_SIZE];
    const te_tables *tables = run->s.tables;
    show(shown, run->sheet.inspection);
    show(engine, te_shop_text(run->s.shop, tables->engines[run->sheet.engine].id));
    switch (run->sheet.answer) {
    case TE_SHEET_MADE: return true;
    case TE_SHEET_NOTHING:
        (void)fail("nothing tells what to measure on %s: plan.csv has no row for its model, and it "
                   "has no inspection with readings",
                   engine);
        break;
    case TE_SHEET_NAME_TAKEN:
        (void)fail("there is an inspection \"%s\" already; give another name with --inspection",
                   shown);
        break;
    case TE_SHEET_NAME_UNFIT:
        (void)fail("\"%s\" would not come back from a file as it is; give another name with "
                   "--inspection",
                   shown);
        break;
    }
    return false;
}

static bool tell_fault(te_sheet_fault fault, const char *name)
{
    char shown[SHOWN_SIZE];
    if (fault == TE_SHEET_FORMULA) {
        (void)fail("a spreadsheet would compute \"%s\", for it begins like a formula; print the "
                   "sheet with --format html or pdf",
                   show(shown, name));
    } else if (fault == TE_SHEET_LOST) {
        (void)fail("\"%s\" would be read as a comment or as rows; print the sheet with --format "
                   "html or pdf",
                   show(shown, name));
    }
    return fault == TE_SHEET_SOUND;
}

/* The row for inspections.csv, on standard error: it belongs to another file than the sheet. */
static bool tell_inspection(const struct run *run)
{
    te_buffer rows = {0};
    const char *name = NULL;
    if (run->sheet.declared) {
        return true;
    }
    te_sheet_fault fault = te_sheet_inspection_row(&rows, &name, &run->sheet, run->s.shop);
    bool printed = run->s.options->sheet_format != SHEET_CSV;
    if (fault == TE_SHEET_SOUND && !rows.failed) {
        (void)fprintf(stderr, "Add to inspections.csv, with date and hours:\n%s", rows.bytes);
    } else if (printed && fault != TE_SHEET_SOUND) {
        char shown[SHOWN_SIZE];
        (void)fprintf(stderr,
                      "Add the inspection to inspections.csv in a text editor: a spreadsheet does "
                      "not keep \"%s\" as it is\n",
                      show(shown, name));
    }
    bool good = (printed || tell_fault(fault, name)) && !rows.failed;
    te_buffer_free(&rows);
    return good;
}

/* The sheet as it is asked for, in memory; false after a message. */
static bool write_form(te_buffer *buffer, const struct run *run)
{
    te_document document = {.has_time = true, .time = run->now};
    const char *name = NULL;
    bool good = true;
    if (run->s.options->sheet_format == SHEET_CSV) {
        good = tell_fault(te_sheet_csv(buffer, &name, &run->sheet, run->s.shop), name);
    } else {
        te_sheet_document(&document, &run->sheet, run->s.shop, TOPEND_VERSION);
        if (run->s.options->sheet_format == SHEET_PDF) {
            good = pdf_write(buffer, &document, run->s.options->paper);
        } else {
            te_document_html(buffer, &document);
        }
    }
    te_document_free(&document);
    if (good && buffer->failed) {
        (void)fail("out of memory");
    }
    return good && !buffer->failed;
}

static bool write_sheet(struct run *run)
{
    const char *path = run->s.options->output;
    te_buffer *buffer = &run->s.buffer;
    if (!write_form(buffer, run)) {
        return false;
    }
    if (path == NULL) {
        return output_flush(buffer);
    }
    return file_out_write(path, buffer->bytes, buffer->length);
}

/* A CSV sheet may be written into readings/, where it is to be filled in, but never over a file: that
 * may be filled in already. */
static bool output_allowed(const struct run *run)
{
    char shown[SHOWN_SIZE];
    struct stat about;
    const char *path = run->s.options->output;
    const char *folder = run->s.options->folder;
    bool to_fill_in = run->s.options->sheet_format == SHEET_CSV;
    if (path == NULL || (to_fill_in && file_out_is_new_readings(path, folder))) {
        return true;
    }
    if (!file_out_allowed(path, folder)) {
        return false;
    }
    if (to_fill_in && lstat(path, &about) == 0) {
        (void)fail("\"%s\" is there already; a sheet to fill in does not replace a file",
                   show(shown, path));
        return false;
    }
    return true;
}

static bool make(struct run *run, uint32_t engine)
{
    const te_sheet_order order = {
        .engine = engine, .inspection = run->s.options->inspection, .today = clock_day(run->now)};
    te_status status = te_sheet_make(&run->sheet, run->s.shop, &order);
    if (status != TE_OK) {
        (void)fail("the sheet cannot be made: %s", te_status_text(status));
        return false;
    }
    return tell_answer(run);
}

int cmd_sheet(const struct options *options)
{
    struct run run = {.now = 0};
    uint32_t engine = TE_NO_INDEX;
    int code = EXIT_FAILED;
    /* Conditions and spares do not tell what to measure. */
    if (!clock_take(&run.now) ||
        !session_open(&run.s, options,
                      TE_FILE_EVERY & ~(unsigned)(TE_FILE_SPARES | TE_FILE_CONDITION))) {
        goto done;
    }
    bool sound = session_is_sound(&run.s);
    bool chosen = !sound || session_engine(&engine, &run.s);
    if (engine != TE_NO_INDEX) {
        session_tell_none(&run.s);
        session_tell_history(&run.s, engine);
    }
    if (!session_problems(&run.s) || !sound || !chosen || session_skips(&run.s, engine) ||
        !make(&run, engine) || !output_allowed(&run) || !tell_inspection(&run) ||
        !write_sheet(&run)) {
        goto done;
    }
    code = session_exit(&run.s, true);
done:
    te_sheet_free(&run.sheet);
    session_close(&run.s);
    return code;
}
