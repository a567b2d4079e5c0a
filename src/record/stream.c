/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "stream.h"

#include <stdlib.h>
#include <string.h>

#include "encoding.h"
#include "vector.h"

/* Lines marked GCOVR_EXCL_BR_LINE: memory or the disk fails, which tests/faults tries. */

enum { CHARACTER_MOST = 4 /* bytes of one in UTF-8 */ };

void te_stream_of_text(struct te_stream *stream, te_slice text)
{
    *stream = (struct te_stream){.text = text, .ended = true, .sound = text.length};
}

/* What was read is UTF-8, but for a character at its end that may go on. */
static bool is_sound(struct te_stream *stream)
{
    te_slice fresh = {stream->bytes + stream->sound, stream->text.length - stream->sound};
    stream->sound += te_utf8_sound(fresh);
    size_t left = stream->text.length - stream->sound;
    return left == 0 || (!stream->ended && left < CHARACTER_MOST);
}

/* An end-of-file mark that old programs append. */
static void drop_end_mark(struct te_stream *stream)
{
    size_t length = stream->text.length;
    if (stream->ended && length > 0 && stream->bytes[length - 1] == '\x1a') {
        stream->text.length--;
        stream->sound--;
    }
}

/* Fills the room behind the window. */
static void fill(struct te_stream *stream)
{
    bool bad = false;
    size_t length = stream->text.length;
    size_t room = stream->capacity - length;
    stream->moves++;
    size_t got = stream->read(&bad, stream->context, stream->bytes + length, room);
    stream->text = (te_slice){stream->bytes, length + got};
    stream->ended = got < room;
    if (bad) {
        stream->status = TE_ERR_IO;
    } else if (!is_sound(stream)) {
        stream->status = TE_ERR_DATA;
    } else {
        drop_end_mark(stream);
    }
}

void te_stream_start(struct te_stream *stream,
                     size_t (*read)(bool *bad, void *context, char *out, size_t room),
                     void *context, size_t window)
{
    *stream = (struct te_stream){.read = read, .context = context};
    if (!te_vector_reserve(&stream->bytes, &stream->capacity, window, 1)) {
        stream->status = TE_ERR_MEMORY;
        return;
    }
    fill(stream);
    te_slice body = te_text_without_marks(stream->text);
    stream->sound -= stream->text.length - body.length;
    stream->text = body;
}

bool te_stream_more(struct te_stream *stream, size_t from)
{
    if (stream->ended || stream->status != TE_OK) {
        return false;
    }
    size_t kept = stream->text.length - from;
    memmove(stream->bytes, stream->text.bytes + from, kept);
    stream->text = (te_slice){stream->bytes, kept};
    stream->sound -= from < stream->sound ? from : stream->sound;
    bool roomy = kept <= stream->capacity / 2 || /* GCOVR_EXCL_BR_LINE */
                 te_vector_reserve(&stream->bytes, &stream->capacity, stream->capacity + 1, 1);
    if (!roomy) { /* GCOVR_EXCL_BR_LINE */
        stream->status = TE_ERR_MEMORY;
        return false;
    }
    fill(stream);
    bool grown = stream->text.length > kept;
    return stream->status == TE_OK && grown; /* GCOVR_EXCL_BR_LINE */
}

void te_stream_free(struct te_stream *stream)
{
    free(stream->bytes);
    *stream = (struct te_stream){.ended = true};
}
