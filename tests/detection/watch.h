/*
 * Everybody who watches the same readings: the engine, the rules in use, and two standard charts. Each gives every
 * weighing a score; the higher, the more it fears a loss. An alert is a score at or over a threshold.
 */
#ifndef GW_DETECTION_WATCH_H
#define GW_DETECTION_WATCH_H

#include "cohort.h"

typedef enum {
    WATCH_LEVEL,         /* the engine as delivered: its level, odds and customary limits together; vet_soon is 2 */
    WATCH_ODDS,          /* the engine's log odds alone, so that a threshold can be moved */
    WATCH_WEEK,          /* per cent under the last weighing */
    WATCH_OUNCES,        /* GLYNX: grams under the last weighing, guinea pigs only */
    WATCH_TWO_WEEKS,     /* 5 % two weighings in a row, or 10 % under the own mean: 1 is either */
    WATCH_EWMA,          /* exponentially weighted mean of ln weight against the own baseline, in sd */
    WATCH_CUSUM,         /* one-sided sum of the same, slack of half an sd */
    WATCH_EWMA_SCREENED, /* EWMA on what the engine has not set aside */
    WATCHERS
} watcher;

typedef struct {
    double at;
    float score[WATCHERS];
    bool set_aside; /* by the engine */
    bool asked;     /* a second reading was asked for */
    bool matters, corrected;
    int error;  /* error_kind */
    double off; /* ln of the reading over the truth */
    int level, kind;
    uint32_t reasons;
} seen_weighing;

typedef struct {
    int illness, species;
    double from, onset, lost_pct;
    bool young;
    size_t n;
    seen_weighing *weighings;
} seen_animal;

typedef struct {
    seen_animal animals[HOME_ANIMALS];
    int n_animals;
} seen_home;

/* Watch one home in order of time. second: the person takes a second reading where the engine asks for one. */
void home_watch(seen_home *out, const sim_home *home, bool second);
void home_forget(seen_home *out);

#endif
