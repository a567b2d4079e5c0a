/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Series, builds and due dates as CSV, JSON and text, and the plots. The expected words and figures
 * are worked by hand, or with R, from the shop below; what must hold for any shop is checked on
 * shops with long names, unsafe names and extreme values.
 */
#include "te_shop_text.h"

#include <ctype.h>
#include <jansson.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "report/plot.h"
#include "topend/write_wear.h"

#define LIMITS "model,quantity,item,unit,new_min,new_max,service_min,service_max,required,source\n"

/* P1: a bore three times, stated. P2: a piston changed between three inspections; its rings' gauge
 * states nothing. P3: new and measured once. P4: one point of each. P5: never inspected. P6: due by
 * the interval of its model; a part that came off. No materials: values are the readings. G has an
 * own variance of 0.006^2 / 12 = 3e-6 mm^2 and a calibration of 0.002 mm. */
static const te_shop_file base[] = {
    {"engines.csv", "engine,model\nP1,M\nP2,M\nP3,A\nP4,M\nP5,M\nP6,I\n"},
    {"models.csv", "model,inspect_every_hours\nM,\nA,\nI,25\n"},
    {"instruments.csv", "instrument,unit,resolution,expanded_uncertainty\n"
                        "G,mm,0.006,0.004\nN,mm,0.006,\n"},
    {"limits.csv", LIMITS "M,bore,,mm,,,,66.10,no,card 4\nM,end_gap,,mm,,,,0.80,no,card 4\n"
                          "M,skirt,,mm,,,65.80,,no,card 4\n"
                          "A,bore,,mm,66.00,66.02,,66.10,no,\nI,skirt,,mm,,,65.80,,no,card 4\n"},
    {"parts.csv", "part,kind,engine,fitted_hours,removed_hours,hours_before\n"
                  "K1,piston,P2,0,100,\nK2,piston,P2,100,,\nC3,cylinder,P3,0,,\n"
                  "K6,piston,P6,0,80,\nK7,piston,P6,80,,40\n"},
    {"inspections.csv", "inspection,engine,date,hours,state\n"
                        "I1,P1,2026-01-01,100,\nI2,P1,2026-02-01,150,\nI3,P1,2026-03-01,200,\n"
                        "I4,P2,2026-01-02,20,\nI5,P2,2026-02-02,100,\nI6,P2,2026-03-02,180,\n"
                        "I7,P3,2026-01-03,120,\nI8,P4,2026-01-04,50,\n"
                        "I9,P6,2026-01-05,60,\nI10,P6,2026-01-06,75.5,\nI11,P6,2026-02-05,90,\n"},
    {"readings.csv", "inspection,feature,item,reading,unit,instrument\n"
                     "I1,bore,,66.020,,G\nI2,bore,,66.036,,G\nI3,bore,,66.050,,G\n"
                     "I4,bore,,66.012,,G\nI5,bore,,66.020,,G\nI6,bore,,66.0325,,G\n"
                     "I4,end_gap,1,0.30,,N\nI5,end_gap,1,0.34,,N\nI6,end_gap,1,0.40,,N\n"
                     "I7,bore,,66.04,,G\nI8,bore,,66.05,,G\nI8,compression,,812.5,kPa,\n"
                     "I9,skirt,,65.94,,N\nI10,skirt,,65.93,,N\nI11,skirt,,65.95,,N\n"},
    {NULL, NULL},
};

/* A shop, one of its engines, and what is written of it. */
typedef struct desk {
    te_made_shop made;
    te_history history;
    te_builds builds;
    te_assessment assessment;
    te_due due;
    te_buffer out;
} desk;

static void look_at(desk *d, uint32_t engine)
{
    const te_engine *e = &d->made.tables->engines[engine];
    bool any = e->inspection_count > 0;
    assert_int_equal(te_history_make(&d->history, d->made.shop, NULL, engine), TE_OK);
    assert_int_equal(te_builds_make(&d->builds, &d->history, d->made.shop), TE_OK);
    if (any) {
        uint32_t last = d->made.tables->by_engine[e->first_inspection + e->inspection_count - 1];
        assert_int_equal(te_assess(&d->assessment, d->made.shop, last, false), TE_OK);
    }
    te_due_make(&d->due, &d->history, any ? &d->assessment : NULL, d->made.shop);
}

static void look_at_name(desk *d, const char *engine)
{
    uint32_t at = te_made_engine(&d->made, engine);
    look_at(d, at);
}

static void open_desk(desk *d, const te_shop_file *changes)
{
    *d = (desk){0};
    te_made_read(&d->made, base, changes);
}

static void close_desk(desk *d)
{
    te_buffer_free(&d->out);
    te_assessment_free(&d->assessment);
    te_builds_free(&d->builds);
    te_history_free(&d->history);
    te_made_free(&d->made);
}

static const char *text_of(const te_buffer *buffer)
{
    assert_false(buffer->failed);
    return buffer->length == 0 ? "" : buffer->bytes;
}

/* ---- every output of a shop --------------------------------------------------------------- */

typedef enum output {
    TREND_CSV,
    COMPARE_CSV,
    DUE_CSV,
    TREND_JSON,
    COMPARE_JSON,
    DUE_JSON,
    TREND_TEXT,
    COMPARE_TEXT,
    DUE_TEXT,
    OUTPUTS
} output;

static const te_text_style wide = {.width = 80};

static void write_due_list(desk *d, output what, const te_text_style *style)
{
    size_t count = d->made.tables->engine_count;
    te_due *list = calloc(count, sizeof *list);
    assert_non_null(list);
    for (uint32_t i = 0; i < count; i++) {
        look_at(d, i);
        list[i] = d->due;
    }
    te_due_sort(list, count);
    if (what == DUE_CSV) {
        te_write_due_header(&d->out);
        te_write_due_csv(&d->out, d->made.shop, list, count);
    } else if (what == DUE_JSON) {
        te_write_due_json(&d->out, d->made.shop, list, count, "9.8.7");
    } else {
        te_write_due_text(&d->out, d->made.shop, list, count, style);
    }
    free(list);
}

static void write_trends(desk *d, output what, const te_text_style *style)
{
    const te_shop *shop = d->made.shop;
    size_t written = 0;
    if (what == TREND_CSV)
        te_write_trend_header(&d->out);
    else if (what == TREND_JSON)
        te_write_trend_json_start(&d->out, shop, "9.8.7");
    else
        te_write_trend_text_start(&d->out, shop, style);
    for (uint32_t i = 0; i < d->made.tables->engine_count; i++) {
        look_at(d, i);
        if (what == TREND_CSV)
            written += te_write_trend_csv(&d->out, shop, &d->history, TE_Q_NONE);
        else if (what == TREND_JSON)
            written += te_write_trend_json(&d->out, shop, &d->history, TE_Q_NONE, written);
        else
            written += te_write_trend_text(&d->out, shop, &d->history, TE_Q_NONE, style);
    }
    if (what == TREND_JSON)
        te_write_json_end(&d->out);
}

/* Builds of one engine; the other outputs are of all. */
static void write_builds(desk *d, output what, const te_text_style *style)
{
    if (what == COMPARE_CSV) {
        te_write_compare_header(&d->out);
        te_write_compare_csv(&d->out, d->made.shop, &d->history, &d->builds);
    } else if (what == COMPARE_JSON) {
        te_write_compare_json(&d->out, d->made.shop, &d->history, &d->builds, "9.8.7");
    } else {
        te_write_compare_text(&d->out, d->made.shop, &d->history, &d->builds, style);
    }
}

/* Replaces what was written. */
static const char *write_output(desk *d, output what, uint32_t engine, const te_text_style *style)
{
    te_buffer_free(&d->out);
    if (what == DUE_CSV || what == DUE_JSON || what == DUE_TEXT) {
        write_due_list(d, what, style);
    } else if (what == COMPARE_CSV || what == COMPARE_JSON || what == COMPARE_TEXT) {
        look_at(d, engine);
        write_builds(d, what, style);
    } else {
        write_trends(d, what, style);
    }
    return text_of(&d->out);
}

/* ---- CSV ---------------------------------------------------------------------------------- */

static void the_headers_are_those_of_the_contract(void **state)
{
    (void)state;
    te_buffer out = {0};
    te_write_trend_header(&out);
    te_write_compare_header(&out);
    te_write_due_header(&out);
    assert_string_equal(
        text_of(&out),
        "engine,part,kind,quantity,item,unit,side,points,assumed_points,hours_first,hours_last,"
        "value_last,rate,u_rate,level,u_level,chi2,nu,limit,hours_at_limit,"
        "hours_at_limit_earliest,hours_left,hours_left_earliest\n"
        "engine,part,kind,quantity,item,unit,side,build,hours_from,hours_to,wear,u_wear,"
        "rate_per_100h,u_rate_per_100h,rate_ratio_to_last,p_same,p_holm\n"
        "engine,model,inspection,date,hours,worst_status,verdict,deciding_part,"
        "deciding_quantity,item,hours_left,due_hours,basis\n");
    te_buffer_free(&out);
}

static void expect_trend_csv(desk *d, const char *engine, const char *expected)
{
    te_buffer_free(&d->out);
    look_at_name(d, engine);
    (void)te_write_trend_csv(&d->out, d->made.shop, &d->history, TE_Q_NONE);
    assert_string_equal(text_of(&d->out), expected);
}

/* P1, R: t <- c(100,150,200); y <- c(66.020,66.036,66.050); m <- lm(y ~ t); r <- coef(m)[2]
 *   l <- mean(y)+r*50; vr <- 3e-6/5000; vl <- 3e-6*(1/3+2500/5000)+.002^2; cv <- 3e-6*50/5000
 *   sqrt(vr); l; sqrt(vl); sum(resid(m)^2)/3e-6; 200+(66.1-l)/r
 *   f <- function(d) l+r*d+qnorm(.95)*sqrt(vl+2*cv*d+vr*d^2)-66.1; uniroot(f,c(0,1e4),tol=1e-13)
 * (what is common to all points moves the level alone).
 * P4: one point each, without a limit or with one, and nothing else.
 * P6: K6 came off; two points not stated have a rate of -0.01 / 15.5 and no interval: 65.80 after
 * 0.13 * 15.5 / 0.01 = 201.5 h. */
static void series_are_written_as_rows(void **state)
{
    (void)state;
    desk d;
    open_desk(&d, NULL);
    expect_trend_csv(&d, "P1",
                     "P1,P1/cylinder,cylinder,bore,,mm,high,3,0,100,200,66.05,0.0003,"
                     "0.0000244948974,66.0503333,0.00254950976,0.222222222,1,66.1,365.555556,"
                     "337.542883,165.555556,137.542883\n");
    expect_trend_csv(&d, "P4",
                     "P4,P4/cylinder,cylinder,bore,,mm,high,1,0,50,50,66.05,,,,,,,66.1,,,,\n"
                     "P4,P4/other,other,compression,,kPa,high,1,0,50,50,812.5,,,,,,,,,,,\n");
    expect_trend_csv(&d, "P6",
                     "P6,K6,piston,skirt,,mm,low,2,0,60,75.5,65.93,-0.00064516129,,65.93,,,0,"
                     "65.8,277,,201.5,\n"
                     "P6,K7,piston,skirt,,mm,low,1,0,50,50,65.95,,,,,,,65.8,,,,\n");
    expect_trend_csv(&d, "P5", "");
    close_desk(&d);
}

/* P3: as new at 0 h, 66.01, and 66.04 at 120 h: 0.03 / 120 per hour. u(rate)^2 = (0.02^2 / 12 +
 * 3e-6 + 0.002^2) / 120^2. Two points leave no chi2 but 0. */
static void an_assumed_point_is_counted(void **state)
{
    (void)state;
    desk d;
    open_desk(&d, NULL);
    look_at_name(&d, "P3");
    (void)te_write_trend_csv(&d.out, d.made.shop, &d.history, TE_Q_NONE);
    static const char expected[] = "P3,C3,cylinder,bore,,mm,high,2,1,0,120,66.04,0.00025,"
                                   "0.0000529237747,66.04,0.00264575131,0,0,66.1,360,";
    assert_int_equal(strncmp(text_of(&d.out), expected, sizeof expected - 1), 0);
    close_desk(&d);
}

