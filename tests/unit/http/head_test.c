/* The head of a request: framing, cookies, tokens, paths, queries, where it comes from. */
#include <string.h>

#include "http/files.h"
#include "http/headers.h"
#include "http/origin.h"
#include "http/path.h"
#include "unit.h"

TestSuite(http_head, .init = unit_init, .fini = unit_fini);

/* Lines "Name: value" as the library hands them over. */
static gw_headers headers_of(size_t n, const char *const lines[])
{
    gw_headers h;
    gw_headers_init(&h);
    for (size_t i = 0; i < n; i++) {
        const char *colon = strchr(lines[i], ':');
        gw_headers_add(&h, &arena, lines[i], (size_t)(colon - lines[i]), colon + 2, strlen(colon + 2));
    }
    return h;
}
#define HEADERS(...)                                                                                                   \
    headers_of(sizeof((const char *[]){__VA_ARGS__}) / sizeof(char *), (const char *const[]){__VA_ARGS__})

static gw_status judged(gw_headers h, bool version_11)
{
    err_reset();
    return gw_headers_check(&h, version_11, &err);
}

/* RFC 9112 section 6.3 (read as RFC 7230 section 3.3.3). */
Test(http_head, framing_that_could_be_read_in_two_ways_is_refused)
{
    cr_expect(eq(int, judged(HEADERS("Host: a", "Content-Length: 4"), true), GW_OK));
    cr_expect(eq(int, judged(HEADERS("Host: a", "Transfer-Encoding: chunked"), true), GW_OK));
    cr_expect(eq(int, judged(HEADERS("Content-Length: 4"), false), GW_OK));
    const gw_headers refused[] = {
        HEADERS("Host: a", "Content-Length: 4", "Transfer-Encoding: chunked"),
        HEADERS("Host: a", "Content-Length: 4", "content-length: 4"),
        HEADERS("Host: a", "Content-Length: 4", "Content-Length: 5"),
        HEADERS("Host: a", "Content-Length: 4, 4"),
        HEADERS("Host: a", "Content-Length: +4"),
        HEADERS("Host: a", "Content-Length: 99999999999999999999"),
        HEADERS("Host: a", "Content-Length: "),
        HEADERS("Host: a", "Transfer-Encoding: gzip"),
        HEADERS("Host: a", "Transfer-Encoding: chunked, chunked"),
        HEADERS("Host: a", "Transfer-Encoding: chunked", "Transfer-Encoding: chunked"),
        HEADERS("Host: a", "Host: b"),
        HEADERS("Accept: x"),
        HEADERS("Host: a", "Content-Length : 4"),
        HEADERS("Host: a", "X: a\x01z"),
    };
    for (size_t i = 0; i < sizeof refused / sizeof *refused; i++)
        cr_expect(eq(int, judged(refused[i], true), GW_ESYNTAX), "case %zu", i);
    cr_expect(eq(int, judged(HEADERS("Transfer-Encoding: chunked"), false), GW_ESYNTAX));
}

Test(http_head, too_many_header_bytes_are_refused)
{
    static char line[GW_HEADER_BYTES_MAX + 10];
    memset(line, 'a', sizeof line - 1);
    memcpy(line, "X: ", 3);
    cr_expect(eq(int, judged(HEADERS("Host: a", line), true), GW_EHEADERS));
}

Test(http_head, the_sessions_cookie_is_found_in_any_line_and_only_once)
{
    gw_headers h = HEADERS("Host: a", "Cookie: x=1; gramwell=plain", "Cookie: __Host-gramwell=\"abc\" ;y=2");
    cr_expect(eq(str, (char *)h.cookie, "abc"));
    cr_expect(eq(str, (char *)h.cookie_plain, "plain"));
    cr_expect(eq(int, judged(h, true), GW_OK));
    cr_expect(HEADERS("Host: a", "Cookie: x__Host-gramwell=1; __host-gramwell=2; __Host-gramwell").cookie == NULL);
    cr_expect(eq(int, judged(HEADERS("Host: a", "Cookie: __Host-gramwell=a; __Host-gramwell=b"), true), GW_ESYNTAX));
    cr_expect(eq(int, judged(HEADERS("Host: a", "Cookie: __Host-gramwell=a", "Cookie: __Host-gramwell=a"), true),
                 GW_ESYNTAX));
}

