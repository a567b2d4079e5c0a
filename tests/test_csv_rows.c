/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Rows of a CSV text with their lines, and what is refused. */
#include "te_test.h"

#include <stdlib.h>
#include <string.h>

#include "csv_ways.h"

/* What came out, as text: `2:[a][b]` a row of line 2, `!5 2` fault 2 at line 5. */
typedef struct seen {
    char text[8192];
    size_t used;
    size_t rows, faults, cells;
    uint32_t stop_at; /* row number that ends the reading, 0 for none */
    bool narrow;      /* the file has three columns */
} seen;

static void put(seen *s, const char *text, size_t length)
{
    assert_true(s->used + length < sizeof s->text);
    memcpy(s->text + s->used, text, length);
    s->used += length;
    s->text[s->used] = '\0';
}

static te_status see_row(void *context, const te_slice *cells, size_t count, uint32_t line)
{
    seen *s = context;
    char number[16];
    put(s, number, (size_t)snprintf(number, sizeof number, "%u:", (unsigned)line));
    for (size_t i = 0; i < count; i++) {
        put(s, "[", 1);
        put(s, cells[i].bytes, cells[i].length);
        put(s, "]", 1);
    }
    put(s, " ", 1);
    s->rows++;
    return s->rows == s->stop_at ? TE_ERR_DOMAIN : TE_OK;
}

static void see_fault(void *context, enum te_csv_fault fault, uint32_t line)
{
    char text[32];
    seen *s = context;
    put(s, text, (size_t)snprintf(text, sizeof text, "!%u %c ", (unsigned)line, "sowlcn"[fault]));
    s->faults++;
}

/* Without the text: for large inputs. */
static te_status count_row(void *context, const te_slice *cells, size_t count, uint32_t line)
{
    seen *s = context;
    (void)cells;
    (void)line;
    s->rows++;
    s->cells += count;
    return TE_OK;
}

static void count_fault(void *context, enum te_csv_fault fault, uint32_t line)
{
    seen *s = context;
    if (s->faults++ < 40) {
        char text[32];
        put(s, text,
            (size_t)snprintf(text, sizeof text, "!%u %c ", (unsigned)line, "sowlcn"[fault]));
    }
}

/* From a copy of just the length given, so that a read past the end shows. */
static te_status read_bytes(seen *s, const char *bytes, size_t length, char delimiter, bool large)
{
    struct te_csv_sink sink = {.row = large ? count_row : see_row,
                               .fault = large ? count_fault : see_fault,
                               .context = s,
                               .narrow = s->narrow ? &s->narrow : NULL};
    char *copy = malloc(length + (length == 0));
    assert_non_null(copy);
    memcpy(copy, bytes, length);
    te_status status = te_csv_read(&sink, (te_slice){copy, length}, delimiter, 1);
    csv_every_way((te_slice){copy, length}, delimiter);
    free(copy);
    return status;
}

typedef struct csv_case {
    const char *in;
    char delimiter;
    const char *out;
} csv_case;

static void expect_cases_of(const csv_case *cases, size_t count, bool narrow)
{
    for (size_t i = 0; i < count; i++) {
        seen s = {.narrow = narrow};
        assert_int_equal(
            read_bytes(&s, cases[i].in, strlen(cases[i].in), cases[i].delimiter, false), TE_OK);
        if (strcmp(s.text, cases[i].out) != 0)
            fail_msg("case %zu: %s\n  is       %s\n  expected %s", i, cases[i].in, s.text,
                     cases[i].out);
    }
}

static void expect_cases(const csv_case *cases, size_t count)
{
    expect_cases_of(cases, count, false);
}

