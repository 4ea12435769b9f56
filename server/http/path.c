#include "http/path.h"

#include <string.h>

#include "base/utf8.h"

static int hex_digit(char c)
{
    if (c >= '0' && c <= '9') return c - '0';
    if (c >= 'a' && c <= 'f') return c - 'a' + 10;
    if (c >= 'A' && c <= 'F') return c - 'A' + 10;
    return -1;
}

/* Escapes undone in place of text; the length, or SIZE_MAX when one is none. */
static size_t undo_escapes(const char *text, size_t n, char *out)
{
    size_t length = 0;
    for (size_t i = 0; i < n; i++) {
        if (text[i] != '%') {
            out[length++] = text[i];
            continue;
        }
        int high = i + 2 < n ? hex_digit(text[i + 1]) : -1;
        int low = i + 2 < n ? hex_digit(text[i + 2]) : -1;
        if (high < 0 || low < 0 || (high == 0 && low == 0)) return SIZE_MAX;
        out[length++] = (char)(high * 16 + low);
        i += 2;
    }
    return length;
}

gw_status gw_percent_decode(gw_arena *arena, const char *text, size_t n, const char **out, gw_error *err)
{
    char *decoded = gw_arena_alloc(arena, n + 1);
    if (!decoded) return gw_fail(err, GW_EINTERNAL, "out of memory");
    size_t length = undo_escapes(text, n, decoded);
    if (length == SIZE_MAX) return gw_fail(err, GW_ESYNTAX, "the address holds a %% that begins no escape");
    decoded[length] = '\0';
    if (!gw_utf8_valid(decoded, length)) return gw_fail(err, GW_ESYNTAX, "the address is not UTF-8");
    for (const char *c = decoded; *c; c++)
        if (gw_utf8_is_control(c) || *c == '\n' || *c == '\t')
            return gw_fail(err, GW_ESYNTAX, "the address holds control characters");
    *out = decoded;
    return GW_OK;
}

gw_status gw_path_split(gw_arena *arena, const char *raw, gw_path *path, gw_error *err)
{
    path->n = 0;
    if (raw[0] != '/') return gw_fail(err, GW_ESYNTAX, "the address does not begin with /");
    if (strlen(raw) > GW_PATH_BYTES_MAX)
        return gw_fail(err, GW_ETOOLONG, "the path is longer than %d bytes", GW_PATH_BYTES_MAX);
    if (raw[1] == '\0') return GW_OK;

    for (const char *at = raw; *at;) {
        size_t length = strcspn(++at, "/");
        if (path->n == GW_SEGMENTS_MAX) return gw_fail(err, GW_EUNKNOWN, "there is nothing at this address");
        const char **segment = &path->segments[path->n++];
        gw_status status = gw_percent_decode(arena, at, length, segment, err);
        if (status) return status;
        if (strchr(*segment, '/')) return gw_fail(err, GW_ESYNTAX, "the address holds an escaped /");
        at += length;
    }
    return GW_OK;
}

static bool is_allowed(const char *const allowed[], const char *name)
{
    for (size_t i = 0; i < GW_QUERY_MAX && allowed[i]; i++)
        if (strcmp(allowed[i], name) == 0) return true;
    return false;
}

gw_status gw_query_add(gw_request *rq, const char *const allowed[], const char *name, const char *value, gw_error *err)
{
    gw_pair pair;
    gw_status status = gw_percent_decode(rq->arena, name, strlen(name), &pair.name, err);
    if (!status) status = gw_percent_decode(rq->arena, value ? value : "", value ? strlen(value) : 0, &pair.value, err);
    if (status) return status;
    if (!is_allowed(allowed, pair.name)) return gw_fail(err, GW_ESYNTAX, "the query has a name that is not known here");
    for (size_t i = 0; i < rq->n_query; i++)
        if (strcmp(rq->query[i].name, pair.name) == 0)
            return gw_fail(err, GW_ESYNTAX, "the query has %s more than once", pair.name);
    rq->query[rq->n_query++] = pair;
    return GW_OK;
}
