#include <libpq-fe.h>
#include <sodium.h>
#include <string.h>
#include <time.h>

#include "base/log.h"
#include "base/time.h"
#include "base/uuid.h"
#include "db/connection.h"
#include "db/db.h"
#include "db/pool.h"
#include "db/refusal.h"
#include "gw_sql.h"

enum { TRIES = 4, RESULTS_MAX = GW_DB_CALLS_MAX + 1 };

/* One pipeline on its way: the statements, and what came back for each. */
typedef struct {
    size_t n;
    gw_call calls[RESULTS_MAX];
    PGresult *results[RESULTS_MAX];
    PGresult *refused; /* the first error, of any statement or of the commit */
    size_t refused_at; /* which statement; n = the commit itself (a deferred constraint) */
} pipeline;

static void pipeline_clear(pipeline *p)
{
    for (size_t i = 0; i < p->n; i++) {
        PQclear(p->results[i]);
        p->results[i] = NULL;
    }
    PQclear(p->refused);
    p->refused = NULL;
}

static bool pipeline_send(const pipeline *p, PGconn *connection)
{
    for (size_t i = 0; i < p->n; i++) {
        const gw_query *q = p->calls[i].query;
        if (!PQsendQueryPrepared(connection, q->name, q->n_params, p->calls[i].params, NULL, NULL, 0)) return false;
    }
    return PQpipelineSync(connection) == 1;
}

static void keep_result(pipeline *p, size_t at, PGresult *result)
{
    ExecStatusType kind = PQresultStatus(result);
    if (kind == PGRES_FATAL_ERROR && !p->refused) {
        p->refused = result;
        p->refused_at = at;
    } else if ((kind == PGRES_TUPLES_OK || kind == PGRES_COMMAND_OK) && at < p->n && !p->results[at]) {
        p->results[at] = result;
    } else {
        PQclear(result);
    }
}

/*
 * Read until the sync, which is the acknowledgement: a statement that said it was done may still be undone by the
 * commit. False when the connection broke or the time was up.
 */
static bool pipeline_collect(pipeline *p, PGconn *connection, int64_t deadline_ms)
{
    size_t at = 0;
    for (size_t seen = 0; seen < 4 * (p->n + 1); seen++) {
        PGresult *result;
        if (!gw_connection_next(connection, deadline_ms, &result)) return false;
        if (!result) {
            at++;
            continue;
        }
        if (PQresultStatus(result) == PGRES_PIPELINE_SYNC) {
            PQclear(result);
            return true;
        }
        keep_result(p, at, result);
        if (PQstatus(connection) != CONNECTION_OK) return false;
    }
    return false;
}

/* Tell the server that nobody waits any more; the connection is dropped in any case. */
static void cancel(PGconn *connection)
{
    char reason[256];
    PGcancel *handle = PQstatus(connection) == CONNECTION_OK ? PQgetCancel(connection) : NULL;
    if (handle) PQcancel(handle, reason, sizeof reason);
    PQfreeCancel(handle);
}

static gw_status run_once(pipeline *p, gw_db *db, int64_t deadline_ms, gw_retry *retry, gw_error *err)
{
    PGconn *connection;
    *retry = GW_RETRY_NO;
    gw_status status = gw_pool_take(db, deadline_ms, &connection, err);
    if (status) return status;

    bool whole = pipeline_send(p, connection) && pipeline_collect(p, connection, deadline_ms);
    if (p->refused) {
        const char *name = p->refused_at < p->n ? p->calls[p->refused_at].query->name : "commit";
        status = gw_refusal(p->refused, name, retry, err);
    } else if (!whole) {
        cancel(connection);
        *retry = GW_RETRY_LOST;
        gw_log(GW_LOG_ERROR, "database", "reason=no_answer query=%s", p->calls[p->n - 1].query->name);
        status = gw_fail(err, GW_EBUSY, "the database did not answer in time");
    }
    gw_pool_give(db, connection, whole && *retry != GW_RETRY_LOST && *retry != GW_RETRY_FRESH);
    return status;
}

/* A growing, uneven pause, so that two transactions that collided do not collide again. */
static void pause_before_retry(int tries)
{
    long ms = 2 * tries + (long)randombytes_uniform(10 * (uint32_t)tries);
    nanosleep(&(struct timespec){.tv_nsec = ms * 1000000}, NULL);
}

