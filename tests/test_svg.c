/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Drawings as SVG: marks, classes, ids, notes, numbers, and texts that stay texts. */
#include <locale.h>
#include <math.h>

#include "hostile.h"
#include "markup.h"
#include "topend/document.h"

/* What a drawing becomes, terminated; freed by the next call. */
static const char *svg_of(te_drawing *drawing, size_t number)
{
    static te_buffer buffer;
    te_buffer_free(&buffer);
    te_drawing_svg(&buffer, drawing, number);
    assert_false(buffer.failed);
    te_drawing_free(drawing);
    return buffer.bytes;
}

static te_drawing start(void)
{
    te_drawing drawing = {0};
    te_drawing_start(&drawing, 480.0, 270.25, "Bore", "It is round.");
    return drawing;
}

static void assert_has(const char *text, const char *part)
{
    if (strstr(text, part) == NULL) {
        fail_msg("not there: %s\nin: %s", part, text);
    }
}

static size_t count_of(const char *text, const char *part)
{
    size_t count = 0;
    for (const char *at = strstr(text, part); at != NULL; at = strstr(at + 1, part)) {
        count++;
    }
    return count;
}

static void a_drawing_has_size_title_and_description(void **state)
{
    (void)state;
    te_drawing drawing = start();
    assert_string_equal(svg_of(&drawing, 3),
                        "<svg class=\"drawing\" viewBox=\"0 0 480 270.25\" width=\"640\" "
                        "height=\"360.33\" role=\"img\" "
                        "aria-labelledby=\"figure-3-title figure-3-description\">\n"
                        "<title id=\"figure-3-title\">Bore</title>\n"
                        "<desc id=\"figure-3-description\">It is round.</desc>\n"
                        "</svg>\n");
}

static void lines_and_areas_are_written(void **state)
{
    (void)state;
    const te_place places[] = {{1.0, 2.0}, {3.456, -0.001}, {10.5, 20.0}};
    te_drawing drawing = start();
    te_drawing_line(&drawing, TE_TONE_FAINT, TE_STROKE_HAIR, places[0], places[2]);
    te_drawing_path(&drawing, TE_TONE_LIMIT, TE_STROKE_DASHED, places, 3, "limit 66.06 mm");
    te_drawing_area(&drawing, TE_TONE_SECOND, TE_FILL_LIGHT, TE_STROKE_DOTTED, places, 3, NULL);
    te_drawing_box(&drawing, TE_TONE_PAPER, TE_FILL_SOLID, TE_STROKE_NONE, places[0], 4.0, 5.0,
                   "a box");
    const char *svg = svg_of(&drawing, 1);
    assert_has(svg, "<polyline class=\"faint hair\" points=\"1,2 10.5,20\"/>\n");
    assert_has(svg, "<polyline class=\"limit dashed\" points=\"1,2 3.46,0 10.5,20\">"
                    "<title>limit 66.06 mm</title></polyline>\n");
    assert_has(svg, "<polygon class=\"second dotted light\" points=\"1,2 3.46,0 10.5,20\"/>\n");
    assert_has(svg, "<polygon class=\"paper solid\" points=\"1,2 5,2 5,7 1,7\">"
                    "<title>a box</title></polygon>\n");
    assert_well_formed(svg);
}

static void each_spot_has_its_shape(void **state)
{
    (void)state;
    const te_place at = {10.0, 20.0};
    te_drawing drawing = start();
    for (te_spot spot = TE_SPOT_DISC; spot <= TE_SPOT_CROSS; spot++) {
        te_drawing_spot(&drawing, TE_TONE_INK, spot, at, 6.0, "66.012 mm");
    }
    const char *svg = svg_of(&drawing, 1);
    assert_has(svg, "<circle class=\"ink solid\" cx=\"10\" cy=\"20\" r=\"3\"><title>");
    assert_has(svg, "<circle class=\"ink plain hollow\" cx=\"10\" cy=\"20\" r=\"3\"><title>");
    assert_has(svg, "<polygon class=\"ink plain hollow\" points=\"7,17 13,17 13,23 7,23\"><title>");
    assert_has(svg, "<polygon class=\"ink solid\" points=\"10,17 13,23 7,23\"><title>");
    assert_has(svg, "<polyline class=\"ink strong\" points=\"7,20 13,20 10,20 10,17 10,23\">");
    assert_int_equal(count_of(svg, "<title>66.012 mm</title>"), 5);
}

