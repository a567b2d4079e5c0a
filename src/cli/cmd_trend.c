/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cli.h"

/* Conditions and spares play no part in wear: errors in them do not stand in its way. */
enum { FILES = TE_FILE_EVERY & ~(TE_FILE_SPARES | TE_FILE_CONDITION) };

/* One run of the command. */
struct run {
    struct session s;
    te_history history;
    te_quantity only;
    size_t written;
};

static void write_start(struct run *run)
{
    switch (run->s.options->format) {
    case FORMAT_TEXT:
        te_write_trend_text_start(&run->s.buffer, run->s.shop, &run->s.style);
        session_warnings(&run->s);
        break;
    case FORMAT_CSV: te_write_trend_header(&run->s.buffer); break;
    case FORMAT_JSON: te_write_trend_json_start(&run->s.buffer, run->s.shop, TOPEND_VERSION); break;
    }
}

static void write_one(struct run *run)
{
    te_buffer *buffer = &run->s.buffer;
    switch (run->s.options->format) {
    case FORMAT_TEXT:
        run->written += te_write_trend_text(buffer, run->s.shop, &run->history, run->only,
                                            &run->s.style);
        break;
    case FORMAT_CSV:
        run->written += te_write_trend_csv(buffer, run->s.shop, &run->history, run->only);
        break;
    case FORMAT_JSON:
        run->written += te_write_trend_json(buffer, run->s.shop, &run->history, run->only,
                                            run->written);
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
    if (run->written == 0 && !run->s.skipped) {
        (void)fail("nothing of it was measured");
    }
}

static bool follow_engine(struct run *run, uint32_t engine)
{
    if (session_skips(&run->s, engine)) {
        return true;
    }
    if (!session_history(&run->history, &run->s, engine)) {
        return false;
    }
    write_one(run);
    return session_flush_some(&run->s);
}

static bool follow(struct run *run, uint32_t only_engine)
{
    write_start(run);
    for (uint32_t i = 0; i < run->s.tables->engine_count; i++) {
        bool wanted = only_engine == TE_NO_INDEX || only_engine == i;
        if (wanted && !follow_engine(run, i)) {
            return false;
        }
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
    te_history_free(&run.history);
    session_close(&run.s);
    return code;
}
