/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How fast the parts wear, and the builds compared. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "report_parts.h"
#include "topend/chart.h"
#include "wear_words.h"

/* Figures of series and of builds: the most urgent ones; the tables hold them all. */
enum { TREND_FIGURES = 6, BUILD_FIGURES = 3 };

/* ---- series ---- */

void te_report_series_name(struct making *m, const te_series *series)
{
    te_put_quantity(&m->line, m->shop, series->quantity, series->item);
    te_buffer_text(&m->line, ", ");
    te_buffer_text(&m->line, te_side_name(series->side));
}

void te_report_series_parts(struct making *m, const te_series *series)
{
    te_measured subject = te_series_subject(series);
    te_write_parts(&m->line, m->shop, &subject);
}

void te_report_series_cells(struct making *m, const te_series *series, const char *unit)
{
    te_report_series_name(m, series);
    if (strcmp(unit, "mm") != 0) {
        te_buffer_text(&m->line, " (");
        te_buffer_safe(&m->line, unit);
        te_buffer_text(&m->line, ")");
    }
    te_report_cell(m, TE_WEIGHT_PLAIN);
    te_report_series_parts(m, series);
    te_report_cell(m, TE_WEIGHT_PLAIN);
}

/* Shown are the parts on the engine at the inspection: what came off before is no matter of it. */
bool te_report_shows(const struct making *m, const te_series *series)
{
    const te_inspection *i = m->inspection;
    return te_series_is_told(m->of->history, series, TE_Q_NONE) &&
           (series->kind == TE_KIND_OTHER ? te_shop_other_is_on(m->shop, i, series->part)
                                          : i->part[series->kind] == series->part) &&
           (series->second_kind == TE_KIND_NONE ||
            i->part[series->second_kind] == series->second_part) &&
           (series->cylinder == 0 || i->part[TE_KIND_CYLINDER] == series->cylinder);
}

static void start_trends(struct making *m)
{
    te_buffer_text(
        &m->line, "Lengths in mm. Hours are the part's own (of a pair: together). Earliest: with a "
                  "confidence of ");
    te_put_number(&m->line, m->tables->confidence, 6);
    te_buffer_text(
        &m->line, " the limit is not reached before; engine then: where the engine's meter stands. "
                  "(a): rests on an assumed point.");
    te_document_table(m->document, te_piece_text(m->document, &m->line));
    m->line.length = 0;
    te_document_column(m->document, "Quantity", "", false);
    te_document_column(m->document, "Part", "", false);
    te_document_column(m->document, "Points", "", true);
    te_document_column(m->document, "Last", "", true);
    te_document_column(m->document, "At", "h", true);
    te_document_column(m->document, "Rate", "per 100 h", true);
    te_document_column(m->document, "U", "per 100 h", true);
    te_document_column(m->document, "Limit", "", true);
    te_document_column(m->document, "Reached at", "h", true);
    te_document_column(m->document, "Earliest at", "h", true);
    te_document_column(m->document, "Engine then", "h", true);
}

static void put_number_cell(struct making *m, double value, const char *unit)
{
    if (!isnan(value)) {
        te_put_value(&m->line, value, unit);
    }
    te_report_cell(m, TE_WEIGHT_PLAIN);
}

static void put_hours_cell(struct making *m, double hours)
{
    if (!isnan(hours)) {
        te_put_tenths(&m->line, hours);
    }
    te_report_cell(m, TE_WEIGHT_PLAIN);
}

/* Rounded down: hours that are not to be passed. */
static void put_earliest_cell(struct making *m, double hours)
{
    if (!isnan(hours)) {
        te_put_tenths_down(&m->line, hours);
    }
    te_report_cell(m, TE_WEIGHT_PLAIN);
}

static void put_series(struct making *m, const te_series *series)
{
    const char *unit = te_series_unit(m->shop, m->of->history, series);
    bool rate = series->method != TE_RATE_NONE;
    te_report_series_cells(m, series, unit);
    te_put_count(&m->line, series->fitted_count);
    te_buffer_text(&m->line, series->assumed ? " (a)" : "");
    te_report_cell(m, TE_WEIGHT_PLAIN);
    put_number_cell(m, series->value_last, unit);
    put_hours_cell(m, series->hours_last);
    put_number_cell(m, rate ? series->line.rate * TE_RATE_HOURS : NAN, unit);
    put_number_cell(m, 2.0 * te_series_u_rate(series) * TE_RATE_HOURS, unit);
    if (!isnan(series->service)) {
        te_put_number(&m->line, series->service, 7);
    }
    te_report_cell(m, TE_WEIGHT_PLAIN);
    put_hours_cell(m, series->at_limit);
    put_earliest_cell(m, series->at_limit_earliest);
    put_earliest_cell(m, isnan(series->at_limit_earliest)
                             ? NAN
                             : te_series_engine_hours(m->of->history, m->shop, series,
                                                      series->at_limit_earliest));
}

