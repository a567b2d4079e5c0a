/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The PDF writer. What is in a file is read back by programs that did not write it: pdftotext,
 * pdfinfo, qpdf. Without them the tests fail.
 *
 *   test_pdf                    all tests
 *   test_pdf --without-fonts    writes one document and exits with the status it got, negated: run by
 *                               a test with a configuration that names no font
 */
#include <math.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

#include "pdf/sample.h"
#include "te_test.h"
#include "topend/pdf.h"

static const char *self; /* the path of this program */

/* ---- files and programs ---- */

/* A document written, and the file that holds it. */
struct written {
    te_buffer bytes;
    char path[32];
};

static void write_paper(struct written *written, const te_document *document, te_pdf_paper paper)
{
    te_pdf_missing missing = {0};
    *written = (struct written){.path = "/tmp/test_pdf.XXXXXX"};
    assert_int_equal(te_document_pdf(&written->bytes, &missing, document, paper), TE_OK);
    assert_int_equal(missing.character, 0);
    int file = mkstemp(written->path);
    assert_true(file >= 0);
    size_t done = 0;
    while (done < written->bytes.length) {
        ssize_t more = write(file, written->bytes.bytes + done, written->bytes.length - done);
        assert_true(more > 0);
        done += (size_t)more;
    }
    assert_int_equal(close(file), 0);
}

static void write_a4(struct written *written, const te_document *document)
{
    write_paper(written, document, TE_PDF_A4);
}

static void written_free(struct written *written)
{
    te_buffer_free(&written->bytes);
    assert_int_equal(unlink(written->path), 0);
}

/* What a command prints; the test fails when the command does. The caller frees it. */
static char *output_of(const char *format, const char *path)
{
    char command[256];
    char block[4096];
    te_buffer buffer = {0};
    assert_true(snprintf(command, sizeof command, format, path) < (int)sizeof command);
    FILE *pipe = popen(command, "r"); /* NOLINT(cert-env33-c): commands of this file alone */
    assert_non_null(pipe);
    size_t length = 0;
    while ((length = fread(block, 1, sizeof block, pipe)) > 0) {
        te_buffer_add(&buffer, block, length);
    }
    if (pclose(pipe) != 0) {
        fail_msg("failed: %s", command);
    }
    te_buffer_add(&buffer, "", 1);
    assert_false(buffer.failed);
    return buffer.bytes;
}

/* The text of all pages, in the order of reading; a page ends with a form feed. */
static char *text_of(const struct written *written)
{
    return output_of("pdftotext -layout %s -", written->path);
}

/* The same in the order of drawing, which parts no table's cell from its lines. */
static char *raw_of(const struct written *written)
{
    return output_of("pdftotext -raw %s -", written->path);
}

/* The file with all streams unpacked. */
static char *unpacked(const struct written *written)
{
    return output_of("qpdf --qdf --object-streams=disable %s - | tr '\\000' ' '", written->path);
}

static size_t count_of(const char *text, const char *word)
{
    size_t count = 0;
    for (const char *at = strstr(text, word); at != NULL; at = strstr(at + 1, word)) {
        count++;
    }
    return count;
}

static size_t count_char(const char *text, char c)
{
    size_t count = 0;
    for (; *text != '\0'; text++) {
        count += *text == c ? 1 : 0;
    }
    return count;
}

/* On which page a word first stands, from 1; 0 for none. */
static size_t page_of(const char *text, const char *word)
{
    const char *at = strstr(text, word);
    size_t page = 1;
    for (const char *c = text; at != NULL && c < at; c++) {
        page += *c == '\f' ? 1 : 0;
    }
    return at == NULL ? 0 : page;
}

static size_t pages_of(const char *text)
{
    return count_char(text, '\f');
}

/* Takes white space out of a text. */
static void close_up(char *text)
{
    char *to = text;
    for (const char *from = text; *from != '\0'; from++) {
        if (strchr(" \n\f\r\t", *from) == NULL) {
            *to++ = *from;
        }
    }
    *to = '\0';
}

static void assert_holds(const char *text, const char *word)
{
    if (strstr(text, word) == NULL) {
        fail_msg("\"%s\" is not in: %.2000s", word, text);
    }
}

/* A word on a page, from the top left corner. */
struct box {
    size_t page;
    double left, top, right, bottom;
};

static double attribute(const char *at, const char *name)
{
    const char *found = strstr(at, name);
    assert_non_null(found);
    return strtod(found + strlen(name), NULL);
}

/* All words of a file; the caller frees them. */
static struct box *boxes_of(size_t *count, const struct written *written)
{
    char *text = output_of("pdftotext -bbox %s -", written->path);
    struct box *boxes = calloc(count_of(text, "<word ") + 1, sizeof *boxes);
    size_t page = 0;
    assert_non_null(boxes);
    *count = 0;
    char *rest = text;
    for (char *line = strtok_r(text, "\n", &rest); line != NULL;
         line = strtok_r(NULL, "\n", &rest)) {
        page += strstr(line, "<page ") != NULL ? 1 : 0;
        if (strstr(line, "<word ") != NULL) {
            boxes[(*count)++] = (struct box){page, attribute(line, "xMin=\""),
                                             attribute(line, "yMin=\""), attribute(line, "xMax=\""),
                                             attribute(line, "yMax=\"")};
        }
    }
    free(text);
    return boxes;
}

/* True when the letters of two words run into each other; their boxes are higher than letters. */
static bool collide(const struct box *a, const struct box *b)
{
    const double hair = 0.3; /* points */
    double high = 0.2 * (a->bottom - a->top + b->bottom - b->top);
    return a->page == b->page && a->left < b->right - hair && b->left < a->right - hair &&
           a->top + high < b->bottom && b->top + high < a->bottom;
}

/* Every word of a file stands within the margins of A4, and in the way of no other. Returns how many
 * there are. */
