#include <criterion/criterion.h>
#include <criterion/new/assert.h>
#include <stdlib.h>
#include <string.h>

#include "support/world.h"

static const char *new_home(const char *name)
{
    const char *id = gw_id();
    gw_answer a = gw_do(ANN_COORDINATOR, "PUT", gw_text("/homes/%s", id),
                        gw_json("{'name':'%s','kind':'room','zone':'Europe/Berlin'}", name));
    cr_assert(eq(int, a.status, 201), "%s", a.text);
    return id;
}

Test(home, is_made_changed_and_the_same_again_leaves_no_trace)
{
    const char *path = gw_text("/homes/%s", gw_id());
    const char *body =
        gw_json("{'name':'Larch','kind':'quarantine','zone':'America/Argentina/Buenos_Aires','note':'no stairs'}");
    gw_answer a = gw_do(ANN_COORDINATOR, "PUT", path, body);
    gw_expect_status(&a, 201);
    gw_expect_at(&a, "/home/kind", "quarantine");
    const char *before = gw_everything();
    a = gw_do(ANN_COORDINATOR, "PUT", path, body);
    gw_expect_status(&a, 200);
    cr_expect(eq(str, (char *)gw_everything(), (char *)before));
    a = gw_do(ANN_COORDINATOR, "PUT", path, gw_json("{'name':'Larch','kind':'foster','zone':'UTC'}"));
    gw_expect_status(&a, 200);
    a = gw_do(ANN_COORDINATOR, "GET", path, NULL);
    gw_expect_at(&a, "/home/kind", "foster");
    gw_expect_at(&a, "/home/note", "null");
    cr_expect(eq(str,
                 (char *)gw_sql("select count(*) from gw.audit where what = 'home_set' and subject = '%s'", path + 7),
                 "2"));
}

Test(home, has_a_zone_that_exists_and_a_name_of_its_own)
{
    static const char *const zones[] = {"Europe/Atlantis", "X3", "Berlin", "europe/berlin"};
    for (size_t i = 0; i < sizeof zones / sizeof *zones; i++) {
        gw_answer a = gw_do(ANN_COORDINATOR, "PUT", gw_text("/homes/%s", gw_id()),
                            gw_json("{'name':'Zone','kind':'room','zone':'%s'}", zones[i]));
        gw_expect_status(&a, 422);
        cr_expect(eq(int, gw_has_fault(&a, "/zone"), 1), "%s", zones[i]);
    }
    gw_answer a = gw_do(ANN_COORDINATOR, "PUT", gw_text("/homes/%s", gw_id()),
                        gw_json("{'name':'HOME a','kind':'room','zone':'UTC'}"));
    gw_expect_status(&a, 409);
}

Test(home, sorts_pens_as_people_do)
{
    const char *home = new_home("Pens");
    static const char *const names[] = {"pen 10", "Pen 9", "attic"};
    for (size_t i = 0; i < 3; i++) {
        gw_answer a =
            gw_do(IDA_INTAKE, "PUT", gw_text("/homes/%s/pens/%s", home, gw_id()), gw_json("{'name':'%s'}", names[i]));
        gw_expect_status(&a, 201);
    }
    gw_answer a = gw_do(IDA_INTAKE, "GET", gw_text("/homes/%s", home), NULL);
    gw_expect_at(&a, "/pens/0/name", "attic");
    gw_expect_at(&a, "/pens/1/name", "Pen 9");
    gw_expect_at(&a, "/pens/2/name", "pen 10");
}

Test(home, keeps_a_pen_in_its_home)
{
    const char *home = new_home("Other pens");
    gw_answer a =
        gw_do(IDA_INTAKE, "PUT", gw_text("/homes/%s/pens/%s", home, gw_pen_a()), gw_json("{'name':'Stolen'}"));
    gw_expect_status(&a, 409);
    a = gw_do(IDA_INTAKE, "PUT", gw_text("/homes/%s/pens/%s", gw_home_a(), gw_pen_a()), gw_json("{'name':'Pen 1'}"));
    gw_expect_status(&a, 200);
}

