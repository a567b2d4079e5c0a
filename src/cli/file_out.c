/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "file_out.h"

#include <dirent.h>
#include <errno.h>
#include <fcntl.h>
#include <libgen.h>
#include <limits.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>
#include <sys/stat.h>
#include <unistd.h>

#include "cli.h"

/* ---- where ---- */

/* The folder that a path is in, to be freed; NULL when memory is out. */
static char *folder_of(const char *path)
{
    char *copy = strdup(path);
    if (copy == NULL) {
        return NULL;
    }
    char *folder = strdup(dirname(copy));
    free(copy);
    return folder;
}

/* The last word of a path. */
static const char *name_of(const char *path)
{
    const char *slash = strrchr(path, '/');
    return slash == NULL ? path : slash + 1;
}

static bool same_file(const struct stat *a, const struct stat *b)
{
    return a->st_dev == b->st_dev && a->st_ino == b->st_ino;
}

/* True when two paths name one folder that is there. */
static bool same_folder(const char *a, const char *b)
{
    struct stat left;
    struct stat right;
    return stat(a, &left) == 0 && stat(b, &right) == 0 && same_file(&left, &right);
}

static bool is_csv(const char *name)
{
    size_t length = strlen(name);
    return length > 4 && strcasecmp(name + length - 4, ".csv") == 0;
}

/* True when a path leads, through links or by another name of the same file, to a file of a folder
 * that the shop is read from. */
static bool is_file_of(const char *path, const char *folder)
{
    struct stat target;
    struct stat about;
    DIR *list = stat(path, &target) == 0 && S_ISREG(target.st_mode) ? opendir(folder) : NULL;
    bool found = false;
    if (list == NULL) {
        return false;
    }
    for (struct dirent *entry = readdir(list); entry != NULL && !found; entry = readdir(list)) {
        found = is_csv(entry->d_name) && fstatat(dirfd(list), entry->d_name, &about, 0) == 0 &&
                same_file(&target, &about);
    }
    (void)closedir(list);
    return found;
}

static bool is_in(const char *path, const char *folder)
{
    char *in = folder_of(path);
    bool found = in != NULL && same_folder(in, folder);
    free(in);
    return found;
}

/* A shop's readings/ without a file in it, to be freed; NULL when memory is out. */
static char *readings_of(const char *folder)
{
    size_t size = strlen(folder) + sizeof "/readings";
    char *readings = malloc(size);
    if (readings != NULL) {
        (void)snprintf(readings, size, "%s/readings", folder);
    }
    return readings;
}

/* A new file that is read as readings: where a sheet is filled in. */
bool file_out_is_new_readings(const char *path, const char *folder)
{
    struct stat about;
    char *readings = readings_of(folder);
    bool is_new = lstat(path, &about) != 0 && errno == ENOENT;
    bool there = readings != NULL &&
                 ((is_csv(name_of(path)) && is_in(path, readings)) ||
                  (strcmp(name_of(path), "readings.csv") == 0 && is_in(path, folder)));
    free(readings);
    return is_new && there;
}

/* Everything in a shop folder that ends in .csv is read or warned of, and everything in readings/;
 * their files may be links to files elsewhere. */
bool file_out_allowed(const char *path, const char *folder)
{
    char shown[SHOWN_SIZE];
    char *readings = readings_of(folder);
    char *copy = strdup(path);
    if (readings == NULL || copy == NULL) {
        free(readings);
        free(copy);
        (void)fail("out of memory");
        return false;
    }
    const char *name = basename(copy); /* without slashes behind it */
    bool input = (is_in(path, folder) && (is_csv(name) || strcmp(name, "readings") == 0)) ||
                 is_in(path, readings) || same_folder(path, readings) || is_file_of(path, folder) ||
                 is_file_of(path, readings);
    free(readings);
    free(copy);
    if (input) {
        (void)fail("\"%s\" would be a file of the shop itself; write it elsewhere",
                   show(shown, path));
    }
    return !input;
}

/* ---- writing ---- */

static bool write_all(int file, const char *bytes, size_t length)
{
    while (length > 0) {
        ssize_t done = write(file, bytes, length);
        if (done < 0 && errno == EINTR) {
            continue;
        }
        if (done <= 0) {
            return false;
        }
        bytes += done;
        length -= (size_t)done;
    }
    return true;
}

