#include <criterion/criterion.h>
#include <criterion/new/assert.h>
#include <string.h>
#include <sys/wait.h>
#include <unistd.h>

#include "support/world.h"

typedef struct {
    const char *animal; /* members of "animal" behind id, name and species */
    const char *rest;   /* more members of the arrival */
    const char *species;
    double grams;
} wish;

static const char *body_of(const char *animal_id, const char *check, const char *at, wish w)
{
    return gw_json("{'kind':'stray','at':'%s','home':'%s'%s,'animal':{'id':'%s','name':'Moss','species':'%s'%s},'"
                   "baseline':{'id':'%s','at':'%s','answers':%s,'findings':[],'weighing':{'scale':'%s','readings':[%."
                   "1f,%.1f],'zeroed':true,'confirmed':false}}}",
                   at, gw_home_a(), w.rest ? w.rest : "", animal_id, w.species ? w.species : "guinea_pig",
                   w.animal ? w.animal : ",'sex':'unknown'", check, at, gw_all_as_usual, gw_scale_a(),
                   w.grams > 0 ? w.grams : 910.0, w.grams > 0 ? w.grams : 911.0);
}

static gw_answer arrive(wish w)
{
    return gw_do(IDA_INTAKE, "PUT", gw_text("/arrivals/%s", gw_id()), body_of(gw_id(), gw_id(), gw_days_ago(2), w));
}

Test(arrival, writes_animal_stay_arrival_and_baseline_check_at_once)
{
    const char *animal = gw_id(), *check = gw_id(), *path = gw_text("/arrivals/%s", gw_id()), *at = gw_days_ago(2);
    const char *body = body_of(animal, check, at,
                               (wish){.animal = gw_json(",'sex':'male','birth':'2025-01-05','birth_precision':'guess'"),
                                      .rest = gw_json(",'from':'found in a box','pen':'%s'", gw_pen_a())});
    gw_answer a = gw_do(IDA_INTAKE, "PUT", path, body);
    gw_expect_status(&a, 201);
    gw_expect_at(&a, "/animal/id", animal);
    gw_expect_at(&a, "/animal/sex", "male");
    gw_expect_at(&a, "/animal/pen", gw_pen_a());
    gw_expect_at(&a, "/animal/last/grams", "910.5");
    gw_expect_at(&a, "/check/id", check);
    gw_expect_at(&a, "/check/kind", "baseline");
    gw_expect_at(&a, "/check/person/id", gw_person(IDA_INTAKE));
    gw_expect_at(&a, "/verdict/level", "steady");
    gw_expect_at(&a, "/verdict/reasons", "[\"first\"]");
    gw_expect_at(&a, "/animal/due_on",
                 gw_sql("select (('%s'::timestamptz at time zone 'Europe/London')::date + 7)::text", at));

    gw_answer seen = gw_do(VERA_OF_A, "GET", gw_text("/animals/%s", animal), NULL);
    gw_expect_status(&seen, 200);
    gw_expect_at(&seen, "/stays/0/home", gw_home_a());
    gw_expect_at(&seen, "/stays/0/to", "null");
    gw_expect_at(&seen, "/arrival", "null"); /* from whom it came is not for volunteers */
    cr_expect(eq(int, !!strstr(seen.text, "found in a box"), 0));
    seen = gw_do(IDA_INTAKE, "GET", gw_text("/animals/%s", animal), NULL);
    gw_expect_at(&seen, "/arrival/from", "found in a box");
}

Test(arrival, gives_a_tag_whose_check_character_fits)
{
    static const char digits[] = "0123456789ABCDEFGHJKMNPQRSTVWXYZ";
    for (int i = 0; i < 20; i++) {
        gw_answer a = arrive((wish){0});
        const char *tag = gw_at(&a, "/animal/tag");
        int number = 0;
        cr_assert(eq(sz, strlen(tag), 5));
        cr_assert(eq(sz, strspn(tag, digits), 5), "%s", tag);
        for (int k = 0; k < 4; k++) number = number * 32 + (int)(strchr(digits, tag[k]) - digits);
        cr_expect(eq(chr, tag[4], digits[number % 37]), "%s", tag);
    }
}

