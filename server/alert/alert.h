/**
 * Alerts: what a coordinator must decide on, and the steps that lead to an outcome.
 *
 * Alerts are raised by checks (check/check_judge.c), by scale tests and by the clock (missed checks, alert_missed.c);
 * only a coordinator settles one. Every change of an alert grows its version, which is its ETag: a step is added only
 * to the version that the person has seen (If-Match).
 */
#ifndef GW_ALERT_ALERT_H
#define GW_ALERT_ALERT_H

#include "base/error.h"
#include "base/request.h"
#include "http/reply.h"

gw_status gw_alert_list(gw_request *rq, gw_reply *reply, gw_error *err);
gw_status gw_alert_get(gw_request *rq, gw_reply *reply, gw_error *err);
gw_status gw_alert_step_post(gw_request *rq, gw_reply *reply, gw_error *err);

#endif
