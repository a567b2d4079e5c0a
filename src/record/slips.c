/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Probable slips: what can be right, but is more often a slip of the pen or of a spreadsheet. */
#include <gsl/gsl_statistics_double.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "internal.h"
#include "sort.h"

static const double as_new_share = 0.02; /* a size further from as-new is hardly wear */

/* A value is far from its feature when it is more than 10 robust standard deviations from the
 * median and more than 0.1 % of it. 1.4826 makes the median absolute deviation estimate a normal
 * standard deviation (F. R. Hampel, J. Amer. Statist. Assoc. 69 (1974) 383). Worn bores are skewed,
 * hence the wide factor; 0.1 % keeps evenly worn parts, whose deviation is nearly 0, quiet. */
static const double far_deviations = 10.0;
static const double mad_to_deviation = 1.4826;
static const double far_share = 0.001;
enum { FAR_READINGS_LEAST = 5 };

/* Readings that all end before the gauge's resolution: told when chance would do that less often
 * than this. */
static const double chance_least = 1e-3;

static const double workshop_least = 15.0, workshop_most = 25.0; /* degrees Celsius */

/* What is known of an instrument within the inspection at hand. */
struct gauge_use {
    uint32_t inspection_mark; /* inspection + 1 for which the rest holds */
    uint32_t first;           /* earliest reading */
    uint32_t count;
    double grain; /* smallest last place written, in mm */
    bool told_undeclared;
};

struct slips {
    te_shop *shop;
    struct gauge_use *gauges; /* by instrument id */
    double *sizes, *deviations;
    struct limit_memo limit;
    const te_inspection *inspection;
    uint32_t inspection_row;
};

static struct place_of slip_place(const struct slips *s, te_origin origin, const char *column)
{
    return te_place_engine(s->shop, TE_WARNING, origin, column, s->inspection->engine);
}

static struct place_of reading_place(const struct slips *s, const te_reading *reading)
{
    return slip_place(s, te_reading_origin(reading), te_reading_column(reading));
}

static const te_reading *reading_at(const struct slips *s, uint32_t at)
{
    return &s->shop->readings.items[s->shop->by_inspection[at]];
}

/* ---- more than 2 % from as-new ---- */

static double as_new_middle(const te_limit *limit)
{
    if (isnan(limit->new_min)) {
        return limit->new_max;
    }
    return isnan(limit->new_max) ? limit->new_min : (limit->new_min + limit->new_max) / 2;
}

static void check_as_new(const struct slips *s, const te_reading *reading, const te_limit *limit)
{
    double new_size = as_new_middle(limit);
    if (fabs(te_size_of(reading) - new_size) > as_new_share * new_size) {
        struct place_of place = reading_place(s, reading);
        te_shop_problem(s->shop, &place, "check the unit, the digits and the decimal mark",
                        "the %s is more than 2 %% from its as-new size",
                        te_quantity_info_of(reading->setup->feature)->name);
    }
}

/* ---- far past a limit ---- */

/* A gap or play is small: one many times its limit is hardly wear. */
static void check_far_past(const struct slips *s, const te_reading *reading, const te_limit *limit)
{
    const double times = 5.0; /* a worn-out ring or bearing has two or three */
    double most = fmax(limit->new_max, limit->service_max); /* of a limit alone, the other is NAN */
    if (te_size_of(reading) > times * most) {
        struct place_of place = reading_place(s, reading);
        te_shop_problem(s->shop, &place, "check the unit, the digits and the decimal mark",
                        "the %s is more than five times its limit",
                        te_quantity_info_of(reading->setup->feature)->name);
    }
}

static void check_against_limit(struct slips *s, const te_reading *reading)
{
    bool size = (te_setup_held(reading->setup)->traits & TE_TRAIT_SIZE) != 0;
    if (reading->dropped != 0 || (!size && reading->setup->feature >= TE_Q_OWN)) {
        return;
    }
    const te_limit *limit = te_shop_reading_limit(&s->limit, s->shop, reading);
    if (limit != NULL && size) {
        check_as_new(s, reading, limit);
    } else if (limit != NULL) {
        check_far_past(s, reading, limit);
    }
}

/* ---- far from the rest of its feature ---- */

