/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <getopt.h>
#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

#include "progress.h"
#include "topend/rebuild.h"

/* The one table that parses and that prints the help. */
static const struct {
    const char *name;
    const char *argument; /* NULL: a switch */
    const char *help;
    unsigned bit; /* 0: every command */
} rows[] = {
    {"format", "FORMAT", "text (default), csv or json", OPTION_FORMAT},
    {"format", "FORMAT", "csv (default), html or pdf", OPTION_SHEET_FORMAT},
    {"output", "FILE", "where to write to; -o for short", OPTION_OUTPUT},
    {"inspection", "NAME", "the name of the inspection to come", OPTION_INSPECTION},
    {"paper", "SIZE", "a4 (default) or letter, for PDF", OPTION_PAPER},
    {"engine", "ENGINE", "this engine alone", OPTION_ENGINE},
    {"all", NULL, "every inspection, not only the last of each engine", OPTION_ALL},
    {"all", NULL, "every engine, and a page that lists them; -o is a folder", OPTION_ALL_ENGINES},
    {"explain", "QUANTITY", "every reading, correction and component of uncertainty",
     OPTION_EXPLAIN},
    {"quantity", "QUANTITY", "only this quantity", OPTION_QUANTITY},
    {"hours", "HOURS", "only what is known to last so long", OPTION_HOURS},
    {"hone", "MM", "what honing takes off a bored cylinder; default 0.02", OPTION_HONE},
    {"findings", NULL, "with --format csv: one row a predicted finding", OPTION_FINDINGS},
    {"verdicts", NULL, "with --format csv: one row a verdict, not a finding", OPTION_VERDICTS},
    {"no-header", NULL, "with --format csv: no header row, so that outputs join", OPTION_NO_HEADER},
    {"threads", "N", "at most so many at once; as many as there are processors", OPTION_THREADS},
    {"keep-going", NULL, "do the engines that the errors do not touch", OPTION_KEEP_GOING},
    {"help", NULL, "show this help", 0},
};
enum { ROWS = sizeof rows / sizeof *rows };

int fail(const char *format, ...)
{
    va_list arguments;
    progress_end();
    va_start(arguments, format);
    (void)fputs("topend: ", stderr);
    (void)vfprintf(stderr, format, arguments);
    (void)fputc('\n', stderr);
    va_end(arguments);
    return EXIT_FAILED;
}

const char *show(char out[SHOWN_SIZE], const char *text)
{
    (void)te_text_safe(out, SHOWN_SIZE, (te_slice){text, strlen(text)});
    return out;
}

void print_command_help(const struct command *command)
{
    printf("Usage: topend %s %s%s\n", command->name, command->operands,
           command->options != 0 ? " [OPTIONS]" : "");
    printf("%c%s.\n\nOptions:\n", command->summary[0] - ('a' - 'A'), command->summary + 1);
    for (size_t i = 0; i < ROWS; i++) {
        if (rows[i].bit == 0 || (command->options & rows[i].bit) != 0) {
            char left[40];
            (void)snprintf(left, sizeof left, "--%s%s%s", rows[i].name,
                           rows[i].argument != NULL ? " " : "",
                           rows[i].argument != NULL ? rows[i].argument : "");
            printf("  %-20s %s\n", left, rows[i].help);
        }
    }
}

/* Which of three words a text is; false after a message. */
static bool take_word(unsigned *which, const char *text, const char *const words[3],
                      const char *listed)
{
    char shown[SHOWN_SIZE];
    for (unsigned i = 0; i < 3; i++) {
        if (strcmp(text, words[i]) == 0) {
            *which = i;
            return true;
        }
    }
    (void)fail("\"%s\" is not a format; write %s", show(shown, text), listed);
    return false;
}

static bool take_format(struct options *options, const char *text)
{
    static const char *const words[] = {"text", "csv", "json"};
    unsigned which = 0;
    bool good = take_word(&which, text, words, "text, csv or json");
    options->format = (enum format)which;
    return good;
}

