-- session_close: end a session.
-- in   $1 SHA-256 of its token in hexadecimal
-- out  one row without meaning
select gw.session_close(decode($1::text, 'hex'))::text;
