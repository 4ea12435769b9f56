/*
 * Douglas Crockford, "Base 32", crockford.com/base32.html [from memory]: alphabet, look-alikes, check character. Worked
 * by hand: 10A0 is 1 * 32^3 + 10 * 32 = 33088, modulo 37 it is 10, the character A. H3EW is 560604, modulo 37 it is 17,
 * H.
 */
#include "animal/tag.h"

#include <criterion/criterion.h>
#include <criterion/new/assert.h>

Test(tag, is_read_in_any_case_with_hyphens_and_look_alikes)
{
    static const char *const spellings[] = {"10A0A", "10a0a", "10-A0-A", "IOAOA", "loaoa", " l0 a0 a "};
    for (size_t i = 0; i < sizeof spellings / sizeof *spellings; i++) {
        char tag[GW_TAG_TEXT] = "";
        cr_expect(eq(int, gw_tag_read(spellings[i], tag), 1), "%s", spellings[i]);
        cr_expect(eq(str, tag, "10A0A"), "%s", spellings[i]);
    }
    char tag[GW_TAG_TEXT] = "";
    cr_expect(eq(int, gw_tag_read("h3ewh", tag), 1));
    cr_expect(eq(str, tag, "H3EWH"));
}

Test(tag, with_a_wrong_check_character_is_none)
{
    static const char *const wrong[] = {"10A0B", "H3EWJ", "H3WEH" /* two swapped */,
                                        "ZZZZ*" /* right, but not given out */, "ZZZZZ"};
    for (size_t i = 0; i < sizeof wrong / sizeof *wrong; i++) {
        char tag[GW_TAG_TEXT] = "kept";
        cr_expect(eq(int, gw_tag_read(wrong[i], tag), 0), "%s", wrong[i]);
        cr_expect(eq(str, tag, "kept"));
    }
}

Test(tag, of_another_length_or_alphabet_is_none)
{
    static const char *const wrong[] = {"", "H3EW", "H3EWHH", "H3EWH0", "Hazel", "H3UWH", "H3\xc3\x89WH"};
    for (size_t i = 0; i < sizeof wrong / sizeof *wrong; i++) {
        char tag[GW_TAG_TEXT] = "kept";
        cr_expect(eq(int, gw_tag_read(wrong[i], tag), 0), "%s", wrong[i]);
    }
}
