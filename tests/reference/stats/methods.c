#include "methods.h"

#include <math.h>
#include <string.h>

#include "inputs.h"

static const double CONFIDENCE = 0.95;

/* ------------------------------------------------------------------------------------------- one set of readings */

static gw_stats_status run_summary(const json_t *input, json_t *found)
{
    series y = taken_only(read_series(input, "y"), NULL);
    gw_stats_moments m;
    gw_stats_status status = gw_stats_summary(y.n, y.v, &m, NULL);
    if (status) return status;
    put_number(found, "n", (double)y.n);
    put_number(found, "mean", m.mean);
    put_number(found, "sd", m.sd);
    put_number(found, "autocorr1", m.autocorr1);
    return GW_STATS_OK;
}

static gw_stats_status run_robust_level(const json_t *input, json_t *found)
{
    series y = taken_only(read_series(input, "y"), NULL);
    gw_stats_level_of l;
    gw_stats_status status = gw_stats_level(y.n, y.v, scratch(y.n), &l, NULL);
    if (status) return status;
    put_number(found, "n", (double)y.n);
    put_number(found, "median", l.median);
    put_number(found, "mad_raw", l.mad);
    put_number(found, "mad_normal", l.mad_normal);
    put_number(found, "mad_1_4826", l.mad_1_4826);
    put_number(found, "iqr_type7", l.iqr);
    put_number(found, "range", l.range);
    return GW_STATS_OK;
}

static gw_stats_status run_quantile(const json_t *input, json_t *found)
{
    static const struct {
        const char *field;
        gw_stats_quantile_type type;
    } types[] = {{"type6", GW_STATS_TYPE_6}, {"type7", GW_STATS_TYPE_7}, {"type8", GW_STATS_TYPE_8}};
    series y = taken_only(read_series(input, "y"), NULL), p = read_series(input, "p");
    for (size_t i = 0; i < 3; i++) {
        double *value = scratch(p.n);
        gw_stats_status status = gw_stats_quantiles(y.n, y.v, types[i].type, p.n, p.v, scratch(y.n), value, NULL);
        if (status) return status;
        put_array(found, types[i].field, p.n, value);
    }
    return GW_STATS_OK;
}

/* ------------------------------------------------------------------------------------------- lines and regression */

static gw_stats_status run_theil_sen(const json_t *input, json_t *found)
{
    series x = read_series(input, "x"), y = read_series(input, "y"), tx = taken_only(x, &y), ty = taken_only(y, &x);
    gw_stats_slopes s;
    double *work = scratch(gw_stats_theil_sen_work(tx.n));
    gw_stats_status status = gw_stats_theil_sen(tx.n, tx.v, ty.v, CONFIDENCE, work, &s, NULL);
    if (status) return status;
    put_number(found, "n_slopes", (double)s.n_slopes);
    put_number(found, "slope", s.slope);
    put_number(found, "intercept_separate", s.intercept_separate);
    put_number(found, "intercept_joint", s.intercept_joint);
    put_number(found, "sigma_s", s.sigma);
    put_number(found, "ci95_low", s.low);
    put_number(found, "ci95_high", s.high);
    put_number(found, "ci95_low_interp", s.low_interp);
    put_number(found, "ci95_high_interp", s.high_interp);
    return GW_STATS_OK;
}

static gw_stats_status run_mann_kendall(const json_t *input, json_t *found)
{
    series x = read_series(input, "x"), y = read_series(input, "y"), tx = taken_only(x, &y), ty = taken_only(y, &x);
    gw_stats_trend t;
    double *work = scratch(gw_stats_mann_kendall_work(tx.n));
    gw_stats_status status = gw_stats_mann_kendall(tx.n, tx.v, ty.v, work, &t, NULL);
    if (status) return status;
    put_number(found, "n", (double)tx.n);
    put_number(found, "S", t.s);
    put_number(found, "var_S", t.var_s);
    put_number(found, "tau_b", t.tau_b);
    put_number(found, "z_plain", t.z);
    put_number(found, "p_plain", t.p);
    put_number(found, "z_continuity", t.z_continuity);
    put_number(found, "p_continuity", t.p_continuity);
    put_number(found, "p_exact", t.p_exact);
    return GW_STATS_OK;
}

