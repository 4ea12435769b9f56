/*
 * Who sees and who writes which rows, table by table. The rows were made through the server: people, two homes with an
 * animal each, their checks, findings, verdicts, alerts, steps, known normals, events, scale tests.
 */
#include <criterion/criterion.h>
#include <criterion/new/assert.h>
#include <stdlib.h>
#include <string.h>

#include "as.h"

static const char *animal_of[2], *check_of[2];

/* Everything a home can have. Made once; later tests find it by name. */
static const char *furnish(int which)
{
    static const char *const names[] = {"Animal of A", "Animal of B"};
    const char *found = gw_sql("select id from gw.animal where name = '%s'", names[which]);
    if (*found) return found;
    gw_who who = which ? WILL_OF_B : VERA_OF_A;
    const char *home = which ? gw_home_b() : gw_home_a(), *scale = which ? gw_scale_b() : gw_scale_a();
    const char *animal = gw_new_animal((gw_animal_wish){.name = names[which],
                                                        .home = home,
                                                        .pen = which ? gw_pen_b() : gw_pen_a(),
                                                        .scale = scale,
                                                        .grams = 900,
                                                        .days_ago = 9});
    gw_answer a = gw_do(who, "PUT", gw_text("/checks/%s", gw_id()),
                        gw_json("{'animal':'%s','home':'%s','kind':'extra','at':'%s','answers':{'behaviour':'"
                                "findings'},'findings':[{'sign':'fit_collapse','grade':'marked'}],'weighing':{'scale'"
                                ":'%s','readings':[899],'zeroed':true,'confirmed':false}}",
                                animal, home, gw_days_ago(1), scale));
    cr_assert(eq(int, a.status, 201), "%s", a.text);
    const char *alert = gw_at(&a, "/alerts/0/id");
    a = gw_send((gw_ask){.who = ANN_COORDINATOR,
                         .method = "POST",
                         .path = gw_text("/alerts/%s/steps", alert),
                         .body = gw_json("{'id':'%s','step':'taken'}", gw_id()),
                         .if_match = "\"1\""});
    cr_assert(eq(int, a.status, 201), "%s", a.text);
    a = gw_do(who, "PUT", gw_text("/animals/%s/known-normals/%s", animal, gw_id()),
              gw_json("{'sign':'nails_long','up_to':'slight'}"));
    cr_assert(eq(int, a.status, 201), "%s", a.text);
    a = gw_do(who, "PUT", gw_text("/animals/%s/events/%s", animal, gw_id()),
              gw_json("{'event':'journey','from':'2026-01-01','to':'2026-01-02'}"));
    cr_assert(eq(int, a.status, 201), "%s", a.text);
    a = gw_do(who, "PUT", gw_text("/scale-tests/%s", gw_id()),
              gw_json("{'scale':'%s','at':'%s','mass':500,'reading':500}", scale, gw_days_ago(2)));
    cr_assert(eq(int, a.status, 201), "%s", a.text);
    return animal;
}

static void set_up(void)
{
    for (int i = 0; i < 2; i++) {
        animal_of[i] = furnish(i);
        check_of[i] = gw_sql("select id from gw.check where animal = '%s' order by at limit 1", animal_of[i]);
    }
}

TestSuite(policy, .init = set_up);

/* Tables whose rows belong to a home, and the column that says which. */
static const struct {
    const char *table, *home;
} of_homes[] = {{"home", "id"},           {"pen", "home"},       {"serves", "home"},       {"scale", "home"},
                {"scale_test", "home"},   {"animal", "home"},    {"animal_state", "home"}, {"stay", "home"},
                {"known_normal", "home"}, {"event", "home"},     {"check", "home"},        {"finding", "home"},
                {"verdict", "home"},      {"home_week", "home"}, {"alert", "home"},        {"alert_evidence", "home"},
                {"step", "home"}};
enum { N_OF_HOMES = sizeof of_homes / sizeof *of_homes };