static void rows_keep_their_lines(void **state)
{
    (void)state;
    static const csv_case cases[] = {
        {"", ',', ""},
        {"a,b", ',', "1:[a][b] "},
        {"a,b\nc,d\n", ',', "1:[a][b] 2:[c][d] "},
        {"a,b\r\nc,d\r\n", ',', "1:[a][b] 2:[c][d] "},
        {"a,b\rc,d\r", ',', "1:[a][b] 2:[c][d] "},
        {"a\r\nb\nc\rd", ',', "1:[a] 2:[b] 3:[c] 4:[d] "},
        {"a\n\rb", ',', "1:[a] 3:[b] "},
        {"\n\n  \t\nb\n\n", ',', "4:[b] "},
        {"a,b,\n", ',', "1:[a][b][] "},
        {",\n", ',', "1:[][] "},
        {"  a b  ,  \" q \"  ,\tx\t\n", ',', "1:[a b][q][x] "},
        {"\xc2\xa0"
         "5.4\xc2\xa0,x\n",
         ',', "1:[5.4][x] "},
        {"54,01;54,02\n", ';', "1:[54,01][54,02] "},
        {"\ta\t\tb\t\n", '\t', "1:[][a][][b][] "},
        {"\"a\nb\",c\nd\n", ',', "1:[a\nb][c] 3:[d] "},
        {"\"a\r\nb\",c\r\nd\r\n", ',', "1:[a\r\nb][c] 3:[d] "},
        {"\"a\rb\",c\rd\r", ',', "1:[a\rb][c] 3:[d] "},
        {"\"a\"\"b\",\"\"\n", ',', "1:[a\"b][] "},
        {"'a,b',c\n", ',', "1:['a][b'][c] "},
        {"\"x\n\n# no comment\n\",y\nz\n", ',', "1:[x\n\n# no comment][y] 5:[z] "},
    };
    expect_cases(cases, sizeof cases / sizeof *cases);
}

static void comments_are_passed_over(void **state)
{
    (void)state;
    static const csv_case cases[] = {
        {"# invented, \"all\nof it\n", ',', "2:[of it] "},
        {"#\nx\n", ',', "2:[x] "},
        {"#,y\nx\n", ',', "2:[x] "},
        {"  # y\nx\n", ',', "2:[x] "},
        {"#\xc2\xa0y\nx\n", ',', "2:[x] "},
        {"#1,y\nx\n", ',', "1:[#1][y] 2:[x] "},
        {"#y\n#;z\n", ';', "1:[#y] "},
        {"#;z\n", ',', "1:[#;z] "},
        {"x,# y\n", ',', "1:[x][# y] "},
        {"\t# y\tz\n#\tz\n", '\t', "1:[][# y][z] "}, /* the first cell is empty, not `#` */
        {"# a\tb\n", '\t', ""},
    };
    expect_cases(cases, sizeof cases / sizeof *cases);
    assert_true(te_csv_is_comment((te_slice){"# y", 3}, '\0'));
    assert_true(te_csv_is_comment((te_slice){"#", 1}, '\0'));
    assert_false(te_csv_is_comment((te_slice){"#y", 2}, '\0'));
    assert_false(te_csv_is_comment((te_slice){"", 0}, '\0'));
}

/* s: stray quote, o: open quote, w: swallowed rows; the reading goes on behind the faulty line. */
static void faults_are_told_and_the_rest_is_read(void **state)
{
    (void)state;
    static const csv_case cases[] = {
        {"3/4\" bolt,ok\nx\n", ',', "!1 s 2:[x] "},
        {"\"ab\"c,d\nx\n", ',', "!1 s 2:[x] "},
        {"\"a\\\"b\",c\nx\n", ',', "!1 s 2:[x] "},
        {"a,\"b\nc,d\ne,f\n", ',', "!1 o 2:[c][d] 3:[e][f] "},
        {"\"", ',', "!1 o "},
        {"\"\"\"", ',', "!1 o "},
        {"a\n\"b", ',', "1:[a] !2 o "},
        {"1,\"x\n2,\"ok\"\n3,z\n", ',', "!1 s 2:[2][ok] 3:[3][z] "},
        {"1,\"x\n2,3,4,5\n6,\"\n7,z\n", ',', "!1 w 2:[2][3][4][5] !3 o 4:[7][z] "},
        {"\"x;y;z\nw\";1\n", ';', "1:[x;y;z\nw][1] "}, /* two delimiters: text */
        {"\"x;y;z;\nw\";1\n", ';', "!1 w !2 s "},
        {"\"x,y,z,,,\nw\";1\n", ';', "1:[x,y,z,,,\nw][1] "}, /* not this file's delimiter */
        {"\"x;y\nz;w\";1\n", ';', "1:[x;y\nz;w][1] "},       /* two lines with one each */
        {"\"a;b;c;d\";1\n", ';', "1:[a;b;c;d][1] "},         /* no line break */
    };
    expect_cases(cases, sizeof cases / sizeof *cases);
}

