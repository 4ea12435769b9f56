#include <criterion/criterion.h>
#include <criterion/new/assert.h>
#include <string.h>

#include "support/world.h"

static const char *usual_sign(void)
{
    return gw_sql("select code from gw.sign where usual and (species is null or 'guinea_pig' = any (species)) order by "
                  "position limit 1");
}

static gw_answer search(gw_who who, const char *query)
{
    return gw_do(who, "GET", gw_text("/animals?%s", query), NULL);
}

Test(animal, is_found_by_part_of_its_name_and_by_its_tag)
{
    const char *animal = gw_new_animal((gw_animal_wish){.name = "Zephyrine", .grams = 900});
    gw_answer a = search(VERA_OF_A, "q=EPHYR");
    cr_assert(eq(sz, gw_count_at(&a, "/animals"), 1), "%s", a.text);
    gw_expect_at(&a, "/animals/0/id", animal);
    gw_expect_at(&a, "/animals/0/last/grams", "900");
    const char *tag = gw_at(&a, "/animals/0/tag");
    a = search(VERA_OF_A, gw_text("q=%.2s-%s", tag, tag + 2));
    gw_expect_at(&a, "/animals/0/id", animal);
    a = search(WILL_OF_B, "q=EPHYR");
    cr_expect(eq(sz, gw_count_at(&a, "/animals"), 0));
    a = search(VERA_OF_A, "q=100%25"); /* a per cent sign is itself, not a pattern */
    cr_expect(eq(sz, gw_count_at(&a, "/animals"), 0));
    a = search(VERA_OF_A, gw_text("q=EPHYR&home=%s", gw_home_b()));
    cr_expect(eq(sz, gw_count_at(&a, "/animals"), 0));
}

Test(animal, lists_in_pages_without_missing_or_repeating_one)
{
    for (int i = 0; i < 5; i++) gw_new_animal((gw_animal_wish){.name = "Twin"});
    const char *seen = "", *path = "q=Twin&limit=2";
    int n = 0;
    for (int pages = 0; pages < 9; pages++) {
        gw_answer a = search(IDA_INTAKE, path);
        for (size_t i = 0; i < gw_count_at(&a, "/animals"); i++, n++) {
            const char *id = gw_at(&a, gw_text("/animals/%zu/id", i));
            cr_expect(eq(int, !!strstr(seen, id), 0), "came twice");
            seen = gw_text("%s %s", seen, id);
        }
        if (!strcmp(gw_at(&a, "/next"), "null")) break;
        path = gw_text("q=Twin&limit=2&cursor=%s", gw_at(&a, "/next"));
    }
    cr_expect(eq(int, n, 5));
}

Test(animal, has_known_normals_that_are_replaced_and_never_overwritten)
{
    const char *animal = gw_new_animal((gw_animal_wish){0}), *sign = usual_sign(), *first = gw_id();
    const char *path = gw_text("/animals/%s/known-normals/%s", animal, first);
    const char *body = gw_json("{'sign':'%s','up_to':'slight','said_by':'former owner'}", sign);
    gw_answer a = gw_do(VERA_OF_A, "PUT", path, body);
    gw_expect_status(&a, 201);
    const char *before = gw_everything();
    a = gw_do(VERA_OF_A, "PUT", path, body);
    gw_expect_status(&a, 200);
    a = gw_do(VERA_OF_A, "PUT", path, gw_json("{'sign':'%s','up_to':'marked','said_by':'former owner'}", sign));
    gw_expect_status(&a, 409); /* the id is taken */
    a = gw_do(VERA_OF_A, "PUT", gw_text("/animals/%s/known-normals/%s", animal, gw_id()), body);
    gw_expect_status(&a, 409); /* a volunteer adds, intake staff replace */
    cr_expect(eq(str, (char *)gw_everything(), (char *)before));
    a = gw_do(ANN_COORDINATOR, "PUT", gw_text("/animals/%s/known-normals/%s", animal, gw_id()),
              gw_json("{'sign':'%s','up_to':'marked','vet_confirmed':true}", sign));
    gw_expect_status(&a, 201);
    a = gw_do(VERA_OF_A, "GET", gw_text("/animals/%s", animal), NULL);
    cr_expect(eq(sz, gw_count_at(&a, "/known_normals"), 1));
    gw_expect_at(&a, "/known_normals/0/vet_confirmed", "true");
    cr_expect(eq(str,
                 (char *)gw_sql("select up_to || (ended_at is not null) from gw.known_normal where id = '%s'", first),
                 "slighttrue"));
}

