#include "db/connection.h"

#include <libpq-events.h>
#include <poll.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/log.h"
#include "base/time.h"
#include "db/refusal.h"
#include "gw_sql.h"

/* Set here and not in conninfo, so that a pooler that refuses `options` can stand between. */
static const char session_settings[] =
    "set plan_cache_mode = force_generic_plan; set jit = off; set timezone = 'UTC'; set datestyle = 'ISO, YMD';"
    "set statement_timeout = '10s'; set lock_timeout = '5s'; set idle_in_transaction_session_timeout = '15s'";

const char *gw_connection_message(const PGconn *connection, char *out, size_t size)
{
    const char *text = PQerrorMessage(connection);
    snprintf(out, size, "%.*s", (int)strcspn(text, "\n"), text);
    return out;
}

/* Notices may hold values out of rows: only their code is logged. */
static void log_notice(void *unused, const PGresult *result)
{
    (void)unused;
    const char *state = PQresultErrorField(result, PG_DIAG_SQLSTATE);
    gw_log(GW_LOG_DEBUG, "notice", "sqlstate=%s", state ? state : "none");
}

gw_status gw_connection_open_plain(const char *conninfo, PGconn **connection, gw_error *err)
{
    /* The last one wins: conninfo stands behind our defaults, the encoding behind conninfo. */
    const char *const names[] = {"connect_timeout",      "keepalives_idle",
                                 "keepalives_interval",  "keepalives_count",
                                 "tcp_user_timeout",     "application_name",
                                 "target_session_attrs", "dbname",
                                 "client_encoding",      NULL};
    const char *const values[] = {"3", "10", "5", "3", "15000", "gramwelld", "read-write", conninfo, "UTF8", NULL};
    char message[200];
    PGconn *pg = PQconnectdbParams(names, values, 1);
    *connection = NULL;
    if (PQstatus(pg) != CONNECTION_OK) {
        gw_status status = gw_fail(err, GW_EBUSY, "database: %s",
                                   pg ? gw_connection_message(pg, message, sizeof message) : "out of memory");
        PQfinish(pg);
        return status;
    }
    PQsetNoticeReceiver(pg, log_notice, NULL);
    *connection = pg;
    return GW_OK;
}

bool gw_connection_next(PGconn *connection, int64_t deadline_ms, PGresult **result)
{
    *result = NULL;
    while (PQisBusy(connection)) {
        int64_t left = deadline_ms - gw_monotonic_ms();
        struct pollfd wait = {.fd = PQsocket(connection), .events = POLLIN};
        if (left <= 0 || wait.fd < 0) return false;
        if (poll(&wait, 1, (int)left) > 0 && !PQconsumeInput(connection)) return false;
    }
    *result = PQgetResult(connection);
    return true;
}

/*
 * Nobody waits for an answer, so nothing should come. A backend that is ended says why first and closes a little later:
 * its words are the end already. A notice of changed settings looks the same and costs a new connection, which is
 * cheap.
 */
bool gw_connection_alive(PGconn *connection)
{
    struct pollfd look = {.fd = PQsocket(connection), .events = POLLIN};
    return look.fd >= 0 && PQstatus(connection) == CONNECTION_OK && poll(&look, 1, 0) == 0;
}

/* What a connection has prepared, kept with it: freed when libpq frees the connection. */
typedef struct {
    size_t n_sent; /* of the prepares under way */
    const gw_query **sent;
    bool done[]; /* by gw_query.number */
} prepared;

static int on_event(PGEventId event, void *info, void *unused)
{
    (void)unused;
    if (event != PGEVT_CONNDESTROY) return 1;
    PGconn *pg = ((PGEventConnDestroy *)info)->conn;
    prepared *p = PQinstanceData(pg, on_event);
    if (p) free(p->sent);
    free(p);
    return 1;
}

static gw_status attach_prepared(PGconn *pg)
{
    prepared *p = calloc(1, sizeof *p + gw_n_queries * sizeof *p->done);
    if (p) p->sent = calloc(gw_n_queries, sizeof *p->sent);
    if (p && p->sent && PQregisterEventProc(pg, on_event, "prepared", NULL) && PQsetInstanceData(pg, on_event, p))
        return GW_OK;
    if (p) free(p->sent);
    free(p);
    return GW_EINTERNAL;
}

/* A statement counts as prepared once it is sent: if that fails the connection is dropped with its marks. */
static bool send_prepares(PGconn *pg, prepared *p, size_t n, const gw_call calls[])
{
    p->n_sent = 0;
    for (size_t i = 0; i < n; i++) {
        const gw_query *q = calls[i].query;
        if (p->done[q->number]) continue;
        if (!PQsendPrepare(pg, q->name, q->sql, 0, NULL)) return false;
        p->done[q->number] = true;
        p->sent[p->n_sent++] = q;
    }
    return p->n_sent == 0 || PQpipelineSync(pg);
}

/* Each prepare gives its result and a NULL; the sync ends it. A refusal is logged with the name of its file. */
static gw_status collect_prepares(PGconn *pg, const prepared *p, int64_t deadline_ms, gw_error *err)
{
    gw_status status = GW_OK;
    size_t at = 0;
    for (size_t seen = 0; seen < 2 * p->n_sent + 4; seen++) {
        PGresult *result;
        if (!gw_connection_next(pg, deadline_ms, &result)) break;
        ExecStatusType kind = result ? PQresultStatus(result) : PGRES_COMMAND_OK;
        if (kind == PGRES_FATAL_ERROR && !status) {
            gw_retry unused;
            status = gw_refusal(result, at < p->n_sent ? p->sent[at]->name : "prepare", &unused, err);
        }
        if (!result) at++;
        PQclear(result);
        if (kind == PGRES_PIPELINE_SYNC) return status;
        if (PQstatus(pg) != CONNECTION_OK) break;
    }
    return gw_fail(err, GW_EBUSY, "the database did not answer in time");
}

gw_status gw_connection_prepare(PGconn *pg, size_t n, const gw_call calls[], int64_t deadline_ms, gw_error *err)
{
    prepared *p = PQinstanceData(pg, on_event);
    if (!send_prepares(pg, p, n, calls)) return gw_fail(err, GW_EBUSY, "the connection to the database was lost");
    return p->n_sent ? collect_prepares(pg, p, deadline_ms, err) : GW_OK;
}

gw_status gw_connection_open(const char *conninfo, PGconn **connection, gw_error *err)
{
    PGconn *pg = NULL;
    PGresult *set = NULL;
    gw_status status = gw_connection_open_plain(conninfo, &pg, err);
    if (status) goto done;

    set = PQexec(pg, session_settings);
    if (PQresultStatus(set) != PGRES_COMMAND_OK || !PQenterPipelineMode(pg)) {
        char message[200];
        status = gw_fail(err, GW_EBUSY, "database: %s", gw_connection_message(pg, message, sizeof message));
        goto done;
    }
    status = attach_prepared(pg);

done:
    PQclear(set);
    if (status) PQfinish(pg);
    *connection = status ? NULL : pg;
    return status;
}
