/**
 * Status codes and the error that travels with them.
 *
 * Every function that can fail returns a gw_status, 0 being success, and takes a `gw_error *err` as its last
 * parameter. err may be NULL. The first error wins: a later gw_fail on the same gw_error changes nothing, so that a
 * failing clean-up cannot hide what went wrong before it.
 *
 * Words    a message is lower case, one fact, with the value and the limit: "grams is 0.87, expected 1 to 15000".
 *          What to do about it is the hint: "Enter grams, not kilograms." Messages go to the person who asked:
 *          never a function name, a row's content or a secret.
 * Memory   faults live in the arena given to gw_error_init; without an arena only their number is kept and the first
 *          one becomes the message. The message itself is part of the struct.
 * Threads  a gw_error belongs to one thread.
 */
#ifndef GW_BASE_ERROR_H
#define GW_BASE_ERROR_H

#include <stdarg.h>
#include <stddef.h>

#include "base/arena.h"

#define GW_MUST_CHECK       __attribute__((warn_unused_result))
#define GW_PRINTF(fmt, arg) __attribute__((format(printf, fmt, arg)))

/** One line a status: name, HTTP status, title of the problem document. */
#define GW_STATUS_LIST(X)                                                                                              \
    X(GW_OK, 200, "ok")                                                                                                \
    X(GW_EINPUT, 422, "some values cannot be accepted")          /* understood, but wrong: faults say where */         \
    X(GW_ESYNTAX, 400, "the request cannot be read")             /* not JSON, a bad escape, a bad header */            \
    X(GW_ESIGNIN, 401, "please sign in")                         /* no session, or one that has ended */               \
    X(GW_EROLE, 403, "this needs another role")                  /* signed in, but not for this */                     \
    X(GW_EORIGIN, 403, "this request came from another site")    /* a cookie without proof of the same origin */       \
    X(GW_EUNKNOWN, 404, "there is nothing here")                 /* unknown, or not this person's to see */            \
    X(GW_EMETHOD, 405, "this address does not take that method") /* Allow says which it takes */                       \
    X(GW_ECONFLICT, 409, "this contradicts what is stored")      /* same id with another body, overlapping stay */     \
    X(GW_ESTALE, 412, "somebody has changed this meanwhile")     /* If-Match names an older version */                 \
    X(GW_ETOOLARGE, 413, "the body is too large")                /* above the route's limit */                         \
    X(GW_ETOOLONG, 414, "the address is too long")               /* the request line */                                \
    X(GW_EMEDIA, 415, "the body must be application/json")       /* or an encoding that is not taken */                \
    X(GW_EPRECONDITION, 428, "say which version you have seen")  /* If-Match is missing */                             \
    X(GW_ETHROTTLED, 429, "too many attempts")                   /* retry_after_s says when */                         \
    X(GW_EHEADERS, 431, "the headers are too large")             /* above the limit of one connection */               \
    X(GW_EINTERNAL, 500, "something went wrong on our side")     /* our own bug; the log knows more */                 \
    X(GW_ENOTDONE, 501, "that method is not known")              /* a method no route has */                           \
    X(GW_EBUSY, 503, "please try again in a moment")             /* database away, queue full, stopping */

typedef enum gw_status {
#define GW_STATUS_NAME(name, http, title) name,
    GW_STATUS_LIST(GW_STATUS_NAME)
#undef GW_STATUS_NAME
} gw_status;

/** One wrong value: where (RFC 6901 JSON pointer into the body, "" = the whole of it), what, and what to do. */
typedef struct gw_fault {
    const char *pointer;
    const char *detail;
    const char *hint; /* NULL: nothing to add */
    struct gw_fault *next;
} gw_fault;

enum { GW_MESSAGE_MAX = 256, GW_FAULTS_MAX = 100 };

typedef struct gw_error {
    gw_status status;             /* GW_OK until something failed */
    char message[GW_MESSAGE_MAX]; /* one fact; "" when the status alone says it all */
    gw_fault *faults;             /* in the order they were found; NULL: none */
    gw_fault *last_fault;
    size_t n_faults;   /* counts on after GW_FAULTS_MAX have been kept */
    int retry_after_s; /* 0: none; else sent as Retry-After with 429 and 503 */
    gw_arena *arena;   /* where faults go, may be NULL */
} gw_error;

/**
 * Make an error ready: no failure so far.
 *
 * @param err    out
 * @param arena  memory for faults, may be NULL; must outlive err
 */
void gw_error_init(gw_error *err, gw_arena *arena);

/**
 * Record a failure and return its status, so that a function can end with `return gw_fail(err, ...)`.
 *
 * @param err     may be NULL; unchanged when it already holds a failure
 * @param status  any but GW_OK
 * @param fmt     printf format of the message, cut at GW_MESSAGE_MAX - 1 bytes (on a character boundary)
 * @return status, or the status of the earlier failure
 */
gw_status gw_fail(gw_error *err, gw_status status, const char *fmt, ...) GW_PRINTF(3, 4);

/**
 * Add one wrong value. The status becomes GW_EINPUT unless a failure is already recorded.
 *
 * @param err      may be NULL
 * @param pointer  JSON pointer, copied
 * @param detail   what is wrong and what is expected, copied: "is 0.87, expected 1 to 15000"
 * @param hint     what to do, copied; NULL: nothing to add
 * @return GW_EINPUT
 */
gw_status gw_fault_add(gw_error *err, const char *pointer, const char *detail, const char *hint);

/** Put a place in front of the message ("schema.sql: syntax error"); for failures that a maintainer reads. */
void gw_error_at(gw_error *err, const char *place);

/** The HTTP status for a gw_status: 200 for GW_OK. */
int gw_status_http(gw_status status);

/** The title of a problem document for a status: a constant. */
const char *gw_status_title(gw_status status);

#endif
