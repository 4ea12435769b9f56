#include "base/uuid.h"

#include <sodium.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>
#include <time.h>

static bool is_dash(size_t i)
{
    return i == 8 || i == 13 || i == 18 || i == 23;
}

static char lower_hex(char c)
{
    if ((c >= '0' && c <= '9') || (c >= 'a' && c <= 'f')) return c;
    if (c >= 'A' && c <= 'F') return (char)(c - 'A' + 'a');
    return '\0';
}

bool gw_uuid_read(const char *text, char out[GW_UUID_TEXT])
{
    char copy[GW_UUID_TEXT] = {0};
    if (!text) return false;
    for (size_t i = 0; i < GW_UUID_TEXT - 1; i++) {
        copy[i] = is_dash(i) ? (text[i] == '-' ? '-' : '\0') : lower_hex(text[i]);
        if (!copy[i]) return false;
    }
    if (text[GW_UUID_TEXT - 1] != '\0') return false;
    if (copy[14] < '1' || copy[14] > '8') return false; /* version, RFC 9562 section 4.2 */
    if (!strchr("89ab", copy[19])) return false;        /* variant, section 4.1 */
    if (out) memcpy(out, copy, sizeof copy);
    return true;
}

void gw_uuid_make(char out[GW_UUID_TEXT])
{
    unsigned char b[16];
    randombytes_buf(b, sizeof b);
    struct timespec now;
    clock_gettime(CLOCK_REALTIME, &now);
    uint64_t ms = (uint64_t)now.tv_sec * 1000 + (uint64_t)now.tv_nsec / 1000000;
    for (int i = 0; i < 6; i++) b[i] = (unsigned char)(ms >> (40 - 8 * i));
    b[6] = (unsigned char)((b[6] & 0x0F) | 0x70);
    b[8] = (unsigned char)((b[8] & 0x3F) | 0x80);
    snprintf(out, GW_UUID_TEXT, "%02x%02x%02x%02x-%02x%02x-%02x%02x-%02x%02x-%02x%02x%02x%02x%02x%02x", b[0], b[1],
             b[2], b[3], b[4], b[5], b[6], b[7], b[8], b[9], b[10], b[11], b[12], b[13], b[14], b[15]);
}
