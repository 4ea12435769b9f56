/* Counting: false alerts of healthy time, illnesses found, days until then. */
#ifndef GW_DETECTION_FIGURES_H
#define GW_DETECTION_FIGURES_H

#include "watch.h"

typedef struct {
    size_t n;
    seen_home *homes;
} cohort;

typedef struct {
    double threshold;
    double false_a_year; /* per healthy animal-year; a standing alert counts again after AGAIN_AFTER_DAYS */
    double found_pct[ILLNESSES], days[ILLNESSES]; /* days: median from onset, NAN when fewer than half were found */
    double named_pct, named_days;       /* whole home: an alert, or the session said that all moved together */
    double found_11_16_pct, days_11_16; /* acute losses of 11 to 16 % */
    int cases[ILLNESSES], cases_11_16;
} figures;

typedef struct {
    double aside_pct;    /* errors that matter: set aside, or put right by a second reading */
    double vain_a_100;   /* right weighings that are set aside, per 100 */
    double asked_a_100;  /* second readings, per 100 weighings */
    double animal_years; /* healthy */
    size_t weighings, errors, animals;
} readings_figures;

figures figures_at(const cohort *c, watcher w, double threshold);
/* At the lowest threshold that gives no more than this many false alerts; threshold INFINITY when there is none. */
figures figures_for(const cohort *c, watcher w, double false_a_year);
readings_figures readings_of(const cohort *c);
/* Where the engine's false alerts come from; a line each. */
void print_causes(const cohort *c);

#endif
