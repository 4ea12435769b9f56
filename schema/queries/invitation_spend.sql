-- invitation_spend: set the passphrase of the person whom a one-time link is for, and end their old sessions.
-- in   $1 SHA-256 of the token in hexadecimal, $2 argon2id hash of the passphrase
-- out  one row (json); no row when it is unknown, spent or too old
select json_build_object('person', json_build_object('id', person, 'name', name, 'role', role))
from gw.invitation_spend(decode($1::text, 'hex'), $2::text);
