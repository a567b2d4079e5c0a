/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * What goes out: bytes that grow, CSV, JSON, text, explanations, problems. The expected words and
 * figures are worked by hand from the shop below; what must hold for any shop is checked on shops
 * of random texts.
 */
#include "te_shop_text.h"

#include <jansson.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "report/csv.h"
#include "topend/write.h"

/* The address sanitizer ends the program when an allocation is too large, unless it is told to
 * return NULL as the C library does. */
/* NOLINTNEXTLINE(bugprone-reserved-identifier,cert-dcl*): the sanitizer's name */
const char *__asan_default_options(void);
const char *__asan_default_options(void)
{
    return "allocator_may_return_null=1";
}

/* One engine for each verdict; no materials, 20 degrees: values are the readings. */
static const te_shop_file base[] = {
    {"engines.csv", "engine,model\nE1,M\nE2,M\nE3,M\nE4,M\n"},
    {"limits.csv",
     "model,quantity,item,unit,new_min,new_max,service_min,service_max,required,source\n"
     "M,bore,,mm,66.000,66.020,,66.100,yes,sheet 7\n"
     "M,out_of_round,,mm,,0.010,,,no,sheet 7\n"
     "M,skirt,,mm,65.920,65.940,65.870,,yes,sheet 7\n"
     "M,skirt_clearance,,mm,0.060,0.100,0.050,0.180,yes,sheet 7\n"
     "M,end_gap,,mm,,0.40,,0.80,yes,\n"
     "M,compression,,kPa,,,700,,no,pump card\n"},
    {"instruments.csv", "instrument,unit,resolution,expanded_uncertainty\n"
                        "BG,mm,0.001,0.004\nMIC,mm,0.001,0.002\nFEEL,mm,,0.004\n"
                        "CG,kPa,10,30\n"},
    {"parts.csv", "part,kind,engine,fitted_hours\nC1,cylinder,E1,0\nK1,piston,E1,0\n"},
    {"inspections.csv", "inspection,engine,date,hours,state,temperature,"
                        "temperature_uncertainty,by\n"
                        "I1,E1,2026-03-14,215.5,found,20,0.5,bench 1\n"
                        "I2,E2,2026-03-21,402.5,found,20,0.5,\n"
                        "I3,E3,2026-03-28,268,built,20,0.5,\n"
                        "I4,E4,2026-04-04,176.4,,20,0.5,\n"},
    {"readings.csv", "inspection,feature,item,position,direction,reading,no_go,unit,instrument\n"
                     "I1,bore,,10,thrust,66.026,,,BG\nI1,bore,,10,pin,66.022,,,BG\n"
                     "I1,skirt,,12,thrust,65.927,,,MIC\nI1,end_gap,1,60,,0.40,0.45,,FEEL\n"
                     "I1,compression,,,,760,,kPa,CG\n"
                     "I2,bore,,10,thrust,66.134,,,BG\nI2,bore,,10,pin,66.082,,,BG\n"
                     "I2,skirt,,12,thrust,65.911,,,MIC\nI2,end_gap,1,60,,0.65,0.70,,FEEL\n"
                     "I3,bore,,10,thrust,66.099,,,BG\nI3,bore,,10,pin,66.092,,,BG\n"
                     "I3,skirt,,12,thrust,65.934,,,MIC\nI3,end_gap,1,60,,0.45,0.50,,FEEL\n"
                     "I4,bore,,10,thrust,66.014,,,BG\nI4,skirt,,12,thrust,65.925,,,MIC\n"},
    {"condition.csv", "inspection,part,finding,severity\nI1,piston,light carbon,note\n"
                      "I2,piston,dull streaks,watch\nI2,ring_set,nicked ring,reject\n"},
    {NULL, NULL},
};

/* A shop, one of its inspections judged, and what is written of it. */
typedef struct desk {
    te_made_shop made;
    te_assessment assessment;
    te_buffer out;
} desk;

static void judge(desk *d, const char *inspection, bool damaged)
{
    uint32_t row = te_made_inspection(&d->made, inspection);
    assert_int_equal(te_assess(&d->assessment, d->made.shop, row, damaged), TE_OK);
}

static void open_desk(desk *d, const te_shop_file *changes, const char *inspection)
{
    *d = (desk){0};
    te_made_read(&d->made, base, changes);
    judge(d, inspection, false);
}

static void empty(desk *d)
{
    te_buffer_free(&d->out);
}

static void clear(desk *d)
{
    te_buffer_free(&d->out);
    te_assessment_free(&d->assessment);
    te_made_free(&d->made);
}

static const char *text_of(const te_buffer *buffer)
{
    assert_false(buffer->failed);
    return buffer->length == 0 ? "" : buffer->bytes;
}

static const te_finding *finding_of(const desk *d, const char *quantity, const char *item)
{
    for (size_t i = 0; i < d->assessment.finding_count; i++) {
        const te_finding *f = &d->assessment.findings[i];
        if (strcmp(te_shop_quantity_name(d->made.shop, f->measured.quantity), quantity) == 0 &&
            strcmp(te_shop_text(d->made.shop, f->measured.item), item) == 0)
            return f;
    }
    fail_msg("no finding %s %s", quantity, item);
    return NULL;
}

/* ---- bytes that grow ---- */

static void a_buffer_grows_and_stays_terminated(void **state)
{
    (void)state;
    te_random random = te_random_start(0xb0ffe4);
    te_buffer buffer = {0};
    char *expected = calloc(1, 200000);
    size_t length = 0;
    assert_non_null(expected);
    te_buffer_add(&buffer, NULL, 0);
    te_buffer_text(&buffer, "");
    assert_int_equal(buffer.length, 0);
    for (int i = 0; i < 2000; i++) {
        char piece[90];
        size_t size = te_random_below(&random, sizeof piece);
        for (size_t j = 0; j < size; j++)
            piece[j] = (char)(1 + te_random_below(&random, 255));
        te_buffer_add(&buffer, piece, size);
        memcpy(expected + length, piece, size);
        length += size;
        assert_int_equal(buffer.length, length);
        assert_true(length == 0 || (buffer.capacity > length && buffer.bytes[length] == '\0'));
    }
    assert_memory_equal(buffer.bytes, expected, length);
    te_buffer_free(&buffer);
    assert_null(buffer.bytes);
    assert_int_equal(buffer.length, 0);
    assert_int_equal(buffer.capacity, 0);
    te_buffer_free(NULL);
    free(expected);
}

static void the_first_failure_sticks(void **state)
{
    (void)state;
    te_buffer buffer = {0};
    te_buffer_text(&buffer, "kept");
    /* Memory for half of all addresses is never had; no byte of it is read. */
    te_buffer_add(&buffer, "x", SIZE_MAX / 2);
    assert_true(buffer.failed);
    te_buffer_text(&buffer, " and more");
    te_buffer_safe(&buffer, "\x1b");
    assert_true(buffer.failed);
    assert_string_equal(buffer.bytes, "kept");
    assert_int_equal(buffer.length, 4);
    te_buffer_free(&buffer);
    assert_false(buffer.failed);
}

static void text_from_outside_is_made_safe_whatever_its_length(void **state)
{
    (void)state;
    te_buffer buffer = {0};
    te_buffer_safe(&buffer, "a\x1b[31m\xe2\x80\xae\x7f\xc2\x9b\xff \xc3\x96l");
    assert_string_equal(text_of(&buffer), "a\\x1B[31m\\u{202E}\\x7F\\u{009B}\\xFF \xc3\x96l");
    for (size_t length = 50; length < 80; length++) {
        char raw[81];
        memset(raw, 7, length);
        raw[length] = '\0';
        te_buffer_free(&buffer);
        te_buffer_safe(&buffer, raw);
        assert_int_equal(buffer.length, 4 * length);
        for (size_t i = 0; i < length; i++)
            assert_memory_equal(buffer.bytes + 4 * i, "\\x07", 4);
    }
    te_buffer_free(&buffer);
}

/* A cell by the rule, a byte at a time: safe to show, a quote doubled; in quotes when it has what splits
 * cells or rows or a blank at an end; behind an apostrophe when a spreadsheet would run it. */
