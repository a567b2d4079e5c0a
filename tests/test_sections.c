/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The sections of a report: which stand in it, and what their rows say, for shops that have little, or
 * something unusual. Without materials values are the readings. All figures are invented.
 */
#include "te_shop_text.h"

#include <math.h>
#include <string.h>

#include "topend/report.h"

#define LIMITS      "model,quantity,item,unit,new_min,new_max,service_min,service_max,required,source\n"
#define READINGS    "inspection,feature,part,item,position,direction,reading,unit,instrument,no_go\n"
#define VISITS      "inspection,engine,date,hours,state,temperature\n"
#define INSTRUMENTS "instrument,unit,resolution,expanded_uncertainty,set_with,calibrated,due\n"

static const te_shop_file base[] = {
    {"engines.csv", "engine,model\nPS-71,Alder 66\n"},
    {"limits.csv", LIMITS "Alder 66,bore,,mm,66.00,66.02,,66.10,no,leaf 4\n"},
    {"instruments.csv", INSTRUMENTS "G,mm,0.001,0.002,,,\n"},
    {"inspections.csv", VISITS "A,PS-71,2026-03-02,100,,\n"},
    {"readings.csv", READINGS "A,bore,,,10,thrust,66.03,,G,\n"},
    {NULL, NULL},
};

#define FILES(...) ((const te_shop_file[]){__VA_ARGS__, {NULL, NULL}})

/* A shop, one of its inspections, and the report on it as text. */
typedef struct desk {
    te_made_shop made;
    te_model_rates rates;
    te_options options;
    te_builds builds;
    te_due due;
    te_history history;
    te_options_told told;
    te_report report;
    te_buffer text;
} desk;

static const te_wish wish = {.hone = TE_HONE, .hours = NAN};

/* Makes what a report is made of; a test may take some of it away again. */
static void open_desk(desk *d, const te_shop_file *changes, const char *inspection)
{
    *d = (desk){0};
    te_made_read(&d->made, base, changes);
    const te_shop *shop = d->made.shop;
    uint32_t row = te_made_inspection(&d->made, inspection);
    uint32_t engine = d->made.tables->inspections[row].engine;
    assert_int_equal(te_options_make(&d->options, &d->rates, shop, &d->made.problems, row, &wish),
                     TE_OK);
    assert_int_equal(te_builds_make(&d->builds, &d->options.history, shop), TE_OK);
    assert_int_equal(te_history_make(&d->history, shop, &d->made.problems, engine), TE_OK);
    te_due_make(&d->due, &d->history, &d->options.base, shop);
    d->told = (te_options_told){
        .shop = shop, .problems = &d->made.problems, .options = &d->options, .wish = wish};
    d->report = (te_report){.shop = shop,
                            .assessment = &d->options.base,
                            .history = &d->options.history,
                            .builds = &d->builds,
                            .due = &d->due,
                            .options = &d->told,
                            .problems = &d->made.problems,
                            .version = "0.0.0",
                            .made = 20561};
}

/* Leaves one blank where there are several, and none at a line's end. */
static void squeeze(char *text)
{
    size_t used = 0;
    for (const char *at = text; *at != '\0'; at++) {
        bool again = *at == ' ' && (used == 0 || text[used - 1] == ' ' || text[used - 1] == '\n');
        used -= *at == '\n' && used > 0 && text[used - 1] == ' ';
        if (!again)
            text[used++] = *at;
    }
    text[used] = '\0';
}

/* The report, in lines so wide that none is broken; columns stand a blank apart. */
static const char *make_report(desk *d)
{
    static const te_text_style style = {.width = 4000};
    te_document document = {0};
    te_buffer_free(&d->text);
    te_report_make(&document, &d->report);
    assert_true(te_document_is_whole(&document));
    te_document_text(&d->text, &document, &style);
    te_document_free(&document);
    assert_false(d->text.failed);
    squeeze(d->text.bytes);
    return d->text.bytes;
}

static void expect_told(const desk *d, int line, const char *words)
{
    if (strstr(d->text.bytes, words) == NULL)
        fail_msg("line %d: not told: %s\nin: %s", line, words, d->text.bytes);
}

