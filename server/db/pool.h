/**
 * The pool behind gw_db. Only for server/db.
 */
#ifndef GW_DB_POOL_H
#define GW_DB_POOL_H

#include <libpq-fe.h>
#include <stdbool.h>
#include <stdint.h>

#include "base/error.h"
#include "db/commit.h"
#include "db/db.h"

/**
 * Take a connection, waiting for one until deadline_ms; open or reopen it if need be.
 *
 * @param connection  out: in pipeline mode with nothing under way; give it back with gw_pool_give
 * @return GW_EBUSY when none came free in time or the database cannot be reached
 */
GW_MUST_CHECK gw_status gw_pool_take(gw_db *db, int64_t deadline_ms, PGconn **connection, gw_error *err);

/** Give a connection back. sound = false closes it; one with a transaction left open is closed as well. */
void gw_pool_give(gw_db *db, PGconn *connection, bool sound);

/** Who commits the writes that share a transaction. */
gw_committer *gw_pool_committer(gw_db *db);

#endif