static void cell_by_rule(char out[512], const char *text)
{
    char safe[200];
    size_t at = 0, length = te_text_safe(safe, sizeof safe, (te_slice){text, strlen(text)});
    bool blank = safe[0] == ' ' || (length > 0 && safe[length - 1] == ' ');
    bool quotes = blank || strpbrk(safe, ",;\"\t\r\n") != NULL;
    assert_true(length < sizeof safe);
    if (quotes)
        out[at++] = '"';
    if (length > 0 && strchr("=+-@\t\r", safe[0]) != NULL)
        out[at++] = '\'';
    for (size_t i = 0; i < length; i++) {
        if (safe[i] == '"')
            out[at++] = '"';
        out[at++] = safe[i];
    }
    if (quotes)
        out[at++] = '"';
    out[at] = '\0';
}

/* Texts of which most have something in them that a cell must not have. */
static void random_text(char out[32], te_random *random)
{
    static const char *const pieces[] = {"a",    "Z",    "9",    "_",        "+", "-",
                                         "=",    "@",    " ",    ",",        ";", "\"",
                                         "\x1b", "\x7f", "\xff", "\xc3\x96", "~", "\t"};
    size_t count = te_random_below(random, 12);
    bool plain = te_random_below(random, 3) == 0;
    out[0] = '\0';
    for (size_t i = 0; i < count; i++)
        strcat(out, pieces[te_random_below(random, plain ? 4 : sizeof pieces / sizeof *pieces)]);
}

static void any_text_makes_the_cell_of_the_rule(void **state)
{
    (void)state;
    te_random random = te_random_start(0xce11);
    te_buffer whole = {0}, pieces = {0};
    for (size_t i = 0; i < te_test_rounds(50000); i++) {
        char text[32], more[32], both[80] = "", wanted[512];
        random_text(text, &random);
        random_text(more, &random);
        strcat(strcat(strcat(both, text), "+"), more);
        size_t start = whole.length = pieces.length = 0;
        if (i % 2 == 0) { /* behind another cell */
            te_csv_comma(&whole);
            te_csv_comma(&pieces);
            start = 1;
        }
        te_csv_text(&whole, text);
        cell_by_rule(wanted, text);
        assert_int_equal(whole.length, start + strlen(wanted));
        assert_string_equal(text_of(&whole) + start, wanted);
        te_buffer_safe(&pieces, text);
        te_buffer_text(&pieces, "+");
        te_buffer_safe(&pieces, more);
        te_csv_finish(&pieces, start);
        cell_by_rule(wanted, both);
        assert_string_equal(text_of(&pieces) + start, wanted);
        assert_int_equal(pieces.length, start + strlen(wanted));
        if (i % 100 == 0) { /* another size to grow from */
            te_buffer_free(&whole);
            te_buffer_free(&pieces);
        }
    }
    te_buffer_free(&whole);
    te_buffer_free(&pieces);
}

static void numbers_and_counts_make_cells(void **state)
{
    (void)state;
    static const double numbers[] = {66.0135, NAN, -0.0, 1e-300, -1.23456789012e-300};
    te_buffer buffer = {0};
    te_csv_numbers(&buffer, numbers, 5);
    assert_string_equal(text_of(&buffer), ",66.0135,,0,1e-300,-1.23456789e-300");
    for (size_t i = 0, count = 1; i < 64; i++, count = count * 2 + i % 2) {
        char wanted[32];
        snprintf(wanted, sizeof wanted, "%zu", count - 1);
        buffer.length = 0;
        te_put_count(&buffer, count - 1);
        assert_string_equal(text_of(&buffer), wanted);
    }
    te_buffer_free(&buffer);
}

/* What is written once memory ran out is dropped, by every writer. */
static void writers_leave_a_failed_buffer_alone(void **state)
{
    (void)state;
    desk d;
    open_desk(&d, NULL, "I2");
    const te_text_style style = {.width = 80, .colour = true};
    d.out.failed = true;
    te_write_findings_header(&d.out);
    te_write_findings_csv(&d.out, d.made.shop, &d.assessment);
    te_write_verdicts_header(&d.out);
    te_write_verdicts_csv(&d.out, d.made.shop, &d.assessment);
    te_write_json_start(&d.out, d.made.shop, "1");
    te_write_json_inspection(&d.out, d.made.shop, &d.assessment, true);
    te_write_json_end(&d.out);
    te_write_text_start(&d.out, d.made.shop, &style);
    te_write_text_inspection(&d.out, d.made.shop, &d.assessment, &style);
    assert_int_equal(te_write_explanation(&d.out, d.made.shop, &d.assessment, TE_Q_BORE, &style),
                     1);
    te_write_cautions(&d.out, &style);
    te_write_problems(&d.out, &d.made.problems);
    assert_true(d.out.failed);
    assert_null(d.out.bytes);
    assert_int_equal(d.out.length, 0);
    clear(&d);
}

/* ---- CSV ---- */

enum { CELLS_MOST = 24, CELL_MOST = 2048 };

/* Reads one row of RFC 4180 and returns what follows it; NULL at the end. */
static const char *read_row(const char *text, char cells[CELLS_MOST][CELL_MOST], size_t *count)
{
    *count = 0;
    if (*text == '\0')
        return NULL;
    for (;;) {
        size_t length = 0;
        bool quoted = *text == '"';
        assert_true(*count < CELLS_MOST);
        for (text += quoted; quoted || (*text != ',' && *text != '\n'); text++) {
            assert_true(*text != '\0' && length + 1 < CELL_MOST);
            if (quoted && text[0] == '"' && text[1] != '"') {
                text++;
                break;
            }
            text += quoted && *text == '"';
            cells[*count][length++] = *text;
        }
        cells[(*count)++][length] = '\0';
        assert_true(*text == ',' || *text == '\n');
        if (*text++ == '\n')
            return text;
    }
}

static const char *const columns[] = {
    "engine",  "inspection",  "date",        "hours",    "part",   "kind",   "quantity",
    "item",    "unit",        "low",         "u_low",    "high",   "u_high", "new_min",
    "new_max", "service_min", "service_max", "p_within", "status", "source"};
enum { COLUMNS = sizeof columns / sizeof *columns, ITEM = 7, FIRST_NUMBER = 9, LAST_NUMBER = 17 };

static void the_headers_are_those_of_the_contract(void **state)
{
    (void)state;
    te_buffer buffer = {0};
    te_write_findings_header(&buffer);
    te_write_verdicts_header(&buffer);
    assert_string_equal(
        text_of(&buffer),
        "engine,inspection,date,hours,part,kind,quantity,item,unit,low,u_low,high,u_high,"
        "new_min,new_max,service_min,service_max,p_within,status,source\n"
        "engine,inspection,date,hours,part,kind,verdict,reasons\n");
    te_buffer_free(&buffer);
}

/* Bore: u^2 = resolution^2/12 + (0.004/2)^2 = 8.33333e-8 + 4e-6. The clearance adds the skirt's
 * 8.33333e-8 + (0.002/2)^2. The gap: leaves 0.05 apart give 0.05^2/12, the feeler (0.004/2)^2. Out
 * of round: the calibration cancels, 2 * 8.33333e-8 stays. Compression: 10^2/12 + (30/2)^2, and 60
 * kPa to the limit. */
static void findings_are_written_as_rows(void **state)
{
    (void)state;
    desk d;
    open_desk(&d, NULL, "I1");
    te_write_findings_csv(&d.out, d.made.shop, &d.assessment);
    assert_string_equal(
        text_of(&d.out),
        "E1,I1,2026-03-14,215.5,C1,cylinder,bore,,mm,66.022,0.00202072594,66.026,0.00202072594,66,"
        "66.02,,66.1,1,serviceable,sheet 7\n"
        "E1,I1,2026-03-14,215.5,C1,cylinder,out_of_round,,mm,0.004,0.00040824829,0.004,"
        "0.00040824829,,0.01,,,,as_new,sheet 7\n"
        "E1,I1,2026-03-14,215.5,K1,piston,skirt,,mm,65.927,0.001040833,65.927,0.001040833,65.92,"
        "65.94,65.87,,1,as_new,sheet 7\n"
        "E1,I1,2026-03-14,215.5,C1+K1,cylinder+piston,skirt_clearance,,mm,0.095,0.00227303028,"
        "0.099,0.00227303028,0.06,0.1,0.05,0.18,1,as_new,sheet 7\n"
        "E1,I1,2026-03-14,215.5,E1/ring_set,ring_set,end_gap,1,mm,0.425,0.014571662,0.425,"
        "0.014571662,,0.4,,0.8,1,serviceable,\n"
        "E1,I1,2026-03-14,215.5,E1/"
        "other,other,compression,,kPa,760,15.2752523,760,15.2752523,,,700,,"
        "0.999957159,serviceable,pump card\n");
    clear(&d);
}

