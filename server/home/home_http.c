#include "home/home.h"

#include "base/number.h"
#include "db/db.h"
#include "gw_sql.h"
#include "http/request.h"

gw_status gw_home_list(gw_request *rq, gw_reply *reply, gw_error *err)
{
    const char *cursor;
    int64_t limit;
    gw_rows rows;
    gw_status status = gw_request_query_uuid(rq, "cursor", &cursor, err);
    if (!status) status = gw_request_query_int(rq, "limit", 1, 1000, 500, &limit, err);
    if (status) return status;
    const char *const params[] = {cursor, gw_text_of_int(rq->arena, limit)};
    status = gw_db_run(rq, &gw_q_home_list, params, &rows, err);
    if (status) return status;
    return gw_reply_json_text(reply, 200, gw_rows_text(&rows, 0, 0), err);
}

gw_status gw_home_get(gw_request *rq, gw_reply *reply, gw_error *err)
{
    gw_rows rows;
    gw_status status = gw_db_run(rq, &gw_q_home_get, (const char *const[]){rq->path[0]}, &rows, err);
    if (status) return status;
    if (gw_rows_count(&rows) == 0) return gw_fail(err, GW_EUNKNOWN, "no such home");
    return gw_reply_json_text(reply, 200, gw_rows_text(&rows, 0, 0), err);
}

gw_status gw_home_findings(gw_request *rq, gw_reply *reply, gw_error *err)
{
    int64_t weeks;
    gw_rows rows;
    gw_status status = gw_request_query_int(rq, "weeks", 1, 53, 12, &weeks, err);
    if (status) return status;
    const char *const params[] = {rq->path[0], gw_text_of_int(rq->arena, weeks)};
    status = gw_db_run(rq, &gw_q_home_findings, params, &rows, err);
    if (status) return status;
    if (gw_rows_count(&rows) == 0) return gw_fail(err, GW_EUNKNOWN, "no such home");
    return gw_reply_json_text(reply, 200, gw_rows_text(&rows, 0, 0), err);
}
