/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A shop from a folder or from memory: finds the files, reads each once, then links them. */
#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

#include "files.h"
#include "table.h"

/* The order matters: a file may name what an earlier one declares. */
static const struct te_schema *const schemas[] = {
    &te_schema_shop,        &te_schema_models, &te_schema_engines,     &te_schema_limits,
    &te_schema_instruments, &te_schema_parts,  &te_schema_inspections, &te_schema_readings,
    &te_schema_condition,   &te_schema_plan,   &te_schema_spares,
};
enum { SCHEMAS = sizeof schemas / sizeof *schemas };

enum { FILES_MOST = 60000 /* te_origin.file has 16 bits */ };

static const char readings_folder[] = "readings/";
static const char missing_remedy[] =
    "write it; topend init makes a new folder with each file to copy from";

/* A problem with a file as a whole. */
static void file_problem(te_shop *shop, te_severity severity, const char *name, te_scope scope,
                         const char *remedy, const char *what)
{
    te_problem problem = {.severity = severity, .scope = scope};
    (void)snprintf(problem.file, sizeof problem.file, "%s", name);
    (void)snprintf(problem.what, sizeof problem.what, "%s", what);
    (void)snprintf(problem.remedy, sizeof problem.remedy, "%s", remedy);
    te_problems_add(shop->problems, &problem);
}

static void report_unreadable(te_shop *shop, const char *name, int reason)
{
    char what[TE_PROBLEM_TEXT];
    if (reason == EISDIR || reason == ENOTSUP) {
        file_problem(shop, TE_ERROR, name, TE_SCOPE_ALL, "put the CSV file in its place",
                     reason == EISDIR ? "this is a folder, not a file"
                                      : "this is a pipe or a device, not a file");
        return;
    }
    /* strerror is the C library's text in its own language; only the commonest reasons are named. */
    const char *words = reason == EACCES   ? "no permission"
                        : reason == ELOOP  ? "its links go round in a circle"
                        : reason == ENOENT ? "its link leads nowhere"
                        : reason == EIO    ? "the disk reports an error"
                                           : NULL;
    if (words != NULL) {
        (void)snprintf(what, sizeof what, "the file cannot be read: %s", words);
    } else {
        (void)snprintf(what, sizeof what, "the file cannot be read (errno %d)", reason);
    }
    file_problem(shop, TE_ERROR, name, TE_SCOPE_ALL, "check the file and its permissions", what);
}

/* A file while it is read, and who looks on. */
struct looked_on {
    const te_shop *shop;
    FILE *file;
    const te_watch *watch; /* NULL: nobody */
    const char *name;
    bool seen;
};

static void look(struct looked_on *l, const char *bytes, size_t length)
{
    const te_watch *watch = l->watch;
    bool news = length > 0 || !l->seen; /* an empty file gives one empty piece */
    if (watch != NULL && watch->seen != NULL && news) {
        watch->seen(watch->context, l->name, bytes, length);
        l->seen = true;
    }
    if (watch != NULL && watch->grown != NULL) {
        watch->grown(watch->context, l->shop->readings.count);
    }
}

static size_t read_looked_on(bool *bad, void *context, char *out, size_t room)
{
    struct looked_on *l = context;
    size_t got = te_file_some(bad, l->file, out, room);
    look(l, out, got);
    return got;
}

/* A file of UTF-8, window by window. */
static te_status load_utf8(te_shop *shop, const struct te_schema *schema, struct looked_on *l)
{
    struct te_stream stream;
    te_stream_start(&stream, read_looked_on, l, TE_STREAM_WINDOW);
    te_status status = stream.status;
    if (status == TE_OK) {
        status = te_table_read_stream(shop, schema, l->name, &stream);
    }
    /* Rows end early after many faults; the digest is of the whole file. */
    bool whole = l->watch != NULL && l->watch->seen != NULL;
    while (status == TE_OK && whole && te_stream_more(&stream, stream.text.length)) {
    }
    status = status == TE_OK ? stream.status : status;
    te_stream_free(&stream);
    return status;
}

/* One that has to be converted is held whole: spreadsheets write such files, and none is large. */
static te_status load_whole(te_shop *shop, const struct te_schema *schema, struct looked_on *l)
{
    char *bytes = NULL;
    size_t length = 0;
    te_status status = te_file_read(&bytes, &length, l->file);
    if (status == TE_OK) {
        look(l, bytes, length);
        status = te_table_read(shop, schema, l->name, (te_slice){bytes, length});
    }
    free(bytes);
    return status;
}

