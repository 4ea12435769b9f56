/*
 * The public assessment: settle the window, score the illness templates, lay the customary limits under them.
 *
 * The order matters: a measuring error is looked for before anything is believed, and a weighing that is set aside
 * reaches neither the animal's level nor the limits.
 */
#include "trend_internal.h"

size_t gw_trend_workspace_size(size_t n)
{
    (void)n; /* a verdict looks back GW_WINDOW weighings, however long the series */
    return sizeof(gw_window);
}

_Static_assert(sizeof(gw_window) <= 65536, "the header promises at most 64 KiB");

/* ---- input ------------------------------------------------------------------------------------------------------- */

static gw_trend_status refuse(gw_trend_status status, size_t index, size_t *at)
{
    if (at) *at = index;
    return status;
}

static gw_trend_status check_subject(const gw_trend_subject *s, size_t *at)
{
    if (s->species < GW_SPECIES_UNKNOWN || s->species >= GW_SPECIES_COUNT) return refuse(GW_TREND_SPECIES, 0, at);
    bool adult =
        isnan(s->adult_grams) || (s->adult_grams >= GW_PRIOR_MIN_GRAMS && s->adult_grams <= GW_PRIOR_MAX_GRAMS);
    if (!adult || isinf(s->birth) || isinf(s->arrived) || s->sex < GW_SEX_UNKNOWN || s->sex > GW_SEX_MALE ||
        s->stage < GW_STAGE_UNKNOWN || s->stage > GW_STAGE_SENIOR ||
        !(fabs(s->sensitivity) <= GW_PRIOR_SENSITIVITY_MOST))
        return refuse(GW_TREND_OPTION, 0, at);
    for (size_t i = 0; i < s->n_events; i++) {
        const gw_trend_event *e = &s->events[i];
        if (e->event < 0 || e->event >= GW_EVENT_COUNT || !isfinite(e->from) || isinf(e->to) || e->to < e->from)
            return refuse(GW_TREND_EVENT, i, at);
    }
    return GW_TREND_OK;
}

static bool is_weight(double grams)
{
    return isfinite(grams) && grams >= GW_PRIOR_MIN_GRAMS && grams <= GW_PRIOR_MAX_GRAMS;
}

static gw_trend_status check_weighings(size_t n, const gw_trend_weighing weighings[], size_t *at)
{
    for (size_t i = 0; i < n; i++) {
        const gw_trend_weighing *w = &weighings[i];
        if (!(fabs(w->at) <= GW_PRIOR_DAYS_MOST) || (i > 0 && w->at < weighings[i - 1].at))
            return refuse(GW_TREND_TIME, i, at);
        if (!is_weight(w->grams) || (!isnan(w->second) && !is_weight(w->second))) return refuse(GW_TREND_WEIGHT, i, at);
        if (!isnan(w->step) && !(w->step > 0 && w->step <= GW_PRIOR_MAX_GRAMS)) return refuse(GW_TREND_STEP, i, at);
    }
    return GW_TREND_OK;
}

/* ---- one verdict ---------------------------------------------------------------------------------------------------
 */

static int32_t level_of_odds(double log_odds)
{
    double value = gw_quantise(log_odds);
    if (value >= GW_PRIOR_ODDS_SAME_DAY) return GW_LEVEL_SAME_DAY;
    if (value >= GW_PRIOR_ODDS_VET_SOON) return GW_LEVEL_VET_SOON;
    return value >= GW_PRIOR_ODDS_WATCH ? GW_LEVEL_WATCH : GW_LEVEL_STEADY;
}

static uint32_t error_reason(const gw_evidence *e, bool first)
{
    if (first) return GW_REASON_IMPLAUSIBLE;
    double most = e->gross;
    uint32_t reason = GW_REASON_IMPLAUSIBLE;
    if (e->slip > most) {
        most = e->slip;
        reason = GW_REASON_SLIP;
    }
    if (e->leaning > most) {
        most = e->leaning;
        reason = GW_REASON_LEANING;
    }
    return e->other > most ? GW_REASON_OTHER_ANIMAL : reason;
}

/* A weight that can be read: beyond, the range says no more. NAN stays. */
static double readable(double log_grams)
{
    double grams = exp(log_grams);
    if (grams < GW_PRIOR_MIN_GRAMS) return GW_PRIOR_MIN_GRAMS;
    return grams > GW_PRIOR_MAX_GRAMS ? GW_PRIOR_MAX_GRAMS : grams;
}

