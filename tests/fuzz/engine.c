/*
 * One animal and its session: whatever the caller passes, the engine keeps the promises of its header.
 *
 * Bytes make a subject, up to 8 events and up to 70 weighings; four inputs of five are near to sound ones, so that
 * more than the refusals is reached.
 */
#include "fuzz.h"

#include <gramwell/trend.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { EVENTS = 8, WEIGHINGS = 70 };

typedef struct {
    gw_trend_subject subject;
    gw_trend_event events[EVENTS];
    gw_trend_weighing weighings[WEIGHINGS];
    size_t n, first;
} input;

static int32_t code(fuzz_bytes *b, int32_t low, int32_t count)
{
    uint8_t byte = fuzz_byte(b);
    return byte == 255 ? INT32_MAX : byte == 254 ? INT32_MIN : byte == 253 ? low + count : low + byte % count;
}

static double often_nan(fuzz_bytes *b, double low, double high)
{
    return fuzz_byte(b) % 2 ? fuzz_double(b, low, high) : NAN;
}

static void take(fuzz_bytes *b, input *in)
{
    bool wild = fuzz_byte(b) % 5 == 0; /* times need not run forwards, weights need not be near each other */
    in->subject = (gw_trend_subject){.birth = often_nan(b, -400, 400),
                                     .arrived = often_nan(b, -100, 400),
                                     .adult_grams = often_nan(b, 20, 3000),
                                     .sensitivity = fuzz_byte(b) % 2 ? fuzz_double(b, -1.5, 1.5) : 0,
                                     .events = in->events,
                                     .n_events = fuzz_byte(b) % (EVENTS + 1)};
    in->subject.species = code(b, -1, GW_SPECIES_COUNT + 1);
    in->subject.sex = code(b, 0, 3);
    in->subject.stage = code(b, 0, 4);
    for (size_t i = 0; i < in->subject.n_events; i++) {
        double from = fuzz_double(b, -50, 450);
        in->events[i] =
            (gw_trend_event){.from = from, .to = often_nan(b, from, from + 90), .event = code(b, 0, GW_EVENT_COUNT)};
    }
    in->n = 1 + fuzz_byte(b) % WEIGHINGS;
    double at = 0, grams = fuzz_double(b, 5, 3000);
    for (size_t i = 0; i < in->n; i++) {
        uint8_t shape = fuzz_byte(b);
        at = wild ? fuzz_double(b, -10, 500) : at + (shape % 8 == 0 ? fuzz_double(b, 0, 90) : shape % 8);
        double now = wild ? fuzz_double(b, 0.1, 30000) : grams * (0.9 + fuzz_byte(b) / 1275.0);
        in->weighings[i] = (gw_trend_weighing){.at = at,
                                               .grams = now,
                                               .second = shape & 8 ? often_nan(b, 0.8 * now, 1.2 * now) : NAN,
                                               .step = shape & 16 ? often_nan(b, 0.01, 10) : NAN,
                                               .scale = shape & 32 ? code(b, -1, 3) : -1,
                                               .flags = shape & 64 ? fuzz_byte(b) : 0,
                                               .mouth_looked = shape & 128 ? fuzz_byte(b) : 7,
                                               .mouth_seen = shape & 128 ? fuzz_byte(b) : 0};
        if (!wild && shape % 3) grams = now;
    }
    in->first = fuzz_byte(b) % 4 ? fuzz_byte(b) % in->n : in->n - 1;
}

static bool known(double x)
{
    return isfinite(x) || isnan(x);
}

static bool within(int32_t value, int32_t low, int32_t high)
{
    return value >= low && value <= high;
}

static void check_verdict(const gw_trend_verdict *v, bool very_first)
{
    const double numbers[] = {v->expected,     v->low,      v->high,           v->sd,        v->own_level,
                              v->change_grams, v->week_pct, v->slope_pct_week, v->slope_low, v->slope_high,
                              v->change_pct,   v->log_odds, v->weeks_of_fall,  v->week_grams};
    for (size_t i = 0; i < sizeof numbers / sizeof *numbers; i++) fuzz_must(known(numbers[i]));
    if (!very_first) { /* it has no past to be expected from */
        fuzz_must(isfinite(v->expected) && v->expected > 0);
        fuzz_must(v->low <= v->expected && v->expected <= v->high);
        fuzz_must(v->sd > 0);
    }
    fuzz_must(!(v->slope_low > v->slope_pct_week) && !(v->slope_high < v->slope_pct_week));
    fuzz_must(v->weeks_of_fall >= 0);
    fuzz_must(v->error_share >= 0 && v->error_share <= 1);
    fuzz_must(v->mouth_log_odds >= 0 && v->mouth_log_odds <= 5.5);
    fuzz_must(within(v->level, GW_LEVEL_STEADY, GW_LEVEL_EMERGENCY));
    fuzz_must(within(v->kind, GW_KIND_NONE, GW_KIND_DENTAL) || v->kind == GW_KIND_SCALE);
    fuzz_must((v->level == GW_LEVEL_STEADY) == (v->kind == GW_KIND_NONE));
    fuzz_must(within(v->quality, GW_QUALITY_PLAIN, GW_QUALITY_SET_ASIDE));
    fuzz_must(within(v->pattern, GW_PATTERN_NONE, GW_PATTERN_STALL));
    fuzz_must(within(v->ask_second, 0, 1));
    fuzz_must(v->reasons >> GW_REASON_COUNT == 0);
}

