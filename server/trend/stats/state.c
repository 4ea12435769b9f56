/*
 * Local level and local trend: Kalman filter and smoother with an exactly diffuse start.
 *
 * The state at the first time is an unknown delta. The filter runs for delta = 0 (a, P) and carries along how state and
 * innovation depend on delta (A, V); S and s collect what the innovations say about it, so that delta and its variance
 * follow at any point by generalised least squares. No large number stands for "unknown".
 */
#include "stats_internal.h"

/* Everything about one time that the smoother needs, as forecast before its reading. */
typedef struct {
    double a[2];    /* state for delta = 0 */
    double A[2][2]; /* how it depends on delta */
    double P[3];    /* variance for known delta: level, covariance, slope */
    double v, V[2]; /* innovation and how it depends on delta */
    double F;       /* its variance; NAN: no reading */
} moment;

enum { MOMENT_DOUBLES = sizeof(moment) / sizeof(double) };

/* What the innovations said so far about delta. */
typedef struct {
    int m; /* states */
    double S[3], s[2];
    double q;     /* sum of v^2 / F */
    double log_F; /* sum of log F */
    size_t n_obs;
} knowledge;

/* Estimate of delta, its variance, and the log determinant of S. */
typedef struct {
    double delta[2], var[3], log_det, explained;
} start_estimate;

size_t gw_stats_state_work(size_t n)
{
    return n > SIZE_MAX / sizeof(moment) ? 0 : n * MOMENT_DOUBLES;
}

static bool estimate_start(const knowledge *k, start_estimate *e)
{
    double a = k->S[0], b = k->S[1], c = k->S[2];
    *e = (start_estimate){{0, 0}, {0, 0, 0}, 0, 0};
    if (k->m == 1) {
        if (!(a > 0)) return false;
        e->var[0] = 1 / a;
        e->log_det = log(a);
    } else {
        double det = a * c - b * b;
        if (!(det > 1e-14 * a * c)) return false;
        e->var[0] = c / det;
        e->var[1] = -b / det;
        e->var[2] = a / det;
        e->log_det = log(det);
    }
    e->delta[0] = -(e->var[0] * k->s[0] + e->var[1] * k->s[1]);
    e->delta[1] = -(e->var[1] * k->s[0] + e->var[2] * k->s[1]);
    e->explained = -(e->delta[0] * k->s[0] + e->delta[1] * k->s[1]);
    return true;
}

/* u' var u */
static double spread(const double u[2], const double var[3])
{
    return u[0] * u[0] * var[0] + 2 * u[0] * u[1] * var[1] + u[1] * u[1] * var[2];
}

/* The gap to the next time moves the state and widens its variance. */
static void forecast(const gw_stats_state_model *model, double gap, moment *x)
{
    if (model->model == GW_STATS_LOCAL_LEVEL) {
        x->P[0] += model->var_level * gap;
        return;
    }
    x->a[0] += gap * x->a[1];
    for (int j = 0; j < 2; j++) x->A[0][j] += gap * x->A[1][j];
    x->P[0] += 2 * gap * x->P[1] + gap * gap * x->P[2] + model->var_level * gap;
    x->P[1] += gap * x->P[2];
    x->P[2] += model->var_slope * gap;
    if (model->model == GW_STATS_LOCAL_TREND) {
        x->P[0] += model->var_slope * gap * gap * gap / 3;
        x->P[1] += model->var_slope * gap * gap / 2;
    }
}

/* Take in a reading: fills v, V, F, and updates the state. */
static void take_in(double y, double var_obs, moment *x, moment *after, knowledge *k)
{
    x->v = y - x->a[0];
    x->F = x->P[0] + var_obs;
    for (int j = 0; j < 2; j++) x->V[j] = -x->A[0][j];
    k->q += x->v * x->v / x->F;
    k->log_F += log(x->F);
    k->S[0] += x->V[0] * x->V[0] / x->F;
    k->S[1] += x->V[0] * x->V[1] / x->F;
    k->S[2] += x->V[1] * x->V[1] / x->F;
    for (int j = 0; j < 2; j++) k->s[j] += x->V[j] * x->v / x->F;
    k->n_obs++;
    double gain[2] = {x->P[0] / x->F, x->P[1] / x->F};
    *after = *x;
    for (int i = 0; i < 2; i++) {
        after->a[i] += gain[i] * x->v;
        for (int j = 0; j < 2; j++) after->A[i][j] += gain[i] * x->V[j];
    }
    after->P[0] = x->P[0] * var_obs / x->F;
    after->P[1] = x->P[1] * var_obs / x->F;
    after->P[2] -= gain[1] * x->P[1];
}

static void put(double *array, size_t i, double value)
{
    if (array) array[i] = value;
}

static void put_filtered(const gw_stats_state_series *out, size_t i, const moment *x, const knowledge *k)
{
    start_estimate e;
    bool settled = estimate_start(k, &e);
    put(out->filtered_level, i, settled ? x->a[0] + x->A[0][0] * e.delta[0] + x->A[0][1] * e.delta[1] : NAN);
    put(out->filtered_level_var, i, settled ? x->P[0] + spread(x->A[0], e.var) : NAN);
    if (k->m == 1) return;
    put(out->filtered_slope, i, settled ? x->a[1] + x->A[1][0] * e.delta[0] + x->A[1][1] * e.delta[1] : NAN);
    put(out->filtered_slope_var, i, settled ? x->P[2] + spread(x->A[1], e.var) : NAN);
}

