/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A program built against an installed copy: writes a page as PDF to standard output. */
#include <stdio.h>

#include <topend/pdf.h>

int main(void)
{
    te_document document = {.has_time = true, .time = 1777000000};
    te_buffer buffer = {0};
    te_document_start(&document, "A page", "of an installed copy", "page");
    te_document_heading(&document, 1, "A page");
    te_document_paragraph(&document, TE_WEIGHT_PLAIN, "Written by an installed copy.");
    te_status status = te_document_pdf(&buffer, NULL, &document, TE_PDF_A4);
    bool good = status == TE_OK && fwrite(buffer.bytes, 1, buffer.length, stdout) == buffer.length;
    te_buffer_free(&buffer);
    te_document_free(&document);
    return good && fflush(stdout) == 0 ? 0 : 2;
}
