/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Writes the pages that the browser checks open, made through the library's own face: one that holds
 * every kind of block at some length, a sheet to fill in, an index, and one whose texts are hostile.
 * All figures in them are invented.
 *
 *   make_pages FOLDER
 */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "../hostile.h"
#include "topend/document.h"

static bool save(const char *folder, const char *name, const te_buffer *buffer)
{
    char path[4096];
    if (buffer->failed ||
        (size_t)snprintf(path, sizeof path, "%s/%s", folder, name) >= sizeof path) {
        return false;
    }
    FILE *file = fopen(path, "wb");
    if (file == NULL) {
        return false;
    }
    bool written = fwrite(buffer->bytes, 1, buffer->length, file) == buffer->length;
    return fclose(file) == 0 && written;
}

/* The document as NAME.html and NAME.txt; frees it. */
static bool write_both(const char *folder, const char *name, te_document *document)
{
    const te_text_style style = {.width = 80};
    char file[64];
    te_buffer html = {0};
    te_buffer text = {0};
    te_document_html(&html, document);
    te_document_text(&text, document, &style);
    (void)snprintf(file, sizeof file, "%s.html", name);
    bool done = save(folder, file, &html);
    (void)snprintf(file, sizeof file, "%s.txt", name);
    done = save(folder, file, &text) && done;
    te_buffer_free(&html);
    te_buffer_free(&text);
    te_document_free(document);
    return done;
}

/* ---- figures ---- */

enum { STATIONS = 6 };
static const double heights[STATIONS] = {12.0, 20.0, 28.0, 36.0, 48.0, 60.0};

static double bore_at(int station, int direction)
{
    return 66.012 + 0.038 * exp(-0.6 * station) + (direction == 0 ? 0.006 : 0.001);
}

static te_place profile_place(int station, int direction)
{
    return (te_place){70.0 + (bore_at(station, direction) - 66.0) * 5000.0,
                      30.0 + heights[station] * 3.2};
}

static void add_grid(te_drawing *drawing)
{
    char label[32];
    for (int i = 0; i <= 7; i++) {
        double x = 70.0 + i * 50.0;
        te_drawing_line(drawing, TE_TONE_FAINT, TE_STROKE_HAIR, (te_place){x, 30.0},
                        (te_place){x, 240.0});
        (void)snprintf(label, sizeof label, "66.0%d0", i);
        te_drawing_text(drawing, TE_TONE_MUTED, TE_ANCHOR_MIDDLE, (te_place){x, 253.0}, 8.0, label);
    }
    te_drawing_text(drawing, TE_TONE_MUTED, TE_ANCHOR_MIDDLE, (te_place){270.0, 268.0}, 8.0,
                    "bore, mm at 20 °C");
    te_drawing_text(drawing, TE_TONE_MUTED, TE_ANCHOR_MIDDLE, (te_place){18.0, 135.0}, 8.0,
                    "below the deck, mm");
    te_mark *axis = te_drawing_last(drawing);
    if (axis != NULL) {
        axis->upright = true;
    }
}

static void add_direction(te_drawing *drawing, int direction)
{
    static const te_tone tones[] = {TE_TONE_INK, TE_TONE_SECOND};
    static const char *const names[] = {"thrust direction", "pin direction"};
    te_place places[STATIONS];
    char note[80];
    for (int i = 0; i < STATIONS; i++) {
        places[i] = profile_place(i, direction);
    }
    te_drawing_path(drawing, tones[direction], direction == 0 ? TE_STROKE_PLAIN : TE_STROKE_DASHED,
                    places, STATIONS, NULL);
    for (int i = 0; i < STATIONS; i++) {
        (void)snprintf(note, sizeof note, "%s, %g mm below the deck: %.4f mm", names[direction],
                       heights[i], bore_at(i, direction));
        te_drawing_line(drawing, tones[direction], TE_STROKE_PLAIN,
                        (te_place){places[i].x - 15.0, places[i].y},
                        (te_place){places[i].x + 15.0, places[i].y});
        te_drawing_spot(drawing, tones[direction], direction == 0 ? TE_SPOT_DISC : TE_SPOT_RING,
                        places[i], 6.0, note);
    }
    te_place end = profile_place(STATIONS - 1, direction);
    te_drawing_text(drawing, tones[direction], direction == 0 ? TE_ANCHOR_START : TE_ANCHOR_END,
                    (te_place){end.x + (direction == 0 ? 20.0 : -20.0), end.y + 3.0}, 8.5,
                    names[direction]);
}

