/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Files as spreadsheets and exports write them: those of tests/data/dialects give what their author
 * meant or are refused with exact problems. A collection of further CSV files, when it is there (the
 * folder that TOPEND_CASES names, else ../shared/cases beside the checkout), is run through as well.
 */
#include "shop_kit.h"

#include <dirent.h>
#include <sys/stat.h>

#include "csv_ways.h"
#include "encoding.h"

/* A file whole; the caller frees it. NULL when it cannot be read. */
static char *slurp(const char *path, size_t *length)
{
    FILE *file = fopen(path, "rb");
    size_t room = 1 << 16;
    char *bytes = malloc(room);
    *length = 0;
    if (file == NULL || bytes == NULL) {
        free(bytes);
        if (file != NULL)
            fclose(file);
        return NULL;
    }
    for (size_t got; (got = fread(bytes + *length, 1, room - *length, file)) > 0;) {
        *length += got;
        if (*length == room) {
            bytes = realloc(bytes, room *= 2);
            assert_non_null(bytes);
        }
    }
    fclose(file);
    return bytes;
}

/* ---- tests/data/dialects ---- */

#define CP1252                                                                                    \
    "readings.csv: warning: the file is not UTF-8 and is read as Windows-1252; check names with " \
    "accents, or save the file in UTF-8\n"
#define NO_NUMBER "\" is not a number; write digits with one decimal mark and nothing else\n"
#define GROUPED   "\" has its digits in groups; write the digits without gaps\n"

typedef struct dialect {
    const char *name;
    const char *problems;
} dialect;

/* Each of these holds the same readings. */
static const dialect alike[] = {
    {"semicolon-lf.csv", ""},     {"semicolon-crlf-quoted.csv", ""},
    {"semicolon-cr.csv", ""},     {"semicolon-cp1252.csv", CP1252},
    {"semicolon-bom.csv", ""},    {"semicolon-two-boms.csv", ""},
    {"semicolon-points.csv", ""}, {"bom-quoted-header.csv", ""},
    {"sep-line.csv", ""},         {"ctrl-z.csv", ""},
    {"tab-utf16le.csv", ""},      {"tab-utf16be.csv", ""},
    {"tab-utf8.csv", ""},         {"comma.csv", ""},
    {"comma-mixed-ends.csv", ""}, {"greek-mu.csv", ""},
    {"scientific.csv", ""},       {"nbsp.csv", ""},
};

