/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The measuring sheet to print and write on. */
#include <math.h>
#include <string.h>

#include "pieces.h"
#include "sheet_parts.h"

/* What stands in a box that is not to be filled in. */
static const char not_needed[] = "–";

/* A sheet while it is made. */
struct making {
    te_document *document;
    const te_sheet *sheet;
    const te_shop *shop;
    const te_tables *tables;
    const te_engine *engine;
    struct sheet_needs needs;
    unsigned boxes;  /* for readings, in a row */
    uint32_t latest; /* of the inspections that last values are from; TE_NO_INDEX: none */
    te_buffer line;  /* the text that is being put together */
};

static void end_cell(struct making *m, te_weight weight)
{
    te_piece_cell(m->document, weight, &m->line);
}

static void put_cell(struct making *m, const char *text)
{
    te_document_cell(m->document, TE_WEIGHT_PLAIN, text);
}

static void end_paragraph(struct making *m, te_weight weight)
{
    te_piece_paragraph(m->document, weight, &m->line);
}

/* ---- head ---- */

static void start(struct making *m, const char *version)
{
    te_buffer title = {0};
    te_buffer_text(&title, "Measuring sheet: ");
    te_buffer_safe(&title, te_shop_text(m->shop, m->engine->id));
    te_buffer_text(&m->line, "Inspection ");
    te_buffer_safe(&m->line, m->sheet->inspection);
    te_piece_start(m->document, &title, &m->line, version);
    te_document_heading(m->document, 1, title.failed ? "" : title.bytes);
    m->line.length = 0;
    te_buffer_free(&title);
}

static void say(struct making *m, const char *before, te_id text)
{
    if (text != 0) {
        te_buffer_text(&m->line, m->line.length > 0 ? ". " : "");
        te_buffer_text(&m->line, before);
        te_buffer_safe(&m->line, te_shop_text(m->shop, text));
    }
}

static void put_subject(struct making *m)
{
    say(m, "", m->tables->name);
    say(m, "Engine ", m->engine->id);
    say(m, "Model ", m->engine->model == TE_NO_INDEX ? 0 : m->tables->models[m->engine->model].id);
    say(m, "Note: ", m->engine->note);
    end_paragraph(m, TE_WEIGHT_PLAIN);
    te_buffer_text(&m->line, "Inspection ");
    te_buffer_safe(&m->line, m->sheet->inspection);
    end_paragraph(m, TE_WEIGHT_STRONG);
}

static void put_blanks(struct making *m)
{
    static const char *const names[] = {
        "Date", "Engine hours", "Found or built", "Temperature, °C", "Known to, K", "Measured by"};
    te_document_table(m->document, "");
    for (size_t i = 0; i < sizeof names / sizeof *names; i++) {
        te_document_column(m->document, names[i], "", false);
    }
    for (size_t i = 0; i < sizeof names / sizeof *names; i++) {
        put_cell(m, "");
    }
    te_document_boxes(m->document);
}

/* ---- parts ---- */

static void put_part(struct making *m, te_kind kind)
{
    const te_sheet_part *part = &m->sheet->parts[kind];
    switch (part->on) {
    case TE_SHEET_ON_NONE: te_buffer_text(&m->line, "none by parts.csv"); break;
    case TE_SHEET_ON_ORIGINAL: te_buffer_text(&m->line, "the original, if never changed"); break;
    case TE_SHEET_ON_NAMED:
        te_buffer_safe(&m->line, te_shop_text(m->shop, part->part));
        if (part->oversize > 0.0) {
            te_buffer_text(&m->line, ", oversize ");
            te_put_number(&m->line, part->oversize, 6);
        }
        break;
    }
}

/* True when the sheet or parts.csv has to do with the kind. */
static bool concerns(const struct making *m, te_kind kind)
{
    if (m->sheet->parts[kind].on != TE_SHEET_ON_ORIGINAL) {
        return true;
    }
    for (size_t i = 0; i < m->sheet->place_count; i++) {
        const te_quantity_info *info = te_quantity_info_of(m->sheet->places[i].feature);
        if (info->kind == kind || info->second_kind == kind) {
            return true;
        }
    }
    return false;
}

