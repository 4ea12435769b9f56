/* One session on one scale: a bowl not at zero, a common shift, one animal taken for another. */
#include "animal.h"

#include <criterion/criterion.h>
#include <criterion/new/assert.h>

enum { ANIMALS = 5 };
static const double usual[ANIMALS] = {880, 950, 1010, 1090, 1160};

/* The same five sows, six quiet weeks, then this reading each. */
static void session_of(const double grams[ANIMALS], gw_trend_session_item items[ANIMALS])
{
    static const double wobble[] = {0, 0.004, -0.006, 0.003, -0.002, 0.005};
    for (int i = 0; i < ANIMALS; i++) {
        animal a = animal_of(GW_SPECIES_GUINEA_PIG, GW_SEX_FEMALE, GW_STAGE_ADULT);
        for (int week = 0; week < 6; week++) weigh(&a, 7 * week, round(usual[i] * (1 + wobble[(week + i) % 6])));
        weigh(&a, 42, grams[i]);
        items[i] =
            (gw_trend_session_item){.grams = grams[i], .verdict = verdict_of(&a), .species = GW_SPECIES_GUINEA_PIG};
    }
}

Test(trend_session, a_quiet_session_changes_nothing)
{
    gw_trend_session_item items[ANIMALS];
    gw_trend_session s;
    session_of((const double[]){884, 946, 1013, 1088, 1165}, items);
    cr_assert(eq(int, gw_trend_session_judge(ANIMALS, items, &s, NULL), GW_TREND_OK));
    cr_expect(eq(int, s.scale_shift, 0));
    cr_expect(eq(dbl, s.tare_grams, 0));
    cr_expect(lt(dbl, s.tare_share, 0.01));
    cr_expect(eq(int, s.n_used, ANIMALS));
    cr_expect(lt(dbl, s.shift_low, s.shift_pct));
    cr_expect(gt(dbl, s.shift_high, s.shift_pct));
    for (int i = 0; i < ANIMALS; i++) cr_expect(eq(int, items[i].verdict.level, GW_LEVEL_STEADY));
}

Test(trend_session, a_bowl_not_at_zero_explains_all_readings_and_sets_them_aside)
{
    gw_trend_session_item items[ANIMALS];
    gw_trend_session s;
    double grams[ANIMALS];
    for (int i = 0; i < ANIMALS; i++) grams[i] = usual[i] + 214 + (i - 2) * 4;
    session_of(grams, items);
    cr_assert(eq(int, gw_trend_session_judge(ANIMALS, items, &s, NULL), GW_TREND_OK));
    cr_expect(gt(dbl, s.tare_share, 0.9));
    cr_expect(epsilon_eq(dbl, s.tare_grams, 214, 15));
    for (int i = 0; i < ANIMALS; i++) {
        cr_expect(eq(int, items[i].verdict.quality, GW_QUALITY_SET_ASIDE), "animal %d", i);
        cr_expect(eq(int, items[i].verdict.kind, GW_KIND_SCALE), "animal %d", i);
        cr_expect(has(items[i].verdict.reasons, GW_REASON_TARE), "animal %d", i);
    }
}

Test(trend_session, one_animal_may_stand_outside_a_forgotten_tare)
{
    gw_trend_session_item items[ANIMALS];
    gw_trend_session s;
    double grams[ANIMALS];
    for (int i = 0; i < ANIMALS; i++) grams[i] = usual[i] + 150;
    grams[3] = usual[3] + 2;
    session_of(grams, items);
    cr_assert(eq(int, gw_trend_session_judge(ANIMALS, items, &s, NULL), GW_TREND_OK));
    cr_expect(eq(int, items[0].verdict.quality, GW_QUALITY_SET_ASIDE));
    cr_expect(ne(int, items[3].verdict.quality, GW_QUALITY_SET_ASIDE));
}

/* Sows of much the same weight lose much the same grams; the bowl would explain that too. */
Test(trend_session, a_home_that_loses_together_is_not_taken_for_a_forgotten_tare)
{
    gw_trend_session_item items[ANIMALS];
    gw_trend_session s;
    double grams[ANIMALS];
    for (int i = 0; i < ANIMALS; i++) grams[i] = round(usual[i] * (0.93 + 0.004 * (i % 3)));
    session_of(grams, items);
    cr_assert(eq(int, gw_trend_session_judge(ANIMALS, items, &s, NULL), GW_TREND_OK));
    cr_expect(lt(dbl, s.tare_share, 0.5));
    cr_expect(eq(int, s.scale_shift, 1));
    for (int i = 0; i < ANIMALS; i++) {
        cr_expect(ne(int, items[i].verdict.quality, GW_QUALITY_SET_ASIDE), "animal %d", i);
        cr_expect(ge(int, items[i].verdict.level, GW_LEVEL_WATCH), "animal %d", i);
    }
}

