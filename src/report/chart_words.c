/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The words of figures: texts that fit, remarks, legends, notes. */
#include <math.h>
#include <string.h>

#include "chart_parts.h"
#include "wear_words.h"

static const char ellipsis[] = "…";

const char *te_chart_text(const te_buffer *buffer)
{
    return buffer->length == 0 ? "" : buffer->bytes;
}

static void empty(te_buffer *buffer)
{
    if (buffer->length > 0) {
        buffer->length = 0;
        buffer->bytes[0] = '\0';
    }
}

static double width_of(te_slice text, double size)
{
    return (double)te_text_width(text) * size * TE_CHART_LETTER;
}

double te_chart_width_of(const char *text, double size)
{
    return width_of((te_slice){text, strlen(text)}, size);
}

void te_chart_cut(te_buffer *buffer, size_t start, double width, double size)
{
    const double rounding = 1e-9;
    if (buffer->failed || buffer->length <= start) {
        return;
    }
    te_slice text = {buffer->bytes + start, buffer->length - start};
    if (width_of(text, size) <= width + rounding) {
        return;
    }
    double room = width - size * TE_CHART_LETTER;
    size_t kept = 0;
    for (size_t next = 0; next < text.length;) {
        uint32_t code = 0;
        size_t length = te_utf8_decode(&code, text.bytes + next, text.length - next);
        next += length == 0 ? 1 : length;
        if (width_of((te_slice){text.bytes, next}, size) > room + rounding) {
            break;
        }
        kept = next;
    }
    buffer->length = start + kept;
    te_put_trim(buffer, start);
    buffer->bytes[buffer->length] = '\0';
    te_buffer_text(buffer, ellipsis);
}

static double room_at(te_anchor anchor, double x)
{
    double right = TE_CHART_WIDTH - TE_CHART_MARGIN - x;
    double left = x - TE_CHART_MARGIN;
    return anchor == TE_ANCHOR_START ? right
           : anchor == TE_ANCHOR_END ? left
                                     : 2.0 * fmin(left, right);
}

void te_chart_say(struct chart *chart, te_tone tone, te_anchor anchor, te_place at, double size)
{
    te_chart_cut(&chart->words, 0, room_at(anchor, at.x), size);
    if (chart->words.length > 0) {
        te_drawing_text(chart->drawing, tone, anchor, at, size, chart->words.bytes);
    }
    empty(&chart->words);
}

void te_chart_begin(struct chart *chart, te_buffer *title, te_buffer *description)
{
    const double baseline = 13.0;
    te_drawing_start(chart->drawing, TE_CHART_WIDTH, baseline, te_chart_text(title),
                     te_chart_text(description));
    chart->drawing->failed = chart->drawing->failed || title->failed || description->failed;
    te_buffer_text(&chart->words, te_chart_text(title));
    te_place at = {TE_CHART_MARGIN, baseline};
    te_chart_say(chart, TE_TONE_INK, TE_ANCHOR_START, at, TE_CHART_TITLE);
    te_mark *last = te_drawing_last(chart->drawing);
    if (last != NULL) {
        last->bold = true;
    }
    chart->y = baseline + 7.0;
    chart->legend = TE_CHART_MARGIN;
    te_buffer_free(title);
    te_buffer_free(description);
}

void te_chart_end(struct chart *chart)
{
    chart->drawing->height = chart->y + TE_CHART_MARGIN;
    chart->drawing->failed = chart->drawing->failed || chart->words.failed;
    te_buffer_free(&chart->words);
}

void te_chart_remark(struct chart *chart)
{
    const double room = TE_CHART_WIDTH - 2.0 * TE_CHART_MARGIN;
    te_buffer lines = {0};
    te_put_wrapped(&lines, te_chart_text(&chart->words), "", 0,
                   (size_t)(room / (TE_CHART_SMALL * TE_CHART_LETTER)));
    empty(&chart->words);
    chart->words.failed = chart->words.failed || lines.failed;
    for (size_t i = 0; !lines.failed && i < lines.length;) {
        size_t length = strcspn(lines.bytes + i, "\n");
        te_buffer_add(&chart->words, lines.bytes + i, length);
        te_put_trim(&chart->words, 0);
        chart->y += TE_CHART_LINE;
        te_place at = {TE_CHART_MARGIN, chart->y - 3.0};
        te_chart_say(chart, TE_TONE_MUTED, TE_ANCHOR_START, at, TE_CHART_SMALL);
        i += length + 1;
    }
    te_buffer_free(&lines);
}

