/* stats_methods: the methods of gramwell stats, each from its columns to its rows of CSV. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "cli.h"
#include "stats.h"

#define ANY_LOW         (-1e300)
#define ANY_HIGH        1e300
#define COUNT_OF(array) (sizeof(array) / sizeof *(array))

/* The columns that most methods have. */
#define NUMBER_OR_EMPTY "a number, or nothing when it was not taken"
static const gw_desk_column column_y = {"y", GW_COLUMN_DROP, ANY_LOW, ANY_HIGH, NUMBER_OR_EMPTY};
static const gw_desk_column columns_xy[] = {{"x", GW_COLUMN_DROP, ANY_LOW, ANY_HIGH, NUMBER_OR_EMPTY},
                                            {"y", GW_COLUMN_DROP, ANY_LOW, ANY_HIGH, NUMBER_OR_EMPTY}};
static const gw_desk_column columns_ty[] = {{"t", 0, ANY_LOW, ANY_HIGH, "a number: the time of the reading"},
                                            {"y", GW_COLUMN_GAPS, ANY_LOW, ANY_HIGH, NUMBER_OR_EMPTY}};

static double option_or(const gw_desk *desk, gw_desk_option option, double otherwise)
{
    return isnan(desk->option[option]) ? otherwise : desk->option[option];
}

/* Print a row of numbers. */
static void print_row(size_t n, const double values[])
{
    for (size_t i = 0; i < n; i++) gw_desk_print(values[i], i + 1 == n);
}

#define PRINT_ROW(...) print_row(sizeof((double[]){__VA_ARGS__}) / sizeof(double), (const double[]){__VA_ARGS__})

/* ---- one set of readings -------------------------------------------------------------------------------------- */

static int run_median_mad(gw_desk *desk)
{
    double *y;
    size_t at = 0;
    if (!gw_desk_read(desk, 1, &column_y, &y)) return GW_EXIT_INPUT;
    gw_stats_level_of l;
    gw_stats_moments m = {NAN, NAN, NAN};
    gw_stats_status status = gw_stats_level(desk->n, y, gw_desk_memory(desk, desk->n), &l, &at);
    if (!status && desk->n > 1) status = gw_stats_summary(desk->n, y, &m, &at);
    if (status) return gw_desk_refused(desk, status, at, 1, &column_y);
    puts("n,median,mad_raw,mad_normal,mad_1_4826,iqr_type7,range,mean,sd,autocorr1");
    PRINT_ROW((double)desk->n, l.median, l.mad, l.mad_normal, l.mad_1_4826, l.iqr, l.range, desk->n > 1 ? m.mean : y[0],
              m.sd, m.autocorr1);
    return GW_EXIT_DONE;
}

/* ---- lines ---------------------------------------------------------------------------------------------------- */

static int run_theil_sen(gw_desk *desk)
{
    double *v[2];
    size_t at = 0;
    if (!gw_desk_read(desk, 2, columns_xy, v)) return GW_EXIT_INPUT;
    size_t room = gw_stats_theil_sen_work(desk->n);
    gw_stats_slopes s;
    gw_stats_status status = gw_stats_theil_sen(desk->n, v[0], v[1], option_or(desk, GW_OPT_CONFIDENCE, 0.95),
                                                gw_desk_memory(desk, room), &s, &at);
    if (status) return gw_desk_refused(desk, status, at, 2, columns_xy);
    puts("n,n_slopes,slope,intercept_separate,intercept_joint,sigma_s,low,high,low_interp,high_interp");
    PRINT_ROW((double)desk->n, (double)s.n_slopes, s.slope, s.intercept_separate, s.intercept_joint, s.sigma, s.low,
              s.high, s.low_interp, s.high_interp);
    return GW_EXIT_DONE;
}

static int run_mann_kendall(gw_desk *desk)
{
    double *v[2];
    size_t at = 0;
    if (!gw_desk_read(desk, 2, columns_xy, v)) return GW_EXIT_INPUT;
    gw_stats_trend t;
    double *work = gw_desk_memory(desk, gw_stats_mann_kendall_work(desk->n));
    gw_stats_status status = gw_stats_mann_kendall(desk->n, v[0], v[1], work, &t, &at);
    if (status) return gw_desk_refused(desk, status, at, 2, columns_xy);
    puts("n,S,var_S,tau_b,z_plain,p_plain,z_continuity,p_continuity,p_exact");
    PRINT_ROW((double)desk->n, t.s, t.var_s, t.tau_b, t.z, t.p, t.z_continuity, t.p_continuity, t.p_exact);
    return GW_EXIT_DONE;
}

/* ---- linear --------------------------------------------------------------------------------------------------- */

static int weighted_line(gw_desk *desk)
{
    static const gw_desk_column columns[] = {
        {"x", GW_COLUMN_DROP, ANY_LOW, ANY_HIGH, NUMBER_OR_EMPTY},
        {"y", GW_COLUMN_DROP, ANY_LOW, ANY_HIGH, NUMBER_OR_EMPTY},
        {"w", GW_COLUMN_ABOVE, 0, ANY_HIGH, "a weight above 0"},
    };
    double *v[3];
    size_t at = 0;
    if (!gw_desk_read(desk, 3, columns, v)) return GW_EXIT_INPUT;
    gw_stats_line_fit f;
    gw_stats_status status =
        gw_stats_line(desk->n, v[0], v[1], v[2], option_or(desk, GW_OPT_CONFIDENCE, 0.95), &f, &at);
    if (status) return gw_desk_refused(desk, status, at, 3, columns);
    puts("term,coef,se,se_known_variance,low,high,n,sigma,chisq,df");
    for (int i = 0; i < 2; i++) {
        fputs(i ? "x," : "intercept,", stdout);
        PRINT_ROW(f.coef[i], f.se[i], f.se_known[i], f.low[i], f.high[i], (double)desk->n, f.sigma, f.chisq, f.df);
    }
    return GW_EXIT_DONE;
}

