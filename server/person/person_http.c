#include <sodium.h>
#include <string.h>

#include "base/number.h"
#include "base/token.h"
#include "db/db.h"
#include "gw_sql.h"
#include "http/headers.h"
#include "person/passphrase.h"
#include "person/person.h"
#include "json/decode.h"

static const char *const role_names[] = {"volunteer", "intake", "coordinator", NULL};

enum { DAY_SECONDS = 24 * 60 * 60, EMAIL_MAX = 254, NAME_MAX_BYTES = 120 };

/* ---- sessions ---- */

typedef struct {
    const char *email;
    const char *passphrase;
    size_t passphrase_length;
    bool bearer;
    const char *who; /* hash of the address as typed: what failed attempts are counted by */
} sign_in;

/* Accounts are found without regard to case, so attempts are counted without it too. */
static const char *hash_of_email(gw_arena *arena, const char *email)
{
    unsigned char digest[crypto_hash_sha256_BYTES];
    char *lower = gw_arena_strdup(arena, email);
    if (!lower) return NULL;
    for (char *c = lower; *c; c++)
        if (*c >= 'A' && *c <= 'Z') *c = (char)(*c - 'A' + 'a');
    crypto_hash_sha256(digest, (const unsigned char *)lower, strlen(lower));
    return gw_text_of_bytes(arena, digest, sizeof digest);
}

static gw_status decode_sign_in(gw_request *rq, sign_in *in, gw_error *err)
{
    gw_decoder d = gw_decode(rq, err);
    gw_decode_text(&d, "/email", 1, EMAIL_MAX, &in->email);
    gw_decode_secret(&d, "/passphrase", 1, GW_PASSPHRASE_MAX, &in->passphrase, &in->passphrase_length);
    gw_decode_bool_optional(&d, "/bearer", &in->bearer);
    gw_status status = gw_decode_done(&d);
    if (!status) in->who = hash_of_email(rq->arena, in->email);
    return status;
}

static gw_status must_wait(int64_t seconds, gw_error *err)
{
    gw_status status = gw_fail(err, GW_ETHROTTLED, "signing in is possible again in %lld seconds", (long long)seconds);
    if (err) err->retry_after_s = (int)seconds;
    return status;
}

/* One wording for an unknown address, an unused invitation and a wrong passphrase. */
static gw_status check_passphrase(gw_request *rq, const sign_in *in, const gw_rows *found, gw_error *err)
{
    int64_t wait = gw_rows_int64(found, 0, 4);
    if (wait > 0) return must_wait(wait, err);
    bool right;
    gw_status status = gw_passphrase_verify(gw_rows_text(found, 0, 3), in->passphrase, in->passphrase_length,
                                            rq->deadline_ms, &right, err);
    if (!status && !right)
        status = gw_fail(err, GW_ESIGNIN, "this e-mail address and passphrase do not belong together");
    return status;
}

/* The plain name is the fallback for browsers that keep no Secure cookie from a loopback listener. */
static void set_cookie(gw_request *rq, gw_reply *reply, const char *token, int seconds)
{
    gw_reply_header(reply, "Set-Cookie",
                    gw_arena_printf(rq->arena, "%s=%s; Secure; HttpOnly; SameSite=Strict; Path=/; Max-Age=%d",
                                    GW_COOKIE, token, seconds));
    if (!rq->plain) return;
    gw_reply_header(reply, "Set-Cookie",
                    gw_arena_printf(rq->arena, "%s=%s; HttpOnly; SameSite=Strict; Path=/; Max-Age=%d", GW_COOKIE_PLAIN,
                                    token, seconds));
}

static gw_status open_session(gw_request *rq, gw_reply *reply, const sign_in *in, const gw_rows *found, gw_error *err)
{
    char token[GW_TOKEN_TEXT], hash[GW_TOKEN_HASH];
    gw_rows opened;
    int seconds = GW_SESSION_DAYS * DAY_SECONDS;
    gw_token_make(token, hash);
    const char *const params[] = {hash, in->who, gw_rows_text(found, 0, 0), gw_text_of_int(rq->arena, seconds),
                                  gw_text_of_bool(in->bearer)};
    gw_status status = gw_db_run_unsigned(rq, &gw_q_session_open, params, &opened, err);
    if (status) return status;
    if (!in->bearer) set_cookie(rq, reply, token, seconds);
    json_t *body = json_pack("{s:{s:s, s:s, s:s}, s:s*, s:s}", "person", "id", gw_rows_text(found, 0, 0), "name",
                             gw_rows_text(found, 0, 1), "role", gw_rows_text(found, 0, 2), "token",
                             in->bearer ? token : NULL, "expires_at", gw_rows_text(&opened, 0, 0));
    return gw_reply_json(reply, 201, body, err);
}

