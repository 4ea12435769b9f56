/**
 * Statements on their way through one connection, up to one sync. Only for server/db.
 *
 * The caller owns both arrays; the results belong to the pipeline until gw_pipeline_clear or until the caller takes one
 * and puts NULL in its place.
 */
#ifndef GW_DB_PIPELINE_H
#define GW_DB_PIPELINE_H

#include <libpq-fe.h>

#include "db/db.h"
#include "db/refusal.h"

typedef struct gw_pipeline {
    size_t n;
    const gw_call *calls; /* [n] */
    PGresult **results;   /* [n] what came back for each; all NULL at the beginning */
    PGresult *refused;    /* the first error, of any statement or of the commit */
    size_t refused_at;    /* which statement; n = the commit itself (a deferred constraint) */
} gw_pipeline;

/** Free what came back. The pipeline may be run again. */
void gw_pipeline_clear(gw_pipeline *p);

/**
 * Send all statements and one sync over a connection of the pool, and read until the sync: one transaction.
 *
 * @param retry  out: what may be done about a failure
 * @return GW_OK after the commit. Else nothing was done, or (GW_RETRY_LOST) nobody knows; p->refused tells what the
 *         database said, NULL when it did not answer
 */
GW_MUST_CHECK gw_status gw_pipeline_run(gw_pipeline *p, gw_db *db, int64_t deadline_ms, gw_retry *retry, gw_error *err);

/** May these n calls be sent for this request at all? */
GW_MUST_CHECK gw_status gw_calls_check(const gw_request *rq, size_t n, gw_error *err);

/** The first call of every transaction: who[2] is filled with its parameters and must live as long as the call. */
gw_call gw_enter_call(const gw_request *rq, const char *who[2]);

/** Note in the request whom session_enter found. */
void gw_note_person(gw_request *rq, const PGresult *entered);

/** Hand n results over to rows and the request's arena, or free them when rows is NULL. */
GW_MUST_CHECK gw_status gw_hand_over(gw_request *rq, size_t n, PGresult *results[], gw_rows rows[], gw_error *err);

#endif
