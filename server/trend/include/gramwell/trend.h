/**
 * The trend engine: what a series of weights says about one small animal.
 *
 * Pure functions on the caller's memory, shared by server, command line and phone (as WebAssembly).
 *
 * Shapes   a series is weighings[n] of one animal, in order of time.
 * Units    grams; times are days since 1970-01-01T00:00Z, fractions allowed; per cent are plain per cent (5 = 5 %).
 * Memory   nothing is allocated and nothing is kept between calls. Safe from any thread.
 * Errors   a call that does not return GW_TREND_OK has written nothing but *at, the index of the refused value.
 * Window   a verdict looks back GW_TREND_WINDOW weighings, itself included; who holds only those gets the same one.
 * Limits   every threshold and prior comes from the tables in server/trend/profiles, each row with its source.
 *
 * A verdict is not a diagnosis: it sorts, so that a vet is asked in time.
 */
#ifndef GRAMWELL_TREND_H
#define GRAMWELL_TREND_H

#include <stddef.h>
#include <stdint.h>

#if defined(__GNUC__)
#define GW_TREND_API __attribute__((visibility("default")))
#else
#define GW_TREND_API
#endif

#ifdef __cplusplus
extern "C" {
#endif

typedef enum {
    GW_TREND_OK = 0,
    GW_TREND_WEIGHT,  /* a weight is not finite, or outside 0.1 to 30000 g */
    GW_TREND_TIME,    /* a time is not within 3 million days of 1970, or earlier than the one before it */
    GW_TREND_SPECIES, /* unknown species */
    GW_TREND_EVENT,   /* an event of unknown kind, or one that ends before it begins */
    GW_TREND_STEP,    /* a scale step is not above zero */
    GW_TREND_OPTION,  /* another option is outside its range */
    GW_TREND_TOO_FEW, /* fewer values than the method needs */
} gw_trend_status;

/** How soon somebody must act. Ordered: a higher value is more urgent. */
typedef enum {
    GW_LEVEL_STEADY = 0,
    GW_LEVEL_WATCH,
    GW_LEVEL_VET_SOON,
    GW_LEVEL_SAME_DAY,
    GW_LEVEL_EMERGENCY,
} gw_level;

/** What it is about. The engine's verdict on one weighing uses NONE to DENTAL and SCALE; the server adds the others. */
typedef enum {
    GW_KIND_NONE = 0,
    GW_KIND_LOSS,
    GW_KIND_STALL,
    GW_KIND_GAIN,
    GW_KIND_DENTAL,
    GW_KIND_SCALE,
    GW_KIND_FINDING,
    GW_KIND_SPREAD,
    GW_KIND_MISSED,
} gw_kind;

/** What the weighing itself is worth. */
typedef enum {
    GW_QUALITY_PLAIN = 0,
    GW_QUALITY_REWEIGH,   /* believed for now, to be weighed again */
    GW_QUALITY_SET_ASIDE, /* most likely a measuring error: not part of the animal's level */
} gw_quality;

typedef enum {
    GW_SPECIES_UNKNOWN = -1, /* judged by per cent alone: no growth curve, no range of weights */
    GW_SPECIES_GUINEA_PIG = 0,
    GW_SPECIES_RABBIT,
    GW_SPECIES_RAT,
    GW_SPECIES_MOUSE,
    GW_SPECIES_HAMSTER_SYRIAN,
    GW_SPECIES_HAMSTER_DWARF,
    GW_SPECIES_GERBIL,
    GW_SPECIES_CHINCHILLA,
    GW_SPECIES_DEGU,
    GW_SPECIES_FERRET,
    GW_SPECIES_HEDGEHOG,
    GW_SPECIES_COUNT,
} gw_species;

typedef enum { GW_SEX_UNKNOWN = 0, GW_SEX_FEMALE, GW_SEX_MALE } gw_sex;

/** For an animal without a birth date. With one, the age decides and the stage is not used. */
typedef enum { GW_STAGE_UNKNOWN = 0, GW_STAGE_YOUNG, GW_STAGE_ADULT, GW_STAGE_SENIOR } gw_stage;

typedef enum {
    GW_EVENT_PREGNANT = 0,
    GW_EVENT_GAVE_BIRTH,
    GW_EVENT_SURGERY,
    GW_EVENT_DIET_CHANGE,
    GW_EVENT_JOURNEY,
    GW_EVENT_BONDING,
    GW_EVENT_COUNT,
} gw_event;

/** Names as they stand in schema, API and CSV files, for instance "vet_soon". NULL for a value outside the enum. */
GW_TREND_API const char *gw_level_name(gw_level level);
GW_TREND_API const char *gw_kind_name(gw_kind kind);
GW_TREND_API const char *gw_quality_name(gw_quality quality);
GW_TREND_API const char *gw_species_name(gw_species species);
GW_TREND_API const char *gw_sex_name(gw_sex sex);
GW_TREND_API const char *gw_stage_name(gw_stage stage);
GW_TREND_API const char *gw_event_name(gw_event event);
/** The value of a name, or -1 for one that is unknown. */
GW_TREND_API int gw_level_from_name(const char *name);
GW_TREND_API int gw_kind_from_name(const char *name);
GW_TREND_API int gw_quality_from_name(const char *name);
GW_TREND_API int gw_species_from_name(const char *name);
GW_TREND_API int gw_sex_from_name(const char *name);
GW_TREND_API int gw_stage_from_name(const char *name);
GW_TREND_API int gw_event_from_name(const char *name);

typedef struct {
    double from;   /* day it began */
    double to;     /* last day of it, which counts whole, >= from; NAN: open */
    int32_t event; /* gw_event */
    int32_t reserved;
} gw_trend_event;

typedef struct {
    double birth;       /* day of birth, NAN: unknown */
    double arrived;     /* day of arrival, NAN: unknown or born here */
    double adult_grams; /* expected adult weight when known better than the species table (breed), NAN: unknown */
    double sensitivity; /* added to the log odds of illness, -1.5 to 1.5, 0 usual; emergencies are not affected */
    const gw_trend_event *events;
    size_t n_events;
    int32_t species; /* gw_species */
    int32_t sex;     /* gw_sex */
    int32_t stage;   /* gw_stage */
    int32_t reserved;
} gw_trend_subject;

/** Weighings that a verdict looks back on: 14 months of weekly ones. */
#define GW_TREND_WINDOW 60

/* Flags of a weighing. */
#define GW_WEIGHING_CONFIRMED 1u /* the person said: the number is right */
#define GW_WEIGHING_SET_ASIDE 2u /* set aside by its session (bowl not at zero, scale) or by a person */

/* Groups of mouth signs, for mouth_looked and mouth_seen. */
#define GW_MOUTH_TEETH 1u /* misaligned, overgrown, broken */
#define GW_MOUTH_CHIN  2u /* drool, wet chin */
#define GW_MOUTH_FOOD  4u /* drops food, leaves hay, selective */

typedef struct {
    double at;             /* day and time */
    double grams;          /* accepted weight: the median of the readings */
    double second;         /* a second reading on the spot, g, NAN: none */
    double step;           /* step of the scale, g, NAN: the usual one for the species */
    int32_t scale;         /* the same number for the same scale, -1: unknown */
    uint32_t flags;        /* GW_WEIGHING_... */
    uint32_t mouth_looked; /* groups that were looked at, GW_MOUTH_... */
    uint32_t mouth_seen;   /* groups with a sign that is not a known normal */
} gw_trend_weighing;

/* Reasons of a verdict, machine-readable: any number may be set. */
#define GW_REASON_LIST(X)                                                                                              \
    X(GW_REASON_ODDS, "odds")                   /* the illness templates explain the series better */                  \
    X(GW_REASON_WEEK_PCT, "week_pct")           /* per cent lost in a week: customary limit */                         \
    X(GW_REASON_WEEK_GRAMS, "week_grams")       /* grams lost in a week: guinea pig limit */                           \
    X(GW_REASON_OWN_LEVEL, "own_level")         /* per cent under the own level */                                     \
    X(GW_REASON_SLOW_FALL, "slow_fall")         /* falling over many weeks */                                          \
    X(GW_REASON_YOUNG_NO_GAIN, "young_no_gain") /* a growing animal that gained nothing in a week */                   \
    X(GW_REASON_YOUNG_LOSS, "young_loss")       /* a growing animal that lost weight after day 4 */                    \
    X(GW_REASON_GAIN, "gain")                   /* more than 6 % in a week, adult, not pregnant */                     \
    X(GW_REASON_MOUTH, "mouth")                 /* signs of the mouth counted */                                       \
    X(GW_REASON_BIRTH, "birth")                 /* a recorded birth explains the fall */                               \
    X(GW_REASON_SURGERY, "surgery")             /* after a recorded surgery */                                         \
    X(GW_REASON_ARRIVED, "arrived")             /* just arrived */                                                     \
    X(GW_REASON_SEASON, "season")               /* the species changes with the season */                              \
    X(GW_REASON_SLIP, "slip")                   /* looks like a typing slip */                                         \
    X(GW_REASON_OTHER_ANIMAL, "other_animal")   /* looks like another animal's weight */                               \
    X(GW_REASON_LEANING, "leaning")             /* looks like leaning or a foot outside the bowl */                    \
    X(GW_REASON_IMPLAUSIBLE, "implausible")     /* outside anything that the species can weigh */                      \
    X(GW_REASON_TARE, "tare")                   /* the session looks as if the bowl was not at zero */                 \
    X(GW_REASON_SCALE_SHIFT, "scale_shift")     /* all animals of the session moved together */                        \
    X(GW_REASON_NEW_LEVEL, "new_level")         /* weighings in doubt were confirmed: the level is new */              \
    X(GW_REASON_FIRST, "first")                 /* fewer than four weighings: only plausibility */                     \
    X(GW_REASON_COARSE_SCALE, "coarse_scale")   /* the step of the scale is too coarse for this animal */              \
    X(GW_REASON_LOW_FOR_AGE, "low_for_age")     /* under the growth curve of the species */

enum {
#define GW_REASON_BIT_(id, name) id##_BIT_,
    GW_REASON_LIST(GW_REASON_BIT_)
#undef GW_REASON_BIT_
        GW_REASON_COUNT
};
enum {
#define GW_REASON_VALUE_(id, name) id = 1 << id##_BIT_,
    GW_REASON_LIST(GW_REASON_VALUE_)
#undef GW_REASON_VALUE_
};
/** Name of reason number bit (0 to GW_REASON_COUNT - 1), for instance "week_pct"; NULL outside. */
GW_TREND_API const char *gw_reason_name(int bit);

/** The course that explains a loss best. */
typedef enum {
    GW_PATTERN_NONE = 0,
    GW_PATTERN_ACUTE,
    GW_PATTERN_SUBACUTE,
    GW_PATTERN_CHRONIC,
    GW_PATTERN_STALL
} gw_pattern;
GW_TREND_API const char *gw_pattern_name(gw_pattern pattern);

/**
 * What the engine says of one weighing, knowing this animal's past and nothing of the future.
 * Numbers that are not known yet (a first weighing has no change) are NAN.
 */
typedef struct {
    double expected;              /* g, before this weighing was read */
    double low, high;             /* g, range in which 95 % of healthy weighings would lie */
    double sd;                    /* standard deviation of ln(weight) behind that range */
    double own_level;             /* g, the stable own level; for a growing animal what its own curve expects */
    double change_grams;          /* against own_level */
    double change_pct;            /* against own_level */
    double week_grams;            /* against the last weighing that counts, put to seven days when further apart */
    double week_pct;              /* the same in per cent */
    double slope_pct_week;        /* pace over the recent weeks */
    double slope_low, slope_high; /* its 95 % range */
    double weeks_of_fall;         /* how long it has been falling, 0: is not */
    double log_odds;              /* natural log of the odds of illness */
    double mouth_log_odds;        /* dental evidence, 0 to 5.5 */
    double error_share;           /* probability that the reading is a measuring error, 0 to 1 */
    int32_t level;                /* gw_level, from weight and mouth; signs have their own levels beside it */
    int32_t kind;                 /* gw_kind */
    int32_t quality;              /* gw_quality */
    int32_t pattern;              /* gw_pattern */
    uint32_t reasons;             /* GW_REASON_... */
    int32_t ask_second;           /* 1: ask for a second reading on the spot */
} gw_trend_verdict;

/**
 * Bytes of working memory that gw_trend_assess() needs for n weighings; never above 64 KiB.
 */
GW_TREND_API size_t gw_trend_workspace_size(size_t n);

/**
 * Judge the weighings first .. n-1 of one animal, each knowing only those before it.
 *
 * @param subject    the animal and its events
 * @param n          number of weighings, at least 1
 * @param weighings  [n] in order of time; equal times are allowed and keep their order
 * @param first      index of the first weighing whose verdict is wanted, 0 to n - 1; the earlier ones are read only
 * @param workspace  gw_trend_workspace_size(n) bytes, aligned as by malloc
 * @param out        [n - first] verdicts
 * @param at         out, may be NULL: index of the refused weighing or event
 */
GW_TREND_API gw_trend_status gw_trend_assess(const gw_trend_subject *subject, size_t n,
                                             const gw_trend_weighing weighings[], size_t first, void *workspace,
                                             gw_trend_verdict out[], size_t *at);

/** One animal's part in a session: its reading and what gw_trend_assess() said of it. */
typedef struct {
    double grams;
    gw_trend_verdict verdict; /* of this animal alone */
    uint32_t flags;           /* GW_WEIGHING_... of the weighing */
    int32_t species;          /* gw_species */
} gw_trend_session_item;

/** What the readings of one session on one scale say together. */
typedef struct {
    double shift_pct;             /* common shift of all animals */
    double shift_low, shift_high; /* its 95 % range */
    double tare_grams;            /* most likely offset when the bowl was not at zero, else 0 */
    double tare_share;            /* probability of that */
    int32_t scale_shift;          /* 1: the common shift is beyond 3 sd and 1.2 %: kind scale */
    int32_t n_used;               /* animals that counted */
} gw_trend_session;

/**
 * Judge the weighings of one session: one scale, within four hours.
 *
 * Each item's verdict is worked over in place: level, kind, quality, reasons and ask_second may change (a bowl not at
 * zero sets weighings aside; a common shift turns `loss` into `scale` without lowering same_day or emergency).
 * The result depends only on the animals' own verdicts, so it can be worked out again when one more animal was weighed.
 *
 * @param n      number of animals, at least 1; with fewer than 3 there is no common shift
 * @param items  [n] in and out
 * @param out    the session
 */
GW_TREND_API gw_trend_status gw_trend_session_judge(size_t n, gw_trend_session_item items[], gw_trend_session *out,
                                                    size_t *at);

/** Largest error in grams that a scale of this step may show at this load and still be used (OIML R 76, in service). */
GW_TREND_API double gw_trend_scale_allowed_error(double step, double load);

/**
 * Is a sign group more frequent in one home than elsewhere? Exact one-sided test (Fisher) of the home against the rest
 * of the network, multiplied by the number of looks (Bonferroni).
 *
 * @param home_with, home_animals  animals of the home with the sign in the window, and all looked at
 * @param rest_with, rest_animals  the same for the rest of the network
 * @param looks     how many such tests were taken together (homes x sign groups), at least 1
 * @param p_value   out: corrected p, at most 1
 */
GW_TREND_API gw_trend_status gw_trend_spread(uint32_t home_with, uint32_t home_animals, uint32_t rest_with,
                                             uint32_t rest_animals, uint32_t looks, double *p_value);

#ifdef __cplusplus
}
#endif
#endif
