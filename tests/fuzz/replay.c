/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Feeds a fuzz target with the files of folders, in any build:
 *
 *   replay_TARGET FOLDER...
 *
 * A find aborts. Exit: 0 all were fed, 2 a folder could not be read or held no file.
 */
#include "fuzz.h"

#include <dirent.h>
#include <limits.h>
#include <string.h>
#include <sys/stat.h>

static char present[PATH_MAX];

static bool feed(const char *path)
{
    struct stat about;
    FILE *file = fopen(path, "rb");
    uint8_t *bytes = NULL;
    bool good = file != NULL && fstat(fileno(file), &about) == 0;
    size_t size = good ? (size_t)about.st_size : 0;
    if (good) {
        bytes = malloc(size + 1); /* exactly as long: the sanitizer sees a step past the end */
        good = bytes != NULL && fread(bytes, 1, size, file) == size;
    }
    if (good && size > 0) {
        uint8_t *exact = malloc(size);
        good = exact != NULL;
        if (good) {
            memcpy(exact, bytes, size);
            (void)LLVMFuzzerTestOneInput(exact, size);
        }
        free(exact);
    }
    free(bytes);
    if (file != NULL) {
        (void)fclose(file);
    }
    return good;
}

static size_t feed_folder(const char *folder, bool *good)
{
    size_t count = 0;
    const struct dirent *entry;
    DIR *list = opendir(folder);
    while (list != NULL && (entry = readdir(list)) != NULL) {
        if (entry->d_name[0] != '.') {
            (void)snprintf(present, sizeof present, "%s/%s", folder, entry->d_name);
            *good = feed(present) && *good;
            count++;
        }
    }
    if (list != NULL) {
        (void)closedir(list);
    }
    return count;
}

int main(int argc, char **argv)
{
    bool good = argc > 1;
    for (int i = 1; i < argc; i++) {
        size_t count = feed_folder(argv[i], &good);
        printf("%zu from %s\n", count, argv[i]);
        good = good && count > 0;
    }
    return good ? 0 : 2;
}