Test(home, is_seen_by_a_volunteer_while_they_serve_it)
{
    const char *home = new_home("Served"), *path = gw_text("/homes/%s", home);
    const char *serve = gw_text("%s/people/%s", path, gw_person(VERA_OF_A)), *from = gw_days_ago(30);
    gw_answer a = gw_do(VERA_OF_A, "GET", path, NULL);
    gw_expect_status(&a, 404);
    a = gw_do(ANN_COORDINATOR, "PUT", serve, gw_json("{'from':'%s'}", from));
    gw_expect_status(&a, 201);
    a = gw_do(VERA_OF_A, "GET", path, NULL);
    gw_expect_status(&a, 200);
    gw_expect_at(&a, "/people/0/name", "Vera of A");
    a = gw_do(ANN_COORDINATOR, "PUT", serve, gw_json("{'from':'%s'}", gw_days_ago(3)));
    gw_expect_status(&a, 409); /* serves it in that period already */
    a = gw_do(ANN_COORDINATOR, "PUT", serve, gw_json("{'from':'%s','to':'%s'}", from, gw_days_ago(1)));
    gw_expect_status(&a, 200);
    a = gw_do(VERA_OF_A, "GET", path, NULL);
    gw_expect_status(&a, 404);
    a = gw_do(ANN_COORDINATOR, "PUT", serve, gw_json("{'from':'%s','to':'%s'}", from, from));
    gw_expect_status(&a, 422);
    cr_expect(eq(int, gw_has_fault(&a, "/to"), 1));
}

Test(home, counts_its_animals_and_tells_the_worst_level)
{
    const char *animal = gw_new_animal((gw_animal_wish){.grams = 1000, .days_ago = 8});
    gw_weekly(animal, gw_days_ago(1), 780); /* more than a fifth */
    gw_answer a = gw_do(VERA_OF_A, "GET", "/homes", NULL);
    gw_expect_at(&a, "/homes/0/id", gw_home_a());
    gw_expect_at(&a, "/homes/0/worst_level", "emergency");
    cr_expect(eq(int, gw_number_at(&a, "/homes/0/animals") >= 1, 1));
    a = gw_do(VERA_OF_A, "GET", gw_text("/homes/%s", gw_home_a()), NULL);
    cr_expect(eq(int, !!strstr(a.text, animal), 1));
    gw_expect_at(&a, "/scales/0/id", gw_scale_a());
}

Test(home, lists_in_pages)
{
    new_home("page 10");
    new_home("page 9");
    const char *seen = "", *path = "/homes?limit=1";
    gw_answer a;
    int pages = 0;
    do {
        a = gw_do(ANN_COORDINATOR, "GET", path, NULL);
        gw_expect_status(&a, 200);
        cr_expect(eq(sz, gw_count_at(&a, "/homes"), 1));
        cr_expect(eq(int, !!strstr(seen, gw_at(&a, "/homes/0/id")), 0), "a home came twice");
        seen = gw_text("%s%s %s|", seen, gw_at(&a, "/homes/0/name"), gw_at(&a, "/homes/0/id"));
        path = gw_text("/homes?limit=1&cursor=%s", gw_at(&a, "/next"));
    } while (strcmp(gw_at(&a, "/next"), "null") && ++pages < 50);
    cr_expect(eq(int, pages + 1, (int)strtol(gw_sql("select count(*) from gw.home"), NULL, 10)));
    cr_expect(eq(int, strstr(seen, "page 9 ") < strstr(seen, "page 10 "), 1), "%s", seen);
}

/* The cell of a region in the newest week. */
static double cell(const gw_answer *a, size_t region, const char *what)
{
    return gw_number_at(a, gw_text("/regions/%zu/cells/%zu/%s", region, gw_count_at(a, "/weeks") - 1, what));
}

