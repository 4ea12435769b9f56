/*
 * Inside the trend engine: the parts between the public functions. One .c file a method; none allocates, keeps a
 * state or does I/O.
 *
 * All work is in y = ln(grams). Times are days. A window is the last GW_WINDOW weighings up to the one that is judged.
 */
#ifndef GW_TREND_INTERNAL_H
#define GW_TREND_INTERNAL_H

#include <gramwell/trend.h>

#include <math.h>
#include <stdbool.h>

#include "trend_priors.h" /* GW_PRIOR_...: made from profiles/priors.csv */

enum { GW_WINDOW = GW_TREND_WINDOW, GW_STATES = 4, GW_GAPS = 16, GW_ILLNESSES = 4 };

/* ---- species ---------------------------------------------------------------------------------------------------- */

typedef struct {
    double adult_male, adult_female; /* g, 0: not known */
    double adult_sd;                 /* of ln */
    double birth_grams;
    double growth_per_day;
    double fill; /* noise of gut and bladder, sd of ln */
    double usual_step;
    double lowest, highest; /* g, what an adult can weigh */
    double neonate_days;    /* a newborn may lose until then */
    double adult_days, senior_days;
    double season_pct; /* swing with the season */
} gw_species_profile;

const gw_species_profile *gw_profile(int32_t species);

typedef enum { GW_YOUNG_NO = 0, GW_YOUNG_YES, GW_YOUNG_MAYBE } gw_young;

/* What the subject means for one window. */
typedef struct {
    const gw_trend_subject *subject;
    const gw_species_profile *profile;
    double birth;       /* known, or inferred from the first weight of a young animal; NAN */
    double adult;       /* expected adult weight, g, 0: not known */
    double curve_size;  /* ln(adult / birth weight); 0: no curve */
    double growth_mean; /* prior of the error of growth speed */
    double growth_var;
    double trend_mean, trend_sd; /* lasting trend, ln a week */
    double maybe_walk;           /* variance a week added to the level where growth is a guess */
    int32_t young;               /* gw_young */
} gw_animal;

/* ---- window ---------------------------------------------------------------------------------------------------- */

typedef enum { GW_USE_READ = 0, GW_USE_ASIDE, GW_USE_NEW_LEVEL } gw_use;

typedef struct {
    double at, grams, y;
    double curve;     /* expected offset of a growing animal, <= 0 */
    double gap;       /* days since the weighing before, 0 for the first */
    double keep;      /* share of the benign wave that is left after the gap */
    double walk;      /* variance added to the level in the gap */
    double wave;      /* variance added to the wave in the gap */
    double coarse;    /* part of the noise variance that does not depend on the animal: step, floor, second reading */
    double noise;     /* all of the noise variance, with the animal's own factor */
    int32_t use;      /* gw_use */
    uint32_t touched; /* GW_REASON_BIRTH, SURGERY, ARRIVED: what the gap before it holds */
} gw_point;

/* Kalman state: level, wave, error of growth speed, lasting trend (filter.c). */
typedef struct {
    double mean[GW_STATES];
    double cov[GW_STATES][GW_STATES];
} gw_state;

/* One step of the healthy filter, kept so that templates can run through the same gains. */
typedef struct {
    double row[GW_STATES];  /* how the states make the weight */
    double gain[GW_STATES]; /* 0 when the weighing was not used */
    double innovation;
    double variance; /* of the innovation */
    double keep;
    bool used;
} gw_step;

/* Why a reading may be wrong (errors.c): unnormalised densities of the reading, priors included. */
typedef struct {
    double read;  /* as read, no sudden change */
    double moved; /* as read, after a sudden true change */
    double slip, other, leaning, gross;
} gw_evidence;

typedef struct {
    double mean, variance; /* prediction of y before the weighing; NAN for the first */
    double share;          /* probability of an error */
    gw_evidence evidence;
    bool new_level; /* this weighing confirmed a new level */
} gw_reading;

