/* UUIDs, UTF-8, escapes, numbers as text, tokens. */
#include <jansson.h>
#include <string.h>

#include "base/buffer.h"
#include "base/log.h"
#include "base/number.h"
#include "base/token.h"
#include "base/utf8.h"
#include "base/uuid.h"
#include "unit.h"

TestSuite(base_text, .init = unit_init, .fini = unit_fini);

/* RFC 9562 appendix A, versions 1, 3 to 8 [from memory]. */
Test(base_text, the_uuids_of_the_standard_are_read_and_lower_cased)
{
    static const char *const right[] = {"C232AB00-9414-11EC-B3C8-9F6BDECED846", "5df41881-3aed-3515-88a7-2f4a814cf09e",
                                        "919108f7-52d1-4320-9bac-f847db4148a8", "2ed6657d-e927-568b-95e1-2665a8aea6a2",
                                        "1EC9414C-232A-6B00-B3C8-9F6BDECED846", "017F22E2-79B0-7CC3-98C4-DC0C0C07398F",
                                        "2489E9AD-2EE2-8E00-8EC9-32D5F69181C0"};
    for (size_t i = 0; i < sizeof right / sizeof *right; i++) {
        char got[GW_UUID_TEXT];
        cr_assert(gw_uuid_read(right[i], got), "%s", right[i]);
        for (size_t k = 0; k < 36; k++) cr_assert(eq(int, got[k], right[i][k] | (right[i][k] == '-' ? 0 : 0x20)));
    }
}

Test(base_text, what_is_no_uuid_is_refused)
{
    static const char *const wrong[] = {"",
                                        "00000000-0000-0000-0000-000000000000",
                                        "ffffffff-ffff-ffff-ffff-ffffffffffff",
                                        "919108f7-52d1-9320-9bac-f847db4148a8",
                                        "919108f7-52d1-4320-cbac-f847db4148a8",
                                        "919108f7-52d1-4320-9bac-f847db4148a",
                                        "919108f7-52d1-4320-9bac-f847db4148a8a",
                                        "919108f752d143209bacf847db4148a8",
                                        "{919108f7-52d1-4320-9bac-f847db4148a8}",
                                        "919108f7-52d1-4320-9bac-f847db4148ag",
                                        "919108f7_52d1_4320_9bac_f847db4148a8"};
    cr_expect(not(gw_uuid_read(NULL, NULL)));
    for (size_t i = 0; i < sizeof wrong / sizeof *wrong; i++)
        cr_expect(not(gw_uuid_read(wrong[i], NULL)), "%s", wrong[i]);
}

Test(base_text, a_made_uuid_is_of_version_7_and_unlike_the_next)
{
    char a[GW_UUID_TEXT], b[GW_UUID_TEXT];
    gw_uuid_make(a);
    gw_uuid_make(b);
    cr_expect(gw_uuid_read(a, NULL));
    cr_expect(eq(int, a[14], '7'));
    cr_expect(ne(str, a, b));
}

Test(base_text, utf8_knows_overlong_forms_surrogates_and_the_end)
{
    static const char *const right[] = {"", "a", "\xC3\xA9", "\xE2\x82\xAC", "\xF0\x9F\x90\xB9", "\xF4\x8F\xBF\xBF"};
    static const char *const wrong[] = {
        "\x80", "\xC0\xAF", "\xC3", "\xE0\x9F\xBF", "\xED\xA0\x80", "\xF0\x8F\xBF\xBF", "\xF4\x90\x80\x80",
        "\xFF", "a\xE2\x82"};
    for (size_t i = 0; i < sizeof right / sizeof *right; i++) cr_expect(gw_utf8_valid(right[i], strlen(right[i])));
    for (size_t i = 0; i < sizeof wrong / sizeof *wrong; i++)
        cr_expect(not(gw_utf8_valid(wrong[i], strlen(wrong[i]))), "case %zu", i);
}

