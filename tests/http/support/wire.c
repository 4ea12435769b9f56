#include "support/wire.h"

#include <arpa/inet.h>
#include <criterion/criterion.h>
#include <criterion/new/assert.h>
#include <poll.h>
#include <signal.h>
#include <stdlib.h>
#include <string.h>
#include <sys/prctl.h>
#include <sys/socket.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

#include "base/time.h"
#include "support/world.h"

enum { HEARD_MAX = 256 * 1024, LOOK_MS = 5 };

/* ---- waiting ---- */

long long gw_until(void)
{
    return gw_monotonic_ms() + GW_PATIENCE_MS;
}

void gw_look_again(long long until_ms, const char *what)
{
    cr_assert(lt(i64, gw_monotonic_ms(), (int64_t)until_ms), "%s", what);
    nanosleep(&(struct timespec){.tv_nsec = LOOK_MS * 1000000}, NULL);
}

/* ---- sockets ---- */

/* The number behind the last colon of the first word: "http://127.0.0.1:8080". */
static int port_of(const char *address)
{
    size_t n = strcspn(address, " \n");
    while (n > 0 && address[n - 1] != ':') n--;
    return (int)strtol(address + n, NULL, 10);
}

int gw_port(void)
{
    return port_of(gw_url());
}

int gw_try_dial(int port)
{
    struct sockaddr_in to = {.sin_family = AF_INET, .sin_port = htons((uint16_t)port)};
    int fd = socket(AF_INET, SOCK_STREAM | SOCK_CLOEXEC, 0);
    cr_assert(ge(int, fd, 0));
    to.sin_addr.s_addr = htonl(INADDR_LOOPBACK);
    if (!connect(fd, (struct sockaddr *)&to, sizeof to)) return fd;
    close(fd);
    return -1;
}

int gw_dial(int port)
{
    int fd = gw_try_dial(port);
    cr_assert(ge(int, fd, 0));
    return fd;
}

bool gw_try_say(int fd, const char *text, size_t n)
{
    while (n > 0) {
        ssize_t sent = send(fd, text, n, MSG_NOSIGNAL);
        if (sent <= 0) return false;
        text += sent;
        n -= (size_t)sent;
    }
    return true;
}

void gw_say(int fd, const char *text)
{
    cr_assert(eq(int, gw_try_say(fd, text, strlen(text)), 1));
}

const char *gw_hear(int fd, int limit_ms, bool *closed)
{
    char *bytes = malloc(HEARD_MAX);
    size_t n = 0;
    int64_t end = gw_monotonic_ms() + limit_ms;
    bool gone = false;
    cr_assert(ne(ptr, bytes, NULL));
    for (struct pollfd look = {.fd = fd, .events = POLLIN}; !gone && n < HEARD_MAX - 1;) {
        int64_t left = end - gw_monotonic_ms();
        if (left <= 0 || poll(&look, 1, (int)left) <= 0) break;
        ssize_t got = recv(fd, bytes + n, HEARD_MAX - 1 - n, 0);
        gone = got <= 0;
        if (got > 0) n += (size_t)got;
    }
    bytes[n] = '\0';
    close(fd);
    if (closed) *closed = gone;
    const char *heard = gw_text("%s", bytes);
    free(bytes);
    return heard;
}

const char *gw_say_and_hear(int port, const char *text)
{
    bool closed;
    int fd = gw_dial(port);
    gw_say(fd, text);
    const char *heard = gw_hear(fd, GW_PATIENCE_MS, &closed);
    cr_expect(closed, "the connection stays open behind: %.80s", text);
    return heard;
}

int gw_status_of(const char *heard)
{
    static const char version[] = "HTTP/1.1 ";
    return strncmp(heard, version, sizeof version - 1) ? 0 : (int)strtol(heard + sizeof version - 1, NULL, 10);
}

int gw_count_answers(const char *heard)
{
    int n = 0;
    for (const char *at = heard; (at = strstr(at, "HTTP/1.1 ")); at++) n += gw_status_of(at) >= 200;
    return n;
}

/* ---- servers ---- */

static int file_without_name(void)
{
    char name[] = "/tmp/gw-test-XXXXXX";
    int fd = mkstemp(name);
    cr_assert(ge(int, fd, 0));
    unlink(name);
    return fd;
}

gw_own_server gw_own_start(const char *const settings[])
{
    gw_own_server s = {.log = file_without_name()};
    s.pid = fork();
    cr_assert(ge(int, s.pid, 0));
    if (s.pid == 0) {
        prctl(PR_SET_PDEATHSIG, SIGTERM); /* a test that is killed takes its server with it */
        setenv("GRAMWELL_LISTEN", "127.0.0.1:0", 1);
        for (size_t i = 0; settings && settings[i]; i += 2) setenv(settings[i], settings[i + 1], 1);
        dup2(s.log, STDERR_FILENO);
        execl(gw_server_program(), "gramwelld", "serve", (char *)NULL);
        _exit(127);
    }
    for (long long until = gw_until(); !s.port; gw_look_again(until, "the server does not get ready")) {
        const char *at = strstr(gw_own_log(&s), "address=");
        if (at && strchr(at, '\n')) s.port = port_of(at);
        cr_assert(eq(int, waitpid(s.pid, NULL, WNOHANG), 0), "the server ended: %s", gw_own_log(&s));
    }
    return s;
}

const char *gw_own_log(const gw_own_server *server)
{
    struct stat about;
    cr_assert(eq(int, fstat(server->log, &about), 0));
    char *bytes = malloc((size_t)about.st_size + 1);
    cr_assert(ne(ptr, bytes, NULL));
    ssize_t n = pread(server->log, bytes, (size_t)about.st_size, 0);
    bytes[n > 0 ? n : 0] = '\0';
    const char *log = gw_text("%s", bytes);
    free(bytes);
    return log;
}

int gw_own_end(gw_own_server *server, int sig)
{
    int status = -1;
    long long until = gw_until();
    kill(server->pid, sig);
    while (waitpid(server->pid, &status, WNOHANG) == 0) gw_look_again(until, "the server does not end");
    close(server->log);
    return status;
}
