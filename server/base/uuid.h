/**
 * UUIDs as text: RFC 9562, the 36-character form.
 */
#ifndef GW_BASE_UUID_H
#define GW_BASE_UUID_H

#include <stdbool.h>

enum { GW_UUID_TEXT = 37 };

/**
 * True when text is a UUID: 8-4-4-4-12 hexadecimal digits, version 1 to 8, variant of RFC 9562. The nil and max UUIDs
 * are not accepted.
 *
 * @param text  may be NULL: false
 * @param out   [GW_UUID_TEXT] lower-case copy, written only on success; may be NULL; may be text itself
 */
bool gw_uuid_read(const char *text, char out[GW_UUID_TEXT]);

/** A new UUID of version 7 (time of this machine and 74 random bits). */
void gw_uuid_make(char out[GW_UUID_TEXT]);

#endif
