/* Loss of weight: sudden, slow, after birth, surgery and journeys. Sources: tests/reference/SOURCES.md. */
#include "animal.h"

#include <criterion/criterion.h>
#include <criterion/new/assert.h>
#include <stdlib.h>
#include <string.h>

static animal stable_sow(void)
{
    animal a = animal_of(GW_SPECIES_GUINEA_PIG, GW_SEX_FEMALE, GW_STAGE_ADULT);
    weigh_weekly(&a, (const double[]){1000, 1006, 995, 1003, 998, 1001, 0});
    return a;
}

Test(trend_loss, a_steady_animal_is_steady_and_its_range_holds_the_weighing)
{
    animal a = stable_sow();
    gw_trend_verdict v = verdict_of(&a);
    cr_expect(eq(int, v.level, GW_LEVEL_STEADY));
    cr_expect(eq(int, v.kind, GW_KIND_NONE));
    cr_expect(eq(int, v.quality, GW_QUALITY_PLAIN));
    cr_expect(lt(dbl, v.low, 1001));
    cr_expect(gt(dbl, v.high, 1001));
    cr_expect(lt(dbl, v.low, v.expected));
    cr_expect(gt(dbl, v.high, v.expected));
    cr_expect(epsilon_eq(dbl, v.own_level, 1000, 1e-9));
}

Test(trend_loss, a_sudden_loss_is_found_in_the_week_it_happens)
{
    animal a = stable_sow();
    weigh_weekly(&a, (const double[]){890, 0});
    gw_trend_verdict v = verdict_of(&a);
    cr_expect(ge(int, v.level, GW_LEVEL_SAME_DAY));
    cr_expect(eq(int, v.kind, GW_KIND_LOSS));
    cr_expect(has(v.reasons, GW_REASON_WEEK_PCT));
    cr_expect(eq(int, v.ask_second, 1));
}

/* GLYNX: a steady pattern of loss means a vet though no single week stands out (57 g is its first limit). */
Test(trend_loss, a_slow_fall_is_found_though_no_week_stands_out)
{
    animal a = animal_of(GW_SPECIES_GUINEA_PIG, GW_SEX_UNKNOWN, GW_STAGE_ADULT);
    gw_trend_verdict v[ANIMAL_MOST];
    int fired = 99;
    for (int week = 0; week <= 6; week++) weigh(&a, 7 * week, 1100 - 20 * week);
    verdicts_of(&a, v);
    for (int week = 6; week >= 0; week--) {
        if (v[week].level >= GW_LEVEL_VET_SOON) fired = week;
        cr_expect(not(has(v[week].reasons, GW_REASON_WEEK_PCT | GW_REASON_WEEK_GRAMS)), "week %d", week);
    }
    cr_expect(le(int, fired, 6));
    cr_expect(ge(int, fired, 2), "fired in week %d, before anything can be known", fired);
    cr_expect(has(v[6].reasons, GW_REASON_SLOW_FALL));
    cr_expect(gt(dbl, v[6].weeks_of_fall, 2));
    cr_expect(lt(dbl, v[6].slope_high, 0));
}

/* WILKINSON, UWASH: 10 to 20 % under the stable weight, and 20 % as the limit. */
Test(trend_loss, twenty_per_cent_under_the_own_level_is_an_emergency_and_a_hair_less_is_not)
{
    animal a = animal_of(GW_SPECIES_RABBIT, GW_SEX_FEMALE, GW_STAGE_ADULT);
    weigh_weekly(&a, (const double[]){2000, 2000, 2000, 2000, 2000, 2000, 1860, 1730, 0});
    animal b = a;
    weigh_weekly(&a, (const double[]){1600, 0});
    weigh_weekly(&b, (const double[]){1602, 0});
    cr_expect(eq(dbl, verdict_of(&a).own_level, 2000));
    cr_expect(eq(int, verdict_of(&a).level, GW_LEVEL_EMERGENCY));
    cr_expect(eq(int, verdict_of(&b).level, GW_LEVEL_SAME_DAY));
}

/* WILKINSON: the watch band begins at 5 %. */
Test(trend_loss, five_per_cent_in_a_week_is_watched_at_exactly_five)
{
    animal a = animal_of(GW_SPECIES_MOUSE, GW_SEX_FEMALE, GW_STAGE_ADULT);
    weigh_weekly(&a, (const double[]){30, 28.5, 0});
    cr_expect(eq(int, verdict_of(&a).level, GW_LEVEL_WATCH));
    a.weighings[1].grams = 28.6;
    cr_expect(eq(int, verdict_of(&a).level, GW_LEVEL_STEADY));
}

