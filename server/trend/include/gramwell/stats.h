/**
 * General statistics for short series of weights and small counts: pure functions on the caller's arrays.
 *
 * Shapes   y[n] is a vector, X[n][p] a matrix stored row after row. Positions are zero-based.
 * Units    whatever the caller's are; times and x share one unit, and rates are per that unit.
 * Missing  only where a function says so a reading may be NAN, meaning that it was not taken. Everywhere else NAN is
 *          refused: leave such readings out first.
 * Memory   nothing is allocated and nothing is kept. A function that needs scratch space takes `work`; the function
 *          named ..._work tells how many doubles (0: too many to address). No global, no locale. Safe from any thread.
 * Errors   a call that does not return GW_STATS_OK has written nothing but work and *at, the position of the refused
 *          value. *at is written for GW_STATS_VALUE and GW_STATS_ORDER only. Every `at` may be NULL.
 * Checks   every function is compared with values made by R and by Python (most of them in 40 digits) and with
 *          published ones: tests/reference, whose case files hold data, source and tolerance. "Cases a, b" below names
 *          the methods as they stand there. Refusals: tests/unit/trend/stats. Sources marked [m] are from memory.
 */
#ifndef GRAMWELL_STATS_H
#define GRAMWELL_STATS_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#if defined(__GNUC__)
#define GW_STATS_API  __attribute__((visibility("default")))
#define GW_STATS_MUST __attribute__((visibility("default"), warn_unused_result))
#else
#define GW_STATS_API
#define GW_STATS_MUST
#endif