Test(arrival, sent_twice_is_stored_once_and_another_under_its_id_is_refused)
{
    const char *animal = gw_id(), *check = gw_id(), *path = gw_text("/arrivals/%s", gw_id()), *at = gw_days_ago(2);
    gw_answer first = gw_do(IDA_INTAKE, "PUT", path, body_of(animal, check, at, (wish){0}));
    gw_expect_status(&first, 201);
    const char *before = gw_everything();
    gw_answer again = gw_do(IDA_INTAKE, "PUT", path, body_of(animal, check, at, (wish){0}));
    gw_expect_status(&again, 200);
    cr_expect(eq(str, (char *)again.text, (char *)first.text));
    gw_answer other = gw_do(IDA_INTAKE, "PUT", path, body_of(animal, check, at, (wish){.grams = 950}));
    gw_expect_status(&other, 409);
    other = gw_do(IDA_INTAKE, "PUT", gw_text("/arrivals/%s", gw_id()), body_of(animal, gw_id(), at, (wish){0}));
    gw_expect_status(&other, 409); /* the animal's id is taken */
    other = gw_do(IDA_INTAKE, "PUT", gw_text("/arrivals/%s", gw_id()), body_of(gw_id(), check, at, (wish){0}));
    gw_expect_status(&other, 409); /* the check's id is taken */
    cr_expect(eq(str, (char *)gw_everything(), (char *)before));
}

Test(arrival, with_something_wrong_in_the_baseline_writes_no_animal)
{
    const char *before = gw_everything();
    const char *sign = gw_sql("select code from gw.sign where species is not null and not 'guinea_pig' = any (species) "
                              "order by position limit 1");
    gw_answer a =
        gw_do(IDA_INTAKE, "PUT", gw_text("/arrivals/%s", gw_id()),
              gw_json("{'kind':'stray','at':'%s','home':'%s','animal':{'id':'%s','name':'Moss','species':'guinea_pig'"
                      ",'sex':'male'},'baseline':{'id':'%s','at':'%s','answers':%s,'findings':[{'sign':'%s','grade':'"
                      "slight'}],'weighing':{'scale':'%s','readings':[910],'zeroed':true,'confirmed':false}}}",
                      gw_days_ago(2), gw_home_a(), gw_id(), gw_id(), gw_days_ago(2), gw_all_as_usual, sign, gw_id()));
    gw_expect_status(&a, 422);
    cr_expect(eq(int, gw_has_fault(&a, "/baseline/findings/0/sign"), 1), "%s", a.text);
    cr_expect(eq(int, gw_has_fault(&a, "/baseline/weighing/scale"), 1), "%s", a.text);
    cr_expect(eq(str, (char *)gw_everything(), (char *)before));
}

Test(arrival, names_what_only_the_database_knows)
{
    gw_answer a = arrive((wish){.rest = gw_json(",'pen':'%s'", gw_pen_b())});
    gw_expect_status(&a, 422);
    cr_expect(eq(int, gw_has_fault(&a, "/pen"), 1), "%s", a.text);
    a = arrive((wish){.species = "unicorn"});
    gw_expect_status(&a, 422);
    cr_expect(eq(int, gw_has_fault(&a, "/animal/species"), 1), "%s", a.text);
}

Test(arrival, refuses_times_that_cannot_be)
{
    const char *before = gw_everything();
    gw_answer a =
        arrive((wish){.animal = gw_json(",'sex':'male','birth':'%.10s','birth_precision':'day'", gw_days_ago(0.5))});
    gw_expect_status(&a, 422);
    cr_expect(eq(int, gw_has_fault(&a, "/animal/birth"), 1), "%s", a.text);
    a = arrive((wish){.animal = gw_json(",'sex':'male','birth':'2025-01-01'")});
    cr_expect(eq(int, gw_has_fault(&a, "/animal/birth_precision"), 1), "%s", a.text);
    a = arrive((wish){.animal = gw_json(",'sex':'male','birth_precision':'day'")});
    cr_expect(eq(int, gw_has_fault(&a, "/animal/birth_precision"), 1), "%s", a.text);
    a = gw_do(IDA_INTAKE, "PUT", gw_text("/arrivals/%s", gw_id()),
              body_of(gw_id(), gw_id(), gw_days_ago(-1), (wish){0}));
    gw_expect_status(&a, 422);
    cr_expect(eq(int, gw_has_fault(&a, "/at"), 1), "%s", a.text);
    cr_expect(eq(int, gw_has_fault(&a, "/baseline/at"), 1), "%s", a.text);
    cr_expect(eq(str, (char *)gw_everything(), (char *)before));
}

