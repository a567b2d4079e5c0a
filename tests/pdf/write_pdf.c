/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Writes the sample document through the module, as the program does.
 *
 *   write_pdf a4|letter FILE
 *
 * Exit: 0 written, 2 not.
 */
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

#include "cli/cli.h"
#include "cli/pdf_module.h"
#include "sample.h"

int fail(const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    (void)fputs("write_pdf: ", stderr);
    (void)vfprintf(stderr, format, arguments);
    (void)fputc('\n', stderr);
    va_end(arguments);
    return EXIT_FAILED;
}

const char *show(char out[SHOWN_SIZE], const char *text)
{
    (void)te_text_safe(out, SHOWN_SIZE, (te_slice){text, strlen(text)});
    return out;
}

static bool save(const char *name, const te_buffer *buffer)
{
    FILE *file = fopen(name, "wb");
    if (file == NULL) {
        return false;
    }
    bool good = fwrite(buffer->bytes, 1, buffer->length, file) == buffer->length;
    return fclose(file) == 0 && good;
}

int main(int argc, char **argv)
{
    te_document document = {0};
    te_buffer buffer = {0};
    if (argc != 3) {
        return fail("usage: write_pdf a4|letter FILE");
    }
    sample_document(&document);
    te_pdf_paper paper = strcmp(argv[1], "letter") == 0 ? TE_PDF_LETTER : TE_PDF_A4;
    bool good = pdf_write(&buffer, &document, paper);
    if (good && !save(argv[2], &buffer)) {
        good = false;
        (void)fail("%s cannot be written", argv[2]);
    }
    te_buffer_free(&buffer);
    te_document_free(&document);
    return good ? EXIT_GOOD : EXIT_FAILED;
}
