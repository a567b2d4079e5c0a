/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Shops from folders: what can stand in a file's place, and what the system can refuse. */
#include "shop_kit.h"

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

/* A scratch folder; what is made in it is noted, to be taken away again. */
typedef struct folder {
    char path[256];
    char made[160][128];
    size_t count;
} folder;

static const char *at(const folder *f, const char *name)
{
    static char path[512];
    snprintf(path, sizeof path, "%s/%s", f->path, name);
    return path;
}

static void note(folder *f, const char *name)
{
    assert_true(f->count < sizeof f->made / sizeof *f->made && strlen(name) < sizeof f->made[0]);
    strcpy(f->made[f->count++], name);
}

static void write_bytes(folder *f, const char *name, const char *bytes, size_t length)
{
    FILE *file = fopen(at(f, name), "wb");
    assert_non_null(file);
    assert_int_equal(fwrite(bytes, 1, length, file), length);
    assert_int_equal(fclose(file), 0);
    note(f, name);
}

static void write_text(folder *f, const char *name, const char *text)
{
    write_bytes(f, name, text, strlen(text));
}

static void make_folder(folder *f, const char *name)
{
    assert_int_equal(mkdir(at(f, name), 0777), 0);
    note(f, name);
}

static void take_away(folder *f, const char *name)
{
    assert_int_equal(remove(at(f, name)), 0);
}

#define ENGINES     "engine,model\nPS-51,Alder 66\n"
#define LIMITS      "model,quantity,unit,new_min,new_max,source\nAlder 66,bore,mm,66.000,66.022,leaf 4\n"
#define INSPECTIONS "inspection,engine,date,hours,temperature\nL-1,PS-51,2025-06-12,73.9,20.4\n"
#define READINGS    "inspection,feature,position,reading\nL-1,bore,10,66.0173\n"

static void setup_shop(folder *f)
{
    const char *scratch = getenv("TMPDIR");
    *f = (folder){.count = 0};
    int length = snprintf(f->path, sizeof f->path, "%s/te-shop-XXXXXX", scratch ? scratch : ".");
    assert_in_range(length, 1, sizeof f->path - 1);
    assert_non_null(mkdtemp(f->path));
    write_text(f, "engines.csv", ENGINES);
    write_text(f, "limits.csv", LIMITS);
    write_text(f, "inspections.csv", INSPECTIONS);
    write_text(f, "readings.csv", READINGS);
}

static void remove_shop(folder *f)
{
    while (f->count > 0)
        (void)remove(at(f, f->made[--f->count]));
    assert_int_equal(rmdir(f->path), 0);
}

static int start(void **state)
{
    folder *f = malloc(sizeof *f);
    if (f == NULL)
        return -1;
    setup_shop(f);
    *state = f;
    return 0;
}

static int end(void **state)
{
    remove_shop(*state);
    free(*state);
    return 0;
}

static void open_path(kit *k, const char *path)
{
    te_problems_init(&k->problems);
    k->status = te_shop_open(&k->shop, &k->problems, path, TE_FILE_EVERY);
    assert_non_null(k->shop);
    k->t = te_shop_tables(k->shop);
}

static void expect(const folder *f, const char *problems)
{
    kit k = {.count = 0};
    open_path(&k, f->path);
    kit_expect(&k, problems);
    kit_free(&k);
}

static void a_good_folder_is_read(void **state)
{
    folder *f = *state;
    kit k = {.count = 0};
    open_path(&k, f->path);
    kit_expect(&k, "");
    assert_int_equal(k.t->reading_count, 1);
    assert_near(k.t->readings[0].value, 66.0173, 0);
    assert_string_equal(k.t->files[k.t->readings[0].file], "readings.csv");
    kit_free(&k);
    char slash[264];
    snprintf(slash, sizeof slash, "%s/", f->path);
    open_path(&k, slash);
    kit_expect(&k, "");
    kit_free(&k);
}

