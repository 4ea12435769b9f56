/**
 * What a handler asks of its request. The request itself is a plain struct, base/request.h: rq->path[i], rq->arena.
 *
 * Errors   a query or header value that cannot be used is GW_EINPUT or GW_ESYNTAX with a message that names it.
 */
#ifndef GW_HTTP_REQUEST_H
#define GW_HTTP_REQUEST_H

#include <stdbool.h>
#include <stdint.h>

#include "base/error.h"
#include "base/request.h"
#include "base/time.h"

/** Value of a query name, decoded; NULL when it was not sent. The route's row must list the name. */
const char *gw_request_query(const gw_request *rq, const char *name);

/** A whole number in min to max; *out = absent when it was not sent. */
GW_MUST_CHECK gw_status gw_request_query_int(const gw_request *rq, const char *name, int64_t min, int64_t max,
                                             int64_t absent, int64_t *out, gw_error *err);

/** A UUID as lower-case text; *out = NULL when it was not sent. */
GW_MUST_CHECK gw_status gw_request_query_uuid(const gw_request *rq, const char *name, const char **out, gw_error *err);

/** One of the words in names (ends with NULL); *out = absent when it was not sent. */
GW_MUST_CHECK gw_status gw_request_query_enum(const gw_request *rq, const char *name, const char *const names[],
                                              int absent, int *out, gw_error *err);

/** A time; *out = now, in UTC, when it was not sent. A blank in place of + is read as + (a common slip in addresses).
 */
GW_MUST_CHECK gw_status gw_request_query_instant(const gw_request *rq, const char *name, gw_instant *out,
                                                 gw_error *err);

/**
 * The version in If-Match, for routes whose ETag is a number (gw_reply_etag_version).
 *
 * @param version  out
 * @return GW_EPRECONDITION when the header is missing; GW_ESTALE when it names something that is no version of ours
 */
GW_MUST_CHECK gw_status gw_request_if_match(const gw_request *rq, int64_t *version, gw_error *err);

#endif
