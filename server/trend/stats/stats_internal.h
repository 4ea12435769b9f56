/* What the files of the general statistics share. Not installed; names are hidden in the shared library. */
#ifndef GW_STATS_INTERNAL_H
#define GW_STATS_INTERNAL_H

#include <math.h>

#include "gramwell/stats.h"

#define GW_STATS_SQRT2   1.4142135623730951
#define GW_STATS_LOG2PI  1.8378770664093453
#define GW_STATS_SQRT2PI 2.5066282746310002
#define GW_STATS_Z75     0.674489750196082 /* upper quartile of the standard normal law */

/* Report a refused value. */
static inline gw_stats_status gw_stats_refuse(gw_stats_status status, size_t position, size_t *at)
{
    if (at) *at = position;
    return status;
}

/* Position of the first value that is not finite, n when there is none. */
size_t gw_stats_first_odd(size_t n, const double v[]);

/* Check two series of n: GW_STATS_VALUE with the position in x, or n + the position in y. */
gw_stats_status gw_stats_check_pair(size_t n, const double x[], const double y[], size_t *at);

/* Ascending, in place; the order of equal numbers cannot be told, so every build gives the same. */
void gw_stats_sort(size_t n, double v[]);
/* Fill order[n] with the positions of key[n] in ascending order, ties by position. */
void gw_stats_sort_positions(size_t n, const double key[], size_t order[]);
/* Median of an ascending series, n >= 1; of any series, which it sorts. */
double gw_stats_sorted_median(size_t n, const double v[]);
double gw_stats_median_of(size_t n, double v[]);
/* Quantile of an ascending series, type 6, 7 or 8. */
double gw_stats_sorted_quantile(size_t n, const double v[], gw_stats_quantile_type type, double p);

/* Sum with Neumaier's correction. */
double gw_stats_sum(size_t n, const double v[]);

/* Tails of the incomplete functions from both arguments: x + y = 1, p + q = 1, each exact when it is small. */
void gw_stats_beta_tails(double a, double b, double x, double y, double *lower, double *upper);
void gw_stats_beta_inv_tails(double a, double b, double p, double q, double *x, double *y);
void gw_stats_gamma_tails(double a, double x, double *lower, double *upper);
double gw_stats_gamma_inv_tails(double a, double p, double q);

/* Loader's saddle-point forms: density of the binomial (x of n, q = 1 - p) and Poisson law, real arguments >= 0. */
double gw_stats_dbinom(double x, double n, double p, double q);
double gw_stats_dpois(double x, double mean);

/*
 * Least squares by Householder QR. A[n][p] and b[n] are overwritten: R stands in the upper triangle, Q'b in b.
 * diagonal[p] takes R's diagonal. coef[p] out. False when a column depends on those before it.
 */
bool gw_stats_qr_solve(size_t n, size_t p, double A[], double b[], double diagonal[], double coef[]);
/* Diagonal of (R'R)^-1 from what gw_stats_qr_solve left; work[p]. */
void gw_stats_qr_variances(size_t p, const double A[], const double diagonal[], double work[], double variance[]);

#endif