static void a_missing_folder_is_told_once(void **state)
{
    folder *f = *state;
    char expected[512], path[300];
    snprintf(path, sizeof path, "%s/nowhere", f->path);
    snprintf(expected, sizeof expected, "%s: error: there is no such folder; check the path\n",
             path);
    kit k = {.count = 0};
    open_path(&k, path);
    kit_expect(&k, expected);
    assert_true(k.problems.touches_all);
    kit_free(&k);
}

static void a_file_in_place_of_the_folder(void **state)
{
    folder *f = *state;
    char expected[512], path[300];
    snprintf(path, sizeof path, "%s/engines.csv", f->path);
    snprintf(expected, sizeof expected, "%s: error: this is a file, not a folder; check the path\n",
             path);
    kit k = {.count = 0};
    open_path(&k, path);
    kit_expect(&k, expected);
    kit_free(&k);
}

static void an_empty_folder_lacks_four_files(void **state)
{
    folder *f = *state;
    while (f->count > 0)
        take_away(f, f->made[--f->count]);
    expect(f, "engines.csv: error: the file is missing; write it; topend init makes a new folder "
              "with each file to copy from\n"
              "limits.csv: error: the file is missing; write it; topend init makes a new folder "
              "with each file to copy from\n"
              "inspections.csv: error: the file is missing; write it; topend init makes a new "
              "folder with each file to copy from\n"
              "readings.csv: error: the file is missing; write it; topend init makes a new folder "
              "with each file to copy from\n");
}

static void a_folder_in_place_of_a_file(void **state)
{
    folder *f = *state;
    make_folder(f, "models.csv");
    take_away(f, "limits.csv");
    make_folder(f, "limits.csv");
    expect(f, "models.csv: error: this is a folder, not a file; put the CSV file in its place\n"
              "limits.csv: error: this is a folder, not a file; put the CSV file in its place\n");
}

static void a_file_in_place_of_the_readings_folder(void **state)
{
    folder *f = *state;
    write_text(f, "readings", "");
    expect(f, "readings: error: this is a file, not a folder; check the path\n");
    take_away(f, "readings.csv"); /* the readings are lost, not missing: told once */
    expect(f, "readings: error: this is a file, not a folder; check the path\n");
}

static void a_folder_among_the_readings(void **state)
{
    folder *f = *state;
    make_folder(f, "readings");
    make_folder(f, "readings/2025.csv");
    expect(
        f,
        "readings/2025.csv: error: this is a folder, not a file; put the CSV file in its place\n");
}

static void links_that_lead_nowhere(void **state)
{
    folder *f = *state;
    assert_int_equal(symlink("parts.csv", at(f, "parts.csv")), 0);
    note(f, "parts.csv");
    assert_int_equal(symlink("of-last-year.csv", at(f, "models.csv")), 0);
    note(f, "models.csv");
    expect(
        f,
        "models.csv: error: the file cannot be read: its link leads nowhere; check the file and "
        "its permissions\n"
        "parts.csv: error: the file cannot be read: its links go round in a circle; check the file "
        "and its permissions\n");
}

static void a_link_to_a_file_is_followed(void **state)
{
    folder *f = *state;
    write_text(f, "of this year.txt", READINGS);
    take_away(f, "readings.csv");
    assert_int_equal(symlink("of this year.txt", at(f, "readings.csv")), 0);
    expect(f, "");
}

/* To open a pipe would wait for a writer, and to read the device would not end. */
static void pipes_and_devices_are_refused(void **state)
{
    folder *f = *state;
    assert_int_equal(mkfifo(at(f, "parts.csv"), 0666), 0);
    note(f, "parts.csv");
    assert_int_equal(symlink("/dev/zero", at(f, "models.csv")), 0);
    note(f, "models.csv");
    alarm(30); /* instead of a test that hangs */
    expect(
        f,
        "models.csv: error: this is a pipe or a device, not a file; put the CSV file in its place\n"
        "parts.csv: error: this is a pipe or a device, not a file; put the CSV file in its "
        "place\n");
    alarm(0);
}