/* The other tables: what each role sees. "all", "none", "own" or a SQLSTATE. */
static const struct {
    const char *table, *nobody, *volunteer, *intake, *coordinator, *read, *owner;
} others[] = {
    {"account", "none", "own", "own", "all", "42501", "none"},
    {"arrival", "none", "none", "all", "all", "all", "none"},
    {"audit", "none", "none", "none", "all", "all", "none"},
    {"invitation", "42501", "42501", "42501", "42501", "42501", "none"},
    {"level_rule", "all", "all", "all", "all", "all", "all"},
    {"migration", "all", "all", "all", "all", "all", "all"},
    {"network", "none", "all", "all", "all", "all", "none"},
    {"person", "none", "all", "all", "all", "all", "none"},
    {"region", "all", "all", "all", "all", "all", "all"},
    {"session", "42501", "42501", "42501", "42501", "42501", "none"},
    {"sign", "all", "all", "all", "all", "all", "all"},
    {"sign_group", "all", "all", "all", "all", "all", "all"},
    {"signin_attempt", "42501", "42501", "42501", "42501", "42501", "none"},
    {"source", "all", "all", "all", "all", "all", "all"},
    {"species", "all", "all", "all", "all", "all", "all"},
};
enum { N_OTHERS = sizeof others / sizeof *others };

static const char *rows_of(gw_db_role role, gw_who who, const char *table)
{
    return gw_as(role, who, "select count(*) from gw.\"%s\"", table);
}

static const char *rows_in(gw_db_role role, gw_who who, size_t i, const char *home)
{
    return gw_as(role, who, "select count(*) from gw.\"%s\" where %s = '%s'", of_homes[i].table, of_homes[i].home,
                 home);
}

Test(policy, knows_every_table)
{
    const char *tables =
        gw_sql("select string_agg(tablename, ' ' order by tablename) || ' ' from pg_tables where schemaname = 'gw'");
    size_t n = 0;
    for (size_t i = 0; i < N_OF_HOMES; i++)
        cr_expect(eq(int, !!strstr(tables, gw_text("%s ", of_homes[i].table)), 1), "%s", of_homes[i].table);
    for (size_t i = 0; i < N_OTHERS; i++)
        cr_expect(eq(int, !!strstr(tables, gw_text("%s ", others[i].table)), 1), "%s", others[i].table);
    for (const char *c = tables; *c; c++) n += *c == ' ';
    cr_expect(eq(sz, n, N_OF_HOMES + N_OTHERS), "a table is not tested here: %s", tables);
}

Test(policy, is_forced_on_every_table_with_people_or_animals)
{
    for (size_t i = 0; i < N_OF_HOMES; i++)
        cr_expect(
            eq(str,
               (char *)gw_sql(
                   "select relrowsecurity and relforcerowsecurity from pg_class where oid = 'gw.\"%s\"'::regclass",
                   of_homes[i].table),
               "t"),
            "%s", of_homes[i].table);
    static const char *const more[] = {"account", "arrival", "audit",   "invitation",
                                       "network", "person",  "session", "signin_attempt"};
    for (size_t i = 0; i < sizeof more / sizeof *more; i++)
        cr_expect(eq(str,
                     (char *)gw_sql(
                         "select relrowsecurity and relforcerowsecurity from pg_class where oid = 'gw.%s'::regclass",
                         more[i]),
                     "t"),
                  "%s", more[i]);
}

Test(policy, shows_a_volunteer_the_rows_of_their_home_and_nothing_of_another)
{
    for (size_t i = 0; i < N_OF_HOMES; i++) {
        const char *table = of_homes[i].table, *of_a = rows_in(ADMIN, NOBODY, i, gw_home_a()),
                   *of_b = rows_in(ADMIN, NOBODY, i, gw_home_b());
        cr_expect(eq(int, strtol(of_a, NULL, 10) > 0 || !strcmp(table, "home_week"), 1), "the test has no row in %s",
                  table);
        cr_expect(eq(str, (char *)rows_in(APP, VERA_OF_A, i, gw_home_a()), (char *)of_a), "%s", table);
        cr_expect(eq(str, (char *)rows_in(APP, VERA_OF_A, i, gw_home_b()), "0"), "%s", table);
        cr_expect(eq(str, (char *)rows_in(APP, WILL_OF_B, i, gw_home_b()), (char *)of_b), "%s", table);
        cr_expect(eq(str, (char *)rows_in(APP, WILL_OF_B, i, gw_home_a()), "0"), "%s", table);
        cr_expect(eq(str, (char *)rows_of(APP, VERA_OF_A, table), (char *)of_a), "%s: rows of no home", table);
    }
}

