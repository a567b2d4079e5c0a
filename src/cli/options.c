/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <getopt.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

#include "cli.h"

/* The one table that parses and that prints the help. */
static const struct {
    const char *name;
    const char *argument; /* NULL: a switch */
    const char *help;
    unsigned bit; /* 0: every command */
} rows[] = {
    {"format", "FORMAT", "text (default), csv or json", OPTION_FORMAT},
    {"engine", "ENGINE", "this engine alone", OPTION_ENGINE},
    {"all", NULL, "every inspection, not only the last of each engine", OPTION_ALL},
    {"explain", "QUANTITY", "every reading, correction and component of uncertainty",
     OPTION_EXPLAIN},
    {"quantity", "QUANTITY", "only this quantity", OPTION_QUANTITY},
    {"verdicts", NULL, "with --format csv: one row a verdict, not a finding", OPTION_VERDICTS},
    {"keep-going", NULL, "do the engines that the errors do not touch", OPTION_KEEP_GOING},
    {"help", NULL, "show this help", 0},
};
enum { ROWS = sizeof rows / sizeof *rows };

int fail(const char *format, ...)
{
    va_list arguments;
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

static bool take_format(struct options *options, const char *text)
{
    static const char *const words[] = {"text", "csv", "json"};
    char shown[SHOWN_SIZE];
    for (int i = 0; i < 3; i++) {
        if (strcmp(text, words[i]) == 0) {
            options->format = (enum format)i;
            return true;
        }
    }
    (void)fail("\"%s\" is not a format; write text, csv or json", show(shown, text));
    return false;
}

static bool take_option(struct options *options, const struct command *command, size_t row)
{
    if (rows[row].bit != 0 && (command->options & rows[row].bit) == 0) {
        (void)fail("%s does not take --%s", command->name, rows[row].name);
        return false;
    }
    switch (rows[row].bit) {
    case OPTION_FORMAT: return take_format(options, optarg);
    case OPTION_ENGINE: options->engine = optarg; break;
    case OPTION_ALL: options->all = true; break;
    case OPTION_EXPLAIN: options->explain = optarg; break;
    case OPTION_QUANTITY: options->quantity = optarg; break;
    case OPTION_VERDICTS: options->verdicts = true; break;
    case OPTION_KEEP_GOING: options->keep_going = true; break;
    default: options->help = true; break;
    }
    return true;
}

static bool check_combination(const struct options *options)
{
    if (options->name_count > 0 && (options->all || options->engine != NULL)) {
        (void)fail("name inspections, or use --all or --engine, not both");
    } else if (options->verdicts && options->format != FORMAT_CSV) {
        (void)fail("--verdicts goes with --format csv");
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
    return check_combination(options);
}

/* The word that getopt_long does not know. It stays on a word of several short options, and what
 * stands before it since `at` are operands. */
static const char *bad_word(char **argv, int at)
{
    int last = optind > at ? optind - 1 : at;
    return argv[last][0] == '-' ? argv[last] : argv[last + 1];
}

bool parse_options(struct options *options, const struct command *command, int argc, char **argv)
{
    struct option longs[ROWS + 1] = {{0}};
    int row = 0;
    char shown[SHOWN_SIZE];
    for (int i = 0; i < ROWS; i++) {
        longs[i] = (struct option){.name = rows[i].name,
                                   .has_arg = rows[i].argument != NULL ? required_argument
                                                                       : no_argument};
    }
    opterr = 0; /* the messages are ours, safe to show */
    for (;;) {
        int at = optind;
        int found = getopt_long(argc, argv, ":h", longs, &row);
        if (found == -1) {
            break;
        }
        if (found == 'h') {
            options->help = true;
        } else if (found == ':') {
            (void)fail("\"%s\" needs a value", show(shown, argv[optind - 1]));
            return false;
        } else if (found == '?') {
            const char *word = bad_word(argv, at);
            (void)fail("there is no option \"%s\"; see topend %s --help", show(shown, word),
                       command->name);
            return false;
        } else if (!take_option(options, command, (size_t)row)) {
            return false;
        }
    }
    return options->help || take_operands(options, command, argc, argv);
}
