/* Growth curves: values, derivatives, starts, and the fit by Levenberg-Marquardt. */
#include "stats_internal.h"

enum { P_MAX = GW_STATS_CURVE_COEF_MAX, FIT_STEPS = 2000 };

size_t gw_stats_curve_coefs(gw_stats_curve curve)
{
    switch (curve) {
    case GW_STATS_MONOMOLECULAR:
    case GW_STATS_POWER:
        return 2;
    case GW_STATS_LOGISTIC:
    case GW_STATS_LOGISTIC_XMID:
    case GW_STATS_GOMPERTZ:
    case GW_STATS_GOMPERTZ_RATE:
    case GW_STATS_EXP2:
        return 3;
    case GW_STATS_RICHARDS:
        return 4;
    }
    return 0;
}

/* Value and, unless g is NULL, the derivatives after each coefficient. */
static double curve_value(gw_stats_curve curve, const double b[], double x, double g[])
{
    double none[P_MAX];
    if (!g) g = none;
    switch (curve) {
    case GW_STATS_LOGISTIC: {
        double e = exp(b[1] - b[2] * x), s = 1 / (1 + e), fall = b[0] * s * (isinf(e) ? 1 : e * s);
        g[0] = s;
        g[1] = -fall;
        g[2] = fall * x;
        return b[0] * s;
    }
    case GW_STATS_LOGISTIC_XMID: {
        double u = (b[1] - x) / b[2], e = exp(u), s = 1 / (1 + e), fall = b[0] * s * (isinf(e) ? 1 : e * s);
        g[0] = s;
        g[1] = -fall / b[2];
        g[2] = fall * u / b[2];
        return b[0] * s;
    }
    case GW_STATS_GOMPERTZ: {
        double power = pow(b[2], x), e = exp(-b[1] * power);
        g[0] = e;
        g[1] = -b[0] * e * power;
        g[2] = -b[0] * e * b[1] * x * power / b[2];
        return b[0] * e;
    }
    case GW_STATS_GOMPERTZ_RATE: {
        double inner = exp(-b[1] * (x - b[2])), e = exp(-inner);
        g[0] = e;
        g[1] = b[0] * e * inner * (x - b[2]);
        g[2] = -b[0] * e * inner * b[1];
        return b[0] * e;
    }
    case GW_STATS_RICHARDS: {
        double e = exp(b[1] - b[2] * x), base = log1p(e), f = exp(-base / b[3]), share = isinf(e) ? 1 : e / (1 + e);
        g[0] = f;
        g[1] = -b[0] * f * share / b[3];
        g[2] = b[0] * f * share * x / b[3];
        g[3] = b[0] * f * base / (b[3] * b[3]);
        return b[0] * f;
    }
    case GW_STATS_MONOMOLECULAR: {
        double e = exp(-b[1] * x);
        g[0] = -expm1(-b[1] * x);
        g[1] = b[0] * x * e;
        return b[0] * g[0];
    }
    case GW_STATS_EXP2: {
        double e = exp2(-x / b[2]);
        g[0] = 1;
        g[1] = e;
        g[2] = b[1] * e * 0.69314718055994531 * x / (b[2] * b[2]);
        return b[0] + b[1] * e;
    }
    case GW_STATS_POWER: {
        double power = pow(x, b[1]);
        g[0] = power;
        g[1] = b[0] * power * log(x);
        return b[0] * power;
    }
    }
    return NAN;
}

double gw_stats_curve_at(gw_stats_curve curve, const double coef[], double x)
{
    return curve_value(curve, coef, x, NULL);
}

/* ------------------------------------------------------------------------------------------- the fit */

typedef struct {
    gw_stats_curve curve;
    size_t n, p;
    const double *x, *y;
} curve_task;

static double squares(const curve_task *task, const double b[])
{
    double sum = 0;
    for (size_t i = 0; i < task->n; i++) {
        double off = task->y[i] - curve_value(task->curve, b, task->x[i], NULL);
        sum += off * off;
    }
    return sum;
}

