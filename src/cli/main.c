/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <gsl/gsl_errno.h>
#include <stdio.h>
#include <string.h>

#include "cli.h"

static const struct command commands[] = {
    {"init", cmd_init, "DIR", "make a new shop folder to fill in", 0, 0, false},
    {"check", cmd_check, "SHOP", "list errors and probable slips in every file", OPTION_THREADS, 0,
     false},
    {"assess", cmd_assess, "SHOP [INSPECTION...]", "judge what was measured against the limits",
     OPTION_FORMAT | OPTION_ENGINE | OPTION_ALL | OPTION_EXPLAIN | OPTION_VERDICTS |
         OPTION_NO_HEADER | OPTION_KEEP_GOING | OPTION_THREADS,
     1000000, false},
    {"trend", cmd_trend, "SHOP", "how fast parts wear, and when limits are met",
     OPTION_FORMAT | OPTION_ENGINE | OPTION_QUANTITY | OPTION_NO_HEADER | OPTION_KEEP_GOING |
         OPTION_THREADS,
     0, false},
    {"compare", cmd_compare, "SHOP --engine ENGINE", "set the builds of an engine side by side",
     OPTION_FORMAT | OPTION_ENGINE | OPTION_NO_HEADER | OPTION_KEEP_GOING, 0, true},
    {"options", cmd_options, "SHOP [INSPECTION]", "what to replace, and how long it would last",
     OPTION_FORMAT | OPTION_ENGINE | OPTION_HOURS | OPTION_HONE | OPTION_FINDINGS |
         OPTION_NO_HEADER | OPTION_KEEP_GOING,
     1, false},
    {"sheet", cmd_sheet, "SHOP --engine ENGINE", "what to measure next, to fill in or to print",
     OPTION_SHEET_FORMAT | OPTION_OUTPUT | OPTION_ENGINE | OPTION_INSPECTION | OPTION_PAPER |
         OPTION_KEEP_GOING,
     0, true},
    {"report", cmd_report, "SHOP [INSPECTION] -o FILE", "the report to file or to hand over",
     OPTION_OUTPUT | OPTION_ENGINE | OPTION_ALL_ENGINES | OPTION_PAPER | OPTION_KEEP_GOING, 1,
     false},
    {"due", cmd_due, "SHOP", "which engine is due first, and by what",
     OPTION_FORMAT | OPTION_NO_HEADER | OPTION_KEEP_GOING | OPTION_THREADS, 0, false},
};
enum { COMMANDS = sizeof commands / sizeof *commands };

static void print_help(void)
{
    printf("Usage: topend COMMAND SHOP [INSPECTION...] [OPTIONS]\n"
           "Judges the measured top end of small two-stroke engines from a folder of CSV\n"
           "files.\n"
           "\nCommands:\n");
    for (size_t i = 0; i < COMMANDS; i++) {
        printf("  %-7s %-25s %s\n", commands[i].name, commands[i].operands, commands[i].summary);
    }
    printf("\n'topend COMMAND --help' shows a command's options, 'topend --version' the\n"
           "version.\n"
           "Exit: 0 everything judged may be reused; 1 something may not, or cannot be told;\n"
           "2 the work could not be done.\n");
}

static const struct command *find_command(const char *name)
{
    for (size_t i = 0; i < COMMANDS; i++) {
        if (strcmp(commands[i].name, name) == 0) {
            return &commands[i];
        }
    }
    return NULL;
}

static int unknown_command(const char *name)
{
    char shown[SHOWN_SIZE];
    for (size_t i = 0; i < COMMANDS; i++) {
        if (te_text_distance(name, commands[i].name) <= 2) {
            return fail("there is no command \"%s\"; did you mean %s?", show(shown, name),
                        commands[i].name);
        }
    }
    return fail("there is no command \"%s\"; see topend --help", show(shown, name));
}

static int run(int argc, char **argv)
{
    struct options options = {0};
    if (argc < 2) {
        return fail("name a command; see topend --help");
    }
    if (strcmp(argv[1], "--help") == 0 || strcmp(argv[1], "-h") == 0) {
        print_help();
        return EXIT_GOOD;
    }
    if (strcmp(argv[1], "--version") == 0) {
        printf("topend %s\n", TOPEND_VERSION);
        return EXIT_GOOD;
    }
    const struct command *command = find_command(argv[1]);
    if (command == NULL) {
        return unknown_command(argv[1]);
    }
    if (!parse_options(&options, command, argc - 1, argv + 1)) {
        return EXIT_FAILED;
    }
    if (options.help) {
        print_command_help(command);
        return EXIT_GOOD;
    }
    return command->run(&options);
}

int main(int argc, char **argv)
{
    /* The library checks domains itself; GSL's own handler would end the program. */
    gsl_set_error_handler_off();
    int code = run(argc, argv);
    /* A full disk shows only now. */
    if (fflush(stdout) != 0 || ferror(stdout) != 0) {
        code = fail("standard output cannot be written");
    }
    return code;
}
