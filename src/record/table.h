/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One file while it is read: header, dialect, and the cells of the row at hand. */
#ifndef TOPEND_RECORD_TABLE_H
#define TOPEND_RECORD_TABLE_H

#include "csv_rows.h"
#include "internal.h"
#include "known_setups.h"

enum { TE_COLUMNS_MOST = 20 };

enum te_column_trait {
    TE_COLUMN_REQUIRED = 1,
    TE_COLUMN_GROUPED = 2, /* three digits after the mark may be a grouped number: refused */
    TE_COLUMN_DIGITS = 4   /* of a gauge or a drawing: not with an exponent and two decimals */
};

struct te_column {
    const char *name;
    unsigned traits;
};

struct te_table;
struct plain_rows;

/* A file's columns and what to do with a row. */
struct te_schema {
    const char *file;
    unsigned bit;                                  /* te_file */
    struct te_column columns[TE_COLUMNS_MOST + 1]; /* the one behind the last has no name */
    void (*row)(struct te_table *table);
};

extern const struct te_schema te_schema_shop, te_schema_engines, te_schema_models, te_schema_limits,
    te_schema_instruments, te_schema_parts, te_schema_inspections, te_schema_readings,
    te_schema_condition, te_schema_spares, te_schema_plan;

/* What a cell was found to name last: rows of one mostly stand together. */
struct last_found {
    te_id name;
    size_t length; /* of the name; 0: nothing was found */
    uint32_t row;
};

struct te_table {
    te_shop *shop;
    const struct te_schema *schema;
    char delimiter;
    int required[TE_COLUMNS_MOST]; /* the schema's columns that each row fills */
    int required_count;
    int cell_of[TE_COLUMNS_MOST]; /* -1: the file has no such column */
    size_t header_width;          /* columns of the header row, without empty ones at its end */
    unsigned char nameless[TE_CSV_COLUMNS_MOST / 8 + 1]; /* a bit a column */
    bool any_nameless;
    bool header_done;
    bool header_bad;
    bool narrow; /* four columns at most */
    bool broken; /* rows were lost to a fault of quotes or bytes */
    const te_slice *cells;
    size_t cell_count;
    te_origin origin;
    te_scope scope; /* of the problems of this row, as far as it is known */
    te_id scope_id;
    bool row_bad; /* a cell of this row was refused */
    char mark;    /* decimal mark of the file once one was seen */
    uint32_t mark_line;
    size_t rows;
    struct last_found engine, inspection; /* that was found last */
    struct known_setups known;            /* of readings */
    uint32_t last_known;
    struct plain_rows *plain; /* of readings; NULL: every row goes the long way */
};

/* ---- header.c ---- */

/* How many columns a file may have. */
size_t te_schema_columns(const struct te_schema *schema);

/* The column that a cell of a header row names; -1 for none. */
int te_schema_find(const struct te_schema *schema, te_slice cell);

/* Takes the row at hand as the header row. */
void te_table_take_header(struct te_table *table);

/* Reads one file of the shop from its bytes. */
te_status te_table_read(te_shop *shop, const struct te_schema *schema, const char *name,
                        te_slice bytes);

/* The same from UTF-8 of any length. TE_ERR_IO, TE_ERR_DATA: as the stream's status, which is not told yet. */
te_status te_table_read_stream(te_shop *shop, const struct te_schema *schema, const char *name,
                               struct te_stream *stream);

/* Problems of the row at hand; `column` is an index into the schema, or -1. */
#if defined(__GNUC__)
__attribute__((format(printf, 4, 5)))
#endif
void te_row_error(struct te_table *table, int column, const char *remedy, const char *format, ...);
#if defined(__GNUC__)
__attribute__((format(printf, 4, 5)))
#endif
void te_row_warning(struct te_table *table, int column, const char *remedy, const char *format,
                    ...);

/* ---- cells (cells.c): each reports what it refuses ---- */

/* The cell, empty when the file has no such column or the row is short. */
static inline te_slice te_cell(const struct te_table *table, int column)
{
    int at = table->cell_of[column];
    return at < 0 || (size_t)at >= table->cell_count ? (te_slice){"", 0} : table->cells[at];
}

bool te_cell_is(const struct te_table *table, int column, const char *word);
te_id te_cell_text(struct te_table *table, int column);

/* The row that a cell, which is not blank, names, or TE_NO_INDEX; remembers it in `last`. */
uint32_t te_cell_find(struct last_found *last, const struct te_table *table,
                      const struct id_map *map, te_slice cell);

/* A text of the row, cut for a message. */
#define TE_SHOWN 80
const char *te_cell_shown(char out[TE_SHOWN], te_slice cell);

struct te_range {
    double least, most;
    bool above, below; /* the bound itself is outside */
    const char *words; /* such as "above 0" */
};
extern const struct te_range te_range_any, te_range_positive, te_range_not_negative;

/* NAN when the cell is blank or refused. */
double te_cell_number(struct te_table *table, int column, const struct te_range *range);
/* As written, with the unit that it is in; `decimals`, which may be NULL, receives the decimals that the
 * figure tells: the digits after the mark, less the exponent. */
double te_cell_figure(struct te_table *table, int column, te_unit unit,
                      const struct te_range *range, unsigned *decimals);
te_date te_cell_date(struct te_table *table, int column);

/* Index of the word, `blank` when the cell is blank, -1 when it is refused. */
int te_cell_choice(struct te_table *table, int column, const char *const *words, size_t count,
                   int blank);

/* The kind of part; TE_KIND_NONE when refused. */
te_kind te_cell_kind(struct te_table *table, int column);

/* A length in the row's unit, to mm. */
double te_cell_length(struct te_table *table, int column, te_unit unit,
                      const struct te_range *range);

/* True for what a user could have named a column or a feature: it begins with a letter. What a spreadsheet or a
 * slip leaves in its place is a number, a mark, an error. */
bool te_is_own_name(te_slice cell);

/* The quantity or feature; TE_Q_NONE when refused. `feature`: a computed quantity is refused. */
te_quantity te_cell_quantity(struct te_table *table, int column, bool feature);

/* The item of a quantity; 0 when blank or refused. */
te_id te_cell_item(struct te_table *table, int column, te_quantity quantity);

/* Degrees in [0, 180); NAN when blank or refused. */
double te_cell_direction(struct te_table *table, int column);

/* The unit of a quantity's row; `text` receives the id of a unit of the user's own. */
te_unit te_cell_unit(te_id *text, struct te_table *table, int column, te_quantity quantity);

/* The inspection that a cell names; the problems of the row then touch its engine alone. */
uint32_t te_row_inspection(struct te_table *table, int column);

/* The model that a cell names. The problems of the row then touch its engines alone; those of a
 * model that no engine and no row of models.csv has may be meant for any. */
uint32_t te_row_model(struct te_table *table, te_id id);

/* Nearest of some words to a text, or NULL when none is near. */
const char *te_nearest(te_slice text, const char *const *words, size_t count);

#endif
