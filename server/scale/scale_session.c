#include "scale/scale_session.h"

#include <gramwell/trend.h>
#include <math.h>
#include <string.h>

#include "check/verdict_json.h"

/* Columns of scale_weighings.sql. */
enum { AT, US, ANIMAL, SPECIES, GRAMS, CONFIRMED, ALONE };

static const int64_t session_us = (int64_t)GW_SESSION_HOURS * 3600 * 1000000;

static void add_number(gw_buffer *out, const char *name, double value)
{
    if (isfinite(value))
        gw_buffer_printf(out, ",\"%s\":%.2f", name, value);
    else
        gw_buffer_printf(out, ",\"%s\":null", name);
}

/* The newest weight of each animal in rows first..end-1; the rows come newest first. */
static gw_status collect(const gw_rows *rows, size_t first, size_t end, gw_trend_session_item items[], size_t *n,
                         gw_error *err)
{
    *n = 0;
    for (size_t i = first; i < end && *n < GW_SESSION_ANIMALS_MAX; i++) {
        bool seen = false;
        for (size_t j = first; j < i && !seen; j++)
            seen = !strcmp(gw_rows_text(rows, i, ANIMAL), gw_rows_text(rows, j, ANIMAL));
        if (seen) continue;
        gw_trend_session_item *item = &items[(*n)++];
        *item = (gw_trend_session_item){.grams = gw_rows_double(rows, i, GRAMS),
                                        .flags = gw_rows_bool(rows, i, CONFIRMED) ? GW_WEIGHING_CONFIRMED : 0,
                                        .species = gw_species_from_name(gw_rows_text(rows, i, SPECIES))};
        gw_status status = gw_verdict_parse(gw_rows_text(rows, i, ALONE), &item->verdict, err);
        if (status) return status;
    }
    return GW_OK;
}

static gw_status add_session(const gw_rows *rows, size_t first, size_t end, gw_trend_session_item items[],
                             gw_buffer *out, gw_error *err)
{
    size_t n;
    gw_trend_session s = {0};
    gw_status status = collect(rows, first, end, items, &n, err);
    if (status) return status;
    if (gw_trend_session_judge(n, items, &s, NULL) != GW_TREND_OK)
        return gw_fail(err, GW_EINTERNAL, "a stored verdict cannot be judged again");
    bool compared = s.n_used >= 3; /* those set aside for a bowl not at zero do not count for the shift */
    gw_buffer_add(out, "{\"from\":");
    gw_buffer_json_text(out, gw_rows_text(rows, end - 1, AT));
    gw_buffer_add(out, ",\"to\":");
    gw_buffer_json_text(out, gw_rows_text(rows, first, AT));
    gw_buffer_printf(out, ",\"animals\":%zu,\"used\":%d", n, (int)s.n_used);
    add_number(out, "shift_pct", compared ? s.shift_pct : NAN);
    add_number(out, "shift_low", compared ? s.shift_low : NAN);
    add_number(out, "shift_high", compared ? s.shift_high : NAN);
    gw_buffer_printf(out, ",\"scale_shift\":%s", s.scale_shift ? "true" : "false");
    add_number(out, "tare_grams", n >= 2 ? s.tare_grams : NAN);
    add_number(out, "tare_share", n >= 2 ? s.tare_share : NAN);
    gw_buffer_add(out, "}");
    return GW_OK;
}

gw_status gw_scale_sessions(const gw_rows *weighings, gw_buffer *out, gw_error *err)
{
    size_t n = gw_rows_count(weighings);
    gw_trend_session_item *items = gw_arena_array(out->arena, GW_SESSION_ANIMALS_MAX, sizeof *items);
    if (!items) return gw_fail(err, GW_EINTERNAL, "out of memory");
    gw_buffer_add(out, "[");
    for (size_t first = 0, end; first < n; first = end) {
        for (end = first + 1; end < n; end++)
            if (gw_rows_int64(weighings, first, US) - gw_rows_int64(weighings, end, US) > session_us) break;
        if (first) gw_buffer_add(out, ",");
        gw_status status = add_session(weighings, first, end, items, out, err);
        if (status) return status;
    }
    gw_buffer_add(out, "]");
    return GW_OK;
}
