/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "plain_rows.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "plain_line.h"
#include "readings.h"
#include "threads.h"

/* Lines marked GCOVR_EXCL_BR_LINE: memory runs out, which tests/faults tries. */

enum {
    SHARE_LEAST = 1 << 16, /* bytes for which it is worth to start a thread */
    RUN_LEAST = 64         /* rows in a run that show that the setups are known by now */
};

/* Rows that were taken one after the other, of a window that several threads share. What stands between two
 * segments goes the long way. */
struct segment {
    size_t start, end; /* bytes of the window */
    size_t first;      /* reading */
    size_t count;
    uint32_t lines;
    bool taken;    /* its readings have a place in the shop's list: */
    size_t to;     /* there they begin */
    uint32_t line; /* their lines count from here */
};

/* One thread's part of a window. */
struct taker {
    struct te_table view; /* of the file: the row at hand is its own */
    const struct plain_marks *marks;
    te_slice text; /* the window */
    size_t start, end;
    te_reading_list *all;     /* the shop's */
    te_reading_list readings; /* their lines count from the segment's first, as 0 */
    VECTOR(struct segment) segments;
    bool out_of_memory;
    te_slice cells[TE_CSV_COLUMNS_MOST];
};

struct plain_rows {
    unsigned threads;
    struct taker *takers;
    struct plain_marks marks;
    bool settled; /* rows are clear for the most part */
    /* What was read ahead of a window: */
    bool ahead;
    unsigned moves; /* which it was */
    unsigned taker; /* segments up to here are behind */
    size_t segment;
};

struct plain_rows *te_plain_rows_new(unsigned threads, char delimiter)
{
    struct plain_rows *plain = calloc(1, sizeof *plain);
    unsigned some = threads < 1 ? 1 : threads < TE_THREADS_MOST ? threads : TE_THREADS_MOST;
    struct taker *takers = calloc(some, sizeof *takers);
    if (plain == NULL || takers == NULL) {
        free(plain);
        free(takers);
        return NULL;
    }
    *plain = (struct plain_rows){.threads = some, .takers = takers};
    te_plain_marks(&plain->marks, delimiter);
    return plain;
}

/* Puts the readings of taken segments where their place is. A thread does so before it takes its next part: to
 * copy all of them is a good part of the work, for memory that is new. */
static void settle(struct taker *taker)
{
    for (size_t i = 0; i < taker->segments.count; i++) {
        const struct segment *segment = &taker->segments.items[i];
        for (size_t j = 0; segment->taken && j < segment->count; j++) {
            te_reading *reading = &taker->all->items[segment->to + j];
            *reading = taker->readings.items[segment->first + j];
            reading->line += segment->line;
        }
    }
    taker->segments.count = 0;
    taker->readings.count = 0;
}

void te_plain_rows_end(struct plain_rows *plain)
{
    for (unsigned i = 0; plain != NULL && i < plain->threads; i++) {
        settle(&plain->takers[i]);
        free(plain->takers[i].readings.items);
        free(plain->takers[i].segments.items);
    }
    free(plain == NULL ? NULL : plain->takers);
    free(plain);
}

/* ---- a row ---- */

/* The id of a text that the shop has already; false: it is new. */
static bool find_text(te_id *id, const struct te_table *table, int column)
{
    te_slice cell = te_cell(table, column);
    *id = te_names_find(&table->shop->names, cell);
    return cell.length == 0 || *id != 0;
}

/* What the readings of a row have in common. */
struct row {
    const te_setup *setup;
    uint32_t inspection;
    te_id part;
    uint32_t line;
    uint16_t file;
};

