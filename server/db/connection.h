/**
 * One connection of libpq, ready for the pool. Only for server/db.
 */
#ifndef GW_DB_CONNECTION_H
#define GW_DB_CONNECTION_H

#include <libpq-fe.h>
#include <stdbool.h>
#include <stdint.h>

#include "base/error.h"
#include "db/db.h"

/**
 * Connect, with time limits that conninfo may override; no statements prepared.
 *
 * @param connection  out: NULL on failure; closed by PQfinish
 * @return GW_EBUSY when there is no connection: refused, wrong password, timeout; the message says which
 */
GW_MUST_CHECK gw_status gw_connection_open_plain(const char *conninfo, PGconn **connection, gw_error *err);

/** Connect, set the session up and enter pipeline mode. */
GW_MUST_CHECK gw_status gw_connection_open(const char *conninfo, PGconn **connection, gw_error *err);

/**
 * Prepare those of these calls' statements that this connection has not prepared yet: at most one round trip of its
 * own, and none once it is warm. Preparing all sixty when a connection opens took a quarter of a second of a start.
 *
 * @param connection  from gw_connection_open; to be dropped on failure
 * @return GW_EBUSY when the connection broke or the time was up; GW_EINTERNAL for a faulty statement (the log names it)
 */
GW_MUST_CHECK gw_status gw_connection_prepare(PGconn *connection, size_t n, const gw_call calls[], int64_t deadline_ms,
                                              gw_error *err);

/**
 * The next result, waiting no longer than deadline_ms (gw_monotonic_ms).
 *
 * @param result  out: as PQgetResult, NULL included; the caller clears it
 * @return false when the connection broke or the time was up: the connection is then to be dropped
 */
bool gw_connection_next(PGconn *connection, int64_t deadline_ms, PGresult **result);

/** True when an idle connection has not been closed by the other side meanwhile. */
bool gw_connection_alive(PGconn *connection);

/** First line of libpq's message about a connection, without its line break; at most size - 1 bytes. */
const char *gw_connection_message(const PGconn *connection, char *out, size_t size);

#endif
