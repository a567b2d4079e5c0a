/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file status.h  What a function that can fail returns. */
#ifndef TOPEND_STATUS_H
#define TOPEND_STATUS_H

#ifdef __cplusplus
extern "C" {
#endif

/** 0 is success, below 0 no result was made.  Problems in the user's files are
 * not told by the status alone: they are listed in a te_problems (problem.h). */
typedef enum te_status {
    TE_OK = 0,
    TE_ERR_MEMORY = -1,   /**< an allocation failed */
    TE_ERR_IO = -2,       /**< the operating system refused a read or a write */
    TE_ERR_DATA = -3,     /**< the user's files hold errors; see the problem list */
    TE_ERR_DOMAIN = -4,   /**< an argument is outside the function's stated range */
    TE_ERR_SINGULAR = -5, /**< the equations do not determine the answer */
    TE_ERR_FULL = -6,     /**< a fixed capacity stated in the documentation is used up */
    TE_ERR_GLYPH = -7     /**< a character has no glyph in the installed fonts */
} te_status;

/** A short English text for a status.
 * @param[in] status any value, also one that is not listed above
 * @return a static string, never NULL
 */
const char *te_status_text(te_status status);

#ifdef __cplusplus
}
#endif
#endif
