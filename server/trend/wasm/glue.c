/*
 * The engine for the web client: fixed arrays of doubles that the page fills and reads, and calls that need nothing
 * but them. No imports, no allocation; every number, flags and enums too, travels as a double.
 *
 * clients/web/src/trend/trend.ts is the only caller and knows the order of the fields below.
 */
#include <gramwell/trend.h>

enum {
    MOST_WEIGHINGS = 256,
    MOST_EVENTS = 64,
    MOST_ITEMS = 128,
    SUBJECT_FIELDS = 7,
    EVENT_FIELDS = 3,
    WEIGHING_FIELDS = 8,
    VERDICT_FIELDS = 22,
    ITEM_FIELDS = 3 + VERDICT_FIELDS,
    SESSION_FIELDS = 7,
};

#define EXPORT(name) __attribute__((export_name(#name)))

static double subject_in[SUBJECT_FIELDS];
static double events_in[MOST_EVENTS][EVENT_FIELDS];
static double weighings_in[MOST_WEIGHINGS][WEIGHING_FIELDS];
static double verdicts_out[MOST_WEIGHINGS][VERDICT_FIELDS];
static double items_in[MOST_ITEMS][ITEM_FIELDS];
static double session_out[SESSION_FIELDS];
static int refused_at;

static gw_trend_event events[MOST_EVENTS];
static gw_trend_weighing weighings[MOST_WEIGHINGS];
static gw_trend_verdict verdicts[MOST_WEIGHINGS];
static gw_trend_session_item items[MOST_ITEMS];
static _Alignas(16) unsigned char workspace[65536];

EXPORT(tr_subject) double *tr_subject(void);
EXPORT(tr_events) double *tr_events(void);
EXPORT(tr_weighings) double *tr_weighings(void);
EXPORT(tr_verdicts) double *tr_verdicts(void);
EXPORT(tr_items) double *tr_items(void);
EXPORT(tr_session_out) double *tr_session_out(void);
EXPORT(tr_at) int tr_at(void);
EXPORT(tr_name) const char *tr_name(int list, int value);
EXPORT(tr_assess) int tr_assess(int n_events, int n, int first);
EXPORT(tr_session) int tr_session(int n);

double *tr_subject(void)
{
    return subject_in;
}

double *tr_events(void)
{
    return &events_in[0][0];
}

double *tr_weighings(void)
{
    return &weighings_in[0][0];
}

double *tr_verdicts(void)
{
    return &verdicts_out[0][0];
}

double *tr_items(void)
{
    return &items_in[0][0];
}

double *tr_session_out(void)
{
    return session_out;
}

/* Index of the value that the last call refused. */
int tr_at(void)
{
    return refused_at;
}

/* Name of a value, so that the page keeps no list of its own. NULL behind the end. */
const char *tr_name(int list, int value)
{
    switch (list) {
    case 0:
        return gw_level_name((gw_level)value);
    case 1:
        return gw_kind_name((gw_kind)value);
    case 2:
        return gw_quality_name((gw_quality)value);
    case 3:
        return gw_pattern_name((gw_pattern)value);
    case 4:
        return gw_reason_name(value);
    case 5:
        return gw_species_name((gw_species)value);
    case 6:
        return gw_sex_name((gw_sex)value);
    case 7:
        return gw_stage_name((gw_stage)value);
    case 8:
        return gw_event_name((gw_event)value);
    default:
        return 0;
    }
}

static void put_verdict(double out[VERDICT_FIELDS], const gw_trend_verdict *v)
{
    const double fields[VERDICT_FIELDS] = {v->expected,
                                           v->low,
                                           v->high,
                                           v->sd,
                                           v->own_level,
                                           v->change_grams,
                                           v->change_pct,
                                           v->week_grams,
                                           v->week_pct,
                                           v->slope_pct_week,
                                           v->slope_low,
                                           v->slope_high,
                                           v->weeks_of_fall,
                                           v->log_odds,
                                           v->mouth_log_odds,
                                           v->error_share,
                                           (double)v->level,
                                           (double)v->kind,
                                           (double)v->quality,
                                           (double)v->pattern,
                                           (double)v->reasons,
                                           (double)v->ask_second};
    for (int i = 0; i < VERDICT_FIELDS; i++) out[i] = fields[i];
}

