/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * What must hold for every shop, tried on random ones: the spelling of the files changes nothing,
 * a gauge's common error cancels in form, and no doubt, tighter limit or lost reading makes a pass
 * of what was none.
 */
#include "te_shop_text.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "topend/judge.h"
#include "topend/rebuild.h"

enum { ROWS = 48, LIMITS = 16, GAUGES = 3, CELLS = 16, CELL = 40 };

/* ---- a shop in numbers ------------------------------------------------------------------- */

/* A row of readings.csv, and the place that plan.csv names for it. Lengths in mm. */
typedef struct row {
    const char *feature, *item;
    double position, direction; /* NAN: blank */
    double reading[3];
    int repeats;
    double no_go, zero; /* NAN: blank */
    int gauge;
    bool dropped;
} row;

typedef struct limit {
    const char *quantity, *item;
    double bounds[4]; /* new_min, new_max, service_min, service_max; NAN: none */
    bool optional;    /* not required */
} limit;

typedef struct gauge {
    double resolution, expanded, repeatability; /* NAN: not given */
    bool on_first;                              /* set with gauge 0 */
} gauge;

typedef struct plan_of_shop {
    row rows[ROWS];
    size_t row_count;
    limit limits[LIMITS];
    size_t limit_count;
    gauge gauges[GAUGES];
    const char *cylinder, *piston, *ring; /* materials */
    double temperature;                   /* NAN: blank */
    double confidence;
    bool simple;
    bool planned; /* plan.csv names the place of every row */
} plan_of_shop;

/* To tenths of a micrometre: sums of such figures are such figures again. */
static double tenths(double mm)
{
    return round(mm * 1e4) / 1e4;
}

static double pick_mm(te_random *random, double low, double high)
{
    return tenths(te_random_between(random, low, high));
}

static bool chance(te_random *random, size_t one_in)
{
    return te_random_below(random, one_in) == 0;
}

static row *add_row(plan_of_shop *s, te_random *random, const char *feature, const char *item,
                    double low, double high)
{
    assert_true(s->row_count < ROWS);
    row *r = &s->rows[s->row_count++];
    *r = (row){.feature = feature,
               .item = item,
               .position = NAN,
               .direction = NAN,
               .no_go = NAN,
               .zero = NAN,
               .gauge = (int)te_random_below(random, GAUGES)};
    r->repeats = chance(random, 3) ? 1 + (int)te_random_below(random, 3) : 1;
    double size = pick_mm(random, low, high);
    for (int i = 0; i < r->repeats; i++)
        r->reading[i] = i ? tenths(size + pick_mm(random, -0.003, 0.003)) : size;
    return r;
}

static void add_limit(plan_of_shop *s, const char *quantity, const char *item, double new_min,
                      double new_max, double service_min, double service_max)
{
    assert_true(s->limit_count < LIMITS);
    s->limits[s->limit_count++] = (limit){
        quantity, item, {new_min, new_max, service_min, service_max}, false};
}

static void add_bore(plan_of_shop *s, te_random *random)
{
    static const double heights[] = {10, 25.5, 40, 60}, directions[] = {0, 90, 45};
    size_t height_count = 1 + te_random_below(random, 4);
    size_t direction_count = 1 + te_random_below(random, 3);
    bool dial = chance(random, 2);
    int main_gauge = (int)te_random_below(random, GAUGES);
    for (size_t h = 0; h < height_count; h++)
        for (size_t d = 0; d < direction_count; d++) {
            row *r = add_row(s, random, "bore", "", 65.995, 66.105);
            r->position = heights[h];
            r->direction = directions[d];
            r->gauge = chance(random, 6) ? r->gauge : main_gauge;
            r->zero = dial ? 66.05 : NAN;
        }
}

static void add_gaps(plan_of_shop *s, te_random *random)
{
    static const char *const rings[] = {"1", "2"}, *const bosses[] = {"left", "right"};
    for (size_t i = 0; i < 2; i++) {
        row *r = add_row(s, random, "end_gap", rings[i], 0.20, 0.62);
        if (chance(random, 2)) {
            r->repeats = 1;
            r->no_go = r->reading[0] + 0.05;
        }
    }
    if (chance(random, 2))
        add_row(s, random, "side_clearance", "1", 0.02, 0.11);
    for (size_t i = 0; i < 2; i++)
        add_row(s, random, "pin_bore", bosses[i], 16.000, 16.030);
}