static gw_status run_pipeline(pipeline *p, gw_db *db, int64_t deadline_ms, gw_error *err)
{
    for (int tries = 1;; tries++) {
        gw_error why;
        gw_retry retry;
        gw_error_init(&why, err ? err->arena : NULL);
        gw_status status = run_once(p, db, deadline_ms, &retry, &why);
        if (!status) return GW_OK;
        pipeline_clear(p);
        bool again = retry == GW_RETRY_SAME || retry == GW_RETRY_FRESH;
        if (!again || tries == TRIES || gw_monotonic_ms() >= deadline_ms) {
            if (err && !err->status) *err = why;
            return err ? err->status : status;
        }
        if (retry == GW_RETRY_SAME) pause_before_retry(tries);
    }
}

static void release_result(void *result)
{
    PQclear(result);
}

/* Results pass to the caller's rows and the request's arena; those nobody wants are freed. */
static void hand_over(pipeline *p, size_t first, gw_rows rows[], gw_arena *arena)
{
    for (size_t i = 0; i < p->n; i++) {
        if (i < first || !rows) {
            PQclear(p->results[i]);
            continue;
        }
        rows[i - first].result = p->results[i];
        gw_arena_on_reset(arena, release_result, p->results[i]);
    }
}

/* Memory that ran out after the commit: what was freed must not be read. */
static gw_status check_memory(gw_request *rq, size_t n, gw_rows rows[], gw_error *err)
{
    if (!gw_arena_failed(rq->arena)) return GW_OK;
    for (size_t i = 0; rows && i < n; i++) rows[i] = (gw_rows){0};
    return gw_fail(err, GW_EINTERNAL, "out of memory");
}

static gw_role role_of(const char *name)
{
    for (gw_role role = GW_ROLE_VOLUNTEER; name && role <= GW_ROLE_COORDINATOR; role++)
        if (strcmp(gw_role_name(role), name) == 0) return role;
    return GW_ROLE_ANY;
}

/* Who session_enter found: columns person, role, expires_at. */
static void note_person(gw_request *rq, const PGresult *entered)
{
    if (PQntuples(entered) != 1 || PQnfields(entered) < 3) return;
    gw_uuid_read(PQgetvalue(entered, 0, 0), rq->person);
    rq->person_role = role_of(PQgetvalue(entered, 0, 1));
    rq->session_ends = gw_arena_strdup(rq->arena, PQgetvalue(entered, 0, 2));
}

gw_status gw_db_run_many(gw_request *rq, size_t n, const gw_call calls[], gw_rows rows[], gw_error *err)
{
    for (size_t i = 0; rows && i < n; i++) rows[i] = (gw_rows){0};
    if (n < 1 || n > GW_DB_CALLS_MAX) return gw_fail(err, GW_EINTERNAL, "%zu statements in one pipeline", n);
    if (gw_arena_failed(rq->arena)) return gw_fail(err, GW_EINTERNAL, "out of memory");
    if (rq->role < GW_ROLE_VOLUNTEER || !rq->token_hash[0]) return gw_fail(err, GW_ESIGNIN, "please sign in");

    const char *const who[] = {rq->token_hash, gw_role_name(rq->role)};
    pipeline p = {.n = n + 1, .calls = {{&gw_q_session_enter, who}}};
    memcpy(p.calls + 1, calls, n * sizeof *calls);
    gw_status status = run_pipeline(&p, rq->db, rq->deadline_ms, err);
    if (status) return status;
    note_person(rq, p.results[0]);
    hand_over(&p, 1, rows, rq->arena);
    return check_memory(rq, n, rows, err);
}

gw_status gw_db_run(gw_request *rq, const gw_query *q, const char *const params[], gw_rows *rows, gw_error *err)
{
    return gw_db_run_many(rq, 1, &(gw_call){q, params}, rows, err);
}

gw_status gw_db_run_unsigned(gw_request *rq, const gw_query *q, const char *const params[], gw_rows *rows,
                             gw_error *err)
{
    if (rows) *rows = (gw_rows){0};
    if (gw_arena_failed(rq->arena)) return gw_fail(err, GW_EINTERNAL, "out of memory");
    pipeline p = {.n = 1, .calls = {{q, params}}};
    gw_status status = run_pipeline(&p, rq->db, rq->deadline_ms, err);
    if (status) return status;
    hand_over(&p, 0, rows, rq->arena);
    return check_memory(rq, 1, rows, err);
}
