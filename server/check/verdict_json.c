#include "check/verdict_json.h"

#include <jansson.h>
#include <math.h>
#include <stddef.h>
#include <stdlib.h>

#include "base/number.h"

/* The numbers of a verdict: name, decimals in the body. */
typedef struct {
    const char *name;
    size_t offset;
    int decimals;
} number_field;

#define FIELD(name, decimals)                                                                                          \
    {                                                                                                                  \
#name, offsetof(gw_trend_verdict, name), decimals                                                              \
    }
static const number_field numbers[] = {
    FIELD(expected, 1),     FIELD(low, 1),        FIELD(high, 1),          FIELD(sd, 4),       FIELD(own_level, 1),
    FIELD(change_grams, 1), FIELD(change_pct, 2), FIELD(week_grams, 1),    FIELD(week_pct, 2), FIELD(slope_pct_week, 2),
    FIELD(slope_low, 2),    FIELD(slope_high, 2), FIELD(weeks_of_fall, 1), FIELD(log_odds, 3), FIELD(mouth_log_odds, 3),
    FIELD(error_share, 4),
};
enum { N_NUMBERS = sizeof numbers / sizeof *numbers };

static double *number_of(const gw_trend_verdict *verdict, size_t i)
{
    return (double *)((char *)verdict + numbers[i].offset);
}

static void add_number(gw_buffer *out, const char *name, double value, int decimals)
{
    gw_buffer_printf(out, ",\"%s\":", name);
    if (!isfinite(value))
        gw_buffer_add(out, "null");
    else if (decimals < 0)
        gw_buffer_printf(out, "%.17g", value);
    else /* adding 0 turns the -0.0 of a rounded -0.04 into 0.0 */
        gw_buffer_printf(out, "%.*f", decimals, round(value * pow(10, decimals)) / pow(10, decimals) + 0.0);
}

static void add_reasons(gw_buffer *out, uint32_t reasons)
{
    const char *comma = "";
    gw_buffer_add(out, ",\"reasons\":[");
    for (int bit = 0; bit < GW_REASON_COUNT; bit++) {
        if (!(reasons & (1u << bit))) continue;
        gw_buffer_printf(out, "%s\"%s\"", comma, gw_reason_name(bit));
        comma = ",";
    }
    gw_buffer_add(out, "]");
}

void gw_verdict_body(gw_buffer *out, const gw_trend_verdict *v)
{
    gw_buffer_printf(out, "{\"level\":\"%s\",\"kind\":\"%s\",\"quality\":\"%s\"", gw_level_name((gw_level)v->level),
                     gw_kind_name((gw_kind)v->kind), gw_quality_name((gw_quality)v->quality));
    for (size_t i = 0; i < N_NUMBERS; i++) add_number(out, numbers[i].name, *number_of(v, i), numbers[i].decimals);
    gw_buffer_printf(out, ",\"pattern\":\"%s\"", gw_pattern_name((gw_pattern)v->pattern));
    add_reasons(out, v->reasons);
    gw_buffer_printf(out, ",\"ask_second\":%s}", v->ask_second ? "true" : "false");
}

void gw_verdict_alone(gw_buffer *out, const gw_trend_verdict *v)
{
    gw_buffer_printf(out, "{\"level\":%d,\"kind\":%d,\"quality\":%d,\"pattern\":%d,\"reasons\":%u,\"ask_second\":%d",
                     (int)v->level, (int)v->kind, (int)v->quality, (int)v->pattern, (unsigned)v->reasons,
                     (int)v->ask_second);
    for (size_t i = 0; i < N_NUMBERS; i++) add_number(out, numbers[i].name, *number_of(v, i), -1);
    gw_buffer_add(out, "}");
}

gw_status gw_verdict_parse(const char *alone, gw_trend_verdict *v, gw_error *err)
{
    json_t *json = alone ? json_loads(alone, 0, NULL) : NULL;
    if (!json_is_object(json)) {
        json_decref(json);
        return gw_fail(err, GW_EINTERNAL, "a stored verdict cannot be read");
    }
    *v = (gw_trend_verdict){0};
    v->level = (int32_t)json_integer_value(json_object_get(json, "level"));
    v->kind = (int32_t)json_integer_value(json_object_get(json, "kind"));
    v->quality = (int32_t)json_integer_value(json_object_get(json, "quality"));
    v->pattern = (int32_t)json_integer_value(json_object_get(json, "pattern"));
    v->reasons = (uint32_t)json_integer_value(json_object_get(json, "reasons"));
    v->ask_second = (int32_t)json_integer_value(json_object_get(json, "ask_second"));
    for (size_t i = 0; i < N_NUMBERS; i++) {
        const json_t *number = json_object_get(json, numbers[i].name);
        *number_of(v, i) = json_is_number(number) ? json_number_value(number) : (double)NAN;
    }
    json_decref(json);
    return GW_OK;
}

const char *gw_verdict_reasons_array(gw_arena *arena, uint32_t reasons)
{
    const char *names[GW_REASON_COUNT];
    size_t n = 0;
    for (int bit = 0; bit < GW_REASON_COUNT; bit++)
        if (reasons & (1u << bit)) names[n++] = gw_reason_name(bit);
    return gw_text_of_array(arena, n, names);
}
