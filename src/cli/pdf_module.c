/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "pdf_module.h"

#include <dlfcn.h>
#include <limits.h>
#include <stdio.h>
#include <string.h>
#include <unistd.h>

#include "cli.h"

static const char file_name[] = "topend-pdf.so";

/* From the program's folder: beside it where both are built, and as installed. Not by a run path, in whose folders
 * the loader would look for every library at each start. */
static const char *const places[] = {"", TOPEND_MODULE_PLACE "/"};

/* The program's folder, with a slash at its end; empty when the system does not tell. */
static void find_folder(char folder[PATH_MAX])
{
    ssize_t length = readlink("/proc/self/exe", folder, PATH_MAX);
    folder[length > 0 && length < PATH_MAX ? length : 0] = '\0';
    char *slash = strrchr(folder, '/');
    folder[slash == NULL ? 0 : slash - folder + 1] = '\0';
}

/* Opens the module where it is; NULL with dlerror to tell. */
static void *open_module(void)
{
    char folder[PATH_MAX];
    char path[PATH_MAX];
    find_folder(folder);
    for (size_t i = 0; folder[0] != '\0' && i < sizeof places / sizeof *places; i++) {
        int length = snprintf(path, sizeof path, "%s%s%s", folder, places[i], file_name);
        if (length > 0 && (size_t)length < sizeof path && access(path, F_OK) == 0) {
            return dlopen(path, RTLD_NOW | RTLD_LOCAL);
        }
    }
    return dlopen(file_name, RTLD_NOW | RTLD_LOCAL);
}

/* The module; NULL after a message. It stays loaded until the program ends. */
static const te_pdf_module *load(void)
{
    char shown[SHOWN_SIZE];
    void *library = open_module();
    if (library == NULL) {
        (void)fail("the PDF module %s cannot be loaded: %s; write .html and print it, or install "
                   "topend whole, with pango and cairo",
                   file_name, show(shown, dlerror()));
        return NULL;
    }
    const te_pdf_module *module = dlsym(library, TE_PDF_SYMBOL);
    if (module == NULL) {
        (void)fail("%s is not the PDF module of topend; write .html and print it, or install "
                   "topend again",
                   file_name);
        return NULL;
    }
    /* The fields behind `interface` are those of TE_PDF_INTERFACE only when it is that. */
    bool same = module->interface == TE_PDF_INTERFACE;
    if (!same || strcmp(module->version, TOPEND_VERSION) != 0) {
        (void)fail("the PDF module %s is of another version (%s) than the program (%s); write "
                   ".html and print it, or install topend again",
                   file_name, same ? show(shown, module->version) : "unknown", TOPEND_VERSION);
        return NULL;
    }
    return module;
}

static void tell_missing(const te_pdf_missing *missing)
{
    char shown[SHOWN_SIZE];
    if (missing->character == 0) {
        (void)fail("there is no font on this machine to write a PDF with; install one "
                   "(fonts-dejavu-core), or write .html");
        return;
    }
    (void)fail("no font on this machine shows the character U+%04lX in \"%s\"; install fonts for "
               "its script, or write .html",
               (unsigned long)missing->character, show(shown, missing->text));
}

bool pdf_write(te_buffer *out, const te_document *document, te_pdf_paper paper)
{
    te_pdf_missing missing = {0};
    const te_pdf_module *module = load();
    if (module == NULL) {
        return false;
    }
    te_status status = module->write(out, &missing, document, paper);
    if (status == TE_ERR_GLYPH) {
        tell_missing(&missing);
    } else if (status == TE_ERR_FULL) {
        (void)fail("the PDF cannot be made: a table has more than %d columns; write .html",
                   TE_PDF_COLUMNS);
    } else if (status != TE_OK) {
        (void)fail("the PDF cannot be made: %s", te_status_text(status));
    }
    return status == TE_OK;
}
