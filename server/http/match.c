#include "http/match.h"

#include <stdbool.h>
#include <string.h>

#include "base/buffer.h"
#include "base/uuid.h"

static const char *const method_names[] = {
    [GW_GET] = "GET", [GW_PUT] = "PUT", [GW_POST] = "POST", [GW_DELETE] = "DELETE", [GW_PATCH] = "PATCH"};

const char *gw_method_name(gw_method method)
{
    return method_names[method];
}

/* 0: a method of HTTP that no route has; -1: none of HTTP (RFC 9110 section 9.3, and PATCH of RFC 5789). */
static int method_of(const char *name)
{
    static const char *const others[] = {"OPTIONS", "TRACE", "CONNECT"};
    if (strcmp(name, "HEAD") == 0) return GW_GET;
    for (int m = GW_GET; m <= GW_PATCH; m++)
        if (strcmp(name, method_names[m]) == 0) return m;
    for (size_t i = 0; i < sizeof others / sizeof *others; i++)
        if (strcmp(name, others[i]) == 0) return 0;
    return -1;
}

/* Take a parameter: free text when the pattern says {token}, else a UUID. */
static bool take_parameter(gw_request *rq, const char *pattern, size_t length, const char *segment)
{
    static const char free_text[] = "{token}";
    if (rq->n_path == GW_PATH_MAX || !*segment) return false;
    const char *value = segment;
    if (length != sizeof free_text - 1 || memcmp(pattern, free_text, length) != 0) {
        char uuid[GW_UUID_TEXT];
        if (!gw_uuid_read(segment, uuid)) return false;
        value = gw_arena_strdup(rq->arena, uuid);
    }
    rq->path[rq->n_path++] = value;
    return value != NULL;
}

static bool matches(gw_request *rq, const char *pattern, const gw_path *path)
{
    rq->n_path = 0;
    if (pattern[1] == '\0') return path->n == 0;
    for (size_t i = 0; i < path->n; i++) {
        if (*pattern++ != '/') return false;
        size_t length = strcspn(pattern, "/");
        bool same = *pattern == '{'
                        ? take_parameter(rq, pattern, length, path->segments[i])
                        : strlen(path->segments[i]) == length && memcmp(pattern, path->segments[i], length) == 0;
        if (!same) return false;
        pattern += length;
    }
    return *pattern == '\0' && path->n > 0;
}

static const char *allowed_methods(gw_request *rq, const gw_path *path)
{
    gw_buffer list;
    gw_buffer_init(&list, rq->arena, 32);
    for (size_t i = 0; i < gw_n_routes; i++) {
        if (!matches(rq, gw_routes[i].pattern, path)) continue;
        gw_buffer_printf(&list, "%s%s", list.length ? ", " : "", method_names[gw_routes[i].method]);
        if (gw_routes[i].method == GW_GET) gw_buffer_add(&list, ", HEAD");
    }
    rq->n_path = 0;
    return list.length ? gw_buffer_text(&list) : NULL;
}

gw_status gw_route_find(gw_request *rq, const char *method, const gw_path *path, const gw_route **route,
                        const char **allow, gw_error *err)
{
    int wanted = method_of(method);
    *allow = NULL;
    if (wanted < 0) return gw_fail(err, GW_ENOTDONE, "the method is not known");
    for (size_t i = 0; i < gw_n_routes; i++) {
        *route = &gw_routes[i];
        if ((int)gw_routes[i].method == wanted && matches(rq, gw_routes[i].pattern, path)) return GW_OK;
    }
    *route = NULL;
    *allow = allowed_methods(rq, path);
    if (*allow) return gw_fail(err, GW_EMETHOD, "this address takes %s", *allow);
    return gw_fail(err, GW_EUNKNOWN, "there is nothing at this address");
}

static const char *fault_of_row(size_t at)
{
    const gw_route *r = &gw_routes[at];
    if (r->method < GW_GET || r->method > GW_PATCH) return "has no method";
    if (!r->pattern || r->pattern[0] != '/') return "has no pattern";
    if (r->role < GW_ROLE_ANY || r->role > GW_ROLE_COORDINATOR) return "has no role";
    if (!r->handler) return "has no handler";
    if ((r->method == GW_GET || r->method == GW_DELETE) && r->body_max) return "takes a body with GET or DELETE";
    for (size_t i = 0; i < at; i++)
        if (gw_routes[i].method == r->method && strcmp(gw_routes[i].pattern, r->pattern) == 0) return "is there twice";
    return NULL;
}

gw_status gw_routes_check(gw_error *err)
{
    for (size_t i = 0; i < gw_n_routes; i++) {
        const char *fault = fault_of_row(i);
        if (fault) return gw_fail(err, GW_EINTERNAL, "route %s %s", gw_routes[i].pattern, fault);
    }
    return GW_OK;
}
