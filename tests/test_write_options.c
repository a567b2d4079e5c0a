/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Options as CSV, JSON and a document. What the words and figures are is held by the command-line
 * cases and by test_options; here stands what must hold for any shop: the three writers tell the same,
 * and no text from the files can be anything but text.
 */
#include "te_shop_text.h"

#include <jansson.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "hostile.h"
#include "topend/write_options.h"

static const te_shop_file base[] = {
    {"engines.csv", "engine,model\nE1,M\n"},
    {"limits.csv", "model,quantity,unit,new_min,new_max,service_min,service_max,source\n"
                   "M,skirt,mm,65.920,65.940,65.870,,invented\n"
                   "M,bore,mm,66.000,66.020,,66.100,invented\n"
                   "M,skirt_clearance,mm,0.06,0.10,0.05,0.18,invented\n"},
    {"models.csv", "model,reborable\nM,yes\n"},
    {"instruments.csv", "instrument,unit,resolution,expanded_uncertainty\nG,mm,0.001,0.002\n"},
    {"inspections.csv", "inspection,engine,date,hours,temperature,temperature_uncertainty\n"
                        "I1,E1,2025-03-01,100,20,0\n"},
    {"readings.csv", "inspection,feature,reading,instrument\n"
                     "I1,skirt,65.915,G\nI1,bore,66.130,G\n"},
    {"spares.csv", "spare,kind,model,feature,size,tolerance,oversize,price\n"
                   "P0,piston,M,skirt,65.930,0.005,,41.5\nP1,piston,M,skirt,66.180,0.005,0.25,46\n"
                   "C0,cylinder,M,bore,66.010,0.010,,128\n"},
    {NULL, NULL},
};

typedef struct desk {
    te_made_shop made;
    te_options options;
    te_model_rates rates;
    te_options_told told;
    te_buffer out;
} desk;

static void open_desk(desk *d, const te_shop_file *changes)
{
    const te_wish wish = {.hone = TE_HONE, .hours = NAN};
    *d = (desk){.out = {0}};
    te_made_read(&d->made, base, changes);
    assert_int_equal(te_options_make(&d->options, &d->rates, d->made.shop, NULL, 0, &wish), TE_OK);
    d->told = (te_options_told){.shop = d->made.shop, .options = &d->options, .wish = wish};
}

static void close_desk(desk *d)
{
    te_buffer_free(&d->out);
    te_options_free(&d->options);
    te_model_rates_free(&d->rates);
    te_made_free(&d->made);
}

static const char *text_of(const te_buffer *buffer)
{
    assert_false(buffer->failed);
    return buffer->length == 0 ? "" : buffer->bytes;
}

/* The cells of a line of CSV, and its end; a quoted line break does not occur: texts are made safe. */
static size_t count_cells(const char **next, const char *line)
{
    size_t cells = 1;
    bool quoted = false;
    for (; *line != '\0' && *line != '\n'; line++) {
        quoted = *line == '"' ? !quoted : quoted;
        cells += *line == ',' && !quoted;
    }
    assert_false(quoted);
    *next = *line == '\n' ? line + 1 : line;
    return cells;
}

/* Every line has so many cells; returns how many lines there are. */
static size_t assert_rows(const char *text, size_t cells)
{
    size_t rows = 0;
    while (*text != '\0') {
        assert_int_equal(count_cells(&text, text), cells);
        rows++;
    }
    return rows;
}

static json_t *read_json(const te_buffer *buffer)
{
    json_error_t error;
    json_t *json = json_loadb(text_of(buffer), buffer->length, JSON_REJECT_DUPLICATES, &error);
    if (json == NULL) {
        fail_msg("%s at %d", error.text, error.position);
    }
    return json;
}

static double number_in(const json_t *object, const char *key)
{
    const json_t *value = json_object_get(object, key);
    return json_is_null(value) ? NAN : json_number_value(value);
}

static void assert_number(double got, double expected)
{
    assert_true(isnan(expected) ? isnan(got) : fabs(got - expected) <= 1e-8 * fabs(expected));
}

/* ---- the three tell the same ---- */

static void csv_has_a_row_an_option(void **state)
{
    desk d;
    (void)state;
    open_desk(&d, NULL);
    te_write_options_header(&d.out);
    te_write_options_csv(&d.out, &d.told);
    assert_true(d.options.count >= 4);
    assert_int_equal(assert_rows(text_of(&d.out), 13), d.options.count + 1);
    assert_non_null(strstr(d.out.bytes, "\nI1,1,"));
    assert_non_null(strstr(d.out.bytes, ",cylinder+piston,rebored/cylinder+P1,"));
    close_desk(&d);
}

