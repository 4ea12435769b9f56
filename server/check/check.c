/*
 * Decoding a check: everything that can be told from the body alone. What needs the catalogue or the animal is said in
 * check_judge.c.
 */
#include "check/check.h"

#include <stdlib.h>
#include <string.h>

#include "json/meaning.h"

const char *const gw_region_names[GW_REGIONS + 1] = {"behaviour", "breathing", "body", "skin",  "coat",  "eyes",
                                                     "ears",      "underside", "feet", "scent", "teeth", NULL};

static const char *const kinds[] = {"weekly", "extra", "weigh_only", "baseline", NULL};
static const char *const answers[] = {"as_usual", "not_looked_at", "findings", NULL}; /* gw_answer less one */
static const char *const grades[] = {"slight", "marked", NULL};
static const char *const sides[] = {"left", "right", "both", NULL};

enum { FUTURE_GRACE_US = 5 * 60 * 1000000, TENTHS_MIN = 1, TENTHS_MAX = 300000 };

static void decode_answers(gw_request *rq, gw_decoder *d, gw_check *out)
{
    gw_decoder object;
    bool all = !strcmp(out->kind, "weekly") || !strcmp(out->kind, "baseline");
    if (!gw_decode_object(d, "/answers", &object)) return;
    for (int region = 0; region < GW_REGIONS; region++) {
        const char *pointer = gw_arena_printf(rq->arena, "/%s", gw_region_names[region]);
        int answer;
        if (all ? gw_decode_enum(&object, pointer, answers, &answer)
                : gw_decode_enum_optional(&object, pointer, answers, &answer))
            out->answers[region] = (gw_answer)(answer + 1);
    }
}

static void decode_findings(gw_request *rq, gw_decoder *d, gw_check *out)
{
    gw_decoder list = gw_decode_array(d, "/findings", 0, GW_FINDINGS_MAX);
    for (size_t i = 0; i < gw_decode_count(&list); i++) {
        gw_decoder one;
        int grade, side;
        gw_finding *f = &out->findings[out->n_findings];
        if (!gw_decode_object(&list, gw_decode_index(&list, i), &one)) continue;
        *f = (gw_finding){.pointer = gw_arena_printf(rq->arena, "%s/findings/%zu", out->pointer, i)};
        gw_decode_text(&one, "/sign", 1, 40, &f->sign);
        if (gw_decode_enum(&one, "/grade", grades, &grade)) f->grade = grades[grade];
        if (gw_decode_enum_optional(&one, "/side", sides, &side)) f->side = sides[side];
        gw_decode_text_optional(&one, "/note", 1, 500, &f->note);
        for (size_t k = 0; k < out->n_findings; k++)
            if (f->sign && out->findings[k].sign && !strcmp(f->sign, out->findings[k].sign))
                gw_decode_fault(&one, "/sign", "is in the list twice", "Put both into one finding.");
        out->n_findings++;
    }
}

static int by_value(const void *a, const void *b)
{
    int32_t x = *(const int32_t *)a, y = *(const int32_t *)b;
    return (x > y) - (x < y);
}

/* The middle reading; of two or four the lower of the middle pair's mean, in whole tenths. */
static int32_t median(const int32_t readings[], size_t n)
{
    int32_t sorted[GW_READINGS_MAX];
    memcpy(sorted, readings, n * sizeof *sorted);
    qsort(sorted, n, sizeof *sorted, by_value);
    return n % 2 ? sorted[n / 2] : (sorted[n / 2 - 1] + sorted[n / 2]) / 2;
}

static void decode_weighing(gw_decoder *d, gw_check *out)
{
    gw_decoder w;
    if (!gw_decode_object_optional(d, "/weighing", &w)) return;
    out->weighed = true;
    gw_decode_uuid(&w, "/scale", &out->scale);
    gw_decode_bool(&w, "/zeroed", &out->zeroed);
    gw_decode_bool(&w, "/confirmed", &out->confirmed);
    gw_decoder readings = gw_decode_array(&w, "/readings", 1, GW_READINGS_MAX);
    for (size_t i = 0; i < gw_decode_count(&readings); i++)
        if (gw_decode_tenths(&readings, gw_decode_index(&readings, i), TENTHS_MIN, TENTHS_MAX,
                             &out->readings[out->n_readings]))
            out->n_readings++;
    if (out->n_readings) out->grams = median(out->readings, out->n_readings);
}

static void decode_moment(gw_decoder *d, gw_check *out)
{
    if (!gw_decode_instant(d, "/at", &out->at)) return;
    gw_instant now = gw_instant_now();
    if (out->at.us > now.us + FUTURE_GRACE_US)
        gw_decode_fault(d, "/at", "lies in the future", "Look at the clock of the phone.");
}

/* A check that only weighs has a weight and nothing else. */
static void check_weigh_only(gw_decoder *d, const gw_check *c)
{
    if (strcmp(c->kind, "weigh_only")) return;
    if (!c->weighed) gw_decode_fault(d, "/weighing", "is missing", "A check that only weighs needs a weight.");
    if (c->n_findings) gw_decode_fault(d, "/findings", "must be empty when only weighing", "Send an extra check.");
    for (int region = 0; region < GW_REGIONS; region++) {
        if (!c->answers[region]) continue;
        gw_decode_fault(d, "/answers", "must be empty when only weighing", "Send an extra check.");
        return;
    }
}

void gw_check_decode(gw_request *rq, gw_decoder *d, const char *id, bool baseline, const char *pointer, gw_check *out)
{
    int kind = -1;
    *out = (gw_check){.id = id, .kind = "baseline", .pointer = pointer, .minutes = -1};
    out->request_hash = gw_json_meaning(rq->arena, d->value);
    if (!id) gw_decode_uuid(d, "/id", &out->id);
    if (!baseline) {
        gw_decode_uuid(d, "/animal", &out->animal);
        gw_decode_uuid(d, "/home", &out->made_in);
        out->kind = gw_decode_enum(d, "/kind", kinds, &kind) ? kinds[kind] : "extra";
    }
    decode_moment(d, out);
    gw_decode_int_optional(d, "/minutes", 0, 600, &out->minutes);
    gw_decode_text_optional(d, "/note", 1, 2000, &out->note);
    decode_answers(rq, d, out);
    decode_findings(rq, d, out);
    decode_weighing(d, out);
    check_weigh_only(d, out);
}
