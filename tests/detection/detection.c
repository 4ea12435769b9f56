/*
 * detection: how well the trend engine tells illness from everything else, beside rules in use and standard charts.
 *
 * Makes a cohort from a seed, lets everybody watch it, and prints the tables of server/trend/README.md.
 */
#include <math.h>
#include <pthread.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "figures.h"

enum { THREADS_MOST = 16 };

static const char usage[] =
    "usage: detection [--homes N] [--seed N] [--regime ordinary|rough|calm|lone] [--noise X] [--errors X] [--threads "
    "N]\n"
    "                 [--second] [--causes] [--brief] [--check]\n\n"
    "--noise, --errors  noise and error rates, times those of the regime\n"
    "--second           a second reading is taken where the engine asks for one\n"
    "--causes           where the engine's false alerts come from\n"
    "--brief            the engine alone, one line\n"
    "--check            compare with the least that a sound engine reaches; exit status 1 when it does not\n";

typedef struct {
    size_t homes;
    uint64_t seed;
    regime regime;
    double noise, errors;
    int threads;
    bool second, causes, brief, check;
} options;

/* ---- the cohort, one thread for every n-th home --------------------------------------------------------------------
 */

typedef struct {
    const options *o;
    const parameters *p;
    cohort *c;
    size_t first;
} work;

static void *watch_homes(void *argument)
{
    const work *w = argument;
    sim_home *home = malloc(sizeof *home);
    if (!home) abort();
    for (size_t h = w->first; h < w->o->homes; h += (size_t)w->o->threads) {
        home_make(home, w->p, w->o->seed, h);
        home_watch(&w->c->homes[h], home, w->o->second);
    }
    free(home);
    return NULL;
}

static void cohort_make(cohort *c, const options *o)
{
    parameters p = parameters_of(o->regime, o->noise, o->errors);
    pthread_t threads[THREADS_MOST];
    work works[THREADS_MOST];
    *c = (cohort){.n = o->homes, .homes = calloc(o->homes, sizeof(seen_home))};
    if (!c->homes) abort();
    for (int t = 0; t < o->threads; t++) {
        works[t] = (work){.o = o, .p = &p, .c = c, .first = (size_t)t};
        if (pthread_create(&threads[t], NULL, watch_homes, &works[t])) abort();
    }
    for (int t = 0; t < o->threads; t++) pthread_join(threads[t], NULL);
}

static void cohort_free(cohort *c)
{
    for (size_t h = 0; h < c->n; h++) home_forget(&c->homes[h]);
    free(c->homes);
}

/* ---- tables
 * ---------------------------------------------------------------------------------------------------------- */

static const struct {
    watcher watcher;
    double own; /* the threshold that the rule itself names */
    const char *name;
} rows[] = {
    {WATCH_WEEK, 10, "10 % under last week"},
    {WATCH_OUNCES, 113, "ounces in a week (GLYNX), guinea pigs"},
    {WATCH_TWO_WEEKS, 1, "5 % two weeks in a row, or 10 % under own mean"},
    {WATCH_CUSUM, 5, "CUSUM, own baseline"},
    {WATCH_EWMA, 3, "EWMA, own baseline"},
    {WATCH_EWMA_SCREENED, 3, "EWMA on what the engine has not set aside"},
    {WATCH_ODDS, NAN, "Gramwell, odds"},
    {WATCH_LEVEL, GW_LEVEL_VET_SOON, "Gramwell as delivered, limits included"},
};
enum { ROWS = sizeof rows / sizeof *rows };

static void print_cell(double pct, double days)
{
    printf(" %.0f / ", pct);
    if (isnan(days))
        printf("- |");
    else
        printf("%.0f |", days);
}

static void print_figures(const char *name, const figures *f)
{
    printf("| %s | %.2f |", name, f->false_a_year);
    for (int k = ACUTE; k < ILLNESSES; k++) print_cell(f->found_pct[k], f->days[k]);
    print_cell(f->found_11_16_pct, f->days_11_16);
    printf("\n");
}

