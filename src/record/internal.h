/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The shop while it is built, for the files of this folder only. */
#ifndef TOPEND_RECORD_INTERNAL_H
#define TOPEND_RECORD_INTERNAL_H

#include <math.h>
#include <stdarg.h>

#include "names.h"
#include "setups.h"
#include "topend/shop.h"
#include "vector.h"

/* Row by id: a text id is small, so an array does. Holds row + 1; 0 is none. */
struct id_map {
    uint32_t *rows;
    size_t capacity;
};

typedef VECTOR(te_reading) te_reading_list;

struct te_shop {
    te_tables tables;
    struct names names;
    VECTOR(char *) files;
    VECTOR(te_engine) engines;
    VECTOR(te_model) models;
    VECTOR(te_limit) limits;
    VECTOR(te_instrument) instruments;
    VECTOR(te_stay) stays;
    VECTOR(te_inspection) inspections;
    struct setups setups;
    te_reading_list readings;
    VECTOR(te_condition) conditions;
    VECTOR(te_spare) spares;
    VECTOR(te_plan) plan;
    VECTOR(te_own) own;
    uint32_t *by_engine;
    uint32_t *by_inspection;
    uint32_t *by_part;       /* stays: those of a part beside each other */
    uint32_t *first_of_part; /* by part, index into by_part; one more than parts_end */
    size_t parts_end;        /* ids from here on are not of parts.csv */
    te_id *originals;        /* names of original parts by engine and kind; 0: nobody can mean it */
    bool parts_named;        /* a reading names its part */
    struct id_map engine_of, model_of, inspection_of, own_of;
    struct id_map instrument_of; /* first row of an instrument, after sorting */
    te_problems *problems;       /* while loading */
    const te_watch *watch;       /* while loading; NULL: nobody looks on */
    unsigned threads;            /* while loading; 0 counts as 1 */
    bool by_libcsv;        /* while loading: each row the long way, which the tests compare with */
    unsigned read_files;   /* te_file bits of the files that were there */
    size_t reading_rows;   /* rows below the headers of the files of readings */
    unsigned failed_files; /* of those whose rows cannot all be known: names that they would
                                    have declared are not called unknown as well */
    unsigned seen_keys;    /* of shop.csv */
    struct delimiter_use {
        char delimiter;
        unsigned files;
    } delimiters[3];      /* of the files of readings, in the order met */
    unsigned comma_marks; /* files with semicolons or tabs that write the decimal comma */
    unsigned point_marks; /* likewise the point */
    bool folder_lost;     /* the shop's folder cannot be listed */
    bool out_of_memory;
};

/* Where the bytes of a shop come from, and how they are read. */
struct te_source {
    const char *folder; /* NULL: from memory */
    const te_input *inputs;
    size_t input_count;
    const te_watch *watch; /* of a folder; NULL: nobody looks on */
    unsigned threads;
    bool by_libcsv; /* te_shop.by_libcsv */
};

/* What te_shop_open and te_shop_read do (load.c). */
te_status te_shop_make(te_shop **out, te_problems *problems, const struct te_source *source,
                       unsigned files);

bool te_id_map_set(struct id_map *map, te_id id, uint32_t row);
uint32_t te_id_map_get(const struct id_map *map, te_id id);

/* The id of a text; 0 and out_of_memory set when there is no room. */
te_id te_shop_intern(te_shop *shop, te_slice text);

/* The same in lower case: for words of the user's that are the same without regard to case. */
te_id te_shop_intern_folded(te_shop *shop, te_slice text);

/* How many edits still make a likely slip: one in short words, two in longer ones (cells.c). */
size_t te_likely_edits(size_t length);

/* The feature of the user's own with that name, made when new. */
te_quantity te_shop_own_feature(te_shop *shop, te_slice name, te_origin origin);

/* The model with that id, made without a declaration when new. */
uint32_t te_shop_model(te_shop *shop, te_id id, te_origin origin);

/* Where a problem is. */
struct place_of {
    te_severity severity;
    te_origin origin;
    const char *column;
    te_scope scope;
    te_id scope_id;
};

/* Adds a problem to the shop's list; `format` makes the text of what is wrong. */
#if defined(__GNUC__)
__attribute__((format(printf, 4, 5)))
#endif
void te_shop_problem(te_shop *shop, const struct place_of *place, const char *remedy,
                     const char *format, ...);
