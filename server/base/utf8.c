#include "base/utf8.h"

static bool follows(unsigned char c)
{
    return (c & 0xC0) == 0x80;
}

/* Table 3-7 of the Unicode standard (well-formed byte sequences), from memory; the same ranges as RFC 3629 section 4.
 */
size_t gw_utf8_length(const char *text)
{
    const unsigned char *s = (const unsigned char *)text;
    if (s[0] < 0x80) return 1;
    if (s[0] < 0xC2) return 0;
    if (s[0] < 0xE0) return follows(s[1]) ? 2 : 0;
    if (s[0] < 0xF0) {
        if (s[0] == 0xE0 && s[1] < 0xA0) return 0;
        if (s[0] == 0xED && s[1] > 0x9F) return 0;
        return follows(s[1]) && follows(s[2]) ? 3 : 0;
    }
    if (s[0] > 0xF4) return 0;
    if (s[0] == 0xF0 && s[1] < 0x90) return 0;
    if (s[0] == 0xF4 && s[1] > 0x8F) return 0;
    return follows(s[1]) && follows(s[2]) && follows(s[3]) ? 4 : 0;
}

bool gw_utf8_valid(const char *text, size_t n)
{
    size_t at = 0;
    while (at < n) {
        size_t length = gw_utf8_length(text + at);
        if (length == 0 || length > n - at) return false;
        at += length;
    }
    return true;
}

bool gw_utf8_is_control(const char *text)
{
    const unsigned char *s = (const unsigned char *)text;
    if (s[0] < 0x20) return s[0] != '\n' && s[0] != '\t';
    return s[0] == 0x7F || (s[0] == 0xC2 && s[1] < 0xA0);
}