static void texts_are_texts(void **state)
{
    (void)state;
    te_drawing drawing = start();
    te_drawing_text(&drawing, TE_TONE_INK, TE_ANCHOR_START, (te_place){1, 2}, 8.0, "a");
    te_drawing_text(&drawing, TE_TONE_MUTED, TE_ANCHOR_MIDDLE, (te_place){3, 4}, 8.5, "b");
    te_drawing_last(&drawing)->upright = true;
    te_drawing_text(&drawing, TE_TONE_LIMIT, TE_ANCHOR_END, (te_place){5, 6}, 9.0, "c & <d>");
    te_drawing_last(&drawing)->bold = true;
    const char *svg = svg_of(&drawing, 1);
    assert_has(svg, "<text class=\"ink\" x=\"1\" y=\"2\" font-size=\"8\">a</text>\n");
    assert_has(svg, "<text class=\"muted\" x=\"3\" y=\"4\" font-size=\"8.5\" "
                    "text-anchor=\"middle\" transform=\"rotate(-90 3 4)\">b</text>\n");
    assert_has(svg, "<text class=\"limit\" x=\"5\" y=\"6\" font-size=\"9\" text-anchor=\"end\" "
                    "font-weight=\"700\">c &amp; &lt;d&gt;</text>\n");
}

static void a_hatch_is_made_once_a_tone(void **state)
{
    (void)state;
    te_drawing drawing = start();
    for (int i = 0; i < 2; i++) {
        te_drawing_box(&drawing, TE_TONE_LIMIT, TE_FILL_HATCH, TE_STROKE_NONE, (te_place){0, 0}, 1,
                       1, NULL);
        te_drawing_box(&drawing, TE_TONE_INK, TE_FILL_HATCH, TE_STROKE_PLAIN, (te_place){0, 0}, 1,
                       1, NULL);
    }
    const char *svg = svg_of(&drawing, 12);
    assert_int_equal(count_of(svg, "<pattern "), 2);
    assert_int_equal(count_of(svg, "<pattern id=\"figure-12-limit\""), 1);
    assert_int_equal(count_of(svg, "<pattern id=\"figure-12-ink\""), 1);
    assert_int_equal(count_of(svg, "fill=\"url(#figure-12-limit)\""), 2);
    assert_int_equal(count_of(svg, "class=\"ink plain\" fill=\"url(#figure-12-ink)\""), 2);
    assert_well_formed(svg);
}

static void no_locale_reaches_a_number(void **state)
{
    (void)state;
    assert_non_null(setlocale(LC_ALL, "de_DE.UTF-8"));
    te_drawing drawing = start();
    te_drawing_spot(&drawing, TE_TONE_INK, TE_SPOT_DISC, (te_place){1234.5678, 0.25}, 2.5, NULL);
    const char *svg = svg_of(&drawing, 1);
    assert_non_null(setlocale(LC_ALL, "C"));
    assert_has(svg, "cx=\"1234.57\" cy=\"0.25\" r=\"1.25\"/>");
}

/* Far off the page, but written whole. */
static void huge_places_are_cut(void **state)
{
    (void)state;
    te_drawing drawing = start();
    te_drawing_line(&drawing, TE_TONE_INK, TE_STROKE_PLAIN, (te_place){-1e300, 1e300},
                    (te_place){0.0049, 1e6});
    assert_has(svg_of(&drawing, 1), "points=\"-1000000,1000000 0,1000000\"");
}

