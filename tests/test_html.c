/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Documents as HTML: what each block becomes, and that no text becomes markup. What a browser makes
 * of it is checked in tests/browser.
 */
#include <stdlib.h>

#include "hostile.h"
#include "markup.h"
#include "report/html.h"
#include "topend/text.h"

/* What a document becomes, terminated; freed by the next call. */
static const char *html_of(te_document *document)
{
    static te_buffer buffer;
    te_buffer_free(&buffer);
    te_document_html(&buffer, document);
    te_document_free(document);
    assert_false(buffer.failed);
    return buffer.bytes;
}

static te_document start(void)
{
    te_document document = {0};
    te_document_start(&document, "Title", "Subject", "topend 1.2.3");
    te_document_heading(&document, 1, "Pump set 7");
    return document;
}

static void assert_has(const char *text, const char *part)
{
    if (strstr(text, part) == NULL) {
        fail_msg("not there: %s\nin: %s", part, text);
    }
}

/* What stands between <main> and </main>. */
static void assert_main(te_document *document, const char *expected)
{
    const char *html = html_of(document);
    const char *begin = strstr(html, "<main>\n");
    const char *end = strstr(html, "</main>");
    assert_non_null(begin);
    assert_non_null(end);
    begin += strlen("<main>\n");
    char *main_part = strndup(begin, (size_t)(end - begin));
    assert_non_null(main_part);
    assert_string_equal(main_part, expected);
    free(main_part);
    assert_well_formed(html);
}

