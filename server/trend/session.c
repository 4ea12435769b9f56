/*
 * What the weighings of one session on one scale say together: a bowl that was not at zero, one animal taken for
 * another, a common shift of all.
 */
#include "trend_internal.h"

/* Reasons that stay when a reading is explained away: they are not about the number. */
static const uint32_t about_the_animal = GW_REASON_MOUTH | GW_REASON_BIRTH | GW_REASON_SURGERY | GW_REASON_ARRIVED |
                                         GW_REASON_FIRST | GW_REASON_COARSE_SCALE;

/* Ways in which the number itself may be wrong; the likeliest is named. */
static const uint32_t number_wrong =
    GW_REASON_SLIP | GW_REASON_OTHER_ANIMAL | GW_REASON_LEANING | GW_REASON_IMPLAUSIBLE;

/* An item that can speak: it has a prediction of its own. */
static bool predicted(const gw_trend_session_item *item)
{
    const gw_trend_verdict *v = &item->verdict;
    return isfinite(v->expected) && v->expected > 0 && isfinite(v->sd) && v->sd > 0 &&
           !(item->flags & GW_WEIGHING_SET_ASIDE);
}

static double off(const gw_trend_session_item *item, double grams)
{
    return log(grams / item->verdict.expected);
}

/*
 * Density of the reading under all that may be true of this animal alone. Another animal's weight is always possible,
 * about one in ln: without that floor one slip far off would outweigh all the animals that read as usual, and the bowl
 * would be blamed.
 */
static double alone(const gw_trend_session_item *item)
{
    double variance = item->verdict.sd * item->verdict.sd, moved;
    double read = gw_as_read(off(item, item->grams), variance, 0.5 * variance, false, &moved);
    double share = item->verdict.error_share < 0.999 ? item->verdict.error_share : 0.999;
    return (read + moved) / (1 - share) + GW_PRIOR_OTHER_ANIMAL;
}

/* Density if the scale showed this many grams too many. */
static double shifted(const gw_trend_session_item *item, double grams)
{
    double true_grams = item->grams - grams;
    if (true_grams <= 0.1) return 0;
    double variance = item->verdict.sd * item->verdict.sd;
    return gw_normal(off(item, true_grams), variance) * item->grams / true_grams;
}

/* ---- the bowl ---------------------------------------------------------------------------------------------------- */

/* ln of how much better one offset explains the session than each animal by itself. */
static double tare_gain(size_t n, const gw_trend_session_item items[], double grams)
{
    double sum = 0;
    for (size_t i = 0; i < n; i++) {
        if (!predicted(&items[i])) continue;
        double by_itself = alone(&items[i]);
        sum += log((1 - GW_PRIOR_TARE_OUTSIDE) * shifted(&items[i], grams) / by_itself + GW_PRIOR_TARE_OUTSIDE);
    }
    return sum;
}

/* Sum over one range of offsets, each equally likely; the best of them is kept. */
static double tare_range(size_t n, const gw_trend_session_item items[], double from, double to, double prior,
                         double *best_gain, double *best)
{
    double sum = 0;
    int count = (int)((to - from) / GW_PRIOR_TARE_GRID) + 1;
    for (int i = 0; i < count; i++) {
        double grams = from + i * GW_PRIOR_TARE_GRID;
        double gain = tare_gain(n, items, grams);
        sum += prior / count * exp(gain < 300 ? gain : 300);
        if (gain > *best_gain) {
            *best_gain = gain;
            *best = grams;
        }
    }
    return sum;
}

/* Density if all animals of the session have changed by this much (of ln). */
static double changed(const gw_trend_session_item *item, double change)
{
    double variance = item->verdict.sd * item->verdict.sd;
    return gw_normal(off(item, item->grams) - change, variance);
}

/*
 * How much better one common change in per cent explains the session than each animal by itself: a home that truly
 * loses (water, heat, food, infection), or a scale that is out. Mates of one weight lose the same grams when they lose
 * the same per cent; without this rival the bowl would be blamed for it and the loss set aside.
 */
