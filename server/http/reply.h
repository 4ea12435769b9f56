/**
 * What a handler answers with. A handler that returns an error need not touch the reply: the listener writes the
 * problem document (RFC 9457) from its gw_error.
 *
 * Memory   texts given to a reply must live as long as the request (its arena, its rows) or be constants.
 * Headers  the security headers, Content-Length, Date and `Cache-Control: no-store` (unless the handler sets another)
 *          are the listener's.
 * Status   functions that return gw_status end a handler: `return gw_reply_json_text(reply, 200, text, err)`.
 */
#ifndef GW_HTTP_REPLY_H
#define GW_HTTP_REPLY_H

#include <jansson.h>
#include <stddef.h>
#include <stdint.h>

#include "base/buffer.h"
#include "base/error.h"

enum { GW_REPLY_HEADERS_MAX = 12 };

typedef struct gw_header {
    const char *name;
    const char *value;
} gw_header;

typedef struct gw_reply {
    gw_arena *arena;
    int status;       /* HTTP; 0 until a handler answered */
    const char *type; /* media type of the body; NULL: no body */
    const char *body;
    size_t length;
    gw_header headers[GW_REPLY_HEADERS_MAX];
    size_t n_headers;
} gw_reply;

/** Answer with JSON text as it is, usually the one column of a query; NULL (memory ran out, or a null): GW_EINTERNAL.
 */
gw_status gw_reply_json_text(gw_reply *reply, int status, const char *json, gw_error *err);

/** Answer with what a buffer holds. */
gw_status gw_reply_json_buffer(gw_reply *reply, int status, const gw_buffer *json, gw_error *err);

/** Answer with a JSON value, which is taken (freed) whatever happens; NULL, as from a failed json_pack: GW_EINTERNAL.
 */
gw_status gw_reply_json(gw_reply *reply, int status, json_t *json, gw_error *err);

/** Answer without a body: 204, 304. */
gw_status gw_reply_empty(gw_reply *reply, int status, gw_error *err);

/** Add a header. Values with control characters or non-ASCII, and headers beyond the limit, are dropped and logged. */
void gw_reply_header(gw_reply *reply, const char *name, const char *value);

/** Set a strong ETag from an opaque text (without quotes). On GET, a matching If-None-Match then answers 304. */
void gw_reply_etag(gw_reply *reply, const char *opaque);

/** Set the ETag of something that has a version number: "7". */
void gw_reply_etag_version(gw_reply *reply, int64_t version);

#endif
