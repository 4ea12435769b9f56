/* The small statistics that the methods share. Each is checked in tests/reference against R and Python. */
#include "trend_internal.h"

double gw_normal(double x, double variance)
{
    return exp(-0.5 * x * x / variance) / sqrt(6.283185307179586 * variance);
}

double gw_phi(double z)
{
    return 0.5 * erfc(-z * 0.7071067811865476);
}

double gw_quantise(double x)
{
    return isfinite(x) && fabs(x) < 1e6 ? floor(x * 1e9 + 0.5) / 1e9 : x;
}

/* Insertion sort: windows are short, and equal values cannot be told apart, so every build gives the same order. */
void gw_sort(size_t n, double values[])
{
    for (size_t i = 1; i < n; i++) {
        double value = values[i];
        size_t k = i;
        for (; k > 0 && values[k - 1] > value; k--) values[k] = values[k - 1];
        values[k] = value;
    }
}

double gw_median(size_t n, double values[])
{
    if (n == 0) return NAN;
    gw_sort(n, values);
    return n % 2 ? values[n / 2] : 0.5 * (values[n / 2 - 1] + values[n / 2]);
}

bool gw_wls_line(size_t n, const double x[], const double y[], const double weight[], double *a, double *b,
                 double *se_b)
{
    double sum = 0, mean_x = 0, mean_y = 0, sxx = 0, sxy = 0;
    for (size_t i = 0; i < n; i++) {
        sum += weight[i];
        mean_x += weight[i] * x[i];
        mean_y += weight[i] * y[i];
    }
    if (!(sum > 0)) return false;
    mean_x /= sum;
    mean_y /= sum;
    for (size_t i = 0; i < n; i++) {
        sxx += weight[i] * (x[i] - mean_x) * (x[i] - mean_x);
        sxy += weight[i] * (x[i] - mean_x) * (y[i] - mean_y);
    }
    if (!(sxx > 0)) return false;
    *b = sxy / sxx;
    *a = mean_y - *b * mean_x;
    *se_b = 1 / sqrt(sxx);
    return true;
}

/*
 * Iteratively reweighted mean, started at the weighted mean; the standard deviations are known, so there is no scale
 * to estimate. P. J. Huber, Ann. Math. Statist. 35 (1964) 73-101 (from memory).
 */
double gw_huber_location(size_t n, const double x[], const double sd[], double k, double *se)
{
    double centre = 0, sum = 0;
    for (size_t i = 0; i < n; i++) {
        sum += 1 / (sd[i] * sd[i]);
        centre += x[i] / (sd[i] * sd[i]);
    }
    centre /= sum;
    for (int turn = 0; turn < 200; turn++) {
        double top = 0, bottom = 0;
        for (size_t i = 0; i < n; i++) {
            double off = fabs(x[i] - centre) / sd[i];
            double weight = (off > k ? k / off : 1) / (sd[i] * sd[i]);
            top += weight * x[i];
            bottom += weight;
        }
        double moved = fabs(top / bottom - centre);
        centre = top / bottom;
        sum = bottom;
        if (moved < 1e-13) break;
    }
    if (se) *se = 1 / sqrt(sum);
    return centre;
}
