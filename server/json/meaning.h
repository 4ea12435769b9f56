/**
 * A hash of what a JSON body means, to recognise a request that is sent again.
 *
 * Bodies that mean the same have the same hash: the order of members, blanks and the spelling of numbers (98, 98.0,
 * 9.8e1) do not count.
 */
#ifndef GW_JSON_MEANING_H
#define GW_JSON_MEANING_H

#include <jansson.h>

#include "base/arena.h"

/**
 * @param arena  where the text goes
 * @param value  any JSON value; NULL gives NULL
 * @return 64 hexadecimal digits (BLAKE2b, 256 bits); NULL when memory ran out
 */
const char *gw_json_meaning(gw_arena *arena, const json_t *value);

#endif
