/*
 * Judges series from standard input with the native engine and prints the verdicts, for comparison with the one that
 * runs as WebAssembly. All numbers as the eight bytes of a double, so that nothing is lost in between.
 *
 *   in   n_subjects, then each: birth arrived adult sensitivity species sex stage n_events n_weighings,
 *        events (from to event), weighings (at grams second step scale flags looked seen)
 *   out  each: status, then n_weighings x 22 fields
 */
#include <gramwell/trend.h>

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

enum { EVENTS = 16, WEIGHINGS = 256 };

static double next(void)
{
    double value;
    if (fread(&value, sizeof value, 1, stdin) != 1) {
        fputs("trend_dump: the input ends too early\n", stderr);
        exit(2);
    }
    return value;
}

static void put(double value)
{
    fwrite(&value, sizeof value, 1, stdout);
}

static void put_verdict(const gw_trend_verdict *v)
{
    const double fields[] = {v->expected,
                             v->low,
                             v->high,
                             v->sd,
                             v->own_level,
                             v->change_grams,
                             v->change_pct,
                             v->week_grams,
                             v->week_pct,
                             v->slope_pct_week,
                             v->slope_low,
                             v->slope_high,
                             v->weeks_of_fall,
                             v->log_odds,
                             v->mouth_log_odds,
                             v->error_share,
                             (double)v->level,
                             (double)v->kind,
                             (double)v->quality,
                             (double)v->pattern,
                             (double)v->reasons,
                             (double)v->ask_second};
    fwrite(fields, sizeof *fields, sizeof fields / sizeof *fields, stdout);
}

int main(void)
{
    static gw_trend_event events[EVENTS];
    static gw_trend_weighing weighings[WEIGHINGS];
    static gw_trend_verdict verdicts[WEIGHINGS];
    void *workspace = malloc(gw_trend_workspace_size(WEIGHINGS));
    if (!workspace) return 1;
    for (double left = next(); left > 0; left--) {
        gw_trend_subject s = {.events = events};
        s.birth = next();
        s.arrived = next();
        s.adult_grams = next();
        s.sensitivity = next();
        s.species = (int32_t)next();
        s.sex = (int32_t)next();
        s.stage = (int32_t)next();
        s.n_events = (size_t)next();
        size_t n = (size_t)next();
        if (s.n_events > EVENTS || n > WEIGHINGS) return 2;
        for (size_t i = 0; i < s.n_events; i++) {
            events[i].from = next();
            events[i].to = next();
            events[i].event = (int32_t)next();
        }
        for (size_t i = 0; i < n; i++) {
            gw_trend_weighing *w = &weighings[i];
            w->at = next();
            w->grams = next();
            w->second = next();
            w->step = next();
            w->scale = (int32_t)next();
            w->flags = (uint32_t)next();
            w->mouth_looked = (uint32_t)next();
            w->mouth_seen = (uint32_t)next();
        }
        gw_trend_status status = gw_trend_assess(&s, n, weighings, 0, workspace, verdicts, NULL);
        put((double)status);
        for (size_t i = 0; status == GW_TREND_OK && i < n; i++) put_verdict(&verdicts[i]);
    }
    free(workspace);
    return fflush(stdout) || ferror(stdout);
}
