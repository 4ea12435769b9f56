/* Special functions: gamma, beta, normal, t, and their inverses. */
#include "stats_internal.h"

enum { ROUNDS = 1000000 }; /* continued fractions and series need some 10 sqrt(a) terms: a up to 1e9 */
static const double TINY = 1e-300;
static const double EPS = 1.1102230246251565e-16;

/* ------------------------------------------------------------------------------------------- log gamma, digamma */

/* zeta(k) - 1, k from 2, by Euler-Maclaurin summation in 40 digits. */
static const double zeta_less_1[] = {
    0.64493406684822641,    0.20205690315959429,    0.082323233711138186,   0.036927755143369927,
    0.01734306198444914,    0.0083492773819228271,  0.0040773561979443396,  0.0020083928260822143,
    0.00099457512781808526, 0.00049418860411946453, 0.00024608655330804832, 0.00012271334757848915,
    6.1248135058704828e-05, 3.0588236307020493e-05, 1.5282259408651871e-05, 7.6371976378997626e-06,
    3.8172932649998402e-06, 1.908212716553939e-06,  9.5396203387279621e-07, 4.7693298678780645e-07,
    2.38450502727733e-07,   1.1921992596531106e-07, 5.960818905125948e-08,  2.9803503514652279e-08,
};
enum { ZETAS = sizeof zeta_less_1 / sizeof zeta_less_1[0] };

/* Stirling's correction: log gamma(x) - ((x - 1/2) log x - x + log(2 pi) / 2), x >= 10. */
static double stirling_tail(double x)
{
    static const double c[] = {1.0 / 12,   -1.0 / 360,      1.0 / 1260, -1.0 / 1680,
                               1.0 / 1188, -691.0 / 360360, 1.0 / 156,  -3617.0 / 122400};
    double sum = 0, inverse_square = 1 / (x * x);
    for (int i = 7; i >= 0; i--) sum = sum * inverse_square + c[i];
    return sum / x;
}

/* log gamma(2 + e), |e| <= 1/2, without cancellation at its zero: e (1 - gamma) + sum of (zeta(k) - 1) (-e)^k / k. */
static double lgamma_about_2(double e)
{
    double sum = 0, power = -e;
    for (int i = 0; i < ZETAS; i++) {
        power *= -e;
        sum += zeta_less_1[i] * power / (i + 2);
    }
    return e * 0.42278433509846714 + sum;
}

double gw_stats_lgamma(double x)
{
    if (!(x > 0)) return NAN;
    if (isinf(x)) return x;
    if (x < 0.5) return lgamma_about_2(x) - log1p(x) - log(x);
    if (x < 1.5) return lgamma_about_2(x - 1) - log1p(x - 1);
    if (x <= 2.5) return lgamma_about_2(x - 2);
    if (x < 10) {
        double product = 1;
        for (; x > 2.5; product *= x) x -= 1;
        return lgamma_about_2(x - 2) + log(product);
    }
    return (x - 0.5) * log(x) - x + GW_STATS_LOG2PI / 2 + stirling_tail(x);
}

double gw_stats_digamma(double x)
{
    static const double c[] = {1.0 / 12, -1.0 / 120, 1.0 / 252, -1.0 / 240, 1.0 / 132, -691.0 / 32760, 1.0 / 12};
    if (!(x > 0)) return NAN;
    double shift = 0;
    for (; x < 12; x += 1) shift += 1 / x;
    double sum = 0, inverse_square = 1 / (x * x);
    for (int i = 6; i >= 0; i--) sum = (sum + c[i]) * inverse_square;
    return log(x) - 1 / (2 * x) - sum - shift;
}

/* ------------------------------------------------------------------------------------------- saddle-point densities */

/* log(n!) - Stirling's approximation of it, any n >= 0. */
static double stirling_error(double n)
{
    if (n >= 10) return stirling_tail(n);
    if (n == 0) return 0;
    return gw_stats_lgamma(n + 1) - (n + 0.5) * log(n) + n - GW_STATS_LOG2PI / 2;
}