static gw_stats_status run_ols(const json_t *input, json_t *found)
{
    size_t p;
    series X = read_table(input, "X", &p), y = read_series(input, "y");
    bool intercept = json_is_true(json_object_get(input, "intercept"));
    double *coef = scratch(p), *se = scratch(p), *low = scratch(p), *high = scratch(p), *p_value = scratch(p);
    gw_stats_fit fit;
    gw_stats_status status = gw_stats_ols(X.n, p, X.v, y.v, intercept, CONFIDENCE, scratch(gw_stats_ols_work(X.n, p)),
                                          coef, se, low, high, p_value, &fit, NULL);
    if (status) return status;
    put_array(found, "coef", p, coef);
    put_array(found, "se", p, se);
    put_array(found, "ci95_low", p, low);
    put_array(found, "ci95_high", p, high);
    put_array(found, "p_value", p, p_value);
    put_number(found, "sigma", fit.sigma);
    put_number(found, "rss", fit.rss);
    put_number(found, "df", fit.df);
    put_number(found, "r2", fit.r2);
    return GW_STATS_OK;
}

static gw_stats_status run_wls_line(const json_t *input, json_t *found)
{
    series x = read_series(input, "x"), y = read_series(input, "y"), w = read_series(input, "w");
    gw_stats_line_fit f;
    gw_stats_status status = gw_stats_line(x.n, x.v, y.v, w.v, CONFIDENCE, &f, NULL);
    if (status) return status;
    put_array(found, "coef", 2, f.coef);
    put_array(found, "se_estimated_scale", 2, f.se);
    put_array(found, "se_known_variance", 2, f.se_known);
    put_array(found, "ci95_low", 2, f.low);
    put_array(found, "ci95_high", 2, f.high);
    put_number(found, "sigma", f.sigma);
    put_number(found, "chisq", f.chisq);
    put_number(found, "df", f.df);
    return GW_STATS_OK;
}

static gw_stats_status run_recursive_cusum(const json_t *input, json_t *found)
{
    size_t p;
    series X = read_table(input, "X", &p), y = read_series(input, "y");
    size_t rest = X.n - p;
    double *residual = scratch(rest), *by_ols = scratch(rest), *by_w = scratch(rest);
    gw_stats_cusum_test t;
    gw_stats_status status =
        gw_stats_recursive(X.n, p, X.v, y.v, scratch(gw_stats_recursive_work(p)), residual, by_ols, by_w, &t, NULL);
    if (status) return status;
    put_array(found, "recursive_residuals", rest, residual);
    put_array(found, "cusum_sigma_ols", rest, by_ols);
    put_array(found, "cusum_sigma_w", rest, by_w);
    put_number(found, "sigma_ols", t.sigma_ols);
    put_number(found, "sigma_w", t.sigma_w);
    put_number(found, "stat_max_boundary", t.stat_max_boundary);
    return GW_STATS_OK;
}

static gw_stats_status run_huber(const json_t *input, json_t *found)
{
    size_t p;
    series X = read_table(input, "X", &p), y = read_series(input, "y");
    double *coef = scratch(p), *weight = scratch(X.n), scale;
    gw_stats_status status =
        gw_stats_huber(X.n, p, X.v, y.v, 1.345, scratch(gw_stats_huber_work(X.n, p)), coef, weight, &scale, NULL);
    if (status) return status;
    put_array(found, "coef", p, coef);
    put_array(found, "weights", X.n, weight);
    put_number(found, "scale", scale);
    return GW_STATS_OK;
}