static void judge_reading(gw_trend_verdict *v, const gw_reading *reading, const gw_trend_weighing *w, bool first)
{
    double sd = sqrt(reading->variance);
    v->expected = readable(reading->mean);
    v->low = readable(reading->mean - 1.959964 * sd);
    v->high = readable(reading->mean + 1.959964 * sd);
    v->sd = sd;
    v->error_share = reading->share;
    if (reading->new_level) v->reasons |= GW_REASON_NEW_LEVEL;
    if (w->flags & GW_WEIGHING_SET_ASIDE) {
        v->quality = GW_QUALITY_SET_ASIDE;
        return;
    }
    bool asked = !isnan(w->second);
    if (reading->share > GW_PRIOR_ASIDE)
        v->quality = GW_QUALITY_SET_ASIDE;
    else if (reading->share > GW_PRIOR_ASK_SHARE)
        v->quality = GW_QUALITY_REWEIGH;
    if (reading->share > GW_PRIOR_ASK_SHARE) v->reasons |= error_reason(&reading->evidence, first);
    double z = first ? 0 : gw_quantise((log(w->grams) - reading->mean) / sd);
    v->ask_second = !asked && (reading->share > GW_PRIOR_ASK_SHARE || z < -GW_PRIOR_ASK_SD);
}

static double pct_week(double pace)
{
    if (pace > GW_PRIOR_PACE_MOST) pace = GW_PRIOR_PACE_MOST;
    return 100 * expm1(pace);
}

/* Pace over the recent weeks: a weighted line through what counts. */
static void judge_slope(gw_trend_verdict *v, gw_window *window, size_t n)
{
    const gw_point *now = &window->points[n - 1];
    size_t count = 0;
    v->slope_pct_week = v->slope_low = v->slope_high = NAN;
    for (size_t i = 0; i < n; i++) {
        const gw_point *p = &window->points[i];
        if (p->use == GW_USE_ASIDE || now->at - p->at > GW_PRIOR_SLOPE_BACK) continue;
        if (i + 1 == n && v->quality == GW_QUALITY_SET_ASIDE) continue;
        window->scratch[count] = (p->at - now->at) / 7;
        window->scratch2[count] = p->y;
        window->scratch3[count++] = 1 / p->noise;
    }
    double a, b, se;
    if (count < 3 || !gw_wls_line(count, window->scratch, window->scratch2, window->scratch3, &a, &b, &se)) return;
    v->slope_pct_week = pct_week(b);
    v->slope_low = pct_week(b - 1.959964 * se);
    v->slope_high = pct_week(b + 1.959964 * se);
}

/*
 * Two odds of illness, the second true with this probability, as one. Probabilities are averaged and not odds: with
 * odds of a million to one if the reading is right, a reading that is probably wrong would still be a certain illness.
 */
static double mixed(double odds, double others, double share)
{
    double ill = (1 - share) * odds / (1 + odds) + share * others / (1 + others);
    double well = (1 - share) / (1 + odds) + share / (1 + others);
    return ill / well;
}

/* Odds of illness with the weighing as read and without it, by the probability of an error. */
static void judge_odds(gw_trend_verdict *v, const gw_window *window, const gw_animal *animal, size_t n,
                       const gw_reading *reading)
{
    gw_bank bank, without;
    gw_templates(&bank, window, animal, n, true);
    double share = reading->share, mouth = v->mouth_log_odds;
    double odds = gw_bank_odds(&bank, mouth), odds_no_mouth = gw_bank_odds(&bank, 0);
    if (share > GW_PRIOR_DOUBT) {
        gw_templates(&without, window, animal, n, false);
        odds = mixed(odds, gw_bank_odds(&without, mouth), share);
        odds_no_mouth = mixed(odds_no_mouth, gw_bank_odds(&without, 0), share);
        if (share > GW_PRIOR_ASIDE) bank = without;
    }
    v->log_odds = n > 1 ? log(odds > 1e-300 ? odds : 1e-300) : NAN;
    if (n == 1) return;
    v->level = level_of_odds(v->log_odds + animal->subject->sensitivity);
    int32_t weight_alone =
        level_of_odds(log(odds_no_mouth > 1e-300 ? odds_no_mouth : 1e-300) + animal->subject->sensitivity);
    if (v->level == GW_LEVEL_STEADY) return;

    int best = 0;
    for (int k = 1; k < GW_ILLNESSES; k++) {
        bool slow = k == 1 || k == 2, best_slow = best == 1 || best == 2;
        if (bank.illness[k] * (slow ? exp(mouth) : 1) > bank.illness[best] * (best_slow ? exp(mouth) : 1)) best = k;
    }
    v->pattern = best + 1;
    v->reasons |= GW_REASON_ODDS;
    v->kind = v->pattern == GW_PATTERN_STALL ? GW_KIND_STALL : GW_KIND_LOSS;
    if (v->level > weight_alone) v->kind = GW_KIND_DENTAL;
    double onset = bank.onset[best];
    if (!isnan(onset) && v->pattern != GW_PATTERN_STALL) v->weeks_of_fall = (window->points[n - 1].at - onset) / 7;
    if (v->pattern == GW_PATTERN_SUBACUTE || v->pattern == GW_PATTERN_CHRONIC) v->reasons |= GW_REASON_SLOW_FALL;
    /* A slow change in a species that changes with the season is a watch; the limits of the week stay. */
    if (animal->profile->season_pct > 0 && (v->reasons & GW_REASON_SLOW_FALL) && v->kind == GW_KIND_LOSS) {
        v->level = GW_LEVEL_WATCH;
        v->reasons |= GW_REASON_SEASON;
    }
}