#ifdef __cplusplus
extern "C" {
#endif

typedef enum {
    GW_STATS_OK = 0,
    GW_STATS_TOO_FEW,  /* fewer values than the method needs */
    GW_STATS_VALUE,    /* a value is not finite, or outside what the method takes: *at says which */
    GW_STATS_ORDER,    /* a time is earlier than the one before it: *at says which */
    GW_STATS_OPTION,   /* an option is outside its range */
    GW_STATS_CONSTANT, /* no spread to work with, or columns that depend on each other */
    GW_STATS_NO_END,   /* the iteration did not settle */
} gw_stats_status;

/** One line of English, lower case, without a full stop. Never NULL. */
GW_STATS_API const char *gw_stats_status_text(gw_stats_status status);

/* ------------------------------------------------------------------------------------------- special functions
 * Relative error at most 1e-11 (inverses 1e-10) for the shapes of the cases, 0.05 to 1,700. NAN outside the domain.
 * Cases special. M. Abramowitz, I. A. Stegun, Handbook of Mathematical Functions (1964), chapters 6 and 26 [m];
 * incomplete functions by series and continued fraction, their leading factor by C. Loader, Fast and accurate
 * computation of binomial probabilities (2000) [m]; inverses by guarded Newton steps on the logarithm of the tail. */

/** log of the gamma function, x > 0. */
GW_STATS_API double gw_stats_lgamma(double x);
/** Derivative of gw_stats_lgamma, x > 0. Close to its zero at 1.4616 the error is absolute, 1e-15. */
GW_STATS_API double gw_stats_digamma(double x);
/** Regularised lower incomplete gamma function P(a, x), a from above 0 to 1e9, x >= 0. */
GW_STATS_API double gw_stats_gamma_p(double a, double x);
/** Upper tail Q(a, x) = 1 - P(a, x), without the cancellation. */
GW_STATS_API double gw_stats_gamma_q(double a, double x);
/** The x with P(a, x) = p, 0 <= p <= 1 (p = 1: infinity). */
GW_STATS_API double gw_stats_gamma_p_inv(double a, double p);
/** Regularised incomplete beta function I_x(a, b), a, b > 0 and at most 1e9, 0 <= x <= 1. */
GW_STATS_API double gw_stats_beta_i(double a, double b, double x);
/** The x with I_x(a, b) = p, 0 <= p <= 1. */
GW_STATS_API double gw_stats_beta_i_inv(double a, double b, double p);
/** 2 / sqrt(pi) times the integral of exp(-t^2) from x to infinity. */
GW_STATS_API double gw_stats_erfc(double x);
/** P(Z <= x) and P(Z >= x) for a standard normal Z; each is exact in its own small tail. */
GW_STATS_API double gw_stats_normal(double x);
GW_STATS_API double gw_stats_normal_upper(double x);
/** The z with P(Z <= z) = p, 0 <= p <= 1 (0 and 1: infinities). */
GW_STATS_API double gw_stats_normal_quantile(double p);
/** P(T <= x) for Student's t with df > 0 degrees of freedom. */
GW_STATS_API double gw_stats_t(double x, double df);
/** The t with P(T <= t) = p. */
GW_STATS_API double gw_stats_t_quantile(double p, double df);
/** P(X >= x) for chi-square with df > 0 degrees of freedom. */
GW_STATS_API double gw_stats_chisq_upper(double x, double df);

/* ------------------------------------------------------------------------------------------- one set of readings */

typedef struct {
    double mean;
    double sd;        /* divides by n - 1 */
    double autocorr1; /* sum of d[t] d[t-1] over sum of d^2, d the deviations from the mean; NAN when all are equal */
} gw_stats_moments;

/**
 * Mean, standard deviation, lag-1 autocorrelation, by a compensated sum and a second pass over the deviations.
 *
 * @param n   at least 2
 * @param y   [n] finite
 *
 * Definitions: NIST Statistical Reference Datasets, univariate summary statistics. Cases summary.
 */
GW_STATS_MUST gw_stats_status gw_stats_summary(size_t n, const double y[], gw_stats_moments *out, size_t *at);

typedef struct {
    double median;
    double mad;        /* median of |y - median| */
    double mad_normal; /* mad / 0.674489750196082: the standard deviation it stands for under a normal law */
    double mad_1_4826; /* mad * 1.4826, R's rounded constant, for comparison with it */
    double iqr;        /* between the quartiles of type 7 */
    double range;
} gw_stats_level_of;

/**
 * Robust level and spread.
 *
 * @param n     at least 1
 * @param y     [n] finite
 * @param work  [n]
 *
 * F. R. Hampel, J. Amer. Statist. Assoc. 69 (1974) 383-393 [m]. Cases robust_level; tests/reference/per_animal.csv.
 */
GW_STATS_MUST gw_stats_status gw_stats_level(size_t n, const double y[], double work[], gw_stats_level_of *out,
                                             size_t *at);

/** Which sample quantile, by the numbers of Hyndman and Fan. 8 is the least biased on samples of 15 to 20 animals. */
typedef enum { GW_STATS_TYPE_6 = 6, GW_STATS_TYPE_7 = 7, GW_STATS_TYPE_8 = 8 } gw_stats_quantile_type;

/**
 * Sample quantiles.
 *
 * @param n      at least 1
 * @param y      [n] finite
 * @param n_p    how many quantiles
 * @param p      [n_p] each from 0 to 1; a refused one is reported as n + its position
 * @param work   [n]
 * @param value  [n_p] out; may be p
 *
 * R. J. Hyndman, Y. Fan, Amer. Statist. 50 (1996) 361-365 [m]: 6 Weibull, 7 R and NumPy, 8 median-unbiased.
 * Cases quantile.
 */
GW_STATS_MUST gw_stats_status gw_stats_quantiles(size_t n, const double y[], gw_stats_quantile_type type, size_t n_p,
                                                 const double p[], double work[], double value[], size_t *at);

/* ------------------------------------------------------------------------------------------- lines and regression */

typedef struct {
    size_t n_slopes;
    double slope;                   /* median slope */
    double intercept_separate;      /* median(y) - slope median(x) */
    double intercept_joint;         /* median(y - slope x) */
    double sigma;                   /* standard deviation of Kendall's S that sets the ranks of the range */
    double low, high;               /* range of the slope at whole ranks (Sen; SciPy's rounding) */
    double low_interp, high_interp; /* at interpolated ranks (Gilbert); NAN when a rank falls outside */
} gw_stats_slopes;

/** Doubles of scratch space that the function below needs; 0: too many to address. */
GW_STATS_API size_t gw_stats_theil_sen_work(size_t n);

/**
 * Theil-Sen line: the median of the slopes over all pairs with different x, and its range.
 *
 * @param n           at least 2, not all x equal
 * @param x, y        [n] finite, in any order
 * @param confidence  of the range, above 0 and below 1; usual 0.95
 * @param work        [gw_stats_theil_sen_work(n)]
 * @param at          position in x, or n + position in y
 *
 * P. K. Sen, J. Amer. Statist. Assoc. 63 (1968) 1379-1389; R. O. Gilbert, Statistical Methods for Environmental
 * Pollution Monitoring (1987) 217-219 [m]. Cases theil_sen; per_animal.csv.
 */
GW_STATS_MUST gw_stats_status gw_stats_theil_sen(size_t n, const double x[], const double y[], double confidence,
                                                 double work[], gw_stats_slopes *out, size_t *at);

typedef struct {
    double s;                          /* pairs that rise minus pairs that fall */
    double var_s;                      /* with the correction for ties in x and in y */
    double tau_b;                      /* NAN when all x or all y are equal */
    double z, p;                       /* s / sqrt(var_s), two-sided normal p; NAN when var_s is 0 */
    double z_continuity, p_continuity; /* the same with s moved by 1 towards 0 */
    double p_exact;                    /* two-sided, from all orders; NAN with ties or from 50 readings on */
} gw_stats_trend;

/** Doubles of scratch space that the function below needs; 0: too many to address. */
GW_STATS_API size_t gw_stats_mann_kendall_work(size_t n);

/**
 * Mann-Kendall test of a monotone trend of y against x.
 *
 * @param n     at least 2
 * @param x, y  [n] finite, in any order
 * @param work  [gw_stats_mann_kendall_work(n)]
 * @param at    position in x, or n + position in y
 *
 * H. B. Mann, Econometrica 13 (1945) 245-259; M. G. Kendall, Rank Correlation Methods (1970) [m]. Cases mann_kendall;
 * per_animal.csv.
 */
GW_STATS_MUST gw_stats_status gw_stats_mann_kendall(size_t n, const double x[], const double y[], double work[],
                                                    gw_stats_trend *out, size_t *at);

typedef struct {
    double coef[2];         /* intercept, slope */
    double se[2];           /* with the residual scale estimated */
    double se_known[2];     /* weights taken as 1 / variance */
    double low[2], high[2]; /* t interval, from se */
    double sigma;           /* sqrt(chisq / df); NAN when df is 0, and se, low, high with it */
    double chisq;           /* weighted sum of squared residuals */
    double df;              /* n - 2 */
} gw_stats_line_fit;

/**
 * Straight line by ordinary or weighted least squares: minimises the sum of w (y - a - b x)^2.
 *
 * @param n           at least 2, x not all equal
 * @param x, y        [n] finite
 * @param w           [n] weights, finite and > 0; NULL: all 1
 * @param confidence  of low and high, above 0 and below 1
 * @param at          position in x, n + position in y, or 2 n + position in w
 *
 * N. R. Draper, H. Smith, Applied Regression Analysis (1998) [m], by centred sums. Cases wls_line; per_animal.csv.
 */
GW_STATS_MUST gw_stats_status gw_stats_line(size_t n, const double x[], const double y[], const double w[],
                                            double confidence, gw_stats_line_fit *out, size_t *at);

typedef struct {
    double sigma; /* sqrt(rss / df); NAN when df is 0 */
    double rss;   /* residual sum of squares */
    double df;    /* n - p */
    double r2;    /* about the mean with an intercept, about 0 without */
} gw_stats_fit;

/** Doubles of scratch space that the function below needs; 0: too many to address. */
GW_STATS_API size_t gw_stats_ols_work(size_t n, size_t p);

/**
 * Multiple regression by least squares (Householder QR).
 *
 * @param n, p       rows and columns, 1 <= p <= n
 * @param X          [n][p] finite, linearly independent columns; a constant column is the caller's to add
 * @param y          [n] finite
 * @param intercept  whether a column is constant: only r2 depends on it
 * @param confidence of low and high
 * @param work       [gw_stats_ols_work(n, p)]
 * @param coef       [p] out
 * @param se, low, high, p_value  [p] out, each may be NULL; NAN when df is 0. p_value: two-sided t test of 0
 * @param at         position in X counted row after row, or n p + position in y
 *
 * G. H. Golub, Numer. Math. 7 (1965) 206-216 [m]. Cases ols, with NIST's Longley, Norris and NoInt1.
 */
GW_STATS_MUST gw_stats_status gw_stats_ols(size_t n, size_t p, const double X[], const double y[], bool intercept,
                                           double confidence, double work[], double coef[], double se[], double low[],
                                           double high[], double p_value[], gw_stats_fit *out, size_t *at);

typedef struct {
    double sigma_ols;         /* residual scale of the whole regression */
    double sigma_w;           /* standard deviation of the recursive residuals (n - p - 1) */
    double stat_max_boundary; /* largest |sum / (sigma_w sqrt(n - p))| / (1 + 2 t), t the share of residuals summed */
} gw_stats_cusum_test;

/** Doubles of scratch space that the function below needs; 0: too many to address. */
GW_STATS_API size_t gw_stats_recursive_work(size_t p);

/**
 * Recursive residuals and their cumulative sums: does a regression stay the same over the series?
 *
 * @param n, p     at least p + 2 rows, in order of time; the first p rows must be linearly independent
 * @param X, y     as in gw_stats_ols
 * @param work     [gw_stats_recursive_work(p)]
 * @param residual [n - p] out: recursive residuals w
 * @param cusum_ols, cusum_w  [n - p] out, may be NULL: sums of w over sigma_ols and over sigma_w
 *
 * R. L. Brown, J. Durbin, J. M. Evans, J. R. Statist. Soc. B 37 (1975) 149-192 [m], updated by Givens rotations.
 * Cases recursive_cusum.
 */
GW_STATS_MUST gw_stats_status gw_stats_recursive(size_t n, size_t p, const double X[], const double y[], double work[],
                                                 double residual[], double cusum_ols[], double cusum_w[],
                                                 gw_stats_cusum_test *out, size_t *at);

/** Doubles of scratch space that the function below needs; 0: too many to address. */
GW_STATS_API size_t gw_stats_huber_work(size_t n, size_t p);

/**
 * Robust regression: Huber's M-estimate, scale = median |residual| / 0.674489750196082, worked out anew in each step.
 *
 * @param n, p, X, y, at  as in gw_stats_ols
 * @param k       residuals beyond k scales count less; usual 1.345
 * @param work    [gw_stats_huber_work(n, p)]
 * @param coef    [p] out
 * @param weight  [n] out, may be NULL: 1, or k scale / |residual|
 * @param scale   out
 * @return GW_STATS_CONSTANT when half the residuals are 0
 *
 * P. J. Huber, Robust Statistics (1981) [m], by reweighted least squares from the least-squares start. Cases huber.
 */
GW_STATS_MUST gw_stats_status gw_stats_huber(size_t n, size_t p, const double X[], const double y[], double k,
                                             double work[], double coef[], double weight[], double *scale, size_t *at);

/** Doubles of scratch space that the function below needs; 0: too many to address. */
GW_STATS_API size_t gw_stats_median_polish_work(size_t rows, size_t columns);

/**
 * Tukey's median polish of a two-way table, rows first, until the sum of absolute residuals no longer changes.
 *
 * @param table     [rows][columns] finite, for instance animals by weighing days
 * @param work      [gw_stats_median_polish_work(rows, columns)]
 * @param overall   out: common level
 * @param row       [rows] out: effects with median 0
 * @param column    [columns] out
 * @param residual  [rows][columns] out, may be NULL
 * @param sum       out, may be NULL: sum of absolute residuals
 *
 * J. W. Tukey, Exploratory Data Analysis (1977) [m]. Columns first can give another answer. Cases median_polish.
 */
GW_STATS_MUST gw_stats_status gw_stats_median_polish(size_t rows, size_t columns, const double table[], double work[],
                                                     double *overall, double row[], double column[], double residual[],
                                                     double *sum, size_t *at);

/* ------------------------------------------------------------------------------------------- control charts */

#define GW_STATS_SIGNAL_EXACT  1u /* outside the limits that widen with the number of readings */
#define GW_STATS_SIGNAL_STEADY 2u /* outside the limits that they tend to */

/**
 * Exponentially weighted moving average: z[t] = lambda y[t] + (1 - lambda) z[t-1], from target.
 *
 * @param n       at least 1
 * @param y       [n] finite
 * @param lambda  weight of the newest reading, above 0, at most 1
 * @param target  finite
 * @param sigma   standard deviation of one reading, > 0
 * @param width   of the limits in standard deviations of z, > 0; usual 2.7 to 3
 * @param z       [n] out; may be y
 * @param half    [n] out, may be NULL: half width, limits are target -+ half[t]
 * @param signal  [n] out, may be NULL: GW_STATS_SIGNAL_ bits, set when z is strictly outside
 * @param steady  out, may be NULL: half width that half[t] tends to
 *
 * S. W. Roberts, Technometrics 1 (1959) 239-250; J. M. Lucas, M. S. Saccucci, Technometrics 32 (1990) 1-12 [m].
 * Cases ewma.
 */
GW_STATS_MUST gw_stats_status gw_stats_ewma(size_t n, const double y[], double lambda, double target, double sigma,
                                            double width, double z[], double half[], unsigned char signal[],
                                            double *steady, size_t *at);

/**
 * The same for readings at irregular times: a reading counts 1 - (1 - lambda)^gap, gap the time since the reading
 * before it; the first counts lambda. This weight is this library's own definition, not a published one.
 *
 * @param t           [n] finite, not falling; lambda is per unit of t
 * @param y           [n] finite, or NAN: not taken, z stays
 * @param z           [n] out; may be y
 * @param var_factor  [n] out, may be NULL: variance of z over that of one reading
 * @param at          position in t, or n + position in y
 *
 * Cases ewma_irregular.
 */
GW_STATS_MUST gw_stats_status gw_stats_ewma_irregular(size_t n, const double t[], const double y[], double lambda,
                                                      double target, double z[], double var_factor[], size_t *at);

typedef struct {
    size_t first_upper; /* position of the first sum strictly above h; n: none */
    size_t first_lower;
} gw_stats_cusum_signals;

/**
 * Two-sided cumulative sums in the units of y: upper[t] = max(0, upper[t-1] + y - target - k), lower mirrored.
 *
 * @param n          at least 1
 * @param y          [n] finite
 * @param k          allowance, >= 0
 * @param h          decision limit, > 0
 * @param headstart  both sums start there, >= 0; 0: none; h / 2 is the usual fast initial response
 * @param upper, lower          [n] out
 * @param run_upper, run_lower  [n] out, may be NULL: readings since that sum was last 0
 * @param plain      [n] out, may be NULL: sum of y - target
 * The sums go on after a signal.
 *
 * E. S. Page, Biometrika 41 (1954) 100-115; J. M. Lucas, R. B. Crosier, Technometrics 24 (1982) 199-205 [m].
 * Cases cusum.
 */
GW_STATS_MUST gw_stats_status gw_stats_cusum(size_t n, const double y[], double target, double k, double h,
                                             double headstart, double upper[], double lower[], size_t run_upper[],
                                             size_t run_lower[], double plain[], gw_stats_cusum_signals *out,
                                             size_t *at);

/** Doubles of scratch space that the two functions below need; 0: nodes outside 20 to 400. */
GW_STATS_API size_t gw_stats_arl_work(size_t nodes);

/**
 * Average number of readings until a CUSUM signals, for normal readings with standard deviation 1 about mu (target 0).
 *
 * @param k, h, headstart  as in gw_stats_cusum, in standard deviations; headstart < h
 * @param two_sided  both sums watched
 * @param nodes      of the integration, 20 to 400; 60 gives 1e-12 relative for the charts in use (EWMA
 *                   with lambda from 0.02)
 * @param work       [gw_stats_arl_work(nodes)]
 * @param arl        out
 *
 * D. Brook, D. A. Evans, Biometrika 59 (1972) 539-549 [m], solved by Nystrom's method with Gauss-Legendre nodes.
 * Cases arl_cusum.
 */
GW_STATS_MUST gw_stats_status gw_stats_arl_cusum(double k, double h, double mu, double headstart, bool two_sided,
                                                 size_t nodes, double work[], double *arl);

/**
 * The same for a two-sided EWMA chart started at its target.
 *
 * @param lambda, width  as in gw_stats_ewma, lambda from 0.01 to 1
 * @param varying        limits that widen with the number of readings, instead of the steady ones
 *
 * S. V. Crowder, Technometrics 29 (1987) 401-407 [m], by Nystrom's method. Cases arl_ewma.
 */
GW_STATS_MUST gw_stats_status gw_stats_arl_ewma(double lambda, double width, double mu, bool varying, size_t nodes,
                                                double work[], double *arl);

/* ------------------------------------------------------------------------------------------- local level and trend */

typedef enum {
    GW_STATS_LOCAL_LEVEL,    /* a level that wanders */
    GW_STATS_LOCAL_TREND,    /* a level with a slope that wanders, in continuous time */
    GW_STATS_DISCRETE_TREND, /* the textbook form: no covariance between the steps of level and slope */
} gw_stats_model;

typedef struct {
    gw_stats_model model;
    double var_obs;   /* variance of one reading about the level, > 0 */
    double var_level; /* variance of the level's steps per unit of time, >= 0 */
    double var_slope; /* of the slope's steps, >= 0; not used by the local level */
} gw_stats_state_model;

/** Arrays of [n] to be filled; each may be NULL. The slope's are not touched by the local level. */
typedef struct {
    double *filtered_level, *filtered_level_var; /* knowing the readings up to t; NAN before the start is settled */
    double *filtered_slope, *filtered_slope_var;
    double *smoothed_level, *smoothed_level_var; /* knowing all readings */
    double *smoothed_slope, *smoothed_slope_var;
    double *innovation, *innovation_var; /* reading less its forecast; NAN at gaps and before the start is settled */
} gw_stats_state_series;

typedef struct {
    double loglik;      /* diffuse log-likelihood without the diffuse terms' log 2 pi (KFAS, Durbin and Koopman) */
    double loglik_n2pi; /* with all n terms (statsmodels) */
    size_t n_obs;       /* readings taken */
    size_t n_diffuse;   /* 1 or 2: states that start unknown */
} gw_stats_state_fit;

/** Doubles of scratch space that the function below needs; 0: too many to address. */
GW_STATS_API size_t gw_stats_state_work(size_t n);

/**
 * Kalman filter and smoother of a series with gaps at irregular times, exactly diffuse at the start.
 *
 * A step over a gap d has the covariance var_level d (level), [[var_level d + var_slope d^3 / 3, var_slope d^2 / 2],
 * [var_slope d^2 / 2, var_slope d]] (trend), or [[var_level d, 0], [0, var_slope d]] (discrete trend).
 *
 * @param n       at least 1
 * @param t       [n] finite, not falling; equal times are readings of one moment
 * @param y       [n] finite, or NAN: not taken. At least 1 (level) or 2 at different times (trend) taken
 * @param work    [gw_stats_state_work(n)]
 * @param series  out: arrays to fill, may be NULL
 * @param out     out, may be NULL
 * @param at      position in t, or n + position in y
 *
 * J. Durbin, S. J. Koopman, Time Series Analysis by State Space Methods (2001); P. de Jong, Ann. Statist. 19 (1991)
 * 1073-1083 [m]: augmented filter and fixed-interval smoother, no large prior variance. Cases state_space.
 */
GW_STATS_MUST gw_stats_status gw_stats_state(size_t n, const double t[], const double y[],
                                             const gw_stats_state_model *model, double work[],
                                             const gw_stats_state_series *series, gw_stats_state_fit *out, size_t *at);

typedef struct {
    gw_stats_state_model model; /* with the variances that fit best */
    double ratio;               /* of the signal variance to var_obs; 0: the signal does not move */
    double loglik;              /* as in gw_stats_state_fit, at the maximum */
} gw_stats_state_best;

/**
 * Variances of greatest diffuse likelihood: var_obs and one signal variance (var_level, or var_slope with
 * var_level = 0 for the trends). var_obs is worked out for each ratio; the ratio is found on a grid, then refined.
 *
 * @param n, t, y, at  as in gw_stats_state; at least n_diffuse + 2 readings
 * @return GW_STATS_CONSTANT when the readings lie on the model without any noise
 *
 * Cases state_space_mle.
 */
GW_STATS_MUST gw_stats_status gw_stats_state_fit_variances(size_t n, const double t[], const double y[],
                                                           gw_stats_model model, gw_stats_state_best *out, size_t *at);

/* ------------------------------------------------------------------------------------------- growth curves */

/** b is coef[0..]; x usually an age. */
typedef enum {
    GW_STATS_LOGISTIC,      /* b0 / (1 + exp(b1 - b2 x)) */
    GW_STATS_LOGISTIC_XMID, /* b0 / (1 + exp((b1 - x) / b2)): b1 is where half of b0 is reached */
    GW_STATS_GOMPERTZ,      /* b0 exp(-b1 b2^x) */
    GW_STATS_GOMPERTZ_RATE, /* b0 exp(-exp(-b1 (x - b2))): b2 is where growth is fastest */
    GW_STATS_RICHARDS,      /* b0 / (1 + exp(b1 - b2 x))^(1 / b3) */
    GW_STATS_MONOMOLECULAR, /* b0 (1 - exp(-b1 x)) */
    GW_STATS_EXP2,          /* b0 + b1 2^(-x / b2): an approach with the half-life b2 */
    GW_STATS_POWER,         /* b0 x^b1, x > 0 */
} gw_stats_curve;

enum { GW_STATS_CURVE_COEF_MAX = 4 };

typedef struct {
    size_t p;                             /* coefficients of the curve */
    double coef[GW_STATS_CURVE_COEF_MAX]; /* [p] */
    double se[GW_STATS_CURVE_COEF_MAX];   /* [p] from (J'J)^-1 rss / df */
    double rss, sigma, df;
    size_t steps; /* taken */
} gw_stats_curve_fit;

/** How many coefficients a curve has, 0 for a value outside the enum. */
GW_STATS_API size_t gw_stats_curve_coefs(gw_stats_curve curve);
/** The curve at x. */
GW_STATS_API double gw_stats_curve_at(gw_stats_curve curve, const double coef[], double x);

/**
 * A start for gw_stats_curve_fit_from, by a scan of the asymptote (or half-life) and straight lines.
 *
 * @param n     at least one more than coefficients
 * @param x, y  [n] finite; y > 0 but for exp2
 * @param start [coefs] out
 * @param at    position in x, or n + position in y
 */
GW_STATS_MUST gw_stats_status gw_stats_curve_start(gw_stats_curve curve, size_t n, const double x[], const double y[],
                                                   double start[], size_t *at);

/**
 * Least-squares fit of a growth curve by Levenberg-Marquardt.
 *
 * @param n      more than coefficients
 * @param x, y   [n] finite
 * @param start  [coefs] finite, the curve finite there; see gw_stats_curve_start
 * @param at     position in x, or n + position in y
 * @return GW_STATS_NO_END when it does not settle, GW_STATS_CONSTANT when the data do not determine the coefficients
 *
 * D. W. Marquardt, J. SIAM 11 (1963) 431-441 [m]. Cases growth_nls, with NIST's DanWood, Rat42 and Rat43.
 */
GW_STATS_MUST gw_stats_status gw_stats_curve_fit_from(gw_stats_curve curve, size_t n, const double x[],
                                                      const double y[], const double start[], gw_stats_curve_fit *out,
                                                      size_t *at);

/* ------------------------------------------------------------------------------------------- counts
 * Two-sided p: the sum over all outcomes no more likely than the observed one, ties with a relative slack of 1e-7 (as
 * R and SciPy do), not twice a tail. Intervals are exact. Counts go up to 2^32 - 1, 10^9 for sums of them. */

typedef struct {
    double estimate; /* x / n */
    double p_two_sided;
    double p_greater;     /* P(X >= x) */
    double p_less;        /* P(X <= x) */
    double p_greater_mid; /* p_greater less half of P(X = x) */
    double low, high;     /* two-sided interval */
    double lower, upper;  /* one-sided bounds at the same confidence */
} gw_stats_count_test;

/**
 * Exact binomial test of x findings in n looks against probability p.
 *
 * @param n  at least 1;  @param x  at most n;  @param p  0 to 1;  @param confidence  above 0 and below 1
 *
 * C. J. Clopper, E. S. Pearson, Biometrika 26 (1934) 404-413 [m]. Cases binomial.
 */
GW_STATS_MUST gw_stats_status gw_stats_binomial(uint32_t x, uint32_t n, double p, double confidence,
                                                gw_stats_count_test *out);

/**
 * Exact Poisson test of x events in an exposure against a rate. estimate = x / exposure; bounds are of the rate.
 *
 * @param exposure  > 0;  @param rate  > 0
 *
 * F. Garwood, Biometrika 28 (1936) 437-442 [m]. Cases poisson_one.
 */
GW_STATS_MUST gw_stats_status gw_stats_poisson(uint32_t x, double exposure, double rate, double confidence,
                                               gw_stats_count_test *out);

/**
 * Two Poisson rates: the conditional binomial test of x1 in x1 + x2. estimate, low, high are of rate 1 / rate 2
 * (infinite when x2 = 0); p_greater: rate 1 is the greater.
 *
 * @param x1, x2  not both 0;  @param exposure1, exposure2  > 0
 *
 * J. Przyborowski, H. Wilenski, Biometrika 31 (1940) 313-323 [m]. Cases poisson_two.
 */
GW_STATS_MUST gw_stats_status gw_stats_poisson_two(uint32_t x1, double exposure1, uint32_t x2, double exposure2,
                                                   double confidence, gw_stats_count_test *out);

typedef struct {
    double p_two_sided, p_greater, p_less;
    double odds_ratio;        /* conditional maximum likelihood; 0 or infinity at the ends */
    double odds_ratio_sample; /* a d / (b c); NAN for 0 / 0 */
    double low, high;         /* exact interval of the conditional odds ratio */
} gw_stats_fisher_test;

/**
 * Fisher's exact test of the table [[a, b], [c, d]].
 *
 * @param a, b, c, d  sum from 1 to 10^9; p-values below 1e-300 are given as 0
 *
 * R. A. Fisher, Statistical Methods for Research Workers (1934) [m]; interval and odds ratio from the noncentral
 * hypergeometric law. Cases fisher.
 */
GW_STATS_MUST gw_stats_status gw_stats_fisher(uint32_t a, uint32_t b, uint32_t c, uint32_t d, double confidence,
                                              gw_stats_fisher_test *out);

typedef enum { GW_STATS_BENJAMINI_HOCHBERG, GW_STATS_BENJAMINI_YEKUTIELI, GW_STATS_HOLM } gw_stats_adjustment;

/**
 * p-values adjusted for how many looks were taken, in the order given. Reject where adjusted <= q.
 *
 * @param n         at least 1
 * @param p         [n] from 0 to 1
 * @param order     [n] scratch
 * @param adjusted  [n] out; may be p
 *
 * Y. Benjamini, Y. Hochberg, J. R. Statist. Soc. B 57 (1995) 289-300; Y. Benjamini, D. Yekutieli, Ann. Statist. 29
 * (2001) 1165-1188; S. Holm, Scand. J. Statist. 6 (1979) 65-70 [m]. Cases bh.
 */
GW_STATS_MUST gw_stats_status gw_stats_adjust(size_t n, const double p[], gw_stats_adjustment method, size_t order[],
                                              double adjusted[], size_t *at);

typedef struct {
    double expected;         /* at_risk times the rate of all sites together */
    double p_upper, p_lower; /* Poisson P(X >= observed), P(X <= observed) */
    double ratio;            /* observed / expected */
    double low, high;        /* exact interval of the ratio */
} gw_stats_site;

/**
 * Which homes have more findings than the network's rate would give?
 *
 * @param n         at least 1
 * @param observed  [n] counts, not all 0
 * @param at_risk   [n] > 0, for instance checks made
 * @param site      [n] out
 * @param at        position in at_risk
 *
 * N. E. Breslow, N. E. Day, Statistical Methods in Cancer Research 2 (1987) [m]. Cases site_excess.
 */
GW_STATS_MUST gw_stats_status gw_stats_site_excess(size_t n, const uint32_t observed[], const double at_risk[],
                                                   double confidence, gw_stats_site site[], size_t *at);

typedef struct {
    double llr;    /* log-likelihood ratio of the best circle; 0: no circle holds more than expected */
    size_t centre; /* its centre and number of members: the n_members sites nearest to centre */
    size_t n_members;
    double observed, expected;
} gw_stats_cluster;

/**
 * Scan for a cluster: circles around each site, grown site by site (ties in distance by position) while the expected
 * count is at most max_share of the total; Poisson log-likelihood ratio. Its p-value is by simulation, the caller's.
 *
 * @param observed, at_risk  [n] as in gw_stats_site_excess
 * @param x, y       [n] finite: places on a plane
 * @param max_share  above 0, at most 1; usual 0.5
 * @param work       [n];  @param order  [n] scratch; on return the first out->n_members are the cluster's sites
 * @param llr_by_centre  [n] out, may be NULL
 * @param at         position in at_risk, n + position in x, or 2 n + position in y
 *
 * M. Kulldorff, Commun. Statist. Theory Meth. 26 (1997) 1481-1496 [m]. Cases scan.
 */
GW_STATS_MUST gw_stats_status gw_stats_scan(size_t n, const uint32_t observed[], const double at_risk[],
                                            const double x[], const double y[], double max_share, double work[],
                                            size_t order[], double llr_by_centre[], gw_stats_cluster *out, size_t *at);

/** EARS keeps the first results back until nine values are there. */
enum { GW_STATS_EARS_LEAD = 9 };

/**
 * Early aberration in weekly counts: upper bound = mean + z(1 - alpha) sd of seven earlier values; C1 takes the seven
 * just before, C2 the seven before the last two.
 *
 * @param n      at least 10
 * @param y      [n] finite counts
 * @param alpha  above 0 and below 1; usual 0.001
 * @param upper_c1, upper_c2  [n - GW_STATS_EARS_LEAD] out, for y[GW_STATS_EARS_LEAD] and on; above the bound is an
 * alarm
 *
 * L. Hutwagner and others, J. Urban Health 80 (2003) i89-i96 [m]. Cases ears.
 */
GW_STATS_MUST gw_stats_status gw_stats_ears(size_t n, const double y[], double alpha, double upper_c1[],
                                            double upper_c2[], size_t *at);

/* ------------------------------------------------------------------------------------------- agreement, centiles */

typedef struct {
    double bias, sd;            /* of a - b */
    double bias_low, bias_high; /* 95 % t interval */
    double bias_p;              /* two-sided t test of no bias; 0 when the sd is 0 and the bias is not */
    double low, high;           /* limits of agreement, bias -+ 1.959963984540054 sd */
    double low_2sd, high_2sd;   /* bias -+ 2 sd, as in the 1986 paper */
    double se_1986, se_1999;    /* standard error of a limit, as in the 1986 and in the 1999 paper */
    double low_low, low_high;   /* 95 % t interval of the lower limit, by se_1986 */
    double high_low, high_high; /* of the upper limit */
    double repeatability;       /* sqrt of the mean of (a - b)^2 */
} gw_stats_agreement_of;

/**
 * Limits of agreement of two scales, or two persons, on the same animals.
 *
 * @param n     pairs, at least 2
 * @param a, b  [n] finite
 * @param at    position in a, or n + position in b
 *
 * J. M. Bland, D. G. Altman, Lancet 327 (1986) 307-310; Statist. Meth. Med. Res. 8 (1999) 135-160 [m].
 * Cases agreement.
 */
GW_STATS_MUST gw_stats_status gw_stats_agreement(size_t n, const double a[], const double b[],
                                                 gw_stats_agreement_of *out, size_t *at);

/**
 * LMS centiles: z = ((x / M)^L - 1) / (L S), or log(x / M) / S at L = 0, without loss where L is small; and back.
 * The centile of z is 100 gw_stats_normal(z). NAN outside the domain (x, M, S > 0, 0 < p < 1, or no such value).
 *
 * T. J. Cole, P. J. Green, Statist. Med. 11 (1992) 1305-1319 [m]. Cases lms, with CDC's worked example.
 */
GW_STATS_API double gw_stats_lms_z(double L, double M, double S, double x);
GW_STATS_API double gw_stats_lms_value(double L, double M, double S, double p);

typedef struct {
    double L, M, S;
    double loglik;
} gw_stats_lms;

/** Doubles of scratch space that the function below needs; 0: too many to address. */
GW_STATS_API size_t gw_stats_lms_work(size_t n);

/**
 * L, M, S of one group by maximum likelihood (no penalty, no truncation), by the profile over L.
 *
 * @param n     at least 3
 * @param y     [n] finite and > 0, not all equal
 * @param work  [gw_stats_lms_work(n)]
 * @return GW_STATS_NO_END when the best L is not within -30 to 30
 *
 * G. E. P. Box, D. R. Cox, J. R. Statist. Soc. B 26 (1964) 211-252 [m]: the same law in other parameters. Cases
 * lms_fit.
 */
GW_STATS_MUST gw_stats_status gw_stats_lms_fit(size_t n, const double y[], double work[], gw_stats_lms *out,
                                               size_t *at);

#ifdef __cplusplus
}
#endif

#endif
