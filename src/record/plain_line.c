/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "plain_line.h"

#include "csv_rows.h"

void te_plain_marks(struct plain_marks *marks, char delimiter)
{
    const char specials[] = {delimiter, '"', '\r', '\n', '\0'};
    *marks = (struct plain_marks){.delimiter = delimiter};
    for (size_t i = 0; i < sizeof specials; i++) {
        marks->special[(unsigned char)specials[i]] = true;
    }
}

/* Neither a blank nor a part of a character that may be one. */
static bool is_bare(char c)
{
    return (unsigned char)c > ' ' && (unsigned char)c < 0x80;
}

static te_slice trim_cell(te_slice cell)
{
    bool bare = cell.length == 0 ||
                (is_bare(cell.bytes[0]) && is_bare(cell.bytes[cell.length - 1]));
    return bare ? cell : te_text_trim(cell);
}

/* The next byte from `at` on that means something, or `end`. */
static const char *next_special(const struct plain_marks *marks, const char *at, const char *end)
{
    while (at < end && !marks->special[(unsigned char)*at]) {
        at++;
    }
    return at;
}

bool te_plain_cut(te_slice *cells, size_t *count, size_t *next, te_slice text, size_t at,
                  const struct plain_marks *marks)
{
    if (at >= text.length) {
        return false;
    }
    const char *end = text.bytes + text.length;
    const char *start = text.bytes + at;
    bool filled = false;
    for (size_t n = 0; n < TE_CSV_COLUMNS_MOST; n++) {
        const char *stop = next_special(marks, start, end);
        size_t length = (size_t)(stop - start);
        if (stop == end || length > TE_CSV_CELL_MOST) {
            return false; /* it goes on past the text, or has no end */
        }
        cells[n] = trim_cell((te_slice){start, length});
        filled = filled || cells[n].length > 0;
        start = stop + 1;
        if (*stop == marks->delimiter) {
            continue;
        }
        bool pair = *stop == '\r' && start < end && *start == '\n';
        bool comment = cells[0].length > 0 && cells[0].bytes[0] == '#';
        *count = n + 1;
        *next = (size_t)(start - text.bytes) + pair;
        return (*stop == '\n' || pair) && filled && !comment;
    }
    return false;
}
