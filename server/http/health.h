/**
 * /healthz and /readyz, and whether the process is on its way out.
 */
#ifndef GW_HTTP_HEALTH_H
#define GW_HTTP_HEALTH_H

#include "http/route.h"

/** The process lives: 200 while it answers at all. */
gw_status gw_healthz_get(gw_request *rq, gw_reply *reply, gw_error *err);

/** Send requests here: 200 when the database answers with the migrations of this binary; 503 otherwise or when
 * stopping. */
gw_status gw_readyz_get(gw_request *rq, gw_reply *reply, gw_error *err);

/** From now on (or no longer) the process is stopping. */
void gw_health_set_stopping(bool stopping);
bool gw_health_stopping(void);

#endif
