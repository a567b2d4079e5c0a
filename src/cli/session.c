/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "crew.h"

enum { FLUSH_AT = 1 << 16 };

bool session_open(struct session *session, const struct options *options, unsigned files)
{
    return session_open_watched(session, options, files, NULL);
}

bool session_open_watched(struct session *session, const struct options *options, unsigned files,
                          const te_watch *watch)
{
    *session = (struct session){.options = options};
    te_problems_init(&session->problems);
    if (!open_shop(&session->shop, &session->problems, options->folder, files, watch,
                   crew_threads(options))) {
        return false;
    }
    session->tables = te_shop_tables(session->shop);
    session->style = output_style();
    session->told = malloc(session->tables->engine_count + 1);
    if (session->told == NULL) {
        (void)fail("out of memory");
        return false;
    }
    memset(session->told, true, session->tables->engine_count + 1);
    return true;
}

struct session session_of_batch(const struct session *session)
{
    struct session batch = *session;
    batch.buffer = (te_buffer){0};
    batch.extra = (te_buffer){0};
    batch.gathers = true;
    batch.written = 0;
    return batch;
}

void session_end_batch(struct session *batch)
{
    te_buffer_free(&batch->buffer);
    te_buffer_free(&batch->extra);
    te_buffer_free(&batch->said);
}

void session_say(struct session *session, const char *format, ...)
{
    char line[TE_PROBLEM_TEXT + SHOWN_SIZE];
    va_list arguments;
    va_start(arguments, format);
    (void)vsnprintf(line, sizeof line, format, arguments);
    va_end(arguments);
    if (session->gathers) {
        te_buffer_text(&session->said, "topend: ");
        te_buffer_text(&session->said, line);
        te_buffer_text(&session->said, "\n");
    } else {
        (void)fail("%s", line);
    }
}

void session_close(struct session *session)
{
    te_buffer_free(&session->buffer);
    te_buffer_free(&session->extra);
    free(session->told);
    te_shop_free(session->shop);
    te_problems_free(&session->problems);
}

bool session_is_sound(const struct session *session)
{
    return session->problems.errors == 0 || session->options->keep_going;
}

bool session_engine(uint32_t *engine, const struct session *session)
{
    const char *name = session->options->engine;
    char shown[SHOWN_SIZE];
    *engine = TE_NO_INDEX;
    if (name == NULL) {
        return true;
    }
    *engine = te_shop_find_engine(session->shop, te_shop_find_text(session->shop, name));
    if (*engine == TE_NO_INDEX) {
        (void)fail("there is no engine \"%s\" in this shop", show(shown, name));
        return false;
    }
    return true;
}

void session_tell_uninspected(const struct session *session, uint32_t engine)
{
    char shown[SHOWN_SIZE];
    te_id id = session->tables->engines[engine].id;
    (void)fail("%s has no inspection: nothing can be told of it",
               show(shown, te_shop_text(session->shop, id)));
}

/* The last inspection of --engine; TE_NO_INDEX after a message. */
static uint32_t last_of_engine(const struct session *session, const char *ways)
{
    uint32_t engine = TE_NO_INDEX;
    if (!session_engine(&engine, session)) {
        return TE_NO_INDEX;
    }
    if (engine == TE_NO_INDEX) {
        (void)fail("name an inspection, or give %s", ways);
        return TE_NO_INDEX;
    }
    uint32_t last = te_shop_last_inspection(session->shop, engine);
    if (last == TE_NO_INDEX) {
        session_tell_uninspected(session, engine);
    }
    return last;
}

bool session_inspection(uint32_t *inspection, const struct session *session, const char *ways)
{
    char shown[SHOWN_SIZE];
    if (session->options->name_count == 0) {
        *inspection = last_of_engine(session, ways);
        return *inspection != TE_NO_INDEX;
    }
    const char *name = session->options->names[0];
    uint32_t found = te_shop_find_inspection(session->shop, te_shop_find_text(session->shop, name));
    bool known = found != TE_NO_INDEX && session->tables->inspections[found].engine != TE_NO_INDEX;
    *inspection = known ? found : TE_NO_INDEX;
    if (!known) {
        (void)fail("there is no inspection \"%s\" in this shop", show(shown, name));
    }
    return known;
}

bool session_done(const struct session *session, uint32_t inspection, te_status status)
{
    char shown[SHOWN_SIZE];
    const char *name = te_shop_text(session->shop, session->tables->inspections[inspection].id);
    if (status == TE_ERR_FULL) {
        (void)fail("inspection %s: a series of its engine has more than %d points",
                   show(shown, name), TE_SERIES_POINTS);
    } else if (status != TE_OK) {
        (void)fail("inspection %s: %s", show(shown, name), te_status_text(status));
    }
    return status == TE_OK;
}

bool session_quantity(te_quantity *quantity, const struct session *session, const char *name)
{
    char shown[SHOWN_SIZE];
    *quantity = TE_Q_NONE;
    if (name == NULL) {
        return true;
    }
    te_slice word = {name, strlen(name)};
    *quantity = te_quantity_find(word);
    for (uint32_t i = 0; i < session->tables->own_count && *quantity == TE_Q_NONE; i++) {
        const char *own = te_shop_text(session->shop, session->tables->own[i].name);
        if (te_text_same_word(word, own)) {
            *quantity = TE_Q_OWN + i;
        }
    }
    if (*quantity == TE_Q_NONE) {
        (void)fail("there is no quantity \"%s\" in this shop", show(shown, name));
        return false;
    }
    return true;
}

