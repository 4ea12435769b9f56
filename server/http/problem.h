/**
 * Problem documents, RFC 9457. Only for server/http.
 */
#ifndef GW_HTTP_PROBLEM_H
#define GW_HTTP_PROBLEM_H

#include "base/error.h"
#include "http/reply.h"

/**
 * Turn an error into the reply: status, document, and the headers that go with it (WWW-Authenticate, Retry-After).
 * Never fails: without memory the reply is a constant document.
 */
void gw_problem_reply(gw_reply *reply, const gw_error *err);

#endif