/* J'J and J' (y - f), each derivative scaled to length 1; scale takes the lengths. */
static void normal_equations(const curve_task *task, const double b[], double JJ[P_MAX][P_MAX], double Jr[P_MAX],
                             double scale[P_MAX])
{
    size_t p = task->p;
    for (size_t j = 0; j < p; j++) {
        Jr[j] = 0;
        for (size_t k = 0; k < p; k++) JJ[j][k] = 0;
    }
    for (size_t i = 0; i < task->n; i++) {
        double g[P_MAX], off = task->y[i] - curve_value(task->curve, b, task->x[i], g);
        for (size_t j = 0; j < p; j++) {
            Jr[j] += g[j] * off;
            for (size_t k = 0; k <= j; k++) JJ[j][k] += g[j] * g[k];
        }
    }
    for (size_t j = 0; j < p; j++) scale[j] = JJ[j][j] > 0 ? sqrt(JJ[j][j]) : 1;
    for (size_t j = 0; j < p; j++) {
        Jr[j] /= scale[j];
        for (size_t k = 0; k <= j; k++) JJ[k][j] = JJ[j][k] /= scale[j] * scale[k];
    }
}

/* Cholesky factor of JJ + damping I, in the lower triangle of L. False when it is not positive definite. */
static bool factor(size_t p, double JJ[P_MAX][P_MAX], double damping, double L[P_MAX][P_MAX])
{
    for (size_t j = 0; j < p; j++) {
        for (size_t k = 0; k <= j; k++) {
            double sum = JJ[j][k] + (j == k ? damping : 0);
            for (size_t i = 0; i < k; i++) sum -= L[j][i] * L[k][i];
            if (j == k && !(sum > 1e-15)) return false;
            L[j][k] = j == k ? sqrt(sum) : sum / L[k][k];
        }
    }
    return true;
}

static void solve_factored(size_t p, double L[P_MAX][P_MAX], const double right[P_MAX], double out[P_MAX])
{
    for (size_t j = 0; j < p; j++) {
        out[j] = right[j];
        for (size_t k = 0; k < j; k++) out[j] -= L[j][k] * out[k];
        out[j] /= L[j][j];
    }
    for (size_t j = p; j-- > 0;) {
        for (size_t k = j + 1; k < p; k++) out[j] -= L[k][j] * out[k];
        out[j] /= L[j][j];
    }
}

static gw_stats_status check_curve(gw_stats_curve curve, size_t n, const double x[], const double y[], size_t *at)
{
    size_t p = gw_stats_curve_coefs(curve);
    if (p == 0) return GW_STATS_OPTION;
    if (n <= p) return GW_STATS_TOO_FEW;
    gw_stats_status status = gw_stats_check_pair(n, x, y, at);
    if (status) return status;
    for (size_t i = 0; curve == GW_STATS_POWER && i < n; i++) {
        if (!(x[i] > 0)) return gw_stats_refuse(GW_STATS_VALUE, i, at);
    }
    return GW_STATS_OK;
}

/*
 * One step from b: the damping grows until the sum of squares does not rise. Returns the largest relative move of a
 * coefficient, 0 when no step improves, a negative number when the steps cannot be worked out.
 */
