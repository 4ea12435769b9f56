/**
 * Group commit: writes that wait at the same moment share one transaction, one round trip and one flush to disk.
 *
 * Whoever finds nobody writing leads: takes all jobs that wait, sends {session_enter, its calls} for each of them
 * before one sync over a connection of its own, and hands each its rows after the sync. Meanwhile others queue up for
 * the next leader, which is the first of them. A lone writer is its own leader: no thread is waited for.
 *
 * Persons  each job's session_enter sets the person for the statements behind it, so that a job is bound by the row
 *          policies of its own person and by nobody else's.
 * Failures the database undoes a whole batch when one statement of it is refused. Each job is then run again by its own
 *          caller as a transaction of its own (gw_db_run_many), where only the culprit fails. When the connection
 * breaks nobody knows what was committed: GW_EBUSY for all, and nothing is repeated. Who uses it   writes that many
 * people send at once and that seldom fail: checks. A write that holds locks for long, or waits for others', would hold
 * up everybody's.
 */
#ifndef GW_DB_COMMIT_H
#define GW_DB_COMMIT_H

#include "db/db.h"

/** What gw_db keeps for it. */
typedef struct gw_committer gw_committer;

/** @param db  a pool of one connection, which the committer then owns; NULL: there is no memory */
gw_committer *gw_committer_create(gw_db *db);

/** No call may be under way. NULL is allowed. */
void gw_committer_destroy(gw_committer *committer);

/** How many writes wait for the next batch at this moment. */
int gw_committer_waiting(gw_committer *committer);

#endif