static void findings_are_those_of_the_option(void **state)
{
    desk d;
    te_assessment assessment = {0};
    te_buffer expected = {0};
    size_t findings = 0;
    (void)state;
    open_desk(&d, NULL);
    te_write_options_findings_header(&d.out);
    te_write_options_findings_csv(&d.out, &d.told);
    for (size_t i = 0; i < d.options.count; i++) {
        assert_int_equal(
            te_option_assess(&assessment, &d.options, d.made.shop, NULL, &d.options.items[i]),
            TE_OK);
        expected.length = 0;
        te_write_findings_csv(&expected, d.made.shop, &assessment);
        for (const char *line = text_of(&expected); *line != '\0';) {
            char row[600];
            const char *end = strchr(line, '\n');
            assert_non_null(end);
            (void)snprintf(row, sizeof row, "\n%zu,%.*s\n", i + 1, (int)(end - line), line);
            assert_non_null(strstr(text_of(&d.out), row));
            line = end + 1;
            findings++;
        }
    }
    assert_true(findings > d.options.count);
    assert_int_equal(assert_rows(text_of(&d.out), 21), findings + 1);
    te_buffer_free(&expected);
    te_assessment_free(&assessment);
    close_desk(&d);
}

static void assert_option_json(const json_t *json, const desk *d, size_t at)
{
    const te_option *option = &d->options.items[at];
    assert_int_equal(json_integer_value(json_object_get(json, "option")), at + 1);
    assert_string_equal(json_string_value(json_object_get(json, "verdict")),
                        te_verdict_name(option->verdict));
    assert_int_equal(json_array_size(json_object_get(json, "fitted")), option->parts);
    assert_true(json_array_size(json_object_get(json, "findings")) >= 3);
    assert_number(number_in(json, "price"), option->price);
    assert_number(number_in(json, "price_per_100h"), option->price_per_100h);
    assert_number(number_in(json, "hours_left"), option->lasting.left);
    assert_number(number_in(json, "hours_left_earliest"), option->lasting.earliest);
}

static void json_holds_the_options_and_what_fits(void **state)
{
    desk d;
    (void)state;
    open_desk(&d, NULL);
    te_write_options_json(&d.out, &d.told, "9.8.7");
    json_t *json = read_json(&d.out);
    const json_t *rebuild = json_object_get(json, "rebuild");
    const json_t *options = json_object_get(rebuild, "options");
    assert_string_equal(json_string_value(json_object_get(json, "tool")), "topend 9.8.7");
    assert_int_equal(json_array_size(options), d.options.count);
    for (size_t i = 0; i < d.options.count; i++) {
        assert_option_json(json_array_get(options, i), &d, i);
    }
    assert_int_equal(json_array_size(json_object_get(rebuild, "pistons")), 2);
    const json_t *tight = json_array_get(json_object_get(rebuild, "pistons"), 1);
    assert_number(number_in(tight, "clearance_tight"), 66.130 - 66.185);
    assert_string_equal(json_string_value(json_object_get(tight, "fit")), "too_tight");
    const json_t *boring = json_object_get(rebuild, "boring");
    assert_true(json_is_true(json_object_get(boring, "offered")));
    assert_number(number_in(boring, "oversize"), 0.25);
    json_decref(json);
    close_desk(&d);
}

static void document_has_a_row_an_option(void **state)
{
    desk d;
    te_document document = {0};
    (void)state;
    open_desk(&d, NULL);
    te_options_document(&document, &d.told, "9.8.7");
    assert_true(te_document_is_whole(&document));
    assert_true(document.table_count >= 2);
    assert_int_equal(document.tables[0].row_count, d.options.count);
    assert_int_equal(document.tables[1].row_count, d.options.piston_count);
    te_document_free(&document);
    close_desk(&d);
}

/* Sixty pistons, each a little larger: the document shows forty options and says how many it does not. */
static void document_tells_what_it_leaves_out(void **state)
{
    desk d;
    te_document document = {0};
    te_buffer spares = {0};
    const te_text_style style = {.width = 80};
    char line[96];
    (void)state;
    te_buffer_text(&spares, "spare,kind,model,feature,size,tolerance\n");
    for (int i = 0; i < 60; i++) {
        (void)snprintf(line, sizeof line, "P%d,piston,M,skirt,%.4f,0.001\n", i,
                       65.925 + i * 0.0002);
        te_buffer_text(&spares, line);
    }
    const te_shop_file changes[] = {
        {"spares.csv", spares.bytes},
        {"readings.csv", "inspection,feature,reading,instrument\n"
                         "I1,skirt,65.860,G\nI1,bore,66.030,G\n"},
        {NULL, NULL},
    };
    open_desk(&d, changes);
    te_options_document(&document, &d.told, "9.8.7");
    assert_true(d.options.good >= 60); /* each alone, and some with a new cylinder as well */
    assert_int_equal(document.tables[0].row_count, 40);
    te_document_text(&d.out, &document, &style);
    (void)snprintf(line, sizeof line, "- %zu more options", d.options.count - 40);
    assert_non_null(strstr(text_of(&d.out), line));
    te_document_free(&document);
    te_buffer_free(&spares);
    close_desk(&d);
}

