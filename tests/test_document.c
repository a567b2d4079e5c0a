/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The document as such, and as text: what each block becomes, and that no line is too wide. */
#include "te_test.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "hostile.h"
#include "topend/document.h"
#include "topend/text.h"

/* What a document becomes, terminated; freed by the next call. The document stays. */
static const char *text_in(const te_document *document, size_t width, bool colour)
{
    static te_buffer buffer;
    const te_text_style style = {.width = width, .colour = colour};
    te_buffer_free(&buffer);
    te_document_text(&buffer, document, &style);
    assert_false(buffer.failed);
    return buffer.bytes;
}

static void assert_text(te_document *document, const char *expected)
{
    assert_string_equal(text_in(document, 60, false), expected);
    te_document_free(document);
}

/* ---- the document ---- */

static void a_table_with_half_a_row_fails(void **state)
{
    (void)state;
    te_document document = {0};
    te_document_table(&document, "");
    assert_false(te_document_is_whole(&document)); /* no column */
    te_document_column(&document, "a", "", false);
    te_document_column(&document, "b", "", false);
    assert_true(te_document_is_whole(&document)); /* no row */
    te_document_cell(&document, TE_WEIGHT_PLAIN, "1");
    assert_false(te_document_is_whole(&document));
    te_document_cell(&document, TE_WEIGHT_PLAIN, "2");
    assert_true(te_document_is_whole(&document));
    te_document_cell(&document, TE_WEIGHT_PLAIN, "3");
    te_document_paragraph(&document, TE_WEIGHT_PLAIN, "text");
    assert_true(document.failed);
    te_document_free(&document);
}

static void a_column_after_a_cell_fails(void **state)
{
    (void)state;
    te_document document = {0};
    te_document_table(&document, "");
    te_document_column(&document, "a", "", false);
    te_document_cell(&document, TE_WEIGHT_PLAIN, "1");
    te_document_column(&document, "b", "", false);
    assert_true(document.failed);
    te_document_free(&document);
}

static void a_cell_without_a_table_fails(void **state)
{
    (void)state;
    te_document document = {0};
    te_document_cell(&document, TE_WEIGHT_PLAIN, "1");
    assert_true(document.failed);
    te_document_free(&document);
}

static void a_failed_drawing_fails_the_document(void **state)
{
    (void)state;
    te_document document = {0};
    te_drawing drawing = {0};
    te_buffer buffer = {0};
    const te_text_style style = {.width = 80};
    te_drawing_start(&drawing, 10.0, NAN, "a", "b");
    te_document_figure(&document, &drawing, "c");
    assert_true(document.failed);
    assert_null(drawing.chars);
    te_document_text(&buffer, &document, &style);
    assert_true(buffer.failed);
    assert_int_equal(buffer.length, 0);
    te_document_free(&document);
    te_buffer_free(&buffer);
}

static void a_column_without_a_table_fails(void **state)
{
    (void)state;
    te_document document = {0};
    te_document_column(&document, "a", "", false);
    assert_true(document.failed);
    te_document_free(&document);
}

/* A cell of a table that has no column stands in no row. */
static void a_cell_without_a_column_fails(void **state)
{
    (void)state;
    te_document document = {0};
    te_document_table(&document, "");
    te_document_cell(&document, TE_WEIGHT_PLAIN, "1");
    assert_int_equal(document.tables[0].row_count, 0);
    te_document_paragraph(&document, TE_WEIGHT_PLAIN, "text");
    assert_true(document.failed);
    assert_int_equal(document.block_count, 1);
    te_document_free(&document);
}

/* Nothing is freed of nothing, and past a document's texts stands none. */
static void no_document_has_no_text(void **state)
{
    (void)state;
    te_document document = {0};
    assert_string_equal(te_document_chars(&document, 0), "");
    te_document_start(&document, "title", "subject", "producer");
    assert_string_equal(te_document_chars(&document, document.title), "title");
    assert_string_equal(te_document_chars(&document, UINT32_MAX), "");
    te_document_boxes(&document); /* of no table */
    assert_false(document.failed);
    te_document_free(&document);
    te_document_free(NULL);
}

