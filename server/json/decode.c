#include "json/decode.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/buffer.h"
#include "base/utf8.h"
#include "base/uuid.h"

enum {
    DEPTH_MAX = 16,
    SHOWN_MAX = 40, /* bytes of a wrong value that are shown back */
};

/* What has been read of an object's member. Members are known by their place in the object: true, false and null are
 * one shared value each in jansson, so the value itself cannot tell. */
typedef enum { UNREAD, READ, READ_WHOLE } reading;

struct gw_decode_state {
    gw_arena *arena;
    gw_error *err;
    json_t *root;
    void **places; /* open hash of [n_slots] places, NULL = free */
    unsigned char *readings;
    size_t n_slots; /* a power of two, at most half full */
    size_t n_places;
};

typedef struct gw_decode_state state;

static void release_json(void *json)
{
    json_decref(json);
}

/* ---- which members were read ---- */

static size_t slot_of(const state *s, const void *place)
{
    size_t slot = ((uintptr_t)place >> 4) * (size_t)0x9E3779B97F4A7C15u >> 20 & (s->n_slots - 1);
    while (s->places[slot] && s->places[slot] != place) slot = (slot + 1) & (s->n_slots - 1);
    return slot;
}

static bool grow(state *s)
{
    state larger = *s;
    larger.n_slots = s->n_slots ? s->n_slots * 2 : 64;
    larger.places = gw_arena_array(s->arena, larger.n_slots, sizeof *larger.places);
    larger.readings = gw_arena_array(s->arena, larger.n_slots, 1);
    if (!larger.places || !larger.readings) return false;
    for (size_t i = 0; i < s->n_slots; i++) {
        if (!s->places[i]) continue;
        size_t slot = slot_of(&larger, s->places[i]);
        larger.places[slot] = s->places[i];
        larger.readings[slot] = s->readings[i];
    }
    *s = larger;
    return true;
}

static void mark(state *s, void *place, reading how)
{
    if (!place || (s->n_places * 2 >= s->n_slots && !grow(s))) return;
    size_t slot = slot_of(s, place);
    if (!s->places[slot]) s->n_places++;
    s->places[slot] = place;
    if (s->readings[slot] < how) s->readings[slot] = (unsigned char)how;
}

static reading reading_of(const state *s, const void *place)
{
    if (!s->n_slots) return UNREAD;
    size_t slot = slot_of(s, place);
    return s->places[slot] ? (reading)s->readings[slot] : UNREAD;
}

/* ---- finding a value ---- */

/* The name of a pointer "/name" with ~1 and ~0 undone, in the arena. */
static const char *name_of(const state *s, const char *pointer)
{
    char *name = gw_arena_strdup(s->arena, pointer + 1);
    if (!name || !strchr(name, '~')) return name;
    char *to = name;
    for (const char *from = name; *from; from++) {
        if (from[0] == '~' && (from[1] == '0' || from[1] == '1'))
            *to++ = *++from == '1' ? '/' : '~';
        else
            *to++ = *from;
    }
    *to = '\0';
    return name;
}

static json_t *element_at(const json_t *array, const char *pointer)
{
    size_t index = 0;
    for (const char *c = pointer + 1; *c; c++) {
        if (*c < '0' || *c > '9' || index > 1000000) return NULL;
        index = index * 10 + (size_t)(*c - '0');
    }
    return json_array_get(array, index);
}

/* The value at pointer and, for a member, its place; NULL when there is none. */
static json_t *find(const gw_decoder *d, const char *pointer, void **place)
{
    *place = NULL;
    if (!d->value || *pointer == '\0') return d->value;
    if (json_is_array(d->value)) return element_at(d->value, pointer);
    const char *name = name_of(d->state, pointer);
    if (name && json_is_object(d->value)) *place = json_object_iter_at(d->value, name);
    return *place ? json_object_iter_value(*place) : NULL;
}

static const char *whole_path(const gw_decoder *d, const char *pointer)
{
    if (!d->value) return ""; /* nothing below it is read or reported */
    const char *path = gw_arena_printf(d->state->arena, "%s%s", d->path ? d->path : "", pointer);
    return path ? path : "";
}

