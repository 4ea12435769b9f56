/* What the database refuses whoever asks, by the name of its rule. Tried as the cluster's administrator: no policy
 * helps. */
#include <criterion/criterion.h>
#include <criterion/new/assert.h>

#include "as.h"

static const char *animal;

static void set_up(void)
{
    animal = gw_sql("select id from gw.animal where name = 'Subject'");
    if (!*animal) animal = gw_new_animal((gw_animal_wish){.name = "Subject", .grams = 900, .days_ago = 9});
}

TestSuite(constraint, .init = set_up);

typedef struct {
    const char *expected, *sql;
} attempt;

static void refuse_all(const attempt attempts[], size_t n)
{
    for (size_t i = 0; i < n; i++)
        cr_expect(eq(str, (char *)gw_as(ADMIN, NOBODY, "%s", attempts[i].sql), (char *)attempts[i].expected), "%s",
                  attempts[i].sql);
}

#define TRY_ALL(...)                                                                                                   \
    refuse_all((const attempt[]){__VA_ARGS__}, sizeof((const attempt[]){__VA_ARGS__}) / sizeof(attempt))

static const char *stay(const char *during)
{
    return gw_text("insert into gw.stay (animal, home, during) values ('%s', '%s', %s)", animal, gw_home_b(), during);
}

Test(constraint, an_animal_is_in_one_place_at_a_time)
{
    TRY_ALL({"23P01 stay_no_overlap", stay("tstzrange(now(), null)")},
            {"23P01 stay_no_overlap", stay("tstzrange('2020-01-01', null)")},
            {"1 rows", stay("tstzrange('2020-01-01', '2020-02-01')")}, {"23514 stay_not_empty", stay("'empty'")},
            {"23514 stay_not_empty", stay("tstzrange(now(), now())")},
            {"23514 stay_not_empty", stay("tstzrange('2020-01-01', 'infinity')")},
            {"23514 stay_not_empty", stay("tstzrange('-infinity', '2020-01-01')")},
            {"22000", stay("tstzrange('2020-02-01', '2020-01-01')")},
            {"1 rows", gw_text("update gw.stay set during = tstzrange(lower(during), now()) where animal = '%s'; %s",
                               animal, stay("tstzrange(now(), null)"))});
}

static const char *serves(const char *during)
{
    return gw_text("insert into gw.serves (person, home, during) values ('%s', '%s', %s)", gw_person(VERA_OF_A),
                   gw_home_a(), during);
}

Test(constraint, a_person_serves_a_home_once_at_a_time)
{
    TRY_ALL({"23P01 serves_no_overlap", serves("tstzrange(now(), null)")},
            {"23514 serves_not_empty", serves("'empty'")},
            {"23514 serves_not_empty", serves("tstzrange('2001-01-01', 'infinity')")},
            {"1 rows", serves("tstzrange('2001-01-01', '2002-01-01')")});
}

static const char *check(const char *columns, const char *values)
{
    return gw_text("insert into gw.check (id, animal, home, made_in, kind, at, day, request_hash%s) values "
                   "(gen_random_uuid(), '%s', '%s', '%s', 'extra', now(), current_date, ''%s)",
                   columns, animal, gw_home_a(), gw_home_a(), values);
}

static const char *weighed(const char *readings, const char *grams)
{
    return check(", scale, readings, grams", gw_text(", '%s', %s, %s", gw_scale_a(), readings, grams));
}

Test(constraint, a_weight_is_a_number_that_an_animal_can_have)
{
    TRY_ALL(
        {"1 rows", weighed("'{900}'", "900")}, {"1 rows", weighed("'{0.1}'", "0.1")},
        {"1 rows", weighed("'{30000}'", "30000")}, {"23514 check_grams_range", weighed("'{0}'", "0")},
        {"23514 check_grams_range", weighed("'{900}'", "0.04")}, {"23514 check_grams_range", weighed("'{900}'", "-1")},
        {"23514 check_grams_range", weighed("'{900}'", "30000.1")},
        {"23514 check_grams_range", weighed("'{900}'", "'NaN'")},
        {"23514 check_weighing_whole", weighed("null", "900")},
        {"23514 check_weighing_whole", weighed("'{900}'", "null")},
        {"23514 check_weighing_whole", check(", readings, grams", ", '{900}', 900")},
        {"23514 check_readings_number", weighed("'{1,2,3,4,5,6}'", "3")},
        {"23514 check_kind_known", gw_text("insert into gw.check (id, animal, made_in, kind, at, day, request_hash) "
                                           "values (gen_random_uuid(), '%s', '%s', 'monthly', now(), current_date, '')",
                                           animal, gw_home_a())},
        {"23514 check_not_future",
         gw_text("insert into gw.check (id, animal, made_in, kind, at, day, request_hash) values (gen_random_uuid(), "
                 "'%s', '%s', 'extra', now() + interval '6 minutes', current_date, '')",
                 animal, gw_home_a())},
        {"23514 check_weigh_only_has_weight",
         gw_text("insert into gw.check (id, animal, made_in, kind, at, day, request_hash) values (gen_random_uuid(), "
                 "'%s', '%s', 'weigh_only', now(), current_date, '')",
                 animal, gw_home_a())},
        {"23505 check_pkey", gw_text("insert into gw.check select * from gw.check where animal = '%s'", animal)});
}

