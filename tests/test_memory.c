/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Memory that runs out anywhere in the library: the first allocation fails, then the second, and so on
 * until all is made; once that one alone, once all from there on. Each time the library says so, or what
 * it made is what it makes undisturbed; and nothing is lost (the address sanitizer's build looks).
 * Past the first thousand, where reports and sheets are written, one in 31; TE_TEST_MULTIPLIER=31: all.
 * The linker hands this program's allocations to the functions below (--wrap). Those inside the shared
 * libraries (GSL's, jansson's, libcsv's) are out of its reach: tests/faults makes them fail.
 */
#include "te_test.h"

#include <gsl/gsl_errno.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "te_shop_text.h"
#include "te_whole.h"

static size_t asked; /* allocations so far */
static size_t first; /* the one that fails; 0: none */
static bool from_there;

/* Names that the linker gives. NOLINTBEGIN(bugprone-reserved-identifier,cert-dcl*) */
void *__real_malloc(size_t size);
void *__real_calloc(size_t count, size_t size);
void *__real_realloc(void *old, size_t size);
void *__wrap_malloc(size_t size);
void *__wrap_calloc(size_t count, size_t size);
void *__wrap_realloc(void *old, size_t size);
/* NOLINTEND(bugprone-reserved-identifier,cert-dcl*) */

static bool fails(void)
{
    asked++;
    return first != 0 && (from_there ? asked >= first : asked == first);
}

void *__wrap_malloc(size_t size)
{
    return fails() ? NULL : __real_malloc(size);
}

void *__wrap_calloc(size_t count, size_t size)
{
    return fails() ? NULL : __real_calloc(count, size);
}

void *__wrap_realloc(void *old, size_t size)
{
    return fails() ? NULL : __real_realloc(old, size);
}

#define INPUT(name, text)            \
    {                                \
        name, text, sizeof(text) - 1 \
    }

/* Longer than what is folded without memory. */
#define A_LONG_NAME                                                                     \
    "width_of_the_land_between_the_first_and_the_second_groove_of_the_piston_measured_" \
    "on_the_side_of_the_exhaust_port_with_the_rings_off"

/* Two engines, one of them built twice; pairs, rings, leaves, a dial, a plan, a reject, spares and a bore to
 * be reworked: every file and every layer has something to do. */
static const te_input sound[] = {
    INPUT("shop.csv", "key,value\nname,Valley (invented)\ncurrency,EUR\n"),
    INPUT("engines.csv", "engine,model\nE1,M\nE2,M\n"),
    INPUT("models.csv", "model,cylinder_material,piston_material,ring_material,run_in_hours,"
                        "inspect_every_hours,reborable\n"
                        "M,aluminium,aluminium_high_si,cast_iron,5,100,yes\n"),
    INPUT("limits.csv",
          "model,quantity,item,unit,new_min,new_max,service_min,service_max,required,source\n"
          "M,bore,,mm,66.000,66.020,,66.100,yes,invented\n"
          "M,out_of_round,,mm,,0.010,,0.030,yes,invented\n"
          "M,taper,,mm,,0.010,,0.050,yes,invented\n"
          "M,skirt,,mm,65.920,65.940,65.870,,yes,invented\n"
          "M,skirt_clearance,,mm,0.060,0.100,0.050,0.180,yes,invented\n"
          "M,end_gap,,mm,0.25,0.40,0.20,0.80,yes,invented\n"
          "M,side_clearance,,mm,0.04,0.08,0.03,0.15,no,invented\n"
          "M,squish,,mm,0.8,1.2,0.7,1.4,no,\nM,flatness,,mm,,,,0.05,no,invented\n"),
    INPUT("instruments.csv", "instrument,description,unit,resolution,expanded_uncertainty,"
                             "repeatability,set_with,calibrated,due\n"
                             "MI,micrometer,mm,0.001,0.002,0.0005,,2025-01-10,2026-01-10\n"
                             "BG,bore gauge,mm,0.001,0.004,0.001,MI,2025-01-10,2026-01-10\n"),
    INPUT("parts.csv", "part,kind,engine,fitted_hours,removed_hours\n"
                       "K1,piston,E1,0,60\nK2,piston,E1,60,\nC1,cylinder,E1,0,\n"),
    INPUT("inspections.csv",
          "inspection,engine,date,hours,state,temperature,temperature_uncertainty\n"
          "I1,E1,2025-02-01,50,,21,1\nI2,E1,2025-06-01,110,,19,1\nI3,E2,2025-06-02,40,,20,1\n"),
    INPUT("readings.csv",
          "inspection,feature,item,position,direction,reading,reading_2,no_go,zero,instrument\n"
          "I1,bore,,10,thrust,66.021,66.022,,,BG\nI1,bore,,10,pin,66.015,,,,BG\n"
          "I1,bore,,40,thrust,66.012,,,,BG\nI1,bore,,40,pin,66.010,,,,BG\n"
          "I1,bore,,40,45,66.011,,,,BG\n"
          "I1,skirt,,12,,65.915,,,,MI\nI1,end_gap,1,40,,0.40,,0.45,,\n"
          "I1,side_clearance,1,,,0.06,,0.07,,\nI1,squish,,,,1.0,,,,\n"
          "I2,bore,,10,thrust,0.041,,,66,BG\nI2,bore,,10,pin,0.030,,,66,BG\n"
          "I2,bore,,40,thrust,0.022,,,66,BG\nI2,bore,,40,pin,0.021,,,66,BG\n"
          "I2,skirt,,12,,65.905,,,,MI\nI2,end_gap,1,40,,0.60,,0.65,,\n"
          "I2,side_clearance,1,,,0.09,,0.10,,\n"
          "I3,bore,,10,thrust,66.093,,,,BG\nI3,skirt,,12,,65.880,,,,MI\n"),
    INPUT("condition.csv",
          "inspection,part,finding,severity\n"
          "I3,piston,scuffed on the thrust side,reject\nI2,cylinder,light marks,watch\n"),
    INPUT("plan.csv", "model,feature,item,position,direction,instrument\n"
                      "M,bore,,10,thrust,BG\nM,bore,,10,pin,BG\nM,bore,,40,thrust,BG\n"
                      "M,bore,,40,pin,BG\nM,skirt,,12,,MI\nM,end_gap,1,40,,\n"
                      "M,flatness,,,,\n"),
    INPUT("spares.csv",
          "spare,kind,model,feature,item,size,tolerance,unit,oversize,price\n"
          "P0,piston,M,skirt,,65.930,0.005,mm,,41.5\n"
          "P1,piston,M,skirt,,66.180,0.005,mm,0.25,46\n"
          "R0,ring_set,M,end_gap,,0.32,0.02,mm,,12\nC0,cylinder,M,bore,,66.010,0.01,mm,,128\n"),
    INPUT("readings/more.csv",
          "inspection;feature;part;item;reading\nI3;end_gap;;1;0,5\nI3;squish;;;1,1\n"
          "I3;" A_LONG_NAME ";;;1,5\n"
          "I1;flatness;E1/head;;0,01\nI2;flatness;E1/head;;0,02\nI3;flatness;E2/head;;0,02\n"),
};

/* Errors of many sorts, so that what tells them runs out of memory too; Latin-1, UTF-16. */
static const te_input broken[] = {
    INPUT("engines.csv", "engine,model\nE1,M\nE1,M\n\"E2,M\n"),
    INPUT("limits.csv",
          "model,quantity,unit,service_max,servce_min\nM,bore,mm,66,1x\nM,bore,ft,-,\n"),
    INPUT("inspections.csv",
          "inspection,engine,date,hours\nI1,E1,32.1.2025,-5\nI2,E9,2025-01-01,abc\n"),
    INPUT("readings.csv",
          "inspection,feature,reading\nI1,b\xf6re,66,1\nI1,bore,66.0.1\nI7,bore,66\n"),
    INPUT("parts.csv", "\xff\xfep\0a\0r\0t\0,\0k\0i\0n\0d\0\n\0"),
    INPUT("spares.csv", "spare,kind\nS,engine\n"),
    INPUT("other.csv", "a,b\n"),
};

static size_t say_wrong(size_t n, te_whole_form form)
{
    print_error("allocation %zu: another %s\n", n, te_whole_name(form));
    return 1;
}

static void sweep(const te_input *inputs, size_t count, te_status expected)
{
    te_whole plain;
    te_whole got;
    first = 0;
    asked = 0;
    assert_int_equal(te_whole_make(&plain, inputs, count, TE_WHOLE_ALL, NULL, NULL), expected);
    size_t most = asked;
    size_t step = 3100 / te_test_rounds(100);
    step = step > 0 ? step : 1;
    for (int mode = 0; mode < 2; mode++) {
        size_t tried = 0;
        size_t told = 0;
        size_t wrong = 0;
        from_there = mode == 1;
        for (size_t n = 1; n <= most; n += n < 1000 ? 1 : step) {
            first = n;
            asked = 0;
            te_status status = te_whole_make(&got, inputs, count, TE_WHOLE_ALL, NULL, NULL);
            first = 0;
            tried++;
            told += status == TE_ERR_MEMORY;
            if (status != TE_ERR_MEMORY && status != expected)
                fail_msg("allocation %zu: status %d", n, (int)status);
            for (int form = 0; form < TE_WHOLE_FORMS && status == expected; form++) {
                const te_buffer *a = &plain.of[form];
                const te_buffer *b = &got.of[form];
                if (a->length != b->length ||
                    (a->length > 0 && memcmp(a->bytes, b->bytes, a->length) != 0))
                    wrong += say_wrong(n, (te_whole_form)form);
            }
            te_whole_free(&got);
        }
        print_message("of %zu allocations %zu failed %s, told of %zu\n", most, tried,
                      from_there ? "with all after them" : "alone", told);
        assert_int_equal(wrong, 0);
        /* Some that fail are tried again smaller; those that fail for good are all told. */
        assert_true(from_there ? told == tried : told > tried / 2);
    }
    te_whole_free(&plain);
}

static void a_sound_shop(void **state)
{
    (void)state;
    sweep(sound, sizeof sound / sizeof *sound, TE_OK);
}

static void a_shop_with_errors(void **state)
{
    (void)state;
    sweep(broken, sizeof broken / sizeof *broken, TE_ERR_DATA);
}

/* ---- judging alone ---- */

/* A shop in which every list of an assessment is as long as asked for: items that are missing, parts of kind
 * other, features and kinds without a reading, conditions now and before; else, lenient, parts that nothing judges, and an
 * inspection I3 with nothing in it. */
static void long_shop(te_made_shop *made, size_t length, bool lenient)
{
    te_grown limits = {0}, plan = {0}, parts = {0}, readings = {0}, condition = {0};
    te_grown_add(&limits, "model,quantity,unit,new_max,service_max,required,source\n"
                          "M,bore,mm,66.02,66.1,yes,invented\n");
    te_grown_add(&plan, "model,feature,item\n");
    te_grown_add(&parts, "part,kind,engine,fitted_hours\n");
    te_grown_add(&readings,
                 "inspection,feature,part,item,reading\nI2,bore,,,66.01\nI2,end_gap,,1,0.3\n"
                 "I2,squish,V0,b,1.2\n");
    te_grown_add(&condition, "inspection,part,finding,severity\n");
    for (size_t i = 0; i < length; i++) {
        te_grown_add(&parts, "V%zu,other,E1,0\n", i);
        te_grown_add(&readings, "I2,squish,V%zu,a,1.2\n", i);
        if (!lenient) {
            te_grown_add(&limits, "M,lift%zu,mm,,1.6,yes,invented\n", i);
            te_grown_add(&plan, "M,end_gap,%zu\n", i + 1);
            te_grown_add(&condition, "I1,V%zu,cracked,reject\nI2,cylinder,mark %zu,note\n", i, i);
        }
    }
    if (!lenient)
        te_grown_add(&limits,
                     "M,end_gap,mm,0.4,0.8,yes,invented\nM,squish,mm,1.4,1.6,yes,invented\n"
                     "M,pin_clearance,mm,0.02,0.05,yes,invented\n"
                     "M,small_end_play,mm,0.02,0.05,yes,invented\n");
    const te_shop_file files[] = {
        {"engines.csv", "engine,model\nE1,M\n"},
        {"limits.csv", limits.text},
        {"inspections.csv", "inspection,engine,date,hours,temperature\nI1,E1,2026-04-18,100,20\n"
                            "I2,E1,2026-05-18,110,20\nI3,E1,2026-06-18,120,20\n"},
        {"plan.csv", plan.text},
        {"parts.csv", parts.text},
        {"readings.csv", readings.text},
        {"condition.csv", condition.text},
        {NULL, NULL}};
    te_made_read(made, files, NULL);
    te_grown_free(&limits);
    te_grown_free(&plan);
    te_grown_free(&parts);
    te_grown_free(&readings);
    te_grown_free(&condition);
}

static void judge_starved(const te_made_shop *made, uint32_t inspection)
{
    te_assessment plain = {0};
    asked = 0;
    assert_int_equal(te_assess(&plain, made->shop, inspection, false), TE_OK);
    size_t most = asked;
    assert_true(most > 0 && plain.reason_count > 0);
    for (size_t n = 1; n <= 2 * most; n++) {
        te_assessment got = {0};
        from_there = n > most;
        first = from_there ? n - most : n;
        asked = 0;
        te_status status = te_assess(&got, made->shop, inspection, false);
        first = 0;
        if (status != TE_ERR_MEMORY &&
            (from_there || status != TE_OK || got.finding_count != plain.finding_count ||
             got.verdict_count != plain.verdict_count || got.reason_count != plain.reason_count))
            fail_msg("allocation %zu of %zu: status %d", n, most, (int)status);
        te_assessment_free(&got);
    }
    te_assessment_free(&plain);
}

/* Each allocation of an assessment fails, alone and with all after it: that is told, whichever list it was for. */
static void judging_alone(void **state)
{
    (void)state;
    for (size_t length = 1; length <= 24; length++) {
        te_made_shop made;
        first = 0;
        long_shop(&made, length, false);
        judge_starved(&made, 1);
        te_made_free(&made);
        long_shop(&made, length, true);
        judge_starved(&made, 1);
        judge_starved(&made, 2);
        te_made_free(&made);
    }
}

/* ---- the same from a folder ---- */

/* The path of a file of the sound shop in a folder. */
static const char *in_folder(const char *folder, const char *name)
{
    static char path[512];
    int length = snprintf(path, sizeof path, "%s/%s", folder, name);
    assert_in_range(length, 1, sizeof path - 1);
    return path;
}

static void write_folder(char *folder, size_t size)
{
    const char *scratch = getenv("TMPDIR");
    int length = snprintf(folder, size, "%s/te-memory-XXXXXX", scratch ? scratch : ".");
    assert_in_range(length, 1, size - 1);
    assert_non_null(mkdtemp(folder));
    assert_int_equal(mkdir(in_folder(folder, "readings"), 0777), 0);
    for (size_t i = 0; i < sizeof sound / sizeof *sound; i++) {
        FILE *file = fopen(in_folder(folder, sound[i].name), "wb");
        assert_non_null(file);
        assert_int_equal(fwrite(sound[i].bytes, 1, sound[i].length, file), sound[i].length);
        assert_int_equal(fclose(file), 0);
    }
}

static void remove_folder(const char *folder)
{
    for (size_t i = 0; i < sizeof sound / sizeof *sound; i++)
        assert_int_equal(remove(in_folder(folder, sound[i].name)), 0);
    assert_int_equal(rmdir(in_folder(folder, "readings")), 0);
    assert_int_equal(rmdir(folder), 0);
}

/* Reads the folder once; how many problems there are is left in count. */
static te_status read_folder(size_t *readings, size_t *count, const char *folder)
{
    te_shop *shop = NULL;
    te_problems problems;
    te_problems_init(&problems);
    te_status status = te_shop_open(&shop, &problems, folder, TE_FILE_EVERY);
    first = 0;
    *readings = shop == NULL ? 0 : te_shop_tables(shop)->reading_count;
    *count = problems.count;
    te_shop_free(shop);
    te_problems_free(&problems);
    return status;
}

/* Files and names that cannot be held are not files that cannot be read: the user's are sound. */
static void a_folder(void **state)
{
    char folder[256];
    size_t readings = 0;
    size_t problems = 0;
    size_t got = 0;
    size_t told = 0;
    (void)state;
    write_folder(folder, sizeof folder);
    asked = 0;
    assert_int_equal(read_folder(&readings, &problems, folder), TE_OK);
    assert_int_equal(readings, 25);
    size_t most = asked;
    for (int mode = 0; mode < 2; mode++) {
        from_there = mode == 1;
        for (size_t n = 1; n <= most; n++) {
            size_t count = 0;
            first = n;
            asked = 0;
            te_status status = read_folder(&got, &count, folder);
            told += status == TE_ERR_MEMORY;
            if (status != TE_ERR_MEMORY &&
                (status != TE_OK || got != readings || count != problems))
                fail_msg("allocation %zu: status %d", n, (int)status);
        }
    }
    assert_true(told > most);
    remove_folder(folder);
}

/* The shop of this test is one in which everything is written. */
static void every_form_holds_something(void **state)
{
    te_whole whole;
    (void)state;
    te_status status = te_whole_make(&whole, sound, sizeof sound / sizeof *sound, TE_WHOLE_ALL,
                                     NULL, NULL);
    if (status != TE_OK)
        print_error("%s", whole.of[TE_WHOLE_PROBLEMS].bytes);
    assert_int_equal(status, TE_OK);
    assert_int_equal(whole.inspections, 3);
    for (int form = 0; form < TE_WHOLE_FORMS; form++) {
        if (whole.of[form].length == 0)
            fail_msg("%s is empty", te_whole_name((te_whole_form)form));
    }
    te_whole_free(&whole);
}

int main(void)
{
    gsl_set_error_handler_off();
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_form_holds_something),
        cmocka_unit_test(a_sound_shop),
        cmocka_unit_test(a_shop_with_errors),
        cmocka_unit_test(judging_alone),
        cmocka_unit_test(a_folder),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
