/**
 * Numbers of transponders ("chips") under the skin.
 *
 * ISO 11784 code: 15 digits, three of country or maker and twelve of identity. The identity has 38 bits, so it is at
 * most 274877906943 [ICARISO: ICAR slides on ISO 11784 bit coding, slide text read]. Chips of ten characters are not of
 * that standard and are kept and marked, not refused [WSAVA: microchip committee FAQ, opening read; nine digits from
 * memory]. Numbers are text: leading zeros count.
 * Test: tests/unit/animal/chip_test.c
 */
#ifndef GW_ANIMAL_CHIP_H
#define GW_ANIMAL_CHIP_H

enum { GW_CHIP_TEXT = 16 };

typedef enum {
    GW_CHIP_REFUSED = 0, /* not the number of a chip */
    GW_CHIP_ISO,         /* 15 digits of ISO 11784 */
    GW_CHIP_OTHER,       /* 9 or 10 characters, outside that standard */
} gw_chip_kind;

/**
 * Read a number as printed or typed: blanks and hyphens between groups do not count, letters become capitals.
 *
 * @param text  any text
 * @param chip  [GW_CHIP_TEXT] out: the number as it is stored; written only when it is one
 * @param why   out, may be NULL: what is wrong with a refused one, a constant
 */
gw_chip_kind gw_chip_read(const char *text, char chip[GW_CHIP_TEXT], const char **why);

#endif
