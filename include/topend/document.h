/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file document.h  A document: blocks in order, made once from results, then written as text, HTML
 * or PDF.
 *
 * Life cycle: zero a te_document, add blocks from the first to the last, write it with any writer,
 * te_document_free.  The first failure sticks (failed); writers refuse a document that failed.
 * Texts are copied and made safe to show (te_text_safe); writers escape them for their own format,
 * so text from files can be nothing but text.  Thread-safe for different documents.
 */
#ifndef TOPEND_DOCUMENT_H
#define TOPEND_DOCUMENT_H

#include "topend/drawing.h"
#include "topend/write.h"

#ifdef __cplusplus
extern "C" {
#endif

/** How a text is meant; the words carry it too. */
typedef enum te_weight {
    TE_WEIGHT_PLAIN = 0,
    TE_WEIGHT_STRONG,  /**< stands out */
    TE_WEIGHT_QUIET,   /**< notes, small */
    TE_WEIGHT_GOOD,    /**< passes */
    TE_WEIGHT_WARNING, /**< cannot be told */
    TE_WEIGHT_BAD      /**< does not pass */
} te_weight;

typedef enum te_block_kind {
    TE_BLOCK_HEADING = 0,
    TE_BLOCK_PARAGRAPH,
    TE_BLOCK_ITEM,      /**< an entry of a list; neighbours are one list */
    TE_BLOCK_VERDICT,   /**< the verdict in large letters: text is the verdict, more its subject */
    TE_BLOCK_LINK,      /**< an entry of a list of links: text to be read, more the target */
    TE_BLOCK_TABLE,     /**< index into tables */
    TE_BLOCK_FIGURE,    /**< index into figures; text is the caption */
    TE_BLOCK_SIGNATURE, /**< a line to sign on; text is what stands below it */
    TE_BLOCK_PAGE       /**< what follows begins a page, in print */
} te_block_kind;

typedef struct te_block {
    te_block_kind kind;
    unsigned level; /**< of a heading: 1 the document's title (once, first), 2, 3 */
    te_weight weight;
    uint32_t text, more; /**< index into te_document.chars */
    uint32_t index;      /**< into tables or figures */
} te_block;

/** A column of a table. */
typedef struct te_column {
    uint32_t title, unit; /**< index into chars; unit: 0 for none */
    bool number;          /**< figures: to the right, digits of one width */
} te_column;

typedef struct te_cell {
    uint32_t text; /**< index into chars */
    te_weight weight;
} te_cell;

/** A table: cells row by row. The first column heads its row. */
typedef struct te_table {
    uint32_t caption; /**< index into chars */
    uint32_t first_column, column_count;
    uint32_t first_cell, row_count;
    bool boxes; /**< has a line around every cell: to be filled in by hand */
} te_table;

typedef struct te_document {
    uint32_t title, subject; /**< index into chars: for metadata and the window's name */
    uint32_t producer;       /**< the program and its version */
    bool has_time;
    int64_t time; /**< of the metadata: seconds since 1970-01-01, UTC; when has_time */
    te_block *blocks;
    size_t block_count, block_capacity;
    te_table *tables;
    size_t table_count, table_capacity;
    te_column *columns;
    size_t column_count, column_capacity;
    te_cell *cells;
    size_t cell_count, cell_capacity;
    te_drawing *figures;
    size_t figure_count, figure_capacity;
    char *chars; /**< terminated texts, safe to show; the one at 0 is empty */
    size_t char_count, char_capacity;
    bool failed; /**< memory ran out, or a table's rows are not whole */
} te_document;

/** Sets the words of the metadata.
 * @param[in,out] document the document
 * @param[in] title terminated
 * @param[in] subject terminated
 * @param[in] producer the program and its version
 */
void te_document_start(te_document *document, const char *title, const char *subject,
                       const char *producer);

/** Frees what a document holds, its figures too, and leaves it empty.
 * @param[in,out] document may be NULL
 */
void te_document_free(te_document *document);

/** Adds a heading.
 * @param[in,out] document the document
 * @param[in] level 1 (the title: once, before all else) to 3
 * @param[in] text terminated
 */
void te_document_heading(te_document *document, unsigned level, const char *text);

/** Adds a paragraph.
 * @param[in,out] document the document
 * @param[in] weight how it is meant
 * @param[in] text terminated
 */
void te_document_paragraph(te_document *document, te_weight weight, const char *text);

/** Adds an entry of a list.
 * @param[in,out] document the document
 * @param[in] weight how it is meant
 * @param[in] text terminated
 */
void te_document_item(te_document *document, te_weight weight, const char *text);

/** Adds the verdict.
 * @param[in,out] document the document
 * @param[in] weight good, warning or bad
 * @param[in] verdict in words
 * @param[in] subject what it is on
 */
void te_document_verdict(te_document *document, te_weight weight, const char *verdict,
                         const char *subject);

/** Adds an entry of a list of links to other documents.
 * @param[in,out] document the document
 * @param[in] weight how it is meant
 * @param[in] text to be read
 * @param[in] target a file name, relative; writers percent-encode it
 */
void te_document_link(te_document *document, te_weight weight, const char *text,
                      const char *target);

/** Begins a table; its columns come next, then its cells, row by row.
 * @param[in,out] document the document
 * @param[in] caption terminated; "" for none
 */
void te_document_table(te_document *document, const char *caption);

/** Adds a column to the table begun last, before its first cell.
 * @param[in,out] document the document
 * @param[in] title terminated
 * @param[in] unit "" for none
 * @param[in] number true for figures
 */
void te_document_column(te_document *document, const char *title, const char *unit, bool number);

/** Adds a cell to the table begun last. A row ends by itself; every row must be whole before
 * another block is added.
 * @param[in,out] document the document
 * @param[in] weight how it is meant
 * @param[in] text terminated; "" for an empty one
 */
void te_document_cell(te_document *document, te_weight weight, const char *text);

/** Draws boxes around the cells of the table begun last.
 * @param[in,out] document the document
 */
void te_document_boxes(te_document *document);

/** Adds a figure.
 * @param[in,out] document the document
 * @param[in,out] drawing taken over: left empty; one that failed makes the document fail
 * @param[in] caption terminated
 */
void te_document_figure(te_document *document, te_drawing *drawing, const char *caption);

/** Adds a line to sign on.
 * @param[in,out] document the document
 * @param[in] label what stands below it
 */
void te_document_signature(te_document *document, const char *label);

/** What follows begins a page, in print.
 * @param[in,out] document the document
 */
void te_document_page(te_document *document);

/** True when a document can be written: nothing failed, and the rows of its last table are whole.
 * @param[in] document any
 */
bool te_document_is_whole(const te_document *document);

/** A text of a document.
 * @param[in] document the document
 * @param[in] index of a block, column, cell or table
 * @return borrowed, terminated
 */
const char *te_document_chars(const te_document *document, uint32_t index);

/* ---- writers ---- */

/** Writes a document as text; of a figure only its title and description.
 * @param[in,out] buffer receives it; fails when the document did
 * @param[in] document not failed
 * @param[in] style layout
 */
void te_document_text(te_buffer *buffer, const te_document *document, const te_text_style *style);

/** Writes a document as one HTML file: no script, nothing from outside, a content security policy
 * that forbids both.
 * @param[in,out] buffer receives it; fails when the document did
 * @param[in] document not failed
 */
void te_document_html(te_buffer *buffer, const te_document *document);

/** A drawing as one SVG element for a page that holds several.
 * @param[in,out] buffer receives it
 * @param[in] drawing not failed
 * @param[in] number of the figure on its page: its ids are made from it
 */
void te_drawing_svg(te_buffer *buffer, const te_drawing *drawing, size_t number);

#ifdef __cplusplus
}
#endif
#endif
