#include "db/pipeline.h"

#include <string.h>

#include "base/log.h"
#include "base/uuid.h"
#include "db/connection.h"
#include "db/pool.h"
#include "gw_sql.h"

void gw_pipeline_clear(gw_pipeline *p)
{
    for (size_t i = 0; i < p->n; i++) {
        PQclear(p->results[i]);
        p->results[i] = NULL;
    }
    PQclear(p->refused);
    p->refused = NULL;
}

static bool send_all(const gw_pipeline *p, PGconn *connection)
{
    for (size_t i = 0; i < p->n; i++) {
        const gw_query *q = p->calls[i].query;
        if (!PQsendQueryPrepared(connection, q->name, q->n_params, p->calls[i].params, NULL, NULL, 0)) return false;
    }
    return PQpipelineSync(connection) == 1;
}

static void keep_result(gw_pipeline *p, size_t at, PGresult *result)
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
static bool collect(gw_pipeline *p, PGconn *connection, int64_t deadline_ms)
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

gw_status gw_pipeline_run(gw_pipeline *p, gw_db *db, int64_t deadline_ms, gw_retry *retry, gw_error *err)
{
    PGconn *connection;
    *retry = GW_RETRY_NO;
    gw_status status = gw_pool_take(db, deadline_ms, &connection, err);
    if (status) return status;

    status = gw_connection_prepare(connection, p->n, p->calls, deadline_ms, err);
    if (status) { /* nothing of the transaction was sent: another connection may do it */
        *retry = status == GW_EBUSY ? GW_RETRY_FRESH : GW_RETRY_NO;
        gw_pool_give(db, connection, false);
        return status;
    }
    bool whole = send_all(p, connection) && collect(p, connection, deadline_ms);
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

gw_call gw_enter_call(const gw_request *rq, const char *who[2])
{
    who[0] = rq->token_hash;
    who[1] = gw_role_name(rq->role);
    return (gw_call){&gw_q_session_enter, who};
}

static gw_role role_of(const char *name)
{
    for (gw_role role = GW_ROLE_VOLUNTEER; name && role <= GW_ROLE_COORDINATOR; role++)
        if (strcmp(gw_role_name(role), name) == 0) return role;
    return GW_ROLE_ANY;
}

/* Who session_enter found: columns person, role, expires_at. */
void gw_note_person(gw_request *rq, const PGresult *entered)
{
    if (PQntuples(entered) != 1 || PQnfields(entered) < 3) return;
    gw_uuid_read(PQgetvalue(entered, 0, 0), rq->person);
    rq->person_role = role_of(PQgetvalue(entered, 0, 1));
    rq->session_ends = gw_arena_strdup(rq->arena, PQgetvalue(entered, 0, 2));
}

static void release_result(void *result)
{
    PQclear(result);
}

gw_status gw_calls_check(const gw_request *rq, size_t n, gw_error *err)
{
    if (n < 1 || n > GW_DB_CALLS_MAX) return gw_fail(err, GW_EINTERNAL, "%zu statements in one pipeline", n);
    if (gw_arena_failed(rq->arena)) return gw_fail(err, GW_EINTERNAL, "out of memory");
    if (rq->role < GW_ROLE_VOLUNTEER || !rq->token_hash[0]) return gw_fail(err, GW_ESIGNIN, "please sign in");
    return GW_OK;
}

gw_status gw_hand_over(gw_request *rq, size_t n, PGresult *results[], gw_rows rows[], gw_error *err)
{
    for (size_t i = 0; i < n; i++) {
        if (rows) {
            rows[i].result = results[i];
            gw_arena_on_reset(rq->arena, release_result, results[i]);
        } else {
            PQclear(results[i]);
        }
        results[i] = NULL;
    }
    if (!gw_arena_failed(rq->arena)) return GW_OK;
    /* Memory that ran out after the commit: what was freed must not be read. */
    for (size_t i = 0; rows && i < n; i++) rows[i] = (gw_rows){0};
    return gw_fail(err, GW_EINTERNAL, "out of memory");
}
