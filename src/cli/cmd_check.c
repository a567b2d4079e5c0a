/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <stdio.h>

#include "crew.h"

static void print_count(size_t count, const char *one, const char *many, const char *end)
{
    printf("%zu %s%s", count, count == 1 ? one : many, end);
}

static void print_summary(const te_shop *shop, const te_problems *problems)
{
    const te_tables *t = te_shop_tables(shop);
    print_count(t->engine_count, "engine", "engines", ", ");
    print_count(t->inspection_count, "inspection", "inspections", ", ");
    print_count(t->reading_count, "reading", "readings", ", ");
    print_count(t->limit_count, "limit", "limits", ": ");
    printf("no error, ");
    print_count(problems->warnings, "warning", "warnings", "\n");
}

int cmd_check(const struct options *options)
{
    te_problems problems;
    te_shop *shop = NULL;
    int code = EXIT_FAILED;
    te_problems_init(&problems);
    if (!open_shop(&shop, &problems, options->folder, TE_FILE_EVERY, NULL, crew_threads(options)) ||
        !output_problems(&problems)) {
        goto done;
    }
    if (problems.errors == 0) {
        print_summary(shop, &problems);
        code = EXIT_GOOD;
    } else {
        code = fail("%zu %s, %zu %s: nothing is judged until the errors are mended",
                    problems.errors, problems.errors == 1 ? "error" : "errors", problems.warnings,
                    problems.warnings == 1 ? "warning" : "warnings");
    }
done:
    te_shop_free(shop);
    te_problems_free(&problems);
    return code;
}
