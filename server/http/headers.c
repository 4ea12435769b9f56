#include "http/headers.h"

#include <string.h>
#include <strings.h>

void gw_headers_init(gw_headers *headers)
{
    *headers = (gw_headers){.content_length = -1};
}

static bool is_token_char(unsigned char c)
{
    if ((c >= '0' && c <= '9') || (c >= 'A' && c <= 'Z') || (c >= 'a' && c <= 'z')) return true;
    return c && strchr("!#$%&'*+-.^_`|~", c);
}

static bool is_token(const char *text, size_t n)
{
    for (size_t i = 0; i < n; i++)
        if (!is_token_char((unsigned char)text[i])) return false;
    return n > 0;
}

static bool has_control(const char *text, size_t n)
{
    for (size_t i = 0; i < n; i++)
        if (((unsigned char)text[i] < 0x20 && text[i] != '\t') || text[i] == 0x7F) return true;
    return false;
}

static void set_fault(gw_headers *h, const char *words)
{
    if (!h->fault) h->fault = words;
}

static void read_length(gw_headers *h, const char *value)
{
    int64_t length = 0;
    h->n_length++;
    for (const char *c = value; *c; c++) {
        if (*c < '0' || *c > '9' || length > INT64_MAX / 10 - 10) {
            set_fault(h, "Content-Length is no number");
            return;
        }
        length = length * 10 + (*c - '0');
    }
    if (!*value) set_fault(h, "Content-Length is empty");
    h->content_length = length;
}

static void read_coding(gw_headers *h, const char *value)
{
    h->n_coding++;
    h->chunked = strcasecmp(value, "chunked") == 0;
    if (!h->chunked) set_fault(h, "Transfer-Encoding is not chunked");
}

static bool cookie_is(const char *name, size_t length, const char *wanted)
{
    return strlen(wanted) == length && memcmp(name, wanted, length) == 0;
}

/* One `name=value` of a Cookie line; values may stand in double quotes (RFC 6265 section 4.1.1). */
static void read_cookie(gw_headers *h, gw_arena *arena, const char *pair, size_t length)
{
    const char *equals = memchr(pair, '=', length);
    if (!equals) return;
    size_t name = (size_t)(equals - pair), rest = length - name - 1;
    const char *value = equals + 1;
    if (rest >= 2 && value[0] == '"' && value[rest - 1] == '"') {
        value++;
        rest -= 2;
    }
    if (cookie_is(pair, name, GW_COOKIE)) {
        h->n_cookie++;
        h->cookie = gw_arena_strndup(arena, value, rest);
    } else if (cookie_is(pair, name, GW_COOKIE_PLAIN)) {
        h->n_cookie_plain++;
        h->cookie_plain = gw_arena_strndup(arena, value, rest);
    }
}

static void read_cookies(gw_headers *h, gw_arena *arena, const char *line)
{
    while (*line) {
        line += strspn(line, " \t;");
        size_t length = strcspn(line, ";");
        size_t used = length;
        while (used > 0 && (line[used - 1] == ' ' || line[used - 1] == '\t')) used--;
        if (used) read_cookie(h, arena, line, used);
        line += length;
    }
}

/* The lines that are simply kept. Of repeated ones the last: none of them decides how the request is framed. */
static void keep_plain(gw_headers *h, const char *name, const char *value)
{
    const struct {
        const char *name;
        const char **to;
    } kept[] = {
        {"Content-Type", &h->content_type},
        {"Content-Encoding", &h->content_encoding},
        {"Accept-Encoding", &h->accept_encoding},
        {"If-Match", &h->if_match},
        {"If-None-Match", &h->if_none_match},
        {"Sec-Fetch-Site", &h->sec_fetch_site},
        {"Origin", &h->origin},
        {"X-Forwarded-For", &h->forwarded_for},
    };
    for (size_t i = 0; i < sizeof kept / sizeof *kept; i++)
        if (strcasecmp(name, kept[i].name) == 0) *kept[i].to = value;
}