static void put_innovation(const gw_stats_state_series *out, size_t i, const moment *x, const knowledge *before)
{
    start_estimate e;
    bool settled = !isnan(x->F) && estimate_start(before, &e);
    put(out->innovation, i, settled ? x->v + x->V[0] * e.delta[0] + x->V[1] * e.delta[1] : NAN);
    put(out->innovation_var, i, settled ? x->F + spread(x->V, e.var) : NAN);
}

/* The filter. trail[n] may be NULL: only the likelihood is wanted; so may series. */
static knowledge run_filter(size_t n, const double t[], const double y[], const gw_stats_state_model *model,
                            moment trail[], const gw_stats_state_series *series)
{
    knowledge k = {.m = model->model == GW_STATS_LOCAL_LEVEL ? 1 : 2};
    moment x = {.A = {{1, 0}, {0, k.m == 2}}};
    for (size_t i = 0; i < n; i++) {
        if (i > 0) forecast(model, t[i] - t[i - 1], &x);
        knowledge before = k;
        moment after = x;
        x.F = NAN;
        if (!isnan(y[i])) take_in(y[i], model->var_obs, &x, &after, &k);
        if (trail) trail[i] = x;
        if (series) {
            put_innovation(series, i, &x, &before);
            put_filtered(series, i, &after, &k);
        }
        x = after;
    }
    return k;
}

/*
 * Backwards: r and its dependence R on delta, and N, gather what the later innovations say. With M the step to the next
 * time and gain K: r <- Z' v / F + (I - K Z)' M' r, N likewise; the smoothed state is a + P r.
 */
static void run_smoother(size_t n, const double t[], const gw_stats_state_model *model, const moment trail[],
                         const start_estimate *start, const gw_stats_state_series *out)
{
    bool trend = model->model != GW_STATS_LOCAL_LEVEL;
    double r[2] = {0, 0}, R[2][2] = {{0, 0}, {0, 0}}, N[3] = {0, 0, 0};
    for (size_t i = n; i-- > 0;) {
        const moment *x = &trail[i];
        if (trend && i + 1 < n) { /* M' r with M = [[1, gap], [0, 1]] */
            double gap = t[i + 1] - t[i];
            r[1] += gap * r[0];
            for (int j = 0; j < 2; j++) R[1][j] += gap * R[0][j];
            N[2] += 2 * gap * N[1] + gap * gap * N[0];
            N[1] += gap * N[0];
        }
        if (!isnan(x->F)) {
            double k1 = x->P[1] / x->F, keep = model->var_obs / x->F; /* 1 - P[0] / F, without cancellation */
            double n0 = keep * (keep * N[0] - k1 * N[1]) - k1 * (keep * N[1] - k1 * N[2]);
            r[0] = x->v / x->F + keep * r[0] - k1 * r[1];
            for (int j = 0; j < 2; j++) R[0][j] = x->V[j] / x->F + keep * R[0][j] - k1 * R[1][j];
            N[0] = 1 / x->F + n0;
            N[1] = keep * N[1] - k1 * N[2];
        }
        const double *rows[2] = {(const double[2]){x->P[0], x->P[1]}, (const double[2]){x->P[1], x->P[2]}};
        for (int s = 0; s < (trend ? 2 : 1); s++) {
            const double *P = rows[s];
            double dependence[2];
            for (int j = 0; j < 2; j++) dependence[j] = x->A[s][j] + P[0] * R[0][j] + P[1] * R[1][j];
            double state =
                x->a[s] + P[0] * r[0] + P[1] * r[1] + dependence[0] * start->delta[0] + dependence[1] * start->delta[1];
            double var = P[s] - spread(P, N) + spread(dependence, start->var);
            put(s ? out->smoothed_slope : out->smoothed_level, i, state);
            put(s ? out->smoothed_slope_var : out->smoothed_level_var, i, var);
        }
    }
}

static gw_stats_status check_series(size_t n, const double t[], const double y[], size_t *taken, size_t *at)
{
    *taken = 0;
    for (size_t i = 0; i < n; i++) {
        if (!isfinite(t[i])) return gw_stats_refuse(GW_STATS_VALUE, i, at);
        if (i > 0 && t[i] < t[i - 1]) return gw_stats_refuse(GW_STATS_ORDER, i, at);
        if (isinf(y[i])) return gw_stats_refuse(GW_STATS_VALUE, n + i, at);
        if (!isnan(y[i])) ++*taken;
    }
    return GW_STATS_OK;
}

static bool model_sound(const gw_stats_state_model *m)
{
    bool trend = m->model == GW_STATS_LOCAL_TREND || m->model == GW_STATS_DISCRETE_TREND;
    return (trend || m->model == GW_STATS_LOCAL_LEVEL) && m->var_obs > 0 && isfinite(m->var_obs) && m->var_level >= 0 &&
           isfinite(m->var_level) && (!trend || (m->var_slope >= 0 && isfinite(m->var_slope)));
}

