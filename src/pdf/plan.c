/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * How a table is laid out. Columns get what their texts ask for, between the longest word and the
 * longest line; letters shrink before words are broken. Widths grow with the size of the letters,
 * as no metrics are rounded, so that every text is measured once.
 */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "sheet.h"

static const double sizes[] = {8.5, 8.0, 7.5, 7.0, 6.5, 6.0}; /* of letters, the best first */
enum { SIZES = sizeof sizes / sizeof *sizes };

static const double slack = 0.4;         /* points: what rounding in pango's units may take */
static const double widest = 0.4;        /* of the table: more is given to no word */
static const double short_figure = 56.0; /* points, at sizes[0]: a figure is broken last */
static const double short_text = 44.0;   /* likewise a name as PS03-C1 */
static const double by_hand = 46.0;      /* width of a column to be filled in by hand */
static const double box_height = 21.0;

/* What a column asks for, at the size sizes[0]. */
struct extent {
    double least;   /* width of the longest word */
    double whole;   /* likewise, where short figures and names are not broken either */
    double most;    /* of the longest text on one line */
    double typical; /* of its texts: the square root of their mean square */
    bool empty;     /* there is none below its title */
};

/* ---- looks ---- */

struct look te_pdf_cell_look(const struct plan *plan, const te_column *column, te_weight weight)
{
    return (struct look){.size = plan->size,
                         .bold = te_pdf_is_bold(weight),
                         .right = column->number,
                         .tight = true,
                         .tint = te_pdf_tint(weight)};
}

struct look te_pdf_head_look(const struct plan *plan, const te_column *column)
{
    return (struct look){.size = plan->size * 0.94,
                         .bold = true,
                         .right = column->number,
                         .tight = true,
                         .tint = te_pdf_ink};
}

/* The unit below the title, not bold. */
void te_pdf_set_head(struct sheet *sheet, const te_column *column, const struct look *look,
                     double width)
{
    te_buffer text = {0};
    te_buffer_text(&text, te_document_chars(sheet->document, column->title));
    size_t title = text.length;
    if (column->unit != 0) {
        te_buffer_text(&text, "\n");
        te_buffer_text(&text, te_document_chars(sheet->document, column->unit));
    }
    if (text.failed) {
        sheet->status = TE_ERR_MEMORY;
    }
    te_pdf_set(sheet, sheet->scratch, look, text.length == 0 ? "" : text.bytes, width);
    if (column->unit != 0 && !text.failed) {
        PangoAttrList *attributes = pango_attr_list_copy(
            pango_layout_get_attributes(sheet->scratch));
        PangoAttribute *plain = pango_attr_weight_new(PANGO_WEIGHT_NORMAL);
        plain->start_index = (guint)title;
        pango_attr_list_insert(attributes, plain);
        pango_layout_set_attributes(sheet->scratch, attributes);
        pango_attr_list_unref(attributes);
    }
    te_buffer_free(&text);
}

/* ---- what columns ask for ---- */

/* The widest line of the scratch layout. */
static double widest_line(const struct sheet *sheet)
{
    PangoLayoutIter *iter = pango_layout_get_iter(sheet->scratch);
    int most = 0;
    do {
        PangoRectangle logical;
        pango_layout_iter_get_line_extents(iter, NULL, &logical);
        most = logical.width > most ? logical.width : most;
    } while (pango_layout_iter_next_line(iter));
    pango_layout_iter_free(iter);
    return (double)most / PANGO_SCALE;
}

/* The widest part that pango breaks at no line. */
static double longest_word(struct sheet *sheet)
{
    pango_layout_set_wrap(sheet->scratch, PANGO_WRAP_WORD);
    pango_layout_set_width(sheet->scratch, 0);
    double width = widest_line(sheet);
    pango_layout_set_wrap(sheet->scratch, PANGO_WRAP_WORD_CHAR);
    return width;
}

