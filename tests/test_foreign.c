/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Files that nobody here wrote, row by row: each is read as its author says it is meant, or refused at a
 * line, or stands in a table with what is read in its place and why (tests/data/foreign). None is misread in
 * silence; as the readings of a shop each is refused, and what is wrong with a quote or a byte is told so.
 */
#include "shop_kit.h"
#include "te_shop_text.h"

#include "csv_ways.h"

enum { NAME, DELIMITER, BYTES, MEANT, OUTCOME, OURS, WHY, CELLS };

/* What can be made of a case. */
enum { SAME, REFUSED, OTHER, LEFT_OUT, OUTCOMES };
static const char *const outcomes[] = {"same", "refused", "other", "left out"};

/* A table and how many rows of each outcome it has. */
typedef struct table {
    const char *path;
    size_t rows[OUTCOMES];
} table;

/* Turns \xNN and \\ back; in place. Returns the length. */
static size_t unescape(char *text)
{
    char *out = text;
    for (const char *in = text; *in != '\0'; out++) {
        if (in[0] == '\\' && in[1] == 'x') {
            char digits[3] = {in[2], in[3], '\0'};
            *out = (char)strtoul(digits, NULL, 16);
            in += 4;
        } else {
            in += *in == '\\';
            *out = *in++;
        }
    }
    *out = '\0';
    return (size_t)(out - text);
}

/* What was read: rows that are not blank, between marks as in the table; the first fault. */
typedef struct seen {
    te_grown rows;
    size_t faults;
    int fault;
    uint32_t line;
} seen;

static te_status take_row(void *context, const te_slice *cells, size_t count, uint32_t line)
{
    seen *s = context;
    bool blank = true;
    (void)line;
    for (size_t i = 0; i < count; i++)
        blank = blank && cells[i].length == 0;
    if (blank || te_csv_is_comment(cells[0], '\0'))
        return TE_OK;
    te_grown_add(&s->rows, "%s", s->rows.length > 0 ? "\x1e" : "");
    for (size_t i = 0; i < count; i++)
        te_grown_add(&s->rows, "%s%.*s", i > 0 ? "\x1f" : "", (int)cells[i].length, cells[i].bytes);
    return TE_OK;
}

static void take_fault(void *context, enum te_csv_fault fault, uint32_t line)
{
    seen *s = context;
    if (s->faults++ == 0) {
        s->fault = (int)fault;
        s->line = line;
    }
}

static char delimiter_of(const char *word)
{
    return (char)(strcmp(word, "comma") == 0 ? ',' : strcmp(word, "semicolon") == 0 ? ';' : '\t');
}

static int outcome_of(const char *word)
{
    for (int i = 0; i < OUTCOMES; i++)
        if (strncmp(word, outcomes[i], strlen(outcomes[i])) == 0 &&
            word[strlen(outcomes[i])] == (i == REFUSED ? ' ' : '\0'))
            return i;
    fail_msg("\"%s\" is no outcome", word);
    return OUTCOMES;
}

/* As a file of readings it is refused: it has no column of one. */
static void no_shop_takes_it(const char *name, te_slice bytes)
{
    kit k = kit_with_readings(bytes.bytes, bytes.length);
    kit_read(&k);
    if (k.problems.errors == 0 || strcmp(k.problems.items[0].file, "readings.csv") != 0)
        fail_msg("%s is taken for readings", name);
    kit_free(&k);
}

static const char stray_quote[] =
    "a quote stands where none may be; put the whole cell in quotes and double the quotes in it";

/* Below the header row of a file of readings the fault is told in words, at its line. */
static void user_is_told(char **cell, te_slice bytes, int fault, long line)
{
    static const char *const words[] = {
        [TE_CSV_STRAY_QUOTE] = stray_quote,
        [TE_CSV_OPEN_QUOTE] = "a quote is opened and never closed; close it or take it out",
        [TE_CSV_NUL] = "the line holds a NUL byte; save the file again as CSV in UTF-8"};
    char told[256];
    te_grown text = {0};
    char mark = delimiter_of(cell[DELIMITER]);
    assert_true(fault >= 0 && (size_t)fault < sizeof words / sizeof *words && words[fault] != NULL);
    te_grown_add(&text, "inspection%cfeature%creading\n", mark, mark);
    char *file = malloc(text.length + bytes.length);
    assert_non_null(file);
    memcpy(file, text.text, text.length);
    memcpy(file + text.length, bytes.bytes, bytes.length);
    kit k = kit_with_readings(file, text.length + bytes.length);
    kit_read(&k);
    (void)snprintf(told, sizeof told, "readings.csv:%ld: error: %s\n", line + 1, words[fault]);
    if (strstr(kit_problems(&k.problems), told) == NULL)
        fail_msg("%s: no %s", cell[NAME], told);
    kit_free(&k);
    free(file);
    te_grown_free(&text);
}

