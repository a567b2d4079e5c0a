/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Series as a technician reads them: figures and a plot beside each other, then what to mind. */
#include <math.h>

#include "notes.h"
#include "plot.h"
#include "text.h"
#include "wear_words.h"

enum {
    SIDE_BY_SIDE = 80, /* columns from which the plot stands beside the figures */
    FACT_NAME = 9,
    FACTS_WIDTH = 48, /* the plot stands no farther right, however wide the terminal */
    FACTS_MOST = 8
};

/* A writer for one series. */
struct trend {
    te_buffer *buffer;
    const te_shop *shop;
    const te_tables *tables;
    const te_history *history;
    const te_series *series;
    const te_text_style *style;
    const char *unit;
};

static void put_unit_value(te_buffer *buffer, const struct trend *t, double value)
{
    te_put_value(buffer, value, t->unit);
    te_buffer_text(buffer, " ");
    te_buffer_safe(buffer, t->unit);
}

/* ---- figures ---- */

/* The figures beside the plot, a short line each. */
struct facts {
    te_buffer lines[FACTS_MOST];
    size_t count;
};

static te_buffer *add_fact(struct facts *facts, const char *name)
{
    te_buffer *line = &facts->lines[facts->count++];
    te_buffer_text(line, "  ");
    te_buffer_text(line, name);
    te_put_padding(line, 2, FACT_NAME, false);
    return line;
}

static void add_last(struct facts *facts, const struct trend *t)
{
    te_buffer *line = add_fact(facts, "last");
    put_unit_value(line, t, t->series->value_last);
    te_buffer_text(line, " at ");
    te_put_hours(line, t->series->hours_last);
}

static void add_rate(struct facts *facts, const struct trend *t)
{
    const te_series *series = t->series;
    if (series->method == TE_RATE_NONE) {
        te_buffer_text(add_fact(facts, "rate"), "none yet");
        return;
    }
    te_buffer *line = add_fact(facts, "rate");
    put_unit_value(line, t, series->line.rate * TE_RATE_HOURS);
    te_buffer_text(line, "/100 h");
    double u = te_series_u_rate(series);
    line = add_fact(facts, "");
    te_buffer_text(line, "U ");
    if (isnan(u)) {
        te_buffer_text(line, "not known");
    } else {
        te_put_value(line, 2.0 * u * TE_RATE_HOURS, t->unit);
    }
}

static void put_reached(te_buffer *line, const te_series *series, double hours)
{
    if (hours <= series->hours_last) {
        te_buffer_text(line, "already met");
        return;
    }
    te_buffer_text(line, "at ");
    te_put_hours(line, hours);
    te_buffer_text(line, ", in ");
    te_put_hours(line, hours - series->hours_last);
}

static void add_limit(struct facts *facts, const struct trend *t)
{
    const te_series *series = t->series;
    if (isnan(series->service)) {
        te_buffer_text(add_fact(facts, "limit"), "no service limit");
        return;
    }
    te_buffer *line = add_fact(facts, "limit");
    te_buffer_text(line, series->side == TE_SIDE_HIGH ? "max " : "min ");
    te_put_number(line, series->service, 7);
    te_buffer_text(line, " ");
    te_buffer_safe(line, t->unit);
    if (!isnan(series->at_limit)) {
        put_reached(add_fact(facts, "reached"), series, series->at_limit);
    }
    if (!isnan(series->at_limit_earliest)) {
        put_reached(add_fact(facts, "earliest"), series, series->at_limit_earliest);
    }
}

static void add_points(struct facts *facts, const struct trend *t)
{
    const te_series *series = t->series;
    te_buffer *line = add_fact(facts, "fitted");
    te_put_count(line, series->fitted_count);
    te_buffer_text(line, series->fitted_count == 1 ? " point" : " points");
    te_buffer_text(line, series->assumed ? ", 1 of them assumed" : "");
}

/* Figures and plot, line by line; below each other where the width is too small. */
static void put_figures(const struct trend *t)
{
    struct facts facts = {.count = 0};
    te_plot plot;
    add_last(&facts, t);
    add_rate(&facts, t);
    add_limit(&facts, t);
    add_points(&facts, t);
    te_plot_make(&plot, t->history, t->series);
    bool beside = t->style->width >= SIDE_BY_SIDE;
    size_t room = beside ? t->style->width - TE_PLOT_WIDTH : 0;
    room = room < FACTS_WIDTH ? room : FACTS_WIDTH;
    size_t lines = beside ? TE_PLOT_LINES : facts.count + TE_PLOT_LINES;
    for (size_t i = 0; i < lines; i++) {
        size_t start = t->buffer->length;
        size_t plotted = beside ? i : i - facts.count;
        if (i < facts.count) {
            te_buffer_text(t->buffer, facts.lines[i].length > 0 ? facts.lines[i].bytes : "");
            t->buffer->failed = t->buffer->failed || facts.lines[i].failed;
        }
        if (beside && te_put_width(t->buffer, start) >= room) {
            te_buffer_text(t->buffer, "\n"); /* too long a unit: the plot's line goes below */
            start = t->buffer->length;
        }
        if (beside || i >= facts.count) {
            te_put_padding(t->buffer, start, room, false);
            te_plot_line(t->buffer, &plot, plotted, t->unit, t->style->utf8);
        }
        te_buffer_text(t->buffer, "\n");
    }
    for (size_t i = 0; i < facts.count; i++) {
        te_buffer_free(&facts.lines[i]);
    }
}

