/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Steps over all inspections, by several threads where there are many readings. */
#include "internal.h"
#include "threads.h"

enum { READINGS_LEAST = 4000 /* of a share for which it is worth to start a thread */ };

/* A thread's share of the inspections, and a shop whose problems are its own. */
struct share {
    te_shop view;
    te_problems problems;
    te_share_step *step;
    size_t first, end;
};

static void *run_share(void *context)
{
    struct share *share = context;
    share->step(&share->view, share->first, share->end);
    return NULL;
}

/* Cuts the inspections into shares of about as many readings. */
static void cut_shares(struct share *shares, unsigned count, te_shop *shop, te_share_step *step)
{
    size_t at = 0;
    for (unsigned i = 0; i < count; i++) {
        size_t readings = shop->readings.count * (i + 1) / count;
        struct share *share = &shares[i];
        *share = (struct share){.view = *shop, .step = step, .first = at};
        te_problems_init(&share->problems);
        while (at < shop->inspections.count &&
               (i + 1 == count || shop->inspections.items[at].first_reading < readings)) {
            at++;
        }
        share->end = at;
    }
    for (unsigned i = 0; i < count; i++) {
        shares[i].view.problems = &shares[i].problems;
    }
}

/* What the shares found, as if one had found all of it after the other. */
static void join_shares(te_shop *shop, struct share *shares, unsigned count)
{
    for (unsigned i = 0; i < count; i++) {
        te_problems_join(shop->problems, &shares[i].problems);
        shop->out_of_memory = shop->out_of_memory || shares[i].view.out_of_memory;
        te_problems_free(&shares[i].problems);
    }
}

uint32_t te_shop_most_readings(const te_shop *shop)
{
    uint32_t most = 1;
    for (size_t i = 0; i < shop->inspections.count; i++) {
        uint32_t count = shop->inspections.items[i].reading_count;
        most = count > most ? count : most;
    }
    return most;
}

void te_shop_share(te_shop *shop, te_share_step *step)
{
    struct share shares[TE_THREADS_MOST];
    size_t worth = shop->readings.count / READINGS_LEAST;
    unsigned most = shop->threads < TE_THREADS_MOST ? shop->threads : TE_THREADS_MOST;
    unsigned count = worth < most ? (unsigned)worth : most;
    if (count < 2) {
        step(shop, 0, shop->inspections.count);
        return;
    }
    cut_shares(shares, count, shop, step);
    te_threads_run(run_share, shares, sizeof *shares, count);
    join_shares(shop, shares, count);
}
