/* Scales, spread in a home, names. */
#include <gramwell/trend.h>

#include <criterion/criterion.h>
#include <criterion/new/assert.h>
#include <math.h>

/* OIMLTAB, UKNAWI: in service a scale of 1 g may be off by 1, 2 and 3 g up to 500, 2000 and 10000 steps. */
Test(trend_scale, allowed_error_follows_the_steps)
{
    cr_expect(eq(dbl, gw_trend_scale_allowed_error(1, 500), 1));
    cr_expect(eq(dbl, gw_trend_scale_allowed_error(1, 1000), 2));
    cr_expect(eq(dbl, gw_trend_scale_allowed_error(1, 2000), 2));
    cr_expect(eq(dbl, gw_trend_scale_allowed_error(1, 3000), 3));
    cr_expect(epsilon_eq(dbl, gw_trend_scale_allowed_error(0.1, 50), 0.1, 1e-15));
    cr_expect(epsilon_eq(dbl, gw_trend_scale_allowed_error(0.1, 50.1), 0.2, 1e-15));
}

Test(trend_scale, a_scale_without_step_has_no_allowed_error)
{
    cr_expect(isnan(gw_trend_scale_allowed_error(0, 100)));
    cr_expect(isnan(gw_trend_scale_allowed_error(NAN, 100)));
    cr_expect(isnan(gw_trend_scale_allowed_error(1, -1)));
}

/* [[3, 1], [1, 3]]: 17 of 70 tables have 3 or 4 in the first cell. */
Test(trend_spread, a_small_table_by_hand)
{
    double p;
    cr_assert(eq(int, gw_trend_spread(3, 4, 1, 4, 1, &p), GW_TREND_OK));
    cr_expect(epsilon_eq(dbl, p, 17.0 / 70, 1e-14));
    cr_assert(eq(int, gw_trend_spread(3, 4, 1, 4, 3, &p), GW_TREND_OK));
    cr_expect(epsilon_eq(dbl, p, 3 * 17.0 / 70, 1e-14));
    cr_assert(eq(int, gw_trend_spread(3, 4, 1, 4, 1000, &p), GW_TREND_OK));
    cr_expect(eq(dbl, p, 1));
    cr_assert(eq(int, gw_trend_spread(0, 4, 1, 4, 1, &p), GW_TREND_OK));
    cr_expect(eq(dbl, p, 1));
}

Test(trend_spread, counts_that_cannot_be_are_refused_and_leave_p_alone)
{
    double p = 7;
    cr_expect(eq(int, gw_trend_spread(5, 4, 1, 4, 1, &p), GW_TREND_OPTION));
    cr_expect(eq(int, gw_trend_spread(1, 4, 5, 4, 1, &p), GW_TREND_OPTION));
    cr_expect(eq(int, gw_trend_spread(1, 4, 1, 4, 0, &p), GW_TREND_OPTION));
    cr_expect(eq(int, gw_trend_spread(0, 0, 1, 4, 1, &p), GW_TREND_TOO_FEW));
    cr_expect(eq(int, gw_trend_spread(1, 4, 0, 0, 1, &p), GW_TREND_TOO_FEW));
    cr_expect(eq(dbl, p, 7));
}

Test(trend_names, every_name_leads_back_to_its_value)
{
    for (int i = 0; i < GW_SPECIES_COUNT; i++)
        cr_expect(eq(int, gw_species_from_name(gw_species_name((gw_species)i)), i));
    for (int i = 0; i <= GW_LEVEL_EMERGENCY; i++) cr_expect(eq(int, gw_level_from_name(gw_level_name((gw_level)i)), i));
    for (int i = 0; i <= GW_KIND_MISSED; i++) cr_expect(eq(int, gw_kind_from_name(gw_kind_name((gw_kind)i)), i));
    for (int i = 0; i < GW_EVENT_COUNT; i++) cr_expect(eq(int, gw_event_from_name(gw_event_name((gw_event)i)), i));
    for (int i = 0; i < GW_REASON_COUNT; i++) cr_expect(gw_reason_name(i) != NULL);
    cr_expect(eq(str, (char *)gw_level_name(GW_LEVEL_VET_SOON), "vet_soon"));
    cr_expect(eq(str, (char *)gw_quality_name(GW_QUALITY_SET_ASIDE), "set_aside"));
    cr_expect(eq(str, (char *)gw_pattern_name(GW_PATTERN_SUBACUTE), "subacute"));
}

Test(trend_names, what_is_unknown_has_no_name_and_no_value)
{
    cr_expect(gw_level_name((gw_level)5) == NULL);
    cr_expect(gw_species_name(GW_SPECIES_UNKNOWN) == NULL);
    cr_expect(gw_reason_name(GW_REASON_COUNT) == NULL);
    cr_expect(eq(int, gw_species_from_name("unicorn"), -1));
    cr_expect(eq(int, gw_stage_from_name(NULL), -1));
    cr_expect(eq(int, gw_sex_from_name(""), -1));
}
