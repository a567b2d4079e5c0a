/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Shops made from texts in memory, without an error in them; and texts that grow. */
#ifndef TE_SHOP_TEXT_H
#define TE_SHOP_TEXT_H

#include "te_test.h"

#include "topend/shop.h"

/* A file of a shop: its name in the folder and its text. */
typedef struct te_shop_file {
    const char *name, *text;
} te_shop_file;

/* A shop and what was said while it was read. */
typedef struct te_made_shop {
    te_shop *shop;
    const te_tables *tables;
    te_problems problems;
} te_made_shop;

/*
 * Reads a shop from files; changes takes the place of the base's files of the same name and adds
 * the others. Both lists end with a name NULL; changes may be NULL. An error in the files fails
 * the test and is printed; warnings are kept in problems.
 */
void te_made_read(te_made_shop *out, const te_shop_file *base, const te_shop_file *changes);

/* Frees a shop; leaves it empty. */
void te_made_free(te_made_shop *shop);

/* Row of an inspection; fails the test when there is none. */
uint32_t te_made_inspection(const te_made_shop *shop, const char *id);

/* Row of an engine; fails the test when there is none. */
uint32_t te_made_engine(const te_made_shop *shop, const char *id);

/* Fails the test when a text holds a control character but the line's end, a bidirectional one, bytes
 * that are not UTF-8, or, when it must be ASCII, anything else. */
void te_assert_safe(const char *bytes, size_t length, bool ascii);

/* A text that grows. Start with all zero; free with te_grown_free. */
typedef struct te_grown {
    char *text; /* terminated; NULL until something is added */
    size_t length, capacity;
} te_grown;

/* Adds to a text as printf does. */
#if defined(__GNUC__)
__attribute__((format(printf, 2, 3)))
#endif
void te_grown_add(te_grown *grown, const char *format, ...);

/* Frees a text; leaves it empty. */
void te_grown_free(te_grown *grown);

#endif
