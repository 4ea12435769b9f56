/* What the series methods promise beyond single values: symmetries, special cases that have a closed form, aliasing. */
#include <gramwell/stats.h>

#include <criterion/criterion.h>
#include <criterion/new/assert.h>
#include <math.h>
#include <stdlib.h>

enum { N = 10, ROOM = 256 };

static const double t[N] = {0, 1, 3, 4, 8, 9, 9, 12, 15, 16};
static const double y[N] = {50, 52, NAN, 55, 53, 57, 58, NAN, 60, 63};

/* A level that does not move is the mean; its variance is that of a mean. */
Test(stats_series, a_still_level_is_the_mean)
{
    double work[ROOM], smooth[N], var[N], sum = 0;
    size_t taken = 0;
    gw_stats_state_model model = {GW_STATS_LOCAL_LEVEL, 4, 0, 0};
    gw_stats_state_series series = {.smoothed_level = smooth, .smoothed_level_var = var};
    cr_assert(gw_stats_state_work(N) <= ROOM);
    cr_assert(eq(int, gw_stats_state(N, t, y, &model, work, &series, NULL, NULL), GW_STATS_OK));
    for (size_t i = 0; i < N; i++) {
        if (isnan(y[i])) continue;
        sum += y[i];
        taken++;
    }
    for (size_t i = 0; i < N; i++) {
        cr_expect(fabs(smooth[i] - sum / (double)taken) < 1e-12, "time %zu", i);
        cr_expect(fabs(var[i] - 4.0 / (double)taken) < 1e-12, "time %zu", i);
    }
}

/* A trend that does not move is the least-squares line. */
Test(stats_series, a_still_trend_is_the_line)
{
    double work[ROOM], level[N], slope[N], slope_var[N], tx[N], ty[N];
    size_t taken = 0;
    for (size_t i = 0; i < N; i++) {
        if (isnan(y[i])) continue;
        tx[taken] = t[i];
        ty[taken++] = y[i];
    }
    gw_stats_line_fit line;
    cr_assert(eq(int, gw_stats_line(taken, tx, ty, NULL, 0.95, &line, NULL), GW_STATS_OK));
    gw_stats_state_model model = {GW_STATS_LOCAL_TREND, 1, 0, 0};
    gw_stats_state_series series = {.smoothed_level = level, .smoothed_slope = slope, .smoothed_slope_var = slope_var};
    cr_assert(eq(int, gw_stats_state(N, t, y, &model, work, &series, NULL, NULL), GW_STATS_OK));
    for (size_t i = 0; i < N; i++) {
        cr_expect(fabs(level[i] - (line.coef[0] + line.coef[1] * t[i])) < 1e-10, "time %zu", i);
        cr_expect(fabs(slope[i] - line.coef[1]) < 1e-11);
        cr_expect(fabs(sqrt(slope_var[i]) - line.se_known[1]) < 1e-11);
    }
}

Test(stats_series, the_last_filtered_state_is_the_smoothed_one)
{
    double work[ROOM], column[8][N];
    gw_stats_state_model model = {GW_STATS_LOCAL_TREND, 2, 0.5, 0.05};
    gw_stats_state_series s = {column[0], column[1], column[2], column[3], column[4],
                               column[5], column[6], column[7], NULL,      NULL};
    cr_assert(eq(int, gw_stats_state(N, t, y, &model, work, &s, NULL, NULL), GW_STATS_OK));
    for (size_t c = 0; c < 4; c++) cr_expect(fabs(column[c][N - 1] - column[c + 4][N - 1]) < 1e-12, "column %zu", c);
    cr_expect(isnan(column[0][0]) && isfinite(column[0][1])); /* two readings settle level and slope */
    for (size_t i = 1; i < N; i++) cr_expect(column[5][i] <= column[1][i] + 1e-12); /* later readings only add */
}

