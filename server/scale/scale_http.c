#include "scale/scale.h"

#include <string.h>

#include "base/number.h"
#include "db/db.h"
#include "gw_sql.h"
#include "http/request.h"
#include "scale/scale_session.h"
#include "json/decode.h"

gw_status gw_scale_list(gw_request *rq, gw_reply *reply, gw_error *err)
{
    const char *home, *cursor;
    int64_t limit;
    gw_rows rows;
    gw_status status = gw_request_query_uuid(rq, "home", &home, err);
    if (!status) status = gw_request_query_uuid(rq, "cursor", &cursor, err);
    if (!status) status = gw_request_query_int(rq, "limit", 1, 1000, 500, &limit, err);
    if (status) return status;
    const char *const params[] = {home, cursor, gw_text_of_int(rq->arena, limit)};
    status = gw_db_run(rq, &gw_q_scale_list, params, &rows, err);
    if (status) return status;
    return gw_reply_json_text(reply, 200, gw_rows_text(&rows, 0, 0), err);
}

/* The query gives the scale as an object; the sessions, which the engine works out, become its last member. */
gw_status gw_scale_get(gw_request *rq, gw_reply *reply, gw_error *err)
{
    gw_rows rows[2];
    gw_buffer body;
    const char *const params[] = {rq->path[0]};
    const gw_call calls[] = {{&gw_q_scale_get, params}, {&gw_q_scale_weighings, params}};
    gw_status status = gw_db_run_many(rq, 2, calls, rows, err);
    if (status) return status;
    if (gw_rows_count(&rows[0]) == 0) return gw_fail(err, GW_EUNKNOWN, "no such scale");

    const char *scale = gw_rows_text(&rows[0], 0, 0);
    gw_buffer_init(&body, rq->arena, strlen(scale) + 4096);
    gw_buffer_add_bytes(&body, scale, strlen(scale) - 1);
    gw_buffer_add(&body, ",\"sessions\":");
    status = gw_scale_sessions(&rows[1], &body, err);
    if (status) return status;
    gw_buffer_add(&body, "}");
    return gw_reply_json_buffer(reply, 200, &body, err);
}

/* Ranges in tenths of a gram, as in the tables' constraints. */
enum { STEP_MIN = 1, STEP_MAX = 1000, CAPACITY_MIN = 100, CAPACITY_MAX = 1000000 };

gw_status gw_scale_put(gw_request *rq, gw_reply *reply, gw_error *err)
{
    const char *home = NULL, *name = NULL;
    int32_t step = 0, capacity = 0;
    gw_rows rows;
    gw_decoder d = gw_decode(rq, err);
    gw_decode_uuid(&d, "/home", &home);
    gw_decode_text(&d, "/name", 1, 80, &name);
    gw_decode_tenths(&d, "/step", STEP_MIN, STEP_MAX, &step);
    gw_decode_tenths(&d, "/capacity", CAPACITY_MIN, CAPACITY_MAX, &capacity);
    gw_status status = gw_decode_done(&d);
    if (status) return status;

    const char *const params[] = {rq->path[0], home, name, gw_text_of_tenths(rq->arena, step),
                                  gw_text_of_tenths(rq->arena, capacity)};
    status = gw_db_run(rq, &gw_q_scale_put, params, &rows, err);
    if (status) return status;
    if (gw_rows_count(&rows) == 0) return gw_fault_add(err, "/home", "is no home that you can see", NULL);
    return gw_reply_json_text(reply, gw_rows_bool(&rows, 0, 1) ? 201 : 200, gw_rows_text(&rows, 0, 0), err);
}
