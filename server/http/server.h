/**
 * The listener: takes requests, checks them against the route table, runs the handler and answers.
 *
 * Threads   one thread a connection with a small stack (GW_STACK_BYTES: a handler keeps large arrays in its arena, not
 * on the stack); the pool of the database is what bounds the work. Limits    connections, headers, path and body are
 * bounded; a request must have arrived whole within 30 seconds and is answered within 15 more. Stopping  what is under
 * way is finished: see gw_server_stop.
 */
#ifndef GW_HTTP_SERVER_H
#define GW_HTTP_SERVER_H

#include <stdbool.h>

#include "base/error.h"
#include "db/db.h"

enum { GW_STACK_BYTES = 512 * 1024, GW_CONNECTIONS_MAX = 512 };

typedef struct gw_server gw_server;

typedef struct gw_server_options {
    const char *listen;  /* "127.0.0.1:8080", "[::1]:0"; a numeric address; port 0: any free one */
    const char *origin;  /* "https://rescue.example.org", or NULL: plain http, which only a loopback address may do */
    const char *proxies; /* numeric addresses, "," between, whose X-Forwarded-For is believed; NULL: none */
    const char *web;     /* folder of the built client, may be NULL */
    gw_db *db;           /* outlives the server */
} gw_server_options;

/**
 * Bind and begin to answer.
 *
 * @param options  texts are copied
 * @param server   out: NULL on failure; ended by gw_server_stop
 * @return GW_EINPUT for settings that cannot be, with one sentence; GW_EBUSY when the port is taken
 */
GW_MUST_CHECK gw_status gw_server_start(const gw_server_options *options, gw_server **server, gw_error *err);

/** Where it listens, with the real port: "127.0.0.1:41233". Lives as long as the server. */
const char *gw_server_address(const gw_server *server);

/**
 * Stop: /readyz says 503, no new connections, every reply closes its connection; wait until all requests that are under
 * way have been answered, but at most limit_ms; then close what is left. NULL is allowed.
 *
 * @return number of requests that were cut off
 */
int gw_server_stop(gw_server *server, int limit_ms);

#endif
