/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One function a way of building low and high; the last column of quantity.def names them. */
#ifndef TOPEND_MEASURE_QUANTITY_FORMS_H
#define TOPEND_MEASURE_QUANTITY_FORMS_H

#include "pick.h"

/* Each returns false when the readings do not allow the quantity. */
bool te_forms_extremes(te_form *low, te_form *high, const struct view *view);
bool te_forms_out_of_round(te_form *low, te_form *high, const struct view *view);
bool te_forms_taper(te_form *low, te_form *high, const struct view *view);
bool te_forms_out_of_round_overall(te_form *low, te_form *high, const struct view *view);
bool te_forms_taper_ends(te_form *low, te_form *high, const struct view *view);
bool te_forms_clearance(te_form *low, te_form *high, const struct view *view);
bool te_forms_clearance_thrust(te_form *low, te_form *high, const struct view *view);

#endif
