/*
 * Judging a check: the engine's word on the weight, the signs' own levels, and the alerts that follow.
 */
#include "check/check.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/number.h"
#include "check/check_db.h"
#include "check/verdict_json.h"
#include "gw_sql.h"

/* Looks per finding at a home: the network is looked at once a home and group. */
static const double SPREAD_P = 0.05;

/* ---- faults that only catalogue and database show ---- */

static void fault_at(gw_request *rq, gw_error *err, const gw_check *c, const char *member, const char *detail,
                     const char *hint)
{
    gw_fault_add(err, gw_arena_printf(rq->arena, "%s%s", c->pointer, member), detail, hint);
}

static void check_answers(gw_request *rq, const gw_check *c, gw_error *err)
{
    for (int region = 0; region < GW_REGIONS; region++) {
        bool has = false;
        for (size_t i = 0; i < c->n_findings; i++)
            if (c->findings[i].region && !strcmp(c->findings[i].region, gw_region_names[region])) has = true;
        if (has == (c->answers[region] == GW_ANSWER_FINDINGS)) continue;
        fault_at(rq, err, c, gw_arena_printf(rq->arena, "/answers/%s", gw_region_names[region]),
                 has ? "has a finding, expected findings" : "says findings, but no finding is of this region", NULL);
    }
}

static gw_status check_known(gw_request *rq, const gw_check *c, const gw_check_context *x, gw_error *err)
{
    if (!x->found) fault_at(rq, err, c, "/animal", "is no animal in your care", "It may have moved or left.");
    if (!x->home_found) fault_at(rq, err, c, "/home", "is no home in your care", "Say in which home it was made.");
    if (c->weighed && !x->scale_found)
        fault_at(rq, err, c, "/weighing/scale", "is no scale in your care", "Choose one of the home's scales.");
    if (!x->found) return err->status;
    for (size_t i = 0; i < c->n_findings; i++)
        if (!c->findings[i].region)
            gw_fault_add(err, gw_arena_printf(rq->arena, "%s/sign", c->findings[i].pointer),
                         "is no sign of the catalogue for this species", NULL);
    check_answers(rq, c, err);
    return err->status;
}

/* ---- signs ---- */

static uint32_t mouth_bit(const char *group)
{
    if (!group) return 0;
    if (!strcmp(group, "teeth")) return GW_MOUTH_TEETH;
    if (!strcmp(group, "chin")) return GW_MOUTH_CHIN;
    return !strcmp(group, "food") ? GW_MOUTH_FOOD : 0;
}

/* All three groups of mouth signs are asked for in the last region, the teeth. */
static void judge_signs(const gw_check *c, gw_check_outcome *out)
{
    gw_answer teeth = c->answers[GW_REGIONS - 1];
    if (teeth == GW_ANSWER_AS_USUAL || teeth == GW_ANSWER_FINDINGS)
        out->mouth_looked = GW_MOUTH_TEETH | GW_MOUTH_CHIN | GW_MOUTH_FOOD;
    for (size_t i = 0; i < c->n_findings; i++) {
        const gw_finding *f = &c->findings[i];
        if (f->usual) continue;
        out->mouth_seen |= mouth_bit(f->group);
        if (f->level > out->sign_level) out->sign_level = f->level;
    }
}

/* ---- the weight ---- */

/* Put the new weighing into the history where its time belongs, after others of the same moment. */
static size_t insert_weighing(gw_check_context *x, const gw_check *c, const gw_check_outcome *o)
{
    double at = (double)c->at.us / 86400e6;
    size_t i = x->n_history;
    while (i > 0 && x->history[i - 1].at > at) {
        x->history[i] = x->history[i - 1];
        x->history_ids[i] = x->history_ids[i - 1];
        x->history_by_session[i] = x->history_by_session[i - 1];
        x->history_levels[i] = x->history_levels[i - 1];
        i--;
    }
    x->history[i] = (gw_trend_weighing){
        .at = at,
        .grams = c->grams / 10.0,
        .second = c->n_readings > 1 ? c->readings[1] / 10.0 : (double)NAN,
        .step = strtod(o->step, NULL),
        .scale = gw_check_scale_number(x, c->scale),
        .flags = c->confirmed ? GW_WEIGHING_CONFIRMED : 0,
        .mouth_looked = o->mouth_looked,
        .mouth_seen = o->mouth_seen,
    };
    x->history_ids[i] = c->id;
    x->history_by_session[i] = false;
    x->history_levels[i] = GW_LEVEL_STEADY;
    x->n_history++;
    return i;
}

