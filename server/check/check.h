/**
 * A check: one hands-on examination, decoded, judged by the trend engine, and written with its verdict and alerts.
 *
 * The course of PUT /checks/{check}, and of the baseline check inside an arrival:
 *
 *   gw_check_decode        the body, all faults collected
 *   gw_check_judge         one round trip for what the engine must know, then the engine, here in the server
 *   outcome.calls          the statements that write check, findings, verdict and alerts: to be run in one transaction
 *
 * The animal's version joins the two trips: if another check came between, the write raises GW412 (GW_ESTALE), nothing
 * is written, and the caller judges again.
 *
 * Memory   everything lives in the request's arena.
 */
#ifndef GW_CHECK_CHECK_H
#define GW_CHECK_CHECK_H

#include <gramwell/trend.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/error.h"
#include "base/request.h"
#include "db/db.h"
#include "http/reply.h"
#include "json/decode.h"

enum { GW_REGIONS = 11, GW_FINDINGS_MAX = 40, GW_READINGS_MAX = 5, GW_CHECK_CALLS_MAX = 12, GW_CHECK_TRIES = 40 };

/** Regions in the order of the hands; the same words and order as the table gw.region. Ends with NULL. */
extern const char *const gw_region_names[GW_REGIONS + 1];

typedef enum { GW_ANSWER_NONE = 0, GW_ANSWER_AS_USUAL, GW_ANSWER_NOT_LOOKED_AT, GW_ANSWER_FINDINGS } gw_answer;

typedef struct gw_finding {
    const char *pointer; /* where it stands in the body, for faults that only the catalogue shows */
    const char *sign;
    const char *grade; /* "slight" or "marked" */
    const char *side;  /* NULL: not said */
    const char *note;  /* NULL: none */
    /* from the catalogue and the animal's known normals, filled by gw_check_judge: */
    const char *region;
    const char *group; /* sign group, NULL: none */
    gw_level level;
    int window_days; /* of a group that spreads, 0: does not */
    bool to_people;
    bool usual; /* covered by a known normal */
} gw_finding;

typedef struct gw_check {
    const char *id;
    const char *animal;
    const char *made_in; /* home */
    const char *kind;
    const char *pointer; /* where the check stands in the body: "" or "/baseline" */
    const char *request_hash;
    gw_instant at;
    int64_t minutes; /* -1: not said */
    const char *note;
    gw_answer answers[GW_REGIONS];
    gw_finding findings[GW_FINDINGS_MAX];
    size_t n_findings;
    bool weighed;
    const char *scale;
    int32_t readings[GW_READINGS_MAX]; /* tenths of a gram, in the order they were read */
    size_t n_readings;
    int32_t grams; /* tenths: their median */
    bool zeroed;
    bool confirmed;
} gw_check;

/** The animal as the engine and the write need it. */
typedef struct gw_check_subject {
    const char *animal;
    int64_t version; /* of gw.animal_state */
    gw_trend_subject trend;
    const char *species; /* word */
    const char *home;    /* present home */
} gw_check_subject;

/** What came of judging a check: its level, and the calls[n_calls] that write it. */
typedef struct gw_check_outcome {
    const gw_check *check;
    const char *stored_hash; /* this id is stored already, with this hash: nothing was judged; NULL: new */
    gw_check_subject subject;
    gw_level level; /* the highest of weight, mouth and signs */
    gw_kind kind;
    const char *step; /* of the scale, NULL without a weight */
    gw_level sign_level;
    uint32_t mouth_looked, mouth_seen;
    gw_trend_verdict alone, verdict;
    bool by_session;
    gw_call calls[GW_CHECK_CALLS_MAX];
    size_t n_calls;
} gw_check_outcome;

/**
 * Decode the members of a check from d into out; faults are collected in the decoder. Afterwards call gw_decode_done on
 * the body's decoder as usual.
 *
 * @param d         the object that holds the check's members
 * @param id        the check's id from the path; NULL: member "id" (an arrival's baseline)
 * @param baseline  true: no members animal, home, kind; they are the arrival's, set by the caller in out
 * @param pointer   where d stands in the body: "" or "/baseline"
 */
void gw_check_decode(gw_request *rq, gw_decoder *d, const char *id, bool baseline, const char *pointer, gw_check *out);

/**
 * Read what the engine must know and judge the check. Adds faults (GW_EINPUT) for a sign that is unknown or not for the
 * species, an answer that does not fit the findings, a scale or home that is unknown or not visible.
 *
 * @param subject  NULL: the animal is in the database and is read (GW_EINPUT at /animal when it is not visible);
 *                 else a new animal, with version 0 and no history
 * @param out      filled on GW_OK, its calls included
 */
GW_MUST_CHECK gw_status gw_check_judge(gw_request *rq, gw_check *check, const gw_check_subject *subject,
                                       gw_check_outcome *out, gw_error *err);

/**
 * Work out again all verdicts of one animal, after an event or a correction changed the past, and raise what follows
 * from the newest. Does nothing for an animal without weights.
 */
GW_MUST_CHECK gw_status gw_check_reassess(gw_request *rq, const char *animal, gw_error *err);

gw_status gw_check_put(gw_request *rq, gw_reply *reply, gw_error *err);
gw_status gw_check_get(gw_request *rq, gw_reply *reply, gw_error *err);
gw_status gw_check_history(gw_request *rq, gw_reply *reply, gw_error *err);

#endif
