/*
 * Is a sign more frequent in one home than in the rest of the network?
 *
 * Fisher's exact test, one-sided, times the number of looks (Bonferroni). R. A. Fisher, Statistical Methods for
 * Research Workers (from memory). Checked in tests/reference against R and SciPy.
 */
#include "trend_internal.h"

/*
 * P(first cell >= a) with all margins of [[a, b], [c, d]] fixed. The terms are built from the largest one outwards by
 * ratios and divided by their sum, so no factorial is needed and nothing overflows.
 */
double gw_fisher_greater(uint32_t a, uint32_t b, uint32_t c, uint32_t d)
{
    double row = (double)a + b, column = (double)a + c, all = row + c + d;
    double low = column - (all - row) > 0 ? column - (all - row) : 0;
    double high = row < column ? row : column;
    double top = floor((row + 1) * (column + 1) / (all + 2));
    if (top < low) top = low;
    if (top > high) top = high;

    double sum = 1, tail = top >= a ? 1 : 0, term = 1;
    for (double k = top; k < high && term > 0; k++) {
        term *= (row - k) * (column - k) / ((k + 1) * (all - row - column + k + 1));
        sum += term;
        if (k + 1 >= a) tail += term;
    }
    term = 1;
    for (double k = top; k > low && term > 0; k--) {
        term *= k * (all - row - column + k) / ((row - k + 1) * (column - k + 1));
        sum += term;
        if (k - 1 >= a) tail += term;
    }
    return tail < sum ? tail / sum : 1;
}

gw_trend_status gw_trend_spread(uint32_t home_with, uint32_t home_animals, uint32_t rest_with, uint32_t rest_animals,
                                uint32_t looks, double *p_value)
{
    if (!p_value || looks == 0 || home_with > home_animals || rest_with > rest_animals) return GW_TREND_OPTION;
    if (home_animals == 0 || rest_animals == 0) return GW_TREND_TOO_FEW;
    double p = gw_fisher_greater(home_with, home_animals - home_with, rest_with, rest_animals - rest_with) * looks;
    *p_value = p < 1 ? p : 1;
    return GW_TREND_OK;
}