static gw_stats_status run_median_polish(const json_t *input, json_t *found)
{
    size_t columns;
    series table = read_table(input, "table", &columns);
    double overall, *row = scratch(table.n), *column = scratch(columns), sum;
    gw_stats_status status =
        gw_stats_median_polish(table.n, columns, table.v, scratch(gw_stats_median_polish_work(table.n, columns)),
                               &overall, row, column, NULL, &sum, NULL);
    if (status) return status;
    put_number(found, "overall", overall);
    put_array(found, "row", table.n, row);
    put_array(found, "col", columns, column);
    put_number(found, "abs_residual_sum", sum);
    return GW_STATS_OK;
}

/* ------------------------------------------------------------------------------------------- control charts */

/* One-based positions of the readings whose signal has the bit. */
static void put_signals(json_t *found, const char *name, size_t n, const unsigned char signal[], unsigned bit)
{
    double *positions = scratch(n);
    size_t count = 0;
    for (size_t i = 0; i < n; i++) {
        if (signal[i] & bit) positions[count++] = (double)(i + 1);
    }
    put_array(found, name, count, positions);
}

static gw_stats_status run_ewma(const json_t *input, json_t *found)
{
    series y = read_series(input, "y");
    double target = read_number(input, "target"), steady;
    double *z = scratch(y.n), *upper = scratch(y.n), *lower = scratch(y.n);
    unsigned char *signal = (unsigned char *)scratch(y.n);
    gw_stats_status status = gw_stats_ewma(y.n, y.v, read_number(input, "lambda"), target, read_number(input, "sigma"),
                                           read_number(input, "L"), z, upper, signal, &steady, NULL);
    if (status) return status;
    for (size_t i = 0; i < y.n; i++) {
        lower[i] = target - upper[i];
        upper[i] = target + upper[i];
    }
    put_array(found, "z", y.n, z);
    put_array(found, "ucl", y.n, upper);
    put_array(found, "lcl", y.n, lower);
    put_number(found, "ucl_steady", target + steady);
    put_number(found, "lcl_steady", target - steady);
    put_signals(found, "signals_exact", y.n, signal, GW_STATS_SIGNAL_EXACT);
    put_signals(found, "signals_steady", y.n, signal, GW_STATS_SIGNAL_STEADY);
    return GW_STATS_OK;
}

static gw_stats_status run_ewma_irregular(const json_t *input, json_t *found)
{
    series t = read_series(input, "t"), y = read_series(input, "y");
    double *z = scratch(y.n), *factor = scratch(y.n);
    gw_stats_status status = gw_stats_ewma_irregular(y.n, t.v, y.v, read_number(input, "lambda"),
                                                     read_number(input, "target"), z, factor, NULL);
    if (status) return status;
    put_array(found, "z", y.n, z);
    put_array(found, "var_factor", y.n, factor);
    return GW_STATS_OK;
}

static gw_stats_status run_cusum(const json_t *input, json_t *found)
{
    series y = read_series(input, "y");
    double *upper = scratch(y.n), *lower = scratch(y.n), *plain = scratch(y.n);
    size_t *run_upper = scratch_sizes(y.n), *run_lower = scratch_sizes(y.n);
    gw_stats_cusum_signals s;
    gw_stats_status status =
        gw_stats_cusum(y.n, y.v, read_number(input, "target"), read_number(input, "k"), read_number(input, "h"),
                       read_number_or(input, "headstart", 0), upper, lower, run_upper, run_lower, plain, &s, NULL);
    if (status) return status;
    put_array(found, "upper", y.n, upper);
    put_array(found, "lower", y.n, lower);
    put_array(found, "plain_sum", y.n, plain);
    put_sizes(found, "run_upper", y.n, run_upper);
    put_sizes(found, "run_lower", y.n, run_lower);
    put_number(found, "first_upper", s.first_upper < y.n ? (double)(s.first_upper + 1) : 0);
    put_number(found, "first_lower", s.first_lower < y.n ? (double)(s.first_lower + 1) : 0);
    return GW_STATS_OK;
}

enum { NODES = 100 };

