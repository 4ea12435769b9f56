/**
 * From method and path to a row of the route table. Only for server/http and its tests.
 */
#ifndef GW_HTTP_MATCH_H
#define GW_HTTP_MATCH_H

#include "base/error.h"
#include "http/path.h"
#include "http/route.h"

/**
 * Find the row for a request and put its {parameters} into rq->path.
 *
 * @param method  as sent; HEAD finds the row of GET
 * @param allow   out: at GW_EMETHOD the methods that this path takes, "GET, HEAD, PUT", in rq->arena; else NULL
 * @return GW_EUNKNOWN: no row has this path, or a parameter is no UUID; GW_EMETHOD; GW_ENOTDONE for a method that
 *         HTTP does not know
 */
GW_MUST_CHECK gw_status gw_route_find(gw_request *rq, const char *method, const gw_path *path, const gw_route **route,
                                      const char **allow, gw_error *err);

/** Refuse rows that could not work: no role, no handler, a body on GET, two rows for one address. */
GW_MUST_CHECK gw_status gw_routes_check(gw_error *err);

#endif
