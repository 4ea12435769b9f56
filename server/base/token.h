/**
 * Tokens: 32 random bytes as base64url. Whoever holds one is let in, so only its SHA-256 is kept.
 */
#ifndef GW_BASE_TOKEN_H
#define GW_BASE_TOKEN_H

#include <stdbool.h>

enum { GW_TOKEN_TEXT = 44, GW_TOKEN_HASH = 65 };

/** Make a token and its hash in hexadecimal. */
void gw_token_make(char text[GW_TOKEN_TEXT], char hash[GW_TOKEN_HASH]);

/** Hash of a token that somebody sent; false when it is none. */
bool gw_token_hash(const char *text, char hash[GW_TOKEN_HASH]);

#endif
