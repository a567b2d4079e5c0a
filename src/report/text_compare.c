/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Builds side by side: in words where one differs from the one before, then the figures. */
#include <math.h>

#include "notes.h"
#include "text.h"
#include "wear_words.h"

enum {
    BUILD_COLUMN = 4,
    HOURS_COLUMN = 17,
    VALUE_COLUMN = 9,
    U_COLUMN = 8,
    RATIO_COLUMN = 7,
    TABLE_WIDTH = 80 /* with ratio and p in columns of their own; else they take a line */
};

struct compared {
    te_buffer *buffer;
    const te_shop *shop;
    const te_tables *tables;
    const te_history *history;
    const te_builds *builds;
    const te_text_style *style;
};

static const te_series *series_of(const struct compared *c, const te_build_wear *row)
{
    return &c->history->series[row->series];
}

/* ---- head ---- */

static void put_head(const struct compared *c)
{
    const te_engine *engine = &c->tables->engines[c->history->engine];
    const te_builds *builds = c->builds;
    te_buffer line = {0};
    if (c->tables->name != 0) {
        te_buffer_safe(&line, te_shop_text(c->shop, c->tables->name));
        te_buffer_text(&line, ". ");
    }
    te_buffer_text(&line,
                   "Wear within each build, from its first measurement to its last, in engine "
                   "hours. Lengths in mm at 20 °C; U is the expanded uncertainty (k = 2).");
    te_text_wrapped(c->buffer, &line, "", 0, c->style->width);
    te_buffer_free(&line);
    te_buffer_safe(&line, te_shop_text(c->shop, engine->id));
    te_buffer_text(&line, " (");
    te_buffer_safe(&line, te_shop_text(c->shop, c->tables->models[engine->model].id));
    te_buffer_text(&line, "), ");
    te_put_count(&line, builds->build_count);
    te_buffer_text(&line, builds->build_count == 1 ? " build: " : " builds: ");
    for (size_t i = 0; i < builds->build_count; i++) {
        te_buffer_text(&line, i > 0 ? "; " : "");
        te_put_count(&line, i + 1);
        te_buffer_text(&line, " from ");
        te_put_tenths(&line, builds->starts[i]);
        if (i + 1 < builds->build_count) {
            te_buffer_text(&line, " to ");
            te_put_tenths(&line, builds->starts[i + 1]);
        }
        te_buffer_text(&line, " h");
    }
    te_buffer_text(&line, builds->build_count == 1 ? " on: nothing to compare it with" : " on");
    te_buffer_text(c->buffer, "\n");
    te_put_colour(c->buffer, c->style, TE_BOLD);
    te_text_wrapped(c->buffer, &line, "== ", 3, c->style->width);
    te_put_colour(c->buffer, c->style, TE_PLAIN);
    te_buffer_free(&line);
}

static void put_statements(const struct compared *c)
{
    te_buffer lines = {0};
    te_slice line;
    te_notes_builds(&lines, c->shop, c->history, c->builds);
    if (lines.length > 0) {
        te_buffer_text(c->buffer, "\nMore than chance\n");
        te_put_notes(c->buffer, &lines, c->style->width);
    }
    c->buffer->failed = c->buffer->failed || lines.failed;
    te_buffer_free(&lines);
    te_notes_no_build(&lines, c->builds);
    te_buffer_text(c->buffer, lines.length > 0 ? "\n" : "");
    for (size_t at = 0; te_notes_take(&line, &lines, &at);) {
        te_buffer text = {0};
        te_buffer_add(&text, line.bytes, line.length);
        te_text_wrapped(c->buffer, &text, "", 0, c->style->width);
        te_buffer_free(&text);
    }
    c->buffer->failed = c->buffer->failed || lines.failed;
    te_buffer_free(&lines);
}

/* ---- figures ---- */

static void put_cell(te_buffer *buffer, const te_buffer *cell, size_t width)
{
    te_buffer padded = {0};
    te_buffer_add(&padded, cell->bytes, cell->length);
    te_put_padding(&padded, 0, width, true);
    te_buffer_text(buffer, " ");
    te_buffer_add(buffer, padded.bytes, padded.length);
    buffer->failed = buffer->failed || cell->failed || padded.failed;
    te_buffer_free(&padded);
}

static void put_value_cell(te_buffer *buffer, bool there, double value, const char *unit,
                           size_t width)
{
    te_buffer cell = {0};
    if (there) {
        te_put_short_value(&cell, value, unit, width);
    } else {
        te_buffer_text(&cell, "?");
    }
    put_cell(buffer, &cell, width);
    te_buffer_free(&cell);
}

static void put_ratio(te_buffer *buffer, const te_build_wear *row)
{
    te_buffer cell = {0};
    if (!isnan(row->ratio)) {
        te_put_number(&cell, row->ratio, 3);
    }
    put_cell(buffer, &cell, RATIO_COLUMN);
    te_buffer_free(&cell);
    if (!isnan(row->p_holm)) {
        te_buffer_text(buffer, " ");
        te_put_probability(buffer, row->p_holm);
    }
}

