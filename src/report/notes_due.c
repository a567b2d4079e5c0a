/* SPDX-License-Identifier: GPL-3.0-or-later */
/* When an engine is due, in sentences. */
#include <math.h>

#include "notes.h"
#include "wear_words.h"

/* What decides, its limit, and what it rests on. */
static void put_decider(te_buffer *lines, const te_shop *shop, const te_due *due)
{
    te_measured subject = te_due_subject(due);
    if (due->quantity == TE_Q_NONE) {
        te_buffer_text(lines, ", by the model's interval");
        return;
    }
    te_buffer_text(lines, ", by ");
    te_put_quantity(lines, shop, due->quantity, due->item);
    te_buffer_text(lines, " of ");
    te_write_parts(lines, shop, &subject);
    te_buffer_text(lines, due->side == TE_SIDE_HIGH ? ", max " : ", min ");
    te_put_number(lines, due->limit, 7);
    if (due->measured != due->inspection) {
        const te_tables *tables = te_shop_tables(shop);
        te_buffer_text(lines, ", last measured in ");
        te_buffer_safe(lines, te_shop_text(shop, tables->inspections[due->measured].id));
    }
    te_buffer_text(lines, due->assumed ? ", whose rate rests on a point ASSUMED as new" : "");
    te_buffer_text(
        lines, due->original ? ", right only if never changed: parts.csv has no row for it" : "");
    te_buffer_text(lines, due->scatter ? ", whose points scatter more than their uncertainty "
                                         "explains: it may come sooner"
                                       : "");
}

static void put_hours_told(te_buffer *lines, const te_shop *shop, const te_due *due)
{
    if (due->hours_left <= 0.0) {
        te_buffer_text(lines, "Due already at ");
    } else if (due->basis == TE_DUE_BEST) {
        te_buffer_text(lines, "By the BEST ESTIMATE alone, without any margin, due at ");
    } else {
        te_buffer_text(lines, "Inspect again not later than at ");
    }
    te_put_tenths_down(lines, due->due_hours);
    te_buffer_text(lines, " h on the meter");
    if (due->hours_left > 0.0) {
        te_buffer_text(lines, " (");
        te_put_tenths_down(lines, due->hours_left);
        te_buffer_text(lines, " h from here)");
    }
    put_decider(lines, shop, due);
}

static void put_untold(te_buffer *lines, const te_due *due)
{
    te_buffer_text(lines, "When it is due next CANNOT BE TOLD: ");
    te_buffer_text(lines, due->left_out > 0 ? "errors in the files touch the history of its parts"
                          : due->no_meter   ? "no hours are counted, every inspection is at 0 h"
                                            : "no rate leads to a limit yet, and models.csv has no "
                                              "interval");
}

static void put_count_line(te_buffer *lines, size_t count, const char *one, const char *many)
{
    if (count > 0) {
        te_notes_next(lines);
        te_put_count(lines, count);
        te_buffer_text(lines, count == 1 ? one : many);
    }
}

void te_notes_due(te_buffer *lines, const te_shop *shop, const te_due *due)
{
    te_notes_next(lines);
    if (due->condemned) { /* whatever hours its sizes leave */
        te_buffer_text(lines,
                       "Due now: still on by parts.csv, though an inspection condemned it: ");
        te_put_part(lines, shop, due->condemned_kind, due->condemned_part);
        te_notes_next(lines);
    }
    if (isnan(due->due_hours)) {
        put_untold(lines, due);
    } else {
        put_hours_told(lines, shop, due);
    }
    put_count_line(lines, due->unmeasured, " part now on the engine was never measured",
                   " parts now on the engine were never measured");
    put_count_line(
        lines, due->untold,
        " quantity with a limit is not covered by those hours: topend trend says why",
        " quantities with a limit are not covered by those hours: topend trend says why");
    if (due->changed) {
        te_notes_next(lines);
        te_buffer_text(lines, "A part was fitted since: the verdict is on those before");
    }
}
