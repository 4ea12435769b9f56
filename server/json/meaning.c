#include "json/meaning.h"

#include <sodium.h>
#include <stdlib.h>
#include <string.h>

/* Sorted names, no blanks, and every number as a real: one spelling for one meaning. */
static json_t *canonical(const json_t *value)
{
    if (json_is_number(value)) return json_real(json_number_value(value));
    if (json_is_array(value)) {
        json_t *out = json_array();
        for (size_t i = 0; i < json_array_size(value); i++)
            if (json_array_append_new(out, canonical(json_array_get(value, i)))) {
                json_decref(out);
                return NULL;
            }
        return out;
    }
    if (json_is_object(value)) {
        json_t *out = json_object();
        const char *name;
        json_t *member;
        json_object_foreach((json_t *)value, name, member)
        {
            if (json_object_set_new(out, name, canonical(member))) {
                json_decref(out);
                return NULL;
            }
        }
        return out;
    }
    return json_incref((json_t *)value);
}

const char *gw_json_meaning(gw_arena *arena, const json_t *value)
{
    if (!value) return NULL;
    json_t *plain = canonical(value);
    char *text = plain ? json_dumps(plain, JSON_COMPACT | JSON_SORT_KEYS | JSON_ENCODE_ANY) : NULL;
    char *hex = gw_arena_alloc(arena, 2 * crypto_generichash_BYTES + 1);
    json_decref(plain);
    if (text && hex) {
        unsigned char hash[crypto_generichash_BYTES];
        crypto_generichash(hash, sizeof hash, (const unsigned char *)text, strlen(text), NULL, 0);
        sodium_bin2hex(hex, 2 * sizeof hash + 1, hash, sizeof hash);
    }
    if (!text) hex = NULL;
    free(text);
    return hex;
}
