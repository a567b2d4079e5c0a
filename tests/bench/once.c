/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Runs a command once and measures it.
 *
 *   once ERRORS COMMAND [ARGUMENT...]
 *
 * Prints the exit code (or `signal` and its number), a tab, the seconds by the clock, a tab, and the
 * most memory that it held, in MB of 1,000,000 bytes. What the command prints goes nowhere, what it
 * says on standard error into the file ERRORS. Exit 2: the command could not be run.
 */
#include <fcntl.h>
#include <spawn.h>
#include <stdbool.h>
#include <stdio.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

extern char **environ;

static bool start(pid_t *child, const char *errors, char **command)
{
    posix_spawn_file_actions_t actions;
    if (posix_spawn_file_actions_init(&actions) != 0) {
        return false;
    }
    bool made = posix_spawn_file_actions_addopen(&actions, STDOUT_FILENO, "/dev/null", O_WRONLY,
                                                 0) == 0 &&
                posix_spawn_file_actions_addopen(&actions, STDERR_FILENO, errors,
                                                 O_WRONLY | O_CREAT | O_TRUNC, 0666) == 0 &&
                posix_spawnp(child, command[0], &actions, NULL, command, environ) == 0;
    (void)posix_spawn_file_actions_destroy(&actions);
    return made;
}

int main(int argc, char **argv)
{
    struct timespec begun;
    struct timespec ended;
    struct rusage usage;
    pid_t child = 0;
    int status = 0;
    if (argc < 3) {
        (void)fputs("usage: once ERRORS COMMAND [ARGUMENT...]\n", stderr);
        return 2;
    }
    (void)clock_gettime(CLOCK_MONOTONIC, &begun);
    if (!start(&child, argv[1], argv + 2) || waitpid(child, &status, 0) != child) {
        (void)fputs("once: the command could not be run\n", stderr);
        return 2;
    }
    (void)clock_gettime(CLOCK_MONOTONIC, &ended);
    (void)getrusage(RUSAGE_CHILDREN, &usage); /* of one child: its own; Linux counts in KiB */
    double seconds = (double)(ended.tv_sec - begun.tv_sec) +
                     (double)(ended.tv_nsec - begun.tv_nsec) * 1e-9;
    if (WIFSIGNALED(status)) {
        printf("signal %d", WTERMSIG(status));
    } else {
        printf("%d", WEXITSTATUS(status));
    }
    printf("\t%.2f\t%.0f\n", seconds, (double)usage.ru_maxrss * 1024 / 1e6);
    return 0;
}
