/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "te_shop_text.h"

#include <stdlib.h>
#include <string.h>

enum { FILES_MOST = 32 };

static size_t put(te_input *inputs, size_t count, const te_shop_file *file)
{
    size_t at = 0;
    while (at < count && strcmp(inputs[at].name, file->name) != 0)
        at++;
    assert_true(at < FILES_MOST);
    inputs[at] = (te_input){file->name, file->text, strlen(file->text)};
    return at == count ? count + 1 : count;
}

void te_made_read(te_made_shop *out, const te_shop_file *base, const te_shop_file *changes)
{
    te_input inputs[FILES_MOST];
    size_t count = 0;
    for (; base->name; base++)
        count = put(inputs, count, base);
    for (; changes && changes->name; changes++)
        count = put(inputs, count, changes);
    *out = (te_made_shop){0};
    te_problems_init(&out->problems);
    te_status status = te_shop_read(&out->shop, &out->problems, inputs, count, TE_FILE_EVERY);
    for (size_t i = 0; i < out->problems.count; i++) {
        const te_problem *p = &out->problems.items[i];
        if (p->severity == TE_ERROR)
            print_error("%s:%u: %s: %s; %s\n", p->file, (unsigned)p->line, p->column, p->what,
                        p->remedy);
    }
    assert_int_equal(status, TE_OK);
    out->tables = te_shop_tables(out->shop);
}

void te_made_free(te_made_shop *shop)
{
    te_shop_free(shop->shop);
    te_problems_free(&shop->problems);
    *shop = (te_made_shop){0};
}

uint32_t te_made_inspection(const te_made_shop *shop, const char *id)
{
    uint32_t row = te_shop_find_inspection(shop->shop, te_shop_find_text(shop->shop, id));
    if (row == TE_NO_INDEX)
        fail_msg("there is no inspection %s", id);
    return row;
}

uint32_t te_made_engine(const te_made_shop *shop, const char *id)
{
    uint32_t row = te_shop_find_engine(shop->shop, te_shop_find_text(shop->shop, id));
    if (row == TE_NO_INDEX)
        fail_msg("there is no engine %s", id);
    return row;
}

void te_assert_safe(const char *bytes, size_t length, bool ascii)
{
    for (size_t i = 0; i < length;) {
        uint32_t code = 0;
        size_t size = te_utf8_decode(&code, bytes + i, length - i);
        assert_true(size > 0);
        bool bidirectional = (code >= 0x202a && code <= 0x202e) ||
                             (code >= 0x2066 && code <= 0x2069) || code == 0x200e ||
                             code == 0x200f || code == 0x061c;
        bool control = (code < 0x20 && code != '\n') || (code >= 0x7f && code <= 0x9f) ||
                       code == 0x2028 || code == 0x2029;
        if (control || bidirectional || (ascii && code > 0x7e))
            fail_msg("U+%04X at %zu", (unsigned)code, i);
        i += size;
    }
}

void te_grown_add(te_grown *grown, const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    int added = vsnprintf(NULL, 0, format, arguments);
    va_end(arguments);
    assert_true(added >= 0);
    size_t needed = grown->length + (size_t)added + 1;
    if (needed > grown->capacity) {
        grown->capacity = 2 * needed;
        grown->text = realloc(grown->text, grown->capacity);
        assert_non_null(grown->text);
    }
    va_start(arguments, format);
    (void)vsnprintf(grown->text + grown->length, (size_t)added + 1, format, arguments);
    va_end(arguments);
    grown->length += (size_t)added;
}

void te_grown_free(te_grown *grown)
{
    free(grown->text);
    *grown = (te_grown){0};
}