static double improve(const curve_task *task, double b[P_MAX], double *rss, double *damping)
{
    double JJ[P_MAX][P_MAX], L[P_MAX][P_MAX], Jr[P_MAX], scale[P_MAX], step[P_MAX], next[P_MAX];
    normal_equations(task, b, JJ, Jr, scale);
    for (; *damping < 1e20; *damping = fmax(*damping * 8, 1e-12)) {
        if (!factor(task->p, JJ, *damping, L)) continue;
        solve_factored(task->p, L, Jr, step);
        double moved = 0;
        for (size_t j = 0; j < task->p; j++) {
            next[j] = b[j] + step[j] / scale[j];
            moved = fmax(moved, fabs(next[j] - b[j]) / fmax(fabs(b[j]), 1e-300));
        }
        double now = squares(task, next);
        /* Beside the minimum rounding may let the sum rise by a hair: a small step is right all the same. */
        if (!isfinite(now) || now > *rss * (moved < 1e-6 ? 1 + 1e-10 : 1)) {
            if (moved < 1e-15) return 0;
            continue;
        }
        for (size_t j = 0; j < task->p; j++) b[j] = next[j];
        *rss = fmin(now, *rss);
        *damping = *damping < 1e-11 ? 0 : *damping / 10;
        return moved;
    }
    return -1;
}

gw_stats_status gw_stats_curve_fit_from(gw_stats_curve curve, size_t n, const double x[], const double y[],
                                        const double start[], gw_stats_curve_fit *out, size_t *at)
{
    gw_stats_status status = check_curve(curve, n, x, y, at);
    if (status) return status;
    curve_task task = {curve, n, gw_stats_curve_coefs(curve), x, y};
    double b[P_MAX] = {0}, damping = 1e-3;
    for (size_t j = 0; j < task.p; j++) b[j] = start[j];
    double rss = squares(&task, b), moved = 1;
    if (!isfinite(rss)) return GW_STATS_OPTION;
    size_t steps = 0, small = 0;
    while (steps < FIT_STEPS && small < 3) { /* three steps in a row that hardly move */
        moved = improve(&task, b, &rss, &damping);
        if (moved < 0) return GW_STATS_NO_END;
        small = moved < 1e-11 ? small + 1 : 0;
        steps++;
        if (moved == 0) break;
    }
    if (steps == FIT_STEPS) return GW_STATS_NO_END;

    double JJ[P_MAX][P_MAX], L[P_MAX][P_MAX], Jr[P_MAX], scale[P_MAX], unit[P_MAX], column[P_MAX];
    normal_equations(&task, b, JJ, Jr, scale);
    if (!factor(task.p, JJ, 0, L)) return GW_STATS_CONSTANT;
    gw_stats_curve_fit fit = {.p = task.p, .rss = squares(&task, b), .df = (double)(n - task.p), .steps = steps};
    fit.sigma = sqrt(fit.rss / fit.df);
    for (size_t j = 0; j < task.p; j++) {
        for (size_t k = 0; k < task.p; k++) unit[k] = j == k;
        solve_factored(task.p, L, unit, column);
        fit.coef[j] = b[j];
        fit.se[j] = fit.sigma * sqrt(column[j]) / scale[j];
    }
    *out = fit;
    return GW_STATS_OK;
}

/* ------------------------------------------------------------------------------------------- starts */

/* Straight line through n transformed points (u(x, y, a), x), a the assumed asymptote or half-life. */
typedef struct {
    double a, b;
} straight;

typedef double (*transform)(double y, double asymptote);

static double logit_of(double y, double a)
{
    return log(y / (a - y));
}

static double loglog_of(double y, double a)
{
    return -log(log(a / y));
}

static double rest_of(double y, double a)
{
    return -log1p(-y / a);
}

static straight line_through(size_t n, const double x[], const double y[], transform u, double a)
{
    double mean_x = 0, mean_u = 0, sxx = 0, sxu = 0;
    for (size_t i = 0; i < n; i++) {
        mean_x += (x[i] - mean_x) / (double)(i + 1);
        mean_u += (u(y[i], a) - mean_u) / (double)(i + 1);
    }
    for (size_t i = 0; i < n; i++) {
        sxx += (x[i] - mean_x) * (x[i] - mean_x);
        sxu += (x[i] - mean_x) * (u(y[i], a) - mean_u);
    }
    double slope = sxu / sxx;
    return (straight){mean_u - slope * mean_x, slope};
}