static void take_verdict(gw_trend_verdict *v, const double in[VERDICT_FIELDS])
{
    *v = (gw_trend_verdict){.expected = in[0],
                            .low = in[1],
                            .high = in[2],
                            .sd = in[3],
                            .own_level = in[4],
                            .change_grams = in[5],
                            .change_pct = in[6],
                            .week_grams = in[7],
                            .week_pct = in[8],
                            .slope_pct_week = in[9],
                            .slope_low = in[10],
                            .slope_high = in[11],
                            .weeks_of_fall = in[12],
                            .log_odds = in[13],
                            .mouth_log_odds = in[14],
                            .error_share = in[15],
                            .level = (int32_t)in[16],
                            .kind = (int32_t)in[17],
                            .quality = (int32_t)in[18],
                            .pattern = (int32_t)in[19],
                            .reasons = (uint32_t)in[20],
                            .ask_second = (int32_t)in[21]};
}

int tr_assess(int n_events, int n, int first)
{
    if (n_events < 0 || n_events > MOST_EVENTS || n < 1 || n > MOST_WEIGHINGS || first < 0 || first >= n)
        return GW_TREND_OPTION;
    for (int i = 0; i < n_events; i++)
        events[i] = (gw_trend_event){.from = events_in[i][0], .to = events_in[i][1], .event = (int32_t)events_in[i][2]};
    for (int i = 0; i < n; i++) {
        const double *w = weighings_in[i];
        weighings[i] = (gw_trend_weighing){.at = w[0],
                                           .grams = w[1],
                                           .second = w[2],
                                           .step = w[3],
                                           .scale = (int32_t)w[4],
                                           .flags = (uint32_t)w[5],
                                           .mouth_looked = (uint32_t)w[6],
                                           .mouth_seen = (uint32_t)w[7]};
    }
    const gw_trend_subject subject = {.birth = subject_in[0],
                                      .arrived = subject_in[1],
                                      .adult_grams = subject_in[2],
                                      .sensitivity = subject_in[3],
                                      .events = events,
                                      .n_events = (size_t)n_events,
                                      .species = (int32_t)subject_in[4],
                                      .sex = (int32_t)subject_in[5],
                                      .stage = (int32_t)subject_in[6]};
    size_t at = 0;
    gw_trend_status status = gw_trend_assess(&subject, (size_t)n, weighings, (size_t)first, workspace, verdicts, &at);
    refused_at = (int)at;
    for (int i = 0; status == GW_TREND_OK && i < n - first; i++) put_verdict(verdicts_out[i], &verdicts[i]);
    return (int)status;
}

int tr_session(int n)
{
    if (n < 1 || n > MOST_ITEMS) return GW_TREND_OPTION;
    for (int i = 0; i < n; i++) {
        items[i] = (gw_trend_session_item){
            .grams = items_in[i][0], .flags = (uint32_t)items_in[i][1], .species = (int32_t)items_in[i][2]};
        take_verdict(&items[i].verdict, &items_in[i][3]);
    }
    gw_trend_session s;
    size_t at = 0;
    gw_trend_status status = gw_trend_session_judge((size_t)n, items, &s, &at);
    refused_at = (int)at;
    if (status != GW_TREND_OK) return (int)status;
    for (int i = 0; i < n; i++) put_verdict(&items_in[i][3], &items[i].verdict);
    const double fields[SESSION_FIELDS] = {s.shift_pct,  s.shift_low,           s.shift_high,    s.tare_grams,
                                           s.tare_share, (double)s.scale_shift, (double)s.n_used};
    for (int i = 0; i < SESSION_FIELDS; i++) session_out[i] = fields[i];
    return GW_TREND_OK;
}
