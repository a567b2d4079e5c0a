/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the rows of spares.csv must agree on, and the names of parts that no file names. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "internal.h"

static const double same_size = 1e-9; /* mm: decimal figures that are equal count as equal */

struct place_of te_place_spare(const te_shop *shop, te_severity severity, const te_spare *spare,
                               const char *column)
{
    bool known = spare->model != TE_NO_INDEX;
    return (struct place_of){severity, spare->origin, column, known ? TE_SCOPE_MODEL : TE_SCOPE_ALL,
                             known ? shop->models.items[spare->model].id : 0};
}

static void report_as(te_shop *shop, te_severity severity, const te_spare *spare,
                      const char *column, const char *remedy, const char *what)
{
    struct place_of place = te_place_spare(shop, severity, spare, column);
    te_shop_problem(shop, &place, remedy, "%s", what);
}

static void report(te_shop *shop, const te_spare *spare, const char *column, const char *remedy,
                   const char *what)
{
    report_as(shop, TE_ERROR, spare, column, remedy, what);
}

/* A size is one of a feature of that kind of part; a feature of the user's own may be any part's. */
static void check_feature(te_shop *shop, const te_spare *spare)
{
    char what[160];
    bool known = spare->feature < TE_Q_OWN;
    const te_quantity_info *info = known ? te_quantity_info_of(spare->feature) : NULL;
    if (info == NULL || spare->kind == TE_KIND_NONE || info->kind == spare->kind) {
        return;
    }
    (void)snprintf(what, sizeof what, "%s is measured on a %s, the spare's kind is %s", info->name,
                   te_kind_name(info->kind), te_kind_name(spare->kind));
    report(shop, spare, "feature", "correct the kind or the feature", what);
}

/* A new part is as new: a size outside those limits is a slip, or an oversize that is not written. */
static void check_size(te_shop *shop, const te_spare *spare)
{
    te_limit limit;
    double oversize = isnan(spare->oversize) ? 0.0 : spare->oversize;
    bool sized = !isnan(spare->size) && te_quantity_is(spare->feature, TE_TRAIT_SIZE);
    if (!sized || !te_shop_oversize_limit(&limit, shop, spare->model, spare->feature, spare->item,
                                          oversize)) {
        return;
    }
    if (!te_limit_is_near(&limit, spare->size)) {
        report(shop, spare, "size", "check the unit, the decimal mark and the oversize",
               "the size is more than 10 % away from its nearest limit");
    } else if (spare->size < limit.new_min - same_size || spare->size > limit.new_max + same_size) {
        report_as(shop, TE_WARNING, spare, "size", "check the digits and the oversize",
                  "the size is outside the as-new limits of its oversize");
    }
}

static bool differ(double a, double b)
{
    return !isnan(a) && !isnan(b) && (a < b || a > b);
}

/* The rows of one spare, one a feature, are of one thing: what they say of it is alike. */
static void check_alike(te_shop *shop, const te_spare *spare, const te_spare *first)
{
    char what[96];
    const char *column = first->kind != spare->kind                 ? "kind"
                         : differ(first->oversize, spare->oversize) ? "oversize"
                         : differ(first->price, spare->price)       ? "price"
                                                                    : NULL;
    if (column != NULL) {
        (void)snprintf(what, sizeof what, "the same spare has another %s in line %u", column,
                       (unsigned)first->origin.line);
        report(shop, spare, column, "one spare is one part: write it alike, or rename one", what);
    }
}

/* A spare's key, copied out so that the comparison needs no context. */
struct spare_key {
    te_id id;
    uint32_t model, row;
};

static int by_spare(const void *left, const void *right)
{
    const struct spare_key *a = left;
    const struct spare_key *b = right;
    if (a->id != b->id) {
        return a->id < b->id ? -1 : 1;
    }
    if (a->model != b->model) {
        return a->model < b->model ? -1 : 1;
    }
    return (a->row > b->row) - (a->row < b->row);
}

static void check_rows_alike(te_shop *shop)
{
    struct spare_key *keys = calloc(shop->spares.count + 1, sizeof *keys);
    size_t first = 0;
    if (keys == NULL) {
        shop->out_of_memory = true;
        return;
    }
    for (size_t i = 0; i < shop->spares.count; i++) {
        const te_spare *spare = &shop->spares.items[i];
        keys[i] = (struct spare_key){spare->id, spare->model, (uint32_t)i};
    }
    if (shop->spares.count > 1) {
        qsort(keys, shop->spares.count, sizeof *keys, by_spare);
    }
    for (size_t i = 1; i < shop->spares.count; i++) {
        if (keys[i].id == keys[first].id && keys[i].model == keys[first].model) {
            check_alike(shop, &shop->spares.items[keys[i].row],
                        &shop->spares.items[keys[first].row]);
        } else {
            first = i;
        }
    }
    free(keys);
}

/* ---- names ---- */

static te_id name_part(te_shop *shop, const char *start, te_kind kind)
{
    char name[64];
    (void)snprintf(name, sizeof name, "%s/%s", start, te_kind_name(kind));
    return te_shop_intern(shop, (te_slice){name, strlen(name)});
}

void te_shop_check_spares(te_shop *shop)
{
    for (size_t i = 0; i < shop->spares.count; i++) {
        check_feature(shop, &shop->spares.items[i]);
        check_size(shop, &shop->spares.items[i]);
    }
    check_rows_alike(shop);
    for (int kind = 0; kind < TE_KIND_NONE; kind++) {
        shop->tables.new_part[kind] = name_part(shop, "new", (te_kind)kind);
    }
    shop->tables.rebored = name_part(shop, "rebored", TE_KIND_CYLINDER);
}
