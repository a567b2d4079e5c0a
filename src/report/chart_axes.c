/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Scales and axes: ticks at round numbers, labels that do not touch. */
#include <math.h>

#include "chart_parts.h"

enum { TICKS_MOST = 9, TICKS_LEAST = 3 };

static const double label_gap = 8.0;      /* between labels beside each other, points */
static const double label_row = 18.0;     /* between labels below each other */
static const double tick_rounding = 1e-6; /* of a step, by which a tick may lie off the scale */

/* A scale finer than this share of its values would label digits that a double does not hold. */
static const double finest = 1e-9;

struct chart_scale te_chart_scale(double low, double high, double from, double to, double pad_low,
                                  double pad_high)
{
    double size = fmax(fabs(low), fabs(high));
    if (!(high - low > size * finest) || !(high > low)) {
        double half = fmax(size * 1e-6, 1e-6);
        low -= half;
        high += half;
    }
    double length = fabs(to - from);
    double unit = (high - low) / (length - pad_low - pad_high); /* value a point */
    return (struct chart_scale){
        .low = low - pad_low * unit, .high = high + pad_high * unit, .from = from, .to = to};
}

double te_chart_at(const struct chart_scale *scale, double value)
{
    return scale->from +
           (value - scale->low) / (scale->high - scale->low) * (scale->to - scale->from);
}

double te_chart_within(const struct chart_scale *scale, double value)
{
    return te_chart_at(scale, fmin(fmax(value, scale->low), scale->high));
}

bool te_chart_holds(const struct chart_scale *scale, double value)
{
    return value >= scale->low && value <= scale->high;
}

/* ---- steps ---- */

static const double round_numbers[] = {1.0, 2.0, 5.0, 10.0};

double te_chart_round_down(double value)
{
    double power = pow(10.0, floor(log10(value)));
    double best = power;
    for (size_t i = 0; i < 3; i++) {
        best = round_numbers[i] * power <= value * (1.0 + finest) ? round_numbers[i] * power : best;
    }
    return best;
}

/* The smallest round number that makes at most `most` steps. */
static double step_for(const struct chart_scale *scale, int most)
{
    double least = (scale->high - scale->low) / most;
    double power = pow(10.0, floor(log10(least)));
    for (size_t i = 0; i < 4; i++) {
        if (round_numbers[i] * power >= least * (1.0 - finest)) {
            return round_numbers[i] * power;
        }
    }
    return 10.0 * power;
}

static double first_tick(const struct chart_scale *scale)
{
    return ceil(scale->low / scale->step - tick_rounding);
}

static int tick_count(const struct chart_scale *scale)
{
    const double most = 1000.0; /* far above what a step is chosen for */
    double last = floor(scale->high / scale->step + tick_rounding);
    double after_first = last - first_tick(scale);
    return after_first >= 0.0 ? (int)fmin(after_first, most) + 1 : 0;
}

static void write_tick(char out[TE_FIXED_SIZE], const struct chart_scale *scale, double tick)
{
    const double longest = 1e8;
    const int decimals_most = 9;
    double value = tick * scale->step;
    int place = (int)floor(log10(scale->step) + tick_rounding);
    int decimals = place < 0 ? -place : 0;
    double size = fmax(fabs(scale->low), fabs(scale->high));
    if (size < longest && decimals <= decimals_most) {
        (void)te_number_fixed(out, value, decimals);
        return;
    }
    int digits = (int)ceil(log10(size / scale->step)) + 1;
    (void)te_number_format(out, value, digits < 1 ? 1 : digits > 11 ? 11 : digits);
}

double te_chart_label_width(const struct chart_scale *scale)
{
    double widest = 0.0;
    for (int i = 0; i < tick_count(scale); i++) {
        double tick = first_tick(scale) + i;
        char label[TE_FIXED_SIZE];
        write_tick(label, scale, tick);
        widest = fmax(widest, te_chart_width_of(label, TE_CHART_SMALL));
    }
    return widest;
}