/* Two neighbouring digits of the reading, swapped, that bring it near the median. */
static bool find_swap(char *swapped, size_t size, const te_reading *reading, double median,
                      double far)
{
    double from_mm = te_unit_to_mm(1.0, reading->setup->unit);
    char digits[TE_FIXED_SIZE];
    te_number_fixed(digits, reading->value / from_mm, reading->decimals);
    size_t length = strlen(digits);
    for (size_t i = 0; i + 1 < length; i++) {
        size_t j = digits[i + 1] == '.' ? i + 2 : i + 1;
        te_number number = {0};
        char other[TE_FIXED_SIZE];
        if (digits[i] == '.' || digits[i] == '-' || j >= length || digits[i] == digits[j]) {
            continue;
        }
        memcpy(other, digits, length + 1);
        other[i] = digits[j];
        other[j] = digits[i];
        if (te_number_parse(&number, (te_slice){other, length}) != TE_NUMBER_GOOD) {
            continue;
        }
        te_reading changed = *reading;
        changed.value = te_unit_to_mm(number.value, reading->setup->unit);
        if (fabs(te_size_of(&changed) - median) <= far) {
            (void)snprintf(swapped, size, "%s", other);
            return true;
        }
    }
    return false;
}

static void report_far(const struct slips *s, const te_reading *reading, double median, double far)
{
    struct place_of place = reading_place(s, reading);
    char swapped[TE_FIXED_SIZE];
    char remedy[TE_PROBLEM_TEXT] = "check it against the sheet, or measure again";
    char size[TE_FIXED_SIZE];
    char middle[TE_FIXED_SIZE];
    te_number_fixed(size, te_size_of(reading), 4);
    te_number_fixed(middle, median, 4);
    if (find_swap(swapped, sizeof swapped, reading, median, far)) {
        (void)snprintf(remedy, sizeof remedy, "two digits swapped? %s would be in line", swapped);
    }
    te_shop_problem(s->shop, &place, remedy, "%s is far from the rest of its feature (median %s)",
                    size, middle);
}

/* The sizes of readings [first, end), in order; false when one of them was refused. */
static bool collect_sizes(const struct slips *s, uint32_t first, uint32_t end)
{
    for (uint32_t i = first; i < end; i++) {
        const te_reading *reading = reading_at(s, i);
        if (reading->dropped != 0) {
            return false;
        }
        s->sizes[i - first] = te_size_of(reading);
    }
    te_sort_numbers(s->sizes, end - first);
    return true;
}

/* Readings [first, end) are of one feature and item. */
static void check_far(const struct slips *s, uint32_t first, uint32_t end)
{
    size_t count = end - first;
    if (count < FAR_READINGS_LEAST || !collect_sizes(s, first, end)) {
        return;
    }
    double median = gsl_stats_median_from_sorted_data(s->sizes, 1, count);
    double furthest = fmax(fabs(s->sizes[0] - median), fabs(s->sizes[count - 1] - median));
    if (furthest <= far_share * fabs(median)) {
        return; /* which nearly always answers it */
    }
    for (size_t i = 0; i < count; i++) {
        s->deviations[i] = fabs(s->sizes[i] - median);
    }
    te_sort_numbers(s->deviations, count);
    double mad = gsl_stats_median_from_sorted_data(s->deviations, 1, count);
    double far = fmax(far_deviations * mad_to_deviation * mad, far_share * fabs(median));
    for (uint32_t i = first; i < end; i++) {
        const te_reading *reading = reading_at(s, i);
        if (fabs(te_size_of(reading) - median) > far) {
            report_far(s, reading, median, far);
        }
    }
}

/* ---- gauges ---- */

/* By the decimals of a reading. */
static const double last_places[16] = {1e0,  1e-1, 1e-2,  1e-3,  1e-4,  1e-5,  1e-6,  1e-7,
                                       1e-8, 1e-9, 1e-10, 1e-11, 1e-12, 1e-13, 1e-14, 1e-15};

static void note_gauge(const struct slips *s, uint32_t at)
{
    const te_reading *reading = reading_at(s, at);
    struct gauge_use *use = &s->gauges[reading->setup->instrument];
    double grain = te_unit_to_mm(last_places[reading->decimals], reading->setup->unit);
    uint32_t row = s->shop->by_inspection[at];
    if (use->inspection_mark != s->inspection_row + 1) {
        use->inspection_mark = s->inspection_row + 1;
        use->first = row;
        use->count = 0;
        use->grain = grain;
    }
    use->first = row < use->first ? row : use->first;
    use->grain = grain < use->grain ? grain : use->grain;
    use->count++;
}

