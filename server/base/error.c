#include "base/error.h"

#include <stdio.h>
#include <string.h>

static const struct {
    int http;
    const char *title;
} statuses[] = {
#define ROW(name, http, title) [name] = {http, title},
    GW_STATUS_LIST(ROW)
#undef ROW
};

int gw_status_http(gw_status status)
{
    return statuses[status].http;
}

const char *gw_status_title(gw_status status)
{
    return statuses[status].title;
}

void gw_error_init(gw_error *err, gw_arena *arena)
{
    *err = (gw_error){.arena = arena};
}

/* A message that was cut must not end inside a character. */
static void cut_at_character(char *text)
{
    size_t length = strlen(text);
    if (length < GW_MESSAGE_MAX - 1) return;
    while (length > 0 && ((unsigned char)text[length - 1] & 0xC0) == 0x80) length--;
    if (length > 0 && (unsigned char)text[length - 1] >= 0xC0) length--;
    text[length] = '\0';
}

gw_status gw_fail(gw_error *err, gw_status status, const char *fmt, ...)
{
    if (!err) return status;
    if (err->status) return err->status;
    err->status = status;
    va_list args;
    va_start(args, fmt);
    vsnprintf(err->message, sizeof err->message, fmt, args);
    va_end(args);
    cut_at_character(err->message);
    return status;
}

static void fault_append(gw_error *err, gw_fault *fault)
{
    if (err->last_fault)
        err->last_fault->next = fault;
    else
        err->faults = fault;
    err->last_fault = fault;
}

gw_status gw_fault_add(gw_error *err, const char *pointer, const char *detail, const char *hint)
{
    if (!err) return GW_EINPUT;
    if (!err->status) err->status = GW_EINPUT;
    err->n_faults++;
    if (!err->arena) {
        if (err->n_faults == 1) snprintf(err->message, sizeof err->message, "%s %s", pointer, detail);
        return GW_EINPUT;
    }
    if (err->n_faults > GW_FAULTS_MAX) return GW_EINPUT;

    gw_fault *fault = gw_arena_alloc(err->arena, sizeof *fault);
    if (!fault) return GW_EINPUT;
    fault->pointer = gw_arena_strdup(err->arena, pointer);
    fault->detail = gw_arena_strdup(err->arena, detail);
    fault->hint = gw_arena_strdup(err->arena, hint);
    if (fault->pointer && fault->detail) fault_append(err, fault);
    return GW_EINPUT;
}

void gw_error_at(gw_error *err, const char *place)
{
    if (!err || !err->status) return;
    char message[GW_MESSAGE_MAX];
    memcpy(message, err->message, sizeof message);
    int n = snprintf(err->message, sizeof err->message, "%s: %s", place, message);
    if (n >= GW_MESSAGE_MAX) cut_at_character(err->message);
}
