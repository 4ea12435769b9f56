#include "check/check.h"

#include <string.h>

#include "base/number.h"
#include "base/time.h"
#include "gw_sql.h"
#include "http/request.h"

/* The same id again: the same check is answered as before, another one is refused. */
static gw_status answer_stored(gw_request *rq, const gw_check *c, const char *stored_hash, gw_reply *reply,
                               gw_error *err)
{
    gw_rows rows;
    if (strcmp(stored_hash, c->request_hash) != 0)
        return gw_fail(err, GW_ECONFLICT, "this id already belongs to another check");
    gw_status status = gw_db_run(rq, &gw_q_check_answer, (const char *const[]){c->id}, &rows, err);
    if (status) return status;
    return gw_reply_json_text(reply, 200, gw_rows_text(&rows, 0, 0), err);
}

static gw_status write_once(gw_request *rq, gw_check *c, gw_reply *reply, gw_error *err)
{
    gw_check_outcome outcome;
    gw_rows rows[GW_CHECK_CALLS_MAX + 1];
    gw_call calls[GW_CHECK_CALLS_MAX + 1];
    gw_status status = gw_check_judge(rq, c, NULL, &outcome, err);
    if (status) return status;
    if (outcome.stored_hash) return answer_stored(rq, c, outcome.stored_hash, reply, err);

    const char *const id[] = {c->id};
    memcpy(calls, outcome.calls, outcome.n_calls * sizeof *calls);
    calls[outcome.n_calls] = (gw_call){&gw_q_check_answer, id};
    status = gw_db_commit_many(rq, outcome.n_calls + 1, calls, rows, err);
    if (status) return status;
    return gw_reply_json_text(reply, 201, gw_rows_text(&rows[outcome.n_calls], 0, 0), err);
}

/*
 * Another check of the same animal may be written between judging and writing: the write then says GW_ESTALE and
 * nothing is stored. The same id written at that very moment says GW_ECONFLICT. Both are looked at again; when there
 * are many, pauses that grow let them come one after the other, for as long as the answer may take.
 */
gw_status gw_check_put(gw_request *rq, gw_reply *reply, gw_error *err)
{
    gw_check check;
    gw_error attempt;
    gw_decoder d = gw_decode(rq, err);
    gw_check_decode(rq, &d, rq->path[0], false, "", &check);
    gw_status status = gw_decode_done(&d);
    if (status) return status;

    for (int tries = 0; tries < GW_CHECK_TRIES; tries++) {
        if (tries > 1) gw_db_pause(tries);
        if (tries > 0 && gw_monotonic_ms() >= rq->deadline_ms) break;
        gw_error_init(&attempt, rq->arena);
        status = write_once(rq, &check, reply, &attempt);
        if (status != GW_ESTALE && !(status == GW_ECONFLICT && tries == 0)) break;
    }
    if (status == GW_ESTALE) return gw_fail(err, GW_EBUSY, "this animal is being checked by others");
    if (status) *err = attempt;
    return status;
}

gw_status gw_check_get(gw_request *rq, gw_reply *reply, gw_error *err)
{
    gw_rows rows;
    gw_status status = gw_db_run(rq, &gw_q_check_answer, (const char *const[]){rq->path[0]}, &rows, err);
    if (status) return status;
    if (gw_rows_count(&rows) == 0) return gw_fail(err, GW_EUNKNOWN, "no such check");
    return gw_reply_json_text(reply, 200, gw_rows_text(&rows, 0, 1), err);
}

gw_status gw_check_history(gw_request *rq, gw_reply *reply, gw_error *err)
{
    gw_rows rows;
    int64_t limit;
    gw_status status = gw_request_query_int(rq, "limit", 1, 520, 104, &limit, err);
    if (status) return status;
    const char *const params[] = {rq->path[0], gw_text_of_int(rq->arena, limit)};
    status = gw_db_run(rq, &gw_q_check_history_json, params, &rows, err);
    if (status) return status;
    if (gw_rows_count(&rows) == 0) return gw_fail(err, GW_EUNKNOWN, "no such animal");
    return gw_reply_json_text(reply, 200, gw_rows_text(&rows, 0, 0), err);
}
