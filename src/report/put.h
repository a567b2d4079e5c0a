/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Small writers that the writers of this folder share. */
#ifndef TOPEND_REPORT_PUT_H
#define TOPEND_REPORT_PUT_H

#include "topend/write.h"

/* What te_buffer_room does when the buffer is too small, or failed. */
char *te_buffer_grow(te_buffer *buffer, size_t length);

/* Where to write up to `length` bytes and a terminator behind what is there; who writes adds to the
 * length. NULL when memory runs out or ran out before. */
static inline char *te_buffer_room(te_buffer *buffer, size_t length)
{
    bool fits = !buffer->failed && length < buffer->capacity - buffer->length;
    return fits ? buffer->bytes + buffer->length : te_buffer_grow(buffer, length);
}

/* A number with `decimals`, or with up to `digits` significant ones. */
void te_put_fixed(te_buffer *buffer, double value, int decimals);
void te_put_number(te_buffer *buffer, double value, int digits);
/* Hours to a tenth, without and with their unit. */
void te_put_tenths(te_buffer *buffer, double hours);
void te_put_hours(te_buffer *buffer, double hours);
/* Hours that must not be passed, rounded down. */
void te_put_tenths_down(te_buffer *buffer, double hours);
void te_put_count(te_buffer *buffer, size_t count);
void te_put_date(te_buffer *buffer, te_date date);
void te_put_spaces(te_buffer *buffer, size_t count);

/* A length to a tenth of a micrometre; a value in another unit to six significant digits. */
void te_put_value(te_buffer *buffer, double value, const char *unit);

/* The same in fewer figures where it would take more than `width` columns (at least 8). */
void te_put_short_value(te_buffer *buffer, double value, const char *unit, size_t width);

/* Columns that what was written since `start` takes. */
size_t te_put_width(const te_buffer *buffer, size_t start);

/* How much of a text's start fits a width, cut at a space where there is one; `next` receives where
 * the rest begins, behind the spaces. A text that is not empty gives at least a character. */
size_t te_put_fitting(size_t *next, te_slice text, size_t width);

/* Text wrapped to a width: the first line after `first`, the others indented by `indent`. */
void te_put_wrapped(te_buffer *buffer, const char *text, const char *first, size_t indent,
                    size_t width);

/* Pads what was written since `start` to a width; to the right when `right`. */
void te_put_padding(te_buffer *buffer, size_t start, size_t width, bool right);

/* Takes the spaces off the end of what was written since `start`. */
void te_put_trim(te_buffer *buffer, size_t start);

/* A quantity or feature and its item: `end_gap 1`. */
void te_put_quantity(te_buffer *buffer, const te_shop *shop, te_quantity quantity, te_id item);

/* A part behind its kind: `ring set R1`. */
void te_put_part(te_buffer *buffer, const te_shop *shop, te_kind kind, te_id part);

/* A row's file and line: `readings.csv:5`. */
void te_put_origin(te_buffer *buffer, const te_shop *shop, te_origin origin);

/* Where a feature is read: its name, item, position and direction, as far as they are known. */
void te_put_place(te_buffer *buffer, const te_shop *shop, te_quantity feature, te_id item,
                  double position, double direction);

/* True when low and high are the same readings: one value is shown. */
bool te_is_one_value(const te_measured *measured);

/* A range by its ends, of which either may be absent: `65.92-65.94`, `min 0.05`. */
void te_put_range(te_buffer *buffer, double least, double most);

/* The decision rule in a sentence. */
void te_put_rule(te_buffer *buffer, const te_tables *tables);

/* A direction as its word (thrust, pin), else in degrees. */
void te_put_direction(te_buffer *buffer, double direction);

/* A probability to three decimals; one that would round to 0 or 1 as a bound. */
void te_put_probability(te_buffer *buffer, double probability);

/* A status word with spaces for underscores. */
void te_put_words(te_buffer *buffer, const char *name);

enum te_colour { TE_PLAIN, TE_BOLD, TE_RED, TE_YELLOW, TE_GREEN };
void te_put_colour(te_buffer *buffer, const te_text_style *style, enum te_colour colour);

#endif
