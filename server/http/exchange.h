/**
 * One request on its way through the listener: from its first header line to the reply. Only for server/http.
 */
#ifndef GW_HTTP_EXCHANGE_H
#define GW_HTTP_EXCHANGE_H

#include <stdbool.h>
#include <stdint.h>

#include "base/buffer.h"
#include "http/files.h"
#include "http/headers.h"
#include "http/path.h"
#include "http/route.h"

/** What the listener knows once and for all. */
typedef struct gw_site {
    const char *origins[4]; /* [n_origins] exact, "https://rescue.example.org" */
    int n_origins;
    const char *proxies;
    const char *web;
    bool plain; /* http without TLS on loopback: the fallback cookie counts */
    struct gw_db *db;
} gw_site;

typedef struct gw_exchange {
    const gw_site *site;
    gw_arena arena;
    gw_headers headers;
    gw_path path;
    gw_request rq;
    gw_reply reply;
    gw_error err;
    const gw_route *route; /* NULL: a file of the client, or nothing */
    const char *allow;     /* at 405 */
    gw_file file;          /* fd -1: none */
    bool head;
    bool hang_up;    /* close the connection after the reply */
    bool late;       /* began when the server was already stopping */
    bool takes_body; /* one was announced */
    gw_buffer body;
    uint64_t body_seen; /* bytes, kept or not */
    int64_t started_ms;
} gw_exchange;

/** Raw parts of a request, as they came. */
typedef struct gw_raw {
    const char *method;
    const char *path;
    const char *version;
    const char *peer; /* numeric address */
} gw_raw;

/**
 * Judge a request by its head: framing, path, method, role, origin, type, length. What is wrong goes to ex->err.
 *
 * @param ex     ex->headers are complete
 * @param query  puts the query's pairs into ex->rq with gw_query_add; called once the route is known
 */
void gw_exchange_judge(gw_exchange *ex, const gw_raw *raw, gw_status (*query)(gw_exchange *ex, void *context),
                       void *context);

/** Take a piece of the body in; too much of it is an error in ex->err. False: hang up, it never ends. */
bool gw_exchange_body(gw_exchange *ex, const char *bytes, size_t n);

/** Run the handler or open the file, unless something was wrong; then ex->reply (or ex->file) is what to send. */
void gw_exchange_answer(gw_exchange *ex);

#endif
