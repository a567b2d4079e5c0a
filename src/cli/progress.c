/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "progress.h"

#include <stdio.h>
#include <unistd.h>

enum {
    FEW = 16,             /* items that are done before anybody wonders */
    READINGS_FEW = 100000 /* likewise */
};

/* Whether the cursor stands behind a line of ours: a program has one terminal. */
static bool line_open;

static bool is_terminal(void)
{
    return isatty(STDERR_FILENO) != 0;
}

void progress_show(size_t done, size_t all, const char *what)
{
    if (all > FEW && is_terminal()) {
        (void)fprintf(stderr, "\r%zu of %zu %s", done, all, what);
        line_open = true;
    }
}

void progress_end(void)
{
    if (line_open) {
        (void)fputc('\n', stderr);
    }
    line_open = false;
}

static void show_readings(void *context, size_t readings)
{
    (void)context;
    if (readings > READINGS_FEW) {
        (void)fprintf(stderr, "\r%zu readings", readings);
        line_open = true;
    }
}

te_watch progress_watch(const te_watch *other)
{
    te_watch watch = other == NULL ? (te_watch){NULL, NULL, NULL} : *other;
    watch.grown = is_terminal() ? show_readings : NULL;
    return watch;
}