static void only_the_quantity_asked_for_is_written(void **state)
{
    (void)state;
    desk d;
    open_desk(&d, NULL);
    look_at_name(&d, "P4");
    assert_int_equal(te_write_trend_csv(&d.out, d.made.shop, &d.history, TE_Q_BORE), 1);
    assert_int_equal(strncmp(text_of(&d.out), "P4,P4/cylinder,cylinder,bore,", 29), 0);
    te_buffer_free(&d.out);
    assert_int_equal(te_write_trend_csv(&d.out, d.made.shop, &d.history, TE_Q_OWN), 1);
    assert_int_equal(strncmp(text_of(&d.out), "P4,P4/other,other,compression,", 30), 0);
    te_buffer_free(&d.out);
    assert_int_equal(te_write_trend_csv(&d.out, d.made.shop, &d.history, TE_Q_PIN), 0);
    assert_int_equal(te_write_trend_json(&d.out, d.made.shop, &d.history, TE_Q_PIN, 0), 0);
    assert_int_equal(te_write_trend_text(&d.out, d.made.shop, &d.history, TE_Q_PIN, &wide), 0);
    assert_string_equal(text_of(&d.out), "");
    assert_int_equal(te_write_trend_json(&d.out, d.made.shop, &d.history, TE_Q_BORE, 0), 1);
    assert_int_equal(te_write_trend_text(&d.out, d.made.shop, &d.history, TE_Q_NONE, &wide), 2);
    close_desk(&d);
}

/* u(wear)^2 = 2 * 3e-6. 0.008 mm in 80 h, then 0.0125. R: h <- c(80,80); d <- (.0125-.008)/80
 *   2*pnorm(-d/sqrt(3e-6*(1/h[2]^2 + (1/h[1]+1/h[2])^2 + 1/h[1]^2))) */
static void builds_are_written_as_rows(void **state)
{
    (void)state;
    desk d;
    open_desk(&d, NULL);
    look_at_name(&d, "P2");
    te_write_compare_csv(&d.out, d.made.shop, &d.history, &d.builds);
    assert_string_equal(text_of(&d.out),
                        "P2,P2/cylinder,cylinder,bore,,mm,high,1,20,100,0.008,0.00244948974,0.01,"
                        "0.00306186218,,,\n"
                        "P2,P2/cylinder,cylinder,bore,,mm,high,2,100,180,0.0125,0.00244948974,"
                        "0.015625,0.00306186218,1.5625,0.288844366,0.288844366\n"
                        "P2,P2/ring_set,ring_set,end_gap,1,mm,high,1,20,100,0.04,,0.05,,,,\n"
                        "P2,P2/ring_set,ring_set,end_gap,1,mm,high,2,100,180,0.06,,0.075,,1.5,,\n");
    close_desk(&d);
}

/* P4 and P5 cannot be told, in the order of engines.csv; of P4 nothing judges the compression. P6 is due 25 h after 90 h, P1 as its series
 * says; K6 is off, and one point of K7 tells nothing. */
static void due_dates_are_written_as_rows(void **state)
{
    (void)state;
    desk d;
    open_desk(&d, NULL);
    const char *text = write_output(&d, DUE_CSV, 0, NULL);
    static const char *const expected[] = {
        "basis\nP4,M,I8,2026-01-04,50,serviceable,incomplete,,,,,,cannot_tell\n"
        "P5,M,,,,,,,,,,,cannot_tell\n"
        "P6,I,I11,2026-02-05,90,undecided,measure_again,,,,25,115,interval\n",
        "\nP1,M,I3,2026-03-01,200,serviceable,reuse,P1/cylinder,bore,,137.542883,337.542883,"
        "earliest\n"};
    for (size_t i = 0; i < 2; i++)
        if (strstr(text, expected[i]) == NULL)
            fail_msg("%s lacks %s", text, expected[i]);
    close_desk(&d);
}

/* ---- rows of cells ------------------------------------------------------------------------ */

enum { CELLS_MOST = 24, CELL_MOST = 512 };

typedef char row_cells[CELLS_MOST][CELL_MOST];

/* Reads one row of RFC 4180 and returns what follows it; NULL at the end. */
static const char *read_row(const char *text, row_cells cells, size_t *count)
{
    *count = 0;
    if (*text == '\0')
        return NULL;
    for (;;) {
        size_t length = 0;
        bool quoted = *text == '"';
        assert_true(*count < CELLS_MOST);
        for (text += quoted; quoted || (*text != ',' && *text != '\n'); text++) {
            assert_true(*text != '\0' && length + 1 < CELL_MOST);
            if (quoted && text[0] == '"' && text[1] != '"') {
                text++;
                break;
            }
            text += quoted && *text == '"';
            cells[*count][length++] = *text;
        }
        cells[(*count)++][length] = '\0';
        assert_true(*text == ',' || *text == '\n');
        if (*text++ == '\n')
            return text;
    }
}

/* Figures of a number without leading zeros, mark and exponent; 0: it is no number. */
static size_t significant(const char *cell)
{
    size_t count = 0;
    char *end = NULL;
    (void)strtod(cell, &end);
    if (*cell == '\0' || *end != '\0' || isalpha((unsigned char)*cell))
        return 0;
    for (; *cell != '\0' && *cell != 'e'; cell++)
        if (isdigit((unsigned char)*cell) && (count > 0 || *cell != '0'))
            count++;
    return count;
}

/* Every row has the cells of its header; no number has more than 9 figures, and some have 9. */
static void numbers_have_nine_figures(void **state)
{
    (void)state;
    desk d;
    row_cells cells;
    open_desk(&d, NULL);
    for (output what = TREND_CSV; what <= DUE_CSV; what++) {
        size_t columns = 0, count = 0, nine = 0, rows = 0;
        const char *at = read_row(write_output(&d, what, 1, NULL), cells, &columns);
        while ((at = read_row(at, cells, &count)) != NULL) {
            assert_int_equal(count, columns);
            for (size_t i = 0; i < count; i++) {
                assert_true(significant(cells[i]) <= 9);
                nine += significant(cells[i]) == 9;
            }
            rows++;
        }
        assert_int_equal(columns, what == TREND_CSV ? 23 : what == COMPARE_CSV ? 17 : 13);
        assert_true(rows >= 4 && nine >= 2);
    }
    close_desk(&d);
}

/* ---- JSON --------------------------------------------------------------------------------- */

static json_t *parsed(const char *text)
{
    json_error_t error;
    json_t *root = json_loads(text, JSON_REJECT_DUPLICATES, &error);
    if (root == NULL)
        fail_msg("line %d: %s", error.line, error.text);
    return root;
}

/* What is empty in CSV is null; numbers are the same to the last bit. */
static void expect_same(const char *column, const char *cell, const json_t *value)
{
    if (value == NULL)
        fail_msg("JSON has no %s", column);
    if (*cell == '\0') {
        if (!json_is_null(value))
            fail_msg("%s is not null", column);
    } else if (json_is_number(value)) {
        char *end = NULL;
        assert_near(json_number_value(value), strtod(cell, &end), 0);
        assert_int_equal(*end, '\0');
    } else if (!json_is_string(value) || strcmp(json_string_value(value), cell) != 0) {
        fail_msg("%s is not %s", column, cell);
    }
}

static void json_and_csv_say_the_same(void **state)
{
    (void)state;
    static const char *const lists[] = {"series", "wear", "engines"};
    desk d;
    row_cells head, cells;
    open_desk(&d, NULL);
    for (size_t i = 0; i < 3; i++) {
        size_t columns = 0, count = 0, rows = 0;
        json_t *root = parsed(write_output(&d, (output)(TREND_JSON + i), 1, NULL));
        json_t *list = json_object_get(root, lists[i]);
        const char *at = write_output(&d, (output)(TREND_CSV + i), 1, NULL);
        for (at = read_row(at, head, &columns); (at = read_row(at, cells, &count)) != NULL; rows++)
            for (size_t c = 0; c < count; c++) {
                /* `points` is a list in JSON */
                const char *key = strcmp(head[c], "points") == 0 ? "points_fitted" : head[c];
                expect_same(key, cells[c], json_object_get(json_array_get(list, rows), key));
            }
        assert_true(rows >= 4);
        assert_int_equal(json_array_size(list), rows);
        json_decref(root);
    }
    close_desk(&d);
}

/* The object has these keys and no other. */
static void assert_keys(const json_t *object, const char *keys)
{
    size_t count = 0;
    char key[64];
    assert_true(json_is_object(object));
    for (; *keys != '\0'; count++) {
        size_t length = strcspn(keys, " ");
        assert_true(length < sizeof key);
        memcpy(key, keys, length);
        key[length] = '\0';
        if (json_object_get(object, key) == NULL)
            fail_msg("there is no key %s", key);
        keys += length + (keys[length] == ' ');
    }
    assert_int_equal(json_object_size(object), count);
}

#define KEY "engine part kind quantity item unit side "

static void json_has_every_key_of_the_contract(void **state)
{
    (void)state;
    static const struct {
        output what;
        const char *root, *list, *entry;
    } given[] = {
        {TREND_JSON, "tool rule confidence series", "series",
         KEY "points_fitted assumed_points hours_first hours_last value_last method rate u_rate "
             "level u_level chi2 nu p_chi2 variance_scale limit hours_at_limit "
             "hours_at_limit_earliest hours_left hours_left_earliest limit_met source "
             "history_unknown only_if_never_changed places_missing error_mostly_common fitted_now "
             "left_out gap_split points"},
        {COMPARE_JSON, "tool rule confidence engine builds wear", "wear",
         KEY "build hours_from hours_to from_assumed wear u_wear rate_per_100h u_rate_per_100h "
             "rate_ratio_to_last p_same p_holm"},
        {DUE_JSON, "tool rule confidence engines", "engines",
         "engine model inspection date hours worst_status verdict deciding_part "
         "deciding_quantity item side limit measured_in hours_left due_hours basis assumed "
         "only_if_never_changed scatter condemned_part_on condemned_part changed_since "
         "no_hour_meter quantities_untold parts_unmeasured parts_left_out"},
    };
    desk d;
    size_t j;
    json_t *entry;
    open_desk(&d, NULL);
    for (size_t i = 0; i < 3; i++) {
        json_t *root = parsed(write_output(&d, given[i].what, 1, NULL));
        assert_keys(root, given[i].root);
        assert_string_equal(json_string_value(json_object_get(root, "tool")), "topend 9.8.7");
        assert_string_equal(json_string_value(json_object_get(root, "rule")), "guarded");
        assert_near(json_number_value(json_object_get(root, "confidence")), 0.95, 0);
        json_array_foreach(json_object_get(root, given[i].list), j, entry)
            assert_keys(entry, given[i].entry);
        assert_true(j >= 4);
        json_decref(root);
    }
    close_desk(&d);
}

static const json_t *entry_of(const json_t *root, const char *list, const char *key,
                              const char *value)
{
    size_t i;
    json_t *entry;
    json_array_foreach(json_object_get(root, list), i, entry)
    {
        const char *text = json_string_value(json_object_get(entry, key));
        if (text != NULL && strcmp(text, value) == 0)
            return entry;
    }
    fail_msg("no entry of %s with %s %s", list, key, value);
    return NULL;
}

static bool truth(const json_t *object, const char *key)
{
    const json_t *value = json_object_get(object, key);
    assert_true(json_is_boolean(value));
    return json_is_true(value);
}

/* What CSV does not tell: how it was fitted, and where from. P1's readings are the first rows of
 * the file. */
static void json_tells_how_a_series_was_fitted(void **state)
{
    (void)state;
    static const struct {
        const char *engine, *method;
        bool chance, now, original, source;
    } given[] = {{"P1", "generalised", true, true, true, true},
                 {"P3", "generalised", false, true, false, false},
                 {"P4", "none", false, true, true, true},
                 {"P6", "ordinary", false, false, false, true}};
    desk d;
    open_desk(&d, NULL);
    json_t *root = parsed(write_output(&d, TREND_JSON, 0, NULL));
    for (size_t i = 0; i < 4; i++) {
        const json_t *entry = entry_of(root, "series", "engine", given[i].engine);
        assert_string_equal(json_string_value(json_object_get(entry, "method")), given[i].method);
        assert_int_equal(json_is_real(json_object_get(entry, "p_chi2")), given[i].chance);
        assert_int_equal(json_is_string(json_object_get(entry, "source")), given[i].source);
        assert_int_equal(truth(entry, "fitted_now"), given[i].now);
        assert_int_equal(truth(entry, "only_if_never_changed"), given[i].original);
        assert_false(truth(entry, "history_unknown"));
        assert_false(truth(entry, "limit_met"));
        assert_false(truth(entry, "places_missing"));
        assert_false(truth(entry, "error_mostly_common"));
        assert_true(json_is_null(json_object_get(entry, "gap_split")));
    }
    /* R: pchisq(2/9, 1, lower=FALSE) */
    assert_near(json_number_value(
                    json_object_get(json_array_get(json_object_get(root, "series"), 0), "p_chi2")),
                0.637351888, 1e-9);
    json_decref(root);
    close_desk(&d);
}

