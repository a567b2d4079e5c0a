/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Notes on an assessment: shape, condition, what was assumed, cautions. */
#include "notes.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

void te_notes_next(te_buffer *lines)
{
    te_buffer_text(lines, lines->length > 0 ? "\n" : "");
}

bool te_notes_take(te_slice *line, const te_buffer *lines, size_t *at)
{
    if (*at >= lines->length) {
        return false;
    }
    const char *start = lines->bytes + *at;
    const char *end = memchr(start, '\n', lines->length - *at);
    size_t length = end == NULL ? lines->length - *at : (size_t)(end - start);
    *line = (te_slice){start, length};
    *at += length + 1;
    return true;
}

void te_notes_join(te_buffer *buffer, const te_buffer *lines)
{
    te_slice line;
    bool any = false;
    buffer->failed = buffer->failed || lines->failed;
    for (size_t at = 0; te_notes_take(&line, lines, &at); any = true) {
        te_buffer_text(buffer, any ? "; " : "");
        te_buffer_add(buffer, line.bytes, line.length);
    }
}

void te_put_notes(te_buffer *buffer, const te_buffer *lines, size_t width)
{
    te_slice line;
    buffer->failed = buffer->failed || lines->failed;
    for (size_t at = 0; te_notes_take(&line, lines, &at);) {
        te_buffer text = {0};
        te_buffer_add(&text, line.bytes, line.length);
        buffer->failed = buffer->failed || text.failed;
        te_put_wrapped(buffer, text.length == 0 ? "" : text.bytes, "  - ", 4, width);
        te_buffer_free(&text);
    }
}

static void put_note(te_buffer *lines, const char *text)
{
    te_notes_next(lines);
    te_buffer_text(lines, text);
}

/* An assessment that notes are made of. */
struct noted {
    te_buffer *lines;
    const te_shop *shop;
    const te_tables *tables;
    const te_assessment *assessment;
    const te_inspection *inspection;
};

static struct noted noted_of(te_buffer *lines, const te_shop *shop, const te_assessment *assessment)
{
    const te_tables *tables = te_shop_tables(shop);
    return (struct noted){lines, shop, tables, assessment,
                          &tables->inspections[assessment->inspection]};
}

/* ---- shape and condition ---- */

void te_notes_shape(te_buffer *lines, const te_assessment *assessment)
{
    size_t count = 0;
    te_bore_oval *ovals = NULL;
    if (te_bore_ovals(&ovals, &count, &assessment->pool, 0) != TE_OK) {
        lines->failed = true;
    }
    for (size_t i = 0; i < count; i++) {
        te_notes_next(lines);
        te_buffer_text(lines, "at ");
        te_put_number(lines, ovals[i].position, 6);
        te_buffer_text(lines, " mm: ovality ");
        te_put_fixed(lines, ovals[i].oval.ovality, 4);
        te_buffer_text(lines, " mm, the long axis at ");
        te_put_fixed(lines, ovals[i].oval.long_axis, 0);
        te_buffer_text(lines, " degrees from the thrust direction, ");
        te_put_count(lines, ovals[i].directions);
        te_buffer_text(lines, " directions");
    }
    free(ovals);
}

void te_notes_condition(te_buffer *lines, const te_shop *shop, const te_assessment *assessment)
{
    const te_tables *tables = te_shop_tables(shop);
    const te_inspection *inspection = &tables->inspections[assessment->inspection];
    for (uint32_t i = 0; i < inspection->condition_count; i++) {
        const te_condition *row = &tables->conditions[inspection->first_condition + i];
        te_notes_next(lines);
        te_buffer_text(lines, te_severity_name(row->severity));
        te_buffer_text(lines, ": ");
        te_put_part(lines, shop, row->kind, row->part);
        te_buffer_text(lines, ": ");
        te_buffer_safe(lines, te_shop_text(shop, row->finding));
    }
}

/* ---- what was assumed ---- */

/* True when a reading's correction to 20 degrees rests on the material of that kind. */
static bool was_read(const struct noted *t, te_kind kind)
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

static void put_uncorrected(const struct noted *t, const te_model *model)
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
        te_notes_next(t->lines);
        te_buffer_add(t->lines, line.bytes, line.length);
    }
    t->lines->failed = t->lines->failed || line.failed;
    te_buffer_free(&line);
}

static bool has_quantity(const struct noted *t, te_quantity quantity)
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
static bool takes_steel(const struct noted *t, const te_observation *x)
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
static void put_correction(const struct noted *t, const te_model *model)
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
        put_note(t->lines,
                 "no temperature was read: sizes stand as measured, and an error of up to 5 K "
                 "either way of 20 °C is allowed for");
    } else if (corrected && isnan(t->inspection->temperature_uncertainty)) {
        put_note(t->lines,
                 "the temperature is known to 1 K (standard uncertainty; none was stated)");
    }
    put_uncorrected(t, model);
    if (steel) {
        put_note(t->lines, "instruments without an expansion of their own expand as steel");
    }
}

void te_notes_assumed(te_buffer *lines, const te_shop *shop, const te_assessment *assessment)
{
    const struct noted noted = noted_of(lines, shop, assessment);
    const struct noted *t = &noted;
    const te_engine *engine = &t->tables->engines[t->inspection->engine];
    put_correction(t, &t->tables->models[engine->model]);
    if (has_quantity(t, TE_Q_OUT_OF_ROUND)) {
        put_note(t->lines,
                 "the bore was gauged between two points: lobes of an odd number do not show");
    }
    put_note(t->lines, "the limits are those of limits.csv: this program brings none");
}

const char *te_caution(size_t at)
{
    static const char *const cautions[] = {
        ("The maker's manual and local rules come first; where the law asks for one, a licensed "
         "or authorised technician decides."),
        "Sizes do not show cracks, loose plating, fatigue or a tired bearing.",
        "An undecided value is not a pass.",
        "An engine that carries people, or that people's safety rests on: when in doubt, replace.",
        "Run in and re-torque as the maker says.",
    };
    return at < sizeof cautions / sizeof *cautions ? cautions[at] : NULL;
}
