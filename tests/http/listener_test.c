/*
 * What the listener promises of every request and every reply: framing, limits, headers, files, cookies, and what it
 * keeps to itself.
 */
#include <criterion/criterion.h>
#include <criterion/new/assert.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

#include "support/wire.h"
#include "support/world.h"

#define CLOSE "Host: h\r\nConnection: close\r\n\r\n"

/* The value of a header in what was heard, "" when it is not there. */
static const char *header_of(const char *heard, const char *name)
{
    const char *end = strstr(heard, "\r\n\r\n");
    size_t n = strlen(name);
    for (const char *at = strstr(heard, "\r\n"); at && at < end; at = strstr(at + 2, "\r\n"))
        if (!strncasecmp(at + 2, name, n) && at[2 + n] == ':')
            return gw_text("%.*s", (int)strcspn(at + n + 4, "\r"), at + n + 4);
    return "";
}

static const char *body_of(const char *heard)
{
    const char *end = strstr(heard, "\r\n\r\n");
    return end ? end + 4 : "";
}

static void expect_problem(const char *heard, int status, const char *what)
{
    cr_expect(eq(int, gw_status_of(heard), status), "%s: %.200s", what, heard);
    cr_expect(eq(str, (char *)header_of(heard, "Content-Type"), "application/problem+json"), "%s", what);
    cr_expect(strstr(body_of(heard), gw_text("\"status\":%d", status)) != NULL, "%s: %s", what, body_of(heard));
}

/* ---- a connection that goes on ---- */

#define INNER "GET /api/v1/inner HTTP/1.1\r\nHost: h\r\n\r\n"

/* Requests of odd form whose body, or what could be taken for one, looks like a request. */
static const char *const odd[] = {
    "POST /api/v1/me HTTP/1.1\r\nHost: h\r\nContent-Length: 39\r\n\r\n" INNER,
    "POST /api/v1/session HTTP/1.1\r\nHost: h\r\nContent-Type: text/plain\r\nContent-Length: 39\r\n\r\n" INNER,
    "POST /api/v1/session HTTP/1.1\r\nHost: h\r\nContent-Type: application/json\r\nContent-Length: 39\r\n\r\n" INNER,
    "GET /healthz HTTP/1.1\r\nHost: h\r\nContent-Length: 39\r\n\r\n" INNER,
    "POST /api/v1/session HTTP/1.1\nHost: h\nContent-Type: application/json\nContent-Length: 39\n\n" INNER,
    "POST /api/v1/session HTTP/1.1\r\nHost: h\r\nContent-Length : 39\r\n\r\n" INNER,
    "POST /api/v1/session HTTP/1.1\r\nHost: h\r\nX-Folded: a\r\n Content-Length: 39\r\nContent-Length: "
    "39\r\n\r\n" INNER,
    "POST /api/v1/session HTTP/1.1\r\nHost: h\r\nContent-Length: +39\r\n\r\n" INNER,
    "POST /api/v1/session HTTP/1.1\r\nHost: h\r\nContent-Length: 0x27\r\n\r\n" INNER,
    "POST /api/v1/session HTTP/1.1\r\nHost: h\r\nContent-Length: 39, 41\r\n\r\n" INNER,
    "POST /api/v1/session HTTP/1.1\r\nHost: h\r\nTransfer-Encoding: chunked\r\nContent-Type: application/json\r\n\r\n"
    "27\r\n" INNER "\r\n0\r\n\r\n",
    "POST /api/v1/session HTTP/1.1\r\nHost: h\r\nTransfer-Encoding: xchunked\r\n\r\n27\r\n" INNER "\r\n0\r\n\r\n",
    "POST /api/v1/session HTTP/1.0\r\nHost: h\r\nTransfer-Encoding: chunked\r\n\r\n27\r\n" INNER "\r\n0\r\n\r\n",
};

/*
 * The inner request, which would get a 404, is never answered: there is a refusal, then the last request's answer or
 * the end. What the library itself refuses comes with its head twice; the connection ends behind it.
 */
