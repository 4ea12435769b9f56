/**
 * Reading a JSON body: say what is wanted, in order; all faults are collected, unread members are refused.
 *
 *   gw_decoder d = gw_decode(rq, err);
 *   gw_decode_uuid(&d, "/animal", &animal);
 *   gw_decode_enum(&d, "/kind", kinds, &kind);
 *   gw_decoder w;
 *   if (gw_decode_object_optional(&d, "/weighing", &w)) {
 *       gw_decode_uuid(&w, "/scale", &scale);
 *       gw_decoder r = gw_decode_array(&w, "/readings", 1, 5);
 *       for (size_t i = 0; i < gw_decode_count(&r); i++) gw_decode_tenths(&r, gw_decode_index(&r, i), 1, 150000,
 * &t[i]);
 *   }
 *   gw_status status = gw_decode_done(&d);
 *   if (status) return status;          // nothing is acted on before this
 *
 * Pointers   RFC 6901, relative to the decoder and one step deep: "/name" is a member (or an element, "/0"), "" the
 *            value itself. Faults carry the whole path: "/weighing/readings/0".
 * Results    true when *out was written. On false *out is untouched, so set a default before an optional call.
 *            A missing or wrong required value is a fault; an _optional one may be missing or null without a fault.
 *            Reading below a value that is missing or of the wrong kind is silent: one fault a cause.
 * JSON       duplicate names, more than 16 levels, \u0000, bytes that are not UTF-8 and text behind the end are
 *            GW_ESYNTAX with line and column.
 * Memory     texts live in the request's arena. A decoder is a value; copies share their state.
 * Test       tests/unit/json/decode_test.c
 */
#ifndef GW_JSON_DECODE_H
#define GW_JSON_DECODE_H

#include <jansson.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/error.h"
#include "base/request.h"
#include "base/time.h"

typedef struct gw_decoder {
    struct gw_decode_state *state; /* shared by all decoders of one body */
    json_t *value;                 /* NULL: missing or already at fault */
    const char *path;              /* where value stands in the body */
} gw_decoder;

/**
 * Start on the body of a request, which must be a JSON object.
 *
 * @param err  required: all faults go here. A body that is no JSON at all is reported by gw_decode_done.
 */
gw_decoder gw_decode(gw_request *rq, gw_error *err);

/** The same for any text (files of a command, tests). */
gw_decoder gw_decode_bytes(gw_arena *arena, const char *bytes, size_t length, gw_error *err);

/** A UUID; *out is its lower-case text, ready as a query parameter. */
bool gw_decode_uuid(gw_decoder *d, const char *pointer, const char **out);
bool gw_decode_uuid_optional(gw_decoder *d, const char *pointer, const char **out);

/**
 * A text of min to max bytes in UTF-8. Control characters other than line feed and tab are refused, and a text of
 * blanks only when min is above 0. Blanks at both ends are kept out of *out and not counted.
 */
bool gw_decode_text(gw_decoder *d, const char *pointer, size_t min, size_t max, const char **out);
bool gw_decode_text_optional(gw_decoder *d, const char *pointer, size_t min, size_t max, const char **out);

/** A text taken as it is, byte for byte, with its length (a passphrase): only the length is checked. */
bool gw_decode_secret(gw_decoder *d, const char *pointer, size_t min, size_t max, const char **out, size_t *length);

/** An RFC 3339 time with offset. out->text is a query parameter. */
bool gw_decode_instant(gw_decoder *d, const char *pointer, gw_instant *out);
bool gw_decode_instant_optional(gw_decoder *d, const char *pointer, gw_instant *out);

/** A calendar day, YYYY-MM-DD. out->text is a query parameter. */
bool gw_decode_date(gw_decoder *d, const char *pointer, gw_date *out);
bool gw_decode_date_optional(gw_decoder *d, const char *pointer, gw_date *out);

/**
 * A number with at most one decimal, as a whole number of tenths: 98.1 -> 981.
 *
 * @param min,max  allowed range in tenths, both included
 */
bool gw_decode_tenths(gw_decoder *d, const char *pointer, int32_t min, int32_t max, int32_t *out);
bool gw_decode_tenths_optional(gw_decoder *d, const char *pointer, int32_t min, int32_t max, int32_t *out);

/** A finite number in min to max. */
bool gw_decode_real(gw_decoder *d, const char *pointer, double min, double max, double *out);
bool gw_decode_real_optional(gw_decoder *d, const char *pointer, double min, double max, double *out);

/** A whole number in min to max; 3.0 and 1e2 count as whole. */
bool gw_decode_int(gw_decoder *d, const char *pointer, int64_t min, int64_t max, int64_t *out);
bool gw_decode_int_optional(gw_decoder *d, const char *pointer, int64_t min, int64_t max, int64_t *out);

bool gw_decode_bool(gw_decoder *d, const char *pointer, bool *out);
bool gw_decode_bool_optional(gw_decoder *d, const char *pointer, bool *out);

/** One of the words in names, which ends with NULL; *out is its index. The fault lists the words. */
bool gw_decode_enum(gw_decoder *d, const char *pointer, const char *const names[], int *out);
bool gw_decode_enum_optional(gw_decoder *d, const char *pointer, const char *const names[], int *out);

/** Descend into a required object; members are then read through *out. On false *out reads nothing, silently. */
bool gw_decode_object(gw_decoder *d, const char *pointer, gw_decoder *out);
/** Descend into an object that may be missing or null: false then, without a fault. */
bool gw_decode_object_optional(gw_decoder *d, const char *pointer, gw_decoder *out);

/** Descend into a required array of min to max elements. At a fault the result has no elements. */
gw_decoder gw_decode_array(gw_decoder *d, const char *pointer, size_t min, size_t max);
/** The same for one that may be missing or null: no elements then. */
gw_decoder gw_decode_array_optional(gw_decoder *d, const char *pointer, size_t min, size_t max);

/** Number of elements of an array; 0 for anything else. */
size_t gw_decode_count(const gw_decoder *d);

/** The pointer of element i, "/i", in the arena. */
const char *gw_decode_index(const gw_decoder *d, size_t i);

/** True when the member is there and not null, without reading it. */
bool gw_decode_has(const gw_decoder *d, const char *pointer);

/**
 * The names of an object's members, in order, without reading them: for objects whose names are data.
 *
 * @param names  out: [return value] texts in the arena; may be NULL
 */
size_t gw_decode_names(const gw_decoder *d, const char *const **names);

/** A pointer "/name" for a name that is data: ~ and / are escaped. In the arena. */
const char *gw_decode_pointer(const gw_decoder *d, const char *name);

/** Take a member whole, whatever it is; NULL when missing. Borrowed: it lives as long as the request. */
json_t *gw_decode_any(gw_decoder *d, const char *pointer);

/**
 * Report a fault that only several values together show.
 *
 * @param pointer  relative to d, as everywhere; need not exist in the body
 * @param detail   "is earlier than /from", copied
 * @param hint     what to do, copied; NULL: nothing
 */
void gw_decode_fault(gw_decoder *d, const char *pointer, const char *detail, const char *hint);

/**
 * Finish: every member that nobody read becomes a fault, at every level.
 *
 * @param d  the decoder that gw_decode returned
 * @return GW_OK; GW_ESYNTAX; GW_EINPUT with all faults in err; GW_EINTERNAL when memory ran out
 */
GW_MUST_CHECK gw_status gw_decode_done(gw_decoder *d);

#endif