/* Deviance x log(x / m) + m - x, without cancellation where x is close to m. */
static double deviance(double x, double m)
{
    if (fabs(x - m) < 0.1 * (x + m)) {
        double v = (x - m) / (x + m), sum = (x - m) * v, term = 2 * x * v;
        for (int j = 1; j < ROUNDS; j++) {
            term *= v * v;
            double next = sum + term / (2 * j + 1);
            if (next == sum) break;
            sum = next;
        }
        return sum;
    }
    return x * log(x / m) + m - x;
}

double gw_stats_dpois(double x, double mean)
{
    if (mean == 0) return x == 0;
    if (x == 0) return exp(-mean);
    return exp(-stirling_error(x) - deviance(x, mean)) / (GW_STATS_SQRT2PI * sqrt(x));
}

double gw_stats_dbinom(double x, double n, double p, double q)
{
    if (p == 0) return x == 0;
    if (q == 0) return x == n;
    if (x == 0) return exp(n * (p < 0.1 ? log1p(-p) : log(q)));
    if (x == n) return exp(n * (q < 0.1 ? log1p(-q) : log(p)));
    double c =
        stirling_error(n) - stirling_error(x) - stirling_error(n - x) - deviance(x, n * p) - deviance(n - x, n * q);
    return exp(c) * sqrt(n / (x * (n - x))) / GW_STATS_SQRT2PI;
}

/* ------------------------------------------------------------------------------------------- incomplete gamma */

/* Lentz's method keeps both ends of a fraction away from 0. */
static double away_from_0(double v)
{
    return fabs(v) < TINY ? TINY : v;
}

void gw_stats_gamma_tails(double a, double x, double *lower, double *upper)
{
    if (x == 0 || isinf(x)) {
        *lower = x > 0;
        *upper = x == 0;
        return;
    }
    double density = gw_stats_dpois(a, x); /* x^a e^-x / gamma(a + 1) */
    if (x < a + 1) {
        double term = 1, sum = 1;
        for (int n = 1; n < ROUNDS; n++) {
            term *= x / (a + n);
            sum += term;
            if (term < sum * EPS) break;
        }
        *lower = fmin(density * sum, 1);
        *upper = 1 - *lower;
        return;
    }
    double b = x + 1 - a, c = 1 / TINY, d = 1 / b, h = d;
    for (int i = 1; i < ROUNDS; i++) {
        double an = -i * (i - a);
        b += 2;
        d = 1 / away_from_0(an * d + b);
        c = away_from_0(b + an / c);
        double delta = d * c;
        h *= delta;
        if (fabs(delta - 1) <= 2 * EPS) break;
    }
    *upper = fmin(density * a * h, 1);
    *lower = 1 - *upper;
}

double gw_stats_gamma_p(double a, double x)
{
    double p, q;
    if (!(a > 0 && a <= 1e9 && x >= 0)) return NAN;
    gw_stats_gamma_tails(a, x, &p, &q);
    return p;
}

double gw_stats_gamma_q(double a, double x)
{
    double p, q;
    if (!(a > 0 && a <= 1e9 && x >= 0)) return NAN;
    gw_stats_gamma_tails(a, x, &p, &q);
    return q;
}

double gw_stats_chisq_upper(double x, double df)
{
    return gw_stats_gamma_q(df / 2, x / 2);
}

/*
 * The root of log(tail(u) / target) for a smooth monotone tail: Newton's step while it stays inside the bracket, else
 * the middle. `rising`: the tail grows with u. slope(u) is the absolute derivative of either tail.
 */
typedef void (*tails_at)(const double shape[2], double u, double *lower, double *upper, double *slope);

