/**
 * The tag on the cage label: four characters of Crockford base32 and a check character.
 *
 * Source: Douglas Crockford, "Base 32", crockford.com/base32.html [from memory]: the alphabet has no I, L, O, U; when
 * read, I and L are 1, O is 0, case and hyphens do not count; the check character is the value modulo 37, with * ~ $ =
 * U for 32 to 36. Tags with one of those five are not given out. Test: tests/unit/animal/tag_test.c
 */
#ifndef GW_ANIMAL_TAG_H
#define GW_ANIMAL_TAG_H

#include <stdbool.h>

enum { GW_TAG_TEXT = 6 };

/**
 * Read a tag as a person types it.
 *
 * @param text  any text
 * @param tag   [GW_TAG_TEXT] out: as it is stored; written only on success
 * @return true when text is a tag whose check character fits
 */
bool gw_tag_read(const char *text, char tag[GW_TAG_TEXT]);

#endif