Test(http_head, bearer_tokens_and_media_types)
{
    gw_headers h = HEADERS("Host: a", "Authorization: bearer  abc", "Content-Type: application/json; charset=UTF-8");
    cr_expect(eq(str, (char *)gw_headers_bearer(&h), "abc"));
    cr_expect(gw_headers_is_json(&h));
    h = HEADERS("Host: a", "Authorization: Basic abc");
    cr_expect(gw_headers_bearer(&h) == NULL);
    static const char *const not_json[] = {"Content-Type: text/plain", "Content-Type: application/json5",
                                           "Content-Type: application/json; charset=latin-1",
                                           "Content-Type: application/json; x=y", "Content-Type: "};
    for (size_t i = 0; i < sizeof not_json / sizeof *not_json; i++) {
        h = HEADERS("Host: a", not_json[i]);
        cr_expect(not(gw_headers_is_json(&h)), "%s", not_json[i]);
    }
}

Test(http_head, gzip_is_taken_when_asked_for_and_not_refused)
{
    static const char *const yes[] = {"Accept-Encoding: gzip", "Accept-Encoding: br, gzip;q=0.5",
                                      "Accept-Encoding: gzip ;q=0.001"};
    static const char *const no[] = {"Accept-Encoding: br",           "Accept-Encoding: gzip;q=0",
                                     "Accept-Encoding: gzip;q=0.000", "Accept-Encoding: x-gzip",
                                     "Accept-Encoding: gzipped",      "Accept: gzip"};
    for (size_t i = 0; i < sizeof yes / sizeof *yes; i++) {
        gw_headers h = HEADERS(yes[i]);
        cr_expect(gw_headers_takes_gzip(&h), "%s", yes[i]);
    }
    for (size_t i = 0; i < sizeof no / sizeof *no; i++) {
        gw_headers h = HEADERS(no[i]);
        cr_expect(not(gw_headers_takes_gzip(&h)), "%s", no[i]);
    }
}

Test(http_head, entity_tags_are_found_whole)
{
    cr_expect(gw_etag_listed("\"a\", W/\"7\"", "\"7\""));
    cr_expect(gw_etag_listed("*", "\"7\""));
    cr_expect(not(gw_etag_listed("\"77\", \"a7\"", "\"7\"")));
    cr_expect(not(gw_etag_listed(NULL, "\"7\"")));
}

static gw_status split(const char *raw, gw_path *path)
{
    err_reset();
    return gw_path_split(&arena, raw, path, &err);
}

Test(http_head, a_path_is_split_first_and_decoded_after)
{
    gw_path path;
    cr_assert(eq(int, split("/", &path), GW_OK));
    cr_expect(eq(sz, path.n, 0));
    cr_assert(eq(int, split("/a%20b/%C3%A9+c/", &path), GW_OK));
    cr_assert(eq(sz, path.n, 3));
    cr_expect(eq(str, (char *)path.segments[0], "a b"));
    cr_expect(eq(str, (char *)path.segments[1], "\xC3\xA9+c"));
    cr_expect(eq(str, (char *)path.segments[2], ""));
}

Test(http_head, escapes_that_hide_something_are_refused)
{
    static const char *const wrong[] = {"a",   "http://x/f", "*",    "/a%2Fb", "/a%2fb", "/%00",  "/%",
                                        "/%4", "/%zz",       "/%C3", "/%FF",   "/%0A",   "/a%7F", "/%C0%AF"};
    gw_path path;
    for (size_t i = 0; i < sizeof wrong / sizeof *wrong; i++)
        cr_expect(eq(int, split(wrong[i], &path), GW_ESYNTAX), "%s", wrong[i]);
    static char long_path[GW_PATH_BYTES_MAX + 3];
    memset(long_path, '/', sizeof long_path - 1);
    cr_expect(eq(int, split(long_path, &path), GW_ETOOLONG));
    cr_expect(eq(int, split("/1/2/3/4/5/6/7/8/9/10/11/12/13/14/15/16/17", &path), GW_EUNKNOWN));
}

