#include <criterion/criterion.h>
#include <criterion/new/assert.h>
#include <string.h>

#include "support/world.h"

static gw_answer sign_in(const char *email, const char *passphrase, const char *header)
{
    return gw_send((gw_ask){.method = "POST",
                            .path = "/session",
                            .body = gw_json("{'email':'%s','passphrase':'%s'}", email, passphrase),
                            .header = header});
}

/* The cookie that an answer sets, "name=value". */
static const char *cookie_of(const gw_answer *a)
{
    const char *line = strstr(a->headers, "Set-Cookie: ");
    return line ? gw_text("%.*s", (int)strcspn(line + 12, ";\r\n"), line + 12) : "";
}

Test(sign_in, tells_who_is_signed_in_and_which_homes_they_serve)
{
    gw_answer a = gw_do(VERA_OF_A, "GET", "/me", NULL);
    gw_expect_status(&a, 200);
    gw_expect_at(&a, "/person/id", gw_person(VERA_OF_A));
    gw_expect_at(&a, "/person/role", "volunteer");
    gw_expect_at(&a, "/homes/0/id", gw_home_a());
    cr_expect(eq(sz, gw_count_at(&a, "/homes"), 1));
}

Test(sign_in, gives_a_browser_a_cookie_that_scripts_cannot_read)
{
    gw_answer a = sign_in(gw_email(VERA_OF_A), GW_PASSPHRASE, "Sec-Fetch-Site: same-origin");
    gw_expect_status(&a, 201);
    gw_expect_at(&a, "/token", "missing");
    cr_expect(eq(int, !!strstr(a.headers, "Set-Cookie: __Host-gramwell="), 1));
    for (const char *at = a.headers; (at = strstr(at, "Set-Cookie: ")); at++) {
        const char *line = gw_text("%.*s", (int)strcspn(at, "\r\n"), at);
        cr_expect(eq(int, strstr(line, "HttpOnly") && strstr(line, "SameSite=Strict") && strstr(line, "Path=/"), 1),
                  "%s", line);
    }
    a = gw_send((gw_ask){.method = "GET", .path = "/me", .header = gw_text("Cookie: %s", cookie_of(&a))});
    gw_expect_status(&a, 200);
    gw_expect_at(&a, "/person/id", gw_person(VERA_OF_A));
}

Test(sign_in, takes_a_cookie_for_a_change_only_from_its_own_page)
{
    gw_answer a = sign_in(gw_email(ANN_COORDINATOR), GW_PASSPHRASE, NULL);
    const char *cookie = cookie_of(&a),
               *body = gw_json("{'name':'Una','email':'%s@test.invalid','role':'volunteer'}", gw_id());
    const char *before = gw_everything();
    static const char *const foreign[] = {"Sec-Fetch-Site: cross-site", "Sec-Fetch-Site: same-site",
                                          "Origin: https://elsewhere.example", "X-Nothing: at all"};
    for (size_t i = 0; i < sizeof foreign / sizeof *foreign; i++) {
        a = gw_send((gw_ask){.method = "POST",
                             .path = "/people",
                             .body = body,
                             .header = gw_text("Cookie: %s\r\n%s", cookie, foreign[i])});
        gw_expect_status(&a, 403);
    }
    cr_expect(eq(str, (char *)gw_everything(), (char *)before));
    a = gw_send((gw_ask){.method = "POST",
                         .path = "/people",
                         .body = body,
                         .header = gw_text("Cookie: %s\r\nSec-Fetch-Site: same-origin", cookie)});
    gw_expect_status(&a, 201);
}

Test(sign_in, says_the_same_for_a_wrong_passphrase_and_an_unknown_address)
{
    gw_answer wrong = sign_in(gw_email(IDA_INTAKE), "seven grey geese gaze", NULL);
    gw_answer unknown = sign_in("nobody@test.invalid", "seven grey geese gaze", NULL);
    gw_expect_status(&wrong, 401);
    gw_expect_status(&unknown, 401);
    cr_expect(eq(str, (char *)wrong.text, (char *)unknown.text));
}

Test(sign_in, waits_after_many_failures_and_lets_in_again)
{
    gw_answer a = {0};
    int tries = 0;
    do a = sign_in(gw_email(WILL_OF_B), "not the one at all", NULL);
    while (a.status == 401 && ++tries < 12);
    gw_expect_status(&a, 429);
    cr_expect(eq(int, !!strstr(a.headers, "Retry-After: "), 1));
    a = sign_in(gw_email(WILL_OF_B), GW_PASSPHRASE, NULL);
    gw_expect_status(&a, 429); /* the right one must wait too, else the wait would tell it */
    gw_sql("update gw.signin_attempt set failed_at = failed_at - interval '20 minutes'");
    a = sign_in(gw_email(WILL_OF_B), GW_PASSPHRASE, NULL);
    gw_expect_status(&a, 201);
}

Test(sign_in, ends_with_signing_out)
{
    gw_answer a = gw_do(NOBODY, "POST", "/session",
                        gw_json("{'email':'%s','passphrase':'%s','bearer':true}", gw_email(VERA_OF_A), GW_PASSPHRASE));
    const char *token = gw_text("%s", gw_at(&a, "/token"));
    a = gw_send((gw_ask){.method = "DELETE", .path = "/session", .token = token});
    gw_expect_status(&a, 204);
    a = gw_send((gw_ask){.method = "GET", .path = "/me", .token = token});
    gw_expect_status(&a, 401);
}

Test(sign_in, takes_an_invitation_once)
{
    gw_answer a =
        gw_do(ANN_COORDINATOR, "POST", "/people", gw_json("{'name':'Odo','email':'odo@test.invalid','role':'intake'}"));
    gw_expect_status(&a, 201);
    const char *path = gw_text("/invitations/%s", gw_at(&a, "/token"));
    cr_expect(eq(str, (char *)gw_at(&a, "/invitation"), (char *)gw_text("/join/%s", gw_at(&a, "/token"))));
    a = gw_do(NOBODY, "GET", path, NULL);
    gw_expect_status(&a, 200);
    gw_expect_at(&a, "/name", "Odo");
    gw_expect_at(&a, "/role", "intake");
    a = gw_do(NOBODY, "POST", path, gw_json("{'passphrase':'too short'}"));
    gw_expect_status(&a, 422);
    a = gw_do(NOBODY, "POST", path, gw_json("{'passphrase':'%s'}", GW_PASSPHRASE));
    gw_expect_status(&a, 201);
    cr_expect(eq(int, !!strstr(a.headers, "Set-Cookie"), 0));
    a = gw_do(NOBODY, "POST", path, gw_json("{'passphrase':'%s'}", GW_PASSPHRASE));
    gw_expect_status(&a, 404);
    a = gw_do(NOBODY, "GET", path, NULL);
    gw_expect_status(&a, 404);
    a = gw_do(ANN_COORDINATOR, "POST", "/people", gw_json("{'name':'Odo','email':'ODO@test.invalid','role':'intake'}"));
    gw_expect_status(&a, 409);
}

Test(sign_in, keeps_no_token_and_no_passphrase_in_the_clear)
{
    const char *dump = gw_sql(
        "select string_agg(s::text, '') || (select string_agg(a::text, '') from gw.account a) from gw.session s");
    cr_expect(eq(int, !!strstr(dump, GW_PASSPHRASE), 0));
    cr_expect(eq(int, !!strstr(dump, gw_token(ANN_COORDINATOR)), 0));
    cr_expect(eq(int, !!strstr(dump, "$argon2id$"), 1));
}