static size_t words_in_place(const struct written *written)
{
    size_t count = 0;
    struct box *boxes = boxes_of(&count, written);
    for (size_t i = 0; i < count; i++) {
        assert_true(boxes[i].left > 40.0 && boxes[i].right < 595.3 - 40.0);
        assert_true(boxes[i].top > 40.0 && boxes[i].bottom < 841.9 - 20.0);
        for (size_t j = i + 1; j < count && boxes[j].page == boxes[i].page; j++) {
            if (collide(&boxes[i], &boxes[j])) {
                fail_msg("page %zu: words collide at %g %g", boxes[i].page, boxes[j].left,
                         boxes[j].top);
            }
        }
    }
    free(boxes);
    return count;
}

/* ---- the file ---- */

static void test_every_kind_of_block(void **state)
{
    (void)state;
    static const char *const words[] = {"Inspection of PS-03",
                                        "Do not reuse",
                                        "The assembly at 402.5 h",
                                        "Measure again",
                                        "Piston K1",
                                        "Reuse",
                                        "Pin P1",
                                        "A plain paragraph: µ ± ° é ß Ω Ж.",
                                        "A strong paragraph.",
                                        "A quiet paragraph.",
                                        "A good entry.",
                                        "An entry that warns.",
                                        "A bad entry.",
                                        "Another report (PS-01.html)",
                                        "Findings",
                                        "Lengths at 20 °C.",
                                        "Quantity",
                                        "Low",
                                        "mm",
                                        "66.0820",
                                        "66.1340",
                                        "beyond",
                                        "end_gap 1",
                                        "Figures",
                                        "drawn at the start",
                                        "drawn in the middle",
                                        "drawn at the end",
                                        "Every kind of mark.",
                                        "To be filled in",
                                        "bore at 28 mm",
                                        "Measured by",
                                        "Checked by",
                                        "Owner",
                                        "Page 1 of 2",
                                        "Page 2 of 2"};
    te_document document = {0};
    struct written written;
    sample_document(&document);
    write_a4(&written, &document);
    char *text = text_of(&written);
    for (size_t i = 0; i < sizeof words / sizeof *words; i++) {
        assert_holds(text, words[i]);
    }
    assert_int_equal(pages_of(text), 2);
    assert_int_equal(page_of(text, "Figures"), 2);
    assert_true(words_in_place(&written) > 80);
    free(text);
    text = raw_of(&written);
    close_up(text);
    assert_holds(text, "drawn_upright");
    free(text);
    written_free(&written);
    te_document_free(&document);
}

static void test_file_has_both_ends_and_is_sound(void **state)
{
    (void)state;
    te_document document = {0};
    struct written written;
    sample_document(&document);
    write_a4(&written, &document);
    assert_memory_equal(written.bytes.bytes, "%PDF-1.5\n", 9);
    assert_memory_equal(written.bytes.bytes + written.bytes.length - 6, "%%EOF\n", 6);
    char *check = output_of("qpdf --check %s 2>&1", written.path);
    assert_holds(check, "No syntax or stream encoding errors found");
    free(check);
    written_free(&written);
    te_document_free(&document);
}

static void test_an_empty_document_is_one_page(void **state)
{
    (void)state;
    te_document document = {0};
    struct written written;
    write_a4(&written, &document);
    char *text = text_of(&written);
    assert_int_equal(pages_of(text), 1);
    assert_holds(text, "Page 1 of 1");
    free(text);
    written_free(&written);
}

static void test_paper(void **state)
{
    (void)state;
    static const char *const sizes[] = {"595.276 x 841.89 pts (A4)", "612 x 792 pts (letter)"};
    te_document document = {0};
    sample_document(&document);
    for (unsigned paper = TE_PDF_A4; paper <= TE_PDF_LETTER; paper++) {
        struct written written;
        write_paper(&written, &document, (te_pdf_paper)paper);
        char *info = output_of("pdfinfo -f 1 -l 99 %s", written.path);
        assert_int_equal(count_of(info, sizes[paper]), 2);
        free(info);
        written_free(&written);
    }
    te_document_free(&document);
}

static void test_bytes_repeat(void **state)
{
    (void)state;
    te_document document = {0};
    te_buffer first = {0}, second = {0};
    sample_document(&document);
    assert_int_equal(te_document_pdf(&first, NULL, &document, TE_PDF_A4), TE_OK);
    assert_int_equal(te_document_pdf(&second, NULL, &document, TE_PDF_A4), TE_OK);
    assert_int_equal(first.length, second.length);
    assert_memory_equal(first.bytes, second.bytes, first.length);
    te_buffer_free(&second);
    document.time++;
    assert_int_equal(te_document_pdf(&second, NULL, &document, TE_PDF_A4), TE_OK);
    assert_int_equal(first.length, second.length);
    assert_memory_not_equal(first.bytes, second.bytes, first.length);
    te_buffer_free(&first);
    te_buffer_free(&second);
    te_document_free(&document);
}

/* Neither the environment's language nor its decimal mark reach the file. */
static void test_bytes_do_not_follow_the_environment(void **state)
{
    (void)state;
    char *plain = output_of("%s --digest", self);
    char *other = output_of("LC_ALL=de_DE.UTF-8 LANG=ja_JP.UTF-8 LANGUAGE=ja TZ=Pacific/Apia "
                            "PANGO_LANGUAGE=ar %s --digest",
                            self);
    assert_true(strlen(plain) > 3);
    assert_string_equal(plain, other);
    free(plain);
    free(other);
}

static void test_appends_to_its_buffer(void **state)
{
    (void)state;
    te_document document = {0};
    te_buffer buffer = {0};
    sample_document(&document);
    te_buffer_text(&buffer, "before");
    assert_int_equal(te_document_pdf(&buffer, NULL, &document, TE_PDF_A4), TE_OK);
    assert_memory_equal(buffer.bytes, "before%PDF-", 11);
    te_buffer_free(&buffer);
    te_document_free(&document);
}

/* ---- metadata ---- */

static void test_metadata(void **state)
{
    (void)state;
    te_document document = {0};
    struct written written;
    sample_document(&document);
    write_a4(&written, &document);
    char *info = output_of("pdfinfo -isodates %s", written.path);
    assert_holds(info, "Title:           Inspection of PS-03\n");
    assert_holds(info, "Subject:         Top end of pump set PS-03, invented\n");
    assert_holds(info, "Creator:         topend 0.0\n");
    assert_holds(info, "Producer:        cairo ");
    assert_holds(info, "CreationDate:    2026-04-18T08:13:20Z\n");
    assert_holds(info, "ModDate:         2026-04-18T08:13:20Z\n");
    free(info);
    written_free(&written);
    te_document_free(&document);
}