static void expect_untold(const desk *d, int line, const char *words)
{
    if (strstr(d->text.bytes, words) != NULL)
        fail_msg("line %d: told: %s\nin: %s", line, words, d->text.bytes);
}

#define TOLD(desk, words)   expect_told((desk), __LINE__, (words))
#define UNTOLD(desk, words) expect_untold((desk), __LINE__, (words))

static void close_desk(desk *d)
{
    te_buffer_free(&d->text);
    te_builds_free(&d->builds);
    te_options_free(&d->options);
    te_history_free(&d->history);
    te_model_rates_free(&d->rates);
    te_made_free(&d->made);
}

/* Made and written at once. */
static void report(desk *d, const te_shop_file *changes, const char *inspection)
{
    open_desk(d, changes, inspection);
    (void)make_report(d);
}

/* ---- which sections there are ---- */

static void what_is_not_given_is_left_out(void **state)
{
    (void)state;
    static const te_digest digest = {"engines.csv", "00ff"};
    desk d;
    open_desk(&d, NULL, "A");
    d.report.digests = &digest;
    d.report.digest_count = 1;
    (void)make_report(&d);
    TOLD(&d, "\nWhat to replace\n");
    TOLD(&d, "\nWarnings: the result may rest on a slip\n");
    TOLD(&d, "\n- Inspect again not later than at 334.8 h on the meter (234.8 h from here)");
    TOLD(&d, "\nFiles\n");
    TOLD(&d, "\nengines.csv 00ff\n");
    d.report.options = NULL;
    d.report.problems = NULL;
    d.report.due = NULL;
    d.report.digest_count = 0;
    (void)make_report(&d);
    UNTOLD(&d, "What to replace");
    UNTOLD(&d, "Warnings: the result");
    UNTOLD(&d, "Inspect again");
    UNTOLD(&d, "\nFiles\n");
    TOLD(&d, "\n- The parts measured may go back in, as far as their sizes tell\n");
    TOLD(&d, "\nPoints of the rates\n");
    close_desk(&d);
}

/* An inspection at which nothing was read, of a model whose limits ask for nothing. */
static void an_inspection_without_readings(void **state)
{
    (void)state;
    desk d;
    report(
        &d,
        FILES({"inspections.csv", VISITS "A,PS-71,2026-03-02,100,,20\nB,PS-71,2026-04-02,140,,\n"}),
        "B");
    TOLD(&d, "\nTemperature not read\n");
    UNTOLD(&d, "\nParts\n");
    UNTOLD(&d, "\nFindings\n");
    UNTOLD(&d, "\nThe bore\n");
    UNTOLD(&d, "\nReadings\n");
    UNTOLD(&d, "Look for cracks");
    TOLD(&d, "\nNone declared in instruments.csv.\n");
    close_desk(&d);
}

/* What is no warning is not told among them; a warning without a remedy ends with what is wrong. */
static void only_warnings_are_told_as_such(void **state)
{
    (void)state;
    static const te_problem warning = {
        .severity = TE_WARNING, .file = "limits.csv", .what = "a line drawn by hand"};
    static const te_problem error = {
        .severity = TE_ERROR, .file = "limits.csv", .line = 3, .what = "not a number"};
    te_problems problems;
    desk d;
    te_problems_init(&problems);
    te_problems_add(&problems, &error);
    open_desk(&d, NULL, "A");
    d.report.problems = &problems;
    (void)make_report(&d);
    UNTOLD(&d, "Warnings: the result");
    UNTOLD(&d, "not a number");
    te_problems_add(&problems, &warning);
    (void)make_report(&d);
    TOLD(&d, "\n- limits.csv: a line drawn by hand\n");
    UNTOLD(&d, "not a number");
    te_problems_free(&problems);
    close_desk(&d);
}

/* ---- parts ---- */