static void json_tells_the_marks_of_a_series(void **state)
{
    (void)state;
    static const char *const keys[] = {"history_unknown", "only_if_never_changed", "places_missing",
                                       "fitted_now",      "error_mostly_common",   "limit_met"};
    enum { MARKS = sizeof keys / sizeof *keys };
    desk d;
    open_desk(&d, NULL);
    look_at_name(&d, "P1");
    te_series *s = &d.history.series[0];
    for (unsigned marks = 0; marks < 1U << MARKS; marks++) {
        bool *const flags[MARKS] = {&s->unknown,    &s->original, &s->partial,
                                    &s->fitted_now, &s->singular, &s->met};
        for (unsigned i = 0; i < MARKS; i++)
            *flags[i] = (marks >> i & 1) != 0;
        s->dropped = marks;
        te_buffer_free(&d.out);
        (void)te_write_trend_json(&d.out, d.made.shop, &d.history, TE_Q_NONE, 0);
        json_t *entry = parsed(text_of(&d.out));
        for (unsigned i = 0; i < MARKS; i++)
            assert_int_equal(truth(entry, keys[i]), (marks >> i & 1) != 0);
        assert_int_equal(json_integer_value(json_object_get(entry, "left_out")), marks);
        json_decref(entry);
    }
    close_desk(&d);
}

static void json_tells_the_points_and_their_readings(void **state)
{
    (void)state;
    desk d;
    open_desk(&d, NULL);
    json_t *root = parsed(write_output(&d, TREND_JSON, 0, NULL));
    const json_t *points = json_object_get(entry_of(root, "series", "engine", "P3"), "points");
    assert_int_equal(json_array_size(points), 2);
    const json_t *assumed = json_array_get(points, 0);
    const json_t *measured = json_array_get(points, 1);
    assert_keys(assumed, "inspection engine engine_hours hours value u role fitted readings");
    assert_true(json_is_null(json_object_get(assumed, "inspection")));
    assert_string_equal(json_string_value(json_object_get(assumed, "role")), "assumed");
    assert_near(json_number_value(json_object_get(assumed, "value")), 66.01, 1e-9);
    assert_near(json_number_value(json_object_get(assumed, "u")), 0.02 / sqrt(12), 1e-11);
    assert_int_equal(json_array_size(json_object_get(assumed, "readings")), 0);
    assert_string_equal(json_string_value(json_object_get(measured, "inspection")), "I7");
    assert_string_equal(json_string_value(json_object_get(measured, "role")), "measured");
    assert_near(json_number_value(json_object_get(measured, "engine_hours")), 120, 0);
    assert_near(json_number_value(json_object_get(measured, "u")), sqrt(3e-6 + 4e-6), 1e-11);
    assert_true(truth(measured, "fitted"));
    const json_t *reading = json_array_get(json_object_get(measured, "readings"), 0);
    assert_keys(reading, "file line coefficient value");
    assert_string_equal(json_string_value(json_object_get(reading, "file")), "readings.csv");
    assert_int_equal(json_integer_value(json_object_get(reading, "line")), 11);
    assert_near(json_number_value(json_object_get(reading, "coefficient")), 1, 0);
    assert_near(json_number_value(json_object_get(reading, "value")), 66.04, 0);
    /* a point not stated has no u */
    points = json_object_get(entry_of(root, "series", "engine", "P6"), "points");
    assert_true(json_is_null(json_object_get(json_array_get(points, 0), "u")));
    json_decref(root);
    close_desk(&d);
}

static void json_tells_the_builds(void **state)
{
    (void)state;
    desk d;
    open_desk(&d, NULL);
    json_t *root = parsed(write_output(&d, COMPARE_JSON, 1, NULL));
    const json_t *builds = json_object_get(root, "builds");
    assert_string_equal(json_string_value(json_object_get(root, "engine")), "P2");
    assert_int_equal(json_array_size(builds), 2);
    const json_t *first = json_array_get(builds, 0), *second = json_array_get(builds, 1);
    assert_keys(first, "build hours_from hours_to");
    assert_int_equal(json_integer_value(json_object_get(first, "build")), 1);
    assert_near(json_number_value(json_object_get(first, "hours_from")), 0, 0);
    assert_near(json_number_value(json_object_get(first, "hours_to")), 100, 0);
    assert_int_equal(json_integer_value(json_object_get(second, "build")), 2);
    assert_near(json_number_value(json_object_get(second, "hours_from")), 100, 0);
    assert_true(json_is_null(json_object_get(second, "hours_to"))); /* it still runs */
    assert_false(truth(json_array_get(json_object_get(root, "wear"), 0), "from_assumed"));
    json_decref(root);
    root = parsed(write_output(&d, COMPARE_JSON, 2, NULL));
    assert_true(truth(json_array_get(json_object_get(root, "wear"), 0), "from_assumed"));
    json_decref(root);
    /* nothing was measured twice in a build */
    root = parsed(write_output(&d, COMPARE_JSON, 3, NULL));
    assert_int_equal(json_array_size(json_object_get(root, "wear")), 0);
    assert_int_equal(json_array_size(json_object_get(root, "builds")), 1);
    json_decref(root);
    close_desk(&d);
}

static void json_tells_the_marks_of_due(void **state)
{
    (void)state;
    static const char *const keys[] = {"assumed", "only_if_never_changed", "condemned_part_on",
                                       "scatter", "changed_since",         "no_hour_meter"};
    enum { MARKS = sizeof keys / sizeof *keys };
    desk d;
    open_desk(&d, NULL);
    look_at_name(&d, "P1");
    for (unsigned marks = 0; marks < 1U << MARKS; marks++) {
        bool *const flags[MARKS] = {&d.due.assumed, &d.due.original, &d.due.condemned,
                                    &d.due.scatter, &d.due.changed,  &d.due.no_meter};
        for (unsigned i = 0; i < MARKS; i++)
            *flags[i] = (marks >> i & 1) != 0;
        d.due.untold = marks;
        d.due.unmeasured = marks + 1;
        d.due.left_out = marks + 2;
        te_buffer_free(&d.out);
        te_write_due_json(&d.out, d.made.shop, &d.due, 1, "1");
        json_t *root = parsed(text_of(&d.out));
        const json_t *entry = json_array_get(json_object_get(root, "engines"), 0);
        for (unsigned i = 0; i < MARKS; i++)
            assert_int_equal(truth(entry, keys[i]), (marks >> i & 1) != 0);
        assert_int_equal(json_integer_value(json_object_get(entry, "quantities_untold")), marks);
        assert_int_equal(json_integer_value(json_object_get(entry, "parts_unmeasured")), marks + 1);
        assert_int_equal(json_integer_value(json_object_get(entry, "parts_left_out")), marks + 2);
        json_decref(root);
    }
    te_buffer_free(&d.out);
    te_write_due_json(&d.out, d.made.shop, NULL, 0, "1");
    json_t *root = parsed(text_of(&d.out));
    assert_int_equal(json_array_size(json_object_get(root, "engines")), 0);
    json_decref(root);
    close_desk(&d);
}

/* P1 is decided by its bore's upper limit, P4 by nothing; K7's kind is the condemned one. */
static void json_tells_what_decides(void **state)
{
    (void)state;
    desk d;
    open_desk(&d, NULL);
    look_at_name(&d, "P1");
    d.due.condemned_part = te_shop_find_text(d.made.shop, "K7");
    te_write_due_json(&d.out, d.made.shop, &d.due, 1, "1");
    json_t *root = parsed(text_of(&d.out));
    const json_t *entry = entry_of(root, "engines", "engine", "P1");
    assert_string_equal(json_string_value(json_object_get(entry, "side")), "high");
    assert_near(json_number_value(json_object_get(entry, "limit")), 66.1, 0);
    assert_string_equal(json_string_value(json_object_get(entry, "measured_in")), "I3");
    assert_string_equal(json_string_value(json_object_get(entry, "condemned_part")), "K7");
    json_decref(root);
    te_buffer_free(&d.out);
    look_at_name(&d, "P4");
    te_write_due_json(&d.out, d.made.shop, &d.due, 1, "1");
    root = parsed(text_of(&d.out));
    entry = entry_of(root, "engines", "engine", "P4");
    static const char *const absent[] = {"side", "limit", "measured_in", "condemned_part"};
    for (size_t i = 0; i < 4; i++)
        assert_true(json_is_null(json_object_get(entry, absent[i])));
    json_decref(root);
    close_desk(&d);
}

/* A document of several engines has a comma between any two series, and none before the first. */
static void json_counts_what_stands_before(void **state)
{
    (void)state;
    desk d;
    open_desk(&d, NULL);
    json_t *root = parsed(write_output(&d, TREND_JSON, 0, NULL));
    assert_int_equal(json_array_size(json_object_get(root, "series")), 8);
    json_decref(root);
    close_desk(&d);
}

/* ---- whatever is absent ------------------------------------------------------------------- */

/* A word of its own that a number which is none would be. */
static void assert_no_nan(const char *text)
{
    static const char *const words[] = {"nan", "inf", "infinity"};
    for (const char *at = text; *at != '\0';) {
        size_t length = 0;
        while (isalpha((unsigned char)at[length]))
            length++;
        for (size_t i = 0; i < 3; i++)
            if (length == strlen(words[i])) {
                bool same = true;
                for (size_t j = 0; j < length; j++)
                    same = same && tolower((unsigned char)at[j]) == words[i][j];
                if (same)
                    fail_msg("%s at %.60s", words[i], at);
            }
        at += length > 0 ? length : 1;
    }
}

static void what_is_absent_is_never_printed(void **state)
{
    (void)state;
    desk d;
    open_desk(&d, NULL);
    for (output what = 0; what < OUTPUTS; what++)
        for (uint32_t engine = 0; engine < 6; engine++)
            assert_no_nan(write_output(&d, what, engine, &wide));
    close_desk(&d);
}

/* ---- plots -------------------------------------------------------------------------------- */

/* All lines of a plot. */
static void write_plot(te_grown *out, const te_point *points, te_series *series, const char *unit,
                       bool utf8)
{
    te_history history = {.points = (te_point *)points, .point_count = series->point_count};
    te_plot plot;
    te_plot_make(&plot, &history, series);
    te_grown_add(out, "%s", "");
    for (size_t i = 0; i < TE_PLOT_LINES; i++) {
        te_buffer line = {0};
        te_plot_line(&line, &plot, i, unit, utf8);
        te_grown_add(out, "%s\n", text_of(&line));
        te_buffer_free(&line);
    }
}

static void expect_plot(const te_point *points, te_series *series, const char *unit, bool utf8,
                        const char *expected)
{
    te_grown is = {0};
    write_plot(&is, points, series, unit, utf8);
    assert_string_equal(is.text, expected);
    te_grown_free(&is);
}

/* Values 0 to 6 in seven rows, hours 0 to 270 in 28 columns: 1 mm a row, 10 h a column. The line
 * rises by 1 a 45 h from 100 h; it meets the limit at 270 h, at the earliest at 240 h. */
static const te_point rising[] = {
    {.hours = 0, .value = 0, .assumed = true},
    {.hours = 60, .value = 1},
    {.hours = 100, .value = 2, .fitted = true},
    {.hours = 180, .value = 4, .fitted = true},
};

static te_series rising_series(void)
{
    return (te_series){.point_count = 4,
                       .fitted_count = 2,
                       .side = TE_SIDE_HIGH,
                       .hours_first = 100,
                       .hours_last = 180,
                       .value_last = 4,
                       .service = 6,
                       .method = TE_RATE_ORDINARY,
                       .line = {.at = 180, .level = 4, .rate = 1.0 / 45.0},
                       .at_limit = 270,
                       .at_limit_earliest = 240};
}