/* In a file of three columns two delimiters look like a row, unless spaces follow as in prose. */
static void narrow_files_are_swallowed_sooner(void **state)
{
    (void)state;
    static const csv_case cases[] = {
        {"PS-1,\"A,\nPS-2,A,\"\nPS-3,A,\n", ',', "!1 w !2 o 3:[PS-3][A][] "},
        {"PS-1,A,\"hall 3, left, by\nthe door, upper\"\n", ',',
         "1:[PS-1][A][hall 3, left, by\nthe door, upper] "},
        {"PS-1;A;\"a;b\nc;d\"\n", ';', "1:[PS-1][A][a;b\nc;d] "},
        {"PS-1;A;\"a;b;c\"\n", ';', "1:[PS-1][A][a;b;c] "},
        {"PS-1;A;\"a;b;c\nd\"\n", ';', "!1 w !2 s "},
    };
    expect_cases_of(cases, sizeof cases / sizeof *cases, true);
}

static void lines_with_nul_are_refused(void **state)
{
    (void)state;
    static const char text[] = "a,b\nc\0,d\ne,\"f\ng\0h\",i\nj\n";
    seen s = {.used = 0};
    assert_int_equal(read_bytes(&s, text, sizeof text - 1, ',', false), TE_OK);
    assert_string_equal(s.text, "1:[a][b] !2 n !4 n 5:[j] ");
}

static void the_first_line_may_have_another_number(void **state)
{
    (void)state;
    seen s = {.used = 0};
    struct te_csv_sink sink = {.row = see_row, .fault = see_fault, .context = &s};
    assert_int_equal(te_csv_read(&sink, (te_slice){"a\nb\"\nc", 6}, ',', 17), TE_OK);
    assert_string_equal(s.text, "17:[a] !18 s 19:[c] ");
}

static void the_sink_can_end_the_reading(void **state)
{
    (void)state;
    seen s = {.stop_at = 2};
    assert_int_equal(read_bytes(&s, "a\nb\nc\n", 6, ',', false), TE_ERR_DOMAIN);
    assert_string_equal(s.text, "1:[a] 2:[b] ");
}

/* `count` bytes of `fill` between two texts. */
static char *filled(const char *before, size_t count, char fill, const char *after, size_t *length)
{
    *length = strlen(before) + count + strlen(after);
    char *text = malloc(*length + 1);
    assert_non_null(text);
    /* NOLINTNEXTLINE(bugprone-not-null-terminated-result): the last part ends it */
    memcpy(text, before, strlen(before));
    memset(text + strlen(before), fill, count);
    memcpy(text + strlen(before) + count, after, strlen(after) + 1);
    return text;
}

