/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Series as a technician reads them: figures and a plot beside each other, then what to mind. */
#include <math.h>
#include <stdlib.h>

#include "notes.h"
#include "plot.h"
#include "text.h"
#include "wear_words.h"

enum {
    SIDE_BY_SIDE = 80, /* columns from which the plot stands beside the figures */
    FACT_NAME = 9,
    FACTS_WIDTH = 48, /* the plot stands no farther right, however wide the terminal */
    FACTS_MOST = 8,
    GLANCE_COLUMN = 13
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

/* Hours from the last point, and where the engine's meter stands then. */
static void put_ahead(te_buffer *line, const struct trend *t, double hours, bool down)
{
    double left = hours - t->series->hours_last;
    double meter = te_series_engine_hours(t->history, t->shop, t->series, hours);
    void (*const put)(te_buffer * buffer, double value) = down ? te_put_tenths_down : te_put_tenths;
    te_buffer_text(line, "in ");
    put(line, left);
    te_buffer_text(line, isnan(meter) ? " h, at " : " h, engine at ");
    put(line, isnan(meter) ? hours : meter);
    te_buffer_text(line, " h");
}

static void add_earliest(struct facts *facts, const struct trend *t)
{
    te_buffer *line = add_fact(facts, "earliest");
    if (t->series->at_limit_earliest > t->series->hours_last) {
        put_ahead(line, t, t->series->at_limit_earliest, true);
    } else {
        te_buffer_text(line, t->series->met ? "at its limit or past it" : "perhaps past it");
    }
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
    if (!isnan(series->at_limit) && !series->met) {
        put_ahead(add_fact(facts, "reached"), t, series->at_limit, false);
    }
    if (!isnan(series->at_limit_earliest)) {
        add_earliest(facts, t);
    }
}

static void add_points(struct facts *facts, const struct trend *t)
{
    const te_series *series = t->series;
    te_buffer *line = add_fact(facts, "points");
    te_put_count(line, series->fitted_count);
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
    size_t plot_lines = plot.single ? 0 : TE_PLOT_LINES; /* one point makes no plot */
    bool beside = t->style->width >= SIDE_BY_SIDE && plot_lines > 0;
    size_t room = beside ? t->style->width - TE_PLOT_WIDTH : 0;
    room = room < FACTS_WIDTH ? room : FACTS_WIDTH;
    size_t lines = beside ? plot_lines : facts.count + plot_lines;
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
    uint32_t last = te_shop_last_inspection(shop, at);
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

/* ---- at a glance ---- */

struct glance {
    double meter; /* engine hours at which the limit is met, earliest, else best */
    uint32_t series;
};

static int by_meter(const void *left, const void *right)
{
    const struct glance *a = left;
    const struct glance *b = right;
    if (a->meter < b->meter || a->meter > b->meter) {
        return a->meter < b->meter ? -1 : 1;
    }
    return (a->series > b->series) - (a->series < b->series);
}

static void put_glance(struct trend *t, const struct glance *glance)
{
    te_buffer meter = {0};
    te_buffer line = {0};
    const te_series *series = &t->history->series[glance->series];
    te_measured subject = te_series_subject(series);
    t->series = series;
    t->unit = te_series_unit(t->shop, t->history, series);
    te_put_tenths_down(&meter, glance->meter);
    te_buffer_text(&meter, " h ");
    te_put_padding(&meter, 0, GLANCE_COLUMN, true);
    te_put_quantity(&line, t->shop, series->quantity, series->item);
    te_buffer_text(&line, " of ");
    te_write_parts(&line, t->shop, &subject);
    te_buffer_text(&line, ": ");
    put_unit_value(&line, t, series->value_last);
    te_buffer_text(&line, series->side == TE_SIDE_HIGH ? ", max " : ", min ");
    te_put_number(&line, series->service, 7);
    te_buffer_text(&line, series->met ? ", at its limit or past it" : "");
    te_buffer_text(&line, isnan(series->at_limit_earliest) ? ", best estimate only" : "");
    te_buffer_text(&line, series->assumed ? ", assumed" : "");
    t->buffer->failed = t->buffer->failed || meter.failed;
    te_text_wrapped(t->buffer, &line, meter.failed ? "" : meter.bytes, GLANCE_COLUMN,
                    t->style->width);
    te_buffer_free(&meter);
    te_buffer_free(&line);
}

/* What is on the engine now and has hours, the first to be due first. */
static void put_glances(struct trend *t, te_quantity only)
{
    size_t count = 0;
    struct glance *list = calloc(t->history->series_count + 1, sizeof *list);
    if (list == NULL) {
        t->buffer->failed = true;
        return;
    }
    for (size_t i = 0; i < t->history->series_count; i++) {
        const te_series *s = &t->history->series[i];
        double hours = isnan(s->at_limit_earliest) ? s->at_limit : s->at_limit_earliest;
        double meter = isnan(hours) ? NAN : te_series_engine_hours(t->history, t->shop, s, hours);
        if (te_series_is_told(t->history, s, only) && !isnan(meter)) {
            list[count++] = (struct glance){meter, (uint32_t)i};
        }
    }
    if (count > 1) {
        qsort(list, count, sizeof *list, by_meter);
        te_buffer_text(t->buffer, "At their limit by engine hours, the earliest first\n");
        for (size_t i = 0; i < count; i++) {
            put_glance(t, &list[i]);
        }
    }
    free(list);
}

/* What has no panel to tell of it. */
static void put_lost(const struct trend *t, te_quantity only)
{
    te_buffer line = {0};
    if (t->history->lost == 0 || only != TE_Q_NONE) {
        return;
    }
    te_put_count(&line, t->history->lost);
    te_buffer_text(&line, t->history->lost == 1 ? " quantity" : " quantities");
    te_buffer_text(&line,
                   " of parts on the engine have measurements before an unknown history only: "
                   "nothing is told of them");
    te_buffer_text(t->buffer, "\n");
    te_text_wrapped(t->buffer, &line, "", 0, t->style->width);
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
            put_glances(&t, only);
            t.series = &history->series[i];
        }
        t.unit = te_series_unit(shop, history, t.series);
        put_title(&t);
        put_figures(&t);
        te_notes_series(&notes, shop, history, t.series);
        te_put_notes(buffer, &notes, style->width);
        te_buffer_free(&notes);
        written++;
    }
    put_lost(&t, only);
    return written;
}
