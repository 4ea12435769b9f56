-- session_lookup: what a sign-in needs to know, and count it as failed until it turns out right.
-- in   $1 e-mail address as typed, $2 hash of it, $3 the client's address
-- out  one row (person, name, role, passphrase_hash, wait_seconds): nulls for an unknown address; when wait_seconds is
--      above 0 nothing was counted and nobody may sign in yet
-- Counting before the slow hash keeps many attempts at once from passing while none has failed yet; session_open takes
-- the count back.
select l.person, l.name, l.role, l.passphrase_hash, l.wait_seconds,
       case when l.wait_seconds = 0 then gw.signin_failed($2::text, $3::text)::text end
from gw.signin_lookup($1::text, $2::text, $3::text) l;
