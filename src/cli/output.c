/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <errno.h>
#include <langinfo.h>
#include <locale.h>
#include <pthread.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/ioctl.h>
#include <sys/stat.h>
#include <unistd.h>

#include "progress.h"

enum { PIPED_WIDTH = 80, LEAST_WIDTH = 60 };

/* True when this locale's characters are UTF-8. Only the class of characters is taken from the
 * locale, never its numbers. */
static bool speaks_utf8(void)
{
    return setlocale(LC_CTYPE, "") != NULL && strcmp(nl_langinfo(CODESET), "UTF-8") == 0;
}

te_text_style output_style(void)
{
    te_text_style style = {.width = PIPED_WIDTH, .utf8 = speaks_utf8()};
    struct winsize window = {0};
    if (isatty(STDOUT_FILENO) == 0) {
        return style;
    }
    if (ioctl(STDOUT_FILENO, TIOCGWINSZ, &window) == 0 && window.ws_col > 0) {
        style.width = window.ws_col < LEAST_WIDTH ? LEAST_WIDTH : window.ws_col;
    }
    const char *no_colour = getenv("NO_COLOR");
    const char *terminal = getenv("TERM");
    bool dumb = terminal == NULL || (terminal[0] == 'd' && terminal[1] == 'u');
    style.colour = !dumb && (no_colour == NULL || no_colour[0] == '\0');
    return style;
}

bool output_is_terminal(void)
{
    return isatty(STDOUT_FILENO) != 0;
}

sigset_t output_hold_signals(void)
{
    sigset_t ending;
    sigset_t before;
    (void)sigemptyset(&ending);
    (void)sigaddset(&ending, SIGINT);
    (void)sigaddset(&ending, SIGTERM);
    (void)sigaddset(&ending, SIGHUP);
    (void)pthread_sigmask(SIG_BLOCK, &ending, &before);
    return before;
}

void output_release_signals(const sigset_t *before)
{
    (void)pthread_sigmask(SIG_SETMASK, before, NULL);
}

/* Writes to a file so that a signal leaves whole rows in it. A pipe may keep us waiting: there the signal counts
 * at once. */
static bool write_out(const te_buffer *buffer)
{
    struct stat about;
    bool file = fstat(STDOUT_FILENO, &about) == 0 && S_ISREG(about.st_mode);
    if (!file) {
        return fwrite(buffer->bytes, 1, buffer->length, stdout) == buffer->length;
    }
    sigset_t before = output_hold_signals();
    bool good = fwrite(buffer->bytes, 1, buffer->length, stdout) == buffer->length &&
                fflush(stdout) == 0;
    output_release_signals(&before);
    return good;
}

bool output_flush(te_buffer *buffer)
{
    if (buffer->failed) {
        (void)fail("out of memory");
        return false;
    }
    if (buffer->length > 0 && !write_out(buffer)) {
        return false; /* main tells it, once */
    }
    buffer->length = 0;
    return true;
}

bool output_problems(const te_problems *problems)
{
    te_buffer buffer = {0};
    te_write_problems(&buffer, problems);
    if (buffer.failed) {
        (void)fail("out of memory");
    } else if (buffer.length > 0) {
        (void)fwrite(buffer.bytes, 1, buffer.length, stderr);
    }
    bool good = !buffer.failed;
    te_buffer_free(&buffer);
    return good;
}

bool open_shop(te_shop **shop, te_problems *problems, const char *folder, unsigned files,
               const te_watch *watch, unsigned threads)
{
    struct stat about;
    char shown[SHOWN_SIZE];
    *shop = NULL;
    if (stat(folder, &about) != 0) {
        (void)fail(errno == ENOENT ? "there is no folder \"%s\""
                                   : "\"%s\" cannot be read; check the path and its permissions",
                   show(shown, folder));
        return false;
    }
    if (!S_ISDIR(about.st_mode)) {
        (void)fail("\"%s\" is not a folder; name the folder that holds the shop's files",
                   show(shown, folder));
        return false;
    }
    te_watch both = progress_watch(watch);
    te_status status = te_shop_open_watched(shop, problems, folder, files, &both, threads);
    progress_end();
    if (status == TE_ERR_MEMORY) {
        (void)fail("out of memory");
        return false;
    }
    return true;
}