Test(listener, keeps_step_with_requests_of_odd_form)
{
    _Static_assert(sizeof INNER - 1 == 39, "the lengths above are those of INNER");
    for (size_t i = 0; i < sizeof odd / sizeof *odd; i++) {
        const char *heard = gw_say_and_hear(gw_port(), gw_text("%sGET /healthz HTTP/1.1\r\n" CLOSE, odd[i]));
        int n = gw_count_answers(heard);
        bool went_on = n == 2 && strstr(heard, "{\"status\":\"ok\"}") != NULL;
        bool ended = strstr(heard, "Connection: close") && !strstr(heard, "HTTP/1.1 200");
        cr_expect(gw_status_of(heard) >= 400 && gw_status_of(heard) < 500, "%s\n%s", odd[i], heard);
        cr_expect(went_on || ended, "%d answers to\n%s\n%s", n, odd[i], heard);
        cr_expect(strstr(heard, "HTTP/1.1 404") == NULL, "the inner request is answered:\n%s\n%s", odd[i], heard);
    }
}

Test(listener, answers_requests_that_come_together_in_turn)
{
    const char *heard = gw_say_and_hear(gw_port(), "GET /healthz HTTP/1.1\r\nHost: h\r\n\r\n"
                                                   "GET /api/v1/nothing HTTP/1.1\r\nHost: h\r\n\r\n"
                                                   "GET /healthz HTTP/1.1\r\n" CLOSE);
    cr_expect(eq(int, gw_count_answers(heard), 3));
    const char *second = strstr(heard + 1, "HTTP/1.1 404");
    cr_expect(second && strstr(second, "HTTP/1.1 200"), "%s", heard);
}

/* ---- addresses ---- */

Test(listener, refuses_addresses_with_two_readings)
{
    static const char *const paths[] = {"/api/v1/%zz",
                                        "/api/v1/%4",
                                        "/api/v1/me%00",
                                        "/api%2Fv1/me",
                                        "/%ff",
                                        "/a%0ab",
                                        "/api/v1/invitations/%",
                                        "http://h/healthz",
                                        "*",
                                        "/api/v1/animals?q=%zz"};
    for (size_t i = 0; i < sizeof paths / sizeof *paths; i++) {
        const char *heard = gw_say_and_hear(
            gw_port(), gw_text("GET %s HTTP/1.1\r\nAuthorization: Bearer %s\r\n" CLOSE, paths[i], gw_token(VERA_OF_A)));
        expect_problem(heard, 400, paths[i]);
    }
    static const char *const elsewhere[] = {"/api//v1/me",  "/api/v1//me",     "/api/v1/me/",
                                            "/api/./v1/me", "/api/v1/x/../me", "/api/v1/%2e%2e/v1/me"};
    for (size_t i = 0; i < sizeof elsewhere / sizeof *elsewhere; i++)
        expect_problem(gw_say_and_hear(gw_port(), gw_text("GET %s HTTP/1.1\r\nAuthorization: Bearer %s\r\n" CLOSE,
                                                          elsewhere[i], gw_token(VERA_OF_A))),
                       404, elsewhere[i]);
}

Test(listener, tells_which_methods_an_address_takes)
{
    const char *heard = gw_say_and_hear(gw_port(), "PATCH /api/v1/session HTTP/1.1\r\n" CLOSE);
    expect_problem(heard, 405, "PATCH");
    cr_expect(eq(str, (char *)header_of(heard, "Allow"), "POST, DELETE"));
    heard = gw_say_and_hear(gw_port(), "DELETE /index.html HTTP/1.1\r\n" CLOSE);
    expect_problem(heard, 405, "DELETE of a file");
    cr_expect(eq(str, (char *)header_of(heard, "Allow"), "GET, HEAD"));
    expect_problem(gw_say_and_hear(gw_port(), "get /healthz HTTP/1.1\r\n" CLOSE), 501, "get");
}

/* ---- limits ---- */