/* Permissions do not bind root: the shop is opened as another user then. */
static void unreadable_files_are_told(void **state)
{
    folder *f = *state;
    bool root = geteuid() == 0;
    assert_int_equal(chmod(f->path, 0755), 0);
    assert_int_equal(chmod(at(f, "limits.csv"), 0), 0);
    make_folder(f, "readings");
    assert_int_equal(chmod(at(f, "readings"), 0), 0);
    /* From within: another user may not pass the folders above. */
    int here = open(".", O_RDONLY);
    assert_true(here >= 0);
    assert_int_equal(chdir(f->path), 0);
    kit k = {.count = 0};
    if (root)
        assert_int_equal(seteuid(65534), 0);
    open_path(&k, ".");
    if (root)
        assert_int_equal(seteuid(0), 0);
    assert_int_equal(fchdir(here), 0);
    assert_int_equal(close(here), 0);
    kit_expect(&k,
               "limits.csv: error: the file cannot be read: no permission; check the file and its "
               "permissions\n"
               "readings: error: the file cannot be read: no permission; check the file and its "
               "permissions\n");
    kit_free(&k);
}

static void strays_are_told(void **state)
{
    folder *f = *state;
    write_text(f, "conditions.csv", "x");
    write_text(f, "Parts.CSV", "x");
    write_text(f, "price list.csv", "x");
    write_text(f, "notes.txt", "x");
    write_text(f, ".hidden.csv", "x");
    write_text(f, "\x1b[31m.csv", "x");
    make_folder(f, "readings");
    write_text(f, "readings/april.csv.bak", "x");
    write_text(f, "readings/.april.csv.swp", "x");
    expect(
        f,
        "\\x1B[31m.csv: warning: the file is not read; move it out of the folder\n"
        "Parts.CSV: warning: the file is not read; the nearest known name is parts.csv\n"
        "conditions.csv: warning: the file is not read; the nearest known name is condition.csv\n"
        "price list.csv: warning: the file is not read; move it out of the folder\n"
        "readings/april.csv.bak: warning: the file is not read; give it an ending in .csv, or move "
        "it away\n");
}

static void readings_are_taken_by_byte_order(void **state)
{
    folder *f = *state;
    static const char *const names[] = {"readings/b.csv", "readings/\xc3\xa4.csv", "readings/B.csv",
                                        "readings/10.csv", "readings/9.csv"};
    static const char *const order[] = {"readings.csv",   "readings/10.csv",
                                        "readings/9.csv", "readings/B.csv",
                                        "readings/b.csv", "readings/\xc3\xa4.csv"};
    make_folder(f, "readings");
    for (size_t i = 0; i < 5; i++) {
        char text[100];
        snprintf(text, sizeof text, "inspection;feature;position;reading\nL-1;bore;%zu;66,01%zu\n",
                 20 + i, i);
        write_text(f, names[i], text);
    }
    kit k = {.count = 0};
    open_path(&k, f->path);
    kit_expect(&k, "");
    assert_int_equal(k.t->reading_count, 6);
    for (size_t i = 0; i < 6; i++)
        assert_string_equal(k.t->files[k.t->readings[i].file], order[i]);
    kit_free(&k);
}

static void readings_may_all_stand_in_the_folder(void **state)
{
    folder *f = *state;
    take_away(f, "readings.csv");
    make_folder(f, "readings");
    expect(f, "readings.csv: error: the file is missing; write it; topend init makes a new folder "
              "with each file to copy from\n");
    write_text(f, "readings/a.csv", READINGS);
    expect(f, "");
    write_text(f, "readings/b.csv", "inspection,feature,reading\n");
    expect(
        f,
        "readings/b.csv:1: error: the file has a header row and nothing below it; add the rows, or "
        "delete the file\n");
    write_text(f, "readings/b.csv", "");
    expect(f,
           "readings/b.csv: error: the file is empty; write its header row, or delete the file\n");
}

