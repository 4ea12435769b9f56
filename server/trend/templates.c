/*
 * Illness as a matched-filter bank: a few courses of weight loss, each with an onset in every recent gap between
 * weighings, run through the gains of the healthy filter.
 *
 * With innovation e, its variance S and the template's own innovation u at each weighing, B = sum(e u / S) and
 * Q = sum(u^2 / S) hold all that the series says about the size of that course. For a normal size prior (mu, v) the
 * likelihood ratio against no illness has a closed form; a loss is one-sided, hence the ratio of normal tails.
 * A. S. Willsky and H. L. Jones, IEEE Trans. Autom. Control 21 (1976) 108-112, generalised likelihood ratio (from
 * memory), with priors in place of the maximum.
 */
#include "trend_internal.h"

typedef enum { ACUTE, SUBACUTE, CHRONIC, STALL, OLD_STEP, KINDS } kind;

static const struct {
    double size, size_sd, rate, back, from, onset_share;
} courses[KINDS] = {
    [ACUTE] = {GW_PRIOR_ACUTE_SIZE, GW_PRIOR_ACUTE_SIZE_SD, GW_PRIOR_ACUTE_RATE, GW_PRIOR_ACUTE_BACK, 0,
               GW_PRIOR_ACUTE_ONSET_SHARE},
    [SUBACUTE] = {GW_PRIOR_SUBACUTE_SIZE, GW_PRIOR_SUBACUTE_SIZE_SD, GW_PRIOR_SUBACUTE_RATE, GW_PRIOR_SUBACUTE_BACK, 0,
                  GW_PRIOR_ONSET_SHARE},
    [CHRONIC] = {GW_PRIOR_CHRONIC_SIZE, GW_PRIOR_CHRONIC_SIZE_SD, GW_PRIOR_CHRONIC_RATE, GW_PRIOR_CHRONIC_BACK, 0,
                 GW_PRIOR_ONSET_SHARE},
    [STALL] = {GW_PRIOR_STALL_SIZE, GW_PRIOR_STALL_SIZE_SD, GW_PRIOR_STALL_RATE, GW_PRIOR_STALL_BACK, 0,
               GW_PRIOR_ONSET_SHARE},
    [OLD_STEP] = {0, GW_PRIOR_STEP_SIZE_SD, GW_PRIOR_STEP_RATE, GW_PRIOR_STEP_BACK, GW_PRIOR_STEP_FROM,
                  GW_PRIOR_ONSET_SHARE},
};

/* Effect on ln(weight) of a course of size 1, this many days after its onset. */
static double shape(kind k, double days, double grown)
{
    switch (k) {
    case ACUTE:
        return days < GW_PRIOR_ACUTE_DAYS ? -days / GW_PRIOR_ACUTE_DAYS : -1;
    case SUBACUTE:
        return -GW_PRIOR_SUBACUTE_WEEK * days / 7;
    case CHRONIC:
        return -GW_PRIOR_CHRONIC_WEEK * days / 7;
    case STALL:
        return -grown;
    default:
        return days < GW_PRIOR_STEP_DAYS ? days / GW_PRIOR_STEP_DAYS : 1;
    }
}

/* What the series says about a template's size, without the newest weighing; and the template's part in that one. */
typedef struct {
    double b, q, newest;
} match;

static match run(kind k, double onset, double curve_at_onset, const gw_window *window, size_t from, size_t n)
{
    match m = {0};
    double shift[GW_STATES] = {0}; /* how the template has moved the filter's state */
    for (size_t i = from; i < n; i++) {
        const gw_step *step = &window->steps[i];
        shift[1] *= step->keep;
        if (!step->used) continue;
        double u = shape(k, window->points[i].at - onset, window->points[i].curve - curve_at_onset);
        for (int s = 0; s < GW_STATES; s++) u -= step->row[s] * shift[s];
        if (i + 1 == n) {
            m.newest = u;
            break;
        }
        m.b += step->innovation * u / step->variance;
        m.q += u * u / step->variance;
        for (int s = 0; s < GW_STATES; s++) shift[s] += step->gain[s] * u;
    }
    return m;
}

