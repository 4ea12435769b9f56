#include "http/origin.h"

#include <arpa/inet.h>
#include <netinet/in.h>
#include <string.h>
#include <strings.h>

gw_status gw_origin_check(const gw_headers *headers, const char *const origins[], int n, gw_error *err)
{
    if (headers->sec_fetch_site) {
        if (strcmp(headers->sec_fetch_site, "same-origin") == 0) return GW_OK;
        return gw_fail(err, GW_EORIGIN, "the browser says that this request comes from another site");
    }
    for (int i = 0; headers->origin && i < n; i++)
        if (strcasecmp(headers->origin, origins[i]) == 0) return GW_OK;
    return gw_fail(err, GW_EORIGIN, "a request with a cookie needs Sec-Fetch-Site: same-origin or our Origin");
}

bool gw_address_is_loopback(const char *address)
{
    return strncmp(address, "127.", 4) == 0 || strncmp(address, "[::1]:", 6) == 0 || strcmp(address, "::1") == 0;
}

static const char *cut_to_customer(gw_arena *arena, const char *address)
{
    struct in6_addr six;
    if (inet_pton(AF_INET6, address, &six) != 1) return address;
    char text[INET6_ADDRSTRLEN];
    if (IN6_IS_ADDR_V4MAPPED(&six))
        inet_ntop(AF_INET, six.s6_addr + 12, text, sizeof text);
    else {
        memset(six.s6_addr + 8, 0, 8);
        inet_ntop(AF_INET6, &six, text, sizeof text);
    }
    return gw_arena_strdup(arena, text);
}

static bool in_list(const char *list, const char *address)
{
    size_t length = strlen(address);
    for (const char *at = list; at && *at; at += *at == ',') {
        at += strspn(at, " ");
        size_t entry = strcspn(at, ", ");
        if (entry == length && memcmp(at, address, length) == 0) return true;
        at += strcspn(at, ",");
    }
    return false;
}

/* The last entry of a comma list, cut off the list; NULL when it is empty. */
static const char *take_last(char *list)
{
    char *comma = strrchr(list, ',');
    char *entry = comma ? comma + 1 : list;
    if (comma) *comma = '\0';
    entry += strspn(entry, " \t");
    entry[strcspn(entry, " \t")] = '\0';
    if (!comma) return *entry ? entry : NULL;
    return entry;
}

const char *gw_client_address(gw_arena *arena, const char *peer, const char *forwarded_for, const char *proxies)
{
    char *list = in_list(proxies, peer) ? gw_arena_strdup(arena, forwarded_for) : NULL;
    unsigned char parsed[sizeof(struct in6_addr)];
    const char *client = peer;
    while (list && *list) {
        bool last = !strchr(list, ',');
        const char *entry = take_last(list);
        bool numeric = entry && (inet_pton(AF_INET, entry, parsed) == 1 || inet_pton(AF_INET6, entry, parsed) == 1);
        if (!numeric) break; /* whoever wrote this is not to be believed further */
        client = entry;
        if (last || !in_list(proxies, entry)) break;
    }
    const char *cut = cut_to_customer(arena, client);
    return cut ? cut : peer;
}
