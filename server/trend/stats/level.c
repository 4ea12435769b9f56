/* One set of readings: sorting, moments, median, quantiles. */
#include "stats_internal.h"

const char *gw_stats_status_text(gw_stats_status status)
{
    switch (status) {
    case GW_STATS_OK:
        return "all is well";
    case GW_STATS_TOO_FEW:
        return "fewer values than the method needs";
    case GW_STATS_VALUE:
        return "a value is not finite, or outside what the method takes";
    case GW_STATS_ORDER:
        return "a time is earlier than the one before it";
    case GW_STATS_OPTION:
        return "an option is outside its range";
    case GW_STATS_CONSTANT:
        return "the values do not vary, or columns depend on each other";
    case GW_STATS_NO_END:
        return "the iteration did not settle";
    }
    return "unknown status";
}

size_t gw_stats_first_odd(size_t n, const double v[])
{
    size_t i = 0;
    while (i < n && isfinite(v[i])) i++;
    return i;
}

gw_stats_status gw_stats_check_pair(size_t n, const double x[], const double y[], size_t *at)
{
    size_t i = gw_stats_first_odd(n, x);
    if (i < n) return gw_stats_refuse(GW_STATS_VALUE, i, at);
    i = gw_stats_first_odd(n, y);
    if (i < n) return gw_stats_refuse(GW_STATS_VALUE, n + i, at);
    return GW_STATS_OK;
}

/* ------------------------------------------------------------------------------------------- order */

/* Heapsort: no recursion, no allocation (qsort of some libraries allocates), n log n at worst. */
static void sift(double v[], size_t root, size_t n)
{
    double moved = v[root];
    for (size_t child; (child = 2 * root + 1) < n; root = child) {
        if (child + 1 < n && v[child + 1] > v[child]) child++;
        if (!(v[child] > moved)) break;
        v[root] = v[child];
    }
    v[root] = moved;
}

void gw_stats_sort(size_t n, double v[])
{
    for (size_t i = n / 2; i-- > 0;) sift(v, i, n);
    for (size_t end = n; end-- > 1;) {
        double top = v[0];
        v[0] = v[end];
        v[end] = top;
        sift(v, 0, end);
    }
}

static bool comes_after(const double key[], size_t a, size_t b)
{
    return key[a] > key[b] || (key[a] == key[b] && a > b);
}

static void sift_positions(const double key[], size_t v[], size_t root, size_t n)
{
    size_t moved = v[root];
    for (size_t child; (child = 2 * root + 1) < n; root = child) {
        if (child + 1 < n && comes_after(key, v[child + 1], v[child])) child++;
        if (!comes_after(key, v[child], moved)) break;
        v[root] = v[child];
    }
    v[root] = moved;
}

void gw_stats_sort_positions(size_t n, const double key[], size_t order[])
{
    for (size_t i = 0; i < n; i++) order[i] = i;
    for (size_t i = n / 2; i-- > 0;) sift_positions(key, order, i, n);
    for (size_t end = n; end-- > 1;) {
        size_t top = order[0];
        order[0] = order[end];
        order[end] = top;
        sift_positions(key, order, 0, end);
    }
}

double gw_stats_sorted_median(size_t n, const double v[])
{
    return n % 2 ? v[n / 2] : 0.5 * v[n / 2 - 1] + 0.5 * v[n / 2];
}

double gw_stats_median_of(size_t n, double v[])
{
    gw_stats_sort(n, v);
    return gw_stats_sorted_median(n, v);
}

double gw_stats_sorted_quantile(size_t n, const double v[], gw_stats_quantile_type type, double p)
{
    double size = (double)n, rank; /* one-based, fractions between neighbours */
    if (type == GW_STATS_TYPE_6)
        rank = p * (size + 1);
    else if (type == GW_STATS_TYPE_7)
        rank = 1 + p * (size - 1);
    else
        rank = p * (size + 1.0 / 3) + 1.0 / 3;
    /* A rank that rounding has put a hair beside a whole number is that number, as in R. */
    double fuzz = 4 * 2.220446049250313e-16, whole = floor(rank + fuzz), share = rank - whole;
    if (fabs(share) < fuzz) share = 0;
    if (whole < 1) return v[0];
    if (whole >= size) return v[n - 1];
    size_t i = (size_t)whole;
    return share > 0 ? v[i - 1] + share * (v[i] - v[i - 1]) : v[i - 1];
}

