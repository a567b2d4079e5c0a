/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The assessment as a technician reads it: the verdict, why, the figures, what was assumed. */
#include <math.h>
#include <string.h>

#include "text.h"

enum {
    NAME_COLUMN = 22,
    VALUE_COLUMN = 8,
    U_COLUMN = 7,
    FIGURES_COLUMN = 2 * (VALUE_COLUMN + 1) + U_COLUMN + 1,
    LIMIT_COLUMN = 18,
    TABLE_WIDTH = 80, /* with the limit in a column of its own; else it takes a line */
    VERDICT_COLUMN = 13,
    KIND_COLUMN = 18,
    PART_COLUMN = 24
};

static enum te_colour colour_of(te_verdict_value verdict)
{
    return verdict == TE_DO_NOT_REUSE ? TE_RED : verdict == TE_REUSE ? TE_GREEN : TE_YELLOW;
}

static enum te_colour colour_of_outcome(te_outcome outcome)
{
    switch (outcome) {
    case TE_BEYOND: return TE_RED;
    case TE_UNDECIDED:
    case TE_MISSING:
    case TE_OUTSIDE_NEW: return TE_YELLOW;
    case TE_AS_NEW:
    case TE_SERVICEABLE:
    case TE_NO_LIMIT: break;
    }
    return TE_PLAIN;
}

static void put_capitals(te_buffer *buffer, const char *name)
{
    for (const char *c = name; *c != '\0'; c++) {
        char letter = *c == '_' ? ' ' : *c;
        letter = (char)(letter >= 'a' && letter <= 'z' ? letter - ('a' - 'A') : letter);
        te_buffer_add(buffer, &letter, 1);
    }
}

/* ---- head ---- */

void te_write_text_start(te_buffer *buffer, const te_shop *shop, const te_text_style *style)
{
    const te_tables *tables = te_shop_tables(shop);
    te_buffer line = {0};
    if (tables->name != 0) {
        te_buffer_safe(&line, te_shop_text(shop, tables->name));
        te_buffer_text(&line, ". ");
    }
    te_put_rule(&line, tables);
    te_buffer_text(&line, " Lengths in mm at 20 °C; U is the expanded uncertainty (k = 2).");
    te_text_wrapped(buffer, &line, "", 0, style->width);
    te_buffer_free(&line);
}

static void put_head(const struct text *t)
{
    static const char *const states[] = {"", ", as found", ", as built"};
    const te_engine *engine = &t->tables->engines[t->inspection->engine];
    const te_verdict *assembly = te_assessment_assembly(t->assessment);
    te_buffer line = {0};
    te_buffer_text(t->buffer, "\n");
    te_buffer_safe(&line, te_shop_text(t->shop, engine->id));
    te_buffer_text(&line, " (");
    te_buffer_safe(&line, te_shop_text(t->shop, t->tables->models[engine->model].id));
    te_buffer_text(&line, "):");
    te_put_colour(t->buffer, t->style, TE_BOLD);
    if (te_put_width(&line, 0) + 1 + VERDICT_COLUMN <= t->style->width) {
        te_buffer_add(t->buffer, line.bytes, line.length);
        te_buffer_text(t->buffer, " ");
        t->buffer->failed = t->buffer->failed || line.failed;
    } else {
        te_text_wrapped(t->buffer, &line, "", 2, t->style->width);
        te_buffer_text(t->buffer, "  ");
    }
    te_put_colour(t->buffer, t->style, TE_PLAIN);
    te_put_colour(t->buffer, t->style, colour_of(assembly->verdict));
    put_capitals(t->buffer, te_verdict_name(assembly->verdict));
    te_put_colour(t->buffer, t->style, TE_PLAIN);
    te_buffer_text(t->buffer, "\n");
    te_buffer_free(&line);
    te_buffer_text(&line, "Inspection ");
    te_buffer_safe(&line, te_shop_text(t->shop, t->inspection->id));
    te_buffer_text(&line, " of ");
    te_put_date(&line, t->inspection->date);
    te_buffer_text(&line, states[t->inspection->state]);
    te_buffer_text(&line, ", at ");
    te_put_number(&line, t->inspection->hours, 9);
    te_buffer_text(&line, " h");
    if (!isnan(t->inspection->temperature)) {
        te_buffer_text(&line, ", measured at ");
        te_put_number(&line, t->inspection->temperature, 6);
        te_buffer_text(&line, " °C");
    }
    if (t->inspection->by != 0) {
        te_buffer_text(&line, ", by ");
        te_buffer_safe(&line, te_shop_text(t->shop, t->inspection->by));
    }
    te_text_wrapped(t->buffer, &line, "", 0, t->style->width);
    te_buffer_free(&line);
}

