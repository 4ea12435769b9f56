/**
 * People: signing in and out, who one is, invitations, the list of accounts.
 *
 * A session is opened by e-mail address and passphrase and carried by a token of 32 random bytes, in a cookie for
 * browsers or as a bearer token for programs; the database keeps only its SHA-256. Failed attempts are counted in the
 * database by account and by address; the wait grows and never becomes a lock-out (schema/migrations/0001_person.sql).
 * A person begins with an invitation: a one-time link, with which they choose their passphrase.
 */
#ifndef GW_PERSON_PERSON_H
#define GW_PERSON_PERSON_H

#include "http/route.h"

enum {
    GW_PASSPHRASE_MIN = 15, /* bytes: the only factor, so NIST SP 800-63B-4's 15 [read in a summary] */
    GW_PASSPHRASE_MAX = 1024,
    GW_SESSION_DAYS = 30,   /* common practice, no source */
    GW_INVITATION_DAYS = 7, /* common practice, no source */
};

/** POST /session: 201 with the person; 401 for a wrong address or passphrase alike; 429 when it is too early. */
gw_status gw_session_post(gw_request *rq, gw_reply *reply, gw_error *err);
/** DELETE /session: 204, and the cookie is taken back. */
gw_status gw_session_delete(gw_request *rq, gw_reply *reply, gw_error *err);
/** GET /me */
gw_status gw_me_get(gw_request *rq, gw_reply *reply, gw_error *err);
/** GET /invitations/{token}: whom it is for; looking does not spend it. */
gw_status gw_invitation_get(gw_request *rq, gw_reply *reply, gw_error *err);
/** POST /invitations/{token}: sets the passphrase and spends the link; signs nobody in. */
gw_status gw_invitation_post(gw_request *rq, gw_reply *reply, gw_error *err);
/** GET /people */
gw_status gw_people_get(gw_request *rq, gw_reply *reply, gw_error *err);
/** POST /people: 201 with the person and the one-time link. */
gw_status gw_people_post(gw_request *rq, gw_reply *reply, gw_error *err);

/**
 * Invite from the command line, as the owner of the database: how the first coordinator comes to be.
 *
 * @param owner  libpq connection string as gramwell_owner
 * @param role   "volunteer", "intake" or "coordinator"
 * @param path   out, in arena: "/join/TOKEN", to be put behind the address of the server
 * @return GW_ECONFLICT when the address is used; GW_EINPUT for a bad name, address or role
 */
GW_MUST_CHECK gw_status gw_person_invite(gw_arena *arena, const char *owner, const char *name, const char *email,
                                         const char *role, const char **path, gw_error *err);

#endif