static const dialect refused[] = {
    {"lf-header-break.csv", "readings.csv:1: warning: the column \"note\\x0A[Text]\" is not known "
                            "and is not read; take it out, "
                            "or use note\n"},
    {"bad-cp850.csv",
     CP1252 "readings.csv:2: unit: error: \"\xc3\xa6m\" is not a unit of length; write mm, "
            "um, in or thou\n"},
    {"bad-single-quotes.csv", "readings.csv:1: error: this row holds none of the column names of "
                              "readings.csv; the first row must "
                              "be the header row: delete a title row, or add the header\n"},
    {"bad-fixed-width.csv", "readings.csv:1: error: this row holds none of the column names of "
                            "readings.csv; the first row must "
                            "be the header row: delete a title row, or add the header\n"},
    {"bad-title.csv", "readings.csv:1: error: this row holds none of the column names of "
                      "readings.csv; the first row must "
                      "be the header row: delete a title row, or add the header\n"},
    {"bad-as-shown.csv", "readings.csv:2: reading: error: \"54,013 mm" NO_NUMBER
                         "readings.csv:3: reading: error: \"(0,013)" NO_NUMBER
                         "readings.csv:4: reading: error: \"1,5%" NO_NUMBER
                         "readings.csv:5: reading: error: \"#DIV/0!" NO_NUMBER
                         "readings.csv:6: reading: error: \"#NV" NO_NUMBER
                         "readings.csv:7: reading: error: \"2 1/8" GROUPED
                         "readings.csv:8: reading: error: \"1.234,500\" has more than one decimal "
                         "mark; write one mark and no "
                         "grouping of digits\n"
                         "readings.csv:9: reading: error: \"53 947,1" GROUPED
                         "readings.csv:10: reading: error: \"\xc2\xb1 0,002" NO_NUMBER
                         "readings.csv:11: reading: error: \"20,3 \xc2\xb0"
                         "C" NO_NUMBER "readings.csv:12: reading: error: \"1'234.5" GROUPED
                         "readings.csv:13: reading: error: \"54,0127*" NO_NUMBER},
    {"bad-resaved-en.csv", "readings.csv:2: reading: error: the bore is more than 10 % away from "
                           "its nearest limit; check the "
                           "unit, the decimal mark and the zero\n"
                           "readings.csv:3: position: error: \"1-Feb" NO_NUMBER
                           "readings.csv:4: reading: error: \"01/02/26" NO_NUMBER
                           "readings.csv:5: reading: error: \"54,012\" has a decimal comma in a "
                           "comma-delimited file; write it "
                           "with a decimal point\n"},
    {"bad-resaved-de.csv", "readings.csv:2: reading: error: the bore is more than 10 % away from "
                           "its nearest limit; check the "
                           "unit, the decimal mark and the zero\n"
                           "readings.csv:3: position: error: \"01.02.26\" has more than one "
                           "decimal mark; write one mark and no "
                           "grouping of digits\n"
                           "readings.csv:4: reading: error: \"54.012\" has another decimal mark "
                           "than line 2; use one decimal "
                           "mark in the whole file\n"},
    {"bad-mojibake.csv",
     "readings.csv:2: unit: error: \"\xc3\x82\xc2\xb5m\" is not a unit of length; write "
     "mm, um, in or thou\n"},
    {"bad-mixed-encodings.csv",
     CP1252 "readings.csv:2: unit: error: \"\xc3\x82\xc2\xb5m\" is not a unit of "
            "length; write mm, um, in or thou\n"},
    {"bad-backslash.csv",
     "readings.csv:2: error: a quote stands where none may be; put the whole cell in "
     "quotes and double the quotes in it\n"},
    {"bad-inch-mark.csv",
     "readings.csv:2: error: a quote stands where none may be; put the whole cell in "
     "quotes and double the quotes in it\n"},
    {"bad-nul.csv",
     "readings.csv:3: error: the line holds a NUL byte; save the file again as CSV in UTF-8\n"},
    {"bad-utf16-cut.csv",
     "readings.csv:5: error: the bytes are neither UTF-8 nor UTF-16; save the file "
     "again as CSV in UTF-8\n"},
    {"bad-ragged.csv", "readings.csv:2: error: \"gepr\xc3\xbc"
                       "ft\" stands past the last column of the header; "
                       "check for a missing quote, a stray delimiter or a decimal comma\n"},
};

static char *read_dialect(kit *k, const char *name)
{
    char path[512];
    size_t length = 0;
    snprintf(path, sizeof path, "%s/dialects/%s", TE_TEST_DATA, name);
    char *bytes = slurp(path, &length);
    if (bytes == NULL)
        fail_msg("cannot read %s", path);
    *k = kit_with_readings(bytes, length);
    kit_read(k);
    return bytes;
}

static void same_readings(void **state)
{
    const dialect *d = *state;
    kit k;
    char *bytes = read_dialect(&k, d->name);
    kit_expect(&k, d->problems);
    assert_int_equal(k.t->reading_count, 3);
    const te_reading *r = k.t->readings;
    assert_near(r[0].value, 54.0127, 0);
    assert_near(r[0].setup->position, 12.5, 0);
    assert_near(r[0].setup->direction, 0, 0);
    assert_string_equal(te_shop_text(k.shop, r[0].setup->note),
                        "Kolben leicht gefressen; gepr\xc3\xbc"
                        "ft");
    assert_near(r[1].value, 54.0138, 0);
    assert_near(r[1].setup->direction, 90, 0);
    assert_int_equal(r[1].setup->note, 0);
    assert_int_equal(r[2].setup->feature, TE_Q_END_GAP);
    assert_near(r[2].value, 0.3505, 0);
    assert_int_equal(r[2].setup->unit, TE_UNIT_UM);
    assert_string_equal(te_shop_text(k.shop, r[2].setup->item), "1");
    const char *note = te_shop_text(k.shop, r[2].setup->note);
    assert_memory_equal(note, "zwei", 4);
    assert_string_equal(note + strlen(note) - 6, "Zeilen");
    kit_free(&k);
    free(bytes);
}