static gw_stats_status run_arl_cusum(const json_t *input, json_t *found)
{
    double arl;
    gw_stats_status status = gw_stats_arl_cusum(read_number(input, "k"), read_number(input, "h"),
                                                read_number(input, "mu"), read_number_or(input, "headstart", 0),
                                                strcmp(read_text_or(input, "sided", "one"), "two") == 0, NODES,
                                                scratch(gw_stats_arl_work(NODES)), &arl);
    if (status) return status;
    put_number(found, "arl", arl);
    return GW_STATS_OK;
}

static gw_stats_status run_arl_ewma(const json_t *input, json_t *found)
{
    double arl;
    bool varying = strcmp(read_text_or(input, "limits", ""), "vacl") == 0;
    gw_stats_status status =
        gw_stats_arl_ewma(read_number(input, "lambda"), read_number(input, "L"), read_number(input, "mu"), varying,
                          NODES, scratch(gw_stats_arl_work(NODES)), &arl);
    if (status) return status;
    put_number(found, "arl", arl);
    return GW_STATS_OK;
}

/* ------------------------------------------------------------------------------------------- local level and trend */

static gw_stats_model read_model(const json_t *input)
{
    if (strcmp(read_text_or(input, "model", ""), "level") == 0) return GW_STATS_LOCAL_LEVEL;
    bool discrete = strcmp(read_text_or(input, "discretisation", "continuous"), "discrete") == 0;
    return discrete ? GW_STATS_DISCRETE_TREND : GW_STATS_LOCAL_TREND;
}

static gw_stats_status run_state_space(const json_t *input, json_t *found)
{
    series t = read_series(input, "t"), y = read_series(input, "y");
    size_t n = t.n;
    gw_stats_state_model model = {.model = read_model(input),
                                  .var_obs = read_number(input, "var_obs"),
                                  .var_level = read_number_or(input, "var_level", 0),
                                  .var_slope = read_number_or(input, "var_slope", 0)};
    bool trend = model.model != GW_STATS_LOCAL_LEVEL;
    gw_stats_state_series s = {.filtered_level = scratch(n),
                               .filtered_level_var = scratch(n),
                               .smoothed_level = scratch(n),
                               .smoothed_level_var = scratch(n),
                               .innovation = scratch(n),
                               .innovation_var = scratch(n),
                               .filtered_slope = scratch(n),
                               .filtered_slope_var = scratch(n),
                               .smoothed_slope = scratch(n),
                               .smoothed_slope_var = scratch(n)};
    gw_stats_state_fit fit;
    gw_stats_status status = gw_stats_state(n, t.v, y.v, &model, scratch(gw_stats_state_work(n)), &s, &fit, NULL);
    if (status) return status;
    put_number(found, "loglik_diffuse", fit.loglik);
    put_number(found, "loglik_diffuse_n2pi", fit.loglik_n2pi);
    put_number(found, "n_obs", (double)fit.n_obs);
    put_number(found, "n_diffuse", (double)fit.n_diffuse);
    put_array(found, "smoothed_level", n, s.smoothed_level);
    put_array(found, "smoothed_level_var", n, s.smoothed_level_var);
    put_array(found, "filtered_level", n, s.filtered_level);
    put_array(found, "filtered_level_var", n, s.filtered_level_var);
    put_array(found, "innovation", n, s.innovation);
    put_array(found, "innovation_var", n, s.innovation_var);
    if (trend) {
        put_array(found, "smoothed_slope", n, s.smoothed_slope);
        put_array(found, "smoothed_slope_var", n, s.smoothed_slope_var);
        put_array(found, "filtered_slope", n, s.filtered_slope);
        put_array(found, "filtered_slope_var", n, s.filtered_slope_var);
    }
    return GW_STATS_OK;
}

static gw_stats_status run_state_space_mle(const json_t *input, json_t *found)
{
    series t = read_series(input, "t"), y = read_series(input, "y");
    gw_stats_state_best best;
    gw_stats_status status = gw_stats_state_fit_variances(t.n, t.v, y.v, read_model(input), &best, NULL);
    if (status) return status;
    put_number(found, "var_obs", best.model.var_obs);
    put_number(found, "ratio", best.ratio);
    put_number(found, "loglik_diffuse", best.loglik);
    bool level = best.model.model == GW_STATS_LOCAL_LEVEL;
    put_number(found, level ? "var_level" : "var_slope", level ? best.model.var_level : best.model.var_slope);
    return GW_STATS_OK;
}

