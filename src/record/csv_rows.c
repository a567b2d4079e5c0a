/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "csv_rows.h"

#include <csv.h>
#include <stdlib.h>
#include <string.h>

#include "plain_line.h"
#include "vector.h"

/* Lines marked GCOVR_EXCL_BR_LINE: memory or the disk fails, which tests/faults tries, or a line is longer than
 * a piece. */

enum {
    FAULTS_MOST = 50,
    SWALLOWED_DELIMITERS = 3, /* in one line of a quoted cell: such a cell is rows, not text */
    SWALLOWED_NARROW = 2,     /* in a file of up to four columns, none before a space as in prose */
    BLOCK = 4096,             /* by which libcsv's cell buffer grows */
    FIRST_WINDOW = 256,       /* searched for a line end at first: longer than most rows */
    PIECE = 1 << 20           /* of a line without an end: what is fed at once, and held */
};

struct reader {
    struct csv_parser parser;
    VECTOR(char) bytes;     /* the cells of the row */
    VECTOR(size_t) ends;    /* end of each cell in bytes */
    VECTOR(te_slice) cells; /* for the call of the sink; room for the most columns */
    size_t columns;         /* also those past the most */
    struct plain_marks marks;
    uint32_t row_line; /* line on which the row began */
    bool in_row;
    bool row_done;
    bool swallowed;
    bool too_long;
    te_status status;
    const struct te_csv_sink *sink;
};

/* The first line end in a window: both kinds are sought in the same bytes, so that a file with
 * one kind only is not searched to its end for the other at every line. */
static const char *find_line_end(const char *start, size_t length)
{
    const char *feed = memchr(start, '\n', length);
    const char *lone = memchr(start, '\r', feed == NULL ? length : (size_t)(feed - start));
    return lone == NULL ? feed : lone;
}

te_slice te_csv_line(te_slice text, size_t *at)
{
    const char *start = text.bytes + *at;
    size_t left = text.length - *at;
    const char *end = NULL;
    for (size_t window = FIRST_WINDOW; end == NULL; window *= 2) {
        end = find_line_end(start, window < left ? window : left);
        if (window >= left) {
            break;
        }
    }
    size_t length = end == NULL ? left : (size_t)(end - start) + 1;
    bool pair = end != NULL && *end == '\r' && length < left && start[length] == '\n';
    length += pair;
    *at += length;
    return (te_slice){start, length};
}

te_slice te_csv_line_body(te_slice line)
{
    while (line.length > 0 &&
           (line.bytes[line.length - 1] == '\n' || line.bytes[line.length - 1] == '\r')) {
        line.length--;
    }
    return line;
}

bool te_csv_is_comment(te_slice line, char delimiter)
{
    te_slice body = te_text_trim(line);
    if (body.length == 0 || body.bytes[0] != '#') {
        return false;
    }
    size_t before = (size_t)(body.bytes - line.bytes);
    if (memchr(line.bytes, delimiter, before) != NULL) {
        return false; /* tabs are trimmed too: the first cell is empty, `#` is in a later one */
    }
    if (body.length == 1 || body.bytes[1] == delimiter) {
        return true;
    }
    te_slice rest = {body.bytes + 1, body.length - 1};
    return te_text_trim(rest).bytes != rest.bytes;
}

/* libcsv asks for ever larger cells: past the cap it is told that memory ran out. */
static void *grow_cell(void *old, size_t size)
{
    return size > TE_CSV_CELL_MOST + BLOCK ? NULL : realloc(old, size);
}

static bool looks_swallowed(const char *cell, size_t length, char delimiter, bool narrow)
{
    size_t in_line = 0;
    size_t tight = 0; /* of them, those that no space follows */
    bool broken = memchr(cell, '\n', length) != NULL || memchr(cell, '\r', length) != NULL;
    for (size_t i = 0; broken && i < length; i++) {
        bool end = cell[i] == '\n' || cell[i] == '\r';
        bool mark = cell[i] == delimiter;
        bool spaced = i + 1 < length && cell[i + 1] == ' ';
        in_line = end ? 0 : in_line + mark;
        tight = end ? 0 : tight + (mark && !spaced);
        if (in_line >= SWALLOWED_DELIMITERS || (narrow && tight >= SWALLOWED_NARROW)) {
            return true;
        }
    }
    return false;
}

