/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "pieces.h"

#include "notes.h"

const char *te_piece_text(te_document *document, const te_buffer *line)
{
    document->failed = document->failed || line->failed;
    return line->length == 0 ? "" : line->bytes;
}

void te_piece_cell(te_document *document, te_weight weight, te_buffer *line)
{
    te_document_cell(document, weight, te_piece_text(document, line));
    line->length = 0;
}

void te_piece_paragraph(te_document *document, te_weight weight, te_buffer *line)
{
    te_document_paragraph(document, weight, te_piece_text(document, line));
    line->length = 0;
}

void te_piece_item(te_document *document, te_weight weight, te_buffer *line)
{
    te_document_item(document, weight, te_piece_text(document, line));
    line->length = 0;
}

te_weight te_weight_of_verdict(te_verdict_value verdict)
{
    return verdict == TE_DO_NOT_REUSE ? TE_WEIGHT_BAD
           : verdict == TE_REUSE      ? TE_WEIGHT_GOOD
                                      : TE_WEIGHT_WARNING;
}

void te_piece_start(te_document *document, const te_buffer *title, const te_buffer *subject,
                    const char *version)
{
    te_buffer producer = {0};
    te_buffer_text(&producer, "topend ");
    te_buffer_safe(&producer, version);
    te_document_start(document, te_piece_text(document, title), te_piece_text(document, subject),
                      te_piece_text(document, &producer));
    te_buffer_free(&producer);
}

void te_piece_no_instrument(te_document *document, const te_tables *tables)
{
    if (tables->simple_for_lack) {
        te_document_paragraph(document, TE_WEIGHT_STRONG,
                              "No instrument is declared: values are compared with the limits as "
                              "they are, whatever their uncertainty.");
    }
}

void te_piece_cautions(te_document *document)
{
    te_document_heading(document, 2, "Cautions");
    for (size_t i = 0; te_caution(i) != NULL; i++) {
        te_document_item(document, TE_WEIGHT_PLAIN, te_caution(i));
    }
}