/* ------------------------------------------------------------------------------------------- growth curves */

static gw_stats_status run_growth_nls(const json_t *input, json_t *found)
{
    static const struct {
        const char *name;
        gw_stats_curve curve;
    } curves[] = {{"logistic", GW_STATS_LOGISTIC}, {"logistic_xmid", GW_STATS_LOGISTIC_XMID},
                  {"gompertz", GW_STATS_GOMPERTZ}, {"gompertz_rate", GW_STATS_GOMPERTZ_RATE},
                  {"richards", GW_STATS_RICHARDS}, {"monomolecular", GW_STATS_MONOMOLECULAR},
                  {"exp2", GW_STATS_EXP2},         {"power", GW_STATS_POWER}};
    series x = read_series(input, "x"), y = read_series(input, "y"), start = read_series(input, "start");
    for (size_t i = 0; i < sizeof curves / sizeof curves[0]; i++) {
        if (strcmp(read_text_or(input, "model", ""), curves[i].name) != 0) continue;
        gw_stats_curve_fit fit;
        gw_stats_status status = gw_stats_curve_fit_from(curves[i].curve, x.n, x.v, y.v, start.v, &fit, NULL);
        if (status) return status;
        put_array(found, "coef", fit.p, fit.coef);
        put_array(found, "se", fit.p, fit.se);
        put_number(found, "rss", fit.rss);
        put_number(found, "sigma", fit.sigma);
        put_number(found, "df", fit.df);
        return GW_STATS_OK;
    }
    return GW_STATS_OPTION;
}

/* ------------------------------------------------------------------------------------------- counts */

static void put_tests(json_t *found, const gw_stats_count_test *t)
{
    put_number(found, "p_two_sided", t->p_two_sided);
    put_number(found, "p_greater", t->p_greater);
    put_number(found, "p_less", t->p_less);
    put_number(found, "p_greater_mid", t->p_greater_mid);
    put_number(found, "ci95_low", t->low);
    put_number(found, "ci95_high", t->high);
    put_number(found, "lower95_one_sided", t->lower);
    put_number(found, "upper95_one_sided", t->upper);
}

static gw_stats_status run_binomial(const json_t *input, json_t *found)
{
    gw_stats_count_test t;
    gw_stats_status status = gw_stats_binomial((uint32_t)read_number(input, "x"), (uint32_t)read_number(input, "n"),
                                               read_number(input, "p"), CONFIDENCE, &t);
    if (status) return status;
    put_tests(found, &t);
    return GW_STATS_OK;
}

static gw_stats_status run_poisson_one(const json_t *input, json_t *found)
{
    gw_stats_count_test t;
    gw_stats_status status = gw_stats_poisson((uint32_t)read_number(input, "x"), read_number(input, "T"),
                                              read_number(input, "r"), CONFIDENCE, &t);
    if (status) return status;
    put_tests(found, &t);
    put_number(found, "rate", t.estimate);
    return GW_STATS_OK;
}

static gw_stats_status run_poisson_two(const json_t *input, json_t *found)
{
    series x = read_series(input, "x"), T = read_series(input, "T");
    gw_stats_count_test t;
    gw_stats_status status = gw_stats_poisson_two((uint32_t)x.v[0], T.v[0], (uint32_t)x.v[1], T.v[1], CONFIDENCE, &t);
    if (status) return status;
    put_tests(found, &t);
    put_number(found, "ratio", t.estimate);
    return GW_STATS_OK;
}

