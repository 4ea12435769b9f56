/**
 * Bytes on a socket of our own, and servers of a test's own beside the one of the world.
 *
 * Errors   what goes wrong here fails the test.
 */
#ifndef GW_TEST_WIRE_H
#define GW_TEST_WIRE_H

#include <stdbool.h>
#include <stddef.h>
#include <sys/types.h>

enum { GW_PATIENCE_MS = 30000 };

/** The port of the world's server. */
int gw_port(void);

/** A connection to the loopback; -1 when nobody listens. */
int gw_try_dial(int port);

/** The same; fails the test when nobody listens. */
int gw_dial(int port);

/** Send text; false when the other side has closed. */
bool gw_try_say(int fd, const char *text, size_t n);

/** Send text to its end. */
void gw_say(int fd, const char *text);

/**
 * All that comes until the other side closes, at most 256 KiB; closes fd. Lives until the end of the test.
 *
 * @param closed  set to false when the other side did not close in time; may be NULL
 */
const char *gw_hear(int fd, int limit_ms, bool *closed);

/** Say text on a new connection and hear all of the answer; the other side must close. */
const char *gw_say_and_hear(int port, const char *text);

/** The status behind the first "HTTP/1.1 "; 0 when there is none. */
int gw_status_of(const char *heard);

/** Lines of status in what was heard, interim ones (100) not counted. */
int gw_count_answers(const char *heard);

/** A server of the test's own on the world's database. */
typedef struct gw_own_server {
    pid_t pid;
    int port;
    int log; /* a file without a name */
} gw_own_server;

/**
 * Start one and wait until it says where it listens.
 *
 * @param settings  names and values in turn, then NULL; may be NULL
 */
gw_own_server gw_own_start(const char *const settings[]);

/** What it has logged so far. Lives until the end of the test. */
const char *gw_own_log(const gw_own_server *server);

/** Send a signal, wait for its end, close the log; the status as of waitpid, -1 when it does not end. */
int gw_own_end(gw_own_server *server, int sig);

/** Wait a few milliseconds between two looks at a condition; fails the test with what when until_ms has passed. */
void gw_look_again(long long until_ms, const char *what);

/** The deadline for gw_look_again. */
long long gw_until(void);

#endif
