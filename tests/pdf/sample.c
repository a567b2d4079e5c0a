/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "sample.h"

#include <stdio.h>

void sample_start(te_document *document, const char *title)
{
    te_document_start(document, title, "Top end of pump set PS-03, invented", "topend 0.0");
    document->has_time = true;
    document->time = 1776500000;
    te_document_heading(document, 1, title);
}

/* ---- figures ---- */

static void draw_areas(te_drawing *drawing)
{
    for (unsigned tone = TE_TONE_INK; tone <= TE_TONE_PAPER; tone++) {
        for (unsigned fill = TE_FILL_NONE; fill <= TE_FILL_HATCH; fill++) {
            te_place corner = {20.0 + 70.0 * tone, 20.0 + 24.0 * fill};
            te_drawing_box(drawing, (te_tone)tone, (te_fill)fill, (te_stroke)(tone % 6), corner,
                           60.0, 20.0, "an area");
        }
    }
}

static void draw_lines(te_drawing *drawing)
{
    for (unsigned stroke = TE_STROKE_NONE; stroke <= TE_STROKE_DOTTED; stroke++) {
        double y = 130.0 + 8.0 * stroke;
        te_drawing_line(drawing, TE_TONE_INK, (te_stroke)stroke, (te_place){20.0, y},
                        (te_place){460.0, y});
    }
}

void sample_drawing(te_drawing *drawing)
{
    te_drawing_start(drawing, 480.0, 220.0, "All marks", "Every kind of mark, invented.");
    draw_areas(drawing);
    draw_lines(drawing);
    for (unsigned spot = TE_SPOT_DISC; spot <= TE_SPOT_CROSS; spot++) {
        te_drawing_spot(drawing, TE_TONE_SECOND, (te_spot)spot,
                        (te_place){40.0 + 40.0 * spot, 185.0}, 8.0, "a point");
    }
    te_drawing_text(drawing, TE_TONE_INK, TE_ANCHOR_START, (te_place){20.0, 210.0}, 9.0,
                    "drawn at the start");
    te_drawing_text(drawing, TE_TONE_LIMIT, TE_ANCHOR_MIDDLE, (te_place){240.0, 210.0}, 9.0,
                    "drawn in the middle");
    te_drawing_text(drawing, TE_TONE_MUTED, TE_ANCHOR_END, (te_place){460.0, 210.0}, 9.0,
                    "drawn at the end");
    te_drawing_text(drawing, TE_TONE_INK, TE_ANCHOR_MIDDLE, (te_place){10.0, 110.0}, 9.0,
                    "drawn_upright");
    te_mark *last = te_drawing_last(drawing);
    if (last != NULL) {
        last->upright = true;
        last->bold = true;
    }
}

/* ---- tables ---- */

static void add_findings(te_document *document)
{
    static const char *const cells[][4] = {
        {"bore", "66.0820", "66.1340", "beyond"},
        {"skirt", "65.9110", "65.9110", "undecided"},
        {"end_gap 1", "0.6750", "0.6750", "serviceable"},
    };
    static const te_weight weights[] = {TE_WEIGHT_BAD, TE_WEIGHT_WARNING, TE_WEIGHT_GOOD};
    te_document_heading(document, 2, "Findings");
    te_document_table(document, "Lengths at 20 °C.");
    te_document_column(document, "Quantity", "", false);
    te_document_column(document, "Low", "mm", true);
    te_document_column(document, "High", "mm", true);
    te_document_column(document, "Status", "", false);
    for (size_t row = 0; row < 3; row++) {
        for (size_t i = 0; i < 4; i++) {
            te_document_cell(document, i == 3 ? weights[row] : TE_WEIGHT_PLAIN, cells[row][i]);
        }
    }
}

static void add_boxes(te_document *document)
{
    te_document_heading(document, 3, "To be filled in");
    te_document_table(document, "");
    te_document_column(document, "Feature", "", false);
    te_document_column(document, "Reading", "mm", true);
    te_document_boxes(document);
    te_document_cell(document, TE_WEIGHT_PLAIN, "bore at 10 mm");
    te_document_cell(document, TE_WEIGHT_PLAIN, "");
    te_document_cell(document, TE_WEIGHT_PLAIN, "bore at 28 mm");
    te_document_cell(document, TE_WEIGHT_PLAIN, "");
}

/* ---- the whole ---- */

static void add_texts(te_document *document)
{
    te_document_paragraph(document, TE_WEIGHT_PLAIN, "A plain paragraph: µ ± ° é ß Ω Ж.");
    te_document_paragraph(document, TE_WEIGHT_STRONG, "A strong paragraph.");
    te_document_paragraph(document, TE_WEIGHT_QUIET, "A quiet paragraph.");
    te_document_item(document, TE_WEIGHT_GOOD, "A good entry.");
    te_document_item(document, TE_WEIGHT_WARNING, "An entry that warns.");
    te_document_item(document, TE_WEIGHT_BAD, "A bad entry.");
    te_document_link(document, TE_WEIGHT_PLAIN, "Another report", "PS-01.html");
}

void sample_document(te_document *document)
{
    te_drawing drawing = {0};
    sample_start(document, "Inspection of PS-03");
    te_document_verdict(document, TE_WEIGHT_BAD, "Do not reuse", "The assembly at 402.5 h");
    te_document_verdict(document, TE_WEIGHT_WARNING, "Measure again", "Piston K1");
    te_document_verdict(document, TE_WEIGHT_GOOD, "Reuse", "Pin P1");
    add_texts(document);
    add_findings(document);
    te_document_page(document);
    te_document_heading(document, 2, "Figures");
    sample_drawing(&drawing);
    te_document_figure(document, &drawing, "Every kind of mark.");
    add_boxes(document);
    te_document_signature(document, "Measured by");
    te_document_signature(document, "Checked by");
    te_document_signature(document, "Owner");
}
