/*
 * Evidence for dental disease from what a lay carer can see: log odds that grow with each sign seen, shrink with each
 * group looked at and found as usual, and fade with time. DENTWEB, RVNGP and VETPEDIA name the signs; the sizes are
 * engine priors (profiles/priors.csv).
 */
#include "trend_internal.h"

enum { GROUPS = 3 };

static const struct {
    uint32_t bit;
    double false_rate, true_rate;
} groups[GROUPS] = {
    {GW_MOUTH_TEETH, GW_PRIOR_MOUTH_TEETH_Q, GW_PRIOR_MOUTH_TEETH_P},
    {GW_MOUTH_CHIN, GW_PRIOR_MOUTH_CHIN_Q, GW_PRIOR_MOUTH_CHIN_P},
    {GW_MOUTH_FOOD, GW_PRIOR_MOUTH_FOOD_Q, GW_PRIOR_MOUTH_FOOD_P},
};

double gw_mouth(size_t n, const gw_trend_weighing weighings[])
{
    double seen[GROUPS] = {0}, looked[GROUPS] = {0}, sum = 0;
    for (size_t i = 0; i < n; i++) {
        const gw_trend_weighing *w = &weighings[i];
        if (i > 0) sum *= pow(1 - GW_PRIOR_MOUTH_DECAY, (w->at - weighings[i - 1].at) / 7);
        for (int g = 0; g < GROUPS; g++) {
            if (!((w->mouth_looked | w->mouth_seen) & groups[g].bit)) continue;
            double q = (GW_PRIOR_MOUTH_OWN_WEIGHT * groups[g].false_rate + GW_PRIOR_MOUTH_OWN_SHARE * seen[g]) /
                       (GW_PRIOR_MOUTH_OWN_WEIGHT + looked[g]);
            double p = q + (1 - q) * groups[g].true_rate;
            bool now = w->mouth_seen & groups[g].bit;
            sum += GW_PRIOR_MOUTH_FACTOR * (now ? log(p / q) : log((1 - p) / (1 - q)));
            looked[g]++;
            seen[g] += now;
        }
        sum = sum < 0 ? 0 : sum > GW_PRIOR_MOUTH_MOST ? GW_PRIOR_MOUTH_MOST : sum;
    }
    return sum;
}