static void test_without_a_time_it_is_now(void **state)
{
    (void)state;
    te_document document = {0};
    struct written written;
    sample_document(&document);
    document.has_time = false;
    time_t before = time(NULL);
    write_a4(&written, &document);
    char *said = output_of("date -d \"$(pdfinfo -isodates %s | "
                           "awk '$1 == \"CreationDate:\" { print $2 }')\" +%%s",
                           written.path);
    assert_in_range(strtoull(said, NULL, 10), (unsigned long)before, (unsigned long)time(NULL));
    free(said);
    written_free(&written);
    te_document_free(&document);
}

static void test_years(void **state)
{
    (void)state;
    static const struct {
        int64_t time;
        const char *said; /* NULL: refused */
    } cases[] = {
        {0, "1970-01-01T00:00:00Z"},
        {-1, "1969-12-31T23:59:59Z"},
        {951782400, "2000-02-29T00:00:00Z"},
        {253402300799, "9999-12-31T23:59:59Z"},
        {253402300800, NULL},
        {-62135596801, NULL},
        {INT64_MAX, NULL},
        {INT64_MIN, NULL},
    };
    te_document document = {0};
    sample_document(&document);
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        te_buffer buffer = {0};
        document.time = cases[i].time;
        if (cases[i].said == NULL) {
            assert_int_equal(te_document_pdf(&buffer, NULL, &document, TE_PDF_A4), TE_ERR_DOMAIN);
            assert_int_equal(buffer.length, 0);
            continue;
        }
        struct written written;
        write_a4(&written, &document);
        char *info = output_of("pdfinfo -isodates %s", written.path);
        assert_holds(info, cases[i].said);
        free(info);
        written_free(&written);
    }
    te_document_free(&document);
}

/* Entries hold those of lower levels, and lead to the pages of their headings. */
static void test_outline_and_labels(void **state)
{
    (void)state;
    te_document document = {0};
    struct written written;
    sample_document(&document);
    write_a4(&written, &document);
    char *outline = output_of("qpdf --json --json-key=outlines %s | tr -d ' \\n' | sed "
                              "'s/\"dest\":[[][^]]*[]],//g; s/\"object\":\"[^\"]*\",//g; "
                              "s/\"open\":[a-z]*,//g'",
                              written.path);
    assert_holds(outline, "\"outlines\":[{\"destpageposfrom1\":1,\"kids\":["
                          "{\"destpageposfrom1\":1,\"kids\":[],\"title\":\"Findings\"},"
                          "{\"destpageposfrom1\":2,\"kids\":["
                          "{\"destpageposfrom1\":2,\"kids\":[],\"title\":\"Tobefilledin\"}],"
                          "\"title\":\"Figures\"}],\"title\":\"InspectionofPS-03\"}]");
    free(outline);
    char *file = unpacked(&written);
    assert_holds(file, "/PageLabels");
    free(file);
    written_free(&written);
    te_document_free(&document);
}

static void test_headings_of_any_levels(void **state)
{
    (void)state;
    te_document document = {0};
    struct written written;
    te_document_heading(&document, 3, "third first");
    te_document_heading(&document, 1, "first");
    te_document_heading(&document, 3, "third below first");
    te_document_heading(&document, 2, "second");
    te_document_heading(&document, 7, "seventh");
    te_document_heading(&document, 0, "noughth");
    te_document_heading(&document, 2, "");
    write_a4(&written, &document);
    char *check = output_of("qpdf --check %s 2>&1", written.path);
    assert_holds(check, "No syntax or stream encoding errors found");
    free(check);
    char *text = text_of(&written);
    assert_holds(text, "third below first");
    assert_holds(text, "noughth");
    free(text);
    written_free(&written);
    te_document_free(&document);
}

/* ---- hostile texts ---- */

static const char *const hostile[] = {
    "(",
    ")",
    "\\",
    "()\\)(",
    ") Tj ET Q endstream endobj",
    "%%EOF",
    "<</Type /Catalog>>",
    "<b>bold</b> &amp; &lt; &#0; <span foreground='white'>hidden</span>",
    "%n%s%d",
    "<script>alert(1)</script>",
    "'\"; rm -rf",
    "\xEF\xBF\xBD",
    "line\nbreak\ttab\x1B[31m",
    "\xFF\xFE not UTF-8",
    "\xE2\x80\xAEreversed",
    "=1+1"};

/* What such a text is after the document made it safe to show. */
static const char *shown_in(const te_document *document, size_t block)
{
    return te_document_chars(document, document->blocks[block].text);
}

static void assert_shown(const struct written *written, const te_document *document, size_t block)
{
    char *text = raw_of(written);
    char *wanted = strdup(shown_in(document, block));
    close_up(text);
    close_up(wanted);
    assert_holds(text, wanted);
    free(text);
    free(wanted);
}

static void test_hostile_texts_are_only_text(void **state)
{
    (void)state;
    te_document document = {0};
    struct written written;
    const size_t count = sizeof hostile / sizeof *hostile;
    for (size_t i = 0; i < count; i++) {
        te_document_paragraph(&document, TE_WEIGHT_PLAIN, hostile[i]);
    }
    write_a4(&written, &document);
    for (size_t i = 0; i < count; i++) {
        assert_shown(&written, &document, i);
    }
    char *check = output_of("qpdf --check %s 2>&1", written.path);
    assert_holds(check, "No syntax or stream encoding errors found");
    free(check);
    written_free(&written);
    te_document_free(&document);
}

/* Metadata and outline are strings of the file's own syntax, apart from what is drawn. */
static void test_hostile_titles(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof hostile / sizeof *hostile; i++) {
        te_document document = {0};
        struct written written;
        sample_start(&document, hostile[i]);
        te_document_heading(&document, 2, hostile[i]);
        write_a4(&written, &document);
        char *info = output_of("pdfinfo %s", written.path);
        char line[256];
        (void)snprintf(line, sizeof line, "Title:           %s\n", shown_in(&document, 0));
        assert_holds(info, line);
        assert_holds(info, "Pages:           1\n");
        free(info);
        char *check = output_of("qpdf --check %s 2>&1", written.path);
        assert_holds(check, "No syntax or stream encoding errors found");
        free(check);
        assert_shown(&written, &document, 1);
        written_free(&written);
        te_document_free(&document);
    }
}