static const char *change(const char *set)
{
    return gw_text("update gw.animal set %s where id = '%s'", set, animal);
}

Test(constraint, an_animal_is_described_as_the_catalogue_knows_it)
{
    TRY_ALL({"23503 animal_species_fkey", change("species = 'unicorn'")},
            {"23514 animal_sex_known", change("sex = 'm'")}, {"23514 animal_stage_known", change("stage = 'old'")},
            {"23514 animal_status_known", change("status = 'lost'")},
            {"23514 animal_here_has_home", change("home = null")},
            {"23514 animal_birth_told_how", change("birth = '2025-01-01', birth_precision = null")},
            {"23514 animal_birth_precision_known", change("birth = '2025-01-01', birth_precision = 'week'")},
            {"23505 animal_tag_once",
             gw_text("insert into gw.animal (id, tag, name, species, sex, home) select gen_random_uuid(), tag, name, "
                     "species, sex, home from gw.animal where id = '%s'",
                     animal)});
}

/* 38 bits of identity [ICARISO]; 15 digits, or the ten characters of older chips [WSAVA; nine from memory]. */
Test(constraint, a_chip_is_one_of_the_standard_or_an_older_one)
{
    TRY_ALL({"1 rows", change("chip = '276274877906943'")},
            {"23514 animal_chip_form", change("chip = '276274877906944'")},
            {"23514 animal_chip_form", change("chip = '27627487790694'")},
            {"23514 animal_chip_form", change("chip = '27627487790694A'")}, {"1 rows", change("chip = '000617ABCD'")},
            {"1 rows", change("chip = '123456789'")}, {"23514 animal_chip_form", change("chip = '12345678'")},
            {"23514 animal_chip_form", change("chip = '000617abcd'")}, {"23514 animal_chip_form", change("chip = ''")},
            {"23505 animal_chip_once",
             gw_text("%s; insert into gw.animal (id, name, species, sex, home, chip) select gen_random_uuid(), name, "
                     "species, sex, home, chip from gw.animal where id = '%s'",
                     change("chip = '123456789'"), animal)});
}

static const char *normal(const char *values)
{
    return gw_text("insert into gw.known_normal (id, animal, sign, up_to) values (gen_random_uuid(), '%s', %s)", animal,
                   values);
}

static const char *event(const char *kind, const char *during)
{
    return gw_text("insert into gw.event (id, animal, event, during) values (gen_random_uuid(), '%s', '%s', %s)",
                   animal, kind, during);
}

Test(constraint, what_is_known_of_an_animal_is_said_once_and_has_a_length)
{
    TRY_ALL({"23505 known_normal_once", gw_text("%s; %s", normal("'heavy', 'slight'"), normal("'heavy', 'marked'"))},
            {"23514 known_normal_grade_known", normal("'heavy', 'very'")},
            {"23503 known_normal_sign_fkey", normal("'no_such_sign', 'slight'")},
            {"23514 event_kind_known", event("holiday", "'[2026-01-01,)'")},
            {"23514 event_not_empty", event("surgery", "'empty'")},
            {"23514 event_not_empty", event("surgery", "daterange('2026-01-01', 'infinity')")},
            {"1 rows", event("surgery", "'[2026-01-01,)'")});
}

static const char *scale(const char *home, const char *name, const char *step, const char *capacity)
{
    return gw_text(
        "insert into gw.scale (id, home, name, step, capacity) values (gen_random_uuid(), '%s', '%s', %s, %s)", home,
        name, step, capacity);
}

static const char *scale_test(const char *mass, const char *reading, const char *at)
{
    return gw_text("insert into gw.scale_test (id, scale, home, at, mass, reading, allowed, passed, request_hash) "
                   "values (gen_random_uuid(), '%s', '%s', %s, %s, %s, 1, true, '')",
                   gw_scale_a(), gw_home_a(), at, mass, reading);
}

