/**
 * What judging a check reads from the database and writes to it.
 *
 * Reading is one round trip; the rows become the engine's arrays. Writing is a list of calls that run as one
 * transaction; the order matters: the check first, then what refers to it.
 */
#ifndef GW_CHECK_CHECK_DB_H
#define GW_CHECK_CHECK_DB_H

#include "check/check.h"

/** Another animal's weighing in the same session. */
typedef struct gw_mate {
    const char *check;
    gw_trend_session_item item;
    int32_t level, kind, quality; /* as stored */
    bool by_session;              /* as stored */
} gw_mate;

/** The counts of a sign group that spreads, this animal left out. */
typedef struct gw_spread {
    const char *group;
    bool to_people;
    uint32_t here_with, here_animals, rest_with, rest_animals, homes;
} gw_spread;

enum { GW_SPREADS_MAX = 8 };

/** Everything that one check is judged by. */
typedef struct gw_check_context {
    const char *stored_hash; /* of a check with this id, NULL: there is none */
    gw_check_subject subject;
    bool found; /* the animal is there and visible */
    bool home_found;
    bool scale_found;
    const char *step;
    size_t n_history;
    const char **history_ids;
    gw_trend_weighing *history; /* [n_history + 1]: room for the new one */
    bool *history_by_session;   /* [n_history + 1] */
    gw_level *history_levels;   /* [n_history + 1] of the stored verdicts */
    const char **scales;        /* scale number in the history -> id */
    int32_t n_scales;
    size_t n_mates;
    gw_mate *mates; /* [n_mates] */
    gw_spread spreads[GW_SPREADS_MAX];
    size_t n_spreads;
} gw_check_context;

/**
 * Read the context of a check, and fill in what the catalogue says of its findings (region, level, group, usual;
 * region stays NULL for a sign that the species does not have).
 *
 * @param subject  a new animal, or NULL: read it
 */
GW_MUST_CHECK gw_status gw_check_read(gw_request *rq, gw_check *check, const gw_check_subject *subject,
                                      gw_check_context *out, gw_error *err);

/** Read subject, events and history of one animal, without a new check. */
GW_MUST_CHECK gw_status gw_check_read_animal(gw_request *rq, const char *animal, gw_check_context *out, gw_error *err);

/** The number of a scale in the history, added when it is new; -1 for NULL or when there are too many. */
int32_t gw_check_scale_number(gw_check_context *context, const char *scale);

/** The call that writes the check itself. */
gw_call gw_check_add_call(gw_request *rq, const gw_check_outcome *outcome);

#endif
