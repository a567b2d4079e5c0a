/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Files: any bytes to UTF-8 and to rows. Rows without a fault come back as they are when they are
 * written with every cell in quotes. The first byte picks the delimiter. */
#include "fuzz.h"

#include <string.h>

#include "record/csv_rows.h"
#include "record/encoding.h"
#include "topend/write.h"

/* Rows as they come: each cell with its length before it, so that no two lists look alike. */
struct seen {
    te_buffer rows;
    te_buffer quoted;
    size_t faults;
    uint32_t line;
    char delimiter;
    bool by_libcsv;
};

static void put_quoted(te_buffer *out, te_slice cell)
{
    te_buffer_text(out, "\"");
    for (size_t i = 0; i < cell.length; i++) {
        te_buffer_text(out, cell.bytes[i] == '"' ? "\"" : "");
        te_buffer_add(out, cell.bytes + i, 1);
    }
    te_buffer_text(out, "\"");
}

static te_status take_row(void *context, const te_slice *cells, size_t count, uint32_t line)
{
    struct seen *seen = context;
    MUST(count > 0 && count <= TE_CSV_COLUMNS_MOST);
    MUST(line >= seen->line);
    seen->line = line;
    for (size_t i = 0; i < count; i++) {
        MUST(cells[i].length <= TE_CSV_CELL_MOST);
        te_buffer_add(&seen->rows, (const char *)&cells[i].length, sizeof cells[i].length);
        te_buffer_add(&seen->rows, cells[i].bytes, cells[i].length);
        te_buffer_add(&seen->quoted, &seen->delimiter, i > 0);
        put_quoted(&seen->quoted, cells[i]);
    }
    te_buffer_text(&seen->rows, "\n");
    te_buffer_text(&seen->quoted, "\n");
    return TE_OK;
}

static void take_fault(void *context, enum te_csv_fault fault, uint32_t line)
{
    struct seen *seen = context;
    MUST(fault <= TE_CSV_NUL);
    MUST(line > 0);
    seen->faults++;
}

static void read_rows(struct seen *seen, te_slice text)
{
    const struct te_csv_sink sink = {
        .row = take_row, .fault = take_fault, .context = seen, .by_libcsv = seen->by_libcsv};
    MUST(te_csv_read(&sink, text, seen->delimiter, 1) == TE_OK);
}

/* The short way for plain lines gives what libcsv gives. */
static void read_by_libcsv(const struct seen *first, te_slice text)
{
    struct seen slow = {.delimiter = first->delimiter, .by_libcsv = true};
    read_rows(&slow, text);
    MUST(slow.faults == first->faults);
    MUST(slow.line == first->line);
    MUST(slow.rows.length == first->rows.length);
    MUST(slow.rows.length == 0 ||
         memcmp(slow.rows.bytes, first->rows.bytes, slow.rows.length) == 0);
    te_buffer_free(&slow.rows);
    te_buffer_free(&slow.quoted);
}

static void read_twice(te_slice text, char delimiter)
{
    struct seen first = {.delimiter = delimiter};
    struct seen second = {.delimiter = delimiter};
    read_rows(&first, text);
    read_by_libcsv(&first, text);
    if (first.faults == 0 && first.quoted.length > 0) {
        read_rows(&second, (te_slice){first.quoted.bytes, first.quoted.length});
        MUST(second.faults == 0);
        MUST(second.rows.length == first.rows.length);
        MUST(memcmp(second.rows.bytes, first.rows.bytes, first.rows.length) == 0);
    }
    te_buffer_free(&first.rows);
    te_buffer_free(&first.quoted);
    te_buffer_free(&second.rows);
    te_buffer_free(&second.quoted);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    static const char delimiters[] = {',', ';', '\t'};
    te_slice text = {NULL, 0};
    char *owned = NULL;
    enum te_encoding encoding = TE_ENCODING_UTF8;
    size_t bad_line = 0;
    if (size == 0) {
        return 0;
    }
    const te_slice bytes = {(const char *)data + 1, size - 1};
    te_status status = te_decode(&text, &owned, &encoding, &bad_line, bytes);
    MUST(status == TE_OK || status == TE_ERR_DATA);
    MUST(status == TE_OK || bad_line > 0);
    for (size_t i = 0; status == TE_OK && i < text.length;) {
        uint32_t code = 0;
        size_t length = te_utf8_decode(&code, text.bytes + i, text.length - i);
        MUST(length > 0);
        i += length;
    }
    if (status == TE_OK) {
        read_twice(text, delimiters[data[0] % 3]);
    }
    free(owned);
    return 0;
}
