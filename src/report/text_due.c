/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Which engine is due first: a line each, the most urgent first. */
#include <math.h>

#include "text.h"
#include "wear_words.h"

enum { ENGINE_COLUMN = 14, NARROW_COLUMN = 10, HOURS_COLUMN = 9, VERDICT_COLUMN = 14, WIDE = 64 };

/* Columns of an engine's name. */
static size_t engine_column(const te_text_style *style)
{
    return style->width < WIDE ? NARROW_COLUMN : ENGINE_COLUMN;
}

struct due_text {
    te_buffer *buffer;
    const te_shop *shop;
    const te_tables *tables;
    const te_text_style *style;
    bool assumed, original, best, scatter; /* marks that were used */
};

/* Rounded down: what is due at 375.16 h is not to be run to 375.2 h. */
static void put_hours_cell(te_buffer *buffer, double hours)
{
    size_t start = buffer->length;
    te_buffer_text(buffer, " ");
    if (!isnan(hours)) {
        te_put_tenths_down(buffer, hours);
    }
    te_put_padding(buffer, start, HOURS_COLUMN, true);
}

/* The quantity, its parts, its limit, and the marks that warn. */
static void put_quantity(const struct due_text *t, te_buffer *line, const te_due *due)
{
    te_measured subject = te_due_subject(due);
    te_buffer_text(line, "by ");
    te_put_quantity(line, t->shop, due->quantity, due->item);
    te_buffer_text(line, " of ");
    te_write_parts(line, t->shop, &subject);
    te_buffer_text(line, due->side == TE_SIDE_HIGH ? ", max " : ", min ");
    te_put_number(line, due->limit, 7);
    const te_inspection *measured = &t->tables->inspections[due->measured];
    if (due->measured != due->inspection) {
        te_buffer_text(line, ", last measured at ");
        te_put_hours(line, measured->hours);
        if (measured->engine != due->engine) {
            te_buffer_text(line, " of ");
            te_buffer_safe(line, te_shop_text(t->shop, t->tables->engines[measured->engine].id));
        }
    }
    te_buffer_text(line, due->met ? ", at its limit or past it" : "");
    te_buffer_text(line, due->assumed ? " (a)" : "");
    te_buffer_text(line, due->original ? " (c)" : "");
    te_buffer_text(line, due->basis == TE_DUE_BEST && !due->met ? " (b)" : "");
    te_buffer_text(line, due->scatter ? " (d)" : "");
}

/* What decides, or why nothing does. */
static void put_decider(struct due_text *t, te_buffer *line, const te_due *due)
{
    if (due->quantity != TE_Q_NONE) {
        put_quantity(t, line, due);
    } else if (due->basis == TE_DUE_INTERVAL) {
        te_buffer_text(line, "by inspect_every_hours of the model");
        te_buffer_text(line, due->untold > 0 || due->unmeasured > 0 ? ", NOT ALL KNOWN" : "");
    } else if (due->inspection == TE_NO_INDEX) {
        te_buffer_text(line, "CANNOT TELL: it was never inspected");
    } else if (due->left_out > 0) {
        te_buffer_text(line, "CANNOT TELL: errors touch the history of its parts");
    } else if (due->no_meter) {
        te_buffer_text(line, "CANNOT TELL: no hours are counted, every inspection is at 0 h");
    } else {
        te_buffer_text(line, "CANNOT TELL: no rate leads to a limit yet");
    }
    t->assumed = t->assumed || due->assumed;
    t->original = t->original || due->original;
    t->best = t->best || (due->basis == TE_DUE_BEST && !due->met);
    t->scatter = t->scatter || due->scatter;
}

static void put_condemned(const struct due_text *t, const te_due *due)
{
    te_buffer line = {0};
    te_buffer_text(&line, "still on, though an inspection condemned it: ");
    te_put_part(&line, t->shop, due->condemned_kind, due->condemned_part);
    te_text_wrapped(t->buffer, &line, "  ", 4, t->style->width);
    te_buffer_free(&line);
}

