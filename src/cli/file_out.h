/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Files that appear whole or not at all. */
#ifndef TOPEND_CLI_FILE_OUT_H
#define TOPEND_CLI_FILE_OUT_H

#include <stdbool.h>
#include <stddef.h>

#include "topend/shop.h"

/* Writes a file: to a temporary one in the same folder first, which then takes its name. What stood
 * there stays as it was when anything fails. False after a message. */
bool file_out_write(const char *path, const char *bytes, size_t length);

/* False after a message when writing to a path, or into the folder that it names, would replace a
 * file that the shop is read from, or put one where it would be read next time. */
bool file_out_allowed(const char *path, const char *folder);

/* True when nothing has that name yet, and a file of that name is one of readings. */
bool file_out_is_new_readings(const char *path, const char *folder);

/* Makes a folder unless it is there. False after a message. */
bool file_out_folder(const char *path);

#endif