static void a_plot_shows_points_rate_and_limit(void **state)
{
    (void)state;
    te_series series = rising_series();
    expect_plot(rising, &series, "mm", false,
                "  6.0000 |========================^===\n"
                "         |                     ....\n"
                "         |                ..o..\n"
                "         |            ....\n"
                "         |          o.\n"
                "         |      r\n"
                "  0.0000 |a\n"
                "         +----------------------------\n"
                "          0                      270 h\n");
    expect_plot(rising, &series, "mm", true,
                "  6.0000 │════════════════════════▲═══\n"
                "         │                     ····\n"
                "         │                ··●··\n"
                "         │            ····\n"
                "         │          ●·\n"
                "         │      □\n"
                "  0.0000 │○\n"
                "         └────────────────────────────\n"
                "          0                      270 h\n");
}

/* The axis of hours goes no farther than three times the hours measured: 0 to 540 h, 20 h a column;
 * the earliest 600 h are outside. The line passes 4.5, the border of two rows, at 330 h. */
static void what_is_far_ahead_is_left_out(void **state)
{
    (void)state;
    te_series series = rising_series();
    series.at_limit = 900;
    series.at_limit_earliest = 600;
    series.line.rate = 1.0 / 300.0;
    expect_plot(rising, &series, "mm", false,
                "  6.0000 |============================\n"
                "         |                 ...........\n"
                "         |     ....o.......\n"
                "         |\n"
                "         |     o\n"
                "         |   r\n"
                "  0.0000 |a\n"
                "         +----------------------------\n"
                "          0                      540 h\n");
}

/* Without a best estimate the earliest hours decide how far it goes, if they are not too far: 240 h
 * in 27 steps put 60, 100 and 180 h at 6.75, 11.25 and 20.25; 180 h put them at 9, 15 and 27. */
static void without_a_best_estimate_the_earliest_hours_are_shown(void **state)
{
    (void)state;
    te_series series = rising_series();
    series.method = TE_RATE_NONE;
    series.at_limit = NAN;
    expect_plot(rising, &series, "mm", false,
                "  6.0000 |===========================^\n"
                "         |\n"
                "         |                    o\n"
                "         |\n"
                "         |           o\n"
                "         |       r\n"
                "  0.0000 |a\n"
                "         +----------------------------\n"
                "          0                      240 h\n");
    series.at_limit_earliest = 541;
    expect_plot(rising, &series, "mm", false,
                "  6.0000 |============================\n"
                "         |\n"
                "         |                           o\n"
                "         |\n"
                "         |               o\n"
                "         |         r\n"
                "  0.0000 |a\n"
                "         +----------------------------\n"
                "          0                      180 h\n");
}

/* A limit is always in view: here below all values, at 0; 9 is 1.5 a row. */
static void a_limit_outside_the_values_is_in_view(void **state)
{
    (void)state;
    static const te_point points[] = {{.hours = 10, .value = 9, .fitted = true},
                                      {.hours = 37, .value = 6, .fitted = true}};
    te_series series = {.point_count = 2,
                        .fitted_count = 2,
                        .side = TE_SIDE_LOW,
                        .hours_first = 10,
                        .hours_last = 37,
                        .value_last = 6,
                        .service = 0,
                        .method = TE_RATE_NONE,
                        .at_limit = NAN,
                        .at_limit_earliest = NAN};
    expect_plot(points, &series, "kPa", false,
                "       9 |o\n"
                "         |\n"
                "         |                           o\n"
                "         |\n"
                "         |\n"
                "         |\n"
                "       0 |============================\n"
                "         +----------------------------\n"
                "          10                      37 h\n");
}

/* One time: no axis of hours. One value without a limit: it stands in the middle of 2e-6 of it. */
static void one_point_is_plotted(void **state)
{
    (void)state;
    static const te_point point = {.hours = 50.25, .value = 66.05, .fitted = true};
    te_series series = {.point_count = 1,
                        .fitted_count = 1,
                        .side = TE_SIDE_HIGH,
                        .hours_first = 50.25,
                        .hours_last = 50.25,
                        .value_last = 66.05,
                        .service = NAN,
                        .method = TE_RATE_NONE,
                        .at_limit = NAN,
                        .at_limit_earliest = NAN};
    expect_plot(&point, &series, "mm", false,
                " 66.0501 |\n"
                "         |\n"
                "         |\n"
                "         |o\n"
                "         |\n"
                "         |\n"
                " 66.0499 |\n"
                "         +----------------------------\n"
                "          50.3 h\n");
    series.service = 66.05; /* at its limit: the point hides the limit's first mark */
    expect_plot(&point, &series, "mm", false,
                " 66.0501 |\n"
                "         |\n"
                "         |\n"
                "         |o===========================\n"
                "         |\n"
                "         |\n"
                " 66.0499 |\n"
                "         +----------------------------\n"
                "          50.3 h\n");
}

static void constant_values_are_plotted_in_the_middle(void **state)
{
    (void)state;
    static const te_point points[] = {{.hours = 0, .value = 0, .fitted = true},
                                      {.hours = 27, .value = 0, .fitted = true}};
    te_series series = {.point_count = 2,
                        .fitted_count = 2,
                        .side = TE_SIDE_HIGH,
                        .hours_last = 27,
                        .service = NAN,
                        .method = TE_RATE_ORDINARY,
                        .line = {.at = 27},
                        .at_limit = NAN,
                        .at_limit_earliest = NAN};
    expect_plot(points, &series, "deg", false,
                "   1e-06 |\n"
                "         |\n"
                "         |\n"
                "         |o..........................o\n"
                "         |\n"
                "         |\n"
                "  -1e-06 |\n"
                "         +----------------------------\n"
                "          0                       27 h\n");
}

/* No mark outside the plot: the sanitizers watch the writes, this the lines. */
static void a_plot_of_any_values_keeps_its_size(void **state)
{
    (void)state;
    static const double values[] = {0.0,       1e-15,   66.05, -9.9999, 999.9,
                                    -123.4567, 1234567, -1e15, 1e15};
    enum { VALUES = sizeof values / sizeof *values };
    for (size_t code = 0; code < (size_t)VALUES * VALUES * VALUES; code++) {
        te_point points[] = {
            {.hours = 3, .value = values[code % VALUES], .fitted = true},
            {.hours = 1e5, .value = values[code / VALUES % VALUES], .fitted = true}};
        double last = points[1].value;
        te_series series = {
            .point_count = 2,
            .fitted_count = 2,
            .hours_first = 3,
            .hours_last = 1e5,
            .value_last = last,
            .service = values[code / VALUES / VALUES],
            .method = TE_RATE_ORDINARY,
            .line = {.at = 1e5, .level = last, .rate = (last - points[0].value) / (1e5 - 3)},
            .at_limit = 1e5,
            .at_limit_earliest = 1e5};
        te_grown text = {0};
        size_t lines = 0;
        write_plot(&text, points, &series, "mm", false);
        for (const char *line = text.text; *line != '\0'; lines++) {
            size_t length = strcspn(line, "\n");
            if (length > TE_PLOT_WIDTH || (lines < TE_PLOT_ROWS && line[TE_PLOT_LABEL] != '|'))
                fail_msg("not in %d columns: %.*s", (int)TE_PLOT_WIDTH, (int)length, line);
            line += length + 1;
        }
        assert_int_equal(lines, TE_PLOT_LINES);
        te_grown_free(&text);
    }
}

/* Each mark has a sign of its own in either set, of one column. */
static void each_mark_has_a_sign_of_its_own(void **state)
{
    (void)state;
    for (int utf8 = 0; utf8 < 2; utf8++)
        for (int a = 0; a < TE_MARKS; a++) {
            const char *sign = te_plot_sign((enum te_plot_mark)a, utf8 != 0);
            assert_int_equal(te_text_width((te_slice){sign, strlen(sign)}), 1);
            assert_true(utf8 != 0 || strlen(sign) == 1);
            for (int b = 0; b < a; b++)
                assert_string_not_equal(sign, te_plot_sign((enum te_plot_mark)b, utf8 != 0));
        }
}

/* ---- text --------------------------------------------------------------------------------- */

static void replace_all(char *text, const char *from, const char *to)
{
    char *out = text;
    size_t length = strlen(from);
    for (const char *in = text; *in != '\0';) {
        if (strncmp(in, from, length) == 0) {
            *out++ = *to;
            in += length;
        } else {
            *out++ = *in++;
        }
    }
    *out = '\0';
}

/* The shapes of a plot as the plain signs. */
static void plain_signs(char *text)
{
    static const char *const signs[][2] = {{"·", "."}, {"═", "="}, {"▲", "^"},
                                           {"□", "r"}, {"○", "a"}, {"●", "o"},
                                           {"│", "|"}, {"└", "+"}, {"─", "-"}};
    for (size_t i = 0; i < sizeof signs / sizeof *signs; i++)
        replace_all(text, signs[i][0], signs[i][1]);
}

/* At every width; without utf8 the series are ASCII. */
static void shapes_and_plain_signs_are_one_plot(void **state)
{
    (void)state;
    desk d;
    open_desk(&d, NULL);
    for (uint32_t engine = 0; engine < 6; engine++) {
        look_at(&d, engine);
        for (size_t width = 60; width <= 140; width++) {
            te_text_style style = {.width = width, .utf8 = true};
            te_buffer shaped = {0};
            te_buffer_free(&d.out);
            size_t count = te_write_trend_text(&shaped, d.made.shop, &d.history, TE_Q_NONE, &style);
            style.utf8 = false;
            assert_int_equal(
                te_write_trend_text(&d.out, d.made.shop, &d.history, TE_Q_NONE, &style), count);
            if (count > 0) {
                /* P4 has one point of each, which makes no plot */
                assert_int_equal(strstr(text_of(&shaped), "●") != NULL, engine != 3);
                plain_signs(shaped.bytes);
                assert_string_equal(text_of(&d.out), shaped.bytes);
            }
            for (size_t i = 0; i < d.out.length; i++)
                assert_true((unsigned char)d.out.bytes[i] < 0x7f);
            te_buffer_free(&shaped);
        }
    }
    close_desk(&d);
}

/* Beside the figures from 80 columns on, as far right as there is room, but not beyond column 48. */
static void a_plot_stands_beside_its_figures(void **state)
{
    (void)state;
    static const size_t widths[][2] = {{60, 0}, {79, 0}, {80, 42}, {81, 43}, {86, 48}, {132, 48}};
    desk d;
    open_desk(&d, NULL);
    look_at_name(&d, "P1");
    for (size_t i = 0; i < sizeof widths / sizeof *widths; i++) {
        const te_text_style style = {.width = widths[i][0]};
        te_buffer_free(&d.out);
        (void)te_write_trend_text(&d.out, d.made.shop, &d.history, TE_Q_NONE, &style);
        const char *axis = strchr(text_of(&d.out), '+');
        assert_non_null(axis);
        const char *line = axis;
        while (line[-1] != '\n')
            line--;
        assert_int_equal((size_t)(axis - line), widths[i][1] + TE_PLOT_LABEL);
    }
    close_desk(&d);
}

/* The signs that the head explains are those of the plots. */
static void the_head_explains_the_signs(void **state)
{
    (void)state;
    const te_text_style plain = {.width = 1000}, shaped = {.width = 1000, .utf8 = true};
    const te_shop_file files[] = {{"shop.csv", "key,value\nname,Shed 3\nconfidence,0.975\n"},
                                  {NULL, NULL}};
    desk d;
    open_desk(&d, files);
    te_write_trend_text_start(&d.out, d.made.shop, &plain);
    assert_ptr_equal(strstr(text_of(&d.out), "Shed 3. Wear over the hours "), d.out.bytes);
    assert_non_null(strstr(d.out.bytes, "with a confidence of 0.975 the limit is not met before"));
    assert_non_null(strstr(d.out.bytes, "o measured, a assumed as new, r run-in, . rate, = limit, "
                                        "^ earliest at the limit."));
    te_buffer_free(&d.out);
    te_write_trend_text_start(&d.out, d.made.shop, &shaped);
    assert_non_null(strstr(text_of(&d.out), "● measured, ○ assumed as new, □ run-in, · rate, ═ "
                                            "limit, ▲ earliest at the limit."));
    close_desk(&d);
}

