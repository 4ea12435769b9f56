/*
 * What is written down about an animal between its checks: known normals and events.
 */
#include <string.h>

#include "animal/animal.h"
#include "base/time.h"
#include "check/check.h"
#include "db/db.h"
#include "gw_sql.h"
#include "json/decode.h"

static const char *const grades[] = {"slight", "marked", NULL};
static const char *const events[] = {"pregnant", "gave_birth", "surgery", "diet_change", "journey", "bonding", NULL};

/* Days: an event is written down when it has begun, at the latest tomorrow somewhere; it may be planned to last a year.
 */
enum { AHEAD_DAYS = 1, LASTS_DAYS = 366, EARLIEST_YEAR = 2000 };

static gw_status answer_put(gw_reply *reply, const gw_rows *rows, size_t json, size_t fresh, gw_error *err)
{
    return gw_reply_json_text(reply, gw_rows_bool(rows, 0, fresh) ? 201 : 200, gw_rows_text(rows, 0, json), err);
}

gw_status gw_known_normal_put(gw_request *rq, gw_reply *reply, gw_error *err)
{
    const char *sign = NULL, *said_by = NULL;
    int up_to = 0;
    bool confirmed = false;
    gw_rows rows;
    gw_decoder d = gw_decode(rq, err);
    gw_decode_text(&d, "/sign", 1, 40, &sign);
    gw_decode_enum(&d, "/up_to", grades, &up_to);
    gw_decode_text_optional(&d, "/said_by", 1, 120, &said_by);
    gw_decode_bool_optional(&d, "/vet_confirmed", &confirmed);
    gw_status status = gw_decode_done(&d);
    if (status) return status;

    status = gw_db_run(rq, &gw_q_known_normal_look, (const char *const[]){rq->path[0], sign}, &rows, err);
    if (status) return status;
    if (gw_rows_count(&rows) == 0) return gw_fail(err, GW_EUNKNOWN, "no such animal");
    if (confirmed && !gw_rows_bool(&rows, 0, 1))
        return gw_fail(err, GW_EROLE, "only a coordinator writes down that a vet has confirmed it");
    if (!gw_rows_bool(&rows, 0, 0)) return gw_fault_add(err, "/sign", "is no sign of this species", NULL);

    const char *const params[] = {rq->path[1], rq->path[0], sign, grades[up_to], said_by, confirmed ? "true" : "false"};
    status = gw_db_run(rq, &gw_q_known_normal_put, params, &rows, err);
    if (status) return status;
    if (gw_rows_is_null(&rows, 0, 0))
        return gw_fail(err, GW_ECONFLICT, "this id already belongs to another known normal");
    return answer_put(reply, &rows, 0, 1, err);
}

static void check_period(gw_decoder *d, const gw_date *from, const gw_date *to)
{
    int32_t today = (int32_t)(gw_instant_now().us / 86400000000);
    if (from && from->days > today + AHEAD_DAYS) gw_decode_fault(d, "/from", "lies in the future", NULL);
    if (from && from->days < gw_days_from_civil(EARLIEST_YEAR, 1, 1))
        gw_decode_fault(d, "/from", "is earlier than 2000-01-01", NULL);
    if (from && to && to->days < from->days) gw_decode_fault(d, "/to", "is earlier than /from", NULL);
    if (to && to->days > today + LASTS_DAYS) gw_decode_fault(d, "/to", "lies more than a year ahead", NULL);
}

gw_status gw_event_put(gw_request *rq, gw_reply *reply, gw_error *err)
{
    const char *note = NULL;
    int event = 0;
    gw_date from, to;
    gw_rows rows;
    gw_decoder d = gw_decode(rq, err);
    gw_decode_enum(&d, "/event", events, &event);
    bool has_from = gw_decode_date(&d, "/from", &from);
    bool has_to = gw_decode_date_optional(&d, "/to", &to);
    gw_decode_text_optional(&d, "/note", 1, 500, &note);
    check_period(&d, has_from ? &from : NULL, has_to ? &to : NULL);
    gw_status status = gw_decode_done(&d);
    if (status) return status;

    const char *const params[] = {rq->path[1], rq->path[0], events[event], from.text, has_to ? to.text : NULL, note};
    status = gw_db_run(rq, &gw_q_event_put, params, &rows, err);
    if (status) return status;
    if (!gw_rows_bool(&rows, 0, 0)) return gw_fail(err, GW_EUNKNOWN, "no such animal");
    if (gw_rows_is_null(&rows, 0, 1))
        return gw_fail(err, GW_ECONFLICT, "this id already belongs to another event, or intake staff must end it");
    /* Also when it is the same again: a reply lost between the two steps is made good by sending once more. */
    status = gw_check_reassess(rq, rq->path[0], err);
    if (status) return status;
    return answer_put(reply, &rows, 1, 2, err);
}