/* Every part of the top end, with values on both sides of the limits. */
static plan_of_shop random_shop(te_random *random)
{
    static const char *const materials[] = {"aluminium", "aluminium_high_si", "cast_iron",
                                            "steel",     "19.25e-6",          ""};
    plan_of_shop s = {0};
    s.cylinder = materials[te_random_below(random, 6)];
    s.piston = materials[te_random_below(random, 6)];
    s.ring = materials[te_random_below(random, 6)];
    s.temperature = chance(random, 6) ? NAN : floor(te_random_between(random, 5, 32));
    s.confidence = chance(random, 2) ? 0.95 : 0.8;
    for (size_t i = 0; i < GAUGES; i++)
        s.gauges[i] = (gauge){chance(random, 3) ? 0.01 : 0.001,
                              chance(random, 8) ? NAN : pick_mm(random, 0.001, 0.012),
                              chance(random, 3) ? NAN : pick_mm(random, 0.0005, 0.003),
                              i > 0 && chance(random, 2)};
    add_bore(&s, random);
    for (size_t i = 1 + te_random_below(random, 2); i > 0; i--)
        add_row(&s, random, "skirt", "", 65.88, 65.98)->direction = i > 1 ? 90 : 0;
    add_gaps(&s, random);
    add_row(&s, random, "pin", "", 15.985, 16.002)->position = 20;
    add_row(&s, random, "pin", "", 15.985, 16.002)->position = 5;
    if (chance(random, 2))
        add_row(&s, random, "squish", "", 0.7, 1.7);

    add_limit(&s, "bore", "", 66.00, 66.04, NAN, 66.10);
    add_limit(&s, "out_of_round", "", NAN, 0.03, NAN, 0.06);
    if (chance(random, 2))
        add_limit(&s, "out_of_round_overall", "", NAN, NAN, NAN, 0.08);
    if (chance(random, 2))
        add_limit(&s, "taper", "", NAN, NAN, NAN, 0.06);
    if (chance(random, 2))
        add_limit(&s, "skirt", "", 65.93, 65.97, 65.90, NAN);
    add_limit(&s, "skirt_clearance", "", 0.04, 0.10, NAN, 0.16);
    add_limit(&s, "end_gap", "", 0.25, 0.40, 0.22, 0.60);
    if (chance(random, 2))
        add_limit(&s, "end_gap", "2", 0.25, 0.40, NAN, 0.50);
    add_limit(&s, "side_clearance", "", NAN, NAN, 0.03, 0.10);
    add_limit(&s, "pin", "", 15.995, 16.000, 15.990, NAN);
    if (chance(random, 2))
        add_limit(&s, "pin_bore", "", NAN, 16.02, NAN, NAN);
    add_limit(&s, "pin_clearance", "", NAN, NAN, 0.002, 0.035);
    if (chance(random, 2))
        add_limit(&s, "squish", "", NAN, NAN, 0.8, 1.6);
    return s;
}

/* ---- its files in many spellings ---------------------------------------------------------- */

typedef struct spelling {
    const char *unit; /* of readings, gauges and limits */
    char delimiter, mark;
    const char *line_end;
    bool bom, quoted, reversed; /* columns from right to left */
    size_t files;               /* that the readings are spread over */
    uint64_t order;             /* seed of the order of the rows; 0: as they are */
} spelling;

static const spelling plain = {"mm", ',', '.', "\n", false, false, false, 1, 0};

static void write_row(te_grown *out, const spelling *how, char cells[][CELL], size_t count)
{
    for (size_t i = 0; i < count; i++) {
        const char *cell = cells[how->reversed ? count - 1 - i : i];
        te_grown_add(out, how->quoted ? "\"%s\"" : "%s", cell);
        if (i + 1 < count)
            te_grown_add(out, "%c", how->delimiter);
    }
    te_grown_add(out, "%s", how->line_end);
}

static void write_head(te_grown *out, const spelling *how, const char *names)
{
    char cells[CELLS][CELL];
    size_t count = 0;
    if (how->bom)
        te_grown_add(out, "\357\273\277");
    for (const char *at = names; *at; count++) {
        size_t length = strcspn(at, ",");
        assert_true(count < CELLS && length < CELL);
        memcpy(cells[count], at, length);
        cells[count][length] = '\0';
        at += length + (at[length] == ',');
    }
    write_row(out, how, cells, count);
}

