/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Parses a CSV file with libcsv and does nothing else: what the time of topend on a fleet is measured in.
 *
 *   bare FILE
 *
 * Prints the cells and the rows. Exit 2: the file cannot be read, or is none.
 */
#include <csv.h>
#include <stdio.h>

struct counts {
    unsigned long cells, rows;
};

static void take_cell(void *cell, size_t length, void *context)
{
    struct counts *counts = context;
    (void)cell;
    (void)length;
    counts->cells++;
}

static void take_row(int end, void *context)
{
    struct counts *counts = context;
    (void)end;
    counts->rows++;
}

int main(int argc, char **argv)
{
    static char block[1 << 16];
    struct counts counts = {0, 0};
    struct csv_parser parser;
    FILE *file = argc == 2 ? fopen(argv[1], "rb") : NULL;
    if (file == NULL || csv_init(&parser, CSV_STRICT | CSV_STRICT_FINI) != 0) {
        (void)fprintf(stderr, "usage: bare FILE\n");
        return 2;
    }
    size_t length = 0;
    int bad = 0;
    while (bad == 0 && (length = fread(block, 1, sizeof block, file)) > 0) {
        bad = csv_parse(&parser, block, length, take_cell, take_row, &counts) != length;
    }
    bad = bad != 0 || ferror(file) != 0 || csv_fini(&parser, take_cell, take_row, &counts) != 0;
    csv_free(&parser);
    (void)fclose(file);
    (void)printf("%lu cells, %lu rows\n", counts.cells, counts.rows);
    return bad != 0 ? 2 : 0;
}
