#include "http/reply.h"

#include <stdlib.h>
#include <string.h>

#include "base/log.h"

static const char media_type[] = "application/json";

static gw_status answer(gw_reply *reply, int status, const char *type, const char *body, size_t length)
{
    reply->status = status;
    reply->type = type;
    reply->body = body;
    reply->length = length;
    return GW_OK;
}

gw_status gw_reply_json_text(gw_reply *reply, int status, const char *json, gw_error *err)
{
    if (!json || gw_arena_failed(reply->arena)) return gw_fail(err, GW_EINTERNAL, "no answer was made");
    return answer(reply, status, media_type, json, strlen(json));
}

gw_status gw_reply_json_buffer(gw_reply *reply, int status, const gw_buffer *json, gw_error *err)
{
    return gw_reply_json_text(reply, status, gw_buffer_text(json), err);
}

gw_status gw_reply_json(gw_reply *reply, int status, json_t *json, gw_error *err)
{
    /* 15 digits: 98.1 stays 98.1 */
    char *text = json ? json_dumps(json, JSON_COMPACT | JSON_REAL_PRECISION(15) | JSON_ENCODE_ANY) : NULL;
    json_decref(json);
    if (text) gw_arena_on_reset(reply->arena, free, text);
    return gw_reply_json_text(reply, status, text, err);
}

gw_status gw_reply_empty(gw_reply *reply, int status, gw_error *err)
{
    if (gw_arena_failed(reply->arena)) return gw_fail(err, GW_EINTERNAL, "no answer was made");
    return answer(reply, status, NULL, "", 0);
}

static bool is_clean(const char *text)
{
    for (const char *c = text; *c; c++)
        if ((unsigned char)*c < 0x20 || (unsigned char)*c > 0x7E) return false;
    return *text != '\0';
}

void gw_reply_header(gw_reply *reply, const char *name, const char *value)
{
    if (!value || !is_clean(value) || reply->n_headers == GW_REPLY_HEADERS_MAX) {
        gw_log(GW_LOG_ERROR, "reply", "reason=header_dropped name=%s", name);
        return;
    }
    reply->headers[reply->n_headers++] = (gw_header){name, value};
}

void gw_reply_etag(gw_reply *reply, const char *opaque)
{
    gw_reply_header(reply, "ETag", gw_arena_printf(reply->arena, "\"%s\"", opaque));
}

void gw_reply_etag_version(gw_reply *reply, int64_t version)
{
    gw_reply_header(reply, "ETag", gw_arena_printf(reply->arena, "\"%lld\"", (long long)version));
}
