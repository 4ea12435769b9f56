/*
 * The database goes away and comes back, and more wait for it than it has room for. A request gets 503 with Retry-After
 * in between, nothing is half written, and the same request sent again is stored once.
 */
#include <criterion/criterion.h>
#include <criterion/new/assert.h>
#include <libpq-fe.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>
#include <unistd.h>

#include "base/time.h"
#include "support/wire.h"
#include "support/world.h"

enum { SENDERS = 4, CHECKS_EACH = 12 };

/* End all connections of the service, as a database that restarts does; how many there were. */
static int end_backends(void)
{
    return (int)strtol(gw_sql("select count(*) from (select pg_terminate_backend(pid) from pg_stat_activity where "
                              "datname = current_database() and usename = 'gramwell_app') t"),
                       NULL, 10);
}

static int backends(void)
{
    return (int)strtol(gw_sql("select count(*) from pg_stat_activity where datname = current_database() and usename = "
                              "'gramwell_app'"),
                       NULL, 10);
}

/* End them and wait until they are gone. */
static void interrupt(void)
{
    cr_assert(gt(int, end_backends(), 0));
    for (long long until = gw_until(); backends() > 0;) gw_look_again(until, "the backends do not end");
}

/* The same request before and after: its statements are prepared on the connection that is ended. */
Test(outage, is_not_noticed_by_the_first_request_after_it)
{
    const char *animal = gw_new_animal((gw_animal_wish){.grams = 900, .days_ago = 9, .own_scale = true});
    for (int i = 0; i < 3; i++) {
        gw_answer a = gw_do(VERA_OF_A, "GET", "/me", NULL);
        interrupt();
        a = gw_do(VERA_OF_A, "GET", "/me", NULL);
        gw_expect_status(&a, 200);
        gw_weekly(animal, gw_days_ago(4 - i), 900);
        interrupt();
        a = gw_weekly(animal, gw_days_ago(3.5 - i), 900);
        gw_expect_status(&a, 201);
    }
}

/* One phone: sends each check until it is stored. The exit status tells what went wrong, 0 for nothing. */
static int send_until_stored(const char *const ids[], const char *const bodies[])
{
    long long until = gw_until();
    for (int i = 0; i < CHECKS_EACH;) {
        gw_answer a = gw_do(VERA_OF_A, "PUT", gw_text("/checks/%s", ids[i]), bodies[i]);
        if (a.status == 201 || a.status == 200)
            i++;
        else if (a.status != 503)
            return 2;
        else if (!strstr(a.headers, "Retry-After: "))
            return 3;
        if (gw_monotonic_ms() > until) return 4;
    }
    return 0;
}

Test(outage, leaves_nothing_half_written_and_nothing_twice, .timeout = 120)
{
    const char *animals[SENDERS], *ids[SENDERS][CHECKS_EACH], *bodies[SENDERS][CHECKS_EACH];
    pid_t children[SENDERS];
    int left = SENDERS, ended = 0;
    for (int s = 0; s < SENDERS; s++) {
        animals[s] = gw_new_animal((gw_animal_wish){.grams = 900, .days_ago = 30, .own_scale = true});
        for (int i = 0; i < CHECKS_EACH; i++) {
            ids[s][i] = gw_id();
            bodies[s][i] = gw_weekly_body(animals[s], gw_days_ago(29 - i), 900 + i);
        }
    }
    for (int s = 0; s < SENDERS; s++) {
        children[s] = fork();
        cr_assert(ge(int, children[s], 0));
        if (children[s] == 0) _exit(send_until_stored(ids[s], bodies[s]));
    }
    /* End what there is again and again, but let some get through between: as many as were stored since. */
    long long until = gw_until() + GW_PATIENCE_MS;
    for (long stored = -1; left > 0; gw_look_again(until, "the checks are not stored")) {
        long now = strtol(gw_sql("select count(*) from gw.check"), NULL, 10);
        if (now != stored) ended += end_backends();
        stored = now;
        for (int s = 0, status; s < SENDERS; s++) {
            if (!children[s] || waitpid(children[s], &status, WNOHANG) != children[s]) continue;
            cr_expect(eq(int, WIFEXITED(status) ? WEXITSTATUS(status) : -1, 0), "sender %d", s);
            children[s] = 0;
            left--;
        }
    }
    cr_expect(gt(int, ended, SENDERS));
    for (int s = 0; s < SENDERS; s++) {
        const char *counts =
            gw_sql("select count(*) || ' ' || count(distinct c.at) || ' ' || count(v.\"check\") from gw.check c left "
                   "join gw.verdict v on v.\"check\" = c.id where c.animal = '%s'",
                   animals[s]);
        cr_expect(
            eq(str, (char *)counts, (char *)gw_text("%d %d %d", CHECKS_EACH + 1, CHECKS_EACH + 1, CHECKS_EACH + 1)));
        cr_expect(eq(str, (char *)gw_sql("select grams from gw.animal_state where animal = '%s'", animals[s]),
                     (char *)gw_text("%d.0", 900 + CHECKS_EACH - 1)));
    }
}

/* ---- no room ---- */

static PGconn *hold_animals(void)
{
    PGconn *pg = PQconnectdb(getenv("GW_WORLD_ADMIN"));
    PGresult *r = PQexec(pg, "begin; lock table gw.animal in access exclusive mode");
    cr_assert(eq(int, (int)PQresultStatus(r), (int)PGRES_COMMAND_OK), "%s", PQerrorMessage(pg));
    PQclear(r);
    return pg;
}

Test(outage, of_room_is_told_in_bounded_time, .timeout = 120)
{
    enum { CROWD = 6, LIMIT_MS = 20000 };
    gw_own_server s = gw_own_start((const char *const[]){"GRAMWELL_DB_CONNECTIONS", "1", NULL});
    const char *ask = gw_text("GET /api/v1/animals HTTP/1.1\r\nHost: h\r\nConnection: close\r\nAuthorization: Bearer "
                              "%s\r\n\r\n",
                              gw_token(VERA_OF_A));
    PGconn *holder = hold_animals();
    int fds[CROWD], alone = 0;
    int64_t began = gw_monotonic_ms();
    for (int i = 0; i < CROWD; i++) {
        fds[i] = gw_dial(s.port);
        gw_say(fds[i], ask);
    }
    const char *alive = gw_say_and_hear(s.port, "GET /healthz HTTP/1.1\r\nHost: h\r\nConnection: close\r\n\r\n");
    cr_expect(eq(int, gw_status_of(alive), 200));
    for (int i = 0; i < CROWD; i++) {
        const char *heard = gw_hear(fds[i], (int)(began + LIMIT_MS - gw_monotonic_ms()), NULL);
        cr_expect(eq(int, gw_status_of(heard), 503), "%d: %s", i, heard);
        cr_expect(strstr(heard, "Retry-After: ") != NULL, "%s", heard);
        alone += strstr(heard, "in use") != NULL;
    }
    cr_expect(lt(i64, gw_monotonic_ms() - began, (int64_t)LIMIT_MS));
    cr_expect(gt(int, alone, 0), "nobody was told that all connections are in use");
    PQfinish(holder);
    const char *heard = gw_say_and_hear(s.port, ask);
    cr_expect(eq(int, gw_status_of(heard), 200), "%s", heard);
    int status = gw_own_end(&s, SIGTERM);
    cr_expect(eq(int, status, 0));
}