static void check_rounded(const struct slips *s, const struct gauge_use *use,
                          const te_instrument *gauge)
{
    const te_reading *reading = &s->shop->readings.items[use->first];
    bool own = gauge->unit == TE_UNIT_OWN || reading->setup->unit == TE_UNIT_OWN;
    if (own || isnan(gauge->resolution) || use->grain <= gauge->resolution * (1 + 1e-9)) {
        return;
    }
    double chance = pow(gauge->resolution / use->grain, (double)use->count);
    if (chance <= chance_least * (1 + 1e-9)) {
        struct place_of place = reading_place(s, reading);
        const char *name = te_names_text(&s->shop->names, gauge->id);
        const char *remedy = "look for figures that a spreadsheet has rounded";
        if (use->count == 1) {
            te_shop_problem(s->shop, &place, remedy,
                            "the reading of %s has fewer decimals than its resolution", name);
        } else {
            te_shop_problem(s->shop, &place, remedy,
                            "all %u readings of %s have fewer decimals than its resolution",
                            (unsigned)use->count, name);
        }
    }
}

/* A gauge that is out of date at the inspection, or of which it is not known. */
static void tell_out_of_date(const struct slips *s, const te_reading *reading,
                             const te_instrument *gauge, bool due)
{
    struct place_of place = slip_place(s, te_reading_origin(reading), "instrument");
    const char *name = te_names_text(&s->shop->names, gauge->id);
    char date[11];
    te_date_format(date, due ? gauge->due : gauge->calibrated);
    if (due) {
        te_shop_problem(s->shop, &place, "have it calibrated and measure again",
                        "the calibration of %s was due on %s, before the inspection", name, date);
    } else {
        te_shop_problem(s->shop, &place, "add the earlier calibration to instruments.csv",
                        "the first calibration of %s known is of %s, after the inspection", name,
                        date);
    }
}

/* The gauge and those it is set with: in date at the inspection? */
static void check_calibration(const struct slips *s, const te_reading *reading)
{
    const te_shop *shop = s->shop;
    te_date day = s->inspection->date;
    const te_instrument *gauge = te_shop_gauge(shop, reading->setup->instrument, day);
    for (; gauge != NULL; gauge = te_shop_gauge(shop, gauge->set_with, day)) {
        if (gauge->due != TE_NO_DATE && gauge->due < day) {
            tell_out_of_date(s, reading, gauge, true);
        }
        if (gauge->calibrated != TE_NO_DATE && gauge->calibrated > day) {
            tell_out_of_date(s, reading, gauge, false);
        }
    }
}

static void check_gauge(const struct slips *s, te_id instrument)
{
    struct gauge_use *use = &s->gauges[instrument];
    const te_reading *reading = &s->shop->readings.items[use->first];
    uint32_t row = te_shop_calibration(s->shop, instrument, s->inspection->date);
    if (row != TE_NO_INDEX) {
        check_rounded(s, use, &s->shop->instruments.items[row]);
        check_calibration(s, reading);
    } else if (s->shop->instruments.count > 0 && !use->told_undeclared) {
        struct place_of place = slip_place(s, te_reading_origin(reading), "instrument");
        use->told_undeclared = true;
        te_shop_problem(s->shop, &place, "add it to instruments.csv, or correct the name",
                        "there is no instrument \"%s\": its uncertainty is not stated",
                        te_names_text(&s->shop->names, instrument));
    }
}

/* ---- the inspection as a whole ---- */

/* A temperature whose uncertainty was written down was looked at: no slip. */
static void check_temperature(const struct slips *s)
{
    double temperature = s->inspection->temperature;
    bool unusual = temperature < workshop_least || temperature > workshop_most;
    if (unusual && isnan(s->inspection->temperature_uncertainty)) {
        struct place_of place = slip_place(s, s->inspection->origin, "temperature");
        te_shop_problem(s->shop, &place, "check it; give temperature_uncertainty when it is right",
                        "the temperature is outside 15 to 25 degrees Celsius");
    }
}

/* A size measured far from 20 degrees whose part has no material is not corrected. */
static void check_material(const struct slips *s)
{
    double temperature = s->inspection->temperature;
    bool usual = !(temperature < workshop_least || temperature > workshop_most);
    uint32_t at = s->shop->engines.items[s->inspection->engine].model;
    for (uint32_t i = 0; i < s->inspection->reading_count && !usual && at != TE_NO_INDEX; i++) {
        const te_model *model = &s->shop->models.items[at];
        const te_reading *reading = reading_at(s, s->inspection->first_reading + i);
        const te_quantity_info *info = te_quantity_info_of(reading->setup->feature);
        if ((info->traits & TE_TRAIT_SIZE) != 0 && isnan(model->expansion[info->kind])) {
            struct place_of place = slip_place(s, s->inspection->origin, "temperature");
            te_shop_problem(s->shop, &place, "give the materials in models.csv",
                            "far from 20 degrees, but the %s has no material: sizes are not "
                            "corrected",
                            te_kind_name(info->kind));
            return;
        }
    }
}

