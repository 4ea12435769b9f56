#include "db/commit.h"

#include <errno.h>
#include <pthread.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "base/time.h"
#include "db/pipeline.h"
#include "db/pool.h"

enum {
    JOB_STATEMENTS = GW_DB_CALLS_MAX + 1,
    BATCH_STATEMENTS = 128, /* some 30 checks: more would only make the first of them wait */
    SOON_MS = 1000,         /* a request with less time left does not share its fate with others */
};

typedef enum { WAITING, LEADING, TAKEN, DONE } job_state;

/* A write on its caller's stack, which stays there until the caller sees DONE or leaves the queue by itself. */
typedef struct job {
    struct job *next;
    size_t n;             /* statements, session_enter included */
    const gw_call *calls; /* [n] */
    PGresult **results;   /* [n] */
    int64_t deadline_ms;
    job_state state;
    gw_retry retry; /* of a failure: GW_RETRY_LOST, or anything else: run it alone */
    gw_status status;
    pthread_cond_t told;
} job;

struct gw_committer {
    pthread_mutex_t lock;
    job *first, **last; /* those that wait, in the order in which they came */
    bool led;           /* somebody leads, or has been told to */
    gw_db *db;
};

gw_committer *gw_committer_create(gw_db *db)
{
    gw_committer *c = calloc(1, sizeof *c);
    if (!c) return NULL;
    if (pthread_mutex_init(&c->lock, NULL)) {
        free(c);
        return NULL;
    }
    c->last = &c->first;
    c->db = db;
    return c;
}

void gw_committer_destroy(gw_committer *c)
{
    if (!c) return;
    gw_db_close(c->db);
    pthread_mutex_destroy(&c->lock);
    free(c);
}

int gw_committer_waiting(gw_committer *c)
{
    int n = 0;
    pthread_mutex_lock(&c->lock);
    for (const job *j = c->first; j; j = j->next) n++;
    pthread_mutex_unlock(&c->lock);
    return n;
}

/* Take the jobs that wait, the leader's own first, as many as fit. */
static job *take_batch(gw_committer *c, size_t *n)
{
    job *batch = c->first, **end = &c->first;
    *n = 0;
    while (*end && *n + (*end)->n <= BATCH_STATEMENTS) {
        *n += (*end)->n;
        (*end)->state = TAKEN;
        end = &(*end)->next;
    }
    c->first = *end;
    if (!c->first) c->last = &c->first;
    *end = NULL;
    return batch;
}

static void run_batch(gw_committer *c, job *batch, size_t n)
{
    gw_call calls[BATCH_STATEMENTS];
    PGresult *results[BATCH_STATEMENTS] = {NULL};
    int64_t deadline_ms = batch->deadline_ms;
    size_t at = 0;
    gw_retry retry;
    gw_error err;
    for (job *j = batch; j; at += j->n, j = j->next) {
        memcpy(calls + at, j->calls, j->n * sizeof *calls);
        if (j->deadline_ms < deadline_ms) deadline_ms = j->deadline_ms;
    }
    gw_error_init(&err, NULL);
    gw_pipeline p = {.n = n, .calls = calls, .results = results};
    gw_status status = gw_pipeline_run(&p, c->db, deadline_ms, &retry, &err);
    if (status) gw_pipeline_clear(&p);

    at = 0;
    for (job *j = batch; j; at += j->n, j = j->next) {
        j->status = status;
        j->retry = retry;
        memcpy(j->results, results + at, j->n * sizeof *results);
    }
}

/* Everybody of the batch may go; the first of those that came meanwhile leads on. */
static void finish_batch(gw_committer *c, job *batch, const job *own)
{
    while (batch) {
        job *next = batch->next; /* the job is gone as soon as its caller sees DONE */
        batch->state = DONE;
        if (batch != own) pthread_cond_signal(&batch->told);
        batch = next;
    }
    c->led = c->first != NULL;
    if (!c->first) return;
    c->first->state = LEADING;
    pthread_cond_signal(&c->first->told);
}

/* True when the job is out of the queue: its time was up before anybody took it. */
static bool give_up(gw_committer *c, job *own)
{
    job **place = &c->first;
    if (own->state != WAITING) return false;
    while (*place != own) place = &(*place)->next;
    *place = own->next;
    if (!own->next) c->last = place;
    own->status = GW_EBUSY;
    own->retry = GW_RETRY_LOST;
    return true;
}

static void wait_to_be_told(gw_committer *c, job *own)
{
    struct timespec until = {.tv_sec = own->deadline_ms / 1000, .tv_nsec = own->deadline_ms % 1000 * 1000000};
    while (own->state == WAITING || own->state == TAKEN) {
        if (own->state == TAKEN)
            pthread_cond_wait(&own->told, &c->lock); /* the batch keeps the earliest deadline of its jobs */
        else if (pthread_cond_timedwait(&own->told, &c->lock, &until) == ETIMEDOUT && give_up(c, own))
            return;
    }
}

static void take_turn(gw_committer *c, job *own)
{
    size_t n;
    pthread_mutex_lock(&c->lock);
    *c->last = own;
    c->last = &own->next;
    own->state = c->led ? WAITING : LEADING;
    c->led = true;
    wait_to_be_told(c, own);
    if (own->state == LEADING) {
        job *batch = take_batch(c, &n);
        pthread_mutex_unlock(&c->lock);
        run_batch(c, batch, n);
        pthread_mutex_lock(&c->lock);
        finish_batch(c, batch, own);
    }
    pthread_mutex_unlock(&c->lock);
}

static bool told_init(pthread_cond_t *told)
{
    pthread_condattr_t by_monotonic;
    pthread_condattr_init(&by_monotonic);
    pthread_condattr_setclock(&by_monotonic, CLOCK_MONOTONIC);
    int failed = pthread_cond_init(told, &by_monotonic);
    pthread_condattr_destroy(&by_monotonic);
    return !failed;
}

gw_status gw_db_commit_many(gw_request *rq, size_t n, const gw_call calls[], gw_rows rows[], gw_error *err)
{
    const char *who[2];
    gw_call all[JOB_STATEMENTS];
    PGresult *results[JOB_STATEMENTS] = {NULL};
    for (size_t i = 0; rows && i < n; i++) rows[i] = (gw_rows){0};
    gw_status status = gw_calls_check(rq, n, err);
    if (status) return status;
    if (rq->deadline_ms < gw_monotonic_ms() + SOON_MS) return gw_db_run_many(rq, n, calls, rows, err);

    all[0] = gw_enter_call(rq, who);
    memcpy(all + 1, calls, n * sizeof *calls);
    job own = {.n = n + 1, .calls = all, .results = results, .deadline_ms = rq->deadline_ms};
    if (!told_init(&own.told)) return gw_fail(err, GW_EINTERNAL, "out of memory");
    take_turn(gw_pool_committer(rq->db), &own);
    pthread_cond_destroy(&own.told);

    if (own.status && own.retry == GW_RETRY_LOST) return gw_fail(err, GW_EBUSY, "the database did not answer in time");
    if (own.status) return gw_db_run_many(rq, n, calls, rows, err);
    gw_note_person(rq, results[0]);
    PQclear(results[0]);
    return gw_hand_over(rq, n, results + 1, rows, err);
}