/* The predictors of a regression: every column but y. */
static size_t predictors(const gw_desk *desk, gw_desk_column columns[])
{
    size_t n = 0;
    for (size_t i = 0; i < desk->sheet.header.n; i++) {
        const char *name = desk->sheet.header.fields[i];
        if (strcmp(name, "y") == 0) continue;
        columns[n++] = (gw_desk_column){name, GW_COLUMN_DROP, ANY_LOW, ANY_HIGH, NUMBER_OR_EMPTY};
    }
    return n;
}

/* A column's name as a field of CSV. */
static void print_name(const char *name)
{
    bool plain = strpbrk(name, ",\"\r\n") == NULL;
    if (!plain) putchar('"');
    for (; *name; name++) {
        if (*name == '"') putchar('"');
        putchar(*name);
    }
    fputs(plain ? "," : "\",", stdout);
}

static int run_linear(gw_desk *desk)
{
    enum { MOST = 64 };
    bool intercept = isnan(desk->option[GW_OPT_NO_INTERCEPT]);
    if (gw_sheet_column(&desk->sheet, "w") >= 0) {
        if (intercept && desk->sheet.header.n == 3) return weighted_line(desk);
        gw_sheet_fault(&desk->sheet, desk->sheet.header.line, "w",
                       "weights go with one predictor x and an intercept: expected the columns x, y, w");
        return GW_EXIT_INPUT;
    }
    gw_desk_column columns[MOST + 1];
    double *v[MOST + 1];
    size_t p = predictors(desk, columns), terms = p + intercept, at = 0;
    columns[p] = column_y;
    if (!gw_desk_read(desk, p + 1, columns, v)) return GW_EXIT_INPUT;
    size_t n = desk->n;
    double *X = gw_desk_memory(desk, n * terms), *out = gw_desk_memory(desk, 5 * terms);
    for (size_t i = 0; i < n; i++) {
        if (intercept) X[i * terms] = 1;
        for (size_t j = 0; j < p; j++) X[i * terms + j + intercept] = v[j][i];
    }
    gw_stats_fit f;
    double *work = gw_desk_memory(desk, gw_stats_ols_work(n, terms));
    gw_stats_status status = gw_stats_ols(n, terms, X, v[p], intercept, option_or(desk, GW_OPT_CONFIDENCE, 0.95), work,
                                          out, out + terms, out + 2 * terms, out + 3 * terms, out + 4 * terms, &f, &at);
    if (status) return gw_desk_refused(desk, status == GW_STATS_OPTION ? GW_STATS_TOO_FEW : status, at, 0, columns);
    puts("term,coef,se,low,high,p_value,n,sigma,rss,df,r2");
    for (size_t k = 0; k < terms; k++) {
        print_name(intercept && k == 0 ? "intercept" : columns[k - intercept].name);
        PRINT_ROW(out[k], out[terms + k], out[2 * terms + k], out[3 * terms + k], out[4 * terms + k], (double)n,
                  f.sigma, f.rss, f.df, f.r2);
    }
    return GW_EXIT_DONE;
}

/* ---- control charts ------------------------------------------------------------------------------------------- */

/* True when the options are there that a method cannot do without; tells which are missing. */
static bool options_given(const gw_desk *desk, size_t n, const gw_desk_option needed[], const char *what)
{
    for (size_t i = 0; i < n; i++) {
        if (!isnan(desk->option[needed[i]])) continue;
        gw_cli_say("stats", "%s needs %s; gramwell stats %s --help says what they are", desk->name, what, desk->name);
        return false;
    }
    return true;
}

static int ewma_at_times(gw_desk *desk)
{
    double *v[2];
    size_t at = 0;
    if (!options_given(desk, 1, (gw_desk_option[]){GW_OPT_TARGET}, "--target")) return GW_EXIT_INPUT;
    if (!gw_desk_read(desk, 2, columns_ty, v)) return GW_EXIT_INPUT;
    double *z = gw_desk_memory(desk, desk->n), *factor = gw_desk_memory(desk, desk->n);
    gw_stats_status status = gw_stats_ewma_irregular(desk->n, v[0], v[1], option_or(desk, GW_OPT_LAMBDA, 0.2),
                                                     desk->option[GW_OPT_TARGET], z, factor, &at);
    if (status) return gw_desk_refused(desk, status, at, 2, columns_ty);
    puts("t,y,z,var_factor");
    for (size_t i = 0; i < desk->n; i++) PRINT_ROW(v[0][i], v[1][i], z[i], factor[i]);
    return GW_EXIT_DONE;
}

static const gw_desk_column every_y = {"y", 0, ANY_LOW, ANY_HIGH, "a number"};

static int run_ewma(gw_desk *desk)
{
    if (gw_sheet_column(&desk->sheet, "t") >= 0) return ewma_at_times(desk);
    double *y, steady, target = desk->option[GW_OPT_TARGET];
    size_t at = 0;
    if (!options_given(desk, 2, (gw_desk_option[]){GW_OPT_TARGET, GW_OPT_SIGMA}, "--target and --sigma"))
        return GW_EXIT_INPUT;
    if (!gw_desk_read(desk, 1, &every_y, &y)) return GW_EXIT_INPUT;
    double *z = gw_desk_memory(desk, desk->n), *half = gw_desk_memory(desk, desk->n);
    unsigned char *signal = (unsigned char *)gw_desk_memory(desk, desk->n);
    gw_stats_status status =
        gw_stats_ewma(desk->n, y, option_or(desk, GW_OPT_LAMBDA, 0.2), target, desk->option[GW_OPT_SIGMA],
                      option_or(desk, GW_OPT_WIDTH, 3), z, half, signal, &steady, &at);
    if (status) return gw_desk_refused(desk, status, at, 1, &every_y);
    puts("y,z,lcl,ucl,lcl_steady,ucl_steady,signal_exact,signal_steady");
    for (size_t i = 0; i < desk->n; i++)
        PRINT_ROW(y[i], z[i], target - half[i], target + half[i], target - steady, target + steady,
                  (signal[i] & GW_STATS_SIGNAL_EXACT) != 0, (signal[i] & GW_STATS_SIGNAL_STEADY) != 0);
    return GW_EXIT_DONE;
}

