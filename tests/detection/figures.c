#include "figures.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

/* The gram rule speaks of guinea pigs only, and is counted on them only. */
static bool concerns(watcher w, const seen_animal *a)
{
    return w != WATCH_OUNCES || a->species == GW_SPECIES_GUINEA_PIG;
}

static double healthy_days(const seen_animal *a)
{
    if (a->n < 2) return 0;
    double last = a->weighings[a->n - 1].at, end = a->onset < last ? a->onset : last;
    return end > a->weighings[0].at ? end - a->weighings[0].at : 0;
}

static int false_alerts(const seen_animal *a, watcher w, double threshold)
{
    double last = -INFINITY;
    int count = 0;
    for (size_t i = 0; i < a->n && a->weighings[i].at < a->onset; i++) {
        const seen_weighing *s = &a->weighings[i];
        if (s->score[w] < threshold || s->at - last < AGAIN_AFTER_DAYS) continue;
        last = s->at;
        count++;
    }
    return count;
}

static double false_rate(const cohort *c, watcher w, double threshold)
{
    double days = 0;
    int count = 0;
    for (size_t h = 0; h < c->n; h++)
        for (int i = 0; i < c->homes[h].n_animals; i++) {
            const seen_animal *a = &c->homes[h].animals[i];
            if (!concerns(w, a)) continue;
            days += healthy_days(a);
            count += false_alerts(a, w, threshold);
        }
    return days > 0 ? count / (days / 365) : 0;
}

/* Days from onset to the first alert within the window; NAN when there is none. named: a word about the scale counts.
 */
static double days_to_alert(const seen_animal *a, watcher w, double threshold, bool named)
{
    for (size_t i = 0; i < a->n; i++) {
        const seen_weighing *s = &a->weighings[i];
        if (s->at < a->onset || s->at - a->onset > illness_window[a->illness]) continue;
        if (s->score[w] >= threshold || (named && s->kind == GW_KIND_SCALE)) return s->at - a->onset;
    }
    return NAN;
}