static void take_cell(void *cell, size_t length, void *context)
{
    struct reader *r = context;
    r->columns++;
    r->too_long = r->too_long || length > TE_CSV_CELL_MOST;
    if (r->status != TE_OK || r->columns > TE_CSV_COLUMNS_MOST) { /* GCOVR_EXCL_BR_LINE */
        return;
    }
    size_t needed = r->bytes.count + length + 1;
    bool room = te_vector_reserve(&r->bytes.items, &r->bytes.capacity, needed, 1);
    if (!room ||                  /* GCOVR_EXCL_BR_LINE */
        !VECTOR_ROOM(&r->ends)) { /* GCOVR_EXCL_BR_LINE */
        r->status = TE_ERR_MEMORY;
        return;
    }
    if (length > 0) {
        memcpy(r->bytes.items + r->bytes.count, cell, length);
        bool narrow = r->sink->narrow != NULL && *r->sink->narrow;
        r->swallowed = r->swallowed || looks_swallowed(cell, length, r->marks.delimiter, narrow);
    }
    r->bytes.count += length;
    r->ends.items[r->ends.count++] = r->bytes.count;
}

static void take_row(int terminator, void *context)
{
    struct reader *r = context;
    (void)terminator;
    r->row_done = true;
}

static te_status new_parser(struct reader *r)
{
    csv_free(&r->parser); /* one that is all zero holds nothing */
    int failed = csv_init(&r->parser, CSV_STRICT | CSV_STRICT_FINI);
    if (failed != 0) { /* GCOVR_EXCL_BR_LINE: as it would for NULL alone */
        return TE_ERR_MEMORY;
    }
    csv_set_delim(&r->parser, (unsigned char)r->marks.delimiter);
    csv_set_realloc_func(&r->parser, grow_cell);
    csv_set_blk_size(&r->parser, BLOCK);
    r->bytes.count = 0;
    r->ends.count = 0;
    r->columns = 0;
    r->in_row = false;
    r->row_done = false;
    r->swallowed = false;
    r->too_long = false;
    return TE_OK;
}

/* Hands the finished row to the sink. */
static te_status send_row(struct reader *r)
{
    size_t start = 0;
    for (size_t i = 0; i < r->ends.count; i++) {
        te_slice cell = {r->bytes.items + start, r->ends.items[i] - start};
        r->cells.items[i] = te_text_trim(cell);
        start = r->ends.items[i];
    }
    size_t count = r->ends.count;
    r->bytes.count = 0;
    r->ends.count = 0;
    r->columns = 0;
    r->in_row = false;
    r->row_done = false;
    return r->sink->row(r->sink->context, r->cells.items, count, r->row_line);
}

/* The fault that libcsv stopped on, or that only we look for; false: the row is sound. */
static bool find_fault(enum te_csv_fault *fault, const struct reader *r, int csv_status)
{
    if (csv_status == CSV_ENOMEM || r->too_long) { /* grow_cell keeps it from CSV_ETOOBIG */
        *fault = TE_CSV_CELL_TOO_LONG;
    } else if (csv_status != CSV_SUCCESS) {
        *fault = TE_CSV_STRAY_QUOTE;
    } else if (r->swallowed) {
        *fault = TE_CSV_SWALLOWED;
    } else if (r->columns > TE_CSV_COLUMNS_MOST) {
        *fault = TE_CSV_TOO_MANY_COLUMNS;
    } else {
        return false;
    }
    return true;
}

