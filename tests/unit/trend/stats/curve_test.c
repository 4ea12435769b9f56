/* Growth curves: derivatives, starts, and fits of points that lie on a curve. Fits of real data: tests/reference. */
#include <gramwell/stats.h>

#include <criterion/criterion.h>
#include <criterion/new/assert.h>
#include <math.h>

enum { N = 15 };

static const struct {
    gw_stats_curve curve;
    double coef[GW_STATS_CURVE_COEF_MAX];
} curves[] = {
    {GW_STATS_LOGISTIC, {800, 2.2, 0.3}},      {GW_STATS_LOGISTIC_XMID, {800, 7, 3.1}},
    {GW_STATS_GOMPERTZ, {800, 2.1, 0.82}},     {GW_STATS_GOMPERTZ_RATE, {800, 0.2, 4}},
    {GW_STATS_RICHARDS, {800, 2.2, 0.3, 1.4}}, {GW_STATS_MONOMOLECULAR, {800, 0.11}},
    {GW_STATS_EXP2, {300, -200, 6}},           {GW_STATS_POWER, {90, 0.7}},
};
enum { CURVES = sizeof curves / sizeof *curves };

/* Points on the curve with an error of +-1 in turn. */
static void points(size_t which, double error, double x[N], double y[N])
{
    for (size_t i = 0; i < N; i++) {
        x[i] = 0.5 + (double)i;
        y[i] = gw_stats_curve_at(curves[which].curve, curves[which].coef, x[i]) + (i % 2 ? error : -error);
    }
}

Test(stats_curve, finds_its_own_start_and_the_curve_again)
{
    for (size_t c = 0; c < CURVES; c++) {
        double x[N], y[N], start[GW_STATS_CURVE_COEF_MAX];
        gw_stats_curve_fit fit;
        points(c, 0.001, x, y);
        cr_assert(eq(int, gw_stats_curve_start(curves[c].curve, N, x, y, start, NULL), GW_STATS_OK), "curve %zu", c);
        cr_assert(eq(int, gw_stats_curve_fit_from(curves[c].curve, N, x, y, start, &fit, NULL), GW_STATS_OK),
                  "curve %zu", c);
        cr_expect(eq(sz, fit.p, gw_stats_curve_coefs(curves[c].curve)));
        for (size_t k = 0; k < fit.p; k++)
            cr_expect(fabs(fit.coef[k] - curves[c].coef[k]) < 6 * fit.se[k] + 1e-9 * fabs(curves[c].coef[k]),
                      "curve %zu coefficient %zu is %.9g +- %.2g", c, k, fit.coef[k], fit.se[k]);
    }
}

/* At a least-squares minimum every small step raises the sum of squares. */
Test(stats_curve, ends_at_a_minimum)
{
    for (size_t c = 0; c < CURVES; c++) {
        double x[N], y[N], start[GW_STATS_CURVE_COEF_MAX];
        gw_stats_curve_fit fit;
        points(c, 3, x, y);
        cr_assert(eq(int, gw_stats_curve_start(curves[c].curve, N, x, y, start, NULL), GW_STATS_OK), "curve %zu", c);
        cr_assert(eq(int, gw_stats_curve_fit_from(curves[c].curve, N, x, y, start, &fit, NULL), GW_STATS_OK),
                  "curve %zu", c);
        for (size_t k = 0; k < 2 * fit.p; k++) {
            double moved[GW_STATS_CURVE_COEF_MAX], rss = 0;
            for (size_t j = 0; j < fit.p; j++) moved[j] = fit.coef[j];
            moved[k / 2] += (k % 2 ? 0.01 : -0.01) * fit.se[k / 2];
            for (size_t i = 0; i < N; i++) {
                double off = y[i] - gw_stats_curve_at(curves[c].curve, moved, x[i]);
                rss += off * off;
            }
            cr_expect(rss > fit.rss, "curve %zu coefficient %zu", c, k / 2);
        }
    }
}

Test(stats_curve, says_when_the_points_do_not_bend)
{
    double x[N], y[N], start[GW_STATS_CURVE_COEF_MAX];
    gw_stats_curve_fit fit;
    for (unsigned pattern = 2; pattern <= 4; pattern++) {
        for (size_t i = 0; i < N; i++) {
            x[i] = (double)i;
            y[i] = 500 + (double)(i * i % pattern); /* no growth: where the curve turns is not in the data */
        }
        gw_stats_status status = gw_stats_curve_start(GW_STATS_LOGISTIC_XMID, N, x, y, start, NULL);
        if (!status) status = gw_stats_curve_fit_from(GW_STATS_LOGISTIC_XMID, N, x, y, start, &fit, NULL);
        bool told = status == GW_STATS_NO_END || status == GW_STATS_CONSTANT;
        cr_expect(told || fit.se[1] > 5, "pattern %u: status %d, turns at %g +- %g", pattern, (int)status, fit.coef[1],
                  fit.se[1]);
    }
}

Test(stats_curve, unknown_curves_have_no_coefficients)
{
    cr_expect(eq(sz, gw_stats_curve_coefs((gw_stats_curve)99), 0));
    cr_expect(isnan(gw_stats_curve_at((gw_stats_curve)99, curves[0].coef, 1)));
}