static void put_reasons(const struct text *t, const te_verdict *verdict)
{
    for (uint32_t i = 0; i < verdict->reason_count; i++) {
        te_buffer line = {0};
        te_write_reason(&line, t->shop, t->assessment,
                        &t->assessment->reasons[verdict->first_reason + i]);
        te_text_entry(t->buffer, &line, t->style->width);
    }
}

/* ---- parts ---- */

/* The part's kind and name; a name that leaves no room for a verdict takes lines of its own. */
static void put_part_name(const struct text *t, const te_verdict *verdict)
{
    te_buffer kind = {0};
    te_buffer part = {0};
    te_buffer_text(&kind, "  ");
    te_put_words(&kind, te_kind_name(verdict->kind));
    te_put_padding(&kind, 2, KIND_COLUMN, false);
    te_buffer_text(&kind, " ");
    te_buffer_safe(&part, te_shop_text(t->shop, verdict->part));
    size_t used = te_put_width(&kind, 0) + te_put_width(&part, 0);
    if (kind.failed || part.failed) {
        t->buffer->failed = true;
    } else if (used + 1 + VERDICT_COLUMN <= t->style->width) {
        te_put_padding(&part, 0, PART_COLUMN, false);
        te_buffer_add(t->buffer, kind.bytes, kind.length);
        te_buffer_add(t->buffer, part.bytes, part.length);
        te_buffer_text(t->buffer, " ");
        t->buffer->failed = t->buffer->failed || part.failed;
    } else {
        te_text_wrapped(t->buffer, &part, kind.bytes, 4, t->style->width);
        te_put_spaces(t->buffer, 4);
    }
    te_buffer_free(&kind);
    te_buffer_free(&part);
}

static void put_parts(const struct text *t)
{
    if (t->assessment->verdict_count > 1) {
        te_buffer_text(t->buffer, "\nParts\n");
    }
    for (size_t i = 0; i + 1 < t->assessment->verdict_count; i++) {
        const te_verdict *verdict = &t->assessment->verdicts[i];
        put_part_name(t, verdict);
        te_put_colour(t->buffer, t->style, colour_of(verdict->verdict));
        te_put_words(t->buffer, te_verdict_name(verdict->verdict));
        te_put_colour(t->buffer, t->style, TE_PLAIN);
        te_buffer_text(t->buffer, "\n");
    }
}

/* True when an earlier finding of the same two parts is as bad: each fit is told once. */
static bool is_told(const struct text *t, size_t i)
{
    const te_finding *finding = &t->assessment->findings[i];
    for (size_t j = 0; j < t->assessment->finding_count; j++) {
        const te_finding *other = &t->assessment->findings[j];
        bool same = other->measured.second_kind == finding->measured.second_kind &&
                    other->measured.part == finding->measured.part &&
                    other->measured.second_part == finding->measured.second_part;
        te_verdict_value ours = te_verdict_of(finding->outcome);
        te_verdict_value theirs = te_verdict_of(other->outcome);
        if (same && (theirs < ours || (theirs == ours && j < i))) {
            return true;
        }
    }
    return false;
}

