#include "check/check_db.h"

#include <math.h>
#include <string.h>

#include "base/number.h"
#include "check/verdict_json.h"
#include "gw_sql.h"

enum { SCALES_MAX = 32 };

static const char **params_of(gw_request *rq, size_t n)
{
    return gw_arena_array(rq->arena, n, sizeof(const char *));
}

static gw_call call1(gw_request *rq, const gw_query *q, const char *a)
{
    const char **p = params_of(rq, 1);
    if (p) p[0] = a;
    return (gw_call){q, p};
}

int32_t gw_check_scale_number(gw_check_context *context, const char *scale)
{
    if (!scale) return -1;
    for (int32_t i = 0; i < context->n_scales; i++)
        if (!strcmp(context->scales[i], scale)) return i;
    if (context->n_scales == SCALES_MAX) return -1;
    context->scales[context->n_scales] = scale;
    return context->n_scales++;
}

/* Days with fractions from microseconds: the same arithmetic for stored and new checks. */
static double days_of(int64_t us)
{
    return (double)us / 86400e6;
}

static void read_subject(const gw_rows *rows, const char *animal, gw_check_context *out)
{
    gw_check_subject *s = &out->subject;
    out->found = gw_rows_count(rows) == 1;
    if (!out->found) return;
    s->animal = animal;
    s->version = gw_rows_int64(rows, 0, 0);
    s->species = gw_rows_text(rows, 0, 1);
    s->trend.species = gw_species_from_name(s->species);
    s->trend.sex = gw_sex_from_name(gw_rows_text(rows, 0, 2));
    s->trend.stage = gw_stage_from_name(gw_rows_text(rows, 0, 3));
    s->trend.birth = gw_rows_double(rows, 0, 4);
    s->trend.arrived = gw_rows_double(rows, 0, 5);
    s->trend.adult_grams = gw_rows_double(rows, 0, 6);
    s->trend.sensitivity = gw_rows_double(rows, 0, 7);
    s->home = gw_rows_text(rows, 0, 8);
}

static void read_events(gw_request *rq, const gw_rows *rows, gw_check_context *out)
{
    size_t n = gw_rows_count(rows);
    gw_trend_event *events = gw_arena_array(rq->arena, n, sizeof *events);
    if (!events) return;
    for (size_t i = 0; i < n; i++)
        events[i] = (gw_trend_event){.event = gw_event_from_name(gw_rows_text(rows, i, 0)),
                                     .from = gw_rows_double(rows, i, 1),
                                     .to = gw_rows_double(rows, i, 2)};
    out->subject.trend.events = events;
    out->subject.trend.n_events = n;
}

static void read_history(gw_request *rq, const gw_rows *rows, gw_check_context *out)
{
    size_t n = gw_rows_count(rows);
    out->history = gw_arena_array(rq->arena, n + 1, sizeof *out->history);
    out->history_ids = gw_arena_array(rq->arena, n + 1, sizeof *out->history_ids);
    out->history_by_session = gw_arena_array(rq->arena, n + 1, sizeof *out->history_by_session);
    out->history_levels = gw_arena_array(rq->arena, n + 1, sizeof *out->history_levels);
    out->scales = gw_arena_array(rq->arena, SCALES_MAX, sizeof *out->scales);
    if (gw_arena_failed(rq->arena)) return;
    out->n_history = n;
    for (size_t i = 0; i < n; i++) {
        out->history_ids[i] = gw_rows_text(rows, i, 0);
        out->history_by_session[i] = gw_rows_bool(rows, i, 9);
        out->history_levels[i] = (gw_level)gw_level_from_name(gw_rows_text(rows, i, 10));
        out->history[i] = (gw_trend_weighing){
            .at = days_of(gw_rows_int64(rows, i, 1)),
            .grams = gw_rows_double(rows, i, 2),
            .second = gw_rows_double(rows, i, 3),
            .step = gw_rows_double(rows, i, 4),
            .scale = gw_check_scale_number(out, gw_rows_text(rows, i, 5)),
            .flags = (gw_rows_bool(rows, i, 6) ? GW_WEIGHING_CONFIRMED : 0) |
                     (out->history_by_session[i] ? GW_WEIGHING_SET_ASIDE : 0),
            .mouth_looked = (uint32_t)gw_rows_int64(rows, i, 7),
            .mouth_seen = (uint32_t)gw_rows_int64(rows, i, 8),
        };
    }
}

