/*
 * Everything that the simulator assumes, each value with its reason.
 *
 * None of these is read by the engine and none is taken from its tables: a regime may be easier or harder than what the
 * engine expects. Where the trade has a figure its source key is named (server/trend/profiles/sources.csv); all else is
 * an assumption, and that is why there are four regimes:
 *   ordinary  what we believe of foster homes
 *   rough     restless animals, gut and bladder as full as they like, careless weighing, irregular rounds, many errors
 *   calm      a tidy house with a good scale: small noise, few errors
 *   lone      one or two animals in a home, weighed at any hour, with long gaps: hardly any help from the session
 */
#ifndef GW_DETECTION_PARAMETERS_H
#define GW_DETECTION_PARAMETERS_H

typedef enum { REGIME_ORDINARY, REGIME_ROUGH, REGIME_CALM, REGIME_LONE, REGIMES } regime;

/* X(name, ordinary, rough, calm, lone, reason) */
#define PARAMETERS(X)                                                                                                  \
    /* ---- one weighing ---- */                                                                                       \
    X(fill_sd, 0.013, 0.017, 0.009, 0.014,                                                                             \
      "sd of ln from gut and bladder; 16 rats a day apart differ by 0.92 % (HANDCROWDER), so 0.65 % each, and the "    \
      "guts of guinea pigs and rabbits hold three times as much water (CIZEK)")                                        \
    X(fill_small_times, 1.25, 1.35, 1.2, 1.25, "mouse, hamsters, gerbil: one meal is more of the body; assumption")    \
    X(fill_animal_sd, 0.25, 0.35, 0.2, 0.3, "animals differ in it, sd of ln; assumption")                              \
    X(fill_memory, 0.2, 0.35, 0.1, 0.2, "AR(1) from week to week: same hour, same food; assumption")                   \
    X(fill_freedom, 6, 4, 12, 5, "Student's t, degrees of freedom: a missed meal or a drink happens; assumption")      \
    X(handling_sd, 0.003, 0.006, 0.002, 0.004, "two readings on the spot, sd of ln: a restless animal; assumption")    \
    X(hour_chance, 0.15, 0.3, 0.05, 0.5, "share of rounds at another time of day than usual; assumption")              \
    X(hour_sd, 0.010, 0.014, 0.008, 0.012, "what that moves all animals of the round; ELFERS: they eat by day")        \
    X(coarse_chance, 0.3, 0.5, 0.0, 0.4, "homes with small animals that weigh them on a 1 g kitchen scale")            \
    /* ---- the healthy animal ---- */                                                                                 \
    X(wave_sd, 0.015, 0.021, 0.010, 0.016,                                                                             \
      "own slow ups and downs: two sine waves of 60 to 300 days; rats keep 1.2 % about their line (HANDCROWDER)")      \
    X(season_sd, 0.006, 0.012, 0.004, 0.008, "yearly wave of all animals of a home; assumption")                       \
    X(season_chinchilla, 0.04, 0.05, 0.03, 0.04, "half the winter swing of chinchillas, about 10 % (DEGUPED, weak)")   \
    X(shock_sd, 0.005, 0.010, 0.003, 0.005, "weather, food, holiday: AR(1) common to a home, 0.5 a week")              \
    X(diet_rate, 0.3, 0.5, 0.2, 0.3, "benign steps a year (diet, cage mate); assumption")                              \
    X(diet_sd, 0.02, 0.03, 0.015, 0.02, "size of those, sd of ln, taken over two weeks; assumption")                   \
    X(trend_sd, 0.025, 0.04, 0.015, 0.025, "lasting benign trend, ln a year; assumption")                              \
    X(senior_share, 0.15, 0.2, 0.15, 0.2, "of adults; assumption")                                                     \
    X(senior_trend, -0.05, -0.07, -0.04, -0.05, "ln a year; old mice and guinea pigs grow lean (WILKINSON)")           \
    X(young_share, 0.35, 0.35, 0.35, 0.35, "of animals at their first weighing; assumption")                           \
    X(speed_sd, 0.18, 0.28, 0.12, 0.2, "growth speed, sd of ln; meat breeds grow twice as fast as pets (RAMOS)")       \
    X(breed_times, 1.0, 1.25, 0.8, 1.0, "spread of adult weight, times the species' own")                              \
    X(birth_known_young, 0.7, 0.5, 0.9, 0.5, "young whose birth date is known; assumption")                            \
    X(birth_known_adult, 0.3, 0.2, 0.5, 0.2, "adults whose birth date is known; assumption")                           \
    X(pregnant_share, 0.05, 0.05, 0.05, 0.05, "of healthy grown females, recorded with the birth")                     \
    X(pregnant_gain, 0.40, 0.45, 0.35, 0.40, "ln at term; VETPEDIA: a sow may double")                                 \
    X(surgery_share, 0.10, 0.10, 0.10, 0.10, "of healthy adults, recorded; assumption")                                \
    X(surgery_loss, 0.05, 0.07, 0.04, 0.05, "mean ln lost in three days and regained in two weeks (OLIVER)")           \
    X(arrival_share, 0.5, 0.6, 0.4, 0.6, "animals that arrive during the study; assumption")                           \
    X(arrival_loss, 0.02, 0.035, 0.015, 0.025, "ln under the usual weight after the journey (LEE2012: 3.7 %)")         \
    X(thin_share, 0.25, 0.35, 0.15, 0.3, "arrivals that are thin and gain for weeks; assumption")                      \
    /* ---- the round ---- */                                                                                          \
    X(home_most, 9, 9, 9, 2, "animals in a home: 2 to this many (lone: 1 to 2)")                                       \
    X(day_sd, 0.7, 1.6, 0.3, 1.5, "days by which a weekly round is early or late")                                     \
    X(round_missed, 0.06, 0.12, 0.02, 0.12, "rounds left out; assumption")                                             \
    X(animal_missed, 0.02, 0.05, 0.01, 0.03, "animal left out of a round; assumption")                                 \
    X(holiday_rate, 0.6, 1.2, 0.3, 1.5, "breaks of 2 to 4 weeks a year; assumption")                                   \
    /* ---- measuring errors, a weighing or a round; all assumptions ---- */                                           \
    X(slip_rate, 0.007, 0.012, 0.003, 0.008, "typing slips")                                                           \
    X(swap_rate, 0.003, 0.006, 0.001, 0.002, "one animal taken for a mate of its kind; 60 % exchange both")            \
    X(lean_rate, 0.003, 0.006, 0.001, 0.003, "a foot outside the bowl, leaning: 3 to 30 % too light")                  \
    X(bowl_rate, 0.010, 0.02, 0.004, 0.012, "rounds with the bowl not at zero from some animal on")                    \
    X(bowl_grams, 120, 120, 120, 120, "median of that offset (small animals half); one in ten negative")               \
    X(shift_rate, 0.25, 0.5, 0.1, 0.25, "a year and scale: worn battery, soft floor; lasts 1 to 4 rounds")             \
    X(shift_sd, 0.03, 0.03, 0.03, 0.03, "size of that, sd of ln")                                                      \
    X(notice_bowl, 0.6, 0.5, 0.7, 0.6, "asked for a second reading, the person sees the bowl")                         \
    X(notice_swap, 0.75, 0.6, 0.9, 0.75, "asked for a second reading, the person sees the wrong animal")               \
    /* ---- illness: shares of animals, courses; sizes are assumptions ---- */                                         \
    X(ill_share, 0.6, 0.6, 0.6, 0.6, "animals that fall ill once in the study: enough cases to count")                 \
    X(whole_home_share, 0.2, 0.2, 0.2, 0.2, "homes in which all lose together once (water, heat, food, infection)")    \
    X(acute_size, 0.085, 0.08, 0.085, 0.085, "median ln lost; a day without food is several per cent (CIZEK)")         \
    X(acute_size_sd, 0.45, 0.5, 0.45, 0.45, "sd of its ln")                                                            \
    X(acute_recovers, 0.35, 0.45, 0.35, 0.35, "share that begins to gain again after 10 to 20 days")                   \
    X(subacute_week, 0.027, 0.025, 0.027, 0.027, "median ln a week, at a pace that changes by a third weekly")         \
    X(dental_week, 0.018, 0.016, 0.018, 0.018, "median ln a week, with signs of the mouth from 0 to 3 weeks on")       \
    X(chronic_week, 0.008, 0.0075, 0.008, 0.008, "median ln a week; T15 of the trade: 2 % a week is fast")             \
    X(pace_sd, 0.4, 0.5, 0.4, 0.4, "sd of ln of those paces")                                                          \
    X(stall_left, 0.2, 0.3, 0.15, 0.2, "share of the usual growth that goes on, at most")                              \
    X(whole_home_size, 0.055, 0.055, 0.055, 0.055, "median ln lost by a home within 3 to 10 days")                     \
    X(sign_false, 0.015, 0.025, 0.01, 0.015, "a mouth sign seen on a healthy animal, a group and check")               \
    X(sign_habit, 0.05, 0.08, 0.03, 0.05, "animals that show one group ten times as often")                            \
    X(sign_true, 0.28, 0.22, 0.35, 0.28, "a mouth sign seen on an animal with bad teeth, a group and check")           \
    X(sign_looked, 0.9, 0.75, 0.97, 0.8, "checks in which the mouth is looked at")

