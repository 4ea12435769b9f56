/*
 * How a home comes to its readings: the body (growth, slow waves, season, what happens to it, illness), what is in the
 * gut that day, the scale, and then the person.
 */
#include "cohort.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

const char *const illness_names[ILLNESSES] = {"healthy", "acute", "subacute",  "dental",
                                              "chronic", "stall", "whole home"};
const int illness_window[ILLNESSES] = {
    [ACUTE] = WINDOW_ACUTE,     [SUBACUTE] = WINDOW_SUBACUTE, [DENTAL] = WINDOW_DENTAL,
    [CHRONIC] = WINDOW_CHRONIC, [STALL] = WINDOW_STALL,       [WHOLE_HOME] = WINDOW_WHOLE_HOME};

typedef struct {
    int species;
    double male, female, sd, birth, speed, grown_days, senior_days, gestation;
    bool small;
} species_row;

static const species_row species_rows[] = {
#define SPECIES_ROW_(id, male, female, sd, birth, k, grown, senior, gestation, small, reason)                          \
    {GW_SPECIES_##id, male, female, sd, birth, k, grown, senior, gestation, small},
    SPECIES(SPECIES_ROW_)
#undef SPECIES_ROW_
};
enum { SPECIES_COUNT = sizeof species_rows / sizeof *species_rows };

/* ---- regimes ----------------------------------------------------------------------------------------------------- */

parameters parameters_of(regime r, double noise, double errors)
{
    static const parameters all[REGIMES] = {
#define PARAMETER_ORDINARY_(name, ordinary, rough, calm, lone, reason) .name = ordinary,
#define PARAMETER_ROUGH_(name, ordinary, rough, calm, lone, reason)    .name = rough,
#define PARAMETER_CALM_(name, ordinary, rough, calm, lone, reason)     .name = calm,
#define PARAMETER_LONE_(name, ordinary, rough, calm, lone, reason)     .name = lone,
        {PARAMETERS(PARAMETER_ORDINARY_)},
        {PARAMETERS(PARAMETER_ROUGH_)},
        {PARAMETERS(PARAMETER_CALM_)},
        {PARAMETERS(PARAMETER_LONE_)},
    };
    parameters p = all[r];
    p.fill_sd *= noise;
    p.hour_sd *= noise;
    p.shock_sd *= noise;
    p.handling_sd *= noise;
    p.slip_rate *= errors;
    p.swap_rate *= errors;
    p.lean_rate *= errors;
    p.bowl_rate *= errors;
    p.shift_rate *= errors;
    return p;
}

const char *regime_name(regime r)
{
    static const char *const names[REGIMES] = {"ordinary", "rough", "calm", "lone"};
    return names[r];
}

/* ---- one animal's body ---------------------------------------------------------------------------------------------
 */

/* What is drawn once for an animal; times are days of the study. */
typedef struct {
    const species_row *species;
    double adult, birth_day, speed; /* growth: g, day, per day */
    double wave_size[2], wave_days[2], wave_phase[2];
    double trend; /* ln a day */
    double step_day[4], step_size[4];
    int n_steps;
    double conceived, born, gain; /* NAN: never */
    double surgery, surgery_loss;
    double arrived, journey, thin;
    double fill_sd, fill; /* of this animal; the state of its AR(1) */
    /* illness */
    double size, days, recovers; /* ln, days it takes, day from which it gains again */
    double pace, wobble[STUDY_ROUNDS];
    double left; /* share of growth that goes on */
    double sign_lag, sign_false[3];
} body;

/* Size at an age as a share of the adult's. */
static double grown(const body *b, double age)
{
    double start = cbrt(b->species->birth / b->adult);
    double side = 1 - (1 - start) * exp(-b->speed * (age > 0 ? age : 0));
    return side * side * side;
}

static double wave_of(const body *b, double day)
{
    double sum = b->trend * day;
    for (int i = 0; i < 2; i++) sum += b->wave_size[i] * sin(6.283185307 * day / b->wave_days[i] + b->wave_phase[i]);
    for (int i = 0; i < b->n_steps; i++) {
        double since = (day - b->step_day[i]) / 14;
        sum += b->step_size[i] * (since < 0 ? 0 : since > 1 ? 1 : since);
    }
    return sum;
}

static double events_of(const body *b, double day)
{
    double sum = 0;
    if (day > b->conceived && day < b->born) {
        double part = (day - b->conceived) / (b->born - b->conceived);
        sum += b->gain * part * part;
    }
    if (day >= b->born) sum += 0.03 * exp(-(day - b->born) / 20);
    if (day > b->surgery) {
        double since = day - b->surgery;
        sum -= b->surgery_loss * (since < 3 ? since / 3 : since < 14 ? 1 - (since - 3) / 11 : 0);
    }
    if (day >= b->arrived) sum -= b->journey * exp(-(day - b->arrived) / 4) + b->thin * exp(-(day - b->arrived) / 25);
    return sum;
}

/* ln lost to a course that goes on at its own pace, a little more in one week than in another. */
static double slow_loss(const body *b, double since)
{
    double sum = 0;
    for (int week = 0; since > 0; week++, since -= 7) sum += b->wobble[week] * b->pace * (since < 7 ? since : 7) / 7;
    return sum < 0.4 ? sum : 0.4;
}

static double illness_of(const body *b, int kind, double since)
{
    if (since <= 0) return 0;
    switch (kind) {
    case ACUTE:
    case WHOLE_HOME: {
        double lost = b->size * (since < b->days ? since / b->days : 1);
        if (since > b->recovers) lost *= exp(-(since - b->recovers) / 14);
        return lost;
    }
    case SUBACUTE:
    case DENTAL:
    case CHRONIC:
        return slow_loss(b, since);
    default:
        return 0;
    }
}

static double body_ln(const body *b, const sim_animal *a, double day)
{
    double age = day - b->birth_day;
    if (a->illness == STALL && day > a->onset) age = a->onset - b->birth_day + b->left * (day - a->onset);
    return log(b->adult * grown(b, age)) + wave_of(b, day) + events_of(b, day) -
           illness_of(b, a->illness, day - a->onset);
}

/* ---- drawing an animal ---------------------------------------------------------------------------------------------
 */

static void draw_healthy(body *b, sim_animal *a, const parameters *p, const species_row *s, random_stream *r)
{
    bool female = random_chance(r, 0.5), young = random_chance(r, p->young_share);
    *b = (body){.species = s, .conceived = INFINITY, .born = INFINITY, .surgery = INFINITY, .arrived = INFINITY};
    b->adult = random_lognormal(r, female ? s->female : s->male, p->breed_times * s->sd);
    b->speed = random_lognormal(r, s->speed, p->speed_sd);
    a->from = 0;
    a->until = INFINITY;
    bool arrives = random_chance(r, p->arrival_share);
    if (arrives) a->from = random_between(r, 0, 70);
    bool senior = !young && random_chance(r, p->senior_share);
    double age = young ? random_between(r, 0.12, 0.35) * s->grown_days
                       : random_between(r, senior ? s->senior_days : 1.3 * s->grown_days, s->senior_days * 1.3);
    if (!senior && !young && age > 0.8 * s->senior_days) age = 0.8 * s->senior_days;
    b->birth_day = a->from - age;
    bool dated = random_chance(r, young ? p->birth_known_young : p->birth_known_adult);
    a->small = s->small;
    a->subject = (gw_trend_subject){.birth = dated ? floor(b->birth_day) : NAN,
                                    .arrived = arrives ? floor(a->from) : NAN,
                                    .adult_grams = NAN,
                                    .species = s->species,
                                    .sex = female ? GW_SEX_FEMALE : GW_SEX_MALE,
                                    .stage = young    ? GW_STAGE_YOUNG
                                             : senior ? GW_STAGE_SENIOR
                                                      : GW_STAGE_ADULT};
    b->trend = ((senior ? p->senior_trend : 0) + p->trend_sd * random_normal(r)) / 365;
    for (int i = 0; i < 2; i++) {
        b->wave_size[i] = p->wave_sd * random_normal(r); /* a sine of size N(0, sd) has sd / sqrt 2; two make sd */
        b->wave_days[i] = random_between(r, 60, 300);
        b->wave_phase[i] = random_between(r, 0, 6.283185307);
    }
    for (double day = 0; b->n_steps < 4;) {
        day -= log(1 - random_share(r)) / p->diet_rate * 365;
        if (day > 7 * STUDY_WEEKS) break;
        b->step_day[b->n_steps] = day;
        b->step_size[b->n_steps++] = p->diet_sd * random_normal(r);
    }
    b->fill_sd = random_lognormal(r, p->fill_sd * (s->small ? p->fill_small_times : 1), p->fill_animal_sd);
    b->fill = random_normal(r);
    if (arrives) {
        b->arrived = a->from;
        b->journey = fabs(p->arrival_loss * random_normal(r));
        if (!young && random_chance(r, p->thin_share)) b->thin = random_between(r, 0.04, 0.12);
    }
    for (int i = 0; i < 3; i++) b->sign_false[i] = p->sign_false;
    if (random_chance(r, p->sign_habit)) b->sign_false[random_below(r, 3)] *= 10;
}

static void draw_events(body *b, sim_animal *a, const parameters *p, random_stream *r)
{
    size_t n = 0;
    bool grown_female = a->subject.sex == GW_SEX_FEMALE && a->subject.stage == GW_STAGE_ADULT;
    if (a->illness != HEALTHY || a->subject.stage == GW_STAGE_YOUNG) return;
    if (grown_female && random_chance(r, p->pregnant_share)) {
        b->conceived = a->from + random_between(r, 60, 250);
        b->born = b->conceived + b->species->gestation;
        b->gain = p->pregnant_gain * random_between(r, 0.7, 1.3);
        double known = floor(b->conceived + 0.3 * b->species->gestation);
        a->events[n++] = (gw_trend_event){.from = known, .to = floor(b->born), .event = GW_EVENT_PREGNANT};
        a->events[n++] = (gw_trend_event){.from = floor(b->born), .to = NAN, .event = GW_EVENT_GAVE_BIRTH};
    } else if (random_chance(r, p->surgery_share)) {
        b->surgery = floor(a->from + random_between(r, 60, 500)) + 0.4;
        b->surgery_loss = p->surgery_loss * random_between(r, 0.3, 1.7);
        a->events[n++] =
            (gw_trend_event){.from = floor(b->surgery), .to = floor(b->surgery), .event = GW_EVENT_SURGERY};
    }
    a->subject.n_events = n;
}

/* A young animal can stall only while growth is due. */
static bool draw_stall(body *b, sim_animal *a, const parameters *p, random_stream *r)
{
    a->onset = a->from + random_between(r, STALL_FROM_DAYS, STALL_UNTIL_DAYS);
    b->left = p->stall_left * random_share(r);
    double age = a->onset - b->birth_day;
    return log(grown(b, age + 28) / grown(b, age)) >= STALL_GROWTH_DUE;
}

static void draw_illness(body *b, sim_animal *a, const parameters *p, random_stream *r)
{
    static const double share[] = {0.4, 0.2, 0.2, 0.2};
    a->illness = HEALTHY;
    a->onset = INFINITY;
    if (!random_chance(r, p->ill_share)) return;
    if (a->subject.stage == GW_STAGE_YOUNG && draw_stall(b, a, p, r)) {
        a->illness = STALL;
    } else {
        double pick = random_share(r);
        a->illness = ACUTE;
        for (int i = 0; i < 3 && pick >= share[i]; i++) {
            pick -= share[i];
            a->illness++;
        }
        a->onset = a->from + 7 * random_between(r, ILL_FROM_WEEK, ILL_UNTIL_WEEK - a->from / 7);
    }
    b->size = random_lognormal(r, p->acute_size, p->acute_size_sd);
    if (b->size > 0.3) b->size = 0.3;
    a->lost_pct = -100 * expm1(-b->size);
    b->days = random_between(r, 1.5, 6);
    b->recovers = random_chance(r, p->acute_recovers) ? random_between(r, 10, 20) : INFINITY;
    double week = a->illness == SUBACUTE ? p->subacute_week : a->illness == DENTAL ? p->dental_week : p->chronic_week;
    b->pace = random_lognormal(r, week, p->pace_sd);
    for (int i = 0; i < STUDY_ROUNDS; i++) b->wobble[i] = fmax(0, 1 + 0.33 * random_normal(r));
    b->sign_lag = random_between(r, 0, 21);
    a->until = a->onset + illness_window[a->illness];
}

/* All of the home lose together, each somewhat differently. */
static void draw_whole_home(body bodies[], sim_home *h, const parameters *p, random_stream *r)
{
    double onset = 7 * random_between(r, ILL_FROM_WEEK + 10, ILL_UNTIL_WEEK);
    double size = random_lognormal(r, p->whole_home_size, 0.3), days = random_between(r, 3, 10);
    double back = random_between(r, 10, 24);
    for (int i = 0; i < h->n_animals; i++) {
        sim_animal *a = &h->animals[i];
        a->illness = WHOLE_HOME;
        a->onset = onset;
        a->until = onset + WINDOW_WHOLE_HOME;
        bodies[i].size = size * random_between(r, 0.6, 1.4);
        bodies[i].days = days;
        bodies[i].recovers = back;
    }
}

/* ---- the round ------------------------------------------------------------------------------------------------------
 */

static void draw_days(sim_home *h, const parameters *p, random_stream *r)
{
    double last = -10, absent_until = -10;
    h->n_rounds = 0;
    for (int week = 0; week < STUDY_WEEKS; week++) {
        double day = 7 * week + p->day_sd * random_normal(r);
        if (random_chance(r, p->holiday_rate / 52)) absent_until = day + random_between(r, 14, 28);
        if (random_chance(r, p->round_missed) || day < absent_until || day < last + 1) continue;
        last = day;
        /* Days of the engine begin in 1970; the study in 2020. */
        h->day[h->n_rounds++] = floor(day) + 0.75 + 0.05 * random_share(r);
    }
}

static double rounded(double grams, double step)
{
    double g = step * floor(grams / step + 0.5);
    return g < step ? step : g;
}

/* ---- errors of the person
 * --------------------------------------------------------------------------------------------- */

/* Neighbours on a telephone keypad. */
static char near_key(char key, random_stream *r)
{
    static const char *const near[] = {"8", "24", "135", "26", "157", "2468", "359", "48", "5790", "68"};
    const char *keys = near[key - '0'];
    return keys[random_below(r, (int)strlen(keys))];
}

static double slip_of(double grams, double step, random_stream *r)
{
    char text[32];
    bool tenths = step < 1;
    snprintf(text, sizeof text, "%.0f", tenths ? grams * 10 : grams);
    int n = (int)strlen(text), at = random_below(r, n), before = random_below(r, n > 1 ? n - 1 : 1);
    double pick = random_share(r);
    if (pick < 0.30 && n > 1) {
        char key = text[before];
        text[before] = text[before + 1];
        text[before + 1] = key;
    } else if (pick < 0.65) {
        text[at] = near_key(text[at], r);
    } else if (pick < 0.70) {
        text[at] = (char)('0' + random_below(r, 10));
    } else if (pick < 0.78) {
        memmove(&text[at + 1], &text[at], (size_t)(n - at) + 1);
    } else if (pick < 0.90) {
        memmove(&text[at], &text[at + 1], (size_t)(n - at));
    } else {
        double wrong = grams * (random_chance(r, 0.5) ? 10 : 0.1);
        return wrong < 0.1 ? 0.1 : wrong > 30000 ? 30000 : rounded(wrong, 0.1);
    }
    double wrong = strtod(text, NULL) * (tenths ? 0.1 : 1);
    return wrong < 0.1 ? 0.1 : wrong > 30000 ? 30000 : wrong;
}

static void make_slip(sim_home *h, int i, int round, const parameters *p, random_stream *r)
{
    sim_reading *w = &h->animals[i].readings[round];
    if (random_chance(r, p->slip_rate)) {
        w->reading = slip_of(w->reading, h->step, r);
        w->error = ERROR_SLIP;
    } else if (random_chance(r, p->lean_rate)) {
        double share = 1 - random_between(r, 0.03, 0.30);
        w->reading = rounded(w->reading * share, h->step);
        w->error = ERROR_LEAN;
        if (random_chance(r, 0.2)) w->again[0] = rounded(w->again[0] * share, h->step);
    }
}

static void make_swap(sim_home *h, int i, int round, const parameters *p, random_stream *r)
{
    if (!random_chance(r, p->swap_rate)) return;
    int mate = random_below(r, h->n_animals);
    sim_reading *w = &h->animals[i].readings[round], *other = &h->animals[mate].readings[round];
    if (mate == i || !other->weighed || h->animals[mate].subject.species != h->animals[i].subject.species) return;
    bool noticed = random_chance(r, p->notice_swap), both = random_chance(r, 0.6);
    double own[3] = {w->reading, w->again[0], w->again[1]};
    w->reading = other->reading;
    w->error = ERROR_SWAP;
    if (!noticed) memcpy(w->again, other->again, sizeof w->again);
    if (!both) return;
    other->reading = own[0];
    other->error = ERROR_SWAP;
    if (!noticed) memcpy(other->again, &own[1], sizeof other->again);
}

static void make_bowl(sim_home *h, int round, const parameters *p, random_stream *r)
{
    h->bowl_noticed[round] = random_chance(r, p->notice_bowl);
    if (!random_chance(r, p->bowl_rate)) return;
    double grams = random_lognormal(r, p->bowl_grams * (h->animals[0].small ? 0.5 : 1), 0.5);
    if (random_chance(r, 0.1)) grams *= -0.5;
    grams = rounded(fabs(grams), h->step) * (grams < 0 ? -1 : 1);
    for (int i = random_below(r, h->n_animals); i < h->n_animals; i++) {
        sim_reading *w = &h->animals[i].readings[round];
        if (!w->weighed || w->reading + grams < h->step) continue;
        w->reading += grams;
        if (w->error == ERROR_NONE) w->error = ERROR_BOWL;
        for (int k = 0; k < 2 && !h->bowl_noticed[round]; k++) w->again[k] += grams;
    }
}

/* ---- readings -------------------------------------------------------------------------------------------------------
 */

/* What moves all animals of a home; carried from round to round. */
typedef struct {
    double season_size, season_phase, shock, shift;
    int shift_left;
} weather;

static void next_weather(weather *air, const parameters *p, double gap, random_stream *r, double *common)
{
    double keep = pow(0.5, gap / 7);
    air->shock = keep * air->shock + p->shock_sd * sqrt(1 - keep * keep) * random_normal(r);
    if (air->shift_left > 0)
        air->shift_left--;
    else if (random_chance(r, p->shift_rate / 52)) {
        air->shift = p->shift_sd * random_normal(r);
        air->shift_left = 1 + random_below(r, 4);
    }
    if (air->shift_left == 0) air->shift = 0;
    *common = air->shock;
    if (random_chance(r, p->hour_chance)) *common += p->hour_sd * random_normal(r);
}

static void read_mouth(sim_reading *w, const body *b, const sim_animal *a, const parameters *p, random_stream *r)
{
    if (!random_chance(r, p->sign_looked)) return;
    w->looked = GW_MOUTH_TEETH | GW_MOUTH_CHIN | GW_MOUTH_FOOD;
    bool sick = a->illness == DENTAL && w->at > a->onset + b->sign_lag;
    for (int g = 0; g < 3; g++) {
        double chance = b->sign_false[g];
        if (sick) chance += (1 - chance) * p->sign_true;
        if (random_chance(r, chance)) w->seen |= 1u << g;
    }
}

static void read_animal(sim_home *h, int i, int round, body *b, const parameters *p, const weather *air, double common,
                        random_stream *r)
{
    sim_animal *a = &h->animals[i];
    sim_reading *w = &a->readings[round];
    *w = (sim_reading){.at = h->day[round] + 0.004 * i};
    b->fill =
        p->fill_memory * b->fill + sqrt(1 - p->fill_memory * p->fill_memory) * random_heavy(r, (int)p->fill_freedom);
    bool missed = random_chance(r, p->animal_missed);
    if (missed || w->at < a->from || w->at > a->until) return;
    w->weighed = true;
    double season =
        air->season_size * (a->subject.species == GW_SPECIES_CHINCHILLA ? p->season_chinchilla : p->season_sd);
    double truth = exp(body_ln(b, a, w->at) + season * sin(6.283185307 * w->at / 365 + air->season_phase) + common +
                       b->fill_sd * b->fill);
    double shown = truth * exp(air->shift);
    w->truth = rounded(truth, h->step);
    w->reading = rounded(shown * exp(p->handling_sd * random_normal(r)), h->step);
    for (int k = 0; k < 2; k++) w->again[k] = rounded(shown * exp(p->handling_sd * random_normal(r)), h->step);
    read_mouth(w, b, a, p, r);
}

static void pick_species(sim_home *h, const species_row *picked[], const parameters *p, random_stream *r)
{
    int least = p->home_most > 2 ? 2 : 1;
    h->n_animals = least + random_below(r, (int)p->home_most - least + 1);
    const species_row *first = &species_rows[random_below(r, SPECIES_COUNT)], *second = first;
    while (second == first || second->small != first->small) second = &species_rows[random_below(r, SPECIES_COUNT)];
    bool mixed = random_chance(r, 0.35);
    for (int i = 0; i < h->n_animals; i++) picked[i] = mixed && random_chance(r, 0.4) ? second : first;
    h->step = first->small && !random_chance(r, p->coarse_chance) ? 0.1 : 1;
}

void home_make(sim_home *h, const parameters *p, uint64_t seed, uint64_t number)
{
    random_stream r;
    body bodies[HOME_ANIMALS];
    const species_row *picked[HOME_ANIMALS];
    random_seed(&r, seed, number);
    memset(h, 0, sizeof *h);
    pick_species(h, picked, p, &r);
    draw_days(h, p, &r);
    bool whole_home = random_chance(&r, p->whole_home_share);
    for (int i = 0; i < h->n_animals; i++) {
        draw_healthy(&bodies[i], &h->animals[i], p, picked[i], &r);
        if (!whole_home) draw_illness(&bodies[i], &h->animals[i], p, &r);
    }
    if (whole_home) draw_whole_home(bodies, h, p, &r);
    for (int i = 0; i < h->n_animals; i++) draw_events(&bodies[i], &h->animals[i], p, &r);

    weather air = {.season_size = random_between(&r, 0.5, 1.5), .season_phase = random_between(&r, 0, 6.283185307)};
    for (int round = 0; round < h->n_rounds; round++) {
        double common;
        next_weather(&air, p, round ? h->day[round] - h->day[round - 1] : 7, &r, &common);
        for (int i = 0; i < h->n_animals; i++) read_animal(h, i, round, &bodies[i], p, &air, common, &r);
        for (int i = 0; i < h->n_animals; i++)
            if (h->animals[i].readings[round].weighed) make_slip(h, i, round, p, &r);
        for (int i = 0; i < h->n_animals; i++)
            if (h->animals[i].readings[round].weighed) make_swap(h, i, round, p, &r);
        make_bowl(h, round, p, &r);
        for (int i = 0; i < h->n_animals; i++) {
            sim_reading *w = &h->animals[i].readings[round];
            if (w->weighed && w->error) w->matters = fabs(log(w->reading / w->truth)) > ERROR_MATTERS;
        }
    }
}
