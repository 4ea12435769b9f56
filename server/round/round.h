/**
 * The round: the homes a person serves, their animals, and all that the form and the engine on the phone need without a
 * network.
 */
#ifndef GW_ROUND_ROUND_H
#define GW_ROUND_ROUND_H

#include "base/error.h"
#include "base/request.h"
#include "http/reply.h"

/** GET /round?at=: as of an instant, now when none is given. */
gw_status gw_round_get(gw_request *rq, gw_reply *reply, gw_error *err);

#endif
