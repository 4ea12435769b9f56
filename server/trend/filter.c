/*
 * The healthy animal: a Kalman filter over log weights with gaps, and the settling of weighings in doubt.
 *
 *   y(t) - c(t) = level + wave + speed (c(t) - c(t0)) + trend (t - t0) / 7 + noise
 *
 * level is a random walk, wave an Ornstein-Uhlenbeck process, speed and trend are constants. Where the age is known the
 * speed acts on c(t) itself and the level starts at the adult weight of the species: an animal that was heavy at birth
 * need not become a heavy adult (SAMPAIO: a deviation from the curve shrinks from one weighing to the next). R. E.
 * Kalman, Trans. ASME J. Basic Eng. 82 (1960) 35-45 (from memory). Checked in tests/reference against R and statsmodels
 * with wave, speed and trend switched off (the local level model).
 */
#include "trend_internal.h"

enum { LEVEL, WAVE, SPEED, TREND };

static bool age_known(const gw_animal *animal)
{
    return animal->curve_size > 0 && !isnan(animal->subject->birth);
}

void gw_filter_start(gw_state *state, const gw_animal *animal, const gw_point *first)
{
    *state = (gw_state){.mean = {first->y - first->curve, 0, animal->growth_mean, animal->trend_mean}};
    state->cov[LEVEL][LEVEL] = GW_PRIOR_LEVEL_START_VAR;
    if (age_known(animal)) {
        double spread = GW_PRIOR_AGE_KNOWN_SIZE * animal->profile->adult_sd;
        state->mean[LEVEL] = log(animal->adult);
        state->cov[LEVEL][LEVEL] = spread * spread;
    }
    state->cov[WAVE][WAVE] = GW_PRIOR_WAVE_SD * GW_PRIOR_WAVE_SD;
    state->cov[SPEED][SPEED] = animal->growth_var;
    state->cov[TREND][TREND] = animal->trend_sd * animal->trend_sd;
}

void gw_filter_predict(gw_state *state, const gw_point *point)
{
    state->mean[WAVE] *= point->keep;
    for (int i = 0; i < GW_STATES; i++) {
        state->cov[WAVE][i] *= point->keep;
        state->cov[i][WAVE] *= point->keep;
    }
    state->cov[LEVEL][LEVEL] += point->walk;
    state->cov[WAVE][WAVE] += point->wave;
}

void gw_filter_row(double row[GW_STATES], const gw_animal *animal, const gw_point *first, const gw_point *point)
{
    row[LEVEL] = 1;
    row[WAVE] = 1;
    row[SPEED] = age_known(animal) ? point->curve : point->curve - first->curve;
    row[TREND] = (point->at - first->at) / 7;
}

double gw_filter_expect(const gw_state *state, const double row[GW_STATES], double *variance)
{
    double mean = 0, sum = 0;
    for (int i = 0; i < GW_STATES; i++) {
        mean += row[i] * state->mean[i];
        for (int k = 0; k < GW_STATES; k++) sum += row[i] * state->cov[i][k] * row[k];
    }
    *variance = sum;
    return mean;
}

void gw_filter_update(gw_state *state, const double row[GW_STATES], double innovation, double variance,
                      double gain[GW_STATES])
{
    double reach[GW_STATES];
    for (int i = 0; i < GW_STATES; i++) {
        reach[i] = 0;
        for (int k = 0; k < GW_STATES; k++) reach[i] += state->cov[i][k] * row[k];
        gain[i] = reach[i] / variance;
        state->mean[i] += gain[i] * innovation;
    }
    for (int i = 0; i < GW_STATES; i++)
        for (int k = 0; k <= i; k++) {
            state->cov[i][k] -= gain[i] * reach[k];
            state->cov[k][i] = state->cov[i][k];
        }
}

/* ---- settling weighings in doubt ------------------------------------------------------------------------------- */

/* What may be true of a weighing in doubt; the next weighing decides. */
enum { AS_READ, MOVED, IN_ERROR, NEW_LEVEL, HISTORIES };

typedef struct {
    gw_state state[HISTORIES];
    double weight[HISTORIES];
    size_t at;    /* the weighing in doubt */
    bool waiting; /* false: only state[AS_READ] counts */
    bool fell;    /* the weighing in doubt was lower than predicted */
} histories;

static void absorb(gw_state *state, const double row[GW_STATES], const gw_point *point, double extra)
{
    double variance, gain[GW_STATES];
    state->cov[LEVEL][LEVEL] += extra;
    double expected = gw_filter_expect(state, row, &variance);
    gw_filter_update(state, row, point->y - point->curve - expected, variance + point->noise, gain);
}

