/**
 * The route table: one row is one promise. No row, no route; no role, no build.
 *
 *   {GW_PUT, "/api/v1/checks/{check}", GW_ROLE_VOLUNTEER, 64 * 1024, gw_check_put, {0}},
 *   {GW_GET, "/api/v1/animals", GW_ROLE_VOLUNTEER, 0, gw_animal_list, {"home", "q", "cursor", "limit"}},
 *
 * The rows stand in http/routes.c and nowhere else. A handler is reachable only through its row, after the listener has
 * checked method, origin, content type, length, path and query names. HEAD is answered from GET.
 *
 * Leaving out the role shifts the handler into body_max, which does not compile. gw_routes_check (run by a test and at
 * the start) refuses what the compiler cannot see.
 */
#ifndef GW_HTTP_ROUTE_H
#define GW_HTTP_ROUTE_H

#include <stddef.h>

#include "base/error.h"
#include "base/request.h"
#include "http/reply.h"
#include "http/request.h"

typedef enum gw_method { GW_GET = 1, GW_PUT, GW_POST, GW_DELETE, GW_PATCH } gw_method;

/** "GET", "PUT", ... */
const char *gw_method_name(gw_method method);

/**
 * Answer a request.
 *
 * @param rq     checked as the route says; read the body with gw_decode, the database with gw_db_run
 * @param reply  to be filled by one of the gw_reply functions
 * @param err    ready; filled on failure
 * @return GW_OK when reply was filled
 */
typedef gw_status (*gw_handler)(gw_request *rq, gw_reply *reply, gw_error *err);

typedef struct gw_route {
    gw_method method;
    const char *pattern; /* {name}: one segment, a UUID; {token}: one segment of free text */
    gw_role role;
    size_t body_max; /* bytes; 0: the route takes no body */
    gw_handler handler;
    const char *query[GW_QUERY_MAX]; /* the query names it takes */
} gw_route;

extern const gw_route gw_routes[];
extern const size_t gw_n_routes;

#endif
