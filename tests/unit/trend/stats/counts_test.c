/* Exact tests against sums written out, and at the ends. Values: tests/reference. */
#include <gramwell/stats.h>

#include <criterion/criterion.h>
#include <criterion/new/assert.h>
#include <math.h>

/* All outcomes no more likely than x, added up one by one. */
static double two_sided_by_hand(unsigned x, unsigned n, double p)
{
    double density[200], sum = 0;
    for (unsigned k = 0; k <= n; k++) {
        double choose = gw_stats_lgamma(n + 1.0) - gw_stats_lgamma(k + 1.0) - gw_stats_lgamma(n - k + 1.0);
        density[k] = exp(choose + k * log(p) + (n - k) * log1p(-p));
    }
    for (unsigned k = 0; k <= n; k++) {
        if (density[k] <= density[x] * (1 + 1e-7)) sum += density[k];
    }
    return fmin(1, sum);
}

Test(stats_counts, binomial_two_sided_is_the_sum_of_the_unlikely)
{
    static const double ps[] = {0.02, 0.11, 0.35, 0.5, 0.77, 0.98};
    static const unsigned ns[] = {1, 2, 7, 20, 61, 150};
    for (size_t i = 0; i < 6; i++) {
        for (size_t j = 0; j < 6; j++) {
            for (unsigned x = 0; x <= ns[j]; x++) {
                gw_stats_count_test t;
                cr_assert(eq(int, gw_stats_binomial(x, ns[j], ps[i], 0.95, &t), GW_STATS_OK));
                double wanted = two_sided_by_hand(x, ns[j], ps[i]);
                cr_expect(fabs(t.p_two_sided - wanted) < 1e-10 * wanted, "x %u n %u p %g: %.15g, by hand %.15g", x,
                          ns[j], ps[i], t.p_two_sided, wanted);
            }
        }
    }
}

Test(stats_counts, binomial_at_the_ends)
{
    gw_stats_count_test t;
    cr_assert(eq(int, gw_stats_binomial(0, 10, 0, 0.95, &t), GW_STATS_OK));
    cr_expect(eq(dbl, t.p_two_sided, 1));
    cr_expect(eq(dbl, t.low, 0));
    cr_assert(eq(int, gw_stats_binomial(3, 10, 0, 0.95, &t), GW_STATS_OK));
    cr_expect(eq(dbl, t.p_two_sided, 0));
    cr_assert(eq(int, gw_stats_binomial(10, 10, 1, 0.95, &t), GW_STATS_OK));
    cr_expect(eq(dbl, t.p_two_sided, 1));
    cr_expect(eq(dbl, t.high, 1));
}

/* The interval of Clopper and Pearson by its definition: at its ends the observed tail is alpha / 2. */
Test(stats_counts, intervals_are_where_the_tails_are_rare)
{
    gw_stats_count_test t, at_end;
    cr_assert(eq(int, gw_stats_binomial(7, 25, 0.1, 0.9, &t), GW_STATS_OK));
    cr_assert(eq(int, gw_stats_binomial(7, 25, t.low, 0.9, &at_end), GW_STATS_OK));
    cr_expect(fabs(at_end.p_greater - 0.05) < 1e-12);
    cr_assert(eq(int, gw_stats_binomial(7, 25, t.high, 0.9, &at_end), GW_STATS_OK));
    cr_expect(fabs(at_end.p_less - 0.05) < 1e-12);
    cr_assert(eq(int, gw_stats_poisson(5, 2, 1, 0.9, &t), GW_STATS_OK));
    cr_assert(eq(int, gw_stats_poisson(5, 2, t.low, 0.9, &at_end), GW_STATS_OK));
    cr_expect(fabs(at_end.p_greater - 0.05) < 1e-12);
    cr_assert(eq(int, gw_stats_poisson(5, 2, t.upper, 0.9, &at_end), GW_STATS_OK));
    cr_expect(fabs(at_end.p_less - 0.1) < 1e-12);
}

Test(stats_counts, fisher_by_hand_and_at_the_ends)
{
    gw_stats_fisher_test t;
    cr_assert(eq(int, gw_stats_fisher(3, 1, 1, 3, 0.95, &t), GW_STATS_OK)); /* the lady and her tea */
    cr_expect(fabs(t.p_two_sided - 34.0 / 70) < 1e-14);
    cr_expect(fabs(t.p_greater - 17.0 / 70) < 1e-14);
    cr_assert(eq(int, gw_stats_fisher(0, 5, 5, 5, 0.95, &t), GW_STATS_OK));
    cr_expect(eq(dbl, t.odds_ratio, 0));
    cr_expect(eq(dbl, t.low, 0));
    cr_expect(t.high > 0 && isfinite(t.high));
    cr_assert(eq(int, gw_stats_fisher(5, 0, 5, 5, 0.95, &t), GW_STATS_OK));
    cr_expect(isinf(t.odds_ratio) && isinf(t.high) && t.low > 0 && isfinite(t.low));
    cr_assert(eq(int, gw_stats_fisher(5, 5, 0, 0, 0.95, &t), GW_STATS_OK)); /* only one table has these margins */
    cr_expect(eq(dbl, t.p_two_sided, 1));
    cr_expect(isnan(t.odds_ratio));
    cr_assert(eq(int, gw_stats_fisher(90000, 910000, 30000, 970000, 0.95, &t), GW_STATS_OK)); /* a large one ends */
    cr_expect(eq(dbl, t.p_two_sided, 0));                                                     /* below 1e-300 */
    cr_expect(fabs(log(t.odds_ratio / t.odds_ratio_sample)) < 1e-5);
}

/* Turning the table over inverts the odds ratio and swaps the bounds. */
Test(stats_counts, fisher_is_symmetric)
{
    gw_stats_fisher_test t, turned;
    cr_assert(eq(int, gw_stats_fisher(7, 12, 2, 31, 0.95, &t), GW_STATS_OK));
    cr_assert(eq(int, gw_stats_fisher(2, 31, 7, 12, 0.95, &turned), GW_STATS_OK));
    cr_expect(fabs(t.odds_ratio * turned.odds_ratio - 1) < 1e-10);
    cr_expect(fabs(t.low * turned.high - 1) < 1e-10);
    cr_expect(fabs(t.high * turned.low - 1) < 1e-10);
    cr_expect(fabs(t.p_two_sided - turned.p_two_sided) < 1e-13);
}

Test(stats_counts, adjusted_p_values_keep_their_order)
{
    double p[] = {0.04, 0.01, 0.03, 0.01, 1, 0};
    size_t order[6];
    cr_assert(eq(int, gw_stats_adjust(6, p, GW_STATS_BENJAMINI_HOCHBERG, order, p, NULL), GW_STATS_OK));
    const double wanted[] = {0.048, 0.02, 0.045, 0.02, 1, 0}; /* by hand; in place */
    for (size_t i = 0; i < 6; i++) cr_expect(fabs(p[i] - wanted[i]) < 1e-15, "entry %zu is %.17g", i, p[i]);
}
