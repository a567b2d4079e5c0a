/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Which values belong together, and which of them stand on one axis. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "record/hash.h"
#include "record/vector.h"
#include "series.h"

/* While groups are found: a hash table of their numbers. */
struct finding {
    struct group *groups; /* by number */
    size_t count;
    uint32_t *slots; /* number + 1, 0 for none */
    unsigned slot_bits;
    size_t *next;          /* of each group: where its next entry goes */
    struct entry *entries; /* in order of groups */
};

/* ---- order ---- */

static int by_output(const void *left, const void *right)
{
    const struct group *a = left;
    const struct group *b = right;
    if (a->quantity != b->quantity) {
        return a->quantity < b->quantity ? -1 : 1;
    }
    int items = a->item == b->item ? 0 : te_item_compare(a->word, b->word);
    return items != 0 ? items : (a->number > b->number) - (a->number < b->number);
}

/* Own hours are sums and carry rounding: they are compared by whole steps of what counts as the
 * same, so that the date decides where a part left one engine and went on another. */
static int compare_hours(double a, double b)
{
    double m = round(a / TE_SAME_HOURS);
    double n = round(b / TE_SAME_HOURS);
    return (m > n) - (m < n);
}

/* Entries of one group in order of hours, date, file. */
static int by_hours(const void *left, const void *right)
{
    const struct entry *a = left;
    const struct entry *b = right;
    int order = compare_hours(a->hours, b->hours);
    order = order != 0 ? order : (a->date > b->date) - (a->date < b->date);
    return order != 0 ? order : (a->inspection > b->inspection) - (a->inspection < b->inspection);
}

/* Most entries are in order already: an engine's hours grow with the date. */
static void sort_by_hours(struct entry *entries, size_t count)
{
    for (size_t i = 1; i < count; i++) {
        if (by_hours(&entries[i - 1], &entries[i]) > 0) {
            qsort(entries, count, sizeof *entries, by_hours);
            return;
        }
    }
}

/* ---- groups ---- */

static bool make_room(struct finding *f, te_work *work, size_t count)
{
    f->slot_bits = te_hash_slot_bits(count);
    size_t slots = ((size_t)1 << f->slot_bits) * sizeof *f->slots;
    size_t size = count * (sizeof *f->entries + sizeof *f->groups + sizeof *f->next) + slots;
    if (!te_vector_reserve(&work->block, &work->capacity, size, 1)) {
        return false;
    }
    f->entries = work->block; /* the widest members first, so that all are aligned */
    f->groups = (struct group *)(f->entries + count);
    f->next = (size_t *)(f->groups + count);
    f->slots = (uint32_t *)(f->next + count);
    memset(f->slots, 0, slots);
    return true;
}

static bool belongs(const struct group *group, const struct entry *entry)
{
    return group->quantity == entry->quantity && group->item == entry->item &&
           group->part == entry->part && group->second_part == entry->second_part;
}

/* The number of an entry's group; a new one is the next. */
static uint32_t number_of(struct finding *f, const struct entry *entry)
{
    uint64_t hash = te_hash_mix((uint64_t)entry->quantity << 32 | entry->item,
                                (uint64_t)entry->part << 32 | entry->second_part);
    size_t mask = ((size_t)1 << f->slot_bits) - 1;
    size_t slot = (size_t)hash & mask;
    while (f->slots[slot] != 0 && !belongs(&f->groups[f->slots[slot] - 1], entry)) {
        slot = (slot + 1) & mask;
    }
    if (f->slots[slot] == 0) {
        f->groups[f->count] = (struct group){.quantity = entry->quantity,
                                             .item = entry->item,
                                             .part = entry->part,
                                             .second_part = entry->second_part,
                                             .word = entry->word,
                                             .number = (uint32_t)f->count};
        f->slots[slot] = (uint32_t)++f->count;
    }
    return f->slots[slot] - 1;
}

/* Orders the groups and puts the entries of each together, in the order in which they come. */
static void put_together(struct finding *f, struct entry *entries, size_t count)
{
    size_t start = 0;
    for (size_t i = 0; i < count; i++) {
        entries[i].group = number_of(f, &entries[i]);
        f->groups[entries[i].group].count++;
    }
    if (f->count > 1) {
        qsort(f->groups, f->count, sizeof *f->groups, by_output);
    }
    for (size_t i = 0; i < f->count; i++) {
        struct group *group = &f->groups[i];
        group->first = start;
        f->next[group->number] = start;
        start += group->count;
    }
    for (size_t i = 0; i < count; i++) {
        f->entries[f->next[entries[i].group]++] = entries[i];
    }
}

/* ---- the axis of a group ---- */

/* The last entry of a group: of a pair the last in order of date, for it counts its hours anew when it
 * comes together again; of a part by its own hours, which go on from engine to engine. */
static const struct entry *last_of(const struct entry *entries, size_t count)
{
    const struct entry *last = &entries[count - 1];
    for (size_t i = 0; i < count && last->second_part == 0; i++) {
        const struct entry *e = &entries[i];
        last = !isnan(e->hours) && (isnan(last->hours) || by_hours(e, last) > 0) ? e : last;
    }
    return last;
}

/* Marks what is not on the axis of a group: what stands before an unknown history, of a pair that
 * parted and came together again what was before, and a gap in another cylinder, whose wear is none
 * of the ring's. Entries stand in order of date. */
static void keep_last_period(struct entry *entries, size_t count)
{
    const struct entry *last = last_of(entries, count);
    for (size_t i = 0; i < count; i++) {
        bool same = last->second_part == 0 ||
                    (entries[i].engine == last->engine &&
                     fabs(entries[i].start - last->start) <= TE_SAME_HOURS);
        same = same && entries[i].cylinder == last->cylinder;
        entries[i].hours = same ? entries[i].hours : NAN;
    }
}

/* A group without any entry on its axis has no series that could tell of it. */
static void count_lost(struct workshop *w, const struct entry *last)
{
    te_history *out = w->out;
    const te_measured *measured = &out->quantities.items[last->measured];
    out->lost += te_find_measured_on_now(&w->found, w->shop, measured, out->engine);
}

/* Leaves the entries of a group that are on its axis, in order of hours. */
static void settle(struct workshop *w, struct entry *entries, struct group *group)
{
    size_t kept = 0;
    size_t count = group->count;
    entries += group->first;
    keep_last_period(entries, count);
    for (size_t i = 0; i < count; i++) {
        if (isnan(entries[i].hours)) {
            continue;
        }
        if (kept != i) {
            entries[kept] = entries[i];
        }
        kept++;
    }
    if (kept == 0) {
        count_lost(w, &entries[count - 1]);
    }
    for (size_t i = 0; i < kept; i++) {
        entries[i].dropped = (uint32_t)(count - kept);
    }
    group->count = kept;
    sort_by_hours(entries, kept);
}

te_status te_entries_group(struct groups *groups, struct workshop *workshop, struct entry *entries,
                           size_t count)
{
    struct finding f = {.count = 0};
    if (!make_room(&f, &workshop->out->group_work, count)) {
        return TE_ERR_MEMORY;
    }
    put_together(&f, entries, count);
    for (size_t i = 0; i < f.count; i++) {
        settle(workshop, f.entries, &f.groups[i]);
    }
    *groups = (struct groups){f.groups, f.count, f.entries};
    return TE_OK;
}