static void say_tick(struct chart *chart, const struct chart_scale *scale, double tick,
                     te_anchor anchor, te_place at)
{
    char label[TE_FIXED_SIZE];
    write_tick(label, scale, tick);
    te_buffer_text(&chart->words, label);
    te_chart_say(chart, TE_TONE_MUTED, anchor, at, TE_CHART_SMALL);
}

void te_chart_steps_across(struct chart_scale *scale)
{
    double length = fabs(scale->to - scale->from);
    for (int most = TICKS_MOST; most >= TICKS_LEAST; most--) {
        scale->step = step_for(scale, most);
        double apart = scale->step / (scale->high - scale->low) * length;
        if (te_chart_label_width(scale) + label_gap <= apart) {
            return;
        }
    }
}

void te_chart_steps_down(struct chart_scale *scale)
{
    double most = fabs(scale->to - scale->from) / label_row;
    most = fmin(fmax(most, TICKS_LEAST), TICKS_MOST);
    scale->step = step_for(scale, (int)most);
}

/* ---- axes ---- */

void te_chart_axis_across(struct chart *chart, const struct chart_scale *scale, double top,
                          double bottom)
{
    const double baseline = bottom + 11.0;
    for (int i = 0; i < tick_count(scale); i++) {
        double tick = first_tick(scale) + i;
        double x = te_chart_within(scale, tick * scale->step);
        te_drawing_line(chart->drawing, TE_TONE_FAINT, TE_STROKE_HAIR, (te_place){x, top},
                        (te_place){x, bottom});
        te_drawing_line(chart->drawing, TE_TONE_MUTED, TE_STROKE_HAIR, (te_place){x, bottom},
                        (te_place){x, bottom + 3.0});
        say_tick(chart, scale, tick, TE_ANCHOR_MIDDLE, (te_place){x, baseline});
    }
    te_drawing_line(chart->drawing, TE_TONE_MUTED, TE_STROKE_HAIR,
                    (te_place){fmin(scale->from, scale->to), bottom},
                    (te_place){fmax(scale->from, scale->to), bottom});
}

void te_chart_axis_down(struct chart *chart, const struct chart_scale *scale, double left,
                        double right)
{
    for (int i = 0; i < tick_count(scale); i++) {
        double tick = first_tick(scale) + i;
        double y = te_chart_within(scale, tick * scale->step);
        te_drawing_line(chart->drawing, TE_TONE_FAINT, TE_STROKE_HAIR, (te_place){left, y},
                        (te_place){right, y});
        te_drawing_line(chart->drawing, TE_TONE_MUTED, TE_STROKE_HAIR, (te_place){left - 3.0, y},
                        (te_place){left, y});
        say_tick(chart, scale, tick, TE_ANCHOR_END, (te_place){left - 5.0, y + 2.8});
    }
    te_drawing_line(chart->drawing, TE_TONE_MUTED, TE_STROKE_HAIR,
                    (te_place){left, fmin(scale->from, scale->to)},
                    (te_place){left, fmax(scale->from, scale->to)});
}

void te_chart_bar(struct chart *chart, te_tone tone, te_place a, te_place b)
{
    const double half = 2.5;
    bool upright = fabs(a.x - b.x) < fabs(a.y - b.y);
    double dx = upright ? half : 0.0;
    double dy = upright ? 0.0 : half;
    te_drawing_line(chart->drawing, tone, TE_STROKE_PLAIN, a, b);
    te_drawing_line(chart->drawing, tone, TE_STROKE_PLAIN, (te_place){a.x - dx, a.y - dy},
                    (te_place){a.x + dx, a.y + dy});
    te_drawing_line(chart->drawing, tone, TE_STROKE_PLAIN, (te_place){b.x - dx, b.y - dy},
                    (te_place){b.x + dx, b.y + dy});
}