static void verdicts_are_written_as_rows(void **state)
{
    (void)state;
    desk d;
    char cells[CELLS_MOST][CELL_MOST];
    size_t count = 0, rows = 0;
    open_desk(&d, NULL, "I2");
    te_write_verdicts_csv(&d.out, d.made.shop, &d.assessment);
    static const char *const expected[][3] = {{"E2/cylinder", "cylinder", "do_not_reuse"},
                                              {"E2/piston", "piston", "reuse"},
                                              {"E2/ring_set", "ring_set", "do_not_reuse"},
                                              {"assembly", "", "do_not_reuse"}};
    for (const char *at = text_of(&d.out); (at = read_row(at, cells, &count)) != NULL; rows++) {
        assert_int_equal(count, 8);
        assert_true(rows < 4);
        assert_string_equal(cells[0], "E2");
        assert_string_equal(cells[1], "I2");
        assert_string_equal(cells[2], "2026-03-21");
        assert_string_equal(cells[3], "402.5");
        for (size_t i = 0; i < 3; i++)
            assert_string_equal(cells[4 + i], expected[rows][i]);
        if (rows == 1)
            assert_string_equal(cells[7], "1 value is within limits; watch: dull streaks (piston "
                                          "E2/piston)");
        if (rows == 2)
            assert_string_equal(cells[7], "reject: nicked ring (ring set E2/ring_set); 1 value is "
                                          "within limits; end_gap 1: no lower limit was given, too "
                                          "tight was not judged");
    }
    assert_int_equal(rows, 4);
    clear(&d);
}

/* An id stands in a cell of each row; the cell must come out as the id does on a terminal, with an
 * apostrophe before what a spreadsheet would run. */
static void ids_are_quoted_and_disarmed(void **state)
{
    (void)state;
    static const struct {
        const char *cell, *id, *written;
    } given[] = {
        {"plain", "plain", "plain"},
        {"=1+1", "=1+1", "'=1+1"},
        {"+x", "+x", "'+x"},
        {"-x", "-x", "'-x"},
        {"@x", "@x", "'@x"},
        {"-2.5", "-2.5", "'-2.5"},
        {"x=1", "x=1", "x=1"},
        {"\"a,b\"", "a,b", "\"a,b\""},
        {"\"a;b\"", "a;b", "\"a;b\""},
        {"\"say \"\"so\"\"\"", "say \"so\"", "\"say \"\"so\"\"\""},
        {"\"=\"\"x\"\",1\"", "=\"x\",1", "\"'=\"\"x\"\",1\""},
        {"a\x1b[1m", "a\x1b[1m", "a\\x1B[1m"},
        {"\xc3\x96l", "\xc3\x96l", "\xc3\x96l"},
    };
    for (size_t i = 0; i < sizeof given / sizeof *given; i++) {
        char engines[256], inspections[256], expected[256];
        snprintf(engines, sizeof engines, "engine,model\n%s,M\n", given[i].cell);
        snprintf(inspections, sizeof inspections,
                 "inspection,engine,date,hours,temperature\nI1,%s,2026-03-14,0,20\n",
                 given[i].cell);
        const te_shop_file changes[] = {
            {"engines.csv", engines},
            {"inspections.csv", inspections},
            {"parts.csv", "part,kind,engine,fitted_hours\n"},
            {"condition.csv", "inspection,part,finding,severity\n"},
            {"readings.csv", "inspection,feature,reading,unit\nI1,squish,-2.5,deg\n"},
            {NULL, NULL}};
        desk d;
        open_desk(&d, changes, "I1");
        te_write_findings_csv(&d.out, d.made.shop, &d.assessment);
        int length = snprintf(expected, sizeof expected, "%s,I1,2026-03-14,0,", given[i].written);
        assert_int_equal(strncmp(text_of(&d.out), expected, (size_t)length), 0);
        /* Numbers are never disarmed. */
        assert_non_null(strstr(d.out.bytes, ",squish,,deg,-2.5,,-2.5,,"));
        clear(&d);
    }
}

/* ---- JSON ---- */

static json_t *document(desk *d, const char *const *inspections, size_t count)
{
    json_error_t error;
    te_write_json_start(&d->out, d->made.shop, "9.8.7");
    for (size_t i = 0; i < count; i++) {
        judge(d, inspections[i], false);
        te_write_json_inspection(&d->out, d->made.shop, &d->assessment, i == 0);
    }
    te_write_json_end(&d->out);
    json_t *root = json_loads(text_of(&d->out), 0, &error);
    if (root == NULL)
        fail_msg("line %d: %s", error.line, error.text);
    return root;
}

/* An object has these keys and no other. */
static void assert_keys(const json_t *object, const char *const *keys, size_t count)
{
    assert_true(json_is_object(object));
    for (size_t i = 0; i < count; i++)
        if (json_object_get(object, keys[i]) == NULL)
            fail_msg("there is no key %s", keys[i]);
    assert_int_equal(json_object_size(object), count);
}

#define ASSERT_KEYS(object, ...)                                  \
    do {                                                          \
        static const char *const keys_[] = {__VA_ARGS__};         \
        assert_keys(object, keys_, sizeof keys_ / sizeof *keys_); \
    } while (0)

static const char *string(const json_t *object, const char *key)
{
    const json_t *value = json_object_get(object, key);
    if (!json_is_string(value))
        fail_msg("%s is not a text", key);
    return json_string_value(value);
}

static const char *const all[] = {"I1", "I2", "I3", "I4"};

static void json_has_every_key_of_the_contract(void **state)
{
    (void)state;
    desk d;
    size_t i, j;
    json_t *inspection, *entry;
    open_desk(&d, NULL, "I1");
    json_t *root = document(&d, all, 4);
    ASSERT_KEYS(root, "tool", "rule", "confidence", "inspections");
    assert_string_equal(string(root, "tool"), "topend 9.8.7");
    assert_string_equal(string(root, "rule"), "guarded");
    assert_near(json_number_value(json_object_get(root, "confidence")), 0.95, 0);
    assert_int_equal(json_array_size(json_object_get(root, "inspections")), 4);
    json_array_foreach(json_object_get(root, "inspections"), i, inspection)
    {
        ASSERT_KEYS(inspection, "inspection", "engine", "model", "date", "hours", "temperature",
                    "findings", "condition", "verdicts", "assembly");
        assert_string_equal(string(inspection, "inspection"), all[i]);
        assert_string_equal(string(inspection, "model"), "M");
        assert_near(json_number_value(json_object_get(inspection, "temperature")), 20, 0);
        json_array_foreach(json_object_get(inspection, "findings"), j, entry)
        {
            const char *keys[COLUMNS + 2] = {[COLUMNS] = "readings_low", "readings_high"};
            memcpy(keys, columns, sizeof columns);
            assert_keys(entry, keys, COLUMNS + 2);
        }
        json_array_foreach(json_object_get(inspection, "condition"), j, entry)
            ASSERT_KEYS(entry, "part", "kind", "finding", "severity");
        assert_true(json_array_size(json_object_get(inspection, "verdicts")) > 0);
        json_array_foreach(json_object_get(inspection, "verdicts"), j, entry)
            ASSERT_KEYS(entry, "part", "kind", "verdict", "reasons");
        ASSERT_KEYS(json_object_get(inspection, "assembly"), "verdict", "reasons");
    }
    inspection = json_array_get(json_object_get(root, "inspections"), 1);
    assert_int_equal(json_array_size(json_object_get(inspection, "condition")), 2);
    entry = json_array_get(json_object_get(inspection, "condition"), 1);
    assert_string_equal(string(entry, "part"), "E2/ring_set");
    assert_string_equal(string(entry, "finding"), "nicked ring");
    assert_string_equal(string(entry, "severity"), "reject");
    assert_string_equal(string(json_object_get(inspection, "assembly"), "verdict"), "do_not_reuse");
    json_decref(root);
    clear(&d);
}