static double common_change(size_t n, const gw_trend_session_item items[])
{
    double sum = 0, from = log(1 - GW_PRIOR_COMMON_LOSS), to = log(1 + GW_PRIOR_COMMON_GAIN);
    int count = (int)((to - from) / GW_PRIOR_COMMON_GRID) + 1;
    for (int i = 0; i < count; i++) {
        double gain = 0, change = from + i * GW_PRIOR_COMMON_GRID;
        for (size_t k = 0; k < n; k++) {
            if (!predicted(&items[k])) continue;
            gain += log((1 - GW_PRIOR_TARE_OUTSIDE) * changed(&items[k], change) / alone(&items[k]) +
                        GW_PRIOR_TARE_OUTSIDE);
        }
        sum += exp(gain < 300 ? gain : 300) / count;
    }
    return sum;
}

/* Whether a forgotten tare is worth looking for: it moves more than one animal. */
static bool some_are_off(size_t n, const gw_trend_session_item items[])
{
    int count = 0;
    for (size_t i = 0; i < n; i++) {
        if (!predicted(&items[i])) continue;
        double z = off(&items[i], items[i].grams) / items[i].verdict.sd;
        count += gw_quantise(z * z) > GW_PRIOR_SCREEN_SD * GW_PRIOR_SCREEN_SD;
    }
    return count >= 2;
}

static void judge_tare(size_t n, gw_trend_session_item items[], gw_trend_session *out)
{
    if (!some_are_off(n, items)) return;
    double best_gain = -INFINITY, best = 0;
    double odds = tare_range(n, items, GW_PRIOR_TARE_PLUS_FROM, GW_PRIOR_TARE_PLUS_TO,
                             GW_PRIOR_TARE * GW_PRIOR_TARE_PLUS, &best_gain, &best);
    odds += tare_range(n, items, -GW_PRIOR_TARE_MINUS_TO, -GW_PRIOR_TARE_MINUS_FROM,
                       GW_PRIOR_TARE * (1 - GW_PRIOR_TARE_PLUS), &best_gain, &best);
    odds /= 1 - GW_PRIOR_TARE - GW_PRIOR_COMMON + GW_PRIOR_COMMON * common_change(n, items);
    out->tare_share = odds / (1 + odds);
    if (gw_quantise(out->tare_share) <= GW_PRIOR_ASIDE) return;

    for (double grams = best - GW_PRIOR_TARE_GRID; grams <= best + GW_PRIOR_TARE_GRID; grams += 1) {
        double gain = tare_gain(n, items, grams);
        if (gain > best_gain) {
            best_gain = gain;
            out->tare_grams = grams;
        }
    }
    if (out->tare_grams == 0) out->tare_grams = best;
    for (size_t i = 0; i < n; i++) {
        if (!predicted(&items[i])) continue;
        double inside = (1 - GW_PRIOR_TARE_OUTSIDE) * shifted(&items[i], out->tare_grams);
        if (gw_quantise(inside / (inside + GW_PRIOR_TARE_OUTSIDE * alone(&items[i]))) <= GW_PRIOR_ASIDE) continue;
        gw_trend_verdict *v = &items[i].verdict;
        v->quality = GW_QUALITY_SET_ASIDE;
        v->kind = GW_KIND_SCALE;
        v->level = GW_LEVEL_WATCH;
        v->pattern = GW_PATTERN_NONE;
        v->reasons = (v->reasons & about_the_animal) | GW_REASON_TARE; /* the bowl explains the number */
        v->error_share = out->tare_share;
        v->ask_second = 1;
    }
}

/* ---- one animal taken for another ----------------------------------------------------------------------------------
 */

/* Density of the reading if it is that of another animal of its kind in this session, each equally likely. */
static double of_a_mate(size_t n, const gw_trend_session_item items[], size_t i)
{
    double sum = 0;
    int mates = 0;
    for (size_t k = 0; k < n; k++) {
        if (k == i || items[k].species != items[i].species || !predicted(&items[k])) continue;
        double sd = items[k].verdict.sd;
        sum += gw_normal(off(&items[k], items[i].grams), sd * sd);
        mates++;
    }
    return mates ? GW_PRIOR_OTHER_ANIMAL * sum / mates : 0;
}