Test(http_head, a_query_has_known_names_once_each)
{
    static const char *const allowed[GW_QUERY_MAX] = {"limit", "q"};
    gw_request rq = {.arena = &arena};
    cr_assert(eq(int, gw_query_add(&rq, allowed, "q", "a%26b c", &err), GW_OK));
    cr_expect(eq(str, (char *)rq.query[0].value, "a&b c"));
    cr_assert(eq(int, gw_query_add(&rq, allowed, "limit", NULL, &err), GW_OK));
    cr_expect(eq(str, (char *)rq.query[1].value, ""));
    cr_expect(eq(int, gw_query_add(&rq, allowed, "%71", "again", &err), GW_ESYNTAX));
    err_reset();
    cr_expect(eq(int, gw_query_add(&rq, allowed, "other", "1", &err), GW_ESYNTAX));
    err_reset();
    rq.n_query = 0;
    cr_expect(eq(int, gw_query_add(&rq, allowed, "q", "%", &err), GW_ESYNTAX));
}

static gw_status origin(gw_headers h)
{
    static const char *const ours[] = {"https://rescue.example.org"};
    err_reset();
    return gw_origin_check(&h, ours, 1, &err);
}

Test(http_head, only_our_own_page_may_use_a_cookie)
{
    cr_expect(eq(int, origin(HEADERS("Sec-Fetch-Site: same-origin")), GW_OK));
    cr_expect(eq(int, origin(HEADERS("Origin: https://rescue.example.org")), GW_OK));
    const gw_headers refused[] = {HEADERS("Sec-Fetch-Site: same-site", "Origin: https://rescue.example.org"),
                                  HEADERS("Sec-Fetch-Site: none"),
                                  HEADERS("Origin: https://rescue.example.org:8443"),
                                  HEADERS("Origin: http://rescue.example.org"),
                                  HEADERS("Origin: null"),
                                  HEADERS("Accept: x")};
    for (size_t i = 0; i < sizeof refused / sizeof *refused; i++)
        cr_expect(eq(int, origin(refused[i]), GW_EORIGIN), "case %zu", i);
}

static const char *client(const char *peer, const char *forwarded, const char *proxies)
{
    return gw_client_address(&arena, peer, forwarded, proxies);
}

Test(http_head, the_clients_address_is_believed_from_known_proxies_only)
{
    cr_expect(eq(str, (char *)client("192.0.2.1", "203.0.113.9", NULL), "192.0.2.1"));
    cr_expect(eq(str, (char *)client("127.0.0.1", "203.0.113.9", "127.0.0.1"), "203.0.113.9"));
    cr_expect(eq(str, (char *)client("127.0.0.1", "198.51.100.7, 203.0.113.9", "127.0.0.1"), "203.0.113.9"));
    cr_expect(eq(str, (char *)client("127.0.0.1", "203.0.113.9, 10.0.0.2", "127.0.0.1, 10.0.0.2"), "203.0.113.9"));
    cr_expect(eq(str, (char *)client("127.0.0.1", "evil\", x", "127.0.0.1"), "127.0.0.1"));
    cr_expect(eq(str, (char *)client("127.0.0.1", NULL, "127.0.0.1"), "127.0.0.1"));
    cr_expect(eq(str, (char *)client("2001:db8:1:2:3:4:5:6", NULL, NULL), "2001:db8:1:2::"));
    cr_expect(eq(str, (char *)client("::ffff:192.0.2.1", NULL, NULL), "192.0.2.1"));
}