/* Notes of all series shown; a note that several share is told once, with their names. */
struct noted {
    te_buffer *lines; /* by series */
    size_t count;
};

static bool has_line(const te_buffer *lines, te_slice wanted)
{
    te_slice line;
    for (size_t at = 0; te_notes_take(&line, lines, &at);) {
        if (line.length == wanted.length && memcmp(line.bytes, wanted.bytes, line.length) == 0) {
            return true;
        }
    }
    return false;
}

static bool is_told_before(const struct noted *noted, size_t series, te_slice line)
{
    for (size_t i = 0; i < series; i++) {
        if (has_line(&noted->lines[i], line)) {
            return true;
        }
    }
    return false;
}

static void put_shared_note(struct making *m, const struct noted *noted, size_t first,
                            te_slice line)
{
    te_buffer_add(&m->line, line.bytes, line.length);
    for (size_t i = first; i < noted->count; i++) {
        if (has_line(&noted->lines[i], line)) {
            te_buffer_text(&m->line, i == first ? " (" : "; ");
            te_report_series_name(m, &m->of->history->series[i]);
            te_buffer_text(&m->line, " of ");
            te_report_series_parts(m, &m->of->history->series[i]);
        }
    }
    te_buffer_text(&m->line, ")");
    te_report_item(m, TE_WEIGHT_QUIET);
}

static void put_all_notes(struct making *m)
{
    const te_history *history = m->of->history;
    struct noted noted = {.count = history->series_count};
    te_slice line;
    noted.lines = calloc(noted.count + 1, sizeof *noted.lines);
    if (noted.lines == NULL) {
        m->document->failed = true;
        return;
    }
    for (size_t i = 0; i < noted.count; i++) {
        if (te_report_shows(m, &history->series[i])) {
            te_notes_series(&noted.lines[i], m->shop, history, &history->series[i]);
        }
        m->document->failed = m->document->failed || noted.lines[i].failed;
    }
    for (size_t i = 0; i < noted.count; i++) {
        for (size_t at = 0; te_notes_take(&line, &noted.lines[i], &at);) {
            if (!is_told_before(&noted, i, line)) {
                put_shared_note(m, &noted, i, line);
            }
        }
    }
    for (size_t i = 0; i < noted.count; i++) {
        te_buffer_free(&noted.lines[i]);
    }
    free(noted.lines);
}

/* ---- which series are drawn ---- */

struct urgency {
    double hours; /* left until the limit, earliest, else best */
    uint32_t series;
};

static double hours_left(const te_series *series)
{
    double at = isnan(series->at_limit_earliest) ? series->at_limit : series->at_limit_earliest;
    return series->met ? 0.0 : isnan(at) ? INFINITY : at - series->hours_last;
}

static int by_urgency(const void *left, const void *right)
{
    const struct urgency *a = left;
    const struct urgency *b = right;
    if (a->hours < b->hours || a->hours > b->hours) {
        return a->hours < b->hours ? -1 : 1;
    }
    return (a->series > b->series) - (a->series < b->series);
}

static void draw_trends(struct making *m)
{
    const te_history *history = m->of->history;
    size_t count = 0;
    struct urgency *order = calloc(history->series_count + 1, sizeof *order);
    if (order == NULL) {
        m->document->failed = true;
        return;
    }
    for (size_t i = 0; i < history->series_count; i++) {
        const te_series *series = &history->series[i];
        bool drawn = te_report_shows(m, series) && series->method != TE_RATE_NONE &&
                     !isnan(series->service);
        if (drawn) {
            order[count++] = (struct urgency){hours_left(series), (uint32_t)i};
        }
    }
    if (count > 1) {
        qsort(order, count, sizeof *order, by_urgency);
    }
    for (size_t i = 0; i < count && i < TREND_FIGURES; i++) {
        te_drawing drawing = {0};
        const te_series *series = &history->series[order[i].series];
        if (te_chart_trend(&drawing, m->shop, history, series) || drawing.failed) {
            te_report_series_name(m, series);
            te_buffer_text(&m->line, " of ");
            te_report_series_parts(m, series);
            te_document_figure(m->document, &drawing, te_piece_text(m->document, &m->line));
            m->line.length = 0;
        }
        te_drawing_free(&drawing);
    }
    free(order);
}

/* Parts that were on an engine which errors touch have no series: the table is not whole. */
static void put_left_out(struct making *m)
{
    size_t parts = m->of->history->left_out;
    te_document_heading(m->document, 2, "Wear over time");
    te_put_count(&m->line, parts);
    te_buffer_text(&m->line, parts == 1 ? " part of the engine is" : " parts of the engine are");
    te_buffer_text(&m->line, " left out: errors in the files touch another engine on which ");
    te_buffer_text(&m->line, parts == 1 ? "it was" : "they were");
    te_report_item(m, TE_WEIGHT_WARNING);
}

