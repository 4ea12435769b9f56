#include <criterion/criterion.h>
#include <criterion/new/assert.h>
#include <string.h>

#include "support/world.h"

static const char *test_body(const char *scale, double days_ago, double mass, double reading)
{
    return gw_json("{'scale':'%s','at':'%s','mass':%.1f,'reading':%.1f}", scale, gw_days_ago(days_ago), mass, reading);
}

static gw_answer test(const char *scale, double days_ago, double mass, double reading)
{
    gw_answer a =
        gw_do(VERA_OF_A, "PUT", gw_text("/scale-tests/%s", gw_id()), test_body(scale, days_ago, mass, reading));
    cr_assert(eq(int, a.status, 201), "%s", a.text);
    return a;
}

/* Class III of OIML R 76 in service: 2 steps up to 2000 steps, 3 above [OIMLTAB tables read; UKNAWI paragraph read]. */
Test(scale, passes_a_test_within_the_error_that_its_step_allows)
{
    static const struct {
        double mass, reading;
        const char *passed;
    } cases[] = {{1000, 1002, "true"}, {1000, 1003, "false"}, {1000, 998, "true"}, {1000, 997, "false"},
                 {3000, 3003, "true"}, {3000, 3004, "false"}, {500, 501, "true"},  {500, 502, "false"}};
    const char *scale = gw_new_scale(1);
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        gw_answer a = test(scale, 8 - (double)i * 0.5, cases[i].mass, cases[i].reading);
        cr_expect(eq(str, (char *)gw_at(&a, "/test/passed"), (char *)cases[i].passed), "%g reads %g", cases[i].mass,
                  cases[i].reading);
    }
}

Test(scale, has_an_alert_after_a_failed_test_and_none_after_a_passed_one)
{
    const char *scale = gw_new_scale(1);
    gw_answer a = test(scale, 3, 1000, 1010);
    gw_expect_at(&a, "/test/passed", "false");
    gw_expect_at(&a, "/alerts/0/kind", "scale");
    gw_expect_at(&a, "/alerts/0/level", "watch");
    gw_expect_at(&a, "/alerts/0/state", "waiting");
    const char *alert = gw_text("%s", gw_at(&a, "/alerts/0/id"));
    a = test(scale, 2, 1000, 1011);
    gw_expect_at(&a, "/alerts/0/id", alert); /* it joins the open one */
    a = gw_do(VERA_OF_A, "GET", gw_text("/scales/%s", scale), NULL);
    gw_expect_at(&a, "/open_alerts/0/id", alert);
    gw_expect_at(&a, "/last_test/reading", "1011");
    a = test(scale, 2.5, 1000, 1000); /* passed, but before the newest failure: says nothing of it */
    gw_expect_at(&a, "/alerts/0/state", "waiting");
    a = test(scale, 1, 1000, 1001);
    gw_expect_at(&a, "/alerts/0/id", alert);
    gw_expect_at(&a, "/alerts/0/state", "settled");
    a = gw_do(VERA_OF_A, "GET", gw_text("/scales/%s", scale), NULL);
    cr_expect(eq(sz, gw_count_at(&a, "/open_alerts"), 0));
    cr_expect(eq(sz, gw_count_at(&a, "/tests"), 4));
    a = gw_do(ANN_COORDINATOR, "GET", gw_text("/alerts/%s", alert), NULL);
    gw_expect_at(&a, "/alert/outcome", "measuring_error");
}

Test(scale, does_not_alert_for_a_failure_that_a_later_test_has_overtaken)
{
    const char *scale = gw_new_scale(1);
    test(scale, 1, 1000, 1000);
    gw_answer a = test(scale, 3, 1000, 1010); /* sent late */
    gw_expect_at(&a, "/test/passed", "false");
    cr_expect(eq(sz, gw_count_at(&a, "/alerts"), 0));
}

Test(scale, takes_a_test_once)
{
    const char *scale = gw_new_scale(1), *path = gw_text("/scale-tests/%s", gw_id()),
               *body = test_body(scale, 1, 1000, 1009);
    gw_answer first = gw_do(VERA_OF_A, "PUT", path, body);
    gw_expect_status(&first, 201);
    const char *before = gw_everything();
    gw_answer again = gw_do(VERA_OF_A, "PUT", path, body);
    gw_expect_status(&again, 200);
    cr_expect(eq(str, (char *)again.text, (char *)first.text));
    again = gw_do(VERA_OF_A, "PUT", path, test_body(scale, 1, 1000, 1000));
    gw_expect_status(&again, 409);
    again = gw_do(VERA_OF_A, "PUT", gw_text("/scale-tests/%s", gw_id()), test_body(scale, 1, 6000, 6000));
    gw_expect_status(&again, 422); /* more than it can weigh */
    cr_expect(eq(int, gw_has_fault(&again, "/mass"), 1));
    again = gw_do(VERA_OF_A, "PUT", gw_text("/scale-tests/%s", gw_id()), test_body(scale, -1, 1000, 1000));
    cr_expect(eq(int, gw_has_fault(&again, "/at"), 1));
    cr_expect(eq(str, (char *)gw_everything(), (char *)before));
}