/* True for plain words and figures, which are one piece: most cells are, and are measured faster. */
static bool is_one_piece(const char *text)
{
    for (; *text != '\0'; text++) {
        bool plain = g_ascii_isalnum(*text) || *text == '.' || *text == '_';
        if (!plain) {
            return false;
        }
    }
    return true;
}

static void measure_cell(struct extent *extent, struct size *size, struct sheet *sheet,
                         const struct look *look, const char *text)
{
    te_pdf_set(sheet, sheet->scratch, look, text, -1.0);
    double width = te_pdf_width(sheet->scratch);
    bool is_short = width <= (look->right ? short_figure : short_text);
    bool is_piece = is_one_piece(text);
    *size = (struct size){(float)width, (float)te_pdf_height(sheet->scratch)};
    double least = is_piece ? width : longest_word(sheet);
    extent->most = fmax(extent->most, width);
    extent->least = fmax(extent->least, least);
    extent->whole = fmax(extent->whole, is_short ? width : least);
    extent->typical += width * width;
}

/* A title over figures stands in as many lines as it has words, so that they come together. */
static void measure_head(struct extent *extent, struct sheet *sheet, const struct plan *plan,
                         const te_column *column)
{
    struct look look = te_pdf_head_look(plan, column);
    te_pdf_set_head(sheet, column, &look, -1.0);
    extent->most = widest_line(sheet);
    extent->whole = extent->least = longest_word(sheet);
    extent->most = column->number ? extent->least : extent->most;
}

static void measure_column(struct extent *extent, struct sheet *sheet, const te_table *table,
                           struct plan *plan, uint32_t column)
{
    const te_document *document = sheet->document;
    const te_column *about = &document->columns[table->first_column + column];
    measure_head(extent, sheet, plan, about);
    extent->empty = true;
    for (uint32_t row = 0; row < table->row_count && sheet->status == TE_OK; row++) {
        size_t at = (size_t)row * table->column_count + column;
        const te_cell *cell = &document->cells[table->first_cell + at];
        struct look look = te_pdf_cell_look(plan, about, cell->weight);
        measure_cell(extent, &plan->cells[at], sheet, &look,
                     te_document_chars(document, cell->text));
        extent->empty = extent->empty && cell->text == 0;
    }
    extent->typical = sqrt(extent->typical / fmax(1.0, table->row_count));
    extent->typical = fmax(extent->typical, extent->whole);
    if (extent->empty && table->boxes) {
        extent->whole = extent->least = fmax(extent->least, by_hand);
        extent->most = fmax(extent->most, by_hand);
    }
}

/* ---- widths ---- */

static double least_of(const struct extent *extent, double scale, double cap)
{
    return fmin(scale * extent->least, cap);
}

static double sum_of_least(const struct extent *extents, uint32_t count, double scale, double cap)
{
    double sum = 0.0;
    for (uint32_t i = 0; i < count; i++) {
        sum += least_of(&extents[i], scale, cap);
    }
    return sum;
}

enum { HALVINGS = 50 }; /* of an interval, down to nothing */

/* The most that a word may take. Where all words together have no room, the widest give. */
static double word_cap(const struct extent *extents, uint32_t count, double scale, double room)
{
    double low = 0.0, high = widest * room;
    if (sum_of_least(extents, count, scale, high) <= room) {
        return high;
    }
    for (int i = 0; i < HALVINGS; i++) {
        double cap = 0.5 * (low + high);
        *(sum_of_least(extents, count, scale, cap) > room ? &high : &low) = cap;
    }
    return low;
}

/* Widths as if typical texts had 1 / `part` lines, within what words and longest lines ask for.
 * Returns their sum. */
static double share(double *widths, const struct extent *extents, uint32_t count, double scale,
                    double cap, double part)
{
    double sum = 0.0;
    for (uint32_t i = 0; i < count; i++) {
        double least = least_of(&extents[i], scale, cap);
        double most = fmax(scale * extents[i].most, least);
        widths[i] = fmax(least, fmin(part * scale * extents[i].typical, most));
        sum += widths[i];
    }
    return sum;
}

/* The widest columns that have room, all of about as many lines: a row is as high as its highest
 * cell. Returns their sum. */
