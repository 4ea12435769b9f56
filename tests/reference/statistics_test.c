/*
 * The engine's statistics against values that R and Python agree on. Each case is a file in cases/: input, expected
 * values, tolerance and why it is that, source and licence.
 */
#include "trend_internal.h"

#include <criterion/criterion.h>
#include <criterion/new/assert.h>
#include <jansson.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { MOST = 64 };

typedef struct {
    json_t *root;
    double tolerance; /* relative */
} reference;

static reference open_case(const char *name)
{
    char path[4096];
    json_error_t error;
    snprintf(path, sizeof path, "%s/%s.json", GW_CASES, name);
    reference c = {.root = json_load_file(path, 0, &error)};
    cr_assert(c.root != NULL, "%s: %s", path, error.text);
    c.tolerance =
        json_number_value(json_object_get(json_object_get(json_object_get(c.root, "tolerance"), "default"), "rel"));
    cr_assert(c.tolerance > 0);
    return c;
}

static json_t *member(reference *c, const char *part, const char *name)
{
    json_t *value = json_object_get(json_object_get(c->root, part), name);
    cr_assert(value != NULL, "no %s in %s", name, part);
    return value;
}

static double expected(reference *c, const char *name)
{
    return json_number_value(member(c, "expected", name));
}

/* Numbers of an array; a missing reading is NAN. */
static size_t numbers(json_t *array, double out[MOST])
{
    size_t n = json_array_size(array);
    cr_assert(n > 0 && n <= MOST);
    for (size_t i = 0; i < n; i++) {
        json_t *value = json_array_get(array, i);
        out[i] = json_is_null(value) ? NAN : json_number_value(value);
    }
    return n;
}

static void agree(double value, double wanted, double tolerance, const char *what)
{
    cr_expect(fabs(value - wanted) <= tolerance * fabs(wanted), "%s is %.17g, expected %.17g", what, value, wanted);
}

static void check_fisher(const char *name)
{
    reference c = open_case(name);
    json_t *table = member(&c, "input", "table");
    uint32_t cell[4];
    for (size_t i = 0; i < 4; i++)
        cell[i] = (uint32_t)json_integer_value(json_array_get(json_array_get(table, i / 2), i % 2));
    agree(gw_fisher_greater(cell[0], cell[1], cell[2], cell[3]), expected(&c, "p_greater"), c.tolerance, name);
    double p;
    cr_assert(eq(int, gw_trend_spread(cell[0], cell[0] + cell[1], cell[2], cell[2] + cell[3], 1, &p), GW_TREND_OK));
    agree(p, expected(&c, "p_greater"), c.tolerance, name);
    json_decref(c.root);
}

Test(reference, fisher_exact_test_agrees)
{
    check_fisher("fisher_teeth");
    check_fisher("fisher_skin");
    check_fisher("fisher_large");
}

static void check_median(const char *name)
{
    reference c = open_case(name);
    double all[MOST], y[MOST], off[MOST];
    size_t n = 0, read = numbers(member(&c, "input", "y"), all);
    for (size_t i = 0; i < read; i++)
        if (!isnan(all[i])) y[n++] = all[i];
    double median = gw_median(n, y);
    agree(median, expected(&c, "median"), c.tolerance, name);
    for (size_t i = 0; i < n; i++) off[i] = fabs(y[i] - median);
    agree(gw_median(n, off), expected(&c, "mad_raw"), c.tolerance, name);
    json_decref(c.root);
}

Test(reference, median_agrees)
{
    check_median("robust_gap");
    check_median("robust_zero_mad");
}

Test(reference, weighted_line_agrees)
{
    reference c = open_case("wls_norris_unit");
    double x[MOST], y[MOST], w[MOST], coef[MOST], se[MOST], a, b, se_b;
    size_t n = numbers(member(&c, "input", "x"), x);
    numbers(member(&c, "input", "y"), y);
    numbers(member(&c, "input", "w"), w);
    numbers(member(&c, "expected", "coef"), coef);
    numbers(member(&c, "expected", "se_known_variance"), se);
    cr_assert(gw_wls_line(n, x, y, w, &a, &b, &se_b));
    agree(a, coef[0], c.tolerance, "intercept");
    agree(b, coef[1], c.tolerance, "slope");
    agree(se_b, se[1], c.tolerance, "standard error of the slope");
    json_decref(c.root);
}

/*
 * The healthy filter with wave, growth and trend switched off is the local level model. Its exact diffuse start is the
 * first reading with the variance of one reading.
 */
Test(reference, filter_agrees_with_the_local_level_model)
{
    reference c = open_case("ll_invented");
    double t[MOST], y[MOST], level[MOST], level_var[MOST], innovation[MOST], innovation_var[MOST];
    size_t n = numbers(member(&c, "input", "t"), t), first = 0;
    numbers(member(&c, "input", "y"), y);
    numbers(member(&c, "expected", "filtered_level"), level);
    numbers(member(&c, "expected", "filtered_level_var"), level_var);
    numbers(member(&c, "expected", "innovation"), innovation);
    numbers(member(&c, "expected", "innovation_var"), innovation_var);
    double noise = json_number_value(member(&c, "input", "var_obs"));
    double walk = json_number_value(member(&c, "input", "var_level"));

    while (isnan(y[first])) first++;
    gw_state state = {.mean = {y[first]}};
    state.cov[0][0] = noise;
    const double row[GW_STATES] = {1};
    int compared = 0;
    for (size_t i = first + 1; i < n; i++) {
        const gw_point point = {.walk = walk * (t[i] - t[i - 1]), .keep = 1};
        gw_filter_predict(&state, &point);
        if (!isnan(y[i])) {
            double variance, gain[GW_STATES];
            double off = y[i] - gw_filter_expect(&state, row, &variance);
            agree(off, innovation[i], c.tolerance, "innovation");
            agree(variance + noise, innovation_var[i], c.tolerance, "variance of the innovation");
            gw_filter_update(&state, row, off, variance + noise, gain);
            compared++;
        }
        agree(state.mean[0], level[i], c.tolerance, "level");
        agree(state.cov[0][0], level_var[i], c.tolerance, "variance of the level");
    }
    cr_expect(eq(int, compared, 5));
    json_decref(c.root);
}

/* Huber's estimate solves sum psi(x - m) = 0: checked as an equation, and by hand where nothing is cut. */
Test(reference, huber_location_solves_its_equation)
{
    const double x[] = {-0.031, -0.028, -0.035, -0.026, -0.21, 0.004}, sd[] = {0.02, 0.02, 0.025, 0.015, 0.02, 0.03};
    double se, m = gw_huber_location(6, x, sd, 1.345, &se), sum = 0;
    for (int i = 0; i < 6; i++) {
        double r = (x[i] - m) / sd[i];
        sum += fmax(-1.345, fmin(1.345, r)) / sd[i];
    }
    cr_expect(epsilon_eq(dbl, sum, 0, 1e-8));
    cr_expect(gt(dbl, m, -0.05), "the outlier must not carry it");
    const double two[] = {1, 3}, ones[] = {1, 1};
    cr_expect(epsilon_eq(dbl, gw_huber_location(2, two, ones, 1.345, &se), 2, 1e-12));
    cr_expect(epsilon_eq(dbl, se, sqrt(0.5), 1e-12));
}
