/* Exact tests of counts: binomial, Poisson, Fisher; p-values of many looks. */
#include "stats_internal.h"

static const double SLACK = 1 + 1e-7; /* outcomes this close in probability count as equally likely */

static bool confidence_sound(double confidence)
{
    return confidence > 0 && confidence < 1;
}

/* ------------------------------------------------------------------------------------------- binomial and Poisson */

/* One law of counts: density and tails at a whole number. A Poisson law has p < 0. */
typedef struct {
    double n, p, mean;
} law;

static double law_density(const law *l, double x)
{
    return l->p < 0 ? gw_stats_dpois(x, l->mean) : gw_stats_dbinom(x, l->n, l->p, 1 - l->p);
}

/* P(X <= x) and P(X >= x); *below is P(X < x). */
static void law_tails(const law *l, double x, double *at_most, double *at_least)
{
    double other;
    if (l->p < 0) {
        gw_stats_gamma_tails(x + 1, l->mean, &other, at_most);
        if (x > 0)
            gw_stats_gamma_tails(x, l->mean, at_least, &other);
        else
            *at_least = 1;
        return;
    }
    if (x < l->n)
        gw_stats_beta_tails(x + 1, l->n - x, l->p, 1 - l->p, &other, at_most);
    else
        *at_most = 1;
    if (x > 0)
        gw_stats_beta_tails(x, l->n - x + 1, l->p, 1 - l->p, at_least, &other);
    else
        *at_least = 1;
}

/* First whole number at or above `from` (up) or last at or below it whose density is at most limit; the density only
 * falls in that direction. */
static double first_unlikely(const law *l, double from, bool up, double limit)
{
    double step = 1, near = from, far = from;
    if (law_density(l, from) <= limit) return from;
    for (;; step *= 2) { /* stride out, then halve */
        far = up ? from + step : from - step;
        if (!up && far < 0) far = -1;
        if (up && l->p >= 0 && far > l->n) far = l->n + 1;
        if (far < 0 || (up && l->p >= 0 && far > l->n) || law_density(l, far) <= limit) break;
        near = far;
    }
    while (fabs(far - near) > 1) {
        double middle = floor((far + near) / 2);
        if (law_density(l, middle) <= limit)
            far = middle;
        else
            near = middle;
    }
    return far;
}

/* The sum of the probabilities of all outcomes no more likely than x. */
static double two_sided(const law *l, double x)
{
    double limit = law_density(l, x) * SLACK, at_most, at_least, other_most, other_least;
    law_tails(l, x, &at_most, &at_least);
    if (l->p < 0 && l->mean == 0) return x == 0;
    if (x == l->mean) return 1;
    if (x < l->mean) {
        double y = first_unlikely(l, ceil(l->mean), true, limit);
        if (l->p >= 0 && y > l->n) return fmin(1, at_most);
        law_tails(l, y, &other_most, &other_least);
        return fmin(1, at_most + other_least);
    }
    double y = first_unlikely(l, floor(l->mean), false, limit);
    if (y < 0) return fmin(1, at_least);
    law_tails(l, y, &other_most, &other_least);
    return fmin(1, at_least + other_most);
}

static void fill_tests(const law *l, double x, gw_stats_count_test *out)
{
    law_tails(l, x, &out->p_less, &out->p_greater);
    out->p_two_sided = two_sided(l, x);
    out->p_greater_mid = out->p_greater - law_density(l, x) / 2;
}

/* The probability of success at which at least (lower bound) or at most x of n is as rare as tail. */
static double binomial_low(double x, double n, double tail)
{
    double p, q;
    if (x == 0) return 0;
    gw_stats_beta_inv_tails(x, n - x + 1, tail, 1 - tail, &p, &q);
    return p;
}

static double binomial_high(double x, double n, double tail)
{
    double p, q;
    if (x == n) return 1;
    gw_stats_beta_inv_tails(x + 1, n - x, 1 - tail, tail, &p, &q);
    return p;
}

gw_stats_status gw_stats_binomial(uint32_t x, uint32_t n, double p, double confidence, gw_stats_count_test *out)
{
    if (n < 1) return GW_STATS_TOO_FEW;
    if (x > n) return GW_STATS_VALUE;
    if (!(p >= 0 && p <= 1) || !confidence_sound(confidence)) return GW_STATS_OPTION;
    double tail = 1 - confidence;
    law l = {n, p, n * p};
    gw_stats_count_test test = {.estimate = (double)x / n,
                                .low = binomial_low(x, n, tail / 2),
                                .high = binomial_high(x, n, tail / 2),
                                .lower = binomial_low(x, n, tail),
                                .upper = binomial_high(x, n, tail)};
    fill_tests(&l, x, &test);
    *out = test;
    return GW_STATS_OK;
}

