#include "alert/alert.h"

#include <string.h>

#include "base/number.h"
#include "base/time.h"
#include "db/db.h"
#include "gw_sql.h"
#include "http/request.h"
#include "json/decode.h"

gw_status gw_alert_list(gw_request *rq, gw_reply *reply, gw_error *err)
{
    static const char *const states[] = {"open", "settled", NULL};
    const char *animal, *home;
    int64_t limit;
    int state;
    gw_instant before;
    const char *cursor = gw_request_query(rq, "cursor");
    gw_status status = gw_request_query_enum(rq, "state", states, 0, &state, err);
    if (!status) status = gw_request_query_uuid(rq, "animal", &animal, err);
    if (!status) status = gw_request_query_uuid(rq, "home", &home, err);
    if (!status) status = gw_request_query_int(rq, "limit", 1, 500, 200, &limit, err);
    if (!status && cursor) status = gw_request_query_instant(rq, "cursor", &before, err);
    if (status) return status;

    gw_rows rows;
    const char *const params[] = {gw_text_of_bool(state == 0), animal, home, gw_text_of_int(rq->arena, limit),
                                  cursor ? before.text : NULL};
    status = gw_db_run(rq, &gw_q_alert_list, params, &rows, err);
    if (status) return status;
    return gw_reply_json_text(reply, 200, gw_rows_text(&rows, 0, 0), err);
}

gw_status gw_alert_get(gw_request *rq, gw_reply *reply, gw_error *err)
{
    gw_rows rows;
    gw_status status = gw_db_run(rq, &gw_q_alert_get, (const char *const[]){rq->path[0]}, &rows, err);
    if (status) return status;
    if (gw_rows_count(&rows) == 0) return gw_fail(err, GW_EUNKNOWN, "no such alert");
    gw_reply_etag_version(reply, gw_rows_int64(&rows, 0, 1));
    return gw_reply_json_text(reply, 200, gw_rows_text(&rows, 0, 0), err);
}

typedef struct {
    const char *id, *outcome, *note, *step;
    gw_instant at, due;
    bool has_due;
} step_body;

static gw_status decode_step(gw_request *rq, step_body *s, gw_error *err)
{
    static const char *const steps[] = {"taken",   "reweigh_asked", "vet_booked", "vet_seen", "watching",
                                        "settled", "reopened",      "note",       NULL};
    static const char *const outcomes[] = {"ill",  "injured", "benign", "known_normal", "measuring_error", "pregnant",
                                           "died", "other",   NULL};
    int step = -1, outcome = -1;
    gw_decoder d = gw_decode(rq, err);
    *s = (step_body){.at = gw_instant_now()};
    gw_decode_uuid(&d, "/id", &s->id);
    if (gw_decode_enum(&d, "/step", steps, &step)) s->step = steps[step];
    if (gw_decode_enum_optional(&d, "/outcome", outcomes, &outcome)) s->outcome = outcomes[outcome];
    gw_decode_text_optional(&d, "/note", 1, 2000, &s->note);
    if (gw_decode_instant_optional(&d, "/at", &s->at) && s->at.us > gw_instant_now().us + 300000000)
        gw_decode_fault(&d, "/at", "lies in the future", NULL);
    s->has_due = gw_decode_instant_optional(&d, "/due", &s->due);

    bool settles = s->step && !strcmp(s->step, "settled");
    if (settles && !s->outcome) gw_decode_fault(&d, "/outcome", "is missing", "Say how it ended.");
    if (s->step && !settles && s->outcome) gw_decode_fault(&d, "/outcome", "is for the step settled only", NULL);
    if (s->step && !strcmp(s->step, "note") && !s->note) gw_decode_fault(&d, "/note", "is missing", NULL);
    return gw_decode_done(&d);
}

/* The step was not added: an old version, a state it does not fit, or the same step sent again. */
static gw_status explain(gw_request *rq, const step_body *s, int64_t version, gw_reply *reply, gw_error *err)
{
    gw_rows rows;
    const char *const params[] = {rq->path[0], s->id};
    gw_status status = gw_db_run(rq, &gw_q_alert_look, params, &rows, err);
    if (status) return status;
    if (gw_rows_count(&rows) == 0) return gw_fail(err, GW_EUNKNOWN, "no such alert");
    if (!gw_rows_is_null(&rows, 0, 2)) {
        gw_reply_etag_version(reply, gw_rows_int64(&rows, 0, 0));
        return gw_reply_json_text(reply, 200, gw_rows_text(&rows, 0, 2), err);
    }
    if (gw_rows_int64(&rows, 0, 0) != version)
        return gw_fail(err, GW_ESTALE, "somebody has changed this alert meanwhile");
    return gw_fail(err, GW_ECONFLICT, "the alert is %s: the step %s does not fit", gw_rows_text(&rows, 0, 1), s->step);
}

gw_status gw_alert_step_post(gw_request *rq, gw_reply *reply, gw_error *err)
{
    step_body s;
    int64_t version;
    gw_rows rows;
    gw_error attempt;
    gw_status status = decode_step(rq, &s, err);
    if (!status) status = gw_request_if_match(rq, &version, err);
    if (status) return status;

    const char *const params[] = {s.id,      rq->path[0], gw_text_of_int(rq->arena, version), s.step,
                                  s.outcome, s.note,      s.has_due ? s.due.text : NULL,      s.at.text};
    gw_error_init(&attempt, rq->arena);
    status = gw_db_run(rq, &gw_q_alert_step, params, &rows, &attempt);
    if (status == GW_ECONFLICT) return explain(rq, &s, version, reply, err);
    if (status) {
        *err = attempt;
        return status;
    }
    if (gw_rows_count(&rows) == 0) return explain(rq, &s, version, reply, err);
    gw_reply_etag_version(reply, gw_rows_int64(&rows, 0, 1));
    return gw_reply_json_text(reply, 201, gw_rows_text(&rows, 0, 0), err);
}