/* Score the histories on the weighing that came next, keep the likeliest, mark the weighing that was in doubt. */
static bool settle(histories *h, const double row[GW_STATES], const gw_point *now, gw_point points[])
{
    int best = AS_READ;
    for (int i = 0; i < HISTORIES; i++) {
        double variance;
        double off = now->y - now->curve - gw_filter_expect(&h->state[i], row, &variance);
        /* The deciding weighing may be wrong itself, hence the stray share with its flat density. */
        h->weight[i] *= (1 - GW_PRIOR_STRAY_SHARE) * gw_normal(off, variance + now->noise) + GW_PRIOR_STRAY_SHARE;
        if (h->weight[i] > h->weight[best]) best = i;
    }
    h->waiting = false;
    h->state[AS_READ] = h->state[best];
    if (best == IN_ERROR) points[h->at].use = GW_USE_ASIDE;
    /* A rise to a new level is believed and forgotten; a fall is believed and must still be explained. */
    if (best == NEW_LEVEL && !h->fell) points[h->at].use = GW_USE_NEW_LEVEL;
    return best == NEW_LEVEL;
}

static void doubt(histories *h, const gw_evidence *e, const double row[GW_STATES], const gw_point *point, size_t at)
{
    double variance;
    gw_state before = h->state[AS_READ];
    double off = point->y - point->curve - gw_filter_expect(&before, row, &variance);
    double wide = GW_PRIOR_NEW_LEVEL_SD * GW_PRIOR_NEW_LEVEL_SD;
    double sudden = GW_PRIOR_LOSS_LARGE_TO * GW_PRIOR_LOSS_LARGE_TO / 4;
    h->waiting = true;
    h->fell = off < 0;
    h->at = at;
    for (int i = 0; i < HISTORIES; i++) h->state[i] = before;
    absorb(&h->state[AS_READ], row, point, 0);
    absorb(&h->state[MOVED], row, point, sudden);
    absorb(&h->state[NEW_LEVEL], row, point, wide);
    h->weight[AS_READ] = e->read;
    h->weight[MOVED] = e->moved;
    h->weight[IN_ERROR] = e->slip + e->other + e->leaning + e->gross;
    h->weight[NEW_LEVEL] =
        (at <= 1 ? GW_PRIOR_NEW_LEVEL_EARLY : GW_PRIOR_NEW_LEVEL) * gw_normal(off, variance + point->noise + wide);
}

/* The animal's own noise: squared innovations, cut, shrunk to the species value. */
typedef struct {
    double sum, count;
} own_noise;

static double own_factor(const own_noise *own)
{
    return (GW_PRIOR_OWN_NOISE_WEIGHT + own->sum) / (GW_PRIOR_OWN_NOISE_WEIGHT + own->count);
}

static void own_learn(own_noise *own, double z2)
{
    own->sum += own_factor(own) * (z2 < GW_PRIOR_OWN_NOISE_CUT ? z2 : GW_PRIOR_OWN_NOISE_CUT);
    own->count++;
}

/* The first weighing has no past: only what the species can weigh speaks. */
static void first_reading(gw_evidence *e, const gw_animal *animal, const gw_point *point)
{
    double highest = animal->profile->highest, lowest = animal->profile->lowest;
    if (!gw_is_adult(animal, point->at, animal->adult > 0 ? animal->adult : point->grams) ||
        animal->subject->stage == GW_STAGE_UNKNOWN)
        lowest = animal->profile->birth_grams / 3;
    bool fits = point->grams >= lowest && point->grams <= highest;
    *e = (gw_evidence){.read = fits ? 1 : 0.01, .gross = fits ? 0.001 : 0.99};
}

/* Recorded as pregnant, or an adult female that has grown as if she were: a fall may be a birth nobody has recorded. */
static bool looks_pregnant(const gw_window *window, const gw_animal *animal, size_t i)
{
    const gw_trend_subject *subject = animal->subject;
    const gw_point *now = &window->points[i];
    if (gw_during(subject, GW_EVENT_PREGNANT, now->at)) return true;
    if (subject->sex == GW_SEX_MALE || animal->young != GW_YOUNG_NO) return false;
    double last = NAN, lowest = NAN;
    while (i-- > 0 && now->at - window->points[i].at <= GW_PRIOR_PREGNANT_BACK) {
        const gw_point *p = &window->points[i];
        if (p->use == GW_USE_ASIDE) continue;
        if (isnan(last)) last = p->grams;
        if (isnan(lowest) || p->grams < lowest) lowest = p->grams;
    }
    return last >= GW_PRIOR_PREGNANT_LOOKS * lowest;
}

