#include <criterion/criterion.h>
#include <criterion/new/assert.h>
#include <string.h>

#include "support/world.h"

/* Where an animal stands in the round, as a pointer; NULL when it does not. */
static const char *place_of(const gw_answer *a, const char *animal)
{
    for (size_t h = 0; h < gw_count_at(a, "/homes"); h++)
        for (size_t p = 0; p < gw_count_at(a, gw_text("/homes/%zu/pens", h)); p++)
            for (size_t i = 0; i < gw_count_at(a, gw_text("/homes/%zu/pens/%zu/animals", h, p)); i++) {
                const char *at = gw_text("/homes/%zu/pens/%zu/animals/%zu", h, p, i);
                if (!strcmp(gw_at(a, gw_text("%s/id", at)), animal)) return at;
            }
    return NULL;
}

static const char *in(const char *place, const char *member)
{
    return gw_text("%s/%s", place, member);
}

Test(round, holds_what_the_form_and_the_engine_on_the_phone_need)
{
    const char *animal = gw_new_animal((gw_animal_wish){.name = "Quill", .grams = 900, .days_ago = 15});
    const char *sign = gw_sql("select code from gw.sign where usual and (species is null or 'guinea_pig' = any "
                              "(species)) order by position limit 1");
    gw_weekly(animal, gw_days_ago(8), 905);
    gw_answer last = gw_weekly(animal, gw_days_ago(1.5), 910);
    gw_answer a = gw_do(VERA_OF_A, "PUT", gw_text("/animals/%s/known-normals/%s", animal, gw_id()),
                        gw_json("{'sign':'%s','up_to':'marked'}", sign));
    gw_expect_status(&a, 201);
    a = gw_do(VERA_OF_A, "PUT", gw_text("/animals/%s/events/%s", animal, gw_id()),
              gw_json("{'event':'bonding','from':'2026-11-01','to':'2026-11-03'}"));
    gw_expect_status(&a, 201);

    a = gw_do(VERA_OF_A, "GET", "/round", NULL);
    gw_expect_status(&a, 200);
    gw_expect_at(&a, "/homes/0/id", gw_home_a());
    gw_expect_at(&a, "/homes/0/scales/0/id", gw_scale_a());
    const char *at = place_of(&a, animal);
    cr_assert(ne(ptr, (void *)at, NULL));
    gw_expect_at(&a, in(at, "name"), "Quill");
    gw_expect_at(&a, in(at, "known_normals/0/sign"), sign);
    gw_expect_at(&a, in(at, "events/0/event"), "bonding");
    gw_expect_at(&a, in(at, "events/0/from"), "2026-11-01");
    gw_expect_at(&a, in(at, "events/0/to"), "2026-11-03"); /* the last day, not the day after */
    cr_expect(eq(sz, gw_count_at(&a, in(at, "weighings")), 3));
    gw_expect_at(&a, in(at, "weighings/0/grams"), "900"); /* oldest first */
    gw_expect_at(&a, in(at, "weighings/2/grams"), "910");
    gw_expect_at(&a, in(at, "weighings/0/reasons"), "[\"first\"]");
    gw_expect_at(&a, in(at, "last_check/id"), gw_at(&last, "/check/id"));
    gw_expect_at(&a, in(at, "done_today"), "false");
    cr_expect(eq(dbl, gw_number_at(&a, in(at, "weighings/2/mouth_looked")), 7)); /* all three groups of mouth signs */
}

Test(round, knows_what_was_done_today_by_the_homes_day)
{
    const char *animal = gw_new_animal((gw_animal_wish){.grams = 900, .days_ago = 15});
    gw_answer a = gw_do(VERA_OF_A, "GET", "/round", NULL);
    gw_expect_at(&a, in(place_of(&a, animal), "done_today"), "false");
    const char *now = gw_days_ago(0);
    gw_weekly(animal, now, 903);
    a = gw_do(VERA_OF_A, "GET", "/round", NULL);
    gw_expect_at(&a, in(place_of(&a, animal), "done_today"), "true");
    gw_expect_at(&a, in(place_of(&a, animal), "due_on"),
                 gw_sql("select (('%s'::timestamptz at time zone 'Europe/London')::date + 7)::text", now));
}

Test(round, is_that_of_the_moment_asked_for)
{
    const char *animal = gw_new_animal((gw_animal_wish){.grams = 900, .days_ago = 15});
    gw_weekly(animal, gw_days_ago(8), 905);
    gw_weekly(animal, gw_days_ago(1), 910);
    gw_answer a = gw_do(VERA_OF_A, "GET", gw_text("/round?at=%s", gw_days_ago(7)), NULL);
    cr_expect(eq(sz, gw_count_at(&a, in(place_of(&a, animal), "weighings")), 2));
    a = gw_do(VERA_OF_A, "GET", gw_text("/round?at=%s", gw_days_ago(3000)), NULL);
    cr_expect(eq(sz, gw_count_at(&a, "/homes"), 0)); /* served nothing then */
}

Test(round, is_empty_for_somebody_who_serves_no_home)
{
    gw_answer a = gw_do(ANN_COORDINATOR, "GET", "/round", NULL);
    gw_expect_status(&a, 200);
    cr_expect(eq(sz, gw_count_at(&a, "/homes"), 0));
}

Test(round, and_catalogue_is_asked_for_once_a_version)
{
    gw_answer a = gw_do(VERA_OF_A, "GET", "/catalogue", NULL);
    gw_expect_status(&a, 200);
    cr_expect(eq(sz, gw_count_at(&a, "/regions"), 11));
    cr_expect(eq(sz, gw_count_at(&a, "/species"), 11));
    cr_expect(eq(int, gw_count_at(&a, "/signs") > 40, 1));
    const char *tag = gw_text("\"%s\"", gw_at(&a, "/version"));
    cr_expect(eq(int, !!strstr(a.headers, gw_text("ETag: %s", tag)), 1), "%s", a.headers);
    a = gw_send(
        (gw_ask){.who = WILL_OF_B, .method = "GET", .path = "/catalogue", .header = gw_text("If-None-Match: %s", tag)});
    gw_expect_status(&a, 304);
}