/* GLYNX: 57, 85 and 113 g a week, for guinea pigs. */
Test(trend_loss, grams_count_for_guinea_pigs_and_for_no_other_species)
{
    const struct {
        double loss;
        gw_level level;
    } limits[] = {{56, GW_LEVEL_STEADY}, {57, GW_LEVEL_WATCH}, {85, GW_LEVEL_VET_SOON}, {113, GW_LEVEL_SAME_DAY}};
    for (size_t i = 0; i < sizeof limits / sizeof *limits; i++) {
        animal a = animal_of(GW_SPECIES_GUINEA_PIG, GW_SEX_MALE, GW_STAGE_ADULT);
        weigh_weekly(&a, (const double[]){2500, 2500 - limits[i].loss, 0});
        cr_expect(eq(int, verdict_of(&a).level, limits[i].level), "%.0f g", limits[i].loss);
    }
    animal rabbit = animal_of(GW_SPECIES_RABBIT, GW_SEX_MALE, GW_STAGE_ADULT);
    weigh_weekly(&rabbit, (const double[]){5400, 5292, 0});
    cr_expect(eq(int, verdict_of(&rabbit).level, GW_LEVEL_STEADY));
}

Test(trend_loss, a_long_gap_is_put_to_seven_days)
{
    animal a = animal_of(GW_SPECIES_RABBIT, GW_SEX_FEMALE, GW_STAGE_ADULT);
    weigh(&a, 0, 2000);
    weigh(&a, 28, 1880);
    gw_trend_verdict v = verdict_of(&a);
    cr_expect(epsilon_eq(dbl, v.week_pct, -1.5, 1e-9));
    cr_expect(epsilon_eq(dbl, v.week_grams, -30, 1e-9));
    cr_expect(not(has(v.reasons, GW_REASON_WEEK_PCT)));
}

/* VETPEDIA by arithmetic: a third to a half of the late weight goes at birth. */
Test(trend_loss, the_fall_at_a_recorded_birth_is_no_loss_and_without_it_an_emergency)
{
    animal a = animal_of(GW_SPECIES_GUINEA_PIG, GW_SEX_FEMALE, GW_STAGE_ADULT);
    happens(&a, GW_EVENT_PREGNANT, 0, NAN);
    weigh(&a, 0, 900);
    weigh(&a, 67, 1750);
    weigh(&a, 68, 1150);
    gw_trend_verdict v = verdict_of(&a);
    cr_expect(eq(int, v.level, GW_LEVEL_EMERGENCY));
    cr_expect(eq(int, v.kind, GW_KIND_LOSS));
    happens(&a, GW_EVENT_GAVE_BIRTH, 68, NAN);
    v = verdict_of(&a);
    cr_expect(eq(int, v.level, GW_LEVEL_STEADY));
    cr_expect(has(v.reasons, GW_REASON_BIRTH));
}

Test(trend_loss, a_birth_nobody_recorded_is_an_emergency_even_if_the_pregnancy_was_not_known)
{
    animal a = animal_of(GW_SPECIES_GUINEA_PIG, GW_SEX_FEMALE, GW_STAGE_ADULT);
    weigh_weekly(&a, (const double[]){900, 930, 990, 1070, 1170, 1290, 1420, 1560, 1700, 1150, 0});
    cr_expect(eq(int, verdict_of(&a).level, GW_LEVEL_EMERGENCY));
}

/* OLIVER: 3 % or at least 10 % in the four days after the operation, by the painkiller. */
Test(trend_loss, a_little_is_lost_after_surgery_and_a_tenth_still_goes_to_the_vet)
{
    animal a = stable_sow();
    happens(&a, GW_EVENT_SURGERY, 35, 35);
    animal b = a;
    weigh(&a, 39, 971);
    cr_expect(eq(int, verdict_of(&a).level, GW_LEVEL_STEADY));
    weigh(&b, 39, 899);
    gw_trend_verdict v = verdict_of(&b);
    cr_expect(ge(int, v.level, GW_LEVEL_SAME_DAY));
    cr_expect(has(v.reasons, GW_REASON_SURGERY));
}

