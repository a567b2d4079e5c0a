/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "put.h"

/* Texts of a problem are safe to show since it was added. */
static void put_problem(te_buffer *buffer, const te_problem *problem)
{
    te_buffer_text(buffer, problem->file);
    if (problem->line > 0) {
        te_buffer_text(buffer, ":");
        te_put_count(buffer, problem->line);
    }
    te_buffer_text(buffer, ": ");
    if (problem->column[0] != '\0') {
        te_buffer_text(buffer, problem->column);
        te_buffer_text(buffer, ": ");
    }
    te_buffer_text(buffer, problem->severity == TE_ERROR ? "error: " : "warning: ");
    te_buffer_text(buffer, problem->what);
    te_buffer_text(buffer, "; ");
    te_buffer_text(buffer, problem->remedy);
    te_buffer_text(buffer, "\n");
}

static void put_rest(te_buffer *buffer, const te_problem_count *count, size_t all,
                     const char *singular, const char *plural)
{
    if (all <= TE_PROBLEMS_PER_FILE) {
        return;
    }
    size_t more = all - TE_PROBLEMS_PER_FILE;
    te_buffer_text(buffer, count->file);
    te_buffer_text(buffer, ": and ");
    te_put_count(buffer, more);
    te_buffer_text(buffer, " more ");
    te_buffer_text(buffer, more == 1 ? singular : plural);
    te_buffer_text(buffer, "\n");
}

void te_write_problems(te_buffer *buffer, const te_problems *problems)
{
    for (size_t i = 0; i < problems->count; i++) {
        put_problem(buffer, &problems->items[i]);
    }
    for (size_t i = 0; i < problems->file_count; i++) {
        put_rest(buffer, &problems->files[i], problems->files[i].errors, "error", "errors");
        put_rest(buffer, &problems->files[i], problems->files[i].warnings, "warning", "warnings");
    }
}
