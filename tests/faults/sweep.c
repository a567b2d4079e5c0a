/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Runs a command with its first allocation failing, then with the second, and so on until none fails:
 *
 *   sweep [--step K] [--file PATH] [--fresh FOLDER] [--may-abort] SHIM PROGRAM ARGUMENT...
 *
 * SHIM is fail_alloc as a shared object, or - when the program has it inside. Once that allocation fails
 * alone, once all after it too. --step takes every K-th. What must hold of each run: either exit 2 with a message on standard
 * error and nothing on standard output, or all as in the undisturbed run. --file: the file that the command
 * writes; there is an old one before every other run, and after a run the new one, whole, or what was there.
 * --fresh: the folder that the command makes; it is not there before a run, nor after one that failed. The folder
 * of --file holds nothing but that file.
 * --may-abort: the process may also abort, as pango does, or ask without end (it is ended after 5 s), and what
 * it writes may be another PDF; but the file is as before, or whole.
 *
 * Exit: 0 all good, 1 not, 2 the work could not be done.
 */
#include <dirent.h>
#include <errno.h>
#include <fcntl.h>
#include <signal.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

struct bytes {
    char *text;
    size_t length;
    bool there;
};

struct result {
    int status;
    bool failed; /* an allocation did */
    struct bytes out, err, file;
};

static const char *shim, *file, *folder, *fresh;
static bool may_abort;
static const char old[] = "the old one\n";

static void give_up(const char *what)
{
    perror(what);
    exit(2);
}

static struct bytes slurp(const char *path)
{
    struct bytes b = {NULL, 0, false};
    struct stat about;
    FILE *from = fopen(path, "rb");
    if (from == NULL) {
        return b;
    }
    b.there = true;
    if (fstat(fileno(from), &about) != 0) {
        give_up(path);
    }
    b.text = malloc((size_t)about.st_size + 1);
    if (b.text == NULL) {
        give_up("malloc");
    }
    b.length = fread(b.text, 1, (size_t)about.st_size, from);
    (void)fclose(from);
    return b;
}

static bool same(const struct bytes *a, const struct bytes *b)
{
    return a->there == b->there && a->length == b->length &&
           (a->length == 0 || memcmp(a->text, b->text, a->length) == 0);
}

static void remove_tree(const char *path)
{
    int status = 0;
    pid_t child = fork();
    if (child == 0) {
        (void)execlp("rm", "rm", "-rf", "--", path, (char *)NULL);
        _exit(127);
    }
    if (child < 0 || waitpid(child, &status, 0) != child || status != 0) {
        give_up("rm");
    }
}

/* True when beside the file, or in place of the folder to be made, something stands. */
static bool is_left_over(bool refused)
{
    struct stat about;
    bool found = refused && fresh != NULL && lstat(fresh, &about) == 0;
    if (file == NULL) {
        return found;
    }
    char path[4096];
    (void)snprintf(path, sizeof path, "%s", file);
    char *name = strrchr(path, '/');
    if (name == NULL) {
        give_up("--file without a folder");
    }
    *name++ = '\0';
    DIR *around = opendir(path);
    if (around == NULL) {
        give_up(path);
    }
    for (const struct dirent *entry = readdir(around); entry != NULL; entry = readdir(around)) {
        found = found || (strcmp(entry->d_name, ".") != 0 && strcmp(entry->d_name, "..") != 0 &&
                          strcmp(entry->d_name, name) != 0);
    }
    (void)closedir(around);
    return found;
}

static void put_old(bool there)
{
    if (fresh != NULL) {
        remove_tree(fresh);
    }
    if (file == NULL) {
        return;
    }
    (void)unlink(file);
    if (there) {
        FILE *to = fopen(file, "wb");
        if (to == NULL || fputs(old, to) < 0 || fclose(to) != 0) {
            give_up(file);
        }
    }
}

static const char *path_of(const char *name)
{
    static char path[2][4096];
    static int next;
    next = 1 - next;
    (void)snprintf(path[next], sizeof path[next], "%s/%s", folder, name);
    return path[next];
}

static void become(char **command, unsigned long at, bool on, int told)
{
    char number[32];
    int out = open(path_of("out"), O_WRONLY | O_CREAT | O_TRUNC, 0600);
    int err = open(path_of("err"), O_WRONLY | O_CREAT | O_TRUNC, 0600);
    if (out < 0 || err < 0 || dup2(out, 1) < 0 || dup2(err, 2) < 0 || dup2(told, 9) < 0) {
        _exit(127);
    }
    (void)snprintf(number, sizeof number, "%lu", at);
    if (at > 0) {
        (void)setenv("FAIL_AT", number, 1);
    }
    if (on) {
        (void)setenv("FAIL_ON", "1", 1);
    }
    if (strcmp(shim, "-") != 0) {
        (void)setenv("LD_PRELOAD", shim, 1);
    }
    (void)alarm(may_abort ? 5 : 0); /* pango may also ask for memory without end */
    (void)execv(command[0], command);
    _exit(127);
}

