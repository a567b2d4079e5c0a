/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "files.h"

#include <dirent.h>
#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

enum { READ_STEP = 1 << 16 };

static te_status read_stream(char **bytes, size_t *length, FILE *stream)
{
    size_t capacity = 0;
    *bytes = NULL;
    *length = 0;
    for (;;) {
        if (!te_vector_reserve(bytes, &capacity, *length + READ_STEP, 1)) {
            return TE_ERR_MEMORY;
        }
        size_t got = fread(*bytes + *length, 1, capacity - *length, stream);
        *length += got;
        if (got == 0) {
            return ferror(stream) != 0 ? TE_ERR_IO : TE_OK;
        }
    }
}

te_status te_file_read(char **bytes, size_t *length, const char *path)
{
    struct stat about;
    *bytes = NULL;
    /* Asked before it is opened: to open a pipe waits for a writer, a device may never end. */
    if (stat(path, &about) == 0 && !S_ISREG(about.st_mode)) {
        errno = S_ISDIR(about.st_mode) ? EISDIR : ENOTSUP;
        return TE_ERR_IO;
    }
    FILE *stream = fopen(path, "rb");
    if (stream == NULL) {
        return errno == ENOMEM ? TE_ERR_MEMORY : TE_ERR_IO;
    }
    errno = 0;
    te_status status = read_stream(bytes, length, stream);
    int reason = errno;
    (void)fclose(stream);
    errno = reason;
    if (status != TE_OK) {
        free(*bytes);
        *bytes = NULL;
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
