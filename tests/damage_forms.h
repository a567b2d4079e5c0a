/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * When a damaged cell is a legitimate entry, so that no program could see the damage: the file still has the
 * same rows and cells but for cells of its body, and each of those holds what a user could have
 * written there, by the form of its column:
 *
 *   figure   digits with at most one mark, a sign, no exponent; blank where the column may be blank
 *   name     one that the shop declares for that very column (an engine, a part, a gauge ...), or blank likewise
 *   word     one of the column's own words, or blank likewise
 *   date     2026-02-01
 *   text     anything, where nothing but a reader takes notice of it
 *   own      a quantity's name or a column's, begun with a letter and not nearly a known one: the user may
 *            have features and columns of their own. The program must warn of it.
 *
 * Of many figures changed at once (a column that was saved with fewer decimals) the program must warn too.
 *
 * A row of another file than readings that has become a comment is a lost row, which no program can see; with
 * # alone in its first cell the program must warn of it.
 *
 * This knows nothing of how the program reads: it is the measure of it.
 */
#ifndef TE_DAMAGE_FORMS_H
#define TE_DAMAGE_FORMS_H

#include "damage_shop.h"

#include <math.h>

#include "record/csv_rows.h"
#include "record/encoding.h"

typedef enum form { FIGURE, NAME, WORD, DATE, TEXT, OWN, LOST_ROW, FORMS } form;

static const char *const form_names[FORMS] = {"figure", "name",     "word",    "date",
                                              "text",   "own name", "lost row"};

typedef struct column_form {
    const char *column;
    form form;
    bool blank;        /* may be blank */
    const char *words; /* of WORD, with a space before and behind each */
} column_form;

#define FEATURES " bore skirt end_gap pin flange out_of_round taper skirt_clearance "

/* Columns of one name have one form in every file, but for `note` and such. */
static const column_form forms[] = {
    {"key", WORD, false, " name rule confidence "},
    {"value", WORD, false, " guarded simple "}, /* or the figure of confidence */
    {"engine", NAME, false, NULL},
    {"model", NAME, false, NULL},
    {"note", TEXT, true, NULL},
    {"source", TEXT, true, NULL},
    {"description", TEXT, true, NULL},
    {"by", TEXT, true, NULL},
    {"finding", TEXT, false, NULL},
    {"cylinder_material", WORD, true, " aluminium aluminium_high_si cast_iron steel "},
    {"piston_material", WORD, true, " aluminium aluminium_high_si cast_iron steel "},
    {"ring_material", WORD, true, " aluminium aluminium_high_si cast_iron steel "},
    {"reborable", WORD, true, " yes no "},
    {"quantity", WORD, false, FEATURES},
    {"feature", WORD, false, FEATURES},
    {"item", WORD, true, " 1 2 "},
    {"unit", WORD, true, " mm um in thou "},
    {"new_min", FIGURE, true, NULL},
    {"new_max", FIGURE, true, NULL},
    {"service_min", FIGURE, true, NULL},
    {"service_max", FIGURE, true, NULL},
    {"required", WORD, true, " yes no "},
    {"instrument", NAME, true, NULL},
    {"resolution", FIGURE, true, NULL},
    {"expanded_uncertainty", FIGURE, true, NULL},
    {"repeatability", FIGURE, true, NULL},
    {"set_with", NAME, true, NULL},
    {"calibrated", DATE, true, NULL},
    {"due", DATE, true, NULL},
    {"part", NAME, true, NULL},
    {"kind", WORD, false, " cylinder piston ring_set pin small_end_bearing rod head other "},
    {"fitted_hours", FIGURE, false, NULL},
    {"removed_hours", FIGURE, true, NULL},
    {"hours_before", FIGURE, true, NULL},
    {"oversize", FIGURE, true, NULL},
    {"inspection", NAME, false, NULL},
    {"date", DATE, false, NULL},
    {"hours", FIGURE, false, NULL},
    {"state", WORD, true, " found built "},
    {"temperature", FIGURE, true, NULL},
    {"temperature_uncertainty", FIGURE, true, NULL},
    {"severity", WORD, false, " note watch reject "},
    {"position", FIGURE, true, NULL},
    {"direction", WORD, true, " thrust pin 0 45 90 "},
    {"repeats", FIGURE, true, NULL},
    {"reading", FIGURE, false, NULL},
    {"reading_2", FIGURE, true, NULL},
    {"no_go", FIGURE, true, NULL},
    {"zero", FIGURE, true, NULL},
};

