/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Options as pieces of a document: for the text of the command and for the report. */
#include <math.h>

#include "notes.h"
#include "options_words.h"
#include "pieces.h"

/* ---- the answer ---- */

static bool bores(const te_options_told *told, const te_option *option)
{
    const te_candidate *cylinder = te_option_part(told->options, option, TE_KIND_CYLINDER);
    return cylinder != NULL && cylinder->rebored;
}

/* What an option fits, costs and lasts, behind a word on why it is named. */
static void advise(te_buffer *lines, const te_options_told *told, const char *why,
                   const te_option *option)
{
    const te_lasting *l = &option->lasting;
    te_notes_next(lines);
    te_buffer_text(lines, why);
    te_put_option(lines, told, option);
    if (option->parts > 0 && !isnan(option->price)) {
        te_buffer_text(lines, ", ");
        te_put_price(lines, told->shop, option->price);
        te_buffer_text(lines, bores(told, option) ? " without the work of boring" : "");
    }
    if (!isnan(l->earliest)) {
        te_buffer_text(lines, "; its first limit is ");
        te_put_quantity(lines, told->shop, l->quantity, l->item);
        te_buffer_text(lines, l->bounded ? ", not before " : ", by the best estimate after ");
        te_put_tenths_down(lines, l->earliest);
        te_buffer_text(lines, " h from here");
    }
}

/* The least that may go back: by price, and by parts where that is another. */
static void advise_least(te_buffer *lines, const te_options_told *told)
{
    const te_options *options = told->options;
    const te_option *first = NULL;
    const te_option *fewest = NULL;
    for (size_t i = 0; i < options->count; i++) {
        const te_option *option = &options->items[i];
        if (te_option_is_good(option)) {
            first = first == NULL ? option : first;
            fewest = fewest == NULL || option->parts < fewest->parts ? option : fewest;
        }
    }
    if (first == NULL) {
        return;
    }
    bool same = fewest == first;
    advise(
        lines, told,
        same ? "The least that may go back: " : "Cheapest by its spares that may go back: ", first);
    if (!same) {
        advise(lines, told, "Fewest parts: ", fewest);
    }
}

static void advise_none(te_buffer *lines, const te_options_told *told)
{
    const te_options *options = told->options;
    te_notes_next(lines);
    if (options->too_many) {
        te_buffer_text(lines, "What to replace was not looked at: spares.csv allows more than ");
        te_put_count(lines, TE_OPTIONS_MOST);
        te_buffer_text(lines, " sets of parts");
        return;
    }
    if (options->rejected_other != 0) {
        te_buffer_text(lines, "No set of parts may go back: ");
        te_buffer_safe(lines, te_shop_text(told->shop, options->rejected_other));
        te_buffer_text(lines, " was rejected, and parts of kind other are not looked at here");
        return;
    }
    te_buffer_text(lines, "None of the ");
    te_put_count(lines, options->looked_at);
    if (isnan(told->wish.hours)) {
        te_buffer_text(lines, " sets of parts may go back as predicted and last any time");
        return;
    }
    te_buffer_text(lines, " sets of parts may go back and is known to last ");
    te_put_number(lines, told->wish.hours, 6);
    te_buffer_text(lines, " h");
}

/* Parts that must not be kept, also where an earlier inspection said so. */
static void advise_rejected(te_buffer *lines, const te_options_told *told)
{
    const te_tables *tables = te_shop_tables(told->shop);
    const te_inspection *inspection = &tables->inspections[told->options->inspection];
    for (int kind = 0; kind < TE_KIND_NONE; kind++) {
        if ((told->options->rejected >> kind & 1U) != 0) {
            te_notes_next(lines);
            te_buffer_text(lines,
                           "Must come off, it was rejected here or at an earlier inspection: ");
            te_put_part(lines, told->shop, (te_kind)kind, inspection->part[kind]);
        }
    }
}

void te_notes_advice(te_buffer *lines, const te_options_told *told)
{
    advise_rejected(lines, told);
    if (told->options->good > 0) {
        advise_least(lines, told);
    } else {
        advise_none(lines, told);
    }
}

/* ---- pieces ---- */

/* Options while they are written. */
struct making {
    te_document *document;
    const te_options_told *told;
    const te_options *options;
    unsigned level; /* of the first heading */
    te_buffer line; /* the text that is being put together */
};

static void cell(struct making *m, te_weight weight)
{
    te_piece_cell(m->document, weight, &m->line);
}

