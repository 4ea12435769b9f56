/* Regression on several columns: Householder QR, recursive residuals, Huber's estimate; median polish. */
#include "stats_internal.h"

/* A column whose part at right angles to those before it is below this share of its length depends on them. */
static const double DEPENDENT = 1e-13;

static double row_norm(size_t n, size_t p, const double A[], size_t from, size_t column)
{
    double largest = 0, sum = 0;
    for (size_t i = from; i < n; i++) largest = fmax(largest, fabs(A[i * p + column]));
    if (largest == 0) return 0;
    for (size_t i = from; i < n; i++) {
        double v = A[i * p + column] / largest;
        sum += v * v;
    }
    return largest * sqrt(sum);
}

bool gw_stats_qr_solve(size_t n, size_t p, double A[], double b[], double diagonal[], double coef[])
{
    for (size_t k = 0; k < p; k++) diagonal[k] = row_norm(n, p, A, 0, k);
    for (size_t k = 0; k < p; k++) {
        double norm = row_norm(n, p, A, k, k);
        if (!(norm > DEPENDENT * diagonal[k])) return false;
        if (A[k * p + k] > 0) norm = -norm;
        for (size_t i = k; i < n; i++) A[i * p + k] /= -norm; /* v with v[k] = 1 + |a[k]| / norm */
        A[k * p + k] += 1;
        for (size_t j = k + 1; j <= p; j++) { /* column p stands for b */
            double dot = 0;
            for (size_t i = k; i < n; i++) dot += A[i * p + k] * (j < p ? A[i * p + j] : b[i]);
            double scale = -dot / A[k * p + k];
            for (size_t i = k; i < n; i++) *(j < p ? &A[i * p + j] : &b[i]) += scale * A[i * p + k];
        }
        diagonal[k] = norm;
    }
    for (size_t k = p; k-- > 0;) {
        double sum = b[k];
        for (size_t j = k + 1; j < p; j++) sum -= A[k * p + j] * coef[j];
        coef[k] = sum / diagonal[k];
    }
    return true;
}

void gw_stats_qr_variances(size_t p, const double A[], const double diagonal[], double work[], double variance[])
{
    for (size_t i = 0; i < p; i++) variance[i] = 0;
    for (size_t c = 0; c < p; c++) { /* column c of R^-1, rows 0 to c */
        for (size_t i = c + 1; i-- > 0;) {
            double sum = i == c;
            for (size_t j = i + 1; j <= c; j++) sum -= A[i * p + j] * work[j];
            work[i] = sum / diagonal[i];
            variance[i] += work[i] * work[i];
        }
    }
}

static gw_stats_status check_table(size_t n, size_t p, const double X[], const double y[], size_t *at)
{
    size_t i = gw_stats_first_odd(n * p, X);
    if (i < n * p) return gw_stats_refuse(GW_STATS_VALUE, i, at);
    i = gw_stats_first_odd(n, y);
    if (i < n) return gw_stats_refuse(GW_STATS_VALUE, n * p + i, at);
    return GW_STATS_OK;
}

static size_t table_size(size_t n, size_t p, size_t extra)
{
    if (p == 0 || n > SIZE_MAX / sizeof(double) / 4 / p) return 0;
    return n * p + extra;
}

/* ------------------------------------------------------------------------------------------- least squares */

size_t gw_stats_ols_work(size_t n, size_t p)
{
    return table_size(n, p, n + 4 * p);
}

static double residual_at(size_t p, const double X[], const double y[], const double coef[], size_t i)
{
    double off = y[i];
    for (size_t j = 0; j < p; j++) off -= X[i * p + j] * coef[j];
    return off;
}

static double squares_about(size_t n, const double y[], double centre)
{
    double sum = 0;
    for (size_t i = 0; i < n; i++) sum += (y[i] - centre) * (y[i] - centre);
    return sum;
}

gw_stats_status gw_stats_ols(size_t n, size_t p, const double X[], const double y[], bool intercept, double confidence,
                             double work[], double coef[], double se[], double low[], double high[], double p_value[],
                             gw_stats_fit *out, size_t *at)
{
    if (p < 1 || !(confidence > 0 && confidence < 1)) return GW_STATS_OPTION;
    if (n < p) return GW_STATS_TOO_FEW;
    gw_stats_status status = check_table(n, p, X, y, at);
    if (status) return status;
    double *A = work, *b = A + n * p, *diagonal = b + n, *found = diagonal + p, *variance = found + p,
           *scratch = variance + p;
    for (size_t i = 0; i < n * p; i++) A[i] = X[i];
    for (size_t i = 0; i < n; i++) b[i] = y[i];
    if (!gw_stats_qr_solve(n, p, A, b, diagonal, found)) return GW_STATS_CONSTANT;
    gw_stats_qr_variances(p, A, diagonal, scratch, variance);

    double rss = 0, df = (double)(n - p);
    for (size_t i = p; i < n; i++) rss += b[i] * b[i]; /* Q'b below R: the residuals, without cancellation */
    double sigma = df > 0 ? sqrt(rss / df) : NAN, t = gw_stats_t_quantile(0.5 + confidence / 2, df);
    for (size_t k = 0; k < p; k++) {
        double error = sigma * sqrt(variance[k]);
        coef[k] = found[k];
        if (se) se[k] = error;
        if (low) low[k] = found[k] - t * error;
        if (high) high[k] = found[k] + t * error;
        if (p_value) p_value[k] = 2 * gw_stats_t(-fabs(found[k] / error), df);
    }
    double about = intercept ? gw_stats_sum(n, y) / (double)n : 0, total = squares_about(n, y, about);
    *out = (gw_stats_fit){.sigma = sigma, .rss = rss, .df = df, .r2 = total > 0 ? 1 - rss / total : NAN};
    return GW_STATS_OK;
}

