/*
 * Is a reading what the animal weighs? Ways in which it may be wrong, each with a prior and the density that it gives
 * to the reading, against the ways in which it may be right. All densities are of y = ln(grams).
 *
 * The priors are engine priors (profiles/priors.csv), to be replaced by counts of a network's own corrections.
 */
#include "trend_internal.h"

/* Density at off of a change that is uniform from a to b (of ln) and read with the given variance. */
static double spread_density(double off, double a, double b, double variance)
{
    double sd = sqrt(variance);
    double low = a < b ? a : b, high = a < b ? b : a;
    return (gw_phi((off - low) / sd) - gw_phi((off - high) / sd)) / (high - low);
}

double gw_as_read(double off, double variance, double noise, bool pregnant, double *moved)
{
    double fat = variance + (GW_PRIOR_TAIL_FACTOR - 1) * noise;
    double lost = pregnant ? GW_PRIOR_PREGNANT_LOSS : 0, gained = pregnant ? GW_PRIOR_PREGNANT_GAIN : 0;
    double rest = 1 - GW_PRIOR_LOSS_SMALL - GW_PRIOR_LOSS_LARGE - GW_PRIOR_GAIN_TRUE - lost - gained;

    *moved = GW_PRIOR_LOSS_SMALL *
             spread_density(off, log(1 - GW_PRIOR_LOSS_SMALL_FROM), log(1 - GW_PRIOR_LOSS_SMALL_TO), variance);
    *moved += GW_PRIOR_LOSS_LARGE *
              spread_density(off, log(1 - GW_PRIOR_LOSS_LARGE_FROM), log(1 - GW_PRIOR_LOSS_LARGE_TO), variance);
    *moved += GW_PRIOR_GAIN_TRUE *
              spread_density(off, log(1 + GW_PRIOR_GAIN_TRUE_FROM), log(1 + GW_PRIOR_GAIN_TRUE_TO), variance);
    if (pregnant) {
        *moved += lost * spread_density(off, log(1 - GW_PRIOR_PREGNANT_LOSS_FROM), log(1 - GW_PRIOR_PREGNANT_LOSS_TO),
                                        variance);
        *moved += gained * spread_density(off, log(1 + GW_PRIOR_PREGNANT_GAIN_FROM), log(1 + GW_PRIOR_PREGNANT_GAIN_TO),
                                          variance);
    }
    return rest * ((1 - GW_PRIOR_TAIL_SHARE) * gw_normal(off, variance) + GW_PRIOR_TAIL_SHARE * gw_normal(off, fat));
}

/* ---- typing slips ---------------------------------------------------------------------------------------------- */

enum { DIGITS = 7 };

/* What a slip is scored against: the readings that the animal could have had. */
typedef struct {
    double mean, variance;
    double lowest, highest; /* grams beyond which the density is nothing */
    double unit;            /* grams in one unit of the number */
    double typed;           /* the number as typed, in units */
} keypad;

static const int power_of_ten[DIGITS + 1] = {1, 10, 100, 1000, 10000, 100000, 1000000, 10000000};

/* Density of the reading if this number was meant and typed with the given probability. */
static double meant(const keypad *k, int number, double probability)
{
    double grams = number * k->unit;
    if (grams < k->lowest || grams > k->highest) return 0;
    return probability * gw_normal(log(grams) - k->mean, k->variance) * k->typed / number;
}

/* Keys that touch on a telephone keypad: 1 2 3 / 4 5 6 / 7 8 9 / . 0 . */
static bool keys_touch(int a, int b)
{
    if (a == 0 || b == 0) return a + b == 8;
    int rows = (a - 1) / 3 - (b - 1) / 3, columns = (a - 1) % 3 - (b - 1) % 3;
    return rows * rows + columns * columns == 1;
}

static int keys_near(int key)
{
    int count = 0;
    for (int i = 0; i <= 9; i++) count += i != key && keys_touch(key, i);
    return count;
}

static double one_digit_wrong(const keypad *k, int typed, int digits)
{
    double sum = 0;
    for (int place = 0; place < digits; place++) {
        int now = typed / power_of_ten[place] % 10;
        for (int other = 0; other <= 9; other++) {
            if (other == now || (place == digits - 1 && other == 0)) continue;
            double chance = (1 - GW_PRIOR_SLIP_DIGIT_NEAR) / 9;
            if (keys_touch(other, now)) chance += GW_PRIOR_SLIP_DIGIT_NEAR / keys_near(other);
            sum += meant(k, typed + (other - now) * power_of_ten[place], GW_PRIOR_SLIP_DIGIT * chance / digits);
        }
    }
    return sum;
}