static void text_cell(char cell[CELL], const char *text)
{
    (void)snprintf(cell, CELL, "%s", text);
}

/* 14 digits: half a unit of the last is 1e-11 mm at most in any of the units. */
static void number_cell(char cell[CELL], const spelling *how, double number)
{
    cell[0] = '\0';
    if (isnan(number))
        return;
    (void)snprintf(cell, CELL, "%.14g", number);
    char *point = strchr(cell, '.');
    if (point)
        *point = how->mark;
}

static double in_unit(double mm, const char *unit)
{
    if (strcmp(unit, "um") == 0)
        return mm * 1000;
    if (strcmp(unit, "in") == 0)
        return mm / 25.4;
    return strcmp(unit, "thou") == 0 ? mm / 25.4 * 1000 : mm;
}

/* Zero and position stand in inches beside inches and thousandths, else in mm. */
static double beside(double mm, const char *unit)
{
    bool inches = strcmp(unit, "in") == 0 || strcmp(unit, "thou") == 0;
    return inches ? mm / 25.4 : mm;
}

static void write_reading(te_grown *out, const spelling *how, const row *r)
{
    char cells[CELLS][CELL];
    double zero = isnan(r->zero) ? 0 : r->zero;
    text_cell(cells[0], "I1");
    text_cell(cells[1], r->feature);
    text_cell(cells[2], r->item);
    number_cell(cells[3], how, beside(r->position, how->unit));
    number_cell(cells[4], how, r->direction);
    for (int i = 0; i < 3; i++)
        number_cell(cells[5 + i], how,
                    i < r->repeats ? in_unit(tenths(r->reading[i] - zero), how->unit) : NAN);
    number_cell(cells[8], how, in_unit(r->no_go, how->unit));
    number_cell(cells[9], how, beside(r->zero, how->unit));
    text_cell(cells[10], how->unit);
    (void)snprintf(cells[11], CELL, "G%d", r->gauge);
    write_row(out, how, cells, 12);
}

static const char reading_head[] = "inspection,feature,item,position,direction,reading,reading_2,"
                                   "reading_3,no_go,zero,unit,instrument";

static void write_readings(te_grown out[], const spelling *how, const plan_of_shop *s)
{
    size_t order[ROWS];
    te_random random = {how->order};
    for (size_t i = 0; i < s->row_count; i++)
        order[i] = i;
    for (size_t i = s->row_count; how->order && i > 1; i--) {
        size_t k = te_random_below(&random, i), swap = order[i - 1];
        order[i - 1] = order[k];
        order[k] = swap;
    }
    for (size_t f = 0; f < how->files; f++)
        write_head(&out[f], how, reading_head);
    for (size_t i = 0; i < s->row_count; i++)
        if (!s->rows[order[i]].dropped)
            write_reading(&out[i % how->files], how, &s->rows[order[i]]);
}

static void write_limits(te_grown *out, const spelling *how, const plan_of_shop *s)
{
    write_head(out, how,
               "model,quantity,item,unit,new_min,new_max,service_min,service_max,required,source");
    for (size_t i = 0; i < s->limit_count; i++) {
        char cells[CELLS][CELL];
        text_cell(cells[0], "M");
        text_cell(cells[1], s->limits[i].quantity);
        text_cell(cells[2], s->limits[i].item);
        text_cell(cells[3], how->unit);
        for (size_t k = 0; k < 4; k++)
            number_cell(cells[4 + k], how, in_unit(s->limits[i].bounds[k], how->unit));
        text_cell(cells[8], s->limits[i].optional ? "no" : "yes");
        text_cell(cells[9], "invented");
        write_row(out, how, cells, 10);
    }
}

static void write_gauges(te_grown *out, const spelling *how, const plan_of_shop *s)
{
    write_head(out, how, "instrument,unit,resolution,expanded_uncertainty,repeatability,set_with");
    for (size_t i = 0; i < GAUGES; i++) {
        char cells[CELLS][CELL];
        (void)snprintf(cells[0], CELL, "G%zu", i);
        text_cell(cells[1], how->unit);
        number_cell(cells[2], how, in_unit(s->gauges[i].resolution, how->unit));
        number_cell(cells[3], how, in_unit(s->gauges[i].expanded, how->unit));
        number_cell(cells[4], how, in_unit(s->gauges[i].repeatability, how->unit));
        text_cell(cells[5], s->gauges[i].on_first ? "G0" : "");
        write_row(out, how, cells, 6);
    }
}

