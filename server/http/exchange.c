#include "http/exchange.h"

#include <string.h>

#include "base/time.h"
#include "base/token.h"
#include "db/db.h"
#include "gw_sql.h"
#include "http/health.h"
#include "http/match.h"
#include "http/origin.h"
#include "http/problem.h"

enum {
    ANSWER_LIMIT_MS = 15000,
    SWALLOW_MAX = 1024 * 1024, /* of a body that nobody wants */
};

/* The token is looked up by its hash; one that is no token at all finds nobody and costs no round trip. */
static void read_token(gw_exchange *ex)
{
    const gw_headers *h = &ex->headers;
    const char *token = gw_headers_bearer(h);
    if (!token) {
        token = h->cookie ? h->cookie : ex->site->plain ? h->cookie_plain : NULL;
        ex->rq.by_cookie = token != NULL;
    }
    if (token) gw_token_hash(token, ex->rq.token_hash);
}

static bool is_unsafe(const gw_route *route)
{
    return route->method != GW_GET;
}

static gw_status judge_body(gw_exchange *ex)
{
    const gw_headers *h = &ex->headers;
    size_t max = ex->route->body_max;
    if (!ex->takes_body) return GW_OK;
    if (max == 0) return gw_fail(&ex->err, GW_ESYNTAX, "this address takes no body");
    if (h->content_encoding && strcmp(h->content_encoding, "identity") != 0)
        return gw_fail(&ex->err, GW_EMEDIA, "the body must not be compressed");
    if (!gw_headers_is_json(h)) return gw_fail(&ex->err, GW_EMEDIA, "Content-Type must be application/json");
    if (h->content_length > (int64_t)max)
        return gw_fail(&ex->err, GW_ETOOLARGE, "the body has %lld bytes, expected at most %zu",
                       (long long)h->content_length, max);
    gw_buffer_init(&ex->body, &ex->arena, h->content_length > 0 ? (size_t)h->content_length : 1024);
    return GW_OK;
}

/*
 * A page of another origin may not use a browser's cookie; without a cookie it may not sign a browser in either.
 * Programs send neither Sec-Fetch-Site nor Origin, and bearer tokens are never sent by themselves.
 */
static gw_status judge_origin(gw_exchange *ex)
{
    const gw_headers *h = &ex->headers;
    bool from_page = h->sec_fetch_site || h->origin;
    bool concerns = ex->rq.by_cookie || (from_page && !h->authorization);
    if (!is_unsafe(ex->route) || !concerns) return GW_OK;
    return gw_origin_check(h, ex->site->origins, ex->site->n_origins, &ex->err);
}

static gw_status judge_person(gw_exchange *ex)
{
    if (ex->route->role == GW_ROLE_ANY || ex->rq.token_hash[0]) return GW_OK;
    return gw_fail(&ex->err, GW_ESIGNIN, "please sign in");
}

static bool is_api(const gw_path *path)
{
    return path->n > 0 && strcmp(path->segments[0], "api") == 0;
}

/* What is no route and not below /api is a file of the client. */
static gw_status judge_address(gw_exchange *ex, const char *method)
{
    ex->head = strcmp(method, "HEAD") == 0;
    gw_error why;
    gw_error_init(&why, &ex->arena);
    gw_status status = gw_route_find(&ex->rq, method, &ex->path, &ex->route, &ex->allow, &why);
    if (status == GW_EUNKNOWN && !is_api(&ex->path)) {
        if (ex->head || strcmp(method, "GET") == 0) return GW_OK;
        ex->allow = "GET, HEAD";
        return gw_fail(&ex->err, GW_EMETHOD, "this address takes GET, HEAD");
    }
    if (status) ex->err = why;
    return status;
}

static gw_status judge_framing(gw_exchange *ex, const gw_raw *raw)
{
    gw_status status = gw_headers_check(&ex->headers, strcmp(raw->version, "HTTP/1.1") == 0, &ex->err);
    if (status) ex->hang_up = true; /* where the next request begins is not sure */
    ex->takes_body = ex->headers.chunked || ex->headers.content_length > 0;
    return status;
}

void gw_exchange_judge(gw_exchange *ex, const gw_raw *raw, gw_status (*query)(gw_exchange *ex, void *context),
                       void *context)
{
    gw_request *rq = &ex->rq;
    rq->arena = ex->reply.arena = &ex->arena;
    rq->db = ex->site->db;
    rq->plain = ex->site->plain;
    rq->if_match = ex->headers.if_match;
    rq->if_none_match = ex->headers.if_none_match;
    /* A copy: the peer's text lives in the caller's frame, and the handler runs when the whole body has come. */
    rq->client = gw_arena_strdup(
        &ex->arena, gw_client_address(&ex->arena, raw->peer, ex->headers.forwarded_for, ex->site->proxies));

    ex->late = gw_health_stopping();
    if (judge_framing(ex, raw)) return;
    if (gw_path_split(&ex->arena, raw->path, &ex->path, &ex->err)) return;
    if (judge_address(ex, raw->method) || !ex->route) return;
    rq->role = ex->route->role;
    read_token(ex);
    if (judge_person(ex) || judge_origin(ex)) return;
    if (query(ex, context)) return;
    judge_body(ex);
}