static bool take_sheet_format(struct options *options, const char *text)
{
    static const char *const words[] = {"csv", "html", "pdf"};
    unsigned which = 0;
    bool good = take_word(&which, text, words, "csv, html or pdf");
    options->sheet_format = (enum sheet_format)which;
    return good;
}

static bool take_paper(struct options *options, const char *text)
{
    char shown[SHOWN_SIZE];
    bool letter = strcmp(text, "letter") == 0;
    if (!letter && strcmp(text, "a4") != 0) {
        (void)fail("\"%s\" is not a size of paper; write a4 or letter", show(shown, text));
        return false;
    }
    options->paper = letter ? TE_PDF_LETTER : TE_PDF_A4;
    return true;
}

/* A number not below 0, with a point or a comma; false after a message. */
static bool take_number(double *value, const char *name)
{
    te_number number;
    char shown[SHOWN_SIZE];
    if (te_number_parse(&number, (te_slice){optarg, strlen(optarg)}) != TE_NUMBER_GOOD ||
        number.value < 0.0) {
        (void)fail("\"%s\" is not a number for --%s: write digits, not below 0",
                   show(shown, optarg), name);
        return false;
    }
    *value = number.value;
    return true;
}

/* A whole number of threads; false after a message. */
static bool take_threads(struct options *options)
{
    const double most = 64.0;
    te_number number;
    char shown[SHOWN_SIZE];
    if (te_number_parse(&number, (te_slice){optarg, strlen(optarg)}) != TE_NUMBER_GOOD ||
        !(number.value >= 1.0 && number.value <= most) || number.value != floor(number.value)) {
        (void)fail("\"%s\" is not a number of threads: write 1 to 64", show(shown, optarg));
        return false;
    }
    options->threads = (unsigned)number.value;
    return true;
}

static bool take_option(struct options *options, const struct command *command, size_t row)
{
    if (rows[row].bit != 0 && (command->options & rows[row].bit) == 0) {
        (void)fail("%s does not take --%s", command->name, rows[row].name);
        return false;
    }
    switch (rows[row].bit) {
    case OPTION_FORMAT: return take_format(options, optarg);
    case OPTION_SHEET_FORMAT: return take_sheet_format(options, optarg);
    case OPTION_OUTPUT: options->output = optarg; break;
    case OPTION_INSPECTION: options->inspection = optarg; break;
    case OPTION_PAPER: return take_paper(options, optarg);
    case OPTION_ENGINE: options->engine = optarg; break;
    case OPTION_ALL:
    case OPTION_ALL_ENGINES: options->all = true; break;
    case OPTION_EXPLAIN: options->explain = optarg; break;
    case OPTION_QUANTITY: options->quantity = optarg; break;
    case OPTION_HOURS: return take_number(&options->hours, rows[row].name);
    case OPTION_HONE: return take_number(&options->hone, rows[row].name);
    case OPTION_FINDINGS: options->findings = true; break;
    case OPTION_VERDICTS: options->verdicts = true; break;
    case OPTION_NO_HEADER: options->no_header = true; break;
    case OPTION_THREADS: return take_threads(options);
    case OPTION_KEEP_GOING: options->keep_going = true; break;
    default: options->help = true; break;
    }
    return true;
}

static bool check_combination(const struct options *options, const struct command *command)
{
    bool all_engines = options->all && (command->options & OPTION_ALL_ENGINES) != 0;
    if (all_engines && options->engine != NULL) {
        (void)fail("%s takes --engine or --all, not both", command->name);
    } else if (options->name_count > 0 && (options->all || options->engine != NULL)) {
        (void)fail("name inspections, or use --all or --engine, not both");
    } else if (options->verdicts && options->format != FORMAT_CSV) {
        (void)fail("--verdicts goes with --format csv");
    } else if (options->findings && options->format != FORMAT_CSV) {
        (void)fail("--findings goes with --format csv");
    } else if (options->no_header && options->format != FORMAT_CSV) {
        (void)fail("--no-header goes with --format csv");
    } else if (options->explain != NULL && options->format != FORMAT_TEXT) {
        (void)fail("--explain goes with --format text");
    } else {
        return true;
    }
    return false;
}