static gw_stats_status run_fisher(const json_t *input, json_t *found)
{
    size_t columns;
    series table = read_table(input, "table", &columns);
    gw_stats_fisher_test t;
    gw_stats_status status = gw_stats_fisher((uint32_t)table.v[0], (uint32_t)table.v[1], (uint32_t)table.v[2],
                                             (uint32_t)table.v[3], CONFIDENCE, &t);
    if (status) return status;
    put_number(found, "p_two_sided", t.p_two_sided);
    put_number(found, "p_greater", t.p_greater);
    put_number(found, "p_less", t.p_less);
    put_number(found, "odds_ratio_conditional", t.odds_ratio);
    put_number(found, "odds_ratio_sample", t.odds_ratio_sample);
    return GW_STATS_OK;
}

static gw_stats_status run_bh(const json_t *input, json_t *found)
{
    static const struct {
        const char *field;
        gw_stats_adjustment method;
    } methods[] = {{"adjusted", GW_STATS_BENJAMINI_HOCHBERG},
                   {"adjusted_by", GW_STATS_BENJAMINI_YEKUTIELI},
                   {"adjusted_holm", GW_STATS_HOLM}};
    series p = read_series(input, "p");
    double q = read_number(input, "q");
    for (size_t i = 0; i < 3; i++) {
        double *adjusted = scratch(p.n);
        gw_stats_status status = gw_stats_adjust(p.n, p.v, methods[i].method, scratch_sizes(p.n), adjusted, NULL);
        if (status) return status;
        put_array(found, methods[i].field, p.n, adjusted);
        size_t rejected = 0;
        for (size_t k = 0; k < p.n; k++) rejected += adjusted[k] <= q;
        if (i == 0) put_number(found, "n_reject", (double)rejected);
    }
    return GW_STATS_OK;
}

static uint32_t *counts_of(series s)
{
    uint32_t *counts = (uint32_t *)(void *)scratch(s.n);
    for (size_t i = 0; i < s.n; i++) counts[i] = (uint32_t)s.v[i];
    return counts;
}

static gw_stats_status run_site_excess(const json_t *input, json_t *found)
{
    series observed = read_series(input, "observed"), at_risk = read_series(input, "at_risk");
    size_t n = observed.n;
    gw_stats_site *site = (gw_stats_site *)(void *)scratch(n * sizeof *site / sizeof(double));
    gw_stats_status status = gw_stats_site_excess(n, counts_of(observed), at_risk.v, CONFIDENCE, site, NULL);
    if (status) return status;
    double *column[6];
    for (size_t c = 0; c < 6; c++) column[c] = scratch(n);
    for (size_t i = 0; i < n; i++) {
        column[0][i] = site[i].expected;
        column[1][i] = site[i].p_upper;
        column[2][i] = site[i].p_lower;
        column[3][i] = site[i].ratio;
        column[4][i] = site[i].low;
        column[5][i] = site[i].high;
    }
    const char *fields[] = {"expected", "p_upper", "p_lower", "smr", "ratio_low95", "ratio_high95"};
    for (size_t c = 0; c < 6; c++) put_array(found, fields[c], n, column[c]);
    return GW_STATS_OK;
}

static gw_stats_status run_scan(const json_t *input, json_t *found)
{
    series observed = read_series(input, "observed"), at_risk = read_series(input, "at_risk"),
           x = read_series(input, "x"), y = read_series(input, "y");
    size_t n = observed.n, *order = scratch_sizes(n);
    double *llr = scratch(n), *sorted = scratch(n);
    gw_stats_cluster c;
    gw_stats_status status = gw_stats_scan(n, counts_of(observed), at_risk.v, x.v, y.v, read_number(input, "max_share"),
                                           scratch(n), order, llr, &c, NULL);
    if (status) return status;
    size_t count = 0;
    for (size_t i = 0; i < n; i++) {
        for (size_t k = 0; k < c.n_members; k++) {
            if (order[k] == i) sorted[count++] = (double)(i + 1);
        }
    }
    put_number(found, "llr_max", c.llr);
    put_array(found, "members", count, sorted);
    put_number(found, "observed", c.observed);
    put_number(found, "expected", c.expected);
    put_array(found, "llr_by_centre", n, llr);
    return GW_STATS_OK;
}