static void make_profile(te_drawing *drawing)
{
    te_drawing_start(
        drawing, 480.0, 280.0, "Bore over its height",
        "The bore grows towards the deck: 66.056 mm at 12 mm, 66.013 mm at 60 mm below "
        "it. The service limit of 66.060 mm is not reached; the expanded uncertainty "
        "of the highest reading crosses it.");
    add_grid(drawing);
    te_drawing_box(drawing, TE_TONE_LIMIT, TE_FILL_HATCH, TE_STROKE_NONE, (te_place){370.0, 30.0},
                   100.0, 210.0, "past the service limit of 66.060 mm");
    te_drawing_line(drawing, TE_TONE_LIMIT, TE_STROKE_STRONG, (te_place){370.0, 30.0},
                    (te_place){370.0, 240.0});
    te_drawing_text(drawing, TE_TONE_LIMIT, TE_ANCHOR_MIDDLE, (te_place){370.0, 22.0}, 8.5,
                    "service limit 66.060");
    te_drawing_box(drawing, TE_TONE_SECOND, TE_FILL_LIGHT, TE_STROKE_NONE, (te_place){70.0, 30.0},
                   75.0, 210.0, "as new: 66.000 to 66.015 mm");
    te_drawing_text(drawing, TE_TONE_MUTED, TE_ANCHOR_START, (te_place){74.0, 40.0}, 8.0, "as new");
    add_direction(drawing, 0);
    add_direction(drawing, 1);
}

static void make_trend(te_drawing *drawing)
{
    static const te_spot spots[] = {TE_SPOT_RING, TE_SPOT_SQUARE,   TE_SPOT_DISC,
                                    TE_SPOT_DISC, TE_SPOT_TRIANGLE, TE_SPOT_CROSS};
    static const char *const kinds[] = {"assumed",  "run-in",    "measured",
                                        "measured", "projected", "earliest"};
    te_drawing_start(drawing, 480.0, 220.0, "Skirt clearance over hours",
                     "Four points; the line meets the limit of 0.120 mm at 412 h, at the earliest "
                     "at 355 h.");
    te_drawing_box(drawing, TE_TONE_INK, TE_FILL_NONE, TE_STROKE_PLAIN, (te_place){60.0, 20.0},
                   400.0, 160.0, NULL);
    const te_place band[] = {{80, 140}, {400, 40}, {400, 75}, {80, 160}};
    te_drawing_area(drawing, TE_TONE_INK, TE_FILL_LIGHT, TE_STROKE_DOTTED, band, 4, "band, 95 %");
    te_drawing_line(drawing, TE_TONE_LIMIT, TE_STROKE_STRONG, (te_place){60.0, 60.0},
                    (te_place){460.0, 60.0});
    te_drawing_text(drawing, TE_TONE_LIMIT, TE_ANCHOR_END, (te_place){456.0, 56.0}, 8.5,
                    "limit 0.120 mm");
    for (int i = 0; i < 6; i++) {
        te_place at = {80.0 + 60.0 * i, 150.0 - 17.0 * i};
        te_drawing_spot(drawing, i > 3 ? TE_TONE_LIMIT : TE_TONE_INK, spots[i], at, 8.0, kinds[i]);
        te_drawing_text(drawing, TE_TONE_INK, TE_ANCHOR_MIDDLE, (te_place){at.x, at.y + 16.0}, 8.0,
                        kinds[i]);
    }
    te_mark *last = te_drawing_last(drawing);
    if (last != NULL) {
        last->bold = true;
    }
}

/* ---- a report ---- */