static double tail_root(tails_at tails, const double shape[2], double p, double q, double lo, double hi, double u)
{
    bool rising = p <= q; /* work on the smaller tail */
    double target = rising ? p : q;
    if (!(u > lo && u < hi)) u = 0.5 * (lo + hi);
    for (int turn = 0; turn < 400; turn++) {
        double lower, upper, slope;
        tails(shape, u, &lower, &upper, &slope);
        double tail = rising ? lower : upper;
        bool high = rising ? tail > target : tail < target;
        if (high)
            hi = u;
        else
            lo = u;
        double next = u + (rising ? -1 : 1) * log(tail / target) * tail / slope;
        if (!(next > lo && next < hi)) next = 0.5 * (lo + hi);
        double moved = fabs(next - u);
        u = next;
        if (moved <= 4 * EPS * fmax(1, fabs(u))) break;
    }
    return u;
}

/* u = log x */
static void gamma_tails_at(const double shape[2], double u, double *lower, double *upper, double *slope)
{
    double x = exp(u);
    gw_stats_gamma_tails(shape[0], x, lower, upper);
    *slope = shape[0] * gw_stats_dpois(shape[0], x);
}

double gw_stats_gamma_inv_tails(double a, double p, double q)
{
    if (p == 0) return 0;
    if (q == 0) return INFINITY;
    /* Wilson and Hilferty's cube; for small a or p the first term of the series. */
    double z = p <= q ? gw_stats_normal_quantile(p) : -gw_stats_normal_quantile(q);
    double cube = 1 - 1 / (9 * a) + z / (3 * sqrt(a));
    double small = (log(p) + gw_stats_lgamma(a + 1)) / a;
    double start = a > 0.5 && cube > 0.2 ? log(a) + 3 * log(cube) : fmin(small, log(a + 1));
    if (small < -690) return exp(small); /* so close to 0 that further terms of the series vanish */
    return exp(tail_root(gamma_tails_at, (double[2]){a, 0}, p, q, -700, log(a + 1) + 8, start));
}

double gw_stats_gamma_p_inv(double a, double p)
{
    if (!(a > 0 && a <= 1e9 && p >= 0 && p <= 1)) return NAN;
    return gw_stats_gamma_inv_tails(a, p, 1 - p);
}

/* ------------------------------------------------------------------------------------------- incomplete beta */

/* Lower tail by the continued fraction, good for x < (a + 1) / (a + b + 2). */
static double beta_fraction(double a, double b, double x, double y)
{
    double c = 1, d = 1 / away_from_0(1 - (a + b) * x / (a + 1)), h = d;
    for (int m = 1; m < ROUNDS; m++) {
        double an = m * (b - m) * x / ((a + 2 * m - 1) * (a + 2 * m));
        d = 1 / away_from_0(1 + an * d);
        c = away_from_0(1 + an / c);
        h *= d * c;
        an = -(a + m) * (a + b + m) * x / ((a + 2 * m) * (a + 2 * m + 1));
        d = 1 / away_from_0(1 + an * d);
        c = away_from_0(1 + an / c);
        double delta = d * c;
        h *= delta;
        if (fabs(delta - 1) <= 2 * EPS) break;
    }
    return fmin(gw_stats_dbinom(a, a + b, x, y) * b / (a + b) * h, 1);
}

void gw_stats_beta_tails(double a, double b, double x, double y, double *lower, double *upper)
{
    if (x <= 0 || y <= 0) {
        *lower = y <= 0;
        *upper = y > 0;
    } else if (x < (a + 1) / (a + b + 2)) {
        *lower = beta_fraction(a, b, x, y);
        *upper = 1 - *lower;
    } else {
        *upper = beta_fraction(b, a, y, x);
        *lower = 1 - *upper;
    }
}

static bool beta_domain(double a, double b, double p)
{
    return a > 0 && a <= 1e9 && b > 0 && b <= 1e9 && p >= 0 && p <= 1;
}

double gw_stats_beta_i(double a, double b, double x)
{
    double lower, upper;
    if (!beta_domain(a, b, x)) return NAN;
    gw_stats_beta_tails(a, b, x, 1 - x, &lower, &upper);
    return lower;
}

