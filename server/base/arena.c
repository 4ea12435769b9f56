#include "base/arena.h"

#include <stdalign.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { BLOCK_BYTES = 8192 }; /* most requests need one block */

struct gw_arena_block {
    struct gw_arena_block *older;
    size_t size;
    alignas(max_align_t) unsigned char bytes[];
};

struct gw_arena_cleanup {
    struct gw_arena_cleanup *older;
    void (*release)(void *);
    void *thing;
};

static _Thread_local size_t fail_in; /* 0: off */

void gw_arena_fail_at(size_t n)
{
    fail_in = n;
}

static bool fails_now(void)
{
    return fail_in > 0 && --fail_in == 0;
}

void gw_arena_init(gw_arena *arena)
{
    *arena = (gw_arena){0};
}

/* Newest first: a thing may lean on one that was made before it. */
static void run_cleanups(gw_arena *arena)
{
    while (arena->cleanups) {
        struct gw_arena_cleanup *cleanup = arena->cleanups;
        arena->cleanups = cleanup->older;
        cleanup->release(cleanup->thing);
    }
}

static void free_blocks(gw_arena *arena, struct gw_arena_block *keep)
{
    while (arena->blocks && arena->blocks != keep) {
        struct gw_arena_block *block = arena->blocks;
        arena->blocks = block->older;
        free(block);
    }
}

void gw_arena_reset(gw_arena *arena)
{
    run_cleanups(arena);
    struct gw_arena_block *oldest = arena->blocks;
    while (oldest && oldest->older) oldest = oldest->older;
    free_blocks(arena, oldest);
    if (oldest && oldest->size > BLOCK_BYTES) free_blocks(arena, NULL); /* one large request is not kept for ever */
    arena->used = 0;
    arena->failed = false;
}

void gw_arena_finish(gw_arena *arena)
{
    if (!arena) return;
    run_cleanups(arena);
    free_blocks(arena, NULL);
    gw_arena_init(arena);
}

bool gw_arena_failed(const gw_arena *arena)
{
    return arena && arena->failed;
}

static bool add_block(gw_arena *arena, size_t size)
{
    if (size < BLOCK_BYTES) size = BLOCK_BYTES;
    struct gw_arena_block *block = malloc(sizeof *block + size);
    if (!block) return false;
    block->older = arena->blocks;
    block->size = size;
    arena->blocks = block;
    arena->used = 0;
    return true;
}

void *gw_arena_alloc(gw_arena *arena, size_t size)
{
    const size_t align = alignof(max_align_t);
    bool fits = size < SIZE_MAX / 2 && !fails_now();
    size_t rounded = fits ? (size + align - 1) / align * align : 0;
    if (fits && rounded == 0) rounded = align;

    if (fits && (!arena->blocks || arena->blocks->size - arena->used < rounded)) fits = add_block(arena, rounded);
    if (!fits) {
        arena->failed = true;
        return NULL;
    }
    void *memory = arena->blocks->bytes + arena->used;
    arena->used += rounded;
    return memset(memory, 0, rounded);
}

void *gw_arena_array(gw_arena *arena, size_t count, size_t size)
{
    if (size && count > SIZE_MAX / size) {
        arena->failed = true;
        return NULL;
    }
    return gw_arena_alloc(arena, count * size);
}

char *gw_arena_strndup(gw_arena *arena, const char *bytes, size_t n)
{
    char *copy = gw_arena_alloc(arena, n + 1);
    if (copy && n) memcpy(copy, bytes, n);
    return copy;
}

char *gw_arena_strdup(gw_arena *arena, const char *text)
{
    return text ? gw_arena_strndup(arena, text, strlen(text)) : NULL;
}

char *gw_arena_vprintf(gw_arena *arena, const char *fmt, va_list args)
{
    va_list again;
    va_copy(again, args);
    int length = vsnprintf(NULL, 0, fmt, args);
    char *text = length < 0 ? NULL : gw_arena_alloc(arena, (size_t)length + 1);
    if (text) vsnprintf(text, (size_t)length + 1, fmt, again);
    if (length < 0) arena->failed = true;
    va_end(again);
    return text;
}

char *gw_arena_printf(gw_arena *arena, const char *fmt, ...)
{
    va_list args;
    va_start(args, fmt);
    char *text = gw_arena_vprintf(arena, fmt, args);
    va_end(args);
    return text;
}

void gw_arena_on_reset(gw_arena *arena, void (*release)(void *), void *thing)
{
    struct gw_arena_cleanup *cleanup = gw_arena_alloc(arena, sizeof *cleanup);
    if (!cleanup) {
        release(thing);
        return;
    }
    *cleanup = (struct gw_arena_cleanup){.older = arena->cleanups, .release = release, .thing = thing};
    arena->cleanups = cleanup;
}