static te_status load_file(te_shop *shop, const struct te_schema *schema, const char *path,
                           const char *name)
{
    struct looked_on l = {.shop = shop, .watch = shop->watch, .name = name};
    bool utf8 = false;
    te_status status = te_file_open(&l.file, path);
    if (status != TE_OK) {
        return status;
    }
    errno = 0;
    status = te_file_is_utf8(&utf8, l.file);
    if (status == TE_OK) {
        status = utf8 ? load_utf8(shop, schema, &l) : load_whole(shop, schema, &l);
    }
    int reason = errno;
    (void)fclose(l.file);
    errno = reason;
    return status;
}

/* Reads and parses one file of a folder; a file that is not there is passed over. */
static te_status load_path(te_shop *shop, const struct te_schema *schema, const char *folder,
                           const char *name)
{
    struct stat about;
    char *path = te_file_path(folder, name);
    te_status status = path == NULL ? TE_ERR_MEMORY : load_file(shop, schema, path, name);
    int reason = errno;
    bool absent = status == TE_ERR_IO && reason == ENOENT && lstat(path, &about) != 0;
    free(path); /* a link that leads nowhere is an error */
    if (absent) {
        return TE_OK;
    }
    shop->read_files |= schema->bit;
    if (status == TE_ERR_IO) {
        report_unreadable(shop, name, reason);
    } else if (status == TE_ERR_DATA) {
        file_problem(shop, TE_ERROR, name, TE_SCOPE_ALL, "let nothing write to it and run again",
                     "the file changed while it was read");
    } else {
        return status;
    }
    shop->failed_files |= schema->bit;
    return TE_OK;
}

static bool ends_with(const char *name, const char *ending)
{
    size_t length = strlen(name);
    size_t tail = strlen(ending);
    return length > tail && strcmp(name + length - tail, ending) == 0;
}

/* A folder that cannot be listed. */
static void report_folder(te_shop *shop, const char *name, int reason)
{
    if (reason == ENOENT || reason == ENOTDIR) {
        file_problem(shop, TE_ERROR, name, TE_SCOPE_ALL, "check the path",
                     reason == ENOENT ? "there is no such folder" : "this is a file, not a folder");
    } else {
        report_unreadable(shop, name, reason);
    }
}

/* False, with a report, when te_origin.file could not name another file. */
static bool has_room_for_file(te_shop *shop)
{
    if (shop->files.count < FILES_MOST) {
        return true;
    }
    file_problem(shop, TE_ERROR, "readings", TE_SCOPE_ALL, "join some of them",
                 "there are more than 60000 files");
    return false;
}

static te_status load_readings_folder(te_shop *shop, const char *folder)
{
    te_file_names list = {0};
    char *path = te_file_path(folder, "readings");
    te_status status = path == NULL ? TE_ERR_MEMORY : te_folder_list(&list, path, readings_folder);
    int reason = errno;
    if (status == TE_ERR_IO) {
        status = TE_OK;
        if (reason != ENOENT) {
            shop->read_files |= TE_FILE_READINGS;
            report_folder(shop, "readings", reason);
        }
        goto done;
    }
    for (size_t i = 0; status == TE_OK && i < list.count && has_room_for_file(shop); i++) {
        if (ends_with(list.items[i], ".csv")) {
            status = load_path(shop, &te_schema_readings, folder, list.items[i]);
        } else {
            file_problem(shop, TE_WARNING, list.items[i], TE_SCOPE_NONE,
                         "give it an ending in .csv, or move it away", "the file is not read");
        }
    }
done:
    te_file_names_free(&list);
    free(path);
    return status;
}

/* A CSV file that is none of the eleven may be one of them, misspelled. */
static void report_stray_file(te_shop *shop, const char *name)
{
    const char *words[SCHEMAS];
    char remedy[TE_PROBLEM_TEXT];
    for (size_t i = 0; i < SCHEMAS; i++) {
        words[i] = schemas[i]->file;
        if (strcmp(name, words[i]) == 0) {
            return;
        }
    }
    const char *near_name = te_nearest((te_slice){name, strlen(name)}, words, SCHEMAS);
    (void)snprintf(remedy, sizeof remedy, "%s%s",
                   near_name != NULL ? "the nearest known name is " : "move it out of the folder",
                   near_name != NULL ? near_name : "");
    file_problem(shop, TE_WARNING, name, TE_SCOPE_NONE, remedy, "the file is not read");
}

/* TE_ERR_IO: the folder cannot be read, which is reported. */
static te_status look_for_strays(te_shop *shop, const char *folder)
{
    te_file_names list = {0};
    te_status status = te_folder_list(&list, folder, "");
    if (status == TE_ERR_IO) {
        report_folder(shop, folder, errno);
    }
    for (size_t i = 0; i < list.count; i++) {
        te_slice name = {list.items[i], strlen(list.items[i])};
        bool csv = name.length > 4 &&
                   te_text_same_word((te_slice){name.bytes + name.length - 4, 4}, ".csv");
        if (csv) {
            report_stray_file(shop, list.items[i]);
        }
    }
    te_file_names_free(&list);
    return status;
}