/* ---- long texts ---- */

enum { LONG = 100000 };

/* A word of `length` letters. */
static char *long_word(size_t length)
{
    char *word = malloc(length + 1);
    assert_non_null(word);
    memset(word, 'W', length); /* in no other text of the documents */
    word[length] = '\0';
    return word;
}

/* Adds a block with a text; the ways that a text can get into a document. */
typedef void (*add_text)(te_document *document, const char *text);

static void as_paragraph(te_document *document, const char *text)
{
    te_document_paragraph(document, TE_WEIGHT_PLAIN, text);
}

static void as_entry(te_document *document, const char *text)
{
    te_document_item(document, TE_WEIGHT_BAD, text);
}

static void as_heading(te_document *document, const char *text)
{
    te_document_heading(document, 2, text);
}

static void as_verdict(te_document *document, const char *text)
{
    te_document_verdict(document, TE_WEIGHT_BAD, text, "a subject");
}

static void as_subject(te_document *document, const char *text)
{
    te_document_verdict(document, TE_WEIGHT_GOOD, "a verdict", text);
}

static void as_link(te_document *document, const char *text)
{
    te_document_link(document, TE_WEIGHT_PLAIN, text, "a target");
}

static void as_target(te_document *document, const char *text)
{
    te_document_link(document, TE_WEIGHT_PLAIN, "a link", text);
}

static void as_signature(te_document *document, const char *text)
{
    te_document_signature(document, text);
    te_document_signature(document, "a neighbour");
}

static void add_table(te_document *document, const char *caption, const char *title,
                      const char *unit, const char *cell, bool number)
{
    te_document_table(document, caption);
    te_document_column(document, "first column", "", false);
    te_document_column(document, title, unit, number);
    for (int row = 0; row < 3; row++) {
        te_document_cell(document, TE_WEIGHT_PLAIN, "a cell");
        te_document_cell(document, TE_WEIGHT_PLAIN, row == 1 ? cell : "another cell");
    }
}

static void as_caption(te_document *document, const char *text)
{
    add_table(document, text, "a title", "mm", "cell", false);
}

static void as_column(te_document *document, const char *text)
{
    add_table(document, "a caption", text, "mm", "cell", true);
}

static void as_unit(te_document *document, const char *text)
{
    add_table(document, "a caption", "a title", text, "cell", true);
}

static void as_cell(te_document *document, const char *text)
{
    add_table(document, "a caption", "a title", "mm", text, false);
}

static void as_figure_cell(te_document *document, const char *text)
{
    add_table(document, "a caption", "a title", "mm", text, true);
    te_document_boxes(document);
}

static void as_figure_caption(te_document *document, const char *text)
{
    te_drawing drawing = {0};
    sample_drawing(&drawing);
    te_document_figure(document, &drawing, text);
}

static const struct {
    const char *name;
    add_text add;
} ways[] = {
    {"paragraph", as_paragraph}, {"entry", as_entry},
    {"heading", as_heading},     {"verdict", as_verdict},
    {"subject", as_subject},     {"link", as_link},
    {"target", as_target},       {"signature", as_signature},
    {"caption", as_caption},     {"column", as_column},
    {"unit", as_unit},           {"cell", as_cell},
    {"figure", as_figure_cell},  {"caption of a figure", as_figure_caption},
};
enum { WAYS = sizeof ways / sizeof *ways };

static void check_long_word(size_t way, size_t length)
{
    te_document document = {0};
    struct written written;
    char *word = long_word(length);
    te_document_heading(&document, 1, "A long word");
    ways[way].add(&document, word);
    te_document_paragraph(&document, TE_WEIGHT_PLAIN, "the end");
    write_a4(&written, &document);
    char *text = raw_of(&written);
    if (count_char(text, 'W') != length || count_char(text, '-') != 0 ||
        strstr(text, "the end") == NULL) {
        fail_msg("%s: %zu letters, %zu hyphens", ways[way].name, count_char(text, 'W'),
                 count_char(text, '-'));
    }
    free(text);
    free(word);
    written_free(&written);
    te_document_free(&document);
}

/* Nothing is lost of a word longer than a page, nothing is put into it, whatever it stands in. */
static void test_long_words(void **state)
{
    (void)state;
    for (size_t i = 0; i < WAYS; i++) {
        check_long_word(i, 9000);
    }
}

/* Not even where a text has soft hyphens: a figure or a name is what it was. */
static void test_no_hyphen_is_put_in(void **state)
{
    (void)state;
    te_document document = {0};
    te_buffer text = {0};
    struct written written;
    for (int i = 0; i < 500; i++) {
        te_buffer_text(&text, "WW\xC2\xAD");
    }
    as_paragraph(&document, text.bytes);
    as_cell(&document, text.bytes);
    write_a4(&written, &document);
    char *shown = raw_of(&written);
    assert_int_equal(count_char(shown, 'W'), 2000);
    assert_int_equal(count_char(shown, '-'), 0);
    assert_int_equal(count_of(shown, "\xE2\x80\x90"), 0); /* U+2010 */
    assert_int_equal(count_of(shown, "\xC2\xAD"), 0);     /* the soft hyphen, where it shows */
    free(shown);
    te_buffer_free(&text);
    written_free(&written);
    te_document_free(&document);
}

/* pango alone takes more than a minute for such a word. */
static void test_words_of_100_kilobytes(void **state)
{
    (void)state;
    for (size_t i = 0; i < WAYS; i++) {
        if (ways[i].add == as_paragraph || ways[i].add == as_cell) {
            check_long_word(i, LONG);
        }
    }
}