static void assert_lines_fit(const char *text, size_t width, output what)
{
    for (const char *line = text; *line != '\0';) {
        size_t length = strcspn(line, "\n");
        if (te_text_width((te_slice){line, length}) > width)
            fail_msg("output %d is wider than %zu: %.*s", (int)what, width, (int)length, line);
        line += length + (line[length] == '\n');
    }
}

static void try_widths(const te_shop_file *changes)
{
    desk d;
    open_desk(&d, changes);
    for (output what = TREND_TEXT; what <= DUE_TEXT; what++)
        for (size_t width = 60; width <= 140; width++)
            for (uint32_t engine = 0; engine < d.made.tables->engine_count; engine++) {
                const te_text_style style = {.width = width, .utf8 = engine % 2 == 1};
                const char *text = write_output(&d, what, engine, &style);
                assert_lines_fit(text, width, what);
                if (what != COMPARE_TEXT)
                    break; /* the others are of all engines */
            }
    close_desk(&d);
}

static void no_line_is_wider_than_asked(void **state)
{
    (void)state;
    try_widths(NULL);
}

#define LONG "a name that somebody has made much too long for a column"

static void long_names_are_wrapped(void **state)
{
    (void)state;
    static const te_shop_file files[] = {
        {"engines.csv", "engine,model\n" LONG ",M of " LONG "\n"},
        {"models.csv", "model\nM of " LONG "\n"},
        {"limits.csv", LIMITS "M of " LONG "," LONG ",7,furlongs a long fortnight,,,,50,no,x\n"},
        {"parts.csv", "part,kind,engine,fitted_hours,removed_hours,hours_before\n"
                      "K1 " LONG ",piston," LONG ",0,100,\nK2 " LONG ",piston," LONG ",100,,\n"},
        {"inspections.csv", "inspection,engine,date,hours\nI1," LONG ",2026-01-01,20\nI2," LONG
                            ",2026-02-01,100\nI3," LONG ",2026-03-01,180\n"},
        {"readings.csv", "inspection,feature,item,reading,unit,instrument\n"
                         "I1," LONG ",7,3,furlongs a long fortnight,\n"
                         "I2," LONG ",7,5,furlongs a long fortnight,\n"
                         "I3," LONG ",7,9,furlongs a long fortnight,\n"},
        {NULL, NULL}};
    try_widths(files);
}

/* Values as large as a file can hold, of either sign. */
static void extreme_values_fit_too(void **state)
{
    (void)state;
    static const te_shop_file files[] = {
        {"limits.csv", LIMITS "M,squish,,kPa,,,,900000000000000,no,x\n"
                              "M,tilt,,mm,,,-999.9999,,no,x\n"},
        {"parts.csv", "part,kind,engine,fitted_hours,removed_hours,hours_before\n"
                      "K1,piston,P1,0,49999.9,\nK2,piston,P1,49999.9,,\n"},
        {"inspections.csv", "inspection,engine,date,hours\nI1,P1,2026-01-01,0.1\n"
                            "I2,P1,2026-02-01,49999.9\nI3,P1,2026-03-01,99999.9\n"},
        {"readings.csv", "inspection,feature,item,reading,unit,instrument\n"
                         "I1,squish,,-500000000000000,kPa,\nI2,squish,,100000000000000,kPa,\n"
                         "I3,squish,,123456789012349,kPa,\n"
                         "I1,tilt,,-123.4567,,G\nI2,tilt,,-567.8912,,G\nI3,tilt,,-998.7654,,G\n"},
        {NULL, NULL}};
    try_widths(files);
}

/* ---- words of a series -------------------------------------------------------------------- */

/* All text of a shop's engine in one line, so that the words are found wherever they are broken. */
static const char *words_of(desk *d, output what)
{
    const te_text_style style = {.width = 1000};
    te_buffer_free(&d->out);
    if (what == TREND_TEXT)
        (void)te_write_trend_text(&d->out, d->made.shop, &d->history, TE_Q_NONE, &style);
    else if (what == COMPARE_TEXT)
        te_write_compare_text(&d->out, d->made.shop, &d->history, &d->builds, &style);
    else
        te_write_due_text(&d->out, d->made.shop, &d->due, 1, &style);
    return text_of(&d->out);
}

static void expect_words(desk *d, output what, const char *words, bool there)
{
    const char *text = words_of(d, what);
    if ((strstr(text, words) != NULL) != there)
        fail_msg("%s %s: %s", there ? "there is no" : "there is", words, text);
}

/* Rate and U: 0.0003 and 2 * 0.0000244949 per hour, told per 100 h. */
static void a_series_tells_its_figures(void **state)
{
    (void)state;
    static const char *const facts[] = {
        "\n== P1 (M), last inspected at 200 h on 2026-03-01\n",
        "\nbore, high: P1/cylinder\n",
        "\n  last     66.0500 mm at 200 h ",
        "\n  rate     0.0300 mm/100 h ",
        "\n           U 0.0049 ",
        "\n  limit    max 66.1 mm ",
        "\n  reached  in 165.6 h, engine at 365.6 h ",
        "\n  earliest in 137.5 h, engine at 337.5 h ",
        "\n  points   3 ",
    };
    desk d;
    open_desk(&d, NULL);
    look_at_name(&d, "P1");
    const char *at = words_of(&d, TREND_TEXT);
    for (size_t i = 0; i < sizeof facts / sizeof *facts; i++) {
        const char *found = strstr(at, facts[i]);
        if (found == NULL)
            fail_msg("there is no %s in %s", facts[i], at);
        at = found + strlen(facts[i]) - 1;
    }
    close_desk(&d);
}

static void a_series_says_what_it_lacks(void **state)
{
    (void)state;
    desk d;
    open_desk(&d, NULL);
    look_at_name(&d, "P4");
    expect_words(&d, TREND_TEXT, "  rate     none yet\n", true);
    expect_words(&d, TREND_TEXT, "  points   1\n", true);
    expect_words(&d, TREND_TEXT, "  limit    no service limit\n", true);
    expect_words(&d, TREND_TEXT, "  last     812.5 kPa at 50 h\n", true);
    expect_words(&d, TREND_TEXT, "reached", false);
    expect_words(&d, TREND_TEXT, "earliest", false);
    expect_words(&d, TREND_TEXT, "|", false); /* no plot */
    look_at_name(&d, "P6");                   /* K6 is off: there are no engine hours */
    expect_words(&d, TREND_TEXT, "  U not known ", true);
    expect_words(&d, TREND_TEXT, "  limit    min 65.8 mm ", true);
    expect_words(&d, TREND_TEXT, "  reached  in 201.5 h, at 277 h ", true);
    expect_words(&d, TREND_TEXT, "earliest", false);
    close_desk(&d);
}

/* P3's earliest 291.2656 h are rounded down, the best 360 h are not. */
static void the_hours_ahead_are_not_rounded_up(void **state)
{
    (void)state;
    desk d;
    open_desk(&d, NULL);
    look_at_name(&d, "P3");
    te_series *series = &d.history.series[0];
    expect_words(&d, TREND_TEXT, "  points   2, 1 of them assumed ", true);
    expect_words(&d, TREND_TEXT, "  reached  in 240 h, engine at 360 h ", true);
    expect_words(&d, TREND_TEXT, "  earliest in 171.2 h, engine at 291.2 h ", true);
    series->at_limit = 360.07;
    expect_words(&d, TREND_TEXT, "  reached  in 240.1 h, engine at 360.1 h ", true);
    series->at_limit_earliest = series->hours_last;
    expect_words(&d, TREND_TEXT, "  earliest perhaps past it ", true);
    series->met = true;
    expect_words(&d, TREND_TEXT, "  earliest at its limit or past it ", true);
    expect_words(&d, TREND_TEXT, "reached", false);
    close_desk(&d);
}

/* K1 came at 50 h with 100 h: its 150 and 250 own hours are 100 and 200 h of the engine. It wears by
 * 0.0004 mm/h: 65.80 after 0.10 / 0.0004 = 250 h more. */
static void the_engine_meter_is_told_beside_own_hours(void **state)
{
    (void)state;
    static const te_shop_file files[] = {
        {"parts.csv", "part,kind,engine,fitted_hours,removed_hours,hours_before\n"
                      "K1,piston,P1,50,,100\n"},
        {"readings.csv", "inspection,feature,reading,instrument\nI1,skirt,65.94,N\n"
                         "I3,skirt,65.90,N\n"},
        {NULL, NULL}};
    desk d;
    open_desk(&d, files);
    look_at_name(&d, "P1");
    expect_words(&d, TREND_TEXT, "  last     65.9000 mm at 250 h ", true);
    expect_words(&d, TREND_TEXT, "  reached  in 250 h, engine at 450 h ", true);
    close_desk(&d);
}

/* A note appears with what it tells of and not without. */
typedef struct note_case {
    const char *engine;
    void (*change)(desk *d, te_series *first); /* of its first series; NULL: none */
    const char *words;
    bool unchanged; /* it is there before the change, too */
} note_case;

static void make_same_hours(desk *d, te_series *s)
{
    (void)d;
    s->method = TE_RATE_NONE;
}

static void make_singular(desk *d, te_series *s)
{
    (void)d;
    s->singular = true;
}

/* With two degrees of freedom a chi2 is exceeded with the probability exp(-chi2 / 2). */
static void set_chance(te_line *line, double chance)
{
    line->generalised = true;
    line->freedom = 2;
    line->chi2 = -2 * log(chance);
}

static void make_scatter(desk *d, te_series *s)
{
    (void)d;
    set_chance(&s->line, 0.04);
    s->line.scale = 6.25;
}

static void make_little_scatter(desk *d, te_series *s)
{
    (void)d;
    set_chance(&s->line, 0.0501);
}

static void make_three_not_stated(desk *d, te_series *s)
{
    (void)d;
    s->line.var_rate = 1e-12;
}

static void make_unknown(desk *d, te_series *s)
{
    (void)d;
    s->unknown = true;
}

static void make_dropped(desk *d, te_series *s)
{
    (void)d;
    s->dropped = 2;
}

static void make_dropped_unknown(desk *d, te_series *s)
{
    (void)d;
    s->dropped = 1;
    s->unknown = true;
}

static void make_dropped_pair(desk *d, te_series *s)
{
    (void)d;
    s->dropped = 3;
    s->second_kind = TE_KIND_PISTON;
}

static void make_met(desk *d, te_series *s)
{
    (void)d;
    s->met = true;
    s->at_limit = NAN;
}

static void make_never(desk *d, te_series *s)
{
    (void)d;
    s->at_limit = NAN;
    s->at_limit_earliest = NAN;
}

static void make_only_earliest(desk *d, te_series *s)
{
    (void)d;
    s->at_limit = NAN;
}

static void make_gone(desk *d, te_series *s)
{
    (void)d;
    s->fitted_now = false;
}

static void make_gap_gone(desk *d, te_series *s)
{
    (void)d;
    s->fitted_now = false;
    s->cylinder = s->part;
}

static void make_partial(desk *d, te_series *s)
{
    (void)d;
    s->partial = true;
}

/* Shown, not fitted. */
static void make_first_partial(desk *d, te_series *s)
{
    d->history.points[s->first_point].fitted = false;
    d->history.points[s->first_point].partial = true;
}

static void make_first_run_in(desk *d, te_series *s)
{
    d->history.points[s->first_point].fitted = false;
    d->history.points[s->first_point].run_in = true;
}

/* Fitted all the same. */
static void make_first_only_run_in(desk *d, te_series *s)
{
    d->history.points[s->first_point].run_in = true;
}

static void make_first_only_partial(desk *d, te_series *s)
{
    d->history.points[s->first_point].partial = true;
}

