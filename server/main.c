/*
 * gramwelld: the server and its maintenance commands.
 *
 * Exit status: 0 done; 1 it did not work, one line on standard error says why; 2 the command line or a setting is
 * wrong.
 */
#include <jansson.h>
#include <malloc.h>
#include <pthread.h>
#include <signal.h>
#include <sodium.h>
#include <stdio.h>
#include <string.h>

#include "alert/missed.h"
#include "base/log.h"
#include "base/time.h"
#include "config.h"
#include "db/db.h"
#include "db/migrate.h"
#include "http/description.h"
#include "http/server.h"
#include "notify.h"
#include "person/person.h"

enum { STOP_LIMIT_MS = 20000 };

static const char usage[] =
    "usage: gramwelld COMMAND [--config FILE]\n"
    "\n"
    "  serve     answer requests until SIGTERM or SIGINT\n"
    "  migrate   bring the database's schema up to this program\n"
    "  check     compare the database's schema with this program, change nothing\n"
    "  invite    --name NAME --email ADDRESS [--role volunteer|intake|coordinator]\n"
    "            make a person and print the one-time link with which they set their passphrase\n"
    "  routes    print the route table as JSON\n"
    "\n"
    "  --config FILE   settings, KEY=value lines; the environment wins\n"
    "  --version, --help\n"
    "\n"
    "Settings: GRAMWELL_DATABASE, GRAMWELL_OWNER_DATABASE, GRAMWELL_LISTEN, GRAMWELL_ORIGIN, GRAMWELL_PROXIES,\n"
    "GRAMWELL_WEB, GRAMWELL_DB_CONNECTIONS, GRAMWELL_LOG.\n";

typedef struct {
    const char *command;
    const char *config;
    const char *name;
    const char *email;
    const char *role;
} arguments;

typedef struct {
    const arguments *args;
    gw_config config;
    gw_arena *arena;
} program;

/* ---- serve ---- */

/* Signals are taken by sigwait in the main thread alone: block them before the first thread begins. */
static void block_signals(sigset_t *stop)
{
    sigemptyset(stop);
    sigaddset(stop, SIGTERM);
    sigaddset(stop, SIGINT);
    sigaddset(stop, SIGHUP); /* a closed terminal or a reload: nothing to do */
    pthread_sigmask(SIG_BLOCK, stop, NULL);
    signal(SIGPIPE, SIG_IGN);
}

static void wait_for_stop(const sigset_t *stop)
{
    int got = SIGHUP;
    while (got == SIGHUP) sigwait(stop, &got);
    gw_log(GW_LOG_INFO, "stopping", "signal=%s", got == SIGTERM ? "SIGTERM" : "SIGINT");
}

static gw_status serve(program *p, gw_error *err)
{
    gw_db *db = NULL;
    gw_server *server = NULL;
    gw_missed *missed = NULL;
    sigset_t stop;
    int64_t began = gw_monotonic_ms();
    block_signals(&stop);
    if (!p->config.database) return gw_fail(err, GW_EINPUT, "GRAMWELL_DATABASE is not set");

    gw_status status = gw_migrate_compare(p->config.database, NULL, err);
    if (!status) status = gw_db_open(p->config.database, p->config.db_connections, &db, err);
    if (!status) status = gw_db_probe(db, err);
    if (status) goto done;

    gw_server_options options = {p->config.listen, p->config.origin, p->config.proxies, p->config.web, db};
    status = gw_server_start(&options, &server, err);
    if (!status) status = gw_missed_start(db, &missed, err);
    if (status) goto done;
    gw_log(GW_LOG_INFO, "ready", "address=%s ms=%lld", gw_server_address(server),
           (long long)(gw_monotonic_ms() - began));
    gw_notify("READY=1");
    wait_for_stop(&stop);
    gw_notify("STOPPING=1");

done:
    if (server) {
        int cut = gw_server_stop(server, STOP_LIMIT_MS);
        gw_log(cut ? GW_LOG_WARN : GW_LOG_INFO, "stopped", "cut_off=%d", cut);
    }
    gw_missed_stop(missed);
    gw_db_close(db);
    return status;
}

/* ---- maintenance ---- */

static gw_status need_owner(const program *p, gw_error *err)
{
    if (p->config.owner_database) return GW_OK;
    return gw_fail(err, GW_EINPUT, "GRAMWELL_OWNER_DATABASE is not set");
}

static gw_status migrate(program *p, gw_error *err)
{
    int applied;
    gw_status status = need_owner(p, err);
    if (!status) status = gw_migrate(p->config.owner_database, &applied, err);
    if (!status) printf("%d applied, %zu in all\n", applied, gw_n_migrations);
    return status;
}

