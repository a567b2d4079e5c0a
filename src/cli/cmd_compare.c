/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cli.h"

/* Conditions and spares play no part in wear: errors in them do not stand in its way. */
enum { FILES = TE_FILE_EVERY & ~(TE_FILE_SPARES | TE_FILE_CONDITION) };

static void write_all(struct session *s, const te_history *history, const te_builds *builds)
{
    switch (s->options->format) {
    case FORMAT_TEXT:
        te_write_compare_text(&s->buffer, s->shop, history, builds, &s->style);
        session_warnings(s);
        te_write_cautions(&s->buffer, &s->style);
        break;
    case FORMAT_CSV:
        session_header(s, te_write_compare_header);
        te_write_compare_csv(&s->buffer, s->shop, history, builds);
        break;
    case FORMAT_JSON:
        te_write_compare_json(&s->buffer, s->shop, history, builds, TOPEND_VERSION);
        break;
    }
}

/* False after a message, or when errors touch the engine. */
static bool compare(struct session *s, uint32_t engine)
{
    te_history history = {0};
    te_builds builds = {0};
    bool good = !session_skips(s, engine) && session_history(&history, s, engine, te_history_make);
    if (good && te_builds_make(&builds, &history, s->shop) != TE_OK) {
        (void)fail("out of memory");
        good = false;
    }
    if (good) {
        write_all(s, &history, &builds);
        good = output_flush(&s->buffer);
    }
    te_builds_free(&builds);
    te_history_free(&history);
    return good;
}

int cmd_compare(const struct options *options)
{
    struct session s;
    uint32_t engine = TE_NO_INDEX;
    int code = EXIT_FAILED;
    if (!session_open(&s, options, FILES)) {
        goto done;
    }
    bool sound = session_is_sound(&s);
    bool chosen = !sound || session_engine(&engine, &s);
    if (engine != TE_NO_INDEX) {
        session_tell_none(&s);
        session_tell_history(&s, engine);
    }
    if (!session_problems(&s) || !sound || !chosen || !compare(&s, engine)) {
        goto done;
    }
    code = session_exit(&s, true);
done:
    session_close(&s);
    return code;
}