void gw_filter_screen(gw_window *window, const gw_animal *animal, size_t n, const gw_trend_weighing weighings[],
                      gw_reading *last)
{
    histories h = {0};
    own_noise own = {0};
    double row[GW_STATES], fill2 = animal->profile->fill * animal->profile->fill;
    const gw_point *first = &window->points[0];

    gw_filter_start(&h.state[AS_READ], animal, first);
    *last = (gw_reading){.mean = NAN, .variance = NAN};
    for (size_t i = 0; i < n; i++) {
        gw_point *point = &window->points[i];
        bool given_up = point->use == GW_USE_ASIDE;
        point->noise = own_factor(&own) * fill2 + point->coarse;
        gw_filter_row(row, animal, first, point);
        for (int k = 0; k < (h.waiting ? HISTORIES : 1); k++)
            if (i > 0) gw_filter_predict(&h.state[k], point);
        last->new_level = h.waiting && !given_up && settle(&h, row, point, window->points);

        double variance;
        double expected = gw_filter_expect(&h.state[AS_READ], row, &variance);
        double off = point->y - point->curve - expected;
        variance += point->noise;
        last->mean = i > 0 ? expected + point->curve : NAN;
        last->variance = i > 0 ? variance : NAN;
        last->share = 0;
        last->evidence = (gw_evidence){.read = 1};
        if (given_up) {
            last->share = 1;
            continue;
        }

        double z2 = gw_quantise(off * off / variance);
        if (i == 0)
            first_reading(&last->evidence, animal, point);
        else if (z2 > GW_PRIOR_SCREEN_SD * GW_PRIOR_SCREEN_SD)
            gw_evidence_of(&last->evidence, animal, &weighings[i], expected + point->curve, variance, point->noise,
                           looks_pregnant(window, animal, i));
        last->share = gw_quantise(gw_evidence_share(&last->evidence));
        if (last->share > GW_PRIOR_DOUBT) {
            doubt(&h, &last->evidence, row, point, i);
        } else {
            absorb(&h.state[AS_READ], row, point, 0);
        }
        if (i > 0 && last->share <= GW_PRIOR_ASIDE) own_learn(&own, z2);
    }
}

/* ---- the settled window ---------------------------------------------------------------------------------------- */

/* Index of the nearest weighing before (or after, direction 1) that counts; n when there is none. */
static size_t neighbour(const gw_window *window, size_t n, size_t i, int direction)
{
    while (direction > 0 ? ++i < n : i-- > 0)
        if (window->points[i].use != GW_USE_ASIDE) return i;
    return n;
}

/* A weighing far from the mean of its two neighbours is noisier than it was taken for. */
static double spike_noise(const gw_window *window, size_t n, size_t i)
{
    const gw_point *p = &window->points[i];
    size_t before = neighbour(window, n, i, -1), after = neighbour(window, n, i, 1);
    if (before == n || after == n || p->use != GW_USE_READ || window->points[after].use == GW_USE_NEW_LEVEL)
        return p->noise;
    const gw_point *b = &window->points[before], *a = &window->points[after];
    double off = p->y - p->curve - 0.5 * (b->y - b->curve + a->y - a->curve);
    double variance = p->noise + 0.25 * (b->noise + a->noise) + 0.5 * (p->walk + a->walk + p->wave + a->wave);
    bool spike = gw_quantise(off * off / variance) > GW_PRIOR_SPIKE_SD * GW_PRIOR_SPIKE_SD;
    return spike ? GW_PRIOR_SPIKE_FACTOR * p->noise : p->noise;
}

void gw_filter_run(gw_window *window, const gw_animal *animal, size_t n)
{
    gw_state state;
    gw_filter_start(&state, animal, &window->points[0]);
    for (size_t i = 0; i < n; i++) {
        const gw_point *point = &window->points[i];
        gw_step *step = &window->steps[i];
        *step = (gw_step){.keep = point->keep, .used = point->use != GW_USE_ASIDE};
        gw_filter_row(step->row, animal, &window->points[0], point);
        if (i > 0) gw_filter_predict(&state, point);
        if (point->use == GW_USE_NEW_LEVEL) state.cov[LEVEL][LEVEL] += GW_PRIOR_NEW_LEVEL_SD * GW_PRIOR_NEW_LEVEL_SD;
        double variance;
        step->innovation = point->y - point->curve - gw_filter_expect(&state, step->row, &variance);
        step->variance = variance + spike_noise(window, n, i);
        if (step->used) gw_filter_update(&state, step->row, step->innovation, step->variance, step->gain);
    }
}
