/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Finds the PDF writer, which is loaded only when a PDF is asked for. */
#ifndef TOPEND_CLI_PDF_MODULE_H
#define TOPEND_CLI_PDF_MODULE_H

#include <stdbool.h>

#include "topend/pdf.h"

/* Writes a document as PDF. False after a message. */
bool pdf_write(te_buffer *out, const te_document *document, te_pdf_paper paper);

#endif