static void try_refused(char **cell, te_slice bytes, const seen *s)
{
    char *rest = NULL;
    long fault = strtol(cell[OUTCOME] + strlen(outcomes[REFUSED]), &rest, 10);
    long line = strtol(rest, &rest, 10);
    assert_true(*rest == '\0' && line > 0);
    if (s->faults == 0 || s->fault != fault || s->line != line)
        fail_msg("%s is not refused as the table says: %zu faults, %d in line %u", cell[NAME],
                 s->faults, s->fault, (unsigned)s->line);
    user_is_told(cell, bytes, s->fault, line);
}

static void try_case(char **cell, int outcome)
{
    seen s = {{0}, 0, 0, 0};
    struct te_csv_sink sink = {.row = take_row, .fault = take_fault, .context = &s};
    te_slice bytes = {cell[BYTES], unescape(cell[BYTES])};
    te_slice text = {NULL, 0};
    char *owned = NULL;
    enum te_encoding encoding = TE_ENCODING_UTF8;
    size_t bad_line = 0;
    (void)unescape(cell[MEANT]);
    (void)unescape(cell[OURS]);
    assert_int_equal(te_decode(&text, &owned, &encoding, &bad_line, bytes), TE_OK);
    assert_int_equal(te_csv_read(&sink, text, delimiter_of(cell[DELIMITER]), 1), TE_OK);
    csv_every_way(text, delimiter_of(cell[DELIMITER]));
    const char *rows = s.rows.text == NULL ? "" : s.rows.text;
    if (outcome == SAME && (s.faults > 0 || strcmp(rows, cell[MEANT]) != 0))
        fail_msg("%s is not read as it is meant", cell[NAME]);
    if (outcome == OTHER &&
        (s.faults > 0 || strcmp(rows, cell[OURS]) != 0 || strcmp(rows, cell[MEANT]) == 0))
        fail_msg("%s is not read as the table says", cell[NAME]);
    if (outcome == REFUSED)
        try_refused(cell, bytes, &s);
    no_shop_takes_it(cell[NAME], bytes);
    free(owned);
    te_grown_free(&s.rows);
}

/* Cuts a row of the table; it has all its cells, and a reason where one is due. */
static void cut(char **cell, char *row)
{
    for (int i = 0; i < CELLS; i++) {
        cell[i] = row;
        row += strcspn(row, "\t");
        assert_true((*row == '\t') == (i + 1 < CELLS));
        *row++ = '\0';
    }
    assert_true((cell[WHY][0] == '\0') == (strcmp(cell[OUTCOME], "same") == 0));
}

static void each_is_read_as_meant_or_refused(void **state)
{
    static char row[1 << 16];
    const table *t = *state;
    size_t rows[OUTCOMES] = {0};
    FILE *file = fopen(t->path, "rb");
    assert_non_null(file);
    while (fgets(row, sizeof row, file) != NULL) {
        char *cell[CELLS];
        row[strcspn(row, "\n")] = '\0';
        if (row[0] == '#')
            continue;
        cut(cell, row);
        int outcome = outcome_of(cell[OUTCOME]);
        if (outcome != LEFT_OUT)
            try_case(cell, outcome);
        rows[outcome]++;
    }
    assert_int_equal(fclose(file), 0);
    for (int i = 0; i < OUTCOMES; i++) {
        print_message("%s: %zu\n", outcomes[i], rows[i]);
        assert_int_equal(rows[i], t->rows[i]);
    }
}

int main(void)
{
    static table cases = {TE_TEST_DATA "/foreign/cases.tsv", {74, 10, 3, 73}};
    static table dialects = {TE_TEST_DATA "/foreign/dialects.tsv", {131, 20, 6, 37}};
    const struct CMUnitTest tests[] = {
        {"cases.tsv", each_is_read_as_meant_or_refused, NULL, NULL, &cases},
        {"dialects.tsv", each_is_read_as_meant_or_refused, NULL, NULL, &dialects}};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