static gw_status assess(gw_request *rq, const gw_check_context *x, size_t first, gw_trend_verdict **verdicts,
                        gw_error *err)
{
    size_t at = 0;
    void *workspace = gw_arena_alloc(rq->arena, gw_trend_workspace_size(x->n_history));
    *verdicts = gw_arena_array(rq->arena, x->n_history - first, sizeof **verdicts);
    if (!workspace || !*verdicts) return gw_fail(err, GW_EINTERNAL, "out of memory");
    gw_trend_status status =
        gw_trend_assess(&x->subject.trend, x->n_history, x->history, first, workspace, *verdicts, &at);
    if (status)
        return gw_fail(err, GW_EINTERNAL, "the engine refused value %zu of a stored series (%d)", at, (int)status);
    return GW_OK;
}

/* One changed verdict as an element for check_verdicts.sql. */
static void add_changed(gw_buffer *list, const char *check, const gw_trend_verdict *final, bool by_session,
                        const gw_trend_verdict *alone)
{
    gw_buffer_printf(
        list, "%s{\"check\":\"%s\",\"level\":\"%s\",\"kind\":\"%s\",\"quality\":\"%s\",\"by_session\":%s,\"body\":",
        list->length > 1 ? "," : "", check, gw_level_name((gw_level) final->level), gw_kind_name((gw_kind) final->kind),
        gw_quality_name((gw_quality) final->quality), by_session ? "true" : "false");
    gw_verdict_body(list, final);
    gw_buffer_add(list, ",\"alone\":");
    if (alone)
        gw_verdict_alone(list, alone);
    else
        gw_buffer_add(list, "null");
    gw_buffer_add(list, "}");
}

/* Weighings after this one are judged anew, because they now have another past. What their session said stays. */
static void add_later(gw_buffer *list, const gw_check_context *x, size_t first, const gw_trend_verdict verdicts[],
                      size_t from)
{
    for (size_t i = from; i < x->n_history; i++) {
        gw_trend_verdict final = verdicts[i - first];
        if (x->history_by_session[i]) final.quality = GW_QUALITY_SET_ASIDE;
        add_changed(list, x->history_ids[i], &final, x->history_by_session[i], &verdicts[i - first]);
    }
}

static bool set_by_session(const gw_trend_verdict *alone, const gw_trend_verdict *final)
{
    return final->quality == GW_QUALITY_SET_ASIDE && alone->quality != GW_QUALITY_SET_ASIDE;
}

static void push_call(gw_check_outcome *out, const gw_query *query, const char *const *params)
{
    if (out->n_calls < GW_CHECK_CALLS_MAX) out->calls[out->n_calls++] = (gw_call){query, params};
}

static const char *const *keep(gw_request *rq, size_t n, const char *const values[])
{
    const char **params = gw_arena_array(rq->arena, n, sizeof *params);
    if (params) memcpy(params, values, n * sizeof *params);
    return params;
}

/* Judge the session on this scale again with the new weighing, and note which of the others changed. */
static gw_status judge_session(gw_request *rq, const gw_check_context *x, gw_check_outcome *out, gw_buffer *changed,
                               gw_buffer *withdrawn, gw_trend_session *session, gw_error *err)
{
    size_t n = x->n_mates + 1, at = 0;
    gw_trend_session_item *items = gw_arena_array(rq->arena, n, sizeof *items);
    if (!items) return gw_fail(err, GW_EINTERNAL, "out of memory");
    for (size_t i = 0; i < x->n_mates; i++) items[i] = x->mates[i].item;
    items[n - 1] = (gw_trend_session_item){.grams = out->check->grams / 10.0,
                                           .verdict = out->alone,
                                           .flags = out->check->confirmed ? GW_WEIGHING_CONFIRMED : 0,
                                           .species = x->subject.trend.species};
    if (gw_trend_session_judge(n, items, session, &at))
        return gw_fail(err, GW_EINTERNAL, "the engine refused a session");

    for (size_t i = 0; i < x->n_mates; i++) {
        const gw_mate *m = &x->mates[i];
        const gw_trend_verdict *v = &items[i].verdict;
        bool by_session = set_by_session(&m->item.verdict, v);
        if (v->level == m->level && v->kind == m->kind && v->quality == m->quality && by_session == m->by_session)
            continue;
        add_changed(changed, m->check, v, by_session, NULL);
        if (m->kind != v->kind || by_session)
            gw_buffer_printf(withdrawn, "%s%s", withdrawn->length > 1 ? "," : "", m->check);
    }
    out->verdict = items[n - 1].verdict;
    out->by_session = set_by_session(&out->alone, &out->verdict);
    return GW_OK;
}

