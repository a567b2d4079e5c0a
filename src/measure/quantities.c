/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Every quantity that an inspection's readings allow. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "quantity_forms.h"
#include "record/vector.h"

/* Directions nearer than this (degrees) are alike. */
static const double same_direction = 0.001 + 1e-9;

typedef bool (*forms_function)(te_form *low, te_form *high, const struct view *view);

static const forms_function builders[TE_Q_OWN] = {
#define TE_QUANTITY(symbol, name, kind, second, feature, feature2, items, traits, forms) \
    te_forms_##forms,
#include "topend/quantity.def"
#undef TE_QUANTITY
};

void te_quantities_free(te_quantities *list)
{
    if (list != NULL) {
        free(list->items);
        *list = (te_quantities){0};
    }
}

struct making {
    te_quantities *list;
    struct view view;
    const te_tables *tables;
    const te_inspection *inspection;
};

static bool is_named(const struct making *m, te_quantity quantity)
{
    const te_model *model = &m->tables->models[m->tables->engines[m->inspection->engine].model];
    for (uint32_t i = 0; i < model->limit_count; i++) {
        if (m->tables->limits[model->first_limit + i].quantity == quantity) {
            return true;
        }
    }
    return false;
}

static te_status add_quantity(struct making *m, const te_measured *measured)
{
    te_quantities *list = m->list;
    if (!te_vector_reserve(&list->items, &list->capacity, list->count + 1, sizeof *list->items)) {
        return TE_ERR_MEMORY;
    }
    list->items[list->count++] = *measured;
    return TE_OK;
}

static te_status make_known(struct making *m, te_quantity quantity, te_id item)
{
    const te_quantity_info *info = te_quantity_info_of(quantity);
    te_measured measured = {
        .quantity = quantity,
        .item = item,
        .kind = info->kind,
        .second_kind = info->second_kind,
        .part = m->inspection->part[info->kind],
    };
    if (info->second_kind != TE_KIND_NONE) {
        measured.second_part = m->inspection->part[info->second_kind];
    }
    m->view.quantity = quantity;
    m->view.info = info;
    m->view.item = item;
    m->view.part = 0;
    return builders[quantity](&measured.low, &measured.high, &m->view) ? add_quantity(m, &measured)
                                                                       : TE_OK;
}

/* True when no earlier observation has the same feature, item and, for one of the user's own,
 * part. Observations of a feature and item stand together. */
static bool is_first_of_item(const struct making *m, uint32_t i)
{
    const te_observation *x = &m->view.pool->items[i];
    if (i == m->view.first) {
        return true;
    }
    const te_observation *before = x - 1;
    return before->feature != x->feature || before->item != x->item ||
           (x->feature >= TE_Q_OWN && before->part != x->part);
}

/* Items in the order of their words: 1, 2 ... or left, right. */
static bool item_comes_before(const te_shop *shop, te_id a, te_id b)
{
    const char *x = te_shop_text(shop, a);
    const char *y = te_shop_text(shop, b);
    size_t m = strlen(x);
    size_t n = strlen(y);
    bool numbers = x[0] >= '0' && x[0] <= '9' && y[0] >= '0' && y[0] <= '9';
    return numbers && m != n ? m < n : strcmp(x, y) < 0;
}

/* The next item of a feature after `last` in that order; false when there is none. */
static bool next_item(te_id *item, const struct making *m, te_quantity feature, const te_id *last)
{
    bool found = false;
    for (uint32_t i = m->view.first; i < m->view.end; i++) {
        const te_observation *x = &m->view.pool->items[i];
        bool later = last == NULL || item_comes_before(m->view.shop, *last, x->item);
        if (x->feature == feature && later &&
            (!found || item_comes_before(m->view.shop, x->item, *item))) {
            *item = x->item;
            found = true;
        }
    }
    return found;
}

static te_status make_items(struct making *m, te_quantity quantity)
{
    te_id item = 0;
    te_id last = 0;
    te_quantity feature = te_quantity_info_of(quantity)->feature;
    te_status status = TE_OK;
    bool more = next_item(&item, m, feature, NULL);
    while (more && status == TE_OK) {
        status = make_known(m, quantity, item);
        last = item;
        more = next_item(&item, m, feature, &last);
    }
    return status;
}