static void notes_tell_what_to_mind(void **state)
{
    (void)state;
    static const note_case cases[] = {
        {"P1", make_scatter,
         "SCATTER: the points lie farther from a straight line than their uncertainty explains "
         "(chance 0.040)",
         false},
        {"P1", make_scatter, "U is widened by a factor of 2.5.", false},
        {"P1", make_singular, "common to the points: the rest is widened to fit a line", false},
        {"P1", make_unknown, "history unknown: hours count from its first reading", false},
        {"P1", make_dropped, "2 earlier measurements are left out: in another cylinder", false},
        {"P1", make_dropped_unknown, "1 earlier measurement is left out: before an unknown history",
         false},
        {"P1", make_dropped_pair,
         "3 earlier measurements are left out: before these parts came together again", false},
        {"P1", make_never, "the rate does not lead to the limit within 100000 h", false},
        {"P1", make_only_earliest, "does not lead to the limit; as steep as it may be, it does",
         false},
        {"P1", make_gone, "no longer on the engine", false},
        {"P1", make_gap_gone, "no longer together on the engine", false},
        {"P1", make_partial, "PLACES MISSING: a point was measured at fewer places", false},
        {"P1", make_first_partial,
         "what was measured at fewer places than plan.csv names is shown, the rate leaves it out",
         false},
        {"P1", make_first_run_in,
         "run-in: what was measured before run_in_hours is shown, the rate leaves it out", false},
        {"P1", NULL, "only if never changed: parts.csv has no row for it", true},
        {"P3", NULL, "ASSUMED: as new at 0 h, in the middle of the as-new limits, not measured",
         true},
        {"P4", NULL, "measured once: a rate needs a second inspection", true},
        {"P1", make_same_hours, "all at the same hours: no rate", false},
        {"P6", NULL, "the points lie on a line: nothing tells how wrong the rate may be", true},
        {"P6", make_three_not_stated, "the scatter about the line stands for it", false},
        {"P6", NULL, "no longer on the engine", true},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        desk d;
        open_desk(&d, NULL);
        look_at_name(&d, cases[i].engine);
        expect_words(&d, TREND_TEXT, cases[i].words, cases[i].unchanged);
        if (cases[i].change != NULL) {
            cases[i].change(&d, &d.history.series[0]);
            expect_words(&d, TREND_TEXT, cases[i].words, true);
        }
        close_desk(&d);
    }
}

static void notes_are_not_told_without_a_cause(void **state)
{
    (void)state;
    static const note_case cases[] = {
        {"P1", make_little_scatter, "SCATTER", false},
        {"P1", make_met, "lead to the limit", false},
        {"P1", make_first_only_run_in, "run-in", false},
        {"P1", make_first_only_partial, "what was measured at fewer places", false},
        {"P3", make_first_run_in, "run-in", false}, /* the assumed point: no measurement */
        {"P3", NULL, "only if never changed", false},
        {"P1", NULL, "ASSUMED", false},
        {"P1", NULL, "BACKWARDS", false},
        {"P1", NULL, "left out", false},
        {"P4", NULL, "lead to the limit", false},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        desk d;
        open_desk(&d, NULL);
        look_at_name(&d, cases[i].engine);
        if (cases[i].change != NULL)
            cases[i].change(&d, &d.history.series[0]);
        expect_words(&d, TREND_TEXT, cases[i].words, false);
        close_desk(&d);
    }
}

/* 2 u of a step is 2 sqrt(6e-6) = 0.0049: metal does not grow back by 0.005 mm. */
static void a_step_against_wear_is_told(void **state)
{
    (void)state;
    static const struct {
        const char *limit, *readings, *words;
    } given[] = {
        {"M,bore,,mm,,,,66.10,no,x\n", "I1,bore,66.036,G\nI2,bore,66.031,G\nI3,bore,66.05,G\n",
         "BACKWARDS: from 100 h to 150 h it went against wear by 0.0050 mm, more than its"},
        {"M,bore,,mm,,,,66.10,no,x\n", "I1,bore,66.036,G\nI2,bore,66.0312,G\nI3,bore,66.05,G\n",
         NULL},
        {"M,bore,,mm,,,,66.10,no,x\n", "I1,bore,66.036,N\nI2,bore,66.031,N\nI3,bore,66.05,N\n",
         NULL}, /* not stated */
        {"M,skirt,,mm,,,65.80,,no,x\n", "I1,skirt,65.94,G\nI2,skirt,65.92,G\nI3,skirt,65.93,G\n",
         "BACKWARDS: from 150 h to 200 h it went against wear by 0.0100 mm, more than its"},
        {"M,skirt,,mm,,,65.80,,no,x\n", "I1,skirt,65.94,G\nI2,skirt,65.92,G\nI3,skirt,65.91,G\n",
         NULL},
        {"M,squish,,mm,,,0.8,,no,x\n", "I1,squish,1,G\nI2,squish,2,G\nI3,squish,1,G\n",
         NULL}, /* who knows which way it wears */
    };
    for (size_t i = 0; i < sizeof given / sizeof *given; i++) {
        te_grown limits = {0}, readings = {0};
        te_grown_add(&limits, LIMITS "%s", given[i].limit);
        te_grown_add(&readings, "inspection,feature,reading,instrument\n%s", given[i].readings);
        const te_shop_file files[] = {
            {"limits.csv", limits.text}, {"readings.csv", readings.text}, {NULL, NULL}};
        desk d;
        open_desk(&d, files);
        look_at_name(&d, "P1");
        expect_words(&d, TREND_TEXT, given[i].words ? given[i].words : "BACKWARDS",
                     given[i].words != NULL);
        te_grown_free(&limits);
        te_grown_free(&readings);
        close_desk(&d);
    }
}

static void run_in_is_told(void **state)
{
    (void)state;
    static const te_shop_file files[] = {{"models.csv", "model,run_in_hours\nM,120\nA,\nI,\n"},
                                         {NULL, NULL}};
    desk d;
    open_desk(&d, files);
    look_at_name(&d, "P1");
    expect_words(&d, TREND_TEXT, "run-in: what was measured before run_in_hours is shown", true);
    expect_words(&d, TREND_TEXT, "  points   2 ", true);
    close_desk(&d);
}

/* A series of a part that is now measured on another engine is told there alone. */
static void a_series_is_told_on_its_last_engine(void **state)
{
    (void)state;
    desk d;
    open_desk(&d, NULL);
    look_at_name(&d, "P1");
    d.history.series[0].engine = 4;
    assert_int_equal(te_write_trend_csv(&d.out, d.made.shop, &d.history, TE_Q_NONE), 0);
    assert_int_equal(te_write_trend_json(&d.out, d.made.shop, &d.history, TE_Q_NONE, 0), 0);
    assert_int_equal(te_write_trend_text(&d.out, d.made.shop, &d.history, TE_Q_NONE, &wide), 0);
    assert_int_equal(d.out.length, 0);
    close_desk(&d);
}

/* ---- words of builds ---------------------------------------------------------------------- */

/* P2's second row is compared; its rates and their probability are set to what is to be told. */
static void set_rates(desk *d, double before, double rate, double p)
{
    te_build_wear *row = &d->builds.wears[1];
    row->before = before;
    row->rate = rate;
    row->ratio = rate / before;
    row->p_same = p;
    row->p_holm = p;
}

static void a_ratio_is_told_in_words(void **state)
{
    (void)state;
    desk d;
    open_desk(&d, NULL);
    look_at_name(&d, "P2");
    set_rates(&d, 0.0001, 0.00025, 0.004);
    expect_words(&d, COMPARE_TEXT,
                 "\nMore than chance\n  - build 2: bore of P2/cylinder wears 2.5 times as fast as "
                 "in the build before: 0.0250 against 0.0100 mm/100 h; where no reading is a slip, "
                 "chance alone would show such a difference less than once in 100\n",
                 true);
    set_rates(&d, 0.0002, 0.00005, 0.004); /* slower */
    expect_words(&d, COMPARE_TEXT,
                 "build 2: bore of P2/cylinder wears 0.25 times as fast as in the build before: "
                 "0.0050 against 0.0200 mm/100 h;",
                 true);
    close_desk(&d);
}

/* A large ratio is a number of times, not a power of ten. */
static void a_ratio_of_hundreds_is_told_plainly(void **state)
{
    (void)state;
    desk d;
    open_desk(&d, NULL);
    look_at_name(&d, "P2");
    set_rates(&d, 0.0001, 0.01, 0.004);
    expect_words(&d, COMPARE_TEXT, " wears 100 times as fast ", true);
    set_rates(&d, 0.0001, 0.01234, 0.004);
    expect_words(&d, COMPARE_TEXT, " wears 123 times as fast ", true);
    look_at_name(&d, "P1");
    set_chance(&d.history.series[0].line, 0.001);
    d.history.series[0].line.scale = 1234.6 * 1234.6;
    expect_words(&d, TREND_TEXT, "widened by a factor of 1235.", true);
    close_desk(&d);
}

/* Hours of another engine are told with its name. */
static void due_names_the_engine_of_other_hours(void **state)
{
    (void)state;
    desk d;
    open_desk(&d, NULL);
    look_at_name(&d, "P1");
    d.due.measured = te_made_inspection(&d.made, "I6");
    expect_words(&d, DUE_TEXT, ", last measured at 180 h of P2 (c)\n", true);
    d.due.measured = te_made_inspection(&d.made, "I2");
    expect_words(&d, DUE_TEXT, ", last measured at 150 h (c)\n", true);
    close_desk(&d);
}

/* A rate that is no wear has no sensible ratio. */
static void a_rate_that_is_no_wear_only_differs(void **state)
{
    (void)state;
    static const double rates[][2] = {
        {-0.0001, 0.0002}, {0.0002, -0.0001}, {-0.0002, -0.0001}, {0.0, 0.0002}};
    static const char *const figures[] = {"0.0200 against -0.0100", "-0.0100 against 0.0200",
                                          "-0.0100 against -0.0200", "0.0200 against 0.0000"};
    desk d;
    open_desk(&d, NULL);
    look_at_name(&d, "P2");
    for (size_t i = 0; i < 4; i++) {
        te_grown words = {0};
        set_rates(&d, rates[i][0], rates[i][1], 0.004);
        te_grown_add(&words,
                     "build 2: bore of P2/cylinder changes otherwise than in the build before: %s "
                     "mm/100 h;",
                     figures[i]);
        expect_words(&d, COMPARE_TEXT, words.text, true);
        expect_words(&d, COMPARE_TEXT, "times as fast", false);
        te_grown_free(&words);
    }
    /* towards a lower limit a falling rate is wear */
    d.history.series[0].side = TE_SIDE_LOW;
    set_rates(&d, -0.0001, -0.0002, 0.004);
    expect_words(&d, COMPARE_TEXT, "build 2: bore of P2/cylinder wears 2 times as fast", true);
    close_desk(&d);
}

static void a_chance_is_told_by_a_round_number(void **state)
{
    (void)state;
    static const struct {
        double p;
        const char *words;
    } given[] = {{0.0499, "once in 20\n"},      {0.01, "once in 20\n"},
                 {0.0099, "once in 100\n"},     {0.001, "once in 100\n"},
                 {0.00099, "once in 1000\n"},   {0.0001, "once in 1000\n"},
                 {0.000099, "once in 10000\n"}, {1e-6, "once in 10000\n"},
                 {0.9e-6, "once in 1000000\n"}, {0.0, "once in 1000000\n"}};
    desk d;
    open_desk(&d, NULL);
    look_at_name(&d, "P2");
    for (size_t i = 0; i < sizeof given / sizeof *given; i++) {
        set_rates(&d, 0.0001, 0.0002, given[i].p);
        d.builds.wears[1].p_same = 1e-9; /* alone */
        expect_words(&d, COMPARE_TEXT, given[i].words, true);
    }
    close_desk(&d);
}

/* It is the adjusted probability that decides. */
static void what_chance_explains_is_not_told(void **state)
{
    (void)state;
    static const char none[] = "Of 1 difference between a build and the one before that could be "
                               "tested, none is more than chance explains.";
    desk d;
    open_desk(&d, NULL);
    look_at_name(&d, "P2");
    set_rates(&d, 0.0001, 0.0002, 0.05);
    d.builds.wears[1].p_same = 0.001;
    expect_words(&d, COMPARE_TEXT, "More than chance", false);
    expect_words(&d, COMPARE_TEXT, none, true);
    d.builds.wears[3].p_same = 0.5; /* of the gap */
    d.builds.wears[3].p_holm = 1.0;
    expect_words(&d, COMPARE_TEXT, "Of 2 differences between a build", true);
    d.builds.wears[1].p_holm = 0.0499;
    expect_words(&d, COMPARE_TEXT, "More than chance", true);
    expect_words(&d, COMPARE_TEXT, "none is more", false);
    close_desk(&d);
}

