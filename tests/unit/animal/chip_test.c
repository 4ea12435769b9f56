/*
 * Sources: ICARISO, ICAR slides on ISO 11784 bit coding (yumpu.com 34987219, slide text read): 38 bits of identity,
 * shown as 15 digits, three of country or maker and twelve of identity. WSAVA, microchip committee FAQ
 * (wsava.org/MicrochipComm3.htm, opening read): 15 digits; ten-character chips are non-ISO ones. Nine digits: from
 * memory.
 */
#include "animal/chip.h"

#include <criterion/criterion.h>
#include <criterion/new/assert.h>

static gw_chip_kind read_chip(const char *text, char out[GW_CHIP_TEXT])
{
    const char *why = NULL;
    gw_chip_kind kind = gw_chip_read(text, out, &why);
    cr_expect(eq(int, (kind == GW_CHIP_REFUSED) == (why != NULL), 1), "%s", text);
    return kind;
}

Test(chip, of_the_standard_has_15_digits_and_38_bits_of_identity)
{
    char chip[GW_CHIP_TEXT] = "";
    cr_expect(eq(int, read_chip("276274877906943", chip), GW_CHIP_ISO)); /* ICARISO: all 38 bits set */
    cr_expect(eq(str, chip, "276274877906943"));
    cr_expect(eq(int, read_chip("276274877906944", chip), GW_CHIP_REFUSED)); /* ICARISO: one more */
    cr_expect(eq(int, read_chip("276999999999999", chip), GW_CHIP_REFUSED));
    cr_expect(eq(int, read_chip("276000000000000", chip), GW_CHIP_ISO));
    cr_expect(eq(int, read_chip("004000000000001", chip), GW_CHIP_ISO));
    cr_expect(eq(str, chip, "004000000000001")); /* zeros in front count */
}

Test(chip, with_14_digits_or_a_letter_among_15_is_refused)
{
    char chip[GW_CHIP_TEXT] = "as it was";
    cr_expect(eq(int, read_chip("27627487790694", chip), GW_CHIP_REFUSED));   /* WSAVA: 15 digits */
    cr_expect(eq(int, read_chip("27627487790694A", chip), GW_CHIP_REFUSED));  /* WSAVA: 15 digits */
    cr_expect(eq(int, read_chip("2762748779069433", chip), GW_CHIP_REFUSED)); /* 16 */
    cr_expect(eq(str, chip, "as it was"));
}

Test(chip, of_ten_characters_is_kept_and_marked)
{
    char chip[GW_CHIP_TEXT] = "";
    cr_expect(eq(int, read_chip("0006E12F3A", chip), GW_CHIP_OTHER)); /* WSAVA */
    cr_expect(eq(str, chip, "0006E12F3A"));
    cr_expect(eq(int, read_chip("012345678", chip), GW_CHIP_OTHER)); /* nine digits: from memory */
    cr_expect(eq(int, read_chip("01234567", chip), GW_CHIP_REFUSED));
    cr_expect(eq(int, read_chip("01234567890", chip), GW_CHIP_REFUSED));
    cr_expect(eq(int, read_chip("0006E12F3G", chip), GW_CHIP_REFUSED));
}

Test(chip, is_read_as_people_print_and_type_it)
{
    char chip[GW_CHIP_TEXT] = "";
    cr_expect(eq(int, read_chip(" 276 098-1000 00001", chip), GW_CHIP_ISO));
    cr_expect(eq(str, chip, "276098100000001"));
    cr_expect(eq(int, read_chip("00-0617-abcd", chip), GW_CHIP_OTHER));
    cr_expect(eq(str, chip, "000617ABCD"));
    cr_expect(eq(int, read_chip("9.85E+14", chip), GW_CHIP_REFUSED)); /* what a spreadsheet makes of one */
    cr_expect(eq(int, read_chip("", chip), GW_CHIP_REFUSED));
    cr_expect(eq(int, read_chip("27609810000000\xd9\xa1", chip), GW_CHIP_REFUSED)); /* a digit of another script */
}