static void a_copy_of_a_file_counts_once(void **state)
{
    folder *f = *state;
    make_folder(f, "readings");
    write_text(f, "readings/copy.csv", READINGS);
    expect(f, "readings/copy.csv:2: warning: the same row stands in readings.csv, line 2: it "
              "counts once; "
              "delete one of the two\n");
}

/* A file that opens and then cannot be read: its first page is no memory of this program. */
static void a_read_that_fails_is_told(void **state)
{
    folder *f = *state;
    take_away(f, "limits.csv");
    assert_int_equal(symlink("/proc/self/mem", at(f, "limits.csv")), 0);
    expect(
        f,
        "limits.csv: error: the file cannot be read: the disk reports an error; check the file and "
        "its permissions\n");
}

/* 100 MB without a line end: refused, quickly, and the file's other rows are still read. */
static void a_cell_of_100_mb(void **state)
{
    folder *f = *state;
    enum { MEGABYTE = 1 << 20 };
    char *block = malloc(MEGABYTE);
    assert_non_null(block);
    memset(block, '7', MEGABYTE);
    FILE *file = fopen(at(f, "readings.csv"), "wb");
    assert_non_null(file);
    fputs("inspection,feature,position,reading\nL-1,bore,10,66.", file);
    for (int i = 0; i < 100; i++)
        assert_int_equal(fwrite(block, 1, MEGABYTE, file), MEGABYTE);
    fputs("\nL-1,bore,20,x\n", file);
    assert_int_equal(fclose(file), 0);
    free(block);
    expect(
        f,
        "readings.csv:2: error: a cell is longer than 64 KiB; look for a quote that is never "
        "closed\n"
        "readings.csv:3: reading: error: \"x\" is not a number; write digits with one decimal mark "
        "and nothing else\n");
}

static void a_file_of_100_mb_without_a_header(void **state)
{
    folder *f = *state;
    FILE *file = fopen(at(f, "limits.csv"), "wb");
    assert_non_null(file);
    for (int i = 0; i < 100 * 1024; i++) {
        char block[1024];
        memset(block, i % 7 == 0 ? '\n' : ',', sizeof block);
        assert_int_equal(fwrite(block, 1, sizeof block, file), sizeof block);
    }
    assert_int_equal(fclose(file), 0);
    kit k = {.count = 0};
    open_path(&k, f->path);
    assert_int_equal(k.problems.errors, 50);
    assert_string_equal(k.problems.items[0].what, "the row has more than 1000 columns");
    kit_free(&k);
}

static void more_than_fifty_problems_are_counted(void **state)
{
    folder *f = *state;
    char text[4096] = "inspection,feature,position,reading\n";
    for (int i = 0; i < 73; i++)
        sprintf(text + strlen(text), "L-1,bore,%d,66.0%d.\n", i, i);
    write_text(f, "readings.csv", text);
    kit k = {.count = 0};
    open_path(&k, f->path);
    assert_int_equal(k.status, TE_ERR_DATA);
    assert_int_equal(k.problems.count, 50);
    assert_int_equal(k.problems.errors, 73);
    assert_int_equal(k.problems.file_count, 1);
    assert_string_equal(k.problems.files[0].file, "readings.csv");
    assert_int_equal(k.problems.files[0].errors, 73);
    assert_int_equal(k.problems.items[49].line, 51);
    kit_free(&k);
}

static void a_good_row_is_not_lost_for_a_bad_one(void **state)
{
    folder *f = *state;
    write_text(f, "readings.csv", READINGS "L-1,bore,20,nan\nL-1,bore,30,66.0181\n");
    kit k = {.count = 0};
    open_path(&k, f->path);
    kit_expect(
        &k,
        "readings.csv:3: reading: error: \"nan\" is not a number; write digits with one decimal "
        "mark and nothing else\n");
    assert_int_equal(k.t->reading_count, 2);
    assert_near(k.t->readings[1].value, 66.0181, 0);
    kit_free(&k);
}