/* ---- blocks as text ---- */

static void headings_are_underlined(void **state)
{
    (void)state;
    te_document document = {0};
    te_document_heading(&document, 1, "Pump set 7");
    te_document_heading(&document, 2, "Findings");
    te_document_heading(&document, 3, "The bore");
    te_document_paragraph(&document, TE_WEIGHT_PLAIN, "text");
    assert_text(&document, "Pump set 7\n==========\n\n\nFindings\n--------\n\nThe bore\n\ntext\n");
}

static void paragraphs_and_entries_are_wrapped(void **state)
{
    (void)state;
    te_document document = {0};
    te_document_paragraph(&document, TE_WEIGHT_PLAIN,
                          "All figures of this page are invented and stand for no engine.");
    te_document_item(&document, TE_WEIGHT_PLAIN,
                     "Skirt clearance 0.124 mm is beyond the service limit of 0.120 mm.");
    te_document_item(&document, TE_WEIGHT_PLAIN, "short");
    te_document_link(&document, TE_WEIGHT_PLAIN, "Pump set 8", "8.html");
    te_document_page(&document);
    te_document_paragraph(&document, TE_WEIGHT_QUIET, "end");
    assert_text(&document, "All figures of this page are invented and stand for no\n"
                           "engine.\n\n"
                           "- Skirt clearance 0.124 mm is beyond the service limit of\n"
                           "  0.120 mm.\n"
                           "- short\n\n"
                           "- Pump set 8: 8.html\n\n"
                           "end\n");
}

static void a_verdict_is_framed(void **state)
{
    (void)state;
    te_document document = {0};
    te_document_verdict(&document, TE_WEIGHT_BAD, "Do not reuse", "pump set 7, as found");
    te_document_verdict(&document, TE_WEIGHT_WARNING, "Cannot be told",
                        "pump set 8, as found on the day of the yearly inspection of all sets");
    assert_text(&document, "+----------------------+\n"
                           "| Do not reuse         |\n"
                           "| pump set 7, as found |\n"
                           "+----------------------+\n\n"
                           "+----------------------------------------------------------+\n"
                           "| Cannot be told                                           |\n"
                           "| pump set 8, as found on the day of the yearly inspection |\n"
                           "| of all sets                                              |\n"
                           "+----------------------------------------------------------+\n");
}

static void a_figure_is_told(void **state)
{
    (void)state;
    te_document document = {0};
    te_drawing drawing = {0};
    te_drawing_start(&drawing, 10.0, 10.0, "Bore", "It is round; it is round at every height.");
    te_document_figure(&document, &drawing, "caption");
    te_document_signature(&document, "Measured by, date");
    assert_text(&document, "[Figure: Bore. It is round; it is round at every height.]\n\n\n"
                           "________________________________________\nMeasured by, date\n");
}

/* ---- tables as text ---- */

static void add_row(te_document *document, size_t count, const char *const *cells)
{
    for (size_t i = 0; i < count; i++) {
        te_document_cell(document, TE_WEIGHT_PLAIN, cells[i]);
    }
}

static void a_table_is_laid_out(void **state)
{
    (void)state;
    static const char *const rows[][3] = {{"bore", "66.0560", "undecided"},
                                          {"out of round", "0.0050", ""}};
    te_document document = {0};
    te_document_table(&document, "Findings");
    te_document_column(&document, "Quantity", "", false);
    te_document_column(&document, "Value", "mm", true);
    te_document_column(&document, "Status", "", false);
    add_row(&document, 3, rows[0]);
    add_row(&document, 3, rows[1]);
    assert_text(&document, "Findings\n\n"
                           "Quantity      Value (mm)  Status\n"
                           "------------  ----------  ---------\n"
                           "bore             66.0560  undecided\n"
                           "out of round      0.0050\n");
}