Test(listener, refuses_a_body_that_is_too_large)
{
    const char *head = gw_text("PUT /api/v1/checks/%s HTTP/1.1\r\nHost: h\r\nAuthorization: Bearer %s\r\n"
                               "Content-Type: application/json\r\n",
                               gw_id(), gw_token(VERA_OF_A));
    const char *before = gw_everything();
    /* By its length, before any of it has come. */
    expect_problem(gw_say_and_hear(gw_port(), gw_text("%sContent-Length: 9000000000\r\n\r\n", head)), 413, "length");

    /* By what came, in chunks of 4 KiB, twenty-one of them. */
    int fd = gw_dial(gw_port());
    const char *chunk = gw_text("1000\r\n%04096d\r\n", 0);
    gw_say(fd, gw_text("%sConnection: close\r\nTransfer-Encoding: chunked\r\n\r\n", head));
    bool open = true;
    for (int i = 0; open && i < 21; i++) open = gw_try_say(fd, chunk, strlen(chunk));
    if (open) gw_try_say(fd, "0\r\n\r\n", 5);
    expect_problem(gw_hear(fd, GW_PATIENCE_MS, NULL), 413, "chunks");
    cr_expect(eq(str, (char *)gw_everything(), (char *)before));
}

Test(listener, refuses_an_address_and_headers_that_are_too_long)
{
    expect_problem(gw_say_and_hear(gw_port(), gw_text("GET /%01100d HTTP/1.1\r\n" CLOSE, 0)), 414, "path");
    expect_problem(gw_say_and_hear(gw_port(), gw_text("GET /healthz HTTP/1.1\r\nX-Long: %09000d\r\n" CLOSE, 0)), 431,
                   "one header");
    const char *many = "";
    for (int i = 0; i < 42; i++) many = gw_text("%sX-%d: %0200d\r\n", many, i, 0);
    expect_problem(gw_say_and_hear(gw_port(), gw_text("GET /healthz HTTP/1.1\r\n%s" CLOSE, many)), 431, "many");
    /* More than the library reads it refuses itself, in words of its own. */
    const char *heard = gw_say_and_hear(gw_port(), gw_text("GET /healthz HTTP/1.1\r\nX-Long: %040000d\r\n" CLOSE, 0));
    cr_expect(eq(int, gw_status_of(heard), 431), "%.200s", heard);
}

/* ---- cookies ---- */

/* A session by cookie, "name=value". */
static const char *sign_in_with_cookie(int port, gw_who who)
{
    const char *body = gw_json("{'email':'%s','passphrase':'%s'}", gw_email(who), GW_PASSPHRASE);
    const char *heard = gw_say_and_hear(port, gw_text("POST /api/v1/session HTTP/1.1\r\nSec-Fetch-Site: same-origin\r\n"
                                                      "Content-Type: application/json\r\nContent-Length: %zu\r\n%s%s",
                                                      strlen(body), CLOSE, body));
    cr_assert(eq(int, gw_status_of(heard), 201), "%s", heard);
    const char *line = header_of(heard, "Set-Cookie");
    return gw_text("%.*s", (int)strcspn(line, ";"), line);
}

static const char *put(const char *path, const char *headers, const char *body)
{
    return gw_say_and_hear(gw_port(), gw_text("PUT %s HTTP/1.1\r\n%s\r\nContent-Type: application/json\r\n"
                                              "Content-Length: %zu\r\n%s%s",
                                              path, headers, strlen(body), CLOSE, body));
}

Test(listener, takes_no_second_cookie_and_no_second_token)
{
    const char *cookie = sign_in_with_cookie(gw_port(), VERA_OF_A);
    const char *once[] = {gw_text("Cookie: %s\r\n", cookie), gw_text("Cookie: a=1; %s\r\nCookie: b=2\r\n", cookie)};
    for (size_t i = 0; i < sizeof once / sizeof *once; i++) {
        const char *heard = gw_say_and_hear(gw_port(), gw_text("GET /api/v1/me HTTP/1.1\r\n%s" CLOSE, once[i]));
        cr_expect(eq(int, gw_status_of(heard), 200), "%s: %s", once[i], heard);
    }
    const char *twice[] = {gw_text("Cookie: %s; %s\r\n", cookie, cookie),
                           gw_text("Cookie: %s\r\nCookie: %s\r\n", cookie, cookie),
                           gw_text("Cookie: __Host-gramwell=x; %s\r\n", cookie),
                           gw_text("Authorization: Bearer %s\r\nAuthorization: Bearer x\r\n", gw_token(VERA_OF_A))};
    for (size_t i = 0; i < sizeof twice / sizeof *twice; i++)
        expect_problem(gw_say_and_hear(gw_port(), gw_text("GET /api/v1/me HTTP/1.1\r\n%s" CLOSE, twice[i])), 400,
                       twice[i]);
}

