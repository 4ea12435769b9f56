#include "animal/tag.h"

#include <string.h>

static const char digits[] = "0123456789ABCDEFGHJKMNPQRSTVWXYZ";

enum { VALUE_DIGITS = 4, CHECK_BASE = 37 };

/* The value of a character, -1 for one that is not in the alphabet. */
static int value_of(char c)
{
    if (c >= 'a' && c <= 'z') c = (char)(c - 'a' + 'A');
    if (c == 'I' || c == 'L') c = '1';
    if (c == 'O') c = '0';
    const char *at = c ? strchr(digits, c) : NULL;
    return at ? (int)(at - digits) : -1;
}

bool gw_tag_read(const char *text, char tag[GW_TAG_TEXT])
{
    char read[GW_TAG_TEXT] = "";
    int n = 0, number = 0;
    for (; *text; text++) {
        if (*text == '-' || *text == ' ') continue;
        int value = value_of(*text);
        if (value < 0 || n > VALUE_DIGITS) return false;
        if (n < VALUE_DIGITS) number = number * 32 + value;
        read[n++] = digits[value];
    }
    if (n != VALUE_DIGITS + 1 || number % CHECK_BASE != value_of(read[VALUE_DIGITS])) return false;
    memcpy(tag, read, GW_TAG_TEXT);
    return true;
}