static double poisson_low(double x, double tail)
{
    return x > 0 ? gw_stats_gamma_inv_tails(x, tail, 1 - tail) : 0;
}

static double poisson_high(double x, double tail)
{
    return gw_stats_gamma_inv_tails(x + 1, 1 - tail, tail);
}

gw_stats_status gw_stats_poisson(uint32_t x, double exposure, double rate, double confidence, gw_stats_count_test *out)
{
    bool sound = exposure > 0 && isfinite(exposure) && rate > 0 && exposure * rate <= 1e9;
    if (!sound || !confidence_sound(confidence)) return GW_STATS_OPTION;
    double tail = 1 - confidence;
    law l = {0, -1, exposure * rate};
    gw_stats_count_test test = {.estimate = x / exposure,
                                .low = poisson_low(x, tail / 2) / exposure,
                                .high = poisson_high(x, tail / 2) / exposure,
                                .lower = poisson_low(x, tail) / exposure,
                                .upper = poisson_high(x, tail) / exposure};
    fill_tests(&l, x, &test);
    *out = test;
    return GW_STATS_OK;
}

gw_stats_status gw_stats_poisson_two(uint32_t x1, double exposure1, uint32_t x2, double exposure2, double confidence,
                                     gw_stats_count_test *out)
{
    bool sound = exposure1 > 0 && isfinite(exposure1) && exposure2 > 0 && isfinite(exposure2);
    if (!sound || !confidence_sound(confidence)) return GW_STATS_OPTION;
    double n = (double)x1 + x2, share = exposure1 / (exposure1 + exposure2), tail = 1 - confidence;
    if (n == 0) return GW_STATS_TOO_FEW;
    law l = {n, share, n * share};
    gw_stats_count_test test = {.estimate = x1 / exposure1 / (x2 / exposure2)};
    const struct {
        double p, *ratio;
    } bounds[] = {{binomial_low(x1, n, tail / 2), &test.low},
                  {binomial_high(x1, n, tail / 2), &test.high},
                  {binomial_low(x1, n, tail), &test.lower},
                  {binomial_high(x1, n, tail), &test.upper}};
    for (size_t i = 0; i < 4; i++) *bounds[i].ratio = bounds[i].p / (1 - bounds[i].p) * exposure2 / exposure1;
    fill_tests(&l, x1, &test);
    *out = test;
    return GW_STATS_OK;
}

/* ------------------------------------------------------------------------------------------- Fisher */

/* The first cell of a 2 x 2 table with fixed margins: from lo to hi; weights by the ratio of neighbours. */
typedef struct {
    double row, column, total; /* first row, first column, all */
    double lo, hi, a;
} margins;

/* Weight of k + 1 over that of k, at odds ratio 1. */
static double step_up(const margins *m, double k)
{
    return (m->row - k) * (m->column - k) / ((k + 1) * (m->total - m->row - m->column + k + 1));
}

typedef struct {
    double at_most, at_least, at, mean, no_likelier; /* shares of all tables; mean of the first cell */
} table_sums;

/*
 * Sums over all tables at an odds ratio, outwards from the likeliest so that nothing overflows. `deep` follows a tail
 * down to 1e-300, for p-values; without it tails below 1e-25 are 0, enough to find where a tail is a given share.
 */
static table_sums sum_tables(const margins *m, double odds, bool deep)
{
    /* The likeliest cell: where the ratio of neighbours passes 1. */
    double lo = m->lo, hi = m->hi;
    while (lo < hi) {
        double middle = floor((lo + hi) / 2);
        if (step_up(m, middle) * odds > 1)
            lo = middle + 1;
        else
            hi = middle;
    }
    const double least = 1e-300; /* below, numbers lose digits and time */
    double mode = lo, observed = 1;
    if (m->a > mode) {
        for (double k = mode; k < m->a && observed > least; k++) observed *= step_up(m, k) * odds;
    } else {
        for (double k = mode; k > m->a && observed > least; k--) observed /= step_up(m, k - 1) * odds;
    }
    if (observed <= least) observed = 0;
    double limit = observed * SLACK, all = 0, below = 0, above = 0, moment = 0, rare = 0, at = 0;
    for (int side = 0; side < 2; side++) { /* upwards from the mode, then downwards from the cell below it */
        double weight = side == 0 ? 1 : (mode > m->lo ? 1 / (step_up(m, mode - 1) * odds) : 0);
        for (double k = side == 0 ? mode : mode - 1; k >= m->lo && k <= m->hi; k += side == 0 ? 1 : -1) {
            all += weight;
            moment += weight * (k - mode);
            if (k < m->a) below += weight;
            if (k > m->a) above += weight;
            if (k == m->a) at = weight;
            if (weight <= limit) rare += weight;
            if (weight < (deep ? fmax(least, fmin(1e-25, 1e-30 * limit)) : 1e-25)) break; /* the rest cannot show */
            weight *= side == 0 ? step_up(m, k) * odds : (k > m->lo ? 1 / (step_up(m, k - 1) * odds) : 0);
        }
    }
    return (table_sums){.at_most = (below + at) / all,
                        .at_least = (above + at) / all,
                        .at = at / all,
                        .mean = mode + moment / all,
                        .no_likelier = fmin(1, rare / all)};
}

