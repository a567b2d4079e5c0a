/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "put.h"
#include "record/vector.h"

void te_buffer_free(te_buffer *buffer)
{
    if (buffer != NULL) {
        free(buffer->bytes);
        *buffer = (te_buffer){0};
    }
}

char *te_buffer_grow(te_buffer *buffer, size_t length)
{
    bool fits = !buffer->failed && te_vector_reserve(&buffer->bytes, &buffer->capacity,
                                                     buffer->length + length + 1, 1);
    buffer->failed = !fits;
    return fits ? buffer->bytes + buffer->length : NULL;
}

void te_buffer_add(te_buffer *buffer, const char *bytes, size_t length)
{
    char *room = length == 0 ? NULL : te_buffer_room(buffer, length);
    if (room != NULL) {
        memcpy(room, bytes, length);
        room[length] = '\0';
        buffer->length += length;
    }
}

void te_buffer_text(te_buffer *buffer, const char *text)
{
    te_buffer_add(buffer, text, strlen(text));
}

/* In place, as nearly all text is safe and so needs no more room than it takes. */
void te_buffer_safe(te_buffer *buffer, const char *text)
{
    te_slice slice = {text, strlen(text)};
    char *room = te_buffer_room(buffer, slice.length);
    if (room == NULL) {
        return;
    }
    size_t length = te_text_safe(room, slice.length + 1, slice);
    if (length > slice.length) {
        *room = '\0'; /* in case there is no room for it */
        room = te_buffer_room(buffer, length);
        if (room == NULL) {
            return;
        }
        (void)te_text_safe(room, length + 1, slice);
    }
    buffer->length += length;
}

void te_put_fixed(te_buffer *buffer, double value, int decimals)
{
    char *room = te_buffer_room(buffer, TE_FIXED_SIZE);
    buffer->length += room == NULL ? 0 : te_number_fixed(room, value, decimals);
}

void te_put_number(te_buffer *buffer, double value, int digits)
{
    char *room = te_buffer_room(buffer, TE_NUMBER_SIZE);
    buffer->length += room == NULL ? 0 : te_number_format(room, value, digits);
}

void te_put_tenths(te_buffer *buffer, double hours)
{
    te_put_number(buffer, round(hours * 10.0) / 10.0, 9);
}

void te_put_tenths_down(te_buffer *buffer, double hours)
{
    const double dust = 1e-6; /* h: 88.3 is a little less in binary */
    te_put_number(buffer, floor((hours + dust) * 10.0) / 10.0, 9);
}

void te_put_hours(te_buffer *buffer, double hours)
{
    te_put_tenths(buffer, hours);
    te_buffer_text(buffer, " h");
}

void te_put_count(te_buffer *buffer, size_t count)
{
    char text[20]; /* 2^64 has so many digits */
    size_t start = sizeof text;
    do {
        text[--start] = (char)('0' + count % 10);
        count /= 10;
    } while (count > 0);
    te_buffer_add(buffer, text + start, sizeof text - start);
}

void te_put_date(te_buffer *buffer, te_date date)
{
    char text[11];
    te_date_format(text, date);
    te_buffer_text(buffer, text);
}

void te_put_spaces(te_buffer *buffer, size_t count)
{
    char *room = te_buffer_room(buffer, count);
    if (room != NULL) {
        memset(room, ' ', count);
        room[count] = '\0';
        buffer->length += count;
    }
}

void te_put_value(te_buffer *buffer, double value, const char *unit)
{
    /* A tenth of a micrometre is finer than any gauge of the bench; values of 1000 and more are
     * none of its lengths. */
    if (fabs(value) < 1000.0 && strcmp(unit, "mm") == 0) {
        te_put_fixed(buffer, value, 4);
    } else {
        te_put_number(buffer, value, 6);
    }
}

void te_put_short_value(te_buffer *buffer, double value, const char *unit, size_t width)
{
    te_buffer text = {0};
    te_put_value(&text, value, unit);
    for (int digits = 6; text.length > width && digits > 0; digits--) {
        te_buffer_free(&text);
        te_put_number(&text, value, digits);
    }
    te_buffer_add(buffer, text.bytes, text.length);
    buffer->failed = buffer->failed || text.failed;
    te_buffer_free(&text);
}

size_t te_put_width(const te_buffer *buffer, size_t start)
{
    if (buffer->length <= start) {
        return 0;
    }
    return te_text_width((te_slice){buffer->bytes + start, buffer->length - start});
}

void te_put_quantity(te_buffer *buffer, const te_shop *shop, te_quantity quantity, te_id item)
{
    te_buffer_safe(buffer, te_shop_quantity_name(shop, quantity));
    if (item != 0) {
        te_buffer_text(buffer, " ");
        te_buffer_safe(buffer, te_shop_text(shop, item));
    }
}

