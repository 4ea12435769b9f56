#include "animal.h"

#include <criterion/criterion.h>
#include <criterion/new/assert.h>
#include <stdlib.h>

animal animal_of(gw_species species, gw_sex sex, gw_stage stage)
{
    animal a = {0};
    a.subject = (gw_trend_subject){
        .birth = NAN, .arrived = NAN, .adult_grams = NAN, .species = species, .sex = sex, .stage = stage};
    return a;
}

gw_trend_weighing *weigh(animal *a, double day, double grams)
{
    cr_assert(lt(sz, a->n, ANIMAL_MOST));
    gw_trend_weighing *w = &a->weighings[a->n++];
    *w = (gw_trend_weighing){.at = day,
                             .grams = grams,
                             .second = NAN,
                             .step = NAN,
                             .scale = -1,
                             .mouth_looked = GW_MOUTH_TEETH | GW_MOUTH_CHIN | GW_MOUTH_FOOD};
    return w;
}

void weigh_weekly(animal *a, const double grams[])
{
    double day = a->n ? a->weighings[a->n - 1].at + 7 : 0;
    for (size_t i = 0; grams[i] > 0; i++) weigh(a, day + 7 * (double)i, grams[i]);
}

void happens(animal *a, gw_event event, double from, double to)
{
    cr_assert(lt(sz, a->subject.n_events, sizeof a->events / sizeof *a->events));
    a->events[a->subject.n_events++] = (gw_trend_event){.from = from, .to = to, .event = event};
}

void verdicts_of(animal *a, gw_trend_verdict out[])
{
    void *workspace = malloc(gw_trend_workspace_size(a->n));
    a->subject.events = a->events;
    cr_assert(workspace != NULL);
    cr_assert(eq(int, gw_trend_assess(&a->subject, a->n, a->weighings, 0, workspace, out, NULL), GW_TREND_OK));
    free(workspace);
}

gw_trend_verdict verdict_of(animal *a)
{
    gw_trend_verdict all[ANIMAL_MOST];
    verdicts_of(a, all);
    return all[a->n - 1];
}
