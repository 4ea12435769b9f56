/* Each function refuses what its header says it refuses: with its own status and the position of the value, and without
 * a trace in what the caller gave for results. */
#include <gramwell/stats.h>

#include <criterion/criterion.h>
#include <criterion/new/assert.h>
#include <math.h>
#include <string.h>

enum { N = 12, ROOM = 512 };

static double work[ROOM];
static size_t order[N];

/* Results start as a pattern; untouched tells whether it is still there. */
static union {
    unsigned char bytes[4096];
    double values[512];
} result;

static void arm(void)
{
    memset(&result, 0x5a, sizeof result);
}

static bool untouched(void)
{
    for (size_t i = 0; i < sizeof result.bytes; i++) {
        if (result.bytes[i] != 0x5a) return false;
    }
    return true;
}

#define RESULT(type)  ((type *)(void *)result.values)
#define COLUMN(which) (result.values + 64 + N * (which))

/* Expect a refusal without a place: *at stays what it was. */
#define REFUSED(call, wanted)                                                                                          \
    do {                                                                                                               \
        size_t at = 999;                                                                                               \
        arm();                                                                                                         \
        cr_expect(eq(int, (call), (wanted)), "%s", #call);                                                             \
        cr_expect(eq(sz, at, 999), "%s", #call);                                                                       \
        cr_expect(untouched(), "%s", #call);                                                                           \
    } while (0)

#define REFUSED_AT(call, wanted, place)                                                                                \
    do {                                                                                                               \
        size_t at = 999;                                                                                               \
        arm();                                                                                                         \
        cr_expect(eq(int, (call), (wanted)), "%s", #call);                                                             \
        cr_expect(eq(sz, at, (place)), "%s", #call);                                                                   \
        cr_expect(untouched(), "%s", #call);                                                                           \
    } while (0)

static const double rising[N] = {1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12};
static const double noisy[N] = {10, 12, 11, 13, 15, 14, 16, 18, 17, 19, 21, 20};
static const double flat[N] = {7, 7, 7, 7, 7, 7, 7, 7, 7, 7, 7, 7};
static const double odd_3[N] = {1, 2, 3, NAN, 5, 6, 7, 8, 9, 10, 11, 12};
static const double odd_5[N] = {1, 2, 3, 4, 5, INFINITY, 7, 8, 9, 10, 11, 12};
static const double backward_4[N] = {1, 2, 3, 4, 3.5, 6, 7, 8, 9, 10, 11, 12};

Test(stats_refuse, one_set_of_readings)
{
    REFUSED(gw_stats_summary(1, noisy, RESULT(gw_stats_moments), &at), GW_STATS_TOO_FEW);
    REFUSED_AT(gw_stats_summary(N, odd_3, RESULT(gw_stats_moments), &at), GW_STATS_VALUE, 3);
    REFUSED(gw_stats_level(0, noisy, work, RESULT(gw_stats_level_of), &at), GW_STATS_TOO_FEW);
    REFUSED_AT(gw_stats_level(N, odd_5, work, RESULT(gw_stats_level_of), &at), GW_STATS_VALUE, 5);

    const double p[] = {0.1, 1.5};
    REFUSED(gw_stats_quantiles(0, noisy, GW_STATS_TYPE_7, 1, p, work, COLUMN(0), &at), GW_STATS_TOO_FEW);
    REFUSED(gw_stats_quantiles(N, noisy, (gw_stats_quantile_type)5, 1, p, work, COLUMN(0), &at), GW_STATS_OPTION);
    REFUSED_AT(gw_stats_quantiles(N, odd_3, GW_STATS_TYPE_7, 1, p, work, COLUMN(0), &at), GW_STATS_VALUE, 3);
    REFUSED_AT(gw_stats_quantiles(N, noisy, GW_STATS_TYPE_7, 2, p, work, COLUMN(0), &at), GW_STATS_VALUE, N + 1);
}

Test(stats_refuse, lines)
{
    gw_stats_slopes *slopes = RESULT(gw_stats_slopes);
    REFUSED(gw_stats_theil_sen(1, rising, noisy, 0.95, work, slopes, &at), GW_STATS_TOO_FEW);
    REFUSED(gw_stats_theil_sen(N, rising, noisy, 1, work, slopes, &at), GW_STATS_OPTION);
    REFUSED(gw_stats_theil_sen(N, rising, noisy, NAN, work, slopes, &at), GW_STATS_OPTION);
    REFUSED(gw_stats_theil_sen(N, flat, noisy, 0.95, work, slopes, &at), GW_STATS_CONSTANT);
    REFUSED_AT(gw_stats_theil_sen(N, odd_3, noisy, 0.95, work, slopes, &at), GW_STATS_VALUE, 3);
    REFUSED_AT(gw_stats_theil_sen(N, rising, odd_5, 0.95, work, slopes, &at), GW_STATS_VALUE, N + 5);

    gw_stats_trend *trend = RESULT(gw_stats_trend);
    REFUSED(gw_stats_mann_kendall(1, rising, noisy, work, trend, &at), GW_STATS_TOO_FEW);
    REFUSED_AT(gw_stats_mann_kendall(N, odd_5, noisy, work, trend, &at), GW_STATS_VALUE, 5);
    REFUSED_AT(gw_stats_mann_kendall(N, rising, odd_3, work, trend, &at), GW_STATS_VALUE, N + 3);

    gw_stats_line_fit *fit = RESULT(gw_stats_line_fit);
    const double weights[N] = {1, 1, 0, 1, 1, 1, 1, 1, 1, 1, 1, 1};
    REFUSED(gw_stats_line(1, rising, noisy, NULL, 0.95, fit, &at), GW_STATS_TOO_FEW);
    REFUSED(gw_stats_line(N, rising, noisy, NULL, 0, fit, &at), GW_STATS_OPTION);
    REFUSED(gw_stats_line(N, flat, noisy, NULL, 0.95, fit, &at), GW_STATS_CONSTANT);
    REFUSED_AT(gw_stats_line(N, rising, odd_3, NULL, 0.95, fit, &at), GW_STATS_VALUE, N + 3);
    REFUSED_AT(gw_stats_line(N, rising, noisy, weights, 0.95, fit, &at), GW_STATS_VALUE, 2 * N + 2);
}

Test(stats_refuse, regressions)
{
    /* Six rows of two columns; `twice` has a second column that is twice the first. */
    static const double X[N] = {1, 1, 1, 2, 1, 3, 1, 4, 1, 5, 1, 6}, twice[N] = {1, 2, 2, 4, 3, 6, 4, 8, 5, 10, 6, 12};
    static const double odd[N] = {1, 1, 1, 2, 1, NAN, 1, 4, 1, 5, 1, 6};
    double *coef = COLUMN(0);
    gw_stats_fit *fit = RESULT(gw_stats_fit);
    REFUSED(gw_stats_ols(1, 2, X, noisy, true, 0.95, work, coef, NULL, NULL, NULL, NULL, fit, &at), GW_STATS_TOO_FEW);
    REFUSED(gw_stats_ols(6, 0, X, noisy, true, 0.95, work, coef, NULL, NULL, NULL, NULL, fit, &at), GW_STATS_OPTION);
    REFUSED(gw_stats_ols(6, 2, X, noisy, true, 2, work, coef, NULL, NULL, NULL, NULL, fit, &at), GW_STATS_OPTION);
    REFUSED(gw_stats_ols(6, 2, twice, noisy, true, 0.95, work, coef, NULL, NULL, NULL, NULL, fit, &at),
            GW_STATS_CONSTANT);
    REFUSED_AT(gw_stats_ols(6, 2, odd, noisy, true, 0.95, work, coef, NULL, NULL, NULL, NULL, fit, &at), GW_STATS_VALUE,
               5);
    REFUSED_AT(gw_stats_ols(6, 2, X, odd_3, true, 0.95, work, coef, NULL, NULL, NULL, NULL, fit, &at), GW_STATS_VALUE,
               N + 3);

    gw_stats_cusum_test *test = RESULT(gw_stats_cusum_test);
    REFUSED(gw_stats_recursive(3, 2, X, noisy, work, coef, NULL, NULL, test, &at), GW_STATS_TOO_FEW);
    REFUSED(gw_stats_recursive(6, 2, twice, noisy, work, coef, NULL, NULL, test, &at), GW_STATS_CONSTANT);
    REFUSED_AT(gw_stats_recursive(6, 2, X, odd_3, work, coef, NULL, NULL, test, &at), GW_STATS_VALUE, N + 3);

    double *scale = RESULT(double);
    REFUSED(gw_stats_huber(2, 2, X, noisy, 1.345, work, coef, NULL, scale, &at), GW_STATS_TOO_FEW);
    REFUSED(gw_stats_huber(6, 2, X, noisy, 0, work, coef, NULL, scale, &at), GW_STATS_OPTION);
    REFUSED(gw_stats_huber(6, 2, X, flat, 1.345, work, coef, NULL, scale, &at), GW_STATS_CONSTANT);
    REFUSED_AT(gw_stats_huber(6, 2, odd, noisy, 1.345, work, coef, NULL, scale, &at), GW_STATS_VALUE, 5);

    REFUSED(gw_stats_median_polish(0, 2, X, work, scale, coef, COLUMN(1), NULL, NULL, &at), GW_STATS_TOO_FEW);
    REFUSED_AT(gw_stats_median_polish(6, 2, odd, work, scale, coef, COLUMN(1), NULL, NULL, &at), GW_STATS_VALUE, 5);
}

Test(stats_refuse, control_charts)
{
    double *z = COLUMN(0), *steady = RESULT(double);
    REFUSED(gw_stats_ewma(0, noisy, 0.2, 0, 1, 3, z, NULL, NULL, steady, &at), GW_STATS_TOO_FEW);
    REFUSED(gw_stats_ewma(N, noisy, 0, 0, 1, 3, z, NULL, NULL, steady, &at), GW_STATS_OPTION);
    REFUSED(gw_stats_ewma(N, noisy, 1.1, 0, 1, 3, z, NULL, NULL, steady, &at), GW_STATS_OPTION);
    REFUSED(gw_stats_ewma(N, noisy, 0.2, NAN, 1, 3, z, NULL, NULL, steady, &at), GW_STATS_OPTION);
    REFUSED(gw_stats_ewma(N, noisy, 0.2, 0, -1, 3, z, NULL, NULL, steady, &at), GW_STATS_OPTION);
    REFUSED(gw_stats_ewma(N, noisy, 0.2, 0, 1, 0, z, NULL, NULL, steady, &at), GW_STATS_OPTION);
    REFUSED_AT(gw_stats_ewma(N, odd_3, 0.2, 0, 1, 3, z, NULL, NULL, steady, &at), GW_STATS_VALUE, 3);

    REFUSED(gw_stats_ewma_irregular(0, rising, noisy, 0.2, 0, z, NULL, &at), GW_STATS_TOO_FEW);
    REFUSED(gw_stats_ewma_irregular(N, rising, noisy, 2, 0, z, NULL, &at), GW_STATS_OPTION);
    REFUSED_AT(gw_stats_ewma_irregular(N, backward_4, noisy, 0.2, 0, z, NULL, &at), GW_STATS_ORDER, 4);
    REFUSED_AT(gw_stats_ewma_irregular(N, odd_3, noisy, 0.2, 0, z, NULL, &at), GW_STATS_VALUE, 3);
    REFUSED_AT(gw_stats_ewma_irregular(N, rising, odd_5, 0.2, 0, z, NULL, &at), GW_STATS_VALUE, N + 5);

    gw_stats_cusum_signals *s = RESULT(gw_stats_cusum_signals);
    REFUSED(gw_stats_cusum(0, noisy, 0, 1, 4, 0, z, COLUMN(1), NULL, NULL, NULL, s, &at), GW_STATS_TOO_FEW);
    REFUSED(gw_stats_cusum(N, noisy, 0, -1, 4, 0, z, COLUMN(1), NULL, NULL, NULL, s, &at), GW_STATS_OPTION);
    REFUSED(gw_stats_cusum(N, noisy, 0, 1, 0, 0, z, COLUMN(1), NULL, NULL, NULL, s, &at), GW_STATS_OPTION);
    REFUSED(gw_stats_cusum(N, noisy, 0, 1, 4, -1, z, COLUMN(1), NULL, NULL, NULL, s, &at), GW_STATS_OPTION);
    REFUSED_AT(gw_stats_cusum(N, odd_5, 0, 1, 4, 0, z, COLUMN(1), NULL, NULL, NULL, s, &at), GW_STATS_VALUE, 5);

    double *arl = RESULT(double);
    REFUSED(gw_stats_arl_cusum(-1, 4, 0, 0, true, 20, work, arl), GW_STATS_OPTION);
    REFUSED(gw_stats_arl_cusum(0.5, 4, 0, 4, true, 20, work, arl), GW_STATS_OPTION);
    REFUSED(gw_stats_arl_cusum(0.5, 4, 0, 0, true, 19, work, arl), GW_STATS_OPTION);
    REFUSED(gw_stats_arl_ewma(0, 3, 0, false, 20, work, arl), GW_STATS_OPTION);
    REFUSED(gw_stats_arl_ewma(0.2, -3, 0, false, 20, work, arl), GW_STATS_OPTION);
    REFUSED(gw_stats_arl_ewma(0.2, 3, 0, false, 401, work, arl), GW_STATS_OPTION);
}

Test(stats_refuse, local_level_and_trend)
{
    static const double gaps[N] = {NAN, NAN, 3, NAN, NAN, NAN, NAN, NAN, NAN, NAN, NAN, NAN};
    static const double moment[N] = {5, 5, 5, 5, 5, 5, 5, 5, 5, 5, 5, 5};
    gw_stats_state_model level = {GW_STATS_LOCAL_LEVEL, 4, 1, 0}, trend = {GW_STATS_LOCAL_TREND, 4, 1, 0.1};
    gw_stats_state_model no_noise = {GW_STATS_LOCAL_LEVEL, 0, 1, 0}, negative = {GW_STATS_LOCAL_TREND, 1, 1, -1};
    gw_stats_state_fit *fit = RESULT(gw_stats_state_fit);
    gw_stats_state_series series = {.filtered_level = COLUMN(0), .smoothed_level = COLUMN(1), .innovation = COLUMN(2)};
    REFUSED(gw_stats_state(0, rising, noisy, &level, work, &series, fit, &at), GW_STATS_TOO_FEW);
    REFUSED(gw_stats_state(N, rising, gaps, &trend, work, &series, fit, &at), GW_STATS_TOO_FEW);
    REFUSED(gw_stats_state(N, rising, noisy, &no_noise, work, &series, fit, &at), GW_STATS_OPTION);
    REFUSED(gw_stats_state(N, rising, noisy, &negative, work, &series, fit, &at), GW_STATS_OPTION);
    REFUSED(gw_stats_state(N, moment, noisy, &trend, work, &series, fit, &at), GW_STATS_CONSTANT);
    REFUSED_AT(gw_stats_state(N, backward_4, noisy, &level, work, &series, fit, &at), GW_STATS_ORDER, 4);
    REFUSED_AT(gw_stats_state(N, odd_3, noisy, &level, work, &series, fit, &at), GW_STATS_VALUE, 3);
    REFUSED_AT(gw_stats_state(N, rising, odd_5, &level, work, &series, fit, &at), GW_STATS_VALUE, N + 5);

    gw_stats_state_best *best = RESULT(gw_stats_state_best);
    REFUSED(gw_stats_state_fit_variances(2, rising, noisy, GW_STATS_LOCAL_LEVEL, best, &at), GW_STATS_TOO_FEW);
    REFUSED(gw_stats_state_fit_variances(N, rising, noisy, (gw_stats_model)9, best, &at), GW_STATS_OPTION);
    REFUSED(gw_stats_state_fit_variances(N, rising, flat, GW_STATS_LOCAL_LEVEL, best, &at), GW_STATS_CONSTANT);
    REFUSED(gw_stats_state_fit_variances(N, moment, noisy, GW_STATS_LOCAL_LEVEL, best, &at), GW_STATS_CONSTANT);
    REFUSED_AT(gw_stats_state_fit_variances(N, backward_4, noisy, GW_STATS_LOCAL_LEVEL, best, &at), GW_STATS_ORDER, 4);
}

Test(stats_refuse, growth_curves)
{
    gw_stats_curve_fit *fit = RESULT(gw_stats_curve_fit);
    static const double start[] = {20, 0.3, 5}, below[N] = {10, 12, -1, 13, 15, 14, 16, 18, 17, 19, 21, 20};
    static const double nowhere[] = {NAN, 1, 1};
    double *out = COLUMN(0);
    REFUSED(gw_stats_curve_fit_from(GW_STATS_GOMPERTZ_RATE, 3, rising, noisy, start, fit, &at), GW_STATS_TOO_FEW);
    REFUSED(gw_stats_curve_fit_from((gw_stats_curve)99, N, rising, noisy, start, fit, &at), GW_STATS_OPTION);
    REFUSED(gw_stats_curve_fit_from(GW_STATS_LOGISTIC, N, rising, noisy, nowhere, fit, &at), GW_STATS_OPTION);
    REFUSED_AT(gw_stats_curve_fit_from(GW_STATS_LOGISTIC, N, odd_3, noisy, start, fit, &at), GW_STATS_VALUE, 3);
    REFUSED_AT(gw_stats_curve_fit_from(GW_STATS_POWER, N, below, noisy, start, fit, &at), GW_STATS_VALUE, 2);
    REFUSED(gw_stats_curve_start(GW_STATS_LOGISTIC, 3, rising, noisy, out, &at), GW_STATS_TOO_FEW);
    REFUSED(gw_stats_curve_start(GW_STATS_LOGISTIC, N, flat, noisy, out, &at), GW_STATS_CONSTANT);
    REFUSED_AT(gw_stats_curve_start(GW_STATS_LOGISTIC, N, rising, below, out, &at), GW_STATS_VALUE, N + 2);
}

Test(stats_refuse, counts)
{
    gw_stats_count_test *test = RESULT(gw_stats_count_test);
    REFUSED(gw_stats_binomial(0, 0, 0.5, 0.95, test), GW_STATS_TOO_FEW);
    REFUSED(gw_stats_binomial(3, 2, 0.5, 0.95, test), GW_STATS_VALUE);
    REFUSED(gw_stats_binomial(1, 2, 1.5, 0.95, test), GW_STATS_OPTION);
    REFUSED(gw_stats_binomial(1, 2, 0.5, 1, test), GW_STATS_OPTION);
    REFUSED(gw_stats_poisson(1, 0, 1, 0.95, test), GW_STATS_OPTION);
    REFUSED(gw_stats_poisson(1, 1, INFINITY, 0.95, test), GW_STATS_OPTION);
    REFUSED(gw_stats_poisson_two(0, 1, 0, 1, 0.95, test), GW_STATS_TOO_FEW);
    REFUSED(gw_stats_poisson_two(1, -1, 1, 1, 0.95, test), GW_STATS_OPTION);

    gw_stats_fisher_test *fisher = RESULT(gw_stats_fisher_test);
    REFUSED(gw_stats_fisher(0, 0, 0, 0, 0.95, fisher), GW_STATS_TOO_FEW);
    REFUSED(gw_stats_fisher(4000000000u, 1, 1, 1, 0.95, fisher), GW_STATS_VALUE);
    REFUSED(gw_stats_fisher(1, 2, 3, 4, 0, fisher), GW_STATS_OPTION);

    static const double p[] = {0.5, 0.1, -0.1};
    REFUSED(gw_stats_adjust(0, p, GW_STATS_HOLM, order, COLUMN(0), &at), GW_STATS_TOO_FEW);
    REFUSED(gw_stats_adjust(2, p, (gw_stats_adjustment)7, order, COLUMN(0), &at), GW_STATS_OPTION);
    REFUSED_AT(gw_stats_adjust(3, p, GW_STATS_HOLM, order, COLUMN(0), &at), GW_STATS_VALUE, 2);
}

Test(stats_refuse, sites_and_weeks)
{
    static const uint32_t seen[] = {1, 2, 0}, none[] = {0, 0, 0};
    static const double risk[] = {10, 20, 30}, no_risk[] = {10, 0, 30}, place[] = {0, NAN, 2};
    gw_stats_site *site = RESULT(gw_stats_site);
    REFUSED(gw_stats_site_excess(0, seen, risk, 0.95, site, &at), GW_STATS_TOO_FEW);
    REFUSED(gw_stats_site_excess(3, seen, risk, 1, site, &at), GW_STATS_OPTION);
    REFUSED(gw_stats_site_excess(3, none, risk, 0.95, site, &at), GW_STATS_CONSTANT);
    REFUSED_AT(gw_stats_site_excess(3, seen, no_risk, 0.95, site, &at), GW_STATS_VALUE, 1);

    gw_stats_cluster *cluster = RESULT(gw_stats_cluster);
    REFUSED(gw_stats_scan(3, seen, risk, risk, risk, 0, work, order, COLUMN(0), cluster, &at), GW_STATS_OPTION);
    REFUSED(gw_stats_scan(3, none, risk, risk, risk, 0.5, work, order, COLUMN(0), cluster, &at), GW_STATS_CONSTANT);
    REFUSED_AT(gw_stats_scan(3, seen, no_risk, risk, risk, 0.5, work, order, COLUMN(0), cluster, &at), GW_STATS_VALUE,
               1);
    REFUSED_AT(gw_stats_scan(3, seen, risk, place, risk, 0.5, work, order, COLUMN(0), cluster, &at), GW_STATS_VALUE, 4);
    REFUSED_AT(gw_stats_scan(3, seen, risk, risk, place, 0.5, work, order, COLUMN(0), cluster, &at), GW_STATS_VALUE, 7);

    REFUSED(gw_stats_ears(GW_STATS_EARS_LEAD, noisy, 0.001, COLUMN(0), COLUMN(1), &at), GW_STATS_TOO_FEW);
    REFUSED(gw_stats_ears(N, noisy, 0, COLUMN(0), COLUMN(1), &at), GW_STATS_OPTION);
    REFUSED_AT(gw_stats_ears(N, odd_5, 0.001, COLUMN(0), COLUMN(1), &at), GW_STATS_VALUE, 5);
}

Test(stats_refuse, agreement_and_centiles)
{
    gw_stats_agreement_of *agreement = RESULT(gw_stats_agreement_of);
    REFUSED(gw_stats_agreement(1, rising, noisy, agreement, &at), GW_STATS_TOO_FEW);
    REFUSED_AT(gw_stats_agreement(N, odd_3, noisy, agreement, &at), GW_STATS_VALUE, 3);
    REFUSED_AT(gw_stats_agreement(N, rising, odd_5, agreement, &at), GW_STATS_VALUE, N + 5);

    static const double zero_2[] = {5, 6, 0, 7};
    gw_stats_lms *lms = RESULT(gw_stats_lms);
    REFUSED(gw_stats_lms_fit(2, noisy, work, lms, &at), GW_STATS_TOO_FEW);
    REFUSED(gw_stats_lms_fit(N, flat, work, lms, &at), GW_STATS_CONSTANT);
    REFUSED_AT(gw_stats_lms_fit(4, zero_2, work, lms, &at), GW_STATS_VALUE, 2);
    REFUSED_AT(gw_stats_lms_fit(N, odd_3, work, lms, &at), GW_STATS_VALUE, 3);
}

Test(stats_refuse, the_place_may_be_left_out)
{
    gw_stats_moments m;
    cr_expect(eq(int, gw_stats_summary(N, odd_3, &m, NULL), GW_STATS_VALUE));
}

Test(stats_refuse, every_status_has_words)
{
    for (int s = GW_STATS_OK; s <= GW_STATS_NO_END; s++) {
        const char *text = gw_stats_status_text((gw_stats_status)s);
        cr_expect(strlen(text) > 5);
        cr_expect(ne(str, (char *)text, "unknown status"), "%d", s);
    }
    cr_expect(eq(str, (char *)gw_stats_status_text((gw_stats_status)99), "unknown status"));
}