/* ln of the likelihood ratio, the size integrated out. */
static double ratio(kind k, double b, double q)
{
    double mu = courses[k].size, v = courses[k].size_sd * courses[k].size_sd;
    double sd2 = 1 / (q + 1 / v);
    double mean = (b + mu / v) * sd2;
    double log_ratio = 0.5 * (mean * mean / sd2 - mu * mu / v) - 0.5 * log(1 + v * q);
    if (k == OLD_STEP) return log_ratio;
    double tail = gw_phi(mean / sqrt(sd2));
    return log_ratio + log((tail > 1e-300 ? tail : 1e-300) / gw_phi(mu / sqrt(v)));
}

/* The newest weighing is a mixture of the usual noise and a larger one. */
typedef struct {
    double weight, innovation, variance;
} newest;

static int newest_of(newest mix[2], const gw_window *window, size_t n, bool with_last)
{
    const gw_step *last = &window->steps[n - 1];
    if (!with_last || !last->used) {
        mix[0] = (newest){1, 0, INFINITY};
        return 1;
    }
    double fat = last->variance + (GW_PRIOR_TAIL_FACTOR - 1) * window->points[n - 1].noise;
    double plain_density = (1 - GW_PRIOR_TAIL_SHARE) * gw_normal(last->innovation, last->variance);
    double fat_density = GW_PRIOR_TAIL_SHARE * gw_normal(last->innovation, fat);
    double sum = plain_density + fat_density;
    /* Far out both vanish; the larger variance is the better one there. */
    double share = sum > 1e-280 ? plain_density / sum : 0;
    mix[0] = (newest){share, last->innovation, last->variance};
    mix[1] = (newest){1 - share, last->innovation, fat};
    return 2;
}

void gw_templates(gw_bank *bank, const gw_window *window, const gw_animal *animal, size_t n, bool with_last)
{
    newest mix[2];
    int mixed = newest_of(mix, window, n, with_last);
    double best[GW_ILLNESSES] = {0}, now = window->points[n - 1].at;
    *bank = (gw_bank){.benign = 1, .onset = {NAN, NAN, NAN, NAN}};

    for (size_t i = n > GW_GAPS ? n - GW_GAPS : 1; i < n; i++) {
        const gw_point *after = &window->points[i];
        double gap = after->gap < GW_PRIOR_GAP_MOST ? after->gap : GW_PRIOR_GAP_MOST;
        if (gap <= 0) continue;
        for (int k = 0; k < KINDS; k++) {
            double onset = after->at - gap * (1 - courses[k].onset_share);
            if (now - onset > courses[k].back || now - onset < courses[k].from) continue;
            double curve = 0;
            if (k == STALL) {
                if (animal->young != GW_YOUNG_YES) continue;
                curve = gw_curve(animal, onset);
                if (window->points[n - 1].curve - curve <= GW_PRIOR_STALL_GROWTH) continue;
            }
            match m = run((kind)k, onset, curve, window, i, n);
            double sum = 0;
            for (int j = 0; j < mixed; j++) {
                double b = m.b + mix[j].innovation * m.newest / mix[j].variance;
                double q = m.q + m.newest * m.newest / mix[j].variance;
                double log_ratio = ratio((kind)k, b, q);
                sum += mix[j].weight * exp(log_ratio < 300 ? log_ratio : 300);
            }
            sum *= courses[k].rate * gap / GW_PRIOR_YEAR_DAYS;
            if (k == OLD_STEP) {
                bank->benign += sum;
                continue;
            }
            bank->illness[k] += sum;
            if (sum > best[k]) {
                best[k] = sum;
                bank->onset[k] = onset;
            }
        }
    }
}

double gw_bank_odds(const gw_bank *bank, double mouth)
{
    double slow = bank->illness[SUBACUTE] + bank->illness[CHRONIC];
    return (bank->illness[ACUTE] + bank->illness[STALL] + slow * exp(mouth)) / bank->benign;
}
