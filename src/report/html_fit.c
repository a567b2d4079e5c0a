/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * How a table fits a page and a screen, told from its longest words: which classes it gets. Lengths
 * are in characters, at the sizes of letters that the style sheet sets.
 */
#include <string.h>

#include "html.h"

enum {
    SLIM_COLUMNS = 3, /* stay a table on a telephone */
    SLIM = 36,        /* so do words of this width together */
    MIDDLE = 60,      /* fits a screen of 40 rem */
    PAGE = 90,        /* fits a printed page */
    DENSE = 120,      /* fits one in small letters */
    FIGURE = 24,      /* a figure that is longer may be broken */
    WORD = 12,        /* so may a word, in a table that does not fit */
    GAP = 2,          /* between columns */
    SCRAPS = 6        /* what a column of words takes when they are broken */
};

static size_t more_of(size_t a, size_t b)
{
    return a > b ? a : b;
}

static size_t width_of(const char *text)
{
    return te_text_width((te_slice){text, strlen(text)});
}

bool te_html_is_prose(const char *text)
{
    enum { NAME = 24 };
    return width_of(text) > NAME;
}

size_t te_html_part(const char *word, size_t length, bool prose)
{
    enum { SHORT = 8, LONG = 14 };
    size_t width = te_text_width((te_slice){word, length});
    if (width <= (prose ? LONG : SHORT)) {
        return length;
    }
    size_t part = strcspn(word, width > LONG ? "_/+;-" : "_/+;") + 1;
    return part < length ? part : length;
}

/* The longest word of a text, or its longest part where words have them. */
static size_t longest(const char *text, bool parts)
{
    bool prose = te_html_is_prose(text);
    size_t most = 0;
    while (*text != '\0') {
        size_t word = strcspn(text, " ");
        for (size_t at = 0; at < word;) {
            size_t part = parts ? te_html_part(text + at, word - at, prose) : word;
            most = more_of(most, te_text_width((te_slice){text + at, part}));
            at += part;
        }
        text += word + (text[word] == ' ');
    }
    return most;
}

bool te_html_is_long(const char *text)
{
    return longest(text, true) > WORD;
}

/* Adds one column to the fit. */
static void add_column(te_html_fit *fit, const te_document *document, const te_table *table,
                       uint32_t i)
{
    const te_column *column = &document->columns[table->first_column + i];
    size_t words = longest(te_document_chars(document, column->title), false);
    words = more_of(words, longest(te_document_chars(document, column->unit), false));
    size_t whole = words;
    size_t figure = 0;
    for (uint32_t row = 0; row < table->row_count; row++) {
        size_t at = table->first_cell + (size_t)row * table->column_count + i;
        const char *text = te_document_chars(document, document->cells[at].text);
        size_t word = longest(text, !column->number);
        words = more_of(words, word);
        whole = more_of(whole, column->number ? width_of(text) : word);
        figure = more_of(figure, column->number ? word : 0);
    }
    fit->words += words + GAP;
    fit->whole += whole + GAP;
    fit->cut += (column->number || words < WORD ? words : WORD) + GAP;
    fit->figures += column->number ? words + GAP : SCRAPS;
    fit->long_figure = fit->long_figure || figure > FIGURE;
}

te_html_fit te_html_fit_of(const te_document *document, const te_table *table)
{
    te_html_fit fit = {.columns = table->column_count};
    for (uint32_t i = 0; i < table->column_count; i++) {
        add_column(&fit, document, table, i);
    }
    return fit;
}

bool te_html_is_wide(const te_html_fit *fit)
{
    return fit->columns > SLIM_COLUMNS || (fit->words > SLIM && fit->words <= DENSE);
}

void te_html_fit_classes(te_buffer *buffer, const te_html_fit *fit)
{
    bool wide = te_html_is_wide(fit);
    bool dense = wide && fit->words > PAGE;
    te_buffer_text(buffer, wide ? "wide" : "slim");
    te_buffer_text(buffer, wide && fit->words > MIDDLE ? " wider" : "");
    te_buffer_text(buffer, dense ? " dense" : "");
    te_buffer_text(buffer, fit->words <= DENSE ? " words" : fit->cut <= DENSE ? " cut" : "");
    te_buffer_text(buffer, fit->whole <= (dense ? DENSE : PAGE) ? " whole" : "");
    te_buffer_text(buffer, fit->figures <= DENSE && !fit->long_figure ? " figures" : "");
}
