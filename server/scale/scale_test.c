#include "scale/scale_test.h"

#include <gramwell/trend.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/number.h"
#include "db/db.h"
#include "gw_sql.h"
#include "scale/scale.h"
#include "json/decode.h"
#include "json/meaning.h"

/* Ranges in tenths of a gram, as in the table's constraints; a phone's clock may be five minutes ahead. */
enum { MASS_MIN = 10, MASS_MAX = 300000, FUTURE_GRACE_US = 5 * 60 * 1000000 };

bool gw_scale_test_passes(int32_t step, int32_t mass, int32_t reading, double *allowed)
{
    *allowed = gw_trend_scale_allowed_error(step / 10.0, mass / 10.0);
    /* Whole tenths on both sides: a binary fraction must not decide at the very limit. */
    return abs(reading - mass) <= llround(*allowed * 10);
}

typedef struct {
    const char *scale;
    gw_instant at;
    int32_t mass, reading;
    const char *hash;
} test_body;

static gw_status decode_test(gw_request *rq, test_body *t, gw_error *err)
{
    gw_decoder d = gw_decode(rq, err);
    *t = (test_body){.hash = gw_json_meaning(rq->arena, d.value)};
    gw_decode_uuid(&d, "/scale", &t->scale);
    if (gw_decode_instant(&d, "/at", &t->at) && t->at.us > gw_instant_now().us + FUTURE_GRACE_US)
        gw_decode_fault(&d, "/at", "lies in the future", "Look at the clock of the phone.");
    gw_decode_tenths(&d, "/mass", MASS_MIN, MASS_MAX, &t->mass);
    gw_decode_tenths(&d, "/reading", 0, MASS_MAX, &t->reading);
    return gw_decode_done(&d);
}

static gw_status answer(gw_request *rq, gw_reply *reply, gw_error *err)
{
    gw_rows rows;
    gw_status status = gw_db_run(rq, &gw_q_scale_test_answer, rq->path, &rows, err);
    if (status) return status;
    return gw_reply_json_text(reply, 200, gw_rows_text(&rows, 0, 0), err);
}

static gw_status write_test(gw_request *rq, const test_body *t, int32_t step, gw_reply *reply, gw_error *err)
{
    double allowed;
    gw_rows rows[3];
    bool passed = gw_scale_test_passes(step, t->mass, t->reading, &allowed);
    const char *const params[] = {rq->path[0],
                                  t->scale,
                                  t->at.text,
                                  gw_text_of_tenths(rq->arena, t->mass),
                                  gw_text_of_tenths(rq->arena, t->reading),
                                  gw_text_of_real(rq->arena, allowed),
                                  gw_text_of_bool(passed),
                                  t->hash};
    const gw_call calls[] = {{&gw_q_scale_test_add, params},
                             {passed ? &gw_q_scale_alert_settle : &gw_q_scale_alert_raise, rq->path},
                             {&gw_q_scale_test_answer, rq->path}};
    gw_status status = gw_db_run_many(rq, 3, calls, rows, err);
    if (status) return status;
    return gw_reply_json_text(reply, 201, gw_rows_text(&rows[2], 0, 0), err);
}

static gw_status put_once(gw_request *rq, const test_body *t, gw_reply *reply, gw_error *err)
{
    gw_rows rows;
    const char *const params[] = {rq->path[0], t->scale};
    gw_status status = gw_db_run(rq, &gw_q_scale_test_look, params, &rows, err);
    if (status) return status;
    const char *stored = gw_rows_text(&rows, 0, 3);
    if (stored && !strcmp(stored, t->hash)) return answer(rq, reply, err);
    if (stored) return gw_fail(err, GW_ECONFLICT, "this id already belongs to another test");
    if (!gw_rows_bool(&rows, 0, 0)) return gw_fault_add(err, "/scale", "is no scale that you can see", NULL);

    if (t->mass > (int32_t)lround(gw_rows_double(&rows, 0, 2) * 10))
        return gw_fault_add(
            err, "/mass",
            gw_arena_printf(rq->arena, "is more than the scale can weigh, %s g", gw_rows_text(&rows, 0, 2)),
            "Take a smaller mass, near the weight of the animals.");
    return write_test(rq, t, (int32_t)lround(gw_rows_double(&rows, 0, 1) * 10), reply, err);
}

/* The same id written by another request at this very moment is a conflict the first time and found the second. */
gw_status gw_scale_test_put(gw_request *rq, gw_reply *reply, gw_error *err)
{
    test_body t;
    gw_error attempt;
    gw_status status = decode_test(rq, &t, err);
    if (status) return status;
    gw_error_init(&attempt, rq->arena);
    status = put_once(rq, &t, reply, &attempt);
    if (status == GW_ECONFLICT) return put_once(rq, &t, reply, err);
    if (status) *err = attempt;
    return status;
}
