#include "db/refusal.h"

#include <string.h>

#include "base/log.h"

/*
 * Constraints that a person can meet, by name. A new one gets its line here; a constraint that is not listed answers
 * with the words of its SQLSTATE below. Handlers check most of these before, with the value and the pointer: this is
 * what remains when two people act at once.
 */
static const struct {
    const char *constraint;
    gw_status status;
    const char *words;
} by_constraint[] = {
    {"account_email_form", GW_EINPUT, "the e-mail address has not the form name@example.org"},
    {"account_email_once", GW_ECONFLICT, "somebody with this e-mail address is here already"},
    {"alert_one_open", GW_ECONFLICT, "an alert about this is open already"},
    {"animal_chip_form", GW_EINPUT, "the chip number has not the form of one"},
    {"animal_chip_once", GW_ECONFLICT, "another animal has this chip number"},
    {"animal_tag_once", GW_ECONFLICT, "another animal has this tag"},
    {"arrival_not_future", GW_EINPUT, "the arrival lies in the future"},
    {"check_grams_range", GW_EINPUT, "the weight is outside what the species can weigh"},
    {"check_not_future", GW_EINPUT, "the check lies in the future"},
    {"event_not_empty", GW_EINPUT, "the event ends before it begins"},
    {"home_name_once", GW_ECONFLICT, "another home has this name"},
    {"home_zone_known", GW_EINPUT, "the time zone is not known"},
    {"known_normal_once", GW_ECONFLICT, "this sign is noted as normal for the animal already"},
    {"pen_name_once", GW_ECONFLICT, "another pen of this home has this name"},
    {"scale_name_once", GW_ECONFLICT, "another scale of this home has this name"},
    {"scale_test_not_future", GW_EINPUT, "the test lies in the future"},
    {"serves_no_overlap", GW_ECONFLICT, "this person serves the home in that period already"},
    {"serves_not_empty", GW_EINPUT, "the period ends before it begins"},
    {"stay_no_overlap", GW_ECONFLICT, "the animal is somewhere else in that period"},
    {"stay_not_empty", GW_EINPUT, "the stay ends before it begins"},
    {"step_not_future", GW_EINPUT, "the step lies in the future"},
};

/* SQLSTATEs, the longest match first: five characters before a class of two. Source: PostgreSQL manual, appendix A. */
static const struct {
    const char *state;
    gw_status status;
    gw_retry retry;
    const char *words; /* NULL: the words of the raise itself, which are ours */
} by_state[] = {
    {"GW401", GW_ESIGNIN, GW_RETRY_NO, NULL},
    {"GW403", GW_EROLE, GW_RETRY_NO, NULL},
    {"GW404", GW_EUNKNOWN, GW_RETRY_NO, NULL},
    {"GW409", GW_ECONFLICT, GW_RETRY_NO, NULL},
    {"GW412", GW_ESTALE, GW_RETRY_NO, NULL},
    {"GW422", GW_EINPUT, GW_RETRY_NO, NULL},
    {"GW429", GW_ETHROTTLED, GW_RETRY_NO, NULL},
    {"23505", GW_ECONFLICT, GW_RETRY_NO, "something with this name or id is stored already"},
    {"23P01", GW_ECONFLICT, GW_RETRY_NO, "this overlaps something that is stored already"},
    {"23503", GW_EINPUT, GW_RETRY_NO, "something that this refers to does not exist"},
    {"23514", GW_EINPUT, GW_RETRY_NO, "a value is outside its limits"},
    {"42501", GW_EUNKNOWN, GW_RETRY_NO, "there is nothing here by that id"}, /* a row policy: hidden is unknown */
    {"40001", GW_EBUSY, GW_RETRY_SAME, "others were changing the same thing"},
    {"40P01", GW_EBUSY, GW_RETRY_SAME, "others were changing the same thing"},
    {"55P03", GW_EBUSY, GW_RETRY_NO, "others are changing the same thing"},
    {"57014", GW_EBUSY, GW_RETRY_NO, "this took too long"},
    {"26000", GW_EBUSY, GW_RETRY_FRESH, "the database has changed"}, /* our prepared statements are gone */
    {"0A000", GW_EBUSY, GW_RETRY_FRESH, "the database has changed"}, /* or their results have new columns */
    {"25006", GW_EBUSY, GW_RETRY_LOST, "the database takes no changes at the moment"}, /* a former primary */
    {"25P03", GW_EBUSY, GW_RETRY_LOST, "the database ended the connection"},
    {"53", GW_EBUSY, GW_RETRY_NO, "the database has no room at the moment"},
    {"57P", GW_EBUSY, GW_RETRY_LOST, "the database is restarting"},
    {"08", GW_EBUSY, GW_RETRY_LOST, "the connection to the database was lost"},
};

static gw_status fail_by_constraint(const char *constraint, gw_error *err)
{
    for (size_t i = 0; constraint && i < sizeof by_constraint / sizeof *by_constraint; i++)
        if (strcmp(by_constraint[i].constraint, constraint) == 0)
            return gw_fail(err, by_constraint[i].status, "%s", by_constraint[i].words);
    return GW_OK;
}

/* Our own raise: its message is for people; DETAIL may hold a JSON pointer and HINT what to do. */
static gw_status fail_by_raise(const PGresult *result, gw_status status, gw_error *err)
{
    const char *message = PQresultErrorField(result, PG_DIAG_MESSAGE_PRIMARY);
    const char *pointer = PQresultErrorField(result, PG_DIAG_MESSAGE_DETAIL);
    const char *hint = PQresultErrorField(result, PG_DIAG_MESSAGE_HINT);
    if (!message) message = "";
    if (status == GW_EINPUT && pointer && pointer[0] == '/') return gw_fault_add(err, pointer, message, hint);
    return gw_fail(err, status, "%s", message);
}

static void log_refusal(gw_log_level level, const PGresult *result, const char *query, const char *state)
{
    const char *constraint = PQresultErrorField(result, PG_DIAG_CONSTRAINT_NAME);
    gw_log(level, "refused", "query=%s sqlstate=%s constraint=%s", query, state, constraint ? constraint : "none");
}

gw_status gw_refusal(const PGresult *result, const char *query, gw_retry *retry, gw_error *err)
{
    const char *state = PQresultErrorField(result, PG_DIAG_SQLSTATE);
    if (!state) { /* libpq made this result itself: the connection is gone */
        *retry = GW_RETRY_LOST;
        return gw_fail(err, GW_EBUSY, "the connection to the database was lost");
    }
    *retry = GW_RETRY_NO;
    for (size_t i = 0; i < sizeof by_state / sizeof *by_state; i++) {
        if (strncmp(state, by_state[i].state, strlen(by_state[i].state)) != 0) continue;
        *retry = by_state[i].retry;
        if (!by_state[i].words) return fail_by_raise(result, by_state[i].status, err);
        log_refusal(GW_LOG_INFO, result, query, state);
        gw_status status = fail_by_constraint(PQresultErrorField(result, PG_DIAG_CONSTRAINT_NAME), err);
        return status ? status : gw_fail(err, by_state[i].status, "%s", by_state[i].words);
    }
    /* Anything else is a mistake of ours: a bad cast, a missing column, a null where none may be. */
    log_refusal(GW_LOG_ERROR, result, query, state);
    return gw_fail(err, GW_EINTERNAL, "the database refused a statement");
}