static void put_title(const struct trend *t)
{
    te_measured subject = te_series_subject(t->series);
    te_buffer line = {0};
    te_put_quantity(&line, t->shop, t->series->quantity, t->series->item);
    te_buffer_text(&line, ", ");
    te_buffer_text(&line, te_side_name(t->series->side));
    te_buffer_text(&line, ": ");
    te_write_parts(&line, t->shop, &subject);
    te_buffer_text(t->buffer, "\n");
    te_put_colour(t->buffer, t->style, TE_BOLD);
    te_text_wrapped(t->buffer, &line, "", 2, t->style->width);
    te_put_colour(t->buffer, t->style, TE_PLAIN);
    te_buffer_free(&line);
}

/* ---- the whole ---- */

static void put_mark(te_buffer *line, enum te_plot_mark mark, const char *words, bool utf8)
{
    te_buffer_text(line, te_plot_sign(mark, utf8));
    te_buffer_text(line, " ");
    te_buffer_text(line, words);
}

void te_write_trend_text_start(te_buffer *buffer, const te_shop *shop, const te_text_style *style)
{
    const te_tables *tables = te_shop_tables(shop);
    te_buffer line = {0};
    if (tables->name != 0) {
        te_buffer_safe(&line, te_shop_text(shop, tables->name));
        te_buffer_text(&line, ". ");
    }
    te_buffer_text(&line,
                   "Wear over the hours of each part (of a pair: its hours together). "
                   "Lengths in mm at 20 °C; U is the expanded uncertainty (k = 2); earliest: "
                   "with a confidence of ");
    te_put_number(&line, tables->confidence, 6);
    te_buffer_text(&line, " the limit is not met before. In the plots: ");
    put_mark(&line, TE_MARK_MEASURED, "measured, ", style->utf8);
    put_mark(&line, TE_MARK_ASSUMED, "assumed as new, ", style->utf8);
    put_mark(&line, TE_MARK_RUN_IN, "run-in, ", style->utf8);
    put_mark(&line, TE_MARK_RATE, "rate, ", style->utf8);
    put_mark(&line, TE_MARK_LIMIT, "limit, ", style->utf8);
    put_mark(&line, TE_MARK_EARLIEST, "earliest at the limit.", style->utf8);
    te_text_wrapped(buffer, &line, "", 0, style->width);
    te_buffer_free(&line);
}

static void put_engine(te_buffer *buffer, const te_shop *shop, uint32_t at,
                       const te_text_style *style)
{
    const te_tables *tables = te_shop_tables(shop);
    const te_engine *engine = &tables->engines[at];
    uint32_t last = tables->by_engine[engine->first_inspection + engine->inspection_count - 1];
    te_buffer line = {0};
    te_buffer_safe(&line, te_shop_text(shop, engine->id));
    te_buffer_text(&line, " (");
    te_buffer_safe(&line, te_shop_text(shop, tables->models[engine->model].id));
    te_buffer_text(&line, "), last inspected at ");
    te_put_hours(&line, tables->inspections[last].hours);
    te_buffer_text(&line, " on ");
    te_put_date(&line, tables->inspections[last].date);
    te_buffer_text(buffer, "\n");
    te_put_colour(buffer, style, TE_BOLD);
    te_text_wrapped(buffer, &line, "== ", 3, style->width);
    te_put_colour(buffer, style, TE_PLAIN);
    te_buffer_free(&line);
}

size_t te_write_trend_text(te_buffer *buffer, const te_shop *shop, const te_history *history,
                           te_quantity only, const te_text_style *style)
{
    struct trend t = {.buffer = buffer,
                      .shop = shop,
                      .tables = te_shop_tables(shop),
                      .history = history,
                      .style = style};
    te_buffer notes = {0};
    size_t written = 0;
    for (size_t i = 0; i < history->series_count; i++) {
        t.series = &history->series[i];
        if (!te_series_is_told(history, t.series, only)) {
            continue;
        }
        if (written == 0) {
            put_engine(buffer, shop, history->engine, style);
        }
        t.unit = te_series_unit(shop, history, t.series);
        put_title(&t);
        put_figures(&t);
        te_notes_series(&notes, shop, history, t.series);
        te_put_notes(buffer, &notes, style->width);
        te_buffer_free(&notes);
        written++;
    }
    return written;
}