static void put_parts(struct making *m)
{
    te_document_heading(m->document, 2, "Parts");
    te_document_table(m->document,
                      "Where another part is measured, write its name: parts.csv needs "
                      "a row for it.");
    te_document_column(m->document, "Kind", "", false);
    te_document_column(m->document, "On the engine now", "", false);
    te_document_column(m->document, "Another: its name", "", false);
    for (int kind = 0; kind < TE_KIND_OTHER; kind++) {
        if (concerns(m, (te_kind)kind)) {
            te_put_words(&m->line, te_kind_name((te_kind)kind));
            end_cell(m, TE_WEIGHT_PLAIN);
            put_part(m, (te_kind)kind);
            end_cell(m, TE_WEIGHT_PLAIN);
            put_cell(m, "");
        }
    }
    te_document_boxes(m->document);
}

/* ---- places ---- */

/* A length in the row's unit, to about a tenth of a micrometre; another value as it is. */
static double in_unit(const te_sheet_place *place, double value)
{
    static const double steps[] = {1e4, 10.0, 1e5, 1e2}; /* in a unit: mm, um, in, thou */
    if (place->unit == TE_UNIT_OWN) {
        return value;
    }
    double step = steps[place->unit];
    return round(value / te_unit_to_mm(1.0, place->unit) * step) / step;
}

static void put_direction(struct making *m, double direction)
{
    const double alike = 0.001; /* degrees within which readings are of one direction */
    if (fabs(direction) <= alike) {
        te_buffer_text(&m->line, "thrust");
    } else if (fabs(direction - 90.0) <= alike) {
        te_buffer_text(&m->line, "pin");
    } else {
        te_put_number(&m->line, direction, 6);
        te_buffer_text(&m->line, "°");
    }
}

static void put_what(struct making *m, const te_sheet_place *place)
{
    te_put_quantity(&m->line, m->shop, place->feature, place->item);
    if (!isnan(place->position)) {
        bool inch = te_unit_is_inch(place->unit);
        te_buffer_text(&m->line, " at ");
        te_put_number(&m->line, te_sheet_beside(place, place->position), inch ? 4 : 6);
        te_buffer_text(&m->line, inch ? " in" : " mm");
    }
    if (!isnan(place->direction)) {
        te_buffer_text(&m->line, ", ");
        put_direction(m, place->direction);
    }
    if (place->part != 0) {
        te_buffer_text(&m->line, ", part ");
        te_buffer_safe(&m->line, te_shop_text(m->shop, place->part));
    }
    end_cell(m, TE_WEIGHT_PLAIN);
}

static void put_gauge(struct making *m, const te_sheet_place *place)
{
    const char *unit = te_sheet_unit(place, m->shop);
    te_buffer_safe(&m->line, te_shop_text(m->shop, place->instrument));
    if (*unit != '\0') {
        te_buffer_text(&m->line, place->instrument == 0 ? "(" : " (");
        te_buffer_safe(&m->line, unit);
        te_buffer_text(&m->line, ")");
    }
    end_cell(m, TE_WEIGHT_PLAIN);
}

static void put_last(struct making *m, const te_sheet_place *place)
{
    if (place->last == TE_NO_INDEX) {
        te_document_cell(m->document, TE_WEIGHT_QUIET, "none");
        return;
    }
    if (place->unit == TE_UNIT_MM) {
        te_put_value(&m->line, place->last_value, "mm");
    } else {
        te_put_number(&m->line, in_unit(place, place->last_value), 7);
    }
    if (place->last != m->latest) {
        te_buffer_text(&m->line, " on ");
        te_put_date(&m->line, m->tables->inspections[place->last].date);
    }
    te_buffer_text(&m->line, place->last_on_now ? "" : ", another part");
    end_cell(m, TE_WEIGHT_PLAIN);
}