static void add_row(te_document *document, size_t count, const char *const *cells, te_weight last)
{
    for (size_t i = 0; i < count; i++) {
        te_document_cell(document, i + 1 == count ? last : TE_WEIGHT_PLAIN, cells[i]);
    }
}

static void add_findings(te_document *document)
{
    static const char *const rows[][8] = {
        {"bore", "C-204", "66.0560", "0.0062", "66.000 to 66.015", "66.060", "0.90", "undecided"},
        {"out of round", "C-204", "0.0050", "0.0028", "up to 0.010", "0.050", "above 0.999",
         "serviceable"},
        {"taper", "C-204", "0.0430", "0.0031", "up to 0.010", "0.050", "above 0.999",
         "serviceable"},
        {"skirt clearance", "C-204 + K-311", "0.1240", "0.0071", "0.050 to 0.070", "0.120", "0.13",
         "beyond the limit"},
        {"ring end gap 1", "R-118", "0.420", "0.029", "0.20 to 0.35", "0.80", "above 0.999",
         "serviceable"},
        {"small-end play", "B-077", "0.0080", "", "", "", "", "no limit"},
    };
    static const te_weight weights[] = {TE_WEIGHT_WARNING, TE_WEIGHT_PLAIN, TE_WEIGHT_GOOD,
                                        TE_WEIGHT_BAD,     TE_WEIGHT_GOOD,  TE_WEIGHT_QUIET};
    te_document_table(document, "Every value against its limits");
    te_document_column(document, "Quantity", "", false);
    te_document_column(document, "Part", "", false);
    te_document_column(document, "Value", "mm", true);
    te_document_column(document, "U, k = 2", "mm", true);
    te_document_column(document, "As new", "mm", true);
    te_document_column(document, "Service limit", "mm", true);
    te_document_column(document, "Probability within", "", true);
    te_document_column(document, "Status", "", false);
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        add_row(document, 8, rows[i], weights[i]);
    }
}

static void add_readings(te_document *document)
{
    static const char *const columns[] = {"Quantity", "Direction", "Instrument", "File and line",
                                          "Note"};
    char text[5][128];
    te_document_table(document, "Readings used");
    te_document_column(document, columns[0], "", false);
    te_document_column(document, "Below the deck", "mm", true);
    te_document_column(document, columns[1], "", false);
    te_document_column(document, "Reading", "mm", true);
    te_document_column(document, columns[3], "", false);
    te_document_column(document, columns[4], "", false);
    for (int i = 0; i < 70; i++) {
        (void)snprintf(text[0], sizeof text[0], "%g", heights[i % STATIONS]);
        (void)snprintf(text[1], sizeof text[1], "%.4f", bore_at(i % STATIONS, i & 1));
        (void)snprintf(text[2], sizeof text[2], "readings/2026-04-18.csv:%d", i + 2);
        te_document_cell(document, TE_WEIGHT_PLAIN, "bore");
        te_document_cell(document, TE_WEIGHT_PLAIN, text[0]);
        te_document_cell(document, TE_WEIGHT_PLAIN, i & 1 ? "pin" : "thrust");
        te_document_cell(document, TE_WEIGHT_PLAIN, text[1]);
        te_document_cell(document, TE_WEIGHT_PLAIN, text[2]);
        te_document_cell(document, TE_WEIGHT_QUIET,
                         i % 9 == 4
                             ? "gauge set anew between this reading and the one before, after "
                               "the shop door had stood open for a while"
                             : "");
    }
}

