/*
 * What libcurl would never send, and the end of a server: bytes on a socket of our own.
 */
#include <arpa/inet.h>
#include <criterion/criterion.h>
#include <criterion/new/assert.h>
#include <errno.h>
#include <fcntl.h>
#include <poll.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/socket.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

#include "base/time.h"
#include "support/world.h"

enum { PATIENCE_MS = 20000 };

/* ---- a socket ---- */

/* The number behind the last colon of the first word: "http://127.0.0.1:8080". */
static int port_of(const char *address)
{
    size_t n = strcspn(address, " \n");
    while (n > 0 && address[n - 1] != ':') n--;
    return (int)strtol(address + n, NULL, 10);
}

/* -1 when nobody listens. */
static int try_dial(int port)
{
    struct sockaddr_in to = {.sin_family = AF_INET, .sin_port = htons((uint16_t)port)};
    int fd = socket(AF_INET, SOCK_STREAM, 0);
    to.sin_addr.s_addr = htonl(INADDR_LOOPBACK);
    if (!connect(fd, (struct sockaddr *)&to, sizeof to)) return fd;
    close(fd);
    return -1;
}

static int dial(void)
{
    int fd = try_dial(port_of(gw_url()));
    cr_assert(ge(int, fd, 0));
    return fd;
}

static void say(int fd, const char *text)
{
    for (size_t n = strlen(text); n > 0;) {
        ssize_t sent = send(fd, text, n, MSG_NOSIGNAL);
        cr_assert(gt(long, (long)sent, 0));
        text += sent;
        n -= (size_t)sent;
    }
}

/* All that comes until the other side closes; *closed false when it did not within the time. */
static const char *hear(int fd, int limit_ms, bool *closed)
{
    static char bytes[64 * 1024];
    size_t n = 0;
    int64_t end = gw_monotonic_ms() + limit_ms;
    *closed = false;
    for (struct pollfd look = {.fd = fd, .events = POLLIN}; n < sizeof bytes - 1;) {
        int64_t left = end - gw_monotonic_ms();
        if (left <= 0 || poll(&look, 1, (int)left) <= 0) break;
        ssize_t got = recv(fd, bytes + n, sizeof bytes - 1 - n, 0);
        if (got <= 0) {
            *closed = true;
            break;
        }
        n += (size_t)got;
    }
    bytes[n] = '\0';
    close(fd);
    return bytes;
}

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
        int fd = dial();
        say(fd, two_meanings[i].head);
        const char *answer = hear(fd, PATIENCE_MS, &closed);
        cr_expect(eq(int, strncmp(answer, "HTTP/1.1 400 ", 13), 0), "%s: %.40s", two_meanings[i].what, answer);
        cr_expect(closed, "%s: the connection stays open", two_meanings[i].what);
        cr_expect(eq(int, strstr(answer, "\r\n\r\nHTTP/1.1") != NULL, 0), "%s: answered twice", two_meanings[i].what);
    }
}

Test(wire, knows_which_methods_there_are)
{
    bool closed;
    int fd = dial();
    say(fd, "BREW /api/v1/me HTTP/1.1\r\nHost: h\r\nConnection: close\r\n\r\n");
    const char *answer = hear(fd, PATIENCE_MS, &closed);
    cr_expect(eq(int, strncmp(answer, "HTTP/1.1 501 ", 13), 0), "%.40s", answer);
}

Test(wire, leaves_no_folder_but_its_own)
{
    static const char *const paths[] = {"/../../../../etc/passwd", "/a/../../../../etc/passwd",
                                        "/%2e%2e/%2e%2e/etc/passwd", "//etc/passwd"};
    for (size_t i = 0; i < sizeof paths / sizeof *paths; i++) {
        bool closed;
        int fd = dial();
        say(fd, gw_text("GET %s HTTP/1.1\r\nHost: h\r\nConnection: close\r\n\r\n", paths[i]));
        const char *answer = hear(fd, PATIENCE_MS, &closed);
        cr_expect(eq(int, strstr(answer, "root:") != NULL, 0), "%s", paths[i]);
    }
}

/* ---- a server of its own, and its end ---- */

typedef struct {
    pid_t pid;
    int port;
    int log; /* reading end of what it writes */
} own_server;

