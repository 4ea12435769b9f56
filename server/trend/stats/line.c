/* Lines through one series: Theil-Sen, Mann-Kendall, least squares. */
#include "stats_internal.h"

static bool confidence_sound(double confidence)
{
    return confidence > 0 && confidence < 1;
}

/* ------------------------------------------------------------------------------------------- ties */

typedef struct {
    double two;   /* sum of k (k - 1) over the groups of k equal values */
    double three; /* of k (k - 1) (k - 2) */
    double var;   /* of k (k - 1) (2 k + 5) */
} tie_sums;

static tie_sums ties_of(size_t n, const double sorted[])
{
    tie_sums t = {0, 0, 0};
    for (size_t i = 0, j; i < n; i = j) {
        for (j = i + 1; j < n && sorted[j] == sorted[i];) j++;
        double k = (double)(j - i);
        t.two += k * (k - 1);
        t.three += k * (k - 1) * (k - 2);
        t.var += k * (k - 1) * (2 * k + 5);
    }
    return t;
}

static tie_sums count_ties(size_t n, const double v[], double work[])
{
    for (size_t i = 0; i < n; i++) work[i] = v[i];
    gw_stats_sort(n, work);
    return ties_of(n, work);
}

/* ------------------------------------------------------------------------------------------- Theil-Sen */

size_t gw_stats_theil_sen_work(size_t n)
{
    if (n < 2 || n > 0x7fffffff || n > SIZE_MAX / sizeof(double) / n) return 0;
    return n / 2 * (n - 1) + (n % 2) * ((n - 1) / 2) + n;
}

static double round_half_even(double v)
{
    double whole = floor(v), rest = v - whole;
    return rest > 0.5 || (rest == 0.5 && fmod(whole, 2) != 0) ? whole + 1 : whole;
}

/* The slope at a fractional one-based rank, NAN outside 1 to n. */
static double slope_between(size_t n, const double slopes[], double rank)
{
    if (!(rank >= 1 && rank <= (double)n)) return NAN;
    size_t i = (size_t)floor(rank);
    double below = slopes[i - 1];
    return i < n ? below + (rank - (double)i) * (slopes[i] - below) : below;
}

gw_stats_status gw_stats_theil_sen(size_t n, const double x[], const double y[], double confidence, double work[],
                                   gw_stats_slopes *out, size_t *at)
{
    if (!confidence_sound(confidence)) return GW_STATS_OPTION;
    if (n < 2) return GW_STATS_TOO_FEW;
    gw_stats_status status = gw_stats_check_pair(n, x, y, at);
    if (status) return status;

    double *scratch = work, *slopes = work + n;
    size_t count = 0;
    for (size_t i = 0; i < n; i++) {
        for (size_t j = i + 1; j < n; j++) {
            if (x[j] != x[i]) slopes[count++] = (y[j] - y[i]) / (x[j] - x[i]);
        }
    }
    if (count == 0) return GW_STATS_CONSTANT;
    gw_stats_sort(count, slopes);

    gw_stats_slopes result = {.n_slopes = count, .slope = gw_stats_sorted_median(count, slopes)};
    double size = (double)n, all = (double)count;
    tie_sums in_x = count_ties(n, x, scratch);
    double median_x = gw_stats_sorted_median(n, scratch);
    tie_sums in_y = count_ties(n, y, scratch);
    double median_y = gw_stats_sorted_median(n, scratch);
    result.intercept_separate = median_y - result.slope * median_x;
    for (size_t i = 0; i < n; i++) scratch[i] = y[i] - result.slope * x[i];
    result.intercept_joint = gw_stats_median_of(n, scratch);

    result.sigma = sqrt(fmax(0, (size * (size - 1) * (2 * size + 5) - in_x.var - in_y.var) / 18));
    double c = gw_stats_normal_quantile(0.5 + confidence / 2) * result.sigma;
    double low = fmax(round_half_even((all - c) / 2), 1), high = fmin(round_half_even((all + c) / 2) + 1, all);
    result.low = slopes[(size_t)low - 1];
    result.high = slopes[(size_t)high - 1];
    result.low_interp = slope_between(count, slopes, (all - c) / 2);
    result.high_interp = slope_between(count, slopes, (all + c) / 2 + 1);
    *out = result;
    return GW_STATS_OK;
}

/* ------------------------------------------------------------------------------------------- Mann-Kendall */

enum { EXACT_BELOW = 50 };

size_t gw_stats_mann_kendall_work(size_t n)
{
    if (n > SIZE_MAX / sizeof(double) / 2) return 0;
    return n + (n < EXACT_BELOW ? n * n / 4 + 2 : 0);
}

/*
 * P(at most k of the n (n - 1) / 2 pairs are out of order), all orders equally likely: the share of permutations with
 * each number of inversions, built up one element at a time.
 */
