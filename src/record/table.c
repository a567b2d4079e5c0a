/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "table.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "csv_rows.h"
#include "encoding.h"
#include "plain_rows.h"

static struct place_of row_place(const struct te_table *table, te_severity severity, int column)
{
    return (struct place_of){
        .severity = severity,
        .origin = table->origin,
        .column = column < 0 ? "" : table->schema->columns[column].name,
        .scope = table->scope,
        .scope_id = table->scope_id,
    };
}

void te_row_error(struct te_table *table, int column, const char *remedy, const char *format, ...)
{
    va_list arguments;
    struct place_of place = row_place(table, TE_ERROR, column);
    table->row_bad = true;
    va_start(arguments, format);
    te_shop_problem_list(table->shop, &place, remedy, format, arguments);
    va_end(arguments);
}

void te_row_warning(struct te_table *table, int column, const char *remedy, const char *format, ...)
{
    va_list arguments;
    struct place_of place = row_place(table, TE_WARNING, column);
    va_start(arguments, format);
    te_shop_problem_list(table->shop, &place, remedy, format, arguments);
    va_end(arguments);
}

/* How many column names a line holds when it is cut at a delimiter. */
static size_t known_names(const struct te_schema *schema, te_slice line, char delimiter)
{
    size_t known = 0;
    size_t start = 0;
    for (size_t i = 0; i <= line.length; i++) {
        if (i < line.length && line.bytes[i] != delimiter) {
            continue;
        }
        te_slice cell = te_text_trim((te_slice){line.bytes + start, i - start});
        if (cell.length >= 2 && cell.bytes[0] == '"' && cell.bytes[cell.length - 1] == '"') {
            cell = te_text_trim((te_slice){cell.bytes + 1, cell.length - 2});
        }
        known += te_schema_find(schema, cell) >= 0;
        start = i + 1;
    }
    return known;
}

/* A `sep=;` line, also in quotes; 0 when the line is none. */
static char separator_line(te_slice line)
{
    te_slice body = te_text_trim(line);
    if (body.length >= 2 && body.bytes[0] == '"' && body.bytes[body.length - 1] == '"') {
        body = (te_slice){body.bytes + 1, body.length - 2};
    }
    bool shape = body.length == 5 && te_text_same_word((te_slice){body.bytes, 4}, "sep=");
    char c = shape ? body.bytes[4] : '\0';
    /* A tab at the end of the line is trimmed away with the blanks. */
    bool tab = te_text_same_word(body, "sep=") && memchr(line.bytes, '\t', line.length) != NULL;
    return tab ? '\t' : c == ',' || c == ';' || c == '\t' ? c : '\0';
}

/* Finds the delimiter by the header row; `start` and `first_line` are moved past a `sep=` line. */
static char find_delimiter(te_slice text, const struct te_schema *schema, size_t *start,
                           uint32_t *first_line)
{
    static const char candidates[] = {',', ';', '\t'};
    char best = ',';
    size_t most = 0;
    size_t at = 0;
    te_slice first = te_csv_line(text, &at);
    char told = separator_line(first);
    *start = told != '\0' ? at : 0;
    *first_line = told != '\0' ? 2 : 1;
    if (told != '\0') {
        return told;
    }
    for (at = 0; at < text.length && most == 0;) {
        te_slice line = te_csv_line(text, &at);
        if (te_text_trim(line).length == 0 || te_csv_is_comment(line, ',') ||
            te_csv_is_comment(line, ';')) { /* a tab behind # is a blank too */
            continue;
        }
        for (size_t i = 0; i < sizeof candidates; i++) {
            size_t known = known_names(schema, te_csv_line_body(line), candidates[i]);
            if (known > most) {
                most = known;
                best = candidates[i];
            }
        }
    }
    return best;
}

/* The row's required cells all hold their columns' names. */
static bool is_second_header(const struct te_table *table)
{
    bool same = true;
    for (int i = 0; same && i < table->required_count; i++) {
        int column = table->required[i];
        same = te_cell_is(table, column, table->schema->columns[column].name);
    }
    return same;
}

static bool row_is_whole(struct te_table *table)
{
    char shown[TE_SHOWN];
    if (is_second_header(table)) {
        te_row_error(table, -1, "delete it", "this is a second header row");
        return false;
    }
    bool odd = table->any_nameless || table->cell_count > table->header_width;
    for (size_t i = 0; odd && i < table->cell_count; i++) {
        bool past = i >= table->header_width;
        bool nameless = !past && ((unsigned)table->nameless[i / 8] >> i % 8 & 1U) != 0;
        if ((past || nameless) && table->cells[i].length > 0) {
            te_row_error(table, -1,
                         past ? "check for a missing quote, a stray delimiter or a decimal comma"
                              : "name the column in the header row, or empty it",
                         "\"%s\" stands %s", te_cell_shown(shown, table->cells[i]),
                         past ? "past the last column of the header"
                              : "in a column whose header cell is empty");
            table->broken = true; /* the row is lost, and what it declares with it */
            return false;
        }
    }
    return true;
}