/* Time in days or in weeks: the same likelihood but for the change of unit, the same variance of a reading. */
Test(stats_series, the_best_variances_do_not_depend_on_the_unit_of_time)
{
    double weeks[N];
    gw_stats_state_best in_days, in_weeks;
    for (size_t i = 0; i < N; i++) weeks[i] = t[i] / 7;
    for (gw_stats_model m = GW_STATS_LOCAL_LEVEL; m <= GW_STATS_LOCAL_TREND; m++) {
        double power = m == GW_STATS_LOCAL_LEVEL ? 1 : 3;
        cr_assert(eq(int, gw_stats_state_fit_variances(N, t, y, m, &in_days, NULL), GW_STATS_OK));
        cr_assert(eq(int, gw_stats_state_fit_variances(N, weeks, y, m, &in_weeks, NULL), GW_STATS_OK));
        cr_expect(fabs(in_days.model.var_obs - in_weeks.model.var_obs) < 1e-4 * in_days.model.var_obs);
        cr_expect(fabs(in_days.ratio * pow(7, power) - in_weeks.ratio) <= 1e-3 * in_weeks.ratio);
    }
}

/* With no ties the exact p of n = 4 comes from 24 orders: S = 6, 4, 2, 0 ... on 1, 3, 5, 6, 5, 3, 1 of them. */
Test(stats_series, mann_kendall_exact_by_hand)
{
    static const double x[] = {1, 2, 3, 4}, rows[][4] = {{1, 2, 3, 4}, {1, 2, 4, 3}, {2, 1, 4, 3}, {2, 4, 1, 3}};
    static const double wanted[] = {2.0 / 24, 8.0 / 24, 18.0 / 24, 1};
    double work[ROOM];
    for (size_t i = 0; i < 4; i++) {
        gw_stats_trend r;
        cr_assert(eq(int, gw_stats_mann_kendall(4, x, rows[i], work, &r, NULL), GW_STATS_OK));
        cr_expect(fabs(r.p_exact - wanted[i]) < 1e-14, "S = %g: %.17g", r.s, r.p_exact);
    }
}

Test(stats_series, constant_readings_have_no_trend)
{
    static const double flat[] = {5, 5, 5, 5};
    double work[ROOM];
    gw_stats_trend r;
    gw_stats_slopes s;
    cr_assert(eq(int, gw_stats_mann_kendall(4, t, flat, work, &r, NULL), GW_STATS_OK));
    cr_expect(eq(dbl, r.s, 0));
    cr_expect(isnan(r.tau_b) && isnan(r.z) && isnan(r.p) && isnan(r.p_exact));
    cr_assert(eq(int, gw_stats_theil_sen(4, t, flat, 0.95, work, &s, NULL), GW_STATS_OK));
    cr_expect(eq(dbl, s.slope, 0));
    cr_expect(eq(dbl, s.intercept_joint, 5));
}

Test(stats_series, one_wild_reading_hardly_moves_the_median_slope)
{
    double x[9], v[9], work[ROOM];
    gw_stats_slopes s;
    for (size_t i = 0; i < 9; i++) {
        x[i] = (double)i;
        v[i] = 1000 - 4 * x[i];
    }
    v[8] = 9680; /* a digit too many */
    cr_assert(eq(int, gw_stats_theil_sen(9, x, v, 0.95, work, &s, NULL), GW_STATS_OK));
    cr_expect(fabs(s.slope + 4) < 1e-12);
}

