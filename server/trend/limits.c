/*
 * The customary limits: what care guides and laboratory rules say about weight loss (profiles/limits.csv, each row with
 * its source), as a net under the odds. They speak of two baselines, last week and the stable weight, because a slow
 * fall escapes every week-to-week rule and a fast one is over before a baseline notices.
 */
#include "trend_internal.h"

enum { GW_ANY_SPECIES = -2 };
typedef enum { GW_WHO_ANY, GW_WHO_ADULT, GW_WHO_YOUNG } gw_who;
typedef enum {
    GW_MEASURE_WEEK_PCT,
    GW_MEASURE_WEEK_GRAMS,
    GW_MEASURE_OWN_PCT,
    GW_MEASURE_PEAK_PCT,
    GW_MEASURE_GAIN_PCT,
    GW_MEASURE_YOUNG_STILL,
    GW_MEASURE_YOUNG_LOSS,
    GW_MEASURES,
} gw_measure;

typedef struct {
    double value;
    gw_measure measure;
    gw_who who;
    int32_t species;
    gw_level level;
    uint32_t reason;
} gw_limit;

#include "trend_limits.h"

/* ---- baselines --------------------------------------------------------------------------------------------------- */

static bool counts(const gw_point *p)
{
    return p->use != GW_USE_ASIDE;
}

/* First weighing whose level is the animal's level of today: after the last birth. */
static size_t level_from(const gw_window *window, size_t n)
{
    size_t from = 0;
    for (size_t i = 0; i < n; i++)
        if (window->points[i].touched & GW_REASON_BIRTH) from = i;
    return from;
}

/* Grams of the weighings before the last that count, in order; their days beside them. */
static size_t past(gw_window *window, size_t n, double back)
{
    size_t count = 0;
    const gw_point *now = &window->points[n - 1];
    for (size_t i = level_from(window, n); i + 1 < n; i++) {
        const gw_point *p = &window->points[i];
        if (!counts(p) || now->at - p->at > back) continue;
        window->scratch[count] = p->grams;
        window->scratch2[count++] = p->at;
    }
    return count;
}

/*
 * The median of the latest five weighings in a row that lie close together and do not fall all the time. POSSUM: five
 * weighings within 2.5 % and no more than two losses in a row are stable; the band is wider where the noise is.
 */
static double stable_level(size_t count, const double grams[], double band)
{
    enum { RUN = (int)GW_PRIOR_STABLE_COUNT };
    for (size_t end = count; end >= RUN; end--) {
        const double *run = &grams[end - RUN];
        double sorted[RUN], losses = 0, most = 0;
        for (int i = 0; i < RUN; i++) {
            sorted[i] = run[i];
            losses = i > 0 && run[i] < run[i - 1] ? losses + 1 : 0;
            if (losses > most) most = losses;
        }
        double middle = gw_median(RUN, sorted);
        if (gw_quantise((sorted[RUN - 1] - sorted[0]) / middle) <= band && most <= GW_PRIOR_STABLE_LOSSES)
            return middle;
    }
    return NAN;
}

/* Highest median of three neighbours: a peak that one reading alone cannot make. */
static double peak_level(size_t count, const double grams[])
{
    double peak = NAN;
    for (size_t i = 0; i + 2 < count; i++) {
        double three[3] = {grams[i], grams[i + 1], grams[i + 2]};
        double middle = gw_median(3, three);
        if (isnan(peak) || middle > peak) peak = middle;
    }
    if (isnan(peak) && count > 0) {
        double few[2] = {grams[0], grams[count - 1]};
        peak = gw_median(2, few);
    }
    return peak;
}

/* ---- the week ---------------------------------------------------------------------------------------------------- */

/* Loss against one earlier weighing, put to seven days when that is further away. Positive is a loss. */
static void loss_since(const gw_point *before, const gw_point *now, double *grams, double *pct)
{
    double days = now->at - before->at;
    double share = days > GW_PRIOR_WEEK_NEAR ? 7 / days : 1;
    *grams = (before->grams - now->grams) * share;
    *pct = 100 * (before->grams - now->grams) / before->grams * share;
}

/*
 * The loss of the week is the larger one of two: against the weighing before that counts, and against the oldest one of
 * the last seven days. Returns the weighing that it is measured from.
 */
static const gw_point *week_of(gw_customary *out, const gw_window *window, size_t n, const gw_point **last)
{
    const gw_point *now = &window->points[n - 1], *oldest = NULL;
    for (size_t i = n - 1; i-- > 0;) {
        const gw_point *p = &window->points[i];
        if (!counts(p)) continue;
        if (!*last) *last = p;
        if (now->at - p->at > GW_PRIOR_WEEK_NEAR) break;
        oldest = p;
    }
    if (!*last) return NULL;
    loss_since(*last, now, &out->loss_grams, &out->loss_pct);
    out->week_grams = -out->loss_grams;
    out->week_pct = -out->loss_pct;
    if (!oldest || oldest == *last) return *last;
    double grams, pct;
    loss_since(oldest, now, &grams, &pct);
    if (grams <= out->loss_grams) return *last;
    out->loss_grams = grams;
    out->loss_pct = pct;
    return oldest;
}

/* ---- the young --------------------------------------------------------------------------------------------------- */

/*
 * Shortfall of the gain since an earlier weighing against the curve, in standard deviations of a difference of two
 * weighings; so that "no gain" means more than a full bladder last time. 0 where no growth is expected.
 */