gw_status gw_session_post(gw_request *rq, gw_reply *reply, gw_error *err)
{
    sign_in in = {0};
    gw_rows found;
    gw_status status = decode_sign_in(rq, &in, err);
    if (status) return status;
    const char *const params[] = {in.email, in.who, rq->client};
    status = gw_db_run_unsigned(rq, &gw_q_session_lookup, params, &found, err);
    if (!status) status = check_passphrase(rq, &in, &found, err);
    if (!status) status = open_session(rq, reply, &in, &found, err);
    return status;
}

gw_status gw_session_delete(gw_request *rq, gw_reply *reply, gw_error *err)
{
    const char *const params[] = {rq->token_hash};
    gw_status status = gw_db_run(rq, &gw_q_session_close, params, NULL, err);
    if (status) return status;
    if (rq->by_cookie) set_cookie(rq, reply, "", 0);
    return gw_reply_empty(reply, 204, err);
}

gw_status gw_me_get(gw_request *rq, gw_reply *reply, gw_error *err)
{
    gw_rows me;
    gw_buffer out;
    gw_status status = gw_db_run(rq, &gw_q_person_me, NULL, &me, err);
    if (status) return status;
    gw_buffer_init(&out, rq->arena, 1024);
    gw_buffer_printf(&out, "{\"person\":%s,\"homes\":%s,\"network\":%s,\"expires_at\":", gw_rows_text(&me, 0, 0),
                     gw_rows_text(&me, 0, 1), gw_rows_text(&me, 0, 2));
    gw_buffer_json_text(&out, rq->session_ends);
    gw_buffer_add(&out, "}");
    return gw_reply_json_buffer(reply, 200, &out, err);
}

/* ---- invitations ---- */

/* Unknown, spent, too old or no token at all: one wording. */
static gw_status no_invitation(gw_error *err)
{
    return gw_fail(err, GW_EUNKNOWN, "this link is not known, has been used or is too old");
}

static gw_status look(gw_request *rq, char hash[GW_TOKEN_HASH], gw_rows *rows, gw_error *err)
{
    if (!gw_token_hash(rq->path[0], hash)) return no_invitation(err);
    gw_status status = gw_db_run_unsigned(rq, &gw_q_invitation_look, (const char *const[]){hash}, rows, err);
    if (!status && gw_rows_count(rows) == 0) status = no_invitation(err);
    return status;
}

gw_status gw_invitation_get(gw_request *rq, gw_reply *reply, gw_error *err)
{
    char hash[GW_TOKEN_HASH];
    gw_rows rows;
    gw_status status = look(rq, hash, &rows, err);
    return status ? status : gw_reply_json_text(reply, 200, gw_rows_text(&rows, 0, 0), err);
}

static gw_status decode_passphrase(gw_request *rq, const char **bytes, size_t *length, gw_error *err)
{
    gw_decoder d = gw_decode(rq, err);
    if (gw_decode_secret(&d, "/passphrase", GW_PASSPHRASE_MIN, GW_PASSPHRASE_MAX, bytes, length)) {
        const char *weakness = gw_passphrase_weakness(*bytes, *length);
        if (weakness)
            gw_decode_fault(&d, "/passphrase", weakness, "Four or more words that do not belong together do well.");
    }
    return gw_decode_done(&d);
}

/* Looks before the slow hash, so that a made-up link costs nothing. */
gw_status gw_invitation_post(gw_request *rq, gw_reply *reply, gw_error *err)
{
    char token_hash[GW_TOKEN_HASH], hash[GW_PASSPHRASE_HASH];
    const char *bytes = NULL;
    size_t length = 0;
    gw_rows rows;
    gw_status status = decode_passphrase(rq, &bytes, &length, err);
    if (!status) status = look(rq, token_hash, &rows, err);
    if (!status) status = gw_passphrase_hash(bytes, length, rq->deadline_ms, hash, err);
    if (status) return status;
    const char *const params[] = {token_hash, hash};
    status = gw_db_run_unsigned(rq, &gw_q_invitation_spend, params, &rows, err);
    if (!status && gw_rows_count(&rows) == 0) status = no_invitation(err);
    return status ? status : gw_reply_json_text(reply, 201, gw_rows_text(&rows, 0, 0), err);
}