static void cells_have_a_longest(void **state)
{
    (void)state;
    static const struct {
        const char *before, *after;
        size_t count;
        const char *faults;
        size_t rows;
    } cases[] = {
        {"a,", ",b\nx\n", 65536, "", 2},       {"a,", ",b\nx\n", 65537, "!1 l ", 1},
        {"a,\"", "\",b\nx\n", 65536, "", 2},   {"a,\"", "\",b\nx\n", 65537, "!1 l ", 1},
        {"a,", ",b\nx\n", 70001, "!1 l ", 1},  {"a\nb,", "", 70001, "!2 l ", 1},
        {"a\n", "\nx\n", 3000000, "!2 l ", 2}, {"\"", "\n\nx\n", 70001, "!1 l ", 1},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        seen s = {.used = 0};
        size_t length = 0;
        char *text = filled(cases[i].before, cases[i].count, 'q', cases[i].after, &length);
        assert_int_equal(read_bytes(&s, text, length, ',', true), TE_OK);
        assert_string_equal(s.text, cases[i].faults);
        assert_int_equal(s.rows, cases[i].rows);
        free(text);
    }
}

static void rows_have_a_widest(void **state)
{
    (void)state;
    for (size_t delimiters = 998; delimiters <= 1001; delimiters++) {
        seen s = {.used = 0};
        size_t length = 0;
        char *text = filled("a\n", delimiters, ';', "\nb\n", &length);
        assert_int_equal(read_bytes(&s, text, length, ';', true), TE_OK);
        assert_string_equal(s.text, delimiters < 1000 ? "" : "!2 c ");
        assert_int_equal(s.cells, delimiters < 1000 ? delimiters + 3 : 2);
        free(text);
    }
}

static void fifty_faults_end_the_reading(void **state)
{
    (void)state;
    char text[1024] = "";
    for (size_t i = 0; i < 60; i++)
        strcat(text, "a\"b\nok\n");
    seen s = {.used = 0};
    assert_int_equal(read_bytes(&s, text, strlen(text), ',', true), TE_OK);
    assert_int_equal(s.faults, 50);
    assert_int_equal(s.rows, 49);
}

/* Texts that a reader may be made to read over and over: a quote that every line opens, 500,000 delimiters, rows
 * of many lines. They are read to the end, or to the fiftieth fault. */
static void hostile_texts_are_read_to_their_end(void **state)
{
    (void)state;
    static const struct {
        const char *line;
        size_t rows, faults, cells;
    } cases[] = {
        {"\"a\n", 0, 50, 0},   {"\"a\",\"\n", 0, 50, 0},
        {"x,\"y\n", 0, 50, 0}, {"\"\n", 125000, 0, 125000},
        {"\r", 0, 0, 0},       {"\"\r\n\"\r\n", 83333, 1, 83333},
        {",", 0, 1, 0},        {"# \"\n", 0, 0, 0},
        {"\"\"", 0, 1, 0},     {"a,\"\"\n", 100000, 0, 200000},
    };
    enum { SIZE = 500000 };
    char *text = malloc(SIZE);
    assert_non_null(text);
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        seen s = {.used = 0};
        size_t length = strlen(cases[i].line);
        for (size_t at = 0; at < SIZE; at++)
            text[at] = cases[i].line[at % length];
        assert_int_equal(read_bytes(&s, text, SIZE, ',', true), TE_OK);
        assert_int_equal(s.rows, cases[i].rows);
        assert_int_equal(s.faults, cases[i].faults);
        assert_int_equal(s.cells, cases[i].cells);
    }
    free(text);
}

static void the_body_of_a_line_is_without_its_end(void **state)
{
    (void)state;
    static const char *const lines[] = {"a\r\n", "a\n", "a\r", "a", "\r\n", "\n", ""};
    for (size_t i = 0; i < sizeof lines / sizeof *lines; i++) {
        te_slice body = te_csv_line_body((te_slice){lines[i], strlen(lines[i])});
        assert_int_equal(body.length, lines[i][0] == 'a');
    }
}