void gw_headers_add(gw_headers *h, gw_arena *arena, const char *name, size_t name_length, const char *value,
                    size_t value_length)
{
    h->bytes += name_length + value_length + 4;
    if (!is_token(name, name_length)) set_fault(h, "a header name holds a character that none may");
    if (has_control(value, value_length)) set_fault(h, "a header holds control characters");
    const char *n = gw_arena_strndup(arena, name, name_length);
    const char *v = gw_arena_strndup(arena, value, value_length);
    if (!n || !v || h->fault) return;

    if (strcasecmp(n, "Host") == 0) {
        h->n_host++;
    } else if (strcasecmp(n, "Content-Length") == 0) {
        read_length(h, v);
    } else if (strcasecmp(n, "Transfer-Encoding") == 0) {
        read_coding(h, v);
    } else if (strcasecmp(n, "Cookie") == 0) {
        read_cookies(h, arena, v);
    } else if (strcasecmp(n, "Authorization") == 0) {
        h->n_authorization++;
        h->authorization = v;
    } else {
        keep_plain(h, n, v);
    }
}

static const char *fault_of(const gw_headers *h, bool version_11)
{
    if (h->fault) return h->fault;
    if (h->n_length > 1) return "Content-Length is repeated";
    if (h->n_coding > 1) return "Transfer-Encoding is repeated";
    if (h->n_coding && h->n_length) return "both Content-Length and Transfer-Encoding are given";
    if (h->n_coding && !version_11) return "Transfer-Encoding needs HTTP/1.1";
    if (h->n_host > 1) return "Host is repeated";
    if (h->n_host == 0 && version_11) return "Host is missing";
    if (h->n_cookie > 1 || h->n_cookie_plain > 1) return "the session's cookie is repeated";
    if (h->n_authorization > 1) return "Authorization is repeated";
    return NULL;
}

gw_status gw_headers_check(const gw_headers *h, bool version_11, gw_error *err)
{
    const char *fault = fault_of(h, version_11);
    if (fault) return gw_fail(err, GW_ESYNTAX, "%s", fault);
    if (h->bytes > GW_HEADER_BYTES_MAX)
        return gw_fail(err, GW_EHEADERS, "the headers have %zu bytes, expected at most %d", h->bytes,
                       GW_HEADER_BYTES_MAX);
    return GW_OK;
}

const char *gw_headers_bearer(const gw_headers *h)
{
    static const char scheme[] = "Bearer ";
    if (!h->authorization || strncasecmp(h->authorization, scheme, sizeof scheme - 1) != 0) return NULL;
    const char *token = h->authorization + sizeof scheme - 1;
    return token + strspn(token, " ");
}

bool gw_headers_is_json(const gw_headers *h)
{
    static const char json[] = "application/json";
    const char *type = h->content_type;
    if (!type || strncasecmp(type, json, sizeof json - 1) != 0) return false;
    type += sizeof json - 1;
    type += strspn(type, " \t");
    if (*type == '\0') return true;
    if (*type++ != ';') return false;
    type += strspn(type, " \t");
    return strcasecmp(type, "charset=utf-8") == 0 || strcasecmp(type, "charset=\"utf-8\"") == 0;
}

bool gw_headers_takes_gzip(const gw_headers *h)
{
    for (const char *at = h->accept_encoding; at && *at; at += strcspn(at, ","), at += *at == ',') {
        at += strspn(at, " \t");
        if (strncasecmp(at, "gzip", 4) != 0) continue;
        const char *rest = at + 4 + strspn(at + 4, " \t");
        if (*rest == '\0' || *rest == ',') return true;
        if (*rest != ';') continue;
        rest += 1 + strspn(rest + 1, " \t");
        if (strncasecmp(rest, "q=0", 3) != 0) return true;
        return rest[3] == '.' && strspn(rest + 4, "0") < strspn(rest + 4, "0123456789");
    }
    return false;
}

bool gw_etag_listed(const char *list, const char *etag)
{
    if (!list || !etag) return false;
    if (strcmp(list, "*") == 0) return true;
    if (strncmp(etag, "W/", 2) == 0) etag += 2;
    size_t length = strlen(etag);
    for (const char *at = list; *at;) {
        at += strspn(at, " \t,");
        if (strncmp(at, "W/", 2) == 0) at += 2;
        if (strncmp(at, etag, length) == 0 && strchr(", \t", at[length])) return true; /* also at the end: NUL */
        at += strcspn(at, ",");
    }
    return false;
}
