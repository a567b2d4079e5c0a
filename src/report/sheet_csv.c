/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The sheet as files of the shop: a CSV file of readings to fill in, and a row for inspections.csv.
 *
 * Other CSV outputs disarm a text that a spreadsheet would run as a formula by an apostrophe before
 * it. Here a name has to come back as it is, or its row would name another engine's or no inspection,
 * and its gauge no instrument. So such a name is refused, and told. */
#include <math.h>
#include <string.h>

#include "csv.h"
#include "sheet_parts.h"

enum { DIGITS = 9 };

/* A file while it is written. */
struct writing {
    te_buffer *out;
    const te_sheet *sheet;
    const te_shop *shop;
    struct sheet_needs needs;
    te_dialect dialect;
    size_t cells; /* in the row so far */
    te_sheet_fault fault;
    const char *name; /* to blame for the fault */
};

/* ---- cells ---- */

static void put_quoted(te_buffer *out, const char *text, char delimiter)
{
    const char special[] = {delimiter, '"', '\r', '\n', ',', ';', '\t', '\0'};
    bool quotes = strpbrk(text, special) != NULL;
    te_buffer_text(out, quotes ? "\"" : "");
    for (const char *c = text; *c != '\0'; c++) {
        te_buffer_text(out, *c == '"' ? "\"" : "");
        te_buffer_add(out, c, 1);
    }
    te_buffer_text(out, quotes ? "\"" : "");
}

/* True for a text of several lines in which a row would be seen; a file may have as few as four
 * columns, where two delimiters are enough. */
static bool looks_torn(const char *text, char delimiter)
{
    const size_t most = 1; /* delimiters in a line */
    size_t in_line = 0;
    bool torn = false;
    for (const char *c = text; *c != '\0'; c++) {
        bool end = *c == '\n' || *c == '\r';
        in_line = end ? 0 : in_line + (*c == delimiter);
        torn = torn || in_line > most;
    }
    return torn && strpbrk(text, "\r\n") != NULL;
}

static void separate(struct writing *w)
{
    if (w->cells++ > 0) {
        te_buffer_add(w->out, &w->dialect.delimiter, 1);
    }
}

static void put_blank(struct writing *w)
{
    separate(w);
}

/* A word of the program's own. */
static void put_word(struct writing *w, const char *word)
{
    separate(w);
    te_buffer_text(w->out, word);
}

/* A name of the user's, which must come back as it is. */
static void put_name(struct writing *w, const char *name)
{
    bool formula = name[0] != '\0' && strchr("=+-@", name[0]) != NULL;
    bool comment = w->cells == 0 && te_sheet_is_comment(name);
    bool lost = comment || looks_torn(name, w->dialect.delimiter);
    separate(w);
    if ((formula || lost) && w->fault == TE_SHEET_SOUND) {
        w->fault = formula ? TE_SHEET_FORMULA : TE_SHEET_LOST;
        w->name = name;
    }
    put_quoted(w->out, name, w->dialect.delimiter);
}

static void put_number(struct writing *w, double value)
{
    char text[TE_NUMBER_SIZE];
    separate(w);
    if (!isnan(value)) {
        size_t length = te_number_format(text, value, DIGITS);
        char *mark = memchr(text, '.', length);
        if (mark != NULL) {
            *mark = w->dialect.decimal_mark;
        }
        te_buffer_add(w->out, text, length);
    }
}

static void put_direction(struct writing *w, double direction)
{
    const double alike = 0.001; /* degrees within which readings are of one direction */
    if (fabs(direction) <= alike) {
        put_word(w, "thrust");
    } else if (fabs(direction - 90.0) <= alike) {
        put_word(w, "pin");
    } else {
        put_number(w, direction);
    }
}

static void end_row(struct writing *w)
{
    te_buffer_text(w->out, "\n");
    w->cells = 0;
}

/* Hands the text over, unless it has a fault. */
static te_sheet_fault finish(te_buffer *buffer, const char **name, struct writing *w)
{
    *name = w->name;
    buffer->failed = buffer->failed || w->out->failed;
    if (w->fault == TE_SHEET_SOUND && !w->out->failed) {
        te_buffer_add(buffer, w->out->bytes, w->out->length);
    }
    te_buffer_free(w->out);
    return w->fault;
}

/* ---- readings ---- */

static void put_repeat_titles(struct writing *w)
{
    static const char *const titles[TE_SHEET_REPEATS] = {"reading", "reading_2", "reading_3",
                                                         "reading_4", "reading_5"};
    for (unsigned i = 0; i < w->needs.repeats; i++) {
        put_word(w, titles[i]);
    }
}