/* ---- alerts ---- */

typedef struct {
    gw_kind kind;
    gw_level level;
    const char *scale; /* for kind scale */
    const char *group; /* for kind spread */
    uint32_t reasons;  /* of the engine */
    const char *signs; /* text array */
    const char *facts; /* JSON */
} alert;

static void raise_alert(gw_request *rq, gw_check_outcome *out, const alert *a)
{
    const gw_check *c = out->check;
    const bool on_animal = a->kind != GW_KIND_SCALE && a->kind != GW_KIND_SPREAD;
    const char *const values[] = {gw_kind_name(a->kind),
                                  gw_level_name(a->level),
                                  on_animal ? out->subject.animal : NULL,
                                  on_animal ? out->subject.home : c->made_in,
                                  a->scale,
                                  a->group,
                                  c->at.text,
                                  gw_verdict_reasons_array(rq->arena, a->reasons),
                                  a->signs ? a->signs : "{}",
                                  a->facts ? a->facts : "{}",
                                  c->id};
    push_call(out, &gw_q_alert_raise, keep(rq, sizeof values / sizeof *values, values));
}

static const char *body_text(gw_request *rq, const gw_trend_verdict *v)
{
    gw_buffer out;
    gw_buffer_init(&out, rq->arena, 700);
    gw_verdict_body(&out, v);
    return gw_buffer_text(&out);
}

/* The signs of a check that count, of the mouth or of the rest, and their highest level. */
static const char *signs_of(gw_request *rq, const gw_check *c, bool mouth, gw_level *level)
{
    const char *list[GW_FINDINGS_MAX];
    size_t n = 0;
    *level = GW_LEVEL_STEADY;
    for (size_t i = 0; i < c->n_findings; i++) {
        const gw_finding *f = &c->findings[i];
        if (f->usual || (mouth_bit(f->group) != 0) != mouth) continue;
        list[n++] = f->sign;
        if (f->level > *level) *level = f->level;
    }
    return gw_text_of_array(rq->arena, n, list);
}

/*
 * Weight and mouth. A sign of the mouth makes the alert dental even when the weight alone would name a loss. A weighing
 * that is set aside has a level only when the engine, error weighed against illness, would still have somebody look.
 */
static void raise_weight(gw_request *rq, gw_check_outcome *out)
{
    const gw_trend_verdict *v = &out->verdict;
    gw_level mouth;
    const char *signs = signs_of(rq, out->check, true, &mouth);
    bool weight = out->check->weighed && v->level >= GW_LEVEL_WATCH;
    bool whole_scale = weight && v->kind == GW_KIND_SCALE && v->level < GW_LEVEL_SAME_DAY;
    const char *facts = out->check->weighed ? body_text(rq, v) : NULL;

    if (mouth >= GW_LEVEL_VET_SOON || (weight && v->kind == GW_KIND_DENTAL)) {
        gw_level level = weight && v->kind != GW_KIND_GAIN && (gw_level)v->level > mouth ? (gw_level)v->level : mouth;
        raise_alert(rq, out, &(alert){GW_KIND_DENTAL, level, NULL, NULL, v->reasons, signs, facts});
    } else if (weight && !whole_scale) {
        gw_kind kind = v->kind == GW_KIND_STALL || v->kind == GW_KIND_GAIN ? (gw_kind)v->kind : GW_KIND_LOSS;
        raise_alert(rq, out, &(alert){kind, (gw_level)v->level, NULL, NULL, v->reasons, NULL, facts});
    }
}

