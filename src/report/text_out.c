/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The assessment as a technician reads it: the verdict, why, the figures, what was assumed. */
#include <math.h>
#include <string.h>

#include "put.h"

enum {
    NAME_COLUMN = 22,
    VALUE_COLUMN = 8,
    U_COLUMN = 7,
    LIMIT_COLUMN = 18,
    KIND_COLUMN = 18,
    PART_COLUMN = 24,
    OVALS_MOST = 64
};

/* A writer for one inspection. */
struct text {
    te_buffer *buffer;
    const te_shop *shop;
    const te_tables *tables;
    const te_assessment *assessment;
    const te_inspection *inspection;
    const te_text_style *style;
};

static enum te_colour colour_of(te_verdict_value verdict)
{
    return verdict == TE_DO_NOT_REUSE ? TE_RED : verdict == TE_REUSE ? TE_GREEN : TE_YELLOW;
}

static enum te_colour colour_of_outcome(te_outcome outcome)
{
    switch (outcome) {
    case TE_BEYOND:
        return TE_RED;
    case TE_UNDECIDED:
    case TE_MISSING:
    case TE_OUTSIDE_NEW:
        return TE_YELLOW;
    case TE_AS_NEW:
    case TE_SERVICEABLE:
    case TE_NO_LIMIT:
        break;
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

/* Text of its own buffer, wrapped as an entry of a list. */
static void put_entry(te_buffer *buffer, te_buffer *entry, size_t width)
{
    buffer->failed = buffer->failed || entry->failed;
    te_put_wrapped(buffer, entry->length == 0 ? "" : entry->bytes, "  - ", 4, width);
    te_buffer_free(entry);
}

static void put_line(const struct text *t, const char *text)
{
    te_put_wrapped(t->buffer, text, "  - ", 4, t->style->width);
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
    if (tables->simple_for_lack) {
        te_buffer_text(&line, "NO INSTRUMENT IS DECLARED: values are compared with the limits as "
                              "they are (rule simple), whatever their uncertainty.");
    } else if (tables->rule == TE_RULE_SIMPLE) {
        te_buffer_text(&line, "Rule simple: values are compared with the limits as they are, "
                              "whatever their uncertainty.");
    } else {
        te_buffer_text(&line, "Rule guarded: a value passes when it is within its service limits "
                              "with a probability of ");
        te_put_number(&line, tables->confidence, 6);
        te_buffer_text(&line, " or more.");
    }
    te_buffer_text(&line, " Lengths in mm at 20 °C; U is the expanded uncertainty (k = 2).");
    buffer->failed = buffer->failed || line.failed;
    te_put_wrapped(buffer, line.length == 0 ? "" : line.bytes, "", 0, style->width);
    te_buffer_free(&line);
}

static void put_head(const struct text *t)
{
    static const char *const states[] = {"", ", as found", ", as built"};
    const te_engine *engine = &t->tables->engines[t->inspection->engine];
    const te_verdict *assembly = te_assessment_assembly(t->assessment);
    te_buffer line = {0};
    te_buffer_text(t->buffer, "\n");
    te_put_colour(t->buffer, t->style, TE_BOLD);
    te_buffer_safe(t->buffer, te_shop_text(t->shop, engine->id));
    te_put_colour(t->buffer, t->style, TE_PLAIN);
    te_buffer_text(t->buffer, " (");
    te_buffer_safe(t->buffer, te_shop_text(t->shop, t->tables->models[engine->model].id));
    te_buffer_text(t->buffer, "): ");
    te_put_colour(t->buffer, t->style, colour_of(assembly->verdict));
    put_capitals(t->buffer, te_verdict_name(assembly->verdict));
    te_put_colour(t->buffer, t->style, TE_PLAIN);
    te_buffer_text(t->buffer, "\n");
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
    t->buffer->failed = t->buffer->failed || line.failed;
    te_put_wrapped(t->buffer, line.length == 0 ? "" : line.bytes, "", 0, t->style->width);
    te_buffer_free(&line);
}

static void put_reasons(const struct text *t, const te_verdict *verdict)
{
    for (uint32_t i = 0; i < verdict->reason_count; i++) {
        te_buffer line = {0};
        te_write_reason(&line, t->shop, t->assessment,
                        &t->assessment->reasons[verdict->first_reason + i]);
        put_entry(t->buffer, &line, t->style->width);
    }
}

/* ---- parts ---- */

static void put_parts(const struct text *t)
{
    if (t->assessment->verdict_count > 1) {
        te_buffer_text(t->buffer, "\nParts\n");
    }
    for (size_t i = 0; i + 1 < t->assessment->verdict_count; i++) {
        const te_verdict *verdict = &t->assessment->verdicts[i];
        te_buffer_text(t->buffer, "  ");
        size_t start = t->buffer->length;
        te_put_words(t->buffer, te_kind_name(verdict->kind));
        te_put_padding(t->buffer, start, KIND_COLUMN, false);
        te_buffer_text(t->buffer, " ");
        start = t->buffer->length;
        te_buffer_safe(t->buffer, te_shop_text(t->shop, verdict->part));
        te_put_padding(t->buffer, start, PART_COLUMN, false);
        te_buffer_text(t->buffer, " ");
        te_put_colour(t->buffer, t->style, colour_of(verdict->verdict));
        te_put_words(t->buffer, te_verdict_name(verdict->verdict));
        te_put_colour(t->buffer, t->style, TE_PLAIN);
        te_buffer_text(t->buffer, "\n");
    }
}

/* ---- findings ---- */

static void put_range(te_buffer *buffer, double least, double most)
{
    enum { DIGITS = 7 };
    if (!isnan(least) && !isnan(most)) {
        te_put_number(buffer, least, DIGITS);
        te_buffer_text(buffer, "-");
        te_put_number(buffer, most, DIGITS);
    } else if (!isnan(least)) {
        te_buffer_text(buffer, "min ");
        te_put_number(buffer, least, DIGITS);
    } else if (!isnan(most)) {
        te_buffer_text(buffer, "max ");
        te_put_number(buffer, most, DIGITS);
    }
}

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
    put_range(buffer, service ? limit->service_min : limit->new_min,
              service ? limit->service_max : limit->new_max);
}

static void put_name(const struct text *t, const te_finding *finding)
{
    size_t start = t->buffer->length;
    te_buffer_safe(t->buffer, te_shop_quantity_name(t->shop, finding->measured.quantity));
    if (finding->measured.item != 0) {
        te_buffer_text(t->buffer, " ");
        te_buffer_safe(t->buffer, te_shop_text(t->shop, finding->measured.item));
    }
    const char *unit = te_finding_unit(t->shop, t->assessment, finding);
    if (strcmp(unit, "mm") != 0) {
        te_buffer_text(t->buffer, " (");
        te_buffer_safe(t->buffer, unit);
        te_buffer_text(t->buffer, ")");
    }
    te_slice written = {t->buffer->bytes + start, t->buffer->length - start};
    if (!t->buffer->failed && te_text_width(written) > NAME_COLUMN) {
        te_buffer_text(t->buffer, "\n");
        start = t->buffer->length;
    }
    te_put_padding(t->buffer, start, NAME_COLUMN, false);
}

static void put_figures(const struct text *t, const te_finding *finding)
{
    const te_interval *x = &finding->interval;
    const te_form *low = &finding->measured.low;
    const te_form *high = &finding->measured.high;
    bool one = low->count == high->count &&
               memcmp(low->observation, high->observation,
                      low->count * sizeof *low->observation) == 0;
    size_t start = t->buffer->length;
    te_buffer_text(t->buffer, " ");
    if (finding->computed && !one) {
        te_put_value(t->buffer, x->low);
    }
    te_put_padding(t->buffer, start, VALUE_COLUMN + 1, true);
    start = t->buffer->length;
    te_buffer_text(t->buffer, " ");
    if (finding->computed) {
        te_put_value(t->buffer, x->high);
    }
    te_put_padding(t->buffer, start, VALUE_COLUMN + 1, true);
    start = t->buffer->length;
    te_buffer_text(t->buffer, " ");
    if (finding->computed && x->stated) {
        te_put_value(t->buffer, 2.0 * fmax(x->u_low, x->u_high));
    } else if (finding->computed) {
        te_buffer_text(t->buffer, "?");
    }
    te_put_padding(t->buffer, start, U_COLUMN + 1, true);
}

static void put_findings(const struct text *t)
{
    bool unstated = false;
    if (t->assessment->finding_count == 0) {
        return;
    }
    te_buffer_text(t->buffer, "\nQuantity                    low     high       U  limit"
                              "              status\n");
    for (size_t i = 0; i < t->assessment->finding_count; i++) {
        const te_finding *finding = &t->assessment->findings[i];
        put_name(t, finding);
        put_figures(t, finding);
        te_buffer_text(t->buffer, "  ");
        size_t start = t->buffer->length;
        put_limits(t->buffer, finding);
        te_put_padding(t->buffer, start, LIMIT_COLUMN, false);
        te_buffer_text(t->buffer, " ");
        te_put_colour(t->buffer, t->style, colour_of_outcome(finding->outcome));
        te_put_words(t->buffer, te_outcome_name(finding->outcome));
        te_put_colour(t->buffer, t->style, TE_PLAIN);
        te_buffer_text(t->buffer, "\n");
        unstated = unstated || (finding->computed && !finding->interval.stated);
    }
    if (unstated) {
        te_buffer_text(t->buffer, "U ?: the uncertainty is not stated in instruments.csv.\n");
    }
}

/* ---- shape and condition ---- */

static void put_ovals(const struct text *t)
{
    te_bore_oval ovals[OVALS_MOST];
    size_t count = te_bore_ovals(ovals, OVALS_MOST, &t->assessment->pool, 0);
    count = count < OVALS_MOST ? count : OVALS_MOST;
    if (count > 0) {
        te_buffer_text(t->buffer, "\nShape of the bore (oval fitted to three or more directions)\n");
    }
    for (size_t i = 0; i < count; i++) {
        te_buffer line = {0};
        te_buffer_text(&line, "at ");
        te_put_number(&line, ovals[i].position, 6);
        te_buffer_text(&line, " mm: ovality ");
        te_put_fixed(&line, ovals[i].oval.ovality, 4);
        te_buffer_text(&line, " mm, the long axis at ");
        te_put_fixed(&line, ovals[i].oval.long_axis, 0);
        te_buffer_text(&line, " degrees from the thrust direction, ");
        te_put_count(&line, ovals[i].directions);
        te_buffer_text(&line, " directions");
        put_entry(t->buffer, &line, t->style->width);
    }
}

static void put_conditions(const struct text *t)
{
    static const char *const severities[] = {"note", "watch", "reject"};
    if (t->inspection->condition_count > 0) {
        te_buffer_text(t->buffer, "\nCondition\n");
    }
    for (uint32_t i = 0; i < t->inspection->condition_count; i++) {
        const te_condition *row = &t->tables->conditions[t->inspection->first_condition + i];
        te_buffer line = {0};
        te_buffer_text(&line, severities[row->severity]);
        te_buffer_text(&line, ": ");
        te_put_words(&line, te_kind_name(row->kind));
        te_buffer_text(&line, " ");
        te_buffer_safe(&line, te_shop_text(t->shop, row->part));
        te_buffer_text(&line, ": ");
        te_buffer_safe(&line, te_shop_text(t->shop, row->finding));
        put_entry(t->buffer, &line, t->style->width);
    }
}

/* ---- what was assumed ---- */

static bool was_read(const struct text *t, te_kind kind)
{
    for (size_t i = 0; i < t->assessment->pool.count; i++) {
        const te_quantity_info *info =
            te_quantity_info_of(t->assessment->pool.items[i].feature);
        if (info->kind == kind && (info->traits & TE_TRAIT_SIZE) != 0) {
            return true;
        }
    }
    return false;
}

static void put_uncorrected(const struct text *t, const te_model *model)
{
    te_buffer line = {0};
    for (int kind = 0; kind < TE_KIND_NONE; kind++) {
        if (isnan(model->expansion[kind]) && was_read(t, (te_kind)kind)) {
            te_buffer_text(&line, line.length == 0 ? "no material in models.csv, so no correction "
                                                     "for temperature: "
                                                   : ", ");
            te_put_words(&line, te_kind_name((te_kind)kind));
        }
    }
    if (line.length > 0) {
        put_entry(t->buffer, &line, t->style->width);
    }
    te_buffer_free(&line);
}

static bool has_quantity(const struct text *t, te_quantity quantity)
{
    for (size_t i = 0; i < t->assessment->finding_count; i++) {
        const te_finding *finding = &t->assessment->findings[i];
        if (finding->measured.quantity == quantity && finding->computed) {
            return true;
        }
    }
    return false;
}

static bool takes_steel(const struct text *t)
{
    for (size_t i = 0; i < t->assessment->pool.count; i++) {
        const te_observation *x = &t->assessment->pool.items[i];
        bool size = te_quantity_is(x->feature, TE_TRAIT_SIZE);
        uint32_t row = te_shop_calibration(t->shop, x->instrument, t->inspection->date);
        if (size && (x->instrument == 0 || row == TE_NO_INDEX ||
                     isnan(t->tables->instruments[row].expansion))) {
            return true;
        }
    }
    return false;
}

static void put_assumed(const struct text *t)
{
    const te_engine *engine = &t->tables->engines[t->inspection->engine];
    bool warm = !isnan(t->inspection->temperature);
    te_buffer_text(t->buffer, "\nAssumed\n");
    if (!warm) {
        put_line(t, "no temperature was read: sizes stand as measured, and 5 K either way of "
                    "20 °C is allowed for");
    } else if (isnan(t->inspection->temperature_uncertainty)) {
        put_line(t, "the temperature is known to 1 K (standard uncertainty; none was stated)");
    }
    put_uncorrected(t, &t->tables->models[engine->model]);
    if (takes_steel(t)) {
        put_line(t, "instruments without an expansion of their own expand as steel");
    }
    if (has_quantity(t, TE_Q_OUT_OF_ROUND)) {
        put_line(t, "the bore was gauged between two points: lobes of an odd number do not show");
    }
    put_line(t, "the limits are those of limits.csv: this program brings none");
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
    put_findings(&t);
    put_ovals(&t);
    put_conditions(&t);
    put_assumed(&t);
}

void te_write_cautions(te_buffer *buffer, const te_text_style *style)
{
    static const char *const cautions[] = {
        "The maker's manual and local rules come first; where the law asks for one, a licensed or "
        "authorised technician decides.",
        "Sizes do not show cracks, loose plating, fatigue or a tired bearing.",
        "An undecided value is not a pass.",
        "An engine that carries people, or that people's safety rests on: when in doubt, replace.",
        "Run in and re-torque as the maker says.",
    };
    te_buffer_text(buffer, "\nCautions\n");
    for (size_t i = 0; i < sizeof cautions / sizeof *cautions; i++) {
        te_put_wrapped(buffer, cautions[i], "  - ", 4, style->width);
    }
}
