/* Reading a body: every fault with its pointer, nothing unread, nothing half. */
#include "json/decode.h"

#include <stdio.h>
#include <string.h>

#include "base/number.h"
#include "unit.h"

TestSuite(json_decode, .init = unit_init, .fini = unit_fini);

static gw_decoder decode(const char *text)
{
    err_reset();
    return gw_decode_bytes(&arena, text, strlen(text), &err);
}

static const char *const kinds[] = {"weekly", "extra", NULL};

/* A body like a check's, as a handler reads it. */
typedef struct {
    const char *animal;
    int kind;
    gw_instant at;
    int64_t minutes;
    int32_t readings[5];
    size_t n_readings;
    bool zeroed;
    const char *note;
    size_t n_findings;
    const char *signs[5];
} body;

static gw_status read_body(gw_decoder *d, body *b)
{
    *b = (body){.minutes = -1};
    gw_decode_uuid(d, "/animal", &b->animal);
    gw_decode_enum(d, "/kind", kinds, &b->kind);
    gw_decode_instant(d, "/at", &b->at);
    gw_decode_int_optional(d, "/minutes", 0, 600, &b->minutes);
    gw_decode_text_optional(d, "/note", 1, 20, &b->note);
    gw_decoder w;
    if (gw_decode_object_optional(d, "/weighing", &w)) {
        gw_decode_bool(&w, "/zeroed", &b->zeroed);
        gw_decoder r = gw_decode_array(&w, "/readings", 1, 5);
        b->n_readings = gw_decode_count(&r);
        for (size_t i = 0; i < b->n_readings; i++)
            gw_decode_tenths(&r, gw_decode_index(&r, i), 1, 150000, &b->readings[i]);
    }
    gw_decoder f = gw_decode_array(d, "/findings", 0, 5);
    b->n_findings = gw_decode_count(&f);
    for (size_t i = 0; i < b->n_findings; i++) {
        gw_decoder one;
        if (gw_decode_object(&f, gw_decode_index(&f, i), &one)) gw_decode_text(&one, "/sign", 1, 40, &b->signs[i]);
    }
    return gw_decode_done(d);
}

static const char whole[] = "{\"animal\":\"919108F7-52D1-4320-9BAC-F847DB4148A8\",\"kind\":\"extra\","
                            "\"at\":\"2026-11-25T08:30:00+01:00\",\"minutes\":3,\"note\":\"  quiet today \\n\","
                            "\"weighing\":{\"zeroed\":true,\"readings\":[98.1,1050,1e2]},"
                            "\"findings\":[{\"sign\":\"drool\"},{\"sign\":\"wet_eye\"}]}";

Test(json_decode, a_right_body_is_read_whole)
{
    body b;
    gw_decoder d = decode(whole);
    cr_assert(eq(int, read_body(&d, &b), GW_OK), "%s", fault_text(0));
    cr_expect(eq(str, (char *)b.animal, "919108f7-52d1-4320-9bac-f847db4148a8"));
    cr_expect(eq(int, b.kind, 1));
    cr_expect(eq(i64, b.at.us, 1795591800000000));
    cr_expect(eq(i64, b.minutes, 3));
    cr_expect(eq(str, (char *)b.note, "quiet today"));
    cr_expect(eq(sz, b.n_readings, 3));
    cr_expect(eq(int, b.readings[0], 981));
    cr_expect(eq(int, b.readings[1], 10500));
    cr_expect(eq(int, b.readings[2], 1000));
    cr_expect(eq(str, (char *)b.signs[1], "wet_eye"));
}

Test(json_decode, all_faults_are_told_at_once_each_with_its_pointer)
{
    body b;
    gw_decoder d =
        decode("{\"animal\":\"x\",\"kind\":\"monthly\",\"minutes\":1.5,\"note\":\"   \",\"colour\":{\"deep\":1},"
               "\"weighing\":{\"zeroed\":\"yes\",\"readings\":[0.87,98.15,\"98\",0],\"a/b~c\":1},"
               "\"findings\":[{\"sign\":\"drool\",\"grade\":2},7]}");
    static const char *const expected[] = {
        "/animal is \"x\", expected a UUID",
        "/kind is \"monthly\", expected one of weekly, extra",
        "/at is missing, expected a time like 2026-11-25T08:30:00+01:00",
        "/minutes is 1.5, expected a whole number",
        "/note is empty, expected 1 to 20 bytes",
        "/weighing/zeroed is \"yes\", expected true or false",
        "/weighing/readings/0 is 0.87, expected at most one decimal",
        "/weighing/readings/1 is 98.15, expected at most one decimal",
        "/weighing/readings/2 is \"98\", expected a number",
        "/weighing/readings/3 is 0, expected 0.1 to 15000",
        "/findings/1 is 7, expected an object",
        "/colour is not known here",
        "/weighing/a~1b~0c is not known here",
        "/findings/0/grade is not known here",
    };
    cr_assert(eq(int, read_body(&d, &b), GW_EINPUT));
    for (size_t i = 0; i < sizeof expected / sizeof *expected; i++)
        cr_expect(eq(str, (char *)fault_text(i), (char *)expected[i]));
    cr_expect(eq(sz, err.n_faults, sizeof expected / sizeof *expected));
}