/* ------------------------------------------------------------------------------------------- recursive residuals */

size_t gw_stats_recursive_work(size_t p)
{
    return table_size(p, p, 3 * p);
}

/*
 * Rotate one row into the triangle R, d. What is left of y is the recursive residual: rotations with positive cosines
 * scale the forecast error by the square root of 1 + x (X'X)^-1 x'.
 */
static double rotate_in(size_t p, double R[], double d[], double row[], double y)
{
    for (size_t k = 0; k < p; k++) {
        if (row[k] == 0) continue;
        double h = hypot(R[k * p + k], row[k]), c = R[k * p + k] / h, s = row[k] / h;
        for (size_t j = k; j < p; j++) {
            double above = R[k * p + j], below = row[j];
            R[k * p + j] = c * above + s * below;
            row[j] = c * below - s * above;
        }
        double above = d[k];
        d[k] = c * above + s * y;
        y = c * y - s * above;
    }
    return y;
}

gw_stats_status gw_stats_recursive(size_t n, size_t p, const double X[], const double y[], double work[],
                                   double residual[], double cusum_ols[], double cusum_w[], gw_stats_cusum_test *out,
                                   size_t *at)
{
    if (p < 1) return GW_STATS_OPTION;
    if (n < 2 || n - 2 < p) return GW_STATS_TOO_FEW;
    gw_stats_status status = check_table(n, p, X, y, at);
    if (status) return status;
    double *R = work, *d = R + p * p, *row = d + p, *length = row + p;
    for (size_t i = 0; i < p * p + p; i++) R[i] = 0;
    for (size_t k = 0; k < p; k++) length[k] = row_norm(p, p, X, 0, k);
    size_t rest = n - p;
    for (size_t i = 0; i < n; i++) {
        for (size_t j = 0; j < p; j++) row[j] = X[i * p + j];
        double left = rotate_in(p, R, d, row, y[i]);
        if (i + 1 == p) {
            for (size_t k = 0; k < p; k++) {
                if (!(fabs(R[k * p + k]) > DEPENDENT * length[k])) return GW_STATS_CONSTANT;
            }
        }
        if (i >= p) residual[i - p] = left;
    }
    double rss = 0, mean = gw_stats_sum(rest, residual) / (double)rest, sum = 0, largest = 0;
    for (size_t i = 0; i < rest; i++) rss += residual[i] * residual[i];
    double sigma_ols = sqrt(rss / (double)rest),
           sigma_w = sqrt(squares_about(rest, residual, mean) / (double)(rest - 1));
    for (size_t i = 0; i < rest; i++) {
        sum += residual[i];
        if (cusum_ols) cusum_ols[i] = sum / sigma_ols;
        if (cusum_w) cusum_w[i] = sum / sigma_w;
        double share = (double)(i + 1) / (double)rest;
        largest = fmax(largest, fabs(sum / sigma_w) / sqrt((double)rest) / (1 + 2 * share));
    }
    *out = (gw_stats_cusum_test){.sigma_ols = sigma_ols, .sigma_w = sigma_w, .stat_max_boundary = largest};
    return GW_STATS_OK;
}

/* ------------------------------------------------------------------------------------------- Huber */

enum { HUBER_STEPS = 5000 };

size_t gw_stats_huber_work(size_t n, size_t p)
{
    return table_size(n, p, 3 * n + 3 * p);
}

typedef struct {
    size_t n, p;
    const double *X, *y;
    double *A, *b, *off, *weight, *diagonal; /* scratch */
} huber_task;

/* Scale of the residuals under coef; leaves their absolute values in b, their order is lost. */
static double residual_scale(const huber_task *h, const double coef[])
{
    for (size_t i = 0; i < h->n; i++) h->b[i] = fabs(h->off[i] = residual_at(h->p, h->X, h->y, coef, i));
    return gw_stats_median_of(h->n, h->b) / GW_STATS_Z75;
}

static double huber_weight(double off, double k, double scale)
{
    double size = fabs(off) / scale;
    return size <= k ? 1 : k / size;
}

static bool weighted_step(const huber_task *h, double coef[])
{
    for (size_t i = 0; i < h->n; i++) {
        double root = sqrt(h->weight[i]);
        for (size_t j = 0; j < h->p; j++) h->A[i * h->p + j] = root * h->X[i * h->p + j];
        h->b[i] = root * h->y[i];
    }
    return gw_stats_qr_solve(h->n, h->p, h->A, h->b, h->diagonal, coef);
}