static void add_summary(te_document *document)
{
    static const char *const parts[][3] = {
        {"cylinder C-204", "212.5", "cannot be told"},
        {"piston K-311", "212.5", "do not reuse"},
        {"ring set R-118", "212.5", "reuse"},
    };
    te_document_verdict(document, TE_WEIGHT_BAD, "Do not reuse as it is",
                        "Pump set 7 (Alder 66), inspection 2026-04 of 2026-04-18, as found at "
                        "212.5 h");
    te_document_paragraph(document, TE_WEIGHT_PLAIN,
                          "All figures of this page are invented. The skirt clearance is past its "
                          "service limit, and the bore cannot be told from its limit.");
    te_document_item(document, TE_WEIGHT_BAD,
                     "Skirt clearance 0.124 mm is beyond the service limit of 0.120 mm.");
    te_document_item(document, TE_WEIGHT_WARNING,
                     "Bore 66.056 mm: the limit of 66.060 mm lies within the uncertainty.");
    te_document_item(document, TE_WEIGHT_PLAIN, "All other values are within their limits.");
    te_document_table(document, "Parts");
    te_document_column(document, "Part", "", false);
    te_document_column(document, "Own hours", "h", true);
    te_document_column(document, "Verdict", "", false);
    add_row(document, 3, parts[0], TE_WEIGHT_WARNING);
    add_row(document, 3, parts[1], TE_WEIGHT_BAD);
    add_row(document, 3, parts[2], TE_WEIGHT_GOOD);
}

static bool make_report(const char *folder)
{
    te_document document = {0};
    te_drawing drawing = {0};
    te_document_start(&document, "Inspection report: pump set 7", "Invented figures",
                      "topend test");
    te_document_heading(&document, 1, "Inspection report: pump set 7");
    add_summary(&document);
    te_document_heading(&document, 2, "Findings");
    add_findings(&document);
    te_document_heading(&document, 3, "The bore");
    make_profile(&drawing);
    te_document_figure(&document, &drawing,
                       "Readings with their expanded uncertainty (k = 2) by direction.");
    make_trend(&drawing);
    te_document_figure(&document, &drawing, "The line, its one-sided 95 % band and the limit.");
    te_document_heading(&document, 2, "Cautions");
    te_document_paragraph(&document, TE_WEIGHT_WARNING,
                          "Sizes do not show cracks, loose plating, fatigue or a tired bearing.");
    te_document_paragraph(&document, TE_WEIGHT_BAD, "An undecided value is not a pass.");
    te_document_paragraph(&document, TE_WEIGHT_GOOD, "All instruments are within calibration.");
    te_document_paragraph(&document, TE_WEIGHT_STRONG, "When in doubt, replace.");
    te_document_paragraph(&document, TE_WEIGHT_QUIET, "Rule guarded, confidence 0.95.");
    te_document_signature(&document, "Measured by, date");
    te_document_signature(&document, "Checked by, date");
    te_document_page(&document);
    te_document_heading(&document, 2, "Annex: readings");
    add_readings(&document);
    return write_both(folder, "report", &document);
}

/* ---- a sheet and an index ---- */

static bool make_sheet(const char *folder)
{
    te_document document = {0};
    char place[32];
    te_document_start(&document, "Measuring sheet: pump set 7", "", "topend test");
    te_document_heading(&document, 1, "Measuring sheet: pump set 7");
    te_document_paragraph(&document, TE_WEIGHT_PLAIN, "In this order. All figures are invented.");
    te_document_table(&document, "Bore");
    te_document_boxes(&document);
    te_document_column(&document, "Where", "", false);
    te_document_column(&document, "Instrument", "", false);
    te_document_column(&document, "Last time", "mm", true);
    te_document_column(&document, "Limit", "mm", true);
    te_document_column(&document, "First reading", "mm", true);
    te_document_column(&document, "Second reading", "mm", true);
    for (int i = 0; i < 2 * STATIONS; i++) {
        (void)snprintf(place, sizeof place, "%g mm, %s", heights[i / 2], i & 1 ? "pin" : "thrust");
        te_document_cell(&document, TE_WEIGHT_PLAIN, place);
        te_document_cell(&document, TE_WEIGHT_PLAIN, "bore gauge BG-2");
        te_document_cell(&document, TE_WEIGHT_QUIET, "66.0510");
        te_document_cell(&document, TE_WEIGHT_QUIET, "66.060");
        te_document_cell(&document, TE_WEIGHT_PLAIN, "");
        te_document_cell(&document, TE_WEIGHT_PLAIN, "");
    }
    te_document_signature(&document, "Measured by, date");
    return write_both(folder, "sheet", &document);
}