static void write_plan(te_grown *out, const spelling *how, const plan_of_shop *s)
{
    write_head(out, how, "model,feature,item,position,direction");
    for (size_t i = 0; s->planned && i < s->row_count; i++) {
        char cells[CELLS][CELL];
        text_cell(cells[0], "M");
        text_cell(cells[1], s->rows[i].feature);
        text_cell(cells[2], s->rows[i].item);
        number_cell(cells[3], how, s->rows[i].position);
        number_cell(cells[4], how, s->rows[i].direction);
        write_row(out, how, cells, 5);
    }
}

static void write_small(te_grown out[4], const spelling *how, const plan_of_shop *s)
{
    char cells[CELLS][CELL];
    write_head(&out[0], how, "engine,model");
    text_cell(cells[0], "E1");
    text_cell(cells[1], "M");
    write_row(&out[0], how, cells, 2);
    write_head(&out[1], how, "model,cylinder_material,piston_material,ring_material");
    text_cell(cells[0], "M");
    const char *const materials[] = {s->cylinder, s->piston, s->ring};
    for (size_t i = 0; i < 3; i++) {
        text_cell(cells[1 + i], materials[i]);
        char *point = strchr(cells[1 + i], '.');
        if (point)
            *point = how->mark;
    }
    write_row(&out[1], how, cells, 4);
    write_head(&out[2], how, "inspection,engine,date,hours,temperature");
    text_cell(cells[0], "I1");
    text_cell(cells[1], "E1");
    text_cell(cells[2], "2026-04-18");
    number_cell(cells[3], how, 100);
    number_cell(cells[4], how, s->temperature);
    write_row(&out[2], how, cells, 5);
    write_head(&out[3], how, "key,value");
    text_cell(cells[0], "confidence");
    number_cell(cells[1], how, s->confidence);
    write_row(&out[3], how, cells, 2);
    text_cell(cells[0], "rule");
    text_cell(cells[1], s->simple ? "simple" : "guarded");
    write_row(&out[3], how, cells, 2);
}

/* ---- assessing --------------------------------------------------------------------------- */

typedef struct result {
    te_made_shop made;
    te_assessment a;
} result;

static void assess(result *r, const plan_of_shop *s, const spelling *how)
{
    enum { READING_FILES = 3, SMALL = 4 };
    te_grown small[SMALL] = {{0}}, limits = {0}, gauges = {0}, plan = {0};
    te_grown readings[READING_FILES] = {{0}};
    write_small(small, how, s);
    write_limits(&limits, how, s);
    write_gauges(&gauges, how, s);
    write_plan(&plan, how, s);
    write_readings(readings, how, s);
    static const char *const names[] = {"readings.csv", "readings/a.csv", "readings/b.csv"};
    te_shop_file files[] = {{"engines.csv", small[0].text},
                            {"models.csv", small[1].text},
                            {"inspections.csv", small[2].text},
                            {"shop.csv", small[3].text},
                            {"limits.csv", limits.text},
                            {"instruments.csv", gauges.text},
                            {"plan.csv", plan.text},
                            {NULL, NULL},
                            {NULL, NULL},
                            {NULL, NULL},
                            {NULL, NULL}};
    for (size_t i = 0; i < how->files; i++)
        files[7 + i] = (te_shop_file){names[i], readings[i].text};
    *r = (result){0};
    te_made_read(&r->made, files, NULL);
    assert_int_equal(te_assess(&r->a, r->made.shop, 0, false), TE_OK);
    for (size_t i = 0; i < SMALL; i++)
        te_grown_free(&small[i]);
    for (size_t i = 0; i < READING_FILES; i++)
        te_grown_free(&readings[i]);
    te_grown_free(&limits);
    te_grown_free(&gauges);
    te_grown_free(&plan);
}

static void clear(result *r)
{
    te_assessment_free(&r->a);
    te_made_free(&r->made);
}

static const te_finding *find(const result *r, const char *quantity, const char *item)
{
    for (size_t i = 0; i < r->a.finding_count; i++) {
        const te_measured *m = &r->a.findings[i].measured;
        if (strcmp(te_shop_quantity_name(r->made.shop, m->quantity), quantity) == 0 &&
            strcmp(te_shop_text(r->made.shop, m->item), item) == 0)
            return &r->a.findings[i];
    }
    return NULL;
}

