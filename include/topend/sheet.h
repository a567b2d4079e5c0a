/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file sheet.h  The measuring sheet: what to measure on an engine, in order, as a CSV file to fill
 * in and as a document to print and write on.
 *
 * Life cycle: zero a te_sheet, te_sheet_make, write it, te_sheet_free.  Thread-safe for different
 * sheets; the shop is only read.  Lengths are in mm unless said otherwise.
 */
#ifndef TOPEND_SHEET_H
#define TOPEND_SHEET_H

#include "topend/document.h"

#ifdef __cplusplus
extern "C" {
#endif

/** Most repeats that a row of readings.csv holds; more take further rows. */
#define TE_SHEET_REPEATS 5

/** One place to measure. */
typedef struct te_sheet_place {
    te_quantity feature;
    te_id item;
    double position, direction; /**< mm, degrees; NAN when absent */
    unsigned repeats;           /**< at least 1 */
    te_id instrument;
    /** Of a feature of the user's own: the part to name, where the row would not find it by itself.
     * 0: none is to be named. */
    te_id part;
    /** What the row asks for. Where the place was read last time with the same instrument, what it
     * asked for then; else by the instrument: one without a resolution has leaves or plugs (no_go),
     * one that is set with another shows deviations (zero). */
    bool no_go, zero;
    te_unit unit;    /**< of the reading */
    te_id unit_text; /**< as to be written where it is a unit of the user's own */
    uint32_t last;   /**< index of the engine's latest inspection that read the place (within 0.5 mm
                          and 1 degree); TE_NO_INDEX: none did */
    double last_value; /**< then, at 20 degrees Celsius; mm or the feature's own unit */
    bool last_on_now;  /**< every part that it rests on is on the engine now */
    bool has_limit;    /**< limits.csv has a row for the feature itself */
    te_limit limit;    /**< when has_limit, the oversize of the part on the engine now added */
} te_sheet_place;

/** The part of a kind that is on the engine now. */
typedef struct te_sheet_part {
    enum te_sheet_on {
        TE_SHEET_ON_NONE = 0, /**< by parts.csv one was taken off and none was fitted */
        TE_SHEET_ON_ORIGINAL, /**< parts.csv has no row for the kind */
        TE_SHEET_ON_NAMED     /**< part is its id */
    } on;
    te_id part;
    double oversize; /**< as written in parts.csv; 0 for none */
} te_sheet_part;

/** What became of a request. */
typedef enum te_sheet_answer {
    TE_SHEET_MADE = 0,
    TE_SHEET_NOTHING, /**< the model has no row in plan.csv, the engine no inspection with readings */
    TE_SHEET_NAME_TAKEN, /**< the inspection is another engine's, or has readings already */
    TE_SHEET_NAME_UNFIT  /**< the name would not come back from a file as it is: it is empty, too
                              long, not UTF-8, begins or ends with a blank, looks like a comment, or
                              holds a control character */
} te_sheet_answer;

/** What is asked for. All is borrowed. */
typedef struct te_sheet_order {
    uint32_t engine; /**< index; no error may touch it */
    const char
        *inspection; /**< name of the inspection to come; NULL: ENGINE-2026-04-18, from today */
    te_date today;   /**< for that name */
} te_sheet_order;

/** A measuring sheet.  Start with all zero. */
typedef struct te_sheet {
    te_sheet_answer answer;
    uint32_t engine;
    char *inspection;                  /**< name of the inspection to come; set with every answer */
    bool declared;                     /**< inspections.csv has its row already, without readings */
    bool planned;                      /**< by plan.csv; else after the inspection `follows` */
    uint32_t follows;                  /**< unless planned: the inspection whose places these are */
    te_sheet_part parts[TE_KIND_NONE]; /**< on the engine now; of `other` nothing is told */
    te_sheet_place *places;            /**< in the order in which they are to be measured */
    size_t place_count, place_capacity;
} te_sheet;

/** Finds what is to be measured: the rows of plan.csv for the engine's model in their order; without
 * one the places of the engine's last inspection with readings, in the order of its files.
 * @param[in,out] sheet replaced by the result; only answer, engine and inspection are set when the
 *   answer is not TE_SHEET_MADE
 * @param[in] shop the shop
 * @param[in] order what is asked for
 * @return TE_OK with every answer; TE_ERR_MEMORY; TE_ERR_DOMAIN: a number of an earlier inspection is
 *   not finite
 */
te_status te_sheet_make(te_sheet *sheet, const te_shop *shop, const te_sheet_order *order);

/** Frees what a sheet holds and leaves it empty.
 * @param[in,out] sheet may be NULL
 */
void te_sheet_free(te_sheet *sheet);

/** Why a sheet cannot be a CSV file that comes back filled in. */
typedef enum te_sheet_fault {
    TE_SHEET_SOUND = 0,
    /** A name begins with `=`, `+`, `-` or `@`: a spreadsheet would compute it and save what came
     * out. A leading apostrophe, which would stop that, would make it another name. */
    TE_SHEET_FORMULA,
    /** A name would be lost: where it stands it would be read as a comment, or, with line breaks and
     * delimiters in it, as rows. */
    TE_SHEET_LOST
} te_sheet_fault;

/** The CSV file to fill in, for the folder readings/: a header row with the columns that are needed,
 * and a row a place with blank cells for what is read.  In the dialect of the shop
 * (te_tables.dialect); positions are in inches where the row's unit is.
 * @param[in,out] buffer receives it; nothing when there is a fault
 * @param[out] name on a fault the name that is to blame, borrowed from shop or sheet
 * @param[in] sheet made
 * @param[in] shop the shop
 * @return the fault
 */
te_sheet_fault te_sheet_csv(te_buffer *buffer, const char **name, const te_sheet *sheet,
                            const te_shop *shop);

/** The row for inspections.csv, below its header row as it stands in that file: what is known is
 * filled in (inspection, engine), the rest blank.
 * @param[in,out] buffer receives two rows; nothing when there is a fault
 * @param[out] name on a fault the name that is to blame, borrowed from shop or sheet
 * @param[in] sheet made
 * @param[in] shop the shop
 * @return the fault
 */
te_sheet_fault te_sheet_inspection_row(te_buffer *buffer, const char **name, const te_sheet *sheet,
                                       const te_shop *shop);

/** Draws where to measure: the cylinder cut open with its heights, the directions from above, the
 * piston with its heights.
 * @param[in,out] drawing all zero
 * @param[in] sheet made
 * @param[in] shop the shop
 * @return false, and the drawing empty, when no place can be drawn
 */
bool te_sheet_sketch(te_drawing *drawing, const te_sheet *sheet, const te_shop *shop);

/** The sheet to print: what to write down first, the sketch, the places with their limits and boxes
 * for the readings, a list for what the eye finds, cautions, a line to sign on.
 * @param[in,out] document all zero; fails when memory runs out
 * @param[in] sheet made
 * @param[in] shop the shop
 * @param[in] version of the program
 */
void te_sheet_document(te_document *document, const te_sheet *sheet, const te_shop *shop,
                       const char *version);

#ifdef __cplusplus
}
#endif
#endif