/* Coefficients from an assumed asymptote a, largest reading < a. */
static void from_asymptote(const curve_task *task, double a, double b[P_MAX])
{
    bool gompertz = task->curve == GW_STATS_GOMPERTZ || task->curve == GW_STATS_GOMPERTZ_RATE;
    transform u = task->curve == GW_STATS_MONOMOLECULAR ? rest_of : gompertz ? loglog_of : logit_of;
    straight line = line_through(task->n, task->x, task->y, u, a);
    b[0] = a;
    switch (task->curve) {
    case GW_STATS_LOGISTIC_XMID:
        b[1] = -line.a / line.b;
        b[2] = 1 / line.b;
        break;
    case GW_STATS_GOMPERTZ: /* log(a / y) = b1 b2^x */
        b[1] = exp(-line.a);
        b[2] = exp(-line.b);
        break;
    case GW_STATS_GOMPERTZ_RATE:
        b[1] = line.b;
        b[2] = -line.a / line.b;
        break;
    case GW_STATS_MONOMOLECULAR:
        b[1] = line.b;
        break;
    default: /* logistic, and Richards with its last coefficient 1 */
        b[1] = -line.a;
        b[2] = line.b;
        b[3] = 1;
    }
}

/* exp2 with an assumed half-life: a straight line in 2^(-x / h). */
static void from_half_life(const curve_task *task, double h, double b[P_MAX])
{
    double mean_e = 0, mean_y = 0, see = 0, sey = 0;
    for (size_t i = 0; i < task->n; i++) {
        mean_e += (exp2(-task->x[i] / h) - mean_e) / (double)(i + 1);
        mean_y += (task->y[i] - mean_y) / (double)(i + 1);
    }
    for (size_t i = 0; i < task->n; i++) {
        double e = exp2(-task->x[i] / h) - mean_e;
        see += e * e;
        sey += e * (task->y[i] - mean_y);
    }
    b[1] = sey / see;
    b[0] = mean_y - b[1] * mean_e;
    b[2] = h;
}

gw_stats_status gw_stats_curve_start(gw_stats_curve curve, size_t n, const double x[], const double y[], double start[],
                                     size_t *at)
{
    enum { TRIES = 40 };
    gw_stats_status status = check_curve(curve, n, x, y, at);
    if (status) return status;
    curve_task task = {curve, n, gw_stats_curve_coefs(curve), x, y};
    double top = y[0], low_x = x[0], high_x = x[0];
    for (size_t i = 0; i < n; i++) {
        if (curve != GW_STATS_EXP2 && !(y[i] > 0)) return gw_stats_refuse(GW_STATS_VALUE, n + i, at);
        top = fmax(top, y[i]);
        low_x = fmin(low_x, x[i]);
        high_x = fmax(high_x, x[i]);
    }
    if (!(high_x > low_x)) return GW_STATS_CONSTANT;

    double best[P_MAX] = {0}, least = INFINITY;
    for (int i = 0; i < TRIES; i++) {
        double b[P_MAX] = {0}, share = (double)i / (TRIES - 1);
        if (curve == GW_STATS_POWER) {
            double product = 0, square = 0; /* the exponent is scanned, its factor follows */
            b[1] = -4 + 10 * share;
            for (size_t k = 0; k < n; k++) {
                double power = pow(x[k], b[1]);
                product += power * y[k];
                square += power * power;
            }
            b[0] = product / square;
        } else if (curve == GW_STATS_EXP2) {
            from_half_life(&task, (high_x - low_x) * 0.02 * pow(500, share), b);
        } else {
            from_asymptote(&task, top * (1 + 0.005 * pow(1000, share)), b);
        }
        double rss = squares(&task, b);
        if (rss < least) {
            least = rss;
            for (size_t k = 0; k < task.p; k++) best[k] = b[k];
        }
    }
    if (!isfinite(least)) return GW_STATS_NO_END;
    for (size_t k = 0; k < task.p; k++) start[k] = best[k];
    return GW_STATS_OK;
}
