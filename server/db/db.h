/**
 * The database: a bounded pool of connections, and statements that the build embedded.
 *
 * Statements are the files of schema/queries, one statement each. The build makes gw_sql.h with a
 * `extern const gw_query gw_q_<file name>` for each; each is prepared when a connection first needs it. There is no way
 * to send a text. Cast every parameter in the file: $1::uuid.
 *
 *   gw_rows rows;
 *   const char *const params[] = {rq->path[0], gw_text_of_int(rq->arena, limit)};
 *   gw_status status = gw_db_run(rq, &gw_q_animal_history, params, &rows, err);
 *   if (status) return status;
 *   if (gw_rows_count(&rows) == 0) return gw_fail(err, GW_EUNKNOWN, "no such animal");
 *
 * Transactions   one call is one round trip and one implicit transaction: {session_enter, statements} and one sync.
 *                GW_OK comes after the commit: what the statements did is durable. A failure undid all of them.
 * Who            the first statement of the pipeline is schema/queries/session_enter.sql with the request's token hash
 *                and the route's role. It sets the person for the row policies, or raises GW401 or GW403, which ends
 *                the transaction: a handler cannot forget it.
 * Failures       SQLSTATE and constraint name become a status and words in one table, db/refusal.c. A raise with
 *                SQLSTATE GW404, GW409, GW412, GW422, GW429 becomes that status with its message text; the raise's
 *                DETAIL may hold a JSON pointer and its HINT a hint, which then make a fault. Serialisation failures
 * and deadlocks are repeated up to 3 times. No connection within the request's deadline, a lost connection or a timeout
 * is GW_EBUSY (503). Lost commit    when a connection breaks after the sync went out nobody knows whether the
 * transaction was committed. The call answers GW_EBUSY and repeats nothing. Writes therefore carry a UUID made by the
 * client and are harmless to send again. Threads        a pool may be used from any thread; a call takes a connection
 * for its own length.
 */
#ifndef GW_DB_DB_H
#define GW_DB_DB_H

#include <stdbool.h>
#include <stddef.h>

#include "base/error.h"
#include "base/request.h"
#include "db/rows.h"

/** A statement of schema/queries. */
typedef struct gw_query {
    const char *name; /* file name without .sql; also the name under which it is prepared */
    const char *sql;
    int n_params; /* highest $n */
    int number;   /* place in gw_queries */
} gw_query;

/** A statement with its parameters: params[query->n_params] texts, NULL being SQL null. */
typedef struct gw_call {
    const gw_query *query;
    const char *const *params;
} gw_call;

/** The pool. */
typedef struct gw_db gw_db;

enum { GW_DB_CALLS_MAX = 16 };

/**
 * Run one statement as the request's person.
 *
 * @param rq      its token, role, deadline and arena are used
 * @param q       the statement
 * @param params  [q->n_params] texts, NULL being SQL null; may be NULL when there are none
 * @param rows    out, may be NULL; empty on failure; freed with the request
 * @param err     may be NULL
 * @return GW_OK after the commit
 */
GW_MUST_CHECK gw_status gw_db_run(gw_request *rq, const gw_query *q, const char *const params[], gw_rows *rows,
                                  gw_error *err);

/**
 * Run several statements as the request's person in one transaction and one round trip.
 *
 * @param n      1 to GW_DB_CALLS_MAX
 * @param calls  [n] statements, run in order; a later one sees what an earlier one did
 * @param rows   [n] out, may be NULL; all empty on failure
 */
GW_MUST_CHECK gw_status gw_db_run_many(gw_request *rq, size_t n, const gw_call calls[], gw_rows rows[], gw_error *err);

/**
 * The same, but together with what others write at that moment: one transaction and one flush for all of them (see
 * db/commit.h). For writes that many people send at once and that are seldom refused.
 *
 * @return GW_OK after the common commit
 */
GW_MUST_CHECK gw_status gw_db_commit_many(gw_request *rq, size_t n, const gw_call calls[], gw_rows rows[],
                                          gw_error *err);

/**
 * A pause that grows with the tries and is uneven, so that two who collided do not collide again.
 *
 * @param tries  1 or more
 */
void gw_db_pause(int tries);

/**
 * Run one statement with nobody signed in: only for signing in, signing out and invitations. Row policies then show
 * nothing; such statements call the definer functions made for them.
 */
GW_MUST_CHECK gw_status gw_db_run_unsigned(gw_request *rq, const gw_query *q, const char *const params[], gw_rows *rows,
                                           gw_error *err);

/* The rest is for main and the listener. */

/**
 * Make a pool. Connections are opened when first needed and reopened after they broke.
 *
 * @param conninfo     libpq connection string as the role gramwell_app
 * @param connections  1 to 64 at once, and one more for writes that are committed together
 * @param db           out: the pool, NULL on failure; gw_db_close frees it
 */
GW_MUST_CHECK gw_status gw_db_open(const char *conninfo, int connections, gw_db **db, gw_error *err);

/** Open one connection and give it back: tells a wrong address or password at the start. */
GW_MUST_CHECK gw_status gw_db_probe(gw_db *db, gw_error *err);

/** True when the database answers within timeout_ms and its migrations are those of this binary. */
bool gw_db_ready(gw_db *db, int timeout_ms);

/** Close all connections. No call may be under way. NULL is allowed. */
void gw_db_close(gw_db *db);

#endif