static struct result run(char **command, unsigned long at, bool on)
{
    struct result r = {0};
    int told[2];
    char byte;
    if (pipe(told) != 0 || fcntl(told[0], F_SETFL, O_NONBLOCK) != 0 ||
        fcntl(told[1], F_SETFL, O_NONBLOCK) != 0) {
        give_up("pipe");
    }
    pid_t child = fork();
    if (child < 0) {
        give_up("fork");
    }
    if (child == 0) {
        become(command, at, on, told[1]);
    }
    if (waitpid(child, &r.status, 0) != child) {
        give_up("waitpid");
    }
    r.failed = read(told[0], &byte, 1) == 1;
    (void)close(told[0]);
    (void)close(told[1]);
    r.out = slurp(path_of("out"));
    r.err = slurp(path_of("err"));
    r.file = file == NULL ? (struct bytes){NULL, 0, false} : slurp(file);
    return r;
}

static void free_result(struct result *r)
{
    free(r->out.text);
    free(r->err.text);
    free(r->file.text);
}

/* A PDF to its end. Its texts may be others: out of memory, pango may set one without its glyphs. */
static bool is_whole(const struct bytes *pdf)
{
    static const char end[] = "%%EOF\n";
    return pdf->length > sizeof end && memcmp(pdf->text, "%PDF", 4) == 0 &&
           memcmp(pdf->text + pdf->length - (sizeof end - 1), end, sizeof end - 1) == 0;
}

/* Why a run is not as it must be; NULL when it is. */
static const char *fault_of(const struct result *r, const struct result *plain, bool had_old)
{
    const struct bytes before = {(char *)old, had_old ? sizeof old - 1 : 0, had_old};
    bool aborted = WIFSIGNALED(r->status) && WTERMSIG(r->status) == SIGABRT;
    bool refused = WIFEXITED(r->status) && WEXITSTATUS(r->status) == 2;
    bool file_before = file == NULL || same(&r->file, &before);
    if (is_left_over(refused)) {
        return "something is left behind";
    }
    if (r->status == plain->status && same(&r->out, &plain->out) && same(&r->file, &plain->file) &&
        (same(&r->err, &plain->err) || may_abort)) {
        return NULL;
    }
    if (may_abort && !(refused && r->err.length > 0)) {
        return file_before || is_whole(&r->file) ? NULL
                                                 : "the file is neither the old one nor whole";
    }
    if (aborted || !refused) {
        return "neither exit 2 nor the undisturbed exit";
    }
    if (r->err.length == 0) {
        return "no message";
    }
    if (r->out.length > 0) {
        return "something on standard output";
    }
    return file_before ? NULL : "the file is not as it was";
}

static size_t sweep(char **command, const struct result *plain, bool on, unsigned long step,
                    unsigned long *count)
{
    size_t wrong = 0;
    for (unsigned long at = 1;; at += step) {
        bool had_old = at % 2 == 0;
        put_old(had_old);
        struct result r = run(command, at, on);
        const char *fault = fault_of(&r, plain, had_old);
        if (fault != NULL && wrong++ < 5) {
            (void)fprintf(stderr, "allocation %lu%s: %s (status %d)\n%.*s\n", at,
                          on ? " and all after it" : "", fault, r.status,
                          (int)(r.err.length < 2000 ? r.err.length : 2000),
                          r.err.text == NULL ? "" : r.err.text);
        }
        bool more = r.failed;
        free_result(&r);
        if (!more) {
            return wrong;
        }
        ++*count;
    }
}

int main(int argc, char **argv)
{
    unsigned long step = 1;
    unsigned long count = 0;
    int at = 1;
    for (; at < argc && strncmp(argv[at], "--", 2) == 0; at++) {
        if (strcmp(argv[at], "--may-abort") == 0) {
            may_abort = true;
        } else if (strcmp(argv[at], "--step") == 0 && at + 1 < argc) {
            step = strtoul(argv[++at], NULL, 10);
        } else if (strcmp(argv[at], "--file") == 0 && at + 1 < argc) {
            file = argv[++at];
        } else if (strcmp(argv[at], "--fresh") == 0 && at + 1 < argc) {
            fresh = argv[++at];
        }
    }
    folder = getenv("SWEEP_FOLDER");
    if (at + 2 > argc || step == 0 || folder == NULL) {
        (void)fprintf(stderr,
                      "usage: SWEEP_FOLDER=DIR sweep [--step K] [--file PATH] [--fresh FOLDER] "
                      "[--may-abort] SHIM PROGRAM ARGUMENT...\n");
        return 2;
    }
    shim = argv[at++];
    char **command = &argv[at];
    put_old(false);
    struct result plain = run(command, 0, false);
    if (!WIFEXITED(plain.status) || WEXITSTATUS(plain.status) == 127 ||
        (file != NULL && !plain.file.there)) {
        (void)fprintf(stderr, "the undisturbed run fails: %d\n%.*s\n", plain.status,
                      (int)plain.err.length, plain.err.text == NULL ? "" : plain.err.text);
        return 2;
    }
    size_t wrong = sweep(command, &plain, false, step, &count);
    unsigned long alone = count;
    wrong += sweep(command, &plain, true, step, &count);
    printf("%lu + %lu allocations failed, %zu runs not as they must be\n", alone, count - alone,
           wrong);
    free_result(&plain);
    return wrong > 0 || alone == 0 ? 1 : 0;
}
