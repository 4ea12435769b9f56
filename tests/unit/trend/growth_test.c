/* Young animals: growth is not a gain to be told of, and its lack is seen. Sources: tests/reference/SOURCES.md. */
#include "animal.h"

#include <criterion/criterion.h>
#include <criterion/new/assert.h>

static void expect_all_steady(animal *a)
{
    gw_trend_verdict v[ANIMAL_MOST];
    verdicts_of(a, v);
    for (size_t i = 0; i < a->n; i++)
        cr_expect(eq(int, v[i].level, GW_LEVEL_STEADY), "weighing %zu, %.1f g: %s %s", i, a->weighings[i].grams,
                  gw_level_name((gw_level)v[i].level), gw_kind_name((gw_kind)v[i].kind));
}

/* RAMOS: means of 1336 guinea pigs of the Peru breed at birth and after 1, 2 and 3 months. */
Test(trend_growth, a_fast_growing_breed_is_quiet)
{
    animal a = animal_of(GW_SPECIES_GUINEA_PIG, GW_SEX_UNKNOWN, GW_STAGE_UNKNOWN);
    a.subject.birth = 0;
    weigh(&a, 0, 148.58);
    weigh(&a, 30, 399.99);
    weigh(&a, 60, 576.64);
    weigh(&a, 90, 768.94);
    expect_all_steady(&a);
}

/* HARTLEYCHART (weak source): middle of the ranges. */
Test(trend_growth, the_middle_of_a_growth_chart_is_quiet)
{
    animal a = animal_of(GW_SPECIES_GUINEA_PIG, GW_SEX_UNKNOWN, GW_STAGE_UNKNOWN);
    a.subject.birth = 0;
    weigh(&a, 14, 200);
    weigh(&a, 28, 342);
    weigh(&a, 42, 450);
    weigh(&a, 56, 550);
    expect_all_steady(&a);
}

/* SAMPAIO: W(t) = 51 exp{(0.113 / 0.026) [1 - exp(-0.026 t)]}, New Zealand White females. */
Test(trend_growth, a_large_rabbit_breed_is_quiet_until_maturity)
{
    animal a = animal_of(GW_SPECIES_RABBIT, GW_SEX_FEMALE, GW_STAGE_UNKNOWN);
    a.subject.birth = 0;
    for (double day = 7; day <= 154; day += 7) weigh(&a, day, round(51 * exp(0.113 / 0.026 * (1 - exp(-0.026 * day)))));
    expect_all_steady(&a);
}

/* GARGIULO: means of C57BL/6J females, in weeks of age. */
Test(trend_growth, a_small_strain_of_mice_is_quiet)
{
    const double weeks[] = {5, 9, 13, 17, 21, 25, 30};
    const double grams[] = {16.2, 20.0, 21.3, 22.4, 24.0, 26.2, 27.6};
    animal a = animal_of(GW_SPECIES_MOUSE, GW_SEX_FEMALE, GW_STAGE_UNKNOWN);
    a.subject.birth = 0;
    for (size_t i = 0; i < sizeof weeks / sizeof *weeks; i++) weigh(&a, 7 * weeks[i], grams[i]);
    expect_all_steady(&a);
}

/* TAPIE: the logistic of the breed expects 362, 419 and 482 g on these days. */
Test(trend_growth, a_youngster_that_stops_growing_is_a_stall_though_it_lost_nothing)
{
    animal a = animal_of(GW_SPECIES_GUINEA_PIG, GW_SEX_MALE, GW_STAGE_YOUNG);
    weigh(&a, 28, 362);
    weigh(&a, 35, 362);
    weigh(&a, 42, 363);
    gw_trend_verdict v = verdict_of(&a);
    cr_expect(ge(int, v.level, GW_LEVEL_VET_SOON));
    cr_expect(eq(int, v.kind, GW_KIND_STALL));
    cr_expect(eq(int, v.pattern, GW_PATTERN_STALL));
}

/* GPNEO (weak): a newborn guinea pig may lose on its first two days. */
Test(trend_growth, a_newborn_that_loses_for_two_days_and_then_gains_is_quiet)
{
    animal a = animal_of(GW_SPECIES_GUINEA_PIG, GW_SEX_UNKNOWN, GW_STAGE_UNKNOWN);
    a.subject.birth = 0;
    const double grams[] = {98, 95, 92, 96, 103};
    for (int i = 0; i < 5; i++) weigh(&a, i, grams[i]);
    expect_all_steady(&a);
}

Test(trend_growth, a_newborn_that_still_loses_on_the_third_day_is_not)
{
    animal a = animal_of(GW_SPECIES_GUINEA_PIG, GW_SEX_UNKNOWN, GW_STAGE_UNKNOWN);
    a.subject.birth = 0;
    const double grams[] = {98, 94, 90, 86};
    for (int i = 0; i < 4; i++) weigh(&a, i, grams[i]);
    gw_trend_verdict v = verdict_of(&a);
    cr_expect(ge(int, v.level, GW_LEVEL_VET_SOON));
    cr_expect(has(v.reasons, GW_REASON_YOUNG_LOSS));
}

Test(trend_growth, a_youngster_that_loses_is_told_apart_from_one_whose_bladder_was_full)
{
    animal a = animal_of(GW_SPECIES_GUINEA_PIG, GW_SEX_FEMALE, GW_STAGE_YOUNG);
    weigh_weekly(&a, (const double[]){250, 300, 350, 400, 0});
    animal b = a;
    weigh_weekly(&a, (const double[]){385, 0});
    cr_expect(has(verdict_of(&a).reasons, GW_REASON_YOUNG_LOSS));
    cr_expect(ge(int, verdict_of(&a).level, GW_LEVEL_SAME_DAY));
    weigh_weekly(&b, (const double[]){440, 0});
    cr_expect(eq(int, verdict_of(&b).level, GW_LEVEL_STEADY));
}

Test(trend_growth, a_gain_is_told_of_an_adult_and_not_of_a_youngster_or_an_expecting_sow)
{
    animal adult = animal_of(GW_SPECIES_GUINEA_PIG, GW_SEX_FEMALE, GW_STAGE_ADULT);
    weigh_weekly(&adult, (const double[]){900, 905, 898, 902, 901, 960, 0});
    gw_trend_verdict v = verdict_of(&adult);
    cr_expect(eq(int, v.kind, GW_KIND_GAIN));
    cr_expect(eq(int, v.level, GW_LEVEL_WATCH));
    happens(&adult, GW_EVENT_PREGNANT, 20, NAN);
    cr_expect(eq(int, verdict_of(&adult).level, GW_LEVEL_STEADY));
}

Test(trend_growth, a_light_youngster_is_low_for_its_age_when_its_breed_is_known)
{
    animal a = animal_of(GW_SPECIES_RABBIT, GW_SEX_FEMALE, GW_STAGE_UNKNOWN);
    a.subject.birth = 0;
    weigh(&a, 56, 500);
    cr_expect(not(has(verdict_of(&a).reasons, GW_REASON_LOW_FOR_AGE)));
    a.subject.adult_grams = 3936;
    cr_expect(has(verdict_of(&a).reasons, GW_REASON_LOW_FOR_AGE));
    cr_expect(eq(int, verdict_of(&a).level, GW_LEVEL_WATCH));
}