static int run_cusum(gw_desk *desk)
{
    double *y, h = desk->option[GW_OPT_H];
    size_t at = 0;
    if (!options_given(desk, 3, (gw_desk_option[]){GW_OPT_TARGET, GW_OPT_K, GW_OPT_H}, "--target, --k and --h"))
        return GW_EXIT_INPUT;
    if (!gw_desk_read(desk, 1, &every_y, &y)) return GW_EXIT_INPUT;
    size_t n = desk->n;
    double *upper = gw_desk_memory(desk, n), *lower = gw_desk_memory(desk, n), *plain = gw_desk_memory(desk, n);
    size_t *run_upper = (size_t *)(void *)gw_desk_memory(desk, n);
    size_t *run_lower = (size_t *)(void *)gw_desk_memory(desk, n);
    gw_stats_cusum_signals s;
    gw_stats_status status =
        gw_stats_cusum(n, y, desk->option[GW_OPT_TARGET], desk->option[GW_OPT_K], h,
                       option_or(desk, GW_OPT_HEADSTART, 0), upper, lower, run_upper, run_lower, plain, &s, &at);
    if (status) return gw_desk_refused(desk, status, at, 1, &every_y);
    puts("y,upper,lower,run_upper,run_lower,plain_sum,signal_upper,signal_lower");
    for (size_t i = 0; i < n; i++)
        PRINT_ROW(y[i], upper[i], lower[i], (double)run_upper[i], (double)run_lower[i], plain[i], upper[i] > h,
                  lower[i] > h);
    return GW_EXIT_DONE;
}

/* ---- local level and trend ------------------------------------------------------------------------------------ */

/* The variances that were given, or those of greatest likelihood when none were. */
static gw_stats_status settle_model(const gw_desk *desk, const double t[], const double y[],
                                    gw_stats_state_model *model, size_t *at)
{
    bool given = !isnan(desk->option[GW_OPT_VAR_OBS]);
    if (given) {
        model->var_obs = desk->option[GW_OPT_VAR_OBS];
        model->var_level = option_or(desk, GW_OPT_VAR_LEVEL, 0);
        model->var_slope = option_or(desk, GW_OPT_VAR_SLOPE, 0);
        return GW_STATS_OK;
    }
    gw_stats_state_best best;
    gw_stats_status status = gw_stats_state_fit_variances(desk->n, t, y, model->model, &best, at);
    if (!status) *model = best.model;
    return status;
}

static int run_state(gw_desk *desk, gw_stats_model kind)
{
    double *v[2], *column[10];
    size_t at = 0;
    bool trend = kind != GW_STATS_LOCAL_LEVEL;
    bool signal = !isnan(desk->option[GW_OPT_VAR_LEVEL]) || !isnan(desk->option[GW_OPT_VAR_SLOPE]);
    if (signal && isnan(desk->option[GW_OPT_VAR_OBS])) {
        gw_cli_say("stats", "%s: --var-level and --var-slope go with --var-obs; without all of them they are estimated",
                   desk->name);
        return GW_EXIT_INPUT;
    }
    if (!gw_desk_read(desk, 2, columns_ty, v)) return GW_EXIT_INPUT;
    size_t n = desk->n;
    for (size_t c = 0; c < COUNT_OF(column); c++) column[c] = gw_desk_memory(desk, n);
    gw_stats_state_model model = {.model = kind};
    gw_stats_state_series s = {.filtered_level = column[0],
                               .filtered_level_var = column[1],
                               .smoothed_level = column[2],
                               .smoothed_level_var = column[3],
                               .innovation = column[4],
                               .innovation_var = column[5],
                               .filtered_slope = column[6],
                               .filtered_slope_var = column[7],
                               .smoothed_slope = column[8],
                               .smoothed_slope_var = column[9]};
    gw_stats_state_fit fit;
    gw_stats_status status = settle_model(desk, v[0], v[1], &model, &at);
    if (!status)
        status = gw_stats_state(n, v[0], v[1], &model, gw_desk_memory(desk, gw_stats_state_work(n)), &s, &fit, &at);
    if (status) return gw_desk_refused(desk, status, at, 2, columns_ty);
    printf("t,y,filtered_level,filtered_level_var,smoothed_level,smoothed_level_var,innovation,innovation_var,%s"
           "var_obs,var_level%s,loglik_diffuse\n",
           trend ? "filtered_slope,filtered_slope_var,smoothed_slope,smoothed_slope_var," : "",
           trend ? ",var_slope" : "");
    for (size_t i = 0; i < n; i++) {
        gw_desk_print(v[0][i], false);
        gw_desk_print(v[1][i], false);
        for (size_t c = 0; c < (trend ? 10u : 6u); c++) gw_desk_print(column[c][i], false);
        gw_desk_print(model.var_obs, false);
        gw_desk_print(model.var_level, false);
        if (trend) gw_desk_print(model.var_slope, false);
        gw_desk_print(fit.loglik, true);
    }
    return GW_EXIT_DONE;
}

static int run_local_level(gw_desk *desk)
{
    return run_state(desk, GW_STATS_LOCAL_LEVEL);
}

