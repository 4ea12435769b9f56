/*
 * A simulated foster home: what its animals truly weigh, and what is read off the scale. Assumptions: parameters.h.
 */
#ifndef GW_DETECTION_COHORT_H
#define GW_DETECTION_COHORT_H

#include <gramwell/trend.h>

#include "parameters.h"
#include "random.h"

enum { HOME_ANIMALS = 9, STUDY_ROUNDS = STUDY_WEEKS, ANIMAL_EVENTS = 4 };

typedef enum { HEALTHY, ACUTE, SUBACUTE, DENTAL, CHRONIC, STALL, WHOLE_HOME, ILLNESSES } illness;
extern const char *const illness_names[ILLNESSES];
extern const int illness_window[ILLNESSES]; /* days from onset */

typedef enum { ERROR_NONE, ERROR_SLIP, ERROR_SWAP, ERROR_LEAN, ERROR_BOWL, ERROR_KINDS } error_kind;

typedef struct {
    double at;
    double truth;    /* g, the animal with what is in it, rounded as the scale does */
    double reading;  /* g, what is typed first */
    double again[2]; /* g, what further readings on the spot give */
    int error;       /* error_kind, of the first reading */
    bool matters;    /* the error moves the reading by more than ERROR_MATTERS */
    bool weighed;
    uint32_t looked, seen; /* GW_MOUTH_... */
} sim_reading;

typedef struct {
    gw_trend_subject subject; /* what the home knows; events points to the array below once the home is made */
    gw_trend_event events[ANIMAL_EVENTS];
    double from, until; /* days in the home */
    double onset;       /* day, INFINITY: healthy */
    double lost_pct;    /* acute: size of the loss */
    int illness;
    bool small;
    sim_reading readings[STUDY_ROUNDS];
} sim_animal;

typedef struct {
    int n_animals, n_rounds;
    double step;
    double day[STUDY_ROUNDS];
    bool bowl_noticed[STUDY_ROUNDS]; /* asked to weigh again, the person sees that the bowl was not at zero */
    sim_animal animals[HOME_ANIMALS];
} sim_home;

/* The parameters of a regime; noise and errors as multiples of its own (1: as they stand). */
parameters parameters_of(regime r, double noise, double errors);
const char *regime_name(regime r);
/* Make home number `number` of the cohort with this seed. */
void home_make(sim_home *home, const parameters *p, uint64_t seed, uint64_t number);

#endif