/* JSON, CSV and the assessment say the same; what is empty in CSV is null. */
static void json_and_csv_say_the_same(void **state)
{
    (void)state;
    desk d;
    size_t i, j, count = 0;
    json_t *inspection, *finding;
    char cells[CELLS_MOST][CELL_MOST];
    open_desk(&d, NULL, "I1");
    json_t *root = document(&d, all, 4);
    empty(&d);
    for (i = 0; i < 4; i++) {
        judge(&d, all[i], false);
        te_write_findings_csv(&d.out, d.made.shop, &d.assessment);
    }
    const char *at = text_of(&d.out);
    json_array_foreach(json_object_get(root, "inspections"), i, inspection)
    {
        json_array_foreach(json_object_get(inspection, "findings"), j, finding)
        {
            at = read_row(at, cells, &count);
            assert_non_null(at);
            assert_int_equal(count, COLUMNS);
            for (size_t c = 0; c < COLUMNS; c++) {
                const json_t *value = json_object_get(finding, columns[c]);
                if (cells[c][0] == '\0')
                    assert_true(json_is_null(value));
                else if (json_is_number(value))
                    assert_near_rel(json_number_value(value), strtod(cells[c], NULL), 1e-15);
                else
                    assert_string_equal(json_string_value(value), cells[c]);
            }
        }
    }
    assert_int_equal(*at, '\0');
    json_decref(root);
    clear(&d);
}

static double sum_of(const json_t *readings)
{
    double sum = 0;
    size_t i;
    const json_t *entry;
    json_array_foreach(readings, i, entry)
    {
        ASSERT_KEYS(entry, "file", "line", "coefficient", "value");
        sum += json_number_value(json_object_get(entry, "coefficient")) *
               json_number_value(json_object_get(entry, "value"));
    }
    return sum;
}

/* The sample shop's materials, temperatures, zeros and leaves in one: nine digits a value leave
 * 1e-7 mm to the sum of at most four. */
static void coefficients_times_readings_add_up(void **state)
{
    (void)state;
    static const te_shop_file changes[] = {
        {"models.csv", "model,cylinder_material,piston_material,ring_material\n"
                       "M,cast_iron,aluminium_high_si,cast_iron\n"},
        {"inspections.csv", "inspection,engine,date,hours,temperature\n"
                            "I1,E1,2026-03-14,215.5,9\nI2,E2,2026-03-21,402.5,31\n"},
        {"readings.csv",
         "inspection,feature,item,position,direction,reading,reading_2,no_go,zero,instrument\n"
         "I1,bore,,10,thrust,0.0213,0.0222,,66.000,BG\nI1,bore,,10,pin,0.0171,,,66.000,BG\n"
         "I1,bore,,28,thrust,0.0347,,,66.000,BG\nI1,skirt,,12,thrust,65.9194,65.9207,,,MIC\n"
         "I1,end_gap,1,60,,0.30,,0.35,,FEEL\nI2,bore,,,,66.0712,,,,BG\n"},
        {NULL, NULL}};
    static const char *const both[] = {"I1", "I2"};
    desk d;
    size_t i, j, checked = 0;
    json_t *inspection, *finding;
    open_desk(&d, changes, "I1");
    json_t *root = document(&d, both, 2);
    json_array_foreach(json_object_get(root, "inspections"), i, inspection)
    {
        json_array_foreach(json_object_get(inspection, "findings"), j, finding)
        {
            const json_t *low = json_object_get(finding, "readings_low");
            const json_t *high = json_object_get(finding, "readings_high");
            if (json_array_size(low) == 0) {
                assert_string_equal(string(finding, "status"), "missing");
                assert_int_equal(json_array_size(high), 0);
                continue;
            }
            assert_near(sum_of(low), json_number_value(json_object_get(finding, "low")), 2e-7);
            assert_near(sum_of(high), json_number_value(json_object_get(finding, "high")), 2e-7);
            checked++;
        }
    }
    assert_int_equal(checked, 7); /* bore twice, out_of_round, taper, skirt, its clearance, gap */
    finding = json_array_get(
        json_object_get(json_array_get(json_object_get(root, "inspections"), 0), "findings"), 0);
    const json_t *reading = json_array_get(json_object_get(finding, "readings_high"), 0);
    assert_string_equal(string(finding, "quantity"), "bore");
    assert_string_equal(string(reading, "file"), "readings.csv");
    assert_int_equal(json_integer_value(json_object_get(reading, "line")), 4);
    json_decref(root);
    clear(&d);
}

static void json_is_one_line_an_inspection(void **state)
{
    (void)state;
    desk d;
    size_t lines = 0;
    open_desk(&d, NULL, "I1");
    json_decref(document(&d, all, 4));
    for (const char *c = d.out.bytes; *c != '\0'; c++)
        lines += *c == '\n';
    assert_int_equal(lines, 6);
    empty(&d);
    json_t *root = document(&d, all, 0);
    assert_int_equal(json_array_size(json_object_get(root, "inspections")), 0);
    json_decref(root);
    clear(&d);
}

/* ---- text ---- */

/* Takes the sequences that select colours out of a text. */
static void strip_colour(char *text)
{
    char *out = text;
    for (const char *in = text; *in != '\0';) {
        if (*in == '\x1b') {
            in += strcspn(in, "m");
            assert_int_equal(*in, 'm');
            in++;
        } else {
            *out++ = *in++;
        }
    }
    *out = '\0';
}

static void assert_lines_fit(const char *text, size_t width)
{
    for (const char *line = text; *line != '\0';) {
        size_t length = strcspn(line, "\n");
        if (te_text_width((te_slice){line, length}) > width)
            fail_msg("wider than %zu: %.*s", width, (int)length, line);
        line += length + (line[length] == '\n');
    }
}

/* Words alone, one blank between two. */
static void squeeze(char *text)
{
    char *out = text;
    for (const char *in = text; *in != '\0'; in++)
        if (*in != ' ' && *in != '\n')
            *out++ = *in;
        else if (out > text && out[-1] != ' ')
            *out++ = ' ';
    *out = '\0';
}

/* All that is written as text of the inspections of a desk. */
static void write_text(desk *d, const char *const *inspections, size_t count,
                       const te_text_style *style)
{
    empty(d);
    te_write_text_start(&d->out, d->made.shop, style);
    for (size_t i = 0; i < count; i++) {
        judge(d, inspections[i], false);
        te_write_text_inspection(&d->out, d->made.shop, &d->assessment, style);
        for (te_quantity q = 0; q < TE_Q_OWN + d->made.tables->own_count; q++)
            (void)te_write_explanation(&d->out, d->made.shop, &d->assessment, q, style);
    }
    te_write_cautions(&d->out, style);
}

static const char long_name[] = "a name that somebody has made much too long for a column";

static void lines_fit_every_width(void **state)
{
    (void)state;
    static const size_t widths[] = {60, 61, 79, 80, 81, 132};
    static const te_shop_file long_names[] = {
        {"engines.csv",
         "engine,model\na name that somebody has made much too long for a column,M\n"},
        {"inspections.csv",
         "inspection,engine,date,hours\nI1,"
         "a name that somebody has made much too long for a column,2026-03-14,0\n"},
        {"parts.csv", "part,kind,engine,fitted_hours\n"},
        {"condition.csv", "inspection,part,finding,severity\n"},
        {"instruments.csv", "instrument,unit,resolution,expanded_uncertainty\n"
                            "a name that somebody has made much too long for a column,mm,0.001,"
                            "0.004\n"},
        {"readings.csv",
         "inspection,feature,item,position,direction,reading,unit,instrument\n"
         "I1,bore,,10,thrust,66.026,,a name that somebody has made much too long for a column\n"
         "I1,bore,,10,45,66.021,,a name that somebody has made much too long for a column\n"
         "I1,bore,,10,90,66.022,,a name that somebody has made much too long for a column\n"
         "I1,a name that somebody has made much too long for a column,7,,,-5,"
         "furlongs a fortnight,\n"},
        {NULL, NULL}};
    for (size_t names = 0; names < 2; names++) {
        desk d;
        open_desk(&d, names ? long_names : NULL, "I1");
        for (size_t i = 0; i < sizeof widths / sizeof *widths; i++) {
            te_text_style style = {.width = widths[i], .colour = true};
            write_text(&d, all, names ? 1 : 4, &style);
            if (names)
                assert_non_null(strstr(d.out.bytes, long_name + 40));
            assert_non_null(strchr(d.out.bytes, '\x1b'));
            strip_colour(d.out.bytes);
            assert_lines_fit(d.out.bytes, widths[i]);
        }
        clear(&d);
    }
}

