/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Allocations that fail, told by the environment:
 *
 *   FAIL_AT=N    the N-th allocation of the process fails
 *   FAIL_ON=1    so do all after it
 *
 * Each time one fails, a byte goes to descriptor 9, so that whoever started the process knows. Built as a shared
 * object it is loaded before all others (LD_PRELOAD) and sees the allocations of every library; with
 * FAIL_WRAP it is linked into a program (--wrap) and sees those of the program's own objects, so that the
 * address sanitizer's allocator stays in place and tells leaks.
 */
#include <stdbool.h>
#include <stddef.h>
#include <stdlib.h>
#include <unistd.h>

#ifdef FAIL_WRAP
#define REAL(name) __real_##name
#define OURS(name) __wrap_##name
#else
#define REAL(name) __libc_##name
#define OURS(name) name
#endif

void *REAL(malloc)(size_t size);
void *REAL(calloc)(size_t nmemb, size_t size);
void *REAL(realloc)(void *ptr, size_t size);
void *OURS(malloc)(size_t size);
void *OURS(calloc)(size_t nmemb, size_t size);
void *OURS(realloc)(void *ptr, size_t size);

static unsigned long fail_at;
static unsigned long asked;
static bool fail_on;
static bool started;

__attribute__((constructor)) static void start(void)
{
    const char *at = getenv("FAIL_AT");
    fail_at = at == NULL ? 0 : strtoul(at, NULL, 10);
    fail_on = getenv("FAIL_ON") != NULL;
    started = fail_at > 0;
}

static bool fails(void)
{
    if (!started) {
        return false;
    }
    asked++;
    if (fail_on ? asked < fail_at : asked != fail_at) {
        return false;
    }
    ssize_t written = write(9, "x", 1);
    (void)written;
    return true;
}

void *OURS(malloc)(size_t size)
{
    return fails() ? NULL : REAL(malloc)(size);
}

void *OURS(calloc)(size_t nmemb, size_t size)
{
    return fails() ? NULL : REAL(calloc)(nmemb, size);
}

void *OURS(realloc)(void *ptr, size_t size)
{
    return fails() ? NULL : REAL(realloc)(ptr, size);
}