static bool make_index(const char *folder)
{
    te_document document = {0};
    te_document_start(&document, "All engines", "", "topend test");
    te_document_heading(&document, 1, "All engines");
    te_document_verdict(&document, TE_WEIGHT_WARNING, "2 of 3 engines need a decision",
                        "Valley fire brigade; all figures are invented");
    te_document_heading(&document, 2, "Reports");
    te_document_link(&document, TE_WEIGHT_BAD, "Pump set 7: do not reuse", "report.html");
    te_document_link(&document, TE_WEIGHT_WARNING, "Pump set 8: cannot be told", "sheet.html");
    te_document_link(&document, TE_WEIGHT_GOOD, "Pump set 9: reuse", "pump set 9.html");
    te_document_verdict(&document, TE_WEIGHT_GOOD, "Reuse", "Pump set 9");
    return write_both(folder, "index", &document);
}

/* ---- hostile texts ---- */

static void add_hostile(te_document *document, const char *text)
{
    te_drawing drawing = {0};
    te_drawing_start(&drawing, 120.0, 40.0, text, text);
    te_drawing_text(&drawing, TE_TONE_INK, TE_ANCHOR_START, (te_place){4.0, 20.0}, 8.0, text);
    te_drawing_spot(&drawing, TE_TONE_INK, TE_SPOT_DISC, (te_place){10.0, 30.0}, 6.0, text);
    te_document_heading(document, 2, text);
    te_document_verdict(document, TE_WEIGHT_BAD, text, text);
    te_document_paragraph(document, TE_WEIGHT_PLAIN, text);
    te_document_item(document, TE_WEIGHT_WARNING, text);
    te_document_link(document, TE_WEIGHT_PLAIN, text, text);
    te_document_table(document, text);
    te_document_column(document, text, text, false);
    te_document_column(document, "Value", text, true);
    te_document_column(document, text, "", false);
    te_document_column(document, "", "", false);
    for (int i = 0; i < 8; i++) {
        te_document_cell(document, TE_WEIGHT_PLAIN, text);
    }
    te_document_figure(document, &drawing, text);
    te_document_signature(document, text);
}

static bool make_hostile(const char *folder)
{
    te_document document = {0};
    te_document_start(&document, hostile_texts[0], hostile_texts[1], hostile_texts[2]);
    te_document_heading(&document, 1, hostile_texts[0]);
    for (size_t i = 0; i < HOSTILE_COUNT; i++) {
        add_hostile(&document, hostile_texts[i]);
    }
    return write_both(folder, "hostile", &document);
}

static bool make_long(const char *folder)
{
    enum { LENGTH = 100000 };
    te_document document = {0};
    char *word = malloc(LENGTH + 1);
    if (word == NULL) {
        return false;
    }
    memset(word, 'W', LENGTH);
    word[LENGTH] = '\0';
    te_document_start(&document, "Long texts", word, word);
    te_document_heading(&document, 1, "Long texts");
    te_document_paragraph(&document, TE_WEIGHT_PLAIN, word);
    te_document_table(&document, "A cell of 100,000 letters");
    te_document_column(&document, "Name", "", false);
    te_document_column(&document, "Value", "mm", true);
    te_document_cell(&document, TE_WEIGHT_PLAIN, "long");
    te_document_cell(&document, TE_WEIGHT_PLAIN, word);
    te_document_link(&document, TE_WEIGHT_PLAIN, "a long target", word);
    free(word);
    return write_both(folder, "long", &document);
}

int main(int argc, char **argv)
{
    if (argc != 2) {
        (void)fputs("usage: make_pages FOLDER\n", stderr);
        return 2;
    }
    bool done = make_report(argv[1]) && make_sheet(argv[1]) && make_index(argv[1]) &&
                make_hostile(argv[1]) && make_long(argv[1]);
    if (!done) {
        (void)fputs("make_pages: a page could not be made or written\n", stderr);
    }
    return done ? 0 : 1;
}