static void long_cells_are_wrapped_in_their_column(void **state)
{
    (void)state;
    static const char *const row[] = {
        "bore", "66.0560",
        "gauge set anew between this reading and the one before, for the door had stood open"};
    te_document document = {0};
    te_document_table(&document, "");
    te_document_column(&document, "Quantity", "", false);
    te_document_column(&document, "Value", "mm", true);
    te_document_column(&document, "Note", "", false);
    add_row(&document, 3, row);
    assert_text(&document, "Quantity    Value  Note\n"
                           "             (mm)\n"
                           "--------  -------  -----------------------------------------\n"
                           "bore      66.0560  gauge set anew between this reading and\n"
                           "                   the one before, for the door had stood\n"
                           "                   open\n");
}

static void what_fits_no_columns_becomes_lines(void **state)
{
    (void)state;
    te_document document = {0};
    te_document_table(&document, "Many columns");
    for (int i = 0; i < 8; i++) {
        te_document_column(&document, i == 0 ? "Quantity" : "Measured", i == 0 ? "" : "mm", i > 0);
    }
    for (int i = 0; i < 16; i++) {
        te_document_cell(&document, TE_WEIGHT_PLAIN,
                         i % 8 == 0            ? "bore"
                         : i % 8 < 3           ? "66.0560"
                         : i % 8 == 7 && i > 8 ? "0.0062"
                                               : "");
    }
    assert_text(&document, "Many columns\n\n"
                           "Quantity: bore\n    Measured (mm): 66.0560\n"
                           "    Measured (mm): 66.0560\n\n"
                           "Quantity: bore\n    Measured (mm): 66.0560\n"
                           "    Measured (mm): 66.0560\n    Measured (mm): 0.0062\n");
}

static void boxes_are_drawn(void **state)
{
    (void)state;
    static const char *const row[] = {"12 mm, thrust", "66.051", ""};
    te_document document = {0};
    te_document_table(&document, "");
    te_document_boxes(&document);
    te_document_column(&document, "Where", "", false);
    te_document_column(&document, "Last time", "mm", true);
    te_document_column(&document, "Now", "mm", true);
    add_row(&document, 3, row);
    assert_text(&document, "Where          Last time (mm)  Now (mm)\n"
                           "-------------  --------------  --------\n"
                           "12 mm, thrust          66.051  [      ]\n");
}

/* ---- any document ---- */

/* Every kind of block, filled with one text. */
static te_document everywhere(const char *text, uint32_t columns)
{
    te_document document = {0};
    te_drawing drawing = {0};
    te_document_start(&document, text, text, text);
    te_document_heading(&document, 1, text);
    te_document_verdict(&document, TE_WEIGHT_BAD, text, text);
    te_document_paragraph(&document, TE_WEIGHT_WARNING, text);
    te_document_item(&document, TE_WEIGHT_GOOD, text);
    te_document_link(&document, TE_WEIGHT_STRONG, text, text);
    te_document_table(&document, text);
    for (uint32_t i = 0; i < columns; i++) {
        te_document_column(&document, i % 3 == 2 ? "" : text, i % 2 == 0 ? "" : "mm", i % 2 == 1);
    }
    for (uint32_t i = 0; i < 2 * columns; i++) {
        te_document_cell(&document, i % 5 == 4 ? TE_WEIGHT_BAD : TE_WEIGHT_PLAIN,
                         i % 4 == 3 ? "" : text);
    }
    te_drawing_start(&drawing, 10.0, 10.0, text, text);
    te_document_figure(&document, &drawing, text);
    te_document_signature(&document, text);
    return document;
}

static void assert_lines_fit(const char *text, size_t width)
{
    for (const char *line = text; *line != '\0';) {
        size_t length = strcspn(line, "\n");
        size_t used = te_text_width((te_slice){line, length});
        if (used > width) {
            fail_msg("%zu columns of %zu: %.*s", used, width, (int)length, line);
        }
        assert_int_equal(line[length], '\n');
        line += length + 1;
    }
}