static void raise_findings(gw_request *rq, gw_check_outcome *out)
{
    gw_level level;
    const char *signs = signs_of(rq, out->check, false, &level);
    if (level >= GW_LEVEL_VET_SOON) raise_alert(rq, out, &(alert){GW_KIND_FINDING, level, NULL, NULL, 0, signs, NULL});
}

static void raise_scale(gw_request *rq, gw_check_outcome *out, const gw_trend_session *s)
{
    if (!s->scale_shift) return;
    const char *facts =
        gw_arena_printf(rq->arena, "{\"shift_pct\":%.2f,\"shift_low\":%.2f,\"shift_high\":%.2f,\"animals\":%d}",
                        s->shift_pct, s->shift_low, s->shift_high, (int)s->n_used);
    raise_alert(rq, out,
                &(alert){GW_KIND_SCALE, GW_LEVEL_WATCH, out->check->scale, NULL, GW_REASON_SCALE_SHIFT, NULL, facts});
}

static bool group_seen(const gw_check *c, const char *group)
{
    for (size_t i = 0; i < c->n_findings; i++)
        if (c->findings[i].group && !c->findings[i].usual && !strcmp(c->findings[i].group, group)) return true;
    return false;
}

/*
 * A sign group that goes round: at least two animals of the home within the group's window, and more than chance would
 * give against the rest of the network. What people can catch counts from the second animal on.
 */
static void raise_spread(gw_request *rq, gw_check_outcome *out, const gw_spread *s)
{
    double once = 1, corrected = 1;
    uint32_t with = s->here_with + 1, animals = s->here_animals + 1;
    if (with < 2 || !group_seen(out->check, s->group)) return;
    if (gw_trend_spread(with, animals, s->rest_with, s->rest_animals, 1, &once) ||
        gw_trend_spread(with, animals, s->rest_with, s->rest_animals, s->homes, &corrected))
        return;
    if (once >= SPREAD_P && !s->to_people) return;
    const char *facts = gw_arena_printf(rq->arena,
                                        "{\"p_value\":%.3g,\"p_corrected\":%.3g,\"here_with\":%u,\"here_animals\":%u,"
                                        "\"rest_with\":%u,\"rest_animals\":%u}",
                                        once, corrected, with, animals, s->rest_with, s->rest_animals);
    gw_level ignored;
    raise_alert(rq, out,
                &(alert){GW_KIND_SPREAD, corrected < SPREAD_P || s->to_people ? GW_LEVEL_VET_SOON : GW_LEVEL_WATCH,
                         NULL, s->group, 0, signs_of(rq, out->check, false, &ignored), facts});
}

/*
 * The newest weight when another past makes it more urgent than was said: after a late check, an event, a correction.
 * What its session said of it stays. An alert is left alone unless the level rose.
 */
static void raise_newest(gw_request *rq, const gw_check_context *x, const gw_trend_verdict *verdict,
                         gw_check_outcome *out)
{
    size_t i = x->n_history - 1;
    if (x->history_by_session[i] || (gw_level)verdict->level <= x->history_levels[i]) return;
    gw_check *newest = gw_arena_alloc(rq->arena, sizeof *newest);
    if (!newest) return;
    *newest = (gw_check){.id = x->history_ids[i], .weighed = true};
    newest->at = gw_instant_make(llround(x->history[i].at * 86400e6), 0);
    gw_check_outcome of_newest = {.check = newest, .subject = x->subject, .verdict = *verdict};
    raise_weight(rq, &of_newest);
    for (size_t k = 0; k < of_newest.n_calls; k++) push_call(out, of_newest.calls[k].query, of_newest.calls[k].params);
}

/* ---- all together ---- */

static gw_status judge_weight(gw_request *rq, gw_check_context *x, gw_check_outcome *out, gw_buffer *changed,
                              gw_buffer *withdrawn, gw_trend_session *session, const gw_trend_verdict **newest,
                              gw_error *err)
{
    gw_trend_verdict *verdicts;
    out->step = x->step;
    size_t first = insert_weighing(x, out->check, out);
    gw_status status = assess(rq, x, first, &verdicts, err);
    if (status) return status;
    out->alone = verdicts[0];
    add_later(changed, x, first, verdicts, first + 1);
    if (first + 1 < x->n_history) *newest = &verdicts[x->n_history - 1 - first];
    return judge_session(rq, x, out, changed, withdrawn, session, err);
}