/* Colour adds nothing but its sequences; a width moves no word but those of the limits' column. */
static void colour_and_width_change_no_word(void **state)
{
    (void)state;
    desk d;
    const te_text_style plain = {.width = 80}, coloured = {.width = 80, .colour = true},
                        wide = {.width = 132};
    open_desk(&d, NULL, "I1");
    write_text(&d, all, 4, &plain);
    te_buffer first = d.out;
    d.out = (te_buffer){0};
    assert_null(strchr(first.bytes, '\x1b'));
    write_text(&d, all, 4, &coloured);
    strip_colour(d.out.bytes);
    assert_string_equal(d.out.bytes, first.bytes);
    write_text(&d, all, 4, &wide);
    squeeze(first.bytes);
    squeeze(d.out.bytes);
    assert_string_equal(d.out.bytes, first.bytes);
    te_buffer_free(&first);
    clear(&d);
}

/* The verdict stands before the findings, those before what was assumed; each says its word. */
static void text_tells_the_verdict_first(void **state)
{
    (void)state;
    static const char *const verdicts[] = {"E1 (M): REUSE", "E2 (M): DO NOT REUSE",
                                           "E3 (M): MEASURE AGAIN", "E4 (M): INCOMPLETE"};
    static const char *const heads[] = {
        "Inspection I1 of 2026-03-14, as found, at 215.5 h, measured at 20 °C, by bench 1\n",
        "Inspection I2 of 2026-03-21, as found, at 402.5 h, measured at 20 °C\n",
        "Inspection I3 of 2026-03-28, as built, at 268 h, measured at 20 °C\n",
        "Inspection I4 of 2026-04-04, at 176.4 h, measured at 20 °C\n"};
    const te_text_style style = {.width = 80};
    desk d;
    open_desk(&d, NULL, "I1");
    for (size_t i = 0; i < 4; i++) {
        empty(&d);
        judge(&d, all[i], false);
        te_write_text_inspection(&d.out, d.made.shop, &d.assessment, &style);
        const char *verdict = strstr(text_of(&d.out), verdicts[i]);
        assert_non_null(verdict);
        const char *head = strstr(verdict, heads[i]);
        assert_non_null(head);
        const char *parts = strstr(head, "\nParts\n");
        assert_non_null(parts);
        const char *findings = strstr(parts, "\nQuantity ");
        assert_non_null(findings);
        assert_non_null(strstr(findings, "\nAssumed\n"));
    }
    judge(&d, "I1", false);
    empty(&d);
    te_write_text_inspection(&d.out, d.made.shop, &d.assessment, &style);
    /* U = 2 u, of the larger side; one reading for both sides is shown once. */
    assert_non_null(strstr(
        text_of(&d.out),
        "bore                    66.0220  66.0260  0.0040  max 66.1           serviceable\n"
        "out_of_round                      0.0040  0.0008  new max 0.01       as new\n"
        "skirt                            65.9270  0.0021  min 65.87          as new\n"
        "skirt_clearance          0.0950   0.0990  0.0045  0.05-0.18          as new\n"
        "end_gap 1                         0.4250  0.0291  max 0.8            serviceable\n"
        "compression (kPa)                    760 30.5505  min 700            serviceable\n"));
    clear(&d);
}

static void the_rule_stands_at_the_top(void **state)
{
    (void)state;
    static const te_shop_file simple[] = {{"shop.csv", "key,value\nrule,simple\nname,Shed 3\n"},
                                          {NULL, NULL}};
    static const te_shop_file lack[] = {
        {"instruments.csv", "instrument,unit,resolution\n"},
        {"readings.csv", "inspection,feature,reading\nI1,bore,66.026\n"},
        {NULL, NULL}};
    static const te_shop_file confidence[] = {{"shop.csv", "key,value\nconfidence,0.975\n"},
                                              {NULL, NULL}};
    const te_text_style style = {.width = 132};
    desk d;
    open_desk(&d, simple, "I1");
    te_write_text_start(&d.out, d.made.shop, &style);
    assert_ptr_equal(strstr(text_of(&d.out), "Shed 3. Rule simple: "), d.out.bytes);
    clear(&d);
    open_desk(&d, lack, "I1");
    te_write_text_start(&d.out, d.made.shop, &style);
    assert_ptr_equal(strstr(text_of(&d.out), "NO INSTRUMENT IS DECLARED"), d.out.bytes);
    assert_non_null(strstr(d.out.bytes, "rule simple"));
    clear(&d);
    open_desk(&d, confidence, "I1");
    te_write_text_start(&d.out, d.made.shop, &style);
    assert_ptr_equal(strstr(text_of(&d.out), "Rule guarded"), d.out.bytes);
    assert_non_null(strstr(d.out.bytes, "0.975"));
    clear(&d);
}

static void an_explanation_tells_its_readings(void **state)
{
    (void)state;
    desk d;
    const te_text_style style = {.width = 80};
    open_desk(&d, NULL, "I1");
    assert_int_equal(
        te_write_explanation(&d.out, d.made.shop, &d.assessment, TE_Q_SKIRT_CLEARANCE, &style), 1);
    static const char *const told[] = {
        "skirt_clearance of C1+K1\n",
        "new_min 0.06 new_max 0.1 service_min 0.05 service_max 0.18",
        "(limits.csv:5)",
        "low = 0.095000 mm, standard uncertainty 0.002273, U (k = 2) 0.004546\n",
        "    + 66.022000  bore at 10 mm, pin direction (readings.csv:3)\n",
        "    - 65.927000  skirt at 12 mm, thrust direction (readings.csv:4)\n",
        "read 65.927000, with MIC; correction to 20 °C 0.000000\n",
        "own of readings.csv:3 (scatter 0, step 0.001)             0.000289\n",
        "own of readings.csv:4 (scatter 0, step 0.001)            -0.000289\n",
        "calibration of BG                                         0.002000\n",
        "calibration of MIC                                       -0.001000\n",
        "high = 0.099000 mm",
        "    + 66.026000  bore at 10 mm, thrust direction (readings.csv:2)\n",
    };
    const char *at = text_of(&d.out);
    for (size_t i = 0; i < sizeof told / sizeof *told; i++) {
        at = strstr(at, told[i]);
        if (at == NULL)
            fail_msg("not told, or not in its place: %s\n%s", told[i], d.out.bytes);
    }
    empty(&d);
    assert_int_equal(te_write_explanation(&d.out, d.made.shop, &d.assessment, TE_Q_PIN, &style), 0);
    assert_non_null(strstr(text_of(&d.out), "  not measured\n"));
    clear(&d);
}

/* ---- problems ---- */

static void add_problem(te_problems *list, te_severity severity, const char *file, uint32_t line,
                        const char *column)
{
    te_problem p = {.severity = severity, .scope = TE_SCOPE_NONE, .line = line};
    (void)snprintf(p.file, sizeof p.file, "%s", file);
    (void)snprintf(p.column, sizeof p.column, "%s", column);
    (void)snprintf(p.what, sizeof p.what, "what %u", (unsigned)line);
    (void)snprintf(p.remedy, sizeof p.remedy, "remedy %u", (unsigned)line);
    te_problems_add(list, &p);
}

static void problems_are_one_a_line(void **state)
{
    (void)state;
    te_problems list;
    te_buffer buffer = {0};
    te_problems_init(&list);
    te_write_problems(&buffer, &list);
    assert_int_equal(buffer.length, 0);
    add_problem(&list, TE_ERROR, "readings/april.csv", 217, "reading_2");
    add_problem(&list, TE_WARNING, "limits.csv", 3, "");
    add_problem(&list, TE_ERROR, "engines.csv", 0, "");
    add_problem(&list, TE_WARNING, "a\x1b[1m.csv", 9, "no\nte");
    te_problems_sort(&list);
    te_write_problems(&buffer, &list);
    assert_string_equal(text_of(&buffer),
                        "readings/april.csv:217: reading_2: error: what 217; remedy 217\n"
                        "limits.csv:3: warning: what 3; remedy 3\n"
                        "engines.csv: error: what 0; remedy 0\n"
                        "a\\x1B[1m.csv:9: no\\x0Ate: warning: what 9; remedy 9\n");
    te_buffer_free(&buffer);
    te_problems_free(&list);
}