/* Of an engine as a whole no part comes off; one of kind other with rows of its own has hours. */
static void what_is_of_no_part(void **state)
{
    (void)state;
    static const te_shop_file changes[] = {
        {"limits.csv", LIMITS "Alder 66,compression,,kPa,,,700,,no,leaf 4\n"},
        {"readings.csv", READINGS "A,compression,,,,,640,kPa,,\nA,compression,V1,,,,720,kPa,,\n"},
        {"parts.csv", "part,kind,engine,fitted_hours,removed_hours\nV1,other,PS-71,30,\n"},
        {NULL, NULL},
    };
    desk d;
    report(&d, changes, "A");
    TOLD(&d, "\n- Find the cause, or replace: other PS-71/");
    TOLD(&d, "\nV1 other 70 ");
    UNTOLD(&d, "100 if never changed");
    close_desk(&d);
}

/* The cylinder stood on another engine for a time that nobody wrote down: what it ran before that is on
 * no common count. */
static void hours_before_a_gap_are_unknown(void **state)
{
    (void)state;
    static const te_shop_file changes[] = {
        {"engines.csv", "engine,model\nPS-71,Alder 66\nPS-72,Alder 66\n"},
        {"parts.csv", "part,kind,engine,fitted_hours,removed_hours,hours_before\n"
                      "C1,cylinder,PS-71,0,120,\nC1,cylinder,PS-72,40,,?\n"},
        {NULL, NULL},
    };
    desk d;
    report(&d, changes, "A");
    TOLD(&d, "\nC1 cylinder unknown reuse ");
    close_desk(&d);
}

/* ---- findings ---- */

/* A value that no limit is given for is told without a judgement. */
static void a_value_without_a_limit(void **state)
{
    (void)state;
    desk d;
    report(&d,
           FILES({"readings.csv", READINGS "A,bore,,,10,thrust,66.03,,G,\nA,knock,,,,,7.5,Hz,,\n"}),
           "A");
    TOLD(&d, "\nknock (Hz) ");
    TOLD(&d, " no limit\n");
    close_desk(&d);
}

/* A minus between two numbers would be read as one more sign. */
static void limits_below_0(void **state)
{
    (void)state;
    desk d;
    report(&d,
           FILES({"limits.csv", LIMITS "Alder 66,tilt,,deg,-0.5,0.5,-1.5,1.5,no,leaf 4\n"
                                       "Alder 66,pull,,deg,-9,-1,,,no,\n"},
                 {"readings.csv", READINGS "A,tilt,,,,,0.7,deg,,\nA,pull,,,,,-3,deg,,\n"}),
           "A");
    TOLD(&d, " -0.5 to 0.5 -1.5 to 1.5 ");
    TOLD(&d, " -9 to -1 ");
    close_desk(&d);
}

/* ---- instruments ---- */

/* G is past its day; both gauges are set with the same ring, which stands once. */
static void instruments_are_told_once(void **state)
{
    (void)state;
    static const te_shop_file changes[] = {
        {"instruments.csv", INSTRUMENTS "G,mm,0.001,0.002,R,2025-01-10,2026-01-10\n"
                                        "H,mm,0.001,0.002,R,,2026-03-02\nR,mm,,0.001,,,\n"},
        {"readings.csv", READINGS "A,bore,,,10,thrust,66.03,,G,\nA,bore,,,10,pin,66.03,,H,\n"
                                  "A,bore,,,40,pin,66.03,,G,\nA,bore,,,40,thrust,66.02,,,\n"},
        {NULL, NULL},
    };
    desk d;
    report(&d, changes, "A");
    TOLD(&d, "\nG 0.001 0.002 R 2025-01-10 2026-01-10, PAST DUE at the inspection\n"
             "R 0.001\nH 0.001 0.002 R 2026-03-02\n\n");
    close_desk(&d);
}

/* ---- readings and points ---- */

