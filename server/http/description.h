/**
 * The HTTP interface describing itself.
 */
#ifndef GW_HTTP_DESCRIPTION_H
#define GW_HTTP_DESCRIPTION_H

#include <jansson.h>

#include "base/error.h"
#include "base/request.h"
#include "http/reply.h"

/** GET /openapi.json: clients/api/openapi.json as it was when the server was built. */
gw_status gw_openapi_get(gw_request *rq, gw_reply *reply, gw_error *err);

/**
 * The route table as it is: [{"method","path","role","body_max","query":[..]}, ...]. A test compares it with the
 * description. New; NULL when memory ran out.
 */
json_t *gw_routes_json(void);

#endif
