/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Which engine is due first: a line each, the most urgent first. */
#include <math.h>

#include "text.h"
#include "wear_words.h"

enum { ENGINE_COLUMN = 14, HOURS_COLUMN = 9, VERDICT_COLUMN = 14 };

struct due_text {
    te_buffer *buffer;
    const te_shop *shop;
    const te_tables *tables;
    const te_text_style *style;
    bool assumed, original, best; /* marks that were used */
};

static void put_hours_cell(te_buffer *buffer, double hours)
{
    size_t start = buffer->length;
    te_buffer_text(buffer, " ");
    if (!isnan(hours)) {
        te_put_tenths(buffer, hours);
    }
    te_put_padding(buffer, start, HOURS_COLUMN, true);
}

/* What decides, with the marks that warn. */
static void put_decider(struct due_text *t, te_buffer *line, const te_due *due)
{
    te_measured subject = te_due_subject(due);
    if (due->quantity != TE_Q_NONE) {
        te_put_quantity(line, t->shop, due->quantity, due->item);
        te_buffer_text(line, " of ");
        te_write_parts(line, t->shop, &subject);
        te_buffer_text(line, due->met ? ", limit met" : "");
        te_buffer_text(line, due->assumed ? " (a)" : "");
        te_buffer_text(line, due->original ? " (c)" : "");
        te_buffer_text(line, due->basis == TE_DUE_BEST && !due->met ? " (b)" : "");
    } else if (due->basis == TE_DUE_INTERVAL) {
        te_buffer_text(line, "inspect_every_hours of the model");
    } else if (due->inspection == TE_NO_INDEX) {
        te_buffer_text(line, "CANNOT TELL: it was never inspected");
    } else {
        te_buffer_text(line, "CANNOT TELL: no rate leads to a limit yet");
    }
    t->assumed = t->assumed || due->assumed;
    t->original = t->original || due->original;
    t->best = t->best || (due->basis == TE_DUE_BEST && !due->met);
}

static enum te_colour colour_of(const te_due *due)
{
    return due->basis == TE_DUE_CANNOT_TELL ? TE_YELLOW : te_due_is_over(due) ? TE_RED : TE_PLAIN;
}

static void put_row(struct due_text *t, const te_due *due)
{
    const te_engine *engine = &t->tables->engines[due->engine];
    bool any = due->inspection != TE_NO_INDEX;
    te_buffer line = {0};
    te_buffer decider = {0};
    size_t row = t->buffer->length;
    size_t start = row;
    te_buffer_safe(t->buffer, te_shop_text(t->shop, engine->id));
    if (te_put_width(t->buffer, start) >= ENGINE_COLUMN) {
        te_buffer_text(t->buffer, "\n"); /* a long name takes a line of its own */
        start = t->buffer->length;
    }
    te_put_padding(t->buffer, start, ENGINE_COLUMN, false);
    put_hours_cell(&line, any ? t->tables->inspections[due->inspection].hours : NAN);
    put_hours_cell(&line, due->hours_left);
    put_hours_cell(&line, due->due_hours);
    te_buffer_text(&line, "  ");
    start = line.length;
    te_put_words(&line, te_due_verdict_name(due));
    te_put_padding(&line, start, VERDICT_COLUMN, false);
    te_buffer_text(&line, any && te_due_is_over(due) ? "DUE NOW" : "");
    te_put_trim(&line, 0);
    te_put_colour(t->buffer, t->style, colour_of(due));
    te_buffer_add(t->buffer, line.bytes, line.length);
    te_put_colour(t->buffer, t->style, TE_PLAIN);
    te_put_trim(t->buffer, row);
    te_buffer_text(t->buffer, "\n");
    if (due->condemned) {
        te_put_wrapped(t->buffer, "what the last inspection condemned is still on the engine", "  ",
                       2, t->style->width);
    }
    put_decider(t, &decider, due);
    te_text_wrapped(t->buffer, &decider, "  by ", 5, t->style->width);
    t->buffer->failed = t->buffer->failed || line.failed;
    te_buffer_free(&line);
    te_buffer_free(&decider);
}

static void put_mark(const struct due_text *t, bool used, const char *text)
{
    if (used) {
        te_put_wrapped(t->buffer, text, "", 4, t->style->width);
    }
}

static void put_head(const struct due_text *t)
{
    te_buffer line = {0};
    if (t->tables->name != 0) {
        te_buffer_safe(&line, te_shop_text(t->shop, t->tables->name));
        te_buffer_text(&line, ". ");
    }
    te_buffer_text(&line,
                   "Due: the engine hours at which the first of the parts now on the engine may "
                   "meet its service limit by its own rate (of each: not before, with a "
                   "confidence of ");
    te_put_number(&line, t->tables->confidence, 6);
    te_buffer_text(&line,
                   "), and not later than the model's inspection interval. Left: counted from "
                   "the last inspection.");
    te_text_wrapped(t->buffer, &line, "", 0, t->style->width);
    te_buffer_free(&line);
    te_buffer_text(t->buffer, "\nEngine             at h     left   due at  last verdict\n");
}

void te_write_due_text(te_buffer *buffer, const te_shop *shop, const te_due *list, size_t count,
                       const te_text_style *style)
{
    struct due_text t = {
        .buffer = buffer, .shop = shop, .tables = te_shop_tables(shop), .style = style};
    put_head(&t);
    for (size_t i = 0; i < count; i++) {
        put_row(&t, &list[i]);
    }
    if (t.assumed || t.best || t.original) {
        te_buffer_text(buffer, "\n");
    }
    put_mark(&t, t.assumed, "(a) rests on an ASSUMED point: as new at 0 h, not measured");
    put_mark(&t, t.best, "(b) best estimate only: the uncertainty of the rate is not known");
    put_mark(&t, t.original, "(c) only if never changed: parts.csv has no row for the part");
    te_write_cautions(buffer, style);
}