/* The gap's gauge states nothing. What has no build before is no difference. */
static void what_could_not_be_tested_is_counted(void **state)
{
    (void)state;
    desk d;
    open_desk(&d, NULL);
    look_at_name(&d, "P2");
    expect_words(&d, COMPARE_TEXT,
                 "\n1 difference could not be tested, for an uncertainty is not stated in "
                 "instruments.csv: look at the ratios.\n",
                 true);
    d.builds.wears[1].p_same = NAN;
    d.builds.wears[1].p_holm = NAN;
    expect_words(&d, COMPARE_TEXT, "\n2 differences could not be tested, for", true);
    expect_words(&d, COMPARE_TEXT, "none is more", false);
    look_at_name(&d, "P3");
    expect_words(&d, COMPARE_TEXT, "could not be tested", false);
    expect_words(&d, COMPARE_TEXT, "none is more", false);
    close_desk(&d);
}

/* Of a quantity with limits on both sides the wear towards its limit is told, and once. The skirt
 * shrinks by 0.008 mm in 80 h, then by 0.040. */
static void a_quantity_of_two_sides_is_told_once(void **state)
{
    (void)state;
    static const te_shop_file files[] = {
        {"limits.csv", LIMITS "M,skirt,,mm,,,65.80,66.00,no,x\n"},
        {"parts.csv", "part,kind,engine,fitted_hours,removed_hours,hours_before\n"
                      "R1,ring_set,P2,0,100,\nR2,ring_set,P2,100,,\n"},
        {"readings.csv", "inspection,feature,reading,instrument\n"
                         "I4,skirt,65.95,G\nI5,skirt,65.942,G\nI6,skirt,65.902,G\n"},
        {NULL, NULL}};
    desk d;
    open_desk(&d, files);
    look_at_name(&d, "P2");
    assert_int_equal(d.builds.wear_count, 4);
    expect_words(&d, COMPARE_TEXT, "build 2: skirt of P2/piston wears 5 times as fast", true);
    expect_words(&d, COMPARE_TEXT, "P2/piston changes", false);
    /* alone it is told */
    d.builds.wears[1].p_holm = 0.5;
    expect_words(&d, COMPARE_TEXT, "build 2: skirt of P2/piston changes otherwise", true);
    close_desk(&d);
}

/* Wear, U, rate and U per 100 h, ratio, probability; U is 2 u. */
static void builds_stand_in_a_table(void **state)
{
    (void)state;
    static const char *const lines[] = {
        "\n== P2 (M), 2 builds: 1 from 0 to 100 h; 2 from 100 h on\n",
        "\nbore, high, mm: P2/cylinder\n",
        "\n 1            20 - 100    0.0080   0.0049    0.0100   0.0061\n",
        "\n 2           100 - 180    0.0125   0.0049    0.0156   0.0061    1.56 0.289\n",
        "\nend_gap 1, high, mm: P2/ring_set\n",
        "\n 1            20 - 100    0.0400        ?    0.0500        ?\n",
        "\n 2           100 - 180    0.0600        ?    0.0750        ?     1.5\n",
    };
    desk d;
    open_desk(&d, NULL);
    look_at_name(&d, "P2");
    for (size_t i = 0; i < sizeof lines / sizeof *lines; i++)
        expect_words(&d, COMPARE_TEXT, lines[i], true);
    expect_words(&d, COMPARE_TEXT, "a: ASSUMED", false);
    look_at_name(&d, "P3");
    expect_words(&d, COMPARE_TEXT,
                 "\n== P3 (A), 1 build: 1 from 0 h on: nothing to compare it with\n", true);
    expect_words(&d, COMPARE_TEXT, "\n 1a            0 - 120 ", true);
    expect_words(&d, COMPARE_TEXT, "a: ASSUMED as new where the build begins", true);
    look_at_name(&d, "P4");
    expect_words(&d, COMPARE_TEXT, "Nothing was measured at two hours of one build.", true);
    close_desk(&d);
}

/* ---- words of due ------------------------------------------------------------------------- */

static void due_tells_what_decides(void **state)
{
    (void)state;
    static const struct {
        const char *engine, *words;
    } given[] = {
        {"P1", "\nP1                  200    137.5    337.5  reuse\n"
               "  by bore of P1/cylinder, max 66.1 (c)\n"},
        /* 171.2656 and 291.2656, rounded down */
        {"P3", "\nP3                  120    171.2    291.2  reuse\n"
               "  by bore of C3, max 66.1 (a)\n"},
        {"P4", "\nP4                   50                    incomplete\n"
               "  CANNOT TELL: no rate leads to a limit yet\n"
               "  1 quantity with a limit is not covered: topend trend says why\n"},
        {"P5", "\nP5\n  CANNOT TELL: it was never inspected\n"},
        {"P6", "\nP6                   90       25      115  measure again\n"
               "  by inspect_every_hours of the model, NOT ALL KNOWN\n"},
    };
    desk d;
    open_desk(&d, NULL);
    for (size_t i = 0; i < sizeof given / sizeof *given; i++) {
        look_at_name(&d, given[i].engine);
        expect_words(&d, DUE_TEXT, given[i].words, true);
        expect_words(&d, DUE_TEXT, "DUE NOW", false);
        expect_words(&d, DUE_TEXT, "condemned", false);
    }
    look_at_name(&d, "P6");
    d.due.untold = 0;
    expect_words(&d, DUE_TEXT, "inspect_every_hours of the model\n", true);
    d.due.unmeasured = 1;
    expect_words(&d, DUE_TEXT, "inspect_every_hours of the model, NOT ALL KNOWN\n", true);
    close_desk(&d);
}

static void due_says_why_it_cannot_tell(void **state)
{
    (void)state;
    desk d;
    open_desk(&d, NULL);
    look_at_name(&d, "P4");
    d.due.no_meter = true;
    expect_words(&d, DUE_TEXT,
                 "\n  CANNOT TELL: no hours are counted, every inspection is at 0 h\n", true);
    d.due.left_out = 1;
    expect_words(&d, DUE_TEXT, "\n  CANNOT TELL: errors touch the history of its parts\n", true);
    close_desk(&d);
}

/* Each mark at the line, and what it means below; no mark, no meaning. */
static void due_marks_what_it_rests_on(void **state)
{
    (void)state;
    static const char *const meanings[] = {
        "\n(a) rests on an ASSUMED point: ", "\n(c) right only if the part was never changed: ",
        "\n(b) best estimate only: ", "\n(d) the points scatter more than "};
    static const char *const marks[] = {" (a)", " (c)", " (b)", " (d)"};
    desk d;
    open_desk(&d, NULL);
    look_at_name(&d, "P1");
    for (unsigned code = 0; code < 16; code++) {
        te_grown line = {0};
        d.due.assumed = (code & 1) != 0;
        d.due.original = (code & 2) != 0;
        d.due.basis = (code & 4) != 0 ? TE_DUE_BEST : TE_DUE_EARLIEST;
        d.due.scatter = (code & 8) != 0;
        te_grown_add(&line, "%s", "P1/cylinder, max 66.1");
        for (unsigned i = 0; i < 4; i++) {
            bool there = (code >> i & 1) != 0;
            te_grown_add(&line, "%s", there ? marks[i] : "");
            expect_words(&d, DUE_TEXT, meanings[i], there);
        }
        te_grown_add(&line, "\n");
        expect_words(&d, DUE_TEXT, line.text, true);
        te_grown_free(&line);
    }
    close_desk(&d);
}

static void due_says_when_it_is_over(void **state)
{
    (void)state;
    desk d;
    open_desk(&d, NULL);
    look_at_name(&d, "P1");
    d.due.met = true;
    d.due.hours_left = 0;
    d.due.due_hours = 200;
    expect_words(&d, DUE_TEXT, "  200        0      200  reuse         DUE NOW\n", true);
    expect_words(&d, DUE_TEXT, "  by bore of P1/cylinder, max 66.1, at its limit or past it (c)\n",
                 true);
    d.due.basis = TE_DUE_BEST; /* met: no estimate is needed */
    expect_words(&d, DUE_TEXT, "(b)", false);
    d.due.met = false;
    d.due.hours_left = -40.25;
    d.due.due_hours = 159.75;
    expect_words(&d, DUE_TEXT, "  200    -40.3    159.7  reuse         DUE NOW\n", true);
    d.due.hours_left = 50;
    expect_words(&d, DUE_TEXT, "DUE NOW", false);
    d.due.condemned = true;
    d.due.condemned_part = te_shop_find_text(d.made.shop, "K6");
    d.due.condemned_kind = TE_KIND_RING_SET;
    expect_words(&d, DUE_TEXT,
                 "DUE NOW\n  still on, though an inspection condemned it: ring set K6\n  by ",
                 true);
    close_desk(&d);
}

static void due_says_what_it_does_not_cover(void **state)
{
    (void)state;
    desk d;
    open_desk(&d, NULL);
    look_at_name(&d, "P1");
    expect_words(&d, DUE_TEXT, "not covered", false);
    expect_words(&d, DUE_TEXT, "never measured", false);
    expect_words(&d, DUE_TEXT, "since the last inspection", false);
    expect_words(&d, DUE_TEXT, "last measured", false);
    d.due.untold = 3;
    d.due.unmeasured = 2;
    d.due.changed = true;
    d.due.measured = te_made_inspection(&d.made, "I2"); /* at 150 h */
    expect_words(&d, DUE_TEXT, ", max 66.1, last measured at 150 h (c)\n", true);
    expect_words(&d, DUE_TEXT,
                 "\n  2 parts now on it were never measured\n  3 quantities with a limit are not "
                 "covered: topend trend says why\n  a part was fitted since the last inspection: "
                 "the verdict is on those before\n",
                 true);
    d.due.unmeasured = 1;
    expect_words(&d, DUE_TEXT, "\n  1 part now on it was never measured\n", true);
    d.due.side = TE_SIDE_LOW;
    expect_words(&d, DUE_TEXT, "P1/cylinder, min 66.1,", true);
    close_desk(&d);
}

static void due_begins_with_its_meaning_and_ends_with_cautions(void **state)
{
    (void)state;
    const te_shop_file files[] = {{"shop.csv", "key,value\nname,Shed 3\nconfidence,0.975\n"},
                                  {NULL, NULL}};
    desk d;
    open_desk(&d, files);
    look_at_name(&d, "P1");
    const char *text = words_of(&d, DUE_TEXT);
    assert_ptr_equal(strstr(text, "Shed 3. Due: strip by these engine hours. "), text);
    assert_non_null(strstr(text, "with a confidence of 0.975 (each alone"));
    assert_non_null(strstr(text, "\nCautions\n"));
    close_desk(&d);
}

/* ---- colour ------------------------------------------------------------------------------- */

/* Takes the sequences that select colours out of a text. */
static void strip_colour(char *text)
{
    char *out = text;
    for (const char *in = text; *in != '\0';) {
        if (*in == '\x1b') {
            in += strcspn(in, "m");
            assert_int_equal(*in, 'm');
            in++;
        } else {
            *out++ = *in++;
        }
    }
    *out = '\0';
}

static void colour_changes_no_word(void **state)
{
    (void)state;
    const te_text_style coloured = {.width = 80, .colour = true};
    desk d;
    open_desk(&d, NULL);
    for (output what = TREND_TEXT; what <= DUE_TEXT; what++) {
        (void)write_output(&d, what, 1, &wide);
        te_buffer plain = d.out;
        d.out = (te_buffer){0};
        assert_null(strchr(plain.bytes, '\x1b'));
        (void)write_output(&d, what, 1, &coloured);
        assert_non_null(strchr(d.out.bytes, '\x1b'));
        strip_colour(d.out.bytes);
        assert_string_equal(d.out.bytes, plain.bytes);
        te_buffer_free(&plain);
    }
    close_desk(&d);
}

/* What needs a look is red or yellow, and the colour ends with the line. */
static void due_is_coloured_by_urgency(void **state)
{
    (void)state;
    const te_text_style style = {.width = 80, .colour = true};
    static const struct {
        te_due_basis basis;
        double left;
        bool condemned;
        const char *code;
    } given[] = {{TE_DUE_CANNOT_TELL, NAN, false, "\x1b[33m"},
                 {TE_DUE_CANNOT_TELL, NAN, true, "\x1b[33m"},
                 {TE_DUE_EARLIEST, 0, false, "\x1b[31m"},
                 {TE_DUE_EARLIEST, 50, true, "\x1b[31m"},
                 {TE_DUE_EARLIEST, 50, false, "\x1b[0m"}};
    desk d;
    open_desk(&d, NULL);
    look_at_name(&d, "P1");
    for (size_t i = 0; i < sizeof given / sizeof *given; i++) {
        te_grown expected = {0};
        d.due.basis = given[i].basis;
        d.due.hours_left = given[i].left;
        d.due.condemned = given[i].condemned;
        d.due.condemned_kind = TE_KIND_PISTON;
        te_buffer_free(&d.out);
        te_write_due_text(&d.out, d.made.shop, &d.due, 1, &style);
        te_grown_add(&expected, "\nP1            %s      200", given[i].code);
        assert_non_null(strstr(text_of(&d.out), expected.text));
        te_grown_free(&expected);
    }
    close_desk(&d);
}