/* 50 of a file and severity are told, of the rest their number. */
static void many_problems_are_counted(void **state)
{
    (void)state;
    static const size_t most = TE_PROBLEMS_PER_FILE;
    static const struct {
        size_t errors, warnings;
        const char *end;
    } given[] = {
        {50, 50, ""},
        {51, 0, "r.csv: and 1 more error\n"},
        {60, 0, "r.csv: and 10 more errors\n"},
        {0, 51, "r.csv: and 1 more warning\n"},
        {3, 1050, "r.csv: and 1000 more warnings\n"},
        {52, 53, "r.csv: and 2 more errors\nr.csv: and 3 more warnings\n"},
    };
    for (size_t i = 0; i < sizeof given / sizeof *given; i++) {
        te_problems list;
        te_buffer buffer = {0};
        size_t lines = 0;
        te_problems_init(&list);
        for (size_t j = 0; j < given[i].errors; j++)
            add_problem(&list, TE_ERROR, "r.csv", (uint32_t)(2 + j), "reading");
        for (size_t j = 0; j < given[i].warnings; j++)
            add_problem(&list, TE_WARNING, "r.csv", (uint32_t)(2 + j), "note");
        add_problem(&list, TE_ERROR, "s.csv", 7, "");
        te_problems_sort(&list);
        te_write_problems(&buffer, &list);
        const char *text = text_of(&buffer);
        for (const char *c = text; *c != '\0'; c++)
            lines += *c == '\n';
        size_t told = (given[i].errors < most ? given[i].errors : most) +
                      (given[i].warnings < most ? given[i].warnings : most) + 1;
        assert_int_equal(lines, told + (given[i].errors > most) + (given[i].warnings > most));
        assert_string_equal(text + buffer.length - strlen(given[i].end), given[i].end);
        assert_non_null(strstr(text, "s.csv:7: error: what 7; remedy 7\n"));
        te_buffer_free(&buffer);
        te_problems_free(&list);
    }
}

/* ---- reasons ---- */

/* The reasons of a verdict, one a line. */
static const char *reasons_of(desk *d, const te_verdict *verdict)
{
    empty(d);
    for (uint32_t i = 0; i < verdict->reason_count; i++) {
        te_write_reason(&d->out, d->made.shop, &d->assessment,
                        &d->assessment.reasons[verdict->first_reason + i]);
        te_buffer_text(&d->out, "\n");
    }
    return text_of(&d->out);
}

static void assert_assembly(const te_shop_file *changes, bool damaged, const char *expected)
{
    desk d;
    open_desk(&d, changes, "I1");
    judge(&d, "I1", damaged);
    assert_string_equal(reasons_of(&d, te_assessment_assembly(&d.assessment)), expected);
    clear(&d);
}

#define BENCH      "inspection,feature,item,position,direction,reading,no_go,unit,instrument\n"
#define GOOD_SKIRT "I1,skirt,,12,thrust,65.927,,,MIC\n"
#define GOOD_GAP   "I1,end_gap,1,60,,0.40,0.45,,FEEL\n"
#define NO_TIGHT   "end_gap 1: no lower limit was given, too tight was not judged\n"

static void a_finding_is_given_with_value_limit_and_source(void **state)
{
    (void)state;
    static const struct {
        const char *readings, *expected;
    } given[] = {
        /* Above: (66.1 - 66.134) / 0.0020 = -17; the clearance 0.207 against 0.18. */
        {BENCH "I1,bore,,10,thrust,66.134,,,BG\n" GOOD_SKIRT GOOD_GAP,
         "beyond: bore: 66.1340 mm is above the service limit 66.1 mm, conformity probability "
         "below 0.001 (sheet 7)\n"
         "beyond: skirt_clearance: 0.2070 mm is above the service limit 0.18 mm, conformity "
         "probability below 0.001 (sheet 7)\n"
         "2 values are within limits\n" NO_TIGHT},
        /* Below; the clearance 0.173 is within, by (0.18 - 0.173) / 0.002273 = 3.08. */
        {BENCH "I1,bore,,10,thrust,66.026,,,BG\nI1,skirt,,12,thrust,65.853,,,MIC\n" GOOD_GAP,
         "beyond: skirt: 65.8530 mm is below the service limit 65.87 mm, conformity probability "
         "below 0.001 (sheet 7)\n"
         "3 values are within limits\n" NO_TIGHT},
        /* A piston that is larger than its bore, by 0.001. */
        {BENCH "I1,bore,,10,thrust,65.926,,,BG\n" GOOD_SKIRT GOOD_GAP,
         "beyond: skirt_clearance: -0.0010 mm is not above 0: the parts touch\n"
         "outside new: bore: 65.9260 mm is below the as-new limit 66 mm and there is no service "
         "limit (sheet 7)\n"
         "2 values are within limits\n" NO_TIGHT},
        /* p = Phi(0.001 / 0.00202073) = Phi(0.494872) = 0.690; needed 0.001 / 1.644854 = 0.000608,
         * rounded down. */
        {BENCH "I1,bore,,10,thrust,66.099,,,BG\nI1,skirt,,12,thrust,65.934,,,MIC\n" GOOD_GAP,
         "undecided: bore: 66.0990 mm is not above the service limit 66.1 mm, but too near for its "
         "uncertainty: conformity probability 0.690; a standard uncertainty of 0.0006 mm (U "
         "0.0012) or less would decide, it is 0.002 (U 0.004) (sheet 7)\n"
         "3 values are within limits\n" NO_TIGHT},
        /* At the limit; a limit without a source. */
        {BENCH "I1,bore,,10,thrust,66.026,,,BG\n" GOOD_SKIRT "I1,end_gap,1,60,,0.775,0.825,,FEEL\n",
         "undecided: end_gap 1: 0.8000 mm is not above the service limit 0.8 mm, but too near for "
         "its uncertainty: conformity probability 0.500; the value lies at the limit: no gauge "
         "would decide (source of the limit not given)\n"
         "3 values are within limits\n" NO_TIGHT},
        /* Without an instrument: 0.04 / 1.644854 = 0.0243 would do for the bore; the clearance
         * rests on it too: 0.079 within 0.05 to 0.18, 0.029 / 1.644854 = 0.0176. */
        {BENCH "I1,bore,,10,thrust,66.060,,,\nI1,skirt,,12,thrust,65.981,,,MIC\n" GOOD_GAP,
         "undecided: bore: 66.0600 mm is not above the service limit 66.1 mm, but its uncertainty "
         "is not stated; a standard uncertainty of 0.024 mm (U 0.048) or less would decide (sheet "
         "7)\n"
         "undecided: skirt_clearance: 0.0790 mm is not below the service limit 0.05 mm, but its "
         "uncertainty is not stated; a standard uncertainty of 0.017 mm (U 0.034) or less would "
         "decide (sheet 7)\n"
         "outside new: skirt: 65.9810 mm is above the as-new limit 65.94 mm and there is no "
         "service limit (sheet 7)\n"
         "1 value is within limits\n" NO_TIGHT},
        /* No service limit: out of round 0.02 with u 0.000408; the bore is serviceable. */
        {BENCH "I1,bore,,10,thrust,66.026,,,BG\nI1,bore,,10,pin,66.006,,,BG\n" GOOD_SKIRT GOOD_GAP,
         "outside new: out_of_round: 0.0200 mm is above the as-new limit 0.01 mm and there is no "
         "service limit (sheet 7)\n"
         "4 values are within limits\n" NO_TIGHT},
        /* p = Phi(-0.0004 / 0.000408248) = Phi(-0.979796) = 0.164; needed 0.0004 / 1.644854. */
        {BENCH "I1,bore,,10,thrust,66.0264,,,BG\nI1,bore,,10,pin,66.016,,,BG\n" GOOD_SKIRT GOOD_GAP,
         "undecided: out_of_round: 0.0104 mm is above the as-new limit 0.01 mm, but too near for "
         "its uncertainty: conformity probability 0.164; a standard uncertainty of 0.00024 mm (U "
         "0.00048) or less would decide, it is 0.00041 (U 0.00082) (sheet 7)\n"
         "4 values are within limits\n" NO_TIGHT},
    };
    for (size_t i = 0; i < sizeof given / sizeof *given; i++) {
        const te_shop_file changes[] = {{"readings.csv", given[i].readings}, {NULL, NULL}};
        assert_assembly(changes, false, given[i].expected);
    }
}

/* u = sqrt(15^2 + 10^2 / 12) = 15.2753 kPa. As new from 710 on, 705 read: p = Phi(-5 / 15.2753) = 0.372;
 * needed 5 / 1.644854 = 3.04, rounded down. Within 704.5 to 705.5: 2 Phi(0.5 / 15.2753) - 1 = 0.026. */
