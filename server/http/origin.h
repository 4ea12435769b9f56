/**
 * Where a request comes from: the page that made it, and the peer. Only for server/http.
 */
#ifndef GW_HTTP_ORIGIN_H
#define GW_HTTP_ORIGIN_H

#include <stdbool.h>

#include "base/error.h"
#include "http/headers.h"

/**
 * May this unsafe request use its cookie? Cookies and SameSite ignore the port, so the browser's own word is needed:
 * Sec-Fetch-Site: same-origin, or for browsers without it an Origin that is exactly ours.
 *
 * @param origins  [n] ours; a loopback listener has several names
 * @return GW_EORIGIN
 */
GW_MUST_CHECK gw_status gw_origin_check(const gw_headers *headers, const char *const origins[], int n, gw_error *err);

/** True when the host part of "host:port" or "[host]:port" is 127.0.0.0/8 or ::1. */
bool gw_address_is_loopback(const char *address);

/**
 * The client's address: the peer, or behind a known proxy the last entry of X-Forwarded-For that is no known proxy.
 * IPv6 is cut to its /64, which is what one customer has.
 *
 * @param peer     numeric address
 * @param proxies  numeric addresses with commas, or NULL
 * @return in the arena, or peer
 */
const char *gw_client_address(gw_arena *arena, const char *peer, const char *forwarded_for, const char *proxies);

#endif