static int run_local_trend(gw_desk *desk)
{
    return run_state(desk, isnan(desk->option[GW_OPT_DISCRETE]) ? GW_STATS_LOCAL_TREND : GW_STATS_DISCRETE_TREND);
}

/* ---- growth curves -------------------------------------------------------------------------------------------- */

static int run_curve(gw_desk *desk, gw_stats_curve curve)
{
    double *v[2];
    size_t at = 0, p = gw_stats_curve_coefs(curve);
    if (desk->n_start && desk->n_start != p) {
        gw_cli_say("stats", "%s: --start has %zu numbers, expected %zu", desk->name, desk->n_start, p);
        return GW_EXIT_INPUT;
    }
    static const gw_desk_column columns[] = {
        {"x", GW_COLUMN_DROP, ANY_LOW, ANY_HIGH, NUMBER_OR_EMPTY},
        {"y", GW_COLUMN_DROP, ANY_LOW, ANY_HIGH, "a number above 0, or a start given with --start"},
    };
    if (!gw_desk_read(desk, 2, columns, v)) return GW_EXIT_INPUT;
    gw_stats_status status = GW_STATS_OK;
    if (!desk->n_start) status = gw_stats_curve_start(curve, desk->n, v[0], v[1], desk->start, &at);
    gw_stats_curve_fit f;
    if (!status) status = gw_stats_curve_fit_from(curve, desk->n, v[0], v[1], desk->start, &f, &at);
    if (status) return gw_desk_refused(desk, status, at, 2, columns);
    puts("term,coef,se,n,rss,sigma,df");
    for (size_t k = 0; k < p; k++) {
        printf("b%zu,", k + 1);
        PRINT_ROW(f.coef[k], f.se[k], (double)desk->n, f.rss, f.sigma, f.df);
    }
    return GW_EXIT_DONE;
}

static int run_gompertz(gw_desk *desk)
{
    return run_curve(desk, isnan(desk->option[GW_OPT_FORM2]) ? GW_STATS_GOMPERTZ_RATE : GW_STATS_GOMPERTZ);
}

static int run_logistic(gw_desk *desk)
{
    return run_curve(desk, isnan(desk->option[GW_OPT_FORM2]) ? GW_STATS_LOGISTIC_XMID : GW_STATS_LOGISTIC);
}

/* ---- counts --------------------------------------------------------------------------------------------------- */

#define COUNT_EXPECTED "a whole number from 0 to 1000000000"
#define COUNT_COLUMN(name)                                                                                             \
    {                                                                                                                  \
        name, GW_COLUMN_WHOLE, 0, 1e9, COUNT_EXPECTED                                                                  \
    }

/* A row that a test refuses, told in words. */
static int row_refused(gw_desk *desk, size_t i, const char *words)
{
    gw_sheet_fault(&desk->sheet, desk->sheet.rows[desk->row[i]].line, NULL, "%s", words);
    return GW_EXIT_INPUT;
}

static int run_fisher(gw_desk *desk)
{
    static const gw_desk_column columns[] = {COUNT_COLUMN("a"), COUNT_COLUMN("b"), COUNT_COLUMN("c"),
                                             COUNT_COLUMN("d")};
    double *v[4];
    if (!gw_desk_read(desk, 4, columns, v)) return GW_EXIT_INPUT;
    gw_stats_fisher_test *t =
        (gw_stats_fisher_test *)(void *)gw_desk_memory(desk, desk->n * sizeof *t / sizeof(double));
    for (size_t i = 0; i < desk->n; i++) {
        gw_stats_status status = gw_stats_fisher((uint32_t)v[0][i], (uint32_t)v[1][i], (uint32_t)v[2][i],
                                                 (uint32_t)v[3][i], option_or(desk, GW_OPT_CONFIDENCE, 0.95), &t[i]);
        if (status) return row_refused(desk, i, "the table adds up to nothing or too much, expected 1 to 1000000000");
    }
    puts("a,b,c,d,p_two_sided,p_greater,p_less,odds_ratio_conditional,low,high,odds_ratio_sample");
    for (size_t i = 0; i < desk->n; i++)
        PRINT_ROW(v[0][i], v[1][i], v[2][i], v[3][i], t[i].p_two_sided, t[i].p_greater, t[i].p_less, t[i].odds_ratio,
                  t[i].low, t[i].high, t[i].odds_ratio_sample);
    return GW_EXIT_DONE;
}

#define TEST_NAMES "p_two_sided,p_greater,p_less,p_greater_mid,low,high,lower_one_sided,upper_one_sided"
#define TEST_VALUES(t)                                                                                                 \
    (t).p_two_sided, (t).p_greater, (t).p_less, (t).p_greater_mid, (t).low, (t).high, (t).lower, (t).upper

static gw_stats_count_test *room_for_tests(gw_desk *desk)
{
    return (gw_stats_count_test *)(void *)gw_desk_memory(desk, desk->n * sizeof(gw_stats_count_test) / sizeof(double));
}

static int run_binomial(gw_desk *desk)
{
    static const gw_desk_column columns[] = {COUNT_COLUMN("x"),
                                             {"n", GW_COLUMN_WHOLE, 1, 1e9, "a whole number from 1 to 1000000000"},
                                             {"p", 0, 0, 1, "a probability from 0 to 1"}};
    double *v[3];
    if (!gw_desk_read(desk, 3, columns, v)) return GW_EXIT_INPUT;
    gw_stats_count_test *t = room_for_tests(desk);
    for (size_t i = 0; i < desk->n; i++) {
        gw_stats_status status = gw_stats_binomial((uint32_t)v[0][i], (uint32_t)v[1][i], v[2][i],
                                                   option_or(desk, GW_OPT_CONFIDENCE, 0.95), &t[i]);
        if (status) return row_refused(desk, i, "x is greater than n, expected at most n findings in n looks");
    }
    puts("x,n,p,estimate," TEST_NAMES);
    for (size_t i = 0; i < desk->n; i++) PRINT_ROW(v[0][i], v[1][i], v[2][i], t[i].estimate, TEST_VALUES(t[i]));
    return GW_EXIT_DONE;
}