Test(policy, shows_intake_staff_and_coordinators_every_home)
{
    for (size_t i = 0; i < N_OF_HOMES; i++)
        for (gw_who who = ANN_COORDINATOR; who <= IDA_INTAKE; who++)
            cr_expect(eq(str, (char *)rows_of(APP, who, of_homes[i].table),
                         (char *)rows_of(ADMIN, NOBODY, of_homes[i].table)),
                      "%s", of_homes[i].table);
}

Test(policy, shows_nothing_when_nobody_is_set)
{
    for (size_t i = 0; i < N_OF_HOMES; i++)
        cr_expect(eq(str, (char *)rows_of(APP, NOBODY, of_homes[i].table), "0"), "%s", of_homes[i].table);
    /* The same on a connection where a person was set before: the setting is then '' and not null. */
    rows_of(APP, ANN_COORDINATOR, "animal");
    for (size_t i = 0; i < N_OF_HOMES; i++)
        cr_expect(eq(str, (char *)rows_of(APP, NOBODY, of_homes[i].table), "0"), "%s", of_homes[i].table);
    cr_expect(
        eq(str, (char *)gw_as(APP, NOBODY, "select coalesce(gw.me()::text, 'nobody') || gw.desk() || gw.coordinator()"),
           "nobodyfalsefalse"));
}

Test(policy, shows_reports_everything_and_the_owner_nothing)
{
    for (size_t i = 0; i < N_OF_HOMES; i++) {
        cr_expect(eq(str, (char *)rows_of(READ, NOBODY, of_homes[i].table),
                     (char *)rows_of(ADMIN, NOBODY, of_homes[i].table)),
                  "%s", of_homes[i].table);
        cr_expect(eq(str, (char *)rows_of(OWNER, NOBODY, of_homes[i].table), "0"), "%s", of_homes[i].table);
    }
}

static void expect_sight(const char *table, const char *seen, const char *expected, const char *whom)
{
    const char *all = rows_of(ADMIN, NOBODY, table);
    if (!strcmp(expected, "all"))
        expected = all;
    else if (!strcmp(expected, "none"))
        expected = "0";
    else if (!strcmp(expected, "own"))
        expected = "1";
    cr_expect(eq(str, (char *)seen, (char *)expected), "%s by %s", table, whom);
}

Test(policy, shows_of_the_other_tables_what_each_role_needs)
{
    gw_sql("insert into gw.signin_attempt (who, address) values ('x', '127.0.0.1')");
    for (size_t i = 0; i < N_OTHERS; i++) {
        const char *t = others[i].table;
        cr_expect(eq(int, strtol(rows_of(ADMIN, NOBODY, t), NULL, 10) > 0, 1), "the test has no row in %s", t);
        expect_sight(t, rows_of(APP, NOBODY, t), others[i].nobody, "nobody");
        expect_sight(t, rows_of(APP, VERA_OF_A, t), others[i].volunteer, "a volunteer");
        expect_sight(t, rows_of(APP, IDA_INTAKE, t), others[i].intake, "intake staff");
        expect_sight(t, rows_of(APP, ANN_COORDINATOR, t), others[i].coordinator, "a coordinator");
        expect_sight(t, rows_of(READ, NOBODY, t), others[i].read, "reports");
        expect_sight(t, rows_of(OWNER, NOBODY, t), others[i].owner, "the owner");
    }
    cr_expect(eq(str, (char *)gw_as(APP, VERA_OF_A, "select passphrase_hash from gw.account"), "42501"));
    cr_expect(eq(str, (char *)gw_as(APP, ANN_COORDINATOR, "select passphrase_hash from gw.account"), "42501"));
}

/* ---- writing ---- */

typedef struct {
    gw_db_role role;
    gw_who who;
    const char *what, *expected, *sql;
} attempt;

static void try_all(const attempt attempts[], size_t n)
{
    const char *before = gw_everything();
    for (size_t i = 0; i < n; i++) {
        const attempt *t = &attempts[i];
        cr_expect(eq(str, (char *)gw_as(t->role, t->who, "%s", t->sql), (char *)t->expected), "%s", t->what);
    }
    cr_expect(eq(str, (char *)gw_everything(), (char *)before));
}

#define TRY_ALL(...) try_all((const attempt[]){__VA_ARGS__}, sizeof((const attempt[]){__VA_ARGS__}) / sizeof(attempt))