/* What must come off stands first, and is no good news whatever the options are. */
static void put_advice(struct making *m)
{
    te_buffer lines = {0};
    te_slice line;
    size_t bad = m->options->good > 0 ? 0 : SIZE_MAX;
    for (int kind = 0; kind < TE_KIND_NONE && m->options->good > 0; kind++) {
        bad += m->options->rejected >> kind & 1U;
    }
    te_notes_advice(&lines, m->told);
    m->document->failed = m->document->failed || lines.failed;
    for (size_t at = 0, row = 0; te_notes_take(&line, &lines, &at); row++) {
        te_buffer_add(&m->line, line.bytes, line.length);
        te_piece_paragraph(m->document, row < bad ? TE_WEIGHT_BAD : TE_WEIGHT_GOOD, &m->line);
    }
    te_buffer_free(&lines);
}

static void put_wish(struct making *m)
{
    if (!isnan(m->told->wish.hours)) {
        te_buffer_text(&m->line, "Asked for: to last ");
        te_put_number(&m->line, m->told->wish.hours, 6);
        te_buffer_text(&m->line, " h. Sets not known to last so long are left out.");
        te_piece_paragraph(m->document, TE_WEIGHT_PLAIN, &m->line);
    }
}

/* ---- the table ---- */

static void start_table(struct making *m)
{
    te_document_table(m->document,
                      "Hours from this inspection to the first service limit; earliest: with the "
                      "shop's confidence not before. (b): a best estimate without any margin; (m): "
                      "by rates of the model over the shop; (p): some values have no rate. Prices "
                      "of the spares alone.");
    te_document_column(m->document, "Option", "", false);
    te_document_column(m->document, "Fit", "", false);
    te_document_column(m->document, "As predicted", "", false);
    te_document_column(m->document, "Best", "h", true);
    te_document_column(m->document, "Earliest", "h", true);
    te_document_column(m->document, "First limit", "", false);
    te_document_column(m->document, "Price", "", true);
    te_document_column(m->document, "Price/100h", "", true);
}

static void put_hours_cells(struct making *m, const te_lasting *l)
{
    if (!isnan(l->left)) {
        te_put_tenths(&m->line, l->left);
    }
    cell(m, TE_WEIGHT_PLAIN);
    if (!isnan(l->earliest)) {
        te_put_tenths_down(&m->line, l->earliest);
        te_buffer_text(&m->line, l->bounded ? "" : " (b)");
    } else if (l->told == 0) {
        te_buffer_text(&m->line, "not told");
    } else {
        te_buffer_text(&m->line, "none near");
    }
    te_buffer_text(&m->line, l->told > 0 && l->untold > 0 ? " (p)" : "");
    cell(m, TE_WEIGHT_PLAIN);
    if (l->quantity != TE_Q_NONE) {
        te_put_quantity(&m->line, m->told->shop, l->quantity, l->item);
        te_buffer_text(&m->line, l->basis == TE_RATE_MODEL ? " (m)" : "");
    }
    cell(m, TE_WEIGHT_PLAIN);
}

static void put_price_cells(struct making *m, const te_option *option)
{
    const double prices[] = {option->price, option->price_per_100h};
    for (size_t i = 0; i < 2; i++) {
        if (!isnan(prices[i])) {
            te_put_fixed(&m->line, prices[i], 2);
        }
        cell(m, TE_WEIGHT_PLAIN);
    }
}

static void put_option(struct making *m, size_t at)
{
    const te_option *option = &m->options->items[at];
    te_put_count(&m->line, at + 1);
    cell(m, TE_WEIGHT_PLAIN);
    te_put_option(&m->line, m->told, option);
    cell(m, TE_WEIGHT_PLAIN);
    te_put_words(&m->line, te_verdict_name(option->verdict));
    cell(m, te_weight_of_verdict(option->verdict));
    put_hours_cells(m, &option->lasting);
    put_price_cells(m, option);
}

static void put_notes(struct making *m, size_t at, te_assessment *assessment)
{
    const te_option *option = &m->options->items[at];
    te_buffer lines = {0};
    if (te_option_assess(assessment, m->options, m->told->shop, m->told->problems, option) !=
        TE_OK) {
        m->document->failed = true;
        return;
    }
    te_notes_option(&lines, m->told, option, assessment);
    if (lines.length > 0) {
        te_buffer_text(&m->line, "Option ");
        te_put_count(&m->line, at + 1);
        te_buffer_text(&m->line, ": ");
        te_notes_join(&m->line, &lines);
        te_piece_item(m->document, TE_WEIGHT_PLAIN, &m->line);
    }
    m->document->failed = m->document->failed || lines.failed;
    te_buffer_free(&lines);
}

