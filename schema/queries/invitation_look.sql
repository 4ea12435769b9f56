-- invitation_look: whom a one-time link is for. Looking does not spend it: mail scanners follow links.
-- in   $1 SHA-256 of the token in hexadecimal
-- out  one row (json); no row when it is unknown, spent or too old
select json_build_object('name', name, 'email', email, 'role', role, 'expires_at', expires_at)
from gw.invitation_look(decode($1::text, 'hex'));
