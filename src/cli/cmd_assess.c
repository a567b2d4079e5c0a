/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <stdlib.h>

#include "crew.h"

/* One run of the command. */
struct run {
    struct session s;
    uint32_t *chosen; /* inspections, in the order of output */
    size_t chosen_count;
    te_quantity explained;
};

/* ---- what to assess ---- */

static void choose_engine(struct run *run, uint32_t engine)
{
    const te_engine *e = &run->s.tables->engines[engine];
    if (e->inspection_count == 0) {
        session_tell_uninspected(&run->s, engine);
        run->s.not_good = true;
        return;
    }
    uint32_t first = run->s.options->all ? 0 : e->inspection_count - 1;
    for (uint32_t i = first; i < e->inspection_count; i++) {
        run->chosen[run->chosen_count++] = run->s.tables->by_engine[e->first_inspection + i];
    }
}

static bool choose_named(struct run *run)
{
    char shown[SHOWN_SIZE];
    for (size_t i = 0; i < run->s.options->name_count; i++) {
        const char *name = run->s.options->names[i];
        te_id id = te_shop_find_text(run->s.shop, name);
        uint32_t at = te_shop_find_inspection(run->s.shop, id);
        bool again = false;
        if (at == TE_NO_INDEX) {
            (void)fail("there is no inspection \"%s\" in this shop", show(shown, name));
            return false;
        }
        for (size_t j = 0; j < run->chosen_count; j++) {
            again = again || run->chosen[j] == at;
        }
        if (!again && run->s.tables->inspections[at].engine != TE_NO_INDEX) {
            run->chosen[run->chosen_count++] = at;
        }
    }
    return true;
}

static bool choose(struct run *run)
{
    uint32_t engine = TE_NO_INDEX;
    size_t most = run->s.tables->inspection_count + run->s.options->name_count + 1;
    run->chosen = calloc(most, sizeof *run->chosen);
    if (run->chosen == NULL) {
        (void)fail("out of memory");
        return false;
    }
    if (run->s.options->name_count > 0) {
        return choose_named(run);
    }
    if (!session_engine(&engine, &run->s)) {
        return false;
    }
    if (engine != TE_NO_INDEX) {
        choose_engine(run, engine);
        return true;
    }
    for (uint32_t i = 0; i < run->s.tables->engine_count; i++) {
        choose_engine(run, i);
    }
    return true;
}

/* The engines that the chosen inspections are of, where not all were asked for. */
static void tell_chosen(struct run *run)
{
    if (run->s.options->name_count == 0 && run->s.options->engine == NULL) {
        return;
    }
    session_tell_none(&run->s);
    for (size_t i = 0; i < run->chosen_count; i++) {
        session_tell(&run->s, run->s.tables->inspections[run->chosen[i]].engine);
    }
}

/* ---- output ---- */

static void write_start(struct run *run)
{
    switch (run->s.options->format) {
    case FORMAT_TEXT:
        te_write_text_start(&run->s.buffer, run->s.shop, &run->s.style);
        session_warnings(&run->s);
        break;
    case FORMAT_CSV:
        session_header(&run->s, run->s.options->verdicts ? te_write_verdicts_header
                                                         : te_write_findings_header);
        break;
    case FORMAT_JSON: te_write_json_start(&run->s.buffer, run->s.shop, TOPEND_VERSION); break;
    }
    if (run->s.options->format != FORMAT_TEXT && run->s.tables->simple_for_lack) {
        (void)fail("no instrument is declared: judged by the rule simple, whatever the "
                   "uncertainty");
    }
}

/* Writes an inspection, and in a text a line for the summary behind them all. */
static void write_one(struct session *s, const struct run *run, const te_assessment *assessment)
{
    switch (s->options->format) {
    case FORMAT_TEXT:
        if (run->explained != TE_Q_NONE) {
            (void)te_write_explanation(&s->buffer, s->shop, assessment, run->explained, &s->style);
        } else {
            te_write_text_inspection(&s->buffer, s->shop, assessment, &s->style);
            te_write_text_summary(&s->extra, s->shop, assessment, &s->style);
        }
        break;
    case FORMAT_CSV:
        if (s->options->verdicts) {
            te_write_verdicts_csv(&s->buffer, s->shop, assessment);
        } else {
            te_write_findings_csv(&s->buffer, s->shop, assessment);
        }
        break;
    case FORMAT_JSON:
        te_write_json_inspection(&s->buffer, s->shop, assessment, s->written == 0);
        break;
    }
    s->written++;
}

static void write_end(struct run *run)
{
    if (run->s.options->format == FORMAT_JSON) {
        te_write_json_end(&run->s.buffer);
    } else if (run->s.options->format == FORMAT_TEXT) {
        run->s.buffer.failed = run->s.buffer.failed || run->s.extra.failed;
        if (run->s.written > 1 && run->s.extra.length > 0) {
            te_buffer_text(&run->s.buffer, "\nAll inspections above\n");
            te_buffer_add(&run->s.buffer, run->s.extra.bytes, run->s.extra.length);
        }
        te_write_cautions(&run->s.buffer, &run->s.style);
    }
}

/* ---- the inspections, each by itself ---- */

static void clear(void *worker)
{
    te_assessment_free(worker);
}

/* Judges and writes one inspection; false after a message. */
static bool assess_one(struct session *s, void *shared, void *worker, size_t item)
{
    const struct run *run = shared;
    te_assessment *assessment = worker;
    char shown[SHOWN_SIZE];
    uint32_t chosen = run->chosen[item];
    const te_inspection *inspection = &s->tables->inspections[chosen];
    const char *name = show(shown, te_shop_text(s->shop, inspection->id));
    if (s->problems.errors > 0 &&
        te_shop_engine_touched(s->shop, &s->problems, inspection->engine)) {
        session_say(s, "inspection %s is not judged: errors touch its engine", name);
        return true;
    }
    te_status status = te_assess(assessment, s->shop, chosen, s->problems.touches_all);
    if (status != TE_OK) {
        session_say(s, "inspection %s: %s", name, te_status_text(status));
        return false;
    }
    s->not_good = s->not_good || te_assessment_assembly(assessment)->verdict != TE_REUSE;
    write_one(s, run, assessment);
    return true;
}

static bool assess_chosen(struct run *run)
{
    const struct crew crew = {run->chosen_count,     "inspections", run,
                              sizeof(te_assessment), clear,         assess_one};
    write_start(run);
    if (!crew_run(&run->s, &crew)) {
        return false;
    }
    write_end(run);
    return output_flush(&run->s.buffer);
}

int cmd_assess(const struct options *options)
{
    struct run run = {.explained = TE_Q_NONE};
    int code = EXIT_FAILED;
    /* Spares play no part in a judgement: errors in them do not stand in its way. */
    if (!session_open(&run.s, options, TE_FILE_EVERY & ~(unsigned)TE_FILE_SPARES)) {
        goto done;
    }
    bool sound = session_is_sound(&run.s);
    bool chosen = !sound ||
                  (choose(&run) && session_quantity(&run.explained, &run.s, options->explain));
    tell_chosen(&run);
    if (!session_problems(&run.s) || !sound || !chosen || !assess_chosen(&run)) {
        goto done;
    }
    code = session_exit(&run.s, !run.s.not_good);
done:
    free(run.chosen);
    session_close(&run.s);
    return code;
}
