/**
 * Numbers as the text parameters of a query. All results live in the arena; NULL when memory ran out (the arena
 * remembers it, and gw_db_run then refuses to act).
 */
#ifndef GW_BASE_NUMBER_H
#define GW_BASE_NUMBER_H

#include <stddef.h>
#include <stdint.h>

#include "base/arena.h"

/** Decimal text of an integer. */
const char *gw_text_of_int(gw_arena *arena, int64_t value);

/** Text of a number of tenths, for numeric columns: 981 -> "98.1", -5 -> "-0.5". */
const char *gw_text_of_tenths(gw_arena *arena, int64_t tenths);

/** Shortest text that reads back as the same double; NULL (SQL null) for NaN and infinities. */
const char *gw_text_of_real(gw_arena *arena, double value);

/** "true" or "false". */
const char *gw_text_of_bool(int value);

/** Lower-case hexadecimal of n bytes. */
const char *gw_text_of_bytes(gw_arena *arena, const unsigned char *bytes, size_t n);

/**
 * A PostgreSQL array literal, '{"a","b",NULL}', with " and \ escaped; elements may be NULL. Use it for text[],
 * uuid[] and number arrays alike and cast in the query: $1::uuid[].
 */
const char *gw_text_of_array(gw_arena *arena, size_t n, const char *const elements[]);

#endif
