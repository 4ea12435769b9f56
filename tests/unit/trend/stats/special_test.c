/* Special functions beside their domain, and inverses against their functions over a wide range. Values:
 * tests/reference. */
#include <gramwell/stats.h>

#include <criterion/criterion.h>
#include <criterion/new/assert.h>
#include <math.h>

Test(stats_special, are_nan_outside_their_domain)
{
    const double found[] = {
        gw_stats_lgamma(0),
        gw_stats_lgamma(-1),
        gw_stats_lgamma(NAN),
        gw_stats_digamma(0),
        gw_stats_gamma_p(0, 1),
        gw_stats_gamma_p(1, -1),
        gw_stats_gamma_q(2e9, 1),
        gw_stats_gamma_p_inv(1, 1.1),
        gw_stats_gamma_p(NAN, 1),
        gw_stats_gamma_p_inv(-1, 0),
        gw_stats_beta_i(0, 1, 0.5),
        gw_stats_beta_i(1, 1, 1.1),
        gw_stats_beta_i(1, 1, NAN),
        gw_stats_beta_i_inv(1, 0, 0.5),
        gw_stats_normal_quantile(-0.1),
        gw_stats_normal_quantile(NAN),
        gw_stats_t(1, 0),
        gw_stats_t(NAN, 5),
        gw_stats_t_quantile(0.5, -1),
        gw_stats_t_quantile(2, 5),
        gw_stats_chisq_upper(-1, 2),
        gw_stats_lms_z(1, 0, 0.1, 5),
        gw_stats_lms_z(1, 5, 0.1, -5),
        gw_stats_lms_value(1, 5, 0.1, 0),
        gw_stats_lms_value(1, 5, 2, 0.01),
    };
    for (size_t i = 0; i < sizeof found / sizeof *found; i++) cr_expect(isnan(found[i]), "entry %zu", i);
}

Test(stats_special, reach_their_ends)
{
    cr_expect(eq(dbl, gw_stats_gamma_p(3, 0), 0));
    cr_expect(eq(dbl, gw_stats_gamma_q(3, INFINITY), 0));
    cr_expect(eq(dbl, gw_stats_gamma_p_inv(3, 0), 0));
    cr_expect(isinf(gw_stats_gamma_p_inv(3, 1)));
    cr_expect(eq(dbl, gw_stats_beta_i(2, 3, 0), 0));
    cr_expect(eq(dbl, gw_stats_beta_i(2, 3, 1), 1));
    cr_expect(eq(dbl, gw_stats_beta_i_inv(2, 3, 0), 0));
    cr_expect(eq(dbl, gw_stats_beta_i_inv(2, 3, 1), 1));
    cr_expect(isinf(gw_stats_normal_quantile(1)) && gw_stats_normal_quantile(0) < 0);
    cr_expect(eq(dbl, gw_stats_normal_quantile(0.5), 0));
    cr_expect(eq(dbl, gw_stats_t_quantile(0.5, 3), 0));
    cr_expect(eq(dbl, gw_stats_t(INFINITY, 3), 1));
}

/* By hand: gamma(n) is a factorial, P(1, x) = 1 - e^-x, I_x(a, 1) = x^a, t with one degree is Cauchy's law. */
Test(stats_special, agree_with_closed_forms)
{
    double factorial = 1;
    for (int n = 2; n < 25; n++) {
        factorial *= n - 1;
        double scale = fmax(1, log(factorial));
        cr_expect(fabs(gw_stats_lgamma(n) - log(factorial)) < 1e-14 * scale, "n = %d", n);
    }
    for (double x = 1e-8; x < 40; x *= 1.7) {
        cr_expect(fabs(gw_stats_gamma_p(1, x) + expm1(-x)) < 1e-13 * -expm1(-x), "x = %g", x);
        cr_expect(fabs(gw_stats_gamma_q(1, x) - exp(-x)) < 1e-12 * exp(-x), "x = %g", x);
        double cauchy = 0.5 + atan(x) / 3.141592653589793;
        cr_expect(fabs(gw_stats_t(x, 1) - cauchy) < 1e-14, "x = %g", x);
    }
    for (double x = 0.001; x < 1; x += 0.0487) {
        cr_expect(fabs(gw_stats_beta_i(2.5, 1, x) - pow(x, 2.5)) < 1e-13 * pow(x, 2.5), "x = %g", x);
        double sum = gw_stats_beta_i(3.7, 0.8, x) + gw_stats_beta_i(0.8, 3.7, 1 - x);
        cr_expect(fabs(sum - 1) < 1e-13, "x = %g", x);
    }
}

Test(stats_special, inverses_undo_their_functions)
{
    static const double shapes[] = {0.05, 0.3, 1, 2.5, 17, 240, 5000};
    enum { SHAPES = sizeof shapes / sizeof *shapes };
    for (double p = 1e-12; p < 1; p += p < 0.01 ? 9 * p : 0.0911) {
        double z = gw_stats_normal_quantile(p);
        cr_expect(fabs(gw_stats_normal(z) - p) < 1e-13 * p, "p = %g", p);
        for (size_t i = 0; i < SHAPES; i++) {
            double x = gw_stats_gamma_p_inv(shapes[i], p);
            if (x > 1e-280) /* closer to 0 the answer is not a normal number any more */
                cr_expect(fabs(gw_stats_gamma_p(shapes[i], x) - p) < 1e-10 * p, "a = %g, p = %g", shapes[i], p);
            double t = gw_stats_t_quantile(p, shapes[i]);
            if (fabs(t) < 1e140) cr_expect(fabs(gw_stats_t(t, shapes[i]) - p) < 1e-10 * p, "df = %g", shapes[i]);
            for (size_t j = 0; j < SHAPES; j++) {
                double b = gw_stats_beta_i_inv(shapes[i], shapes[j], p);
                if (b < 1e-280 || b > 0.999) continue; /* beside 1 the spacing of the numbers decides */
                double back = gw_stats_beta_i(shapes[i], shapes[j], b);
                cr_expect(fabs(back - p) < 1e-10 * p, "a = %g, b = %g, p = %g: %g", shapes[i], shapes[j], p, back);
            }
        }
    }
}

Test(stats_special, lms_turns_back)
{
    for (double L = -2; L <= 2; L += 0.25) {
        double x = gw_stats_lms_value(L, 900, 0.08, 0.03);
        cr_expect(fabs(gw_stats_normal(gw_stats_lms_z(L, 900, 0.08, x)) - 0.03) < 1e-14, "L = %g", L);
    }
}
