/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One function a way of building low and high; the last column of quantity.def names them. */
#ifndef TOPEND_MEASURE_QUANTITY_FORMS_H
#define TOPEND_MEASURE_QUANTITY_FORMS_H

#include "pick.h"

/* Each returns false when the readings do not allow the quantity. The table itself declares them,
 * so that a new one needs its line there and its function, and nothing else. */
#define TE_QUANTITY(symbol, name, kind, second, feature, feature2, items, traits, forms) \
    bool te_forms_##forms(te_form *low, te_form *high, const struct view *view);
#include "topend/quantity.def"
#undef TE_QUANTITY

#endif
