/* What the header promises of wrong input: a status, the index, and nothing written. */
#include "animal.h"

#include <criterion/criterion.h>
#include <criterion/new/assert.h>
#include <stdlib.h>
#include <string.h>

static animal sound(void)
{
    animal a = animal_of(GW_SPECIES_RABBIT, GW_SEX_FEMALE, GW_STAGE_ADULT);
    weigh_weekly(&a, (const double[]){2000, 2010, 1990, 2005, 0});
    happens(&a, GW_EVENT_SURGERY, 3, 4);
    happens(&a, GW_EVENT_PREGNANT, 5, NAN);
    a.subject.events = a.events;
    return a;
}

static void expect_refusal(animal *a, gw_trend_status status, size_t index)
{
    gw_trend_verdict out[ANIMAL_MOST], untouched[ANIMAL_MOST];
    memset(out, 0x5a, sizeof out);
    memset(untouched, 0x5a, sizeof untouched);
    void *workspace = malloc(gw_trend_workspace_size(a->n));
    cr_assert(workspace != NULL);
    a->subject.events = a->events;
    size_t at = 99;
    cr_expect(eq(int, gw_trend_assess(&a->subject, a->n, a->weighings, 0, workspace, out, &at), status));
    cr_expect(eq(sz, at, index));
    cr_expect(eq(int, memcmp(out, untouched, sizeof out), 0), "something was written");
    cr_expect(eq(int, gw_trend_assess(&a->subject, a->n, a->weighings, 0, workspace, out, NULL), status));
    free(workspace);
}

Test(trend_refuse, a_weight_that_is_none)
{
    const double wrong[] = {NAN, INFINITY, -INFINITY, 0, -5, 0.09, 30000.1};
    for (size_t i = 0; i < sizeof wrong / sizeof *wrong; i++) {
        animal a = sound();
        a.weighings[2].grams = wrong[i];
        expect_refusal(&a, GW_TREND_WEIGHT, 2);
    }
}

Test(trend_refuse, a_second_reading_that_is_none)
{
    const double wrong[] = {INFINITY, 0, -5, 40000};
    for (size_t i = 0; i < sizeof wrong / sizeof *wrong; i++) {
        animal a = sound();
        a.weighings[3].second = wrong[i];
        expect_refusal(&a, GW_TREND_WEIGHT, 3);
    }
}

Test(trend_refuse, a_time_that_is_none_or_runs_backwards)
{
    const double wrong[] = {NAN, INFINITY, -INFINITY, 6.9};
    for (size_t i = 0; i < sizeof wrong / sizeof *wrong; i++) {
        animal a = sound();
        a.weighings[2].at = wrong[i];
        expect_refusal(&a, GW_TREND_TIME, 2);
    }
}

Test(trend_refuse, a_step_that_is_none)
{
    const double wrong[] = {0, -1, INFINITY};
    for (size_t i = 0; i < sizeof wrong / sizeof *wrong; i++) {
        animal a = sound();
        a.weighings[1].step = wrong[i];
        expect_refusal(&a, GW_TREND_STEP, 1);
    }
}

Test(trend_refuse, an_event_of_unknown_kind_or_one_that_ends_before_it_begins)
{
    animal a = sound();
    a.events[1].event = GW_EVENT_COUNT;
    expect_refusal(&a, GW_TREND_EVENT, 1);
    a = sound();
    a.events[1].event = -1;
    expect_refusal(&a, GW_TREND_EVENT, 1);
    a = sound();
    a.events[0].to = 2;
    expect_refusal(&a, GW_TREND_EVENT, 0);
    a = sound();
    a.events[0].from = NAN;
    expect_refusal(&a, GW_TREND_EVENT, 0);
}

Test(trend_refuse, an_unknown_species_and_options_outside_their_range)
{
    animal a = sound();
    a.subject.species = GW_SPECIES_COUNT;
    expect_refusal(&a, GW_TREND_SPECIES, 0);
    a = sound();
    a.subject.species = -2;
    expect_refusal(&a, GW_TREND_SPECIES, 0);
    a = sound();
    a.subject.sex = 3;
    expect_refusal(&a, GW_TREND_OPTION, 0);
    a = sound();
    a.subject.stage = -1;
    expect_refusal(&a, GW_TREND_OPTION, 0);
    a = sound();
    a.subject.birth = INFINITY;
    expect_refusal(&a, GW_TREND_OPTION, 0);
    a = sound();
    a.subject.adult_grams = 0;
    expect_refusal(&a, GW_TREND_OPTION, 0);
    a = sound();
    a.subject.sensitivity = NAN;
    expect_refusal(&a, GW_TREND_OPTION, 0);
    a = sound();
    a.subject.sensitivity = 1.6;
    expect_refusal(&a, GW_TREND_OPTION, 0);
}

Test(trend_refuse, no_weighings_or_a_first_one_behind_the_last)
{
    animal a = sound();
    a.n = 0;
    expect_refusal(&a, GW_TREND_TOO_FEW, 0);
    a = sound();
    size_t at = 99;
    gw_trend_verdict v;
    void *workspace = malloc(gw_trend_workspace_size(a.n));
    cr_expect(eq(int, gw_trend_assess(&a.subject, a.n, a.weighings, a.n, workspace, &v, &at), GW_TREND_OPTION));
    cr_expect(eq(sz, at, a.n));
    free(workspace);
}

Test(trend_refuse, equal_times_are_allowed)
{
    animal a = sound();
    weigh(&a, 21, 2004);
    weigh(&a, 21, 2003);
    cr_expect(eq(int, verdict_of(&a).level, GW_LEVEL_STEADY));
}