gw_stats_status gw_stats_state(size_t n, const double t[], const double y[], const gw_stats_state_model *model,
                               double work[], const gw_stats_state_series *series, gw_stats_state_fit *out, size_t *at)
{
    if (!model_sound(model)) return GW_STATS_OPTION;
    size_t taken;
    gw_stats_status status = check_series(n, t, y, &taken, at);
    if (status) return status;
    int m = model->model == GW_STATS_LOCAL_LEVEL ? 1 : 2;
    if (taken < (size_t)m) return GW_STATS_TOO_FEW;

    moment *trail = (moment *)(void *)work; /* a structure of doubles only */
    knowledge k = run_filter(n, t, y, model, trail, NULL);
    start_estimate start;
    if (!estimate_start(&k, &start)) return GW_STATS_CONSTANT;
    if (series) {
        run_filter(n, t, y, model, NULL, series);
        run_smoother(n, t, model, trail, &start, series);
    }
    if (out) {
        double terms = (double)k.n_obs - m;
        double loglik = -(terms * GW_STATS_LOG2PI + k.log_F + start.log_det + k.q - start.explained) / 2;
        *out = (gw_stats_state_fit){.loglik = loglik,
                                    .loglik_n2pi = loglik - m * GW_STATS_LOG2PI / 2,
                                    .n_obs = k.n_obs,
                                    .n_diffuse = (size_t)m};
    }
    return GW_STATS_OK;
}

/* ------------------------------------------------------------------------------------------- greatest likelihood */

typedef struct {
    size_t n;
    const double *t, *y;
    gw_stats_model model;
} state_task;

/* Log-likelihood at a ratio of the variances, var_obs worked out; -infinity where the start is not determined. */
static double concentrated(const state_task *task, double ratio, double *var_obs)
{
    gw_stats_state_model model = {.model = task->model, .var_obs = 1};
    *(task->model == GW_STATS_LOCAL_LEVEL ? &model.var_level : &model.var_slope) = ratio;
    knowledge k = run_filter(task->n, task->t, task->y, &model, NULL, NULL);
    start_estimate start;
    if (!estimate_start(&k, &start)) return -INFINITY;
    double terms = (double)k.n_obs - k.m;
    *var_obs = (k.q - start.explained) / terms;
    if (!(*var_obs > 1e-14 * k.q / terms)) return *var_obs > 0 ? -INFINITY : NAN;
    return -(terms * (GW_STATS_LOG2PI + log(*var_obs) + 1) + k.log_F + start.log_det) / 2;
}

gw_stats_status gw_stats_state_fit_variances(size_t n, const double t[], const double y[], gw_stats_model model,
                                             gw_stats_state_best *out, size_t *at)
{
    enum { GRID = 81, STEPS = 70 };
    if (!model_sound(&(gw_stats_state_model){.model = model, .var_obs = 1})) return GW_STATS_OPTION;
    size_t taken, m = model == GW_STATS_LOCAL_LEVEL ? 1 : 2;
    gw_stats_status status = check_series(n, t, y, &taken, at);
    if (status) return status;
    if (taken < m + 2) return GW_STATS_TOO_FEW;
    double gap = (t[n - 1] - t[0]) / (double)(n - 1), var_obs;
    if (!(gap > 0)) return GW_STATS_CONSTANT;

    /* Ratio per mean gap, so that the unit of time does not matter; half a unit of its logarithm apart. */
    state_task task = {n, t, y, model};
    double unit = -log(gap) * (m == 1 ? 1 : 3), best_loglik = -INFINITY, best = -24;
    for (int i = 0; i < GRID; i++) {
        double loglik = concentrated(&task, exp(unit - 24 + 0.5 * i), &var_obs);
        if (loglik > best_loglik) {
            best_loglik = loglik;
            best = -24 + 0.5 * i;
        }
    }
    double still_var, still = concentrated(&task, 0, &still_var), ratio = 0;
    if (!isfinite(best_loglik) && !isfinite(still)) return GW_STATS_CONSTANT;
    if (!(still >= best_loglik)) {
        double lo = best - 0.5, hi = best + 0.5;
        const double golden = 0.6180339887498949;
        for (int turn = 0; turn < STEPS; turn++) {
            double c = hi - golden * (hi - lo), d = lo + golden * (hi - lo);
            if (concentrated(&task, exp(unit + c), &var_obs) > concentrated(&task, exp(unit + d), &var_obs))
                hi = d;
            else
                lo = c;
        }
        ratio = exp(unit + 0.5 * (lo + hi));
    }
    gw_stats_state_best found = {.ratio = ratio, .loglik = concentrated(&task, ratio, &var_obs)};
    if (!isfinite(found.loglik)) return GW_STATS_CONSTANT;
    found.model = (gw_stats_state_model){.model = model, .var_obs = var_obs};
    *(m == 1 ? &found.model.var_level : &found.model.var_slope) = var_obs * ratio;
    *out = found;
    return GW_STATS_OK;
}