#define EXPOSURE_COLUMN(name)                                                                                          \
    {                                                                                                                  \
        name, GW_COLUMN_ABOVE, 0, 1e300, "a number above 0"                                                            \
    }

static int poisson_two(gw_desk *desk)
{
    static const gw_desk_column columns[] = {COUNT_COLUMN("x1"), EXPOSURE_COLUMN("exposure1"), COUNT_COLUMN("x2"),
                                             EXPOSURE_COLUMN("exposure2")};
    double *v[4];
    if (!gw_desk_read(desk, 4, columns, v)) return GW_EXIT_INPUT;
    gw_stats_count_test *t = room_for_tests(desk);
    for (size_t i = 0; i < desk->n; i++) {
        gw_stats_status status = gw_stats_poisson_two((uint32_t)v[0][i], v[1][i], (uint32_t)v[2][i], v[3][i],
                                                      option_or(desk, GW_OPT_CONFIDENCE, 0.95), &t[i]);
        if (status) return row_refused(desk, i, "x1 and x2 are both 0, expected at least one event");
    }
    puts("x1,exposure1,x2,exposure2,ratio," TEST_NAMES);
    for (size_t i = 0; i < desk->n; i++)
        PRINT_ROW(v[0][i], v[1][i], v[2][i], v[3][i], t[i].estimate, TEST_VALUES(t[i]));
    return GW_EXIT_DONE;
}

static int run_poisson(gw_desk *desk)
{
    static const gw_desk_column columns[] = {COUNT_COLUMN("x"), EXPOSURE_COLUMN("exposure"), EXPOSURE_COLUMN("rate")};
    if (gw_sheet_column(&desk->sheet, "x1") >= 0) return poisson_two(desk);
    double *v[3];
    if (!gw_desk_read(desk, 3, columns, v)) return GW_EXIT_INPUT;
    gw_stats_count_test *t = room_for_tests(desk);
    for (size_t i = 0; i < desk->n; i++) {
        gw_stats_status status =
            gw_stats_poisson((uint32_t)v[0][i], v[1][i], v[2][i], option_or(desk, GW_OPT_CONFIDENCE, 0.95), &t[i]);
        if (status) return row_refused(desk, i, "exposure times rate is above 1000000000, expected at most that");
    }
    puts("x,exposure,rate,estimate," TEST_NAMES);
    for (size_t i = 0; i < desk->n; i++) PRINT_ROW(v[0][i], v[1][i], v[2][i], t[i].estimate, TEST_VALUES(t[i]));
    return GW_EXIT_DONE;
}

static int run_benjamini_hochberg(gw_desk *desk)
{
    static const gw_desk_column column = {"p", 0, 0, 1, "a p-value from 0 to 1"};
    static const gw_stats_adjustment methods[] = {GW_STATS_BENJAMINI_HOCHBERG, GW_STATS_BENJAMINI_YEKUTIELI,
                                                  GW_STATS_HOLM};
    double *p, *adjusted[3];
    size_t at = 0;
    if (!gw_desk_read(desk, 1, &column, &p)) return GW_EXIT_INPUT;
    size_t *order = (size_t *)(void *)gw_desk_memory(desk, desk->n);
    for (size_t k = 0; k < 3; k++) {
        adjusted[k] = gw_desk_memory(desk, desk->n);
        gw_stats_status status = gw_stats_adjust(desk->n, p, methods[k], order, adjusted[k], &at);
        if (status) return gw_desk_refused(desk, status, at, 1, &column);
    }
    puts("p,adjusted,adjusted_by,adjusted_holm");
    for (size_t i = 0; i < desk->n; i++) PRINT_ROW(p[i], adjusted[0][i], adjusted[1][i], adjusted[2][i]);
    return GW_EXIT_DONE;
}

/* ---- agreement, centiles -------------------------------------------------------------------------------------- */

static int run_agreement(gw_desk *desk)
{
    static const gw_desk_column columns[] = {{"a", GW_COLUMN_DROP, ANY_LOW, ANY_HIGH, NUMBER_OR_EMPTY},
                                             {"b", GW_COLUMN_DROP, ANY_LOW, ANY_HIGH, NUMBER_OR_EMPTY}};
    double *v[2];
    size_t at = 0;
    if (!gw_desk_read(desk, 2, columns, v)) return GW_EXIT_INPUT;
    gw_stats_agreement_of g;
    gw_stats_status status = gw_stats_agreement(desk->n, v[0], v[1], &g, &at);
    if (status) return gw_desk_refused(desk, status, at, 2, columns);
    puts("n,bias,sd,bias_low95,bias_high95,bias_p,loa_low,loa_high,loa_low_2sd,loa_high_2sd,se_loa_1986,se_loa_1999,"
         "loa_low_low95,loa_low_high95,loa_high_low95,loa_high_high95,repeatability_rms");
    PRINT_ROW((double)desk->n, g.bias, g.sd, g.bias_low, g.bias_high, g.bias_p, g.low, g.high, g.low_2sd, g.high_2sd,
              g.se_1986, g.se_1999, g.low_low, g.low_high, g.high_low, g.high_high, g.repeatability);
    return GW_EXIT_DONE;
}

