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
        free(list->work.block);
        *list = (te_quantities){0};
    }
}

/* The readings of one item of a feature: they stand together. */
struct item_run {
    te_id item;
    struct span span;
};

struct making {
    te_quantities *list;
    struct view view;
    struct feature_spans spans;
    struct item_run *runs; /* room for every item of a feature */
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

/* Room for one more quantity, behind the last of the list; NULL when memory runs out. It is made
 * there, and its forms are empty: they are large, and to clear all of their terms would be most of the work. */
static te_measured *next_quantity(struct making *m, te_quantity quantity, te_id item)
{
    te_quantities *list = m->list;
    if (!te_vector_reserve(&list->items, &list->capacity, list->count + 1, sizeof *list->items)) {
        return NULL;
    }
    te_measured *next = &list->items[list->count];
    next->quantity = quantity;
    next->item = item;
    next->part = 0;
    next->second_part = 0;
    next->low.count = 0;
    next->high.count = 0;
    return next;
}

/* Keeps the next quantity when the readings give its forms. */
static void keep_quantity(struct making *m, te_measured *next, forms_function forms)
{
    m->view.quantity = next->quantity;
    m->view.info = te_quantity_info_of(next->quantity);
    m->view.item = next->item;
    m->view.part = next->quantity < TE_Q_OWN ? 0 : next->part;
    m->list->count += forms(&next->low, &next->high, &m->view) ? 1 : 0;
}

static te_status make_known(struct making *m, te_quantity quantity, te_id item)
{
    const te_quantity_info *info = te_quantity_info_of(quantity);
    te_measured *next = next_quantity(m, quantity, item);
    if (next == NULL) {
        return TE_ERR_MEMORY;
    }
    next->kind = info->kind;
    next->second_kind = info->second_kind;
    next->part = m->inspection->part[info->kind];
    if (info->second_kind != TE_KIND_NONE) {
        next->second_part = m->inspection->part[info->second_kind];
    }
    keep_quantity(m, next, builders[quantity]);
    return TE_OK;
}

static te_status make_own(struct making *m, const te_observation *x)
{
    te_measured *next = next_quantity(m, x->feature, x->item);
    if (next == NULL) {
        return TE_ERR_MEMORY;
    }
    next->kind = te_inspection_kind_of(m->inspection, x->part);
    next->second_kind = TE_KIND_NONE;
    next->part = x->part;
    keep_quantity(m, next, te_forms_extremes);
    return TE_OK;
}

/* ---- items ---- */

int te_item_compare(const char *a, const char *b)
{
    size_t m = strlen(a);
    size_t n = strlen(b);
    bool numbers = a[0] >= '0' && a[0] <= '9' && b[0] >= '0' && b[0] <= '9';
    return numbers && m != n ? (m < n ? -1 : 1) : strcmp(a, b);
}

static bool item_comes_before(const te_shop *shop, te_id a, te_id b)
{
    return te_item_compare(te_shop_text(shop, a), te_shop_text(shop, b)) < 0;
}

/* Lists the items of a known feature in that order, by insertion: there are a hundred at most. */
static size_t list_items(struct item_run *runs, const struct making *m, te_quantity feature)
{
    size_t count = 0;
    size_t at = 0;
    for (uint32_t i = m->spans.known[feature].first; i < m->spans.known[feature].end; i++) {
        te_id item = m->view.pool->items[i].item;
        if (count > 0 && runs[at].item == item) {
            runs[at].span.end = i + 1;
            continue;
        }
        at = count++;
        for (; at > 0 && item_comes_before(m->view.shop, item, runs[at - 1].item); at--) {
            runs[at] = runs[at - 1];
        }
        runs[at] = (struct item_run){item, {i, i + 1}};
    }
    return count;
}

/* While an item's quantity is made, its readings are all that there are of the feature. */
static te_status make_items(struct making *m, te_quantity quantity)
{
    te_quantity feature = te_quantity_info_of(quantity)->feature;
    struct span whole = m->spans.known[feature];
    size_t count = list_items(m->runs, m, feature);
    te_status status = TE_OK;
    for (size_t i = 0; i < count && status == TE_OK; i++) {
        m->spans.known[feature] = m->runs[i].span;
        status = make_known(m, quantity, m->runs[i].item);
    }
    m->spans.known[feature] = whole;
    return status;
}

/* ---- all of them ---- */

/* Room for a member and an item for each observation. */
static bool make_room(struct making *m)
{
    size_t count = (size_t)(m->view.end - m->view.first) + 1;
    te_quantities *list = m->list;
    if (!te_vector_reserve(&list->work.block, &list->work.capacity,
                           count * (sizeof *m->view.members + sizeof *m->runs), 1)) {
        return false;
    }
    m->view.members = list->work.block;
    m->runs = (struct item_run *)(m->view.members + count);
    return true;
}

static te_status make_all_known(struct making *m)
{
    te_status status = TE_OK;
    for (te_quantity q = 0; q < TE_Q_OWN && status == TE_OK; q++) {
        const te_quantity_info *info = te_quantity_info_of(q);
        bool read = m->spans.known[info->feature].end > 0;
        if (read && ((info->traits & TE_TRAIT_VARIANT) == 0 || is_named(m, q))) {
            status = info->items == TE_ITEMS_NONE ? make_known(m, q, 0) : make_items(m, q);
        }
    }
    return status;
}

/* The readings of an own feature, of one item and part stand together: nothing else is looked at. */
static te_status make_all_own(struct making *m)
{
    const te_observation *items = m->view.pool->items;
    uint32_t end = m->spans.own.end;
    te_status status = TE_OK;
    for (uint32_t i = m->spans.own.first; i < end && status == TE_OK; i = m->view.end) {
        const te_observation *x = &items[i];
        m->view.first = i;
        m->view.end = i + 1;
        while (m->view.end < end && items[m->view.end].feature == x->feature &&
               items[m->view.end].item == x->item && items[m->view.end].part == x->part) {
            m->view.end++;
        }
        status = make_own(m, x);
    }
    return status;
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
    m.view.known = m.spans.known;
    if (!make_room(&m)) {
        return TE_ERR_MEMORY;
    }
    te_find_spans(&m.spans, pool, first, m.view.end);
    te_status status = make_all_known(&m);
    return status != TE_OK ? status : make_all_own(&m);
}

static void move_form(te_form *form, uint32_t first)
{
    for (size_t i = 0; i < form->count; i++) {
        form->observation[i] -= first;
    }
}

te_status te_quantities_copy(te_quantities *list, const te_measured *items, size_t count,
                             uint32_t first)
{
    if (!te_vector_reserve(&list->items, &list->capacity, list->count + count,
                           sizeof *list->items)) {
        return TE_ERR_MEMORY;
    }
    for (size_t i = 0; i < count; i++) {
        te_measured *copy = &list->items[list->count++];
        *copy = items[i];
        move_form(&copy->low, first);
        move_form(&copy->high, first);
    }
    return TE_OK;
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