static te_status make_own(struct making *m, const te_observation *x)
{
    te_measured measured = {
        .quantity = x->feature,
        .item = x->item,
        .kind = te_inspection_kind_of(m->inspection, x->part),
        .second_kind = TE_KIND_NONE,
        .part = x->part,
    };
    m->view.quantity = x->feature;
    m->view.info = te_quantity_info_of(x->feature);
    m->view.item = x->item;
    m->view.part = x->part;
    return te_forms_extremes(&measured.low, &measured.high, &m->view) ? add_quantity(m, &measured)
                                                                      : TE_OK;
}

te_status te_quantities_make(te_quantities *list, const te_observations *pool, uint32_t first,
                             const te_shop *shop, const te_inspection *inspection)
{
    struct making m = {
        .list = list,
        .view = {.shop = shop, .pool = pool, .first = first, .end = (uint32_t)pool->count},
        .tables = te_shop_tables(shop),
        .inspection = inspection,
    };
    te_status status = TE_OK;
    for (te_quantity q = 0; q < TE_Q_OWN && status == TE_OK; q++) {
        const te_quantity_info *info = te_quantity_info_of(q);
        if ((info->traits & TE_TRAIT_VARIANT) != 0 && !is_named(&m, q)) {
            continue;
        }
        status = info->items == TE_ITEMS_NONE ? make_known(&m, q, 0) : make_items(&m, q);
    }
    for (uint32_t i = m.view.first; i < m.view.end && status == TE_OK; i++) {
        if (pool->items[i].feature >= TE_Q_OWN && is_first_of_item(&m, i)) {
            status = make_own(&m, &pool->items[i]);
        }
    }
    return status;
}

bool te_bore_is_at(const te_observation *observation, double position)
{
    return observation->feature == TE_Q_BORE &&
           fabs(observation->position - position) <= TE_SAME_HEIGHT;
}

uint32_t te_bore_find(const te_observations *pool, uint32_t first, uint32_t end, double position,
                      double direction)
{
    for (uint32_t i = first; i < end; i++) {
        const te_observation *x = &pool->items[i];
        if (te_bore_is_at(x, position) && fabs(x->direction - direction) <= same_direction) {
            return i;
        }
    }
    return TE_NO_INDEX;
}

static te_status add_oval(te_bore_oval **ovals, size_t *capacity, size_t *count, double position,
                          const double *directions, const double *sizes, size_t n)
{
    te_oval oval;
    te_status status = te_oval_fit(&oval, directions, sizes, n);
    if (status == TE_OK) {
        if (!te_vector_reserve(ovals, capacity, *count + 1, sizeof **ovals)) {
            return TE_ERR_MEMORY;
        }
        (*ovals)[(*count)++] = (te_bore_oval){position, n, oval};
    }
    return status == TE_ERR_MEMORY ? status : TE_OK; /* directions too much alike have none */
}

te_status te_bore_ovals(te_bore_oval **ovals, size_t *count, const te_observations *pool,
                        uint32_t first)
{
    enum { MOST = 64 };
    size_t capacity = 0;
    te_status status = TE_OK;
    *ovals = NULL;
    *count = 0;
    for (uint32_t i = first; i < pool->count && status == TE_OK;) {
        const te_observation *x = &pool->items[i];
        double directions[MOST];
        double sizes[MOST];
        size_t n = 0;
        uint32_t j = i;
        /* Observations of one height stand together; one without a height stands alone. */
        for (; j < pool->count && pool->items[j].feature == x->feature &&
               (j == i || fabs(pool->items[j].position - x->position) <= 0.0);
             j++) {
            bool usable = !isnan(pool->items[j].direction) && n < MOST;
            if (usable) {
                directions[n] = pool->items[j].direction;
                sizes[n++] = pool->items[j].value;
            }
        }
        bool placed = x->feature == TE_Q_BORE && !isnan(x->position) && j - i <= MOST;
        if (placed && n >= 3) {
            status = add_oval(ovals, &capacity, count, x->position, directions, sizes, n);
        }
        i = j;
    }
    if (status != TE_OK) {
        free(*ovals);
        *ovals = NULL;
        *count = 0;
    }
    return status;
}
