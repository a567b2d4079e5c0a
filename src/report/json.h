/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Pieces of JSON outputs. A piece that cannot be made is NULL, which every taker passes on. */
#ifndef TOPEND_REPORT_JSON_H
#define TOPEND_REPORT_JSON_H

#include <jansson.h>

#include "put.h"

/* null for NAN. */
json_t *te_json_number(double value);

/* null for the empty text. */
json_t *te_json_id(const te_shop *shop, te_id id);

/* The text of a buffer, which is freed; NULL when memory ran out. */
json_t *te_json_buffer(te_buffer *buffer);

/* null for no date. */
json_t *te_json_date(te_date date);

/* The readings of a form: file, line, coefficient, value; what is assumed has none. */
json_t *te_json_readings(const te_shop *shop, const te_observations *pool, const te_form *form);

/* The findings of an assessment. */
json_t *te_json_findings(const te_shop *shop, const te_assessment *assessment);

/* A list with an entry added; both are freed and NULL is the answer when that fails. */
json_t *te_json_appended(json_t *list, json_t *entry);

/* An object while it is filled: the first failure sticks, and every value is taken over whatever
 * happened before, so that nothing is left behind. */
struct te_json_object {
    json_t *json;
    bool failed;
};

void te_json_put(struct te_json_object *object, const char *key, json_t *value);

/* null unless `there`. */
void te_json_put_number(struct te_json_object *object, const char *key, bool there, double value);

/* The object, or NULL when a part of it could not be made. */
json_t *te_json_whole(struct te_json_object *object);

/* The parts of a quantity as they are written in the files: JSON escapes what is not safe to show. */
json_t *te_json_parts(const te_shop *shop, te_id part, te_id second, te_kind second_kind);

/* Writes a value and frees it; a NULL one marks the buffer as failed. */
void te_json_dump(te_buffer *buffer, json_t *value, size_t flags);

/* `{"tool":...,"rule":...,"confidence":...`, without an end. */
void te_json_head(te_buffer *buffer, const te_shop *shop, const char *version);

#endif
