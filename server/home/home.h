/**
 * Homes: places where animals live, their pens, who serves them, and where on the body findings were seen in them.
 */
#ifndef GW_HOME_HOME_H
#define GW_HOME_HOME_H

#include "base/error.h"
#include "base/request.h"
#include "http/reply.h"

/** The kinds of a home, as in the table's constraint. Ends with NULL. */
extern const char *const gw_home_kinds[];

gw_status gw_home_list(gw_request *rq, gw_reply *reply, gw_error *err);
gw_status gw_home_get(gw_request *rq, gw_reply *reply, gw_error *err);

/** GET /homes/{home}/findings?weeks=: counts by region and week beside what the rest of the network would give. */
gw_status gw_home_findings(gw_request *rq, gw_reply *reply, gw_error *err);

/** PUT /homes/{home}: made or changed; the same again changes nothing. */
gw_status gw_home_put(gw_request *rq, gw_reply *reply, gw_error *err);

/** PUT /homes/{home}/people/{person}: the person serves the home from a moment on, and so sees its animals. */
gw_status gw_home_person_put(gw_request *rq, gw_reply *reply, gw_error *err);

/** PUT /homes/{home}/pens/{pen} */
gw_status gw_pen_put(gw_request *rq, gw_reply *reply, gw_error *err);

#endif