static void exact_problems(void **state)
{
    const dialect *d = *state;
    kit k;
    char *bytes = read_dialect(&k, d->name);
    kit_expect(&k, d->problems);
    kit_free(&k);
    free(bytes);
}

/* Every file of the folder is named above. */
static void no_file_is_forgotten(void **state)
{
    (void)state;
    size_t seen = 0;
    DIR *folder = opendir(TE_TEST_DATA "/dialects");
    assert_non_null(folder);
    for (const struct dirent *entry; (entry = readdir(folder)) != NULL;)
        seen += strstr(entry->d_name, ".csv") != NULL;
    closedir(folder);
    assert_int_equal(seen, sizeof alike / sizeof *alike + sizeof refused / sizeof *refused);
}

/* ---- a collection beside the checkout ---- */

static const char *collection(void)
{
    const char *asked = getenv("TOPEND_CASES");
    return asked != NULL ? asked : TE_TEST_DATA "/../../../shared/cases";
}

static bool is_folder(const char *path)
{
    struct stat about;
    return stat(path, &about) == 0 && S_ISDIR(about.st_mode);
}

/* Calls `use` for every file under a folder; returns how many there were. */
static size_t for_each_file(const char *path, void (*use)(const char *path))
{
    size_t count = 0;
    DIR *folder = opendir(path);
    if (folder == NULL) {
        use(path);
        return 1;
    }
    for (const struct dirent *entry; (entry = readdir(folder)) != NULL;) {
        char inner[1024];
        if (entry->d_name[0] == '.')
            continue;
        if (snprintf(inner, sizeof inner, "%s/%s", path, entry->d_name) >= (int)sizeof inner)
            fail_msg("too long a path: %s/%s", path, entry->d_name);
        count += for_each_file(inner, use);
    }
    closedir(folder);
    return count;
}

/* None of these files is one of ours: as each file of a shop it is refused, and with every delimiter
 * it is read or refused. */
static void refuse_as_each_file(const char *path)
{
    static const char *const names[] = {"shop.csv",        "engines.csv",     "models.csv",
                                        "limits.csv",      "instruments.csv", "parts.csv",
                                        "inspections.csv", "readings.csv",    "condition.csv",
                                        "spares.csv",      "plan.csv"};
    size_t length = 0;
    char *bytes = slurp(path, &length);
    if (bytes == NULL)
        fail_msg("cannot read %s", path);
    for (size_t i = 0; i < sizeof names / sizeof *names; i++) {
        kit k = kit_with_readings("inspection,feature,reading\nM-1,bore,54.01\n", 42);
        kit_put(&k, names[i], bytes, length);
        kit_read(&k);
        if (k.problems.errors == 0)
            fail_msg("%s is taken for a %s", path, names[i]);
        assert_string_equal(k.problems.items[0].file, names[i]);
        kit_free(&k);
    }
    static const char delimiters[] = {',', ';', '\t'};
    for (size_t i = 0; i < sizeof delimiters; i++)
        csv_every_way((te_slice){bytes, length}, delimiters[i]);
    free(bytes);
}

static void foreign_files_are_refused(void **state)
{
    (void)state;
    char path[1024];
    size_t count = 0;
    if (!is_folder(collection())) {
        print_message("no folder %s\n", collection());
        skip();
    }
    static const char *const parts[] = {"csv", "spreadsheet"};
    for (size_t i = 0; i < 2; i++) {
        snprintf(path, sizeof path, "%s/%s", collection(), parts[i]);
        assert_true(is_folder(path));
        count += for_each_file(path, refuse_as_each_file);
    }
    print_message("%zu files\n", count);
    assert_true(count > 100);
}

/* The texts of a JSON array of flat objects of texts, in order: key, value, key, value ... */
static size_t json_texts(char **texts, size_t most, char *json)
{
    size_t count = 0;
    for (char *c = json; *c != '\0'; c++) {
        if (*c != '"')
            continue;
        assert_true(count < most);
        char *out = c + 1;
        texts[count++] = out;
        for (c++; *c != '"'; c++) {
            if (*c == '\\') {
                c++;
                assert_true(*c != 'u');
                *out++ = *c == 'n' ? '\n' : *c == 'r' ? '\r' : *c == 't' ? '\t' : *c;
            } else {
                *out++ = *c;
            }
        }
        *out = '\0';
    }
    return count;
}

