/**
 * Memory with the life of one piece of work, above all of one request.
 *
 * What an arena hands out is freed as a whole by gw_arena_reset or gw_arena_finish; nothing is freed singly. Things
 * that need another way of freeing (a PGresult, a json_t) are tied to it with gw_arena_on_reset.
 *
 * Errors   when memory runs out every function returns NULL and the arena remembers it: gw_arena_failed stays true.
 *          Callers may therefore pass results on unchecked to gw_db_run, gw_decode_done and the gw_reply functions,
 *          which look at it once and refuse to act. Whoever reads through such a pointer checks it.
 * Threads  an arena belongs to one thread at a time.
 */
#ifndef GW_BASE_ARENA_H
#define GW_BASE_ARENA_H

#include <stdarg.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

typedef struct gw_arena {
    struct gw_arena_block *blocks;     /* newest first; the oldest is kept over a reset */
    struct gw_arena_cleanup *cleanups; /* newest first */
    size_t used;                       /* bytes taken from the newest block */
    bool failed;                       /* an allocation failed since the last reset */
} gw_arena;

/** Start an empty arena in the caller's struct; allocates nothing yet. */
void gw_arena_init(gw_arena *arena);

/** Run the clean-ups, newest first, free all but the first block, and start over. */
void gw_arena_reset(gw_arena *arena);

/** Run the clean-ups and free everything. The arena may be used again as after gw_arena_init. NULL is allowed. */
void gw_arena_finish(gw_arena *arena);

/** True when an allocation has failed since the start or the last reset. NULL is allowed: false. */
bool gw_arena_failed(const gw_arena *arena);

/**
 * Zeroed memory, aligned for any type.
 *
 * @param size  bytes, may be 0 (a valid pointer comes back)
 * @return NULL when memory ran out
 */
void *gw_arena_alloc(gw_arena *arena, size_t size);

/** Like gw_arena_alloc for count elements of size bytes; NULL when the product does not fit a size_t. */
void *gw_arena_array(gw_arena *arena, size_t count, size_t size);

/** Copy of a text; NULL gives NULL without a failure. */
char *gw_arena_strdup(gw_arena *arena, const char *text);

/** Copy of n bytes with a NUL added behind. */
char *gw_arena_strndup(gw_arena *arena, const char *bytes, size_t n);

/** Formatted text, as long as it needs to be. */
char *gw_arena_printf(gw_arena *arena, const char *fmt, ...) __attribute__((format(printf, 2, 3)));
char *gw_arena_vprintf(gw_arena *arena, const char *fmt, va_list args) __attribute__((format(printf, 2, 0)));

/**
 * Have release(thing) called at the next reset or finish. When memory is short release is called at once and the
 * arena has failed: thing must then not be used any more.
 */
void gw_arena_on_reset(gw_arena *arena, void (*release)(void *), void *thing);

/**
 * For tests: let the n-th allocation from now on fail, in this thread (1 = the next one). 0 switches it off.
 */
void gw_arena_fail_at(size_t n);

#endif
