/*
 * What libcurl would never send, and the end of a server: bytes on a socket of our own.
 */
#include <criterion/criterion.h>
#include <criterion/new/assert.h>
#include <signal.h>
#include <string.h>
#include <sys/socket.h>
#include <sys/wait.h>
#include <unistd.h>

#include "support/wire.h"
#include "support/world.h"

/* ---- requests that two programs could read differently ---- */

static const struct {
    const char *what;
    const char *head;
} two_meanings[] = {
    {"both lengths", "POST /api/v1/session HTTP/1.1\r\nHost: h\r\nContent-Type: application/json\r\n"
                     "Content-Length: 4\r\nTransfer-Encoding: chunked\r\n\r\n0\r\n\r\n"},
    {"two lengths", "POST /api/v1/session HTTP/1.1\r\nHost: h\r\nContent-Type: application/json\r\n"
                    "Content-Length: 2\r\nContent-Length: 40\r\n\r\n{}"},
    {"two hosts", "GET /healthz HTTP/1.1\r\nHost: a\r\nHost: b\r\n\r\n"},
    {"no host", "GET /healthz HTTP/1.1\r\n\r\n"},
    {"a coding that is not chunked", "POST /api/v1/session HTTP/1.1\r\nHost: h\r\nContent-Type: application/json\r\n"
                                     "Transfer-Encoding: gzip\r\n\r\n"},
    {"an escaped slash", "GET /api/v1%2Fme HTTP/1.1\r\nHost: h\r\nConnection: close\r\n\r\n"},
    {"an escaped NUL", "GET /api/v1/me%00 HTTP/1.1\r\nHost: h\r\nConnection: close\r\n\r\n"},
    {"a broken escape", "GET /api/v1/%zz HTTP/1.1\r\nHost: h\r\nConnection: close\r\n\r\n"},
};

Test(wire, refuses_what_has_two_meanings_and_closes)
{
    for (size_t i = 0; i < sizeof two_meanings / sizeof *two_meanings; i++) {
        bool closed;
        int fd = gw_dial(gw_port());
        gw_say(fd, two_meanings[i].head);
        const char *answer = gw_hear(fd, GW_PATIENCE_MS, &closed);
        cr_expect(eq(int, strncmp(answer, "HTTP/1.1 400 ", 13), 0), "%s: %.40s", two_meanings[i].what, answer);
        cr_expect(closed, "%s: the connection stays open", two_meanings[i].what);
        cr_expect(eq(int, strstr(answer, "\r\n\r\nHTTP/1.1") != NULL, 0), "%s: answered twice", two_meanings[i].what);
    }
}

Test(wire, knows_which_methods_there_are)
{
    bool closed;
    int fd = gw_dial(gw_port());
    gw_say(fd, "BREW /api/v1/me HTTP/1.1\r\nHost: h\r\nConnection: close\r\n\r\n");
    const char *answer = gw_hear(fd, GW_PATIENCE_MS, &closed);
    cr_expect(eq(int, strncmp(answer, "HTTP/1.1 501 ", 13), 0), "%.40s", answer);
}

/* ---- the end of a server ---- */

/* Send the head of a check and wait until the server asks for its body: from then on the request is under way. */
static void begin_put(int fd, const char *id, size_t length)
{
    static const char go_on[] = "HTTP/1.1 100 Continue\r\n\r\n";
    char got[sizeof go_on] = "";
    gw_say(fd,
           gw_text("PUT /api/v1/checks/%s HTTP/1.1\r\nHost: h\r\nAuthorization: Bearer %s\r\nExpect: 100-continue\r\n"
                   "Content-Type: application/json\r\nContent-Length: %zu\r\n\r\n",
                   id, gw_token(VERA_OF_A), length));
    cr_assert(eq(long, (long)recv(fd, got, sizeof got - 1, MSG_WAITALL), (long)sizeof got - 1));
    cr_assert(eq(str, got, (char *)go_on));
}

Test(wire, finishes_what_is_under_way_when_it_is_told_to_stop)
{
    const char *animal = gw_new_animal((gw_animal_wish){.grams = 950, .days_ago = 8, .own_scale = true});
    const char *body = gw_weekly_body(animal, gw_days_ago(1), 945), *id = gw_id();
    size_t half = strlen(body) / 2;
    gw_own_server s = gw_own_start(NULL);
    int fd = gw_try_dial(s.port), other;
    bool closed;
    begin_put(fd, id, strlen(body));
    gw_say(fd, gw_text("%.*s", (int)half, body));
    kill(s.pid, SIGTERM);
    for (long long until = gw_until(); (other = gw_try_dial(s.port)) >= 0;) {
        close(other);
        gw_look_again(until, "it still takes new connections");
    }
    gw_say(fd, body + half);
    const char *answer = gw_hear(fd, GW_PATIENCE_MS, &closed);
    cr_expect(eq(int, strncmp(answer, "HTTP/1.1 201 ", 13), 0), "%.200s", answer);
    cr_expect(closed);
    int status = gw_own_end(&s, SIGTERM); /* it has been told: a second time changes nothing */
    cr_expect(eq(int, WIFEXITED(status) ? WEXITSTATUS(status) : -1, 0));
    cr_expect(eq(str, (char *)gw_sql("select count(*) from gw.verdict where \"check\" = '%s'", id), "1"));
}

/* The test cluster does not wait for its disk: this shows that nothing waits in the server, not what a power cut does.
 */
Test(wire, has_written_whole_what_it_has_answered_when_it_is_killed)
{
    const char *animal = gw_new_animal((gw_animal_wish){.grams = 950, .days_ago = 8, .own_scale = true});
    const char *body = gw_weekly_body(animal, gw_days_ago(1), 820), *id = gw_id();
    gw_own_server s = gw_own_start(NULL);
    int fd = gw_try_dial(s.port);
    char first[16] = "";
    begin_put(fd, id, strlen(body));
    gw_say(fd, body);
    cr_assert(eq(long, (long)recv(fd, first, sizeof first - 1, MSG_WAITALL), (long)sizeof first - 1));
    gw_own_end(&s, SIGKILL);
    close(fd);
    cr_assert(eq(int, strncmp(first, "HTTP/1.1 201 ", 13), 0), "%s", first);
    cr_expect(eq(str,
                 (char *)gw_sql("select count(*) from gw.check c join gw.verdict v on v.\"check\" = c.id join "
                                "gw.alert_evidence e on e.\"check\" = c.id where c.id = '%s'",
                                id),
                 "1"));
    s = gw_own_start(NULL);
    const char *heard = gw_say_and_hear(
        s.port, gw_text("GET /api/v1/checks/%s HTTP/1.1\r\nHost: h\r\nConnection: close\r\nAuthorization: Bearer "
                        "%s\r\n\r\n",
                        id, gw_token(VERA_OF_A)));
    cr_expect(eq(int, gw_status_of(heard), 200), "%s", heard);
    cr_expect(eq(int, gw_own_end(&s, SIGTERM), 0));
    /* Nothing turns off the wait for the disk that a cluster with fsync would keep. */
    cr_expect(eq(str,
                 (char *)gw_sql("select coalesce(string_agg(c, ','), '') from pg_db_role_setting, unnest(setconfig) c "
                                "where c like 'synchronous_commit=%%'"),
                 ""));
}
