/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The command line: a table of commands, one table of options. */
#ifndef TOPEND_CLI_CLI_H
#define TOPEND_CLI_CLI_H

#include <signal.h>
#include <stdbool.h>
#include <stddef.h>

#include "topend/pdf.h"
#include "topend/write_wear.h"

/* What the program says by its exit. */
enum exit_code {
    EXIT_GOOD = 0,     /* everything judged may be reused; or done */
    EXIT_NOT_GOOD = 1, /* something may not, or cannot be told */
    EXIT_FAILED = 2    /* the work could not be done */
};

enum format { FORMAT_TEXT, FORMAT_CSV, FORMAT_JSON };
enum sheet_format { SHEET_CSV, SHEET_HTML, SHEET_PDF };

/* The command line, parsed. Texts are borrowed from argv. */
struct options {
    const char *folder;
    const char *const *names; /* what follows the folder */
    size_t name_count;
    enum format format;
    enum sheet_format sheet_format;
    const char *engine;
    const char *explain;
    const char *quantity;
    const char *output;     /* -o */
    const char *inspection; /* a name for a new one */
    te_pdf_paper paper;
    double hours;     /* NAN: however long */
    double hone;      /* mm */
    unsigned threads; /* 0: as many as there are processors */
    bool all, keep_going, verdicts, findings, no_header, help;
};

/* Options that a command takes, as bits. */
enum option_bit {
    OPTION_FORMAT = 1,
    OPTION_ENGINE = 2,
    OPTION_ALL = 4,
    OPTION_EXPLAIN = 8,
    OPTION_VERDICTS = 16,
    OPTION_KEEP_GOING = 32,
    OPTION_QUANTITY = 64,
    OPTION_OUTPUT = 128,
    OPTION_PAPER = 256,
    OPTION_SHEET_FORMAT = 512, /* --format of a sheet: csv, html or pdf */
    OPTION_INSPECTION = 1024,
    OPTION_ALL_ENGINES = 2048, /* --all of a report: every engine */
    OPTION_HOURS = 4096,
    OPTION_HONE = 8192,
    OPTION_FINDINGS = 16384,
    OPTION_NO_HEADER = 32768,
    OPTION_THREADS = 65536
};

struct command {
    const char *name;
    int (*run)(const struct options *options);
    const char *operands;
    const char *summary;
    unsigned options;
    size_t names_most;  /* how many names may follow the folder */
    bool engine_needed; /* it does not work without --engine */
};

int cmd_init(const struct options *options);
int cmd_check(const struct options *options);
int cmd_assess(const struct options *options);
int cmd_trend(const struct options *options);
int cmd_compare(const struct options *options);
int cmd_due(const struct options *options);
int cmd_report(const struct options *options);
int cmd_sheet(const struct options *options);
int cmd_options(const struct options *options);

/* Parses what follows the command's name. False after a message: the exit is EXIT_FAILED.
 * Operands are moved to the front of argv. */
bool parse_options(struct options *options, const struct command *command, int argc, char **argv);

/* The help of a command, on standard output. */
void print_command_help(const struct command *command);

/* A message on standard error, `topend: ...`; text from outside is made safe to show by the
 * caller's use of show(). Returns EXIT_FAILED. */
#if defined(__GNUC__)
__attribute__((format(printf, 1, 2)))
#endif
int fail(const char *format, ...);

/* A text from outside in a form that is safe to show; `out` holds it. */
#define SHOWN_SIZE 160
const char *show(char out[SHOWN_SIZE], const char *text);

/* ---- output.c ---- */

/* How text is laid out on this standard output. */
te_text_style output_style(void);

bool output_is_terminal(void);

/* Keeps the signals that end a program waiting, for this thread and those that it starts; what to give back. */
sigset_t output_hold_signals(void);
void output_release_signals(const sigset_t *before);

/* Writes a buffer of whole rows to standard output and empties it. False after a message, or when standard
 * output has its error set, which main tells. */
bool output_flush(te_buffer *buffer);

