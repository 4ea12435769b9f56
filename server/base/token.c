#include "base/token.h"

#include <sodium.h>
#include <string.h>

enum { BYTES = 32, VARIANT = sodium_base64_VARIANT_URLSAFE_NO_PADDING };

_Static_assert(sodium_base64_ENCODED_LEN(BYTES, VARIANT) == GW_TOKEN_TEXT, "32 bytes are 43 characters");

static void hash_bytes(const unsigned char bytes[BYTES], char hash[GW_TOKEN_HASH])
{
    unsigned char digest[crypto_hash_sha256_BYTES];
    crypto_hash_sha256(digest, bytes, BYTES);
    sodium_bin2hex(hash, GW_TOKEN_HASH, digest, sizeof digest);
}

void gw_token_make(char text[GW_TOKEN_TEXT], char hash[GW_TOKEN_HASH])
{
    unsigned char bytes[BYTES];
    randombytes_buf(bytes, sizeof bytes);
    sodium_bin2base64(text, GW_TOKEN_TEXT, bytes, sizeof bytes, VARIANT);
    hash_bytes(bytes, hash);
    sodium_memzero(bytes, sizeof bytes);
}

bool gw_token_hash(const char *text, char hash[GW_TOKEN_HASH])
{
    unsigned char bytes[BYTES];
    size_t length = 0;
    if (sodium_base642bin(bytes, sizeof bytes, text, strlen(text), NULL, &length, NULL, VARIANT) != 0) return false;
    if (length != BYTES) return false;
    hash_bytes(bytes, hash);
    sodium_memzero(bytes, sizeof bytes);
    return true;
}
