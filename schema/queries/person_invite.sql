-- person_invite: make a person and the one-time link with which they set their passphrase.
-- in   $1 name, $2 e-mail address, $3 role, $4 SHA-256 of the link's token in hexadecimal, $5 days it is good for
-- out  one row (id, expires_at as RFC 3339)
--      raises GW403 unless a coordinator (or the owner's command line) asks; account_email_once when the address is used
select gw.person_invite($1::text, $2::text, $3::text, decode($4::text, 'hex'), $5::int),
       to_json(now() + make_interval(days => $5::int)) #>> '{}';
