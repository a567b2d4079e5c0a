/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file pdf.h  A document as PDF.
 *
 * The writer needs pango and cairo, which would make every start of the program four times as long.
 * So it is a module of its own, topend-pdf.so, that a program loads when a PDF is asked for: dlopen,
 * dlsym(TE_PDF_SYMBOL), compare both versions, call write.  Keep the module loaded until the process
 * ends: the libraries below it keep threads and caches.
 *
 * Fonts come from the machine by fontconfig: DejaVu Sans where it is, else what fontconfig has.  A
 * character that no font shows is an error: a report never has blanks in it.
 */
#ifndef TOPEND_PDF_H
#define TOPEND_PDF_H

#include "topend/document.h"
#include "topend/status.h"

#ifdef __cplusplus
extern "C" {
#endif

/** The version of te_pdf_module and of all that it takes: te_document, te_drawing, te_buffer. */
#define TE_PDF_INTERFACE 1

/** The name of the te_pdf_module in the module. */
#define TE_PDF_SYMBOL "topend_pdf"

/** The most columns of a table: in more, letters would run into each other. */
#define TE_PDF_COLUMNS 60

typedef enum te_pdf_paper {
    TE_PDF_A4 = 0, /**< 210 mm by 297 mm, ISO 216 */
    TE_PDF_LETTER  /**< 8.5 in by 11 in, ANSI/ASME Y14.1 A */
} te_pdf_paper;

/** What no font shows. */
typedef struct te_pdf_missing {
    uint32_t character; /**< code point; 0: there is no font at all */
    char text[121];     /**< the text that holds it, terminated; cut at a whole character */
} te_pdf_missing;

/** Writes a document as PDF 1.5: text that can be selected, fonts embedded, metadata, outline, page
 * labels.  The same document with the same time and the same fonts gives the same bytes.
 * Thread-safe for different documents.
 * @param[in,out] out receives the file; as it was unless TE_OK is returned
 * @param[out] missing what no font shows, when TE_ERR_GLYPH is returned; may be NULL
 * @param[in] document whole (te_document_is_whole); without a time its dates are those of now
 * @param[in] paper its size
 * @return TE_OK; TE_ERR_MEMORY when memory ran out or the document failed (the libraries below end
 * the process when a small allocation fails); TE_ERR_GLYPH; TE_ERR_DOMAIN when the time is not in
 * the years 1 to 9999; TE_ERR_FULL when a table has more columns than TE_PDF_COLUMNS; TE_ERR_IO when cairo did not make a whole file
 */
te_status te_document_pdf(te_buffer *out, te_pdf_missing *missing, const te_document *document,
                          te_pdf_paper paper);

/** What the module is asked for. Compare both versions before the call. */
typedef struct te_pdf_module {
    unsigned interface;  /**< TE_PDF_INTERFACE; first in every version of this struct */
    const char *version; /**< of the program that the module was built with */
    te_status (*write)(te_buffer *out, te_pdf_missing *missing, const te_document *document,
                       te_pdf_paper paper); /**< te_document_pdf */
} te_pdf_module;

#ifdef __cplusplus
}
#endif
#endif