typedef double (*excess_at)(const margins *m, double odds, double target);

static double mean_excess(const margins *m, double odds, double target)
{
    return sum_tables(m, odds, false).mean - target;
}

static double upper_tail_excess(const margins *m, double odds, double target)
{
    return sum_tables(m, odds, false).at_least - target;
}

static double lower_tail_excess(const margins *m, double odds, double target)
{
    return target - sum_tables(m, odds, false).at_most;
}

/* The odds ratio at which a growing excess passes 0: halving on the logarithm, which no flat stretch can mislead. */
static double odds_root(const margins *m, excess_at excess, double target)
{
    double lo = -1, hi = 1;
    while (lo > -700 && excess(m, exp(lo), target) > 0) lo *= 2;
    while (hi < 700 && excess(m, exp(hi), target) < 0) hi *= 2;
    for (int turn = 0; turn < 100 && hi - lo > 4e-16 * fmax(1, fabs(lo)); turn++) {
        double middle = 0.5 * (lo + hi);
        if (excess(m, exp(middle), target) < 0)
            lo = middle;
        else
            hi = middle;
    }
    return exp(0.5 * (lo + hi));
}

gw_stats_status gw_stats_fisher(uint32_t a, uint32_t b, uint32_t c, uint32_t d, double confidence,
                                gw_stats_fisher_test *out)
{
    if (!confidence_sound(confidence)) return GW_STATS_OPTION;
    margins m = {.row = (double)a + b, .column = (double)a + c, .total = (double)a + b + c + d, .a = a};
    if (m.total < 1) return GW_STATS_TOO_FEW;
    if (m.total > 1e9) return GW_STATS_VALUE;
    m.lo = fmax(0, m.row + m.column - m.total);
    m.hi = fmin(m.row, m.column);
    double tail = (1 - confidence) / 2;
    table_sums even = sum_tables(&m, 1, true);
    gw_stats_fisher_test test = {.p_two_sided = even.no_likelier,
                                 .p_greater = even.at_least,
                                 .p_less = even.at_most,
                                 .odds_ratio_sample = (double)a * d / ((double)b * c),
                                 .odds_ratio = NAN,
                                 .low = 0,
                                 .high = INFINITY};
    if (m.lo < m.hi) {
        bool lowest = m.a == m.lo, highest = m.a == m.hi;
        test.odds_ratio = lowest ? 0 : highest ? INFINITY : odds_root(&m, mean_excess, m.a);
        if (!lowest) test.low = odds_root(&m, upper_tail_excess, tail);
        if (!highest) test.high = odds_root(&m, lower_tail_excess, tail);
    }
    *out = test;
    return GW_STATS_OK;
}

/* ------------------------------------------------------------------------------------------- many looks */

gw_stats_status gw_stats_adjust(size_t n, const double p[], gw_stats_adjustment method, size_t order[],
                                double adjusted[], size_t *at)
{
    bool known =
        method == GW_STATS_BENJAMINI_HOCHBERG || method == GW_STATS_BENJAMINI_YEKUTIELI || method == GW_STATS_HOLM;
    if (!known) return GW_STATS_OPTION;
    if (n < 1) return GW_STATS_TOO_FEW;
    double harmonic = 1, size = (double)n;
    for (size_t i = 0; i < n; i++) {
        if (!(p[i] >= 0 && p[i] <= 1)) return gw_stats_refuse(GW_STATS_VALUE, i, at);
        if (i > 0 && method == GW_STATS_BENJAMINI_YEKUTIELI) harmonic += 1 / (double)(i + 1);
    }
    gw_stats_sort_positions(n, p, order);
    double worst = method == GW_STATS_HOLM ? 0 : 1;
    for (size_t k = 0; k < n; k++) { /* Holm climbs from the smallest; the others descend from the largest */
        size_t rank = method == GW_STATS_HOLM ? k : n - 1 - k, i = order[rank];
        if (method == GW_STATS_HOLM)
            worst = fmin(1, fmax(worst, p[i] * (size - (double)rank)));
        else
            worst = fmin(worst, p[i] * size * harmonic / (double)(rank + 1));
        adjusted[i] = worst;
    }
    return GW_STATS_OK;
}
