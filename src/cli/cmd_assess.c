/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "cli.h"

enum { FLUSH_AT = 1 << 16 };

/* One run of the command. */
struct run {
    const struct options *options;
    te_shop *shop;
    const te_tables *tables;
    te_problems problems;
    uint32_t *chosen; /* inspections, in the order of output */
    size_t chosen_count;
    te_quantity explained;
    te_assessment assessment;
    te_buffer buffer;
    te_buffer summary; /* of a text: a line an inspection */
    size_t written;
    te_text_style style;
    bool not_good; /* something may not be reused, or cannot be told */
};

/* ---- what to assess ---- */

static void choose_engine(struct run *run, uint32_t engine)
{
    const te_engine *e = &run->tables->engines[engine];
    char shown[SHOWN_SIZE];
    if (e->inspection_count == 0) {
        (void)fail("%s has no inspection: nothing can be told of it",
                   show(shown, te_shop_text(run->shop, e->id)));
        run->not_good = true;
        return;
    }
    uint32_t first = run->options->all ? 0 : e->inspection_count - 1;
    for (uint32_t i = first; i < e->inspection_count; i++) {
        run->chosen[run->chosen_count++] = run->tables->by_engine[e->first_inspection + i];
    }
}

static bool choose_named(struct run *run)
{
    char shown[SHOWN_SIZE];
    for (size_t i = 0; i < run->options->name_count; i++) {
        const char *name = run->options->names[i];
        te_id id = te_shop_find_text(run->shop, name);
        uint32_t at = te_shop_find_inspection(run->shop, id);
        bool again = false;
        if (at == TE_NO_INDEX) {
            (void)fail("there is no inspection \"%s\" in this shop", show(shown, name));
            return false;
        }
        for (size_t j = 0; j < run->chosen_count; j++) {
            again = again || run->chosen[j] == at;
        }
        if (!again && run->tables->inspections[at].engine != TE_NO_INDEX) {
            run->chosen[run->chosen_count++] = at;
        }
    }
    return true;
}

static bool choose(struct run *run)
{
    const char *engine = run->options->engine;
    char shown[SHOWN_SIZE];
    size_t most = run->tables->inspection_count + run->options->name_count + 1;
    run->chosen = calloc(most, sizeof *run->chosen);
    if (run->chosen == NULL) {
        (void)fail("out of memory");
        return false;
    }
    if (run->options->name_count > 0) {
        return choose_named(run);
    }
    if (engine != NULL) {
        uint32_t at = te_shop_find_engine(run->shop, te_shop_find_text(run->shop, engine));
        if (at == TE_NO_INDEX) {
            (void)fail("there is no engine \"%s\" in this shop", show(shown, engine));
            return false;
        }
        choose_engine(run, at);
        return true;
    }
    for (uint32_t i = 0; i < run->tables->engine_count; i++) {
        choose_engine(run, i);
    }
    return true;
}

static bool find_explained(struct run *run)
{
    const char *name = run->options->explain;
    char shown[SHOWN_SIZE];
    run->explained = TE_Q_NONE;
    if (name == NULL) {
        return true;
    }
    run->explained = te_quantity_find((te_slice){name, strlen(name)});
    for (uint32_t i = 0; i < run->tables->own_count && run->explained == TE_Q_NONE; i++) {
        const char *own = te_shop_text(run->shop, run->tables->own[i].name);
        if (te_text_same_word((te_slice){name, strlen(name)}, own)) {
            run->explained = TE_Q_OWN + i;
        }
    }
    if (run->explained == TE_Q_NONE) {
        (void)fail("there is no quantity \"%s\" in this shop", show(shown, name));
        return false;
    }
    return true;
}

/* ---- problems ---- */

static bool is_chosen_engine(const struct run *run, te_id engine)
{
    for (size_t i = 0; i < run->chosen_count; i++) {
        uint32_t at = run->tables->inspections[run->chosen[i]].engine;
        if (run->tables->engines[at].id == engine) {
            return true;
        }
    }
    return false;
}

/* Warnings that touch only engines that were not asked for are left to `check`. */
static void drop_foreign_warnings(struct run *run)
{
    size_t kept = 0;
    bool part = run->options->name_count > 0 || run->options->engine != NULL;
    for (size_t i = 0; i < run->problems.count; i++) {
        const te_problem *p = &run->problems.items[i];
        bool foreign = part && p->severity == TE_WARNING && p->scope == TE_SCOPE_ENGINE &&
                       !is_chosen_engine(run, p->scope_id);
        if (!foreign) {
            run->problems.items[kept++] = *p;
        }
    }
    run->problems.count = kept;
}

/* ---- output ---- */

/* A verdict may rest on a slip: who reads it must know that there were warnings. */
static void write_warnings(struct run *run)
{
    char line[96];
    size_t count = 0;
    for (size_t i = 0; i < run->problems.count; i++) {
        count += run->problems.items[i].severity == TE_WARNING;
    }
    if (count > 0) {
        (void)snprintf(line, sizeof line, "%zu %s on these files: read %s, or run topend check.\n",
                       count, count == 1 ? "WARNING" : "WARNINGS", count == 1 ? "it" : "them");
        te_buffer_text(&run->buffer, line);
    }
}