/* LEE2012: rats were 3.7 % down after a day of transport. */
Test(trend_loss, a_journey_costs_a_little)
{
    animal a = animal_of(GW_SPECIES_RAT, GW_SEX_UNKNOWN, GW_STAGE_ADULT);
    a.subject.arrived = 0.5;
    weigh(&a, 0, 300);
    weigh(&a, 1, 285);
    gw_trend_verdict v = verdict_of(&a);
    cr_expect(eq(int, v.level, GW_LEVEL_STEADY));
    cr_expect(has(v.reasons, GW_REASON_ARRIVED));
    a.weighings[1].grams = 268;
    cr_expect(ge(int, verdict_of(&a).level, GW_LEVEL_SAME_DAY));
}

/* NFWS, AHUSA: ferrets lose 30 to 40 % from autumn to spring. */
Test(trend_loss, a_slow_fall_with_the_season_is_watched_and_a_fast_one_is_not)
{
    animal a = animal_of(GW_SPECIES_FERRET, GW_SEX_MALE, GW_STAGE_ADULT);
    gw_trend_verdict v[ANIMAL_MOST];
    for (int week = 0; week <= 22; week++) weigh(&a, 7 * week, round(1400 - 18.2 * week));
    verdicts_of(&a, v);
    for (int week = 0; week <= 22; week++) cr_expect(le(int, v[week].level, GW_LEVEL_WATCH), "week %d", week);
    cr_expect(has(v[22].reasons, GW_REASON_SEASON));
    weigh_weekly(&a, (const double[]){860, 0});
    cr_expect(ge(int, verdict_of(&a).level, GW_LEVEL_SAME_DAY));
}

Test(trend_loss, a_verdict_knows_nothing_of_the_future)
{
    animal a = stable_sow();
    weigh_weekly(&a, (const double[]){940, 905, 880, 1000, 0});
    gw_trend_verdict all[ANIMAL_MOST];
    verdicts_of(&a, all);
    animal b = a;
    for (b.n = 1; b.n <= a.n; b.n++) {
        gw_trend_verdict v = verdict_of(&b);
        cr_expect(eq(int, memcmp(&v, &all[b.n - 1], sizeof v), 0), "weighing %zu", b.n - 1);
    }
}

Test(trend_loss, the_last_sixty_weighings_say_what_all_say)
{
    animal a = animal_of(GW_SPECIES_RABBIT, GW_SEX_FEMALE, GW_STAGE_ADULT);
    for (int i = 0; i < 104; i++) weigh(&a, 7 * i, 2400 + 20 * sin(i) - (i > 95 ? 30 * (i - 95) : 0));
    gw_trend_verdict long_one = verdict_of(&a);
    animal b = a;
    memcpy(b.weighings, a.weighings + 44, 60 * sizeof *b.weighings);
    b.n = 60;
    gw_trend_verdict short_one = verdict_of(&b);
    cr_expect(eq(int, memcmp(&long_one, &short_one, sizeof long_one), 0));
    cr_expect(ge(int, long_one.level, GW_LEVEL_VET_SOON));
}

Test(trend_loss, sensitivity_moves_the_odds_and_not_the_emergencies)
{
    animal a = stable_sow();
    weigh_weekly(&a, (const double[]){962, 0});
    gw_trend_verdict usual = verdict_of(&a);
    a.subject.sensitivity = 1.5;
    gw_trend_verdict keen = verdict_of(&a);
    cr_expect(gt(int, keen.level, usual.level));
    cr_expect(eq(dbl, keen.log_odds, usual.log_odds));
    animal b = stable_sow();
    weigh_weekly(&b, (const double[]){800, 0});
    weigh(&b, 43, 800);
    b.subject.sensitivity = -1.5;
    cr_expect(eq(int, verdict_of(&b).level, GW_LEVEL_EMERGENCY));
}

Test(trend_loss, an_unknown_species_is_judged_by_per_cent)
{
    animal a = animal_of(GW_SPECIES_UNKNOWN, GW_SEX_UNKNOWN, GW_STAGE_ADULT);
    weigh_weekly(&a, (const double[]){640, 645, 638, 641, 0});
    cr_expect(eq(int, verdict_of(&a).level, GW_LEVEL_STEADY));
    weigh_weekly(&a, (const double[]){570, 0});
    cr_expect(ge(int, verdict_of(&a).level, GW_LEVEL_SAME_DAY));
}