/* Feeds one line, or a piece of it; true when the row that it belongs to is faulty. */
static bool feed_line(enum te_csv_fault *fault, struct reader *r, te_slice line)
{
    if (memchr(line.bytes, '\0', line.length) != NULL) {
        *fault = TE_CSV_NUL;
        return true;
    }
    size_t taken = csv_parse(&r->parser, line.bytes, line.length, take_cell, take_row, r);
    int csv_status = taken == line.length ? CSV_SUCCESS : csv_error(&r->parser);
    if (csv_status == CSV_ENOMEM && r->parser.entry_pos < TE_CSV_CELL_MOST) {
        r->status = TE_ERR_MEMORY; /* short of the cap: memory itself ran out */
        return false;
    }
    return find_fault(fault, r, csv_status);
}

/* Ends the text: the last line may lack its end, or a quote may be open. */
static bool finish_text(enum te_csv_fault *fault, struct reader *r)
{
    if (!r->in_row) {
        return false;
    }
    if (csv_fini(&r->parser, take_cell, take_row, r) != 0) {
        *fault = TE_CSV_OPEN_QUOTE;
        return true;
    }
    return find_fault(fault, r, CSV_SUCCESS);
}

static void free_reader(struct reader *r)
{
    csv_free(&r->parser);
    free(r->bytes.items);
    free(r->ends.items);
    free(r->cells.items);
}

/* Where the reading stands. */
struct place {
    struct te_stream *stream;
    size_t at;             /* in the stream's window, as all that follows */
    uint32_t line;         /* lines begun so far */
    size_t after_row_line; /* where the line after the row's first begins, once that has ended */
    bool within;           /* the piece before ended within its line: what comes goes on with it */
    bool row_line_open;    /* and that line is the first of the row */
    bool skipping;         /* the rest of the line is passed over */
    unsigned faults;
    bool ended;
};

/* Sends the rows from here on that are plain to see. */
static void send_plain_rows(struct reader *r, struct place *place)
{
    const struct te_csv_sink *sink = r->sink;
    bool may = !r->in_row && !place->within && !sink->by_libcsv;
    while (may && r->status == TE_OK) {
        size_t count = 0;
        size_t next = 0;
        if (sink->lines != NULL) {
            r->status = sink->lines(sink->context, place->stream, &place->at, &place->line);
        }
        te_slice text = place->stream->text;
        may = r->status == TE_OK && /* GCOVR_EXCL_BR_LINE */
              te_plain_cut(r->cells.items, &count, &next, text, place->at, &r->marks);
        if (may) {
            place->at = next;
            place->line++;
            r->status = sink->row(sink->context, r->cells.items, count, place->line);
        }
    }
}

/* ---- lines, in pieces where they are long ---- */

/* Moves the window on, so that more of the line at hand stands in it. What a fault may go back to is kept. */
static bool move_window(struct reader *r, struct place *place)
{
    bool back = r->in_row && !place->row_line_open; /* GCOVR_EXCL_BR_LINE */
    size_t from = back ? place->after_row_line : place->at;
    (void)te_stream_more(place->stream, from);
    place->at -= from;
    place->after_row_line -= place->after_row_line < from ? place->after_row_line : from;
    r->status = place->stream->status;
    return r->status == TE_OK;
}

static bool has_end(te_slice line)
{
    char last = line.bytes[line.length - 1];
    return last == '\n' || last == '\r';
}

/* The next line, or a piece of it when it is long; `open`: it goes on. False at the end of the text, and when
 * that cannot be read. */
static bool next_line(te_slice *line, bool *open, struct reader *r, struct place *place)
{
    for (;;) {
        const struct te_stream *stream = place->stream;
        size_t next = place->at;
        if (next < stream->text.length) {
            *line = te_csv_line(stream->text, &next);
            bool at_edge = next == stream->text.length && !stream->ended;
            bool half_pair = at_edge && stream->text.bytes[next - 1] == '\r'; /* or a lone CR */
            *open = at_edge && !has_end(*line);
            if (!half_pair && (!*open || line->length >= PIECE)) {
                place->at = next;
                return true;
            }
        } else if (stream->ended) {
            return false;
        }
        if (!move_window(r, place)) { /* GCOVR_EXCL_BR_LINE */
            return false;
        }
    }
}