static void test_a_long_title_is_cut_in_the_foot_alone(void **state)
{
    (void)state;
    char *word = long_word(LONG);
    te_document document = {0};
    struct written written;
    sample_start(&document, word);
    write_a4(&written, &document);
    char *text = raw_of(&written);
    assert_in_range(count_char(text, 'W'), LONG + 20 * pages_of(text), LONG + 400 * pages_of(text));
    free(text);
    free(word);
    written_free(&written);
    te_document_free(&document);
}

/* Words w00000, w00001 ...: what is lost, doubled or moved is seen. */
static char *numbered_words(size_t count)
{
    te_buffer buffer = {0};
    for (size_t i = 0; i < count; i++) {
        char word[32];
        (void)snprintf(word, sizeof word, "%sw%05zu", i == 0 ? "" : " ", i);
        te_buffer_text(&buffer, word);
    }
    assert_false(buffer.failed);
    return buffer.bytes;
}

static void assert_in_order(const char *text, size_t count)
{
    size_t next = 0;
    for (const char *at = strchr(text, 'w'); at != NULL; at = strchr(at + 1, 'w')) {
        char word[16];
        (void)snprintf(word, sizeof word, "w%05zu", next);
        if (strncmp(at, word, 6) != 0) {
            continue; /* another word with a w */
        }
        next++;
    }
    assert_int_equal(next, count);
    assert_int_equal(count_of(text, "w0"), count);
}

static void test_texts_longer_than_a_page(void **state)
{
    (void)state;
    enum { WORDS = 4000 };
    char *words = numbered_words(WORDS);
    for (size_t i = 0; i < WAYS; i++) {
        te_document document = {0};
        struct written written;
        te_document_heading(&document, 1, "A text of pages");
        ways[i].add(&document, words);
        write_a4(&written, &document);
        char *text = raw_of(&written);
        assert_true(pages_of(text) > 1);
        assert_in_order(text, WORDS);
        free(text);
        written_free(&written);
        te_document_free(&document);
    }
    free(words);
}

/* ---- pages ---- */

/* However much stands before it, a heading is on the page of what it heads. */
static void test_headings_stay_with_what_follows(void **state)
{
    (void)state;
    static const add_text followers[] = {as_paragraph, as_entry, as_subject,
                                         as_cell,      as_unit,  as_figure_caption};
    size_t turned = 0;
    for (size_t lines = 20; lines < 60; lines++) {
        te_document document = {0};
        struct written written;
        for (size_t i = 0; i < lines; i++) {
            te_document_paragraph(&document, TE_WEIGHT_PLAIN, "a line");
        }
        te_document_heading(&document, 2, "the-heading");
        te_document_heading(&document, 3, "the-lower-heading");
        followers[lines % 6](&document, "the-follower");
        write_a4(&written, &document);
        char *text = text_of(&written);
        size_t page = page_of(text, "the-heading");
        assert_true(page > 0);
        assert_int_equal(page, page_of(text, "the-lower-heading"));
        assert_int_equal(page, page_of(text, "the-follower"));
        turned += page > 1 && page_of(text, "a line") == 1 ? 1 : 0;
        free(text);
        written_free(&written);
        te_document_free(&document);
    }
    assert_in_range(turned, 5,
                    39); /* so that both were seen: on the first page and on the second */
}

/* On how many pages lines with a word of numbered_words stand; no page has just one. */
static size_t pages_with_words(const char *text)
{
    size_t pages = 0, lines = 0;
    bool found = false;
    for (const char *c = text; *c != '\0'; c++) {
        found = found || strncmp(c, "w0", 2) == 0;
        if (*c == '\n' || *c == '\f') {
            lines += found ? 1 : 0;
            found = false;
        }
        if (*c == '\f') {
            assert_int_not_equal(lines, 1);
            pages += lines > 0 ? 1 : 0;
            lines = 0;
        }
    }
    return pages;
}

static void test_no_line_stands_alone(void **state)
{
    (void)state;
    size_t parted = 0;
    for (size_t i = 0; i < 45; i++) {
        te_document document = {0};
        struct written written;
        char *words = numbered_words(30 + 12 * (i % 3)); /* three lines and more */
        for (size_t line = 0; line < 28 + i / 3; line++) {
            te_weight weight = line < i % 5 ? TE_WEIGHT_QUIET : TE_WEIGHT_PLAIN; /* lower ones */
            te_document_paragraph(&document, weight, "a line");
        }
        te_document_paragraph(&document, TE_WEIGHT_PLAIN, words);
        write_a4(&written, &document);
        char *text = text_of(&written);
        parted += pages_with_words(text) == 2 ? 1 : 0;
        free(text);
        free(words);
        written_free(&written);
        te_document_free(&document);
    }
    assert_true(parted > 1);
}

static void test_page_numbers(void **state)
{
    (void)state;
    te_document document = {0};
    struct written written;
    sample_start(&document, "Numbered pages");
    for (int i = 0; i < 11; i++) {
        te_document_page(&document);
        te_document_paragraph(&document, TE_WEIGHT_PLAIN, "a page");
    }
    te_document_page(&document); /* with nothing on it: the last page begins, and stays empty */
    write_a4(&written, &document);
    char *text = text_of(&written);
    size_t pages = pages_of(text);
    assert_int_equal(pages, 13);
    for (size_t page = 1; page <= pages; page++) {
        char word[32];
        (void)snprintf(word, sizeof word, "Page %zu of %zu\n", page, pages);
        assert_int_equal(page_of(text, word), page);
        assert_int_equal(count_of(text, word), 1);
    }
    assert_int_equal(count_of(text, "Numbered pages"), pages + 1); /* in each foot */
    free(text);
    written_free(&written);
    te_document_free(&document);
}

static void test_page_break_at_the_top_makes_no_empty_page(void **state)
{
    (void)state;
    te_document document = {0};
    struct written written;
    te_document_page(&document);
    te_document_page(&document);
    te_document_paragraph(&document, TE_WEIGHT_PLAIN, "first");
    te_document_page(&document);
    te_document_page(&document);
    te_document_paragraph(&document, TE_WEIGHT_PLAIN, "second");
    write_a4(&written, &document);
    char *text = text_of(&written);
    assert_int_equal(pages_of(text), 2);
    free(text);
    written_free(&written);
    te_document_free(&document);
}

/* ---- tables ---- */

enum { ROWS = 500 };

