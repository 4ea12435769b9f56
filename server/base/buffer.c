#include "base/buffer.h"

#include <stdarg.h>
#include <stdbool.h>
#include <stdio.h>
#include <string.h>

#include "base/utf8.h"

void gw_buffer_init(gw_buffer *buffer, gw_arena *arena, size_t reserve)
{
    *buffer = (gw_buffer){.arena = arena};
    if (reserve) buffer->bytes = gw_arena_alloc(arena, reserve + 1);
    if (buffer->bytes) buffer->capacity = reserve;
}

/* Doubling: an answer of n bytes costs at most 4 n in the arena, freed with the request. */
static bool make_room(gw_buffer *buffer, size_t n)
{
    if (gw_arena_failed(buffer->arena)) return false;
    if (buffer->capacity - buffer->length >= n) return true;
    size_t capacity = buffer->capacity ? buffer->capacity : 256;
    while (capacity - buffer->length < n) capacity *= 2;
    char *bytes = gw_arena_alloc(buffer->arena, capacity + 1);
    if (!bytes) return false;
    if (buffer->length) memcpy(bytes, buffer->bytes, buffer->length);
    buffer->bytes = bytes;
    buffer->capacity = capacity;
    return true;
}

void gw_buffer_add_bytes(gw_buffer *buffer, const char *bytes, size_t n)
{
    if (n == 0 || !make_room(buffer, n)) return;
    memcpy(buffer->bytes + buffer->length, bytes, n);
    buffer->length += n;
    buffer->bytes[buffer->length] = '\0';
}

void gw_buffer_add(gw_buffer *buffer, const char *text)
{
    if (text) gw_buffer_add_bytes(buffer, text, strlen(text));
}

void gw_buffer_printf(gw_buffer *buffer, const char *fmt, ...)
{
    va_list args;
    va_start(args, fmt);
    gw_buffer_add(buffer, gw_arena_vprintf(buffer->arena, fmt, args));
    va_end(args);
}

static void add_escape(gw_buffer *buffer, unsigned char c)
{
    static const char shorts[] = {['\b'] = 'b', ['\t'] = 't', ['\n'] = 'n', ['\f'] = 'f', ['\r'] = 'r'};
    char out[8] = {'\\', (char)c, 0};
    if (c < sizeof shorts && shorts[c])
        out[1] = shorts[c];
    else if (c < 0x20)
        snprintf(out, sizeof out, "\\u%04x", c);
    gw_buffer_add(buffer, out);
}

void gw_buffer_json_text(gw_buffer *buffer, const char *text)
{
    if (!text) {
        gw_buffer_add(buffer, "null");
        return;
    }
    gw_buffer_add(buffer, "\"");
    const char *plain = text; /* start of what needs no change */
    const char *at = text;
    while (*at) {
        size_t n = gw_utf8_length(at);
        unsigned char c = (unsigned char)*at;
        if (n > 0 && c >= 0x20 && c != '"' && c != '\\') {
            at += n;
            continue;
        }
        gw_buffer_add_bytes(buffer, plain, (size_t)(at - plain));
        if (n == 0)
            gw_buffer_add(buffer, "\xEF\xBF\xBD");
        else
            add_escape(buffer, c);
        plain = ++at;
    }
    gw_buffer_add_bytes(buffer, plain, (size_t)(at - plain));
    gw_buffer_add(buffer, "\"");
}

void gw_buffer_json_tenths(gw_buffer *buffer, int64_t tenths)
{
    uint64_t size = tenths < 0 ? 0 - (uint64_t)tenths : (uint64_t)tenths;
    const char *sign = tenths < 0 ? "-" : "";
    if (size % 10)
        gw_buffer_printf(buffer, "%s%llu.%llu", sign, (unsigned long long)(size / 10), (unsigned long long)(size % 10));
    else
        gw_buffer_printf(buffer, "%s%llu", sign, (unsigned long long)(size / 10));
}

const char *gw_buffer_text(const gw_buffer *buffer)
{
    if (gw_arena_failed(buffer->arena)) return NULL;
    return buffer->bytes ? buffer->bytes : "";
}