static bool all_digits(te_slice cell)
{
    for (size_t i = 0; i < cell.length; i++) {
        if (cell.bytes[i] < '0' || cell.bytes[i] > '9') {
            return false;
        }
    }
    return cell.length > 0;
}

/* A row that is one blank cell too long and has two whole numbers side by side may have had a
 * decimal comma, which has shifted the cells behind it. */
static void check_shifted(struct te_table *table)
{
    bool one_more = !table->row_bad && table->delimiter == ',' &&
                    table->cell_count == table->header_width + 1;
    for (size_t i = 0; one_more && i + 1 < table->header_width; i++) {
        if (all_digits(table->cells[i]) && all_digits(table->cells[i + 1])) {
            te_row_warning(
                table, -1, "if so write a point; else delete the comma at the end",
                "the row has one cell more than the header: is %.*s,%.*s a number with a "
                "decimal comma?",
                (int)table->cells[i].length, table->cells[i].bytes, (int)table->cells[i + 1].length,
                table->cells[i + 1].bytes);
            return;
        }
    }
}

/* Reports required cells that are blank, after the row's reader has told its scope. */
static void check_required(struct te_table *table)
{
    for (int i = 0; i < table->required_count; i++) {
        int column = table->required[i];
        if (te_cell(table, column).length == 0) {
            bool reading = strcmp(table->schema->columns[column].name, "reading") == 0;
            te_row_error(table, column, reading ? "measure it, or delete the row" : "fill it in",
                         "the cell is empty");
        }
    }
}

static bool is_blank_row(const struct te_table *table)
{
    for (size_t i = 0; i < table->cell_count; i++) {
        if (table->cells[i].length > 0) {
            return false;
        }
    }
    return true;
}

static const char comment_words[] = "the row begins with # and is not read";
static const char comment_remedy[] = "if it is meant to count, write its first cell";

/* True when a line, cut at the delimiters as it is, has something in that column. */
static bool is_filled(te_slice line, char delimiter, int column)
{
    size_t at = 0;
    for (int i = 0; i < column; i++) {
        const char *next = memchr(line.bytes + at, delimiter, line.length - at);
        if (next == NULL) {
            return false;
        }
        at = (size_t)(next - line.bytes) + 1;
    }
    const char *end = memchr(line.bytes + at, delimiter, line.length - at);
    size_t length = end == NULL ? line.length - at : (size_t)(end - line.bytes) - at;
    return te_text_trim((te_slice){line.bytes + at, length}).length > 0;
}

/* Would it be a row but for its first cell? Of a line that was not cut into cells, or of the row's cells. */
static bool lacks_its_first_alone(const struct te_table *table, te_slice line)
{
    for (int i = 0; i < table->required_count; i++) {
        int column = table->required[i];
        int at = table->cell_of[column];
        if (at > 0 && !(line.length > 0 ? is_filled(line, table->delimiter, at)
                                        : te_cell(table, column).length > 0)) {
            return false;
        }
    }
    return true;
}

/* `#` alone in the first cell may stand before a remark; before cells that would be a row, it is that row
 * that is not read. A row behind `# ` was put away on purpose. */
static void take_comment(void *context, te_slice text, uint32_t line)
{
    struct te_table *table = context;
    te_slice body = te_text_trim(text);
    bool alone = body.length > 1 && body.bytes[1] == table->delimiter;
    if (alone && table->header_done && !table->header_bad && lacks_its_first_alone(table, body)) {
        table->origin.line = line;
        table->scope = TE_SCOPE_ALL;
        te_row_warning(table, -1, comment_remedy, comment_words);
    }
}

/* The same of a row whose `#` stands in quotes. */
static void take_quoted_comment(struct te_table *table)
{
    const te_slice in_cells = {NULL, 0};
    bool alone = table->cells[0].length == 1;
    if (alone && table->header_done && !table->header_bad &&
        lacks_its_first_alone(table, in_cells)) {
        te_row_warning(table, -1, comment_remedy, comment_words);
    }
}