static void print_head(const char *what)
{
    printf("\n%s\n\n| | false alerts |", what);
    for (int k = ACUTE; k < ILLNESSES; k++) printf(" %s |", illness_names[k]);
    printf(" acute 11-16 %% in 14 d |\n| --- | --- |");
    for (int k = ACUTE; k <= ILLNESSES; k++) printf(" --- |");
    printf("\n");
}

static void print_tables(const cohort *c)
{
    static const double rates[] = {0.25, 0.05};
    print_head("At the levels that each names itself:");
    for (int r = 0; r < ROWS; r++) {
        if (isnan(rows[r].own)) continue;
        figures f = figures_at(c, rows[r].watcher, rows[r].own);
        print_figures(rows[r].name, &f);
    }
    for (int k = 0; k < 2; k++) {
        char what[80];
        snprintf(what, sizeof what, "Thresholds moved to %.2f false alerts per healthy animal-year:", rates[k]);
        print_head(what);
        for (int r = 0; r < ROWS; r++) {
            if (rows[r].watcher == WATCH_LEVEL) continue;
            figures f = figures_for(c, rows[r].watcher, rates[k]);
            print_figures(rows[r].name, &f);
        }
    }
}

static void print_readings(const cohort *c)
{
    readings_figures r = readings_of(c);
    figures f = figures_at(c, WATCH_LEVEL, GW_LEVEL_VET_SOON);
    printf("\n%zu animals, %zu weighings, %.0f healthy animal-years; cases:", r.animals, r.weighings, r.animal_years);
    for (int k = ACUTE; k < ILLNESSES; k++) printf(" %s %d,", illness_names[k], f.cases[k]);
    printf(" acute of 11-16 %% %d\n", f.cases_11_16);
    printf("whole home, a word about the scale counted as well: %.0f %% / %.0f\n", f.named_pct, f.named_days);
    printf("%zu measuring errors of more than 3 %%: %.0f %% set aside or put right; right weighings set aside %.2f per "
           "100; "
           "second readings %.1f per 100\n",
           r.errors, r.aside_pct, r.vain_a_100, r.asked_a_100);
}

/* One line: the odds at 0.25 and at 0.05, and the engine as delivered. */
static void print_brief(const cohort *c, const options *o)
{
    char name[80];
    snprintf(name, sizeof name, "%s, noise x %g, errors x %g%s", regime_name(o->regime), o->noise, o->errors,
             o->second ? ", second reading" : "");
    figures f = figures_for(c, WATCH_ODDS, 0.25), g = figures_for(c, WATCH_ODDS, 0.05),
            d = figures_at(c, WATCH_LEVEL, GW_LEVEL_VET_SOON);
    readings_figures r = readings_of(c);
    print_head(name);
    print_figures("odds", &f);
    print_figures("odds", &g);
    print_figures("as delivered", &d);
    printf("threshold %.2f and %.2f; errors caught %.0f %%, set aside in vain %.2f per 100, asked %.1f per 100\n",
           f.threshold, g.threshold, r.aside_pct, r.vain_a_100, r.asked_a_100);
}

/* ---- the short test
 * --------------------------------------------------------------------------------------------------- */

static bool holds(const char *what, double value, double least, double most)
{
    bool sound = value >= least && value <= most;
    printf("%s %s: %.3f, expected %.2f to %.2f\n", sound ? "ok    " : "NOT OK", what, value, least, most);
    return sound;
}

/*
 * Bounds are wide: three standard errors of a cohort of this size and room for an engine that trades one figure for
 * another; but an engine that has lost a template, its error screen or its growth curve falls out of them.
 */