static gw_status read_mates(gw_request *rq, const gw_rows *rows, gw_check_context *out, gw_error *err)
{
    size_t n = gw_rows_count(rows);
    out->mates = gw_arena_array(rq->arena, n, sizeof *out->mates);
    if (!out->mates) return gw_fail(err, GW_EINTERNAL, "out of memory");
    for (size_t i = 0; i < n; i++) {
        gw_mate *m = &out->mates[i];
        gw_status status = gw_verdict_parse(gw_rows_text(rows, i, 4), &m->item.verdict, err);
        if (status) return status;
        m->check = gw_rows_text(rows, i, 0);
        m->item.species = gw_species_from_name(gw_rows_text(rows, i, 1));
        m->item.grams = gw_rows_double(rows, i, 2);
        m->item.flags = gw_rows_bool(rows, i, 3) ? GW_WEIGHING_CONFIRMED : 0;
        m->level = gw_level_from_name(gw_rows_text(rows, i, 5));
        m->kind = gw_kind_from_name(gw_rows_text(rows, i, 6));
        m->quality = gw_quality_from_name(gw_rows_text(rows, i, 7));
        m->by_session = gw_rows_bool(rows, i, 8);
    }
    out->n_mates = n;
    return GW_OK;
}

static void read_signs(const gw_rows *rows, gw_check *check)
{
    for (size_t i = 0; i < gw_rows_count(rows); i++) {
        gw_finding *f = &check->findings[gw_rows_int64(rows, i, 0) - 1];
        f->region = gw_rows_text(rows, i, 1);
        f->level = (gw_level)gw_level_from_name(gw_rows_text(rows, i, 2));
        f->group = gw_rows_text(rows, i, 3);
        f->window_days = (int)gw_rows_int64(rows, i, 4);
        f->to_people = gw_rows_bool(rows, i, 5);
        f->usual = gw_rows_bool(rows, i, 6);
    }
}

static void read_spreads(const gw_rows *rows, gw_check_context *out)
{
    for (size_t i = 0; i < gw_rows_count(rows) && i < GW_SPREADS_MAX; i++)
        out->spreads[out->n_spreads++] = (gw_spread){
            .group = gw_rows_text(rows, i, 0),
            .to_people = gw_rows_bool(rows, i, 2),
            .here_with = (uint32_t)gw_rows_int64(rows, i, 3),
            .here_animals = (uint32_t)gw_rows_int64(rows, i, 4),
            .rest_with = (uint32_t)gw_rows_int64(rows, i, 5),
            .rest_animals = (uint32_t)gw_rows_int64(rows, i, 6),
            .homes = (uint32_t)gw_rows_int64(rows, i, 7),
        };
}

/* The sign codes of the findings, and their grades, as two arrays. */
static const char *finding_array(gw_request *rq, const gw_check *check, bool grades)
{
    const char *list[GW_FINDINGS_MAX];
    for (size_t i = 0; i < check->n_findings; i++)
        list[i] = grades ? check->findings[i].grade : check->findings[i].sign;
    return gw_text_of_array(rq->arena, check->n_findings, list);
}

/* Places of the statements in the round trip; -1: not sent. */
typedef struct {
    int seen, home, subject, events, history, scale, mates, signs, spread;
    size_t n;
    gw_call calls[9];
} plan;

static int add(plan *p, gw_call call)
{
    p->calls[p->n] = call;
    return (int)p->n++;
}

static plan plan_read(gw_request *rq, const gw_check *c, const gw_check_subject *subject)
{
    plan p = {-1, -1, -1, -1, -1, -1, -1, -1, -1, 0, {{0}}};
    p.seen = add(&p, call1(rq, &gw_q_check_seen, c->id));
    p.home = add(&p, call1(rq, &gw_q_check_home, c->made_in));
    if (!subject) {
        p.subject = add(&p, call1(rq, &gw_q_check_subject, c->animal));
        p.events = add(&p, call1(rq, &gw_q_check_events, c->animal));
    }
    if (!subject && c->weighed) p.history = add(&p, call1(rq, &gw_q_check_history, c->animal));
    if (c->weighed) {
        const char **m = params_of(rq, 3);
        if (m) m[0] = c->scale, m[1] = c->at.text, m[2] = c->animal;
        p.scale = add(&p, call1(rq, &gw_q_check_scale, c->scale));
        p.mates = add(&p, (gw_call){&gw_q_check_mates, m});
    }
    return p;
}

