#include "db/migrate.h"

#include <libpq-fe.h>
#include <sodium.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "base/log.h"
#include "base/time.h"
#include "db/connection.h"
#include "db/db.h"
#include "db/pool.h"
#include "gw_sql.h"

enum { LOCK_LIMIT_MS = 60000, LOCK_PAUSE_MS = 100, HEX = 2 * crypto_hash_sha256_BYTES + 1 };

/* The key of the lock is any number that nothing else in the database uses. */
static const char try_lock[] = "select pg_try_advisory_lock(7141093)";
static const char record[] = "insert into gw.migration (number, name, sha256) values ($1::int, $2, $3)";
static const char bootstrap[] =
    "set client_min_messages = warning; set statement_timeout = 0; create schema if not exists gw;"
    "create table if not exists gw.migration (number int primary key, name text not null, sha256 text not null,"
    "  applied_at timestamptz not null default now());"
    "comment on table gw.migration is 'What gramwelld migrate has applied.';"
    "grant usage on schema gw to gramwell_app, gramwell_read;"
    "grant select on gw.migration to gramwell_app, gramwell_read";

static void hash_of(const gw_migration *m, char hex[HEX])
{
    unsigned char hash[crypto_hash_sha256_BYTES];
    crypto_hash_sha256(hash, (const unsigned char *)m->sql, m->length);
    sodium_bin2hex(hex, HEX, hash, sizeof hash);
}

/* Run statements as a maintainer does: the message says what PostgreSQL said. expected is a status or PGRES_TUPLES_OK.
 */
static gw_status take_result(PGconn *pg, PGresult *result, gw_error *err)
{
    ExecStatusType kind = PQresultStatus(result);
    if (kind == PGRES_COMMAND_OK || kind == PGRES_TUPLES_OK) return GW_OK;
    char message[200];
    const char *primary = PQresultErrorField(result, PG_DIAG_MESSAGE_PRIMARY);
    return gw_fail(err, GW_EINTERNAL, "%s", primary ? primary : gw_connection_message(pg, message, sizeof message));
}

static gw_status exec(PGconn *pg, const char *sql, gw_error *err)
{
    PGresult *result = PQexec(pg, sql);
    gw_status status = take_result(pg, result, err);
    PQclear(result);
    return status;
}

/* COMMIT of a failed transaction succeeds and rolls back: only its tag tells. */
static gw_status commit(PGconn *pg, gw_error *err)
{
    PGresult *result = PQexec(pg, "commit");
    gw_status status = take_result(pg, result, err);
    if (!status && strcmp(PQcmdStatus(result), "COMMIT") != 0)
        status = gw_fail(err, GW_EINTERNAL, "the transaction was undone");
    PQclear(result);
    return status;
}

/* Not pg_advisory_lock: a session that waits in it holds a snapshot, on which the other's index builds would wait. */
static gw_status lock(PGconn *pg, gw_error *err)
{
    int64_t deadline = gw_monotonic_ms() + LOCK_LIMIT_MS;
    for (;;) {
        PGresult *result = PQexec(pg, try_lock);
        gw_status status = take_result(pg, result, err);
        bool ours = !status && PQgetvalue(result, 0, 0)[0] == 't';
        PQclear(result);
        if (status || ours) return status;
        if (gw_monotonic_ms() > deadline) return gw_fail(err, GW_EBUSY, "another migration is still running");
        nanosleep(&(struct timespec){.tv_nsec = LOCK_PAUSE_MS * 1000000L}, NULL);
    }
}

/* Compare the rows of migration_list with what is embedded. *missing: how many embedded ones are not applied. */
static gw_status compare(const PGresult *applied, int *missing, gw_error *err)
{
    int n = PQntuples(applied);
    *missing = (int)gw_n_migrations - n;
    for (int i = 0; i < n; i++) {
        char hex[HEX];
        const char *name = PQgetvalue(applied, i, 1);
        if (i >= (int)gw_n_migrations)
            return gw_fail(err, GW_ECONFLICT, "the database has migration %s, which this program does not know", name);
        hash_of(&gw_migrations[i], hex);
        if (strcmp(gw_migrations[i].name, name) != 0 || strcmp(hex, PQgetvalue(applied, i, 2)) != 0)
            return gw_fail(err, GW_ECONFLICT, "migration %s was applied in another form than this program has", name);
    }
    return GW_OK;
}