/* A check by a person, of an animal, said to be of a home. */
static const char *check_by(gw_who who, int animal, const char *home)
{
    return gw_text("insert into gw.check (id, animal, home, made_in, person, kind, at, day, request_hash) values "
                   "(gen_random_uuid(), '%s', '%s', '%s', '%s', 'extra', now(), current_date, '\\x00')",
                   animal_of[animal], home, home, gw_person(who));
}

static const char *finding_in(int which, const char *home)
{
    return gw_text("insert into gw.finding (\"check\", sign, animal, home, made_in, at, region, grade) values ('%s', "
                   "'lump_slow', '%s', '%s', '%s', now(), 'skin', 'slight')",
                   check_of[which], animal_of[which], home, home);
}

Test(policy, lets_a_volunteer_log_checks_of_their_home_only_and_in_their_own_name)
{
    TRY_ALL({APP, VERA_OF_A, "own check", "1 rows", check_by(VERA_OF_A, 0, gw_home_a())},
            {APP, VERA_OF_A, "a check of another home", "42501", check_by(VERA_OF_A, 1, gw_home_b())},
            {APP, VERA_OF_A, "a check in another's name", "42501", check_by(WILL_OF_B, 0, gw_home_a())},
            {APP, NOBODY, "nobody's check", "42501", check_by(VERA_OF_A, 0, gw_home_a())},
            {APP, IDA_INTAKE, "intake staff anywhere", "1 rows", check_by(IDA_INTAKE, 1, gw_home_b())},
            {APP, VERA_OF_A, "a finding", "1 rows", finding_in(0, gw_home_a())},
            {APP, VERA_OF_A, "a finding of another home", "42501", finding_in(1, gw_home_b())},
            {APP, VERA_OF_A, "state", "1 rows",
             gw_text("update gw.animal_state set version = version + 1 where animal = '%s'", animal_of[0])},
            {APP, VERA_OF_A, "state of another home", "0 rows",
             gw_text("update gw.animal_state set version = version + 1 where animal = '%s'", animal_of[1])},
            {APP, VERA_OF_A, "state moved out of sight", "42501",
             gw_text("update gw.animal_state set home = '%s' where animal = '%s'", gw_home_b(), animal_of[0])},
            {APP, VERA_OF_A, "verdict", "1 rows",
             gw_text("update gw.verdict set level = 'watch' where \"check\" = '%s'", check_of[0])},
            {APP, VERA_OF_A, "verdict of another home", "0 rows",
             gw_text("update gw.verdict set level = 'watch' where \"check\" = '%s'", check_of[1])},
            {APP, VERA_OF_A, "week", "1 rows",
             gw_text("insert into gw.home_week values ('%s', '2020-01-06', '{}', '{}', '{}')", gw_home_a())},
            {APP, VERA_OF_A, "week of another home", "42501",
             gw_text("insert into gw.home_week values ('%s', '2020-01-06', '{}', '{}', '{}')", gw_home_b())});
}

Test(policy, lets_nobody_change_or_take_away_what_was_recorded)
{
    static const char *const kept[] = {"check", "finding", "scale_test",   "step",   "audit", "arrival",
                                       "stay",  "animal",  "known_normal", "event",  "home",  "person",
                                       "scale", "pen",     "serves",       "verdict"};
    for (size_t i = 0; i < sizeof kept / sizeof *kept; i++)
        for (gw_who who = ANN_COORDINATOR; who < N_PEOPLE; who++) {
            cr_expect(eq(str, (char *)gw_as(APP, who, "delete from gw.\"%s\"", kept[i]), "42501"), "%s", kept[i]);
            cr_expect(eq(str, (char *)gw_as(APP, who, "truncate gw.\"%s\" cascade", kept[i]), "42501"), "%s", kept[i]);
        }
    TRY_ALL({APP, ANN_COORDINATOR, "grams", "42501", "update gw.check set grams = 1"},
            {APP, ANN_COORDINATOR, "answers", "42501", "update gw.check set answers = '{}'"},
            {APP, ANN_COORDINATOR, "who", "42501", "update gw.check set person = null"},
            {APP, ANN_COORDINATOR, "grade", "42501", "update gw.finding set grade = 'slight'"},
            {APP, ANN_COORDINATOR, "test", "42501", "update gw.scale_test set passed = true"},
            {APP, ANN_COORDINATOR, "step", "42501", "update gw.step set note = 'x'"},
            {APP, ANN_COORDINATOR, "audit", "42501", "update gw.audit set what = 'x'"},
            {APP, ANN_COORDINATOR, "arrival", "42501", "update gw.arrival set from_whom = 'x'"},
            {APP, ANN_COORDINATOR, "tag", "42501", "update gw.animal set tag = '00000'"},
            {APP, ANN_COORDINATOR, "known normal", "42501", "update gw.known_normal set up_to = 'marked'"},
            {APP, ANN_COORDINATOR, "role", "42501", "update gw.person set role = 'coordinator'"},
            {APP, ANN_COORDINATOR, "catalogue", "42501", "update gw.sign set level = 'steady'"},
            {APP, ANN_COORDINATOR, "session", "42501",
             "insert into gw.session values ('\\x00', gw.me(), true, now(), now())"},
            {APP, ANN_COORDINATOR, "a table of its own", "42501", "create table gw.mine (x int)"});
}