static gw_status check(program *p, gw_error *err)
{
    const char *conninfo = p->config.database ? p->config.database : p->config.owner_database;
    if (!conninfo) return gw_fail(err, GW_EINPUT, "GRAMWELL_DATABASE is not set");
    gw_status status = gw_migrate_compare(conninfo, NULL, err);
    if (!status) printf("the schema is the one of this program: %zu migrations\n", gw_n_migrations);
    return status;
}

static gw_status invite(program *p, gw_error *err)
{
    const arguments *a = p->args;
    const char *path = NULL;
    if (!a->name || !a->email) return gw_fail(err, GW_EINPUT, "invite needs --name and --email");
    gw_status status = need_owner(p, err);
    if (!status)
        status = gw_person_invite(p->arena, p->config.owner_database, a->name, a->email,
                                  a->role ? a->role : "coordinator", &path, err);
    if (status) return status;
    if (p->config.origin)
        printf("%s%s\n", p->config.origin, path);
    else
        printf("http://%s%s\n", p->config.listen, path);
    return GW_OK;
}

static gw_status routes(program *p, gw_error *err)
{
    (void)p;
    json_t *table = gw_routes_json();
    int failed = !table || json_dumpf(table, stdout, JSON_INDENT(1)) || putchar('\n') == EOF;
    json_decref(table);
    return failed ? gw_fail(err, GW_EINTERNAL, "the route table could not be written") : GW_OK;
}

static const struct {
    const char *name;
    gw_status (*run)(program *p, gw_error *err);
} commands[] = {{"serve", serve}, {"migrate", migrate}, {"check", check}, {"invite", invite}, {"routes", routes}};

/* ---- the command line ---- */

static int wrong_usage(const char *what, const char *word)
{
    fprintf(stderr, "gramwelld: %s%s%s; see gramwelld --help\n", what, word ? " " : "", word ? word : "");
    return 2;
}

/* The place that an option's value goes to; NULL for an option that the command does not have. */
static const char **option_place(arguments *a, const char *option)
{
    bool inviting = a->command && strcmp(a->command, "invite") == 0;
    if (strcmp(option, "--config") == 0) return &a->config;
    if (inviting && strcmp(option, "--name") == 0) return &a->name;
    if (inviting && strcmp(option, "--email") == 0) return &a->email;
    if (inviting && strcmp(option, "--role") == 0) return &a->role;
    return NULL;
}

static int read_arguments(int argc, char *argv[], arguments *a)
{
    for (int i = 1; i < argc; i++) {
        const char **place = argv[i][0] == '-' ? option_place(a, argv[i]) : NULL;
        if (place && i + 1 == argc) return wrong_usage("a value is missing behind", argv[i]);
        if (place)
            *place = argv[++i];
        else if (argv[i][0] == '-')
            return wrong_usage("there is no option", argv[i]);
        else if (a->command)
            return wrong_usage("one command is expected, not also", argv[i]);
        else
            a->command = argv[i];
    }
    return a->command ? 0 : wrong_usage("a command is missing", NULL);
}

static int run(program *p)
{
    gw_error err;
    gw_error_init(&err, NULL);
    gw_status status = gw_config_read(p->args->config, p->arena, &p->config, &err);
    bool known = false;
    for (size_t i = 0; i < sizeof commands / sizeof *commands; i++) {
        if (strcmp(p->args->command, commands[i].name) != 0) continue;
        known = true;
        gw_log_set_level(p->config.log_level);
        if (!status) status = commands[i].run(p, &err);
    }
    if (!known) return wrong_usage("there is no command", p->args->command);
    if (status) fprintf(stderr, "gramwelld: %s\n", err.message);
    return status == GW_EINPUT ? 2 : status != GW_OK;
}

int main(int argc, char *argv[])
{
    arguments args = {0};
    if (argc == 2 && strcmp(argv[1], "--version") == 0) return printf("gramwelld %s\n", GW_VERSION) < 0;
    if (argc == 2 && strcmp(argv[1], "--help") == 0) return fputs(usage, stdout) < 0;
    int wrong = read_arguments(argc, argv, &args);
    if (wrong) return wrong;
    if (sodium_init() < 0) {
        fprintf(stderr, "gramwelld: no source of random numbers\n");
        return 1;
    }
    json_object_seed(0); /* before there are threads */
#ifdef M_ARENA_MAX
    mallopt(M_ARENA_MAX, 4); /* a heap a thread would be the largest part of a small server */
#endif
    gw_arena arena;
    gw_arena_init(&arena);
    int status = run(&(program){.args = &args, .arena = &arena});
    gw_arena_finish(&arena);
    return status;
}