/* The species is needed to look signs up, so they take a trip of their own; most checks have none. */
static gw_status read_findings(gw_request *rq, gw_check *c, gw_check_context *out, gw_error *err)
{
    const char *signs = finding_array(rq, c, false), *grades = finding_array(rq, c, true);
    const char *const lookup[] = {signs, c->animal, out->subject.species, grades};
    const char *const spread[] = {c->made_in, c->animal, signs, c->at.text};
    const gw_call calls[] = {{&gw_q_check_signs, lookup}, {&gw_q_check_spread, spread}};
    gw_rows rows[2];
    gw_status status = gw_db_run_many(rq, 2, calls, rows, err);
    if (status) return status;
    read_signs(&rows[0], c);
    read_spreads(&rows[1], out);
    return GW_OK;
}

gw_status gw_check_read(gw_request *rq, gw_check *c, const gw_check_subject *subject, gw_check_context *out,
                        gw_error *err)
{
    gw_rows rows[9];
    plan p = plan_read(rq, c, subject);
    *out = (gw_check_context){0};
    gw_status status = gw_db_run_many(rq, p.n, p.calls, rows, err);
    if (status) return status;

    out->stored_hash = gw_rows_text(&rows[p.seen], 0, 0);
    out->home_found = gw_rows_count(&rows[p.home]) == 1;
    out->found = subject != NULL;
    if (subject) out->subject = *subject;
    if (p.subject >= 0) read_subject(&rows[p.subject], c->animal, out);
    if (p.events >= 0) read_events(rq, &rows[p.events], out);
    read_history(rq, p.history >= 0 ? &rows[p.history] : &(gw_rows){0}, out);
    if (p.scale >= 0) {
        out->step = gw_rows_text(&rows[p.scale], 0, 0);
        out->scale_found = out->step != NULL;
        status = read_mates(rq, &rows[p.mates], out, err);
        if (status) return status;
    }
    if (gw_arena_failed(rq->arena)) return gw_fail(err, GW_EINTERNAL, "out of memory");
    if (c->n_findings && out->found && !out->stored_hash) return read_findings(rq, c, out, err);
    return GW_OK;
}

gw_status gw_check_read_animal(gw_request *rq, const char *animal, gw_check_context *out, gw_error *err)
{
    const gw_call calls[] = {call1(rq, &gw_q_check_subject, animal), call1(rq, &gw_q_check_events, animal),
                             call1(rq, &gw_q_check_history, animal)};
    gw_rows rows[3];
    *out = (gw_check_context){0};
    gw_status status = gw_db_run_many(rq, 3, calls, rows, err);
    if (status) return status;
    read_subject(&rows[0], animal, out);
    read_events(rq, &rows[1], out);
    read_history(rq, &rows[2], out);
    return gw_arena_failed(rq->arena) ? gw_fail(err, GW_EINTERNAL, "out of memory") : GW_OK;
}

static const char *answers_json(gw_request *rq, const gw_check *c)
{
    static const char *const words[] = {NULL, "as_usual", "not_looked_at", "findings"};
    gw_buffer out;
    const char *comma = "";
    gw_buffer_init(&out, rq->arena, 400);
    gw_buffer_add(&out, "{");
    for (int region = 0; region < GW_REGIONS; region++) {
        if (!c->answers[region]) continue;
        gw_buffer_printf(&out, "%s\"%s\":\"%s\"", comma, gw_region_names[region], words[c->answers[region]]);
        comma = ",";
    }
    gw_buffer_add(&out, "}");
    return gw_buffer_text(&out);
}

