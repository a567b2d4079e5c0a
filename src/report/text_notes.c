/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What stands below the figures: shape, condition, what was assumed, cautions. */
#include "notes.h"
#include "text.h"

void te_text_wrapped(te_buffer *buffer, const te_buffer *text, const char *first, size_t indent,
                     size_t width)
{
    buffer->failed = buffer->failed || text->failed;
    te_put_wrapped(buffer, text->length == 0 ? "" : text->bytes, first, indent, width);
}

void te_text_entry(te_buffer *buffer, te_buffer *entry, size_t width)
{
    te_text_wrapped(buffer, entry, "  - ", 4, width);
    te_buffer_free(entry);
}

/* A list under its title, unless it is empty; frees it. */
static void put_list(const struct text *t, const char *title, te_buffer *lines)
{
    te_buffer_text(t->buffer, lines->length > 0 ? title : "");
    te_put_notes(t->buffer, lines, t->style->width);
    te_buffer_free(lines);
}

void te_text_notes(const struct text *t)
{
    te_buffer lines = {0};
    te_notes_shape(&lines, t->assessment);
    put_list(t, "\nShape of the bore (oval fitted to three or more directions)\n", &lines);
    te_notes_condition(&lines, t->shop, t->assessment);
    put_list(t, "\nCondition\n", &lines);
    te_notes_assumed(&lines, t->shop, t->assessment);
    put_list(t, "\nAssumed\n", &lines);
}

enum { NAMED_MOST = 12 /* of the engines that are left out; the messages name all */ };

void te_write_left_out(te_buffer *buffer, const te_shop *shop, const te_problems *problems,
                       const te_text_style *style)
{
    const te_tables *tables = te_shop_tables(shop);
    te_buffer line = {0};
    te_buffer names = {0};
    size_t count = 0;
    for (uint32_t i = 0; problems->errors > 0 && i < tables->engine_count; i++) {
        if (!te_shop_engine_touched(shop, problems, i)) {
            continue;
        }
        if (count++ < NAMED_MOST) {
            te_buffer_text(&names, count > 1 ? ", " : "");
            te_buffer_safe(&names, te_shop_text(shop, tables->engines[i].id));
        }
    }
    if (count > 0) {
        te_buffer_text(&line, "NOT ALL: errors touch ");
        te_put_count(&line, count);
        te_buffer_text(&line, " of ");
        te_put_count(&line, tables->engine_count);
        te_buffer_text(&line, " engines; what follows is without ");
        te_buffer_add(&line, names.bytes, names.length);
        te_buffer_text(&line, count > NAMED_MOST ? " and more, which the messages name" : "");
        te_text_wrapped(buffer, &line, "", 4, style->width);
    }
    buffer->failed = buffer->failed || names.failed;
    te_buffer_free(&names);
    te_buffer_free(&line);
}

void te_write_cautions(te_buffer *buffer, const te_text_style *style)
{
    te_buffer_text(buffer, "\nCautions\n");
    for (size_t i = 0; te_caution(i) != NULL; i++) {
        te_put_wrapped(buffer, te_caution(i), "  - ", 4, style->width);
    }
}
