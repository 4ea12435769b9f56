#include "support/world.h"

#include <errno.h>
#include <fcntl.h>
#include <libpq-fe.h>
#include <signal.h>
#include <sodium.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/prctl.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

#include "base/time.h"
#include "support/world_private.h"

enum { READY_LIMIT_MS = 60000, STOP_LIMIT_MS = 30000, POLL_MS = 20 };

static pid_t server;
static const char *database;
static const char *server_log;

/* ---- what the tests ask for ---- */

static const char *from_environment(const char *name)
{
    const char *value = getenv(name);
    if (!value) gw_give_up("%s is not set: run the test program as a whole", name);
    return value;
}

static const char *of_person(const char *what, gw_who who)
{
    return from_environment(gw_text("GW_WORLD_%s_%d", what, (int)who));
}

const char *gw_url(void)
{
    return from_environment("GW_WORLD_URL");
}

const char *gw_token(gw_who who)
{
    return of_person("TOKEN", who);
}

const char *gw_person(gw_who who)
{
    return of_person("PERSON", who);
}

const char *gw_email(gw_who who)
{
    return gw_text("person%d@test.invalid", (int)who);
}

const char *gw_home_a(void)
{
    return "0197aaaa-0000-7000-8000-00000000000a";
}

const char *gw_home_b(void)
{
    return "0197aaaa-0000-7000-8000-00000000000b";
}

const char *gw_pen_a(void)
{
    return "0197aaaa-0000-7000-8000-0000000000a1";
}

const char *gw_pen_b(void)
{
    return "0197aaaa-0000-7000-8000-0000000000b1";
}

const char *gw_scale_a(void)
{
    return "0197aaaa-0000-7000-8000-0000000000a2";
}

const char *gw_scale_b(void)
{
    return "0197aaaa-0000-7000-8000-0000000000b2";
}

const char *gw_server_program(void)
{
    const char *other = getenv("GRAMWELLD");
    return other && *other ? other : GW_TEST_SERVER;
}

/* ---- the database ---- */

static PGconn *connect_admin(void)
{
    const char *admin = getenv("GW_TEST_DB");
    if (!admin || !*admin) gw_give_up("GW_TEST_DB is not set");
    PGconn *pg = PQconnectdb(admin);
    if (PQstatus(pg) != CONNECTION_OK) gw_give_up("%s", PQerrorMessage(pg));
    return pg;
}

static void run(PGconn *pg, const char *sql)
{
    PGresult *result = PQexec(pg, sql);
    ExecStatusType status = PQresultStatus(result);
    if (status != PGRES_COMMAND_OK && status != PGRES_TUPLES_OK) gw_give_up("%s", PQresultErrorMessage(result));
    PQclear(result);
}

static void ignore_notice(void *unused, const PGresult *result)
{
    (void)unused;
    (void)result;
}

static const char *read_file(const char *path)
{
    char *bytes = NULL;
    long length = 0;
    FILE *file = fopen(path, "rb");
    if (file && !fseek(file, 0, SEEK_END)) length = ftell(file);
    if (file) rewind(file);
    if (length > 0) bytes = calloc(1, (size_t)length + 1);
    if (!bytes || fread(bytes, 1, (size_t)length, file) != (size_t)length) gw_give_up("%s cannot be read", path);
    fclose(file);
    const char *text = gw_text("%s", bytes);
    free(bytes);
    return text;
}

/* Roles belong to the cluster: programs that start together take turns. */
static void make_database(void)
{
    PGconn *pg = connect_admin();
    PQsetNoticeReceiver(pg, ignore_notice, NULL);
    run(pg, "select pg_advisory_lock(20250001)");
    run(pg, read_file(GW_TEST_SOURCE "/schema/roles.sql"));
    run(pg, "select pg_advisory_unlock(20250001)");
    database = gw_text("gw_test_%d_%lld", (int)getpid(), (long long)gw_instant_now().us);
    run(pg, gw_text("create database %s owner gramwell_owner", database));
    PQfinish(pg);
    const char *admin = getenv("GW_TEST_DB");
    setenv("GW_WORLD_ADMIN", gw_text("%s dbname=%s", admin, database), 1);
    setenv("GRAMWELL_DATABASE", gw_text("%s dbname=%s user=gramwell_app", admin, database), 1);
    setenv("GRAMWELL_OWNER_DATABASE", gw_text("%s dbname=%s user=gramwell_owner", admin, database), 1);
}