static te_status take_row(void *context, const te_slice *cells, size_t count, uint32_t line)
{
    struct te_table *table = context;
    table->cells = cells;
    table->cell_count = count;
    table->origin.line = line;
    table->scope = TE_SCOPE_ALL;
    table->scope_id = 0;
    table->row_bad = false;
    if (is_blank_row(table)) {
        return TE_OK;
    }
    if (cells[0].length > 0 && cells[0].bytes[0] == '#' && te_csv_is_comment(cells[0], '\0')) {
        take_quoted_comment(table);
        return TE_OK;
    }
    if (!table->header_done) {
        te_table_take_header(table);
    } else if (!table->header_bad) {
        table->rows++;
        if (row_is_whole(table)) {
            table->schema->row(table);
            check_required(table);
            check_shifted(table);
        }
    }
    return table->shop->out_of_memory ? TE_ERR_MEMORY : TE_OK;
}

static void take_fault(void *context, enum te_csv_fault fault, uint32_t line)
{
    static const struct {
        const char *what;
        const char *remedy;
    } words[] = {
        [TE_CSV_STRAY_QUOTE] = {"a quote stands where none may be",
                                "put the whole cell in quotes and double the quotes in it"},
        [TE_CSV_OPEN_QUOTE] = {"a quote is opened and never closed", "close it or take it out"},
        [TE_CSV_SWALLOWED] = {"a quoted cell holds what looks like rows",
                              "look for a stray quote in this row and the next"},
        [TE_CSV_CELL_TOO_LONG] = {"a cell is longer than 64 KiB",
                                  "look for a quote that is never closed"},
        [TE_CSV_TOO_MANY_COLUMNS] = {"the row has more than 1000 columns",
                                     "delete the surplus delimiters"},
        [TE_CSV_NUL] = {"the line holds a NUL byte", "save the file again as CSV in UTF-8"},
    };
    struct te_table *table = context;
    table->origin.line = line;
    table->scope = TE_SCOPE_ALL;
    table->broken = true;
    te_row_error(table, -1, words[fault].remedy, "%s", words[fault].what);
}

/* The four files without which nothing can be judged must hold rows; readings together. */
static void check_rows(struct te_table *table, const char *name)
{
    const unsigned needed = TE_FILE_ENGINES | TE_FILE_LIMITS | TE_FILE_INSPECTIONS;
    bool folder = strchr(name, '/') != NULL;
    table->origin.line = table->header_done ? table->origin.line : 0;
    table->scope = TE_SCOPE_ALL;
    if (table->schema->bit == TE_FILE_READINGS) {
        table->shop->reading_rows += table->rows;
    }
    if (!table->header_done) {
        const char *remedy = (table->schema->bit & needed) != 0
                                 ? "write its header row and the rows"
                             : !folder && table->schema->bit == TE_FILE_READINGS
                                 ? "write its header row and the rows, or delete the file when "
                                   "readings/ holds them"
                                 : "write its header row, or delete the file";
        te_row_error(table, -1, remedy, "the file is empty");
    } else if (table->rows == 0 && ((table->schema->bit & needed) != 0 || folder)) {
        te_row_error(table, -1,
                     folder ? "add the rows, or delete the file"
                            : "add the rows (one that begins with # is not read)",
                     "the file has a header row and nothing below it");
    }
}

/* Counts how the shop's files are written. */
static void note_dialect(const struct te_table *table)
{
    te_shop *shop = table->shop;
    if (!table->header_done || table->header_bad) {
        return;
    }
    if (table->delimiter != ',') {
        shop->comma_marks += table->mark == ',';
        shop->point_marks += table->mark == '.';
    }
    if (table->schema->bit == TE_FILE_INSPECTIONS) {
        shop->tables.inspection_delimiter = table->delimiter;
    }
    const size_t most = sizeof shop->delimiters / sizeof *shop->delimiters;
    bool counts = table->schema->bit == TE_FILE_READINGS;
    for (size_t i = 0; counts && i < most; i++) { /* GCOVR_EXCL_BR_LINE: there are three */
        struct delimiter_use *use = &shop->delimiters[i];
        if (use->files == 0 || use->delimiter == table->delimiter) {
            use->delimiter = table->delimiter;
            use->files++;
            break;
        }
    }
}

/* Takes the file's name into the shop's list. */
static bool enter_file(struct te_table *table, te_shop *shop, const struct te_schema *schema,
                       const char *name)
{
    *table = (struct te_table){.shop = shop, .schema = schema};
    for (size_t i = 0; i < TE_COLUMNS_MOST; i++) {
        table->cell_of[i] = -1;
    }
    for (int i = 0; schema->columns[i].name != NULL; i++) {
        if ((schema->columns[i].traits & TE_COLUMN_REQUIRED) != 0) {
            table->required[table->required_count++] = i;
        }
    }
    char *copy = malloc(strlen(name) + 1);
    if (copy == NULL || !VECTOR_ROOM(&shop->files)) {
        free(copy);
        return false;
    }
    memcpy(copy, name, strlen(name) + 1);
    shop->files.items[shop->files.count++] = copy;
    table->origin.file = (uint16_t)(shop->files.count - 1);
    return true;
}