/* Passes a comment or a blank line over; false: it is a row's. A blank piece of a line says nothing yet, unless
 * there are cells in it. */
static bool skip_line(const struct reader *r, struct place *place, te_slice line, bool open)
{
    if (te_text_trim(line).length == 0) {
        bool cells = memchr(line.bytes, r->marks.delimiter, line.length) != NULL;
        return !open || !cells; /* GCOVR_EXCL_BR_LINE */
    }
    if (!te_csv_is_comment(line, r->marks.delimiter)) {
        return false;
    }
    if (r->sink->comment != NULL) {
        r->sink->comment(r->sink->context, te_csv_line_body(line), place->line);
    }
    place->skipping = open;
    return true;
}

/* Reads one line, or the end; true when that shows a fault. */
static bool step(enum te_csv_fault *fault, struct reader *r, struct place *place)
{
    te_slice line = {NULL, 0};
    bool open = false;
    if (!next_line(&line, &open, r, place)) {
        place->ended = true;
        return r->status == TE_OK && finish_text(fault, r); /* GCOVR_EXCL_BR_LINE */
    }
    bool goes_on = place->within;
    place->within = open;
    place->line += !goes_on;
    if (place->skipping) {
        place->skipping = open;
        return false;
    }
    if (!r->in_row && skip_line(r, place, line, open)) {
        return false;
    }
    if (!r->in_row || place->row_line_open) { /* GCOVR_EXCL_BR_LINE */
        r->row_line = place->line;
        r->in_row = true;
        place->row_line_open = open;
        place->after_row_line = place->at;
    }
    return feed_line(fault, r, line);
}

/* Tells the fault and goes back to the line after the row's first. */
static te_status recover(struct reader *r, struct place *place, enum te_csv_fault fault)
{
    if (fault == TE_CSV_NUL) {
        r->sink->fault(r->sink->context, fault, place->line);
        place->skipping = place->within;
    } else {
        r->sink->fault(r->sink->context, fault, r->row_line);
        place->at = place->after_row_line;
        place->line = r->row_line;
        place->within = place->row_line_open;
        place->skipping = place->row_line_open;
    }
    place->row_line_open = false;
    place->ended = ++place->faults >= FAULTS_MOST;
    return new_parser(r);
}

te_status te_csv_read_stream(const struct te_csv_sink *sink, struct te_stream *stream, size_t start,
                             char delimiter, uint32_t first_line)
{
    struct reader r = {.sink = sink};
    struct place place = {.stream = stream, .at = start, .line = first_line - 1};
    te_plain_marks(&r.marks, delimiter);
    r.status = te_vector_reserve(&r.cells.items, &r.cells.capacity, TE_CSV_COLUMNS_MOST,
                                 sizeof *r.cells.items)
                   ? new_parser(&r)
                   : TE_ERR_MEMORY;
    while (!place.ended && r.status == TE_OK) {
        enum te_csv_fault fault = TE_CSV_STRAY_QUOTE;
        send_plain_rows(&r, &place);
        bool faulty = r.status == TE_OK && step(&fault, &r, &place);
        if (r.status == TE_OK && faulty) {
            r.status = recover(&r, &place, fault);
        } else if (r.status == TE_OK && r.row_done) {
            r.status = send_row(&r);
        }
    }
    free_reader(&r);
    return r.status;
}

te_status te_csv_read(const struct te_csv_sink *sink, te_slice text, char delimiter,
                      uint32_t first_line)
{
    struct te_stream stream;
    te_stream_of_text(&stream, text);
    return te_csv_read_stream(sink, &stream, 0, delimiter, first_line);
}