gw_stats_status gw_stats_huber(size_t n, size_t p, const double X[], const double y[], double k, double work[],
                               double coef[], double weight[], double *scale, size_t *at)
{
    if (p < 1 || !(k > 0)) return GW_STATS_OPTION;
    if (n <= p) return GW_STATS_TOO_FEW;
    gw_stats_status status = check_table(n, p, X, y, at);
    if (status) return status;
    huber_task h = {.n = n, .p = p, .X = X, .y = y, .A = work};
    h.b = h.A + n * p;
    h.off = h.b + n;
    h.weight = h.off + n;
    h.diagonal = h.weight + n;
    double *old = h.diagonal + p, *found = old + p;

    for (size_t i = 0; i < n; i++) h.weight[i] = 1;
    if (!weighted_step(&h, found)) return GW_STATS_CONSTANT;
    double largest = gw_stats_first_odd(p, found) < p ? INFINITY : 0;
    double size_y = 0;
    for (size_t i = 0; i < n; i++) size_y = fmax(size_y, fabs(y[i]));
    bool settled = false;
    for (int turn = 0; turn < HUBER_STEPS && !settled; turn++) {
        double spread = residual_scale(&h, found);
        if (!(spread > 1e-14 * size_y)) return GW_STATS_CONSTANT;
        for (size_t i = 0; i < n; i++) h.weight[i] = huber_weight(h.off[i], k, spread);
        for (size_t j = 0; j < p; j++) old[j] = found[j];
        if (!weighted_step(&h, found)) return GW_STATS_CONSTANT;
        largest = 0;
        for (size_t j = 0; j < p; j++) largest = fmax(largest, fabs(found[j] - old[j]) / fmax(1e-8, fabs(old[j])));
        settled = largest < 1e-13;
    }
    if (largest > 1e-10) return GW_STATS_NO_END; /* rounding alone can keep it from 1e-13 */
    double spread = residual_scale(&h, found);
    if (!(spread > 1e-14 * size_y)) return GW_STATS_CONSTANT;
    for (size_t i = 0; weight && i < n; i++) weight[i] = huber_weight(h.off[i], k, spread);
    for (size_t j = 0; j < p; j++) coef[j] = found[j];
    *scale = spread;
    return GW_STATS_OK;
}

/* ------------------------------------------------------------------------------------------- median polish */

enum { POLISH_STEPS = 1000 };

size_t gw_stats_median_polish_work(size_t rows, size_t columns)
{
    return table_size(rows, columns, rows + columns + (rows > columns ? rows : columns));
}

/* Move the median of one set of effects into the level. */
static void centre(size_t n, double effect[], double scratch[], double *level)
{
    for (size_t i = 0; i < n; i++) scratch[i] = effect[i];
    double median = gw_stats_median_of(n, scratch);
    for (size_t i = 0; i < n; i++) effect[i] -= median;
    *level += median;
}

/* Move the median of each of n lines of m cells into its effect; cell i of line k stands at k step + i stride. */
static void sweep(size_t n, size_t m, size_t step, size_t stride, double cells[], double effect[], double scratch[])
{
    for (size_t k = 0; k < n; k++) {
        for (size_t i = 0; i < m; i++) scratch[i] = cells[k * step + i * stride];
        double median = gw_stats_median_of(m, scratch);
        for (size_t i = 0; i < m; i++) cells[k * step + i * stride] -= median;
        effect[k] += median;
    }
}

gw_stats_status gw_stats_median_polish(size_t rows, size_t columns, const double table[], double work[],
                                       double *overall, double row[], double column[], double residual[], double *sum,
                                       size_t *at)
{
    if (rows < 1 || columns < 1) return GW_STATS_TOO_FEW;
    size_t n = rows * columns, odd = gw_stats_first_odd(n, table);
    if (odd < n) return gw_stats_refuse(GW_STATS_VALUE, odd, at);
    double *cells = work, *in_rows = cells + n, *in_columns = in_rows + rows, *scratch = in_columns + columns;
    double level = 0, left = INFINITY, before;
    for (size_t i = 0; i < n; i++) cells[i] = table[i];
    for (size_t i = 0; i < rows + columns; i++) in_rows[i] = 0;
    int turn = 0;
    do {
        before = left;
        sweep(rows, columns, columns, 1, cells, in_rows, scratch);
        centre(columns, in_columns, scratch, &level);
        sweep(columns, rows, 1, columns, cells, in_columns, scratch);
        centre(rows, in_rows, scratch, &level);
        left = 0;
        for (size_t i = 0; i < n; i++) left += fabs(cells[i]);
    } while (left > 0 && left != before && ++turn < POLISH_STEPS);

    *overall = level;
    for (size_t i = 0; i < rows; i++) row[i] = in_rows[i];
    for (size_t i = 0; i < columns; i++) column[i] = in_columns[i];
    for (size_t i = 0; residual && i < n; i++) residual[i] = cells[i];
    if (sum) *sum = left;
    return GW_STATS_OK;
}