/* Five animals of one scale, small and large: weighed for five weeks, then once more, each as wrong() says. */
static const char *weigh_together(double (*wrong)(double grams), gw_answer *last)
{
    static const struct {
        const char *species;
        double grams;
    } animals[] = {{"rat", 400}, {"rabbit", 2500}, {"chinchilla", 550}, {"guinea_pig", 950}, {"rabbit", 3200}};
    enum { N = sizeof animals / sizeof *animals };
    const char *scale = gw_new_scale(1), *ids[N];
    for (int i = 0; i < N; i++) {
        ids[i] = gw_new_animal((gw_animal_wish){.species = animals[i].species,
                                                .extra = gw_json(",'stage':'adult'"),
                                                .grams = animals[i].grams,
                                                .scale = scale,
                                                .days_ago = 60});
        for (int week = 5; week >= 1; week--)
            gw_weekly(ids[i], gw_days_ago(7.0 * week + 1 + i / 100.0), animals[i].grams + (week * 7 + i * 3) % 5);
    }
    for (int i = 0; i < N; i++) *last = gw_weekly(ids[i], gw_days_ago(1 + i / 100.0), wrong(animals[i].grams));
    return scale;
}

static double five_per_cent_up(double grams)
{
    return grams * 1.05;
}

static double sixty_grams_up(double grams)
{
    return grams + 60;
}

Test(scale, shows_the_common_shift_of_a_session)
{
    gw_answer a;
    const char *scale = weigh_together(five_per_cent_up, &a);
    gw_expect_at(&a, "/check/verdict/kind", "scale");
    a = gw_do(VERA_OF_A, "GET", gw_text("/scales/%s", scale), NULL);
    gw_expect_status(&a, 200);
    gw_expect_at(&a, "/open_alerts/0/kind", "scale");
    gw_expect_at(&a, "/sessions/0/animals", "5");
    gw_expect_at(&a, "/sessions/0/scale_shift", "true");
    cr_expect(epsilon_eq(dbl, gw_number_at(&a, "/sessions/0/shift_pct"), 5, 1));
    gw_expect_at(&a, "/sessions/1/animals", "5");
    gw_expect_at(&a, "/sessions/1/scale_shift", "false");
    cr_expect(epsilon_eq(dbl, gw_number_at(&a, "/sessions/1/shift_pct"), 0, 1));
}

Test(scale, shows_a_bowl_that_was_not_at_zero)
{
    gw_answer a;
    const char *scale = weigh_together(sixty_grams_up, &a);
    gw_expect_at(&a, "/check/verdict/quality", "set_aside");
    a = gw_do(VERA_OF_A, "GET", gw_text("/scales/%s", scale), NULL);
    gw_expect_at(&a, "/sessions/0/scale_shift", "false");
    cr_expect(epsilon_eq(dbl, gw_number_at(&a, "/sessions/0/tare_grams"), 60, 15), "%s", a.text);
    cr_expect(eq(int, gw_number_at(&a, "/sessions/0/tare_share") > 0.5, 1), "%s", a.text);
}

Test(scale, is_changed_and_listed)
{
    const char *scale = gw_new_scale(0.5), *path = gw_text("/scales/%s", scale);
    gw_answer a = gw_do(IDA_INTAKE, "PUT", path,
                        gw_json("{'home':'%s','name':'Jeweller','step':0.1,'capacity':500}", gw_home_b()));
    gw_expect_status(&a, 200);
    a = gw_do(WILL_OF_B, "GET", "/scales", NULL);
    cr_expect(eq(int, !!strstr(a.text, scale), 1));
    a = gw_do(VERA_OF_A, "GET", "/scales", NULL);
    cr_expect(eq(int, !!strstr(a.text, scale), 0));
    a = gw_do(IDA_INTAKE, "PUT", gw_text("/scales/%s", gw_id()),
              gw_json("{'home':'%s','name':'jeweller','step':1,'capacity':500}", gw_home_b()));
    gw_expect_status(&a, 409);
    a = gw_do(ANN_COORDINATOR, "GET", gw_text("/scales?home=%s&limit=1", gw_home_b()), NULL);
    gw_expect_at(&a, "/scales/0/name", "Jeweller");
    a = gw_do(ANN_COORDINATOR, "GET", gw_text("/scales?home=%s&limit=1&cursor=%s", gw_home_b(), gw_at(&a, "/next")),
              NULL);
    gw_expect_at(&a, "/scales/0/id", gw_scale_b());
    gw_expect_at(&a, "/next", "null");
}
