/* The library under a locale with a decimal comma says, bit by bit, what it says without one. */
#include "animal.h"

#include <criterion/criterion.h>
#include <criterion/new/assert.h>
#include <gramwell/stats.h>
#include <locale.h>
#include <string.h>

typedef struct {
    gw_trend_verdict verdicts[ANIMAL_MOST];
    gw_trend_session session;
    gw_stats_level_of robust;
    double allowed, spread;
    int name, none;
} answers;

static void ask(answers *out)
{
    animal a = animal_of(GW_SPECIES_GUINEA_PIG, GW_SEX_FEMALE, GW_STAGE_ADULT);
    weigh_weekly(&a, (const double[]){1000.5, 1006, 995.5, 1003, 998, 105, 1001.5, 890, 880.5, 0});
    memset(out, 0, sizeof *out);
    verdicts_of(&a, out->verdicts);
    gw_trend_session_item items[4];
    for (int i = 0; i < 4; i++)
        items[i] =
            (gw_trend_session_item){.grams = 1000.5 + i, .verdict = out->verdicts[4], .species = GW_SPECIES_GUINEA_PIG};
    cr_assert(eq(int, gw_trend_session_judge(4, items, &out->session, NULL), GW_TREND_OK));
    const double y[] = {1.5, 2.25, 9.5, 3.125, 2.5};
    double work[5];
    cr_assert(eq(int, gw_stats_level(5, y, work, &out->robust, NULL), GW_STATS_OK));
    out->allowed = gw_trend_scale_allowed_error(0.1, 50.1);
    cr_assert(eq(int, gw_trend_spread(3, 4, 1, 4, 1, &out->spread), GW_TREND_OK));
    out->name = gw_species_from_name("guinea_pig");
    out->none = gw_species_from_name("GUINEA_PIG");
}

Test(trend_locale, a_decimal_comma_changes_nothing)
{
    static answers plain, comma;
    ask(&plain);
    cr_assert(setlocale(LC_ALL, "de_DE.UTF-8") != NULL, "the locale of this test is missing: LOCPATH");
    cr_assert(eq(str, localeconv()->decimal_point, ","));
    ask(&comma);
    cr_expect(eq(int, memcmp(&plain, &comma, sizeof plain), 0));
}