/* ---- faults ---- */

void gw_decode_fault(gw_decoder *d, const char *pointer, const char *detail, const char *hint)
{
    if (d->value) gw_fault_add(d->state->err, whole_path(d, pointer), detail, hint);
}

/* How a value looks in a fault: short and on one line. */
static const char *shown(gw_decoder *d, const json_t *value)
{
    if (json_is_object(value)) return "an object";
    if (json_is_array(value)) return "a list";
    char text[512]; /* a longer text gives a length above the size and is cut below */
    size_t length = json_dumpb(value, text, sizeof text - 1, JSON_ENCODE_ANY | JSON_REAL_PRECISION(15));
    if (length > sizeof text - 1) return "a long text";
    if (length <= SHOWN_MAX) return gw_arena_strndup(d->state->arena, text, length);
    length = SHOWN_MAX;
    while (length > 0 && ((unsigned char)text[length] & 0xC0) == 0x80) length--;
    const char *cut = gw_arena_strndup(d->state->arena, text, length);
    return gw_arena_printf(d->state->arena, "%s...\"", cut ? cut : "");
}

__attribute__((format(printf, 4, 5))) static bool wrong(gw_decoder *d, const char *pointer, const json_t *value,
                                                        const char *expected, ...)
{
    va_list args;
    va_start(args, expected);
    const char *want = gw_arena_vprintf(d->state->arena, expected, args);
    va_end(args);
    const char *have = shown(d, value);
    const char *detail =
        gw_arena_printf(d->state->arena, "is %s, expected %s", have ? have : "something else", want ? want : "another");
    if (detail) gw_decode_fault(d, pointer, detail, NULL);
    return false;
}

/*
 * The value to read, marked as read. NULL when there is nothing to read: missing, null, or below something that is
 * already at fault. Only a required value makes a fault of that.
 */
static json_t *take(gw_decoder *d, const char *pointer, bool required, const char *expected)
{
    void *place;
    json_t *value = find(d, pointer, &place);
    mark(d->state, place, READ);
    if (value && !json_is_null(value)) return value;
    if (!required || !d->value) return NULL;
    if (value)
        wrong(d, pointer, value, "%s", expected);
    else
        gw_decode_fault(d, pointer, gw_arena_printf(d->state->arena, "is missing, expected %s", expected), NULL);
    return NULL;
}

/* A value of the wrong kind: what is in it is not looked at any more. */
static bool wrong_kind(gw_decoder *d, const char *pointer, const json_t *value, const char *expected)
{
    void *place;
    find(d, pointer, &place);
    mark(d->state, place, READ_WHOLE);
    return wrong(d, pointer, value, "%s", expected);
}

/* ---- start and end ---- */

/* jansson's own limit of 2048 levels would not fit the stack of a connection's thread: count before it parses. */
static bool too_deep(const char *bytes, size_t length)
{
    size_t depth = 0;
    bool in_text = false;
    for (size_t i = 0; i < length; i++) {
        char c = bytes[i];
        if (in_text) {
            if (c == '\\')
                i++;
            else if (c == '"')
                in_text = false;
        } else if (c == '"') {
            in_text = true;
        } else if (c == '[' || c == '{') {
            if (++depth > DEPTH_MAX) return true;
        } else if ((c == ']' || c == '}') && depth > 0) {
            depth--;
        }
    }
    return false;
}

static json_t *parse(state *s, const char *bytes, size_t length)
{
    if (!bytes || length == 0) {
        gw_fail(s->err, GW_ESYNTAX, "the body is empty, expected a JSON object");
        return NULL;
    }
    if (too_deep(bytes, length)) {
        gw_fail(s->err, GW_ESYNTAX, "the body has more than %d levels", DEPTH_MAX);
        return NULL;
    }
    json_error_t where;
    json_t *root = json_loadb(bytes, length, JSON_REJECT_DUPLICATES | JSON_DECODE_ANY, &where);
    if (!root && json_error_code(&where) == json_error_out_of_memory)
        s->arena->failed = true;
    else if (!root)
        gw_fail(s->err, GW_ESYNTAX, "line %d, column %d: %s", where.line, where.column, where.text);
    return root;
}

