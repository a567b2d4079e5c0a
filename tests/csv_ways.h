/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A CSV text read in every way that there is: the short one for plain lines, libcsv alone, and window by window,
 * from very small ones on. All give the same rows and faults at the same lines. */
#ifndef TOPEND_TESTS_CSV_WAYS_H
#define TOPEND_TESTS_CSV_WAYS_H

#include "te_test.h"

#include <string.h>

#include "csv_rows.h"
#include "encoding.h"

/* What came out: counts, and a hash of all of it in order (FNV-1a). */
typedef struct ways_seen {
    uint64_t hash;
    size_t rows, faults;
} ways_seen;

static inline void ways_mix(ways_seen *s, const void *bytes, size_t length)
{
    const unsigned char *at = bytes;
    for (size_t i = 0; i < length; i++)
        s->hash = (s->hash ^ at[i]) * 0x100000001b3U;
}

static inline te_status ways_row(void *context, const te_slice *cells, size_t count, uint32_t line)
{
    ways_seen *s = context;
    ways_mix(s, &line, sizeof line);
    for (size_t i = 0; i < count; i++) {
        ways_mix(s, &cells[i].length, sizeof cells[i].length);
        ways_mix(s, cells[i].bytes, cells[i].length);
    }
    s->rows++;
    return TE_OK;
}

static inline void ways_fault(void *context, enum te_csv_fault fault, uint32_t line)
{
    ways_seen *s = context;
    ways_mix(s, &fault, sizeof fault);
    ways_mix(s, &line, sizeof line);
    s->faults++;
}

static inline void ways_comment(void *context, te_slice text, uint32_t line)
{
    (void)text; /* of a long one a piece is told */
    ways_mix(context, &line, sizeof line);
}

static inline size_t ways_read(bool *bad, void *context, char *out, size_t room)
{
    te_slice *rest = context;
    size_t length = rest->length < room ? rest->length : room;
    memcpy(out, rest->bytes, length);
    *rest = (te_slice){rest->bytes + length, rest->length - length};
    *bad = false;
    return length;
}

static inline void ways_same(const ways_seen *a, const ways_seen *b, const char *way, size_t window)
{
    if (a->hash != b->hash || a->rows != b->rows || a->faults != b->faults)
        fail_msg("%s (%zu): %zu rows and %zu faults, or others than the %zu and %zu", way, window,
                 b->rows, b->faults, a->rows, a->faults);
}

/* Fails when one way differs from the others. The text is UTF-8 or not; as a stream only when it is. */
static inline void csv_every_way(te_slice text, char delimiter)
{
    static const size_t windows[] = {8, 13, 64, 301, 4096, TE_STREAM_WINDOW};
    const ways_seen none = {.hash = 0xcbf29ce484222325U};
    ways_seen plain = none;
    ways_seen slow = none;
    struct te_csv_sink sink = {
        .row = ways_row, .fault = ways_fault, .comment = ways_comment, .context = &plain};
    assert_int_equal(te_csv_read(&sink, text, delimiter, 1), TE_OK);
    sink.context = &slow;
    sink.by_libcsv = true;
    assert_int_equal(te_csv_read(&sink, text, delimiter, 1), TE_OK);
    ways_same(&plain, &slow, "libcsv", 0);
    bool marked = te_text_without_marks(text).length < text.length ||
                  (text.length > 0 && text.bytes[text.length - 1] == '\x1a');
    bool streams = !marked && te_utf8_sound(text) == text.length;
    for (size_t i = 0; streams && i < sizeof windows / sizeof *windows; i++) {
        te_slice rest = text;
        ways_seen piecewise = none;
        struct te_stream stream;
        if (text.length / windows[i] > 2000)
            continue; /* a large text in tiny windows takes long and shows no more */
        sink.context = &piecewise;
        sink.by_libcsv = i % 2 == 1;
        te_stream_start(&stream, ways_read, &rest, windows[i]);
        assert_int_equal(te_csv_read_stream(&sink, &stream, 0, delimiter, 1), TE_OK);
        ways_same(&plain, &piecewise, "in windows", windows[i]);
        te_stream_free(&stream);
    }
}

#endif
