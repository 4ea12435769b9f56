/**
 * A request as every layer sees it: plain values, filled in by the listener (server/http) before a handler runs.
 *
 * It stands in base because the JSON decoder and the database take it too, and neither may know the listener.
 *
 * Memory   everything here lives as long as the request; so does what a handler allocates from rq->arena.
 * Threads  a request is handled by one thread from beginning to end.
 */
#ifndef GW_BASE_REQUEST_H
#define GW_BASE_REQUEST_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/arena.h"
#include "base/uuid.h"

/** Who may call a route. Each role includes the rights of the one before. 0 is deliberately no role. */
typedef enum gw_role {
    GW_ROLE_ANY = 1, /* no session needed; the database is reached with gw_db_run_unsigned only */
    GW_ROLE_VOLUNTEER,
    GW_ROLE_INTAKE,
    GW_ROLE_COORDINATOR,
} gw_role;

/** "any", "volunteer", "intake", "coordinator": the word of the database. */
const char *gw_role_name(gw_role role);

enum {
    GW_PATH_MAX = 8,        /* {parameters} in a pattern */
    GW_QUERY_MAX = 8,       /* query names of a route */
    GW_TOKEN_HASH_HEX = 65, /* SHA-256 in hexadecimal and a NUL */
};

/** One name=value of the query string, decoded. */
typedef struct gw_pair {
    const char *name;
    const char *value;
} gw_pair;

typedef struct gw_request {
    gw_arena *arena;
    struct gw_db *db;                   /* the pool; used through gw_db_run and its sisters */
    int64_t deadline_ms;                /* gw_monotonic_ms at which the answer is due: the database gives up then */
    gw_role role;                       /* the route's role: session_enter is asked for it */
    char token_hash[GW_TOKEN_HASH_HEX]; /* of the session's token; "" when none was sent */
    bool plain;                         /* the listener speaks plain http on loopback */
    bool by_cookie;                     /* the token came in a cookie (else as a bearer, or there is none) */
    const char *client;                 /* textual address of the peer (IPv6: its /64), for throttling; never logged */

    const char *path[GW_PATH_MAX]; /* decoded {parameters} in order; checked and lower-cased UUIDs unless {token} */
    size_t n_path;
    gw_pair query[GW_QUERY_MAX]; /* only names that the route allows, each at most once */
    size_t n_query;
    const char *if_match;      /* the header as sent, or NULL */
    const char *if_none_match; /* the header as sent, or NULL */
    const char *body;          /* NUL-terminated; NULL when the route takes no body */
    size_t body_length;

    /* Known after the first gw_db_run, which asks the database; empty before. */
    char person[GW_UUID_TEXT];
    gw_role person_role;
    const char *session_ends; /* timestamptz as PostgreSQL writes it */
} gw_request;

#endif