/* Random but sound input: every number is finite or NAN, every enum inside its range. */
Test(trend_refuse, strange_series_give_sound_verdicts)
{
    uint64_t seed = 20261125;
    for (int turn = 0; turn < 400; turn++) {
        animal a = animal_of((gw_species)(turn % 12 - 1), (gw_sex)(turn % 3), (gw_stage)(turn % 4));
        double day = 0;
        int n = 1 + turn % 90;
        for (int i = 0; i < n; i++) {
            seed = seed * 6364136223846793005u + 1442695040888963407u;
            double u = (double)(seed >> 11) / 9007199254740992.0;
            day += i % 7 == 0 ? 0 : 40 * u * u;
            weigh(&a, day, exp(-2.2 + 12.5 * u));
        }
        gw_trend_verdict v[ANIMAL_MOST];
        verdicts_of(&a, v);
        for (int i = 0; i < n; i++) {
            cr_assert(not(isinf(v[i].expected) || isinf(v[i].log_odds) || isinf(v[i].slope_pct_week)), "%d/%d", turn,
                      i);
            cr_assert(v[i].error_share >= 0 && v[i].error_share <= 1);
            cr_assert(v[i].level >= GW_LEVEL_STEADY && v[i].level <= GW_LEVEL_EMERGENCY);
            cr_assert(v[i].kind >= GW_KIND_NONE && v[i].kind <= GW_KIND_SCALE);
            cr_assert(v[i].quality >= GW_QUALITY_PLAIN && v[i].quality <= GW_QUALITY_SET_ASIDE);
            cr_assert(v[i].pattern >= GW_PATTERN_NONE && v[i].pattern <= GW_PATTERN_STALL);
        }
    }
}

Test(trend_refuse, a_time_in_the_wrong_unit)
{
    const double wrong[] = {1.7e9, -3000001, 1e300}; /* seconds for days, and further */
    for (size_t i = 0; i < sizeof wrong / sizeof *wrong; i++) {
        animal a = sound();
        a.weighings[3].at = wrong[i];
        expect_refusal(&a, GW_TREND_TIME, 3);
    }
}

Test(trend_refuse, one_weighing_is_judged_by_what_the_species_can_weigh)
{
    animal a = animal_of(GW_SPECIES_RABBIT, GW_SEX_FEMALE, GW_STAGE_ADULT);
    weigh(&a, 0, 2000);
    gw_trend_verdict v = verdict_of(&a);
    cr_expect(eq(int, v.level, GW_LEVEL_STEADY));
    cr_expect(has(v.reasons, GW_REASON_FIRST));
    cr_expect(isnan(v.expected) && isnan(v.low) && isnan(v.week_pct) && isnan(v.slope_pct_week));
}

Test(trend_refuse, a_birth_after_a_weighing_and_events_that_overlap_are_taken_as_they_are)
{
    animal plain = sound();
    plain.subject.n_events = 0;
    animal unborn = plain;
    unborn.subject.birth = 10; /* between the second weighing and the third: the age is then below nought */
    gw_trend_verdict v = verdict_of(&unborn);
    cr_expect(isfinite(v.expected) && v.low <= v.expected && v.expected <= v.high);

    animal twice = plain;
    happens(&twice, GW_EVENT_SURGERY, 10, 16);
    animal once = twice;
    happens(&twice, GW_EVENT_SURGERY, 12, 30);
    happens(&twice, GW_EVENT_SURGERY, 12, 30);
    gw_trend_verdict one = verdict_of(&once), many = verdict_of(&twice);
    cr_expect(has(many.reasons, GW_REASON_SURGERY));
    cr_expect(ge(dbl, many.high - many.low, one.high - one.low), "more events, no narrower range");
    cr_expect(eq(int, many.level, GW_LEVEL_STEADY));
}

/* The last of ten thousand is judged from its window alone, in the same 64 KiB. */
Test(trend_refuse, ten_thousand_weighings)
{
    enum { MANY = 10000 };
    static gw_trend_weighing weighings[MANY];
    for (int i = 0; i < MANY; i++)
        weighings[i] = (gw_trend_weighing){
            .at = i, .grams = 2000 + 10 * (i % 3), .second = NAN, .step = NAN, .scale = -1, .mouth_looked = 7};
    animal a = sound();
    a.subject.events = a.events;
    gw_trend_verdict whole, window;
    cr_assert(le(sz, gw_trend_workspace_size(MANY), (size_t)65536));
    void *workspace = malloc(gw_trend_workspace_size(MANY));
    cr_assert(workspace != NULL);
    cr_assert(eq(int, gw_trend_assess(&a.subject, MANY, weighings, MANY - 1, workspace, &whole, NULL), GW_TREND_OK));
    cr_assert(eq(int,
                 gw_trend_assess(&a.subject, GW_TREND_WINDOW, weighings + MANY - GW_TREND_WINDOW, GW_TREND_WINDOW - 1,
                                 workspace, &window, NULL),
                 GW_TREND_OK));
    cr_expect(eq(int, memcmp(&whole, &window, sizeof whole), 0));
    cr_expect(eq(int, whole.level, GW_LEVEL_STEADY));
    weighings[9999].grams = NAN;
    size_t at = 0;
    cr_expect(eq(int, gw_trend_assess(&a.subject, MANY, weighings, 0, workspace, &whole, &at), GW_TREND_WEIGHT));
    cr_expect(eq(sz, at, (size_t)9999));
    free(workspace);
}