/* The same finding of another result; NULL when there is none. */
static const te_finding *counterpart(const result *other, const result *r, const te_finding *f)
{
    return find(other, te_shop_quantity_name(r->made.shop, f->measured.quantity),
                te_shop_text(r->made.shop, f->measured.item));
}

static const te_verdict *same_part(const result *other, const result *r, const te_verdict *v)
{
    for (size_t i = 0; i < other->a.verdict_count; i++)
        if (other->a.verdicts[i].kind == v->kind &&
            strcmp(te_shop_text(other->made.shop, other->a.verdicts[i].part),
                   te_shop_text(r->made.shop, v->part)) == 0)
            return &other->a.verdicts[i];
    return NULL;
}

static bool passes(te_outcome outcome)
{
    return outcome == TE_AS_NEW || outcome == TE_SERVICEABLE;
}

/* ---- the spelling changes nothing --------------------------------------------------------- */

static void assert_alike(double a, double b)
{
    if (isnan(a) && isnan(b))
        return;
    assert_near(a, b, 1e-9);
}

/* A probability of a value that moves by 1e-11 moves by less than 1e-11 / u. */
static void assert_same(const result *a, const result *b)
{
    assert_int_equal(a->a.finding_count, b->a.finding_count);
    for (size_t i = 0; i < a->a.finding_count; i++) {
        const te_finding *x = &a->a.findings[i], *y = counterpart(b, a, x);
        assert_non_null(y);
        assert_int_equal(x->outcome, y->outcome);
        assert_int_equal(x->computed, y->computed);
        assert_int_equal(x->interval.stated, y->interval.stated);
        assert_int_equal(x->places_missing, y->places_missing);
        if (!x->computed)
            continue;
        assert_alike(x->interval.low, y->interval.low);
        assert_alike(x->interval.high, y->interval.high);
        assert_alike(x->interval.u_low, y->interval.u_low);
        assert_alike(x->interval.u_high, y->interval.u_high);
        assert_alike(x->interval.low_least, y->interval.low_least);
        assert_alike(x->interval.high_most, y->interval.high_most);
        assert_int_equal(isnan(x->judgement.p_within), isnan(y->judgement.p_within));
        if (!isnan(x->judgement.p_within))
            assert_near(x->judgement.p_within, y->judgement.p_within, 1e-7);
    }
    assert_int_equal(a->a.verdict_count, b->a.verdict_count);
    for (size_t i = 0; i < a->a.verdict_count; i++) {
        const te_verdict *x = &a->a.verdicts[i], *y = same_part(b, a, x);
        assert_non_null(y);
        assert_int_equal(x->verdict, y->verdict);
        assert_int_equal(x->reason_count, y->reason_count);
    }
}

/* What may go back, and when it is due, of an engine without a history. */
static void assert_same_advice(const result *a, const result *b)
{
    static const te_wish wish = {.hone = TE_HONE, .hours = NAN};
    const result *const both[] = {a, b};
    te_model_rates rates[2] = {{0}, {0}};
    te_options options[2] = {{0}, {0}};
    te_history histories[2] = {{0}, {0}};
    te_due due[2];
    for (size_t i = 0; i < 2; i++) {
        const te_shop *shop = both[i]->made.shop;
        assert_int_equal(te_options_make(&options[i], &rates[i], shop, NULL, 0, &wish), TE_OK);
        assert_int_equal(te_history_make(&histories[i], shop, NULL, 0), TE_OK);
        te_due_make(&due[i], &histories[i], &both[i]->a, shop);
    }
    assert_int_equal(options[0].count, options[1].count);
    assert_int_equal(options[0].looked_at, options[1].looked_at);
    assert_int_equal(options[0].good, options[1].good);
    for (size_t i = 0; i < options[0].count; i++) {
        const te_option *x = &options[0].items[i], *y = &options[1].items[i];
        assert_int_equal(x->replaced, y->replaced);
        assert_int_equal(x->verdict, y->verdict);
        assert_int_equal(x->refused, y->refused);
        assert_int_equal(x->failing, y->failing);
        assert_int_equal(x->worst, y->worst);
        assert_alike(x->tight, y->tight);
    }
    assert_int_equal(due[0].basis, due[1].basis);
    assert_int_equal(due[0].condemned, due[1].condemned);
    assert_int_equal(due[0].untold, due[1].untold);
    assert_int_equal(due[0].worst, due[1].worst);
    for (size_t i = 0; i < 2; i++) {
        te_options_free(&options[i]);
        te_model_rates_free(&rates[i]);
        te_history_free(&histories[i]);
    }
}