/* Under the growth curve of the species, for an animal whose age is known. */
static bool low_for_age(const gw_animal *animal, const gw_point *p)
{
    if (animal->curve_size == 0 || isnan(animal->subject->birth) || animal->young != GW_YOUNG_YES) return false;
    if (gw_age(animal, p->at) >= animal->profile->adult_days) return false;
    double speed = GW_PRIOR_LOW_FOR_AGE_SPEED * p->curve;
    double sd = sqrt(animal->profile->adult_sd * animal->profile->adult_sd + speed * speed);
    double least = isnan(animal->subject->adult_grams) ? GW_PRIOR_LOW_FOR_AGE_SD : GW_PRIOR_LOW_FOR_AGE_BREED_SD;
    return gw_quantise((p->y - log(animal->adult) - p->curve) / sd) <= least;
}

static void judge(gw_trend_verdict *v, gw_window *window, const gw_trend_subject *subject, size_t n,
                  const gw_trend_weighing weighings[])
{
    gw_animal animal;
    gw_reading reading;
    const gw_trend_weighing *now = &weighings[n - 1];
    gw_animal_init(&animal, subject, &weighings[0]);
    gw_window_fill(window, &animal, n, weighings);
    gw_filter_screen(window, &animal, n, weighings, &reading);

    *v = (gw_trend_verdict){.quality = GW_QUALITY_PLAIN};
    judge_reading(v, &reading, now, n == 1);
    judge_slope(v, window, n);
    v->mouth_log_odds = gw_mouth(n, weighings);
    if (v->mouth_log_odds > 0) v->reasons |= GW_REASON_MOUTH;
    gw_filter_run(window, &animal, n);
    judge_odds(v, window, &animal, n, &reading);

    const gw_point *point = &window->points[n - 1];
    gw_customary limits;
    gw_limits_of(&limits, window, &animal, n);
    v->own_level = limits.own_level;
    if (animal.young == GW_YOUNG_YES && n > 1 && !(v->own_level > v->expected)) v->own_level = v->expected;
    v->change_grams = now->grams - v->own_level;
    v->change_pct = 100 * v->change_grams / v->own_level;
    v->week_grams = limits.week_grams;
    v->week_pct = limits.week_pct;
    if (v->quality != GW_QUALITY_SET_ASIDE) {
        v->reasons |= limits.reasons;
        if (limits.level > v->level) {
            v->level = limits.level;
            if (v->kind != GW_KIND_DENTAL || limits.level >= GW_LEVEL_EMERGENCY) v->kind = limits.kind;
        }
        if (low_for_age(&animal, point)) {
            v->reasons |= GW_REASON_LOW_FOR_AGE;
            if (v->level < GW_LEVEL_WATCH) {
                v->level = GW_LEVEL_WATCH;
                v->kind = GW_KIND_STALL;
            }
        }
    }
    v->reasons |= point->touched;
    if ((double)n < GW_PRIOR_FEW_WEIGHINGS) v->reasons |= GW_REASON_FIRST;
    double step = isnan(now->step) ? animal.profile->usual_step : now->step;
    if (gw_quantise(now->grams / step) < GW_PRIOR_COARSE_STEPS) v->reasons |= GW_REASON_COARSE_SCALE;
}

gw_trend_status gw_trend_assess(const gw_trend_subject *subject, size_t n, const gw_trend_weighing weighings[],
                                size_t first, void *workspace, gw_trend_verdict out[], size_t *at)
{
    if (n == 0) return refuse(GW_TREND_TOO_FEW, 0, at);
    if (first >= n) return refuse(GW_TREND_OPTION, first, at);
    gw_trend_status status = check_subject(subject, at);
    if (status == GW_TREND_OK) status = check_weighings(n, weighings, at);
    if (status != GW_TREND_OK) return status;

    for (size_t i = first; i < n; i++) {
        size_t start = i + 1 > GW_WINDOW ? i + 1 - GW_WINDOW : 0;
        judge(&out[i - first], workspace, subject, i + 1 - start, &weighings[start]);
    }
    return GW_TREND_OK;
}