Test(trend_session, a_common_shift_is_the_scale_or_the_whole_home)
{
    gw_trend_session_item items[ANIMALS];
    gw_trend_session s;
    double grams[ANIMALS];
    for (int i = 0; i < ANIMALS; i++) grams[i] = round(usual[i] * 0.965);
    session_of(grams, items);
    cr_assert(eq(int, gw_trend_session_judge(ANIMALS, items, &s, NULL), GW_TREND_OK));
    cr_expect(eq(int, s.scale_shift, 1));
    cr_expect(epsilon_eq(dbl, s.shift_pct, -3.5, 0.8));
    for (int i = 0; i < ANIMALS; i++) {
        cr_expect(eq(int, items[i].verdict.kind, GW_KIND_SCALE), "animal %d", i);
        cr_expect(has(items[i].verdict.reasons, GW_REASON_SCALE_SHIFT));
        cr_expect(ge(int, items[i].verdict.level, GW_LEVEL_WATCH));
    }
}

Test(trend_session, a_common_shift_does_not_hide_an_emergency)
{
    gw_trend_session_item items[ANIMALS];
    gw_trend_session s;
    double grams[ANIMALS];
    for (int i = 0; i < ANIMALS; i++) grams[i] = round(usual[i] * 0.965);
    grams[2] = 840;
    session_of(grams, items);
    int32_t before = items[2].verdict.level;
    cr_assert(eq(int, before, GW_LEVEL_EMERGENCY));
    cr_assert(eq(int, gw_trend_session_judge(ANIMALS, items, &s, NULL), GW_TREND_OK));
    cr_expect(eq(int, s.scale_shift, 1));
    cr_expect(eq(int, items[2].verdict.level, GW_LEVEL_EMERGENCY));
    cr_expect(eq(int, items[2].verdict.kind, GW_KIND_LOSS));
}

Test(trend_session, one_animal_that_falls_does_not_move_the_others)
{
    gw_trend_session_item items[ANIMALS];
    gw_trend_session s;
    session_of((const double[]){884, 946, 880, 1088, 1165}, items);
    cr_assert(eq(int, gw_trend_session_judge(ANIMALS, items, &s, NULL), GW_TREND_OK));
    cr_expect(eq(int, s.scale_shift, 0));
    cr_expect(epsilon_eq(dbl, s.shift_pct, 0, 1.2));
    cr_expect(ge(int, items[2].verdict.level, GW_LEVEL_SAME_DAY));
}

Test(trend_session, two_animals_whose_crates_were_swapped_are_asked_again)
{
    gw_trend_session_item items[ANIMALS];
    gw_trend_session s;
    session_of((const double[]){1160, 952, 1008, 1092, 882}, items);
    cr_assert(eq(int, gw_trend_session_judge(ANIMALS, items, &s, NULL), GW_TREND_OK));
    const int swapped[] = {0, 4};
    for (int i = 0; i < 2; i++) {
        const gw_trend_verdict *v = &items[swapped[i]].verdict;
        cr_expect(eq(int, v->quality, GW_QUALITY_SET_ASIDE), "animal %d", swapped[i]);
        cr_expect(has(v->reasons, GW_REASON_OTHER_ANIMAL), "animal %d", swapped[i]);
        cr_expect(eq(int, v->ask_second, 1));
    }
    cr_expect(eq(int, items[1].verdict.quality, GW_QUALITY_PLAIN));
}

Test(trend_session, two_animals_are_too_few_for_a_common_shift)
{
    gw_trend_session_item items[ANIMALS];
    gw_trend_session s;
    double grams[ANIMALS];
    for (int i = 0; i < ANIMALS; i++) grams[i] = round(usual[i] * 0.965);
    session_of(grams, items);
    cr_assert(eq(int, gw_trend_session_judge(2, items, &s, NULL), GW_TREND_OK));
    cr_expect(eq(int, s.scale_shift, 0));
    cr_expect(s.shift_pct != s.shift_pct);
}

Test(trend_session, a_wrong_weight_is_named_and_nothing_is_written)
{
    gw_trend_session_item items[ANIMALS];
    gw_trend_session s = {.n_used = 77};
    size_t at = 99;
    session_of(usual, items);
    items[3].grams = -1;
    items[0].verdict.level = GW_LEVEL_WATCH;
    cr_expect(eq(int, gw_trend_session_judge(ANIMALS, items, &s, &at), GW_TREND_WEIGHT));
    cr_expect(eq(sz, at, 3));
    cr_expect(eq(int, s.n_used, 77));
    cr_expect(eq(int, items[0].verdict.level, GW_LEVEL_WATCH));
    cr_expect(eq(int, gw_trend_session_judge(0, items, &s, &at), GW_TREND_TOO_FEW));
}