static void no_line_is_wider_than_asked(void **state)
{
    (void)state;
    for (size_t i = 0; i < HOSTILE_COUNT; i++) {
        for (uint32_t columns = 1; columns <= 24; columns++) {
            te_document document = everywhere(hostile_texts[i], columns);
            for (size_t width = 60; width <= 132; width += 9) {
                assert_lines_fit(text_in(&document, width, false), width);
            }
            te_document_free(&document);
        }
    }
}

static void long_texts_fit_as_well(void **state)
{
    (void)state;
    enum { LENGTH = 100000 };
    char *text = malloc(LENGTH + 1);
    assert_non_null(text);
    memset(text, 'w', LENGTH);
    text[LENGTH] = '\0';
    te_document document = everywhere(text, 3);
    assert_lines_fit(text_in(&document, 80, false), 80);
    te_document_free(&document);
    free(text);
}

/* Only escape sequences differ: neither a word nor a column moves. */
static void colour_changes_no_letter(void **state)
{
    (void)state;
    te_document document = everywhere("three short words", 4);
    char *plain = strdup(text_in(&document, 72, false));
    assert_non_null(plain);
    const char *coloured = text_in(&document, 72, true);
    assert_non_null(strstr(coloured, "\x1b[31m"));
    assert_null(strchr(plain, '\x1b'));
    size_t at = 0;
    for (const char *c = coloured; *c != '\0';) {
        if (*c == '\x1b') {
            c += strcspn(c, "m") + 1;
        } else {
            assert_int_equal(*c++, plain[at++]);
        }
    }
    assert_int_equal(plain[at], '\0');
    free(plain);
    te_document_free(&document);
}

/* Letters of a text without blanks, hyphens of the layout, rules and frames left out. */
static size_t letters_of(const char *text)
{
    size_t count = 0;
    for (const char *c = text; *c != '\0'; c++) {
        count += *c >= 'a' && *c <= 'z';
    }
    return count;
}

/* Whatever the width, no letter is lost. */
static void no_width_loses_a_letter(void **state)
{
    (void)state;
    for (uint32_t columns = 1; columns <= 12; columns++) {
        te_document document = everywhere("abc defghij klmnopqrstuvwxyzabcdefghijklmnop", columns);
        size_t letters = 0;
        for (size_t width = 60; width <= 960; width *= 2) {
            const char *text = text_in(&document, width, false);
            /* As lines, a table repeats its heads in each row. */
            bool lines = strstr(text, "------  ") == NULL && columns > 1;
            if (!lines) {
                letters = letters == 0 ? letters_of(text) : letters;
                assert_int_equal(letters_of(text), letters);
            }
        }
        assert_true(letters > 0);
        te_document_free(&document);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_table_with_half_a_row_fails),
        cmocka_unit_test(a_column_after_a_cell_fails),
        cmocka_unit_test(a_cell_without_a_table_fails),
        cmocka_unit_test(a_failed_drawing_fails_the_document),
        cmocka_unit_test(a_column_without_a_table_fails),
        cmocka_unit_test(a_cell_without_a_column_fails),
        cmocka_unit_test(no_document_has_no_text),
        cmocka_unit_test(headings_are_underlined),
        cmocka_unit_test(paragraphs_and_entries_are_wrapped),
        cmocka_unit_test(a_verdict_is_framed),
        cmocka_unit_test(a_figure_is_told),
        cmocka_unit_test(a_table_is_laid_out),
        cmocka_unit_test(long_cells_are_wrapped_in_their_column),
        cmocka_unit_test(what_fits_no_columns_becomes_lines),
        cmocka_unit_test(boxes_are_drawn),
        cmocka_unit_test(no_line_is_wider_than_asked),
        cmocka_unit_test(long_texts_fit_as_well),
        cmocka_unit_test(colour_changes_no_letter),
        cmocka_unit_test(no_width_loses_a_letter),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
