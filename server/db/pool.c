#include "db/pool.h"

#include <pthread.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "base/log.h"
#include "base/time.h"
#include "db/commit.h"
#include "db/connection.h"

/* Last in, first out: the connections used last are the warm ones. */
struct gw_db {
    pthread_mutex_t lock;
    pthread_cond_t freed;
    char *conninfo;
    PGconn **idle; /* [size] open connections that nobody uses */
    int n_idle;
    int n_unopened; /* places whose connection is not open */
    int size;
    gw_committer *committer; /* has a connection of its own; NULL in the pool that is the committer's */
};

static gw_status init_locks(gw_db *db)
{
    pthread_condattr_t by_monotonic;
    pthread_condattr_init(&by_monotonic);
    pthread_condattr_setclock(&by_monotonic, CLOCK_MONOTONIC);
    int failed = pthread_mutex_init(&db->lock, NULL) || pthread_cond_init(&db->freed, &by_monotonic);
    pthread_condattr_destroy(&by_monotonic);
    return failed ? GW_EINTERNAL : GW_OK;
}

static gw_status pool_create(const char *conninfo, int connections, gw_db **out, gw_error *err)
{
    *out = NULL;
    gw_db *db = calloc(1, sizeof *db);
    if (db) db->conninfo = strdup(conninfo);
    if (db) db->idle = calloc((size_t)connections, sizeof *db->idle);
    if (!db || !db->conninfo || !db->idle || init_locks(db)) {
        if (db) free(db->conninfo);
        if (db) free(db->idle);
        free(db);
        return gw_fail(err, GW_EINTERNAL, "out of memory");
    }
    db->size = db->n_unopened = connections;
    *out = db;
    return GW_OK;
}

gw_status gw_db_open(const char *conninfo, int connections, gw_db **out, gw_error *err)
{
    gw_db *writer = NULL;
    *out = NULL;
    if (connections < 1 || connections > 64)
        return gw_fail(err, GW_EINPUT, "database connections is %d, expected 1 to 64", connections);
    gw_status status = pool_create(conninfo, connections, out, err);
    if (!status) status = pool_create(conninfo, 1, &writer, err);
    if (!status && ((*out)->committer = gw_committer_create(writer))) return GW_OK;
    gw_db_close(writer);
    gw_db_close(*out);
    *out = NULL;
    return status ? status : gw_fail(err, GW_EINTERNAL, "out of memory");
}

gw_committer *gw_pool_committer(gw_db *db)
{
    return db->committer;
}

void gw_db_close(gw_db *db)
{
    if (!db) return;
    gw_committer_destroy(db->committer);
    for (int i = 0; i < db->n_idle; i++) PQfinish(db->idle[i]);
    pthread_cond_destroy(&db->freed);
    pthread_mutex_destroy(&db->lock);
    free(db->idle);
    free(db->conninfo);
    free(db);
}

/* Wait for a place. True with *connection = NULL means: the place is yours, its connection is not open. */
static bool take_place(gw_db *db, int64_t deadline_ms, PGconn **connection)
{
    struct timespec until = {.tv_sec = deadline_ms / 1000, .tv_nsec = deadline_ms % 1000 * 1000000};
    int waited = 0;
    pthread_mutex_lock(&db->lock);
    while (db->n_idle == 0 && db->n_unopened == 0 && waited == 0)
        waited = pthread_cond_timedwait(&db->freed, &db->lock, &until);
    bool got = db->n_idle > 0 || db->n_unopened > 0;
    *connection = NULL;
    if (db->n_idle > 0)
        *connection = db->idle[--db->n_idle];
    else if (got)
        db->n_unopened--;
    pthread_mutex_unlock(&db->lock);
    return got;
}

static void give_place(gw_db *db, PGconn *connection)
{
    pthread_mutex_lock(&db->lock);
    if (connection)
        db->idle[db->n_idle++] = connection;
    else
        db->n_unopened++;
    pthread_cond_signal(&db->freed);
    pthread_mutex_unlock(&db->lock);
}

gw_status gw_pool_take(gw_db *db, int64_t deadline_ms, PGconn **connection, gw_error *err)
{
    if (!take_place(db, deadline_ms, connection)) {
        gw_log(GW_LOG_WARN, "pool", "reason=no_connection_free");
        return gw_fail(err, GW_EBUSY, "all connections to the database are in use");
    }
    if (*connection && gw_connection_alive(*connection)) return GW_OK;

    if (*connection) gw_log(GW_LOG_WARN, "pool", "reason=connection_was_closed");
    PQfinish(*connection);
    gw_error why;
    gw_error_init(&why, NULL);
    gw_status status = gw_connection_open(db->conninfo, connection, &why);
    if (!status) return GW_OK;
    give_place(db, NULL);
    char quoted[300];
    gw_log(GW_LOG_ERROR, "database", "message=%s", gw_log_quote(quoted, sizeof quoted, why.message));
    return gw_fail(err, status, "the database cannot be reached");
}

void gw_pool_give(gw_db *db, PGconn *connection, bool sound)
{
    if (sound && PQstatus(connection) == CONNECTION_OK && PQtransactionStatus(connection) == PQTRANS_IDLE) {
        give_place(db, connection);
        return;
    }
    PQfinish(connection);
    give_place(db, NULL);
}

gw_status gw_db_probe(gw_db *db, gw_error *err)
{
    PGconn *connection;
    if (!take_place(db, gw_monotonic_ms(), &connection)) return GW_OK; /* all in use: it answers */
    gw_status status = connection ? GW_OK : gw_connection_open(db->conninfo, &connection, err);
    give_place(db, connection);
    return status;
}
