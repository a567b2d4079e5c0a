/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What stands below the figures: shape, condition, what was assumed, cautions. */
#include <math.h>
#include <stdlib.h>

#include "text.h"

void te_text_wrapped(te_buffer *buffer, const te_buffer *text, const char *first, size_t indent,
                     size_t width)
{
    buffer->failed = buffer->failed || text->failed;
    te_put_wrapped(buffer, text->length == 0 ? "" : text->bytes, first, indent, width);
}

void te_text_entry(te_buffer *buffer, te_buffer *entry, size_t width)
{
    te_text_wrapped(buffer, entry, "  - ", 4, width);
    te_buffer_free(entry);
}

static void put_line(const struct text *t, const char *text)
{
    te_put_wrapped(t->buffer, text, "  - ", 4, t->style->width);
}

/* ---- shape and condition ---- */

static void put_ovals(const struct text *t)
{
    size_t count = te_bore_ovals(NULL, 0, &t->assessment->pool, 0);
    te_bore_oval *ovals = calloc(count + 1, sizeof *ovals);
    if (ovals == NULL) {
        t->buffer->failed = true;
        return;
    }
    (void)te_bore_ovals(ovals, count, &t->assessment->pool, 0);
    if (count > 0) {
        te_buffer_text(t->buffer,
                       "\nShape of the bore (oval fitted to three or more directions)\n");
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
        te_text_entry(t->buffer, &line, t->style->width);
    }
    free(ovals);
}

static void put_conditions(const struct text *t)
{
    if (t->inspection->condition_count > 0) {
        te_buffer_text(t->buffer, "\nCondition\n");
    }
    for (uint32_t i = 0; i < t->inspection->condition_count; i++) {
        const te_condition *row = &t->tables->conditions[t->inspection->first_condition + i];
        te_buffer line = {0};
        te_buffer_text(&line, te_severity_name(row->severity));
        te_buffer_text(&line, ": ");
        te_put_words(&line, te_kind_name(row->kind));
        te_buffer_text(&line, " ");
        te_buffer_safe(&line, te_shop_text(t->shop, row->part));
        te_buffer_text(&line, ": ");
        te_buffer_safe(&line, te_shop_text(t->shop, row->finding));
        te_text_entry(t->buffer, &line, t->style->width);
    }
}

/* ---- what was assumed ---- */

/* True when a reading's correction to 20 degrees rests on the material of that kind. */
static bool was_read(const struct text *t, te_kind kind)
{
    for (size_t i = 0; i < t->assessment->pool.count; i++) {
        const te_quantity_info *info = te_quantity_info_of(t->assessment->pool.items[i].feature);
        bool size = (info->traits & TE_TRAIT_SIZE) != 0 && info->kind == kind;
        bool gap = (info->traits & TE_TRAIT_GAP) != 0 &&
                   (kind == TE_KIND_CYLINDER || kind == TE_KIND_RING_SET);
        if (size || gap) {
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
        te_text_entry(t->buffer, &line, t->style->width);
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

/* True when the scale of an observation is taken to be steel: that of the last instrument of its
 * chain. */
static bool takes_steel(const struct text *t, const te_observation *x)
{
    te_date day = t->inspection->date;
    const te_instrument *last = NULL;
    const te_instrument *gauge = te_shop_gauge(t->shop, x->instrument, day);
    for (; gauge != NULL; gauge = te_shop_gauge(t->shop, gauge->set_with, day)) {
        last = gauge;
    }
    return last == NULL || isnan(last->expansion);
}

/* What of the correction to 20 degrees rests on an assumption. */
static void put_correction(const struct text *t, const te_model *model)
{
    bool corrected = false;
    bool steel = false;
    for (size_t i = 0; i < t->assessment->pool.count; i++) {
        const te_observation *x = &t->assessment->pool.items[i];
        const te_quantity_info *info = te_quantity_info_of(x->feature);
        bool material = info->kind != TE_KIND_NONE && !isnan(model->expansion[info->kind]);
        bool size = material && (info->traits & TE_TRAIT_SIZE) != 0;
        bool gap = material && (info->traits & TE_TRAIT_GAP) != 0 &&
                   !isnan(model->expansion[TE_KIND_CYLINDER]);
        corrected = corrected || size || gap;
        steel = steel || (size && takes_steel(t, x));
    }
    if (corrected && isnan(t->inspection->temperature)) {
        put_line(t, "no temperature was read: sizes stand as measured, and an error of up to 5 K "
                    "either way of 20 °C is allowed for");
    } else if (corrected && isnan(t->inspection->temperature_uncertainty)) {
        put_line(t, "the temperature is known to 1 K (standard uncertainty; none was stated)");
    }
    put_uncorrected(t, model);
    if (steel) {
        put_line(t, "instruments without an expansion of their own expand as steel");
    }
}

static void put_assumed(const struct text *t)
{
    const te_engine *engine = &t->tables->engines[t->inspection->engine];
    te_buffer_text(t->buffer, "\nAssumed\n");
    put_correction(t, &t->tables->models[engine->model]);
    if (has_quantity(t, TE_Q_OUT_OF_ROUND)) {
        put_line(t, "the bore was gauged between two points: lobes of an odd number do not show");
    }
    put_line(t, "the limits are those of limits.csv: this program brings none");
}

void te_text_notes(const struct text *t)
{
    put_ovals(t);
    put_conditions(t);
    put_assumed(t);
}

void te_write_cautions(te_buffer *buffer, const te_text_style *style)
{
    static const char *const cautions[] = {
        ("The maker's manual and local rules come first; where the law asks for one, a licensed "
         "or authorised technician decides."),
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
