/**
 * Animals: finding them, one with all that belongs to it, its known normals and events.
 */
#ifndef GW_ANIMAL_ANIMAL_H
#define GW_ANIMAL_ANIMAL_H

#include "base/error.h"
#include "base/request.h"
#include "http/reply.h"

/** GET /animals?home=&q=&cursor=&limit=: q is part of the name, or a tag as it stands on the label. */
gw_status gw_animal_list(gw_request *rq, gw_reply *reply, gw_error *err);
gw_status gw_animal_get(gw_request *rq, gw_reply *reply, gw_error *err);

/** PUT /animals/{animal}/known-normals/{id}: a vet's confirmation is a coordinator's to write down. */
gw_status gw_known_normal_put(gw_request *rq, gw_reply *reply, gw_error *err);

/** PUT /animals/{animal}/events/{id}: then all verdicts of the animal are worked out again. */
gw_status gw_event_put(gw_request *rq, gw_reply *reply, gw_error *err);

#endif
