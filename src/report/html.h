/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the parts of the HTML writer share. */
#ifndef TOPEND_REPORT_HTML_H
#define TOPEND_REPORT_HTML_H

#include "topend/document.h"

/* Text as content or as an attribute's quoted value: & < > " ' as references. */
void te_html_escape(te_buffer *buffer, const char *text);
void te_html_escape_bytes(te_buffer *buffer, const char *text, size_t length);

/* True for a target that can only be a file beside or below the document's own. */
bool te_html_is_relative(const char *target);

/* A relative target as a URL: what is neither unreserved (RFC 3986, 2.3) nor a slash as %XX. */
void te_html_percent(te_buffer *buffer, const char *target);

/* The class of a weight: "", or its word. */
const char *te_html_weight(te_weight weight);

/* One table. */
void te_html_table(te_buffer *buffer, const te_document *document, const te_table *table);

/* Widths of a table, in characters with the gaps between columns. */
typedef struct te_html_fit {
    uint32_t columns;
    size_t words;     /* in which no word is broken */
    size_t cut;       /* in which none but long ones are */
    size_t whole;     /* in which no column of figures has two lines either */
    size_t figures;   /* in which no figure is broken, but words are */
    bool long_figure; /* a figure that may be broken */
} te_html_fit;

te_html_fit te_html_fit_of(const te_document *document, const te_table *table);

/* True when the table becomes blocks on a narrow screen. */
bool te_html_is_wide(const te_html_fit *fit);

/* The classes that say how it fits: wide, wider, slim; dense; what is not broken: words, cut (words
 * that are not long), whole, figures. */
void te_html_fit_classes(te_buffer *buffer, const te_html_fit *fit);

/* True for a text that is more than a name: its lines break between words. */
bool te_html_is_prose(const char *text);

/* Bytes of the first part of a word, at whose end it may be broken; of a short one all. */
size_t te_html_part(const char *word, size_t length, bool prose);

/* True for a text with a word that may be broken in a table that does not fit. */
bool te_html_is_long(const char *text);

/* The style sheet, and the policy that lets this one alone through (its SHA-256). */
void te_html_style(te_buffer *buffer);
extern const char te_html_style_hash[];

#endif
