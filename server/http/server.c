#include "http/server.h"

#include <arpa/inet.h>
#include <errno.h>
#include <microhttpd.h>
#include <netdb.h>
#include <pthread.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/socket.h>
#include <time.h>
#include <unistd.h>

#include "base/log.h"
#include "base/time.h"
#include "http/exchange.h"
#include "http/health.h"
#include "http/match.h"
#include "http/origin.h"

enum {
    IDLE_LIMIT_S = 30,
    ARRIVAL_LIMIT_MS = 30000,
    CONNECTION_MEMORY = 16 * 1024,
    SMALL_BODY = 64 * 1024, /* a refused body of this size is read to its end, which keeps the connection usable */
};

/* Every reply carries these. */
static const gw_header security_headers[] = {
    {"Content-Security-Policy",
     "default-src 'self'; script-src 'self' 'wasm-unsafe-eval'; style-src 'self'; img-src 'self' data: blob:; "
     "connect-src 'self'; object-src 'none'; frame-ancestors 'none'; base-uri 'none'; form-action 'self'"},
    {"X-Content-Type-Options", "nosniff"},
    {"Referrer-Policy", "no-referrer"},
    {"Cross-Origin-Opener-Policy", "same-origin"},
    {"Cross-Origin-Resource-Policy", "same-origin"},
    {"Permissions-Policy", "camera=(self), microphone=(), geolocation=()"},
};

struct gw_server {
    struct MHD_Daemon *daemon;
    gw_site site;
    char *texts[3]; /* own copies behind site */
    char address[80];
    char origins[3][96];
    bool https;
    pthread_mutex_t lock;
    pthread_cond_t answered;
    int under_way; /* requests between their first line and the end of their reply */
};

/* ---- sending ---- */

static void add_header(struct MHD_Response *response, const char *name, const char *value)
{
    if (MHD_add_response_header(response, name, value) != MHD_YES)
        gw_log(GW_LOG_ERROR, "reply", "reason=header_refused name=%s", name);
}

static bool has_header(const gw_reply *reply, const char *name)
{
    for (size_t i = 0; i < reply->n_headers; i++)
        if (strcmp(reply->headers[i].name, name) == 0) return true;
    return false;
}

static void add_headers(struct MHD_Response *response, const gw_server *server, const gw_exchange *ex)
{
    const gw_reply *reply = &ex->reply;
    for (size_t i = 0; i < sizeof security_headers / sizeof *security_headers; i++)
        add_header(response, security_headers[i].name, security_headers[i].value);
    if (server->https) add_header(response, "Strict-Transport-Security", "max-age=31536000");
    if (reply->type) add_header(response, "Content-Type", reply->type);
    for (size_t i = 0; i < reply->n_headers; i++) add_header(response, reply->headers[i].name, reply->headers[i].value);
    if (!has_header(reply, "Cache-Control")) add_header(response, "Cache-Control", "no-store");
    if (ex->hang_up || gw_health_stopping()) add_header(response, "Connection", "close");
}

/* The body lives in the exchange's arena until the library says that the request is completed. */
static struct MHD_Response *make_response(gw_exchange *ex)
{
    if (ex->file.fd >= 0 && ex->reply.status == 200) {
        struct MHD_Response *response = MHD_create_response_from_fd64(ex->file.size, ex->file.fd);
        if (response) ex->file.fd = -1; /* the library closes it */
        return response;
    }
    return MHD_create_response_from_buffer(ex->reply.length, (void *)(uintptr_t)ex->reply.body, MHD_RESPMEM_PERSISTENT);
}

static void log_request(const gw_exchange *ex, const char *method)
{
    const char *route = ex->route ? ex->route->pattern : "-";
    bool known = ex->err.status != GW_ENOTDONE;
    gw_log(ex->reply.status >= 500 ? GW_LOG_WARN : GW_LOG_INFO, "request", "method=%s route=%s status=%d ms=%lld",
           known ? method : "?", route, ex->reply.status, (long long)(gw_monotonic_ms() - ex->started_ms));
    if (ex->err.status == GW_EINTERNAL) {
        char quoted[300];
        gw_log(GW_LOG_ERROR, "failure", "route=%s message=%s", route,
               gw_log_quote(quoted, sizeof quoted, ex->err.message));
    }
}

static enum MHD_Result send_reply(gw_server *server, struct MHD_Connection *connection, gw_exchange *ex,
                                  const char *method)
{
    struct MHD_Response *response = make_response(ex);
    if (!response) return MHD_NO;
    add_headers(response, server, ex);
    log_request(ex, method);
    enum MHD_Result result = MHD_queue_response(connection, (unsigned)ex->reply.status, response);
    MHD_destroy_response(response);
    return result;
}

