/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A quantity taken apart: readings, corrections, components of uncertainty. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "text.h"

struct explaining {
    struct text text;
    const char *unit;
};

enum { LABEL_COLUMN = 56, EFFECT_COLUMN = 20, DECIMALS = 6 };

/* Writes a line, wrapped where it is wider than the text, and empties it. */
static void put_line(const struct explaining *e, te_buffer *line, const char *first, size_t indent)
{
    te_text_wrapped(e->text.buffer, line, first, indent, e->text.style->width);
    te_buffer_free(line);
}

static void put_reading_line(const struct explaining *e, const te_observation *x,
                             double coefficient)
{
    te_origin origin = te_reading_origin(&e->text.tables->readings[x->reading]);
    te_buffer line = {0};
    te_put_fixed(&line, x->value, DECIMALS);
    te_buffer_text(&line, "  ");
    te_put_place(&line, e->text.shop, x->feature, x->item, x->position, x->direction);
    te_buffer_text(&line, " (");
    te_put_origin(&line, e->text.shop, origin);
    te_buffer_text(&line, ")");
    put_line(e, &line, coefficient < 0.0 ? "    - " : "    + ", 8);
}

static void put_raw_line(const struct explaining *e, const te_observation *x)
{
    te_buffer line = {0};
    te_buffer_text(&line, "read ");
    te_put_fixed(&line, x->raw, DECIMALS);
    if (x->repeats > 1) {
        te_buffer_text(&line, ", the mean of ");
        te_put_count(&line, x->repeats);
        te_buffer_text(&line, " readings");
    }
    if (x->instrument != 0) {
        te_buffer_text(&line, ", with ");
        te_buffer_safe(&line, te_shop_text(e->text.shop, x->instrument));
    }
    if (!isnan(x->zero)) {
        te_buffer_text(&line, " set to ");
        te_put_number(&line, x->zero, 9);
    }
    if (!isnan(x->no_go)) {
        te_buffer_text(&line, ", between leaves ");
        te_put_number(&line, x->go, 6);
        te_buffer_text(&line, " and ");
        te_put_number(&line, x->no_go, 6);
        te_buffer_text(&line, " at 20 °C");
    }
    te_buffer_text(&line, "; correction to 20 °C ");
    te_put_fixed(&line, x->value - x->raw, DECIMALS);
    put_line(e, &line, "        ", 8);
}

/* The expansion coefficient whose bits name a material, to the digits that the key keeps. */
static double expansion_of(uint64_t index)
{
    double expansion = 0.0;
    uint64_t bits = index << 4;
    memcpy(&expansion, &bits, sizeof expansion);
    return expansion;
}

static void label_own(const struct explaining *e, te_buffer *label, uint32_t index)
{
    const te_observation *x = &e->text.assessment->pool.items[index];
    te_origin origin = te_reading_origin(&e->text.tables->readings[x->reading]);
    te_buffer_text(label, "own of ");
    te_put_origin(label, e->text.shop, origin);
    te_buffer_text(label, " (scatter ");
    te_put_number(label, x->scatter, 3);
    te_buffer_text(label, ", step ");
    te_put_number(label, x->step, 3);
    te_buffer_text(label, ")");
}

static void label_source(const struct explaining *e, te_buffer *label, te_source source)
{
    uint64_t index = te_source_index(source);
    switch (te_source_kind_of(source)) {
    case TE_SOURCE_CALIBRATION: {
        const te_instrument *gauge = &e->text.tables->instruments[index];
        te_buffer_text(label, "calibration of ");
        te_buffer_safe(label, te_shop_text(e->text.shop, gauge->id));
        if (gauge->calibrated != TE_NO_DATE) {
            te_buffer_text(label, " of ");
            te_put_date(label, gauge->calibrated);
        }
        break;
    }
    case TE_SOURCE_SETTING: {
        const te_reading *reading = &e->text.tables->readings[index];
        te_buffer_text(label, "setting of ");
        te_buffer_safe(label, te_shop_text(e->text.shop, reading->setup->instrument));
        if (!isnan(reading->setup->zero)) {
            te_buffer_text(label, " to ");
            te_put_number(label, reading->setup->zero, 9);
        }
        break;
    }
    case TE_SOURCE_TEMPERATURE: te_buffer_text(label, "temperature of the parts"); break;
    case TE_SOURCE_MATERIAL:
        te_buffer_text(label, "expansion of the material with ");
        te_put_number(label, expansion_of(index), 3);
        te_buffer_text(label, " per kelvin");
        break;
    case TE_SOURCE_SCALE:
        te_buffer_text(label, "expansion of the scale of ");
        te_buffer_safe(label,
                       index == 0 ? "an unnamed gauge" : te_shop_text(e->text.shop, (te_id)index));
        break;
    case TE_SOURCE_OTHER: te_buffer_text(label, "other"); break;
    }
}

static void put_component(const struct explaining *e, const te_component *component)
{
    te_buffer label = {0};
    if (component->own) {
        label_own(e, &label, component->observation);
    } else {
        label_source(e, &label, component->source);
    }
    size_t column = e->text.style->width - 4 - EFFECT_COLUMN;
    column = column < LABEL_COLUMN ? column : LABEL_COLUMN;
    if (te_put_width(&label, 0) <= column) {
        te_put_padding(&label, 0, column, false);
        te_buffer_text(e->text.buffer, "    ");
        te_buffer_add(e->text.buffer, label.bytes, label.length);
        e->text.buffer->failed = e->text.buffer->failed || label.failed;
        te_buffer_free(&label);
    } else {
        put_line(e, &label, "    ", 4);
        te_put_spaces(e->text.buffer, 4 + column);
    }
    te_buffer_text(e->text.buffer, component->effect < 0.0 ? " " : "  ");
    te_put_fixed(e->text.buffer, component->effect, DECIMALS);
    te_buffer_text(e->text.buffer, "\n");
}

