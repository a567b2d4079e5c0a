/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Files and folders as the operating system gives them. */
#ifndef TOPEND_RECORD_FILES_H
#define TOPEND_RECORD_FILES_H

#include <stdio.h>

#include "topend/status.h"
#include "vector.h"

typedef VECTOR(char *) te_file_names;

/* Opens a file, unless it is a folder, a pipe or a device; the caller closes it. TE_ERR_IO leaves the reason in
 * errno, here and below. */
te_status te_file_open(FILE **file, const char *path);

/* Reads what is left of a file; the caller frees the bytes. */
te_status te_file_read(char **bytes, size_t *length, FILE *file);

/* Reads from a FILE as te_stream.read does. */
size_t te_file_some(bool *bad, void *file, char *out, size_t room);

/* Reads a file through, holding little of it, and goes back to its start: is all of it UTF-8? */
te_status te_file_is_utf8(bool *utf8, FILE *file);

/* `folder/name`, to be freed by the caller; NULL when out of memory. */
char *te_file_path(const char *folder, const char *name);

/* Names of a folder's entries that do not begin with a point, each behind `prefix`, in order of
 * their bytes. TE_ERR_IO: the folder cannot be read, the reason is in errno. */
te_status te_folder_list(te_file_names *list, const char *path, const char *prefix);

void te_file_names_free(te_file_names *list);

#endif
