#include "base/number.h"

#include <inttypes.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "base/buffer.h"

const char *gw_text_of_int(gw_arena *arena, int64_t value)
{
    return gw_arena_printf(arena, "%" PRId64, value);
}

const char *gw_text_of_tenths(gw_arena *arena, int64_t tenths)
{
    gw_buffer text;
    gw_buffer_init(&text, arena, 24);
    gw_buffer_json_tenths(&text, tenths);
    return gw_buffer_text(&text);
}

const char *gw_text_of_real(gw_arena *arena, double value)
{
    if (!isfinite(value)) return NULL;
    char text[32];
    for (int digits = 15; digits <= 17; digits++) {
        snprintf(text, sizeof text, "%.*g", digits, value);
        if (strtod(text, NULL) == value) break;
    }
    return gw_arena_strdup(arena, text);
}

const char *gw_text_of_bool(int value)
{
    return value ? "true" : "false";
}

const char *gw_text_of_bytes(gw_arena *arena, const unsigned char *bytes, size_t n)
{
    static const char digits[] = "0123456789abcdef";
    char *text = gw_arena_alloc(arena, 2 * n + 1);
    if (!text) return NULL;
    for (size_t i = 0; i < n; i++) {
        text[2 * i] = digits[bytes[i] >> 4];
        text[2 * i + 1] = digits[bytes[i] & 15];
    }
    return text;
}

static void add_element(gw_buffer *list, const char *text)
{
    if (!text) {
        gw_buffer_add(list, "NULL");
        return;
    }
    gw_buffer_add(list, "\"");
    for (const char *c = text; *c; c++) {
        if (*c == '"' || *c == '\\') gw_buffer_add(list, "\\");
        gw_buffer_add_bytes(list, c, 1);
    }
    gw_buffer_add(list, "\"");
}

const char *gw_text_of_array(gw_arena *arena, size_t n, const char *const elements[])
{
    gw_buffer list;
    gw_buffer_init(&list, arena, 64);
    gw_buffer_add(&list, "{");
    for (size_t i = 0; i < n; i++) {
        if (i) gw_buffer_add(&list, ",");
        add_element(&list, elements[i]);
    }
    gw_buffer_add(&list, "}");
    return gw_buffer_text(&list);
}