static void put_components(const struct explaining *e, const te_form *form)
{
    size_t count = te_form_explain(NULL, 0, &e->text.assessment->pool, form);
    te_component *components = calloc(count + 1, sizeof *components);
    if (components == NULL) {
        e->text.buffer->failed = true;
        return;
    }
    (void)te_form_explain(components, count, &e->text.assessment->pool, form);
    te_buffer line = {0};
    te_buffer_text(&line, "components of the standard uncertainty, signed, in ");
    te_buffer_safe(&line, e->unit);
    put_line(e, &line, "  ", 4);
    for (size_t i = 0; i < count; i++) {
        put_component(e, &components[i]);
    }
    free(components);
}

static void put_side(const struct explaining *e, const char *side, const te_form *form)
{
    const te_observations *pool = &e->text.assessment->pool;
    double u = sqrt(te_form_variance(pool, form));
    te_buffer line = {0};
    te_buffer_text(&line, side);
    te_buffer_text(&line, " = ");
    te_put_fixed(&line, te_form_value(pool, form), DECIMALS);
    te_buffer_text(&line, " ");
    te_buffer_safe(&line, e->unit);
    if (te_form_stated(pool, form)) {
        te_buffer_text(&line, ", standard uncertainty ");
        te_put_fixed(&line, u, DECIMALS);
        te_buffer_text(&line, ", U (k = 2) ");
        te_put_fixed(&line, 2.0 * u, DECIMALS);
    } else {
        te_buffer_text(&line, "; uncertainty not stated: what is known of it comes to ");
        te_put_fixed(&line, u, DECIMALS);
    }
    put_line(e, &line, "  ", 4);
    for (size_t i = 0; i < form->count; i++) {
        put_reading_line(e, &pool->items[form->observation[i]], form->coefficient[i]);
        put_raw_line(e, &pool->items[form->observation[i]]);
    }
    put_components(e, form);
}

static void put_limit_line(const struct explaining *e, const te_finding *finding)
{
    const struct {
        const char *name;
        double value;
    } limits[] = {{"new_min", finding->limit.new_min},
                  {"new_max", finding->limit.new_max},
                  {"service_min", finding->limit.service_min},
                  {"service_max", finding->limit.service_max}};
    te_buffer line = {0};
    te_buffer_text(&line, "limits:");
    for (size_t i = 0; i < sizeof limits / sizeof *limits; i++) {
        if (finding->has_limit && !isnan(limits[i].value)) {
            te_buffer_text(&line, " ");
            te_buffer_text(&line, limits[i].name);
            te_buffer_text(&line, " ");
            te_put_number(&line, limits[i].value, 9);
        }
    }
    te_buffer_text(&line, finding->has_limit ? " (limits.csv:" : " none");
    if (finding->has_limit) {
        te_put_count(&line, finding->limit.origin.line);
        te_buffer_text(&line, ")");
    }
    te_buffer_text(&line, "; status ");
    te_put_words(&line, te_outcome_name(finding->outcome));
    if (finding->computed && !isnan(finding->judgement.p_within)) {
        te_buffer_text(&line, ", p_within ");
        te_put_number(&line, finding->judgement.p_within, 6);
    }
    put_line(e, &line, "  ", 4);
}

static void put_finding(struct explaining *e, const te_finding *finding)
{
    e->unit = te_finding_unit(e->text.shop, e->text.assessment, finding);
    te_buffer line = {0};
    te_buffer_text(e->text.buffer, "\n");
    te_put_quantity(&line, e->text.shop, finding->measured.quantity, finding->measured.item);
    te_buffer_text(&line, " of ");
    te_write_parts(&line, e->text.shop, &finding->measured);
    put_line(e, &line, "", 2);
    put_limit_line(e, finding);
    if (!finding->computed) {
        return;
    }
    bool same = te_is_one_value(&finding->measured);
    if (!same) {
        put_side(e, "low", &finding->measured.low);
    }
    put_side(e, same ? "low and high" : "high", &finding->measured.high);
}

size_t te_write_explanation(te_buffer *buffer, const te_shop *shop, const te_assessment *assessment,
                            te_quantity quantity, const te_text_style *style)
{
    const te_tables *tables = te_shop_tables(shop);
    struct explaining e = {.text = {
                               .buffer = buffer,
                               .shop = shop,
                               .tables = tables,
                               .assessment = assessment,
                               .inspection = &tables->inspections[assessment->inspection],
                               .style = style,
                           }};
    size_t count = 0;
    te_buffer line = {0};
    te_buffer_text(buffer, "\n");
    te_buffer_safe(&line, te_shop_text(shop, tables->engines[e.text.inspection->engine].id));
    te_buffer_text(&line, ", inspection ");
    te_buffer_safe(&line, te_shop_text(shop, e.text.inspection->id));
    te_buffer_text(&line, " of ");
    te_put_date(&line, e.text.inspection->date);
    te_put_colour(buffer, style, TE_BOLD);
    put_line(&e, &line, "", 2);
    te_put_colour(buffer, style, TE_PLAIN);
    for (size_t i = 0; i < assessment->finding_count; i++) {
        if (assessment->findings[i].measured.quantity == quantity) {
            put_finding(&e, &assessment->findings[i]);
            count++;
        }
    }
    if (count == 0) {
        te_buffer_text(buffer, "  not measured\n");
    }
    return count;
}
