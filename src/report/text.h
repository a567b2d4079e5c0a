/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the files of the text writer share. */
#ifndef TOPEND_REPORT_TEXT_H
#define TOPEND_REPORT_TEXT_H

#include "put.h"

/* A writer for one inspection. */
struct text {
    te_buffer *buffer;
    const te_shop *shop;
    const te_tables *tables;
    const te_assessment *assessment;
    const te_inspection *inspection;
    const te_text_style *style;
};

/* Text of its own buffer, wrapped. */
void te_text_wrapped(te_buffer *buffer, const te_buffer *text, const char *first, size_t indent,
                     size_t width);

/* The same as an entry of a list; frees the entry. */
void te_text_entry(te_buffer *buffer, te_buffer *entry, size_t width);

/* What stands below the figures of an inspection. */
void te_text_notes(const struct text *t);

#endif
