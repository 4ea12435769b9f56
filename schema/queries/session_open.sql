-- session_open: begin a session after the passphrase was right.
-- in   $1 SHA-256 of its token in hexadecimal, $2 hash of the e-mail address (its failed attempts are forgotten),
--      $3 person, $4 seconds it lasts, $5 true for a bearer token, false for a cookie
-- out  one row (expires_at as RFC 3339)
select to_json(gw.session_open(decode($1::text, 'hex'), $2::text, $3::uuid, $4::int, $5::boolean)) #>> '{}';