/* ---- whatever the files say --------------------------------------------------------------- */

#define ENGINE     "e\x1b[2Jz"
#define MODEL      "m\xc2\x9bz"
#define PISTON     "k\xe2\x80\xae_1"
#define PISTON2    "k\xe2\x80\xae_2"
#define FEATURE    "f\x7fz"
#define ITEM       "i\x07z"
#define UNIT       "u\xe2\x80\x8fz"
#define INSPECTION "v\xe2\x80\xa8z"
#define SHOP       "s\xe2\x81\xa6z"

static const te_shop_file unsafe[] = {
    {"shop.csv", "key,value\nname," SHOP "\n"},
    {"engines.csv", "engine,model\n" ENGINE "," MODEL "\n"},
    {"models.csv", "model\n" MODEL "\n"},
    {"limits.csv", LIMITS MODEL "," FEATURE "," ITEM "," UNIT ",,,,10,no,s\x1b"
                                "c\n" MODEL ",skirt,,mm,,,65.80,,no,s\x1b"
                                "c\n"},
    {"instruments.csv", "instrument,unit,resolution,expanded_uncertainty\nG," UNIT ",0.006,0.004\n"
                        "H,mm,0.006,0.004\n"},
    {"parts.csv", "part,kind,engine,fitted_hours,removed_hours,hours_before\n" PISTON
                  ",piston," ENGINE ",0,100,\n" PISTON2 ",piston," ENGINE ",100,,\n"},
    {"inspections.csv",
     "inspection,engine,date,hours,state\n" INSPECTION "1," ENGINE ",2026-01-01,20,\n" INSPECTION
     "2," ENGINE ",2026-02-01,100,found\n" INSPECTION "3," ENGINE
     ",2026-02-02,100,built\n" INSPECTION "4," ENGINE ",2026-03-01,180,\n"},
    {"readings.csv",
     "inspection,feature,item,reading,unit,instrument\n" INSPECTION "1," FEATURE "," ITEM ",1," UNIT
     ",G\n" INSPECTION "2," FEATURE "," ITEM ",2," UNIT ",G\n" INSPECTION "4," FEATURE "," ITEM
     ",6," UNIT ",G\n" INSPECTION "1,skirt,,65.95,,H\n" INSPECTION "2,skirt,,65.94,,H\n" INSPECTION
     "3,skirt,,65.95,,H\n" INSPECTION "4,skirt,,65.90,,H\n"},
    {NULL, NULL},
};

/* Each output tells the names, but nothing in them acts. */
static void nothing_in_the_files_acts_on_a_terminal(void **state)
{
    (void)state;
    desk d;
    open_desk(&d, unsafe);
    for (output what = 0; what < OUTPUTS; what++)
        for (size_t width = 60; width <= 120; width += 20) {
            const te_text_style style = {.width = width, .utf8 = true};
            (void)write_output(&d, what, 0, &style);
            bool json = what == TREND_JSON || what == COMPARE_JSON || what == DUE_JSON;
            te_assert_safe(d.out.bytes, d.out.length, json);
            assert_non_null(strstr(d.out.bytes, json ? "e\\u001B[2Jz" : "e\\x1B[2Jz"));
        }
    /* the words of the builds, and of what decides */
    const char *text = (look_at(&d, 0), words_of(&d, COMPARE_TEXT));
    assert_non_null(strstr(text, "build 2: f\\x7Fz i\\x07z of e\\x1B[2Jz/other wears 4 times"));
    assert_non_null(strstr(text, "u\\u{200F}z/100 h"));
    assert_non_null(strstr(words_of(&d, DUE_TEXT), "by f\\x7Fz i\\x07z of e\\x1B[2Jz/other"));
    assert_non_null(strstr(words_of(&d, TREND_TEXT), "skirt, low: k\\u{202E}_2"));
    close_desk(&d);
}

static void json_keeps_the_names_as_they_are(void **state)
{
    (void)state;
    desk d;
    open_desk(&d, unsafe);
    json_t *root = parsed(write_output(&d, TREND_JSON, 0, NULL));
    const json_t *entry = entry_of(root, "series", "part", PISTON2);
    assert_string_equal(json_string_value(json_object_get(entry, "engine")), ENGINE);
    entry = entry_of(root, "series", "quantity", FEATURE);
    assert_string_equal(json_string_value(json_object_get(entry, "item")), ITEM);
    assert_string_equal(json_string_value(json_object_get(entry, "unit")), UNIT);
    json_decref(root);
    root = parsed(write_output(&d, DUE_JSON, 0, NULL));
    entry = entry_of(root, "engines", "engine", ENGINE);
    assert_string_equal(json_string_value(json_object_get(entry, "model")), MODEL);
    assert_string_equal(json_string_value(json_object_get(entry, "inspection")), INSPECTION "4");
    json_decref(root);
    close_desk(&d);
}

/* A cell that a spreadsheet would run gets an apostrophe, a number never; a comma is quoted. -5 and
 * -6 at 20 and 120 h reach -7 at 220 h. */
static void names_are_quoted_and_disarmed(void **state)
{
    (void)state;
    static const te_shop_file files[] = {
        {"engines.csv", "engine,model\n=1+1,@M\n"},
        {"models.csv", "model\n@M\n"},
        {"limits.csv", LIMITS "@M,f,-7,\"k,Pa\",,,-7,,no,x\n"},
        {"parts.csv", "part,kind,engine,fitted_hours,removed_hours,hours_before\n"
                      "\"=a,b\",other,=1+1,0,,\n"},
        {"inspections.csv", "inspection,engine,date,hours,state\n-V,=1+1,2026-01-01,20,\n"
                            "-W,=1+1,2026-02-01,120,\n"},
        {"readings.csv", "inspection,feature,part,item,reading,unit,instrument\n"
                         "-V,f,\"=a,b\",-7,-5,\"k,Pa\",\n-W,f,\"=a,b\",-7,-6,\"k,Pa\",\n"},
        {NULL, NULL}};
    static const char key[] = "'=1+1,\"'=a,b\",other,f,'-7,\"k,Pa\",low,";
    desk d;
    open_desk(&d, files);
    const char *text = strchr(write_output(&d, TREND_CSV, 0, NULL), '\n') + 1;
    assert_int_equal(strncmp(text, key, sizeof key - 1), 0);
    assert_string_equal(text + sizeof key - 1, "2,0,20,120,-6,-0.01,,-6,,,0,-7,220,,100,\n");
    text = strchr(write_output(&d, COMPARE_CSV, 0, NULL), '\n') + 1;
    assert_int_equal(strncmp(text, key, sizeof key - 1), 0);
    assert_string_equal(text + sizeof key - 1, "1,20,120,-1,,-1,,,,\n");
    text = strchr(write_output(&d, DUE_CSV, 0, NULL), '\n') + 1;
    assert_string_equal(text, "'=1+1,'@M,'-W,2026-02-01,120,undecided,measure_again,\"'=a,b\",f,"
                              "'-7,100,220,best\n");
    close_desk(&d);
}

/* What is written once memory ran out is dropped, by every writer. */
static void writers_leave_a_failed_buffer_alone(void **state)
{
    (void)state;
    desk d;
    open_desk(&d, NULL);
    d.out.failed = true;
    for (output what = 0; what < OUTPUTS; what++) {
        look_at(&d, 1);
        if (what == DUE_CSV || what == DUE_JSON || what == DUE_TEXT)
            write_due_list(&d, what, &wide);
        else if (what == COMPARE_CSV || what == COMPARE_JSON || what == COMPARE_TEXT)
            write_builds(&d, what, &wide);
        else
            write_trends(&d, what, &wide);
        assert_true(d.out.failed);
        assert_null(d.out.bytes);
        assert_int_equal(d.out.length, 0);
    }
    close_desk(&d);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_headers_are_those_of_the_contract),
        cmocka_unit_test(series_are_written_as_rows),
        cmocka_unit_test(an_assumed_point_is_counted),
        cmocka_unit_test(only_the_quantity_asked_for_is_written),
        cmocka_unit_test(builds_are_written_as_rows),
        cmocka_unit_test(due_dates_are_written_as_rows),
        cmocka_unit_test(numbers_have_nine_figures),
        cmocka_unit_test(json_and_csv_say_the_same),
        cmocka_unit_test(json_has_every_key_of_the_contract),
        cmocka_unit_test(json_tells_how_a_series_was_fitted),
        cmocka_unit_test(json_tells_the_marks_of_a_series),
        cmocka_unit_test(json_tells_the_points_and_their_readings),
        cmocka_unit_test(json_tells_the_builds),
        cmocka_unit_test(json_tells_the_marks_of_due),
        cmocka_unit_test(json_tells_what_decides),
        cmocka_unit_test(json_counts_what_stands_before),
        cmocka_unit_test(what_is_absent_is_never_printed),
        cmocka_unit_test(a_plot_shows_points_rate_and_limit),
        cmocka_unit_test(what_is_far_ahead_is_left_out),
        cmocka_unit_test(without_a_best_estimate_the_earliest_hours_are_shown),
        cmocka_unit_test(a_limit_outside_the_values_is_in_view),
        cmocka_unit_test(one_point_is_plotted),
        cmocka_unit_test(constant_values_are_plotted_in_the_middle),
        cmocka_unit_test(a_plot_of_any_values_keeps_its_size),
        cmocka_unit_test(each_mark_has_a_sign_of_its_own),
        cmocka_unit_test(shapes_and_plain_signs_are_one_plot),
        cmocka_unit_test(a_plot_stands_beside_its_figures),
        cmocka_unit_test(the_head_explains_the_signs),
        cmocka_unit_test(no_line_is_wider_than_asked),
        cmocka_unit_test(long_names_are_wrapped),
        cmocka_unit_test(extreme_values_fit_too),
        cmocka_unit_test(a_series_tells_its_figures),
        cmocka_unit_test(a_series_says_what_it_lacks),
        cmocka_unit_test(the_hours_ahead_are_not_rounded_up),
        cmocka_unit_test(the_engine_meter_is_told_beside_own_hours),
        cmocka_unit_test(notes_tell_what_to_mind),
        cmocka_unit_test(notes_are_not_told_without_a_cause),
        cmocka_unit_test(a_step_against_wear_is_told),
        cmocka_unit_test(run_in_is_told),
        cmocka_unit_test(a_series_is_told_on_its_last_engine),
        cmocka_unit_test(a_ratio_is_told_in_words),
        cmocka_unit_test(a_ratio_of_hundreds_is_told_plainly),
        cmocka_unit_test(due_names_the_engine_of_other_hours),
        cmocka_unit_test(a_rate_that_is_no_wear_only_differs),
        cmocka_unit_test(a_chance_is_told_by_a_round_number),
        cmocka_unit_test(what_chance_explains_is_not_told),
        cmocka_unit_test(what_could_not_be_tested_is_counted),
        cmocka_unit_test(a_quantity_of_two_sides_is_told_once),
        cmocka_unit_test(builds_stand_in_a_table),
        cmocka_unit_test(due_tells_what_decides),
        cmocka_unit_test(due_marks_what_it_rests_on),
        cmocka_unit_test(due_says_why_it_cannot_tell),
        cmocka_unit_test(due_says_when_it_is_over),
        cmocka_unit_test(due_says_what_it_does_not_cover),
        cmocka_unit_test(due_begins_with_its_meaning_and_ends_with_cautions),
        cmocka_unit_test(colour_changes_no_word),
        cmocka_unit_test(due_is_coloured_by_urgency),
        cmocka_unit_test(nothing_in_the_files_acts_on_a_terminal),
        cmocka_unit_test(json_keeps_the_names_as_they_are),
        cmocka_unit_test(names_are_quoted_and_disarmed),
        cmocka_unit_test(writers_leave_a_failed_buffer_alone),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
