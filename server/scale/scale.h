/**
 * Scales: devices of the homes, their tests with a known mass, and what the weighings on one say about it.
 */
#ifndef GW_SCALE_SCALE_H
#define GW_SCALE_SCALE_H

#include "base/error.h"
#include "base/request.h"
#include "http/reply.h"

/** GET /scales?home=&cursor=&limit= */
gw_status gw_scale_list(gw_request *rq, gw_reply *reply, gw_error *err);

/** GET /scales/{scale}: with its tests and the common shift of each session on it. */
gw_status gw_scale_get(gw_request *rq, gw_reply *reply, gw_error *err);

/** PUT /scales/{scale}: made or changed. */
gw_status gw_scale_put(gw_request *rq, gw_reply *reply, gw_error *err);

/**
 * PUT /scale-tests/{test}: a known mass was put on a scale. A failed test raises an alert for the scale, a passed one
 * settles it, in the same transaction.
 */
gw_status gw_scale_test_put(gw_request *rq, gw_reply *reply, gw_error *err);

#endif