/* The same shop from its folder and from memory. */
static void memory_and_folder_give_the_same(void **state)
{
    folder *f = *state;
    kit from_folder = {.count = 0}, from_memory = {.count = 0};
    write_text(f, "readings.csv", READINGS "L-1,bore,20,66.0.1\n");
    open_path(&from_folder, f->path);
    kit_text(&from_memory, "engines.csv", ENGINES);
    kit_text(&from_memory, "limits.csv", LIMITS);
    kit_text(&from_memory, "inspections.csv", INSPECTIONS);
    kit_text(&from_memory, "readings.csv", READINGS "L-1,bore,20,66.0.1\n");
    kit_read(&from_memory);
    char *text = malloc(KIT_TEXT);
    assert_non_null(text);
    strcpy(text, kit_problems(&from_folder.problems));
    assert_int_not_equal(text[0], '\0');
    assert_string_equal(kit_problems(&from_memory.problems), text);
    assert_int_equal(from_folder.t->reading_count, from_memory.t->reading_count);
    free(text);
    kit_free(&from_folder);
    kit_free(&from_memory);
}

static void the_users_files_are_not_changed(void **state)
{
    folder *f = *state;
    kit k = {.count = 0};
    struct stat before, after;
    assert_int_equal(chmod(at(f, "limits.csv"), 0444), 0);
    assert_int_equal(stat(at(f, "limits.csv"), &before), 0);
    open_path(&k, f->path);
    kit_free(&k);
    assert_int_equal(stat(at(f, "limits.csv"), &after), 0);
    assert_int_equal(before.st_size, after.st_size);
    assert_int_equal(before.st_mtime, after.st_mtime);
    assert_int_equal(before.st_mode, after.st_mode);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(a_good_folder_is_read, start, end),
        cmocka_unit_test_setup_teardown(a_missing_folder_is_told_once, start, end),
        cmocka_unit_test_setup_teardown(a_file_in_place_of_the_folder, start, end),
        cmocka_unit_test_setup_teardown(an_empty_folder_lacks_four_files, start, end),
        cmocka_unit_test_setup_teardown(a_folder_in_place_of_a_file, start, end),
        cmocka_unit_test_setup_teardown(a_file_in_place_of_the_readings_folder, start, end),
        cmocka_unit_test_setup_teardown(a_folder_among_the_readings, start, end),
        cmocka_unit_test_setup_teardown(links_that_lead_nowhere, start, end),
        cmocka_unit_test_setup_teardown(a_link_to_a_file_is_followed, start, end),
        cmocka_unit_test_setup_teardown(pipes_and_devices_are_refused, start, end),
        cmocka_unit_test_setup_teardown(unreadable_files_are_told, start, end),
        cmocka_unit_test_setup_teardown(strays_are_told, start, end),
        cmocka_unit_test_setup_teardown(readings_are_taken_by_byte_order, start, end),
        cmocka_unit_test_setup_teardown(readings_may_all_stand_in_the_folder, start, end),
        cmocka_unit_test_setup_teardown(a_copy_of_a_file_counts_once, start, end),
        cmocka_unit_test_setup_teardown(a_read_that_fails_is_told, start, end),
        cmocka_unit_test_setup_teardown(a_cell_of_100_mb, start, end),
        cmocka_unit_test_setup_teardown(a_file_of_100_mb_without_a_header, start, end),
        cmocka_unit_test_setup_teardown(more_than_fifty_problems_are_counted, start, end),
        cmocka_unit_test_setup_teardown(a_good_row_is_not_lost_for_a_bad_one, start, end),
        cmocka_unit_test_setup_teardown(memory_and_folder_give_the_same, start, end),
        cmocka_unit_test_setup_teardown(the_users_files_are_not_changed, start, end),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
