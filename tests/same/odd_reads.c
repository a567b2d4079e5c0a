/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Goes before the C library (LD_PRELOAD) and has files come in pieces of ODD_READS bytes at most, or
 * names of a folder in the opposite order when ODD_ORDER is set. ODD_READS=0: files are empty. */
#define _GNU_SOURCE
#include <dirent.h>
#include <dlfcn.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static size_t shorter(size_t length)
{
    const char *most = getenv("ODD_READS");
    size_t piece = most == NULL ? length : strtoul(most, NULL, 10);
    return piece < length ? piece : length;
}

static size_t read_piece(void *bytes, size_t size, size_t count, FILE *stream)
{
    size_t (*real)(void *, size_t, size_t, FILE *);
    *(void **)&real = dlsym(RTLD_NEXT, "fread");
    return real(bytes, size, size == 1 ? shorter(count) : count, stream);
}

size_t fread(void *restrict bytes, size_t size, size_t count, FILE *restrict stream)
{
    return read_piece(bytes, size, count, stream);
}

size_t __fread_chk(void *bytes, size_t room, size_t size, size_t count, FILE *stream);
size_t __fread_chk(void *bytes, size_t room, size_t size, size_t count, FILE *stream)
{
    if (count > room / size) {
        abort();
    }
    return read_piece(bytes, size, count, stream);
}

/* The next name of a folder, from its end; one folder is read at a time. A program may have been built with either
 * name of the function, of which the entries are alike where a file's size has 64 bits. */
static struct dirent64 *next_name(DIR *folder)
{
    static struct dirent64 entries[4096];
    static DIR *open;
    static size_t left;
    struct dirent64 *(*real)(DIR *);
    *(void **)&real = dlsym(RTLD_NEXT, "readdir64");
    if (getenv("ODD_ORDER") == NULL) {
        return real(folder);
    }
    if (open != folder) {
        const struct dirent64 *entry;
        open = folder;
        for (left = 0; left < 4096 && (entry = real(folder)) != NULL; left++) {
            memcpy(&entries[left], entry,
                   entry->d_reclen < sizeof *entry ? entry->d_reclen : sizeof *entry);
        }
    }
    if (left == 0) {
        open = NULL;
        return NULL;
    }
    return &entries[--left];
}

struct dirent64 *readdir64(DIR *folder)
{
    return next_name(folder);
}

_Static_assert(sizeof(struct dirent) == sizeof(struct dirent64), "one name would not do for both");

struct dirent *readdir(DIR *folder)
{
    return (struct dirent *)next_name(folder);
}
