/*
 * What `gramwell assess` says: rows of CSV or JSON, and a sentence for each reason.
 *
 * The sentences stand here and not in the engine: it knows reasons, each client its own words.
 */
#include "assess.h"

#include "trend_signs.h" /* made from server/trend/profiles/signs.csv */

#include <math.h>
#include <stdarg.h>
#include <stdlib.h>
#include <string.h>

const gw_sign *gw_sign_find(const char *code, size_t length)
{
    for (size_t i = 0; i < sizeof gw_signs / sizeof *gw_signs; i++)
        if (strlen(gw_signs[i].code) == length && memcmp(gw_signs[i].code, code, length) == 0) return &gw_signs[i];
    return NULL;
}

void gw_finding_level(const gw_finding *finding, gw_level *level, gw_kind *kind)
{
    *level = (gw_level)finding->verdict.level;
    *kind = (gw_kind)finding->verdict.kind;
    if (!finding->worst || finding->worst->level <= *level) return;
    *level = finding->worst->level;
    *kind = finding->worst->group ? GW_KIND_DENTAL : GW_KIND_FINDING;
}

/* ---- sentences
 * ------------------------------------------------------------------------------------------------------- */

typedef struct {
    char text[1200];
    size_t used;
} words;

static void add(words *w, const char *format, ...) __attribute__((format(printf, 2, 3)));

static void add(words *w, const char *format, ...)
{
    if (w->used + 2 >= sizeof w->text) return;
    if (w->used) w->text[w->used++] = ' ';
    va_list args;
    va_start(args, format);
    int n = vsnprintf(w->text + w->used, sizeof w->text - w->used, format, args);
    va_end(args);
    size_t left = sizeof w->text - w->used - 1;
    w->used += n < 0 ? 0 : (size_t)n < left ? (size_t)n : left;
}

static void add_illness(words *w, const gw_trend_verdict *v)
{
    switch ((gw_pattern)v->pattern) {
    case GW_PATTERN_ACUTE:
        add(w, "A sudden loss explains the last weighings better than chance.");
        break;
    case GW_PATTERN_SUBACUTE:
        add(w, "It has been losing weight for about %.0f days.", fmax(1, 7 * v->weeks_of_fall));
        break;
    case GW_PATTERN_CHRONIC:
        add(w, "It has been losing weight slowly for about %.0f days.", fmax(1, 7 * v->weeks_of_fall));
        break;
    case GW_PATTERN_STALL:
        add(w, "It grows much less than an animal of its kind and age should.");
        break;
    default:
        break;
    }
}

static void add_reason(words *w, int bit, const gw_trend_verdict *v, double grams)
{
    switch (1 << bit) {
    case GW_REASON_ODDS:
        add_illness(w, v);
        break;
    case GW_REASON_WEEK_PCT:
        add(w, "The loss within a week is past a customary limit (%.1f %% since the last weighing).", -v->week_pct);
        break;
    case GW_REASON_WEEK_GRAMS:
        add(w, "The grams lost within a week are past a customary limit for guinea pigs (%.0f g).", -v->week_grams);
        break;
    case GW_REASON_OWN_LEVEL:
        add(w, "It is %.1f %% under its own level of %.1f g.", -v->change_pct, v->own_level);
        break;
    case GW_REASON_SLOW_FALL:
        if (!(v->reasons & GW_REASON_ODDS)) add(w, "It has fallen 10 %% or more from its peak of the last 90 days.");
        break;
    case GW_REASON_YOUNG_NO_GAIN:
        add(w, "A growing animal that gained nothing since the last weighing.");
        break;
    case GW_REASON_YOUNG_LOSS:
        add(w, "A growing animal that lost weight.");
        break;
    case GW_REASON_GAIN:
        add(w, "It gained %.1f %% in a week.", v->week_pct);
        break;
    case GW_REASON_MOUTH:
        if (v->kind == GW_KIND_DENTAL) add(w, "Signs of the mouth and the weight together point at the teeth.");
        break;
    case GW_REASON_BIRTH:
        add(w, "A birth is recorded since the last weighing: its level starts anew.");
        break;
    case GW_REASON_SURGERY:
        add(w, "After a recorded surgery.");
        break;
    case GW_REASON_ARRIVED:
        add(w, "Just arrived: the first weights may be low.");
        break;
    case GW_REASON_SEASON:
        add(w, "This species changes with the season, so a slow fall alone is only watched.");
        break;
    case GW_REASON_SLIP:
        add(w, "%.1f g looks like a typing slip: weigh again.", grams);
        break;
    case GW_REASON_OTHER_ANIMAL:
        add(w, "%.1f g looks like the weight of another animal: weigh again.", grams);
        break;
    case GW_REASON_LEANING:
        add(w, "It may have leaned or had a foot outside the bowl: weigh again.");
        break;
    case GW_REASON_IMPLAUSIBLE:
        add(w, "%.1f g is outside what can be expected of it: weigh again.", grams);
        break;
    case GW_REASON_TARE:
        add(w, "The bowl was most likely not at zero in this session: weigh again.");
        break;
    case GW_REASON_SCALE_SHIFT:
        add(w, "All animals of this session moved together: test the scale with a known mass, and look at food, water "
               "and heat.");
        break;
    case GW_REASON_NEW_LEVEL:
        add(w, "The weighing before, which was in doubt, is confirmed: the level is new.");
        break;
    case GW_REASON_FIRST:
        add(w, "Fewer than four weighings: little is known yet.");
        break;
    case GW_REASON_COARSE_SCALE:
        add(w, "The step of the scale is too coarse for this animal: use one with finer steps.");
        break;
    case GW_REASON_LOW_FOR_AGE:
        add(w, "It is light for its age.");
        break;
    default:
        break;
    }
}

