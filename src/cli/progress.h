/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How far long work has come, in one line on a terminal; elsewhere nothing. */
#ifndef TOPEND_CLI_PROGRESS_H
#define TOPEND_CLI_PROGRESS_H

#include "cli.h"

/* Shows `done` of `all`, where there are more than a few. */
void progress_show(size_t done, size_t all, const char *what);

/* Ends the line, if there is one. */
void progress_end(void);

/* `other`, which may be NULL, and that shows how many readings there are by now. */
te_watch progress_watch(const te_watch *other);

#endif
