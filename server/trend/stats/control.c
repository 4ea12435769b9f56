/* Control charts: EWMA, CUSUM, and how long they run before they signal. */
#include "stats_internal.h"

gw_stats_status gw_stats_ewma(size_t n, const double y[], double lambda, double target, double sigma, double width,
                              double z[], double half[], unsigned char signal[], double *steady, size_t *at)
{
    if (!(lambda > 0 && lambda <= 1) || !isfinite(target) || !(sigma > 0 && width > 0) || isinf(sigma) || isinf(width))
        return GW_STATS_OPTION;
    if (n < 1) return GW_STATS_TOO_FEW;
    size_t odd = gw_stats_first_odd(n, y);
    if (odd < n) return gw_stats_refuse(GW_STATS_VALUE, odd, at);
    double level = target, limit = width * sigma * sqrt(lambda / (2 - lambda)), forgotten = 1;
    for (size_t t = 0; t < n; t++) {
        forgotten *= (1 - lambda) * (1 - lambda);
        level = lambda * y[t] + (1 - lambda) * level;
        double now = limit * sqrt(1 - forgotten), off = fabs(level - target);
        z[t] = level;
        if (half) half[t] = now;
        if (signal)
            signal[t] =
                (unsigned char)((off > now ? GW_STATS_SIGNAL_EXACT : 0u) | (off > limit ? GW_STATS_SIGNAL_STEADY : 0u));
    }
    if (steady) *steady = limit;
    return GW_STATS_OK;
}

gw_stats_status gw_stats_ewma_irregular(size_t n, const double t[], const double y[], double lambda, double target,
                                        double z[], double var_factor[], size_t *at)
{
    if (!(lambda > 0 && lambda <= 1) || !isfinite(target)) return GW_STATS_OPTION;
    if (n < 1) return GW_STATS_TOO_FEW;
    for (size_t i = 0; i < n; i++) {
        if (!isfinite(t[i])) return gw_stats_refuse(GW_STATS_VALUE, i, at);
        if (i > 0 && t[i] < t[i - 1]) return gw_stats_refuse(GW_STATS_ORDER, i, at);
        if (isinf(y[i])) return gw_stats_refuse(GW_STATS_VALUE, n + i, at);
    }
    double level = target, factor = 0, last = NAN;
    for (size_t i = 0; i < n; i++) {
        if (!isnan(y[i])) {
            double weight = isnan(last) ? lambda : 1 - pow(1 - lambda, t[i] - last);
            level += weight * (y[i] - level);
            factor = (1 - weight) * (1 - weight) * factor + weight * weight;
            last = t[i];
        }
        z[i] = level;
        if (var_factor) var_factor[i] = factor;
    }
    return GW_STATS_OK;
}

gw_stats_status gw_stats_cusum(size_t n, const double y[], double target, double k, double h, double headstart,
                               double upper[], double lower[], size_t run_upper[], size_t run_lower[], double plain[],
                               gw_stats_cusum_signals *out, size_t *at)
{
    bool sound = isfinite(target) && k >= 0 && isfinite(k) && h > 0 && isfinite(h) && headstart >= 0;
    if (!sound || isinf(headstart)) return GW_STATS_OPTION;
    if (n < 1) return GW_STATS_TOO_FEW;
    size_t odd = gw_stats_first_odd(n, y);
    if (odd < n) return gw_stats_refuse(GW_STATS_VALUE, odd, at);
    double up = headstart, down = headstart, sum = 0;
    size_t since_up = 0, since_down = 0;
    gw_stats_cusum_signals first = {n, n};
    for (size_t t = 0; t < n; t++) {
        up = fmax(0, up + y[t] - target - k);
        down = fmax(0, down + target - k - y[t]);
        sum += y[t] - target;
        since_up = up > 0 ? since_up + 1 : 0;
        since_down = down > 0 ? since_down + 1 : 0;
        if (up > h && first.first_upper == n) first.first_upper = t;
        if (down > h && first.first_lower == n) first.first_lower = t;
        upper[t] = up;
        lower[t] = down;
        if (run_upper) run_upper[t] = since_up;
        if (run_lower) run_lower[t] = since_down;
        if (plain) plain[t] = sum;
    }
    *out = first;
    return GW_STATS_OK;
}

/* ------------------------------------------------------------------------------------------- average run lengths */

enum { NODES_MIN = 20, NODES_MAX = 400, VARYING_STEPS_MAX = 4000 };

size_t gw_stats_arl_work(size_t nodes)
{
    return nodes < NODES_MIN || nodes > NODES_MAX ? 0 : (nodes + 1) * (nodes + 1) + 5 * (nodes + 1);
}

static double density(double x)
{
    return exp(-0.5 * x * x) / GW_STATS_SQRT2PI;
}

/* Gauss-Legendre nodes and weights on [-1, 1], by Newton's method on the Legendre polynomial. */
static void gauss_legendre(size_t n, double node[], double weight[])
{
    double size = (double)n;
    for (size_t i = 0; i < n; i++) {
        double x = cos(3.141592653589793 * ((double)i + 0.75) / (size + 0.5)), slope = 0;
        for (int turn = 0; turn < 50; turn++) {
            double now = 1, before = 0;
            for (size_t k = 0; k < n; k++) {
                double degree = (double)k, next = ((2 * degree + 1) * x * now - degree * before) / (degree + 1);
                before = now;
                now = next;
            }
            slope = size * (x * now - before) / (x * x - 1);
            double step = now / slope;
            x -= step;
            if (fabs(step) < 1e-15) break;
        }
        node[i] = x;
        weight[i] = 2 / ((1 - x * x) * slope * slope);
    }
}