Test(policy, keeps_volunteers_from_what_intake_staff_do)
{
    const char *a = gw_home_a();
    TRY_ALL(
        {APP, VERA_OF_A, "home", "42501",
         "insert into gw.home (id, name, kind, zone) values (gen_random_uuid(), 'x', 'room', 'UTC')"},
        {APP, VERA_OF_A, "home", "0 rows", gw_text("update gw.home set name = 'x' where id = '%s'", a)},
        {APP, VERA_OF_A, "serves", "42501",
         gw_text("insert into gw.serves (person, home, during) values (gw.me(), '%s', tstzrange(now(), null))",
                 gw_home_b())},
        {APP, VERA_OF_A, "serves", "0 rows", "update gw.serves set during = tstzrange(now(), null)"},
        {APP, VERA_OF_A, "pen", "42501",
         gw_text("insert into gw.pen (id, home, name) values (gen_random_uuid(), '%s', 'x')", a)},
        {APP, VERA_OF_A, "pen", "0 rows", "update gw.pen set name = 'x'"},
        {APP, VERA_OF_A, "scale", "42501",
         gw_text("insert into gw.scale (id, home, name, step, capacity) values (gen_random_uuid(), '%s', 'x', 1, 100)",
                 a)},
        {APP, VERA_OF_A, "scale", "0 rows", "update gw.scale set step = 5"},
        {APP, VERA_OF_A, "animal", "42501",
         gw_text("insert into gw.animal (id, name, species, sex, home) values (gen_random_uuid(), 'x', 'rat', 'male', "
                 "'%s')",
                 a)},
        {APP, VERA_OF_A, "animal", "0 rows", "update gw.animal set name = 'x'"},
        {APP, VERA_OF_A, "stay", "42501",
         gw_text(
             "insert into gw.stay (animal, home, during) values ('%s', '%s', tstzrange('2020-01-01', '2020-01-02'))",
             animal_of[0], a)},
        {APP, VERA_OF_A, "stay", "0 rows", "update gw.stay set during = tstzrange(lower(during), now())"},
        {APP, VERA_OF_A, "arrival", "42501",
         gw_text("insert into gw.arrival (id, animal, kind, at, person, request_hash) values (gen_random_uuid(), '%s', "
                 "'stray', now(), gw.me(), '')",
                 animal_of[0])},
        {APP, VERA_OF_A, "network", "0 rows", "update gw.network set sensitivity = 1"},
        {APP, IDA_INTAKE, "network", "0 rows", "update gw.network set sensitivity = 1"},
        {APP, ANN_COORDINATOR, "network", "1 rows", "update gw.network set sensitivity = 1"},
        {APP, IDA_INTAKE, "home by intake", "42501",
         "insert into gw.home (id, name, kind, zone) values (gen_random_uuid(), 'x', 'room', 'UTC')"},
        {APP, IDA_INTAKE, "serves by intake", "42501",
         gw_text("insert into gw.serves (person, home, during) values (gw.me(), '%s', tstzrange(now(), null))", a)},
        {APP, IDA_INTAKE, "pen by intake", "1 rows",
         gw_text("insert into gw.pen (id, home, name) values (gen_random_uuid(), '%s', 'x')", a)},
        {APP, ANN_COORDINATOR, "home by coordinator", "1 rows",
         "insert into gw.home (id, name, kind, zone) values (gen_random_uuid(), 'x', 'room', 'UTC')"});
}