void session_tell_none(struct session *session)
{
    memset(session->told, false, session->tables->engine_count + 1);
}

void session_tell(struct session *session, uint32_t engine)
{
    if (engine < session->tables->engine_count) {
        session->told[engine] = true;
    }
}

/* False for a warning that touches one engine alone, and none that is told. */
static bool is_told(const struct session *session, const te_problem *problem)
{
    bool one = problem->severity == TE_WARNING && problem->scope == TE_SCOPE_ENGINE;
    uint32_t engine = one ? te_shop_find_engine(session->shop, problem->scope_id) : TE_NO_INDEX;
    return engine == TE_NO_INDEX || session->told[engine];
}

/* Warnings that touch only engines that were not asked for are left to `check`. */
static void drop_foreign_warnings(struct session *session)
{
    size_t kept = 0;
    for (size_t i = 0; i < session->problems.count; i++) {
        if (is_told(session, &session->problems.items[i])) {
            session->problems.items[kept++] = session->problems.items[i];
        }
    }
    session->problems.count = kept;
}

void session_tell_history(struct session *session, uint32_t engine)
{
    size_t count = 0;
    const te_stay *stays = te_shop_engine_stays(&count, session->shop, engine);
    session_tell(session, engine);
    for (size_t i = 0; i < count; i++) {
        size_t rows = 0;
        const uint32_t *of_part = te_shop_part_stays(&rows, session->shop, stays[i].part);
        for (size_t j = 0; j < rows; j++) {
            session_tell(session, session->tables->stays[of_part[j]].engine);
        }
    }
}

bool session_told_warnings(te_problems *told, const struct session *session)
{
    te_problems_init(told);
    told->items = calloc(session->problems.count + 1, sizeof *told->items);
    if (told->items == NULL) {
        (void)fail("out of memory");
        return false;
    }
    for (size_t i = 0; i < session->problems.count; i++) {
        const te_problem *problem = &session->problems.items[i];
        if (problem->severity == TE_WARNING && is_told(session, problem)) {
            told->items[told->count++] = *problem;
        }
    }
    told->capacity = session->problems.count + 1;
    return true;
}

bool session_problems(struct session *session)
{
    drop_foreign_warnings(session);
    return output_problems(&session->problems);
}

void session_header(struct session *session, void (*write)(te_buffer *buffer))
{
    if (!session->options->no_header) {
        write(&session->buffer);
    }
}

void session_warnings(struct session *session)
{
    char line[96];
    size_t count = 0;
    for (size_t i = 0; i < session->problems.count; i++) {
        count += session->problems.items[i].severity == TE_WARNING;
    }
    if (count > 0) {
        (void)snprintf(line, sizeof line, "%zu %s on these files: read %s, or run topend check.\n",
                       count, count == 1 ? "WARNING" : "WARNINGS", count == 1 ? "it" : "them");
        te_buffer_text(&session->buffer, line);
    }
    bool all = memchr(session->told, 0, session->tables->engine_count) == NULL;
    if (all) {
        te_write_left_out(&session->buffer, session->shop, &session->problems, &session->style);
    }
}

bool session_skips(struct session *session, uint32_t engine)
{
    char shown[SHOWN_SIZE];
    if (session->problems.errors == 0 ||
        !te_shop_engine_touched(session->shop, &session->problems, engine)) {
        return false;
    }
    session_say(session, "engine %s is not done: errors touch it",
                show(shown, te_shop_text(session->shop, session->tables->engines[engine].id)));
    session->skipped = true;
    return true;
}

bool session_flush_some(struct session *session)
{
    return session->buffer.length < FLUSH_AT || output_flush(&session->buffer);
}

void session_tell_left_out(struct session *session, const te_history *history)
{
    char shown[SHOWN_SIZE];
    te_id engine = session->tables->engines[history->engine].id;
    if (history->left_out > 0) {
        session_say(session,
                    "engine %s: %zu of its parts are left out: errors touch another engine that "
                    "they were on",
                    show(shown, te_shop_text(session->shop, engine)), history->left_out);
    }
}

bool session_history(te_history *history, struct session *session, uint32_t engine,
                     history_maker *make)
{
    char shown[SHOWN_SIZE];
    const char *name = te_shop_text(session->shop, session->tables->engines[engine].id);
    te_status status = make(history, session->shop, &session->problems, engine);
    if (status == TE_ERR_FULL) {
        session_say(session, "engine %s: a series has more than %d points; it is not done",
                    show(shown, name), TE_SERIES_POINTS);
        history->series_count = 0;
        history->left_out = 1;
        session->skipped = true;
        return true;
    }
    if (status != TE_OK) {
        session_say(session, "engine %s: %s", show(shown, name), te_status_text(status));
        return false;
    }
    session_tell_left_out(session, history);
    return true;
}

int session_exit(const struct session *session, bool good)
{
    bool failed = session->problems.errors > 0 || session->skipped;
    return failed ? EXIT_FAILED : good ? EXIT_GOOD : EXIT_NOT_GOOD;
}
