/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Files that nobody here wrote, row by row: each is read as its author says it is meant, or refused at a
 * line, or stands in the table with what is read in its place and why (tests/data/foreign/cases.tsv). None is
 * misread in silence.
 */
#include "te_shop_text.h"

#include <stdlib.h>
#include <string.h>

#include "record/csv_rows.h"

enum { NAME, DELIMITER, BYTES, MEANT, OUTCOME, OURS, WHY, CELLS };

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

static void try_case(char **cell)
{
    seen s = {{0}, 0, 0, 0};
    struct te_csv_sink sink = {.row = take_row, .fault = take_fault, .context = &s};
    size_t length = unescape(cell[BYTES]);
    (void)unescape(cell[MEANT]);
    (void)unescape(cell[OURS]);
    assert_int_equal(
        te_csv_read(&sink, (te_slice){cell[BYTES], length}, delimiter_of(cell[DELIMITER]), 1),
        TE_OK);
    const char *rows = s.rows.text == NULL ? "" : s.rows.text;
    if (strcmp(cell[OUTCOME], "same") == 0) {
        if (s.faults > 0 || strcmp(rows, cell[MEANT]) != 0)
            fail_msg("%s is not read as it is meant", cell[NAME]);
    } else if (strcmp(cell[OUTCOME], "other") == 0) {
        if (s.faults > 0 || strcmp(rows, cell[OURS]) != 0 || strcmp(rows, cell[MEANT]) == 0)
            fail_msg("%s is not read as the table says", cell[NAME]);
    } else {
        static const char word[] = "refused ";
        char *rest = NULL;
        assert_int_equal(strncmp(cell[OUTCOME], word, sizeof word - 1), 0);
        long fault = strtol(cell[OUTCOME] + sizeof word - 1, &rest, 10);
        long line = strtol(rest, &rest, 10);
        assert_true(*rest == '\0' && line > 0);
        if (s.faults == 0 || s.fault != fault || s.line != line)
            fail_msg("%s is not refused as the table says: %zu faults, %d in line %u", cell[NAME],
                     s.faults, s.fault, (unsigned)s.line);
    }
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
    (void)state;
    static char row[1 << 16];
    size_t read = 0;
    size_t left_out = 0;
    FILE *table = fopen(TE_TEST_DATA "/foreign/cases.tsv", "rb");
    assert_non_null(table);
    while (fgets(row, sizeof row, table) != NULL) {
        char *cell[CELLS];
        row[strcspn(row, "\n")] = '\0';
        if (row[0] == '#')
            continue;
        cut(cell, row);
        if (strcmp(cell[OUTCOME], "left out") == 0) {
            left_out++;
        } else {
            try_case(cell);
            read++;
        }
    }
    assert_int_equal(fclose(table), 0);
    print_message("%zu read, %zu ask for what is no dialect here\n", read, left_out);
    assert_int_equal(read + left_out, 160);
    assert_true(read >= 70);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(each_is_read_as_meant_or_refused)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