static const char *known_normal(int animal, const char *home, const char *confirmed)
{
    return gw_text("insert into gw.known_normal (id, animal, home, sign, up_to, vet_confirmed, person) values "
                   "(gen_random_uuid(), '%s', '%s', 'heavy', 'slight', %s, gw.me())",
                   animal_of[animal], home, confirmed);
}

static const char *scale_test(const char *scale, const char *home, const char *person)
{
    return gw_text("insert into gw.scale_test (id, scale, home, at, mass, reading, allowed, passed, person, "
                   "request_hash) values (gen_random_uuid(), '%s', '%s', now(), 500, 500, 1, true, %s, '')",
                   scale, home, person);
}

Test(policy, lets_a_volunteer_write_down_what_they_know_of_their_animals)
{
    TRY_ALL({APP, VERA_OF_A, "known normal", "1 rows", known_normal(0, gw_home_a(), "false")},
            {APP, VERA_OF_A, "known normal of another home", "42501", known_normal(1, gw_home_b(), "false")},
            {APP, VERA_OF_A, "a vet's word", "42501", known_normal(0, gw_home_a(), "true")},
            {APP, IDA_INTAKE, "a vet's word by intake", "42501", known_normal(0, gw_home_a(), "true")},
            {APP, ANN_COORDINATOR, "a vet's word by a coordinator", "1 rows", known_normal(0, gw_home_a(), "true")},
            {APP, VERA_OF_A, "test", "1 rows", scale_test(gw_scale_a(), gw_home_a(), "gw.me()")},
            {APP, VERA_OF_A, "test in another home", "42501", scale_test(gw_scale_b(), gw_home_b(), "gw.me()")},
            {APP, VERA_OF_A, "test in nobody's name", "42501", scale_test(gw_scale_a(), gw_home_a(), "null")},
            {APP, VERA_OF_A, "event of another home", "42501",
             gw_text("insert into gw.event (id, animal, home, event, during, person) values (gen_random_uuid(), '%s', "
                     "'%s', 'surgery', '[2026-01-01,)', gw.me())",
                     animal_of[1], gw_home_b())},
            {APP, VERA_OF_A, "event", "1 rows",
             gw_text("insert into gw.event (id, animal, home, event, during, person) values (gen_random_uuid(), '%s', "
                     "'%s', 'surgery', '[2026-01-01,)', gw.me())",
                     animal_of[0], gw_home_a())},
            {APP, VERA_OF_A, "audit in another's name", "42501",
             gw_text("insert into gw.audit (person, what) values ('%s', 'x')", gw_person(ANN_COORDINATOR))},
            {APP, VERA_OF_A, "audit", "1 rows", "insert into gw.audit (person, what) values (gw.me(), 'x')"});
}

static const char *alert_in(int animal, const char *home, const char *state)
{
    return gw_text("insert into gw.alert (kind, level, animal, home, opened_at, raised_at, evidence_at) values "
                   "('gain', 'watch', '%s', '%s', now(), now(), now()); update gw.alert set state = '%s', settled_at = "
                   "case when '%s' = 'settled' then now() end where kind = 'gain'",
                   animal_of[animal], home, state, state);
}

Test(policy, lets_a_volunteer_raise_an_alert_and_a_coordinator_decide)
{
    const char *step = gw_text("insert into gw.step (id, alert, home, step, at, person) select gen_random_uuid(), id, "
                               "home, 'taken', now(), gw.me() from gw.alert where animal = '%s'",
                               animal_of[0]);
    TRY_ALL({APP, VERA_OF_A, "raised", "1 rows", alert_in(0, gw_home_a(), "waiting")},
            {APP, VERA_OF_A, "in another home", "42501", alert_in(1, gw_home_b(), "waiting")},
            {APP, VERA_OF_A, "settled", "42501", alert_in(0, gw_home_a(), "settled")},
            {APP, IDA_INTAKE, "settled by intake", "42501", alert_in(0, gw_home_a(), "settled")},
            {APP, ANN_COORDINATOR, "settled by a coordinator", "1 rows", alert_in(0, gw_home_a(), "settled")},
            {APP, VERA_OF_A, "step", "42501", step}, {APP, IDA_INTAKE, "step by intake", "42501", step},
            {APP, ANN_COORDINATOR, "step by a coordinator", "1 rows", step},
            {APP, VERA_OF_A, "taken away in hand", "0 rows",
             gw_text("delete from gw.alert where animal = '%s'", animal_of[0])});
}