/* Parts that are good alone may not fit each other. */
static void put_fits(const struct text *t)
{
    for (size_t i = 0; i < t->assessment->finding_count; i++) {
        const te_finding *finding = &t->assessment->findings[i];
        te_verdict_value verdict = te_verdict_of(finding->outcome);
        if (finding->measured.second_kind == TE_KIND_NONE || verdict == TE_REUSE || is_told(t, i)) {
            continue;
        }
        te_buffer line = {0};
        te_buffer_text(&line, "fit of ");
        te_write_parts(&line, t->shop, &finding->measured);
        te_buffer_text(&line, ": ");
        te_put_words(&line, te_verdict_name(verdict));
        te_buffer_text(&line, verdict == TE_DO_NOT_REUSE ? " together" : "");
        te_text_wrapped(t->buffer, &line, "  ", 4, t->style->width);
        te_buffer_free(&line);
    }
}

/* ---- findings ---- */

/* The service limits, else the as-new ones. */
static void put_limits(te_buffer *buffer, const te_finding *finding)
{
    const te_limit *limit = &finding->limit;
    if (!finding->has_limit) {
        return;
    }
    bool service = !isnan(limit->service_min) || !isnan(limit->service_max);
    bool as_new = !isnan(limit->new_min) || !isnan(limit->new_max);
    if (!service && as_new) {
        te_buffer_text(buffer, "new ");
    }
    te_put_range(buffer, service ? limit->service_min : limit->new_min,
                 service ? limit->service_max : limit->new_max);
}

static void put_name(const struct text *t, const te_finding *finding, const char *unit)
{
    te_buffer name = {0};
    te_put_quantity(&name, t->shop, finding->measured.quantity, finding->measured.item);
    if (strcmp(unit, "mm") != 0) {
        te_buffer_text(&name, " (");
        te_buffer_safe(&name, unit);
        te_buffer_text(&name, ")");
    }
    size_t start = t->buffer->length;
    if (te_put_width(&name, 0) > NAME_COLUMN) {
        te_text_wrapped(t->buffer, &name, "", 2, t->style->width);
        start = t->buffer->length;
    } else {
        te_buffer_add(t->buffer, name.bytes, name.length);
        t->buffer->failed = t->buffer->failed || name.failed;
    }
    te_put_padding(t->buffer, start, NAME_COLUMN, false);
    te_buffer_free(&name);
}

static void put_figures(const struct text *t, const te_finding *finding, const char *unit)
{
    const te_interval *x = &finding->interval;
    size_t start = t->buffer->length;
    te_buffer_text(t->buffer, " ");
    if (finding->computed && !te_is_one_value(&finding->measured)) {
        te_put_value(t->buffer, x->low, unit);
    }
    te_put_padding(t->buffer, start, VALUE_COLUMN + 1, true);
    start = t->buffer->length;
    te_buffer_text(t->buffer, " ");
    if (finding->computed) {
        te_put_value(t->buffer, x->high, unit);
    }
    te_put_padding(t->buffer, start, VALUE_COLUMN + 1, true);
    start = t->buffer->length;
    te_buffer_text(t->buffer, " ");
    if (finding->computed && x->stated) {
        te_put_value(t->buffer, 2.0 * fmax(x->u_low, x->u_high), unit);
    } else if (finding->computed) {
        te_buffer_text(t->buffer, "?");
    }
    te_put_padding(t->buffer, start, U_COLUMN + 1, true);
}

