/* The route table: every row is reachable, and every other method of its address says which it takes. */
#include "http/route.h"

#include <string.h>

#include "http/match.h"
#include "http/problem.h"
#include "unit.h"

TestSuite(http_route, .init = unit_init, .fini = unit_fini);

static const char uuid[] = "919108F7-52D1-4320-9BAC-F847DB4148A8";
static const char lower[] = "919108f7-52d1-4320-9bac-f847db4148a8";

/* An address of a pattern: {token} becomes a word, every other parameter a UUID. */
static const char *address_of(const char *pattern, const char *parameter)
{
    gw_buffer out;
    gw_buffer_init(&out, &arena, 128);
    while (*pattern) {
        size_t length = *pattern == '{' ? strcspn(pattern, "}") + 1 : strcspn(pattern, "{");
        if (*pattern == '{')
            gw_buffer_add(&out, strncmp(pattern, "{token}", length) == 0 ? "some-token" : parameter);
        else
            gw_buffer_add_bytes(&out, pattern, length);
        pattern += length;
    }
    return gw_buffer_text(&out);
}

static gw_status find(const char *method, const char *address, gw_request *rq, const gw_route **route,
                      const char **allow)
{
    gw_path path;
    *rq = (gw_request){.arena = &arena};
    err_reset();
    cr_assert(eq(int, gw_path_split(&arena, address, &path, &err), GW_OK));
    return gw_route_find(rq, method, &path, route, allow, &err);
}

Test(http_route, the_table_is_sound)
{
    cr_expect(eq(int, gw_routes_check(&err), GW_OK), "%s", err.message);
    cr_expect(gw_n_routes > 20);
}

Test(http_route, every_row_is_reached_by_its_address)
{
    for (size_t i = 0; i < gw_n_routes; i++) {
        gw_request rq;
        const gw_route *route;
        const char *allow, *address = address_of(gw_routes[i].pattern, uuid);
        cr_expect(eq(int, find(gw_method_name(gw_routes[i].method), address, &rq, &route, &allow), GW_OK), "%s",
                  address);
        cr_expect(route == &gw_routes[i], "%s", address);
        for (size_t p = 0; p < rq.n_path; p++)
            cr_expect(strcmp(rq.path[p], lower) == 0 || strcmp(rq.path[p], "some-token") == 0);
        if (gw_routes[i].method == GW_GET)
            cr_expect(eq(int, find("HEAD", address, &rq, &route, &allow), GW_OK), "HEAD %s", address);
    }
}

Test(http_route, a_method_that_an_address_does_not_take_is_told_which_it_takes)
{
    static const char *const methods[] = {"GET", "PUT", "POST", "DELETE", "PATCH", "OPTIONS", "TRACE"};
    size_t refused = 0;
    for (size_t i = 0; i < gw_n_routes; i++) {
        for (size_t m = 0; m < sizeof methods / sizeof *methods; m++) {
            gw_request rq;
            const gw_route *route;
            const char *allow;
            if (find(methods[m], address_of(gw_routes[i].pattern, uuid), &rq, &route, &allow) != GW_EMETHOD) continue;
            refused++;
            cr_assert(allow != NULL);
            cr_expect(strstr(allow, gw_method_name(gw_routes[i].method)) != NULL, "%s", gw_routes[i].pattern);
            cr_expect(strstr(allow, methods[m]) == NULL, "%s", allow);
        }
    }
    cr_expect(refused > gw_n_routes);
}

Test(http_route, me_takes_get_and_head_only)
{
    gw_request rq;
    const gw_route *route;
    const char *allow;
    cr_expect(eq(int, find("PUT", "/api/v1/me", &rq, &route, &allow), GW_EMETHOD));
    cr_expect(eq(str, (char *)allow, "GET, HEAD"));
}

Test(http_route, methods_that_are_none_of_http_are_not_known)
{
    static const char *const methods[] = {"get", "BREW", "", "GETX"};
    for (size_t i = 0; i < sizeof methods / sizeof *methods; i++) {
        gw_request rq;
        const gw_route *route;
        const char *allow;
        cr_expect(eq(int, find(methods[i], "/api/v1/me", &rq, &route, &allow), GW_ENOTDONE));
    }
}

