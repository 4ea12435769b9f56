/* Counts by home and by week: excess, clusters on the map, sudden rises. */
#include "stats_internal.h"

static gw_stats_status check_sites(size_t n, const uint32_t observed[], const double at_risk[], double *events,
                                   double *risk, size_t *at)
{
    *events = *risk = 0;
    if (n < 1) return GW_STATS_TOO_FEW;
    for (size_t i = 0; i < n; i++) {
        if (!(isfinite(at_risk[i]) && at_risk[i] > 0)) return gw_stats_refuse(GW_STATS_VALUE, i, at);
        *events += observed[i];
        *risk += at_risk[i];
    }
    return *events > 0 ? GW_STATS_OK : GW_STATS_CONSTANT;
}

gw_stats_status gw_stats_site_excess(size_t n, const uint32_t observed[], const double at_risk[], double confidence,
                                     gw_stats_site site[], size_t *at)
{
    double events, risk;
    if (!(confidence > 0 && confidence < 1)) return GW_STATS_OPTION;
    gw_stats_status status = check_sites(n, observed, at_risk, &events, &risk, at);
    if (status) return status;
    double tail = (1 - confidence) / 2;
    for (size_t i = 0; i < n; i++) {
        double expected = at_risk[i] * events / risk, x = observed[i], other;
        gw_stats_site s = {.expected = expected, .ratio = x / expected, .p_upper = 1};
        if (x > 0) gw_stats_gamma_tails(x, expected, &s.p_upper, &other);
        gw_stats_gamma_tails(x + 1, expected, &other, &s.p_lower);
        s.low = x > 0 ? gw_stats_gamma_inv_tails(x, tail, 1 - tail) / expected : 0;
        s.high = gw_stats_gamma_inv_tails(x + 1, 1 - tail, tail) / expected;
        site[i] = s;
    }
    return GW_STATS_OK;
}

/* Kulldorff's log-likelihood ratio of a circle with O events where E are expected, of N in all. */
static double circle_llr(double O, double E, double N)
{
    if (!(O > E)) return 0;
    double outside = N - O;
    return O * log(O / E) + (outside > 0 ? outside * log(outside / (N - E)) : 0);
}

gw_stats_status gw_stats_scan(size_t n, const uint32_t observed[], const double at_risk[], const double x[],
                              const double y[], double max_share, double work[], size_t order[], double llr_by_centre[],
                              gw_stats_cluster *out, size_t *at)
{
    double events, risk;
    if (!(max_share > 0 && max_share <= 1)) return GW_STATS_OPTION;
    gw_stats_status status = check_sites(n, observed, at_risk, &events, &risk, at);
    if (status) return status;
    size_t odd;
    status = gw_stats_check_pair(n, x, y, &odd);
    if (status) return gw_stats_refuse(status, n + odd, at);

    gw_stats_cluster best = {0};
    for (size_t centre = 0; centre <= n; centre++) { /* the last turn puts the best centre's neighbours into order */
        size_t middle = centre < n ? centre : best.centre;
        for (size_t i = 0; i < n; i++)
            work[i] = sqrt((x[i] - x[middle]) * (x[i] - x[middle]) + (y[i] - y[middle]) * (y[i] - y[middle]));
        gw_stats_sort_positions(n, work, order);
        if (centre == n) break;
        double O = 0, E = 0, most = 0;
        for (size_t k = 0; k < n; k++) {
            O += observed[order[k]];
            E += at_risk[order[k]] * events / risk;
            if (E > events * max_share) break;
            double llr = circle_llr(O, E, events);
            most = fmax(most, llr);
            if (llr > best.llr + 1e-9)
                best =
                    (gw_stats_cluster){.llr = llr, .centre = centre, .n_members = k + 1, .observed = O, .expected = E};
        }
        if (llr_by_centre) llr_by_centre[centre] = most;
    }
    *out = best;
    return GW_STATS_OK;
}

/* Mean + z sd of seven counts. */
static double bound_of_seven(const double y[7], double z)
{
    double mean = 0, squares = 0;
    for (int i = 0; i < 7; i++) mean += y[i] / 7;
    for (int i = 0; i < 7; i++) squares += (y[i] - mean) * (y[i] - mean);
    return mean + z * sqrt(squares / 6);
}

gw_stats_status gw_stats_ears(size_t n, const double y[], double alpha, double upper_c1[], double upper_c2[],
                              size_t *at)
{
    if (!(alpha > 0 && alpha < 1)) return GW_STATS_OPTION;
    if (n <= GW_STATS_EARS_LEAD) return GW_STATS_TOO_FEW;
    size_t odd = gw_stats_first_odd(n, y);
    if (odd < n) return gw_stats_refuse(GW_STATS_VALUE, odd, at);
    double z = -gw_stats_normal_quantile(alpha);
    for (size_t t = GW_STATS_EARS_LEAD; t < n; t++) {
        upper_c1[t - GW_STATS_EARS_LEAD] = bound_of_seven(y + t - 7, z);
        upper_c2[t - GW_STATS_EARS_LEAD] = bound_of_seven(y + t - 9, z);
    }
    return GW_STATS_OK;
}