static void sentences(words *w, const char *grams, const gw_finding *finding)
{
    const gw_trend_verdict *v = &finding->verdict;
    double value = strtod(grams, NULL);
    *w = (words){0};
    if (finding->worst && finding->worst->level > GW_LEVEL_STEADY) add(w, "Seen: %s.", finding->worst->words);
    for (int bit = 0; bit < GW_REASON_COUNT; bit++)
        if (v->reasons & (1u << bit)) add_reason(w, bit, v, value);
    if (w->used == 0) add(w, isnan(v->expected) ? "The first weighing." : "As expected.");
}

/* ---- rows
 * -------------------------------------------------------------------------------------------------------------- */

static void csv_text(FILE *out, const char *text)
{
    if (!text[strcspn(text, ",\"\r\n")]) {
        fputs(text, out);
        return;
    }
    putc('"', out);
    for (; *text; text++) {
        if (*text == '"') putc('"', out);
        putc(*text, out);
    }
    putc('"', out);
}

static void json_text(FILE *out, const char *text)
{
    putc('"', out);
    for (; *text; text++) {
        unsigned char c = (unsigned char)*text;
        if (c == '"' || c == '\\')
            fprintf(out, "\\%c", c);
        else if (c < 0x20)
            fprintf(out, "\\u%04x", c);
        else
            putc(c, out);
    }
    putc('"', out);
}

static void number(FILE *out, bool json, const char *name, double value, int decimals)
{
    /* Nothing is printed as minus nought. */
    double shown = fabs(value) < 0.5 * pow(10, -decimals) ? 0 : value;
    if (json) fprintf(out, ",\"%s\":", name);
    if (!json) putc(',', out);
    if (isfinite(value))
        fprintf(out, "%.*f", decimals, shown);
    else if (json)
        fputs("null", out);
}

static void text(FILE *out, bool json, const char *name, const char *value)
{
    if (json) {
        fprintf(out, ",\"%s\":", name);
        json_text(out, value);
    } else {
        putc(',', out);
        csv_text(out, value);
    }
}

void gw_say_begin(FILE *out, bool json)
{
    fputs(json ? "[" : "animal,at,grams,expected,low,high,change_pct,slope_pct_week,level,kind,quality,reason\n", out);
}

void gw_say_end(FILE *out, bool json, bool empty)
{
    if (json) fputs(empty ? "]\n" : "\n]\n", out);
}

void gw_say_row(FILE *out, bool json, bool first, const char *animal, const char *at, const char *grams,
                const gw_finding *finding)
{
    const gw_trend_verdict *v = &finding->verdict;
    gw_level level;
    gw_kind kind;
    words w;
    gw_finding_level(finding, &level, &kind);
    sentences(&w, grams, finding);
    if (json) {
        fputs(first ? "\n{\"animal\":" : ",\n{\"animal\":", out);
        json_text(out, animal);
    } else {
        csv_text(out, animal);
    }
    text(out, json, "at", at);
    if (json)
        fprintf(out, ",\"grams\":%.10g", strtod(grams, NULL)); /* 007 is no number in JSON */
    else
        fprintf(out, ",%s", grams);
    number(out, json, "expected", v->expected, 1);
    number(out, json, "low", v->low, 1);
    number(out, json, "high", v->high, 1);
    number(out, json, "change_pct", v->change_pct, 2);
    number(out, json, "slope_pct_week", v->slope_pct_week, 2);
    text(out, json, "level", gw_level_name(level));
    text(out, json, "kind", gw_kind_name(kind));
    text(out, json, "quality", gw_quality_name((gw_quality)v->quality));
    text(out, json, "reason", w.text);
    fputs(json ? "}" : "\n", out);
}
