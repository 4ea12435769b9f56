#include <criterion/criterion.h>
#include <criterion/new/assert.h>
#include <stdlib.h>
#include <string.h>

#include "support/world.h"

/* An alert for a new animal that lost this share of its weight in a week. */
static const char *alert_after(double from, double to, const char **animal)
{
    *animal = gw_new_animal((gw_animal_wish){.grams = from, .days_ago = 9, .species = "rabbit", .own_scale = true});
    gw_answer a = gw_weekly(*animal, gw_days_ago(1), to);
    cr_assert(eq(int, gw_count_at(&a, "/alerts") >= 1, 1), "%s", a.text);
    return gw_text("%s", gw_at(&a, "/alerts/0/id"));
}

static gw_answer step(const char *alert, const char *version, const char *fmt_body)
{
    return gw_send((gw_ask){.who = ANN_COORDINATOR,
                            .method = "POST",
                            .path = gw_text("/alerts/%s/steps", alert),
                            .body = fmt_body,
                            .if_match = gw_text("\"%s\"", version)});
}

static const char *version_of(const char *alert)
{
    gw_answer a = gw_do(ANN_COORDINATOR, "GET", gw_text("/alerts/%s", alert), NULL);
    cr_assert(eq(int, a.status, 200));
    cr_expect(eq(int, !!strstr(a.headers, gw_text("ETag: \"%s\"", gw_at(&a, "/alert/version"))), 1), "%s", a.headers);
    return gw_text("%s", gw_at(&a, "/alert/version"));
}

Test(alert, goes_from_waiting_to_in_hand_to_settled)
{
    const char *animal, *alert = alert_after(2100, 1848, &animal);
    gw_answer a = step(alert, version_of(alert), gw_json("{'id':'%s','step':'taken'}", gw_id()));
    gw_expect_status(&a, 201);
    gw_expect_at(&a, "/alert/state", "in_hand");
    gw_expect_at(&a, "/alert/taken_by/id", gw_person(ANN_COORDINATOR));
    a = step(alert, version_of(alert), gw_json("{'id':'%s','step':'note','note':'called, eats well'}", gw_id()));
    gw_expect_status(&a, 201);
    gw_expect_at(&a, "/alert/state", "in_hand");
    a = step(alert, version_of(alert),
             gw_json("{'id':'%s','step':'settled','outcome':'ill','note':'tooth treated'}", gw_id()));
    gw_expect_status(&a, 201);
    gw_expect_at(&a, "/alert/state", "settled");
    a = gw_do(ANN_COORDINATOR, "GET", gw_text("/alerts/%s", alert), NULL);
    cr_expect(eq(sz, gw_count_at(&a, "/steps"), 3));
    gw_expect_at(&a, "/alert/outcome", "ill");
    a = gw_do(ANN_COORDINATOR, "GET", gw_text("/alerts?animal=%s", animal), NULL);
    cr_expect(eq(sz, gw_count_at(&a, "/alerts"), 0));
    a = gw_do(ANN_COORDINATOR, "GET", gw_text("/alerts?state=settled&animal=%s", animal), NULL);
    cr_expect(eq(sz, gw_count_at(&a, "/alerts"), 1));
}

Test(alert, is_settled_only_with_an_outcome)
{
    const char *animal, *alert = alert_after(2100, 1848, &animal), *version = version_of(alert),
                        *before = gw_everything();
    gw_answer a = step(alert, version, gw_json("{'id':'%s','step':'settled'}", gw_id()));
    gw_expect_status(&a, 422);
    cr_expect(eq(int, gw_has_fault(&a, "/outcome"), 1));
    a = step(alert, version, gw_json("{'id':'%s','step':'taken','outcome':'ill'}", gw_id()));
    gw_expect_status(&a, 422);
    a = step(alert, version, gw_json("{'id':'%s','step':'note'}", gw_id()));
    gw_expect_status(&a, 422);
    cr_expect(eq(int, gw_has_fault(&a, "/note"), 1));
    a = step(alert, version, gw_json("{'id':'%s','step':'reopened'}", gw_id()));
    gw_expect_status(&a, 409); /* nothing to reopen */
    cr_expect(eq(str, (char *)gw_everything(), (char *)before));
}