Test(listener, lets_no_other_site_use_a_cookie)
{
    const char *cookie = sign_in_with_cookie(gw_port(), VERA_OF_A);
    const char *animal = gw_new_animal((gw_animal_wish){.grams = 900, .days_ago = 8, .own_scale = true});
    const char *body = gw_weekly_body(animal, gw_days_ago(1), 900);
    const char *path = gw_text("/api/v1/checks/%s", gw_id());
    const char *own = gw_text("Origin: %s", gw_url());
    const char *foreign[] = {"Sec-Fetch-Site: cross-site",
                             "Sec-Fetch-Site: same-site",
                             "Sec-Fetch-Site: none",
                             "Origin: https://elsewhere.example",
                             "Origin: null",
                             gw_text("Origin: http://127.0.0.1:%d", gw_port() == 80 ? 81 : 80),
                             gw_text("%s\r\nSec-Fetch-Site: cross-site", own),
                             "X-Nothing: at all"};
    const char *before = gw_everything();
    for (size_t i = 0; i < sizeof foreign / sizeof *foreign; i++) {
        expect_problem(put(path, gw_text("Cookie: %s\r\n%s", cookie, foreign[i]), body), 403, foreign[i]);
        const char *end = gw_say_and_hear(
            gw_port(), gw_text("DELETE /api/v1/session HTTP/1.1\r\nCookie: %s\r\n%s\r\n%s", cookie, foreign[i], CLOSE));
        expect_problem(end, 403, foreign[i]);
    }
    cr_expect(eq(str, (char *)gw_everything(), (char *)before));

    const char *heard = put(path, gw_text("Cookie: %s\r\n%s", cookie, own), body);
    cr_expect(eq(int, gw_status_of(heard), 201), "%s", heard);
    heard = put(path, gw_text("Authorization: Bearer %s\r\nSec-Fetch-Site: cross-site", gw_token(VERA_OF_A)), body);
    cr_expect(eq(int, gw_status_of(heard), 200), "%s", heard);
}

/* ---- files ---- */

static char folder[] = "/tmp/gw-web-XXXXXX";

static void put_file(const char *name, const char *text)
{
    FILE *file = fopen(gw_text("%s/%s", folder, name), "w");
    cr_assert(file && fputs(text, file) >= 0 && fclose(file) == 0);
}

static const char *const files[] = {
    "web/index.html", "web/sw.js",       "web/app-Ab12Cd34.js", "web/app-Ab12Cd34.js.gz",
    "web/style.css",  "web/.hidden.txt", "web/odd.exe",         "beside.txt"};

/* A server with a folder of files, and one file beside the folder that is nobody's business. */
static gw_own_server serve_files(void)
{
    cr_assert(ne(ptr, mkdtemp(folder), NULL));
    cr_assert(eq(int, mkdir(gw_text("%s/web", folder), 0755), 0));
    for (size_t i = 0; i < sizeof files / sizeof *files; i++) put_file(files[i], gw_text("text of %s", files[i]));
    return gw_own_start((const char *const[]){"GRAMWELL_WEB", gw_text("%s/web", folder), NULL});
}

static void stop_files(gw_own_server *s)
{
    int status = gw_own_end(s, SIGTERM);
    cr_expect(eq(int, status, 0));
    for (size_t i = 0; i < sizeof files / sizeof *files; i++) unlink(gw_text("%s/%s", folder, files[i]));
    rmdir(gw_text("%s/web", folder));
    rmdir(folder);
}

static const char *get(int port, const char *path, const char *headers)
{
    return gw_say_and_hear(port, gw_text("GET %s HTTP/1.1\r\n%s" CLOSE, path, headers));
}

