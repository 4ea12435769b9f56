#include "http/problem.h"

#include "base/buffer.h"

static const char problem_type[] = "application/problem+json";
static const char no_memory[] = "{\"title\":\"please try again in a moment\",\"status\":503}";

static void add_faults(gw_buffer *out, const gw_error *err)
{
    gw_buffer_add(out, ",\"errors\":[");
    for (const gw_fault *f = err->faults; f; f = f->next) {
        gw_buffer_add(out, f == err->faults ? "{\"pointer\":" : ",{\"pointer\":");
        gw_buffer_json_text(out, f->pointer);
        gw_buffer_add(out, ",\"detail\":");
        gw_buffer_json_text(out, f->detail);
        if (f->hint) {
            gw_buffer_add(out, ",\"hint\":");
            gw_buffer_json_text(out, f->hint);
        }
        gw_buffer_add(out, "}");
    }
    gw_buffer_add(out, "]");
}

static void add_headers(gw_reply *reply, const gw_error *err)
{
    if (err->status == GW_ESIGNIN) gw_reply_header(reply, "WWW-Authenticate", "Bearer realm=\"gramwell\"");
    int wait = err->retry_after_s ? err->retry_after_s : 1;
    if (err->status == GW_EBUSY || err->status == GW_ETHROTTLED)
        gw_reply_header(reply, "Retry-After", gw_arena_printf(reply->arena, "%d", wait));
}

void gw_problem_reply(gw_reply *reply, const gw_error *err)
{
    gw_buffer out;
    int status = gw_status_http(err->status);
    gw_arena *arena = reply->arena;
    *reply = (gw_reply){.arena = arena, .type = problem_type};
    gw_buffer_init(&out, arena, 256);
    gw_buffer_add(&out, "{\"title\":");
    gw_buffer_json_text(&out, gw_status_title(err->status));
    gw_buffer_printf(&out, ",\"status\":%d", status);
    if (err->message[0]) {
        gw_buffer_add(&out, ",\"detail\":");
        gw_buffer_json_text(&out, err->message);
    }
    if (err->faults) add_faults(&out, err);
    gw_buffer_add(&out, "}");
    add_headers(reply, err);

    const char *text = gw_buffer_text(&out);
    reply->status = text ? status : 503;
    reply->body = text ? text : no_memory;
    reply->length = text ? out.length : sizeof no_memory - 1;
}