/* Rows below a sound header in bulk, as far as they are plain. */
static te_status take_lines(void *context, const struct te_stream *stream, size_t *at,
                            uint32_t *line)
{
    struct te_table *table = context;
    if (!table->header_done || table->header_bad) {
        return TE_OK;
    }
    return te_plain_rows_take(table->plain, table, stream, at, line);
}

/* Readings are the one file that is large. False when out of memory. */
static bool open_plain_rows(struct te_csv_sink *sink, struct te_table *table)
{
    sink->by_libcsv = table->shop->by_libcsv;
    if (table->schema->bit != TE_FILE_READINGS || table->shop->by_libcsv) {
        return true;
    }
    table->plain = te_plain_rows_new(table->shop->threads, table->delimiter);
    sink->lines = table->plain == NULL ? NULL : take_lines;
    return table->plain != NULL;
}

static te_status read_rows(struct te_table *table, struct te_stream *stream)
{
    struct te_csv_sink sink = {.row = take_row,
                               .fault = take_fault,
                               .comment = take_comment,
                               .context = table,
                               .narrow = &table->narrow};
    size_t start = 0;
    uint32_t first_line = 1;
    if (stream->text.length == 0) {
        return stream->status;
    }
    table->delimiter = find_delimiter(stream->text, table->schema, &start, &first_line);
    if (!open_plain_rows(&sink, table)) {
        return TE_ERR_MEMORY;
    }
    return te_csv_read_stream(&sink, stream, start, table->delimiter, first_line);
}

/* What is told of a file when its rows are read; `errors`: how many problems there were before it. */
static void leave_file(struct te_table *table, const char *name, te_status status, size_t errors)
{
    te_shop *shop = table->shop;
    te_known_free(&table->known);
    te_plain_rows_end(table->plain);
    if (status == TE_OK && shop->problems->errors == errors) {
        check_rows(table, name);
    }
    note_dialect(table);
    if (shop->problems->errors > errors && (table->rows == 0 || table->broken)) {
        shop->failed_files |= table->schema->bit;
    }
}

te_status te_table_read_stream(te_shop *shop, const struct te_schema *schema, const char *name,
                               struct te_stream *stream)
{
    struct te_table table;
    size_t errors = shop->problems->errors;
    if (!enter_file(&table, shop, schema, name)) {
        return TE_ERR_MEMORY;
    }
    te_status status = read_rows(&table, stream);
    leave_file(&table, name, status, errors);
    return status;
}

/* False after a report: the bytes are not text. */
static bool tell_encoding(struct te_table *table, enum te_encoding encoding, te_status status,
                          size_t bad_line)
{
    if (status == TE_ERR_DATA) {
        table->origin.line = (uint32_t)bad_line;
        te_row_error(table, -1, "save the file again as CSV in UTF-8",
                     "the bytes are neither UTF-8 nor %s",
                     encoding == TE_ENCODING_UTF16 ? "UTF-16" : "Windows-1252");
        return false;
    }
    if (encoding == TE_ENCODING_CP1252) {
        table->scope = TE_SCOPE_NONE;
        te_row_warning(table, -1, "check names with accents, or save the file in UTF-8",
                       "the file is not UTF-8 and is read as Windows-1252");
    }
    return true;
}

te_status te_table_read(te_shop *shop, const struct te_schema *schema, const char *name,
                        te_slice bytes)
{
    struct te_table table;
    struct te_stream stream;
    te_slice text = {NULL, 0};
    char *owned = NULL;
    enum te_encoding encoding = TE_ENCODING_UTF8;
    size_t bad_line = 0;
    size_t errors = shop->problems->errors;
    if (!enter_file(&table, shop, schema, name)) {
        return TE_ERR_MEMORY;
    }
    te_status status = te_decode(&text, &owned, &encoding, &bad_line, bytes);
    if (status == TE_ERR_MEMORY) {
        return status;
    }
    if (tell_encoding(&table, encoding, status, bad_line)) {
        te_stream_of_text(&stream, text);
        status = read_rows(&table, &stream);
    } else {
        status = TE_OK;
    }
    leave_file(&table, name, status, errors);
    free(owned);
    return status;
}