static int lms_of_readings(gw_desk *desk)
{
    static const gw_desk_column column = {"y", GW_COLUMN_DROP | GW_COLUMN_ABOVE, 0, ANY_HIGH, "a number above 0"};
    static const double centiles[] = {0.05, 0.1, 0.25, 0.5, 0.75, 0.9, 0.95};
    double *y;
    size_t at = 0;
    if (!gw_desk_read(desk, 1, &column, &y)) return GW_EXIT_INPUT;
    gw_stats_lms f;
    double *work = gw_desk_memory(desk, gw_stats_lms_work(desk->n));
    gw_stats_status status = gw_stats_lms_fit(desk->n, y, work, &f, &at);
    if (status) return gw_desk_refused(desk, status, at, 1, &column);
    puts("n,L,M,S,loglik,c5,c10,c25,c50,c75,c90,c95");
    PRINT_ROW((double)desk->n, f.L, f.M, f.S, f.loglik, gw_stats_lms_value(f.L, f.M, f.S, centiles[0]),
              gw_stats_lms_value(f.L, f.M, f.S, centiles[1]), gw_stats_lms_value(f.L, f.M, f.S, centiles[2]),
              gw_stats_lms_value(f.L, f.M, f.S, centiles[3]), gw_stats_lms_value(f.L, f.M, f.S, centiles[4]),
              gw_stats_lms_value(f.L, f.M, f.S, centiles[5]), gw_stats_lms_value(f.L, f.M, f.S, centiles[6]));
    return GW_EXIT_DONE;
}

static int run_lms(gw_desk *desk)
{
    static const gw_desk_column columns[] = {
        {"L", 0, -1e6, 1e6, "a number"},
        {"M", GW_COLUMN_ABOVE, 0, ANY_HIGH, "a number above 0"},
        {"S", GW_COLUMN_ABOVE, 0, ANY_HIGH, "a number above 0"},
        {"x", GW_COLUMN_OPTIONAL | GW_COLUMN_GAPS | GW_COLUMN_ABOVE, 0, ANY_HIGH, "a number above 0, or nothing"},
        {"p", GW_COLUMN_OPTIONAL | GW_COLUMN_GAPS | GW_COLUMN_ABOVE | GW_COLUMN_BELOW, 0, 1,
         "a probability above 0 and below 1, or nothing"},
    };
    if (gw_sheet_column(&desk->sheet, "y") >= 0) return lms_of_readings(desk);
    double *v[5];
    if (!gw_desk_read(desk, 5, columns, v)) return GW_EXIT_INPUT;
    puts("L,M,S,x,z,centile,p,value_at_p");
    for (size_t i = 0; i < desk->n; i++) {
        double L = v[0][i], M = v[1][i], S = v[2][i], x = v[3] ? v[3][i] : NAN, p = v[4] ? v[4][i] : NAN;
        double z = gw_stats_lms_z(L, M, S, x);
        PRINT_ROW(L, M, S, x, z, 100 * gw_stats_normal(z), p, gw_stats_lms_value(L, M, S, p));
    }
    return GW_EXIT_DONE;
}

/* ---- the list ------------------------------------------------------------------------------------------------- */