static void put_remark(const struct due_text *t, size_t count, const char *one, const char *many)
{
    te_buffer line = {0};
    if (count == 0) {
        return;
    }
    te_put_count(&line, count);
    te_buffer_text(&line, count == 1 ? one : many);
    te_text_wrapped(t->buffer, &line, "  ", 4, t->style->width);
    te_buffer_free(&line);
}

/* What the hours and the verdict do not cover. */
static void put_remarks(const struct due_text *t, const te_due *due)
{
    put_remark(t, due->unmeasured, " part now on it was never measured",
               " parts now on it were never measured");
    put_remark(t, due->untold, " quantity with a limit is not covered: topend trend says why",
               " quantities with a limit are not covered: topend trend says why");
    if (due->changed) {
        te_put_wrapped(
            t->buffer,
            "a part was fitted since the last inspection: the verdict is on those before", "  ", 4,
            t->style->width);
    }
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
    if (te_put_width(t->buffer, start) >= engine_column(t->style)) {
        te_buffer_text(t->buffer, "\n"); /* a long name takes a line of its own */
        start = t->buffer->length;
    }
    te_put_padding(t->buffer, start, engine_column(t->style), false);
    put_hours_cell(&line, any ? t->tables->inspections[due->inspection].hours : NAN);
    put_hours_cell(&line, due->hours_left);
    put_hours_cell(&line, due->due_hours);
    te_buffer_text(&line, "  ");
    start = line.length;
    te_put_words(&line, te_due_verdict_name(due));
    te_put_padding(&line, start, VERDICT_COLUMN, false);
    te_buffer_text(&line, any && te_due_is_over(due) ? "DUE NOW" : "");
    te_put_trim(&line, 0);
    if (line.length == 0) {
        te_put_trim(t->buffer, row); /* no blanks before a colour that ends the line */
    }
    te_put_colour(t->buffer, t->style, colour_of(due));
    te_buffer_add(t->buffer, line.bytes, line.length);
    te_put_colour(t->buffer, t->style, TE_PLAIN);
    te_put_trim(t->buffer, row);
    te_buffer_text(t->buffer, "\n");
    if (due->condemned) {
        put_condemned(t, due);
    }
    put_decider(t, &decider, due);
    te_text_wrapped(t->buffer, &decider, "  ", 4, t->style->width);
    put_remarks(t, due);
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
    te_buffer_text(
        &line, "Due: strip by these engine hours. Until then each part now on, by its own rate, "
               "stays within its service limits with a confidence of ");
    te_put_number(&line, t->tables->confidence, 6);
    te_buffer_text(&line, " (each alone: several together with less), and the model's inspection "
                          "interval is kept. Left: from the last inspection, not from today.");
    te_text_wrapped(t->buffer, &line, "", 0, t->style->width);
    te_buffer_free(&line);
    te_buffer_text(t->buffer, "\n");
    size_t start = t->buffer->length;
    te_buffer_text(t->buffer, "Engine");
    te_put_padding(t->buffer, start, engine_column(t->style), false);
    te_buffer_text(t->buffer, "     at h     left   due at  last verdict\n");
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
    if (t.assumed || t.best || t.original || t.scatter) {
        te_buffer_text(buffer, "\n");
    }
    put_mark(&t, t.assumed,
             "(a) rests on an ASSUMED point: as new at 0 h, not measured. Measure to be sure");
    put_mark(&t, t.best, "(b) best estimate only: the uncertainty of the rate is not known");
    put_mark(&t, t.original,
             "(c) right only if the part was never changed: parts.csv has no row for it");
    put_mark(&t, t.scatter,
             "(d) the points scatter more than their uncertainty explains (topend trend: SCATTER): "
             "the limit may come sooner");
    te_write_cautions(buffer, style);
}