static void overall(gw_check_outcome *out)
{
    out->level = out->sign_level;
    out->kind = out->sign_level > GW_LEVEL_STEADY ? GW_KIND_FINDING : GW_KIND_NONE;
    if (!out->check->weighed || (gw_level)out->verdict.level < out->level) return;
    if (out->verdict.level == GW_LEVEL_STEADY) return;
    out->level = (gw_level)out->verdict.level;
    out->kind = (gw_kind)out->verdict.kind;
}

gw_status gw_check_judge(gw_request *rq, gw_check *check, const gw_check_subject *subject, gw_check_outcome *out,
                         gw_error *err)
{
    gw_check_context x;
    gw_buffer changed, withdrawn;
    gw_trend_session session = {0};
    const gw_trend_verdict *newest = NULL; /* of a weight that is newer than this one; NULL: there is none */
    *out = (gw_check_outcome){.check = check};
    gw_status status = gw_check_read(rq, check, subject, &x, err);
    if (status) return status;
    out->stored_hash = x.stored_hash;
    if (x.stored_hash) return GW_OK;
    status = check_known(rq, check, &x, err);
    if (status) return status;

    out->subject = x.subject;
    gw_buffer_init(&changed, rq->arena, 0);
    gw_buffer_init(&withdrawn, rq->arena, 0);
    gw_buffer_add(&changed, "[");
    gw_buffer_add(&withdrawn, "{");
    judge_signs(check, out);
    if (check->weighed) status = judge_weight(rq, &x, out, &changed, &withdrawn, &session, &newest, err);
    if (status) return status;
    overall(out);

    gw_call write = gw_check_add_call(rq, out);
    push_call(out, write.query, write.params);
    if (changed.length > 1) {
        gw_buffer_add(&changed, "]");
        push_call(out, &gw_q_check_verdicts, keep(rq, 1, (const char *const[]){gw_buffer_text(&changed)}));
    }
    if (withdrawn.length > 1) {
        gw_buffer_add(&withdrawn, "}");
        push_call(out, &gw_q_alert_withdraw, keep(rq, 1, (const char *const[]){gw_buffer_text(&withdrawn)}));
    }
    raise_weight(rq, out);
    if (newest) raise_newest(rq, &x, newest, out);
    raise_findings(rq, out);
    raise_scale(rq, out, &session);
    for (size_t i = 0; i < x.n_spreads; i++) raise_spread(rq, out, &x.spreads[i]);
    return gw_arena_failed(rq->arena) ? gw_fail(err, GW_EINTERNAL, "out of memory") : GW_OK;
}

/* ---- again, after the past has changed ---- */

static gw_status reassess_once(gw_request *rq, const char *animal, gw_error *err)
{
    gw_check_context x;
    gw_trend_verdict *verdicts;
    gw_buffer changed;
    gw_status status = gw_check_read_animal(rq, animal, &x, err);
    if (status || !x.found || x.n_history == 0) return status;
    status = assess(rq, &x, 0, &verdicts, err);
    if (status) return status;

    gw_buffer_init(&changed, rq->arena, 1000 * x.n_history);
    gw_buffer_add(&changed, "[");
    add_later(&changed, &x, 0, verdicts, 0);
    gw_buffer_add(&changed, "]");
    const char *const done[] = {animal, gw_text_of_int(rq->arena, x.subject.version)};
    gw_check_outcome out = {.subject = x.subject};
    push_call(&out, &gw_q_check_reassessed, done);
    push_call(&out, &gw_q_check_verdicts, keep(rq, 1, (const char *const[]){gw_buffer_text(&changed)}));
    raise_newest(rq, &x, &verdicts[x.n_history - 1], &out);
    return gw_db_run_many(rq, out.n_calls, out.calls, NULL, err);
}

gw_status gw_check_reassess(gw_request *rq, const char *animal, gw_error *err)
{
    gw_error attempt;
    gw_status status = GW_ESTALE;
    for (int tries = 0; tries < GW_CHECK_TRIES && status == GW_ESTALE; tries++) {
        if (tries > 1) gw_db_pause(tries);
        gw_error_init(&attempt, rq->arena);
        status = reassess_once(rq, animal, &attempt);
    }
    if (status && err) *err = attempt;
    return status;
}
