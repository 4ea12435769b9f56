#include "animal/chip.h"

#include <stdlib.h>
#include <string.h>

enum { ISO_DIGITS = 15, COUNTRY_DIGITS = 3, OTHER_MIN = 9, OTHER_MAX = 10 };

static const long long identity_max = (1LL << 38) - 1;

static gw_chip_kind refuse(const char **why, const char *words)
{
    if (why) *why = words;
    return GW_CHIP_REFUSED;
}

/* Copy without blanks and hyphens; the length, or GW_CHIP_TEXT when there are too many characters. */
static size_t plain(const char *text, char out[GW_CHIP_TEXT])
{
    size_t n = 0;
    for (; *text; text++) {
        if (*text == ' ' || *text == '-') continue;
        if (n == GW_CHIP_TEXT - 1) return GW_CHIP_TEXT;
        out[n++] = *text >= 'a' && *text <= 'z' ? (char)(*text - 'a' + 'A') : *text;
    }
    out[n] = '\0';
    return n;
}

gw_chip_kind gw_chip_read(const char *text, char chip[GW_CHIP_TEXT], const char **why)
{
    char read[GW_CHIP_TEXT] = "";
    size_t n = plain(text, read);
    if (n == GW_CHIP_TEXT) return refuse(why, "has more than 15 characters");
    if (n == ISO_DIGITS) {
        if (strspn(read, "0123456789") != ISO_DIGITS) return refuse(why, "has 15 characters that are not all digits");
        if (strtoll(read + COUNTRY_DIGITS, NULL, 10) > identity_max)
            return refuse(why, "has an identity above 274877906943, the largest that 38 bits hold");
        memcpy(chip, read, GW_CHIP_TEXT);
        return GW_CHIP_ISO;
    }
    if (n != OTHER_MIN && n != OTHER_MAX) return refuse(why, "has neither 15 digits nor 9 or 10 characters");
    if (strspn(read, "0123456789ABCDEF") != n) return refuse(why, "has characters other than digits and A to F");
    memcpy(chip, read, GW_CHIP_TEXT);
    return GW_CHIP_OTHER;
}
