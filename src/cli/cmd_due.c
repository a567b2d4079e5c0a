/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <stdlib.h>

#include "crew.h"

/* One run of the command. */
struct run {
    struct session s;
    te_due *list; /* by engine, then without those that were not done */
    bool *done;   /* by engine */
    size_t count;
};

/* What a thread works with. */
struct worker {
    te_history history;
    te_assessment assessment;
};

static void clear(void *room)
{
    struct worker *worker = room;
    te_assessment_free(&worker->assessment);
    te_history_free(&worker->history);
}

/* Judges the last inspection, for the verdict beside the date; false after a message. */
static bool assess_last(struct session *s, struct worker *worker, uint32_t engine)
{
    char shown[SHOWN_SIZE];
    uint32_t last = te_shop_last_inspection(s->shop, engine);
    te_status status = te_history_assess(&worker->assessment, &worker->history, s->shop, last,
                                         s->problems.touches_all);
    if (status != TE_OK) {
        session_say(s, "inspection %s: %s",
                    show(shown, te_shop_text(s->shop, s->tables->inspections[last].id)),
                    te_status_text(status));
        return false;
    }
    return true;
}

static bool find_one(struct session *s, void *shared, void *room, size_t item)
{
    struct run *run = shared;
    struct worker *worker = room;
    uint32_t at = (uint32_t)item;
    bool inspected = s->tables->engines[at].inspection_count > 0;
    if (session_skips(s, at)) {
        return true;
    }
    if (!session_history(&worker->history, s, at, te_history_make_due) ||
        (inspected && !assess_last(s, worker, at))) {
        return false;
    }
    te_due *due = &run->list[at];
    te_due_make(due, &worker->history, inspected ? &worker->assessment : NULL, s->shop);
    run->done[at] = true;
    s->not_good = s->not_good || due->basis == TE_DUE_CANNOT_TELL || te_due_is_over(due);
    return true;
}

static bool find_all(struct run *run)
{
    size_t engines = run->s.tables->engine_count;
    const struct crew crew = {engines, "engines", run, sizeof(struct worker), clear, find_one};
    run->list = calloc(engines + 1, sizeof *run->list);
    run->done = calloc(engines + 1, sizeof *run->done);
    if (run->list == NULL || run->done == NULL) {
        (void)fail("out of memory");
        return false;
    }
    if (!crew_run(&run->s, &crew)) {
        return false;
    }
    for (size_t i = 0; i < engines; i++) {
        if (run->done[i]) {
            run->list[run->count++] = run->list[i];
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
        session_header(&run->s, te_write_due_header);
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
    code = session_exit(&run.s, !run.s.not_good);
done:
    free(run.list);
    free(run.done);
    session_close(&run.s);
    return code;
}