static void make_long_table(te_document *document)
{
    te_document_heading(document, 1, "Rows");
    te_document_table(document, "A caption that stands once");
    te_document_column(document, "Rowhead", "", false);
    te_document_column(document, "Figurehead", "mm", true);
    te_document_column(document, "Texthead", "", false);
    for (int row = 0; row < ROWS; row++) {
        char text[160];
        (void)snprintf(text, sizeof text, "row-%03d", row);
        te_document_cell(document, TE_WEIGHT_PLAIN, text);
        (void)snprintf(text, sizeof text, "%d.%04d", row, row);
        te_document_cell(document, TE_WEIGHT_PLAIN, text);
        /* Every seventh row has several lines. */
        (void)snprintf(text, sizeof text, row % 7 == 0 ? "begins-%03d %s ends-%03d" : "text", row,
                       "a text that is so long that it takes several lines of its cell, as its "
                       "column cannot be as wide as all of that",
                       row);
        te_document_cell(document, TE_WEIGHT_PLAIN, text);
    }
}

static void test_long_table(void **state)
{
    (void)state;
    te_document document = {0};
    struct written written;
    make_long_table(&document);
    write_a4(&written, &document);
    char *text = text_of(&written);
    assert_true(pages_of(text) > 8);
    assert_true(words_in_place(&written) > 3 * ROWS);
    assert_int_equal(count_of(text, "Rowhead"), pages_of(text));
    assert_int_equal(count_of(text, "Figurehead"), pages_of(text));
    assert_int_equal(count_of(text, "A caption that stands once"), 1);
    for (int row = 0; row < ROWS; row++) {
        char word[32], end[32];
        (void)snprintf(word, sizeof word, "row-%03d ", row);
        assert_int_equal(count_of(text, word), 1);
        size_t page = page_of(text, word);
        (void)snprintf(word, sizeof word, " %d.%04d ", row, row);
        assert_int_equal(page_of(text, word), page);
        (void)snprintf(word, sizeof word, "begins-%03d", row);
        (void)snprintf(end, sizeof end, "ends-%03d", row);
        if (row % 7 == 0) { /* the row is whole */
            assert_int_equal(page_of(text, word), page);
            assert_int_equal(page_of(text, end), page);
        }
    }
    free(text);
    written_free(&written);
    te_document_free(&document);
}

/* A page that a table ends on holds two of its rows or more. */
static void test_no_row_stands_alone(void **state)
{
    (void)state;
    size_t parted = 0;
    for (size_t rows = 36; rows < 56; rows++) {
        te_document document = {0};
        struct written written;
        te_document_table(&document, "");
        te_document_column(&document, "Title", "", false);
        for (size_t i = 0; i < rows; i++) {
            te_document_cell(&document, TE_WEIGHT_PLAIN, "a-row");
        }
        write_a4(&written, &document);
        char *text = text_of(&written);
        const char *second = strchr(text, '\f') + 1;
        assert_int_not_equal(count_of(second, "a-row"), 1);
        assert_int_equal(count_of(text, "a-row"), rows);
        parted += count_of(second, "a-row") > 0 ? 1 : 0;
        free(text);
        written_free(&written);
        te_document_free(&document);
    }
    assert_in_range(parted, 1, 19);
}

/* Figures of one column end at one place, and their digits have one width. */
static void test_figures_stand_to_the_right(void **state)
{
    (void)state;
    static const char *const figures[] = {"1.1111", "66.0000", "8.8888", "-123.4567"};
    te_document document = {0};
    struct written written;
    te_document_table(&document, "");
    te_document_column(&document, "Words", "", false);
    te_document_column(&document, "Figures", "mm", true);
    for (size_t i = 0; i < 4; i++) {
        te_document_cell(&document, TE_WEIGHT_PLAIN, "word");
        te_document_cell(&document, TE_WEIGHT_PLAIN, figures[i]);
    }
    write_a4(&written, &document);
    char *boxes = output_of("pdftotext -bbox %s -", written.path);
    double ends[4], widths[4];
    for (size_t i = 0; i < 4; i++) {
        char word[32];
        (void)snprintf(word, sizeof word, "\">%s<", figures[i]);
        const char *at = strstr(boxes, word);
        assert_non_null(at);
        while (strncmp(at, "xMin", 4) != 0) {
            at--;
        }
        double left = strtod(at + 6, NULL);
        ends[i] = strtod(strstr(at, "xMax") + 6, NULL);
        widths[i] = ends[i] - left;
        assert_near(ends[i], ends[0], 0.05);
    }
    assert_near(widths[0], widths[2], 0.02);
    free(boxes);
    written_free(&written);
    te_document_free(&document);
}

/* Of many columns no word is broken while there are letters small enough. */
static void test_many_columns_break_no_word(void **state)
{
    (void)state;
    static const char *const cells[] = {"C1+K1",       "cylinder+piston", "out_of_round_overall",
                                        "left",        "66.0820",         "66.1340",
                                        "0.0040",      "66.0000",         "66.0200",
                                        "65.8700",     "66.1000",         "below 0.001",
                                        "serviceable", "sheet 7"};
    te_document document = {0};
    struct written written;
    te_document_table(&document, "");
    for (size_t i = 0; i < 14; i++) {
        te_document_column(&document, "Title", i >= 4 && i <= 10 ? "mm" : "", i >= 4 && i <= 11);
    }
    for (size_t i = 0; i < 14; i++) {
        te_document_cell(&document, TE_WEIGHT_PLAIN, cells[i]);
    }
    for (unsigned paper = TE_PDF_A4; paper <= TE_PDF_LETTER; paper++) {
        write_paper(&written, &document, (te_pdf_paper)paper);
        char *text = raw_of(&written);
        for (size_t i = 0; i < 14; i++) {
            assert_holds(text, cells[i]);
        }
        free(text);
        written_free(&written);
    }
    te_document_free(&document);
}

static void make_many_columns(te_document *document, size_t columns)
{
    te_document_table(document, "");
    for (size_t i = 0; i < columns; i++) {
        te_document_column(document, "Q", "", i % 2 == 0);
    }
    for (size_t i = 0; i < columns; i++) {
        te_document_cell(document, TE_WEIGHT_PLAIN, i % 3 == 0 ? "Z" : "ZZZZZZZZZZ");
    }
}