Test(animal, has_a_vets_word_only_from_a_coordinator)
{
    const char *animal = gw_new_animal((gw_animal_wish){0});
    const char *body = gw_json("{'sign':'%s','up_to':'slight','vet_confirmed':true}", usual_sign());
    const char *before = gw_everything();
    gw_answer a = gw_do(VERA_OF_A, "PUT", gw_text("/animals/%s/known-normals/%s", animal, gw_id()), body);
    gw_expect_status(&a, 403);
    a = gw_do(IDA_INTAKE, "PUT", gw_text("/animals/%s/known-normals/%s", animal, gw_id()), body);
    gw_expect_status(&a, 403);
    a = gw_do(VERA_OF_A, "PUT", gw_text("/animals/%s/known-normals/%s", animal, gw_id()),
              gw_json("{'sign':'no_such_sign','up_to':'slight'}"));
    gw_expect_status(&a, 422);
    cr_expect(eq(int, gw_has_fault(&a, "/sign"), 1));
    cr_expect(eq(str, (char *)gw_everything(), (char *)before));
}

Test(animal, has_events_that_intake_staff_may_end)
{
    const char *animal = gw_new_animal((gw_animal_wish){0});
    const char *path = gw_text("/animals/%s/events/%s", animal, gw_id());
    gw_answer a = gw_do(VERA_OF_A, "PUT", path, gw_json("{'event':'pregnant','from':'2026-09-01'}"));
    gw_expect_status(&a, 201);
    a = gw_do(VERA_OF_A, "PUT", path, gw_json("{'event':'pregnant','from':'2026-09-01'}"));
    gw_expect_status(&a, 200);
    a = gw_do(VERA_OF_A, "PUT", path, gw_json("{'event':'pregnant','from':'2026-09-01','to':'2026-11-07'}"));
    gw_expect_status(&a, 409);
    a = gw_do(IDA_INTAKE, "PUT", path, gw_json("{'event':'pregnant','from':'2026-09-01','to':'2026-11-07'}"));
    gw_expect_status(&a, 200);
    gw_expect_at(&a, "/event/to", "2026-11-07");
    a = gw_do(VERA_OF_A, "GET", gw_text("/animals/%s", animal), NULL);
    gw_expect_at(&a, "/events/0/to", "2026-11-07");
    a = gw_do(IDA_INTAKE, "PUT", path, gw_json("{'event':'surgery','from':'2026-09-01'}"));
    gw_expect_status(&a, 409);
}

Test(animal, has_no_events_at_times_that_cannot_be)
{
    const char *path = gw_text("/animals/%s/events/%s", gw_new_animal((gw_animal_wish){0}), gw_id()),
               *before = gw_everything();
    gw_answer a = gw_do(VERA_OF_A, "PUT", path, gw_json("{'event':'surgery','from':'2026-03-09','to':'2026-03-08'}"));
    gw_expect_status(&a, 422);
    cr_expect(eq(int, gw_has_fault(&a, "/to"), 1));
    a = gw_do(VERA_OF_A, "PUT", path, gw_json("{'event':'surgery','from':'%.10s'}", gw_days_ago(-5)));
    cr_expect(eq(int, gw_has_fault(&a, "/from"), 1));
    a = gw_do(VERA_OF_A, "PUT", path, gw_json("{'event':'surgery','from':'1999-12-31'}"));
    cr_expect(eq(int, gw_has_fault(&a, "/from"), 1));
    a = gw_do(VERA_OF_A, "PUT", path, gw_json("{'event':'surgery','from':'2026-02-29'}"));
    cr_expect(eq(int, gw_has_fault(&a, "/from"), 1));
    cr_expect(eq(str, (char *)gw_everything(), (char *)before));
}

Test(animal, shows_its_checks_newest_first)
{
    const char *animal = gw_new_animal((gw_animal_wish){.grams = 900, .days_ago = 20});
    for (int week = 2; week >= 0; week--) gw_weekly(animal, gw_days_ago(7.0 * week + 1), 900 + week);
    gw_answer a = gw_do(VERA_OF_A, "GET", gw_text("/animals/%s/history", animal), NULL);
    gw_expect_status(&a, 200);
    cr_expect(eq(sz, gw_count_at(&a, "/checks"), 4));
    gw_expect_at(&a, "/checks/0/weighing/grams", "900");
    gw_expect_at(&a, "/checks/3/kind", "baseline");
    a = gw_do(VERA_OF_A, "GET", gw_text("/animals/%s/history?limit=1", animal), NULL);
    cr_expect(eq(sz, gw_count_at(&a, "/checks"), 1));
    gw_expect_at(&a, "/checks/0/weighing/grams", "900");
}