gw_decoder gw_decode_bytes(gw_arena *arena, const char *bytes, size_t length, gw_error *err)
{
    static state out_of_memory; /* never written: with value NULL nothing goes through it */
    state *s = gw_arena_alloc(arena, sizeof *s);
    if (!s) {
        gw_fail(err, GW_EINTERNAL, "out of memory");
        return (gw_decoder){.state = &out_of_memory, .path = ""};
    }
    s->arena = arena;
    s->err = err;
    s->root = parse(s, bytes, length);
    if (s->root) gw_arena_on_reset(arena, release_json, s->root);
    gw_decoder d = {.state = s, .value = gw_arena_failed(arena) ? NULL : s->root, .path = ""};
    if (d.value && !json_is_object(d.value)) {
        wrong(&d, "", d.value, "an object");
        d.value = NULL;
    }
    return d;
}

gw_decoder gw_decode(gw_request *rq, gw_error *err)
{
    return gw_decode_bytes(rq->arena, rq->body, rq->body_length, err);
}

static void refuse_unread(gw_decoder *d);

static void refuse_unread_members(gw_decoder *d)
{
    state *s = d->state;
    for (void *at = json_object_iter(d->value); at; at = json_object_iter_next(d->value, at)) {
        const char *pointer = gw_decode_pointer(d, json_object_iter_key(at));
        if (!pointer) return;
        switch (reading_of(s, at)) {
        case UNREAD:
            gw_decode_fault(d, pointer, "is not known here", NULL);
            break;
        case READ: {
            gw_decoder below = {s, json_object_iter_value(at), whole_path(d, pointer)};
            refuse_unread(&below);
            break;
        }
        case READ_WHOLE:
            break;
        }
    }
}

/* Recursion is bounded by DEPTH_MAX. */
static void refuse_unread(gw_decoder *d)
{
    if (json_is_object(d->value)) refuse_unread_members(d);
    for (size_t i = 0; i < gw_decode_count(d); i++) {
        gw_decoder below = {d->state, json_array_get(d->value, i), whole_path(d, gw_decode_index(d, i))};
        refuse_unread(&below);
    }
}

gw_status gw_decode_done(gw_decoder *d)
{
    state *s = d->state;
    if (!s->arena) return GW_EINTERNAL;
    if (d->value && !gw_arena_failed(s->arena)) refuse_unread(d);
    if (!gw_arena_failed(s->arena)) return s->err->status;
    gw_error_init(s->err, s->err->arena); /* what looked missing was only not found for want of memory */
    return gw_fail(s->err, GW_EINTERNAL, "out of memory");
}

/* ---- descending ---- */

static bool descend(gw_decoder *d, const char *pointer, bool required, gw_decoder *out)
{
    *out = (gw_decoder){.state = d->state, .path = whole_path(d, pointer)};
    json_t *value = take(d, pointer, required, "an object");
    if (!value) return false;
    if (!json_is_object(value)) return wrong_kind(d, pointer, value, "an object");
    out->value = value;
    return true;
}

bool gw_decode_object(gw_decoder *d, const char *pointer, gw_decoder *out)
{
    return descend(d, pointer, true, out);
}

bool gw_decode_object_optional(gw_decoder *d, const char *pointer, gw_decoder *out)
{
    return descend(d, pointer, false, out);
}

static gw_decoder array(gw_decoder *d, const char *pointer, bool required, size_t min, size_t max)
{
    gw_decoder out = {.state = d->state, .path = whole_path(d, pointer)};
    json_t *value = take(d, pointer, required, "a list");
    if (!value) return out;
    size_t count = json_array_size(value);
    if (!json_is_array(value)) {
        wrong_kind(d, pointer, value, "a list");
    } else if (count < min || count > max) {
        void *place;
        find(d, pointer, &place);
        mark(d->state, place, READ_WHOLE);
        gw_decode_fault(d, pointer,
                        gw_arena_printf(d->state->arena, "has %zu entries, expected %zu to %zu", count, min, max),
                        NULL);
    } else {
        out.value = value;
    }
    return out;
}

