/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "topend/problem.h"

#include <stdlib.h>
#include <string.h>

#include "internal.h"
#include "topend/text.h"

void te_problems_init(te_problems *problems)
{
    *problems = (te_problems){0};
}

void te_problems_free(te_problems *problems)
{
    if (problems == NULL) {
        return;
    }
    free(problems->items);
    free(problems->files);
    free(problems->by_name);
    free(problems->touched);
    te_problems_init(problems);
}

static void copy_safe(char *out, size_t size, const char *text)
{
    (void)te_text_safe(out, size, (te_slice){text, strlen(text)});
}

/* Where a file stands in the order of names, or belongs: of tens of thousands each may have a
 * problem. */
static size_t named_at(const te_problems *problems, const char *file)
{
    size_t low = 0;
    size_t high = problems->file_count;
    while (low < high) {
        size_t middle = low + (high - low) / 2;
        if (strcmp(problems->files[problems->by_name[middle]].file, file) < 0) {
            low = middle + 1;
        } else {
            high = middle;
        }
    }
    return low;
}

/* The count of this file, or NULL: then `*at` is where it belongs in the order of names. */
static te_problem_count *counted(const te_problems *problems, size_t *at, const char *file)
{
    *at = 0;
    if (problems->files == NULL) {
        return NULL;
    }
    /* Most problems are of the file of the one before. */
    te_problem_count *last = &problems->files[problems->last_file];
    if (strcmp(last->file, file) == 0) {
        return last;
    }
    *at = named_at(problems, file);
    if (*at == problems->file_count) {
        return NULL;
    }
    te_problem_count *next = &problems->files[problems->by_name[*at]];
    return strcmp(next->file, file) == 0 ? next : NULL;
}

static te_problem_count *count_of(te_problems *problems, const char *file)
{
    size_t at;
    te_problem_count *known = counted(problems, &at, file);
    if (known != NULL) {
        problems->last_file = (size_t)(known - problems->files);
        return known;
    }
    size_t count = problems->file_count;
    /* The files last: where they are, there is one. */
    if (!te_vector_reserve(&problems->by_name, &problems->by_name_capacity, count + 1,
                           sizeof *problems->by_name) ||
        !te_vector_reserve(&problems->files, &problems->file_capacity, count + 1,
                           sizeof *problems->files)) {
        return NULL;
    }
    uint32_t *place = problems->by_name + at;
    memmove(place + 1, place, (count - at) * sizeof *place);
    *place = (uint32_t)count;
    problems->last_file = problems->file_count++;
    te_problem_count *made = &problems->files[count];
    *made = (te_problem_count){0};
    memcpy(made->file, file, strlen(file) + 1);
    return made;
}

static bool is_before(const uint32_t *pair, te_scope scope, uint32_t id)
{
    return pair[0] != (uint32_t)scope ? pair[0] < (uint32_t)scope : pair[1] < id;
}

/* Where a scope stands among the ordered pairs, or belongs: errors by the million touch engines by
 * the ten thousand. */
static size_t touched_at(const te_problems *problems, te_scope scope, uint32_t id)
{
    size_t low = 0;
    size_t high = problems->touched_count;
    while (low < high) {
        size_t middle = low + (high - low) / 2;
        if (is_before(problems->touched + 2 * middle, scope, id)) {
            low = middle + 1;
        } else {
            high = middle;
        }
    }
    return low;
}

static void remember_scope(te_problems *problems, te_scope scope, uint32_t id)
{
    if (scope == TE_SCOPE_ALL) {
        problems->touches_all = true;
        return;
    }
    if (scope == TE_SCOPE_NONE || te_problems_touch(problems, scope, id)) {
        return;
    }
    if (!te_vector_reserve(&problems->touched, &problems->touched_capacity,
                           2 * problems->touched_count + 2, sizeof *problems->touched)) {
        problems->out_of_memory = true;
        problems->touches_all = true;
        return;
    }
    size_t at = touched_at(problems, scope, id);
    uint32_t *pair = problems->touched + 2 * at;
    memmove(pair + 2, pair, 2 * (problems->touched_count - at) * sizeof *pair);
    pair[0] = (uint32_t)scope;
    pair[1] = id;
    problems->touched_count++;
}

void te_problems_add(te_problems *problems, const te_problem *problem)
{
    bool error = problem->severity == TE_ERROR;
    te_problem safe = *problem;
    copy_safe(safe.file, sizeof safe.file, problem->file);
    problems->errors += error;
    problems->warnings += !error;
    if (error) {
        remember_scope(problems, problem->scope, problem->scope_id);
    }
    te_problem_count *count = count_of(problems, safe.file);
    if (count == NULL) {
        problems->out_of_memory = true;
        return;
    }
    size_t *seen = error ? &count->errors : &count->warnings;
    (*seen)++;
    if (*seen > TE_PROBLEMS_PER_FILE) {
        return;
    }
    if (!te_vector_reserve(&problems->items, &problems->capacity, problems->count + 1,
                           sizeof *problems->items)) {
        problems->out_of_memory = true;
        return;
    }
    copy_safe(safe.column, sizeof safe.column, problem->column);
    copy_safe(safe.what, sizeof safe.what, problem->what);
    copy_safe(safe.remedy, sizeof safe.remedy, problem->remedy);
    safe.file_rank = (uint32_t)(count - problems->files);
    safe.sequence = (uint32_t)problems->count;
    problems->items[problems->count++] = safe;
}

/* Counts of a file those that the list no longer kept. */
static void join_count(te_problems *problems, const te_problems *more,
                       const te_problem_count *count)
{
    size_t errors = count->errors;
    size_t warnings = count->warnings;
    for (size_t i = 0; i < more->count; i++) {
        bool same = strcmp(more->items[i].file, count->file) == 0;
        errors -= same && more->items[i].severity == TE_ERROR;
        warnings -= same && more->items[i].severity != TE_ERROR;
    }
    te_problem_count *sum = count_of(problems, count->file);
    if (sum == NULL) {
        problems->out_of_memory = true;
        return;
    }
    sum->errors += errors;
    sum->warnings += warnings;
    problems->errors += errors;
    problems->warnings += warnings;
}

void te_problems_join(te_problems *problems, const te_problems *more)
{
    for (size_t i = 0; i < more->count; i++) {
        te_problems_add(problems, &more->items[i]);
    }
    for (size_t i = 0; i < more->file_count; i++) {
        join_count(problems, more, &more->files[i]);
    }
    for (size_t i = 0; i < more->touched_count; i++) {
        remember_scope(problems, (te_scope)more->touched[2 * i], more->touched[2 * i + 1]);
    }
    problems->touches_all = problems->touches_all || more->touches_all;
    problems->out_of_memory = problems->out_of_memory || more->out_of_memory;
}

bool te_problems_touch(const te_problems *problems, te_scope scope, uint32_t id)
{
    size_t at = touched_at(problems, scope, id);
    return at < problems->touched_count && problems->touched[2 * at] == (uint32_t)scope &&
           problems->touched[2 * at + 1] == id;
}

static int compare_problems(const void *left, const void *right)
{
    const te_problem *a = left;
    const te_problem *b = right;
    if (a->file_rank != b->file_rank) {
        return a->file_rank < b->file_rank ? -1 : 1;
    }
    if (a->line != b->line) {
        return a->line < b->line ? -1 : 1;
    }
    return (a->sequence > b->sequence) - (a->sequence < b->sequence);
}

void te_problems_sort(te_problems *problems)
{
    if (problems->count > 1) {
        qsort(problems->items, problems->count, sizeof *problems->items, compare_problems);
    }
}