static gw_answer with_chip(const char *chip)
{
    return arrive((wish){.animal = gw_json(",'sex':'male','chip':'%s'", chip)});
}

/* ISO 11784: 38 bits of identity [ICARISO: ICAR slides on ISO 11784 bit coding, slide text read]; 15 digits,
 * ten-character chips are non-ISO ones to be kept [WSAVA: microchip committee FAQ, opening read]. */
Test(arrival, keeps_chips_of_the_standard_and_older_ones_and_refuses_the_rest)
{
    gw_answer a = with_chip("276274877906943"); /* ICARISO: 38 bits, all set */
    gw_expect_status(&a, 201);
    gw_expect_at(&a, "/animal/chip", "276274877906943");
    gw_expect_at(&a, "/animal/chip_kind", "iso");
    static const char *const refused[] = {"27627487790694", "27627487790694A", "276274877906944",
                                          "9.85E+14"}; /* WSAVA, ICARISO */
    for (size_t i = 0; i < sizeof refused / sizeof *refused; i++) {
        a = with_chip(refused[i]);
        gw_expect_status(&a, 422);
        cr_expect(eq(int, gw_has_fault(&a, "/animal/chip"), 1), "%s", refused[i]);
    }
    a = with_chip("00-0617-abcd"); /* WSAVA: ten characters */
    gw_expect_status(&a, 201);
    gw_expect_at(&a, "/animal/chip", "000617ABCD");
    gw_expect_at(&a, "/animal/chip_kind", "other");
    a = with_chip("276 274877906943");
    gw_expect_status(&a, 409); /* the first of this test has it */
}

Test(arrival, of_one_born_here_has_no_day_of_arrival)
{
    const char *id = gw_id();
    gw_answer a = gw_do(
        IDA_INTAKE, "PUT", gw_text("/arrivals/%s", gw_id()),
        gw_json("{'kind':'born_here','at':'%s','home':'%s','animal':{'id':'%s','name':'Bud','species':'guinea_pig','"
                "sex':'unknown','birth':'%.10s','birth_precision':'day'},'baseline':{'id':'%s','at':'%s','answers':%s,'"
                "findings':[],'weighing':{'scale':'%s','readings':[98],'zeroed':true,'confirmed':false}}}",
                gw_days_ago(1), gw_home_a(), id, gw_days_ago(1), gw_id(), gw_days_ago(1), gw_all_as_usual,
                gw_scale_a()));
    gw_expect_status(&a, 201);
    gw_expect_at(&a, "/animal/arrived", "null");
    gw_expect_at(&a, "/arrival/kind", "born_here");
}

Test(arrival, sent_by_two_at_once_is_stored_once)
{
    const char *animal = gw_id(), *path = gw_text("/arrivals/%s", gw_id());
    const char *body = body_of(animal, gw_id(), gw_days_ago(2), (wish){0});
    pid_t child = fork();
    if (child == 0) _exit(gw_do(IDA_INTAKE, "PUT", path, body).status - 200);
    gw_answer a = gw_do(IDA_INTAKE, "PUT", path, body);
    int status = 0;
    cr_assert(eq(int, waitpid(child, &status, 0), child));
    cr_expect(eq(int, a.status + WEXITSTATUS(status) + 200, 401), "%d and %d", a.status, WEXITSTATUS(status) + 200);
    cr_expect(eq(str, (char *)gw_sql("select count(*) from gw.check where animal = '%s'", animal), "1"));
}