static bool check(const cohort *c)
{
    figures f = figures_at(c, WATCH_LEVEL, GW_LEVEL_VET_SOON), odds = figures_for(c, WATCH_ODDS, 0.25),
            week = figures_for(c, WATCH_WEEK, 0.25), ewma = figures_for(c, WATCH_EWMA, 0.25);
    readings_figures r = readings_of(c);
    bool sound = holds("false alerts a healthy year, as delivered", f.false_a_year, 0.02, 0.6);
    sound &= holds("acute losses of 11 to 16 % found in 14 days, %", f.found_11_16_pct, 80, 100);
    sound &= holds("acute found, %", f.found_pct[ACUTE], 60, 100);
    sound &= holds("subacute found, %", f.found_pct[SUBACUTE], 75, 100);
    sound &= holds("dental found, %", f.found_pct[DENTAL], 75, 100);
    sound &= holds("chronic found, %", f.found_pct[CHRONIC], 50, 100);
    sound &= holds("stall found, %", f.found_pct[STALL], 35, 100);
    sound &= holds("errors set aside or put right, %", r.aside_pct, 60, 100);
    sound &= holds("right weighings set aside, per 100", r.vain_a_100, 0, 0.5);
    sound &= holds("second readings, per 100", r.asked_a_100, 1, 12);
    sound &= holds("acute found at 0.25: more than by 10 % under last week, %",
                   odds.found_pct[ACUTE] - week.found_pct[ACUTE], 10, 100);
    sound &= holds("acute found at 0.25: more than by EWMA, %", odds.found_pct[ACUTE] - ewma.found_pct[ACUTE], 20, 100);
    return sound;
}

/* ---- options
 * ----------------------------------------------------------------------------------------------------------- */

static bool regime_of(const char *name, regime *out)
{
    for (int r = 0; r < REGIMES; r++)
        if (strcmp(name, regime_name((regime)r)) == 0) {
            *out = (regime)r;
            return true;
        }
    return false;
}

/* An option with a value; false when it is none of ours or the value does not fit. */
static bool option_value(options *o, const char *name, const char *text)
{
    char *end;
    if (strcmp(name, "--regime") == 0) return regime_of(text, &o->regime);
    double value = strtod(text, &end);
    if (*text == '\0' || *end != '\0' || !(value >= 0 && value <= 1e9)) return false;
    if (strcmp(name, "--homes") == 0)
        o->homes = (size_t)value;
    else if (strcmp(name, "--seed") == 0)
        o->seed = (uint64_t)value;
    else if (strcmp(name, "--noise") == 0)
        o->noise = value;
    else if (strcmp(name, "--errors") == 0)
        o->errors = value;
    else if (strcmp(name, "--threads") == 0)
        o->threads = (int)value;
    else
        return false;
    return o->homes > 0 && o->threads >= 1 && o->threads <= THREADS_MOST;
}

static bool options_read(options *o, int argc, char *argv[])
{
    *o = (options){.homes = 400, .seed = 1, .noise = 1, .errors = 1, .threads = 2};
    for (int i = 1; i < argc; i++) {
        if (strcmp(argv[i], "--second") == 0)
            o->second = true;
        else if (strcmp(argv[i], "--causes") == 0)
            o->causes = true;
        else if (strcmp(argv[i], "--brief") == 0)
            o->brief = true;
        else if (strcmp(argv[i], "--check") == 0)
            o->check = true;
        else if (i + 1 == argc || !option_value(o, argv[i], argv[i + 1]))
            return false;
        else
            i++;
    }
    return true;
}

int main(int argc, char *argv[])
{
    options o;
    if (!options_read(&o, argc, argv)) {
        fputs(usage, stderr);
        return 2;
    }
    cohort c;
    cohort_make(&c, &o);
    bool sound = true;
    if (o.check) {
        sound = check(&c);
    } else if (o.brief) {
        print_brief(&c, &o);
    } else {
        print_readings(&c);
        print_tables(&c);
    }
    if (o.causes) print_causes(&c);
    cohort_free(&c);
    return sound ? 0 : 1;
}