static double choose_widths(double *widths, const struct extent *extents, uint32_t count,
                            double scale, double room)
{
    double cap = word_cap(extents, count, scale, room);
    double low = 0.0, high = 1e6; /* every column is at its most long before */
    double sum = share(widths, extents, count, scale, cap, high);
    if (sum <= room) {
        return sum;
    }
    for (int i = 0; i < HALVINGS; i++) {
        double part = i < HALVINGS / 2 ? sqrt(fmax(low, 1e-6) * high) : 0.5 * (low + high);
        *(share(widths, extents, count, scale, cap, part) > room ? &high : &low) = part;
    }
    return share(widths, extents, count, scale, cap, low);
}

/* ---- size of letters ---- */

/* How many lines all rows have together, about. */
static double count_lines(const struct plan *plan, const te_table *table, double scale)
{
    const double ragged = 1.1; /* lines end before their width does */
    double sum = 0.0;
    size_t at = 0;
    for (uint32_t row = 0; row < table->row_count; row++) {
        double most = 1.0;
        for (uint32_t i = 0; i < table->column_count; i++, at++) {
            double width = scale * (double)plan->cells[at].width;
            if (width > plan->widths[i]) {
                most = fmax(most, ceil(ragged * width / fmax(plan->widths[i], slack)));
            }
        }
        sum += most;
    }
    return sum;
}

/* The largest letters that break no word and make not many more lines than the smallest of those
 * that read well; where words have no room, smaller ones. */
static size_t choose_size(struct plan *plan, const struct extent *extents, const te_table *table,
                          double room)
{
    enum { READ_WELL = 4 }; /* so many of `sizes` do */
    const double more_lines = 1.2;
    double lines[READ_WELL];
    uint32_t count = table->column_count;
    size_t chosen = SIZES - 1;
    for (size_t i = SIZES; i-- > 0;) {
        double scale = sizes[i] / sizes[0];
        if (sum_of_least(extents, count, scale, widest * room) > room) {
            continue;
        }
        if (i >= READ_WELL) {
            chosen = i;
            continue;
        }
        (void)choose_widths(plan->widths, extents, count, scale, room);
        lines[i] = count_lines(plan, table, scale);
        chosen = chosen >= READ_WELL || lines[i] <= more_lines * lines[READ_WELL - 1] ? i : chosen;
    }
    return chosen;
}

/* ---- the rest of the width ---- */

/* Tables that are nearly as wide as the page become so; those to be filled in by hand do, and give
 * it to their empty columns. */
static void stretch(double *widths, const struct extent *extents, const te_table *table, double sum,
                    double room)
{
    const double nearly = 0.72;
    uint32_t takers = 0;
    if (!table->boxes && sum < nearly * room) {
        return;
    }
    for (uint32_t i = 0; i < table->column_count; i++) {
        takers += extents[i].empty ? 1 : 0;
    }
    bool by_all = takers == 0 || !table->boxes;
    for (uint32_t i = 0; i < table->column_count; i++) {
        if (by_all || extents[i].empty) {
            widths[i] += (room - sum) / (by_all ? table->column_count : takers);
        }
    }
}

/* Short figures and names stay whole where that breaks no word, in letters of any size. */
static void keep_short(struct extent *extents, uint32_t count, double room)
{
    double scale = sizes[SIZES - 1] / sizes[0];
    double sum = 0.0;
    for (uint32_t i = 0; i < count; i++) {
        sum += fmin(scale * extents[i].whole, widest * room);
    }
    for (uint32_t i = 0; i < count && sum <= room; i++) {
        extents[i].least = extents[i].whole;
    }
}

