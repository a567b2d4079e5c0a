/* SPDX-License-Identifier: GPL-3.0-or-later */
/* CSV: comma-delimited, decimal point, 9 significant digits; text that a spreadsheet would run as
 * a formula is disarmed by a leading apostrophe, numbers never are. */
#include <math.h>
#include <string.h>

#include "csv.h"

enum { DIGITS = 9 };

static bool runs_as_formula(const char *text)
{
    return text[0] != '\0' && strchr("=+-@\t\r", text[0]) != NULL;
}

static bool needs_quotes(const char *text, size_t length)
{
    return strpbrk(text, ",\"\r\n;\t") != NULL ||
           (length > 0 && (text[0] == ' ' || text[length - 1] == ' '));
}

void te_csv_cell(te_buffer *buffer, const char *text)
{
    size_t length = strlen(text);
    bool quotes = needs_quotes(text, length);
    te_buffer_text(buffer, quotes ? "\"" : "");
    te_buffer_text(buffer, runs_as_formula(text) ? "'" : "");
    for (size_t i = 0; i < length; i++) {
        te_buffer_text(buffer, text[i] == '"' ? "\"" : "");
        te_buffer_add(buffer, text + i, 1);
    }
    te_buffer_text(buffer, quotes ? "\"" : "");
}

void te_csv_text(te_buffer *buffer, const char *text)
{
    te_buffer safe = {0};
    te_buffer_safe(&safe, text);
    buffer->failed = buffer->failed || safe.failed;
    te_csv_cell(buffer, safe.length == 0 ? "" : safe.bytes);
    te_buffer_free(&safe);
}

void te_csv_number(te_buffer *buffer, double value)
{
    if (!isnan(value)) {
        te_put_number(buffer, value, DIGITS);
    }
}

void te_csv_comma(te_buffer *buffer)
{
    te_buffer_add(buffer, ",", 1);
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
