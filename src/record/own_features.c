/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Names of the user's own for what is measured: a slip in one makes a limit or a reading count for nothing. */
#include <stdio.h>
#include <string.h>

#include "table.h"

/* The name that another one is nearly. */
struct likeness {
    const char *name;  /* NULL: none is near */
    const te_own *own; /* whose name it is; NULL: a known quantity's */
};

static bool is_digit(char c)
{
    return c >= '0' && c <= '9';
}

/* head_bolt_1 and head_bolt_12 are two things on purpose: one name but for the digits in it. */
static bool differ_in_digits_only(const char *a, const char *b)
{
    for (;;) {
        bool digits = is_digit(*a) && is_digit(*b);
        while (digits && is_digit(*a)) {
            a++;
        }
        while (digits && is_digit(*b)) {
            b++;
        }
        if (*a != *b || *a == '\0') {
            return *a == *b;
        }
        a += !digits;
        b += !digits;
    }
}

static struct likeness like(const te_shop *shop, size_t at)
{
    enum { COMPARED_MOST = 300 }; /* of one's own: each is held against each */
    const char *name = te_names_text(&shop->names, shop->own.items[at].name);
    struct likeness found = {NULL, NULL};
    size_t best = te_likely_edits(strlen(name)) + 1;
    for (te_quantity q = 0; q < TE_Q_OWN; q++) {
        const char *word = te_quantity_info_of(q)->name;
        size_t distance = te_text_distance(name, word);
        if (distance < best) {
            best = distance;
            found.name = word;
        }
    }
    for (size_t i = 0; i < shop->own.count && shop->own.count <= COMPARED_MOST; i++) {
        const te_own *other = &shop->own.items[i];
        const char *word = te_names_text(&shop->names, other->name);
        size_t distance = i == at ? SIZE_MAX : te_text_distance(name, word);
        if (distance < best && !differ_in_digits_only(name, word)) {
            best = distance;
            found = (struct likeness){word, other};
        }
    }
    return found;
}

static const char *only_file(const te_own *own)
{
    return own->in_limits ? "limits.csv" : own->in_plan ? "plan.csv" : "readings";
}

/* ---- whom an error touches ---- */

/* The engines or models of rows, as far as they are one. */
struct one_scope {
    te_scope scope;
    te_id id; /* 0: none yet */
    bool many;
};

static void add_to(struct one_scope *one, te_id id)
{
    one->many = one->many || id == 0 || (one->id != 0 && one->id != id);
    one->id = id;
}

/* The engine whose readings have the name, or the model whose limits or plan do; several: all. */
static struct one_scope touched_by(const te_shop *shop, const te_own *own, te_quantity feature)
{
    struct one_scope one = {own->in_readings ? TE_SCOPE_ENGINE : TE_SCOPE_MODEL, 0, false};
    for (size_t i = 0; own->in_readings && i < shop->readings.count; i++) {
        const te_reading *reading = &shop->readings.items[i];
        uint32_t engine = shop->inspections.items[reading->inspection].engine;
        if (reading->setup->feature == feature) {
            add_to(&one, engine == TE_NO_INDEX ? 0 : shop->engines.items[engine].id);
        }
    }
    for (size_t i = 0; own->in_limits && i < shop->limits.count; i++) {
        if (shop->limits.items[i].quantity == feature) {
            add_to(&one, shop->models.items[shop->limits.items[i].model].id);
        }
    }
    for (size_t i = 0; own->in_plan && i < shop->plan.count; i++) {
        if (shop->plan.items[i].feature == feature) {
            add_to(&one, shop->models.items[shop->plan.items[i].model].id);
        }
    }
    if (one.many || one.id == 0) {
        one = (struct one_scope){TE_SCOPE_ALL, 0, true};
    }
    return one;
}

/* ---- what is told ---- */

/* A limit that nothing is held against may be one of a quantity that is now without. */
static void warn_unread(te_shop *shop, const te_own *own, struct place_of *place)
{
    bool whole = shop->problems->errors == 0; /* else a row may be lost that names it */
    if (whole && own->in_limits && !own->in_plan && !own->in_readings) {
        place->severity = TE_WARNING;
        te_shop_problem(shop, place, "check that it is spelt as there",
                        "no reading and no plan names \"%s\"",
                        te_names_text(&shop->names, own->name));
    }
}

static void tell_like(te_shop *shop, const te_own *own, const struct likeness *near_name,
                      struct place_of *place)
{
    const char *name = te_names_text(&shop->names, own->name);
    char remedy[TE_PROBLEM_TEXT];
    if (near_name->own == NULL) {
        (void)snprintf(remedy, sizeof remedy,
                       "write %s, or give a feature of your own a name less like it",
                       near_name->name);
        te_shop_problem(shop, place, remedy, "\"%s\" is not a known quantity", name);
        return;
    }
    const te_own *other = near_name->own;
    bool apart = own->in_limits != other->in_limits || own->in_plan != other->in_plan ||
                 own->in_readings != other->in_readings;
    if (apart) {
        te_shop_problem(shop, place, "write both the same, or make them less alike",
                        "only %s %s \"%s\", which is nearly \"%s\"", only_file(own),
                        own->in_readings ? "name" : "names", name, near_name->name);
        return;
    }
    place->severity = TE_WARNING;
    te_shop_problem(shop, place, "write both the same, if they are one", "\"%s\" is nearly \"%s\"",
                    name, near_name->name);
}

/* A name that is nearly another one, and that only one file uses, is a slip; of two in the same file
 * that cannot be told. */
void te_shop_check_own_features(te_shop *shop)
{
    for (size_t i = 0; i < shop->own.count; i++) {
        const te_own *own = &shop->own.items[i];
        bool used_twice = own->in_limits + own->in_plan + own->in_readings > 1;
        struct likeness near_name = used_twice ? (struct likeness){NULL, NULL} : like(shop, i);
        struct place_of place = {TE_ERROR, own->origin, own->in_limits ? "quantity" : "feature",
                                 TE_SCOPE_ALL, 0};
        if (near_name.name == NULL) {
            warn_unread(shop, own, &place);
            continue;
        }
        struct one_scope touched = touched_by(shop, own, TE_Q_OWN + (te_quantity)i);
        place.scope = touched.scope;
        place.scope_id = touched.id;
        tell_like(shop, own, &near_name, &place);
    }
}