/* The first ones, as many as can be read; CSV and JSON hold them all. */
static void put_options(struct making *m)
{
    enum { SHOWN_MOST = 40 };
    te_assessment assessment = {0};
    size_t count = m->options->count;
    size_t shown = count < SHOWN_MOST ? count : SHOWN_MOST;
    if (count > 0) {
        start_table(m);
    }
    for (size_t i = 0; i < shown; i++) {
        put_option(m, i);
    }
    for (size_t i = 0; i < shown; i++) {
        put_notes(m, i, &assessment);
    }
    if (count > shown) {
        te_put_count(&m->line, count - shown);
        te_buffer_text(&m->line, " more options: topend options with --format csv lists them all");
        te_piece_item(m->document, TE_WEIGHT_WARNING, &m->line);
    }
    te_assessment_free(&assessment);
}

/* ---- what fits ---- */

static const char *words_for(te_fit_answer answer)
{
    static const char *const words[] = {"as new",
                                        "within the service limits",
                                        "TOO TIGHT at its tight end",
                                        "too wide at its loose end",
                                        "no limit to hold it against",
                                        "not known: its size or tolerance is not given"};
    return words[answer];
}

static te_weight weight_of_fit(te_fit_answer answer)
{
    switch (answer) {
    case TE_FIT_AS_NEW:
    case TE_FIT_WITHIN: return TE_WEIGHT_GOOD;
    case TE_FIT_TIGHT:
    case TE_FIT_LOOSE: return TE_WEIGHT_BAD;
    case TE_FIT_NO_LIMIT:
    case TE_FIT_UNKNOWN: break;
    }
    return TE_WEIGHT_WARNING;
}

static void put_limits(struct making *m, const te_limit *limit, bool known)
{
    if (!known) {
        return;
    }
    te_buffer_text(&m->line, " As new ");
    te_put_range(&m->line, limit->new_min, limit->new_max);
    te_buffer_text(&m->line, ", service ");
    te_put_range(&m->line, limit->service_min, limit->service_max);
    te_buffer_text(&m->line, ".");
}

static void start_fits(struct making *m, const char *first, const char *second, const char *third)
{
    te_document_table(m->document, te_piece_text(m->document, &m->line));
    m->line.length = 0;
    te_document_column(m->document, "Spare", "", false);
    if (first != NULL) {
        te_document_column(m->document, first, "", true);
    }
    te_document_column(m->document, second, "", true);
    te_document_column(m->document, third, "", true);
    te_document_column(m->document, "Fit", "", false);
}

static void put_mm_cell(struct making *m, double value)
{
    if (!isnan(value)) {
        te_put_value(&m->line, value, "mm");
    }
    cell(m, TE_WEIGHT_PLAIN);
}

static void put_fit_cells(struct making *m, double least, double most, te_fit_answer answer)
{
    put_mm_cell(m, least);
    put_mm_cell(m, most);
    te_document_cell(m->document, weight_of_fit(answer), words_for(answer));
}

static void put_spare_cell(struct making *m, uint32_t candidate)
{
    te_buffer_safe(&m->line, te_shop_text(m->told->shop, m->options->candidates[candidate].part));
    cell(m, TE_WEIGHT_PLAIN);
}

/* A piston that suits a bore says nothing for the bore. */
static void put_bore_warnings(struct making *m)
{
    const te_assessment *base = &m->options->base;
    const te_verdict *cylinder = te_assessment_part(base, TE_KIND_CYLINDER);
    const te_finding *bore = te_assessment_finding(base, TE_Q_BORE);
    if (cylinder != NULL && cylinder->verdict == TE_DO_NOT_REUSE) {
        te_document_item(m->document, TE_WEIGHT_BAD,
                         "The cylinder itself may not be reused: no piston mends that.");
    }
    if (bore != NULL && bore->places_missing > 0) {
        te_document_item(m->document, TE_WEIGHT_WARNING,
                         "The bore was not gauged at every place of plan.csv: its ends may lie "
                         "further apart.");
    }
}

static void put_pistons(struct making *m)
{
    if (m->options->piston_count == 0) {
        return;
    }
    te_document_heading(m->document, m->level + 1, "Pistons in this bore");
    te_buffer_text(&m->line,
                   "Skirt clearance in mm at the tightest and at the loosest point, at the "
                   "ends of the piston's tolerance.");
    put_limits(m, &m->options->clearance, m->options->has_clearance);
    start_fits(m, NULL, "Tight", "Loose");
    for (size_t i = 0; i < m->options->piston_count; i++) {
        const te_piston_fit *fit = &m->options->pistons[i];
        put_spare_cell(m, fit->candidate);
        put_fit_cells(m, fit->tight, fit->loose, fit->answer);
    }
    put_bore_warnings(m);
}