static gw_stats_status run_ears(const json_t *input, json_t *found)
{
    series y = read_series(input, "y");
    size_t n = y.n - GW_STATS_EARS_LEAD;
    double *c1 = scratch(n), *c2 = scratch(n), *alarm1 = scratch(n), *alarm2 = scratch(n);
    gw_stats_status status = gw_stats_ears(y.n, y.v, read_number(input, "alpha"), c1, c2, NULL);
    if (status) return status;
    for (size_t i = 0; i < n; i++) {
        alarm1[i] = y.v[i + GW_STATS_EARS_LEAD] > c1[i];
        alarm2[i] = y.v[i + GW_STATS_EARS_LEAD] > c2[i];
    }
    put_array(found, "upper_c1", n, c1);
    put_array(found, "upper_c2", n, c2);
    put_array(found, "alarm_c1", n, alarm1);
    put_array(found, "alarm_c2", n, alarm2);
    return GW_STATS_OK;
}

/* ------------------------------------------------------------------------------------------- agreement, centiles */

static gw_stats_status run_agreement(const json_t *input, json_t *found)
{
    series a = read_series(input, "a"), b = read_series(input, "b"), ta = taken_only(a, &b), tb = taken_only(b, &a);
    gw_stats_agreement_of g;
    gw_stats_status status = gw_stats_agreement(ta.n, ta.v, tb.v, &g, NULL);
    if (status) return status;
    put_number(found, "n", (double)ta.n);
    put_number(found, "bias", g.bias);
    put_number(found, "sd", g.sd);
    put_number(found, "loa_low", g.low);
    put_number(found, "loa_high", g.high);
    put_number(found, "loa_low_2sd", g.low_2sd);
    put_number(found, "loa_high_2sd", g.high_2sd);
    put_array(found, "bias_ci95", 2, (double[]){g.bias_low, g.bias_high});
    put_number(found, "bias_p", g.bias_p);
    put_number(found, "se_loa_1986", g.se_1986);
    put_number(found, "se_loa_1999", g.se_1999);
    put_array(found, "loa_low_ci95_1986", 2, (double[]){g.low_low, g.low_high});
    put_array(found, "loa_high_ci95_1986", 2, (double[]){g.high_low, g.high_high});
    put_number(found, "repeatability_rms", g.repeatability);
    return GW_STATS_OK;
}

static gw_stats_status run_lms(const json_t *input, json_t *found)
{
    series L = read_series(input, "L"), M = read_series(input, "M"), S = read_series(input, "S"),
           x = read_series(input, "x"), p = read_series(input, "p");
    double *z = scratch(x.n), *centile = scratch(x.n), *value = scratch(x.n);
    for (size_t i = 0; i < x.n; i++) {
        z[i] = gw_stats_lms_z(L.v[i], M.v[i], S.v[i], x.v[i]);
        centile[i] = 100 * gw_stats_normal(z[i]);
        value[i] = gw_stats_lms_value(L.v[i], M.v[i], S.v[i], p.v[i]);
    }
    put_array(found, "z", x.n, z);
    put_array(found, "centile", x.n, centile);
    put_array(found, "value_at_p", x.n, value);
    return GW_STATS_OK;
}

static gw_stats_status run_lms_fit(const json_t *input, json_t *found)
{
    static const double centiles[] = {0.05, 0.1, 0.25, 0.5, 0.75, 0.9, 0.95};
    enum { CENTILES = sizeof centiles / sizeof centiles[0] };
    series y = read_series(input, "y");
    gw_stats_lms f;
    gw_stats_status status = gw_stats_lms_fit(y.n, y.v, scratch(gw_stats_lms_work(y.n)), &f, NULL);
    if (status) return status;
    double value[CENTILES];
    for (size_t i = 0; i < CENTILES; i++) value[i] = gw_stats_lms_value(f.L, f.M, f.S, centiles[i]);
    put_number(found, "L", f.L);
    put_number(found, "M", f.M);
    put_number(found, "S", f.S);
    put_number(found, "loglik", f.loglik);
    put_array(found, "centiles", CENTILES, value);
    return GW_STATS_OK;
}

