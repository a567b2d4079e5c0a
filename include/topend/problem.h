/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file problem.h  The list of what is wrong with the user's files, owned by the caller. */
#ifndef TOPEND_PROBLEM_H
#define TOPEND_PROBLEM_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "topend/status.h"

#ifdef __cplusplus
extern "C" {
#endif

typedef enum te_severity { TE_WARNING = 0, TE_ERROR = 1 } te_severity;

/** What a problem touches, so that the rest can still be judged. */
typedef enum te_scope {
    TE_SCOPE_ALL = 0,    /**< the row's engine cannot be told */
    TE_SCOPE_ENGINE,     /**< the engine named */
    TE_SCOPE_MODEL,      /**< every engine of the model named */
    TE_SCOPE_INSTRUMENT, /**< every engine measured with the instrument named */
    TE_SCOPE_NONE        /**< no engine: a spare, a column that is not read */
} te_scope;

/** Longest text of a part of a problem, with its terminator. */
#define TE_PROBLEM_TEXT 256

/** One problem.  All texts are safe to show (text.h). */
typedef struct te_problem {
    te_severity severity;
    te_scope scope;
    uint32_t scope_id;  /**< te_id of the engine, model or instrument; 0 when the scope has none */
    uint32_t line;      /**< 1 for the first line; 0: the file as a whole */
    uint32_t file_rank; /**< set by te_problems_add: order in which files were first named */
    uint32_t sequence;  /**< set by te_problems_add: order of finding */
    char file[TE_PROBLEM_TEXT];
    char column[64]; /**< empty: the row as a whole */
    char what[TE_PROBLEM_TEXT];
    char remedy[TE_PROBLEM_TEXT];
} te_problem;

/** Problems kept of one file and severity; further ones are counted only. */
#define TE_PROBLEMS_PER_FILE 50

/** How many more problems of a file there are than were kept. */
typedef struct te_problem_count {
    char file[TE_PROBLEM_TEXT];
    size_t errors;   /**< all errors of the file, kept ones included */
    size_t warnings; /**< likewise */
} te_problem_count;

/** The list.  Start with te_problems_init; all members may be read. */
typedef struct te_problems {
    te_problem *items;
    size_t count;
    size_t capacity;
    te_problem_count *files;
    size_t file_count;
    size_t file_capacity;
    uint32_t *by_name; /**< the places in files, in order of the names */
    size_t by_name_capacity;
    size_t last_file;   /**< of the problem added last: most follow one of the same file */
    size_t errors;      /**< all errors, also those past TE_PROBLEMS_PER_FILE */
    size_t warnings;    /**< likewise */
    bool touches_all;   /**< an error has the scope TE_SCOPE_ALL */
    bool out_of_memory; /**< a problem could not be kept; the list is not complete */
    uint32_t *touched;  /**< pairs (te_scope, te_id), one a distinct scope of an error */
    size_t touched_count;
    size_t touched_capacity;
} te_problems;

/** Makes an empty list.
 * @param[out] problems to be freed with te_problems_free
 */
void te_problems_init(te_problems *problems);

/** Frees what a list holds and leaves it empty.
 * @param[in,out] problems may be NULL
 */
void te_problems_free(te_problems *problems);

/** Adds a problem.  The texts are made safe to show and cut to size.
 * @param[in,out] problems the list; out_of_memory is set when it cannot grow
 * @param[in] problem copied; the texts in it may be raw
 */
void te_problems_add(te_problems *problems, const te_problem *problem);

/** True when an error has that very scope.
 * @param[in] problems the list
 * @param[in] scope TE_SCOPE_ENGINE, TE_SCOPE_MODEL or TE_SCOPE_INSTRUMENT
 * @param[in] id the engine, model or instrument
 */
bool te_problems_touch(const te_problems *problems, te_scope scope, uint32_t id);

/** Orders the problems by file as first seen, then line, then order of finding.
 * @param[in,out] problems the list
 */
void te_problems_sort(te_problems *problems);

#ifdef __cplusplus
}
#endif
#endif