static void a_coarse_gauge_between_limits_says_so(void **state)
{
    (void)state;
    static const char *const given[][2] = {
        {"M,compression,,kPa,710,,,,yes,card 7\n",
         "undecided: compression: 705 kPa is below the as-new limit 710 kPa, but too near for "
         "its uncertainty: conformity probability 0.372; a standard uncertainty of 3 kPa (U 6) or "
         "less would decide, it is 15 (U 31) (card 7)\n"
         "no condition recorded: sizes do not show cracks\n"},
        {"M,compression,,kPa,,,704.5,705.5,yes,card 7\n",
         "beyond: compression: 705 kPa is not above the service limit 705.5 kPa, but with this "
         "uncertainty it is hardly within both limits, conformity probability 0.026 (card 7)\n"
         "no condition recorded: sizes do not show cracks\n"},
    };
    for (size_t i = 0; i < 2; i++) {
        char limits[256];
        (void)snprintf(limits, sizeof limits,
                       "model,quantity,item,unit,new_min,new_max,service_min,service_max,required,"
                       "source\n%s",
                       given[i][0]);
        const te_shop_file changes[] = {{"limits.csv", limits},
                                        {"readings.csv", BENCH "I1,compression,,,,705,,kPa,CG\n"},
                                        {"condition.csv", "inspection,part,finding,severity\n"},
                                        {NULL, NULL}};
        assert_assembly(changes, false, given[i][1]);
    }
}

static void a_leaf_that_straddles_a_limit_says_so(void **state)
{
    (void)state;
    static const te_shop_file changes[] = {{"shop.csv", "key,value\nrule,simple\n"},
                                           {"readings.csv",
                                            BENCH "I1,bore,,10,thrust,66.026,,,BG\n" GOOD_SKIRT
                                                  "I1,end_gap,1,60,,0.75,0.85,,FEEL\n"},
                                           {NULL, NULL}};
    assert_assembly(changes, false,
                    "undecided: end_gap 1: 0.8000 mm is not above the service limit 0.8 mm, which "
                    "lies between the two leaves (source of the limit not given)\n"
                    "3 values are within limits\n" NO_TIGHT);
}

static void what_was_not_measured_is_named(void **state)
{
    (void)state;
    static const te_shop_file changes[] = {
        {"limits.csv",
         "model,quantity,item,unit,new_max,service_max,required,source\n"
         "M,bore,,mm,66.020,66.100,yes,sheet 7\nM,taper,,mm,0.010,0.050,yes,sheet 7\n"
         "M,small_end_play,,mm,0.020,0.050,yes,sheet 7\nM,squish,,mm,,1.3,yes,sheet 8\n"
         "M,pin_bore,left,mm,,16.025,yes,sheet 8\nM,skirt,,mm,65.940,,no,sheet 7\n"},
        {"readings.csv", BENCH "I1,bore,,10,thrust,66.026,,,BG\n" GOOD_SKIRT},
        {NULL, NULL}};
    static const te_shop_file own_item[] = {
        {"limits.csv", "model,quantity,item,unit,service_min,source\nM,compression,1,kPa,700,s\n"
                       "M,compression,2,kPa,700,s\n"},
        {"readings.csv", BENCH "I1,compression,1,,,760,,kPa,CG\n"},
        {NULL, NULL}};
    static const te_shop_file no_limit[] = {
        {"limits.csv", "model,quantity,unit,service_max,source\nM,bore,mm,66.1,sheet 7\n"},
        {"readings.csv", BENCH "I1,bore,,10,thrust,66.026,,,BG\nI1,compression,,,,760,,kPa,CG\n"},
        {NULL, NULL}};
    assert_assembly(
        changes, false,
        "missing: taper: a limit asks for it, but it was not measured at the places that it needs\n"
        "missing: pin_bore left: a limit asks for it, but it was not measured\n"
        "not measured: small end bearing, which the limits or the plan ask for\n"
        "not measured: squish, which the limits or the plan ask for\n"
        "2 values are within limits\n"
        "skirt_clearance: no lower limit was given, too tight was not judged\n");
    assert_assembly(own_item, false,
                    "missing: compression 2: a limit asks for it, but it was not measured at the "
                    "places that it needs\n1 value is within limits\n");
    assert_assembly(no_limit, false,
                    "other E1/other: incomplete, no value of it has a limit\n"
                    "1 value is within limits\n"
                    "compression: no limit was given, it was not judged\n");
}

static void places_of_the_plan_are_named(void **state)
{
    (void)state;
    static const struct {
        const char *plan, *expected;
    } given[] = {
        {"model,feature,item,position,direction\nM,bore,,10,thrust\nM,bore,,28,45\n",
         "missing: bore: 1 place of plan.csv not measured: bore at 28 mm, 45 degrees\n"},
        {"model,feature,item,position,direction\nM,bore,,60,pin\nM,bore,,10,thrust\n"
         "M,bore,,28,thrust\n",
         "missing: bore: 2 places of plan.csv not measured: bore at 60 mm, pin direction and "
         "others\n"},
    };
    for (size_t i = 0; i < 2; i++) {
        const te_shop_file changes[] = {{"plan.csv", given[i].plan}, {NULL, NULL}};
        desk d;
        open_desk(&d, changes, "I1");
        const char *text = reasons_of(&d, te_assessment_assembly(&d.assessment));
        assert_ptr_equal(strstr(text, given[i].expected), text);
        clear(&d);
    }
}

static void conditions_and_damage_are_told(void **state)
{
    (void)state;
    static const te_shop_file changes[] = {
        {"readings.csv", BENCH "I1,bore,,10,thrust,66.026,,,BG\n" GOOD_SKIRT GOOD_GAP},
        {"condition.csv", "inspection,part,finding,severity\nI1,piston,\xe2\x80\xae"
                          "cracked,reject\nI1,cylinder,scuffed,watch\nI1,cylinder,carbon,note\n"},
        {NULL, NULL}};
    static const te_shop_file none[] = {
        {"readings.csv", BENCH "I1,bore,,10,thrust,66.026,,,BG\n"},
        {"limits.csv", "model,quantity,unit,service_max,source\nM,bore,mm,66.1,sheet 7\n"},
        {"condition.csv", "inspection,part,finding,severity\n"},
        {NULL, NULL}};
    assert_assembly(changes, false,
                    "reject: \\u{202E}cracked (piston K1)\n4 values are within limits\n"
                    "watch: scuffed (cylinder C1)\n" NO_TIGHT);
    assert_assembly(none, false,
                    "1 value is within limits\nno condition recorded: sizes do not show cracks\n");
    assert_assembly(none, true,
                    "cylinder C1: incomplete\n"
                    "rows that could not be read may concern this engine\n"
                    "1 value is within limits\n"
                    "no condition recorded: sizes do not show cracks\n");
}

static void a_part_without_limits_says_how_it_was_judged(void **state)
{
    (void)state;
    static const te_shop_file changes[] = {
        {"limits.csv", "model,quantity,unit,service_min,service_max,source\n"
                       "M,bore,mm,,66.1,sheet 7\nM,skirt_clearance,mm,0.05,0.18,sheet 7\n"},
        {"readings.csv", BENCH "I1,bore,,10,thrust,66.026,,,BG\n" GOOD_SKIRT GOOD_GAP},
        {NULL, NULL}};
    desk d;
    open_desk(&d, changes, "I1");
    assert_int_equal(d.assessment.verdict_count, 4);
    assert_string_equal(reasons_of(&d, &d.assessment.verdicts[1]),
                        "judged by its fit alone: no value of its own has a limit\n"
                        "1 value is within limits\n");
    assert_string_equal(reasons_of(&d, &d.assessment.verdicts[2]),
                        "nothing was judged: no value of it has a limit\n" NO_TIGHT
                        "no condition recorded: sizes do not show cracks\n");
    clear(&d);
}

/* ---- names and units ---- */

