/* SPDX-License-Identifier: GPL-3.0-or-later */
/* CSV: comma-delimited, decimal point, 9 significant digits; text that a spreadsheet would run as
 * a formula is disarmed by a leading apostrophe, numbers never are. */
#include <limits.h>
#include <math.h>
#include <string.h>

#include "csv.h"

enum { DIGITS = 9 };

static bool runs_as_formula(char first)
{
    return first == '=' || first == '+' || first == '-' || first == '@' || first == '\t' ||
           first == '\r';
}

/* True for what may be a cell as it is: printable ASCII without what a reader of CSV takes for
 * something else. Nearly all text is that, so there is one look at each byte, which tells the length
 * too. */
static bool is_plain(size_t *length, const char *text)
{
    static const unsigned char plain[UCHAR_MAX + 1] = {
        [' '] = 1, 1, 0, 1, 1, 1, 1, 1, 1, 1, 1, 1, 0, 1, 1, 1, /*  !"#$%&'()*+,-./ */
        1,         1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 0, 1, 1, 1, 1, /* 0 to 9, :;<=>? */
        1,         1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, /* @, A to O */
        1,         1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, /* P to Z, [\]^_ */
        1,         1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, /* `, a to o */
        1,         1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 0, /* p to z, {|}~, DEL */
    };
    const char *c = text;
    while (plain[(unsigned char)*c] != 0) {
        c++;
    }
    *length = (size_t)(c - text);
    bool spaced = text[0] == ' ' || (c > text && c[-1] == ' ');
    return *c == '\0' && !spaced && !runs_as_formula(text[0]);
}

static bool needs_quotes(const char *text, size_t length)
{
    return strpbrk(text, ",\"\r\n;\t") != NULL || text[0] == ' ' || text[length - 1] == ' ';
}

/* Puts the marks in, from the end on so that nothing is written over before it has moved. */
static void put_marks(te_buffer *buffer, size_t start, bool quotes, bool formula)
{
    size_t length = buffer->length - start;
    size_t marks = 2 * (size_t)quotes + formula;
    for (size_t i = start; i < buffer->length; i++) {
        marks += buffer->bytes[i] == '"';
    }
    if (te_buffer_room(buffer, marks) == NULL) {
        return;
    }
    buffer->length += marks;
    const char *from = buffer->bytes + start + length;
    char *to = buffer->bytes + buffer->length;
    *to = '\0';
    if (quotes) {
        *--to = '"';
    }
    for (; length > 0; length--) {
        *--to = *--from;
        if (*from == '"') {
            *--to = '"';
        }
    }
    if (formula) {
        *--to = '\'';
    }
    if (quotes) {
        *--to = '"';
    }
}

void te_csv_finish(te_buffer *buffer, size_t start)
{
    size_t length = 0;
    if (buffer->failed || buffer->length == start || is_plain(&length, buffer->bytes + start)) {
        return;
    }
    bool quotes = needs_quotes(buffer->bytes + start, buffer->length - start);
    bool formula = runs_as_formula(buffer->bytes[start]);
    if (quotes || formula) {
        put_marks(buffer, start, quotes, formula);
    }
}

void te_csv_text(te_buffer *buffer, const char *text)
{
    size_t start = buffer->length;
    size_t length = 0;
    if (is_plain(&length, text)) {
        te_buffer_add(buffer, text, length);
        return;
    }
    te_buffer_safe(buffer, text);
    te_csv_finish(buffer, start);
}

void te_csv_number(te_buffer *buffer, double value)
{
    if (!isnan(value)) {
        te_put_number(buffer, value, DIGITS);
    }
}

void te_csv_numbers(te_buffer *buffer, const double *numbers, size_t count)
{
    char *room = te_buffer_room(buffer, count * TE_NUMBER_SIZE);
    char *at = room;
    if (room == NULL) {
        return;
    }
    for (size_t i = 0; i < count; i++) {
        *at++ = ',';
        at += isnan(numbers[i]) ? 0 : te_number_format(at, numbers[i], DIGITS);
    }
    *at = '\0';
    buffer->length += (size_t)(at - room);
}

void te_csv_comma(te_buffer *buffer)
{
    char *room = te_buffer_room(buffer, 1);
    if (room != NULL) {
        room[0] = ',';
        room[1] = '\0';
        buffer->length++;
    }
}

void te_csv_inspection(te_buffer *buffer, const te_shop *shop, uint32_t index)
{
    const te_tables *tables = te_shop_tables(shop);
    const te_inspection *inspection = &tables->inspections[index];
    te_csv_text(buffer, te_shop_text(shop, tables->engines[inspection->engine].id));
    te_csv_comma(buffer);
    te_csv_text(buffer, te_shop_text(shop, inspection->id));
    te_csv_comma(buffer);
    te_put_date(buffer, inspection->date);
    te_csv_comma(buffer);
    te_csv_number(buffer, inspection->hours);
}