static double digits_swapped(const keypad *k, int typed, int digits)
{
    double sum = 0;
    for (int place = 0; place + 1 < digits; place++) {
        int low = typed / power_of_ten[place] % 10, high = typed / power_of_ten[place + 1] % 10;
        if (low == high) continue;
        int other = typed + (low - high) * (power_of_ten[place + 1] - power_of_ten[place]);
        sum += meant(k, other, GW_PRIOR_SLIP_SWAP / (digits - 1));
    }
    return sum;
}

static double one_too_many(const keypad *k, int typed, int digits)
{
    double sum = 0;
    for (int place = 0; place < digits && digits > 1; place++) {
        int other = typed / power_of_ten[place + 1] * power_of_ten[place] + typed % power_of_ten[place];
        int key = typed / power_of_ten[place] % 10;
        int next = typed / power_of_ten[place + 1] % 10;
        double chance = key == next ? GW_PRIOR_SLIP_EXTRA_SAME : (1 - GW_PRIOR_SLIP_EXTRA_SAME) / 9;
        if (other > 0) sum += meant(k, other, GW_PRIOR_SLIP_EXTRA * chance / digits);
    }
    return sum;
}

static double one_missing(const keypad *k, int typed, int digits)
{
    double sum = 0;
    if (digits >= DIGITS) return 0;
    for (int place = 0; place <= digits; place++)
        for (int key = place == digits; key <= 9; key++) {
            int other = typed / power_of_ten[place] * power_of_ten[place + 1] + key * power_of_ten[place] +
                        typed % power_of_ten[place];
            sum += meant(k, other, GW_PRIOR_SLIP_MISSING / (digits + 1));
        }
    return sum;
}

static double wrong_by_tens(const keypad *k)
{
    static const double factors[] = {10, 0.1, 100, 0.01};
    double sum = 0;
    for (int i = 0; i < 4; i++) {
        double grams = k->typed * k->unit * factors[i];
        if (grams < k->lowest || grams > k->highest || (i >= 2 && grams < GW_PRIOR_SLIP_HUNDRED_ABOVE)) continue;
        double chance = 0.5 * (i < 2 ? GW_PRIOR_SLIP_TEN : GW_PRIOR_SLIP_HUNDRED);
        sum += chance * gw_normal(log(grams) - k->mean, k->variance);
    }
    return sum;
}

static double slips(double grams, double mean, double variance)
{
    keypad k = {.mean = mean, .variance = variance};
    double reach = 5 * sqrt(variance);
    k.lowest = exp(mean - reach);
    k.highest = exp(mean + reach);
    double tenths = floor(grams * 10 + 0.5);
    int number = (int)tenths;
    k.unit = 0.1;
    if (number % 10 == 0) {
        number /= 10;
        k.unit = 1;
    }
    if (number == 0) return 0;
    k.typed = number;
    int digits = 1;
    while (digits < DIGITS && number >= power_of_ten[digits]) digits++;
    return digits_swapped(&k, number, digits) + one_digit_wrong(&k, number, digits) + one_too_many(&k, number, digits) +
           one_missing(&k, number, digits) + wrong_by_tens(&k);
}

/* ---- all together ---------------------------------------------------------------------------------------------- */

/* A reading of another animal of the same kind: within one assessment only the species says what that weighs. */
static double other_animal(const gw_animal *animal, const gw_trend_weighing *w)
{
    if (animal->adult <= 0) return 0;
    double sd = animal->profile->adult_sd;
    return gw_normal(log(w->grams / animal->adult), sd * sd);
}

void gw_evidence_of(gw_evidence *e, const gw_animal *animal, const gw_trend_weighing *w, double mean, double variance,
                    double noise, bool pregnant)
{
    double off = log(w->grams) - mean;
    *e = (gw_evidence){0};
    e->read = gw_as_read(off, variance, noise, pregnant, &e->moved);
    e->slip = GW_PRIOR_SLIP * slips(w->grams, mean, variance);
    e->other = GW_PRIOR_OTHER_ANIMAL * other_animal(animal, w);
    e->leaning = GW_PRIOR_LEANING *
                 spread_density(off, log(1 - GW_PRIOR_LEANING_LEAST), log(1 - GW_PRIOR_LEANING_MOST), variance);
    e->gross = GW_PRIOR_GROSS / GW_PRIOR_GROSS_WIDTH;

    double left = 1;
    if (!isnan(w->second) && gw_quantise(fabs(w->second / w->grams - 1)) <= GW_PRIOR_SECOND_NEAR)
        left = GW_PRIOR_SECOND_FACTOR;
    else if (w->flags & GW_WEIGHING_CONFIRMED)
        left = GW_PRIOR_CONFIRMED_FACTOR;
    e->slip *= left;
    e->other *= left;
    e->leaning *= left;
    e->gross *= left;
}

double gw_evidence_share(const gw_evidence *e)
{
    double wrong = e->slip + e->other + e->leaning + e->gross;
    double all = wrong + e->read + e->moved;
    return all > 0 ? wrong / all : 1;
}
