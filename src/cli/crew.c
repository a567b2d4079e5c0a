/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "crew.h"

#include <pthread.h>
#include <stdio.h>
#include <stdlib.h>
#include <unistd.h>

#include "progress.h"

enum {
    BATCH = 16, /* items that are taken at once */
    AHEAD = 4,  /* batches a thread may be ahead of what has come out: what is held stays small */
    THREADS_MOST = 64,
    FEW = 256 /* items for which no thread is started, unless it is asked for */
};

/* A batch and what came of it. */
struct batch {
    struct session s; /* with buffers of its own; the rest is the session's */
    bool done, failed;
};

struct team {
    const struct crew *crew;
    struct session *session;
    struct batch *batches; /* a ring */
    size_t ring;
    size_t batch_count;
    bool wrote;           /* something for standard output */
    pthread_mutex_t lock; /* of what follows, and of each batch's `done` */
    pthread_cond_t changed;
    size_t taken; /* batches */
    size_t out;   /* batches that have come out */
    bool stopped;
};

static struct batch *batch_at(const struct team *team, size_t n)
{
    return &team->batches[n % team->ring];
}

static void do_batch(struct team *team, void *worker, size_t n)
{
    const struct crew *crew = team->crew;
    struct batch *batch = batch_at(team, n);
    size_t end = (n + 1) * BATCH < crew->count ? (n + 1) * BATCH : crew->count;
    for (size_t item = n * BATCH; item < end && !batch->failed; item++) {
        batch->failed = !crew->work(&batch->s, crew->shared, worker, item);
    }
}

/* Takes the next batch when there is one that may be begun. Called with the lock. */
static bool take_batch(size_t *n, struct team *team)
{
    bool may = !team->stopped && team->taken < team->batch_count &&
               team->taken < team->out + team->ring;
    if (may) {
        *n = team->taken++;
    }
    return may;
}

static bool is_over(const struct team *team)
{
    return team->stopped || team->taken == team->batch_count;
}

static void free_worker(const struct crew *crew, void *worker)
{
    if (worker != NULL) {
        crew->clear(worker);
    }
    free(worker);
}

/* Does the next batch, or waits until something has changed. Called with the lock, which it gives up meanwhile. */
static void work_or_wait(struct team *team, void *worker)
{
    size_t n = 0;
    if (!take_batch(&n, team)) {
        (void)pthread_cond_wait(&team->changed, &team->lock);
        return;
    }
    (void)pthread_mutex_unlock(&team->lock);
    do_batch(team, worker, n);
    (void)pthread_mutex_lock(&team->lock);
    batch_at(team, n)->done = true;
    (void)pthread_cond_broadcast(&team->changed);
}

/* A thread beside the first. One that finds no room leaves the work to the others. */
static void *help(void *context)
{
    struct team *team = context;
    void *worker = calloc(1, team->crew->worker_size);
    (void)pthread_mutex_lock(&team->lock);
    while (worker != NULL && !is_over(team)) {
        work_or_wait(team, worker);
    }
    (void)pthread_mutex_unlock(&team->lock);
    free_worker(team->crew, worker);
    return NULL;
}

/* The first thread brings the batches out in order; while the next one is not done it works as the others do. */
static void await_batch(struct team *team, void *worker, size_t n)
{
    (void)pthread_mutex_lock(&team->lock);
    while (!batch_at(team, n)->done) {
        work_or_wait(team, worker);
    }
    (void)pthread_mutex_unlock(&team->lock);
}

static void move_text(te_buffer *to, te_buffer *from)
{
    te_buffer_add(to, from->bytes, from->length);
    to->failed = to->failed || from->failed;
    from->length = 0;
}