Test(json_decode, a_value_of_the_wrong_kind_is_one_fault_whatever_is_in_it)
{
    body b;
    gw_decoder d = decode(
        "{\"animal\":{\"a\":{\"b\":1}},\"kind\":[1],\"at\":null,\"weighing\":[{\"x\":1}],\"findings\":{\"y\":2}}");
    static const char *const expected[] = {"/animal is an object, expected a UUID", "/kind is a list, expected a word",
                                           "/at is null, expected a time like 2026-11-25T08:30:00+01:00",
                                           "/weighing is a list, expected an object",
                                           "/findings is an object, expected a list"};
    cr_assert(eq(int, read_body(&d, &b), GW_EINPUT));
    for (size_t i = 0; i < 5; i++) cr_expect(eq(str, (char *)fault_text(i), (char *)expected[i]));
    cr_expect(eq(sz, err.n_faults, 5));
}

/* The same shared true, false and null stand for many members: reading one must not read the others. */
Test(json_decode, an_unread_member_is_told_from_a_read_one_of_the_same_value)
{
    bool value;
    gw_decoder d = decode("{\"a\":true,\"b\":true,\"c\":null,\"d\":null}");
    cr_expect(gw_decode_bool(&d, "/a", &value));
    cr_expect(not(gw_decode_bool_optional(&d, "/c", &value)));
    cr_assert(eq(int, gw_decode_done(&d), GW_EINPUT));
    cr_expect(eq(str, (char *)fault_text(0), "/b is not known here"));
    cr_expect(eq(str, (char *)fault_text(1), "/d is not known here"));
}

static void expect_unreadable(const char *bytes, size_t length, const char *words)
{
    body b;
    err_reset();
    gw_decoder d = gw_decode_bytes(&arena, bytes, length, &err);
    cr_expect(eq(int, read_body(&d, &b), GW_ESYNTAX), "%s", bytes);
    cr_expect(strstr(err.message, words) != NULL, "%s: %s", bytes, err.message);
    cr_expect(err.faults == NULL);
}

Test(json_decode, what_is_no_json_is_unreadable_and_makes_no_faults)
{
    static const char *const broken[] = {"{",
                                         "{\"a\":1}}",
                                         "{\"a\":01}",
                                         "{\"a\":NaN}",
                                         "{\"a\":1,\"a\":2}",
                                         "{'a':1}",
                                         "{\"a\":\"\\ud800\"}",
                                         "{\"a\":1e400}",
                                         "\xEF\xBB\xBF{}",
                                         "{\"a\":\"\\u0000\"}",
                                         "{\"a\":\"\xC3\"}",
                                         "{\"a\":9223372036854775808}",
                                         "{\"a\":1} x"};
    for (size_t i = 0; i < sizeof broken / sizeof *broken; i++)
        expect_unreadable(broken[i], strlen(broken[i]), "line 1");
    expect_unreadable("", 0, "empty");
    expect_unreadable("{\"a\":\0}", 7, "line 1");
}

Test(json_decode, deep_nesting_is_refused_before_it_is_parsed)
{
    static char deep[200001];
    memset(deep, '[', sizeof deep - 1);
    expect_unreadable(deep, sizeof deep - 1, "16 levels");
    gw_decoder d = decode("{\"a\":[[[[[[[[[[[[[[[\"]]]\"]]]]]]]]]]]]]]]}"); /* 16, and brackets in a text */
    cr_expect(gw_decode_any(&d, "/a") != NULL);
    cr_expect(eq(int, gw_decode_done(&d), GW_OK));
    expect_unreadable("{\"a\":[[[[[[[[[[[[[[[[]]]]]]]]]]]]]]]]}", 38, "16 levels");
}

Test(json_decode, a_body_must_be_an_object)
{
    static const char *const others[] = {"[]", "1", "null", "\"text\"", "true"};
    for (size_t i = 0; i < sizeof others / sizeof *others; i++) {
        body b;
        gw_decoder d = decode(others[i]);
        cr_expect(eq(int, read_body(&d, &b), GW_EINPUT));
        cr_expect(eq(sz, err.n_faults, 1));
        cr_expect(strstr(fault_text(0), "expected an object") != NULL);
    }
}