/* Start a second server on the same database and wait until it says where it listens. */
static own_server server_start(void)
{
    own_server s = {0};
    int ends[2];
    char line[16 * 1024];
    size_t n = 0;
    cr_assert(eq(int, pipe(ends), 0));
    s.pid = fork();
    cr_assert(ge(int, s.pid, 0));
    if (s.pid == 0) {
        setenv("GRAMWELL_LISTEN", "127.0.0.1:0", 1);
        dup2(ends[1], STDERR_FILENO);
        close(ends[0]);
        close(ends[1]);
        execl(gw_server_program(), "gramwelld", "serve", (char *)NULL);
        _exit(127);
    }
    close(ends[1]);
    s.log = ends[0];
    for (const char *at = NULL; !at;) {
        struct pollfd look = {.fd = s.log, .events = POLLIN};
        cr_assert(gt(int, poll(&look, 1, PATIENCE_MS), 0), "the server does not get ready");
        ssize_t got = read(s.log, line + n, sizeof line - 1 - n);
        cr_assert(gt(long, (long)got, 0), "the server ended: %s", line);
        line[n += (size_t)got] = '\0';
        at = strstr(line, "address=");
        if (at && strchr(at, ' ')) s.port = port_of(at);
    }
    return s;
}

static int server_wait(own_server *s)
{
    int status = -1;
    for (int64_t end = gw_monotonic_ms() + PATIENCE_MS; gw_monotonic_ms() < end;) {
        if (waitpid(s->pid, &status, WNOHANG) == s->pid) break;
        nanosleep(&(struct timespec){.tv_nsec = 5000000}, NULL);
    }
    close(s->log);
    return status;
}

/* Send the head of a check and wait until the server asks for its body: from then on the request is under way. */
static void begin_put(int fd, const char *id, size_t length)
{
    static const char go_on[] = "HTTP/1.1 100 Continue\r\n\r\n";
    char got[sizeof go_on] = "";
    say(fd, gw_text("PUT /api/v1/checks/%s HTTP/1.1\r\nHost: h\r\nAuthorization: Bearer %s\r\nExpect: 100-continue\r\n"
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
    own_server s = server_start();
    int fd = try_dial(s.port), other;
    bool closed;
    begin_put(fd, id, strlen(body));
    say(fd, gw_text("%.*s", (int)half, body));
    kill(s.pid, SIGTERM);
    for (int64_t end = gw_monotonic_ms() + PATIENCE_MS; (other = try_dial(s.port)) >= 0;) {
        close(other);
        cr_assert(lt(i64, gw_monotonic_ms(), end), "it still takes new connections");
        nanosleep(&(struct timespec){.tv_nsec = 5000000}, NULL);
    }
    say(fd, body + half);
    const char *answer = hear(fd, PATIENCE_MS, &closed);
    cr_expect(eq(int, strncmp(answer, "HTTP/1.1 201 ", 13), 0), "%.200s", answer);
    cr_expect(closed);
    int status = server_wait(&s);
    cr_expect(eq(int, WIFEXITED(status) ? WEXITSTATUS(status) : -1, 0));
    cr_expect(eq(str, (char *)gw_sql("select count(*) from gw.verdict where \"check\" = '%s'", id), "1"));
}

/* The test cluster does not wait for its disk: this shows that nothing waits in the server, not what a power cut does.
 */
Test(wire, has_written_whole_what_it_has_answered_when_it_is_killed)
{
    const char *animal = gw_new_animal((gw_animal_wish){.grams = 950, .days_ago = 8, .own_scale = true});
    const char *body = gw_weekly_body(animal, gw_days_ago(1), 820), *id = gw_id();
    own_server s = server_start();
    int fd = try_dial(s.port);
    char first[16] = "";
    begin_put(fd, id, strlen(body));
    say(fd, body);
    cr_assert(eq(long, (long)recv(fd, first, sizeof first - 1, MSG_WAITALL), (long)sizeof first - 1));
    kill(s.pid, SIGKILL);
    close(fd);
    server_wait(&s);
    cr_assert(eq(int, strncmp(first, "HTTP/1.1 201 ", 13), 0), "%s", first);
    cr_expect(eq(str,
                 (char *)gw_sql("select count(*) from gw.check c join gw.verdict v on v.\"check\" = c.id join "
                                "gw.alert_evidence e on e.\"check\" = c.id where c.id = '%s'",
                                id),
                 "1"));
}
