/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Times two commands against each other, one run of each in turn, so that what else the machine does
 * meets both alike.
 *
 *   pair [--exit CODE] ROUNDS COMMAND [ARGUMENT...] -- COMMAND [ARGUMENT...]
 *
 * Prints the ratio of the first to the second, by minimum, median and maximum of the rounds, and the
 * median times in milliseconds. What the commands print goes nowhere. Exit 2: a command could not be
 * run, ended by a signal, or with more than 1 (the first one: with more than CODE).
 */
#include <fcntl.h>
#include <spawn.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

extern char **environ;

/* Milliseconds that a command takes, from its start to its end; below 0: it did not run. */
static double run(char **command, int most)
{
    struct timespec start;
    struct timespec end;
    posix_spawn_file_actions_t actions;
    pid_t child = 0;
    int status = 0;
    if (posix_spawn_file_actions_init(&actions) != 0 ||
        posix_spawn_file_actions_addopen(&actions, STDOUT_FILENO, "/dev/null", O_WRONLY, 0) != 0 ||
        posix_spawn_file_actions_addopen(&actions, STDERR_FILENO, "/dev/null", O_WRONLY, 0) != 0) {
        return -1.0;
    }
    (void)clock_gettime(CLOCK_MONOTONIC, &start);
    int failed = posix_spawnp(&child, command[0], &actions, NULL, command, environ);
    (void)posix_spawn_file_actions_destroy(&actions);
    if (failed != 0 || waitpid(child, &status, 0) != child || !WIFEXITED(status) ||
        WEXITSTATUS(status) > most) {
        return -1.0;
    }
    (void)clock_gettime(CLOCK_MONOTONIC, &end);
    return (double)(end.tv_sec - start.tv_sec) * 1e3 + (double)(end.tv_nsec - start.tv_nsec) * 1e-6;
}

static int by_value(const void *left, const void *right)
{
    const double *a = left;
    const double *b = right;
    return (*a > *b) - (*a < *b);
}

static double median(double *values, size_t count)
{
    qsort(values, count, sizeof *values, by_value);
    return count % 2 == 1 ? values[count / 2] : (values[count / 2 - 1] + values[count / 2]) / 2.0;
}

int main(int argc, char **argv)
{
    long most = 1; /* exit 1 is an answer of topend; above it the work was not done */
    if (argc > 3 && strcmp(argv[1], "--exit") == 0) {
        most = strtol(argv[2], NULL, 10);
        argc -= 2;
        argv += 2;
    }
    long rounds = argc > 1 ? strtol(argv[1], NULL, 10) : 0;
    int cut = 2;
    while (cut < argc && strcmp(argv[cut], "--") != 0) {
        cut++;
    }
    if (rounds < 1 || rounds > 100000 || cut == 2 || cut + 1 >= argc) {
        (void)fputs(
            "usage: pair [--exit CODE] ROUNDS COMMAND [ARGUMENT...] -- COMMAND [ARGUMENT...]\n",
            stderr);
        return 2;
    }
    argv[cut] = NULL;
    size_t count = (size_t)rounds;
    double *times = calloc(3 * count, sizeof *times);
    if (times == NULL) {
        return 2;
    }
    double *first = times;
    double *second = times + count;
    double *ratios = times + 2 * count;
    for (size_t i = 0; i < count; i++) {
        first[i] = run(argv + 2, (int)most);
        second[i] = run(argv + cut + 1, 1);
        if (first[i] < 0.0 || second[i] < 0.0) {
            (void)fputs("pair: a command could not be run\n", stderr);
            free(times);
            return 2;
        }
        ratios[i] = first[i] / second[i];
    }
    double middle = median(ratios, count);
    printf("ratio %.2f (%.2f to %.2f), %.2f ms against %.2f ms, %zu rounds\n", middle, ratios[0],
           ratios[count - 1], median(first, count), median(second, count), count);
    free(times);
    return 0;
}
