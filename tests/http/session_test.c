/*
 * The life of a session, and many who write at once.
 */
#include <criterion/criterion.h>
#include <criterion/new/assert.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>
#include <unistd.h>

#include "support/wire.h"
#include "support/world.h"

static gw_answer sign_in(const char *email, const char *passphrase)
{
    return gw_do(NOBODY, "POST", "/session",
                 gw_json("{'email':'%s','passphrase':'%s','bearer':true}", email, passphrase));
}

/* A person of the test's own, signed in. */
typedef struct {
    const char *id, *email, *token;
} own_person;

static own_person new_person(const char *role)
{
    own_person p = {.email = gw_text("%s@test.invalid", gw_id())};
    gw_answer a = gw_do(ANN_COORDINATOR, "POST", "/people",
                        gw_json("{'name':'Somebody','email':'%s','role':'%s'}", p.email, role));
    gw_expect_status(&a, 201);
    p.id = gw_text("%s", gw_at(&a, "/person/id"));
    a = gw_do(NOBODY, "POST", gw_text("/invitations/%s", gw_at(&a, "/token")),
              gw_json("{'passphrase':'%s'}", GW_PASSPHRASE));
    gw_expect_status(&a, 201);
    a = sign_in(p.email, GW_PASSPHRASE);
    gw_expect_status(&a, 201);
    p.token = gw_text("%s", gw_at(&a, "/token"));
    return p;
}

static int status_with(const char *token, const char *path)
{
    return gw_send((gw_ask){.method = "GET", .path = path, .token = token}).status;
}

/* ---- signing in ---- */

Test(session, makes_only_the_account_wait_that_fails)
{
    own_person tried = new_person("volunteer"), other = new_person("volunteer");
    gw_answer a = {0};
    int tries = 0;
    do a = sign_in(tried.email, "not the one at all");
    while (a.status == 401 && ++tries < 12);
    gw_expect_status(&a, 429);
    cr_expect(ge(int, tries, 5));
    const char *wait = strstr(a.headers, "Retry-After: ");
    cr_assert(ne(ptr, (char *)wait, NULL));
    long seconds = strtol(wait + strlen("Retry-After: "), NULL, 10);
    cr_expect(seconds >= 1 && seconds <= 300, "%ld", seconds);
    a = sign_in(gw_text("%c%s", tried.email[0] - ('a' <= tried.email[0] ? 32 : 0), tried.email + 1), GW_PASSPHRASE);
    gw_expect_status(&a, 429); /* another spelling is the same account */
    a = sign_in(other.email, GW_PASSPHRASE);
    gw_expect_status(&a, 201);
    cr_expect(eq(int, status_with(tried.token, "/me"), 200)); /* who is signed in stays so */
    gw_sql("delete from gw.signin_attempt");
}

/* Many wrong guesses at one moment do not all count as the first. */
Test(session, lets_no_crowd_of_guesses_through)
{
    enum { GUESSES = 24 };
    own_person p = new_person("volunteer");
    pid_t children[GUESSES];
    int wrong = 0, wait = 0;
    for (int i = 0; i < GUESSES; i++) {
        children[i] = fork();
        cr_assert(ge(int, children[i], 0));
        if (children[i] == 0) _exit(sign_in(p.email, "not the one at all").status - 400);
    }
    for (int i = 0, status; i < GUESSES; i++) {
        cr_assert(eq(int, waitpid(children[i], &status, 0), children[i]));
        int code = WIFEXITED(status) ? WEXITSTATUS(status) + 400 : 0;
        wrong += code == 401;
        wait += code == 429 || code == 503;
    }
    cr_expect(eq(int, wrong + wait, GUESSES));
    cr_expect(le(int, wrong, 9), "%d guesses were judged: five are free, and four may pass at once", wrong);
    gw_sql("delete from gw.signin_attempt");
}

Test(session, ends_when_its_time_is_over)
{
    own_person p = new_person("volunteer");
    cr_expect(eq(int, status_with(p.token, "/me"), 200));
    gw_sql("update gw.session set expires_at = now() - interval '1 second' where person = '%s'", p.id);
    gw_answer a = gw_send((gw_ask){.method = "GET", .path = "/me", .token = p.token});
    gw_expect_status(&a, 401);
    cr_expect(strstr(a.headers, "WWW-Authenticate: Bearer") != NULL, "%s", a.headers);
}

Test(session, ends_alone_when_its_person_signs_out)
{
    own_person p = new_person("volunteer");
    gw_answer a = sign_in(p.email, GW_PASSPHRASE);
    const char *second = gw_text("%s", gw_at(&a, "/token"));
    a = gw_send((gw_ask){.method = "DELETE", .path = "/session", .token = p.token});
    gw_expect_status(&a, 204);
    cr_expect(eq(int, status_with(p.token, "/me"), 401));
    a = gw_send((gw_ask){.method = "DELETE", .path = "/session", .token = p.token});
    gw_expect_status(&a, 401);
    cr_expect(eq(int, status_with(second, "/me"), 200)); /* another phone goes on */
}

Test(session, of_somebody_who_is_disabled_is_refused_at_once)
{
    own_person p = new_person("coordinator");
    cr_expect(eq(int, status_with(p.token, "/people"), 200));
    gw_sql("update gw.person set disabled_at = now() where id = '%s'", p.id);
    cr_expect(eq(int, status_with(p.token, "/people"), 401));
    gw_answer a = sign_in(p.email, GW_PASSPHRASE), unknown = sign_in("nobody.here@test.invalid", GW_PASSPHRASE);
    gw_expect_status(&a, 401);
    cr_expect(eq(str, (char *)a.text, (char *)unknown.text));
    gw_sql("update gw.person set disabled_at = null where id = '%s'", p.id);
    cr_expect(eq(int, status_with(p.token, "/people"), 200));
    gw_sql("delete from gw.signin_attempt");
}