void te_report_trends(struct making *m)
{
    const te_history *history = m->of->history;
    bool any = false;
    bool headed = history->left_out > 0;
    if (headed) {
        put_left_out(m);
    }
    for (size_t i = 0; i < history->series_count; i++) {
        const te_series *series = &history->series[i];
        if (!te_report_shows(m, series)) {
            continue;
        }
        if (!any) {
            if (!headed) {
                te_document_heading(m->document, 2, "Wear over time");
            }
            start_trends(m);
            any = true;
        }
        put_series(m, series);
    }
    put_all_notes(m);
    draw_trends(m);
}

/* ---- builds ---- */

static void start_builds(struct making *m)
{
    te_document_table(
        m->document,
        "Lengths in mm. Wear from the first to the last measurement within each build. Ratio: the "
        "rate over that of the build before; p: probability of such a difference by "
        "chance, adjusted for all rows. (a): the first point is assumed as new.");
    te_document_column(m->document, "Quantity", "", false);
    te_document_column(m->document, "Part", "", false);
    te_document_column(m->document, "Build", "", true);
    te_document_column(m->document, "From", "h", true);
    te_document_column(m->document, "To", "h", true);
    te_document_column(m->document, "Wear", "", true);
    te_document_column(m->document, "U", "", true);
    te_document_column(m->document, "Rate", "per 100 h", true);
    te_document_column(m->document, "U", "per 100 h", true);
    te_document_column(m->document, "Ratio", "", true);
    te_document_column(m->document, "p", "", true);
}

static void put_build(struct making *m, const te_build_wear *row)
{
    const te_series *series = &m->of->history->series[row->series];
    const char *unit = te_series_unit(m->shop, m->of->history, series);
    te_report_series_cells(m, series, unit);
    te_put_count(&m->line, row->build);
    te_buffer_text(&m->line, row->assumed ? " (a)" : "");
    te_report_cell(m, TE_WEIGHT_PLAIN);
    put_hours_cell(m, row->hours_from);
    put_hours_cell(m, row->hours_to);
    put_number_cell(m, row->wear, unit);
    put_number_cell(m, row->stated ? 2.0 * row->u_wear : NAN, unit);
    put_number_cell(m, row->rate * TE_RATE_HOURS, unit);
    put_number_cell(m, row->stated ? 2.0 * row->u_rate * TE_RATE_HOURS : NAN, unit);
    if (!isnan(row->ratio)) {
        te_put_number(&m->line, row->ratio, 3);
    }
    te_report_cell(m, TE_WEIGHT_PLAIN);
    if (!isnan(row->p_holm)) {
        te_put_probability(&m->line, row->p_holm);
    }
    te_report_cell(m, row->p_holm < TE_REMARKABLE ? TE_WEIGHT_STRONG : TE_WEIGHT_PLAIN);
}

static bool same_quantity(const te_series *a, const te_series *b)
{
    return a->quantity == b->quantity && a->item == b->item && a->side == b->side;
}

/* One figure a quantity in which some build differs from the one before. */
static void draw_builds(struct making *m)
{
    const te_builds *builds = m->of->builds;
    const te_series *all = m->of->history->series;
    size_t drawn = 0;
    for (size_t first = 0; first < builds->wear_count && drawn < BUILD_FIGURES;) {
        size_t end = first;
        bool remarkable = false;
        const te_series *series = &all[builds->wears[first].series];
        while (end < builds->wear_count && same_quantity(series, &all[builds->wears[end].series])) {
            remarkable = remarkable || builds->wears[end].p_holm < TE_REMARKABLE;
            end++;
        }
        te_drawing drawing = {0};
        if (remarkable &&
            (te_chart_builds(&drawing, m->shop, m->of->history, builds, first) || drawing.failed)) {
            te_report_series_name(m, series);
            te_buffer_text(&m->line, ", build by build");
            te_document_figure(m->document, &drawing, te_piece_text(m->document, &m->line));
            m->line.length = 0;
            drawn++;
        }
        te_drawing_free(&drawing);
        first = end;
    }
}

void te_report_builds(struct making *m)
{
    const te_builds *builds = m->of->builds;
    te_buffer lines = {0};
    if (builds->build_count < 2 || builds->wear_count == 0) {
        return;
    }
    te_document_heading(m->document, 2, "Builds compared");
    te_notes_builds(&lines, m->shop, m->of->history, builds);
    if (lines.length > 0) {
        te_document_paragraph(m->document, TE_WEIGHT_STRONG, "More than chance:");
    }
    te_report_notes(m, &lines);
    te_notes_no_build(&lines, builds);
    te_report_notes(m, &lines);
    draw_builds(m);
    start_builds(m);
    for (size_t i = 0; i < builds->wear_count; i++) {
        put_build(m, &builds->wears[i]);
    }
}
