/**
 * Arrivals: an animal comes, is looked at and weighed for the first time. Animal, stay, arrival and baseline check are
 * written in one transaction, or nothing is.
 */
#ifndef GW_ARRIVAL_ARRIVAL_H
#define GW_ARRIVAL_ARRIVAL_H

#include <stdbool.h>

#include "animal/chip.h"
#include "base/error.h"
#include "base/request.h"
#include "base/time.h"
#include "check/check.h"
#include "http/reply.h"

/** The animal of an arrival. Texts are NULL when not said. */
typedef struct gw_arrival_animal {
    const char *id, *name, *species, *sex;
    const char *neutered; /* "true", "false" or NULL: unknown */
    const char *birth;    /* day, or NULL */
    double birth_days;    /* the same since 1970-01-01, NAN: unknown */
    const char *birth_precision;
    const char *stage;
    const char *coat, *markings, *note;
    const char *chip; /* as stored */
} gw_arrival_animal;

typedef struct gw_arrival {
    const char *id;
    const char *kind;
    bool born_here;
    gw_instant at;
    const char *from, *note;
    const char *home, *pen;
    gw_arrival_animal animal;
    gw_check baseline;
    const char *request_hash;
} gw_arrival;

/**
 * Decode the body of an arrival, all faults collected.
 *
 * @param out  filled on GW_OK
 */
GW_MUST_CHECK gw_status gw_arrival_decode(gw_request *rq, gw_arrival *out, gw_error *err);

/** PUT /arrivals/{arrival}: 201 the first time, 200 for the same again, 409 for another body under the same id. */
gw_status gw_arrival_put(gw_request *rq, gw_reply *reply, gw_error *err);

#endif