/* Solve A x = b in place by elimination with row exchange. False when A is singular. */
static bool solve(size_t n, double A[], double x[])
{
    for (size_t k = 0; k < n; k++) {
        size_t best = k;
        for (size_t i = k + 1; i < n; i++) {
            if (fabs(A[i * n + k]) > fabs(A[best * n + k])) best = i;
        }
        if (A[best * n + k] == 0) return false;
        for (size_t j = k; best != k && j < n; j++) {
            double other = A[k * n + j];
            A[k * n + j] = A[best * n + j];
            A[best * n + j] = other;
        }
        double other = x[k];
        x[k] = x[best];
        x[best] = other;
        for (size_t i = k + 1; i < n; i++) {
            double factor = A[i * n + k] / A[k * n + k];
            if (factor == 0) continue;
            for (size_t j = k + 1; j < n; j++) A[i * n + j] -= factor * A[k * n + j];
            x[i] -= factor * x[k];
        }
    }
    for (size_t k = n; k-- > 0;) {
        for (size_t j = k + 1; j < n; j++) x[k] -= A[k * n + j] * x[j];
        x[k] /= A[k * n + k];
    }
    return true;
}

/* Share of the mass that moves from a sum at s to the grid: column 0 is the sum 0, the others are nodes in (0, h). */
static double cusum_kernel(double k, double mu, double s, const double node[], const double weight[], size_t column)
{
    if (column == 0) return gw_stats_normal(k - s - mu);
    return density(node[column - 1] + k - s - mu) * weight[column - 1];
}

/* Average run lengths of one sum, from the head start and from 0. */
static bool one_sided(double k, double h, double mu, double start, size_t nodes, double work[], double *from_start,
                      double *from_0)
{
    size_t n = nodes + 1;
    double *A = work, *run = A + n * n, *node = run + n, *weight = node + n;
    gauss_legendre(nodes, node, weight);
    for (size_t i = 0; i < nodes; i++) {
        node[i] = h * (node[i] + 1) / 2;
        weight[i] *= h / 2;
    }
    for (size_t i = 0; i < n; i++) {
        for (size_t j = 0; j < n; j++)
            A[i * n + j] = (double)(i == j) - cusum_kernel(k, mu, i ? node[i - 1] : 0, node, weight, j);
        run[i] = 1;
    }
    if (!solve(n, A, run)) return false;
    *from_start = 1;
    for (size_t j = 0; j < n; j++) *from_start += cusum_kernel(k, mu, start, node, weight, j) * run[j];
    *from_0 = run[0];
    return true;
}

gw_stats_status gw_stats_arl_cusum(double k, double h, double mu, double headstart, bool two_sided, size_t nodes,
                                   double work[], double *arl)
{
    bool sound = k >= 0 && isfinite(k) && h > 0 && isfinite(h) && isfinite(mu) && headstart >= 0 && headstart < h;
    if (!sound || gw_stats_arl_work(nodes) == 0) return GW_STATS_OPTION;
    double up, up_0, down, down_0;
    if (!one_sided(k, h, mu, headstart, nodes, work, &up, &up_0)) return GW_STATS_NO_END;
    double found = up;
    if (two_sided) {
        if (!one_sided(k, h, -mu, headstart, nodes, work, &down, &down_0)) return GW_STATS_NO_END;
        found = (up * down_0 + up_0 * down - up_0 * down_0) / (up_0 + down_0);
    }
    if (!(isfinite(found) && found >= 1)) return GW_STATS_NO_END;
    *arl = found;
    return GW_STATS_OK;
}

/* Share of the mass that moves from an average at z to the node x of weight w (both scaled to the next limits). */
static double ewma_kernel(double lambda, double mu, double z, double x, double w)
{
    return density((x - (1 - lambda) * z) / lambda - mu) / lambda * w;
}

gw_stats_status gw_stats_arl_ewma(double lambda, double width, double mu, bool varying, size_t nodes, double work[],
                                  double *arl)
{
    bool sound = lambda >= 0.01 && lambda <= 1 && width > 0 && isfinite(width) && isfinite(mu);
    if (!sound || gw_stats_arl_work(nodes) == 0) return GW_STATS_OPTION;
    size_t n = nodes;
    double *A = work, *run = A + n * n, *node = run + n, *weight = node + n, *next = weight + n;
    double steady = width * sqrt(lambda / (2 - lambda)), limit = steady;
    gauss_legendre(n, node, weight);
    for (size_t i = 0; i < n; i++) {
        for (size_t j = 0; j < n; j++)
            A[i * n + j] =
                (double)(i == j) - ewma_kernel(lambda, mu, node[i] * limit, node[j] * limit, weight[j] * limit);
        run[i] = 1;
    }
    if (!solve(n, A, run)) return GW_STATS_NO_END;
    if (varying) { /* backwards from the reading at which the limits have settled to 1e-17 */
        int settled = (int)ceil(20 / -log1p(-fmin(lambda, 0.9999)));
        if (settled > VARYING_STEPS_MAX) settled = VARYING_STEPS_MAX;
        for (int t = settled; t-- > 1;) {
            double now = steady * sqrt(-expm1(2 * t * log1p(-fmin(lambda, 1 - 1e-16))));
            for (size_t i = 0; i < n; i++) {
                next[i] = 1;
                for (size_t j = 0; j < n; j++)
                    next[i] += ewma_kernel(lambda, mu, node[i] * now, node[j] * limit, weight[j] * limit) * run[j];
            }
            for (size_t i = 0; i < n; i++) run[i] = next[i];
            limit = now;
        }
    }
    double found = 1;
    for (size_t j = 0; j < n; j++) found += ewma_kernel(lambda, mu, 0, node[j] * limit, weight[j] * limit) * run[j];
    if (!(isfinite(found) && found >= 1)) return GW_STATS_NO_END;
    *arl = found;
    return GW_STATS_OK;
}
