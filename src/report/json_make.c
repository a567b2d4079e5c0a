/* SPDX-License-Identifier: GPL-3.0-or-later */
/* JSON by jansson; all that is not ASCII is escaped, and so is DEL, so that no character of the
 * files can act on a terminal. */
#include "json.h"

#include <math.h>
#include <string.h>

#define DEL        '\x7f'
#define DUMP_FLAGS (JSON_ENSURE_ASCII | JSON_REAL_PRECISION(9) | JSON_COMPACT)

json_t *te_json_number(double value)
{
    return isnan(value) ? json_null() : json_real(value == 0.0 ? 0.0 : value);
}

json_t *te_json_id(const te_shop *shop, te_id id)
{
    return id == 0 ? json_null() : json_string(te_shop_text(shop, id));
}

json_t *te_json_buffer(te_buffer *buffer)
{
    json_t *text = buffer->failed
                       ? NULL
                       : json_stringn(buffer->length == 0 ? "" : buffer->bytes, buffer->length);
    te_buffer_free(buffer);
    return text;
}

json_t *te_json_date(te_date date)
{
    char text[11];
    te_date_format(text, date);
    return date == TE_NO_DATE ? json_null() : json_string(text);
}

json_t *te_json_appended(json_t *list, json_t *entry)
{
    if (json_array_append_new(list, entry) != 0) {
        json_decref(list);
        return NULL;
    }
    return list;
}

void te_json_put(struct te_json_object *object, const char *key, json_t *value)
{
    /* Keys are words of the program's own. */
    if (json_object_set_new_nocheck(object->json, key, value) != 0) {
        object->failed = true;
    }
}

void te_json_put_number(struct te_json_object *object, const char *key, bool there, double value)
{
    te_json_put(object, key, te_json_number(there ? value : NAN));
}

json_t *te_json_whole(struct te_json_object *object)
{
    if (object->failed) {
        json_decref(object->json);
        return NULL;
    }
    return object->json;
}

json_t *te_json_readings(const te_shop *shop, const te_observations *pool, const te_form *form)
{
    const te_tables *tables = te_shop_tables(shop);
    json_t *list = json_array();
    for (size_t i = 0; i < form->count; i++) {
        const te_observation *x = &pool->items[form->observation[i]];
        if (x->reading == TE_NO_INDEX) {
            continue; /* assumed */
        }
        te_origin origin = te_reading_origin(&tables->readings[x->reading]);
        /* A file may be named by bytes that are not UTF-8: its name goes out as it is shown. */
        te_buffer file = {0};
        te_buffer_safe(&file, tables->files[origin.file]);
        struct te_json_object entry = {.json = json_object()};
        te_json_put(&entry, "file", te_json_buffer(&file));
        te_json_put(&entry, "line", json_integer((json_int_t)origin.line));
        te_json_put(&entry, "coefficient", json_real(form->coefficient[i]));
        te_json_put(&entry, "value", te_json_number(x->value));
        list = te_json_appended(list, te_json_whole(&entry));
    }
    return list;
}

static int append(const char *bytes, size_t size, void *context)
{
    te_buffer *buffer = context;
    te_buffer_add(buffer, bytes, size);
    return buffer->failed ? -1 : 0;
}

/* jansson leaves DEL as it is; it can stand in a string only. Hardly any text has one, so what was
 * written is looked through once. */
static void escape_del(te_buffer *buffer, size_t start)
{
    if (buffer->failed || buffer->length == start ||
        memchr(buffer->bytes + start, DEL, buffer->length - start) == NULL) {
        return;
    }
    te_buffer escaped = {0};
    for (size_t i = start; i < buffer->length; i++) {
        bool del = buffer->bytes[i] == DEL;
        te_buffer_add(&escaped, del ? "\\u007f" : buffer->bytes + i, del ? 6 : 1);
    }
    buffer->length = start;
    te_buffer_add(buffer, escaped.bytes, escaped.length);
    buffer->failed = buffer->failed || escaped.failed;
    te_buffer_free(&escaped);
}

void te_json_dump(te_buffer *buffer, json_t *value, size_t flags)
{
    size_t start = buffer->length;
    if (value == NULL || json_dump_callback(value, append, buffer, DUMP_FLAGS | flags) != 0) {
        buffer->failed = true;
    }
    escape_del(buffer, start);
    json_decref(value);
}

void te_json_head(te_buffer *buffer, const te_shop *shop, const char *version)
{
    const te_tables *tables = te_shop_tables(shop);
    char tool[64] = "topend ";
    for (size_t i = 0, at = 7; version[i] != '\0' && at + 1 < sizeof tool; i++, at++) {
        tool[at] = version[i];
        tool[at + 1] = '\0';
    }
    te_buffer_text(buffer, "{\"tool\":");
    te_json_dump(buffer, json_string(tool), JSON_ENCODE_ANY);
    te_buffer_text(buffer, ",\"rule\":");
    te_json_dump(buffer, json_string(tables->rule == TE_RULE_SIMPLE ? "simple" : "guarded"),
                 JSON_ENCODE_ANY);
    te_buffer_text(buffer, ",\"confidence\":");
    te_json_dump(buffer, json_real(tables->confidence), JSON_ENCODE_ANY);
}

json_t *te_json_parts(const te_shop *shop, te_id part, te_id second, te_kind second_kind)
{
    te_buffer parts = {0};
    te_buffer_text(&parts, te_shop_text(shop, part));
    if (second_kind != TE_KIND_NONE) {
        te_buffer_text(&parts, "+");
        te_buffer_text(&parts, te_shop_text(shop, second));
    }
    return te_json_buffer(&parts);
}