bool gw_exchange_body(gw_exchange *ex, const char *bytes, size_t n)
{
    ex->body_seen += n;
    if (ex->err.status || !ex->route || ex->route->body_max == 0) return ex->body_seen <= SWALLOW_MAX;
    if (ex->body_seen > ex->route->body_max) {
        gw_fail(&ex->err, GW_ETOOLARGE, "the body is larger than %zu bytes", ex->route->body_max);
        return true;
    }
    gw_buffer_add_bytes(&ex->body, bytes, n);
    return true;
}

static bool not_changed(const gw_exchange *ex)
{
    const gw_reply *reply = &ex->reply;
    if (reply->status != 200 || !ex->rq.if_none_match || ex->route->method != GW_GET) return false;
    for (size_t i = 0; i < reply->n_headers; i++)
        if (strcmp(reply->headers[i].name, "ETag") == 0)
            return gw_etag_listed(ex->rq.if_none_match, reply->headers[i].value);
    return false;
}

/* RFC 9110 section 15.4.5: a 304 keeps ETag and Cache-Control and has no content. */
static void become_not_changed(gw_reply *reply)
{
    reply->status = 304;
    reply->type = NULL;
    reply->body = "";
    reply->length = 0;
}

/*
 * A handler reads the body before it asks the database, and with it for the session. What is wrong with the body is
 * told to those only who might have sent a right one; a faulty request can spare the round trip.
 */
static void prefer_session(gw_exchange *ex)
{
    gw_error who;
    bool faulty = ex->err.status == GW_EINPUT || ex->err.status == GW_ESYNTAX;
    if (ex->route->role == GW_ROLE_ANY || !faulty) return;
    gw_error_init(&who, &ex->arena);
    gw_status status = gw_db_run(&ex->rq, &gw_q_session_alive, NULL, NULL, &who);
    if (status == GW_ESIGNIN || status == GW_EROLE) ex->err = who;
}

static void run_handler(gw_exchange *ex)
{
    if (ex->route->body_max) {
        ex->rq.body = ex->body.arena ? gw_buffer_text(&ex->body) : "";
        ex->rq.body_length = ex->body.length;
    }
    ex->rq.deadline_ms = gw_monotonic_ms() + ANSWER_LIMIT_MS;
    gw_status status = ex->route->handler(&ex->rq, &ex->reply, &ex->err);
    if (!status && ex->reply.status == 0) status = gw_fail(&ex->err, GW_EINTERNAL, "the handler gave no answer");
    if (status && !ex->err.status) ex->err.status = status;
    if (status) prefer_session(ex);
    if (!status && not_changed(ex)) become_not_changed(&ex->reply);
}

static void open_file(gw_exchange *ex)
{
    bool gzip = gw_headers_takes_gzip(&ex->headers);
    if (gw_files_open(&ex->arena, ex->site->web, &ex->path, gzip, &ex->file, &ex->err)) return;
    ex->reply.status = 200;
    ex->reply.type = ex->file.type;
    gw_reply_header(&ex->reply, "ETag", ex->file.etag);
    gw_reply_header(&ex->reply, "Cache-Control", ex->file.cache);
    gw_reply_header(&ex->reply, "Vary", "Accept-Encoding");
    if (gw_etag_listed(ex->headers.if_none_match, ex->file.etag))
        become_not_changed(&ex->reply);
    else if (ex->file.encoding)
        gw_reply_header(&ex->reply, "Content-Encoding", ex->file.encoding);
}

void gw_exchange_answer(gw_exchange *ex)
{
    /* What had begun before the stop is finished. What comes later goes elsewhere; only health still answers. */
    bool health = ex->route && ex->route->role == GW_ROLE_ANY && ex->route->method == GW_GET;
    if (!ex->err.status && ex->route && !health && ex->late) gw_fail(&ex->err, GW_EBUSY, "the server is stopping");
    if (gw_arena_failed(&ex->arena)) gw_fail(&ex->err, GW_EBUSY, "out of memory");
    if (!ex->err.status && ex->route) run_handler(ex);
    if (!ex->err.status && !ex->route) open_file(ex);
    if (!ex->err.status) return;
    gw_problem_reply(&ex->reply, &ex->err);
    if (ex->err.status == GW_EMETHOD && ex->allow) gw_reply_header(&ex->reply, "Allow", ex->allow);
}
