/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Bytes of a file to UTF-8. */
#ifndef TOPEND_RECORD_ENCODING_H
#define TOPEND_RECORD_ENCODING_H

#include <stddef.h>

#include "topend/status.h"
#include "topend/text.h"

enum te_encoding { TE_ENCODING_UTF8, TE_ENCODING_UTF16, TE_ENCODING_CP1252 };

/* Finds the encoding of a file and converts it.
 * `text` is what to read, without a byte order mark; `owned` is the buffer behind it that the
 * caller frees, NULL when nothing had to be converted.
 * TE_ERR_DATA: the bytes are not text; `bad_line` is the line of the first such byte. */
te_status te_decode(te_slice *text, char **owned, enum te_encoding *encoding, size_t *bad_line,
                    te_slice bytes);

/* How many bytes at the start are UTF-8. */
size_t te_utf8_sound(te_slice bytes);

/* The text behind the byte order marks at its start. */
te_slice te_text_without_marks(te_slice text);

#endif