/* ------------------------------------------------------------------------------------------- special functions */

static double special_value(const char *fn, double x, double p, double a, double b, double df)
{
    if (strcmp(fn, "pnorm") == 0) return gw_stats_normal(x);
    if (strcmp(fn, "pnorm_upper") == 0) return gw_stats_normal_upper(x);
    if (strcmp(fn, "qnorm") == 0) return gw_stats_normal_quantile(p);
    if (strcmp(fn, "erfc") == 0) return gw_stats_erfc(x);
    if (strcmp(fn, "lgamma") == 0) return gw_stats_lgamma(x);
    if (strcmp(fn, "digamma") == 0) return gw_stats_digamma(x);
    if (strcmp(fn, "gamma_p") == 0) return gw_stats_gamma_p(a, x);
    if (strcmp(fn, "gamma_q") == 0) return gw_stats_gamma_q(a, x);
    if (strcmp(fn, "gamma_p_inv") == 0) return gw_stats_gamma_p_inv(a, p);
    if (strcmp(fn, "beta_i") == 0) return gw_stats_beta_i(a, b, x);
    if (strcmp(fn, "beta_i_inv") == 0) return gw_stats_beta_i_inv(a, b, p);
    if (strcmp(fn, "t_cdf") == 0) return gw_stats_t(x, df);
    if (strcmp(fn, "t_quantile") == 0) return gw_stats_t_quantile(p, df);
    if (strcmp(fn, "chisq_upper") == 0) return gw_stats_chisq_upper(x, df);
    odd_case(fn);
}

static gw_stats_status run_special(const json_t *input, json_t *found)
{
    static const char *const names[] = {"x", "p", "a", "b", "df"};
    const json_t *points = json_object_get(input, "points");
    series argument[5] = {{0, NULL}};
    size_t n = 0;
    for (size_t i = 0; i < 5; i++) {
        if (!json_object_get(points, names[i])) continue;
        argument[i] = read_series(points, names[i]);
        n = argument[i].n;
    }
    double *value = scratch(n);
    for (size_t k = 0; k < n; k++) {
        double v[5];
        for (size_t i = 0; i < 5; i++) v[i] = argument[i].v ? argument[i].v[k] : NAN;
        value[k] = special_value(read_text_or(input, "fn", ""), v[0], v[1], v[2], v[3], v[4]);
    }
    put_array(found, "value", n, value);
    return GW_STATS_OK;
}

method_run find_method(const char *name)
{
    static const struct {
        const char *name;
        method_run run;
    } methods[] = {
        {"summary", run_summary},
        {"robust_level", run_robust_level},
        {"quantile", run_quantile},
        {"theil_sen", run_theil_sen},
        {"mann_kendall", run_mann_kendall},
        {"ols", run_ols},
        {"wls_line", run_wls_line},
        {"recursive_cusum", run_recursive_cusum},
        {"huber", run_huber},
        {"median_polish", run_median_polish},
        {"ewma", run_ewma},
        {"ewma_irregular", run_ewma_irregular},
        {"cusum", run_cusum},
        {"arl_cusum", run_arl_cusum},
        {"arl_ewma", run_arl_ewma},
        {"state_space", run_state_space},
        {"state_space_mle", run_state_space_mle},
        {"growth_nls", run_growth_nls},
        {"binomial", run_binomial},
        {"poisson_one", run_poisson_one},
        {"poisson_two", run_poisson_two},
        {"fisher", run_fisher},
        {"bh", run_bh},
        {"site_excess", run_site_excess},
        {"scan", run_scan},
        {"ears", run_ears},
        {"agreement", run_agreement},
        {"lms", run_lms},
        {"lms_fit", run_lms_fit},
        {"special", run_special},
    };
    for (size_t i = 0; i < sizeof methods / sizeof methods[0]; i++) {
        if (strcmp(methods[i].name, name) == 0) return methods[i].run;
    }
    return NULL;
}
