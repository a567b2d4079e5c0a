/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Readings in bulk: however many threads read them, a shop is what it is when libcsv takes it row by row. */
#include "shop_kit.h"
#include "te_shop_text.h"

#include "internal.h"

enum { INSPECTIONS = 6 };

static const char shop_file[] = "key,value\nname,Valley Fire Brigade\n";
static const char header[] =
    "inspection,feature,part,item,position,direction,reading,reading_2,no_go,zero,unit,"
    "instrument,note\n";

/* ---- a shop as text ---- */

static void tell_readings(te_grown *out, const te_shop *shop)
{
    const te_tables *t = te_shop_tables(shop);
    for (size_t i = 0; i < t->reading_count; i++) {
        const te_reading *r = &t->readings[i];
        const te_setup *s = r->setup;
        te_grown_add(
            out, "%s:%u %s %s %s %s %s %s %a %a %a %a %a %u %u %u %u %u %s\n", t->files[r->file],
            (unsigned)r->line, te_shop_text(shop, t->inspections[r->inspection].id),
            te_shop_quantity_name(shop, s->feature), te_shop_text(shop, s->item),
            te_shop_text(shop, r->part), te_shop_text(shop, s->note),
            te_shop_text(shop, s->instrument), r->value, s->no_go, s->zero, s->position,
            s->direction, (unsigned)s->unit, (unsigned)t->by_inspection[i], (unsigned)r->decimals,
            (unsigned)r->repeat, (unsigned)r->dropped, te_shop_text(shop, s->unit_text));
    }
    te_grown_add(out, "%c%c\n", t->dialect.delimiter, t->dialect.decimal_mark);
}

static void tell_problems(te_grown *out, const te_problems *problems)
{
    for (size_t i = 0; i < problems->count; i++) {
        char line[2 * TE_PROBLEM_TEXT + 400];
        (void)kit_problem(line, sizeof line, &problems->items[i]);
        te_grown_add(out, "%d %s", (int)problems->items[i].scope, line);
    }
    te_grown_add(out, "%zu %zu\n", problems->errors, problems->warnings);
}

static te_grown shop_as_text(const kit *k, unsigned threads, bool by_libcsv)
{
    te_grown out = {0};
    te_problems problems;
    te_shop *shop = NULL;
    const struct te_source source = {
        .inputs = k->inputs, .input_count = k->count, .threads = threads, .by_libcsv = by_libcsv};
    te_problems_init(&problems);
    te_status status = te_shop_make(&shop, &problems, &source, TE_FILE_EVERY);
    assert_non_null(shop);
    te_grown_add(&out, "%d\n", (int)status);
    tell_problems(&out, &problems);
    tell_readings(&out, shop);
    te_shop_free(shop);
    te_problems_free(&problems);
    return out;
}

static void expect_one_shop(const kit *k, const char *what)
{
    static const unsigned threads[] = {1, 2, 3, 7};
    te_grown expected = shop_as_text(k, 1, true);
    for (size_t i = 0; i < sizeof threads / sizeof *threads; i++) {
        te_grown is = shop_as_text(k, threads[i], false);
        size_t at = 0;
        while (is.text[at] != '\0' && is.text[at] == expected.text[at])
            at++;
        if (is.text[at] != expected.text[at])
            fail_msg("%s, %u threads: is\n%.300s\nfor\n%.300s", what, threads[i],
                     is.text + (at > 100 ? at - 100 : 0),
                     expected.text + (at > 100 ? at - 100 : 0));
        te_grown_free(&is);
    }
    te_grown_free(&expected);
}

/* ---- invented fleets ---- */

static kit start_kit(char *inspections, size_t size)
{
    kit k = kit_with_readings("", 0);
    size_t used = (size_t)snprintf(inspections, size, "inspection,engine,date,hours\n");
    for (int i = 0; i < INSPECTIONS; i++)
        used += (size_t)snprintf(inspections + used, size - used, "J-%d,PS-61,2025-0%d-11,%d\n", i,
                                 i + 1, 20 * i + 10);
    kit_text(&k, "inspections.csv", inspections);
    kit_text(&k, "shop.csv", shop_file);
    kit_text(&k, "parts.csv", "part,kind,engine,fitted_hours\nC-7,cylinder,PS-61,0\n");
    kit_text(&k, "instruments.csv",
             "instrument,unit,resolution,expanded_uncertainty\nBG-54,mm,0.001,0.002\n");
    return k;
}

