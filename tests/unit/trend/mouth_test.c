/* Signs of the mouth and the weight together. DENTWEB, RVNGP: drool and dropped food point at the cheek teeth. */
#include "animal.h"

#include <criterion/criterion.h>
#include <criterion/new/assert.h>

static animal sow(void)
{
    animal a = animal_of(GW_SPECIES_GUINEA_PIG, GW_SEX_FEMALE, GW_STAGE_ADULT);
    weigh_weekly(&a, (const double[]){1002, 998, 1010, 1005, 1001, 985, 970, 0});
    return a;
}

Test(trend_mouth, drool_and_dropped_food_turn_a_small_loss_into_dental)
{
    animal plain = sow(), dental = sow();
    for (size_t i = 5; i < 7; i++) dental.weighings[i].mouth_seen = GW_MOUTH_CHIN | GW_MOUTH_FOOD;
    gw_trend_verdict without = verdict_of(&plain), with = verdict_of(&dental);
    cr_expect(lt(int, without.level, GW_LEVEL_VET_SOON));
    cr_expect(ge(int, with.level, GW_LEVEL_VET_SOON));
    cr_expect(eq(int, with.kind, GW_KIND_DENTAL));
    cr_expect(has(with.reasons, GW_REASON_MOUTH));
    cr_expect(gt(dbl, with.mouth_log_odds, 1));
    cr_expect(eq(dbl, without.mouth_log_odds, 0));
}

Test(trend_mouth, the_evidence_fades_and_has_a_ceiling)
{
    animal a = sow();
    for (size_t i = 0; i < a.n; i++) a.weighings[i].mouth_seen = 7;
    double most = verdict_of(&a).mouth_log_odds;
    cr_expect(le(dbl, most, 5.5));
    weigh(&a, 42 + 70, 1000)->mouth_looked = 0;
    double later = verdict_of(&a).mouth_log_odds;
    cr_expect(epsilon_eq(dbl, later, most * pow(0.9, 10), 1e-9));
}

Test(trend_mouth, a_mouth_looked_at_and_as_usual_speaks_against)
{
    animal looked = sow(), not_looked = sow();
    looked.weighings[4].mouth_seen = not_looked.weighings[4].mouth_seen = GW_MOUTH_FOOD;
    for (size_t i = 5; i < 7; i++) not_looked.weighings[i].mouth_looked = 0;
    cr_expect(lt(dbl, verdict_of(&looked).mouth_log_odds, verdict_of(&not_looked).mouth_log_odds));
}

Test(trend_mouth, an_animal_that_always_shows_a_sign_says_less_by_it)
{
    animal rare = sow(), often = sow();
    for (size_t i = 0; i < 6; i++) often.weighings[i].mouth_seen = GW_MOUTH_FOOD;
    animal often_before = often;
    often_before.n--;
    rare.weighings[6].mouth_seen = often.weighings[6].mouth_seen = GW_MOUTH_FOOD;
    double first_time = verdict_of(&rare).mouth_log_odds;
    double once_more = verdict_of(&often).mouth_log_odds - 0.9 * verdict_of(&often_before).mouth_log_odds;
    cr_expect(lt(dbl, once_more, first_time));
}
