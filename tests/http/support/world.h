/**
 * A small world for tests of the HTTP interface: a throwaway database with the real migrations, the real server in
 * front of it on a free port, and four people.
 *
 * Each test program makes its own world before its first test (support/main.c) and takes it down after the last. Tests
 * run one after another in processes of their own and find the world through the environment.
 *
 * Needs GW_TEST_DB: a libpq connection string of a role that may create databases and roles, on a cluster made for
 * tests. GRAMWELLD names another server program than the one that was built beside the tests.
 *
 * Errors   what goes wrong here ends the test with a message; nothing is returned.
 */
#ifndef GW_TEST_WORLD_H
#define GW_TEST_WORLD_H

#include <jansson.h>
#include <stdbool.h>
#include <stddef.h>

/** Who asks. Ann and Ida see all homes; Vera serves home A, Will serves home B. */
typedef enum { NOBODY, ANN_COORDINATOR, IDA_INTAKE, VERA_OF_A, WILL_OF_B, N_PEOPLE } gw_who;

/** An answer of the server. Lives until the end of the test. */
typedef struct gw_answer {
    int status;
    const char *type; /* Content-Type, "" when there is none */
    const char *text; /* the body */
    size_t length;
    json_t *json;        /* the body when it is JSON, else NULL */
    const char *headers; /* all of them, as they came */
} gw_answer;

/** A request in full; members that are NULL or 0 are left out. */
typedef struct gw_ask {
    gw_who who;
    const char *method;
    const char *path; /* "/me": below /api/v1; "//healthz": from the root */
    const char *body;
    size_t body_length;   /* 0: strlen(body) */
    const char *type;     /* Content-Type; NULL: application/json when there is a body; "": none */
    const char *if_match; /* the header */
    const char *header;   /* one more header, "Name: value" */
    const char *token;    /* instead of who's */
    bool chunked;
} gw_ask;

/**
 * Send a request and compare the answer with clients/api/openapi.json: status, media type and every member of the body.
 * What does not fit fails the test.
 */
gw_answer gw_send(gw_ask ask);

/** The usual request. body may be NULL. */
gw_answer gw_do(gw_who who, const char *method, const char *path, const char *body);

/** Formatted text that lives until the end of the test; every ' becomes ": {'name':'Elm'}. */
const char *gw_json(const char *fmt, ...) __attribute__((format(printf, 1, 2)));

/** Formatted text that lives until the end of the test, as it is. */
const char *gw_text(const char *fmt, ...) __attribute__((format(printf, 1, 2)));

/** A new UUID. */
const char *gw_id(void);

/** An instant some days (fractions allowed) before now, in RFC 3339, UTC. */
const char *gw_days_ago(double days);

/**
 * A value of a JSON answer as text: members and indexes in the way of a JSON pointer, "/alerts/0/kind". Numbers are
 * written as they are ("98.5", "1000"), null is "null", a missing member is "missing", objects and arrays are compact
 * JSON.
 */
const char *gw_at(const gw_answer *answer, const char *pointer);

/** The same as a number; NaN when it is none. */
double gw_number_at(const gw_answer *answer, const char *pointer);

/** Elements of the array at pointer; 0 when there is none. */
size_t gw_count_at(const gw_answer *answer, const char *pointer);

/** Expect gw_at(answer, pointer) to be this text. */
void gw_expect_at(const gw_answer *answer, const char *pointer, const char *expected);

/** Expect a status; the answer's text is shown when it is another. */
void gw_expect_status(const gw_answer *answer, int status);

/** True when errors[] of a problem document names this pointer. */
bool gw_has_fault(const gw_answer *answer, const char *pointer);

/** Run a statement as the cluster's administrator in the test's database; the first value as text, "" for none. */
const char *gw_sql(const char *fmt, ...) __attribute__((format(printf, 1, 2)));

/** A hash over every row of every table of schema gw: equal means that nothing was changed. */
const char *gw_everything(void);

/* What is there from the beginning. */
const char *gw_url(void);          /* http://127.0.0.1:PORT */
const char *gw_token(gw_who who);  /* bearer token */
const char *gw_person(gw_who who); /* person id */
const char *gw_email(gw_who who);  /* e-mail address; everybody's passphrase is GW_PASSPHRASE */
const char *gw_home_a(void);
const char *gw_home_b(void);
const char *gw_pen_a(void);
const char *gw_pen_b(void);
const char *gw_scale_a(void); /* step 1 g, capacity 5000 g */
const char *gw_scale_b(void);
#define GW_PASSPHRASE "seven grey geese graze"

/** Path of the server program. */
const char *gw_server_program(void);

/* Things that most tests need. */

/** All regions "as_usual", as the value of "answers". */
extern const char *const gw_all_as_usual;

typedef struct gw_animal_wish {
    const char *home, *pen, *scale; /* NULL: home A, its pen and its scale */
    const char *name;               /* NULL: a new one */
    const char *species;            /* NULL: guinea_pig */
    const char *sex;                /* NULL: female */
    const char *extra;              /* more members of "animal", JSON with a comma in front */
    double grams;                   /* of the baseline; 0: no weight */
    double days_ago;                /* when it arrived; 0: an hour ago */
    bool own_scale;                 /* weighed on a new scale, apart from the sessions of other animals */
} gw_animal_wish;

/** Let an animal arrive with a baseline check; its id. */
const char *gw_new_animal(gw_animal_wish wish);

/** A new scale of home A. */
const char *gw_new_scale(double step);

/** The body of a check of kind weekly, all as usual, weighed on the scale of its baseline (grams 0: not weighed). */
const char *gw_weekly_body(const char *animal, const char *at, double grams);

/** Log it as Vera under a new id; asserts 201. */
gw_answer gw_weekly(const char *animal, const char *at, double grams);

/* For support/main.c. */
int gw_world_make(void); /* 0: made, and told in the environment */
int gw_world_end(void);  /* 0: the server ended well */

#endif