/* ------------------------------------------------------------------------------------------- moments */

double gw_stats_sum(size_t n, const double v[])
{
    double sum = 0, lost = 0;
    for (size_t i = 0; i < n; i++) {
        double next = sum + v[i];
        lost += fabs(sum) >= fabs(v[i]) ? (sum - next) + v[i] : (v[i] - next) + sum;
        sum = next;
    }
    return sum + lost;
}

gw_stats_status gw_stats_summary(size_t n, const double y[], gw_stats_moments *out, size_t *at)
{
    if (n < 2) return GW_STATS_TOO_FEW;
    size_t odd = gw_stats_first_odd(n, y);
    if (odd < n) return gw_stats_refuse(GW_STATS_VALUE, odd, at);
    double size = (double)n, mean = gw_stats_sum(n, y) / size, squares = 0, off = 0, lagged = 0, last = 0;
    for (size_t i = 0; i < n; i++) {
        double d = y[i] - mean;
        squares += d * d;
        off += d;
        lagged += d * last;
        last = d;
    }
    squares -= off * off / size; /* what the rounding of the mean left */
    *out = (gw_stats_moments){
        .mean = mean, .sd = sqrt(fmax(squares, 0) / (size - 1)), .autocorr1 = squares > 0 ? lagged / squares : NAN};
    return GW_STATS_OK;
}

gw_stats_status gw_stats_level(size_t n, const double y[], double work[], gw_stats_level_of *out, size_t *at)
{
    if (n < 1) return GW_STATS_TOO_FEW;
    size_t odd = gw_stats_first_odd(n, y);
    if (odd < n) return gw_stats_refuse(GW_STATS_VALUE, odd, at);
    for (size_t i = 0; i < n; i++) work[i] = y[i];
    double median = gw_stats_median_of(n, work);
    double iqr = gw_stats_sorted_quantile(n, work, GW_STATS_TYPE_7, 0.75) -
                 gw_stats_sorted_quantile(n, work, GW_STATS_TYPE_7, 0.25);
    double range = work[n - 1] - work[0];
    for (size_t i = 0; i < n; i++) work[i] = fabs(work[i] - median);
    double mad = gw_stats_median_of(n, work);
    *out = (gw_stats_level_of){.median = median,
                               .mad = mad,
                               .mad_normal = mad / GW_STATS_Z75,
                               .mad_1_4826 = 1.4826 * mad,
                               .iqr = iqr,
                               .range = range};
    return GW_STATS_OK;
}

gw_stats_status gw_stats_quantiles(size_t n, const double y[], gw_stats_quantile_type type, size_t n_p,
                                   const double p[], double work[], double value[], size_t *at)
{
    if (type != GW_STATS_TYPE_6 && type != GW_STATS_TYPE_7 && type != GW_STATS_TYPE_8) return GW_STATS_OPTION;
    if (n < 1) return GW_STATS_TOO_FEW;
    size_t odd = gw_stats_first_odd(n, y);
    if (odd < n) return gw_stats_refuse(GW_STATS_VALUE, odd, at);
    for (size_t i = 0; i < n_p; i++) {
        if (!(p[i] >= 0 && p[i] <= 1)) return gw_stats_refuse(GW_STATS_VALUE, n + i, at);
    }
    for (size_t i = 0; i < n; i++) work[i] = y[i];
    gw_stats_sort(n, work);
    for (size_t i = 0; i < n_p; i++) value[i] = gw_stats_sorted_quantile(n, work, type, p[i]);
    return GW_STATS_OK;
}