static gw_status compare_with_database(PGconn *pg, int *missing, gw_error *err)
{
    PGresult *applied = PQexec(pg, gw_q_migration_list.sql);
    const char *state = PQresultErrorField(applied, PG_DIAG_SQLSTATE);
    gw_status status = GW_OK;
    if (state && (strcmp(state, "42P01") == 0 || strcmp(state, "3F000") == 0))
        *missing = (int)gw_n_migrations; /* no such table: nothing has been applied */
    else
        status = take_result(pg, applied, err);
    if (!status && !state) status = compare(applied, missing, err);
    PQclear(applied);
    return status;
}

/*
 * Apply one migration and record it, both or neither. The record goes in first: a second runner that got past the lock
 * would wait on the primary key instead of running the same statements.
 */
static gw_status apply(PGconn *pg, const gw_migration *m, gw_error *err)
{
    char number[16], hex[HEX];
    snprintf(number, sizeof number, "%d", m->number);
    hash_of(m, hex);
    PGresult *recorded = NULL;
    bool begun = false;

    gw_status status = exec(pg, "begin", err);
    if (status) goto done;
    begun = true;

    recorded = PQexecParams(pg, record, 3, NULL, (const char *[]){number, m->name, hex}, NULL, NULL, 0);
    status = take_result(pg, recorded, err);
    if (status) goto done;

    status = exec(pg, m->sql, err);
    if (status) goto done;

    status = commit(pg, err);
    begun = status != GW_OK;

done:
    if (status) gw_error_at(err, m->name);
    if (begun) (void)!exec(pg, "rollback", NULL); /* NULL: the first error is the one to report */
    PQclear(recorded);
    return status;
}

gw_status gw_migrate(const char *conninfo, int *applied, gw_error *err)
{
    PGconn *pg = NULL;
    int missing = 0;
    if (applied) *applied = 0;
    gw_status status = gw_connection_open_plain(conninfo, &pg, err);
    if (status) goto done;
    status = lock(pg, err);
    if (status) goto done;
    status = exec(pg, bootstrap, err);
    if (status) goto done;
    status = compare_with_database(pg, &missing, err);

    for (size_t i = gw_n_migrations - (size_t)missing; !status && i < gw_n_migrations; i++) {
        status = apply(pg, &gw_migrations[i], err);
        if (status) break;
        gw_log(GW_LOG_INFO, "migrated", "name=%s", gw_migrations[i].name);
        if (applied) ++*applied;
    }

done:
    PQfinish(pg); /* ends the lock */
    return status;
}

gw_status gw_migrate_compare(const char *conninfo, int *missing, gw_error *err)
{
    PGconn *pg = NULL;
    int lacking = 0;
    gw_status status = gw_connection_open_plain(conninfo, &pg, err);
    if (!status) status = compare_with_database(pg, &lacking, err);
    if (!status && lacking)
        status = gw_fail(err, GW_ECONFLICT, "%d migrations are missing, the next is %s", lacking,
                         gw_migrations[gw_n_migrations - (size_t)lacking].name);
    if (missing) *missing = lacking;
    PQfinish(pg);
    return status;
}

bool gw_db_ready(gw_db *db, int timeout_ms)
{
    gw_arena arena;
    gw_rows rows;
    int missing = 0;
    gw_arena_init(&arena);
    gw_request rq = {.arena = &arena, .db = db, .role = GW_ROLE_ANY, .deadline_ms = gw_monotonic_ms() + timeout_ms};
    gw_status status = gw_db_run_unsigned(&rq, &gw_q_migration_list, NULL, &rows, NULL);
    if (!status) status = compare(rows.result, &missing, NULL);
    gw_arena_finish(&arena);
    return !status && missing == 0;
}
