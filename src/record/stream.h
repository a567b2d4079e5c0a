/* SPDX-License-Identifier: GPL-3.0-or-later */
/* UTF-8 text of any length, of which only a window is held. */
#ifndef TOPEND_RECORD_STREAM_H
#define TOPEND_RECORD_STREAM_H

#include <stdbool.h>

#include "topend/status.h"
#include "topend/text.h"

enum {
    TE_STREAM_WINDOW =
        1 << 20 /* bytes: threads that share a window have some milliseconds of work each */
};

struct te_stream {
    te_slice text; /* the window */
    bool ended;    /* nothing follows it */
    te_status status;
    /* Reads up to `room` bytes; fewer at the end alone. `bad`: the bytes cannot be read. NULL: the whole
     * text is the window. */
    size_t (*read)(bool *bad, void *context, char *out, size_t room);
    void *context;
    char *bytes; /* behind the window; NULL where it is the caller's */
    size_t capacity;
    size_t sound;   /* bytes of the window that are known to be UTF-8 */
    unsigned moves; /* how often the window was moved on */
};

/* A text that is at hand whole, borrowed. */
void te_stream_of_text(struct te_stream *stream, te_slice text);

/* A text that `read` gives piece by piece: fills the first window, and passes byte order marks over. `status`
 * tells how it went; te_stream_free in any case. */
void te_stream_start(struct te_stream *stream,
                     size_t (*read)(bool *bad, void *context, char *out, size_t room),
                     void *context, size_t window);

/* Drops the first `from` bytes of the window and adds what follows: as much as there is room for, at least one
 * byte. False at the end of the text, and when `status` has become TE_ERR_IO, TE_ERR_MEMORY, or TE_ERR_DATA: the
 * text is not UTF-8. A window ends anywhere, within a character too. */
bool te_stream_more(struct te_stream *stream, size_t from);

void te_stream_free(struct te_stream *stream);

#endif