/* One place read in four rows: two of a file, one of another file, and again of the first. */
static void repeats_are_told_by_their_lines(void **state)
{
    (void)state;
    static const te_shop_file changes[] = {
        {"readings.csv", "inspection,feature,position,reading,reading_2,instrument\n"
                         "A,bore,10,66.030,66.031,G\nA,bore,40,66.01,,G\nA,bore,10,66.032,,G\n"},
        {"readings/more.csv", "inspection,feature,position,reading,instrument\nA,bore,10,66.033,"
                              "G\nA,bore,10,66.034,G\n"},
        {NULL, NULL},
    };
    desk d;
    report(&d, changes, "A");
    TOLD(&d, "\nreadings.csv:2, 4, readings/more.csv:2, 3 bore at 10 mm ");
    TOLD(&d, " 66.03; 66.031; 66.032; 66.033; 66.034 ");
    close_desk(&d);
}

/* Why a point is not in a rate: run in, fewer places than the other; and a difference's readings with
 * their signs. */
static void points_say_why_they_are_left_out(void **state)
{
    (void)state;
    static const te_shop_file changes[] = {
        {"models.csv", "model,run_in_hours\nAlder 66,20\n"},
        {"limits.csv", LIMITS "Alder 66,bore,,mm,66.00,66.02,,66.10,no,leaf 4\n"
                              "Alder 66,taper,,mm,,0.01,,0.05,no,leaf 4\n"},
        {"plan.csv", "model,feature,position,direction\nAlder 66,bore,10,thrust\n"
                     "Alder 66,bore,40,thrust\n"},
        {"inspections.csv", VISITS "A,PS-71,2026-03-02,10,,20\nB,PS-71,2026-04-02,100,,20\n"
                                   "C,PS-71,2026-05-02,200,,20\nD,PS-71,2026-06-02,300,,20\n"},
        {"readings.csv", READINGS "A,bore,,,10,thrust,66.021,,G,\nA,bore,,,40,thrust,66.020,,G,\n"
                                  "B,bore,,,10,thrust,66.030,,G,\n"
                                  "C,bore,,,10,thrust,66.040,,G,\nC,bore,,,40,thrust,66.030,,G,\n"
                                  "D,bore,,,10,thrust,66.050,,G,\nD,bore,,,40,thrust,66.035,,G,\n"},
        {NULL, NULL},
    };
    desk d;
    report(&d, changes, "D");
    TOLD(&d, " no: run-in A readings.csv:2\n");
    TOLD(&d, " no: places missing B readings.csv:4\n");
    TOLD(&d, " yes D readings.csv:7 - readings.csv:8\n");
    close_desk(&d);
}

/* ---- when it is due ---- */

static void no_hours_are_counted(void **state)
{
    (void)state;
    desk d;
    report(
        &d,
        FILES({"inspections.csv", VISITS "Z,PS-71,2026-01-02,0,,20\nA,PS-71,2026-03-02,0,,20\n"}),
        "A");
    TOLD(&d, "\n- When it is due next CANNOT BE TOLD: no hours are counted, every inspection is at "
             "0 h\n");
    close_desk(&d);
}

/* No as-new limit, one inspection, no interval. */
static void no_rate_yet(void **state)
{
    (void)state;
    desk d;
    report(&d, FILES({"limits.csv", LIMITS "Alder 66,bore,,mm,,,,66.10,no,leaf 4\n"}), "A");
    TOLD(&d, "\n- When it is due next CANNOT BE TOLD: no rate leads to a limit yet, and models.csv "
             "has no interval\n");
    close_desk(&d);
}

/* The cylinder was on another engine before, which an error touches. */
static void errors_touch_its_history(void **state)
{
    (void)state;
    static const te_shop_file changes[] = {
        {"engines.csv", "engine,model\nPS-71,Alder 66\nPS-72,Alder 66\n"},
        {"parts.csv", "part,kind,engine,fitted_hours,removed_hours\n"
                      "C1,cylinder,PS-72,0,50\nC1,cylinder,PS-71,20,\n"},
        {NULL, NULL},
    };
    te_problem error = {.severity = TE_ERROR, .scope = TE_SCOPE_ENGINE, .what = "unreadable"};
    te_problems problems;
    desk d;
    te_problems_init(&problems);
    open_desk(&d, changes, "A");
    error.scope_id = te_shop_find_text(d.made.shop, "PS-72");
    te_problems_add(&problems, &error);
    assert_int_equal(te_history_make(&d.history, d.made.shop, &problems, 0), TE_OK);
    te_due_make(&d.due, &d.history, &d.options.base, d.made.shop);
    (void)make_report(&d);
    TOLD(&d, "\n- When it is due next CANNOT BE TOLD: errors in the files touch the history of its "
             "parts\n");
    te_problems_free(&problems);
    close_desk(&d);
}

