/* Measuring errors: a reading is asked again before it is believed. */
#include "animal.h"

#include <criterion/criterion.h>
#include <criterion/new/assert.h>

static animal steady_sow(void)
{
    animal a = animal_of(GW_SPECIES_GUINEA_PIG, GW_SEX_FEMALE, GW_STAGE_ADULT);
    weigh_weekly(&a, (const double[]){1002, 998, 1010, 1005, 1001, 1007, 0});
    return a;
}

/* ONEILL2024: guinea pigs in UK records weigh 400 to 2660 g. */
Test(trend_errors, a_number_that_no_guinea_pig_can_weigh_is_set_aside_and_asked_again)
{
    const double typed[] = {1.05, 105, 10500};
    for (size_t i = 0; i < sizeof typed / sizeof *typed; i++) {
        animal first = animal_of(GW_SPECIES_GUINEA_PIG, GW_SEX_FEMALE, GW_STAGE_ADULT);
        weigh(&first, 0, typed[i]);
        gw_trend_verdict v = verdict_of(&first);
        cr_expect(eq(int, v.quality, GW_QUALITY_SET_ASIDE), "first: %.2f", typed[i]);
        cr_expect(eq(int, v.ask_second, 1));
        cr_expect(has(v.reasons, GW_REASON_IMPLAUSIBLE));

        animal known = steady_sow();
        weigh_weekly(&known, (const double[]){typed[i], 0});
        v = verdict_of(&known);
        cr_expect(eq(int, v.quality, GW_QUALITY_SET_ASIDE), "known: %.2f", typed[i]);
        cr_expect(eq(int, v.level, GW_LEVEL_STEADY));
    }
}

Test(trend_errors, swapped_and_wrong_digits_are_slips_and_leave_no_trace)
{
    const double slips[] = {1500, 1905, 100, 10050, 2005, 1705};
    for (size_t i = 0; i < sizeof slips / sizeof *slips; i++) {
        animal a = steady_sow();
        weigh_weekly(&a, (const double[]){slips[i], 0});
        gw_trend_verdict v = verdict_of(&a);
        cr_expect(eq(int, v.quality, GW_QUALITY_SET_ASIDE), "%.0f g", slips[i]);
        cr_expect(has(v.reasons, GW_REASON_SLIP), "%.0f g", slips[i]);
        cr_expect(gt(dbl, v.error_share, 0.5));
        weigh_weekly(&a, (const double[]){1003, 0});
        v = verdict_of(&a);
        cr_expect(eq(int, v.level, GW_LEVEL_STEADY), "after %.0f g", slips[i]);
        cr_expect(epsilon_eq(dbl, v.expected, 1003.5, 6), "after %.0f g", slips[i]);
        cr_expect(epsilon_eq(dbl, v.week_grams, 1003 - 1007, 4), "after %.0f g the week is since 1007 g", slips[i]);
    }
}

Test(trend_errors, a_second_reading_that_agrees_turns_doubt_into_an_emergency)
{
    animal a = steady_sow();
    weigh_weekly(&a, (const double[]){805, 0});
    gw_trend_verdict alone = verdict_of(&a);
    cr_expect(eq(int, alone.ask_second, 1));
    a.weighings[a.n - 1].second = 806;
    gw_trend_verdict both = verdict_of(&a);
    cr_expect(lt(dbl, both.error_share, 0.3 * alone.error_share));
    cr_expect(eq(int, both.quality, GW_QUALITY_PLAIN));
    cr_expect(eq(int, both.ask_second, 0));
    cr_expect(eq(int, both.level, GW_LEVEL_EMERGENCY));
}

Test(trend_errors, a_person_who_confirms_counts_for_less_than_a_second_reading)
{
    animal a = steady_sow();
    weigh_weekly(&a, (const double[]){805, 0});
    double alone = verdict_of(&a).error_share;
    a.weighings[a.n - 1].flags = GW_WEIGHING_CONFIRMED;
    double confirmed = verdict_of(&a).error_share;
    a.weighings[a.n - 1].flags = 0;
    a.weighings[a.n - 1].second = 805;
    double second = verdict_of(&a).error_share;
    cr_expect(lt(dbl, confirmed, alone));
    cr_expect(lt(dbl, second, confirmed));
}

Test(trend_errors, a_low_reading_is_asked_for_again_and_a_usual_one_is_not)
{
    animal a = steady_sow();
    weigh_weekly(&a, (const double[]){950, 0});
    cr_expect(eq(int, verdict_of(&a).ask_second, 1));
    a.weighings[a.n - 1].grams = 995;
    cr_expect(eq(int, verdict_of(&a).ask_second, 0));
}

Test(trend_errors, a_new_level_is_believed_when_the_next_weighing_confirms_it)
{
    animal a = steady_sow();
    weigh_weekly(&a, (const double[]){1400, 0});
    cr_expect(eq(int, verdict_of(&a).quality, GW_QUALITY_SET_ASIDE));
    weigh_weekly(&a, (const double[]){1406, 0});
    gw_trend_verdict v = verdict_of(&a);
    cr_expect(has(v.reasons, GW_REASON_NEW_LEVEL));
    cr_expect(epsilon_eq(dbl, v.expected, 1400, 20));
    cr_expect(eq(int, v.level, GW_LEVEL_STEADY));
}

Test(trend_errors, a_fall_that_the_next_weighing_confirms_is_not_forgiven)
{
    animal a = steady_sow();
    weigh_weekly(&a, (const double[]){640, 645, 0});
    gw_trend_verdict v = verdict_of(&a);
    cr_expect(eq(int, v.quality, GW_QUALITY_PLAIN));
    cr_expect(eq(int, v.level, GW_LEVEL_EMERGENCY));
}

Test(trend_errors, what_a_person_set_aside_does_not_count)
{
    animal a = steady_sow();
    weigh_weekly(&a, (const double[]){900, 0});
    a.weighings[a.n - 1].flags = GW_WEIGHING_SET_ASIDE;
    gw_trend_verdict v = verdict_of(&a);
    cr_expect(eq(int, v.quality, GW_QUALITY_SET_ASIDE));
    cr_expect(eq(int, v.level, GW_LEVEL_STEADY));
    weigh_weekly(&a, (const double[]){1000, 0});
    cr_expect(gt(dbl, verdict_of(&a).expected, 990));
}

Test(trend_errors, a_mouse_on_a_kitchen_scale_gets_a_word_about_the_scale)
{
    animal a = animal_of(GW_SPECIES_MOUSE, GW_SEX_MALE, GW_STAGE_ADULT);
    weigh(&a, 0, 18)->step = 1;
    cr_expect(has(verdict_of(&a).reasons, GW_REASON_COARSE_SCALE));
    a.weighings[0].step = 0.1;
    cr_expect(not(has(verdict_of(&a).reasons, GW_REASON_COARSE_SCALE)));
}

Test(trend_errors, a_coarse_step_makes_the_range_wider)
{
    animal fine = animal_of(GW_SPECIES_MOUSE, GW_SEX_MALE, GW_STAGE_ADULT);
    weigh_weekly(&fine, (const double[]){30, 30, 30, 30, 0});
    animal coarse = fine;
    for (size_t i = 0; i < coarse.n; i++) coarse.weighings[i].step = 1;
    gw_trend_verdict f = verdict_of(&fine), c = verdict_of(&coarse);
    cr_expect(gt(dbl, c.high - c.low, 1.2 * (f.high - f.low)));
}