static bool all_bytes(const void *memory, size_t size, int value)
{
    const unsigned char *bytes = memory;
    for (size_t i = 0; i < size; i++)
        if (bytes[i] != value) return false;
    return true;
}

/* The verdicts as one session on one scale, some of them with numbers that no engine would say. */
static void check_session(fuzz_bytes *b, const input *in, const gw_trend_verdict verdicts[], size_t count)
{
    static gw_trend_session_item items[WEIGHINGS], again[WEIGHINGS];
    bool strange = fuzz_byte(b) % 4 == 0;
    for (size_t i = 0; i < count; i++) {
        const gw_trend_weighing *w = &in->weighings[in->first + i];
        items[i] = (gw_trend_session_item){
            .grams = w->grams, .verdict = verdicts[i], .flags = w->flags, .species = in->subject.species};
        if (!strange) continue;
        items[i].grams = fuzz_double(b, 0.1, 30000);
        items[i].verdict.expected = fuzz_double(b, 0.1, 30000);
        items[i].verdict.sd = fuzz_double(b, 0, 0.3);
        items[i].verdict.error_share = fuzz_double(b, 0, 1);
    }
    memcpy(again, items, count * sizeof *items);
    gw_trend_session out, second;
    memset(&out, 0x5a, sizeof out);
    size_t at = SIZE_MAX;
    gw_trend_status status = gw_trend_session_judge(count, items, &out, &at);
    if (status != GW_TREND_OK) {
        fuzz_must(at < count);
        fuzz_must(all_bytes(&out, sizeof out, 0x5a));
        fuzz_must(memcmp(items, again, count * sizeof *items) == 0);
        return;
    }
    fuzz_must(within(out.scale_shift, 0, 1) && within(out.n_used, 0, (int32_t)count));
    for (size_t i = 0; i < count; i++) {
        fuzz_must(within(items[i].verdict.level, GW_LEVEL_STEADY, GW_LEVEL_EMERGENCY));
        fuzz_must(within(items[i].verdict.quality, GW_QUALITY_PLAIN, GW_QUALITY_SET_ASIDE));
        if (!strange) check_verdict(&items[i].verdict, in->first + i == 0);
    }
    if (!strange) {
        fuzz_must(out.tare_share >= 0 && out.tare_share <= 1 && isfinite(out.tare_grams));
        fuzz_must(known(out.shift_pct) && !(out.shift_low > out.shift_pct) && !(out.shift_high < out.shift_pct));
    }
    fuzz_must(gw_trend_session_judge(count, again, &second, NULL) == GW_TREND_OK);
    fuzz_must(memcmp(items, again, count * sizeof *items) == 0);
    fuzz_must(memcmp(&out, &second, sizeof out) == 0);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    static input in;
    static gw_trend_verdict verdicts[WEIGHINGS], again[WEIGHINGS];
    fuzz_bytes b = {data, size};
    take(&b, &in);
    size_t count = in.n - in.first, at = SIZE_MAX;
    void *workspace = malloc(gw_trend_workspace_size(in.n));
    fuzz_must(workspace != NULL);
    memset(verdicts, 0x5a, sizeof verdicts);
    gw_trend_status status = gw_trend_assess(&in.subject, in.n, in.weighings, in.first, workspace, verdicts, &at);
    if (status != GW_TREND_OK) {
        fuzz_must(at < in.n || at < in.subject.n_events);
        fuzz_must(all_bytes(verdicts, sizeof verdicts, 0x5a));
        free(workspace);
        return 0;
    }
    fuzz_must(all_bytes(verdicts + count, (WEIGHINGS - count) * sizeof *verdicts, 0x5a));
    for (size_t i = 0; i < count; i++) check_verdict(&verdicts[i], in.first + i == 0);

    /* The same again, and from the window alone. */
    memset(workspace, 0xa5, gw_trend_workspace_size(in.n));
    memset(again, 0x5a, sizeof again);
    fuzz_must(gw_trend_assess(&in.subject, in.n, in.weighings, in.first, workspace, again, NULL) == GW_TREND_OK);
    fuzz_must(memcmp(verdicts, again, sizeof verdicts) == 0);
    size_t window = in.n < GW_TREND_WINDOW ? in.n : GW_TREND_WINDOW;
    memset(again, 0x5a, sizeof again);
    fuzz_must(gw_trend_assess(&in.subject, window, in.weighings + in.n - window, window - 1, workspace, again, NULL) ==
              GW_TREND_OK);
    fuzz_must(memcmp(&verdicts[count - 1], &again[0], sizeof *again) == 0);
    free(workspace);
    check_session(&b, &in, verdicts, count);
    return 0;
}
