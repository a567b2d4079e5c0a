/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file shop.h  A shop folder read into tables.
 *
 * Life cycle: te_problems_init, te_shop_open or te_shop_read, then read the tables through
 * te_shop_tables, then te_shop_free.  A shop does not change after it is made: any number of
 * threads may read one; different shops are independent of each other.
 *
 * Numbers that may be absent are NAN; te_id 0 is an absent text.  Lengths are in mm, hours in
 * engine hours, temperatures in degrees Celsius, expansions per kelvin.
 */
#ifndef TOPEND_SHOP_H
#define TOPEND_SHOP_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "topend/number.h"
#include "topend/problem.h"
#include "topend/quantity.h"
#include "topend/status.h"
#include "topend/unit.h"

#ifdef __cplusplus
extern "C" {
#endif

/** An interned text; equal texts of one shop have equal ids; 0 is the empty text. */
typedef uint32_t te_id;

/** No row. */
#define TE_NO_INDEX UINT32_MAX

/** The eleven files, as bits of a mask. */
enum te_file {
    TE_FILE_SHOP = 1,
    TE_FILE_MODELS = 2,
    TE_FILE_ENGINES = 4,
    TE_FILE_LIMITS = 8,
    TE_FILE_INSTRUMENTS = 16,
    TE_FILE_PARTS = 32,
    TE_FILE_INSPECTIONS = 64,
    TE_FILE_READINGS = 128,
    TE_FILE_CONDITION = 256,
    TE_FILE_SPARES = 512,
    TE_FILE_PLAN = 1024,
    TE_FILE_EVERY = 2047
};

/** Where a row stands. */
typedef struct te_origin {
    uint32_t line; /**< of the row's first line, from 1 */
    uint16_t file; /**< index into te_tables.files */
} te_origin;

typedef enum te_rule { TE_RULE_GUARDED = 0, TE_RULE_SIMPLE } te_rule;

/** engines.csv */
typedef struct te_engine {
    te_id id;
    te_id note;
    uint32_t model;            /**< index into models */
    uint32_t first_inspection; /**< index into te_tables.by_engine */
    uint32_t inspection_count;
    uint32_t first_stay; /**< index into te_tables.stays */
    uint32_t stay_count;
    te_origin origin;
} te_engine;

/** models.csv; a model that only limits.csv or engines.csv names has a row with blanks. */
typedef struct te_model {
    te_id id;
    te_id note;
    double expansion[TE_KIND_NONE]; /**< per kelvin, by kind of part; NAN: no correction */
    double run_in_hours;            /**< NAN when absent */
    double inspect_every_hours;     /**< NAN when absent */
    uint32_t first_limit;           /**< limits of the model, index into limits */
    uint32_t limit_count;
    uint32_t first_plan; /**< index into plan */
    uint32_t plan_count;
    bool reborable;
    bool declared;   /**< models.csv has a row for it */
    bool has_engine; /**< an engine is of this model */
    te_origin origin;
} te_model;

/** limits.csv, ordered by model, then as in the file.  NAN: no such limit. */
typedef struct te_limit {
    uint32_t model;
    te_quantity quantity;
    te_id item; /**< 0: holds for every item without a row of its own */
    te_unit unit;
    te_id unit_text; /**< as written, for units of the user's own */
    double new_min, new_max, service_min, service_max;
    bool required;
    te_id source;
    te_origin origin;
} te_limit;

/** instruments.csv, ordered by instrument, then calibration date.  Lengths in mm. */
typedef struct te_instrument {
    te_id id;
    te_id description;
    te_unit unit;
    te_id unit_text;
    bool unit_given;
    double resolution, expanded_uncertainty, repeatability; /**< NAN when absent */
    double expansion;                                       /**< NAN when absent */
    te_id set_with;
    te_date calibrated, due; /**< TE_NO_DATE when absent */
    te_origin origin;
} te_instrument;

/** parts.csv: one stay of a part on an engine. */
typedef struct te_stay {
    te_id part;
    te_kind kind;
    uint32_t engine;
    double fitted_hours;
    double removed_hours; /**< INFINITY while it is on the engine */
    double hours_before;
    double oversize; /**< as written: mm, or inches for limits in inches */
    bool unknown_history;
    te_id note;
    te_origin origin;
} te_stay;

typedef enum te_state { TE_STATE_NONE = 0, TE_STATE_FOUND, TE_STATE_BUILT } te_state;

/** inspections.csv */
typedef struct te_inspection {
    te_id id;
    uint32_t engine; /**< TE_NO_INDEX when the engine is unknown (an error was reported) */
    te_date date;
    double hours;
    te_state state;
    double temperature;             /**< NAN when absent */
    double temperature_uncertainty; /**< kelvin, standard; NAN when absent */
    te_id by, note;
    te_id part[TE_KIND_NONE]; /**< the part of each kind at this inspection, 0 when none */
    uint32_t first_reading;   /**< index into te_tables.by_inspection */
    uint32_t reading_count;
    uint32_t first_condition; /**< index into conditions */
    uint32_t condition_count;
    te_origin origin;
} te_inspection;

/** What was measured, where and with what: shared by all readings that were taken so. */
typedef struct te_setup {
    double no_go;     /**< as te_reading.value; NAN when absent */
    double zero;      /**< mm; NAN when absent */
    double position;  /**< mm; NAN when absent */
    double direction; /**< degrees in [0, 180); NAN when absent */
    te_quantity feature;
    te_id item;
    te_id instrument;
    te_unit unit;
    te_id unit_text; /**< for a unit of the user's own */
    te_id note;      /**< few rows have one, and fewer one of their own */
} te_setup;

/** readings.csv and readings/: one value; a row with repeats gives several.  A fleet has them by the
 * million, hence bit-fields. */
typedef struct te_reading {
    double value; /**< as read, without the zero; mm or the feature's own unit */
    const te_setup *setup;
    uint32_t inspection;
    te_id part;
    uint32_t line;         /**< as te_origin.line */
    unsigned file : 16;    /**< as te_origin.file */
    unsigned decimals : 4; /**< that the figure tells: digits after the mark less the exponent */
    unsigned repeat : 3;   /**< 1 for `reading`, 2 for `reading_2` ... */
    unsigned dropped : 1;  /**< 1: not counted: a copy of a row of another file, or refused */
} te_reading;

typedef enum te_finding_severity { TE_NOTE = 0, TE_WATCH, TE_REJECT } te_finding_severity;

/** condition.csv, ordered by inspection, then as in the file. */
typedef struct te_condition {
    uint32_t inspection;
    te_id part;
    te_kind kind;
    te_id finding;
    te_finding_severity severity;
    te_origin origin;
} te_condition;

/** spares.csv.  Lengths in mm but the oversize, which is as written. */
typedef struct te_spare {
    te_id id;
    te_kind kind;
    uint32_t model;
    te_quantity feature; /**< TE_Q_NONE when absent */
    te_id item;
    double size, tolerance, oversize, price;
    te_unit unit;
    te_id note;
    te_origin origin;
} te_spare;

/** plan.csv, ordered by model, then as in the file. */
typedef struct te_plan {
    uint32_t model;
    te_quantity feature;
    te_id item;
    double position, direction; /**< mm, degrees; NAN when absent */
    unsigned repeats;
    te_id instrument;
    te_origin origin;
} te_plan;

/** A feature of the user's own. */
typedef struct te_own {
    te_id name;       /**< in lower case */
    te_origin origin; /**< where it was first named */
    bool in_readings, in_limits, in_plan;
} te_own;

/** How the cells of a file are written. */
typedef struct te_dialect {
    char delimiter;    /**< `,`, `;` or tab */
    char decimal_mark; /**< `.` or `,`; with the delimiter `,` always `.` */
} te_dialect;

/** Everything that was read; borrowed from the shop, valid until te_shop_free. */
typedef struct te_tables {
    te_id name, address, currency;
    double confidence;            /**< in [0.5, 1); 0.95 unless the shop says otherwise */
    te_id new_part[TE_KIND_NONE]; /**< names for a new part of each kind: `new/piston` */
    te_id rebored;                /**< and for the cylinder after boring: `rebored/cylinder` */
    te_rule rule;                 /**< simple also when there is no instrument */
    bool simple_for_lack;         /**< the rule is simple because instruments.csv has no row */
    te_date_order date_order;
    const char *const *files; /**< names relative to the shop folder */
    size_t file_count;
    /** What most files of readings are written in (of as many: the one read first); where none was
     * read, inspections.csv; else comma and point. The mark is the comma where most of the shop's
     * files with semicolons or tabs write it. */
    te_dialect dialect;
    char inspection_delimiter; /**< of inspections.csv; 0 when it was not read */
    te_id inspection_header;   /**< header row of inspections.csv as written: each cell ends with a
                                    line feed (one within a cell is held as a space); 0 likewise */
    const te_engine *engines;
    size_t engine_count;
    const te_model *models;
    size_t model_count;
    const te_limit *limits;
    size_t limit_count;
    const te_instrument *instruments;
    size_t instrument_count;
    const te_stay *stays;
    size_t stay_count;
    const te_inspection *inspections; /**< as in the file */
    size_t inspection_count;
    const uint32_t *by_engine;  /**< inspections of each engine, in order of hours, date, file */
    const te_reading *readings; /**< by inspection, then as read; those dropped as copies last */
    size_t reading_count;
    const uint32_t *by_inspection; /**< readings of each inspection, repeats beside each other */
    const te_condition *conditions;
    size_t condition_count;
    const te_spare *spares;
    size_t spare_count;
    const te_plan *plan;
    size_t plan_count;
    const te_own *own;
    size_t own_count;
} te_tables;

/** A shop. */
typedef struct te_shop te_shop;

/** A file held in memory. */
typedef struct te_input {
    const char *name;  /**< as in the shop folder, e.g. `readings/april.csv` */
    const char *bytes; /**< borrowed during the call; may be NULL when length is 0 */
    size_t length;
} te_input;

/** Reads a shop folder.
 * @param[out] shop the shop, to be freed with te_shop_free; made also when there are errors (then
 *   only the engines that no error touches may be judged); NULL when TE_ERR_MEMORY
 * @param[in,out] problems receives errors and warnings, ordered by file and line
 * @param[in] folder path of the folder
 * @param[in] files which files to read: te_file bits
 * @return TE_OK (warnings are possible), TE_ERR_DATA when there is an error, TE_ERR_MEMORY
 */
te_status te_shop_open(te_shop **shop, te_problems *problems, const char *folder, unsigned files);

/** Looks on while a shop's files are read: for a digest of the very bytes that the results rest on, or to tell
 * somebody who waits how far it has come. */
typedef struct te_watch {
    /** Called with pieces of each file in turn, in order; a file that is empty gives one empty
     * piece. The bytes are borrowed during the call. NULL: not called.
     * @param[in,out] context te_watch.context
     * @param[in] name as in te_tables.files
     * @param[in] bytes a piece of the file
     * @param[in] length of @p bytes
     */
    void (*seen)(void *context, const char *name, const char *bytes, size_t length);
    /** Called now and then. NULL: not called.
     * @param[in,out] context te_watch.context
     * @param[in] readings how many the shop has by now
     */
    void (*grown)(void *context, size_t readings);
    void *context;
} te_watch;

/** te_shop_open by several threads, and that lets somebody look on.
 * @param[out] shop as in te_shop_open
 * @param[in,out] problems as in te_shop_open
 * @param[in] folder path of the folder
 * @param[in] files which files to read: te_file bits
 * @param[in] watch who looks on; NULL: nobody
 * @param[in] threads at most so many, this one included; the shop is the same whatever their number
 * @return as te_shop_open
 */
te_status te_shop_open_watched(te_shop **shop, te_problems *problems, const char *folder,
                               unsigned files, const te_watch *watch, unsigned threads);

/** The same from memory.  Inputs named other than the files of a shop are ignored with a warning.
 * @param[out] shop as in te_shop_open
 * @param[in,out] problems as in te_shop_open
 * @param[in] inputs the files; readings are taken in the given order after `readings.csv`
 * @param[in] count number of inputs
 * @param[in] files which files to read: te_file bits
 * @return as te_shop_open
 */
te_status te_shop_read(te_shop **shop, te_problems *problems, const te_input *inputs, size_t count,
                       unsigned files);

/** Frees a shop.
 * @param[in] shop may be NULL
 */
void te_shop_free(te_shop *shop);

/** The tables of a shop.
 * @param[in] shop the shop
 * @return borrowed, never NULL
 */
const te_tables *te_shop_tables(const te_shop *shop);

/** The text of an id.
 * @param[in] shop the shop that made the id
 * @param[in] id any id of the shop; 0 gives ""
 * @return borrowed, terminated UTF-8 without NUL
 */
const char *te_shop_text(const te_shop *shop, te_id id);

/** The id of a text.
 * @param[in] shop the shop
 * @param[in] text terminated
 * @return the id, 0 when no cell of the shop holds it
 */
te_id te_shop_find_text(const te_shop *shop, const char *text);

/** The index of an inspection or an engine by its id.
 * @param[in] shop the shop
 * @param[in] id an id of the shop
 * @return the row, or TE_NO_INDEX
 */
uint32_t te_shop_find_inspection(const te_shop *shop, te_id id);
/** See te_shop_find_inspection.
 * @param[in] shop the shop
 * @param[in] id an id of the shop
 * @return the row, or TE_NO_INDEX
 */
uint32_t te_shop_find_engine(const te_shop *shop, te_id id);

/** The last inspection of an engine, in order of hours, date, file.
 * @param[in] shop the shop
 * @param[in] engine index
 * @return index into inspections, or TE_NO_INDEX when it has none
 */
uint32_t te_shop_last_inspection(const te_shop *shop, uint32_t engine);

/** The name of a quantity or feature.
 * @param[in] shop the shop
 * @param[in] quantity a known quantity or a feature of the shop's own
 * @return borrowed
 */
const char *te_shop_quantity_name(const te_shop *shop, te_quantity quantity);

/** The calibration of an instrument that holds on a day: the latest not after it; where all are
 * later, the earliest.
 * @param[in] shop the shop
 * @param[in] instrument its id
 * @param[in] date the inspection's day
 * @return index into instruments, TE_NO_INDEX when the instrument is not declared
 */
uint32_t te_shop_calibration(const te_shop *shop, te_id instrument, te_date date);

/** The instrument as it was calibrated on a day.  Following set_with from it always comes to an end:
 * circles are errors, and are cut open when the shop is made.
 * @param[in] shop the shop
 * @param[in] instrument its id, 0 for none
 * @param[in] date the inspection's day
 * @return borrowed; NULL when there is none or it is not declared
 */
const te_instrument *te_shop_gauge(const te_shop *shop, te_id instrument, te_date date);

/** The stay of a part on an engine at given hours; of two that touch, the later.
 * @param[in] shop the shop
 * @param[in] part its id
 * @param[in] engine index
 * @param[in] hours engine hours
 * @return index into stays, TE_NO_INDEX for an original part or none
 */
uint32_t te_shop_stay(const te_shop *shop, te_id part, uint32_t engine, double hours);

/** The stays on an engine, in order of kind, then hours of fitting.
 * @param[out] count how many there are
 * @param[in] shop the shop
 * @param[in] engine index
 * @return borrowed; NULL when the shop has no stays
 */
const te_stay *te_shop_engine_stays(size_t *count, const te_shop *shop, uint32_t engine);

/** True when a part of kind `other`, which has no place of its own in an inspection, is on the engine
 * then, as far as parts.csv tells.
 * @param[in] shop the shop
 * @param[in] inspection one of the shop's, with a known engine
 * @param[in] part its id
 */
bool te_shop_other_is_on(const te_shop *shop, const te_inspection *inspection, te_id part);

/** True when a part is on the engine at an inspection and has not come off since earlier hours; off and back at
 * the same hours is no coming off.
 * @param[in] shop the shop
 * @param[in] inspection one of the shop's, with a known engine, or such a one with other parts
 * @param[in] part its id
 * @param[in] kind the part's
 * @param[in] hours engine hours, not above the inspection's
 */
bool te_shop_on_since(const te_shop *shop, const te_inspection *inspection, te_id part,
                      te_kind kind, double hours);

/** True when a condition is a `reject` of a part that is on the engine at an inspection and has not come off since it
 * was seen.
 * @param[in] shop the shop
 * @param[in] inspection as in te_shop_on_since
 * @param[in] condition one of the shop's, of the same engine, seen at that inspection or before
 */
bool te_shop_reject_stands(const te_shop *shop, const te_inspection *inspection,
                           const te_condition *condition);

/** The rows of parts.csv for a part, in the order of the file.
 * @param[out] count how many there are; 0 for an original part
 * @param[in] shop the shop
 * @param[in] part its id
 * @return borrowed indices into stays
 */
const uint32_t *te_shop_part_stays(size_t *count, const te_shop *shop, te_id part);

/** Repeats of one measurement (alike in part, feature, item, position, direction and instrument)
 * stand beside each other in by_inspection.
 * @param[in] shop the shop
 * @param[in] inspection one of the shop's
 * @param[in] first index into by_inspection, within the inspection's readings
 * @return the index behind the last reading that repeats the one at @p first
 */
uint32_t te_shop_group_end(const te_shop *shop, const te_inspection *inspection, uint32_t first);

/** The size that a reading stands for, in mm or the feature's own unit: the zero added, the middle
 * of a go / no-go pair, not corrected for temperature.
 * @param[in] reading any
 */
double te_reading_size(const te_reading *reading);

/** Where the row of a reading stands.
 * @param[in] reading one of the shop's
 */
te_origin te_reading_origin(const te_reading *reading);

/** The limits that hold for a quantity of a model: the row for the item, else the row without one.
 * @param[in] shop the shop
 * @param[in] model index
 * @param[in] quantity the quantity
 * @param[in] item item, 0 for none
 * @return index into limits, or TE_NO_INDEX
 */
uint32_t te_shop_limit(const te_shop *shop, uint32_t model, te_quantity quantity, te_id item);

/** The kind of a part of an inspection; TE_KIND_OTHER for one that is none of its other kinds.
 * @param[in] inspection one of the shop's
 * @param[in] part id of a part that one of its readings names or was resolved to
 */
te_kind te_inspection_kind_of(const te_inspection *inspection, te_id part);

/** The word of a severity (`watch`).
 * @param[in] severity any
 * @return a static string
 */
const char *te_severity_name(te_finding_severity severity);

/** The limits of a quantity of a part at an inspection, with the part's oversize added.
 * @param[out] limit a copy of the row, shifted; untouched when there is none
 * @param[in] shop the shop
 * @param[in] inspection one of the shop's, with a known engine
 * @param[in] quantity the quantity
 * @param[in] item item, 0 for none
 * @param[in] part the part whose oversize counts (for bore and skirt); 0 for none
 * @return false when no row holds
 */
bool te_shop_part_limit(te_limit *limit, const te_shop *shop, const te_inspection *inspection,
                        te_quantity quantity, te_id item, te_id part);

/** The limits of a quantity of a model for a part of an oversize.
 * @param[out] limit a copy of the row, shifted for bore and skirt; untouched when there is none
 * @param[in] shop the shop
 * @param[in] model index; TE_NO_INDEX: no row holds
 * @param[in] quantity the quantity
 * @param[in] item item, 0 for none
 * @param[in] oversize as written: mm, or inches where the limit's unit is in or thou; 0 for none
 * @return false when no row holds
 */
bool te_shop_oversize_limit(te_limit *limit, const te_shop *shop, uint32_t model,
                            te_quantity quantity, te_id item, double oversize);

/** The oversize of a part at an inspection.
 * @param[in] shop the shop
 * @param[in] inspection one of the shop's, with a known engine
 * @param[in] part its id
 * @return as written in parts.csv, 0 for an original part
 */
double te_shop_part_oversize(const te_shop *shop, const te_inspection *inspection, te_id part);

/** The as-new limits that a new part's value lies between. One-sided ones reach from 0 where that is
 * the perfect value: for form, gaps, clearances and plays, not for sizes and features of the user's
 * own.
 * @param[out] least lower end
 * @param[out] most upper end
 * @param[in] limit a row, shifted by the part's oversize
 * @return false when there is no such range
 */
bool te_limit_as_new(double *least, double *most, const te_limit *limit);

/** True when an error of the list touches an engine, so that it must not be judged.
 * @param[in] shop the shop
 * @param[in] problems the list filled when the shop was made
 * @param[in] engine index
 */
bool te_shop_engine_touched(const te_shop *shop, const te_problems *problems, uint32_t engine);

#ifdef __cplusplus
}
#endif
#endif