/* ---- the server ---- */

/* Run the server program to its end; what it printed. */
static const char *run_program(const char *const arguments[])
{
    int ends[2], status = 1;
    char out[4096] = "";
    size_t n = 0;
    if (pipe(ends)) gw_give_up("no pipe: %s", strerror(errno));
    pid_t child = fork();
    if (child == 0) {
        int quiet = open("/dev/null", O_WRONLY);
        dup2(ends[1], STDOUT_FILENO);
        dup2(quiet, STDERR_FILENO);
        close(ends[0]);
        close(ends[1]);
        execv(gw_server_program(), (char *const *)arguments);
        _exit(127);
    }
    close(ends[1]);
    for (ssize_t got; n < sizeof out - 1 && (got = read(ends[0], out + n, sizeof out - 1 - n)) > 0;) n += (size_t)got;
    close(ends[0]);
    if (child < 0 || waitpid(child, &status, 0) < 0 || status) gw_give_up("%s %s failed", arguments[0], arguments[1]);
    return gw_text("%.*s", (int)strcspn(out, "\n"), out);
}

static void pause_ms(long ms)
{
    nanosleep(&(struct timespec){.tv_sec = ms / 1000, .tv_nsec = ms % 1000 * 1000000}, NULL);
}

/* What the server has written, its last 64 KB. */
static const char *log_so_far(void)
{
    static char bytes[64 * 1024];
    size_t n = 0;
    FILE *file = fopen(server_log, "rb");
    if (file && !fseek(file, 0, SEEK_END))
        fseek(file, ftell(file) > (long)sizeof bytes ? -(long)sizeof bytes + 1 : -ftell(file), SEEK_END);
    if (file) n = fread(bytes, 1, sizeof bytes - 1, file);
    if (file) fclose(file);
    bytes[n] = '\0';
    return bytes;
}

static void await_address(void)
{
    for (int64_t end = gw_monotonic_ms() + READY_LIMIT_MS; gw_monotonic_ms() < end; pause_ms(POLL_MS)) {
        const char *ready = strstr(log_so_far(), " ready ");
        const char *address = ready ? strstr(ready, "address=") : NULL;
        if (address && strchr(address, '\n')) {
            address += strlen("address=");
            setenv("GW_WORLD_URL", gw_text("http://%.*s", (int)strcspn(address, " \n"), address), 1);
            return;
        }
        if (waitpid(server, NULL, WNOHANG) == server) {
            server = 0;
            break;
        }
    }
    gw_give_up("the server is not ready:\n%s", log_so_far());
}

static void start_server(void)
{
    setenv("GRAMWELL_LISTEN", "127.0.0.1:0", 1);
    setenv("GRAMWELL_DB_CONNECTIONS", "4", 1);
    unsetenv("GRAMWELL_ORIGIN");
    unsetenv("GRAMWELL_WEB");
    server_log = gw_text("/tmp/%s.log", database);
    server = fork();
    if (server == 0) {
        prctl(PR_SET_PDEATHSIG, SIGTERM); /* a test program that is killed takes its server with it */
        int log = open(server_log, O_WRONLY | O_CREAT | O_TRUNC, 0600);
        dup2(log, STDERR_FILENO);
        dup2(log, STDOUT_FILENO);
        execl(gw_server_program(), "gramwelld", "serve", (char *)NULL);
        _exit(127);
    }
    await_address();
}

/* ---- people and places ---- */

static const char *const roles[N_PEOPLE] = {NULL, "coordinator", "intake", "volunteer", "volunteer"};
static const char *const names[N_PEOPLE] = {NULL, "Ann Coordinator", "Ida Intake", "Vera of A", "Will of B"};