/* Adds the value of a column; false: it is not clear. */
static bool add_value(te_reading_list *out, const struct row *row, const struct te_table *table,
                      int column)
{
    te_number number = {0};
    const te_setup *setup = row->setup;
    te_slice cell = te_cell(table, column);
    if (cell.length == 0) {
        return column > READ_VALUE_1; /* the first is required */
    }
    bool clear = te_number_parse(&number, cell) == TE_NUMBER_GOOD && number.exponent == 0 &&
                 (number.mark == 0 || number.mark == table->mark) &&
                 te_in_range(number.value, te_value_range(setup)) && VECTOR_ROOM(out) &&
                 out->count < TE_READINGS_MOST;
    if (!clear) {
        return false;
    }
    /* Member by member, where it stays: to copy what was just put together would wait for it. */
    te_reading *reading = &out->items[out->count++];
    reading->setup = setup;
    reading->inspection = row->inspection;
    reading->part = row->part;
    reading->line = row->line;
    reading->file = row->file;
    reading->dropped = 0;
    te_reading_set(reading, number.value, number.decimals, column);
    return isnan(setup->no_go) || setup->no_go > reading->value;
}

/* Adds the readings of a row; false, and nothing is added: it is not clear. Out of memory is not clear either: the
 * long way will tell. */
static bool add_row(te_reading_list *out, struct te_table *table, uint32_t line)
{
    te_slice setup_cells[TE_SETUP_CELLS];
    struct row row = {.line = line, .file = table->origin.file};
    te_slice name = te_cell(table, READ_INSPECTION);
    size_t before = out->count;
    if (name.length == 0 || table->any_nameless || table->cell_count > table->header_width) {
        return false;
    }
    te_setup_cells(setup_cells, table);
    row.inspection = te_row_find_inspection(table, name);
    row.setup = te_known_find(&table->last_known, &table->known, setup_cells);
    bool clear = row.inspection != TE_NO_INDEX && row.setup != NULL &&
                 find_text(&row.part, table, READ_PART);
    for (int column = READ_VALUE_1; clear && column <= READ_VALUE_5; column++) {
        clear = add_value(out, &row, table, column);
    }
    out->count = clear ? out->count : before;
    return clear;
}

/* Takes rows up to the first that is not clear, or `end`; returns how many. */
static uint32_t take_rows(te_reading_list *out, struct taker *taker, size_t *at, size_t end,
                          uint32_t line)
{
    uint32_t lines = 0;
    size_t next = 0;
    te_slice text = {taker->text.bytes, end};
    taker->view.cells = taker->cells;
    while (te_plain_cut(taker->cells, &taker->view.cell_count, &next, text, *at, taker->marks) &&
           add_row(out, &taker->view, line + lines)) {
        lines++;
        *at = next;
    }
    return lines;
}

/* ---- a window that threads share ---- */

static size_t line_end(te_slice text, size_t at)
{
    const char *feed = memchr(text.bytes + at, '\n', text.length - at);
    return feed == NULL ? text.length : (size_t)(feed - text.bytes) + 1;
}

/* Takes all rows of a part that are clear. Some may stand within a quoted cell: which are rows is told when the
 * segments are put together. */
static void *take_part(void *context)
{
    struct taker *taker = context;
    te_slice part = {taker->text.bytes, taker->end};
    settle(taker);
    for (size_t at = taker->start; at < taker->end; at = line_end(part, at)) {
        struct segment segment = {.start = at, .first = taker->readings.count};
        segment.lines = take_rows(&taker->readings, taker, &at, taker->end, 0);
        segment.end = at;
        segment.count = taker->readings.count - segment.first;
        if (!VECTOR_ROOM(&taker->segments)) { /* GCOVR_EXCL_BR_LINE */
            taker->out_of_memory = true;
            break;
        }
        taker->segments.items[taker->segments.count++] = segment;
    }
    return NULL;
}

static void prepare(struct taker *taker, const struct plain_rows *plain,
                    const struct te_table *table, te_slice text)
{
    taker->view = *table;
    taker->all = &table->shop->readings;
    taker->marks = &plain->marks;
    taker->text = text;
}

/* Cuts what is left of the window into parts that end with a line feed. */
static unsigned share_window(struct plain_rows *plain, const struct te_table *table, te_slice text,
                             size_t at)
{
    size_t left = text.length - at;
    unsigned parts = left / SHARE_LEAST < plain->threads ? (unsigned)(left / SHARE_LEAST)
                                                         : plain->threads;
    size_t start = at;
    for (unsigned i = 0; i < parts; i++) {
        struct taker *taker = &plain->takers[i];
        size_t middle = at + left * (i + 1) / parts;
        prepare(taker, plain, table, text);
        taker->start = start;
        taker->end = middle > start ? line_end(text, middle - 1) : start;
        start = taker->end;
    }
    return parts;
}

