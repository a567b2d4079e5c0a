/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <stdlib.h>

#include "cli.h"

/* One run of the command. */
struct run {
    struct session s;
    te_history history;
    te_assessment assessment;
    te_due *list;
    size_t count;
    bool not_good; /* an engine is overdue, or cannot be told */
};

/* Judges the last inspection, for the verdict beside the date; false after a message. */
static bool assess_last(struct run *run, uint32_t engine)
{
    char shown[SHOWN_SIZE];
    const te_tables *tables = run->s.tables;
    uint32_t last = te_shop_last_inspection(run->s.shop, engine);
    te_status status = te_assess(&run->assessment, run->s.shop, last, run->s.problems.touches_all);
    if (status != TE_OK) {
        (void)fail("inspection %s: %s",
                   show(shown, te_shop_text(run->s.shop, tables->inspections[last].id)),
                   te_status_text(status));
        return false;
    }
    return true;
}

static bool find_one(struct run *run, uint32_t at)
{
    bool inspected = run->s.tables->engines[at].inspection_count > 0;
    if (session_skips(&run->s, at)) {
        return true;
    }
    if (!session_history(&run->history, &run->s, at) || (inspected && !assess_last(run, at))) {
        return false;
    }
    te_due *due = &run->list[run->count++];
    te_due_make(due, &run->history, inspected ? &run->assessment : NULL, run->s.shop);
    run->not_good = run->not_good || due->basis == TE_DUE_CANNOT_TELL || te_due_is_over(due);
    return true;
}

static bool find_all(struct run *run)
{
    run->list = calloc(run->s.tables->engine_count + 1, sizeof *run->list);
    if (run->list == NULL) {
        (void)fail("out of memory");
        return false;
    }
    for (uint32_t i = 0; i < run->s.tables->engine_count; i++) {
        if (!find_one(run, i)) {
            return false;
        }
    }
    te_due_sort(run->list, run->count);
    return true;
}

static bool write_all(struct run *run)
{
    te_buffer *buffer = &run->s.buffer;
    switch (run->s.options->format) {
    case FORMAT_TEXT:
        session_warnings(&run->s);
        te_write_due_text(buffer, run->s.shop, run->list, run->count, &run->s.style);
        break;
    case FORMAT_CSV:
        te_write_due_header(buffer);
        te_write_due_csv(buffer, run->s.shop, run->list, run->count);
        break;
    case FORMAT_JSON:
        te_write_due_json(buffer, run->s.shop, run->list, run->count, TOPEND_VERSION);
        break;
    }
    return output_flush(buffer);
}

int cmd_due(const struct options *options)
{
    struct run run = {.count = 0};
    int code = EXIT_FAILED;
    /* Spares play no part in it: errors in them do not stand in its way. */
    if (!session_open(&run.s, options, TE_FILE_EVERY & ~(unsigned)TE_FILE_SPARES)) {
        goto done;
    }
    bool sound = session_is_sound(&run.s);
    if (!session_problems(&run.s) || !sound || !find_all(&run) || !write_all(&run)) {
        goto done;
    }
    code = session_exit(&run.s, !run.not_good);
done:
    free(run.list);
    te_assessment_free(&run.assessment);
    te_history_free(&run.history);
    session_close(&run.s);
    return code;
}