Test(policy, lets_reports_and_the_owner_write_nothing)
{
    for (size_t i = 0; i < N_OF_HOMES; i++) {
        const char *set = !strcmp(of_homes[i].home, "id") ? "name = name" : "home = home";
        cr_expect(eq(str, (char *)gw_as(READ, NOBODY, "update gw.\"%s\" set %s", of_homes[i].table, set), "42501"),
                  "%s", of_homes[i].table);
        cr_expect(eq(str, (char *)gw_as(READ, NOBODY, "delete from gw.\"%s\"", of_homes[i].table), "42501"), "%s",
                  of_homes[i].table);
        cr_expect(eq(str, (char *)gw_as(OWNER, NOBODY, "delete from gw.\"%s\"", of_homes[i].table), "0 rows"), "%s",
                  of_homes[i].table);
    }
    TRY_ALL(
        {READ, NOBODY, "session", "42501", "select gw.session_enter('\\x00', 'volunteer')"},
        {READ, NOBODY, "invite", "42501", "select gw.person_invite('x', 'x@test.invalid', 'coordinator', '\\x00', 7)"},
        {APP, VERA_OF_A, "invite by a volunteer", "GW403",
         "select gw.person_invite('x', 'x@test.invalid', 'coordinator', decode(repeat('00', 32), 'hex'), 7)"},
        {APP, NOBODY, "invite by nobody", "GW403",
         "select gw.person_invite('x', 'x@test.invalid', 'coordinator', decode(repeat('00', 32), 'hex'), 7)"},
        {APP, NOBODY, "no session", "GW401", "select gw.session_enter(decode(repeat('00', 32), 'hex'), 'volunteer')"});
}

/* ---- a moved animal ---- */

Test(policy, shows_a_moved_animals_past_to_its_new_home_and_hides_it_from_the_old)
{
    const char *animal = gw_new_animal((gw_animal_wish){.own_scale = true, .grams = 900, .days_ago = 20});
    gw_weekly(animal, gw_days_ago(8), 905);
    gw_weekly(animal, gw_days_ago(1), 780); /* an alert goes with it */
    const char *b = gw_home_b();
    const char *move = gw_text(
        "update gw.stay set during = tstzrange(lower(during), now()) where animal = '%1$s' and upper_inf(during);"
        "insert into gw.stay (animal, home, pen, during) values ('%1$s', '%2$s', null, tstzrange(now(), null));"
        "update gw.animal set home = '%2$s', pen = null where id = '%1$s'; update gw.animal_state set home = '%2$s' "
        "where animal = '%1$s';"
        "update gw.check set home = '%2$s' where animal = '%1$s'; update gw.finding set home = '%2$s' where animal = "
        "'%1$s';"
        "update gw.alert set home = '%2$s' where animal = '%1$s'",
        animal, b);
    cr_assert(eq(str, (char *)gw_as(APP, VERA_OF_A, "%s", move), "42501"), "a volunteer moved it");
    gw_sql("begin; select set_config('gw.person', '%s', true), set_config('gw.role', 'intake', true); set local role "
           "gramwell_app; %s; update gw.verdict set home = '%s' where animal = '%s'; commit",
           gw_person(IDA_INTAKE), move, b, animal);
    const char *count = gw_text("select count(*) from gw.check where animal = '%s'", animal);
    cr_expect(eq(str, (char *)gw_as(APP, WILL_OF_B, "%s", count), "3"));
    cr_expect(eq(str, (char *)gw_as(APP, VERA_OF_A, "%s", count), "0"));
    gw_answer a = gw_do(WILL_OF_B, "GET", gw_text("/animals/%s/history", animal), NULL);
    cr_expect(eq(sz, gw_count_at(&a, "/checks"), 3));
    cr_expect(eq(str, (char *)gw_at(&a, "/checks/2/home"), (char *)gw_home_a())); /* where it was made */
    a = gw_do(WILL_OF_B, "GET", gw_text("/alerts?animal=%s", animal), NULL);
    cr_expect(eq(int, gw_count_at(&a, "/alerts") >= 1, 1));
    a = gw_do(VERA_OF_A, "GET", gw_text("/animals/%s", animal), NULL);
    cr_expect(eq(int, a.status, 404));
    a = gw_do(VERA_OF_A, "GET", "/alerts", NULL);
    cr_expect(eq(int, !!strstr(a.text, animal), 0));
}