/* The first line of a help text is what the list of methods shows. "[m]": from memory, not looked up. */
const gw_desk_method gw_desk_methods[] = {
    {"theil-sen", GW_DESK_BIT(GW_OPT_CONFIDENCE), run_theil_sen,
     "median slope through readings, with its range\n\n"
     "Columns  x, y: numbers in any order; a row with an empty field is left out\n"
     "Options  --confidence C  of the range, usual 0.95\n"
     "Prints   one row: n, n_slopes, slope, intercept_separate = median(y) - slope median(x), intercept_joint =\n"
     "         median(y - slope x), sigma_s, low and high (whole ranks), low_interp and high_interp (between ranks)\n"
     "Method   median of the slopes over all pairs with different x; range from the standard deviation of Kendall's S\n"
     "         with ties, ranks rounded half to even\n"
     "Source   P. K. Sen, J. Amer. Statist. Assoc. 63 (1968) 1379-1389; R. O. Gilbert, Statistical Methods for\n"
     "         Environmental Pollution Monitoring (1987) [m]; checked by the cases theil_sen\n"},
    {"mann-kendall", 0, run_mann_kendall,
     "test of a trend that need not be a straight line\n\n"
     "Columns  x, y: numbers in any order; a row with an empty field is left out\n"
     "Prints   one row: n, S, var_S (corrected for ties), tau_b, z and two-sided p without and with continuity\n"
     "         correction, p_exact (empty with ties or from 50 rows on)\n"
     "Method   S = sum of sign(dx) sign(dy) over all pairs\n"
     "Source   H. B. Mann, Econometrica 13 (1945) 245-259; M. G. Kendall, Rank Correlation Methods (1970) [m];\n"
     "         checked by the cases mann_kendall\n"},
    {"ewma",
     GW_DESK_BIT(GW_OPT_LAMBDA) | GW_DESK_BIT(GW_OPT_TARGET) | GW_DESK_BIT(GW_OPT_SIGMA) | GW_DESK_BIT(GW_OPT_WIDTH),
     run_ewma,
     "exponentially weighted moving average, with control limits\n\n"
     "Columns  y: numbers, none missing; or t, y: readings at irregular times, y may be empty\n"
     "Options  --target T  the level it starts from, needed; --lambda W  weight of the newest reading, usual 0.2 (with "
     "t:\n"
     "         per unit of t); --sigma S  standard deviation of a reading, needed without t; --width L  of the "
     "limits,\n"
     "         usual 3\n"
     "Prints   a row for each reading: z, limits that widen with the readings and steady ones, 1 where z is strictly\n"
     "         outside; with t: z and var_factor, its variance over that of a reading\n"
     "Method   z = lambda y + (1 - lambda) z; limits target -+ L sigma sqrt(lambda / (2 - lambda) (1 - (1 -\n"
     "         lambda)^(2 t))). With t a reading counts 1 - (1 - lambda)^gap (this project's own definition)\n"
     "Source   S. W. Roberts, Technometrics 1 (1959) 239-250; J. M. Lucas, M. S. Saccucci, Technometrics 32 (1990)\n"
     "         1-12 [m]; checked by the cases ewma and ewma_irregular\n"},
    {"cusum",
     GW_DESK_BIT(GW_OPT_TARGET) | GW_DESK_BIT(GW_OPT_K) | GW_DESK_BIT(GW_OPT_H) | GW_DESK_BIT(GW_OPT_HEADSTART),
     run_cusum,
     "two-sided cumulative sums\n\n"
     "Columns  y: numbers, none missing\n"
     "Options  --target T, --k K  allowance, --h H  decision limit, all needed, in the units of y; --headstart S\n"
     "         both sums start there, usual 0, h / 2 for a fast initial response\n"
     "Prints   a row for each reading: upper, lower, readings since each sum was 0, plain_sum of y - target, 1 where "
     "a\n"
     "         sum is strictly above h\n"
     "Method   upper = max(0, upper + y - target - k), lower = max(0, lower + target - k - y); they go on after a "
     "signal\n"
     "Source   E. S. Page, Biometrika 41 (1954) 100-115; J. M. Lucas, R. B. Crosier, Technometrics 24 (1982) 199-205\n"
     "         [m]; checked by the cases cusum\n"},
    {"local-level", GW_DESK_BIT(GW_OPT_VAR_OBS) | GW_DESK_BIT(GW_OPT_VAR_LEVEL), run_local_level,
     "a level that wanders: filter and smoother, with gaps\n\n"
     "Columns  t: times, not falling; y: readings, empty where not taken\n"
     "Options  --var-obs V  variance of a reading, --var-level V  of the level's steps per unit of t; without them "
     "both\n"
     "         are estimated by maximum likelihood\n"
     "Prints   a row for each time: filtered and smoothed level with variance, innovation with variance; the "
     "variances\n"
     "         used and the diffuse log-likelihood in every row\n"
     "Method   Kalman filter with an exactly diffuse start, fixed-interval smoother; the likelihood leaves out the\n"
     "         diffuse terms' log 2 pi\n"
     "Source   J. Durbin, S. J. Koopman, Time Series Analysis by State Space Methods (2001); P. de Jong, Ann. "
     "Statist.\n"
     "         19 (1991) 1073-1083 [m]; checked by the cases state_space and state_space_mle\n"},
    {"local-trend",
     GW_DESK_BIT(GW_OPT_VAR_OBS) | GW_DESK_BIT(GW_OPT_VAR_LEVEL) | GW_DESK_BIT(GW_OPT_VAR_SLOPE) |
         GW_DESK_BIT(GW_OPT_DISCRETE),
     run_local_trend,
     "a level with a slope that wanders: filter and smoother, with gaps\n\n"
     "Columns  t: times, not falling; y: readings, empty where not taken\n"
     "Options  --var-obs V, --var-level V, --var-slope V  variances (those not given 0); without any var_obs and "
     "var_slope\n"
     "         are estimated by maximum likelihood, var_level = 0; --discrete  the textbook form, without covariance\n"
     "         between the steps of level and slope\n"
     "Prints   as local-level, with the slope\n"
     "Method   step over a gap d: [[q1 d + q2 d^3/3, q2 d^2/2], [q2 d^2/2, q2 d]], or [[q1 d, 0], [0, q2 d]]\n"
     "Source   as local-level\n"},
    {"fisher", GW_DESK_BIT(GW_OPT_CONFIDENCE), run_fisher,
     "exact test of 2 x 2 tables\n\n"
     "Columns  a, b, c, d: counts of the table [[a, b], [c, d]], one table a row\n"
     "Options  --confidence C  of the interval, usual 0.95\n"
     "Prints   p_two_sided, p_greater, p_less, odds_ratio_conditional with low and high, odds_ratio_sample = a d / (b "
     "c)\n"
     "Method   two-sided p: sum over all tables no more likely than this one (relative slack 1e-7); conditional "
     "maximum\n"
     "         likelihood and exact interval from the noncentral hypergeometric law\n"
     "Source   R. A. Fisher, Statistical Methods for Research Workers (1934) [m]; checked by the cases fisher\n"},
    {"binomial", GW_DESK_BIT(GW_OPT_CONFIDENCE), run_binomial,
     "exact test of x findings in n looks against a probability\n\n"
     "Columns  x, n, p; one test a row\n"
     "Options  --confidence C  of the bounds, usual 0.95\n"
     "Prints   estimate, p_two_sided, p_greater = P(X >= x), p_less, p_greater_mid, interval low and high, one-sided "
     "bounds\n"
     "Method   two-sided p: sum over all outcomes no more likely than x (relative slack 1e-7); interval of Clopper "
     "and\n"
     "         Pearson\n"
     "Source   C. J. Clopper, E. S. Pearson, Biometrika 26 (1934) 404-413 [m]; checked by the cases binomial\n"},
    {"poisson", GW_DESK_BIT(GW_OPT_CONFIDENCE), run_poisson,
     "exact test of events in an exposure, or of two rates\n\n"
     "Columns  x, exposure, rate; or x1, exposure1, x2, exposure2 to compare two rates; one test a row\n"
     "Options  --confidence C  of the bounds, usual 0.95\n"
     "Prints   estimate of the rate (or ratio of the rates), p_two_sided, p_greater, p_less, p_greater_mid, interval "
     "low\n"
     "         and high, one-sided bounds\n"
     "Method   two-sided p as for the binomial; Garwood's interval; two rates by the binomial test of x1 in x1 + x2\n"
     "Source   F. Garwood, Biometrika 28 (1936) 437-442; J. Przyborowski, H. Wilenski, Biometrika 31 (1940) 313-323 "
     "[m];\n"
     "         checked by the cases poisson_one and poisson_two\n"},
    {"benjamini-hochberg", 0, run_benjamini_hochberg,
     "p-values adjusted for how many looks were taken\n\n"
     "Columns  p: p-values\n"
     "Prints   a row for each, in the order given: adjusted (Benjamini-Hochberg), adjusted_by (Benjamini-Yekutieli),\n"
     "         adjusted_holm; reject where it is at most q\n"
     "Method   running minimum of p n / rank from the largest; with the harmonic sum; running maximum of p (n - rank + "
     "1)\n"
     "Source   Y. Benjamini, Y. Hochberg, J. R. Statist. Soc. B 57 (1995) 289-300; Y. Benjamini, D. Yekutieli, Ann.\n"
     "         Statist. 29 (2001) 1165-1188; S. Holm, Scand. J. Statist. 6 (1979) 65-70 [m]; checked by the cases "
     "bh\n"},
    {"gompertz", GW_DESK_BIT(GW_OPT_FORM2), run_gompertz,
     "Gompertz growth curve by least squares\n\n"
     "Columns  x: age; y: weight; a row with an empty field is left out\n"
     "Options  --second-form  b1 exp(-b2 b3^x) instead of b1 exp(-exp(-b2 (x - b3))); --start B1,B2,B3  where to "
     "begin\n"
     "Prints   a row for each coefficient: coef, se, and in every row n, rss, sigma, df\n"
     "Method   Levenberg-Marquardt from a scan of the asymptote; se from (J'J)^-1 rss / (n - 3)\n"
     "Source   D. W. Marquardt, J. SIAM 11 (1963) 431-441 [m]; checked by the cases growth_nls\n"},
    {"logistic", GW_DESK_BIT(GW_OPT_FORM2), run_logistic,
     "logistic growth curve by least squares\n\n"
     "Columns  x: age; y: weight; a row with an empty field is left out\n"
     "Options  --second-form  b1 / (1 + exp(b2 - b3 x)) instead of b1 / (1 + exp((b2 - x) / b3)); --start B1,B2,B3\n"
     "Prints   a row for each coefficient: coef, se, and in every row n, rss, sigma, df\n"
     "Method   Levenberg-Marquardt from a scan of the asymptote; se from (J'J)^-1 rss / (n - 3)\n"
     "Source   D. W. Marquardt, J. SIAM 11 (1963) 431-441 [m]; checked by the cases growth_nls, NIST's Rat42 among "
     "them\n"},
    {"linear", GW_DESK_BIT(GW_OPT_CONFIDENCE) | GW_DESK_BIT(GW_OPT_NO_INTERCEPT), run_linear,
     "least squares: a line, a weighted line, or several predictors\n\n"
     "Columns  y and one predictor or more, under any names; or x, y, w for a weighted line (w above 0); a row with "
     "an\n"
     "         empty field is left out\n"
     "Options  --confidence C  of the interval, usual 0.95; --no-intercept\n"
     "Prints   a row for each term: coef, se, t interval, two-sided p, and in every row n, sigma, rss, df, r2; with w\n"
     "         se_known_variance takes w as 1 / variance\n"
     "Method   Householder QR; centred sums for the weighted line\n"
     "Source   G. H. Golub, Numer. Math. 7 (1965) 206-216; N. R. Draper, H. Smith, Applied Regression Analysis (1998)\n"
     "         [m]; checked by the cases ols and wls_line, NIST's Longley, Norris and NoInt1 among them\n"},
    {"agreement", 0, run_agreement,
     "limits of agreement of two scales or two persons\n\n"
     "Columns  a, b: the two readings of one animal; a row with an empty field is left out\n"
     "Prints   one row: n, bias of a - b, sd, 95 % interval and p of the bias, limits of agreement (1.96 sd and 2 "
     "sd),\n"
     "         their standard errors of 1986 and 1999, their 95 % intervals, repeatability_rms\n"
     "Method   bias -+ 1.959963984540054 sd; intervals by t with n - 1 degrees of freedom\n"
     "Source   J. M. Bland, D. G. Altman, Lancet 327 (1986) 307-310; Statist. Meth. Med. Res. 8 (1999) 135-160 [m];\n"
     "         checked by the cases agreement\n"},
    {"lms", 0, run_lms,
     "centiles by L, M and S, or L, M and S of readings\n\n"
     "Columns  L, M, S, and x (reading), p (probability) or both; or y alone: readings to fit\n"
     "Prints   a row for each: z and centile of x, value_at_p; for y one row: n, L, M, S, loglik, centiles 5 to 95\n"
     "Method   z = ((x / M)^L - 1) / (L S), log(x / M) / S at L = 0; fit by maximum likelihood for one group\n"
     "Source   T. J. Cole, P. J. Green, Statist. Med. 11 (1992) 1305-1319 [m]; checked by the cases lms and lms_fit, "
     "CDC's\n"
     "         worked example among them\n"},
    {"median-mad", 0, run_median_mad,
     "robust level and spread of readings\n\n"
     "Columns  y: readings; empty ones are left out\n"
     "Prints   one row: n, median, mad_raw = median |y - median|, mad_normal = mad_raw / 0.674489750196082, "
     "mad_1_4826,\n"
     "         iqr_type7, range, mean, sd (n - 1), autocorr1\n"
     "Method   order statistics; quartiles of type 7\n"
     "Source   F. R. Hampel, J. Amer. Statist. Assoc. 69 (1974) 383-393; R. J. Hyndman, Y. Fan, Amer. Statist. 50 "
     "(1996)\n"
     "         361-365 [m]; checked by the cases robust_level and summary\n"},
};
const size_t gw_desk_n_methods = sizeof gw_desk_methods / sizeof gw_desk_methods[0];