/* Whatever bytes a text has, what is written reads back as that text (or as U+FFFD for what is not UTF-8). */
Test(base_text, an_escaped_text_reads_back_the_same)
{
    for (int c = 1; c < 0x250; c++) {
        char text[8] = {'<', 0};
        if (c < 0x80)
            text[1] = (char)c;
        else {
            text[1] = (char)(0xC0 | c >> 6);
            text[2] = (char)(0x80 | (c & 0x3F));
        }
        text[strlen(text)] = '"';
        gw_buffer out;
        gw_buffer_init(&out, &arena, 0);
        gw_buffer_json_text(&out, text);
        json_t *read = json_loads(gw_buffer_text(&out), JSON_DECODE_ANY, NULL);
        cr_assert(read != NULL, "character %#x", (unsigned)c);
        cr_assert(eq(str, (char *)json_string_value(read), text), "character %#x", (unsigned)c);
        json_decref(read);
    }
}

Test(base_text, bytes_that_are_not_utf8_become_the_replacement_character)
{
    gw_buffer out;
    gw_buffer_init(&out, &arena, 4);
    gw_buffer_json_text(&out, "a\xFFz");
    gw_buffer_json_text(&out, NULL);
    cr_expect(eq(str, (char *)gw_buffer_text(&out), "\"a\xEF\xBF\xBDz\"null"));
}

Test(base_text, tenths_are_written_shortest)
{
    static const struct {
        int64_t tenths;
        const char *text;
    } cases[] = {{981, "98.1"}, {1000, "100"}, {0, "0"}, {-5, "-0.5"}, {-10, "-1"}, {150001, "15000.1"}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++)
        cr_expect(eq(str, (char *)gw_text_of_tenths(&arena, cases[i].tenths), (char *)cases[i].text));
}

Test(base_text, numbers_and_lists_as_parameters)
{
    cr_expect(eq(str, (char *)gw_text_of_int(&arena, INT64_MIN), "-9223372036854775808"));
    cr_expect(eq(str, (char *)gw_text_of_real(&arena, 0.1), "0.1"));
    cr_expect(eq(dbl, strtod(gw_text_of_real(&arena, 1.0 / 3), NULL), 1.0 / 3));
    cr_expect(gw_text_of_real(&arena, 0.0 / 0.0) == NULL);
    cr_expect(eq(str, (char *)gw_text_of_bytes(&arena, (const unsigned char *)"\x00\xAB", 2), "00ab"));
    const char *const list[] = {"a\"b", NULL, "c\\d", ""};
    cr_expect(eq(str, (char *)gw_text_of_array(&arena, 4, list), "{\"a\\\"b\",NULL,\"c\\\\d\",\"\"}"));
    cr_expect(eq(str, (char *)gw_text_of_array(&arena, 0, NULL), "{}"));
}

Test(base_text, a_token_is_found_by_its_hash_and_by_nothing_else)
{
    char token[GW_TOKEN_TEXT], made[GW_TOKEN_HASH], read[GW_TOKEN_HASH];
    gw_token_make(token, made);
    cr_assert(gw_token_hash(token, read));
    cr_expect(eq(str, made, read));
    char other[GW_TOKEN_TEXT + 1];
    snprintf(other, sizeof other, "%sA", token);
    cr_expect(not(gw_token_hash(other, read)));
    cr_expect(not(gw_token_hash("", read)));
    cr_expect(not(gw_token_hash("../../../etc/passwd", read)));
    token[0] = '=';
    cr_expect(not(gw_token_hash(token, read)));
}

Test(base_text, a_quoted_log_value_stays_in_its_quotes_and_its_space)
{
    char out[10];
    cr_expect(eq(str, (char *)gw_log_quote(out, sizeof out, "a\"b"), "\"a\\\"b\""));
    cr_expect(eq(str, (char *)gw_log_quote(out, sizeof out, "much too long for it"), "\"much t\""));
    cr_expect(eq(str, (char *)gw_log_quote(out, sizeof out, NULL), "\"\""));
}
