/*
 * How far a weighing may be off, and how far the animal may move between two of them.
 *
 * The noise of one weighing is gut and bladder fill (CIZEK, ELFERS show its size) times the animal's own factor, the
 * rounding of the scale and the handling. Events add variance to the level or to the benign wave.
 */
#include "trend_internal.h"

static double square(double x)
{
    return x * x;
}

/* Days of [from, to] that lie in (after, until]. */
static double overlap(double from, double to, double after, double until)
{
    double low = from > after ? from : after, high = to < until ? to : until;
    return high > low ? high - low : 0;
}

bool gw_during(const gw_trend_subject *subject, gw_event event, double at)
{
    for (size_t i = 0; i < subject->n_events; i++) {
        const gw_trend_event *e = &subject->events[i];
        if (e->event == (int32_t)event && e->from <= at && (isnan(e->to) || at < e->to + 1)) return true;
    }
    return false;
}

bool gw_between(const gw_trend_subject *subject, gw_event event, double after, double until)
{
    for (size_t i = 0; i < subject->n_events; i++) {
        const gw_trend_event *e = &subject->events[i];
        if (e->event == (int32_t)event && e->from > after && e->from <= until) return true;
    }
    return false;
}

/* A birth is known to the day: one on the day of a weighing may have come before it or after it. */
static bool birth_in_gap(const gw_trend_event *e, double before, double at)
{
    return e->from + 1 > before && e->from <= at;
}

static void add_events(gw_point *point, const gw_trend_subject *subject, double before, double at)
{
    for (size_t i = 0; i < subject->n_events; i++) {
        const gw_trend_event *e = &subject->events[i];
        double to = isnan(e->to) ? at : e->to + 1;
        switch (e->event) {
        case GW_EVENT_PREGNANT:
            point->walk += square(GW_PRIOR_PREGNANT_SD) * overlap(e->from, to, before, at) / 7;
            break;
        case GW_EVENT_GAVE_BIRTH: {
            if (birth_in_gap(e, before, at)) {
                point->walk += square(GW_PRIOR_BIRTH_SD);
                point->touched |= GW_REASON_BIRTH;
            }
            double nursing = overlap(e->from, e->from + GW_PRIOR_AFTER_BIRTH_DAYS, before, at);
            point->walk += square(GW_PRIOR_AFTER_BIRTH_SD) * nursing / 7;
            break;
        }
        case GW_EVENT_SURGERY: {
            double days = overlap(e->from, e->from + GW_PRIOR_SURGERY_DAYS, before, at);
            point->wave += square(GW_PRIOR_SURGERY_SD) * days / 7;
            if (days > 0) point->touched |= GW_REASON_SURGERY;
            break;
        }
        default:
            break;
        }
    }
}

static void add_gap(gw_point *point, const gw_point *before, const gw_animal *animal, const gw_trend_weighing *now,
                    const gw_trend_weighing *last)
{
    const gw_trend_subject *subject = animal->subject;
    point->gap = point->at - before->at;
    point->keep = exp(-point->gap / GW_PRIOR_WAVE_DAYS);
    point->walk = (square(GW_PRIOR_LEVEL_WALK) + animal->maybe_walk) * point->gap / 7;
    point->wave = square(GW_PRIOR_WAVE_SD) * (1 - point->keep * point->keep);
    double pace = isnan(subject->birth) ? GW_PRIOR_GROWTH_GAP_GUESSED : GW_PRIOR_GROWTH_GAP;
    point->walk += square(pace * (point->curve - before->curve));
    add_events(point, subject, before->at, point->at);
    if (!isnan(subject->arrived)) {
        double settling = overlap(subject->arrived, subject->arrived + GW_PRIOR_ARRIVAL_DAYS, before->at, point->at);
        point->walk += square(GW_PRIOR_ARRIVAL_SD) * settling / 7;
        if (point->at - subject->arrived <= GW_PRIOR_ARRIVED_DAYS && settling > 0) point->touched |= GW_REASON_ARRIVED;
    }
    if (now->scale >= 0 && last->scale >= 0 && now->scale != last->scale)
        point->walk += square(GW_PRIOR_OTHER_SCALE_SD) + square(GW_PRIOR_OTHER_SCALE_GRAMS / point->grams);
    if (!isnan(subject->birth)) {
        double newborn = overlap(subject->birth, subject->birth + animal->profile->neonate_days, before->at, point->at);
        point->walk += square(GW_PRIOR_NEONATE_SD) * newborn;
    }
}

void gw_window_fill(gw_window *window, const gw_animal *animal, size_t n, const gw_trend_weighing weighings[])
{
    for (size_t i = 0; i < n; i++) {
        const gw_trend_weighing *w = &weighings[i];
        gw_point *point = &window->points[i];
        double step = isnan(w->step) ? animal->profile->usual_step : w->step;
        *point = (gw_point){.at = w->at, .grams = w->grams, .y = log(w->grams), .keep = 1};
        point->curve = gw_curve(animal, w->at);
        point->coarse = square(GW_PRIOR_STEP_SHARE * step / w->grams) + square(GW_PRIOR_NOISE_FLOOR);
        /* Two readings that do not agree: the truth lies somewhere between them. */
        if (!isnan(w->second)) {
            double apart = fabs(log(w->second / w->grams));
            if (apart > GW_PRIOR_SECOND_NEAR) point->coarse += square(0.5 * apart);
        }
        point->noise = square(animal->profile->fill) + point->coarse;
        if (w->flags & GW_WEIGHING_SET_ASIDE) point->use = GW_USE_ASIDE;
        if (i > 0) add_gap(point, &window->points[i - 1], animal, w, &weighings[i - 1]);
    }
}