/* ---- receiving ---- */

static gw_exchange *exchange_create(gw_server *server)
{
    gw_exchange *ex = calloc(1, sizeof *ex);
    if (!ex) return NULL;
    ex->site = &server->site;
    ex->file.fd = -1;
    ex->started_ms = gw_monotonic_ms();
    gw_arena_init(&ex->arena);
    gw_error_init(&ex->err, &ex->arena);
    gw_headers_init(&ex->headers);
    pthread_mutex_lock(&server->lock);
    server->under_way++;
    pthread_mutex_unlock(&server->lock);
    return ex;
}

static void exchange_destroy(gw_server *server, gw_exchange *ex)
{
    if (ex->file.fd >= 0) close(ex->file.fd);
    gw_arena_finish(&ex->arena);
    free(ex);
    pthread_mutex_lock(&server->lock);
    if (--server->under_way == 0) pthread_cond_broadcast(&server->answered);
    pthread_mutex_unlock(&server->lock);
}

static enum MHD_Result take_header(void *cls, enum MHD_ValueKind kind, const char *name, size_t name_length,
                                   const char *value, size_t value_length)
{
    (void)kind;
    gw_exchange *ex = cls;
    gw_headers_add(&ex->headers, &ex->arena, name, name_length, value ? value : "", value ? value_length : 0);
    return MHD_YES;
}

static enum MHD_Result take_query(void *cls, enum MHD_ValueKind kind, const char *name, const char *value)
{
    (void)kind;
    gw_exchange *ex = cls;
    return gw_query_add(&ex->rq, ex->route->query, name, value, &ex->err) ? MHD_NO : MHD_YES;
}

static gw_status gather_query(gw_exchange *ex, void *connection)
{
    MHD_get_connection_values(connection, MHD_GET_ARGUMENT_KIND, take_query, ex);
    return ex->err.status;
}

static void peer_address(struct MHD_Connection *connection, char *out, size_t size)
{
    const union MHD_ConnectionInfo *info = MHD_get_connection_info(connection, MHD_CONNECTION_INFO_CLIENT_ADDRESS);
    const struct sockaddr *address = info ? info->client_addr : NULL;
    snprintf(out, size, "unknown");
    if (address && address->sa_family == AF_INET)
        inet_ntop(AF_INET, &((const struct sockaddr_in *)(const void *)address)->sin_addr, out, (socklen_t)size);
    if (address && address->sa_family == AF_INET6)
        inet_ntop(AF_INET6, &((const struct sockaddr_in6 *)(const void *)address)->sin6_addr, out, (socklen_t)size);
}

/*
 * The head of a request. A refusal may go out now, before a body that would be in vain, but that costs the client its
 * connection: only for large bodies and for heads that could be read in two ways. All else answers in the last call.
 */
static enum MHD_Result begin(gw_server *server, struct MHD_Connection *connection, const gw_raw *raw, void **cls)
{
    gw_exchange *ex = exchange_create(server);
    if (!ex) return MHD_NO;
    *cls = ex;
    MHD_get_connection_values_n(connection, MHD_HEADER_KIND, take_header, ex);
    gw_exchange_judge(ex, raw, gather_query, connection);
    bool long_body = ex->headers.chunked || ex->headers.content_length > SMALL_BODY;
    if (!ex->hang_up && !(ex->err.status && long_body)) return MHD_YES;
    ex->hang_up = true;
    gw_exchange_answer(ex);
    return send_reply(server, connection, ex, raw->method);
}

static enum MHD_Result handle(void *cls, struct MHD_Connection *connection, const char *url, const char *method,
                              const char *version, const char *upload, size_t *upload_size, void **request)
{
    gw_server *server = cls;
    gw_exchange *ex = *request;
    if (!ex) {
        char peer[INET6_ADDRSTRLEN];
        peer_address(connection, peer, sizeof peer);
        return begin(server, connection, &(gw_raw){method, url, version, peer}, request);
    }
    if (*upload_size > 0) {
        bool go_on =
            gw_exchange_body(ex, upload, *upload_size) && gw_monotonic_ms() - ex->started_ms < ARRIVAL_LIMIT_MS;
        *upload_size = 0;
        return go_on ? MHD_YES : MHD_NO;
    }
    gw_exchange_answer(ex);
    return send_reply(server, connection, ex, method);
}

static void completed(void *cls, struct MHD_Connection *connection, void **request, enum MHD_RequestTerminationCode why)
{
    (void)connection;
    (void)why;
    if (*request) exchange_destroy(cls, *request);
    *request = NULL;
}

