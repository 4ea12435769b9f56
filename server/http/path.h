/**
 * Paths and query strings as they came over the wire, split and decoded once. Only for server/http.
 *
 * The path is split at / first and each segment decoded after, so that an encoded slash cannot make a segment; %2F,
 * %00, escapes that are none, bytes that are not UTF-8 and control characters are refused.
 */
#ifndef GW_HTTP_PATH_H
#define GW_HTTP_PATH_H

#include <stddef.h>

#include "base/error.h"
#include "base/request.h"

enum { GW_SEGMENTS_MAX = 16, GW_PATH_BYTES_MAX = 1024 };

typedef struct gw_path {
    size_t n;
    const char *segments[GW_SEGMENTS_MAX]; /* decoded; "/" alone has none, "/a/" has "a" and "" */
} gw_path;

/**
 * Split and decode a raw path.
 *
 * @param raw   begins with /; anything else is GW_ESYNTAX
 * @return GW_ESYNTAX, GW_ETOOLONG, GW_EUNKNOWN for more segments than any route or file has
 */
GW_MUST_CHECK gw_status gw_path_split(gw_arena *arena, const char *raw, gw_path *path, gw_error *err);

/**
 * Decode percent escapes.
 *
 * @param n     bytes of text
 * @param out   out: in the arena
 * @return GW_ESYNTAX as above; GW_EINTERNAL when memory ran out
 */
GW_MUST_CHECK gw_status gw_percent_decode(gw_arena *arena, const char *text, size_t n, const char **out, gw_error *err);

/**
 * Take one name=value of the query string in, decoded.
 *
 * @param allowed  [GW_QUERY_MAX] names that the route takes, ended by NULL when fewer
 * @param value    raw; NULL for a name without =, which counts as empty
 * @return GW_ESYNTAX for a name that is unknown or repeated
 */
GW_MUST_CHECK gw_status gw_query_add(gw_request *rq, const char *const allowed[], const char *name, const char *value,
                                     gw_error *err);

#endif
