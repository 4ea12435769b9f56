#include "home/home.h"

#include "base/number.h"
#include "db/db.h"
#include "gw_sql.h"
#include "http/request.h"
#include "json/decode.h"

const char *const gw_home_kinds[] = {"foster", "room", "quarantine", "boarding", "clinic", NULL};

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

/* Made now or there before: PUT answers 201 the first time. */
static int put_status(const gw_rows *rows, size_t fresh_column)
{
    return gw_rows_bool(rows, 0, fresh_column) ? 201 : 200;
}

gw_status gw_home_put(gw_request *rq, gw_reply *reply, gw_error *err)
{
    const char *name = NULL, *zone = NULL, *note = NULL;
    int kind = 0;
    gw_rows rows;
    gw_decoder d = gw_decode(rq, err);
    gw_decode_text(&d, "/name", 1, 120, &name);
    gw_decode_enum(&d, "/kind", gw_home_kinds, &kind);
    gw_decode_text(&d, "/zone", 1, 60, &zone);
    gw_decode_text_optional(&d, "/note", 1, 2000, &note);
    gw_status status = gw_decode_done(&d);
    if (status) return status;

    status = gw_db_run(rq, &gw_q_home_zone, (const char *const[]){zone}, &rows, err);
    if (status) return status;
    if (!gw_rows_bool(&rows, 0, 0))
        return gw_fault_add(err, "/zone", "is not the name of a time zone", "Write it like Europe/London.");

    const char *const params[] = {rq->path[0], name, gw_home_kinds[kind], zone, note};
    status = gw_db_run(rq, &gw_q_home_put, params, &rows, err);
    if (status) return status;
    return gw_reply_json_text(reply, put_status(&rows, 1), gw_rows_text(&rows, 0, 0), err);
}

gw_status gw_home_person_put(gw_request *rq, gw_reply *reply, gw_error *err)
{
    gw_instant from, to;
    gw_rows rows;
    gw_decoder d = gw_decode(rq, err);
    bool has_from = gw_decode_instant(&d, "/from", &from);
    bool has_to = gw_decode_instant_optional(&d, "/to", &to);
    if (has_from && has_to && to.us <= from.us) gw_decode_fault(&d, "/to", "is not later than /from", NULL);
    gw_status status = gw_decode_done(&d);
    if (status) return status;

    status = gw_db_run(rq, &gw_q_home_person_look, rq->path, &rows, err);
    if (status) return status;
    if (!gw_rows_bool(&rows, 0, 0)) return gw_fail(err, GW_EUNKNOWN, "no such home");
    if (!gw_rows_bool(&rows, 0, 1)) return gw_fail(err, GW_EUNKNOWN, "no such person");

    const char *const params[] = {rq->path[0], rq->path[1], from.text, has_to ? to.text : NULL};
    status = gw_db_run(rq, &gw_q_home_person_put, params, &rows, err);
    if (status) return status;
    return gw_reply_json_text(reply, put_status(&rows, 1), gw_rows_text(&rows, 0, 0), err);
}

gw_status gw_pen_put(gw_request *rq, gw_reply *reply, gw_error *err)
{
    const char *name = NULL;
    gw_rows rows;
    gw_decoder d = gw_decode(rq, err);
    gw_decode_text(&d, "/name", 1, 60, &name);
    gw_status status = gw_decode_done(&d);
    if (status) return status;

    const char *const params[] = {rq->path[0], rq->path[1], name};
    status = gw_db_run(rq, &gw_q_pen_put, params, &rows, err);
    if (status) return status;
    if (!gw_rows_bool(&rows, 0, 0)) return gw_fail(err, GW_EUNKNOWN, "no such home");
    if (gw_rows_is_null(&rows, 0, 1)) return gw_fail(err, GW_ECONFLICT, "this id belongs to a pen of another home");
    return gw_reply_json_text(reply, put_status(&rows, 2), gw_rows_text(&rows, 0, 1), err);
}