static void expect_file(const char *heard, const char *type, const char *cache, const char *text)
{
    cr_expect(eq(int, gw_status_of(heard), 200), "%s", heard);
    cr_expect(eq(str, (char *)header_of(heard, "Content-Type"), (char *)type));
    cr_expect(eq(str, (char *)header_of(heard, "Cache-Control"), (char *)cache));
    cr_expect(eq(str, (char *)body_of(heard), (char *)text));
}

Test(listener, serves_the_files_of_the_client)
{
    static const char html[] = "text/html; charset=utf-8", js[] = "text/javascript; charset=utf-8";
    static const char for_ever[] = "public, max-age=31536000, immutable", index[] = "text of web/index.html";
    gw_own_server s = serve_files();
    expect_file(get(s.port, "/", ""), html, "no-cache", index);
    expect_file(get(s.port, "/round/today", ""), html, "no-cache", index);
    expect_file(get(s.port, "/sw.js", ""), js, "no-cache", "text of web/sw.js");
    expect_file(get(s.port, "/style.css", ""), "text/css; charset=utf-8", "no-cache", "text of web/style.css");
    expect_file(get(s.port, "/app-Ab12Cd34.js", ""), js, for_ever, "text of web/app-Ab12Cd34.js");
    expect_file(get(s.port, "/app-Ab12Cd34.js", "Accept-Encoding: gzip;q=0\r\n"), js, for_ever,
                "text of web/app-Ab12Cd34.js");

    const char *packed = get(s.port, "/app-Ab12Cd34.js", "Accept-Encoding: br, gzip\r\n");
    expect_file(packed, js, for_ever, "text of web/app-Ab12Cd34.js.gz");
    cr_expect(eq(str, (char *)header_of(packed, "Content-Encoding"), "gzip"));
    cr_expect(eq(str, (char *)header_of(packed, "Vary"), "Accept-Encoding"));

    expect_problem(get(s.port, "/missing.js", ""), 404, "a file that is not there");
    expect_problem(get(s.port, "/api/v1/nothing", ""), 404, "below /api");
    expect_problem(get(s.port, "/api", ""), 404, "/api");
    stop_files(&s);
}

Test(listener, serves_no_other_file)
{
    static const char *const paths[] = {"/../beside.txt",   "/x/../../beside.txt",  "/%2e%2e/beside.txt",
                                        "/.%2e/beside.txt", "/..%2fbeside.txt",     "/..%5cbeside.txt",
                                        "//beside.txt",     "/./../beside.txt",     "/.hidden.txt",
                                        "/odd.exe",         "/web/../../beside.txt"};
    gw_own_server s = serve_files();
    for (size_t i = 0; i < sizeof paths / sizeof *paths; i++) {
        const char *heard = get(s.port, paths[i], "");
        cr_expect(gw_status_of(heard) == 400 || gw_status_of(heard) == 404, "%s: %s", paths[i], heard);
        cr_expect(strstr(heard, "text of") == NULL, "%s: %s", paths[i], heard);
    }
    stop_files(&s);
}

/* ---- HEAD and what did not change ---- */

static const char *without_date(const char *head)
{
    const char *date = strstr(head, "\r\nDate: ");
    return date ? gw_text("%.*s%s", (int)(date - head), head, strstr(date + 2, "\r\n")) : head;
}

static void expect_same_head(int port, const char *path)
{
    const char *with = get(port, path, "");
    const char *head = gw_say_and_hear(port, gw_text("HEAD %s HTTP/1.1\r\n" CLOSE, path));
    cr_expect(eq(str, (char *)body_of(head), ""), "%s", path);
    with = gw_text("%.*s", (int)(body_of(with) - with), with);
    cr_expect(eq(str, (char *)without_date(head), (char *)without_date(with)), "%s", path);
}

Test(listener, answers_head_like_get_without_the_body)
{
    gw_own_server s = serve_files();
    static const char *const paths[] = {"/healthz",        "/api/v1/openapi.json", "/",          "/sw.js",
                                        "/api/v1/nothing", "/api/v1/me",           "/missing.js"};
    for (size_t i = 0; i < sizeof paths / sizeof *paths; i++) expect_same_head(s.port, paths[i]);
    const char *heard =
        gw_say_and_hear(s.port, "HEAD /sw.js HTTP/1.1\r\nHost: h\r\n\r\nGET /healthz HTTP/1.1\r\n" CLOSE);
    cr_expect(eq(int, gw_count_answers(heard), 2), "%s", heard);
    stop_files(&s);
}

