#include <math.h>
#include <string.h>

#include "arrival/arrival.h"
#include "base/number.h"
#include "db/db.h"
#include "gw_sql.h"

/* Columns of arrival_look.sql. */
enum { HASH, HASH_ANIMAL, HOME, DAY, PEN, CHECK_DAYS, ANIMAL_TAKEN, CHIP_HOLDER };

static gw_status answer(gw_request *rq, gw_reply *reply, gw_error *err)
{
    gw_rows rows;
    gw_status status = gw_db_run(rq, &gw_q_arrival_answer, rq->path, &rows, err);
    if (status) return status;
    return gw_reply_json_text(reply, 200, gw_rows_text(&rows, 0, 0), err);
}

/* All that the database knows better than the body; every fault is reported. */
static gw_status check_place(const gw_rows *look, const gw_arrival *a, gw_error *err)
{
    gw_status status = GW_OK;
    if (!gw_rows_bool(look, 0, HOME))
        status = gw_fault_add(err, "/home", "is no home that you can see", NULL);
    else if (!gw_rows_bool(look, 0, PEN))
        status = gw_fault_add(err, "/pen", "is no pen of this home", NULL);
    if (gw_rows_is_null(look, 0, CHECK_DAYS))
        status = gw_fault_add(err, "/animal/species", "is no species of the catalogue", NULL);
    if (status) return status;
    if (gw_rows_bool(look, 0, ANIMAL_TAKEN))
        return gw_fail(err, GW_ECONFLICT, "the id %s already belongs to another animal", a->animal.id);
    if (!gw_rows_is_null(look, 0, CHIP_HOLDER))
        return gw_fail(err, GW_ECONFLICT, "%s has this chip number already", gw_rows_text(look, 0, CHIP_HOLDER));
    return GW_OK;
}

static double days_of(const char *day)
{
    gw_date date;
    return day && !gw_date_parse(day, &date, NULL) ? date.days : NAN;
}

static gw_check_subject subject_of(const gw_arrival *a, const char *arrived)
{
    return (gw_check_subject){
        .animal = a->animal.id,
        .species = a->animal.species,
        .home = a->home,
        .trend = {.birth = a->animal.birth_days,
                  .arrived = days_of(arrived),
                  .adult_grams = NAN,
                  .species = gw_species_from_name(a->animal.species),
                  .sex = gw_sex_from_name(a->animal.sex),
                  .stage = gw_stage_from_name(a->animal.stage)},
    };
}

static gw_status write_arrival(gw_request *rq, gw_arrival *a, const char *arrived, gw_reply *reply, gw_error *err)
{
    gw_check_outcome outcome;
    gw_rows rows[GW_CHECK_CALLS_MAX + 2];
    gw_call calls[GW_CHECK_CALLS_MAX + 2];
    gw_check_subject subject = subject_of(a, arrived);
    gw_status status = gw_check_judge(rq, &a->baseline, &subject, &outcome, err);
    if (status) return status;
    if (outcome.stored_hash) return gw_fail(err, GW_ECONFLICT, "the id of the baseline belongs to another check");

    const gw_arrival_animal *n = &a->animal;
    const char *const params[] = {
        rq->path[0], a->kind,    a->at.text, a->from,     a->note,  a->request_hash,    a->home,  a->pen,  n->id,
        n->name,     n->species, n->sex,     n->neutered, n->birth, n->birth_precision, n->stage, n->coat, n->markings,
        n->chip,     n->note,    arrived};
    size_t last = outcome.n_calls + 1;
    calls[0] = (gw_call){&gw_q_arrival_add, params};
    memcpy(calls + 1, outcome.calls, outcome.n_calls * sizeof *calls);
    calls[last] = (gw_call){&gw_q_arrival_answer, rq->path};
    status = gw_db_run_many(rq, last + 1, calls, rows, err);
    if (status) return status;
    return gw_reply_json_text(reply, 201, gw_rows_text(&rows[last], 0, 0), err);
}

static gw_status put_once(gw_request *rq, gw_arrival *a, gw_reply *reply, gw_error *err)
{
    gw_rows look;
    const char *const params[] = {a->id, a->animal.id, a->home, a->pen, a->animal.species, a->animal.chip, a->at.text};
    gw_status status = gw_db_run(rq, &gw_q_arrival_look, params, &look, err);
    if (status) return status;
    const char *stored = gw_rows_text(&look, 0, HASH);
    if (stored && !strcmp(stored, a->request_hash)) return answer(rq, reply, err);
    if (stored) return gw_fail(err, GW_ECONFLICT, "this id already belongs to another arrival");
    status = check_place(&look, a, err);
    if (status) return status;
    /* Born here means no journey and no new surroundings: the engine wants no day of arrival then. */
    return write_arrival(rq, a, a->born_here ? NULL : gw_rows_text(&look, 0, DAY), reply, err);
}

/* The same arrival written by another request at this very moment is a conflict the first time and found the second. */
gw_status gw_arrival_put(gw_request *rq, gw_reply *reply, gw_error *err)
{
    gw_arrival arrival;
    gw_error attempt;
    gw_status status = gw_arrival_decode(rq, &arrival, err);
    if (status) return status;
    gw_error_init(&attempt, rq->arena);
    status = put_once(rq, &arrival, reply, &attempt);
    if (status == GW_ECONFLICT) return put_once(rq, &arrival, reply, err);
    if (status) *err = attempt;
    return status;
}