gw_decoder gw_decode_array(gw_decoder *d, const char *pointer, size_t min, size_t max)
{
    return array(d, pointer, true, min, max);
}

gw_decoder gw_decode_array_optional(gw_decoder *d, const char *pointer, size_t min, size_t max)
{
    return array(d, pointer, false, min, max);
}

size_t gw_decode_count(const gw_decoder *d)
{
    return json_array_size(d->value);
}

const char *gw_decode_index(const gw_decoder *d, size_t i)
{
    const char *pointer = d->value ? gw_arena_printf(d->state->arena, "/%zu", i) : NULL;
    return pointer ? pointer : "/none";
}

bool gw_decode_has(const gw_decoder *d, const char *pointer)
{
    void *place;
    json_t *value = find(d, pointer, &place);
    return value && !json_is_null(value);
}

const char *gw_decode_pointer(const gw_decoder *d, const char *name)
{
    if (!d->value) return "/";
    gw_buffer pointer;
    gw_buffer_init(&pointer, d->state->arena, strlen(name) + 1);
    gw_buffer_add(&pointer, "/");
    for (const char *c = name; *c; c++) {
        if (*c == '~' || *c == '/')
            gw_buffer_add(&pointer, *c == '~' ? "~0" : "~1");
        else
            gw_buffer_add_bytes(&pointer, c, 1);
    }
    return gw_buffer_text(&pointer);
}

size_t gw_decode_names(const gw_decoder *d, const char *const **names)
{
    size_t count = json_object_size(d->value);
    if (!names) return count;
    const char **list = gw_arena_array(d->state->arena, count, sizeof *list);
    *names = list;
    if (!list) return 0;
    size_t n = 0;
    for (void *at = json_object_iter(d->value); at; at = json_object_iter_next(d->value, at))
        list[n++] = json_object_iter_key(at);
    return n;
}

json_t *gw_decode_any(gw_decoder *d, const char *pointer)
{
    void *place;
    json_t *value = find(d, pointer, &place);
    mark(d->state, place, READ_WHOLE);
    return value;
}

/* ---- texts ---- */

static bool is_blank(char c)
{
    return c == ' ' || c == '\t' || c == '\n';
}

static bool has_control(const char *text)
{
    for (const char *c = text; *c; c++)
        if (gw_utf8_is_control(c)) return true;
    return false;
}

static bool text(gw_decoder *d, const char *pointer, bool required, size_t min, size_t max, const char **out)
{
    json_t *value = take(d, pointer, required, "a text");
    if (!value) return false;
    if (!json_is_string(value)) return wrong_kind(d, pointer, value, "a text");
    const char *from = json_string_value(value);
    size_t length = json_string_length(value);
    if (has_control(from)) {
        gw_decode_fault(d, pointer, "holds control characters", NULL);
        return false;
    }
    while (length > 0 && is_blank(from[length - 1])) length--;
    for (; length > 0 && is_blank(*from); length--) from++;
    if (length < min || length > max) {
        const char *detail = length == 0 ? "is empty" : gw_arena_printf(d->state->arena, "is %zu bytes long", length);
        detail = gw_arena_printf(d->state->arena, "%s, expected %zu to %zu bytes", detail ? detail : "", min, max);
        if (detail) gw_decode_fault(d, pointer, detail, NULL);
        return false;
    }
    const char *copy = gw_arena_strndup(d->state->arena, from, length);
    if (copy) *out = copy;
    return copy != NULL;
}

bool gw_decode_text(gw_decoder *d, const char *pointer, size_t min, size_t max, const char **out)
{
    return text(d, pointer, true, min, max, out);
}

bool gw_decode_text_optional(gw_decoder *d, const char *pointer, size_t min, size_t max, const char **out)
{
    return text(d, pointer, false, min, max, out);
}