Test(listener, sends_once_what_does_not_change)
{
    gw_own_server s = serve_files();
    const char *auth = gw_text("Authorization: Bearer %s\r\n", gw_token(VERA_OF_A));
    static const char *const paths[] = {"/sw.js", "/", "/api/v1/catalogue"};
    for (size_t i = 0; i < sizeof paths / sizeof *paths; i++) {
        const char *first = get(s.port, paths[i], auth), *etag = header_of(first, "ETag");
        cr_assert(ne(str, (char *)etag, ""), "%s has no ETag", paths[i]);
        const char *again = get(s.port, paths[i], gw_text("%sIf-None-Match: \"other\", W/%s\r\n", auth, etag));
        cr_expect(eq(int, gw_status_of(again), 304), "%s: %.100s", paths[i], again);
        cr_expect(eq(str, (char *)body_of(again), ""), "%s", paths[i]);
        cr_expect(eq(str, (char *)header_of(again, "ETag"), (char *)etag), "%s", paths[i]);
        cr_expect(eq(str, (char *)header_of(again, "Cache-Control"), (char *)header_of(first, "Cache-Control")));
        cr_expect(eq(int, gw_status_of(get(s.port, paths[i], gw_text("%sIf-None-Match: \"other\"\r\n", auth))), 200));
    }
    stop_files(&s);
}

/* ---- headers of every reply ---- */

static void expect_guarded(const char *heard, int status)
{
    static const char *const guards[][2] = {{"X-Content-Type-Options", "nosniff"},
                                            {"Referrer-Policy", "no-referrer"},
                                            {"Cross-Origin-Opener-Policy", "same-origin"},
                                            {"Cross-Origin-Resource-Policy", "same-origin"}};
    cr_expect(eq(int, gw_status_of(heard), status), "%s", heard);
    for (size_t i = 0; i < sizeof guards / sizeof *guards; i++)
        cr_expect(eq(str, (char *)header_of(heard, guards[i][0]), (char *)guards[i][1]), "%d: %s", status,
                  guards[i][0]);
    const char *policy = header_of(heard, "Content-Security-Policy");
    static const char *const parts[] = {"default-src 'self'", "object-src 'none'", "frame-ancestors 'none'",
                                        "base-uri 'none'", "form-action 'self'"};
    for (size_t i = 0; i < sizeof parts / sizeof *parts; i++)
        cr_expect(strstr(policy, parts[i]) != NULL, "%d: %s is not in %s", status, parts[i], policy);
    cr_expect(strstr(policy, "'unsafe-inline'") == NULL && strstr(policy, "'unsafe-eval'") == NULL, "%s", policy);
    cr_expect(ne(str, (char *)header_of(heard, "Cache-Control"), ""));
}

Test(listener, guards_every_kind_of_reply)
{
    gw_own_server s = serve_files();
    const char *auth = gw_text("Authorization: Bearer %s\r\n", gw_token(VERA_OF_A));
    const char *etag = header_of(get(s.port, "/sw.js", ""), "ETag");
    expect_guarded(get(s.port, "/", ""), 200);
    expect_guarded(get(s.port, "/api/v1/me", auth), 200);
    expect_guarded(get(s.port, "/sw.js", gw_text("If-None-Match: %s\r\n", etag)), 304);
    expect_guarded(get(s.port, "/%zz", ""), 400);
    expect_guarded(get(s.port, "/api/v1/me", ""), 401);
    expect_guarded(get(s.port, "/api/v1/people", auth), 403);
    expect_guarded(get(s.port, "/api/v1/nothing", ""), 404);
    expect_guarded(gw_say_and_hear(s.port, "PUT / HTTP/1.1\r\n" CLOSE), 405);
    expect_guarded(gw_say_and_hear(s.port, "POST /api/v1/session HTTP/1.1\r\nContent-Type: application/json\r\n"
                                           "Content-Length: 99999\r\n" CLOSE),
                   413);
    expect_guarded(get(s.port, gw_text("/%01100d", 0), ""), 414);
    expect_guarded(gw_say_and_hear(s.port, "POST /api/v1/session HTTP/1.1\r\nContent-Length: 2\r\n" CLOSE "{}"), 415);
    expect_guarded(gw_say_and_hear(s.port, "POST /api/v1/session HTTP/1.1\r\nContent-Type: application/json\r\n"
                                           "Content-Length: 2\r\n" CLOSE "{}"),
                   422);
    expect_guarded(get(s.port, "/healthz", gw_text("X-Long: %09000d\r\n", 0)), 431);
    expect_guarded(gw_say_and_hear(s.port, "BREW / HTTP/1.1\r\n" CLOSE), 501);
    const char *cookie = sign_in_with_cookie(s.port, WILL_OF_B);
    expect_guarded(gw_say_and_hear(s.port, gw_text("DELETE /api/v1/session HTTP/1.1\r\nCookie: %s\r\n"
                                                   "Sec-Fetch-Site: same-origin\r\n" CLOSE,
                                                   cookie)),
                   204);
    stop_files(&s);
}

