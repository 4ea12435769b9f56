#include <sodium.h>
#include <string.h>
#include <time.h>

#include "base/time.h"
#include "db/db.h"
#include "db/pipeline.h"

enum { TRIES = 4, PAUSE_STEPS = 12, STATEMENTS_MAX = GW_DB_CALLS_MAX + 1 };

void gw_db_pause(int tries)
{
    int steps = tries < PAUSE_STEPS ? tries : PAUSE_STEPS;
    long ms = 2 * steps + (long)randombytes_uniform(10 * (uint32_t)steps);
    nanosleep(&(struct timespec){.tv_nsec = ms * 1000000}, NULL);
}

static gw_status run_pipeline(gw_pipeline *p, gw_db *db, int64_t deadline_ms, gw_error *err)
{
    for (int tries = 1;; tries++) {
        gw_error why;
        gw_retry retry;
        gw_error_init(&why, err ? err->arena : NULL);
        gw_status status = gw_pipeline_run(p, db, deadline_ms, &retry, &why);
        if (!status) return GW_OK;
        gw_pipeline_clear(p);
        bool again = retry == GW_RETRY_SAME || retry == GW_RETRY_FRESH;
        if (!again || tries == TRIES || gw_monotonic_ms() >= deadline_ms) {
            if (err && !err->status) *err = why;
            return err ? err->status : status;
        }
        if (retry == GW_RETRY_SAME) gw_db_pause(tries);
    }
}

gw_status gw_db_run_many(gw_request *rq, size_t n, const gw_call calls[], gw_rows rows[], gw_error *err)
{
    const char *who[2];
    gw_call all[STATEMENTS_MAX];
    PGresult *results[STATEMENTS_MAX] = {NULL};
    for (size_t i = 0; rows && i < n; i++) rows[i] = (gw_rows){0};
    gw_status status = gw_calls_check(rq, n, err);
    if (status) return status;

    all[0] = gw_enter_call(rq, who);
    memcpy(all + 1, calls, n * sizeof *calls);
    status = run_pipeline(&(gw_pipeline){.n = n + 1, .calls = all, .results = results}, rq->db, rq->deadline_ms, err);
    if (status) return status;
    gw_note_person(rq, results[0]);
    PQclear(results[0]);
    return gw_hand_over(rq, n, results + 1, rows, err);
}

gw_status gw_db_run(gw_request *rq, const gw_query *q, const char *const params[], gw_rows *rows, gw_error *err)
{
    return gw_db_run_many(rq, 1, &(gw_call){q, params}, rows, err);
}

gw_status gw_db_run_unsigned(gw_request *rq, const gw_query *q, const char *const params[], gw_rows *rows,
                             gw_error *err)
{
    const gw_call call = {q, params};
    PGresult *result = NULL;
    if (rows) *rows = (gw_rows){0};
    if (gw_arena_failed(rq->arena)) return gw_fail(err, GW_EINTERNAL, "out of memory");
    gw_status status =
        run_pipeline(&(gw_pipeline){.n = 1, .calls = &call, .results = &result}, rq->db, rq->deadline_ms, err);
    if (status) return status;
    return gw_hand_over(rq, 1, &result, rows, err);
}
