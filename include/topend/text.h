/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file text.h  Text from files: trimming, folding, likeness, and making it safe to show. */
#ifndef TOPEND_TEXT_H
#define TOPEND_TEXT_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#ifdef __cplusplus
extern "C" {
#endif

/** A borrowed run of bytes, not terminated. */
typedef struct te_slice {
    const char *bytes; /**< may be NULL when length is 0 */
    size_t length;     /**< bytes */
} te_slice;

/** Decodes one UTF-8 sequence as RFC 3629 defines it (no surrogates, no overlong forms).
 * @param[out] code the code point, untouched when the bytes are not UTF-8
 * @param[in] text bytes to decode
 * @param[in] length bytes available, at least 1
 * @return the length of the sequence, 1 to 4; 0 when the bytes are not UTF-8
 */
size_t te_utf8_decode(uint32_t *code, const char *text, size_t length);

/** Takes white space off both ends: ASCII blanks, U+00A0, U+2007, U+202F and U+FEFF.
 * @param[in] text UTF-8
 * @return the part between; it points into @p text
 */
te_slice te_text_trim(te_slice text);

/** Lower case for ASCII, Latin-1, Latin Extended-A, Greek and Cyrillic letters, the same in
 * every locale.  The length in bytes does not change.
 * @param[in,out] text UTF-8, changed in place
 * @param[in] length bytes
 */
void te_text_fold(char *text, size_t length);

/** True when two texts are equal without regard to ASCII case.
 * @param[in] a bytes
 * @param[in] b a terminated string
 */
bool te_text_same_word(te_slice a, const char *b);

/** Edit distance (insert, delete, replace, swap of neighbours; optimal string alignment),
 * for suggestions.
 * @param[in] first terminated string
 * @param[in] second terminated string
 * @return the distance; SIZE_MAX when either is longer than 63 characters; two that are
 *   not ASCII and begin with the same byte count as one
 */
size_t te_text_distance(const char *first, const char *second);

/** Copies text so that it can be shown on a terminal or in a line of a log: control characters
 * (C0, DEL, C1), line and paragraph separators, bidirectional controls, and bytes that are not
 * UTF-8 appear as `\xNN` or `\u{NNNN}`; all else is unchanged.
 * @param[out] out receives a terminated string, cut at a whole character when it does not fit
 * @param[in] size bytes in @p out, at least 1
 * @param[in] text bytes, any
 * @return the length of the whole safe text without the terminator; @p size or more: it was cut
 */
size_t te_text_safe(char *out, size_t size, te_slice text);

/** Columns that a text takes on a terminal: code points without combining marks; East Asian wide
 * characters count 2.
 * @param[in] text UTF-8
 */
size_t te_text_width(te_slice text);

#ifdef __cplusplus
}
#endif
#endif
