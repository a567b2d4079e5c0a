/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Text and targets that are not ours, as parts of an HTML document. */
#include <string.h>

#include "html.h"

static const char *reference_of(char c)
{
    switch (c) {
    case '&': return "&amp;";
    case '<': return "&lt;";
    case '>': return "&gt;";
    case '"': return "&quot;";
    case '\'': return "&#39;";
    default: return NULL;
    }
}

void te_html_escape_bytes(te_buffer *buffer, const char *text, size_t length)
{
    size_t plain = 0; /* the first byte that is not written yet */
    for (size_t i = 0; i < length; i++) {
        const char *reference = reference_of(text[i]);
        if (reference != NULL) {
            te_buffer_add(buffer, text + plain, i - plain);
            te_buffer_text(buffer, reference);
            plain = i + 1;
        }
    }
    te_buffer_add(buffer, text + plain, length - plain);
}

void te_html_escape(te_buffer *buffer, const char *text)
{
    te_html_escape_bytes(buffer, text, strlen(text));
}

bool te_html_is_relative(const char *target)
{
    /* A colon would make it a scheme, a leading slash another folder or host; browsers take a
     * backslash for a slash. */
    if (*target == '\0' || *target == '/' || strpbrk(target, ":\\") != NULL) {
        return false;
    }
    for (const char *part = target; part != NULL; part = strchr(part, '/')) {
        part += *part == '/';
        size_t length = strcspn(part, "/");
        if (length == 0 || (length == 2 && memcmp(part, "..", 2) == 0)) {
            return false;
        }
    }
    return true;
}

void te_html_percent(te_buffer *buffer, const char *target)
{
    static const char hex[] = "0123456789ABCDEF";
    static const char kept[] =
        "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789-._~/";
    for (const char *c = target; *c != '\0'; c++) {
        if (strchr(kept, *c) != NULL) {
            te_buffer_add(buffer, c, 1);
        } else {
            unsigned byte = (unsigned char)*c;
            const char code[] = {'%', hex[byte >> 4], hex[byte & 15]};
            te_buffer_add(buffer, code, sizeof code);
        }
    }
}

const char *te_html_weight(te_weight weight)
{
    switch (weight) {
    case TE_WEIGHT_PLAIN: break;
    case TE_WEIGHT_STRONG: return "strong";
    case TE_WEIGHT_QUIET: return "quiet";
    case TE_WEIGHT_GOOD: return "good";
    case TE_WEIGHT_WARNING: return "warning";
    case TE_WEIGHT_BAD: return "bad";
    }
    return "";
}