static void put_header(struct writing *w)
{
    const struct {
        bool needed;
        const char *title;
    } before[] = {{true, "inspection"},
                  {true, "feature"},
                  {w->needs.part, "part"},
                  {w->needs.item, "item"},
                  {w->needs.position, "position"},
                  {w->needs.direction, "direction"}},
      after[] = {{w->needs.no_go, "no_go"},
                 {w->needs.zero, "zero"},
                 {w->needs.unit, "unit"},
                 {true, "instrument"},
                 {true, "note"}};
    for (size_t i = 0; i < sizeof before / sizeof *before; i++) {
        if (before[i].needed) {
            put_word(w, before[i].title);
        }
    }
    put_repeat_titles(w);
    for (size_t i = 0; i < sizeof after / sizeof *after; i++) {
        if (after[i].needed) {
            put_word(w, after[i].title);
        }
    }
    end_row(w);
}

static void put_place(struct writing *w, const te_sheet_place *place)
{
    put_name(w, w->sheet->inspection);
    put_name(w, te_shop_quantity_name(w->shop, place->feature));
    if (w->needs.part) {
        put_name(w, te_shop_text(w->shop, place->part));
    }
    if (w->needs.item) {
        put_name(w, te_shop_text(w->shop, place->item));
    }
    if (w->needs.position) {
        put_number(w, te_sheet_beside(place, place->position));
    }
    if (w->needs.direction) {
        put_direction(w, place->direction);
    }
    for (unsigned i = 0; i < w->needs.repeats; i++) {
        put_blank(w);
    }
    if (w->needs.no_go) {
        put_blank(w);
    }
    if (w->needs.zero) {
        put_blank(w);
    }
    if (w->needs.unit) {
        put_name(w, te_sheet_unit(place, w->shop));
    }
    put_name(w, te_shop_text(w->shop, place->instrument));
    put_blank(w); /* the note */
    end_row(w);
}

te_sheet_fault te_sheet_csv(te_buffer *buffer, const char **name, const te_sheet *sheet,
                            const te_shop *shop)
{
    te_buffer out = {0};
    struct writing w = {.out = &out,
                        .sheet = sheet,
                        .shop = shop,
                        .needs = te_sheet_needs(sheet),
                        .dialect = te_shop_tables(shop)->dialect};
    put_header(&w);
    for (size_t i = 0; i < sheet->place_count; i++) {
        for (unsigned row = 0; row < te_sheet_rows(&sheet->places[i]); row++) {
            put_place(&w, &sheet->places[i]);
        }
    }
    return finish(buffer, name, &w);
}

/* ---- inspections.csv ---- */

/* The next cell of the header row as te_tables holds it; false at its end and when memory is out. */
static bool next_title(te_buffer *title, const char **header)
{
    size_t length = strcspn(*header, "\n");
    if ((*header)[length] == '\0' || title->failed) {
        return false;
    }
    te_buffer_free(title);
    te_buffer_add(title, *header, length);
    *header += length + 1;
    return true;
}

static const char *text_of(const te_buffer *buffer)
{
    return buffer->length == 0 ? "" : buffer->bytes;
}

/* A column that the program does not know may be called anything; nobody reads its name. */
static void put_title(struct writing *w, const char *title)
{
    bool formula = title[0] != '\0' && strchr("=+-@", title[0]) != NULL;
    separate(w);
    te_buffer_text(w->out, formula ? "'" : "");
    put_quoted(w->out, title, w->dialect.delimiter);
}

static void put_fact(struct writing *w, const char *title)
{
    te_slice word = {title, strlen(title)};
    const te_engine *engine = &te_shop_tables(w->shop)->engines[w->sheet->engine];
    if (te_text_same_word(word, "inspection")) {
        put_name(w, w->sheet->inspection);
    } else if (te_text_same_word(word, "engine")) {
        put_name(w, te_shop_text(w->shop, engine->id));
    } else {
        put_blank(w);
    }
}

te_sheet_fault te_sheet_inspection_row(te_buffer *buffer, const char **name, const te_sheet *sheet,
                                       const te_shop *shop)
{
    static const char usual[] = "inspection\nengine\ndate\nhours\nstate\ntemperature\n"
                                "temperature_uncertainty\nby\nnote\n";
    const te_tables *tables = te_shop_tables(shop);
    bool known = tables->inspection_header != 0;
    const char *header = known ? te_shop_text(shop, tables->inspection_header) : usual;
    te_buffer out = {0};
    te_buffer title = {0};
    struct writing w = {.out = &out, .sheet = sheet, .shop = shop, .dialect = tables->dialect};
    w.dialect.delimiter = known ? tables->inspection_delimiter : tables->dialect.delimiter;
    for (const char *at = header; next_title(&title, &at);) {
        put_title(&w, text_of(&title));
    }
    end_row(&w);
    for (const char *at = header; next_title(&title, &at);) {
        put_fact(&w, text_of(&title));
    }
    end_row(&w);
    out.failed = out.failed || title.failed;
    te_buffer_free(&title);
    return finish(buffer, name, &w);
}
