#include <criterion/criterion.h>
#include <curl/curl.h>
#include <stdlib.h>
#include <string.h>

#include "support/world_private.h"

enum { ANSWER_LIMIT_S = 30 };

typedef struct {
    char *bytes;
    size_t length;
} pile;

static size_t take(char *bytes, size_t size, size_t n, void *to)
{
    pile *p = to;
    char *more = realloc(p->bytes, p->length + size * n + 1);
    if (!more) return 0;
    p->bytes = more;
    memcpy(p->bytes + p->length, bytes, size * n);
    p->length += size * n;
    p->bytes[p->length] = '\0';
    return size * n;
}

static size_t give(char *bytes, size_t size, size_t n, void *from)
{
    pile *p = from;
    size_t some = size * n < p->length ? size * n : p->length;
    memcpy(bytes, p->bytes, some);
    p->bytes += some;
    p->length -= some;
    return some;
}

static struct curl_slist *headers_of(const gw_ask *ask)
{
    struct curl_slist *list = curl_slist_append(NULL, "Expect:");
    const char *token = ask->token ? ask->token : ask->who == NOBODY ? NULL : gw_token(ask->who);
    const char *type = ask->type ? ask->type : ask->body ? "application/json" : NULL;
    if (token) list = curl_slist_append(list, gw_text("Authorization: Bearer %s", token));
    list = curl_slist_append(list, type && *type ? gw_text("Content-Type: %s", type) : "Content-Type:");
    if (ask->if_match) list = curl_slist_append(list, gw_text("If-Match: %s", ask->if_match));
    if (ask->header) list = curl_slist_append(list, ask->header);
    if (ask->chunked) list = curl_slist_append(list, "Transfer-Encoding: chunked");
    return list;
}

static const char *url_of(const gw_ask *ask)
{
    return ask->path[1] == '/' ? gw_text("%s%s", gw_url(), ask->path + 1) : gw_text("%s/api/v1%s", gw_url(), ask->path);
}

static void set_body(CURL *curl, const gw_ask *ask, pile *body)
{
    if (!ask->body) return;
    body->bytes = (char *)ask->body;
    body->length = ask->body_length ? ask->body_length : strlen(ask->body);
    curl_easy_setopt(curl, CURLOPT_POST, 1L);
    if (ask->chunked) {
        curl_easy_setopt(curl, CURLOPT_READFUNCTION, give);
        curl_easy_setopt(curl, CURLOPT_READDATA, body);
        return;
    }
    curl_easy_setopt(curl, CURLOPT_POSTFIELDS, ask->body);
    curl_easy_setopt(curl, CURLOPT_POSTFIELDSIZE_LARGE, (curl_off_t)body->length);
}

/* The JSON of all answers lives until the process of the test ends; the list keeps it reachable for the leak check. */
static json_t *keep(json_t *json)
{
    static json_t *kept;
    if (!kept) kept = json_array();
    json_array_append_new(kept, json);
    return json;
}

static gw_answer answer_of(CURL *curl, const pile *body, const pile *headers)
{
    long status = 0;
    char *type = NULL;
    curl_easy_getinfo(curl, CURLINFO_RESPONSE_CODE, &status);
    curl_easy_getinfo(curl, CURLINFO_CONTENT_TYPE, &type);
    return (gw_answer){
        .status = (int)status,
        .type = gw_text("%s", type ? type : ""),
        .text = gw_text("%s", body->bytes ? body->bytes : ""),
        .length = body->length,
        .headers = gw_text("%s", headers->bytes ? headers->bytes : ""),
        .json = body->length
                    ? keep(json_loadb(body->bytes, body->length, JSON_DECODE_ANY | JSON_REJECT_DUPLICATES, NULL))
                    : NULL,
    };
}

gw_answer gw_send(gw_ask ask)
{
    pile to = {0}, body = {0}, headers = {0};
    CURL *curl = curl_easy_init();
    struct curl_slist *list = headers_of(&ask);
    if (!curl) gw_give_up("curl has no memory");
    curl_easy_setopt(curl, CURLOPT_URL, url_of(&ask));
    curl_easy_setopt(curl, CURLOPT_PATH_AS_IS, 1L);
    curl_easy_setopt(curl, CURLOPT_PROXY, "");
    curl_easy_setopt(curl, CURLOPT_TIMEOUT, (long)ANSWER_LIMIT_S);
    set_body(curl, &ask, &to);
    curl_easy_setopt(curl, CURLOPT_HTTPHEADER, list);
    if (!strcmp(ask.method, "HEAD"))
        curl_easy_setopt(curl, CURLOPT_NOBODY, 1L);
    else
        curl_easy_setopt(curl, CURLOPT_CUSTOMREQUEST, ask.method);
    curl_easy_setopt(curl, CURLOPT_WRITEFUNCTION, take);
    curl_easy_setopt(curl, CURLOPT_WRITEDATA, &body);
    curl_easy_setopt(curl, CURLOPT_HEADERFUNCTION, take);
    curl_easy_setopt(curl, CURLOPT_HEADERDATA, &headers);
    CURLcode code = curl_easy_perform(curl);
    if (code) gw_give_up("%s %s: no answer: %s", ask.method, ask.path, curl_easy_strerror(code));

    gw_answer answer = answer_of(curl, &body, &headers);
    curl_easy_cleanup(curl);
    curl_slist_free_all(list);
    free(body.bytes);
    free(headers.bytes);
    const char *misfit = gw_conform(ask.method, ask.path, &answer);
    if (misfit && !getenv("GW_WORLD_MADE")) gw_give_up("%s %s: %s", ask.method, ask.path, misfit);
    if (misfit) cr_expect_fail("%s %s -> %d: %s\n%s", ask.method, ask.path, answer.status, misfit, answer.text);
    return answer;
}

gw_answer gw_do(gw_who who, const char *method, const char *path, const char *body)
{
    return gw_send((gw_ask){.who = who, .method = method, .path = path, .body = body});
}
