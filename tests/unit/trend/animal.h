/* One animal and its weighings, for the tests of the engine. */
#ifndef GW_TEST_ANIMAL_H
#define GW_TEST_ANIMAL_H

#include <gramwell/trend.h>
#include <math.h>
#include <stdbool.h>

enum { ANIMAL_MOST = 200 };

typedef struct {
    gw_trend_subject subject;
    gw_trend_event events[8];
    gw_trend_weighing weighings[ANIMAL_MOST];
    size_t n;
} animal;

/* Whether one of some reasons is among those of a verdict. */
static inline bool has(uint32_t reasons, int some)
{
    return (reasons & (uint32_t)some) != 0;
}

/* An animal without birth date. */
animal animal_of(gw_species species, gw_sex sex, gw_stage stage);
/* A weighing on this day; on the usual scale, mouth looked at and nothing seen. Returns it for changes. */
gw_trend_weighing *weigh(animal *a, double day, double grams);
/* Weighings a week apart, the first a week after the last there is. Ends with 0. */
void weigh_weekly(animal *a, const double grams[]);
void happens(animal *a, gw_event event, double from, double to);
/* Verdict on the last weighing, each verdict asserted to be given. */
gw_trend_verdict verdict_of(animal *a);
/* Verdicts on all weighings. */
void verdicts_of(animal *a, gw_trend_verdict out[]);

#endif