bool gw_decode_secret(gw_decoder *d, const char *pointer, size_t min, size_t max, const char **out, size_t *length)
{
    json_t *value = take(d, pointer, true, "a text");
    if (!value) return false;
    size_t have = json_string_length(value);
    if (json_is_string(value) && have >= min && have <= max) {
        *out = json_string_value(value);
        *length = have;
        return true;
    }
    const char *detail =
        json_is_string(value)
            ? gw_arena_printf(d->state->arena, "is %zu bytes long, expected %zu to %zu", have, min, max)
            : "is no text"; /* a secret is never shown back */
    void *place;
    find(d, pointer, &place);
    mark(d->state, place, READ_WHOLE);
    if (detail) gw_decode_fault(d, pointer, detail, NULL);
    return false;
}

/* The text of a value that must be one; NULL after a fault or when there is nothing to read. */
static const char *plain_text(gw_decoder *d, const char *pointer, bool required, const char *expected)
{
    json_t *value = take(d, pointer, required, expected);
    if (value && !json_is_string(value)) wrong_kind(d, pointer, value, expected);
    return json_string_value(value);
}

static bool uuid(gw_decoder *d, const char *pointer, bool required, const char **out)
{
    const char *given = plain_text(d, pointer, required, "a UUID");
    if (!given) return false;
    char canonical[GW_UUID_TEXT];
    void *place;
    if (!gw_uuid_read(given, canonical)) return wrong(d, pointer, find(d, pointer, &place), "a UUID");
    const char *copy = gw_arena_strdup(d->state->arena, canonical);
    if (copy) *out = copy;
    return copy != NULL;
}

bool gw_decode_uuid(gw_decoder *d, const char *pointer, const char **out)
{
    return uuid(d, pointer, true, out);
}

bool gw_decode_uuid_optional(gw_decoder *d, const char *pointer, const char **out)
{
    return uuid(d, pointer, false, out);
}

static bool one_of(gw_decoder *d, const char *pointer, bool required, const char *const names[], int *out)
{
    gw_buffer list;
    gw_buffer_init(&list, d->state->arena, 0);
    const char *given = plain_text(d, pointer, required, "a word");
    if (!given) return false;
    for (int i = 0; names[i]; i++) {
        if (strcmp(names[i], given) == 0) {
            *out = i;
            return true;
        }
        gw_buffer_printf(&list, "%s%s", i ? ", " : "", names[i]);
    }
    void *place;
    const char *words = gw_buffer_text(&list);
    return wrong(d, pointer, find(d, pointer, &place), "one of %s", words ? words : "the known words");
}

bool gw_decode_enum(gw_decoder *d, const char *pointer, const char *const names[], int *out)
{
    return one_of(d, pointer, true, names, out);
}

bool gw_decode_enum_optional(gw_decoder *d, const char *pointer, const char *const names[], int *out)
{
    return one_of(d, pointer, false, names, out);
}

static bool instant(gw_decoder *d, const char *pointer, bool required, gw_instant *out)
{
    static const char expected[] = "a time like 2026-11-25T08:30:00+01:00";
    const char *given = plain_text(d, pointer, required, expected);
    if (!given) return false;
    void *place;
    if (gw_instant_parse(given, out, NULL)) return wrong(d, pointer, find(d, pointer, &place), "%s", expected);
    return true;
}

bool gw_decode_instant(gw_decoder *d, const char *pointer, gw_instant *out)
{
    return instant(d, pointer, true, out);
}

bool gw_decode_instant_optional(gw_decoder *d, const char *pointer, gw_instant *out)
{
    return instant(d, pointer, false, out);
}

static bool date(gw_decoder *d, const char *pointer, bool required, gw_date *out)
{
    static const char expected[] = "a date like 2026-11-25";
    const char *given = plain_text(d, pointer, required, expected);
    if (!given) return false;
    void *place;
    if (gw_date_parse(given, out, NULL)) return wrong(d, pointer, find(d, pointer, &place), "%s", expected);
    return true;
}

bool gw_decode_date(gw_decoder *d, const char *pointer, gw_date *out)
{
    return date(d, pointer, true, out);
}

bool gw_decode_date_optional(gw_decoder *d, const char *pointer, gw_date *out)
{
    return date(d, pointer, false, out);
}