static void put_rings(struct making *m)
{
    bool ends = false;
    if (m->options->gap_count == 0) {
        return;
    }
    te_document_heading(m->document, m->level + 1, "New rings in this bore");
    te_buffer_text(&m->line, "End gap in mm, at least and at most, where it is measured.");
    start_fits(m, "Ring", "At least", "At most");
    for (size_t i = 0; i < m->options->gap_count; i++) {
        const te_gap_fit *fit = &m->options->gaps[i];
        put_spare_cell(m, fit->candidate);
        te_buffer_safe(&m->line, te_shop_text(m->told->shop, fit->item));
        cell(m, TE_WEIGHT_PLAIN);
        put_fit_cells(m, fit->least, fit->most, fit->answer);
        ends = ends || !fit->at_position;
    }
    if (ends) {
        te_document_item(m->document, TE_WEIGHT_QUIET,
                         "Where the bore was not gauged at the gap's place, its smallest and its "
                         "largest reading are taken.");
    }
    te_document_item(
        m->document, TE_WEIGHT_PLAIN,
        "Too tight is as wrong as too wide: measure every gap in the bore before it is "
        "closed.");
}

static void put_boring(struct making *m)
{
    te_document_heading(m->document, m->level + 1, "Boring");
    te_put_rebore(&m->line, m->told);
    te_piece_paragraph(m->document, TE_WEIGHT_PLAIN, &m->line);
}

/* True when some option or candidate has to do with the cylinder. */
static bool has_cylinder(const struct making *m)
{
    for (size_t i = 0; i < m->options->candidate_count; i++) {
        if (m->options->candidates[i].kind == TE_KIND_CYLINDER) {
            return true;
        }
    }
    return false;
}

void te_piece_options(te_document *document, const te_options_told *told, unsigned level)
{
    struct making m = {
        .document = document, .told = told, .options = told->options, .level = level};
    te_document_heading(document, level, "What to replace");
    put_wish(&m);
    put_advice(&m);
    put_options(&m);
    put_pistons(&m);
    put_rings(&m);
    if (has_cylinder(&m)) {
        put_boring(&m);
    }
    te_document_paragraph(
        document, TE_WEIGHT_QUIET,
        "Predicted from the spares' sizes and the as-new limits, and as if new parts wore as those "
        "before them did: measure what goes in, and assess the engine as built.");
    document->failed = document->failed || m.line.failed;
    te_buffer_free(&m.line);
}

/* ---- a document of its own ---- */

static void put_subject(struct making *m)
{
    const te_tables *tables = te_shop_tables(m->told->shop);
    const te_inspection *i = &tables->inspections[m->options->inspection];
    const te_engine *engine = &tables->engines[i->engine];
    const te_verdict *now = te_assessment_assembly(&m->options->base);
    te_buffer_safe(&m->line, te_shop_text(m->told->shop, engine->id));
    te_buffer_text(&m->line, " (");
    te_buffer_safe(&m->line, te_shop_text(m->told->shop, tables->models[engine->model].id));
    te_buffer_text(&m->line, "), ");
    te_buffer_safe(&m->line, te_shop_text(m->told->shop, i->id));
    te_buffer_text(&m->line, " of ");
    te_put_date(&m->line, i->date);
    te_buffer_text(&m->line, " at ");
    te_put_number(&m->line, i->hours, 9);
    te_buffer_text(&m->line, " h. As it is: ");
    te_put_words(&m->line, te_verdict_name(now->verdict));
    te_piece_paragraph(m->document, te_weight_of_verdict(now->verdict), &m->line);
}

void te_options_document(te_document *document, const te_options_told *told, const char *version)
{
    const te_tables *tables = te_shop_tables(told->shop);
    struct making m = {.document = document, .told = told, .options = told->options};
    te_buffer title = {0};
    const te_inspection *i = &tables->inspections[told->options->inspection];
    te_buffer_text(&title, "Options: ");
    te_buffer_safe(&title, te_shop_text(told->shop, tables->engines[i->engine].id));
    te_buffer_safe(&m.line, te_shop_text(told->shop, i->id));
    te_document_heading(document, 1, te_piece_text(document, &title));
    te_piece_start(document, &title, &m.line, version);
    m.line.length = 0;
    te_piece_no_instrument(document, tables);
    put_subject(&m);
    te_buffer_free(&m.line);
    te_buffer_free(&title);
    te_piece_options(document, told, 2);
    te_piece_cautions(document);
}