/* Escapes are ours to undo, after splitting: see http/path.h. */
static size_t leave_escaped(void *cls, struct MHD_Connection *connection, char *text)
{
    (void)cls;
    (void)connection;
    return strlen(text);
}

__attribute__((format(printf, 2, 0))) static void log_library(void *cls, const char *fmt, va_list args)
{
    (void)cls;
    char message[256], quoted[300];
    vsnprintf(message, sizeof message, fmt, args);
    message[strcspn(message, "\n")] = '\0';
    gw_log(GW_LOG_DEBUG, "listener", "message=%s", gw_log_quote(quoted, sizeof quoted, message));
}

/* ---- starting and stopping ---- */

/* "127.0.0.1:8080" or "[::1]:8080" into its two parts. */
static gw_status split_listen(const char *listen, char *host, size_t size, const char **port, gw_error *err)
{
    const char *colon = strrchr(listen, ':');
    size_t length = colon ? (size_t)(colon - listen) : 0;
    bool brackets = length > 2 && listen[0] == '[' && listen[length - 1] == ']';
    if (brackets) {
        listen++;
        length -= 2;
    }
    bool sound = colon && length > 0 && length < size && colon[1] &&
                 strspn(colon + 1, "0123456789") == strlen(colon + 1) && strlen(colon + 1) <= 5 &&
                 strtol(colon + 1, NULL, 10) <= 65535;
    if (!sound)
        return gw_fail(err, GW_EINPUT, "the address to listen on is \"%s\", expected one like 127.0.0.1:8080", listen);
    memcpy(host, listen, length);
    host[length] = '\0';
    *port = colon + 1;
    return GW_OK;
}

static gw_status bind_socket(const char *listen_on, int *fd, bool *six, gw_error *err)
{
    char host[64];
    const char *port = NULL;
    struct addrinfo want = {.ai_socktype = SOCK_STREAM, .ai_flags = AI_NUMERICHOST | AI_NUMERICSERV}, *found = NULL;
    gw_status status = split_listen(listen_on, host, sizeof host, &port, err);
    if (status) return status;
    if (getaddrinfo(host, port, &want, &found) != 0)
        return gw_fail(err, GW_EINPUT, "the address to listen on is \"%s\", expected a numeric one", listen_on);

    *six = found->ai_family == AF_INET6;
    *fd = socket(found->ai_family, SOCK_STREAM | SOCK_CLOEXEC, 0);
    int one = 1;
    if (*fd >= 0) setsockopt(*fd, SOL_SOCKET, SO_REUSEADDR, &one, sizeof one);
    if (*fd < 0 || bind(*fd, found->ai_addr, found->ai_addrlen) != 0 || listen(*fd, 256) != 0) {
        status = gw_fail(err, GW_EBUSY, "cannot listen on %s: %s", listen_on, strerror(errno));
        if (*fd >= 0) close(*fd);
        *fd = -1;
    }
    freeaddrinfo(found);
    return status;
}

static void note_address(gw_server *server, int fd)
{
    struct sockaddr_storage bound;
    socklen_t length = sizeof bound;
    char host[64] = "?", port[8] = "0";
    if (getsockname(fd, (struct sockaddr *)&bound, &length) == 0)
        getnameinfo((struct sockaddr *)&bound, length, host, sizeof host, port, sizeof port,
                    NI_NUMERICHOST | NI_NUMERICSERV);
    bool six = bound.ss_family == AF_INET6;
    snprintf(server->address, sizeof server->address, six ? "[%s]:%s" : "%s:%s", host, port);

    if (server->https) return;
    const char *const names[] = {"127.0.0.1", "localhost", "[::1]"};
    for (int i = 0; i < 3; i++) {
        snprintf(server->origins[i], sizeof server->origins[i], "http://%s:%s", names[i], port);
        server->site.origins[server->site.n_origins++] = server->origins[i];
    }
}