/* A part that must come off is told as bad news, what goes back in as good. */
static void what_must_come_off_is_no_good_news(void **state)
{
    desk d;
    te_document document = {0};
    size_t must = 0;
    size_t good = 0;
    (void)state;
    const te_shop_file changes[] = {
        {"condition.csv", "inspection,part,finding,severity\nI1,piston,seized,reject\n"},
        {"readings.csv", "inspection,feature,reading,instrument\n"
                         "I1,skirt,65.925,G\nI1,bore,66.020,G\n"},
        {NULL, NULL},
    };
    open_desk(&d, changes);
    assert_true(d.options.good > 0);
    te_options_document(&document, &d.told, "9.8.7");
    for (size_t i = 0; i < document.block_count; i++) {
        const te_block *block = &document.blocks[i];
        bool off = strncmp(&document.chars[block->text], "Must come off", 13) == 0;
        must += off;
        good += block->weight == TE_WEIGHT_GOOD;
        assert_true(!off || block->weight == TE_WEIGHT_BAD);
    }
    assert_int_equal(must, 1);
    assert_true(good > 0);
    te_document_free(&document);
    close_desk(&d);
}

/* ---- hostile texts ---- */

/* A quoted cell of CSV. */
static void put_cell(te_buffer *out, const char *text)
{
    te_buffer_text(out, "\"");
    for (; *text != '\0'; text++) {
        te_buffer_add(out, *text == '"' ? "\"\"" : text, *text == '"' ? 2 : 1);
    }
    te_buffer_text(out, "\"");
}

static bool is_one_line(const char *text)
{
    return strpbrk(text, "\r\n") == NULL;
}

static void write_hostile(desk *d, const char *text)
{
    te_buffer spares = {0};
    te_buffer_text(&spares, "spare,kind,model,feature,size,tolerance,oversize,price,note\n");
    put_cell(&spares, text);
    te_buffer_text(&spares, ",piston,M,skirt,66.180,0.005,0.25,46,");
    put_cell(&spares, text);
    te_buffer_text(&spares, "\n");
    te_buffer shop = {0};
    te_buffer_text(&shop, "key,value\ncurrency,");
    put_cell(&shop, text);
    te_buffer_text(&shop, "\n");
    const te_shop_file changes[] = {
        {"spares.csv", spares.bytes}, {"shop.csv", shop.bytes}, {NULL, NULL}};
    open_desk(d, changes);
    te_buffer_free(&spares);
    te_buffer_free(&shop);
}

static void texts_from_the_files_stay_texts(void **state)
{
    const te_text_style style = {.width = 80};
    size_t written = 0;
    (void)state;
    for (size_t i = 0; i < HOSTILE_COUNT; i++) {
        desk d;
        te_document document = {0};
        if (!is_one_line(hostile_texts[i])) {
            continue; /* a name with a line break is an error of the file */
        }
        write_hostile(&d, hostile_texts[i]);
        te_write_options_header(&d.out);
        te_write_options_csv(&d.out, &d.told);
        assert_int_equal(assert_rows(text_of(&d.out), 13), d.options.count + 1);
        te_assert_safe(d.out.bytes, d.out.length, false);
        assert_null(strstr(d.out.bytes, ",=1")); /* no cell begins a formula */
        d.out.length = 0;
        te_write_options_json(&d.out, &d.told, "9.8.7");
        json_decref(read_json(&d.out));
        te_assert_safe(d.out.bytes, d.out.length, true);
        d.out.length = 0;
        te_options_document(&document, &d.told, "9.8.7");
        te_document_text(&d.out, &document, &style);
        te_assert_safe(text_of(&d.out), d.out.length, false);
        te_document_free(&document);
        close_desk(&d);
        written++;
    }
    assert_true(written >= 15);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(csv_has_a_row_an_option),
        cmocka_unit_test(findings_are_those_of_the_option),
        cmocka_unit_test(json_holds_the_options_and_what_fits),
        cmocka_unit_test(document_has_a_row_an_option),
        cmocka_unit_test(document_tells_what_it_leaves_out),
        cmocka_unit_test(what_must_come_off_is_no_good_news),
        cmocka_unit_test(texts_from_the_files_stay_texts),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