/* So many that even the smallest letters are broken: all is there, and within the page. */
static void test_most_columns(void **state)
{
    (void)state;
    te_document document = {0};
    struct written written;
    make_many_columns(&document, TE_PDF_COLUMNS);
    write_a4(&written, &document);
    char *text = raw_of(&written);
    assert_int_equal(count_char(text, 'Z'), (1 + 10 + 10) * TE_PDF_COLUMNS / 3);
    assert_int_equal(count_char(text, 'Q'), TE_PDF_COLUMNS);
    (void)words_in_place(&written);
    free(text);
    written_free(&written);
    te_document_free(&document);
}

static void test_too_many_columns_are_refused(void **state)
{
    (void)state;
    te_document document = {0};
    te_buffer buffer = {0};
    make_many_columns(&document, TE_PDF_COLUMNS + 1);
    assert_int_equal(te_document_pdf(&buffer, NULL, &document, TE_PDF_A4), TE_ERR_FULL);
    assert_int_equal(buffer.length, 0);
    te_document_free(&document);
}

static void test_all_stands_within_the_page(void **state)
{
    (void)state;
    te_document document = {0};
    struct written written;
    sample_document(&document);
    char *words = numbered_words(150);
    for (size_t i = 0; i < WAYS; i++) {
        ways[i].add(&document, words);
    }
    write_a4(&written, &document);
    assert_true(words_in_place(&written) > 150 * WAYS);
    free(words);
    written_free(&written);
    te_document_free(&document);
}

/* ---- figures ---- */

static void test_strokes_and_fills(void **state)
{
    (void)state;
    te_document document = {0};
    te_drawing drawing = {0};
    struct written written;
    sample_drawing(&drawing);
    te_document_figure(&document, &drawing, "");
    write_a4(&written, &document);
    char *file = unpacked(&written);
    assert_holds(file, "[ 5 3] 0 d");
    assert_holds(file, "[ 1.2 2.4] 0 d");
    assert_holds(file, "0.5 w");
    assert_holds(file, "1.8 w");
    assert_holds(file, "/ca 0.16"); /* the light tint */
    assert_holds(file, "W n");      /* the clip of a hatch */
    free(file);
    written_free(&written);
    te_document_free(&document);
}

static void test_figures_larger_than_a_page_shrink(void **state)
{
    (void)state;
    static const double sizes[][2] = {{5000.0, 100.0}, {100.0, 9000.0}, {1e6, 1e6}, {0.001, 0.001}};
    for (size_t i = 0; i < sizeof sizes / sizeof *sizes; i++) {
        te_document document = {0};
        te_drawing drawing = {0};
        struct written written;
        te_drawing_start(&drawing, sizes[i][0], sizes[i][1], "A size", "A figure of a size.");
        te_drawing_box(&drawing, TE_TONE_INK, TE_FILL_HATCH, TE_STROKE_PLAIN, (te_place){0.0, 0.0},
                       fmin(sizes[i][0], 1e4), fmin(sizes[i][1], 1e4), "all of it");
        te_document_heading(&document, 2, "the-heading");
        te_document_figure(&document, &drawing, "the-caption");
        write_a4(&written, &document);
        char *text = text_of(&written);
        assert_int_equal(page_of(text, "the-heading"), 1);
        assert_true(page_of(text, "the-caption") > 0);
        assert_true(pages_of(text) <= 2);
        free(text);
        written_free(&written);
        te_document_free(&document);
    }
}

/* ---- what cannot be written ---- */

#define NO_GLYPH "\xF4\x8F\xBF\xBD" /* U+10FFFD, of private use: no font has it */

static void assert_no_glyph(const te_document *document, const char *name)
{
    te_buffer buffer = {0};
    te_pdf_missing missing = {0};
    te_buffer_text(&buffer, "before");
    te_status status = te_document_pdf(&buffer, &missing, document, TE_PDF_A4);
    if (status != TE_ERR_GLYPH || missing.character != 0x10FFFD ||
        strstr(missing.text, "odd" NO_GLYPH "one") == NULL) {
        fail_msg("%s: status %d, U+%04lX in %s", name, (int)status,
                 (unsigned long)missing.character, missing.text);
    }
    assert_string_equal(buffer.bytes, "before");
    assert_int_equal(te_document_pdf(&buffer, NULL, document, TE_PDF_A4), TE_ERR_GLYPH);
    te_buffer_free(&buffer);
}

static void test_no_glyph_is_an_error(void **state)
{
    (void)state;
    for (size_t i = 0; i < WAYS; i++) {
        te_document document = {0};
        te_document_paragraph(&document, TE_WEIGHT_PLAIN, "all is well");
        ways[i].add(&document, "an odd" NO_GLYPH "one");
        assert_no_glyph(&document, ways[i].name);
        te_document_free(&document);
    }
}

static void test_no_glyph_in_a_figure_or_the_foot(void **state)
{
    (void)state;
    te_document document = {0};
    te_drawing drawing = {0};
    te_drawing_start(&drawing, 100.0, 100.0, "t", "d");
    te_drawing_text(&drawing, TE_TONE_INK, TE_ANCHOR_START, (te_place){1.0, 1.0}, 9.0,
                    "odd" NO_GLYPH "one");
    te_document_figure(&document, &drawing, "well");
    assert_no_glyph(&document, "a text of a figure");
    te_document_free(&document);
    te_document_start(&document, "odd" NO_GLYPH "one", "s", "p");
    assert_no_glyph(&document, "the foot");
    te_document_free(&document);
}