static void the_spelling_changes_nothing(void **state)
{
    (void)state;
    static const spelling others[] = {
        {"mm", ',', '.', "\n", false, false, false, 1, 1}, /* the order of the rows */
        {"mm", ',', '.', "\n", false, false, false, 3, 0}, /* three files */
        {"um", ',', '.', "\n", false, false, false, 1, 0}, /* units */
        {"in", ',', '.', "\n", false, false, false, 1, 0},
        {"thou", ',', '.', "\n", false, false, false, 1, 0},
        {"mm", ';', ',', "\r\n", true, false, false, 1, 0}, /* dialects */
        {"mm", '\t', '.', "\r", false, true, false, 1, 0},
        {"mm", ';', '.', "\n", false, true, true, 1, 0},
        {"thou", ';', ',', "\r\n", true, true, true, 3, 7}, /* everything */
        {"in", '\t', ',', "\r", false, false, true, 2, 9},
    };
    te_random random = te_random_start(4180);
    for (size_t round = 0; round < te_test_rounds(40); round++) {
        plan_of_shop s = random_shop(&random);
        s.simple = chance(&random, 3);
        s.planned = chance(&random, 2);
        if (chance(&random, 2))
            s.rows[te_random_below(&random, s.row_count)].dropped = true;
        result as_written;
        assess(&as_written, &s, &plain);
        for (size_t i = 0; i < sizeof others / sizeof *others; i++) {
            spelling how = others[i];
            result other;
            how.order = how.order ? te_random_bits(&random) | 1 : 0;
            assess(&other, &s, &how);
            assert_same(&as_written, &other);
            assert_same_advice(&as_written, &other);
            clear(&other);
        }
        clear(&as_written);
    }
}

/* ---- what cancels ------------------------------------------------------------------------ */

/* One gauge for the bore: a hundred times the uncertainty of its calibration, and of that of the
 * gauge it is set with, moves the bore's own uncertainty and not that of its form. */
static void a_common_gauge_error_cancels_in_form(void **state)
{
    (void)state;
    te_random random = te_random_start(66);
    size_t forms = 0;
    for (size_t round = 0; round < te_test_rounds(200); round++) {
        plan_of_shop s = random_shop(&random);
        for (size_t i = 0; i < s.row_count; i++)
            s.rows[i].gauge = strcmp(s.rows[i].feature, "bore") == 0 ? 1 : s.rows[i].gauge;
        s.gauges[0].expanded = pick_mm(&random, 0.001, 0.01);
        s.gauges[1].expanded = pick_mm(&random, 0.001, 0.01);
        result sure, vague;
        assess(&sure, &s, &plain);
        s.gauges[0].expanded *= 100;
        s.gauges[1].expanded *= 100;
        assess(&vague, &s, &plain);
        static const char *const names[] = {"out_of_round", "taper", "out_of_round_overall"};
        for (size_t i = 0; i < 3; i++) {
            const te_finding *x = find(&sure, names[i], ""), *y = find(&vague, names[i], "");
            assert_int_equal(x != NULL, y != NULL);
            if (!x || !x->computed)
                continue;
            forms++;
            assert_near(y->interval.high, x->interval.high, 1e-12);
            /* rounding of squares of 0.5 mm: 0.25 x 1e-16, root 5e-9, beside u of 0.3 um or more */
            assert_near(y->interval.u_high, x->interval.u_high, 1e-9);
        }
        const te_finding *x = find(&sure, "bore", ""), *y = find(&vague, "bore", "");
        assert_true(y->interval.u_high > x->interval.u_high + 0.02);
        clear(&sure);
        clear(&vague);
    }
    assert_true(forms > 100);
}

/* ---- doubt never passes ------------------------------------------------------------------ */