static void put_row(const struct text *t, const te_finding *finding)
{
    const char *unit = te_finding_unit(t->shop, t->assessment, finding);
    te_buffer limits = {0};
    put_name(t, finding, unit);
    size_t start = t->buffer->length;
    put_figures(t, finding, unit);
    put_limits(&limits, finding);
    bool beside = t->style->width >= TABLE_WIDTH &&
                  te_put_width(t->buffer, start) <= FIGURES_COLUMN &&
                  te_put_width(&limits, 0) <= LIMIT_COLUMN;
    te_buffer_text(t->buffer, " ");
    if (beside) {
        te_put_padding(&limits, 0, LIMIT_COLUMN, false);
        te_buffer_text(t->buffer, " ");
        te_buffer_add(t->buffer, limits.bytes, limits.length);
        te_buffer_text(t->buffer, " ");
    }
    te_put_colour(t->buffer, t->style, colour_of_outcome(finding->outcome));
    te_put_words(t->buffer, te_outcome_name(finding->outcome));
    te_put_colour(t->buffer, t->style, TE_PLAIN);
    te_buffer_text(t->buffer, "\n");
    if (!beside && limits.length > 0) {
        te_text_wrapped(t->buffer, &limits, "  limit ", 4, t->style->width);
    }
    t->buffer->failed = t->buffer->failed || limits.failed;
    te_buffer_free(&limits);
}

static void put_findings(const struct text *t)
{
    bool unstated = false;
    if (t->assessment->finding_count == 0) {
        return;
    }
    te_buffer_text(t->buffer, "\nQuantity                    low     high       U");
    te_buffer_text(t->buffer,
                   t->style->width >= TABLE_WIDTH ? "  limit              status\n" : " status\n");
    for (size_t i = 0; i < t->assessment->finding_count; i++) {
        const te_finding *finding = &t->assessment->findings[i];
        put_row(t, finding);
        unstated = unstated || (finding->computed && !finding->interval.stated);
    }
    if (unstated) {
        te_buffer_text(t->buffer, "U ?: the uncertainty is not stated in instruments.csv.\n");
    }
}

void te_write_text_inspection(te_buffer *buffer, const te_shop *shop,
                              const te_assessment *assessment, const te_text_style *style)
{
    const te_tables *tables = te_shop_tables(shop);
    const struct text t = {
        .buffer = buffer,
        .shop = shop,
        .tables = tables,
        .assessment = assessment,
        .inspection = &tables->inspections[assessment->inspection],
        .style = style,
    };
    put_head(&t);
    put_reasons(&t, te_assessment_assembly(assessment));
    put_parts(&t);
    put_fits(&t);
    put_findings(&t);
    te_text_notes(&t);
}

void te_write_text_summary(te_buffer *buffer, const te_shop *shop, const te_assessment *assessment,
                           const te_text_style *style)
{
    const te_tables *tables = te_shop_tables(shop);
    const te_inspection *inspection = &tables->inspections[assessment->inspection];
    te_verdict_value verdict = te_assessment_assembly(assessment)->verdict;
    te_buffer line = {0};
    te_buffer_safe(&line, te_shop_text(shop, tables->engines[inspection->engine].id));
    te_buffer_text(&line, ", ");
    te_buffer_safe(&line, te_shop_text(shop, inspection->id));
    te_buffer_text(&line, ": ");
    put_capitals(&line, te_verdict_name(verdict));
    bool any = false;
    for (size_t i = 0; i < assessment->finding_count; i++) {
        const te_finding *finding = &assessment->findings[i];
        if (verdict != TE_REUSE && te_verdict_of(finding->outcome) == verdict) {
            te_buffer_text(&line, any ? ", " : " (");
            te_put_quantity(&line, shop, finding->measured.quantity, finding->measured.item);
            any = true;
        }
    }
    const te_verdict *assembly = te_assessment_assembly(assessment);
    if (!any && verdict != TE_REUSE && assembly->reason_count > 0) {
        te_buffer_text(&line, " (");
        te_write_reason(&line, shop, assessment, &assessment->reasons[assembly->first_reason]);
        any = true;
    }
    te_buffer_text(&line, any ? ")" : "");
    te_text_wrapped(buffer, &line, "  ", 4, style->width);
    te_buffer_free(&line);
}