static gw_status take_options(gw_server *server, const gw_server_options *options, gw_error *err)
{
    const char *const from[] = {options->origin, options->proxies, options->web};
    for (int i = 0; i < 3; i++) {
        server->texts[i] = from[i] && *from[i] ? strdup(from[i]) : NULL;
        if (from[i] && *from[i] && !server->texts[i]) return gw_fail(err, GW_EINTERNAL, "out of memory");
    }
    server->site = (gw_site){.proxies = server->texts[1], .web = server->texts[2], .db = options->db};
    const char *origin = server->texts[0];
    if (!origin) {
        server->site.plain = true;
        if (gw_address_is_loopback(options->listen)) return GW_OK;
        return gw_fail(err, GW_EINPUT,
                       "without GRAMWELL_ORIGIN the server speaks plain http and listens on loopback only, not on %s",
                       options->listen);
    }
    if (strncmp(origin, "https://", 8) != 0 || strchr(origin + 8, '/') || !origin[8])
        return gw_fail(err, GW_EINPUT, "GRAMWELL_ORIGIN is \"%s\", expected one like https://rescue.example.org",
                       origin);
    server->https = true;
    server->site.origins[server->site.n_origins++] = origin;
    return GW_OK;
}

static struct MHD_Daemon *start_daemon(gw_server *server, int fd, bool six)
{
    unsigned flags = MHD_USE_THREAD_PER_CONNECTION | MHD_USE_INTERNAL_POLLING_THREAD | MHD_USE_POLL | MHD_USE_ITC |
                     MHD_USE_ERROR_LOG | (six ? MHD_USE_IPv6 : 0);
    /* The logger comes first, so that faults of the other options are logged too. */
    return MHD_start_daemon(flags, 0, NULL, NULL, handle, server, MHD_OPTION_EXTERNAL_LOGGER, log_library, NULL,
                            MHD_OPTION_LISTEN_SOCKET, fd, MHD_OPTION_NOTIFY_COMPLETED, completed, server,
                            MHD_OPTION_UNESCAPE_CALLBACK, leave_escaped, NULL, MHD_OPTION_CONNECTION_TIMEOUT,
                            (unsigned)IDLE_LIMIT_S, MHD_OPTION_CONNECTION_LIMIT, (unsigned)GW_CONNECTIONS_MAX,
                            MHD_OPTION_CONNECTION_MEMORY_LIMIT, (size_t)CONNECTION_MEMORY, MHD_OPTION_THREAD_STACK_SIZE,
                            (size_t)GW_STACK_BYTES, MHD_OPTION_END);
}

static void init_locks(gw_server *server)
{
    pthread_condattr_t by_monotonic;
    pthread_condattr_init(&by_monotonic);
    pthread_condattr_setclock(&by_monotonic, CLOCK_MONOTONIC);
    pthread_mutex_init(&server->lock, NULL);
    pthread_cond_init(&server->answered, &by_monotonic);
    pthread_condattr_destroy(&by_monotonic);
}

static void server_destroy(gw_server *server)
{
    pthread_cond_destroy(&server->answered);
    pthread_mutex_destroy(&server->lock);
    for (int i = 0; i < 3; i++) free(server->texts[i]);
    free(server);
}

gw_status gw_server_start(const gw_server_options *options, gw_server **out, gw_error *err)
{
    int fd = -1;
    bool six = false;
    *out = NULL;
    gw_status status = gw_routes_check(err);
    if (status) return status;
    gw_server *server = calloc(1, sizeof *server);
    if (!server) return gw_fail(err, GW_EINTERNAL, "out of memory");
    init_locks(server);
    gw_health_set_stopping(false);

    status = take_options(server, options, err);
    if (status) goto done;
    status = bind_socket(options->listen, &fd, &six, err);
    if (status) goto done;
    note_address(server, fd);
    server->daemon = start_daemon(server, fd, six);
    if (!server->daemon) {
        close(fd);
        status = gw_fail(err, GW_EINTERNAL, "the listener does not start");
    }

done:
    if (status)
        server_destroy(server);
    else
        *out = server;
    return status;
}

const char *gw_server_address(const gw_server *server)
{
    return server->address;
}

static int wait_until_answered(gw_server *server, int limit_ms)
{
    int64_t until_ms = gw_monotonic_ms() + limit_ms;
    struct timespec until = {.tv_sec = until_ms / 1000, .tv_nsec = until_ms % 1000 * 1000000};
    int waited = 0;
    pthread_mutex_lock(&server->lock);
    while (server->under_way > 0 && waited != ETIMEDOUT)
        waited = pthread_cond_timedwait(&server->answered, &server->lock, &until);
    int left = server->under_way;
    pthread_mutex_unlock(&server->lock);
    return left;
}

int gw_server_stop(gw_server *server, int limit_ms)
{
    if (!server) return 0;
    gw_health_set_stopping(true);
    MHD_socket listening = MHD_quiesce_daemon(server->daemon);
    if (listening != MHD_INVALID_SOCKET) close(listening); /* else new clients would connect and hang */
    int left = wait_until_answered(server, limit_ms);
    MHD_stop_daemon(server->daemon);
    server_destroy(server);
    return left;
}
