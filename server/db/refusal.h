/**
 * What a refusal of the database means: SQLSTATE and constraint name become a status and words. Only for server/db.
 */
#ifndef GW_DB_REFUSAL_H
#define GW_DB_REFUSAL_H

#include <libpq-fe.h>

#include "base/error.h"

typedef enum gw_retry {
    GW_RETRY_NO,
    GW_RETRY_SAME,  /* the transaction was undone and may be repeated on this connection */
    GW_RETRY_FRESH, /* the same, on a new connection */
    GW_RETRY_LOST,  /* the connection is lost or useless: drop it, do not repeat */
} gw_retry;

/**
 * Translate an error result.
 *
 * @param result  of status PGRES_FATAL_ERROR
 * @param query   name of the statement, for the log
 * @param retry   out: what may be done about it
 * @param err     filled
 * @return never GW_OK
 */
gw_status gw_refusal(const PGresult *result, const char *query, gw_retry *retry, gw_error *err);

#endif
