/*
 * Decoding an arrival: everything that can be told from the body alone.
 */
#include "arrival/arrival.h"

#include <math.h>
#include <string.h>

#include "json/decode.h"
#include "json/meaning.h"

static const char *const kinds[] = {"surrender", "stray", "seizure", "transfer", "born_here", "boarding", NULL};
static const char *const sexes[] = {"female", "male", "unknown", NULL};
static const char *const stages[] = {"young", "adult", "senior", "unknown", NULL};
static const char *const precisions[] = {"day", "month", "year", "guess", NULL};

/* A phone's clock may be five minutes ahead; the longest life of a small animal is under 40 years (common practice). */
enum { FUTURE_GRACE_US = 5 * 60 * 1000000, LIFE_DAYS = 40 * 366, CHIP_TEXT_MAX = 40 };

static void decode_birth(gw_decoder *d, gw_arrival_animal *a, gw_date *birth, bool *has_birth)
{
    int precision = -1;
    *has_birth = gw_decode_date_optional(d, "/birth", birth);
    if (gw_decode_enum_optional(d, "/birth_precision", precisions, &precision))
        a->birth_precision = precisions[precision];
    if (*has_birth && precision < 0 && !gw_decode_has(d, "/birth_precision"))
        gw_decode_fault(d, "/birth_precision", "is missing",
                        "Say how sure the birth date is: day, month, year or guess.");
    if (!gw_decode_has(d, "/birth") && precision >= 0)
        gw_decode_fault(d, "/birth_precision", "is there without a birth date", NULL);
    if (!*has_birth) return;
    a->birth = birth->text;
    a->birth_days = birth->days;
}

static void decode_chip(gw_request *rq, gw_decoder *d, gw_arrival_animal *a)
{
    const char *text, *why;
    char chip[GW_CHIP_TEXT];
    if (!gw_decode_text_optional(d, "/chip", 1, CHIP_TEXT_MAX, &text)) return;
    if (gw_chip_read(text, chip, &why) != GW_CHIP_REFUSED)
        a->chip = gw_arena_strdup(rq->arena, chip);
    else
        gw_decode_fault(d, "/chip", why, "An ISO chip has 15 digits, an older one 9 or 10 digits or letters A to F.");
}

static void decode_animal(gw_request *rq, gw_decoder *d, gw_arrival *out, gw_date *birth, bool *has_birth)
{
    gw_arrival_animal *a = &out->animal;
    gw_decoder object;
    int sex = 0, stage = 3;
    bool neutered;
    *a = (gw_arrival_animal){.birth_days = NAN, .sex = "unknown"};
    *has_birth = false;
    if (!gw_decode_object(d, "/animal", &object)) return;
    gw_decode_uuid(&object, "/id", &a->id);
    gw_decode_text(&object, "/name", 1, 80, &a->name);
    gw_decode_text(&object, "/species", 1, 40, &a->species);
    if (gw_decode_enum(&object, "/sex", sexes, &sex)) a->sex = sexes[sex];
    if (gw_decode_bool_optional(&object, "/neutered", &neutered)) a->neutered = neutered ? "true" : "false";
    decode_birth(&object, a, birth, has_birth);
    gw_decode_enum_optional(&object, "/stage", stages, &stage);
    a->stage = stages[stage];
    gw_decode_text_optional(&object, "/coat", 1, 80, &a->coat);
    gw_decode_text_optional(&object, "/markings", 1, 200, &a->markings);
    gw_decode_text_optional(&object, "/note", 1, 2000, &a->note);
    decode_chip(rq, &object, a);
}

/* The latest day that an instant can be anywhere on earth: its own offset's day. */
static int32_t day_of(const gw_instant *at)
{
    return (int32_t)floor(gw_instant_days(at) + at->offset_minutes / 1440.0);
}

static void check_times(gw_decoder *d, const gw_arrival *a, bool has_at, bool has_birth)
{
    if (has_at && a->at.us > gw_instant_now().us + FUTURE_GRACE_US)
        gw_decode_fault(d, "/at", "lies in the future", NULL);
    if (!has_at || !has_birth) return;
    if (a->animal.birth_days > day_of(&a->at)) gw_decode_fault(d, "/animal/birth", "is later than the arrival", NULL);
    if (a->animal.birth_days < day_of(&a->at) - LIFE_DAYS)
        gw_decode_fault(d, "/animal/birth", "is more than forty years before the arrival", "Look at the year.");
}

gw_status gw_arrival_decode(gw_request *rq, gw_arrival *out, gw_error *err)
{
    int kind = 0;
    gw_date *birth = gw_arena_alloc(rq->arena, sizeof *birth);
    bool has_birth;
    gw_decoder baseline, d = gw_decode(rq, err);
    if (!birth) return gw_fail(err, GW_EINTERNAL, "out of memory");
    *out = (gw_arrival){.id = rq->path[0], .request_hash = gw_json_meaning(rq->arena, d.value)};
    gw_decode_enum(&d, "/kind", kinds, &kind);
    out->kind = kinds[kind];
    out->born_here = !strcmp(out->kind, "born_here");
    bool has_at = gw_decode_instant(&d, "/at", &out->at);
    gw_decode_text_optional(&d, "/from", 1, 200, &out->from);
    gw_decode_text_optional(&d, "/note", 1, 2000, &out->note);
    gw_decode_uuid(&d, "/home", &out->home);
    gw_decode_uuid_optional(&d, "/pen", &out->pen);
    decode_animal(rq, &d, out, birth, &has_birth);
    check_times(&d, out, has_at, has_birth);
    if (gw_decode_object(&d, "/baseline", &baseline))
        gw_check_decode(rq, &baseline, NULL, true, "/baseline", &out->baseline);
    out->baseline.animal = out->animal.id;
    out->baseline.made_in = out->home;
    return gw_decode_done(&d);
}
