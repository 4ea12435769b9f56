#include "http/request.h"

#include <errno.h>
#include <stdlib.h>
#include <string.h>

#include "base/uuid.h"

const char *gw_request_query(const gw_request *rq, const char *name)
{
    for (size_t i = 0; i < rq->n_query; i++)
        if (strcmp(rq->query[i].name, name) == 0) return rq->query[i].value;
    return NULL;
}

gw_status gw_request_query_int(const gw_request *rq, const char *name, int64_t min, int64_t max, int64_t absent,
                               int64_t *out, gw_error *err)
{
    const char *text = gw_request_query(rq, name);
    *out = absent;
    if (!text) return GW_OK;
    char *end;
    errno = 0;
    long long value = strtoll(text, &end, 10);
    bool plain = *text == '-' || (*text >= '0' && *text <= '9'); /* strtoll also takes blanks and + */
    if (!plain || *end || errno || value < min || value > max)
        return gw_fail(err, GW_EINPUT, "%s is \"%.40s\", expected a whole number from %lld to %lld", name, text,
                       (long long)min, (long long)max);
    *out = value;
    return GW_OK;
}

gw_status gw_request_query_uuid(const gw_request *rq, const char *name, const char **out, gw_error *err)
{
    const char *text = gw_request_query(rq, name);
    char uuid[GW_UUID_TEXT];
    *out = NULL;
    if (!text) return GW_OK;
    if (!gw_uuid_read(text, uuid)) return gw_fail(err, GW_EINPUT, "%s is \"%.40s\", expected a UUID", name, text);
    *out = gw_arena_strdup(rq->arena, uuid);
    return *out ? GW_OK : gw_fail(err, GW_EINTERNAL, "out of memory");
}

gw_status gw_request_query_enum(const gw_request *rq, const char *name, const char *const names[], int absent, int *out,
                                gw_error *err)
{
    const char *text = gw_request_query(rq, name);
    *out = absent;
    if (!text) return GW_OK;
    for (int i = 0; names[i]; i++) {
        if (strcmp(names[i], text) != 0) continue;
        *out = i;
        return GW_OK;
    }
    return gw_fail(err, GW_EINPUT, "%s is \"%.40s\", which is not one of its words", name, text);
}

gw_status gw_request_query_instant(const gw_request *rq, const char *name, gw_instant *out, gw_error *err)
{
    const char *text = gw_request_query(rq, name);
    if (!text) {
        *out = gw_instant_now();
        return GW_OK;
    }
    char *copy = gw_arena_strdup(rq->arena, text);
    if (!copy) return gw_fail(err, GW_EINTERNAL, "out of memory");
    char *blank = strchr(copy, ' ');
    if (blank) *blank = '+';
    if (gw_instant_parse(copy, out, NULL))
        return gw_fail(err, GW_EINPUT, "%s is \"%.40s\", expected a time like 2026-11-25T08:30:00+01:00", name, text);
    return GW_OK;
}

gw_status gw_request_if_match(const gw_request *rq, int64_t *version, gw_error *err)
{
    const char *text = rq->if_match;
    if (!text) return gw_fail(err, GW_EPRECONDITION, "If-Match is missing, expected the ETag of what you have seen");
    char *end = NULL;
    errno = 0;
    long long value = text[0] == '"' && text[1] >= '0' && text[1] <= '9' ? strtoll(text + 1, &end, 10) : -1;
    if (value < 0 || errno || strcmp(end, "\"") != 0)
        return gw_fail(err, GW_ESTALE, "If-Match names no version of this");
    *version = value;
    return GW_OK;
}