static double shortfall(const gw_animal *animal, const gw_point *before, const gw_point *now)
{
    double expected = now->curve - before->curve;
    double days = now->at - before->at;
    if (animal->young != GW_YOUNG_YES || days <= 0 || expected * 7 / days < GW_PRIOR_YOUNG_GAIN) return 0;
    if (!isnan(animal->subject->birth) && gw_age(animal, now->at) <= animal->profile->neonate_days) return 0;
    double gained = now->y - before->y;
    return (expected - gained) / sqrt(now->noise + before->noise);
}

/* ---- together ---------------------------------------------------------------------------------------------------- */

static void apply(gw_customary *out, gw_measure measure, double value, int32_t species, gw_who who, int32_t most)
{
    if (isnan(value)) return;
    for (size_t i = 0; i < sizeof gw_limits / sizeof *gw_limits; i++) {
        const gw_limit *limit = &gw_limits[i];
        if (limit->measure != measure || (limit->species != GW_ANY_SPECIES && limit->species != species)) continue;
        if (limit->who != GW_WHO_ANY && limit->who != who) continue;
        if (gw_quantise(value) < limit->value) continue;
        int32_t level = (int32_t)limit->level < most ? (int32_t)limit->level : most;
        out->reasons |= limit->reason;
        if (level > out->level) {
            out->level = level;
            out->kind = measure == GW_MEASURE_GAIN_PCT      ? GW_KIND_GAIN
                        : measure == GW_MEASURE_YOUNG_STILL ? GW_KIND_STALL
                                                            : GW_KIND_LOSS;
        }
    }
}

static void limits_of_week(gw_customary *out, const gw_window *window, const gw_animal *animal, size_t n, gw_who who)
{
    const gw_trend_subject *subject = animal->subject;
    const gw_point *now = &window->points[n - 1], *last = NULL, *before = week_of(out, window, n, &last);
    if (!before) return;
    bool newborn = !isnan(subject->birth) && gw_age(animal, now->at) <= animal->profile->neonate_days;
    bool birth = false;
    for (size_t i = n; i-- > 0 && &window->points[i] > before;)
        birth = birth || (window->points[i].touched & GW_REASON_BIRTH);
    bool arrived = (now->touched & GW_REASON_ARRIVED) && gw_quantise(out->loss_pct) <= GW_PRIOR_ARRIVED_PCT;

    if (!newborn && !birth && !arrived) {
        apply(out, GW_MEASURE_WEEK_PCT, out->loss_pct, subject->species, who, GW_LEVEL_EMERGENCY);
        apply(out, GW_MEASURE_WEEK_GRAMS, out->loss_grams, subject->species, who, GW_LEVEL_EMERGENCY);
        double days = now->at - last->at, short_of = gw_quantise(shortfall(animal, last, now));
        if (now->grams < last->grams && short_of >= GW_PRIOR_YOUNG_LOSS_SD)
            apply(out, GW_MEASURE_YOUNG_LOSS, 0, subject->species, GW_WHO_YOUNG, GW_LEVEL_EMERGENCY);
        else if (now->grams <= last->grams && days >= GW_PRIOR_YOUNG_STILL_DAYS && short_of >= GW_PRIOR_YOUNG_STILL_SD)
            apply(out, GW_MEASURE_YOUNG_STILL, 0, subject->species, GW_WHO_YOUNG, GW_LEVEL_EMERGENCY);
    }
    bool known_adult = subject->stage != GW_STAGE_UNKNOWN || !isnan(subject->birth);
    if (known_adult && !gw_during(subject, GW_EVENT_PREGNANT, now->at))
        apply(out, GW_MEASURE_GAIN_PCT, out->week_pct, subject->species, who, GW_LEVEL_EMERGENCY);
}

void gw_limits_of(gw_customary *out, gw_window *window, const gw_animal *animal, size_t n)
{
    const gw_trend_subject *subject = animal->subject;
    const gw_point *now = &window->points[n - 1];
    *out = (gw_customary){.own_level = NAN, .peak = NAN, .week_grams = NAN, .week_pct = NAN, .kind = GW_KIND_NONE};
    out->loss_grams = out->loss_pct = NAN;

    gw_who who = gw_is_adult(animal, now->at, window->points[0].grams) ? GW_WHO_ADULT : GW_WHO_YOUNG;
    double noise = GW_PRIOR_STABLE_NOISE * animal->profile->fill;
    double band = noise > GW_PRIOR_STABLE_PCT / 100 ? noise : GW_PRIOR_STABLE_PCT / 100;
    size_t count = past(window, n, GW_PRIOR_STABLE_BACK);
    out->own_level = stable_level(count, window->scratch, band);
    count = past(window, n, GW_PRIOR_PEAK_BACK);
    out->peak = peak_level(count, window->scratch);
    if (isnan(out->own_level)) out->own_level = out->peak;

    limits_of_week(out, window, animal, n, who);
    if (isnan(out->own_level)) return;

    /* A slow change with the season stays a watch; a fast one has the limits of the week. */
    double under_own = 100 * (out->own_level - now->grams) / out->own_level;
    double under_peak = 100 * (out->peak - now->grams) / out->peak;
    bool season = animal->profile->season_pct > 0 && gw_quantise(under_peak) <= animal->profile->season_pct;
    int32_t most = season ? GW_LEVEL_WATCH : GW_LEVEL_EMERGENCY;
    uint32_t reasons = out->reasons;
    apply(out, GW_MEASURE_OWN_PCT, under_own, subject->species, who, most);
    if (!(out->reasons & GW_REASON_WEEK_PCT)) apply(out, GW_MEASURE_PEAK_PCT, under_peak, subject->species, who, most);
    if (season && out->reasons != reasons) out->reasons |= GW_REASON_SEASON;
}