void te_shop_problem_list(te_shop *shop, const struct place_of *place, const char *remedy,
                          const char *format, va_list arguments);

/* A place that touches one engine; TE_NO_INDEX touches all. */
struct place_of te_place_engine(const te_shop *shop, te_severity severity, te_origin origin,
                                const char *column, uint32_t engine);

/* The column that a reading stands in: reading, reading_2 ... */
const char *te_reading_column(const te_reading *reading);

/* A step over inspections [first, end). It may change them and their readings, and tell problems; all else of
 * the shop it only reads. */
typedef void te_share_step(te_shop *shop, size_t first, size_t end);

/* Takes a step over all inspections, in shares by several threads where there are many readings: the shop and
 * its problems are the same as by one (share.c). */
void te_shop_share(te_shop *shop, te_share_step *step);

/* The most readings of an inspection, 1 at least: room for what looks at one. */
uint32_t te_shop_most_readings(const te_shop *shop);

/* Adds what another list holds and counts behind what is there (problem.c). */
void te_problems_join(te_problems *problems, const te_problems *more);

/* Steps after the files are read, in this order; each adds its problems. */
void te_shop_link_models(te_shop *shop);        /* link.c: models, limits, plan by model */
void te_shop_check_own_features(te_shop *shop); /* own_features.c: names that are nearly others */
void te_shop_check_spares(te_shop *shop);     /* spares.c: after the models; names new parts too */
void te_shop_link_instruments(te_shop *shop); /* calibrations.c: calibrations, set_with */
void te_shop_drop_copies(te_shop *shop);      /* copies.c: rows that stand in two files */
void te_shop_link_inspections(te_shop *shop); /* link.c: order, readings, conditions */
void te_shop_check_stays(te_shop *shop);      /* history.c: stays that overlap */
void te_shop_resolve_parts(te_shop *shop);    /* resolve.c: the part of each reading */
void te_shop_group_readings(te_shop *shop);   /* groups.c: repeats beside each other */
void te_shop_check_readings(te_shop *shop);   /* ranges.c: ranges, repeats, units */
void te_shop_find_slips(te_shop *shop);       /* slips.c: probable slips */

/* Names the original parts, ENGINE/kind, of those kinds that may be meant: then the parts of inspections are looked
 * for by several threads, which add no name. */
void te_shop_name_originals(te_shop *shop);

/* te_reading_size, for the loops over all readings. */
static inline double te_size_of(const te_reading *reading)
{
    const te_setup *setup = reading->setup;
    double zero = isnan(setup->zero) ? 0.0 : setup->zero;
    double middle = isnan(setup->no_go) ? reading->value
                                        : reading->value + (setup->no_go - reading->value) / 2;
    return zero + middle;
}

/* A limit that was looked for, and of what: readings in order ask for the same one over and over. */
struct limit_memo {
    bool asked, limited;
    uint32_t inspection;
    te_quantity feature;
    te_id item, part;
    te_limit limit;
};

/* Shared by ranges.c and slips.c: the limit of a reading's feature with its oversize added, which stands in the
 * memo; NULL: there is none. */
const te_limit *te_shop_reading_limit(struct limit_memo *memo, const te_shop *shop,
                                      const te_reading *reading);

/* Where a spare stands: what is wrong with it may be fitted to the engines of its model. */
struct place_of te_place_spare(const te_shop *shop, te_severity severity, const te_spare *spare,
                               const char *column);

/* False for a size that is more than a tenth away from every limit, where there is one: a slip. */
bool te_limit_is_near(const te_limit *limit, double size);

/* Whether a part is on an engine, and which one of a kind is. */
enum te_on_engine { TE_ON_NONE, TE_ON_ONE, TE_ON_CHANGE };

/* The part of a kind at an inspection by the history alone; TE_ON_CHANGE: parts change at these
 * hours and the inspection's state does not tell which. */
enum te_on_engine te_shop_part_by_history(te_id *part, const te_shop *shop,
                                          const te_inspection *inspection, te_kind kind);

/* True when the part named is on the engine at the inspection. `kind` receives its kind,
 * TE_KIND_NONE when nothing is known of the part. */
bool te_shop_part_is_on(te_kind *kind, const te_shop *shop, const te_inspection *inspection,
                        te_id part);

#endif