Test(constraint, a_scale_and_its_test_have_numbers_that_can_be)
{
    TRY_ALL({"23514 scale_step_range", scale(gw_home_a(), "x", "0", "100")},
            {"23514 scale_step_range", scale(gw_home_a(), "x", "'NaN'", "100")},
            {"23514 scale_capacity_range", scale(gw_home_a(), "x", "1", "9")},
            {"23514 scale_capacity_range", scale(gw_home_a(), "x", "1", "'NaN'")},
            {"23505 scale_name_once", scale(gw_home_a(), "KITCHEN", "1", "100")},
            {"1 rows", scale(gw_home_b(), "elsewhere", "1", "100")},
            {"23514 scale_test_mass_range", scale_test("0.5", "1", "now()")},
            {"23514 scale_test_mass_range", scale_test("'NaN'", "1", "now()")},
            {"23514 scale_test_reading_range", scale_test("500", "'NaN'", "now()")},
            {"23514 scale_test_reading_range", scale_test("500", "-1", "now()")},
            {"23514 scale_test_not_future", scale_test("500", "500", "now() + interval '6 minutes'")},
            {"1 rows", scale_test("500", "500", "now()")});
}

Test(constraint, names_and_places_are_told_apart)
{
    const char *a = gw_home_a();
    TRY_ALL({"23505 home_name_once",
             "insert into gw.home (id, name, kind, zone) values (gen_random_uuid(), 'HOME A', 'room', 'UTC')"},
            {"23514 home_zone_known",
             "insert into gw.home (id, name, kind, zone) values (gen_random_uuid(), 'x', 'room', 'Europe/Atlantis')"},
            {"23514 home_kind_known",
             "insert into gw.home (id, name, kind, zone) values (gen_random_uuid(), 'x', 'barn', 'UTC')"},
            {"23505 pen_name_once",
             gw_text("insert into gw.pen (id, home, name) values (gen_random_uuid(), '%s', 'PEN 1')", a)},
            {"23514 person_role_known", "insert into gw.person (name, role) values ('x', 'owner')"},
            {"23505 account_email_once", gw_text("update gw.account set email = upper('%s') where person = '%s'",
                                                 gw_email(VERA_OF_A), gw_person(ANN_COORDINATOR))},
            {"23514 account_email_form",
             gw_text("update gw.account set email = 'a b@c' where person = '%s'", gw_person(VERA_OF_A))});
}

static const char *alert(const char *columns, const char *values)
{
    return gw_text("insert into gw.alert (kind, level, home, opened_at, raised_at, evidence_at%s) values (%s)", columns,
                   values);
}

static const char *gain(void)
{
    return alert(", animal", gw_text("'gain', 'watch', '%s', now(), now(), now(), '%s'", gw_home_a(), animal));
}

Test(constraint, an_alert_is_open_once_for_one_thing)
{
    TRY_ALL(
        {"1 rows", gain()}, {"23505 alert_one_open", gw_text("%s; %s", gain(), gain())},
        {"1 rows", gw_text("%s; update gw.alert set state = 'settled', settled_at = now(), outcome = 'benign' where "
                           "kind = 'gain'; %s",
                           gain(), gain())},
        {"23514 alert_about_one_thing", alert("", gw_text("'loss', 'watch', '%s', now(), now(), now()", gw_home_a()))},
        {"23514 alert_about_one_thing",
         alert("", gw_text("'spread', 'watch', '%s', now(), now(), now()", gw_home_a()))},
        {"23514 alert_about_one_thing",
         alert(", animal", gw_text("'scale', 'watch', '%s', now(), now(), now(), '%s'", gw_home_a(), animal))},
        {"23514 alert_kind_known",
         alert(", animal", gw_text("'mood', 'watch', '%s', now(), now(), now(), '%s'", gw_home_a(), animal))},
        {"23514 alert_settled_has_time",
         gw_text("%s; update gw.alert set state = 'settled' where kind = 'gain'", gain())},
        {"23514 alert_outcome_known", gw_text("%s; update gw.alert set outcome = 'fine' where kind = 'gain'", gain())},
        {"23514 alert_state_known", gw_text("%s; update gw.alert set state = 'lost' where kind = 'gain'", gain())});
}

static const char *step(const char *word, const char *outcome, const char *note, const char *at)
{
    return gw_text("%s; insert into gw.step (id, alert, home, step, outcome, note, at) select gen_random_uuid(), id, "
                   "home, '%s', %s, %s, %s from gw.alert where kind = 'gain'",
                   gain(), word, outcome, note, at);
}

Test(constraint, a_step_says_what_it_must)
{
    TRY_ALL({"1 rows", step("taken", "null", "null", "now()")},
            {"23514 step_settled_has_outcome", step("settled", "null", "null", "now()")},
            {"23514 step_settled_has_outcome", step("taken", "'ill'", "null", "now()")},
            {"23514 step_note_has_text", step("note", "null", "''", "now()")},
            {"23514 step_known", step("lost", "null", "null", "now()")},
            {"23514 step_not_future", step("taken", "null", "null", "now() + interval '6 minutes'")});
}
