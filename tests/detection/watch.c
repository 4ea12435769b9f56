/*
 * The engine, used as the server uses it: each weighing is judged by its animal's past, then the session on the scale
 * is judged together, and what it sets aside is marked in the animals' histories. Nobody sees the truth or the future.
 */
#include "watch.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "rules.h"

enum { HISTORY = 60 }; /* what server and phone hand to the engine */

typedef struct {
    gw_trend_weighing history[STUDY_ROUNDS];
    gw_trend_verdict alone, final; /* of the newest */
    size_t n;
} watched;

static void judge(watched *w, const sim_animal *a, void *workspace)
{
    gw_trend_subject subject = a->subject;
    subject.events = a->events;
    size_t start = w->n > HISTORY ? w->n - HISTORY : 0, n = w->n - start;
    gw_trend_status status = gw_trend_assess(&subject, n, &w->history[start], n - 1, workspace, &w->alone, NULL);
    if (status != GW_TREND_OK) {
        fprintf(stderr, "detection: the engine refuses a series (%d)\n", (int)status);
        exit(1);
    }
    w->final = w->alone;
}

static double middle(double a, double b, double c)
{
    return fmax(fmin(a, b), fmin(fmax(a, b), c));
}

/* A second reading; a third when the first two do not agree. The weight is their median. */
static void weigh_again(gw_trend_weighing *w, const sim_reading *r)
{
    w->second = r->again[0];
    bool agree = fabs(r->again[0] / r->reading - 1) <= 0.015;
    w->grams = agree ? 0.5 * (r->reading + r->again[0]) : middle(r->reading, r->again[0], r->again[1]);
}

/* Once the person has seen that the bowl was not at zero, it is at zero for the rest. */
static void first_reading(gw_trend_weighing *w, const sim_reading *r, bool zeroed)
{
    bool fixed = zeroed && r->error == ERROR_BOWL;
    *w = (gw_trend_weighing){.at = r->at,
                             .grams = fixed ? r->again[0] : r->reading,
                             .second = NAN,
                             .scale = 0,
                             .mouth_looked = r->looked,
                             .mouth_seen = r->seen};
}

static void judge_session(const sim_home *home, watched animals[], const int order[], size_t n)
{
    gw_trend_session_item items[HOME_ANIMALS];
    gw_trend_session session;
    for (size_t i = 0; i < n; i++) {
        const watched *w = &animals[order[i]];
        items[i] = (gw_trend_session_item){.grams = w->history[w->n - 1].grams,
                                           .verdict = w->alone,
                                           .flags = w->history[w->n - 1].flags,
                                           .species = home->animals[order[i]].subject.species};
    }
    if (gw_trend_session_judge(n, items, &session, NULL) != GW_TREND_OK) {
        fprintf(stderr, "detection: the engine refuses a session\n");
        exit(1);
    }
    for (size_t i = 0; i < n; i++) animals[order[i]].final = items[i].verdict;
}

/* What session or kind of animal forbids to believe: such odds never become an alert. */
static float odds_of(const gw_trend_verdict *v)
{
    bool other = (v->reasons & GW_REASON_OTHER_ANIMAL) && v->quality == GW_QUALITY_SET_ASIDE;
    bool season = (v->reasons & GW_REASON_SEASON) && (v->reasons & GW_REASON_ODDS);
    if (isnan(v->log_odds) || (v->reasons & GW_REASON_TARE) || other || season) return -99;
    return (float)v->log_odds;
}

static void watch_round(seen_home *out, const sim_home *home, int round, watched animals[], bool second,
                        void *workspace)
{
    int order[HOME_ANIMALS];
    size_t n = 0;
    bool zeroed = false;
    for (int i = 0; i < home->n_animals; i++) {
        const sim_reading *r = &home->animals[i].readings[round];
        if (!r->weighed) continue;
        watched *w = &animals[i];
        gw_trend_weighing *now = &w->history[w->n++];
        first_reading(now, r, zeroed);
        now->step = home->step;
        judge(w, &home->animals[i], workspace);
        if (second && w->alone.ask_second) {
            weigh_again(now, r);
            zeroed = zeroed || (r->error == ERROR_BOWL && home->bowl_noticed[round]);
            judge(w, &home->animals[i], workspace);
        }
        order[n++] = i;
    }
    if (n == 0) return;
    judge_session(home, animals, order, n);
    /* The session may ask for more: those are weighed again, once, and the session is judged anew. */
    bool more = false;
    for (size_t i = 0; second && i < n; i++) {
        watched *w = &animals[order[i]];
        gw_trend_weighing *now = &w->history[w->n - 1];
        if (!w->final.ask_second || !isnan(now->second)) continue;
        weigh_again(now, &home->animals[order[i]].readings[round]);
        judge(w, &home->animals[order[i]], workspace);
        more = true;
    }
    if (more) judge_session(home, animals, order, n);
    for (size_t i = 0; i < n; i++) {
        watched *w = &animals[order[i]];
        seen_animal *a = &out->animals[order[i]];
        const sim_reading *r = &home->animals[order[i]].readings[round];
        gw_trend_weighing *now = &w->history[w->n - 1];
        bool aside = w->final.quality == GW_QUALITY_SET_ASIDE;
        if (aside && w->alone.quality != GW_QUALITY_SET_ASIDE) now->flags |= GW_WEIGHING_SET_ASIDE;
        seen_weighing *s = &a->weighings[a->n++];
        *s = (seen_weighing){.at = r->at,
                             .set_aside = aside,
                             .asked = !isnan(now->second),
                             .error = r->error,
                             .off = log(r->reading / r->truth),
                             .matters = r->matters,
                             .level = w->final.level,
                             .kind = w->final.kind,
                             .reasons = w->final.reasons};
        s->corrected = r->matters && fabs(log(now->grams / r->truth)) <= ERROR_MATTERS;
        s->score[WATCH_LEVEL] = (float)w->final.level;
        s->score[WATCH_ODDS] = odds_of(&w->final);
    }
}

void home_watch(seen_home *out, const sim_home *home, bool second)
{
    watched *animals = calloc(HOME_ANIMALS, sizeof *animals);
    void *workspace = malloc(gw_trend_workspace_size(HISTORY));
    *out = (seen_home){.n_animals = home->n_animals};
    for (int i = 0; i < home->n_animals; i++) {
        const sim_animal *a = &home->animals[i];
        out->animals[i] = (seen_animal){.illness = a->illness,
                                        .species = a->subject.species,
                                        .from = a->from,
                                        .onset = a->onset,
                                        .lost_pct = a->lost_pct,
                                        .young = a->subject.stage == GW_STAGE_YOUNG};
        out->animals[i].weighings = calloc(STUDY_ROUNDS, sizeof(seen_weighing));
        if (!out->animals[i].weighings) abort();
    }
    if (!animals || !workspace) abort();
    for (int round = 0; round < home->n_rounds; round++) watch_round(out, home, round, animals, second, workspace);
    for (int i = 0; i < home->n_animals; i++) rules_watch(&out->animals[i], animals[i].history);
    free(animals);
    free(workspace);
}

void home_forget(seen_home *out)
{
    for (int i = 0; i < out->n_animals; i++) free(out->animals[i].weighings);
}