/* In words, so that a line may be broken between the two: the boxes need the room. */
static void put_limits(struct making *m, const te_sheet_place *place, double least, double most)
{
    const int digits = 7;
    if (!place->has_limit || (isnan(least) && isnan(most))) {
        te_document_cell(m->document, TE_WEIGHT_QUIET, "none");
        return;
    }
    te_buffer_text(&m->line, isnan(most) ? "min " : isnan(least) ? "max " : "");
    if (!isnan(least)) {
        te_put_number(&m->line, in_unit(place, least), digits);
    }
    te_buffer_text(&m->line, isnan(least) || isnan(most) ? "" : " to ");
    if (!isnan(most)) {
        te_put_number(&m->line, in_unit(place, most), digits);
    }
    end_cell(m, TE_WEIGHT_PLAIN);
}

static void put_box(struct making *m, bool needed)
{
    te_document_cell(m->document, TE_WEIGHT_QUIET, needed ? "" : not_needed);
}

/* Boxes for readings in a row of the table: as many as leave each one wide enough to write in. */
static unsigned boxes_of(const struct sheet_needs *needs)
{
    unsigned room = TE_SHEET_REPEATS - (unsigned)needs->zero - (unsigned)needs->no_go;
    return needs->repeats < room ? needs->repeats : room;
}

static void put_read_boxes(struct making *m, const te_sheet_place *place, unsigned from)
{
    for (unsigned i = 0; i < m->boxes; i++) {
        put_box(m, from + i < place->repeats);
    }
}

static void put_row(struct making *m, const te_sheet_place *place, size_t number)
{
    te_put_count(&m->line, number);
    end_cell(m, TE_WEIGHT_PLAIN);
    put_what(m, place);
    put_gauge(m, place);
    put_last(m, place);
    put_limits(m, place, place->limit.new_min, place->limit.new_max);
    put_limits(m, place, place->limit.service_min, place->limit.service_max);
    if (m->needs.zero) {
        put_box(m, place->zero);
    }
    put_read_boxes(m, place, 0);
    if (m->needs.no_go) {
        put_box(m, place->no_go);
    }
}

/* Readings of a place for which its row has no boxes left. */
static void put_more(struct making *m, const te_sheet_place *place, size_t number, unsigned from)
{
    unsigned to = from + m->boxes < place->repeats ? from + m->boxes : place->repeats;
    te_put_count(&m->line, number);
    end_cell(m, TE_WEIGHT_PLAIN);
    te_buffer_text(&m->line, to == from + 1 ? "its reading " : "its readings ");
    te_put_count(&m->line, from + 1);
    if (to > from + 1) {
        te_buffer_text(&m->line, " to ");
        te_put_count(&m->line, to);
    }
    end_cell(m, TE_WEIGHT_PLAIN);
    for (int i = 0; i < 4; i++) { /* gauge, last time, limits: as above */
        put_box(m, false);
    }
    if (m->needs.zero) {
        put_box(m, false);
    }
    put_read_boxes(m, place, from);
    if (m->needs.no_go) {
        put_box(m, false);
    }
}

/* The latest of the inspections that last values are from. */
static uint32_t latest_of(const struct making *m)
{
    for (uint32_t i = m->engine->inspection_count; i > 0; i--) {
        uint32_t at = m->tables->by_engine[m->engine->first_inspection + i - 1];
        for (size_t j = 0; j < m->sheet->place_count; j++) {
            if (m->sheet->places[j].last == at) {
                return at;
            }
        }
    }
    return TE_NO_INDEX;
}

static void explain_columns(struct making *m)
{
    te_buffer_text(&m->line, "Lengths in mm, or in the unit that stands with the gauge.");
    if (m->latest != TE_NO_INDEX) {
        te_buffer_text(&m->line, " Last time: at 20 °C, in ");
        te_buffer_safe(&m->line, te_shop_text(m->shop, m->tables->inspections[m->latest].id));
        te_buffer_text(&m->line, " of ");
        te_put_date(&m->line, m->tables->inspections[m->latest].date);
        te_buffer_text(&m->line, " where no other day is named.");
    }
    te_buffer_text(&m->line,
                   " Limits: of each reading, with the oversize of the part on the engine "
                   "now.");
    if (m->needs.zero) {
        te_buffer_text(&m->line,
                       " Set to: the size the gauge was set to; what it then shows is the "
                       "reading.");
    }
    if (m->needs.no_go) {
        te_buffer_text(&m->line, " Leaves and plugs: the largest that goes in is the reading, the "
                                 "smallest that does not is the no-go.");
    }
    end_paragraph(m, TE_WEIGHT_QUIET);
}