static gw_answer must(gw_answer answer, int status, const char *what)
{
    if (answer.status != status) gw_give_up("%s: %d %s", what, answer.status, answer.text);
    return answer;
}

static void sign_in(gw_who who, const char *invitation)
{
    gw_answer a =
        gw_do(NOBODY, "POST", gw_text("/invitations/%s", invitation), gw_json("{'passphrase':'%s'}", GW_PASSPHRASE));
    must(a, 201, "invitation");
    setenv(gw_text("GW_WORLD_PERSON_%d", (int)who), gw_at(&a, "/person/id"), 1);
    a = gw_do(NOBODY, "POST", "/session",
              gw_json("{'email':'%s','passphrase':'%s','bearer':true}", gw_email(who), GW_PASSPHRASE));
    must(a, 201, "sign-in");
    setenv(gw_text("GW_WORLD_TOKEN_%d", (int)who), gw_at(&a, "/token"), 1);
}

static void make_people(void)
{
    const char *link = run_program((const char *const[]){"gramwelld", "invite", "--name", names[ANN_COORDINATOR],
                                                         "--email", gw_email(ANN_COORDINATOR), NULL});
    sign_in(ANN_COORDINATOR, strrchr(link, '/') + 1);
    for (gw_who who = IDA_INTAKE; who < N_PEOPLE; who++) {
        gw_answer a = gw_do(ANN_COORDINATOR, "POST", "/people",
                            gw_json("{'name':'%s','email':'%s','role':'%s'}", names[who], gw_email(who), roles[who]));
        must(a, 201, "person");
        sign_in(who, gw_at(&a, "/token"));
    }
}

static void make_home(const char *home, const char *name, const char *pen, const char *scale, gw_who volunteer)
{
    const char *at = gw_text("/homes/%s", home);
    must(gw_do(ANN_COORDINATOR, "PUT", at, gw_json("{'name':'%s','kind':'foster','zone':'Europe/London'}", name)), 201,
         "home");
    must(gw_do(ANN_COORDINATOR, "PUT", gw_text("%s/pens/%s", at, pen), gw_json("{'name':'Pen 1'}")), 201, "pen");
    must(gw_do(ANN_COORDINATOR, "PUT", gw_text("/scales/%s", scale),
               gw_json("{'home':'%s','name':'Kitchen','step':1,'capacity':5000}", home)),
         201, "scale");
    must(gw_do(ANN_COORDINATOR, "PUT", gw_text("%s/people/%s", at, gw_person(volunteer)),
               gw_json("{'from':'%s'}", gw_days_ago(800))),
         201, "serves");
}

int gw_world_make(void)
{
    if (sodium_init() < 0) gw_give_up("no source of random numbers");
    make_database();
    run_program((const char *const[]){"gramwelld", "migrate", NULL});
    start_server();
    make_people();
    make_home(gw_home_a(), "Home A", gw_pen_a(), gw_scale_a(), VERA_OF_A);
    make_home(gw_home_b(), "Home B", gw_pen_b(), gw_scale_b(), WILL_OF_B);
    setenv("GW_WORLD_MADE", "1", 1);
    return 0;
}

/* The server's own exit status counts: under the sanitizers a leak is found when it stops. */
int gw_world_end(void)
{
    int status = 0;
    bool failed = false;
    if (server > 0) {
        kill(server, SIGTERM);
        int64_t end = gw_monotonic_ms() + STOP_LIMIT_MS;
        pid_t gone;
        while ((gone = waitpid(server, &status, WNOHANG)) == 0 && gw_monotonic_ms() < end) pause_ms(POLL_MS);
        if (gone == 0) kill(server, SIGKILL);
        failed = gone != server || status;
        if (failed) fprintf(stderr, "the server did not end well:\n%s\n", server_log ? log_so_far() : "");
        server = 0;
    }
    if (server_log) unlink(server_log);
    PGconn *pg = database ? PQconnectdb(getenv("GW_TEST_DB")) : NULL;
    if (pg) PQclear(PQexec(pg, gw_text("drop database if exists %s with (force)", database)));
    PQfinish(pg);
    database = NULL;
    return failed ? 1 : 0;
}
