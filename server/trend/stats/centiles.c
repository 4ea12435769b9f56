/* Limits of agreement, LMS centiles. */
#include "stats_internal.h"

gw_stats_status gw_stats_agreement(size_t n, const double a[], const double b[], gw_stats_agreement_of *out, size_t *at)
{
    if (n < 2) return GW_STATS_TOO_FEW;
    gw_stats_status status = gw_stats_check_pair(n, a, b, at);
    if (status) return status;
    double size = (double)n, bias = 0, squares = 0, about_0 = 0;
    for (size_t i = 0; i < n; i++) bias += (a[i] - b[i] - bias) / (double)(i + 1);
    for (size_t i = 0; i < n; i++) {
        double d = a[i] - b[i];
        squares += (d - bias) * (d - bias);
        about_0 += d * d;
    }
    double z = gw_stats_normal_quantile(0.975), t = gw_stats_t_quantile(0.975, size - 1);
    double sd = sqrt(squares / (size - 1)), se = sd / sqrt(size), se_1986 = sqrt(3 * sd * sd / size);
    *out = (gw_stats_agreement_of){
        .bias = bias,
        .sd = sd,
        .bias_low = bias - t * se,
        .bias_high = bias + t * se,
        .bias_p = se > 0 ? 2 * gw_stats_t(-fabs(bias) / se, size - 1) : bias == 0,
        .low = bias - z * sd,
        .high = bias + z * sd,
        .low_2sd = bias - 2 * sd,
        .high_2sd = bias + 2 * sd,
        .se_1986 = se_1986,
        .se_1999 = sd * sqrt(1 / size + z * z / (2 * (size - 1))),
        .low_low = bias - z * sd - t * se_1986,
        .low_high = bias - z * sd + t * se_1986,
        .high_low = bias + z * sd - t * se_1986,
        .high_high = bias + z * sd + t * se_1986,
        .repeatability = sqrt(about_0 / size),
    };
    return GW_STATS_OK;
}

/* (e^(L x) - 1) / L, without loss where L x is small. */
static double box_cox(double L, double x)
{
    return L == 0 ? x : expm1(L * x) / L;
}

double gw_stats_lms_z(double L, double M, double S, double x)
{
    if (!(isfinite(L) && M > 0 && isfinite(M) && S > 0 && isfinite(S) && x > 0 && isfinite(x))) return NAN;
    return box_cox(L, log(x / M)) / S;
}

double gw_stats_lms_value(double L, double M, double S, double p)
{
    if (!(isfinite(L) && M > 0 && isfinite(M) && S > 0 && isfinite(S) && p > 0 && p < 1)) return NAN;
    double z = gw_stats_normal_quantile(p), inside = L * S * z;
    if (!(inside > -1)) return NAN;
    return M * exp(L == 0 ? S * z : log1p(inside) / L);
}

size_t gw_stats_lms_work(size_t n)
{
    return n > SIZE_MAX / sizeof(double) ? 0 : n;
}

/* Mean and variance (over n) of the transformed readings, and the slope of the variance's half after L. */
typedef struct {
    double mean, var, slope;
} profile;

static profile profile_at(size_t n, const double x[], double L)
{
    double mean = 0, var = 0, slope = 0;
    for (size_t i = 0; i < n; i++) mean += (box_cox(L, x[i]) - mean) / (double)(i + 1);
    for (size_t i = 0; i < n; i++) {
        double u = L * x[i], w = box_cox(L, x[i]);
        /* dw/dL = (x e^(L x) - w) / L; its series where that would cancel */
        double dw = fabs(u) < 1e-3 ? x[i] * x[i] * (0.5 + u * (1.0 / 3 + u * (0.125 + u * (1.0 / 30 + u / 144))))
                                   : (x[i] * exp(u) - w) / L;
        var += (w - mean) * (w - mean) / (double)n;
        slope += (w - mean) * dw / (double)n;
    }
    return (profile){mean, var, slope};
}

gw_stats_status gw_stats_lms_fit(size_t n, const double y[], double work[], gw_stats_lms *out, size_t *at)
{
    enum { LIMIT = 30 };
    if (n < 3) return GW_STATS_TOO_FEW;
    double centre = 0, low = y[0], high = y[0];
    for (size_t i = 0; i < n; i++) {
        if (!(isfinite(y[i]) && y[i] > 0)) return gw_stats_refuse(GW_STATS_VALUE, i, at);
        work[i] = log(y[i]);
        centre += (work[i] - centre) / (double)(i + 1);
        low = fmin(low, y[i]);
        high = fmax(high, y[i]);
    }
    if (!(high > low)) return GW_STATS_CONSTANT;
    /* In units of the geometric mean the likelihood depends on L by the variance alone: its slope passes 0 at the best.
     */
    for (size_t i = 0; i < n; i++) work[i] -= centre;
    double lo = -LIMIT, hi = LIMIT;
    if (profile_at(n, work, lo).slope > 0 || profile_at(n, work, hi).slope < 0) return GW_STATS_NO_END;
    for (int turn = 0; turn < 100 && hi - lo > 1e-14; turn++) {
        double middle = 0.5 * (lo + hi);
        if (profile_at(n, work, middle).slope > 0)
            hi = middle;
        else
            lo = middle;
    }
    double L = 0.5 * (lo + hi), size = (double)n;
    profile best = profile_at(n, work, L);
    double log_M = fabs(L) < 1e-12 ? best.mean : log1p(L * best.mean) / L;
    *out = (gw_stats_lms){.L = L,
                          .M = exp(centre + log_M),
                          .S = sqrt(best.var) * exp(-L * log_M),
                          .loglik = -size * (centre + (GW_STATS_LOG2PI + log(best.var) + 1) / 2)};
    return GW_STATS_OK;
}
