/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the parts of the text writer share. */
#ifndef TOPEND_REPORT_DOCUMENT_TEXT_H
#define TOPEND_REPORT_DOCUMENT_TEXT_H

#include "put.h"
#include "topend/document.h"

/* How a weight is coloured on a terminal. */
enum te_colour te_document_colour(te_weight weight);

/* One table, laid out within the style's width. */
void te_document_text_table(te_buffer *buffer, const te_document *document, const te_table *table,
                            const te_text_style *style);

#endif