/* 98.1 is no double; every tenth must still arrive as itself and leave as it came. */
Test(json_decode, every_tenth_up_to_15000_is_exact_both_ways)
{
    gw_arena own;
    gw_arena_init(&own);
    for (int32_t t = 1; t <= 150000; t++) {
        char text[40];
        int32_t got = 0;
        snprintf(text, sizeof text, "{\"g\":%d.%d}", t / 10, t % 10);
        gw_decoder d = gw_decode_bytes(&own, text, strlen(text), &err);
        cr_assert(gw_decode_tenths(&d, "/g", 1, 150000, &got) && got == t, "%s", text);
        snprintf(text, sizeof text, t % 10 ? "%d.%d" : "%d", t / 10, t % 10);
        cr_assert(eq(str, (char *)gw_text_of_tenths(&own, t), text));
        gw_arena_reset(&own);
    }
    gw_arena_finish(&own);
}

Test(json_decode, numbers_out_of_range_do_not_wrap)
{
    static const char *const texts[] = {"{\"n\":4294967297}", "{\"n\":1e300}", "{\"n\":-1e300}",
                                        "{\"n\":9223372036854775807}"};
    for (size_t i = 0; i < 4; i++) {
        int64_t n = 5;
        int32_t t = 5;
        gw_decoder d = decode(texts[i]);
        cr_expect(not(gw_decode_int(&d, "/n", 0, 100, &n)));
        cr_expect(not(gw_decode_tenths(&d, "/n", 0, 100, &t)));
        cr_expect(eq(i64, n, 5));
        cr_expect(eq(int, t, 5));
    }
}

Test(json_decode, texts_have_limits_in_bytes_and_no_control_characters)
{
    const char *out = NULL;
    gw_decoder d = decode("{\"long\":\"\xC3\xA9\xC3\xA9\xC3\xA9\",\"bell\":\"a\\u0007\",\"fit\":\"\xC3\xA9\\na\"}");
    cr_expect(not(gw_decode_text(&d, "/long", 1, 5, &out)));
    cr_expect(not(gw_decode_text(&d, "/bell", 1, 5, &out)));
    cr_expect(gw_decode_text(&d, "/fit", 1, 5, &out));
    cr_expect(eq(str, (char *)fault_text(0), "/long is 6 bytes long, expected 1 to 5 bytes"));
    cr_expect(eq(str, (char *)fault_text(1), "/bell holds control characters"));
}

Test(json_decode, a_secret_is_not_shown_back)
{
    const char *out;
    size_t length;
    gw_decoder d = decode("{\"passphrase\":\"hunter2\"}");
    cr_expect(not(gw_decode_secret(&d, "/passphrase", 15, 1024, &out, &length)));
    cr_expect(eq(int, gw_decode_done(&d), GW_EINPUT));
    cr_expect(strstr(fault_text(0), "hunter2") == NULL);
}

Test(json_decode, names_that_are_data_can_be_walked)
{
    gw_decoder d = decode("{\"answers\":{\"eyes\":\"as_usual\",\"a/b\":\"x\"}}"), answers;
    static const char *const words[] = {"as_usual", NULL};
    const char *const *names;
    int word;
    cr_assert(gw_decode_object(&d, "/answers", &answers));
    cr_assert(eq(sz, gw_decode_names(&answers, &names), 2));
    for (size_t i = 0; i < 2; i++) gw_decode_enum(&answers, gw_decode_pointer(&answers, names[i]), words, &word);
    cr_assert(eq(int, gw_decode_done(&d), GW_EINPUT));
    cr_expect(eq(str, (char *)fault_text(0), "/answers/a~1b is \"x\", expected one of as_usual"));
}

/* Each allocation fails in turn: the answer is "out of memory" and never half a body, a crash or a leak. */
Test(json_decode, every_allocation_may_fail)
{
    size_t n = 1;
    for (bool all_passed = false; !all_passed; n++) {
        gw_arena own;
        gw_error own_err;
        body b;
        gw_arena_init(&own);
        gw_error_init(&own_err, &own);
        gw_arena_fail_at(n);
        gw_decoder d = gw_decode_bytes(&own, whole, strlen(whole), &own_err);
        gw_status status = read_body(&d, &b);
        all_passed = !gw_arena_failed(&own);
        gw_arena_fail_at(0);
        cr_expect(eq(int, status, all_passed ? GW_OK : GW_EINTERNAL), "allocation %zu", n);
        gw_arena_finish(&own);
    }
    cr_expect(n > 10, "only %zu allocations were tried", n);
}
