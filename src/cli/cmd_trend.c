/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "crew.h"

/* Conditions and spares play no part in wear: errors in them do not stand in its way. */
enum { FILES = TE_FILE_EVERY & ~(TE_FILE_SPARES | TE_FILE_CONDITION) };

/* One run of the command. */
struct run {
    struct session s;
    te_quantity only;
    uint32_t first; /* engine */
};

static void write_start(struct run *run)
{
    switch (run->s.options->format) {
    case FORMAT_TEXT:
        te_write_trend_text_start(&run->s.buffer, run->s.shop, &run->s.style);
        session_warnings(&run->s);
        break;
    case FORMAT_CSV: session_header(&run->s, te_write_trend_header); break;
    case FORMAT_JSON: te_write_trend_json_start(&run->s.buffer, run->s.shop, TOPEND_VERSION); break;
    }
}

static void write_one(struct session *s, const te_history *history, te_quantity only)
{
    switch (s->options->format) {
    case FORMAT_TEXT:
        s->written += te_write_trend_text(&s->buffer, s->shop, history, only, &s->style);
        break;
    case FORMAT_CSV: s->written += te_write_trend_csv(&s->buffer, s->shop, history, only); break;
    case FORMAT_JSON:
        s->written += te_write_trend_json(&s->buffer, s->shop, history, only, s->written);
        break;
    }
}

static void write_end(struct run *run)
{
    if (run->s.options->format == FORMAT_JSON) {
        te_write_json_end(&run->s.buffer);
    } else if (run->s.options->format == FORMAT_TEXT) {
        te_write_cautions(&run->s.buffer, &run->s.style);
    }
    if (run->s.written == 0 && !run->s.skipped) {
        (void)fail("nothing of it was measured");
    }
}

/* ---- the engines, each by itself ---- */

static void clear(void *worker)
{
    te_history_free(worker);
}

static bool follow_engine(struct session *s, void *shared, void *worker, size_t item)
{
    const struct run *run = shared;
    uint32_t engine = run->first + (uint32_t)item;
    if (session_skips(s, engine)) {
        return true;
    }
    if (!session_history(worker, s, engine, te_history_make)) {
        return false;
    }
    write_one(s, worker, run->only);
    return true;
}

static bool follow(struct run *run, uint32_t only_engine)
{
    bool one = only_engine != TE_NO_INDEX;
    const struct crew crew = {one ? 1 : run->s.tables->engine_count,
                              "engines",
                              run,
                              sizeof(te_history),
                              clear,
                              follow_engine};
    run->first = one ? only_engine : 0;
    write_start(run);
    if (!crew_run(&run->s, &crew)) {
        return false;
    }
    write_end(run);
    return output_flush(&run->s.buffer);
}

int cmd_trend(const struct options *options)
{
    struct run run = {.only = TE_Q_NONE};
    uint32_t engine = TE_NO_INDEX;
    int code = EXIT_FAILED;
    if (!session_open(&run.s, options, FILES)) {
        goto done;
    }
    bool sound = session_is_sound(&run.s);
    bool chosen = !sound || (session_engine(&engine, &run.s) &&
                             session_quantity(&run.only, &run.s, options->quantity));
    if (engine != TE_NO_INDEX) {
        session_tell_none(&run.s);
        session_tell_history(&run.s, engine);
    }
    if (!session_problems(&run.s) || !sound || !chosen || !follow(&run, engine)) {
        goto done;
    }
    code = session_exit(&run.s, true);
done:
    session_close(&run.s);
    return code;
}
