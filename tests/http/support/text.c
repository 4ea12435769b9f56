#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "base/time.h"
#include "base/uuid.h"
#include "support/world_private.h"

/* Texts live until the process of the test ends; the list keeps them reachable for the leak check. */
static struct kept {
    struct kept *next;
    char text[];
} * kept;

static char *format(const char *fmt, va_list args)
{
    va_list again;
    va_copy(again, args);
    int n = vsnprintf(NULL, 0, fmt, again);
    va_end(again);
    struct kept *k = malloc(sizeof *k + (size_t)n + 1);
    if (!k) abort();
    vsnprintf(k->text, (size_t)n + 1, fmt, args);
    k->next = kept;
    kept = k;
    return k->text;
}

const char *gw_text(const char *fmt, ...)
{
    va_list args;
    va_start(args, fmt);
    char *text = format(fmt, args);
    va_end(args);
    return text;
}

const char *gw_json(const char *fmt, ...)
{
    va_list args;
    va_start(args, fmt);
    char *text = format(fmt, args);
    va_end(args);
    for (char *c = text; *c; c++)
        if (*c == '\'') *c = '"';
    return text;
}

const char *gw_id(void)
{
    char id[GW_UUID_TEXT];
    gw_uuid_make(id);
    return gw_text("%s", id);
}

const char *gw_days_ago(double days)
{
    return gw_text("%s", gw_instant_make(gw_instant_now().us - llround(days * 86400e6), 0).text);
}

static const json_t *find(const json_t *value, const char *pointer)
{
    char name[128];
    while (value && *pointer == '/') {
        size_t n = strcspn(pointer + 1, "/");
        snprintf(name, sizeof name, "%.*s", (int)n, pointer + 1);
        value = json_is_array(value) ? json_array_get(value, strtoul(name, NULL, 10)) : json_object_get(value, name);
        pointer += n + 1;
    }
    return value;
}

const char *gw_at(const gw_answer *answer, const char *pointer)
{
    const json_t *value = find(answer->json, pointer);
    if (!value) return "missing";
    if (json_is_string(value)) return json_string_value(value);
    if (json_is_integer(value)) return gw_text("%lld", (long long)json_integer_value(value));
    if (json_is_real(value)) return gw_text("%g", json_real_value(value));
    char *dumped = json_dumps(value, JSON_ENCODE_ANY | JSON_COMPACT);
    const char *text = gw_text("%s", dumped ? dumped : "");
    free(dumped);
    return text;
}

double gw_number_at(const gw_answer *answer, const char *pointer)
{
    const json_t *value = find(answer->json, pointer);
    return json_is_number(value) ? json_number_value(value) : NAN;
}

size_t gw_count_at(const gw_answer *answer, const char *pointer)
{
    return json_array_size(find(answer->json, pointer));
}

bool gw_has_fault(const gw_answer *answer, const char *pointer)
{
    size_t i;
    json_t *fault;
    json_array_foreach(json_object_get(answer->json, "errors"), i, fault)
    {
        const char *at = json_string_value(json_object_get(fault, "pointer"));
        if (at && !strcmp(at, pointer)) return true;
    }
    return false;
}