static const char *findings_json(gw_request *rq, const gw_check *c)
{
    gw_buffer out;
    gw_buffer_init(&out, rq->arena, 0);
    gw_buffer_add(&out, "[");
    for (size_t i = 0; i < c->n_findings; i++) {
        const gw_finding *f = &c->findings[i];
        gw_buffer_printf(&out, "%s{\"sign\":", i ? "," : "");
        gw_buffer_json_text(&out, f->sign);
        gw_buffer_printf(&out, ",\"region\":\"%s\",\"sign_group\":", f->region);
        gw_buffer_json_text(&out, f->group);
        gw_buffer_printf(&out, ",\"grade\":\"%s\",\"side\":", f->grade);
        gw_buffer_json_text(&out, f->side);
        gw_buffer_add(&out, ",\"note\":");
        gw_buffer_json_text(&out, f->note);
        gw_buffer_printf(&out, ",\"usual\":%s}", f->usual ? "true" : "false");
    }
    gw_buffer_add(&out, "]");
    return gw_buffer_text(&out);
}

/* How often a region was looked at (0), had a finding that is not usual (1), a marked one (2): 0 or 1 a region. */
static const char *counts_array(gw_request *rq, const gw_check *c, int what)
{
    int counts[GW_REGIONS] = {0};
    gw_buffer out;
    for (int region = 0; region < GW_REGIONS; region++)
        if (what == 0)
            counts[region] = c->answers[region] == GW_ANSWER_AS_USUAL || c->answers[region] == GW_ANSWER_FINDINGS;
    for (size_t i = 0; what > 0 && i < c->n_findings; i++)
        for (int region = 0; region < GW_REGIONS; region++)
            if (!c->findings[i].usual && !strcmp(c->findings[i].region, gw_region_names[region]) &&
                (what == 1 || !strcmp(c->findings[i].grade, "marked")))
                counts[region] = 1;
    gw_buffer_init(&out, rq->arena, 32);
    for (int region = 0; region < GW_REGIONS; region++)
        gw_buffer_printf(&out, "%c%d", region ? ',' : '{', counts[region]);
    gw_buffer_add(&out, "}");
    return gw_buffer_text(&out);
}

static const char *readings_array(gw_request *rq, const gw_check *c)
{
    const char *list[GW_READINGS_MAX];
    for (size_t i = 0; i < c->n_readings; i++) list[i] = gw_text_of_tenths(rq->arena, c->readings[i]);
    return gw_text_of_array(rq->arena, c->n_readings, list);
}

static const char *verdict_text(gw_request *rq, const gw_trend_verdict *verdict,
                                void (*write)(gw_buffer *, const gw_trend_verdict *))
{
    gw_buffer out;
    gw_buffer_init(&out, rq->arena, 700);
    write(&out, verdict);
    return gw_buffer_text(&out);
}

/* The order is that of check_add.sql. */
gw_call gw_check_add_call(gw_request *rq, const gw_check_outcome *o)
{
    const gw_check *c = o->check;
    const bool weighed = c->weighed;
    const char *const values[] = {
        c->id,
        o->subject.animal,
        gw_text_of_int(rq->arena, o->subject.version),
        c->made_in,
        c->kind,
        c->at.text,
        c->minutes < 0 ? NULL : gw_text_of_int(rq->arena, c->minutes),
        answers_json(rq, c),
        c->note,
        weighed ? c->scale : NULL,
        weighed ? o->step : NULL,
        weighed ? readings_array(rq, c) : NULL,
        weighed ? gw_text_of_tenths(rq->arena, c->grams) : NULL,
        weighed ? gw_text_of_bool(c->zeroed) : NULL,
        gw_text_of_bool(c->confirmed),
        gw_text_of_int(rq->arena, o->mouth_looked),
        gw_text_of_int(rq->arena, o->mouth_seen),
        gw_level_name(o->sign_level),
        c->request_hash,
        findings_json(rq, c),
        counts_array(rq, c, 0),
        counts_array(rq, c, 1),
        counts_array(rq, c, 2),
        weighed ? verdict_text(rq, &o->verdict, gw_verdict_body) : NULL,
        weighed ? verdict_text(rq, &o->alone, gw_verdict_alone) : NULL,
        weighed ? gw_level_name((gw_level)o->verdict.level) : NULL,
        weighed ? gw_kind_name((gw_kind)o->verdict.kind) : NULL,
        weighed ? gw_quality_name((gw_quality)o->verdict.quality) : NULL,
        gw_text_of_bool(o->by_session),
        gw_level_name(o->level),
        gw_kind_name(o->kind),
    };
    const char **params = params_of(rq, sizeof values / sizeof *values);
    if (params) memcpy(params, values, sizeof values);
    return (gw_call){&gw_q_check_add, params};
}