static void hostile_texts_are_no_markup(void **state)
{
    (void)state;
    size_t plain = 0;
    for (size_t i = 0; i <= HOSTILE_COUNT; i++) {
        const char *text = i == 0 ? "plain" : hostile_texts[i - 1];
        te_drawing drawing = {0};
        te_drawing_start(&drawing, 100.0, 50.0, text, text);
        te_drawing_text(&drawing, TE_TONE_INK, TE_ANCHOR_START, (te_place){1, 2}, 8.0, text);
        te_drawing_spot(&drawing, TE_TONE_INK, TE_SPOT_CROSS, (te_place){1, 2}, 8.0, text);
        size_t elements = assert_well_formed(svg_of(&drawing, i));
        plain = i == 0 ? elements : plain;
        assert_int_equal(elements, plain);
    }
    assert_int_equal(plain, 6);
}

static void a_failed_drawing_fails_the_buffer(void **state)
{
    (void)state;
    te_buffer buffer = {0};
    te_drawing drawing = start();
    te_drawing_line(&drawing, TE_TONE_INK, TE_STROKE_PLAIN, (te_place){NAN, 0}, (te_place){0, 0});
    te_drawing_svg(&buffer, &drawing, 1);
    assert_true(buffer.failed);
    assert_int_equal(buffer.length, 0);
    te_drawing_free(&drawing);
    te_buffer_free(&buffer);
}

/* A drawing is of a size, and each mark on it somewhere. */
static void what_is_nowhere_fails(void **state)
{
    (void)state;
    static const double sizes[][2] = {{NAN, 10},   {INFINITY, 10}, {10, NAN}, {10, INFINITY},
                                      {0.0, 10.0}, {-1.0, 10.0},   {10, 0},   {10, -1.0}};
    static const te_place places[] = {{NAN, 1}, {1, NAN}, {INFINITY, 1}, {1, -INFINITY}};
    for (size_t i = 0; i < sizeof sizes / sizeof *sizes; i++) {
        te_drawing drawing = {0};
        te_drawing_start(&drawing, sizes[i][0], sizes[i][1], "a", "b");
        assert_true(drawing.failed);
        te_drawing_free(&drawing);
    }
    for (size_t i = 0; i < sizeof places / sizeof *places; i++) {
        te_drawing drawing = start();
        te_drawing_spot(&drawing, TE_TONE_INK, TE_SPOT_DISC, (te_place){1, 1}, 2, NULL);
        assert_non_null(te_drawing_last(&drawing));
        te_drawing_spot(&drawing, TE_TONE_INK, TE_SPOT_DISC, places[i], 2, NULL);
        assert_true(drawing.failed);
        assert_null(te_drawing_last(&drawing));
        assert_int_equal(drawing.mark_count, 1);
        te_drawing_free(&drawing);
    }
}

/* Nothing is freed of nothing, and past a drawing's texts stands none. */
static void no_drawing_has_no_text(void **state)
{
    (void)state;
    te_drawing drawing = start();
    assert_string_equal(te_drawing_chars(&drawing, drawing.title), "Bore");
    assert_string_equal(te_drawing_chars(&drawing, (uint32_t)drawing.char_count), "");
    te_drawing_free(&drawing);
    assert_string_equal(te_drawing_chars(&drawing, 0), "");
    te_drawing_free(NULL);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_drawing_has_size_title_and_description),
        cmocka_unit_test(lines_and_areas_are_written),
        cmocka_unit_test(each_spot_has_its_shape),
        cmocka_unit_test(texts_are_texts),
        cmocka_unit_test(a_hatch_is_made_once_a_tone),
        cmocka_unit_test(no_locale_reaches_a_number),
        cmocka_unit_test(huge_places_are_cut),
        cmocka_unit_test(hostile_texts_are_no_markup),
        cmocka_unit_test(a_failed_drawing_fails_the_buffer),
        cmocka_unit_test(what_is_nowhere_fails),
        cmocka_unit_test(no_drawing_has_no_text),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