/* ---- numbers ---- */

/* The number to read; NULL after a fault or when there is nothing to read. */
static json_t *number(gw_decoder *d, const char *pointer, bool required, const char *expected)
{
    json_t *value = take(d, pointer, required, expected);
    if (value && !json_is_number(value)) {
        wrong_kind(d, pointer, value, expected);
        return NULL;
    }
    return value;
}

static bool real(gw_decoder *d, const char *pointer, bool required, double min, double max, double *out)
{
    json_t *value = number(d, pointer, required, "a number");
    if (!value) return false;
    double x = json_number_value(value);
    if (!(x >= min && x <= max)) return wrong(d, pointer, value, "%.15g to %.15g", min, max);
    *out = x;
    return true;
}

bool gw_decode_real(gw_decoder *d, const char *pointer, double min, double max, double *out)
{
    return real(d, pointer, true, min, max, out);
}

bool gw_decode_real_optional(gw_decoder *d, const char *pointer, double min, double max, double *out)
{
    return real(d, pointer, false, min, max, out);
}

/* A double is nearest to the tenth that was written, so x * 10 is within rounding of a whole number; 1e-6 is far above
 * that rounding for any weight and far below a hundredth of a gram. */
static bool tenths(gw_decoder *d, const char *pointer, bool required, int32_t min, int32_t max, int32_t *out)
{
    json_t *value = number(d, pointer, required, "a number");
    if (!value) return false;
    double scaled = json_number_value(value) * 10;
    if (!(scaled > min - 0.5 && scaled < max + 0.5))
        return wrong(d, pointer, value, "%.15g to %.15g", min / 10.0, max / 10.0);
    long long t = llround(scaled);
    if (fabs(scaled - (double)t) > 1e-6) return wrong(d, pointer, value, "at most one decimal");
    *out = (int32_t)t;
    return true;
}

bool gw_decode_tenths(gw_decoder *d, const char *pointer, int32_t min, int32_t max, int32_t *out)
{
    return tenths(d, pointer, true, min, max, out);
}

bool gw_decode_tenths_optional(gw_decoder *d, const char *pointer, int32_t min, int32_t max, int32_t *out)
{
    return tenths(d, pointer, false, min, max, out);
}

/* True when the value is whole and fits; a real such as 1e2 counts as long as a double holds every whole number. */
static bool whole(const json_t *value, int64_t *out)
{
    double x = json_real_value(value);
    if (json_is_integer(value)) {
        *out = json_integer_value(value);
        return true;
    }
    if (x != floor(x) || fabs(x) > 9007199254740992.0) return false;
    *out = (int64_t)x;
    return true;
}

static bool integer(gw_decoder *d, const char *pointer, bool required, int64_t min, int64_t max, int64_t *out)
{
    json_t *value = number(d, pointer, required, "a whole number");
    int64_t n;
    if (!value) return false;
    if (!whole(value, &n)) return wrong(d, pointer, value, "a whole number");
    if (n < min || n > max) return wrong(d, pointer, value, "%lld to %lld", (long long)min, (long long)max);
    *out = n;
    return true;
}

bool gw_decode_int(gw_decoder *d, const char *pointer, int64_t min, int64_t max, int64_t *out)
{
    return integer(d, pointer, true, min, max, out);
}

bool gw_decode_int_optional(gw_decoder *d, const char *pointer, int64_t min, int64_t max, int64_t *out)
{
    return integer(d, pointer, false, min, max, out);
}

static bool boolean(gw_decoder *d, const char *pointer, bool required, bool *out)
{
    json_t *value = take(d, pointer, required, "true or false");
    if (!value) return false;
    if (!json_is_boolean(value)) return wrong_kind(d, pointer, value, "true or false");
    *out = json_is_true(value);
    return true;
}

bool gw_decode_bool(gw_decoder *d, const char *pointer, bool *out)
{
    return boolean(d, pointer, true, out);
}

bool gw_decode_bool_optional(gw_decoder *d, const char *pointer, bool *out)
{
    return boolean(d, pointer, false, out);
}
