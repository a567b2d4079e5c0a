/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a program finds in the module. */
#include "topend/pdf.h"

#if defined(__GNUC__)
#define EXPORTED __attribute__((visibility("default")))
#else
#define EXPORTED
#endif

extern EXPORTED const te_pdf_module topend_pdf; /* TE_PDF_SYMBOL */

const te_pdf_module topend_pdf = {TE_PDF_INTERFACE, TOPEND_VERSION, te_document_pdf};