Test(stats_series, order_of_the_rows_does_not_matter)
{
    double x[N], v[N], turned_x[N], turned_v[N], work[ROOM];
    gw_stats_slopes a, b;
    for (size_t i = 0; i < N; i++) {
        x[i] = t[i];
        v[i] = 100 + (double)(i * i % 7);
        turned_x[N - 1 - i] = x[i];
        turned_v[N - 1 - i] = v[i];
    }
    cr_assert(eq(int, gw_stats_theil_sen(N, x, v, 0.95, work, &a, NULL), GW_STATS_OK));
    cr_assert(eq(int, gw_stats_theil_sen(N, turned_x, turned_v, 0.95, work, &b, NULL), GW_STATS_OK));
    cr_expect(eq(dbl, a.slope, b.slope));
    cr_expect(eq(dbl, a.low, b.low));
    cr_expect(eq(sz, a.n_slopes, b.n_slopes));
    cr_expect(eq(sz, a.n_slopes, N * (N - 1) / 2 - 1)); /* two readings at one time make no slope */
}

Test(stats_series, ewma_may_write_over_its_readings)
{
    double v[] = {4, 8, 2}, z[3], steady;
    unsigned char signal[3];
    cr_assert(eq(int, gw_stats_ewma(3, v, 0.5, 4, 1, 3, z, NULL, signal, &steady, NULL), GW_STATS_OK));
    cr_assert(eq(int, gw_stats_ewma(3, v, 0.5, 4, 1, 3, v, NULL, NULL, NULL, NULL), GW_STATS_OK));
    for (size_t i = 0; i < 3; i++) cr_expect(eq(dbl, v[i], z[i]));
    cr_expect(fabs(steady - sqrt(3)) < 1e-15);
    cr_expect(eq(int, signal[0], 0));
    cr_expect(eq(int, signal[1], GW_STATS_SIGNAL_EXACT | GW_STATS_SIGNAL_STEADY));
}

/* lambda = 1 forgets at once: the chart of single readings, whose run length is 1 / P(|Z| > 3). */
Test(stats_series, ewma_run_length_of_single_readings)
{
    double *work = malloc(gw_stats_arl_work(200) * sizeof *work), arl;
    cr_assert(work != NULL);
    cr_assert(eq(int, gw_stats_arl_ewma(1, 3, 0, false, 200, work, &arl), GW_STATS_OK));
    cr_expect(fabs(arl - 0.5 / gw_stats_normal_upper(3)) < 1e-8 * arl);
    cr_assert(eq(int, gw_stats_arl_ewma(1, 3, 0, true, 200, work, &arl), GW_STATS_OK));
    cr_expect(fabs(arl - 0.5 / gw_stats_normal_upper(3)) < 1e-8 * arl);
    free(work);
}

Test(stats_series, recursive_residuals_keep_the_sum_of_squares)
{
    double X[2 * N], v[N], work[ROOM], residual[N], coef[2];
    gw_stats_cusum_test c;
    gw_stats_fit f;
    for (size_t i = 0; i < N; i++) {
        X[2 * i] = 1;
        X[2 * i + 1] = (double)i;
        v[i] = 10 + 3 * (double)i + (double)(i * i % 5);
    }
    cr_assert(eq(int, gw_stats_recursive(N, 2, X, v, work, residual, NULL, NULL, &c, NULL), GW_STATS_OK));
    cr_assert(eq(int, gw_stats_ols(N, 2, X, v, true, 0.95, work, coef, NULL, NULL, NULL, NULL, &f, NULL), GW_STATS_OK));
    double sum = 0;
    for (size_t i = 0; i < N - 2; i++) sum += residual[i] * residual[i];
    cr_expect(fabs(sum - f.rss) < 1e-12 * f.rss);
}

Test(stats_series, work_sizes_too_large_to_address_are_0)
{
    cr_expect(eq(sz, gw_stats_theil_sen_work(SIZE_MAX / 2), 0));
    cr_expect(eq(sz, gw_stats_ols_work(SIZE_MAX / 2, 8), 0));
    cr_expect(eq(sz, gw_stats_state_work(SIZE_MAX / 2), 0));
    cr_expect(eq(sz, gw_stats_arl_work(19), 0));
    cr_expect(eq(sz, gw_stats_theil_sen_work(5), 15));
    cr_expect(eq(sz, gw_stats_theil_sen_work(6), 21));
}