/* Compares the statuses: none that did not pass may pass now. Returns how many did not. */
static size_t assert_no_new_pass(const result *was, const result *now)
{
    size_t compared = 0;
    for (size_t i = 0; i < was->a.finding_count; i++) {
        const te_finding *x = &was->a.findings[i];
        if (passes(x->outcome) || x->outcome == TE_NO_LIMIT)
            continue;
        const te_finding *y = counterpart(now, was, x);
        assert_non_null(y);
        compared++;
        if (passes(y->outcome))
            fail_msg("%s[%s] was %s and is %s",
                     te_shop_quantity_name(was->made.shop, x->measured.quantity),
                     te_shop_text(was->made.shop, x->measured.item), te_outcome_name(x->outcome),
                     te_outcome_name(y->outcome));
    }
    return compared;
}

/* Each limit that there is moves inwards; new and service alike, so that they stay in order. The
 * as-new limits of the bore move by the same amount from both sides: their middle is the diameter
 * at which end gaps are corrected. */
static void a_tighter_limit_passes_nothing_more(void **state)
{
    (void)state;
    te_random random = te_random_start(253);
    size_t compared = 0, lost = 0;
    for (size_t round = 0; round < te_test_rounds(300); round++) {
        plan_of_shop s = random_shop(&random);
        s.simple = chance(&random, 3);
        s.planned = chance(&random, 2);
        result was, now;
        for (size_t i = 0; i < s.limit_count; i++)
            s.limits[i].optional = chance(&random, 3);
        assess(&was, &s, &plain);
        for (size_t i = 0; i < s.limit_count; i++) {
            s.limits[i].optional = s.limits[i].optional && chance(&random, 2);
            /* less than half of the narrowest window: 0.005 mm of the pin, 0.04 of the others */
            double window = strncmp(s.limits[i].quantity, "pin", 3) == 0 ? 0.002 : 0.018;
            double by = chance(&random, 3) ? 0 : te_random_between(&random, 0, window);
            for (size_t k = 0; k < 4; k++)
                s.limits[i].bounds[k] += k % 2 == 0 ? by : -by;
        }
        assess(&now, &s, &plain);
        compared += assert_no_new_pass(&was, &now);
        for (size_t i = 0; i < was.a.finding_count; i++) {
            const te_finding *y = counterpart(&now, &was, &was.a.findings[i]);
            lost += passes(was.a.findings[i].outcome) && !passes(y->outcome);
        }
        clear(&was);
        clear(&now);
    }
    assert_true(compared > 500 && lost > 50);
}

/* Calibrations of less worth: what was undecided or worse does not pass, and the values stay. */
static void more_uncertainty_passes_nothing_more(void **state)
{
    (void)state;
    te_random random = te_random_start(1645);
    size_t compared = 0, lost = 0;
    for (size_t round = 0; round < te_test_rounds(300); round++) {
        plan_of_shop s = random_shop(&random);
        s.planned = chance(&random, 2);
        result was, now;
        assess(&was, &s, &plain);
        for (size_t i = 0; i < GAUGES; i++)
            switch (te_random_below(&random, 4)) {
            case 0: s.gauges[i].expanded *= 1 + 3 * te_random_unit(&random); break;
            case 1: s.gauges[i].repeatability *= 1 + 3 * te_random_unit(&random); break;
            case 2: s.gauges[i].resolution *= 2; break;
            default: s.gauges[i].expanded = NAN; break;
            }
        assess(&now, &s, &plain);
        compared += assert_no_new_pass(&was, &now);
        for (size_t i = 0; i < was.a.finding_count; i++) {
            const te_finding *x = &was.a.findings[i], *y = counterpart(&now, &was, x);
            assert_alike(x->interval.high, y->interval.high);
            lost += passes(x->outcome) && !passes(y->outcome);
        }
        clear(&was);
        clear(&now);
    }
    assert_true(compared > 500 && lost > 50);
}

/* All that held a part back rests on two parts. */
static bool held_by_pairs_alone(const result *r, const te_verdict *v)
{
    for (uint32_t k = 0; k < v->reason_count; k++) {
        te_reason reason = r->a.reasons[v->first_reason + k];
        if (reason.kind == TE_REASON_FINDING &&
            r->a.findings[reason.index].measured.second_kind == TE_KIND_NONE)
            return false;
    }
    return true;
}

/* Guarded, limits required or not, and the plan naming every place: readings that are left out never
 * make a `reuse`, of a part or of the assembly, that there was not. One case is set apart: with the
 * last reading of a kind its pairs are no longer asked of the other part, which may then be judged
 * by what is left; the assembly says that the kind was not measured, and is no `reuse`.
 */
