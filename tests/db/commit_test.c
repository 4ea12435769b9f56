/*
 * Writes that share a transaction. A lock that the test holds keeps the first writer waiting until the others have
 * queued up behind it, so that what is one batch does not hang on luck.
 */
#include <criterion/criterion.h>
#include <criterion/new/assert.h>
#include <libpq-fe.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "base/time.h"
#include "support/world.h"
#include "writer.h"

enum { PATIENCE_MS = 30000 };

/* A writer who looks after home A or B. */
static writer by(gw_who who, const char *animal, const char *event, const char *note)
{
    return (writer){.token = gw_token(who), .id = gw_id(), .animal = animal, .event = event, .note = note};
}

static void await(bool (*holds)(int), int number, const char *what)
{
    for (int64_t until = gw_monotonic_ms() + PATIENCE_MS; !holds(number);) {
        cr_assert(lt(i64, gw_monotonic_ms(), until), "%s", what);
        nanosleep(&(struct timespec){.tv_nsec = 2000000}, NULL);
    }
}

static bool queued(int number)
{
    return pool_waiting() == number;
}

/* A backend of the pool waits for a lock while it runs this statement. */
static bool blocked_on(int statement)
{
    const char *what = statement ? "known_normal_put" : "event_put";
    return strcmp(
               gw_sql("select count(*) from pg_stat_activity where datname = current_database() and wait_event_type = "
                      "'Lock' and query like '%%%s%%'",
                      what),
               "0") != 0;
}

static PGconn *lock(const char *table)
{
    PGconn *pg = PQconnectdb(getenv("GW_WORLD_ADMIN"));
    PGresult *r = PQexec(pg, "begin");
    PQclear(r);
    r = PQexec(pg, gw_text("lock table %s in exclusive mode", table));
    cr_assert(eq(int, PQresultStatus(r), PGRES_COMMAND_OK));
    PQclear(r);
    return pg;
}

static void unlock(PGconn *pg)
{
    PQclear(PQexec(pg, "rollback"));
    PQfinish(pg);
}

static const char *animal_of(gw_who who)
{
    if (who == VERA_OF_A) return gw_new_animal((gw_animal_wish){.grams = 900, .days_ago = 9});
    return gw_new_animal(
        (gw_animal_wish){.home = gw_home_b(), .pen = gw_pen_b(), .scale = gw_scale_b(), .grams = 900, .days_ago = 9});
}

/* The first of the writers waits for a lock, then the others queue up behind it. */
static PGconn *hold_up(writer writers[], int n)
{
    PGconn *held = lock("gw.event");
    writer_start(&writers[0]);
    await(blocked_on, 0, "the first writer does not wait for the lock");
    for (int i = 1; i < n; i++) writer_start(&writers[i]);
    await(queued, n - 1, "the other writers do not queue up");
    return held;
}

/* With its connection open and both statements prepared: preparing, too, would wait for the locks of these tests. */
static void begin(void)
{
    pool_open();
    writer first = by(VERA_OF_A, animal_of(VERA_OF_A), "surgery", NULL);
    writer_start(&first);
    writer_end(&first);
    cr_assert(first.stored);
    writer second = by(WILL_OF_B, animal_of(WILL_OF_B), NULL, NULL); /* may be there already: prepared all the same */
    writer_start(&second);
    writer_end(&second);
}

TestSuite(commit, .init = begin, .fini = pool_close);

Test(commit, one_writer_alone_writes_at_once)
{
    writer w = by(VERA_OF_A, animal_of(VERA_OF_A), "surgery", NULL);
    writer_start(&w);
    writer_end(&w);
    cr_expect(eq(int, w.status, GW_OK));
    cr_expect(w.stored);
    cr_expect(eq(str, w.person, (char *)gw_person(VERA_OF_A)));
    cr_expect(eq(str, (char *)gw_sql("select event from gw.event where id = '%s'", w.id), "surgery"));
}

Test(commit, those_who_wait_share_one_transaction_and_each_writes_as_their_own_person)
{
    const char *of_a = animal_of(VERA_OF_A), *of_b = animal_of(WILL_OF_B), *note = gw_id();
    writer w[7];
    w[0] = by(VERA_OF_A, of_a, "surgery", NULL);
    for (int i = 1; i < 7; i++)
        w[i] = i % 2 ? by(VERA_OF_A, of_a, "journey", note) : by(WILL_OF_B, of_b, "journey", note);
    w[5].animal = of_b; /* not in Vera's care: between two of Will's */
    PGconn *held = hold_up(w, 7);
    unlock(held);
    for (int i = 0; i < 7; i++) writer_end(&w[i]);

    for (int i = 0; i < 7; i++) {
        cr_expect(eq(int, w[i].status, GW_OK), "writer %d", i);
        cr_expect(eq(int, w[i].stored, i != 5), "writer %d", i);
        cr_expect(eq(str, w[i].person, (char *)gw_person(i % 2 || i == 0 ? VERA_OF_A : WILL_OF_B)));
    }
    cr_expect(eq(
        str,
        (char *)gw_sql("select count(*) || ' in ' || count(distinct xmin::text) from gw.event where note = '%s'", note),
        "5 in 1"));
    cr_expect(
        eq(str,
           (char *)gw_sql("select count(*) from gw.event e join gw.serves s on s.home = e.home and s.person = e.person "
                          "where e.note = '%s'",
                          note),
           "5"));
}

