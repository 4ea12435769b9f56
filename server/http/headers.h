/**
 * The header lines of a request, gathered and judged before anything else. Plain values: no listener needed, so that
 * the rules can be tested. Only for server/http.
 *
 * The listener's library lets through what proxies disagree about (two lengths, a length beside chunks, two hosts);
 * a request that could be read in two ways is refused and its connection closed: RFC 9112 section 6.3 (read as
 * RFC 7230 section 3.3.3).
 */
#ifndef GW_HTTP_HEADERS_H
#define GW_HTTP_HEADERS_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/error.h"

enum { GW_HEADER_BYTES_MAX = 8192 };

/** Names of the session's cookie: the second is only read when the listener is plain http on loopback. */
#define GW_COOKIE       "__Host-gramwell"
#define GW_COOKIE_PLAIN "gramwell"

typedef struct gw_headers {
    const char *content_type;
    const char *content_encoding;
    const char *accept_encoding;
    const char *authorization;
    const char *if_match;
    const char *if_none_match;
    const char *sec_fetch_site;
    const char *origin;
    const char *forwarded_for;
    const char *cookie;       /* value of the session's cookie, NULL: none */
    const char *cookie_plain; /* value of the fallback name */
    int64_t content_length;   /* -1: not sent */
    bool chunked;
    int n_host, n_length, n_coding, n_cookie, n_cookie_plain, n_authorization;
    size_t bytes;      /* of all lines */
    const char *fault; /* the first line that cannot be accepted, in words; NULL: none */
} gw_headers;

/** Start empty. */
void gw_headers_init(gw_headers *headers);

/**
 * Take one line in.
 *
 * @param name,value  need not be NUL-terminated; copied into arena
 */
void gw_headers_add(gw_headers *headers, gw_arena *arena, const char *name, size_t name_length, const char *value,
                    size_t value_length);

/**
 * Judge them together.
 *
 * @param version_11  the request says HTTP/1.1
 * @return GW_ESYNTAX (the connection must then be closed), GW_EHEADERS
 */
GW_MUST_CHECK gw_status gw_headers_check(const gw_headers *headers, bool version_11, gw_error *err);

/** The token of `Authorization: Bearer ...`; NULL when there is none. */
const char *gw_headers_bearer(const gw_headers *headers);

/** True when Content-Type is application/json, with no parameter but charset=utf-8. */
bool gw_headers_is_json(const gw_headers *headers);

/** True when Accept-Encoding takes gzip (q=0 does not). */
bool gw_headers_takes_gzip(const gw_headers *headers);

/** True when an If-None-Match list holds the entity tag (weak comparison), or is *. */
bool gw_etag_listed(const char *if_none_match, const char *etag);

#endif