typedef struct {
    gw_point points[GW_WINDOW];
    gw_step steps[GW_WINDOW];
    double scratch[GW_WINDOW];
    double scratch2[GW_WINDOW];
    double scratch3[GW_WINDOW];
} gw_window;

/* growth.c: what the subject says about this window's first weighing; and the curve. */
void gw_animal_init(gw_animal *animal, const gw_trend_subject *subject, const gw_trend_weighing *first);
double gw_curve(const gw_animal *animal, double at);
double gw_age(const gw_animal *animal, double at);
/* Adult in the sense of the customary limits: stage or age say so, or the weight of an animal of unknown age does. */
bool gw_is_adult(const gw_animal *animal, double at, double grams);

/* noise.c: points from weighings, with the variances of events in the gaps. */
void gw_window_fill(gw_window *window, const gw_animal *animal, size_t n, const gw_trend_weighing weighings[]);
bool gw_during(const gw_trend_subject *subject, gw_event event, double at);
bool gw_between(const gw_trend_subject *subject, gw_event event, double after, double until);

/* filter.c */
void gw_filter_start(gw_state *state, const gw_animal *animal, const gw_point *first);
void gw_filter_predict(gw_state *state, const gw_point *point);
void gw_filter_row(double row[GW_STATES], const gw_animal *animal, const gw_point *first, const gw_point *point);
double gw_filter_expect(const gw_state *state, const double row[GW_STATES], double *variance);
void gw_filter_update(gw_state *state, const double row[GW_STATES], double innovation, double variance,
                      double gain[GW_STATES]);
/* Settle every weighing of the window in turn; say what the last one is worth. */
void gw_filter_screen(gw_window *window, const gw_animal *animal, size_t n, const gw_trend_weighing weighings[],
                      gw_reading *last);
/* Run the healthy filter over the settled window and keep its steps. */
void gw_filter_run(gw_window *window, const gw_animal *animal, size_t n);

/* templates.c */
typedef struct {
    double illness[GW_ILLNESSES]; /* prior x likelihood by pattern - 1, mouth not counted */
    double benign;                /* 1 + old steps */
    double onset[GW_ILLNESSES];   /* day of the likeliest onset */
} gw_bank;
void gw_templates(gw_bank *bank, const gw_window *window, const gw_animal *animal, size_t n, bool with_last);
double gw_bank_odds(const gw_bank *bank, double mouth);

/* errors.c */
void gw_evidence_of(gw_evidence *evidence, const gw_animal *animal, const gw_trend_weighing *weighing, double mean,
                    double variance, double noise, bool pregnant);
double gw_evidence_share(const gw_evidence *evidence);
double gw_as_read(double innovation, double variance, double noise, bool pregnant, double *moved);

/* mouth.c */
double gw_mouth(size_t n, const gw_trend_weighing weighings[]);

/* limits.c */
typedef struct {
    double own_level, peak;      /* g, NAN */
    double week_grams, week_pct; /* against the last weighing that counts */
    double loss_grams, loss_pct; /* the larger loss of a week, > 0 */
    int32_t level;               /* gw_level */
    int32_t kind;                /* gw_kind */
    uint32_t reasons;
} gw_customary;
void gw_limits_of(gw_customary *out, gw_window *window, const gw_animal *animal, size_t n);

/* stats.c */
double gw_normal(double x, double variance); /* density at x of a normal about 0 */
double gw_phi(double z);                     /* P(Z <= z) */
double gw_quantise(double x);                /* to 1e-9, so that every build decides alike at a threshold */
void gw_sort(size_t n, double values[]);
double gw_median(size_t n, double values[]); /* sorts values */
/* Weighted least squares y = a + b x, weights as 1 / variance. false: fewer than two distinct x. */
bool gw_wls_line(size_t n, const double x[], const double y[], const double weight[], double *a, double *b,
                 double *se_b);
/* Huber M-estimate of a common location with known standard deviations. */
double gw_huber_location(size_t n, const double x[], const double sd[], double k, double *se);
/* Upper tail of Fisher's exact test. */
double gw_fisher_greater(uint32_t a, uint32_t b, uint32_t c, uint32_t d);

#endif