typedef struct {
#define PARAMETER_FIELD_(name, ordinary, rough, calm, lone, reason) double name;
    PARAMETERS(PARAMETER_FIELD_)
#undef PARAMETER_FIELD_
} parameters;

/*
 * The eight species. Growth is W = A (1 - (1 - (W0 / A)^(1/3)) exp(-k age))^3 (L. von Bertalanffy, from memory):
 * another form than the engine's. k fits the points named in the last column by hand. X(name, male g, female g, sd of
 * ln, birth g, k a day, grown days, senior days, gestation days, small, reason)
 */
#define SPECIES(X)                                                                                                     \
    X(GUINEA_PIG, 1100, 1000, 0.16, 95, 0.016, 300, 1500, 68, 0, "ONEILL2024 pets; HARTLEYCHART at 4 and 8 weeks")     \
    X(RABBIT, 2100, 2200, 0.30, 50, 0.019, 270, 2200, 31, 0, "ONEILL2019 pets; RAO1977 and SAMPAIO as shares")         \
    X(RAT, 480, 290, 0.14, 6, 0.027, 120, 600, 22, 0, "NCKU; GELFAND")                                                 \
    X(MOUSE, 32, 27, 0.15, 1.6, 0.038, 80, 450, 20, 1, "ARCWA, GARGIULO at 5 weeks")                                   \
    X(HAMSTER_SYRIAN, 115, 125, 0.14, 2.5, 0.044, 90, 500, 16, 1, "HAMVET; grown at 10 weeks, assumption")             \
    X(HAMSTER_DWARF, 36, 33, 0.17, 1.8, 0.052, 75, 380, 20, 1, "HOBHAM (weak); grown at 8 weeks, assumption")          \
    X(GERBIL, 85, 75, 0.13, 2.8, 0.035, 110, 750, 25, 1, "NCKU; grown at 12 weeks, assumption")                        \
    X(CHINCHILLA, 510, 580, 0.14, 50, 0.0115, 300, 3000, 111, 0, "HOEFER; CHINTAB (weak)")