static double few_inversions(size_t n, size_t k, double share[])
{
    share[0] = 1;
    for (size_t i = 1; i <= k; i++) share[i] = 0;
    for (size_t size = 2; size <= n; size++) {
        for (size_t i = 1; i <= k; i++) share[i] += share[i - 1];
        for (size_t i = k; i >= size; i--) share[i] -= share[i - size];
        for (size_t i = 0; i <= k; i++) share[i] /= (double)size;
    }
    double sum = 0;
    for (size_t i = 0; i <= k; i++) sum += share[i];
    return sum;
}

static double sign_of(double v)
{
    return (v > 0) - (v < 0);
}

gw_stats_status gw_stats_mann_kendall(size_t n, const double x[], const double y[], double work[], gw_stats_trend *out,
                                      size_t *at)
{
    if (n < 2) return GW_STATS_TOO_FEW;
    gw_stats_status status = gw_stats_check_pair(n, x, y, at);
    if (status) return status;

    double s = 0, size = (double)n, pairs = size * (size - 1);
    for (size_t i = 0; i < n; i++) {
        for (size_t j = i + 1; j < n; j++) s += sign_of(y[j] - y[i]) * sign_of(x[j] - x[i]);
    }
    tie_sums tx = count_ties(n, x, work), ty = count_ties(n, y, work);
    double var = (pairs * (2 * size + 5) - tx.var - ty.var) / 18 + tx.two * ty.two / (2 * pairs);
    if (n > 2) var += tx.three * ty.three / (9 * pairs * (size - 2));

    gw_stats_trend result = {.s = s, .var_s = var, .p_exact = NAN};
    double free_pairs = (pairs - tx.two) * (pairs - ty.two);
    result.tau_b = free_pairs > 0 ? 2 * s / sqrt(free_pairs) : NAN;
    double sd = sqrt(fmax(var, 0));
    result.z = sd > 0 ? s / sd : NAN;
    result.z_continuity = sd > 0 ? (s - sign_of(s)) / sd : NAN;
    result.p = 2 * gw_stats_normal_upper(fabs(result.z));
    result.p_continuity = 2 * gw_stats_normal_upper(fabs(result.z_continuity));
    if (tx.two == 0 && ty.two == 0 && n < EXACT_BELOW) {
        size_t fewer = (size_t)((pairs / 2 - fabs(s)) / 2); /* pairs of the rarer kind */
        result.p_exact = fmin(1, 2 * few_inversions(n, fewer, work));
    }
    *out = result;
    return GW_STATS_OK;
}

/* ------------------------------------------------------------------------------------------- least squares */

static gw_stats_status check_line(size_t n, const double x[], const double y[], const double w[], size_t *at)
{
    gw_stats_status status = gw_stats_check_pair(n, x, y, at);
    if (status) return status;
    for (size_t i = 0; w && i < n; i++) {
        if (!(isfinite(w[i]) && w[i] > 0)) return gw_stats_refuse(GW_STATS_VALUE, 2 * n + i, at);
    }
    return GW_STATS_OK;
}

gw_stats_status gw_stats_line(size_t n, const double x[], const double y[], const double w[], double confidence,
                              gw_stats_line_fit *out, size_t *at)
{
    if (!confidence_sound(confidence)) return GW_STATS_OPTION;
    if (n < 2) return GW_STATS_TOO_FEW;
    gw_stats_status status = check_line(n, x, y, w, at);
    if (status) return status;

    double sum = 0, mean_x = 0, mean_y = 0, sxx = 0, sxy = 0, chisq = 0;
    for (size_t i = 0; i < n; i++) { /* running means: no large sums */
        double weight = w ? w[i] : 1;
        sum += weight;
        mean_x += (x[i] - mean_x) * (weight / sum);
        mean_y += (y[i] - mean_y) * (weight / sum);
    }
    for (size_t i = 0; i < n; i++) {
        double weight = w ? w[i] : 1, dx = x[i] - mean_x;
        sxx += weight * dx * dx;
        sxy += weight * dx * (y[i] - mean_y);
    }
    if (!(sxx > 0)) return GW_STATS_CONSTANT;
    double slope = sxy / sxx;
    for (size_t i = 0; i < n; i++) {
        double off = (y[i] - mean_y) - slope * (x[i] - mean_x);
        chisq += (w ? w[i] : 1) * off * off;
    }
    gw_stats_line_fit fit = {.coef = {mean_y - slope * mean_x, slope}, .chisq = chisq, .df = (double)n - 2};
    fit.se_known[0] = sqrt(1 / sum + mean_x * mean_x / sxx);
    fit.se_known[1] = 1 / sqrt(sxx);
    fit.sigma = fit.df > 0 ? sqrt(chisq / fit.df) : NAN;
    double t = gw_stats_t_quantile(0.5 + confidence / 2, fit.df);
    for (int i = 0; i < 2; i++) {
        fit.se[i] = fit.sigma * fit.se_known[i];
        fit.low[i] = fit.coef[i] - t * fit.se[i];
        fit.high[i] = fit.coef[i] + t * fit.se[i];
    }
    *out = fit;
    return GW_STATS_OK;
}