Test(alert, is_changed_only_on_the_version_that_was_seen)
{
    const char *animal, *alert = alert_after(2100, 1848, &animal), *version = version_of(alert);
    const char *id = gw_id(), *body = gw_json("{'id':'%s','step':'taken'}", id);
    gw_answer a = gw_do(ANN_COORDINATOR, "POST", gw_text("/alerts/%s/steps", alert), body);
    gw_expect_status(&a, 428);
    a = step(alert, version, body);
    gw_expect_status(&a, 201);
    const char *before = gw_everything();
    a = step(alert, version, gw_json("{'id':'%s','step':'note','note':'late'}", gw_id()));
    gw_expect_status(&a, 412);
    a = step(alert, version, body);
    gw_expect_status(&a, 200); /* the same step again: a lost reply */
    a = gw_send((gw_ask){.who = ANN_COORDINATOR,
                         .method = "POST",
                         .path = gw_text("/alerts/%s/steps", alert),
                         .body = gw_json("{'id':'%s','step':'taken'}", gw_id()),
                         .if_match = "W/\"1\""});
    gw_expect_status(&a, 412); /* a weak tag matches nothing */
    a = gw_send((gw_ask){.who = ANN_COORDINATOR,
                         .method = "POST",
                         .path = gw_text("/alerts/%s/steps", alert),
                         .body = gw_json("{'id':'%s','step':'taken'}", gw_id()),
                         .if_match = "*"});
    cr_expect(eq(int, a.status == 412 || a.status == 428, 1), "%d", a.status);
    cr_expect(eq(str, (char *)gw_everything(), (char *)before));
}

Test(alert, joins_new_evidence_and_rises)
{
    const char *animal, *alert = alert_after(2100, 1940, &animal);
    gw_answer a = gw_do(ANN_COORDINATOR, "GET", gw_text("/alerts/%s", alert), NULL);
    const char *was = gw_text("%s", gw_at(&a, "/alert/level"));
    step(alert, version_of(alert), gw_json("{'id':'%s','step':'taken'}", gw_id()));
    gw_answer worse = gw_weekly(animal, gw_days_ago(0.01), 1480);
    gw_expect_at(&worse, "/level", "emergency");
    gw_expect_at(&worse, "/alerts/0/id", alert);
    a = gw_do(ANN_COORDINATOR, "GET", gw_text("/alerts/%s", alert), NULL);
    gw_expect_at(&a, "/alert/level", "emergency");
    gw_expect_at(&a, "/alert/was_level", was);
    gw_expect_at(&a, "/alert/state", "waiting"); /* a rise puts it back in front of the coordinator */
    cr_expect(eq(sz, gw_count_at(&a, "/evidence"), 2));
    cr_expect(eq(sz, gw_count_at(&a, "/series"), 3));
}

Test(alert, stands_in_the_list_by_urgency)
{
    static const char *const levels[] = {"steady", "watch", "vet_soon", "same_day", "emergency"};
    const char *animal;
    alert_after(2100, 1940, &animal);
    alert_after(2100, 1600, &animal);
    alert_after(2100, 1848, &animal);
    const char *taken = alert_after(2100, 1600, &animal);
    step(taken, version_of(taken), gw_json("{'id':'%s','step':'taken'}", gw_id()));
    gw_answer a = gw_do(ANN_COORDINATOR, "GET", "/alerts", NULL);
    gw_expect_status(&a, 200);
    int last = 1000;
    for (size_t i = 0; i < gw_count_at(&a, "/alerts"); i++) {
        int rank = 0;
        while (strcmp(levels[rank], gw_at(&a, gw_text("/alerts/%zu/level", i)))) rank++;
        /* emergencies on top whatever their state; then what waits, then what is in hand; within each by level */
        int place = rank == 4 ? 100 : rank;
        if (rank == 4 || !strcmp(gw_at(&a, gw_text("/alerts/%zu/state", i)), "waiting")) place += 50;
        cr_expect(eq(int, place <= last, 1), "row %zu", i);
        last = place;
    }
    cr_expect(eq(int, (int)gw_number_at(&a, "/counts/waiting"),
                 (int)strtol(gw_sql("select count(*) from gw.alert where state = 'waiting'"), NULL, 10)));
    cr_expect(eq(int, (int)gw_number_at(&a, "/counts/in_hand"),
                 (int)strtol(gw_sql("select count(*) from gw.alert where state = 'in_hand'"), NULL, 10)));
}

Test(alert, is_read_by_the_volunteer_of_its_home_and_decided_by_a_coordinator)
{
    const char *animal, *alert = alert_after(2100, 1848, &animal);
    gw_answer a = gw_do(VERA_OF_A, "GET", gw_text("/alerts/%s", alert), NULL);
    gw_expect_status(&a, 200);
    a = gw_do(WILL_OF_B, "GET", gw_text("/alerts/%s", alert), NULL);
    gw_expect_status(&a, 404);
    for (gw_who who = IDA_INTAKE; who <= VERA_OF_A; who++) {
        a = gw_send((gw_ask){.who = who,
                             .method = "POST",
                             .path = gw_text("/alerts/%s/steps", alert),
                             .body = gw_json("{'id':'%s','step':'taken'}", gw_id()),
                             .if_match = "\"1\""});
        gw_expect_status(&a, 403);
    }
}

Test(alert, does_not_settle_itself_when_the_weight_comes_back)
{
    const char *animal, *alert = alert_after(2100, 1848, &animal);
    gw_weekly(animal, gw_days_ago(0.01), 2095);
    gw_answer a = gw_do(ANN_COORDINATOR, "GET", gw_text("/alerts/%s", alert), NULL);
    gw_expect_at(&a, "/alert/state", "waiting");
}
