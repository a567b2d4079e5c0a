/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Words on options that several writers share. */
#ifndef TOPEND_REPORT_OPTIONS_WORDS_H
#define TOPEND_REPORT_OPTIONS_WORDS_H

#include "put.h"
#include "topend/write_options.h"

/* The part that an option fits for a kind; NULL when the old one stays. */
const te_candidate *te_option_part(const te_options *options, const te_option *option,
                                   te_kind kind);

/* What an option fits, joined: kinds (`piston+ring_set`) or parts (`PK-A+RS-STD`). */
void te_put_option_kinds(te_buffer *buffer, const te_option *option);
void te_put_option_parts(te_buffer *buffer, const te_options_told *told, const te_option *option);

/* What an option fits, in words: `ring set RS-STD, pin PN-16`; `keep everything`. */
void te_put_option(te_buffer *buffer, const te_options_told *told, const te_option *option);

/* A sum with its currency, to a hundredth. */
void te_put_price(te_buffer *buffer, const te_shop *shop, double price);

/* What to mind about an option, one sentence a line (notes.h). The assessment is the option's. */
void te_notes_option(te_buffer *lines, const te_options_told *told, const te_option *option,
                     const te_assessment *assessment);

/* The least that may go back, or that nothing does, one sentence a line. */
void te_notes_advice(te_buffer *lines, const te_options_told *told);

/* Whether the cylinder can be bored, and to which size, in a sentence. */
void te_put_rebore(te_buffer *buffer, const te_options_told *told);

/* The options of a document: its headings begin at `level`. */
void te_piece_options(te_document *document, const te_options_told *told, unsigned level);

#endif
