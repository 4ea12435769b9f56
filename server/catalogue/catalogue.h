/**
 * The catalogue: regions of the body, species, sign groups and signs, the same for every network. Read only: it changes
 * with a migration.
 */
#ifndef GW_CATALOGUE_CATALOGUE_H
#define GW_CATALOGUE_CATALOGUE_H

#include "base/error.h"
#include "base/request.h"
#include "http/reply.h"

/** GET /catalogue: its ETag is a hash of the content, so that a phone asks for it once a version. */
gw_status gw_catalogue_get(gw_request *rq, gw_reply *reply, gw_error *err);

#endif
