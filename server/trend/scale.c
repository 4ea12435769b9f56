/*
 * What a scale may show wrong and still be used.
 *
 * OIML R 76-1, class III (table 6: largest error at first check 0.5 e up to 500 e, 1 e up to 2000 e, 1.5 e above; read
 * in a teaching copy); in service twice that (UK Non-automatic Weighing Instruments Regulations 1995, Sch. 2 para 4).
 * Household scales are not verified and get the same figures: common practice, no source.
 */
#include "trend_internal.h"

double gw_trend_scale_allowed_error(double step, double load)
{
    if (!(step > 0) || !(load >= 0) || !isfinite(step) || !isfinite(load)) return NAN;
    double steps = gw_quantise(load / step);
    if (steps <= 500) return step;
    if (steps <= 2000) return 2 * step;
    return 3 * step;
}