/* Brings a batch out and makes its room free for another. */
static bool bring_out(struct team *team, size_t n)
{
    struct session *session = team->session;
    struct batch *batch = batch_at(team, n);
    struct session *s = &batch->s;
    bool failed = batch->failed;
    if (s->said.length > 0) {
        progress_end();
        (void)fwrite(s->said.bytes, 1, s->said.length, stderr);
        s->said.length = 0;
    }
    /* Every batch writes its own first entry as the first of all. */
    bool joins = session->options->format == FORMAT_JSON && s->written > 0 && session->written > 0;
    te_buffer_text(&session->buffer, joins ? "," : "");
    move_text(&session->buffer, &s->buffer);
    move_text(&session->extra, &s->extra);
    session->written += s->written;
    session->not_good = session->not_good || s->not_good;
    session->skipped = session->skipped || s->skipped;
    s->written = 0;
    batch->done = false;
    (void)pthread_mutex_lock(&team->lock);
    team->out++;
    (void)pthread_cond_broadcast(&team->changed);
    (void)pthread_mutex_unlock(&team->lock);
    size_t items = (n + 1) * BATCH;
    team->wrote = team->wrote || session->buffer.length > 0;
    if (!team->wrote || !output_is_terminal()) { /* where what is written shows that it goes on */
        progress_show(items < team->crew->count ? items : team->crew->count, team->crew->count,
                      team->crew->what);
    }
    return !failed && session_flush_some(session);
}

static void stop(struct team *team)
{
    (void)pthread_mutex_lock(&team->lock);
    team->stopped = true;
    (void)pthread_cond_broadcast(&team->changed);
    (void)pthread_mutex_unlock(&team->lock);
}

unsigned crew_threads(const struct options *options)
{
    long processors = sysconf(_SC_NPROCESSORS_ONLN);
    unsigned threads = options->threads > 0 ? options->threads
                       : processors < 1     ? 1
                                            : (unsigned)processors;
    return threads < THREADS_MOST ? threads : THREADS_MOST;
}

static size_t thread_count(const struct options *options, const struct crew *crew, size_t batches)
{
    bool few = options->threads == 0 && crew->count < FEW;
    size_t threads = few ? 1 : crew_threads(options);
    return threads < batches ? threads : batches;
}

/* Starts the threads beside the first; where one cannot be started there are fewer. A signal is the first's, which
 * brings out whole rows. */
static size_t start_threads(pthread_t *threads, size_t wanted, struct team *team)
{
    size_t started = 0;
    sigset_t before = output_hold_signals();
    while (started < wanted && pthread_create(&threads[started], NULL, help, team) == 0) {
        started++;
    }
    output_release_signals(&before);
    return started;
}

static bool run_team(struct team *team, void *worker, size_t helpers)
{
    pthread_t threads[THREADS_MOST];
    bool good = true;
    size_t started = start_threads(threads, helpers, team);
    for (size_t n = 0; good && n < team->batch_count; n++) {
        await_batch(team, worker, n);
        good = bring_out(team, n);
    }
    stop(team);
    for (size_t i = 0; i < started; i++) {
        (void)pthread_join(threads[i], NULL);
    }
    progress_end();
    return good;
}

bool crew_run(struct session *session, const struct crew *crew)
{
    struct team team = {.crew = crew, .session = session};
    team.batch_count = (crew->count + BATCH - 1) / BATCH;
    size_t threads = thread_count(session->options, crew, team.batch_count);
    team.ring = threads * AHEAD + 1;
    team.batches = calloc(team.ring, sizeof *team.batches);
    void *worker = calloc(1, crew->worker_size);
    bool good = team.batches != NULL && worker != NULL;
    (void)pthread_mutex_init(&team.lock, NULL);
    (void)pthread_cond_init(&team.changed, NULL);
    if (!good) {
        (void)fail("out of memory");
    }
    for (size_t i = 0; good && i < team.ring; i++) {
        team.batches[i].s = session_of_batch(session);
    }
    good = good && run_team(&team, worker, threads == 0 ? 0 : threads - 1);
    for (size_t i = 0; team.batches != NULL && i < team.ring; i++) {
        session_end_batch(&team.batches[i].s);
    }
    free_worker(crew, worker);
    (void)pthread_cond_destroy(&team.changed);
    (void)pthread_mutex_destroy(&team.lock);
    free(team.batches);
    return good;
}