Test(commit, a_refused_write_harms_nobody_else)
{
    const char *of_a = animal_of(VERA_OF_A), *note = gw_id();
    writer w[5];
    for (int i = 0; i < 5; i++) w[i] = by(VERA_OF_A, of_a, "journey", note);
    w[2].event = "picnic"; /* no event of the table's rule */
    PGconn *held = hold_up(w, 5);
    unlock(held);
    for (int i = 0; i < 5; i++) writer_end(&w[i]);
    for (int i = 0; i < 5; i++) {
        cr_expect(eq(int, w[i].status != GW_OK, i == 2), "writer %d: %d", i, (int)w[i].status);
        cr_expect(eq(int, w[i].stored, i != 2), "writer %d", i);
    }
    cr_expect(ne(int, w[2].status, GW_EBUSY));
    cr_expect(eq(str, (char *)gw_sql("select count(*) from gw.event where note = '%s'", note), "4"));
}

Test(commit, nobody_is_answered_before_the_common_commit)
{
    const char *of_a = animal_of(VERA_OF_A), *note = gw_id();
    writer w[4];
    for (int i = 0; i < 4; i++) w[i] = by(VERA_OF_A, of_a, "journey", note);
    w[0].note = NULL;
    w[3].event = NULL; /* the last of the batch waits for another lock */
    PGconn *normals = lock("gw.known_normal"), *events = hold_up(w, 4);
    unlock(events);
    await(blocked_on, 1, "the last of the batch does not wait for its lock");
    writer_end(&w[0]);
    cr_expect(eq(int, writers_answered(), 3), "only the two that warmed up and the one before the batch");
    cr_expect(eq(str, (char *)gw_sql("select count(*) from gw.event where note = '%s'", note), "0"));
    unlock(normals);
    for (int i = 1; i < 4; i++) writer_end(&w[i]);
    for (int i = 0; i < 4; i++) cr_expect(w[i].stored, "writer %d: %d", i, (int)w[i].status);
    cr_expect(eq(str, (char *)gw_sql("select count(*) from gw.event where note = '%s'", note), "2"));
}

Test(commit, a_lost_connection_is_told_to_all_and_nothing_is_repeated)
{
    const char *of_a = animal_of(VERA_OF_A), *note = gw_id();
    writer w[4];
    for (int i = 0; i < 4; i++) w[i] = by(VERA_OF_A, of_a, "journey", note);
    w[3].event = NULL;
    PGconn *normals = lock("gw.known_normal"), *events = hold_up(w, 4);
    unlock(events);
    await(blocked_on, 1, "the last of the batch does not wait for its lock");
    gw_sql("select count(pg_terminate_backend(pid)) from pg_stat_activity where datname = current_database() and "
           "wait_event_type = 'Lock'");
    for (int i = 1; i < 4; i++) writer_end(&w[i]);
    unlock(normals);
    writer_end(&w[0]);
    cr_expect(eq(int, w[0].status, GW_OK));
    for (int i = 1; i < 4; i++) cr_expect(eq(int, w[i].status, GW_EBUSY), "writer %d", i);
    cr_expect(eq(str, (char *)gw_sql("select count(*) from gw.event where note = '%s'", note), "1"));

    writer after = by(VERA_OF_A, of_a, "surgery", NULL);
    writer_start(&after);
    writer_end(&after);
    cr_expect(after.stored, "the next one gets a new connection");
}

Test(commit, who_has_waited_long_enough_leaves_the_queue)
{
    const char *of_a = animal_of(VERA_OF_A), *note = gw_id();
    writer w[3];
    for (int i = 0; i < 3; i++) w[i] = by(VERA_OF_A, of_a, "journey", note);
    w[1].limit_ms = 1500;
    PGconn *held = hold_up(w, 3);
    await(queued, 1, "nobody leaves the queue");
    writer_end(&w[1]);
    unlock(held);
    writer_end(&w[0]);
    writer_end(&w[2]);
    cr_expect(eq(int, w[1].status, GW_EBUSY));
    cr_expect(ge(i64, w[1].took_ms, 1500 - 20));
    cr_expect(w[0].stored && w[2].stored);
    cr_expect(eq(str, (char *)gw_sql("select count(*) from gw.event where note = '%s'", note), "2"));
}
