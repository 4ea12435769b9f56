/* api: requests to a Gramwell server by libcurl, answers by jansson. */
#include <curl/curl.h>
#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>
#include <sys/stat.h>
#include <time.h>

#include "cli.h"

enum { REPLY_MAX = 64 * 1024 * 1024, TOKEN_MAX = 512, BUSY_SECONDS = 60 };

struct gw_api {
    const char *name;
    CURL *curl;
    char *base; /* server + "/api/v1" */
    struct curl_slist *headers;
    char fault[CURL_ERROR_SIZE];
};

typedef struct {
    char *text;
    size_t length;
} reply_buffer;

static size_t receive(char *part, size_t one, size_t n, void *to)
{
    reply_buffer *b = to;
    (void)one;
    if (n > REPLY_MAX - b->length) return 0;
    char *text = realloc(b->text, b->length + n + 1);
    if (!text) return 0;
    memcpy(text + b->length, part, n);
    b->text = text;
    b->length = b->length + n;
    text[b->length] = '\0';
    return n;
}

bool gw_api_token_path(char *path, size_t size)
{
    const char *config = getenv("XDG_CONFIG_HOME"), *home = getenv("HOME");
    int n = -1;
    if (config && config[0] == '/') {
        n = snprintf(path, size, "%s/gramwell/token", config);
    } else if (home && home[0] == '/') {
        n = snprintf(path, size, "%s/.config/gramwell/token", home);
    }
    return n > 0 && (size_t)n < size;
}

/* A token goes into a header line: only what a token can hold is let through. */
static bool token_sound(const char *token)
{
    size_t n = strlen(token);
    return n >= 8 && n < TOKEN_MAX &&
           strspn(token, "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-._~+/=") == n;
}

static int find_token(const char *name, const char *file, char token[TOKEN_MAX])
{
    const char *given = getenv("GRAMWELL_TOKEN");
    char kept[4096];
    if (!file && given && *given) {
        if (strlen(given) >= TOKEN_MAX || !token_sound(given)) {
            gw_cli_say(name, "GRAMWELL_TOKEN does not hold a token");
            return GW_EXIT_SIGN_IN;
        }
        memcpy(token, given, strlen(given) + 1);
        return GW_EXIT_DONE;
    }
    if (!file) {
        if (!gw_api_token_path(kept, sizeof kept)) {
            gw_cli_say(name, "set GRAMWELL_TOKEN, or name a file with --token-file");
            return GW_EXIT_SIGN_IN;
        }
        file = kept;
    }
    FILE *f = fopen(file, "r");
    if (!f) {
        gw_cli_say(name, "no token: %s: %s; run gramwell sign-in first", file, strerror(errno));
        return GW_EXIT_SIGN_IN;
    }
    if (!fgets(token, TOKEN_MAX, f)) token[0] = '\0';
    fclose(f);
    token[strcspn(token, "\r\n")] = '\0';
    if (!token_sound(token)) {
        gw_cli_say(name, "%s does not hold a token; run gramwell sign-in again", file);
        return GW_EXIT_SIGN_IN;
    }
    return GW_EXIT_DONE;
}

/* A token must not cross a network in the clear: plain http is for this machine only. */
static bool server_sound(const char *name, const char *server)
{
    CURLU *url = curl_url();
    char *scheme = NULL, *host = NULL, *user = NULL, *query = NULL;
    bool sound = false;
    if (!url || curl_url_set(url, CURLUPART_URL, server, 0) != CURLUE_OK ||
        curl_url_get(url, CURLUPART_SCHEME, &scheme, 0) != CURLUE_OK ||
        curl_url_get(url, CURLUPART_HOST, &host, 0) != CURLUE_OK) {
        gw_cli_say(name, "\"%s\" is not the address of a server, expected for instance https://gramwell.example",
                   server);
        goto done;
    }
    if (curl_url_get(url, CURLUPART_USER, &user, 0) == CURLUE_OK ||
        curl_url_get(url, CURLUPART_QUERY, &query, 0) == CURLUE_OK) {
        gw_cli_say(name, "the server's address must hold neither a user nor a query");
        goto done;
    }
    bool local = strcmp(host, "127.0.0.1") == 0 || strcmp(host, "[::1]") == 0 || strcasecmp(host, "localhost") == 0;
    sound = strcasecmp(scheme, "https") == 0 || (strcasecmp(scheme, "http") == 0 && local);
    if (!sound) gw_cli_say(name, "%s is refused: plain http only on this machine, else https", server);
done:
    curl_free(scheme);
    curl_free(host);
    curl_free(user);
    curl_free(query);
    curl_url_cleanup(url);
    return sound;
}

