/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the writers of series, builds and due dates share. */
#ifndef TOPEND_REPORT_WEAR_WORDS_H
#define TOPEND_REPORT_WEAR_WORDS_H

#include "put.h"
#include "topend/write_wear.h"

/* Rates are told per so many hours. */
#define TE_RATE_HOURS 100.0

/* The unit of a series: mm, or the text of a unit of the user's own. */
const char *te_series_unit(const te_shop *shop, const te_history *history, const te_series *series);

/* A series as what te_write_parts and te_write_kinds take. */
te_measured te_series_subject(const te_series *series);

/* The same for what decides when an engine is due. */
te_measured te_due_subject(const te_due *due);

/* True when a series is the engine's own: last measured on it, and of the quantity asked for. */
bool te_series_is_told(const te_history *history, const te_series *series, te_quantity only);

/* Standard uncertainties of a fit; NAN when no interval is known. */
double te_series_u_rate(const te_series *series);
double te_series_u_level(const te_series *series);

/* The worst status of the engine's last inspection; "" when it has none. */
const char *te_due_worst_name(const te_due *due);
const char *te_due_verdict_name(const te_due *due);

#endif