/* Reads the window ahead, each part by a thread of its own. */
static te_status read_ahead(struct plain_rows *plain, const struct te_table *table,
                            const struct te_stream *stream, size_t at)
{
    unsigned parts = share_window(plain, table, stream->text, at);
    bool out_of_memory = false;
    te_threads_run(take_part, plain->takers, sizeof *plain->takers, parts);
    for (unsigned i = 0; i < plain->threads; i++) {
        struct taker *taker = &plain->takers[i];
        if (i >= parts) {
            settle(taker);
        }
        out_of_memory = out_of_memory || taker->out_of_memory; /* GCOVR_EXCL_BR_LINE */
    }
    plain->ahead = true;
    plain->moves = stream->moves;
    plain->taker = 0;
    plain->segment = 0;
    return out_of_memory ? TE_ERR_MEMORY : TE_OK; /* GCOVR_EXCL_BR_LINE */
}

/* The segment that begins at `at`, or the next one; NULL: what was read ahead is behind. Those within a row of
 * several lines are passed over: such a row ends with a quote, whose line is in no segment. */
static struct segment *next_segment(struct plain_rows *plain, size_t at)
{
    for (; plain->taker < plain->threads; plain->taker++, plain->segment = 0) {
        struct taker *taker = &plain->takers[plain->taker];
        for (; plain->segment < taker->segments.count; plain->segment++) {
            struct segment *segment = &taker->segments.items[plain->segment];
            if (segment->start >= at) {
                return segment;
            }
        }
    }
    return NULL;
}

/* Gives the readings of a segment their place. */
static te_status add_segment(te_reading_list *all, struct segment *segment, uint32_t line)
{
    if (segment->count > TE_READINGS_MOST - all->count || /* GCOVR_EXCL_BR_LINE: some 130 GB */
        !te_vector_reserve(&all->items, &all->capacity, all->count + segment->count,
                           sizeof *all->items)) {
        return TE_ERR_MEMORY;
    }
    segment->taken = true;
    segment->to = all->count;
    segment->line = line;
    all->count += segment->count;
    return TE_OK;
}

/* ---- what is taken ---- */

/* Reads rows where they stand; returns how many were clear. */
static uint32_t take_here(struct plain_rows *plain, struct te_table *table, te_slice text,
                          size_t *at, uint32_t *line)
{
    struct taker *taker = &plain->takers[0];
    prepare(taker, plain, table, text);
    uint32_t lines = take_rows(&table->shop->readings, taker, at, text.length, *line + 1);
    *line += lines;
    table->rows += lines;
    return lines;
}

/* Takes segments that were read ahead, one behind the other. */
static te_status take_ahead(struct plain_rows *plain, struct te_table *table, size_t *at,
                            uint32_t *line)
{
    te_status status = TE_OK;
    struct segment *segment = next_segment(plain, *at);
    while (status == TE_OK && segment != NULL && segment->start == *at) {
        status = add_segment(&table->shop->readings, segment, *line + 1);
        *at = segment->end;
        *line += segment->lines;
        table->rows += segment->lines;
        plain->segment++;
        segment = next_segment(plain, *at);
    }
    return status;
}

te_status te_plain_rows_take(struct plain_rows *plain, struct te_table *table,
                             const struct te_stream *stream, size_t *at, uint32_t *line)
{
    te_status status = TE_OK;
    te_slice text = stream->text;
    bool ahead = plain->ahead && plain->moves == stream->moves;
    bool worth = plain->threads > 1 && plain->settled && text.length - *at >= 2 * SHARE_LEAST;
    if (!ahead && worth) {
        status = read_ahead(plain, table, stream, *at);
        ahead = true;
    }
    if (ahead && status == TE_OK) { /* GCOVR_EXCL_BR_LINE */
        status = take_ahead(plain, table, at, line);
    } else if (status == TE_OK) { /* GCOVR_EXCL_BR_LINE */
        uint32_t lines = take_here(plain, table, text, at, line);
        plain->settled = plain->settled || lines >= RUN_LEAST;
    }
    return status;
}