static void lay_out(struct plan *plan, struct extent *extents, const te_table *table, double full)
{
    enum { MANY = 11 }; /* columns: they stand closer */
    uint32_t count = table->column_count;
    plan->pad = fmin(count < MANY ? 4.0 : 2.5, 0.1 * full / count);
    double padding = 2.0 * plan->pad + slack;
    double room = fmax(full - padding * count, 0.25 * full);
    keep_short(extents, count, room);
    plan->size = sizes[choose_size(plan, extents, table, room)];
    double scale = plan->size / sizes[0];
    size_t cells = (size_t)table->row_count * count;
    for (size_t i = 0; i < cells; i++) {
        plan->cells[i].width *= (float)scale;
        plan->cells[i].height *= (float)scale;
    }
    double sum = choose_widths(plan->widths, extents, count, scale, room);
    stretch(plan->widths, extents, table, sum, room);
    plan->width = 0.0;
    for (uint32_t i = 0; i < count; i++) {
        plan->widths[i] += padding;
        plan->width += plan->widths[i];
    }
}

/* ---- heights ---- */

static double height_of_cell(struct sheet *sheet, const struct plan *plan, const te_column *column,
                             const te_cell *cell, struct size size, double width)
{
    if (size.width <= width) {
        return size.height;
    }
    struct look look = te_pdf_cell_look(plan, column, cell->weight);
    te_pdf_set(sheet, sheet->scratch, &look, te_document_chars(sheet->document, cell->text), width);
    return te_pdf_height(sheet->scratch);
}

static void choose_heights(struct sheet *sheet, const te_table *table, struct plan *plan)
{
    const te_column *columns = sheet->document->columns + table->first_column;
    const te_cell *cells = sheet->document->cells + table->first_cell;
    size_t at = 0;
    plan->head = 0.0;
    for (uint32_t i = 0; i < table->column_count; i++) {
        struct look look = te_pdf_head_look(plan, &columns[i]);
        te_pdf_set_head(sheet, &columns[i], &look, plan->widths[i] - 2.0 * plan->pad);
        plan->head = fmax(plan->head, te_pdf_height(sheet->scratch));
    }
    for (uint32_t row = 0; row < table->row_count; row++) {
        double most = table->boxes ? box_height : 0.0;
        for (uint32_t i = 0; i < table->column_count; i++, at++) {
            double width = plan->widths[i] - 2.0 * plan->pad;
            most = fmax(
                most, height_of_cell(sheet, plan, &columns[i], &cells[at], plan->cells[at], width));
        }
        plan->heights[row] = (float)most;
    }
}

/* ---- the plan ---- */

static bool make(struct plan *plan, struct sheet *sheet, const te_table *table)
{
    size_t cells = (size_t)table->row_count * table->column_count;
    struct extent *extents = calloc(table->column_count + 1, sizeof *extents);
    plan->widths = calloc(table->column_count + 1, sizeof *plan->widths);
    plan->cells = calloc(cells + 1, sizeof *plan->cells);
    plan->heights = calloc((size_t)table->row_count + 1, sizeof *plan->heights);
    bool made = extents != NULL && plan->widths != NULL && plan->cells != NULL &&
                plan->heights != NULL;
    if (made) {
        plan->size = sizes[0];
        for (uint32_t i = 0; i < table->column_count; i++) {
            measure_column(&extents[i], sheet, table, plan, i);
        }
        lay_out(plan, extents, table, sheet->right - sheet->left);
        choose_heights(sheet, table, plan);
    }
    free(extents);
    return made;
}

const struct plan *te_pdf_plan(struct sheet *sheet, uint32_t index)
{
    struct plan *plan = &sheet->plans[index];
    if (sheet->document->tables[index].column_count > TE_PDF_COLUMNS) {
        sheet->status = TE_ERR_FULL;
        return NULL;
    }
    if (!plan->made && !make(plan, sheet, &sheet->document->tables[index])) {
        sheet->status = TE_ERR_MEMORY;
        return NULL;
    }
    plan->made = true;
    return plan;
}

void te_pdf_plans_free(struct sheet *sheet)
{
    for (size_t i = 0; i < sheet->document->table_count; i++) {
        free(sheet->plans[i].widths);
        free(sheet->plans[i].cells);
        free(sheet->plans[i].heights);
    }
    free(sheet->plans);
    sheet->plans = NULL;
}
