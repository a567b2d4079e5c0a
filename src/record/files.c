/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "files.h"

#include <dirent.h>
#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

#include "stream.h"

/* Lines marked GCOVR_EXCL_BR_LINE: memory or the disk fails, which tests/faults tries. */

enum { READ_STEP = 1 << 16 };

te_status te_file_open(FILE **file, const char *path)
{
    struct stat about;
    *file = NULL;
    /* Asked before it is opened: to open a pipe waits for a writer, a device may never end. */
    if (stat(path, &about) == 0 && !S_ISREG(about.st_mode)) {
        errno = S_ISDIR(about.st_mode) ? EISDIR : ENOTSUP;
        return TE_ERR_IO;
    }
    *file = fopen(path, "rb");
    if (*file == NULL) {
        return errno == ENOMEM ? TE_ERR_MEMORY : TE_ERR_IO; /* GCOVR_EXCL_BR_LINE */
    }
    return TE_OK;
}

te_status te_file_read(char **bytes, size_t *length, FILE *file)
{
    size_t capacity = 0;
    *bytes = NULL;
    *length = 0;
    for (;;) {
        if (!te_vector_reserve(bytes, &capacity, *length + READ_STEP, 1)) { /* GCOVR_EXCL_BR_LINE */
            return TE_ERR_MEMORY;
        }
        size_t got = fread(*bytes + *length, 1, capacity - *length, file);
        *length += got;
        if (got == 0) {
            return ferror(file) != 0 ? TE_ERR_IO : TE_OK; /* GCOVR_EXCL_BR_LINE */
        }
    }
}

size_t te_file_some(bool *bad, void *file, char *out, size_t room)
{
    size_t length = 0;
    size_t got = 0;
    do { /* until nothing comes: what comes in pieces has not ended */
        got = fread(out + length, 1, room - length, file);
        length += got;
    } while (got > 0 && length < room);
    *bad = ferror((FILE *)file) != 0;
    return length;
}

te_status te_file_is_utf8(bool *utf8, FILE *file)
{
    struct te_stream stream;
    te_stream_start(&stream, te_file_some, file, READ_STEP);
    while (te_stream_more(&stream, stream.text.length)) {
    }
    te_status status = stream.status;
    te_stream_free(&stream);
    *utf8 = status == TE_OK;
    if (status == TE_ERR_DATA) {
        status = TE_OK;
    }
    if (status == TE_OK && fseek(file, 0, SEEK_SET) != 0) { /* GCOVR_EXCL_BR_LINE */
        status = TE_ERR_IO;
    }
    return status;
}

char *te_file_path(const char *folder, const char *name)
{
    size_t length = strlen(folder) + strlen(name) + 2;
    char *path = malloc(length);
    if (path != NULL) {
        (void)snprintf(path, length, "%s/%s", folder, name);
    }
    return path;
}

static int by_bytes(const void *a, const void *b)
{
    const char *const *left = a;
    const char *const *right = b;
    return strcmp(*left, *right);
}

void te_file_names_free(te_file_names *list)
{
    for (size_t i = 0; i < list->count; i++) {
        free(list->items[i]);
    }
    free(list->items);
}

te_status te_folder_list(te_file_names *list, const char *path, const char *prefix)
{
    te_status status = TE_OK;
    *list = (te_file_names){0};
    DIR *folder = opendir(path);
    if (folder == NULL) {
        return TE_ERR_IO;
    }
    for (;;) {
        errno = 0;
        const struct dirent *entry = readdir(folder);
        if (entry == NULL) {
            status = errno != 0 ? TE_ERR_IO : TE_OK;
            break;
        }
        if (entry->d_name[0] == '.') {
            continue;
        }
        size_t size = strlen(prefix) + strlen(entry->d_name) + 1;
        char *name = malloc(size);
        if (name == NULL || !VECTOR_ROOM(list)) {
            free(name);
            status = TE_ERR_MEMORY;
            break;
        }
        (void)snprintf(name, size, "%s%s", prefix, entry->d_name);
        list->items[list->count++] = name;
    }
    int reason = errno;
    (void)closedir(folder);
    errno = reason;
    if (status == TE_OK && list->count > 1) {
        qsort(list->items, list->count, sizeof *list->items, by_bytes);
    }
    return status;
}