/* A line is taken piece by piece where it is longer than a window may grow: what it is does not change. */
static void long_lines_are_read_in_pieces(void **state)
{
    (void)state;
    static const struct {
        const char *before;
        char fill;
        const char *after;
    } cases[] = {
        {"# ", 'q', "\na,b\n"},     {"a,b\n", ' ', "\nc,d\n"},     {"a,b\n", ' ', "# e\nc,d\n"},
        {"a,b\n", ' ', "c,d\ne\n"}, {"a\n", ',', "\nb\n"},         {"a\n\"", 'q', "\"\nb\n"},
        {"a\n\"", '\n', "\"\nb\n"}, {"a\n", '\r', "\nb\n"},        {"a\n", 'q', "\r\nb\n"},
        {"a\n\"b", '"', "\nc\n"},   {"a\nb\"", 'q', "\n# c\nd\n"}, {"a\n", '\0', "\nb\n"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        size_t length = 0;
        char *text = filled(cases[i].before, (2 << 20) + i, cases[i].fill, cases[i].after, &length);
        csv_every_way((te_slice){text, length}, i % 4 == 3 ? '\t' : ',');
        free(text);
    }
}

/* What is held does not grow with the text, even where a quote is never closed. */
static void a_stream_holds_a_window(void **state)
{
    (void)state;
    static const char *const lines[] = {"\"a,b\n", "a,b,\"c\n", "a,b\n", "q", "\"",
                                        "\"\"",    "# ",        ",",     "\r"};
    enum { SIZE = 8000000, HELD_MOST = 3 << 20 };
    char *text = malloc(SIZE);
    assert_non_null(text);
    for (size_t i = 0; i < sizeof lines / sizeof *lines; i++) {
        ways_seen s = {.rows = 0};
        size_t length = strlen(lines[i]);
        for (size_t at = 0; at < SIZE; at++)
            text[at] = lines[i][at % length];
        te_slice rest = {text, SIZE};
        struct te_stream stream;
        const struct te_csv_sink sink = {.row = ways_row, .fault = ways_fault, .context = &s};
        te_stream_start(&stream, ways_read, &rest, TE_STREAM_WINDOW);
        assert_int_equal(te_csv_read_stream(&sink, &stream, 0, ',', 1), TE_OK);
        assert_true(stream.capacity <= HELD_MOST);
        te_stream_free(&stream);
    }
    free(text);
}

/* ---- round trip ---- */

typedef struct writer {
    char text[4096], out[4096];
    size_t used, out_used;
    uint32_t line;
} writer;

static void write_bytes(writer *w, const char *bytes, size_t length)
{
    assert_true(w->used + length < sizeof w->text);
    memcpy(w->text + w->used, bytes, length);
    w->used += length;
    w->text[w->used] = '\0';
}

static void write_end(writer *w, te_random *random)
{
    static const char *const ends[] = {"\n", "\r\n", "\r\n"};
    const char *end = ends[te_random_below(random, 3)];
    write_bytes(w, end, strlen(end));
    w->line++;
}

/* A cell of up to six characters, quoted as RFC 4180 asks, or at times without need. */
static void write_cell(writer *w, te_random *random, char delimiter, bool first)
{
    static const char *const pieces[] = {"a", "7", "\"", ",", ";", "\n", "\xc3\x98", "z b", "."};
    char plain[64] = "", quoted[128] = "\"";
    size_t count = te_random_below(random, 6), breaks = 0, marks = 0;
    bool must = false;
    for (size_t i = 0; i < count; i++) {
        const char *piece = pieces[te_random_below(random, 9)];
        bool edge = i == 0 || i + 1 == count;
        if (piece[0] == '\n' && edge)
            piece = "e"; /* trimmed away otherwise */
        marks += piece[0] == delimiter;
        if (piece[0] == delimiter && marks > 2)
            piece = "m"; /* three would look like rows */
        breaks += piece[0] == '\n';
        must = must || piece[0] == '"' || piece[0] == delimiter || piece[0] == '\n';
        strcat(plain, piece);
        strcat(quoted, piece[0] == '"' ? "\"\"" : piece);
    }
    if (first && plain[0] == '\0')
        strcpy(plain, "k"), strcpy(quoted, "\"k"); /* no blank rows here */
    strcat(quoted, "\"");
    const char *written = must || te_random_below(random, 4) == 0 ? quoted : plain;
    write_bytes(w, written, strlen(written));
    w->line += (uint32_t)breaks;
    w->out_used += (size_t)snprintf(w->out + w->out_used, sizeof w->out - w->out_used, "[%s]",
                                    plain);
}

static void what_is_written_is_read_again(void **state)
{
    (void)state;
    te_random random = te_random_start(0x4180);
    static const char delimiters[] = {',', ';', '\t'};
    for (size_t round = 0; round < te_test_rounds(5000); round++) {
        char delimiter = delimiters[te_random_below(&random, 3)];
        writer w = {.line = 1};
        for (size_t row = te_random_below(&random, 8) + 1; row > 0; row--) {
            while (te_random_below(&random, 5) == 0)
                write_end(&w, &random);
            w.out_used += (size_t)snprintf(w.out + w.out_used, sizeof w.out - w.out_used,
                                           "%u:", (unsigned)w.line);
            for (size_t cell = te_random_below(&random, 5) + 1, n = 0; n < cell; n++) {
                if (n > 0)
                    write_bytes(&w, &delimiter, 1);
                write_cell(&w, &random, delimiter, n == 0);
            }
            w.out_used += (size_t)snprintf(w.out + w.out_used, sizeof w.out - w.out_used, " ");
            if (row > 1 || te_random_below(&random, 2) == 1)
                write_end(&w, &random);
        }
        seen s = {.used = 0};
        assert_int_equal(read_bytes(&s, w.text, w.used, delimiter, false), TE_OK);
        if (strcmp(s.text, w.out) != 0)
            fail_msg("%s\n  is       %s\n  expected %s", w.text, s.text, w.out);
    }
}

/* Any bytes: no crash, rows in order of lines, and no line later than the last. */
static void any_bytes_are_read_or_refused(void **state)
{
    (void)state;
    te_random random = te_random_start(0xf422);
    static const char alphabet[] = "\"\"\",,;\n\r\r\n# a7\xc3\x98\xc2\xa0";
    for (size_t round = 0; round < te_test_rounds(20000); round++) {
        char text[48];
        size_t length = te_random_below(&random, sizeof text);
        for (size_t i = 0; i < length; i++)
            text[i] = alphabet[te_random_below(&random, sizeof alphabet)];
        seen s = {.used = 0};
        assert_int_equal(read_bytes(&s, text, length, ',', false), TE_OK);
        unsigned long last = 0;
        for (const char *at = s.text; (at = strchr(at, '!')) != NULL; at++) {
            unsigned long line = strtoul(at + 1, NULL, 10);
            assert_true(line > last && line <= length + 1);
            last = line;
        }
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(rows_keep_their_lines),
        cmocka_unit_test(comments_are_passed_over),
        cmocka_unit_test(faults_are_told_and_the_rest_is_read),
        cmocka_unit_test(narrow_files_are_swallowed_sooner),
        cmocka_unit_test(lines_with_nul_are_refused),
        cmocka_unit_test(the_first_line_may_have_another_number),
        cmocka_unit_test(the_sink_can_end_the_reading),
        cmocka_unit_test(cells_have_a_longest),
        cmocka_unit_test(rows_have_a_widest),
        cmocka_unit_test(fifty_faults_end_the_reading),
        cmocka_unit_test(long_lines_are_read_in_pieces),
        cmocka_unit_test(a_stream_holds_a_window),
        cmocka_unit_test(the_body_of_a_line_is_without_its_end),
        cmocka_unit_test(hostile_texts_are_read_to_their_end),
        cmocka_unit_test(what_is_written_is_read_again),
        cmocka_unit_test(any_bytes_are_read_or_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