static void fewer_readings_never_make_a_reuse(void **state)
{
    (void)state;
    te_random random = te_random_start(1118);
    size_t held_back = 0, lost = 0;
    for (size_t round = 0; round < te_test_rounds(600); round++) {
        plan_of_shop s = random_shop(&random);
        s.planned = true;
        for (size_t i = 0; i < s.limit_count; i++)
            s.limits[i].optional = chance(&random, 2);
        for (size_t i = 0; i < GAUGES; i++) /* some shops are good, so that there is much to lose */
            s.gauges[i].expanded = round % 2 == 0 ? 0.001 : s.gauges[i].expanded;
        result was, now;
        assess(&was, &s, &plain);
        size_t left = s.row_count;
        size_t one_in = 2 + te_random_below(&random, 8);
        const char *feature = s.rows[te_random_below(&random, s.row_count)].feature;
        bool whole = chance(&random, 3); /* all of a feature, or some of any */
        for (size_t i = 0; i < s.row_count; i++) {
            s.rows[i].dropped = left > 1 && (whole ? strcmp(s.rows[i].feature, feature) == 0
                                                   : chance(&random, one_in));
            left -= s.rows[i].dropped;
        }
        assess(&now, &s, &plain);
        for (size_t i = 0; i < now.a.verdict_count; i++) {
            const te_verdict *v = &now.a.verdicts[i], *before = same_part(&was, &now, v);
            assert_non_null(before);
            held_back += before->verdict != TE_REUSE;
            lost += before->verdict == TE_REUSE && v->verdict != TE_REUSE;
            bool pair_lost = now.a.verdict_count < was.a.verdict_count && v->kind != TE_KIND_NONE &&
                             held_by_pairs_alone(&was, before);
            if (v->verdict == TE_REUSE && before->verdict != TE_REUSE && pair_lost)
                assert_int_not_equal(te_assessment_assembly(&now.a)->verdict, TE_REUSE);
            else if (v->verdict == TE_REUSE && before->verdict != TE_REUSE)
                fail_msg("round %zu: %s was %s and is reuse", round,
                         te_shop_text(now.made.shop, v->part), te_verdict_name(before->verdict));
        }
        clear(&was);
        clear(&now);
    }
    assert_true(held_back > 500 && lost > 50);
}

/* The assembly is never better than a measured part, nor than any finding; nothing that fails goes
 * without a reason that names it. */
static void the_assembly_is_no_better_than_its_parts(void **state)
{
    (void)state;
    te_random random = te_random_start(8);
    for (size_t round = 0; round < te_test_rounds(300); round++) {
        plan_of_shop s = random_shop(&random);
        result r;
        s.simple = chance(&random, 3);
        assess(&r, &s, &plain);
        const te_verdict *assembly = te_assessment_assembly(&r.a);
        for (size_t i = 0; i + 1 < r.a.verdict_count; i++)
            assert_true(assembly->verdict <= r.a.verdicts[i].verdict);
        for (size_t i = 0; i < r.a.finding_count; i++) {
            te_outcome o = r.a.findings[i].outcome;
            if (passes(o) || o == TE_NO_LIMIT)
                continue;
            bool named = false;
            for (uint32_t k = 0; k < assembly->reason_count; k++) {
                te_reason reason = r.a.reasons[assembly->first_reason + k];
                named = named || (reason.kind == TE_REASON_FINDING && reason.index == i);
            }
            assert_true(named);
            assert_true(assembly->verdict <= (o == TE_BEYOND      ? TE_DO_NOT_REUSE
                                              : o == TE_UNDECIDED ? TE_MEASURE_AGAIN
                                                                  : TE_INCOMPLETE));
        }
        clear(&r);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_spelling_changes_nothing),
        cmocka_unit_test(a_common_gauge_error_cancels_in_form),
        cmocka_unit_test(a_tighter_limit_passes_nothing_more),
        cmocka_unit_test(more_uncertainty_passes_nothing_more),
        cmocka_unit_test(fewer_readings_never_make_a_reuse),
        cmocka_unit_test(the_assembly_is_no_better_than_its_parts),
    };
    return cmocka_run_group_tests_name("properties", tests, NULL, NULL);
}