/* A file that every judgement needs and that is not there. Readings are looked for in their folder
 * first. */
static void note_missing(te_shop *shop, const struct te_schema *schema)
{
    const unsigned needed = TE_FILE_ENGINES | TE_FILE_LIMITS | TE_FILE_INSPECTIONS;
    if ((needed & schema->bit & ~shop->read_files) != 0) {
        shop->failed_files |= schema->bit;
        file_problem(shop, TE_ERROR, schema->file, TE_SCOPE_ALL, missing_remedy,
                     "the file is missing");
    }
}

static te_status load_folder(te_shop *shop, const char *folder, unsigned files)
{
    te_status status = look_for_strays(shop, folder);
    if (status == TE_ERR_IO) {
        shop->folder_lost = true;
        return TE_OK; /* told once, not for each file */
    }
    for (size_t i = 0; status == TE_OK && i < SCHEMAS; i++) {
        if ((files & schemas[i]->bit) == 0) {
            continue;
        }
        status = load_path(shop, schemas[i], folder, schemas[i]->file);
        note_missing(shop, schemas[i]);
        if (status == TE_OK && schemas[i]->bit == TE_FILE_READINGS) {
            status = load_readings_folder(shop, folder);
        }
    }
    return status;
}

static bool is_input_of(const te_input *input, const struct te_schema *schema)
{
    bool readings = schema->bit == TE_FILE_READINGS;
    bool inside = strncmp(input->name, readings_folder, strlen(readings_folder)) == 0;
    return strcmp(input->name, schema->file) == 0 || (readings && inside);
}

/* Reads the inputs that hold one file's rows: those in a folder, or those beside it. */
static te_status load_inputs(te_shop *shop, const struct te_schema *schema, const te_input *inputs,
                             size_t count, bool inside)
{
    te_status status = TE_OK;
    for (size_t i = 0; status == TE_OK && i < count; i++) {
        bool in_folder = strchr(inputs[i].name, '/') != NULL;
        if (in_folder != inside || !is_input_of(&inputs[i], schema)) {
            continue;
        }
        if (!has_room_for_file(shop)) {
            break;
        }
        shop->read_files |= schema->bit;
        te_slice bytes = {inputs[i].bytes, inputs[i].length};
        status = te_table_read(shop, schema, inputs[i].name, bytes);
    }
    return status;
}

static te_status load_memory(te_shop *shop, const te_input *inputs, size_t count, unsigned files)
{
    te_status status = TE_OK;
    for (size_t i = 0; i < count; i++) {
        if (strncmp(inputs[i].name, readings_folder, strlen(readings_folder)) != 0) {
            report_stray_file(shop, inputs[i].name);
        }
    }
    for (size_t i = 0; status == TE_OK && i < SCHEMAS; i++) {
        if ((files & schemas[i]->bit) == 0) {
            continue;
        }
        status = load_inputs(shop, schemas[i], inputs, count, false);
        if (status == TE_OK) {
            status = load_inputs(shop, schemas[i], inputs, count, true);
        }
        note_missing(shop, schemas[i]);
    }
    return status;
}

/* True when errors in the files of readings tell already why there is none. */
static bool readings_blamed(const te_shop *shop)
{
    const te_problems *problems = shop->problems;
    for (size_t i = 0; i < problems->file_count; i++) {
        bool readings = strcmp(problems->files[i].file, te_schema_readings.file) == 0 ||
                        strcmp(problems->files[i].file, "readings") == 0 ||
                        strncmp(problems->files[i].file, readings_folder,
                                sizeof readings_folder - 1) == 0;
        if (readings && problems->files[i].errors > 0) {
            return true;
        }
    }
    return false;
}

/* Readings may stand in one file or in a folder of them, but there must be some. */
static void check_any_reading(te_shop *shop, unsigned files)
{
    const char *name = te_schema_readings.file;
    if ((files & TE_FILE_READINGS) == 0 || shop->folder_lost) {
        return;
    }
    if ((shop->read_files & TE_FILE_READINGS) == 0) {
        file_problem(shop, TE_ERROR, name, TE_SCOPE_ALL, missing_remedy, "the file is missing");
    } else if (shop->reading_rows == 0 && !readings_blamed(shop)) {
        file_problem(shop, TE_ERROR, name, TE_SCOPE_ALL, "add the rows",
                     "there is not one reading in readings.csv and readings/");
    }
}