static void the_head_names_and_forbids(void **state)
{
    (void)state;
    te_document document = start();
    const char *html = html_of(&document);
    assert_int_equal(strncmp(html, "<!doctype html>\n<html lang=\"en\">\n<head>\n", 40), 0);
    assert_has(html, "<meta charset=\"utf-8\">\n<meta http-equiv=\"Content-Security-Policy\" "
                     "content=\"default-src 'none'; base-uri 'none'; form-action 'none'; "
                     "style-src 'sha256-");
    assert_has(html, "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">");
    assert_has(html, "<meta name=\"referrer\" content=\"no-referrer\">");
    assert_has(html, "<meta name=\"generator\" content=\"topend 1.2.3\">");
    assert_has(html, "<meta name=\"description\" content=\"Subject\">");
    assert_has(html, "<title>Title</title>");
    assert_has(html, "<header>\n<h1>Pump set 7</h1>\n</header>\n<main>\n</main>");
    assert_null(strstr(html, "<script"));
    assert_null(strstr(html, " style="));
    assert_null(strstr(html, "://"));
    assert_null(strstr(html, "@import"));
    assert_well_formed(html);
}

static void headings_go_down_one_at_a_time(void **state)
{
    (void)state;
    te_document document = start();
    te_document_heading(&document, 3, "a");
    te_document_heading(&document, 3, "b");
    te_document_heading(&document, 1, "c");
    te_document_heading(&document, 2, "d");
    te_document_heading(&document, 3, "e");
    assert_main(&document, "<h2>a</h2>\n<h3>b</h3>\n<h2>c</h2>\n<h2>d</h2>\n<h3>e</h3>\n");
}

static void without_a_heading_the_title_heads(void **state)
{
    (void)state;
    te_document document = {0};
    te_document_start(&document, "Title", "", "");
    te_document_paragraph(&document, TE_WEIGHT_PLAIN, "text");
    const char *html = html_of(&document);
    assert_has(html, "<h1>Title</h1>\n</header>\n<main>\n<p>text</p>\n</main>");
    assert_null(strstr(html, "name=\"description\""));
}

static void blocks_become_elements(void **state)
{
    (void)state;
    te_document document = start();
    te_document_verdict(&document, TE_WEIGHT_BAD, "Do not reuse", "pump set 7");
    te_document_paragraph(&document, TE_WEIGHT_QUIET, "small");
    te_document_page(&document);
    te_document_paragraph(&document, TE_WEIGHT_PLAIN, "plain");
    te_document_signature(&document, "Measured by");
    te_document_signature(&document, "Checked by");
    assert_main(&document,
                "<p class=\"verdict bad\"><strong>Do not reuse</strong> <span>pump set 7</span>"
                "</p>\n<p class=\"quiet\">small</p>\n<hr class=\"page\">\n<p>plain</p>\n"
                "<div class=\"signatures\">\n<p>Measured by</p>\n<p>Checked by</p>\n</div>\n");
}

static void neighbours_are_one_list(void **state)
{
    (void)state;
    te_document document = start();
    te_document_item(&document, TE_WEIGHT_GOOD, "a");
    te_document_item(&document, TE_WEIGHT_PLAIN, "b");
    te_document_link(&document, TE_WEIGHT_PLAIN, "c", "c.html");
    te_document_paragraph(&document, TE_WEIGHT_PLAIN, "d");
    te_document_item(&document, TE_WEIGHT_WARNING, "e");
    assert_main(&document, "<ul>\n<li class=\"good\">a</li>\n<li>b</li>\n</ul>\n"
                           "<ul class=\"links\">\n<li><a href=\"c.html\">c</a></li>\n</ul>\n"
                           "<p>d</p>\n<ul>\n<li class=\"warning\">e</li>\n</ul>\n");
}

static void a_slim_table_has_heads_and_units(void **state)
{
    (void)state;
    te_document document = start();
    te_document_table(&document, "Parts");
    te_document_column(&document, "Part", "", false);
    te_document_column(&document, "Own hours", "h", true);
    te_document_cell(&document, TE_WEIGHT_PLAIN, "C-204");
    te_document_cell(&document, TE_WEIGHT_BAD, "212.5");
    te_document_cell(&document, TE_WEIGHT_PLAIN, "");
    te_document_cell(&document, TE_WEIGHT_PLAIN, "");
    assert_main(&document,
                "<table class=\"slim words whole figures\">\n<caption>Parts</caption>\n<thead><tr>"
                "<th scope=\"col\">Part</th>"
                "<th scope=\"col\" class=\"number\">Own hours <span class=\"unit\">h</span></th>"
                "</tr></thead>\n<tbody>\n"
                "<tr><th scope=\"row\" class=\"name\">C-204</th>"
                "<td class=\"number bad\">212.5</td></tr>\n"
                "<tr><td></td><td class=\"number\"></td></tr>\n</tbody>\n</table>\n");
}

static void a_wide_table_has_roles_and_labels(void **state)
{
    (void)state;
    te_document document = start();
    te_document_table(&document, "");
    te_document_boxes(&document);
    te_document_column(&document, "Where", "", false);
    te_document_column(&document, "", "", false);
    te_document_column(&document, "\"Last\" time", "mm", true);
    te_document_column(&document, "Now", "mm", true);
    te_document_cell(&document, TE_WEIGHT_PLAIN, "12 mm");
    te_document_cell(&document, TE_WEIGHT_PLAIN, "BG-2");
    te_document_cell(&document, TE_WEIGHT_QUIET, "66.012");
    te_document_cell(&document, TE_WEIGHT_PLAIN, "");
    assert_main(
        &document,
        "<table role=\"table\" class=\"wide words whole figures boxes\">\n"
        "<thead role=\"rowgroup\"><tr role=\"row\">"
        "<th scope=\"col\" role=\"columnheader\">Where</th><td role=\"cell\"></td>"
        "<th scope=\"col\" role=\"columnheader\" class=\"number\">&quot;Last&quot; time "
        "<span class=\"unit\">mm</span></th>"
        "<th scope=\"col\" role=\"columnheader\" class=\"number\">Now "
        "<span class=\"unit\">mm</span></th></tr></thead>\n"
        "<tbody role=\"rowgroup\">\n<tr role=\"row\">"
        "<th scope=\"row\" role=\"rowheader\">12 mm</th>"
        "<td role=\"cell\" class=\"name\" data-label=\"\">BG-2</td>"
        "<td role=\"cell\" class=\"number quiet\" data-label=\"&quot;Last&quot; time (mm)\">66.012"
        "</td><td role=\"cell\" class=\"number\" data-label=\"Now (mm)\"></td></tr>\n"
        "</tbody>\n</table>\n");
}

static void assert_classes(const char *word, const char *figure, const char *classes)
{
    te_document document = start();
    te_document_table(&document, "");
    te_document_column(&document, "A", "", false);
    te_document_column(&document, "B", "", true);
    te_document_cell(&document, TE_WEIGHT_PLAIN, word);
    te_document_cell(&document, TE_WEIGHT_PLAIN, figure);
    assert_has(html_of(&document), classes);
}

/* What cannot fit a page unbroken may be broken; figures that can, never are. */
static void width_decides_what_may_break(void **state)
{
    (void)state;
    char word[121];
    memset(word, 'w', 120);
    word[120] = '\0';
    assert_classes("word", "66.012", "class=\"slim words whole figures\"");
    assert_classes(word + 70, "66.012", "class=\"wide words whole figures\"");
    assert_classes(word + 50, "66.012", "class=\"wide wider words whole figures\"");
    assert_classes(word + 30, "66.012", "class=\"wide wider dense words whole figures\"");
    assert_classes(word, "66.012", "class=\"slim cut figures\"");
    assert_classes(word + 50, "from 66.012 to 66.034", "class=\"wide wider words figures\"");
    assert_classes("word", word, "class=\"slim\"");
    assert_classes("many words of which none is long, so that lines can be made of them, however "
                   "narrow the column is",
                   "66.012", "class=\"slim words whole figures\"");
}

static void assert_cell(const char *text, const char *expected)
{
    te_document document = start();
    te_document_table(&document, "");
    te_document_column(&document, "A", "", false);
    te_document_cell(&document, TE_WEIGHT_PLAIN, text);
    assert_has(html_of(&document), expected);
}

static void long_words_say_where_they_break(void **state)
{
    (void)state;
    assert_cell("end_gap", "row\">end_gap</th>");
    assert_cell("out_of_round", "row\">out_<wbr>of_round</th>");
    assert_cell("no break of out_of_round in prose",
                "row\">no break of out_of_round in prose</th>");
    assert_cell("skirt_clearance <1>", "row\">skirt_<wbr>clearance &lt;1&gt;</th>");
    assert_cell("P-1+P-2", "row\" class=\"name\">P-1+P-2</th>");
    assert_cell("PS02-C1+PS02-K2", "row\">PS02-<wbr>C1+<wbr>PS02-K2</th>");
    assert_cell("readings/PS-05-builds.csv:8",
                "\">readings/<wbr>PS-<wbr>05-<wbr>builds.csv:8</th>");
    assert_cell("two  blanks ", "row\">two  blanks </th>");
    assert_cell("averyveryverylongword", "row\" class=\"long\">averyveryverylongword</th>");
}

static void a_figure_can_be_reached_and_is_captioned(void **state)
{
    (void)state;
    te_document document = start();
    for (int i = 0; i < 2; i++) {
        te_drawing drawing = {0};
        te_drawing_start(&drawing, 48.0, 24.0, "Bore", "Round.");
        te_document_figure(&document, &drawing, i == 0 ? "In mm." : "");
    }
#define FIGURE(n)                                                                                  \
    "<figure>\n<div class=\"scroll\" role=\"group\" tabindex=\"0\" aria-label=\"Figure: Bore\">\n" \
    "<svg class=\"drawing\" viewBox=\"0 0 48 24\" width=\"64\" height=\"32\" role=\"img\" "        \
    "aria-labelledby=\"figure-" n "-title figure-" n "-description\">\n"                           \
    "<title id=\"figure-" n "-title\">Bore</title>\n"                                              \
    "<desc id=\"figure-" n "-description\">Round.</desc>\n</svg>\n</div>\n"
    assert_main(&document, FIGURE("1") "<figcaption>In mm.</figcaption>\n</figure>\n" FIGURE(
                               "2") "</figure>\n");
#undef FIGURE
}

static void only_files_beside_are_linked(void **state)
{
    (void)state;
    static const char *const targets[][2] = {
        {"report.html", "report.html"},
        {"pump set 7.html", "pump%20set%207.html"},
        {"a/b.html", "a/b.html"},
        {"./a", "./a"},
        {"..a", "..a"},
        {"a?b#c%d", "a%3Fb%23c%25d"},
        {"\xc3\xa9\"<>&'", "%C3%A9%22%3C%3E%26%27"},
        {"", NULL},
        {"/etc/passwd", NULL},
        {"//example.invalid/a", NULL},
        {"..", NULL},
        {"../a", NULL},
        {"a/../../b", NULL},
        {"a/..", NULL},
        {"a//b", NULL},
        {"a/", NULL},
        {"javascript:f()", NULL},
        {"JaVaScRiPt:f()", NULL},
        {"data:text/html,a", NULL},
        {"C:\\a", NULL},
        {"\\\\host\\a", NULL},
        {"..\\a", NULL},
    };
    for (size_t i = 0; i < sizeof targets / sizeof *targets; i++) {
        te_document document = start();
        char expected[256] = "<li>text</li>";
        te_document_link(&document, TE_WEIGHT_PLAIN, "text", targets[i][0]);
        if (targets[i][1] != NULL) {
            (void)snprintf(expected, sizeof expected, "<li><a href=\"%s\">text</a></li>",
                           targets[i][1]);
        }
        assert_has(html_of(&document), expected);
    }
}

/* ---- hostile texts ---- */

/* Every place that a text can stand in. */
static te_document everywhere(const char *text)
{
    te_document document = {0};
    te_drawing drawing = {0};
    te_document_start(&document, text, text, text);
    te_document_heading(&document, 1, text);
    te_document_heading(&document, 2, text);
    te_document_verdict(&document, TE_WEIGHT_BAD, text, text);
    te_document_paragraph(&document, TE_WEIGHT_WARNING, text);
    te_document_item(&document, TE_WEIGHT_PLAIN, text);
    te_document_link(&document, TE_WEIGHT_PLAIN, text, "a.html");
    te_document_table(&document, text);
    for (int i = 0; i < 4; i++) {
        te_document_column(&document, text, text, i % 2 == 1);
    }
    for (int i = 0; i < 4; i++) {
        te_document_cell(&document, TE_WEIGHT_PLAIN, text);
    }
    te_drawing_start(&drawing, 10.0, 10.0, text, text);
    te_drawing_text(&drawing, TE_TONE_INK, TE_ANCHOR_START, (te_place){1, 1}, 8.0, text);
    te_drawing_spot(&drawing, TE_TONE_INK, TE_SPOT_DISC, (te_place){1, 1}, 8.0, text);
    te_document_figure(&document, &drawing, text);
    te_document_signature(&document, text);
    return document;
}

/* But those that say where a word may be broken. */
static size_t elements_of(const char *html)
{
    size_t breaks = 0;
    for (const char *at = strstr(html, "<wbr>"); at != NULL; at = strstr(at + 1, "<wbr>")) {
        breaks++;
    }
    return assert_well_formed(html) - breaks;
}

/* The references of a text undone, up to a `<`. */
static void undo_references(char *out, size_t size, const char *text)
{
    static const char *const known[][2] = {
        {"&amp;", "&"}, {"&lt;", "<"}, {"&gt;", ">"}, {"&quot;", "\""}, {"&#39;", "'"}};
    size_t length = 0;
    while (*text != '<') {
        size_t i = 0;
        while (i < 5 && strncmp(text, known[i][0], strlen(known[i][0])) != 0) {
            i++;
        }
        assert_true(length + 1 < size);
        out[length++] = i < 5 ? *known[i][1] : *text;
        text += i < 5 ? strlen(known[i][0]) : 1;
    }
    out[length] = '\0';
}

static void assert_text_survives(const char *html, const char *element, const char *text)
{
    char expected[1024];
    char found[1024];
    (void)te_text_safe(expected, sizeof expected, (te_slice){text, strlen(text)});
    const char *at = strstr(html, element);
    assert_non_null(at);
    undo_references(found, sizeof found, at + strlen(element));
    assert_string_equal(found, expected);
}

static void hostile_texts_are_no_markup(void **state)
{
    (void)state;
    te_document plain = everywhere("plain");
    size_t elements = elements_of(html_of(&plain));
    for (size_t i = 0; i < HOSTILE_COUNT; i++) {
        te_document document = everywhere(hostile_texts[i]);
        const char *html = html_of(&document);
        assert_int_equal(elements_of(html), elements);
        assert_text_survives(html, "<title>", hostile_texts[i]);
        assert_text_survives(html, "<h2>", hostile_texts[i]);
        assert_text_survives(html, "<caption>", hostile_texts[i]);
        assert_text_survives(html, "<figcaption>", hostile_texts[i]);
        assert_text_survives(html, "font-size=\"8\">", hostile_texts[i]);
        assert_text_survives(html, "<li><a href=\"a.html\">", hostile_texts[i]);
    }
}

/* Any bytes but NUL. */
static void random_bytes_are_no_markup(void **state)
{
    (void)state;
    te_random random = te_random_start(2026);
    te_document plain = everywhere("plain");
    size_t elements = elements_of(html_of(&plain));
    size_t rounds = te_test_rounds(200);
    for (size_t round = 0; round < rounds; round++) {
        static const char marks[] = "<>&\"'/=!-[]; #x";
        char text[64] = "";
        size_t length = 1 + te_random_below(&random, sizeof text - 1);
        for (size_t i = 0; i < length; i++) {
            bool mark = te_random_below(&random, 2) == 0;
            text[i] = mark ? marks[te_random_below(&random, sizeof marks - 1)]
                           : (char)(1 + te_random_below(&random, 255));
        }
        text[length - 1] = '\0';
        te_document document = everywhere(*text == '\0' ? "a" : text);
        assert_int_equal(elements_of(html_of(&document)), elements);
    }
}

static void long_texts_are_whole(void **state)
{
    (void)state;
    enum { LENGTH = 100000 };
    char *text = malloc(LENGTH + 1);
    assert_non_null(text);
    memset(text, '<', LENGTH);
    text[LENGTH] = '\0';
    te_document document = everywhere(text);
    const char *html = html_of(&document);
    assert_well_formed(html);
    const char *at = strstr(html, "<h2>&lt;");
    assert_non_null(at);
    assert_int_equal(strcspn(at + 4, "<"), (size_t)LENGTH * 4);
    free(text);
}

static void a_failed_document_fails_the_buffer(void **state)
{
    (void)state;
    te_buffer buffer = {0};
    te_document document = start();
    te_document_table(&document, "half a row");
    te_document_column(&document, "a", "", false);
    te_document_column(&document, "b", "", false);
    te_document_cell(&document, TE_WEIGHT_PLAIN, "1");
    te_document_html(&buffer, &document);
    assert_true(buffer.failed);
    assert_int_equal(buffer.length, 0);
    te_document_free(&document);
    te_buffer_free(&buffer);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_head_names_and_forbids),
        cmocka_unit_test(headings_go_down_one_at_a_time),
        cmocka_unit_test(without_a_heading_the_title_heads),
        cmocka_unit_test(blocks_become_elements),
        cmocka_unit_test(neighbours_are_one_list),
        cmocka_unit_test(a_slim_table_has_heads_and_units),
        cmocka_unit_test(a_wide_table_has_roles_and_labels),
        cmocka_unit_test(width_decides_what_may_break),
        cmocka_unit_test(long_words_say_where_they_break),
        cmocka_unit_test(a_figure_can_be_reached_and_is_captioned),
        cmocka_unit_test(only_files_beside_are_linked),
        cmocka_unit_test(hostile_texts_are_no_markup),
        cmocka_unit_test(random_bytes_are_no_markup),
        cmocka_unit_test(long_texts_are_whole),
        cmocka_unit_test(a_failed_document_fails_the_buffer),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