/* ---- people ---- */

gw_status gw_people_get(gw_request *rq, gw_reply *reply, gw_error *err)
{
    gw_rows rows;
    gw_status status = gw_db_run(rq, &gw_q_person_list, NULL, &rows, err);
    return status ? status : gw_reply_json_text(reply, 200, gw_rows_text(&rows, 0, 0), err);
}

/* One @ with something on both sides and nothing that a mail header would read otherwise; the link proves the rest. */
static bool looks_like_email(const char *email)
{
    const char *at = strchr(email, '@');
    return at && at != email && at[1] && !strchr(at + 1, '@') && !strpbrk(email, " \t\n<>,;\"\\");
}

gw_status gw_people_post(gw_request *rq, gw_reply *reply, gw_error *err)
{
    const char *name = NULL, *email = NULL;
    char token[GW_TOKEN_TEXT], hash[GW_TOKEN_HASH];
    int role = 0;
    gw_rows made;
    gw_decoder d = gw_decode(rq, err);
    gw_decode_text(&d, "/name", 1, NAME_MAX_BYTES, &name);
    if (gw_decode_text(&d, "/email", 3, EMAIL_MAX, &email) && !looks_like_email(email))
        gw_decode_fault(&d, "/email", "is no e-mail address", NULL);
    gw_decode_enum(&d, "/role", role_names, &role);
    gw_status status = gw_decode_done(&d);
    if (status) return status;

    gw_token_make(token, hash);
    const char *const params[] = {name, email, role_names[role], hash, gw_text_of_int(rq->arena, GW_INVITATION_DAYS)};
    status = gw_db_run(rq, &gw_q_person_invite, params, &made, err);
    if (status) return status;
    json_t *body = json_pack("{s:{s:s, s:s, s:s, s:s, s:[], s:b}, s:s, s:s, s:s}", "person", "id",
                             gw_rows_text(&made, 0, 0), "name", name, "email", email, "role", role_names[role], "homes",
                             "invited", 1, "invitation", gw_arena_printf(rq->arena, "/join/%s", token), "token", token,
                             "expires_at", gw_rows_text(&made, 0, 1));
    return gw_reply_json(reply, 201, body, err);
}

static bool is_role(const char *role)
{
    for (size_t i = 0; role_names[i]; i++)
        if (strcmp(role, role_names[i]) == 0) return true;
    return false;
}

gw_status gw_person_invite(gw_arena *arena, const char *owner, const char *name, const char *email, const char *role,
                           const char **path, gw_error *err)
{
    char token[GW_TOKEN_TEXT], hash[GW_TOKEN_HASH];
    gw_db *db = NULL;
    if (!*name || strlen(name) > NAME_MAX_BYTES)
        return gw_fail(err, GW_EINPUT, "the name has %zu bytes, expected 1 to %d", strlen(name), NAME_MAX_BYTES);
    if (!looks_like_email(email) || strlen(email) > EMAIL_MAX)
        return gw_fail(err, GW_EINPUT, "\"%s\" is no e-mail address", email);
    if (!is_role(role))
        return gw_fail(err, GW_EINPUT, "the role is \"%s\", expected volunteer, intake or coordinator", role);

    gw_status status = gw_db_open(owner, 1, &db, err);
    if (!status) status = gw_db_probe(db, err);
    if (status) goto done;
    gw_token_make(token, hash);
    gw_request rq = {.arena = arena, .db = db, .role = GW_ROLE_ANY, .deadline_ms = gw_monotonic_ms() + 10000};
    const char *const params[] = {name, email, role, hash, gw_text_of_int(arena, GW_INVITATION_DAYS)};
    status = gw_db_run_unsigned(&rq, &gw_q_person_invite, params, NULL, err);
    if (!status) *path = gw_arena_printf(arena, "/join/%s", token);

done:
    gw_db_close(db);
    return status;
}
