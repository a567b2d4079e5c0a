/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Documents for the tests of the PDF writer. Their figures are invented. */
#ifndef TE_PDF_SAMPLE_H
#define TE_PDF_SAMPLE_H

#include "topend/document.h"

/* Begins a document with a title of level 1; its time is 2026-04-18 08:13:20 UTC. */
void sample_start(te_document *document, const char *title);

/* A drawing with every kind of mark, tone, stroke, fill and spot. */
void sample_drawing(te_drawing *drawing);

/* A document with every kind of block and weight. */
void sample_document(te_document *document);

#endif