/* Prints the problems to standard error; false when memory ran out. */
bool output_problems(const te_problems *problems);

/* Opens a shop. The problems are left to the caller to print. `watch` looks on, unless it is NULL.
 * False after a message. */
bool open_shop(te_shop **shop, te_problems *problems, const char *folder, unsigned files,
               const te_watch *watch, unsigned threads);

/* ---- session.c: what the commands that read a shop and print results share ---- */

struct session {
    const struct options *options;
    te_shop *shop;
    const te_tables *tables;
    te_problems problems;
    te_buffer buffer; /* for standard output */
    te_buffer extra;  /* what comes after all of it */
    te_buffer said;   /* messages, where they are gathered */
    bool gathers;     /* messages are not printed: it is the session of a batch */
    te_text_style style;
    bool *told;     /* by engine: it is asked for; the others' warnings are left to `check` */
    size_t written; /* entries */
    bool not_good;  /* something may not be reused, or cannot be told */
    bool skipped;   /* an engine was not done, after a message */
};

/* A session to do a part of another's work in, with buffers of its own; ended with session_end_batch. */
struct session session_of_batch(const struct session *session);
void session_end_batch(struct session *batch);

/* A message as by fail(); that of a batch is gathered until the batch comes out. */
#if defined(__GNUC__)
__attribute__((format(printf, 2, 3)))
#endif
void session_say(struct session *session, const char *format, ...);

/* Opens the shop that the options name; all engines are told. False after a message. */
bool session_open(struct session *session, const struct options *options, unsigned files);
bool session_open_watched(struct session *session, const struct options *options, unsigned files,
                          const te_watch *watch);
void session_close(struct session *session);

/* False when errors stand in the way of any result. */
bool session_is_sound(const struct session *session);

/* The engine that --engine names; TE_NO_INDEX without one. False after a message. */
bool session_engine(uint32_t *engine, const struct session *session);

/* The inspection that is named, else the last of --engine; `ways` are the options that name one.
 * False after a message. */
bool session_inspection(uint32_t *inspection, const struct session *session, const char *ways);

/* A message that an engine has no inspection. */
void session_tell_uninspected(const struct session *session, uint32_t engine);

/* True for TE_OK; else a message on what was to be done with an inspection. */
bool session_done(const struct session *session, uint32_t inspection, te_status status);

/* A quantity of the shop by its name; TE_Q_NONE for NULL. False after a message. */
bool session_quantity(te_quantity *quantity, const struct session *session, const char *name);

/* Tells only those engines; warnings that touch others alone are dropped. */
void session_tell_none(struct session *session);
void session_tell(struct session *session, uint32_t engine);
bool session_problems(struct session *session);

/* The warnings that bear on what is told, copied; free with te_problems_free. False after a message. */
bool session_told_warnings(te_problems *told, const struct session *session);

/* Writes the header row of a CSV, unless it is to be left out. */
void session_header(struct session *session, void (*write)(te_buffer *buffer));

/* Writes to a text that there were warnings, for a result may rest on a slip; and which engines errors leave out. */
void session_warnings(struct session *session);

/* Tells an engine and those on which a part of it ever was: its history rests on them. */
void session_tell_history(struct session *session, uint32_t engine);

/* True after a message when errors touch an engine, so that it is not done. */
bool session_skips(struct session *session, uint32_t engine);

/* Writes out what has gathered, once it is much. False as output_flush. */
bool session_flush_some(struct session *session);

/* te_history_make, or another one of its kind. */
typedef te_status history_maker(te_history *history, const te_shop *shop,
                                const te_problems *problems, uint32_t engine);

/* Makes the history of an engine; false after a message. One that is too long is skipped: it then
 * has no series and a part left out. */
bool session_history(te_history *history, struct session *session, uint32_t engine,
                     history_maker *make);

/* A message when errors on other engines leave out parts of a history. */
void session_tell_left_out(struct session *session, const te_history *history);

/* The exit of a command that is done, when nothing else speaks against it. */
int session_exit(const struct session *session, bool good);

#endif
