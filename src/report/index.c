/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The page that lists reports. */
#include <math.h>

#include "report_parts.h"

/* When it is due, with what casts doubt on it. */
static void put_due(te_buffer *line, const te_due *due)
{
    if (te_due_is_over(due) || isnan(due->due_hours)) {
        te_buffer_text(line, te_due_is_over(due) ? ", due now" : ", when it is due cannot be told");
        return;
    }
    te_buffer_text(line, ", due at ");
    te_put_tenths_down(line, due->due_hours);
    te_buffer_text(line, " h");
    te_buffer_text(line, due->basis == TE_DUE_BEST ? " (best estimate alone)" : "");
    te_buffer_text(line, due->assumed ? " (assumed as new)" : "");
    te_buffer_text(line, due->untold > 0 || due->unmeasured > 0 ? " (not all known)" : "");
}

static void put_entry(te_document *document, const te_shop *shop, const te_index_entry *entry)
{
    const te_tables *tables = te_shop_tables(shop);
    const te_engine *engine = &tables->engines[entry->engine];
    te_buffer line = {0};
    te_buffer_safe(&line, te_shop_text(shop, engine->id));
    te_buffer_text(&line, " (");
    te_buffer_safe(&line, engine->model == TE_NO_INDEX
                              ? "unknown model"
                              : te_shop_text(shop, tables->models[engine->model].id));
    te_buffer_text(&line, "): ");
    if (entry->inspection == TE_NO_INDEX) {
        te_buffer_text(&line, entry->skipped ? "NO REPORT: errors in the files touch it"
                                             : "never inspected, nothing can be told");
    } else {
        const te_inspection *inspection = &tables->inspections[entry->inspection];
        te_put_words(&line, te_verdict_name(entry->verdict));
        te_buffer_text(&line, ", inspected on ");
        te_put_date(&line, inspection->date);
        te_buffer_text(&line, " at ");
        te_put_hours(&line, inspection->hours);
        put_due(&line, entry->due);
    }
    document->failed = document->failed || line.failed;
    if (entry->inspection == TE_NO_INDEX) {
        te_piece_item(document, TE_WEIGHT_WARNING, &line);
    } else {
        te_document_link(document, te_weight_of_verdict(entry->verdict),
                         line.failed ? "" : line.bytes, entry->target);
    }
    te_buffer_free(&line);
}

void te_index_make(te_document *document, const te_shop *shop, const te_index_entry *entries,
                   size_t count, const char *version, te_date made)
{
    const te_tables *tables = te_shop_tables(shop);
    te_buffer title = {0};
    te_buffer shop_name = {0};
    te_buffer line = {0};
    te_buffer_text(&title, "Inspection reports");
    te_buffer_safe(&shop_name, te_shop_text(shop, tables->name));
    te_piece_start(document, &title, &shop_name, version);
    te_document_heading(document, 1, "Inspection reports");
    if (tables->name != 0) {
        te_piece_paragraph(document, TE_WEIGHT_STRONG, &shop_name);
    }
    te_buffer_text(&line, "Made on ");
    te_put_date(&line, made);
    te_buffer_text(&line, " by topend ");
    te_buffer_safe(&line, version);
    te_buffer_text(&line, ". The engine that is due first stands first.");
    te_piece_paragraph(document, TE_WEIGHT_PLAIN, &line);
    te_piece_no_instrument(document, tables);
    te_buffer_free(&title);
    te_buffer_free(&shop_name);
    te_buffer_free(&line);
    for (size_t i = 0; i < count; i++) {
        put_entry(document, shop, &entries[i]);
    }
    te_piece_cautions(document);
}