/* ---- the log ---- */

Test(listener, logs_nothing_about_people_and_no_token)
{
    gw_own_server s = gw_own_start((const char *const[]){"GRAMWELL_LOG", "debug", NULL});
    const char *auth = gw_text("Authorization: Bearer %s\r\n", gw_token(ANN_COORDINATOR));
    const char *cookie = sign_in_with_cookie(s.port, WILL_OF_B), *value = strchr(cookie, '=') + 1;
    static const char secret[] = "c2VjcmV0LXNlY3JldC1zZWNyZXQtc2VjcmV0LXNlY3I";
    const char *name = "Quintessa Unmistakable", *email = "quintessa@secretplace.invalid";
    const char *person = gw_json("{'name':'%s','email':'%s','role':'volunteer'}", name, email);
    const char *wrong = gw_json("{'email':'%s','passphrase':'not the one at all'}", email);
    const char *heard = "";
    for (int i = 0; i < 2; i++) /* made, then refused by the database */
        heard = gw_say_and_hear(s.port, gw_text("POST /api/v1/people HTTP/1.1\r\n%sContent-Type: application/json\r\n"
                                                "Content-Length: %zu\r\n" CLOSE "%s",
                                                auth, strlen(person), person));
    cr_assert(eq(int, gw_status_of(heard), 409), "%s", heard);
    gw_say_and_hear(s.port, gw_text("POST /api/v1/session HTTP/1.1\r\nContent-Type: application/json\r\n"
                                    "Content-Length: %zu\r\n" CLOSE "%s",
                                    strlen(wrong), wrong));
    get(s.port, gw_text("/api/v1/invitations/%s", secret), "");
    get(s.port, gw_text("/join/%s", secret), "");
    get(s.port, gw_text("/api/v1/animals?q=%s", secret), auth);
    get(s.port, gw_text("/api/v1/me?token=%s", secret), auth);
    get(s.port, gw_text("/%%zz%s", secret), "");
    get(s.port, "/api/v1/me", gw_text("Cookie: %s\r\n", cookie));
    get(s.port, "/api/v1/me", gw_text("Authorization: Bearer %s\r\nContent-Length: %s\r\n", secret, secret));
    gw_say_and_hear(s.port, gw_text("%s /api/v1/me HTTP/1.1\r\n" CLOSE, secret));
    gw_say_and_hear(s.port, gw_text("GET /%s\r\nno header at all\r\n\r\n", secret));

    const char *log = gw_own_log(&s);
    cr_expect(strstr(log, "route=/api/v1/people") != NULL && strstr(log, "status=409") != NULL, "%s", log);
    const char *const never[] = {
        "Quintessa",   "secretplace", "Unmistakable", gw_email(WILL_OF_B),       "test.invalid",       "not the one",
        GW_PASSPHRASE, secret,        value,          gw_token(ANN_COORDINATOR), gw_person(WILL_OF_B), "Will of B"};
    for (size_t i = 0; i < sizeof never / sizeof *never; i++)
        cr_expect(strstr(log, never[i]) == NULL, "the log holds %s", never[i]);
    gw_own_end(&s, SIGTERM);
}
