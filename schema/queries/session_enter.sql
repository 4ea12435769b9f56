-- session_enter: who is asking, and may they do what the route needs? Goes first in every pipeline of the server.
-- in   $1 SHA-256 of the session's token in hexadecimal, $2 role that the route needs
-- out  one row (person, role, expires_at as RFC 3339); the person is set for this transaction and its row policies
--      raises GW401 without a living session, GW403 when the role is too low
select person, role, to_json(expires_at) #>> '{}'
from gw.session_enter(decode($1::text, 'hex'), $2::text);