Test(home, counts_findings_by_region_and_week_beside_the_rest_of_the_network)
{
    enum { SKIN = 3, TEETH = 10 };
    const char *sign = gw_sql("select code from gw.sign where region = 'skin' and (species is null or 'guinea_pig' = "
                              "any (species)) and not usual order by position limit 1");
    const char *skin = gw_json("{'behaviour':'as_usual','breathing':'as_usual','body':'as_usual','skin':'findings','"
                               "coat':'as_usual','eyes':'as_usual','ears':'as_usual','underside':'as_usual','feet':'as_"
                               "usual','scent':'not_looked_at','teeth':'as_usual'}");
    const char *here = gw_new_animal((gw_animal_wish){.days_ago = 20});
    const char *there =
        gw_new_animal((gw_animal_wish){.home = gw_home_b(), .pen = gw_pen_b(), .scale = gw_scale_b(), .days_ago = 20});
    gw_answer before = gw_do(VERA_OF_A, "GET", gw_text("/homes/%s/findings?weeks=4", gw_home_a()), NULL);
    gw_expect_status(&before, 200);
    cr_expect(eq(sz, gw_count_at(&before, "/weeks"), 4));
    cr_expect(eq(sz, gw_count_at(&before, "/regions"), 11));

    const char *check = gw_id();
    gw_answer a = gw_do(VERA_OF_A, "PUT", gw_text("/checks/%s", check),
                        gw_json("{'animal':'%s','home':'%s','kind':'weekly','at':'%s','answers':%s,'findings':[{'"
                                "sign':'%s','grade':'marked'}],'weighing':null}",
                                here, gw_home_a(), gw_days_ago(0.001), skin, sign));
    gw_expect_status(&a, 201);
    for (int i = 0; i < 2; i++) {
        a = gw_do(
            WILL_OF_B, "PUT", gw_text("/checks/%s", gw_id()),
            gw_json("{'animal':'%s','home':'%s','kind':'weekly','at':'%s','answers':%s,'findings':[],'weighing':null}",
                    there, gw_home_b(), gw_days_ago(0.002), gw_all_as_usual));
        gw_expect_status(&a, 201);
    }
    gw_answer after = gw_do(VERA_OF_A, "GET", gw_text("/homes/%s/findings?weeks=4", gw_home_a()), NULL);
    gw_expect_at(&after, gw_text("/regions/%d/region", SKIN), "skin");
    cr_expect(eq(dbl, cell(&after, SKIN, "looked"), cell(&before, SKIN, "looked") + 1));
    cr_expect(eq(dbl, cell(&after, SKIN, "found"), cell(&before, SKIN, "found") + 1));
    cr_expect(eq(dbl, cell(&after, SKIN, "marked"), cell(&before, SKIN, "marked") + 1));
    cr_expect(eq(dbl, cell(&after, TEETH, "looked"), cell(&before, TEETH, "looked") + 1));
    cr_expect(eq(dbl, cell(&after, TEETH, "found"), cell(&before, TEETH, "found")));
    cr_expect(eq(dbl, cell(&after, SKIN, "expected"), 0)); /* the rest of the network found nothing */
    size_t last = gw_count_at(&after, "/strokes") - 1;
    gw_expect_at(&after, gw_text("/strokes/%zu/check", last), check);
    gw_expect_at(&after, gw_text("/strokes/%zu/sign", last), sign);
    /* Seen from home B the finding of home A is what the rest leads one to expect: its rate times what was looked at.
     */
    a = gw_do(WILL_OF_B, "GET", gw_text("/homes/%s/findings?weeks=4", gw_home_b()), NULL);
    double rate = strtod(gw_sql("select sum(found[4])::float / sum(looked[4]) from gw.home_week where home <> '%s' and "
                                "week > current_date - 28",
                                gw_home_b()),
                         NULL);
    cr_expect(eq(int, rate > 0, 1));
    cr_expect(epsilon_eq(dbl, cell(&a, SKIN, "expected"), rate * cell(&a, SKIN, "looked"), 0.0051));
}
