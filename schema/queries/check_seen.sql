-- check_seen.sql: is this check stored already?
-- in   $1 check uuid
-- out  one row (hash in hexadecimal); no row: unknown, or not visible to this person
select encode(c.request_hash, 'hex') from gw.check c where c.id = $1::uuid