Test(session, has_the_role_of_the_moment)
{
    own_person p = new_person("volunteer");
    cr_expect(eq(int, status_with(p.token, "/people"), 403));
    gw_sql("update gw.person set role = 'coordinator' where id = '%s'", p.id);
    cr_expect(eq(int, status_with(p.token, "/people"), 200));
    gw_sql("update gw.person set role = 'intake' where id = '%s'", p.id);
    cr_expect(eq(int, status_with(p.token, "/people"), 403));
}

Test(session, is_opened_by_one_of_many_who_use_an_invitation)
{
    enum { AT_ONCE = 5 };
    pid_t children[AT_ONCE];
    int made = 0, spent = 0;
    gw_answer a = gw_do(ANN_COORDINATOR, "POST", "/people",
                        gw_json("{'name':'Somebody','email':'%s@test.invalid','role':'volunteer'}", gw_id()));
    gw_expect_status(&a, 201);
    const char *path = gw_text("/invitations/%s", gw_at(&a, "/token"));
    for (int i = 0; i < AT_ONCE; i++) {
        children[i] = fork();
        cr_assert(ge(int, children[i], 0));
        if (children[i] == 0)
            _exit(gw_do(NOBODY, "POST", path, gw_json("{'passphrase':'%s %d'}", GW_PASSPHRASE, i)).status == 201 ? 1
                                                                                                                 : 0);
    }
    for (int i = 0, status; i < AT_ONCE; i++) {
        cr_assert(eq(int, waitpid(children[i], &status, 0), children[i]));
        made += WIFEXITED(status) && WEXITSTATUS(status) == 1;
        spent += WIFEXITED(status) && WEXITSTATUS(status) == 0;
    }
    cr_expect(eq(int, made, 1));
    cr_expect(eq(int, spent, AT_ONCE - 1));
}

/* ---- many at once ---- */

/* Send checks of an animal from as many processes at once; how many were answered with 201. */
static int send_at_once(int n, const char *const bodies[])
{
    pid_t *children = calloc((size_t)n, sizeof *children);
    int made = 0;
    cr_assert(ne(ptr, children, NULL));
    for (int i = 0; i < n; i++) {
        const char *path = gw_text("/checks/%s", gw_id());
        children[i] = fork();
        cr_assert(ge(int, children[i], 0));
        if (children[i] == 0) {
            int status = gw_do(VERA_OF_A, "PUT", path, bodies[i]).status;
            _exit(status >= 400 ? status - 400 : status);
        }
    }
    for (int i = 0, status; i < n; i++) {
        cr_assert(eq(int, waitpid(children[i], &status, 0), children[i]));
        int code = WIFEXITED(status) ? WEXITSTATUS(status) : -1;
        made += code == 201;
        if (code != 201) cr_log_warn("answered %d", code < 201 ? code + 400 : code);
    }
    free(children);
    return made;
}

/* What the engine says of all of an animal's weighings, by time. */
static const char *verdicts(const char *animal)
{
    return gw_sql("select string_agg(v.level || ' ' || v.kind || ' ' || v.quality || ' ' || v.body::text, e'\\n' order "
                  "by v.at) from gw.verdict v where v.animal = '%s'",
                  animal);
}

Test(session, of_many_gives_the_verdicts_of_one_after_the_other)
{
    enum { CHECKS = 8 };
    static const int grams[CHECKS] = {902, 905, 899, 880, 861, 845, 850, 812};
    const char *times[CHECKS], *bodies[CHECKS], *animals[2];
    for (int k = 0; k < 2; k++)
        animals[k] = gw_new_animal((gw_animal_wish){.grams = 900, .days_ago = 70, .own_scale = true});
    gw_sql("update gw.check set at = (select at from gw.check where animal = '%s') where animal = '%s'", animals[0],
           animals[1]);
    for (int i = 0; i < CHECKS; i++) times[i] = gw_days_ago(60 - 7 * i);
    for (int i = 0; i < CHECKS; i++) gw_weekly(animals[0], times[i], grams[i]);
    for (int i = 0; i < CHECKS; i++) bodies[i] = gw_weekly_body(animals[1], times[i], grams[i]);
    cr_expect(eq(int, send_at_once(CHECKS, bodies), CHECKS));
    cr_expect(eq(str, (char *)verdicts(animals[1]), (char *)verdicts(animals[0])));
    static const char state[] = "select version || ' ' || level || ' ' || kind || ' ' || grams from gw.animal_state "
                                "where animal = '%s'";
    cr_expect(eq(str, (char *)gw_sql(state, animals[1]), (char *)gw_sql(state, animals[0])));
}

Test(session, of_a_hundred_on_one_animal_and_scale_stores_them_all, .timeout = 180)
{
    enum { CHECKS = 100 };
    const char *bodies[CHECKS];
    const char *animal = gw_new_animal((gw_animal_wish){.grams = 900, .days_ago = 120, .own_scale = true});
    const char *version = gw_sql("select version from gw.animal_state where animal = '%s'", animal);
    for (int i = 0; i < CHECKS; i++) bodies[i] = gw_weekly_body(animal, gw_days_ago(101 - i), 900 + i % 7);
    cr_expect(eq(int, send_at_once(CHECKS, bodies), CHECKS));
    cr_expect(eq(str, (char *)gw_sql("select count(*) from gw.check where animal = '%s'", animal), "101"));
    cr_expect(eq(str, (char *)gw_sql("select count(*) from gw.verdict where animal = '%s'", animal), "101"));
    cr_expect(eq(str, (char *)gw_sql("select version - %s from gw.animal_state where animal = '%s'", version, animal),
                 "100"));
}