/* Shape of the study. */
enum {
    STUDY_WEEKS = 92,       /* a little under two years: longer than the 60 weighings that the engine looks back */
    ILL_FROM_WEEK = 16,     /* an illness begins at least so many weeks after the first weighing... */
    ILL_UNTIL_WEEK = 62,    /* ...and early enough that the longest window ends within the study */
    STALL_FROM_DAYS = 18,   /* a stall begins this long after the first weighing of a young animal... */
    STALL_UNTIL_DAYS = 60,  /* ...or as late as this */
    AGAIN_AFTER_DAYS = 28,  /* a standing alert counts again after this long */
    WINDOW_ACUTE = 28,      /* days from onset within which an alert counts as found: the loss is over in a week */
    WINDOW_SUBACUTE = 70,   /* a quarter of the weight would be gone */
    WINDOW_DENTAL = 91,     /* likewise */
    WINDOW_CHRONIC = 182,   /* a fifth would be gone */
    WINDOW_STALL = 56,      /* the fastest growth is over */
    WINDOW_WHOLE_HOME = 42, /* like acute, and the next rounds */
};
/* A stall is one only where growth was due: ln expected in the four weeks from its onset. */
#define STALL_GROWTH_DUE 0.08
/* A reading this far (ln) from the animal's weight is a measuring error that matters; smaller ones harm nobody. */
#define ERROR_MATTERS 0.03

#endif