static void start_places(struct making *m)
{
    te_document_table(m->document, "");
    te_document_column(m->document, "No", "", true);
    te_document_column(m->document, "What and where", "", false);
    te_document_column(m->document, "Gauge", "", false);
    te_document_column(m->document, "Last time", "", true);
    te_document_column(m->document, "As new", "", false);
    te_document_column(m->document, "Service", "", false);
    if (m->needs.zero) {
        te_document_column(m->document, "Set to", "", false);
    }
    for (unsigned i = 0; i < m->boxes; i++) {
        te_buffer_text(&m->line, m->boxes > 1 ? "Read " : "Reading");
        if (m->boxes > 1) {
            te_put_count(&m->line, i + 1);
        }
        te_document_column(m->document, te_piece_text(m->document, &m->line), "", false);
        m->line.length = 0;
    }
    if (m->needs.no_go) {
        te_document_column(m->document, "No-go", "", false);
    }
}

static void put_places(struct making *m)
{
    te_document_page(m->document);
    te_document_heading(m->document, 2, "What to measure, in this order");
    explain_columns(m);
    start_places(m);
    for (size_t i = 0; i < m->sheet->place_count; i++) {
        const te_sheet_place *place = &m->sheet->places[i];
        put_row(m, place, i + 1);
        for (unsigned from = m->boxes; from < place->repeats; from += m->boxes) {
            put_more(m, place, i + 1, from);
        }
    }
    te_document_boxes(m->document);
    te_document_paragraph(m->document, TE_WEIGHT_PLAIN,
                          "A place that cannot be measured: delete its row in the file and write "
                          "why below. Nothing passes that was not measured.");
}

static void put_sketch(struct making *m)
{
    te_drawing drawing = {0};
    if (te_sheet_sketch(&drawing, m->sheet, m->shop) || drawing.failed) {
        te_document_figure(m->document, &drawing,
                           "Heights and directions of the places in the table");
    }
    te_drawing_free(&drawing);
}

/* ---- what the eye finds ---- */

static void put_condition(struct making *m)
{
    enum { SPARE_ROWS = 2 };
    te_document_heading(m->document, 2, "What the eye finds");
    te_document_table(m->document,
                      "Cracks, scores, marks of seizure, loose plating, blue or pitted "
                      "surfaces, stuck rings. Tick one: reject takes the part out.");
    te_document_column(m->document, "Part", "", false);
    te_document_column(m->document, "Finding: what is seen, and where on the part", "", false);
    te_document_column(m->document, "Note", "", false);
    te_document_column(m->document, "Watch", "", false);
    te_document_column(m->document, "Reject", "", false);
    for (int kind = 0; kind < TE_KIND_OTHER + SPARE_ROWS; kind++) {
        if (kind < TE_KIND_OTHER && !concerns(m, (te_kind)kind)) {
            continue;
        }
        if (kind < TE_KIND_OTHER) {
            te_put_words(&m->line, te_kind_name((te_kind)kind));
        }
        end_cell(m, TE_WEIGHT_PLAIN);
        for (int column = 1; column < 5; column++) {
            put_cell(m, "");
        }
    }
    te_document_boxes(m->document);
}

void te_sheet_document(te_document *document, const te_sheet *sheet, const te_shop *shop,
                       const char *version)
{
    struct making m = {.document = document,
                       .sheet = sheet,
                       .shop = shop,
                       .tables = te_shop_tables(shop),
                       .needs = te_sheet_needs(sheet)};
    m.engine = &m.tables->engines[sheet->engine];
    m.boxes = boxes_of(&m.needs);
    m.latest = latest_of(&m);
    start(&m, version);
    put_subject(&m);
    put_blanks(&m);
    put_parts(&m);
    put_sketch(&m);
    put_places(&m);
    put_condition(&m);
    te_piece_cautions(document);
    te_document_heading(m.document, 2, "Signature");
    te_document_signature(m.document, "Measured by, date");
    document->failed = document->failed || m.line.failed;
    te_buffer_free(&m.line);
}