static const column_form *form_of(const char *column)
{
    for (size_t i = 0; i < sizeof forms / sizeof *forms; i++) {
        if (strcmp(forms[i].column, column) == 0)
            return &forms[i];
    }
    fail_msg("the column %s has no form", column);
    return NULL;
}

/* A cell of the file as it came back, beside that of the table. */
typedef struct comparison {
    const shop_tables *shop;
    const table *table;
    size_t row;
    size_t changed; /* cells that are not as they were */
    bool sound;     /* so far every change is legitimate */
    size_t values;  /* figures that are not even the same by value */
    bool must_warn;
    form form; /* of the first change */
} comparison;

/* A name of the user's own: more than two edits from every column of the file, or from every feature. */
static bool is_own_name(const table *t, te_slice cell, bool header)
{
    char text[CELL];
    char words[] = FEATURES;
    unsigned char c = cell.length > 0 ? (unsigned char)cell.bytes[0] : 0;
    bool letter = (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z');
    if (!letter || cell.length >= CELL)
        return false;
    (void)snprintf(text, sizeof text, "%.*s", (int)cell.length, cell.bytes);
    for (size_t i = 0; header && i < t->columns; i++) {
        if (te_text_distance(text, t->cell[0][i]) <= 2)
            return false;
    }
    char *rest = NULL;
    for (char *word = strtok_r(words, " ", &rest); !header && word != NULL;
         word = strtok_r(NULL, " ", &rest)) {
        if (te_text_distance(text, word) <= 2)
            return false;
    }
    return true;
}

static bool is_word(const char *words, te_slice cell)
{
    char framed[CELL + 3];
    if (cell.length >= CELL)
        return false;
    (void)snprintf(framed, sizeof framed, " %.*s ", (int)cell.length, cell.bytes);
    for (char *c = framed; *c != '\0'; c++)
        *c = (char)(*c >= 'A' && *c <= 'Z' ? *c - 'A' + 'a' : *c);
    return memchr(cell.bytes, ' ', cell.length) == NULL && strstr(words, framed) != NULL;
}

static bool is_plain_figure(te_slice cell)
{
    size_t at = cell.length > 0 && (cell.bytes[0] == '-' || cell.bytes[0] == '+');
    size_t digits = 0;
    size_t marks = 0;
    for (; at < cell.length; at++) {
        bool digit = cell.bytes[at] >= '0' && cell.bytes[at] <= '9';
        bool mark = cell.bytes[at] == '.' || cell.bytes[at] == ',';
        digits += digit;
        marks += mark;
        if (!digit && !mark)
            return false;
    }
    return digits > 0 && marks <= 1;
}

static bool is_date(te_slice cell)
{
    static const char shape[] = "dddd-dd-dd";
    for (size_t i = 0; i < sizeof shape - 1; i++) {
        bool digit = i < cell.length && cell.bytes[i] >= '0' && cell.bytes[i] <= '9';
        bool hyphen = i < cell.length && cell.bytes[i] == '-';
        if (shape[i] == 'd' ? !digit : !hyphen)
            return false;
    }
    return cell.length == sizeof shape - 1;
}

/* True when some table of the shop has that cell in the column of that name, or, of parts, a kind. */
static bool is_declared(const shop_tables *s, const char *column, te_slice cell)
{
    static const char kinds[] = " cylinder piston ring_set pin ";
    for (size_t i = 0; i < s->count; i++) {
        const table *t = &s->tables[i];
        for (size_t c = 0; c < t->columns; c++) {
            bool here = strcmp(t->cell[0][c], column) == 0 ||
                        (strcmp(column, "set_with") == 0 &&
                         strcmp(t->cell[0][c], "instrument") == 0);
            for (size_t r = 1; here && r < t->rows; r++) {
                if (strlen(t->cell[r][c]) == cell.length &&
                    memcmp(t->cell[r][c], cell.bytes, cell.length) == 0)
                    return true;
            }
        }
    }
    return strcmp(column, "part") == 0 && is_word(kinds, cell);
}

/* True when what the cell holds now is legitimate; `*form` then is its form. */
static bool is_legitimate(form *kind, const comparison *k, const char *column, te_slice cell)
{
    const column_form *f = form_of(column);
    bool named = strcmp(column, "quantity") == 0 || strcmp(column, "feature") == 0;
    *kind = f->form;
    if (cell.length == 0)
        return f->blank;
    switch (f->form) {
    case FIGURE: return is_plain_figure(cell);
    case NAME: return is_declared(k->shop, column, cell);
    case WORD:
        if (is_word(f->words, cell))
            return true;
        *kind = named ? OWN : FIGURE;
        return named ? is_own_name(k->table, cell, false)
                     : strcmp(column, "value") == 0 && is_plain_figure(cell);
    case DATE: return is_date(cell);
    default: return true;
    }
}

static bool is_readings(const table *t)
{
    return strncmp(t->name, "readings", 8) == 0;
}

static void change(comparison *k, form kind)
{
    k->must_warn = k->must_warn || kind == OWN;
    if (k->changed++ == 0)
        k->form = kind;
}

static bool same_value(const char *was, te_slice cell)
{
    char text[2][CELL];
    (void)snprintf(text[0], CELL, "%s", was);
    (void)snprintf(text[1], CELL, "%.*s", (int)(cell.length < CELL ? cell.length : CELL - 1),
                   cell.bytes);
    for (size_t i = 0; i < 2; i++) {
        for (char *mark = strchr(text[i], ','); mark != NULL; mark = strchr(mark, ','))
            *mark = '.';
    }
    return fabs(strtod(text[0], NULL) - strtod(text[1], NULL)) <= 0.0;
}

static te_status compare_row(void *context, const te_slice *cells, size_t count, uint32_t line)
{
    comparison *k = context;
    const table *t = k->table;
    bool blank = true;
    for (size_t c = 0; c < count; c++)
        blank = blank && cells[c].length == 0;
    if (blank)
        return TE_OK; /* no row */
    size_t row = k->row++;
    (void)line;
    k->sound = k->sound && row < t->rows;
    bool comment = cells[0].length > 0 && cells[0].bytes[0] == '#' &&
                   (cells[0].length == 1 || cells[0].bytes[1] == ' ');
    if (k->sound && comment && row > 0 && !is_readings(t)) {
        k->must_warn = k->must_warn || cells[0].length == 1;
        change(k, LOST_ROW);
        return TE_OK;
    }
    for (size_t c = 0; k->sound && c < (count > t->columns ? count : t->columns); c++) {
        te_slice cell = c < count ? cells[c] : (te_slice){"", 0};
        char was[CELL];
        form kind = OWN;
        (void)snprintf(was, sizeof was, "%s", c < t->columns ? t->cell[row][c] : "");
        char *point = is_figure(was) ? strchr(was, '.') : NULL;
        if (point != NULL)
            *point = k->shop->as.mark;
        if (strlen(was) == cell.length && memcmp(was, cell.bytes, cell.length) == 0)
            continue;
        k->sound = c < t->columns && (row == 0 ? is_own_name(t, cell, true)
                                               : is_legitimate(&kind, k, t->cell[0][c], cell));
        if (k->sound) {
            k->values += kind == FIGURE && !same_value(was, cell);
            change(k, kind);
        }
    }
    return TE_OK;
}

/* A row that is not even cut into cells. */
static void compare_comment(void *context, te_slice text, uint32_t line)
{
    comparison *k = context;
    (void)line;
    k->sound = k->sound && k->row > 0 && !is_readings(k->table);
    k->row++;
    k->must_warn = k->must_warn || (text.length > 1 && text.bytes[1] != ' ');
    change(k, LOST_ROW);
}

static void compare_fault(void *context, enum te_csv_fault fault, uint32_t line)
{
    (void)fault;
    (void)line;
    ((comparison *)context)->sound = false;
}

/* Holds the bytes of a file against the table that it was. */
static comparison compare_file(const shop_tables *s, const table *t, char delimiter,
                               const char *bytes, size_t length)
{
    comparison k = {.shop = s, .table = t, .sound = true, .form = FORMS};
    const struct te_csv_sink sink = {
        .row = compare_row, .fault = compare_fault, .comment = compare_comment, .context = &k};
    te_slice text = {NULL, 0};
    char *owned = NULL;
    enum te_encoding encoding;
    size_t bad_line = 0;
    if (te_decode(&text, &owned, &encoding, &bad_line, (te_slice){bytes, length}) != TE_OK)
        k.sound = false;
    else
        assert_int_equal(te_csv_read(&sink, text, delimiter, 1), TE_OK);
    free(owned);
    k.sound = k.sound && k.row == t->rows;
    k.must_warn = k.must_warn || k.values > 1;
    return k;
}

#endif