/* The same below the figures. */
static void put_ratio_line(te_buffer *buffer, const te_build_wear *row)
{
    bool ratio = !isnan(row->ratio);
    bool chance = !isnan(row->p_holm);
    te_buffer_text(buffer, ratio || chance ? "\n     " : "");
    if (ratio) {
        te_buffer_text(buffer, " ratio ");
        te_put_number(buffer, row->ratio, 3);
    }
    if (chance) {
        te_buffer_text(buffer, ratio ? ", p " : " p ");
        te_put_probability(buffer, row->p_holm);
    }
}

static void put_figures(const struct compared *c, const te_build_wear *row)
{
    const te_series *series = series_of(c, row);
    const char *unit = te_series_unit(c->shop, c->history, series);
    te_buffer hours = {0};
    size_t start = c->buffer->length;
    size_t line = start;
    te_buffer_text(c->buffer, " ");
    te_put_count(c->buffer, row->build);
    te_buffer_text(c->buffer, row->assumed ? "a" : "");
    te_put_padding(c->buffer, start, BUILD_COLUMN, false);
    te_put_tenths(&hours, row->hours_from);
    te_buffer_text(&hours, " - ");
    te_put_tenths(&hours, row->hours_to);
    put_cell(c->buffer, &hours, HOURS_COLUMN);
    te_buffer_free(&hours);
    put_value_cell(c->buffer, true, row->wear, unit, VALUE_COLUMN);
    put_value_cell(c->buffer, row->stated, 2.0 * row->u_wear, unit, U_COLUMN);
    put_value_cell(c->buffer, true, row->rate * TE_RATE_HOURS, unit, VALUE_COLUMN);
    put_value_cell(c->buffer, row->stated, 2.0 * row->u_rate * TE_RATE_HOURS, unit, U_COLUMN);
    if (c->style->width >= TABLE_WIDTH) {
        put_ratio(c->buffer, row);
    } else {
        put_ratio_line(c->buffer, row);
    }
    te_put_trim(c->buffer, line);
    te_buffer_text(c->buffer, "\n");
}

/* True when two rows are of the same quantity and side; their parts may differ. */
static bool same_block(const te_series *a, const te_series *b)
{
    return a->quantity == b->quantity && a->item == b->item && a->side == b->side &&
           a->part == b->part && a->second_part == b->second_part;
}

static void put_title(const struct compared *c, const te_series *series)
{
    te_measured subject = te_series_subject(series);
    const char *unit = te_series_unit(c->shop, c->history, series);
    te_buffer line = {0};
    te_put_quantity(&line, c->shop, series->quantity, series->item);
    te_buffer_text(&line, ", ");
    te_buffer_text(&line, te_side_name(series->side));
    te_buffer_text(&line, ", ");
    te_buffer_safe(&line, unit);
    te_buffer_text(&line, ": ");
    te_write_parts(&line, c->shop, &subject);
    te_text_wrapped(c->buffer, &line, "", 2, c->style->width);
    te_buffer_free(&line);
}

static void put_table(const struct compared *c)
{
    bool assumed = false;
    if (c->builds->wear_count == 0) {
        te_buffer_text(c->buffer, "\n");
        te_put_wrapped(c->buffer, "Nothing was measured at two hours of one build.", "", 0,
                       c->style->width);
        return;
    }
    te_buffer_text(c->buffer, "\nbuild      engine hours      wear        U per 100 h       U");
    te_buffer_text(c->buffer, c->style->width >= TABLE_WIDTH ? "    ratio  p\n" : "\n");
    for (size_t i = 0; i < c->builds->wear_count; i++) {
        const te_build_wear *row = &c->builds->wears[i];
        const te_series *series = series_of(c, row);
        bool new_block = i == 0 || !same_block(series, series_of(c, &c->builds->wears[i - 1]));
        if (new_block) {
            put_title(c, series);
        }
        put_figures(c, row);
        assumed = assumed || row->assumed;
    }
    te_buffer_text(c->buffer, "\n");
    te_put_wrapped(c->buffer,
                   "ratio: the rate over that of the build before; p: probability of such a "
                   "difference by chance, adjusted for all rows (Holm). A quantity measured at "
                   "fewer than two hours of a build has no row for it. Wear while running in is in "
                   "it.",
                   "", 0, c->style->width);
    if (assumed) {
        te_put_wrapped(c->buffer,
                       "a: ASSUMED as new where the build begins, in the middle of the as-new "
                       "limits, not measured.",
                       "", 0, c->style->width);
    }
}

void te_write_compare_text(te_buffer *buffer, const te_shop *shop, const te_history *history,
                           const te_builds *builds, const te_text_style *style)
{
    const struct compared c = {.buffer = buffer,
                               .shop = shop,
                               .tables = te_shop_tables(shop),
                               .history = history,
                               .builds = builds,
                               .style = style};
    put_head(&c);
    put_statements(&c);
    put_table(&c);
}