static void put_good_row(te_grown *out, te_random *random, size_t inspection)
{
    static const char *const places[] = {"10.0,thrust", "10.0,pin", "30.0,thrust", "30.0,pin"};
    te_grown_add(out, "J-%zu,bore,,,%s,0.0%u,,,54.000,,BG-54,\n", inspection,
                 places[te_random_below(random, 4)], 10 + (unsigned)te_random_below(random, 80));
}

/* A row that is not clear, in one of many ways. */
static void put_odd_row(te_grown *out, te_random *random, size_t inspection)
{
    static const char *const rows[] = {
        "J-%zu,bore,,,10.0,thrust,0.01O,,,54.000,,BG-54,\n",
        "J-%zu,bore,,,10.0,thrust,,,,54.000,,BG-54,\n",
        "J-%zu,bore,,,10.0,thrust,\"0.021\",,,54.000,,BG-54,\n",
        "J-%zu,bore,C-7,,10.0,thrust,0.021,0.022,,54.000,,BG-54,\n",
        "J-%zu,bore,C-9,,10.0,thrust,0.021,,,54.000,,BG-54,\n",
        "J-%zu,bore,,,10.0,thrust,0.021,,,54.000,,BG-54,\"two\nlines, of a note\"\n",
        "J-%zu,bore,,,10.0,thrust,0.021,,,54.000,,BG-54,\"J-1,bore,,,10.0,pin,0.02,,,54.0,,,\n\"\n",
        "J-%zu,bore,,,10.0,thrust,0.021,,,54.000,,BG-54,\"a\n\n\nb\"\r\n",
        "J-%zu,bore,,,10.0,thrust,0.021,,,54.000,,BG-54,warm\n",
        "J-%zu,bore,,,10.0,thrust,0.021,,,54.000,,BG-54,\r",
        "J-%zu,bore,,,10.0,thrust,0.021,,,54.000,,BG-54,\r\n",
        " J-%zu , bore ,,, 10.0 , thrust , 0.021 ,,, 54.000 ,, BG-54 ,\n",
        "J-%zu,bore,,,10.0,thrust,0.021,,,54.000,,BG-54,,\n",
        "J-%zu,bore,,,10.0,thrust,0.021,,,54.000,,BG-54,,5\n",
        "J-%zu,bore,,,10.0,thrust,0.021,,,54.000,,BG-54\n",
        "X-%zu,bore,,,10.0,thrust,0.021,,,54.000,,BG-54,\n",
        "J-%zu,bore,,,10.0,thrust,-0.021,,,54.000,,BG-54,\n",
        "J-%zu,bore,,,10.0,thrust,0,,,54.000,,BG-54,\n",
        "J-%zu,bore,,,10.0,thrust,2.1e-2,,,54.000,,BG-54,\n",
        "J-%zu,bore,,,10.0,thrust,0021,,,54.000,,BG-54,\n",
        "J-%zu,bore,,,10.0,thrust,9.021,,,54.000,,BG-54,\n",
        "J-%zu,bore,,,10.0005,thrust,0.021,,,54.000,,BG-54,\n",
        "J-%zu,bore,,,10.0,179.9999,0.021,,,54.000,,BG-54,\n",
        "J-%zu,skirt,,,,,53.95,,,,,,\n",
        "J-%zu,skirt,,,,,-53.95,,,,,,\n",
        "J-%zu,end_gap,,1,,,0.30,,0.35,,,LEAF,\n",
        "J-%zu,end_gap,,1,,,0.30,,0.25,,,LEAF,\n",
        "J-%zu,end_gap,,1,,,0.30,,,,,LEAF,\n",
        "J-%zu,deck tilt,,,,,1.5,,,,deg,,\n",
        "J-%zu,deck tilt,,,,,1.5,,,,rad,,\n",
        "J-%zu,bore,,,10.0,thrust,\"0.021,,,54.000,,BG-54,\n",
        "# J-%zu was measured twice\n",
        "#,bore,,,10.0,thrust,0.0%zu,,,54.000,,BG-54,\n",
        "\n",
        ",,,,,,,,,,,,\n",
        header,
        "J-%zu,bore,,,10.0,thrust,0.0\xc3\x98,,,54.000,,BG-54,\n",
        "J-%zu,bore,,,10.0,thrust,0.021,,,54.000,,BG-54,n\xc3\xb8te\n",
    };
    /* NOLINTNEXTLINE(clang-diagnostic-format-nonliteral): each takes one number, or none */
    te_grown_add(out, rows[te_random_below(random, sizeof rows / sizeof *rows)], inspection);
}

