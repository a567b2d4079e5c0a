/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cli.h"
#include "topend/write_options.h"

/* One run of the command. */
struct run {
    struct session s;
    te_options options;
    te_model_rates rates;
};

static void write_text(struct run *run, const te_options_told *told)
{
    te_document document = {0};
    session_warnings(&run->s);
    te_options_document(&document, told, TOPEND_VERSION);
    te_document_text(&run->s.buffer, &document, &run->s.style);
    te_document_free(&document);
}

static void write_all(struct run *run, const te_wish *wish)
{
    const te_options_told told = {
        .shop = run->s.shop,
        .problems = &run->s.problems,
        .options = &run->options,
        .wish = *wish,
    };
    switch (run->s.options->format) {
    case FORMAT_TEXT: write_text(run, &told); break;
    case FORMAT_CSV:
        if (run->s.options->findings) {
            session_header(&run->s, te_write_options_findings_header);
            te_write_options_findings_csv(&run->s.buffer, &told);
        } else {
            session_header(&run->s, te_write_options_header);
            te_write_options_csv(&run->s.buffer, &told);
        }
        break;
    case FORMAT_JSON: te_write_options_json(&run->s.buffer, &told, TOPEND_VERSION); break;
    }
}

/* False after a message. */
static bool find_options(struct run *run, uint32_t inspection, const te_wish *wish)
{
    te_status status = te_options_make(&run->options, &run->rates, run->s.shop, &run->s.problems,
                                       inspection, wish);
    if (!session_done(&run->s, inspection, status)) {
        return false;
    }
    if (run->options.too_many) {
        (void)fail(
            "spares.csv allows more than %d sets of parts: leave out spares that are out of the "
            "question",
            TE_OPTIONS_MOST);
        return false;
    }
    session_tell_left_out(&run->s, &run->options.history);
    return true;
}

int cmd_options(const struct options *options)
{
    struct run run = {.s = {.skipped = false}};
    uint32_t inspection = TE_NO_INDEX;
    int code = EXIT_FAILED;
    const te_wish wish = {.hone = options->hone, .hours = options->hours};
    if (!session_open(&run.s, options, TE_FILE_EVERY)) {
        goto done;
    }
    bool sound = session_is_sound(&run.s);
    bool chosen = !sound || session_inspection(&inspection, &run.s, "--engine");
    if (inspection != TE_NO_INDEX) {
        session_tell_none(&run.s);
        session_tell_history(&run.s, run.s.tables->inspections[inspection].engine);
    }
    if (!session_problems(&run.s) || !sound || !chosen ||
        session_skips(&run.s, run.s.tables->inspections[inspection].engine) ||
        !find_options(&run, inspection, &wish)) {
        goto done;
    }
    write_all(&run, &wish);
    if (output_flush(&run.s.buffer)) {
        code = session_exit(&run.s, run.options.good > 0);
    }
done:
    te_options_free(&run.options);
    te_model_rates_free(&run.rates);
    session_close(&run.s);
    return code;
}