/* The dialect for a file of readings that is to be added. */
static te_dialect shop_dialect(const te_shop *shop)
{
    char delimiter = shop->tables.inspection_delimiter;
    unsigned most = 0;
    for (size_t i = 0; i < sizeof shop->delimiters / sizeof *shop->delimiters; i++) {
        if (shop->delimiters[i].files > most) {
            most = shop->delimiters[i].files;
            delimiter = shop->delimiters[i].delimiter;
        }
    }
    bool comma = (delimiter == ';' || delimiter == '\t') && shop->comma_marks > shop->point_marks;
    return (te_dialect){(char)(delimiter == 0 ? ',' : delimiter), (char)(comma ? ',' : '.')};
}

static void publish(te_shop *shop)
{
    te_tables *t = &shop->tables;
    t->files = (const char *const *)shop->files.items;
    t->file_count = shop->files.count;
    t->dialect = shop_dialect(shop);
    t->engines = shop->engines.items;
    t->engine_count = shop->engines.count;
    t->models = shop->models.items;
    t->model_count = shop->models.count;
    t->limits = shop->limits.items;
    t->limit_count = shop->limits.count;
    t->instruments = shop->instruments.items;
    t->instrument_count = shop->instruments.count;
    t->stays = shop->stays.items;
    t->stay_count = shop->stays.count;
    t->inspections = shop->inspections.items;
    t->inspection_count = shop->inspections.count;
    t->by_engine = shop->by_engine;
    t->readings = shop->readings.items;
    t->reading_count = shop->readings.count;
    t->by_inspection = shop->by_inspection;
    t->conditions = shop->conditions.items;
    t->condition_count = shop->conditions.count;
    t->spares = shop->spares.items;
    t->spare_count = shop->spares.count;
    t->plan = shop->plan.items;
    t->plan_count = shop->plan.count;
    t->own = shop->own.items;
    t->own_count = shop->own.count;
}

/* Brings the tables together; each step relies on those before it. */
static void link_tables(te_shop *shop)
{
    static void (*const steps[])(te_shop *) = {
        te_shop_link_models,      te_shop_check_own_features, te_shop_check_spares,
        te_shop_link_instruments, te_shop_drop_copies,        te_shop_link_inspections,
        te_shop_check_stays,      te_shop_resolve_parts,      te_shop_group_readings,
        te_shop_check_readings,   te_shop_find_slips,
    };
    for (size_t i = 0; i < sizeof steps / sizeof *steps && !shop->out_of_memory; i++) {
        steps[i](shop);
    }
}

te_status te_shop_make(te_shop **out, te_problems *problems, const struct te_source *source,
                       unsigned files)
{
    te_status status = TE_ERR_MEMORY;
    te_shop *shop = calloc(1, sizeof *shop);
    *out = NULL;
    if (shop == NULL || !te_names_init(&shop->names)) {
        goto done;
    }
    shop->problems = problems;
    shop->watch = source->watch;
    shop->threads = source->threads;
    shop->by_libcsv = source->by_libcsv;
    shop->tables.confidence = 0.95; /* the default of ISO 14253-1:2017 */
    status = source->folder != NULL ? load_folder(shop, source->folder, files)
                                    : load_memory(shop, source->inputs, source->input_count, files);
    if (status != TE_OK) {
        goto done;
    }
    check_any_reading(shop, files);
    link_tables(shop);
    if (shop->instruments.count == 0) {
        shop->tables.simple_for_lack = shop->tables.rule == TE_RULE_GUARDED;
        shop->tables.rule = TE_RULE_SIMPLE;
    }
    publish(shop);
    te_problems_sort(problems);
    status = shop->out_of_memory || problems->out_of_memory ? TE_ERR_MEMORY
             : problems->errors > 0                         ? TE_ERR_DATA
                                                            : TE_OK;
done:
    if (status == TE_ERR_MEMORY) {
        te_shop_free(shop);
        return status;
    }
    shop->problems = NULL;
    shop->watch = NULL;
    *out = shop;
    return status;
}

te_status te_shop_open(te_shop **shop, te_problems *problems, const char *folder, unsigned files)
{
    return te_shop_open_watched(shop, problems, folder, files, NULL, 1);
}

te_status te_shop_open_watched(te_shop **shop, te_problems *problems, const char *folder,
                               unsigned files, const te_watch *watch, unsigned threads)
{
    struct te_source source = {.folder = folder, .watch = watch, .threads = threads};
    return te_shop_make(shop, problems, &source, files);
}

te_status te_shop_read(te_shop **shop, te_problems *problems, const te_input *inputs, size_t count,
                       unsigned files)
{
    struct te_source source = {.inputs = inputs, .input_count = count};
    return te_shop_make(shop, problems, &source, files);
}