/* Mostly good rows; one in `oddity` is not. Long enough for several threads to share it. */
static te_grown make_readings(te_random *random, size_t rows, size_t oddity)
{
    te_grown out = {0};
    te_grown_add(&out, "%s", header);
    for (size_t i = 0; i < rows; i++) {
        size_t inspection = i * INSPECTIONS / rows;
        if (oddity > 0 && te_random_below(random, oddity) == 0)
            put_odd_row(&out, random, inspection);
        else
            put_good_row(&out, random, inspection);
    }
    return out;
}

static void bulk_reads_what_libcsv_reads(void **state)
{
    (void)state;
    te_random random = te_random_start(0xb01c);
    static const size_t oddities[] = {0, 20000, 1000, 100, 10, 2};
    for (size_t round = 0; round < te_test_rounds(24); round++) {
        char inspections[1024], what[64];
        kit k = start_kit(inspections, sizeof inspections);
        size_t oddity = oddities[round % 6];
        size_t rows = te_random_below(&random, 3) == 0 ? te_random_below(&random, 300) : 12000;
        te_grown text = make_readings(&random, rows, oddity);
        kit_text(&k, "readings.csv", text.text);
        (void)snprintf(what, sizeof what, "round %zu, one in %zu odd", round, oddity);
        expect_one_shop(&k, what);
        te_grown_free(&text);
    }
}

/* A quoted cell of several lines, of which each looks like a row of the inspection, stands at every place round the
 * middle, where the file is cut in two. */
static void a_cut_is_outside_of_quotes(void **state)
{
    (void)state;
    enum { ROWS = 5000, AROUND = 40 };
    te_random random = te_random_start(0xc07);
    for (size_t at = ROWS / 2 - AROUND; at < ROWS / 2 + AROUND; at += 3) {
        char inspections[1024];
        kit k = start_kit(inspections, sizeof inspections);
        te_grown out = {0};
        te_grown_add(&out, "%s", header);
        for (size_t i = 0; i < ROWS; i++) {
            put_good_row(&out, &random, 2);
            if (i == at) {
                te_grown_add(&out, "J-2,bore,,,10.0,pin,0.022,,,54.000,,BG-54,\"");
                for (int j = 0; j < 30; j++)
                    te_grown_add(&out, "J-2 bore 10.0 pin 0.0%d\n", 40 + j);
                te_grown_add(&out, "J-2;bore;;;10.0;pin;0.022;;;54.000;;BG-54;\"\n");
            }
        }
        kit_text(&k, "readings.csv", out.text);
        expect_one_shop(&k, "quotes in the middle");
        te_grown_free(&out);
    }
}

/* Lines of a quoted cell that would be rows by themselves are none. */
static void rows_within_quotes_are_none(void **state)
{
    (void)state;
    te_random random = te_random_start(0x0e7);
    for (size_t round = 0; round < te_test_rounds(6); round++) {
        char inspections[1024];
        kit k = start_kit(inspections, sizeof inspections);
        te_grown out = {0};
        te_grown_add(&out, "inspection,feature,reading,position,direction,note\n");
        for (size_t i = 0; i < 16000; i++) {
            te_grown_add(&out, "J-%zu,bore,54.0%u\n", i * INSPECTIONS / 16000,
                         10 + (unsigned)te_random_below(&random, 80));
            for (size_t j = te_random_below(&random, 400); j > 398; j--)
                te_grown_add(&out,
                             "J-0,skirt,53.9,10,pin,\"as\nJ-1,bore,54.02\nJ-2,bore,54.03\nit\"\n");
        }
        kit_text(&k, "readings.csv", out.text);
        expect_one_shop(&k, "rows within quotes");
        te_grown_free(&out);
    }
}

/* The decimal mark of a file is the first that it shows. */
static void marks_are_told_as_row_by_row(void **state)
{
    (void)state;
    static const char *const odd[] = {"0,021", "0.021", "21"};
    for (size_t first = 0; first < 3; first++) {
        for (size_t second = 0; second < 3; second++) {
            char inspections[1024];
            kit k = start_kit(inspections, sizeof inspections);
            te_grown out = {0};
            te_grown_add(&out, "inspection;feature;position;direction;reading;zero;instrument\n");
            for (size_t i = 0; i < 6000; i++)
                te_grown_add(&out, "J-%zu;bore;10;pin;%s;54;BG-54\n", i * INSPECTIONS / 6000,
                             odd[i < 3000 ? first : second]);
            kit_text(&k, "readings.csv", out.text);
            expect_one_shop(&k, "marks");
            te_grown_free(&out);
        }
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(bulk_reads_what_libcsv_reads),
        cmocka_unit_test(a_cut_is_outside_of_quotes),
        cmocka_unit_test(rows_within_quotes_are_none),
        cmocka_unit_test(marks_are_told_as_row_by_row),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