static bool take_operands(struct options *options, const struct command *command, int argc,
                          char **argv)
{
    char shown[SHOWN_SIZE];
    if (optind >= argc) {
        (void)fail("%s needs a folder; see topend %s --help", command->name, command->name);
        return false;
    }
    options->folder = argv[optind];
    options->names = (const char *const *)argv + optind + 1;
    options->name_count = (size_t)(argc - optind - 1);
    if (options->name_count > command->names_most) {
        bool engine = (command->options & OPTION_ENGINE) != 0;
        (void)fail("%s does not take \"%s\"%s", command->name,
                   show(shown, options->names[command->names_most]),
                   engine ? "; an engine is named with --engine" : "");
        return false;
    }
    if (command->engine_needed && options->engine == NULL) {
        (void)fail("%s needs --engine ENGINE", command->name);
        return false;
    }
    return check_combination(options, command);
}

/* The word that getopt_long does not know. It stays on a word of several short options, and what
 * stands before it since `at` are operands. */
static const char *bad_word(char **argv, int at)
{
    int last = optind > at ? optind - 1 : at;
    return argv[last][0] == '-' ? argv[last] : argv[last + 1];
}

/* True when a row is the command's, or none of that name is: then it is told that the command does
 * not take it. */
static bool is_offered(const struct command *command, int row)
{
    if (rows[row].bit == 0 || (command->options & rows[row].bit) != 0) {
        return true;
    }
    for (int i = 0; i < ROWS; i++) {
        bool other = i != row && strcmp(rows[i].name, rows[row].name) == 0;
        if (other && ((command->options & rows[i].bit) != 0 || i < row)) {
            return false;
        }
    }
    return true;
}

/* The rows for getopt_long; its answer for one of them is the row's number, behind all characters. */
enum { FIRST_LONG = 256 };

static void list_options(struct option longs[ROWS + 1], const struct command *command)
{
    size_t count = 0;
    for (int i = 0; i < ROWS; i++) {
        if (is_offered(command, i)) {
            int argument = rows[i].argument != NULL ? required_argument : no_argument;
            longs[count++] = (struct option){
                .name = rows[i].name, .has_arg = argument, .val = FIRST_LONG + i};
        }
    }
}

static size_t row_of(unsigned bit)
{
    size_t row = 0;
    while (rows[row].bit != bit) {
        row++;
    }
    return row;
}

bool parse_options(struct options *options, const struct command *command, int argc, char **argv)
{
    struct option longs[ROWS + 1] = {{0}};
    char shown[SHOWN_SIZE];
    list_options(longs, command);
    options->hours = NAN;
    options->hone = TE_HONE;
    opterr = 0; /* the messages are ours, safe to show */
    for (;;) {
        int at = optind;
        int found = getopt_long(argc, argv, ":ho:", longs, NULL);
        if (found == -1) {
            break;
        }
        if (found == ':') {
            (void)fail("\"%s\" needs a value", show(shown, argv[optind - 1]));
            return false;
        }
        if (found == '?') {
            const char *word = bad_word(argv, at);
            (void)fail("there is no option \"%s\"; see topend %s --help", show(shown, word),
                       command->name);
            return false;
        }
        size_t row = found == 'h'   ? row_of(0)
                     : found == 'o' ? row_of(OPTION_OUTPUT)
                                    : (size_t)(found - FIRST_LONG);
        if (!take_option(options, command, row)) {
            return false;
        }
    }
    return options->help || take_operands(options, command, argc, argv);
}