void te_put_part(te_buffer *buffer, const te_shop *shop, te_kind kind, te_id part)
{
    te_put_words(buffer, te_kind_name(kind));
    te_buffer_text(buffer, " ");
    te_buffer_safe(buffer, te_shop_text(shop, part));
}

void te_put_origin(te_buffer *buffer, const te_shop *shop, te_origin origin)
{
    te_buffer_safe(buffer, te_shop_tables(shop)->files[origin.file]);
    te_buffer_text(buffer, ":");
    te_put_count(buffer, origin.line);
}

void te_put_place(te_buffer *buffer, const te_shop *shop, te_quantity feature, te_id item,
                  double position, double direction)
{
    te_put_quantity(buffer, shop, feature, item);
    if (!isnan(position)) {
        te_buffer_text(buffer, " at ");
        te_put_number(buffer, position, 6);
        te_buffer_text(buffer, " mm");
    }
    if (!isnan(direction)) {
        te_buffer_text(buffer, ", ");
        te_put_direction(buffer, direction);
    }
}

bool te_is_one_value(const te_measured *measured)
{
    const te_form *low = &measured->low;
    const te_form *high = &measured->high;
    return low->count == high->count &&
           memcmp(low->observation, high->observation, low->count * sizeof *low->observation) == 0;
}

void te_put_direction(te_buffer *buffer, double direction)
{
    const double same = 0.001; /* degrees within which readings are of one direction */
    if (fabs(direction) <= same) {
        te_buffer_text(buffer, "thrust direction");
    } else if (fabs(direction - 90.0) <= same) {
        te_buffer_text(buffer, "pin direction");
    } else {
        te_put_number(buffer, direction, 6);
        te_buffer_text(buffer, " degrees");
    }
}

void te_put_probability(te_buffer *buffer, double probability)
{
    if (probability < 0.001) {
        te_buffer_text(buffer, "below 0.001");
    } else if (probability > 0.999) {
        te_buffer_text(buffer, "above 0.999");
    } else {
        te_put_fixed(buffer, probability, 3);
    }
}

void te_put_words(te_buffer *buffer, const char *name)
{
    size_t start = buffer->length;
    te_buffer_text(buffer, name);
    for (size_t i = start; i < buffer->length; i++) {
        buffer->bytes[i] = (char)(buffer->bytes[i] == '_' ? ' ' : buffer->bytes[i]);
    }
}

size_t te_put_fitting(size_t *next, te_slice text, size_t width)
{
    size_t space = 0;
    size_t used = 0;
    size_t i = text.length <= width ? text.length
                                    : 0; /* no character has more columns than bytes */
    while (i < text.length) {
        uint32_t code = 0;
        size_t size = te_utf8_decode(&code, text.bytes + i, text.length - i);
        size = size == 0 ? 1 : size;
        used += te_text_width((te_slice){text.bytes + i, size});
        if (text.bytes[i] == ' ' && i > 0) {
            space = i;
        }
        if (used > width && i > 0) {
            break;
        }
        i += size;
    }
    size_t length = i < text.length && space > 0 ? space : i;
    *next = length;
    while (*next < text.length && text.bytes[*next] == ' ') {
        ++*next;
    }
    return length;
}

void te_put_wrapped(te_buffer *buffer, const char *text, const char *first, size_t indent,
                    size_t width)
{
    te_slice rest = {text, strlen(text)};
    te_buffer_text(buffer, first);
    size_t used = te_text_width((te_slice){first, strlen(first)});
    do {
        size_t next = 0;
        size_t room = width > used + 20 ? width - used : 20;
        size_t length = te_put_fitting(&next, rest, room);
        te_buffer_add(buffer, rest.bytes, length);
        te_buffer_text(buffer, "\n");
        rest = (te_slice){rest.bytes + next, rest.length - next};
        if (rest.length > 0) {
            te_put_spaces(buffer, indent);
            used = indent;
        }
    } while (rest.length > 0);
}

void te_put_padding(te_buffer *buffer, size_t start, size_t width, bool right)
{
    if (buffer->failed || start > buffer->length) {
        return;
    }
    size_t used = te_put_width(buffer, start);
    size_t missing = used < width ? width - used : 0;
    size_t length = buffer->length - start;
    te_put_spaces(buffer, missing);
    if (right && !buffer->failed && missing > 0 && length > 0) {
        memmove(buffer->bytes + start + missing, buffer->bytes + start, length);
        memset(buffer->bytes + start, ' ', missing);
    }
}

void te_put_trim(te_buffer *buffer, size_t start)
{
    while (buffer->length > start && buffer->bytes[buffer->length - 1] == ' ') {
        buffer->bytes[--buffer->length] = '\0';
    }
}

void te_put_colour(te_buffer *buffer, const te_text_style *style, enum te_colour colour)
{
    static const char *const codes[] = {"\x1b[0m", "\x1b[1m", "\x1b[31m", "\x1b[33m", "\x1b[32m"};
    if (style->colour) {
        te_buffer_text(buffer, codes[colour]);
    }
}