gw_api *gw_api_open(const char *name, const char *server, const char *token_file, bool signed_in, int *status)
{
    char token[TOKEN_MAX];
    gw_api *api = NULL;
    *status = GW_EXIT_INPUT;
    if (!server) server = getenv("GRAMWELL_SERVER");
    if (!server || !*server) {
        gw_cli_say(name, "which server? Use --server URL or set GRAMWELL_SERVER");
        return NULL;
    }
    if (curl_global_init(CURL_GLOBAL_DEFAULT) != CURLE_OK || !server_sound(name, server)) return NULL;
    if (signed_in && (*status = find_token(name, token_file, token)) != GW_EXIT_DONE) return NULL;

    *status = GW_EXIT_FAILED;
    api = calloc(1, sizeof *api);
    if (!api) goto failed;
    api->name = name;
    size_t length = strlen(server);
    while (length && server[length - 1] == '/') length--;
    api->base = malloc(length + sizeof "/api/v1");
    api->curl = curl_easy_init();
    if (!api->base || !api->curl) goto failed;
    snprintf(api->base, length + sizeof "/api/v1", "%.*s/api/v1", (int)length, server);

    static const char *const fixed[] = {"Accept: application/json", "Content-Type: application/json", "Expect:"};
    for (size_t i = 0; i < sizeof fixed / sizeof fixed[0]; i++) {
        struct curl_slist *more = curl_slist_append(api->headers, fixed[i]);
        if (!more) goto failed;
        api->headers = more;
    }
    if (signed_in) {
        char line[TOKEN_MAX + 32];
        snprintf(line, sizeof line, "Authorization: Bearer %s", token);
        struct curl_slist *more = curl_slist_append(api->headers, line);
        if (!more) goto failed;
        api->headers = more;
    }
    curl_easy_setopt(api->curl, CURLOPT_HTTPHEADER, api->headers);
    curl_easy_setopt(api->curl, CURLOPT_PROTOCOLS_STR, "http,https");
    curl_easy_setopt(api->curl, CURLOPT_NOSIGNAL, 1L);
    curl_easy_setopt(api->curl, CURLOPT_CONNECTTIMEOUT, 10L);
    curl_easy_setopt(api->curl, CURLOPT_TIMEOUT, 60L);
    curl_easy_setopt(api->curl, CURLOPT_USERAGENT, "gramwell/" GRAMWELL_VERSION);
    curl_easy_setopt(api->curl, CURLOPT_ERRORBUFFER, api->fault);
    curl_easy_setopt(api->curl, CURLOPT_WRITEFUNCTION, receive);
    return api;

failed:
    gw_cli_say(name, "out of memory");
    gw_api_close(api);
    return NULL;
}

void gw_api_close(gw_api *api)
{
    if (!api) return;
    curl_slist_free_all(api->headers);
    curl_easy_cleanup(api->curl);
    free(api->base);
    free(api);
}

/* One attempt. *after: seconds after which the server asks to be called again. */
static long attempt(gw_api *api, const char *method, const char *url, const char *body, reply_buffer *got,
                    curl_off_t *after)
{
    long status = 0;
    api->fault[0] = '\0';
    curl_easy_setopt(api->curl, CURLOPT_URL, url);
    curl_easy_setopt(api->curl, CURLOPT_WRITEDATA, got);
    curl_easy_setopt(api->curl, CURLOPT_CUSTOMREQUEST, method);
    curl_easy_setopt(api->curl, CURLOPT_HTTPGET, 1L);
    if (body) {
        curl_easy_setopt(api->curl, CURLOPT_POSTFIELDS, body);
        curl_easy_setopt(api->curl, CURLOPT_POSTFIELDSIZE, (long)strlen(body));
    }
    CURLcode code = curl_easy_perform(api->curl);
    if (code != CURLE_OK) {
        gw_cli_say(api->name, "%s: %s", api->base, api->fault[0] ? api->fault : curl_easy_strerror(code));
        return 0;
    }
    curl_easy_getinfo(api->curl, CURLINFO_RESPONSE_CODE, &status);
    if (curl_easy_getinfo(api->curl, CURLINFO_RETRY_AFTER, after) != CURLE_OK || *after < 1) *after = 1;
    return status;
}