/* A cylinder fitted after the last inspection, of which nothing is known yet. */
static void a_part_fitted_since(void **state)
{
    (void)state;
    static const te_shop_file changes[] = {
        {"models.csv", "model,inspect_every_hours\nAlder 66,50\n"},
        {"inspections.csv", VISITS "A,PS-71,2026-03-02,100,found,20\n"},
        {"limits.csv", LIMITS "Alder 66,bore,,mm,66.00,66.02,,66.10,yes,leaf 4\n"},
        {"parts.csv", "part,kind,engine,fitted_hours,removed_hours\n"
                      "C1,cylinder,PS-71,0,100\nC2,cylinder,PS-71,100,\n"},
        {NULL, NULL},
    };
    desk d;
    report(&d, changes, "A");
    TOLD(&d, "\n- A part was fitted since: the verdict is on those before\n");
    TOLD(&d, "\n- 1 part now on the engine was never measured\n");
    close_desk(&d);
}

/* Sizes that pass say nothing of a piston that was rejected before and never came off. */
static void a_part_condemned_before(void **state)
{
    (void)state;
    static const te_shop_file changes[] = {
        {"inspections.csv", VISITS "A,PS-71,2026-03-02,100,,20\nB,PS-71,2026-04-02,140,,20\n"},
        {"parts.csv", "part,kind,engine,fitted_hours\nK1,piston,PS-71,0\n"},
        {"readings.csv", READINGS "A,bore,,,10,thrust,66.03,,G,\nB,bore,,,10,thrust,66.04,,G,\n"},
        {"condition.csv", "inspection,part,finding,severity\nA,piston,cracked skirt,reject\n"},
        {NULL, NULL},
    };
    desk d;
    report(&d, changes, "B");
    TOLD(&d, "\n- reject: cracked skirt (piston K1; seen at A, and by parts.csv still on)\n");
    TOLD(&d, "| Do not reuse ");
    TOLD(&d, "\n- Replace: piston K1\n");
    UNTOLD(&d, "may go back in");
    close_desk(&d);
}

/* The meter stands past what the last rate leaves: the hours are told, and that they are run out. */
static void hours_that_are_run_out(void **state)
{
    (void)state;
    static const te_shop_file changes[] = {
        {"inspections.csv", VISITS "A,PS-71,2026-03-02,100,,20\nB,PS-71,2026-04-02,900,,20\n"},
        {"readings.csv", READINGS "A,bore,,,10,thrust,66.09,,G,\nB,knock,,,,,7,Hz,,\n"},
        {NULL, NULL},
    };
    desk d;
    report(&d, changes, "B");
    TOLD(&d, "\n- Due already at ");
    UNTOLD(&d, "Inspect again not later");
    UNTOLD(&d, "h from here)");
    UNTOLD(&d, "Due now: still on");
    close_desk(&d);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_is_not_given_is_left_out),
        cmocka_unit_test(an_inspection_without_readings),
        cmocka_unit_test(only_warnings_are_told_as_such),
        cmocka_unit_test(what_is_of_no_part),
        cmocka_unit_test(hours_before_a_gap_are_unknown),
        cmocka_unit_test(a_value_without_a_limit),
        cmocka_unit_test(limits_below_0),
        cmocka_unit_test(instruments_are_told_once),
        cmocka_unit_test(repeats_are_told_by_their_lines),
        cmocka_unit_test(points_say_why_they_are_left_out),
        cmocka_unit_test(no_hours_are_counted),
        cmocka_unit_test(no_rate_yet),
        cmocka_unit_test(errors_touch_its_history),
        cmocka_unit_test(a_part_fitted_since),
        cmocka_unit_test(a_part_condemned_before),
        cmocka_unit_test(hours_that_are_run_out),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
