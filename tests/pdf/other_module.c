/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A module that is not the program's: of another interface, another version, or with no entry. Its
 * writer ends the process, so that a call of it does not go unseen. */
#include <stdlib.h>

#include "topend/pdf.h"

#if defined(__GNUC__)
#define EXPORTED __attribute__((visibility("default")))
#else
#define EXPORTED
#endif

#if defined(OTHER_INTERFACE) || defined(OTHER_VERSION)

static te_status never(te_buffer *out, te_pdf_missing *missing, const te_document *document,
                       te_pdf_paper paper)
{
    (void)out;
    (void)missing;
    (void)document;
    (void)paper;
    abort();
}

extern EXPORTED const te_pdf_module topend_pdf;

#if defined(OTHER_INTERFACE)
/* What stands behind `interface` may be anything: not even the version is a pointer. */
const te_pdf_module topend_pdf = {TE_PDF_INTERFACE + 1, NULL, never};
#else
const te_pdf_module topend_pdf = {TE_PDF_INTERFACE, "0.0.0-other", never};
#endif

#else

extern EXPORTED const int topend_nothing;
const int topend_nothing = 0;

#endif