static int by_value(const void *a, const void *b)
{
    double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

typedef struct {
    double *days;
    size_t n, room, cases;
} delays;

static void delays_add(delays *d, double days)
{
    d->cases++;
    if (isnan(days)) return;
    if (d->n == d->room) {
        d->room = d->room ? d->room * 2 : 64;
        d->days = realloc(d->days, d->room * sizeof *d->days);
        if (!d->days) abort();
    }
    d->days[d->n++] = days;
}

/* The median is that of all cases, those that were never found counting as later than any. */
static void delays_close(delays *d, double *pct, double *median, int *cases)
{
    *pct = d->cases ? 100.0 * (double)d->n / (double)d->cases : NAN;
    *median = NAN;
    if (d->n) {
        qsort(d->days, d->n, sizeof *d->days, by_value);
        if (d->n * 2 >= d->cases) *median = d->days[(d->cases - 1) / 2];
    }
    *cases = (int)d->cases;
    free(d->days);
}

figures figures_at(const cohort *c, watcher w, double threshold)
{
    figures f = {.threshold = threshold, .false_a_year = false_rate(c, w, threshold)};
    delays all[ILLNESSES] = {0}, medium = {0}, named = {0};
    for (size_t h = 0; h < c->n; h++)
        for (int i = 0; i < c->homes[h].n_animals; i++) {
            const seen_animal *a = &c->homes[h].animals[i];
            if (a->illness == HEALTHY || !concerns(w, a)) continue;
            double days = days_to_alert(a, w, threshold, false);
            delays_add(&all[a->illness], days);
            if (a->illness == WHOLE_HOME) delays_add(&named, days_to_alert(a, w, threshold, true));
            if (a->illness == ACUTE && a->lost_pct >= 11 && a->lost_pct <= 16)
                delays_add(&medium, days <= 14 ? days : (double)NAN);
        }
    for (int k = ACUTE; k < ILLNESSES; k++) delays_close(&all[k], &f.found_pct[k], &f.days[k], &f.cases[k]);
    int cases;
    delays_close(&named, &f.named_pct, &f.named_days, &cases);
    delays_close(&medium, &f.found_11_16_pct, &f.days_11_16, &f.cases_11_16);
    return f;
}

figures figures_for(const cohort *c, watcher w, double false_a_year)
{
    double low = -20, high = 400; /* of every score */
    for (int i = 0; i < 48; i++) {
        double middle = 0.5 * (low + high);
        if (false_rate(c, w, middle) > false_a_year)
            low = middle;
        else
            high = middle;
    }
    return figures_at(c, w, high);
}

readings_figures readings_of(const cohort *c)
{
    readings_figures f = {0};
    size_t caught = 0, vain = 0, asked = 0;
    double days = 0;
    for (size_t h = 0; h < c->n; h++)
        for (int i = 0; i < c->homes[h].n_animals; i++) {
            const seen_animal *a = &c->homes[h].animals[i];
            f.animals++;
            days += healthy_days(a);
            for (size_t k = 0; k < a->n; k++) {
                const seen_weighing *s = &a->weighings[k];
                f.weighings++;
                f.errors += s->matters;
                caught += s->matters && (s->set_aside || s->corrected);
                vain += !s->error && s->set_aside;
                asked += s->asked;
            }
        }
    f.animal_years = days / 365;
    f.aside_pct = f.errors ? 100.0 * (double)caught / (double)f.errors : NAN;
    f.vain_a_100 = 100.0 * (double)vain / (double)(f.weighings - f.errors);
    f.asked_a_100 = 100.0 * (double)asked / (double)f.weighings;
    return f;
}

/* ---- causes
 * ---------------------------------------------------------------------------------------------------------- */

static void count_cause(size_t counts[], int bit, uint32_t reasons)
{
    if (reasons & (1u << bit)) counts[bit]++;
}

/* Which errors are caught, and why right weighings are set aside. */
static void print_screen(const cohort *c)
{
    static const char *const names[ERROR_KINDS] = {"right", "slip", "other animal", "leaning", "bowl"};
    size_t all[ERROR_KINDS][2] = {{0}}, caught[ERROR_KINDS][2] = {{0}}, vain[GW_REASON_COUNT] = {0}, weighings = 0;
    for (size_t h = 0; h < c->n; h++)
        for (int i = 0; i < c->homes[h].n_animals; i++) {
            const seen_animal *a = &c->homes[h].animals[i];
            weighings += a->n;
            for (size_t k = 0; k < a->n; k++) {
                const seen_weighing *s = &a->weighings[k];
                int far = fabs(s->off) > 0.1;
                if (s->matters) all[s->error][far]++;
                if (s->matters && (s->set_aside || s->corrected)) caught[s->error][far]++;
                for (int bit = 0; bit < GW_REASON_COUNT && !s->error && s->set_aside; bit++)
                    count_cause(vain, bit, s->reasons);
            }
        }
    for (int k = 1; k < ERROR_KINDS; k++)
        printf("  %-14s 3 to 10 %% off %zu of %zu caught, further %zu of %zu\n", names[k], caught[k][0], all[k][0],
               caught[k][1], all[k][1]);
    printf("right weighings set aside, per 100, with reason\n");
    for (int bit = 0; bit < GW_REASON_COUNT; bit++)
        if (vain[bit]) printf("  %-14s %.3f\n", gw_reason_name(bit), 100.0 * (double)vain[bit] / (double)weighings);
}

void print_causes(const cohort *c)
{
    print_screen(c);
    size_t counts[GW_REASON_COUNT] = {0}, by_species[GW_SPECIES_COUNT][2] = {{0}};
    double days[GW_SPECIES_COUNT][2] = {{0}}, years = readings_of(c).animal_years;
    size_t odds_alone = 0, no_odds = 0, error_near = 0, all = 0;
    for (size_t h = 0; h < c->n; h++)
        for (int i = 0; i < c->homes[h].n_animals; i++) {
            const seen_animal *a = &c->homes[h].animals[i];
            double last = -INFINITY;
            days[a->species][a->young] += healthy_days(a);
            for (size_t k = 0; k < a->n && a->weighings[k].at < a->onset; k++) {
                const seen_weighing *s = &a->weighings[k];
                if (s->level < GW_LEVEL_VET_SOON || s->at - last < AGAIN_AFTER_DAYS) continue;
                last = s->at;
                all++;
                by_species[a->species][a->young]++;
                bool limits = s->reasons &
                              (GW_REASON_WEEK_PCT | GW_REASON_WEEK_GRAMS | GW_REASON_OWN_LEVEL | GW_REASON_YOUNG_LOSS);
                odds_alone += (s->reasons & GW_REASON_ODDS) && !limits;
                no_odds += !(s->reasons & GW_REASON_ODDS);
                error_near += s->matters || (k > 0 && s[-1].matters) || (k > 1 && s[-2].matters);
                for (int bit = 0; bit < GW_REASON_COUNT; bit++) count_cause(counts, bit, s->reasons);
            }
        }
    printf(
        "false alerts a year %.3f: odds without a limit of week or level %.3f, no odds %.3f, an error among the last "
        "three weighings %.3f\n",
        (double)all / years, (double)odds_alone / years, (double)no_odds / years, (double)error_near / years);
    for (int bit = 0; bit < GW_REASON_COUNT; bit++)
        if (counts[bit]) printf("  %-14s %.3f\n", gw_reason_name(bit), (double)counts[bit] / years);
    for (int k = 0; k < GW_SPECIES_COUNT; k++)
        for (int young = 0; young < 2; young++)
            if (days[k][young] > 0)
                printf("  %-14s %s %.3f a year\n", gw_species_name((gw_species)k), young ? "young" : "grown",
                       (double)by_species[k][young] / (days[k][young] / 365));
}