/* ---- legend ---- */

static const double sample_width = 18.0;
static const double sample_gap = 4.0; /* before the words */
static const double entry_gap = 14.0; /* after them */

static void draw_sample(struct chart *chart, const struct chart_sample *sample, double x, double y)
{
    te_drawing *drawing = chart->drawing;
    te_place left = {x, y};
    te_place right = {x + sample_width, y};
    te_place middle = {x + sample_width / 2.0, y};
    if (sample->area) {
        const double height = 8.0;
        te_place corner = {x, y - height / 2.0};
        te_drawing_box(drawing, sample->tone, sample->fill, sample->stroke, corner, sample_width,
                       height, NULL);
    } else if (sample->barred) {
        te_chart_bar(chart, sample->tone, left, right);
    } else if (sample->stroke != TE_STROKE_NONE) {
        te_drawing_line(drawing, sample->tone, sample->stroke, left, right);
    }
    if (sample->spotted) {
        te_drawing_spot(drawing, sample->tone, sample->spot, middle, TE_CHART_SPOT, NULL);
    }
}

void te_chart_legend(struct chart *chart, const struct chart_sample *sample)
{
    const double most = TE_CHART_WIDTH - 2.0 * TE_CHART_MARGIN - sample_width - sample_gap;
    te_chart_cut(&chart->words, 0, most, TE_CHART_SMALL);
    double width = sample_width + sample_gap +
                   te_chart_width_of(te_chart_text(&chart->words), TE_CHART_SMALL);
    bool first = chart->legend <= TE_CHART_MARGIN;
    if (!first && chart->legend + width > TE_CHART_WIDTH - TE_CHART_MARGIN) {
        te_chart_legend_end(chart);
    }
    double baseline = chart->y + TE_CHART_LINE - 3.0;
    draw_sample(chart, sample, chart->legend, baseline - 3.0);
    te_place at = {chart->legend + sample_width + sample_gap, baseline};
    te_chart_say(chart, TE_TONE_INK, TE_ANCHOR_START, at, TE_CHART_SMALL);
    chart->legend += width + entry_gap;
}

void te_chart_legend_end(struct chart *chart)
{
    chart->y += chart->legend > TE_CHART_MARGIN ? TE_CHART_LINE + 1.0 : 0.0;
    chart->legend = TE_CHART_MARGIN;
}

/* ---- figures and names ---- */

void te_chart_put_figures(te_buffer *buffer, double value, double u, const char *unit)
{
    te_put_number(buffer, value, 9);
    te_buffer_text(buffer, " ");
    te_buffer_safe(buffer, unit);
    if (isnan(u)) {
        te_buffer_text(buffer, ", U not stated");
    } else {
        te_buffer_text(buffer, ", U ");
        te_put_number(buffer, 2.0 * u, 9);
    }
}

/* The parts come last and are cut first where a title is too long for the figure. */
static const double name_widest = 200.0;
static const double unit_widest = 60.0;

void te_chart_put_series(te_buffer *buffer, const te_shop *shop, const te_series *series,
                         const char *unit)
{
    te_measured subject = te_series_subject(series);
    size_t start = buffer->length;
    te_put_quantity(buffer, shop, series->quantity, series->item);
    te_chart_cut(buffer, start, name_widest, TE_CHART_TITLE);
    te_buffer_text(buffer, ", ");
    te_buffer_text(buffer, te_side_name(series->side));
    te_buffer_text(buffer, ", ");
    start = buffer->length;
    te_buffer_safe(buffer, unit);
    te_chart_cut(buffer, start, unit_widest, TE_CHART_TITLE);
    te_buffer_text(buffer, ": ");
    te_write_parts(buffer, shop, &subject);
}
