/*
 * The rules see the accepted weights only. A gap of more than ten days is put to a week, as a carer would.
 *
 * Charts: D. C. Montgomery, Introduction to Statistical Quality Control (from memory): EWMA with weight 0.25, one-sided
 * tabular CUSUM with slack 0.5 sd. The baseline is the animal's own: mean of the weighings that are 4 to 26 weeks old
 * (all but the newest until there are five of those), sd from the differences of neighbours (mean moving range
 * / 1.128).
 */
#include "rules.h"

#include <math.h>

static const double none = -99;

/* Loss since the weighing before, in per cent or grams a week. */
static double loss(const gw_trend_weighing *before, const gw_trend_weighing *now, bool pct)
{
    double days = now->at - before->at, share = days > 10 ? 7 / days : 1;
    double grams = (before->grams - now->grams) * share;
    return pct ? 100 * grams / before->grams : grams;
}

static void week_rules(seen_animal *a, const gw_trend_weighing w[])
{
    for (size_t i = 0; i < a->n; i++) {
        float *score = a->weighings[i].score;
        double pct = i > 0 ? loss(&w[i - 1], &w[i], true) : none;
        double before = i > 1 ? loss(&w[i - 2], &w[i - 1], true) : none;
        double sum = 0;
        int count = 0;
        for (size_t k = i; k-- > 0 && count < 12; count++) sum += w[k].grams;
        double under = count >= 3 ? 100 * (1 - w[i].grams / (sum / count)) : none;
        score[WATCH_WEEK] = (float)pct;
        score[WATCH_TWO_WEEKS] = (float)fmax(fmin(pct, before) / 5, under / 10);
        score[WATCH_OUNCES] =
            (float)(i > 0 && a->species == GW_SPECIES_GUINEA_PIG ? loss(&w[i - 1], &w[i], false) : none);
    }
}

typedef struct {
    double mean, sd;
} baseline;

static baseline baseline_of(const gw_trend_weighing w[], const bool counts[], size_t i)
{
    double sum = 0, all = 0, range = 0, last = NAN;
    int n = 0, n_all = 0, n_range = 0;
    for (size_t k = 0; k < i; k++) {
        if (!counts[k] || w[i].at - w[k].at > 182) continue;
        double y = log(w[k].grams);
        if (!isnan(last)) {
            range += fabs(y - last);
            n_range++;
        }
        last = y;
        all += y;
        n_all++;
        if (w[i].at - w[k].at < 28) continue;
        sum += y;
        n++;
    }
    if (n_all < 3) return (baseline){NAN, NAN};
    double sd = range / n_range / 1.128;
    return (baseline){n >= 5 ? sum / n : all / n_all, sd > 0.006 ? sd : 0.006};
}

/* EWMA and CUSUM of ln weight in sd of the baseline; positive is a loss. cusum may be WATCHERS: none. */
static void charts(seen_animal *a, const gw_trend_weighing w[], const bool counts[], watcher ewma, watcher cusum)
{
    const double weight = 0.25, slack = 0.5, z_most = 4;
    double mean = 0, sum = 0;
    for (size_t i = 0; i < a->n; i++) {
        float *score = a->weighings[i].score;
        baseline b = baseline_of(w, counts, i);
        score[ewma] = (float)none;
        if (cusum < WATCHERS) score[cusum] = (float)none;
        if (isnan(b.mean)) continue;
        if (counts[i]) {
            double z = fmax(-z_most, fmin(z_most, (b.mean - log(w[i].grams)) / b.sd));
            mean = (1 - weight) * mean + weight * z;
            sum = fmax(0, sum + z - slack);
        }
        score[ewma] = (float)(mean / sqrt(weight / (2 - weight)));
        if (cusum < WATCHERS) score[cusum] = (float)sum;
    }
}

void rules_watch(seen_animal *a, const gw_trend_weighing w[])
{
    bool all[STUDY_ROUNDS], kept[STUDY_ROUNDS];
    for (size_t i = 0; i < a->n; i++) {
        all[i] = true;
        kept[i] = !a->weighings[i].set_aside;
    }
    week_rules(a, w);
    charts(a, w, all, WATCH_EWMA, WATCH_CUSUM);
    charts(a, w, kept, WATCH_EWMA_SCREENED, WATCHERS);
}