static void check_skirt(const struct slips *s)
{
    const te_reading *skirt = NULL;
    double bore = INFINITY;
    uint32_t first = s->inspection->first_reading;
    for (uint32_t i = first; i < first + s->inspection->reading_count; i++) {
        const te_reading *reading = reading_at(s, i);
        if (reading->dropped != 0) {
            continue;
        }
        if (reading->setup->feature == TE_Q_BORE) {
            bore = fmin(bore, te_size_of(reading));
        } else if (reading->setup->feature == TE_Q_SKIRT) {
            skirt = skirt == NULL || te_size_of(reading) > te_size_of(skirt) ? reading : skirt;
        }
    }
    if (skirt != NULL && te_size_of(skirt) > bore) {
        struct place_of place = slip_place(s, te_reading_origin(skirt), te_reading_column(skirt));
        te_shop_problem(s->shop, &place, "check both readings",
                        "the skirt is larger than the bore");
    }
}

static void check_inspection(struct slips *s)
{
    uint32_t first = s->inspection->first_reading;
    uint32_t end = first + s->inspection->reading_count;
    uint32_t run = first;
    check_temperature(s);
    check_material(s);
    check_skirt(s);
    for (uint32_t i = first; i < end; i++) {
        const te_reading *reading = reading_at(s, i);
        const te_reading *start = reading_at(s, run);
        if (reading->setup->feature != start->setup->feature ||
            reading->setup->item != start->setup->item) {
            check_far(s, run, i);
            run = i;
        }
        check_against_limit(s, reading);
        if (reading->setup->instrument != 0) {
            note_gauge(s, i);
        }
    }
    check_far(s, run, end);
    for (uint32_t i = first; i < end; i++) {
        const te_reading *reading = reading_at(s, i);
        struct gauge_use *use = &s->gauges[reading->setup->instrument];
        if (reading->setup->instrument != 0 && use->count > 0) {
            check_gauge(s, reading->setup->instrument);
            use->count = 0;
        }
    }
}

static void check_plan_gauges(te_shop *shop)
{
    for (size_t i = 0; i < shop->plan.count && shop->instruments.count > 0; i++) {
        const te_plan *plan = &shop->plan.items[i];
        bool known = te_id_map_get(&shop->instrument_of, plan->instrument) != TE_NO_INDEX;
        struct place_of place = {TE_WARNING, plan->origin, "instrument", TE_SCOPE_MODEL,
                                 shop->models.items[plan->model].id};
        if (plan->instrument != 0 && !known) {
            te_shop_problem(shop, &place, "add it to instruments.csv, or correct the name",
                            "there is no instrument \"%s\"",
                            te_names_text(&shop->names, plan->instrument));
        }
    }
}

static bool start_slips(struct slips *s, te_shop *shop)
{
    uint32_t most = te_shop_most_readings(shop);
    *s = (struct slips){.shop = shop};
    s->gauges = calloc(shop->names.count + 1, sizeof *s->gauges);
    s->sizes = calloc(most, sizeof *s->sizes);
    s->deviations = calloc(most, sizeof *s->deviations);
    return s->gauges != NULL && s->sizes != NULL && s->deviations != NULL;
}

static void find_share(te_shop *shop, size_t first, size_t end)
{
    struct slips s;
    shop->out_of_memory = !start_slips(&s, shop) || shop->out_of_memory;
    for (size_t i = first; i < end && !shop->out_of_memory; i++) {
        s.inspection = &shop->inspections.items[i];
        s.inspection_row = (uint32_t)i;
        if (s.inspection->engine != TE_NO_INDEX && s.inspection->date != TE_NO_DATE) {
            check_inspection(&s);
        }
    }
    free(s.gauges);
    free(s.sizes);
    free(s.deviations);
}

/* An instrument without a row is told once, where it is met first: one thread alone can tell. */
static bool any_undeclared(const te_shop *shop)
{
    for (size_t i = 0; i < shop->setups.count; i++) {
        te_id instrument = te_setups_at(&shop->setups, i)->setup.instrument;
        if (instrument != 0 && te_id_map_get(&shop->instrument_of, instrument) == TE_NO_INDEX) {
            return true;
        }
    }
    return false;
}

void te_shop_find_slips(te_shop *shop)
{
    if (any_undeclared(shop)) {
        find_share(shop, 0, shop->inspections.count);
    } else {
        te_shop_share(shop, find_share);
    }
    check_plan_gauges(shop);
}
