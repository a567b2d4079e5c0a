/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Steps of te_history_make, for the files of this folder only. */
#ifndef TOPEND_WEAR_SERIES_H
#define TOPEND_WEAR_SERIES_H

#include "topend/wear.h"

/* ---- hours.c ---- */

/* True when a part of known history has 0 own hours at those engine hours: new there and then. */
bool te_part_starts_new(const te_shop *shop, te_id part, uint32_t engine, double hours);

/* Where a part was new: engine and hours of the stay that begins at 0 own hours. An original part
 * was new on `last_engine` at 0 h. False for a part that came used or with an unknown history. */
bool te_part_new_place(uint32_t *engine, double *hours, const te_shop *shop, te_id part,
                       uint32_t last_engine);

/* True when a cylinder runs on an engine from those hours on and is new then; `original`: parts.csv
 * has no row for it. */
bool te_cylinder_new_at(bool *original, const te_shop *shop, te_id cylinder, uint32_t engine,
                        double hours);

/* True when a part was on an engine for some time between two hours of it. */
bool te_part_runs_within(const te_shop *shop, te_id part, te_kind kind, uint32_t engine,
                         double from, double to);

/* True when a part is on an engine still, as far as parts.csv knows. */
bool te_part_on_now(const te_shop *shop, te_id part, te_kind kind, uint32_t engine);

/* True when a part is on an engine still and has been since those hours. */
bool te_part_on_since(const te_shop *shop, te_id part, te_kind kind, uint32_t engine, double hours);

/* True when a part was ever on an engine that an error touches. */
bool te_part_touched(const te_shop *shop, const te_problems *problems, te_id part);

/* What was found of a part of each kind, the last one asked for: the quantities of an inspection and the
 * sides of a series ask for the same few parts one after the other. Start with all zero. */
struct found_parts {
    struct found_time {
        bool is;
        te_id part;
        uint32_t engine;
        double hours;
        te_part_time time;
    } time[TE_KIND_NONE + 1];
    struct found_now {
        bool is;
        te_id part;
        uint32_t engine;
        bool on;
    } now[TE_KIND_NONE + 1];
    struct found_touched {
        bool is;
        te_id part;
        bool touched;
    } touched[TE_KIND_NONE + 1];
};

/* te_part_time_at, te_part_on_now, te_part_on_since and te_part_touched by what was found before, else
 * found now. */
const te_part_time *te_find_time(struct found_parts *found, const te_shop *shop, te_id part,
                                 te_kind kind, uint32_t engine, double hours);
bool te_find_on_now(struct found_parts *found, const te_shop *shop, te_id part, te_kind kind,
                    uint32_t engine);
/* All parts of a quantity are on an engine still. */
bool te_find_measured_on_now(struct found_parts *found, const te_shop *shop,
                             const te_measured *measured, uint32_t engine);
bool te_find_on_since(struct found_parts *found, const te_shop *shop, te_id part, te_kind kind,
                      uint32_t engine, double hours);
bool te_find_touched(struct found_parts *found, const te_shop *shop, const te_problems *problems,
                     te_id part, te_kind kind);

/* ---- entries.c ---- */

/* One value of a quantity: a measured quantity of an inspection, and its place in time. */
struct entry {
    uint32_t measured;   /* index into the history's quantities */
    uint32_t inspection; /* index of the row */
    uint32_t group;      /* its number, in order of the inspections looked at */
    te_quantity quantity;
    te_id part, second_part;
    te_id item;
    const char *word; /* the item's text: items go in the order of their words */
    uint32_t engine;
    te_date date;
    double engine_hours;
    double hours;   /* of the series; NAN: not on its axis */
    double start;   /* of a pair: engine hours at which it came together */
    te_id cylinder; /* of an end gap: in which it was measured */
    bool unknown, original;
    bool partial;     /* measured at fewer places than plan.csv names */
    uint32_t dropped; /* entries of its group that are not on the axis */
};

/* What all series of a history are made with. */
struct workshop {
    te_history *out;
    const te_shop *shop;
    const te_tables *tables;
    double quantile; /* of the normal distribution, for the shop's confidence */
    bool due_alone;  /* series of which te_due_make tells nothing have their names alone */
    struct found_parts found;
};

/* Entries alike in quantity, item and parts. */
struct group {
    te_quantity quantity;
    te_id item, part, second_part;
    const char *word;    /* the item's text */
    uint32_t number;     /* in order of the inspections looked at */
    size_t first, count; /* entries; only those on the group's axis, which may be none */
};

/* All groups, in the order of their series. The memory is the history's. */
struct groups {
    struct group *items;
    size_t count;
    struct entry *entries; /* those of a group stand together, in order of hours, date, file */
};

/* Groups entries, which stand in the order of the inspections looked at, leaves out those that are not on the
 * axis of their group, and counts in the history the groups that are lost so. Numbers the entries' groups. */
te_status te_entries_group(struct groups *groups, struct workshop *workshop, struct entry *entries,
                           size_t count);

/* ---- series.c ---- */

/* Adds the series, one a side, of a group of entries alike in quantity, item and parts, in order of
 * hours. */
te_status te_series_add(struct workshop *workshop, const struct entry *entries, size_t count);

#endif