/* The mode of the file that is replaced, else that of a new file of this user. */
static mode_t mode_of(const char *path)
{
    struct stat about;
    if (lstat(path, &about) == 0 && S_ISREG(about.st_mode)) {
        return about.st_mode & (mode_t)(S_IRWXU | S_IRWXG | S_IRWXO);
    }
    mode_t mask = umask(0);
    (void)umask(mask);
    return (mode_t)(S_IRUSR | S_IWUSR | S_IRGRP | S_IWGRP | S_IROTH | S_IWOTH) & ~mask;
}

/* Fills the temporary file and gives it its name; it is removed when something fails. */
static bool write_and_rename(int file, const char *temporary, const char *path, const char *bytes,
                             size_t length)
{
    bool good = write_all(file, bytes, length) && fchmod(file, mode_of(path)) == 0 &&
                fsync(file) == 0;
    int reason = errno;
    if (close(file) != 0 && good) {
        good = false;
        reason = errno;
    }
    if (good && rename(temporary, path) != 0) {
        good = false;
        reason = errno;
    }
    if (!good) {
        (void)unlink(temporary);
    }
    errno = reason;
    return good;
}

/* A name is safe on the disk only when its folder is. */
static void sync_folder(const char *folder)
{
    int handle = open(folder, O_RDONLY | O_DIRECTORY | O_CLOEXEC);
    if (handle >= 0) {
        (void)fsync(handle); /* some file systems cannot: the file is there all the same */
        (void)close(handle);
    }
}

/* ---- a signal while a file is under way ---- */

/* The temporary file, for the handler, which may do little else than to remove it. */
static char under_way[PATH_MAX];

static void remove_and_end(int number)
{
    (void)unlink(under_way);
    (void)signal(number, SIG_DFL);
    (void)raise(number);
}

static const int ending_signals[] = {SIGINT, SIGTERM, SIGHUP};
enum { ENDING_SIGNALS = sizeof ending_signals / sizeof *ending_signals };

/* What ends the program removes the temporary file first; what it ignores, it goes on ignoring. */
static void guard(struct sigaction before[ENDING_SIGNALS], const char *temporary)
{
    struct sigaction action = {.sa_handler = remove_and_end};
    (void)sigemptyset(&action.sa_mask);
    (void)snprintf(under_way, sizeof under_way, "%s", temporary);
    for (int i = 0; i < ENDING_SIGNALS; i++) {
        (void)sigaction(ending_signals[i], NULL, &before[i]);
        if (before[i].sa_handler == SIG_DFL) {
            (void)sigaction(ending_signals[i], &action, NULL);
        }
    }
}

static void unguard(const struct sigaction before[ENDING_SIGNALS])
{
    for (int i = 0; i < ENDING_SIGNALS; i++) {
        (void)sigaction(ending_signals[i], &before[i], NULL);
    }
}

/* Only a plain file, or nothing, may be replaced. */
static bool may_replace(const char *path)
{
    struct stat about;
    return lstat(path, &about) != 0 || S_ISREG(about.st_mode);
}

bool file_out_write(const char *path, const char *bytes, size_t length)
{
    char shown[SHOWN_SIZE];
    bool good = false;
    struct sigaction before[ENDING_SIGNALS];
    char *folder = folder_of(path);
    size_t size = folder == NULL ? 0 : strlen(folder) + sizeof "/.topend-XXXXXX";
    char *temporary = size == 0 ? NULL : malloc(size);
    if (temporary == NULL) {
        (void)fail("out of memory");
        goto done;
    }
    if (!may_replace(path)) {
        (void)fail("\"%s\" is not a plain file", show(shown, path));
        goto done;
    }
    (void)snprintf(temporary, size, "%s/.topend-XXXXXX", folder);
    int file = mkstemp(temporary);
    if (file >= 0) {
        guard(before, temporary);
        good = write_and_rename(file, temporary, path, bytes, length);
        int reason = errno;
        unguard(before);
        errno = reason;
    }
    if (!good) {
        (void)fail("\"%s\" cannot be written: %s", show(shown, path), strerror(errno));
    } else {
        sync_folder(folder);
    }
done:
    free(temporary);
    free(folder);
    return good;
}

bool file_out_folder(const char *path)
{
    char shown[SHOWN_SIZE];
    struct stat about;
    if (mkdir(path, S_IRWXU | S_IRWXG | S_IRWXO) == 0) {
        return true;
    }
    if (errno == EEXIST && stat(path, &about) == 0 && S_ISDIR(about.st_mode)) {
        return true;
    }
    (void)fail("the folder \"%s\" cannot be made: %s", show(shown, path),
               errno == EEXIST ? "there is a file of that name" : strerror(errno));
    return false;
}
