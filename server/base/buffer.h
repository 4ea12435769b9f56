/**
 * An append-only text in an arena, and the one place that knows how to escape a JSON string.
 *
 * The plain way to write a large JSON answer: literals with gw_buffer_add, numbers as the database gave them, strings
 * with gw_buffer_json_text. Small answers are built with jansson instead.
 *
 * Errors   when memory runs out the buffer stays as it is, the arena remembers it (gw_arena_failed) and
 *          gw_buffer_text returns NULL.
 */
#ifndef GW_BASE_BUFFER_H
#define GW_BASE_BUFFER_H

#include <stddef.h>
#include <stdint.h>

#include "base/arena.h"

typedef struct gw_buffer {
    gw_arena *arena;
    char *bytes; /* NUL-terminated once something was added */
    size_t length;
    size_t capacity;
} gw_buffer;

/** Start empty. The text lives in arena; reserve is a guess of its length in bytes, 0 allowed. */
void gw_buffer_init(gw_buffer *buffer, gw_arena *arena, size_t reserve);

/** Append a text; NULL appends nothing. */
void gw_buffer_add(gw_buffer *buffer, const char *text);

/** Append n bytes. */
void gw_buffer_add_bytes(gw_buffer *buffer, const char *bytes, size_t n);

/** Append formatted text. */
void gw_buffer_printf(gw_buffer *buffer, const char *fmt, ...) __attribute__((format(printf, 2, 3)));

/**
 * Append text as a JSON string with its quotes; NULL appends null. Escapes ", \ and control characters; the text must
 * be UTF-8 (what the database and the decoder give is), bytes that are not become U+FFFD.
 */
void gw_buffer_json_text(gw_buffer *buffer, const char *text);

/** Append a number of tenths as JSON: 981 -> 98.1, 1000 -> 100, -5 -> -0.5. */
void gw_buffer_json_tenths(gw_buffer *buffer, int64_t tenths);

/** The text so far, "" when empty; NULL when memory ran out. Valid until the next append or the arena's reset. */
const char *gw_buffer_text(const gw_buffer *buffer);

#endif