static void judge_others(size_t n, gw_trend_session_item items[])
{
    for (size_t i = 0; i < n; i++) {
        gw_trend_verdict *v = &items[i].verdict;
        if (!predicted(&items[i]) || (items[i].flags & GW_WEIGHING_CONFIRMED) || (v->reasons & GW_REASON_TARE))
            continue;
        double z = off(&items[i], items[i].grams) / v->sd;
        if (gw_quantise(z * z) <= GW_PRIOR_ASK_SD * GW_PRIOR_ASK_SD) continue;
        double by_itself = alone(&items[i]), other = of_a_mate(n, items, i);
        double share = gw_quantise(1 - by_itself * (1 - v->error_share) / (by_itself + other));
        bool likelier = gw_quantise(other) > gw_quantise(by_itself * v->error_share);
        if (share > v->error_share) v->error_share = share;
        if (!likelier || share <= GW_PRIOR_ASK_SHARE) continue;
        v->reasons = (v->reasons & ~number_wrong) | GW_REASON_OTHER_ANIMAL;
        v->ask_second = 1;
        if (v->quality == GW_QUALITY_PLAIN) v->quality = GW_QUALITY_REWEIGH;
        if (share <= GW_PRIOR_ASIDE || v->quality == GW_QUALITY_SET_ASIDE) continue;
        v->quality = GW_QUALITY_SET_ASIDE;
        if (v->level > GW_LEVEL_WATCH) v->level = GW_LEVEL_WATCH;
    }
}

/* ---- all together --------------------------------------------------------------------------------------------------
 */

/* Animals that count for a common shift, and at most this many of them: more add nothing. */
enum { MOST = 256 };

static void judge_shift(size_t n, gw_trend_session_item items[], gw_trend_session *out)
{
    double x[MOST], sd[MOST], sorted[MOST], se;
    size_t count = 0;
    for (size_t i = 0; i < n && count < MOST; i++) {
        const gw_trend_verdict *v = &items[i].verdict;
        if (!predicted(&items[i]) || v->quality == GW_QUALITY_SET_ASIDE || v->error_share > GW_PRIOR_ASIDE) continue;
        x[count] = sorted[count] = off(&items[i], items[i].grams);
        sd[count++] = v->sd;
    }
    out->n_used = (int32_t)count;
    if ((double)count < GW_PRIOR_SHIFT_ANIMALS) return;
    double shift = gw_huber_location(count, x, sd, GW_PRIOR_HUBER_K, &se);
    double middle = gw_median(count, sorted);
    out->shift_pct = 100 * expm1(shift);
    out->shift_low = 100 * expm1(shift - 1.959964 * se);
    out->shift_high = 100 * expm1(shift + 1.959964 * se);
    if (gw_quantise(fabs(shift) / se) < GW_PRIOR_SHIFT_SD || gw_quantise(fabs(out->shift_pct)) < GW_PRIOR_SHIFT_LEAST ||
        middle * shift <= 0)
        return;
    out->scale_shift = 1;
    for (size_t i = 0; i < n; i++) {
        gw_trend_verdict *v = &items[i].verdict;
        if (!predicted(&items[i]) || v->quality == GW_QUALITY_SET_ASIDE) continue;
        v->reasons |= GW_REASON_SCALE_SHIFT;
        if (v->level >= GW_LEVEL_SAME_DAY) continue;
        bool own = v->kind != GW_KIND_NONE && v->kind != GW_KIND_LOSS && v->kind != GW_KIND_GAIN;
        if (!own) v->kind = GW_KIND_SCALE;
        if (v->level < GW_LEVEL_WATCH) v->level = GW_LEVEL_WATCH;
    }
}

gw_trend_status gw_trend_session_judge(size_t n, gw_trend_session_item items[], gw_trend_session *out, size_t *at)
{
    if (n == 0) return GW_TREND_TOO_FEW;
    for (size_t i = 0; i < n; i++) {
        double grams = items[i].grams;
        if (!isfinite(grams) || grams < GW_PRIOR_MIN_GRAMS || grams > GW_PRIOR_MAX_GRAMS) {
            if (at) *at = i;
            return GW_TREND_WEIGHT;
        }
    }
    *out = (gw_trend_session){.shift_pct = NAN, .shift_low = NAN, .shift_high = NAN};
    if (n < 2) return GW_TREND_OK;
    judge_tare(n, items, out);
    judge_others(n, items);
    judge_shift(n, items, out);
    return GW_TREND_OK;
}