long gw_api_call(gw_api *api, const char *method, const char *path, const json_t *body, json_t **reply)
{
    reply_buffer got = {0};
    long status = 0;
    *reply = NULL;
    size_t size = strlen(api->base) + strlen(path) + 1;
    char *url = malloc(size);
    char *text = body ? json_dumps(body, JSON_COMPACT) : NULL;
    if (!url || (body && !text)) {
        gw_cli_say(api->name, "out of memory");
        goto done;
    }
    snprintf(url, size, "%s%s", api->base, path);
    for (curl_off_t waited = 0, after = 0;; waited += after) {
        got.length = 0;
        status = attempt(api, method, url, text, &got, &after);
        if ((status != 429 && status != 503) || waited + after > BUSY_SECONDS) break;
        struct timespec pause = {.tv_sec = (time_t)after};
        nanosleep(&pause, NULL); /* as long as the server asked for */
    }
    if (status && got.length) {
        json_error_t fault;
        *reply = json_loadb(got.text, got.length, JSON_REJECT_DUPLICATES, &fault);
        if (!*reply) {
            gw_cli_say(api->name, "%s answered %ld with something that is not JSON: is this a Gramwell server?", url,
                       status);
            status = 0;
        }
    }
done:
    free(text);
    free(url);
    free(got.text);
    return status;
}

int gw_api_refused(const gw_api *api, const char *what, long http_status, const json_t *problem)
{
    if (http_status == 0) return GW_EXIT_FAILED; /* has been said */
    const char *title = json_string_value(json_object_get(problem, "title"));
    const char *detail = json_string_value(json_object_get(problem, "detail"));
    gw_cli_say(api->name, "%s: %ld %s%s%s", what, http_status, title ? title : "refused", detail ? ": " : "",
               detail ? detail : "");
    size_t i;
    const json_t *fault;
    json_array_foreach(json_object_get(problem, "errors"), i, fault)
    {
        const char *pointer = json_string_value(json_object_get(fault, "pointer"));
        const char *words = json_string_value(json_object_get(fault, "detail"));
        gw_cli_say(api->name, "  %s %s", pointer ? pointer : "", words ? words : "");
    }
    return http_status == 401 || http_status == 403 ? GW_EXIT_SIGN_IN : GW_EXIT_FAILED;
}

int gw_api_list(gw_api *api, const char *path, const char *member, json_t **list)
{
    char next[1024];
    json_t *all = json_array();
    int status = GW_EXIT_FAILED;
    snprintf(next, sizeof next, "%s", path);
    while (all && next[0]) {
        json_t *page = NULL;
        long http = gw_api_call(api, "GET", next, NULL, &page);
        if (http != 200) {
            status = gw_api_refused(api, path, http, page);
            json_decref(page);
            break;
        }
        bool whole = json_array_extend(all, json_object_get(page, member)) == 0;
        const char *cursor = json_string_value(json_object_get(page, "next"));
        next[0] = '\0';
        if (cursor) {
            char *escaped = curl_easy_escape(api->curl, cursor, 0);
            snprintf(next, sizeof next, "%s&cursor=%s", path, escaped ? escaped : "");
            curl_free(escaped);
        }
        json_decref(page);
        if (!whole) {
            gw_cli_say(api->name, "%s: the answer has no list of %s", path, member);
            break;
        }
        if (!next[0]) status = GW_EXIT_DONE;
    }
    if (status != GW_EXIT_DONE) {
        json_decref(all);
        all = NULL;
    }
    *list = all;
    return status;
}