/* The text told is cut at whole characters, around the one that is meant. */
static void test_no_glyph_in_a_long_text(void **state)
{
    (void)state;
    for (size_t before = 0; before < 300; before++) {
        te_document document = {0};
        te_buffer text = {0};
        te_buffer out = {0};
        te_pdf_missing missing = {0};
        for (size_t i = 0; i < before; i++) {
            te_buffer_text(&text, "\xC3\xA9"); /* e with an acute accent */
        }
        te_buffer_text(&text, NO_GLYPH);
        for (size_t i = 0; i < 300; i++) {
            te_buffer_text(&text, "\xE2\x82\xAC"); /* the sign of the euro: three bytes */
        }
        te_document_paragraph(&document, TE_WEIGHT_PLAIN, text.bytes);
        assert_int_equal(te_document_pdf(&out, &missing, &document, TE_PDF_A4), TE_ERR_GLYPH);
        assert_non_null(strstr(missing.text, NO_GLYPH));
        size_t length = strlen(missing.text);
        for (size_t at = 0; at < length;) {
            uint32_t code = 0;
            size_t size = te_utf8_decode(&code, missing.text + at, length - at);
            assert_true(size > 0);
            at += size;
        }
        te_buffer_free(&text);
        te_document_free(&document);
    }
}

static void test_a_failed_document_is_refused(void **state)
{
    (void)state;
    te_document document = {0};
    te_buffer buffer = {0};
    sample_document(&document);
    document.failed = true;
    assert_int_equal(te_document_pdf(&buffer, NULL, &document, TE_PDF_A4), TE_ERR_MEMORY);
    assert_int_equal(buffer.length, 0);
    document.failed = false;
    te_document_table(&document, "");
    te_document_column(&document, "one", "", false);
    te_document_column(&document, "two", "", false);
    te_document_cell(&document, TE_WEIGHT_PLAIN, "half a row");
    assert_int_equal(te_document_pdf(&buffer, NULL, &document, TE_PDF_A4), TE_ERR_MEMORY);
    assert_int_equal(buffer.length, 0);
    te_document_free(&document);
    sample_document(&document);
    buffer.failed = true;
    assert_int_equal(te_document_pdf(&buffer, NULL, &document, TE_PDF_A4), TE_ERR_MEMORY);
    te_document_free(&document);
}

/* A configuration without a font: an error of its own, nothing on standard error. */
static void test_without_fonts(void **state)
{
    (void)state;
    char *said = output_of(
        "c=$(mktemp) && echo '<?xml version=\"1.0\"?><!DOCTYPE fontconfig SYSTEM \"fonts.dtd\">"
        "<fontconfig></fontconfig>' >\"$c\" && { FONTCONFIG_FILE=$c %s --without-fonts 2>&1; "
        "echo \"exit $?\"; rm -f \"$c\"; }",
        self);
    char wanted[32];
    (void)snprintf(wanted, sizeof wanted, "U+0\nexit %d\n", -TE_ERR_GLYPH);
    assert_string_equal(said, wanted);
    free(said);
}

/* ---- the parts of this program that tests run ---- */

static int run_without_fonts(void)
{
    te_document document = {0};
    te_buffer buffer = {0};
    te_pdf_missing missing = {.character = 1};
    sample_document(&document);
    te_status status = te_document_pdf(&buffer, &missing, &document, TE_PDF_A4);
    printf("U+%lX\n", (unsigned long)missing.character);
    te_buffer_free(&buffer);
    te_document_free(&document);
    return -status;
}

/* Prints every byte of the sample, as a sum that tells their order (FNV-1a, 64 bits). */
static int run_digest(void)
{
    te_document document = {0};
    te_buffer buffer = {0};
    uint64_t sum = 0xCBF29CE484222325U;
    sample_document(&document);
    te_status status = te_document_pdf(&buffer, NULL, &document, TE_PDF_LETTER);
    for (size_t i = 0; i < buffer.length; i++) {
        sum = (sum ^ (unsigned char)buffer.bytes[i]) * 0x100000001B3U;
    }
    printf("%d %zu %016llx\n", (int)status, buffer.length, (unsigned long long)sum);
    te_buffer_free(&buffer);
    te_document_free(&document);
    return -status;
}

int main(int argc, char **argv)
{
    self = argv[0];
    if (argc == 2) {
        return strcmp(argv[1], "--without-fonts") == 0 ? run_without_fonts() : run_digest();
    }
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_every_kind_of_block),
        cmocka_unit_test(test_file_has_both_ends_and_is_sound),
        cmocka_unit_test(test_an_empty_document_is_one_page),
        cmocka_unit_test(test_paper),
        cmocka_unit_test(test_bytes_repeat),
        cmocka_unit_test(test_bytes_do_not_follow_the_environment),
        cmocka_unit_test(test_appends_to_its_buffer),
        cmocka_unit_test(test_metadata),
        cmocka_unit_test(test_without_a_time_it_is_now),
        cmocka_unit_test(test_years),
        cmocka_unit_test(test_outline_and_labels),
        cmocka_unit_test(test_headings_of_any_levels),
        cmocka_unit_test(test_hostile_texts_are_only_text),
        cmocka_unit_test(test_hostile_titles),
        cmocka_unit_test(test_long_words),
        cmocka_unit_test(test_no_hyphen_is_put_in),
        cmocka_unit_test(test_words_of_100_kilobytes),
        cmocka_unit_test(test_a_long_title_is_cut_in_the_foot_alone),
        cmocka_unit_test(test_texts_longer_than_a_page),
        cmocka_unit_test(test_headings_stay_with_what_follows),
        cmocka_unit_test(test_no_line_stands_alone),
        cmocka_unit_test(test_page_numbers),
        cmocka_unit_test(test_page_break_at_the_top_makes_no_empty_page),
        cmocka_unit_test(test_long_table),
        cmocka_unit_test(test_no_row_stands_alone),
        cmocka_unit_test(test_figures_stand_to_the_right),
        cmocka_unit_test(test_many_columns_break_no_word),
        cmocka_unit_test(test_most_columns),
        cmocka_unit_test(test_too_many_columns_are_refused),
        cmocka_unit_test(test_all_stands_within_the_page),
        cmocka_unit_test(test_strokes_and_fills),
        cmocka_unit_test(test_figures_larger_than_a_page_shrink),
        cmocka_unit_test(test_no_glyph_is_an_error),
        cmocka_unit_test(test_no_glyph_in_a_figure_or_the_foot),
        cmocka_unit_test(test_no_glyph_in_a_long_text),
        cmocka_unit_test(test_a_failed_document_is_refused),
        cmocka_unit_test(test_without_fonts),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