/* Rows compared with the author's: header first, then the texts key by key. */
typedef struct meant {
    char *texts[4096];
    size_t count, next;
    char header[32][64];
    size_t width;
    const char *file;
} meant;

static te_status compare_row(void *context, const te_slice *cells, size_t count, uint32_t line)
{
    meant *m = context;
    for (size_t i = 0; i < count && m->width == 0; i++)
        snprintf(m->header[i], sizeof m->header[i], "%.*s", (int)cells[i].length, cells[i].bytes);
    if (m->width == 0) {
        m->width = count;
        return TE_OK;
    }
    assert_int_equal(count, m->width);
    for (size_t i = 0; i < count; i++) {
        assert_true(m->next + 2 <= m->count);
        assert_string_equal(m->header[i], m->texts[m->next]);
        te_slice text = te_text_trim(
            (te_slice){m->texts[m->next + 1], strlen(m->texts[m->next + 1])});
        if (text.length != cells[i].length || memcmp(text.bytes, cells[i].bytes, text.length) != 0)
            fail_msg("%s:%u: %.*s", m->file, (unsigned)line, (int)cells[i].length, cells[i].bytes);
        m->next += 2;
    }
    return TE_OK;
}

/* One file of the collection has seconds of arc, a quote, in an unquoted cell: refused. */
static void expect_fault(void *context, enum te_csv_fault fault, uint32_t line)
{
    meant *m = context;
    if (strcmp(m->file, "location_coordinates") != 0 || fault != TE_CSV_STRAY_QUOTE || line != 2)
        fail_msg("%s:%u: fault %d", m->file, (unsigned)line, (int)fault);
    m->next = m->count;
}

static void foreign_rows_are_read_as_meant(void **state)
{
    (void)state;
    static const char *const names[] = {"comma_in_quotes", "empty",         "empty_crlf",
                                        "escaped_quotes",  "json",          "location_coordinates",
                                        "newlines",        "newlines_crlf", "quotes_and_newlines",
                                        "simple",          "simple_crlf",   "utf8"};
    if (!is_folder(collection())) {
        print_message("no folder %s\n", collection());
        skip();
    }
    for (size_t i = 0; i < sizeof names / sizeof *names; i++) {
        char path[1024];
        size_t length = 0, json_length = 0;
        snprintf(path, sizeof path, "%s/csv/csv-spectrum/json/%s.json", collection(), names[i]);
        char *json = slurp(path, &json_length);
        snprintf(path, sizeof path, "%s/csv/csv-spectrum/csvs/%s.csv", collection(), names[i]);
        char *bytes = slurp(path, &length);
        if (json == NULL || bytes == NULL)
            fail_msg("cannot read %s or its meaning", path);
        json = realloc(json, json_length + 1);
        assert_non_null(json);
        json[json_length] = '\0';
        static meant m;
        m = (meant){.file = names[i]};
        m.count = json_texts(m.texts, sizeof m.texts / sizeof *m.texts, json);
        struct te_csv_sink sink = {.row = compare_row, .fault = expect_fault, .context = &m};
        assert_int_equal(te_csv_read(&sink, (te_slice){bytes, length}, ',', 1), TE_OK);
        assert_true(m.count > 0);
        assert_int_equal(m.next, m.count);
        free(json);
        free(bytes);
    }
}

int main(void)
{
    enum { ALIKE = sizeof alike / sizeof *alike, REFUSED = sizeof refused / sizeof *refused };
    static struct CMUnitTest tests[ALIKE + REFUSED + 3] = {
        cmocka_unit_test(no_file_is_forgotten), cmocka_unit_test(foreign_files_are_refused),
        cmocka_unit_test(foreign_rows_are_read_as_meant)};
    for (size_t i = 0; i < ALIKE; i++)
        tests[3 + i] = (struct CMUnitTest){.name = alike[i].name,
                                           .test_func = same_readings,
                                           .initial_state = (void *)(uintptr_t)&alike[i]};
    for (size_t i = 0; i < REFUSED; i++)
        tests[3 + ALIKE + i] = (struct CMUnitTest){.name = refused[i].name,
                                                   .test_func = exact_problems,
                                                   .initial_state = (void *)(uintptr_t)&refused[i]};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
