/**
 * UTF-8 as RFC 3629 allows it: no overlong forms, no surrogates, nothing above U+10FFFF.
 */
#ifndef GW_BASE_UTF8_H
#define GW_BASE_UTF8_H

#include <stdbool.h>
#include <stddef.h>

/** Bytes of the character that begins at text (1 to 4), 0 when it is not UTF-8; a NUL counts as one byte. */
size_t gw_utf8_length(const char *text);

/** True when n bytes are UTF-8; they need not end with a NUL, but a NUL must be readable behind them. */
bool gw_utf8_valid(const char *text, size_t n);

/** True for a character that text of people has no use for: C0 and C1 controls except tab and line feed, and DEL. */
bool gw_utf8_is_control(const char *text);

#endif
