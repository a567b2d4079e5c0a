/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What reports, the page that lists them and measuring sheets have in common. */
#ifndef TOPEND_REPORT_PIECES_H
#define TOPEND_REPORT_PIECES_H

#include "put.h"
#include "topend/document.h"

/* A text that was put together; one that failed makes the document fail. */
const char *te_piece_text(te_document *document, const te_buffer *line);

/* Add a text that was put together as a cell, a paragraph or an entry of a list, and empty it. */
void te_piece_cell(te_document *document, te_weight weight, te_buffer *line);
void te_piece_paragraph(te_document *document, te_weight weight, te_buffer *line);
void te_piece_item(te_document *document, te_weight weight, te_buffer *line);

/* How a verdict is meant. */
te_weight te_weight_of_verdict(te_verdict_value verdict);

/* The words of the metadata; the program is their producer. */
void te_piece_start(te_document *document, const te_buffer *title, const te_buffer *subject,
                    const char *version);

/* That values are judged without instruments, where it is so. */
void te_piece_no_instrument(te_document *document, const te_tables *tables);

/* The cautions under their heading. */
void te_piece_cautions(te_document *document);

#endif