Test(http_route, what_is_not_in_the_table_is_unknown)
{
    static const char *const addresses[] = {"/",
                                            "/api",
                                            "/api/v1/me/",
                                            "/api/v1//me",
                                            "/api/v1/ME",
                                            "/api/v1/mee",
                                            "/api/v1/animals/not-a-uuid",
                                            "/api/v1/animals/%7Banimal%7D",
                                            "/api/v1/invitations/",
                                            "/api/v1/checks/00000000-0000-0000-0000-000000000000"};
    for (size_t i = 0; i < sizeof addresses / sizeof *addresses; i++) {
        gw_request rq;
        const gw_route *route;
        const char *allow;
        cr_expect(eq(int, find("GET", addresses[i], &rq, &route, &allow), GW_EUNKNOWN), "%s", addresses[i]);
        cr_expect(route == NULL);
    }
}

Test(http_route, query_values_are_checked)
{
    static const char *const words[] = {"open", "settled", NULL};
    gw_request rq = {.arena = &arena,
                     .n_query = 4,
                     .query = {{"limit", "+5"}, {"home", "x"}, {"state", "shut"}, {"at", "2026-11-25T08:30:00 01:00"}}};
    int64_t n;
    const char *id;
    int word;
    gw_instant at;
    cr_expect(eq(int, gw_request_query_int(&rq, "limit", 1, 10, 7, &n, NULL), GW_EINPUT));
    cr_expect(eq(int, gw_request_query_uuid(&rq, "home", &id, NULL), GW_EINPUT));
    cr_expect(eq(int, gw_request_query_enum(&rq, "state", words, 0, &word, NULL), GW_EINPUT));
    cr_assert(eq(int, gw_request_query_instant(&rq, "at", &at, NULL), GW_OK));
    cr_expect(eq(int, at.offset_minutes, 60));
    cr_assert(eq(int, gw_request_query_int(&rq, "absent", 1, 10, 7, &n, NULL), GW_OK));
    cr_expect(eq(i64, n, 7));
    rq.query[0].value = "10";
    cr_assert(eq(int, gw_request_query_int(&rq, "limit", 1, 10, 7, &n, NULL), GW_OK));
    cr_expect(eq(i64, n, 10));
}

Test(http_route, if_match_must_name_a_version)
{
    static const struct {
        const char *header;
        gw_status status;
    } cases[] = {
        {NULL, GW_EPRECONDITION}, {"\"7\"", GW_OK},   {"7", GW_ESTALE},    {"W/\"7\"", GW_ESTALE},
        {"\"x\"", GW_ESTALE},     {"\"7", GW_ESTALE}, {"\"\"", GW_ESTALE}, {"\"99999999999999999999\"", GW_ESTALE}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        gw_request rq = {.arena = &arena, .if_match = cases[i].header};
        int64_t version = -1;
        cr_expect(eq(int, gw_request_if_match(&rq, &version, NULL), cases[i].status), "case %zu", i);
        cr_expect(eq(i64, version, cases[i].status ? -1 : 7));
    }
}

Test(http_route, a_problem_document_lists_every_fault)
{
    gw_reply reply = {.arena = &arena};
    gw_fault_add(&err, "/a", "is \"x\"", "Try y.");
    gw_fault_add(&err, "/b", "is missing", NULL);
    gw_problem_reply(&reply, &err);
    cr_expect(eq(int, reply.status, 422));
    cr_expect(eq(str, (char *)reply.body,
                 "{\"title\":\"some values cannot be accepted\",\"status\":422,\"errors\":[{\"pointer\":\"/a\","
                 "\"detail\":\"is \\\"x\\\"\",\"hint\":\"Try y.\"},{\"pointer\":\"/b\",\"detail\":\"is missing\"}]}"));
}

Test(http_route, without_memory_there_is_still_a_problem_document)
{
    gw_reply reply = {.arena = &arena};
    gw_fail(&err, GW_EUNKNOWN, "gone");
    gw_arena_fail_at(1);
    gw_problem_reply(&reply, &err);
    gw_arena_fail_at(0);
    cr_expect(eq(int, reply.status, 503));
    cr_expect(strstr(reply.body, "\"status\":503") != NULL);
    cr_expect(eq(sz, reply.length, strlen(reply.body)));
}

Test(http_route, headers_that_could_split_a_reply_are_dropped)
{
    gw_reply reply = {.arena = &arena};
    gw_reply_header(&reply, "X", "a\r\nSet-Cookie: b");
    gw_reply_header(&reply, "X", "");
    gw_reply_header(&reply, "X", "\xC3\xA9");
    cr_expect(eq(sz, reply.n_headers, 0));
    gw_reply_etag_version(&reply, 7);
    cr_expect(eq(str, (char *)reply.headers[0].value, "\"7\""));
}