/* u = log(x / (1 - x)) */
static void beta_tails_at(const double shape[2], double u, double *lower, double *upper, double *slope)
{
    double a = shape[0], b = shape[1], x = 1 / (1 + exp(-u)), y = 1 / (1 + exp(u));
    gw_stats_beta_tails(a, b, x, y, lower, upper);
    *slope = gw_stats_dbinom(a, a + b, x, y) * a * b / (a + b);
}

void gw_stats_beta_inv_tails(double a, double b, double p, double q, double *x, double *y)
{
    if (p == 0 || q == 0) {
        *x = q == 0;
        *y = p == 0;
        return;
    }
    double u = tail_root(beta_tails_at, (double[2]){a, b}, p, q, -700, 700, log(a / b));
    *x = 1 / (1 + exp(-u));
    *y = 1 / (1 + exp(u));
}

double gw_stats_beta_i_inv(double a, double b, double p)
{
    double x, y;
    if (!beta_domain(a, b, p)) return NAN;
    gw_stats_beta_inv_tails(a, b, p, 1 - p, &x, &y);
    return x;
}

/* ------------------------------------------------------------------------------------------- normal and t */

double gw_stats_erfc(double x)
{
    return erfc(x);
}

double gw_stats_normal(double x)
{
    return 0.5 * erfc(-x / GW_STATS_SQRT2);
}

double gw_stats_normal_upper(double x)
{
    return 0.5 * erfc(x / GW_STATS_SQRT2);
}

/* z > 0 with P(Z >= z) = tail, tail <= 1/4: Newton on the logarithm, from the formula 26.2.23 of the Handbook [m]. */
static double normal_tail_quantile(double tail)
{
    double t = sqrt(-2 * log(tail));
    double z = t - (2.515517 + t * (0.802853 + t * 0.010328)) / (1 + t * (1.432788 + t * (0.189269 + t * 0.001308)));
    for (int turn = 0; turn < 20; turn++) {
        double q = gw_stats_normal_upper(z), step = log(q / tail) * q * GW_STATS_SQRT2PI * exp(0.5 * z * z);
        z += step;
        if (fabs(step) < 1e-15 * z) break;
    }
    return z;
}

double gw_stats_normal_quantile(double p)
{
    if (!(p >= 0 && p <= 1)) return NAN;
    if (p == 0) return -INFINITY;
    if (p == 1) return INFINITY;
    if (p < 0.25) return -normal_tail_quantile(p);
    if (p > 0.75) return normal_tail_quantile(1 - p);
    double off = p - 0.5, z = off * GW_STATS_SQRT2PI; /* about the middle: 0.5 erf(z / sqrt 2) = off, exact near 0 */
    for (int turn = 0; turn < 20; turn++) {
        double step = (off - 0.5 * erf(z / GW_STATS_SQRT2)) * GW_STATS_SQRT2PI * exp(0.5 * z * z);
        z += step;
        if (fabs(step) <= 1e-16 * fabs(z)) break;
    }
    return z;
}

double gw_stats_t(double x, double df)
{
    double both, middle; /* P(|T| >= |x|) and its complement */
    if (!(df > 0 && df <= 1e9) || isnan(x)) return NAN;
    if (isinf(x)) return x > 0;
    double square = x * x, sum = df + square;
    gw_stats_beta_tails(df / 2, 0.5, df / sum, square / sum, &both, &middle);
    return x < 0 ? both / 2 : 0.5 + middle / 2;
}

double gw_stats_t_quantile(double p, double df)
{
    if (!(df > 0 && df <= 1e9 && p >= 0 && p <= 1)) return NAN;
    if (p == 0 || p == 1) return p == 0 ? -INFINITY : INFINITY;
    double tail = p < 0.5 ? p : 1 - p, x, y;
    if (tail == 0.5) return 0;
    gw_stats_beta_inv_tails(df / 2, 0.5, 2 * tail, 2 * fabs(p - 0.5), &x, &y);
    double t = sqrt(df * y / x);
    return p < 0.5 ? -t : t;
}