static void parts_kinds_and_units_are_named(void **state)
{
    (void)state;
    static const te_shop_file changes[] = {
        {"limits.csv", "model,quantity,item,unit,service_min,service_max,required,source\n"
                       "M,bore,,mm,,66.1,yes,s\nM,compression,2,kPa,700,,yes,s\n"
                       "M,compression,3,kPa,700,,yes,s\nM,depth,1,mm,,3,yes,s\n"
                       "M,depth,2,mm,,3,yes,s\n"},
        {"readings.csv", BENCH "I1,bore,,10,thrust,66.026,,,BG\n" GOOD_SKIRT
                               "I1,compression,2,,,760,,kPa,\nI1,squish,,,,0.95,,,\n"
                               "I1,deck,,,,2.5,,thou,\nI1,depth,1,,,2.9,,,\n"},
        {NULL, NULL}};
    desk d;
    open_desk(&d, changes, "I1");
    static const struct {
        const char *quantity, *item, *parts, *kinds, *unit;
        bool computed;
    } given[] = {
        {"bore", "", "C1", "cylinder", "mm", true},
        {"skirt_clearance", "", "C1+K1", "cylinder+piston", "mm", true},
        {"compression", "2", "E1/other", "other", "kPa", true},
        {"compression", "3", "E1/other", "other", "kPa", false},
        {"squish", "", "E1/other", "other", "mm", true},
        {"deck", "", "E1/other", "other", "mm", true},
        {"depth", "2", "E1/other", "other", "mm", false},
    };
    for (size_t i = 0; i < sizeof given / sizeof *given; i++) {
        const te_finding *finding = finding_of(&d, given[i].quantity, given[i].item);
        assert_int_equal(finding->computed, given[i].computed);
        empty(&d);
        te_write_parts(&d.out, d.made.shop, &finding->measured);
        te_buffer_text(&d.out, " ");
        te_write_kinds(&d.out, &finding->measured);
        char expected[64];
        (void)snprintf(expected, sizeof expected, "%s %s", given[i].parts, given[i].kinds);
        assert_string_equal(text_of(&d.out), expected);
        assert_string_equal(te_finding_unit(d.made.shop, &d.assessment, finding), given[i].unit);
    }
    assert_near(finding_of(&d, "deck", "")->interval.high, 0.0635, 1e-15);
    clear(&d);
}

/* ---- whatever the files say ---- */

/* A name of random characters, the dangerous ones often, that needs no quotes. */
static void random_name(te_random *random, char *out, size_t most)
{
    static const char *const dangerous[] = {"\x1b[2J",
                                            "\x07",
                                            "\x7f",
                                            "\xc2\x9b",
                                            "\xe2\x80\xae",
                                            "\xe2\x81\xa6",
                                            "\xe2\x80\x8f",
                                            "\xe2\x80\xa8",
                                            "=",
                                            "+",
                                            "@",
                                            "\\x1B",
                                            "'",
                                            "\xe6\xbc\xa2",
                                            "\xcc\x81"};
    size_t length = 0;
    size_t pieces = 1 + te_random_below(random, most / 8);
    out[length++] = 'n';
    for (size_t i = 0; i < pieces && length + 8 < most; i++) {
        if (te_random_below(random, 2) == 0) {
            const char *piece =
                dangerous[te_random_below(random, sizeof dangerous / sizeof *dangerous)];
            memcpy(out + length, piece, strlen(piece));
            length += strlen(piece);
        } else {
            out[length++] = "abc XYZ019_-.%&<>"[te_random_below(random, 17)];
        }
    }
    out[length++] = 'z';
    out[length] = '\0';
}

static void nothing_in_the_files_acts_on_a_terminal(void **state)
{
    (void)state;
    te_random random = te_random_start(0x7e4);
    size_t rounds = te_test_rounds(60);
    for (size_t round = 0; round < rounds; round++) {
        enum { NAMES = 7, MOST = 120 };
        char n[NAMES][MOST], engines[512], inspections[1024], limits[1024], parts[512],
            readings[1024], condition[512];
        for (size_t i = 0; i < NAMES; i++)
            random_name(&random, n[i], MOST);
        (void)snprintf(engines, sizeof engines, "engine,model\n%s,%s\n", n[0], n[1]);
        (void)snprintf(inspections, sizeof inspections,
                       "inspection,engine,date,hours,temperature,by\n%s,%s,2026-03-14,0,20,%s\n",
                       n[2], n[0], n[3]);
        (void)snprintf(limits, sizeof limits,
                       "model,quantity,item,unit,service_max,source\n%s,bore,,mm,66.1,%s\n"
                       "%s,squish,%s,%s,3,%s\n",
                       n[1], n[4], n[1], n[5], n[6], n[4]);
        (void)snprintf(parts, sizeof parts, "part,kind,engine,fitted_hours\n%s,cylinder,%s,0\n",
                       n[3], n[0]);
        (void)snprintf(readings, sizeof readings,
                       "inspection,feature,item,position,reading,unit\n%s,bore,,10,66.131,\n"
                       "%s,squish,%s,,2.5,%s\n",
                       n[2], n[2], n[5], n[6]);
        (void)snprintf(condition, sizeof condition,
                       "inspection,part,finding,severity\n%s,cylinder,%s,watch\n", n[2], n[6]);
        const te_shop_file changes[] = {{"engines.csv", engines},
                                        {"inspections.csv", inspections},
                                        {"limits.csv", limits},
                                        {"parts.csv", parts},
                                        {"readings.csv", readings},
                                        {"condition.csv", condition},
                                        {NULL, NULL}};
        desk d;
        const char *const names[] = {n[2]};
        const te_text_style style = {.width = 60 + te_random_below(&random, 80)};
        open_desk(&d, changes, n[2]);
        write_text(&d, names, 1, &style);
        te_assert_safe(d.out.bytes, d.out.length, false);
        assert_lines_fit(text_of(&d.out), style.width);
        empty(&d);
        te_write_findings_csv(&d.out, d.made.shop, &d.assessment);
        te_write_verdicts_csv(&d.out, d.made.shop, &d.assessment);
        te_assert_safe(d.out.bytes, d.out.length, false);
        char cells[CELLS_MOST][CELL_MOST];
        size_t count = 0, rows = 0;
        for (const char *at = text_of(&d.out); (at = read_row(at, cells, &count)) != NULL; rows++)
            assert_int_equal(count, rows < d.assessment.finding_count ? COLUMNS : 8);
        assert_int_equal(rows, d.assessment.finding_count + d.assessment.verdict_count);
        empty(&d);
        json_t *root = document(&d, names, 1);
        te_assert_safe(d.out.bytes, d.out.length, true);
        const json_t *inspection = json_array_get(json_object_get(root, "inspections"), 0);
        assert_string_equal(string(inspection, "engine"), n[0]);
        assert_string_equal(string(inspection, "inspection"), n[2]);
        json_decref(root);
        empty(&d);
        te_write_problems(&d.out, &d.made.problems);
        te_assert_safe(d.out.bytes, d.out.length, false);
        clear(&d);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_buffer_grows_and_stays_terminated),
        cmocka_unit_test(the_first_failure_sticks),
        cmocka_unit_test(text_from_outside_is_made_safe_whatever_its_length),
        cmocka_unit_test(any_text_makes_the_cell_of_the_rule),
        cmocka_unit_test(numbers_and_counts_make_cells),
        cmocka_unit_test(writers_leave_a_failed_buffer_alone),
        cmocka_unit_test(the_headers_are_those_of_the_contract),
        cmocka_unit_test(findings_are_written_as_rows),
        cmocka_unit_test(verdicts_are_written_as_rows),
        cmocka_unit_test(ids_are_quoted_and_disarmed),
        cmocka_unit_test(json_has_every_key_of_the_contract),
        cmocka_unit_test(json_and_csv_say_the_same),
        cmocka_unit_test(coefficients_times_readings_add_up),
        cmocka_unit_test(json_is_one_line_an_inspection),
        cmocka_unit_test(lines_fit_every_width),
        cmocka_unit_test(colour_and_width_change_no_word),
        cmocka_unit_test(text_tells_the_verdict_first),
        cmocka_unit_test(the_rule_stands_at_the_top),
        cmocka_unit_test(an_explanation_tells_its_readings),
        cmocka_unit_test(problems_are_one_a_line),
        cmocka_unit_test(many_problems_are_counted),
        cmocka_unit_test(a_finding_is_given_with_value_limit_and_source),
        cmocka_unit_test(a_coarse_gauge_between_limits_says_so),
        cmocka_unit_test(a_leaf_that_straddles_a_limit_says_so),
        cmocka_unit_test(what_was_not_measured_is_named),
        cmocka_unit_test(places_of_the_plan_are_named),
        cmocka_unit_test(conditions_and_damage_are_told),
        cmocka_unit_test(a_part_without_limits_says_how_it_was_judged),
        cmocka_unit_test(parts_kinds_and_units_are_named),
        cmocka_unit_test(nothing_in_the_files_acts_on_a_terminal),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