static void write_start(struct run *run)
{
    switch (run->options->format) {
    case FORMAT_TEXT:
        te_write_text_start(&run->buffer, run->shop, &run->style);
        write_warnings(run);
        break;
    case FORMAT_CSV:
        if (run->options->verdicts) {
            te_write_verdicts_header(&run->buffer);
        } else {
            te_write_findings_header(&run->buffer);
        }
        break;
    case FORMAT_JSON: te_write_json_start(&run->buffer, run->shop, TOPEND_VERSION); break;
    }
    if (run->options->format != FORMAT_TEXT && run->tables->simple_for_lack) {
        (void)fail("no instrument is declared: judged by the rule simple, whatever the "
                   "uncertainty");
    }
}

static void write_one(struct run *run)
{
    switch (run->options->format) {
    case FORMAT_TEXT:
        if (run->explained != TE_Q_NONE) {
            (void)te_write_explanation(&run->buffer, run->shop, &run->assessment, run->explained,
                                       &run->style);
        } else {
            te_write_text_inspection(&run->buffer, run->shop, &run->assessment, &run->style);
            te_write_text_summary(&run->summary, run->shop, &run->assessment, &run->style);
        }
        break;
    case FORMAT_CSV:
        if (run->options->verdicts) {
            te_write_verdicts_csv(&run->buffer, run->shop, &run->assessment);
        } else {
            te_write_findings_csv(&run->buffer, run->shop, &run->assessment);
        }
        break;
    case FORMAT_JSON:
        te_write_json_inspection(&run->buffer, run->shop, &run->assessment, run->written == 0);
        break;
    }
}

static void write_end(struct run *run)
{
    if (run->options->format == FORMAT_JSON) {
        te_write_json_end(&run->buffer);
    } else if (run->options->format == FORMAT_TEXT) {
        run->buffer.failed = run->buffer.failed || run->summary.failed;
        if (run->written > 1 && run->summary.length > 0) {
            te_buffer_text(&run->buffer, "\nAll inspections above\n");
            te_buffer_add(&run->buffer, run->summary.bytes, run->summary.length);
        }
        te_write_cautions(&run->buffer, &run->style);
    }
}

/* Judges and writes one inspection; false after a message. */
static bool assess_one(struct run *run, uint32_t inspection)
{
    char shown[SHOWN_SIZE];
    te_status status = te_assess(&run->assessment, run->shop, inspection,
                                 run->problems.touches_all);
    if (status != TE_OK) {
        const char *name = te_shop_text(run->shop, run->tables->inspections[inspection].id);
        (void)fail("inspection %s: %s", show(shown, name), te_status_text(status));
        return false;
    }
    run->not_good = run->not_good || te_assessment_assembly(&run->assessment)->verdict != TE_REUSE;
    write_one(run);
    run->written++;
    return run->buffer.length < FLUSH_AT || output_flush(&run->buffer);
}

static bool assess_chosen(struct run *run)
{
    char shown[SHOWN_SIZE];
    write_start(run);
    for (size_t i = 0; i < run->chosen_count; i++) {
        const te_inspection *inspection = &run->tables->inspections[run->chosen[i]];
        if (run->problems.errors > 0 &&
            te_shop_engine_touched(run->shop, &run->problems, inspection->engine)) {
            (void)fail("inspection %s is not judged: errors touch its engine",
                       show(shown, te_shop_text(run->shop, inspection->id)));
            continue;
        }
        if (!assess_one(run, run->chosen[i])) {
            return false;
        }
    }
    write_end(run);
    return output_flush(&run->buffer);
}

int cmd_assess(const struct options *options)
{
    struct run run = {.options = options};
    int code = EXIT_FAILED;
    te_problems_init(&run.problems);
    /* Spares play no part in a judgement: errors in them do not stand in its way. */
    unsigned files = TE_FILE_EVERY & ~(unsigned)TE_FILE_SPARES;
    if (!open_shop(&run.shop, &run.problems, options->folder, files)) {
        goto done;
    }
    run.tables = te_shop_tables(run.shop);
    run.style = output_style();
    bool sound = run.problems.errors == 0 || options->keep_going;
    bool chosen = !sound || (choose(&run) && find_explained(&run));
    drop_foreign_warnings(&run);
    if (!output_problems(&run.problems) || !sound || !chosen || !assess_chosen(&run)) {
        goto done;
    }
    code = run.problems.errors > 0 ? EXIT_FAILED : run.not_good ? EXIT_NOT_GOOD : EXIT_GOOD;
done:
    te_buffer_free(&run.buffer);
    te_buffer_free(&run.summary);
    te_assessment_free(&run.assessment);
    free(run.chosen);
    te_shop_free(run.shop);
    te_problems_free(&run.problems);
    return code;
}
